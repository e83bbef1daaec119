"""Stress release against other solutions: axisymmetric finite elements (scikit-fem), and cuts made one at a time
from the stress that is left, with the thick cylinder solved as a boundary-value problem (scipy)."""

from functools import cache

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import fsolve
from skfem import Basis, BilinearForm, ElementQuad2, ElementVector, LinearForm, MeshQuad, condense, solve

from springpass import bore_stress, stress_readings

R, SZ, TH, E, NU = 10.0, 300.0, 200.0, 205e3, 0.29


def start(r, m, n):
    """The bar's own stress, written out afresh: radial, hoop, axial."""
    rho = r / R
    return (-TH / n * (1 - rho**n), -TH / n * (1 - (n + 1) * rho**n),
            SZ * (2 / m) * ((m + 2) / 2 * rho**m - 1))


def strain(u, r):
    g = u.grad
    return g[0, 0], u[0] / r, g[1, 1], g[0, 1] + g[1, 0]


@cache
def piece(a, b, half, m, n):
    """Movement of a ring a..b, 2*half long, released from the bar; a function of (r, z) giving (u_r, u_z)."""
    refine = np.concatenate([half - np.geomspace(half, 0.02 * (b - a), 24), [half]])
    mesh = MeshQuad.init_tensor(np.linspace(a, b, 25), refine)
    basis = Basis(mesh, ElementVector(ElementQuad2()))
    lam, mu = E * NU / (1 + NU) / (1 - 2 * NU), E / 2 / (1 + NU)

    @BilinearForm
    def stiff(u, v, w):
        er, et, ez, g = strain(u, w.x[0])
        fr, ft, fz, h = strain(v, w.x[0])
        volume = lam * (er + et + ez)
        return ((volume + 2 * mu * er) * fr + (volume + 2 * mu * et) * ft + (volume + 2 * mu * ez) * fz
                + mu * g * h) * w.x[0]

    @LinearForm
    def load(v, w):
        fr, ft, fz, _ = strain(v, w.x[0])
        sr, st, sz = start(w.x[0], m, n)
        return -(sr * fr + st * ft + sz * fz) * w.x[0]

    fixed = basis.get_dofs(lambda x: np.isclose(x[1], 0)).all("u^2")
    if a == 0:
        fixed = np.union1d(fixed, basis.get_dofs(lambda x: np.isclose(x[0], 0)).all("u^1"))
    u = solve(*condense(stiff.assemble(basis), load.assemble(basis), D=fixed))
    return lambda r, z: (basis.probes(np.array([[r], [z]])) @ u)


def model(cuts, m=2.0, n=2.0):
    return bore_stress.cut_sequence(R, SZ, TH, m, n, cuts, E, NU)


@pytest.mark.parametrize("m, n, bore", [(2.0, 2.0, 5.0), (8.0, 8.0, 5.0), (2.0, 4.0, 7.5), (3.0, 2.5, 2.0)])
def test_long_bar_bored_out_moves_as_finite_elements_say(m, n, bore):
    ring, half = piece(bore, R, 6 * R, m, n), 6 * R
    result = model([("turn", R), ("bore", bore)], m, n)
    assert result.outside_error == pytest.approx(2 * ring(R, 0.0)[0], rel=2e-4)
    # the long bar's axial strain, taken over the middle sixth, away from the ends
    assert result.length_change == pytest.approx(ring(R, half / 6)[1] / (half / 6), rel=2e-4)
    assert result.own[1] == pytest.approx(2 * ring(bore, 0.0)[0], rel=3e-3)


def test_sequence_of_cuts_as_finite_elements_say():
    """Rough the outside, rough the bore, finish the bore, finish the outside: each surface by the size-when-cut rule."""
    states = [(0.0, 9.25), (4.75, 9.25), (5.0, 9.25), (5.0, 9.0)]
    rings = [piece(a, b, 6 * R, 2.0, 2.0) for a, b in states]
    result = model([("turn", 9.25), ("bore", 4.75), ("bore", 5.0), ("turn", 9.0)])
    assert result.error[2] == pytest.approx(2 * (rings[3](5.0, 0.0)[0] - rings[2](5.0, 0.0)[0]), rel=2e-3)
    outside_first = model([("turn", 9.0), ("bore", 5.0)])
    turned = piece(0.0, 9.0, 6 * R, 2.0, 2.0)
    assert outside_first.error[0] == pytest.approx(2 * (rings[3](9.0, 0.0)[0] - turned(9.0, 0.0)[0]), rel=5e-4)


def bored_short(bore, half, m, n, z):
    """What boring does to the outside of a piece whose ends were faced before: the ring less the solid piece."""
    return 2 * (piece(bore, R, half, m, n)(R, z)[0] - piece(0.0, R, half, m, n)(R, z)[0])


def test_short_piece_moves_otherwise_and_the_widened_range_covers_it():
    """One diameter long: the middle moves more, the ends less than a long bar."""
    assert bored_short(5.0, R, 2.0, 2.0, 0.0) * 1e3 == pytest.approx(-3.20, abs=0.01)
    assert bored_short(5.0, R, 2.0, 2.0, R) * 1e3 == pytest.approx(-2.13, abs=0.01)
    low, high = bore_stress.SHORT_PIECE
    for m, n in ((2.0, 2.0), (4.0, 2.0), (2.0, 4.0), (3.0, 3.0)):
        long = model([("turn", R), ("bore", 5.0)], m, n).outside_error
        for z in (0.0, R / 2, R):
            assert low <= bored_short(5.0, R, m, n, z) / long <= high
    assert bore_stress.length_caution(2 * R, 2 * R)


def test_three_diameters_are_long_enough_away_from_the_ends():
    for m, n in ((2.0, 2.0), (4.0, 2.0), (2.0, 4.0)):
        long = model([("turn", R), ("bore", 5.0)], m, n).outside_error
        assert bored_short(5.0, 3 * R, m, n, 0.0) == pytest.approx(long, rel=0.03)
    assert bore_stress.length_caution(6 * R, 2 * R) == ""


def release_step(a, b, radial, axial):
    """A cut made from the stress that is there: even, wall and axial parts from scratch (solve, do not look up)."""
    even, wall = fsolve(lambda c: [c[0] - c[1] / a**2 + radial(a), c[0] - c[1] / b**2 + radial(b)], [0.0, 0.0])
    force = quad(lambda r: axial(r) * r, a, b)[0]
    return even, wall, -2 * force / (b**2 - a**2)


@pytest.mark.parametrize("order", [
    [("bore", 2.0), ("turn", 9.4), ("bore", 5.0), ("turn", 9.0)],
    [("bore", 5.0), ("turn", 9.0)],
    [("bore", 1.0), ("turn", 9.0), ("bore", 5.0)],
])
def test_cut_by_cut_from_the_stress_left_gives_the_same(order):
    m, n = 3.0, 2.0
    sums = np.zeros(3)
    a, b, shifts = 0.0, R, []

    def shift(r, c):
        return r / E * ((1 - NU) * c[0] + (1 + NU) * c[1] / r**2 - NU * c[2])

    for side, at in order:
        a, b = (at, b) if side == "bore" else (a, at)
        c = sums.copy()
        sums = sums + release_step(a, b, lambda r, c=c: start(r, m, n)[0] + c[0] - c[1] / r**2,
                                   lambda r, c=c: start(r, m, n)[2] + c[2])
        shifts.append(sums.copy())
    result = model(order, m, n)
    for i, (_, at) in enumerate(order):
        if np.isfinite(result.error[i]):
            assert result.error[i] == pytest.approx(2 * (shift(at, sums) - shift(at, shifts[i])), abs=1e-10)
    assert result.length_change == pytest.approx((sums[2] - 2 * NU * sums[0]) / E, rel=1e-7)
    for r in (5.0, 6.5, 8.0, 9.0):
        axial, hoop, radial = bore_stress.stress_after(R, SZ, TH, m, n, 5.0, 9.0, r)
        was = start(r, m, n)
        assert radial == pytest.approx(was[0] + sums[0] - sums[1] / r**2, abs=1e-6)
        assert hoop == pytest.approx(was[1] + sums[0] + sums[1] / r**2, abs=1e-6)
        assert axial == pytest.approx(was[2] + sums[2], abs=1e-6)


@pytest.mark.parametrize("m, n, terms", [(2.0, 2.0, 1), (4.0, 2.0, 2), (6.0, 6.0, 3)])
def test_boring_out_brings_back_the_profile_that_finite_elements_released(m, n, terms):
    """Readings made by finite elements, not by the chapter's own solution; then Sachs."""
    bores = 2 * R * np.sqrt(np.array([0.08, 0.2, 0.35, 0.5, 0.65]))
    half = 6 * R
    rings = [piece(bore / 2, R, half, m, n) for bore in bores]
    outside = [2 * ring(R, 0.0)[0] for ring in rings]
    length = [2 * half * 6 * ring(R, half / 6)[1] / half for ring in rings]
    found = stress_readings.sachs(2 * R, bores, outside, length, 2 * half, E, NU, 1e-6, terms=terms)
    radial, hoop, axial = start(found.radius, m, n)
    assert np.abs(found.axial - axial).max() < 3
    assert np.abs(found.hoop - hoop).max() < 3
    assert np.abs(found.radial - radial).max() < 2
    assert found.skin_axial == pytest.approx(SZ, abs=4)
    assert found.skin_hoop == pytest.approx(TH, abs=4)


@pytest.mark.parametrize("thick", [0.5, 1.0, 2.0])
def test_slit_ring_against_the_exact_curved_bar(thick):
    """Pure bending of a curved bar, exact in plane stress (Timoshenko and Goodier, Theory of Elasticity, bending of a
    curved bar, from memory; the turn of the slit's faces is worked out from the strains, so the two must fit)."""
    mean = 20.0
    a, b = mean / 2 - thick / 2, mean / 2 + thick / 2
    log = np.log(b / a)
    scale = -4.0 / ((b**2 - a**2) ** 2 - 4 * a**2 * b**2 * log**2)   # for a moment of 1 N mm per mm

    def radial(r):
        return scale * (a**2 * b**2 / r**2 * log + b**2 * np.log(r / b) + a**2 * np.log(a / r))

    def around(r):
        return scale * (-(a**2) * b**2 / r**2 * log + b**2 * np.log(r / b) + a**2 * np.log(a / r) + b**2 - a**2)

    def turn(r, h=1e-4):   # of unit angle: hoop strain + r times its slope - radial strain; the same at every radius
        hoop = [(around(x) - NU * radial(x)) / E for x in (r - h, r, r + h)]
        return hoop[1] + r * (hoop[2] - hoop[0]) / (2 * h) - (radial(r) - NU * around(r)) / E

    assert turn(a + thick / 4) == pytest.approx(turn(b - thick / 4), rel=1e-4)
    assert quad(lambda r: around(r) * r, a, b)[0] == pytest.approx(-1, rel=1e-6)
    opening = 2 * np.pi * abs(turn(mean / 2)) * mean / 2
    found = stress_readings.slit_ring(2 * b, thick, opening, E, NU)
    assert found.narrow == pytest.approx(abs(around(b)), rel=0.8 * thick / mean)
    assert found.wide == pytest.approx(found.narrow / (1 - NU**2))
