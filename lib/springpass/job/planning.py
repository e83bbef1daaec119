"""The whole job: a part and a shop in, an operation sheet and the chance of a good part out.

    made = plan(part.demo("drive_sleeve"), tools.default_shop())
    made.operations, made.budgets, made.odds, made.order_reason, made.changes

The order is no dogma. Its only weight is computed: what is cut later moves what is finished already, and an
order is chosen where that movement passes a tenth of the tolerance. What is known is dialled out; what is not
is drawn, for some thousand virtual parts at once.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np

from .. import bore_stress
from ..core.quantity import Refused, said
from ..core.spread import EDGE, FAILS, HOLDS, POINTS, likely, verdict
from ..reaming import reamer_limits
from . import tools
from .budget import budget, draws, good, own, release, run_out
from .dialled import dialled, renumbered
from .drafting import Draft
from .machine import rule
from .operations import run
from .part import Part, demo
from .results import (
    FAR,
    KINDS,
    NEAR,
    BarGivesWay,
    Cause,
    Holding,
    Missing,
    Operation,
    Order,
    OrderReason,
    Plan,
    PlanChange,
    Share,
    SizeBudget,
)
from .setups import AUTO, BORE_FIRST, ORDERS, OUTSIDE_FIRST, ROUGHED_FIRST, Route, Settings, checked, group_of, routes

__all__ = ["AUTO", "BORE_FIRST", "FAR", "KINDS", "NEAR", "ORDERS", "OUTSIDE_FIRST", "TENTH", "Cause", "Holding",
    "Missing", "Operation", "Order", "OrderReason", "Plan", "PlanChange", "Settings", "Share", "SizeBudget", "Virtual",
    "plan", "virtual_parts"]

TENTH = 0.1      # share of a tolerance that a later cut may move a finished size: common practice
QUICK = 500      # virtual parts where changes are tried
INDICATOR = 0.002   # mm on radius, to which an indicator on the cross slide sets the last cut: common practice
CALM = {"steel, cold drawn": "steel, stress-relieved", "steel, drawn and straightened": "steel, stress-relieved",
    "brass, cold drawn": "brass, stress-relieved", "aluminium, quenched": "aluminium, quenched and stretched"}


def plan(
    part: Part | None = None, shop: Any = None, settings: Settings | None = None, *, count: int = POINTS, **chosen: Any
) -> Plan:
    """The operation sheet of a part in a shop, with its error budgets, chance and the changes that help most.

    part: part.Part (the drive sleeve where left out); shop: tools.Shop (the default one); settings: Settings, or
    its fields by name (bar, order, ream_stock, finish_stock, room, condition, trial, cool, centre). A part the shop
    has no tool for is planned all the same: `missing` says what to add, and its chance is zero. Raises Refused
    for what cannot be a part, a shop or a setting.
    """
    part = demo() if part is None else part
    shop = tools.default_shop() if shop is None else shop
    if not isinstance(part, Part):
        raise Refused("A plan needs a part: take part.demo(…) or part.read_text(…).")
    if not isinstance(shop, tools.Shop):
        raise Refused("A plan needs a shop: take tools.default_shop() or tools.own_shop().")
    for name in chosen:
        if name not in Settings.__dataclass_fields__:
            raise Refused(f"A plan has no setting “{name}”; it has {', '.join(Settings.__dataclass_fields__)}.")
    settings = checked(replace(settings or Settings(), **chosen), shop)
    if settings.condition and settings.condition not in bore_stress.stocks():
        raise Refused(f"“{settings.condition}” is no state of a bar that is known. Choose one of: "
            f"{'; '.join(bore_stress.stocks())}.")
    d = draws_of(part, shop, settings, count)
    made, orders, why = _ordered(part, shop, settings, d, count)
    budgets = budget(made, count, d)
    operations = dialled(made, budgets, why)
    budgets = judged(renumbered(operations, budgets), operations)
    stopped = bool(made.missing or made.cannot)
    odds = 0.0 if stopped else good(budgets, quiet(operations, count))
    taken = next(o for o in orders if o.chosen)
    orders = tuple(replace(o, find_odds=partial(_as_here, o, taken, odds)) for o in orders)
    return Plan(part, shop, settings, tuple(made.holdings), operations, tuple(sorted(budgets, key=lambda b: b.odds)),
        odds, FAILS if stopped else worse(verdict(odds), *(j.verdict for j in judgements(operations))),
        made.order, why, orders, tuple(made.missing), _short(made), sum(o.minutes + o.wait / 60 for o in operations),
        tuple(made.cannot), partial(_changes, made, odds))


def _as_here(one: Order, taken: Order, odds: float) -> float:
    """The chance in one of the orders, against the plan's own: both were tried on fewer virtual parts."""
    return odds if one.chosen else float(np.clip(odds + one.odds - taken.odds, 0.0, 1.0))


def judgements(operations: tuple[Operation, ...]) -> list[BarGivesWay]:
    """What the bench page's judge says of the boring operations."""
    return [o.reason for o in operations if isinstance(o.reason, BarGivesWay) and o.reason.verdict]


def quiet(operations: tuple[Operation, ...], count: int) -> np.ndarray:
    """Which virtual parts the boring bars leave as the judge wants them."""
    rows = [own(41 + i, count) < j.chance for i, j in enumerate(judgements(operations))]
    return np.logical_and.reduce([np.ones(count, bool), *rows])


def worse(*verdicts: str) -> str:
    """The worst of some verdicts."""
    return max(verdicts, key=(HOLDS, EDGE, FAILS).index)


def judged(budgets: list[SizeBudget], operations: tuple[Operation, ...]) -> list[SizeBudget]:
    """No bore holds where the judge of the bench page denies it."""
    by = {o.surface: o.reason for o in operations if isinstance(o.reason, BarGivesWay) and o.reason.verdict}
    return [replace(b, odds=min(b.odds, by[b.of].chance), verdict=worse(b.verdict, by[b.of].verdict))
        if b.kind == "size" and b.of in by and b.shares else b for b in budgets]


def draws_of(part: Part, shop: Any, settings: Settings, count: int) -> dict[str, Any]:
    """What all sizes share, for this part, shop and settings."""
    key = (part.material, settings.condition or part.blank.condition, count)
    for kept, of, found in _shared:
        if kept is shop and of == key:
            return found
    found = draws(Route("", part, shop, settings, group_of(part), ()), count)
    _shared.append((shop, key, found))
    del _shared[:-10]
    return found


_shared: list[tuple[Any, tuple[Any, ...], dict[str, Any]]] = []


# ---- the way through the lathe ----------------------------------------------------------------------


def _ordered(part: Part, shop: Any, settings: Settings, d: dict[str, Any], count: int
    ) -> tuple[Draft, tuple[Order, ...], OrderReason]:
    """The best route in both orders, the order chosen and why."""
    if not part.bores:
        return best(part, shop, settings, OUTSIDE_FIRST), (
            Order(OUTSIDE_FIRST, float, likely(np.zeros(1)), 0.0, "", True),), OrderReason("nothing bored")
    tried, trouble = _weighed(part, shop, settings, d, count)
    first, other = tried[BORE_FIRST], tried[OUTSIDE_FIRST]
    name = OUTSIDE_FIRST if first[2] > TENTH and first[2] > other[2] else BORE_FIRST
    s, span, _ = other if other[0] is not None else first
    if s is None:
        why = OrderReason("no tolerance")
    elif other[2] > TENTH and other[2] > first[2]:
        why = OrderReason("bore first", s.name, span.reach, s.tolerance)
    elif name == OUTSIDE_FIRST:
        why = OrderReason("outside first", first[0].name, first[1].reach, first[0].tolerance)
    else:
        why = OrderReason("either", s.name, span.reach, s.tolerance)
    wanted = settings.order if settings.order != AUTO else min(trouble, key=lambda o: (trouble[o], o != name))
    if wanted != name:
        name, why = wanted, replace(why, asked=True)
    few = min(count, QUICK)
    way = ROUGHED_FIRST if name == OUTSIDE_FIRST and settings.order == AUTO else name

    def odds_of(order: str) -> float:
        then = best(part, shop, settings, way if order == name else order)
        return 0.0 if then.missing or then.cannot else good(budget(then, few, draws_of(part, shop, settings, few)))

    rows = [Order(order, partial(odds_of, order), span, s.tolerance if s else 0.0, s.name if s else "", order == name)
        for order, (s, span, _) in tried.items()]
    return best(part, shop, settings, way), tuple(rows), why


_tried: list[tuple[Part, Any, tuple[Any, ...], tuple[dict[str, Any], dict[str, int]]]] = []


def _weighed(part: Part, shop: Any, settings: Settings, d: dict[str, Any], count: int
        ) -> tuple[dict[str, Any], dict[str, int]]:
    """What later cuts move in either order, and how much is wrong with it; at the usual stock, which is as well known
    as the stress in the bar, so that a slider for the stock leaves it standing.
    """
    key = (settings.bar, settings.trial, settings.cool, settings.centre, settings.condition, count)
    for kept in _tried:
        if kept[1] is shop and kept[2] == key and kept[0] == part:
            return kept[3]
    usual = replace(settings, finish_stock=Settings.finish_stock, ream_stock=Settings.ream_stock)
    drafts = {order: best(part, shop, usual, order) for order in (BORE_FIRST, OUTSIDE_FIRST)}
    moved = {order: _moved(made, d) for order, made in drafts.items()}
    drafts[OUTSIDE_FIRST] = best(part, shop, usual, ROUGHED_FIRST)      # what would be done where nobody asks
    found = moved, {order: len(made.missing) + len(made.cannot) for order, made in drafts.items()}
    _tried.append((part, shop, key, found))
    del _tried[:-20]
    return found


def _moved(made: Draft, d: dict[str, Any]) -> tuple[Any, Any, float]:
    """The surface that a later cut moves most, against its tolerance."""
    worst: tuple[Any, Any, float] = (None, likely(np.zeros(1)), 0.0)
    for s in made.route.part.toleranced:
        if s.name not in made.made or made.made[s.name].missing:
            continue
        span = likely(np.atleast_1d(release(made, s, d)))
        reach = max(abs(span.low), abs(span.high)) / s.tolerance
        if worst[0] is None or reach > worst[2]:
            worst = (s, span, reach)
    return worst


_ways: list[tuple[Part, Any, tuple[Any, ...], tuple[int, tuple[int, float, float, float]]]] = []
_drafts: list[tuple[Part, Any, tuple[Any, ...], Draft]] = []


def best(part: Part, shop: Any, settings: Settings, order: str) -> Draft:
    """The simplest route that makes the whole part and keeps the run-outs drawn; else the one with least trouble.

    What does not depend on the room, the condition or the number of parts is kept and used again.
    """
    key = (settings.bar, order, settings.ream_stock, settings.finish_stock, settings.trial, settings.cool,
        settings.centre)
    for kept in _drafts:
        if kept[1] is shop and kept[2] == key and kept[0] == part:
            return replace(kept[3], route=replace(kept[3].route, settings=settings))
    found, score = None, (0, 0.0, 0.0, 0.0)
    ways = routes(part, shop, settings)
    shape = (settings.bar, order, settings.centre)
    before = next((w for p, s, k, w in reversed(_ways) if s is shop and k == shape and p == part), None)
    for route in ways if before is None else [ways[before[0]], *ways]:      # what was best at the last setting, first
        made = run(route, order)
        now = _score(made)
        if found is None or now < score:
            found, score = made, now
        if now[:3] == (0, 0.0, 0.0) or (before is not None and now[:1] == before[1][:1]):
            break
    if found is None:
        raise Refused(f"{part.name} has nothing to turn. Give it an outside, or a bore.")
    _ways.append((part, shop, shape, (next(i for i, w in enumerate(ways) if w == found.route), score)))
    del _ways[:-40]
    _drafts.append((part, shop, key, found))
    del _drafts[:-40]
    return found


def _score(made: Draft) -> tuple[int, float, float, float]:
    """(what is wrong, run-out over what is drawn, mm faced away, setups): less is better."""
    over = 0.0
    if any(s.runout for s in made.route.part.surfaces):
        d = draws_of(made.route.part, made.route.shop, made.route.settings, 50)
        for s in made.route.part.surfaces:
            found = run_out(made, s, 50, d) if s.runout else None
            if s.runout and found is not None:
                ratio = float(np.quantile(found, 0.9)) / s.runout[1]
                over += max(ratio - rule("largest share through a step"), 0.0)
    held = sum(m.kind in ("grip", "second grip", "chuck") for m in made.missing)
    away = sum(max(sum(o.depths) - 4 * rule("sawn end"), 0.0) for o in made.operations if o.kind == "face")
    trouble = 20 * held + 10 * len(made.cannot) + len(made.missing)
    undone = sum(s.name not in made.finished for s in made.route.part.surfaces) if trouble else 0
    return (trouble + undone, round(over, 1), round(away, 3) + made.weak,
        len(made.holdings) + made.worst / 100)


# ---- what would help --------------------------------------------------------------------------------


def _changes(made: Draft, odds: float) -> tuple[PlanChange, ...]:
    """The three single changes that raise the chance most, on the same virtual parts."""
    route, order = made.route, made.order
    if made.missing or made.cannot or not route.part.toleranced:
        return ()
    part, shop, s = route.part, route.shop, route.settings
    found: list[PlanChange] = []

    def odds_with(other: Any = shop, settings: Settings = s, order: str = order, change: Any = None) -> float:
        then = best(part, other, settings, order)
        if change is not None:
            then = change(then)
        return 0.0 if then.missing or then.cannot else good(budget(then, QUICK, draws_of(part, other, settings, QUICK)))

    base = odds_with()

    def gain(kind: Any, then: float, name: str = "", size: float = 0.0) -> None:
        more = min(then - base, 1.0 - odds)
        if more > 0.004:
            found.append(PlanChange(kind, odds + more, more, base, then, name, size))

    other_order = OUTSIDE_FIRST if order == BORE_FIRST else BORE_FIRST
    if part.bores:
        gain("order", odds_with(order=other_order), other_order)
    if calmer := CALM.get(route.condition):
        gain("blank", odds_with(settings=replace(s, condition=calmer)), calmer)
    if not s.cool:
        gain("cool", odds_with(settings=replace(s, cool=True)))
    if not s.trial:
        gain("trial", odds_with(settings=replace(s, trial=True)))
    if abs(s.room - 20) > 1:
        gain("room", odds_with(settings=replace(s, room=20.0)), size=20.0)
    if not s.centre:
        gain("centre", odds_with(settings=replace(s, centre=True)))
    fine = replace(shop.lathe.dial_step, value=2 * INDICATOR, low=2 * INDICATOR, high=2 * INDICATOR)
    gain("indicator", odds_with(replace(shop, lathe=replace(shop.lathe, dial_step=fine))), size=INDICATOR)
    gain("master", odds_with(_mastered(shop)))
    reamers = [m.reamer.name for m in made.made.values() if m.reamer]
    for r in shop.reamers:
        if r.measured is None and r.name in reamers:
            lower, upper = _band(r)
            middle = r.size + (lower + upper) / 2
            known = replace(r, measured=tools.known(middle, middle - 0.001, middle + 0.001, "measured"))
            gain("measure reamer",
                odds_with(replace(shop, reamers=tuple(known if x is r else x for x in shop.reamers))), r.name)
    if any(share.name is Cause.LOBES and share.spread > 5e-4 for b in budget(made, 50) for share in b.shares):
        gain("soft jaws", odds_with(change=_soft))
    for stock in (0.2, 0.3):
        if reamers and any(isinstance(o.reason, BarGivesWay) for o in made.operations) \
                and abs(stock - s.ream_stock) > 0.04:
            gain("reamer stock", odds_with(settings=replace(s, ream_stock=stock)), size=stock)
    return tuple(sorted(found, key=lambda c: -c.gain)[:3])


def _band(reamer: Any) -> tuple[float, float]:
    lim = reamer_limits(reamer.size, reamer.code)
    return float(lim.lower), float(lim.upper)


def _mastered(shop: Any) -> Any:
    """The shop with its shaft gauges set on a master of the same size, as closely as a bore gauge in a ring."""
    return replace(shop,
        instruments=tuple(replace(g, instrument="bore gauge set in a ring")
        if g.instrument in ("bore gauge set in a micrometer", "micrometer on a shaft") else g
        for g in shop.instruments))


def _soft(made: Draft) -> Draft:
    """The same work held in soft jaws bored to its size."""
    def softer(h: Holding) -> Holding:
        soft = next((c for c in made.route.shop.chucks if c.soft and c.smallest.value <= h.diameter <= c.largest.value),
            None)
        return replace(h, way=soft.name) if soft else h

    return replace(made, holdings=[softer(h) for h in made.holdings])


def _short(made: Draft) -> tuple[float, ...]:
    """Bored length over outside diameter of every bore too short for the model of a long bar."""
    part = made.route.part
    found = []
    for s in part.bores:
        outside = max(o.largest for o in part.outsides if o.start < s.end and o.end > s.start)
        found.append(bore_stress.short_ratio(s.length, outside))
    return tuple(dict.fromkeys(ratio for ratio in found if ratio))


@dataclass(frozen=True)
class Virtual:
    """Many virtual parts: the sizes of each, mm, a row a toleranced size, and which parts are good."""

    surfaces: tuple[str, ...]
    sizes: np.ndarray
    good: np.ndarray

    @property
    def odds(self) -> float:
        return float(self.good.mean())


def virtual_parts(made: Plan, count: int = 100_000) -> Virtual:
    """The whole plan run so many times at once. Raises Refused for a plan that lacks a tool, or a count that is none.
    """
    if isinstance(count, bool) or not isinstance(count, int) or not 1 <= count <= 2_000_000:
        raise Refused("The number of virtual parts must be a whole number from 1 to two million; "
            f"it was {said(count)}.")
    if made.missing or made.cannot:
        raise Refused("No part can be made yet: the shop lacks a tool, or the plan says what it cannot do. "
            "See what is missing there.")
    count_drawn = max(count, 2)   # a spread needs two points
    found = budget(best(made.part, made.shop, made.settings, made.order), count_drawn,
        draws_of(made.part, made.shop, made.settings, count_drawn))
    if not found:
        raise Refused(
            "No size of this part has a tolerance, so there is nothing to count. Give one a class such as h6.")
    sizes = np.stack([b.samples[:count] for b in found])
    inside = np.stack([(row >= b.low) & (row <= b.high) for row, b in zip(sizes, found, strict=True)])
    still = quiet(made.operations, max(count, 2))[:count]
    return Virtual(tuple(b.surface for b in found), sizes, np.asarray(inside.all(0)) & still)
