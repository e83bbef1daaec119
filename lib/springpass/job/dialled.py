"""The numbers to dial: targets, limits at the lathe, and the reasons that carry a computed number."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from .budget import gauge_for, warmth, wet_wait
from .drafting import Draft
from .results import (
    CALLIPER,
    BarGivesWay,
    Cause,
    Craft,
    Operation,
    OrderReason,
    ReamerCutsOver,
    SizeBudget,
    WorkGivesWay,
)
from .setups import BORE_FIRST


def dialled(d: Draft, budgets: list[SizeBudget], why: OrderReason) -> tuple[Operation, ...]:
    """The operations with their targets: what will still move a size is taken off; what like cuts show is not."""
    by = {b.surface: b for b in budgets}
    found = list(d.operations)
    for name, made in d.made.items():
        s, b = made.surface, by.get(name)
        if not made.operation or not s.toleranced:
            continue
        o = found[made.operation - 1]
        gauge = gauge_for(d.route.shop, s)
        more: dict[str, Any] = {"measure": gauge.name if gauge else CALLIPER}
        if b is not None and b.shares:
            more |= _aim(d, b)
            more["reason"] = _reason(d, o, b, why)
            if o.kind == "ream":
                more["dial"] = None
        if d.route.settings.cool and made.tool is not None and o.kind != "ream":
            wet = wet_wait(d.route, s, made)
            more |= {"wait": wet, "still": warmth(d.route, s, made)[1] if wet else 0.0}
        found[made.operation - 1] = replace(o, **more)
        for half in found[:made.operation - 1]:       # the other half of a seat that is turned from both ends
            if half.kind == o.kind == "finish turn" and half.surface == name:
                same = {k: v for k, v in more.items() if k != "reason"}
                found[half.number - 1] = replace(half, reason=Craft("halves meet"), **same)
    return tuple(found)


def _aim(d: Draft, b: SizeBudget) -> dict[str, float]:
    """Target, dial and the limits to read at the lathe."""
    share = {share.name: share.shift for share in b.shares}
    shift = share.get(Cause.RELEASE, 0.0) - share.get(Cause.ROOM, 0.0) - share.get(Cause.WARMTH, 0.0)
    away = share.get(Cause.WORK_BENDS, 0.0) + share.get(Cause.BAR_BENDS, 0.0)
    target = b.aim - shift
    return {"target": target, "shift": shift, "low": b.low - shift, "high": b.high - shift,
        "dial": target if d.route.settings.trial else target - away}


def _reason(d: Draft, o: Operation, b: SizeBudget, why: OrderReason) -> Any:
    shift = {share.name: share.shift for share in b.shares}
    if isinstance(o.reason, BarGivesWay):
        return replace(o.reason, error=shift.get(Cause.BAR_BENDS))
    if isinstance(o.reason, ReamerCutsOver):
        return ReamerCutsOver(shift.get(Cause.REAMER_CUTS, 0.0))
    if o.kind != "finish turn":
        return o.reason
    s = d.route.part.surface(o.surface)
    over = [m for m in d.made.values() if m.surface.inside and m.surface.start < s.end and m.surface.end > s.start]
    if over and d.order == BORE_FIRST:
        return why
    return WorkGivesWay(shift.get(Cause.WORK_BENDS, 0.0), why if over else None)


def renumbered(operations: tuple[Operation, ...], budgets: list[SizeBudget]) -> list[SizeBudget]:
    """The budgets with the numbers of the operations that finish their sizes."""
    last = {o.surface: o.number for o in operations if o.finishes}
    return [replace(b, operation=last.get(b.of, 0)) for b in budgets]
