"""True running: by hand, and by what books and makers' pages print."""

import numpy as np
import pytest

from outside import agrees, claim, source
from springpass import true_running as true


@source("a right-angled triangle 3, 4, 5; arrows in line; Pythagoras", place="worked by hand", basis="hand")
def test_arrows_by_hand():
    agrees("swing of e = 15 µm", true.swing(0.015), 0.030, abs=1e-12, unit="mm", of=true.swing)
    agrees("30 and 40 µm at a right angle", true.marked_run_out(0.030, 0.040, 90), 0.050, abs=1e-12, unit="mm",
           of=true.marked_run_out)
    agrees("in line, against each other, at 120°", [float(true.marked_run_out(0.030, b, a)) for b, a in
           ((0.020, 0), (0.020, 180), (0.030, 120))], [0.050, 0.010, 0.030], abs=1e-9, unit="mm",
           of=true.marked_run_out)
    agrees("30 and 40 µm left to chance", true.chance_run_out(0.030, 0.040), 0.050, abs=1e-12, unit="mm",
           of=true.chance_run_out)


@source("half a millimetre in a metre, by hand", place="worked by hand", basis="hand")
def test_tilted_axes_by_hand():
    """An axis 0.1 mm in 100 mm out of line swings 60 mm away by 2 × 0.06 mm; its face Ø26 by 26 µm."""
    agrees("60 mm from the jaws", true.tilt_run_out(0.001, 60.0), 0.12, abs=1e-12, unit="mm", of=true.tilt_run_out)
    agrees("face Ø26", true.face_run_out(0.001, 26.0), 0.026, abs=1e-12, unit="mm", of=true.face_run_out)


@source("6 µm everywhere and 0.2 µm for each mm of diameter", place="worked by hand", basis="hand")
def test_two_readings_part_lean_and_cam():
    agrees("16 µm at Ø50, 11 µm at Ø25", true.axial_swing(0.016, 0.011, 50.0, 25.0), 0.006, abs=1e-12, unit="mm",
           of=true.axial_swing)


@source("ISO 15488 collets, a maker's page", place="table 4: run-out of class 1 and 2, to 26 mm", basis="read")
def test_collets_as_the_standard_allows_them():
    """0.010 to 0.020 mm by class and size: the table's usual collet lies among them, its range about them."""
    found = true.turned_round("collet").at_grip
    agrees("collet at the grip", found.value, 0.015, abs=0.005, unit="mm", of=true.turned_round)
    claim("the 90 % range holds both classes", found.low < 0.010 and found.high > 0.020, of=true.turned_round)


@source("a navy training manual for engine mechanics", place="chapter 9: a scroll chuck long in use, up to 0.010 inch",
        basis="read")
def test_a_worn_scroll_chuck():
    """A quarter of a millimetre after long use lies beyond the 90 % range, and within what a few chucks in a
    hundred do."""
    found = true.turned_round("three jaws", 60.0)
    claim("beyond the 90 % range, within the samples", found.run_out.high < 0.254 < np.max(found.samples),
          of=true.turned_round)


@pytest.mark.parametrize("way", true.ways())
@source("the table's middle and ends, by hand", place="data/true_running_ways.csv", basis="own rows")
def test_at_the_grip_the_table_is_what_comes_out(way):
    """A lognormal range whose ends are two standard deviations off: the 90 % range ends at 1.645/2 of the way."""
    from springpass.core import tables

    fact = tables.fact("true_running_ways", way=way, what="grip")
    found, factor = true.turned_round(way).at_grip, fact.high / fact.value
    agrees("grip", (found.low, found.value, found.high), (fact.value / factor**0.8224, fact.value,
           fact.value * factor**0.8224), rel=0.02, unit="mm", of=true.turned_round)


@source("readings 0.19 and 0.05; halves in a row", place="worked by hand", basis="hand")
def test_four_jaws_by_hand():
    agrees("half the difference", true.half_the_difference(0.19, 0.05), 0.07, abs=1e-12, unit="mm",
           of=true.half_the_difference)
    agrees("0.64 to 0.01 mm by halves", true.moves_needed(0.64, 0.01, 0.5), 6.0, abs=1e-9, of=true.moves_needed)


@source("workshop teaching: from half a millimetre to a hundredth in some five halvings", basis="common practice")
def test_some_five_halvings():
    agrees("0.5 to 0.01 mm", true.moves_needed(0.5, 0.01, 0.5), 5.5, abs=0.5, of=true.moves_needed)


@source("a teaching page on the four-jaw chuck", place="30 % of the reading at first: 0.030 inch read, 0.010 moved",
        basis="read")
def test_a_third_of_the_swing_at_first():
    """The page moves a third of the full swing, since the high spot seldom lies at a jaw: between a jaw and its
    neighbour the difference of opposite readings is 0.7 of the swing, and half of that is a third."""
    swing = 0.030 * 25.4
    at_45 = np.cos(np.radians(45)) * swing / 2
    agrees("move, high spot midway", true.half_the_difference(at_45, -at_45), 0.010 * 25.4, rel=0.07, unit="mm",
           of=true.half_the_difference)


@source("similar triangles, moments and a spring, by hand", place="worked by hand", basis="hand")
def test_between_centres_by_hand():
    agrees("10 µm at the centre, 68 of 85 mm away", true.carried_run_out(0.010, 68.0, 85.0), 0.008, abs=1e-12,
           unit="mm", of=true.carried_run_out)
    agrees("140 N at Ø20, pin 35 mm out", true.dog_pull(140.0, 20.0, 35.0), 40.0, abs=1e-9, unit="N", of=true.dog_pull)
    agrees("40 N on 20 N/µm, at the driven end", true.dog_run_out(40.0, 20e3, 85.0, 85.0), 0.004, abs=1e-12, unit="mm",
           of=true.dog_run_out)


@source("a taper of half a micrometre a millimetre, by hand", place="worked by hand", basis="hand")
def test_on_a_mandrel_by_hand():
    agrees("bore 20.010 on 19.987", true.seat_place(20.010, 19.987, 0.0005), 46.0, abs=1e-6, unit="mm",
           of=true.seat_place)
    agrees("10 mm stand clear", true.lean_run_out(25.0, 15.0, 0.0005), 0.005, abs=1e-12, unit="mm",
           of=true.lean_run_out)
    agrees("pressed on further than it is long", true.lean_run_out(25.0, 30.0, 0.0005), 0.0, abs=1e-12, unit="mm",
           of=true.lean_run_out)


@source("ISO 286-2 and an army ordnance lesson, OD1645", place="H7 at 20: 0 to +21 µm; 0.0005 inch per inch",
        basis="read")
def test_an_h7_bore_sits_along_42_mm():
    found = true.on_mandrel(20.0, "H7")
    agrees("from the smallest bore to the largest", found.last - found.first, 0.021 / 0.0005, rel=1e-6, unit="mm",
           of=true.on_mandrel)


@source("Lobben: Machinists' and Draftsmen's Handbook (1910)", place="page 475: small end 0.0005 inch under, to 1 inch",
        basis="read")
def test_the_smallest_bore_touches_an_inch_from_the_end():
    """Half a thousandth of an inch under size at half a thousandth an inch: one inch from the small end."""
    agrees("nominal bore", true.on_mandrel(20.0, "H7").first, 25.4, rel=1e-6, unit="mm", of=true.on_mandrel)


@source("a bearing maker's page on total radial run-out", place="seat of 150 mm: IT5/2 = 18/2 = 9 µm", basis="read")
def test_a_bearing_makers_example():
    agrees("seat of 150 mm", true.seat_limits(150.0)[0], 0.009, abs=1e-12, unit="mm", of=true.seat_limits)


@pytest.mark.parametrize("precision, demands, radial, axial", [("Normal", "usual", 4.5, 9), ("Normal", "special", 3, 6),
    ("P6", "usual", 2, 4), ("P5", "usual", 1.25, 2.5)])
@source("a bearing maker's table of geometrical tolerances, with ISO 286-1's widths at 20 mm",
        place="t3: IT5/2, IT4/2, IT3/2, IT2/2; t4: IT5, IT4, IT3, IT2; 9, 6, 4, 2.5 µm", basis="read")
def test_run_out_of_seat_and_shoulder(precision, demands, radial, axial):
    agrees("t3 and t4 at Ø20", true.seat_limits(20.0, precision, demands), (radial / 1e3, axial / 1e3), abs=1e-12,
           unit="mm", of=true.seat_limits)


@source("ISO 4292, three-point measurement, symmetrical setting 90°",
        place="factors 1, 2, 0.41, 2, 1, 0, 2.41 for 2 to 8 lobes", basis="memory")
def test_factors_of_a_right_angled_vee():
    """The standard's factor is what the indicator above the journal shows; the journal's own lobe is one of it."""
    factors = [abs(1 + float(true.vee_rise(n, 90))) for n in range(2, 9)]
    agrees("factors", factors, (1, 2, 0.41, 2, 1, 0, 2.41), abs=0.006, of=true.vee_rise)
