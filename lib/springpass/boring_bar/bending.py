"""How a boring bar bends under the cut, and what a spring pass leaves.

The bar is a stepped Timoshenko beam on a holder that shifts and tilts. The cut pushes its
tip off the wall, so less is cut than was dialled; less cut pushes less; the two settle
together. A repeat pass at the same setting, a spring pass, takes part of what is left,
until the chip is too thin for the edge.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from .. import cutting
from ..core import tables
from ..core.formula import formula
from ..core.quantity import Numbers, Refused, positive, said
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
    BoreAsSet,
    CentreError,
    Deflection,
    Drop,
    GrowthOffCentre,
    HolderDeflection,
    HolderRotation,
    HolderStiffness,
    KnownSlenderness,
    OtherModulus,
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


@formula(source="Timoshenko, Strength of Materials, Part I, moments of inertia (from memory)",
    holds="solid round section")
def second_moment(bar: BarDiameter) -> SecondMoment:
    """How well a round section resists bending."""
    return np.pi * bar**4 / 64


@formula(source="Timoshenko, Strength of Materials, Part I, torsion of a round shaft (from memory)",
    holds="solid round section")
def polar_moment(bar: BarDiameter) -> PolarMoment:
    """How well a round section resists twisting."""
    return np.pi * bar**4 / 32


@formula(source="area of a circle", holds="solid round section", basis="computed")
def section_area(bar: BarDiameter) -> SectionArea:
    """Area of a round section."""
    return np.pi * bar**2 / 4


@formula(source="Timoshenko, Strength of Materials, Part I, Hooke's law in shear (from memory)",
    holds="isotropic material")
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


@formula(source="two springs at the bar's root", holds="holder that shifts and tilts in proportion to the load",
    basis="computed")
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
def twist_drop(cutting_force: CuttingForce, tip_offset: TipOffset, stickout: Stickout, bar: BarDiameter,
        modulus: Modulus, poisson: Poisson) -> Drop:
    """How far the tip drops because the cutting force twists the bar."""
    return cutting_force * tip_offset**2 * stickout / (shear_modulus(modulus, poisson) * polar_moment(bar))


@formula(source="Pythagoras on the tip's place", holds="any small movement of the tip", basis="computed")
def bore_cut(bore: BoreAsSet, push: RadialPush, drop: Drop) -> BoreDiameter:
    """Diameter cut by a tip pushed off the wall and dropped: the drop counts only in the second order."""
    return 2 * np.sqrt((bore / 2 - push) ** 2 + drop**2)


@formula(source="Pythagoras on the tip's place: √(D² + 4 e²) − D, written so that nothing cancels",
    holds="tip set from the spindle axis, no trial cut", basis="computed")
def growth_off_centre(bore: BoreDiameter, centre_error: CentreError) -> GrowthOffCentre:
    """How much larger than it was set a bore comes out when the tip is off centre height."""
    return (2 * centre_error) ** 2 / (bore + np.sqrt(bore**2 + (2 * centre_error) ** 2))


@formula(source="cantilever stiffness written with the slenderness", holds="plain round bar, rigid holder",
    basis="computed")
def stiffness_by_slenderness(modulus: Modulus, bar: BarDiameter, slenderness: SlendernessRatio) -> Stiffness:
    """Why the trade counts stickout in diameters: at one slenderness, stiffness goes with E and d alone."""
    return 3 * np.pi * modulus * bar / (64 * slenderness**3)


@formula(source="equal stiffness at the same diameter", holds="plain round bars, rigid holder", basis="computed")
def equal_slenderness(slenderness: KnownSlenderness, modulus: Modulus, other_modulus: OtherModulus) -> SlendernessRatio:
    """Slenderness at which a bar of another material is just as stiff."""
    return slenderness * np.cbrt(other_modulus / modulus)


# ---- what bars and holders are made of -------------------------------------------------------------


def bar_materials() -> list[str]:
    """Names of the bar materials in the table."""
    return tables.names("bar_materials", "bar_material")


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
            "down from the bar: give it the bar's diameter or less.")
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
        """Below the table its first piece goes straight on: in the logarithm a thin cut's force is a straight line."""
        place = np.minimum((log_depth - self.start) / self.step, len(table) - 1.0001)
        cell = np.maximum(place.astype(np.intp), 0)
        low = table[cell]
        return low + (place - cell) * (table[cell + 1] - low)

    def forces(self, depth: Any) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Cutting, thrust and feed force at a depth."""
        y = np.log(np.maximum(depth, 1e-12))
        return np.exp(self._at(self.cutting, y)), np.exp(self._at(self.thrust, y)), np.exp(self._at(self.feed, y))

    def settle(self, left: np.ndarray, compliance: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Depth a at which a + C·thrust(a) is what is left, for each compliance, and the slope of that sum there."""
        return _settle(left, compliance, np.zeros(1), self)


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


def spring_passes(infeed: Numbers, feed: float, nose_radius: float, compliance: Numbers,
        material: Any = "medium-carbon steel", passes: int = 3, least_chip: Any = 0.0, *, entering_angle: float = 90.0,
        force_factor: Any = 1.0, pull: Any = 0.0, points: int = 480) -> PassesTaken:
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
    floor = np.asarray(positive(least_chip, "minimum chip thickness", zero=True))
    factor = np.asarray(positive(force_factor, "force factor", ""))
    loads = cut_loads(cutting.kienzle(material), float(feed), float(nose_radius), float(entering_angle),
        float(left.max()), points)
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


TINY = float(np.finfo(float).tiny)   # mm: nothing left, of which a logarithm can be taken
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
            chip = loads._at(loads.chip, np.log(np.maximum(take, TINY)))
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
    target = np.log(np.maximum(left, TINY))
    y = target.copy() if c.ndim == 0 else np.broadcast_to(target, np.broadcast_shapes(target.shape, c.shape)).copy()
    plain = not np.any(pull)
    with np.errstate(divide="ignore"):   # start from the force at the full depth
        y = y - np.log1p(0.8 * c * np.exp(loads._at(loads.thrust, y)) / np.exp(y))
    slope: Any = 1.0
    for _ in range(6):
        place = np.minimum((y - loads.start) / loads.step, len(loads.thrust) - 1.0001)
        cell = np.maximum(place.astype(np.intp), 0)
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


# ---- the bar's shape under a load at its tip, for very many stickouts and lathes at once ---------------


_PLACE, _WEIGHT = np.polynomial.legendre.leggauss(6)
_PLACE, _WEIGHT = (_PLACE + 1) / 2, _WEIGHT / 2


def _over(values: Any) -> Any:
    return np.add.reduce(values, axis=-1, keepdims=True)


@dataclass(frozen=True)
class BarShape:
    """What a bar's geometry alone decides; multiply by 1/E. Rows are stickouts or diameters, mm."""

    side: Any      # 1/mm: bending and shear of the tip under a side force
    moment: Any    # 1/mm²: the same under a moment at the tip
    twist: Any     # 1/mm³: twist about the axis under a torque
    length: Any
    parts: tuple[tuple[Any, Any, Any], ...]   # (place from the root, mm; area element, mm³; deflection, 1/mm)

    def mass(self, density: float, soft: Any, give: Any, lean: Any, springs: Any) -> Any:
        """Mass, t, that moves with the tip as the bar bends and its root shifts and leans (Rayleigh's way).

        density kg/m³; soft 1/E; give 1/k_t; lean L/k_θ (all for one newton at the tip); springs the sum of them.
        33/140 of a plain bar's mass in a rigid holder. Source: Rayleigh, The Theory of Sound (from memory).
        """
        bulk: Any = 0.0
        x1: Any = 0.0
        x2: Any = 0.0
        y1: Any = 0.0
        xy: Any = 0.0
        y2: Any = 0.0
        for x, w, y in self.parts:   # sums over the bar of area, place and deflection
            wx, wy = w * x, w * y
            bulk, x1, x2 = bulk + _over(w), x1 + _over(wx), x2 + _over(wx * x)
            y1, xy, y2 = y1 + _over(wy), xy + _over(wy * x), y2 + _over(wy * y)
        square = (soft * (y2 * soft + 2 * (y1 * give + xy * lean)) + give * (bulk * give + 2 * x1 * lean)
            + x2 * lean * lean)
        return density * 1e-12 * square / (springs * springs)


    @classmethod
    def of(cls, stickout: Any, bar_diameter: Any, poisson: float, neck_length: float = 0.0, neck_diameter: float = 0.0
           ) -> BarShape:
        """The shape of a bar, necked over its outer end or not, for columns of stickouts or diameters (n, 1), mm."""
        length, bar = np.broadcast_arrays(np.asarray(stickout, float), np.asarray(bar_diameter, float))
        neck = np.minimum(neck_length, length) if neck_length else np.zeros(length.shape)
        stout, thick = length - neck, second_moment(bar)
        round_off = 2 * (1 + poisson) / shear_factor(poisson)      # E over G and Cowper's share
        side = (length**3 - neck**3) / (3 * thick) + stout * round_off / section_area(bar)
        moment = (length**2 - neck**2) / (2 * thick)
        twist = stout * 2 * (1 + poisson) / polar_moment(bar)
        x = stout * _PLACE
        shear = round_off / section_area(bar)
        parts = [(x, stout * _WEIGHT * section_area(bar), (3 * length * x**2 - x**3) / (6 * thick) + shear * x)]
        if neck_length:
            slim = np.minimum(neck_diameter, bar)
            thin = second_moment(slim)
            side = side + neck**3 / (3 * thin) + neck * round_off / section_area(slim)
            moment, twist = moment + neck**2 / (2 * thin), twist + neck * 2 * (1 + poisson) / polar_moment(slim)
            step = (3 * length * stout**2 - stout**3) / (6 * thick) + shear * stout
            slope = (2 * length * stout - stout**2) / (2 * thick)
            s = neck * _PLACE
            bent = step + slope * s + (3 * neck * s**2 - s**3) / (6 * thin) + round_off / section_area(slim) * s
            parts.append((stout + s, neck * _WEIGHT * section_area(slim), bent))
        return cls(side, moment, twist, length, tuple(parts))
