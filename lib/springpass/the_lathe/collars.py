"""Is it my lathe? Two collars turned at one setting, and what the angle they show does to a part.

The work is held in the chuck alone. Where spindle axis and carriage path are not parallel, seen from above, the
diameter changes evenly along the work. A bar that bends leaves its free end larger too, so that is taken off first.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import cutting, workholding
from ..core.formula import formula
from ..core.quantity import Refused, finite, floats, positive
from ..core.spread import Uncertain, sample
from ..measuring.coverage_factors import coverage
from .quantities import (
    BentAway,
    CollarFar,
    CollarNear,
    CollarSpan,
    EndDifference,
    FixingSpan,
    FootLift,
    FootSpan,
    LatheAngle,
    LatheTaper,
    PartLength,
    SideMove,
    TipOverFeet,
)

PARALLEL = "small angles; spindle axis and carriage path straight"

# ---- one formula at a time ------------------------------------------------------------------------


@formula(source="two diameters over their distance, less what bending leaves", holds=PARALLEL, basis="computed")
def collar_taper(near: CollarNear, far: CollarFar, bent: BentAway, span: CollarSpan) -> LatheTaper:
    """How much the diameter grows per length because of the lathe's own angle."""
    return (far - near - bent) / span


@formula(source="the diameter shows the angle twice", holds=PARALLEL, basis="computed")
def lathe_angle(taper: LatheTaper) -> LatheAngle:
    """The angle between spindle axis and carriage path behind a taper."""
    return taper / 2


@formula(source="the same angle over the length of the part", holds="held in the chuck, no centre; " + PARALLEL,
    basis="computed")
def end_difference(taper: LatheTaper, length: PartLength) -> EndDifference:
    """How much larger the free end of a part comes out."""
    return taper * length


@formula(source="lever: the angle over the distance between the fixings", holds=PARALLEL, basis="computed")
def headstock_move(taper: LatheTaper, fixings: FixingSpan) -> SideMove:
    """How far the front end of the headstock is to be swung towards you, its back end held."""
    return taper / 2 * fixings


@formula(source="twist of a bed: the tip leans over by its height times the twist", holds="a bed that twists evenly "
    "between its feet, front and back foot fixed to it", basis="computed")
def foot_lift(taper: LatheTaper, fixings: FixingSpan, foot_span: FootSpan, tip_over_feet: TipOverFeet) -> FootLift:
    """How far to raise the front foot at the tailstock end to take a taper out by twisting the bed."""
    return taper / 2 * fixings * foot_span / tip_over_feet


# ---- readings in, angle out -----------------------------------------------------------------------


@dataclass(frozen=True)
class Found:
    """Something measured: value, standard uncertainty and degrees of freedom; in the unit of what was asked."""

    value: float
    uncertainty: float
    dof: float

    def reach(self, share: float = 0.9) -> float:
        """How far to either side of the value it may lie, with that chance (Student's t)."""
        return self.uncertainty * coverage(share, self.dof)

    @property
    def low(self) -> float:
        return self.value - self.reach()

    @property
    def high(self) -> float:
        return self.value + self.reach()

    @property
    def kept(self) -> float:
        """The error that the shop file keeps: half of what holds nineteen times in twenty, few readings allowed for."""
        return self.reach(0.95) / 2


@dataclass(frozen=True)
class Collars:
    """What two collars say, mm: means, the far one's surplus and how much of it bending explains; taper and angle."""

    near: float
    far: float
    bent: float           # far collar larger by bending alone
    span: float
    scatter: float        # of one reading, never below what the gauge's step hides
    hidden: bool          # the gauge's step decides, not the scatter
    taper: Found          # mm of diameter per mm
    from_reading: float   # part of the taper's uncertainty that comes from the readings
    from_bending: float   # and from how well the bending is known

    @property
    def surplus(self) -> float:
        """Far less near diameter, as measured."""
        return self.far - self.near

    @property
    def seen(self) -> bool:
        """Is the taper larger than its own uncertainty?"""
        return self.taper.low > 0 or self.taper.high < 0


def _row(readings: Any, name: str, least: int) -> np.ndarray:
    row = np.atleast_1d(floats(readings, name)).ravel()
    if len(row) < least:
        raise Refused(f"{name} need {least} readings or more; there {'was' if len(row) == 1 else 'were'} {len(row)}.")
    return np.asarray(finite(row, name, "mm"))


def pooled(rows: list[np.ndarray], resolution: float) -> tuple[float, float, bool]:
    """Scatter of one reading over several places, its degrees of freedom, and whether the gauge's step hides it.

    Each place has its own mean; no reading counts for better than the step over √12.
    """
    free = sum(len(row) - 1 for row in rows)
    scatter = float(np.sqrt(sum(np.sum((row - row.mean())**2) for row in rows) / free)) if free else 0.0
    floor = float(positive(resolution, "the gauge's step", zero=True)) / np.sqrt(12)
    # where the step decides, its even spread is known as it stands
    return max(scatter, floor), float(free) if scatter > floor else np.inf, scatter <= floor


def two_collars(near: Any, far: Any, span: float, bent: float = 0.0, bent_error: float = 0.0,
        resolution: float = 0.001) -> Collars:
    """Taper of the lathe from repeated diameters of two collars, mm.

    near, far: two readings or more of each; span: between the middles of the collars; bent: what bending alone leaves
    on the far collar more than on the near one, and its standard uncertainty; resolution: step of the gauge. The
    error of the gauge's scale is the same at both ends and drops out. Raises Refused.
    """
    one, two = _row(near, "The near collar's diameters", 2), _row(far, "The far collar's diameters", 2)
    for row in (one, two):
        positive(row, "diameter of a collar")
    if np.ptp(np.concatenate([one, two])) > 0.1 * one.mean():
        raise Refused("The readings differ by more than a tenth of the diameter. Both collars are turned at one "
            "setting of the dial: look for a slipped digit.")
    span = float(positive(span, "the distance between the collars"))
    bent, bent_error = float(finite(bent, "the bending", "mm")), float(positive(bent_error, "its error", zero=True))
    scatter, dof, hidden = pooled([one, two], resolution)
    reading = scatter * np.sqrt(1 / len(one) + 1 / len(two)) / span
    bending = bent_error / span
    whole = float(np.hypot(reading, bending))
    # Welch and Satterthwaite: only the readings' part has few degrees of freedom
    together = dof * (whole / reading)**4 if reading > 0 else np.inf
    value = float(collar_taper(one.mean(), two.mean(), bent, span))
    return Collars(float(one.mean()), float(two.mean()), bent, span, scatter, hidden,
        Found(value, whole, float(together)), float(reading), bending)


CHUCK, CENTRES = "in the chuck", "between centres"


def collar_bending(near_place: float, far_place: float, length: float, diameter: float, infeed: float, feed: float,
        nose_radius: float, material: str, hold: str, modulus: Uncertain, springs: dict[str, Uncertain],
        force: Uncertain) -> tuple[float, float]:
    """What bending alone leaves on the far collar more than on the near one, mm, and its standard uncertainty.

    Places from the jaws (or the headstock centre), length of the bar and its diameter, mm; hold: CHUCK or CENTRES;
    springs: `spindle_stiffness`, `spindle_rotation`, `centre_stiffness`, N/mm and N mm/rad; force: the true thrust over
    the tabulated one. Raises Refused.
    """
    if hold not in (CHUCK, CENTRES):
        raise Refused(f"The bar is held {CHUCK} or {CENTRES}, not “{hold}”.")
    if not 0 < near_place < far_place:
        raise Refused("The near collar must lie between the headstock and the far one. Swap them, or move them apart.")
    if far_place > length:
        raise Refused(f"The far collar lies {far_place:g} mm out, beyond the end of the bar at {length:g} mm.")
    known: dict[str, Any] = {"modulus": modulus, "force_factor": force, **springs}
    drawn = sample(**known)
    errors = workholding.turned_error([(length, diameter)], infeed, feed, nose_radius, cutting.kienzle(material),
        hold="chuck" if hold == CHUCK else CENTRES, position=np.array([near_place, far_place]), **drawn).error
    apart = errors[:, 1] - errors[:, 0]
    return float(apart.mean()), float(apart.std())
