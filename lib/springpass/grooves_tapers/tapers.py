"""Tapers: angle from two diameters, setting slide or tailstock, what an error costs, blue.

A taper is known by how much the diameter changes along the axis. The slide is set to half its angle. No protractor on a
slide is good enough; blocks, an indicator and a film of blue are.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..core import tables
from ..core.formula import formula
from ..core.quantity import Refused, positive
from .quantities import (
    AngleError,
    BetweenCentres,
    BlueLayer,
    ConeRatio,
    HalfAngle,
    LargeEnd,
    OnDiameter,
    Rise,
    RubbedLength,
    SetOver,
    SineBar,
    SizeError,
    SmallEnd,
    StandOut,
    TaperLength,
    TaperLost,
    TaperMade,
    TipOffHeight,
)

# ---- the angle, one formula at a time ----------------------------------------------------------------------


@formula(source="ISO 3040, rate of taper: difference of two diameters over the distance between them",
    holds="any cone", basis="computed")
def cone_ratio(large: LargeEnd, small: SmallEnd, length: TaperLength) -> ConeRatio:
    """How much the diameter changes along a unit of the axis."""
    return (large - small) / length


@formula(source="right triangle of half the difference and the length", holds="any cone", basis="computed")
def half_angle(large: LargeEnd, small: SmallEnd, length: TaperLength) -> HalfAngle:
    """The angle between surface and axis: what the slide is set over to."""
    return np.degrees(np.arctan((large - small) / (2 * length)))


@formula(source="right triangle with the sine bar, or the slide's travel, as its long side", basis="computed",
    holds="any angle under 60°")
def rise_along(travel: SineBar, angle: HalfAngle) -> Rise:
    """Blocks under a sine bar; and what an indicator square to the axis shows after such a travel of the slide."""
    return travel * np.sin(np.radians(angle))


@formula(source="difference of two tangents", holds="slide set wrong by the error, one end of the taper on size",
    basis="computed")
def size_error(length: TaperLength, angle: HalfAngle, error: AngleError) -> SizeError:
    """How far the diameter at the other end is out when the half angle is out."""
    return (2 * length * np.sin(np.radians(error))
        / (np.cos(np.radians(angle + error)) * np.cos(np.radians(angle))))


# ---- the tailstock -----------------------------------------------------------------------------------------


@formula(source="similar triangles; F. D. Jones, Turning and Boring (1914), gives it in words", basis="computed",
    holds="slim tapers: the work's length is taken for its shadow on the bed")
def set_over(between: BetweenCentres, large: LargeEnd, small: SmallEnd, length: TaperLength) -> SetOver:
    """How far the tailstock is set over: half the taper that the whole length would have."""
    return between * (large - small) / (2 * length)


@formula(source="right triangle with the work's axis as its long side", holds="ball-ended centres in sharp-edged holes",
    basis="computed")
def set_over_exact(between: BetweenCentres, large: LargeEnd, small: SmallEnd, length: TaperLength) -> SetOver:
    """The same with the work's axis slanting, as it stands."""
    return between * np.sin(np.radians(half_angle(large, small, length)))


@formula(source="right triangle with the work's axis as its long side", basis="computed",
    holds="centres at the same points of their holes at every angle")
def taper_made(over: SetOver, between: BetweenCentres, length: TaperLength) -> TaperMade:
    """Difference of the diameters that a set-over really turns."""
    return 2 * length * over / np.sqrt(between**2 - over**2)


# ---- the fit -----------------------------------------------------------------------------------------------


@formula(source="two cones that touch at one end: the gap opens with the difference of their half angles",
    basis="computed", holds="blue of even thickness, turned lightly in a true gauge")
def angle_from_blue(blue: BlueLayer, rubbed: RubbedLength) -> AngleError:
    """Error of the half angle from how far the blue has rubbed off."""
    return np.degrees(np.arctan(blue / rubbed))


@formula(source="rate of taper", holds="plug that meets its gauge along its length", basis="computed")
def off_for_stand_out(stand_out: StandOut, ratio: ConeRatio) -> OnDiameter:
    """What must come off the diameter for a plug to go in so much deeper."""
    return stand_out * ratio


@formula(source="Pythagoras at both ends: the tip runs along a line that misses the axis", basis="computed",
    holds="tip off centre by less than the small radius; the small end measured and on size")
def taper_lost(large: LargeEnd, small: SmallEnd, off_height: TipOffHeight) -> TaperLost:
    """How much smaller than wanted the large end comes out when the tip is off centre height."""
    return 8 * (large - small) * off_height**2 / (
        (small + np.sqrt(small**2 - 4 * off_height**2))
        * (large + np.sqrt(small**2 + 2 * (large - small) * np.sqrt(small**2 - 4 * off_height**2)
            + (large - small)**2)))


# ---- tapers that have a name -------------------------------------------------------------------------------


@dataclass(frozen=True)
class Cone:
    """A standard taper, mm. large: at the gauge line, 0 where the standard fixes the ratio alone."""

    name: str
    ratio: float
    large: float
    length: float
    source: str
    place: str
    basis: str

    @property
    def small(self) -> float:
        """Diameter at the small end; 0 where no size belongs to it."""
        return self.large - self.ratio * self.length if self.large else 0.0


def cones() -> list[str]:
    """Names of the standard tapers."""
    return tables.names("tapers", "name")


def cone(name: str) -> Cone:
    """A standard taper by its name. Raises Refused for a name that is not there."""
    row = tables.row("tapers", name=name)
    ratio = row["per_foot"] / 12 if row["per_foot"] else 1 / row["one_in"]
    return Cone(row["name"], ratio, row["large"] or 0.0, row["length"] or 0.0, row["source"], row["place"] or "",
        row["basis"])


def checked(large: float, small: float, length: float) -> None:
    """Raises Refused where two diameters and a length make no taper."""
    if positive(large, "the large end") <= positive(small, "the small end"):
        raise Refused(f"The large end, {large:g} mm, must be larger than the small end, {small:g} mm. Change one of "
            "them.")
    positive(length, "the length of the taper")
