"""The checks that run over every formula: label, body, dimensions, and that print equals code.

They are blind to pure numbers (2π for π, radius for diameter), so a published or hand-worked value comes first.
"""

from __future__ import annotations

import ast
import inspect
import textwrap
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np

from .formula import Label, answer, inputs
from .pen import drawn, template
from .printed import stored
from .quantity import Refused

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

    shown = drawn(function)
    lines = {symbol: expression for symbol, _, expression in shown.inner}
    expression = shown.main
    for _ in lines:  # an inner formula may feed another, in either order
        expression = expression.subs(lines)
    values = random_inputs(function, 8 * points)
    with np.errstate(all="ignore"):
        wanted = np.asarray(function(**values), dtype=float) + np.zeros(8 * points)
        run = sympy.lambdify(list(shown.letters.values()), expression, modules=[{"log": _log}, "numpy"])
        got = np.asarray(run(*[values[name] for name in shown.letters]), dtype=float) + np.zeros(8 * points)
    fine = np.flatnonzero(np.isfinite(wanted))[:points]
    if len(fine) < 10:
        return f"{function.__name__}: fewer than 10 random points gave a number"
    if not np.allclose(got[fine], wanted[fine], rtol=1e-9, atol=1e-300):
        return f"{function.__name__}: printed and computed differ"
    if stored(function) not in (None, template(function)):
        return f"{function.__name__}: what is stored of it is of older code; run tests/rebuild.py --formulas"
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
