"""How true do two ends run to each other? Eccentricities as arrows, and what each way of holding adds.

The surface that was turned first has an axis; the one turned now has the spindle's. The distance of the two axes is an
eccentricity, an arrow with a length and a direction, and an indicator that stands still shows twice its length over one
revolution: the run-out. Lengths mm; a tilt is mm of run-out for each mm along the axis.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from ..core import tables
from ..core.formula import formula
from ..core.quantity import Refused, positive
from ..core.spread import Likely, about, between, likely, odds, sample
from .quantities import (
    AxialSwing,
    AxisTilt,
    Eccentricity,
    EndDistance,
    FaceDiameter,
    FirstRunOut,
    InnerDiameter,
    InnerSwing,
    MarkAngle,
    OuterDiameter,
    OuterSwing,
    RunOut,
    SecondRunOut,
)

TABLE = "true_running_ways"


@formula(source="plane geometry: a circle turned about a point beside its centre", basis="computed",
    holds="round surface; indicator square to it")
def swing(eccentricity: Eccentricity) -> RunOut:
    """What the indicator shows of an axis that lies to the side: once towards it, once away."""
    return 2 * eccentricity


@formula(source="law of cosines for the sum of two arrows", basis="computed",
    holds="both high spots are marked, so the angle between them is known")
def marked_run_out(first: FirstRunOut, second: SecondRunOut, angle: MarkAngle) -> RunOut:
    """Run-out of two causes together when the high spots are marked: at 180 degrees they subtract."""
    return np.sqrt((first + second * np.cos(np.radians(angle)))**2 + (second * np.sin(np.radians(angle)))**2)


@formula(source="mean square of the sum of two arrows with independent directions", basis="computed",
    holds="many parts, directions left to chance; one part may be anywhere from the difference to the sum")
def chance_run_out(first: FirstRunOut, second: SecondRunOut) -> RunOut:
    """Run-out of two causes together, root mean square over all directions."""
    return np.sqrt(first**2 + second**2)


@formula(source="plane geometry: two axes at an angle", basis="computed",
    holds="small angle, axes that meet at the jaws")
def tilt_run_out(tilt: AxisTilt, distance: EndDistance) -> RunOut:
    """Run-out that an angle between the axes makes at a distance from where they meet."""
    return 2 * tilt * distance


@formula(source="plane geometry: a plane square to one axis turns about another", basis="computed",
    holds="flat face, small angle, spindle without axial movement")
def face_run_out(tilt: AxisTilt, diameter: FaceDiameter) -> RunOut:
    """Axial swing of an indicator on a face that is not square to the axis it turns about."""
    return tilt * diameter


@formula(source="plane geometry: a straight line through two readings", basis="computed",
    holds="both parts of the swing in step, the same high spot at both diameters")
def axial_swing(outer: OuterSwing, inner: InnerSwing, outer_diameter: OuterDiameter,
        inner_diameter: InnerDiameter) -> AxialSwing:
    """What is left of a face's swing at no diameter: not a lean, but a spindle that moved along its axis."""
    return (inner * outer_diameter - outer * inner_diameter) / (outer_diameter - inner_diameter)


# ---- by way of holding ----------------------------------------------------------------------------------------------


def ways() -> tuple[str, ...]:
    """The ways of holding that the table knows, in its order."""
    return tuple(tables.names(TABLE, "way"))


@dataclass(frozen=True)
class TurnedRound:
    """How true a second end runs to the first, by one way of holding; mm."""

    way: str
    distance: float              # from the jaws to the end turned now
    run_out: Likely              # full swing of an indicator there, the first end's axis held true
    at_grip: Likely              # the same close to the jaws
    samples: np.ndarray          # of run_out
    tilts: np.ndarray            # angle between the two axes, mm for each mm: a face's run-out over its diameter
    source: str
    basis: str

    @property
    def eccentricity(self) -> Likely:
        """Distance of the two axes there: half of the run-out. A coaxiality tolerance is drawn as a diameter, so it is
        compared with the run-out.
        """
        return Likely(self.run_out.value / 2, self.run_out.low / 2, self.run_out.high / 2)

    def chance(self, allowed: float) -> float:
        """Share of parts that run within `allowed` mm."""
        return odds(self.samples <= allowed)


@cache
def _drawn(way: str) -> dict[str, np.ndarray]:
    """Samples of a way's grip, tilt and the angle between the two."""
    grip, tilt = (tables.fact(TABLE, way=way, what=what).range for what in ("grip", "tilt"))
    return sample(grip=grip, tilt=tilt, angle=between(0, 180))


def turned_round(way: str = "three jaws", distance: float = 0.0, measured: float | None = None,
        reading: float = 0.002) -> TurnedRound:
    """Run-out of the end turned now to the surface it is gripped by, `distance` mm from the jaws, with its 90 % range.

    The grip's eccentricity and the tilt come from the table, each in a direction of its own. measured: the run-out
    read at the gripped surface, in mm; it takes the table's place for the grip, known to plus or minus `reading`.
    Raises Refused for a way that the table does not know, or a length below zero.
    """
    if way not in ways():
        raise Refused(f"There is no way of holding called “{way}”. Choose one of: {', '.join(ways())}.")
    distance = positive(distance, "distance from the jaws", zero=True)
    drawn, fact = _drawn(way), tables.fact(TABLE, way=way, what="grip")
    grips, tilts = drawn["grip"], drawn["tilt"] / 2
    if measured is not None:
        read = about(positive(measured, "run-out that was read", zero=True),
            positive(reading, "uncertainty of reading"))
        grips = np.abs(sample(read=read)["read"])
    samples = np.asarray(marked_run_out(grips, tilt_run_out(tilts, distance), drawn["angle"]))
    return TurnedRound(way, distance, likely(samples), likely(grips), samples, tilts, fact.source,
        fact.basis)
