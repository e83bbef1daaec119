"""NIST Statistical Reference Datasets: the certified values. Basis: read."""

import math

import numpy as np

from outside import agrees, source
from springpass.reaming import log as reaming_log

# NIST Statistical Reference Datasets, linear regression, Norris (certified values; data read in a copy of the file).
NORRIS = [
    (0.1, 0.2),
    (338.8, 337.4),
    (118.1, 118.2),
    (888.0, 884.6),
    (9.2, 10.1),
    (228.1, 226.5),
    (668.5, 666.3),
    (998.5, 996.3),
    (449.1, 448.6),
    (778.9, 777.0),
    (559.2, 558.2),
    (0.3, 0.4),
    (0.1, 0.6),
    (778.1, 775.5),
    (668.8, 666.9),
    (339.3, 338.0),
    (448.9, 447.5),
    (10.8, 11.6),
    (557.7, 556.0),
    (228.3, 228.1),
    (998.0, 995.8),
    (888.8, 887.6),
    (119.6, 120.2),
    (0.3, 0.3),
    (0.6, 0.3),
    (557.6, 556.8),
    (339.3, 339.1),
    (888.0, 887.2),
    (998.5, 999.0),
    (778.9, 779.0),
    (10.2, 11.1),
    (117.6, 118.3),
    (228.9, 229.2),
    (668.4, 669.1),
    (449.2, 448.9),
    (0.2, 0.5),
]
NIST = {
    "intercept": -0.262323073774029,
    "slope": 1.00211681802045,
    "sd_slope": 0.429796848199937e-03,
    "scatter": 0.884796396144373,
}


def norris(at: float) -> reaming_log.HoleFit:
    holes = [
        {
            "stock": x,
            "feed": 0.1,
            "speed": 8,
            "size": 10,
            "reamer": 10.0,
            "hole": 10 + y,
            "fluid": "dry",
            "material": "m",
        }
        for y, x in NORRIS
    ]
    return reaming_log.fit_holes(holes, at)


@source("NIST Statistical Reference Datasets, linear regression", place="Norris", basis="read")
def test_fit_gives_the_certified_values_of_nist():
    at = 500.0
    found = norris(at)
    agrees("stock", found.slopes["stock"], NIST["slope"], rel=1e-10, of=reaming_log.fit_holes)
    agrees("", found.value, NIST["intercept"] + NIST["slope"] * at, rel=1e-10, of=reaming_log.fit_holes)
    agrees("scatter", found.scatter, NIST["scatter"], rel=1e-9, of=reaming_log.fit_holes)
    agrees("count, dof", (found.count, found.dof), (36, 34), of=reaming_log.fit_holes)


@source("NIST Statistical Reference Datasets, linear regression", place="Norris, interval from its certified values",
        basis="read")
def test_prediction_interval_from_the_certified_values():
    """Next value at x: s sqrt(1 + 1/n) and the slope's error times the distance from the mean, t(0.95, 34) = 1.6909."""
    x = np.array([pair[1] for pair in NORRIS])
    at = 900.0
    spread = math.sqrt(NIST["scatter"] ** 2 * (1 + 1 / 36) + (NIST["sd_slope"] * (at - x.mean())) ** 2)
    found = norris(at)
    agrees("spread", found.spread, spread, rel=1e-9, of=reaming_log.fit_holes)
    agrees(
        "high", (found.high - found.low) / 2, 1.6909 * spread, rel=1e-4, of=reaming_log.fit_holes
    )  # t from printed tables
