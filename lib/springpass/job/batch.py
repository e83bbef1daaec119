"""Several of the same: wear, warm-up and scatter against the tolerance, and when to measure again.

The mean size drifts from part to part (wear in one direction, the warming spindle in either), each part scatters
about it, and a correction is no better than the one part and the one reading that it goes by. Measuring seldom lets
the drift run; correcting by every reading adds the scatter to it. The chance that all are good is counted on many
virtual batches, the same for every setting.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist
from typing import Any

import numpy as np

from ..core.quantity import Refused, positive, said
from ..core.spread import bells_of, verdict
from ..measuring.guard_bands import guard_band
from .results import Cause, Plan, SizeBudget

BATCHES = 1000      # virtual batches
MOST = 100          # parts in a batch
HOUR = 3600.0
TRIED = (1, 2, 3, 4, 5, 7, 10, 15, 20, 30, 50)   # parts between two measurements
AS_GOOD = 0.01      # chances that nobody can tell apart
# what is set or scatters anew with each part, where every part is cut in two like cuts and measured between
EACH_PART = frozenset({Cause.READING, Cause.DIAL, Cause.WORK_BENDS, Cause.BAR_BENDS, Cause.LOBES, Cause.DRILL,
    Cause.STOP, Cause.HOLDING})
BENDING = frozenset({Cause.WORK_BENDS, Cause.BAR_BENDS})   # the same for all parts where nothing is measured between


@lru_cache(maxsize=32)
def throws(rows: int, count: int, salt: int = 0) -> np.ndarray:
    """Standard normal numbers, shape (rows, count): always the same ones, and independent from row to row.

    A counter is mixed by multiplying and shifting (the finishing step of the SplitMix64 generator, from memory).
    """
    with np.errstate(over="ignore"):
        z = np.arange(1, rows * count + 1, dtype=np.uint64) + np.uint64(salt << 40)
        z *= np.uint64(0x9E3779B97F4A7C15)
        z = (z ^ (z >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
        z = (z ^ (z >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
        z ^= z >> np.uint64(31)
    bells = bells_of((np.asarray(z >> np.uint64(11), float) + 0.5) * 2.0**-53).reshape(rows, count)
    bells.setflags(write=False)
    return bells


def warmed(first_hour: Any, seconds: Any, time: Any) -> Any:
    """How far a warming spindle has moved after so many seconds, mm, from its movement in the first hour (mm) and its
    time constant (s). One exponential; numbers or arrays. Raises Refused.
    """
    time = positive(time, "the warm-up time", "s")
    return np.asarray(first_hour) * np.expm1(-np.asarray(seconds, float) / time) / np.expm1(-HOUR / time)


@dataclass(frozen=True)
class Rule:
    """When to touch the dial. All mm on diameter from the middle of the tolerance; `sign` is the way wear goes."""

    room: float      # so far the mean may lie from the middle and a part still be good, at the guard band's chance
    start: float     # where the first part is set, and each correction brings it back to
    far: float       # correct when a reading lies farther than this in the direction of the wear
    back: float      # or farther than this against it
    sign: int


def rule(tolerance: float, scatter: float, reading: float, sign: int = 1, offset: bool = True) -> Rule:
    """The rule for the dial: room is half the tolerance less a guard band for scatter and reading together.

    offset: begin half the room on the side that the wear comes from. Raises Refused.
    """
    if sign not in (1, -1):
        raise Refused(f"Wear makes a part larger (1) or smaller (-1); it was {said(sign)}.")
    spread = float(np.hypot(scatter, reading))
    room = max(positive(tolerance, "tolerance") / 2 - (guard_band(spread) if spread else 0.0), 0.0)
    return Rule(room, -sign * room / 2 if offset else 0.0, room / 2, room, sign)


@dataclass(frozen=True)
class Batch:
    """A batch run many times. mm on diameter from the middle of the tolerance."""

    count: int
    interval: int
    tolerance: float
    rule: Rule
    chance: float                  # that all are good
    each: np.ndarray               # chance of each part by itself
    low: np.ndarray                # 90 % range of each part's size
    middle: np.ndarray
    high: np.ndarray
    example: np.ndarray            # sizes of one batch
    corrections: float             # of a batch, on the average
    intervals: tuple[int, ...]     # tried
    chances: tuple[float, ...]     # of all good, with each of them
    best: int                      # the longest interval that is as good as any
    other: float                   # chance with the other start: the middle, or half the room off it

    @property
    def verdict(self) -> str:
        return verdict(self.chance)


def _run(count: int, interval: int, r: Rule, drift: np.ndarray, scatter: float, reading: float,
        setting: float) -> tuple[np.ndarray, np.ndarray]:
    """Sizes of all parts of all batches, and after which parts the dial was corrected."""
    z, read, put = (throws(MOST, BATCHES, salt)[:count] for salt in (1, 2, 3))
    size, touched = np.empty((count, BATCHES)), np.zeros((count, BATCHES), bool)
    dial = r.start + setting * throws(1, BATCHES, 4)[0]
    for i in range(0, count, interval):
        upto = min(i + interval, count)
        size[i:upto] = dial + drift[i:upto] + scatter * z[i:upto]
        if upto < count:
            shown = size[upto - 1] + reading * read[upto - 1]
            out = (r.sign * shown > r.far) | (-r.sign * shown > r.back)
            dial = np.where(out, dial + r.start - shown + setting * put[upto - 1], dial)
            touched[upto - 1] = out
    return size, touched


def batch(count: int, tolerance: float, drift: Any, scatter: float, reading: float, setting: float = 0.0,
        interval: int = 5, warm: Any = 0.0, seconds: float = 300.0, warm_time: Any = 1800.0, sign: int = 1,
        offset: bool = True) -> Batch:
    """A batch of like parts against a tolerance on diameter, mm.

    drift: wear from part to part, on diameter, a number or BATCHES samples; scatter: standard deviation between like
    cuts; reading: standard uncertainty of one reading; setting: the same of a correction by the dial; interval: parts
    from one measurement to the next; warm: movement of the size in the first hour, mm on diameter, either sign,
    warm_time its time constant, s, numbers or samples; seconds: from part to part. The first part is made by trial
    cuts. Raises Refused.
    """
    for name, whole in (("count", count), ("interval", interval)):
        if isinstance(whole, bool) or not isinstance(whole, int) or not 1 <= whole <= MOST:
            raise Refused(f"The {name} must be a whole number from 1 to {MOST}; it was {said(whole)}.")
    for name, value in (("scatter", scatter), ("reading", reading), ("setting", setting)):
        positive(value, name, zero=True)
    positive(seconds, "the time of a part", "s", zero=True)
    if (np.asarray(drift) < 0).any():
        raise Refused("Wear cannot go backwards: give the drift as a number from 0 up, and its direction as sign.")
    r, half = rule(tolerance, scatter, reading, sign, offset), tolerance / 2
    part = np.arange(count)[:, None]
    moving = sign * np.broadcast_to(drift, BATCHES) * part
    moving = moving + warmed(warm, part * seconds, warm_time)
    tried = tuple(sorted({*(i for i in TRIED if i < count), min(interval, count), count}))
    found = {}
    for one in tried:
        size, touched = _run(count, one, r, moving, scatter, reading, setting)
        good = np.abs(size) <= half
        found[one] = float(good.all(0).mean())
        if one == min(interval, count):
            kept = size, touched, good
    size, touched, good = kept
    low, middle, high = np.percentile(size, (5, 50, 95), axis=1)
    top = max(found.values())
    elsewhere = _run(count, min(interval, count), rule(tolerance, scatter, reading, sign, not offset), moving, scatter,
        reading, setting)[0]
    return Batch(count, min(interval, count), tolerance, r, found[min(interval, count)], good.mean(1), low, middle,
        high, size[:, 0], float(touched.sum(0).mean()), tried, tuple(found[i] for i in tried),
        max(i for i in tried if found[i] >= top - AS_GOOD), float((np.abs(elsewhere) <= half).all(0).mean()))


def of_plan(plan: Plan, count: int = 0) -> float:
    """Chance that all parts of a plan are good, `count` of them or as many as it is made for. Raises Refused.

    Chatter and what else is judged of the whole setup holds for all parts alike.
    """
    many = count or plan.count
    if many == 1:
        return plan.odds
    each = EACH_PART if plan.settings.trial else EACH_PART - BENDING
    one = all_good(plan.budgets, 1, each)
    return min(plan.odds / one * all_good(plan.budgets, many, each), plan.odds) if one > 0 else 0.0


def all_good(budgets: Sequence[SizeBudget], count: int, each: frozenset[Cause] = EACH_PART) -> float:
    """Chance that so many parts, each cut and measured by the plan, are all good.

    What is the same for the whole batch (force, stress of the bar, room, the gauge's setting) moves all its parts
    together; what scatters from part to part (`each`) is drawn anew for each. Between the two the power is taken:
    the mean over the batches of the chance of one part to the power of count. Raises Refused.
    """
    if isinstance(count, bool) or not isinstance(count, int) or not 1 <= count <= 10_000:
        raise Refused(f"The count must be a whole number from 1 to 10 000; it was {said(count)}.")
    if not budgets:
        return 1.0
    if any(not b.shares for b in budgets):
        return 0.0
    one: Any = 1.0
    for b in budgets:
        own = np.sqrt(sum(s.spread**2 for s in b.shares if s.name in each))
        shared = b.aim + sum((s.samples for s in b.shares if s.name not in each), np.zeros(1))
        one = one * (_below((b.high - shared) / own) - _below((b.low - shared) / own) if own > 0
            else (shared >= b.low) & (shared <= b.high))
    return float(np.mean(one**count))


_GRID = np.linspace(-8, 8, 8001)


@lru_cache(maxsize=1)
def _cumulative() -> np.ndarray:
    normal = NormalDist()
    return np.array([normal.cdf(float(x)) for x in _GRID])


def _below(z: Any) -> np.ndarray:
    """Chance of a standard normal below z, read off a fine table."""
    return np.interp(z, _GRID, _cumulative())
