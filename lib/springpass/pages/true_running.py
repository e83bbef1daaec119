"""Pages of chapter 11: the second end by way of holding, two high spots, a bearing seat."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

import numpy as np

from .. import true_running as true
from ..core import tables
from ..core.mathml import formula_mathml
from ..core.quantity import Say, but, plain
from ..core.shared import RingWall, WorkDiameter
from ..core.spread import EDGE, FAILS, HOLDS, Likely, verdict
from ..screen.draw import WIDTH, Drawing, breadth, log_ticks
from ..screen.page import Choose, Page, Slide, Tick
from ..true_running.quantities import EndDistance, FirstRunOut, MarkAngle, RunOut, SecondRunOut, WantedRunOut
from ..true_running.seats import CLASSES, DEMANDS

WAYS = true.ways()
HEADS = {HOLDS: "True enough", EDGE: "At the edge", FAILS: "Not true enough"}
SHORT = {"both ends in one setup": "one setup", "soft jaws bored at size": "soft jaws, bored",
    "four jaws indicated near the jaws": "four jaws, at the jaws", "four jaws indicated at both places":
    "four jaws, both places", "three jaws": "three jaws"}
LIMIT = but(WantedRunOut, low=0.002, high=0.2, usual=0.02, says="allowed run-out of the second end to the first")
AWAY = but(EndDistance, high=200, usual=60, says="distance from the jaws to the end that is turned now")


def held(way: str) -> str:
    """A way of holding inside a sentence."""
    if way == WAYS[0]:
        return "With both ends turned in one setup"
    one = {"collet": "in a collet", "between centres": "between centres"}.get(way)
    return f"Turned round {one or ('on a ' if 'mandrel' in way else 'in ') + (way if not one else '')}".replace(
        "on a expanding", "on an expanding")


def span(one: Likely, say: Say, digits: int = 2) -> str:
    """A range rounded outwards, without its unit: 17 to 160."""
    low, high = (say.fine_number(value) for value in (one.low, one.high))
    return f"{outward(low, np.floor, digits)} to {outward(high, np.ceil, digits)}"


def outward(value: float, way: np.ufunc, digits: int = 2) -> str:
    """A number to so many figures, rounded down or up."""
    if value <= 0:
        return "0"
    step = 10.0 ** max(np.floor(np.log10(value)) - digits + 1, -2)
    return plain(float(way(value / step) * step), digits + 1)


def parts_keep(chance: float, what: str = "") -> str:
    """What share of the parts keeps within a limit."""
    if chance > 0.995 or chance < 0.015:
        return f"{'nearly every' if chance > 0.5 else 'hardly any'} part keeps {what}".strip()
    return f"{round(100 * chance)} % of the parts keep {what}".strip()


def would(chance: float) -> str:
    """The same for another way of holding."""
    if chance > 0.995:
        return "nearly every part would"
    return f"{round(100 * chance)} % of the parts would"


@dataclass(frozen=True)
class Rows:
    """Ranges of several ways on one scale in equal ratios; at() gives the place of a value, px."""

    low: float
    high: float
    left: float
    right: float

    def at(self, value: float) -> float:
        share = np.log(max(value, 1e-9) / self.low) / np.log(self.high / self.low)
        return self.left + float(np.clip(share, 0, 1)) * (self.right - self.left)


def draw_rows(d: Drawing, names: Sequence[str], ranges: Sequence[Likely], chosen: int, limit: float, say: Say,
        top: float, row: float = 25.0, limit_name: str = "allowed") -> Rows:
    """A bar from low to high with a diamond for each way, the chosen one bold; a dashed line at the limit."""
    left = 8 + max(breadth(SHORT.get(name, name)) for name in names) + 8
    ends = [v for one in ranges for v in (one.low, one.high) if v > 0] + [limit]
    rows = Rows(min(ends) / 1.5, max(ends) * 1.5, left, d.width - 14)
    bottom = top + row * len(names)
    shown = say.fine_number(np.array([rows.low, rows.high]))
    free = 0.0
    for tick in log_ticks(float(shown[0]), float(shown[1])):
        x, label = rows.at(float(tick) / say.fine_number(1.0)), plain(float(tick), 2)
        d.line([x, x], [top, bottom], "faint")
        if d.within(x, label) - breadth(label) > free:    # where two would touch, the line stands without its number
            d.text(d.within(x, label), bottom + 16, label, "middle", "small")
            free = d.within(x, label) + breadth(label) / 2
    d.text(8, bottom + 16, say.fine_unit, kind="small")
    for i, (name, one) in enumerate(zip(names, ranges, strict=True)):
        y = top + row * (i + 0.5)
        if i == chosen:
            d.rect(4, y - row / 2, d.width - 8, row, "fill-work")
        d.text(8, y + 5, SHORT.get(name, name), kind="small bold" if i == chosen else "small")
        x, to = rows.at(one.low), rows.at(one.high)
        d.rect(x, y - 4, max(to - x, 2), 8, "fill-a" if i == chosen else "fill-work", "thin")
        d.dot(rows.at(one.value), y, "a" if i == chosen else "d", "diamond" if i == chosen else "circle",
            6 if i == chosen else 4)
    x = rows.at(limit)
    d.line([x, x], [top - 4, bottom], "limit")
    half = breadth(limit_name) / 2
    d.text(min(max(x, left + half - 20), d.width - half), top - 8, limit_name, "middle", "small halo")
    return rows


# ---- turned round ---------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Turned:
    way: str
    distance: float
    allowed: float
    measured: float
    found: tuple[true.TurnedRound, ...]    # every way, in the table's order
    chance: float
    verdict: str

    @property
    def here(self) -> true.TurnedRound:
        return self.found[WAYS.index(self.way)]

    @property
    def headline(self) -> str:
        return HEADS[self.verdict]


def compute_turned(distance: float, allowed: float, way: str, measured: float) -> Turned:
    """How true the second end runs by each way of holding; the chosen one with what was read at the grip, mm."""
    found = tuple(true.turned_round(one, distance, measured if measured and one == way else None) for one in WAYS)
    chance = found[WAYS.index(way)].chance(allowed)
    return Turned(way, distance, allowed, measured, found, chance, verdict(chance))


def words_turned(r: Turned, say: Say) -> str:
    here = r.here.run_out
    away = f", read {say.length(r.distance)} from the jaws" if r.distance else ""
    said = [f"{held(r.way)}, the second end runs out to the first by about {say.fine(here.value)} (90 % range "
        f"{span(here, say)}){away}.", f"{parts_keep(r.chance, f'within the {say.fine(r.allowed)} allowed')}."]
    said[1] = said[1][:1].upper() + said[1][1:]
    better = [one for one in r.found if one.chance(r.allowed) > r.chance + 0.1]
    if r.verdict != HOLDS and better:
        best = max(better, key=lambda one: one.chance(r.allowed))
        said.append(f"{held(best.way)}, {would(best.chance(r.allowed))}.")
    if r.measured:
        said.append("The run-out that you read at the grip takes the table's place.")
    return f"{said[0]}\n{' '.join(said[1:])}"


def picture_turned(r: Turned, say: Say) -> str:
    ranges = [one.run_out for one in r.found]
    top, row = 152.0, 25.0     # under the part in its jaws
    listed = "; ".join(f"{one.way} {say.fine(one.run_out.value)}" for one in r.found)
    d = Drawing("How true the second end runs, by way of holding",
        f"{words_turned(r, say)} Allowed {say.fine(r.allowed)}. By way: {listed}.", WIDTH, top + row * len(WAYS) + 28)
    _side_view(d, r, say, 0.0)
    rows = draw_rows(d, WAYS, ranges, WAYS.index(r.way), r.allowed, say, top, row, f"allowed {say.fine(r.allowed)}")
    d.handle("way", rows.right - 6, top + row * (WAYS.index(r.way) + 0.5), axis="y",
        stops={name: top + row * (i + 0.5) for i, name in enumerate(WAYS)})
    d.handle("allowed", rows.at(r.allowed), top + row * len(WAYS) - 10,
        float(np.log(rows.high / rows.low)) / (rows.right - rows.left), ratio=True)
    return d.svg()


def _side_view(d: Drawing, r: Turned, say: Say, top: float) -> None:
    """Jaws, the first end in them, the second end further out, and the two axes apart, exaggerated."""
    quantity = AWAY
    grip, y, radius = 84.0, top + 46, 17.0
    scale = (WIDTH - grip - 60) / quantity.high
    end = grip + 26 + r.distance * scale
    drop = 5 + 9 * r.distance / quantity.high
    d.rect(14, y - 36, 22, 72, "fill-holder", "thin")
    for side in (-1, 1):
        d.rect(36, y + side * 21 - 9, 40, 18, "fill-holder", "thin")
    d.rect(36, y - 12, 48, 24, "fill-work", "ink", 8)
    d.shape([grip, end, end, grip], [y - radius, y - radius, y + radius, y + radius], "fill-work", "ink")
    d.line([8, WIDTH - 10], [y, y], "limit")
    d.line([30, end + 22], [y - 5, y - 5 - drop], "a")
    d.text(d.width - 8, y + 30, "dashed: spindle's axis", "end", "small halo")
    d.text(d.width - 8, y - 26, "solid: the first end's axis", "end", "small halo")
    d.dimension(76, y + 56, end, y + 56, say.length(r.distance))
    d.handle("distance", end, y, 1 / scale)


def more_turned(r: Turned, say: Say) -> str:
    rows = "".join(f"<tr><td>{escape(one.way)}</td><td>{say.fine(one.run_out.value)}</td>"
        f"<td>{span(one.run_out, say)}</td><td>{plain(100 * one.chance(r.allowed), 2)} %</td>"
        f"<td>{one.basis}</td></tr>"
        for one in r.found)
    return (f"<table><tr><th>way</th><th>run-out</th><th>90 % range, {say.fine_unit}</th>"
        f"<th>within {say.fine(r.allowed)}</th><th>known from</th></tr>{rows}</table>"
        "<p>A coaxiality tolerance is drawn as a diameter, so it is "
        "compared with this run-out, not with its half. Where each row comes from stands in "
        "data/true_running_ways.csv.</p>")


TURNED = Page(name="second_end", title="How true will the second end run?",
    inputs=(Slide("distance", AWAY, "work", "distance from the jaws"),
    Slide("allowed", LIMIT, "work", "run-out allowed"),
    Choose("way", WAYS, "three jaws", "holder", "held in", "how the part is gripped by the end turned first"),
    Slide("measured", but(RunOut, high=0.3, usual=0, step=1, says="your own reading close to the jaws; 0 if not read"),
    "holder", "run-out read at the grip")),
    compute=compute_turned, picture=picture_turned, words=words_turned, more=more_turned)


# ---- two high spots -------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Marks:
    first: float
    second: float
    angle: float
    marked: bool
    run_out: float               # marked: at this angle; else root mean square
    least: float
    most: float


def compute_marks(first: float, second: float, angle: float, marked: bool) -> Marks:
    """Two causes of run-out as arrows: at the marked angle, or left to chance; mm."""
    least, most = (float(true.marked_run_out(first, second, end)) for end in _ENDS)
    found = true.marked_run_out(first, second, angle) if marked else true.chance_run_out(first, second)
    return Marks(first, second, angle, marked, float(found), least, most)


_ENDS = (180.0, 0.0)     # degrees: against each other, and the same way


def words_marks(r: Marks, say: Say) -> str:
    two = f"{say.fine(r.first)} and {say.fine(r.second)}"
    if r.marked:
        best = (f" Turn one mark opposite the other, and {say.fine(r.least)} is left."
            if r.run_out > r.least * 1.02 + 1e-6 else " No other angle leaves less.")
        return (f"You can set them against each other. With the high spots {plain(r.angle, 3)}° apart, run-outs of "
        f"{two} "
            f"make {say.fine(r.run_out)} together.\n{best.strip()}")
    return (f"Left to chance, run-outs of {two} make {say.fine(r.run_out)} on average (root of the squares).\n"
        f"One part may come out anywhere from {say.fine(r.least)} to {say.fine(r.most)}. If you mark the high spots, "
        "you choose.")


def picture_marks(r: Marks, say: Say) -> str:
    d = Drawing("Two causes of run-out as arrows", words_marks(r, say), WIDTH, 360)
    x, tall, wide = 150.0, 250.0, 138.0
    small = FIRST.high / tall
    scale = min(tall / max(r.first + r.second, 20 * small), wide / max(r.second, 10 * small))
    y = 18 + max((r.first + r.second) * scale, tall / 2)
    up, lean = r.first * scale, np.radians(r.angle)
    tip_x, tip_y = x, y - up
    end_x, end_y = tip_x + r.second * scale * np.sin(lean), tip_y - r.second * scale * np.cos(lean)
    d.circle(x, y, 3.5, "ink")
    d.line([x - wide, x + wide], [y, y], "faint")
    d.line([x, x], [10, 296], "faint")
    if not r.marked:
        d.circle(tip_x, tip_y, r.second * scale, "b")
    d.text(x - 10, y + 18, "spindle's axis", "end", "small halo")
    d.arrow(x, y, tip_x, tip_y, "a", 10)
    if r.marked:
        d.arrow(tip_x, tip_y, end_x, end_y, "b", 10)
        d.arrow(x, y, end_x, end_y, "ink", 11)
    side = x + wide + 22
    for i, (name, value) in enumerate((("first, solid", r.first), ("second, dashed", r.second),
            ("together" if r.marked else "on average", r.run_out))):
        d.text(side, 40 + 46 * i, name, kind="small")
        d.text(side, 58 + 46 * i, say.fine(value), kind="bold")
    d.handle("first", tip_x, tip_y, -1e3 / scale, "y")
    across, down = np.sin(lean), -np.cos(lean)
    if r.marked and abs(across) >= abs(down):
        d.handle("second", end_x, end_y, 1e3 / (scale * across), "x")
    else:
        where = (end_x, end_y, down) if r.marked else (tip_x, tip_y - r.second * scale, -1.0)
        d.handle("second", where[0], where[1], 1e3 / (scale * where[2]), "y")
    rail, left, right = 332.0, 30.0, WIDTH - 30.0
    d.line([left, right], [rail, rail], "ink")
    for at, label in ((0, "0° same side"), (90, "90°"), (180, "180° opposite")):
        place = left + (right - left) * at / 180
        d.line([place, place], [rail - 4, rail + 4], "thin")
        d.text(d.within(place, label), rail + 20, label, "middle", "small")
    place = left + (right - left) * r.angle / 180
    d.dot(place, rail, "b", "diamond", 6)
    d.handle("angle", place, rail, 180 / (right - left))
    return d.svg()


def more_marks(r: Marks, say: Say) -> str:
    if r.marked:
        return formula_mathml(true.marked_run_out, {"first": r.first, "second": r.second, "angle": r.angle})
    return formula_mathml(true.chance_run_out, {"first": r.first, "second": r.second})


FIRST = but(FirstRunOut, high=0.2, usual=0.05)
MARKS = Page(name="high_spots", title="What if you mark the high spots?",
    inputs=(Slide("first", FIRST, "work", "first run-out"),
    Slide("second", but(SecondRunOut, high=0.2, usual=0.04), "work", "second run-out"),
    Slide("angle", but(MarkAngle, usual=120), "holder", "angle between the high spots"),
    Tick("marked", True, "holder", "both high spots are marked", "with chalk or a pen, before the part is taken out")),
    compute=compute_marks, picture=picture_marks, words=words_marks, more=more_marks)


# ---- a bearing seat -------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Seats:
    way: str
    diameter: float
    shoulder: float
    found: tuple[true.SeatByWay, ...]
    chance: float
    verdict: str

    @property
    def here(self) -> true.SeatByWay:
        return self.found[WAYS.index(self.way)]

    @property
    def headline(self) -> str:
        return HEADS[self.verdict]


def compute_seats(diameter: float, step: float, distance: float, precision: str, demands: str, way: str) -> Seats:
    """A second bearing seat and its shoulder by each way of holding, beside the table's limits, mm."""
    shoulder = diameter + 2 * step
    found = tuple(true.seat_by_way(one, diameter, shoulder, distance, precision, demands) for one in WAYS)
    chance = found[WAYS.index(way)].chance
    return Seats(way, diameter, shoulder, found, chance, verdict(chance))


def words_seats(r: Seats, say: Say) -> str:
    here = r.here
    said = (f"A seat of Ø{say.length(r.diameter)} may run out by {say.fine(here.radial)} and its shoulder by "
        f"{say.fine(here.axial)}.\n{held(r.way)}, the seat comes out at about {say.fine(here.run_out.value)} "
        f"(90 % range {span(here.run_out, say)}) and the shoulder at {say.fine(here.face.value)} "
        f"({span(here.face, say)}): ")
    best = max(range(len(WAYS)), key=lambda i: r.found[i].chance)
    tail = "" if r.found[best].chance < r.chance + 0.1 else (
        f" {held(WAYS[best])}, {would(r.found[best].chance)}.")
    return f"{said}{parts_keep(r.chance, 'both limits')}.{tail}"


def picture_seats(r: Seats, say: Say) -> str:
    row = 20.0
    tall = row * len(WAYS)
    listed = "; ".join(f"{way}: seat {say.fine(one.run_out.value)}, shoulder {say.fine(one.face.value)}" for way, one in
        zip(WAYS, r.found, strict=True))
    d = Drawing("Run-out of a bearing seat and its shoulder, by way of holding", f"{words_seats(r, say)} {listed}.",
        WIDTH, 2 * tall + 124)
    chosen = WAYS.index(r.way)
    d.text(8, 16, "seat, radial", kind="small bold")
    draw_rows(d, WAYS, [one.run_out for one in r.found], chosen, r.here.radial, say, 34, row,
        f"allowed {say.fine(r.here.radial)}")
    below = 34 + tall + 52
    d.text(8, below - 14, "shoulder, axial", kind="small bold")
    draw_rows(d, WAYS, [one.face for one in r.found], chosen, r.here.axial, say, below, row,
        f"allowed {say.fine(r.here.axial)}")
    d.handle("way", WIDTH - 20, 34 + row * (chosen + 0.5), axis="y",
        stops={name: 34 + row * (i + 0.5) for i, name in enumerate(WAYS)})
    return d.svg()


def more_seats(r: Seats, say: Say) -> str:
    rows = "".join(f"<tr><td>{escape(way)}</td><td>{plain(100 * one.chance_radial, 2)} %</td>"
        f"<td>{plain(100 * one.chance_face, 2)} %</td><td>{plain(100 * one.chance, 2)} %</td></tr>" for way, one in
        zip(WAYS, r.found, strict=True))
    source = tables.rows("bearing_seat_form")[0]["source"]
    return (f"<table><tr><th>way</th><th>seat true enough</th><th>shoulder true enough</th><th>both</th></tr>{rows}"
        f"</table><p>Limits: {escape(source)}: total radial run-out half of a grade, total axial run-out a whole one. "
        "The spread of the ways is the table of chapter 11.</p>")


SEATS = Page(name="seat_run_out", title="Is the second bearing seat true enough?",
    inputs=(Slide("diameter", but(WorkDiameter, low=3, high=120, usual=20, step=1,
    says="diameter of the second bearing's seat"), "work", "seat diameter"),
    Slide("step", but(RingWall, low=0.5, high=15, usual=3, step=0.5,
    says="how far the shoulder stands above the seat"), "work", "height of the shoulder"),
    Slide("distance", AWAY, "work", "distance from the jaws"),
    Choose("precision", CLASSES, "Normal", "work", "class of the bearing", "ISO 492"),
    Choose("demands", DEMANDS, "usual", "work", "demands", "special: where the shaft must run very true"),
    Choose("way", WAYS, "three jaws", "holder", "held in", "how the part is gripped by the end turned first")),
    compute=compute_seats, picture=picture_seats, words=words_seats, more=more_seats)
