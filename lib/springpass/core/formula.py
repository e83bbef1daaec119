"""The label on a formula; print it, turn it round, check it.

A formula is a plain numpy function whose parameters are annotated with
quantities. `@formula` labels it and returns it unchanged, so calling it costs
nothing. The same code object is read four ways: as a number, over arrays, in
print, and turned round. SymPy is imported only where something is printed.
"""

from __future__ import annotations

import ast
import inspect
import re
import textwrap
import types
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any, TypeVar

import numpy as np

from .quantity import Quantity, Refused, plain, quantity_of

F = TypeVar("F", bound=Callable[..., Any])
REGISTRY: list[Callable[..., Any]] = []


@dataclass(frozen=True)
class Label:
    """Where a formula comes from and when it holds."""

    source: str
    holds: str
    basis: str       # read, memory, common practice, computed (derived here and checked)
    empirical: bool  # fitted constants with hidden units: exempt from the dimension check


def formula(*, source: str, holds: str, basis: str = "memory", empirical: bool = False) -> Callable[[F], F]:
    """Label a function as a formula of the handbook and return it unchanged."""

    def label(function: F) -> F:
        function.label = Label(source, holds, basis, empirical)  # type: ignore[attr-defined]
        REGISTRY.append(function)
        return function

    return label


def is_formula(thing: Any) -> bool:
    return isinstance(getattr(thing, "label", None), Label)


@cache
def inputs(function: Callable[..., Any]) -> dict[str, Quantity]:
    """The formula's parameters and what each of them is."""
    parameters = inspect.signature(function, eval_str=True).parameters
    return {name: quantity_of(parameter.annotation) for name, parameter in parameters.items()}


@cache
def answer(function: Callable[..., Any]) -> Quantity:
    """What the formula gives."""
    return quantity_of(inspect.signature(function, eval_str=True).return_annotation)


# ---- in print -----------------------------------------------------------------------------------

class _Pen:
    """Runs formula code on symbols; inner formulas keep their letter and are noted for the lines below."""

    def __init__(self, reserved: str = "") -> None:
        import sympy

        self.sympy = sympy
        self.reserved = reserved   # the answer's own letter
        self.tex: dict[Any, str] = {}
        self.quantity: dict[Any, Quantity] = {}
        self.inner: list[tuple[Any, Callable[..., Any], Any]] = []  # letter, formula, its expression
        self._made: dict[Any, Any] = {}

    def namespace(self) -> types.SimpleNamespace:
        s = self.sympy

        def either(condition: Any, yes: Any, no: Any) -> Any:
            return s.Piecewise((s.sympify(yes), condition), (s.sympify(no), True), evaluate=False)

        return types.SimpleNamespace(pi=s.pi, e=s.E, inf=s.oo, sqrt=s.sqrt, cbrt=s.cbrt, exp=s.exp, log=s.log,
            abs=s.Abs, log10=lambda x: s.log(x, 10), log2=lambda x: s.log(x, 2), square=lambda x: x**2, sin=s.sin,
            cos=s.cos, tan=s.tan, sinh=s.sinh, cosh=s.cosh, tanh=s.tanh, arcsin=s.asin, arccos=s.acos, arctan=s.atan,
            arctan2=s.atan2, hypot=lambda x, y: s.sqrt(x**2 + y**2), radians=lambda x: x * s.pi / 180,
            degrees=lambda x: x * 180 / s.pi, deg2rad=lambda x: x * s.pi / 180, rad2deg=lambda x: x * 180 / s.pi,
            where=either, maximum=s.Max, minimum=s.Min)

    def symbol(self, what: Quantity, key: Any) -> Any:
        """One symbol for one thing; a second thing with the same letter gets a number below it."""
        if key in self._made:
            return self._made[key]
        tex, count = what.symbol, 1
        while tex == self.reserved or tex in self.tex.values():
            count += 1
            base, _, index = what.symbol.partition("_")
            index = index.strip("{}")
            tex = f"{base}_{{{index}{count}}}" if index else f"{base}_{count}"
        new = self.sympy.Symbol(f"s{len(self.tex)}", positive=True)
        self.tex[new], self.quantity[new], self._made[key] = tex, what, new
        return new

    def run(self, function: Callable[..., Any], values: dict[str, Any]) -> Any:
        code = function.__code__
        world: dict[str, Any] = dict(function.__globals__)
        world["np"] = self.namespace()
        world["__builtins__"] = {"abs": self.sympy.Abs}
        for name in code.co_names:
            if is_formula(world.get(name)):
                world[name] = self._letter_for(world[name])
        copy = types.FunctionType(code, world, function.__name__, function.__defaults__, function.__closure__)
        copy.__kwdefaults__ = function.__kwdefaults__
        return self.sympy.sympify(copy(**values))

    def _letter_for(self, function: Callable[..., Any]) -> Callable[..., Any]:
        def stand_in(*given: Any, **named: Any) -> Any:
            bound = inspect.signature(function).bind(*given, **named)
            bound.apply_defaults()
            key = (function, tuple(self.sympy.sympify(v) for v in bound.arguments.values()))
            known = key in self._made
            letter = self.symbol(answer(function), key)
            if not known:
                place = len(self.inner)
                self.inner.append((letter, function, None))
                self.inner[place] = (letter, function, self.run(function, dict(bound.arguments)))
            return letter

        return stand_in


@dataclass(frozen=True)
class Printed:
    """A formula in print: its letters, and the lines for the inner formulas below."""

    answer: Quantity
    main: Any
    letters: dict[str, Any]               # parameter -> symbol
    inner: tuple[tuple[Any, Any], ...]    # symbol, expression
    tex: dict[Any, str]
    quantity: dict[Any, Quantity]

    @property
    def latex(self) -> str:
        """The formula in letters, the inner ones below it."""
        return self.lines()

    def with_numbers(self, **values: float) -> str:
        """The formula in letters, then the same line with the numbers in and the answer with its unit.

        values: every parameter, in library units; lengths print in the unit their quantity shows. Raises Refused
        where one is missing.
        """
        return self.lines(values, brackets=True)

    def lines(self, values: dict[str, float] | None = None, *, digits: int = 3, below: bool = True,
            brackets: bool = False) -> str:
        """TeX of the formula in letters and, with `values` of every parameter, of its numbers and its answer.

        digits: figures of the numbers put in, one fewer (but three at least) of the answer. below: the inner formulas'
        own lines follow. brackets: round the answer too. Raises Refused where a value is missing.
        """
        main, inner = self._templates
        rows = [(self.answer.symbol, _filled(main, self.tex))]
        if values:
            numbers, total = self._numbers(values)
            given = {symbol: _tex_number(self.quantity[symbol], value, digits) for symbol, value in numbers.items()}
            rows.append(("", _filled(main, given)))
            rows.append(("", _tex_number(self.answer, total, max(digits - 1, 3), brackets)))
        if below:
            rows += [(self.tex[symbol], _filled(inner[symbol], self.tex)) for symbol, _ in self.inner]
        body = r" \\ ".join(f"{left} &= {right}" for left, right in rows)
        return rf"\begin{{aligned}} {body} \end{{aligned}}"

    @cached_property
    def _templates(self) -> tuple[str, dict[Any, str]]:
        """TeX of the right-hand sides with a mark for each letter: set once by SymPy, filled whenever a hand moves."""
        from sympy import latex

        marks = {symbol: _mark(symbol) for symbol in self.tex}

        def tex(expression: Any) -> str:
            text = latex(_as_in_books(expression), symbol_names=marks, order="none", mul_symbol="\\,", ln_notation=True)
            text = re.sub(r"\d+\.\d{6,}", lambda found: plain(float(found[0]), 5), text)   # constants to five figures
            return re.sub(r"(?<=\d{4})\.0(?!\d)", "", text)

        return tex(self.main), {symbol: tex(expression) for symbol, expression in self.inner}

    @cached_property
    def _steps(self) -> list[tuple[Any, Callable[..., Any]]]:
        """Each inner formula as a function of the letters and the inner ones before it, and the formula itself last."""
        from sympy import lambdify

        known, steps, waiting = list(self.letters.values()), [], [*reversed(self.inner), (None, self.main)]
        while waiting:   # an inner formula after those that it uses
            later = {symbol for symbol, _ in waiting}
            symbol, expression = next(line for line in waiting if not line[1].free_symbols & later)
            waiting.remove((symbol, expression))
            steps.append((symbol, lambdify(list(known), expression, modules="math")))
            known.append(symbol)
        return steps

    def _numbers(self, values: dict[str, float]) -> tuple[dict[Any, float], float]:
        """The number of every letter, the inner ones' too, and the answer."""
        missing = [name for name in self.letters if name not in values]
        if missing:
            raise Refused(f"To print the numbers, {', '.join(missing)} must be given too.")
        numbers = {symbol: float(values[name]) for name, symbol in self.letters.items()}
        for symbol, step in self._steps:
            numbers[symbol] = float(step(*numbers.values()))
        return numbers, numbers.pop(None)


def _mark(symbol: Any) -> str:
    return chr(0xE000 + int(str(symbol)[1:]))   # of the private use area: no TeX has it, and it is no figure


def _filled(template: str, names: dict[Any, str]) -> str:
    """A template with each mark replaced, bracketed where a power follows a power, and a dot between two figures."""
    for symbol, name in names.items():
        mark = _mark(symbol)
        if "^" in name:
            template = template.replace(f"{mark}^", rf"\left({name}\right)^")
        template = template.replace(mark, name)
    return re.sub(r"(\d[} ]*)\\,(?=\d|\\frac\{\d+\}\{\d+\})", r"\1 \\cdot ", template)


def _as_in_books(expression: Any) -> Any:
    """The same for print only: powers such as 0.5625 as fractions, here 9/16, and logarithms with their base."""
    from sympy import Float, Function, Pow, Rational, evaluate, log

    if not expression.args:
        return expression
    with evaluate(False):
        parts = [_as_in_books(part) for part in expression.args]
        if expression.is_Pow and isinstance(parts[1], Float):
            near = Rational(float(parts[1])).limit_denominator(32)
            if abs(float(near) - float(parts[1])) < 1e-12:
                return Pow(parts[0], near, evaluate=False)
        if expression.func is log and len(parts) == 2:
            return Function(rf"\log_{{{parts[1]}}}")(parts[0])
        if all(new is old for new, old in zip(parts, expression.args, strict=True)):
            return expression
        return expression.func(*parts, evaluate=False) if expression.is_Pow or expression.is_Add or expression.is_Mul \
            else expression.func(*parts)


def _tex_number(what: Quantity, value: float, digits: int = 3, brackets: bool = True) -> str:
    text = plain(what.to_shown(value), digits).replace("−", "-")
    unit = what.unit_for()
    if unit == "1":
        return text
    if unit == "deg":
        return rf"{text}^\circ"
    text = rf"{text}\,\mathrm{{{_tex_unit(unit)}}}"
    return f"({text})" if brackets else text


def _tex_unit(unit: str) -> str:
    for plain_mark, tex in ((" ", r"\,"), ("²", "^2"), ("³", "^3"), ("⁴", "^4"), ("µ", r"\mu "), ("°", r"^\circ "),
            ("%", r"\%")):
        unit = unit.replace(plain_mark, tex)
    return unit


@cache
def printed(function: Callable[..., Any]) -> Printed:
    """The formula in print, made by running its own code on letters. Raises Refused for a bare function."""
    if not is_formula(function):
        raise Refused(f"{function.__name__} carries no label, so it cannot be printed. Use a labelled formula.")
    pen = _Pen(answer(function).symbol)
    with pen.sympy.evaluate(False):
        letters = {name: pen.symbol(what, name) for name, what in inputs(function).items()}
        main = _flat(pen.run(function, dict(letters)))
        pen.inner = [(letter, inner, _flat(expression)) for letter, inner, expression in pen.inner]
    inner = tuple((symbol, expression) for symbol, _, expression in pen.inner)
    return Printed(answer(function), main, letters, inner, pen.tex, pen.quantity)


def _flat(expression: Any) -> Any:
    """Products of products and sums of sums without their inner brackets; nothing else changes."""
    from sympy import Add, Mul

    if not expression.args:
        return expression
    parts = [_flat(part) for part in expression.args]
    kind = expression.func
    if kind in (Add, Mul):
        parts = [inner for part in parts for inner in (part.args if part.func is kind else (part,))]
        return kind(*parts, evaluate=False)
    if list(expression.args) == parts:
        return expression
    return kind(*parts, evaluate=False) if expression.is_Pow else kind(*parts)


# ---- turned round -------------------------------------------------------------------------------

def roots(function: Callable[[np.ndarray], np.ndarray], low: float, high: float, points: int = 400) -> np.ndarray:
    """Every place between low and high where `function` crosses nought, by scan and bisection.

    Roots that only touch nought, and pairs closer together than the scan, are missed.
    """
    x = np.geomspace(low, high, points) if low > 0 else np.linspace(low, high, points)
    with np.errstate(all="ignore"):
        y = np.broadcast_to(np.asarray(function(x), dtype=float), x.shape)
        exact = x[y == 0]
        cross = np.flatnonzero((y[:-1] * y[1:] < 0) & np.isfinite(y[:-1]) & np.isfinite(y[1:]))
        a, b, side = x[cross], x[cross + 1], np.sign(y[cross])
        for _ in range(60 if len(cross) else 0):
            middle = (a + b) / 2
            same = np.sign(function(middle)) == side
            a, b = np.where(same, middle, a), np.where(same, b, middle)
        middle = (a + b) / 2
        # a jump to and from infinity changes sign too, but is no root
        keep = np.abs(function(middle)) <= np.abs(y[cross]) + np.abs(y[cross + 1]) if len(cross) else np.array([], bool)
    return np.sort(np.concatenate([exact, middle[keep]]))


def solve_for(name: str, function: Callable[..., Any], target: float, *, span: tuple[float, float] | None = None,
        **known: float) -> np.ndarray:
    """Every value of `name` for which the formula gives `target`; library units.

    Scans the quantity's span (or `span`), brackets and bisects. Raises Refused
    when a value is missing or when nothing in the span gives the target.
    """
    parts = inputs(function)
    if name not in parts:
        raise Refused(f"{function.__name__} has no {name}; it has {', '.join(parts)}.")
    signature = inspect.signature(function).parameters
    missing = [p for p in parts if p != name and p not in known and signature[p].default is inspect.Parameter.empty]
    if missing:
        raise Refused(f"To find {name}, {', '.join(missing)} must be given.")
    low, high = span or (parts[name].low, parts[name].high)
    found = roots(lambda x: function(**{name: x}, **known) - target, low, high)
    if not len(found):
        with np.errstate(all="ignore"):
            reach = np.asarray(function(**{name: np.linspace(low, high, 400)}, **known), dtype=float)
        gives = answer(function)
        raise Refused(f"No {name.replace('_', ' ')} between {parts[name].text(low)} and {parts[name].text(high)} gives "
            f"{gives.text(target)}: there it runs from {gives.text(float(np.nanmin(reach)))} to "
            f"{gives.text(float(np.nanmax(reach)))}.")
    return found


# ---- three checks that run over every formula -----------------------------------------------------

BASE = ("mm", "N", "K", "s")
UNITS: dict[str, tuple[int, int, int, int]] = {"1": (0, 0, 0, 0), "deg": (0, 0, 0, 0), "rad": (0, 0, 0, 0),
    "rev": (0, 0, 0, 0), "%": (0, 0, 0, 0), "mm": (1, 0, 0, 0), "m": (1, 0, 0, 0), "µm": (1, 0, 0, 0),
    "N": (0, 1, 0, 0), "kN": (0, 1, 0, 0), "K": (0, 0, 1, 0), "°C": (0, 0, 1, 0), "s": (0, 0, 0, 1),
    "min": (0, 0, 0, 1), "Hz": (0, 0, 0, -1), "MPa": (-2, 1, 0, 0), "GPa": (-2, 1, 0, 0), "J": (1, 1, 0, 0),
    "W": (1, 1, 0, -1), "kW": (1, 1, 0, -1), "kg": (-1, 1, 0, 2), "g": (-1, 1, 0, 2)}
POWERS = {"²": 2, "³": 3, "⁴": 4}


def dimension(unit: str) -> np.ndarray:
    """Exponents of mm, N, K, s in a unit such as "N mm/rad" or "W/(m² K)". Raises Refused if unknown."""
    top, _, bottom = unit.partition("/")
    total = np.zeros(4, dtype=int)
    for part, sign in ((top, 1), (bottom.strip("()"), -1)):
        for word in part.split():
            power = POWERS.get(word[-1], 1)
            stem = word.rstrip("²³⁴") or word
            if stem not in UNITS:
                raise Refused(f"The unit “{unit}” is not known: “{stem}” is missing from the list of units.")
            total += sign * power * np.array(UNITS[stem])
    return total


def random_inputs(function: Callable[..., Any], count: int, seed: int = 7) -> dict[str, np.ndarray]:
    """Random points inside every input's span, whole where the quantity is a count."""
    dice = np.random.default_rng(seed)
    points = {}
    for name, what in inputs(function).items():
        low, high = (max(what.low, what.high * 1e-6), what.high) if what.log else (what.low, what.high)
        draw = np.exp(dice.uniform(np.log(low), np.log(high), count)) if what.log else dice.uniform(low, high, count)
        points[name] = np.round(draw) if what.whole else draw
    return points


def check_dimensions(function: Callable[..., Any], points: int = 400) -> str:
    """"" if scaling mm, N, K and s by 1.7 scales the answer as its unit says; otherwise what is wrong."""
    values = random_inputs(function, points)
    with np.errstate(all="ignore"):
        before = np.asarray(function(**values), dtype=float)
        for which, base in enumerate(BASE):
            scaled = {name: values[name] * 1.7 ** dimension(what.unit)[which] for name,
                what in inputs(function).items()}
            after = np.asarray(function(**scaled), dtype=float) + 0 * before
            wanted = before * 1.7 ** dimension(answer(function).unit)[which]
            fine = np.isfinite(after) & np.isfinite(wanted)
            if fine.sum() < 10:
                return f"{function.__name__}: fewer than 10 of {points} random points gave a number"
            if not np.allclose(after[fine], wanted[fine], rtol=1e-9, atol=0):
                return (f"{function.__name__}: the answer does not scale with {base} as {answer(function).unit} "
                    "should; check powers and units, or label it empirical")
    return ""


def check_print(function: Callable[..., Any], points: int = 50) -> str:
    """"" if what is printed equals what is computed at random points; otherwise what differs."""
    import sympy

    shown = printed(function)
    expression = shown.main
    for _ in shown.inner:  # an inner formula may feed another, in either order
        expression = expression.subs(dict(shown.inner))
    values = random_inputs(function, 8 * points)
    with np.errstate(all="ignore"):
        wanted = np.asarray(function(**values), dtype=float) + np.zeros(8 * points)
        drawn = sympy.lambdify(list(shown.letters.values()), expression, modules=[{"log": _log}, "numpy"])
        got = np.asarray(drawn(*[values[name] for name in shown.letters]), dtype=float) + np.zeros(8 * points)
    fine = np.flatnonzero(np.isfinite(wanted))[:points]
    if len(fine) < 10:
        return f"{function.__name__}: fewer than 10 random points gave a number"
    if not np.allclose(got[fine], wanted[fine], rtol=1e-9, atol=1e-300):
        return f"{function.__name__}: printed and computed differ"
    return ""


def _log(x: Any, base: float = np.e) -> Any:
    return np.log(x) / np.log(base)


def check_body(function: Callable[..., Any]) -> str:
    """"" if the body uses only what prints truly; otherwise which construct must go."""
    tree = ast.parse(textwrap.dedent(inspect.getsource(function))).body[0]
    assert isinstance(tree, ast.FunctionDef)
    allowed_comparisons = {id(part) for node in _calls(tree, "where") for part in ast.walk(node.args[0])}
    for node in (inner for statement in tree.body for inner in ast.walk(statement)):
        if isinstance(node, (ast.If, ast.IfExp, ast.For, ast.While, ast.BoolOp, ast.Try)):
            return f"{function.__name__}: {type(node).__name__} takes one branch silently; use np.where"
        if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
            return f"{function.__name__}: `not` takes one branch silently; use np.where"
        if isinstance(node, ast.Compare) and id(node) not in allowed_comparisons:
            return f"{function.__name__}: a comparison outside np.where"
        if (isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
                and node.func.id in ("max", "min", "float", "int")):
            return f"{function.__name__}: {node.func.id}() cannot be printed; use numpy's"
        if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Pow) and isinstance(node.right, ast.Constant) \
                and isinstance(node.right.value, float) and node.right.value in (0.5, 1.5):
            return f"{function.__name__}: **{node.right.value} prints badly; use np.sqrt"
    return ""


def _calls(tree: ast.AST, name: str) -> Iterator[ast.Call]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == name:
            yield node


def check_label(function: Callable[..., Any]) -> str:
    """"" if source, validity, meaning and units are all there; otherwise what is missing."""
    label: Label = function.label  # type: ignore[attr-defined]
    if len(label.source) < 8 or len(label.holds) < 8 or not (function.__doc__ or "").strip():
        return (f"{function.__name__}: source or holds is missing or too short to say anything, or the docstring that "
            "says what it computes is")
    if label.basis not in ("read", "memory", "common practice", "computed"):
        return f"{function.__name__}: basis “{label.basis}” is none of read, memory, common practice, computed"
    try:
        inputs(function), answer(function)
    except TypeError:
        return f"{function.__name__}: a parameter or the answer carries no quantity; annotate each with one"
    return ""
