"""Pages on tapers: the slide's setting, the tailstock set over, what the blue says."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from .. import grooves_tapers as tapers
from .. import stops
from ..core.mathml import formula_mathml
from ..core.quantity import Refused, Say, but, plain
from ..core.spread import Likely, likely, sample
from ..core.tables import assumed
from ..grooves_tapers.quantities import (
    BetweenCentres,
    BlueLayer,
    LargeEnd,
    RubbedLength,
    SineBar,
    SmallEnd,
    TaperLength,
    TipOffHeight,
)
from ..grooves_tapers.tapers import checked
from ..screen.draw import WIDTH, Drawing
from ..screen.page import Choose, Page, Slide
from .grooves import ranged

OWN = "my own diameters"
STEEP, FLAT = "at the large end", "at the small end"


def degrees(value: float) -> str:
    """1.43 degrees as 1° 25' 50"."""
    seconds = round(abs(value) * 3600)
    return f"{'−' if value < 0 else ''}{seconds // 3600}° {seconds // 60 % 60}' {seconds % 60}\""


def exact(value: float, say: Say) -> str:
    """A length to a micrometre, or a tenth of a thou."""
    return f"{value / 25.4:.4f} inch" if say.inch else f"{value:.3f} mm"


# ---- the slide -----------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Setting:
    name: str
    large: float
    small: float
    length: float
    angle: float
    ratio: float
    travel: float
    rise: float
    by_scale: Likely          # error of the far diameter, slide set by its scale
    by_blocks: Likely         # the same, set with an indicator over the travel
    lost: float               # by a tip off centre height
    off_height: float


def compute_setting(standard: str, large: float, small: float, length: float, travel: float,
        off_height: float) -> Setting:
    """Angle, rise over a travel and what the two ways of setting leave on the diameter; mm, degrees.

    A standard taper takes its ratio from the table and, where it has them, its diameter and length. Raises Refused.
    """
    if standard != OWN:
        cone = tapers.cone(standard)
        if cone.large:
            large, length = cone.large, cone.length
        small = large - cone.ratio * length
        if small <= 0:
            raise Refused(f"A taper {standard} of Ø{plain(large, 4)} mm comes to a point before {plain(length, 4)} mm. "
                "Make it shorter.")
    checked(large, small, length)
    if small <= 2 * off_height:
        raise Refused(f"A tip {plain(off_height, 3)} mm off centre cannot turn a small end of Ø{plain(small, 3)} mm.")
    angle = float(tapers.half_angle(large, small, length))
    drawn = sample(scale=assumed("protractor of a slide").range, reading=assumed("indicator along a slide").range)
    wrong = np.degrees(drawn["reading"] / (travel * math.cos(math.radians(angle))))
    return Setting(standard, large, small, length, angle, float(tapers.cone_ratio(large, small, length)), travel,
        float(tapers.rise_along(travel, angle)), likely(tapers.size_error(length, angle, drawn["scale"])),
        likely(tapers.size_error(length, angle, wrong)), float(tapers.taper_lost(large, small, off_height)), off_height)


def words_setting(r: Setting, say: Say) -> str:
    said = [f"Set the slide over by {degrees(r.angle)}: an indicator square to the axis must show {exact(r.rise, say)} "
        f"over {say.length(r.travel, 4)} of slide travel."]
    said.append(f"Set by the slide's scale the far diameter may be ±{say.fine(r.by_scale.reach)} out (90 % range); set "
        f"by the indicator, ±{say.fine(r.by_blocks.reach)}.")
    if r.off_height:
        said.append(f"A tip {say.length(r.off_height, 2)} off centre height takes another {say.fine(r.lost)} off the "
            "taper and hollows it.")
    return " ".join(said)


def _cone(d: Drawing, r: Setting, top: float, tall: float) -> tuple[float, float, float, float]:
    """The taper in plan view; returns left, right, the axis and the scale."""
    scale = min(290 / r.length, tall / r.large)
    left, axis = 96.0, top + tall / 2
    right = left + r.length * scale
    big, small = r.large / 2 * scale, r.small / 2 * scale
    xs = [left - 56, left, right, right, left, left - 56]
    ys = [axis - big, axis - big, axis - small, axis + small, axis + big, axis + big]
    d.shape(xs, ys, "fill-work", hatch=10)
    d.line(xs, ys)
    d.line([left - 70, right + 26], [axis, axis], "thin")
    return left, right, axis, scale


def picture_setting(r: Setting, say: Say) -> str:
    d = Drawing("The taper and its slide, seen from above", words_setting(r, say), WIDTH, 320)
    left, right, axis, scale = _cone(d, r, 38.0, 104.0)
    big, small = r.large / 2 * scale, r.small / 2 * scale
    slope = math.radians(r.angle)
    # the slide lies below the work, along its surface, with the indicator at its end
    run = min(r.length * scale, 290.0)
    sx, sy = left, axis + big + 34
    ex, ey = sx + run * math.cos(slope), sy - run * math.sin(slope)
    across = 22.0
    dx, dy = across * math.sin(slope), across * math.cos(slope)
    d.shape([sx, ex, ex + dx, sx + dx], [sy, ey, ey + dy, sy + dy], "fill-holder", "ink")
    d.shape([sx + 4, sx + 14, sx + 9], [sy - 12, sy - 12, axis + big + 3], "fill-tool", "ink")
    d.line([sx, min(sx + run + 60, WIDTH - 10)], [sy + across, sy + across], "faint")
    ends = [f"Ø{plain(float(say.length_number(v)), 5)}" for v in (r.large, r.small)]
    d.text(8, 18, f"{ends[0]} to {ends[1]} over {say.length(r.length, 4)}")
    d.text(8, 236, f"slide at {degrees(r.angle)}", kind="halo")
    d.text(8, 256, f"indicator: {exact(r.rise, say)} over {say.length(r.travel, 4)}", kind="small halo")
    longest = max(r.by_scale.reach, r.by_blocks.reach, 1e-9)
    for y, v, name in ((274, r.by_scale, "by the scale"), (298, r.by_blocks, "by the indicator")):
        d.text(8, y + 10, name, kind="small")
        d.rect(140, y, max(110 * v.reach / longest, 1.5), 12, "fill-b", "ink")
        d.text(146 + max(110 * v.reach / longest, 1.5), y + 10, f"±{say.fine(v.reach)} on Ø", kind="small halo")
    d.handle("small", right, axis + small, -2 / scale if small else -1, "y")
    d.handle("length", right, axis - small, 1 / scale)
    return d.svg()


def more_setting(r: Setting, say: Say) -> str:
    stack = ""
    try:
        blocks = stops.gauge_stack(round(r.rise, 3), "112")
        stack = (f"<p>A sine bar of {say.length(r.travel, 4)} stands on blocks "
            f"{' + '.join(plain(float(b), 5) for b in getattr(blocks, 'blocks', blocks))} mm.</p>")
    except Refused:
        stack = (f"<p>A sine bar of {say.length(r.travel, 4)} needs {exact(r.rise, say)} of blocks or feelers under "
            "it.</p>")
    cone = "" if r.name == OWN else f"<p>{tapers.cone(r.name).source}.</p>"
    return (f"<p>The taper is 1 : {plain(1 / r.ratio, 5)}, and its included angle is {degrees(2 * r.angle)}.</p>"
        f"{stack}{cone}" + formula_mathml(tapers.half_angle, {"large": r.large, "small": r.small, "length": r.length}))


SETTING = Page("taper_setting", "How do I set the slide for this taper?",
    (Choose("standard", (OWN, *tapers.cones()), OWN, "work", "taper"),
    Slide("large", but(LargeEnd, low=2, high=120, usual=17.78), "work", "large end"),
    Slide("small", but(SmallEnd, low=1, high=119, usual=14.58), "work", "small end"),
    Slide("length", but(TaperLength, low=2, high=250, usual=64), "work", "length of the taper"),
    Slide("off_height", but(TipOffHeight, high=1, usual=0), "tool", "tip off centre height"),
    Slide("travel", but(SineBar, low=10, high=200, usual=50, step=1), "holder", "slide travel, or sine bar")),
    compute_setting, picture_setting, words_setting, more_setting)


# ---- the tailstock ----------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Over:
    large: float
    small: float
    length: float
    between: float
    over: float               # by the workshop's formula
    exact: float
    error: float              # of the difference of diameters, by the workshop's formula
    by_length: Likely         # the same, because the distance between the points is not known
    angle: float


def compute_over(large: float, small: float, length: float, between: float) -> Over:
    """How far the tailstock goes over, what the formula neglects and what the centre holes' depth does; mm.

    Raises Refused where the taper is longer than the work or needs more than the work's length.
    """
    checked(large, small, length)
    if length > between:
        raise Refused(f"A taper of {plain(length, 4)} mm is longer than the work of {plain(between, 4)} mm between its "
            "centres. Shorten it.")
    over = float(tapers.set_over(between, large, small, length))
    if over >= between / 2:
        raise Refused(f"This taper would need the tailstock {plain(over, 3)} mm over: far too steep. Use the slide.")
    true = sample(between=assumed("length between centres").around(between))["between"]
    wanted = large - small
    return Over(large, small, length, between, over, float(tapers.set_over_exact(between, large, small, length)),
        float(tapers.taper_made(over, between, length)) - wanted,
        likely(tapers.taper_made(over, true, length) - tapers.taper_made(over, between, length)),
        float(tapers.half_angle(large, small, length)))


def words_over(r: Over, say: Say) -> str:
    more = "matters more: it" if r.by_length.reach > r.error else "comes on top: it"
    return (f"Set the tailstock over by {exact(r.over, say)}. The usual formula leaves the taper {say.fine(r.error)} "
        f"too large over {say.length(r.length, 4)}. How deep the centres sit in their holes {more} leaves "
        f"±{say.fine(r.by_length.reach)} (90 % range). "
        + ("The centres run askew: use ball-ended ones, and set the tailstock back with an indicator afterwards."
        if r.angle < STEEPEST else
        f"At {plain(r.angle, 2)}° plain centres will not bear: use the slide instead."))


STEEPEST = 3.0   # degrees: beyond it nobody sets a tailstock over; common practice


def picture_over(r: Over, say: Say) -> str:
    d = Drawing("Work between centres set over, from above", words_over(r, say), WIDTH, 300)
    scale = 330 / r.between
    left, right, line = 62.0, 62.0 + 330, 120.0
    seen = min(r.over * scale, 90.0)
    times = 1.0
    if seen < 18 and r.over > 0:      # too little to see: drawn larger
        times = float(f"{min(30 / max(r.over * scale, 1e-9), 500):.1g}")
        seen = r.over * scale * times
    seen = min(seen, 100.0)
    lean = math.atan2(seen, right - left)

    def at(along: float, aside: float) -> tuple[float, float]:
        return (left + along * math.cos(lean) - aside * math.sin(lean),
            line + along * math.sin(lean) + aside * math.cos(lean))

    whole = (right - left) / math.cos(lean)
    thick = min(r.large / 2 * scale, 34.0)
    start = whole - r.length * scale
    ends = max(thick - r.length * scale * math.tan(lean), 3.0)
    outline = [(0, -thick), (start, -thick), (whole, -ends), (whole, ends), (start, thick), (0, thick)]
    xs, ys = zip(*(at(a, b) for a, b in outline), strict=True)
    d.shape(xs, ys, "fill-work", hatch=10)
    d.line([*xs, xs[0]], [*ys, ys[0]])
    for cx, cy, way in ((left, line, -1), (right, line + seen, 1)):
        d.shape([cx, cx + way * 40, cx + way * 40], [cy, cy - 12, cy + 12], "fill-holder", "ink")
    d.line([left - 44, right + 44], [line, line], "limit")
    d.text(left - 44, line - 48 if thick > 36 else 40, "spindle axis", kind="small halo")
    d.dimension(right + 20, line, right + 20, line + seen, "", 0)
    said = f"over by {exact(r.over, say)}"
    d.text(WIDTH - 8, line - 12, said, "end")
    d.arrow(left + 130, 262, right - 40, 262, "ink")
    d.text(left, 266, "tool travels", kind="small")
    d.text(8, 290, f"set-over exaggerated ×{plain(times, 1)}" if times > 1 else "set-over drawn to scale",
        kind="small")
    d.handle("between", right, line + seen, 1 / scale)
    d.handle("length", *at(start, -thick), -1 / scale)
    return d.svg()


def more_over(r: Over, say: Say) -> str:
    return (f"<p>For work that leans, the exact set-over is {exact(r.exact, say)}.</p>"
        + formula_mathml(tapers.set_over, {"between": r.between, "large": r.large, "small": r.small,
        "length": r.length}))


OVER = Page("tailstock_over", "How far does the tailstock go over?",
    (Slide("large", but(LargeEnd, low=2, high=120, usual=24), "work", "large end"),
    Slide("small", but(SmallEnd, low=1, high=119, usual=19), "work", "small end"),
    Slide("length", but(TaperLength, low=5, high=300, usual=100), "work", "length of the taper"),
    Slide("between", but(BetweenCentres, low=20, high=800, usual=200), "holder", "between the centres' points")),
    compute_over, picture_over, words_over, more_over)


# ---- blue ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Blue:
    length: float
    rubbed: float
    where: str
    blue: float
    travel: float
    angle: Likely             # degrees, without its sign
    size: Likely              # on the diameter, over the length
    turn: Likely              # of the indicator over the travel


def compute_blue(length: float, rubbed: float, where: str, blue: float, travel: float) -> Blue:
    """What a length of rubbed blue says about a plug's angle, and how far the slide is to be turned; mm, degrees."""
    if rubbed > length:
        raise Refused(f"The blue cannot be rubbed over {plain(rubbed, 3)} mm of a taper {plain(length, 3)} mm long.")
    film = sample(film=assumed("film of blue").around(1.0))["film"] * blue
    angle = tapers.angle_from_blue(film, rubbed)
    return Blue(length, rubbed, where, blue, travel, likely(angle), likely(tapers.size_error(length, 0.0, angle)),
        likely(tapers.rise_along(travel, angle)))


def words_blue(r: Blue, say: Say) -> str:
    if r.rubbed >= r.length:
        return (f"Rubbed all along: the far end fits to {ranged(r.size, say)} on diameter, which is all that this film "
            "of marking blue can show. A thinner film shows more.")
    steep, turn = ("steep", "less") if r.where == STEEP else ("slim", "more")
    return (f"The plug is too {steep}: over its length it is {ranged(r.size, say)} out on diameter. Turn the slide "
        f"until the indicator shows {ranged(r.turn, say)} {turn} over {say.length(r.travel, 4)}, take a light cut, and "
        "try again.")


def picture_blue(r: Blue, say: Say) -> str:
    d = Drawing("The plug in its gauge, the gap exaggerated", words_blue(r, say), WIDTH, 290)
    x0, x1, axis = 40.0, 410.0, 132.0
    scale = (x1 - x0) / r.length
    big, small = 78.0, 56.0
    gap = min(float(r.angle.value) / max(float(r.angle.high), 1e-12) * 14 * r.length / max(r.rubbed, 1e-6) * 0.35, 34.0)
    gap = 0.0 if r.rubbed >= r.length else gap
    at_big, at_small = (0.0, gap) if r.where == STEEP else (gap, 0.0)
    for side in (-1, 1):
        wall = [axis + side * big, axis + side * small]
        d.shape([x0, x1, x1, x0], [*wall, axis + side * 108, axis + side * 108], "fill-holder", hatch=9)
        d.line([x0, x1], wall)
    plug = ([x0 - 22, x0, x1, x1, x0, x0 - 22],
        [axis - big + at_big, axis - big + at_big, axis - small + at_small, axis + small - at_small,
        axis + big - at_big, axis + big - at_big])
    d.shape(*plug, "fill-work")
    d.line(*plug)
    run = r.rubbed * scale
    a, b = (x0, x0 + run) if r.where == STEEP else (x1 - run, x1)

    def edge(x: float) -> float:
        share = (x - x0) / (x1 - x0)
        return big - at_big + share * (small - at_small - big + at_big)

    for side in (-1, 1):
        d.line([a, b], [axis + side * edge(a), axis + side * edge(b)], "a")
    d.line([x0 - 30, x1 + 20], [axis, axis], "thin")
    rubbed = f"rubbed {say.length(r.rubbed, 3)}"
    d.dimension(a, axis - 8, b, axis - 8, "", offset=0)
    d.text(d.within((a + b) / 2, rubbed), axis - 14, rubbed, "middle", "small halo")
    d.text(x0, 16, "gauge", kind="small halo")
    d.text(x0 + 8, axis + 24, "plug", kind="small halo")
    d.text(8, 262, "thick line: marking blue rubbed off", kind="small")
    out = float(r.size.value) / 2
    times = plain(float(f"{gap / (out * scale):.2g}"), 2) if gap else ""
    d.text(8, 282, f"gap at the other end {say.fine(out)}, exaggerated ×{times}" if gap else
        "no gap that this film shows", kind="small")
    grip = b if r.where == STEEP else a
    d.handle("rubbed", grip, axis - edge(grip), (1 if r.where == STEEP else -1) / scale)
    return d.svg()


def more_blue(r: Blue, say: Say) -> str:
    return (f"<p>The half angle is {degrees(r.angle.value)} out.</p>"
        + formula_mathml(tapers.angle_from_blue, {"blue": r.blue, "rubbed": r.rubbed}))


BLUE = Page("taper_blue", "What does the marking blue show of my taper?",
    (Slide("length", but(TaperLength, low=5, high=250, usual=60), "work", "length of the taper"),
    Slide("rubbed", but(RubbedLength, low=1, high=250, usual=20), "work", "marking blue rubbed off over"),
    Choose("where", (STEEP, FLAT), STEEP, "work", "blue gone"),
    Slide("travel", but(SineBar, low=10, high=200, usual=50), "holder", "slide travel"),
    Slide("blue", but(BlueLayer, low=0.0005, high=0.01, usual=0.002), "view", "film of blue")), compute_blue,
    picture_blue, words_blue, more_blue)
