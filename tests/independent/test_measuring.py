"""Budgets against the uncertainties library, Student t and shapes against scipy, stacks against brute force."""

import itertools

import numpy as np
import pytest
import uncertainties
from scipy import integrate, stats
from uncertainties import umath

from springpass import believing, blocks, gauging, stops, student
from springpass.measuring import Input, budget, normal, rectangular, trapezoid, triangular, u_shaped
from springpass.quantities import Refused

# ---- first order against another library ------------------------------------------------------------

MODELS = {
    "product": (lambda a, b, c: a * b / c, lambda a, b, c: a * b / c),
    "roots": (lambda a, b, c: np.sqrt(a**2 + b**2) - c, lambda a, b, c: umath.sqrt(a**2 + b**2) - c),
    "angles": (lambda a, b, c: a * np.sin(b / 30) + c * np.exp(-b / 20), lambda a, b, c: a * umath.sin(b / 30) + c * umath.exp(-b / 20)),
    "expansion": (lambda a, b, c: a * (1 + 11.5e-6 * b) / (1 + 23e-6 * c), lambda a, b, c: a * (1 + 11.5e-6 * b) / (1 + 23e-6 * c)),
}


@pytest.mark.parametrize("name", MODELS)
@pytest.mark.parametrize("seed", range(5))
def test_first_order_against_uncertainties(name, seed):
    ours, theirs = MODELS[name]
    dice = np.random.default_rng(seed)
    values, us = dice.uniform(5, 60, 3), dice.uniform(0.001, 0.3, 3)
    result = budget(dict(zip("abc", zip(values, us, strict=True), strict=True)), ours)
    known = [uncertainties.ufloat(v, u) for v, u in zip(values, us, strict=True)]
    other = theirs(*known)
    assert result.value == pytest.approx(other.nominal_value, rel=1e-12)
    assert result.uncertainty == pytest.approx(other.std_dev, rel=1e-6)
    for line, input_ in zip(result.lines, known, strict=True):
        assert line.contribution == pytest.approx(other.error_components()[input_], rel=1e-5, abs=1e-12)


@pytest.mark.parametrize("instrument", gauging.instruments())
def test_ready_budgets_against_uncertainties(instrument):
    ours = gauging.ready(instrument, 20.0, "aluminium 6082", shop_rise=3.0, warmer=4.0)
    v = {line.name: uncertainties.ufloat(line.input.value, line.input.u) if line.input.u else line.input.value
         for line in ours.budget.lines}
    shared = ("reading", "rocking", "shop", "difference", "gauge's steel", "work's metal")
    direct = sum(v[name] for name in v if name not in shared)
    beside = gauging.BESIDE * umath.tan(v["rocking"] * np.pi / 180) if "rocking" in v else 0.0
    theirs = 20.0 * (1 + v["gauge's steel"] * v["shop"] - v["work's metal"] * (v["shop"] + v["difference"])) + direct + beside
    assert ours.value == pytest.approx(theirs.nominal_value, rel=1e-12)
    assert ours.budget.first_order == pytest.approx(theirs.std_dev, rel=1e-6)


# ---- second order against integrals -----------------------------------------------------------------


@pytest.mark.parametrize(("part", "shape"), [
    (normal(0.0, 1.3), stats.norm(0, 1.3)), (rectangular(0.0, 2.0), stats.uniform(-2, 4)),
    (triangular(0.0, 2.0), stats.triang(0.5, -2, 4)), (u_shaped(0.0, 2.0), stats.arcsine(-2, 4)),
    (trapezoid(0.0, 2.0, 0.4), stats.trapezoid(0.3, 0.7, -2, 4))])
def test_a_square_has_its_exact_second_order_spread(part: Input, shape):
    assert part.u == pytest.approx(shape.std(), rel=1e-9)
    fourth = shape.moment(4) if part.shape != "trapezoid" else integrate.quad(lambda x: x**4 * shape.pdf(x), -2, 2)[0]
    result = budget({"x": part}, lambda x: x**2, order=2)
    assert result.uncertainty == pytest.approx(np.sqrt(fourth - shape.var()**2), rel=1e-7)
    assert result.value + result.shift == pytest.approx(shape.var(), rel=1e-7)
    assert result.first_order == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize(("part", "shape"), [
    (normal(1.0, 0.5), stats.norm(1, 0.5)), (normal(1.0, 0.5, 6), stats.t(6, 1, 0.5)),
    (rectangular(1.0, 0.5), stats.uniform(0.5, 1)), (triangular(1.0, 0.5), stats.triang(0.5, 0.5, 1)),
    (u_shaped(1.0, 0.5), stats.arcsine(0.5, 1)), (trapezoid(1.0, 0.5, 0.4), stats.trapezoid(0.3, 0.7, 0.5, 1))])
def test_monte_carlo_draws_the_shape_it_says(part: Input, shape):
    samples = budget({"x": part}, lambda x: x).draw(40_000).samples
    ps = np.array([0.025, 0.25, 0.5, 0.75, 0.975])
    assert np.quantile(samples, ps) == pytest.approx(shape.ppf(ps), abs=0.01 * shape.std())
    assert samples.std() == pytest.approx(shape.std(), rel=0.01)


# ---- Student t, trapezoid, odds against scipy -------------------------------------------------------


@pytest.mark.parametrize("dof", [0.3, 1, 1.5, 2, 3, 7, 16, 16.7, 99, 1e3, 1.9e4, 2.1e4, 1e7, np.inf])
def test_student_t_against_scipy(dof):
    ps = np.array([1e-10, 1e-4, 0.025, 0.3, 0.5, 0.50001, 0.9, 0.975, 0.995, 1 - 1e-9])
    theirs = stats.t.ppf(ps, dof) if np.isfinite(dof) else stats.norm.ppf(ps)
    assert student.t_quantile(ps, dof) == pytest.approx(theirs, rel=1e-8, abs=1e-12)


def test_t_tail_against_scipy():
    t = np.array([0.0, 1e-6, 0.1, 1, 3, 12, 400])
    for dof in (0.7, 1, 4.5, 30, 5e3):
        assert student.t_tail(t, dof) == pytest.approx(stats.t.sf(t, dof), rel=1e-9)


@pytest.mark.parametrize("top", [0.0, 0.2, 1 / 3, 0.8, 1.0])
@pytest.mark.parametrize("p", [0.3, 0.68, 0.95, 0.99])
def test_trapezoid_factor_against_scipy(top, p):
    shape = stats.trapezoid((1 - top) / 2, (1 + top) / 2, -1, 2)
    assert student.trapezoid_coverage(p, top) == pytest.approx(shape.ppf((1 + p) / 2) / shape.std(), rel=1e-6)


def test_odds_against_scipy():
    x = np.linspace(19.98, 20.03, 41)
    theirs = stats.norm.cdf(20.021, x, 0.004) - stats.norm.cdf(20.0, x, 0.004)
    assert believing.odds_in_tolerance(x, 20.0, 20.021, 0.004) == pytest.approx(theirs, abs=1e-12)
    theirs = stats.t.cdf((20.021 - x) / 0.004, 5) - stats.t.cdf((20.0 - x) / 0.004, 5)
    assert believing.odds_in_tolerance(x, 20.0, 20.021, 0.004, dof=5) == pytest.approx(theirs, abs=1e-12)
    low, high = believing.acceptance(20.0, 20.021, 0.004)
    for edge in (low, high):
        assert stats.norm.cdf(20.021, edge, 0.004) - stats.norm.cdf(20.0, edge, 0.004) == pytest.approx(0.95, abs=1e-9)


def test_first_order_mean_of_readings_against_scipy():
    readings = [12.001, 12.004, 12.003, 11.999, 12.002, 12.001, 12.005, 12.000, 12.002, 12.003]
    found = believing.repeatability(readings)
    assert found.u == pytest.approx(stats.sem(readings), rel=1e-12)
    low, high = stats.t.interval(0.95, 9, np.mean(readings), stats.sem(readings))
    assert student.coverage(0.95, found.dof) * found.u == pytest.approx((high - low) / 2, rel=1e-9)


# ---- stacks against every combination there is ------------------------------------------------------

SMALL = (1.0, 1.005, 1.01, 1.02, 1.05, 1.1, 1.3, 2.0, 3.0, 5.0, 10.0)


def every_sum(sizes):
    fewest = {}
    for count in range(1, len(sizes) + 1):
        for pick in itertools.combinations(sizes, count):
            fewest.setdefault(round(sum(pick) * 10_000), count)
    return fewest


def test_fewest_for_every_length_of_a_small_set():
    fewest = every_sum(SMALL)
    made = 0
    for place in range(50, 279_000, 50):
        length = place / 10_000
        if place in fewest:
            stack = stops.gauge_stack(length, SMALL)
            assert len(stack) == fewest[place] and set(stack) <= set(SMALL) and len(set(stack)) == len(stack)
            assert sum(stack) == pytest.approx(length, abs=1e-9)
            made += 1
    assert made > 800


def test_what_cannot_be_made_is_refused_and_the_nearest_is_the_nearest():
    fewest = np.array(sorted(every_sum(SMALL)))
    for length in (0.2, 1.015, 1.5, 4.13, 7.777, 11.2345, 25.4, 40.0):
        gap = np.abs(fewest - length * 10_000).min()
        if gap < 1e-6:
            continue
        with pytest.raises(Refused, match="nearest"):
            stops.gauge_stack(length, SMALL)
        near = stops.gauge_stack(length, SMALL, nearest=True)
        assert abs(near.off) == pytest.approx(gap / 10_000, abs=1e-9) and not near.exact


@pytest.mark.parametrize("name", ["112", "88", "46", "32"])
def test_no_three_blocks_where_four_are_given(name):
    """Every pair and triple of a whole set: where they make the length, the search must not give more."""
    box = blocks.gauge_set(name)
    whole = np.array([round(size * 10_000) for size in box.sizes])
    one, two = set(whole.tolist()), {int(a + b) for a, b in itertools.combinations(whole, 2)}
    dice = np.random.default_rng(3)
    for place in dice.integers(12_000, 600_000, 60):
        length = int(place) // 10 * 10 / 10_000
        target = round(length * 10_000)
        try:
            stack = stops.gauge_stack(length, box)
        except Refused:
            assert target not in one | two
            continue
        three = any(target - int(a) in two for a in whole)   # may use a block twice, so it only bounds from below
        if target in one:
            assert len(stack) == 1
        elif target in two:
            assert len(stack) == 2
        elif not three:
            assert len(stack) >= 4
        assert len(set(stack)) == len(stack) and round(sum(stack) * 10_000) == target


# ---- chains against convolution ---------------------------------------------------------------------


def test_chain_monte_carlo_against_a_convolution():
    chain = stops.chain([stops.Link("a", 10, 0.03), stops.Link("b", 20, 0.02), stops.Link("c", 5, 0.01, -1)], 100_000)
    grid = np.linspace(-0.03, 0.03, 6001)
    step = grid[1] - grid[0]
    density = np.where(np.abs(grid) <= 0.03, 1.0, 0.0)
    for half in (0.02, 0.01):
        density = np.convolve(density, np.where(np.abs(grid) <= half, 1.0, 0.0))
    density /= density.sum()
    places = (np.arange(len(density)) - (len(density) - 1) / 2) * step
    low, high = (float(np.interp(p, np.cumsum(density), places)) for p in (0.025, 0.975))
    assert chain.length == 25 and chain.worst == pytest.approx(0.06)
    assert chain.low - 25 == pytest.approx(low, abs=0.0002) and chain.high - 25 == pytest.approx(high, abs=0.0002)
    assert chain.rss == pytest.approx(np.sqrt(0.03**2 + 0.02**2 + 0.01**2))
