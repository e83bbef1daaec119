"""Out of size: what can still be done with this part, in numbers.

Sizes read along a seat or a bore are set against their limits. Where metal is left, it can be cut or polished away;
where it is gone, another class may fit, the mate be made to measure, or metal be put back: a sleeve, a bush, a
compound, plating. Each way answers whether it holds, is at the edge or will not hold, with its own numbers; kinds and
values only. All mm and on diameter where nothing else is said; limits of the ways are in data/rescue.csv.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from .. import fits
from ..core import tables
from ..core.quantity import Refused, floats, positive, said
from ..core.spread import EDGE, FAILS, HOLDS, Likely, factor_of, likely, odds, sample, verdict
from ..core.tables import assumed
from ..cutting import surface_finish
from ..fits import bonding, fit_target, pressing

SEAT: Literal["seat"] = "seat"
BORE: Literal["bore"] = "bore"
BEARING, MADE = "rolling bearing", "part made to fit"
MATES = (BEARING, MADE)
EVEN, TAPER, BELL, BARREL, WAIST = "even", "taper", "bell", "barrel", "waist"
GRADE_OF_HAND = 6        # a mate made to measure is turned to this grade: common practice
NEAR = 1e-9
COMPOUNDS = ("compound for fine gaps", "compound that fills gaps")
ORDER = (HOLDS, EDGE, FAILS)


@dataclass(frozen=True)
class Measured:
    """A seat or a bore as it was measured: deviations from nominal along it, from the free end."""

    face: Literal["seat", "bore"]
    nominal: float
    code: str
    lower: float              # deviations of the limits
    upper: float
    places: np.ndarray
    off: np.ndarray
    shape: str                # EVEN, TAPER, BELL (open at the free end), BARREL or WAIST
    inside: float             # share of the length within the limits
    short: float              # share that lacks metal
    lacks: float              # metal that lacks at the worst place, 0 where none does
    spare: float              # metal that is too much at the worst place

    @property
    def length(self) -> float:
        return float(self.places[-1])

    @property
    def sign(self) -> int:
        """1 where more metal makes the size larger (a seat), -1 where it makes it smaller (a bore)."""
        return 1 if self.face == SEAT else -1

    @property
    def smallest(self) -> float:
        return self.nominal + float(self.off.min())

    @property
    def largest(self) -> float:
        return self.nominal + float(self.off.max())


@dataclass(frozen=True)
class AsItIs:
    """Use it: the share of its length that is within the limits bears, the rest has `worst` beyond them."""

    verdict: str
    share: float
    worst: float


@dataclass(frozen=True)
class CutAgain:
    """Take it off with a tool: `depth` on radius; the edge cuts it with this chance; below `least` it rubs."""

    verdict: str
    target: float
    depth: float
    least: Likely
    chance: float


@dataclass(frozen=True)
class Polish:
    """Take it off with fine emery, a lap or a hone: so much on diameter, of at most so much."""

    verdict: str
    take: float
    most: float


@dataclass(frozen=True)
class OtherClass:
    """Every reading lies in another class: the clearance with the mate, and how it feels at either end. It changes the
    drawing, so it is at the edge at best.
    """

    verdict: str
    code: str
    least: float       # clearance with the mate, negative for interference
    most: float
    wanted: tuple[float, float]     # clearance that the drawing meant
    tightest: str
    loosest: str


@dataclass(frozen=True)
class MateToMeasure:
    """Make the mate to this part: between these sizes it fits as the drawing meant, along the whole length."""

    verdict: str
    low: float
    high: float
    needs: float       # width of a size that a careful turner holds


@dataclass(frozen=True)
class Hone:
    """Take a bore to one size along its length first: so much on diameter, to this size; then the mate to it."""

    verdict: str
    take: float
    size: float
    mate_low: float
    mate_high: float


@dataclass(frozen=True)
class Compound:
    """Bond the mate in: largest gap on diameter against what the compound bridges; what it holds; how far it may sit
    off the axis.
    """

    verdict: str
    kind: str
    gap: float
    bridges: float
    force: Likely      # N along the axis
    torque: Likely     # N mm
    off_axis: float


@dataclass(frozen=True)
class Pressed:
    """A sleeve on the turned-down seat, or a bush in the opened bore, pressed with a fit and finished in place."""

    verdict: str
    sleeve: bool                       # on a shaft; else a bush in a bore
    wall: float
    joint: float                       # diameter at which the two parts meet
    fit: str                           # hole and shaft of the joint
    interference: tuple[float, float]  # by that fit
    pressure: Likely
    yields: Likely                     # how far the nearer part is to yielding at the most interference: 1 is at it
    moves: Likely                      # growth of the sleeve's outside, or closing of the bush's bore: finish after
    left: float                        # of a shaft's strength in torsion, or of a housing's wall


@dataclass(frozen=True)
class NextBearing:
    """The next bearing: smaller on a seat, larger in a bore; what is turned off, and what is left behind it."""

    verdict: str
    name: str
    other: float       # the bearing's other diameter
    take: float        # on diameter
    left: float        # of a shaft's strength in torsion, or of a housing's wall


@dataclass(frozen=True)
class BuildUp:
    """Metal put on: so much is needed at the worst place, so much the way gives; `on_radius` for plating. Others must
    do it, or it bears only on its ridges: at the edge at best.
    """

    verdict: str
    kind: str
    needs: float
    most: float
    on_radius: bool


Way = (AsItIs | CutAgain | Polish | OtherClass | MateToMeasure | Hone | Compound | Pressed | NextBearing | BuildUp)


@dataclass(frozen=True)
class Rescue:
    """What was measured and every way that could save it, the surest and simplest first."""

    measured: Measured
    ways: tuple[Way, ...]

    @property
    def verdict(self) -> str:
        return self.ways[0].verdict if self.ways else FAILS


# ---- what was measured ----------------------------------------------------------------------------


def measured(face: str, nominal: float, code: str, off: Sequence[float], length: float,
        places: Sequence[float] | None = None, form: float = 0.0) -> Measured:
    """Deviations from nominal read along a seat or a bore, from its free end, against the limits of its class.

    places: where they were read, evenly from end to end where left out; form: deviations that differ by no more than
    this, on diameter, count as even. Raises Refused.
    """
    if face not in (SEAT, BORE):
        raise Refused(f"It is a seat on a shaft or a bore, not {said(face)}.")
    zone = fits.limits(nominal, code)
    if fits.read_code(code).hole != (face == BORE):
        raise Refused("A bore's class has a capital letter (H7) and a seat's a small one (h6).")
    found = np.round(np.atleast_1d(floats(off, "the deviations")), 9)
    at = np.linspace(0, positive(length, "the length"), len(found)) if places is None else np.asarray(places, float)
    if not 1 <= len(found) <= 200 or not np.isfinite(found).all() or np.abs(found).max() > nominal / 4:
        raise Refused("Give one to two hundred readings, each within a quarter of the nominal size. Check for a "
            "slipped digit.")
    if len(found) == 1:
        found, at = np.repeat(found, 2), np.array([0.0, float(length)])
    if len(at) != len(found) or (np.diff(at) <= 0).any():
        raise Refused("Give one place for each reading, rising from the free end.")
    at = at - at[0]
    sign = 1 if face == SEAT else -1
    low, high = float(zone.lower), float(zone.upper)
    metal = sign * found
    floor, roof = (low, high) if sign > 0 else (-high, -low)
    below, above = share_below(at, metal, floor - 2 * NEAR), 1 - share_below(at, metal, roof + 2 * NEAR)
    return Measured(SEAT if face == SEAT else BORE, float(nominal), zone.code, low, high, at, found,
        _shape(metal, form), max(1 - below - above, 0.0), below, max(float(floor - metal.min()), 0.0),
        max(float(metal.max() - roof), 0.0))


def share_below(places: Any, values: Any, level: float) -> float:
    """Share of a length over which a line through the readings lies below a level."""
    x, y = np.asarray(places, float), np.asarray(values, float) - level
    width, a, b = np.diff(x), y[:-1], y[1:]
    lowest, span = np.minimum(a, b), np.abs(b - a)
    part = np.where(span > NEAR, np.clip(-lowest / np.where(span > NEAR, span, 1.0), 0, 1), (lowest < -NEAR) * 1.0)
    return float((part * width).sum() / width.sum())


def _shape(metal: np.ndarray, form: float) -> str:
    """The shape by three readings: the free end, the middle and the other end."""
    first, middle, last = metal[0], metal[len(metal) // 2] if len(metal) > 2 else (metal[0] + metal[-1]) / 2, metal[-1]
    if np.ptp(metal) <= form + NEAR:
        return EVEN
    if (middle - first) * (last - middle) < 0 and min(abs(middle - first), abs(last - middle)) > form:
        return BARREL if middle > first else WAIST
    return BELL if middle - first > 3 * abs(last - middle) else TAPER


# ---- the ways -------------------------------------------------------------------------------------


def _limit(way: str, property: str) -> tables.Fact:
    return tables.fact("rescue", way=way, property=property)


def _within(needs: float, limit: tables.Fact) -> str:
    """A need against what a way gives: its lower end surely, its upper end no more."""
    return HOLDS if needs <= limit.low + NEAR else EDGE if needs <= limit.high + NEAR else FAILS


def _left(share: float, limit: tables.Fact) -> str:
    return HOLDS if share >= limit.value - NEAR else EDGE if share >= limit.low - NEAR else FAILS


def mate_of(m: Measured, mate: str) -> fits.Limits:
    """Limits of what goes on the seat or into the bore: a bearing of the normal class, or H7 or h6. Raises Refused."""
    if mate not in MATES:
        raise Refused(f"The mate is a {' or a '.join(MATES)}, not {said(mate)}.")
    if mate == BEARING:
        return fits.bearing_bore(m.nominal) if m.face == SEAT else fits.bearing_outside(m.nominal)
    return fits.limits(m.nominal, "H7" if m.face == SEAT else "h6")


def clearance(m: Measured, mate: fits.Limits, low: float, high: float) -> tuple[float, float]:
    """Least and most clearance of deviations from low to high with the mate."""
    return ((float(mate.lower) - high, float(mate.upper) - low) if m.face == SEAT
        else (low - float(mate.upper), high - float(mate.lower)))


def as_it_is(m: Measured) -> AsItIs:
    """May it be used as it is?"""
    bears = _limit("bearing length", "share")
    beyond = max(m.lacks, m.spare)
    word = HOLDS if beyond <= NEAR else EDGE if m.spare <= NEAR and m.inside >= bears.value else FAILS
    return AsItIs(word, m.inside, beyond)


def take_off(m: Measured, edge: str, feed: float, nose_radius: float) -> tuple[Way, ...]:
    """Too much metal: cut to the middle of the limits, or polish to just inside them. Raises Refused."""
    middle = (m.lower + m.upper) / 2
    depth = float(np.abs(m.off - middle)[(m.off - middle) * m.sign > 0].max()) / 2
    sharp = surface_finish.sharpness(edge, depth, feed, nose_radius)
    most = _limit("polish", "most")
    return (CutAgain(verdict(sharp.cuts), m.nominal + middle, depth, sharp.lightest, sharp.cuts),
        Polish(_within(m.spare, most), m.spare, most.value))


def other_class(m: Measured, mate: str) -> OtherClass | None:
    """The class nearest to the drawn one that holds every reading, or None."""
    other, best = mate_of(m, mate), None
    wanted = clearance(m, other, m.lower, m.upper)
    for row in tables.rows("rescue_classes"):
        if row["face"] != ("shaft" if m.face == SEAT else "hole") or row["class"] == m.code:
            continue
        zone = fits.limits(m.nominal, row["class"])
        if zone.lower - NEAR <= m.off.min() and m.off.max() <= zone.upper + NEAR:
            away = abs(zone.lower + zone.upper - m.lower - m.upper)
            if best is None or away < best[0]:
                best = away, zone
    if best is None:
        return None
    least, most = clearance(m, other, float(m.off.min()), float(m.off.max()))
    feel = [fit_target.feel(m.nominal, c).name for c in (least, most)]
    return OtherClass(EDGE, best[1].code, least, most, wanted, *feel)


def mate_to_measure(m: Measured, mate: str) -> MateToMeasure:
    """Sizes of a mate that give every place of this part a clearance that the drawing meant."""
    least, most = clearance(m, mate_of(m, mate), m.lower, m.upper)
    low, high = ((m.largest + least, m.smallest + most) if m.face == SEAT else (m.largest - most, m.smallest - least))
    needs = float(fits.grade(m.nominal, GRADE_OF_HAND))
    return MateToMeasure(HOLDS if high - low >= needs else EDGE if high - low > NEAR else FAILS, low, high, needs)


def hone(m: Measured, mate: str) -> Hone:
    """A bore taken to its largest size all along, and the mate made to that."""
    most = _limit("hone", "most")
    least, widest = clearance(m, mate_of(m, mate), m.lower, m.upper)
    take = m.largest - m.smallest
    return Hone(_within(take, most), take, m.largest, m.largest - widest, m.largest - least)


def compound(m: Measured, mate: str, kind: str) -> Compound:
    """Bond it: the widest gap against what this kind of compound bridges. Raises Refused for an unknown kind."""
    bridges, strength = _limit(kind, "gap"), _limit(kind, "strength")
    _, gap = clearance(m, mate_of(m, mate), float(m.off.min()), float(m.off.max()))
    drawn = sample(strength=factor_of(strength.geometric_middle, strength.factor))["strength"]
    return Compound(_within(max(gap, 0.0), bridges), kind, gap, bridges.value,
        likely(bonding.bond_force(drawn, m.nominal, m.length)), likely(bonding.bond_torque(drawn, m.nominal, m.length)),
        max(gap, 0.0) / 2)


def _materials(material: str) -> dict[str, Any]:
    row = tables.row("workholding_yield", material=material)
    return {"E": tables.fact("materials", material=material, property="E").range,
        "nu": tables.fact("materials", material=material, property="nu").value,
        "limit": factor_of(float(np.sqrt(row["low"] * row["high"])), float(np.sqrt(row["high"] / row["low"])))}


def pressed(m: Measured, wall_behind: float, material: str) -> Pressed | None:
    """A sleeve or a bush of the same material, its wall and its fit chosen; None where there is no metal for it.

    The fit is the tightest of the press fits at which both parts are surest to stay elastic and to grip. Raises
    Refused for an unknown material.
    """
    least, share = _limit("sleeve", "wall"), _limit("sleeve", "share")
    wall = max(least.value, share.value * m.nominal)
    sleeve = m.face == SEAT
    joint = m.nominal - 2 * wall if sleeve else m.nominal + 2 * wall
    bore = max(m.nominal - 2 * wall_behind, 0.0) if sleeve else 0.0
    outside = m.nominal + 2 * wall_behind
    if joint < 1 or (sleeve and joint - bore < 2 * least.low) or (not sleeve and outside - joint < 2 * least.low):
        return None
    stuff = _materials(material)
    peaks = assumed("peaks of a pressed surface").range
    drawn = sample(E=stuff["E"], limit=stuff["limit"], hub=peaks, shaft=peaks)
    ends = {"fit_diameter": joint, "hub_outside": m.nominal if sleeve else outside,
        "shaft_bore": bore if sleeve else m.nominal}
    found = []
    for row in tables.rows("rescue_classes"):
        if row["face"] != "press":
            continue
        fit = fits.fit(joint, f"H7/{row['class']}")
        reach = -float(fit.most_clearance), -float(fit.least_clearance)
        made = [pressing.joint(i, length=m.length, hub_modulus=drawn["E"], shaft_modulus=drawn["E"],
            hub_poisson=stuff["nu"], shaft_poisson=stuff["nu"], hub_peaks=drawn["hub"], shaft_peaks=drawn["shaft"],
            hub_yield=drawn["limit"], shaft_yield=drawn["limit"], **ends)
            for i in (reach[1], (reach[0] + reach[1]) / 2)]
        chance = odds((made[1].interference > 0) & (made[0].share < 1))
        found.append((chance, row["class"], reach, made))
    chance, name, reach, (tight, usual) = max(found, key=lambda one: one[0])
    word = verdict(chance)
    if sleeve:
        left = float(bonding.strength_left(m.nominal, joint, bore))
        word = max(word, _left(left, _limit("strength left", "share")), key=ORDER.index)
    else:
        left = (outside - joint) / (outside - m.nominal)
    return Pressed(word, sleeve, wall, joint, f"H7/{name}", reach, likely(usual.pressure), likely(tight.share),
        likely(usual.outside_growth if sleeve else usual.bore_closing), left)


def next_bearing(m: Measured, wall_behind: float) -> NextBearing | None:
    """The next smaller bearing of the table for a seat, the next larger for a bore; None where there is none."""
    key, other = ("bore", "outside") if m.face == SEAT else ("outside", "bore")
    rows = [r for r in tables.rows("bearing_sizes") if (r[key] < m.smallest if m.face == SEAT else r[key] > m.largest)]
    if not rows:
        return None
    row = max(rows, key=lambda r: r[key]) if m.face == SEAT else min(rows, key=lambda r: r[key])
    if m.face == SEAT:
        bore = max(m.nominal - 2 * wall_behind, 0.0)
        if row[key] <= bore + 2 * _limit("sleeve", "wall").low:
            return None
        left = float(bonding.strength_left(m.nominal, row[key], bore))
        word = _left(left, _limit("strength left", "share"))
    else:
        left = 1 - (row[key] - m.nominal) / (2 * wall_behind)
        word = FAILS if left <= 0 else _left(left, _limit("strength left", "share"))
    take = abs(row[key] - (m.largest if m.face == SEAT else m.smallest))
    return NextBearing(word, row["name"], row[other], take, max(left, 0.0))


def build_up(m: Measured, kind: str) -> BuildUp:
    """Plating (on radius) or a knurl (on diameter) against what lacks to the middle of the limits."""
    most, knurl = _limit(kind, "most"), kind == "knurl"
    needs = m.lacks + (m.upper - m.lower) / 2
    needs = needs if knurl else needs / 2
    return BuildUp(max(_within(needs, most), EDGE, key=ORDER.index), kind, needs, most.value, not knurl)


def rescue(m: Measured, mate: str, wall_behind: float, material: str, edge: str, feed: float,
        nose_radius: float) -> Rescue:
    """Every way to save a part, surest and simplest first. Raises Refused for names that are not known."""
    positive(wall_behind, "the wall behind the surface")
    found: list[Way | None] = [as_it_is(m)]
    if found[0] and found[0].verdict == HOLDS:
        return Rescue(m, (found[0],))
    if m.lacks <= NEAR:
        found += take_off(m, edge, feed, nose_radius)
    else:
        found.append(other_class(m, mate))
        if mate == MADE:
            found.append(mate_to_measure(m, mate))
            if m.face == BORE and m.shape != EVEN:
                found.append(hone(m, mate))
        bonds = [compound(m, mate, kind) for kind in COMPOUNDS]
        found += bonds[:1] if bonds[0].verdict == HOLDS else bonds
        found.append(pressed(m, wall_behind, material))
        if mate == BEARING:
            found.append(next_bearing(m, wall_behind))
        if m.face == SEAT:
            found += [build_up(m, kind) for kind in ("nickel plate", "chrome plate", "knurl")]
    ways = [way for way in found if way is not None]
    return Rescue(m, tuple(sorted(ways, key=lambda way: ORDER.index(way.verdict))))
