"""SymPy's hand in the print: a formula's own code, run on letters.

    drawn(tip_deflection).main          # the expression
    template(tip_deflection)            # its TeX with a mark for each letter, as it is stored (printed.py)

Nothing that runs on a page imports this module: what it sets is stored in the package by tests/rebuild.py.
"""

from __future__ import annotations

import inspect
import re
import types
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

from .formula import answer, inputs, is_formula, mark, name_of, rewired
from .quantity import Quantity, Refused, plain


class _Pen:
    """Runs formula code on symbols; inner formulas keep their letter and are noted for the lines below."""

    def __init__(self, reserved: str = "") -> None:
        import sympy

        self.sympy = sympy
        self.reserved = reserved   # the answer's own letter
        self.tex: dict[Any, str] = {}
        self.quantity: dict[Any, Quantity] = {}
        self.inner: list[tuple[Any, Callable[..., Any], Any]] = []  # letter, formula, its expression
        self.calls: list[int] = []   # the number of the letter that each call of an inner formula was given
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
        world = {"np": self.namespace(), "__builtins__": {"abs": self.sympy.Abs}}
        return self.sympy.sympify(rewired(function, self._letter_for, **world)(**values))

    def _letter_for(self, function: Callable[..., Any]) -> Callable[..., Any]:
        def stand_in(*given: Any, **named: Any) -> Any:
            bound = inspect.signature(function).bind(*given, **named)
            bound.apply_defaults()
            key = (function, tuple(self.sympy.sympify(v) for v in bound.arguments.values()))
            known = key in self._made
            letter = self.symbol(answer(function), key)
            self.calls.append(list(self.tex).index(letter))
            if not known:
                place = len(self.inner)
                self.inner.append((letter, function, None))
                self.inner[place] = (letter, function, self.run(function, dict(bound.arguments)))
            return letter

        return stand_in


@dataclass(frozen=True)
class Drawn:
    """A formula run on letters: SymPy's expressions of it and of the inner formulas."""

    main: Any
    letters: dict[str, Any]                                     # parameter -> symbol
    inner: tuple[tuple[Any, Callable[..., Any], Any], ...]      # symbol, formula, expression
    tex: dict[Any, str]                                         # every symbol's letter in print
    calls: tuple[int, ...]


@cache
def drawn(function: Callable[..., Any]) -> Drawn:
    """The formula, made by running its own code on letters. Raises Refused for a bare function."""
    if not is_formula(function):
        raise Refused(f"{function.__name__} carries no label, so it cannot be printed. Use a labelled formula.")
    pen = _Pen(answer(function).symbol)
    with pen.sympy.evaluate(False):
        letters = {name: pen.symbol(what, name) for name, what in inputs(function).items()}
        main = _flat(pen.run(function, dict(letters)))
        inner = tuple((letter, one, _flat(expression)) for letter, one, expression in pen.inner)
    return Drawn(main, letters, inner, pen.tex, tuple(pen.calls))


def template(function: Callable[..., Any]) -> dict[str, Any]:
    """What is stored of a formula: TeX of its line and of the inner formulas' with a mark for each letter."""
    from sympy import latex

    made = drawn(function)
    marks = {symbol: mark(place) for place, symbol in enumerate(made.tex)}

    def tex(expression: Any) -> str:
        text = latex(_as_in_books(expression), symbol_names=marks, order="none", mul_symbol="\\,", ln_notation=True)
        text = re.sub(r"\d+\.\d{6,}", lambda found: plain(float(found[0]), 5), text)   # constants to five figures
        return re.sub(r"(?<=\d{4})\.0(?!\d)", "", text)

    places = {symbol: place for place, symbol in enumerate(made.tex)}
    return {"letters": list(made.tex.values()), "main": tex(made.main), "calls": list(made.calls),
        "inner": [[places[symbol], name_of(one), tex(expression)] for symbol, one, expression in made.inner]}


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
