"""Cuts on the outside: roughing to an envelope, dips, grooves, tapers, knurls, threads, chamfers, finishing."""

from __future__ import annotations

from typing import Any

import numpy as np

from .. import threads
from ..cutting import nose_forces
from ..threads import single_point
from .drafting import Draft
from .machine import edge_material, rule, speed_of
from .part import INSIDE_RECESS, KNURL, OUTSIDE, RECESS, TAPER, THREAD, Surface, thread_class
from .results import CALLIPER, NEAR, WIRES, Craft
from .setups import Side, depth_of

ROUGH_DEPTH, ROUGH_FEED, FACE_DEPTH, FACE_FEED, FINISH_FEED = 1.0, 0.15, 0.5, 0.1, 0.08
LIGHT_DEPTH = 0.3     # where a finished seat is gripped
SLOW = "high-speed steel"


def passes(total: float, most: float) -> tuple[float, ...]:
    """A depth on radius in equal passes of at most so much."""
    if total <= 1e-9:
        return ()
    number = int(np.ceil(total / most - 1e-9))
    return (round(total / number, 6),) * number


def minutes(length: float, feed: float, turns: float, count: int) -> float:
    return count * (length + 1) / (feed * turns) if turns else 0.0


def inward_of(end: str) -> int:
    return 1 if end == NEAR else -1


def stock_of(d: Draft, s: Surface) -> float:
    """Left on diameter for the finishing cuts."""
    return min(d.route.settings.finish_stock, d.route.part.blank.diameter - s.largest)


def face(d: Draft, at: float, driven: float = 0.0) -> None:
    """The free end faced to its place; so much of it is left for a driving dog."""
    tool = next(iter(d.route.shop.tools_for("face")), None) or d.tool("rough")
    allowance = abs(d.face - at)
    if allowance < 1e-6:
        return
    radius = d.work.outside(*sorted((d.face, at)))
    speed = speed_of(d.route.group, tool.material if tool else SLOW)
    turns, real = d.turns(speed, 2 * radius)
    much = allowance > 2 * rule("sawn end") and not d.held_light
    most = d.machine.deepest(2 * FACE_DEPTH if much else FACE_DEPTH, FACE_FEED, real)
    cuts = passes(allowance, most)
    first, last = sorted((d.face, at))
    after, length = d.work.faced(d.end, at), d.route.part.length
    whole = abs(after.start) < 1e-6 and abs(after.end - length) < 1e-6     # the second face makes the length
    over = next((s for s in d.route.part.outsides if s.depth and s.length > length - 1e-6), None)
    gauge = next(iter(d.route.shop.instruments_for("outside", length)), None)
    limits: dict[str, Any] = {}
    if whole and over is not None and over.depth:
        limits = {"low": length + over.depth[0], "high": length + over.depth[1]}
    d.add("face", "", after, tool=tool.name if tool else "", spindle=turns, speed=real,
        feed=FACE_FEED, depths=cuts, before=2 * radius, start=first, end=last, centre=False,
        reason=Craft("stub for the dog", driven) if driven else
        Craft("saw first", d.sawn) if d.sawn and not d.operations else None,
        target=length + (depth_of(over) if over else 0.0) if whole else None,
        measure=gauge.name if limits and gauge else CALLIPER if whole else "", **limits,
        nose=tool.nose_radius.value if tool else None, power=d.machine.turning(max(cuts), FACE_FEED, real),
        minutes=minutes(radius, FACE_FEED, turns, len(cuts)))


# ---- shoulders ------------------------------------------------------------------------------------


def _beside(d: Draft, s: Surface, inward: int, seats: bool = False) -> float:
    """Radius on the drawing beside an end of a surface, +1 away from the free face; 0 where none begins there.

    seats: a thread, a knurl or a taper there, whose end is no seat for anything, counts for nothing.
    """
    z = s.end if (d.end == NEAR) == (inward == 1) else s.start
    return next((o.at(z) / 2 for o in d.route.part.outsides if not (seats and o.kind in (THREAD, KNURL, TAPER))
        and abs((o.start if z == s.end else o.end) - z) < 1e-6), 0.0)


def shoulder(d: Draft, s: Surface) -> float:
    """What roughing leaves on the shoulder at a surface's inner end, for the finishing cut to face; 0 without one."""
    inner = s.end if d.end == NEAR else s.start
    groove = any(g.kind == RECESS and g.start <= inner + 1e-6 and g.end >= inner - 1e-6 for g in d.route.part.surfaces)
    if s.kind == TAPER or groove or s.length < 1.0 or _beside(d, s, 1, True) < s.at(inner) / 2 + 1e-6:
        return 0.0
    return rule("left on a shoulder") + (max(-depth_of(s), 0.0) if s.depth else 0.0)


def _moved(d: Draft, z: float, inward: float) -> float:
    """A place moved away from the free face."""
    return z + inward if d.end == NEAR else z - inward


def _without_shoulder(d: Draft, s: Surface) -> tuple[float, float]:
    """The span of a surface less what is left on its shoulder."""
    left = shoulder(d, s)
    return (s.start, s.end - left) if d.end == NEAR else (s.start + left, s.end)


def _over_rings(d: Draft, s: Surface) -> tuple[float, float]:
    """The span of a finishing cut: over the rings too that roughing left on the shoulders of its neighbours."""
    first, last = s.start, s.end
    if s.kind == TAPER or _behind_wall(d, s):
        return first, last
    ring, radius = rule("left on a shoulder"), s.diameter / 2
    for inward in (-1, 1):
        z, beside = (s.end if (d.end == NEAR) == (inward == 1) else s.start), _beside(d, s, inward)
        if 0 < beside < radius and d.work.outside(*sorted((z, _moved(d, z, inward * ring)))) > radius + 1e-6:
            if z == s.end:
                last = z + ring
            else:
                first = z - ring
    return first, last


# ---- roughing -------------------------------------------------------------------------------------


def rough(d: Draft, side: Side) -> None:
    """Everything of this side to its size and the stock for finishing, the largest diameter first."""
    outs = side.outs
    level, levels = 0.0, []
    for s in outs:
        level = max(level, (s.largest + stock_of(d, s)) / 2)
        levels.append(level)
    for s, radius in reversed(list(zip(outs, levels, strict=True))):
        inner = _moved(d, s.end if d.end == NEAR else s.start, -shoulder(d, s))
        if 0 < _beside(d, s, 1) < s.smallest / 2 and d.work.outside_by(inner, inward_of(d.end)) > radius + 1e-6:
            inner = _moved(d, inner, rule("left on a shoulder"))      # past the edge: the other side stops short of it
        first, last = sorted((d.face, inner))
        now = d.work.outside(first, last)
        if now > radius + 1e-6:
            _rough_cut(d, s, first, last, now, radius)
    for s, radius in zip(outs, levels, strict=True):
        want = (s.largest + stock_of(d, s)) / 2
        if want < radius - 1e-6:
            _dip(d, s, want)
        elif s.kind == TAPER:
            _rough_taper(d, s)


def _rough_cut(d: Draft, s: Surface, first: float, last: float, now: float, radius: float) -> None:
    if now - radius < 1e-6 or last - first < 1e-6:
        return
    tool = d.tool("rough")
    speed = speed_of(d.route.group, tool.material if tool else SLOW)
    turns, real = d.turns(speed, 2 * now)
    angle = tool.entering_angle.value if tool else 90.0
    most = ROUGH_DEPTH * (rule("light roughing") if d.support and _long(d, first, last) else 1.0)
    most = d.machine.deepest(LIGHT_DEPTH if d.held_light else most, ROUGH_FEED, real, angle)
    cuts = passes(now - radius, most)
    stop = d.depth(last if d.end == NEAR else first)
    d.add("rough turn", s.name, d.work.turned(first, last, radius), needs=(("face", ""), ("centre drill", "")),
        tool=tool.name if tool else "", spindle=turns, speed=real, feed=ROUGH_FEED, depths=cuts, before=2 * now,
        after=2 * radius, stock=max(2 * radius - s.largest, 0.0), start=first, end=last, stop=stop,
        measure=CALLIPER, nose=tool.nose_radius.value if tool else None, faces=shoulder(d, s),
        power=d.machine.turning(max(cuts), ROUGH_FEED, real, angle),
        minutes=minutes(last - first, ROUGH_FEED, turns, len(cuts)))


def _long(d: Draft, first: float, last: float) -> bool:
    slim = 2 * d.work.slimmest(first, last)
    return abs(d.face - d.edge) > rule("long between centres") * slim


def _rough_taper(d: Draft, s: Surface) -> None:
    tool = d.tool("recess" if _behind_wall(d, s) else "rough", s.name)
    stock = stock_of(d, s) / 2
    a, b = s.at(s.start) / 2 + stock, s.at(s.end) / 2 + stock
    now = d.work.outside(s.start, s.end)
    speed = speed_of(d.route.group, tool.material if tool else SLOW)
    turns, real = d.turns(speed, 2 * now)
    most = d.machine.deepest(LIGHT_DEPTH if d.held_light else ROUGH_DEPTH, ROUGH_FEED, real)
    cuts = passes(now - min(a, b), most)
    stop = d.depth(s.end if d.end == NEAR else s.start)
    d.add("rough taper", s.name, d.work.turned(s.start, s.end, a, b), Craft("taper angle", _angle(s)),
        tool=tool.name if tool else "", spindle=turns, speed=real, feed=ROUGH_FEED, depths=cuts, before=2 * now,
        after=2 * a, end_diameter=2 * b, stock=2 * stock, start=s.start, end=s.end, stop=stop, measure=CALLIPER,
        nose=tool.nose_radius.value if tool else None, power=d.machine.turning(max(cuts), ROUGH_FEED, real),
        minutes=minutes(s.length, ROUGH_FEED, turns, len(cuts)))


def _angle(s: Surface) -> float:
    """Half the included angle of a taper, degrees."""
    return float(np.degrees(np.arctan(abs(s.at(s.end) - s.at(s.start)) / 2 / s.length)))


def blade_reach(tool: Any) -> float:
    reach, width = tool.reach.value, tool.width.value
    return float(reach or rule("blade overhang") * width)


def _dip(d: Draft, s: Surface, radius: float) -> None:
    """A smaller diameter behind a larger one: the grooving tool makes room, the rest is turned from there."""
    tool = d.tool("recess", s.name)
    wall = d.work.outside(s.start, s.end)
    if tool is None:
        return
    if wall - radius > blade_reach(tool):
        d.refuses("dip", s.name, s.diameter, wall - s.smallest / 2)
        return
    width, (start, end) = tool.width.value, _without_shoulder(d, s)
    if s.length < width - 1e-6:
        d.refuses("narrow", s.name, width, s.length)
        return
    if end - start < width:
        start, end = s.start, s.end
    wide = end - start if end - start <= 4 * width else 2 * width
    first, last = (start, start + wide) if d.end == NEAR else (end - wide, end)
    plunge(d, "undercut", s, first, last, radius)
    if wide < end - start - 1e-6:
        first, last = (last, end) if d.end == NEAR else (start, first)
        _rough_cut(d, s, first, last, d.work.outside(first, last), radius)
    if s.kind == TAPER:
        _rough_taper(d, s)


def plunge(d: Draft, kind: str, s: Surface, first: float, last: float, radius: float, finishes: bool = False) -> None:
    """A groove with the grooving tool, plunge beside plunge."""
    tool = d.tool("recess", s.name)
    now = d.work.outside(first, last)
    if tool is None or now <= radius + 1e-6:
        return
    if tool.width.value > last - first + 1e-6:
        d.refuses("narrow", s.name, tool.width.value, last - first)
        return
    if now - radius > blade_reach(tool) + 1e-6:
        d.refuses("groove deep", s.name, 2 * radius, now - radius)
        return
    turns, real = d.turns(speed_of(d.route.group, SLOW, 0.5), 2 * now)
    feed = 0.03
    stop = d.depth(last if d.end == NEAR else first)
    d.add(kind, s.name, d.work.turned(first, last, radius), needs=(("face", ""),), finishes=finishes, tool=tool.name,
        spindle=turns, speed=real, feed=feed, before=2 * now, after=2 * radius,
        target=s.diameter if finishes else None, start=first, end=last, stop=stop,
        measure=CALLIPER, power=d.machine.turning(tool.width.value, feed, real),
        minutes=minutes(now - radius, feed, turns, int(np.ceil((last - first) / tool.width.value))))


# ---- finishing ------------------------------------------------------------------------------------


def finish(d: Draft, s: Surface, needs: tuple[tuple[str, str], ...] = ()) -> None:
    """The last cuts of an outside: two like ones where it has a tolerance."""
    plain = _without_shoulder(d, s)
    now = d.work.outside(*plain)
    a, b = s.at(s.start) / 2, s.at(s.end) / 2
    if s.kind == THREAD:
        a = b = _blank(s) / 2
    elif s.kind == KNURL:
        a = b = s.diameter / 2 - rule("knurl raises") / 2
    left = max(d.work.outside_by(plain[0], 1) - a, d.work.outside_by(plain[1], -1) - b)
    if left < 1e-6:
        return
    square, (first, last) = _behind_wall(d, s, min(a, b)), _over_rings(d, s)
    tool = d.tool("recess" if square else "finish", s.name)
    speed = speed_of(d.route.group, SLOW if square else edge_material(tool.edge) if tool else SLOW)
    turns, real = d.turns(speed, 2 * max(a, b))
    most = d.machine.deepest(LIGHT_DEPTH if d.held_light else ROUGH_DEPTH, FINISH_FEED, real)
    two = s.toleranced and d.route.settings.trial
    cuts = passes(left, min(left / 2 if two else left, most) + 1e-12)
    stop = d.depth(s.end if d.end == NEAR else s.start)
    if s.depth and s.length < d.route.part.length - 1e-6:
        stop += depth_of(s)       # a length with limits is aimed at in their middle
    ends = s.kind not in (THREAD, KNURL) and d.close(s)
    size: dict[str, Any] = {"low": s.low, "high": s.high} if s.kind != KNURL else {}
    if s.kind == THREAD:
        major = _limits(s).major
        size = {"low": major[0], "high": major[1]}
    d.add("taper" if s.kind == TAPER else "finish turn", s.name, d.work.turned(first, last, a, b),
        needs=(("rough turn", s.name), ("rough taper", s.name), ("cool", ""), *needs), finishes=ends,
        reason=Craft("taper angle", _angle(s)) if s.kind == TAPER else None,
        tool=tool.name if tool else "", spindle=turns, speed=real, feed=FINISH_FEED, depths=cuts, before=2 * now,
        after=2 * a, end_diameter=2 * b if s.kind == TAPER else None, start=first, end=last, stop=stop,
        faces=_faced(d, s), blocks=d.blocks(stop, s), measure=CALLIPER, target=2 * a,
        dial=2 * a if ends or s.toleranced else None,
        nose=tool.nose_radius.value if tool else None, power=d.machine.turning(max(cuts), FINISH_FEED, real),
        minutes=minutes(s.length, FINISH_FEED, turns, len(cuts)), **size)


def waits(d: Draft, s: Surface, seats: list[Surface]) -> bool:
    """Does a seat stand in front of it that is not finished yet, larger than it by its stock?"""
    edge = s.start if d.end == NEAR else s.end
    front = _moved(d, edge, -rule("left on a shoulder") - 1e-3)     # the ring on its shoulder is turned off with it
    return s.kind == OUTSIDE and any(
        abs((o.end if d.end == NEAR else o.start) - edge) < 1e-6 and o.at(edge) <= s.at(edge) + 1e-6
        and d.work.outside_by(front, -inward_of(d.end)) > s.at(edge) / 2 + 1e-6 for o in seats)


def _faced(d: Draft, s: Surface) -> float:
    """What stands on the shoulder at its inner end, for this cut to face."""
    start, end = _without_shoulder(d, s)
    ring = d.work.slimmest(*((end, s.end) if d.end == NEAR else (s.start, start)))
    return shoulder(d, s) if ring > d.work.outside(start, end) + 1e-6 else 0.0


def _behind_wall(d: Draft, s: Surface, radius: float = 0.0) -> bool:
    """Does a square wall stand on the free side of it, or will when it is turned to a radius? A ring that is left on a
    shoulder there is none.
    """
    ring = rule("left on a shoulder") + 1e-6
    first, last = (s.start - 0.5, s.start - ring) if d.end == NEAR else (s.end + ring, s.end + 0.5)
    return d.work.outside(first, last) > (radius or d.work.outside(*_without_shoulder(d, s))) + 1e-6


def knurl(d: Draft, s: Surface) -> None:
    tool = d.tool("knurl", s.name)
    speed = speed_of(d.route.group, SLOW, rule("knurl share of speed"))
    turns, real = d.turns(speed, s.diameter)
    raised = rule("knurl raises")
    d.add("knurl", s.name, d.work.raised(s.start, s.end, s.diameter / 2), Craft("knurl", raised),
        (("finish turn", s.name),), finishes=True, tool=tool.name if tool else "", spindle=turns, speed=real, feed=0.1,
        before=s.diameter - raised, after=s.diameter, start=s.start, end=s.end, measure=CALLIPER, side="outside",
        minutes=minutes(s.length, 0.1, turns, 2))


# ---- threads --------------------------------------------------------------------------------------


def _limits(s: Surface) -> threads.Limits:
    return threads.limits(s.thread, thread_class(s.kind, threads.read(s.thread).inch))


def _blank(s: Surface) -> float:
    major = _limits(s).major
    return (major[0] + major[1]) / 2


def relief_of(d: Draft, s: Surface, root: float) -> tuple[float, float, float]:
    """(from, to, room) of a thread: where it is cut, and the length in which the tool may stop."""
    part, pitch = d.route.part, threads.read(s.thread).pitch
    inner = s.end if d.end == NEAR else s.start
    beyond = (inner, inner + 0.5) if d.end == NEAR else (inner - 0.5, inner)
    shoulder = d.work.outside(*beyond) * 2 > root if not s.inside else d.work.inside(*beyond) * 2 < root - 1e-6
    first, last = s.start, s.end
    if not shoulder:
        return first, last, 3 * pitch
    for g in part.surfaces:
        kind = INSIDE_RECESS if s.inside else RECESS
        if g.kind == kind and g.start <= inner + 1e-6 and g.end >= inner - 1e-6:
            deep = g.diameter <= root + 1e-6 if not s.inside else g.diameter >= s.diameter - 1e-6
            if deep:
                return (first, g.start, g.length) if d.end == NEAR else (g.end, last, g.length)
    out = rule("thread runs out") * pitch
    return (first, last - out, out) if d.end == NEAR else (first + out, last, out)


def stops_in(d: Draft, s: Surface, first: float, last: float) -> str:
    """Where the threading tool stops: in a relief, in a run-out short of the shoulder, or past an open end."""
    short = last < s.end - 1e-6 if d.end == NEAR else first > s.start + 1e-6
    if not short:
        return "past the end"
    edge = last if d.end == NEAR else first
    relief = any(g.kind in (RECESS, INSIDE_RECESS) and (abs(g.start - edge) < 1e-6 or abs(g.end - edge) < 1e-6)
        for g in d.route.part.surfaces)
    return "relief" if relief else "run-out"


def schedule(pitch: float, height: float, line: float) -> tuple[float, ...]:
    """Infeeds on radius of nearly equal chip section, in lines of the cross slide's dial (mm on radius)."""
    count = max(int(np.ceil((height / rule("pass of a thread")) ** 2 / 2)), 4)
    deep = np.cumsum(threads_depths(pitch, min(count, 30), height))
    at = np.unique(np.round(deep / line))         # as the dial's lines allow
    return tuple(round(float(step), 4) for step in np.diff(at, prepend=0.0) * line if step > 0)


def threads_depths(pitch: float, count: int, height: float) -> np.ndarray:
    most = float(threads.thread_height(pitch)) * 7 / 8
    return single_point.infeed_schedule(pitch, count, depth=min(height, most)).step


def thread(d: Draft, s: Surface) -> None:
    """An outside thread, slow enough to stop in its relief or its run-out."""
    read, lim, basic = threads.read(s.thread), _limits(s), threads.basic(s.thread)
    blank, pitch = _blank(s), read.pitch
    height = 0.6134 * basic.height
    root = blank - 2 * height
    first, last, room = relief_of(d, s, root)
    entry = (s.start - 0.5, s.start) if d.end == NEAR else (s.end, s.end + 0.5)
    if d.work.outside(*entry) * 2 > root + 1e-6:
        d.refuses("thread entry", s.name, s.diameter)
        return
    if last - first < 2 * pitch:
        d.refuses("thread short", s.name, s.diameter, s.length)
        return
    tool = d.tool("thread", s.name)
    speed = speed_of(d.route.group, edge_material(tool.edge) if tool else SLOW, rule("thread share of speed"))
    slow = 60 * room / (rule("stop the thread") * pitch)
    turns, real = d.machine.step(speed, s.diameter, min(slow, d.most_turns()))
    if turns > slow + 1e-6:
        d.refuses("thread fast", s.name, turns, slow)
    steps = schedule(pitch, height, d.route.shop.lathe.dial_step.value / 2)
    area = height**2 * np.tan(np.pi / 6) / len(steps)
    d.add("thread", s.name, None, Craft(stops_in(d, s, first, last), room, pitch * turns / 60),
        (("finish turn", s.name), ("recess", "")), finishes=True, tool=tool.name if tool else "",
        spindle=turns, speed=real, feed=pitch, pitch=pitch, infeeds=steps, depths=steps, before=blank, after=root,
        start=first, end=last, target=(lim.pitch[0] + lim.pitch[1]) / 2, low=lim.pitch[0], high=lim.pitch[1],
        measure=WIRES, power=d.machine.turning(area / steps[0], steps[0], real),
        stop=d.depth(last if d.end == NEAR else first),
        minutes=len(steps) * ((last - first) / (pitch * turns) + 0.3))


# ---- chamfers -------------------------------------------------------------------------------------


def edges(d: Draft, side: Side) -> list[tuple[Surface, float, int]]:
    """Free edges of this side that bear a chamfer: (surface, place, +1 where the metal lies at larger z)."""
    part, found = d.route.part, []
    for s in part.outsides:
        if not s.chamfer:
            continue
        for z, inward in ((s.start, 1), (s.end, -1)):
            beyond = next((o for o in part.outsides if abs((o.end if inward == 1 else o.start) - z) < 1e-6), None)
            if beyond is not None and beyond.at(z) > s.at(z) - 1e-6:
                continue
            mine = _side_of(part.length, z, beyond, side)
            if mine:
                found.append((s, z, inward))
    return found


def _side_of(length: float, z: float, beyond: Surface | None, side: Side) -> bool:
    if beyond is None:
        return (z < length / 2) == (side.end == NEAR)
    return any(o.name == beyond.name and o.start - 1e-6 <= z <= o.end + 1e-6 for o in side.outs)


def chamfer(d: Draft, s: Surface, z: float, inward: int) -> None:
    """A free edge of an outside broken at 45 degrees; before its last cut, so that no burr is left on the seat."""
    final = (_blank(s) if s.kind == THREAD else s.at(z)) / 2
    edge = final - s.chamfer
    more = max(d.work.outside_by(z, inward) - final, 0.0)
    length = s.chamfer + more
    first, last = sorted((z, z + inward * length))
    a, b = (edge, edge + length) if inward == 1 else (edge + length, edge)
    after = d.work.turned(first, last, a, b)
    ring = rule("left on a shoulder")       # in front of the edge, until its neighbour is finished: it goes too
    before = [o.at(z) / 2 for o in d.route.part.outsides if abs((o.end if inward == 1 else o.start) - z) < 1e-6]
    for floor in before:
        low, high = max(edge - ring, floor), max(edge, floor)
        after = after.turned(z - ring, z, low, high) if inward == 1 else after.turned(z, z + ring, high, low)
    if abs(after.volume - d.work.volume) < 1e-9:
        return
    tool = d.tool("finish", s.name)
    speed = speed_of(d.route.group, edge_material(tool.edge) if tool else SLOW)
    turns, real = d.turns(speed, 2 * final)
    d.add("chamfer", s.name, after, Craft("chamfer", s.chamfer), tool=tool.name if tool else "", spindle=turns,
        speed=real, feed=FINISH_FEED, before=2 * (edge + length), after=2 * edge, start=first, end=last,
        side="outside", minutes=0.3)


def force(d: Draft, depth: float, feed: float, nose: float, angle: float) -> float:
    return float(nose_forces(max(depth, 1e-3), feed, nose, angle, *d.machine.k).thrust)
