"""The whole job: a part and a shop in, an operation sheet and the odds of a good part out.

    made = plan(part.demo("drive_sleeve"), tools.default_shop())
    made.operations, made.budgets, made.odds, made.order_says, made.changes

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
from ..core.quantity import Refused
from ..core.spread import FAILS, POINTS, likely, verdict
from ..reaming import reamer_limits
from . import tools
from .budget import budget, draws, good, release
from .holdings import AUTO, BORE_FIRST, ORDERS, OUTSIDE_FIRST, Route, Settings, choose
from .operations import renumbered, steps
from .part import Part, demo
from .results import FAR, KINDS, NEAR, Holding, Operation, Order, Plan, PlanChange, Share, SizeBudget

__all__ = [
    "AUTO",
    "BORE_FIRST",
    "FAR",
    "KINDS",
    "NEAR",
    "ORDERS",
    "OUTSIDE_FIRST",
    "TENTH",
    "Holding",
    "Operation",
    "Order",
    "Plan",
    "PlanChange",
    "Settings",
    "Share",
    "SizeBudget",
    "Virtual",
    "plan",
    "virtual_parts",
]

TENTH = 0.1      # share of a tolerance that a later cut may move a finished size: common practice
QUICK = 500      # virtual parts where changes are tried
CALM = {
    "steel, cold drawn": "steel, stress-relieved",
    "steel, drawn and straightened": "steel, stress-relieved",
    "brass, cold drawn": "brass, stress-relieved",
    "aluminium, quenched": "aluminium, quenched and stretched",
}


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
        raise Refused(
            f"“{settings.condition}” is no state of a bar that is known. Choose one of: "
            f"{'; '.join(bore_stress.stocks())}."
        )
    route = choose(part, shop, settings)
    d = draws(route, count)
    orders, name, says = _orders(route, d, count)
    budgets = budget(route, name, count=count, d=d)
    operations = steps(route, name, budgets, says)
    budgets = renumbered(operations, budgets)
    odds = good(budgets) if not route.missing else 0.0
    weakest = min(budgets, key=lambda b: b.odds, default=None)
    return Plan(
        part,
        shop,
        settings,
        route.holdings,
        operations,
        tuple(sorted(budgets, key=lambda b: b.odds)),
        odds,
        FAILS if route.missing else verdict(odds),
        weakest.surface if weakest else "",
        name,
        says,
        orders,
        _changes(route, name, odds),
        route.missing,
        _cautions(route),
        _assumed(shop),
        sum(o.minutes + o.wait / 60 for o in operations),
    )


def _orders(route: Route, d: dict[str, Any], count: int) -> tuple[tuple[Order, ...], str, str]:
    """Both orders weighed, the chosen one and why."""
    if not route.part.bores:
        says = "Nothing is bored, so no later cut lets stress out under a finished size."
        return (Order(OUTSIDE_FIRST, 0.0, likely(np.zeros(1)), 0.0, "", True, says),), OUTSIDE_FIRST, says
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
    shown = other if other[0] is not None else first
    if shown[0] is None:
        says = "No size has a tolerance that a later cut could spoil, so either order will do."
    else:
        s, span, reach = shown
        share = f"{1000 * max(abs(span.low), abs(span.high)):.1f} µm of {1000 * s.tolerance:.0f}"
        if name == BORE_FIRST:
            says = (f"Bore before finishing {s.says}: boring afterwards lets stress out of the bar and may move it "
                    f"{share} µm.")
        elif first[2] > TENTH and first[2] > other[2]:
            f = first[0]
            says = (f"Finish the outside before the bore {f.says}: turning afterwards may move it "
                    f"{1000 * max(abs(first[1].low), abs(first[1].high)):.1f} µm of {1000 * f.tolerance:.0f}.")
        else:
            says = (f"Both orders are as good: boring last may move {s.says} {share} µm, under a tenth; the outside "
                    "first saves a change of tools.")
    if route.settings.order != AUTO and route.settings.order != name:
        name = route.settings.order
        says = f"This order was asked for. {says}"
    rows = []
    for order, (s, span, _) in tried.items():
        odds = good(budget(route, order, count=min(count, QUICK), d=draws(route, min(count, QUICK))))
        reach = max(abs(span.low), abs(span.high))
        rows.append(
            Order(
                order,
                odds,
                span,
                s.tolerance if s else 0.0,
                s.name if s else "",
                order == name,
                f"later cuts may move {s.says} {1000 * reach:.1f} µm of {1000 * s.tolerance:.0f} µm."
                if s
                else "nothing is moved that has a tolerance.",
            )
        )
    return tuple(rows), name, says


def _changes(route: Route, order: str, odds: float) -> tuple[PlanChange, ...]:
    """The three single changes that raise the odds most, on the same virtual parts."""
    if route.missing or not route.part.toleranced:
        return ()
    base = good(budget(route, order, count=QUICK))
    tried: list[tuple[str, Callable[[], float]]] = []
    s, shop = route.settings, route.shop

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
        tried.append((f"change the order: {other_order}", with_settings(order=other_order)))
    if calmer := CALM.get(route.condition):
        tried.append((f"take a blank that is {calmer.split(', ')[1]}", with_settings(condition=calmer)))
    if not s.cool:
        tried.append(("let the part cool before the finishing cut and the reading", with_settings(cool=True)))
    if not s.trial:
        tried.append(("take two like finishing cuts and measure between them", with_settings(trial=True)))
    if abs(s.room - 20) > 1:
        tried.append(("bring the room to 20 °C", with_settings(room=20.0)))
    if not s.centre:
        tried.append(("support the end with the centre", with_settings(centre=True)))
    step = shop.lathe.dial_step
    tried.append(("set the last cut with an indicator on the cross slide (2 µm)", with_shop(
        replace(shop, lathe=replace(shop.lathe, dial_step=replace(step, value=0.004, low=0.004, high=0.004))))))
    tried.append(
        (
            "set the micrometer or gauge on a master of the same size",
            lambda: good(budget(choose(route.part, _mastered(shop), s), order, count=QUICK)),
        )
    )
    loose = [
        r for r in shop.reamers if r.measured is None and any(b.reamer and b.reamer.name == r.name for b in route.bored)
    ]
    for r in loose:
        lower, upper = _band(r)
        middle = r.size + (lower + upper) / 2
        known = tools.known(middle, middle - 0.001, middle + 0.001, "measured")
        tried.append(
            (
                f"measure the {r.name}",
                with_shop(
                    replace(shop, reamers=tuple(replace(x, measured=known) if x is r else x for x in shop.reamers))
                ),
            )
        )
    if any(
        share.name == "lobes from the jaws" and share.spread > 5e-4
        for b in budget(route, order, count=50)
        for share in b.shares
    ):
        tried.append(
            ("bore it in soft jaws that fit the blank", lambda: good(budget(_soft(route), order, count=QUICK)))
        )
    for stock in (0.2, 0.3):
        if any(b.reamer and b.bar for b in route.bored) and abs(stock - s.ream_stock) > 0.04:
            tried.append((f"leave {stock:g} mm for the reamer", with_settings(ream_stock=stock)))
    found = []
    for what, work in tried:
        try:
            then = work()
        except Refused:
            continue
        gain = then - base
        if gain > 0.004:
            found.append(
                PlanChange(
                    what,
                    min(odds + gain, 1.0),
                    gain,
                    f"{what[0].upper()}{what[1:]}: {100 * base:.0f} good parts of 100 become {100 * then:.0f}.",
                )
            )
    return tuple(sorted(found, key=lambda c: -c.gain)[:3])


def _band(reamer: Any) -> tuple[float, float]:
    lim = reamer_limits(reamer.size, reamer.code)
    return float(lim.lower), float(lim.upper)


def _mastered(shop: Any) -> Any:
    """The shop with its shaft gauges set on a master of the same size, as closely as a bore gauge in a ring."""
    return replace(
        shop,
        instruments=tuple(
            replace(g, instrument="bore gauge set in a ring")
            if g.instrument in ("bore gauge set in a micrometer", "micrometer on a shaft")
            else g
            for g in shop.instruments
        ),
    )


def _soft(route: Route) -> Route:
    soft = next(
        (
            c
            for c in route.shop.chucks
            if "soft" in c.kind and c.smallest.value <= route.part.blank.diameter <= c.largest.value
        ),
        None,
    )
    return replace(route, holdings=(replace(route.holdings[0], way=soft.name), *route.holdings[1:])) if soft else route


def _cautions(route: Route) -> tuple[str, ...]:
    found = ["The lathe's manual, the rules of your shop and whoever instructs you come before this plan."]
    for b in route.bored:
        out = max(o.diameter for o in route.part.outsides if o.start < b.surface.end and o.end > b.surface.start)
        if said := bore_stress.length_caution(b.surface.length, out):
            found.append(said)
    return tuple(dict.fromkeys(found))


def _assumed(shop: Any) -> tuple[str, ...]:
    return tuple(
        name
        for name in shop.assumed()
        if "supports" in name or "stiffness" in name or "measured" in name or "dial" in name
    )


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
        raise Refused(f"The number of virtual parts must be a whole number from 1 to two million; it was {count!r}.")
    if made.missing:
        raise Refused(f"No part can be made yet. {made.missing[0]}")
    route = choose(made.part, made.shop, made.settings)
    found = budget(route, made.order, count=count)
    if not found:
        raise Refused(
            "No size of this part has a tolerance, so there is nothing to count. Give one a class such as h6."
        )
    sizes = np.stack([b.samples for b in found])
    inside = np.stack([(b.samples >= b.low) & (b.samples <= b.high) for b in found])
    return Virtual(tuple(b.surface for b in found), sizes, np.asarray(inside.all(0)))
