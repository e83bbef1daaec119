"""Every number of every way that saves a part, worked by hand from ISO limits and the trade's rules, or thrown with
dice; the ways as they stand in the whole answer."""

import numpy as np
from scipy import optimize

from outside import agrees, source
from springpass.job import rescue as r

STEEL, EDGE = "42CrMo4 / 4140", "carbide, ground, uncoated"
SEAT = (r.SEAT, 20, "h6", (-0.021, -0.018, -0.012))
HOLE = (r.BORE, 20, "H7", (0.040, 0.028, 0.026))
LARGE = (r.SEAT, 20, "h6", (0.004, 0.003, 0.003))
HOUSING = (r.BORE, 42, "H7", (0.040, 0.028, 0.026))


def whole(what, mate):
    face, nominal, code, off = what
    return r.rescue(r.measured(face, nominal, code, off, 20, form=0.004), mate, 20, STEEL, EDGE, 0.05, 0.4)


def ways(what, mate, kind):
    return [way for way in whole(what, mate).ways if isinstance(way, kind)]


@source("worked by hand", place="in the docstring", basis="hand")
def test_what_was_measured():
    """Ø20 h6 (−13 to 0) reads −21, −18, −12: it comes up to −13 at 10 + 10 × 5/6 = 18.33 of 20, so 11/12 lack metal, 8
    µm at the worst place. +4, +3, +3: 4 too much everywhere.
    """
    small, large = whole(SEAT, r.BEARING).measured, whole(LARGE, r.MADE).measured
    agrees("short and inside", (small.short, small.inside), (11 / 12, 1 / 12), abs=1e-6, of=[r.measured, r.rescue])
    agrees("lacks and spare", (small.lacks, small.spare, large.lacks, large.spare), (0.008, 0, 0, 0.004), abs=1e-12,
           unit="mm", of=[r.measured, r.rescue])
    agrees("limits", (small.lower, small.upper), (-0.013, 0.0), abs=1e-12, unit="mm", of=[r.measured, r.rescue])
    agrees("places", list(small.places), [0.0, 10.0, 20.0], abs=1e-9, unit="mm", of=[r.measured, r.rescue])
    agrees("readings", list(small.off), [-0.021, -0.018, -0.012], abs=1e-12, unit="mm", of=[r.measured, r.rescue])


@source("worked by hand", place="in the docstring", basis="hand")
def test_as_it_is_and_as_another_class():
    """One twelfth is inside, 8 µm beyond. In h7 (0 to −21) with a bearing's bore (0 to −10) the clearance is −10 + 12 =
    2 to 0 + 21 = 21; drawn were −10 to 13. i = 0.45 ∛23.24 + 0.001 × 23.24 = 1.307 µm: from 0 it drags, from 5 i = 6.5
    it slides, from 18 i = 23.5 it runs. A bore of +26 to +40 in H9 (0 to 52) with h6 (−13 to 0): 26 to 53, drawn 0 to
    34; both ends run.
    """
    used = ways(SEAT, r.BEARING, r.AsItIs)[0]
    agrees("share and worst", (used.share, used.worst), (1 / 12, 0.008), abs=1e-6, of=[r.as_it_is, r.rescue])
    for what, mate, code, least, most, wanted, feels in (
            (SEAT, r.BEARING, "h7", 0.002, 0.021, (-0.010, 0.013), ("drag", "slide")),
            (HOLE, r.MADE, "H9", 0.026, 0.053, (0.0, 0.034), ("run", "run"))):
        found = ways(what, mate, r.OtherClass)[0]
        agrees("clearance", (found.least, found.most, *found.wanted), (least, most, *wanted), abs=1e-9, unit="mm",
               of=[r.other_class, r.rescue])
        agrees("class and how it feels", (found.code, found.tightest, found.loosest), (code, *feels),
               of=[r.other_class, r.rescue])


@source("worked by hand", place="in the docstring", basis="hand")
def test_a_mate_made_to_measure_and_a_bore_honed():
    """H7/h6 at 20 has 0 to 34 of clearance. A bore of 26 to 40: a pin of 20.006 to 20.026; honed even, 14 off, to
    20.040, a pin of 20.006 to 20.040. IT6 is 13 wide.
    """
    pin, even = ways(HOLE, r.MADE, r.MateToMeasure)[0], ways(HOLE, r.MADE, r.Hone)[0]
    agrees("pin", (pin.low, pin.high, pin.needs), (20.006, 20.026, 0.013), abs=1e-9, unit="mm",
           of=[r.mate_to_measure, r.rescue])
    agrees("honed", (even.take, even.size, even.mate_low, even.mate_high), (0.014, 20.040, 20.006, 20.040), abs=1e-9,
           unit="mm", of=[r.hone, r.rescue])


@source("numpy's dice", place="shear strength 8 to 30 MPa, known to a factor; π d l τ and half a diameter of it",
        basis="method")
def test_a_compound():
    """The widest gap is 21 µm, so it may sit half of that off the axis."""
    found = ways(SEAT, r.BEARING, r.Compound)[0]
    strength = np.sqrt(8 * 30) * np.exp(np.log(30 / 8) / 4 * np.random.default_rng(2).standard_normal(100_000))
    force = np.percentile(np.pi * 20 * 20 * strength, (5, 50, 95))
    agrees("force", (found.force.low, found.force.value, found.force.high), force, rel=0.02, unit="N",
           of=[r.compound, r.rescue])
    agrees("torque", (found.torque.low, found.torque.value, found.torque.high), 10 * force, rel=0.02, unit="N mm",
           of=[r.compound, r.rescue])
    agrees("gap, and off the axis", (found.gap, found.off_axis), (0.021, 0.0105), abs=1e-9, unit="mm",
           of=[r.compound, r.rescue])


@source("worked by hand", place="in the docstring", basis="hand")
def test_metal_put_on_and_the_next_bearing():
    """To the middle, −6.5, it lacks 14.5 on diameter, 7.25 on radius; nickel gives 25 µm on radius, chrome 150, a knurl
    100 on diameter (from memory). The next bearing is 17 × 35: 19.988 − 17 off, (17/20)³ of the strength left. In a
    bore of 42.026 the next is 20 × 47: 47 − 42.026 off, 5 of 40 of the wall gone.
    """
    for found, needs, most, on_radius in zip(ways(SEAT, r.BEARING, r.BuildUp), (0.00725, 0.00725, 0.0145),
            (0.025, 0.15, 0.1), (True, True, False), strict=True):
        agrees("needs and gives", (found.needs, found.most), (needs, most), rel=1e-9, unit="mm",
               of=[r.build_up, r.rescue])
        agrees("on radius", found.on_radius, on_radius, of=[r.build_up, r.rescue])
    for what, other, take, left in ((SEAT, 35.0, 2.988, 0.614125), (HOUSING, 20.0, 4.974, 0.875)):
        found = ways(what, r.BEARING, r.NextBearing)[0]
        agrees("other diameter, taken off, left", (found.other, found.take, found.left), (other, take, left), rel=1e-6,
               of=[r.next_bearing, r.rescue])


@source("Lamé's rings told afresh, numpy's dice", place="a sleeve on Ø17 and a bush in Ø23 with H7/p6", basis="method")
def test_a_sleeve_and_a_bush_as_they_stand_in_the_answer():
    """p6 is +18 to +29 at 17 with H7 0 to 18, +22 to +35 at 23 with 0 to 21: 0 to 29 and 1 to 35 of interference. Wall
    1.5. Left: (17/20)³, and 37 of 40.
    """
    dice = np.random.default_rng(4)
    count = 40_000
    modulus = dice.uniform(205e3, 212e3, count)
    lost = 0.8 * (dice.uniform(2e-3, 6e-3, count) + dice.uniform(2e-3, 6e-3, count))
    limit = 600 * np.exp(np.log(900 / 400) / 4 * dice.standard_normal(count))     # 400 to 900 MPa

    def pushed(interference, d, outside, bore):
        outer = (outside**2 + d**2) / (outside**2 - d**2) + 0.3
        inner = (d**2 + bore**2) / (d**2 - bore**2) - 0.3
        return np.maximum(interference - lost, 0) * modulus / d / (outer + inner)

    for what, mate, sleeve, d, outside, bore, reach, left in (
            (SEAT, r.BEARING, True, 17, 20, 0, (0.0, 0.029), 0.614125),
            (HOLE, r.MADE, False, 23, 60, 20, (0.001, 0.035), 0.925)):
        found = ways(what, mate, r.Pressed)[0]
        agrees("a sleeve", found.sleeve, sleeve, of=[r.pressed, r.rescue])
        agrees("fit", found.fit, "H7/p6", of=[r.pressed, r.rescue])
        agrees("wall and joint", (found.wall, found.joint), (1.5, d), rel=1e-9, unit="mm", of=[r.pressed, r.rescue])
        agrees("interference", found.interference, reach, abs=1e-9, unit="mm", of=[r.pressed, r.rescue])
        agrees("left", found.left, left, rel=1e-6, of=[r.pressed, r.rescue])
        usual, tight = pushed(sum(reach) / 2, d, outside, bore), pushed(reach[1], d, outside, bore)
        # von Mises at the outer part's bore, and at the inner one's: pushed alike all round, or along a ring alone
        hoop = tight * (outside**2 + d**2) / (outside**2 - d**2)
        hub = np.sqrt(hoop**2 + hoop * tight + tight**2)
        shaft = 2 * tight * d**2 / (d**2 - bore**2) if bore else tight
        moves = (usual * 2 * d**2 * outside / (modulus * (outside**2 - d**2)) if sleeve
            else usual * 2 * d**2 * bore / (modulus * (d**2 - bore**2)))
        for quantity, ours, theirs in (("pressure", found.pressure, usual), ("nearness to yield", found.yields,
                np.maximum(hub, shaft) / limit), ("moves", found.moves, moves)):
            agrees(quantity, (ours.low, ours.value, ours.high), np.percentile(theirs, (5, 50, 95)), rel=0.03,
                   of=[r.pressed, r.rescue])


@source("the nose drawn and searched, numpy's dice",
        place="an edge rounded by 3 to 10 µm, thinnest chip 0.15 to 0.4 of it", basis="method")
def test_too_much_metal():
    """+4, +3, +3 on −13 to 0: to the middle 10.5 on diameter; target 19.9935; a polish takes 4 of 8 µm. The chip that a
    nose of 0.4 takes at 0.05 a turn is thickest where the last groove meets the surface.
    """
    cut, polish = ways(LARGE, r.MADE, r.CutAgain)[0], ways(LARGE, r.MADE, r.Polish)[0]
    agrees("target", cut.target, 19.9935, abs=1e-9, unit="mm", of=[r.take_off, r.rescue])
    agrees("depth", cut.depth, 0.00525, rel=1e-9, unit="mm", of=[r.take_off, r.rescue])
    agrees("polish", (polish.take, polish.most), (0.004, 0.008), rel=1e-9, unit="mm", of=[r.take_off, r.rescue])
    angle = np.linspace(-0.06, 0.4, 40_000)

    def thickest(depth):
        groove = 0.4 + 0.05 * np.sin(angle) - np.sqrt(0.4**2 - (0.05 * np.cos(angle)) ** 2)
        return np.minimum(groove, 0.4 - (0.4 - depth) / np.cos(angle)).max()

    throw = np.random.default_rng(9)
    least = throw.uniform(0.15, 0.4, 100_000) * throw.uniform(0.003, 0.010, 100_000)
    lightest = [optimize.brentq(lambda a, h=h: thickest(a) - h, 1e-5, 0.02) for h in np.percentile(least, (5, 50, 95))]
    agrees("lightest", (cut.least.low, cut.least.value, cut.least.high), lightest, rel=0.03, unit="mm",
           of=[r.take_off, r.rescue])
    agrees("chance", cut.chance, (thickest(0.00525) >= least).mean(), abs=0.01, of=[r.take_off, r.rescue])
