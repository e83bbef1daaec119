"""The error budget of a plan: what moves each toleranced size, and how likely the part is to be good.

Every chapter gives a known shift, which is dialled out, and a spread, which is not. The same
virtual parts run through all sizes, so what they share (force, stress, room) moves them together.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any, Literal

import numpy as np

from .. import bore_stress, boring_bar, drilling, heat, stops
from ..boring_bar.holder import HolderGrowth
from ..core import tables
from ..core.quantity import Refused
from ..core.spread import FAILS, POINTS, bells_of, between, factor_of, likely, odds, sample, verdict
from ..cutting import forces, wear
from ..measuring import gauging
from ..reaming import hole as reamed_hole
from ..true_running import marked_run_out, tilt_run_out
from ..workholding import bending as work_bending
from ..workholding import hand_force, jaws, ring_lobing
from .drafting import Draft, Made
from .gripping import RUNS
from .machine import edge_material, rule, speed_of
from .part import INSIDE_RECESS, RECESS, THREADED, Surface
from .results import BETWEEN_CENTRES, COLLET, NEAR, Cause, Share, SizeBudget
from .setups import Route

# standard deviation of the force between two like cuts, share of it: 4 to 9 % (Fodor et al., an abstract, as quoted to
# us)
LIKE_CUTS = 0.065
WEAR_KNOWN = 3.0        # the wear is known to a factor of three, data/wear.csv
LEAST_CHIP = 0.004      # as the boring bench takes it
FINISH_FEED, BORE_FEED, BORE_INFEED, REAM_FEED = 0.08, 0.05, 0.1, 0.15   # as the operations take them
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
        modulus=tables.fact("materials", material=route.part.material, property="E").range,
        lathe_taper=shop.lathe.taper.range, nose=shop.lathe.spindle_runout.range, drift=shop.lathe.drift.range,
        tailstock=shop.lathe.tailstock.range, life=factor_of(1.0, WEAR_KNOWN))
    d["factor"] = np.maximum(d["force"], 0.3) * d["wear"] * d["thrust"]
    d["stress"] = bore_stress.stock_sample(route.condition, count)
    return d


# ---- one chapter after the other ------------------------------------------------------------------


def release(made: Draft, s: Surface, d: dict[str, Any]) -> Any:
    """How far a finished size is moved by what is cut after it, on diameter, for each sample; zero where nothing is.
    """
    kept = made.released.get(s.name)
    if kept is None or kept[0] is not d:
        kept = made.released[s.name] = d, _released(made, s, d)
    return kept[1]


def _released(made: Draft, s: Surface, d: dict[str, Any]) -> Any:
    part, bar = made.route.part, made.route.part.blank.diameter / 2
    others = [o for o in part.surfaces if o.inside != s.inside and o.start < s.end and o.end > s.start]
    if not others or s.kind in (*THREADED, RECESS, INSIDE_RECESS):
        return 0.0
    other = max(others, key=lambda o: (o.toleranced, o.length))
    cuts = _cuts_at((max(s.start, other.start) + min(s.end, other.end)) / 2, made)
    bores = [i for i, cut in enumerate(cuts) if cut[0] == "bore"]
    turns = [i for i, cut in enumerate(cuts) if cut[0] == "turn"]
    mine, later = (bores, turns) if s.inside else (turns, bores)
    if not mine or not later or later[-1] < mine[-1]:
        return 0.0
    k = d["stress"]
    moved = bore_stress.cut_sequence(bar, k["axial"], k["hoop"], k["m"], k["n"], cuts, k["modulus"], k["poisson"])
    short = d["short"] if min(s.length, other.length) < bore_stress.LONG * 2 * cuts[turns[-1]][1] else 1.0
    return np.asarray(moved.bore_error if s.inside else moved.outside_error) * short


def _cuts_at(z: float, made: Draft) -> list[tuple[str, float]]:
    """The radii that are cut at one place along the axis, in their order: the last of roughing and of finishing."""
    found: list[tuple[str, float]] = []
    out, into = made.route.part.blank.diameter / 2, 0.0
    for o in made.operations:
        if o.outline_before is o.outline_after:
            continue
        rows = o.outline_after
        at = np.searchsorted(rows[:, 0], z)
        if not 0 < at < len(rows):
            continue
        (z1, o1, i1), (z2, o2, i2) = rows[at - 1], rows[at]
        share = (z - z1) / max(z2 - z1, 1e-12)
        now, hole = float(o1 + share * (o2 - o1)), float(i1 + share * (i2 - i1))
        if now < out - 1e-9:
            found = _merged(found, "turn", min(now, made.route.part.blank.diameter / 2 - 0.01))
            out = now
        if hole > into + 1e-9:
            found = _merged(found, "bore", hole)
            into = hole
    return found


def _merged(found: list[tuple[str, float]], side: str, radius: float) -> list[tuple[str, float]]:
    """Cuts of one side that follow one another count as one, but for the last roughing cut."""
    if len(found) >= 2 and found[-1][0] == found[-2][0] == side:
        return [*found[:-1], (side, radius)]
    return [*found, (side, radius)]


def segments(made: Made, route: Route) -> tuple[tuple[tuple[float, float, float], ...], float]:
    """The work from its support to the free end as (length, diameter, bore), and the free end's place."""
    work = made.work
    low, high = ((work.start, made.edge) if made.end == NEAR else (made.edge, work.end))
    if made.between:
        low, high = work.start, work.end
    found = [(p.z2 - p.z1, p.o1 + p.o2, min(p.i1 + p.i2, 0.97 * (p.o1 + p.o2))) for p in work.within(low, high)
        if p.z2 - p.z1 > 1e-6]
    if made.end == NEAR:
        found.reverse()
    return tuple(found), low if made.end == NEAR else high


def _bending(route: Route, way: Made, d: dict[str, Any], column: int) -> list[Share]:
    """Work pushed away by the finishing cut: its mean over the surface is dialled out, its taper is not."""
    s, tool = way.surface, way.tool
    pieces, free = segments(way, route)
    total = sum(piece[0] for piece in pieces)
    places = sorted((total - abs(free - s.start), total - abs(free - s.end)))
    first, last = (min(max(place, 0.0), total) for place in places)
    at = np.linspace(first, max(last, first + 1e-6), 5)
    infeed = route.settings.finish_stock / 4
    centre = way.centre and not way.between
    more: dict[str, Any] = {"centre_stiffness": d["centre"]} if way.centre or way.between else {}
    hold = "between centres" if way.between else "chuck and centre" if centre else "chuck"
    bent = work_bending.turned_error(pieces, infeed, FINISH_FEED, tool.nose_radius.value, route.group,
        position=at, hold=hold, force_factor=d["factor"], spindle_stiffness=d["spindle"], spindle_rotation=d["tilt"],
        modulus=d["modulus"], poisson=tables.fact("materials", material=route.part.material, property="nu").value,
        **more).error
    count = len(bent)
    mean = bent.mean(-1)
    place = own(column, count) * (len(at) - 1)
    low = np.minimum(place.astype(int), len(at) - 2)
    here = np.take_along_axis(bent, low[:, None], -1)[:, 0] * (1 - place + low) + np.take_along_axis(bent,
        low[:, None] + 1, -1)[:, 0] * (place - low)
    usual = float(np.median(mean))
    rest = mean * LIKE_CUTS * own(column + 1, count, True) if route.settings.trial else mean - usual
    return [_share(Cause.WORK_BENDS, "05_workholding", usual, rest),
        _share(Cause.WORK_TAPER, "05_workholding", 0.0, here - mean),
        *_lathe(route, way, d, place / (len(at) - 1) - 0.5)]


def _lathe(route: Route, way: Made, d: dict[str, Any], place: Any) -> list[Share]:
    """The lathe's own taper over the length of the surface, and its drift between measuring and the last cut."""
    slope = np.asarray(d["lathe_taper"], float)
    if way.centre or way.between:
        free = (way.work.end - way.work.start) if way.between else abs(way.edge - (way.work.start if way.end == NEAR
            else way.work.end))
        true = rule("tailstock set true") if way.between else 1.0
        slope = slope - 2 * true * np.asarray(d["tailstock"], float) / max(free, 1.0)
    share = rule("between measuring and the last cut") / 3600 if route.settings.trial else 1.0
    lobes = rule("error motion of the spindle") * np.asarray(d["nose"], float)
    return [_share(Cause.LATHE_TAPER, "10_the_lathe", 0.0, slope * way.surface.length * place),
        _share(Cause.DRIFT, "10_the_lathe", 0.0, 2 * np.asarray(d["drift"], float) * share),
        _share(Cause.SPINDLE, "10_the_lathe", 0.0, lobes * place),
        _share(Cause.WEAR, "12_grooves_and_tapers", 0.0, _worn(route, way) * d["life"] * (1.0 + np.asarray(place)))]


def _worn(route: Route, way: Made) -> float:
    """How much larger an outside comes out, or smaller a bore, by the wear of one finishing pass; on diameter."""
    s = way.surface
    drift = wear.wear(route.group, edge_material(way.tool.edge), s.diameter, s.length,
        BORE_FEED if s.inside else FINISH_FEED, max(way.speed, 1.0), rule("clearance of the tool")).drift
    return float(drift) * (-1.0 if s.inside else 1.0)


def _bar(route: Route, way: Made, d: dict[str, Any], column: int) -> list[Share]:
    """The boring bar pushed off the wall by the last cut, spring pass included."""
    bar = way.tool
    stuff = {p: tables.fact("bar_materials", bar_material=bar.material, property=p) for p in ("E", "nu")}
    grow = HolderGrowth.of(bar.diameter.value) if route.shop.holder.guessed else HolderGrowth(1.0, 1.0)
    give = boring_bar.compliance([(way.stickout, bar.diameter.value)], stuff["E"].value, stuff["nu"].value,
        d["holder"] * grow.shift, d["swing"] * grow.tilt)
    left = boring_bar.spring_passes(BORE_INFEED, BORE_FEED, bar.nose_radius.value, give, route.group, 2, LEAST_CHIP,
        entering_angle=bar.entering_angle.value, force_factor=d["factor"] * d["inside"]).left[-1]
    error = -2 * np.broadcast_to(left, give.shape)
    usual = float(np.median(error))
    rest = error * LIKE_CUTS * own(column, len(error), True) if route.settings.trial else error - usual
    return [_share(Cause.BAR_BENDS, "03_boring_bar", usual, rest),
        *_lathe(route, way, d, own(column + 1, len(error)) - 0.5)]


@lru_cache(maxsize=512)
def pass_rise(*args: Any) -> float:
    """How much one pass warms the part, K; see heat.pass_heat."""
    return float(heat.pass_heat(*args).rise)


@lru_cache(maxsize=512)
def wait_for(out: float, length: float, rise: float, within: float, size: float, material: str) -> float:
    """Seconds in still air until a warm part is that near its cold size; see heat.time_to_size."""
    return float(heat.time_to_size(out, length, rise, within, size=size, material=material))


def warmth(route: Route, s: Surface, way: Made) -> tuple[float, float]:
    """Rise of the part at the end of the finishing cuts, K, and the wait until what is left is a tenth of the
    tolerance, s.
    """
    part = route.part
    over = [o for o in part.surfaces if o.inside != s.inside and o.start < s.end and o.end > s.start]
    out = s.diameter if not s.inside else min((o.smallest for o in over if o.kind != RECESS), default=s.diameter + 1)
    hole = s.diameter if s.inside else max((b.largest for b in over), default=0.0)
    if s.inside and way.reamer is not None:
        return float(tables.fact("reaming_fluids", fluid="cutting oil", property="rise").value), 0.0
    nose = way.tool.nose_radius.value
    depth = BORE_INFEED if s.inside else route.settings.finish_stock / 4
    edge = way.tool.edge
    rise = 2 * pass_rise(
        out,
        part.length,
        min(hole, 0.9 * out),
        min(depth, (out - hole) / 5),
        BORE_FEED if s.inside else FINISH_FEED,
        min(s.length, part.length),
        speed_of(route.group, edge_material(edge)),
        nose,
        part.material,
    )  # two cuts
    alpha = heat.properties(part.material).expansion
    goal = SETTLED * s.tolerance
    if alpha * s.diameter * rise <= goal:
        return rise, 0.0
    return rise, wait_for(out, part.length, round(rise, 1), goal, s.diameter, part.material)


def wet_wait(route: Route, s: Surface, way: Made) -> float:
    """As `warmth`'s wait, under running coolant, s."""
    rise, still = warmth(route, s, way)
    if still < rule("worth a wait"):
        return 0.0
    part = route.part
    over = [o for o in part.surfaces if o.inside != s.inside and o.start < s.end and o.end > s.start]
    out = s.diameter if not s.inside else min((o.smallest for o in over if o.kind != RECESS), default=s.diameter + 1)
    goal = SETTLED * s.tolerance
    return min(still, wait_under_coolant(out, part.length, round(rise, 1), goal, s.diameter, part.material))


@lru_cache(maxsize=512)
def wait_under_coolant(out: float, length: float, rise: float, within: float, size: float, material: str) -> float:
    """Seconds under a slow flood of coolant."""
    flood = tables.fact("heat_rules", rule="coolant").value
    return float(heat.time_to_size(out, length, rise, within, size=size, material=material, coolant=flood))


def _heat(route: Route, s: Surface, way: Made, column: int, count: int) -> list[Share]:
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
    return next(iter(shop.instruments_for("bore" if s.inside else "outside", s.diameter)), None)


def _hand(route: Route, s: Surface, column: int, count: int) -> list[Share]:
    """Reading the gauge and setting the dial."""
    gauge, step = gauge_for(route.shop, s), route.shop.lathe.dial_step.value
    read = _reading(gauge.instrument, s.diameter, route.part.material) if gauge else 0.03
    return [_share(Cause.READING, "07_stops_and_measuring", 0.0, read * own(column, count, True)),
        _share(Cause.DIAL, "07_stops_and_measuring", 0.0, step / 2 * (own(column + 1, count) - 0.5))]


def _jaws(made: Draft, way: Made, column: int, count: int) -> list[Share]:
    """A thin ring bored in its jaws is lobed when it is let go; a two-point gauge does not see three lobes.

    Only where the wall is thin in the jaws at that moment: a solid stub in the jaws holds the ring round.
    """
    s, route = way.surface, made.route
    held = made.holdings[way.holding - 1]
    chuck = next((c for c in route.shop.chucks if c.name == held.way), None)
    hole = 2 * way.work.inside(*held.grip) if held.grip[1] > held.grip[0] else 0.0
    if held.grip[0] < s.end and held.grip[1] > s.start:
        hole = max(hole, s.diameter)
    if chuck is None or not np.isfinite(hole) or hole < 0.4 * held.diameter or s.diameter < 0.4 * held.diameter:
        return []
    number, pad = jaws(chuck.kind)
    push = hand_force("as usual") / number
    stuff = {p: tables.fact("materials", material=route.part.material, property=p).value for p in ("E", "nu")}
    lobes = ring_lobing(held.diameter, min(hole, 0.95 * held.diameter), held.length + held.stickout, 1.0, number,
        stuff["E"], stuff["nu"], pad.value).peak_to_valley
    size = lobes * np.resize(push, count)
    return [_share(Cause.LOBES, "05_workholding", 0.0, 2 * size * (own(column, count) - 0.5))]


def _hole(size: float, code: str, reamer: float | None, material: str, outside: float, kind: str, edge: str,
        holding: str, stock: float, speed: float, holes: Any = ()) -> Any:
    return reamed_hole.ream(size, code, reamer, material=material, outside=outside, kind=kind, edge=edge,
        holding=holding, stock=stock, feed=REAM_FEED, speed=speed, fluid="cutting oil", holes=holes)


_hole_once = lru_cache(maxsize=64)(_hole)


def _reamed(route: Route, way: Made, column: int, count: int) -> tuple[float, list[Share]]:
    """Where the reamed hole will lie, and what moves it. Its size is the reamer's: it cannot be dialled."""
    s, r = way.surface, way.reamer
    out = min(o.smallest for o in route.part.outsides if o.start < s.end and o.end > s.start)
    gap = r.measured.value - s.diameter if r.measured else None
    how = (s.diameter, r.code, gap, route.part.material, max(out, s.diameter * 1.05), r.kind, r.edge, r.holding,
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


def budget(made: Draft, count: int = POINTS, d: dict[str, Any] | None = None) -> list[SizeBudget]:
    """One budget for each toleranced size of the part, run-out and depth included, in the part's order."""
    if count < 2:
        raise Refused(f"A budget needs two points or more; there were {count}.")
    d = draws(made.route, count) if d is None else d
    found = []
    kept = [s for s in made.route.part.surfaces if s.toleranced or s.depth or s.runout]
    for i, s in enumerate(kept):
        column = 8 * i
        if s.toleranced:
            found.append(_one(made, s, column, count, d))
        if s.depth:
            found.append(_depth(made, s, column, count))
        if s.runout:
            found.append(_runout(made, s, column, count, d))
    return found


def _without(s: Surface, kind: Literal["size", "depth", "run-out"], limits: tuple[float, float], nominal: float,
        made: Draft, count: int) -> SizeBudget:
    """A size that cannot be made yet."""
    lacking = next((m for m in made.missing if m.surface == s.name), next(iter(made.missing), None))
    return SizeBudget(s.name if kind == "size" else f"{s.name} {kind}", s.name, kind, 0, nominal, *limits,
        sum(limits) / 2, (), likely(np.array([nominal])), 0.0, FAILS, lacking, np.full(count, np.nan))


def _one(made: Draft, s: Surface, column: int, count: int, d: dict[str, Any]) -> SizeBudget:
    way, route = made.made.get(s.name), made.route
    aim = (s.low + s.high) / 2
    drilled = next((o for o in made.operations if o.kind == "drill" and o.surface == s.name and o.finishes), None)
    if drilled is not None and drilled.after:
        over = drilling.oversize(drilled.after)
        cut = over.draw(own(column, count), own(column, count, True))
        return _closed(s, "size", drilled.number, s.diameter, s.low, s.high, drilled.after + over.middle,
            [_share(Cause.DRILL, "09_holes_and_threads", over.middle, cut - over.middle)])
    if way is None or way.tool is None or way.missing or not way.operation:
        return _without(s, "size", (s.low, s.high), s.diameter, made, count)
    moved = release(made, s, d)
    middle = float(np.median(moved))
    shares = []
    if np.any(moved):
        shares.append(_share(Cause.RELEASE, "02_bore_stress", middle, np.broadcast_to(moved - middle, (count,))))
    if way.reamer:
        aim, more = _reamed(route, way, column, count)
        aim += middle
        shares += more
    else:
        shares += _bar(route, way, d, column) if s.inside else _bending(route, way, d, column)
        shares += [*_heat(route, s, way, column + 2, count), *_hand(route, s, column + 4, count)]
    if s.inside:
        shares += _jaws(made, way, column + 6, count)
    return _closed(s, "size", way.operation, s.diameter, s.low, s.high, aim, shares)


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


def _depth(made: Draft, s: Surface, column: int, count: int) -> SizeBudget:
    way, lathe = made.made.get(s.name), made.route.shop.lathe
    low, high = (s.length + x for x in s.depth or (0.0, 0.0))
    if way is None or way.missing or not way.operation:
        return _without(s, "depth", (low, high), s.length, made, count)
    if not s.inside and s.length > made.route.part.length - 1e-6:      # the length over all: measured and faced
        return _closed(s, "depth", way.operation, s.length, low, high, (low + high) / 2,
            _measured_length(made.route, s, column, count))
    u = _depth_doubt(s.length, lathe.touch, lathe.stop, made.route.settings.room - heat.REFERENCE)
    return _closed(s, "depth", way.operation, s.length, low, high, (low + high) / 2,
        [_share(Cause.STOP, "07_stops_and_measuring", 0.0, u * own(column + 7, count, True))])


def _measured_length(route: Route, s: Surface, column: int, count: int) -> list[Share]:
    """Reading the length over all, and setting the last facing cut by the compound slide's dial."""
    gauge = next(iter(route.shop.instruments_for("outside", s.length)), None)
    read = _reading(gauge.instrument, s.length, route.part.material) if gauge else 0.03
    step = route.shop.lathe.dial_step.value
    return [_share(Cause.READING, "07_stops_and_measuring", 0.0, read * own(column + 11, count, True)),
        _share(Cause.DIAL, "07_stops_and_measuring", 0.0, step / 2 * (own(column + 12, count) - 0.5))]


def _setups_between(made: Draft, s: Surface, to: str) -> tuple[str, float] | None:
    """How the later of two surfaces is held true to the other: a way of the table of run-outs, and the distance."""
    a, b = made.made.get(s.name), made.made.get(to)
    if a is None or b is None or not a.operation or not b.operation:
        return None
    if a.holding == b.holding:
        return "both ends in one setup", 0.0
    later = max(a, b, key=lambda one: one.holding)
    held = made.holdings[later.holding - 1]
    if a.between and b.between:
        return RUNS[BETWEEN_CENTRES], abs((s.start + s.end) / 2 - (b.surface.start + b.surface.end) / 2)
    far = later.surface.start if later.end == NEAR else later.surface.end
    return RUNS[held.kind], abs(later.edge - far)


def run_out(made: Draft, s: Surface, count: int, d: dict[str, Any], column: int = 7) -> np.ndarray | None:
    """Run-out to be expected of a surface to the one it is drawn true to, for each sample; None where unknown."""
    assert s.runout
    found = _setups_between(made, s, s.runout[0])
    if found is None:
        return None
    way, distance = found
    grip = tables.fact("true_running_ways", way=way, what="grip").range
    tilt = tables.fact("true_running_ways", way=way, what="tilt").range
    later = max((made.made[s.name], made.made[s.runout[0]]), key=lambda one: one.holding)
    held = made.holdings[later.holding - 1]
    own_chuck = next((c.runout for c in (*made.route.shop.chucks, *made.route.shop.collets) if c.name == held.way),
        None)
    if own_chuck is not None and way != "both ends in one setup":
        grip = own_chuck.range
    drawn = np.abs(grip.draw(own(column, count), own(column, count, True)))
    leaning = tilt.draw(own(column + 1, count), own(column + 1, count, True))
    return np.asarray(marked_run_out(drawn, tilt_run_out(np.abs(leaning) / 2, distance), 180 * own(column + 2, count)))


def _runout(made: Draft, s: Surface, column: int, count: int, d: dict[str, Any]) -> SizeBudget:
    assert s.runout
    within, found = s.runout[1], run_out(made, s, count, d, column + 7)
    if found is None:
        return _without(s, "run-out", (0.0, within), 0.0, made, count)
    middle = float(np.median(found))
    way, held = made.made[s.name], _setups_between(made, s, s.runout[0])
    one = held is not None and held[0] == "both ends in one setup"      # the spindle's own error motion is left
    shares = [_share(Cause.SPINDLE if one else Cause.HOLDING, "10_the_lathe" if one else "05_workholding", 0.0,
        found - middle)]
    if held is not None and held[0] == RUNS[COLLET]:     # the collet sits in the spindle's nose
        worse = marked_run_out(found, np.abs(np.asarray(d["nose"], float)), 180 * own(column + 10, count))
        shares.append(_share(Cause.SPINDLE, "10_the_lathe", 0.0, worse - found))
    return _closed(s, "run-out", way.operation, 0.0, 0.0, within, middle, shares)


def good(budgets: list[SizeBudget] | tuple[SizeBudget, ...], quiet: np.ndarray | None = None) -> float:
    """Chance that every size of the same virtual part lies inside its limits, and that nothing else spoilt it."""
    still = [] if quiet is None else [quiet]
    if not budgets:
        return odds(quiet) if quiet is not None else 1.0
    if any(not b.shares for b in budgets):
        return 0.0
    return odds(np.logical_and.reduce([*still, *((b.samples >= b.low) & (b.samples <= b.high) for b in budgets)]))
