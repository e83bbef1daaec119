"""Pages of the reaming chapter: the hole's size, step by step and against the stock, and the user's log of holes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import reaming
from ..core.quantity import Refused, Say, but
from ..core.spread import EDGE, HOLDS, Likely
from ..job import shop
from ..reaming import hole as reamed_hole
from ..reaming import log as reaming_log
from ..reaming.quantities import (
    HoleReading,
    HoleSize,
    MarkHeight,
    PartWall,
    ReamerDeviation,
    ReamerOffset,
    ReamingFeed,
    ReamingSpeed,
)
from ..screen.draw import WIDTH, Chart, Drawing, room
from ..screen.page import Choose, Page, Press, Slide, Tick
from .reaming import (
    CLASS,
    EDGES,
    FLUIDS,
    HOLDINGS,
    MATERIALS,
    REAMERS,
    SIZE,
    STEEL,
    STOCK,
    chance,
    deviation,
    percents,
    size_range,
    size_scale,
)


def log_words(fit: reaming_log.HoleFit | None, refused: str) -> str:
    """How many of the user's own holes count, or why they do not."""
    if fit is not None:
        return f"The range comes from {fit.count} holes of your own."
    return refused or "You have logged no holes yet."


# ---- what size comes out --------------------------------------------------------------------------


@dataclass(frozen=True)
class Hole:
    reamed: reamed_hole.Reamed
    stock: float
    fluid: str
    marks: float       # old marks a cutting reamer leaves
    pressed: float     # old marks a pressing reamer leaves
    before: float      # old marks
    own: bool          # the range comes from the user's own holes
    verdict: str

    @property
    def headline(self) -> str:
        """Whether the hole will be in tolerance."""
        return {HOLDS: "In tolerance", EDGE: "Borderline"}.get(self.verdict, "Out of tolerance")


def _own_log(own: bool) -> list[dict[str, Any]]:
    return shop.records(reaming_log.KIND) if own else []


def compute_hole(size: float, code: str, material: str, wall: float, stock: float, marks: float, measured: bool,
        reamer: float, kind: str, edge: str, holding: str, offset: float, feed: float, speed: float, fluid: str,
        own: bool, reading: float) -> Hole:
    """Size of a reamed hole with its range, against its tolerance, from the model or your own log; mm, m/min.

    Raises Refused for a class, a stock or a reamer that cannot be.
    """
    found = reamed_hole.ream(size, code, reamer if measured else None, material=material, outside=size + 2 * wall,
        kind=kind, edge=edge, offset=offset, holding=holding, stock=stock, feed=feed, speed=speed, fluid=fluid,
        holes=_own_log(own))
    cut, pressed = (
        float(after(marks, stock)) for after in (reamed_hole.marks_after_cutting, reamed_hole.marks_after_pressing))
    return Hole(found, stock, fluid, cut, pressed, marks, found.fit is not None, found.verdict)


def picture_hole(r: Hole, say: Say) -> str:
    x = r.reamed
    band = x.band
    d = Drawing("From the reamer's size to the hole's", words_hole(r, say), WIDTH, 330)
    left, right, top, base = 52.0, WIDTH - 8.0, 30.0, 236.0
    steps = [] if r.own else list(x.parts)
    values: list[float] = [band.hole_lower, band.hole_upper, band.lower, band.upper, x.reamer, x.hole.low, x.hole.high]
    level = x.reamer
    for _, part in steps:
        values += [level, level + part.value]
        level += part.value
    low, high = room(values)

    at = size_scale(d, say, (low, high), (left, right, top, base))
    d.rect(left, at(band.hole_upper), right - left, at(band.hole_lower) - at(band.hole_upper), "fill-work", "", 9)
    for limit in (band.hole_upper, band.hole_lower):
        d.line([left, right], [at(limit)] * 2, "limit")
    d.text(left + 4, at(band.hole_upper) - 5, f"largest {x.code}", kind="small halo")
    d.text(left + 4, at(band.hole_lower) + 15, f"smallest {x.code}", kind="small halo")
    columns = 2 + len(steps)
    wide = (right - left) / columns
    middle = left + wide / 2
    d.rect(middle - 11, at(band.upper), 22, at(band.lower) - at(band.upper), "fill-c", "thin")
    d.line([middle - 17, middle + 17], [at(x.reamer)] * 2, "a")
    names = ["reamer"]
    level, before = x.reamer, middle
    for k, (name, part) in enumerate(steps):
        here = left + wide * (k + 1.5)
        d.line([before + 11, here - 11], [at(level)] * 2, "thin")
        d.arrow(here, at(level), here, at(level + part.value), "a" if part.value > 0 else "b", 8)
        ends = sorted((at(level + part.low), at(level + part.high)))
        d.rect(here - 9, ends[0], 18, ends[1] - ends[0], "fill-a" if part.value > 0 else "fill-b")
        level, before = level + part.value, here
        names.append(name)
    last = left + wide * (columns - 0.5)
    d.rect(last - 11, at(x.hole.high), 22, at(x.hole.low) - at(x.hole.high), "fill-d", "ink")
    d.dot(last, at(x.hole.value), "d", "diamond", 6)
    names.append("your holes" if r.own else "the hole")
    for k, name in enumerate(names):
        lines = _lines(name)
        for row, word in enumerate(lines):
            d.text(left + wide * (k + 0.5), base + 18 + 15 * row, word, "middle", "small")
    d.text(8, 302, f"hatched: {x.code}. First block: limits of the reamer.", kind="small")
    d.text(8, 318, "Blocks: 90 % range of each step. Up opens the hole.", kind="small")
    return d.svg()


def _lines(name: str) -> list[str]:
    short = {"offset opens": "off centre", "built-up edge opens": "built-up edge",
        "pressed layer springs back": "layer springs back", "cooling closes": "cools down"}.get(name, name)
    return short.split(" ") if " " in short else [short]


def words_hole(r: Hole, say: Say) -> str:
    x = r.reamed
    limits = f"{deviation(x.band.hole_lower, say)} to {deviation(x.band.hole_upper, say)}"
    text = (f"The hole will measure {size_range(x.hole, x.size, say)}. {x.code} allows {limits}, so {chance(x.chance)} "
        "of such holes are in tolerance. ")
    if x.best_chance > x.chance + 0.02:
        text += (f"With a reamer {say.fine(abs(x.best))} {'above' if x.best > 0 else 'below'} nominal, "
            f"{chance(x.best_chance)} would be.")
    else:
        text += "No other reamer would do much better."
    if r.marks > 0:
        text += (f" Leave more stock: {say.fine(r.marks)} of the old tool marks stay where the reamer cuts"
            f"{f', {say.fine(r.pressed)} where it burnishes' if r.pressed > 0 else ', none where it burnishes'}.")
    sure = (log_words(x.fit, x.log_refused) if r.own else "This is an estimate with a wide range: no open measurements "
        "of reamed size at small stock were found. Log five holes of your own to narrow it.")
    return f"{text}\n{sure}"


def more_hole(r: Hole, say: Say) -> str:
    x = r.reamed
    rows = "".join(f"<tr><td>{name}</td><td>{part.text(say)}</td></tr>" for name, part in x.parts)
    fit = ""
    if x.fit is not None:
        fit = (f"<p>From your log, hole minus reamer is {deviation(x.fit.value, say)}; the next one will lie between "
            f"{deviation(x.fit.low, say)} and {deviation(x.fit.high, say)} (90 % range; {x.fit.count} holes, Student's "
            f"t with {x.fit.dof} degrees of freedom). The table below is the model's.</p>")
    return (f"{fit}<table><tr><th>what changes the size</th><th>on diameter</th></tr>{rows}</table>"
        f"<p>{log_words(x.fit, x.log_refused)} Cutting takes {percents(x.cutting)} of the torque, burnishing the "
        "rest. What an off-centre reamer does to the hole differs most from lathe to lathe.</p>")


def save_hole(size: float, material: str, stock: float, measured: bool, reamer: float, feed: float, speed: float,
        fluid: str, reading: float, code: str, **others: Any) -> str:
    """Append the hole as set and measured to the user's log."""
    band = reaming.reamer_limits(size, code)
    tool = size + (reamer if measured else (band.lower + band.upper) / 2)
    record = reaming_log.a_hole(size, tool, size + reading, stock, feed, speed, fluid, material)
    made = shop.add(reaming_log.KIND, **record)
    count = len(shop.records(reaming_log.KIND))
    return (f"Saved as number {made['id']}: hole {size + reading:.3f} mm, reamer {tool:.3f} mm, {stock:g} mm of stock, "
        f"{fluid}. {count} hole{'s' if count != 1 else ''} logged. “Take out the hole saved last” undoes this.")


def take_out(**others: Any) -> str:
    """Leave the hole saved last out of the log."""
    holes = shop.records(reaming_log.KIND)
    if not holes:
        raise Refused("Your log holds no hole yet, so there is none to take out.")
    shop.forget(holes[-1]["id"])
    return (f"Taken out: number {holes[-1]['id']}. {len(holes) - 1 or 'No'} hole{'s' if len(holes) != 2 else ''} left "
        "in your log.")


HOLE = Page(name="reamed_hole", title="What size will the reamed hole have?",
    inputs=(SIZE, CLASS, Choose("material", MATERIALS, STEEL, "work"),
    Slide("wall", PartWall, "work", "wall around the hole"), STOCK,
    Slide("marks", but(MarkHeight, high=0.03, usual=0.004, step=0.5), "work", "height of the old tool marks"),
    Tick("measured", False, "tool", "I have measured my reamer", "otherwise it is taken from the middle of its band"),
    Slide("reamer", ReamerDeviation, "tool", "my reamer, from nominal"),
    Choose("kind", REAMERS, "machine", "tool", "kind of reamer"),
    Choose("edge", EDGES, EDGES[0], "tool", "the reamer's edge"),
    Choose("holding", HOLDINGS, HOLDINGS[0], "holder", "reamer held"),
    Slide("offset", ReamerOffset, "holder", "reamer off centre"), Slide("feed", ReamingFeed, "cut", "feed per "
        "revolution"),
    Slide("speed", ReamingSpeed, "cut", "cutting speed"), Choose("fluid", FLUIDS, "cutting oil", "cut"),
    Tick("own", True, "view", "use my logged holes"),
    Slide("reading", HoleReading, "view", "my finished hole, from nominal (to log)")), compute=compute_hole,
    picture=picture_hole, words=words_hole, more=more_hole,
    presses=(
    Press("save this hole in my log", save_hole, "appends stock, feed, speed, fluid and both sizes to your own file"),
    Press("take out the hole saved last", take_out, "a hole saved by mistake no longer counts")))


# ---- larger or smaller than the reamer ------------------------------------------------------------

STOCKS = np.geomspace(0.01, 0.6, 22)


@dataclass(frozen=True)
class Over:
    stock: float
    low: np.ndarray       # over STOCKS: the model's range
    middle: np.ndarray
    high: np.ndarray
    here: Likely          # hole less reamer at this stock, from the model or from the log
    fit: reaming_log.HoleFit | None
    refused: str
    logged: tuple[tuple[float, float], ...]   # stock, hole less reamer
    light: reamed_hole.Allowance
    table: reamed_hole.Allowance
    thin: float           # middle at a light stock of 0.05 mm, less the middle at the workshop table's


def compute_over(size: float, material: str, stock: float, edge: str, holding: str, offset: float, feed: float,
        speed: float, fluid: str, own: bool) -> Over:
    """How much larger or smaller than its reamer a hole comes out, over the stock STOCKS, mm.

    own: from your own log where it holds such holes. Raises Refused for a cut that cannot be.
    """
    common: dict[str, Any] = {"material": material, "edge": edge, "holding": holding, "offset": offset, "feed": feed,
        "speed": speed, "fluid": fluid}
    light, table = (reamed_hole.allowance(size, name, material) for name in ("light pass", "workshop table"))
    extra = [stock, (light.low + light.high) / 2, (table.low + table.high) / 2]
    low, middle, high = reamed_hole.over_against_stock(np.append(STOCKS, extra), size, **common)
    log = _own_log(own)
    fit, refused = reamed_hole.own_holes(log, size, stock, feed, speed, fluid, material)
    here = Likely(middle[-3], low[-3], high[-3]) if fit is None else Likely(fit.value, fit.low, fit.high)
    pairs = tuple(
        (float(h["stock"]), float(h["hole"]) - float(h["reamer"])) for h in reaming_log.like(log, size, fluid, material)
    )
    return Over(stock, low[:-3], middle[:-3], high[:-3], here, fit, refused, pairs, light, table,
        float(middle[-2] - middle[-1]))


def picture_over(r: Over, say: Say) -> str:
    fine, length = say.fine_number, say.length_number
    ends = room(fine(r.low), fine(r.high), fine(np.array([r.here.low, r.here.high, 0.0, *(p[1] for p in r.logged)])))
    chart = Chart("Hole less reamer, against the stock", words_over(r, say), height=310, log_x=True,
        x=("stock on diameter", say.length_unit, float(length(STOCKS[0])), float(length(STOCKS[-1]))),
        y=("hole minus reamer", say.fine_unit, *ends))
    chart.band(length(STOCKS), fine(r.low), fine(r.high), "a")
    chart.curve(length(STOCKS), fine(r.middle), "model", "a")
    chart.level(0.0, "same size as the reamer")
    chart.upright(float(length((r.light.low + r.light.high) / 2)), "light pass")
    chart.upright(float(length((r.table.low + r.table.high) / 2)), "table")
    for stock, over in r.logged:
        chart.mark(float(length(stock)), float(fine(over)), "", "c", "square")
    x = float(length(min(max(r.stock, STOCKS[0]), STOCKS[-1])))
    chart.band([x * 0.97, x * 1.03], fine(np.array([r.here.low] * 2)), fine(np.array([r.here.high] * 2)), "d")
    chart.mark(x, float(fine(r.here.value)), "your holes" if r.fit else "here", "d", "diamond")
    return chart.svg()


def words_over(r: Over, say: Say) -> str:
    where = ("Larger than the reamer" if r.here.low > 0 else "Smaller than the reamer" if r.here.high < 0
        else "Either is possible")
    text = f"{where}: with {say.length(r.stock, 3)} of stock, hole minus reamer is {r.here.text(say)}. "
    if r.thin < -0.0001:
        text += (f"If holes come out too large, leave a light pass: it makes them {say.fine(-r.thin)} smaller than the "
            "stock of the workshop table does, because the reamer burnishes more and cuts less. ")
    else:
        text += "Here a light pass and the workshop table's stock give the same size. "
    if r.fit is not None:
        return text + log_words(r.fit, r.refused)
    return (f"{text}\nThe band is an estimate: no open measurements of reamed size at small stock were found. "
        f"{log_words(r.fit, r.refused)}")


OVER = Page(name="hole_against_stock", title="Does the hole come out larger or smaller than the reamer?",
    inputs=(Slide("size", but(HoleSize, high=50), "work", "nominal size of the hole"),
    Choose("material", MATERIALS, STEEL, "work"), STOCK, Choose("edge", EDGES, EDGES[0], "tool", "the reamer's edge"),
    Choose("holding", HOLDINGS, HOLDINGS[0], "holder", "reamer held"),
    Slide("offset", ReamerOffset, "holder", "reamer off centre"), Slide("feed", ReamingFeed, "cut", "feed per "
        "revolution"),
    Slide("speed", ReamingSpeed, "cut", "cutting speed"), Choose("fluid", FLUIDS, "cutting oil", "cut"),
    Tick("own", True, "view", "use my logged holes")), compute=compute_over, picture=picture_over, words=words_over)
