"""A part to be made: its blank and its surfaces, read from a file or built on a page.

    sleeve = demo("drive_sleeve")              # data/parts/drive_sleeve.toml
    mine = read_text(text)                     # TOML text; every fault names its line and the remedy

Positions run along the axis from the near end, in mm; a file that says units = "inch" is read in inches (finish stays
in µm). An outside surface reaches from `from` to `to`; a bore
is open at an end of the part, or at both.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from .. import bore_stress, fits, heat, threads
from ..core import files, tables
from ..core.quantity import Refused, said
from .part_reader import PartFault, Reader, lines_of

DEMOS = ("drive_sleeve", "bearing_housing", "bush")
OUTSIDE, BORE, THREAD, RECESS = "outside", "bore", "thread", "recess"
INSIDE_THREAD, INSIDE_RECESS = "inside thread", "inside recess"
TAPER, INSIDE_TAPER, KNURL = "taper", "inside taper", "knurl"
KINDS = (OUTSIDE, BORE, THREAD, RECESS, INSIDE_THREAD, INSIDE_RECESS, TAPER, INSIDE_TAPER, KNURL)
OUTER = (OUTSIDE, THREAD, TAPER, KNURL)         # follow one another from end to end
INNER = (BORE, INSIDE_THREAD, INSIDE_TAPER)     # follow one another from an open end
THREADED, TAPERED = (THREAD, INSIDE_THREAD), (TAPER, INSIDE_TAPER)
PART_KEYS = ("name", "says", "units", "material", "length", "count", "blank", "surface", "source", "place", "basis")
BLANK_KEYS = ("diameter", "length", "condition")
SURFACE_KEYS = ("name", "kind", "diameter", "class", "limits", "thread", "from", "to", "finish", "flat", "depth",
    "runout", "end_diameter", "chamfer")
UNITS = {"mm": 1.0, "inch": 25.4}
MOST_PARTS = 1000
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
    end_diameter: float | None = None   # of a taper, at `end`
    chamfer: float = 0.0           # at 45 degrees on the free edges, mm along the axis

    @property
    def inside(self) -> bool:
        """Does it lie in the hole?"""
        return self.kind in (*INNER, INSIDE_RECESS)

    @property
    def crest(self) -> float:
        """Diameter of its outline: a thread inside is bored to the middle of its minor diameter."""
        if self.kind == INSIDE_THREAD:
            return threads.bore_for(self.thread, "2B" if threads.read(self.thread).inch else "6H").aim
        return self.diameter

    def at(self, z: float) -> float:
        """Diameter of its outline at a place along the axis."""
        if self.end_diameter is None:
            return self.crest
        share = min(max((z - self.start) / self.length, 0.0), 1.0)
        return self.diameter + share * (self.end_diameter - self.diameter)

    @property
    def largest(self) -> float:
        return max(self.at(self.start), self.at(self.end))

    @property
    def smallest(self) -> float:
        return min(self.at(self.start), self.at(self.end))

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
        to = "" if self.end_diameter is None else f" to Ø{round(self.end_diameter / scale, 6):g}"
        return f"Ø{round(self.diameter / scale, 6):g}{to}{unit} {given}".strip()


@dataclass(frozen=True)
class Part:
    """A part; surfaces as they were given."""

    name: str
    material: str
    length: float
    blank: Blank
    surfaces: tuple[Surface, ...]
    says: str = ""
    count: int = 1                 # how many are made
    lines: dict[str, int] = field(default_factory=dict, repr=False, compare=False)

    def surface(self, name: str) -> Surface:
        """By its name. Raises Refused."""
        for s in self.surfaces:
            if s.name == name:
                return s
        raise Refused(f"{self.name} has no surface “{name}”; it has {', '.join(s.name for s in self.surfaces)}.")

    @property
    def outsides(self) -> tuple[Surface, ...]:
        """The surfaces that make the outside, from the near end on."""
        return tuple(sorted((s for s in self.surfaces if s.kind in OUTER), key=lambda s: s.start))

    @property
    def bores(self) -> tuple[Surface, ...]:
        """The surfaces that make the hole, as they were given."""
        return tuple(s for s in self.surfaces if s.kind in INNER)

    @property
    def toleranced(self) -> tuple[Surface, ...]:
        return tuple(s for s in self.surfaces if s.toleranced)


OWN_PAGE = "Your own part"
OWN = "part.toml"   # the user's own part, in the folder of the shop


# ---- reading --------------------------------------------------------------------------------------


def demo(name: str = "drive_sleeve") -> Part:
    """One of the demo parts. Raises Refused, with their names, for another."""
    if name not in DEMOS:
        raise Refused(f"There is no demo part “{name}”. Choose one of {', '.join(DEMOS)}.")
    return read_text(demo_text(name), f"{name}.toml")


def demo_text(name: str) -> str:
    """The text of one of the demo parts."""
    return (tables.folder() / "parts" / f"{name}.toml").read_text(encoding="utf-8")


def own_text() -> str:
    """The text of the user's own part. Raises Refused where none was kept or it cannot be read."""
    place = files.folder() / OWN
    try:
        return place.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise Refused(f"No part of your own was kept yet. Draw one under “{OWN_PAGE}” and keep it.") from None
    except (OSError, UnicodeDecodeError):
        raise Refused(f"Your file {OWN} in {place.parent} cannot be read. Check what it is, or keep the part anew."
            ) from None


def own_part() -> Part:
    """The user's own part, as the form keeps it. Raises Refused."""
    return read_text(own_text(), OWN)


def read_text(text: str, file: str = "the part") -> Part:
    """A part from TOML text. Raises Refused naming the line and the remedy."""
    return read(tables.described(text, file), lines_of(text), file)


def read(described: Any, lines: dict[str, int] | None = None, file: str = "the part") -> Part:
    """A part from a dictionary as TOML gives it. Raises Refused naming the line (where known) and the remedy."""
    made = read_apart(described, lines, file)
    _together(made, made.lines, file)
    return made


def read_apart(described: Any, lines: dict[str, int] | None = None, file: str = "the part") -> Part:
    """As `read`, each surface checked by itself and not yet whether they make one part. Raises PartFault."""
    lines = lines or {}
    top = Reader(described, "", lines, file, PART_KEYS)
    units = top.text("units", "mm")
    if units not in UNITS:
        raise top.fault("units", f"the units are “{units}”", 'Write units = "mm" or units = "inch"')
    scale = top.scale = UNITS[units]
    material = top.text("material")
    known = known_materials()
    if material not in known:
        near = difflib.get_close_matches(material, known, 3, 0.3) or known[:4]
        raise top.fault("material", f"nothing is known of the material “{material}”",
            f"Choose one such as {', '.join(near)}")
    length = top.size("length", least=1, most=1000)
    under = Reader(described.get("blank"), "blank", lines, file, BLANK_KEYS, scale)
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
    return Part(top.text("name"), material, length, blank, surfaces, top.text("says", "-"), _count(top), lines)


def known_materials() -> list[str]:
    """What a part may be made of."""
    return [m for m in heat.turned_materials() if m in tables.names("reaming_materials", "material")]


def _count(top: Reader) -> int:
    count = top.table.get("count", 1)
    if isinstance(count, bool) or not isinstance(count, int) or not 1 <= count <= MOST_PARTS:
        raise top.fault("count", f"count is {said(count)}", f"Write how many are made, 1 to {MOST_PARTS}")
    return count


def _surface(
    given: Any, count: int, lines: dict[str, int], file: str, blank: Blank, length: float, scale: float
) -> Surface:
    r = Reader(given, f"surface {count}", lines, file, SURFACE_KEYS, scale)
    name, kind = r.text("name"), r.text("kind")
    if kind not in KINDS:
        raise r.fault("kind", f"a surface is not a “{kind}”", f"Choose one of {', '.join(KINDS)}")
    start, end = r.size("from", 0.0, most=length), r.size("to", length, most=length)
    if end - start < 0.5:
        raise r.fault("to", f"“{name}” runs from {start:g} to {end:g} mm",
            "Its end must lie half a millimetre past its beginning at least")
    thread = ""
    if kind in THREADED:
        thread = r.text("thread")
        try:
            read_thread = threads.read(thread)
            diameter, inch = read_thread.major, read_thread.inch
            threads.limits(thread, thread_class(kind, inch))
        except Refused as refusal:
            raise r.fault("thread", str(refusal).rstrip("."), "Write it as M18x1") from None
    else:
        diameter = r.size("diameter", least=0.5, most=500)
    end_diameter = r.size("end_diameter", least=0.5, most=500) if kind in TAPERED else None
    if end_diameter is None and "end_diameter" in r.table:
        raise r.fault("end_diameter", f"“{name}” is a {kind} and has an end_diameter",
            'Leave it out, or write kind = "taper"')
    if end_diameter == diameter:
        raise r.fault("end_diameter", f"“{name}” has the same diameter at both ends",
            'Give it another end_diameter, or write kind = "outside" or "bore"')
    inside = kind in (*INNER, INSIDE_RECESS)
    widest = max(diameter, end_diameter or 0.0)
    if not inside and widest > blank.diameter - 0.4:
        raise r.fault("diameter", f"“{name}” is Ø{widest:g} and the blank Ø{blank.diameter:g}",
            "Take a blank that leaves 0.4 mm to turn off")
    chamfer = r.size("chamfer", 0.0, most=20)
    if chamfer and kind not in (OUTSIDE, BORE, THREAD, INSIDE_THREAD, KNURL):
        raise r.fault("chamfer", f"“{name}” is a {kind} and has a chamfer", "Give chamfers to outsides and bores")
    limits, code = r.pair("limits"), given.get("class", "")
    if kind in THREADED and (limits or code):
        raise r.fault("class" if code else "limits", f"“{name}” is a thread and has limits of its own",
            "Leave them out: it is cut to 6g or 6H, 2A or 2B")
    if limits and code:
        raise r.fault("limits", f"“{name}” has a class and limits", "Leave one of them out")
    lower, upper = limits or (-GENERAL, GENERAL)
    if code:
        try:
            zone = fits.limits(diameter, code)
            if fits.read_code(code).hole != inside:
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
        (run["to"], float(run["within"]) * scale) if run else None, scale != 1, end_diameter, chamfer)


def thread_class(kind: str, inch: bool) -> str:
    """The usual class of a thread: 6g and 2A outside, 6H and 2B inside."""
    return ("2B" if inch else "6H") if kind == INSIDE_THREAD else "2A" if inch else "6g"


def _together(part: Part, lines: dict[str, int], file: str) -> None:
    """Do the surfaces make one part? Raises Refused."""

    def fault(s: Surface, wrong: str, remedy: str) -> Refused:
        place = f"surface {1 + part.surfaces.index(s)}"
        return PartFault(file, lines.get(place), place, f"{wrong}. {remedy}.", True)

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
        raise PartFault(file, None, "surface",
            "the part has no outside. Add a surface of kind \"outside\" from end to end.", True)
    for s in outs:
        if abs(s.start - at) > 1e-6:
            raise fault(s, f"“{s.name}” begins at {s.start:g} mm but the outside before it ends at {at:g} mm",
                "Outsides and threads must follow one another without gap or overlap, beginning at 0")
        at = s.end
    if abs(at - part.length) > 1e-6:
        raise fault(outs[-1], f"the outside ends at {at:g} mm and the part at {part.length:g} mm",
            "Let the last outside run to the part's end")
    bores = sorted(part.bores, key=lambda s: s.start)
    for s in bores:
        wall = min(min(o.at(max(o.start, s.start)), o.at(min(o.end, s.end))) - max(s.at(max(o.start, s.start)),
            s.at(min(o.end, s.end)), s.diameter if s.kind == INSIDE_THREAD else 0.0)
            for o in outs if o.start < s.end and o.end > s.start)
        if wall < 0.6:
            raise fault(s, f"the bore “{s.name}” leaves a wall of {max(wall, 0) / 2:.3g} mm", "Leave 0.3 mm at least")
    for a, b in pairwise(bores):
        if a.end > b.start + 1e-6:
            raise fault(b, f"the bores “{a.name}” and “{b.name}” overlap", "Let one end where the other begins")
    opened = _open(bores, part.length)
    for s in bores:
        if s not in opened:
            raise fault(s, f"the bore “{s.name}” opens at neither end",
                f"Let it begin at 0, run to {part.length:g} mm, or meet a bore that does")
    for s in part.surfaces:
        if s.kind in (RECESS, INSIDE_RECESS):
            _recessed(part, s, fault)
        if s.chamfer and s.chamfer > s.length / 2:
            raise fault(s, f"the chamfer of “{s.name}” is {s.chamfer:g} mm and the surface {s.length:g} mm long",
                "Make it half the length at most")


def _open(bores: list[Surface], length: float) -> list[Surface]:
    """Those that an end of the part leads to."""
    found: list[Surface] = []
    at = 0.0
    for s in bores:
        if abs(s.start - at) < 1e-6:
            found.append(s)
            at = s.end
    at = length
    for s in reversed(bores):
        if abs(s.end - at) < 1e-6:
            found.append(s)
            at = s.start
    return found


def _recessed(part: Part, s: Surface, fault: Callable[[Surface, str, str], Refused]) -> None:
    """A groove must lie in a wall that is there."""
    there = part.bores if s.inside else part.outsides
    walls = [o for o in there if o.start < s.end - 1e-6 and o.end > s.start + 1e-6]
    covered = sum(min(o.end, s.end) - max(o.start, s.start) for o in walls)
    if covered < s.length - 1e-6:
        raise fault(s, f"the groove “{s.name}” lies in no bore over its whole width",
            "Move it, or make the bore longer")
    if s.inside:
        room = min(o.smallest for o in part.outsides if o.start < s.end and o.end > s.start) - s.diameter
        shallow, thin = min(w.largest for w in walls) > s.diameter - 0.02, room < 0.6
        if shallow or thin:
            raise fault(s, f"the groove “{s.name}” is Ø{s.diameter:g}",
                "It must be larger than its bore, and leave a wall of 0.3 mm")
    elif max(w.largest for w in walls) < s.diameter + 0.02:
        raise fault(s, f"the groove “{s.name}” is Ø{s.diameter:g}, as large as the outside there",
            "Give it a smaller diameter")
