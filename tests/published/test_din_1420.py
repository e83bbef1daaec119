"""DIN 1420: the sizes of reamers. Basis: read in secondary copies, or the rule worked by hand."""

import pytest

from outside import agrees, source
from springpass import reaming

# DIN 1420, reamers for H7 holes, upper and lower deviation in micrometres; read in secondary copies of the
# standard (a maker's page "general hints, tolerance limits" prints the whole table, over / up to and including).
DIN_1420_H7 = [
    (0.5, 8, 4), (1.5, 8, 4), (3.0, 8, 4), (3.001, 10, 5), (4.5, 10, 5), (6.0, 10, 5), (6.001, 12, 6), (8.0, 12, 6),
    (10.0, 12, 6), (10.001, 15, 8), (18.0, 15, 8), (18.001, 17, 9), (24.0, 17, 9), (30.0, 17, 9), (30.001, 21, 12),
    (40.0, 21, 12), (50.0, 21, 12), (50.001, 25, 14), (80.0, 25, 14),
]


@pytest.mark.parametrize(("size", "upper", "lower"), DIN_1420_H7)
@source("DIN 1420, reamers for H7 holes (secondary copies)", place="the whole table", basis="read")
def test_reamers_for_h7_holes(size, upper, lower):
    found = reaming.reamer_limits(size, "H7")
    agrees("upper", round(found.upper * 1e3, 6), upper, of=reaming.reamer_limits)
    agrees("lower", round(found.lower * 1e3, 6), lower, of=reaming.reamer_limits)


@source("DIN 1420, rule explained in a maker's technical pages", place="10 D8", basis="read")
def test_worked_example_of_the_rule():
    """10 D8: hole 10.040 to 10.062; 0.15 IT -> 0.004, 0.35 IT -> 0.008; reamer 10.050 to 10.058.

    DIN 1420 rule as explained with this example in a maker's technical pages (read).
    """
    found = reaming.reamer_limits(10, "D8")
    agrees("hole lower, hole upper", (round(found.hole_lower, 6), round(found.hole_upper, 6)), (0.040, 0.062),
           of=reaming.reamer_limits)
    agrees("lower, upper", (round(found.lower, 6), round(found.upper, 6)), (0.050, 0.058), of=reaming.reamer_limits)


# The rule worked by hand from ISO 286 limits (basis computed). JS7: the rule rounds to halves where the hole's limit
# has a half, "so that whole micrometres result" (read in a maker's navigator); a plain ceiling would give +6.5/-1.5.
@pytest.mark.parametrize(("size", "code", "upper", "lower"), [
    (20, "H6", 11, 6), (20, "N7", -11, -19), (20, "P7", -18, -26), (10, "H6", 7, 3), (20, "JS7", 7, -1)])
@source("DIN 1420, rule worked by hand from ISO 286 limits", place="five holes", basis="hand")
def test_reamers_for_other_holes(size, code, upper, lower):
    found = reaming.reamer_limits(size, code)
    agrees("upper, lower", (round(found.upper * 1e3, 6), round(found.lower * 1e3, 6)), (upper, lower),
           of=reaming.reamer_limits)
