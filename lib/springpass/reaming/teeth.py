"""Reaming with little stock: which teeth cut and which rub, and which reamer is right for a hole.

A reamer is a ring of small tools. Each tooth takes its chip on the lead; the land behind
it only rubs. If a tooth finds less than its edge can take, it slides over and leaves its
share to the next one. From that follow which teeth cut and how much of the edge only
burnishes. What size the hole then has is told in `reamed_hole`, and the reamer's own
limits follow from the hole's by a standard's rule.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import fits
from ..core.formula import formula
from ..core.quantity import Numbers, Refused, positive
from ..core.shared import LeastChip
from .quantities import (
    CornerRounding,
    CuttingShare,
    EdgeFriction,
    EdgeInContact,
    EdgeRounding,
    EntryAngle,
    LandLength,
    LeadAngle,
    LeadWidth,
    PushLength,
    ReamerTeeth,
    ReamingFeed,
    ReamingStock,
    ToothChip,
)

# ---- the chip of one tooth ----------------------------------------------------------------------


@formula(source="geometry of a straight lead; the same as the chip of any plain tooth", basis="computed",
    holds="teeth on one circle, stock that reaches past the rounded corner")
def lead_chip(feed: ReamingFeed, teeth: ReamerTeeth, lead: LeadAngle) -> ToothChip:
    """Chip thickness of one tooth on a straight lead: the stock is not in it."""
    return feed / teeth * np.sin(np.radians(lead))


@formula(source="geometry of a straight lead", basis="computed", holds="stock that reaches past the rounded corner")
def lead_width(stock: ReamingStock, lead: LeadAngle) -> LeadWidth:
    """Length of lead in the cut. More stock makes the chip wider, not thicker."""
    return stock / (2 * np.sin(np.radians(lead)))


@formula(source="geometry of a rounded corner under a straight lead", basis="computed", holds="any stock")
def entry_angle(stock: ReamingStock, corner: CornerRounding, lead: LeadAngle) -> EntryAngle:
    """Steepest edge angle the stock reaches: the lead's own, or less where only the rounded corner is in the cut."""
    return np.minimum(lead, np.degrees(np.arccos(np.maximum(1 - stock / (2 * corner), 0))))


@formula(source="geometry of a rounded corner under a straight lead", basis="computed",
    holds="teeth on one circle; the thickest place of the chip, which is never thicker than the stock on radius")
def tooth_chip(feed: ReamingFeed, teeth: ReamerTeeth, stock: ReamingStock, corner: CornerRounding,
        lead: LeadAngle) -> ToothChip:
    """Chip of one tooth where it is thickest. Only a very small stock thins it."""
    return np.minimum(feed / teeth * np.sin(np.radians(entry_angle(stock, corner, lead))), stock / 2)


@formula(source="Son, Lim, Kumar, Rahman, Int. J. Machine Tools & Manufacture 45 (2005) 529 (from memory)",
    holds="a round edge in ductile metal; other models and measurements run from 0.05 to 0.6 of the rounding")
def least_chip(rounding: EdgeRounding, friction: EdgeFriction) -> LeastChip:
    """Minimum chip thickness of a rounded edge: below it the edge rubs and burnishes."""
    return rounding * (1 - np.cos(np.pi / 4 - np.arctan(friction) / 2))


@formula(source="stagnation-angle family, Malekian, Mostofa, Park, Jun (2012) (from memory)",
    holds="a round edge in ductile metal; it rises with friction where the other family falls")
def least_chip_stagnation(rounding: EdgeRounding, friction: EdgeFriction) -> LeastChip:
    """The other family of models for the minimum chip thickness; that the two disagree is part of the answer's "
    "range."""
    return rounding * (1 - np.cos(np.arctan(friction)))


@formula(source="geometry of land, rounded corner and straight lead", basis="computed", holds="one tooth, any stock")
def edge_in_contact(stock: ReamingStock, corner: CornerRounding, lead: LeadAngle, land: LandLength) -> EdgeInContact:
    """Length of edge that presses on the metal: a bit of land, the corner as far as the stock reaches, the lead."""
    return (land + corner * np.radians(entry_angle(stock, corner, lead))
        + np.maximum(stock / 2 - corner * (1 - np.cos(np.radians(lead))), 0) / np.sin(np.radians(lead)))


@formula(source="cutting force as chip area plus edge length: linear edge-force model (Altintas, from memory)",
    holds="the split of torque into cutting and burnishing; the length that stands for the edge's push is an estimate")
def cutting_share(stock: ReamingStock, feed: ReamingFeed, teeth: ReamerTeeth, corner: CornerRounding, lead: LeadAngle,
        land: LandLength, push_length: PushLength) -> CuttingShare:
    """Share of the reamer's torque that cuts; the rest burnishes. It falls with stock and with feed."""
    return (stock * feed / (2 * teeth)
        / (stock * feed / (2 * teeth) + push_length * edge_in_contact(stock, corner, lead, land)))


# ---- which teeth cut ----------------------------------------------------------------------------


@dataclass(frozen=True)
class TeethCutting:
    """How the work is shared among the teeth, in the long run."""

    fraction: Any    # of all tooth passes, those that take a chip
    mean_chip: Any   # mm, of the passes that cut
    max_chip: Any    # mm
    teeth: Any       # how many different teeth ever cut


def _steps(chip: np.ndarray, shift: np.ndarray, floor: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """For each tooth that has just cut: the next one that will, passes until then, and its chip."""
    z = shift.shape[-1]
    tooth, after = np.arange(z)[:, None], np.arange(1, z + 1)
    gap = after * chip[..., None, None] + shift[..., (tooth + after) % z] - shift[..., :, None]
    turn = z * chip[..., None, None]
    more = np.maximum(np.ceil((floor[..., None, None] - gap) / turn - 1e-9), 0)
    passes = after + z * more
    first = np.argmin(passes, axis=-1)[..., None]
    wait = np.take_along_axis(passes, first, -1)[..., 0]
    taken = np.take_along_axis(gap + turn * more, first, -1)[..., 0]
    return (np.arange(z) + first[..., 0] + 1) % z, wait, np.maximum(taken, 0)


def _first(chip: np.ndarray, shift: np.ndarray, floor: np.ndarray) -> np.ndarray:
    """The tooth that first cuts as the reamer enters a smooth surface."""
    z = shift.shape[-1]
    there = np.arange(z) * chip[..., None] + shift
    turns = np.maximum(np.ceil((floor[..., None] - there) / (z * chip[..., None]) - 1e-9), 0)
    return np.argmin(np.arange(z) + z * turns, axis=-1)


def checked_teeth(teeth: Numbers) -> np.ndarray:
    """Numbers of teeth as whole numbers. Raises Refused."""
    counts = np.atleast_1d(positive(teeth, "the number of teeth", ""))
    if (counts != np.round(counts)).any() or (counts > 100).any():
        raise Refused(f"A reamer has a whole number of teeth, up to 100; this was {counts.flat[0]:g}. Count the teeth.")
    return counts.astype(int)


def _checked_lead(lead: Any) -> Any:
    angle = np.asarray(positive(lead, "the lead angle", "degrees"), float)
    if (angle > 90).any():
        raise Refused(
            f"The lead angle is {angle.max():g} degrees, but must be 90 or less. Machine reamers have about 45.")
    return angle


def teeth_cutting(chip: Numbers, runout: Any = 0.0, teeth: Any = 6, least_chip: Any = 0.004,
        lead_angle: Any = 45.0) -> TeethCutting:
    """Which share of the tooth passes cut, and how thick their chips are, once the pattern has settled.

    chip: mm a tooth moves on, square to its lead (`lead_chip`); runout: mm, distance of the reamer's axis from the
    axis of rotation (half the indicator's swing; an offset tailstock does the same); least_chip: mm. A tooth cuts
    only if at least `least_chip` stands in front of it; what it leaves, the next one finds. After a cut the surface
    is where that tooth was, so the pattern is a walk from tooth to tooth that must close; it is followed exactly,
    from a smooth surface (with some few inputs two patterns are possible, and the start decides).
    Mean chip × fraction = chip. Arrays broadcast. Raises Refused.
    """
    counts = checked_teeth(teeth)
    h, e, floor, lead, z = np.broadcast_arrays(positive(chip, "the chip"), positive(runout, "the runout", zero=True),
        positive(least_chip, "the minimum chip thickness", zero=True), _checked_lead(lead_angle), counts)
    shape = np.broadcast_shapes(*(np.shape(v) for v in (chip, runout, teeth, least_chip, lead_angle)))
    found = np.empty((4, h.size))
    for count in np.unique(z):
        here = (z == count).ravel()
        swing = (e * np.cos(np.radians(lead))).ravel()[here, None]
        shift = swing * np.cos(2 * np.pi * np.arange(count) / count)
        found[:, here] = _share_out(h.ravel()[here], shift, floor.ravel()[here])
    fraction, mean, largest, ever = ((row.reshape(shape) if shape else float(row[0])) for row in found)
    return TeethCutting(fraction, mean, largest, np.asarray(ever).astype(int) if shape else int(ever))


def _share_out(chip: np.ndarray, shift: np.ndarray, floor: np.ndarray) -> np.ndarray:
    """fraction, mean, max and number of teeth for flat arrays; shift has one row a case."""
    z = shift.shape[-1]
    following, wait, taken = _steps(chip, shift, floor)
    rows = np.arange(len(chip))
    at = _first(chip, shift, floor)
    for _ in range(z):                       # into the closed part of the walk
        at = following[rows, at]
    start, going = at, np.ones(len(chip), bool)
    cuts, passes, largest = np.zeros((3, len(chip)))
    for _ in range(z):                       # once round it
        passes += going * wait[rows, at]
        largest = np.maximum(largest, going * taken[rows, at])
        cuts += going
        at = following[rows, at]
        going = going & (at != start)
    return np.stack([cuts / passes, chip * passes / cuts, largest, cuts])


@dataclass(frozen=True)
class Pattern:
    """The settled pattern, tooth pass by tooth pass; shape (turns, teeth), mm."""

    chip: np.ndarray       # what the tooth takes, zero where it only rubs
    in_front: np.ndarray   # what stands in front of it; zero or less where it does not even touch


def tooth_pattern(chip: float, runout: float = 0.0, teeth: int = 6, least_chip: float = 0.004, lead_angle: float = 45.0,
        turns: int = 2) -> Pattern:
    """What each tooth meets and takes once the pattern has settled. Inputs as for `teeth_cutting`. Raises Refused."""
    count = int(checked_teeth(teeth)[0])
    swing = positive(runout, "the runout", zero=True) * np.cos(np.radians(_checked_lead(lead_angle)))
    shift = swing * np.cos(2 * np.pi * np.arange(count) / count)
    floor = np.array([positive(least_chip, "the minimum chip thickness", zero=True)])
    following, wait, _ = (a[0] for a in _steps(np.array([positive(chip, "the chip")]), shift[None], floor))
    at = int(_first(np.array([chip]), shift[None], floor)[0])
    for _ in range(count):                   # into the closed part of the walk
        at = int(following[at])
    when, end = at - count, turns * count    # it has just cut, in the turn before the first one shown
    taken, met = np.zeros(end), np.zeros(end)
    while when < end:
        then = when + int(wait[at])
        passes = np.arange(max(when + 1, 0), min(then + 1, end))
        met[passes] = (passes - when) * chip + shift[passes % count] - shift[at]
        if 0 <= then < end:
            taken[then] = max(met[then], 0.0)
        when, at = then, int(following[at])
    return Pattern(taken.reshape(turns, count), met.reshape(turns, count))


@dataclass(frozen=True)
class CornerChip:
    """The chip of one tooth with a rounded corner between lead and land, per length of edge."""

    mean: Any   # mm, area by length of edge
    max: Any    # mm
    edge: Any   # mm of edge in the cut: land (one tooth's feed long), corner and lead
    area: Any   # mm²


def corner_chip(stock: Numbers, tooth_feed: Numbers, corner_radius: Numbers, lead_angle: Any = 45.0) -> CornerChip:
    """The whole chip of one tooth: land, rounded corner and lead; mm and degrees, arrays broadcast.

    Thickness is chip area per length of edge. The area is stock/2 times the tooth's feed whatever the corner.
    Raises Refused.
    """
    a, f, r, lead = np.broadcast_arrays(*(np.asarray(v, float)[..., None] for v in (
        np.asarray(positive(stock, "the stock")) / 2, positive(tooth_feed, "the feed of a tooth"),
        positive(corner_radius, "the corner's rounding"), _checked_lead(lead_angle))))
    kappa = np.radians(lead)
    end = np.minimum(kappa, np.arccos(np.clip(1 - a / r, -1, 1)))   # how far up the corner the stock reaches
    rise = np.maximum(a - r * (1 - np.cos(kappa)), 0)               # what is left for the lead
    edge = f + r * end + rise / np.sin(kappa)

    def height(x: np.ndarray) -> np.ndarray:                        # of the tooth's profile over the finished bore
        on_arc = r - np.sqrt(np.maximum(r**2 - np.clip(x, 0, r * np.sin(kappa)) ** 2, 0))
        return on_arc + np.maximum(x - r * np.sin(kappa), 0) * np.tan(np.minimum(kappa, 1.5607))

    share = np.linspace(0, 1, 801)
    on_land, on_corner = -f * (1 - share), r * np.sin(end * share)
    behind = np.minimum(height(on_land + f), a)
    corner = (np.minimum(height(on_corner + f), a) - height(on_corner)) * np.cos(end * share)
    thickest = np.maximum(behind.max(-1), corner.max(-1))
    a, f, edge = a[..., 0], f[..., 0], edge[..., 0]
    return CornerChip(*(float(v) if np.ndim(v) == 0 else v for v in (a * f / edge, thickest, edge, a * f)))


_PLACES = (np.arange(24) + 0.5) / 24   # along the rounded corner


def edge_cutting(
    stock: Numbers, feed: Numbers, teeth: Numbers, lead: Numbers, corner: Numbers, least: Numbers, runout: Any = 0.0
) -> Any:
    """Share of the edge in front of the land, over all tooth passes, that takes a chip; the rest rubs.

    On the lead the teeth share the work as in `teeth_cutting`; round the corner the chip thins to nothing. Nothing
    cuts where the whole stock is thinner than the minimum chip thickness. mm and degrees, arrays broadcast.

    Raises Refused.
    """
    z = checked_teeth(teeth)
    step, kappa = (np.asarray(positive(feed, "the feed")) / (z if np.ndim(teeth) else z[0]),
        np.radians(_checked_lead(lead)))
    a, r = np.asarray(positive(stock, "the stock")) / 2, np.asarray(positive(corner, "the corner's rounding"))
    floor = np.asarray(positive(least, "the minimum chip thickness", zero=True))
    end = np.minimum(kappa, np.arccos(np.clip(1 - a / r, 0, 1)))
    angle = end[..., None] * _PLACES
    turns = np.maximum(np.ceil(floor[..., None] / (step[..., None] * np.sin(angle)) - 1e-9), 1)
    on_corner = (np.cos(angle) * a[..., None] >= floor[..., None]) / turns
    straight = np.maximum(a - r * (1 - np.cos(kappa)), 0) / np.sin(kappa)
    on_lead = np.where(a * np.cos(kappa) >= floor,
        teeth_cutting(step * np.sin(kappa), runout, teeth, least, lead).fraction, 0.0)
    share = (on_corner.mean(-1) * r * end + on_lead * straight) / (r * end + straight)
    return share if np.ndim(share) else float(share)


# ---- which reamer for which hole ----------------------------------------------------------------


@dataclass(frozen=True)
class ReamerLimits:
    """Limit deviations of the reamer for a hole, mm from the nominal size."""

    lower: Any
    upper: Any
    hole_lower: Any
    hole_upper: Any


def reamer_limits(size: Any, code: Any = "H7") -> ReamerLimits:
    """Limit sizes of the reamer for a hole of nominal `size` (mm) and class `code`, as deviations in mm.

    DIN 1420 rule: largest reamer = largest hole less 0.15 IT, smallest = largest reamer less 0.35 IT; each product
    is rounded up to a whole micrometre, or to a half where the hole's limit has a half, so that the reamer's limits
    are whole. Raises Refused for a shaft's class, and as fits.limits does.
    """
    if isinstance(code, str) and code.strip()[:1].islower():
        fits.read_code(code)
        raise Refused(f"“{code.strip()}” is a shaft, and a reamer makes holes. Did you mean {code.strip().upper()}?")
    hole = fits.limits(size, code)
    lower, upper = (np.round(np.asarray(v, float) * 1e3, 4) for v in (hole.lower, hole.upper))
    half = np.round(upper % 1, 4)
    largest = upper - (np.ceil(np.round(0.15 * (upper - lower) - half, 6)) + half)
    smallest = largest - np.ceil(np.round(0.35 * (upper - lower), 6))
    parts = (np.round(v / 1e3, 7) for v in (smallest, largest, lower, upper))
    return ReamerLimits(*(float(v) if np.ndim(v) == 0 else v for v in parts))


def which_holes(
    size: float,
    reamer: float,
    codes: Iterable[str] = ("F7", "F8", "G6", "G7", "H6", "H7", "H8", "H9", "JS7", "K7", "M7", "N7", "P7"),
) -> list[str]:
    """The classes whose DIN 1420 band holds a reamer that measures `reamer` mm. Classes the standard lacks are left
    out.
    """
    positive(reamer, "the reamer")
    found = []
    for code in codes:
        try:
            band = reamer_limits(size, code)
        except Refused:
            continue
        if band.lower - 5e-5 <= reamer - size <= band.upper + 5e-5:
            found.append(code)
    return found
