"""The lathe drawn point by point in space: a spindle that points aside, a bed that is twisted, a bar between centres, a
tip above the axis, a bar in a bore. Basis: computed.
"""

import numpy as np
import pytest
from scipy import optimize

from outside import agrees, source
from springpass import the_lathe as lathe
from springpass.boring_bar import bending as bar_bending

DRAWN = source("points and lines in space, distances by vectors", place="in the test", basis="method")


def from_axis(points, start, end):
    """Distance of points from the line through start and end."""
    way = (end - start) / np.linalg.norm(end - start)
    return np.linalg.norm(np.cross(points - start, way), axis=1)


@DRAWN
def test_a_spindle_that_points_away_from_the_tool():
    """z along the carriage's path, x towards the turner. The axis leaves the path by 60 µm a metre, away from him."""
    phi, radius = 60e-6, 20.0
    axis = np.array([0.0, 0, 0]), np.array([-np.sin(phi), 0, np.cos(phi)]) * 300
    tip = np.array([[radius, 0, z] for z in (20.0, 100.0, 300.0)])
    near, far, end = 2 * from_axis(tip, *axis)
    found = lathe.two_collars([near, near], [far, far], 80.0)
    agrees("angle", lathe.lathe_angle(found.taper.value), phi, rel=1e-5, of=lathe.lathe_angle)
    agrees("taper", found.taper.value, 2 * phi, rel=1e-5, of=lathe.collar_taper)
    agrees("a part of 200 mm", lathe.end_difference(found.taper.value, 200.0), end - far, rel=1e-4, unit="mm",
           of=lathe.end_difference)
    # the front bolt, 250 mm in front of the back one, is swung by so much towards the turner
    swung = lathe.headstock_move(found.taper.value, 250.0) / 250
    turned = axis[1] + np.array([300 * swung, 0, 0])
    cured = 2 * from_axis(tip, axis[0], turned)
    agrees("cured", cured[1] - cured[0], 0.0, abs=1e-7, unit="mm")
    agrees("swing", lathe.headstock_move(found.taper.value, 250.0), 250 * np.tan(phi), rel=1e-5, unit="mm",
           of=lathe.headstock_move)


@DRAWN
def test_a_foot_that_is_raised_twists_the_bed():
    """The bed turns about its own length, evenly from the headstock's feet to the tailstock's; the tip goes with it.

    Front foot up (y), so the tip, 250 mm above the feet, leans to the back: away from the turner, towards the axis.
    """
    taper, feet, across, high = 1.2e-4, 600.0, 150.0, 250.0
    lift = float(lathe.foot_lift(taper, feet, across, high))
    twist = np.arctan2(lift, across)        # at the tailstock's feet
    tip = []
    for z in (100.0, 400.0):
        turn = twist * z / feet
        x, y = 20.0, high
        tip.append([x * np.cos(turn) - y * np.sin(turn), x * np.sin(turn) + y * np.cos(turn), z])
    axis = np.array([0.0, high, 0]), np.array([-taper / 2 * 300, high, 300.0])
    near, far = 2 * from_axis(np.array(tip), *axis)
    agrees("taper left", far - near, 0.0, abs=2e-6, unit="mm")
    straight = 2 * from_axis(np.array([[20.0, high, 100.0], [20.0, high, 400.0]]), *axis)
    agrees("lift", lift, across * np.tan((straight[1] - straight[0]) / 600 * feet / high), rel=1e-5, unit="mm",
           of=lathe.foot_lift)


@pytest.mark.parametrize("side, up", [(0.05, 0.0), (0.0, 0.2), (-0.1, -0.15)])
@DRAWN
def test_work_between_centres(side, up):
    axis = np.array([0.0, 0, 0]), np.array([side, up, 150.0])
    z = np.linspace(0, 150, 7)
    tip = np.column_stack([np.full(7, 10.0), np.zeros(7), z])
    drawn = 2 * from_axis(tip, *axis) - 20
    found = lathe.off_centre(side, up, 150.0, 20.0, z)
    # to a hundredth of a micrometre
    agrees("along the work", found.error, drawn, abs=1e-5, unit="mm", of=lathe.off_centre)
    if up == 0:
        agrees("taper", lathe.offset_taper(side, 150.0), drawn[-1] / 150, rel=1e-4, of=lathe.offset_taper)
    if side == 0:
        agrees("height", lathe.height_growth(up, 20.0), drawn[-1], rel=1e-3, unit="mm", of=lathe.height_growth)


@pytest.mark.parametrize("height", [-1.5, 0.4, 2.0])
@DRAWN
def test_a_tip_off_centre(height):
    """The tip moves straight across at its height; radii, and the cut's own tangent, come from its place alone."""
    diameter, step = 12.0, 0.3
    x = np.sqrt(36 - height**2)
    for where, sign in (("outside", -1), ("in a bore", 1)):
        after = np.hypot(x + sign * step / 2, height)
        found = lathe.tip_height(where, diameter, height, step, 5.0, 7.0)
        agrees("got", found.got, 2 * after - 12, rel=1e-9, unit="mm", of=lathe.tip_height)
        agrees("step", lathe.step_got(diameter, height, sign * step), 2 * after - 12, rel=1e-9, unit="mm",
               of=lathe.step_got)
        # faces as drawn: the top falls away from the tip, the flank hangs below it; the work turns towards the top
        out = np.array([x, height]) / 6 * -sign            # away from the metal
        speed = np.array([height, -x]) / 6                 # the metal comes down on to the tip
        top = np.array([-sign * np.cos(np.radians(5)), -np.sin(np.radians(5))])
        flank = np.array([-sign * np.sin(np.radians(7)), -np.cos(np.radians(7))])
        rake = np.degrees(np.arcsin(top @ speed))
        clearance = np.degrees(np.arcsin(flank @ out))
        agrees("rake, clearance", (found.rake, found.clearance), (rake, clearance), abs=1e-9, unit="°",
               of=lathe.tip_height)
    agrees("set from the axis", found.larger, 2 * np.hypot(6, height) - 12, rel=1e-9, unit="mm",
           of=bar_bending.growth_off_centre)


@pytest.mark.parametrize("height, gap", [(0.0, 0.3), (0.5, 0.3), (-0.4, 0.1)])
@DRAWN
def test_the_smallest_bore_of_a_round_bar(height, gap):
    """Tip on the wall, bar's middle behind it: the gap is the radius less the middle's distance less half the bar."""
    size, offset = 6.0, 3.9

    def left(radius):
        return radius - np.hypot(np.sqrt(radius**2 - height**2) - offset, height) - size / 2 - gap

    smallest = 2 * optimize.brentq(left, 3.5, 30)
    points = lathe.outline(lathe.ROUND, size, offset)
    agrees("smallest bore", lathe.smallest_bore_for(points, height, gap), smallest, rel=2e-3, unit="mm",
           of=lathe.smallest_bore_for)
    agrees("outline", np.hypot(points[:, 0] - offset, points[:, 1]), np.full(len(points), 3.0), rel=1e-9, unit="mm",
           of=lathe.outline)
    found = lathe.in_bore(10.0, points, height, 7.0, 1.0, gap)
    drawn = 5 - np.hypot(np.sqrt(25 - height**2) - offset, height) - 3
    agrees("least gap", found.least, drawn, abs=0.01, unit="mm", of=lathe.in_bore)
    agrees("smallest of the room", found.smallest, smallest, rel=2e-3, unit="mm", of=lathe.in_bore)


@pytest.mark.parametrize("height", [-0.3, 0.0, 0.6])
@DRAWN
def test_the_heel_of_a_flat_flank(height):
    """From the tip the flank runs down, leaning back by its clearance, until it meets the wall again."""
    radius, alpha = 4.0, np.radians(7)
    tip = np.array([np.sqrt(radius**2 - height**2), height])
    way = np.array([-np.sin(alpha), -np.cos(alpha)])
    along = optimize.brentq(lambda s: np.hypot(*(tip + s * way)) - radius, 0.05, 2 * radius)
    found = lathe.in_bore(8.0, lathe.outline(lathe.ROUND, 4.0, 2.6), height, 7.0, 0.9)
    agrees("chord", found.heel, along, rel=1e-9, unit="mm", of=lathe.in_bore)


@source("a circle through the tip and a point, its middle searched (scipy)", place="in the test", basis="method")
def test_the_bore_for_a_point():
    for behind, above in ((8.0, -4.0), (5.0, 3.0)):
        radius = optimize.brentq(lambda r, b=behind, a=above: np.hypot(r - b, a) - r, 0.5, 100)
        agrees("bore", lathe.bore_for_point(behind, above), 2 * radius, rel=1e-9, unit="mm", of=lathe.bore_for_point)
