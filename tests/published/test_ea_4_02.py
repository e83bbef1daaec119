"""EA-4/02 M, the examples of the calibration laboratories. Basis: from memory."""

import numpy as np

from outside import agrees, source
from springpass.measuring import budget, coverage_factors, normal, rectangular, triangular


@source("EA-4/02 M, example S4", place="gauge block of 50 mm", basis="memory")
def test_ea_s4_gauge_block_of_50_mm():
    # l_X = l_S + dl_D + dl + dl_C - L (alpha dt + d_alpha Dt) - dl_V; nm; result 49.999 926 mm, u 36.4 nm, U 73 nm
    inputs = {"l_s": normal(50_000_020, 15), "drift": rectangular(0, 30), "dl": normal(-94, 12 / np.sqrt(5)),
              "comparator": rectangular(0, 32), "dt": rectangular(0, 0.05),
              "d_alpha": triangular(0, 2e-6), "mean_t": rectangular(0, 0.5), "variation": rectangular(0, 6.7)}

    def model(l_s, drift, dl, comparator, dt, d_alpha, mean_t, variation):
        return l_s + drift + dl + comparator - 50e6 * (11.5e-6 * dt + d_alpha * mean_t) - variation

    result = budget(inputs, model, order=2)
    shares = {line.name: line.contribution for line in result.lines}
    agrees("drift", shares["drift"], 17.32, abs=0.05, of=budget)
    agrees("dt", shares["dt"], 16.6, abs=0.05, of=budget)
    agrees("variation", shares["variation"], 3.87, abs=0.05, of=budget)
    agrees("comparator", shares["comparator"], 18.5, abs=0.05, of=budget)
    agrees("dl", shares["dl"], 5.37, abs=0.005, of=budget)
    product = np.sqrt(result.second_order**2 - result.first_order**2)
    agrees("product", product, 11.8, abs=0.05, of=budget)  # first order misses it altogether
    agrees("", result.value, 49_999_926, abs=0.5, of=budget)
    agrees("uncertainty", result.uncertainty, 36.4, abs=0.05, of=budget)
    agrees("uncertainty", round(2 * result.uncertainty), 73, of=budget)


@source("EA-4/02 M, example S10", place="calliper at 150 mm", basis="memory")
def test_ea_s10_calliper_two_rectangles_that_rule():
    # error of indication at 150 mm: 0.10 mm, u 33 µm, k 1.83, U 0.06 mm
    inputs = {"shown": 150.10, "standard": rectangular(150.0, 0.0008), "dt": rectangular(0, 2.0),
              "resolution": rectangular(0, 0.025), "mechanical": rectangular(0, 0.05)}

    def model(shown, standard, dt, resolution, mechanical):
        return shown - standard + 150 * 11.5e-6 * dt + resolution + mechanical

    result = budget(inputs, model)
    agrees("", result.value, 0.10, abs=1e-9, of=budget)
    shares = {line.name: line.contribution * 1000 for line in result.lines}
    printed = {"standard": 0.46, "dt": 2.0, "resolution": 15, "mechanical": 29}       # µm, as the example prints them
    agrees("standard", shares["standard"], 0.46, abs=0.005, of=budget)
    agrees("dt", shares["dt"], 2.0, abs=0.05, of=budget)
    agrees("resolution", np.ceil(shares["resolution"]), 15, of=budget)
    agrees("mechanical", round(shares["mechanical"]), 29, of=budget)
    agrees("", round(np.sqrt(sum(u**2 for u in printed.values()))), 33)  # from the rounded lines
    agrees("uncertainty", result.uncertainty, 0.0323, abs=0.0001, of=budget)  # not rounded on the way
    agrees("factor", result.factor(0.95, "fitting"), 1.83, abs=0.005, of=budget)
    agrees("expanded", round(result.expanded(0.95, "fitting"), 2), 0.06, of=budget)
    agrees("factor", result.factor(0.95), 1.96, abs=0.005, of=budget)  # the normal rule would claim more than is needed


@source("rectangle and triangle by hand; EA-4/02 M, example S10", place="95 %", basis="memory")
def test_trapezoid_factor():
    agrees("trapezoid coverage", coverage_factors.trapezoid_coverage(0.95, 1.0), 0.95 * np.sqrt(3), rel=1e-6,
           of=coverage_factors.trapezoid_coverage)  # rectangle: 1.65
    agrees(
        "trapezoid coverage",
        coverage_factors.trapezoid_coverage(0.95, 0.0),
        (1 - np.sqrt(0.05)) * np.sqrt(6),
        rel=1e-6,
        of=coverage_factors.trapezoid_coverage,
    )  # triangle: 1.90
    agrees(
        "trapezoid coverage",
        coverage_factors.trapezoid_coverage(0.95, 1 / 3),
        1.83,
        abs=0.005,
        of=coverage_factors.trapezoid_coverage,
    )  # EA-4/02 S10
