"""The spread: the same points every time, with the right shares."""

from statistics import NormalDist

import numpy as np
import pytest
from scipy import stats

from springpass.core import spread
from springpass.core.quantity import Refused
from springpass.core.spread import about, between, factor_of, likely, odds, sample, verdict


def test_the_points_never_change():
    """The additive recurrence in one dimension, by hand: 0.5 + k√2 modulo 1."""
    assert spread.points(1, 5)[0] == pytest.approx([0.914214, 0.328427, 0.742641, 0.156854, 0.571068], abs=1e-6)
    with pytest.raises(Refused, match="1 to 30"):
        spread.points(31)


@pytest.mark.parametrize("dimensions", [1, 2, 4, 8, 12, 20])
def test_the_points_fill_the_cube_evenly(dimensions):
    cube = spread.points(dimensions)
    assert cube.min() >= 0 and cube.max() < 1
    for row in cube:
        assert stats.kstest(row, "uniform").statistic < 0.01
    # the dimensions do not lean on each other: means of a coordinate spread as those of independent ones
    assert np.std(cube.mean(axis=0)) == pytest.approx(np.sqrt(1 / (12 * dimensions)), rel=0.03)
    assert np.abs(np.corrcoef(cube) - np.eye(dimensions)).max() < 0.03 if dimensions > 1 else True


def test_each_kind_has_its_distribution():
    d = sample(flat=between(2, 6), bell=about(10, 4), ratio=factor_of(3, 2), fixed=7)
    assert d["fixed"] == 7
    assert stats.kstest(d["flat"], stats.uniform(2, 4).cdf).statistic < 0.01
    assert stats.kstest(d["bell"], stats.norm(10, 2).cdf).statistic < 0.01
    assert stats.kstest(np.log(d["ratio"]), stats.norm(np.log(3), np.log(2) / 2).cdf).statistic < 0.01


def test_about_means_nineteen_in_twenty():
    assert np.mean(np.abs(sample(x=about(0, 1))["x"]) <= 1) == pytest.approx(
        NormalDist().cdf(2) - NormalDist().cdf(-2), abs=0.002
    )


@pytest.mark.parametrize(("count", "close"), [(2000, 5e-3), (100_000, 1e-3)])
def test_mean_and_width_are_far_better_than_random(count, close):
    """As many random points would miss the mean by 0.02 and 0.003 widths."""
    x = sample(count, x=about(5, 2))["x"]
    assert np.mean(x) == pytest.approx(5, abs=close)
    assert np.std(x) == pytest.approx(1, abs=2 * close)


def test_likely_is_the_middle_nine_tenths():
    one = likely(np.arange(1001.0))
    assert (one.low, one.value, one.high) == (50, 500, 950)
    assert likely(3.0).low == 3.0
    assert likely(np.array([1.0, np.inf, 2.0])).high == np.inf
    with pytest.raises(Refused):
        likely(np.array([1.0, np.nan]))


def test_how_an_answer_is_said():
    assert likely(np.linspace(0.005, 0.011, 1001)).text() == "8 µm (90 % range 5.3 to 11 µm)"
    assert likely(0.008).text() == "8 µm"


@pytest.mark.parametrize(
    ("chance", "word"),
    [
        (1, "holds"),
        (0.9, "holds"),
        (0.89, "at the edge"),
        (0.11, "at the edge"),
        (0.1, "will not hold"),
        (0, "will not hold"),
    ],
)
def test_the_verdict_is_taken_on_the_odds(chance, word):
    assert verdict(chance) == word


def test_odds_are_a_share():
    assert odds(np.array([True, False, True, True])) == 0.75


@pytest.mark.parametrize(
    "make",
    [
        lambda: between(3, 1),
        lambda: between(0, np.inf),
        lambda: about(1, -1),
        lambda: about(np.nan, 1),
        lambda: factor_of(-1, 2),
        lambda: factor_of(1, 0.5),
    ],
)
def test_ranges_that_make_no_sense_are_refused(make):
    with pytest.raises(Refused):
        make()
