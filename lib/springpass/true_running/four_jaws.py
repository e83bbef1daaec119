"""Setting work true in four jaws: read at each jaw, move one pair by half of the difference, read again.

Jaw 1 stands on top, 2 to the right, 3 below, 4 to the left, as one looks at the chuck. The work's axis lies to the side
by an arrow (right, up) in mm. A move of a hand is never quite what was meant: how much it misses, and what drawing the
jaws tight adds, is drawn from the start's number alone, so the same number and the same moves always end alike.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from ..core import tables
from ..core.formula import formula
from ..core.quantity import Quantity, Refused, positive, said
from .quantities import HighReading, JawMove, LowReading, MovesNeeded, ShareLeft, StartRunOut, WantedRunOut

TABLE = "true_running_facts"
JAWS = {1: (0.0, 1.0), 2: (1.0, 0.0), 3: (0.0, -1.0), 4: (-1.0, 0.0)}   # where each jaw lies: right, up
OPPOSITE = {1: 3, 2: 4, 3: 1, 4: 2}
MOST_MOVES = 40
STEP = Quantity("m", "mm", -2.0, 2.0, 0.05, "how far a jaw is pushed in")


@formula(source="plane geometry: readings at opposite jaws lie twice the eccentricity apart", basis="computed",
    holds="work round, or with an even number of lobes; indicator square to it")
def half_the_difference(high: HighReading, low: LowReading) -> JawMove:
    """How far the work must move towards the low jaw's side: half the difference of the two readings."""
    return (high - low) / 2


@formula(source="each move leaves the same share of what was there: a geometric series", basis="computed",
    holds="both pairs in turn count as one move; down to the dial's division")
def moves_needed(start: StartRunOut, wanted: WantedRunOut, left: ShareLeft) -> MovesNeeded:
    """Moves until the run-out has come down from the start to what is wanted."""
    return np.log(start / wanted) / np.log(1 / left)


@dataclass(frozen=True)
class Move:
    """One jaw is pushed in by so much, the opposite one slackened before; a minus backs the jaw out."""

    jaw: int
    by: float   # mm


@dataclass(frozen=True)
class Stand:
    """How the work stands after some moves: its axis, and what an indicator reads."""

    right: float
    up: float
    oval: float                                  # full swing of its own out-of-roundness, mm
    lie: float                                   # direction of the oval's long axis, radians from the right

    def height(self, turned: np.ndarray | float) -> np.ndarray:
        """What a fine indicator on top reads, less the work's radius, when the chuck is turned by so many degrees, jaw
        1 on top at 0 and jaw 2 at 90.
        """
        at = np.pi / 2 - np.radians(np.asarray(turned, dtype=float))
        return self.right * np.cos(at) + self.up * np.sin(at) + self.oval / 2 * np.cos(2 * (at - self.lie))

    @property
    def run_out(self) -> float:
        """Full swing over one revolution, mm."""
        return float(np.ptp(self.height(np.arange(0.0, 360.0, 2.0))))

    def dial(self, turned: float, division: float) -> float:
        """The dial's hand, zeroed at the lowest place of the revolution, to the division."""
        above = float(self.height(turned)) - float(self.height(np.arange(0.0, 360.0, 2.0)).min())
        return round(above / division) * division

    def readings(self, division: float) -> tuple[float, ...]:
        """The dial's hand at jaws 1 to 4."""
        return tuple(self.dial(90.0 * (jaw - 1), division) for jaw in JAWS)


def division() -> float:
    """The dial's division, mm."""
    return tables.fact(TABLE, what="division of the dial").value


def _drawn(what: str, seed: int, count: int, part: str = "") -> float:
    """A value of the table for one start and one move, the same on every machine."""
    digest = hashlib.sha256(f"{what}|{seed}|{count}|{part}".encode()).digest()
    share = (int.from_bytes(digest[:7], "big") + 0.5) / 2**56
    return float(tables.fact(TABLE, what=what).range.draw(np.array(share), np.array(NormalDist().inv_cdf(share))))


def read_moves(text: str) -> tuple[Move, ...]:
    """Moves such as "3 0.12; 2 0.05" or one a line: a jaw's number and how far it is pushed in. Raises Refused."""
    found = []
    for part in re.split(r"[;\n]", text):
        if not part.strip():
            continue
        halves = part.split(None, 1)
        if len(halves) != 2 or halves[0].rstrip(".:,") not in ("1", "2", "3", "4"):
            raise Refused(f"{said(part.strip())} is no move. Write the jaw's number, 1 to 4, and how far you push it "
                "in, such as 3 0.12, and put a semicolon or a new line between two moves.")
        found.append(Move(int(halves[0][0]), float(STEP.read(halves[1].strip(), f"the move of jaw {halves[0][0]}"))))
    if len(found) > MOST_MOVES:
        raise Refused(f"{len(found)} moves are more than {MOST_MOVES}. Clear the list and begin again.")
    return tuple(found)


def follow(seed: int, moves: tuple[Move, ...] = (), oval: float = 0.0) -> tuple[Stand, ...]:
    """How the work stands at the start and after each move. seed: the start's number; oval: the work's own
    out-of-roundness, full swing in mm. Raises Refused for an oval below zero.
    """
    oval = positive(oval, "how oval the work is", zero=True)
    size = _drawn("run-out set by the rings on the chuck's face", seed, 0) / 2
    share = int.from_bytes(hashlib.sha256(f"direction|{seed}".encode()).digest()[:7], "big") / 2**56
    lie = np.pi * ((share * 7) % 1)
    at = size * np.exp(2j * np.pi * share)
    stands = [Stand(float(at.real), float(at.imag), oval, float(lie))]
    for count, move in enumerate(moves, 1):
        towards = -complex(*JAWS[move.jaw])
        made = move.by * _drawn("jaw moved over jaw meant", seed, count)
        side = move.by * _drawn("other pair moved over jaw moved", seed, count)
        shift = complex(*(_drawn("shift when the jaws are drawn tight", seed, count, part) for part in ("x", "y")))
        at = at + towards * (made + 1j * side) + shift
        stands.append(Stand(float(at.real), float(at.imag), oval, float(lie)))
    return tuple(stands)


def advised(stand: Stand) -> Move | None:
    """The next move by the rule: of the pair with the larger difference, push in the high jaw by half of it. None where
    the dial shows no difference that is worth a move.
    """
    step = division()
    readings = dict(zip(JAWS, stand.readings(step), strict=True))
    high = max(JAWS, key=lambda jaw: readings[jaw] - readings[OPPOSITE[jaw]])
    by = float(half_the_difference(readings[high], readings[OPPOSITE[high]]))
    return Move(high, round(by, 4)) if by > 0.4 * step else None


def by_the_rule(seed: int, allowed: float, oval: float = 0.0, made: tuple[Move, ...] = ()) -> tuple[Stand, ...]:
    """The stands from the start, or from after the moves made, to where the work runs within `allowed`, each next move
    as advised; it ends where the dial shows no more.
    """
    moves, stands = made, follow(seed, made, oval)
    while stands[-1].run_out > allowed and len(moves) < MOST_MOVES:
        move = advised(stands[-1])
        if move is None:
            break
        moves = (*moves, move)
        stands = follow(seed, moves, oval)
    return stands
