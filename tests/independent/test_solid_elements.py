"""Finite elements for solids (scikit-fem): released bars, press fits, rings in jaws and reamed bores."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from skfem import (
    Basis,
    BilinearForm,
    ElementQuad2,
    ElementTriP2,
    ElementVector,
    FacetBasis,
    LinearForm,
    MeshQuad,
    MeshQuad2,
    MeshTri,
    condense,
    solve,
)
from skfem.helpers import ddot, sym_grad, trace

from outside import agrees, claim, source
from springpass import bore_stress
from springpass import workholding as wh
from springpass.bore_stress import readings as stress_readings
from springpass.fits import pressing
from springpass.job import budget, part, planning, setups, tools
from springpass.reaming import hole as reamed_hole

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
@source("axisymmetric finite elements (scikit-fem)", basis="method")
def test_long_bar_bored_out_moves_as_finite_elements_say(m, n, bore):
    ring, half = piece(bore, R, 6 * R, m, n), 6 * R
    result = model([("turn", R), ("bore", bore)], m, n)
    agrees("outside error", result.outside_error, 2 * ring(R, 0.0)[0], rel=2e-4, of=bore_stress.cut_sequence)
    # the long bar's axial strain, taken over the middle sixth, away from the ends
    agrees(
        "length change", result.length_change, ring(R, half / 6)[1] / (half / 6), rel=2e-4, of=bore_stress.cut_sequence
    )
    agrees("own", result.own[1], 2 * ring(bore, 0.0)[0], rel=3e-3, of=bore_stress.cut_sequence)


@source("axisymmetric finite elements (scikit-fem)", basis="method")
def test_sequence_of_cuts_as_finite_elements_say():
    """Rough the outside, rough the bore, finish the bore, finish the outside: each surface by the size-when-cut rule.
    """
    states = [(0.0, 9.25), (4.75, 9.25), (5.0, 9.25), (5.0, 9.0)]
    rings = [piece(a, b, 6 * R, 2.0, 2.0) for a, b in states]
    result = model([("turn", 9.25), ("bore", 4.75), ("bore", 5.0), ("turn", 9.0)])
    agrees("error", result.error[2], 2 * (rings[3](5.0, 0.0)[0] - rings[2](5.0, 0.0)[0]), rel=2e-3,
           of=bore_stress.cut_sequence)
    outside_first = model([("turn", 9.0), ("bore", 5.0)])
    turned = piece(0.0, 9.0, 6 * R, 2.0, 2.0)
    agrees("error", outside_first.error[0], 2 * (rings[3](9.0, 0.0)[0] - turned(9.0, 0.0)[0]), rel=5e-4,
           of=bore_stress.cut_sequence)


def bored_short(bore, half, m, n, z):
    """What boring does to the outside of a piece whose ends were faced before: the ring less the solid piece."""
    return 2 * (piece(bore, R, half, m, n)(R, z)[0] - piece(0.0, R, half, m, n)(R, z)[0])


@source("axisymmetric finite elements (scikit-fem)", basis="method")
def test_short_piece_moves_otherwise_and_the_widened_range_covers_it():
    """One diameter long: the middle moves more, the ends less than a long bar."""
    agrees("bored short", bored_short(5.0, R, 2.0, 2.0, 0.0) * 1e3, -3.20, abs=0.01)
    agrees("bored short", bored_short(5.0, R, 2.0, 2.0, R) * 1e3, -2.13, abs=0.01)
    low, high = bore_stress.SHORT_PIECE
    for m, n in ((2.0, 2.0), (4.0, 2.0), (2.0, 4.0), (3.0, 3.0)):
        long = model([("turn", R), ("bore", 5.0)], m, n).outside_error
        for z in (0.0, R / 2, R):
            claim("low", low <= bored_short(5.0, R, m, n, z) / long <= high, of=bore_stress.cut_sequence)
    agrees("short piece, diameters", bore_stress.short_ratio(2 * R, 2 * R), 1.0, of=bore_stress.short_ratio)


@source("axisymmetric finite elements (scikit-fem)", basis="method")
def test_three_diameters_are_long_enough_away_from_the_ends():
    for m, n in ((2.0, 2.0), (4.0, 2.0), (2.0, 4.0)):
        long = model([("turn", R), ("bore", 5.0)], m, n).outside_error
        agrees("bored short", bored_short(5.0, 3 * R, m, n, 0.0), long, rel=0.03)
    agrees("short piece, diameters", bore_stress.short_ratio(6 * R, 2 * R), 0.0, of=bore_stress.short_ratio)


@pytest.mark.parametrize("m, n, terms", [(2.0, 2.0, 1), (4.0, 2.0, 2), (6.0, 6.0, 3)])
@source("axisymmetric finite elements (scikit-fem)", basis="method")
def test_boring_out_brings_back_the_profile_that_finite_elements_released(m, n, terms):
    """Readings made by finite elements, not by the chapter's own solution; then Sachs."""
    bores = 2 * R * np.sqrt(np.array([0.08, 0.2, 0.35, 0.5, 0.65]))
    half = 6 * R
    rings = [piece(bore / 2, R, half, m, n) for bore in bores]
    outside = [2 * ring(R, 0.0)[0] for ring in rings]
    length = [2 * half * 6 * ring(R, half / 6)[1] / half for ring in rings]
    found = stress_readings.sachs(2 * R, bores, outside, length, 2 * half, E, NU, 1e-6, terms=terms)
    radial, hoop, axial = start(found.radius, m, n)
    claim("axial, largest", np.abs(found.axial - axial).max() < 3, of=stress_readings.sachs)
    claim("hoop, largest", np.abs(found.hoop - hoop).max() < 3, of=stress_readings.sachs)
    claim("radial, largest", np.abs(found.radial - radial).max() < 2, of=stress_readings.sachs)
    agrees("skin axial", found.skin_axial, SZ, abs=4, of=stress_readings.sachs)
    agrees("skin hoop", found.skin_hoop, TH, abs=4, of=stress_readings.sachs)


def ring_of_two(inner, joint, outer, misfit, inner_modulus, inner_poisson, outer_modulus, outer_poisson):
    """Quarter of two rings in plane stress; the inner one would by itself be larger by `misfit` on diameter.

    Returns radial displacement (mm) at the bore, the joint and the outside.
    """
    around = np.linspace(0, np.pi / 2, 25)
    radii = np.concatenate([np.geomspace(inner, joint, 17), np.geomspace(joint, outer, 13)[1:]])
    flat = MeshTri.init_tensor(radii, around)
    mesh = MeshTri(np.array([flat.p[0] * np.cos(flat.p[1]), flat.p[0] * np.sin(flat.p[1])]), flat.t)
    basis = Basis(mesh, ElementVector(ElementTriP2()))
    is_inner = np.hypot(*mesh.p[:, mesh.t].mean(axis=1)) < joint
    modulus = np.where(is_inner, inner_modulus, outer_modulus)[:, None]
    poisson = np.where(is_inner, inner_poisson, outer_poisson)[:, None]
    shear, lame = modulus / (2 * (1 + poisson)), modulus * poisson / (1 - poisson**2)   # plane stress
    free = np.where(is_inner, misfit / (2 * joint), 0.0)[:, None]                       # free growth of the inner part

    @BilinearForm
    def stiffness(u, v, w):
        return 2 * shear * ddot(sym_grad(u), sym_grad(v)) + lame * trace(sym_grad(u)) * trace(sym_grad(v))

    @LinearForm
    def growth(v, w):
        return (2 * shear + 2 * lame) * free * trace(sym_grad(v))

    # symmetry: no sideways motion on the two cuts
    at_x, at_y = basis.doflocs[0], basis.doflocs[1]
    everything = np.arange(basis.N)
    sideways = np.isin(everything, basis.split_indices()[0]) & (np.abs(at_x) < 1e-9)
    upwards = np.isin(everything, basis.split_indices()[1]) & (np.abs(at_y) < 1e-9)
    u = solve(*condense(stiffness.assemble(basis), growth.assemble(basis), D=np.flatnonzero(sideways | upwards)))
    on_x = (np.abs(at_y) < 1e-9) & np.isin(everything, basis.split_indices()[0])
    return [float(u[np.flatnonzero(on_x & (np.abs(at_x - radius) < 1e-9))[0]]) for radius in (inner, joint, outer)]


@pytest.mark.parametrize(("inner", "joint", "outer", "outer_modulus", "outer_poisson"), [
    (5.0, 10.0, 20.0, 207e3, 0.30), (6.0, 8.0, 20.0, 70e3, 0.33), (2.0, 20.0, 26.0, 105e3, 0.34)])
@source("plane-stress finite elements (scikit-fem)", basis="method")
def test_lame_against_finite_elements(inner, joint, outer, outer_modulus, outer_poisson):
    """Pressure, outside growth and bore closing of a press fit against a ring of triangles (scikit-fem)."""
    misfit, inner_modulus, inner_poisson = 0.02, 207e3, 0.30
    at_bore, at_joint, at_outside = ring_of_two(
        inner, joint, outer, misfit, inner_modulus, inner_poisson, outer_modulus, outer_poisson
    )
    found = pressing.joint(
        misfit, 2 * joint, 2 * outer, 10.0, outer_modulus, inner_modulus, outer_poisson, inner_poisson, 2 * inner
    )
    agrees("at outside", 2 * at_outside, found.outside_growth, rel=2e-3)
    # the bore: free growth of the whole inner ring, less what the pressure closes it by
    agrees("at bore", 2 * at_bore, misfit * inner / joint - found.bore_closing, rel=2e-3)
    # the joint: the outer ring's bore opens by pressure times its give
    give = pressing.hub_give(2 * joint, 2 * outer, outer_modulus, outer_poisson)
    agrees("at joint", 2 * at_joint, found.pressure * 2 * joint * give, rel=2e-3)


def ring_by_finite_elements(bore: float, outside: float, pressure: float, modulus: float, poisson: float) -> float:
    """Growth of the bore's diameter, plane stress, quarter ring of second-order quadrilaterals."""
    skfem = pytest.importorskip("skfem")
    from skfem.helpers import ddot, eye, sym_grad, trace
    from skfem.models.elasticity import lame_parameters

    mesh = skfem.MeshQuad.init_tensor(np.linspace(0, 1, 13), np.linspace(0, 1, 25))
    mesh = skfem.MeshQuad2.from_mesh(mesh)
    radius = bore / 2 * (outside / bore) ** mesh.doflocs[0]
    angle = np.pi / 2 * mesh.doflocs[1]
    mesh = skfem.MeshQuad2(np.stack([radius * np.cos(angle), radius * np.sin(angle)]), mesh.t)
    basis = skfem.Basis(mesh, skfem.ElementVector(skfem.ElementQuad2()))
    lam, mu = lame_parameters(modulus, poisson)
    lam = 2 * lam * mu / (lam + 2 * mu)   # plane stress

    @skfem.BilinearForm
    def stiffness(u, v, _):
        e = sym_grad(u)
        return ddot(lam * eye(trace(e), 2) + 2 * mu * e, sym_grad(v))

    middle = (bore + outside) / 4
    inside = mesh.facets_satisfying(lambda x: np.hypot(*x) < bore / 2 + 1e-6 * middle, boundaries_only=True)
    edge = skfem.FacetBasis(mesh, skfem.ElementVector(skfem.ElementQuad2()), facets=inside)

    @skfem.LinearForm
    def push(v, w):
        return -pressure * (v[0] * w.n[0] + v[1] * w.n[1])

    a, b = stiffness.assemble(basis), push.assemble(edge)
    on_x = basis.get_dofs(lambda x: np.abs(x[1]) < 1e-9 * outside).all(["u^2"])
    on_y = basis.get_dofs(lambda x: np.abs(x[0]) < 1e-9 * outside).all(["u^1"])
    u = skfem.solve(*skfem.condense(a, b, D=np.concatenate([on_x, on_y])))
    at = np.flatnonzero(np.isclose(mesh.p[0], bore / 2) & (np.abs(mesh.p[1]) < 1e-9 * outside))[0]
    return 2 * float(u[basis.nodal_dofs[0, at]])


@pytest.mark.parametrize(("bore", "outside"), [(10.0, 20.0), (12.0, 14.0), (42.0, 62.0)])
@source("plane-stress finite elements (scikit-fem)", basis="method")
def test_bore_closing_against_finite_elements(bore, outside):
    steel = {"modulus": 205e3, "poisson": 0.29}
    ours = reamed_hole.bore_closing(8.0, bore, outside, **steel)
    agrees("", ours, ring_by_finite_elements(bore, outside, 8.0, **steel), rel=2e-5, of=reamed_hole.bore_closing)


@cache
def fe_ring(outside, bore, width, load, jaws, pad):
    """Half a lobe of the ring, from the middle of a jaw to midway between two, as curved quadratic elements.
    Returns angles and radial movement along the bore, and the mean movement of the face under the jaw."""
    a, b, end, edge = bore / 2, outside / 2, np.pi / jaws, np.radians(pad)
    across = np.linspace(a, b, 13)
    round_ = np.concatenate(
        [np.linspace(0, edge, 13), edge + (end - edge) * (1 - np.cos(np.linspace(0, np.pi / 2, 37)[1:]))]
    )
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

    under = mesh.facets_satisfying(
        lambda x: (np.hypot(*x) > 0.999 * b) & (np.arctan2(x[1], x[0]) < edge * 0.9999), True
    )
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
@source("plane-stress finite elements (scikit-fem)", basis="method")
def test_bore_and_jaw_follow_finite_elements(ring):
    outside, bore, width, load, jaws, pad = ring
    angles, moves, travel = fe_ring(*ring)
    found = wh.ring_lobing(outside, bore, width, load, jaws, E, NU, pad)
    agrees("bore", found.bore(np.degrees(angles)), moves, rel=1e-3, abs=1e-3 * np.abs(moves).max(), of=wh.ring_lobing)
    agrees("peak to valley", found.peak_to_valley, np.ptp(moves), rel=1e-3, of=wh.ring_lobing)
    agrees("jaw travel", found.jaw_travel, travel, rel=2e-3, of=wh.ring_lobing)


@source("plane-stress finite elements (scikit-fem), gauges carried round", basis="method")
def test_gauges_turned_over_the_finite_element_profile():
    """Two contacts opposite each other, and three at 120 degrees, carried round the bore of three lobes."""
    angles, moves, _ = fe_ring(*RINGS[0])

    def radius(angle):
        folded = np.abs((angle + np.pi / 3) % (2 * np.pi / 3) - np.pi / 3)
        return np.interp(folded, angles, moves)

    turn = np.linspace(0, 2 * np.pi, 1441)
    seen = wh.gauged(wh.ring_lobing(40, 32, 20, 1000, 3, E, NU, 8))
    agrees("radius", np.ptp(radius(turn) + radius(turn + np.pi)), seen.two_point, rel=0.01)
    three = sum(radius(turn + k * 2 * np.pi / 3) for k in range(3)) * 2 / 3
    agrees("three", np.ptp(three), seen.three_point, rel=2e-3)


@source(
    "axisymmetric finite elements (scikit-fem)",
    place="the drive sleeve, one bar of steel, both orders",
    basis="method",
)
def test_what_a_plan_expects_of_released_stress():
    """The plan's own cuts; each state of the bar is released by finite elements on the reference bar, and scaled to its
    size.
    """
    made = part.demo()
    drafts = [planning.best(made, tools.default_shop(), setups.Settings(), order)
              for order in (setups.BORE_FIRST, setups.OUTSIDE_FIRST)]
    stock = setups.Settings().finish_stock
    bore = made.bores[0]
    out = max(
        (
            o
            for o in made.outsides
            if o.start < bore.end and o.end > bore.start
        ),
        key=lambda o: (o.toleranced, o.length),
    )
    k = made.blank.diameter / 2 / R
    rough, final, at = (v / 2 / k for v in (out.diameter + stock, out.diameter, bore.diameter))
    known = {"stress": {"axial": SZ, "hoop": TH, "m": 2.0, "n": 2.0, "modulus": E, "poisson": NU}, "short": 1.0}

    def moved(radius, before, after):
        was, now = (piece(a, b, 6 * R, 2.0, 2.0) for a, b in (before, after))
        return 2 * k * (now(radius, 0.0)[0] - was(radius, 0.0)[0])

    agrees("bore, outside finished last", budget.release(drafts[0], bore, known),
           moved(at, (at, min(rough, R - 0.01 / k)), (at, final)), rel=5e-3, unit="mm", of=budget.release)
    agrees("outside, bored last", budget.release(drafts[1], out, known),
           moved(final, (0.0, final), (at, final)), rel=5e-3, unit="mm", of=budget.release)
