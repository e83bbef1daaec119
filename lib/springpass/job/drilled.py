"""Holes: centred, drilled in steps that the spindle can drive, squared with a flat drill."""

from __future__ import annotations

from itertools import pairwise

from .. import drilling
from ..core import tables
from .bore_ways import Way, point_of, runs_out
from .drafting import Draft
from .machine import drill_power, rule, speed_of
from .outside import SLOW, minutes
from .part import INSIDE_THREAD
from .results import NEAR, Craft, DrillCutsOver, DrillStarts, PointLeavesCone
from .setups import bore_chain

FLAT_FEED = 0.05


def centre_drill(d: Draft, bores: bool) -> None:
    turns, real = d.machine.step(speed_of(d.route.group, SLOW, 2 / 3), rule("centre drill"), d.most_turns())
    wander = tables.fact("drills_wander", name="start, after a short stiff centre drill").value
    d.add("centre drill", "", None, DrillStarts(wander) if bores else None, (("face", ""),), centre=False,
        tool="centre drill", spindle=turns, speed=real, tool_diameter=rule("centre drill"))
    d.centred.add(d.end)


Step = tuple[float, float, float, float]


def drill_steps(d: Draft, size: float, hole: float = 0.0) -> list[Step]:
    """(drill, spindle, speed, feed) of each step up to a size: as few as the spindle's power allows."""
    sizes = [x for x in d.route.shop.drill_sizes() if hole + 0.4 < x < size - 0.4]
    whole = _driven(d, hole, size)
    if whole and (hole or size <= rule("largest drill into the solid")):
        return [whole]
    for first in sorted(sizes, key=lambda x: abs(x - size / 2)):
        one, two = _driven(d, hole, first), _driven(d, first, size)
        if one and two:
            return [one, two]
    found: list[Step] = []
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
    usual, share = float(drilling.feed(size).value), 1.0
    least = rule("least share of a drill's feed")
    while share >= rule("slowest drill"):
        turns, real = d.turns(speed_of(d.route.group, SLOW, 2 / 3) * share, size)
        for feed in (usual, 0.75 * usual, least * usual):     # a thinner chip first, a slower drill then
            if drill_power(d.machine.k, hole, size, feed, turns, point) <= d.machine.limit:
                return size, turns, real, round(feed, 3)
        share *= 0.8
    return None


def open_over(d: Draft, way: Way) -> None:
    """A larger drill over a smaller hole, short of the shoulder, so that a bar enters."""
    s, shop, size = way.surface, d.route.shop, way.opening or 0.0
    hole, inward = 2 * d.work.inside(*sorted((d.face, way.inner))), 1.0 if d.end == NEAR else -1.0
    for drill, turns, real, feed in drill_steps(d, size, hole):
        point = point_of(shop, drill)
        height = float(drilling.point_height(drill, point))
        tip = way.inner + inward * (height + rule("drill through") if way.through else -rule("floor for the flat tool"))
        shoulder = tip - inward * height
        first, last = sorted((d.face, shoulder))
        d.add("drill", s.name, d.work.drilled(drill, point, tip, d.end), Craft("opened for the bar", drill), (),
            centre=False, tool=f"{drill:g} mm drill", tool_diameter=drill, spindle=turns, speed=real, feed=feed,
            before=hole, after=drill, stock=max(s.smallest - drill, 0.0), start=first, end=last, stop=d.depth(tip),
            power=drill_power(d.machine.k, hole, drill, feed, turns, point), minutes=minutes(last - first, feed,
            turns, 1))
        hole = drill


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
        finishes = done and not way.bar and not way.reamer and not way.flat and not way.missing and \
            s.kind != INSIDE_THREAD and d.close(s)
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
            stop=d.depth(way.inner), minutes=1.0,
            power=drill_power(d.machine.k, min(hole, way.flat - 0.1), way.flat, FLAT_FEED, turns, 179.0))
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
        past = runs_out(way.reamer) + rule("floor for the flat tool") if way.reamer else 0.0    # the reamer follows it
        shoulder = far + inward * max(rule("drill through") + blade, past)
        back = d.work.end if d.end == NEAR else d.work.start
        if abs(back - shoulder) < height + 3 or (shoulder - back) * inward > 0:     # little is left: right through
            shoulder = back + inward * rule("drill through")
        return shoulder, shoulder + inward * height
    if not way.blind or way.surface.flat:      # a shoulder, or a flat bottom
        tip = way.inner - inward * rule("floor for the flat tool")
        return tip - inward * height, tip
    return way.inner, way.inner + inward * height
