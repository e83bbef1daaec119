"""Out of size: what can still be done with this part."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from html import escape
from typing import Any

import numpy as np

from ..core import tables
from ..core.quantity import Say, but, plain, quantity_of
from ..core.shared import Feed, NoseRadius
from ..core.spread import EDGE, FAILS, HOLDS, Likely
from ..cutting import surface_finish
from ..fits import grade
from ..fits.quantities import FitSize
from ..job import rescue as save
from ..job.quantities import OffFar, OffMiddle, OffNear, SeatLength, WallBehind
from ..screen.draw import Chart, room
from ..screen.page import SHAPES, Choose, Page, Slide, Write
from .check_stickout import percent
from .pressing import MATERIALS

FACES = {"a seat on a shaft": save.SEAT, "a bore": save.BORE}
MATES = {"a rolling bearing": save.BEARING, "a part made to fit": save.MADE}
EDGES = tuple(surface_finish.edge_kinds())
USUAL = {save.SEAT: "h6", save.BORE: "H7"}
FORM = tables.row("bearing_seat_form", **{"class": "Normal", "demands": "usual", "what": "cylindricity"})


@dataclass(frozen=True)
class Saved:
    rescue: save.Rescue
    mate: str
    wall: float

    @property
    def verdict(self) -> str:
        return self.rescue.verdict

    @property
    def headline(self) -> str:
        if isinstance(self.rescue.ways[0], save.AsItIs) and self.verdict == HOLDS:
            return "In size"
        return {HOLDS: "It can be saved", EDGE: "Perhaps it can be saved", FAILS: "Make it again"}[self.verdict]


@lru_cache(maxsize=64)
def compute(face: str, mate: str, diameter: float, code: str, near: float, middle: float, far: float, length: float,
        wall: float, material: str, edge: str, nose_radius: float, feed: float) -> Saved:
    """Three readings along a seat or a bore against its class, and every way to save it; mm.

    An empty class is h6 or H7. Raises Refused for a class that is none, or sizes that cannot be.
    """
    kind = FACES[face]
    form = float(grade(diameter, int(FORM["grade"])) * FORM["share"])
    found = save.measured(kind, diameter, code.strip() or USUAL[kind], (near, middle, far), length, form=form)
    return Saved(save.rescue(found, MATES[mate], wall, material, edge, feed, nose_radius), MATES[mate], wall)


# ---- the picture ----------------------------------------------------------------------------------

UP, DOWN = -5, 16   # px from a limit to the foot of its name
SIDE = 0.12   # of the length left free on either side for the handles


def picture(r: Saved, say: Say) -> str:
    m, unit = r.rescue.measured, say.fine_number
    ends = room(unit(m.off), unit(m.lower), unit(m.upper), margin=0.35)
    long = float(say.length_number(m.length))
    d = Chart("The size along the seat" if m.face == save.SEAT else "The size along the bore", words(r, say),
        x=("from the free end", say.length_unit, -SIDE * long, (1 + SIDE) * long),
        y=("off nominal", say.fine_unit, *ends), height=310)
    x, off = say.length_number(m.places), unit(m.off)
    rest = np.full(len(x), ends[0] if m.face == save.SEAT else ends[1])
    d.band(x, np.minimum(off, rest), np.maximum(off, rest), "work")
    across = np.array([-SIDE * long, (1 + SIDE) * long])
    d.band(across, np.full(2, unit(m.lower)), np.full(2, unit(m.upper)), "c")
    d.curve(x, off, "")
    tall = (ends[1] - ends[0]) / (d.bottom - d.top)   # of one px
    for limit, name, down in ((m.upper, "upper", UP), (m.lower, "lower", DOWN)):
        d.level(float(unit(limit)))
        d.note(long / 4, float(unit(limit)) - down * tall, f"{name} limit of {m.code}")
    d.text(d.right, 17, "shaded: metal", "end", "small halo")
    per = -(ends[1] - ends[0]) / (d.bottom - d.top) * float(unit_in_micrometres(say))
    for name, at, value in zip(("near", "middle", "far"), x, off, strict=True):
        d.mark(float(at), float(value), "", "a", "diamond")
        d.handle(name, float(d.at_x(at)), float(np.clip(d.at_y(value), d.top, d.bottom)), per, "y")
    return d.svg()


def unit_in_micrometres(say: Say) -> float:
    """One fine unit of this reader in the unit that the sliders run in."""
    return float(quantity_of(OffNear).to_shown(1.0) / say.fine_number(1.0))


# ---- the words --------------------------------------------------------------------------------------

SHAPES_SAID = {save.EVEN: "", save.TAPER: "a taper", save.BELL: "{bell} at the free end",
    save.BARREL: "{full} in the middle", save.WAIST: "{thin} in the middle"}


def _shape(m: save.Measured) -> str:
    seat = m.face == save.SEAT
    return SHAPES_SAID[m.shape].format(bell="rounded off" if seat else "a bell mouth",
        full="thickest" if seat else "tightest", thin="thinnest" if seat else "widest")


def words(r: Saved, say: Say) -> str:
    m, best = r.rescue.measured, r.rescue.ways[0]
    what, shape = ("seat" if m.face == save.SEAT else "bore"), _shape(m)
    small = "undersize" if (m.face == save.SEAT) == (m.lacks > 0) else "oversize"
    if isinstance(best, save.AsItIs) and best.verdict == HOLDS:
        return f"Every reading lies within {m.code}{': ' + shape if shape else ''}. Use it."
    first = (f"The {what} is up to {say.fine(max(m.lacks, m.spare))} {small}{', ' + shape if shape else ''}; "
        f"{_share(m.inside)} of its length is within {m.code}.")
    also = (" The other end is too " + ("large" if m.face == save.SEAT else "small") + ": take that off first."
        if m.lacks > 0 and m.spare > 0 else "")
    if r.verdict == FAILS:
        return f"{first}{also}\nNone of the ways below holds. Make the part again, and keep this one for practice."
    others = sum(way.verdict != FAILS for way in r.rescue.ways) - 1
    more = f" {others} other {'way stands' if others == 1 else 'ways stand'} below." if others else ""
    return f"{first}{also}\n{_say(best, m, say)}{more}"


def _share(share: float) -> str:
    return "none" if share < 0.005 else "all" if share > 0.995 else f"{100 * share:.0f} %"


def _size(value: float, say: Say) -> str:
    return f"{value / 25.4:.5f} inch" if say.inch else f"{value:.3f} mm"


def _span(low: float, high: float, say: Say) -> str:
    return f"{low / 25.4:.5f} to {high / 25.4:.5f} inch" if say.inch else f"{low:.3f} to {high:.3f} mm"


def _force(one: Likely) -> str:
    low, high = (plain(float(f"{v / 1e3:.2g}"), 3) for v in (one.low, one.high))
    return f"{low} to {high} kN"


def _clearance(low: float, high: float, say: Say) -> str:
    if low >= 0:
        return f"clearance of {_two(low, high, say)}"
    if high <= 0:
        return f"interference of {_two(-high, -low, say)}"
    return f"a fit from {say.fine(-low)} interference to {say.fine(high)} clearance"


def _two(low: float, high: float, say: Say) -> str:
    return f"{say.bare(low, 2)} to {say.fine(high)}"


def _as_it_is(w: save.AsItIs, m: save.Measured, say: Say) -> str:
    return (f"Use it as it is: {_share(w.share)} of the length bears, and the worst place is {say.fine(w.worst)} "
        "beyond its limit. " + ("Only for light loads." if w.verdict == EDGE else "Too little of it is left."))


def _cut(w: save.CutAgain, m: save.Measured, say: Say) -> str:
    can = ("This edge still cuts that" if w.verdict == HOLDS else "This edge may only rub there"
        if w.verdict == EDGE else "This edge rubs there")
    return (f"Cut again to {_size(w.target, say)}: {say.fine(w.depth)} depth of cut at the worst place. {can} (chance "
        f"{percent(w.chance)}); below about {say.fine(w.least.value)} depth it rubs.")


def _polish(w: save.Polish, m: save.Measured, say: Say) -> str:
    how = "Polish it with fine emery" if m.face == save.SEAT else "Lap or hone it"
    return (f"{how}: {say.fine(w.take)} on diameter brings it to its limit. Up to about {say.fine(w.most)} it stays "
        "round.")


def _class(w: save.OtherClass, m: save.Measured, say: Say) -> str:
    feel = w.tightest if w.tightest == w.loosest else f"{w.tightest} to {w.loosest}"
    return (f"Every reading lies in {w.code} ({feel}): {_clearance(w.least, w.most, say)}, where the drawing meant "
        f"{_clearance(*w.wanted, say)}. Ask whether the fit may change.")


def _mate(w: save.MateToMeasure, m: save.Measured, say: Say) -> str:
    mate = "hub's bore" if m.face == save.SEAT else "pin"
    if w.verdict == FAILS:
        return f"No {mate} fits it along the whole length: true up the form first."
    narrow = "" if w.verdict == HOLDS else f" That is narrower than the {say.fine(w.needs)} of grade 6."
    return (f"Make the {mate} to measure, {_span(w.low, w.high, say)}: then it fits as drawn along the whole length."
        f"{narrow}")


def _hone(w: save.Hone, m: save.Measured, say: Say) -> str:
    return (f"Hone the bore even, to {_size(w.size, say)} ({say.fine(w.take)} on diameter), then make the pin "
        f"{_span(w.mate_low, w.mate_high, say)}.")


def _compound(w: save.Compound, m: save.Measured, say: Say) -> str:
    kind = "for fine gaps" if w.kind == save.COMPOUNDS[0] else "that fills gaps"
    if w.gap <= 0:
        return f"A retaining compound {kind} helps a fit that still grips: no gap is left at all."
    return (f"Bond it with a retaining compound {kind}: the widest gap is {say.fine(w.gap)}, and it bridges about "
        f"{say.fine(w.bridges)}. It holds {_force(w.force)} along the axis, and may sit {say.fine(w.off_axis)} off "
        "it.")


def _pressed(w: save.Pressed, m: save.Measured, say: Say) -> str:
    low, high = w.interference
    part = (f"Turn the seat down to {say.length(w.joint)} and press on a sleeve" if w.sleeve
        else f"Bore it out to {say.length(w.joint)} and press in a bush")
    part += f" of {say.length(w.wall, 2)} wall, {w.fit}"
    stress = f"At most interference the parts reach {100 * w.yields.value:.0f} % of yield."
    then = (f"Turn the sleeve after pressing: it grows by {say.fine(w.moves.value)}. {100 * w.left:.0f} % of the "
        "shaft's strength in torsion is left." if w.sleeve else
        f"Bore the bush after pressing: it closes by {say.fine(w.moves.value)}. {100 * w.left:.0f} % of the wall is "
        "left.")
    return f"{part}: {_clearance(-high, -low, say)}. {stress} {then}"


def _bearing(w: save.NextBearing, m: save.Measured, say: Say) -> str:
    left = "of the shaft's strength in torsion" if m.face == save.SEAT else "of the wall"
    other = "outside" if m.face == save.SEAT else "bore"
    return (f"Take the next bearing, {w.name}: {say.length(w.take, 3)} comes off the diameter, "
        f"{100 * w.left:.0f} % {left} is left. Its {other} is {say.length(w.other)}, so the other part changes too.")


BUILT = {"nickel plate": "Have it nickel-plated", "chrome plate": "Have it chrome-plated and ground",
    "knurl": "Knurl it"}


def _build(w: save.BuildUp, m: save.Measured, say: Say) -> str:
    on = "on radius" if w.on_radius else "on diameter"
    doubt = (" A knurled seat bears on its ridges only: light loads, and no bearing that must run true."
        if w.kind == "knurl" else " The plater sets what is possible.")
    return (f"{BUILT[w.kind]}: it lacks {say.fine(w.needs)} {on}, and this gives about {say.fine(w.most)} at most."
        f"{doubt}")


SAYS: dict[type, Callable[[Any, save.Measured, Say], str]] = {save.AsItIs: _as_it_is, save.CutAgain: _cut,
    save.Polish: _polish, save.OtherClass: _class, save.MateToMeasure: _mate, save.Hone: _hone,
    save.Compound: _compound, save.Pressed: _pressed, save.NextBearing: _bearing, save.BuildUp: _build}
CAUTIONS = ("Emery at a running lathe: strips held by their ends, never wrapped round a finger; sleeves rolled up; "
    "cover the ways. A hone or a lap turns slowly and is taken out stopped.",
    "Press with a guard and eye protection. Compounds irritate the skin: gloves, and air.",
    "A repaired part on a machine that can hurt somebody is the designer's decision, not yours.")


def _say(way: save.Way, m: save.Measured, say: Say) -> str:
    return SAYS[type(way)](way, m, say)


def more(r: Saved, say: Say) -> str:
    m = r.rescue.measured
    rows = "".join(f"<tr><td>{SHAPES[w.verdict]} {w.verdict}</td><td>{escape(_say(w, m, say))}</td></tr>"
        for w in r.rescue.ways)
    return (f"<table><tr><th>holds?</th><th>what to do</th></tr>{rows}</table>"
        + "".join(f"<p>{escape(c)}</p>" for c in CAUTIONS))


RESCUE = Page(name="rescue", title="Out of size: can it be saved?",
    inputs=(Choose("face", tuple(FACES), next(iter(FACES)), "work", "measured"),
    Choose("mate", tuple(MATES), next(iter(MATES)), "work", "goes with"),
    Slide("diameter", but(FitSize, low=5, high=120, usual=20), "work", "nominal size"),
    Write("code", "", "work", "tolerance class", "such as h6 or k6 for a seat, H7 for a bore; empty: h6 or H7"),
    Slide("near", OffNear, "work", "off nominal at the free end"),
    Slide("middle", OffMiddle, "work", "off nominal in the middle"),
    Slide("far", OffFar, "work", "off nominal at the other end"),
    Slide("length", SeatLength, "work", "length"), Slide("wall", WallBehind, "work", "metal behind it, on radius"),
    Choose("material", MATERIALS, "carbon steel C45 / 1045", "work"),
    Choose("edge", EDGES, "carbide, ground, uncoated", "tool", "edge"),
    Slide("nose_radius", but(NoseRadius, low=0.1, usual=0.4), "tool", "nose radius"),
    Slide("feed", but(Feed, low=0.02, high=0.15), "cut", "feed per revolution")), compute=compute, picture=picture,
    words=words, more=more)
