"""Shewhart's factors, and a chart of single readings worked with pencil and paper."""

import numpy as np
from scipy import integrate, stats

from outside import agrees, claim, source
from springpass.core import tables
from springpass.measuring import control_charts as cc


def moments_of_range(n):
    """Mean and standard deviation of the range of n standard normal readings: its density summed over a fine grid."""
    x, w = np.linspace(-9, 9, 1201)[:, None], np.linspace(0, 12, 1201)
    inside = (stats.norm.cdf(x + w) - stats.norm.cdf(x)) ** (n - 2)
    density = n * (n - 1) * integrate.trapezoid(stats.norm.pdf(x) * stats.norm.pdf(x + w) * inside, x[:, 0], axis=0)
    mean, square = (integrate.trapezoid(w**k * density, w) for k in (1, 2))
    return mean, np.sqrt(square - mean**2)


@source("range of normal readings, its density integrated", place="numpy and scipy", basis="method")
def test_the_factors_are_those_of_normal_readings():
    for n in (2, 3, 5, 7, 10):
        row = tables.row("shewhart", n=n)
        d2, sd = moments_of_range(n)
        agrees("d2", row["d2"], d2, abs=6e-4)
        agrees("A2", row["a2"], 3 / (d2 * np.sqrt(n)), abs=6e-4)
        agrees("D3", row["d3"], max(1 - 3 * sd / d2, 0), abs=1.1e-3)
        agrees("D4", row["d4"], 1 + 3 * sd / d2, abs=1.1e-3)


@source("table of control chart constants (secondary copy)", place="sample size 2: E2 = 2.660, D4 = 3.267")
def test_single_readings_reach_2_66_mean_ranges():
    agrees("E2", cc.reach_of_limits(1.0, 1.128), 2.660, abs=6e-4, of=cc.reach_of_limits)
    agrees("factors of a pair", cc.pair_factors(), (1.128, 3.267), of=cc.pair_factors)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_a_chart_of_eight():
    """Readings 10 12 11 13 12 10 11 13: steps 2 1 2 1 2 1 2, mean 11/7 = 1.5714; mean 92/8 = 11.5;
    scatter 1.5714/1.128 = 1.3931, limits 11.5 ± 4.1793, largest step 3.267 x 1.5714 = 5.1339; nothing to see.
    """
    found = cc.chart("10 12 11 13 12 10 11 13")
    agrees("mean step", found.mean_range, 11 / 7, rel=1e-9, of=cc.chart)
    agrees("scatter", found.scatter, 1.3931, abs=1e-4, of=[cc.chart, cc.scatter_of_ranges])
    agrees("reach", found.reach, 4.1793, abs=1e-4, of=cc.chart)
    agrees("largest step", found.most_range, 5.1339, abs=1e-4, of=cc.chart)
    agrees("centre line", found.centre, 11.5, rel=1e-9, of=cc.chart)
    claim("nothing to see", found.signals == ())
    agrees("standard deviation", cc.scatter_of_ranges(11 / 7, 1.128), 1.3931, abs=1e-4, of=cc.scatter_of_ranges)
