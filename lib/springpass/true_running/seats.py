"""How true a bearing seat and its shoulder must run, by published tables, and how often a way of holding gives it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .. import fits
from ..core import tables
from ..core.quantity import Refused, positive
from ..core.spread import Likely, likely, odds
from .vectors import face_run_out, turned_round

FORM = "bearing_seat_form"
CLASSES = tuple(str(name) for name in tables.names(FORM, "class"))
DEMANDS = ("usual", "special")


def seat_limits(diameter: float, precision: str = "Normal", demands: str = "usual") -> tuple[float, float]:
    """Total radial run-out of a bearing seat, and total axial run-out of the shoulder beside it, mm. Raises Refused."""
    for given, known, name in ((precision, CLASSES, "class of bearing"), (demands, DEMANDS, "demand")):
        if given not in known:
            raise Refused(f"There is no {name} called “{given}” here. Choose one of: {', '.join(known)}.")
    found = []
    for what in ("radial run-out", "axial run-out"):
        row = tables.row(FORM, **{"class": precision, "demands": demands, "what": what})
        found.append(float(fits.grade(positive(diameter, "diameter of the seat"), int(row["grade"])) * row["share"]))
    return found[0], found[1]


@dataclass(frozen=True)
class SeatByWay:
    """A second bearing seat, turned after the part was turned round, beside what the table allows; mm."""

    radial: float                # allowed
    axial: float
    run_out: Likely              # of the seat to the first one
    face: Likely                 # of its shoulder
    chance_radial: float
    chance_face: float
    chance: float                # of both


def seat_by_way(way: str = "three jaws", diameter: float = 20.0, shoulder: float = 26.0, distance: float = 60.0,
        precision: str = "Normal", demands: str = "usual") -> SeatByWay:
    """Chance that a seat and its shoulder, turned at the second end, run true to the first within the limits."""
    if positive(shoulder, "diameter of the shoulder") <= diameter:
        raise Refused(f"The shoulder, {shoulder:g} mm, must be larger than the seat, {diameter:g} mm.")
    radial, axial = seat_limits(diameter, precision, demands)
    found = turned_round(way, distance)
    face = np.asarray(face_run_out(found.tilts, shoulder))
    return SeatByWay(radial, axial, found.run_out, likely(face), found.chance(radial), odds(face <= axial),
        odds((found.samples <= radial) & (face <= axial)))
