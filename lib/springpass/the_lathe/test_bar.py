"""A ground test bar and an indicator: the spindle axis with the bar's own run-out halved out, and the nose's run-out.

The indicator stands on the carriage and touches the bar at the front, level with the axis. It reads more where the bar
comes towards you.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from ..core.formula import formula
from ..core.quantity import Refused, finite, positive
from .collars import PARALLEL, Found, _row, pooled
from .quantities import (
    AxisFar,
    AxisNear,
    AxisReading,
    CollarSpan,
    FirstReading,
    HalfTurnReading,
    LatheTaper,
    RunOut,
)

# ---- one formula at a time ------------------------------------------------------------------------


@formula(source="half-turn reversal: what turns with the spindle changes its sign", holds="bar and indicator at one "
    "place, spindle turned by half a revolution", basis="computed")
def axis_reading(first: FirstReading, half_turn: HalfTurnReading) -> AxisReading:
    """Where the spindle axis lies: the mean of two readings half a revolution apart."""
    return (first + half_turn) / 2


@formula(source="half-turn reversal: what does not turn drops out of the difference", holds="the high spot in line "
    "with the indicator; elsewhere it shows less", basis="computed")
def bar_runout(first: FirstReading, half_turn: HalfTurnReading) -> RunOut:
    """How much the bar itself runs out at that place."""
    return np.sqrt((first - half_turn)**2)


@formula(source="bar nearer to you at the free end, free end turned smaller", holds=PARALLEL, basis="computed")
def bar_taper(near: AxisNear, far: AxisFar, span: CollarSpan) -> LatheTaper:
    """The taper that the spindle axis will turn, from the indicator's readings of it at two places."""
    return 2 * (near - far) / span


# ---- readings in ----------------------------------------------------------------------------------


@dataclass(frozen=True)
class BarFound:
    """What a bar in the spindle says, mm."""

    near: float          # axis, mean of both half turns
    far: float
    runout_near: float   # of the bar, where the two half turns stood
    runout_far: float
    span: float
    scatter: float
    taper: Found


def bar_in_spindle(near: Any, near_half: Any, far: Any, far_half: Any, span: float,
        resolution: float = 0.001) -> BarFound:
    """Taper of the lathe from an indicator on a test bar in the spindle, mm.

    near, far: readings at two places along the bar; near_half, far_half: the same, the spindle half a revolution on;
    one reading or more of each, some of them repeated. Raises Refused.
    """
    rows = [_row(r, name, 1) for r, name in ((near, "Near"), (near_half, "Near, half turned"), (far, "Far"),
        (far_half, "Far, half turned"))]
    span = float(positive(span, "the distance between the places"))
    if max(np.abs(row).max() for row in rows) > span / 10:
        raise Refused("A reading is more than a tenth of the distance between the places. Readings are in micrometres, "
            "distances in millimetres.")
    scatter, dof, _ = pooled(rows, resolution)
    a, a_half, b, b_half = (float(row.mean()) for row in rows)
    one, two = float(axis_reading(a, a_half)), float(axis_reading(b, b_half))
    # each mean of two counts half of each row's variance; the taper takes twice their difference
    error = scatter * np.sqrt(sum(1 / len(row) for row in rows)) / span
    return BarFound(one, two, float(bar_runout(a, a_half)), float(bar_runout(b, b_half)), span, scatter,
        Found(float(bar_taper(one, two, span)), float(error), dof))


@dataclass(frozen=True)
class NoseRunOut:
    """What an indicator in the spindle nose says over one revolution, mm and degrees."""

    angles: np.ndarray      # deg
    readings: np.ndarray    # mm, less their mean
    runout: Found           # full travel of the part that goes once round
    high_spot: float        # deg
    rest: float             # scatter about the circle: out of round, dirt, bearing


LEAST_AROUND = 6   # places in one revolution from which a circle and a scatter can be told apart


def nose_runout(readings: Any, resolution: float = 0.001) -> NoseRunOut:
    """Run-out of the spindle nose from readings evenly spread over one revolution, mm.

    A circle off the axis shows as one wave in a revolution: it is fitted, and the full travel is twice its height.
    Noise alone would always show some travel, so its share is taken off. Raises Refused.
    """
    row = _row(readings, "The readings round the nose", LEAST_AROUND)
    if np.ptp(row) > 2:
        raise Refused("The readings run over 2 mm. Readings are in micrometres: 0.01 mm is 10.")
    count = len(row)
    turn = 2 * np.pi * np.arange(count) / count
    level = row - row.mean()
    a, b = 2 * np.mean(level * np.cos(turn)), 2 * np.mean(level * np.sin(turn))
    left = level - a * np.cos(turn) - b * np.sin(turn)
    scatter = float(np.sqrt(np.sum(left**2) / (count - 3)))
    floor = float(positive(resolution, "the indicator's step", zero=True)) / np.sqrt(12)
    used = max(scatter, floor)
    each = used * np.sqrt(2 / count)                    # standard uncertainty of a and of b
    height = np.sqrt(max(a**2 + b**2 - each**2, 0.0))   # a sine's height is overrated by its own noise
    dof = float(count - 3) if scatter > floor else np.inf
    return NoseRunOut(np.degrees(turn), level, Found(float(2 * height), float(2 * each), dof),
        float(np.degrees(np.arctan2(b, a)) % 360), scatter)


@dataclass(frozen=True)
class BetweenCentres:
    """Where the tailstock's centre stands, mm: sideways (+ towards you), and what it turns over the whole length."""

    offset: Found
    taper: Found


def offset_from_taper(taper: Found, length: float) -> BetweenCentres:
    """The tailstock's offset from a taper found between centres, bending already taken off; length between centres, mm.

    Raises Refused.
    """
    length = float(positive(length, "the length between centres"))
    value = -float(finite(taper.value, "the taper", "mm a mm")) * length / 2
    return BetweenCentres(Found(value, taper.uncertainty * length / 2, taper.dof), taper)
