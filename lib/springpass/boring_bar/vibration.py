"""How a boring bar rings, and the cut at which it begins to chatter.

The bar is a stepped beam on a yielding holder; its first mode and the cut make one
swinging mass. The cut regenerates: the chip's back is the wave that the last revolution left.
Only the radial motion changes the chip to first order, so only it counts here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from .. import cutting
from ..core.formula import formula
from ..core.quantity import Numbers, Refused, positive
from ..core.shared import BarDiameter, CuttingSpeed, Density, Modulus, Ratio, Stiffness
from .quantities import (
    CriticalStiffness,
    Damping,
    DampingInTheCut,
    EdgeLength,
    Frequency,
    Overlap,
    RubbingConstant,
    Stickout,
)

TONNES = 1e-12   # kg/m³ in tonnes per mm³, so that N, mm, s fit together
Segments = Sequence[tuple[Any, Any]]

# ---- one formula at a time ------------------------------------------------------------------------


@formula(source="Timoshenko, Vibration Problems in Engineering, cantilever (from memory)",
    holds="plain round bar, rigid holder, nothing on its end, some 5 diameters and more")
def first_frequency(stickout: Stickout, bar: BarDiameter, modulus: Modulus, density: Density) -> Frequency:
    """First natural frequency of a plain bar; the first root of 1 + cos β cosh β = 0 is 1.8751."""
    return 1.8751040687**2 * bar / (8 * np.pi * stickout**2) * np.sqrt(modulus / (1e-12 * density))


@formula(
    source="Tlusty, stability of a single swinging mass (from memory; the minimum over the frequency worked out here)",
    holds="one mode, whole chip regenerating, no process damping", basis="computed")
def limit_of_stability(stiffness: Stiffness, damping: Damping) -> CriticalStiffness:
    """Cutting stiffness at which chatter begins when the last revolution left the whole back of the chip."""
    return 2 * stiffness * damping * (1 + damping)


@formula(source="stability of a single swinging mass with part of the cut regenerating; least root over the frequency, "
    "worked out here", holds="one mode, overlap above zero, no process damping", basis="computed")
def worst_offset(damping: Damping, overlap: Overlap) -> Ratio:
    """Square of the frequency ratio less one at the least stable frequency."""
    loss = 4 * damping**2 * (1 - overlap**2)
    return (loss + np.sqrt(loss**2 + 16 * overlap**2 * damping**2 * (1 + damping**2 * (1 - overlap**2)))) / (
        2 * overlap**2)


@formula(source="stability of a single swinging mass with part of the cut regenerating; least root over the frequency, "
    "worked out here", holds="one mode, overlap above zero, no process damping", basis="computed")
def limit_with_overlap(stiffness: Stiffness, damping: Damping, overlap: Overlap) -> CriticalStiffness:
    """Cutting stiffness at which chatter begins when a share `overlap` of it regenerates."""
    x = worst_offset(damping, overlap)
    return stiffness * (x**2 + 4 * damping**2 * (1 + x)) / (x * (1 + overlap**2) - 2 * damping**2 * (1 - overlap**2))


@formula(source="Altintas, Eynian, Onozuka, CIRP Annals 57 (2008) (from memory)",
    holds="flank rubbing on the wave, small waves, flank wear as for the constant")
def damping_with_rubbing(damping: Damping, rubbing: RubbingConstant, contact: EdgeLength, frequency: Frequency,
        stiffness: Stiffness, speed: CuttingSpeed) -> DampingInTheCut:
    """Damping share when the flank rubs on the wave it leaves; the slower the cut, the more."""
    return damping + 60 * np.pi * rubbing * contact * frequency / (1000 * stiffness * speed)


# ---- the bar's frequency ---------------------------------------------------------------------------


def check_segments(segments: Segments) -> list[tuple[Any, Any]]:
    """(length, diameter) pairs from the holder outwards, each above zero. Raises Refused."""
    if not len(segments):
        raise Refused("A bar is a list of (length, diameter) pairs from the holder outwards, such as [(40, 8)].")
    return [(positive(length, "length of bar"), positive(diameter, "bar diameter")) for length, diameter in segments]


def natural_frequency(segments: Segments, modulus: float, density: float, tip_mass: float = 0.0, *,
        holder_stiffness: float = np.inf, holder_rotation: float = np.inf, poisson: float | None = None) -> float:
    """First bending frequency of a stepped round bar, Hz.

    segments: (length, diameter) mm from the holder outwards; modulus MPa, density kg/m³, tip_mass kg;
    holder N/mm and N mm/rad, rigid where left out. With poisson given, shear and rotary inertia count
    too (Timoshenko), which matters below some 5 diameters. Beam finite elements (Przemieniecki, Theory of
    Matrix Structural Analysis, from memory). Raises Refused for values that cannot be.
    """
    pieces = tuple((float(a), float(b)) for a, b in check_segments(segments))
    return _frequency(pieces, positive(modulus, "modulus", "MPa"), positive(density, "density", "kg/m³"),
        positive(tip_mass, "tip mass", "kg", zero=True),
        positive(holder_stiffness, "holder stiffness", "N/mm", infinite=True),
        positive(holder_rotation, "holder rotation", "N mm/rad", infinite=True), poisson)


@lru_cache(maxsize=256)
def _frequency(pieces: tuple[tuple[float, float], ...], modulus: float, density: float, tip_mass: float, shift: float,
        tilt: float, poisson: float | None) -> float:
    each = 8
    size = 2 * (each * len(pieces) + 1)
    stiff, mass = np.zeros((size, size)), np.zeros((size, size))
    at = 0
    for length, diameter in pieces:
        inertia, area, el = np.pi * diameter**4 / 64, np.pi * diameter**2 / 4, length / each
        k, m = _element(modulus, poisson, inertia, area, el, density * TONNES)
        for _ in range(each):
            stiff[at:at + 4, at:at + 4] += k
            mass[at:at + 4, at:at + 4] += m
            at += 2
    mass[-2, -2] += tip_mass * 1e-3
    keep = np.ones(size, bool)
    for place, spring in ((0, shift), (1, tilt)):
        if np.isinf(spring):
            keep[place] = False
        else:
            stiff[place, place] += spring
    stiff, mass = stiff[np.ix_(keep, keep)], mass[np.ix_(keep, keep)]
    half = np.linalg.inv(np.linalg.cholesky(stiff))
    return float(1 / np.sqrt(np.linalg.eigvalsh(half @ mass @ half.T)[-1]) / (2 * np.pi))


def _element(
    modulus: float, poisson: float | None, inertia: float, area: float, el: float, rho: float
) -> tuple[Any, Any]:
    """Stiffness and consistent mass of one beam element; with poisson, Timoshenko's."""
    p = 0.0
    if poisson is not None:
        kappa = 6 * (1 + poisson) / (7 + 6 * poisson)
        p = 24 * (1 + poisson) * inertia / (kappa * area * el**2)   # 12 E I / (kappa G A el²)
    k = modulus * inertia / (el**3 * (1 + p)) * np.array([[12, 6 * el, -12, 6 * el],
        [6 * el, (4 + p) * el**2, -6 * el, (2 - p) * el**2], [-12, -6 * el, 12, -6 * el],
        [6 * el, (2 - p) * el**2, -6 * el, (4 + p) * el**2]])
    a, b = 13 / 35 + 7 * p / 10 + p**2 / 3, (11 / 210 + 11 * p / 120 + p**2 / 24) * el
    c, d = 9 / 70 + 3 * p / 10 + p**2 / 6, (13 / 420 + 3 * p / 40 + p**2 / 24) * el
    e, f = (1 / 105 + p / 60 + p**2 / 120) * el**2, (1 / 140 + p / 60 + p**2 / 120) * el**2
    m = rho * area * el / (1 + p) ** 2 * np.array([[a, b, c, -d], [b, e, d, -f], [c, d, a, -b], [-d, -f, -b, e]])
    if poisson is not None:
        g, h = 6 / 5, (1 / 10 - p / 2) * el
        i, j = (2 / 15 + p / 6 + p**2 / 3) * el**2, (1 / 30 + p / 6 - p**2 / 6) * el**2
        m = m + rho * inertia / (el * (1 + p) ** 2) * np.array(
            [[g, h, -g, h], [h, i, -h, -j], [-g, -h, g, -h], [h, -j, -h, i]])
    return k, m


# ---- chatter ---------------------------------------------------------------------------------------

MODAL = 1.0302   # stiffness of a cantilever's first mode over its static stiffness at the tip


@dataclass(frozen=True)
class CutSlopes:
    """How fast thrust grows with depth, tabulated over depth for one nose, feed and material."""

    depth: np.ndarray
    whole: np.ndarray
    overlap: np.ndarray
    contact: np.ndarray

    def at(self, depth: Any) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Stiffness N/mm, overlap and edge in contact mm at a depth (array)."""
        where = np.log(np.clip(depth, self.depth[0], self.depth[-1]))
        grid = np.log(self.depth)
        return (np.exp(np.interp(where, grid, np.log(self.whole))), np.interp(where, grid, self.overlap),
            np.exp(np.interp(where, grid, np.log(self.contact))))


@lru_cache(maxsize=64)
def cut_slopes(feed: float, nose_radius: float, kn: float, mn: float, entering_angle: float = 90.0,
        least_chip: float = 0.0, shallowest: float = 2e-4, deepest: float = 3.0) -> CutSlopes:
    """The slopes over 36 depths from `shallowest` to `deepest`, mm."""
    depth = np.geomspace(shallowest, deepest, 36)
    slopes = cutting.cutting_stiffness(depth, feed, nose_radius, entering_angle, kn, mn, least_chip)
    return CutSlopes(depth, np.maximum(slopes.whole, 1e-6), np.maximum(slopes.overlap, 1e-3), slopes.contact)


def is_stable(depth: Numbers, slopes: CutSlopes, stiffness: Numbers, damping: Numbers, *, force_factor: Any = 1.0,
        frequency: Any = 1000.0, speed: Any = 0.0, rubbing: Any = 0.0) -> Any:
    """True where the cut stays below the limit of stability. mm, N/mm, Hz, m/min; arrays broadcast."""
    whole, overlap, contact = slopes.at(depth)
    share = _with_rubbing(damping, rubbing, contact, frequency, stiffness, speed)
    return whole * force_factor < limit_with_overlap(stiffness, share, overlap)


def _with_rubbing(damping: Any, rubbing: Any, contact: Any, frequency: Any, stiffness: Any, speed: Any) -> Any:
    if np.all(np.asarray(rubbing) == 0) or np.all(np.asarray(speed) == 0):
        return damping
    return damping_with_rubbing(damping, rubbing, contact, frequency, stiffness, speed)


def chatter_depth(feed: float, nose_radius: float, stiffness: Numbers, damping: Numbers, kn: float = 600.0,
        mn: float = 0.4, *, entering_angle: float = 90.0, force_factor: Any = 1.0, frequency: Any = 1000.0,
        speed: Any = 0.0, rubbing: Any = 0.0, least_chip: float = 0.0, deepest: float = 3.0) -> Any:
    """Depth of cut at which chatter begins, mm; infinite where it does not up to `deepest`.

    stiffness of the mode N/mm, damping as share of critical; kn, mn: see cutting.kienzle. speed m/min and
    rubbing N/mm add process damping; both zero leave it out; least_chip as in cutting_stiffness. Arrays of samples
    broadcast.
    Raises Refused for values that cannot be.
    """
    for value, name, unit in ((stiffness, "stiffness", "N/mm"), (damping, "damping", "of critical"),
            (force_factor, "force factor", "")):
        positive(value, name, unit)
    slopes = cut_slopes(float(feed), float(nose_radius), float(kn), float(mn), float(entering_angle), float(least_chip),
        deepest=deepest)
    k, zeta, factor, f, v, c = (np.atleast_1d(np.asarray(x, float))[..., None] for x in
        (stiffness, damping, force_factor, frequency, speed, rubbing))
    share = _with_rubbing(zeta, c, slopes.contact, f, k, np.maximum(v, 1e-9) if np.any(v) else v)
    excess = np.log(slopes.whole * factor) - np.log(limit_with_overlap(k, share, slopes.overlap))
    over = excess >= 0
    first = over.argmax(-1)
    before = np.maximum(first - 1, 0)
    rows = np.indices(first.shape)
    lo, hi = excess[(*rows, before)], excess[(*rows, first)]
    grid = np.log(slopes.depth)
    share_of_step = np.where(hi > lo, -lo / np.where(hi > lo, hi - lo, 1), 0.0)
    depth = np.exp(grid[before] + np.clip(share_of_step, 0, 1) * (grid[first] - grid[before]))
    depth = np.where(over.any(-1), depth, np.inf)
    scalar = all(np.ndim(x) == 0 for x in (stiffness, damping, force_factor, frequency, speed, rubbing))
    return float(depth[0]) if scalar else depth


@dataclass(frozen=True)
class Lobes:
    """Limit of stability against spindle speed: one row a lobe, nan where it has no part."""

    speed: np.ndarray    # 1/min
    limit: np.ndarray    # critical cutting stiffness, N/mm


@dataclass(frozen=True)
class Tuned:
    """What tuning the spindle speed can win, near one speed."""

    lobe: int      # whole waves left in one revolution
    gain: float    # deepest stable cut near that speed over the one that is stable at every speed


NEAR = 0.6     # of a lobe's width either way, in which the best speed is looked for


def tuning(stiffness: float, damping: float, frequency: float, spindle: float) -> Tuned:
    """How much deeper than the everywhere stable cut the best spindle speed near `spindle` (1/min) allows.

    stiffness: modal, N/mm; damping: of critical; frequency: Hz. One mode, all lobes that fit (`limit_at_speed`).
    Raises Refused for values that cannot be.
    """
    lobe = max(round(60 * frequency / positive(spindle, "spindle speed", "1/min")), 1)
    near = spindle * (1 + np.linspace(-NEAR, NEAR, 61) / lobe)
    best = float(np.max(limit_at_speed(stiffness, damping, frequency, near)))
    return Tuned(lobe, best / float(limit_of_stability(stiffness, damping)))


def lobes(stiffness: float, damping: float, frequency: float, lobe_numbers: Sequence[int], points: int = 200) -> Lobes:
    """The lobes of a single swinging mass: spindle speed (1/min) and critical cutting stiffness (N/mm), a row a lobe.

    Source: Tlusty, Altintas, Manufacturing Automation, orthogonal chatter (from memory); ε = 3π + 2 atan2(Im G, Re G).
    Raises Refused for values that cannot be.
    """
    k, zeta = positive(stiffness, "stiffness", "N/mm"), positive(damping, "damping", "of critical")
    fn = positive(frequency, "frequency", "Hz")
    r = np.sqrt(1 + np.geomspace(2 * zeta * 0.02, 6.0, points))
    r = np.unique(np.append(r, np.sqrt(1 + 2 * zeta)))
    # G k = 1/(1 − r² + 2iζr); chatter only where its real part is below zero, that is r > 1
    below = (1 - r**2) ** 2 + (2 * zeta * r) ** 2
    real, imaginary = (1 - r**2) / below, -2 * zeta * r / below
    limit = -k / (2 * real)
    phase = 3 * np.pi + 2 * np.arctan2(imaginary, real)
    turns = np.asarray(lobe_numbers, float)[:, None] + phase[None, :] / (2 * np.pi)
    with np.errstate(divide="ignore"):
        speed = np.where(turns > 0, 60 * fn * r[None, :] / turns, np.nan)
    return Lobes(speed, np.broadcast_to(limit, speed.shape))


# ---- one swinging mass -----------------------------------------------------------------------------------

LAND, LAND_RUBS = 0.08, 611.0   # mm of flank wear, and its constant for medium-carbon steel, N/mm
FULL = 2.3311223704144           # ωw/v at which (1 − cos)/x, the rubbing of a land of width w, is greatest


def modal_factor(head: Numbers) -> Any:
    """Stiffness of a bar's first mode over its static stiffness at the tip; head: its mass over the bar's that swings.

    1.030 for a bare bar, nearly 1 with a heavy head, where the bar bends as under a dead load. Fitted to the beam's
    exact modes; good to 0.001 for heads up to five times the bar's.
    """
    return (1 + (MODAL - 1) / (1 + np.asarray(positive(head, "mass of the head over the bar's", "", zero=True)))**2)[()]


def damping_on_short_waves(damping: Numbers, rubbing: Numbers, land: Numbers, contact: Numbers, omega: Numbers,
        stiffness: Numbers, speed: Numbers) -> Any:
    """Damping share in the cut when the flank rubs, waves shorter than its land included.

    As `damping_with_rubbing` where the wave is long beside the land (omega·land/v small). A land of width w presses on
    the surface it has just left: the part in step with the velocity is (1 − cos(ωw/v))/(ωw/v), which does not grow
    beyond ωw/v = 2.33; there it is held. omega 1/s; land mm; speed m/min; arrays broadcast.
    """
    v = np.asarray(speed) * (1000 / 60)
    x = omega * land / v
    y = np.minimum(x, FULL)
    part = 2 * (1 - np.cos(y)) / np.maximum(x * y, 1e-12)
    return damping + rubbing * contact * omega / (2 * stiffness * v) * part


def limit_at_speed(stiffness: float, damping: float, frequency: float, spindle_speed: Numbers) -> Any:
    """Critical cutting stiffness at a spindle speed, N/mm: the least over all lobes that fit, none left out.

    stiffness N/mm, damping as share of critical, frequency Hz, spindle_speed rpm (many broadcast). At every frequency
    above the natural one the waves on a revolution, less the phase between two of them, must be a whole number; of
    all that are, the one with the least limit decides. Source: as `lobes`. Raises Refused for values that cannot be.
    """
    k, zeta = positive(stiffness, "stiffness", "N/mm"), positive(damping, "damping", "of critical")
    turns = positive(frequency, "frequency", "Hz") * 60 / np.atleast_1d(positive(spindle_speed, "spindle speed", "rpm"))
    r = np.sqrt(1 + 2 * zeta * np.geomspace(1e-3, 4 / zeta, 6000))
    below = (1 - r**2) ** 2 + (2 * zeta * r) ** 2
    limit = k * below / (2 * (r**2 - 1))
    phase = (3 * np.pi + 2 * np.arctan2(-2 * zeta * r, 1 - r**2)) / (2 * np.pi)
    found = []
    for each in turns.ravel():
        waves = each * r - phase
        whole = np.floor(waves)
        step = np.flatnonzero((whole[1:] != whole[:-1]) & (whole[1:] >= 0))
        share = (whole[step + 1] - waves[step]) / (waves[step + 1] - waves[step])
        found.append(float((limit[step] + share * (limit[step + 1] - limit[step])).min()) if len(step) else np.inf)
    return found[0] if np.ndim(spindle_speed) == 0 else np.array(found).reshape(np.shape(spindle_speed))
