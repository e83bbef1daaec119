"""How sure: sample the uncertain inputs, read the answer's range.

The points are those of one fixed low-discrepancy sequence, the same for every
slider position, so an answer neither jitters under the hand nor depends on the
version of a random generator.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from statistics import NormalDist
from typing import Any

import numpy as np

from .quantity import Refused, Say, floats

POINTS = 2000
LIKELY = (5.0, 95.0)  # "likely" means nine times in ten: the 5th to the 95th percentile


# Square roots of primes step through the unit interval evenly; these were picked so that over 2000 points no two
# of them lean on each other (correlation under 0.02, against 0.05 for random points).
PRIMES = (2, 53, 103, 79, 337, 23, 113, 211, 3, 167, 311, 61, 107, 137, 269, 283, 17, 157, 347, 31, 401, 409, 419, 421,
    431, 433, 439, 443, 449, 457)


@cache
def points(dimensions: int, count: int = POINTS) -> np.ndarray:
    """`count` points in the unit cube, shape (dimensions, count), the same every time. Raises Refused above 30
    dimensions.

    Richtmyer's additive recurrence (Niederreiter, Random Number Generation and Quasi-Monte Carlo Methods, from memory).
    """
    if not 1 <= dimensions <= len(PRIMES):
        raise Refused(f"The spread can be taken over 1 to {len(PRIMES)} uncertain inputs; there were {dimensions}.")
    if count < 1:
        raise Refused(f"The spread needs one point or more; there were {count}.")
    steps = np.sqrt(np.array(PRIMES[:dimensions])) % 1
    cube = (0.5 + np.outer(steps, np.arange(1, count + 1))) % 1.0
    cube.setflags(write=False)
    return cube


@cache
def _bells(dimensions: int, count: int) -> np.ndarray:
    """The same points as standard normal values; worked out once."""
    normal = NormalDist()
    bells = np.array([[normal.inv_cdf(u) for u in row] for row in points(dimensions, count)])
    bells.setflags(write=False)
    return bells


@dataclass(frozen=True)
class Uncertain:
    """An input that is known only to a range. Make it with between, about or factor_of."""

    kind: str  # "flat": anywhere between; "bell": value and standard deviation; "ratio": bell in the logarithm
    a: float
    b: float

    @property
    def middle(self) -> float:
        return (self.a + self.b) / 2 if self.kind == "flat" else self.a

    def draw(self, flat: np.ndarray, bell: np.ndarray) -> np.ndarray:
        if self.kind == "flat":
            return self.a + (self.b - self.a) * flat
        if self.kind == "bell":
            return self.a + self.b * bell
        return self.a * np.exp(self.b * bell)


def between(low: float, high: float) -> Uncertain:
    """Anywhere from low to high, all equally likely. Raises Refused if the ends are the wrong way round."""
    if not (np.isfinite(low) and np.isfinite(high) and low <= high):
        raise Refused(f"A range must go from a lower to a higher number; this one goes from {low} to {high}.")
    return Uncertain("flat", float(low), float(high))


def about(value: float, plus_minus: float) -> Uncertain:
    """Near value; nineteen times in twenty within plus_minus of it (two standard deviations)."""
    if not (np.isfinite(value) and np.isfinite(plus_minus) and plus_minus >= 0):
        raise Refused(f"A spread must be zero or more; this one is ±{plus_minus}.")
    return Uncertain("bell", float(value), float(plus_minus) / 2)


def factor_of(value: float, factor: float) -> Uncertain:
    """Near value; nineteen times in twenty between value/factor and value×factor. For things known to a factor."""
    if not (value > 0 and np.isfinite(value) and np.isfinite(factor) and factor >= 1):
        raise Refused(f"A factor must be 1 or more and its value above zero; got {value} and {factor}.")
    return Uncertain("ratio", float(value), float(np.log(factor)) / 2)


def sample(count: int = POINTS, **known: Any) -> dict[str, Any]:
    """Each Uncertain becomes an array of `count` values; everything else passes through unchanged."""
    names = [name for name, value in known.items() if isinstance(value, Uncertain)]
    if not names:
        return dict(known)
    if count < 1:
        raise Refused(f"The spread needs one point or more; there were {count}.")
    flat, bell = points(len(names), count), _bells(len(names), count) if count <= 10 * POINTS else None
    if bell is None:
        bell = bells_of(flat)
    drawn = {name: known[name].draw(flat[i], bell[i]) for i, name in enumerate(names)}
    return {name: drawn.get(name, value) for name, value in known.items()}


def bells_of(flat: np.ndarray) -> np.ndarray:
    """Normal values for very many points: read off a fine table of the exact ones (good to 1e-4)."""
    grid = np.concatenate([np.geomspace(1e-9, 1e-3, 400, endpoint=False), np.linspace(1e-3, 1 - 1e-3, 2000),
        1 - np.geomspace(1e-9, 1e-3, 400, endpoint=False)[::-1]])
    normal = NormalDist()
    return np.interp(flat, grid, [normal.inv_cdf(u) for u in grid])


WIDE = NormalDist().inv_cdf(LIKELY[1] / 100)  # standard deviations from the middle of a bell to either end of its range


@dataclass(frozen=True)
class Likely:
    """An answer with its range: the middle, and where it lies nine times in ten."""

    value: float
    low: float
    high: float

    @property
    def reach(self) -> float:
        """How far from zero it may lie, on either side."""
        return max(abs(self.low), abs(self.high))

    @property
    def plus_minus(self) -> float:
        """Two standard deviations of the bell that has this range: nineteen times in twenty within it."""
        return (self.high - self.low) / WIDE

    def text(self, say: Say | None = None, fine: bool = True, named: bool = True) -> str:
        """"7.2 µm (90 % range 5 to 11 µm)", to the figures that the range deserves; "7.2 µm (5 to 11)" once named."""
        say = say or Say()
        write = say.fine if fine else say.length
        low, high = (write(value).rpartition(" ")[0] for value in (self.low, self.high))
        if low == high:
            return write(self.value)
        if not named:
            return f"{write(self.value)} ({low} to {high})"
        return f"{write(self.value)} (90 % range {low} to {high} {say.fine_unit if fine else say.length_unit})"


def likely(samples: Any) -> Likely:
    """Median and 5th to 95th percentile of an array of answers. Raises Refused where none is a number."""
    values = np.atleast_1d(floats(samples, "samples"))
    if np.isnan(values).any():
        raise Refused("Some of the inputs lead to no answer. Move them back towards their usual values.")
    if values.size == 1:
        return Likely(*[float(values[0])] * 3)
    low, middle, high = band(values)
    return Likely(float(middle), float(low), float(high))


def band(samples: np.ndarray, axis: int = 0) -> np.ndarray:
    """Low end, middle and high end of the 90 % range along the axis of the samples; the three stand first in the
    answer, the other axes after them. For curves: `likely` says the same of one answer.
    """
    # partition once: three order statistics are all that is wanted, and they may be infinite
    ranks = [round(q / 100 * (samples.shape[axis] - 1)) for q in (LIKELY[0], 50.0, LIKELY[1])]
    return np.moveaxis(np.partition(samples, ranks, axis=axis).take(ranks, axis=axis), axis, 0)


def odds(holds: Any) -> float:
    """The share of the samples for which something holds, 0 to 1."""
    yes = isinstance(holds, (bool, np.bool_)) or (isinstance(holds, np.ndarray) and holds.dtype == bool)
    shares = np.asarray(holds) if yes else np.asarray(floats(holds, "what holds"))
    share = float(shares.mean()) if shares.size else -1.0
    if not 0 <= share <= 1:
        raise Refused("A chance is taken of samples that hold or do not, as 1 or 0.")
    return share


HOLDS, EDGE, FAILS = "holds", "at the edge", "will not hold"


def verdict(chance: float) -> str:
    """In words, from the chance: holds nine times in ten or better; will not hold one in ten or worse."""
    return HOLDS if chance >= 0.9 else FAILS if chance <= 0.1 else EDGE
