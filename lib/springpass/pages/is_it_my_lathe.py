"""Is it my lathe? Two collars turned, or a test bar touched: the angle of the spindle, and which way to move what."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import the_lathe as lathe
from ..core import tables
from ..core.mathml import formula_mathml
from ..core.quantity import Refused, Say, but, plain
from ..core.shared import Feed, NoseRadius
from ..core.spread import Uncertain
from ..cutting import force_beside_table
from ..job import shop, tools
from ..measuring.guard_bands import read_numbers
from ..screen.draw import WIDTH, Drawing
from ..screen.page import Choose, Page, Press, Slide, Write
from ..the_lathe.quantities import CentresLength, CollarSpan, FixingSpan, FootSpan, TipOverFeet
from ..threads.quantities import Infeed
from ..workholding.quantities import CutPlace
from .lathe_view import LEFT, RIGHT, centre, chuck, indicator, nice_factor, tool

MATERIALS = tuple(tables.names("workholding_yield", "material"))
HOLDS = (lathe.CHUCK, lathe.CENTRES)
SHORT = 30.0                   # mm: the part that the answer is told for
HUNDRED = 100.0                # mm: a taper is told over this length
LEANS = 30.0                   # px that the axis leaves its place at most
MIDDLE, HALF = 118.0, 22.0     # px: where the bar lies in the picture
A_METRE = 1e6                  # µm over a metre, for an angle
GAUGE = 0.001                  # mm: step of a micrometer and of an indicator


@dataclass(frozen=True)
class Setting:
    """Where the two places lie, mm from the jaws or the headstock's centre, and how the bar is held."""

    hold: str
    near: float
    far: float
    end: float

    @property
    def between(self) -> bool:
        return self.hold == lathe.CENTRES


@dataclass(frozen=True)
class ByCollars:
    at: Setting
    found: lathe.Collars
    offset: lathe.Found | None   # of the tailstock, between centres
    fixings: float
    foot_span: float
    tip_over_feet: float

    @property
    def taper(self) -> lathe.Found:
        return self.found.taper


def _springs() -> dict[str, Uncertain]:
    supports = tools.own_shop().lathe.supports
    return {"spindle_stiffness": supports["spindle and chuck shift"].range,
        "spindle_rotation": supports["spindle and chuck tilt"].range,
        "centre_stiffness": supports["live centre and tailstock"].range}


def compute_collars(material: str, near: str, far: str, nose_radius: float, hold: str, near_place: float, span: float,
        beyond: float, fixings: float, foot_span: float, tip_over_feet: float, infeed: float, feed: float) -> ByCollars:
    """The lathe's taper from repeated diameters of two collars as typed, mm, the bending taken off.

    near_place: of the near collar, from the jaws or the headstock's centre; span: between the collars; beyond: from the
    far collar to the end of the bar; fixings, foot_span, tip_over_feet: of the machine, for the remedy. Raises Refused
    where the readings cannot be read or the bar gives too much.
    """
    one, two = read_numbers(near), read_numbers(far)
    if not one or not two:
        raise Refused("No readings yet. Type the diameters of both collars in mm, two or more of each.")
    at = Setting(hold, near_place, near_place + span, near_place + span + beyond)
    cut = tables.row("workholding_yield", material=material)["cutting"]
    rough = lathe.two_collars(one, two, span)   # checks the readings before the bending is asked for
    bent = lathe.collar_bending(at.near, at.far, at.end, rough.near, infeed, feed, nose_radius, cut, hold,
        tables.fact("materials", material=material, property="E").range, _springs(), force_beside_table(cut).range)
    found = lathe.two_collars(one, two, span, *bent, GAUGE)
    offset = lathe.offset_from_taper(found.taper, at.end).offset if at.between else None
    return ByCollars(at, found, offset, fixings, foot_span, tip_over_feet)


def taper_text(taper: lathe.Found, say: Say) -> str:
    """"10 µm over 100 mm (90 % range 7 to 13)"."""
    over = 4 * 25.4 if say.inch else HUNDRED
    low, high = sorted(abs(say.fine_number(end * over)) for end in (taper.low, taper.high))
    if taper.low < 0 < taper.high:
        return f"{say.fine(abs(taper.value) * over)} over {say.length(over, 3)}, which may be nothing at all"
    return (f"{say.fine(abs(taper.value) * over)} over {say.length(over, 3)} (90 % range {plain(low, 2)} to "
        f"{plain(high, 2)})")


def verdict_text(taper: lathe.Found, say: Say) -> str:
    """The answer to “is it my lathe?” in one sentence."""
    if taper.low < 0 < taper.high:
        reach = taper.reach() * HUNDRED
        over = say.length(HUNDRED, 3)
        return (f"No taper of the lathe can be told from these readings: it is "
            f"{say.fine(abs(taper.value) * HUNDRED)} over "
            f"{over}, ±{say.fine(reach)}.")
    where = "larger" if taper.value > 0 else "smaller"
    return f"Yes, it is the lathe: its own taper is {taper_text(taper, say)}, {where} at the free end."


def parts_text(taper: float, say: Say) -> str:
    """What the taper does to a short part; a longer one gets more in proportion."""
    return (f"A part {say.length(SHORT, 3)} long comes out {say.fine(float(lathe.end_difference(abs(taper), SHORT)))} "
        f"{'larger' if taper > 0 else 'smaller'} at its free end.")


def remedy_text(r: ByCollars, say: Say) -> str:
    """Which way to move what."""
    taper = r.taper.value
    if r.taper.low < 0 < r.taper.high:
        return "Leave everything as it is, or measure over a longer distance."
    if r.offset is not None:
        return (f"Move the tailstock {'away from' if r.offset.value > 0 else 'towards'} you by "
            f"{say.fine(abs(r.offset.value))}.")
    swing = float(lathe.headstock_move(abs(taper), r.fixings))
    lift = float(lathe.foot_lift(abs(taper), r.fixings, r.foot_span, r.tip_over_feet))
    toward, foot = ("towards you", "front") if taper > 0 else ("away from you", "back")
    return (f"Swing the headstock's front end {toward} by {say.fine(swing)} over {say.length(r.fixings, 3)}, or raise "
        f"the {foot} foot at the tailstock end by {say.fine(lift)}. Then turn the collars again.")


def words_collars(r: ByCollars, say: Say) -> str:
    f = r.found
    share = (f"The far collar is {say.fine(abs(f.surplus))} {'larger' if f.surplus > 0 else 'smaller'}; bending alone "
        f"would leave it {say.fine(abs(f.bent))} {'larger' if f.bent > 0 else 'smaller'}.")
    if r.offset is not None:
        off = r.offset
        side = "towards you" if off.value > 0 else "away from you"
        low, high = sorted(abs(say.fine_number(end)) for end in (off.low, off.high))
        seen = not off.low < 0 < off.high
        first = (f"The tailstock stands {say.fine(abs(off.value))} {side} (90 % range {plain(low, 2)} to "
            f"{plain(high, 2)})."
            if seen else f"No offset of the tailstock can be told: it is {say.fine(abs(off.value))}, ±"
            f"{say.fine(off.reach())}.")
        return f"{first}\n{share} {remedy_text(r, say)}"
    return f"{verdict_text(r.taper, say)}\n{share} {parts_text(r.taper.value, say)} {remedy_text(r, say)}"


def _view(d: Drawing, at: Setting, taper: float, say: Say) -> tuple[float, float]:
    """Bar, axis and the carriage's path from above. Returns px for a mm along, and how far the axis leans per px."""
    per = (RIGHT - LEFT) / at.end
    factor = nice_factor(taper / 2 * (RIGHT - LEFT), LEANS)
    lean = -factor * taper / 2          # up, away from the turner, where the free end is larger
    d.line([LEFT - 20, RIGHT + 44], [MIDDLE, MIDDLE], "limit")
    xs = np.array([LEFT, RIGHT])
    ys = MIDDLE + lean * (xs - LEFT)
    d.shape([*xs, *xs[::-1]], [*(ys - HALF * 0.72), *(ys[::-1] + HALF * 0.72)], "fill-work", "thin")
    d.line(xs, ys, "a")
    if at.between:
        centre(d, LEFT, MIDDLE, -1)
        centre(d, RIGHT, float(ys[1]), 1)
    else:
        chuck(d, LEFT, MIDDLE, HALF * 0.72)
    d.text(8, 16, "seen from above", kind="small halo")
    d.text(WIDTH - 8, 16, f"angle exaggerated ×{plain(factor, 2)}", "end", "small halo")
    d.text(LEFT + 10, 232, "you stand on this side", "start", "small halo")
    return per, lean


def picture_collars(r: ByCollars, say: Say) -> str:
    d = Drawing("Two collars from above", words_collars(r, say), WIDTH, 240)
    per, lean = _view(d, r.at, r.taper.value, say)
    path = MIDDLE + HALF
    for place, size, name in ((r.at.near, r.found.near, "near_place"), (r.at.far, r.found.far, "span")):
        x = LEFT + per * place
        axis = MIDDLE + lean * (x - LEFT)
        d.rect(x - 10, 2 * axis - path, 20, 2 * (path - axis), "fill-work", "ink", 7)
        label = f"Ø{say.length(size, 5)}"
        above = name == "span"       # one label over its collar, the other under: they never meet
        d.text(d.within(x, label), 2 * axis - path - 8 if above else path + 19, label, "middle", "small halo")
        d.handle(name, x, axis, 1 / per)
    tool(d, LEFT + per * r.at.far, path)
    x0, x1 = LEFT + per * r.at.near, LEFT + per * r.at.far
    d.dimension(x0, path + 56, x1, path + 56, say.length(r.found.span, 3))
    return d.svg()


def more_collars(r: ByCollars, say: Say) -> str:
    f = r.found
    readings, bending = f.from_reading * f.span, f.from_bending * f.span
    decides = "the gauge's step decides" if f.hidden else "measured"
    angle, off = (float(lathe.lathe_angle(one)) * A_METRE for one in (r.taper.value, r.taper.reach()))
    between = "line of centres" if r.at.between else "spindle axis"
    return (f"<p>The angle between {between} and carriage path is {plain(abs(angle), 2)} ±{plain(off, 2)} µm over a "
        f"metre. Standard uncertainty of the difference: readings {say.fine(readings)}, bending {say.fine(bending)}. "
        f"One reading scatters by {say.fine(f.scatter)} ({decides}). Means: Ø{say.length(f.near, 6)} and "
        f"Ø{say.length(f.far, 6)}. The gauge's own error is the same at both ends and drops out.</p>"
        + formula_mathml(lathe.collar_taper, {"near": f.near, "far": f.far, "bent": f.bent, "span": f.span}, digits=6))


def _saved(kind: str, found: lathe.Found, says: str, **facts: Any) -> str:
    shop.add(kind, value=found.value, error=found.kept, **facts)
    return f"Kept in your shop file: {says}. The plan and the bench page use it from now on."


def keep_taper(taper: lathe.Found, offset: lathe.Found | None, **facts: Any) -> str:
    """Save a taper, or between centres the tailstock's offset, and say so."""
    say = Say()
    if offset is not None:
        side = "towards you" if offset.value > 0 else "away from you"
        return _saved("tailstock offset", offset, f"tailstock {say.fine(abs(offset.value))} {side}", **facts)
    return _saved("lathe taper", taper, f"taper {taper_text(taper, say)}", **facts)


def save_collars(**values: Any) -> str:
    """Keep the taper, or the tailstock's offset, for the plan and the bench page."""
    r = compute_collars(**values)
    return keep_taper(r.taper, r.offset, by="two collars", near=values["near"], far=values["far"])


COLLARS = Page(name="is_it_my_lathe", title="Is it my lathe?",
    inputs=(Choose("material", MATERIALS, "free-cutting steel 11SMn30 / 12L14", "work"),
    Write("near", "39.981 39.982 39.981 39.981", "work", "near collar, readings in mm",
    "two or more diameters of the collar by the headstock"),
    Write("far", "39.991 39.992 39.991 39.992", "work", "far collar, readings in mm",
    "two or more diameters of the collar at the free end"),
    Choose("hold", HOLDS, lathe.CHUCK, "holder", "bar held",
    "in the chuck alone: the spindle's own angle; between centres: where the tailstock stands"),
    Slide("near_place", but(CutPlace, low=3, high=60, usual=15, step=1), "holder", "from the jaws to the near collar"),
    Slide("span", but(CollarSpan, low=20, high=300), "holder", "distance between the collars"),
    Slide("beyond", but(CutPlace, low=0, high=40, usual=5, step=1), "holder", "from the far collar to the end of the "
    "bar",
    rare=True),
    Slide("fixings", FixingSpan, "holder", "spacing of the headstock's bolts, or of the bed's feet", rare=True),
    Slide("foot_span", FootSpan, "holder", "distance between front and back foot", rare=True),
    Slide("tip_over_feet", TipOverFeet, "holder", "height of the tip above the feet", rare=True),
    Slide("infeed", but(Infeed, low=0.01, high=0.3, usual=0.05), "cut", "depth of the last cut, on radius"),
    Slide("nose_radius", but(NoseRadius, low=0.1), "cut", "nose radius", rare=True),
    Slide("feed", but(Feed, high=0.15), "cut", "feed per revolution", rare=True)),
    compute=compute_collars, picture=picture_collars, words=words_collars, more=more_collars,
    presses=(Press("keep this in my shop", save_collars, "the plan and the bench page then use it"),))


# ---- a test bar and an indicator --------------------------------------------------------------------


@dataclass(frozen=True)
class ByBar:
    at: Setting
    found: lathe.BarFound
    offset: lathe.Found | None

    @property
    def taper(self) -> lathe.Found:
        return self.found.taper


def compute_bar(near: str, near_half: str, far: str, far_half: str, hold: str, near_place: float, span: float,
        length: float) -> ByBar:
    """The spindle's angle from indicator readings as typed (µm) on a bar at two places, each at two half revolutions.

    near_place, span: mm; length: between the centres, mm. Raises Refused where the readings cannot be read.
    """
    rows = [np.array(read_numbers(text)) for text in (near, near_half, far, far_half)]
    if not all(len(row) for row in rows):
        raise Refused("A reading is missing. Type what the indicator shows at both places, and again half a "
            "revolution on.")
    near_mm, half_mm, far_mm, far_half_mm = (row * GAUGE for row in rows)
    found = lathe.bar_in_spindle(near_mm, half_mm, far_mm, far_half_mm, span, GAUGE)
    between = hold == lathe.CENTRES
    at = Setting(hold, near_place, near_place + span, max(length, near_place + span))
    return ByBar(at, found, lathe.offset_from_taper(found.taper, at.end).offset if between else None)


def words_bar(r: ByBar, say: Say) -> str:
    f = r.found
    out = (f"The bar itself runs out by {say.fine(f.runout_near)} at the near place and {say.fine(f.runout_far)} "
        "at the far one, but half a revolution cancels it.")
    if r.offset is not None:
        off = r.offset
        side = "towards you" if off.value > 0 else "away from you"
        reach = say.fine(off.reach())
        return f"The tailstock stands {say.fine(abs(off.value))} {side}, ±{reach} (90 % range).\n{out}"
    return f"{verdict_text(r.taper, say)}\n{out} {parts_text(r.taper.value, say)}"


def picture_bar(r: ByBar, say: Say) -> str:
    d = Drawing("A test bar from above", words_bar(r, say), WIDTH, 240)
    per, lean = _view(d, r.at, r.taper.value, say)
    for place, reading, name in ((r.at.near, r.found.near, "near_place"), (r.at.far, r.found.far, "span")):
        x = LEFT + per * place
        axis = MIDDLE + lean * (x - LEFT)
        indicator(d, x, axis + HALF * 0.72)
        above = name == "span"
        d.text(d.within(x, say.fine(reading)), axis - HALF * 1.65 if above else axis + 66, say.fine(reading), "middle",
            "small halo")
        d.handle(name, x, axis, 1 / per)
    d.dimension(LEFT + per * r.at.near, 208, LEFT + per * r.at.far, 208, say.length(r.found.span, 3))
    return d.svg()


def more_bar(r: ByBar, say: Say) -> str:
    f = r.found
    return (f"<p>The axis reads {say.fine(f.near)} at the near place and {say.fine(f.far)} at the far one, each the "
        f"mean of two half revolutions. One reading scatters by {say.fine(f.scatter)}.</p>"
        + formula_mathml(lathe.bar_taper, {"near": f.near, "far": f.far, "span": f.span}))


def save_bar(**values: Any) -> str:
    """Keep the taper, or the tailstock's offset, for the plan and the bench page."""
    r = compute_bar(**values)
    return keep_taper(r.taper, r.offset, by="test bar", readings=[values[name] for name in ("near", "near_half", "far",
        "far_half")])


TEST_BAR = Page(name="test_bar", title="Is it my lathe, by a test bar?",
    inputs=(Write("near", "6 7", "tool", "near, µm", "indicator level with the axis, on your side; pushed in "
        "counts +"),
    Write("near_half", "-6 -6", "tool", "near, half a revolution on, µm"),
    Write("far", "4 5", "tool", "far, µm", "the same indicator, moved along with the carriage"),
    Write("far_half", "-14 -13", "tool", "far, half a revolution on, µm"),
    Choose("hold", ("in the spindle", lathe.CENTRES), "in the spindle", "holder", "bar held"),
    Slide("near_place", but(CutPlace, low=3, high=100, usual=20, step=1), "holder", "from the nose to the near place"),
    Slide("span", but(CollarSpan, low=20, high=500, usual=150), "holder", "distance between the places"),
    Slide("length", but(CentresLength, low=50, high=800, usual=250), "holder", "length between the "
        "centres", rare=True)),
    compute=compute_bar, picture=picture_bar, words=words_bar, more=more_bar,
    presses=(Press("keep this in my shop", save_bar, "the plan and the bench page then use it"),))
