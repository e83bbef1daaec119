"""Cuts in a hole that is there: bored from the free face, reamed, threaded, grooved, chamfered."""

from __future__ import annotations

from typing import Any

import numpy as np

from .. import boring_bar, drilling, threads
from ..core import tables
from ..core.quantity import Refused
from .bore_ways import Way, point_of, runs_out
from .drafting import Draft
from .machine import edge_material, rule, speed_of
from .outside import SLOW, force, minutes, passes, relief_of, schedule, stops_in
from .part import BORE, INSIDE_TAPER, INSIDE_THREAD, Surface, thread_class
from .results import CALLIPER, NEAR, BarGivesWay, Craft, Missing, ReamerCutsOver
from .setups import Side, bore_chain

BORE_FEED, BORE_INFEED, BORE_ROUGH_FEED, REAM_FEED = 0.05, 0.1, 0.08, 0.15
BORED_WIDTH = 0.04   # mm on diameter: what a bore in front of a reamer is held to
PLUG = "plug of the thread, or the mating part"


# ---- boring ---------------------------------------------------------------------------------------


def rough_bore(d: Draft, way: Way, hole: float) -> None:
    """All but the last cuts of a bore, from the hole that is there."""
    s, bar = way.surface, way.bar
    if bar is None or hole <= 0:
        return
    final = 2 * BORE_INFEED
    after = way.before - 2 * final if s.kind != INSIDE_TAPER else s.smallest - final
    if way.faced:
        _face_bottom(d, way, hole, after)
        return
    first, last = _less(d, _span(d, way), shoulder(d, way))
    now = 2 * d.work.inside(first, last)
    if after - now <= 0.2:
        return
    _bar_cut(d, "rough bore", way, first, last, now, after, BORE_ROUGH_FEED, needs=(("drill", s.name),))


def _bar_cut(d: Draft, kind: str, way: Way, first: float, last: float, now: float, after: float, feed: float,
        needs: tuple[tuple[str, str], ...] = ()) -> None:
    s, bar = way.surface, way.bar
    turns, real = d.turns(speed_of(d.route.group, edge_material(bar.edge)), after)
    stout = way.stickout <= rule("stout bar") * bar.diameter.value       # there the spindle's power is the limit
    deep = bar.diameter.value / 16 if stout else min(0.5, bar.diameter.value / 16)
    most = d.machine.deepest(deep, feed, real, bar.entering_angle.value, True)
    cuts = passes((after - now) / 2, most)
    stop = d.depth(last if d.end == NEAR else first)
    d.add(kind, s.name, d.work.bored(first, last, after / 2), needs=needs, centre=False, tool=bar.name,
        tool_diameter=bar.diameter.value, tool_stickout=way.stickout, spindle=turns, speed=real, feed=feed,
        depths=cuts, before=now, after=after, stock=s.smallest - after, start=first, end=last, stop=stop,
        faces=0.0 if way.faced else shoulder(d, way), measure=CALLIPER, nose=bar.nose_radius.value,
        power=d.machine.turning(max(cuts), feed, real, bar.entering_angle.value, True),
        minutes=minutes(last - first, feed, turns, len(cuts)))


def _span(d: Draft, way: Way) -> tuple[float, float]:
    """From where to where a bar cuts: half a millimetre past an open end."""
    s = way.surface
    inward = 1.0 if d.end == NEAR else -1.0
    outer = s.start if d.end == NEAR else s.end
    inner = way.inner + (inward * runs_out(way.reamer) if way.through else 0.0)
    inner = min(inner, d.work.end) if d.end == NEAR else max(inner, d.work.start)
    ring = outer - inward * rule("left on a shoulder")       # left on the shoulder in front, where this bore begins
    if d.work.inside(*sorted((ring, outer))) < way.before / 2 - 1e-6:
        outer = ring
    return (outer, inner) if d.end == NEAR else (inner, outer)


def shoulder(d: Draft, way: Way) -> float:
    """What roughing leaves on the shoulder of a bore or round a flat bottom, for the last cuts to face; else 0."""
    behind = way.flat is not None or any(o.kind == BORE and abs((o.start if d.end == NEAR else o.end) - way.inner)
        < 1e-3 for o in bore_chain(d.route.part))
    return rule("left on a shoulder") if behind and not way.through and way.surface.kind == BORE else 0.0


def _less(d: Draft, span: tuple[float, float], left: float) -> tuple[float, float]:
    """A span of cuts less what is left at its inner end."""
    return (span[0], span[1] - left) if d.end == NEAR else (span[0] + left, span[1])


def _face_bottom(d: Draft, way: Way, hole: float, after: float) -> None:
    """A bar opens the hole down to the cone, then faces the cone away to the bottom."""
    s, bar = way.surface, way.bar
    inward = 1.0 if d.end == NEAR else -1.0
    outer = s.start if d.end == NEAR else s.end
    drilled = way.opening or way.drill or 1.0
    left = 2 * d.work.inside(*sorted((d.face, way.inner))) if way.opening else 0.0     # the hole beyond the shoulder
    height = float(drilling.point_height(drilled, point_of(d.route.shop, drilled)))
    brink = way.inner - inward * (rule("floor for the flat tool") + height)
    first, last = sorted((outer, brink))
    now = 2 * d.work.inside(first, last)
    if after - now > 1e-6:
        _bar_cut(d, "rough bore", way, first, last, now, after, BORE_ROUGH_FEED, (("drill", s.name),))
    first, last = sorted((brink, way.inner))
    turns, real = d.turns(speed_of(d.route.group, edge_material(bar.edge)), after)
    cuts = passes(last - first, d.machine.deepest(rule("face bottom depth"), BORE_FEED, real, 90.0, True))
    stop = d.depth(way.inner)
    d.add("face bottom", s.name, d.work.bored(first, last, after / 2),
        Craft("back clears", bar.smallest_bore.value + bar.diameter.value - left, after), (("rough bore", s.name),),
        centre=False, tool=bar.name, tool_diameter=bar.diameter.value, tool_stickout=way.stickout, spindle=turns,
        speed=real, feed=BORE_FEED, depths=cuts, before=left, after=after, start=first, end=last, stop=stop,
        blocks=d.blocks(stop, s), nose=bar.nose_radius.value,
        power=d.machine.turning(max(cuts), BORE_FEED, real, 90.0, True),
        minutes=minutes(after / 2, BORE_FEED, turns, len(cuts)))


def finish_bore(d: Draft, way: Way) -> None:
    """The last cuts of a bore: two like ones and a spring pass, and the reamer where there is one."""
    s, bar = way.surface, way.bar
    if bar is not None:
        _last_cuts(d, way)
    outer = s.start if d.end == NEAR else s.end
    front = 2 * d.work.inside(*sorted((d.face, outer)))
    if way.reamer and not way.missing and not (d.missing and front < s.diameter - 1e-6):    # a bore in front is missing
        _ream(d, way)
    if s.kind == INSIDE_THREAD and not way.missing:
        _thread(d, way)


def _last_cuts(d: Draft, way: Way) -> None:
    s, bar = way.surface, way.bar
    first, last = _span(d, way)
    start, end = _less(d, (first, last), shoulder(d, way))
    now, faces = 2 * d.work.inside(start, end), 0.0
    if shoulder(d, way) and 2 * d.work.inside(first, last) < now - 1e-6:
        faces = shoulder(d, way)
    turns, real = d.turns(speed_of(d.route.group, edge_material(bar.edge)), way.before)
    total, tapered = (way.before - now) / 2, s.kind == INSIDE_TAPER
    if tapered:
        total = (s.largest - now) / 2
    if total <= 1e-6:
        return
    most = min(0.3, d.machine.deepest(0.3, BORE_FEED, real, bar.entering_angle.value, True))
    depths: tuple[float, ...] = passes(total, most)
    if s.toleranced or tapered:          # two like cuts, measured between, and a spring pass
        depths = (*passes(total, max(min(total / 2, most), 1e-6) if total > BORE_INFEED else total), 0.0)
    push = force(d, depths[0], BORE_FEED, bar.nose_radius.value,
        tables.assumed("entering angle of a boring bar").value)
    stop = d.depth(last if d.end == NEAR else first)
    if way.blind:
        stop = d.depth(way.inner)
    a, b = (s.at(s.start) / 2, s.at(s.end) / 2) if tapered else (way.before / 2, way.before / 2)
    work = d.work.bored(s.start, s.end, a, b) if tapered else d.work.bored(first, last, a)
    ends = not way.reamer and s.kind != INSIDE_THREAD and d.close(s)
    d.add("bore taper" if tapered else "bore", s.name, work,
        BarGivesWay(way.stickout / bar.diameter.value, push, None, *_bar_holds(d, way, max(depths), real)),
        (("rough bore", s.name), ("flat bottom", s.name), ("drill", s.name)), centre=False, finishes=ends,
        tool=bar.name, tool_diameter=bar.diameter.value, tool_stickout=way.stickout, spindle=turns, speed=real,
        feed=BORE_FEED, depths=depths, faces=faces, before=now, after=2 * a, end_diameter=2 * b if tapered else None,
        stock=max(s.smallest - way.before, 0.0), start=s.start if tapered else first, end=s.end if tapered else last,
        stop=stop, blocks=d.blocks(stop, s), measure=CALLIPER, nose=bar.nose_radius.value, target=2 * a,
        low=s.low if ends else 2 * a - 0.02, high=s.high if ends else 2 * a + 0.02,
        power=d.machine.turning(max(depths), BORE_FEED, real, bar.entering_angle.value, True),
        minutes=minutes(s.length, BORE_FEED, turns, len(depths)))


def _ream(d: Draft, way: Way) -> None:
    s, r = way.surface, way.reamer
    turns, real = d.turns(speed_of(d.route.group, SLOW, 1 / 3), s.diameter)
    first, last = _span(d, way)
    now = 2 * d.work.inside(first, last)
    if way.through:           # its lead runs out into the open, past the end of the work too
        past = way.inner + (1.0 if d.end == NEAR else -1.0) * runs_out(r)
        first, last = (first, max(last, past)) if d.end == NEAR else (min(first, past), last)
    stop = d.depth(last if d.end == NEAR else first)
    d.add("ream", s.name, d.work.bored(first, last, s.diameter / 2), ReamerCutsOver(0.0),
        (("bore", s.name), ("drill", s.name)), centre=False, finishes=d.close(s), tool=r.name, tool_diameter=s.diameter,
        spindle=turns, speed=real, feed=REAM_FEED, depths=(round((s.diameter - now) / 2, 4),), before=now,
        after=s.diameter, start=first, end=last, measure=CALLIPER, stop=stop, target=s.diameter, low=s.low,
        high=s.high, minutes=minutes(s.length, REAM_FEED, turns, 1))


def _thread(d: Draft, way: Way) -> None:
    """A thread in its bore, with relief or a stated run-out at a blind end."""
    s, shop = way.surface, d.route.shop
    tool = next((t for t in shop.tools_for("inside thread") if t.smallest_bore.value <= way.before
        and (not t.reach.value or t.reach.value >= d.depth(way.inner))), None)
    if tool is None:
        d.lacks(Missing("tool", s.name, "inside thread"))
    read, lim, basic = threads.read(s.thread), None, threads.basic(s.thread)
    lim = threads.limits(s.thread, thread_class(s.kind, read.inch))
    height = 0.5413 * basic.height / 0.8660254 * 0.8660254
    root = way.before + 2 * height
    out = rule("thread runs out") * read.pitch        # into the stub, or the air, behind an open end
    first, last, room = relief_of(d, s, root)
    if way.through:
        first, last, room = (s.start, min(s.end + out, d.work.end), out) if d.end == NEAR else (
            max(s.start - out, d.work.start), s.end, out)
    if last - first < 2 * read.pitch:
        d.refuses("thread short", s.name, s.diameter, s.length)
        return
    slow = 60 * room / (rule("stop the thread") * read.pitch)
    speed = speed_of(d.route.group, edge_material(tool.edge) if tool else SLOW, rule("thread share of speed"))
    turns, real = d.machine.step(speed, s.diameter, min(slow, d.most_turns()))
    if turns > slow + 1e-6:
        d.refuses("thread fast", s.name, turns, slow)
    steps = schedule(read.pitch, height, shop.lathe.dial_step.value / 2)
    area = height**2 * np.tan(np.pi / 6) / len(steps)
    d.add("inside thread", s.name, None, Craft(stops_in(d, s, first, last), room, read.pitch * turns / 60),
        (("bore", s.name), ("drill", s.name)), centre=False, finishes=True, tool=tool.name if tool else "",
        stop=d.depth(last if d.end == NEAR else first), spindle=turns, speed=real,
        feed=read.pitch, pitch=read.pitch, infeeds=steps, depths=steps, before=way.before,
        after=root, start=first, end=last, target=(lim.pitch[0] + lim.pitch[1]) / 2, low=lim.pitch[0],
        high=lim.pitch[1], measure=PLUG, power=d.machine.turning(area / steps[0], steps[0], real, 90.0, True),
        minutes=len(steps) * ((last - first) / (read.pitch * turns) + 0.3))


def _bar_holds(d: Draft, way: Way, depth: float, speed: float) -> tuple[str, float]:
    """Verdict and chance of the finishing cut from the judge of the stickout page; "" where it does not judge."""
    bar, holder, s = way.bar, d.route.shop.holder, way.surface
    known = {"stiffness": holder.stiffness, "rotation": holder.rotation, "damping": holder.damping}
    own: Any = {f"measured_{name}": (one.value, (one.high - one.low) / 4) for name,
        one in known.items() if one.measured}
    width = s.upper - s.lower if s.toleranced and not way.reamer else BORED_WIDTH
    key = (way.stickout, bar.diameter.value, way.before, width, d.route.group, bar.material, holder.name, depth,
        bar.nose_radius.value, speed, tuple(sorted(own.items())))
    if key not in _judged:
        if len(_judged) > 500:
            _judged.clear()
        try:
            found = boring_bar.check_stickout(way.stickout, bar.diameter.value, way.before, width,
                material=d.route.group, bar_material=bar.material, holder=holder.name, infeed=depth, feed=BORE_FEED,
                nose_radius=bar.nose_radius.value, speed=speed, count=500, **own)
            _judged[key] = found.verdict, found.chance
        except Refused:
            _judged[key] = "", 0.0
    return _judged[key]


_judged: dict[Any, tuple[str, float]] = {}


# ---- grooves and chamfers in the hole --------------------------------------------------------------


def groove(d: Draft, s: Surface) -> None:
    """A groove in a bore."""
    bore = 2 * d.work.inside(s.start, s.end)
    deep = d.depth(s.end if d.end == NEAR else s.start)
    tool = next((t for t in d.route.shop.tools_for("inside recess") if t.smallest_bore.value <= bore + 1e-6
        and (not t.reach.value or t.reach.value >= deep)), None)
    if tool is None:
        d.lacks(Missing("tool", s.name, "inside recess"))
    elif tool.width.value > s.length + 1e-6:
        d.refuses("narrow", s.name, tool.width.value, s.length)
        return
    width = tool.width.value if tool else 2.0
    turns, real = d.turns(speed_of(d.route.group, SLOW, 0.5), s.diameter)
    now = 2 * d.work.widest(s.start, s.end)
    d.add("inside recess", s.name, d.work.bored(s.start, s.end, s.diameter / 2), None, (("rough bore", ""),),
        centre=False, finishes=True, tool=tool.name if tool else "", spindle=turns, speed=real, feed=0.03,
        before=min(now, bore) or bore, after=s.diameter, target=s.diameter, start=s.start, end=s.end, stop=deep,
        measure=CALLIPER, power=d.machine.turning(width, 0.03, real, 90.0, True),
        minutes=minutes((s.diameter - bore) / 2, 0.03, turns, int(np.ceil(s.length / width))))


def edges(d: Draft, side: Side) -> list[tuple[Surface, float, int]]:
    """Free edges of bores with a chamfer that this side reaches: (surface, place, +1 where the bore lies beyond)."""
    part, found = d.route.part, []
    ends = {NEAR: 0.0}.get(side.end, part.length)
    for s in part.bores:
        if not s.chamfer or s.kind not in (BORE, INSIDE_THREAD):
            continue
        for z, inward in ((s.start, 1), (s.end, -1)):
            beyond = next((o for o in part.bores if abs((o.end if inward == 1 else o.start) - z) < 1e-3), None)
            mine = abs(z - ends) < 1e-6 if beyond is None else (beyond.at(z) > s.at(z) + 1e-6
                and beyond.name in [b.name for b in side.bores] and (inward == 1) == (side.end == NEAR))
            if mine:
                found.append((s, z, inward))
    return found


def chamfer(d: Draft, s: Surface, z: float, inward: int) -> None:
    """A bore's edge broken at 45 degrees, before its last cut."""
    edge = s.crest / 2 + s.chamfer
    less = max(s.crest / 2 - d.work.inside_by(z, inward), 0.0)
    length = s.chamfer + less
    first, last = sorted((z, z + inward * length))
    a, b = (edge, edge - length) if inward == 1 else (edge - length, edge)
    after, ring = d.work.bored(first, last, a, b), rule("left on a shoulder")
    for o in d.route.part.bores:            # what is left in front of the edge, until its neighbour is finished
        if abs((o.end if inward == 1 else o.start) - z) < 1e-3:
            high, low = min(edge + ring, o.at(z) / 2), min(edge, o.at(z) / 2)
            after = after.bored(z - ring, z, high, low) if inward == 1 else after.bored(z, z + ring, low, high)
    if abs(after.volume - d.work.volume) < 1e-9:
        return
    turns, real = d.turns(speed_of(d.route.group, SLOW, 0.5), 2 * edge)
    d.add("chamfer", s.name, after, Craft("chamfer", s.chamfer), centre=False, tool="90° countersink", spindle=turns,
        speed=real, feed=0.05, before=2 * (edge - length), after=2 * edge, start=first, end=last, side="inside",
        minutes=0.3)
