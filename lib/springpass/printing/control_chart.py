"""A control chart to keep on paper: its lines printed, its points put in by hand at the lathe."""

from __future__ import annotations

from html import escape
from pathlib import Path

import numpy as np

from ..core import files
from ..core.quantity import Say
from ..measuring.control_charts import Chart
from ..screen.draw import STYLE
from ..screen.draw import Chart as Axes
from .pages_to_print import page

COLUMNS = 25    # parts on one sheet
RULES = ("Write down every reading, also a bad one.",
    "A point outside the limits, or a step above its limit: stop, and look for the cause.",
    "{run} points in a row on one side of the centre line, or {run} rising or falling: the process has moved. Measure "
    "the last part again, then correct once.",
    "Any other point: leave the dial alone.")
LOOK = STYLE + """table{border-collapse:collapse;width:100%;table-layout:fixed}td,th{border:1px solid #777;height:8mm;
font-size:8pt;text-align:center}th:first-child,td:first-child{width:22mm;text-align:left;padding-left:1mm}"""


def lines(c: Chart, parts: int = COLUMNS) -> tuple[np.ndarray, np.ndarray]:
    """Numbers of the next parts and the centre line at them, its slope carried on."""
    done = len(c.readings)
    slope = float(c.centre[1] - c.centre[0])
    after = np.arange(done + 1, done + parts + 1)
    return after, c.centre[0] + slope * (after - 1)


def body(c: Chart, say: Say, feature: str, run: int) -> str:
    """The sheet's HTML: axes with centre line and limits, a table to fill in, the rules."""
    parts, centre = lines(c)
    first, unit = float(centre[0]), say.fine_number
    centre = centre - first
    margin = max(1.6 * c.reach, 0.002)   # readings that never differed leave some paper too
    low, high = float(unit(centre.min() - margin)), float(unit(centre.max() + margin))
    axes = Axes("Control chart", "", x=("part", "", float(parts[0]) - 0.5, float(parts[-1]) + 0.5),
        y=(f"off {size(first, say)}", say.fine_unit, low, high), width=900, height=300)
    for part in parts:
        axes.upright(float(part), "", "faint")
    for off, name, kind in ((0.0, "centre line", "ink"), (c.reach, "upper control limit", "limit"),
            (-c.reach, "lower control limit", "limit")):
        axes.curve(parts, unit(centre + off), name, kind)
    cells = "".join(f"<th>{p}</th>" for p in parts)
    empty = "<td></td>" * len(parts)
    rules = "".join(f"<li>{escape(rule.format(run=run))}</li>" for rule in RULES)
    return (f"<h1>Control chart: {escape(feature)}</h1><p>Centre line {size(first, say)} at part {parts[0]}, limits "
        f"± {say.fine(c.reach)}, largest step {say.fine(c.most_range)}, from {len(c.readings)} readings. Date ________ "
        f"Gauge ________ Tool ________</p>{axes.svg()}<table><tr><th>part</th>{cells}</tr>"
        f"<tr><td>reading</td>{empty}</tr><tr><td>step</td>{empty}</tr></table><ul>{rules}</ul>")


def size(value: float, say: Say) -> str:
    return f"{value / 25.4:.5f} inch" if say.inch else f"{value:.4f} mm"


def keep(c: Chart, say: Say, feature: str, run: int) -> Path:
    """Write the sheet into the user's folder; returns its place. Raises Refused."""
    title = f"Control chart: {feature}"
    paper = "Letter" if say.inch else "A4"
    return files.put("control chart.html",
        page(title, body(c, say, feature, run), paper, LOOK + "@page{size:landscape}"))
