"""Warm-up: how the spindle drifts away from the tool, from readings, and how long to wait until it is calm.

A headstock warms like any lump of iron: fast at first, then ever slower, by one time constant. Readings of an
indicator against time are fitted; where they cannot tell the time constant, the answer's range says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from ..core.formula import formula
from ..core.quantity import Refused, finite, floats, positive
from ..measuring.coverage_factors import coverage
from .collars import Found
from .quantities import CalmAfter, Drift, DriftAllowed, FullDrift, JobTime, RunTime, TimeConstant

WARMING = "Newton's law of cooling: a lump that warms at an even power"

# ---- one formula at a time ------------------------------------------------------------------------


@formula(source=WARMING, holds="one speed, one time constant, the room steady", basis="computed")
def drift_after(full: FullDrift, time: RunTime, time_constant: TimeConstant) -> Drift:
    """How far the spindle has drifted some time after the start."""
    return full * (1 - np.exp(-time / time_constant))


@formula(source=WARMING + ", turned round", holds="one speed, one time constant, the room steady", basis="computed")
def calm_after(full: FullDrift, time_constant: TimeConstant, job: JobTime, allowed: DriftAllowed) -> CalmAfter:
    """When it drifts no more than is allowed from setting the tool to the last cut; below zero you need not wait."""
    return time_constant * np.log(np.sqrt(full**2) * (1 - np.exp(-job / time_constant)) / allowed)


# ---- readings in ------------------------------------------------------------------------------------

HOUR = 3600.0
LEAST = 5            # readings: three unknowns and something left over
TRIED = 241          # time constants that are tried
SHORTEST, LONGEST = 0.25, 12.0   # of them, in first steps and in whole times of the readings


@dataclass(frozen=True)
class WarmUp:
    """What an hour beside an indicator says; mm and s. Ranges hold nine times in ten."""

    time: np.ndarray
    reading: np.ndarray
    start: float                     # fitted reading at the start
    full: float                      # drift until all is warm
    constant: float                  # time constant
    constants: tuple[float, float]   # its range
    hour: Found                      # drift over the first hour
    scatter: float                   # of one reading about the curve
    hidden: bool                     # the indicator's step decides
    flat: bool                       # no drift can be told from the scatter
    open_ended: bool                 # the readings end before the drift does: the time constant has no upper end
    curves: tuple[np.ndarray, np.ndarray, np.ndarray]   # time constants that fit about as well, least and most drift

    def at(self, time: Any) -> Any:
        """The fitted reading at a time."""
        return self.start + drift_after(self.full, time, self.constant)


def _solved(time: np.ndarray, reading: np.ndarray, constants: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray,
        np.ndarray]:
    """For each time constant the best start and full drift, the sum of squares that is left, and how much it grows when
    the full drift is a unit off.
    """
    shape = 1 - np.exp(-time / constants[:, None])
    middle = shape.mean(axis=1)
    off = shape - middle[:, None]
    weight = np.maximum(np.sum(off**2, axis=1), 1e-300)
    full = off @ (reading - reading.mean()) / weight
    start = reading.mean() - full * middle
    left = np.sum((reading - start[:, None] - full[:, None] * shape)**2, axis=1)
    return start, full, left, weight


def fit(time: Any, reading: Any, resolution: float = 0.001) -> WarmUp:
    """Drift curve through readings (mm) at times (s from the start of the spindle); resolution: the indicator's step.

    Every time constant that could be is tried, and for each the best curve found exactly; the range holds all of them
    that fit about as well (Student's t). No reading counts for better than the step over √12. Raises Refused.
    """
    time, reading = (np.atleast_1d(floats(v, n)).ravel() for v, n in ((time, "the times"), (reading, "the readings")))
    if len(time) != len(reading):
        raise Refused(f"There are {len(time)} times and {len(reading)} readings. Each reading needs its time.")
    if len(time) < LEAST:
        raise Refused(f"Give {LEAST} readings or more, spread over the first hour; there were {len(time)}.")
    finite(reading, "reading of the indicator", "mm")
    positive(time, "time of a reading", "s", zero=True)
    order = np.argsort(time, kind="stable")
    time, reading = time[order], reading[order]
    steps = np.diff(np.unique(time))
    if len(steps) < LEAST - 1:
        raise Refused("Several readings have the same time. Read at different times, every few minutes.")
    if np.ptp(reading) > 1:
        raise Refused("The readings run over 1 mm. Readings are in micrometres: 0.01 mm is 10.")
    whole = float(np.ptp(time))
    constants = np.geomspace(SHORTEST * float(np.median(steps)), LONGEST * whole, TRIED)
    _, full, left, weight = _solved(time, reading, constants)
    best = int(left.argmin())
    fine = np.geomspace(constants[max(best - 1, 0)], constants[min(best + 1, TRIED - 1)], TRIED)
    fine_start, fine_full, fine_left, _ = _solved(time, reading, fine)
    at = int(fine_left.argmin())
    free = len(time) - 3
    scatter = float(np.sqrt(fine_left[at] / free))
    floor = float(positive(resolution, "the indicator's step", zero=True)) / np.sqrt(12)
    used, dof = (scatter, float(free)) if scatter > floor else (max(floor, 1e-9), np.inf)
    t = coverage(0.9, dof)
    room = np.maximum(fine_left[at] + (t * used)**2 - left, 0.0)
    fits = room > 0
    fits[best] = True
    off = np.sqrt(room / weight)[fits]
    hour = np.asarray(drift_after(full, HOUR, constants))[fits]
    value = float(drift_after(fine_full[at], HOUR, fine[at]))
    error = _hour_error(time, fine_full[at], fine[at], used)
    # what the curves that fit about as well say of the hour counts too
    error = max(error, float(np.ptp(np.append(hour, value))) / 2 / t)
    whole_change = float(np.sum((reading - reading.mean())**2))
    flat = whole_change <= fine_left[at] + 2 * (t * used)**2
    return WarmUp(time, reading, float(fine_start[at]), float(fine_full[at]), float(fine[at]),
        (float(constants[fits].min()), float(constants[fits].max())), Found(value, error, dof), scatter,
        scatter <= floor, bool(flat), bool(fits[-1]),
        (constants[fits], full[fits] - off, full[fits] + off))


def _hour_error(time: np.ndarray, full: float, constant: float, scatter: float) -> float:
    """Standard uncertainty of the drift over the first hour, by the slopes of the curve."""
    decay = np.exp(-time / constant)
    slopes = np.column_stack([np.ones(len(time)), 1 - decay, -full * time / constant**2 * decay])
    last = np.exp(-HOUR / constant)
    wanted = np.array([0.0, 1 - last, -full * HOUR / constant**2 * last])
    scale = np.maximum(np.abs(slopes).max(axis=0), 1e-300)
    inverse = np.linalg.pinv((slopes / scale).T @ (slopes / scale))
    return scatter * float(np.sqrt(max((wanted / scale) @ inverse @ (wanted / scale), 0.0)))


@dataclass(frozen=True)
class Wait:
    """How long to run the spindle before the cut that counts, s from the start; range nine times in ten."""

    value: float
    low: float
    high: float


NOTHING = 1e-9   # mm of drift: for the logarithm


def wait(found: WarmUp, job: float = 600.0, allowed: float = 0.001) -> Wait:
    """How long to wait until no more drift than is allowed comes between setting the tool and the last cut.

    job: that time, s; allowed: mm on radius. Every curve that fits about as well has its own wait; the range holds them
    all. Zero where it is calm at once. Raises Refused.
    """
    job, allowed = float(positive(job, "the time", "s")), float(positive(allowed, "the drift allowed"))
    constants, least, most = found.curves
    smallest = np.where(least * most > 0, np.minimum(np.abs(least), np.abs(most)), NOTHING)
    largest = np.maximum(np.abs(least), np.abs(most))
    best, low, high = (np.maximum(calm_after(np.maximum(full, NOTHING), constant, job, allowed), 0.0)
        for full, constant in ((abs(found.full), found.constant), (smallest, constants), (largest, constants)))
    return Wait(float(best), min(float(np.min(low)), float(best)), max(float(np.max(high)), float(best)))
