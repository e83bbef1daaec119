"""Updates against other libraries and against brute force: scipy's distributions, sums over grids, weighted draws."""

import numpy as np
import pytest
from scipy import integrate, stats

from springpass.learning import BORED, Expected, bending_prior, compare, lessons
from springpass.updating import Scatter, chi2_quantile, learn_line, learn_scatter, learn_sd


@pytest.mark.parametrize("dof", [1, 2, 3, 5.5, 12, 60, 800])
def test_chi_squared_against_scipy(dof):
    for p in (0.001, 0.025, 0.05, 0.5, 0.95, 0.999):
        assert chi2_quantile(p, dof) == pytest.approx(stats.chi2.ppf(p, dof), rel=2e-5)


def test_mean_and_scatter_against_a_sum_over_a_grid():
    """The likelihood times the prior, summed over mean and scatter, gives the same mean, spread and scatter."""
    y = np.array([0.011, 0.014, 0.009, 0.016])
    prior = Scatter(0.008, 1.0, 3.0, 0.008)
    after = learn_scatter(prior, y)
    mean, sd = np.meshgrid(np.linspace(-0.06, 0.08, 1401), np.exp(np.linspace(np.log(4e-4), np.log(0.3), 900)), indexing="ij")
    log = (stats.norm.logpdf(y[:, None, None], mean, sd).sum(0) + stats.norm.logpdf(mean, prior.mean, sd / np.sqrt(prior.weight))
           + stats.invgamma.logpdf(sd**2, prior.dof / 2, scale=prior.dof * prior.sd**2 / 2) + 2 * np.log(sd))  # the grid runs in log(sd)
    weight = np.exp(log - log.max())
    weight /= weight.sum()
    assert (weight * mean).sum() == pytest.approx(after.mean, rel=2e-3)
    along = weight.sum(1).cumsum() - weight.sum(1) / 2   # a cell's middle has half of the cell below it
    assert np.interp([0.05, 0.95], along, mean[:, 0]) == pytest.approx(after.mean_range(), rel=5e-3)
    of_sd = weight.sum(0).cumsum() - weight.sum(0) / 2
    assert np.interp([0.05, 0.95], of_sd, sd[0]) == pytest.approx(after.sd_range(), rel=1e-2)


def test_the_next_result_against_scipy_and_integration():
    s = Scatter(0.01, 5.0, 8.0, 0.003)
    low, high = s.next_range(0.9)
    assert (low, high) == pytest.approx(stats.t.interval(0.9, 8, 0.01, 0.003 * np.sqrt(1.2)), rel=1e-9)

    def given(sd2):   # normal next result, averaged over the scatter's own distribution
        wide = np.sqrt(sd2 * (1 + 1 / s.weight))
        return (stats.norm.cdf(high, s.mean, wide) - stats.norm.cdf(low, s.mean, wide)) * stats.invgamma.pdf(sd2, 4, scale=4 * 0.003**2)

    assert integrate.quad(given, 1e-8, 1e-3, points=[9e-6, 1e-4], limit=200)[0] == pytest.approx(0.9, abs=1e-4)


def test_a_scatter_alone_against_scipy():
    """Sums of squares add: the same as inverse gamma of scipy with a = dof/2 and b = sum of squares/2."""
    after = learn_sd(Scatter(0, 1, 3, 0.0015), [(0.0010, 2), (0.0020, 4)])
    squares = 3 * 0.0015**2 + 2 * 0.0010**2 + 4 * 0.0020**2
    other = stats.invgamma(9 / 2, scale=squares / 2)
    assert after.sd_range(0.9) == pytest.approx(np.sqrt(other.ppf([0.05, 0.95])), rel=1e-4)


def test_the_line_against_least_squares_and_in_steps():
    dice = np.random.default_rng(3)
    x, noise = dice.normal(size=(40, 2)), dice.uniform(0.5, 2, 40)
    y = x @ [1.5, -0.4] + noise * dice.normal(size=40)
    vague = learn_line([0, 0], 1e8 * np.eye(2), x, y, noise)
    other = np.linalg.lstsq(x / noise[:, None], y / noise, rcond=None)[0]
    assert vague[0] == pytest.approx(other, rel=1e-6)
    at_once = learn_line([1, 0], np.diag([0.1, 0.2]), x, y, noise)
    first = learn_line([1, 0], np.diag([0.1, 0.2]), x[:15], y[:15], noise[:15])
    then = learn_line(*first, x[15:], y[15:], noise[15:])
    for one, two in zip(at_once, then, strict=True):
        assert one == pytest.approx(two, rel=1e-9)


def test_force_and_holder_against_weighted_draws():
    """Half a million shops drawn from the priors as they are meant (force a normal, holder a ratio), each weighted with how
    well it explains the results: the straight-line estimate stands within a tenth of their spread for the force,
    a third for the holder (whose skewed prior it takes for a bell)."""
    bar, force = (2.4e-4, 7.37e-4, 1.5e-3), 15.0
    truth, holder = 1.15, 24e3
    moved = [2 * force * truth * (c + 1 / holder) for c in bar]
    results = [compare(Expected(f"bore {i}", BORED, 12, 12.0, 11.9, 12.1, 12.0 + m, force, c, instrument="bore gauge set in a micrometer"), [12.0])
               for i, (c, m) in enumerate(zip(bar, moved, strict=True))]
    force_now, holder_now = lessons(results, (30e3, 2.0))[:2]
    dice = np.random.default_rng(5)
    phi = 1 + np.log(1.25) / 2 * dice.normal(size=500_000)
    spring = 30e3 * np.exp(np.log(2) / 2 * dice.normal(size=500_000))
    noise = np.hypot(2e-3, 2 * 1.5e-3)
    weight = np.exp(-sum((2 * force * phi * (c + 1 / spring) - m) ** 2 for c, m in zip(bar, moved, strict=True)) / (2 * noise**2))
    for lesson, draws, near in ((force_now, phi, 0.1), (holder_now, 1 / spring, 0.35)):
        order = np.argsort(draws)
        low, middle, high = np.interp([0.05, 0.5, 0.95], weight[order].cumsum() / weight.sum(), draws[order])
        now = lesson.after if lesson is force_now else tuple(1 / v for v in lesson.after[::-1])
        spread = (high - low) / 3.29
        assert now[1] == pytest.approx(middle, abs=near * spread), lesson.name
    assert force_now.after[0] < truth < force_now.after[2]
    assert holder_now.after[0] < holder < holder_now.after[2]


def test_the_prior_is_what_it_says():
    mean, covariance = bending_prior(30e3, 2.0)
    dice = np.random.default_rng(7)
    phi = 1 + np.log(1.25) / 2 * dice.normal(size=400_000)
    psi = phi * 1e4 / 30e3 * (1 + np.sqrt(np.expm1((np.log(2) / 2) ** 2)) * dice.normal(size=400_000))
    assert mean == pytest.approx([phi.mean(), psi.mean()], rel=5e-3)
    assert covariance == pytest.approx(np.cov(phi, psi), rel=2e-2)
