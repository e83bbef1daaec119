"""Grooves, tapers, inside threads: printed values, and values worked with pencil and paper."""

from fractions import Fraction

import numpy as np
import pytest

from outside import agrees, claim, source
from springpass import grooves_tapers as gt
from springpass.grooves_tapers import grooving, tapers
from springpass.grooves_tapers.inside_threads import MM, thread_push
from springpass.threads.single_point import infeed_schedule

INCH = 25.4


# ---- tapers in print ---------------------------------------------------------------------------------------


@source("F. D. Jones, Turning and Boring (1914), taper turning by the offset-centre method",
    place="part B: 2½ to 2 inch in 6, 9 inch long; plug of 1½ inch per foot, 8 inch long", basis="read")
def test_set_over_as_jones_works_it():
    agrees("set-over", gt.set_over(9 * INCH, 2.5 * INCH, 2 * INCH, 6 * INCH) / INCH, 3 / 8, rel=1e-9, unit="inch",
        of=gt.set_over)
    agrees("set-over of the plug", gt.set_over(8.0, 1.5, 1e-9, 12.0), 0.5, rel=1e-6, unit="inch", of=gt.set_over)


@source("US Navy training course, using the compound rest and the tailstock", place="12 inch long, 3 to 2 inch",
    basis="read")
def test_set_over_as_the_navy_works_it():
    agrees("set-over", gt.set_over(12.0, 3.0, 2.0, 12.0), 0.5, rel=1e-9, unit="inch", of=gt.set_over)
    agrees("half the length", gt.set_over(6.0, 3.0, 2.0, 12.0), 0.25, rel=1e-9, unit="inch", of=gt.set_over)


@source("US Army TC 9-524, Appendix C, sine bar", place="23° 41' on a 5 inch bar", basis="read")
def test_sine_bar_as_the_army_works_it():
    agrees("height", gt.rise_along(5.0, 23 + 41 / 60), 2.0084, abs=5e-5, unit="inch", of=gt.rise_along)


# "Dimensions of standard tapers", a table on the web (read): taper per foot, half angle, large end in inch
MORSE = {0: (0.6246, 1.4908, 0.3561), 1: (0.5986, 1.4287, 0.4750), 2: (0.5994, 1.4307, 0.7000),
    3: (0.6024, 1.4377, 0.9380), 4: (0.6233, 1.4876, 1.2310), 5: (0.6315, 1.5073, 1.7480), 6: (0.6257, 1.4933, 2.4940)}


@source("table of standard tapers on the web", place="Morse tapers", basis="read")
@pytest.mark.parametrize("number", MORSE)
def test_morse_tapers_as_printed(number):
    per_foot, half, large = MORSE[number]
    cone = gt.cone(f"Morse {number}")
    agrees("taper per foot", cone.ratio * 12, per_foot, abs=6e-5, unit="inch", of=gt.cone)
    agrees("half angle", gt.half_angle(cone.ratio, 0.0, 1.0), half, abs=2e-4, unit="deg", of=gt.half_angle)
    agrees("large end", cone.large / INCH, large, abs=1e-4, unit="inch", of=gt.cone)


# the series of tapers of GOST R 53440, as an encyclopaedia article prints it (read): 1 to so much, whole angle
SERIES = {200: (0, 17, 12), 100: (0, 34, 23), 50: (1, 8, 45), 30: (1, 54, 35), 20: (2, 51, 51), 15: (3, 49, 6),
    12: (4, 46, 19), 10: (5, 43, 29), 8: (7, 9, 10), 7: (8, 10, 16), 5: (11, 25, 16), 4: (14, 15, 0), 3: (18, 55, 29)}


@source("GOST R 53440, the same series as ISO 1119, as an encyclopaedia article prints it", place="table of tapers",
    basis="read")
@pytest.mark.parametrize("one_in", SERIES)
def test_cone_ratios_and_their_angles(one_in):
    d, m, s = SERIES[one_in]
    cone = gt.cone(f"1:{one_in}")
    agrees("ratio", gt.cone_ratio(20 + cone.ratio * 30, 20.0, 30.0), 1 / one_in, rel=1e-9, of=gt.cone_ratio)
    agrees("whole angle", 2 * gt.half_angle(20 + cone.ratio, 20.0, 1.0) * 3600, d * 3600 + m * 60 + s, abs=2.5,
        unit="arc seconds", of=gt.half_angle)


@source("Turning and Boring Tapers (New York, 1902)", place="figure 7 and its text", basis="read")
def test_a_tip_off_centre_takes_from_the_taper():
    """“If this cutting point is either above or below the center the taper will be slightly less.”"""
    claim("less, and slightly", 0 < gt.taper_lost(18.0, 14.0, 0.3) < 0.004, of=gt.taper_lost)


# ---- undercuts, the dial -----------------------------------------------------------------------------------


@source("DIN 509 as a second table on the web prints it", place="undercut parameters, form F", basis="read")
@pytest.mark.parametrize(("diameter", "depth", "width", "face"), [(1.5, 0.1, 0.5, 0.1),
    (2.5, 0.1, 1, 0.1), (6, 0.2, 2, 0.1), (14, 0.2, 2, 0.1), (20, 0.3, 2.5, 0.2),
    (80, 0.3, 2.5, 0.2), (90, 0.4, 4, 0.3)])
def test_undercuts_as_printed(diameter, depth, width, face):
    row = gt.undercut(diameter)
    agrees("depth, width, face", (row.depth, row.width, row.face), (depth, width, face), of=gt.undercut)
    agrees("all rows", sum(r.depth for r in gt.undercuts("usual")), 0.1 + 0.1 + 0.2 + 0.2 + 0.3 + 0.4, rel=1e-9,
        of=gt.undercuts)


# a lathe manual's chart for a leadscrew of 8 to the inch, dial gear of 16 teeth, eight lines (read): the lines allowed
CHART = {"16": 8, "24": 8, "12": 8, "20": 8, "28": 8, "10": 4, "14": 4, "18": 4, "7": 2, "9": 2, "11": 2, "13": 2,
    "4.5": 1, "5.5": 1, "11.5": 1}


@source("a lathe manual's chart of its thread dial", basis="read",
    place="leadscrew of 8 threads to the inch, gear of 16 teeth, eight lines")
@pytest.mark.parametrize("tpi", CHART)
def test_thread_dial_as_a_lathes_manual_has_it(tpi):
    rule = gt.dial_rule(MM / 8, MM / Fraction(tpi), 16, 8)
    agrees("lines", len(rule.marks), CHART[tpi], of=gt.dial_rule)
    claim("16 and 24 anywhere, 12 and 20 on a line", rule.anywhere == (tpi in ("16", "24")), of=gt.dial_rule)


@source("a lathe manual: with inch leadscrews the half-nuts stay closed for metric threads", place="threading, metric",
    basis="read")
def test_metric_on_an_inch_leadscrew_stays_closed():
    for pitch in ("1", "1.25", "1.5", "0.75", "2"):
        claim(f"{pitch} mm stays closed", gt.dial_rule(MM / 8, Fraction(pitch), 32, 8).closed, of=gt.dial_rule)
    agrees("127 mm make 5 inch", gt.dial_rule(MM / 8, Fraction(1)).period, 127.0, rel=1e-12, unit="mm", of=gt.dial_rule)


# ---- worked by hand ----------------------------------------------------------------------------------------


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_blade():
    """Width 2, height 12, overhang 20, 300 N, E = 210 000, ν = 0.3.

    I = 2 x 1728/12 = 288. Bending 300 x 8000/(3 x 210000 x 288) = 13.228 µm. Shear: κ = 10 x 1.3/15.3 = 0.84967,
    G = 80769, A = 24: 300 x 20/(0.84967 x 80769 x 24) = 3.6430 µm. Sideways I = 12 x 8/12 = 8, 36 times less: 476.2 µm.
    Slope of the end 300 x 400/(2 x 210000 x 288) = 9.9206e-4 rad, times 6: 5.9524 µm for 300 N, 1.98413e-5 mm/N.
    """
    blade = (300.0, 20.0, 2.0, 12.0, 210e3)
    agrees("second moment", gt.blade_second_moment(2.0, 12.0), 288.0, rel=1e-12, of=gt.blade_second_moment)
    agrees("bending", gt.blade_bending(*blade) * 1e3, 13.228, abs=5e-4, unit="µm", of=gt.blade_bending)
    agrees("shear", grooving.blade_shear(*blade, 0.3) * 1e3, 3.6430, abs=1e-3, unit="µm", of=grooving.blade_shear)
    agrees("drop", gt.blade_drop(*blade, 0.3) * 1e3, 16.871, abs=1e-3, unit="µm", of=gt.blade_drop)
    agrees("sideways", gt.blade_sideways(*blade) * 1e3, 476.2, abs=0.05, unit="µm", of=gt.blade_sideways)
    agrees("inward", grooving.blade_inward(20.0, 2.0, 12.0, 210e3), 1.98413e-5, rel=1e-5, unit="mm/N",
        of=grooving.blade_inward)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_force_and_grab():
    """k_c 3000, 2 mm wide, 0.04 mm feed: 240 N. Post: 60 x 50/3e7 = 1e-4 mm/N.

    m = 0.22: slope 0.78 x 3000 x 2 = 4680 N/mm; with 1e-4 mm/N the ratio is 0.468, the first chip 1/0.532 = 1.8797
    times the feed. Backlash of 0.1 on 0.04: 3.5 times the chip, 3.5^0.78 = e^(0.78 x 1.252763) = 2.6569 times the
    force.
    """
    agrees("force", gt.blade_force(3000.0, 2.0, 0.04), 240.0, rel=1e-12, unit="N", of=gt.blade_force)
    agrees("post", grooving.post_inward(60.0, 50.0, 3e7), 1e-4, rel=1e-12, unit="mm/N", of=grooving.post_inward)
    agrees("ratio", gt.grab_ratio(1e-4, 3000.0, 0.22, 2.0), 0.468, rel=1e-9, of=gt.grab_ratio)
    agrees("growth", gt.chip_growth(0.468), 1.8797, abs=1e-4, of=gt.chip_growth)
    agrees("backlash", gt.backlash_force(0.04, 0.1, 0.22), 2.6569, abs=2e-4, of=gt.backlash_force)
    agrees("pip", gt.pip(0.2), 0.4, rel=1e-12, unit="mm", of=gt.pip)
    found = gt.bite(2.0, 12.0, 20.0, 1.0, 120.0, 0.22, 210e3, 0.3, 1e-4 - 1.98413e-5)
    agrees("force of a feed of 1", found.force, 240.0, rel=1e-9, unit="N", of=gt.bite)
    agrees("all inward", found.inward, 1e-4, rel=1e-6, unit="mm/N", of=gt.bite)
    agrees("six times as high as wide", found.softer, 36.0, rel=1e-12, of=gt.bite)


@source("rule of thumb taught in the trade", place="overhang of a parting blade", basis="common practice")
def test_overhang_by_the_rule():
    agrees("eight widths", gt.longest_overhang(2.0), 16.0, rel=1e-12, unit="mm", of=gt.longest_overhang)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_face_groove():
    """Heel 10 below the edge, 8°: 20/sin 16° = 20/0.275637 = 72.559; turned round it is 8° again."""
    agrees("smallest", gt.smallest_face_groove(10.0, 8.0), 72.559, abs=1e-3, unit="mm", of=gt.smallest_face_groove)
    agrees("needed", gt.needed_clearance(10.0, 72.559), 8.0, abs=1e-3, unit="deg", of=gt.needed_clearance)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_taper():
    """20 to 16 over 40: 1:10, tan = 0.05, 2.86241°. 0.1° more: 2 x 40 x (tan 2.96241° − 0.05), tan = 0.0517498: 139.98
    µm.

    Between 200: 200 x 4/80 = 10; exact 200 x 0.0499376 = 9.98752. Set over 10: 2 x 40 x 10/√(200² − 10²) = 4.00501.
    A film of 2 µm rubbed over 20 mm: 1e-4 rad = 0.0057296°. Standing out 0.5 at 1:20: 25 µm.
    """
    agrees("half angle", gt.half_angle(20.0, 16.0, 40.0), 2.86241, abs=1e-5, unit="deg", of=gt.half_angle)
    agrees("ratio", gt.cone_ratio(20.0, 16.0, 40.0), 0.1, rel=1e-12, of=gt.cone_ratio)
    agrees("size error", gt.size_error(40.0, 2.86241, 0.1) * 1e3, 139.98, abs=0.05, unit="µm", of=gt.size_error)
    agrees("set-over", gt.set_over(200.0, 20.0, 16.0, 40.0), 10.0, rel=1e-12, unit="mm", of=gt.set_over)
    agrees("exact", gt.set_over_exact(200.0, 20.0, 16.0, 40.0), 9.98752, abs=1e-5, unit="mm", of=gt.set_over_exact)
    agrees("made", gt.taper_made(10.0, 200.0, 40.0), 4.00501, abs=1e-5, unit="mm", of=gt.taper_made)
    agrees("blue", gt.angle_from_blue(0.002, 20.0), 0.0057296, rel=1e-5, unit="deg", of=gt.angle_from_blue)
    agrees("stand-out", gt.off_for_stand_out(0.5, 0.05) * 1e3, 25.0, rel=1e-12, unit="µm", of=gt.off_for_stand_out)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_tip_off_centre():
    """14 to 18, tip 0.3 off: x at the small end √(49 − 0.09) = 6.9935684; 2 further 8.9935684; radius
    √(80.88427 + 0.09) = 8.9985706, Ø 17.9971: 2.859 µm lost.
    """
    agrees("lost", gt.taper_lost(18.0, 14.0, 0.3) * 1e3, 2.859, abs=2e-3, unit="µm", of=gt.taper_lost)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_inside_thread():
    """M24x1.5: bore 22.376, depth 0.974, gap 0.5: 22.376 − 0.974 − 1.5 = 19.902. Relief 5, 0.7 s: 60 x 5/(1.5 x 0.7) =
    285.71 rpm. 10 µm of lead: 10 x 1.73205 = 17.32 µm.
    """
    agrees("bar", gt.thickest_bar(22.376, 0.974, 0.5), 19.902, rel=1e-9, unit="mm", of=gt.thickest_bar)
    agrees("speed", gt.top_thread_speed(5.0, 1.5, 0.7), 285.71, abs=0.01, unit="1/min", of=gt.top_thread_speed)
    agrees("lead", gt.lead_cost(0.010) * 1e3, 17.3205, abs=1e-3, unit="µm", of=gt.lead_cost)


@source("thread gauging texts: virtual change of the pitch diameter of 60° threads (from memory)",
    place="1.732 times the lead error", basis="memory")
def test_lead_error_by_the_factor_of_the_books():
    agrees("factor", gt.lead_cost(1.0), 1.732, abs=1e-3, of=gt.lead_cost)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_thread_push():
    """Straight in, step 0.1 to a depth of 0.5, flat 0.2; k_c 1000, m 0; k_n 500, m 0: force is area, thrust width.

    Flanks: chip 0.1 sin 30° = 0.05, length (0.5 − 0.05)/cos 30° = 0.519615. Cutting: 1000 (2 x 0.05 x 0.519615 + 0.1 x
    0.2) = 71.9615. Thrust: 500 (2 x 0.05 x 0.519615 x 0.5 + 0.02) = 22.9904. Sideways nothing. Chip 0.1.
    At 20° the flanks' chips lie 2 x 0.1 tan 20° cos 30° = 0.0630412 apart: 500 x 0.0630412 x 0.519615 cos 30° = 14.1843
    sideways.
    """
    slanted = thread_push(0.1, 0.5, 0.2, 20.0, (1000.0, 0.0, 500.0, 0.0))
    agrees("side at 20°", slanted.side, 14.1843, abs=1e-3, unit="N", of=thread_push)
    found = thread_push(0.1, 0.5, 0.2, 0.0, (1000.0, 0.0, 500.0, 0.0))
    agrees("cutting, thrust, side, chip", list(found), [71.9615, 22.9904, 0.0, 0.1], abs=1e-4, of=thread_push)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_a_bar_that_gives():
    """k_n 500, m 0, flat 0.2, straight in, a groove of one pass.

    One pass of 0.1 from nothing with 0.001 mm/N: step s with s + 0.001 x 500 (2 x s/2 x (s/2)/cos 30° x 0.5 + 0.2 s) =
    0.1: s + 0.5 (0.288675 s² + 0.2 s) = 0.1: 0.1443376 s² + 1.1 s − 0.1 = 0: s = 0.0259374/0.2886752 = 0.0898498.
    """
    plan = infeed_schedule(1.0, 1, 0.2, 0.0, depth=0.1)
    found = gt.inside_passes(plan, 0.2, np.array([0.001]), 0, 0.0, (1000.0, 0.0, 500.0, 0.0))
    agrees("reached", found.reached[0], [0.0898498], abs=3e-7, unit="mm", of=gt.inside_passes)
    agrees("left", found.left[0], [0.0101502], abs=3e-7, unit="mm", of=gt.inside_passes)
    claim("two tapers' ends must differ", _refuses(lambda: tapers.checked(10.0, 10.0, 5.0)), of=tapers.checked)


def _refuses(call):
    from springpass.core.quantity import Refused

    try:
        call()
    except Refused:
        return True
    return False
