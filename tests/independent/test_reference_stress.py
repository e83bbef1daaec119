"""Release of residual stress against reference values.

The numbers are the project's reference computation of the long-bar solution (basis: computed; confirmed there by
finite elements), in µm and µm/m. No open published worked example of the whole sequence was found.
"""

import numpy as np
import pytest

from outside import agrees, claim, source
from springpass.bore_stress import (
    cut_sequence,
    even_release,
    length_strain,
    mean_axial_stress,
    radial_shift,
    radial_stress,
    wall_release,
)

STEEL = {"axial": 300, "hoop": 200, "m": 2, "n": 2, "modulus": 205e3, "poisson": 0.29}


@pytest.mark.parametrize("radius, bore, bar, outside, wall, strain", [
    # bar as supplied, Ø20 bored to Ø10: outside, bore's material (µm on diameter), length (µm/m)
    (10, 5, {}, -2.756097561, -6.097560976, -295.1219512),
    # drawn brass Ø12 bored to Ø6
    (6, 3, {"axial": 150, "hoop": 100, "modulus": 100e3, "poisson": 0.34}, -1.47, -3.75, -290.0),
    # stress near the skin only, m = n = 8
    (10, 5, {"m": 8, "n": 8}, -0.9151105183, -2.024580793, -97.98971037),
])
@source("reference computation of the long bar, finite elements agree", place="three bars bored out", basis="method")
def test_bar_bored_out(radius, bore, bar, outside, wall, strain):
    found = cut_sequence(radius, cuts=[("turn", radius), ("bore", bore)], **{**STEEL, **bar})
    agrees("error", found.error[0] * 1e3, outside, rel=1e-4, of=cut_sequence)
    agrees("own", found.own[1] * 1e3, wall, rel=1e-4, of=cut_sequence)
    agrees("length change", found.length_change * 1e6, strain, rel=1e-4, of=cut_sequence)


@source("reference computation of the long bar, finite elements agree", place="outside first", basis="method")
def test_finish_the_outside_then_bore():
    found = cut_sequence(10, cuts=[("turn", 9), ("bore", 5)], **STEEL)
    agrees("error", found.error * 1e3, [-2.480487805, 0.0], rel=1e-4, abs=1e-9, of=cut_sequence)
    agrees("length change", found.length_change * 50e3, -3.541463415, rel=1e-4, of=cut_sequence)


@source("forces and sections summed by hand", place="Ø20 turned to Ø18, then bored to Ø10", basis="hand")
def test_length_after_each_cut():
    """Solid Ø18: stress of 300·(2ρ² − 1) along, on average 300·(0.81 − 1) = −57, gives way by 57; across 19 MPa is let
    go all round: (57 − 2·0.29·19)/205000 = 224.293 µm/m. After the bore −3.541463 µm over 50 mm: −70.8293 µm/m.
    """
    found = cut_sequence(10, cuts=[("turn", 9), ("bore", 5)], **STEEL)
    agrees("lengths", found.lengths * 1e6, [224.2927, -70.8293], rel=1e-4, unit="µm/m", of=cut_sequence)


@source("reference computation of the long bar, finite elements agree", place="roughed first", basis="method")
def test_rough_both_bore_to_size_then_finish_the_outside():
    cuts = [("turn", 9.25), ("bore", 4.75), ("bore", 5), ("turn", 9)]
    found = cut_sequence(10, cuts=cuts, **STEEL)
    claim("error", np.isnan(found.error[:2]).all(), of=cut_sequence)
    agrees("error", found.error[2] * 1e3, 0.2514939024, rel=1e-4, of=cut_sequence)
    agrees("error", found.error[3], 0, of=cut_sequence)
    agrees("length change", found.length_change * 50e3, -3.541463415, rel=1e-4, of=cut_sequence)


@source("reference computation of the long bar, finite elements agree", place="Ø18 and Ø10", basis="method")
def test_movement_of_the_material_is_the_same_in_either_order():
    """Ø18 and Ø10 in the bar as supplied move by these amounts until both are cut (reference computation)."""
    a, b = 5.0, 9.0
    inner, outer = (radial_stress(200.0, 2.0, r, 10.0) for r in (a, b))
    even, wall = even_release(inner, outer, a, b), wall_release(inner, outer, a, b)
    along = -mean_axial_stress(300.0, 2.0, a, b, 10.0)
    agrees(
        "radial shift", 2e3 * radial_shift(b, even, wall, along, 205e3, 0.29), -2.747414634, rel=1e-4, of=radial_shift
    )
    agrees(
        "radial shift", 2e3 * radial_shift(a, even, wall, along, 205e3, 0.29), -5.050243902, rel=1e-4, of=radial_shift
    )
    agrees("length strain", length_strain(even, along, 205e3, 0.29) * 1e6, -70.82926829, rel=1e-4, of=length_strain)
