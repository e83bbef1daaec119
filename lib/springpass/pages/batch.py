"""Several of the same: what wear and warm-up do to a batch, and when to measure again."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from html import escape
from typing import Any

import numpy as np

from ..core import tables
from ..core.mathml import formula_mathml
from ..core.quantity import Say, but, plain, quantity_of
from ..core.shared import CuttingSpeed, Feed, Tolerance, WorkDiameter
from ..core.spread import Likely, between, likely, sample
from ..core.tables import assumed
from ..cutting import wear
from ..cutting.quantities import ClearanceOfTool, TurnLength
from ..job import batch as batches
from ..job.quantities import BatchCount, DialOff, Interval, LikeCuts, PartTime, ReadingOff, WarmUp
from ..screen.draw import Chart
from ..screen.page import Choose, Page, Slide, Tick
from .check_stickout import percent

OUTSIDE, BORE = "an outside", "a bore"
MATERIALS = tuple(dict.fromkeys(r["material"] for r in tables.rows("cutting_speeds") if r["property"] == "speed"))
TOOLS = tuple(t for t in tables.names("wear", "tool") if t != "any")


@dataclass(frozen=True)
class Same:
    batch: batches.Batch
    wear: wear.Wear
    drift: Likely            # of the size from part to part, mm on diameter
    life: Likely             # parts until the tool is worn
    warm: float              # movement in the first hour, mm on radius
    side: str
    speed: float
    table_speed: float
    clearance: float

    @property
    def verdict(self) -> str:
        return self.batch.verdict

    @property
    def headline(self) -> str:
        return f"{percent(self.batch.chance)[0].upper()}{percent(self.batch.chance)[1:]} chance that all " \
            f"{self.batch.count} are good"


@lru_cache(maxsize=64)
def _worn(material: str, tool: str, diameter: float, length: float, feed: float, speed: float,
        clearance: float) -> wear.Wear:
    drawn = sample(batches.BATCHES, life=tables.fact("wear", tool=tool, property="life").range,
        first=tables.fact("wear", tool="any", property="first").range)
    return wear.wear(material, tool, diameter, length, feed, speed, clearance, **drawn)


@lru_cache(maxsize=1)
def _warming() -> dict[str, Any]:
    return sample(batches.BATCHES, way=between(-1, 1), time=assumed("warm-up time").range)


@lru_cache(maxsize=32)
def compute(count: int, side: str, material: str, diameter: float, length: float, tolerance: float, tool: str,
        clearance: float, warm: float, seconds: float, speed: float, feed: float, scatter: float, reading: float,
        setting: float, interval: int, offset: bool) -> Same:
    """A batch with the wear of its tool, the warming of the lathe and a rule for the dial; mm, m/min, s.

    scatter, reading and setting are two standard deviations. Raises Refused where the tables know no such wear.
    """
    worn = _worn(material, tool, diameter, length, feed, speed, clearance)
    shift = _warming()
    run = batches.batch(count, tolerance, worn.drift, scatter / 2, reading / 2, setting / 2, interval,
        2 * warm * shift["way"], seconds, shift["time"], 1 if side == OUTSIDE else -1, offset)
    return Same(run, worn, likely(worn.drift), likely(worn.life), warm, side, speed,
        tables.fact("cutting_speeds", material=material, tool=tool, property="speed").value, clearance)


# ---- the picture ----------------------------------------------------------------------------------

ROOM_ABOVE = 1.55   # half of the chart over half of the tolerance


def picture(r: Same, say: Say) -> str:
    b, unit = r.batch, say.fine_number
    half = float(unit(b.tolerance / 2))
    top = max(ROOM_ABOVE * half, min(1.1 * float(unit(np.abs([b.low, b.high]).max())), 4 * half))
    parts = np.arange(1.0, b.count + 1)
    chart = Chart("Sizes of the batch, part by part", words(r, say),
        x=("part", "", 0.5, b.count + 0.5), y=("off the middle", say.fine_unit, -top, top), height=320, counted=True)
    chart.band(parts, unit(b.low), unit(b.high))
    for at in range(b.interval, b.count, b.interval):
        chart.upright(at + 0.5, "measured again" if at == b.interval else "", "c", low=True)
    chart.curve(parts, unit(b.middle), "")
    chart.level(half, "upper limit")
    chart.level(-half, "lower limit")
    for part, size in zip(parts, b.example, strict=True):
        good = abs(size) <= b.tolerance / 2
        chart.mark(part, float(unit(size)), "", "b" if good else "d", "circle" if good else "cross")
    chart.legend({"90 % range": "a"}, right=False)
    chart.text(chart.right, 17, "dots: one such batch", "end", "small halo")
    chart.grip("interval", min(b.interval + 0.5, b.count + 0.5))
    chart.side_grip("tolerance", half, 2 * float(quantity_of(Tolerance).to_shown(1.0, say.inch) / unit(1.0)))
    return chart.svg()


# ---- the words --------------------------------------------------------------------------------------


def words(r: Same, say: Say) -> str:
    b = r.batch
    larger = "larger" if r.side == OUTSIDE else "smaller"
    return "\n".join([_do(r, say), f"Wear makes each part about {_fine(r.drift, say)} {larger} than the one before."
        + _last(r) + (_better(b) if b.rule.room > 0 else "")])


def _fine(one: Likely, say: Say) -> str:
    low, value, high = (say.bare(max(v, 1e-5), 2) for v in (one.low, one.value, one.high))
    return f"{value} {say.fine_unit}" + (f" (90 % range {low} to {high})" if low != high else "")


def _do(r: Same, say: Say) -> str:
    b, rule = r.batch, r.batch.rule
    if rule.room <= 0:
        return ("Scatter and reading take up the whole tolerance. Measure every part, finish it in two like cuts, and "
            "sort what comes out.")
    first = (f"Set the first part {say.fine(abs(rule.start))} {'below' if rule.start < 0 else 'above'} the middle of "
        "the tolerance." if rule.start else "Set the first part on the middle of the tolerance.")
    if b.interval >= b.count:
        return f"{first} Then make all {b.count} without touching the dial."
    every = _how_often(b.interval, b.count)
    above, below = ("above", "below") if rule.sign > 0 else ("below", "above")
    return (f"{first} Measure {every}, and leave the dial alone until one reads more than {say.fine(rule.far)} "
        f"{above} the middle or {say.fine(rule.back)} {below} it. Then set it back.")


def _nth(n: int) -> str:
    return f"{n}{'th' if 10 <= n % 100 <= 20 else {1: 'st', 2: 'nd', 3: 'rd'}.get(n % 10, 'th')}"


def _how_often(interval: int, count: int) -> str:
    if interval >= count:
        return "none after the first"
    return "every part" if interval == 1 else f"every {_nth(interval)} part"


def _last(r: Same) -> str:
    if r.life.value > 2 * r.batch.count:
        return ""
    return (f" The edge lasts about {plain(r.life.value, 2)} parts (90 % range {plain(r.life.low, 2)} to "
        f"{plain(r.life.high, 2)}): have a fresh one ready.")


def _better(b: batches.Batch) -> str:
    chances = dict(zip(b.intervals, b.chances, strict=True))
    top = max(b.chances)
    if b.other > max(b.chance, top - batches.AS_GOOD) + 2 * batches.AS_GOOD:
        return (f" Begun {'in the middle of the tolerance' if b.rule.start else 'on the safe side of the middle'}, the "
            f"chance is {percent(b.other)}.")
    if b.chance < top - batches.AS_GOOD:
        return (f" Measured every {_nth(b.best)} part, the chance is {percent(chances[b.best])}." if b.best > 1
            else f" With every part measured, the chance is {percent(chances[1])}.")
    if b.best > b.interval:
        return (" It is as good never to measure again." if b.best >= b.count
            else f" Every {_nth(b.best)} part is often enough.")
    return ""


def more(r: Same, say: Say) -> str:
    b = r.batch
    rows = "".join(f"<tr><td>{_how_often(i, b.count)}</td><td>{percent(c)}</td></tr>"
        for i, c in zip(b.intervals, b.chances, strict=True))
    cautions = ("Stop the spindle before you measure. Let a part cool, or measure each at the same time after its cut. "
        "A size that jumps back by itself is a chip behind the insert or a built-up edge: look at the tool.")
    return (f"<table><tr><th>measured</th><th>chance that all {b.count} are good</th></tr>{rows}</table>"
        f"<p>The dial is corrected {plain(b.corrections, 2)} times in such a batch on the average. By itself each part "
        f"is good with a chance of {percent(float(b.each.min()))} or more. The length cut in a part is "
        f"{plain(float(r.wear.length) / 1e3, 2)} m; the table's speed is {say.speed(r.table_speed)}.</p>"
        f"<p>{escape(cautions)}</p>"
        + formula_mathml(wear.size_drift,
            {"land": float(np.median(r.wear.rate)) * float(r.wear.length), "clearance": r.clearance}))


TEN_OF_THE_SAME = Page(name="batch", title="Ten of the same: when must I measure again?",
    inputs=(Slide("count", BatchCount, "work", "parts"), Choose("side", (OUTSIDE, BORE), OUTSIDE, "work", "turned"),
    Choose("material", MATERIALS, "medium-carbon steel", "work"),
    Slide("diameter", but(WorkDiameter, low=2, high=150, usual=20), "work", "diameter"),
    Slide("length", but(TurnLength, high=200, usual=20), "work", "length of the finishing cut"),
    Slide("tolerance", but(Tolerance, usual=0.021), "work", "tolerance on diameter"),
    Choose("tool", TOOLS, TOOLS[0], "tool"), Slide("clearance", ClearanceOfTool, "tool", "clearance angle"),
    Slide("warm", WarmUp, "holder", "warm-up in the first hour, on radius"),
    Slide("seconds", PartTime, "holder", "time for a part"),
    Slide("speed", but(CuttingSpeed, usual=33, log=True, low=5), "cut", "cutting speed"),
    Slide("feed", but(Feed, low=0.02, high=0.3), "cut", "feed per revolution"),
    Slide("scatter", LikeCuts, "cut", "like cuts differ by ±"),
    Slide("reading", ReadingOff, "cut", "a reading may be wrong by ±"),
    Slide("setting", DialOff, "cut", "a correction may miss by ±", rare=True),
    Slide("interval", Interval, "cut", "parts between measurements"),
    Tick("offset", True, "cut", "begin on the safe side of the middle")), compute=compute, picture=picture,
    words=words, more=more)
