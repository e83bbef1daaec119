"""The label on a formula; run it with others in its place, turn it round.

A formula is a plain numpy function whose parameters are annotated with
quantities. `@formula` labels it and returns it unchanged, so calling it costs
nothing. The same code object is read four ways: as a number, over arrays, in
print (printed.py), and turned round. checks.py holds every formula to what is printed of it.
"""

from __future__ import annotations

import inspect
import types
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any, TypeVar

import numpy as np

from .quantity import Quantity, Refused, quantity_of

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


def rewired(function: Callable[..., Any], instead: Callable[[Callable[..., Any]], Any], **world: Any) -> Any:
    """The function's own code with `instead(formula)` for each labelled formula that it names, and `world` about it."""
    code = function.__code__
    names = dict(function.__globals__) | world
    for name in code.co_names:
        if is_formula(names.get(name)):
            names[name] = instead(names[name])
    copy = types.FunctionType(code, names, function.__name__, function.__defaults__, function.__closure__)
    copy.__kwdefaults__ = function.__kwdefaults__
    return copy


def name_of(function: Callable[..., Any]) -> str:
    """A formula's name in the store, such as “boring_bar.bar_bending.tip_deflection”."""
    return f"{function.__module__.removeprefix('springpass.')}.{function.__name__}"


def mark(letter: int) -> str:
    """What stands for a formula's letter in its TeX until it is filled: of the private use area, which no TeX has."""
    return chr(0xE000 + letter)


# ---- turned round -------------------------------------------------------------------------------

def roots(function: Callable[[np.ndarray], np.ndarray], low: float, high: float, points: int = 400) -> np.ndarray:
    """Every place between low and high where `function` crosses zero, by scan and bisection.

    Roots that only touch zero, and pairs closer together than the scan, are missed.
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
