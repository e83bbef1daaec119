"""Boring out field by field: Sachs's equations by differences, errors by moving each reading, misfit by scipy."""

import numpy as np
from scipy import linalg

from outside import agrees, source
from springpass.bore_stress import readings

E, NU, OUTSIDE, LENGTH = 205e3, 0.29, 20.0, 60.0
BORES = np.array([5.0, 8.0, 11.0, 14.0, 16.0])
SHARE = (BORES / OUTSIDE) ** 2
ERROR = 0.0008


def strains(share):
    """Hoop and axial strain of the outside that a bored share lets go: two smooth curves, no measured ones."""
    return -5e-4 * share + 1.5e-4 * share**2, -9e-4 * share + 2e-4 * share**2


def told(hoop, axial):
    return readings.sachs(OUTSIDE, BORES, hoop * OUTSIDE, axial * LENGTH, LENGTH, E, NU, ERROR, ERROR, terms=2)


@source("Sachs's equations, their slopes by differences", place="a bored share F of the section, Fb = 1", basis="hand")
def test_profile_by_differences():
    """σz = E' ((1 − F) dΛ/dF − Λ), σθ = E' ((1 − F) dΘ/dF − (1 + F) Θ/2F), σr = E' (1 − F) Θ/2F, E' = E/(1 − ν²);
    Λ = εz + ν εθ, Θ = εθ + ν εz.
    """
    found = told(*strains(SHARE))
    plate = E / (1 - NU**2)

    def at(radius):
        f = (np.asarray(radius) / (OUTSIDE / 2)) ** 2

        def both(share):
            hoop, axial = strains(share)
            return axial + NU * hoop, hoop + NU * axial

        lam, theta = both(f)
        rise = [(up - down) / 2e-4 for up, down in zip(both(f + 1e-4), both(f - 1e-4), strict=True)]
        return (plate * ((1 - f) * rise[0] - lam), plate * ((1 - f) * rise[1] - (1 + f) * theta / 2 / f),
                plate * (1 - f) * theta / 2 / f)

    inner = found.radius > 0.5
    agrees("places", (found.radius[-1], found.carried_radius[0], found.carried_radius[-1]), (8.0, 8.0, 10.0), rel=1e-9,
           unit="mm", of=readings.sachs)
    axial, hoop, radial = at(found.radius[inner])
    for name, ours, theirs in (("axial", found.axial, axial), ("hoop", found.hoop, hoop),
                               ("radial", found.radial, radial)):
        agrees(name, ours[inner], theirs, rel=1e-4, abs=0.01, unit="MPa", of=readings.sachs)
    axial, hoop, _ = at(found.carried_radius)
    agrees("carried on, axial", found.carried_axial, axial, rel=1e-4, abs=0.01, unit="MPa", of=readings.sachs)
    agrees("carried on, hoop", found.carried_hoop, hoop, rel=1e-4, abs=0.01, unit="MPa", of=readings.sachs)
    agrees("skin", (found.skin_axial, found.skin_hoop), (axial[-1], hoop[-1]), rel=1e-4, unit="MPa", of=readings.sachs)


@source("each reading moved by itself, its effect added up as squares", basis="method")
def test_errors_of_the_profile():
    """A change is a reading less the first one: every change shares the error of the first."""
    hoop, axial = strains(SHARE)
    fields = ("axial", "hoop", "skin_axial", "skin_hoop")
    squares = dict.fromkeys(fields, 0.0)
    for n in range(BORES.size + 1):      # the last one moved is the first reading: it moves every change
        step = np.eye(BORES.size)[n] if n < BORES.size else np.ones(BORES.size)
        for off in ((step / OUTSIDE, 0.0), (0.0, step / LENGTH)):
            up, down = (told(hoop + s * ERROR * off[0], axial + s * ERROR * off[1]) for s in (1, -1))
            for name in fields:
                squares[name] = squares[name] + ((getattr(up, name) - getattr(down, name)) / 2) ** 2
    found = told(hoop, axial)
    for name in fields:
        agrees(name, getattr(found, f"{name}_error"), np.sqrt(squares[name]), rel=1e-6, unit="MPa", of=readings.sachs)


@source("scipy's whitening and least squares", place="readings off by known amounts", basis="method")
def test_misfit_of_readings():
    hoop, axial = strains(SHARE)
    off = np.array([3.0, -2.0, 1.0, -3.0, 2.0])
    found = told(hoop + off * ERROR / OUTSIDE, axial - off[::-1] * ERROR / LENGTH)
    root = linalg.cholesky(np.eye(5) + 1, lower=True)   # of the changes: their own error and the first reading's
    curve = linalg.solve_triangular(root, np.stack([SHARE, SHARE**2], axis=1), lower=True)
    left = 0.0
    for part in (off, -off[::-1]):
        seen = linalg.solve_triangular(root, part, lower=True)
        fitted = linalg.lstsq(curve, seen)[0]
        left += np.sum((seen - curve @ fitted) ** 2)
    agrees("misfit", found.misfit, np.sqrt(left / 6), rel=1e-6, of=readings.sachs)
