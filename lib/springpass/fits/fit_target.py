"""What a fit feels like, and what to aim for so that it slides, or stays.

A clearance has a feel, from shake to shrink, whose edges the trade knows to a
third. A hand has a spread. Together they give the chance of a cut, and the aim that
makes them best; and the second part is made to the first as it measured, not to
the drawing.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from statistics import NormalDist
from typing import Any

import numpy as np

from .. import fits
from ..core import tables
from ..core.quantity import Numbers, Refused, quantity_of
from .quantities import HandSpread, MateDoubt, Tries

NEAR_ENOUGH = 0.002  # odds that nobody can tell apart

# ---- what it feels like ---------------------------------------------------------------------------

@dataclass(frozen=True)
class Feel:
    """How a fit feels from `least` to `most` clearance, mm; common practice, with soft edges."""

    name: str
    least: float
    most: float
    says: str


def feels(size: float) -> tuple[Feel, ...]:
    """From loosest to tightest: shake, run, slide, drag, tap, press, shrink, with their clearances at a size, mm.

    Common practice, scaled with the tolerance unit i of ISO 286-1; the edges are known to a third. Raises Refused.
    """
    unit = float(fits.tolerance_unit(fits.nominal_size(size)))
    found, most = [], math.inf
    for r in tables.rows("fit_feels"):
        least = -math.inf if r["feel"] == "shrink" else r["value"] * unit
        found.append(Feel(r["feel"], least, most, r["says"]))
        most = least
    return tuple(found)


def feel(size: float, clearance: float) -> Feel:
    """How a fit of this size (mm) and clearance (mm, negative = interference) feels. Raises Refused."""
    if not np.isfinite(clearance):
        raise Refused(f"The clearance must be a number in mm; it was {clearance}.")
    return next(f for f in feels(size) if clearance >= f.least)


def wanted(size: float, what: str) -> tuple[float, float]:
    """Least and most clearance of a wish, mm: a feel such as "slide", or a fit such as "H7/g6". Raises Refused."""
    for f in feels(size):
        if f.name == str(what).strip().lower():
            least, most = f.least, f.most
            if not math.isfinite(least) or not math.isfinite(
                most
            ):  # the two ends of the scale: as wide as they are deep
                least, most = (2 * most, most) if not math.isfinite(least) else (least, 2 * least)
            return least, most
    if "/" not in str(what) and not re.search(r"\d", str(what)):
        raise Refused(f"“{what}” is neither a feel nor a fit. Choose shake, run, slide, drag, tap, press or shrink, "
            "or type a fit such as H7/g6.")
    pair = fits.fit(size, what)
    return pair.least_clearance, pair.most_clearance


# ---- what to aim for ------------------------------------------------------------------------------

def _bell(z: Any) -> np.ndarray:
    """Share of a normal spread below z standard deviations."""
    return 0.5 * (1 + np.asarray(np.frompyfunc(math.erf, 1, 1)(np.asarray(z, dtype=float) / math.sqrt(2)), dtype=float))


def odds(aim: Numbers, least: Numbers, most: Numbers, spread: Numbers, doubt: Any = 0.0) -> Any:
    """Chance that a cut aimed at clearance `aim` lands between `least` and `most`, all mm, numbers or arrays.

    spread: how far you miss the size you aim at, nineteen times in twenty (two standard deviations); doubt: the
    same for the measured size of the other part. Normal, independent. Closed form. Raises Refused.
    """
    deviation = _deviation(least, most, spread, doubt)
    middle = np.asarray(aim, dtype=float)
    share = _bell((most - middle) / deviation) - _bell((least - middle) / deviation)
    return share if share.ndim else float(share)


def _deviation(least: Any, most: Any, spread: Any, doubt: Any) -> Any:
    quantity_of(HandSpread).check(spread, "your spread")
    quantity_of(MateDoubt).check(doubt, "the doubt of the measured size")
    if not (np.isfinite(least).all() and np.isfinite(most).all() and np.all(np.less(least, most))):
        raise Refused(
            f"The wanted clearance must run from a lower to a higher number; it runs from {least} to {most} mm.")
    return np.hypot(spread, doubt) / 2


@dataclass(frozen=True)
class Aim:
    """The clearance to aim the first cut at, mm, and the chances with it: of a good part, of one too loose, of another
    cut.
    """

    clearance: float
    odds: float
    too_loose: float
    again: float  # chance that the first cut leaves it tight, so that there is another
    plan: tuple[float, ...]  # where to aim the first cut, the second where the first left it tight, and so on


def best_aim(least: float, most: float, spread: float, doubt: float = 0.0, tries: int = 1) -> Aim:
    """The aim that makes a good part most likely, all mm.

    A fit left too tight can be cut again (metal is left, on a pin or in a bore alike); too loose is scrap. With one try
    the best aim is the middle; with more it creeps towards tight. Each cut is taken to miss by the same spread, and to
    miss anew: a wrong size of the other part that stays the same through all cuts would make the later ones worth less.
    Scans aims from the middle to well past the tight end; of those within two in a thousand of the best it takes the
    one nearest the middle. Raises Refused.
    """
    deviation = float(_deviation(least, most, spread, doubt))
    quantity_of(Tries).check(tries, "the number of cuts")
    middle = (least + most) / 2
    aims = np.concatenate([[middle], np.linspace(least - 3 * deviation, middle, 800, endpoint=False)])
    loose = 1 - _bell((most - aims) / deviation)
    tight = _bell((least - aims) / deviation)
    good = np.clip(1 - loose - tight, 0, 1)
    later, plan = 0.0, []
    for _ in range(int(tries)):
        total = good + tight * later
        near = total >= total.max() - NEAR_ENOUGH   # of aims as good as the best, the one nearest the middle
        at = int(np.flatnonzero(near)[np.argmin(np.abs(aims[near] - middle))])
        plan.append(float(aims[at]))
        later = float(total[at])
    aim = plan[-1]
    return Aim(aim, later, float(1 - _bell((most - aim) / deviation)), float(_bell((least - aim) / deviation)),
        tuple(plan[::-1]))


def chance(plan: Any, least: Numbers, most: Numbers, spread: Numbers, doubt: Any = 0.0) -> Any:
    """Chance of a good part with the cuts of a plan (clearances to aim at, first to last), cutting again only where it
    is tight, mm.

    least, most, spread, doubt: numbers or arrays. Raises Refused.
    """
    deviation = _deviation(least, most, spread, doubt)
    total: Any = 0.0
    for aim in reversed(np.atleast_1d(np.asarray(plan, dtype=float))):
        below = _bell((least - aim) / deviation)
        total = np.maximum(_bell((most - aim) / deviation) - below, 0.0) + below * total
    return total if np.ndim(total) else float(total)


def odds_with_more(aim: Numbers, least: float, most: float, spread: float, doubt: float, later: float) -> Any:
    """Chance of a good part where a cut that leaves too little clearance is followed by others, whose own is `later`.

    aim: clearance aimed at, mm, number or array; the rest as for `chance`. Too much clearance cannot be cut back.
    """
    first = odds(aim, least, most, spread, doubt)
    tight = _bell((least - np.asarray(aim, dtype=float)) / _deviation(least, most, spread, doubt))
    return first + tight * later


def hand_for(least: float, most: float, doubt: float, share: float = 0.9) -> float:
    """The spread of a hand, mm, nineteen times in twenty, that makes `share` of the parts good with one cut.

    least, most: wanted clearances, mm; doubt: of the measured size, mm, nineteen times in twenty. Zero where the
    doubt alone is too much. Aimed at the middle, both normal.
    """
    whole = (most - least) / NormalDist().inv_cdf((1 + share) / 2)   # two standard deviations of hand and doubt
    return float(np.sqrt(max(whole**2 - doubt**2, 0.0)))


# ---- the second part to the first -----------------------------------------------------------------

@dataclass(frozen=True)
class Match:
    """Limits for the second part, made to the first as it measured, mm."""

    lower: float
    upper: float

    @property
    def middle(self) -> float:
        return (self.lower + self.upper) / 2


def match(measured: float, what: Any, making: str = "bore", doubt: float = 0.002) -> Match:
    """Sizes between which to make the second part so that it fits the first as measured, mm.

    what: a feel ("slide"), a fit ("H7/g6") or a pair (least, most) of clearances in mm; making: "bore" or "pin";
    doubt: how far the measured size may be wrong (taken off both ends). Raises Refused where nothing is left.
    """
    measured = fits.nominal_size(measured, "the measured size")
    quantity_of(MateDoubt).check(doubt, "the doubt of the measured size")
    if making not in ("bore", "pin"):
        raise Refused(f"The second part is a bore or a pin, not “{making}”.")
    least, most = what if isinstance(what, tuple) else wanted(measured, what)
    if not (np.isfinite(least) and np.isfinite(most) and most - least > 2 * doubt):
        raise Refused(
            f"Between {least * 1000:g} and {most * 1000:g} µm of clearance there is no room for a measurement that may "
            f"be wrong by {doubt * 1000:g} µm. Measure better or allow more clearance.")
    tight, loose = least + doubt, most - doubt
    return Match(measured + tight, measured + loose) if making == "bore" else Match(measured - loose, measured - tight)
