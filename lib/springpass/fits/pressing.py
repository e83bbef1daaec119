"""Press and shrink: how hard an interference fit grips, what it does to both parts, how hot to join it.

Two thick rings, elastic, long enough that their ends do not matter (Lamé). Each
gives a little; the pressure is what makes the two give as much as the shaft was
too large. Then friction holds, the outer part is pulled round its bore, and the
inner one closes: a bush pressed home is smaller inside than it was on the bench.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from ..core.formula import formula
from ..core.quantity import Numbers, Refused, positive
from ..heat import warming_needed
from .quantities import (
    DiameterChange,
    FitDiameter,
    GripLength,
    HubGive,
    HubModulus,
    HubOutside,
    HubPeaks,
    HubPoisson,
    HubStress,
    JointForce,
    JointFriction,
    JointPressure,
    JointTorque,
    PeaksLost,
    PressInterference,
    ShaftBore,
    ShaftGive,
    ShaftModulus,
    ShaftPeaks,
    ShaftPoisson,
)

LAME = "Lamé's thick ring, as in Roark's Formulas for Stress and Strain, thick-walled vessels (from memory; re-derived)"
LONG = "round parts, elastic, plane stress; ends and steps disturb it within about a wall's thickness"


@formula(source=LAME, holds=LONG, basis="computed")
def hub_give(
    fit_diameter: FitDiameter, hub_outside: HubOutside, hub_modulus: HubModulus, hub_poisson: HubPoisson
) -> HubGive:
    """How much the outer part's bore opens, for each mm of diameter and each MPa."""
    return ((hub_outside**2 + fit_diameter**2) / (hub_outside**2 - fit_diameter**2) + hub_poisson) / hub_modulus


@formula(source=LAME, holds=LONG, basis="computed")
def shaft_give(fit_diameter: FitDiameter, shaft_bore: ShaftBore, shaft_modulus: ShaftModulus,
        shaft_poisson: ShaftPoisson) -> ShaftGive:
    """How much the inner part's outside shrinks, for each mm of diameter and each MPa."""
    return ((fit_diameter**2 + shaft_bore**2) / (fit_diameter**2 - shaft_bore**2) - shaft_poisson) / shaft_modulus


@formula(source=LAME, holds=LONG, basis="computed")
def grip_pressure(interference: PressInterference, fit_diameter: FitDiameter, hub_outside: HubOutside,
        shaft_bore: ShaftBore, hub_modulus: HubModulus, hub_poisson: HubPoisson, shaft_modulus: ShaftModulus,
        shaft_poisson: ShaftPoisson) -> JointPressure:
    """Pressure between the parts: together they must deflect by the interference."""
    return interference / (fit_diameter * (hub_give(fit_diameter, hub_outside, hub_modulus, hub_poisson)
        + shaft_give(fit_diameter, shaft_bore, shaft_modulus, shaft_poisson)))


@formula(source="friction on a cylinder: pressure times area times the grip coefficient, at half the diameter",
    holds="even pressure along the joint; the coefficient is known to a factor of about 1.5", basis="computed")
def holding_torque(
    pressure: JointPressure, friction: JointFriction, fit_diameter: FitDiameter, length: GripLength
) -> JointTorque:
    """Torque at which the joint slips."""
    return np.pi / 2 * friction * pressure * fit_diameter**2 * length


@formula(source="friction on a cylinder: pressure times area times the grip coefficient",
    holds="even pressure along the joint; the coefficient is known to a factor of about 1.5", basis="computed")
def holding_force(
    pressure: JointPressure, friction: JointFriction, fit_diameter: FitDiameter, length: GripLength
) -> JointForce:
    """Force along the axis at which the joint slips, or that presses it home at the end of the stroke."""
    return np.pi * friction * pressure * fit_diameter * length


@formula(source=LAME, holds=LONG, basis="computed")
def hub_stress(pressure: JointPressure, fit_diameter: FitDiameter, hub_outside: HubOutside) -> HubStress:
    """Tension round the bore of the outer part, where it is greatest."""
    return pressure * (hub_outside**2 + fit_diameter**2) / (hub_outside**2 - fit_diameter**2)


@formula(source="Lamé's stresses at the bore and von Mises' rule, plane stress (re-derived)", holds=LONG,
    basis="computed")
def hub_effort(pressure: JointPressure, fit_diameter: FitDiameter, hub_outside: HubOutside) -> HubStress:
    """Stress at the outer part's bore to set against its yield strength."""
    return pressure * np.sqrt(3 * hub_outside**4 + fit_diameter**4) / (hub_outside**2 - fit_diameter**2)


@formula(source="Lamé's stresses and von Mises' rule, plane stress (re-derived)",
    holds=LONG + "; a hollow part is worst at its bore, a solid one the same all through", basis="computed")
def shaft_effort(pressure: JointPressure, fit_diameter: FitDiameter, shaft_bore: ShaftBore) -> HubStress:
    """Stress in the inner part to set against its yield strength."""
    return pressure * np.where(shaft_bore > 0, 2 * fit_diameter**2 / (fit_diameter**2 - shaft_bore**2), 1)


@formula(source=LAME, holds=LONG, basis="computed")
def outside_growth(
    pressure: JointPressure, fit_diameter: FitDiameter, hub_outside: HubOutside, hub_modulus: HubModulus
) -> DiameterChange:
    """How much the outer part's outside grows."""
    return 2 * pressure * fit_diameter**2 * hub_outside / (hub_modulus * (hub_outside**2 - fit_diameter**2))


@formula(source=LAME, holds=LONG, basis="computed")
def bore_closing(
    pressure: JointPressure, fit_diameter: FitDiameter, shaft_bore: ShaftBore, shaft_modulus: ShaftModulus
) -> DiameterChange:
    """How much the inner part's bore closes."""
    return 2 * pressure * fit_diameter**2 * shaft_bore / (shaft_modulus * (fit_diameter**2 - shaft_bore**2))


@formula(source="DIN 7190, loss by smoothing: 0.8 of the two peak to valley heights (from memory)",
    holds="turned, ground or reamed joints", basis="memory")
def peaks_lost(hub_peaks: HubPeaks, shaft_peaks: ShaftPeaks) -> PeaksLost:
    """Interference that is lost because the peaks of both surfaces are pressed flat."""
    return 0.8 * (hub_peaks + shaft_peaks)


# ---- a whole joint --------------------------------------------------------------------------------

@dataclass(frozen=True)
class Joint:
    """What an interference fit does; numbers or arrays, library units."""

    interference: Any     # that acts, after the peaks are flattened, mm on diameter
    pressure: Any         # MPa
    torque: Any           # N mm
    force: Any            # N
    hub_stress: Any       # MPa, round the bore of the outer part
    hub_effort: Any       # MPa, von Mises, to set against the outer part's yield
    shaft_effort: Any     # MPa, the same for the inner part
    outside_growth: Any   # mm on diameter
    bore_closing: Any     # mm on diameter; zero for a solid inner part
    rise: Any             # K, to drop the warmed outer part over
    share: Any            # how far the nearer part is to yielding: 1 is at it (0 where no yield was given)


def joint(interference: Numbers, fit_diameter: Numbers, hub_outside: Numbers, length: Numbers, hub_modulus: Any = 205e3,
        shaft_modulus: Any = 205e3, hub_poisson: Any = 0.29, shaft_poisson: Any = 0.29, shaft_bore: Any = 0.0,
        friction: Any = 0.12, hub_expansion: Any = 11.7e-6, ease: Any = 0.02, hub_peaks: Any = 0.0,
        shaft_peaks: Any = 0.0, hub_yield: Any = np.inf, shaft_yield: Any = np.inf) -> Joint:
    """Pressure, grip, stress, closing and joining temperature of an interference fit.

    interference: shaft larger than hole before joining, mm on diameter (negative or zero: it does not grip); lengths
    in mm, moduli and yield in MPa, expansion in 1/K. Everything may be an array. Elastic: where `share` passes 1 a part
    yields and grips less than this says. Raises Refused.
    """
    d, outside = (positive(fit_diameter, "the diameter of the joint"),
        positive(hub_outside, "the outside of the outer part"))
    bore = positive(shaft_bore, "the bore of the inner part", zero=True)
    if (np.asarray(outside) <= d).any():
        raise Refused("The outer part's outside must be larger than the diameter of the joint. Check the two sizes.")
    if (np.asarray(bore) >= d).any():
        raise Refused("The inner part's bore must be smaller than the diameter of the joint. Check the two sizes.")
    length = positive(length, "the length of the joint")
    hub_modulus, shaft_modulus = positive(hub_modulus, "stiffness", "MPa"), positive(shaft_modulus, "stiffness", "MPa")
    friction = positive(friction, "the grip coefficient", "", zero=True)
    hub_expansion, ease = positive(hub_expansion, "the expansion", "1/K"), positive(ease, "the ease", zero=True)
    for name, value in (("interference", interference), ("Poisson's ratio", hub_poisson),
            ("Poisson's ratio", shaft_poisson)):
        if not np.isfinite(np.asarray(value, dtype=float)).all():
            raise Refused(f"The {name} must be a number; it was {value}.")
    lost = peaks_lost(positive(hub_peaks, "roughness", zero=True), positive(shaft_peaks, "roughness", zero=True))
    acting = np.maximum(np.asarray(interference, dtype=float) - lost, 0.0)
    p = grip_pressure(acting, d, outside, bore, hub_modulus, hub_poisson, shaft_modulus, shaft_poisson)
    hub_yield = positive(hub_yield, "yield strength", "MPa", infinite=True)
    shaft_yield = positive(shaft_yield, "yield strength", "MPa", infinite=True)
    effort, inner_effort = hub_effort(p, d, outside), shaft_effort(p, d, bore)
    return Joint(acting, p, holding_torque(p, friction, d, length), holding_force(p, friction, d, length),
        hub_stress(p, d, outside), effort, inner_effort, outside_growth(p, d, outside, hub_modulus),
        bore_closing(p, d, bore, shaft_modulus),
        np.maximum(warming_needed(np.asarray(interference, dtype=float), ease, d, hub_expansion), 0.0),
        np.maximum(effort / hub_yield, inner_effort / shaft_yield))


def stresses(
    radius: Numbers, pressure: Numbers, fit_diameter: float, hub_outside: float, shaft_bore: float = 0.0
) -> tuple[Any, Any]:
    """Hoop and radial stress, MPa (pull is positive), at a radius in mm, in either part of a joint. Lamé."""
    r, a, b, c = np.asarray(radius, dtype=float), shaft_bore / 2, fit_diameter / 2, hub_outside / 2
    if not 0 <= a < b < c:
        raise Refused(
            "The bore must be smaller than the joint, and the joint smaller than the outside. Check the three "
            "diameters.")
    outer = b**2 / (c**2 - b**2)
    inner = b**2 / (b**2 - a**2)
    with np.errstate(all="ignore"):
        far, near = c**2 / r**2, np.where(r > 0, a**2 / r**2, 0.0)
    hoop = np.where(r >= b, outer * (1 + far), -inner * (1 + near))
    radial = np.where(r >= b, outer * (1 - far), -inner * (1 - near))
    return pressure * hoop, pressure * radial
