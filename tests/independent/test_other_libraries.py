"""Other libraries: ht, fluids, uncertainties, scipy's distributions, numpy's least squares."""


import fluids
import ht
import numpy as np
import pytest
import uncertainties
from scipy import integrate, stats
from uncertainties import umath

from outside import agrees, source
from springpass import heat, job, stops
from springpass.job import part, tools
from springpass.job.bayes import Scatter, chi2_quantile, learn_line, learn_sd
from springpass.job.budget import _closed, _share, own
from springpass.job.part import OUTSIDE, Surface
from springpass.job.results import Cause
from springpass.measuring import (
    Input,
    budget,
    coverage_factors,
    gauging,
    guard_bands,
    normal,
    rectangular,
    trapezoid,
    triangular,
    u_shaped,
)
from springpass.reaming import log as reaming_log
from springpass.workholding import bending as wb

DICE = np.random.default_rng(3)
SEAT = Surface("seat", OUTSIDE, 20.0, 0.0, 20.0)


@source("the ht library, Churchill and Chu", basis="method")
def test_still_air_against_ht():
    for rayleigh, prandtl in zip(10 ** DICE.uniform(-2, 9, 60), DICE.uniform(0.6, 0.8, 60), strict=True):
        other = ht.conv_free_immersed.Nu_horizontal_cylinder_Churchill_Chu(prandtl, rayleigh / prandtl)
        agrees("still air", heat.still_air(rayleigh, prandtl), other, rel=1e-12, of=heat.still_air)


@source("the ht library, Churchill and Bernstein", basis="method")
def test_moving_air_against_ht():
    for reynolds, prandtl in zip(10 ** DICE.uniform(0, 6, 60), DICE.uniform(0.6, 0.8, 60), strict=True):
        other = ht.conv_external.Nu_cylinder_Churchill_Bernstein(reynolds, prandtl)
        agrees("moving air", heat.moving_air(reynolds, prandtl), other, rel=1e-12, of=heat.moving_air)


@source("the fluids library, standard atmosphere of 1976", basis="method")
def test_air_against_the_standard_atmosphere():
    """Viscosity and conductivity of the 1976 standard atmosphere (fluids library), which depend on temperature alone.
    """
    for kelvin in (253.15, 293.15, 333.15, 393.15):
        dynamic = fluids.ATMOSPHERE_1976.viscosity(kelvin)
        density = 101325 / (287.05287 * kelvin)
        agrees("air viscosity", heat.air_viscosity(kelvin), dynamic / density * 1e6, rel=0.005, unit="mm²/s",
               of=heat.air_viscosity)
        agrees("air conductivity", heat.air_conductivity(kelvin), fluids.ATMOSPHERE_1976.thermal_conductivity(kelvin),
               rel=0.015, unit="W/(m K)", of=heat.air_conductivity)


@source("scipy's normal distribution", basis="method")
def test_normal_shares_against_the_normal_distribution():
    """Three normal spreads of 2, 3 and 6 µm are one of 7 µm; a band of ±10 µm about a middle 2 µm off."""
    n = 100_000
    shares = [_share(cause, "", 0.0, u / 1000 * own(i, n, True))
              for i, (cause, u) in enumerate(((Cause.ROOM, 2), (Cause.READING, 3), (Cause.DIAL, 6)))]
    b = _closed(SEAT, "size", 1, 20.0, 19.99, 20.01, 20.002, shares)
    agrees("spread", b.spread, 0.007, rel=0.01, of=_closed)
    agrees("odds", b.odds, stats.norm.cdf(8 / 7) - stats.norm.cdf(-12 / 7), abs=0.005, of=_closed)


@source("scipy's trapezoid; 11/12 by hand", basis="hand")
def test_two_rectangles_against_the_trapezoid():
    """Two rectangles of ±3 and ±1 make a trapezoid; the share inside ±3 is 1 − 1/12 by hand."""
    n = 100_000
    shares = [_share(Cause.READING, "", 0.0, 0.006 * (own(4, n) - 0.5)),
              _share(Cause.DIAL, "", 0.0, 0.002 * (own(5, n) - 0.5))]
    b = _closed(SEAT, "size", 1, 0.0, -0.003, 0.003, 0.0, shares)
    agrees("odds", b.odds, 11 / 12, abs=0.005, of=_closed)
    trapezoid = stats.trapezoid(0.25, 0.75, loc=-0.004, scale=0.008)
    agrees("odds", b.odds, trapezoid.cdf(0.003) - trapezoid.cdf(-0.003), abs=0.005, of=_closed)


@pytest.mark.parametrize("name", part.DEMOS)
@source("scipy's normal distribution, variances added", basis="method")
def test_a_plan_s_size_has_the_spread_of_its_shares(name):
    """Where shares are independent, variances add and the odds are near those of a normal of that width."""
    made = job.plan(part.demo(name), tools.default_shop(), count=20_000)
    for b in made.budgets:
        agrees("samples", np.std(b.samples), b.spread, rel=0.06, of=(job.plan, part.demo, tools.default_shop))
        agrees(
            "odds",
            b.odds,
            stats.norm.cdf(b.high, np.mean(b.samples), b.spread) - stats.norm.cdf(b.low, np.mean(b.samples), b.spread),
            abs=0.06,
            of=(job.plan, part.demo, tools.default_shop),
        )


@pytest.mark.parametrize("dof", [1, 2, 3, 5.5, 12, 60, 800])
@source("scipy's chi squared", basis="method")
def test_chi_squared_against_scipy(dof):
    for p in (0.001, 0.025, 0.05, 0.5, 0.95, 0.999):
        agrees("chi2 quantile", chi2_quantile(p, dof), stats.chi2.ppf(p, dof), rel=2e-5, of=chi2_quantile)


@source("scipy's Student t and adaptive integration", basis="method")
def test_the_next_result_against_scipy_and_integration():
    s = Scatter(0.01, 5.0, 8.0, 0.003)
    low, high = s.next_range(0.9)
    agrees("low, high", (low, high), stats.t.interval(0.9, 8, 0.01, 0.003 * np.sqrt(1.2)), rel=1e-9)

    def given(sd2):   # normal next result, averaged over the scatter's own distribution
        wide = np.sqrt(sd2 * (1 + 1 / s.weight))
        return (stats.norm.cdf(high, s.mean, wide) - stats.norm.cdf(low, s.mean, wide)) * stats.invgamma.pdf(
            sd2, 4, scale=4 * 0.003**2
        )

    agrees("given", integrate.quad(given, 1e-8, 1e-3, points=[9e-6, 1e-4], limit=200)[0], 0.9, abs=1e-4)


@source("scipy's inverse gamma", basis="method")
def test_a_scatter_alone_against_scipy():
    """Sums of squares add: the same as inverse gamma of scipy with a = dof/2 and b = sum of squares/2."""
    after = learn_sd(Scatter(0, 1, 3, 0.0015), [(0.0010, 2), (0.0020, 4)])
    squares = 3 * 0.0015**2 + 2 * 0.0010**2 + 4 * 0.0020**2
    other = stats.invgamma(9 / 2, scale=squares / 2)
    agrees("sd range", after.sd_range(0.9), np.sqrt(other.ppf([0.05, 0.95])), rel=1e-4, of=learn_sd)


@source("numpy's least squares", basis="method")
def test_the_line_against_least_squares_and_in_steps():
    dice = np.random.default_rng(3)
    x, noise = dice.normal(size=(40, 2)), dice.uniform(0.5, 2, 40)
    y = x @ [1.5, -0.4] + noise * dice.normal(size=40)
    vague = learn_line([0, 0], 1e8 * np.eye(2), x, y, noise)
    other = np.linalg.lstsq(x / noise[:, None], y / noise, rcond=None)[0]
    agrees("vague", vague[0], other, rel=1e-6, of=learn_line)
    at_once = learn_line([1, 0], np.diag([0.1, 0.2]), x, y, noise)
    first = learn_line([1, 0], np.diag([0.1, 0.2]), x[:15], y[:15], noise[:15])
    then = learn_line(*first, x[15:], y[15:], noise[15:])
    for one, two in zip(at_once, then, strict=True):
        agrees("", one, two, rel=1e-9, of=learn_line)


MODELS = {
    "product": (lambda a, b, c: a * b / c, lambda a, b, c: a * b / c),
    "roots": (lambda a, b, c: np.sqrt(a**2 + b**2) - c, lambda a, b, c: umath.sqrt(a**2 + b**2) - c),
    "angles": (
        lambda a, b, c: a * np.sin(b / 30) + c * np.exp(-b / 20),
        lambda a, b, c: a * umath.sin(b / 30) + c * umath.exp(-b / 20),
    ),
    "expansion": (
        lambda a, b, c: a * (1 + 11.5e-6 * b) / (1 + 23e-6 * c),
        lambda a, b, c: a * (1 + 11.5e-6 * b) / (1 + 23e-6 * c),
    ),
}


@pytest.mark.parametrize("name", MODELS)
@pytest.mark.parametrize("seed", range(5))
@source("the uncertainties library", basis="method")
def test_first_order_against_uncertainties(name, seed):
    ours, theirs = MODELS[name]
    dice = np.random.default_rng(seed)
    values, us = dice.uniform(5, 60, 3), dice.uniform(0.001, 0.3, 3)
    result = budget(dict(zip("abc", zip(values, us, strict=True), strict=True)), ours)
    known = [uncertainties.ufloat(v, u) for v, u in zip(values, us, strict=True)]
    other = theirs(*known)
    agrees("", result.value, other.nominal_value, rel=1e-12, of=budget)
    agrees("uncertainty", result.uncertainty, other.std_dev, rel=1e-6, of=budget)
    for line, input_ in zip(result.lines, known, strict=True):
        agrees("contribution", line.contribution, other.error_components()[input_], rel=1e-5, abs=1e-12, of=budget)


@pytest.mark.parametrize("instrument", gauging.instruments())
@source("the uncertainties library", basis="method")
def test_ready_budgets_against_uncertainties(instrument):
    ours = gauging.ready(instrument, 20.0, "aluminium 6082", shop_rise=3.0, warmer=4.0)
    v = {line.name: uncertainties.ufloat(line.input.value, line.input.u) if line.input.u else line.input.value
         for line in ours.budget.lines}
    shared = ("reading", "rocking", "shop", "difference", "gauge's steel", "work's metal")
    direct = sum(v[name] for name in v if name not in shared)
    beside = gauging.BESIDE * umath.tan(v["rocking"] * np.pi / 180) if "rocking" in v else 0.0
    theirs = (
        20.0 * (1 + v["gauge's steel"] * v["shop"] - v["work's metal"] * (v["shop"] + v["difference"]))
        + direct
        + beside
    )
    agrees("", ours.value, theirs.nominal_value, rel=1e-12, of=gauging.ready)
    agrees("budget, first order", ours.budget.first_order, theirs.std_dev, rel=1e-6, of=gauging.ready)


@pytest.mark.parametrize(("part", "shape"), [
    (normal(1.0, 0.5), stats.norm(1, 0.5)), (normal(1.0, 0.5, 6), stats.t(6, 1, 0.5)),
    (rectangular(1.0, 0.5), stats.uniform(0.5, 1)), (triangular(1.0, 0.5), stats.triang(0.5, 0.5, 1)),
    (u_shaped(1.0, 0.5), stats.arcsine(0.5, 1)), (trapezoid(1.0, 0.5, 0.4), stats.trapezoid(0.3, 0.7, 0.5, 1))])
@source("scipy's distributions", basis="method")
def test_monte_carlo_draws_the_shape_it_says(part: Input, shape):
    samples = budget({"x": part}, lambda x: x).draw(40_000).samples
    ps = np.array([0.025, 0.25, 0.5, 0.75, 0.975])
    agrees("samples", np.quantile(samples, ps), shape.ppf(ps), abs=0.01 * shape.std(), of=budget)
    agrees("samples, scatter", samples.std(), shape.std(), rel=0.01, of=budget)


@pytest.mark.parametrize("dof", [0.3, 1, 1.5, 2, 3, 7, 16, 16.7, 99, 1e3, 1.9e4, 2.1e4, 1e7, np.inf])
@source("scipy's Student t", basis="method")
def test_student_t_against_scipy(dof):
    ps = np.array([1e-10, 1e-4, 0.025, 0.3, 0.5, 0.50001, 0.9, 0.975, 0.995, 1 - 1e-9])
    theirs = stats.t.ppf(ps, dof) if np.isfinite(dof) else stats.norm.ppf(ps)
    agrees(
        "t quantile", coverage_factors.t_quantile(ps, dof), theirs, rel=1e-8, abs=1e-12, of=coverage_factors.t_quantile
    )


@source("scipy's Student t", basis="method")
def test_t_tail_against_scipy():
    t = np.array([0.0, 1e-6, 0.1, 1, 3, 12, 400])
    for dof in (0.7, 1, 4.5, 30, 5e3):
        agrees("t tail", coverage_factors.t_tail(t, dof), stats.t.sf(t, dof), rel=1e-9, of=coverage_factors.t_tail)


@pytest.mark.parametrize("top", [0.0, 0.2, 1 / 3, 0.8, 1.0])
@pytest.mark.parametrize("p", [0.3, 0.68, 0.95, 0.99])
@source("scipy's trapezoid", basis="method")
def test_trapezoid_factor_against_scipy(top, p):
    shape = stats.trapezoid((1 - top) / 2, (1 + top) / 2, -1, 2)
    agrees(
        "trapezoid coverage",
        coverage_factors.trapezoid_coverage(p, top),
        shape.ppf((1 + p) / 2) / shape.std(),
        rel=1e-6,
        of=coverage_factors.trapezoid_coverage,
    )


@source("scipy's normal and Student t", basis="method")
def test_odds_against_scipy():
    x = np.linspace(19.98, 20.03, 41)
    theirs = stats.norm.cdf(20.021, x, 0.004) - stats.norm.cdf(20.0, x, 0.004)
    agrees("odds in tolerance", guard_bands.odds_in_tolerance(x, 20.0, 20.021, 0.004), theirs, abs=1e-12,
           of=guard_bands.odds_in_tolerance)
    theirs = stats.t.cdf((20.021 - x) / 0.004, 5) - stats.t.cdf((20.0 - x) / 0.004, 5)
    agrees("odds in tolerance", guard_bands.odds_in_tolerance(x, 20.0, 20.021, 0.004, dof=5), theirs, abs=1e-12,
           of=guard_bands.odds_in_tolerance)
    low, high = guard_bands.acceptance(20.0, 20.021, 0.004)
    for edge in (low, high):
        agrees("cdf", stats.norm.cdf(20.021, edge, 0.004) - stats.norm.cdf(20.0, edge, 0.004), 0.95, abs=1e-9,
               of=guard_bands.acceptance)


@source("scipy's standard error and Student t", basis="method")
def test_first_order_mean_of_readings_against_scipy():
    readings = [12.001, 12.004, 12.003, 11.999, 12.002, 12.001, 12.005, 12.000, 12.002, 12.003]
    found = guard_bands.repeatability(readings)
    agrees("", found.u, stats.sem(readings), rel=1e-12, of=guard_bands.repeatability)
    low, high = stats.t.interval(0.95, 9, np.mean(readings), stats.sem(readings))
    agrees(
        "coverage",
        coverage_factors.coverage(0.95, found.dof) * found.u,
        (high - low) / 2,
        rel=1e-9,
        of=coverage_factors.coverage,
    )


@source("normal equations, scipy's Student t", basis="method")
def test_fit_with_three_predictors_against_scipy():
    dice = np.random.default_rng(2)
    table = dice.uniform([0.05, 0.05, 4], [0.3, 0.3, 12], (14, 3))
    y = 0.003 + table @ [0.02, -0.01, 0.0003] + dice.normal(0, 0.001, 14)
    log = [
        {"stock": s, "feed": f, "speed": v, "size": 10, "reamer": 10.0, "hole": 10 + w, "fluid": "dry", "material": "m"}
        for (s, f, v), w in zip(table, y, strict=True)
    ]
    found = reaming_log.fit_holes(log, 0.15, 0.15, 8.0)
    x = np.column_stack([np.ones(14), table])
    beta = np.linalg.inv(x.T @ x) @ x.T @ y
    s = np.sqrt(np.sum((y - x @ beta) ** 2) / 10)
    here = np.array([1, 0.15, 0.15, 8.0])
    spread = s * np.sqrt(1 + here @ np.linalg.inv(x.T @ x) @ here)
    agrees("", found.value, float(here @ beta), rel=1e-7, of=reaming_log.fit_holes)
    agrees("high", found.high - found.value, stats.t.ppf(0.95, 10) * spread, rel=1e-6, of=reaming_log.fit_holes)


@source("scipy's Student t", basis="method")
def test_students_t_is_the_tables():
    for freedom in range(1, 13):
        agrees("student", wb._student(freedom), stats.t.ppf(0.95, freedom), abs=6e-4, of=wb._student)
    agrees("student", wb._student(40), stats.t.ppf(0.95, 40), abs=0.03, of=wb._student)


@pytest.mark.parametrize("set_by", ["gauge blocks", "dial"])
@source("the uncertainties library", place="depth of 32, touched off and cut to a stop", basis="method")
def test_depth_budget_against_uncertainties(set_by):
    ours = stops.depth_budget(32.0, set_by=set_by, rise=3.0)
    v = {
        line.name: uncertainties.ufloat(line.input.value, line.input.u) if line.input.u else line.input.value
        for line in ours.lines
    }
    theirs = v[set_by] * (1 - v["expansion"] * v["warmth"]) + v["touch"] + v["stop at the zero"] - v["stop at depth"]
    agrees("depth", ours.value, theirs.nominal_value, rel=1e-12, unit="mm", of=stops.depth_budget)
    agrees("standard uncertainty", ours.first_order, theirs.std_dev, rel=1e-6, unit="mm", of=stops.depth_budget)


@source("scipy's normal distribution", place="the drive sleeve's sizes, 20,000 virtual parts", basis="method")
def test_virtual_parts_against_the_normal_distribution():
    made = job.plan(part.demo(), tools.default_shop(), count=20_000)
    thrown = job.virtual_parts(made, 20_000)
    budgets = {b.surface: b for b in made.budgets}
    for name, row in zip(thrown.surfaces, thrown.sizes, strict=True):
        b = budgets[name]
        inside = stats.norm.cdf(b.high, row.mean(), row.std()) - stats.norm.cdf(b.low, row.mean(), row.std())
        agrees("share inside", np.mean((row >= b.low) & (row <= b.high)), inside, abs=0.06, of=job.virtual_parts)
        # the aim is inside the tolerance, so the middle of what comes out is near it
        agrees("middle size", row.mean(), (b.low + b.high) / 2, abs=0.06, unit="mm", of=job.virtual_parts)
    every = np.prod([b.odds for b in made.budgets])
    agrees("odds of the part", thrown.odds, every, abs=0.03, of=job.virtual_parts)
