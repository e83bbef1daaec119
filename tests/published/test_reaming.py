"""Values printed elsewhere or worked in a reference computation, for the reaming chapter."""

import math

import numpy as np
import pytest

from springpass import reamed_hole, reaming, reaming_log
from springpass.pressing import hub_give

# DIN 1420, reamers for H7 holes, upper and lower deviation in micrometres; read in secondary copies of the
# standard (a maker's page "general hints, tolerance limits" prints the whole table, over / up to and including).
DIN_1420_H7 = [
    (0.5, 8, 4), (1.5, 8, 4), (3.0, 8, 4), (3.001, 10, 5), (4.5, 10, 5), (6.0, 10, 5), (6.001, 12, 6), (8.0, 12, 6),
    (10.0, 12, 6), (10.001, 15, 8), (18.0, 15, 8), (18.001, 17, 9), (24.0, 17, 9), (30.0, 17, 9), (30.001, 21, 12),
    (40.0, 21, 12), (50.0, 21, 12), (50.001, 25, 14), (80.0, 25, 14),
]


@pytest.mark.parametrize(("size", "upper", "lower"), DIN_1420_H7)
def test_reamers_for_h7_holes(size, upper, lower):
    found = reaming.reamer_limits(size, "H7")
    assert round(found.upper * 1e3, 6) == upper
    assert round(found.lower * 1e3, 6) == lower


def test_worked_example_of_the_rule():
    """10 D8: hole 10.040 to 10.062; 0.15 IT -> 0.004, 0.35 IT -> 0.008; reamer 10.050 to 10.058.

    DIN 1420 rule as explained with this example in a maker's technical pages (read).
    """
    found = reaming.reamer_limits(10, "D8")
    assert (round(found.hole_lower, 6), round(found.hole_upper, 6)) == (0.040, 0.062)
    assert (round(found.lower, 6), round(found.upper, 6)) == (0.050, 0.058)


# The rule worked by hand from ISO 286 limits (basis computed). JS7: the rule rounds to halves where the hole's limit
# has a half, "so that whole micrometres result" (read in a maker's navigator); a plain ceiling would give +6.5/-1.5.
@pytest.mark.parametrize(("size", "code", "upper", "lower"), [
    (20, "H6", 11, 6), (20, "N7", -11, -19), (20, "P7", -18, -26), (10, "H6", 7, 3), (20, "JS7", 7, -1)])
def test_reamers_for_other_holes(size, code, upper, lower):
    found = reaming.reamer_limits(size, code)
    assert (round(found.upper * 1e3, 6), round(found.lower * 1e3, 6)) == (upper, lower)


# Thinnest chip: formula of Son et al. 2005 and the stagnation family, reference computation (basis computed).
@pytest.mark.parametrize(("rounding", "friction", "least", "other_ratio"), [
    (0.010, 0.2, 2.266578587e-3, 0.01941932431), (0.010, 0.3, 1.977070717e-3, 0.04217371478),
    (0.020, 0.3, 3.954141434e-3, 0.04217371478)])
def test_thinnest_chip(rounding, friction, least, other_ratio):
    assert reaming.least_chip(rounding, friction) == pytest.approx(least, rel=1e-9)
    assert reaming.least_chip_stagnation(rounding, friction) / rounding == pytest.approx(other_ratio, rel=1e-9)


def test_the_two_families_cross_at_thirty_degrees():
    """beta = 30 degrees, ratio 0.134 = 1 - cos 30 (by hand: both have the same angle there)."""
    friction = math.tan(math.radians(30))
    both = 1 - math.cos(math.radians(30))
    assert reaming.least_chip(1, friction) == pytest.approx(both, rel=1e-12)
    assert reaming.least_chip_stagnation(1, friction) == pytest.approx(both, rel=1e-12)
    assert both == pytest.approx(0.134, abs=5e-4)
    assert reaming.least_chip(1, 0.0) == pytest.approx(0.293, abs=5e-4)
    assert reaming.least_chip(1, 0.5) == pytest.approx(0.149, abs=5e-4)


# Chip on the lead (reference computation): machine 45°, hand taper 1.5°, carbide 30°; stock 0.1 on diameter.
@pytest.mark.parametrize(("feed", "teeth", "lead", "chip", "width"), [
    (0.05, 6, 45, 5.89255651e-3, 0.07071067812), (0.5, 6, 1.5, 2.181412359e-3, 1.910077501), (0.25, 6, 30, 20.83333333e-3, 0.1)])
def test_chip_on_the_lead(feed, teeth, lead, chip, width):
    assert reaming.lead_chip(feed, teeth, lead) == pytest.approx(chip, rel=1e-9)
    assert reaming.lead_width(0.1, lead) == pytest.approx(width, rel=1e-9)


# Whole chip with a corner of 0.05 mm, 45° lead (reference computation, integrated there along the profile).
@pytest.mark.parametrize(("stock", "mean", "largest", "edge", "area"), [
    (0.2, 17.24311204e-3, 26.78162495e-3, 0.1933139142, 0.003333333481),
    (0.01, 2.982332612e-3, 5.0e-3, 0.05588467354, 0.0001666666844)])
def test_chip_with_a_rounded_corner(stock, mean, largest, edge, area):
    found = reaming.corner_chip(stock, 0.03333333333, 0.05, 45)
    assert found.mean == pytest.approx(mean, rel=1e-6)
    assert found.max == pytest.approx(largest, rel=1e-6)
    assert found.edge == pytest.approx(edge, rel=1e-6)
    assert found.area == pytest.approx(area, rel=1e-6)


# Which teeth cut (reference computation): chip 3 µm, six teeth, 45° lead.
@pytest.mark.parametrize(("runout", "floor", "mean", "fraction", "teeth", "largest"), [
    (0.0, 0.004, 6e-3, 1 / 2, 3, 6e-3), (0.0, 0.007, 9e-3, 1 / 3, 2, 9e-3), (0.002, 0.004, 6e-3, 1 / 2, 3, 7.585786438e-3)])
def test_which_teeth_cut(runout, floor, mean, fraction, teeth, largest):
    found = reaming.teeth_cutting(0.003, runout, 6, floor, 45)
    assert found.mean_chip == pytest.approx(mean, rel=1e-9)
    assert found.fraction == pytest.approx(fraction, rel=1e-9)
    assert found.teeth == teeth
    assert found.max_chip == pytest.approx(largest, rel=1e-9)


def test_ten_micrometres_of_runout_leave_two_teeth_cutting_nine():
    found = reaming.teeth_cutting(0.003, 0.010, 6, 0.004, 45)
    assert (found.teeth, found.mean_chip) == (2, pytest.approx(0.009, rel=1e-9))


# Undersizes: trade school's table and GTZ text B640 (read); TM 1-420 paragraph 37 and TC 9-524 chapter 7 (read).
@pytest.mark.parametrize(("size", "low", "high"), [
    (5, 0.1, 0.2), (5.01, 0.2, 0.3), (20, 0.2, 0.3), (21, 0.3, 0.5), (50, 0.3, 0.5), (51, 0.5, 1.0)])
def test_workshop_table_of_undersizes(size, low, high):
    found = reamed_hole.allowance(size, "workshop table")
    assert (found.low, found.high, found.basis) == (low, high, "read")


def test_light_metals_take_half_as_much_again():
    steel, light = (reamed_hole.allowance(10, "workshop table", m) for m in ("carbon steel C45 / 1045", "aluminium 6082"))
    assert (light.low / steel.low, light.high / steel.high) == (pytest.approx(1.5), pytest.approx(1.5))


def test_army_manuals_in_inches():
    """TM 1-420: 0.005 to 0.010 inch for a machine reamer; TC 9-524: 0.004 inch and more, within 0.005 inch by hand."""
    machine, hand = (reamed_hole.allowance(12, n) for n in ("machine reamer on a lathe", "hand reamer on a lathe"))
    assert (machine.low, machine.high) == (pytest.approx(0.005 * 25.4, abs=5e-4), pytest.approx(0.010 * 25.4, abs=5e-4))
    assert (hand.low, hand.high) == (pytest.approx(0.004 * 25.4, abs=5e-4), pytest.approx(0.005 * 25.4, abs=5e-4))


def test_drill_before_reaming():
    """Ream 10: undersize 0.2, drill cuts 0.05 over -> 9.75 (trade school's rule: reamed size - (undersize + oversize))."""
    assert reamed_hole.drill_before(10, 0.2, 0.05) == pytest.approx(9.75)


def test_bore_under_pressure():
    """a = 10, b = 20, E = 210 GPa, nu = 0.3, p = 100 MPa, plane strain: 9.08 µm on radius.

    Printed in a finite-element verification manual (thick-walled cylinder under internal pressure; read). Plane strain
    follows from plane stress with E/(1 - nu²) and nu/(1 - nu).
    """
    grown = reamed_hole.bore_closing(100.0, 20.0, 40.0, 210e3 / (1 - 0.3**2), 0.3 / (1 - 0.3))
    assert grown / 2 == pytest.approx(9.08e-3, abs=5e-6)
    assert hub_give(20.0, 40.0, 210e3, 0.3) * 100 * 20 > 0


def test_a_warm_brass_hole():
    """6 mm brass, 30 K warm, 20.5e-6 /K: 3.7 µm smaller when cold (by hand 3.69)."""
    from springpass.heat import length_change

    assert length_change(6, 20.5e-6, 30) == pytest.approx(0.0037, abs=2e-5)


# NIST Statistical Reference Datasets, linear regression, Norris (certified values; data read in a copy of the file).
NORRIS = [
    (0.1, 0.2), (338.8, 337.4), (118.1, 118.2), (888.0, 884.6), (9.2, 10.1), (228.1, 226.5), (668.5, 666.3), (998.5, 996.3),
    (449.1, 448.6), (778.9, 777.0), (559.2, 558.2), (0.3, 0.4), (0.1, 0.6), (778.1, 775.5), (668.8, 666.9), (339.3, 338.0),
    (448.9, 447.5), (10.8, 11.6), (557.7, 556.0), (228.3, 228.1), (998.0, 995.8), (888.8, 887.6), (119.6, 120.2), (0.3, 0.3),
    (0.6, 0.3), (557.6, 556.8), (339.3, 339.1), (888.0, 887.2), (998.5, 999.0), (778.9, 779.0), (10.2, 11.1), (117.6, 118.3),
    (228.9, 229.2), (668.4, 669.1), (449.2, 448.9), (0.2, 0.5)]
NIST = {"intercept": -0.262323073774029, "slope": 1.00211681802045, "sd_slope": 0.429796848199937e-03, "scatter": 0.884796396144373}


def norris(at: float) -> reaming_log.HoleFit:
    holes = [{"stock": x, "feed": 0.1, "speed": 8, "size": 10, "reamer": 10.0, "hole": 10 + y, "fluid": "dry", "material": "m"}
             for y, x in NORRIS]
    return reaming_log.fit_holes(holes, at)


def test_fit_gives_the_certified_values_of_nist():
    at = 500.0
    found = norris(at)
    assert found.slopes["stock"] == pytest.approx(NIST["slope"], rel=1e-10)
    assert found.value == pytest.approx(NIST["intercept"] + NIST["slope"] * at, rel=1e-10)
    assert found.scatter == pytest.approx(NIST["scatter"], rel=1e-9)
    assert (found.count, found.dof) == (36, 34)


def test_prediction_interval_from_the_certified_values():
    """Next value at x: s sqrt(1 + 1/n) and the slope's error times the distance from the mean, t(0.95, 34) = 1.6909."""
    x = np.array([pair[1] for pair in NORRIS])
    at = 900.0
    spread = math.sqrt(NIST["scatter"] ** 2 * (1 + 1 / 36) + (NIST["sd_slope"] * (at - x.mean())) ** 2)
    found = norris(at)
    assert found.spread == pytest.approx(spread, rel=1e-9)
    assert (found.high - found.low) / 2 == pytest.approx(1.6909 * spread, rel=1e-4)  # t from printed tables
