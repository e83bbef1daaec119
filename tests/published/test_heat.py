"""Heat against published values; each source stands beside its number."""

import numpy as np
import pytest

from springpass import heat, tables
from springpass.formula import solve_for

# ---- growth and reading ---------------------------------------------------------------------------


def test_reference_temperature_is_that_of_iso_1():
    assert heat.REFERENCE == 20.0


@pytest.mark.parametrize("length, expansion, rise, micrometres", [
    (100, 11.7e-6, 1, 1.17),       # low-carbon steel 1020
    (40, 17.2e-6, -3, -2.064),     # stainless 304, colder than 20 °C
    (20, 110e-6, 5, 11.0),         # acetal
])
def test_growth(length, expansion, rise, micrometres):
    assert heat.growth(length, expansion, rise) * 1e3 == pytest.approx(micrometres, abs=1e-6)


def test_bridge_of_the_school_books():
    """OpenStax, College Physics, Example 13.3 (read): main span 1275 m of steel, −15 to 40 °C, 12e-6 /K: 0.84 m."""
    assert heat.growth(1275e3, 12e-6, 55) / 1e3 == pytest.approx(0.84, abs=0.005)


def test_aluminium_part_steel_gauge_both_at_26():
    """50 mm of 6061 (23.6e-6) beside steel (11.5e-6): 3.63 µm, by hand 50 (23.6 − 11.5) 6e-6."""
    assert heat.reading_error(50, 23.6e-6, 6, 11.5e-6, 6) * 1e3 == pytest.approx(3.63, abs=1e-6)


def test_hot_part_cold_gauge():
    """Check value: 12 mm of 11.7e-6, 8 K warmer than a gauge at 20 °C: 1.1232 µm."""
    assert heat.reading_error(12, 11.7e-6, 8, 11.5e-6, 0) * 1e3 == pytest.approx(1.1232, rel=1e-6)


def test_reading_wanted_is_turned_round():
    """By hand: 42 mm aluminium at 30 °C, gauge at 22 °C: 42 + 42 (23.4·10 − 11.5·2)e-6 = 42.008862."""
    wanted = heat.reading_wanted(42, 23.4e-6, 10, 11.5e-6, 2)
    assert wanted == pytest.approx(42.008862, abs=1e-9)
    assert solve_for("part_rise", heat.reading_wanted, 42.008862, size=42, part_expansion=23.4e-6, gauge_expansion=11.5e-6,
                     gauge_rise=2) == pytest.approx(10, abs=1e-6)


def test_uncertainty_of_the_gum_example():
    """JCGM 100 (GUM) H.1: 50 mm block, θ = −0.1 °C, u(δα) = 0.58e-6, u(δθ) = 0.029 °C, u(θ) = 0.41 °C give

    2.9 nm, 16.6 nm and, of second order, 11.7 nm (the values of its table and text, from memory).
    """
    parts = [heat.reading_doubt(50, 11.5e-6, -0.1, 0.58e-6, 0, 0), heat.reading_doubt(50, 11.5e-6, 0, 0, 0, 0.029),
             heat.reading_doubt(50, 11.5e-6, 0, 0.58e-6, 0.41, 0)]
    assert np.array(parts) * 1e6 == pytest.approx([2.9, 16.7, 11.9], abs=0.25)
    together = heat.reading_doubt(50, 11.5e-6, -0.1, 0.58e-6, 0.41, 0.029)
    assert together == pytest.approx(np.sqrt(np.sum(np.square(parts))), rel=1e-12)


def test_clearance_by_hand():
    """42 mm, hole of aluminium 23.4e-6, bearing of steel 12e-6, from 20 to −15 °C: 42·11.4e-6·35 = 16.758 µm less."""
    assert heat.clearance_at(0.02, 42, 23.4e-6, 12e-6, -35) * 1e3 == pytest.approx(20 - 16.758, abs=1e-9)


def test_warming_by_hand():
    """12 µm interference and 15 µm of play on 42 mm of 23.4e-6: 0.027/(42·23.4e-6) = 27.47 K."""
    assert heat.warming_needed(0.012, 0.015, 42, 23.4e-6) == pytest.approx(27.473, abs=1e-3)


# ---- the heat of the cut --------------------------------------------------------------------------

STEEL = {"density": 7850, "specific_heat": 470, "conductivity": 48}


@pytest.mark.parametrize("number, share", [(0.1, 0.85), (0.5, 0.6053604985), (5, 0.2553604985)])
def test_share_of_the_shear_plane(number, share):
    """Boothroyd's fit as used by Oxley (from memory), worked by hand from the logarithm."""
    assert heat.shear_plane_share(number) == pytest.approx(share, rel=1e-9)


@pytest.mark.parametrize("chip, speed, number, beta, share", [
    (0.02, 30, 0.310553075, 0.6777524581, 0.4744267207),    # slow and fine: half the heat stays
    (0.1, 30, 1.552765375, 0.4331129566, 0.3031790696),
    (0.2, 150, 15.52765375, 0.1213341243, 0.08493388698),   # fast carbide: a tenth
])
def test_share_of_the_cutting_power(chip, speed, number, beta, share):
    assert heat.thermal_number(7850, 470, speed, chip, 48, 22) == pytest.approx(number, rel=1e-9)
    assert heat.shear_plane_share(number) == pytest.approx(beta, rel=1e-9)
    assert heat.heat_share(chip, speed, **STEEL) == pytest.approx(share, rel=1e-9)


def test_fast_heavy_cuts_leave_about_a_tenth():
    """Course notes after Krar (read): chip and coolant carry off 75 to 80 %, work and tool 10 % each."""
    assert 0.05 < heat.heat_share(0.2, 150, flank_power=0.06, **STEEL) < 0.15


def test_brass_keeps_more_than_steel():
    """Check value: 30 m/min, 0.02 mm chip: 47 % in steel, 58 % in brass."""
    brass = heat.properties("brass CuZn39Pb3")
    share = heat.heat_share(0.02, 30, density=brass.density, specific_heat=brass.specific_heat, conductivity=brass.conductivity)
    assert share == pytest.approx(0.58, abs=0.01)


def test_rise_of_one_pass_by_hand():
    """47.44 % of 2745 MPa over 276.9 mm³ into 4524 mm³ of steel: 0.4744·2745·276.9/(7.85e-3·470·4524·1e-3)... = 21.6 K."""
    assert heat.pass_rise(0.4744, 2745, 276.9, 7850, 470, 4523.9) == pytest.approx(21.6, abs=0.05)


def test_kept_while_cutting_by_hand():
    """A pass as long as the time constant: 1 − 1/e = 63 % is still there; a very short one keeps all."""
    assert heat.kept_while_cutting(300.0, 300.0) == pytest.approx(0.632121, abs=1e-6)
    assert heat.kept_while_cutting(0.3, 300.0) == pytest.approx(1.0, abs=1e-3)


# ---- cooling --------------------------------------------------------------------------------------


def test_churchill_chu_textbook_example():
    """Bergman and others, Introduction to Heat Transfer, 6th ed., Example 9.2, as quoted by the ht library: Nu 139.135."""
    assert heat.still_air(0.69 * 2.63e9, 0.69) == pytest.approx(139.1349397, rel=1e-9)


def test_churchill_bernstein_textbook_example():
    """The same book, Example 7.3, Re 6071, Pr 0.7, as quoted by the ht library: Nu 40.637."""
    assert heat.moving_air(6071, 0.7) == pytest.approx(40.63708594, rel=1e-9)


def test_still_air_round_a_thin_bar():
    """Check value: 6 mm, 20 K above air of 20 °C: 9.4964 W/(m² K), and 1.8977 of radiation at emissivity 0.3."""
    assert heat.air_coefficient(20, 6) == pytest.approx(9.496375916, rel=1e-6)
    assert heat.radiation_coefficient(0.3, 313.15, 293.15) == pytest.approx(1.897745703, rel=1e-6)


@pytest.mark.parametrize("speed, h", [(1.0, 30.55253049), (5.0, 69.7162761)])
def test_air_blast(speed, h):
    """Check value: 12 mm, 20 K, air blast alone. With the still air's lift added the answer is at most 1 % more."""
    film, d = 303.15, 12.0
    nusselt = heat.moving_air(heat.reynolds_number(speed, d, heat.air_viscosity(film)), heat.air_prandtl(film))
    assert 1000 * nusselt * heat.air_conductivity(film) / d == pytest.approx(h, rel=1e-6)
    assert h < heat.air_coefficient(20, d, speed=speed) < 1.01 * h


# Çengel, Heat and Mass Transfer, Table A-15 (read): °C, W/(m K), 1e-6 m²/s, Pr
TABLE_A15 = [(-20, 0.02211, 11.69, 0.7408), (0, 0.02364, 13.38, 0.7362), (20, 0.02514, 15.16, 0.7309),
             (60, 0.02808, 18.96, 0.7202), (100, 0.03095, 23.06, 0.7111), (140, 0.03374, 27.45, 0.7041)]


@pytest.mark.parametrize("celsius, conductivity, viscosity, prandtl", TABLE_A15)
def test_air_against_a_handbook_table(celsius, conductivity, viscosity, prandtl):
    """This table's conductivity is some 2.5 % under that of other handbooks, and its Pr as much over."""
    film = celsius + 273.15
    assert heat.air_viscosity(film) == pytest.approx(viscosity, rel=0.01)
    assert heat.air_conductivity(film) == pytest.approx(conductivity, rel=0.03)
    assert heat.air_prandtl(film) == pytest.approx(prandtl, rel=0.04)


def test_thermocouple_of_the_textbook():
    """Incropera, Fundamentals of Heat and Mass Transfer, Example 5.1 (read in an open companion): a bead of 0.706 mm,

    h 400, ρ 8500, c 400: time constant 1 s; from 25 to 199 °C in gas of 200 °C: 5.2 s; Bi about 2.4e-3 (k 20).
    """
    bead = 0.706 / 6
    tau = heat.time_constant(8500, 400, bead, 400)
    assert tau == pytest.approx(1.0, abs=0.005)
    assert heat.wait_at_one_coefficient(tau, 175, 1) == pytest.approx(5.16, abs=0.03)
    assert heat.biot_number(400, bead, 20) == pytest.approx(2.35e-3, rel=0.01)


def test_still_air_law_of_the_handbook():
    """Bejan and Kraus, Heat Transfer Handbook, eq. 3.286 (read): θ/θ0 = [1 + n h0 A t/(ρ V c)]^(−1/n).

    By hand for n = 1/4 and t = 4 time constants: 2⁻⁴ = 1/16.
    """
    assert heat.wait_in_still_air(1000, 16, 1) == pytest.approx(4000, rel=1e-12)


@pytest.mark.parametrize("diameter, length, material, seconds, within", [
    (12, 40, {}, 1410.710207, 0.002),                             # steel ρ 7850, c 470, k 48, α 11.7e-6, emissivity 0.3
    (25, 50, {}, 5454, 0.002),
    (12, 40, {"material": "aluminium 6082", "emissivity": 0.3}, 1536, 0.01),   # material values differ a little
    (12, 40, {"material": "brass CuZn39Pb3", "emissivity": 0.3}, 1870, 0.015),
])
def test_time_until_within_a_micrometre(diameter, length, material, seconds, within):
    """Check values: lying in air of 20 °C, from +25 K until the diameter is within 1 µm (12 mm) of its cold size."""
    assert heat.time_to_size(diameter, length, 25, 0.001, **material) == pytest.approx(seconds, rel=within)


def test_first_time_constant_and_biot():
    """Check value: 12 x 40 steel at +25 K: 995.17 s, Biot 6.0447e-4 with V/A = D/4 (ends not counted)."""
    start = heat.cooling(12, 40, 25)
    thickness = heat.round_volume(12, 40) / heat.round_surface(12, 40)
    assert heat.time_constant(7850, 470, thickness, start.coefficient) == pytest.approx(995.1701365, rel=0.001)
    assert heat.biot_number(start.coefficient, 12 / 4, 48) == pytest.approx(6.04468413e-4, rel=0.001)


def test_gripped_part_is_not_lumped():
    """Check value: 12 x 40 steel, joint 2000 W/(m² K): about 14.6 K of 25 left at mid-length after a minute."""
    curve = heat.cooling(12, 40, 25, 1.0, joint=2000, place=0.5)
    assert np.interp(60, curve.seconds, curve.rise) == pytest.approx(14.6, abs=0.3)


def test_common_practice_is_marked_as_such():
    """A standard bearing is not made hotter than some 120 °C (two fitting notes; common practice)."""
    limit = heat.rule("bearing hottest")
    assert limit.basis == "common practice" and 110 <= limit.value <= 125
    assert tables.fact("heat_rules", rule="flank share").basis == "common practice"
