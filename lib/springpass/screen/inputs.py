"""What a page can ask: a number, one of a few words, yes or no, free text, a file, a table to fill in.

Each input knows what it is called, where it stands when the page opens, and how to check what it is given: `check`
returns a value in library units or raises Refused with a sentence.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from ..core.quantity import Quantity, Refused, quantity_of, said

GROUPS = ("work", "tool", "holder", "cut", "view")


@dataclass(frozen=True)
class Slide:
    """A number with a slider and a box to type in; span, unit and meaning come from its quantity."""

    name: str
    of: object           # a quantity, or the type that carries it: Stickout, but(Stickout, high=80)
    group: str = "work"
    label: str = ""
    rare: bool = False   # shown only when the reader asks for all settings

    @cached_property
    def quantity(self) -> Quantity:
        return quantity_of(self.of)

    @property
    def usual(self) -> float:
        return int(self.quantity.usual) if self.quantity.whole else self.quantity.usual

    @property
    def says(self) -> str:
        return self.quantity.says

    def check(self, value: Any, inch: bool = False) -> Any:
        if isinstance(value, str):
            return self.quantity.read(value, called(self), inch)
        if isinstance(value, (bool, np.bool_)) or not isinstance(value, (int, float, np.integer, np.floating)):
            raise Refused(f"{called(self)} must be one number; it was {said(value)}.")
        try:
            plain_number = float(value)
        except OverflowError:
            plain_number = float("inf")
        if abs(plain_number) < 1e-30:   # what is smaller is zero
            plain_number = 0.0
        return self.quantity.check(plain_number, called(self), inch)


@dataclass(frozen=True)
class Choose:
    """One of a few words. fills: what else is set on the page when it is chosen, by input."""

    name: str
    options: Sequence[str]
    usual: str
    group: str = "work"
    label: str = ""
    says: str = ""
    rare: bool = False
    fills: Callable[[str], dict[str, Any]] | None = None

    def check(self, value: Any, inch: bool = False) -> Any:
        if not isinstance(value, str) or value not in self.options:
            some = self.options if len(self.options) <= 12 else [*self.options[:12], "…"]
            raise Refused(f"{called(self)} cannot be {said(value)}. Choose one of: {', '.join(some)}.")
        return value


@dataclass(frozen=True)
class Tick:
    """Yes or no."""

    name: str
    usual: bool = False
    group: str = "work"
    label: str = ""
    says: str = ""
    rare: bool = False

    def check(self, value: Any, inch: bool = False) -> Any:
        if not isinstance(value, (bool, np.bool_)):
            raise Refused(f"{called(self)} is either ticked or not; it was {said(value)}.")
        return bool(value)


@dataclass(frozen=True)
class Write:
    """Free text, such as a fit or a column of readings; `compute` reads it and refuses what it cannot read."""

    name: str
    usual: str = ""
    group: str = "work"
    label: str = ""
    says: str = ""
    rows: int = 1
    rare: bool = False
    longest: int = 20000

    def check(self, value: Any, inch: bool = False) -> Any:
        if not isinstance(value, str):
            raise Refused(f"{called(self)} must be text; it was {said(value)}.")
        if len(value) > self.longest:
            raise Refused(f"{called(self)} is too long: {len(value)} letters. Keep it under {self.longest}.")
        return value


@dataclass(frozen=True)
class Load:
    """A file the user picks, or `several` put together, a line's end between; its bytes, or None while there is none.
    With `fills` its content goes into other inputs, {name: value}, and no file stands there afterwards.
    """

    name: str
    accept: str
    group: str = "work"
    label: str = ""
    says: str = ""
    usual: None = None
    rare: bool = False
    several: bool = False
    fills: Callable[[bytes], dict[str, Any]] | None = None

    def check(self, value: Any, inch: bool = False) -> Any:
        if value is not None and not isinstance(value, (bytes, bytearray, memoryview)):
            raise Refused(f"{called(self)} must be a file; it was {said(value)}.")
        return None if value is None else bytes(value)


@dataclass(frozen=True)
class Column:
    """One column of a table that the reader fills in: free text, or one of a few words."""

    name: str
    label: str = ""
    says: str = ""
    options: Sequence[str] = ()
    wide: float = 1.0      # share of the table's width


@dataclass(frozen=True)
class Table:
    """Lines of cells, each a text; it grows by a line as the last one is begun, and empty lines count for nothing.

    A result's `cells` marks what is wrong: {"surfaces.2.size": sentence} for the cell of a table, {"length": sentence}
    for any other input.
    """

    name: str
    columns: tuple[Column, ...]
    usual: tuple[tuple[str, ...], ...] = ()
    group: str = "work"
    label: str = ""
    says: str = ""
    line: str = "line"     # what one line is
    rare: bool = False
    most: int = 60         # lines
    longest: int = 300     # letters of a cell

    def check(self, value: Any, inch: bool = False) -> Any:
        if not isinstance(value, list | tuple) or not all(isinstance(row, list | tuple)
                and len(row) == len(self.columns) and all(isinstance(cell, str) for cell in row) for row in value):
            raise Refused(f"{called(self)} must be lines of {len(self.columns)} texts; it was {said(value)}.")
        rows = tuple(tuple(row) for row in value if any(cell.strip() for cell in row))
        if len(rows) > self.most:
            raise Refused(f"{called(self)} has {len(rows)} lines. Keep it under {self.most}.")
        if any(len(cell) > self.longest for row in rows for cell in row):
            raise Refused(f"{called(self)} has a cell of over {self.longest} letters. Keep each under that.")
        return rows


Input = Slide | Choose | Tick | Write | Load | Table


def called(what: Input) -> str:
    """What the page calls an input."""
    return what.label or what.name.replace("_", " ")


def step_of(q: Quantity) -> float:
    """How far one step of the slider goes, in the unit shown."""
    if q.whole:
        return 1.0
    return q.step or float(10 ** np.floor(np.log10((q.to_shown(q.high) - q.to_shown(q.low)) / 60)))
