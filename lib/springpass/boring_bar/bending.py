"""How a boring bar bends under the cut, and what a spring pass leaves.

The bar is a stepped Timoshenko beam on a holder that shifts and tilts. The cut pushes its
tip off the wall, so less is cut than was dialled; less cut pushes less; the two settle
together. A repeat pass at the same setting, a spring pass, takes part of what is left,
until the chip is too thin for the edge.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from .. import cutting
from ..core import tables
from ..core.formula import formula
from ..core.quantity import Numbers, Refused, floats, plain, positive, said
from ..core.shared import (
    BarDiameter,
    BoreDiameter,
    CuttingForce,
    FeedForce,
    Force,
    Modulus,
    Poisson,
    Stiffness,
)
from .quantities import (
    CentreError,
    Deflection,
    Drop,
    GrowthOffCentre,
    HolderDeflection,
    HolderRotation,
    HolderStiffness,
    PolarMoment,
    RadialPush,
    SecondMoment,
    SectionArea,
    ShearDeflection,
    ShearFactor,
    ShearModulus,
    SlendernessRatio,
    Stickout,
    TipOffset,
    WholeDeflection,
)
from .vibration import Segments, check_segments

BEAMS = "Timoshenko, Strength of Materials, Part I, cantilever with an end load (from memory)"

# ---- one formula at a time ------------------------------------------------------------------------


@formula(
    source="Timoshenko, Strength of Materials, Part I, moments of inertia (from memory)", holds="solid round section"
)
def second_moment(bar: BarDiameter) -> SecondMoment:
    """How well a round section resists bending."""
    return np.pi * bar**4 / 64


@formula(
    source="Timoshenko, Strength of Materials, Part I, torsion of a round shaft (from memory)",
    holds="solid round section",
)
def polar_moment(bar: BarDiameter) -> PolarMoment:
    """How well a round section resists twisting."""
    return np.pi * bar**4 / 32


@formula(source="area of a circle", holds="solid round section", basis="computed")
def section_area(bar: BarDiameter) -> SectionArea:
    """Area of a round section."""
    return np.pi * bar**2 / 4


@formula(
    source="Timoshenko, Strength of Materials, Part I, Hooke's law in shear (from memory)", holds="isotropic material"
)
def shear_modulus(modulus: Modulus, poisson: Poisson) -> ShearModulus:
    """Stiffness in shear from stiffness in tension."""
    return modulus / (2 * (1 + poisson))


@formula(source="Cowper, The shear coefficient in Timoshenko's beam theory, J. Appl. Mech. 33 (1966) (from memory)",
         holds="solid round section")
def shear_factor(poisson: Poisson) -> ShearFactor:
    """Share of a round section that counts in shear."""
    return 6 * (1 + poisson) / (7 + 6 * poisson)


@formula(source=BEAMS, holds="plain round bar, rigid holder, stickout over some 5 diameters")
def tip_deflection(force: Force, stickout: Stickout, bar: BarDiameter, modulus: Modulus) -> Deflection:
    """How far a side force pushes the bar's end."""
    return force * stickout**3 / (3 * modulus * second_moment(bar))


@formula(source=BEAMS, holds="plain round bar; small beside bending above some 3 diameters")
def shear_deflection(
    force: Force, stickout: Stickout, bar: BarDiameter, modulus: Modulus, poisson: Poisson
) -> ShearDeflection:
    """What shear adds to the bar's bending."""
    return force * stickout / (shear_factor(poisson) * shear_modulus(modulus, poisson) * section_area(bar))


@formula(
    source="two springs at the bar's root",
    holds="holder that shifts and tilts in proportion to the load",
    basis="computed",
)
def holder_deflection(
    force: Force, stickout: Stickout, holder_stiffness: HolderStiffness, holder_rotation: HolderRotation
) -> HolderDeflection:
    """What a yielding holder adds at the tip."""
    return force / holder_stiffness + force * stickout**2 / holder_rotation


@formula(source="sum of bending, shear and holder", holds="plain round bar on a yielding holder", basis="computed")
def bar_deflection(force: Force, stickout: Stickout, bar: BarDiameter, modulus: Modulus, poisson: Poisson,
                   holder_stiffness: HolderStiffness, holder_rotation: HolderRotation) -> WholeDeflection:
    """How far a side force pushes the tip of a bar in its holder."""
    return (tip_deflection(force, stickout, bar, modulus) + shear_deflection(force, stickout, bar, modulus, poisson)
            + holder_deflection(force, stickout, holder_stiffness, holder_rotation))


@formula(source="Timoshenko, Strength of Materials, Part I, cantilever with an end moment (from memory)",
         holds="plain round bar, tip beside its axis")
def feed_force_pull(feed_force: FeedForce, tip_offset: TipOffset, stickout: Stickout, bar: BarDiameter,
                    modulus: Modulus) -> Deflection:
    """How far the feed force, acting beside the axis, bends the tip back towards the wall."""
    return feed_force * tip_offset * stickout**2 / (2 * modulus * second_moment(bar))


@formula(source="Timoshenko, Strength of Materials, Part I, torsion of a round shaft (from memory)",
         holds="plain round bar, tip beside its axis")
def twist_drop(
    cutting_force: CuttingForce,
    tip_offset: TipOffset,
    stickout: Stickout,
    bar: BarDiameter,
    modulus: Modulus,
    poisson: Poisson,
) -> Drop:
    """How far the tip drops because the cutting force twists the bar."""
    return cutting_force * tip_offset**2 * stickout / (shear_modulus(modulus, poisson) * polar_moment(bar))


@formula(source="Pythagoras on the tip's place", holds="any small movement of the tip", basis="computed")
def bore_cut(bore: BoreDiameter, push: RadialPush, drop: Drop) -> BoreDiameter:
    """Diameter cut by a tip pushed off the wall and dropped: the drop counts only in the second order."""
    return 2 * np.sqrt((bore / 2 - push) ** 2 + drop**2)


@formula(source="Pythagoras on the tip's place: √(D² + 4 e²) − D, written so that nothing cancels",
         holds="tip set from the spindle axis, no trial cut", basis="computed")
def growth_off_centre(bore: BoreDiameter, centre_error: CentreError) -> GrowthOffCentre:
    """How much larger than it was set a bore comes out when the tip is off centre height."""
    return (2 * centre_error) ** 2 / (bore + np.sqrt(bore**2 + (2 * centre_error) ** 2))


@formula(
    source="cantilever stiffness written with the slenderness", holds="plain round bar, rigid holder", basis="computed"
)
def stiffness_by_slenderness(modulus: Modulus, bar: BarDiameter, slenderness: SlendernessRatio) -> Stiffness:
    """Why the trade counts stickout in diameters: at one slenderness, stiffness goes with E and d alone."""
    return 3 * np.pi * modulus * bar / (64 * slenderness**3)


@formula(source="equal stiffness at the same diameter", holds="plain round bars, rigid holder", basis="computed")
def equal_slenderness(slenderness: SlendernessRatio, modulus: Modulus, other_modulus: Modulus) -> SlendernessRatio:
    """Slenderness at which a bar of another material is just as stiff."""
    return slenderness * np.cbrt(other_modulus / modulus)


# ---- what bars and holders are made of -------------------------------------------------------------


def bar_materials() -> list[str]:
    """Names of the bar materials in the table."""
    return tables.names("bar_materials", "bar_material")


def holders() -> list[str]:
    """Names of the ways to hold a bar in the table."""
    return tables.names("holders", "holder")


def make_bar(
    stickout: Numbers, bar_diameter: Numbers, neck_length: Any = 0.0, neck_diameter: Any = 0.0
) -> list[tuple[Any, Any]]:
    """(length, diameter) pieces of a bar whose outer end is necked (or ground back) over neck_length.

    Raises Refused for a neck thicker than the bar or longer than the stickout.
    """
    length, diameter = positive(stickout, "stickout"), positive(bar_diameter, "bar diameter")
    neck = positive(neck_length, "neck length", zero=True)
    if np.all(np.asarray(neck) == 0):
        return [(length, diameter)]
    thin = positive(neck_diameter, "neck diameter")
    if np.any(np.asarray(thin) > diameter):
        raise Refused(
            f"The neck ({np.max(thin):g} mm) is thicker than the bar ({np.min(diameter):g} mm). A neck is ground "
            "down from the bar: give it the bar's diameter or less."
        )
    if np.any(np.asarray(neck) > length):
        raise Refused(f"The neck ({np.max(neck):g} mm) is longer than the stickout ({np.min(length):g} mm). "
                      "Shorten the neck or let the bar out.")
    if np.all(np.asarray(neck) == length):
        return [(length, thin)]
    return [(length - neck, diameter), (neck, thin)]


# ---- bending ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class TipSprings:
    """Movement of the tip for one newton (or N mm), mm: side push, feed force at the offset, twist."""

    side: Any    # mm/N
    moment: Any  # mm/(N mm): side movement from a moment at the tip
    twist: Any   # rad/(N mm)


def tip_springs(segments: Segments, modulus: Numbers, poisson: Numbers, holder_stiffness: Any = np.inf,
                holder_rotation: Any = np.inf) -> TipSprings:
    """All three springs of a stepped bar on a yielding holder; see `compliance`."""
    pieces = check_segments(segments)
    e, nu = positive(modulus, "modulus", "MPa"), positive(poisson, "Poisson's ratio", "", zero=True)
    if np.any(np.asarray(nu) >= 0.5):
        raise Refused("Poisson's ratio must be below 0.5; steel has 0.29.")
    shift = positive(holder_stiffness, "holder stiffness", "N/mm", infinite=True)
    tilt = positive(holder_rotation, "holder rotation stiffness", "N mm/rad", infinite=True)
    g, kappa = shear_modulus(e, nu), shear_factor(nu)
    side: Any = 0.0
    moment: Any = 0.0
    twist: Any = 0.0
    far = sum(length for length, _ in pieces)
    whole = far
    for length, diameter in pieces:
        near = far - length
        inertia = second_moment(diameter)
        side = side + (far**3 - near**3) / (3 * e * inertia) + length / (kappa * g * section_area(diameter))
        moment = moment + (far**2 - near**2) / (2 * e * inertia)
        twist = twist + length / (g * polar_moment(diameter))
        far = near
    return TipSprings(side + 1 / shift + whole**2 / tilt, moment + whole / tilt, twist)


def compliance(segments: Segments, modulus: Numbers, poisson: Numbers, holder_stiffness: Any = np.inf,
               holder_rotation: Any = np.inf) -> Any:
    """Movement of the tip for one newton of side force, mm/N.

    segments: (length, diameter) mm from the holder outwards; modulus MPa; holder N/mm and N mm/rad, rigid
    where left out. Numbers or arrays of samples. Bending, shear (Cowper) and holder; three-dimensional
    elasticity gives 2 % less at 2 diameters and 1 % less at 5. Raises Refused for values that cannot be.
    """
    return tip_springs(segments, modulus, poisson, holder_stiffness, holder_rotation).side


# ---- the cut and the bar settle together -----------------------------------------------------------


@dataclass(frozen=True)
class CutLoads:
    """Forces of one nose, feed and work material against depth, for a uniform grid in ln(depth)."""

    start: float
    step: float
    thrust: np.ndarray
    feed: np.ndarray
    cutting: np.ndarray
    chip: np.ndarray

    def _at(self, table: np.ndarray, log_depth: np.ndarray) -> np.ndarray:
        place = np.clip((log_depth - self.start) / self.step, 0, len(table) - 1.0001)
        cell = place.astype(np.intp)
        low = table[cell]
        return low + (place - cell) * (table[cell + 1] - low)

    def forces(self, depth: Any) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Cutting, thrust and feed force at a depth."""
        y = np.log(np.maximum(depth, 1e-12))
        return np.exp(self._at(self.cutting, y)), np.exp(self._at(self.thrust, y)), np.exp(self._at(self.feed, y))


def cut_loads(material: cutting.Kienzle, feed: float, nose_radius: float, entering_angle: float, infeed: float,
              points: int = 480) -> CutLoads:
    """The forces tabulated up to three to six times an infeed, so that neighbouring infeeds share a table."""
    return _cut_loads(material, feed, nose_radius, entering_angle, 2.0 ** np.ceil(np.log2(3 * infeed)), points)


@lru_cache(maxsize=64)
def _cut_loads(material: cutting.Kienzle, feed: float, nose_radius: float, entering_angle: float, deepest: float,
               points: int) -> CutLoads:
    """The forces at so many depths from a ten-thousandth of `deepest` to it; between them they are straight in the
    logarithm.
    """
    grid = np.linspace(np.log(deepest) - np.log(1e4), np.log(deepest), points)
    forces = cutting.nose_forces(np.exp(grid), feed, nose_radius, entering_angle, *material)
    with np.errstate(divide="ignore", invalid="ignore"):
        thrust, along, main = (np.log(np.maximum(f, 1e-12)) for f in (forces.thrust, forces.feed, forces.cutting))
    return CutLoads(float(grid[0]), float(grid[1] - grid[0]), thrust, along, main, np.asarray(forces.max_chip))


@dataclass(frozen=True)
class PassesTaken:
    """What each pass took and what it left, on radius, mm; the first axis is the pass."""

    removed: Any
    left: Any
    copied: Any   # share of an unevenness of the stock that is still there after each pass


def spring_passes(
    infeed: Numbers,
    feed: float,
    nose_radius: float,
    compliance: Numbers,
    material: Any = "medium-carbon steel",
    passes: int = 3,
    least_chip: Any = 0.0,
    *,
    entering_angle: float = 90.0,
    force_factor: Any = 1.0,
    pull: Any = 0.0,
    points: int = 480,
) -> PassesTaken:
    """Passes at one dial setting: what each takes and leaves on the radius, mm.

    infeed: set on the dial, on radius; compliance: mm/N at the tip; material: name, (kc, mc, kn, mn) or mapping;
    least_chip: mm, below which the edge rubs and takes nothing; pull: mm/N by which the feed force bends the tip
    back; points: of the force table (480 are good to 0.01 %, 140 to 0.2 %). infeed, compliance, least_chip,
    force_factor, pull may be arrays of samples. Solves depth + push(depth) =
    what was left before, each pass, by Newton's method in the logarithm. Raises Refused for values that cannot be.
    """
    if isinstance(passes, bool) or not isinstance(passes, (int, np.integer)) or not 1 <= passes <= 100:
        raise Refused(f"The number of passes must be a whole number from 1 to 100; it was {said(passes)}.")
    left = np.asarray(positive(infeed, "infeed"), float)
    c = np.asarray(positive(compliance, "compliance", "mm/N", zero=True))
    floor = np.asarray(positive(least_chip, "least chip", zero=True))
    factor = np.asarray(positive(force_factor, "force factor", ""))
    loads = cut_loads(
        cutting.kienzle(material), float(feed), float(nose_radius), float(entering_angle), float(left.max()), points
    )
    c, pull = c * factor, np.asarray(pull, float) * factor
    shape = np.broadcast_shapes(left.shape, c.shape, floor.shape, pull.shape)
    if int(np.prod(shape)) <= BLOCK:
        return _passes(np.broadcast_to(left, shape), c, pull, floor, loads, int(passes))
    # very many samples go block by block, so that each block stays in the processor's cache
    left, c, pull, floor = (np.broadcast_to(v, shape).ravel() for v in (left, c, pull, floor))
    done = [_passes(left[i:i + BLOCK], c[i:i + BLOCK], pull[i:i + BLOCK], floor[i:i + BLOCK], loads, int(passes))
            for i in range(0, left.size, BLOCK)]
    return PassesTaken(*(np.concatenate([getattr(one, name) for one in done], axis=-1).reshape(int(passes), *shape)
                         for name in ("removed", "left", "copied")))


BLOCK = 1 << 15


def _passes(
    left: np.ndarray, c: np.ndarray, pull: np.ndarray, floor: np.ndarray, loads: CutLoads, passes: int
) -> PassesTaken:
    copied = np.ones(left.shape)
    takes: list[np.ndarray] = []
    leaves: list[np.ndarray] = []
    shares: list[np.ndarray] = []
    for _ in range(passes):
        take, slope = _settle(left, c, pull, loads)
        with np.errstate(divide="ignore"):
            chip = loads._at(loads.chip, np.log(np.maximum(take, 1e-12)))
        rubs = chip < floor
        take = np.where(rubs, 0.0, take)
        left = left - take
        copied = np.where(rubs, copied, copied * (1 - 1 / slope))
        takes.append(take)
        leaves.append(left)
        shares.append(copied)
    return PassesTaken(np.array(takes), np.array(leaves), np.array(shares))


def _settle(left: np.ndarray, c: np.ndarray, pull: np.ndarray, loads: CutLoads) -> tuple[np.ndarray, np.ndarray]:
    """Depth a with a + c·thrust(a) − pull·feed(a) = left, and d(left)/d(a) there."""
    target = np.log(np.maximum(left, 1e-12))
    y = target.copy() if c.ndim == 0 else np.broadcast_to(target, np.broadcast_shapes(target.shape, c.shape)).copy()
    plain = not np.any(pull)
    with np.errstate(divide="ignore"):   # start from the force at the full depth
        y = y - np.log1p(0.8 * c * np.exp(loads._at(loads.thrust, y)) / np.exp(y))
    slope: Any = 1.0
    for _ in range(6):
        place = np.clip((y - loads.start) / loads.step, 0, len(loads.thrust) - 1.0001)
        cell = place.astype(np.intp)
        part = place - cell
        low = loads.thrust[cell]
        rise = loads.thrust[cell + 1] - low
        push = c * np.exp(low + part * rise)
        grow = push * rise
        if not plain:
            low = loads.feed[cell]
            rise = loads.feed[cell + 1] - low
            back = pull * np.exp(low + part * rise)
            push, grow = push - back, grow - back * rise
        depth = np.exp(y)
        total = np.maximum(depth + push, 1e-3 * depth)
        slope = np.maximum(depth + grow / loads.step, 1e-3 * depth) / depth
        step = (target - np.log(total)) * total / (depth * slope)
        y = y + np.clip(step, -2.0, 2.0)
        if np.abs(step).max(initial=0.0) < 1e-6:
            break
    return np.exp(y), slope


# ---- your own holder -------------------------------------------------------------------------------


@dataclass(frozen=True)
class HolderFit:
    """A holder's stiffness from weights, with its standard error; rotation is infinite where one place was used."""

    stiffness: float
    stiffness_error: float
    rotation: float
    rotation_error: float
    compliance: float         # of the holder alone at the stickout used most, mm/N
    compliance_error: float
    worst: float              # largest distance of a reading from the fit, mm
    note: str


def holder_from_weights(readings: Sequence[tuple[float, ...]], bar_diameter: float,
                        modulus: float = 205e3, poisson: float = 0.29, stickout: float | None = None) -> HolderFit:
    """Holder stiffness from dead weights hung on the bar and an indicator at the same place.

    readings: (mass in kg, indicator in mm) at `stickout`, or (mass, indicator, distance from the holder in mm) with
    two distances or more, which tells shift and tilt apart. The bar's own bending is taken off; the rest is fitted by
    least squares, with an offset for the indicator's zero. Raises Refused for readings that cannot be used.
    """
    rows = [tuple(float(floats(v, "a reading")) for v in row) for row in readings]
    if len(rows) < 3 or any(len(row) not in (2, 3) for row in rows):
        raise Refused(
            f"At least three readings are needed, each a mass and an indicator reading; there were {len(rows)}."
        )
    if any(not np.isfinite(row).all() or row[0] < 0 for row in rows):
        raise Refused("Masses must be nought or more, and every reading a plain number.")
    if any(len(row) == 2 for row in rows) and stickout is None:
        raise Refused("Say how far from the holder the weights hung (the stickout).")
    mass = np.array([row[0] for row in rows])
    moved = np.array([row[1] for row in rows])
    place = np.array([row[2] if len(row) == 3 else float(stickout or 0) for row in rows])
    if (place <= 0).any() or np.ptp(mass) == 0:
        raise Refused("The weights must hang out from the holder, and at least two different masses are needed.")
    force = 9.80665 * mass
    own = np.array([compliance([(x, bar_diameter)], modulus, poisson) for x in place])
    rest = moved - force * own
    tilts = len(np.unique(place)) > 1
    columns = [np.ones_like(force), force] + ([force * place**2] if tilts else [])
    matrix = np.stack(columns, axis=1)
    solution, *_ = np.linalg.lstsq(matrix, rest, rcond=None)
    residual = rest - matrix @ solution
    free = max(len(rest) - matrix.shape[1], 1)
    covariance = np.linalg.pinv(matrix.T @ matrix) * float(residual @ residual) / free
    shift, shift_error = float(solution[1]), float(np.sqrt(covariance[1, 1]))
    tilt, tilt_error = (float(solution[2]), float(np.sqrt(covariance[2, 2]))) if tilts else (0.0, 0.0)
    far = float(place.max())
    row_far = np.array([0.0, 1.0] + ([far**2] if tilts else []))
    alone, alone_error = float(row_far @ solution), float(np.sqrt(row_far @ covariance @ row_far))
    if alone <= 0:
        raise Refused(
            "With the bar's own bending taken off, nothing is left for the holder: the readings are smaller than "
            f"the bar alone would bend ({plain(float(own.max()) * 1e3)} µm a newton). Check the bar's diameter, the "
            "distance and the indicator."
        )
    if shift <= 0 or tilt < 0:   # the readings cannot tell the two apart: give one spring for this stickout
        note = f"The readings do not tell shift from tilt; this is one spring that fits at {far:g} mm out."
        return HolderFit(
            1 / alone, alone_error / alone**2, np.inf, 0.0, alone, alone_error, float(np.abs(residual).max()), note
        )
    note = ("Shift and tilt told apart by two distances; it holds at any stickout." if tilts else
            f"One distance only: shift and tilt together, good near {far:g} mm out.")
    return HolderFit(
        1 / shift,
        shift_error / shift**2,
        1 / tilt if tilt else np.inf,
        tilt_error / tilt**2 if tilt else 0.0,
        alone,
        alone_error,
        float(np.abs(residual).max()),
        note,
    )
