"""Finite elements for beams: boring bars (scikit-fem) and turned shafts (elements assembled afresh)."""

from itertools import pairwise

import numpy as np
import pytest
from scipy.sparse.linalg import eigsh
from skfem import (
    Basis,
    BilinearForm,
    ElementLineHermite,
    ElementLineP1,
    ElementLineP2,
    MeshLine,
    asm,
    solve,
)

from outside import agrees, source
from springpass import boring_bar
from springpass.boring_bar import bending as bar_bending
from springpass.boring_bar.bending import tip_springs
from springpass.workholding import bending as wb

STEPPED = [(20.0, 10.0), (15.0, 8.0), (10.0, 5.0)]


def beam_mesh(segments, each=40):
    ends = np.concatenate([[0], np.cumsum([length for length, _ in segments])])
    points = np.unique(np.concatenate([np.linspace(a, b, each + 1) for a, b in pairwise(ends)]))
    return MeshLine(points), ends


def diameter_at(x, ends, segments):
    return np.array([d for _, d in segments])[np.clip(np.searchsorted(ends, x, side="right") - 1, 0, len(segments) - 1)]


def timoshenko_tip(segments, e, nu, kt, kth):
    """Tip movement for 1 N by finite elements in deflection and rotation (scikit-fem), root on springs."""
    mesh, ends = beam_mesh(segments)
    w, turn = Basis(mesh, ElementLineP2(), intorder=4), Basis(mesh, ElementLineP1(), intorder=4)
    g, kappa = e / (2 * (1 + nu)), 6 * (1 + nu) / (7 + 6 * nu)

    def bending(x):
        return e * np.pi * diameter_at(x, ends, segments) ** 4 / 64

    def shear(x):
        return kappa * g * np.pi * diameter_at(x, ends, segments) ** 2 / 4

    ww = asm(BilinearForm(lambda u, v, p: shear(p.x[0]) * u.grad[0] * v.grad[0]), w).tolil()
    tt = asm(
        BilinearForm(lambda u, v, p: bending(p.x[0]) * u.grad[0] * v.grad[0] + shear(p.x[0]) * u * v), turn
    ).tolil()
    tw = asm(BilinearForm(lambda u, v, p: -shear(p.x[0]) * u.grad[0] * v), w, turn).tolil()
    root, tip = int(w.nodal_dofs[0, np.argmin(mesh.p[0])]), int(w.nodal_dofs[0, np.argmax(mesh.p[0])])
    root_turn = int(turn.nodal_dofs[0, np.argmin(mesh.p[0])])
    ww[root, root] += kt if np.isfinite(kt) else 1e15
    tt[root_turn, root_turn] += kth if np.isfinite(kth) else 1e18
    from scipy.sparse import bmat
    load = np.zeros(ww.shape[0] + tt.shape[0])
    load[tip] = 1.0
    return solve(bmat([[ww, tw.T], [tw, tt]], "csc"), load)[tip]


@pytest.mark.parametrize(
    ("segments", "kt", "kth"),
    [
        ([(40.0, 8.0)], np.inf, np.inf),
        ([(40.0, 8.0)], 2e4, 8e6),
        (STEPPED, np.inf, np.inf),
        (STEPPED, 3e4, 2e7),
        ([(16.0, 8.0)], 3e4, 2e7),
    ],
)
@source("Timoshenko beam elements (scikit-fem)", basis="method")
def test_compliance_against_finite_elements(segments, kt, kth):
    agrees("compliance", boring_bar.compliance(segments, 205e3, 0.29, kt, kth),
           timoshenko_tip(segments, 205e3, 0.29, kt, kth), rel=2e-4, of=boring_bar.compliance)


@source("cubic beam elements (scikit-fem)", basis="method")
def test_moment_at_the_tip_against_finite_elements():
    """The feed force beside the axis is a moment: by reciprocity its push is the tip's turn under a side force."""
    mesh, ends = beam_mesh(STEPPED)
    basis = Basis(mesh, ElementLineHermite(), intorder=6)
    k = asm(
        BilinearForm(
            lambda u, v, p: 205e3 * np.pi * diameter_at(p.x[0], ends, STEPPED) ** 4 / 64 * u.hess[0][0] * v.hess[0][0]
        ),
        basis,
    )
    root = basis.nodal_dofs[:, np.argmin(mesh.p[0])]
    tip = basis.nodal_dofs[:, np.argmax(mesh.p[0])]
    load = np.zeros(k.shape[0])
    load[tip[1]] = 1.0   # a unit moment
    free = np.setdiff1d(np.arange(k.shape[0]), root)
    moved = np.zeros(k.shape[0])
    moved[free] = np.linalg.solve(k.toarray()[np.ix_(free, free)], load[free])
    agrees("tip springs, moment", tip_springs(STEPPED, 205e3, 0.29).moment, moved[tip[0]], rel=1e-6, of=tip_springs)


@pytest.mark.parametrize(("segments", "tip_kg", "kt", "kth"), [
    ([(48.0, 12.0)], 0.0, np.inf, np.inf), (STEPPED, 0.004, np.inf, np.inf), (STEPPED, 0.0, 3e4, 2e7)])
@source("cubic beam elements and consistent mass (scikit-fem, scipy)", basis="method")
def test_frequency_against_finite_elements(segments, tip_kg, kt, kth):
    """Euler beam, cubic elements and consistent mass by scikit-fem, eigenvalues by scipy."""
    mesh, ends = beam_mesh(segments, 20)
    basis = Basis(mesh, ElementLineHermite(), intorder=6)
    k = asm(
        BilinearForm(
            lambda u, v, p: 205e3 * np.pi * diameter_at(p.x[0], ends, segments) ** 4 / 64 * u.hess[0][0] * v.hess[0][0]
        ),
        basis,
    ).tolil()
    m = asm(
        BilinearForm(lambda u, v, p: 7.85e-9 * np.pi * diameter_at(p.x[0], ends, segments) ** 2 / 4 * u * v), basis
    ).tolil()
    root, tip = basis.nodal_dofs[:, np.argmin(mesh.p[0])], basis.nodal_dofs[:, np.argmax(mesh.p[0])]
    m[tip[0], tip[0]] += tip_kg * 1e-3
    drop = [dof for dof, spring in zip(root, (kt, kth), strict=True) if np.isinf(spring)]
    for dof, spring in zip(root, (kt, kth), strict=True):
        if np.isfinite(spring):
            k[dof, dof] += spring
    keep = np.setdiff1d(np.arange(k.shape[0]), drop)
    k, m = k.tocsc()[keep][:, keep], m.tocsc()[keep][:, keep]
    wanted = np.sqrt(eigsh(k, 1, m, sigma=0, which="LM", return_eigenvectors=False)[0]) / (2 * np.pi)
    got = boring_bar.natural_frequency(segments, 205e3, 7850, tip_kg, holder_stiffness=kt, holder_rotation=kth)
    agrees("", got, wanted, rel=1e-5, of=boring_bar.natural_frequency)


E, NU = 205e3, 0.29


def beam_give(z, segments, hold, spindle=1e12, tilt=1e14, centre=1e12, steady=None, steady_stiffness=1e12):
    """Movement at z under a unit load there, by two-node Timoshenko elements with exact stiffness."""
    ends = np.cumsum([0, *(a for a, _ in segments)])
    nodes = np.unique(np.concatenate([ends, [z], np.linspace(0, ends[-1], 9), [] if steady is None else [steady]]))
    k = np.zeros((2 * len(nodes), 2 * len(nodes)))
    for i, (p, q) in enumerate(pairwise(nodes)):
        d = segments[np.searchsorted(ends, (p + q) / 2) - 1][1]
        length, inertia, area = q - p, np.pi * d**4 / 64, np.pi * d**2 / 4
        kappa = 6 * (1 + NU) / (7 + 6 * NU)
        f = 12 * E * inertia / (kappa * E / 2 / (1 + NU) * area * length**2)
        part = (
            E
            * inertia
            / (1 + f)
            / length**3
            * np.array(
                [
                    [12, 6 * length, -12, 6 * length],
                    [6 * length, (4 + f) * length**2, -6 * length, (2 - f) * length**2],
                    [-12, -6 * length, 12, -6 * length],
                    [6 * length, (2 - f) * length**2, -6 * length, (4 + f) * length**2],
                ]
            )
        )
        k[2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += part
    k[0, 0] += spindle
    if hold != "between centres":
        k[1, 1] += tilt
    if hold != "chuck":
        k[-2, -2] += centre
    if steady is not None:
        at = 2 * np.searchsorted(nodes, steady)
        k[at, at] += steady_stiffness
    load = np.zeros(len(k))
    here = 2 * np.searchsorted(nodes, z)
    load[here] = 1
    return np.linalg.solve(k, load)[here]


SHAFT = [(25, 20), (30, 15), (30, 12)]
SPRINGS = {"spindle_stiffness": 3e4, "spindle_rotation": 1e8, "centre_stiffness": 1e4}


@pytest.mark.parametrize("hold", wb.SUPPORTS)
@pytest.mark.parametrize("steady", [None, 50.0])
@source("exact Timoshenko elements assembled afresh", basis="method")
def test_stepped_shaft_on_springs_follows_beam_elements(hold, steady):
    places = np.array([3.0, 25.0, 41.0, 50.0, 66.0, 85.0])
    more = {} if steady is None else {"steady_at": steady, "steady_stiffness": 8e3}
    found = wb.work_compliance(places, SHAFT, hold, modulus=E, poisson=NU, **SPRINGS, **more)
    wanted = [beam_give(z, SHAFT, hold, 3e4, 1e8, 1e4, steady, 8e3) for z in places]
    agrees("", found, wanted, rel=1e-6, of=wb.work_compliance)


@source("Timoshenko beam elements (scikit-fem)", place="15 N on Ø8, 40 and 20 mm out", basis="method")
@pytest.mark.parametrize("length", [20.0, 40.0])
def test_whole_deflection_against_finite_elements(length):
    """The whole tip on springs; and shear alone as what is left of a rigidly held bar when its bending is taken off."""
    whole = 15 * timoshenko_tip([(length, 8.0)], 205e3, 0.29, 2e4, 8e6)
    agrees(
        "bar in its holder",
        bar_bending.bar_deflection(15, length, 8, 205e3, 0.29, 2e4, 8e6),
        whole,
        rel=2e-4,
        unit="mm",
        of=bar_bending.bar_deflection,
    )
    bending = 15 * length**3 / (3 * 205e3 * np.pi * 8**4 / 64)
    held = 15 * timoshenko_tip([(length, 8.0)], 205e3, 0.29, np.inf, np.inf)
    agrees("shear", bar_bending.shear_deflection(15, length, 8, 205e3, 0.29), held - bending, rel=1e-2, unit="mm",
           of=bar_bending.shear_deflection)
