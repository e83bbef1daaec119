"""Parts out of size: worked with pencil and paper, and the same told afresh on a fine grid along the part."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from outside import agrees, claim, source
from springpass.fits import bonding
from springpass.job import rescue as r

STEEL = "42CrMo4 / 4140"
EDGE_OF_TOOL = "carbide, ground, uncoated"
SEAT = r.measured(r.SEAT, 20, "h6", (-0.021, -0.018, -0.012), 20, form=0.004)
HOLE = r.measured(r.BORE, 20, "H7", (0.040, 0.028, 0.026), 20, form=0.004)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_a_bonded_joint_and_a_shaft_turned_down():
    """18 MPa on Ø20 x 20: π x 18 x 400 = 22 619 N, times half the diameter 226.2 N m. Ø20 turned to Ø17, solid:
    (17/20)³ = 0.614; with a bore of Ø10: (83521 - 10000)/(160000 - 10000) x 20/17 = 0.57664.
    """
    agrees("force", bonding.bond_force(18, 20, 20), 22619, abs=1, unit="N", of=bonding.bond_force)
    agrees("torque", bonding.bond_torque(18, 20, 20), 226195, abs=1, unit="N mm", of=bonding.bond_torque)
    agrees("strength left, solid", bonding.strength_left(20, 17, 0), 0.614125, rel=1e-6, of=bonding.strength_left)
    agrees("strength left, bored", bonding.strength_left(20, 17, 10), 0.57664, abs=1e-5, of=bonding.strength_left)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_a_seat_undersize():
    """Ø20 h6 (0 to -13 µm) reads -21, -18, -12 over 20 mm. It comes up to -13 at 10 + 10 x 5/6 = 18.33 mm: 1/12 is
    inside, 8 µm lack. A bearing's bore is 0 to -10: clearance 2 to 21, meant were -10 to 13. All in h7 (0 to -21).
    To the middle, -6.5, it lacks 14.5 on diameter, 7.25 on radius. The next bearing is 17 x 35: 2.988 off.
    """
    m = SEAT
    agrees("inside", m.inside, 1 / 12, abs=1e-6, of=[r.measured, r.share_below])
    agrees("lacks", m.lacks, 0.008, rel=1e-9, unit="mm", of=r.measured)
    claim("a taper", m.shape == r.TAPER)
    found = r.as_it_is(m)
    agrees("as it is", (found.share, found.worst), (1 / 12, 0.008), abs=1e-6, of=r.as_it_is)
    mate = r.mate_of(m, r.BEARING)
    agrees("the bearing's bore", mate.lower, -0.010, rel=1e-9, unit="mm", of=r.mate_of)
    agrees("clearance", r.clearance(m, mate, -0.021, -0.012), (0.002, 0.021), rel=1e-9, unit="mm", of=r.clearance)
    other = r.other_class(m, r.BEARING)
    claim("class", other.code == "h7")
    agrees("clearance in h7", (other.least, other.most), (0.002, 0.021), rel=1e-9, unit="mm", of=r.other_class)
    agrees("clearance that was meant", other.wanted, (-0.010, 0.013), rel=1e-9, unit="mm", of=r.other_class)
    agrees("chrome on radius", r.build_up(m, "chrome plate").needs, 0.00725, rel=1e-9, unit="mm", of=r.build_up)
    agrees("knurl on diameter", r.build_up(m, "knurl").needs, 0.0145, rel=1e-9, unit="mm", of=r.build_up)
    bearing = r.next_bearing(m, 20)
    agrees("turned off", bearing.take, 2.988, rel=1e-6, unit="mm", of=r.next_bearing)
    agrees("strength left", bearing.left, 0.614125, rel=1e-6, of=r.next_bearing)
    bond = r.compound(m, r.BEARING, r.COMPOUNDS[0])
    agrees("gap", bond.gap, 0.021, rel=1e-9, unit="mm", of=r.compound)
    agrees("force at the middle strength, √(8 x 30) MPa", bond.force.value, np.pi * np.sqrt(240) * 400, rel=2e-3,
           unit="N", of=r.compound)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_a_bell_mouth():
    """Ø20 H7 (0 to 21) reads 40, 28, 26. With h6 the drawing meant 0 to 34 of clearance: the pin is at most
    20.026 and at least 20.040 - 0.034 = 20.006. Honed even to 20.040, 14 off, the pin is 20.006 to 20.040.
    """
    claim("a bell mouth", HOLE.shape == r.BELL)
    pin = r.mate_to_measure(HOLE, r.MADE)
    agrees("pin", (pin.low, pin.high), (20.006, 20.026), abs=1e-9, unit="mm", of=r.mate_to_measure)
    agrees("what a careful hand needs, IT6", pin.needs, 0.013, rel=1e-9, unit="mm", of=r.mate_to_measure)
    even = r.hone(HOLE, r.MADE)
    agrees("honed", (even.take, even.size), (0.014, 20.040), abs=1e-9, unit="mm", of=r.hone)
    agrees("pin then", (even.mate_low, even.mate_high), (20.006, 20.040), abs=1e-9, unit="mm", of=r.hone)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_a_seat_oversize():
    """Ø20 h6 reads +4, +3, +3: to the middle, -6.5, it is 10.5 on diameter, 5.25 on radius at the worst place; polished
    4 to its limit.
    """
    m = r.measured(r.SEAT, 20, "h6", (0.004, 0.003, 0.003), 20)
    cut, polish = r.take_off(m, EDGE_OF_TOOL, 0.05, 0.4)
    agrees("depth of cut", cut.depth, 0.00525, rel=1e-9, unit="mm", of=r.take_off)
    agrees("target", cut.target, 19.9935, rel=1e-9, unit="mm", of=r.take_off)
    agrees("polished off", polish.take, 0.004, rel=1e-9, unit="mm", of=r.take_off)
    whole = r.rescue(m, r.MADE, 20, STEEL, EDGE_OF_TOOL, 0.05, 0.4)
    agrees("the first way", whole.ways[0].depth, 0.00525, rel=1e-9, unit="mm", of=r.rescue)


@source("Lamé's rings told afresh, numpy's dice", place="a sleeve on Ø17 and a bush in Ø23", basis="method")
def test_a_sleeve_and_a_bush():
    dice = np.random.default_rng(4)
    modulus = dice.uniform(205e3, 212e3, 40_000)     # 42CrMo4 in data/materials.csv
    lost = 0.8 * (dice.uniform(2e-3, 6e-3, 40_000) + dice.uniform(2e-3, 6e-3, 40_000))
    nu = 0.3

    def pressure(interference, d, outside, bore):
        outer = (outside**2 + d**2) / (outside**2 - d**2) + nu
        inner = (d**2 + bore**2) / (d**2 - bore**2) - nu
        return np.maximum(interference - lost, 0) * modulus / d / (outer + inner)

    sleeve, bush = r.pressed(SEAT, 20, STEEL), r.pressed(HOLE, 20, STEEL)
    agrees("joints", (sleeve.joint, bush.joint), (17, 23), rel=1e-9, unit="mm", of=r.pressed)
    agrees("wall", sleeve.wall, 1.5, rel=1e-9, unit="mm", of=r.pressed)
    for made, outside, bore in ((sleeve, 20, 0), (bush, 60, 20)):
        push = pressure(sum(made.interference) / 2, made.joint, outside, bore)
        agrees("pressure", (made.pressure.low, made.pressure.value, made.pressure.high),
               np.percentile(push, (5, 50, 95)), rel=0.03, unit="MPa", of=r.pressed)
    push = pressure(sum(bush.interference) / 2, 23, 60, 20)
    agrees("closing", bush.moves.value, np.median(2 * push * 23**2 * 20 / (modulus * (23**2 - 20**2))), rel=0.03,
           unit="mm", of=r.pressed)


readings = st.lists(st.floats(-0.2, 0.2), min_size=2, max_size=9)


@source("the same on a grid of 20 001 places", place="random readings", basis="method")
@settings(max_examples=60, deadline=None)
@given(off=readings, level=st.floats(-0.2, 0.2))
def test_the_share_of_the_length(off, level):
    at = np.linspace(0, 20, len(off))
    grid = (np.arange(20_000) + 0.5) / 1000
    below = np.mean(np.interp(grid, at, off) < level)
    if np.abs(np.asarray(off) - level).min() > 1e-7:   # else a reading lies on the level, and so may a stretch
        agrees("share", r.share_below(at, off, level), below, abs=1e-3, of=r.share_below)


@source("every mate tried at every place", place="random readings", basis="method")
@settings(max_examples=60, deadline=None)
@given(off=st.lists(st.floats(-0.06, 0.06), min_size=3, max_size=5), face=st.sampled_from((r.SEAT, r.BORE)))
def test_a_mate_made_to_measure_fits_at_every_place(off, face):
    m = r.measured(face, 20, "h6" if face == r.SEAT else "H7", off, 20)
    made = r.mate_to_measure(m, r.MADE)
    here = 20 + np.interp(np.linspace(0, 20, 400), m.places, m.off)
    least, most = (0.0, 0.034)     # H7 with h6 at 20 mm
    for mate in np.linspace(made.low, made.high, 9) if made.high > made.low else ():
        gap = mate - here if face == r.SEAT else here - mate
        claim("every clearance is as meant", (gap >= least - 1e-9).all() and (gap <= most + 1e-9).all(),
              of=r.mate_to_measure)
    if made.high < made.low - 1e-9:
        claim("no mate fits where none is offered", np.ptp(here) > most - least, of=r.mate_to_measure)
