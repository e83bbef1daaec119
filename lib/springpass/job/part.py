"""A part to be made: its blank and its surfaces, read from a file or built on a page.

    sleeve = demo("drive_sleeve")              # data/parts/drive_sleeve.toml
    mine = read_text(text)                     # TOML text; every fault names its line and the remedy

Positions run along the axis from the near end, in mm; a file that says units = "inch" is read in inches (finish stays
in µm). An outside surface reaches from `from` to `to`; a bore
is open at an end of the part, or at both.
"""

from __future__ import annotations

import difflib
import re
import tomllib
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

import numpy as np

from .. import bore_stress, fits, heat, threads
from ..core import tables
from ..core.quantity import Refused, number, said

DEMOS = ("drive_sleeve", "bearing_housing", "bush")
OUTSIDE, BORE, THREAD, RECESS = "outside", "bore", "thread", "recess"
KINDS = (OUTSIDE, BORE, THREAD, RECESS)
PART_KEYS = ("name", "says", "units", "material", "length", "blank", "surface", "source", "place", "basis")
BLANK_KEYS = ("diameter", "length", "condition")
SURFACE_KEYS = ("name", "kind", "diameter", "class", "limits", "thread", "from", "to", "finish", "flat", "depth",
    "runout")
UNITS = {"mm": 1.0, "inch": 25.4}
GENERAL = 0.1    # plus or minus of a size without a tolerance of its own


@dataclass(frozen=True)
class Blank:
    """What the part is made from: a sawn piece, and the state of the bar (a name of the residual-stress table)."""

    diameter: float
    length: float
    condition: str


@dataclass(frozen=True)
class Surface:
    """One turned surface. Deviations in mm; `toleranced` only where the drawing says so."""

    name: str
    kind: str
    diameter: float
    start: float
    end: float
    lower: float = -GENERAL
    upper: float = GENERAL
    code: str = ""                 # "h6"; "" where limits were given or nothing was
    toleranced: bool = False
    finish: float = 0.0032         # Ra wanted, mm
    flat: bool = False             # flat bottom of a blind bore
    depth: tuple[float, float] | None = None    # deviations of a bore's depth
    thread: str = ""
    runout: tuple[str, float] | None = None     # to which surface, within how much
    inch: bool = False             # drawn in inches: called by its size in inches

    @property
    def length(self) -> float:
        return self.end - self.start

    @property
    def low(self) -> float:
        return self.diameter + self.lower

    @property
    def high(self) -> float:
        return self.diameter + self.upper

    @property
    def tolerance(self) -> float:
        return self.upper - self.lower

    @property
    def says(self) -> str:
        """"Ø20 h6", "M18x1", "Ø24", "Ø0.75 inch −0.0005 +0.0000"."""
        if self.thread:
            return self.thread
        scale, places, unit = (25.4, 4, " inch") if self.inch else (1.0, 3, "")
        given = self.code or (
            f"{self.lower / scale:+.{places}f} {self.upper / scale:+.{places}f}" if self.toleranced else "")
        return f"Ø{round(self.diameter / scale, 6):g}{unit} {given}".strip()


@dataclass(frozen=True)
class Part:
    """A part; surfaces as they were given."""

    name: str
    material: str
    length: float
    blank: Blank
    surfaces: tuple[Surface, ...]
    says: str = ""
    lines: dict[str, int] = field(default_factory=dict, repr=False, compare=False)

    def surface(self, name: str) -> Surface:
        """By its name. Raises Refused."""
        for s in self.surfaces:
            if s.name == name:
                return s
        raise Refused(f"{self.name} has no surface “{name}”; it has {', '.join(s.name for s in self.surfaces)}.")

    @property
    def outsides(self) -> tuple[Surface, ...]:
        """Outside and thread surfaces from the near end on."""
        return tuple(sorted((s for s in self.surfaces if s.kind in (OUTSIDE, THREAD)), key=lambda s: s.start))

    @property
    def bores(self) -> tuple[Surface, ...]:
        return tuple(s for s in self.surfaces if s.kind == BORE)

    @property
    def toleranced(self) -> tuple[Surface, ...]:
        return tuple(s for s in self.surfaces if s.toleranced)


# ---- reading --------------------------------------------------------------------------------------


def demo(name: str = "drive_sleeve") -> Part:
    """One of the demo parts. Raises Refused, with their names, for another."""
    if name not in DEMOS:
        raise Refused(f"There is no demo part “{name}”. Choose one of {', '.join(DEMOS)}.")
    return read_text((tables.folder() / "parts" / f"{name}.toml").read_text(encoding="utf-8"), f"{name}.toml")


def read_text(text: str, file: str = "the part") -> Part:
    """A part from TOML text. Raises Refused naming the line and the remedy."""
    if isinstance(text, str) and len(text) > tables.LONGEST:
        raise Refused(
            f"{file} is {len(text) / 1e6:.1f} million letters long; a part takes a page. Begin from one of the demo "
            "parts.")
    try:
        described = tomllib.loads(text.removeprefix("\ufeff"))
    except RecursionError:
        raise Refused(f"{file} has brackets within brackets without end. Mend it.") from None
    except tomllib.TOMLDecodeError as mishap:
        raise Refused(
            f"{file} cannot be read: {mishap}. Mend that line; a text needs quotation marks, a number a decimal point."
        ) from None
    return read(described, _lines(text), file)


def _lines(text: str) -> dict[str, int]:
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


class _Reader:
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

    def fault(self, key: str, wrong: str, remedy: str) -> Refused:
        place = ".".join(p for p in (self.where, key) if p)
        at = self.lines.get(place) or self.lines.get(self.where)
        line = f"line {at}: " if at else ""
        return Refused(f"{self.file}, {line}{wrong}. {remedy}{'' if remedy.endswith('?') else '.'}")

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


def read(described: Any, lines: dict[str, int] | None = None, file: str = "the part") -> Part:
    """A part from a dictionary as TOML gives it. Raises Refused naming the line (where known) and the remedy."""
    lines = lines or {}
    top = _Reader(described, "", lines, file, PART_KEYS)
    units = top.text("units", "mm")
    if units not in UNITS:
        raise top.fault("units", f"the units are “{units}”", 'Write units = "mm" or units = "inch"')
    scale = top.scale = UNITS[units]
    material = top.text("material")
    known = [m for m in heat.turned_materials() if m in tables.names("reaming_materials", "material")]
    if material not in known:
        near = difflib.get_close_matches(material, known, 3, 0.3) or known[:4]
        raise top.fault("material", f"nothing is known of the material “{material}”",
            f"Choose one such as {', '.join(near)}")
    length = top.size("length", least=1, most=1000)
    under = _Reader(described.get("blank"), "blank", lines, file, BLANK_KEYS, scale)
    blank = Blank(under.size("diameter", least=1, most=500), under.size("length", least=1, most=1500),
        under.text("condition"))
    if blank.condition not in bore_stress.stocks():
        fam = [s for s in bore_stress.stocks() if s.split(",")[0] in blank.condition] or bore_stress.stocks()
        raise under.fault("condition", f"“{blank.condition}” is no state of a bar that is known",
            f"Choose one of: {'; '.join(fam)}")
    if blank.length < length + 1:
        raise under.fault("length", f"the blank is {blank.length:g} mm and the part {length:g} mm long",
            "Leave at least half a millimetre on each end to face")
    given = described.get("surface")
    if not isinstance(given, list) or not given:
        raise top.fault("surface", "the part has no surfaces", "Add at least one [[surface]]")
    surfaces = tuple(_surface(s, i, lines, file, blank, length, scale) for i, s in enumerate(given, 1))
    made = Part(top.text("name"), material, length, blank, surfaces, top.text("says", "-"), lines)
    _together(made, lines, file)
    return made


def _surface(
    given: Any, count: int, lines: dict[str, int], file: str, blank: Blank, length: float, scale: float
) -> Surface:
    r = _Reader(given, f"surface {count}", lines, file, SURFACE_KEYS, scale)
    name, kind = r.text("name"), r.text("kind")
    if kind not in KINDS:
        raise r.fault("kind", f"a surface is not a “{kind}”", f"Choose one of {', '.join(KINDS)}")
    start, end = r.size("from", 0.0, most=length), r.size("to", length, most=length)
    if end - start < 0.5:
        raise r.fault("to", f"“{name}” runs from {start:g} to {end:g} mm",
            "Its end must lie half a millimetre past its beginning at least")
    thread = ""
    if kind == THREAD:
        thread = r.text("thread")
        try:
            diameter = threads.read(thread).major
            if threads.read(thread).inch:
                raise Refused("Only metric threads can be planned.")
            threads.limits(thread, "6g")
        except Refused as refusal:
            raise r.fault("thread", str(refusal).rstrip("."), "Write it as M18x1") from None
    else:
        diameter = r.size("diameter", least=0.5, most=500)
    if kind != BORE and diameter > blank.diameter - 0.4:
        raise r.fault("diameter", f"“{name}” is Ø{diameter:g} and the blank Ø{blank.diameter:g}",
            "Take a blank that leaves 0.4 mm to turn off")
    limits, code = r.pair("limits"), given.get("class", "")
    if limits and code:
        raise r.fault("limits", f"“{name}” has a class and limits", "Leave one of them out")
    lower, upper = limits or (-GENERAL, GENERAL)
    if code:
        try:
            zone = fits.limits(diameter, code)
            if fits.read_code(code).hole != (kind == BORE):
                raise Refused("A bore's class has a capital letter (H7) and an outside's a small one (h6).")
        except Refused as refusal:
            raise r.fault("class", str(refusal).rstrip("."), "Write it as h6 or H7") from None
        lower, upper, code = float(zone.lower), float(zone.upper), zone.code
    run = given.get("runout")
    if run is not None and not (isinstance(run, dict) and isinstance(run.get("to"), str)
            and isinstance(run.get("within"), int | float) and 0 < run["within"] * scale < 5):
        raise r.fault("runout", f"the run-out of “{name}” is not clear", 'Write runout = {to = "seat", within = 0.01}')
    if not isinstance(given.get("flat", False), bool):
        raise r.fault("flat", "flat must be true or false", "Write flat = true")
    return Surface(name, kind, diameter, start, end, lower, upper, code, bool(limits or code),
        r.size("finish", 3.2, 0.05, 50, 1.0) / 1000, bool(given.get("flat", False)), r.pair("depth"), thread,
        (run["to"], float(run["within"]) * scale) if run else None, scale != 1)


def _together(part: Part, lines: dict[str, int], file: str) -> None:
    """Do the surfaces make one part? Raises Refused."""

    def fault(s: Surface, wrong: str, remedy: str) -> Refused:
        at = lines.get(f"surface {1 + part.surfaces.index(s)}")
        return Refused(f"{file}, {f'line {at}: ' if at else ''}{wrong}. {remedy}.")

    names = [s.name for s in part.surfaces]
    for s in part.surfaces:
        if names.count(s.name) > 1:
            raise fault(
                part.surfaces[
                names.index(s.name) + 1 if s is part.surfaces[names.index(s.name)] else part.surfaces.index(s)],
                f"two surfaces are called “{s.name}”", "Give each a name of its own")
        if s.runout and s.runout[0] not in names:
            raise fault(s, f"“{s.name}” is to run true to “{s.runout[0]}”, which is not there",
                f"Name one of {', '.join(names)}")
    outs, at = part.outsides, 0.0
    if not outs:
        raise Refused(f"{file}: the part has no outside. Add a [[surface]] of kind \"outside\" from end to end.")
    for s in outs:
        if abs(s.start - at) > 1e-6:
            raise fault(s, f"“{s.name}” begins at {s.start:g} mm but the outside before it ends at {at:g} mm",
                "Outsides and threads must follow one another without gap or overlap, beginning at 0")
        at = s.end
    if abs(at - part.length) > 1e-6:
        raise fault(outs[-1], f"the outside ends at {at:g} mm and the part at {part.length:g} mm",
            "Let the last outside run to the part's end")
    sizes = [s.diameter for s in outs]
    top = int(np.argmax(sizes))
    if any(a > b + 1e-9 for a, b in pairwise(sizes[:top + 1])) or any(a < b - 1e-9 for a, b in pairwise(sizes[top:])):
        raise Refused(f"{file}: the outside dips between two larger diameters, which this planner does not turn. "
            "Give the dip as a recess, or let the diameters rise to one largest and fall from there.")
    for s in part.bores:
        if s.start > 1e-6 and s.end < part.length - 1e-6:
            raise fault(s, f"the bore “{s.name}” opens at neither end",
                f"Let it begin at 0 or run to {part.length:g} mm")
        wall = min(o.diameter for o in outs if o.start < s.end and o.end > s.start) - s.diameter
        if wall < 0.6:
            raise fault(s, f"the bore “{s.name}” leaves a wall of {wall / 2:g} mm", "Leave 0.3 mm at least")
    bores = sorted(part.bores, key=lambda s: s.start)
    for a, b in pairwise(bores):
        if a.end > b.start + 1e-6:
            raise fault(b, f"the bores “{a.name}” and “{b.name}” overlap", "Let one end where the other begins")
