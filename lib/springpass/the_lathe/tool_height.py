"""Tool height, outside and in a bore: what the dial then does, rake and clearance, and the smallest bore of a bar.

Three formulas of the same matter stand with the boring bar: the size that a tip off centre leaves
(`boring_bar.bending.growth_off_centre`), the clearance in a bore and the heel of a flat flank
(`boring_bar.bore_room`). Seen along the axis from the tailstock: x from the axis towards the tip, y upwards.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from ..boring_bar.bending import growth_off_centre
from ..boring_bar.bore_room import clearance_in_bore
from ..core.formula import formula
from ..core.quantity import Refused, finite, floats, positive
from .quantities import (
    AboveTip,
    BehindTip,
    BoreNeeded,
    DialledStep,
    RakeAngle,
    RakeInCut,
    Relief,
    ReliefInCut,
    StepGot,
    TipHeight,
    TurnedDiameter,
)

LEAN = "angle of the radius at the tip: the cut's own upright leans by asin(2 e / D)"
INSIDE = "tip nearer to centre height than the radius"

# ---- one formula at a time ------------------------------------------------------------------------


@formula(source="Pythagoras before and after the step, written so that nothing cancels", holds=INSIDE,
    basis="computed")
def step_got(diameter: TurnedDiameter, height: TipHeight, dialled: DialledStep) -> StepGot:
    """What the diameter changes by when the cross slide moves: less than the dial says when the tip is off centre."""
    across = np.sqrt((diameter - 2 * height) * (diameter + 2 * height))
    return dialled * (2 * across + dialled) / (
        diameter + np.sqrt(diameter**2 + dialled * (2 * across + dialled)))


@formula(source=LEAN, holds="turning the outside; " + INSIDE, basis="computed")
def rake_outside(rake: RakeAngle, height: TipHeight, diameter: TurnedDiameter) -> RakeInCut:
    """Rake in the cut outside: a tip too high gains it."""
    return rake + np.degrees(np.arcsin(2 * height / diameter))


@formula(source=LEAN, holds="turning the outside; " + INSIDE, basis="computed")
def clearance_outside(clearance: Relief, height: TipHeight, diameter: TurnedDiameter) -> ReliefInCut:
    """Clearance in the cut outside: a tip too high loses it."""
    return clearance - np.degrees(np.arcsin(2 * height / diameter))


@formula(source=LEAN + ", in a bore the other way round", holds="boring; " + INSIDE, basis="computed")
def rake_in_bore(rake: RakeAngle, height: TipHeight, diameter: TurnedDiameter) -> RakeInCut:
    """Rake in the cut in a bore: a tip too high loses it."""
    return rake - np.degrees(np.arcsin(2 * height / diameter))


@formula(source="circle through the tip and one point of the bar, its centre at the tip's height",
    holds="tip at centre height, nothing left between", basis="computed")
def bore_for_point(behind: BehindTip, above: AboveTip) -> BoreNeeded:
    """The smallest bore in which one point of the bar clears the wall."""
    return (behind**2 + above**2) / behind


# ---- outside or in a bore ------------------------------------------------------------------------------

OUTSIDE, IN_BORE = "outside", "in a bore"


@dataclass(frozen=True)
class Height:
    """What a tip off centre does, mm and degrees."""

    larger: float      # than it was set from the spindle axis, on diameter
    got: float         # change of the diameter for the step dialled
    short: float       # dialled less got, without the sign of the step
    rake: float        # in the cut
    clearance: float   # in the cut

    @property
    def rubs(self) -> bool:
        """Does the flank touch before the edge?"""
        return self.clearance <= 0


def tip_height(where: str, diameter: float, height: float, dialled: float, rake: float, clearance: float) -> Height:
    """Size, dial, rake and clearance of a tip off centre height; mm, degrees. Raises Refused."""
    if where not in (OUTSIDE, IN_BORE):
        raise Refused(f"The tool cuts {OUTSIDE} or {IN_BORE}, not “{where}”.")
    diameter = positive(diameter, "the diameter")
    height, dialled = finite(height, "the height", "mm"), finite(dialled, "the step", "mm")
    if 2 * abs(height) >= diameter:
        raise Refused(f"At {abs(height):g} mm off centre the tip never meets a diameter of {diameter:g} mm. Set it "
            "nearer to centre height.")
    step = abs(dialled) if where == IN_BORE else -abs(dialled)
    across = np.sqrt((diameter - 2 * height) * (diameter + 2 * height))
    if step < 0 and -step > 2 * across - 1e-9:
        raise Refused("The step dialled is larger than what is left of the work. Take a smaller one.")
    got = float(step_got(diameter, height, step))
    leans = (rake_in_bore, clearance_in_bore) if where == IN_BORE else (rake_outside, clearance_outside)
    angles = (leans[0](rake, height, diameter), leans[1](clearance, height, diameter))
    return Height(float(growth_off_centre(diameter, abs(height))), got, abs(step) - abs(got), float(angles[0]),
        float(angles[1]))


# ---- a bar of one's own shape in a small bore --------------------------------------------------------

ROUND, SQUARE, OWN = "round bar", "square bar", "my own shape"
SHAPES = (ROUND, SQUARE, OWN)
AROUND = 48   # points of a round bar's outline


def outline(shape: str, size: float, offset: float, own: Any = ()) -> np.ndarray:
    """Section of a bar behind its tip: points (behind the tip, above the tip), mm, as an array of rows.

    size: diameter or width across; offset: from the bar's axis to the tip; own: rows of one's own. Raises Refused.
    """
    if shape == OWN:
        points = np.atleast_2d(floats(own, "the shape"))
        if points.ndim != 2 or points.shape[1] != 2 or len(points) < 3:
            raise Refused("A shape needs three points or more, each as two numbers: how far behind the tip, and how "
                "far above it (below zero: under it).")
        points = np.asarray(finite(points, "the shape", "mm"))
    else:
        size, offset = float(positive(size, "the bar")), float(positive(offset, "the tip's offset", zero=True))
        if shape == ROUND:
            turn = np.linspace(0, 2 * np.pi, AROUND, endpoint=False)
            points = np.column_stack([offset - size / 2 * np.cos(turn), size / 2 * np.sin(turn)])
        elif shape == SQUARE:
            half = size / 2
            points = np.array([[offset - half, half], [offset + half, half], [offset + half, -half],
                [offset - half, -half]])
        else:
            raise Refused(f"The bar is one of: {', '.join(SHAPES)}; not “{shape}”.")
    if points[:, 0].min() <= 0:
        raise Refused("The bar must lie behind its tip: a point of it is level with the tip or in front of it. Let the "
            "tip stand out further.")
    return points


@dataclass(frozen=True)
class InBore:
    """A bar in a bore, seen along the axis; mm and degrees."""

    bore: float
    tip: tuple[float, float]
    points: np.ndarray         # of the bar, from the spindle axis
    least: float               # least gap between bar and wall; below zero it touches
    at: tuple[float, float]    # the point where it is least
    clearance: float           # in the cut
    heel: float                # chord from the tip to where a flat flank would touch; 0 where it rubs at once
    flank: float               # length of the flank as ground
    smallest: float            # bore that lets the bar in with the gap wanted

    @property
    def heel_touches(self) -> bool:
        """Is the flank longer than the chord it may fill?"""
        return self.flank >= self.heel

    @property
    def clears(self) -> bool:
        return not self.heel_touches and self.bore >= self.smallest * (1 - 1e-9)


def smallest_bore_for(points: np.ndarray, height: float = 0.0, gap: float = 0.0) -> float:
    """The smallest bore, mm, in which a bar touches nowhere and its back half stays so far from the wall.

    points: from `outline`; height: of the tip above centre. The radius is searched by halving: a larger bore always
    leaves more room. Raises Refused where none up to a metre does.
    """
    height, gap = float(finite(height, "the height", "mm")), float(positive(gap, "the gap", zero=True))

    behind = points[:, 0]
    kept = np.where(behind > (behind.min() + behind.max()) / 2, gap, 0.0)

    def room(radius: float) -> float:
        across = np.sqrt(np.maximum(radius**2 - height**2, 0))
        reach = np.hypot(across - points[:, 0], height + points[:, 1])
        return float(radius - (reach + kept).max())

    low, high = abs(height) + 1e-9, 500.0
    if room(high) < 0:
        raise Refused("No bore up to a metre takes this bar. Its points must lie behind the tip.")
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (low, middle) if room(middle) >= 0 else (middle, high)
    return 2 * high


def in_bore(bore: float, points: np.ndarray, height: float = 0.0, clearance: float = 7.0, flank: float = 1.0,
        gap: float = 0.0) -> InBore:
    """A bar of any section in a bore: where it comes nearest to the wall, its flank, the smallest bore; mm, degrees.

    points: from `outline`; flank: how long the flank is below the tip before the bar falls away. Raises Refused.
    """
    bore, flank = float(positive(bore, "the bore")), float(positive(flank, "the flank"))
    if 2 * abs(height) >= bore:
        raise Refused(f"The tip stands {abs(height):g} mm off centre, outside a bore of {bore:g} mm. Set it nearer to "
            "centre height.")
    radius = bore / 2
    across = float(np.sqrt(radius**2 - height**2))
    placed = np.column_stack([across - points[:, 0], height + points[:, 1]])
    reach = np.hypot(*placed.T)
    worst = int(reach.argmax())
    angle = float(clearance_in_bore(clearance, height, bore))
    chord = bore * np.sin(np.radians(angle)) if angle > 0 else 0.0
    return InBore(bore, (across, height), placed, float(radius - reach[worst]),
        (float(placed[worst, 0]), float(placed[worst, 1])), angle, float(chord), flank,
        smallest_bore_for(points, height, gap))
