"""F. D. Jones, Turning and Boring (1914; public domain). Basis: read."""

import pytest

from outside import agrees, claim, source
from springpass import drilling, threads
from springpass.cutting import speeds
from springpass.threads import single_point as thread_cutting


@source("F. D. Jones, Turning and Boring (1914)", place="grey iron, 40 to 50 ft/min", basis="read")
def test_old_cast_iron_speed_is_the_careful_one():
    # Jones gives grey iron 40 to 50 ft/min (12 to 15 m/min): under today's bench-lathe manual
    claim("cutting speed, low", speeds.cutting_speed("grey cast iron").low > 50 * 0.3048, of=speeds.cutting_speed)


# F. D. Jones, Turning and Boring (public domain), careful turning speeds with high-speed steel, ft/min (read)
TURNING = [("grey cast iron", 40, 50), ("annealed tool steel", 25, 35), ("soft yellow brass", 150, 200)]


@pytest.mark.parametrize("material, low, high", TURNING)
@source("F. D. Jones, Turning and Boring (1914)", place="careful turning speeds", basis="read")
def test_careful_turning_speeds(material, low, high):
    got = drilling.speed(material, "turn HSS, careful")
    agrees("low, high", (got.low, got.high), (low * 0.3048, high * 0.3048), abs=1e-9, of=drilling.speed)


@source("F. D. Jones, Turning and Boring (1914)", place="1 1/2 inch, 6 threads, wires of 0.140", basis="read")
def test_over_wires_example_of_1914():
    """F. D. Jones, Turning and Boring (1914): 1 1/2 inch, 6 threads, wires of 0.140 inch read 1.6674 inch (read)."""
    pitch = 25.4 / 6
    d2 = threads.basic_pitch_diameter(1.5 * 25.4, pitch)
    agrees("over wires", thread_cutting.over_wires(d2, pitch, 0.140 * 25.4) / 25.4, 1.6674, abs=5e-5, unit="inch",
           of=thread_cutting.over_wires)


@source("F. D. Jones, Turning and Boring (1914)", place="1 1/2 inch, 6 threads, wires of 0.140", basis="read")
def test_pitch_diameter_from_the_reading_of_1914():
    """The same example turned round: 1.6674 inch over the wires is the full thread, 1.5 - 0.64952/6 = 1.39175 inch."""
    got = thread_cutting.from_wires(1.6674 * 25.4, 25.4 / 6, 0.140 * 25.4) / 25.4
    agrees("pitch diameter", got, 1.39175, abs=6e-5, unit="inch", of=thread_cutting.from_wires)
