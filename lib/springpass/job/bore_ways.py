"""How every bore of a side comes about: its drill, flat drill, bar and reamer, from what the shop has."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import drilling, fits, threads
from ..core import tables
from ..core.quantity import Refused
from .drafting import Draft
from .machine import rule
from .part import INSIDE_TAPER, INSIDE_THREAD, Surface, thread_class
from .results import NEAR, Missing
from .setups import Side, bore_chain


def point_of(shop: Any, size: float) -> float:
    """Point angle of the shop's drill of this size."""
    return next((float(x.point_angle.value) for x in shop.drills if any(abs(size - y) < 1e-9 for y in x.sizes)
        and x.point_angle.value < 179), 118.0)


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
    opening: float | None = None   # drilled over a smaller hole, short of the shoulder, so that the bar enters


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
    size = s.smallest
    reamer = None if tapered or threaded else _reamer(shop, s, through)
    clear = rule("bar beyond the bore")
    if reamer and reamer.code != s.code and _bars(d, s, size - 0.4, depth + runs_out(None) + clear):
        reamer = None         # wider limits than the reamer's are bored
    depth += runs_out(reamer) if through else 0.0
    before = size - settings.ream_stock if reamer else size
    bars = _bars(d, s, before - 0.4, depth + rule("bar beyond the bore"))
    sizes = shop.drill_sizes()
    sized = _drilled_to_size(d, s) if last and (through or (blind and not s.flat)) and not reamer else None
    if sized is not None and not tapered:
        return Way(s, inner, through, blind, sized, None, False, None, 0.0, None, sized)
    lacking: Missing | None = None
    bar: Any
    drill: float | None = hole or None
    flat: float | None = None
    faced = False
    there = 0.0 if blind or through else 2 * d.work.inside(*sorted((_face(d, side.end), inner)))
    if last and there > 0:
        last, hole = False, there     # over a smaller bore that is there
    if not last:                      # opened from the hole that is there
        entering = [b for b in bars if b.smallest_bore.value <= hole + 1e-9]
        bar, opening = _picked(d, entering), None
        if bar is None and not (reamer and size - hole <= 0.6):
            shoulder = beyond is not None and not through
            bar, opening = _opened_over(d, bars, hole, before, depth, shoulder)
        if bar is None and not (reamer and size - hole <= 0.6):
            lacking = _no_bar(s, size, depth, not through)
        return Way(s, inner, through, False, drill, None, opening is not None and beyond is not None and not through,
            bar, depth + rule("bar beyond the bore"), reamer, before, lacking, opening)
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
            least = min(b.smallest_bore.value for b in bars)
            lacking = Missing("drill", s.name, size=round(max(least, before - 0.5), 1))
        elif s.flat and blind and not reamer and _drilled_to_size(d, s) is not None:
            drill = _drilled_to_size(d, s)
            flat = next((x for x in shop.drill_sizes(flat=True) if s.low <= x <= s.high), None)
            lacking = None if flat else Missing("flat bottom", s.name, size=s.diameter)
        elif drill is None:
            drill_too = Missing("drill", s.name, size=round(size - 0.3, 1), length=depth)
            lacking = drill_too if reamer else _no_bar(s, size, depth, not through)
        elif not reamer and (s.toleranced or abs(size - drill) > 1e-9):
            lacking = _no_bar(s, size, depth, not through)
        elif s.flat and blind:
            flat = next((x for x in shop.drill_sizes(flat=True) if abs(x - drill) < 0.5), None)
            lacking = None if flat else Missing("flat bottom", s.name, size=drill)
    return Way(s, inner, through, blind, drill, flat, faced, bar, depth + rule("bar beyond the bore"), reamer, before,
        lacking)


def _no_bar(s: Surface, size: float, depth: float, bottoms: bool) -> Missing:
    """What to buy for a bore that no bar enters: a bar, or a reamer, which must cut to a bottom or a shoulder."""
    return Missing("bar or reamer", s.name, "bottoming" if bottoms else "", size, depth)


def _reamer(shop: Any, s: Surface, through: bool) -> Any:
    """The reamer of this size whose holes lie within the limits: of the same class, or the widest that fits."""
    if not s.toleranced:
        return None
    found = []
    for r in shop.reamers:
        if abs(r.size - s.diameter) < 1e-9 and (r.bottoming or through):
            zone = fits.limits(r.size, r.code)
            low, high = float(zone.lower), float(zone.upper)
            if low >= s.lower - 1e-9 and high <= s.upper + 1e-9:
                found.append((r.code != s.code, low - high, r.name, r))
    return min(found)[-1] if found else None


def _opened_over(d: Draft, bars: list[Any], hole: float, before: float, depth: float, shoulder: bool
        ) -> tuple[Any, float | None]:
    """The stiffest bar that a drill over the hole that is there lets in, and that drill; it squares the shoulder then.
    """
    room = depth - rule("floor for the flat tool") - 0.2
    for bar in bars:
        least = bar.smallest_bore.value
        if shoulder and not bar.flat_bottom:
            continue
        if shoulder:      # its back must clear the drilled wall while it faces to the smaller hole
            least = max(least, least + bar.diameter.value - hole)
        fit = [x for x in d.route.shop.drill_sizes() if least - 1e-9 <= x <= before - 0.4 and x > hole + 0.4
            and (not shoulder or drilling.point_height(x, point_of(d.route.shop, x)) <= room)]
        if fit:
            return bar, max(fit)
    return None, None


def runs_out(reamer: Any) -> float:
    """How far the last tool goes past an open end."""
    return rule("reamer runs out") if reamer is not None and not reamer.bottoming else 0.5


def _drilled_to_size(d: Draft, s: Surface) -> float | None:
    """A drill whose hole lies within the limits as it comes out; None where a bar or a reamer must follow."""
    low, high = s.low, s.high
    if s.kind == INSIDE_THREAD:      # the hole that the thread is cut in
        low, high = threads.limits(s.thread, thread_class(s.kind, threads.read(s.thread).inch)).minor

    def lies(x: float) -> bool:
        over = drilling.oversize(x)
        return low - 1e-9 <= x and x + (over.b if s.toleranced or s.kind == INSIDE_THREAD else over.middle) <= high

    return min((x for x in d.route.shop.drill_sizes() if lies(x)), key=lambda x: abs(x - s.crest), default=None)


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
