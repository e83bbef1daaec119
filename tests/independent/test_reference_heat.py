"""Heat against reference computations worked out beforehand by other code. Basis: computed."""

import numpy as np
import pytest

from outside import agrees, claim, source
from springpass import heat

STEEL = {"density": 7850, "specific_heat": 470, "conductivity": 48}


@pytest.mark.parametrize("chip, speed, number, beta, share", [
    (0.02, 30, 0.310553075, 0.6777524581, 0.4744267207),    # slow and fine: half the heat stays
    (0.1, 30, 1.552765375, 0.4331129566, 0.3031790696),
    (0.2, 150, 15.52765375, 0.1213341243, 0.08493388698),   # fast carbide: a tenth
])
@source("reference computation", place="three cuts in steel", basis="method")
def test_share_of_the_cutting_power(chip, speed, number, beta, share):
    agrees(
        "thermal number", heat.thermal_number(7850, 470, speed, chip, 48, 22), number, rel=1e-9, of=heat.thermal_number
    )
    agrees("shear plane share", heat.shear_plane_share(number), beta, rel=1e-9, of=heat.shear_plane_share)
    agrees("heat share", heat.heat_share(chip, speed, **STEEL), share, rel=1e-9, of=heat.heat_share)


@source("reference computation", place="30 m/min, 0.02 mm chip", basis="method")
def test_brass_keeps_more_than_steel():
    """Check value: 30 m/min, 0.02 mm chip: 47 % in steel, 58 % in brass."""
    brass = heat.properties("brass CuZn39Pb3")
    share = heat.heat_share(
        0.02, 30, density=brass.density, specific_heat=brass.specific_heat, conductivity=brass.conductivity
    )
    agrees("share", share, 0.58, abs=0.01, of=heat.heat_share)


@source("reference computation", place="6 mm, 20 K", basis="method")
def test_still_air_round_a_thin_bar():
    """Check value: 6 mm, 20 K above air of 20 °C: 9.4964 W/(m² K), and 1.8977 of radiation at emissivity 0.3."""
    agrees("air coefficient", heat.air_coefficient(20, 6), 9.496375916, rel=1e-6, of=heat.air_coefficient)
    agrees(
        "radiation coefficient",
        heat.radiation_coefficient(0.3, 313.15, 293.15),
        1.897745703,
        rel=1e-6,
        unit="W/(m² K)",
        of=heat.radiation_coefficient,
    )


@pytest.mark.parametrize("speed, h", [(1.0, 30.55253049), (5.0, 69.7162761)])
@source("reference computation", place="12 mm, 20 K, two speeds", basis="method")
def test_air_blast(speed, h):
    """Check value: 12 mm, 20 K, air blast alone. With the still air's lift added the answer is at most 1 % more."""
    film, d = 303.15, 12.0
    nusselt = heat.moving_air(heat.reynolds_number(speed, d, heat.air_viscosity(film)), heat.air_prandtl(film))
    agrees("nusselt", 1000 * nusselt * heat.air_conductivity(film) / d, h, rel=1e-6, of=heat.air_conductivity)
    claim("", h < heat.air_coefficient(20, d, speed=speed) < 1.01 * h, of=heat.air_coefficient)


@pytest.mark.parametrize("diameter, length, material, seconds, within", [
    (12, 40, {}, 1410.710207, 0.002),                             # steel ρ 7850, c 470, k 48, α 11.7e-6, emissivity 0.3
    (25, 50, {}, 5454, 0.002),
    (12, 40, {"material": "aluminium 6082", "emissivity": 0.3}, 1536, 0.01),   # material values differ a little
    (12, 40, {"material": "brass CuZn39Pb3", "emissivity": 0.3}, 1870, 0.015),
])
@source("reference computation", place="four bars in still air", basis="method")
def test_time_until_within_a_micrometre(diameter, length, material, seconds, within):
    """Check values: lying in air of 20 °C, from +25 K until the diameter is within 1 µm (12 mm) of its cold size."""
    agrees("time to size", heat.time_to_size(diameter, length, 25, 0.001, **material), seconds, rel=within,
           of=heat.time_to_size)


@source("reference computation", place="12 x 40 steel", basis="method")
def test_first_time_constant_and_biot():
    """Check value: 12 x 40 steel at +25 K: 995.17 s, Biot 6.0447e-4 with V/A = D/4 (ends not counted)."""
    start = heat.cooling(12, 40, 25)
    thickness = heat.round_volume(12, 40) / heat.round_surface(12, 40)
    agrees(
        "time constant",
        heat.time_constant(7850, 470, thickness, start.coefficient),
        995.1701365,
        rel=0.001,
        unit="s",
        of=heat.time_constant,
    )
    # its own thickness counts the ends: 12·40/(4·40 + 2·12) = 2.608696 in place of 3 mm
    agrees("its own Biot", start.biot, 6.04468413e-4 * 2.608696 / 3, rel=0.002, of=heat.cooling)
    agrees(
        "biot number", heat.biot_number(start.coefficient, 12 / 4, 48), 6.04468413e-4, rel=0.001, of=heat.biot_number
    )


@source("reference computation", place="12 x 40 steel in a chuck", basis="method")
def test_gripped_part_is_not_lumped():
    """Check value: 12 x 40 steel, joint 2000 W/(m² K): about 14.6 K of 25 left at mid-length after a minute."""
    curve = heat.cooling(12, 40, 25, 1.0, joint=2000, place=0.5)
    agrees("", np.interp(60, curve.seconds, curve.rise), 14.6, abs=0.3, of=heat.cooling)
