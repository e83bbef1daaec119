"""The sheet while it is written: each operation changes the simulated workpiece, or is not possible."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any, Literal

from ..core.quantity import Refused
from ..core.spread import Likely
from ..stops import gauge_blocks
from . import checks
from .gripping import Grip
from .machine import Machine, free_length, rule, slenderness
from .part import Surface
from .results import BETWEEN_CENTRES, FAR, MANDREL, NEAR, Cannot, Holding, Missing, Operation, Reason
from .setups import Route, Stage
from .workpiece import Outline

SIDES: dict[str, Literal["outside", "inside", "face"]] = {
    "face": "face", "saw": "face", "part off": "outside", "rough turn": "outside", "finish turn": "outside",
    "recess": "outside",
    "undercut": "outside", "thread": "outside", "knurl": "outside", "rough taper": "outside", "taper": "outside",
    "centre drill": "inside", "drill": "inside", "flat bottom": "inside", "rough bore": "inside", "bore": "inside",
    "face bottom": "inside", "ream": "inside", "bore taper": "inside", "inside recess": "inside",
    "inside thread": "inside"}

SAID_ALONE = ("swing", "too long", "not made")     # of the whole part: the sheet is written all the same


@dataclass(frozen=True)
class Made:
    """How one surface comes to its size: what its error budget needs."""

    surface: Surface
    operation: int
    tool: Any                    # Tool, Bar or Reamer of the shop; None where it lacks one
    holding: int
    work: Outline                # before the finishing cuts
    edge: float                  # of the jaws or the steady
    end: str
    stickout: float = 0.0        # of a bar
    centre: bool = False
    between: bool = False
    before: float = 0.0          # diameter in front of the last tool
    drilled: float = 0.0         # largest drill of a bore
    reamer: Any = None
    speed: float = 0.0
    missing: Missing | None = None


@dataclass
class Draft:
    """A whole way of making the part, as it came out of the simulation."""

    route: Route
    work: Outline
    machine: Machine
    order: str = ""
    holes_wait: bool = True        # where the outside is finished first: the whole hole waits, not its last cuts alone
    operations: list[Operation] = field(default_factory=list)
    holdings: list[Holding] = field(default_factory=list)
    made: dict[str, Made] = field(default_factory=dict)
    missing: list[Missing] = field(default_factory=list)
    cannot: list[Cannot] = field(default_factory=list)
    at: dict[tuple[str, str], int] = field(default_factory=dict)     # (kind, surface) -> number
    finished: set[str] = field(default_factory=set)
    touched: set[str] = field(default_factory=set)                   # those of which a piece is finished
    pieces: set[tuple[str, float]] = field(default_factory=set)      # the finished pieces: (name, start)
    centred: set[str] = field(default_factory=set)                   # ends that bear a centre hole
    opened: set[str] = field(default_factory=set)                    # ends with a bore
    sawn: float = 0.0              # length to which the blank is sawn first
    edge: float = 0.0              # of the jaws or the steady in the present setup
    support: bool = False          # the centre is in for outside cuts of the present setup
    worst: float = 0.0             # longest unsupported overhang that was cut, in diameters
    weak: int = 0                  # setups whose grip is too slim or too short for their cuts
    poor: bool = False             # the grip is too slim or too short for more than light cuts
    held_light: bool = False       # a finished seat is gripped
    wanted: frozenset[str] = frozenset()    # ends that must be centred while the work is short
    ahead: tuple[Stage, ...] = ()           # the stages still to come
    released: dict[str, tuple[Any, Any]] = field(default_factory=dict)   # how far later cuts move a size, kept
    stopped: bool = False          # the work cannot go on: nothing more is written

    @staticmethod
    def begin(route: Route) -> Draft:
        part, (near, far) = route.part, route.spare
        blank = Outline.bar(-near, part.length + far, part.blank.diameter / 2)
        return Draft(route, blank, Machine(route.shop, route.group))

    @property
    def held(self) -> Holding:
        return self.holdings[-1]

    @property
    def end(self) -> str:
        return self.held.end

    @property
    def face(self) -> float:
        """Where the free end of the work stands now."""
        return self.work.start if self.end == NEAR else self.work.end

    def depth(self, z: float) -> float:
        """Of a place, from the free face as it stands now."""
        return abs(z - self.face)

    def hold(self, end: str, grip: Grip, **more: Any) -> None:
        """The next setup."""
        free = self.work.start if end == NEAR else self.work.end
        self.edge = grip.edge
        self.support = bool(more.get("centre", False))
        seat = bool(grip.surface) and self.route.part.surface(grip.surface).toleranced
        self.poor = self._poor(grip, abs(free - grip.edge))
        self.held_light = self.poor or seat or grip.weak
        self.weak += (grip.weak and not self.support) + grip.short
        slim = 2 * self.work.slimmest(*sorted((free, grip.edge)))
        self.holdings.append(Holding(len(self.holdings) + 1, grip.way, grip.surface, round(2 * grip.radius, 6),
            grip.end - grip.start, abs(free - grip.edge), end, runout=grip.runout, thinnest=slim, kind=grip.kind,
            grip=(grip.start, grip.end), inside=grip.inside, through=grip.through, **more))

    def _poor(self, grip: Grip, out: float) -> bool:
        """Is this grip too slim or too short for more than light cuts? One that is no grip at all is said to be none.
        """
        if grip.kind in (BETWEEN_CENTRES, MANDREL):
            return False
        across, length = 2 * grip.radius, grip.end - grip.start
        least = min(rule("shortest grip") * across, out)
        rough = max(rule("grip for heavy cuts"), min(rule("grip for rough cuts") * across, out))
        if slenderness(self.work, NEAR if self._near(grip) else FAR, grip.edge) <= free_length():   # no centre
            least = max(least, rule("grip for its stickout") * out)
            rough = max(rough, rule("heavy grip for its stickout") * out)
        if length < least - 1e-6:
            self.lacks(Missing("grip", size=length, length=least - length))
        thick = 2 * self.work.outside(*sorted((self.work.start if self._near(grip) else self.work.end, grip.edge)))
        return thick > 2 * across or length < rough - 1e-6

    def _near(self, grip: Grip) -> bool:
        """Does this grip leave the near end free?"""
        return grip.edge <= grip.start + 1e-6

    def open(self, s: Surface) -> bool:
        """Is this surface, or this piece of one, still to be finished?"""
        return s.name not in self.finished and (s.name, s.start) not in self.pieces

    def close(self, s: Surface) -> bool:
        """A piece is finished; the answer says whether the whole surface is."""
        self.pieces.add((s.name, s.start))
        self.touched.add(s.name)
        whole = self.route.part.surface(s.name)
        return sum(o.length for o in self._pieces_of(s.name) if (o.name, o.start) in self.pieces) >= whole.length - 0.2

    def whole(self, s: Surface) -> Surface:
        """A surface that is turned on past the part's end, as far as the part goes."""
        return replace(s, end=self.route.part.length) if s.end > self.route.part.length + 1e-6 else s

    def _pieces_of(self, name: str) -> list[Surface]:
        found = {(s.name, s.start): s for stage in self.route.stages for s in (*stage.side.outs, *stage.side.bores)
            if s.name == name}
        return list(found.values())

    def lacks(self, missing: Missing) -> None:
        if missing not in self.missing:
            self.missing.append(missing)
        self.stopped = self.stopped or missing.kind in ("chuck", "grip", "second grip")    # nothing holds the work

    def refuses(self, kind: str, surface: str = "", size: float = 0.0, length: float = 0.0) -> None:
        """What cannot be done. The sheet ends there: what would follow would be cut from work that is not as it says.
        """
        what = Cannot(kind, surface, size, length)
        if what not in self.cannot and not self.stopped:
            self.cannot.append(what)
        self.stopped = self.stopped or kind not in SAID_ALONE

    def tool(self, use: str, surface: str = "") -> Any:
        found = self.route.shop.tools_for(use)
        if not found:
            self.lacks(Missing("tool", surface, use))
            return None
        return found[0]

    def add(self, kind: str, surface: str = "", work: Outline | None = None, reason: Reason | None = None,
            needs: tuple[tuple[str, str], ...] = (), centre: bool | None = None, **more: Any) -> int:
        """One more operation, and the workpiece after it."""
        if self.stopped:
            return len(self.operations)
        number, h = len(self.operations) + 1, self.held
        before = {self.at[n] for n in needs if n in self.at}
        first = [o.number for o in self.operations if o.holding == h.number][:1] or [
            o.number for o in self.operations[-1:]]
        was, self.work = self.work, work or self.work
        supported = self.support if centre is None else centre
        finishes = more.pop("finishes", False)
        side = more.pop("side", SIDES.get(kind, ""))
        if more.get("start") is not None:
            far = more["start"] if h.end == NEAR else more["end"]
            more["overhang"] = round(abs(self.edge - far), 3)
            if not supported and h.grip != (0.0, 0.0):
                self.worst = max(self.worst, slenderness(was, h.end, self.edge, far))
        for name in ("start", "end", "stop", "before", "after", "end_diameter"):
            if more.get(name) is not None:
                more[name] = round(float(more[name]), 6)
        one = Operation(number, kind, surface, h.number, tuple(sorted({*before, *first})), finishes,
            reason, outline_before=was.rows, outline_after=self.work.rows, side=side, centre=supported, **more)
        for what in checks.struck_out(self, one, was):
            self.refuses(what.kind, what.surface, what.size, what.length)
        if self.stopped:
            self.work = was
            return len(self.operations)
        self.operations.append(one)
        self.at[kind, surface] = number
        if finishes and surface:
            self.finished.add(surface)
            self.touched.add(surface)
        if supported and not h.centre and h.kind != "between centres":
            self.holdings[-1] = replace(h, centre=True)
        return number

    def most_turns(self) -> float:
        """The spindle's highest speed for this setup."""
        if self.held.kind == BETWEEN_CENTRES:
            return rule("speed with a driving dog")
        return rule("four jaws speed") if self.held.kind == "four jaws" else float("inf")

    def turns(self, speed: float, diameter: float) -> tuple[float, float]:
        """Spindle speed and cutting speed; slower where the work stands far out without support."""
        if not self.support and slenderness(self.work, self.end, self.edge) > rule("long overhang"):
            speed *= rule("slower when long")
        return self.machine.step(speed, diameter, self.most_turns())

    def free(self, far: float | None = None) -> bool:
        """May this be cut without a centre?"""
        return slenderness(self.work, self.end, self.edge, far) <= free_length() + 1e-9

    def blocks(self, length: float, s: Surface) -> tuple[float, ...]:
        """Gauge blocks for a length that has limits; any other is stopped by the carriage's dial."""
        return blocks(round(length, 3), self.route.shop.gauges.box) if s.depth else ()


_stacks: dict[tuple[float, int], tuple[Any, tuple[float, ...]]] = {}


def blocks(length: float, box: Any) -> tuple[float, ...]:
    """Gauge blocks, mm, that set the carriage stop so far from the face; none where the box makes nothing near it."""
    key = (length, id(box))
    if key not in _stacks or _stacks[key][0] is not box:
        if len(_stacks) > 2000:
            _stacks.clear()
        _stacks[key] = (box, _blocks(length, box))
    return _stacks[key][1]


def _blocks(length: float, box: Any) -> tuple[float, ...]:
    try:
        stack = gauge_blocks.gauge_stack(length, box, nearest=True, unit="mm")
    except Refused:
        return ()
    return tuple(stack.blocks) if stack.unit == "mm" else tuple(25.4 * block for block in stack.blocks)


__all__ = ["Draft", "Likely", "Made", "blocks"]
