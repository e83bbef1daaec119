"""Pages of the chapter on the stress in the bar: the order of cuts, kinds of bar, stock left for the finish cuts."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import bore_stress as stress
from ..core import spread
from ..core.quantity import Quantity, Refused, Say, but, number, plain
from ..core.shared import BoreDiameter, Tolerance, WorkDiameter
from ..core.spread import Likely, likely, odds, verdict
from ..core.tables import fact
from ..printing.plan_words import short_bore
from ..printing.setup_view import hatch, section_of
from ..screen.draw import Chart, Drawing, enlarged, nice_ticks, room
from ..screen.page import SHAPES, Choose, Page, Slide, Write

STOCKS = tuple(stress.stocks())
Outside = but(WorkDiameter, low=12, high=80, usual=20, says="finished outside diameter", step=0.5)
Skin = Quantity("s_0", "mm", low=0, high=10, usual=2, says="what is turned off the bar as supplied, on diameter",
    step=0.1)
Bore = but(BoreDiameter, low=2, high=50, usual=10, says="finished bore", step=0.5)
Left = Quantity("s", "mm", low=0.05, high=3, usual=0.5, log=True,
    says="stock left by roughing for the finish cuts, on diameter")
Band = but(Tolerance, low=0.002, high=0.1, usual=0.015, log=False, step=1)
Bored = Quantity("L", "mm", low=2, high=300, usual=32, says="length of the bore", step=1)

OUTSIDE_FIRST, BORE_FIRST = "outside to size, then bore", "bore to size, then outside"
ROUGH_BORE_FIRST, ROUGH_OUTSIDE_FIRST = ("rough both, finish bore, finish outside",
    "rough both, finish outside, finish bore")
TYPED = "the cuts typed below"
ORDERS = (OUTSIDE_FIRST, BORE_FIRST, ROUGH_BORE_FIRST, ROUGH_OUTSIDE_FIRST)
NO_MATTER = 0.1   # of the larger movement: orders that differ by less are as good as each other
MOST_LEFT, LEAST_LEFT = 3.0, 0.05   # mm: stock between these is tried
MOST_BORED, LEAST_BORE = 0.9, 0.5   # of a bore down to the smallest, mm, that can be there before
EVERY = 4         # samples: a curve needs fewer than one answer
A_TENTH = 0.1     # of the tolerance: what the other surface may move
SAME = 1e-9       # of a length
NOTHING = 5e-5   # mm; a twentieth of a micrometre: less than this is “right” to anyone


# ---- the cuts ---------------------------------------------------------------------------------------

def read_cuts(text: str) -> list[tuple[str, float]]:
    """"turn 20.5, bore 10, turn 20" as cuts with diameters in mm. Raises Refused with what could not be read."""
    pattern = r"\b(turn|bore)\b\s*(?:to\b\s*)?[Øø⌀]?\s*(\d+(?:[.,]\d+)?|[.,]\d+)\s*(mm|inches|inch|in|\")?"
    found = re.findall(pattern, text, flags=re.IGNORECASE)
    rest = re.sub(pattern, " ", text, flags=re.IGNORECASE)
    rest = re.sub(r"\b(then|and)\b|[,;.>→\s]", " ", rest, flags=re.IGNORECASE).strip()
    if rest or not found:
        raise Refused(f"The cuts cannot be read{f' at “{rest[:30]}”' if rest else ''}. "
            "Write them like: turn 20.5, bore 9.5, bore 10, turn 20 (diameters in mm).")
    if len(found) > 20:
        raise Refused(f"{len(found)} cuts are more than a drawing can show. Type 20 or fewer.")
    return [(side.lower(), number(size) * (25.4 if unit and unit.lower() != "mm" else 1.0)) for side, size,
        unit in found]


def cuts_of(
    order: str, outside: float, bore: float, left: float, bar: float, typed: str = ""
) -> list[tuple[str, float]]:
    """The cuts of one of the orders, with diameters. A roughing bore too small to drill is left out."""
    if order == TYPED:
        return read_cuts(typed)
    if bore >= outside:
        raise Refused(
            f"A bore of Ø{plain(bore, 4)} mm leaves no wall in Ø{plain(outside, 4)} mm. Make the bore smaller.")
    finish_outside, finish_bore = ("turn", outside), ("bore", bore)
    if order == OUTSIDE_FIRST:
        return [finish_outside, finish_bore]
    if order == BORE_FIRST:
        return [finish_bore, finish_outside]
    rough = [("turn", outside + left)] if outside + left < bar else []
    rough += [("bore", bore - left)] if bore - left > 1 else []
    return [*rough, *([finish_bore, finish_outside] if order == ROUGH_BORE_FIRST else [finish_outside, finish_bore])]


@dataclass(frozen=True)
class Outcome:
    """One order of cuts: what became of each finished surface (mm on diameter), None where there is none."""

    cuts: tuple[tuple[str, float], ...]
    outside: Likely | None
    bore: Likely | None
    length: Likely            # mm over the bored length
    outside_holds: str
    bore_holds: str
    worst: float              # likely most, either way, of the surface that moves most


def outcome(stock: str, bar: float, cuts: list[tuple[str, float]], bored: float, outside_tolerance: float,
        bore_tolerance: float) -> Outcome:
    """Run the cuts through every sample of the bar; a short piece gets its wider range."""
    found = stress.cut_sequence(bar / 2, cuts=[(side, size / 2) for side, size in cuts], **stress.stock_sample(stock))
    widen = short_piece() if stress.short_ratio(bored, last(cuts, "turn", bar)) else 1.0
    parts: dict[str, Any] = {}
    for side, error, band in (("turn", found.outside_error, outside_tolerance),
            ("bore", found.bore_error, bore_tolerance)):
        moved = error * widen if any(cut[0] == side for cut in cuts) else None
        parts[side] = (None if moved is None else likely(moved),
            "" if moved is None else verdict(odds(np.abs(moved) <= band / 2)))
    worst = max(abs(end) for part in parts.values() if part[0] for end in (part[0].low, part[0].high))
    return Outcome(tuple(cuts), parts["turn"][0], parts["bore"][0], likely(found.length_change * bored),
        parts["turn"][1], parts["bore"][1], worst)


def short_piece() -> np.ndarray:
    """Samples of what a piece too short for the theory moves, as a share of what the theory says."""
    low, high = stress.SHORT_PIECE
    return low + (high - low) * spread.points(7)[6]


def last(cuts: list[tuple[str, float]], side: str, otherwise: float) -> float:
    return next((size for which, size in reversed(cuts) if which == side), otherwise)


def short_note(ratio: float) -> str:
    """The caution for a short bore, in few words; the table under the page has all of it."""
    return f"The bore is short ({plain(ratio, 2)} bar diameters), so the ranges are widened."


def moved(say: Say, what: Likely) -> str:
    """"2.5 µm small (90 % range 1.2 to 4.1)", "right" where nothing moves, both ends where they straddle zero."""
    if max(abs(what.low), abs(what.high)) < NOTHING:
        return "right"
    if what.value < 0 and 0 < what.high < NOTHING:
        return f"up to {say.fine(-what.low)} small"
    if what.value > 0 and 0 < -what.low < NOTHING:
        return f"up to {say.fine(what.high)} large"
    if what.low < 0 < what.high:
        return f"anywhere from {say.fine(-what.low)} small to {say.fine(what.high)} large"
    side = "small" if what.value < 0 else "large"
    near, far = sorted((abs(what.low), abs(what.high)))
    return f"{say.fine(abs(what.value))} {side} (90 % range {say.fine(near).rsplit(' ', 1)[0]} to {say.fine(far)})"


def step_text(say: Say, cut: tuple[str, float]) -> str:
    return f"{cut[0]} Ø{say.length(cut[1], 5)}"


# ---- page: the same cuts in two orders ----------------------------------------------------------------

@dataclass(frozen=True)
class TwoOrders:
    headline: str
    verdict: str              # of the better order
    stock: str
    bar: float
    first: Outcome
    second: Outcome
    outside_tolerance: float
    bore_tolerance: float
    short: float            # bored length in outside diameters where that is too short for the model, else 0
    same: bool              # neither order is better


def compute_orders(stock: str, outside: float, skin: float, bore: float, bored: float, outside_tolerance: float,
        bore_tolerance: float, left: float, first: str, second: str, typed: str) -> TwoOrders:
    """The same bar cut in two orders."""
    bar = outside + skin
    both = [cuts_of(order, outside, bore, left, bar, typed) for order in (first, second)]
    one, two = (outcome(stock, bar, cuts, bored, outside_tolerance, bore_tolerance) for cuts in both)
    short = stress.short_ratio(bored, last(both[1], "turn", bar))
    a, b = one.worst, two.worst
    little = A_TENTH * min(outside_tolerance, bore_tolerance)
    same = max(a, b) < max(little, NOTHING) or abs(a - b) < NO_MATTER * max(a, b)
    better = one if a < b else two
    headline = ("The order hardly matters here" if same else
        f"The {'first' if better is one else 'second'} order is the better one")
    return TwoOrders(headline, worst_verdict(better), stock, bar, one, two, outside_tolerance, bore_tolerance, short,
        same)


TAGS = {spread.HOLDS: "which holds", spread.EDGE: "at the edge", spread.FAILS: "which will not hold"}


def words_orders(result: TwoOrders, say: Say) -> str:
    one, two = (f"by {say.fine(found.worst)}" if found.worst > NOTHING else "not at all" for found in
        (result.first, result.second))
    lines = [f"At worst a finished surface moves {one} in the first order and {two} in the second."]
    for name, found in (("First order", result.first), ("Second order", result.second)):
        parts = [f"the {what} is right" if (far := moved(say, ends)) == "right" else
            f"the {what} ends {far}, {TAGS[holds]}" for what, ends, holds in (("outside", found.outside,
            found.outside_holds), ("bore", found.bore, found.bore_holds)) if ends]
        lines.append(f"{SHAPES[worst_verdict(found)]} {name}: {'; '.join(parts)}.")
    return "\n".join([*lines, *([short_note(result.short)] if result.short else [])])


def more_orders(result: TwoOrders, say: Say) -> str:
    """The cuts, what holds means, the length, and how far the calculation goes."""
    one, two = (found.cuts for found in (result.first, result.second))
    other = any(last(list(one), side, 0) != last(list(two), side, 0) for side in ("bore", "turn"))
    texts = [f"{name} order: {', '.join(step_text(say, cut) for cut in cuts)}." for name, cuts in (("First", one),
        ("Second", two))]
    texts.append("“Holds” means: cut each surface to the middle of its tolerance, and nine times in ten it is "
        f"still inside at the end. The bored length itself changes by {result.second.length.text(say)}, "
        f"{'in the second order' if other else 'whatever the order'}.")
    return "".join(f"<p>{text}</p>" for text in (*texts, *([short_bore(result.short)] if result.short else [])))


def worst_verdict(found: Outcome) -> str:
    return next(v for v in (spread.FAILS, spread.EDGE, spread.HOLDS) if v in (found.outside_holds, found.bore_holds))


RADIUS, MOST = 48.0, 7.0   # px: half the bar as supplied; the most that a surface is drawn to move


def freed(cuts: tuple[tuple[str, float], ...], bar: float) -> tuple[float, float] | None:
    """Inside and outside diameter of the layer that is cut away after the first surface was finished: what moves it.

    None where one side alone is cut.
    """
    ends = {side: max((i for i, cut in enumerate(cuts) if cut[0] == side), default=-1) for side in ("turn", "bore")}
    if min(ends.values()) < 0:
        return None
    first = min(ends, key=ends.__getitem__)
    before = list(cuts[:ends[first]])
    if first == "turn":
        return last(before, "bore", 0.0), last(list(cuts), "bore", 0.0)
    return last(list(cuts), "turn", bar), last(before, "turn", bar)


def picture_orders(result: TwoOrders, say: Say) -> str:
    found = (result.first, result.second)
    deep = max(len(f.cuts) for f in found)
    top = 192 + 18 * max(deep - 6, 0)
    rows = [(name, [getattr(f, part) for f in found], band) for name, part,
        band in (("outside", "outside", result.outside_tolerance), ("bore", "bore", result.bore_tolerance))
        if any(getattr(f, part) for f in found)]
    picture = Drawing("The same cuts in two orders",
        "The ring that is left in each order, seen along the axis, with the layer that was cut away after the first "
        "surface was finished, and the cuts in order; below, how far each finished surface is from its size at the "
        "end, against its tolerance.", height=top + 4 + 112 * len(rows))
    moves = [abs(part.value) for f in found for part in (f.outside, f.bore) if part]
    most = max(moves, default=0.0)
    times = enlarged(most / 2, RADIUS / (result.bar / 2), MOST) if most > NOTHING else 0.0
    for i, f in enumerate(found):
        _ring(picture, 12 + 226 * i, 8, result, f, say, f"{'first' if i == 0 else 'second'} order, {say.length_unit}",
            times, i == 0)
    shares = [plain(100 * (f[1] ** 2 - f[0] ** 2) / result.bar ** 2, 2) if f else "0" for f in
        (freed(f.cuts, result.bar) for f in found)]
    picture.text(10, top - 48, "closely hatched: cut away after the first finish,", kind="small")
    picture.text(10, top - 30, f"{shares[0]} % of the bar in the first order, {shares[1]} % in the second",
        kind="small")
    picture.text(10, top - 12, f"dashed: set size; movement exaggerated ×{plain(times, 1)}" if times else
        "dashed: set size; nothing moves", kind="small")
    for row, (name, pair, band) in enumerate(rows):
        _pair(picture, top + 24 + 112 * row, f"{name}, {say.fine_unit} off at the end; hatched: tolerance", pair,
            say.fine_number(band), say)
    return picture.svg()


def _circle(x: float, y: float, outer: float, inner: float = 0.0) -> tuple[np.ndarray, np.ndarray]:
    """Corners of a disc, or of a ring."""
    a = np.linspace(0, 2 * np.pi, 73)
    radii, turns = (np.repeat([outer, inner], 73), np.concatenate([a, a[::-1]])) if inner > 0 else (outer, a)
    return x + radii * np.cos(turns), y + radii * np.sin(turns)


def _ring(picture: Drawing, x: float, y: float, result: TwoOrders, found: Outcome, say: Say, name: str, times: float,
        held: bool) -> None:
    """What is left, along the axis, with its surfaces where they end; and the list of cuts beside it."""
    cuts = list(found.cuts)
    outside, bore = last(cuts, "turn", result.bar), last(cuts, "bore", 0.0)
    scale = RADIUS / (result.bar / 2)
    cx, cy = x + RADIUS, y + 22 + RADIUS
    picture.text(x - 4, y + 8, name, kind="bold halo")
    picture.circle(cx, cy, RADIUS, "phantom")
    layer = freed(found.cuts, result.bar)
    if layer and layer[1] > layer[0]:
        xs, ys = _circle(cx, cy, scale * layer[1] / 2, scale * layer[0] / 2)
        picture.shape(xs, ys, "fill-gone")
        hatch(picture, xs, ys, "gone")
    ends = [size / 2 + (times * part.value / 2 if part else 0.0) for size, part in ((outside, found.outside),
        (bore, found.bore))]
    outer, inner = scale * ends[0], max(scale * ends[1], 0.0) if bore else 0.0
    xs, ys = _circle(cx, cy, outer, inner)
    picture.shape(xs, ys, "fill-work")
    hatch(picture, xs, ys, section_of(result.stock))
    for size, end in ((outside, outer), (bore, inner)):
        if size:
            picture.circle(cx, cy, end, "ink")
            picture.circle(cx, cy, scale * size / 2, "limit")
    if held:   # its surfaces can be taken hold of; both orders follow
        picture.handle("outside", cx, cy - scale * outside / 2, -2 / scale, "y")
        picture.handle("bore", cx, cy + scale * bore / 2, 2 / scale, "y")
    for i, (what, to) in enumerate(found.cuts):
        picture.text(x + 2 * RADIUS + 8, y + 37 + 18 * i,
            f"{what} Ø{plain(say.length_number(to), 4 if say.inch else 5)}", kind="small")


def _pair(picture: Drawing, y: float, title: str, pair: list[Likely | None], band: float, say: Say) -> None:
    """Two answers on one scale with the tolerance zone: a circle and a full bar, a square and a dashed one."""
    shown = [tuple(float(say.fine_number(v)) for v in (p.value, p.low, p.high)) for p in pair if p]
    low, high = room([-band / 2, band / 2, *(v for s in shown for v in s)])
    x, width = 34.0, picture.width - 50.0

    def at(value: float) -> float:
        return x + (value - low) / (high - low) * width

    picture.text(10, y, title)
    picture.rect(at(-band / 2), y + 8, at(band / 2) - at(-band / 2), 52, "fill-c", "thin", 9)
    picture.line([at(0)] * 2, [y + 8, y + 60], "limit")
    for i, p in enumerate(pair):
        row = y + 22 + 25 * i
        picture.text(10, row + 4.5, "1st" if i == 0 else "2nd", kind="small")
        if p is None:
            picture.text(at(0), row + 4.5, "not cut", "middle", "small halo")
            continue
        value, below, above = (float(say.fine_number(v)) for v in (p.value, p.low, p.high))
        picture.rect(at(below), row - 5, max(at(above) - at(below), 2), 10, f"fill-{'ab'[i]}", "thin")
        picture.dot(at(value), row, "ab"[i], "circle" if i == 0 else "square", 5)
    picture.line([x, x + width], [y + 62, y + 62], "ink")
    for tick in nice_ticks(low, high, 6, width):
        picture.line([at(tick)] * 2, [y + 62, y + 67], "thin")
        picture.text(at(tick), y + 80, plain(float(tick), 4), "middle", "small")


ORDER = Page(name="bore_stress_order", title="The same cuts in two orders: which finished surface moves?",
    inputs=(Choose("stock", STOCKS, "steel, cold drawn", label="bar", says="family and condition of the bar"),
    Slide("outside", Outside, label="finished outside"), Slide("skin", Skin, label="skin turned off, on diameter"),
    Slide("bore", Bore, label="finished bore"), Slide("bored", Bored, label="length of the bore"),
    Slide("outside_tolerance", Band.but(usual=0.013), label="tolerance of the outside"),
    Slide("bore_tolerance", Band, label="tolerance of the bore"),
    Slide("left", Left, group="cut", label="stock left by roughing, on diameter"),
    Choose("first", (*ORDERS, TYPED), OUTSIDE_FIRST, group="cut", label="first order"),
    Choose("second", (*ORDERS, TYPED), ROUGH_BORE_FIRST, group="cut", label="second order"),
    Write("typed", "turn 21, bore 8, turn 20, bore 10", group="cut", label="typed cuts, mm",
    says="your own order of cuts, like: turn 21, bore 8, turn 20, bore 10")), compute=compute_orders,
    picture=picture_orders, words=words_orders, more=more_orders)


# ---- page: which bar to buy ---------------------------------------------------------------------------

@dataclass(frozen=True)
class WhichBar:
    order: str
    found: tuple[tuple[str, Likely, str], ...]   # stock, movement of the surface that was finished first, verdict
    surface: str
    tolerance: float
    short: float            # bored length in outside diameters where that is too short for the model, else 0


def compute_bars(outside: float, skin: float, bore: float, bored: float, tolerance: float, left: float,
        order: str) -> WhichBar:
    """One order of cuts in every kind of bar."""
    bar = outside + skin
    cuts = cuts_of(order, outside, bore, left, bar)
    surface = "outside" if cuts[-1][0] == "bore" else "bore"
    rows = []
    for stock in STOCKS:
        found = outcome(stock, bar, cuts, bored, tolerance, tolerance)
        what = found.outside if surface == "outside" else found.bore
        assert what is not None
        rows.append((stock, what, found.outside_holds if surface == "outside" else found.bore_holds))
    return WhichBar(order, tuple(rows), surface, tolerance, stress.short_ratio(bored, outside))


def words_bars(result: WhichBar, say: Say) -> str:
    size = {stock: max(abs(what.low), abs(what.high)) for stock, what, _ in result.found}
    worst, best = max(size, key=size.__getitem__), min(size, key=size.__getitem__)
    by_name = {stock: what for stock, what, _ in result.found}
    if size[worst] < NOTHING:
        return f"Every bar does: in the order “{result.order}” the {result.surface} stays right."
    far = moved(say, by_name[best])
    lines = [f"The bar that keeps its size best is {best}: its {result.surface} {'is' if far == 'right' else 'ends'} "
        f"{far}. The one that moves most is {worst}: {moved(say, by_name[worst])}.",
        f"The tolerance is {say.fine(result.tolerance)}."]
    relieved, drawn = by_name["steel, stress-relieved"], by_name["steel, cold drawn"]
    if abs(relieved.value) > 1e-9:
        lines[-1] += (f" Stress relief before turning brings drawn steel from {say.fine(abs(drawn.value))} "
            f"down to {say.fine(abs(relieved.value))}.")
    return "\n".join([*lines, *([short_note(result.short)] if result.short else [])])


def more_short(result: WhichBar | StockLeft, say: Say) -> str:
    """How far the calculation goes."""
    return f"<p>{short_bore(result.short)}</p>" if result.short else ""


def picture_bars(result: WhichBar, say: Say) -> str:
    tall, x, top = 35, 12.0, 26.0
    picture = Drawing("Movement in each kind of bar",
        "A bar over the 90 % range of the movement for each kind.", height=78 + tall * len(result.found))
    width, bottom = picture.width - 2 * x, top + tall * len(result.found)
    numbers = [[float(say.fine_number(v)) for v in (what.low, what.value, what.high)] for _, what, _ in result.found]
    half = float(say.fine_number(result.tolerance)) / 2
    low, high = room([-half, half], *numbers)

    def at(value: float) -> float:
        return x + (value - low) / (high - low) * width

    picture.text(8, 15, f"{result.surface}, {say.fine_unit} off at the end (minus: small)")
    picture.rect(at(-half), top, at(half) - at(-half), bottom - top, "fill-c", "thin", 16)
    picture.line([at(0)] * 2, [top, bottom], "limit")
    for i, ((stock, _, holds), (below, middle, above)) in enumerate(zip(result.found, numbers, strict=True)):
        row = top + tall * (i + 0.7)
        picture.text(x + 4, row - 9, f"{SHAPES[holds]} {stock}", kind="small halo")
        picture.rect(at(below), row - 5, max(at(above) - at(below), 2), 10, "fill-a", "thin")
        picture.dot(at(middle), row, "a", "circle", 4.5)
    picture.line([x, x + width], [bottom, bottom], "ink")
    for tick in nice_ticks(low, high, 5, width):
        picture.line([at(tick)] * 2, [bottom, bottom + 5], "thin")
        picture.text(picture.within(at(tick), plain(float(tick), 4)), bottom + 18, plain(float(tick), 4), "middle",
            "small")
    picture.text(8, bottom + 40, "hatched: tolerance   ● holds  ◐ at the edge  ◆ will not hold", kind="small")
    return picture.svg()


WHICH_BAR = Page(name="bore_stress_bars", title="Which bar keeps its size?",
    inputs=(Slide("outside", Outside, label="finished outside"),
    Slide("skin", Skin, label="skin turned off, on diameter"), Slide("bore", Bore, label="finished bore"),
    Slide("bored", Bored, label="length of the bore"),
    Slide("tolerance", Band.but(usual=0.013), label="tolerance of the surface finished first"),
    Slide("left", Left, group="cut", label="stock left by roughing, on diameter"),
    Choose("order", ORDERS, OUTSIDE_FIRST, group="cut", label="order")), compute=compute_bars, picture=picture_bars,
    words=words_bars, more=more_short)


# ---- page: how much to leave for the finish cuts --------------------------------------------------------

@dataclass(frozen=True)
class StockLeft:
    left: np.ndarray
    outside: np.ndarray     # low, middle, high of the movement's size, mm, when the outside is finished first
    bore: np.ndarray        # the same for the bore when the bore is finished first
    here: float
    at_outside: Likely
    at_bore: Likely
    share: float            # mm: a tenth of the tolerance
    most: float             # largest stock left that keeps both within it; nan where none does
    short: float            # bored length in outside diameters where that is too short for the model, else 0


def compute_left(stock: str, outside: float, skin: float, bore: float, bored: float, tolerance: float,
        left: float) -> StockLeft:
    """Movement of the surface finished first against the stock that roughing left on the other."""
    if bore >= outside:
        raise Refused(
            f"A bore of Ø{plain(bore, 4)} mm leaves no wall in Ø{plain(outside, 4)} mm. Make the bore smaller.")
    most = min(MOST_LEFT, skin, MOST_BORED * (bore - LEAST_BORE))
    grid = np.geomspace(LEAST_LEFT, most * (1 - SAME), 18)
    here = min(left, float(grid[-1]))
    stops = np.append(grid, here)[:, None]
    sample = {name: values[::EVERY] for name, values in stress.stock_sample(stock).items()}
    short = stress.short_ratio(bored, outside)
    widen = short_piece()[::EVERY] if short else 1.0
    bar = (outside + skin) / 2
    # the roughing cut on the side that is finished first leaves no trace: only the other one is needed
    outside_first = [("bore", (bore - stops) / 2), ("turn", outside / 2), ("bore", bore / 2)]
    bore_first = [("turn", (outside + stops) / 2), ("bore", bore / 2), ("turn", outside / 2)]
    sizes = [
        np.abs(stress.cut_sequence(bar, cuts=cuts, **sample).error[1] * widen) for cuts in (outside_first, bore_first)]
    bands = [spread.band(size, axis=1) for size in sizes]
    share = A_TENTH * tolerance
    fine = (bands[0][2, :-1] <= share) & (bands[1][2, :-1] <= share)
    return StockLeft(grid, bands[0][:, :-1], bands[1][:, :-1], here, likely(sizes[0][-1]), likely(sizes[1][-1]), share,
        float(grid[fine].max()) if fine.any() else float("nan"), short)


def words_left(result: StockLeft, say: Say) -> str:
    tenth = f"a tenth of the tolerance, {say.fine(result.share)}"
    if not np.isfinite(result.most):
        first = f"Leave as little as you can: even {say.length(result.left[0])} moves a surface by more than {tenth}."
    elif result.most >= result.left[-1] * 0.999:
        first = (f"Leave what you like up to {say.length(result.most, 2)}: no finish cut moves the other surface by "
            f"{tenth}.")
    else:
        first = (f"Leave up to {say.length(result.most, 2)} on diameter, and at least enough to clean up the roughing "
            f"cut: then no finish cut moves the other surface by more than {tenth}.")
    return (f"{first}\nWith {say.length(result.here)} left, the outside moves {result.at_outside.text(say)} when the "
        f"bore is finished after it; the bore moves {result.at_bore.text(say, named=False)} when the outside is."
        + (f"\n{short_note(result.short)}" if result.short else ""))


def more_left(result: StockLeft, say: Say) -> str:
    """What the trade leaves."""
    usual = fact("residual_stress", family="any", condition="any", property="finishing_stock")
    return (f"<p>The trade leaves {say.length(usual.low, 2)} to {say.length(usual.high, 2)} on diameter for finishing "
        f"small parts ({usual.basis}).</p>{more_short(result, say)}")


def picture_left(result: StockLeft, say: Say) -> str:
    xs = say.length_number(result.left)
    outside, bore = say.fine_number(result.outside), say.fine_number(result.bore)
    chart = Chart("Movement against stock left", "It grows with the stock that the last cut takes away.",
        x=("stock left by roughing, on diameter", say.length_unit, 0.0, float(xs[-1])),
        y=("movement", say.fine_unit, 0.0, room(outside, bore)[1]))
    chart.band(xs, outside[0], outside[2], "a")
    chart.band(xs, bore[0], bore[2], "b")
    chart.curve(xs, outside[1], "outside", "a")
    chart.curve(xs, bore[1], "bore", "b")
    chart.level(say.fine_number(result.share), "tenth of the tolerance")
    at = float(say.length_number(result.here))
    chart.mark(at, float(say.fine_number(result.at_outside.value)), "", "a")
    chart.mark(at, float(say.fine_number(result.at_bore.value)), "", "b", "square")
    return chart.svg()


STOCK_LEFT = Page(name="bore_stress_left", title="How much to leave for the finish cuts?",
    inputs=(Choose("stock", STOCKS, "steel, cold drawn", label="bar"),
    Slide("outside", Outside, label="finished outside"),
    Slide("skin", Skin.but(low=0.5, usual=2), label="skin turned off, on diameter"),
    Slide("bore", Bore, label="finished bore"), Slide("bored", Bored, label="length of the bore"),
    Slide("tolerance", Band.but(usual=0.013), label="tolerance"),
    Slide("left", Left, group="cut", label="stock left by roughing, on diameter")), compute=compute_left,
    picture=picture_left, words=words_left, more=more_left)
