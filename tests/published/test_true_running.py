"""True running: by hand, and by what books and makers' pages print."""

import numpy as np
import pytest

from outside import agrees, source
from springpass import true_running as true


@source("a right-angled triangle 3, 4, 5; arrows in line; Pythagoras", place="worked by hand", basis="computed")
def test_arrows_by_hand():
    agrees("swing of e = 15 µm", true.swing(0.015), 0.030, abs=1e-12, unit="mm", of=true.swing)
    agrees("30 and 40 µm at a right angle", true.marked_run_out(0.030, 0.040, 90), 0.050, abs=1e-12, unit="mm",
           of=true.marked_run_out)
    agrees("in line, against each other, at 120°", [float(true.marked_run_out(0.030, b, a)) for b, a in
           ((0.020, 0), (0.020, 180), (0.030, 120))], [0.050, 0.010, 0.030], abs=1e-9, unit="mm",
           of=true.marked_run_out)
    agrees("30 and 40 µm left to chance", true.chance_run_out(0.030, 0.040), 0.050, abs=1e-12, unit="mm",
           of=true.chance_run_out)


@source("half a millimetre in a metre, by hand", place="worked by hand", basis="computed")
def test_tilted_axes_by_hand():
    """An axis 0.1 mm in 100 mm out of line swings 60 mm away by 2 × 0.06 mm; its face Ø26 by 26 µm."""
    agrees("60 mm from the jaws", true.tilt_run_out(0.001, 60.0), 0.12, abs=1e-12, unit="mm", of=true.tilt_run_out)
    agrees("face Ø26", true.face_run_out(0.001, 26.0), 0.026, abs=1e-12, unit="mm", of=true.face_run_out)


@source("ISO 15488 collets, a maker's page", place="table 4: run-out of class 1 and 2, to 26 mm", basis="read")
def test_collets_as_the_standard_allows_them():
    """0.010 to 0.020 mm by class and size: the table's usual collet lies among them, its range about them."""
    found = true.turned_round("collet").at_grip
    agrees("collet at the grip", found.value, 0.015, abs=0.005, unit="mm", of=true.turned_round)
    assert found.low < 0.010 and found.high > 0.020


@source("a navy training manual for engine mechanics", place="chapter 9: a scroll chuck long in use, up to 0.010 inch",
        basis="read")
def test_a_worn_scroll_chuck():
    """A quarter of a millimetre after long use lies beyond the 90 % range, and within what a few chucks in a
    hundred do."""
    found = true.turned_round("three jaws", 60.0)
    assert found.run_out.high < 0.254 < np.quantile(found.samples, 1.0)


@pytest.mark.parametrize("way", true.ways())
@source("the table's middle and ends, by hand", place="data/true_running_ways.csv", basis="computed")
def test_at_the_grip_the_table_is_what_comes_out(way):
    """A lognormal range whose ends are two standard deviations off: the 90 % range ends at 1.645/2 of the way."""
    from springpass.core import tables

    fact = tables.fact("true_running_ways", way=way, what="grip")
    found, factor = true.turned_round(way).at_grip, fact.high / fact.value
    agrees("grip", (found.low, found.value, found.high), (fact.value / factor**0.8224, fact.value,
           fact.value * factor**0.8224), rel=0.02, unit="mm", of=true.turned_round)
