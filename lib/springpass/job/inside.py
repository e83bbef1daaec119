"""Cuts in the hole: drilled in steps the spindle can drive, squared, bored from the free face, reamed, threaded."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

import numpy as np

from .. import boring_bar, drilling, threads
from ..core import tables
from ..core.quantity import Refused
from .drafting import Draft
from .machine import drill_power, edge_material, rule, speed_of
from .outside import SLOW, force, minutes, passes, relief_of, schedule, stops_in
from .part import BORE, INSIDE_TAPER, INSIDE_THREAD, Surface, thread_class
from .results import (
    CALLIPER,
    NEAR,
    BarGivesWay,
    Craft,
    DrillCutsOver,
    DrillStarts,
    Missing,
    PointLeavesCone,
    ReamerCutsOver,
)
from .setups import Side, bore_chain

BORE_FEED, BORE_INFEED, BORE_ROUGH_FEED, REAM_FEED, FLAT_FEED = 0.05, 0.1, 0.08, 0.15, 0.05
BORED_WIDTH = 0.04   # mm on diameter: what a bore in front of a reamer is held to
PLUG = "plug of the thread, or the mating part"


@dataclass(frozen=True)
class Way:
    """How one bore comes about. Diameters in mm; None where a step is left out."""

    surface: Surface
    inner: float                 # its end away from the free face
    through: bool                # runs out at the far face, or into a bore that does
    blind: bool                  # its bottom is solid
    drill: float | None
    flat: float | None           # flat-bottomed drill
    faced: bool                  # a bar faces the bottom
    bar: Any
    stickout: float
    reamer: Any
    before: float                # diameter in front of the last tool
    missing: Missing | None = None


def plan_bores(d: Draft, side: Side) -> list[Way]:
    """Tools for every bore of a side, the deepest first. What the shop lacks is said."""
    found: list[Way] = []
    hole: float = 0.0       # drilled through all of them
    for i in range(len(side.bores) - 1, -1, -1):
        way = _way(d, side, i, hole)
        found.append(way)
        if way.missing:
            d.lacks(way.missing)
        if i == len(side.bores) - 1:
            hole = max(float(way.drill or 0.0), float(way.flat or 0.0))
        if i + 1 < len(side.bores) and side.bores[i].smallest < side.bores[i + 1].largest - 1e-6:
            d.refuses("behind a smaller bore", side.bores[i + 1].name, side.bores[i + 1].diameter)
    return found


def _way(d: Draft, side: Side, i: int, hole: float) -> Way:
    s, part, shop, settings = side.bores[i], d.route.part, d.route.shop, d.route.settings
    last = i == len(side.bores) - 1
    inner = s.end if side.end == NEAR else s.start
    chain = bore_chain(part)
    beyond = next((o for o in chain if abs((o.start if side.end == NEAR else o.end) - inner) < 1e-3
        and o.name != s.name), None)
    through = inner < 1e-6 or inner > part.length - 1e-6 or (beyond is not None
        and beyond.at(inner) >= s.at(inner) - 1e-6)
    blind = beyond is None and not through
    depth = abs(inner - _face(d, side.end))
    tapered, threaded = s.kind == INSIDE_TAPER, s.kind == INSIDE_THREAD
    reamer = None if tapered or threaded else next((r for r in shop.reamers if abs(r.size - s.diameter) < 1e-9
        and s.code and r.code == s.code and (r.bottoming or not blind)), None)
    depth += _runs_out(reamer) if through else 0.0
    size = s.smallest
    before = size - settings.ream_stock if reamer else size
    bars = _bars(d, s, before - 0.4, depth + rule("bar beyond the bore"))
    sizes = shop.drill_sizes()
    sized = _drilled_to_size(d, s) if last and not (s.flat and blind) and not reamer else None
    if sized is not None and not (tapered or threaded):
        return Way(s, inner, through, blind, sized, None, False, None, 0.0, None, sized)
    lacking: Missing | None = None
    bar: Any
    drill: float | None = hole or None
    flat: float | None = None
    faced = False
    there = 0.0 if blind or through else 2 * d.work.inside(*sorted((_face(d, side.end), inner)))
    if last and there > 0 and any(b.smallest_bore.value <= there + 1e-9 for b in bars):
        last, hole = False, there     # over a smaller bore that is there
    if not last:                      # opened from the hole that is there
        bars = [b for b in bars if b.smallest_bore.value <= hole + 1e-9]
        bar = _picked(d, bars)
        if bar is None and not (reamer and size - hole <= 0.6):
            lacking = Missing("bar or reamer", s.name, size=size, length=depth)
        return Way(s, inner, through, False, drill, None, False, bar, depth + rule("bar beyond the bore"), reamer,
            before, lacking)
    for bar in [*([_picked(d, bars)] if bars else []), *bars]:
        drill, flat, faced, good = _opened(d, s, bar, before, depth, blind, not (blind or through))
        if good:
            break
    else:
        bar = None
        drill = max((x for x in sizes if 0.1 <= size - x <= 0.6), default=None)
    if bar is None:
        if bars and s.flat and blind:
            least = min(b.smallest_bore.value for b in bars)
            lacking = Missing("flat bottom", s.name, size=float(np.floor((before - 0.3) * 10)) / 10, length=least)
        elif bars:
            lacking = Missing("drill", s.name, size=before)
        elif s.flat and blind and not reamer and _drilled_to_size(d, s) is not None:
            drill = _drilled_to_size(d, s)
            flat = next((x for x in shop.drill_sizes(flat=True) if s.low <= x <= s.high), None)
            lacking = None if flat else Missing("flat bottom", s.name, size=s.diameter)
        elif drill is None:
            lacking = Missing("bar or reamer" if not reamer else "drill", s.name, size=size, length=depth)
        elif not reamer and (s.toleranced or abs(size - drill) > 1e-9):
            lacking = Missing("bar or reamer", s.name, size=size, length=depth)
        elif s.flat and blind:
            flat = next((x for x in shop.drill_sizes(flat=True) if abs(x - drill) < 0.5), None)
            lacking = None if flat else Missing("flat bottom", s.name, size=drill)
    return Way(s, inner, through, blind, drill, flat, faced, bar, depth + rule("bar beyond the bore"), reamer, before,
        lacking)


def _runs_out(reamer: Any) -> float:
    """How far the last tool goes past an open end."""
    return rule("reamer runs out") if reamer is not None and not reamer.bottoming else 0.5


def _drilled_to_size(d: Draft, s: Surface) -> float | None:
    """A drill whose hole lies within the limits as it comes out; None where a bar or a reamer must follow."""
    def fits(x: float) -> bool:
        over = drilling.oversize(x)
        return s.low - 1e-9 <= x and x + over.b <= s.high + (0.1 if not s.toleranced else 0.0)

    return min((x for x in d.route.shop.drill_sizes() if fits(x)), key=lambda x: abs(x - s.diameter), default=None)


def _face(d: Draft, end: str) -> float:
    """Where the free face stands once it is faced."""
    return 0.0 if end == NEAR else d.route.part.length


def _bars(d: Draft, s: Surface, hole: float, stickout: float) -> list[Any]:
    """Bars that enter and reach, stiffest first."""
    fit = [b for b in d.route.shop.bars if b.longest.value >= stickout - 1e-9 and b.smallest_bore.value <= hole + 1e-9
        and (b.flat_bottom or not s.flat)]
    return sorted(fit, key=lambda b: -_modulus(b.material) * b.diameter.value**4)


def _modulus(material: str) -> float:
    return tables.fact("bar_materials", bar_material=material, property="E").value


def _picked(d: Draft, bars: list[Any]) -> Any:
    return next((b for b in bars if b.name == d.route.settings.bar), next(iter(bars), None))


def _opened(d: Draft, s: Surface, bar: Any, before: float, depth: float, blind: bool, shoulder: bool
    ) -> tuple[float | None, float | None, bool, bool]:
    """(drill, flat drill, faced, possible): how the hole is opened for a bar."""
    shop = d.route.shop
    sizes, least = shop.drill_sizes(), bar.smallest_bore.value
    drill: float | None
    try:
        drill = drilling.largest_drill(before, depth, drills=sizes)
    except Refused:
        drill = max((x for x in sizes if x <= before - 0.3), default=None)
    if drill is not None and drill < least:
        drill = min((x for x in sizes if least <= x <= before - 0.2), default=None)
    if drill is None:
        return None, None, False, False
    if not (s.flat and blind) and not shoulder:
        return drill, None, False, True
    room = depth - rule("floor for the flat tool") - 0.2
    if drilling.point_height(drill, point_of(shop, drill)) > room:
        drill = max((x for x in sizes if least <= x <= drill and drilling.point_height(x, point_of(shop, x)) <= room),
            default=None)
        if drill is None:
            return None, None, False, False
    if shoulder:
        return drill, None, False, True
    for flat in sorted(shop.drill_sizes(flat=True), reverse=True):
        if least <= flat <= before - 0.1:
            pilot = max((x for x in sizes if x <= flat), default=None)
            if pilot is not None:
                return min(pilot, drill), flat, False, True
    if bar.flat_bottom and before - 0.4 >= least + bar.diameter.value:
        return drill, None, True, True
    return drill, None, False, False


# ---- drilling -------------------------------------------------------------------------------------


def centre_drill(d: Draft, bores: bool) -> None:
    turns, real = d.turns(speed_of(d.route.group, SLOW, 2 / 3), rule("centre drill"))
    wander = tables.fact("drills_wander", name="start, after a short stiff centre drill").value
    d.add("centre drill", "", None, DrillStarts(wander) if bores else None, (("face", ""),), centre=False,
        tool="centre drill", spindle=turns, speed=real, tool_diameter=rule("centre drill"))
    d.centred.add(d.end)


def point_of(shop: Any, size: float) -> float:
    """Point angle of the shop's drill of this size."""
    return next((float(x.point_angle.value) for x in shop.drills if any(abs(size - y) < 1e-9 for y in x.sizes)
        and x.point_angle.value < 179), 118.0)


Step = tuple[float, float, float, float]


def drill_steps(d: Draft, size: float) -> list[Step]:
    """(drill, spindle, speed, feed) of each step up to a size: as few as the spindle's power allows."""
    sizes = [x for x in d.route.shop.drill_sizes() if x < size - 0.4]
    whole = _driven(d, 0.0, size)
    if whole:
        return [whole]
    for first in sorted(sizes, key=lambda x: abs(x - size / 2)):
        one, two = _driven(d, 0.0, first), _driven(d, first, size)
        if one and two:
            return [one, two]
    found: list[Step] = []
    hole = 0.0
    while hole < size - 1e-9:
        ahead = [s for s in (_driven(d, hole, x) for x in (size, *reversed(sizes)) if x > hole + 0.4) if s]
        if not ahead:
            d.refuses("drill power", "", size, d.machine.limit)
            break
        found.append(ahead[0])
        hole = ahead[0][0]
    return found


def _driven(d: Draft, hole: float, size: float) -> Step | None:
    """How a drill opens a hole within the spindle's power: slower where it must be; None where it cannot."""
    point = point_of(d.route.shop, size)
    feed, share = float(drilling.feed(size).value), 1.0
    while share >= rule("slowest drill"):
        turns, real = d.turns(speed_of(d.route.group, SLOW, 2 / 3) * share, size)
        if drill_power(d.machine.k, hole, size, feed, turns, point) <= d.machine.limit:
            return size, turns, real, feed
        share *= 0.8
    return None


def drill(d: Draft, way: Way) -> float:
    """The hole for the deepest bore of a side; returns its diameter."""
    if way.drill is None:
        return 0.0
    s, shop = way.surface, d.route.shop
    hole, needs = 0.0, (("centre drill", ""),)
    steps = drill_steps(d, way.drill)
    for i, (size, turns, real, feed) in enumerate(steps):
        point = point_of(shop, size)
        height = float(drilling.point_height(size, point))
        shoulder, tip = _tip(d, way, height)
        first, last = sorted((d.face, shoulder))
        done = i == len(steps) - 1
        finishes = done and not way.bar and not way.reamer and not way.flat and not way.missing and d.close(s)
        d.add("drill", s.name, d.work.drilled(size, point, tip, d.end),
            DrillCutsOver(drilling.oversize(size).b) if done else Craft("step drill", d.machine.limit), needs,
            centre=False, tool=f"{size:g} mm drill", tool_diameter=size, spindle=turns, speed=real, feed=feed,
            before=hole, after=size, stock=max(s.smallest - size, 0.0), start=first, end=last, stop=d.depth(tip),
            power=drill_power(d.machine.k, hole, size, feed, turns, point), finishes=finishes,
            minutes=minutes(last - first, feed, turns, 1))
        hole, needs = size, (("drill", s.name),)
    if way.flat:
        turns, real = d.turns(speed_of(d.route.group, SLOW, 2 / 3), way.flat)
        first, last = sorted((d.face, way.inner))
        d.add("flat bottom", s.name, d.work.bored(first, last, way.flat / 2),
            PointLeavesCone(float(drilling.point_height(way.drill, point_of(shop, way.drill)))), needs, centre=False,
            tool=f"{way.flat:g} mm flat drill", tool_diameter=way.flat, spindle=turns, speed=real, feed=FLAT_FEED,
            finishes=not way.bar and not way.reamer and not way.missing and d.close(s),
            before=hole, after=way.flat, stock=max(s.smallest - way.flat, 0.0), start=first, end=last,
            stop=d.depth(way.inner), power=drill_power(d.machine.k, min(hole, way.flat - 0.1), way.flat, FLAT_FEED, turns, 179.0),
            minutes=1.0)
        hole = way.flat
    d.opened.add(d.end)
    return hole


def _runs_through(d: Draft, way: Way) -> bool:
    """Does the hole go right through the part, by way of the bores beyond?"""
    chain, part = bore_chain(d.route.part), d.route.part
    whole = (bool(chain) and chain[0].start < 1e-3 and chain[-1].end > part.length - 1e-3
        and all(abs(a.end - b.start) < 1e-3 for a, b in pairwise(chain)))
    return whole and (way.drill or 0.0) <= min(s.smallest for s in chain) + 1e-6


def _tip(d: Draft, way: Way, height: float) -> tuple[float, float]:
    """Where a drill's shoulder and its tip end."""
    inward = 1.0 if d.end == NEAR else -1.0
    part = d.route.part
    if _runs_through(d, way):
        blade = d.route.blade if d.route.part_off or d.route.stub else 0.0
        far = part.length if d.end == NEAR else 0.0
        shoulder = far + inward * (rule("drill through") + blade)
        back = d.work.end if d.end == NEAR else d.work.start
        if abs(back - shoulder) < height + 3 or (shoulder - back) * inward > 0:     # little is left: right through
            shoulder = back + inward * rule("drill through")
        return shoulder, shoulder + inward * height
    if not way.blind or way.surface.flat:      # a shoulder, or a flat bottom
        tip = way.inner - inward * rule("floor for the flat tool")
        return tip - inward * height, tip
    return way.inner, way.inner + inward * height


# ---- boring ---------------------------------------------------------------------------------------


def rough_bore(d: Draft, way: Way, hole: float) -> None:
    """All but the last cuts of a bore, from the hole that is there."""
    s, bar = way.surface, way.bar
    if bar is None or hole <= 0:
        return
    final = 2 * BORE_INFEED
    after = way.before - 2 * final if s.kind != INSIDE_TAPER else s.smallest - final
    first, last = _span(d, way)
    if way.faced:
        _face_bottom(d, way, hole, after)
        return
    now = 2 * d.work.inside(first, last)
    if after - now <= 0.2:
        return
    _bar_cut(d, "rough bore", way, first, last, now, after, BORE_ROUGH_FEED, needs=(("drill", s.name),))


def _bar_cut(d: Draft, kind: str, way: Way, first: float, last: float, now: float, after: float, feed: float,
        needs: tuple[tuple[str, str], ...] = ()) -> None:
    s, bar = way.surface, way.bar
    turns, real = d.turns(speed_of(d.route.group, edge_material(bar.edge)), after)
    most = d.machine.deepest(min(0.5, bar.diameter.value / 16), feed, real, bar.entering_angle.value, True)
    cuts = passes((after - now) / 2, most)
    stop = d.depth(last if d.end == NEAR else first)
    d.add(kind, s.name, d.work.bored(first, last, after / 2), needs=needs, centre=False, tool=bar.name,
        tool_diameter=bar.diameter.value, tool_stickout=way.stickout, spindle=turns, speed=real, feed=feed,
        depths=cuts, before=now, after=after, stock=s.smallest - after, start=first, end=last, stop=stop,
        blocks=d.blocks(stop), measure=CALLIPER, nose=bar.nose_radius.value,
        power=d.machine.turning(max(cuts), feed, real, bar.entering_angle.value, True),
        minutes=minutes(last - first, feed, turns, len(cuts)))


def _span(d: Draft, way: Way) -> tuple[float, float]:
    """From where to where a bar cuts: half a millimetre past an open end."""
    s = way.surface
    inward = 1.0 if d.end == NEAR else -1.0
    outer = s.start if d.end == NEAR else s.end
    inner = way.inner + (inward * _runs_out(way.reamer) if way.through else 0.0)
    inner = min(inner, d.work.end) if d.end == NEAR else max(inner, d.work.start)
    return (outer, inner) if d.end == NEAR else (inner, outer)


def _face_bottom(d: Draft, way: Way, hole: float, after: float) -> None:
    """A bar opens the hole down to the cone, then faces the cone away to the bottom."""
    s, bar = way.surface, way.bar
    inward = 1.0 if d.end == NEAR else -1.0
    outer = s.start if d.end == NEAR else s.end
    drilled = way.drill or 1.0
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
        Craft("back clears", bar.smallest_bore.value + bar.diameter.value, after), (("rough bore", s.name),),
        centre=False, tool=bar.name, tool_diameter=bar.diameter.value, tool_stickout=way.stickout, spindle=turns,
        speed=real, feed=BORE_FEED, depths=cuts, before=0.0, after=after, start=first, end=last, stop=stop,
        blocks=d.blocks(stop), nose=bar.nose_radius.value,
        power=d.machine.turning(max(cuts), BORE_FEED, real, 90.0, True),
        minutes=minutes(after / 2, BORE_FEED, turns, len(cuts)))


def finish_bore(d: Draft, way: Way) -> None:
    """The last cuts of a bore: two like ones and a spring pass, and the reamer where there is one."""
    s, bar = way.surface, way.bar
    if bar is not None:
        _last_cuts(d, way)
    if way.reamer and not way.missing:
        _ream(d, way)
    if s.kind == INSIDE_THREAD and not way.missing:
        _thread(d, way)


def _last_cuts(d: Draft, way: Way) -> None:
    s, bar = way.surface, way.bar
    first, last = _span(d, way)
    now = 2 * d.work.inside(first, last)
    turns, real = d.turns(speed_of(d.route.group, edge_material(bar.edge)), way.before)
    total = (way.before - now) / 2
    if s.kind == INSIDE_TAPER:
        total = (s.largest - now) / 2
    if total <= 1e-6:
        return
    most = min(0.3, d.machine.deepest(0.3, BORE_FEED, real, bar.entering_angle.value, True))
    depths = (*passes(total, max(min(total / 2, most), 1e-6) if total > BORE_INFEED else total), 0.0)
    push = force(d, depths[0], BORE_FEED, bar.nose_radius.value,
        tables.assumed("entering angle of a boring bar").value)
    stop = d.depth(last if d.end == NEAR else first)
    if way.blind:
        stop = d.depth(way.inner)
    tapered = s.kind == INSIDE_TAPER
    a, b = (s.at(s.start) / 2, s.at(s.end) / 2) if tapered else (way.before / 2, way.before / 2)
    work = d.work.bored(s.start, s.end, a, b) if tapered else d.work.bored(first, last, a)
    ends = not way.reamer and s.kind != INSIDE_THREAD and d.close(s)
    d.add("bore taper" if tapered else "bore", s.name, work,
        BarGivesWay(way.stickout / bar.diameter.value, push, None, *_bar_holds(d, way, max(depths), real)),
        (("rough bore", s.name), ("flat bottom", s.name), ("drill", s.name)), centre=False, finishes=ends,
        tool=bar.name, tool_diameter=bar.diameter.value, tool_stickout=way.stickout, spindle=turns, speed=real,
        feed=BORE_FEED, depths=depths, before=now, after=2 * a, end_diameter=2 * b if tapered else None,
        stock=max(s.smallest - way.before, 0.0), start=s.start if tapered else first, end=s.end if tapered else last,
        stop=stop, blocks=d.blocks(stop), measure=CALLIPER, nose=bar.nose_radius.value, target=2 * a,
        low=s.low if ends else 2 * a - 0.02, high=s.high if ends else 2 * a + 0.02,
        power=d.machine.turning(max(depths), BORE_FEED, real, bar.entering_angle.value, True),
        minutes=minutes(s.length, BORE_FEED, turns, len(depths)))


def _ream(d: Draft, way: Way) -> None:
    s, r = way.surface, way.reamer
    turns, real = d.turns(speed_of(d.route.group, SLOW, 1 / 3), s.diameter)
    first, last = _span(d, way)
    now = 2 * d.work.inside(first, last)
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
    steps = schedule(read.pitch, height)
    area = height**2 * np.tan(np.pi / 6) / len(steps)
    d.add("inside thread", s.name, None, Craft(stops_in(d, s, first, last), room, read.pitch * turns / 60),
        (("bore", s.name),), centre=False, finishes=True, tool=tool.name if tool else "",
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
        blocks=d.blocks(deep), measure=CALLIPER, power=d.machine.turning(width, 0.03, real, 90.0, True),
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
    after = d.work.bored(first, last, a, b)
    if abs(after.volume - d.work.volume) < 1e-9:
        return
    turns, real = d.turns(speed_of(d.route.group, SLOW, 0.5), 2 * edge)
    d.add("chamfer", s.name, after, Craft("chamfer", s.chamfer), centre=False, tool="90° countersink", spindle=turns,
        speed=real, feed=0.05, before=2 * (edge - length), after=2 * edge, start=first, end=last, side="inside",
        minutes=0.3)


__all__ = ["Way", "centre_drill", "chamfer", "drill", "edges", "finish_bore", "groove", "plan_bores", "replace",
    "rough_bore"]
