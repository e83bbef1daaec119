"""The only reader of data/. It refuses to guess outside a table.

Every row carries `source`, `place` and `basis` (read, memory, common practice,
computed); where the trade has a range, `low` and `high` stand beside `value`.
"""

from __future__ import annotations

import csv
import difflib
import os
import re
import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from .quantity import Refused
from .spread import Uncertain, about, between, factor_of

BASES = ("read", "memory", "common practice", "computed")
KINDS = ("flat", "bell", "ratio", "set")   # how a range is drawn; "set": one usual value
LONGEST = 200_000   # letters of a description typed by hand; a page or two is usual
DEEPEST = 20        # brackets within brackets, or parts of a dotted name; two are usual


def folder() -> Path:
    """Where data/ lies: where SPRINGPASS_DATA says, inside the library if it was packed with it, or beside lib/ in the
    project.
    """
    named = os.environ.get("SPRINGPASS_DATA")
    if named:
        return Path(named)
    packed = Path(__file__).parents[1] / "data"
    return packed if packed.is_dir() else Path(__file__).resolve().parents[3] / "data"


def _place(name: str, kind: str) -> Path:
    if not 0 < len(name) <= 80 or not all(letter.isalnum() or letter in "_-/" for letter in name):
        raise Refused(f"“{name}” cannot be a table's name. Use letters, digits, - and _.")
    return folder() / f"{name}.{kind}"


@cache
def rows(name: str) -> tuple[dict[str, Any], ...]:
    """All rows of data/<name>.csv; cells that look like numbers are numbers, empty ones None. Lines with # are notes.
    """
    path = _place(name, "csv")
    try:
        with path.open(encoding="utf-8", newline="") as file:
            found = list(csv.DictReader(line for line in file if not line.startswith("#")))
    except FileNotFoundError:
        raise Refused(f"The table “{name}” is missing from the data folder. Fetch the project again.") from None
    return tuple({key: _cell(text) for key, text in row.items()} for row in found)


def _cell(text: str | None) -> Any:
    if text is None or text.strip() == "":
        return None
    try:
        return float(text)
    except ValueError:
        return text.strip()


@cache
def toml(name: str) -> dict[str, Any]:
    """data/<name>.toml as a dictionary."""
    path = _place(name, "toml")
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise Refused(f"The file “{name}.toml” is missing from the data folder. Fetch the project again.") from None


def described(text: str, what: str) -> dict[str, Any]:
    """A description of the user's own, in TOML. Raises Refused; for more than anybody types, at once.

    The reader below takes time that grows with the square of a dotted name's length, and a call for each bracket.
    """
    if len(text) > LONGEST:
        raise Refused(f"{what} is {len(text) / 1e6:.2g} million letters long; a page or two is usual. "
            "Begin from what the page writes out.")
    depth = 0
    for mark in re.findall(r"[\[\]{}\n]", text):
        depth = depth + 1 if mark in "[{" else max(depth - 1, 0) if mark in "]}" else depth
        if depth > DEEPEST:
            raise Refused(f"{what} has brackets within brackets without end. Mend it.")
    if max(piece.count(".") for piece in re.split(r"[=,\n\[\]{}]", text)) > DEEPEST:
        raise Refused(f"{what} has a name of more than {DEEPEST} parts with points between. Mend it.")
    try:
        return tomllib.loads(text.removeprefix("\ufeff"))
    except ValueError as mishap:
        raise Refused(f"{what} cannot be read: {mishap}. Mend that line; a text needs quotation marks, a number a "
            "decimal point.") from None


def names(table: str, column: str) -> list[str]:
    """The different entries of one column, in the table's order."""
    found = rows(table)
    if found and column not in found[0]:
        raise Refused(f"The table “{table}” has no column “{column}”; it has {', '.join(map(str, found[0]))}.")
    return list(dict.fromkeys(row[column] for row in found if row[column] is not None))


def row(table: str, **keys: Any) -> dict[str, Any]:
    """The one row in which every key matches. Raises Refused, with the nearest names, where there is none."""
    return _row(table, tuple(keys.items()))


@cache
def _row(table: str, wanted_keys: tuple[tuple[str, Any], ...]) -> dict[str, Any]:
    keys = dict(wanted_keys)
    found = [r for r in rows(table) if all(r.get(key) == wanted for key, wanted in keys.items())]
    if len(found) == 1:
        return found[0]
    if len(found) > 1:
        raise Refused(f"“{table}” has {len(found)} rows for {_said(keys)}; say more.")
    for key, wanted in keys.items():
        known = [str(n) for n in names(table, key)]
        if str(wanted) not in known:
            near = difflib.get_close_matches(str(wanted), known, 3, 0.4) or known[:8]
            raise Refused(
                f"There is no {key.replace('_', ' ')} “{wanted}” in the table “{table}”. Try {', '.join(near)}.")
    raise Refused(f"The table “{table}” has no row for {_said(keys)}.")


def _said(keys: dict[str, Any]) -> str:
    return ", ".join(f"{key} {wanted}" for key, wanted in keys.items())


@dataclass(frozen=True)
class Fact:
    """One value with its range and where it comes from."""

    value: float
    low: float
    high: float
    unit: str
    source: str
    place: str
    basis: str
    kind: str = "flat"   # how it is drawn; in a bell or a ratio nineteen times in twenty from low to high

    @property
    def range(self) -> Uncertain:
        """The range for spread.sample: anywhere in it, or as its kind says."""
        return self.around(self.value) if self.kind in ("bell", "ratio") else between(self.low, self.high)

    @property
    def factor(self) -> float:
        """The range as one factor on both sides of its geometric middle, for things known to a factor."""
        return (self.high / self.low) ** 0.5

    @property
    def geometric_middle(self) -> float:
        """As many times the low end as the high end is times it."""
        return (self.low * self.high) ** 0.5

    def around(self, value: float) -> Uncertain:
        """The same uncertainty about another value: one that is set on a page, or was measured."""
        if self.kind == "ratio":
            return factor_of(value, self.high / self.value)
        if self.kind == "bell":
            return about(value, self.high - self.value)
        return between(value + self.low - self.value, value + self.high - self.value)


def fact(table: str, **keys: Any) -> Fact:
    """The value, range and provenance of one row with `value`, `low`, `high`, `unit` columns."""
    r = row(table, **keys)
    value = r["value"]
    low = value if r.get("low") is None else r["low"]
    high = value if r.get("high") is None else r["high"]
    kind = r.get("kind")
    return Fact(value, low, high, r.get("unit") or "1", r.get("source") or "", r.get("place") or "", r["basis"],
        kind if kind in KINDS else "flat")


def assumed(name: str) -> Fact:
    """What is taken for granted where nobody has measured it: a row of data/assumptions.csv, in its own unit.
    Raises Refused for a name that is not there.
    """
    return fact("assumptions", name=name)


def step(table: str, size: float, over: str = "over", upto: str = "upto", **keys: Any) -> dict[str, Any]:
    """The row whose step holds `size`: over its lower end, up to and including its upper. Raises Refused."""
    fitting = [r for r in rows(table) if all(r.get(key) == wanted for key, wanted in keys.items())]
    if not fitting:
        raise Refused(f"The table “{table}” has no row for {_said(keys)}.")
    for r in fitting:
        if r[over] < size <= r[upto]:
            return r
    raise Refused(f"{size:g} mm is outside the table “{table}”, which runs over {min(r[over] for r in fitting):g} "
        f"up to {max(r[upto] for r in fitting):g} mm. It cannot be guessed from there.")


def interpolate(table: str, x: Any, along: str, column: str, **keys: Any) -> Any:
    """Straight line between neighbouring rows; raises Refused outside them."""
    fitting = sorted((r for r in rows(table) if all(r.get(key) == wanted for key, wanted in keys.items())),
        key=lambda r: r[along])
    xs, ys = [r[along] for r in fitting], [r[column] for r in fitting]
    at = np.asarray(x, dtype=float)
    if not len(xs) or (at < xs[0]).any() or (at > xs[-1]).any() or np.isnan(at).any():
        ends = f"from {xs[0]:g} to {xs[-1]:g}" if xs else "with no such row"
        raise Refused(
            f"{along} {x} is outside the table “{table}”, which runs {ends}. It cannot be guessed from there.")
    return np.interp(at, xs, ys)
