"""What a plan is made of: holdings, operations, budgets, orders tried. mm, s, rev/min, m/min, N, °C throughout.

`job.plan` fills these in; the printed sheet, the page and the afterwards learning read them.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from ..core.spread import Likely

# The kinds of operation, in the words that the sheet prints.
KINDS = (
    "face",
    "centre drill",
    "drill",
    "flat bottom",
    "rough bore",
    "bore",
    "ream",
    "rough turn",
    "finish turn",
    "recess",
    "thread",
    "part off",
    "cool",
)
NEAR, FAR = "near end", "far end"      # near: the end that lies at 0 in the part's drawing


@dataclass(frozen=True)
class Holding:
    """One clamping of the work, and everything that is cut in it belongs together."""

    number: int              # 1, 2 … in the order of work
    way: str                 # "three-jaw chuck", "collet", "soft jaws" …: a holding of the shop
    grips: str               # what is gripped, as "bar Ø25" or "the finished Ø20 h6"
    diameter: float          # gripped
    length: float            # gripped
    stickout: float          # of the work out of the jaws
    end: str                 # which end looks at the tailstock: NEAR or FAR
    centre: bool = False     # the tailstock centre supports the free end for the outside cuts
    lobes: Likely | None = None   # three-lobed out-of-round left on a bore, on radius
    cautions: tuple[str, ...] = ()
    reason: str = ""         # one sentence with its number


@dataclass(frozen=True)
class Operation:
    """One line of the sheet. Fields that do not belong to a kind of operation are None, "" or ()."""

    number: int              # 1, 2 … in the order of work
    kind: str                # one of KINDS
    surface: str             # name of the part's surface it works on; "" for the whole part
    says: str                # "bore Ø9.92 for the reamer, 32 deep"
    holding: int             # number of its holding
    needs: tuple[int, ...]   # numbers of the operations that must come before
    finishes: bool           # True where the surface has its final size after it
    reason: str              # one sentence with its number
    tool: str = ""           # its name in the shop; "" where the shop has none (see Plan.missing) or none is used
    tool_stickout: float | None = None   # of the bar, drill or reamer out of its holder
    spindle: float | None = None         # rev/min
    speed: float | None = None           # cutting speed that gives, m/min
    feed: float | None = None            # mm a turn
    depths: tuple[float, ...] = ()       # of each pass, on radius; 0.0 is a spring pass
    before: float | None = None          # diameter as it was
    after: float | None = None           # diameter left
    stock: float = 0.0                   # left on diameter for the next cut of the same surface
    start: float | None = None           # along the work, from the near end
    end: float | None = None
    target: float | None = None  # diameter (or length) to make, as read at the lathe in this room
    shift: float = 0.0  # what happens to it between now and the cold finished part; already taken off the target
    dial: float | None = None            # diameter to set on the dial for the last pass, with the bending dialled out
    low: float | None = None             # read between these two at the lathe and it will end inside the tolerance
    high: float | None = None
    stop: str = ""                       # "blocks 30 + 2 mm against the carriage stop"
    blocks: tuple[float, ...] = ()       # the gauge blocks, mm
    measure: str = ""                    # what with, and where
    wait: float = 0.0                    # before measuring or cutting on, s
    minutes: float = 0.0                 # in the cut
    cautions: tuple[str, ...] = ()
    reason_value: float | None = None    # the number in the reason, mm


@dataclass(frozen=True)
class Share:
    """One line of an error budget: a known shift, and what is not known of it. On diameter (or on the length)."""

    name: str                # "bending of the boring bar"
    chapter: str             # notebook that explains it, as "03_boring_bar"
    shift: float             # known, sign and all, mm; dialled out in the aim
    spread: float            # standard deviation of what remains, mm
    says: str = ""           # where it comes from, one sentence
    samples: Any = field(default=None, repr=False, compare=False)   # what remains, centred on nought


@dataclass(frozen=True)
class SizeBudget:
    """Everything that moves one toleranced size, against its tolerance band."""

    surface: str             # the surface's name
    says: str                # "Ø20 h6"
    operation: int           # number of the operation that finishes it
    nominal: float
    low: float               # limits of size
    high: float
    aim: float               # size of the cold finished part that is aimed at
    shares: tuple[Share, ...]   # largest spread first
    size: Likely             # of the finished part at 20 °C
    odds: float              # inside the limits
    verdict: str             # spread.HOLDS, EDGE or FAILS
    helps: str = ""          # what breaks it and what would help, one sentence; "" where it holds
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
    odds: float              # of a good part
    moved: Likely            # how far the size that suffers most is moved by what comes after it, mm
    tolerance: float         # of that size
    surface: str             # its name
    chosen: bool
    says: str                # one sentence with its number


@dataclass(frozen=True)
class PlanChange:
    """One thing to change and what it does to the odds of a good part."""

    what: str                # "leave 0.3 mm …"
    odds: float              # with the change
    gain: float              # odds less the odds of the plan as it is
    says: str                # one sentence


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
    weakest: str             # surface with the lowest odds, "" where nothing is toleranced
    order: str               # name of the order chosen
    order_says: str          # why, one sentence with its number
    orders: tuple[Order, ...]
    changes: tuple[PlanChange, ...]     # the three that raise the odds most
    missing: tuple[str, ...] = ()       # what the shop has no tool for, one sentence each, with the remedy
    cautions: tuple[str, ...] = ()      # for the whole job
    assumed: tuple[str, ...] = ()       # what was assumed and not measured
    minutes: float = 0.0                # in the cut and waiting

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
