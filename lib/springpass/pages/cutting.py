"""Pages of the cutting chapter: speed and power, finish, sharpness, chips."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

import numpy as np

from .. import cutting
from ..core import tables
from ..core.quantity import Say, but, plain
from ..core.shared import CuttingSpeed, Feed, NoseRadius, WorkDiameter
from ..core.spread import EDGE, FAILS, HOLDS, verdict
from ..cutting import speeds, surface_finish
from ..cutting.quantities import DepthOfCut, MeanRoughness, MinorAngle, MotorPower, TurnLength
from ..screen.draw import Chart, Drawing, breadth
from ..screen.page import Choose, Page, Slide, Tick, Write

MATERIALS = tuple(cutting.work_materials())
EDGES = tuple(surface_finish.edge_kinds())
Nose = but(NoseRadius, low=0.2, high=1.6, usual=0.4)
SmallFeed = but(Feed, low=0.01, high=0.3, usual=0.1)


def _two(value: float, digits: int = 2) -> str:
    """A number to so many figures, large ones rounded too: 1347 → 1300."""
    return plain(float(f"{value:.{digits}g}"), digits)


def _seconds(value: float) -> str:
    if value < 90:
        return f"{_two(value)} s"
    return f"{_two(value / 60)} min" if value < 5400 else f"{_two(value / 3600)} h"


def _range(low: float, high: float, unit: str, digits: int = 2) -> str:
    a, b = _two(low, digits), _two(high, digits)
    return f"{a} {unit}" if a == b else f"{a} to {b} {unit}"


def _table(rows: list[tuple[str, str]]) -> str:
    body = "".join(f"<tr><th>{escape(a)}</th><td>{escape(b)}</td></tr>" for a, b in rows)
    return f"<table>{body}</table>"


# ---- speed, feed, power ---------------------------------------------------------------------------

PACES = ("slow end of the range", "where the table begins", "fast end of the range")
OWN = "my own speeds, below"


@dataclass(frozen=True)
class SpeedAnswer:
    material: str
    tool: str
    diameter: float
    feed: float
    nose_radius: float
    depth: float
    steps: np.ndarray
    cut: speeds.Cut
    feeds: tables.Fact
    nose_limit: float
    motor: float
    inside: bool
    verdict: str

    @property
    def headline(self) -> str:
        if self.cut.step.too_fast and self.cut.step.speed > self.cut.table.high:
            return "Even the slowest speed is too fast"
        able = {HOLDS: "and the motor can do it", EDGE: "but the motor may stall", FAILS: "but the motor will stall"}
        return f"Set {plain(self.cut.step.chosen, 4)} rpm, {able[verdict(self.cut.enough)]}"


def _speed(material: str, diameter: float, length: float, inside: bool, tool: str, nose_radius: float, lathe: str,
        plate: str, motor: float, pace: str, depth: float, feed: float) -> SpeedAnswer:
    """Spindle speed, torque and power of a cut, and whether the motor can do it; mm, motor power in kW.

    Raises Refused for a cut, a tool or a lathe that is not known.
    """
    table = speeds.cutting_speed(material, tool)
    wanted = (table.low, table.value, table.high)[PACES.index(pace)]
    plates = speeds.steps(plate if lathe == OWN else lathe)
    cut = speeds.plan_cut(material, tool, diameter, length, depth, feed, nose_radius, plates, motor, wanted, inside)
    word = verdict(cut.enough)
    if cut.step.too_fast and cut.step.speed > table.high:
        word = FAILS
    elif word == HOLDS and cut.step.speed > table.high:
        word = EDGE
    return SpeedAnswer(material, tool, diameter, feed, nose_radius, depth, plates, cut, speeds.feed_range(material),
        speeds.nose_feed(nose_radius, finishing=False), motor, inside, word)


def step_words(step: speeds.Step, table: tables.Fact, say: Say) -> str:
    """Why not the speed asked for: nothing where the lathe's is near, else which speeds lie about it."""
    speed = say.speed
    if step.too_fast:
        return f"{plain(step.chosen, 4)} rpm is the slowest, and {plain(step.wanted, 3)} rpm was asked for."
    if step.nearest_is_above:
        fits = "still inside" if step.above_speed <= table.high else "above"
        return (f"The nearest speed to {plain(step.wanted, 3)} rpm is the next one up, {plain(step.above, 4)} rpm. "
            f"It gives {speed(step.above_speed)}, {fits} the printed range, so the choice is yours.")
    return ""


def _speed_words(r: SpeedAnswer, say: Say) -> str:
    cut, table = r.cut, r.cut.table
    printed = (f"{_two(table.low)} to {_two(table.high)} m/min" if not say.inch
        else (f"{_two(table.low / 0.3048)} to {_two(table.high / 0.3048)} ft/min"))
    where = "inside" if cut.inside else "below" if cut.step.speed < table.low else "above"
    first = (f"The cutting speed is then {say.speed(cut.step.speed)}, {where} the {printed} printed for {r.material} "
        f"and {r.tool}.")
    if where == "below":
        first += " That spares the tool, but it is slow, and steel may tear."
    ask = _range(cut.torque.low / 1e3, cut.torque.high / 1e3, "N m")
    give = _range(cut.available.low / 1e3, cut.available.high / 1e3, "N m")
    words = [step_words(cut.step, table, say),
        f"The cut needs {ask} at the spindle, and the motor delivers {give} at this speed.",
        f"One pass takes {_seconds(cut.seconds)}."]
    if r.feed > r.nose_limit * 1.001:
        words.append(f"The feed is over half the nose radius: stay under {say.length(r.nose_limit, 2)}, "
            "or take a larger nose radius.")
    return first + "\n" + " ".join(word for word in words if word)


def _speed_picture(r: SpeedAnswer, say: Say) -> str:
    low_d, high_d = max(1.0, r.diameter / 8), r.diameter * 8
    span = np.geomspace(low_d, high_d, 40)
    d = say.length_number(span)
    at = speeds.spindle_speed
    table, step = r.cut.table, r.cut.step
    bottom = 0.6 * min(r.steps[0], step.wanted, float(at(table.low, high_d)))
    top = 1.6 * max(r.steps[-1], step.wanted)
    bottom, top = max(bottom, top / 3000), max(top, 20 * bottom)
    chart = Chart("The cut, and the spindle speed over diameter", f"Work of {say.length(r.diameter)} turned at "
        f"{plain(step.chosen, 4)} rpm, {say.speed(step.speed)} at its rim. The printed speeds as a band over the "
        "diameter; the lathe's spindle speeds as dots.", x=("diameter", say.length_unit, float(d[0]), float(d[-1])),
        y=("spindle speed", "rpm", bottom, top), log_x=True, log_y=True, height=290 + SKETCH, above=SKETCH)
    _turning(chart, r, say)
    chart.band(d, at(table.low, span), at(table.high, span), "a")
    chart.curve(d, at(table.value, span), "", "a")
    chart.level(step.chosen, "", "limit")
    chart.upright(float(say.length_number(r.diameter)), "your diameter")
    x = float(say.length_number(r.diameter))
    if abs(np.log(step.wanted / step.chosen)) > 0.12:
        chart.mark(x, step.wanted, "asked for", "b", "square")
    for n in r.steps:
        Drawing.dot(chart, chart.at_x(x), chart.at_y(float(n)), "d", "circle", 3)
    chart.mark(x, step.chosen, f"set {plain(step.chosen, 4)}", "a", "diamond")
    chart.grip("diameter", x)
    chart.height += 84
    _torque_bar(chart, 292 + SKETCH, r)
    return chart.svg()


SKETCH = 142.0                   # px: height of the sketch over the chart


def _turning(drawing: Drawing, r: SpeedAnswer, say: Say) -> None:
    """The work in the chuck and the tool at its cut; a sketch, the depth of cut not to scale."""
    axis, chuck, face, cut, end = 74.0, 44.0, 92.0, 214.0, 330.0   # px
    radius, deep = 30.0, 7.0
    drawing.rect(chuck - 30, axis - 46, 30, 92, "fill-holder", "ink")
    for side in (-1, 1):
        drawing.rect(chuck, axis + side * (radius + 9) - 9, face - chuck - 6, 18, "fill-holder", "ink")
    if r.inside:
        bored, tip = 18.0, cut - 30.0
        wall = [axis - bored, axis - bored, axis - bored + deep, axis - bored + deep]
        drawing.shape([chuck, end, end, tip, tip, cut - 60, cut - 60, tip, tip, end, end, chuck],
            [axis - radius, axis - radius, *wall, *(2 * axis - y for y in reversed(wall)), axis + radius,
            axis + radius], "fill-work", "ink", 9)
        drawing.shape([tip, tip + 10, end + 48, end + 48, tip + 10, tip + 10], [axis + bored, axis + bored - 6,
            axis + bored - 6, axis - 6, axis - 6, axis + bored - 10], "fill-tool", "ink")
        drawing.arrow(end + 40, axis + 2, end + 6, axis + 2)
        across, foot = (axis - bored, axis + bored), axis + radius
    else:
        across, foot = (axis - radius + deep, axis + radius - deep), axis + radius - deep
        drawing.shape([chuck, cut, cut, end, end, cut, cut, chuck], [axis - radius, axis - radius, across[0], across[0],
            across[1], across[1], axis + radius, axis + radius], "fill-work", "ink", 9)
        drawing.shape([cut, cut + 16, cut + 16, cut - 4], [foot, foot + 6, foot + 42, foot + 42], "fill-tool", "ink")
        drawing.arrow(cut + 8, foot + 34, cut - 46, foot + 34)
    drawing.line([4, end + 12], [axis, axis], "thin")
    drawing.text(cut - 52, foot + 38, f"{say.length(r.feed, 2)}/rev", "end", "small halo")
    drawing.dimension(end, across[0], end, across[1], "", -60 if r.inside else -22)
    size, beside = f"Ø{say.length(r.diameter)}", end + (66 if r.inside else 28)
    drawing.text(drawing.within(beside + breadth(size) / 2, size), axis + 5, size, "middle", "small halo")
    drawing.text(cut + 26, foot + 38, f"{say.speed(r.cut.step.speed)} at the edge", "start", "small halo")
    turn = np.linspace(-0.7, 0.7, 9)
    drawing.line(146 + 9 * np.cos(turn), axis - 26 * np.sin(turn), "a")
    drawing.text(150, 26, f"{plain(r.cut.step.chosen, 4)} rpm", "middle", "halo bold")


def _torque_bar(drawing: Drawing, y: float, r: SpeedAnswer) -> None:
    """Torque asked and torque the motor gives, on one scale."""
    ask, give = r.cut.torque, r.cut.available
    top = 1.15 * max(min(give.high, 6 * ask.high), ask.high)
    left, wide = 130.0, drawing.width - 146.0

    def px(value: float) -> float:
        return left + min(value / top, 1.0) * wide

    rows = (("cut needs", ask, "b", 0), ("motor delivers", give, "c", 6))
    for row, (name, what, kind, hatch) in enumerate(rows):
        level = y + 8 + 26 * row
        drawing.text(left - 8, level + 11, name, "end", "small")
        drawing.rect(left, level, max(px(what.low) - left, 1), 15, f"fill-{kind}", "thin", hatch)
        drawing.rect(px(what.low), level + 4, max(px(what.high) - px(what.low), 2), 7, f"dot-{kind}")
        if what.low > top:
            drawing.text(left + wide - 4, level + 12, "far beyond ▸", "end", "small halo")
    for tick in (0.0, 0.5, 1.0):
        drawing.line([left + tick * wide] * 2, [y + 60, y + 65], "thin")
        unit = " N m" if tick == 1.0 else ""
        drawing.text(left + tick * wide, y + 78, f"{_two(tick * top / 1e3)}{unit}", "end" if tick == 1.0 else "middle",
            "small")
    drawing.line([left, left + wide], [y + 60, y + 60], "ink")


def _speed_more(r: SpeedAnswer, say: Say) -> str:
    cut, table = r.cut, r.cut.table
    above = ("none" if np.isinf(cut.step.above)
        else f"{plain(cut.step.above, 4)} rpm, {say.speed(cut.step.above_speed)}")
    return _table(
        [("cutting force", _range(cut.force.low, cut.force.high, "N")),
        ("power at the edge", _range(cut.power.low * 1e3, cut.power.high * 1e3, "W")),
        ("power the motor must deliver",
        f"{_range(cut.load.low * 1e3, cut.load.high * 1e3, 'W')} of {_two(r.motor * 1e3, 3)} W"),
        ("next speed up", above), ("metal removed", f"{_two(cut.removal * 0.06)} cm³/min"),
        ("printed finishing feed",
        f"{say.length(r.feeds.low, 2)} to {say.length(r.feeds.high, 2)} per revolution; less on small work"),
        ("the speeds are from", f"{table.source}: {table.place} ({table.basis})")])


SPEED = Page(name="cutting_speed", title="What do I set, and can the motor do it?",
    inputs=(Choose("material", MATERIALS, "medium-carbon steel", "work"),
    Slide("diameter", but(WorkDiameter, low=2, high=200, usual=20), "work", "diameter being cut"),
    Slide("length", TurnLength, "work", "length of the cut"), Tick("inside", False, "work", "inside, in a bore"),
    Choose("tool", speeds.TOOLS, "high-speed steel", "tool"), Slide("nose_radius", Nose, "tool", "nose radius"),
    Choose("lathe", (*speeds.step_sets(), OWN), speeds.step_sets()[0], "holder", "spindle speeds"),
    Write("plate", "60 110 190 320 540 900 1500", "holder", "my own speeds", "speeds on your lathe's plate, in rpm"),
    Slide("motor", MotorPower, "holder", "motor"), Choose("pace", PACES, PACES[1], "cut", "speed wanted"),
    Slide("depth", but(DepthOfCut, low=0.02, usual=0.5), "cut", "depth of cut"),
    Slide("feed", SmallFeed, "cut", "feed per revolution")), compute=_speed, picture=_speed_picture, words=_speed_words,
    more=_speed_more)

# ---- finish ---------------------------------------------------------------------------------------

WantedRa = but(MeanRoughness, low=0.0002, high=0.0125, usual=0.0016, log=True, says="mean roughness the drawing allows")
Minor = but(MinorAngle, low=2, high=45, usual=15)


@dataclass(frozen=True)
class FinishAnswer:
    material: str
    edge: str
    nose_radius: float
    minor_angle: float
    feed: float
    speed: float
    wanted: float
    surface: surface_finish.Finish
    curve: surface_finish.FinishCurve
    feed_to_take: float  # coarsest feed that meets the wanted Ra nine times in ten; nan where none does
    verdict: str

    @property
    def headline(self) -> str:
        return {HOLDS: "Fine enough", EDGE: "Perhaps fine enough", FAILS: "Too rough"}[self.verdict]


def _finish(
    material: str, wanted: float, edge: str, nose_radius: float, minor_angle: float, speed: float, feed: float
) -> FinishAnswer:
    """Roughness that a feed and an edge leave, with its range and curve; mm, m/min, degrees.

    Raises Refused for an edge or a material that is not known.
    """
    answer = surface_finish.finish(material, edge, feed, nose_radius, speed, minor_angle, wanted)
    curve = surface_finish.finish_curve(material, edge, nose_radius, speed, minor_angle)
    return FinishAnswer(material, edge, nose_radius, minor_angle, feed, speed, wanted, answer, curve,
        curve.coarsest(wanted), verdict(answer.chance))


def _finish_words(r: FinishAnswer, say: Say) -> str:
    f = r.surface
    words = [f"Expect Ra {f.ra.text(say)}. The feed marks alone would leave {say.fine(f.ideal_ra)}."]
    if f.built_up > 0.5:
        words.append(f"At {say.speed(r.speed)} {r.material} builds up on the edge and tears. Go much faster, or very "
            "slow with cutting oil.")
    best = f"{say.length(f.best_feed.low, 2).split()[0]} to {say.length(f.best_feed.high, 2)}"
    if r.feed < f.best_feed.low:
        words.append(f"This feed is too fine for the edge. Below about {best} per revolution it rubs, and finer gets "
            "worse.")
    elif r.feed <= f.best_feed.high:
        words.append(f"This feed is about as fine as the edge can use. Below about {best} per revolution finer gets "
            "worse.")
    else:
        words.append(f"Finer feeds help, down to about {best} per revolution. Below that the edge rubs and the "
            "surface gets worse.")
    if np.isnan(r.feed_to_take):
        words.append(f"No feed promises Ra {say.fine(r.wanted)} with this edge and speed.")
    else:
        words.append(f"For Ra {say.fine(r.wanted)}, nine times in ten, feed up to {say.length(r.feed_to_take, 2)} per "
            "revolution.")
    return " ".join(words[:1]) + "\n" + " ".join(words[1:])


def _finish_picture(r: FinishAnswer, say: Say) -> str:
    c, f = r.curve, r.surface
    x = say.length_number(c.feed)
    low = 0.7 * max(min(c.low.min(), c.ideal[len(c.ideal) // 2]), 2e-5)
    high = 1.4 * max(c.high.max(), r.wanted)
    chart = Chart("Roughness over feed", f"Range to expect against the feed marks alone; here Ra {f.ra.text(say)}.",
        x=("feed per revolution", say.length_unit, float(x[0]), float(x[-1])),
        y=("mean roughness Ra", say.fine_unit, float(say.fine_number(low)), float(say.fine_number(high))), log_x=True,
        log_y=True)
    chart.band(x, say.fine_number(c.low), say.fine_number(c.high), "a")
    chart.curve(x, say.fine_number(c.middle), "to expect", "a")
    chart.curve(x, say.fine_number(c.ideal), "", "b")
    under = int(np.argmin(np.abs(np.log(c.ideal / np.sqrt(low * max(r.wanted, 3 * low))))))   # free of other labels
    under = min(under, int(0.6 * len(x)))
    chart.note(1.15 * float(x[under]), 0.8 * float(say.fine_number(c.ideal[under])), "feed marks alone", "start")
    chart.level(float(say.fine_number(r.wanted)), "allowed")
    chart.upright(float(say.length_number(f.best_feed.value)), "finer gets worse ◂")
    chart.mark(float(say.length_number(r.feed)), float(say.fine_number(f.ra.value)), "here", "a", "diamond")
    chart.grip("feed", float(say.length_number(r.feed)))
    chart.side_grip("wanted", float(say.fine_number(r.wanted)))
    chart.height += 106
    _grooves(chart, 300, r, say)
    return chart.svg()


def _grooves(drawing: Drawing, y: float, r: FinishAnswer, say: Say) -> None:
    """The feed marks, four of them, their height exaggerated."""
    n, wide, tall = 4, drawing.width - 40.0, 34.0
    at = np.linspace(0, n, 241)
    x = (at % 1 - 0.5) * r.feed
    shape = r.nose_radius - np.sqrt(r.nose_radius**2 - x**2)
    k = np.radians(r.minor_angle)
    if r.feed > 2 * r.nose_radius * np.sin(k):
        t = (at % 1) * r.feed
        arc = r.nose_radius - np.sqrt(np.maximum(r.nose_radius**2 - t**2, 0))
        line = r.nose_radius * (1 - np.cos(k)) + (r.feed - t - r.nose_radius * np.sin(k)) * np.tan(k)
        back = np.where(r.feed - t > r.nose_radius * np.sin(k), line,
            r.nose_radius - np.sqrt(np.maximum(r.nose_radius**2 - (r.feed - t) ** 2, 0)))
        shape = np.minimum(arc, back)
    height = float(shape.max()) or 1e-9
    scale = tall / height
    xs, ys = 20 + at / n * wide, y + 40 - shape * scale
    drawing.shape(np.concatenate([xs, [xs[-1], xs[0]]]), np.concatenate([ys, [y + 54, y + 54]]), "fill-work", "", 8)
    drawing.line(xs, ys, "ink")
    exaggerated = scale * n * r.feed / wide
    note = f"feed marks {say.fine(height)} high, {say.length(r.feed, 2)} apart"
    drawing.text(20, y + 72, note, "start", "small")
    if exaggerated > 1.5:
        drawing.text(20, y + 89, f"height exaggerated ×{_two(exaggerated)}", "start", "small")


def _finish_more(r: FinishAnswer, say: Say) -> str:
    f, edge = r.surface, surface_finish.edge(r.edge)
    return _table(
        [("height Rz to expect", f.rz.text(say)), ("height of the feed marks alone", say.fine(f.ideal)),
        ("added by the rounded edge", f.rubbed.text(say)),
        ("edge radius taken", f"{say.fine(edge.low)} to {say.fine(edge.high)} ({edge.basis})"),
        ("chance of meeting the allowed Ra", f"{round(100 * f.chance)} %")])


FINISH = Page(name="cutting_finish", title="What finish will this leave?",
    inputs=(Choose("material", MATERIALS, "medium-carbon steel", "work"),
    Slide("wanted", WantedRa, "work", "Ra allowed"), Choose("edge", EDGES, "carbide, ground, uncoated", "tool", "edge"),
    Slide("nose_radius", Nose, "tool", "nose radius"), Slide("minor_angle", Minor, "tool", "minor edge's angle"),
    Slide("speed", but(CuttingSpeed, low=5, high=300, usual=90, log=True), "cut", "cutting speed"),
    Slide("feed", SmallFeed.but(usual=0.06), "cut", "feed per revolution")), compute=_finish, picture=_finish_picture,
    words=_finish_words, more=_finish_more)
