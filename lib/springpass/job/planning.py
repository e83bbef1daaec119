"""The whole job: a part and a shop in, an operation sheet and the odds of a good part out.

    made = plan(part.demo("drive_sleeve"), tools.default_shop())
    made.operations, made.budgets, made.odds, made.order_reason, made.changes

The order is no dogma. Its only weight is computed: what is cut later moves what is finished already, and an
order is chosen where that movement passes a tenth of the tolerance. What is known is dialled out; what is not
is drawn, for some thousand virtual parts at once.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from .. import bore_stress
from ..core.quantity import Refused, said
from ..core.spread import FAILS, POINTS, likely, verdict
from ..reaming import reamer_limits
from . import tools
from .budget import budget, draws, good, release
from .holdings import AUTO, BORE_FIRST, ORDERS, OUTSIDE_FIRST, Route, Settings, choose
from .operations import renumbered, steps
from .part import Part, demo
from .results import (
    FAR,
    KINDS,
    NEAR,
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
    """The operation sheet of a part in a shop, with its error budgets, odds and the changes that help most.

    part: part.Part (the drive sleeve where left out); shop: tools.Shop (the default one); settings: Settings, or
    its fields by name (bar, order, ream_stock, finish_stock, room, condition, trial, cool, centre). A part the shop
    has no tool for is planned all the same: `missing` says what to add, and its odds are nought. Raises Refused
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
    settings = replace(settings or Settings(), **chosen)
    if settings.condition and settings.condition not in bore_stress.stocks():
        raise Refused(f"“{settings.condition}” is no state of a bar that is known. Choose one of: "
            f"{'; '.join(bore_stress.stocks())}.")
    route = choose(part, shop, settings)
    d = draws(route, count)
    orders, name, why = _orders(route, d, count)
    budgets = budget(route, name, count=count, d=d)
    operations = steps(route, name, budgets, why)
    budgets = renumbered(operations, budgets)
    odds = good(budgets) if not route.missing else 0.0
    weakest = min(budgets, key=lambda b: b.odds, default=None)
    return Plan(part, shop, settings, route.holdings, operations, tuple(sorted(budgets, key=lambda b: b.odds)), odds,
        FAILS if route.missing else verdict(odds), weakest.surface if weakest else "", name, why, orders,
        _changes(route, name, odds), route.missing, _short(route), tuple(shop.assumed()),
        sum(o.minutes + o.wait / 60 for o in operations))


def _orders(route: Route, d: dict[str, Any], count: int) -> tuple[tuple[Order, ...], str, OrderReason]:
    """Both orders weighed, the chosen one and why."""
    if not route.part.bores:
        why = OrderReason("nothing bored")
        return (Order(OUTSIDE_FIRST, 0.0, likely(np.zeros(1)), 0.0, "", True),), OUTSIDE_FIRST, why
    tried: dict[str, tuple[Any, Any, float]] = {}
    for order in (BORE_FIRST, OUTSIDE_FIRST):
        worst: tuple[Any, Any, float] = (None, likely(np.zeros(1)), 0.0)
        for s in route.part.toleranced:
            if any(b.missing for b in route.bored if b.surface is s):
                continue
            moved = np.atleast_1d(release(route, s, order, d))
            span = likely(moved)
            reach = max(abs(span.low), abs(span.high)) / s.tolerance
            if worst[0] is None or reach > worst[2]:
                worst = (s, span, reach)
        tried[order] = worst
    first, other = tried[BORE_FIRST], tried[OUTSIDE_FIRST]
    name = BORE_FIRST if other[2] > TENTH and other[2] > first[2] else OUTSIDE_FIRST
    s, span, _ = other if other[0] is not None else first
    if s is None:
        why = OrderReason("no tolerance")
    elif name == BORE_FIRST:
        why = OrderReason("bore first", s.name, span.reach, s.tolerance)
    elif first[2] > TENTH and first[2] > other[2]:
        why = OrderReason("outside first", first[0].name, first[1].reach, first[0].tolerance)
    else:
        why = OrderReason("either", s.name, span.reach, s.tolerance)
    if route.settings.order != AUTO and route.settings.order != name:
        name = route.settings.order
        why = replace(why, asked=True)
    rows = []
    for order, (s, span, _) in tried.items():
        odds = good(budget(route, order, count=min(count, QUICK), d=draws(route, min(count, QUICK))))
        rows.append(Order(order, odds, span, s.tolerance if s else 0.0, s.name if s else "", order == name))
    return tuple(rows), name, why


def _changes(route: Route, order: str, odds: float) -> tuple[PlanChange, ...]:
    """The three single changes that raise the odds most, on the same virtual parts."""
    if route.missing or not route.part.toleranced:
        return ()
    base = good(budget(route, order, count=QUICK))
    s, shop = route.settings, route.shop
    found: list[PlanChange] = []

    def gain(kind: Any, work: Callable[[], float], name: str = "", size: float = 0.0) -> None:
        try:
            then = work()
        except Refused:
            return
        more = then - base
        if more > 0.004:
            found.append(PlanChange(kind, min(odds + more, 1.0), more, base, then, name, size))

    def with_settings(**changes: Any) -> Callable[[], float]:
        def odds_then() -> float:
            other = choose(route.part, shop, replace(s, **changes))
            return 0.0 if other.missing else good(budget(other, changes.get("order", order), count=QUICK))
        return odds_then

    def with_shop(other: Any) -> Callable[[], float]:
        def odds_then() -> float:
            then = choose(route.part, other, s)
            return 0.0 if then.missing else good(budget(then, order, count=QUICK))
        return odds_then

    other_order = OUTSIDE_FIRST if order == BORE_FIRST else BORE_FIRST
    if route.part.bores:
        gain("order", with_settings(order=other_order), other_order)
    if calmer := CALM.get(route.condition):
        gain("blank", with_settings(condition=calmer), calmer)
    if not s.cool:
        gain("cool", with_settings(cool=True))
    if not s.trial:
        gain("trial", with_settings(trial=True))
    if abs(s.room - 20) > 1:
        gain("room", with_settings(room=20.0), size=20.0)
    if not s.centre:
        gain("centre", with_settings(centre=True))
    fine = replace(shop.lathe.dial_step, value=2 * INDICATOR, low=2 * INDICATOR, high=2 * INDICATOR)
    gain("indicator", with_shop(replace(shop, lathe=replace(shop.lathe, dial_step=fine))), size=INDICATOR)
    gain("master", lambda: good(budget(choose(route.part, _mastered(shop), s), order, count=QUICK)))
    for r in shop.reamers:
        if r.measured is None and any(b.reamer and b.reamer.name == r.name for b in route.bored):
            lower, upper = _band(r)
            middle = r.size + (lower + upper) / 2
            known = replace(r, measured=tools.known(middle, middle - 0.001, middle + 0.001, "measured"))
            gain("measure reamer",
                with_shop(replace(shop, reamers=tuple(known if x is r else x for x in shop.reamers))), r.name)
    if any(share.name is Cause.LOBES and share.spread > 5e-4 for b in budget(route, order, count=50)
            for share in b.shares):
        gain("soft jaws", lambda: good(budget(_soft(route), order, count=QUICK)))
    for stock in (0.2, 0.3):
        if any(b.reamer and b.bar for b in route.bored) and abs(stock - s.ream_stock) > 0.04:
            gain("reamer stock", with_settings(ream_stock=stock), size=stock)
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


def _soft(route: Route) -> Route:
    soft = next(
        (c for c in route.shop.chucks if c.soft and c.smallest.value <= route.part.blank.diameter <= c.largest.value),
        None)
    return replace(route, holdings=(replace(route.holdings[0], way=soft.name), *route.holdings[1:])) if soft else route


def _short(route: Route) -> tuple[float, ...]:
    """Bored length over outside diameter of every bore too short for the model of a long bar."""
    outs = route.part.outsides
    found = []
    for b in route.bored:
        outside = max(o.diameter for o in outs if o.start < b.surface.end and o.end > b.surface.start)
        found.append(bore_stress.short_ratio(b.surface.length, outside))
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
    if made.missing:
        raise Refused("No part can be made yet: the shop lacks a tool. See what is missing in the plan, and add it.")
    route = choose(made.part, made.shop, made.settings)
    found = budget(route, made.order, count=max(count, 2))   # a spread needs two points
    if not found:
        raise Refused(
            "No size of this part has a tolerance, so there is nothing to count. Give one a class such as h6.")
    sizes = np.stack([b.samples[:count] for b in found])
    inside = np.stack([(row >= b.low) & (row <= b.high) for row, b in zip(sizes, found, strict=True)])
    return Virtual(tuple(b.surface for b in found), sizes, np.asarray(inside.all(0)))
