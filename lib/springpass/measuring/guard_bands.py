"""May I believe the reading? Repeated readings, guard bands, chance that a part is good, repeats needed.

Readings and limits in any one unit; uncertainties are standard uncertainties in the same.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from statistics import NormalDist
from typing import Any

import numpy as np

from ..core.formula import formula
from ..core.quantity import Limit, Numbers, Refused, floats, number, positive, said
from .budgets import GUM, Input, normal
from .coverage_factors import share_of_one, t_tail
from .quantities import ReadingCount, ReadingSpread, StandardUncertainty


@formula(source=f"{GUM}, 4.2.3 (from memory)", holds="readings that scatter independently of one another")
def mean_uncertainty(scatter: ReadingSpread, count: ReadingCount) -> StandardUncertainty:
    """Standard uncertainty of the mean of so many readings."""
    return scatter / np.sqrt(count)


# ---- repeated readings --------------------------------------------------------------------------

@dataclass(frozen=True)
class Repeatability:
    """What repeated readings say: mean, scatter of one reading, uncertainty of the mean."""

    readings: tuple[float, ...]
    mean: float
    scatter: float   # standard deviation of one reading, never below what the step of the scale hides
    u: float         # of the mean
    dof: float
    hidden: bool     # the scatter is below the step: the step decides

    def mean_input(self, says: str = "") -> Input:
        """The mean of these readings as an input of a budget."""
        return normal(self.mean, self.u, self.dof, says)

    def of_mean_of(self, count: int) -> float:
        """Standard uncertainty of a later mean of so many readings by the same hand."""
        count = number(count)  # type: ignore[assignment]
        if not (np.isfinite(count) and count >= 1):
            raise Refused(f"The number of readings must be 1 or more; it was {count}.")
        return float(mean_uncertainty(self.scatter, count))


def read_numbers(text: Any) -> tuple[float, ...]:
    """Numbers typed in a row, parted by spaces, semicolons or new lines; 12,5 counts as 12.5.

    Raises Refused that names every piece that is not a number and where it stands.
    """
    if not isinstance(text, str):
        pieces: list[Any] = list(np.ravel(text))
    else:
        pieces = [piece.rstrip(",") for piece in re.split(r"[\s;]+", text.strip()) if piece.rstrip(",")]
    found, wrong = [], []
    for place, piece in enumerate(pieces, 1):
        try:
            found.append(number(piece))
        except Refused:
            wrong.append(f"number {place} is {said(piece)}")
    if wrong:
        more = f"; and {len(wrong) - 6} more" if len(wrong) > 6 else ""
        raise Refused(
            f"Not all of these are numbers: {'; '.join(wrong[:6])}{more}. Mend it; the others are kept as typed.")
    return tuple(found)


def repeatability(readings: Any, step: float = 0.0) -> Repeatability:
    """Mean and scatter of repeated readings (text or numbers), two or more.

    step: the scale's smallest step; scatter below what that step hides (step/sqrt(12)) is raised to it.
    Raises Refused for fewer than two readings, for anything that is not a number, or a bad step.
    """
    values = np.array(read_numbers(readings))
    if len(values) < 2:
        raise Refused("Scatter needs at least two readings, better ten; there "
            f"{'is' if len(values) == 1 else 'are'} {len(values)}.")
    step = number(step)
    if not (np.isfinite(step) and step >= 0):
        raise Refused(f"The step of the scale must be zero or more; it was {step}.")
    seen, floor = float(values.std(ddof=1)), step / np.sqrt(12)
    scatter = max(seen, float(floor))
    return Repeatability(tuple(values.tolist()), float(values.mean()), scatter,
        float(mean_uncertainty(scatter, len(values))), float(len(values) - 1), seen < floor)


# ---- the decision -------------------------------------------------------------------------------

def _below(z: np.ndarray) -> np.ndarray:
    """Chance of a standard normal below z, to about 1e-15, for arrays."""
    z = np.asarray(z, dtype=float)
    flat = np.array([NormalDist().cdf(float(v)) if np.isfinite(v) else float(v > 0) for v in z.ravel()])
    return flat.reshape(z.shape)


def odds_in_tolerance(reading: Numbers, low: Limit, high: Limit, uncertainty: float, dof: float = np.inf) -> Any:
    """Chance that the true size lies from low to high, given a reading (JCGM 106:2012, 7; ISO 14253-1).

    Assumes nothing beforehand about the part. low or high may be infinite. Scalars and arrays of readings.
    Raises Refused where low is not below high or the uncertainty is not above zero.
    """
    low, high, uncertainty = _limits(low, high, uncertainty)
    x, dof = floats(reading, "the reading"), positive(dof, "degrees of freedom", "1", infinite=True)
    if np.isnan(x).any():
        raise Refused(f"The reading must be a number; it was {said(reading)}.")
    top, bottom = (high - x) / uncertainty, (low - x) / uncertainty
    if dof > 1e8:   # no longer to be told from the normal
        chance = _below(top) - _below(bottom)
    else:
        tops, bottoms = t_tail(np.abs(top), dof), t_tail(np.abs(bottom), dof)
        chance = np.where(top >= 0, 1 - tops, tops) - np.where(bottom >= 0, 1 - bottoms, bottoms)
    return chance if chance.ndim else float(chance)


def _limits(low: Any, high: Any, uncertainty: Any) -> tuple[float, float, float]:
    low, high = float(floats(low, "the lower limit")), float(floats(high, "the upper limit"))
    if not low < high:
        raise Refused(f"The lower limit must lie below the upper one; they were {said(low)} and {said(high)}.")
    return low, high, float(positive(uncertainty, "the uncertainty"))


def guard_band(uncertainty: float, p: float = 0.95) -> float:
    """How far inside one limit a reading must stay to prove the part good with chance p (ISO 14253-1:2017: 95 %)."""
    _limits(0, 1, uncertainty)
    return float(NormalDist().inv_cdf(share_of_one(p)) * uncertainty)


def acceptance(low: Limit, high: Limit, uncertainty: float, p: float = 0.95) -> tuple[float, float] | None:
    """The readings that prove a part good with chance p: the tolerance less a guard band at each end.

    Both ends are minded at once, so a tolerance that is small beside the uncertainty loses more than
    two guard bands. None where no reading at all can prove it.
    """
    low, high, uncertainty = _limits(low, high, uncertainty)
    p = share_of_one(p)
    if np.isinf(low) or np.isinf(high):
        band = guard_band(uncertainty, p)
        return low + band, high - band
    middle = (low + high) / 2
    if odds_in_tolerance(middle, low, high, uncertainty) < p:
        return None
    inside, outside = middle, high
    for _ in range(60):
        x = (inside + outside) / 2
        inside, outside = (x, outside) if odds_in_tolerance(x, low, high, uncertainty) >= p else (inside, x)
    return low + high - inside, inside


PROVED, OPEN, REFUTED = "proved good", "not proved either way", "proved bad"


def decision(odds: float, p: float = 0.95) -> str:
    """In words (ISO 14253-1): proved good, proved bad, or neither, at the chance asked for."""
    p = share_of_one(p)
    return PROVED if odds >= p else REFUTED if odds <= 1 - p else OPEN


def repeats_needed(reading: float, low: Limit, high: Limit, scatter: float, steady: float, p: float = 0.95,
        most: int = 100) -> int | None:
    """How many readings must be averaged for this mean to prove the part good with chance p.

    scatter: standard deviation of one reading; steady: the standard uncertainty that repeats do not
    lessen (scale, setting, temperature). None where `most` readings would not do it.
    """
    low, high, _ = _limits(low, high, 1.0)
    reading, scatter, steady = number(reading), number(scatter), number(steady)
    most = int(min(max(number(most), 0.0), 2e6)) if np.isfinite(number(most)) else 0
    if not (np.isfinite(reading) and 1 <= most <= 1e6):
        raise Refused(
            f"The reading must be finite and the most readings 1 to a million; they were {reading} and {most}.")
    for name, value in (("scatter", scatter), ("steady part", steady)):
        if not (np.isfinite(value) and value >= 0):
            raise Refused(f"The {name} must be zero or more; it was {value}.")
    counts = np.arange(1, int(most) + 1)
    u = np.maximum(np.hypot(steady, scatter / np.sqrt(counts)), 1e-12)
    chance = _below((high - reading) / u) - _below((low - reading) / u)
    enough = np.flatnonzero(chance >= share_of_one(p))
    return int(counts[enough[0]]) if len(enough) else None
