"""A chuck maker's guide to clamping forces. Basis: read."""

from outside import agrees, claim, source
from springpass import workholding as wh
from springpass.core import tables


@source("a chuck maker's guide to clamping forces", place="p. 48, worked example", basis="read")
def test_worked_example_of_the_clamping_force_guide():
    """Page 48 (read): cutting force 6.25 kN on 20 mm, gripped on 60 mm, safety 2.0, coefficient 0.20: 21.00 kN
    (printed rounded up from a ratio of 0.33)."""
    agrees(
        "grip needed", wh.grip_needed(6250.0, 0.0, 20.0, 60.0, 0.20, 2.0), 21000, rel=0.01, unit="N", of=wh.grip_needed
    )


@source("a chuck maker's guide to clamping forces", place="p. 45, table 4", basis="read")
def test_grip_coefficients_are_those_printed():
    """Page 45, table 4 (read): smooth, diamond-cut, serrated jaws on three kinds of surface."""
    printed = {
        "smooth turned or ground": (0.07, 0.12, 0.20),
        "rough to medium turned": (0.10, 0.20, 0.35),
        "unmachined": (0.15, 0.30, 0.45),
    }
    for surface, row in printed.items():
        for jaw, value in zip(("smooth", "diamond-cut", "serrated"), row, strict=True):
            fact = tables.fact("workholding_grip", surface=surface, jaw=jaw)
            agrees("", fact.value, value, of=tables.fact)
            claim("low", fact.low < value < fact.high, of=tables.fact)
