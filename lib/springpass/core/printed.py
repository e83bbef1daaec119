"""A formula in print, filled from what SymPy set when the notebooks were stored.

    printed(tip_deflection).latex
    printed(tip_deflection).with_numbers(force=15, stickout=40, bar=8, modulus=205e3)

`printed.json` holds for each labelled formula of the library the TeX of its line and of its inner formulas' lines, with
a mark for each letter. tests/rebuild.py writes it (`--formulas` writes it alone), and checks.check_print holds it
against the code. A formula that is not stored (a new one, one of a notebook's own) is set by SymPy on the spot; nothing
else here needs SymPy.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from .formula import REGISTRY, answer, inputs, is_formula, mark, name_of, rewired
from .quantity import Quantity, Refused, plain

STORED = Path(__file__).with_name("printed.json")


@dataclass(frozen=True)
class Printed:
    """A formula in print: its letters, and the lines for the inner formulas below. A letter is known by its number."""

    function: Callable[..., Any]
    answer: Quantity
    main: str                            # TeX with a mark for each letter
    letters: dict[str, int]              # parameter -> letter
    inner: tuple[tuple[int, str], ...]   # letter, its TeX
    tex: dict[int, str]                  # letter -> how it is written
    quantity: dict[int, Quantity]
    calls: tuple[int, ...]               # the letter that each call of an inner formula gives

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
        rows = [(self.answer.symbol, _filled(self.main, self.tex))]
        if values:
            numbers, total = self._numbers(values)
            given = {letter: _tex_number(self.quantity[letter], value, digits) for letter, value in numbers.items()}
            rows.append(("", _filled(self.main, given)))
            rows.append(("", _tex_number(self.answer, total, max(digits - 1, 3), brackets)))
        if below:
            rows += [(self.tex[letter], _filled(template, self.tex)) for letter, template in self.inner]
        body = r" \\ ".join(f"{left} &= {right}" for left, right in rows)
        return rf"\begin{{aligned}} {body} \end{{aligned}}"

    def _numbers(self, values: dict[str, float]) -> tuple[dict[int, float], float]:
        """The number of every letter, the inner ones' too, and the answer: the formula's own code run once more."""
        missing = [name for name in self.letters if name not in values]
        if missing:
            raise Refused(f"To print the numbers, {', '.join(missing)} must be given too.")
        given = {name: np.float64(values[name]) for name in self.letters}
        numbers = {letter: float(given[name]) for name, letter in self.letters.items()}
        calls = iter(self.calls)

        def heard(inner: Callable[..., Any]) -> Callable[..., Any]:
            def stand_in(*a: Any, **named: Any) -> Any:   # in the order in which the letters were given out
                letter = next(calls)
                if letter not in numbers:
                    numbers[letter] = float(rewired(inner, heard)(*a, **named))
                return np.float64(numbers[letter])
            return stand_in

        with np.errstate(all="ignore"):
            total = float(rewired(self.function, heard)(**given))
        return numbers, total


# an angle in degrees within a sine: the sine of 30°, not of 30° π / 180
_INSIDE = r"((?:[^{}]|\{[^{}]*\})+?)"
_DEGREES = re.compile(r"(\\(?:sin|cos|tan)(?:\^\{\d+\})?\{\\left\()\\frac\{" + _INSIDE
    + r"\\,\\pi\}\{(180|180 \\cdot 2|2 \\cdot 180)\} (\\right\)\})")
_TO_DEGREES = r"\,180\,\frac{1}{\pi}"   # behind an arc sine: the answer is in degrees and says so


def _in_degrees(found: re.Match[str]) -> str:
    inside = re.sub(r"(?<![\d.{])(90|120|180|240)(?![\d.}])", r"\1^\\circ", found[2])
    return found[1] + (inside if found[3] == "180" else rf"\frac{{{inside}}}{{2}}") + f" {found[4]}"


def _filled(template: str, names: dict[int, str]) -> str:
    """A template with each mark replaced, bracketed where a power follows a power, and a dot between two figures."""
    template = _DEGREES.sub(_in_degrees, template).replace(_TO_DEGREES, "")
    for letter, name in names.items():
        if "^" in name:
            template = template.replace(f"{mark(letter)}^", rf"\left({name}\right)^")
        template = template.replace(mark(letter), name)
    return re.sub(r"(\d[} ]*)\\,(?=\d|\\frac\{\d+\}\{\d+\})", r"\1 \\cdot ", template)


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
def _store() -> dict[str, dict[str, Any]]:
    return json.loads(STORED.read_text(encoding="utf-8"))


def stored(function: Callable[..., Any]) -> dict[str, Any] | None:
    """What is stored of a formula, or None."""
    return _store().get(name_of(function))


@cache
def printed(function: Callable[..., Any]) -> Printed:
    """The formula in print. Raises Refused for a bare function."""
    if not is_formula(function):
        raise Refused(f"{function.__name__} carries no label, so it cannot be printed. Use a labelled formula.")
    made = stored(function)
    if made is None:
        from .pen import template

        made = template(function)
    known = {name_of(one): one for one in REGISTRY}
    quantity = dict(enumerate(inputs(function).values())) | {
        letter: answer(known[name]) for letter, name, _ in made["inner"]}
    return Printed(function, answer(function), made["main"], {name: i for i, name in enumerate(inputs(function))},
        tuple((letter, tex) for letter, _, tex in made["inner"]), dict(enumerate(made["letters"])), quantity,
        tuple(made["calls"]))
