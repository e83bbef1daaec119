"""The boring bar against published values and reference computations.

Sources stand beside the values. "Reference computation" means a set of cases worked out beforehand by other
code and, where marked so, confirmed by a second method (finite elements, boundary-value solver, delay equation).
"""

import numpy as np
import pytest

from springpass import bar_bending, boring_bar, cutting
from springpass.bar_vibration import chatter_depth, damping_with_rubbing, first_frequency, limit_of_stability, limit_with_overlap
from springpass.formula import roots
from springpass.tables import fact

INF = float("inf")


def test_second_moment_and_deflection_of_a_one_inch_bar():
    """E. Isakov, Boring: Calculating deflection, Cutting Tool Engineering, July 2019, example 2 (read).

    Printed: I = 20 432 mm⁴ for 25.4 mm; y = 0.0757 mm for 911.1 N at 101.6 mm with E = 20.6e4 N/mm²;
    and, in inch, I = 0.0491 in⁴.
    """
    assert bar_bending.second_moment(25.4) == pytest.approx(20432, abs=1.5)  # the article carries 416231.46 * 3.1416
    assert bar_bending.second_moment(1.0) == pytest.approx(0.0491, abs=5e-5)
    assert bar_bending.tip_deflection(911.1, 101.6, 25.4, 20.6e4) == pytest.approx(0.0757, abs=5e-5)


@pytest.mark.parametrize(("segments", "e", "nu", "kt", "kth", "um_per_n"), [
    ([(40, 8)], 360e3, 0.28, INF, INF, 0.301127047),     # reference computation; 3-D elasticity 0.298044, 1.0 % less
    ([(40, 8)], 205e3, 0.29, 2e4, 8e6, 0.7788861093),    # reference computation, confirmed
])
def test_compliance(segments, e, nu, kt, kth, um_per_n):
    assert 1e3 * boring_bar.compliance(segments, e, nu, kt, kth) == pytest.approx(um_per_n, rel=1e-6)


def test_compliance_without_shear():
    """Reference computation: 0.2947313761 µm/N for the heavy-alloy bar."""
    assert 1e3 * bar_bending.tip_deflection(1.0, 40, 8, 360e3) == pytest.approx(0.2947313761, rel=1e-9)


@pytest.mark.parametrize(("a", "f", "r", "kappa", "material", "fc", "fp", "ff", "h_max", "area"), [
    # reference computations, confirmed by a second integration
    (0.02, 0.05, 0.4, 90, (1500, 0.22, 600, 0.4), 4.324939757, 4.142816255, 0.6042347223, 0.0126861018, 0.0009869715398),
    (0.1, 0.05, 0.2, 90, (1500, 0.22, 600, 0.4), 16.64717013, 10.61491794, 6.450233324, 0.04131373028, 0.004973897233),
    (0.1, 0.05, 0.4, 90, (700, 0.27, 250, 0.45), 10.2079772, 6.849205482, 2.810958981, 0.0311552936, 0.004986971711),
    (0.1, 0.05, 0.4, 90, (2150, 0.2, 900, 0.4), 23.69285846, 20.09472644, 8.347142652, 0.0311552936, 0.004986971711),
    (0.6, 0.1, 0.4, 75, (1500, 0.22, 600, 0.4), 156.9674393, 50.15123303, 76.99376516, 0.09742728346, 0.05990281655)])
def test_nose_forces(a, f, r, kappa, material, fc, fp, ff, h_max, area):
    got = cutting.nose_forces(a, f, r, kappa, *material)
    assert got.cutting == pytest.approx(fc, rel=1e-5)
    assert got.thrust == pytest.approx(fp, rel=1e-5)
    assert got.feed == pytest.approx(ff, rel=1e-5)
    assert got.area == pytest.approx(area, rel=1e-5)
    assert got.max_chip == pytest.approx(h_max, rel=3e-4)  # the reference sampled the arc; ours takes the corner itself


def test_bore_after_the_tip_has_moved():
    """By hand: 2 sqrt(5.99² + 0.05²) − 12 = −19.583 µm: the drop makes the bore larger, in the second order."""
    assert 1e3 * (bar_bending.bore_cut(12.0, 0.01, 0.05) - 12) == pytest.approx(-19.582645, abs=1e-6)


def test_spring_passes():
    """Reference computation: 90.27, 8.10 and 0 µm taken, 9.73 and 1.63 µm left, for the 8 by 40 steel bar in its holder."""
    got = boring_bar.spring_passes(0.1, 0.05, 0.4, 0.7788861093e-3, (1500, 0.22, 600, 0.4), 3, 0.004)
    assert 1e3 * got.removed == pytest.approx([90.26924087, 8.104819032, 0.0], rel=1e-4)
    assert 1e3 * got.left == pytest.approx([9.730759125, 1.625940093, 1.625940093], rel=1e-4)


def test_frequency_of_a_plain_bar():
    """Reference computation, confirmed: 3723.5035 Hz for steel 12 by 48; β = 1.875104 as in Blevins' tables (from memory)."""
    assert boring_bar.natural_frequency([(48, 12)], 205e3, 7850) == pytest.approx(3723.503498, rel=1e-5)
    assert first_frequency(48, 12, 205e3, 7850) == pytest.approx(3723.503498, rel=1e-8)
    [beta] = roots(lambda b: 1 + np.cos(b) * np.cosh(b), 1.0, 3.0)
    assert beta == pytest.approx(1.875104069, abs=1e-8)


def test_frequency_of_a_necked_bar_with_a_tip():
    """Reference computation by mesh refinement: 3022.4926 Hz for 30 by 8 and 10 by 5 with 3 g on the end."""
    assert boring_bar.natural_frequency([(30, 8), (10, 5)], 205e3, 7850, 0.003) == pytest.approx(3022.492572, rel=1e-5)


def test_modal_stiffness():
    """Blevins (from memory): β⁴/12 = 1.0302 of the static stiffness."""
    from springpass.bar_vibration import MODAL
    assert pytest.approx(1.875104069**4 / 12, abs=5e-5) == MODAL


def test_limit_of_stability():
    """By hand, 2 k ζ (1 + ζ) / K: 2·2000·0.02·1.02 = 81.6, over 1500 gives 0.0544 mm."""
    assert limit_of_stability(2000, 0.02) / 1500 == pytest.approx(0.0544, rel=1e-12)


@pytest.mark.parametrize(("overlap", "limit"), [(1.0, 81.6), (0.7, 117.574808), (0.4, 210.2098899)])
def test_limit_with_overlap(overlap, limit):
    """Reference computation by minimising over the frequency."""
    assert limit_with_overlap(2000, 0.02, overlap) == pytest.approx(limit, rel=1e-7)


def test_cutting_stiffness_on_the_nose():
    """Reference computation: 369.007 and 349.698 N/mm, overlap 0.9477; its integration is 0.2 % short of the exact one."""
    got = cutting.cutting_stiffness(0.1, 0.05, 0.2, 90, 600, 0.4)
    assert got.whole == pytest.approx(369.0067588, rel=0.01)
    assert got.previous == pytest.approx(349.6984095, rel=0.01)
    assert got.overlap == pytest.approx(0.9476748085, rel=0.001)


@pytest.mark.parametrize(("k", "zeta", "um"), [
    (3773.592738, 0.01, 3.836893197), (3773.592738, 0.02, 11.72084424), (3773.592738, 0.04, 67.29640631),   # steel 4:1
    (3272.492347, 0.01, 3.303266008), (3272.492347, 0.02, 8.964739077), (3272.492347, 0.04, 44.36549992),   # carbide 6:1
    (3392.920066, 0.01, 3.423384755), (3392.920066, 0.02, 9.570134927), (3392.920066, 0.04, 48.9962866)])   # heavy alloy 5:1
def test_depth_at_which_chatter_begins(k, zeta, um):
    """Reference computations, 8 mm bars rigidly held, nose 0.2, feed 0.05, medium-carbon steel."""
    assert 1e3 * chatter_depth(0.05, 0.2, k, zeta, 600, 0.4) == pytest.approx(um, rel=0.01)


def test_flank_rubbing():
    """Reference computation: at 250 Hz and 120 m/min the limit rises from 0.0583 to 0.0911 mm; under 41 m/min there is none.

    The constant 611 N/mm: Altintas, Eynian, Onozuka, CIRP 2008 (from memory).
    """
    def excess(b):
        return 1400 * b - limit_of_stability(2000.0, damping_with_rubbing(0.02, 611.0, b, 250.0, 2000.0, 120.0))

    [limit] = roots(excess, 0.01, 1.0)
    assert limit == pytest.approx(0.09110379548, rel=1e-3)
    assert limit_of_stability(2000, 0.02) / 1400 == pytest.approx(0.05828571429, rel=1e-9)
    # below 41.13 m/min each millimetre of edge damps more than it excites: C ω/v = K
    per_mm = 2 * 2000 * (damping_with_rubbing(0.02, 611.0, 1.0, 250.0, 2000.0, 41.13242381) - 0.02)
    assert per_mm == pytest.approx(1400, rel=1e-8)


def test_how_the_trades_ratios_come_out_of_stiffness():
    """By hand: 4·(600/205)^(1/3) = 5.72, 4·(360/205)^(1/3) = 4.83."""
    assert boring_bar.equal_slenderness(4, 205e3, 600e3) == pytest.approx(5.721709283, rel=1e-9)
    assert boring_bar.equal_slenderness(4, 205e3, 360e3) == pytest.approx(4.825876511, rel=1e-9)
    # 10:1 in steel needs the damping to make good the stiffness: 0.02·(10/4)³
    ratio = boring_bar.stiffness_by_slenderness(205e3, 8, 4) / boring_bar.stiffness_by_slenderness(205e3, 8, 10)
    assert 0.02 * ratio == pytest.approx(0.3125, rel=1e-9)


# ---- facts of the trade, common practice ----------------------------------------------------------------


def slenderness_limit(modulus, nu, zeta, depth=0.1):
    """Bar diameters at which a cut of `depth` begins to chatter, 12 mm bar rigidly held, nose 0.4, feed 0.05, steel."""
    def margin(ratio):
        static = 1 / boring_bar.compliance([(12.0 * ratio, 12.0)], modulus, nu)
        return np.log(chatter_depth(0.05, 0.4, static, zeta, 600, 0.4)) - np.log(depth)

    return roots(lambda r: np.clip(margin(r), -9, 9), 1.5, 12.0)[0]


@pytest.mark.parametrize(("zeta", "steel", "carbide"), [(0.05, 3.9, 5.6), (0.02, 2.8, 4.1)])
def test_four_to_one_in_steel_and_six_to_one_in_carbide(zeta, steel, carbide):
    """Common practice: 4 diameters in steel, 6 in carbide; reference computation: 3.9 and 5.6 with a well damped bar."""
    assert slenderness_limit(205e3, 0.29, zeta) == pytest.approx(steel, abs=0.1)
    assert slenderness_limit(600e3, 0.22, zeta) == pytest.approx(carbide, abs=0.15)


def test_the_trades_ratios_stand_in_the_table():
    assert fact("bar_rules", name="slenderness steel").basis == "common practice"
    assert fact("bar_rules", name="slenderness carbide").value == 6


def test_a_second_pass_at_the_same_setting_still_cuts():
    """Common practice: a spring pass takes metal, and the next takes less."""
    got = boring_bar.spring_passes(0.1, 0.05, 0.4, 7.8e-4, "medium-carbon steel", 4)
    assert (got.removed > 0).all() and (np.diff(got.removed) < 0).all()
    assert got.removed[1] > 0.005


def test_carbide_gains_less_in_a_soft_holder():
    """Common practice: the holder takes its share; nearly 3:1 in a rigid one is under 2:1 in a yielding one."""
    rigid = boring_bar.compliance([(40, 8)], 205e3, 0.29) / boring_bar.compliance([(40, 8)], 600e3, 0.22)
    soft = boring_bar.compliance([(40, 8)], 205e3, 0.29, 2e4, 8e6) / boring_bar.compliance([(40, 8)], 600e3, 0.22, 2e4, 8e6)
    assert rigid == pytest.approx(2.92, abs=0.05)
    assert soft == pytest.approx(1.8, abs=0.1)
