"""The boring bar against reference computations.

"Reference computation" means a set of cases worked out beforehand by other code and, where marked so, confirmed by a
second method (finite elements, boundary-value solver, delay equation).
"""

import numpy as np
import pytest

from outside import agrees, source
from springpass import boring_bar, cutting
from springpass.boring_bar import bending as bar_bending
from springpass.boring_bar.vibration import (
    chatter_depth,
    damping_with_rubbing,
    first_frequency,
    limit_of_stability,
    limit_with_overlap,
)
from springpass.core.formula import roots

INF = float("inf")


@pytest.mark.parametrize(("segments", "e", "nu", "kt", "kth", "um_per_n"), [
    ([(40, 8)], 360e3, 0.28, INF, INF, 0.301127047),     # reference computation; 3-D elasticity 0.298044, 1.0 % less
    ([(40, 8)], 205e3, 0.29, 2e4, 8e6, 0.7788861093),    # reference computation, confirmed
])
@source("reference computation, confirmed by a second method", place="Timoshenko beam on springs", basis="method")
def test_compliance(segments, e, nu, kt, kth, um_per_n):
    agrees("", 1e3 * boring_bar.compliance(segments, e, nu, kt, kth), um_per_n, rel=1e-6, of=boring_bar.compliance)


@source("reference computation, confirmed by a second method", place="heavy-alloy bar", basis="method")
def test_compliance_without_shear():
    """Reference computation: 0.2947313761 µm/N for the heavy-alloy bar."""
    agrees("tip deflection", 1e3 * bar_bending.tip_deflection(1.0, 40, 8, 360e3), 0.2947313761, rel=1e-9, unit="µm",
           of=bar_bending.tip_deflection)


@pytest.mark.parametrize(
    ("a", "f", "r", "kappa", "material", "fc", "fp", "ff", "h_max", "area"),
    [
        # reference computations, confirmed by a second integration
        (
            0.02,
            0.05,
            0.4,
            90,
            (1500, 0.22, 600, 0.4),
            4.324939757,
            4.142816255,
            0.6042347223,
            0.0126861018,
            0.0009869715398,
        ),
        (
            0.1,
            0.05,
            0.2,
            90,
            (1500, 0.22, 600, 0.4),
            16.64717013,
            10.61491794,
            6.450233324,
            0.04131373028,
            0.004973897233,
        ),
        (
            0.1,
            0.05,
            0.4,
            90,
            (700, 0.27, 250, 0.45),
            10.2079772,
            6.849205482,
            2.810958981,
            0.0311552936,
            0.004986971711,
        ),
        (
            0.1,
            0.05,
            0.4,
            90,
            (2150, 0.2, 900, 0.4),
            23.69285846,
            20.09472644,
            8.347142652,
            0.0311552936,
            0.004986971711,
        ),
        (
            0.6,
            0.1,
            0.4,
            75,
            (1500, 0.22, 600, 0.4),
            156.9674393,
            50.15123303,
            76.99376516,
            0.09742728346,
            0.05990281655,
        ),
    ],
)
@source("reference computation, confirmed by a second integration", place="five cuts", basis="method")
def test_nose_forces(a, f, r, kappa, material, fc, fp, ff, h_max, area):
    got = cutting.nose_forces(a, f, r, kappa, *material)
    agrees("cutting", got.cutting, fc, rel=1e-5, of=cutting.nose_forces)
    agrees("thrust", got.thrust, fp, rel=1e-5, of=cutting.nose_forces)
    agrees("feed", got.feed, ff, rel=1e-5, of=cutting.nose_forces)
    agrees("area", got.area, area, rel=1e-5, of=cutting.nose_forces)
    agrees(
        "max chip", got.max_chip, h_max, rel=3e-4, of=cutting.nose_forces
    )  # the reference sampled the arc; ours takes the corner itself


@source(
    "reference computation, confirmed by a second method", place="8 by 40 steel bar in its holder", basis="method"
)
def test_spring_passes():
    """Reference computation: 90.27, 8.10 and 0 µm taken, 9.73 and 1.63 µm left, for the 8 by 40 steel bar in its
    holder.
    """
    got = boring_bar.spring_passes(0.1, 0.05, 0.4, 0.7788861093e-3, (1500, 0.22, 600, 0.4), 3, 0.004)
    agrees("removed", 1e3 * got.removed, [90.26924087, 8.104819032, 0.0], rel=1e-4, of=boring_bar.spring_passes)
    agrees("left", 1e3 * got.left, [9.730759125, 1.625940093, 1.625940093], rel=1e-4, of=boring_bar.spring_passes)


@source("reference computation; Blevins' tables of beams (memory)", place="steel 12 by 48", basis="method")
def test_frequency_of_a_plain_bar():
    """Reference computation, confirmed: 3723.5035 Hz for steel 12 by 48; β = 1.875104 as in Blevins' tables (from
    memory).
    """
    agrees("natural frequency", boring_bar.natural_frequency([(48, 12)], 205e3, 7850), 3723.503498, rel=1e-5,
           of=boring_bar.natural_frequency)
    agrees(
        "first frequency", first_frequency(48, 12, 205e3, 7850), 3723.503498, rel=1e-8, unit="Hz", of=first_frequency
    )
    [beta] = roots(lambda b: 1 + np.cos(b) * np.cosh(b), 1.0, 3.0)
    agrees("beta", beta, 1.875104069, abs=1e-8, of=roots)


@source("reference computation by mesh refinement", place="30 by 8 and 10 by 5 with 3 g", basis="method")
def test_frequency_of_a_necked_bar_with_a_tip():
    """Reference computation by mesh refinement: 3022.4926 Hz for 30 by 8 and 10 by 5 with 3 g on the end."""
    agrees(
        "natural frequency",
        boring_bar.natural_frequency([(30, 8), (10, 5)], 205e3, 7850, 0.003),
        3022.492572,
        rel=1e-5,
        of=boring_bar.natural_frequency,
    )


@pytest.mark.parametrize(("overlap", "limit"), [(1.0, 81.6), (0.7, 117.574808), (0.4, 210.2098899)])
@source("reference computation by minimising over the frequency", place="three overlaps", basis="method")
def test_limit_with_overlap(overlap, limit):
    """Reference computation by minimising over the frequency."""
    agrees("", limit_with_overlap(2000, 0.02, overlap), limit, rel=1e-7, unit="N/mm", of=limit_with_overlap)


@source("reference computation, integrated on a coarser arc", place="nose 0.2, feed 0.05", basis="method")
def test_cutting_stiffness_on_the_nose():
    """Reference computation: 369.007 and 349.698 N/mm, overlap 0.9477; its integration is 0.2 % short of the exact one.
    """
    got = cutting.cutting_stiffness(0.1, 0.05, 0.2, 90, 600, 0.4)
    agrees("whole", got.whole, 369.0067588, rel=0.01, of=cutting.cutting_stiffness)
    agrees("previous", got.previous, 349.6984095, rel=0.01, of=cutting.cutting_stiffness)
    agrees("overlap", got.overlap, 0.9476748085, rel=0.001, of=cutting.cutting_stiffness)


@pytest.mark.parametrize(
    ("k", "zeta", "um"),
    [
        (3773.592738, 0.01, 3.836893197),
        (3773.592738, 0.02, 11.72084424),
        (3773.592738, 0.04, 67.29640631),  # steel 4:1
        (3272.492347, 0.01, 3.303266008),
        (3272.492347, 0.02, 8.964739077),
        (3272.492347, 0.04, 44.36549992),  # carbide 6:1
        (3392.920066, 0.01, 3.423384755),
        (3392.920066, 0.02, 9.570134927),
        (3392.920066, 0.04, 48.9962866),
    ],
)  # heavy alloy 5:1
@source("reference computation, confirmed by a second method", place="seven bars", basis="method")
def test_depth_at_which_chatter_begins(k, zeta, um):
    """Reference computations, 8 mm bars rigidly held, nose 0.2, feed 0.05, medium-carbon steel."""
    agrees("chatter depth", 1e3 * chatter_depth(0.05, 0.2, k, zeta, 600, 0.4), um, rel=0.01, of=chatter_depth)


@source("reference computation; constant of Altintas, Eynian, Onozuka, CIRP 2008 (memory)", place="250 Hz, 120 m/min",
        basis="method")
def test_flank_rubbing():
    """Reference computation: at 250 Hz and 120 m/min the limit rises from 0.0583 to 0.0911 mm; under 41 m/min there is
    none.

    The constant 611 N/mm: Altintas, Eynian, Onozuka, CIRP 2008 (from memory).
    """
    def excess(b):
        return 1400 * b - limit_of_stability(2000.0, damping_with_rubbing(0.02, 611.0, b, 250.0, 2000.0, 120.0))

    [limit] = roots(excess, 0.01, 1.0)
    agrees("limit", limit, 0.09110379548, rel=1e-3, of=roots)
    agrees("limit of stability", limit_of_stability(2000, 0.02) / 1400, 0.05828571429, rel=1e-9, of=limit_of_stability)
    # below 41.13 m/min each millimetre of edge damps more than it excites: C ω/v = K
    per_mm = 2 * 2000 * (damping_with_rubbing(0.02, 611.0, 1.0, 250.0, 2000.0, 41.13242381) - 0.02)
    agrees("per mm", per_mm, 1400, rel=1e-8, of=damping_with_rubbing)
