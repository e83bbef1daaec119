"""A control chart from readings typed in, and the sheet to keep on paper."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..core.mathml import formula_mathml
from ..core.quantity import Say
from ..core.spread import EDGE, FAILS, HOLDS
from ..core.tables import assumed
from ..measuring import control_charts
from ..measuring.control_charts import Chart as ControlChart
from ..measuring.control_charts import Signal
from ..measuring.quantities import DriftAllowed
from ..printing import control_chart as sheet
from ..screen.downloads import Saved
from ..screen.draw import Chart, Drawing, room
from ..screen.page import Page, Press, Slide, Write

RUN = int(assumed("points on one side").value)
# invented for the demo: ten bushes of the club's drive, the tool worn by the last of them
EXAMPLE = "20.001 20.003 20.000 20.002 20.001 20.004 20.002 20.003 20.006 20.005"
WARNS = frozenset({"one side", "trend"})


@dataclass(frozen=True)
class Control:
    chart: ControlChart
    drift: float

    @property
    def verdict(self) -> str:
        kinds = {s.kind for s in self.chart.signals}
        return HOLDS if not kinds else EDGE if kinds <= WARNS else FAILS

    @property
    def headline(self) -> str:
        return {HOLDS: "In control", EDGE: "The process has moved", FAILS: "Out of control"}[self.verdict]


def compute(readings: str, drift: float) -> Control:
    """The chart of the readings, mm, with a drift from part to part allowed for. Raises Refused."""
    return Control(control_charts.chart(readings, drift), drift)


def picture(r: Control, say: Say) -> str:
    c, unit = r.chart, say.fine_number
    parts = np.arange(1.0, len(c.readings) + 1)
    values, centre = np.array(c.readings) - c.centre[0], c.centre - c.centre[0]
    ends = room(unit(values), unit(centre + c.reach), unit(centre - c.reach), margin=0.2)
    d = Chart("Control chart", words(r, say), x=("part", "", 0.5, len(parts) + 0.5),
        y=("off the centre line", say.fine_unit, *ends), height=250, counted=True)
    d.text(d.right, 17, f"centre line {sheet.size(float(c.centre[0]), say)}", "end", "small halo")
    d.curve(parts, unit(centre), "", "ink")
    d.curve(parts, unit(centre + c.reach), "upper limit", "limit")
    d.curve(parts, unit(centre - c.reach), "lower limit", "limit")
    d.curve(parts, unit(values), "", "thin")
    seen = {s.at for s in c.signals}
    for part, value in zip(parts, unit(values), strict=True):
        d.mark(part, float(value), "", "b" if part in seen else "a", "diamond" if part in seen else "circle")
    steps = Chart("", "", x=("part", "", 0.5, len(parts) + 0.5),
        y=("step to the next", say.fine_unit, 0.0, room(say.fine_number(np.array(c.ranges)),
        say.fine_number(c.most_range), floor=0.0, margin=0.25)[1]), height=190, counted=True)
    steps.curve(parts[1:], say.fine_number(np.array(c.ranges)), "", "thin")
    steps.level(float(say.fine_number(c.most_range)), "limit of the step")
    for part, step in zip(parts[1:], c.ranges, strict=True):
        steps.mark(part, float(say.fine_number(step)), "", "a" if step <= c.most_range else "b",
            "circle" if step <= c.most_range else "diamond")
    whole = Drawing(d.title, d.desc, d.width, 446)
    whole.inset(d.layers(), 0, 0)
    whole.inset(steps.layers(), 0, 254)
    return whole.svg()


SAID = {"outside": "Part {at} lies outside the limits", "jump": "Part {at} has jumped from the one before",
    "one side": "Part {at} is the {run}th in a row on one side of the centre line",
    "trend": "Part {at} is the {run}th in a row that rises or falls"}
DO = {HOLDS: "Leave the dial alone.", EDGE: "Measure the last part again; then correct once, and begin a new chart.",
    FAILS: "Stop and look for the cause: chips, a slipped part, a chipped edge, a misread gauge."}


def _signal(s: Signal) -> str:
    return SAID[s.kind].format(at=s.at, run=RUN)


def words(r: Control, say: Say) -> str:
    c = r.chart
    seen = sorted(c.signals, key=lambda s: s.kind in WARNS)   # what stops the lathe comes first
    first = f"{_signal(seen[0])}. {DO[r.verdict]}" if seen else DO[HOLDS]
    more = f" {'. '.join(_signal(s) for s in seen[1:3])}." if len(seen) > 1 else ""
    thin = " With fewer than twenty readings the limits are rough." if len(c.readings) < ENOUGH else ""
    return (f"{first}{more}\nLike parts scatter with a standard deviation of {say.fine(c.scatter)}. The limits lie "
        f"{say.fine(c.reach)} above and below the centre line.{thin}")


ENOUGH = 20   # readings from which the limits are taken seriously: common practice


def more(r: Control, say: Say) -> str:
    d2, _ = control_charts.pair_factors()
    return ("<p>The control limits come from the parts themselves; they are not the limits of the drawing. About three "
        "good readings in a thousand fall outside them by chance. For a tool that wears, type in the drift: the centre "
        "line then slopes with it.</p>"
        + formula_mathml(control_charts.reach_of_limits, {"mean_range": r.chart.mean_range, "range_factor": d2}))


def _save(say: Say, readings: str, drift: float) -> Saved:
    place = sheet.keep(compute(readings, drift).chart, say, "one size", RUN)
    return Saved(f"Saved: {place.name} in {place.parent}. Print it, hang it at the lathe, and put in each part.", place)


def save_mm(readings: str, drift: float) -> Saved:
    """The sheet in mm on A4."""
    return _save(Say(), readings, drift)


def save_inch(readings: str, drift: float) -> Saved:
    """The sheet in inches on Letter."""
    return _save(Say(True), readings, drift)


CONTROL_CHART = Page(name="control_chart", title="Is it still in control?",
    inputs=(Write("readings", EXAMPLE, "work", "sizes in the order they were made, mm", "five or more, parted by "
    "spaces or lines; twenty make a good chart", rows=4),
    Slide("drift", DriftAllowed, "tool", "wear to allow for, from part to part")), compute=compute, picture=picture,
    words=words, more=more,
    presses=(Press("save a chart for paper, mm on A4", save_mm, "the next 25 parts, to fill in at the lathe"),
    Press("save a chart for paper, inch on Letter", save_inch, "the same in inches")))
