"""Coverage factors: how many standard uncertainties hold the true value with a given chance.

Student's t, written out here so that the library needs no other; the trapezoid of two rectangles.
"""

from __future__ import annotations

from functools import lru_cache
from math import lgamma
from statistics import NormalDist
from typing import Any

import numpy as np

from ..core.quantity import Numbers, Refused, finite, floats, positive, said


def _beta_fraction(x: np.ndarray, a: float, b: float) -> np.ndarray:
    """Continued fraction of the incomplete beta function, by Lentz's rule; good for x < (a+1)/(a+b+2)."""
    tiny = 1e-300
    c = np.ones_like(x)
    d = 1 - (a + b) * x / (a + 1)
    d = 1 / np.where(np.abs(d) < tiny, tiny, d)
    total = d.copy()
    for m in range(1, 300):
        for top in (m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
                -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))):
            d = 1 + top * d
            d = 1 / np.where(np.abs(d) < tiny, tiny, d)
            c = 1 + top / c
            c = np.where(np.abs(c) < tiny, tiny, c)
            total = total * d * c
        if np.all(np.abs(d * c - 1) < 1e-15):
            break
    return total


def t_tail(t: Numbers, dof: float) -> np.ndarray:
    """Chance of a Student t above `t` (t >= 0) with `dof` degrees of freedom. Accurate to about 1e-12."""
    t = np.asarray(t, dtype=float)
    a, b = dof / 2, 0.5
    x, y = dof / (dof + t**2), t**2 / (dof + t**2)
    with np.errstate(divide="ignore", invalid="ignore"):
        front = np.exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * np.log(x) + b * np.log(y))
    front = np.where(t == 0, 0.0, front)
    near = x < (a + 1) / (a + b + 2)
    far_side = front * _beta_fraction(np.where(near, x, 0.5 * (a + 1) / (a + b + 2)), a, b) / a
    near_side = 1 - front * _beta_fraction(np.where(near, 0.0, y), b, a) / b
    return 0.5 * np.where(near, far_side, near_side)


def t_quantile(p: Numbers, dof: float = np.inf) -> Any:
    """The t that is not exceeded with chance `p` (0 to 1), for `dof` degrees of freedom (any number above 0).

    By bisection on the tail's chance; from 20 000 degrees of freedom on by the Cornish-Fisher
    series about the normal. Raises Refused outside 0 < p < 1 or for dof <= 0.
    """
    chance, dof = floats(p, "a chance"), positive(dof, "degrees of freedom", "1", infinite=True)
    if not np.all((chance > 0) & (chance < 1)):
        raise Refused(f"A chance must lie between 0 and 1; it was {said(p)}.")
    tail = np.minimum(chance, 1 - chance)
    if dof > 2e4:
        z = -np.array([NormalDist().inv_cdf(float(q)) for q in tail.ravel()]).reshape(tail.shape)
        t = z if np.isinf(dof) else z + (z**3 + z) / (4 * dof) + (5 * z**5 + 16 * z**3 + 3 * z) / (96 * dof) / dof
    else:
        low, high = np.full(tail.shape, -30.0), np.full(tail.shape, 300.0 if dof < 5 else 20.0)  # of log t
        for _ in range(68):
            middle = (low + high) / 2
            above = t_tail(np.exp(middle), dof) > tail
            low, high = np.where(above, middle, low), np.where(above, high, middle)
        t = np.where(tail == 0.5, 0.0, np.exp((low + high) / 2))
    signed = np.where(chance < 0.5, -t, t)
    return signed if signed.ndim else float(signed)


def coverage(p: float = 0.95, dof: float = np.inf) -> float:
    """Coverage factor k: the value lies within k standard uncertainties with chance p (GUM G.3).

    dof is cut down to a whole number first, as GUM G.4.1 asks (16.7 counts as 16; below 1 as it is).
    Raises Refused outside 0 < p < 1.
    """
    p, dof = share_of_one(p), float(positive(dof, "degrees of freedom", "1", infinite=True))
    return _coverage(p, float(np.floor(dof)) if np.isfinite(dof) and dof >= 1 else dof)


@lru_cache(maxsize=512)
def _coverage(p: float, dof: float) -> float:
    return float(t_quantile((1 + p) / 2, dof))


def trapezoid_coverage(p: float = 0.95, top: float = 1 / 3) -> float:
    """Coverage factor of a trapezoid whose flat top is `top` (0 triangle, 1 rectangle) of its base.

    EA-4/02 M, example S10: two rectangles of half widths 25 and 50 give top 1/3 and k = 1.83 (from memory).
    """
    p, top = share_of_one(p), float(finite(top, "the top of a trapezoid"))
    if not 0 <= top <= 1:
        raise Refused(f"The top of a trapezoid is a share of its base, 0 to 1; it was {top}.")
    within = (1 + top) * p / 2 if p <= 2 * top / (1 + top) else 1 - np.sqrt((1 - p) * (1 - top**2))
    return float(within / np.sqrt((1 + top**2) / 6))


def share_of_one(p: Numbers) -> float:
    p = float(finite(p, "a chance"))
    if 1 < p < 100:
        raise Refused(f"Write the chance as a share: {p / 100:g} rather than {p:g}.")
    if not 0 < p < 1:
        raise Refused(f"A chance must lie between 0 and 1; it was {p:g}. 0.95 is usual.")
    return p
