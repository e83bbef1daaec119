"""A tailstock that stands beside the spindle axis, or above it: what it turns between centres."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..core.formula import formula
from ..core.quantity import Numbers, finite, positive
from .quantities import CentresLength, HeightGrowth, LatheTaper, SeatDiameter, TailHeight, TailOffset

# ---- one formula at a time ------------------------------------------------------------------------


@formula(source="set-over of the tailstock: Rose, Modern Machine-Shop Practice (1888), turning tapers",
    holds="work between centres, tool at centre height; small offsets")
def offset_taper(offset: TailOffset, length: CentresLength) -> LatheTaper:
    """The taper that a tailstock beside the axis turns; towards you, the tailstock end comes out smaller."""
    return -2 * offset / length


@formula(source="Pythagoras on the tip's place: √(d² + 4 e²) − d, written so that nothing cancels",
    holds="work between centres, tool at the height of the spindle axis", basis="computed")
def height_growth(height: TailHeight, diameter: SeatDiameter) -> HeightGrowth:
    """How much larger the tailstock end comes out when its centre is too high or too low: second order."""
    return (2 * height)**2 / (diameter + np.sqrt(diameter**2 + (2 * height)**2))


# ---- along the work ---------------------------------------------------------------------------------


@dataclass(frozen=True)
class OffCentre:
    """Work between centres with the tailstock off the axis, mm; places from the headstock centre."""

    position: np.ndarray
    sideways: np.ndarray    # diameter error from the offset sideways
    height: np.ndarray      # and from the height
    error: np.ndarray       # both together, exactly


def off_centre(offset: float = 0.0, height: float = 0.0, length: float = 150.0, diameter: float = 20.0,
        places: Numbers = 21) -> OffCentre:
    """Diameter error along work between centres: the distance from the tip to a line that leaves the axis, mm.

    The tool is set to size at the headstock centre. Raises Refused.
    """
    length, diameter = positive(length, "the length between centres"), positive(diameter, "the diameter")
    offset, height = finite(offset, "the offset", "mm"), finite(height, "the height", "mm")
    z = np.linspace(0, length, int(places)) if np.ndim(places) == 0 else np.asarray(places, float)
    share = z / length
    side, up = offset * share, height * share
    whole = 2 * np.hypot(diameter / 2 - side, up) - diameter
    return OffCentre(z, -2 * side, 2 * np.hypot(diameter / 2, up) - diameter, whole)
