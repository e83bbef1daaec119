"""The error budget of a plan: what moves each toleranced size, and how likely the part is to be good.

Every chapter gives a known shift, which is dialled out, and a spread, which is not. The same
virtual parts run through all sizes, so what they share (force, stress, room) moves them together.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any, Literal

import numpy as np

from .. import bore_stress, boring_bar, heat, stops
from ..boring_bar.holder import HolderGrowth
from ..core import tables
from ..core.quantity import Refused
from ..core.spread import FAILS, POINTS, bells_of, between, factor_of, likely, odds, sample, verdict
from ..cutting import forces
from ..measuring import gauging
from ..reaming import hole as reamed_hole
from ..workholding import bending as work_bending
from ..workholding import hand_force, jaws, ring_lobing
from .holdings import BORE_FIRST, Bored, Route, Turned, edge_material, speed_of
from .part import BORE, Surface
from .results import Cause, Missing, Share, SizeBudget

# standard deviation of the force between two like cuts, share of it: 4 to 9 % (Fodor et al., an abstract, as quoted to
# us)
LIKE_CUTS = 0.065
LEAST_CHIP = 0.004      # as the boring bench takes it
FINISH_FEED, BORE_FEED, BORE_INFEED, REAM_FEED = 0.08, 0.05, 0.1, 0.15
ROOM_DOUBT, APART, EXPANSION_DOUBT = (
    1.0,
    0.7,
    1.0e-6,
)  # K, K and 1/K, standard: room, part against gauge (common practice)
SETTLED = 0.1           # share of the tolerance that warmth may still hold when it is measured
COLUMNS = (11, 13, 19, 29, 37, 41, 43, 47, 59, 67, 71, 73, 83, 89, 97, 101, 109, 127, 131, 139, 149, 151, 163, 173, 179,
    181, 191, 193, 197, 199, 223, 227, 229, 233, 239, 241, 251, 257, 263, 271, 277, 281, 293, 307, 313, 317, 331, 349)


@lru_cache(maxsize=128)
def own(column: int, count: int, bell: bool = False) -> np.ndarray:
    """One more fixed row of points, for what only one size has, flat or normal.

    The fractional part of n²·√p (Weyl) decides the order; the values themselves are evenly spaced.
    """
    n = np.arange(1, count + 1, dtype=float)
    root = np.sqrt(COLUMNS[column % len(COLUMNS)]) * (1 + column // len(COLUMNS))
    flat = (np.argsort(np.argsort(((n * root) % 1.0 * n) % 1.0)) + 0.5) / count
    row = bells_of(flat) if bell else flat
    row.setflags(write=False)
    return row


def draws(route: Route, count: int = POINTS) -> dict[str, Any]:
    """What all sizes of a part share: force, springs, stress. mm, N, MPa, K."""
    shop = route.shop
    rules = {name: tables.fact("bar_rules", name=name) for name in ("internal turning", "edge wear", "thrust")}
    learned = shop.learned.get("force factor")
    d = sample(count, force=learned.range if learned else forces.force_range(route.group),
        inside=rules["internal turning"].range, wear=rules["edge wear"].range,
        thrust=factor_of(1.0, float(np.sqrt(rules["thrust"].high / rules["thrust"].low))),
        spindle=shop.lathe.supports["spindle and chuck shift"].range,
        tilt=shop.lathe.supports["spindle and chuck tilt"].range,
        centre=shop.lathe.supports["live centre and tailstock"].range, holder=shop.holder.stiffness.range,
        swing=shop.holder.rotation.range, short=between(*bore_stress.SHORT_PIECE),
        modulus=tables.fact("materials", material=route.part.material, property="E").range)
    d["factor"] = np.maximum(d["force"], 0.3) * d["wear"] * d["thrust"]
    d["stress"] = bore_stress.stock_sample(route.condition, count)
    return d


# ---- one chapter after the other ------------------------------------------------------------------


def release(route: Route, s: Surface, order: str, d: dict[str, Any]) -> Any:
    """How far a finished size is moved by what is cut after it, on diameter, for each sample; nought where nothing is.
    """
    part = route.part
    others = [o for o in part.surfaces if (o.kind == BORE) != (s.kind == BORE) and o.start < s.end and o.end > s.start
        and route.holding_of(o) == route.holding_of(s)]
    if not others or s.kind in ("thread", "recess"):
        return 0.0
    other = max(others, key=lambda o: (o.toleranced, o.length))
    bore, out = (s, other) if s.kind == BORE else (other, s)
    way = route.way(bore.name)
    assert isinstance(way, Bored)
    rough = (out.diameter + route.settings.finish_stock) / 2
    at, hole, final = bore.diameter / 2, (way.drill or 0.8 * bore.diameter) / 2, out.diameter / 2
    cuts: list[tuple[str, float]] = [("turn", min(rough, part.blank.diameter / 2 - 0.01))]
    cuts += ([("bore", hole), ("bore", at), ("turn", final)] if order == BORE_FIRST
        else [("turn", final), ("bore", hole), ("bore", at)])
    k = d["stress"]
    moved = bore_stress.cut_sequence(part.blank.diameter / 2, k["axial"], k["hoop"], k["m"], k["n"], cuts, k["modulus"],
        k["poisson"])
    short = d["short"] if min(bore.length, out.length) < bore_stress.LONG * out.diameter else 1.0
    return np.asarray(moved.bore_error if s.kind == BORE else moved.outside_error) * short


def _bending(route: Route, way: Turned, d: dict[str, Any], column: int) -> list[Share]:
    """Work pushed away by the finishing cut: its mean over the surface is dialled out, its taper is not."""
    tool = way.tool
    first, last = way.places
    total = sum(length for length, _ in way.segments)
    at = np.linspace(first, min(last, total), 5)
    infeed = route.settings.finish_stock / 4
    more: dict[str, Any] = {"centre_stiffness": d["centre"]} if way.centre else {}
    bent = work_bending.turned_error(way.segments, infeed, FINISH_FEED, tool.nose_radius.value, route.group,
        position=at, hold="chuck and centre" if way.centre else "chuck", force_factor=d["factor"],
        spindle_stiffness=d["spindle"], spindle_rotation=d["tilt"], modulus=d["modulus"],
        poisson=tables.fact("materials", material=route.part.material, property="nu").value, **more).error
    count = len(bent)
    mean = bent.mean(-1)
    place = own(column, count) * (len(at) - 1)
    low = np.minimum(place.astype(int), len(at) - 2)
    here = np.take_along_axis(bent, low[:, None], -1)[:, 0] * (1 - place + low) + np.take_along_axis(bent,
        low[:, None] + 1, -1)[:, 0] * (place - low)
    usual = float(np.median(mean))
    rest = mean * LIKE_CUTS * own(column + 1, count, True) if route.settings.trial else mean - usual
    return [_share(Cause.WORK_BENDS, "05_workholding", usual, rest),
        _share(Cause.WORK_TAPER, "05_workholding", 0.0, here - mean)]


def _bar(route: Route, way: Bored, d: dict[str, Any], column: int) -> Share:
    """The boring bar pushed off the wall by the last cut, spring pass included."""
    bar = way.bar
    stuff = {p: tables.fact("bar_materials", bar_material=bar.material, property=p) for p in ("E", "nu")}
    grow = HolderGrowth.of(bar.diameter.value) if route.shop.holder.guessed else HolderGrowth(1.0, 1.0)
    give = boring_bar.compliance([(way.stickout, bar.diameter.value)], stuff["E"].value, stuff["nu"].value,
        d["holder"] * grow.shift, d["swing"] * grow.tilt)
    left = boring_bar.spring_passes(BORE_INFEED, BORE_FEED, bar.nose_radius.value, give, route.group, 2, LEAST_CHIP,
        entering_angle=bar.entering_angle.value, force_factor=d["factor"] * d["inside"]).left[-1]
    error = -2 * np.broadcast_to(left, give.shape)
    usual = float(np.median(error))
    rest = error * LIKE_CUTS * own(column, len(error), True) if route.settings.trial else error - usual
    return _share(Cause.BAR_BENDS, "03_boring_bar", usual, rest)


@lru_cache(maxsize=512)
def pass_rise(*args: Any) -> float:
    """How much one pass warms the part, K; see heat.pass_heat."""
    return float(heat.pass_heat(*args).rise)


@lru_cache(maxsize=512)
def wait_for(out: float, length: float, rise: float, within: float, size: float, material: str) -> float:
    """Seconds in still air until a warm part is that near its cold size; see heat.time_to_size."""
    return float(heat.time_to_size(out, length, rise, within, size=size, material=material))


def warmth(route: Route, s: Surface, way: Turned | Bored) -> tuple[float, float]:
    """Rise of the part at the end of the finishing cuts, K, and the wait until what is left is a tenth of the
    tolerance, s.
    """
    part = route.part
    inside = [b for b in part.bores if b.start < s.end and b.end > s.start and b is not s]
    bore = max((b.diameter for b in inside), default=0.0)
    out = (
        s.diameter if s.kind != BORE else min(o.diameter for o in part.outsides if o.start < s.end and o.end > s.start))
    hole = s.diameter if s.kind == BORE else bore
    if s.kind == BORE and isinstance(way, Bored) and way.bar is None:
        return float(tables.fact("reaming_fluids", fluid="cutting oil", property="rise").value), 0.0
    nose = way.bar.nose_radius.value if isinstance(way, Bored) else way.tool.nose_radius.value
    depth = BORE_INFEED if s.kind == BORE else route.settings.finish_stock / 4
    edge = way.bar.edge if isinstance(way, Bored) else way.tool.edge
    rise = 2 * pass_rise(
        out,
        part.length,
        min(hole, 0.9 * out),
        min(depth, (out - hole) / 5),
        BORE_FEED if s.kind == BORE else FINISH_FEED,
        min(s.length, part.length),
        speed_of(route.group, edge_material(edge)),
        nose,
        part.material,
    )  # two cuts
    alpha = heat.properties(part.material).expansion
    goal = SETTLED * s.tolerance
    if alpha * s.diameter * rise <= goal:
        return rise, 0.0
    return rise, wait_for(out, part.length, rise, goal, s.diameter, part.material)


def _heat(route: Route, s: Surface, way: Turned | Bored, column: int, count: int) -> list[Share]:
    alpha, gauge = (heat.properties(route.part.material).expansion,
        tables.fact("materials", material="carbon steel C45 / 1045", property="alpha").value)
    off = route.settings.room - heat.REFERENCE
    doubt = float(heat.reading_doubt(s.diameter, gauge, off, EXPANSION_DOUBT, ROOM_DOUBT, APART))
    doubt = float(np.hypot(doubt, s.diameter * abs(alpha - gauge) * ROOM_DOUBT))
    shares = [
        _share(Cause.ROOM, "01_heat", float(heat.reading_error(s.diameter, alpha, off, gauge, off)),
        doubt * own(column, count, True))]
    rise, _ = warmth(route, s, way)
    still = alpha * s.diameter * rise
    left = min(still, SETTLED * s.tolerance) if route.settings.cool else still
    if left > 0:
        shares.append(_share(Cause.WARMTH, "01_heat", left / 2, left * (own(column + 1, count) - 0.5)))
    return shares


@lru_cache(maxsize=256)
def _reading(instrument: str, size: float, material: str) -> float:
    return float(gauging.ready(instrument, size, material).budget.uncertainty)


def gauge_for(shop: Any, s: Surface) -> Any:
    """The instrument for a surface, or None."""
    return next(iter(shop.instruments_for("bore" if s.kind == BORE else "outside", s.diameter)), None)


def _hand(route: Route, s: Surface, column: int, count: int) -> list[Share]:
    """Reading the gauge and setting the dial."""
    gauge, step = gauge_for(route.shop, s), route.shop.lathe.dial_step.value
    read = _reading(gauge.instrument, s.diameter, route.part.material) if gauge else 0.03
    return [_share(Cause.READING, "07_stops_and_measuring", 0.0, read * own(column, count, True)),
        _share(Cause.DIAL, "07_stops_and_measuring", 0.0, step / 2 * (own(column + 1, count) - 0.5))]


def _jaws(route: Route, s: Surface, column: int, count: int) -> list[Share]:
    """A thin ring bored in its jaws is lobed when it is let go; a two-point gauge does not see three lobes."""
    held = route.holdings[route.way(s.name).holding - 1]
    chuck = next((c for c in route.shop.chucks if c.name == held.way), None)
    if chuck is None or s.diameter < 0.4 * held.diameter:
        return []
    number, pad = jaws(chuck.kind)
    push = hand_force("as usual") / number
    stuff = {p: tables.fact("materials", material=route.part.material, property=p).value for p in ("E", "nu")}
    lobes = ring_lobing(held.diameter, s.diameter, held.length + held.stickout, 1.0, number, stuff["E"], stuff["nu"],
        pad.value).peak_to_valley
    size = lobes * np.resize(push, count)
    return [_share(Cause.LOBES, "05_workholding", 0.0, 2 * size * (own(column, count) - 0.5))]


def _hole(size: float, code: str, reamer: float | None, material: str, outside: float, kind: str, edge: str,
        holding: str, stock: float, speed: float, holes: Any = ()) -> Any:
    return reamed_hole.ream(size, code, reamer, material=material, outside=outside, kind=kind, edge=edge,
        holding=holding, stock=stock, feed=REAM_FEED, speed=speed, fluid="cutting oil", holes=holes)


_hole_once = lru_cache(maxsize=64)(_hole)


def _reamed(route: Route, way: Bored, column: int, count: int) -> tuple[float, list[Share]]:
    """Where the reamed hole will lie, and what moves it. Its size is the reamer's: it cannot be dialled."""
    s, r = way.surface, way.reamer
    out = min(o.diameter for o in route.part.outsides if o.start < s.end and o.end > s.start)
    gap = r.measured.value - s.diameter if r.measured else None
    how = (s.diameter, s.code, gap, route.part.material, max(out, s.diameter * 1.05), r.kind, r.edge, r.holding,
        max(s.diameter - way.before, 0.01), speed_of(route.group, "high-speed steel", 1 / 3))
    hole = _hole(*how, holes=route.shop.reamed_holes) if route.shop.reamed_holes else _hole_once(*how)
    unknown = (r.measured.high - r.measured.low) / 2 if r.measured else (hole.band.upper - hole.band.lower) / 2
    more = route.shop.learned.get("reamer oversize") or hole.over    # what the user's own holes taught, once accepted
    over = (more.high - more.low) / 3.29
    skew = (more.high + more.low) / 2 - more.value
    rest = over * own(column, count, True)
    rest = rest + skew * (own(column, count, True) ** 2 - 1) / 1.7     # leans as the chapter's range leans
    return s.diameter + float(hole.hole.value - hole.over.value + more.value), [
        _share(Cause.REAMER_CUTS, "04_reaming", float(more.value), rest),
        _share(Cause.REAMER_SIZE, "04_reaming", 0.0, 2 * unknown * (own(column + 1, count) - 0.5))]


def _share(name: Cause, chapter: str, shift: float, rest: Any) -> Share:
    rest = np.asarray(rest, float)
    return Share(name, chapter, shift, float(rest.std()), rest)


# ---- together -------------------------------------------------------------------------------------


def budget(route: Route, order: str, number: int = 0, finished: dict[str, int] | None = None, count: int = POINTS,
        d: dict[str, Any] | None = None) -> list[SizeBudget]:
    """One budget for each toleranced size of the part, run-out and depth included, in the part's order."""
    if count < 2:
        raise Refused(f"A budget needs two points or more; there were {count}.")
    d = draws(route, count) if d is None else d
    done = finished or {}
    found = []
    kept = [s for s in route.part.surfaces if s.toleranced or s.depth or s.runout]
    for i, s in enumerate(kept):
        column = 8 * i
        if s.toleranced:
            found.append(_one(route, s, order, column, count, d, done.get(s.name, 0)))
        if s.depth:
            found.append(_depth(route, s, column, count, done.get(s.name, 0)))
        if s.runout:
            found.append(_runout(route, s, column, count, done.get(s.name, 0)))
    return found


def _one(route: Route, s: Surface, order: str, column: int, count: int, d: dict[str, Any], number: int) -> SizeBudget:
    way = route.way(s.name)
    aim = (s.low + s.high) / 2
    lacking = way.missing if isinstance(way, Bored) else None if way.tool else Missing("tool", s.name, "finish")
    if lacking:
        return SizeBudget(s.name, s.name, "size", number, s.diameter, s.low, s.high, aim, (),
            likely(np.array([s.diameter])), 0.0, FAILS, lacking, np.full(count, np.nan))
    moved = release(route, s, order, d)
    middle = float(np.median(moved))
    shares = []
    if np.any(moved):
        shares.append(_share(Cause.RELEASE, "02_bore_stress", middle, moved - middle))
    if isinstance(way, Bored) and way.reamer:
        aim, more = _reamed(route, way, column, count)
        aim += middle
        shares += more
    elif isinstance(way, Bored):
        shares += [_bar(route, way, d, column), *_heat(route, s, way, column + 2, count),
            *_hand(route, s, column + 4, count)]
    else:
        shares += [*_bending(route, way, d, column), *_heat(route, s, way, column + 2, count),
            *_hand(route, s, column + 4, count)]
    if isinstance(way, Bored):
        shares += _jaws(route, s, column + 6, count)
    return _closed(s, "size", number, s.diameter, s.low, s.high, aim, shares)


def _closed(s: Surface, kind: Literal["size", "depth", "run-out"], number: int, nominal: float, low: float, high: float,
        aim: float, shares: list[Share]) -> SizeBudget:
    shares = sorted(shares, key=lambda share: -share.spread)
    size = aim + sum(share.samples for share in shares)
    chance = odds((size >= low) & (size <= high))
    return SizeBudget(s.name if kind == "size" else f"{s.name} {kind}", s.name, kind, number, nominal, low, high, aim,
        tuple(shares), likely(size), chance, verdict(chance), samples=size)


@lru_cache(maxsize=256)
def _depth_doubt(depth: float, touch: str, stop: str, rise: float) -> float:
    return float(stops.depth_budget(depth, touch, stop, rise=rise).uncertainty)


def _depth(route: Route, s: Surface, column: int, count: int, number: int) -> SizeBudget:
    lathe = route.shop.lathe
    low, high = (s.length + x for x in s.depth or (0.0, 0.0))
    u = _depth_doubt(s.length, lathe.touch, lathe.stop, route.settings.room - heat.REFERENCE)
    return _closed(s, "depth", number, s.length, low, high, (low + high) / 2,
        [_share(Cause.STOP, "07_stops_and_measuring", 0.0, u * own(column + 7, count, True))])


def _runout(route: Route, s: Surface, column: int, count: int, number: int) -> SizeBudget:
    assert s.runout
    to, within = s.runout
    held = route.holdings[route.way(s.name).holding - 1]
    together = route.way(to).holding == held.number
    made = next((c.runout for c in (*route.shop.chucks, *route.shop.collets) if c.name == held.way), None)
    low, high = (0.0, 0.003) if together or made is None else (made.low, made.high)
    middle = (low + high) / 2
    rest = (high - low) * (own(column + 7, count) - 0.5)
    return _closed(s, "run-out", number, 0.0, 0.0, within, middle, [_share(Cause.HOLDING, "05_workholding", 0.0, rest)])


def good(budgets: list[SizeBudget] | tuple[SizeBudget, ...]) -> float:
    """Odds that every size of the same virtual part lies inside its limits."""
    if not budgets:
        return 1.0
    if any(not b.shares for b in budgets):
        return 0.0
    return odds(np.logical_and.reduce([(b.samples >= b.low) & (b.samples <= b.high) for b in budgets]))
