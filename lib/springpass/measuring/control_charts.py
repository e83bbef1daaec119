"""A control chart of single readings: is the lathe still doing what it did? Readings in any one unit.

Each reading is set beside the centre line, and the step from one reading to the next gives the scatter without any
drift in it (Shewhart). What lies outside the limits, or keeps to one side, has a cause worth finding.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from ..core import tables
from ..core.formula import formula
from ..core.quantity import Refused, finite
from ..core.tables import assumed
from .guard_bands import read_numbers
from .quantities import ChartReach, MeanRange, RangeFactor, ReadingSpread

SHEWHART = "W. A. Shewhart's control charts, as in textbooks of quality control (from memory)"
FEWEST = 5    # readings that a centre line can rest on at all
SIGMAS = 3


@formula(source=SHEWHART, holds="readings that scatter independently about a steady or evenly drifting mean",
    basis="memory")
def scatter_of_ranges(mean_range: MeanRange, range_factor: RangeFactor) -> ReadingSpread:
    """Standard deviation of one reading, from the mean step between neighbours."""
    return mean_range / range_factor


@formula(source=SHEWHART, holds="three standard deviations; about three readings in a thousand lie outside by chance",
    basis="memory")
def reach_of_limits(mean_range: MeanRange, range_factor: RangeFactor) -> ChartReach:
    """How far the control limits lie from the centre line."""
    return 3 * scatter_of_ranges(mean_range, range_factor)


@dataclass(frozen=True)
class Signal:
    """Something that chance hardly does: at which reading (1, 2 …)."""

    kind: Literal["outside", "one side", "trend", "jump"]
    at: int


@dataclass(frozen=True)
class Chart:
    """A chart of single readings with their steps."""

    readings: tuple[float, ...]
    centre: np.ndarray          # the centre line at each reading; it slopes with the drift allowed for
    mean_range: float
    scatter: float              # standard deviation of one reading
    reach: float                # of the limits from the centre line
    most_range: float           # upper limit of a step
    ranges: tuple[float, ...]   # steps between neighbours, the drift taken off
    signals: tuple[Signal, ...]


def pair_factors() -> tuple[float, float]:
    """d2 and D4 for the range of two neighbours."""
    row = tables.row("shewhart", n=2)
    return row["d2"], row["d4"]


def chart(readings: Any, drift: float = 0.0, first: int = 0) -> Chart:
    """The chart of readings as text or numbers, five or more.

    drift: change from one reading to the next that is allowed for (tool wear); first: so many readings fix the centre
    line and the limits, all of them where 0. Raises Refused.
    """
    values = np.array(read_numbers(readings))
    if len(values) < FEWEST:
        raise Refused(f"A control chart needs {FEWEST} readings at least, better twenty; there "
            f"{'is' if len(values) == 1 else 'are'} {len(values)}.")
    drift = float(finite(drift, "the drift"))
    level = values - drift * np.arange(len(values))
    base = level[: max(first, FEWEST)] if first else level
    steps = np.abs(np.diff(level))
    mean_range = float(np.abs(np.diff(base)).mean())
    d2, d4 = pair_factors()
    scatter, reach = float(scatter_of_ranges(mean_range, d2)), float(reach_of_limits(mean_range, d2))
    middle = float(base.mean())
    run = int(assumed("points on one side").value)
    found = _signals(level - middle, steps, reach, d4 * mean_range, run)
    return Chart(tuple(values.tolist()), middle + drift * np.arange(len(values)), mean_range, scatter, reach,
        d4 * mean_range, tuple(steps.tolist()), found)


def _signals(off: np.ndarray, steps: np.ndarray, reach: float, most: float, run: int) -> tuple[Signal, ...]:
    found = [Signal("outside", int(i) + 1) for i in np.flatnonzero(np.abs(off) > reach)]
    found += [Signal("jump", int(i) + 2) for i in np.flatnonzero(steps > most)]
    found += [Signal("one side", at) for at in _runs(np.sign(off), run)]
    found += [Signal("trend", at + 1) for at in _runs(np.sign(np.diff(off)), run - 1)]
    return tuple(sorted(found, key=lambda s: s.at))


def _runs(signs: np.ndarray, run: int) -> list[int]:
    """Places (1, 2 …) at which a run of so many equal signs is full, each run once."""
    found, count = [], 0
    for i, sign in enumerate(signs):
        count = count + 1 if i and sign and sign == signs[i - 1] else int(sign != 0)
        if count == run:
            found.append(i + 1)
    return found
