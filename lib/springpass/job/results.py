"""What a plan is made of: holdings, operations, budgets, orders tried. mm, s, rev/min, m/min, N, °C throughout.

`job.plan` fills these in; the printed sheet, the page and the afterwards learning read them. They hold kinds, names
and numbers only: the sentences about them stand in `printing/plan_words.py`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property
from typing import Any, Literal

import numpy as np

from ..core.spread import Likely

# The kinds of operation.
KINDS = ("face", "centre drill", "drill", "flat bottom", "rough bore", "bore", "face bottom", "ream", "rough turn",
    "finish turn", "rough taper", "taper", "bore taper", "chamfer", "deburr", "undercut", "recess", "inside recess",
    "thread", "inside thread", "knurl", "part off", "saw", "cool", "indicate", "turn round")
# The kinds of setup.
THREE_JAWS, FOUR_JAWS, SOFT_JAWS, COLLET = "three jaws", "four jaws", "soft jaws", "collet"
BETWEEN_CENTRES, MANDREL = "between centres", "mandrel"
SETUPS = (THREE_JAWS, FOUR_JAWS, SOFT_JAWS, COLLET, BETWEEN_CENTRES, MANDREL)
NEAR, FAR = "near end", "far end"      # near: the end that lies at 0 in the part's drawing

CALLIPER, MICROMETER, WIRES, BY_HAND = "calliper", "micrometer", "three wires", "by hand"   # no gauge of the shop


class Cause(StrEnum):
    """What moves a size: the lines of an error budget."""

    WORK_BENDS = "bending of the work"
    WORK_TAPER = "taper of the work"
    BAR_BENDS = "bending of the boring bar"
    ROOM = "room and gauge"
    WARMTH = "warmth of the cut"
    READING = "reading"
    DIAL = "setting the dial"
    LOBES = "three-lobed distortion"
    RELEASE = "release of the bar's stress"
    REAMER_CUTS = "what the reamer cuts over its size"
    REAMER_SIZE = "the reamer's own size"
    DRILL = "what the drill cuts over its size"
    STOP = "stop and touch"
    HOLDING = "holding"
    LATHE_TAPER = "lathe's taper"
    SPINDLE = "spindle run-out"
    DRIFT = "warm-up drift"
    WEAR = "tool wear"


# ---- reasons: a kind, and what its sentence needs besides the operation itself ------------------------


@dataclass(frozen=True)
class OrderReason:
    """Why the bore or the outside is finished first."""

    kind: Literal["nothing bored", "no tolerance", "bore first", "outside first", "either"]
    surface: str = ""        # the one that a later cut would move most
    moved: float = 0.0       # how far, on diameter
    tolerance: float = 0.0   # of that surface
    asked: bool = False      # the user asked for another order than this speaks for


@dataclass(frozen=True)
class DrillStarts:
    """A centre drill leads the drill: it keeps within `wander` of the axis."""

    wander: float


@dataclass(frozen=True)
class Warm:
    """Roughing has warmed the part by `rise` K, so that `surface` is `grown` large; `goal` may be left of it."""

    surface: str
    rise: float
    grown: float
    goal: float
    still: float     # s of waiting in still air
    wet: float       # s under running coolant


@dataclass(frozen=True)
class WorkGivesWay:
    """The work bends away and stays large by `error`; `order` where a bore lies below."""

    error: float
    order: OrderReason | None = None


@dataclass(frozen=True)
class DrillCutsOver:
    """The drilled hole may come out larger than the drill by `error`."""

    error: float


@dataclass(frozen=True)
class PointLeavesCone:
    """The drill's point leaves a cone of this height."""

    height: float


@dataclass(frozen=True)
class ReamerCutsOver:
    """The hole comes out larger than the reamer by `error` (smaller where negative)."""

    error: float


@dataclass(frozen=True)
class BarGivesWay:
    """The bar stands out by `slenderness` diameters and feels `force` N; `error` is left on diameter (None: reamed).

    verdict and chance: of this bar at this stickout and cut, as the stickout page judges it; "" where it does not.
    """

    slenderness: float
    force: float
    error: float | None = None
    verdict: str = ""
    chance: float = 0.0


@dataclass(frozen=True)
class Craft:
    """What a turner would answer: a kind, and the numbers of its sentence."""

    kind: str
    first: float = 0.0
    second: float = 0.0
    name: str = ""


Reason = (
    Craft | OrderReason | DrillStarts | Warm | WorkGivesWay | DrillCutsOver | PointLeavesCone | ReamerCutsOver
    | BarGivesWay)


@dataclass(frozen=True)
class Missing:
    """What the shop lacks for the part. The remedy follows from the kind."""

    kind: Literal["tool", "chuck", "grip", "second grip", "drill", "bar or reamer", "flat bottom"]
    surface: str = ""      # for which surface; "" for the part as a whole
    use: str = ""          # of a tool: "rough", "finish", "part off" …
    size: float = 0.0      # diameter to grip or to open, or length left to grip
    length: float = 0.0    # depth to reach, or length the blank should gain


@dataclass(frozen=True)
class Cannot:
    """What the plan does not do, and why; the sentence and the remedy follow from the kind."""

    kind: str
    surface: str = ""
    size: float = 0.0
    length: float = 0.0


def nothing() -> np.ndarray:
    """An outline without material."""
    return np.zeros((0, 3))


@dataclass(frozen=True)
class Holding:
    """One clamping of the work, and everything that is cut in it belongs together."""

    number: int              # 1, 2 … in the order of work
    way: str                 # "three-jaw chuck", "collet", "soft jaws" …: a holding of the shop
    grips: str               # name of the finished surface that is gripped; "" for the blank
    diameter: float          # gripped
    length: float            # gripped
    stickout: float          # of the work out of the jaws
    end: str                 # which end looks at the tailstock: NEAR or FAR
    centre: bool = False     # the tailstock centre supports the free end for the outside cuts
    lobes: Likely | None = None   # three-lobed out-of-round left on a bore, on radius
    runout: float | None = None   # of the chuck or collet that grips again, usual
    thinnest: float | None = None   # smallest diameter that stands out
    kind: str = THREE_JAWS         # one of SETUPS
    grip: tuple[float, float] = (0.0, 0.0)   # along the part's axis, from where to where it is held
    inside: bool = False           # held in a bore: a mandrel
    steady: float | None = None    # where a steady rest stands, along the part's axis
    through: bool = False          # the bar passes through the spindle


@dataclass(frozen=True)
class Operation:
    """One line of the sheet. Fields that do not belong to a kind of operation are None, "" or ()."""

    number: int              # 1, 2 … in the order of work
    kind: str                # one of KINDS
    surface: str             # name of the part's surface it works on; "" for the whole part
    holding: int             # number of its holding
    needs: tuple[int, ...]   # numbers of the operations that must come before
    finishes: bool           # True where the surface has its final size after it
    reason: Reason | None = None   # None where the operation's own numbers say it
    tool: str = ""           # its name in the shop; "" where the shop has none (see Plan.missing) or none is used
    tool_stickout: float | None = None   # of the bar, drill or reamer out of its holder
    spindle: float | None = None         # rev/min
    speed: float | None = None           # cutting speed that gives, m/min
    feed: float | None = None            # mm a turn
    depths: tuple[float, ...] = ()       # of each pass, on radius; 0.0 is a spring pass
    before: float | None = None          # diameter as it was
    after: float | None = None           # diameter left
    faces: float = 0.0                   # left on the shoulder at the cut's end, or faced off it, mm along the axis
    stock: float = 0.0                   # left on diameter for the next cut of the same surface
    start: float | None = None           # along the work, from the near end
    end: float | None = None
    target: float | None = None  # diameter (or length) to make, as read at the lathe in this room
    shift: float = 0.0  # what happens to it between now and the cold finished part; already taken off the target
    dial: float | None = None            # diameter to set on the dial for the last pass, with the bending dialled out
    low: float | None = None             # read between these two at the lathe and it will end inside the tolerance
    high: float | None = None
    stop: float | None = None            # length to stop at: of the carriage from the face, of a drill's tip
    blocks: tuple[float, ...] = ()       # the gauge blocks, mm
    measure: str = ""                    # name of the shop's instrument, or CALLIPER, MICROMETER, WIRES, BY_HAND
    wait: float = 0.0                    # before measuring or cutting on, s: the shorter of the two ways below
    still: float = 0.0                   # the same in still air, s
    minutes: float = 0.0                 # in the cut
    # rows of (z, outside radius, inside radius) along the part's axis, z rising, a step as two rows with the same z;
    # a thread is drawn at its crests
    outline_before: np.ndarray = field(default_factory=nothing, repr=False, compare=False)
    outline_after: np.ndarray = field(default_factory=nothing, repr=False, compare=False)
    side: Literal["outside", "inside", "face", ""] = ""   # where the tool works
    centre: bool = False                 # the tailstock centre is in; it is drawn back where it would be in the way
    end_diameter: float | None = None    # left at `end`, of a taper
    pitch: float | None = None           # of a thread, mm
    infeeds: tuple[float, ...] = ()      # of a thread, on radius, pass by pass
    power: float | None = None           # at the cutting edge, kW
    overhang: float = 0.0                # of the work, from the grip or the steady to the cut's far point
    tool_diameter: float | None = None   # of a drill, a reamer or a bar's shank
    nose: float | None = None            # radius of the tool's nose


@dataclass(frozen=True)
class Share:
    """One line of an error budget: a known shift, and what is not known of it. On diameter (or on the length)."""

    name: Cause
    chapter: str             # notebook that explains it, as "03_boring_bar"
    shift: float             # known, sign and all, mm; dialled out in the aim
    spread: float            # standard deviation of what remains, mm
    samples: Any = field(default=None, repr=False, compare=False)   # what remains, centred on zero


@dataclass(frozen=True)
class SizeBudget:
    """Everything that moves one toleranced size, against its tolerance band."""

    surface: str             # name of the size: the surface's, with " depth" or " run-out" behind it
    of: str                  # the surface's name
    kind: Literal["size", "depth", "run-out"]
    operation: int           # number of the operation that finishes it
    nominal: float
    low: float               # limits of size
    high: float
    aim: float               # size of the cold finished part that is aimed at
    shares: tuple[Share, ...]   # largest spread first
    size: Likely             # of the finished part at 20 °C
    odds: float              # inside the limits
    verdict: str             # spread.HOLDS, EDGE or FAILS
    missing: Missing | None = None   # the tool it waits for; there are no shares then
    samples: np.ndarray = field(default_factory=lambda: np.zeros(0), repr=False, compare=False)

    @property
    def tolerance(self) -> float:
        return self.high - self.low

    @property
    def shift(self) -> float:
        """All known shifts together, mm."""
        return sum(share.shift for share in self.shares)

    @property
    def spread(self) -> float:
        """Root of the sum of the squares of the spreads, mm."""
        return float(np.sqrt(sum(share.spread**2 for share in self.shares)))


@dataclass(frozen=True)
class Order:
    """One order that was tried."""

    name: str                # "bore, then finish the outside"
    find_odds: Callable[[], float] = field(repr=False, compare=False)
    moved: Likely            # how far the size that suffers most is moved by what comes after it, mm
    tolerance: float         # of that size
    surface: str             # its name
    chosen: bool

    @cached_property
    def odds(self) -> float:
        """Of a good part; counted when it is asked for."""
        return self.find_odds()


@dataclass(frozen=True)
class PlanChange:
    """One thing to change and what it does to the chance of a good part."""

    kind: Literal["order", "blank", "cool", "trial", "room", "centre", "indicator", "master", "measure reamer",
        "soft jaws", "reamer stock"]
    odds: float              # with the change
    gain: float              # chance less the chance of the plan as it is
    before: float            # odds on the few virtual parts where changes are tried, without and with it
    after: float
    name: str = ""           # the order, the condition of the blank or the reamer
    size: float = 0.0        # mm: the stock, or the step of the indicator; °C of the room


@dataclass(frozen=True)
class Plan:
    """The sheet: what to do in which order, and how likely it is to give a good part."""

    part: Any                # part.Part
    shop: Any                # the shop it was planned for
    settings: Any            # job.Settings: what was chosen on the page
    holdings: tuple[Holding, ...]
    operations: tuple[Operation, ...]
    budgets: tuple[SizeBudget, ...]     # one for each toleranced size, weakest first
    odds: float              # every toleranced size inside its limits
    verdict: str
    order: str               # name of the order chosen
    order_reason: OrderReason
    orders: tuple[Order, ...]
    missing: tuple[Missing, ...] = ()   # what the shop has no tool for
    short: tuple[float, ...] = ()       # bores too short for the model of a long bar: length over outside diameter
    minutes: float = 0.0                # in the cut and waiting
    cannot: tuple[Cannot, ...] = ()     # what it says plainly it does not do
    find_changes: Callable[[], tuple[PlanChange, ...]] = field(default=tuple, repr=False, compare=False)

    @cached_property
    def changes(self) -> tuple[PlanChange, ...]:
        """The three single changes that raise the chance most; tried when they are asked for."""
        return self.find_changes()

    @property
    def count(self) -> int:
        """How many are made."""
        return self.settings.count or self.part.count

    def operation(self, number: int) -> Operation:
        """The operation with this number."""
        return self.operations[number - 1]

    def budget(self, surface: str) -> SizeBudget:
        """The budget of a surface. Raises KeyError for one without a tolerance."""
        return {budget.surface: budget for budget in self.budgets}[surface]

    def before(self, first: str, second: str) -> bool:
        """Is surface `first` finished before surface `second`?"""
        done = {o.surface: o.number for o in self.operations if o.finishes}
        return done[first] < done[second]
