"""A plan's Monte Carlo against sums in closed form, by scipy's normal and by hand."""

import numpy as np
import pytest
from scipy import stats

from springpass import job, part, tools
from springpass.job_budget import _closed, _share, own


def test_normal_shares_against_the_normal_distribution():
    """Three normal spreads of 2, 3 and 6 µm are one of 7 µm; a band of ±10 µm about a middle 2 µm off."""
    n = 100_000
    shares = [_share(str(u), "", 0.0, u / 1000 * own(i, n, True), "") for i, u in enumerate((2, 3, 6))]
    b = _closed("s", "s", 1, 20.0, 19.99, 20.01, 20.002, shares)
    assert b.spread == pytest.approx(0.007, rel=0.01)
    assert b.odds == pytest.approx(stats.norm.cdf(8 / 7) - stats.norm.cdf(-12 / 7), abs=0.005)


def test_two_rectangles_against_the_trapezoid():
    """Two rectangles of ±3 and ±1 make a trapezoid; the share inside ±3 is 1 − 1/12 by hand."""
    n = 100_000
    shares = [_share("a", "", 0.0, 0.006 * (own(4, n) - 0.5), ""), _share("b", "", 0.0, 0.002 * (own(5, n) - 0.5), "")]
    b = _closed("s", "s", 1, 0.0, -0.003, 0.003, 0.0, shares)
    assert b.odds == pytest.approx(11 / 12, abs=0.005)
    trapezoid = stats.trapezoid(0.25, 0.75, loc=-0.004, scale=0.008)
    assert b.odds == pytest.approx(trapezoid.cdf(0.003) - trapezoid.cdf(-0.003), abs=0.005)


@pytest.mark.parametrize("name", part.DEMOS)
def test_a_plan_s_size_has_the_spread_of_its_shares(name):
    """Where shares are independent, variances add and the odds are near those of a normal of that width."""
    made = job.plan(part.demo(name), tools.default_shop(), count=20_000)
    for b in made.budgets:
        assert np.std(b.samples) == pytest.approx(b.spread, rel=0.06), b.says
        assert b.odds == pytest.approx(stats.norm.cdf(b.high, np.mean(b.samples), b.spread) - stats.norm.cdf(b.low, np.mean(b.samples), b.spread), abs=0.06)


def test_odds_of_the_part_against_the_product_of_its_sizes():
    """Sizes that hardly share anything multiply."""
    made = job.plan(part.demo(), tools.default_shop(), count=20_000)
    assert made.odds == pytest.approx(np.prod([b.odds for b in made.budgets]), abs=0.02)
