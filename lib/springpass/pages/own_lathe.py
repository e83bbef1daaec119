"""A page of the workholding chapter: the lathe's own stiffness, measured with weights and an indicator."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import workholding as wh
from ..core import tables
from ..core.quantity import Refused, Say, but, number, plain, said
from ..core.shared import BarDiameter
from ..job import shop
from ..screen.draw import Chart, room
from ..screen.page import Choose, Page, Press, Slide, Write
from .work_bending import SUPPORTS_MEASURED

EXAMPLE = "0 0\n2 2.2\n4 3.9\n6 6.1\n8 7.8"


@dataclass(frozen=True)
class Own:
    support: str
    force: Any  # N
    reading: Any  # mm
    distance: Any  # mm, or None
    spring: wh.Spring
    tilt: wh.Spring | None
    typical: tables.Fact
    lines: tuple[tuple[float, float], ...]  # zero and slope at each distance, mm and mm/N


def _column(readings: str, columns: tuple[int, ...]) -> np.ndarray:
    """The numbers in each line, split at spaces or semicolons; decimal commas welcome."""
    rows = []
    for line in readings.replace(";", " ").replace("\t", " ").splitlines():
        words = line.split()
        if not words:
            continue
        if len(words) not in columns:
            wanted = " or ".join(str(c) for c in columns)
            raise Refused(f"Each line needs {wanted} numbers; {said(line.strip())} has {len(words)}.")
        rows.append([number(word) for word in words])
    if len({len(row) for row in rows}) > 1:
        raise Refused("Some lines give a distance and some do not. Give every line the same columns.")
    if not rows:
        raise Refused("No readings yet. Type one line for each weight: kilograms, then micrometres.")
    return np.array(rows)


FARTHEST = 5.0   # mm: no sound support gives so much; micrometres were not meant
OPEN_ENDED = 10  # a spring without an upper end is kept as this many times its value


def compute_own(support: str, readings: str, bar: float) -> Own:
    """Springs of a support from weights hung on it: kg and µm as typed, the bar's diameter in mm; N/mm, N mm/rad.

    Raises Refused where the text holds no such readings or they tell no spring.
    """
    table = _column(readings, (2, 3))
    mass, reading, force = table[:, 0], table[:, 1] / 1e3, table[:, 0] * wh.GRAVITY
    if np.abs(reading).max() > FARTHEST:
        raise Refused("One reading is over 5000 µm. Type readings in micrometres: 0.01 mm is 10.")
    typical = tables.fact("workholding_stiffness",
        what={"tailstock and centre": "live centre and tailstock", "headstock centre": "headstock centre",
        "steady rest": "steady rest", "spindle and chuck": "spindle and chuck shift"}[support])
    if table.shape[1] == 3:
        if support != "spindle and chuck":
            raise Refused("Give a third number, the distance from the jaws, only for spindle and chuck.")
        both = wh.spindle_from_weights(mass, reading, table[:, 2], bar)
        places, lines = np.unique(table[:, 2]), []
        gives = wh.work_compliance(places, [(places[-1], bar)], spindle_stiffness=both.shift.value,
            spindle_rotation=both.tilt.value, shear=False)
        for z, slope in zip(places, np.ravel(gives), strict=True):
            here = table[:, 2] == z
            lines.append((float(np.mean(reading[here] - force[here] * slope)), float(slope)))
        return Own(support, force, reading, table[:, 2], both.shift, both.tilt, typical, tuple(lines))
    spring = wh.stiffness_from_weights(mass, reading)
    return Own(support, force, reading, None, spring, None, typical,
        ((float(np.mean(reading - force / spring.value)), 1 / spring.value),))


def _stiffness(spring: wh.Spring, scale: float = 1e3, unit: str = "N/µm") -> str:
    high = f"to {plain(spring.high / scale, 2)}" if np.isfinite(spring.high) else "upwards"
    return f"{plain(spring.value / scale, 2)} {unit} (90 % range {plain(spring.low / scale, 2)} {high})"


def words_own(r: Own, say: Say) -> str:
    said = [f"The stiffness of your {r.support} is {_stiffness(r.spring)}; single readings scatter by "
        f"{say.fine(r.spring.scatter)}."]
    if r.tilt:
        said.append(f"Against tilting it is {_stiffness(r.tilt, 1e6, 'kN m/rad')}.")
    low, high = r.typical.low, r.typical.high
    where = ("softer than usual" if r.spring.value < low else "stiffer than usual" if r.spring.value > high
        else "usual")
    said.append(f"That is {where} for a small lathe ({plain(low / 1e3, 2)} to {plain(high / 1e3, 2)} N/µm).")
    if not np.isfinite(r.spring.high) or r.spring.high > 2 * r.spring.low:
        said.append("Take more readings or heavier weights: the range is wide.")
    return " ".join(said)


def picture_own(r: Own, say: Say) -> str:
    micron = say.fine_number(r.reading)
    c = Chart("Indicator against weight", words_own(r, say),
        x=("side force", "N", 0, float(r.force.max()) * 1.08 or 1.0), y=("indicator", say.fine_unit, *room(micron, 0)))
    force = np.array([0.0, float(r.force.max())])
    if r.distance is None:
        middle = float(np.mean(r.force)), float(np.mean(r.reading))
        gives = (0.0 if not np.isfinite(r.spring.high) else 1 / r.spring.high, 1 / r.spring.low)
        edges = [say.fine_number(middle[1] + give * (force - middle[0])) for give in gives]
        c.band(force, np.minimum(*edges), np.maximum(*edges))
    for zero, slope in r.lines:
        c.curve(force, say.fine_number(zero + force * slope), "fitted" if r.distance is None else "")
    for f, y, i in zip(r.force, micron, range(len(micron)), strict=True):
        label = "" if r.distance is None else f"{plain(say.length_number(r.distance[i]), 3)} {say.length_unit}"
        c.mark(float(f), float(y), label if f == r.force.max() else "", "b", "square")
    return c.svg()


def save_own(support: str, readings: str, bar: float) -> str:
    """Keep what was measured, for the page of the work that bends."""
    r = compute_own(support, readings, bar)
    facts: dict[str, Any] = {"name": support, "stiffness": r.spring.value, "stiffness_low": r.spring.low,
        "stiffness_high": r.spring.high if np.isfinite(r.spring.high) else r.spring.value * OPEN_ENDED,
        "readings": readings}
    if r.tilt:
        facts |= {"rotation": r.tilt.value, "rotation_low": r.tilt.low,
            "rotation_high": r.tilt.high if np.isfinite(r.tilt.high) else r.tilt.value * OPEN_ENDED}
    shop.add("support", **facts)
    return (f"Saved: {support}, {_stiffness(r.spring)}. To use it, tick “use my own measured stiffness” on the page "
        "above.")


OWN_LATHE = Page(name="own_lathe", title="How stiff is my own lathe?",
    inputs=(Choose("support", SUPPORTS_MEASURED, SUPPORTS_MEASURED[0], "holder", "what the weights pulled on"),
    Write("readings", EXAMPLE, "holder", "one line per weight: kg, µm (and mm from the jaws)", rows=7,
    says="kilograms hung on it, micrometres on the indicator; for spindle and chuck also the distance from the "
    "jaws"), Slide("bar", but(BarDiameter, low=8, high=60, usual=30), "holder", "diameter of the bar in the chuck")),
    compute=compute_own, picture=picture_own, words=words_own,
    presses=(Press("remember this stiffness", save_own, "saves it in your shop file, for the other pages"),))
