"""What a shop takes for a part: which end first, what holds it, which tool for which surface, and what is missing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from .. import drilling
from ..core import tables
from ..core.quantity import Refused, said
from ..cutting import surface_finish
from .part import OUTSIDE, RECESS, THREAD, Part, Surface
from .results import FAR, NEAR, Holding, Missing

AUTO, BORE_FIRST, OUTSIDE_FIRST = "as the numbers say", "bore, then finish the outside", "finish the outside, then bore"
ORDERS = (AUTO, BORE_FIRST, OUTSIDE_FIRST)
FACE = 0.5          # least that is faced off an end
CLEAR = 2.0         # from the last cut to the jaws
LEAST_GRIP = 8.0
BAR_CLEAR = 3.0     # of a boring bar past the bore's end, to its holder


@dataclass(frozen=True)
class Settings:
    """What can be chosen for a plan. mm on diameter, °C; "" leaves the choice to the plan."""

    bar: str = ""               # name of a boring bar of the shop
    order: str = AUTO
    ream_stock: float = 0.1     # left for the reamer
    finish_stock: float = 0.4   # left on a toleranced outside for its two finishing cuts
    room: float = 20.0
    condition: str = ""         # of the blank; the part's own where empty
    trial: bool = True          # two like finishing cuts, measured between them
    cool: bool = True           # wait until the part is cold before the finishing cut and the reading
    centre: bool = True         # the tailstock centre used where the work is long


@dataclass(frozen=True)
class Bored:
    """How one bore comes about. Diameters in mm; None where a step is left out."""

    surface: Surface
    holding: int
    drill: float | None
    flat: float | None           # flat-bottomed drill
    bar: Any                     # tools.Bar or None
    stickout: float              # of the bar
    reamer: Any                  # tools.Reamer or None
    before: float                # diameter in front of the last tool
    missing: Missing | None = None


@dataclass(frozen=True)
class Turned:
    """How one outside or thread comes about."""

    surface: Surface
    holding: int
    tool: Any                    # finishing tool or None
    segments: tuple[tuple[float, float], ...]   # (length, diameter) from the jaws outwards
    places: tuple[float, float]  # of the surface, from the jaws
    centre: bool


@dataclass(frozen=True)
class Route:
    """Everything chosen for a part before the numbers are worked out."""

    part: Part
    shop: Any
    settings: Settings
    group: str                   # of the cutting-force table
    holdings: tuple[Holding, ...]
    turned: tuple[Turned, ...]
    bored: tuple[Bored, ...]
    rough: Any
    part_off: bool
    missing: tuple[Missing, ...]

    @property
    def condition(self) -> str:
        return self.settings.condition or self.part.blank.condition

    @property
    def ways(self) -> list[Turned | Bored]:
        return [*self.turned, *self.bored]

    def way(self, name: str) -> Turned | Bored:
        return next(w for w in self.ways if w.surface.name == name)

    def holding_of(self, s: Surface) -> int:
        for w in self.ways:
            if w.surface is s:
                return w.holding
        return 1 if s.end <= self.split or len(self.holdings) == 1 else 2

    @property
    def split(self) -> float:
        return _split(self.part)[1]


def _split(part: Part) -> tuple[int, float]:
    """Index of the largest outside, and where it ends: up to there the part is turned from the near end."""
    outs = part.outsides
    top = max(range(len(outs)), key=lambda i: (outs[i].diameter, i))
    return top, outs[top].end


def choose(part: Part, shop: Any, settings: Settings) -> Route:
    """Holdings and tools for every surface; what the shop lacks is said in `missing`. Raises Refused for settings that
    cannot be.
    """
    if settings.order not in ORDERS:
        raise Refused(f"There is no order “{settings.order}”. Choose one of: {'; '.join(ORDERS)}.")
    if settings.bar and settings.bar not in [b.name for b in shop.bars]:
        raise Refused(
            f"The shop has no boring bar “{settings.bar}”. It has {', '.join(b.name for b in shop.bars) or 'none'}.")
    for name, low, high in (("ream_stock", 0.02, 0.6), ("finish_stock", 0.1, 2.0), ("room", -10, 45)):
        value = getattr(settings, name)
        if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
            raise Refused(f"{name.replace('_', ' ')} is {said(value)}; choose a number from {low:g} to {high:g}.")
    missing: list[Missing] = []
    group = tables.row("heat_work", material=part.material)["group"]
    tool_of = {use: shop.tools_for(use)[:1] for use in ("rough", "finish", "recess", "thread", "part off")}

    def have(use: str, surface: str = "") -> Any:
        if not tool_of[use]:
            missing.append(Missing("tool", surface, use))
            return None
        return tool_of[use][0]

    rough = have("rough")
    holdings, off = _holdings(part, shop, settings, missing)
    if off:
        have("part off")
    reach = holdings[0].stickout
    face = (part.blank.length - part.length) / 2 if not off else FACE
    turned = []
    for s in part.outsides:
        held = holdings[0] if s.end <= _split(part)[1] + 1e-9 or len(holdings) == 1 or off else holdings[1]
        tool = have("thread" if s.kind == THREAD else "finish", s.name)
        turned.append(_turned(part, s, held, tool, reach, face, off))
    for s in part.surfaces:
        if s.kind == RECESS:
            have("recess", s.name)
    bored = tuple(_bored(part, s, shop, settings, holdings, off, missing) for s in part.bores)
    return Route(part, shop, settings, group, holdings, tuple(turned), bored, rough, off, tuple(missing))


def _holdings(part: Part, shop: Any, settings: Settings, missing: list[Missing]) -> tuple[tuple[Holding, ...], bool]:
    top, end = _split(part)
    blank = part.blank
    fits_in = [c for c in shop.chucks if c.smallest.value <= blank.diameter <= c.largest.value]
    hard = next((c for c in fits_in if not c.soft), None)
    if hard is None:
        missing.append(Missing("chuck", size=blank.diameter))
    spare = blank.length - part.length
    one = top == len(part.outsides) - 1     # nothing to turn behind the largest diameter
    off = one and spare >= LEAST_GRIP + CLEAR + 3
    if off:
        out = part.length + FACE + 3 + CLEAR
        grip = min(blank.length - out, 40.0)
    else:
        out = end + spare / 2 + CLEAR
        grip = min(blank.length - out, 40.0)
        if grip < LEAST_GRIP:
            missing.append(Missing("grip", size=max(grip, 0.0), length=LEAST_GRIP - grip + 1))
            grip = max(grip, 2.0)
    thinnest = min(s.diameter for s in part.outsides if s.end <= end + 1e-9)
    first = Holding(1, hard.name if hard else "", "", blank.diameter, grip, blank.length - grip, NEAR, settings.centre
        and shop.lathe.live_centre and not any(b.start < 1e-6 for b in part.bores)
        and blank.length - grip > 4 * thinnest)
    if one and off:
        return (first,), True
    outs = part.outsides
    grips = max((s for s in outs[: top + 1] if s.kind == OUTSIDE), key=lambda s: (s.toleranced, s.length),
        default=outs[top])
    ways = [(c.runout.value, c.name) for c in shop.chucks
        if c.smallest.value <= grips.diameter <= c.largest.value and c.soft]
    ways += [(c.runout.value, c.name) for c in shop.collets if c.smallest.value <= grips.diameter <= c.largest.value]
    ways += [(c.runout.value, c.name) for c in shop.chucks
        if c.smallest.value <= grips.diameter <= c.largest.value and not c.soft]
    runout, way = min(ways, key=lambda pair: pair[0], default=(0.0, ""))
    if not way:
        missing.append(Missing("second grip", grips.name))
    length = min(grips.length, 40.0)
    stick = part.length - grips.end + spare / 2 + (grips.length - length)
    behind = [s for s in outs if s.start >= end - 1e-9]
    slim = min((s.diameter for s in behind), default=grips.diameter)
    cone = (settings.centre and shop.lathe.live_centre and bool(behind) and stick > 2.5 * slim
        and not any(b.end > part.length - 1e-6 for b in part.bores))
    second = Holding(2, way, grips.name, grips.diameter, length, stick, FAR, cone, runout=runout, thinnest=slim)
    return (first, second), False


def _turned(part: Part, s: Surface, held: Holding, tool: Any, reach: float, face: float, off: bool) -> Turned:
    """The work as it stands out of the jaws when this surface is cut, from the jaws outwards."""
    if held.number == 1:
        pieces = [(o.length, o.diameter) for o in reversed(part.outsides) if o.end <= _split(part)[1] + 1e-9 or off]
        root = reach - face - sum(length for length, _ in pieces)
        near = reach - face - s.end, reach - face - s.start
    else:
        behind = [o for o in part.outsides if o.start >= _split(part)[1] - 1e-9]
        pieces = [(o.length, o.diameter) for o in behind]
        root = held.stickout - face - sum(length for length, _ in pieces)
        base = held.stickout - face - part.length
        near = base + s.start, base + s.end
    whole = ([(root, part.blank.diameter if held.number == 1 else part.outsides[_split(part)[0]].diameter)]
        if root > 1e-6 else []) + pieces
    return Turned(s, held.number, tool, tuple(whole), (max(near[0], 0.0), near[1]), held.centre)


def _bored(part: Part, s: Surface, shop: Any, settings: Settings, holdings: tuple[Holding, ...], off: bool,
        missing: list[Missing]) -> Bored:
    near = s.start < 1e-6
    held = holdings[0] if near or len(holdings) == 1 else holdings[1]
    depth, blind = s.length, not (near and s.end > part.length - 1e-6)
    reamer = next(
        (r for r in shop.reamers
        if abs(r.size - s.diameter) < 1e-9 and s.code and r.code == s.code and (r.bottoming or not blind)), None)
    before = s.diameter - settings.ream_stock if reamer else s.diameter
    bars = [b for b in shop.bars if b.longest.value >= depth + BAR_CLEAR and b.smallest_bore.value <= before - 0.4
        and (b.flat_bottom or not s.flat)]
    bars.sort(
        key=lambda b: -tables.fact("bar_materials", bar_material=b.material, property="E").value * b.diameter.value**4)
    bar = next(iter(bars), None)
    lacking: Missing | None = None
    if settings.bar:
        picked = next(b for b in shop.bars if b.name == settings.bar)
        if picked in bars:
            bar = picked
    drill: float | None
    sizes = shop.drill_sizes()
    try:
        drill = drilling.largest_drill(before if bar else s.diameter, depth, drills=sizes) if bar else max(
            (d for d in sizes if 0.1 <= s.diameter - d <= 0.6), default=None)
    except Refused:
        drill = None
    if bar and drill is not None and drill < bar.smallest_bore.value:   # the bar must enter the drilled hole
        drill = min((d for d in sizes if bar.smallest_bore.value <= d <= before - 0.2), default=None)
    elif drill is None and bar:
        drill = max((d for d in sizes if d <= before - 0.3), default=None)
        if drill is not None and drill < bar.smallest_bore.value:
            drill = None
    if drill is None:
        lacking = Missing("drill", s.name, size=before)
    elif not bar and not reamer:
        lacking = Missing("bar or reamer", s.name, size=s.diameter, length=depth)
    elif s.flat and blind and not bar:
        lacking = Missing("flat bottom", s.name)
    flat = (
        next((d for d in sorted(shop.drill_sizes(flat=True), reverse=True) if (drill or 0) <= d <= before - 0.1), None)
        if s.flat else None)
    if lacking:
        missing.append(lacking)
    return Bored(s, held.number, drill, flat, bar, depth + BAR_CLEAR, reamer, before, lacking)


def speed_of(group: str, tool_material: str, share: float = 1.0) -> float:
    """Where to begin, m/min; the share is for drilling (two thirds) and reaming (a third), common practice."""
    return share * tables.fact("cutting_speeds", material=group, tool=tool_material, property="speed").value


def edge_material(edge: str) -> str:
    return surface_finish.tool_of(edge)
