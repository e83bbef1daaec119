"""Reads one table of a part's text and says, with its line, where a fault is."""

from __future__ import annotations

import difflib
import re
from typing import Any

import numpy as np

from ..core.quantity import Refused, number, said


def lines_of(text: str) -> dict[str, int]:
    """Where each entry stands: "surface 2" and "surface 2.diameter" -> line number."""
    places, section, count = {}, "", 0
    for at, line in enumerate(text.splitlines(), 1):
        head = re.match(r"\s*\[+\s*([\w.]+)\s*\]+", line)
        entry = re.match(r"\s*([\w-]+)\s*=", line)
        if head:
            count += head[1] == "surface"
            section = f"surface {count}" if head[1] == "surface" else head[1]
            places[section] = at
        elif entry:
            places[f"{section}.{entry[1]}" if section else entry[1]] = at
    return places


class PartFault(Refused):
    """A fault of a part: the sentence, and apart from file and line the place ("surface 2.diameter") and the bare
    sentence. `together`: the surfaces are clear one by one and do not make one part.
    """

    def __init__(self, file: str, at: int | None, place: str, bare: str, together: bool = False) -> None:
        super().__init__(f"{file}, {f'line {at}: ' if at else ''}{bare}")
        self.place, self.bare, self.together = place, bare[:1].upper() + bare[1:], together


class Reader:
    """Takes one table apart and says where a fault is."""

    def __init__(self, table: Any, where: str, lines: dict[str, int], file: str, keys: tuple[str, ...],
            scale: float = 1.0):
        self.where, self.lines, self.file, self.scale = where, lines, file, scale
        if not isinstance(table, dict):
            raise self.fault("", "it must be a table of names and values", "See the demo parts")
        self.table = table
        for key in table:
            if key not in keys:
                near = difflib.get_close_matches(str(key), keys, 1)
                raise self.fault(key, f"{said(key)} is not known here",
                    f"Did you mean “{near[0]}”?" if near else f"Use {', '.join(keys)}")

    def fault(self, key: str, wrong: str, remedy: str) -> PartFault:
        place = ".".join(p for p in (self.where, key) if p)
        at = self.lines.get(place) or self.lines.get(self.where)
        return PartFault(self.file, at, place, f"{wrong}. {remedy}{'' if remedy.endswith('?') else '.'}")

    def text(self, key: str, usual: str | None = None) -> str:
        value = self.table.get(key, usual)
        if value is None:
            raise self.fault(key, f"{self.where or 'the part'} has no {key}", f"Add a line such as {key} = \"…\"")
        if not isinstance(value, str) or not value.strip():
            raise self.fault(key, f"{key} must be a text", "Put it in quotation marks")
        if len(value) > 200:
            raise self.fault(key, f"{key} is {len(value)} letters long", "Keep it under 200")
        return value.strip()

    @property
    def unit(self) -> str:
        return "mm" if self.scale == 1 else "inch"

    def size(self, key: str, usual: float | None = None, least: float = 0.0, most: float = 2000.0,
            scale: float | None = None) -> float:
        """A number of the table, in mm; `usual`, `least` and `most` are in mm too."""
        value = self.table.get(key)
        if value is None:
            if usual is not None:
                return usual
            raise self.fault(key, f"{self.where or 'the part'} has no {key}",
                f"Add a line such as {key} = {'20' if self.scale == 1 else '0.75'}")
        try:
            found = round(number(value) * (self.scale if scale is None else scale), 9)
        except Refused:
            raise self.fault(key, f"{key} is {said(value)}, which is not a number",
                f"Write it in {self.unit}, such as {'12.5' if self.scale == 1 else '0.5'}") from None
        if not np.isfinite(found) or not least <= found <= most:
            raise self.fault(key, f"{key} is {found:g} mm", f"It must lie between {least:g} and {most:g} mm")
        return found

    def pair(self, key: str) -> tuple[float, float] | None:
        value = self.table.get(key)
        if value is None:
            return None
        if not isinstance(value, list | tuple) or len(value) != 2:
            raise self.fault(key, f"{key} must be two deviations", f"Write {key} = {self._limits}")
        try:
            low, high = (number(v) * self.scale for v in value)
        except Refused:
            raise self.fault(key, f"{key} must be two numbers", f"Write {key} = {self._limits}") from None
        if not (np.isfinite([low, high]).all() and low < high and max(abs(low), abs(high)) <= 5):
            raise self.fault(key, f"{key} runs from {low:g} to {high:g}{' mm' if self.scale != 1 else ''}",
                "The first must be below the second, and neither over 5 mm")
        return low, high

    @property
    def _limits(self) -> str:
        return "[-0.01, 0.02], in mm" if self.scale == 1 else "[-0.0005, 0], in inch"
