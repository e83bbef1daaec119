"""Bonded joints: what a retaining compound between a shaft and a bore holds."""

from __future__ import annotations

import numpy as np

from ..core.formula import formula
from .quantities import (
    BondStrength,
    FitDiameter,
    GripLength,
    JointForce,
    JointTorque,
    ShaftBore,
    StrengthLeft,
    TurnedDown,
)


@formula(source="strength times area of a cylinder", holds="clean, degreased, cured; the whole length wetted",
    basis="computed")
def bond_force(strength: BondStrength, fit_diameter: FitDiameter, length: GripLength) -> JointForce:
    """Force along the axis at which a bonded joint lets go."""
    return np.pi * strength * fit_diameter * length


@formula(source="strength times area of a cylinder, at half the diameter",
    holds="clean, degreased, cured; the whole length wetted", basis="computed")
def bond_torque(strength: BondStrength, fit_diameter: FitDiameter, length: GripLength) -> JointTorque:
    """Torque at which a bonded joint lets go."""
    return np.pi / 2 * strength * fit_diameter**2 * length


@formula(source="torsion of a round bar, W = π (D⁴ − d⁴) / 16 D, one over the other", basis="computed",
    holds="elastic; without what the shoulder's own notch takes")
def strength_left(fit_diameter: FitDiameter, turned_to: TurnedDown, shaft_bore: ShaftBore) -> StrengthLeft:
    """Share of a shaft's strength in torsion that is left when it is turned down."""
    return (turned_to**4 - shaft_bore**4) / (fit_diameter**4 - shaft_bore**4) * fit_diameter / turned_to
