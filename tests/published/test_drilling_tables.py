"""Printed tables of drilling and reaming. Basis: read in secondary copies."""

import pytest

from outside import agrees, source
from springpass import drilling

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


@pytest.mark.parametrize("material, drill, ream, carbide", SPEEDS)
@source(
    "drilling and reaming speed tables, ft/min (secondary copy)", place="eight materials, three tools", basis="read"
)
def test_speeds(material, drill, ream, carbide):
    for operation, feet in (("drill HSS", drill), ("ream HSS", ream), ("ream carbide", carbide)):
        agrees("speed, value", drilling.speed(material, operation).value, feet * 0.3048, abs=1e-9, of=drilling.speed)


# Drilling feed table, inch a turn, secondary copy (read): from, to diameter in inch, least, most
FEEDS = [(0.0, 0.125, 0.001, 0.003), (0.125, 0.25, 0.002, 0.006), (0.5, 1.0, 0.007, 0.015)]


@pytest.mark.parametrize("above, upto, low, high", FEEDS)
@source("drilling feed table, inch a turn (secondary copy)", place="three steps of diameter", basis="read")
def test_feeds(above, upto, low, high):
    for inch in (max(above, 0.014) + 1e-6, upto):
        got = drilling.feed(inch * 25.4 * (1 - 1e-12))
        agrees("low, high", (got.low, got.high), (low * 25.4, high * 25.4), abs=1e-9, of=drilling.feed)


# AND10387, drilled hole tolerances, inch, secondary copy (read): diameter, over, under
OVERSIZE = [
    (0.125, 0.004, 0.001),
    (0.126, 0.005, 0.001),
    (0.354, 0.006, 0.001),
    (0.75, 0.008, 0.001),
    (1.0, 0.010, 0.001),
]


@pytest.mark.parametrize("inch, over, under", OVERSIZE)
@source("AND10387, drilled hole tolerances (secondary copy)", place="five diameters", basis="read")
def test_drilled_holes_come_out_over_size(inch, over, under):
    got = drilling.oversize(inch * 25.4)
    agrees("a, b", (got.a, got.b), (-under * 25.4, over * 25.4), abs=1e-9, of=drilling.oversize)
