"""Rings in jaws against plane-stress finite elements (scikit-fem); shafts against beam elements assembled afresh;
the implicit cut against a root finder (scipy); Student's t against scipy."""

from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.stats import t as student
from skfem import (
    Basis,
    BilinearForm,
    ElementQuad2,
    ElementVector,
    FacetBasis,
    LinearForm,
    MeshQuad,
    MeshQuad2,
    condense,
    solve,
)

from springpass import cutting
from springpass import work_bending as wb
from springpass import workholding as wh

E, NU = 205e3, 0.29


@cache
def fe_ring(outside, bore, width, load, jaws, pad):
    """Half a lobe of the ring, from the middle of a jaw to midway between two, as curved quadratic elements.
    Returns angles and radial movement along the bore, and the mean movement of the face under the jaw."""
    a, b, end, edge = bore / 2, outside / 2, np.pi / jaws, np.radians(pad)
    across = np.linspace(a, b, 13)
    round_ = np.concatenate([np.linspace(0, edge, 13), edge + (end - edge) * (1 - np.cos(np.linspace(0, np.pi / 2, 37)[1:]))])
    flat = MeshQuad2.from_mesh(MeshQuad.init_tensor(across, round_))
    radius, angle = flat.doflocs
    mesh = replace(flat, doflocs=np.array([radius * np.cos(angle), radius * np.sin(angle)]))
    basis = Basis(mesh, ElementVector(ElementQuad2()))
    lam, mu = E * NU / (1 - NU**2), E / 2 / (1 + NU)

    @BilinearForm
    def stiff(u, v, _):
        g, h = u.grad, v.grad
        exx, eyy, gxy = g[0, 0], g[1, 1], g[0, 1] + g[1, 0]
        return (
            ((lam + 2 * mu) * exx + lam * eyy) * h[0, 0]
            + (lam * exx + (lam + 2 * mu) * eyy) * h[1, 1]
            + mu * gxy * (h[0, 1] + h[1, 0])
        )

    under = mesh.facets_satisfying(lambda x: (np.hypot(*x) > 0.999 * b) & (np.arctan2(x[1], x[0]) < edge * 0.9999), True)
    face = FacetBasis(mesh, ElementVector(ElementQuad2()), facets=under)
    pressure = load / (2 * b * np.sin(edge) * width)  # so that it adds up to `load` in the jaw's direction

    @LinearForm
    def push(v, w):
        return -pressure * (v[0] * w.n[0] + v[1] * w.n[1])

    @LinearForm
    def outward(v, w):
        return v[0] * w.n[0] + v[1] * w.n[1]

    x, y = basis.doflocs
    comp = np.zeros(basis.N, int)
    comp[basis.get_dofs(elements=True).all("u^2")] = 1
    on_jaw = np.flatnonzero((np.abs(y) < 1e-9) & (comp == 1))
    # on the far edge the movement across it must vanish: turn it into a stiff spring
    far = mesh.facets_satisfying(lambda p: np.abs(np.arctan2(p[1], p[0]) - end) < 1e-9, True)
    far_basis = FacetBasis(mesh, ElementVector(ElementQuad2()), facets=far)
    nx, ny = -np.sin(end), np.cos(end)

    @BilinearForm
    def wall(u, v, _):
        return 1e6 * E / b * (u[0] * nx + u[1] * ny) * (v[0] * nx + v[1] * ny)

    system = stiff.assemble(basis) + wall.assemble(far_basis)
    u = solve(*condense(system, push.assemble(face), D=on_jaw))
    # one row of places: x-components and y-components share their places
    pairs = {}
    for dof in range(basis.N):
        if np.hypot(x[dof], y[dof]) < a * (1 + 1e-9):
            pairs.setdefault((round(x[dof], 9), round(y[dof], 9)), {})[comp[dof]] = u[dof]
    angles = np.array([np.arctan2(q, p) for p, q in pairs])
    moves = np.array([(m[0] * p + m[1] * q) / np.hypot(p, q) for (p, q), m in pairs.items()])
    order = angles.argsort()
    travel = outward.assemble(face) @ u / (b * edge)
    return angles[order], moves[order], travel


RINGS = [
    (40, 32, 20, 1000, 3, 8),
    (62, 42, 14, 1500, 4, 6),
    (62, 55, 14, 1500, 6, 6),
    (40, 20, 20, 1000, 2, 10),
    (40, 32, 20, 1000, 3, 50),
]


@pytest.mark.parametrize("ring", RINGS)
def test_bore_and_jaw_follow_finite_elements(ring):
    outside, bore, width, load, jaws, pad = ring
    angles, moves, travel = fe_ring(*ring)
    found = wh.ring_lobing(outside, bore, width, load, jaws, E, NU, pad)
    assert found.bore(np.degrees(angles)) == pytest.approx(moves, rel=1e-3, abs=1e-3 * np.abs(moves).max())
    assert found.peak_to_valley == pytest.approx(np.ptp(moves), rel=1e-3)
    assert found.jaw_travel == pytest.approx(travel, rel=2e-3)


def test_gauges_turned_over_the_finite_element_profile():
    """Two contacts opposite each other, and three at 120 degrees, carried round the bore of three lobes."""
    angles, moves, _ = fe_ring(*RINGS[0])

    def radius(angle):
        folded = np.abs((angle + np.pi / 3) % (2 * np.pi / 3) - np.pi / 3)
        return np.interp(folded, angles, moves)

    turn = np.linspace(0, 2 * np.pi, 1441)
    seen = wh.gauged(wh.ring_lobing(40, 32, 20, 1000, 3, E, NU, 8))
    assert np.ptp(radius(turn) + radius(turn + np.pi)) == pytest.approx(seen.two_point, rel=0.01)
    three = sum(radius(turn + k * 2 * np.pi / 3) for k in range(3)) * 2 / 3
    assert np.ptp(three) == pytest.approx(seen.three_point, rel=2e-3)


# ---- shafts ------------------------------------------------------------------------------------------


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


STEPPED = [(25, 20), (30, 15), (30, 12)]
SPRINGS = {"spindle_stiffness": 3e4, "spindle_rotation": 1e8, "centre_stiffness": 1e4}


@pytest.mark.parametrize("hold", wb.SUPPORTS)
@pytest.mark.parametrize("steady", [None, 50.0])
def test_stepped_shaft_on_springs_follows_beam_elements(hold, steady):
    places = np.array([3.0, 25.0, 41.0, 50.0, 66.0, 85.0])
    more = {} if steady is None else {"steady_at": steady, "steady_stiffness": 8e3}
    found = wb.work_compliance(places, STEPPED, hold, modulus=E, poisson=NU, **SPRINGS, **more)
    wanted = [beam_give(z, STEPPED, hold, 3e4, 1e8, 1e4, steady, 8e3) for z in places]
    assert found == pytest.approx(wanted, rel=1e-6)


def test_the_cut_that_bends_the_work_away_solves_its_own_equation():
    """depth + give × thrust(depth) = infeed, solved place by place with scipy."""
    found = wb.turned_error(
        STEPPED,
        infeed=0.2,
        feed=0.08,
        nose_radius=0.4,
        material="low-carbon steel",
        position=[20, 50, 85],
        modulus=E,
        poisson=NU,
        force_factor=1.2,
        **SPRINGS,
    )
    kc, mc, kn, mn = cutting.kienzle("low-carbon steel")

    def thrust(a):
        return 1.2 * cutting.nose_forces(a, 0.08, 0.4, 90.0, kc, mc, kn, mn).thrust

    for give, error, depth in zip(found.compliance, found.error, found.depth, strict=True):
        exact = brentq(lambda a, c=give: a + c * thrust(a) - 0.2, 1e-6, 0.2, xtol=1e-13)
        assert depth == pytest.approx(exact, rel=1e-5)
        assert error == pytest.approx(2 * (0.2 - exact), rel=1e-4)


def test_students_t_is_the_tables():
    for freedom in range(1, 13):
        assert wb._student(freedom) == pytest.approx(student.ppf(0.95, freedom), abs=6e-4)
    assert wb._student(40) == pytest.approx(student.ppf(0.95, 40), abs=0.03)
