"""Textbooks and handbooks of heat transfer; each source stands beside its number."""

import pytest

from outside import agrees, claim, source
from springpass import heat


@source("OpenStax, College Physics", place="Example 13.3", basis="read")
def test_bridge_of_the_school_books():
    """OpenStax, College Physics, Example 13.3 (read): main span 1275 m of steel, −15 to 40 °C, 12e-6 /K: 0.84 m."""
    agrees("growth", heat.growth(1275e3, 12e-6, 55) / 1e3, 0.84, abs=0.005, of=heat.growth)


@pytest.mark.parametrize("number, share", [(0.1, 0.85), (0.5, 0.6053604985), (5, 0.2553604985)])
@source(
    "Boothroyd's fit as used by Oxley, worked by hand from the logarithm", place="three thermal numbers", basis="memory"
)
def test_share_of_the_shear_plane(number, share):
    """Boothroyd's fit as used by Oxley (from memory), worked by hand from the logarithm."""
    agrees("shear plane share", heat.shear_plane_share(number), share, rel=1e-9, of=heat.shear_plane_share)


STEEL = {"density": 7850, "specific_heat": 470, "conductivity": 48}


@source("course notes after Krar", place="chip 75 to 80 %, work 10 %", basis="read")
def test_fast_heavy_cuts_leave_about_a_tenth():
    """Course notes after Krar (read): chip and coolant carry off 75 to 80 %, work and tool 10 % each."""
    claim("heat share", 0.05 < heat.heat_share(0.2, 150, flank_power=0.06, **STEEL) < 0.15, of=heat.heat_share)


@source("Bergman and others, Introduction to Heat Transfer, 6th ed., quoted by the ht library", place="Example 9.2",
        basis="read")
def test_churchill_chu_textbook_example():
    """Bergman and others, Introduction to Heat Transfer, 6th ed., Example 9.2, as quoted by the ht library: Nu 139.135.
    """
    agrees("still air", heat.still_air(0.69 * 2.63e9, 0.69), 139.1349397, rel=1e-9, of=heat.still_air)


@source("Bergman and others, Introduction to Heat Transfer, 6th ed., quoted by the ht library", place="Example 7.3",
        basis="read")
def test_churchill_bernstein_textbook_example():
    """The same book, Example 7.3, Re 6071, Pr 0.7, as quoted by the ht library: Nu 40.637."""
    agrees("moving air", heat.moving_air(6071, 0.7), 40.63708594, rel=1e-9, of=heat.moving_air)


# Çengel, Heat and Mass Transfer, Table A-15 (read): °C, W/(m K), 1e-6 m²/s, Pr
TABLE_A15 = [(-20, 0.02211, 11.69, 0.7408), (0, 0.02364, 13.38, 0.7362), (20, 0.02514, 15.16, 0.7309),
             (60, 0.02808, 18.96, 0.7202), (100, 0.03095, 23.06, 0.7111), (140, 0.03374, 27.45, 0.7041)]


@pytest.mark.parametrize("celsius, conductivity, viscosity, prandtl", TABLE_A15)
@source("Çengel, Heat and Mass Transfer", place="Table A-15", basis="read")
def test_air_against_a_handbook_table(celsius, conductivity, viscosity, prandtl):
    """This table's conductivity is some 2.5 % under that of other handbooks, and its Pr as much over."""
    film = celsius + 273.15
    agrees("air viscosity", heat.air_viscosity(film), viscosity, rel=0.01, unit="mm²/s", of=heat.air_viscosity)
    agrees(
        "air conductivity",
        heat.air_conductivity(film),
        conductivity,
        rel=0.03,
        unit="W/(m K)",
        of=heat.air_conductivity,
    )
    agrees("air prandtl", heat.air_prandtl(film), prandtl, rel=0.04, of=heat.air_prandtl)


@source("Incropera, Fundamentals of Heat and Mass Transfer (open companion)", place="Example 5.1", basis="read")
def test_thermocouple_of_the_textbook():
    """Incropera, Fundamentals of Heat and Mass Transfer, Example 5.1 (read in an open companion): a bead of 0.706 mm,

    h 400, ρ 8500, c 400: time constant 1 s; from 25 to 199 °C in gas of 200 °C: 5.2 s; Bi about 2.4e-3 (k 20).
    """
    bead = 0.706 / 6
    tau = heat.time_constant(8500, 400, bead, 400)
    agrees("tau", tau, 1.0, abs=0.005, of=heat.time_constant)
    agrees("wait at one coefficient", heat.wait_at_one_coefficient(tau, 175, 1), 5.16, abs=0.03, unit="s",
           of=heat.wait_at_one_coefficient)
    agrees("biot number", heat.biot_number(400, bead, 20), 2.35e-3, rel=0.01, of=heat.biot_number)


@source("Bejan and Kraus, Heat Transfer Handbook", place="eq. 3.286", basis="read")
def test_still_air_law_of_the_handbook():
    """Bejan and Kraus, Heat Transfer Handbook, eq. 3.286 (read): θ/θ0 = [1 + n h0 A t/(ρ V c)]^(−1/n).

    By hand for n = 1/4 and t = 4 time constants: 2⁻⁴ = 1/16.
    """
    agrees(
        "wait in still air", heat.wait_in_still_air(1000, 16, 1), 4000, rel=1e-12, unit="s", of=heat.wait_in_still_air
    )
