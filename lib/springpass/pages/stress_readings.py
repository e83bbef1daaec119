"""Pages that look inside the bar: the stress over its radius, boring out a scrap piece, slitting a ring."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from .. import bore_stress as stress
from ..bore_stress import readings as stress_readings
from ..bore_stress.quantities import SlitOpening
from ..core import spread
from ..core.quantity import Quantity, Refused, Say, but, number, plain
from ..core.shared import RingWall, WorkDiameter
from ..core.spread import Likely, likely
from ..core.tables import fact
from ..printing.plan_words import short_bore
from ..screen.draw import Chart, Drawing, nice_ticks, room
from ..screen.page import Choose, Page, Slide, Write
from .bore_stress import short_note

# ---- page: the stress itself ----------------------------------------------------------------------------

@dataclass(frozen=True)
class Inside:
    bar: float
    bore: float
    outside: float
    before: tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]   # radius, axial, hoop, radial
    after: tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]


def compute_inside(axial: float, hoop: float, steep: float, bar: float, turned: float, bored: float) -> Inside:
    """Stress over the radius, in the bar as supplied and in what is left of it."""
    outside, bore = bar * turned, bar * turned * bored
    r = np.linspace(0, bar / 2, 61)
    was = stress.stress_after(bar / 2, axial, hoop, steep, steep, 0.0, bar / 2, r)
    left = np.linspace(bore / 2, outside / 2, 61)
    now = stress.stress_after(bar / 2, axial, hoop, steep, steep, bore / 2, outside / 2, left)
    return Inside(bar, bore, outside, (r, *was), (left, *now))


def words_inside(result: Inside, say: Say) -> str:
    (_, z0, t0, _), (_, z1, t1, _) = result.before, result.after
    what = f"Ø{say.length(result.outside)}" + (
        f" with a bore of Ø{say.length(result.bore)}" if result.bore else ", solid")
    where = "at the bore" if result.bore else "in the middle"
    return (f"Cut to {what}, the outside still holds {_mpa(z1[-1])} along the bar and {_mpa(t1[-1])} around it. "
        f"As supplied, the skin held {_mpa(z0[-1])} along and {_mpa(t0[-1])} around.\nWhat is left balances again: "
        f"{where} there are {_mpa(z1[0])} along and {_mpa(t1[0])} around.")


def _mpa(value: float) -> str:
    return f"{plain(round(float(value)), 4)} MPa"


def picture_inside(result: Inside, say: Say) -> str:
    r0, z0, t0, _ = result.before
    r1, z1, t1, _ = result.after
    chart = Chart("Stress over the radius", "Thin: the bar as supplied. Thick: what is left after cutting.",
        x=("radius", say.length_unit, 0.0, 1.2 * float(say.length_number(result.bar / 2))),
        y=("stress (plus: tension; thin: as supplied)", "MPa", *room(z0, t0, z1, t1, [0.0])))
    chart.curve(say.length_number(r0), z0, "", "thin")
    chart.curve(say.length_number(r0), t0, "", "thin")
    chart.level(0.0, "", "faint")
    chart.curve(say.length_number(r1), z1, "", "a")
    chart.curve(say.length_number(r1), t1, "", "b")
    beside = 1.02 * float(say.length_number(result.bar / 2))
    chart.curve([beside], [z1[-1]], "along", "a")
    chart.curve([beside], [t1[-1]], "around", "b")
    if result.bore:
        chart.upright(float(say.length_number(result.bore / 2)), "bore")
    return chart.svg()


Skin_ = Quantity("S", "MPa", low=-600, high=600, usual=275, says="stress at the skin of the bar, tension plus", step=5)
Steep = Quantity("m", "1", low=1, high=12, usual=2, says="how steeply the stress rises to the skin", step=0.5)
Turned = Quantity("b", "1", low=0.5, high=1, usual=0.91, shown="%", says="outside, share of the bar", step=1)
BoredTo = Quantity("a", "1", low=0, high=0.95, usual=0.5, shown="%", says="bore, share of the outside", step=1)
INSIDE = Page(name="bore_stress_inside", title="What is locked up in the bar, and what is left of it?",
    inputs=(Slide("axial", Skin_, label="along the bar at its skin"),
    Slide("hoop", Skin_.but(usual=180), label="around the bar at its skin"),
    Slide("steep", Steep, label="steepness towards the skin"),
    Slide("bar", but(WorkDiameter, low=6, high=60, usual=22), label="bar as supplied"),
    Slide("turned", Turned, group="cut", label="turned to, of the bar"),
    Slide("bored", BoredTo, group="cut", label="bored to, of the outside")), compute=compute_inside,
    picture=picture_inside, words=words_inside)


# ---- page: bore out a scrap piece -----------------------------------------------------------------------

MATERIALS = {name: material for name, material in stress.MATERIAL.items()}
READINGS = "4   0   -3\n7   -1  -10\n10  -3  -17\n13  -4  -31\n16  -5  -47"   # made up, for the demo


def read_readings(text: str) -> np.ndarray:
    """Rows of bore (mm), change of outside (µm), change of length (µm), as an array. Raises Refused."""
    rows = []
    for count, line in enumerate(line for line in text.splitlines() if line.strip()):
        cells = [cell for cell in re.split(r"[;\s|]+", line.strip()) if cell]
        if len(cells) != 3:
            raise Refused(f"Row {count + 1} of the readings, “{line.strip()[:30]}”, has {len(cells)} numbers "
                "instead of three: bore in mm, change of the outside in µm, change of the length in µm, "
                "with blanks between them.")
        try:
            rows.append([number(cell) for cell in cells])
        except Refused as refusal:
            raise Refused(f"Row {count + 1} of the readings: {refusal}") from None
    if not rows:
        raise Refused("There are no readings yet. Type a row for each bore: "
            "bore in mm, changes of outside and length in µm.")
    if len(rows) > 60:
        raise Refused(f"There are {len(rows)} rows; 60 are plenty. Leave some out.")
    return np.array(rows)


@dataclass(frozen=True)
class BoredOut:
    profile: stress_readings.Profile
    outside: float
    deepest: float
    short: float   # bored length in outside diameters where that is too short for the model, else 0


def compute_sachs(family: str, outside: float, length: float, readings: str, reading_error: float, length_error: float,
        first_bore: float, terms: float) -> BoredOut:
    """Sachs' boring-out of what was typed."""
    table = read_readings(readings)
    material = stress.MATERIAL[family]
    profile = stress_readings.sachs(outside, table[:, 0], table[:, 1] / 1e3, table[:, 2] / 1e3, length,
        fact("materials", material=material, property="E").value,
        fact("materials", material=material, property="nu").value, reading_error, length_error, int(terms), first_bore)
    return BoredOut(profile, outside, float(table[-1, 0]), stress.short_ratio(length, outside))


def words_sachs(result: BoredOut, say: Say) -> str:
    p = result.profile
    seen = 100 * (result.deepest / result.outside) ** 2
    largest = f"The largest bore, Ø{say.length(result.deepest)}, took {plain(seen, 2)} % of the section"
    if 1.645 * max(p.skin_axial_error, p.skin_hoop_error) > 1000:
        return (f"{largest}, and the readings are not good enough to tell the stress at the skin. Bore on, or take "
            "finer readings.")
    lines = [f"At the skin the bar holds {_with_error(p.skin_axial, p.skin_axial_error)} along and "
        f"{_with_error(p.skin_hoop, p.skin_hoop_error)} around it (90 %). {largest}; beyond it the curve is "
        "extrapolated."]
    skin = (("along", p.skin_axial, p.skin_axial_error), ("around", p.skin_hoop, p.skin_hoop_error))
    unsure = [name for name, value, error in skin if 1.645 * error > abs(value)]
    if unsure:
        lines.append(f"The reading error hides the stress {' and '.join(unsure)} the bar: take a longer piece, a finer "
            "gauge or a larger bar.")
    if p.misfit > 1.5:
        lines.append(f"The readings scatter {plain(p.misfit, 2)} times as much as their error allows, so the bands are "
            "widened. Was the piece warm, or does the curve need more terms?")
    return "\n".join([*lines, *([short_note(result.short)] if result.short else [])])


def more_sachs(result: BoredOut, say: Say) -> str:
    """How far the calculation goes."""
    return f"<p>{short_bore(result.short)}</p>" if result.short else ""


def _with_error(value: float, error: float) -> str:
    return f"{plain(round(float(value)), 4)} ± {plain(1.645 * error, 2)} MPa"


def picture_sachs(result: BoredOut, say: Say) -> str:
    p = result.profile
    x = say.length_number(p.radius)
    skin = float(say.length_number(result.outside / 2))
    bars = [(v - 1.645 * e, v, v + 1.645 * e) for v, e in ((p.axial, p.axial_error), (p.hoop, p.hoop_error))]
    chart = Chart("Stress found by boring out",
        "Bands hold the truth nine times in ten if the reading errors are as said.",
        x=("radius", say.length_unit, 0.0, skin * 1.2),
        y=("stress (plus: tension)", "MPa", *room(*bars[0], *bars[1], [p.skin_axial, p.skin_hoop, 0.0])))
    for (low, middle, high), kind in zip(bars, "ab", strict=True):
        chart.band(x, low, high, kind)
        chart.curve(x, middle, "", kind)
    beyond = say.length_number(p.carried_radius)
    chart.curve(beyond, p.carried_axial, "", "limit")
    chart.curve(beyond, p.carried_hoop, "", "limit")
    chart.level(0.0, "", "thin")
    chart.upright(float(x[-1]), "last bore")
    chart.mark(skin, p.skin_axial, "", "a")
    chart.mark(skin, p.skin_hoop, "", "b", "square")
    for place, name in ((p.skin_axial, "along"), (p.skin_hoop, "around")):
        chart.curve([skin * 1.02], [place], name, "thin")
    return chart.svg()


ReadingError = Quantity("u", "mm", low=0.0005, high=0.02, usual=0.001, shown="µm", step=0.5,
    says="how far one reading may be off, one standard deviation")
FirstBore = Quantity("d_0", "mm", low=0, high=50, usual=0, says="hole there before the first reading", step=0.5)
Terms = Quantity("k", "1", low=1, high=3, usual=1, whole=True, step=1,
    says="terms of the smooth curve: 1 is a parabola")
SACHS = Page(name="bore_stress_sachs", title="Measure your own bar: bore out a scrap piece",
    inputs=(Choose("family", tuple(MATERIALS), "steel", label="material"),
    Slide("outside", but(WorkDiameter, low=10, high=100, usual=22), label="outside of the piece"),
    Slide("length", Quantity("L", "mm", low=10, high=500, usual=80, says="length of the piece", step=1)),
    Write("readings", READINGS, label="readings: bore in mm, change of outside in µm, of length in µm", rows=6,
    says="one row for each bore: bore in mm, change of the outside in µm, change of the length in µm"),
    Slide("first_bore", FirstBore, label="hole it began with"),
    Slide("reading_error", ReadingError, label="error of one diameter reading"),
    Slide("length_error", ReadingError.but(usual=0.002), label="error of one length reading"),
    Slide("terms", Terms, group="view", label="terms of the curve")), compute=compute_sachs, picture=picture_sachs,
    words=words_sachs, more=more_sachs)


# ---- page: slit a ring ----------------------------------------------------------------------------------

@dataclass(frozen=True)
class Slit:
    outside: float
    wall: float
    opening: float
    stress: Likely


def compute_slit(family: str, outside: float, wall: float, opening: float, error: float) -> Slit:
    """Hoop stress from the opening, with the reading, the stiffness and wide or narrow ring in the range."""
    material = stress.MATERIAL[family]
    drawn = spread.sample(opening=spread.about(opening, 2 * error), narrow=spread.between(0, 1),
        modulus=fact("materials", material=material, property="E").range,
        poisson=fact("materials", material=material, property="nu").range)
    found = stress_readings.slit_ring(outside, wall, drawn["opening"], drawn["modulus"], drawn["poisson"])
    return Slit(outside, wall, opening, likely(found.wide + (found.narrow - found.wide) * drawn["narrow"]))


def words_slit(result: Slit, say: Say) -> str:
    s = result.stress
    if s.low < 0 < s.high:
        return (
            f"The stress is between {plain(s.low, 2)} and {plain(s.high, 2)} MPa: the opening is within its reading "
            "error, so the sign is not known. Saw a larger or thinner ring.")
    kind, why, other = (("tension", "sprang open", "compression") if s.value > 0 else
        ("compression", "closed up", "tension"))
    near, far = sorted((abs(s.low), abs(s.high)))
    return (f"At its outside the ring held {plain(abs(s.value), 2)} MPa (90 % range {plain(near, 2)} to "
        f"{plain(far, 2)} MPa) of {kind}, so it {why}. At its bore it held as much {other}. "
        "Its mean diameter went from "
        f"{say.length(result.outside - result.wall, 5)} to "
        f"{say.length(result.outside - result.wall + result.opening / np.pi, 5)}.")


def picture_slit(result: Slit, say: Say) -> str:
    picture = Drawing("A slit ring", "The ring before (thin) and after it was slit, the opening drawn larger.",
        height=240)
    scale = 86 / (result.outside / 2)
    wall = max(result.wall * scale, 2.5)
    gap = float(np.clip(result.opening / result.outside * 12, -0.25, 0.9))
    cx, cy = 115.0, 124.0
    for radius in (86.0, 86.0 - wall):
        picture.circle(cx, cy, radius, "thin")
    turn = np.linspace(0.04 + max(gap, 0) / 2, 2 * np.pi - 0.04 - max(gap, 0) / 2, 90) - np.pi / 2
    big = (86 - wall / 2) * 2 * np.pi / (2 * np.pi - gap)
    drop = big - (86 - wall / 2)
    edge = [(cx + r * np.cos(turn), cy + drop + r * np.sin(turn)) for r in (big + wall / 2, big - wall / 2)]
    picture.shape(np.concatenate([edge[0][0], edge[1][0][::-1]]), np.concatenate([edge[0][1], edge[1][1][::-1]]),
        "fill-work", "ink", 7)
    bigger = gap / (2 * np.pi) / (result.opening / (np.pi * (result.outside - result.wall))) if result.opening else 0.0
    scaled = f"movement exaggerated ×{plain(bigger, 2)}" if bigger else "no movement"
    picture.text(8, 234, scaled, kind="small halo")
    s = result.stress
    picture.text(238, 40, "hoop stress outside, MPa", kind="small")
    low, high = room([s.low, s.high, 0.0])
    x, width, y = 250.0, 180.0, 96.0

    def at(value: float) -> float:
        return x + (value - low) / (high - low) * width

    picture.line([at(0.0)] * 2, [y - 28, y + 16], "limit")
    picture.rect(at(s.low), y - 12, max(at(s.high) - at(s.low), 2), 14, "fill-a", "thin")
    picture.dot(at(s.value), y - 5, "a", "diamond", 6)
    picture.line([x, x + width], [y + 16, y + 16], "ink")
    for tick in nice_ticks(low, high, 4, width):
        picture.line([at(tick)] * 2, [y + 16, y + 21], "thin")
        picture.text(at(tick), y + 34, plain(float(tick), 3), "middle", "small")
    way = "wider" if result.opening >= 0 else "narrower"
    picture.text(238, y + 90, f"slit {say.length(abs(result.opening), 3)} {way}", kind="small")
    picture.text(238, y + 108, "than what was sawn out", kind="small")
    return picture.svg()


OpeningError = Quantity("u", "mm", low=0.002, high=0.1, usual=0.02, shown="µm", log=True,
    says="how far the opening may be misread, one standard deviation")
SLIT = Page(name="bore_stress_slit", title="Slit a ring and read its stress",
    inputs=(Choose("family", tuple(MATERIALS), "steel", label="material"),
    Slide("outside", but(WorkDiameter, low=10, high=120, usual=30), label="outside of the ring"),
    Slide("wall", but(RingWall, low=0.2, high=2, usual=1.5), label="wall of the ring"),
    Slide("opening", but(SlitOpening, low=-2, high=2, usual=0.3), label="slit wider by"),
    Slide("error", OpeningError, label="error of the opening")), compute=compute_slit, picture=picture_slit,
    words=words_slit)
