"""The guides of the JCGM: 100 (GUM), 101 and 106.

GUM H.1: inputs and results read in public transcriptions; JCGM 106 from memory.
"""

import numpy as np
import pytest

from outside import agrees, source
from springpass import heat
from springpass.measuring import (
    budget,
    coverage_factors,
    effective_dof,
    guard_bands,
    normal,
    rectangular,
    symbolic_sensitivities,
    trapezoid,
    triangular,
    u_shaped,
)


def h1(rounded=False):
    """Table H.1; with `rounded`, the contributions as the annex itself rounds them on the way."""
    return {"l_s": normal(50_000_623, 25, 18), "d_repeat": normal(215, 5.8, 24), "d_random": normal(0, 3.9, 5),
            "d_systematic": normal(0, 6.7, 8), "alpha_s": rectangular(11.5e-6, 2e-6),
            "delta_alpha": normal(0, 0.58e-6, 50) if rounded else rectangular(0, 1e-6, 50),
            "theta_bar": normal(-0.1, 0.2), "cyclic": u_shaped(0, 0.5),
            "delta_theta": normal(0, 0.029, 2) if rounded else rectangular(0, 0.05, 2)}


@source("JCGM 100:2008 (GUM), Annex H.1 (public transcription)", place="table H.1", basis="read")
def test_h1_standard_uncertainties_of_the_inputs():
    inputs = h1()
    agrees("alpha s u", inputs["alpha_s"].u, 1.2e-6, abs=0.05e-6, of=(normal, rectangular, u_shaped))
    agrees("delta alpha u", inputs["delta_alpha"].u, 0.58e-6, abs=0.005e-6, of=(normal, rectangular, u_shaped))
    agrees("cyclic u", inputs["cyclic"].u, 0.35, abs=0.005, of=(normal, rectangular, u_shaped))
    agrees("delta theta u", inputs["delta_theta"].u, 0.029, abs=0.0005, of=(normal, rectangular, u_shaped))


def end_gauge(l_s, d_repeat, d_random, d_systematic, alpha_s, delta_alpha, theta_bar, cyclic, delta_theta):
    d = d_repeat + d_random + d_systematic
    return l_s + d - l_s * (delta_alpha * (theta_bar + cyclic) + alpha_s * delta_theta)


@source("JCGM 100:2008 (GUM), Annex H.1 (public transcription)", place="H.1.6 to H.1.7", basis="read")
def test_h1_to_the_printed_digits():
    result = budget(h1(rounded=True), end_gauge)
    agrees("", round(result.value), 50_000_838, of=budget)
    agrees("uncertainty", round(result.uncertainty), 32, of=budget)
    agrees("dof", int(result.dof), 16, of=budget)
    agrees("coverage", coverage_factors.coverage(0.99, result.dof), 2.92, abs=0.005, of=coverage_factors.coverage)
    agrees("expanded", round(result.expanded(0.99)), 93, of=budget)


@source("JCGM 100:2008 (GUM), Annex H.1", place="parts rounded as the annex does", basis="memory")
def test_h1_rounded_on_the_way_or_not():
    # the annex's own rounded parts: u(d) = 9.7 nm with 25.6 degrees of freedom (from memory), 0.029 K, 0.58e-6 /K
    rounded = h1(rounded=True) | {
        "d_repeat": normal(215, 9.7, 25.6),
        "d_random": normal(0, 0),
        "d_systematic": normal(0, 0),
    }
    result = budget(rounded, end_gauge)
    agrees("uncertainty", result.uncertainty, 31.71, abs=0.01, of=budget)
    agrees("dof", result.dof, 16.66, abs=0.02, of=budget)
    lines = {line.name: line.contribution for line in result.lines}
    agrees("delta theta", lines["delta_theta"], 16.68, abs=0.01, of=budget)
    d = np.hypot(np.hypot(5.8, 3.9), 6.7)
    agrees("", round(d, 1), 9.7)
    agrees("effective dof", effective_dof([5.8, 3.9, 6.7], [24, 5, 8]) * (9.7 / d)**4, 25.6, abs=0.05, of=effective_dof)
    agrees("", 20 / 3, 6.7, abs=0.05)  # the comparator's 20 nm at three standard uncertainties
    unrounded = budget(h1(), end_gauge)
    agrees("uncertainty", unrounded.uncertainty**2, 1002, abs=1.1, of=budget)
    agrees("expanded", unrounded.expanded(0.95), 67.1, abs=0.1, of=budget)


@source("JCGM 100:2008 (GUM), Annex H.1 (public transcription)", place="table H.1", basis="read")
def test_h1_sensitivities_and_contributions():
    lines = {line.name: line for line in budget(h1(), end_gauge).lines}
    agrees("alpha s sensitivity", lines["alpha_s"].sensitivity, 0, of=budget)
    agrees("theta bar sensitivity", lines["theta_bar"].sensitivity, 0, of=budget)
    agrees(
        "delta alpha sensitivity", lines["delta_alpha"].sensitivity, 0.1 * 50_000_623, rel=1e-6, of=budget
    )  # -l_s (theta_bar)
    agrees("delta theta contribution", lines["delta_theta"].contribution, 16.599, abs=0.001, of=budget)
    agrees("delta alpha contribution", lines["delta_alpha"].contribution, 2.887, abs=0.001, of=budget)


@source("JCGM 100:2008 (GUM), Annex H.1 (public transcription)", place="H.1.7", basis="read")
def test_h1_second_order():
    result = budget(h1(), end_gauge, order=2)
    agrees("uncertainty", round(result.uncertainty), 34, of=budget)
    agrees("first order", round(result.first_order), 32, of=budget)
    # the annex's own term: l_s u(delta_alpha) u(theta) = 11.7 nm
    u_theta = np.hypot(0.2, 0.5 / np.sqrt(2))
    agrees("rectangular, u", 50_000_623 * rectangular(0, 1e-6).u * u_theta, 11.7, abs=0.05, of=rectangular)
    term = 50_000_623 * rectangular(0, 1e-6).u * u_theta
    other = 50_000_623 * rectangular(0, 2e-6).u * rectangular(0, 0.05).u
    agrees("second order", result.second_order**2 - result.first_order**2, term**2 + other**2, rel=1e-4, of=budget)


@source("JCGM 101:2008, reprinted in an open paper on digital certificates", place="9.5.5", basis="read")
def test_h1_monte_carlo_as_in_jcgm_101_clause_9_5():
    # JCGM 101 9.5.5: 838 nm beyond 50 mm, u 36 nm, 99 % from 745 to 932 (reprinted in an open paper on
    # digital certificates: read). Shapes of 9.5: t, rectangular with loose ends, normal, U.
    drawn = budget(
        h1() | {"d_repeat": normal(215, 6, 24), "d_random": normal(0, 4, 5), "d_systematic": normal(0, 7, 8)}, end_gauge
    ).draw(200_000)
    agrees("", drawn.value - 50_000_000, 838, abs=0.5, of=(budget, normal))
    agrees("uncertainty", round(drawn.uncertainty), 36, of=(budget, normal))
    low, high = drawn.interval(0.99)
    agrees("low", low - 50_000_000, 745, abs=1.5, of=(budget, normal))
    agrees("high", high - 50_000_000, 932, abs=1.5, of=(budget, normal))


@source("SymPy's derivatives of the model of JCGM 100, H.1", place="in letters", basis="method")
def test_h1_in_letters():
    found = symbolic_sensitivities(h1(), end_gauge)
    lines = {line.name: line.sensitivity for line in budget(h1(), end_gauge).lines}
    for name in found:
        agrees("lines", lines[name], found[name], rel=1e-6, abs=1e-6, of=budget)


T_TABLE = {  # JCGM 100, Table G.2 (from memory): p = 95 %, 99 %
    1: (12.71, 63.66),
    2: (4.30, 9.92),
    5: (2.57, 4.03),
    10: (2.23, 3.17),
    16: (2.12, 2.92),
    50: (2.01, 2.68),
    np.inf: (1.960, 2.576),
}


@pytest.mark.parametrize("dof", T_TABLE)
@source("JCGM 100:2008 (GUM), Table G.2", place="95 % and 99 %", basis="memory")
def test_student_table(dof):
    agrees("coverage", coverage_factors.coverage(0.95, dof), T_TABLE[dof][0], abs=0.005, of=coverage_factors.coverage)
    agrees("coverage", coverage_factors.coverage(0.99, dof), T_TABLE[dof][1], abs=0.005, of=coverage_factors.coverage)


@source("JCGM 100:2008 (GUM), tables and H.1.3.2", place="95 %, six readings", basis="memory")
def test_student_to_four_places_and_cut_down():
    agrees("coverage", coverage_factors.coverage(0.95, 16), 2.1199, abs=1e-4, of=coverage_factors.coverage)
    agrees("coverage", coverage_factors.coverage(0.9545, 16), 2.1689, abs=1e-4, of=coverage_factors.coverage)
    agrees(
        "coverage",
        coverage_factors.coverage(0.95, 16.99),
        coverage_factors.coverage(0.95, 16),
        of=coverage_factors.coverage,
    )
    # H.1.3.2: 95 % of 10 nm from six readings, t 2.57 -> 3.9 nm; H.1.3.2: 13 nm / sqrt 5 = 5.8 nm
    agrees("coverage", 10 / coverage_factors.coverage(0.95, 5), 3.9, abs=0.05, of=coverage_factors.coverage)
    agrees(
        "mean uncertainty",
        guard_bands.mean_uncertainty(13, 5),
        5.8,
        abs=0.05,
        unit="mm",
        of=guard_bands.mean_uncertainty,
    )


@source("JCGM 100:2008 (GUM)", place="4.3, divisors of the shapes", basis="memory")
def test_divisors():
    # JCGM 100 4.3: sqrt 3, sqrt 2; triangular sqrt 6; trapezoid between
    agrees("rectangular, u", 1 / rectangular(0, 1).u, 1.732051, abs=1e-6, of=rectangular)
    agrees("u shaped, u", 1 / u_shaped(0, 1).u, 1.414214, abs=1e-6, of=u_shaped)
    agrees("triangular, u", 1 / triangular(0, 1).u, np.sqrt(6), rel=1e-6, of=triangular)
    agrees("trapezoid, u", trapezoid(0, 1, 1).u, rectangular(0, 1).u, rel=1e-6, of=trapezoid)
    agrees("trapezoid, u", trapezoid(0, 1, 0).u, triangular(0, 1).u, rel=1e-6, of=trapezoid)
    agrees("trapezoid, u", trapezoid(0, 75, 1 / 3).u, np.hypot(rectangular(0, 50).u, rectangular(0, 25).u), rel=1e-6,
           of=trapezoid)
    agrees("normal, u", normal(0, 75 / 3).u, 25, of=normal)  # a certificate that says 75 nm at k = 3


@source("JCGM 100:2008 (GUM)", place="G.4", basis="memory")
def test_welch_satterthwaite():
    agrees(
        "effective dof", effective_dof([1, 1, 1, 1], [10, 10, 10, 10]), 40, rel=1e-6, of=effective_dof
    )  # JCGM 100 G.4
    agrees("effective dof", effective_dof([1, 0], [5, np.inf]), 5, rel=1e-6, of=effective_dof)


@pytest.mark.parametrize(("y", "u", "low", "high", "odds"), [
    (-5.47, 0.05, -np.inf, -5.40, 0.92),    # JCGM 106:2012, 7.3.3 example 1: a Zener diode, V (from memory)
    (509.7, 8.6, 490, np.inf, 0.989),       # example 2: a container's bursting pressure, kPa (from memory)
    (13.6, 1.8, 12.5, 16.3, 0.66),          # 7.4: viscosity of an oil, mm²/s (from memory)
])
@source("JCGM 106:2012, examples", place="7.3.3 and 7.4", basis="memory")
def test_odds_of_jcgm_106(y, u, low, high, odds):
    agrees("odds in tolerance", guard_bands.odds_in_tolerance(y, low, high, u), odds, abs=0.005,
           of=guard_bands.odds_in_tolerance)


@source("JCGM 100:2008 (GUM), Annex H.1", place="table and text", basis="memory")
def test_uncertainty_of_the_gum_example():
    """JCGM 100 (GUM) H.1: 50 mm block, θ = −0.1 °C, u(δα) = 0.58e-6, u(δθ) = 0.029 °C, u(θ) = 0.41 °C give

    2.9 nm, 16.6 nm and, of second order, 11.7 nm (the values of its table and text, from memory).
    """
    parts = [heat.reading_doubt(50, 11.5e-6, -0.1, 0.58e-6, 0, 0), heat.reading_doubt(50, 11.5e-6, 0, 0, 0, 0.029),
             heat.reading_doubt(50, 11.5e-6, 0, 0.58e-6, 0.41, 0)]
    agrees("parts", np.array(parts) * 1e6, [2.9, 16.7, 11.9], abs=0.25, of=heat.reading_doubt)
    together = heat.reading_doubt(50, 11.5e-6, -0.1, 0.58e-6, 0.41, 0.029)
    agrees("together", together, np.sqrt(np.sum(np.square(parts))), rel=1e-12, of=heat.reading_doubt)
