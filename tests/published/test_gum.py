"""The uncertainty budget against JCGM 100 (GUM), JCGM 101, JCGM 106 and EA-4/02 M.

GUM H.1: inputs and results read in public transcriptions. EA-4/02 M S4 and S10, JCGM 106: from memory.
"""

import numpy as np
import pytest

from springpass import believing, student
from springpass.measuring import (
    budget,
    effective_dof,
    normal,
    rectangular,
    symbolic_sensitivities,
    trapezoid,
    triangular,
    u_shaped,
)

# ---- JCGM 100:2008 Annex H.1: an end gauge compared with a standard, nm -----------------------------


def end_gauge(l_s, d_repeat, d_random, d_systematic, alpha_s, delta_alpha, theta_bar, cyclic, delta_theta):
    d = d_repeat + d_random + d_systematic
    return l_s + d - l_s * (delta_alpha * (theta_bar + cyclic) + alpha_s * delta_theta)


def h1(rounded=False):
    """Table H.1; with `rounded`, the contributions as the annex itself rounds them on the way."""
    return {"l_s": normal(50_000_623, 25, 18), "d_repeat": normal(215, 5.8, 24), "d_random": normal(0, 3.9, 5),
            "d_systematic": normal(0, 6.7, 8), "alpha_s": rectangular(11.5e-6, 2e-6),
            "delta_alpha": normal(0, 0.58e-6, 50) if rounded else rectangular(0, 1e-6, 50),
            "theta_bar": normal(-0.1, 0.2), "cyclic": u_shaped(0, 0.5),
            "delta_theta": normal(0, 0.029, 2) if rounded else rectangular(0, 0.05, 2)}


def test_h1_standard_uncertainties_of_the_inputs():
    inputs = h1()
    assert inputs["alpha_s"].u == pytest.approx(1.2e-6, abs=0.05e-6)
    assert inputs["delta_alpha"].u == pytest.approx(0.58e-6, abs=0.005e-6)
    assert inputs["cyclic"].u == pytest.approx(0.35, abs=0.005)
    assert inputs["delta_theta"].u == pytest.approx(0.029, abs=0.0005)


def test_h1_to_the_printed_digits():
    result = budget(h1(rounded=True), end_gauge)
    assert round(result.value) == 50_000_838
    assert round(result.uncertainty) == 32
    assert int(result.dof) == 16
    assert student.coverage(0.99, result.dof) == pytest.approx(2.92, abs=0.005)
    assert round(result.expanded(0.99)) == 93


def test_h1_rounded_on_the_way_or_not():
    # the annex's own rounded parts: u(d) = 9.7 nm with 25.6 degrees of freedom (from memory), 0.029 K, 0.58e-6 /K
    rounded = h1(rounded=True) | {"d_repeat": normal(215, 9.7, 25.6), "d_random": normal(0, 0), "d_systematic": normal(0, 0)}
    result = budget(rounded, end_gauge)
    assert result.uncertainty == pytest.approx(31.71, abs=0.01) and result.dof == pytest.approx(16.66, abs=0.02)
    lines = {line.name: line.contribution for line in result.lines}
    assert lines["delta_theta"] == pytest.approx(16.68, abs=0.01)
    d = np.hypot(np.hypot(5.8, 3.9), 6.7)
    assert round(d, 1) == 9.7 and effective_dof([5.8, 3.9, 6.7], [24, 5, 8]) * (9.7 / d)**4 == pytest.approx(25.6, abs=0.05)
    assert pytest.approx(6.7, abs=0.05) == 20 / 3     # the comparator's 20 nm at three standard uncertainties
    unrounded = budget(h1(), end_gauge)
    assert unrounded.uncertainty**2 == pytest.approx(1002, abs=1.1)
    assert unrounded.expanded(0.95) == pytest.approx(67.1, abs=0.1)


def test_h1_sensitivities_and_contributions():
    lines = {line.name: line for line in budget(h1(), end_gauge).lines}
    assert lines["alpha_s"].sensitivity == 0 and lines["theta_bar"].sensitivity == 0
    assert lines["delta_alpha"].sensitivity == pytest.approx(0.1 * 50_000_623, rel=1e-6)   # -l_s (theta_bar)
    assert lines["delta_theta"].contribution == pytest.approx(16.599, abs=0.001)
    assert lines["delta_alpha"].contribution == pytest.approx(2.887, abs=0.001)


def test_h1_second_order():
    result = budget(h1(), end_gauge, order=2)
    assert round(result.uncertainty) == 34 and round(result.first_order) == 32
    # the annex's own term: l_s u(delta_alpha) u(theta) = 11.7 nm
    u_theta = np.hypot(0.2, 0.5 / np.sqrt(2))
    assert 50_000_623 * rectangular(0, 1e-6).u * u_theta == pytest.approx(11.7, abs=0.05)
    term = 50_000_623 * rectangular(0, 1e-6).u * u_theta
    other = 50_000_623 * rectangular(0, 2e-6).u * rectangular(0, 0.05).u
    assert result.second_order**2 - result.first_order**2 == pytest.approx(term**2 + other**2, rel=1e-4)


def test_h1_monte_carlo_as_in_jcgm_101_clause_9_5():
    # JCGM 101 9.5.5: 838 nm beyond 50 mm, u 36 nm, 99 % from 745 to 932 (reprinted in an open paper on
    # digital certificates: read). Shapes of 9.5: t, rectangular with loose ends, normal, U.
    drawn = budget(h1() | {"d_repeat": normal(215, 6, 24), "d_random": normal(0, 4, 5), "d_systematic": normal(0, 7, 8)},
                   end_gauge).draw(200_000)
    assert drawn.value - 50_000_000 == pytest.approx(838, abs=0.5)
    assert round(drawn.uncertainty) == 36
    low, high = drawn.interval(0.99)
    assert low - 50_000_000 == pytest.approx(745, abs=1.5) and high - 50_000_000 == pytest.approx(932, abs=1.5)


def test_h1_in_letters():
    found = symbolic_sensitivities(h1(), end_gauge)
    lines = {line.name: line.sensitivity for line in budget(h1(), end_gauge).lines}
    for name in found:
        assert lines[name] == pytest.approx(found[name], rel=1e-6, abs=1e-6)


# ---- EA-4/02 M, examples (from memory) --------------------------------------------------------------


def test_ea_s4_gauge_block_of_50_mm():
    # l_X = l_S + dl_D + dl + dl_C - L (alpha dt + d_alpha Dt) - dl_V; nm; result 49.999 926 mm, u 36.4 nm, U 73 nm
    inputs = {"l_s": normal(50_000_020, 15), "drift": rectangular(0, 30), "dl": normal(-94, 12 / np.sqrt(5)),
              "comparator": rectangular(0, 32), "dt": rectangular(0, 0.05),
              "d_alpha": triangular(0, 2e-6), "mean_t": rectangular(0, 0.5), "variation": rectangular(0, 6.7)}

    def model(l_s, drift, dl, comparator, dt, d_alpha, mean_t, variation):
        return l_s + drift + dl + comparator - 50e6 * (11.5e-6 * dt + d_alpha * mean_t) - variation

    result = budget(inputs, model, order=2)
    shares = {line.name: line.contribution for line in result.lines}
    assert shares["drift"] == pytest.approx(17.32, abs=0.05) and shares["dt"] == pytest.approx(16.6, abs=0.05)
    assert shares["variation"] == pytest.approx(3.87, abs=0.05) and shares["comparator"] == pytest.approx(18.5, abs=0.05)
    assert shares["dl"] == pytest.approx(5.37, abs=0.005)
    product = np.sqrt(result.second_order**2 - result.first_order**2)
    assert product == pytest.approx(11.8, abs=0.05)     # first order misses it altogether
    assert result.value == pytest.approx(49_999_926, abs=0.5)
    assert result.uncertainty == pytest.approx(36.4, abs=0.05)
    assert round(2 * result.uncertainty) == 73


def test_ea_s10_calliper_two_rectangles_that_rule():
    # error of indication at 150 mm: 0.10 mm, u 33 µm, k 1.83, U 0.06 mm
    inputs = {"shown": 150.10, "standard": rectangular(150.0, 0.0008), "dt": rectangular(0, 2.0),
              "resolution": rectangular(0, 0.025), "mechanical": rectangular(0, 0.05)}

    def model(shown, standard, dt, resolution, mechanical):
        return shown - standard + 150 * 11.5e-6 * dt + resolution + mechanical

    result = budget(inputs, model)
    assert result.value == pytest.approx(0.10, abs=1e-9)
    shares = {line.name: line.contribution * 1000 for line in result.lines}
    printed = {"standard": 0.46, "dt": 2.0, "resolution": 15, "mechanical": 29}       # µm, as the example prints them
    assert shares["standard"] == pytest.approx(0.46, abs=0.005) and shares["dt"] == pytest.approx(2.0, abs=0.05)
    assert np.ceil(shares["resolution"]) == 15 and round(shares["mechanical"]) == 29
    assert round(np.sqrt(sum(u**2 for u in printed.values()))) == 33                  # from the rounded lines
    assert result.uncertainty == pytest.approx(0.0323, abs=0.0001)                    # not rounded on the way
    assert result.factor(0.95, "fitting") == pytest.approx(1.83, abs=0.005)
    assert round(result.expanded(0.95, "fitting"), 2) == 0.06
    assert result.factor(0.95) == pytest.approx(1.96, abs=0.005)     # the normal rule would claim more than is needed


# ---- factors and shapes -----------------------------------------------------------------------------

T_TABLE = {  # JCGM 100, Table G.2 (from memory): p = 95 %, 99 %
    1: (12.71, 63.66), 2: (4.30, 9.92), 5: (2.57, 4.03), 10: (2.23, 3.17), 16: (2.12, 2.92), 50: (2.01, 2.68), np.inf: (1.960, 2.576)}


@pytest.mark.parametrize("dof", T_TABLE)
def test_student_table(dof):
    assert student.coverage(0.95, dof) == pytest.approx(T_TABLE[dof][0], abs=0.005)
    assert student.coverage(0.99, dof) == pytest.approx(T_TABLE[dof][1], abs=0.005)


def test_student_to_four_places_and_cut_down():
    assert student.coverage(0.95, 16) == pytest.approx(2.1199, abs=1e-4)
    assert student.coverage(0.9545, 16) == pytest.approx(2.1689, abs=1e-4)
    assert student.coverage(0.95, 16.99) == student.coverage(0.95, 16)
    # H.1.3.2: 95 % of 10 nm from six readings, t 2.57 -> 3.9 nm; H.1.3.2: 13 nm / sqrt 5 = 5.8 nm
    assert 10 / student.coverage(0.95, 5) == pytest.approx(3.9, abs=0.05)
    assert believing.mean_uncertainty(13, 5) == pytest.approx(5.8, abs=0.05)


def test_trapezoid_factor():
    assert student.trapezoid_coverage(0.95, 1.0) == pytest.approx(0.95 * np.sqrt(3))                   # rectangle: 1.65
    assert student.trapezoid_coverage(0.95, 0.0) == pytest.approx((1 - np.sqrt(0.05)) * np.sqrt(6))    # triangle: 1.90
    assert student.trapezoid_coverage(0.95, 1 / 3) == pytest.approx(1.83, abs=0.005)                   # EA-4/02 S10


def test_divisors():
    # JCGM 100 4.3: sqrt 3, sqrt 2; triangular sqrt 6; trapezoid between
    assert 1 / rectangular(0, 1).u == pytest.approx(1.732051, abs=1e-6)
    assert 1 / u_shaped(0, 1).u == pytest.approx(1.414214, abs=1e-6)
    assert 1 / triangular(0, 1).u == pytest.approx(np.sqrt(6))
    assert trapezoid(0, 1, 1).u == pytest.approx(rectangular(0, 1).u)
    assert trapezoid(0, 1, 0).u == pytest.approx(triangular(0, 1).u)
    assert trapezoid(0, 75, 1 / 3).u == pytest.approx(np.hypot(rectangular(0, 50).u, rectangular(0, 25).u))
    assert normal(0, 75 / 3).u == 25     # a certificate that says 75 nm at k = 3


def test_welch_satterthwaite():
    assert effective_dof([1, 1, 1, 1], [10, 10, 10, 10]) == pytest.approx(40)     # JCGM 100 G.4
    assert effective_dof([1, 0], [5, np.inf]) == pytest.approx(5)


@pytest.mark.parametrize(("y", "u", "low", "high", "odds"), [
    (-5.47, 0.05, -np.inf, -5.40, 0.92),    # JCGM 106:2012, 7.3.3 example 1: a Zener diode, V (from memory)
    (509.7, 8.6, 490, np.inf, 0.989),       # example 2: a container's bursting pressure, kPa (from memory)
    (13.6, 1.8, 12.5, 16.3, 0.66),          # 7.4: viscosity of an oil, mm²/s (from memory)
])
def test_odds_of_jcgm_106(y, u, low, high, odds):
    assert believing.odds_in_tolerance(y, low, high, u) == pytest.approx(odds, abs=0.005)


def test_guard_band_of_iso_14253_1():
    # 95 % at one limit: 1.65 standard uncertainties, 0.83 of U at k = 2 (ISO 14253-1:2017, from memory)
    assert believing.guard_band(1.0) == pytest.approx(1.65, abs=0.006)
