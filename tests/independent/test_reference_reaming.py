"""Reaming against reference computations worked out beforehand by other code. Basis: computed."""

import pytest

from outside import agrees, source
from springpass import reaming


# Thinnest chip: formula of Son et al. 2005 and the stagnation family, reference computation (basis computed).
@pytest.mark.parametrize(("rounding", "friction", "least", "other_ratio"), [
    (0.010, 0.2, 2.266578587e-3, 0.01941932431), (0.010, 0.3, 1.977070717e-3, 0.04217371478),
    (0.020, 0.3, 3.954141434e-3, 0.04217371478)])
@source("reference computation of Son and others 2005 and the stagnation family", place="three edges", basis="method")
def test_thinnest_chip(rounding, friction, least, other_ratio):
    agrees("least chip", reaming.least_chip(rounding, friction), least, rel=1e-9, unit="mm", of=reaming.least_chip)
    agrees("least chip stagnation", reaming.least_chip_stagnation(rounding, friction) / rounding, other_ratio, rel=1e-9,
           of=reaming.least_chip_stagnation)


# Chip on the lead (reference computation): machine 45°, hand taper 1.5°, carbide 30°; stock 0.1 on diameter.
@pytest.mark.parametrize(
    ("feed", "teeth", "lead", "chip", "width"),
    [
        (0.05, 6, 45, 5.89255651e-3, 0.07071067812),
        (0.5, 6, 1.5, 2.181412359e-3, 1.910077501),
        (0.25, 6, 30, 20.83333333e-3, 0.1),
    ],
)
@source("reference computation", place="three reamers", basis="method")
def test_chip_on_the_lead(feed, teeth, lead, chip, width):
    agrees("lead chip", reaming.lead_chip(feed, teeth, lead), chip, rel=1e-9, unit="mm", of=reaming.lead_chip)
    agrees("lead width", reaming.lead_width(0.1, lead), width, rel=1e-9, unit="mm", of=reaming.lead_width)


# Whole chip with a corner of 0.05 mm, 45° lead (reference computation, integrated there along the profile).
@pytest.mark.parametrize(("stock", "mean", "largest", "edge", "area"), [
    (0.2, 17.24311204e-3, 26.78162495e-3, 0.1933139142, 0.003333333481),
    (0.01, 2.982332612e-3, 5.0e-3, 0.05588467354, 0.0001666666844)])
@source("reference computation, integrated along the profile", place="two stocks", basis="method")
def test_chip_with_a_rounded_corner(stock, mean, largest, edge, area):
    found = reaming.corner_chip(stock, 0.03333333333, 0.05, 45)
    agrees("mean", found.mean, mean, rel=1e-6, of=reaming.corner_chip)
    agrees("max", found.max, largest, rel=1e-6, of=reaming.corner_chip)
    agrees("edge", found.edge, edge, rel=1e-6, of=reaming.corner_chip)
    agrees("area", found.area, area, rel=1e-6, of=reaming.corner_chip)


# Which teeth cut (reference computation): chip 3 µm, six teeth, 45° lead.
@pytest.mark.parametrize(
    ("runout", "floor", "mean", "fraction", "teeth", "largest"),
    [
        (0.0, 0.004, 6e-3, 1 / 2, 3, 6e-3),
        (0.0, 0.007, 9e-3, 1 / 3, 2, 9e-3),
        (0.002, 0.004, 6e-3, 1 / 2, 3, 7.585786438e-3),
    ],
)
@source("reference computation", place="six teeth", basis="method")
def test_which_teeth_cut(runout, floor, mean, fraction, teeth, largest):
    found = reaming.teeth_cutting(0.003, runout, 6, floor, 45)
    agrees("mean chip", found.mean_chip, mean, rel=1e-9, of=reaming.teeth_cutting)
    agrees("fraction", found.fraction, fraction, rel=1e-9, of=reaming.teeth_cutting)
    agrees("teeth", found.teeth, teeth, of=reaming.teeth_cutting)
    agrees("max chip", found.max_chip, largest, rel=1e-9, of=reaming.teeth_cutting)


@source("reference computation", place="six teeth, 10 µm of runout", basis="method")
def test_ten_micrometres_of_runout_leave_two_teeth_cutting_nine():
    found = reaming.teeth_cutting(0.003, 0.010, 6, 0.004, 45)
    agrees("teeth", found.teeth, 2, of=reaming.teeth_cutting)
    agrees("mean chip", found.mean_chip, 0.009, rel=1e-9, of=reaming.teeth_cutting)
