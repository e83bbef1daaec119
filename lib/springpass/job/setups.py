"""Which end is made when: the ways a part can go through the lathe, as stages to be tried on the simulated workpiece.

A part has two sides, parted at its largest diameter. Short work with enough blank behind it is made in one setup and
parted off. Otherwise both sides are roughed before either is finished, so that a finished seat is gripped for light
cuts alone; what must run true to the other side is finished between centres where the chucks of the shop are not true
enough.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from ..core import tables
from ..core.quantity import Refused, said
from .machine import rule
from .part import BORE, INSIDE_RECESS, INSIDE_TAPER, MOST_PARTS, OUTSIDE, RECESS, Part, Surface
from .results import FAR, NEAR

AUTO, BORE_FIRST, OUTSIDE_FIRST = "as the numbers say", "bore, then finish the outside", "finish the outside, then bore"
ORDERS = (AUTO, BORE_FIRST, OUTSIDE_FIRST)
ROUGHED_FIRST = "rough the bore, finish the outside, then bore"   # how the outside is finished first where nobody asks
SAME = 1e-6


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
    count: int = 0              # how many are made; as the part says where 0


def checked(settings: Settings, shop: Any) -> Settings:
    """Raises Refused for settings that cannot be."""
    if settings.order not in ORDERS:
        raise Refused(f"There is no order “{settings.order}”. Choose one of: {'; '.join(ORDERS)}.")
    if settings.bar and settings.bar not in [b.name for b in shop.bars]:
        raise Refused(
            f"The shop has no boring bar “{settings.bar}”. It has {', '.join(b.name for b in shop.bars) or 'none'}.")
    for name, low, high in (("ream_stock", 0.02, 0.6), ("finish_stock", 0.1, 2.0), ("room", -10, 45)):
        value = getattr(settings, name)
        if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
            raise Refused(f"{name.replace('_', ' ')} is {said(value)}; choose a number from {low:g} to {high:g}.")
    if isinstance(settings.count, bool) or not isinstance(settings.count, int) or not 0 <= settings.count <= MOST_PARTS:
        raise Refused(f"The number of parts is {said(settings.count)}; choose a whole number from 1 to {MOST_PARTS}.")
    return settings


@dataclass(frozen=True)
class Side:
    """What is made from one end. Surfaces from the free end inwards."""

    end: str
    outs: tuple[Surface, ...]
    bores: tuple[Surface, ...]
    grooves: tuple[Surface, ...]    # outside and inside
    split: float                    # so far the outside is turned from this end

    @property
    def work(self) -> bool:
        return bool(self.outs or self.bores or self.grooves)


@dataclass(frozen=True)
class Stage:
    """One time in the lathe."""

    side: Side
    face: bool = False
    rough: bool = False
    finish: bool = False
    part_off: bool = False
    between: bool = False           # between centres
    lightly: bool = False           # everything by light cuts, on a finished seat
    follows: bool = False           # parts of the work are finished already: light cuts
    parted_long: float = 0.0        # left on the parted face
    driven: float = 0.0             # left beyond the far end for the dog that drives the work between centres


@dataclass(frozen=True)
class Route:
    """One way of making a part."""

    name: str
    part: Part
    shop: Any
    settings: Settings
    group: str                   # of the cutting-force table
    stages: tuple[Stage, ...]

    @property
    def part_off(self) -> bool:
        return any(s.part_off for s in self.stages)

    @property
    def condition(self) -> str:
        return self.settings.condition or self.part.blank.condition

    @property
    def spare(self) -> tuple[float, float]:
        """Of the blank, before the near face and beyond the far one; a blank that is too long is sawn."""
        both = self.part.blank.length - self.part.length
        if self.part_off:
            return rule("facing allowance"), both - rule("facing allowance")
        free = min(both / 2, rule("sawn end"))
        side = self.stages[0].side
        inside = self.part.length - side.split if side.end == NEAR else side.split
        lacks = rule("least grip") + rule("clear of the jaws") - inside - (both - free)
        if lacks > 0:         # short stock: less is faced away, so that more is gripped
            free = max(free - lacks, min(free, rule("facing allowance")))
        rest = min(both - free, max(rule("sawn end"), rule("good grip") + rule("clear of the jaws") - inside))
        if rest > 3 * rule("sawn end") and side.end == NEAR:      # a stub to part off
            rest = min(both - free, rest + self.blade + rule("clear of the blade") + rule("parted long"))
        if both - free - rest < 2 * rule("sawn end"):              # too little to saw off
            rest = both - free
        return (free, rest) if side.end == NEAR else (rest, free)

    @property
    def blade(self) -> float:
        """Width of the parting blade."""
        return float(next((t.width.value for t in self.shop.tools_for("part off")), 2.5))

    @property
    def stub(self) -> bool:
        """Is enough of the blank left behind the far face that the first setup parts it off?"""
        rest = self.spare[1]
        return (not self.part_off and not any(s.driven for s in self.stages) and self.stages[0].side.end == NEAR
            and bool(self.shop.tools_for("part off"))
            and rest >= rule("parted long") + rule("clear of the blade") + self.blade + rule("least grip") - SAME)


def depth_of(s: Surface) -> float:
    """By how much a bore with limits on its depth is made deeper than drawn: to the middle of them."""
    return (s.depth[0] + s.depth[1]) / 2 if s.depth else 0.0


def bore_chain(part: Part) -> tuple[Surface, ...]:
    """The bores in order along the axis; a depth with limits is aimed at in its middle."""
    found = []
    bores = sorted(part.bores, key=lambda s: s.start)
    moved = {}       # where a shoulder lies on the drawing: where it is aimed at
    for s in bores:
        more = depth_of(s)
        if not more:
            continue
        behind = next((o for o in bores if abs(o.start - s.end) < SAME), None)
        before = next((o for o in bores if abs(o.end - s.start) < SAME), None)
        if s.end < part.length - SAME and (behind is None or behind.at(s.end) < s.at(s.end)):
            moved[round(s.end, 6)] = s.end + more
        elif s.start > SAME and (before is None or before.at(s.start) < s.at(s.start)):
            moved[round(s.start, 6)] = s.start - more
    for s in bores:
        found.append(replace(s, start=moved.get(round(s.start, 6), s.start), end=moved.get(round(s.end, 6), s.end)))
    return tuple(found)


def split_places(part: Part) -> list[float]:
    """Where the outside may be parted: behind its largest diameter, or before it."""
    outs = part.outsides
    top = max(range(len(outs)), key=lambda i: (outs[i].largest, i))
    s = outs[top]
    falling = s.end_diameter is not None and s.end_diameter < s.diameter
    rising = s.end_diameter is not None and not falling
    first = next(i for i, o in enumerate(outs) if o.largest > s.largest - SAME)
    places = [s.start] if falling else [s.end] if rising else [s.end, outs[first].start]
    least = rule("least grip") + rule("clear of the jaws")
    middle = min(max(part.length / 2, outs[first].start + least), s.end - least)
    if s.kind == OUTSIDE and not (falling or rising) and s.start + 1 < middle < s.end - 1:
        places.append(round(middle, 1))          # half of it from either end
    short = max(rule("grip for light cuts"), rule("shortest grip") * s.largest) + rule("clear of the jaws, short grip")
    if s.kind == OUTSIDE and not (falling or rising) and s.length < 2 * least and short + 1 < s.length:
        places += [round(s.start + short, 1), round(s.end - short, 1)]      # as much from one end as the jaws need
    return list(dict.fromkeys(places))


def _halves(outs: tuple[Surface, ...], split: float) -> tuple[Surface, ...]:
    """The outsides, with the one that both ends share in two pieces."""
    found: list[Surface] = []
    for s in outs:
        if s.start + SAME < split < s.end - SAME and s.end_diameter is None:
            found += [replace(s, end=split), replace(s, start=split)]
        else:
            found.append(s)
    return tuple(found)


def sides(part: Part, split: float, main: str = "") -> tuple[Side, Side]:
    """The two sides. main: the end a plain through bore is made from, where it does not matter."""
    outs = _halves(part.outsides, split)
    near = [s for s in outs if (s.start + s.end) / 2 < split]
    far = [s for s in outs if (s.start + s.end) / 2 > split]
    from_near, from_far = _bores(part, main or (NEAR if near else FAR))
    at = {NEAR: (near, from_near), FAR: (far[::-1], from_far)}
    grooves: dict[str, list[Surface]] = {NEAR: [], FAR: []}
    for s in part.surfaces:
        middle = (s.start + s.end) / 2
        if s.kind == RECESS:
            grooves[NEAR if middle < split else FAR].append(s)
        elif s.kind == INSIDE_RECESS:
            grooves[FAR if any(b.start - SAME <= middle <= b.end + SAME for b in from_far) else NEAR].append(s)
    made = [Side(end, tuple(at[end][0]), tuple(at[end][1]), tuple(grooves[end]), split) for end in (NEAR, FAR)]
    return made[0], made[1]


def _bores(part: Part, main: str) -> tuple[list[Surface], list[Surface]]:
    """The bores to be made from each end, from that end inwards."""
    chain = list(bore_chain(part))
    from_near: list[Surface] = []
    at = 0.0
    for s in chain:
        if abs(s.start - at) < 1e-3:
            from_near.append(s)
            at = s.end
    if not from_near or from_near[-1].end < part.length - SAME:
        return from_near, [s for s in reversed(chain) if s not in from_near]
    sizes = [s.smallest for s in chain]
    least = min(sizes)
    small = [i for i, d in enumerate(sizes) if d < least + SAME]
    taper = next((i for i in small if chain[i].kind == INSIDE_TAPER), None)
    if small[0] == 0 and small[-1] == len(chain) - 1:
        return (chain, []) if main == NEAR else ([], chain[::-1])
    if small[0] == 0 and taper is None:                    # smallest at the near end: everything from the far one
        return [], chain[::-1]
    if small[-1] == len(chain) - 1 and taper is None:
        return chain, []
    if taper is not None and len(chain) == 1:
        return (chain, []) if chain[0].diameter > (chain[0].end_diameter or 0.0) else ([], chain)
    last = small[-1] + (main == NEAR)
    return chain[:max(last, 0)], chain[max(last, 0):][::-1]


def group_of(part: Part) -> str:
    return str(tables.row("heat_work", material=part.material)["group"])


def routes(part: Part, shop: Any, settings: Settings) -> list[Route]:
    """The ways to try, the simplest first."""
    group = group_of(part)
    return [Route(name, part, shop, settings, group, stages) for name, stages in _kept(part, shop)]


_known: list[tuple[Part, Any, list[tuple[str, tuple[Stage, ...]]]]] = []


def _kept(part: Part, shop: Any) -> list[tuple[str, tuple[Stage, ...]]]:
    """The ways to try, worked out once for a part and a shop."""
    for kept, of, found in _known:
        if of is shop and (kept is part or kept == part):
            return found
    _known.append((part, shop, _ways(part, shop)))
    del _known[:-20]
    return _known[-1][2]


def _ways(part: Part, shop: Any) -> list[tuple[str, tuple[Stage, ...]]]:
    found: list[tuple[str, tuple[Stage, ...]]] = []
    unfaced: list[tuple[Stage, Side]] = []

    def add(name: str, *stages: Stage) -> None:
        found.append((name, stages))

    spare = part.blank.length - part.length
    blade = next((t.width.value for t in shop.tools_for("part off")), 2.5)
    room = rule("facing allowance") + blade + rule("clear of the blade") + rule("least grip")
    long = rule("parted long")
    pairs = [(a, b) for split in split_places(part) for main in (NEAR, FAR)
        for near, far in (sides(part, split, main),) for a, b in ((near, far), (far, near)) if a.end == main]
    for a, b in pairs:
        if a.outs and not b.work and spare >= room - SAME and a.end == NEAR:
            if spare >= room + long - SAME:
                add("parted off, faced", Stage(_past(a, part.length, long + blade), True, True, True, True,
                    parted_long=long), Stage(b, True, finish=True, follows=True))
            unfaced.append((Stage(_past(a, part.length, blade), True, True, True, True), b))
    for way in (_turned_round, _on_its_seat):
        for a, b in pairs:
            if a.work:
                way(part, a, b, add)
    for first, b in unfaced:      # last: the parted face stays as the blade leaves it
        if any(s.chamfer and abs((s.end if part.length / 2 < s.end else s.start) - part.length) < SAME
                for s in part.surfaces):
            add("parted off, edges turned round", first, Stage(b, finish=True, follows=True))
        else:
            add("parted off", first)
    return found


def _past(side: Side, length: float, more: float) -> Side:
    """The side with its last outside turned on past the part's end, so that the blade meets no shoulder."""
    if not side.outs or abs(side.outs[-1].end - length) > SAME or side.outs[-1].kind != OUTSIDE:
        return side
    return replace(side, outs=(*side.outs[:-1], replace(side.outs[-1], end=length + more)))


def _turned_round(part: Part, a: Side, b: Side, add: Any) -> None:
    """The ways that turn the part round: `a` is roughed first."""
    loose = not any(s.toleranced for s in (*a.outs, *a.bores))
    if not b.work:
        add("turned round to face", Stage(a, True, True, True), Stage(b, True, finish=True, follows=True))
        _on_a_stub(part, a, b, add)
        return
    if not b.outs and not any(s.toleranced for s in a.outs):
        add("turned round to bore", Stage(a, True, True, True), Stage(b, True, True, True, follows=True))
    elif loose:
        add("turned round once", Stage(a, True, True, True), Stage(b, True, True, True, follows=True))
    if b.outs:
        add("turned round twice", Stage(a, True, True), Stage(b, True, True, True),
            Stage(a, finish=True, follows=True))
    if a.outs and b.outs and (b.bores or not a.bores):    # the side with a bore is roughed last, and bored
        add("between centres", Stage(a, True, True), Stage(b, True, True),
            Stage(b, finish=True, between=True), Stage(a, finish=True, between=True, follows=True))
    if a.outs and not any(s.toleranced for s in a.outs):
        add("turned round once", Stage(a, True, True, True), Stage(b, True, True, True, follows=True))


def _on_a_stub(part: Part, a: Side, b: Side, add: Any) -> None:
    """A plain shaft turned in one piece between centres: the dog drives a stub that is cut off last."""
    spare, past = part.blank.length - part.length, rule("parted long")
    stub = min(spare - 2 * rule("facing allowance"), rule("driver") + rule("clear of the jaws"))
    if (len(part.outsides) == 1 and part.outsides[0].kind == OUTSIDE and not part.bores and a.end == NEAR
            and stub >= rule("driver") + past):
        whole = _past(a, part.length, past)
        add("between centres, driven by a stub", Stage(a, True), Stage(b, True, driven=stub),
            Stage(whole, rough=True, finish=True, between=True, driven=stub), Stage(b, True, finish=True, follows=True))


def _on_its_seat(part: Part, a: Side, b: Side, add: Any) -> None:
    """One side is finished at once, and the other cut lightly on its seats: nothing else is left to grip."""
    if b.work and not b.bores and any(s.toleranced for s in a.outs):
        add("turned round once, light cuts", Stage(a, True, True, True), Stage(b, True, True, True, follows=True,
            lightly=True))


def linked(part: Part, sides_of: dict[str, str]) -> bool:
    """Must something run true to a surface of the other side?"""
    return any(s.runout and sides_of.get(s.name) != sides_of.get(s.runout[0]) for s in part.surfaces)


__all__ = ["AUTO", "BORE", "BORE_FIRST", "ORDERS", "OUTSIDE_FIRST", "Route", "Settings", "Side", "Stage", "bore_chain",
    "checked", "depth_of", "group_of", "linked", "routes", "sides", "split_places"]
