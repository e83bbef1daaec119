"""Setting two micrometres: a slide that sticks, the dial's lines, the compound slide set over, an indicator.

A move on radius is a chain of links. Which of them are in it depends on how it is set; the figures stand in
data/lathe_moves.csv. A slide that sticks is wound up by its screw until it lets go, and then jumps.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .. import stops
from ..core import tables
from ..core.formula import formula
from ..core.quantity import Refused, positive
from ..core.spread import POINTS, about, between, sample
from .quantities import (
    DriveStiffness,
    LineStep,
    MoveRatio,
    MovingFriction,
    RadiusStep,
    SetOver,
    SlideLoad,
    SlipStep,
    StaticFriction,
)

# ---- one formula at a time ------------------------------------------------------------------------


@formula(source="a block on a spring let go by friction: Rabinowicz, Friction and Wear of Materials, stick-slip "
    "(from memory)", holds="slow winding, little damping, friction that falls at once when it moves")
def slip_step(static: StaticFriction, moving: MovingFriction, load: SlideLoad, stiffness: DriveStiffness) -> SlipStep:
    """How far a slide that sticks jumps when it comes loose: the smallest move it can be trusted with."""
    return 2 * (static - moving) * load / stiffness


@formula(source="component of the slide's travel across the spindle axis", holds="angle measured from the spindle axis",
    basis="computed")
def set_over_step(line: LineStep, angle: SetOver) -> RadiusStep:
    """What one line of a compound slide that is set over moves the tip by, on radius."""
    return line * np.sin(np.radians(angle))


@formula(source="the sine turned round", holds="angle measured from the spindle axis", basis="computed")
def set_over_angle(ratio: MoveRatio) -> SetOver:
    """The angle at which the compound slide moves the tip by so much less than its dial says."""
    return np.degrees(np.arcsin(ratio))


# ---- the chain ------------------------------------------------------------------------------------

DIAL = "cross slide by its dial, wound from one side"
BOTH = "cross slide by its dial, wound back and forth"
COMPOUND = "compound slide set over"
INDICATOR = "indicator on the cross slide"
WAYS = (DIAL, BOTH, COMPOUND, INDICATOR)


@dataclass(frozen=True)
class Move:
    """A move on radius, mm: its links with their plus or minus, and what they add up to."""

    way: str
    links: tuple[stops.Link, ...]
    jump: float               # of a slide that sticks, at its own travel
    line: float               # one line of the dial, on radius
    error: np.ndarray         # samples of the move's error on radius

    @property
    def rules(self) -> stops.Link:
        """The link that counts most."""
        return max(self.links, key=lambda link: link.plus_minus)

    @property
    def reach(self) -> float:
        """How far the move may be off, nine times in ten."""
        return float(np.quantile(np.abs(self.error), 0.9))

    def chance(self, allowed: float) -> float:
        """How often it comes within plus or minus so much."""
        return float(np.mean(np.abs(self.error) <= allowed))


def friction(ways: str) -> tuple[tables.Fact, tables.Fact]:
    """Friction at rest and on the move for one state of the ways: a row each of data/lathe_ways.csv."""
    return tables.fact("lathe_ways", ways=ways, state="rest"), tables.fact("lathe_ways", ways=ways, state="moving")


def move(way: str, line: float = 0.02, angle: float = 5.74, ways: str = "cast iron, oiled", load: float = 200.0,
        stiffness: float = 15e3, backlash: float = 0.1, wanted: float = 0.002) -> Move:
    """The chain behind a small move on radius, set one of WAYS; mm, N, N/mm, degrees.

    line: one line of the cross slide's dial, on radius, or of the compound slide's; angle: of the compound slide to the
    spindle axis; ways: how the slide's ways are; backlash: of the screw, on radius. Raises Refused.
    """
    if way not in WAYS:
        raise Refused(f"A small move is set one of these ways: {', '.join(WAYS)}; not “{way}”.")
    line, wanted = float(positive(line, "line of the dial")), float(positive(wanted, "the move"))
    load, stiffness = float(positive(load, "the load", "N")), float(positive(stiffness, "the stiffness", "N/mm"))
    backlash = float(positive(backlash, "the backlash", zero=True))
    if way == COMPOUND and not 0 < angle <= 90:
        raise Refused(f"The compound slide stands 0 to 90 degrees from the spindle axis; {angle:g} cannot be.")
    rest, moving = friction(ways)
    jump = float(slip_step(rest.value, moving.value, load, stiffness))
    share = float(np.sin(np.radians(angle))) if way == COMPOUND else 1.0
    known = {name: tables.fact("lathe_moves", link=name) for name in tables.names("lathe_moves", "link")}

    def link(name: str, half: float, shape: str = "rectangular") -> stops.Link:
        return stops.Link(name, 0.0, half, 1, shape)

    links = []
    if way == INDICATOR:
        links += [link("indicator's step and hand", known["indicator reading"].value),
            link("indicator's scale over the move", known["indicator scale"].value * wanted)]
    else:
        links += [link("reading the dial", known["dial reading"].value * line * share),
            link("screw within one revolution", known["screw"].value * share)]
    if way == COMPOUND:
        off = np.radians(known["set-over angle"].value)
        links.append(link("angle set over", wanted * off / np.tan(np.radians(angle)) if angle < 90 else 0.0))
    if way == BOTH:
        links.append(link("backlash", backlash))
    links.append(link("slide sticks", jump / 2 * share))
    links.append(link("rest of the chain: clamps, play, film of oil", known["settling"].value * share))
    return Move(way, tuple(links), jump, line * share, _drawn(links))


def _drawn(links: Sequence[stops.Link]) -> np.ndarray:
    halves = {f"x{i}": about(0.0, link.plus_minus) if link.shape == "normal" else
        between(-link.plus_minus, link.plus_minus) for i, link in enumerate(links)}
    drawn = sample(POINTS, **halves)
    return np.asarray(sum(drawn[name] for name in halves))


@dataclass(frozen=True)
class Winding:
    """Hand wheel and slide as a slide that sticks follows its screw, mm."""

    wound: np.ndarray
    moved: np.ndarray


def winding(jump: float, travel: float, stick: float = 0.0) -> Winding:
    """The staircase of a slide that sticks: it lags until the screw is wound up, then jumps past by half a step.

    jump: its step; stick: what the screw stays wound up by on the move (friction over stiffness). A jump far smaller
    than the travel is a straight line. Raises Refused.
    """
    jump, travel = float(positive(jump, "the jump", zero=True)), float(positive(travel, "the travel"))
    if jump < travel / 2000:
        return Winding(np.array([0.0, travel]), np.array([0.0, travel]) - stick)
    count = int(np.ceil(travel / jump - 1e-9))
    wound = np.repeat(np.arange(count + 1), 2)[1:-1] * jump
    return Winding(wound, np.repeat(np.arange(count), 2) * jump + jump / 2 - stick)


def angle_error(wanted: float, angle: float, off: float) -> float:
    """How far a move by the set-over slide is out, on radius, when its angle is `off` degrees wrong; exactly."""
    slide = wanted / np.sin(np.radians(angle))
    return float(slide * np.sin(np.radians(angle + off)) - wanted)
