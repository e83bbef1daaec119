"""How a boring bar is held: the table's guess for its size, and your own holder from weights and an indicator.

A holder shifts and tilts under the cut. The table is for a slim shank; a bigger bar sits in a bigger holder on a bigger
post. It stays a guess until it is weighed: dead weights on the bar, an indicator at the same place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from ..core import tables
from ..core.quantity import Numbers, Refused, floats, plain, positive
from ..core.shared import GRAVITY
from .bending import compliance

STEEL = 205e3  # MPa; the bar that the table of holders was put down for
SOFTER = 3.0  # times softer than the softest holder of the table is not believed unseen
RESOLUTION = 0.001  # mm, of an indicator
GRIPPED = 0.5  # share of the tilt at the root that is the gripped part of the bar itself bending


def holders() -> list[str]:
    """Names of the ways to hold a bar in the table."""
    return tables.names("holders", "holder")


class HolderGrowth(NamedTuple):
    """By what factor a holder for another shank is stiffer than the table's."""

    shift: Any
    tilt: Any

    @classmethod
    def of(cls, bar_diameter: Any) -> HolderGrowth:
        """A bigger bar sits in a bigger holder on a bigger post: factors on the table's stiffness and rotation.

        In proportion the one would grow with the shank and the other with its cube; what lies behind the holder grows
        more slowly (bar_rules: holder shank, holder shift grows, holder tilt grows).
        """
        shank, shift, tilt = _growth()
        return cls((bar_diameter / shank) ** shift, (bar_diameter / shank) ** tilt)


@lru_cache(maxsize=1)
def _growth() -> tuple[float, ...]:
    return tuple(
        tables.fact("bar_rules", name=f"holder {name}").value for name in ("shank", "shift grows", "tilt grows"))


def grip_share(soft: Numbers) -> Any:
    """Factor on the tilt at the root for a bar of 1/E = soft, mm²/N, against a steel one.

    Part of that tilt is the gripped end of the bar itself, which bends less where the bar is stiffer.
    """
    return 1 - GRIPPED + GRIPPED * STEEL * np.asarray(positive(soft, "1/E", "mm²/N"))[()]


def holder_springs(holder: str, bar_diameter: float, modulus: float = STEEL) -> dict[str, tables.Fact]:
    """Stiffness, rotation and damping of a holder from the table, with their ranges, for a shank and a bar's modulus.

    N/mm, N mm/rad, share of critical. A guess until it is weighed. Raises Refused for an unknown holder.
    """
    grow = HolderGrowth.of(float(positive(bar_diameter, "bar diameter")))
    factor = {"stiffness": grow.shift, "rotation": grow.tilt / grip_share(1 / positive(modulus, "modulus", "MPa")),
        "damping": 1.0}
    found = {}
    for name, by in factor.items():
        fact = tables.fact("holders", holder=holder, property=name)
        found[name] = replace(fact, value=fact.value * by, low=fact.low * by, high=fact.high * by)
    return found


# ---- your own holder -------------------------------------------------------------------------------


@dataclass(frozen=True)
class HolderFit:
    """A holder's stiffness from weights, with its standard error; rotation is infinite where one place was used."""

    stiffness: float
    stiffness_error: float
    rotation: float
    rotation_error: float
    compliance: float  # of the holder alone at the stickout used most, mm/N
    compliance_error: float
    worst: float  # largest distance of a reading from the fit, mm
    note: str
    softer: float  # compliance over that of the softest holder of the table, for this bar and stickout

    @property
    def believable(self) -> bool:
        """False where no lathe we know of gives way so much: a unit, a diameter or a loose screw wants looking at."""
        return self.softer < SOFTER


def holder_from_weights(readings: Sequence[tuple[float, ...]], bar_diameter: float, modulus: float = 205e3,
        poisson: float = 0.29, stickout: float | None = None, resolution: float = RESOLUTION) -> HolderFit:
    """Holder stiffness from dead weights hung on the bar and an indicator at the same place.

    readings: (mass in kg, indicator in mm) at `stickout`, or (mass, indicator, distance from the holder in mm) with
    two distances or more, which tells shift and tilt apart. The bar's own bending is taken off; the rest is fitted by
    least squares, with an offset for the indicator's zero. The scatter of one reading is taken for no less than the
    indicator's resolution (mm) over √12, however well the readings agree. Raises Refused for readings that
    cannot be used.
    """
    rows = _readings(readings)
    if len(rows) < 3 or any(len(row) not in (2, 3) for row in rows):
        raise Refused(
            f"At least three readings are needed, each a mass and an indicator reading; there were {len(rows)}.")
    if any(row[0] < 0 for row in rows):
        raise Refused("Masses must be zero or more, and every reading a plain number.")
    if any(len(row) == 2 for row in rows) and stickout is None:
        raise Refused("Say how far from the holder the weights hung (the stickout).")
    mass = np.array([row[0] for row in rows])
    moved = np.array([row[1] for row in rows])
    place = np.array([row[2] if len(row) == 3 else float(stickout or 0) for row in rows])
    if (place <= 0).any() or np.ptp(mass) == 0:
        raise Refused("The weights must hang out from the holder, and at least two different masses are needed.")
    force = GRAVITY * mass
    own = np.array([compliance([(x, bar_diameter)], modulus, poisson) for x in place])
    rest = moved - force * own
    tilts = len(np.unique(place)) > 1
    columns = [np.ones_like(force), force] + ([force * place**2] if tilts else [])
    matrix = np.stack(columns, axis=1)
    solution, *_ = np.linalg.lstsq(matrix, rest, rcond=None)
    residual = rest - matrix @ solution
    free = max(len(rest) - matrix.shape[1], 1)
    floor = positive(resolution, "resolution") ** 2 / 12
    covariance = np.linalg.pinv(matrix.T @ matrix) * max(float(residual @ residual) / free, floor)
    shift, shift_error = float(solution[1]), float(np.sqrt(covariance[1, 1]))
    tilt, tilt_error = (float(solution[2]), float(np.sqrt(covariance[2, 2]))) if tilts else (0.0, 0.0)
    far = float(place.max())
    row_far = np.array([0.0, 1.0] + ([far**2] if tilts else []))
    alone, alone_error = float(row_far @ solution), float(np.sqrt(row_far @ covariance @ row_far))
    if alone <= 0:
        raise Refused(
            "With the bar's own bending taken off, nothing is left for the holder: the readings are smaller than "
            f"the bar alone would deflect ({plain(1e3 * float(own.max()))} µm). Check the bar's diameter, the "
            "distance and the indicator.")
    softer = alone * _softest(bar_diameter, modulus, far)
    if shift <= 0 or tilt < 0:  # the readings cannot tell the two apart: give one spring for this stickout
        note = f"The readings do not tell shift from tilt; this is one spring that fits at {far:g} mm out."
        return HolderFit(1 / alone, alone_error / alone**2, np.inf, 0.0, alone, alone_error,
            float(np.abs(residual).max()), note, softer)
    note = ("Shift and tilt told apart by two distances; it holds at any stickout." if tilts
        else f"With one distance alone, shift and tilt cannot be told apart: the value is good near {far:g} mm out.")
    return HolderFit(1 / shift, shift_error / shift**2, 1 / tilt if tilt else np.inf,
        tilt_error / tilt**2 if tilt else 0.0, alone, alone_error, float(np.abs(residual).max()), note, softer)


def _readings(readings: Any) -> list[tuple[float, ...]]:
    """Rows of numbers. Raises Refused with what is wrong."""
    if not isinstance(readings, Sequence) or isinstance(readings, (str, bytes)):
        raise Refused("The readings must be a list of pairs: a mass in kg and an indicator reading in mm.")
    try:
        rows = [tuple(float(floats(v, "a reading")) for v in row) for row in readings]
    except TypeError:
        raise Refused("Each reading is a mass in kg and an indicator reading in mm, such as (2, 0.013).") from None
    if any(not np.isfinite(row).all() for row in rows):
        raise Refused("Every reading must be a finite number.")
    return rows


def _softest(bar_diameter: float, modulus: float, stickout: float) -> float:
    """Stiffness at the tip, N/mm, of the softest holder in the table for this bar."""
    found = [holder_springs(name, bar_diameter, modulus) for name in holders()]
    return 1 / max(1 / one["stiffness"].low + stickout**2 / one["rotation"].low for one in found)


def softer_than_known(
    stiffness: float, rotation: float | None, bar_diameter: float, stickout: float, modulus: float = STEEL
) -> float:
    """Compliance of a measured holder over that of the table's softest, for this bar and stickout.

    stiffness N/mm; rotation N mm/rad, None where it was measured as one spring. Above SOFTER it is not to be believed
    without another look. Raises Refused for values that cannot be.
    """
    give = 1 / positive(stiffness, "holder stiffness", "N/mm")
    if rotation is not None:
        give += positive(stickout, "stickout") ** 2 / positive(rotation, "holder rotation", "N mm/rad")
    return float(give * _softest(positive(bar_diameter, "bar diameter"), modulus, stickout))
