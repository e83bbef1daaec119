"""Workholding against reference computations. Basis: computed; a second method agreed."""

import numpy as np
import pytest

from outside import agrees, source
from springpass import workholding as wh

# Closed forms for n equal radial loads, bending alone; Fourier series gives the same to 6 figures.
# Reference computations 5.02 and 5.03 (basis: computed, confirmed by a second method).
THIN = {3: (0.01593858842, 0.01425676948, 0.1887896947), 4: (0.006079309331, 0.005386198139, 0.1366197724)}


@pytest.mark.parametrize("jaws", THIN)
@source("reference computation, closed forms and Fourier series", place="3 and 4 jaws", basis="method")
def test_thin_ring_coefficients(jaws):
    at_jaw, midway, moment = THIN[jaws]
    # with P = R = E = 1 and w t^3/12 = 1 the formulas give the bare coefficients
    one = {"load": 1.0, "radius": 1.0, "jaws": jaws, "width": 12.0, "wall": 1.0}
    agrees(
        "thin ring at jaw", wh.thin_ring_at_jaw(**one, modulus=1.0), at_jaw, rel=2e-9, unit="mm", of=wh.thin_ring_at_jaw
    )
    agrees(
        "thin ring midway", wh.thin_ring_midway(**one, modulus=1.0), midway, rel=2e-9, unit="mm", of=wh.thin_ring_midway
    )
    # stress is moment over w t^2/6, so here moment = 2 * stress
    agrees("wall stress", wh.wall_stress(**one) * 2, moment, rel=2e-9, of=wh.wall_stress)


STEEL = {"modulus": 205e3, "poisson": 0.29}
RING = {"outside": 40, "bore": 32, "width": 20, "load": 1000, **STEEL}

# Reference computations 5.06, 5.09, 5.11 (basis: computed; plane-stress finite elements agree): mm
BORES = {
    (3, 8): (-5.034610722e-3, 3.478421837e-3, 8.513032558e-3),
    (6, 8): (-1.556188885e-3, -0.5765212087e-3, 0.979667676e-3),
    (3, 50): (-1.484271243e-3, 0.4125907637e-3, 1.896862007e-3),
}


@pytest.mark.parametrize("jaws, pad", BORES)
@source("reference computation, plane-stress finite elements agree", place="5.06, 5.09, 5.11", basis="method")
def test_bore_in_the_jaws(jaws, pad):
    found = wh.ring_lobing(**RING, jaws=jaws, pad_half_angle=pad)
    wanted = BORES[jaws, pad]
    agrees("at jaw, midway, peak to valley", (found.at_jaw, found.midway, found.peak_to_valley), wanted, rel=1e-6,
           of=wh.ring_lobing)


@source("reference computation, plane-stress finite elements agree", place="5.12", basis="method")
def test_bore_released_and_gauged():
    """Reference computation 5.12: radius 8.513 um peak to valley, 0.980 um on two points, bore 1.0385 um large on
    average.
    """
    clamped = wh.ring_lobing(**RING, jaws=3, pad_half_angle=8)
    seen = wh.gauged(clamped)
    agrees("radius", seen.radius, 8.513032558e-3, rel=1e-6, of=wh.gauged)
    agrees("two point", seen.two_point, 0.979667676e-3, rel=1e-6, of=wh.gauged)
    agrees("mean", -2 * clamped.mean, 1.038525244e-3, rel=1e-6, of=wh.ring_lobing)


@source("reference computation, plane-stress finite elements agree", place="5.14", basis="method")
def test_scroll_chuck_lets_go_as_the_wall_thins():
    """Reference computation 5.14: wall 5 to 4 mm, rigid scroll: load ratio 0.5334 (displacement of the outside at the
    jaw's
    middle); taken over the whole face of the jaw it is 0.5328."""
    raw, done = (
        wh.ring_lobing(**{**RING, "bore": bore}, jaws=3, pad_half_angle=8).jaw_travel / -1000 for bore in (30, 32)
    )
    left = wh.kept_load(1000.0, raw, done, 0.0)
    agrees("left", left / 1000, 0.5334047505, rel=0.01, of=wh.kept_load)
    agrees("left", left / 1000 * 8.513032558, 4.540892008, rel=0.01, of=wh.kept_load)


@source("reference computation, Lamé", place="5.16", basis="method")
def test_collet_closes_a_bore():
    """Reference computation 5.16, Lame: brass 10 over 8 mm under 10 MPa closes 4.444 um."""
    agrees("collet closing", wh.collet_closing(10.0, 8.0, 10.0, 100e3), -4.444444444e-3, rel=1e-9, unit="mm",
           of=wh.collet_closing)


@source("reference computation, beam", place="6.04", basis="method")
def test_chuck_alone():
    """Reference computation 6.04: D20 x 60, 15 N; without and with shear, um on diameter."""
    z = [15.0, 30.0, 45.0, 60.0]
    bent = [0.02096187055, 0.1676949644, 0.5659705049, 1.341559715]
    both = [0.04131818, 0.20840758, 0.62703942, 1.422984937]
    agrees(
        "turned error, error",
        wh.turned_error([(60, 20)], position=z, force=15, shear=False, **STEEL).error * 1e3,
        bent,
        rel=1e-8,
        of=wh.turned_error,
    )
    agrees(
        "turned error, error",
        wh.turned_error([(60, 20)], position=z, force=15, **STEEL).error * 1e3,
        both,
        rel=1e-7,
        of=wh.turned_error,
    )
    closed = wh.overhang_error(15.0, 60.0, 20.0, 205e3, np.inf, np.inf)
    agrees("closed", closed * 1e3, 1.341559715, rel=1e-8, of=wh.overhang_error)


@source("reference computation, beam", place="6.05", basis="method")
def test_chuck_and_rigid_centre():
    """Reference computation 6.05: D10 x 80, 15 N; worst at 0.5858 L with 0.009812 P L^3/EI."""
    z = np.arange(10.0, 80, 10)
    wanted = [0.07370620688, 0.4192374111, 0.9498347595, 1.391247112, 1.473881523, 1.090017269, 0.4160834259]
    found = wh.turned_error([(80, 10)], position=z, force=15, hold="chuck and centre", shear=False, **STEEL)
    agrees("error", found.error * 1e3, wanted, rel=1e-8, of=wh.turned_error)
    agrees("centre error", wh.centre_error(15.0, z, 80.0, 10.0, 205e3) * 1e3, wanted, rel=1e-8, unit="µm",
           of=wh.centre_error)
    fine = np.linspace(0, 1, 20001)
    bump = wh.centre_error(0.5, fine, 1.0, 1.0, 1.0) * np.pi / 64
    agrees("fine", fine[bump.argmax()], 0.5857864346, abs=1e-4, of=wh.centre_error)
    agrees("bump, largest", bump.max(), 0.009812417174, rel=1e-6, of=wh.centre_error)


@source("reference computation, beam; F a² b²/3EIL as in any beam table (read)", place="6.06", basis="method")
def test_between_rigid_centres():
    """Reference computation 6.06: barrel of 3.18 um; the formula F a^2 b^2/3EIL is in any beam table (read)."""
    z = np.arange(10.0, 80, 10)
    half = [0.6086706116, 1.788746287, 2.794916074]
    wanted = [*half, 3.1799934, *half[::-1]]
    found = wh.turned_error([(80, 10)], position=z, force=15, hold="between centres", shear=False, **STEEL)
    agrees("error", found.error * 1e3, wanted, rel=1e-8, of=wh.turned_error)
    closed = wh.between_centres_error(15.0, z, 80.0, 10.0, 205e3, np.inf, np.inf)
    agrees("closed", closed * 1e3, wanted, rel=1e-8, of=wh.between_centres_error)


@source("reference computation, beam", place="6.13", basis="method")
def test_free_length_for_a_tolerance():
    """Reference computation 6.13: 5 um at 15 N on D10 allows 36.92 mm."""
    agrees("free length", wh.free_length(10.0, 0.005, 15.0, 205e3), 36.91741254, rel=1e-8, unit="mm", of=wh.free_length)


@source("reference computation, beam", place="6.15", basis="method")
def test_what_three_four_six_and_ten_diameters_mean():
    """Reference computation 6.15: D10, 15 N, rigid chuck, bending alone."""
    wanted = {3: 2.683119431, 4: 6.359986799, 6: 21.46495545, 10: 99.37479374}
    for ratio, error in wanted.items():
        agrees(
            "overhang error",
            wh.overhang_error(15.0, 10.0 * ratio, 10.0, 205e3, np.inf, np.inf) * 1e3,
            error,
            rel=1e-8,
            unit="µm",
            of=wh.overhang_error,
        )
