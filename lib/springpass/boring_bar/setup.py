"""A boring job as it is set up: work, bar, holder and cut, and what was measured of them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from ..core import tables
from ..core.quantity import Refused, positive
from ..cutting import forces
from . import bending


@dataclass(frozen=True)
class Setup:
    """A boring job: work, bar, holder, cut. mm, m/min, degrees; `measured_…` replace the table's range."""

    stickout: float = 40.0
    bar_diameter: float = 8.0
    bore: float = 12.0
    tolerance: float = 0.018
    material: str = "medium-carbon steel"
    bar_material: str = "steel"
    neck_length: float = 0.0
    neck_diameter: float = 6.0
    holder: str = "two screws in a block"
    infeed: float = 0.1
    feed: float = 0.05
    nose_radius: float = 0.4
    least_chip: float = 0.004
    passes: int = 2
    speed: float = 40.0
    entering_angle: float = tables.assumed("entering angle of a boring bar").value
    tip_offset: float | None = None  # from the bar's axis; 0.6 bar diameters where left out
    tip_mass: float = 0.0  # kg
    uneven: float = 0.0  # of the bore before this cut, on diameter
    dial_out: bool = True  # measured after a like cut, and the remainder dialled in
    measured_stiffness: tuple[float, float] | None = None  # N/mm: value, standard error
    measured_rotation: tuple[float, float] | None = None  # N mm/rad
    measured_damping: tuple[float, float] | None = None  # share of critical
    measured_frequency: float | None = None  # Hz
    depth: float = 0.0  # of the bore; 0 where it is not said
    blind: bool = False
    tip_height: float = 0.0  # above the spindle axis
    clearance: float = 7.0  # degrees

    @property
    def offset(self) -> float:
        return 0.6 * self.bar_diameter if self.tip_offset is None else self.tip_offset

    def checked(self) -> Setup:
        """Itself, if every value makes sense together. Raises Refused with a sentence."""
        numbers = {}
        whole = ("stickout", "bar_diameter", "bore", "tolerance", "infeed", "feed", "nose_radius", "speed")
        zero = ("neck_length", "least_chip", "uneven", "tip_mass", "depth")
        for name in (*whole, "neck_length", "least_chip", "depth"):
            if isinstance(getattr(self, name), (list, tuple, np.ndarray)):
                raise Refused(f"{name.replace('_', ' ')} must be one number; it was {getattr(self, name)!r}.")
        for name in whole:
            unit = "m/min" if name == "speed" else "mm"
            numbers[name] = float(positive(getattr(self, name), name.replace("_", " "), unit))
        for name in zero:
            unit = "kg" if name == "tip_mass" else "mm"
            numbers[name] = float(positive(getattr(self, name), name.replace("_", " "), unit, zero=True))
        changed: dict[str, Any] = {**numbers}
        return replace(self, **changed)._together()

    def _together(self) -> Setup:
        if self.bar_diameter >= self.bore:
            raise Refused(f"The bar ({self.bar_diameter:g} mm) is thicker than the bore ({self.bore:g} mm) or just as "
                "thick. Take a bar well under the bore, some three quarters of it at most.")
        bending.make_bar(self.stickout, self.bar_diameter, self.neck_length, self.neck_diameter)
        forces.kienzle(self.material)
        tables.fact("bar_materials", bar_material=self.bar_material, property="E")
        tables.fact("holders", holder=self.holder, property="damping")
        if abs(self.tip_height) >= self.bore / 2:
            raise Refused(f"The tip stands {abs(self.tip_height):g} mm off centre, outside a bore of {self.bore:g} mm.")
        if self.infeed >= self.bore / 2:
            raise Refused(f"An infeed of {self.infeed:g} mm is more than the bore's radius. Take less.")
        if isinstance(self.passes, bool) or self.passes != int(self.passes) or not 1 <= self.passes <= 100:
            raise Refused(f"The number of passes must be a whole number from 1 to 100; it was {self.passes!r}.")
        return self
