"""A boring job in every sample of what is not known: is the size held, is the cut quiet, does the edge cut?

Force, holder, damping and edge are sampled once. What follows from the cut alone is tabulated over compliance,
so that a thousand stickouts cost little more than one.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from ..core import tables
from ..core.quantity import Numbers, Refused, positive
from ..core.spread import POINTS, Uncertain, about, between, factor_of, sample
from ..cutting import forces
from . import bending, vibration
from .bending import PassesTaken
from .holder import STEEL, HolderGrowth, grip_share
from .setup import Setup

HALF = 0.5  # of a pass's chip: less than that thick enough, and the pass only rubs


# ---- what is not known -------------------------------------------------------------------------------


def _rule(name: str) -> tables.Fact:
    return tables.fact("bar_rules", name=name)


def _spread(fact: tables.Fact) -> Uncertain:
    """Nineteen in twenty between the fact's ends, bell-shaped in the logarithm."""
    return factor_of(float(np.sqrt(fact.low * fact.high)), float(np.sqrt(fact.high / fact.low)))


def _near(measured: tuple[float, float] | None, holder: str, wanted: str) -> Uncertain:
    """A measured value with its spread, or the table's range."""
    if measured is None:
        return _spread(tables.fact("holders", holder=holder, property=wanted))
    value, error = measured
    positive(value, f"measured {wanted}", "")
    return factor_of(value, 1 + 2 * min(abs(error) / value, 0.5) + 0.02)


@lru_cache(maxsize=256)
def _draws(
    material: str, bar_material: str, holder: str, stiffness: Any, rotation: Any, damping: Any, count: int
) -> dict[str, Any]:
    """Samples of what is not known about a setup: springs, forces, damping, edge, and what differs from cut to cut."""
    inside, wear, thrust = (_rule(name) for name in ("internal turning", "edge wear", "thrust"))
    like, practice = _rule("like cuts"), _rule("plain bar")
    d = sample(count, modulus=tables.fact("bar_materials", bar_material=bar_material, property="E").range,
        shift=_near(stiffness, holder, "stiffness"),
        tilt=_near(rotation, holder, "rotation") if rotation is not None or stiffness is None else np.inf,
        damping=_near(damping, holder, "damping"), force=forces.force_range(material),
        inside=between(inside.low, inside.high), wear=between(wear.low, wear.high),
        thrust=factor_of(1.0, float(np.sqrt(thrust.high / thrust.low))), slope=_spread(_rule("regenerating share")),
        rubbing=_spread(_rule("process damping")), like=between(like.low, like.high), luck=about(0.0, 2.0),
        practice=between(practice.low, practice.high))
    d["soft"] = 1 / d["modulus"]
    d["factor"] = d["force"] * d["inside"] * d["wear"] * d["thrust"]
    d["grows"] = d["force"] * d["inside"] * d["slope"]  # of the part of the force that follows the chip
    d["land"] = vibration.LAND * np.sqrt(d["rubbing"] / vibration.LAND_RUBS)
    return d


# ---- the cut, tabulated over the bar's compliance --------------------------------------------------------


class TabulatedCut(NamedTuple):
    """One cut at every compliance: what follows from work, nose, feed, depth and passes alone."""

    start: float
    step: float
    left: np.ndarray  # log of what each pass leaves, on radius, as it comes
    worst: np.ndarray  # log of the same, no bar credited with a pass that a stiffer bar's would only rub
    share: np.ndarray  # of each pass's chip that is thick enough to be cut
    removed: np.ndarray
    kept: np.ndarray  # share of an unevenness of the stock that is still there
    drop: np.ndarray  # cutting force of the last pass where it cuts, N
    thrust: float  # at the depth set, N
    lean: float  # feed force over thrust
    slope: float  # of the thrust with depth, N/mm
    whole: float  # stiffness of the cut for chatter, N/mm
    overlap: float
    contact: float
    hardness: float  # force of this material over that of medium-carbon steel

    def at(self, table: np.ndarray, log_compliance: Any) -> Any:
        place = np.clip((log_compliance - self.start) / self.step, 0, table.shape[-1] - 1.0001)
        cell = place.astype(np.intp)
        low = table[..., cell]
        return low + (place - cell) * (table[..., cell + 1] - low)


@lru_cache(maxsize=256)
def _cut(
    material: str, feed: float, nose: float, entering: float, infeed: float, least: float, passes: int
) -> TabulatedCut:
    k = forces.kienzle(material)
    loads = bending.cut_loads(k, feed, nose, entering, infeed, 110)
    _, thrust, along = (float(v) for v in loads.forces(infeed))
    up, down = (float(loads.forces(infeed * v)[1]) for v in (1.02, 0.98))
    stiff = forces.cutting_stiffness(infeed, feed, nose, entering, k.kn, k.mn)
    log_c = np.linspace(np.log(1e-7), np.log(3.0), 120)
    c = np.exp(log_c)
    depth = np.geomspace(infeed * 1e-4, infeed * 1.01, 72)
    thick = forces.share_cut(depth, feed, nose, entering, least)
    took = np.gradient(depth * thick, depth)  # removed for each millimetre deeper
    grid = np.log(depth)
    left, kept = np.full(c.shape, infeed), np.ones(c.shape)
    rows: dict[str, list[np.ndarray]] = {"left": [], "share": [], "removed": [], "kept": []}
    for _ in range(passes):
        a, slope = loads.settle(left, c)
        y = np.log(np.maximum(a, 1e-12))
        share = np.interp(y, grid, thick)
        left = left - a * share
        kept = kept * np.clip(1 - np.interp(y, grid, took) / slope, 0.0, 1.0)
        for name, value in (("left", left), ("share", share), ("removed", a * share), ("kept", kept)):
            rows[name].append(value)
    main = loads.forces(a)[0] * (share > HALF)
    lefts = np.log(np.maximum(rows["left"], 1e-9))
    return TabulatedCut(float(log_c[0]), float(log_c[1] - log_c[0]), lefts, np.maximum.accumulate(lefts, axis=-1),
        np.array(rows["share"]), np.array(rows["removed"]), np.array(rows["kept"]), main, thrust, along / thrust,
        (up - down) / (0.04 * infeed), float(stiff.whole), max(float(stiff.overlap), 1e-3), float(stiff.contact),
        k.kc / forces.kienzle("medium-carbon steel").kc)


def force_factor(material: str = "medium-carbon steel", count: int = POINTS) -> np.ndarray:
    """What the thrust of a bored cut may be over the table's, in each sample: printed sets, bore, wear, thrust.

    Raises Refused for an unknown material.
    """
    if isinstance(count, bool) or not isinstance(count, (int, np.integer)) or not 1 <= count <= 10 * POINTS:
        raise Refused(f"The number of samples must be a whole number from 1 to {10 * POINTS}; it was {count!r}.")
    one = Setup(material=forces.group_of(material))
    return np.asarray(_drawn(one, int(count))["factor"])


def smooth_passes(infeed: float = 0.1, feed: float = 0.05, nose_radius: float = 0.4, compliance: Numbers = 7.8e-4,
        material: str = "medium-carbon steel", passes: int = 2, least_chip: float = 0.004, *,
        entering_angle: float = 93.0, force_factor: Numbers = 1.0) -> PassesTaken:
    """Passes at one dial setting with a smooth onset of cutting: what each takes and leaves on the radius, mm.

    As `spring_passes`, but the part of the chip that is thinner than the minimum is ploughed and springs back,
    so that a pass that grows too thin fades out instead of stopping dead. Tabulated over the compliance: very many
    samples cost little. Raises Refused for values that cannot be.
    """
    if isinstance(passes, bool) or not isinstance(passes, (int, np.integer)) or not 1 <= passes <= 100:
        raise Refused(f"The number of passes must be a whole number from 1 to 100; it was {passes!r}.")
    depth, step, nose = (float(positive(v, name)) for v,
        name in ((infeed, "infeed"), (feed, "feed"), (nose_radius, "nose radius")))
    least = float(positive(least_chip, "minimum chip thickness", zero=True))
    c = np.asarray(positive(compliance, "compliance", "mm/N")) * np.asarray(positive(force_factor, "force factor", ""))
    cut = _cut(forces.group_of(material), step, nose, float(positive(entering_angle, "entering angle", "degrees")),
        depth, least, int(passes))
    at = np.log(c)
    return PassesTaken(cut.at(cut.removed, at), np.exp(cut.at(cut.left, at)), cut.at(cut.kept, at))


# ---- every sample of a job, at one stickout or many --------------------------------------------------------


class Outcome(NamedTuple):
    """Each sample's fate: rows are stickouts (or bars), columns samples."""

    error: Any  # of the finished diameter by the way chosen, mm; below zero is small
    size: Any  # True where the error lies inside the tolerance
    quiet: Any
    cuts: Any
    slim: Any  # True where the bar is no more slender than plain bars are known to do
    good: Any
    log_c: Any  # log of compliance times force factor
    springs: Any  # compliance at the tip, mm/N
    holder: Any  # share of it that is the holder's
    frequency: Any  # Hz
    stiffness: Any  # of the mode at the tip, N/mm
    twist: Any  # of the tip for 1 N mm about the axis


def _some(s: Setup, count: int, pick: int | np.ndarray) -> dict[str, Any]:
    """What is not known, in every so many of the samples or in those picked."""
    drawn = _drawn(s, count)
    if isinstance(pick, np.ndarray):
        return {name: value[pick] if isinstance(value, np.ndarray) else value for name, value in drawn.items()}
    if pick == 1:
        return drawn
    return {name: value[::pick] if isinstance(value, np.ndarray) else value for name, value in drawn.items()}


def _outcome(s: Setup, count: int, stickout: Any = None, bar_diameter: Any = None, pick: int | np.ndarray = 1
             ) -> Outcome:
    """Everything that follows from a setup in each sample; a column of stickouts or bars may be asked for at once.

    pick: one of so many samples, or which ones.
    """
    d = _some(s, count, pick)
    length = np.asarray(s.stickout if stickout is None else stickout, float).reshape(-1, 1)
    bar = np.asarray(s.bar_diameter if bar_diameter is None else bar_diameter, float).reshape(-1, 1)
    nu, rho, modulus = _bar_facts(s.bar_material)
    soft = d["soft"]
    body = bending.BarShape.of(length, bar, nu, min(s.neck_length, s.stickout), s.neck_diameter)
    grow = HolderGrowth.of(bar)
    give = 1 / d["shift"] if s.measured_stiffness else 1 / (d["shift"] * grow.shift)
    lean = (
        1 / d["tilt"] if s.measured_rotation or s.measured_stiffness else (grip_share(soft) / (d["tilt"] * grow.tilt)))
    holder = give + length**2 * lean
    springs = body.side * soft + holder
    cut = _tabulated(s)
    offset = 0.6 * bar if s.tip_offset is None else s.tip_offset
    pull = offset * (body.moment * soft + length * lean)
    c = np.maximum(springs - pull * cut.lean, 0.02 * springs) * d["factor"]
    log_c = np.log(c)
    own, head = body.mass(rho, soft, give, length * lean, springs), s.tip_mass * 1e-3
    modal = vibration.modal_factor(head / own)
    stiffness = modal / springs
    omega = np.sqrt(1 / (springs * (own + head) * modal))  # Rayleigh alone is 1.5 % high for a bare bar
    if s.measured_frequency is not None:
        omega = omega * (2 * np.pi * s.measured_frequency / np.median(_omega_now(s, count)))
    share = vibration.damping_on_short_waves(d["damping"], d["rubbing"] * cut.hardness, d["land"], cut.contact, omega,
        stiffness, s.speed)
    quiet = cut.whole * d["grows"] < vibration.limit_with_overlap(stiffness, share, cut.overlap)
    slim = length <= d["practice"] * (bar * (modulus / STEEL) ** (1 / 3))
    cuts = cut.at(cut.share[0], log_c) > HALF
    if s.dial_out:
        push = c * cut.thrust
        error = 2 * d["luck"] * d["like"] * push / (1 + c * cut.slope)
    else:
        drop = cut.at(cut.drop, log_c) * d["factor"] / d["thrust"] * (springs + offset**2 * body.twist * soft)
        error = bending.bore_cut(s.bore, np.exp(cut.at(cut.worst[-1], log_c)), drop) - s.bore
    size = np.abs(error) <= s.tolerance / 2
    return Outcome(error, size, quiet, cuts, slim, size & quiet & cuts & slim, log_c, springs, holder / springs,
        omega / (2 * np.pi), stiffness, body.twist * soft)


def _tabulated(s: Setup) -> TabulatedCut:
    return _cut(s.material, s.feed, s.nose_radius, s.entering_angle, s.infeed, s.least_chip, int(s.passes))


def _drawn(s: Setup, count: int) -> dict[str, Any]:
    return _draws(s.material, s.bar_material, s.holder, s.measured_stiffness, s.measured_rotation, s.measured_damping,
        count)


@lru_cache(maxsize=64)
def _omega_now(s: Setup, count: int) -> Any:
    """What the model takes the frequency for, 1/s, where a measured one stands against it."""
    return 2 * np.pi * _outcome(replace(s, measured_frequency=None), count).frequency


@lru_cache(maxsize=16)
def _bar_facts(material: str) -> tuple[float, ...]:
    """Poisson's ratio, density kg/m³, modulus MPa."""
    return tuple(tables.fact("bar_materials", bar_material=material, property=p).value for p in ("nu", "density", "E"))


def _chance(s: Setup, count: int, **sweep: Any) -> np.ndarray:
    return np.asarray(_outcome(s, count, **sweep).good.mean(-1))
