"""The order of the cuts within a setup: plain surfaces, grooves and threads first, then the seats."""

from __future__ import annotations

from typing import Any

from .. import heat
from ..core import tables
from . import drilled, inside, outside
from .bore_ways import plan_bores
from .budget import pass_rise, wait_for, wait_under_coolant
from .drafting import Draft, Made
from .machine import rule
from .part import KNURL, RECESS, THREAD, Surface
from .results import BETWEEN_CENTRES, BY_HAND, CALLIPER, FAR, Craft, Warm
from .setups import BORE_FIRST, Stage
from .workpiece import Outline


def inside_rough(d: Draft, stage: Stage) -> None:
    ways = plan_bores(d, stage.side)
    hole = 0.0
    for way in ways:
        if way.surface.name in d.finished:
            continue
        already = 2 * d.work.inside(*sorted((d.face, way.inner)))
        enough = already > 0 and (way.bar is None or already >= way.bar.smallest_bore.value - 1e-9)
        if way is ways[0] and not enough:
            hole = drilled.drill(d, way)
        if way is ways[0]:
            hole = hole or already
        if way.opening and d.open(way.surface):
            drilled.open_over(d, way)
    for way in reversed(ways):       # the outer ones first: the bar passes through them
        if d.open(way.surface):
            inside.rough_bore(d, way, hole or 2 * d.work.inside(*sorted((d.face, way.inner))))


def inside_finish(d: Draft, stage: Stage) -> None:
    ways = [w for w in plan_bores(d, stage.side) if w.surface.name not in d.finished]
    for s in stage.side.grooves:
        if s.inside and d.open(s):
            inside.groove(d, s)
    for s, z, inward in inside.edges(d, stage.side):
        if d.open(s):
            inside.chamfer(d, s, z, inward)
    for way in ways:
        before = d.work
        inside.finish_bore(d, way)
        _note(d, way.surface, way.reamer or way.bar, before, stickout=way.stickout, before=way.before,
            drilled=way.drill or 0.0, reamer=way.reamer, missing=way.missing)


def inside_all(d: Draft, stage: Stage) -> None:
    if stage.rough:
        inside_rough(d, stage)
    if stage.finish:
        inside_finish(d, stage)


def _note(d: Draft, s: Surface, tool: Any, work: Outline, **more: Any) -> None:
    """What the budget of a surface goes by."""
    if d.stopped:
        return
    kinds = ("ream", "bore", "bore taper", "drill", "inside thread") if s.inside else ("finish turn", "taper", "thread")
    number = next((d.at[kind, s.name] for kind in kinds if (kind, s.name) in d.at), 0)
    speed = d.operations[number - 1].speed or 0.0 if number else 0.0
    d.made[s.name] = Made(d.whole(s), number, tool, d.held.number, work, d.edge, d.end, centre=d.support,
        between=d.held.kind == BETWEEN_CENTRES, speed=speed, **more)


def finish_all(d: Draft, stage: Stage, inner: bool, roughed: bool = True) -> None:
    """Plain surfaces, grooves, threads and chamfers first; then the seats, in the order of the plan."""
    side = stage.side
    outs = [s for s in side.outs if d.open(s)]
    plain = [s for s in outs if not s.toleranced]
    seats = sorted((s for s in outs if s.toleranced), key=lambda s: -s.tolerance)
    tight = [s for s in [*seats, *(b for b in side.bores if inner)] if s.toleranced and d.open(s)]
    first_inside = inner and d.order == BORE_FIRST
    cool(d, [s for s in tight if s.inside] if first_inside else tight)
    roughed = roughed or all(2 * d.work.inside(b.start, b.end) > 0 for b in side.bores)
    if first_inside:
        inside_finish(d, stage)
        cool(d, [s for s in tight if d.open(s)])
    later: list[Surface] = []
    for s in plain:
        if outside.waits(d, s, [*seats, *later]):
            later.append(s)
    for s in plain:
        if s.kind != KNURL and s not in later:
            before = d.work
            outside.finish(d, s)
            if s.kind != THREAD:
                _note(d, s, next(iter(d.route.shop.tools_for("finish")), None), before)
    for g in side.grooves:
        if g.kind == RECESS and d.open(g):
            outside.plunge(d, "recess", g, g.start, g.end, g.diameter / 2, True)
    for s in plain:
        if s.kind == THREAD and s not in later:
            outside.thread(d, s)
    for s, z, inward in outside.edges(d, side):
        outside.chamfer(d, s, z, inward)
    left = [*seats, *later]
    while left:
        s = next((one for one in left if not outside.waits(d, one, [o for o in left if o is not one])), left[0])
        left.remove(s)
        before = d.work
        outside.finish(d, s)
        _note(d, s, next(iter(d.route.shop.tools_for("finish")), None), before)
    if inner and not first_inside:
        if not roughed:
            inside_rough(d, stage)
        inside_finish(d, stage)
    _chamfers_inside(d, stage)
    if any(o.holding == d.held.number and o.kind not in ("face", "centre drill", "turn round", "indicate", "cool")
            for o in d.operations) or stage.face:
        d.add("deburr", centre=False, reason=Craft("deburr"), measure=BY_HAND)


def _chamfers_inside(d: Draft, stage: Stage) -> None:
    """Edges of bores that were finished from the other end, or with a plain drill."""
    for s, z, inward in inside.edges(d, stage.side):
        inside.chamfer(d, s, z, inward)


def part_off(d: Draft, more: float = 0.0, may_wait: bool = False) -> None:
    """The part, or the part and a little to face, off the bar; may_wait: where the blade is short it is sawn later."""
    part = d.route.part
    blade = d.tool("part off")
    if not d.free():       # long work is not parted off on the centre: it would close on the blade
        d.refuses("part off long", "", abs(d.edge - d.face))
    width = blade.width.value if blade else 2.5
    first, last = part.length + more, part.length + more + width
    radius, hole = d.work.outside(first, last), d.work.inside(first, last)
    hole = 0.0 if hole == float("inf") else hole
    if blade and radius - hole > outside.blade_reach(blade) + 1e-6:
        if may_wait:
            return
        d.refuses("part off deep", "", 2 * radius, outside.blade_reach(blade))
    turns, real = d.turns(outside.speed_of(d.route.group, outside.SLOW, 0.5), 2 * radius)
    feed = 0.04
    while d.machine.turning(width, feed, real) > d.machine.limit and turns > min(d.route.shop.lathe.speeds):
        turns, real = d.turns(real * 0.7, 2 * radius)
    d.add("part off", "", d.work.faced(FAR, first), reason=Craft("stub", more) if more else None,
        needs=tuple((o.kind, o.surface) for o in d.operations if o.finishes), centre=False,
        tool=blade.name if blade else "", spindle=turns, speed=real, feed=feed,
        before=2 * radius, after=2 * hole, target=first, start=first, end=last, stop=d.depth(last),
        measure=CALLIPER, power=d.machine.turning(width, feed, real),
        minutes=(radius - hole) / (feed * turns) if turns else 0.0)


def cool(d: Draft, tight: list[Surface]) -> None:
    """Let the roughing heat go before the first toleranced finish, if it would eat a tenth of a tolerance."""
    hot = [o for o in d.operations if o.kind in ("rough turn", "rough taper", "drill", "ream", "bore", "rough bore")
        and not any(c.kind == "cool" and c.number > o.number for c in d.operations)]
    if not tight or not hot or not d.route.settings.cool:
        return
    s = min(tight, key=lambda one: one.tolerance)
    part, rise = d.route.part, 0.0
    out = max(o.largest for o in part.outsides)
    for o in hot:
        if o.kind == "rough turn" and o.depths and o.speed and o.before:
            long = min((o.end or 1) - (o.start or 0), part.length)    # rounded: a wait is known to a third or so
            rise += len(o.depths) * pass_rise(float(round(o.before) or 1), part.blank.length, 0.0,
                max(round(o.depths[0], 1), 0.1), outside.ROUGH_FEED, float(round(long) or 1),
                float(round(o.speed / 5) * 5 or 5), 0.8, part.material)
        else:
            rise += float(tables.fact("reaming_fluids", fluid="cutting oil", property="rise").value)
    rise = float(round(min(rise, 120.0)))
    grown, goal = heat.properties(part.material).expansion * s.diameter * rise, 0.1 * s.tolerance
    if grown <= goal:
        return
    wait = wait_for(out, part.length, rise, goal, s.diameter, part.material)
    if wait < rule("worth a wait"):
        return
    wet = wait_under_coolant(out, part.length, rise, goal, s.diameter, part.material)
    last = hot[-1]
    d.add("cool", "", None, Warm(s.name, rise, grown, goal, wait, wet), ((last.kind, last.surface),), centre=False,
        wait=min(wait, wet), measure=BY_HAND)
