"""Workholding against printed and reference values. Each with its source and basis beside it."""

import numpy as np
import pytest

from springpass import tables
from springpass import workholding as wh

STEEL = {"modulus": 205e3, "poisson": 0.29}
RING = {"outside": 40, "bore": 32, "width": 20, "load": 1000, **STEEL}

# ---- thin rings ------------------------------------------------------------------------------------

# Closed forms for n equal radial loads, bending alone; Fourier series gives the same to 6 figures.
# Reference computations 5.02 and 5.03 (basis: computed, confirmed by a second method).
THIN = {3: (0.01593858842, 0.01425676948, 0.1887896947), 4: (0.006079309331, 0.005386198139, 0.1366197724)}


@pytest.mark.parametrize("jaws", THIN)
def test_thin_ring_coefficients(jaws):
    at_jaw, midway, moment = THIN[jaws]
    # with P = R = E = 1 and w t^3/12 = 1 the formulas give the bare coefficients
    one = {"load": 1.0, "radius": 1.0, "jaws": jaws, "width": 12.0, "wall": 1.0}
    assert wh.thin_ring_at_jaw(**one, modulus=1.0) == pytest.approx(at_jaw, rel=2e-9)
    assert wh.thin_ring_midway(**one, modulus=1.0) == pytest.approx(midway, rel=2e-9)
    # stress is moment over w t^2/6, so here moment = 2 * stress
    assert wh.wall_stress(**one) * 2 == pytest.approx(moment, rel=2e-9)


def test_ring_pressed_at_two_places_as_in_the_textbooks():
    """Timoshenko, Strength of Materials part I: diameters change by (pi/4 - 2/pi) and (2/pi - 1/2) PR^3/EI (memory).
    The moment under the load is PR/pi (read: an aircraft-structures textbook, chapter 5 on energy methods)."""
    one = {"load": 1.0, "radius": 1.0, "jaws": 2, "width": 12.0, "wall": 1.0}
    assert 2 * wh.thin_ring_at_jaw(**one, modulus=1.0) == pytest.approx(0.1488, abs=5e-5)
    assert 2 * wh.thin_ring_midway(**one, modulus=1.0) == pytest.approx(0.1366, abs=5e-5)
    assert wh.wall_stress(**one) * 2 == pytest.approx(1 / np.pi)


def test_share_of_bending_in_a_ring_ten_times_as_large_as_its_wall_is_thick():
    """A design handbook's chapter on curved members, table 27.1 (read; the stored copy does not show its title): of the
    deflections of a ring with R/h = 10 under two loads, bending makes 98.44 % along the load and 99.51 % across it."""
    full = wh.ring_lobing(21.0, 19.0, 1.0, 1.0, 2, 205e3, 0.3, 0.5)
    thin = {"load": 1.0, "radius": 10.0, "jaws": 2, "width": 1.0, "wall": 1.0, "modulus": 205e3}
    assert wh.thin_ring_at_jaw(**thin) / -full.at_jaw == pytest.approx(0.9844, abs=0.003)
    assert wh.thin_ring_midway(**thin) / full.midway == pytest.approx(0.9951, abs=0.003)


def test_thin_ring_theory_is_good_to_six_percent_at_the_measured_ratio():
    """J. Manufacturing Science and Engineering 126(1):141, abstract (read): bending theory agrees within 6 % with
    measured chucking deformation of rings with inner over outer diameter 0.881."""
    full = wh.ring_lobing(100.0, 88.1, 20.0, 1000.0, 3, 205e3, 0.29, 3.0).peak_to_valley
    thin = [f(1000.0, (100 + 88.1) / 4, 3, 20.0, (100 - 88.1) / 2, 205e3) for f in (wh.thin_ring_at_jaw, wh.thin_ring_midway)]
    assert sum(thin) / full == pytest.approx(1, abs=0.06)


# ---- rings of any wall -----------------------------------------------------------------------------

# Reference computations 5.06, 5.09, 5.11 (basis: computed; plane-stress finite elements agree): mm
BORES = {
    (3, 8): (-5.034610722e-3, 3.478421837e-3, 8.513032558e-3),
    (6, 8): (-1.556188885e-3, -0.5765212087e-3, 0.979667676e-3),
    (3, 50): (-1.484271243e-3, 0.4125907637e-3, 1.896862007e-3),
}


@pytest.mark.parametrize("jaws, pad", BORES)
def test_bore_in_the_jaws(jaws, pad):
    found = wh.ring_lobing(**RING, jaws=jaws, pad_half_angle=pad)
    wanted = BORES[jaws, pad]
    assert (found.at_jaw, found.midway, found.peak_to_valley) == pytest.approx(wanted, rel=1e-6)


def test_bore_released_and_gauged():
    """Reference computation 5.12: radius 8.513 um peak to valley, 0.980 um on two points, bore 1.0385 um large on average."""
    clamped = wh.ring_lobing(**RING, jaws=3, pad_half_angle=8)
    seen = wh.gauged(clamped)
    assert seen.radius == pytest.approx(8.513032558e-3, rel=1e-6)
    assert seen.two_point == pytest.approx(0.979667676e-3, rel=1e-6)
    assert -2 * clamped.mean == pytest.approx(1.038525244e-3, rel=1e-6)


def test_scroll_chuck_lets_go_as_the_wall_thins():
    """Reference computation 5.14: wall 5 to 4 mm, rigid scroll: load ratio 0.5334 (displacement of the outside at the jaw's
    middle); taken over the whole face of the jaw it is 0.5328."""
    raw, done = (wh.ring_lobing(**{**RING, "bore": bore}, jaws=3, pad_half_angle=8).jaw_travel / -1000 for bore in (30, 32))
    left = wh.kept_load(1000.0, raw, done, 0.0)
    assert left / 1000 == pytest.approx(0.5334047505, rel=0.01)
    assert left / 1000 * 8.513032558 == pytest.approx(4.540892008, rel=0.01)


def test_collet_closes_a_bore():
    """Reference computation 5.16, Lame: brass 10 over 8 mm under 10 MPa closes 4.444 um."""
    assert wh.collet_closing(10.0, 8.0, 10.0, 100e3) == pytest.approx(-4.444444444e-3, rel=1e-9)


# ---- how hard the jaws must push ---------------------------------------------------------------------


def test_worked_example_of_the_clamping_force_guide():
    """RN-1391 p. 48 (read): cutting force 6.25 kN on 20 mm, gripped on 60 mm, safety 2.0, coefficient 0.20: 21.00 kN
    (printed rounded up from a ratio of 0.33)."""
    assert wh.grip_needed(6250.0, 0.0, 20.0, 60.0, 0.20, 2.0) == pytest.approx(21000, rel=0.01)


def test_grip_coefficients_are_those_printed():
    """RN-1391 p. 45, table 4 (read): smooth, diamond-cut, serrated jaws on three kinds of surface."""
    printed = {
        "smooth turned or ground": (0.07, 0.12, 0.20),
        "rough to medium turned": (0.10, 0.20, 0.35),
        "unmachined": (0.15, 0.30, 0.45),
    }
    for surface, row in printed.items():
        for jaw, value in zip(("smooth", "diamond-cut", "serrated"), row, strict=True):
            fact = tables.fact("workholding_grip", surface=surface, jaw=jaw)
            assert fact.value == value
            assert fact.low < value < fact.high


def test_a_hard_pull_reaches_what_a_lathe_manual_says_of_its_chuck():
    """A lathe's manual (read): 160 mm hand-operated chuck, 31 kN on all jaws with its key."""
    push = wh.hand_force("hard")
    assert np.percentile(push, 5) < 31000 < np.percentile(push, 95)
    assert np.percentile(wh.hand_force("gently"), 95) < 31000 / 3


# ---- the work bends ----------------------------------------------------------------------------------


def test_chuck_alone():
    """Reference computation 6.04: D20 x 60, 15 N; without and with shear, um on diameter."""
    z = [15.0, 30.0, 45.0, 60.0]
    bent = [0.02096187055, 0.1676949644, 0.5659705049, 1.341559715]
    both = [0.04131818, 0.20840758, 0.62703942, 1.422984937]
    assert wh.turned_error([(60, 20)], position=z, force=15, shear=False, **STEEL).error * 1e3 == pytest.approx(bent, rel=1e-8)
    assert wh.turned_error([(60, 20)], position=z, force=15, **STEEL).error * 1e3 == pytest.approx(both, rel=1e-7)
    closed = wh.overhang_error(15.0, 60.0, 20.0, 205e3, np.inf, np.inf)
    assert closed * 1e3 == pytest.approx(1.341559715, rel=1e-8)


def test_chuck_and_rigid_centre():
    """Reference computation 6.05: D10 x 80, 15 N; worst at 0.5858 L with 0.009812 P L^3/EI."""
    z = np.arange(10.0, 80, 10)
    wanted = [0.07370620688, 0.4192374111, 0.9498347595, 1.391247112, 1.473881523, 1.090017269, 0.4160834259]
    found = wh.turned_error([(80, 10)], position=z, force=15, hold="chuck and centre", shear=False, **STEEL)
    assert found.error * 1e3 == pytest.approx(wanted, rel=1e-8)
    assert wh.centre_error(15.0, z, 80.0, 10.0, 205e3) * 1e3 == pytest.approx(wanted, rel=1e-8)
    fine = np.linspace(0, 1, 20001)
    bump = wh.centre_error(0.5, fine, 1.0, 1.0, 1.0) * np.pi / 64
    assert fine[bump.argmax()] == pytest.approx(0.5857864346, abs=1e-4)
    assert bump.max() == pytest.approx(0.009812417174, rel=1e-6)


def test_between_rigid_centres():
    """Reference computation 6.06: barrel of 3.18 um; the formula F a^2 b^2/3EIL is in any beam table (read)."""
    z = np.arange(10.0, 80, 10)
    half = [0.6086706116, 1.788746287, 2.794916074]
    wanted = [*half, 3.1799934, *half[::-1]]
    found = wh.turned_error([(80, 10)], position=z, force=15, hold="between centres", shear=False, **STEEL)
    assert found.error * 1e3 == pytest.approx(wanted, rel=1e-8)
    closed = wh.between_centres_error(15.0, z, 80.0, 10.0, 205e3, np.inf, np.inf)
    assert closed * 1e3 == pytest.approx(wanted, rel=1e-8)


def test_free_length_for_a_tolerance():
    """Reference computation 6.13: 5 um at 15 N on D10 allows 36.92 mm."""
    assert wh.free_length(10.0, 0.005, 15.0, 205e3) == pytest.approx(36.91741254, rel=1e-8)


def test_what_three_four_six_and_ten_diameters_mean():
    """Reference computation 6.15: D10, 15 N, rigid chuck, bending alone."""
    wanted = {3: 2.683119431, 4: 6.359986799, 6: 21.46495545, 10: 99.37479374}
    for ratio, error in wanted.items():
        assert wh.overhang_error(15.0, 10.0 * ratio, 10.0, 205e3, np.inf, np.inf) * 1e3 == pytest.approx(error, rel=1e-8)
