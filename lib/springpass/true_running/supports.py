"""What an indicator shows of a part that does not run true, and what it hides: lobes, tilt, and the vee below."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..core.formula import formula
from ..core.quantity import Refused, positive, quantity_of
from .quantities import Lobes, Vee, VeeRise

SPINDLE, VEES = "on the lathe or between centres", "first end in 90° vee blocks"
SUPPORTS = (SPINDLE, VEES)
RIGHT_VEE = 90.0             # degrees: what the name of the support says
TURN = np.arange(0.0, 360.0, 1.0)


@formula(source="plane geometry: two flat sides below; the lobe's height at each contact over the sine of the flank",
    basis="computed", holds="lobes small beside the radius, both sides alike")
def vee_rise(lobes: Lobes, vee: Vee) -> VeeRise:
    """How far a lobed journal lifts its own axis in a vee, in lobe heights: up and down, once a lobe."""
    return np.cos(lobes * np.radians(90 + vee / 2)) / np.sin(np.radians(vee / 2))


@dataclass(frozen=True)
class Shown:
    """What the indicator shows in two planes over one revolution, and what is behind it; mm."""

    near: np.ndarray             # at every angle of TURN
    far: np.ndarray
    near_swing: float
    far_swing: float
    near_true: float             # run-out of the axis alone, twice the eccentricity, from the once-a-revolution part
    far_true: float
    form: float                  # full swing of what is left at the near plane: lobes, or the vee's lift
    across: float                # how much a two-point gauge varies at the near plane
    lean: float                  # angle between the axes, mm for each mm


def shown(eccentricity: float, tilt: float, direction: float, distance: float, lobe: float, lobes: int,
        support: str = SPINDLE) -> Shown:
    """Readings in two planes, `distance` apart, over one revolution.

    eccentricity: of the axis at the near plane, mm; tilt: angle between the axes, mm for each mm, pointing `direction`
    degrees away from the eccentricity. lobe: height of a lobe over the mean radius. On the lathe the lobes are those of
    the surface under the indicator; in vees they are those of the end that lies in them, and the surface under the
    indicator is round. Raises Refused for a support that is not known or numbers that cannot be.
    """
    if support not in SUPPORTS:
        raise Refused(f"“{support}” is no support that is known here. Choose one of: {', '.join(SUPPORTS)}.")
    lobes = quantity_of(Lobes).check(lobes, "number of lobes")
    lobe = positive(lobe, "height of the lobes", zero=True)
    turn = np.radians(TURN)
    near_axis = positive(eccentricity, "eccentricity", zero=True) + 0j
    far_axis = near_axis + positive(tilt, "tilt", "1", zero=True) * positive(distance, "distance", zero=True) * np.exp(
        1j * np.radians(direction))
    seen_lobe = lobe * (float(vee_rise(lobes, RIGHT_VEE)) if support == VEES else 1.0)
    wave = seen_lobe * np.cos(lobes * turn)
    near, far = (np.real(axis * np.exp(-1j * turn)) + wave for axis in (near_axis, far_axis))
    near_true, far_true = (4 * abs(np.mean(curve * np.exp(1j * turn))) for curve in (near, far))
    across = 0.0 if support == VEES else float(np.ptp(lobe * (np.cos(lobes * turn) + np.cos(lobes * (turn + np.pi)))))
    return Shown(near, far, float(np.ptp(near)), float(np.ptp(far)), float(near_true), float(far_true),
        float(np.ptp(wave)), across, float(tilt))
