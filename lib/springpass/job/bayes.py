"""Estimates that sharpen with every result: textbook Bayesian updates, each keeping its uncertainty.

A normal mean with known scatter, a mean and its scatter together, a scatter alone, and a straight-line
model: priors and results go in, the same kind of estimate comes out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import lgamma
from typing import Any

import numpy as np

from ..core.quantity import Refused, floats, positive
from ..measuring.coverage_factors import t_quantile


@dataclass(frozen=True)
class Bell:
    """A normal estimate."""

    mean: float
    sd: float


def learn_mean(prior: Bell, results: Any, noise: float) -> Bell:
    """A mean with a normal prior after results of known standard deviation `noise`; precisions add. Raises Refused.

    Gelman and others, Bayesian Data Analysis, normal data with known variance (from memory).
    """
    y = finite(results)
    positive(prior.sd, "the prior's standard deviation"), positive(noise, "the standard deviation of a result")
    precision = 1 / prior.sd**2 + y.size / noise**2
    return Bell(float((prior.mean / prior.sd**2 + y.sum() / noise**2) / precision), float(precision**-0.5))


@dataclass(frozen=True)
class Scatter:
    """Mean and variance both unknown: mean | variance normal with variance/weight, variance scaled inverse chi-squared.
    """

    mean: float
    weight: float   # the mean is as good as so many results make it
    dof: float
    sd: float       # scale of the scatter

    def mean_range(self, p: float = 0.9) -> tuple[float, float]:
        """Where the mean lies with chance p (Student's t)."""
        reach = float(_t((1 + p) / 2, self.dof) * self.sd / np.sqrt(self.weight))
        return self.mean - reach, self.mean + reach

    def next_range(self, p: float = 0.9) -> tuple[float, float]:
        """Where the next result lies with chance p (Student's t)."""
        reach = float(_t((1 + p) / 2, self.dof) * self.sd * np.sqrt(1 + 1 / self.weight))
        return self.mean - reach, self.mean + reach

    def sd_range(self, p: float = 0.9) -> tuple[float, float]:
        """Where the scatter itself lies with chance p."""
        few, many = chi2_quantile((1 - p) / 2, self.dof), chi2_quantile((1 + p) / 2, self.dof)
        return float(self.sd * np.sqrt(self.dof / many)), float(self.sd * np.sqrt(self.dof / few))


def learn_scatter(prior: Scatter, results: Any) -> Scatter:
    """Mean and scatter together after results, each with its own uncertainty. Raises Refused.

    Gelman and others, Bayesian Data Analysis, normal data with a conjugate prior (from memory).
    """
    y = finite(results)
    n = y.size
    if not n:
        return prior
    weight, dof = prior.weight + n, prior.dof + n
    mean = (prior.weight * prior.mean + y.sum()) / weight
    squares = (
        prior.dof * prior.sd**2 + ((y - y.mean()) ** 2).sum() + prior.weight * n / weight * (y.mean() - prior.mean) ** 2
    )
    return Scatter(float(mean), float(weight), float(dof), float(np.sqrt(squares / dof)))


def learn_sd(prior: Scatter, scatters: Sequence[tuple[float, float]]) -> Scatter:
    """A scatter after sample standard deviations, each with its degrees of freedom: sums of squares and freedoms add.
    """
    squares = prior.dof * prior.sd**2 + sum(dof * sd**2 for sd, dof in scatters)
    dof = prior.dof + sum(dof for _, dof in scatters)
    return Scatter(prior.mean, prior.weight, float(dof), float(np.sqrt(squares / dof)))


def learn_line(mean: Any, covariance: Any, rows: Any, results: Any, noise: Any) -> tuple[np.ndarray, np.ndarray]:
    """Coefficients of results = rows · coefficients after results of known standard deviations; normal prior.

    Bayesian linear regression with known noise (Gelman and others, Bayesian Data Analysis, from memory).
    """
    m, prior = np.asarray(mean, dtype=float), np.linalg.inv(np.asarray(covariance, dtype=float))
    x, y = np.atleast_2d(np.asarray(rows, dtype=float)), finite(results)
    w = 1 / np.broadcast_to(np.asarray(noise, dtype=float), y.shape) ** 2
    if not y.size:
        return m, np.asarray(covariance, dtype=float)
    after = np.linalg.inv(prior + x.T @ (w[:, None] * x))
    return after @ (prior @ m + x.T @ (w * y)), after


@lru_cache(maxsize=256)
def _t(p: float, dof: float) -> float:
    return float(t_quantile(p, dof))


def finite(results: Any) -> np.ndarray:
    """Results as a row of numbers. Raises Refused where one is not finite."""
    y = np.atleast_1d(floats(results, "a result", "a measured size in mm")).ravel()
    if not np.isfinite(y).all():
        raise Refused("A result is not a finite number. Give measured sizes in mm.")
    return y


@lru_cache(maxsize=256)
def chi2_quantile(p: float, dof: float) -> float:
    """The chi-squared not exceeded with chance p, by summing its density; good to about 1e-5 of itself."""
    positive(dof, "the degrees of freedom", "1")
    if not 0 < p < 1:
        raise Refused(f"A chance of {p} has no such bound; choose one between 0 and 1.")
    # over the logarithm of chi-squared, where the density is smooth and has thin tails
    middle, reach = np.log(dof), 12 * np.sqrt(2 / dof) + 40 / dof
    u = np.linspace(middle - reach, middle + 8 * np.sqrt(2 / dof) + 3 / dof, 40001)
    log = dof / 2 * u - np.exp(u) / 2 - dof / 2 * np.log(2) - lgamma(dof / 2)
    density = np.exp(log)
    sums = np.concatenate([[0], np.cumsum((density[1:] + density[:-1]) / 2 * np.diff(u))])
    sums += 2 / dof * density[0]      # the tail below, where the density is exp(dof u / 2)
    return float(np.exp(np.interp(p, sums, u)))
