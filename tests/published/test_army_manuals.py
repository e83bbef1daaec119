"""Manuals of the US Army and other open government texts."""

import pytest

from outside import agrees, claim, source
from springpass import drilling, threads
from springpass.cutting import speeds
from springpass.reaming import hole as reamed_hole
from springpass.threads import single_point as thread_cutting


@pytest.mark.parametrize(
    ("material", "tool", "low", "high"),
    [
        # US Army TM 43-0106, table 2-8, finish cuts, ft/min (read)
        ("austenitic stainless steel", "high-speed steel", 50, 105),
        ("austenitic stainless steel", "uncoated carbide", 150, 350),
        ("ferritic stainless steel", "high-speed steel", 55, 120),
        ("ferritic stainless steel", "uncoated carbide", 165, 450),
        # The Ferrous Metals Data Book, tables 9-3 and 9-6, ft/min (read)
        ("medium-carbon steel", "high-speed steel", 90, 130),
        ("medium-carbon steel quenched and tempered", "high-speed steel", 75, 115),
        ("low-alloy steel quenched and tempered", "high-speed steel", 70, 90),
        ("low-alloy steel", "coated carbide", 525, 650),
    ],
)
@source("US Army TM 43-0106; The Ferrous Metals Data Book", place="table 2-8; tables 9-3 and 9-6", basis="read")
def test_speeds_as_printed_in_feet(material, tool, low, high):
    fact = speeds.cutting_speed(material, tool)
    agrees("low, high", (fact.low, fact.high), (low * 0.3048, high * 0.3048), abs=0.5, of=speeds.cutting_speed)
    agrees("basis", fact.basis, "read", of=speeds.cutting_speed)


# Drilling and reaming speed tables, ft/min, secondary copy (read): drill HSS, ream HSS, ream carbide
SPEEDS = [
    ("free machining steel 1212 to 1214, HB 100-150", 120, 80, 400),
    ("carbon steel 1006 to 1026, HB 100-125", 100, 65, 300),
    ("carbon steel 1027 to 1050, HB 175-225", 75, 50, 200),
    ("stainless 303, HB 135-185", 85, 55, 225),
    ("stainless 316, HB 135-185", 50, 30, 150),
    ("grey iron class 30 to 40, HB 190-220", 80, 55, 180),
    ("grey iron class 20, HB 120-150", 100, 65, 300),
    ("tool steel O1, HB 175-225", 45, 30, 150),
]


@source("US War Department TM 1-420", place="reaming at half the drilling speed", basis="read")
def test_reaming_runs_at_about_half_the_speed_of_drilling():
    """US War Department TM 1-420: one half (read); the speed tables give 0.60 to 0.69 of it, so the two differ."""
    shares = [drilling.speed(m, "ream HSS").value / drilling.speed(m, "drill HSS").value for m, *_ in SPEEDS]
    claim("shares", min(shares) > 0.5, of=drilling.speed)
    claim("shares", max(shares) < 0.7, of=drilling.speed)


@source("US Army TM 1-420; TC 9-524", place="paragraph 37; chapter 7", basis="read")
def test_army_manuals_in_inches():
    """TM 1-420: 0.005 to 0.010 inch for a machine reamer; TC 9-524: 0.004 inch and more, within 0.005 inch by hand."""
    machine, hand = (reamed_hole.allowance(12, n) for n in ("machine reamer on a lathe", "hand reamer on a lathe"))
    agrees("low, high", (machine.low, machine.high), (0.005 * 25.4, 0.010 * 25.4), abs=5e-4, of=reamed_hole.allowance)
    agrees("low, high", (hand.low, hand.high), (0.004 * 25.4, 0.005 * 25.4), abs=5e-4, of=reamed_hole.allowance)


@source("US Army Ordnance course, measuring threads", place="1/2 inch, 12 threads", basis="read")
def test_over_wires_rule_of_an_ordnance_course():
    """US Army Ordnance course, measuring threads: m = D + 3W − 1.5155/n (read), its 1/2 inch 12 threads with 0.04811.
    """
    pitch = 25.4 / 12
    d2 = threads.basic_pitch_diameter(12.7, pitch)
    wanted = 0.5 + 3 * 0.04811 - 1.5155 / 12
    agrees("over wires", thread_cutting.over_wires(d2, pitch, 0.04811 * 25.4) / 25.4, wanted, abs=5e-5, unit="inch",
           of=thread_cutting.over_wires)
