"""What holds the work as it is now: the cylinder gripped, the chuck or collet, and how true it runs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ..workholding import jaws
from .machine import rule
from .part import KNURL, RECESS, TAPER, THREAD, Part
from .results import BETWEEN_CENTRES, COLLET, FOUR_JAWS, MANDREL, NEAR, SOFT_JAWS, THREE_JAWS
from .workpiece import Outline

# how each kind of setup stands in the table of run-outs after turning round (true_running)
RUNS = {THREE_JAWS: "three jaws", FOUR_JAWS: "four jaws indicated near the jaws", SOFT_JAWS: "soft jaws bored at size",
    COLLET: "collet", MANDREL: "expanding mandrel", BETWEEN_CENTRES: "between centres"}


@dataclass(frozen=True)
class Grip:
    """One way of holding the work now; lengths along the part's axis."""

    way: str
    kind: str
    start: float
    end: float
    edge: float              # of the jaws, towards the cuts
    radius: float
    runout: float | None
    surface: str = ""        # of the part, where what is gripped is finished
    through: bool = False
    inside: bool = False
    weak: bool = False       # too slim or too short for the cuts that are to come
    short: bool = False      # long enough for light cuts alone


def kind_of(chuck: Any) -> str:
    if chuck.soft:
        return SOFT_JAWS
    return FOUR_JAWS if jaws(chuck.kind)[0] == 4 else THREE_JAWS


def ways(shop: Any, diameter: float, finished: bool) -> list[tuple[float, str, str]]:
    """(run-out, name, kind) of everything that grips this diameter, best first: hard jaws on the blank, on a finished
    surface what runs truest.
    """
    chucks = [(c.runout.value, c.name, kind_of(c)) for c in shop.chucks
        if c.smallest.value <= diameter <= c.largest.value]
    sleeves = [(c.runout.value, c.name, COLLET) for c in shop.collets
        if c.smallest.value <= diameter <= c.largest.value]
    if finished:
        order = {SOFT_JAWS: 0, COLLET: 0, FOUR_JAWS: 1, THREE_JAWS: 2}
        return sorted([w for w in (*chucks, *sleeves)], key=lambda w: (order[w[2]], w[0]))
    order = {THREE_JAWS: 0, FOUR_JAWS: 1, COLLET: 2, SOFT_JAWS: 3}
    return sorted([*chucks, *sleeves], key=lambda w: (order[w[2]], w[0]))


def places(work: Outline, part: Part, end: str, reach: float, finished: set[str], spindle: float, light: bool = True,
        short: bool = False) -> list[tuple[float, float, float, str]]:
    """Cylinders that jaws can close on behind `reach`, best first: (from, to, radius, name of the finished surface).

    short: those too that are long enough for light cuts alone.
    """
    clear = rule("clear of the jaws, short grip" if short else "clear of the jaws")
    least, jaw = rule("least grip"), rule("jaw length")
    low, high = (reach + clear, work.end) if end == NEAR else (work.start, reach - clear)
    found = []
    for z1, z2, radius in work.cylinders(low, high):
        enough = min(least, max(rule("smallest grip"), 2 * radius * rule("grip by diameter")))
        if short:
            enough = max(rule("grip for light cuts"), 2 * radius * rule("shortest grip"),
                abs(z1 - work.start if end == NEAR else work.end - z2) * rule("grip for its stickout"))
        if z2 - z1 < enough - 1e-6:
            continue
        a, b = (z1, min(z2, z1 + jaw)) if end == NEAR else (max(z1, z2 - jaw), z2)
        behind = (b, work.end) if end == NEAR else (work.start, a)
        if behind[1] - behind[0] > 1e-6:
            widest = work.outside(*behind)
            if widest > radius + 1e-6:
                continue
            if 2 * widest > spindle:      # it cannot pass through the spindle: it must lie between the jaws
                a, b = (max(a, work.end - jaw), z2) if end == NEAR else (z1, min(b, work.start + jaw))
                if b - a < enough - 1e-6:
                    continue
        on = [s for s in part.surfaces if not s.inside and s.start < b - 1e-6 and s.end > a + 1e-6]
        if any(s.kind in (THREAD, TAPER, KNURL, RECESS) and s.name in finished for s in on):
            continue
        named = max((s for s in on if s.name in finished), key=lambda s: s.toleranced, default=None)
        seat = named is not None and named.toleranced
        out = abs((a if end == NEAR else b) - (work.start if end == NEAR else work.end))
        heavy = work.outside(*sorted((reach, work.start if end == NEAR else work.end)))
        weak = not light and heavy > 2 * radius
        found.append(((weak, seat, out > 4 * (b - a), round(out / max(radius, 1e-6), 3)),
            (a, b, radius, named.name if named else "")))
    return [place for _, place in sorted(found, key=lambda pair: pair[0])]


def grip(work: Outline, part: Part, shop: Any, end: str, reach: float, finished: set[str], light: bool,
        short: bool = False) -> Grip | None:
    """The best hold behind `reach`; None where nothing of the work, or nothing in the shop, will do."""
    for a, b, radius, name in places(work, part, end, reach, finished, shop.lathe.spindle_bore.value, light, short):
        seat = bool(name) and part.surface(name).toleranced
        if seat and not light:
            continue
        found = ways(shop, 2 * radius, bool(name))
        if not found:
            continue
        runout, way, kind = found[0]
        behind = work.end - b if end == NEAR else a - work.start
        heavy = work.outside(*sorted((reach, work.start if end == NEAR else work.end)))
        return Grip(way, kind, a, b, a if end == NEAR else b, radius, runout, name,
            through=behind + b - a > rule("jaw length") + 1e-6,
            weak=(not light and heavy > 2 * radius) or abs((a if end == NEAR else b) - (work.start if end == NEAR
            else work.end)) > 5 * (b - a), short=short)
    return None
