"""The boring bar against methods that share nothing with it: finite elements, adaptive integration, the delay equation itself."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, linalg, optimize
from scipy.sparse.linalg import eigsh
from skfem import Basis, BilinearForm, ElementLineHermite, ElementLineP1, ElementLineP2, MeshLine, asm, solve

from springpass import boring_bar, cutting
from springpass.bar_bending import tip_springs
from springpass.bar_vibration import chatter_depth, cut_slopes, limit_with_overlap, lobes

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
    tt = asm(BilinearForm(lambda u, v, p: bending(p.x[0]) * u.grad[0] * v.grad[0] + shear(p.x[0]) * u * v), turn).tolil()
    tw = asm(BilinearForm(lambda u, v, p: -shear(p.x[0]) * u.grad[0] * v), w, turn).tolil()
    root, tip = int(w.nodal_dofs[0, np.argmin(mesh.p[0])]), int(w.nodal_dofs[0, np.argmax(mesh.p[0])])
    root_turn = int(turn.nodal_dofs[0, np.argmin(mesh.p[0])])
    ww[root, root] += kt if np.isfinite(kt) else 1e15
    tt[root_turn, root_turn] += kth if np.isfinite(kth) else 1e18
    from scipy.sparse import bmat
    load = np.zeros(ww.shape[0] + tt.shape[0])
    load[tip] = 1.0
    return solve(bmat([[ww, tw.T], [tw, tt]], "csc"), load)[tip]


@pytest.mark.parametrize(("segments", "kt", "kth"), [
    ([(40.0, 8.0)], np.inf, np.inf), ([(40.0, 8.0)], 2e4, 8e6), (STEPPED, np.inf, np.inf), (STEPPED, 3e4, 2e7), ([(16.0, 8.0)], 3e4, 2e7)])
def test_compliance_against_finite_elements(segments, kt, kth):
    assert boring_bar.compliance(segments, 205e3, 0.29, kt, kth) == pytest.approx(timoshenko_tip(segments, 205e3, 0.29, kt, kth), rel=2e-4)


def test_moment_at_the_tip_against_finite_elements():
    """The feed force beside the axis is a moment: by reciprocity its push is the tip's turn under a side force."""
    mesh, ends = beam_mesh(STEPPED)
    basis = Basis(mesh, ElementLineHermite(), intorder=6)
    k = asm(BilinearForm(lambda u, v, p: 205e3 * np.pi * diameter_at(p.x[0], ends, STEPPED) ** 4 / 64 * u.hess[0][0] * v.hess[0][0]), basis)
    root = basis.nodal_dofs[:, np.argmin(mesh.p[0])]
    tip = basis.nodal_dofs[:, np.argmax(mesh.p[0])]
    load = np.zeros(k.shape[0])
    load[tip[1]] = 1.0   # a unit moment
    free = np.setdiff1d(np.arange(k.shape[0]), root)
    moved = np.zeros(k.shape[0])
    moved[free] = np.linalg.solve(k.toarray()[np.ix_(free, free)], load[free])
    assert tip_springs(STEPPED, 205e3, 0.29).moment == pytest.approx(moved[tip[0]], rel=1e-6)


@pytest.mark.parametrize(("segments", "tip_kg", "kt", "kth"), [
    ([(48.0, 12.0)], 0.0, np.inf, np.inf), (STEPPED, 0.004, np.inf, np.inf), (STEPPED, 0.0, 3e4, 2e7)])
def test_frequency_against_finite_elements(segments, tip_kg, kt, kth):
    """Euler beam, cubic elements and consistent mass by scikit-fem, eigenvalues by scipy."""
    mesh, ends = beam_mesh(segments, 20)
    basis = Basis(mesh, ElementLineHermite(), intorder=6)
    k = asm(BilinearForm(lambda u, v, p: 205e3 * np.pi * diameter_at(p.x[0], ends, segments) ** 4 / 64 * u.hess[0][0] * v.hess[0][0]), basis).tolil()
    m = asm(BilinearForm(lambda u, v, p: 7.85e-9 * np.pi * diameter_at(p.x[0], ends, segments) ** 2 / 4 * u * v), basis).tolil()
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
    assert got == pytest.approx(wanted, rel=1e-5)


def test_timoshenko_frequency_against_the_boundary_value_problem():
    """First root of the clamped-free Timoshenko beam by integrating its equations from the root (scipy) and shooting."""
    e, nu, rho, d, length = 205e3, 0.29, 7.85e-9, 12.0, 36.0
    inertia, area = np.pi * d**4 / 64, np.pi * d**2 / 4
    g, kappa = e / (2 * (1 + nu)), 6 * (1 + nu) / (7 + 6 * nu)

    def residual(f):
        om2 = (2 * np.pi * f) ** 2

        def field(x, y):   # w, turn, moment, shear
            w, t, m, q = y
            return [t + q / (kappa * g * area), m / (e * inertia), -q - rho * inertia * om2 * t, -rho * area * om2 * w]

        ends = [integrate.solve_ivp(field, (0, length), start, rtol=1e-9, atol=1e-12).y[2:, -1] for start in ([0, 0, 1, 0], [0, 0, 0, 1])]
        return np.linalg.det(np.array(ends))

    guess = boring_bar.natural_frequency([(length, d)], e, 7850, poisson=nu)
    wanted = optimize.brentq(residual, 0.9 * guess, 1.1 * guess, xtol=1e-6)
    assert guess == pytest.approx(wanted, rel=2e-4)
    assert wanted < boring_bar.natural_frequency([(length, d)], e, 7850)   # shear and rotary inertia lower it


# ---- the cut ------------------------------------------------------------------------------------------


def exact_forces(a, f, r, kc, mc, kn, mn):
    """Cutting, thrust and feed force for a nose-only cut by adaptive integration along the arc (scipy)."""
    def h(phi):
        return max(min(r + f * np.sin(phi) - np.sqrt(r**2 - (f * np.cos(phi)) ** 2), r - (r - a) / np.cos(phi)), 0.0)

    start, end = -np.arcsin(f / (2 * r)), np.arccos(1 - a / r)
    meet = np.arctan2(np.sqrt(2 * r * a - a * a) - f, r - a)

    def total(integrand):
        return sum(integrate.quad(integrand, lo, hi, limit=300)[0] for lo, hi in ((start, meet), (meet, end)))

    return (total(lambda p: kc * h(p) ** (1 - mc) * (r - h(p) / 2)), total(lambda p: kn * h(p) ** (1 - mn) * (r - h(p) / 2) * np.cos(p)),
            total(lambda p: kn * h(p) ** (1 - mn) * (r - h(p) / 2) * np.sin(p)))


@given(a=st.floats(0.01, 0.35), f=st.floats(0.02, 0.12), r=st.floats(0.4, 1.2))
@settings(max_examples=12)
def test_nose_forces_against_adaptive_integration(a, f, r):
    if a < 1.05 * f**2 / (8 * r):
        return
    got = cutting.nose_forces(a, f, r, 90, 1500, 0.22, 600, 0.4)
    assert (got.cutting, got.thrust, got.feed) == pytest.approx(exact_forces(a, f, r, 1500, 0.22, 600, 0.4), rel=2e-4, abs=2e-4)


@pytest.mark.parametrize("compliance", [1e-4, 7.8e-4, 3e-3])
def test_spring_passes_against_a_root_finder(compliance):
    """Each pass solved by Brent's method on the exactly integrated thrust."""
    left, wanted = 0.1, []
    for _ in range(2):
        depth = optimize.brentq(lambda a, left=left: a + compliance * exact_forces(a, 0.05, 0.4, 1500, 0.22, 600, 0.4)[1] - left, 1e-3, left)
        left -= depth
        wanted.append(left)
    got = boring_bar.spring_passes(0.1, 0.05, 0.4, compliance, (1500, 0.22, 600, 0.4), 2)
    assert got.left == pytest.approx(wanted, rel=2e-3)


def test_what_is_copied_of_an_uneven_stock_against_two_runs():
    """The share of an unevenness that is left, against the difference of two runs a micrometre apart."""
    one, two = (boring_bar.spring_passes(a, 0.05, 0.4, 1.5e-3, (1500, 0.22, 600, 0.4), 2) for a in (0.1, 0.101))
    assert one.copied == pytest.approx((two.left - one.left) / 0.001, rel=0.02)


def test_cutting_stiffness_is_the_slope_of_the_thrust():
    """On a broad straight edge the slope of Kienzle's curve is plain calculus; the nose's is its integral (scipy)."""
    a, f, r, kn, mn = 0.1, 0.05, 0.2, 600, 0.4

    def h(p):
        return min(r + f * np.sin(p) - np.sqrt(r * r - (f * np.cos(p)) ** 2), r - (r - a) / np.cos(p))

    meet = np.arctan2(np.sqrt(2 * r * a - a * a) - f, r - a)
    parts = [integrate.quad(lambda p: (1 - mn) * kn * h(p) ** -mn * np.cos(p) ** 2 * r, lo, hi, limit=500)[0]
             for lo, hi in ((-np.arcsin(f / 2 / r), meet), (meet, np.arccos(1 - a / r)))]
    got = cutting.cutting_stiffness(a, f, r, 90, kn, mn)
    assert got.whole == pytest.approx(sum(parts), rel=1e-4)
    assert got.previous == pytest.approx(parts[0], rel=1e-4)


# ---- the delay equation ----------------------------------------------------------------------------------


def grows(k, zeta, whole, overlap, turns_per_swing, steps=80):
    """Largest multiplier of x″ + 2ζx′ + x = −(K/k)·(x − µ·x(t−τ)) over one step, by semi-discretisation (ω = 1)."""
    delay = 2 * np.pi * turns_per_swing
    dt = delay / steps
    a = np.array([[0, 1.0], [-(1 + whole / k), -2 * zeta]])
    stepping = linalg.expm(np.block([[a, np.eye(2)], [np.zeros((2, 4))]]) * dt)
    p, r = stepping[:2, :2], stepping[:2, 2:]
    big = np.zeros((steps + 2, steps + 2))
    big[:2, :2] = p
    big[:2, -1] = r @ np.array([0, 0.5 * overlap * whole / k])
    big[:2, -2] += r @ np.array([0, 0.5 * overlap * whole / k])
    big[2, 0] = 1
    big[np.arange(3, steps + 2), np.arange(2, steps + 1)] = 1
    return np.abs(linalg.eigvals(big)).max()


@pytest.mark.parametrize(("zeta", "overlap"), [(0.02, 1.0), (0.02, 0.7), (0.06, 0.85)])
def test_the_limit_of_stability_against_the_delay_equation(zeta, overlap):
    """Just below the limit nothing grows at any speed; just above it something does at the worst one."""
    k = 2000.0
    limit = limit_with_overlap(k, zeta, overlap)
    delays = np.linspace(0.55, 1.75, 61)
    assert max(grows(k, zeta, 0.97 * limit, overlap, d) for d in delays) < 1
    assert max(grows(k, zeta, 1.03 * limit, overlap, d) for d in delays) > 1


def test_the_lobes_against_the_delay_equation():
    """At three speeds on a lobe the limit found by bisection on the multiplier is the lobe's."""
    k, zeta, fn = 2000.0, 0.03, 100.0
    table = lobes(k, zeta, fn, range(3), 400)
    for speed in (2800.0, 4200.0, 5600.0):
        wanted = min(np.interp(speed, s, limit, left=np.inf, right=np.inf) for s, limit in zip(table.speed, table.limit, strict=True))
        turns = fn / (speed / 60)
        found = optimize.brentq(lambda whole, turns=turns: grows(k, zeta, whole, 1.0, turns, 160) - 1, 0.3 * wanted, 2.5 * wanted, rtol=1e-3)
        assert found == pytest.approx(wanted, rel=0.03)


def test_chatter_depth_is_where_the_curves_cross():
    """The depth read off the table against a root found on the cutting stiffness itself."""
    k, zeta = 3000.0, 0.03
    depth = chatter_depth(0.05, 0.4, k, zeta, 600, 0.4)

    def excess(log_depth):
        one = cutting.cutting_stiffness(np.exp(log_depth), 0.05, 0.4, 90, 600, 0.4)
        return one.whole - limit_with_overlap(k, zeta, one.overlap)

    assert depth == pytest.approx(np.exp(optimize.brentq(excess, np.log(1e-3), np.log(1.0))), rel=5e-3)
    assert cut_slopes(0.05, 0.4, 600, 0.4).depth[0] < depth


