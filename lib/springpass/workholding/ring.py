"""Holding without bending: what jaws, collets, mandrels and face clamps do to a ring.

A jaw pushes a ring out of round. Bored round while it is pushed, the bore springs
to the opposite shape when it is let go: a lobe at every jaw. How the work itself
bends under the tool is next door in `work_bending`, and can be called from here.

Radial movements are outwards where positive, mm. The load is the push of one jaw.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from ..core import tables
from ..core.formula import formula
from ..core.quantity import Numbers, Refused, positive, quantity_of, said
from ..core.shared import CuttingForce, FeedForce, Modulus, Poisson, RingWall
from ..core.spread import between, sample
from .bending import (
    GRAVITY,
    SUPPORTS,
    SpindleSprings,
    Spring,
    TurnedError,
    between_centres_error,
    centre_error,
    deepest_cut,
    free_length,
    overhang_error,
    spindle_from_weights,
    stiffness_from_weights,
    turned_error,
    work_compliance,
    work_second_moment,
)
from .quantities import (
    BoreError,
    ClampForce,
    CutDiameter,
    DrawPull,
    FaceRadius,
    FinishedGive,
    FrictionAngle,
    GripDiameter,
    GripForce,
    GripFriction,
    GripPressure,
    GripWidth,
    HandPull,
    JawCount,
    JawGive,
    JawLoad,
    JawSpacing,
    KeySpan,
    LineGive,
    LoadBefore,
    PadHalfAngle,
    RadialMove,
    RawGive,
    RingBore,
    RingOutside,
    RingRadius,
    RingWallStress,
    Safety,
    ScrollPitch,
    ScrollRatio,
    ScrollYield,
    TaperHalfAngle,
    WallSecondMoment,
    WorkError,
)

__all__ = ["GRAVITY", "SUPPORTS", "Gauged", "JawWindow", "Lobing", "SpindleSprings", "Spring", "TurnedError",
    "between_centres_error", "centre_error", "collet_closing", "collet_pressure", "contact_pressure", "deepest_cut",
    "drive_ranges", "face_clamp_growth", "face_clamp_needed", "free_length", "gauged", "grip_needed", "hand_force",
    "hand_ranges", "jaw_window", "jaws", "kept_load", "key_force", "mandrel_growth", "marking_load", "overhang_error",
    "pad_pressure", "ring_lobing", "spindle_from_weights", "stiffness_from_weights", "thin_ring_at_jaw",
    "thin_ring_midway", "turned_error", "wall_stress", "wide_jaw_share", "work_compliance", "work_second_moment"]

# ---- one formula at a time ------------------------------------------------------------------------


@formula(source="rectangular section bent in the plane of the ring", holds="plain ring of even wall", basis="computed")
def wall_second_moment(width: GripWidth, wall: RingWall) -> WallSecondMoment:
    """Second moment of the wall of a ring."""
    return width * wall**3 / 12


@formula(source="n jaws evenly round", holds="two jaws or more", basis="computed")
def jaw_spacing(jaws: JawCount) -> JawSpacing:
    """Half the angle between two jaws, radians."""
    return np.pi / jaws


@formula(
    source="Castigliano on a thin ring under n equal radial loads; for two loads Timoshenko, Strength of Materials, "
    "part I (from memory), re-derived",
    holds="thin walls, point loads, bending alone: 8 % low where the wall is a fifth of its radius", basis="computed")
def thin_ring_at_jaw(
    load: JawLoad, radius: RingRadius, jaws: JawCount, width: GripWidth, wall: RingWall, modulus: Modulus
) -> RadialMove:
    """How far a thin ring is pushed in at a jaw."""
    alpha = jaw_spacing(jaws)
    return load * radius**3 / (2 * modulus * wall_second_moment(width, wall)) * (
        (alpha + np.sin(alpha) * np.cos(alpha)) / (2 * np.sin(alpha)**2) - 1 / alpha)


@formula(
    source="Castigliano on a thin ring under n equal radial loads; for two loads Timoshenko, Strength of Materials, "
    "part I (from memory), re-derived",
    holds="thin walls, point loads, bending alone: 8 % low where the wall is a fifth of its radius", basis="computed")
def thin_ring_midway(
    load: JawLoad, radius: RingRadius, jaws: JawCount, width: GripWidth, wall: RingWall, modulus: Modulus
) -> RadialMove:
    """How far a thin ring bulges out midway between two jaws."""
    alpha = jaw_spacing(jaws)
    return load * radius**3 / (2 * modulus * wall_second_moment(width, wall)) * (
        1 / alpha - (1 + alpha * np.cos(alpha) / np.sin(alpha)) / (2 * np.sin(alpha)))


@formula(source="moment of a thin ring under n equal radial loads, over the section modulus of its wall",
    holds="thin walls and narrow jaws; the stress under wide jaws is lower", basis="computed")
def wall_stress(load: JawLoad, radius: RingRadius, jaws: JawCount, width: GripWidth, wall: RingWall) -> RingWallStress:
    """Bending stress in a thin ring's wall under a jaw: past the yield strength the ring stays bent."""
    return 3 * load * radius / (width * wall**2) * (1 / jaw_spacing(jaws) - 1 / np.tan(jaw_spacing(jaws)))


@formula(source="jaws that hold their position: ring and jaw together stay squeezed by the same amount",
    basis="computed",
    holds="scroll chucks and vices; a jaw moved by air or oil follows the work and keeps its force")
def kept_load(load: LoadBefore, raw_give: RawGive, finished_give: FinishedGive, jaw_give: JawGive) -> JawLoad:
    """Clamping force left per jaw once boring has made the ring more compliant."""
    return load * (raw_give + jaw_give) / (finished_give + jaw_give)


@formula(source="VDI 3106 as used in a chuck maker's guide to clamping forces, formula 1; feed force added as a "
    "resultant",
    holds="grip as long as the diameter, or a tailstock centre; long work in a short grip tilts out sooner",
    basis="read")
def grip_needed(cutting_force: CuttingForce, feed_force: FeedForce, cut_diameter: CutDiameter,
        grip_diameter: GripDiameter, friction: GripFriction, safety: Safety) -> GripForce:
    """Clamping force of all jaws together that drives the cut without slipping."""
    return safety / friction * np.sqrt((cutting_force * cut_diameter / grip_diameter)**2 + feed_force**2)


@formula(source="work in equals work out from key through scroll to jaws, less losses", holds="scroll chucks "
    "turned by hand",
    basis="computed")
def key_force(pull: HandPull, span: KeySpan, ratio: ScrollRatio, pitch: ScrollPitch, share: ScrollYield) -> GripForce:
    """Clamping force of all jaws together from two hands on the key."""
    return 2 * np.pi * pull * span * ratio * share / pitch


@formula(source="Lamé, thick tube under outside pressure, Roark's Formulas for Stress and Strain (from memory)",
    holds="even pressure all round, ends free: a collet of the right size", basis="memory")
def collet_closing(pressure: GripPressure, bore: RingBore, outside: RingOutside, modulus: Modulus) -> BoreError:
    """Change of a bore's diameter under even pressure from outside (it closes: negative)."""
    return -2 * pressure * bore * outside**2 / (modulus * (outside**2 - bore**2))


@formula(source="Lamé, thick tube under inside pressure, Roark's Formulas for Stress and Strain (from memory)",
    holds="even pressure all round, ends free: an expanding mandrel of the right size", basis="memory")
def mandrel_growth(pressure: GripPressure, bore: RingBore, outside: RingOutside, modulus: Modulus) -> WorkError:
    """Growth of the outside of a ring held from within."""
    return 2 * pressure * bore**2 * outside / (modulus * (outside**2 - bore**2))


@formula(source="Hooke's law: a ring squeezed along its axis grows sideways", holds="faces flat and clamped evenly",
    basis="computed")
def face_clamp_growth(clamp: ClampForce, bore: RingBore, outside: RingOutside, modulus: Modulus,
        poisson: Poisson) -> BoreError:
    """Growth of a bore while the ring is clamped on its faces: even, and tiny."""
    return 4 * poisson * clamp * bore / (np.pi * modulus * (outside**2 - bore**2))


@formula(source="friction on two faces, the clamp turning with the work", holds="clamp plate driven with the faceplate",
    basis="computed")
def face_clamp_needed(cutting_force: CuttingForce, cut_diameter: CutDiameter, face_radius: FaceRadius,
        friction: GripFriction, safety: Safety) -> ClampForce:
    """Axial clamping force that drives the cut by friction on both faces."""
    return safety * cutting_force * cut_diameter / (4 * friction * face_radius)


@formula(source="wedge with friction, over the gripped cylinder",
    holds="collet of the right size, gripping all its length", basis="computed")
def collet_pressure(pull: DrawPull, taper: TaperHalfAngle, friction_angle: FrictionAngle, grip_diameter: GripDiameter,
        width: GripWidth) -> GripPressure:
    """Pressure of a collet on the work from the pull that closes it."""
    return pull / (np.tan(np.radians(taper + friction_angle)) * np.pi * grip_diameter * width)


@formula(source="force over the projected face of the jaw", holds="jaws bored to the work's own diameter",
    basis="computed")
def pad_pressure(load: JawLoad, grip_diameter: GripDiameter, width: GripWidth, pad: PadHalfAngle) -> GripPressure:
    """Pressure under a jaw that fits the work."""
    return load / (grip_diameter * np.sin(np.radians(pad)) * width)


@formula(source="Hertz, line contact of a cylinder on a flat; Johnson, Contact Mechanics (from memory)",
    holds="smooth flat jaw on round work; serrated jaws bite far deeper")
def contact_pressure(
    load: JawLoad, width: GripWidth, grip_diameter: GripDiameter, contact_modulus: LineGive
) -> GripPressure:
    """Highest pressure under a flat jaw that touches along a line."""
    return np.sqrt(2 * load * contact_modulus / (np.pi * width * grip_diameter))


# ---- the ring in the jaws -------------------------------------------------------------------------

HARMONICS = 48


@dataclass(frozen=True)
class Lobing:
    """A ring in its jaws. Movements of the bore on radius, mm, outwards positive; released, it is the other way round.
    """

    at_jaw: Any          # of the bore, opposite a jaw
    midway: Any          # of the bore, midway between two jaws
    peak_to_valley: Any  # of the bore's radius
    mean: Any            # of the bore: the even squeeze
    jaw_travel: Any      # of the outside under a jaw: how far the jaw follows
    orders: Any          # lobes round the bore of each harmonic
    amplitudes: Any      # of each harmonic at the bore, last axis
    rim_mean: Any        # of the outside: the even squeeze
    rim_amplitudes: Any  # of each harmonic at the outside, last axis

    @property
    def stands_in(self) -> float:
        """How far the finished bore stands in from its mean radius where it does so most, mm: bored round in the jaws
        and let go, what stood out stands in. One ring, not an array.
        """
        return float(np.max(self.bore(np.arange(0, 360 / self.orders[0], 1.0)) - self.mean))

    def bore(self, angle: Any) -> Any:
        """Movement of the bore on radius at `angle` degrees from a jaw; the angle is the last axis. One ring, not an
        array.
        """
        return self.mean + self.amplitudes @ np.cos(np.outer(self.orders, np.radians(np.atleast_1d(angle))))

    def rim(self, angle: Any) -> Any:
        """Movement of the outside on radius at `angle` degrees from a jaw."""
        return self.rim_mean + self.rim_amplitudes @ np.cos(np.outer(self.orders, np.radians(np.atleast_1d(angle))))


@lru_cache(maxsize=256)
def _unit_ring(ratio: float, jaws: int, poisson: float) -> tuple[np.ndarray, np.ndarray]:
    """Movement of bore and outside, times E/b, for each harmonic of unit pressure outside; ratio = bore/outside.

    Michell's solution for r^m, r^(m+2), r^-m, r^(2-m), the last two scaled at the bore so that
    nothing overflows.
    """
    m = jaws * np.arange(1.0, HARMONICS + 1)

    def at(r: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        out, into = r**m, (ratio / r)**m
        radial = np.stack([-m * (m - 1) * out / r**2, (2 - m) * (1 + m) * out, -m * (m + 1) * into / r**2,
            (1 - m) * (2 + m) * into], -1)
        shear = np.stack([(m - 1) * out / r**2, (m + 1) * out, -(m + 1) * into / r**2, (1 - m) * into], -1)
        move = np.stack([-m * (1 + poisson) * out / r, (2 - m - poisson * (m + 2)) * out * r,
            m * (1 + poisson) * into / r, (2 + m - poisson * (2 - m)) * into * r], -1)
        return radial, shear, move

    radial_in, shear_in, move_in = at(ratio)
    radial_out, shear_out, move_out = at(1.0)
    system = np.stack([radial_in, shear_in, radial_out, shear_out], -2)
    load = np.zeros((len(m), 4, 1))
    load[:, 2] = -1
    parts = np.linalg.solve(system, load)[..., 0]
    return (move_in * parts).sum(-1), (move_out * parts).sum(-1)


def ring_lobing(outside: Any = 62.0, bore: Any = 42.0, width: Any = 14.0, load: Any = 1500.0, jaws: Any = 3,
        modulus: Any = 70000.0, poisson: Any = 0.33, pad_half_angle: Any = 6.0) -> Lobing:
    """What `jaws` jaws, each pushing with `load`, do to the bore of a ring.

    outside, bore, width: mm; load: N for each jaw; pad_half_angle: half the angle each jaw's
    face covers, degrees. Arrays broadcast; the harmonics are the last axis of `.amplitudes`.
    Solves the plane-stress problem of a ring of any wall under even pressure beneath each jaw
    (Michell's series, `HARMONICS` terms); a ring longer than its jaws is stiffer, so this is the most.
    Raises Refused for impossible rings, jaws that overlap, or numbers that are none.
    """
    outside, bore, width = positive(outside, "outside diameter"), positive(bore, "bore"), positive(width, "width")
    load, modulus = positive(load, "clamping force per jaw", "N", zero=True), positive(modulus, "modulus", "MPa")
    poisson = quantity_of(Poisson).check(poisson, "Poisson's ratio")
    quantity_of(JawCount).check(jaws, "number of jaws")
    pad = np.asarray(positive(pad_half_angle, "half angle of the jaw's face", "degrees", zero=True))
    outside, bore, jaws, poisson = np.broadcast_arrays(outside, bore, jaws, poisson)
    if (bore > 0.9992 * outside).any():
        worst = np.argmax(bore / outside)
        raise Refused(f"A bore of {bore.flat[worst]:g} mm in a ring of {outside.flat[worst]:g} mm leaves no wall. "
            "Make the bore smaller than 0.9992 of the outside.")
    if (bore < 0.02 * outside).any():
        raise Refused(
            "With so small a bore the work behaves as solid and stays round. Give a bore over a fiftieth of the "
            "outside.")
    if (pad >= 180 / jaws).any():
        raise Refused(f"{int(np.max(jaws))} jaws of {2 * float(np.max(pad)):g} degrees each overlap. "
            f"Half the angle of a face must stay under {180 / float(np.max(jaws)):g} degrees.")
    spots = [_unit_ring(float(b / o), int(n), float(v)) for o, b, n,
        v in zip(outside.flat, bore.flat, jaws.flat, poisson.flat, strict=True)]
    inner = np.array([s[0] for s in spots]).reshape(*outside.shape, HARMONICS)
    outer = np.array([s[1] for s in spots]).reshape(*outside.shape, HARMONICS)
    terms = np.arange(1, HARMONICS + 1)
    orders = jaws[..., None] * terms
    spread = np.radians(pad)
    # even pressure on the face; P is what it adds up to in the jaw's direction, hence x/sin x
    even = np.asarray(jaws * load / (np.pi * outside * width) / np.sinc(spread / np.pi))
    shares = np.sinc(orders * spread[..., None] / np.pi)
    scale = (even / modulus * outside)[..., None] * shares
    a, b = bore / 2, outside / 2
    squeeze = -even / modulus * b / (b**2 - a**2)  # Lamé
    mean, waves = squeeze * 2 * a * b, scale * inner
    rim_mean, rim_waves = squeeze * (a**2 + b**2 - poisson * (b**2 - a**2)), scale * outer
    travel = rim_mean + (rim_waves * shares).sum(-1)
    turned = np.cos(np.outer(terms, np.linspace(0, np.pi, 25)))  # from a jaw to midway
    profile = np.asarray(mean)[..., None] + waves @ turned
    return Lobing(_plain(profile[..., 0]), _plain(profile[..., -1]), _plain(np.ptp(profile, axis=-1)), _plain(mean),
        _plain(travel), orders, waves, _plain(rim_mean), rim_waves)


def _plain(values: Any) -> Any:
    values = np.asarray(values)
    return values if values.ndim else float(values)


@dataclass(frozen=True)
class Gauged:
    """How much a reading of the bore's diameter changes as the gauge is turned, mm, beside the truth."""

    two_point: Any     # plain bore gauge or inside micrometer
    three_point: Any   # self-centring gauge with three contacts at 120 degrees
    radius: Any        # truth: peak to valley on radius


def gauged(lobing: Lobing) -> Gauged:
    """What a two-point and a three-point gauge see of the lobes, by turning each through a whole lobe.

    Two contacts add up the even harmonics and are blind to odd ones; three contacts at 120 degrees
    add up the multiples of three alone.
    """
    orders = np.asarray(lobing.orders)
    place = np.linspace(0, np.pi, 25)  # half a lobe in the harmonics' own angle
    terms = np.arange(1, orders.shape[-1] + 1)
    waves = np.cos(np.outer(terms, place))
    seen = [_plain(np.ptp(2 * np.where(orders % k == 0, lobing.amplitudes, 0) @ waves, axis=-1)) for k in (2, 3)]
    return Gauged(seen[0], seen[1], lobing.peak_to_valley)


def jaws(kind: str) -> tuple[int, tables.Fact]:
    """Number of jaws and half the angle of their faces, degrees, for a way of gripping. Raises Refused."""
    return int(tables.row("workholding_jaws", kind=kind)["jaws"]), tables.fact("workholding_jaws", kind=kind)


# ---- how hard must the jaws push, and how hard may they ---------------------------------------------

TIGHTNESS = ("gently", "as usual", "hard")


def _facts(**what: str) -> dict[str, Any]:
    return {name: tables.fact("workholding_facts", what=text).range for name, text in what.items()}


def hand_ranges(tightness: str = "as usual") -> dict[str, Any]:
    """The ranges `key_force` needs, for `spread.sample`. Raises Refused for another word than gently, as usual, hard.
    """
    if tightness not in TIGHTNESS:
        raise Refused(f"Choose the tightness from: {', '.join(TIGHTNESS)}; it was {said(tightness)}.")
    return _facts(pull=f"pull of each hand: {tightness}", span="span of the key's bar",
        ratio="turns of the key for one of the scroll", pitch="jaw travel for one turn of the scroll",
        share="share of the key's work that reaches the jaws")


def hand_force(tightness: str = "as usual") -> np.ndarray:
    """Push of all jaws together, N, that a hand on the key of a small scroll chuck gives: a spread of samples.

    tightness: "gently", "as usual" or "hard". A range and no more: a dry scroll gives half of an oiled one.
    """
    return np.asarray(key_force(**sample(**hand_ranges(tightness))))


def drive_ranges(
    surface: str = "smooth turned or ground", jaw: str = "smooth", family: str = "steel"
) -> dict[str, Any]:
    """Friction and safety for `grip_needed` as ranges, for `spread.sample`.

    family: "steel", "aluminium", "brass" or "cast iron". Raises Refused for names the tables do not have.
    """
    grip = tables.fact("workholding_grip", surface=surface, jaw=jaw)
    less = 1.0 if family == "steel" else tables.fact("workholding_facts", what=f"{family} against steel").value
    return {"friction": between(grip.low * less, grip.high * less),
        **_facts(safety="safety: short grip and no tailstock")}


def marking_load(material: str, width: Numbers, grip_diameter: Numbers, strength: Any = None) -> Any:
    """Push of one smooth flat jaw, N, at which it begins to leave a mark.

    First yield under a line contact: highest pressure 1.67 times the yield strength (MPa; the
    table's middle unless given). mm; arrays broadcast. Raises Refused for an unknown material.
    """
    strength = (tables.fact("workholding_yield", material=material).value if strength is None
        else positive(strength, "yield strength", "MPa"))
    stiff, nu = (tables.fact("materials", material=material, property=p).value for p in ("E", "nu"))
    contact = 1 / ((1 - nu**2) / stiff + (1 - quantity_of(Poisson).usual**2) / quantity_of(Modulus).usual)
    limit = tables.fact("workholding_facts", what="mark begins at contact pressure over yield").value * strength
    return (np.pi * positive(width, "gripped length") * positive(grip_diameter, "gripped diameter") * limit**2
        / (2 * contact))


@lru_cache(maxsize=256)
def wide_jaw_share(jaws: int, pad_half_angle: float) -> float:
    """The largest bending moment in a thin ring under wide jaws, as a share of that under narrow ones (`wall_stress`).

    Sum over the harmonics m = jaws × k of the pressure, each bending the ring by 1/(m² − 1); degrees.
    """
    m = jaws * np.arange(1.0, 401)
    beta = np.radians(pad_half_angle)
    around = np.cos(np.outer(m, np.linspace(0, np.pi / jaws, 61)))
    wide = np.abs((np.sinc(m * beta / np.pi) / (m**2 - 1)) @ around).max() / np.sinc(beta / np.pi)
    return float(wide / np.sum(1 / (m**2 - 1)))


def cylinder_pressure(load: Numbers, diameter: float, width: float) -> Any:
    """Pressure, MPa, of a push (N, a number or samples) spread evenly round a cylinder: a collet or a mandrel.

    diameter, width: of the gripped cylinder, mm.
    """
    return load / (np.pi * positive(diameter, "gripped diameter") * positive(width, "gripped length"))


def yield_load(strength: Numbers, outside: float, bore: float, width: float, jaws: int,
        pad_half_angle: float = 0.0) -> Any:
    """Push of one jaw, N, above which the wall of a ring yields under the jaw and stays bent.

    strength: yield strength, MPa, a number or an array; outside, bore, width: mm; pad_half_angle: half the angle of
    a jaw's face, degrees. A thin ring in bending (`wall_stress`, `wide_jaw_share`). Raises Refused for under two jaws.
    """
    if jaws < 2:
        raise Refused(f"A chuck has two jaws or more; there were {jaws}.")
    wall, radius = (outside - bore) / 2, (outside + bore) / 4
    return strength / (wall_stress(1.0, radius, jaws, width, wall) * wide_jaw_share(jaws, pad_half_angle))


@dataclass(frozen=True)
class JawWindow:
    """Push of one jaw, N: what the cut needs, and what roundness, marks and spring-back allow."""

    needed: Any      # to drive the cut
    for_round: Any   # above it the bore is out of round by more than the tolerance
    for_marks: Any   # above it a smooth flat jaw marks the work
    for_spring: Any  # above it the wall yields and stays bent

    @property
    def allowed(self) -> Any:
        """The lowest of the three limits, sample by sample."""
        return np.minimum(np.minimum(self.for_round, self.for_marks), self.for_spring)


def jaw_window(lobes: Numbers, load: Numbers, tolerance: float, needed_total: Numbers, material: str, outside: float,
        bore: float, width: float, jaws: int, strength: Any = None, pad_half_angle: float = 0.0) -> JawWindow:
    """The pushes between which a jaw both holds the work and leaves it round.

    lobes: mm, peak to valley on radius, of the finished ring under `load`; tolerance: mm, the same way;
    strength: yield strength, MPa, the table's middle unless given. Samples welcome everywhere.
    Lobing grows in step with the push, so the limits are ratios.
    """
    per_load = np.asarray(positive(lobes, "lobes")) / positive(load, "clamping force per jaw", "N")
    strength = (tables.fact("workholding_yield", material=material).value if strength is None
        else positive(strength, "yield strength", "MPa"))
    springs_back = yield_load(strength, outside, bore, width, jaws, pad_half_angle)
    return JawWindow(np.asarray(needed_total) / jaws, positive(tolerance, "roundness tolerance") / per_load,
        marking_load(material, width, outside, strength), springs_back)


FACES = 7   # widths of a jaw's face between which the lobes are taken straight: they change smoothly


@dataclass(frozen=True)
class BoredInJaws:
    """A ring bored round in its jaws and let go; movements in mm, samples where samples were given."""

    kept: Any          # share of each jaw's push that is left when the bore is finished
    lobes: Any         # of the finished bore, on radius, peak to valley
    two_point: Any     # what a two-point gauge sees of them, on diameter
    three_point: Any
    larger: Any        # mean diameter of the bore after release


def bored_in_jaws(outside: float, raw_bore: float, bore: float, width: float, jaws: int, push: Numbers,
        modulus: Numbers, poisson: float, pad_half_angle: Numbers, jaw_give: Numbers,
        keeps_place: bool = True) -> BoredInJaws:
    """What is left of the jaws' push, and the shape it leaves, when a ring is bored from `raw_bore` to `bore`.

    outside, raw_bore, bore, width: mm; push: N a jaw as set; modulus: MPa; pad_half_angle: degrees; jaw_give: of one
    jaw, mm/N; push, modulus, pad and give may be samples of one length. keeps_place: a scroll's jaws stay where they
    are and lose push as the ring softens; jaws moved by air or oil follow. Everything is in step with push over
    modulus, so each ring is solved at one newton and only anew for the faces. Raises Refused, as `ring_lobing`.
    """
    middle, face = float(np.median(modulus)), float(np.median(pad_half_angle))
    raw, done = (ring_lobing(outside, d, width, 1.0, jaws, middle, poisson, face) for d in (raw_bore, bore))
    kept = kept_load(1.0, -raw.jaw_travel, -done.jaw_travel, jaw_give) if keeps_place else np.ones(np.shape(push))
    faces = np.linspace(np.min(pad_half_angle), np.max(pad_half_angle), FACES)
    one = ring_lobing(outside, bore, width, 1.0, jaws, 1.0, poisson, faces)
    seen = gauged(one)
    ratio = push * kept / modulus
    lobes, two, three, larger = (np.interp(pad_half_angle, faces, v) * ratio
        for v in (one.peak_to_valley, seen.two_point, seen.three_point, -2 * one.mean))
    return BoredInJaws(kept, lobes, two, three, larger)
