"""What it takes to cut: forces on the nose, power, the marks the feed leaves.

A finishing cut is taken by the nose's arc: the chip there is thin, and thinnest
where the finished surface is made. So the force is summed along the arc from the
local chip thickness, not from feed times depth with one thickness for all.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from ..core import tables
from ..core.formula import formula
from ..core.quantity import Numbers, Refused, positive, said
from ..core.shared import ChipThickness, CuttingForce, CuttingSpeed, Feed, LeastChip, NoseRadius, SpecificForce
from ..core.spread import Uncertain
from .quantities import (
    MainForceExponent,
    MainForceValue,
    MeanRoughness,
    MinorAngle,
    Power,
    Roughness,
    UnitChip,
    WantedMark,
)

# ---- one formula at a time ------------------------------------------------------------------------


@formula(source="Kienzle, Die Bestimmung von Kräften und Leistungen an spanenden Werkzeugen, VDI-Z 94 (1952) "
    "(from memory)", holds="chips over about 0.05 mm; thinner ones are extrapolated, to some 30 % low or high")
def specific_force(chip: ChipThickness, main_value: MainForceValue, main_exponent: MainForceExponent,
        unit_chip: UnitChip = 1.0) -> SpecificForce:
    """Cutting force per area of chip: a thin chip needs more force per square millimetre."""
    return main_value * (chip / unit_chip) ** -main_exponent


@formula(source="force times speed", holds="any cut; at the edge, before the losses of the drive", basis="computed")
def cutting_power(cutting_force: CuttingForce, speed: CuttingSpeed) -> Power:
    """Power at the edge, kW."""
    return cutting_force * speed / 60000


@formula(source="geometry of two arcs one feed apart", holds="feed up to the nose arc's chord: f ≤ 2 r sin κ′",
    basis="computed")
def feed_mark(feed: Feed, nose_radius: NoseRadius) -> Roughness:
    """Height of the marks that a round nose leaves."""
    return nose_radius - np.sqrt(nose_radius**2 - feed**2 / 4)


@formula(source="the arc taken as a parabola", holds="feed up to half the nose radius: then within 2 %",
    basis="computed")
def feed_mark_short(feed: Feed, nose_radius: NoseRadius) -> Roughness:
    """The workshop's form of the feed mark's height."""
    return feed**2 / (8 * nose_radius)


@formula(source="the parabola's feed mark turned round", holds="feed up to half the nose radius", basis="computed")
def feed_for_mark(mark: WantedMark, nose_radius: NoseRadius) -> Feed:
    """The feed that leaves marks of a wanted height."""
    return np.sqrt(8 * nose_radius * mark)


@formula(source="geometry of an arc and the straight edge behind it, one feed apart",
    holds="feed beyond the nose's chord: f ≥ 2 r sin κ′", basis="computed")
def feed_mark_past_nose(feed: Feed, nose_radius: NoseRadius, minor_angle: MinorAngle) -> Roughness:
    """Height of the marks when the straight minor edge makes part of them."""
    k = np.radians(minor_angle)
    return (nose_radius * (1 - np.cos(k)) + feed * np.sin(k) * np.cos(k)
        - np.sin(k) * np.sqrt(2 * feed * nose_radius * np.sin(k) - feed**2 * np.sin(k) ** 2))


@formula(source="mean deviation of a parabola from its mean line", holds="feed small beside the nose radius",
    basis="computed")
def mean_of_feed_mark(feed: Feed, nose_radius: NoseRadius) -> MeanRoughness:
    """Mean roughness of the marks a round nose leaves: a little over a quarter of their height."""
    return feed**2 / (18 * np.sqrt(3) * nose_radius)


@formula(source="Brammertz, Die Entstehung der Oberflächenrauheit beim Feindrehen, Industrie-Anzeiger 83 "
    "(1961) (from memory; re-derived)", holds="fine feeds with an edge that rubs below its minimum chip thickness")
def feed_mark_with_rubbing(feed: Feed, nose_radius: NoseRadius, least_chip: LeastChip) -> Roughness:
    """Height of the marks when the edge cannot take the thinnest part of the chip."""
    return feed**2 / (8 * nose_radius) + least_chip / 2 * (1 + nose_radius * least_chip / feed**2)


# ---- work materials -------------------------------------------------------------------------------


class Kienzle(NamedTuple):
    """Specific forces of one work material: along the speed (kc, mc) and normal to the edge (kn, mn)."""

    kc: float
    mc: float
    kn: float
    mn: float


def work_materials() -> list[str]:
    """Names of the work materials whose cutting force is known."""
    return tables.names("kienzle", "material")


def kienzle(material: Any) -> Kienzle:
    """Specific forces by name of work material, or from (kc, mc, kn, mn) or a mapping with these keys.

    MPa for a 1 mm by 1 mm chip. Raises Refused for an unknown name or values that make no sense.
    """
    if isinstance(material, str):
        row = tables.row("kienzle", material=group_of(material))
        return Kienzle(row["kc11"], row["mc"], row["kn11"], row["mn"])
    try:
        values = Kienzle(**material) if isinstance(material, dict) else Kienzle(*material)
    except TypeError:
        raise Refused(f"A work material is a name such as “{work_materials()[0]}”, or the four numbers "
            f"kc, mc, kn, mn; this was {said(material)}.") from None
    positive(values.kc, "kc", "MPa")
    positive(values.kn, "kn", "MPa", zero=True)
    for exponent in (values.mc, values.mn):
        if not (np.isfinite(np.asarray(exponent, float)).all() and (np.abs(exponent) < 1).all()):
            raise Refused(f"The exponents mc and mn must lie between −1 and 1; one was {exponent}.")
    return values


# ---- the chip on the nose -------------------------------------------------------------------------

# Gauss points on 0..1, crowded at both ends where the chip runs out to nothing and h^-m is steep
_GAUSS, _WEIGHT = np.polynomial.legendre.leggauss(20)
_S = (_GAUSS + 1) / 2
_NODE = _S**3 * (10 - 15 * _S + 6 * _S**2)
_SHARE = _WEIGHT / 2 * 30 * _S**2 * (1 - _S) ** 2


@dataclass(frozen=True)
class NoseChip:
    """The uncut chip along the edge: last axis is the place on the edge."""

    angle: Any        # radians from the radial direction, + towards the feed
    thickness: Any
    length: Any       # of edge, at mid-thickness, that each place stands for
    previous: Any     # True where the back of the chip is the surface the previous turn left
    edge: Any         # length of edge itself that each place stands for
    thickest: Any     # no last axis


def force_beside_table(material: str) -> tables.Fact:
    """The true cutting force over the tabulated one, by material, as the printed sets put side by side have it.

    A factor, nineteen times in twenty between its ends, for `spread.sample`; their disagreement (cutting_force_sets) is
    the larger part of what is not known. Raises Refused for an unknown material.
    """
    row = tables.row("kienzle", material=group_of(material))
    middle = float(np.sqrt(row["low"] * row["high"]))
    return tables.Fact(middle, row["low"], row["high"], "1", row["source"], row["place"], row["basis"], "ratio")


def nose_chip(depth: Numbers, feed: Numbers, nose_radius: Numbers, entering_angle: Any = 90.0) -> NoseChip:
    """Thickness of the uncut chip along a round nose and the straight edge after it.

    Good to a millionth of the chip's area for feeds up to the nose radius; beyond it, where no finish is
    left anyway, the area comes out low (9 % at one and a half). All mm and degrees; arrays broadcast.
    Raises Refused for a feed of more than a nose diameter or an entering angle outside 20..120 degrees.
    """
    a, f, r, kappa = np.broadcast_arrays(*(np.asarray(v, float)[..., None] for v in (positive(depth, "depth of cut"),
        positive(feed, "feed"), positive(nose_radius, "nose radius"), entering_angle)))
    if (f >= 2 * r).any():
        raise Refused(f"A feed of {f.max():g} mm is more than the nose can leave a surface with "
            f"(nose radius {r.min():g} mm). Feed less than twice the nose radius.")
    if not ((kappa >= 20) & (kappa <= 120)).all():
        raise Refused("The entering angle must lie between 20 and 120 degrees.")
    kappa = np.radians(kappa)
    straight = a > r * (1 - np.cos(kappa))           # the cut reaches past the nose
    end = np.where(straight, kappa, np.arccos(np.clip(1 - a / r, -1, 1)))
    start = np.maximum(-np.arcsin(f / (2 * r)), -end)
    # where the previous turn's groove meets the old surface
    across = np.sqrt(np.maximum(2 * r * a - a**2, 0)) - f
    meet = np.where(straight, end, np.clip(np.arctan2(across, r - a), start, end))

    pieces = []
    for low, high, previous in ((start, meet, True), (meet, end, False)):
        phi = low + (high - low) * _NODE
        groove = r + f * np.sin(phi) - np.sqrt(np.maximum(r**2 - (f * np.cos(phi)) ** 2, 0))
        if previous:
            h = groove
        else:
            with np.errstate(divide="ignore"):
                h = np.minimum(groove, r - (r - a) / np.cos(phi))
        h = np.maximum(h, 0.0)
        span = (high - low) * _SHARE
        pieces.append((phi, h, (r - h / 2) * span, np.full(h.shape, previous), r * span))
    past = (a - r * (1 - np.cos(kappa))) / np.sin(kappa) - f / 2 * np.cos(kappa)
    reach = np.where(straight, np.maximum(past, 0), 0)
    pieces.append((kappa, np.where(straight, f * np.sin(kappa), 0), reach, np.full(a.shape, True), reach))
    # the chip is thickest where the two backs meet, between the places sampled
    top = r + f * np.sin(meet) - np.sqrt(np.maximum(r**2 - (f * np.cos(meet)) ** 2, 0))
    joined = [np.concatenate(part, axis=-1) for part in zip(*pieces, strict=True)]
    thickest = np.where(meet > start, np.maximum(top[..., 0:1], joined[1].max(-1, keepdims=True)),
        joined[1].max(-1, keepdims=True))
    angle, thickness, length, whole, edge = joined
    return NoseChip(angle, thickness, length, whole, edge, thickest[..., 0])


class NoseForces(NamedTuple):
    """Force on the tool, N: along the speed, off the wall, along the feed; chip area mm², thickest mm."""

    cutting: Any
    thrust: Any
    feed: Any
    area: Any
    max_chip: Any


def nose_forces(depth: Numbers, feed: Numbers, nose_radius: Numbers, entering_angle: Any = 90.0, kc: Any = 1500.0,
        mc: Any = 0.22, kn: Any = 600.0, mn: Any = 0.4) -> NoseForces:
    """Cutting, thrust and feed force of a cut on a round nose, summed along the edge.

    depth (on radius), feed, nose_radius: mm; entering_angle: degrees; kc, kn: MPa for a 1 mm
    by 1 mm chip; mc, mn: exponents. Arrays broadcast. Raises Refused for values that cannot be.
    Source: Kienzle's law on each short piece of edge; checked against a fine numerical integration.
    """
    chip = nose_chip(depth, feed, nose_radius, entering_angle)
    kc, mc, kn, mn = (np.asarray(v, float)[..., None] for v in kienzle((kc, mc, kn, mn)))
    with np.errstate(divide="ignore"):
        log_h = np.log(chip.thickness)
    main = kc * np.exp((1 - mc) * log_h) * chip.length
    normal = kn * np.exp((1 - mn) * log_h) * chip.length
    return NoseForces(*(_plain(v) for v in (main.sum(-1), (normal * np.cos(chip.angle)).sum(-1),
        (normal * np.sin(chip.angle)).sum(-1), (chip.thickness * chip.length).sum(-1), chip.thickest)))


class CuttingStiffnesses(NamedTuple):
    """How fast the thrust grows as the tip moves in, N/mm: at once, and through the last revolution's surface."""

    whole: Any
    previous: Any
    overlap: Any   # previous / whole
    contact: Any   # length of edge in the cut, mm


def cutting_stiffness(depth: Numbers, feed: Numbers, nose_radius: Numbers, entering_angle: Any = 90.0, kn: Any = 600.0,
        mn: Any = 0.4, least_chip: Any = 0.0) -> CuttingStiffnesses:
    """Slope of the thrust with the tip's radial place, for chatter.

    It is the slope of Kienzle's curve (1−m)·k·h^−m, not the secant k·h^−m, turned twice onto the
    radial direction. Where the chip is thinner than least_chip the edge rubs: nothing regenerates there.
    mm, N, degrees; arrays broadcast. Raises Refused for values that cannot be.
    """
    chip = nose_chip(depth, feed, nose_radius, entering_angle)
    _, _, kn, mn = (np.asarray(v, float)[..., None] for v in kienzle((1.0, 0.0, kn, mn)))
    with np.errstate(divide="ignore", invalid="ignore"):
        cuts = (chip.thickness > 0) & (chip.thickness >= np.asarray(least_chip, float)[..., None])
        slope = np.where(cuts, (1 - mn) * kn * chip.thickness**-mn, 0.0)
    slope = slope * np.cos(chip.angle) ** 2 * chip.edge
    whole, previous = slope.sum(-1), (slope * chip.previous).sum(-1)
    return CuttingStiffnesses(_plain(whole), _plain(previous), _plain(previous / np.maximum(whole, 1e-12)),
        _plain(chip.edge.sum(-1)))


def _plain(values: np.ndarray) -> Any:
    return values if values.ndim else float(values)


MEAN_OF_PARABOLA = 4 / (9 * np.sqrt(3))  # Ra over Rt of a row of parabolas: 0.2566

# ---- the surface ----------------------------------------------------------------------------------


class FeedMarks(NamedTuple):
    """Ideal roughness, mm: height of the marks, and their mean."""

    rt: Any
    ra: Any


STEP = 0.1   # of the depth of cut either way, over which its slope is taken


def thrust_growth(depth: float, feed: float, nose_radius: float, entering_angle: float, material: Any) -> float:
    """How fast the thrust grows with the depth of cut where the depth changes slowly, N/mm: for copied errors.

    depth, feed, nose_radius: mm; entering_angle: degrees; material: as for `kienzle`. `cutting_stiffness` answers for
    quick changes, which the last revolution's surface has not followed yet. Central difference of `nose_forces`.
    Raises Refused for values that cannot be.
    """
    cuts = depth * np.array([1 - STEP, 1 + STEP])
    push = nose_forces(cuts, feed, nose_radius, entering_angle, *kienzle(material)).thrust
    return float((push[1] - push[0]) / (cuts[1] - cuts[0]))


def _mean_of_arcs(f: np.ndarray, r: np.ndarray) -> np.ndarray:
    """Mean deviation, from their mean line, of arcs of radius r one feed f apart; a parabola's is 5 % low at f = r.

    The arc crosses its mean line where √(r² − x²) is its own mean over the feed.
    """
    mean = np.sqrt(r**2 - f**2 / 4) / 2 + r**2 / f * np.arcsin(f / (2 * r))
    crossing = np.sqrt(r**2 - mean**2)
    return 2 / f * (r**2 * np.arcsin(crossing / r) - crossing * mean)


def _mean_past_nose(f: np.ndarray, r: np.ndarray, minor_angle: Any, height: np.ndarray) -> np.ndarray:
    """The same where the minor edge makes part of the mark of that height: along one feed, place by place."""
    k = np.radians(minor_angle)
    top = np.sqrt(np.maximum(2 * r * height - height**2, 0))
    x = top[..., None] - f[..., None] * (np.arange(400) + 0.5) / 400
    r, k = r[..., None], np.asarray(k)[..., None]
    start = -r * np.sin(k)
    mark = np.where(x > start, r - np.sqrt(np.maximum(r**2 - x**2, 0)), r * (1 - np.cos(k)) + (start - x) * np.tan(k))
    return np.abs(mark - mark.mean(-1, keepdims=True)).mean(-1)


def roughness(feed: Numbers, nose_radius: Numbers, least_chip: Any = 0.0, minor_angle: Any = None) -> FeedMarks:
    """Roughness that the feed and the nose leave on paper; real turning leaves 1.2 to 2 times this.

    mm; least_chip > 0 adds the part that rubs instead of cutting (Brammertz). minor_angle, degrees:
    with a feed beyond the nose's chord the straight minor edge makes part of the mark.
    Raises Refused for a feed of a nose diameter or more.
    """
    f, r = np.asarray(positive(feed, "feed")), np.asarray(positive(nose_radius, "nose radius"))
    least = np.asarray(positive(least_chip, "minimum chip thickness", zero=True))
    if (f >= 2 * r).any():
        raise Refused(f"A feed of {f.max():g} mm is more than a nose of radius {r.min():g} mm can smooth. "
            "Feed less than twice the nose radius.")
    f, r = np.broadcast_arrays(f, r)
    rt, ra = feed_mark(f, r), _mean_of_arcs(f, r)
    if minor_angle is not None:
        minor_angle = positive(minor_angle, "minor cutting-edge angle", "degrees")
        if np.any(np.asarray(minor_angle) >= 90):
            raise Refused("The minor cutting-edge angle must lie below 90 degrees; 5 to 30 are usual.")
        past = f > 2 * r * np.sin(np.radians(positive(minor_angle, "minor cutting-edge angle", "degrees")))
        with np.errstate(invalid="ignore"):
            edge = feed_mark_past_nose(f, r, minor_angle)
            mean = _mean_past_nose(f, r, minor_angle, np.nan_to_num(edge))
        rt, ra = np.where(past, edge, rt), np.where(past, mean, ra)
        rubs = np.where(past, edge + feed_mark_with_rubbing(f, r, least) - feed_mark_short(f, r),
            feed_mark_with_rubbing(f, r, least))
    else:
        rubs = np.asarray(feed_mark_with_rubbing(f, r, least))
    rt, ra = np.where(least > 0, rubs, rt), np.where(least > 0, rubs * ra / rt, ra)
    return FeedMarks(_plain(np.asarray(rt)), _plain(np.asarray(ra)))


@formula(source="where Brammertz's marks are lowest: the slope of R_t over f is zero", holds="as Brammertz's marks",
    basis="computed")
def finest_useful_feed(nose_radius: NoseRadius, least_chip: LeastChip) -> Feed:
    """The feed below which finer gets worse."""
    return np.sqrt(2 * nose_radius * least_chip)


def best_feed(nose_radius: Numbers, least_chip: Numbers) -> Any:
    """The feed, mm, below which finer gets worse, √(2·r·h_min). Raises Refused for values that cannot be."""
    return finest_useful_feed(positive(nose_radius, "nose radius"), positive(least_chip, "minimum chip thickness"))


def group_of(material: str) -> str:
    """The group of the cutting-force table that a work material belongs to; a group's own name is one too.

    Raises Refused for an unknown material and for one whose cutting force is not known.
    """
    if material in _groups():
        return material
    for row in tables.rows("heat_work"):
        if row["material"] == material and row["group"]:
            return str(row["group"])
    return str(tables.row("kienzle", material=material)["material"])


@lru_cache(maxsize=1)
def _groups() -> frozenset[str]:
    return frozenset(tables.names("kienzle", "material"))


def named_materials() -> list[str]:
    """Work materials by the names a shop uses, each with a known cutting force, and the groups left over."""
    named = [row["material"] for row in tables.rows("heat_work") if row["group"]]
    covered = {row["group"] for row in tables.rows("heat_work")}
    return named + [name for name in tables.names("kienzle", "material") if name not in covered]


def force_range(material: str) -> Uncertain:
    """`force_beside_table` as a range to sample. Raises Refused for an unknown material."""
    return force_beside_table(material).range


ONSET = 0.2   # standard deviation of ln h_min along an edge: half as much again or less at 95 %


def share_cut(depth: Numbers, feed: Numbers, nose_radius: Numbers, entering_angle: Any = 90.0,
        least_chip: float = 0.004, spread: float = ONSET) -> Any:
    """Share of the chip's area on the nose that is thick enough to be cut; the rest is ploughed and springs back.

    Along the arc the chip thins out to zero, so a part is always below the minimum chip thickness, and all of it for
    a cut that is thin enough. That minimum is itself known only to a spread (of its logarithm), so the share rises
    smoothly from 0 to 1. mm, degrees; arrays broadcast. Raises Refused for values that cannot be.
    """
    chip = nose_chip(depth, feed, nose_radius, entering_angle)
    if positive(least_chip, "minimum chip thickness", zero=True) == 0:
        return _plain(np.ones(np.shape(chip.thickest)))
    with np.errstate(divide="ignore"):
        sharp = np.log(np.maximum(chip.thickness, 1e-12) / least_chip) / positive(spread, "spread", "")
    x = np.clip(sharp, -6, 6)
    thick = 1 / (1 + np.exp(-1.5976 * x - 0.07056 * x**3))     # the normal curve's sum, to 0.0002
    area = chip.thickness * chip.length
    return _plain((area * thick).sum(-1) / np.maximum(area.sum(-1), 1e-30))
