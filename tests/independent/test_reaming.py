"""Reaming against other ways of working it out: finite elements, brute force, another library."""

import numpy as np
import pytest
from scipy import stats

from springpass import reamed_hole, reaming, reaming_log


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
def test_bore_closing_against_finite_elements(bore, outside):
    steel = {"modulus": 205e3, "poisson": 0.29}
    ours = reamed_hole.bore_closing(8.0, bore, outside, **steel)
    assert ours == pytest.approx(ring_by_finite_elements(bore, outside, 8.0, **steel), rel=2e-5)


def teeth_by_brute_force(chip: float, runout: float, teeth: int, floor: float, lead: float) -> tuple[float, float, float, int]:
    """One tooth after another over 240 turns, with nothing but the surface's place kept."""
    surface, taken = 0.0, []   # a smooth surface
    for n in range(240 * teeth):
        tip = n * chip + runout * np.cos(np.radians(lead)) * np.cos(2 * np.pi * (n % teeth) / teeth)
        if tip - surface >= floor - 1e-12:
            taken.append((n, n % teeth, tip - surface))
            surface = tip
    late = [t for t in taken if t[0] >= 90 * teeth]
    chips = np.array([t[2] for t in late])
    return len(late) / (150 * teeth), chips.mean(), chips.max(), len({t[1] for t in late})


def test_teeth_against_brute_force():
    dice = np.random.default_rng(3)
    for _ in range(60):
        teeth = int(dice.integers(2, 13))
        chip, runout = float(dice.uniform(2, 25)) * 1e-3, float(dice.choice([0, dice.uniform(0, 30)])) * 1e-3
        floor, lead = float(dice.uniform(0, 12)) * 1e-3, float(dice.choice([1.5, 30, 45]))
        fraction, mean, largest, count = teeth_by_brute_force(chip, runout, teeth, floor, lead)
        found = reaming.teeth_cutting(chip, runout, teeth, floor, lead)
        assert found.fraction == pytest.approx(fraction, rel=2e-2)
        assert found.mean_chip == pytest.approx(mean, rel=2e-2)
        assert found.max_chip == pytest.approx(largest, rel=1e-9, abs=1e-12)
        assert found.teeth == count


def test_corner_chip_against_sums_over_a_fine_grid():
    """Area between two profiles one feed apart, column by column."""
    dice = np.random.default_rng(5)
    for _ in range(10):
        stock, step = float(dice.uniform(0.01, 0.4)), float(dice.uniform(0.003, 0.08))
        corner, lead = float(dice.uniform(0.01, 0.3)), float(dice.uniform(5, 60))
        kappa = np.radians(lead)
        x = np.linspace(-step, stock / np.tan(kappa) + corner, 100_001)

        def profile(x, corner=corner, kappa=kappa):
            arc = corner - np.sqrt(corner**2 - np.clip(x, 0, corner * np.sin(kappa)) ** 2)
            return arc + np.maximum(x - corner * np.sin(kappa), 0) * np.tan(kappa)

        low, high = np.minimum(profile(x), stock / 2), np.minimum(profile(x + step), stock / 2)
        area = float(np.trapezoid(high - low, x))
        slope = np.gradient(profile(x), x)
        cut = profile(x) < stock / 2
        found = reaming.corner_chip(stock, step, corner, lead)
        assert found.area == pytest.approx(area, rel=1e-4)
        assert found.max == pytest.approx(float(((high - low) / np.sqrt(1 + slope**2))[cut].max()), rel=2e-3)
        assert found.edge == pytest.approx(float(np.trapezoid(np.sqrt(1 + slope**2) * cut, x)), rel=1e-3)


def test_prediction_interval_covers_nine_in_ten():
    """Many invented logs with a known scatter: the next hole lies in the range nine times in ten."""
    dice = np.random.default_rng(11)
    inside = 0
    for _ in range(2000):
        stocks = dice.uniform(0.05, 0.3, 6)
        wrong = 0.004 + 0.02 * stocks + dice.normal(0, 0.002, 6)
        log = [{"stock": s, "feed": 0.1, "speed": 8, "size": 10, "reamer": 10.0, "hole": 10 + w, "fluid": "dry", "material": "m"}
               for s, w in zip(stocks, wrong, strict=True)]
        at = float(stocks.mean())
        found = reaming_log.fit_holes(log, at)
        inside += found.low <= 0.004 + 0.02 * at + dice.normal(0, 0.002) <= found.high
    assert 0.88 < inside / 2000 < 0.92


def test_fit_with_three_predictors_against_scipy():
    dice = np.random.default_rng(2)
    table = dice.uniform([0.05, 0.05, 4], [0.3, 0.3, 12], (14, 3))
    y = 0.003 + table @ [0.02, -0.01, 0.0003] + dice.normal(0, 0.001, 14)
    log = [{"stock": s, "feed": f, "speed": v, "size": 10, "reamer": 10.0, "hole": 10 + w, "fluid": "dry", "material": "m"}
           for (s, f, v), w in zip(table, y, strict=True)]
    found = reaming_log.fit_holes(log, 0.15, 0.15, 8.0)
    x = np.column_stack([np.ones(14), table])
    beta = np.linalg.inv(x.T @ x) @ x.T @ y
    s = np.sqrt(np.sum((y - x @ beta) ** 2) / 10)
    here = np.array([1, 0.15, 0.15, 8.0])
    spread = s * np.sqrt(1 + here @ np.linalg.inv(x.T @ x) @ here)
    assert found.value == pytest.approx(float(here @ beta), rel=1e-7)
    assert found.high - found.value == pytest.approx(stats.t.ppf(0.95, 10) * spread, rel=1e-6)
