"""Measure the stress in your own bar: bore out a scrap piece, or slit a ring.

Boring out (Sachs): as a scrap piece is bored larger and larger, its outside and
its length move; from the movements follows the stress that was there. Slitting:
a thin ring springs open by as much as the stress around it bends it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from ..core.formula import formula
from ..core.quantity import Numbers, Refused, finite, positive, quantity_of
from ..core.shared import Modulus, Poisson, RingWall
from .quantities import (
    AxialReading,
    AxialSlope,
    AxialStress,
    BoredShare,
    HoopReading,
    HoopSlope,
    HoopStress,
    RadialStress,
    RingAfter,
    RingBefore,
    SlitOpening,
)

_SACHS = ("Sachs, Der Nachweis innerer Spannungen in Stangen und Rohren, Zeitschrift für Metallkunde 19 "
    "(1927) (from memory; re-derived and checked)")

# ---- boring out: from movement back to stress ---------------------------------------------------------


@formula(source=_SACHS, holds="bored from inside, readings on the outside; long piece", basis="computed")
def sachs_axial(slope: AxialSlope, reading: AxialReading, bored: BoredShare, modulus: Modulus,
        poisson: Poisson) -> AxialStress:
    """Axial stress that was where the bore now ends."""
    return modulus / (1 - poisson**2) * ((1 - bored) * slope - reading)


@formula(source=_SACHS, holds="bored from inside, readings on the outside; long piece", basis="computed")
def sachs_hoop(slope: HoopSlope, reading: HoopReading, bored: BoredShare, modulus: Modulus,
        poisson: Poisson) -> HoopStress:
    """Hoop stress that was where the bore now ends."""
    return modulus / (1 - poisson**2) * ((1 - bored) * slope - (1 + bored) / (2 * bored) * reading)


@formula(source=_SACHS, holds="bored from inside, readings on the outside; long piece", basis="computed")
def sachs_radial(reading: HoopReading, bored: BoredShare, modulus: Modulus, poisson: Poisson) -> RadialStress:
    """Radial stress that was where the bore now ends."""
    return modulus / (1 - poisson**2) * (1 - bored) / (2 * bored) * reading


@dataclass(frozen=True)
class Profile:
    """Stress over the radius, found by boring out; errors are one standard deviation, MPa."""

    radius: np.ndarray
    axial: np.ndarray
    hoop: np.ndarray
    radial: np.ndarray
    axial_error: np.ndarray
    hoop_error: np.ndarray
    skin_axial: float        # carried on from the last bore to the skin
    skin_hoop: float
    skin_axial_error: float
    skin_hoop_error: float
    misfit: float            # scatter of the readings about the curve, in units of the reading error
    carried_radius: np.ndarray   # from the last bore to the skin, where nothing was measured
    carried_axial: np.ndarray
    carried_hoop: np.ndarray


def sachs(outside: float, bores: Numbers, outside_changes: Numbers, length_changes: Numbers, length: float,
        modulus: float = 205e3, poisson: float = 0.29, reading_error: float = 0.001, length_error: float | None = None,
        terms: int = 1, first_bore: float = 0.0, places: int = 41) -> Profile:
    """Stress profile from readings taken while a scrap piece is bored out (Sachs).

    outside: diameter; bores: diameters bored to, growing; outside_changes and length_changes: change of the
    outside diameter and of the length (both mm) since before boring; length: of the piece. reading_error:
    standard deviation of one reading, mm (of the length: length_error). terms: how many powers of the
    bored area the smooth curve has, 1 (a plain parabola of stress) to 3; first_bore: hole it began with.
    Every change leans on the same first reading; the errors count that. Raises Refused.
    """
    outside, length = positive(outside, "the outside diameter"), positive(length, "the length")
    modulus = positive(modulus, "the modulus", "MPa")
    poisson = quantity_of(Poisson).check(finite(poisson, "Poisson's ratio"), "Poisson's ratio")
    spread_d = positive(reading_error, "the error of a reading")
    spread_l = positive(spread_d if length_error is None else length_error, "the error of the length")
    first_bore = positive(first_bore, "the first bore", zero=True)
    bore = np.atleast_1d(positive(bores, "a bore"))
    hoop_strain = np.atleast_1d(finite(outside_changes, "a change of the outside")) / outside
    axial_strain = np.atleast_1d(finite(length_changes, "a change of length")) / length
    if not bore.shape == hoop_strain.shape == axial_strain.shape:
        raise Refused(f"There are {bore.size} bores, {hoop_strain.size} changes of diameter and "
            f"{axial_strain.size} of length. Give one of each for every bore.")
    if np.any(np.diff(bore) <= 0) or bore[0] <= first_bore or bore[-1] >= outside:
        raise Refused("The bores must grow from row to row and stay inside the outside diameter. "
            "Check the first column.")
    if terms not in (1, 2, 3) or bore.size < terms:
        raise Refused(f"A curve of {terms} terms needs at least {terms} bores; it may have 1, 2 or 3 terms. "
            "Use fewer terms.")
    start = (first_bore / outside) ** 2
    share = (bore / outside) ** 2
    powers = np.arange(1, terms + 1)
    design = (share - start)[:, None] ** powers
    weight = np.linalg.inv(np.eye(bore.size) + 1.0)  # changes share the error of the first reading
    normal = np.linalg.inv(design.T @ weight @ design)
    fit_t, fit_z = (normal @ design.T @ weight @ strain for strain in (hoop_strain, axial_strain))
    left = [(strain - design @ fit) / spread for strain, fit, spread in
        ((hoop_strain, fit_t, spread_d / outside), (axial_strain, fit_z, spread_l / length))]
    free = 2 * (bore.size - terms)
    misfit = float(np.sqrt(sum(part @ weight @ part for part in left) / free)) if free else 0.0
    swell = max(1.0, misfit) ** 2
    cov_t, cov_z = swell * (spread_d / outside) ** 2 * normal, swell * (spread_l / length) ** 2 * normal

    def at(f: np.ndarray) -> tuple[list[np.ndarray], list[np.ndarray]]:
        body, slope = (f - start)[:, None] ** powers, powers * (f - start)[:, None] ** (powers - 1)
        f = f[:, None]
        rows = [make(modulus=modulus, poisson=poisson, bored=f, **given) for make,
            given in ((sachs_axial, {"slope": slope, "reading": body}), (sachs_hoop, {"slope": slope, "reading": body}),
            (sachs_radial, {"reading": body}))]
        lam, theta = fit_z + poisson * fit_t, fit_t + poisson * fit_z
        cov_lam, cov_theta = cov_z + poisson**2 * cov_t, cov_t + poisson**2 * cov_z
        values = [row @ fit for row, fit in zip(rows, (lam, theta, theta), strict=True)]
        errors = [np.sqrt(np.einsum("ij,jk,ik->i", row, cov, row)) for row,
            cov in zip(rows, (cov_lam, cov_theta, cov_theta), strict=True)]
        return values, errors

    f = np.linspace(max(start, 1e-9), share[-1], places)
    (axial, hoop, radial), (axial_error, hoop_error, _) = at(f)
    rest = np.linspace(share[-1], 1, 15)
    carried, carried_error = at(rest)
    return Profile(outside / 2 * np.sqrt(f), axial, hoop, radial, axial_error, hoop_error,
        float(carried[0][-1]), float(carried[1][-1]), float(carried_error[0][-1]), float(carried_error[1][-1]), misfit,
        outside / 2 * np.sqrt(rest), carried[0], carried[1])


# ---- slitting a ring: the kitchen-table test ---------------------------------------------------------


@formula(source="Hatfield and Thirkell's split-tube formula as used in ASTM E1928, with mean diameters "
    "(scope read; formula from memory and re-derived as the bending of a curved strip)",
    holds="wall under about a tenth of the diameter; stress in a straight line across the wall; "
    "ring many walls long (for one as short as its wall put ν = 0)", basis="computed")
def slit_ring_stress(wall: RingWall, before: RingBefore, after: RingAfter, modulus: Modulus,
        poisson: Poisson) -> HoopStress:
    """Hoop stress that was at the ring's outside, tension where the ring springs open."""
    return modulus * wall / (1 - poisson**2) * (1 / before - 1 / after)


@formula(source="a ring that stays round: its circumference grows by the opening",
    holds="opening small beside the ring", basis="computed")
def opened_diameter(before: RingBefore, opening: SlitOpening) -> RingAfter:
    """Mean diameter of a slit ring from how much its slit has opened."""
    return before + opening / np.pi


@dataclass(frozen=True)
class SlitRing:
    """Hoop bending stress at the outside of a slit ring, MPa: as a wide ring and as a narrow one."""

    wide: Any
    narrow: Any


def slit_ring(outside: Numbers, wall: Numbers, opening: Numbers, modulus: Any = 205e3, poisson: Any = 0.29) -> SlitRing:
    """Hoop stress at the skin of a ring from how far it springs open when slit.

    outside: diameter; wall; opening: slit width now less the width sawn out, negative if it closes; all mm.
    Raises Refused where the wall is over a fifth of the diameter: too thick for the formula.
    """
    outside, wall = positive(outside, "the outside diameter"), positive(wall, "the wall")
    modulus = positive(modulus, "the modulus", "MPa")
    opening = finite(opening, "the opening")
    poisson = quantity_of(Poisson).check(finite(poisson, "Poisson's ratio"), "Poisson's ratio")
    if np.any(np.asarray(wall) > np.asarray(outside) / 5):
        raise Refused("The wall is over a fifth of the diameter; the ring formula does not hold there. "
            "Bore the ring thinner.")
    before = outside - wall
    if np.any(np.abs(opening) > np.asarray(before)):
        raise Refused("The slit has opened by more than the ring's own diameter. Check the opening.")
    after = opened_diameter(before, opening)
    return SlitRing(slit_ring_stress(wall, before, after, modulus, poisson),
        slit_ring_stress(wall, before, after, modulus, 0.0 * np.asarray(poisson)))
