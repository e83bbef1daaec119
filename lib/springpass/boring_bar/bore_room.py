"""Room in the bore: tool height, heel clearance, the bar's back, and the chips, seen along the axis.

The tip stands at a height above or below the spindle axis; the bar lies behind it. The picture this makes is at true
scale: what touches there touches at the lathe.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from ..core import tables
from ..core.formula import formula
from ..core.quantity import Refused, positive
from ..core.shared import BarDiameter, BoreDiameter
from .quantities import (
    ClearanceAngle,
    ClearanceInBore,
    DialShare,
    HeelHeight,
    LeastGap,
    SmallestBore,
    TipHeight,
    TipOffset,
)

# ---- one formula at a time ------------------------------------------------------------------------


@formula(source="Pythagoras on the tip's place", holds="tip above or below the axis by less than the radius",
    basis="computed")
def dial_share(bore: BoreDiameter, tip_height: TipHeight) -> DialShare:
    """What the radius changes for a step of the cross slide: less than the dial says when the tip is off centre."""
    return np.sqrt(1 - (2 * tip_height / bore) ** 2)


@formula(source="angle of the radius at the tip; in a bore the other way round from outside",
    holds="tip inside the bore", basis="computed")
def clearance_in_bore(clearance: ClearanceAngle, tip_height: TipHeight, bore: BoreDiameter) -> ClearanceInBore:
    """Clearance angle in the cut: a tip too high gains it, a tip too low loses it."""
    return clearance + np.degrees(np.arcsin(2 * tip_height / bore))


@formula(source="chord of a circle at an angle to its tangent", holds="flat flank below a tip at centre height",
    basis="computed")
def heel_height(bore: BoreDiameter, clearance_in_cut: ClearanceInBore) -> HeelHeight:
    """How far below the tip a flat flank touches the bore again."""
    return bore / 2 * np.sin(2 * np.radians(clearance_in_cut))


@formula(source="bar, tip and the far wall on one line", holds="tip level with the bar's axis", basis="computed")
def smallest_bore(bar: BarDiameter, tip_offset: TipOffset, least_gap: LeastGap, tip_height: TipHeight) -> SmallestBore:
    """The smallest bore that a bar enters with a gap left behind its back."""
    return np.sqrt((tip_offset + bar / 2 + least_gap) ** 2 + 4 * tip_height**2)


# ---- the room as a whole ------------------------------------------------------------------------------


@dataclass(frozen=True)
class BoreRoom:
    """What stands in the bore, across the axis. mm, degrees; x towards the tip, y up, from the spindle axis."""

    bore: float
    bar: float
    tip: tuple[float, float]
    centre: tuple[float, float]  # of the bar
    back: float  # gap between the bar's back and the far wall
    around: float  # least gap all round; below zero it touches
    clearance: float  # in the cut
    heel: float  # below the tip, where a flat flank touches
    dial: float  # share of a dial step that the radius changes by
    smallest: float  # bore that the bar enters
    filled: tuple[
        float, float
    ]  # share of the room beside the bar that one pass's chips fill, short and as a string; 0 where no depth is said

    @property
    def goes_in(self) -> bool:
        return self.bore >= self.smallest * (1 - 1e-9)


def bore_room(bore: float = 12.0, bar_diameter: float = 8.0, tip_offset: float | None = None, tip_height: float = 0.0,
        clearance: float = 7.0, infeed: float = 0.1, depth: float = 0.0,
        chip_ratio: tuple[float, float] | None = None) -> BoreRoom:
    """Bar, tip, heel and chips in a bore, mm and degrees.

    tip_offset: from the bar's axis (0.6 bar diameters where left out); tip_height: above the spindle axis, below zero
    is too low; depth: of the bore, 0 where it is not said; chip_ratio: volume of loose chips over that of the metal
    cut, for short chips and for a string (the table's where left out). Raises Refused for what cannot be.
    """
    bore, bar = positive(bore, "the bore"), positive(bar_diameter, "bar diameter")
    offset = 0.6 * bar if tip_offset is None else positive(tip_offset, "tip offset", zero=True)
    radius = bore / 2
    if abs(tip_height) >= radius:
        raise Refused(f"The tip stands {abs(tip_height):g} mm off centre, outside a bore of {bore:g} mm.")
    x = float(np.sqrt(radius**2 - tip_height**2))
    gap = tables.fact("bar_rules", name="least gap").low
    angle = float(clearance_in_bore(clearance, tip_height, bore))
    # a flat flank is a chord of the bore that leans from the vertical by the clearance as ground
    heel = bore * float(np.sin(np.radians(angle)) * np.cos(np.radians(clearance))) if angle > 0 else 0.0
    centre = (x - offset, tip_height)
    low, high = chip_ratio or tuple(
        tables.fact("cutting_rules", rule=rule).value for rule in ("bulk_short", "bulk_string"))
    free = np.pi / 4 * (bore**2 - bar**2)
    cut = np.pi * bore * infeed
    return BoreRoom(bore, bar, (x, tip_height), centre, 2 * x - offset - bar / 2,
        radius - float(np.hypot(*centre)) - bar / 2, angle, heel,
        float(dial_share(bore, tip_height)), float(smallest_bore(bar, offset, gap, tip_height)),
        (cut * low / free, cut * high / free) if depth else (0.0, 0.0))


def seen_bar(room: BoreRoom, points: int = 72) -> tuple[Any, Any]:
    """Outline of the bar across the axis, mm, for a drawing at true scale."""
    turn = np.linspace(0, 2 * np.pi, points)
    return room.centre[0] + room.bar / 2 * np.cos(turn), room.centre[1] + room.bar / 2 * np.sin(turn)
