"""The operations of a plan, one after the other, with tool, speed, cuts, target, stop and reason."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Any, Literal

import numpy as np

from .. import boring_bar, drilling, heat, threads
from ..core import tables
from ..core.quantity import Refused
from ..cutting import Kienzle, kienzle, nose_forces, speeds
from ..stops import gauge_blocks
from .budget import BORE_FEED, BORE_INFEED, FINISH_FEED, REAM_FEED, gauge_for, pass_rise, wait_for, warmth
from .holdings import BORE_FIRST, Bored, Route, Turned, edge_material, speed_of
from .part import OUTSIDE, RECESS, THREAD, Surface, thread_class
from .results import (
    BY_HAND,
    CALLIPER,
    FAR,
    MICROMETER,
    NEAR,
    WIRES,
    BarGivesWay,
    Cause,
    DrillCutsOver,
    DrillStarts,
    Holding,
    Operation,
    OrderReason,
    PointLeavesCone,
    ReamerCutsOver,
    Reason,
    SizeBudget,
    Warm,
    WorkGivesWay,
)
from .workpiece import Outline

ROUGH_DEPTH, ROUGH_FEED, BORE_ROUGH_FEED, FACE_DEPTH = 1.0, 0.15, 0.08, 0.5


SIDES: dict[str, Literal["outside", "inside", "face"]] = {
    "face": "face", "part off": "outside", "rough turn": "outside", "finish turn": "outside", "recess": "outside",
    "thread": "outside", "centre drill": "inside", "drill": "inside", "flat bottom": "inside", "rough bore": "inside",
    "bore": "inside", "ream": "inside"}


class _Sheet:
    """Collects operations and numbers them; each knows by name what it needs."""

    def __init__(self, route: Route, order: str, budgets: dict[str, SizeBudget], why: OrderReason):
        self.route, self.order, self.budgets, self.why = route, order, budgets, why
        self.done: list[Operation] = []
        blank = route.part.blank
        spare = 0.5 if route.part_off else (blank.length - route.part.length) / 2
        self.work = Outline.bar(-spare, blank.length - spare, blank.diameter / 2)
        self.at: dict[tuple[str, str], int] = {}  # (kind, surface) -> number

    def add(self, kind: str, surface: str, holding: Holding, reason: Reason | None = None,
            needs: list[tuple[str, str]] | None = None, **more: Any) -> None:
        number = len(self.done) + 1
        before = [self.at[n] for n in needs or [] if n in self.at]
        first = [o.number for o in self.done if o.holding == holding.number][:1] or [
            o.number for o in self.done[-1:]
        ]  # turned round: all before it
        was, self.work = self.work, self._cut(kind, holding, more)
        self.done.append(
            Operation(number, kind, surface, holding.number, tuple(sorted({*before, *first})),
            more.pop("finishes", False), reason, outline_before=was.rows, outline_after=self.work.rows,
            side=SIDES.get(kind, ""), centre=holding.centre, **more))
        self.at[kind, surface] = number

    def _cut(self, kind: str, holding: Holding, o: dict[str, Any]) -> Outline:
        """The workpiece after an operation."""
        work, length, end = self.work, self.route.part.length, holding.end
        radius = (o.get("after") or 0.0) / 2
        match kind:
            case "face":
                return work.faced(end, 0.0 if end == NEAR else length)
            case "rough turn":
                return (work.turned(work.start, o["end"], radius) if end == NEAR
                    else work.turned(o["start"], work.end, radius))
            case "finish turn" | "recess":
                return work.turned(o["start"], o["end"], radius)
            case "drill":
                tip = o["stop"] if end == NEAR else length - o["stop"]
                return work.drilled(2 * radius, 118.0, tip, end)
            case "flat bottom" | "rough bore" | "bore" | "ream":
                return work.bored(o["start"], o["end"], radius)
            case "part off":
                return work.faced(FAR, length)
        return work

    def turns(self, speed: float, diameter: float) -> tuple[float, float]:
        step = speeds.choose_step(speed, max(diameter, 0.5), self.route.shop.lathe.speeds)
        return float(step.chosen), float(step.speed)


@lru_cache(maxsize=256)
def _blocks(length: float, box: Any) -> tuple[float, ...]:
    """Gauge blocks, mm, that set the carriage stop so far from the face; none where the box makes nothing near it."""
    try:
        stack = gauge_blocks.gauge_stack(length, box, nearest=True, unit="mm")
    except Refused:
        return ()
    return tuple(stack.blocks) if stack.unit == "mm" else tuple(25.4 * block for block in stack.blocks)


def _stops(route: Route, length: float) -> tuple[float, ...]:
    return _blocks(round(length, 3), route.shop.gauges.box)


def _cuts(total: float, most: float) -> tuple[float, ...]:
    """A depth on radius in equal passes of at most so much."""
    if total <= 1e-9:
        return ()
    number = int(np.ceil(total / most - 1e-9))
    return (round(total / number, 4),) * number


def _minutes(length: float, feed: float, turns: float, passes: int) -> float:
    return passes * (length + 1) / (feed * turns) if turns else 0.0


@lru_cache(maxsize=64)
def _force(k: Kienzle, depth: float, feed: float, nose: float) -> float:
    return float(nose_forces(depth, feed, nose, tables.assumed("entering angle of a boring bar").value, *k).thrust)


def steps(route: Route, order: str, budgets: list[SizeBudget], why: OrderReason) -> tuple[Operation, ...]:
    """All operations in order. The target of each finishing cut has what will still move it taken off."""
    sheet = _Sheet(route, order, {b.surface: b for b in budgets}, why)
    part = route.part
    for held in route.holdings:
        _first_cuts(sheet, held)
        outs = [t for t in route.turned if t.holding == held.number]
        bores = [b for b in route.bored if b.holding == held.number]
        outs.sort(key=lambda t: -t.surface.diameter)
        for t in outs:
            _rough(sheet, t, held)
        groups = (bores, outs) if order == BORE_FIRST else (outs, bores)
        for group in groups:
            _cool(sheet, group, held)
            for way in group:
                if isinstance(way, Bored):
                    _bore(sheet, way, held)
                elif way.surface.kind == OUTSIDE:
                    _finish(sheet, way, held)
        for s in part.surfaces:
            if s.kind == RECESS and route.holding_of(s) == held.number:
                _recess(sheet, s, held)
        for t in outs:
            if t.surface.kind == THREAD:
                _thread(sheet, t, held)
    if route.part_off:
        _part_off(sheet, route.holdings[0])
    return tuple(sheet.done)


def _first_cuts(sheet: _Sheet, held: Holding) -> None:
    route, part = sheet.route, sheet.route.part
    allowance = (part.blank.length - part.length) / 2 if not route.part_off else 0.5
    speed = speed_of(route.group, route.rough.material if route.rough else "high-speed steel")
    turns, real = sheet.turns(speed, part.blank.diameter)
    cuts = _cuts(allowance, FACE_DEPTH)
    long = held.number == 2
    sheet.add("face", "", held, tool=route.rough.name if route.rough else "", spindle=turns, speed=real, feed=0.1,
        depths=cuts, target=part.length if long else None, measure=CALLIPER if long else "",
        minutes=_minutes(part.blank.diameter / 2, 0.1, turns, len(cuts)))
    opened = [b for b in route.bored if b.holding == held.number]
    if opened or held.centre:
        turns, real = sheet.turns(speed_of(route.group, "high-speed steel", 2 / 3), 3.0)
        wander = tables.fact("drills_wander", name="start, after a short stiff centre drill").value
        sheet.add("centre drill", "", held, DrillStarts(wander) if opened else None, [("face", "")],
            tool="centre drill", spindle=turns, speed=real, depths=())


def _rough(sheet: _Sheet, t: Turned, held: Holding) -> None:
    route, s = sheet.route, t.surface
    earlier = [o for o in sheet.done if o.kind == "rough turn" and o.holding == held.number]
    before = earlier[-1].after if earlier and earlier[-1].after else route.part.blank.diameter
    stock = min(route.settings.finish_stock, before - s.diameter)
    after = round(s.diameter + stock, 4)
    cuts = _cuts((before - after) / 2, ROUGH_DEPTH)
    tool = route.rough
    speed = speed_of(route.group, tool.material if tool else "high-speed steel")
    turns, real = sheet.turns(speed, before)
    stop = _reach(route, s, held)
    sheet.add("rough turn", s.name, held, needs=[("face", ""), ("centre drill", "")] if held.centre else [("face", "")],
        tool=tool.name if tool else "", spindle=turns, speed=real, feed=ROUGH_FEED, depths=cuts, before=before,
        after=after, stock=stock, start=s.start, end=s.end, stop=stop, blocks=_stops(route, stop), measure=CALLIPER,
        minutes=_minutes(s.length, ROUGH_FEED, turns, len(cuts)))


def _reach(route: Route, s: Surface, held: Holding) -> float:
    """From the face of this holding to the far shoulder of a surface."""
    return s.end if held.end == NEAR else route.part.length - s.start


def _cool(sheet: _Sheet, group: Any, held: Holding) -> None:
    """Let the roughing heat go before the first toleranced finish of a group, if it would eat a tenth of a tolerance.
    """
    route = sheet.route
    tight = [w.surface for w in group if w.surface.toleranced]
    hot = [o for o in sheet.done if o.holding == held.number and o.kind in ("rough turn", "drill", "ream", "bore")
        and not any(c.kind == "cool" and c.number > o.number for c in sheet.done)]
    if not tight or not hot or not route.settings.cool or all(isinstance(w, Bored) for w in group):
        return
    s = min(tight, key=lambda one: one.tolerance)
    part, rise = route.part, 0.0
    out = max(o.diameter for o in part.outsides)
    for o in hot:
        if o.kind == "rough turn" and o.depths and o.speed and o.before:
            rise += len(o.depths) * pass_rise(o.before, part.blank.length, 0.0, o.depths[0], ROUGH_FEED,
                min((o.end or 1) - (o.start or 0), part.length), o.speed, 0.8, part.material)
        else:
            rise += float(tables.fact("reaming_fluids", fluid="cutting oil", property="rise").value)
    rise = min(rise, 120.0)
    alpha = heat.properties(part.material).expansion
    grown, goal = alpha * s.diameter * rise, 0.1 * s.tolerance
    if grown <= goal:
        return
    wait = wait_for(out, part.length, rise, goal, s.diameter, part.material)
    wet = wait_under_coolant(out, part.length, rise, goal, s.diameter, part.material)
    last = hot[-1]
    sheet.add("cool", "", held, Warm(s.name, rise, grown, goal, wait, wet), [(last.kind, last.surface)], wait=wait,
        measure=BY_HAND)


@lru_cache(maxsize=128)
def wait_under_coolant(out: float, length: float, rise: float, within: float, size: float, material: str) -> float:
    """Seconds under a slow flood of coolant."""
    flood = tables.fact("heat_rules", rule="coolant").value
    return float(heat.time_to_size(out, length, rise, within, size=size, material=material, coolant=flood))


def _target(sheet: _Sheet, s: Surface) -> dict[str, Any]:
    """Target, dial, limits to read at the lathe, from the budget. The size of an untoleranced surface is its nominal.
    """
    b = sheet.budgets.get(s.name)
    if b is None or not b.shares:
        return {"target": s.diameter, "low": s.low, "high": s.high, "dial": s.diameter}
    by = {share.name: share.shift for share in b.shares}
    shift = by.get(Cause.RELEASE, 0.0) - by.get(Cause.ROOM, 0.0) - by.get(Cause.WARMTH, 0.0)
    away = by.get(Cause.WORK_BENDS, 0.0) + by.get(Cause.BAR_BENDS, 0.0)
    return {"target": b.aim - shift, "shift": shift, "low": b.low - shift, "high": b.high - shift,
        "dial": b.aim - shift - away}


def _finish(sheet: _Sheet, t: Turned, held: Holding) -> None:
    route, s, tool = sheet.route, t.surface, t.tool
    rough = sheet.done[sheet.at["rough turn", s.name] - 1]
    each = rough.stock / 4
    speed = speed_of(route.group, edge_material(tool.edge) if tool else "high-speed steel")
    turns, real = sheet.turns(speed, s.diameter)
    needs = [("rough turn", s.name), ("cool", "")]
    over = [b for b in route.bored if b.holding == held.number and b.surface.start < s.end and b.surface.end > s.start]
    b = sheet.budgets.get(s.name)
    reason: Reason | None = None
    if s.toleranced and over and sheet.order == BORE_FIRST:
        needs += [(kind, o.surface.name) for o in over for kind in ("bore", "ream", "drill")]
        reason = sheet.why
    elif s.toleranced and b and b.shares:
        bends = next((share.shift for share in b.shares if share.name is Cause.WORK_BENDS), 0.0)
        reason = WorkGivesWay(bends, sheet.why if over else None)
    gauge, wait = gauge_for(route.shop, s), 0.0
    if s.toleranced and route.settings.cool and tool:
        wait = warmth(route, s, t)[1]
    stop = _reach(route, s, held)
    sheet.add("finish turn", s.name, held, reason, needs, finishes=True, tool=tool.name if tool else "", spindle=turns,
        speed=real, feed=FINISH_FEED, depths=(each, each), before=rough.after, after=s.diameter, start=s.start,
        end=s.end, stop=stop, blocks=_stops(route, stop), measure=gauge.name if gauge and s.toleranced else CALLIPER,
        wait=wait, minutes=_minutes(s.length, FINISH_FEED, turns, 2), **_target(sheet, s))


def _bore(sheet: _Sheet, way: Bored, held: Holding) -> None:
    route, s = sheet.route, way.surface
    depth, hss = s.length, "high-speed steel"
    at = 0.0
    last: list[tuple[str, str]] = [("centre drill", "")]
    if way.drill:
        blind = (s.end < route.part.length - 1e-6 and s.start < 1e-6) or s.start > 1e-6
        point = drilling.point_height(way.drill) if not blind else 0.0
        tip = depth + point + (1.0 if not blind else -0.2)
        turns, real = sheet.turns(speed_of(route.group, hss, 2 / 3), way.drill)
        feed = float(drilling.feed(way.drill).value)
        sheet.add("drill", s.name, held, DrillCutsOver(drilling.oversize(way.drill).b), last,
            tool=f"{way.drill:g} mm drill", spindle=turns, speed=real, feed=feed, before=0.0, after=way.drill,
            stock=s.diameter - way.drill, start=s.start, end=s.end, minutes=_minutes(depth, feed, turns, 1),
            finishes=not way.bar and not way.reamer and not s.toleranced, stop=tip)
        at, last = way.drill, [("drill", s.name)]
    if way.flat and way.flat > at:
        turns, real = sheet.turns(speed_of(route.group, hss, 2 / 3), way.flat)
        sheet.add("flat bottom", s.name, held, PointLeavesCone(drilling.point_height(way.drill or way.flat)), last,
            tool=f"{way.flat:g} mm flat drill", spindle=turns, speed=real, feed=0.05, before=at, after=way.flat,
            stock=s.diameter - way.flat, start=s.start, end=s.end, stop=depth - 0.1, minutes=1.0)
        at, last = way.flat, [("flat bottom", s.name)]
    if way.bar and way.before > at:
        at, last = _with_bar(sheet, way, held, at, last)
    if way.reamer:
        turns, real = sheet.turns(speed_of(route.group, hss, 1 / 3), s.diameter)
        b = sheet.budgets.get(s.name)
        over = next((share.shift for share in b.shares if share.name is Cause.REAMER_CUTS), 0.0) if b else 0.0
        sheet.add("ream", s.name, held, ReamerCutsOver(over), last, finishes=True, tool=way.reamer.name, spindle=turns,
            speed=real, feed=REAM_FEED, depths=(round((s.diameter - at) / 2, 4),), before=at, after=s.diameter,
            start=s.start, end=s.end, measure=_gauge(route, s), minutes=_minutes(depth, REAM_FEED, turns, 1),
            stop=depth, **{**_target(sheet, s), "dial": None})


def _gauge(route: Route, s: Surface) -> str:
    """Name of the instrument for a bore; the calliper where none fits."""
    gauge = gauge_for(route.shop, s)
    return gauge.name if gauge else CALLIPER


def _with_bar(
    sheet: _Sheet, way: Bored, held: Holding, at: float, last: list[tuple[str, str]]
) -> tuple[float, list[tuple[str, str]]]:
    route, s, bar = sheet.route, way.surface, way.bar
    turns, real = sheet.turns(speed_of(route.group, edge_material(bar.edge)), way.before)
    k = kienzle(route.group)
    final = 2 * BORE_INFEED
    stop = s.length
    if way.before - at > 2 * final + 0.2:
        after = round(way.before - 2 * final, 4)
        cuts = _cuts((after - at) / 2, min(0.5, bar.diameter.value / 16))
        sheet.add("rough bore", s.name, held, needs=last, tool=bar.name, tool_stickout=way.stickout, spindle=turns,
            speed=real, feed=BORE_ROUGH_FEED, depths=cuts, before=at, after=after, stock=s.diameter - after,
            start=s.start, end=s.end, stop=stop, blocks=_stops(route, stop), measure=CALLIPER,
            minutes=_minutes(s.length, BORE_ROUGH_FEED, turns, len(cuts)))
        at, last = after, [("rough bore", s.name)]
    total = (way.before - at) / 2
    depths = (*((round(total / 2, 4),) * 2 if total > BORE_INFEED else (round(total, 4),)), 0.0)
    push = _force(k, max(depths[0], 1e-3), BORE_FEED, bar.nose_radius.value)
    slender = way.stickout / bar.diameter.value
    target = (_target(sheet, s) if not way.reamer
        else {"target": way.before, "low": way.before - 0.02, "high": way.before + 0.02})
    b = sheet.budgets.get(s.name)
    bend = next((share.shift for share in b.shares if share.name is Cause.BAR_BENDS), None) if b else None
    sheet.add("bore", s.name, held, BarGivesWay(slender, push, bend, *_bar_holds(route, way, max(depths), real)), last,
        finishes=not way.reamer, tool=bar.name, tool_stickout=way.stickout, spindle=turns, speed=real, feed=BORE_FEED,
        depths=depths, before=at, after=way.before, stock=s.diameter - way.before, start=s.start, end=s.end, stop=stop,
        blocks=_stops(route, stop), measure=_gauge(route, s),
        wait=warmth(route, s, way)[1] if not way.reamer and s.toleranced and route.settings.cool else 0.0,
        minutes=_minutes(s.length, BORE_FEED, turns, len(depths)), **target)
    return way.before, [("bore", s.name)]


BORED_WIDTH = 0.04   # mm on diameter: what a bore in front of a reamer is held to


def _bar_holds(route: Any, way: Bored, depth: float, speed: float) -> tuple[str, float]:
    """Verdict and chance of the finishing cut from the judge of the stickout page; "" where it does not judge."""
    bar, holder, s = way.bar, route.shop.holder, way.surface
    known = {"stiffness": holder.stiffness, "rotation": holder.rotation, "damping": holder.damping}
    own: Any = {f"measured_{name}": (one.value, (one.high - one.low) / 4) for name,
        one in known.items() if one.measured}
    width = s.upper - s.lower if s.toleranced and not way.reamer else BORED_WIDTH
    try:
        found = boring_bar.check_stickout(way.stickout, bar.diameter.value, way.before, width, material=route.group,
            bar_material=bar.material, holder=holder.name, infeed=depth, feed=BORE_FEED,
            nose_radius=bar.nose_radius.value, speed=speed, count=500, **own)
    except Refused:
        return "", 0.0
    return found.verdict, found.chance


def _recess(sheet: _Sheet, s: Surface, held: Holding) -> None:
    route = sheet.route
    tool = next(iter(route.shop.tools_for("recess")), None)
    over = next((o for o in route.part.outsides if o.start <= s.start and o.end >= s.end - 1e-9), None)
    turns, real = sheet.turns(speed_of(route.group, "high-speed steel", 0.5), s.diameter)
    stop = _reach(route, s, held)
    sheet.add("recess", s.name, held, None, [("finish turn", over.name)] if over else [("face", "")], finishes=True,
        tool=tool.name if tool else "", spindle=turns, speed=real, feed=0.03, before=over.diameter if over else None,
        after=s.diameter, target=s.diameter, start=s.start, end=s.end, stop=stop, blocks=_stops(route, stop),
        measure=CALLIPER, minutes=0.5)


def _thread(sheet: _Sheet, t: Turned, held: Holding) -> None:
    route, s = sheet.route, t.surface
    lim = threads.limits(s.thread, thread_class(s.kind, threads.read(s.thread).inch))
    basic = threads.basic(s.thread)
    pitch = threads.read(s.thread).pitch
    rough = sheet.done[sheet.at["rough turn", s.name] - 1]
    blank = (lim.major[0] + lim.major[1]) / 2
    speed = speed_of(route.group, edge_material(t.tool.edge) if t.tool else "high-speed steel")
    turns, real = sheet.turns(speed, s.diameter)
    stop = _reach(route, s, held)
    sheet.add("finish turn", s.name, held, needs=[("rough turn", s.name)],
        tool=next((x.name for x in route.shop.tools_for("finish")), ""), spindle=turns, speed=real, feed=FINISH_FEED,
        depths=(round((rough.after - blank) / 2, 4),) if rough.after else (), before=rough.after, after=blank,
        target=blank, low=lim.major[0], high=lim.major[1], start=s.start, end=s.end, stop=stop,
        blocks=_stops(route, stop), measure=MICROMETER, minutes=_minutes(s.length, FINISH_FEED, turns, 1))
    slow, real = sheet.turns(speed / 3, s.diameter)
    sheet.add("thread", s.name, held, needs=[("finish turn", s.name)], finishes=True,
        tool=t.tool.name if t.tool else "", spindle=slow, speed=real, feed=pitch, before=blank,
        after=2 * (blank / 2 - basic.height * 0.6134), depths=(), start=s.start, end=s.end,
        target=(lim.pitch[0] + lim.pitch[1]) / 2, low=lim.pitch[0], high=lim.pitch[1], measure=WIRES, minutes=2.0)


def _part_off(sheet: _Sheet, held: Holding) -> None:
    route, part = sheet.route, sheet.route.part
    blade = next(iter(route.shop.tools_for("part off")), None)
    last = part.outsides[-1]
    bore = max((b.diameter for b in part.bores if b.end > part.length - 1e-6), default=0.0)
    turns, real = sheet.turns(speed_of(route.group, "high-speed steel", 0.5), last.diameter)
    stop = part.length + (blade.width.value if blade else 2.5)
    done = [(o.kind, o.surface) for o in sheet.done if o.finishes]
    sheet.add("part off", "", held, needs=done, finishes=False, tool=blade.name if blade else "", spindle=turns,
        speed=real, feed=0.04, before=last.diameter, after=bore, target=part.length, stop=stop,
        blocks=_stops(route, stop), measure=CALLIPER,
        minutes=(last.diameter - bore) / 2 / (0.04 * turns) if turns else 0.0)


def renumbered(operations: tuple[Operation, ...], budgets: list[SizeBudget]) -> list[SizeBudget]:
    """The budgets with the numbers of the operations that finish their sizes."""
    last = {o.surface: o.number for o in operations if o.finishes}
    return [replace(b, operation=last.get(b.of, 0)) for b in budgets]
