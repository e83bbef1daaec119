"""The same answer by another road: velocities, volumes, power, exact ratios, an older theory."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import erf, erfc

from outside import agrees, claim, source
from springpass import cutting, heat, job
from springpass.bore_stress import readings as stress_readings
from springpass.cutting import chips, speeds
from springpass.job import part, tools

R, SZ, TH, E, NU = 10.0, 300.0, 200.0, 205e3, 0.29


@pytest.mark.parametrize("thick", [0.5, 1.0, 2.0])
@source("Timoshenko and Goodier's curved bar (memory), its turn worked out afresh", basis="method")
def test_slit_ring_against_the_exact_curved_bar(thick):
    """Pure bending of a curved bar, exact in plane stress (Timoshenko and Goodier, Theory of Elasticity, bending of a
    curved bar, from memory; the turn of the slit's faces is worked out from the strains, so the two must fit)."""
    mean = 20.0
    a, b = mean / 2 - thick / 2, mean / 2 + thick / 2
    log = np.log(b / a)
    scale = -4.0 / ((b**2 - a**2) ** 2 - 4 * a**2 * b**2 * log**2)   # for a moment of 1 N mm per mm

    def radial(r):
        return scale * (a**2 * b**2 / r**2 * log + b**2 * np.log(r / b) + a**2 * np.log(a / r))

    def around(r):
        return scale * (-(a**2) * b**2 / r**2 * log + b**2 * np.log(r / b) + a**2 * np.log(a / r) + b**2 - a**2)

    def turn(r, h=1e-4):   # of unit angle: hoop strain + r times its slope - radial strain; the same at every radius
        hoop = [(around(x) - NU * radial(x)) / E for x in (r - h, r, r + h)]
        return hoop[1] + r * (hoop[2] - hoop[0]) / (2 * h) - (radial(r) - NU * around(r)) / E

    agrees("turn", turn(a + thick / 4), turn(b - thick / 4), rel=1e-4)
    agrees("quad", quad(lambda r: around(r) * r, a, b)[0], -1, rel=1e-6)
    opening = 2 * np.pi * abs(turn(mean / 2)) * mean / 2
    found = stress_readings.slit_ring(2 * b, thick, opening, E, NU)
    agrees("narrow", found.narrow, abs(around(b)), rel=0.8 * thick / mean, of=stress_readings.slit_ring)
    agrees("wide", found.wide, found.narrow / (1 - NU**2), rel=1e-6, of=stress_readings.slit_ring)


@source("the velocity triangle", basis="hand")
def test_shear_strain_from_velocities():
    # the velocity triangle: shear speed over the depth it is spread across, without the cotangent form
    for ratio, rake in ((0.3, -5), (0.45, 8), (0.6, 15), (0.8, 20)):
        phi, g = np.radians(chips.shear_angle(ratio, rake)), np.radians(rake)
        chip_speed = np.sin(phi) / np.cos(phi - g)
        agrees(
            "chip speed", chip_speed, ratio, rel=1e-9, of=chips.shear_angle
        )  # the chip leaves slower by the thinning ratio
        shear_speed = np.cos(g) / np.cos(phi - g)
        agrees(
            "shear strain",
            chips.shear_strain(chips.shear_angle(ratio, rake), rake),
            shear_speed / np.sin(phi),
            rel=1e-9,
            of=(chips.shear_strain, chips.shear_angle),
        )


@source("volume kept", basis="hand")
def test_metal_is_kept():
    # string length times its section is the metal removed
    d, along, a, f, ratio = 12.0, 30.0, 0.5, 0.1, 0.4
    section = chips.chip_thickness(f, ratio) * a
    agrees("string length", chips.string_length(d, along, f, ratio) * section, np.pi * d * along * a, rel=1e-12,
           of=chips.string_length)


@source("a bent strip unrolled", basis="hand")
def test_curl_strain_by_unrolling():
    # a strip bent to radius R: outer skin against middle line
    thickness, curl = 0.2, 3.0
    outer, middle = 2 * np.pi * (curl + thickness / 2), 2 * np.pi * curl
    agrees("curl strain", chips.curl_strain(thickness, curl), outer / middle - 1, rel=1e-12, of=chips.curl_strain)


@source("power is torque times turning", basis="hand")
def test_power_is_torque_times_turning():
    force, d, n = 340.0, 20.0, 500.0
    power = cutting.cutting_power(force, speeds.surface_speed(d, n)) * 1e6  # N mm/s
    agrees("cutting torque", speeds.cutting_torque(force, d) * 2 * np.pi * n / 60, power, rel=1e-12,
           of=speeds.cutting_torque)
    # a motor that gives just this power gives just this torque
    agrees("torque available", speeds.torque_available(power / 1e6, 1.0, n), speeds.cutting_torque(force, d), rel=1e-12,
           unit="N mm", of=speeds.torque_available)


@source("fourth powers of Stefan and Boltzmann", basis="hand")
def test_radiation_against_fourth_powers():
    for emissivity, surface, room in ((0.3, 313.15, 293.15), (0.9, 420, 280), (0.05, 273.15, 300)):
        flux = 5.670374e-8 * emissivity * (surface**4 - room**4)
        agrees("radiation coefficient", heat.radiation_coefficient(emissivity, surface, room) * (surface - room), flux,
               rel=1e-9, of=heat.radiation_coefficient)


def weiner(number):
    """Weiner, Shear-plane temperature distribution in orthogonal cutting, Trans. ASME 77 (1955) 1331 (from memory)."""
    y = number / 4
    root = np.sqrt(y)
    return erf(root) / (4 * y) + (1 + y) * erfc(root) - np.exp(-y) / np.sqrt(np.pi) * (1 / (2 * root) + root)


@pytest.mark.parametrize("number, theory", [(0.1, 0.7859294865), (0.5, 0.5798959903), (5, 0.1803735612)])
@source("Weiner, Trans. ASME 77 (1955) 1331", place="p. 1331", basis="memory")
def test_fitted_share_beside_theory(number, theory):
    """A theory with a plane heat source: near the fit for slow fine cuts, under it for fast ones (its zone has no
    width).
    """
    agrees("weiner", weiner(number), theory, rel=1e-6)
    claim("shear plane share", 1.0 < heat.shear_plane_share(number) / theory < 1.45, of=heat.shear_plane_share)


@source("the exact ratio of two grown lengths", basis="hand")
def test_first_order_reading_error_against_the_exact_ratio():
    exact = 300 * (1 + 23.4e-6 * 15) / (1 + 11.5e-6 * 5) - 300
    agrees("reading error", heat.reading_error(300, 23.4e-6, 15, 11.5e-6, 5), exact, rel=1e-3, unit="mm",
           of=heat.reading_error)


@source("odds of independent sizes multiply", basis="hand")
def test_odds_of_the_part_against_the_product_of_its_sizes():
    """Sizes that hardly share anything multiply."""
    made = job.plan(part.demo(), tools.default_shop(), count=20_000)
    agrees("odds", made.odds, np.prod([b.odds for b in made.budgets]), abs=0.02,
           of=(job.plan, part.demo, tools.default_shop))
