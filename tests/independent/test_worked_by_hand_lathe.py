"""The lathe itself, worked with pencil and paper. Basis: computed."""

import numpy as np

from outside import agrees, claim, source
from springpass import the_lathe as lathe
from springpass.the_lathe import small_moves
from springpass.the_lathe.collars import Found, pooled


def by_hand(place=""):
    return source("worked by hand", place=place or "in the docstring", basis="hand")


@by_hand()
def test_two_collars():
    """40.012 − 40.000 − 0.002 over 100: 0.0001. Half of it is the angle, 50 µm/m. 300 mm: 0.03 mm.

    Headstock bolts 250 apart: 0.00005·250 = 0.0125. Feet 150 apart, tip 250 above: 0.0125·150/250 = 0.0075.
    """
    agrees("taper", lathe.collar_taper(40.0, 40.012, 0.002, 100.0), 1e-4, rel=1e-9, of=lathe.collar_taper)
    agrees("angle", lathe.lathe_angle(1e-4), 5e-5, rel=1e-12, of=lathe.lathe_angle)
    agrees("end", lathe.end_difference(1e-4, 300.0), 0.03, rel=1e-12, unit="mm", of=lathe.end_difference)
    agrees("swing", lathe.headstock_move(1e-4, 250.0), 0.0125, rel=1e-12, unit="mm", of=lathe.headstock_move)
    agrees("foot", lathe.foot_lift(1e-4, 250.0, 150.0, 250.0), 0.0075, rel=1e-12, unit="mm", of=lathe.foot_lift)


@by_hand()
def test_readings_of_two_collars():
    """Deviations −1, 0, +1 and −1, 0, +1 µm: s² = 4/4, s = 1 µm, four degrees of freedom.

    Means 40.001 and 40.011: 0.010/80 = 0.000125. u = 1 µm·√(1/3 + 1/3)/80 = 0.8165/80 µm. With 0.8165 µm of bending
    beside it √2 times as much, and 4·2² = 16 degrees of freedom.
    """
    near, far = [40.000, 40.001, 40.002], [40.010, 40.011, 40.012]
    agrees("scatter", pooled([np.array(near), np.array(far)], 0.001)[:2], (0.001, 4.0), rel=1e-9, of=pooled)
    found = lathe.two_collars(near, far, 80.0)
    agrees("taper, u", (found.taper.value, found.taper.uncertainty), (0.000125, 0.00081650 / 80), rel=1e-5,
           of=lathe.two_collars)
    both = lathe.two_collars(near, far, 80.0, 0.0, 0.00081650)
    agrees("u, degrees of freedom", (both.taper.uncertainty, both.taper.dof), (0.00081650 * 2**0.5 / 80, 16.0),
           rel=1e-4, of=lathe.two_collars)
    alike = lathe.two_collars([40.0, 40.0], [40.0, 40.0], 80.0)
    agrees("alike: step/√12", alike.taper.uncertainty, 0.001 / 12**0.5 / 80, rel=1e-9, of=lathe.two_collars)


@by_hand()
def test_reach_of_a_value():
    """u = 1, 10 degrees of freedom: t is 1.812 for nine in ten, 2.228 for nineteen in twenty."""
    one = Found(5.0, 1.0, 10.0)
    agrees("reach", (one.reach(), one.reach(0.95), one.low, one.high), (1.812, 2.228, 3.188, 6.812), abs=5e-4)


@by_hand()
def test_half_turn():
    """+6 and −2: the axis at +2, the bar runs out by 8. Near +2, far −4, 120 apart: 2·6/120 = 0.1 µm/mm."""
    agrees("axis", lathe.axis_reading(0.006, -0.002), 0.002, rel=1e-12, unit="mm", of=lathe.axis_reading)
    agrees("run-out", lathe.bar_runout(0.006, -0.002), 0.008, rel=1e-12, unit="mm", of=lathe.bar_runout)
    agrees("taper", lathe.bar_taper(0.002, -0.004, 120.0), 1e-4, rel=1e-12, of=lathe.bar_taper)
    found = lathe.bar_in_spindle([0.006], [-0.002], [0.001], [-0.009], 120.0)
    agrees("test bar", (found.near, found.far, found.runout_far, found.taper.value), (0.002, -0.004, 0.010, 1e-4),
           rel=1e-9, of=lathe.bar_in_spindle)
    agrees("its u", found.taper.uncertainty, 0.001 / 12**0.5 * 2 / 120, rel=1e-9, of=lathe.bar_in_spindle)


@by_hand()
def test_run_out_of_the_nose():
    """cos at 0, 60, … 300°: 1, ½, −½, −1, −½, ½; 4 µm high the indicator travels 8, less next to nothing."""
    found = lathe.nose_runout(0.004 * np.cos(np.radians(60 * np.arange(6))), 1e-5)
    agrees("run-out", found.runout.value, 0.008, rel=1e-5, unit="mm", of=lathe.nose_runout)
    turned = lathe.nose_runout(np.array([0.0, 3.0, 3.0, 0.0, -3.0, -3.0]) / 1e3, 1e-5)
    agrees("high spot", turned.high_spot, 90.0, rel=1e-9, unit="°", of=lathe.nose_runout)


@by_hand()
def test_tailstock():
    """0.05 sideways over 150: −0.1 on diameter. 0.1 high on Ø20: 4·0.01/(20 + √400.04) = 0.04/40.001 = 0.00099998."""
    agrees("taper", lathe.offset_taper(0.05, 150.0), -0.1 / 150, rel=1e-12, of=lathe.offset_taper)
    agrees("height", lathe.height_growth(0.1, 20.0), 0.0009999750, rel=1e-7, unit="mm", of=lathe.height_growth)
    back = lathe.offset_from_taper(Found(-0.1 / 150, 1e-5, 9.0), 150.0).offset
    agrees("offset, u", (back.value, back.uncertainty), (0.05, 0.00075), rel=1e-9, unit="mm",
           of=lathe.offset_from_taper)


@by_hand()
def test_tip_off_centre():
    """A 3, 4, 5 triangle: Ø10 with the tip 3 above centre stands at 4. Dialled 2 on diameter: √(5² + 3²) = √34.

    2·√34 − 10 = 1.66190. asin(3/5) = 36.870°: rake 5 + 36.870, clearance 7 − 36.870; in a bore the other way.
    """
    agrees("step", lathe.step_got(10.0, 3.0, 2.0), 1.66190379, rel=1e-8, unit="mm", of=lathe.step_got)
    agrees("rake", lathe.rake_outside(5.0, 3.0, 10.0), 41.86990, rel=1e-6, unit="°", of=lathe.rake_outside)
    agrees("clearance", lathe.clearance_outside(7.0, 3.0, 10.0), -29.86990, rel=1e-6, unit="°",
           of=lathe.clearance_outside)
    agrees("rake in a bore", lathe.rake_in_bore(5.0, 3.0, 10.0), -31.86990, rel=1e-6, unit="°", of=lathe.rake_in_bore)
    found = lathe.tip_height("outside", 10.0, 3.0, 2.0, 5.0, 7.0)
    agrees("outside, got", found.got, 2 * 18**0.5 - 10, rel=1e-9, unit="mm", of=lathe.tip_height)
    agrees("outside, angles", (found.rake, found.clearance), (41.86990, -29.86990), rel=1e-6, of=lathe.tip_height)
    claim("it rubs", found.rubs and not lathe.tip_height("in a bore", 10.0, 3.0, 2.0, 5.0, 7.0).rubs)


@by_hand()
def test_a_point_of_the_bar():
    """8 behind and 4 below the tip: 80/8 = Ø10, a circle through (5, 0) and (−3, −4)."""
    agrees("bore", lathe.bore_for_point(8.0, -4.0), 10.0, rel=1e-12, unit="mm", of=lathe.bore_for_point)
    points = lathe.outline(lathe.OWN, 1.0, 1.0, [(8, -4), (4, 2), (4, -2)])
    agrees("bore of a shape", lathe.smallest_bore_for(points), 10.0, rel=1e-9, unit="mm", of=lathe.smallest_bore_for)
    agrees("outline", lathe.outline(lathe.SQUARE, 4.0, 3.0), [[1, 2], [5, 2], [5, -2], [1, -2]], of=lathe.outline)
    found = lathe.in_bore(12.0, points, 0.0, 7.0, 1.0)   # (−2, −4): √20 from the axis, and (2, ±2): √8
    agrees("least gap, heel", (found.least, found.heel), (6 - 20**0.5, 1.46243212), rel=1e-8, of=lathe.in_bore)


@by_hand()
def test_a_slide_that_sticks():
    """2·(0.2 − 0.15)·200/15000 = 0.0013333. Half a line of 0.01 at 30° moves 0.005; sin 5.739° = 0.1."""
    agrees("jump", lathe.slip_step(0.2, 0.15, 200.0, 15e3), 20 / 15e3, rel=1e-9, unit="mm", of=lathe.slip_step)
    agrees("set over", lathe.set_over_step(0.01, 30.0), 0.005, rel=1e-9, unit="mm", of=lathe.set_over_step)
    agrees("set over 5.7°", lathe.set_over_step(0.01, 5.739170), 0.001, rel=1e-6, unit="mm", of=lathe.set_over_step)
    agrees("angle", lathe.set_over_angle(0.1), 5.739170, rel=1e-6, unit="°", of=lathe.set_over_angle)
    off = small_moves.angle_error(0.002, 30.0, 0.25)   # 0.004·(sin 30.25° − 0.5) = 0.004·0.0037740
    agrees("angle a quarter degree out", off, 1.50961e-5, rel=1e-4, unit="mm", of=small_moves.angle_error)
    stairs = lathe.winding(0.002, 0.004, 0.001)
    agrees("wound", stairs.wound, [0, 0.002, 0.002, 0.004], abs=1e-12, of=lathe.winding)
    agrees("moved", stairs.moved, [0, 0, 0.002, 0.002], abs=1e-12, of=lathe.winding)


@by_hand()
def test_the_chain_of_a_small_move():
    """A line of 0.01: ± 0.2 lines read, ± 2 µm; screw ± 2; the slide ± 0.667; the rest ± 0.5; over 5.74° a tenth."""
    links = {link.name: link.plus_minus for link in lathe.move(lathe.DIAL, 0.01).links}
    agrees("by the dial", sorted(links.values()), [0.0005, 0.01 / 15, 0.002, 0.002], rel=1e-9, unit="mm",
           of=lathe.move)
    over = lathe.move(lathe.COMPOUND, 0.01, 5.739170)
    agrees("set over", sorted(link.plus_minus for link in over.links),
           sorted([0.002 * np.radians(0.25) / np.tan(np.radians(5.739170)), 0.00005, 0.01 / 150, 0.0002, 0.0002]),
           rel=1e-6, unit="mm", of=lathe.move)
    claim("wound back and forth the backlash rules", lathe.move(lathe.BOTH, 0.01).rules.name == "backlash")
    claim("the indicator leaves the slide", lathe.move(lathe.INDICATOR, 0.01).rules.name == "slide sticks")


@by_hand()
def test_warming():
    """14 µm in all, 25 minutes: after 25 minutes 14·(1 − 1/e) = 8.8497 µm.

    Ten minutes' work may see 1 µm: 25·ln(14·(1 − e^−0.4)/1) = 25·ln 4.615519 = 38.2356 minutes.
    """
    agrees("drift", lathe.drift_after(0.014, 1500.0, 1500.0), 0.0088496878, rel=1e-7, unit="mm", of=lathe.drift_after)
    agrees("calm", lathe.calm_after(0.014, 1500.0, 600.0, 0.001) / 60, 38.23560, rel=1e-5, unit="min",
           of=lathe.calm_after)
