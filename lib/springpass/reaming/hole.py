"""The last hundredths: what size a reamed hole comes out, and how much to leave for the reamer.

The reamer's own size, what opens the hole (an offset axis, metal built up on the edges) and
what closes it (the pressed layer and the ring spring back, the part cools). No open
measurements of hole size against stock at small stock were found, so the size comes with a
wide range; the user's own logged holes narrow it (`reaming_log`).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from .. import boring_bar, fits
from ..core import tables
from ..core.formula import formula
from ..core.quantity import Numbers, Refused, positive, quantity_of
from ..core.shared import LeastChip, Modulus, Poisson
from ..core.spread import POINTS, Likely, Uncertain, between, likely, odds, sample, verdict
from ..cutting import forces
from ..fits.pressing import hub_give
from ..heat import length_change
from .log import HoleFit, fit_holes, student_points
from .quantities import (
    BoreClosing,
    BuildUp,
    BuildUpOpening,
    CuttingShare,
    DrillForReaming,
    DrillOversize,
    EdgeLineForce,
    FollowShare,
    HoleSize,
    HoleWall,
    LandPressure,
    LayerClosing,
    MarkHeight,
    MarksLeft,
    Opening,
    ReamerOffset,
    ReamerTeeth,
    ReamingSpeed,
    ReamingStock,
    SpeedNorm,
    SpeedTrend,
    SpringShare,
)
from .teeth import ReamerLimits, checked_teeth, cutting_share, reamer_limits, tooth_chip

# ---- what the hole then does --------------------------------------------------------------------


@formula(source="geometry: an axis offset turns into twice its amount on the diameter", basis="computed",
    holds="a reamer held still beside a turning part, or one that runs out; the shares are estimates")
def offset_opening(offset: ReamerOffset, follow: FollowShare, cutting: CuttingShare) -> Opening:
    """A reamer off the axis of rotation opens the hole, as far as the holder forces it and the edge can cut."""
    return 2 * offset * follow * cutting


@formula(
    source="the trend of J. Japan Soc. Precision Eng. 30 (1964) no. 355 p. 620 (abstract read; it gives no figures)",
    holds="a trend only: larger with speed, feed and depth; the height is an estimate from memory")
def build_up_opening(height: BuildUp, cutting: CuttingShare, speed: ReamingSpeed, trend: SpeedTrend,
        norm: SpeedNorm = 8.0) -> BuildUpOpening:
    """Metal welded to the cutting edges makes the reamer larger than it measures."""
    return 2 * height * cutting * (speed / norm) ** trend


@formula(source="line forces of all lands spread round the bore", basis="computed",
    holds="as a bound: every tooth rubs along its whole engaged edge")
def land_pressure(teeth: ReamerTeeth, line_force: EdgeLineForce, size: HoleSize) -> LandPressure:
    """The push of the rubbing edges, as if it were a pressure in the bore."""
    return teeth * line_force / (np.pi * size)


@formula(source="Lamé, thick ring under inner pressure (see the press fits)", basis="computed",
    holds="pressure along the whole bore: an upper bound for a reamer, whose lead is narrow")
def bore_closing(pressure: LandPressure, size: HoleSize, outside: HoleWall, modulus: Modulus,
        poisson: Poisson) -> BoreClosing:
    """How much the diameter of a bore gives under pressure, and closes again without it."""
    return pressure * size * hub_give(size, outside, modulus, poisson)


@formula(source="twice the part of the pressed layer that comes back, on diameter", basis="computed",
    holds="an estimate: the layer under the edge is taken as one minimum chip thickness thick")
def layer_closing(least: LeastChip, share: SpringShare) -> LayerClosing:
    """The layer that the edge pressed down and did not cut springs back behind it."""
    return 2 * share * least


@formula(source="ridges of triangular section, cut off", basis="computed", holds="reamer and bore on one axis")
def marks_after_cutting(marks: MarkHeight, stock: ReamingStock) -> MarksLeft:
    """Old tool marks left by a reamer that cuts: half the stock comes off each side."""
    return np.maximum(marks - stock / 2, 0)


@formula(source="ridges of triangular section, pressed into their own grooves at constant volume", basis="computed",
    holds="a land that burnishes and takes no chip")
def marks_after_pressing(marks: MarkHeight, stock: ReamingStock) -> MarksLeft:
    """Old tool marks left by a reamer that presses: crests go down and grooves come up, twice as fast."""
    return np.maximum(marks - stock, 0)


@formula(source="trade school's table of undersizes", basis="read",
    holds="a drill that cuts larger than itself by a usual amount")
def drill_before(size: HoleSize, stock: ReamingStock, oversize: DrillOversize) -> DrillForReaming:
    """Drill to take when no boring comes between."""
    return size - stock - oversize


# ---- the size of the hole -----------------------------------------------------------------------

FLUIDS, HOLDINGS, REAMERS, EDGES, MATERIALS = (tables.names(f"reaming_{table}", column) for table,
    column in (("fluids", "fluid"), ("holding", "holding"), ("reamers", "reamer"), ("edges", "edge"),
    ("materials", "material")))
EDGES.remove("any")


STEEL_CHIP_FORCE = 2000.0   # N/mm² of chip, medium-carbon steel, without the edge's push (from memory; 1500 to 2500)


def _span(table: str, **keys: Any) -> Uncertain:
    return tables.fact(f"reaming_{table}", **keys).range


@dataclass(frozen=True)
class Reamed:
    """The hole a reamer leaves: deviations from the nominal size in mm, each with its range."""

    size: float
    code: str
    band: ReamerLimits            # the DIN 1420 band, and the hole's limits
    reamer: float                 # deviation of this reamer
    hole: Likely                  # deviation of the hole
    over: Likely                  # hole less reamer
    parts: tuple[tuple[str, Likely], ...]   # what opens (+) and closes (-) the hole
    cutting: Likely               # share of the torque that cuts; the rest burnishes
    chip: float                   # mm, of one tooth where it is thickest
    least: Likely                 # mm, the minimum chip thickness of the edge
    chance: float                 # that the hole is inside its limits
    best: float                   # the reamer's deviation that would make the chance largest
    best_chance: float
    verdict: str
    fit: HoleFit | None           # from the user's own holes, where there are enough
    log_refused: str              # why the holes logged do not count; "" where they do or there are none


def ream(size: float = 10.0, code: str = "H7", reamer: float | None = None, *,
        material: str = "carbon steel C45 / 1045", outside: float | None = None, kind: str = "machine",
        edge: str = "high-speed steel, freshly ground", teeth: int | None = None, offset: float = 0.01,
        holding: str = "tailstock, held rigidly", stock: float = 0.2, feed: float = 0.15, speed: float = 8.0,
        fluid: str = "cutting oil", holes: Iterable[Mapping[str, Any]] = ()) -> Reamed:
    """Size of a reamed hole with its range, from the reamer's own size and what opens and closes the hole.

    size and outside (of the part; twice the size where not given): mm; reamer: its measured deviation from `size`, mm
    (the middle of the DIN 1420 band where not given); offset: mm between its axis and the spindle's. Five or more of
    the user's logged `holes` (see `fit_holes`) take the place of the model. Raises Refused.
    """
    band = reamer_limits(quantity_of(HoleSize).check(size, "the hole's size"), code)
    wall = positive(2 * size if outside is None else outside, "the part's outside diameter")
    if wall <= size:
        raise Refused(f"A part of {wall:g} mm has no wall round a hole of {size:g} mm. Give its outside diameter.")
    d = (band.lower + band.upper) / 2 if reamer is None else reamer
    if not np.isfinite(d) or abs(d) > 0.2 * size:
        raise Refused(
            f"A reamer {d:g} mm from the hole's size is not meant for it. Measure it over two opposite teeth.")
    lead, usual, corner = (
        tables.fact("reaming_reamers", reamer=kind, property=p).value for p in ("lead", "teeth", "corner"))
    z = int(usual) if teeth is None else int(checked_teeth(teeth)[0])
    positive(stock, "the stock"), positive(feed, "the feed"), positive(speed, "the speed", "m/min")
    positive(offset, "the offset", zero=True)
    draw = _draws(material, kind, edge, holding, fluid)
    cutting, moves = _moves(draw, size, wall, material, lead, z, offset, stock, feed, speed)
    least = draw["rounding"] * draw["ratio"]
    over = sum(moves.values()) + draw["measured"]
    fit, refused = own_holes(holes, size, stock, feed, speed, fluid, material)
    if fit is not None:
        over = fit.value + fit.spread * student_points(fit.dof)
    hole = d + over
    chance = odds((hole >= band.hole_lower) & (hole <= band.hole_upper))
    best, best_chance = _best(np.sort(over), band)
    return Reamed(float(size), str(fits.read_code(code)), band, float(d), likely(hole), likely(over),
        tuple((k, likely(v)) for k, v in moves.items()), likely(cutting),
        float(tooth_chip(feed, z, stock, corner, lead)), likely(least), chance, best, best_chance, verdict(chance), fit,
        refused)


@lru_cache(maxsize=32)
def _draws(material: str, kind: str, edge: str, holding: str, fluid: str, count: int = POINTS) -> dict[str, Any]:
    """Samples of what is not known; the same for every position of the other sliders."""
    return sample(count, rounding=_span("edges", edge=edge, property="r_n"),
        ratio=_span("edges", edge="any", property="chip_ratio"),
        corner=_span("reamers", reamer=kind, property="corner"),
        follow=_span("holding", holding=holding, property="follow"),
        height=_span("fluids", fluid=fluid, property="build_up"),
        eager=_span("materials", material=material, property="build_up"),
        trend=tables.assumed("build-up over speed").range, spring=_span("edges", edge="any", property="spring_back"),
        part_of_ring=between(0, 1), bluntness=_span("edges", edge="any", property="push_length"),
        land=_span("edges", edge="any", property="land"), push=_span("materials", material=material, property="push"),
        rise=_span("fluids", fluid=fluid, property="rise"),
        measured=tables.assumed("bore measured before reaming").range)


def _moves(draw: Mapping[str, Any], size: float, wall: float, material: str, lead: float, teeth: int, offset: float,
        stock: Any, feed: float, speed: float) -> tuple[Any, dict[str, Any]]:
    """Share of the torque that cuts, and what opens (+) and closes (-) the hole, for each sample."""
    least, push_length = draw["rounding"] * draw["ratio"], draw["bluntness"] * draw["rounding"]
    cutting = np.where(least <= np.asarray(stock) / 2,   # otherwise there is nowhere a chip thick enough to be cut
                       cutting_share(stock, feed, teeth, draw["corner"], lead, draw["land"], push_length), 0.0)
    modulus, poisson, expansion = (
        tables.fact("materials", material=material, property=p).value for p in ("E", "nu", "alpha"))
    ring = bore_closing(land_pressure(teeth, STEEL_CHIP_FORCE * draw["push"] * push_length, size), size, wall, modulus,
        poisson)
    return cutting, {"offset opens": offset_opening(offset, draw["follow"], cutting),
        "built-up edge opens": build_up_opening(draw["height"] * draw["eager"], cutting, speed, draw["trend"]),
        "pressed layer springs back": -layer_closing(least, draw["spring"]),
        "ring springs back": -ring * draw["part_of_ring"],
        "cooling closes": -length_change(size, expansion, draw["rise"])}


def over_against_stock(stocks: Numbers, size: float = 10.0, *, material: str = "carbon steel C45 / 1045",
        outside: float | None = None, kind: str = "machine", edge: str = "high-speed steel, freshly ground",
        teeth: int | None = None, offset: float = 0.01, holding: str = "tailstock, held rigidly", feed: float = 0.15,
        speed: float = 8.0, fluid: str = "cutting oil", count: int = 400) -> np.ndarray:
    """Hole less reamer for each stock, mm: shape (3, stocks), the likely range's lower end, middle and upper end.

    The model's answer only; inputs as for `ream`. Raises Refused.
    """
    each = np.atleast_1d(positive(stocks, "the stock"))
    wall = 2 * size if outside is None else outside
    lead, usual = (tables.fact("reaming_reamers", reamer=kind, property=p).value for p in ("lead", "teeth"))
    draw = _draws(material, kind, edge, holding, fluid, count)
    _, moves = _moves(draw, size, wall, material, lead, int(usual if teeth is None else teeth), offset, each[:, None],
        feed, speed)
    return np.percentile(sum(moves.values()) + draw["measured"], (5, 50, 95), axis=-1)


def _best(over: np.ndarray, band: ReamerLimits) -> tuple[float, float]:
    """The reamer's deviation, on a micrometre's grid, that most holes would like best."""
    middle = (band.hole_lower + band.hole_upper) / 2 - over[len(over) // 2]
    tries = np.round(middle + np.arange(-40, 41) * 0.0005, 4)
    inside = np.searchsorted(over, band.hole_upper - tries, "right") - np.searchsorted(over, band.hole_lower - tries,
        "left")
    top = np.flatnonzero(inside == inside.max())
    return float(tries[top].mean()), float(inside.max() / len(over))


def own_holes(holes: Iterable[Mapping[str, Any]], size: float, stock: float, feed: float, speed: float, fluid: str,
        material: str) -> tuple[HoleFit | None, str]:
    """The fit through the user's own holes, or None and why those logged do not count ("" where there are none)."""
    logged = list(holes)
    if not logged:
        return None, ""
    try:
        fit = fit_holes(logged, stock, feed, speed, size=size, fluid=fluid, material=material)
    except Refused as refusal:
        return None, str(refusal)
    return fit, ""


# ---- stock to leave, and the bore in front of the reamer -----------------------------------------


@dataclass(frozen=True)
class Allowance:
    """Stock to leave on diameter, mm, as one source has it."""

    name: str
    low: float
    high: float
    source: str
    basis: str


def allowances(size: float, material: str = "carbon steel C45 / 1045") -> list[Allowance]:
    """What the sources say to leave for the reamer, on diameter, for a hole of this size. Raises Refused.

    Only the workshop table names light metals (half as much again); the other sources name no material.
    """
    quantity_of(HoleSize).check(size, "the hole's size")
    more = tables.fact("reaming_materials", material=material, property="stock").value
    found = []
    for r in tables.rows("reaming_allowance"):
        if r["over"] < size <= r["upto"]:
            factor = more if r["pass"] == "workshop table" else 1.0
            found.append(Allowance(r["pass"], r["low"] * factor, r["high"] * factor, r["source"], r["basis"]))
    return found


def allowance(size: float, name: str = "workshop table", material: str = "carbon steel C45 / 1045") -> Allowance:
    """One of `allowances` by its name. Raises Refused where that source says nothing for the size."""
    for found in allowances(size, material):
        if found.name == name:
            return found
    known = tables.names("reaming_allowance", "pass")
    raise Refused(f"“{name}” gives no stock for a hole of {size:g} mm. Choose one of: {', '.join(known)}.")


def bored_error(bore: float, bar_diameter: float, stickout: float, *, material: str = "carbon steel C45 / 1045",
        bar_material: str = "steel", holder: str = "two screws in a block", infeed: float = 0.1, feed: float = 0.05,
        nose_radius: float = 0.4, passes: int = 2, count: int = 500) -> Likely:
    """Error of the bored diameter in front of the reamer, mm, below zero for small, from the bar that bends away.

    The spring passes of the boring-bar chapter, over holder, bar and force as they are not exactly known; the drop of
    the tip and chatter are left to that chapter. Raises Refused.
    """
    positive(bore, "the bore")
    cut_as = tables.row("reaming_cut_as", material=material)["cut_as"]
    hold = boring_bar.holder_springs(holder, bar_diameter,
        tables.fact("bar_materials", bar_material=bar_material, property="E").value)
    draw = sample(count, modulus=tables.fact("bar_materials", bar_material=bar_material, property="E").range,
        shift=hold["stiffness"].range, tilt=hold["rotation"].range, force=forces.force_range(cut_as),
        inside=tables.fact("bar_rules", name="internal turning").range,
        wear=tables.fact("bar_rules", name="edge wear").range, thrust=tables.fact("bar_rules", name="thrust").range)
    poisson = tables.fact("bar_materials", bar_material=bar_material, property="nu").value
    give = boring_bar.compliance([(stickout, bar_diameter)], draw["modulus"], poisson, draw["shift"], draw["tilt"])
    factor = np.maximum(draw["force"], 0.3) * draw["inside"] * draw["wear"] * draw["thrust"]
    thinnest = quantity_of(LeastChip).usual
    cut = boring_bar.spring_passes(infeed, feed, nose_radius, give, cut_as, passes, thinnest, force_factor=factor)
    return likely(-2 * np.asarray(cut.left[-1]))


@dataclass(frozen=True)
class BoreFirst:
    """The bore to bring in front of the reamer."""

    aim: float          # mm, diameter to bore to
    wanted: Allowance
    stock: Likely       # mm on diameter that the reamer then finds
    chance: float       # that the stock is what was wanted
    none: float         # chance that the reamer finds nothing to do somewhere
    marks: float        # mm, old marks that a cutting reamer leaves at the least likely stock
    verdict: str


def bore_first(size: float = 10.0, reamer: float | None = None, name: str = "light pass", error: Any = None, *,
        code: str = "H7", material: str = "carbon steel C45 / 1045", marks: float = 0.004,
        aim: float | None = None) -> BoreFirst:
    """How surely the boring in front of the reamer leaves the stock that was wanted.

    size: nominal, mm; reamer: its deviation, mm (middle of its band where not given); error: of the bored diameter,
    mm, as samples or an Uncertain (±0.01 where not given), + for too large; marks: height of the bore's feed marks,
    mm; aim: bore to dial for, mm (the middle of the wanted stock where not given). Raises Refused.
    """
    wanted = allowance(size, name, material)
    band = reamer_limits(size, code)
    tool = size + ((band.lower + band.upper) / 2 if reamer is None else reamer)
    positive(marks, "the height of the marks", zero=True)
    if aim is None:
        aim = float(np.floor((tool - (wanted.low + wanted.high) / 2) * 100 + 0.5) / 100)
    positive(aim, "the bore to aim for")
    spread = tables.assumed("dial and reading of a bore").range if error is None else error
    wrong = sample(error=spread)["error"]
    stock = tool - (aim + np.asarray(wrong, float))
    if not np.isfinite(stock).all():
        raise Refused("The error of the bore must be numbers in mm. Check the values.")
    found = likely(stock)
    chance, none = odds((stock >= wanted.low) & (stock <= wanted.high)), odds(stock <= 2 * marks)
    left = float(marks_after_cutting(marks, max(found.low, 0.0)))
    return BoreFirst(float(aim), wanted, found, chance, none, left, verdict(chance))
