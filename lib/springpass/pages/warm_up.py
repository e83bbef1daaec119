"""Warm-up: an hour beside an indicator, and how long the lathe must warm up."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import the_lathe as lathe
from ..core.mathml import formula_mathml
from ..core.quantity import Refused, Say, number, plain, said
from ..job import shop
from ..screen.draw import Chart, room
from ..screen.page import Page, Press, Slide, Write
from ..the_lathe.quantities import DriftAllowed, JobTime
from ..the_lathe.warm_up import Wait, WarmUp

EXAMPLE = "0 0\n5 -3\n10 -5\n15 -7\n20 -8\n25 -9\n30 -10\n40 -11\n50 -12\n60 -12"
MINUTE, STEP = 60.0, 0.001     # s; mm: a micrometre as typed, and a line of the indicator
DRAWN = 121                    # points of a curve


@dataclass(frozen=True)
class Hour:
    found: WarmUp
    wait: Wait
    job: float
    allowed: float


def _rows(text: str) -> np.ndarray:
    rows = []
    for line in text.replace(";", " ").replace("\t", " ").splitlines():
        parts = line.split()
        if not parts:
            continue
        if len(parts) != 2:
            raise Refused(f"Each line needs two numbers, minutes and micrometres; {said(line.strip())} has "
                f"{len(parts)}.")
        rows.append([number(part) for part in parts])
    if not rows:
        raise Refused("No readings yet. Type one line for each: minutes since the start, then micrometres.")
    return np.array(rows)


def compute(readings: str, job: float, allowed: float) -> Hour:
    """Drift curve through readings as typed (minutes, µm; pushed in counts +), and the wait until it is calm.

    job: s from setting the tool to the last cut; allowed: mm on radius. Raises Refused where the text holds no such
    readings.
    """
    table = _rows(readings)
    found = lathe.fit(table[:, 0] * MINUTE, table[:, 1] * STEP, STEP)
    return Hour(found, lathe.wait(found, job, allowed), job, allowed)


def words(r: Hour, say: Say) -> str:
    f, hour = r.found, r.found.hour
    job, minutes = plain(r.job / MINUTE, 3), r.wait.value / MINUTE
    if f.flat:
        return (f"No drift can be told from the scatter of {say.fine(max(f.scatter, 1e-5))}: in the first hour it is "
            f"{say.fine(abs(hour.value))}, ±{say.fine(hour.reach())}.\nCut when you like, or read a finer indicator.")
    size = "larger" if hour.value < 0 else "smaller"
    near, far = sorted(abs(say.fine_number(end)) for end in (hour.low, hour.high))
    drift = (f"In the first hour the spindle drifts {say.fine(abs(hour.value))} (90 % range {plain(near, 2)} to "
        f"{plain(far, 2)}), so a part comes out {say.fine(2 * abs(hour.value))} {size} on diameter at the same dial.")
    calm = f"it drifts no more than {say.fine(r.allowed)} from setting the tool to the last cut, {job} minutes later"
    if r.wait.value <= 0:
        first = f"You need not wait: {calm}."
    else:
        low, high = np.floor(r.wait.low / MINUTE), np.ceil(r.wait.high / MINUTE)
        end = f"{low:.0f} upwards, with no end in sight" if f.open_ended else f"{low:.0f} to {high:.0f}"
        first = f"Run the spindle for {np.ceil(minutes):.0f} minutes (90 % range {end}). After that {calm}."
    tail = " Go on reading: the drift has not ended yet." if f.open_ended else ""
    return f"{first}\n{drift}{tail}"


def picture(r: Hour, say: Say) -> str:
    f = r.found
    until = max(float(f.time.max()), min(r.wait.value + r.job, 3 * float(f.time.max())))
    time = np.linspace(0, until, DRAWN)
    curve = say.fine_number(f.at(time))
    c = Chart("Indicator against time", words(r, say), x=("time since the start", "min", 0.0, until / MINUTE),
        y=("indicator", say.fine_unit, *room(curve, say.fine_number(f.reading))))
    c.curve(time / MINUTE, curve)
    c.legend({"fitted": "a"}, right=False, low=f.hour.value < 0)   # in the corner that the drift leaves free
    for t, y in zip(f.time, say.fine_number(f.reading), strict=True):
        c.mark(float(t / MINUTE), float(y), "", "b", "square")
    if 0 < r.wait.value <= until:
        c.upright(r.wait.value / MINUTE, "ready from here")
        end = min(r.wait.value + r.job, until)
        c.band(np.array([r.wait.value, end]) / MINUTE, [c.y_axis[2]] * 2, [c.y_axis[3]] * 2, "c")
    return c.svg()


def more(r: Hour, say: Say) -> str:
    f = r.found
    near, far = (plain(t / MINUTE, 2) for t in f.constants)
    span = f"{near} minutes or more" if f.open_ended else f"{near} to {far} minutes"
    return (f"<p>Time constant {plain(f.constant / MINUTE, 2)} minutes (90 % range {span}); a reading scatters by "
        f"{say.fine(f.scatter)} about the curve{', less than the indicator can show' if f.hidden else ''}.</p>"
        + formula_mathml(lathe.calm_after, {"full": abs(f.full), "time_constant": f.constant, "job": r.job,
        "allowed": r.allowed}))


def save(readings: str, job: float, allowed: float) -> str:
    """Keep the drift over the first hour for the plan: pushed in means that the part comes out smaller."""
    found: Any = compute(readings, job, allowed).found.hour
    shop.add("warm-up drift", value=-found.value, error=found.kept, readings=readings)
    return (f"Kept in your shop file: {Say().fine(abs(found.value))} in the first hour. The plan uses it from now on.")


WARM_UP = Page(name="warm_up", title="How long must the lathe warm up?",
    inputs=(Write("readings", EXAMPLE, "holder", "readings, one to a line: minutes, µm",
    "indicator on the tool post against a bar in the spindle, on your side; pushed in counts +", rows=8),
    Slide("job", JobTime, "cut", "from setting the tool to the last cut"),
    Slide("allowed", DriftAllowed, "cut", "drift allowed, on radius")),
    compute=compute, picture=picture, words=words, more=more,
    presses=(Press("keep this in my shop", save, "the plan then uses it"),))
