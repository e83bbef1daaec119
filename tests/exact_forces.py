"""The forces of a nose-only cut by another method than the library's, for the checks that need them."""

import numpy as np
from scipy import integrate


def exact_forces(a, f, r, kc, mc, kn, mn):
    """Cutting, thrust and feed force for a nose-only cut by adaptive integration along the arc (scipy)."""
    def h(phi):
        return max(min(r + f * np.sin(phi) - np.sqrt(r**2 - (f * np.cos(phi)) ** 2), r - (r - a) / np.cos(phi)), 0.0)

    start, end = -np.arcsin(f / (2 * r)), np.arccos(1 - a / r)
    meet = np.arctan2(np.sqrt(2 * r * a - a * a) - f, r - a)

    def total(integrand):
        return sum(integrate.quad(integrand, lo, hi, limit=300)[0] for lo, hi in ((start, meet), (meet, end)))

    return (
        total(lambda p: kc * h(p) ** (1 - mc) * (r - h(p) / 2)),
        total(lambda p: kn * h(p) ** (1 - mn) * (r - h(p) / 2) * np.cos(p)),
        total(lambda p: kn * h(p) ** (1 - mn) * (r - h(p) / 2) * np.sin(p)),
    )
