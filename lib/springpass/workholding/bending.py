"""Deflection of the work: diameter error along a shaft held in a chuck, on centres, in a steady rest.

Every support is a spring. The tool pushes the work away at the very place where it
cuts, so what counts is how far the work gives under its own load there. Places are
measured from the jaws (or the headstock centre) outwards, mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from .. import cutting
from ..core.formula import formula
from ..core.quantity import Numbers, Refused, floats, positive, quantity_of
from ..core.shared import GRAVITY, Modulus, Poisson, Tolerance, WorkDiameter
from .quantities import (
    CentreStiffness,
    CutPlace,
    FreeLength,
    HeadCentreStiffness,
    SpindleRotation,
    SpindleStiffness,
    ThrustForce,
    TubeBore,
    WorkError,
    WorkLength,
    WorkSecondMoment,
)

SUPPORTS = ("chuck", "chuck and centre", "between centres")
CLOSED = "one diameter, bending alone, over about three diameters long; the feed force's own moment left out"

# ---- one formula at a time ------------------------------------------------------------------------


@formula(source="round section", holds="solid round work", basis="computed")
def work_second_moment(diameter: WorkDiameter) -> WorkSecondMoment:
    """Second moment of area of a solid round shaft."""
    return np.pi * diameter**4 / 64


@formula(source="round section less the bore", holds="round work with a bore down its middle", basis="computed")
def tube_second_moment(diameter: WorkDiameter, bore: TubeBore) -> WorkSecondMoment:
    """Second moment of area of bored work, which bends as a tube."""
    return np.pi * (diameter**4 - bore**4) / 64


@formula(source="Roark's Formulas for Stress and Strain, table of beam formulas, end-loaded cantilever (from memory), "
    "on springs", holds=CLOSED)
def overhang_error(thrust: ThrustForce, place: CutPlace, diameter: WorkDiameter, modulus: Modulus,
        spindle_stiffness: SpindleStiffness, spindle_rotation: SpindleRotation) -> WorkError:
    """Diameter error of a shaft held in the chuck alone, at some distance from the jaws."""
    return 2 * thrust * (place**3 / (3 * modulus * work_second_moment(diameter)) + 1 / spindle_stiffness
        + place**2 / spindle_rotation)


@formula(source="Roark's Formulas for Stress and Strain, table of beam formulas, one end fixed, the other supported "
    "(from memory), re-derived", holds="rigid chuck and rigid centre; " + CLOSED)
def centre_error(thrust: ThrustForce, place: CutPlace, length: WorkLength, diameter: WorkDiameter,
        modulus: Modulus) -> WorkError:
    """Diameter error of a shaft in a rigid chuck with a rigid tailstock centre."""
    return 2 * thrust * place**3 * (length - place)**2 * (4 * length - place) / (
        12 * modulus * work_second_moment(diameter) * length**3)


@formula(source="Roark's Formulas for Stress and Strain, table of beam formulas, both ends supported (from memory), "
    "on springs", holds=CLOSED)
def between_centres_error(thrust: ThrustForce, place: CutPlace, length: WorkLength, diameter: WorkDiameter,
        modulus: Modulus, head_stiffness: HeadCentreStiffness, centre_stiffness: CentreStiffness) -> WorkError:
    """Diameter error of a shaft between two centres that deflect."""
    return 2 * thrust * (place**2 * (length - place)**2 / (3 * modulus * work_second_moment(diameter) * length)
        + (1 - place / length)**2 / head_stiffness + (place / length)**2 / centre_stiffness)


@formula(source="the end-loaded cantilever turned round", holds="rigid chuck, one diameter, bending alone",
    basis="computed")
def free_length(diameter: WorkDiameter, error: Tolerance, thrust: ThrustForce, modulus: Modulus) -> FreeLength:
    """How far a shaft may stick out of a rigid chuck for a given error at its end."""
    return np.cbrt(3 * modulus * work_second_moment(diameter) * error / (2 * thrust))


# ---- a stepped shaft on springs -------------------------------------------------------------------


@dataclass(frozen=True)
class _Shaft:
    """Influence of unit loads at every place and support on one another, split by what gives way."""

    bend: np.ndarray    # times 1/E
    shear: np.ndarray   # times 1/G
    head: np.ndarray    # times 1/(stiffness at the jaws or the headstock centre)
    tilt: np.ndarray    # times 1/(rotation stiffness), or zero
    tail: np.ndarray    # times 1/(tailstock centre), between centres alone


def _shaft(places: np.ndarray, lengths: np.ndarray, diameters: np.ndarray, bores: np.ndarray, centres: bool,
        poisson: float) -> _Shaft:
    """Work out the influence by exact integration: between kinks all moments are straight lines."""
    total = lengths.sum()
    knots = np.unique(np.concatenate([[0.0], np.cumsum(lengths), places]))
    knots = np.minimum(knots[knots <= total + 1e-9], total)
    left, right = knots[:-1], knots[1:]
    middle = (left + right) / 2
    which = np.minimum(np.searchsorted(np.cumsum(lengths), middle), len(lengths) - 1)
    out, bore = diameters[which], bores[which]
    area, inertia = np.pi * (out**2 - bore**2) / 4, tube_second_moment(out, bore)
    s = np.stack([left, middle, right])                             # Simpson is exact for products of lines
    weight = np.array([1, 4, 1])[:, None] / 6 * (right - left) / inertia
    z = places[:, None, None]
    moment = s * (total - z) / total - np.maximum(s - z, 0) if centres else np.maximum(z - s, 0)
    cross = np.where(middle < places[:, None], 1.0, 0.0)
    if centres:
        cross = cross - places[:, None] / total
    flat = moment.reshape(len(places), -1)
    hollow = (1 + (bore / out) ** 2) ** 2                            # Cowper 1966, round section, bored or not
    kappa = 6 * (1 + poisson) * hollow / ((7 + 6 * poisson) * hollow + (20 + 12 * poisson) * (bore / out) ** 2)
    one = np.ones(len(places))
    near, far = (1 - places / total, places / total) if centres else (one, places)
    none = np.zeros((len(places), len(places)))
    return _Shaft((flat * weight.ravel()) @ flat.T, (cross * ((right - left) / (kappa * area))) @ cross.T,
        np.outer(near, near), none if centres else np.outer(far, far), np.outer(far, far) if centres else none)


def _steps(segments: Any) -> np.ndarray:
    """Lengths, diameters and bores of the steps; one step may come as a bare pair. Raises Refused."""
    pairs = [tuple(segments)] if len(segments) == 2 and np.ndim(segments[0]) == 0 else segments
    if not len(pairs):
        raise Refused("The work is a list of (length, diameter) pairs from the jaws outwards, "
            "such as [(20, 20), (60, 15)].")
    if any(len(step) not in (2, 3) for step in pairs):
        raise Refused("A step of the work is its length and its diameter, and its bore where it has one.")
    lengths, diameters, bores = np.array([(*(float(v) for v in step), 0.0)[:3] for step in pairs]).T
    positive(lengths, "length of a step")
    positive(diameters, "diameter of a step")
    positive(bores, "bore of a step", zero=True)
    if (bores >= diameters).any():
        raise Refused(f"A bore of {bores.max():g} mm leaves no wall. Give it less than the step's diameter.")
    return np.stack([lengths, diameters, bores])


def work_compliance(position: Numbers, segments: Sequence[tuple[float, ...]], hold: str = "chuck", *,
        modulus: Any = 205e3, poisson: float = 0.29, spindle_stiffness: Any = np.inf, spindle_rotation: Any = np.inf,
        centre_stiffness: Any = np.inf, steady_at: float | None = None, steady_stiffness: Any = np.inf,
        shear: bool = True) -> Any:
    """How far the work gives at each position under a unit load there, mm/N; positions are the last axis.

    segments: [(length, diameter), ...] from the jaws outwards, as turned, with a third number for a step's bore, for
    bored work bends as a tube; hold: one of SUPPORTS, the centre being at the end of the last segment. Stiffnesses
    N/mm (the headstock centre's too is `spindle_stiffness`), N mm/rad; modulus and stiffnesses may be arrays.
    Solves a Timoshenko shaft on springs by the force method. Raises Refused.
    """
    if hold not in SUPPORTS:
        raise Refused(f"The work is held by one of: {', '.join(SUPPORTS)}; “{hold}” is none of them.")
    lengths, diameters, bores = _steps(segments)
    quantity_of(Poisson).check(poisson, "Poisson's ratio")
    total = lengths.sum()
    at = np.atleast_1d(np.asarray(positive(position, "distance from the jaws", zero=True), float))
    if (at > total * (1 + 1e-9)).any():
        raise Refused(f"The cut at {at.max():g} mm lies beyond the end of the work at {total:g} mm.")
    centres = hold == "between centres"
    props = [(total, centre_stiffness, "stiffness of the centre")] if hold == "chuck and centre" else []
    if steady_at is not None:
        if not 0 < steady_at < total:
            raise Refused(f"The steady rest must stand between 0 and {total:g} mm from the jaws, not at {steady_at:g}.")
        props.append((float(steady_at), steady_stiffness, "stiffness of the steady rest"))
    shaft = _shaft(np.concatenate([at, [p for p, _, _ in props]]), lengths, diameters, bores, centres, float(poisson))

    def give(value: Any, name: str, unit: str = "N/mm") -> np.ndarray:
        return np.asarray(1 / np.asarray(positive(value, name, unit, infinite=True), float))

    soft = give(modulus, "modulus", "MPa")
    springs = [(soft, shaft.bend + (2 * (1 + poisson) * shaft.shear if shear else 0)),
        (give(spindle_stiffness, "stiffness of the spindle"), shaft.head)]
    if centres:
        springs.append((give(centre_stiffness, "stiffness of the centre"), shaft.tail))
    else:
        springs.append((give(spindle_rotation, "stiffness of the spindle against tilting", "N mm/rad"), shaft.tilt))

    def influence(i: Any, j: Any) -> np.ndarray:
        return sum((np.multiply.outer(c, m[i, j]) for c, m in springs), np.zeros(()))

    own = np.arange(len(at))
    result = influence(own, own)
    columns: list[tuple[np.ndarray, np.ndarray]] = []  # the supports already put in
    for k, (_, stiffness, name) in enumerate(props):
        here = len(at) + k
        column = influence(np.arange(len(at) + len(props)), here)
        for earlier, divisor in columns:
            column = column - earlier * (earlier[..., here] / divisor)[..., None]
        divisor = column[..., here] + give(stiffness, name)
        columns.append((column, divisor))
        cuts = column[..., :len(at)]
        result = result - cuts**2 / divisor[..., None]
    result = np.maximum(result, 0.0)
    return result if np.ndim(position) or result.ndim > 1 else float(result[0])


@dataclass(frozen=True)
class TurnedError:
    """What one pass left, place by place; the places are the last axis."""

    position: Any    # mm from the jaws
    error: Any       # of the diameter, mm: too big where positive
    depth: Any       # really cut, on radius, mm
    thrust: Any      # N
    compliance: Any  # mm/N

    @property
    def worst(self) -> Any:
        """The largest error along the work."""
        return np.max(self.error, axis=-1)

    @property
    def taper(self) -> Any:
        """Difference of the errors at the far and the near end."""
        return self.error[..., -1] - self.error[..., 0]


def thrust_table(infeed: float, feed: float, nose_radius: float, material: Any, entering_angle: float = 90.0) -> Any:
    """Give of the work and the thrust that goes with it, for one infeed: (mm/N ascending, N falling).

    For each depth really cut there is one give with depth + give × thrust = infeed; read the other way round,
    it solves the implicit cut for any give.
    """
    return _thrust_table(float(positive(infeed, "infeed")), float(positive(feed, "feed")),
        float(positive(nose_radius, "nose radius")), cutting.kienzle(material), float(entering_angle))


@lru_cache(maxsize=64)
def _thrust_table(infeed: float, feed: float, nose_radius: float, k: cutting.Kienzle, entering_angle: float) -> Any:
    short = np.concatenate([np.geomspace(1e-5, 0.3, 40), np.linspace(0.3, 0.999, 60)[1:]]) * infeed  # left standing
    thrust = cutting.nose_forces(infeed - short, feed, nose_radius, entering_angle, k.kc, k.mc, k.kn, k.mn).thrust
    if not (np.isfinite(thrust).all() and (thrust > 0).all()):
        raise Refused("This cut gives no thrust. Move depth of cut, feed and nose radius towards their usual values.")
    return short / thrust, thrust


def turned_error(segments: Sequence[tuple[float, ...]] = ((60.0, 20.0),), infeed: float = 0.1, feed: float = 0.05,
        nose_radius: float = 0.4, material: Any = "low-carbon steel", *, hold: str = "chuck", position: Any = None,
        force: Any = None, force_factor: Any = 1.0, entering_angle: float = 90.0, tool_compliance: Any = 0.0,
        **supports: Any) -> TurnedError:
    """Diameter error along a turned shaft, mm: 2 × give × thrust, the thrust being that of the depth really cut.

    segments: [(length, diameter), ...] from the jaws outwards, mm, as turned; infeed on radius; position: places
    from the jaws, 31 evenly spaced unless given; force: a fixed thrust in N instead of one from the cut;
    force_factor: multiplies the thrust (samples of how uncertain it is); tool_compliance: of slides and tool,
    mm/N; supports: as for `work_compliance` (modulus, poisson, spindle_stiffness, spindle_rotation,
    centre_stiffness, steady_at, steady_stiffness, shear). Samples may be arrays; places are the last axis.
    Left out: the feed force's moment, which bends free work back towards the tool by some 1.5·(F_f/F_p)·(R/z)
    of the error. Raises Refused.
    """
    if position is None:
        position = np.linspace(0, _steps(segments)[0].sum(), 31)
    position = np.atleast_1d(np.asarray(position, float))
    give = work_compliance(position, segments, hold, **supports)
    give = give + np.asarray(positive(tool_compliance, "give of the tool", "mm/N", zero=True))[..., None]
    factor = np.asarray(positive(force_factor, "factor on the force", "times"))[..., None]
    if force is not None:
        thrust = np.asarray(positive(force, "thrust", "N", zero=True))[..., None] * factor + 0 * give
        return TurnedError(position, 2 * give * thrust, np.full(thrust.shape, np.nan), thrust, give)
    infeed = float(positive(infeed, "infeed"))
    known, forces = thrust_table(infeed, feed, nose_radius, material, entering_angle)
    scaled = give * factor
    if scaled.max() > known[-1]:
        raise Refused("The work deflects so much that hardly anything is cut. Shorten it, support it or leave "
            "it thicker.")
    thrust = np.interp(scaled, known, forces) * factor
    away = give * thrust
    return TurnedError(position, 2 * away, infeed - away, thrust, give)


def own_share(position: Any, segments: Sequence[tuple[float, ...]], hold: str, give: Numbers, modulus: float = 205e3,
        poisson: float = 0.29, steady_at: float | None = None) -> float:
    """How much of the give at one place, 0 to 1, is the work's own bending; the rest is that of its supports.

    position: mm from the jaws; segments: [(length, diameter), ...], mm; hold: one of SUPPORTS; give: of work and
    supports together at that place, mm/N, the median where it is an array of samples; modulus: MPa; steady_at: mm.
    Zero where nothing gives. Raises Refused, as `work_compliance`.
    """
    whole = float(np.median(give))
    alone = work_compliance(np.array([position]), segments, hold, modulus=modulus, poisson=poisson, steady_at=steady_at)
    return min(float(np.ravel(alone)[0]) / whole, 1.0) if whole > 0 else 0.0


def deepest_cut(compliance: Numbers, tolerance: float, feed: float = 0.05, nose_radius: float = 0.4,
        material: Any = "low-carbon steel", entering_angle: float = 90.0) -> Any:
    """The largest infeed on radius, mm, whose diameter error stays within the tolerance where the work gives so much.

    For the light cut when the centre must come away. Zero where not even 1 µm may be taken; 3 mm at most.
    """
    kc, mc, kn, mn = cutting.kienzle(material)
    depth = np.geomspace(1e-3, 3.0, 80)
    thrust = cutting.nose_forces(depth, feed, nose_radius, entering_angle, kc, mc, kn, mn).thrust
    give = np.maximum(positive(compliance, "give of the work", "mm/N", zero=True), 1e-12)
    cut = np.interp(positive(tolerance, "tolerance") / (2 * give), thrust, depth, left=0.0)
    return np.where(cut > 0, np.minimum(cut + tolerance / 2, 3.0), 0.0)[()]


# ---- the lathe's own springs ----------------------------------------------------------------------

RESOLUTION = 0.001  # mm, of an indicator
# Student's t for nine times in ten, two-sided, by degrees of freedom 1..12; then the normal value (standard table, from
# memory)
STUDENT = (6.314, 2.920, 2.353, 2.132, 2.015, 1.943, 1.895, 1.860, 1.833, 1.812, 1.796, 1.782)


def _student(freedom: int) -> float:
    return STUDENT[freedom - 1] if freedom <= len(STUDENT) else 1.70


@dataclass(frozen=True)
class Spring:
    """A stiffness measured with weights, with where it lies nine times in ten."""

    value: float    # N/mm
    low: float
    high: float     # infinite where the readings cannot tell it from rigid
    scatter: float  # of one reading about the line, mm


def stiffness_from_weights(mass: Numbers, reading: Numbers, resolution: float = RESOLUTION) -> Spring:
    """Stiffness of a spindle, tailstock or centre from weights hung on it (kg) and an indicator's readings (mm).

    Fits a straight line with its own zero to three readings or more; the range comes from their scatter
    by Student's t, and one reading counts for no better than the indicator's resolution (mm) over √12. Raises Refused
    for fewer readings, equal weights, or an indicator that moved the wrong way.
    """
    mass = np.atleast_1d(positive(mass, "mass", "kg", zero=True))
    reading = _numbers(reading)
    if mass.shape != reading.shape or len(mass) < 3:
        raise Refused("Give at least three readings, one per weight; the empty hook counts as zero.")
    if np.ptp(mass) == 0:
        raise Refused("All weights are the same, so no line can be drawn. Use different ones.")
    force = mass * GRAVITY
    (slope,), (error,), scatter = _fit(np.column_stack([force, np.ones(len(force))]), reading, 1, resolution)
    if slope <= 0:
        raise Refused(
            "The indicator does not move further with more weight. Change the readings' sign, or look for a "
            "slack clamp.")
    reach = _student(len(mass) - 2) * error
    return Spring(1 / slope, 1 / (slope + reach), 1 / (slope - reach) if slope > reach else np.inf, scatter)


@dataclass(frozen=True)
class SpindleSprings:
    """Shift and tilt of spindle, chuck and grip, told apart by loading a bar at two distances or more."""

    shift: Spring  # N/mm
    tilt: Spring   # value, low, high in N mm/rad


def spindle_from_weights(mass: Any, reading: Any, distance: Any, bar_diameter: float, modulus: float = 205e3,
        resolution: float = RESOLUTION) -> SpindleSprings:
    """Springs of the spindle from weights (kg) hung on a stout bar in the chuck, read where they hang (mm).

    distance: of each weight from the jaws, mm; at least two different ones and four readings. The bar's own
    bending is taken off; each distance has its own zero. Raises Refused.
    """
    mass, reading, distance = (np.atleast_1d(v) for v in (positive(mass, "mass", "kg", zero=True), _numbers(reading),
        positive(distance, "distance from the jaws")))
    mass, distance = np.broadcast_arrays(mass, distance)
    if mass.shape != reading.shape or len(mass) < 5 or len(np.unique(distance)) < 2:
        raise Refused("Give at least five readings, at two or more distances from the jaws, "
            "so that shift and tilt can be told apart.")
    force = mass * GRAVITY
    inertia = work_second_moment(positive(bar_diameter, "diameter of the bar"))
    bar = distance**3 / (3 * positive(modulus, "modulus", "MPa") * inertia)
    zeros = (distance[:, None] == np.unique(distance)).astype(float)
    columns = np.column_stack([force, force * distance**2, zeros])
    gives, errors, scatter = _fit(columns, reading - force * bar, 2, resolution)
    if (gives <= 0).any():
        raise Refused("These readings would need a negative stiffness. Check the signs, the distances and the bar's "
            "diameter, or use heavier weights.")
    t = _student(len(mass) - 2 - zeros.shape[1]) if len(mass) > 2 + zeros.shape[1] else np.inf
    return SpindleSprings(*(Spring(1 / g, 1 / (g + t * e), 1 / (g - t * e) if g > t * e else np.inf, scatter)
        for g, e in zip(gives, errors, strict=True)))


def _numbers(reading: Any) -> np.ndarray:
    values = np.atleast_1d(floats(reading, "a reading", "a number in mm"))
    if not np.isfinite(values).all():
        raise Refused("A reading must be a finite number in mm.")
    return values


def _fit(columns: np.ndarray, reading: np.ndarray, wanted: int, resolution: float) -> tuple[np.ndarray, np.ndarray,
        float]:
    """Least squares: the first `wanted` coefficients, their standard errors, and the scatter of one reading."""
    scale = np.abs(columns).max(0)
    scale[scale == 0] = 1.0
    a = columns / scale
    if np.linalg.matrix_rank(a) < a.shape[1]:
        raise Refused("These weights and distances cannot tell shift from tilt. Choose weights and distances "
            "that differ more.")
    inverse = np.linalg.inv(a.T @ a)
    found = inverse @ a.T @ reading
    free = len(reading) - a.shape[1]
    scatter = float(np.sqrt(np.sum((reading - a @ found)**2) / free)) if free else 0.0
    # identical readings are still only as good as the indicator
    known = max(scatter, float(positive(resolution, "resolution")) / np.sqrt(12))
    return (found / scale)[:wanted], (known * np.sqrt(np.diag(inverse)) / scale)[:wanted], scatter
