"""Inch threads of ASME B1.1 and metric ones of ASME B1.13M. Basis beside each.

For M3's minor diameter one copy of B1.13M prints 2.439, another 2.438.
"""

import pytest

from outside import agrees, claim, source
from springpass import threads

# ANSI/ASME B1.13M, table of external threads, secondary copy (read):
# thread, class, d most, d least, d2 most, d2 least, d1 most, d3 least. M3: the copy has 2.439, another 2.438.
B113M = [
    ("M1.6x0.35", "6g", 1.581, 1.496, 1.354, 1.291, 1.202, 1.075),
    ("M1.6x0.35", "4g6g", 1.581, 1.496, 1.354, 1.314, 1.202, 1.098),
    ("M2x0.4", "6g", 1.981, 1.886, 1.721, 1.654, 1.548, 1.408),
    ("M2.5x0.45", "4g6g", 2.48, 2.38, 2.188, 2.143, 1.993, 1.866),
    ("M3x0.5", "6g", 2.98, 2.874, 2.655, 2.58, 2.439, 2.272),
    ("M3.5x0.6", "6g", 3.479, 3.354, 3.089, 3.004, 2.829, 2.635),
    ("M4x0.7", "4g6g", 3.978, 3.838, 3.523, 3.467, 3.22, 3.036),
    ("M5x0.8", "6g", 4.976, 4.826, 4.456, 4.361, 4.11, 3.869),
    ("M6x1", "6g", 5.974, 5.794, 5.324, 5.212, 4.891, 4.596),
    ("M8x1.25", "4g6g", 7.972, 7.76, 7.16, 7.085, 6.619, 6.315),
    ("M8x1", "6g", 7.974, 7.794, 7.324, 7.212, 6.891, 6.596),
    ("M10x1.5", "6g", 9.968, 9.732, 8.994, 8.862, 8.344, 7.938),
    ("M10x1.5", "4g6g", 9.968, 9.732, 8.994, 8.909, 8.344, 7.985),
    ("M10x0.75", "6g", 9.978, 9.838, 9.491, 9.391, 9.166, 8.929),
    ("M10x0.75", "4g6g", 9.978, 9.838, 9.491, 9.428, 9.166, 8.966),
]


@pytest.mark.parametrize("name, tolerance, most, least, pitch_most, pitch_least, minor_most, minor_least", B113M)
@source(
    "ANSI/ASME B1.13M, table of external threads (secondary copy)",
    place="15 rows; M3: one copy 2.439, another 2.438",
    basis="read",
)
def test_screws_with_their_minor_diameters(
    name, tolerance, most, least, pitch_most, pitch_least, minor_most, minor_least
):
    got = threads.limits(name, tolerance)
    wanted = (least, most, pitch_least, pitch_most, minor_least, minor_most)
    agrees("major, pitch, minor", (*got.major, *got.pitch, *got.minor), wanted, abs=0.00101, of=threads.limits)


UNF = [  # ANSI B1.1, tap catalogue in mm, secondary copy (read): thread, D2 basic, D2 most 2B, D2 most 3B
    ("#0-80", 1.318, 1.377, 1.361), ("#2-64", 1.928, 1.996, 1.979), ("#4-48", 2.502, 2.581, 2.560),
    ("#6-40", 3.094, 3.180, 3.157), ("#8-36", 3.708, 3.800, 3.777), ("#10-32", 4.310, 4.409, 4.384),
    ("1/4-28", 5.761, 5.870, 5.842), ("5/16-24", 7.249, 7.371, 7.341), ("3/8-24", 8.837, 8.961, 8.931),
    ("1/2-20", 11.874, 12.017, 11.981), ("5/8-18", 14.958, 15.110, 15.072), ("3/4-16", 18.019, 18.184, 18.143),
]


@pytest.mark.parametrize("name, least, two, three", UNF)
@source("ANSI B1.1, a tap catalogue in mm (secondary copy)", place="2B and 3B, 12 threads", basis="read")
def test_inch_nuts(name, least, two, three):
    """The copy turned tenths of a thou into mm and kept a micron: half a tenth and a micron are allowed."""
    agrees("limits, pitch", threads.limits(name, "2B").pitch, (least, two), abs=0.0023, of=threads.limits)
    agrees("limits, pitch", threads.limits(name, "3B").pitch[1], three, abs=0.0023, of=threads.limits)


@source("handbook calculation tables", place="1/2-28 UNEF", basis="read")
def test_inch_screw_worked_in_a_handbook():
    """1/2-28 UNEF-2A: d most 0.4989, d1 most 0.4602; 2B: D1 least 0.461 inch (handbook calculation tables, read)."""
    screw, nut = threads.limits("1/2-28 UNEF", "2A"), threads.limits("1/2-28 UNEF", "2B")
    agrees("major", screw.major[1] / 25.4, 0.4989, abs=5e-5, of=threads.limits)
    agrees("minor", screw.minor[1] / 25.4, 0.4602, abs=5e-5, of=threads.limits)
    agrees("minor", nut.minor[0] / 25.4, 0.461, abs=5e-4, of=threads.limits)


@source("ASME B1.1 table (secondary copy)", place="5/8-11 and 5/8-18", basis="read")
def test_inch_screws_of_the_printed_table():
    """ASME B1.1 table, secondary copy (read), inch: 5/8-11 3A 0.6250 to 0.6129 outside, 0.5660 to 0.5619 pitch;
    5/8-18 3A 0.6250 to 0.6163; 5/8-11 2A 0.6234 to 0.6113 outside, so an allowance of 0.0016."""
    three = threads.limits("5/8-11", "3A")
    agrees("", [v / 25.4 for v in three.major], [0.6129, 0.6250], abs=6e-5, of=threads.limits)
    agrees("", [v / 25.4 for v in three.pitch], [0.5619, 0.5660], abs=6e-5, of=threads.limits)
    agrees("limits, major", threads.limits("5/8-18", "3A").major[0] / 25.4, 0.6163, abs=6e-5, of=threads.limits)
    two = threads.limits("5/8-11", "2A")
    agrees("", [v / 25.4 for v in two.major], [0.6113, 0.6234], abs=6e-5, of=threads.limits)
    claim("source", "can differ by one such step" in two.source, of=threads.limits)


@source("ASME B1.1", place="1/4-20 UNC", basis="memory")
def test_quarter_inch():
    """ASME B1.1, 1/4-20 UNC (memory), inch: 2A 0.2408 to 0.2489, pitch 0.2127 to 0.2164; 2B pitch 0.2175 to 0.2224."""
    screw, nut = threads.limits("1/4-20 UNC", "2A"), threads.limits("1/4-20", "2B")
    agrees("", [v / 25.4 for v in (*screw.major, *screw.pitch)], [0.2408, 0.2489, 0.2127, 0.2164], abs=6e-5,
           of=threads.limits)
    agrees(
        "", [v / 25.4 for v in (*nut.pitch, *nut.minor)], [0.2175, 0.2224, 0.1959, 0.2074], abs=6e-5, of=threads.limits
    )


@source("ASME B1.1, 1-8 UNC", place="class 2A, pitch diameter 0.9168 to 0.9100", basis="memory")
def test_a_tolerance_that_ends_on_a_half():
    """0.0015 + 0.0015 + 0.015/4 = 0.00675 inch: the printed tables round the half upwards, to 0.0068."""
    two = threads.limits("1-8 UNC", "2A")
    agrees("limits, pitch", [v / 25.4 for v in two.pitch], [0.9100, 0.9168], abs=2e-6, of=threads.limits)
