"""Geometry drawn point by point: lobed parts between contacts, a reamer's profile, ridges pressed flat, a thread's
flanks.
"""

import numpy as np
import pytest
from scipy import integrate, optimize

from outside import agrees, source
from springpass import reaming
from springpass.measuring import gauging
from springpass.reaming import hole as reamed_hole
from springpass.threads import single_point as thread_cutting

RADIUS, LOBE = 10.0, 0.004


def lobed(angle, lobes):
    return RADIUS + LOBE * np.cos(lobes * angle)


@pytest.mark.parametrize("lobes", [2, 3, 4, 5, 7, 9])
@source("a lobed part drawn point by point, contacts searched (scipy)", place="Ø20 with 4 µm lobes", basis="method")
def test_lobes_between_contacts(lobes):
    """Two points: the two radii added. Three points: the circle through three contacts at 120°, its middle free to
    move.
    """
    turns = np.linspace(0, 2 * np.pi, 72, endpoint=False)
    two = [lobed(turn, lobes) + lobed(turn + np.pi, lobes) for turn in turns]

    def three(turn):
        def miss(at):
            x, y, reach = at
            points = [
                (x + reach * np.cos(turn + k), y + reach * np.sin(turn + k)) for k in 2 * np.pi / 3 * np.arange(3)
            ]
            return [np.hypot(px, py) - lobed(np.arctan2(py, px), lobes) for px, py in points]

        return 2 * optimize.fsolve(miss, [0.0, 0.0, RADIUS], xtol=1e-13)[2]

    found = gauging.lobes_seen(2 * RADIUS, 2 * LOBE, lobes)
    agrees(
        "two points",
        gauging.two_point_reading(RADIUS, LOBE, lobes, np.degrees(turns)) - 2 * RADIUS,
        np.array(two) - 2 * RADIUS,
        abs=1e-9,
        unit="mm",
        of=gauging.two_point_reading,
    )
    agrees(
        "two points, least and most",
        np.array(found.two_point) - 2 * RADIUS,
        np.array([min(two), max(two)]) - 2 * RADIUS,
        abs=2e-5,
        unit="mm",
        of=gauging.lobes_seen,
    )
    around = [three(turn) for turn in turns]
    agrees(
        "three points",
        gauging.three_point_reading(RADIUS, LOBE, lobes, np.degrees(turns)) - 2 * RADIUS,
        np.array(around) - 2 * RADIUS,
        abs=5e-5,
        unit="mm",
        of=gauging.three_point_reading,
    )


@pytest.mark.parametrize(("lobes", "vee"), [(2, 90), (3, 90), (5, 90), (3, 60), (4, 120), (5, 108)])
@source("a lobed part laid into a vee, drawn point by point", place="lobes of 1 µm", basis="method")
def test_lobes_over_a_vee(lobes, vee):
    """The sides touch where the part reaches farthest square to them; the indicator reads the highest place in line."""
    lobe, angle = 1e-3, np.linspace(0, 2 * np.pi, 200_001)
    lean = np.radians(90 - vee / 2)   # of each side's normal from the downward line
    readings = []
    for turn in np.linspace(0, 2 * np.pi / lobes, 24, endpoint=False):
        radius = RADIUS + lobe * np.cos(lobes * (angle + turn))
        x, y = radius * np.cos(angle), radius * np.sin(angle)
        right, left = ((x * np.sin(s * lean) - y * np.cos(lean)).max() for s in (1, -1))
        # where the centre stands over the bottom of the vee: both sides touched
        height = (right + left) / (2 * np.cos(lean))
        sideways = (right - left) / (2 * np.sin(lean))
        over = np.interp(np.arcsin(sideways / RADIUS), np.pi / 2 - angle[:100_001][::-1], y[:100_001][::-1])
        readings.append(height + over)
    agrees("lobe heights shown", abs(gauging.vee_gain(lobes, vee)), np.ptp(readings) / (2 * lobe), rel=0.02, abs=0.02,
           of=gauging.vee_gain)


@source("table of lobe factors of a 90° vee block", place="2, 3, 5 and 7 lobes: 1, 2, 2 and 0", basis="memory")
def test_vee_of_90_degrees():
    agrees(
        "2, 3, 5, 7 lobes",
        [abs(gauging.vee_gain(n, 90)) for n in (2, 3, 5, 7)],
        [1, 2, 2, 0],
        abs=1e-9,
        of=gauging.vee_gain,
    )


@source("a gauge drawn askew: travel less its part along the line", place="100 mm at 2°", basis="hand")
def test_askew_gauge():
    """Ends of the travel as points; what is seen square to the surface is the projection."""
    start, end = np.zeros(2), 100.0 * np.array([np.sin(np.radians(2)), np.cos(np.radians(2))])
    agrees(
        "error",
        gauging.cosine_error(100.0, 2.0),
        np.linalg.norm(end - start) - (end - start) @ [0, 1],
        rel=1e-9,
        unit="mm",
        of=gauging.cosine_error,
    )


@source("a reamer's corner and lead drawn point by point", place="ten tools", basis="method")
def test_edge_of_a_reamer_drawn():
    dice = np.random.default_rng(8)
    for _ in range(10):
        stock, corner, lead = dice.uniform(0.02, 0.4), dice.uniform(0.02, 0.4), dice.uniform(10, 60)
        kappa = np.radians(lead)
        x = np.linspace(0, stock / np.tan(kappa) + 2 * corner, 400_001)
        height = (corner - np.sqrt(corner**2 - np.clip(x, 0, corner * np.sin(kappa)) ** 2)
                  + np.maximum(x - corner * np.sin(kappa), 0) * np.tan(kappa))
        cut = height < stock / 2
        slope = np.gradient(height, x)
        angle, edge = np.arctan(slope[cut].max()), np.trapezoid(np.sqrt(1 + slope**2) * cut, x)
        agrees(
            "entry angle",
            reaming.entry_angle(stock, corner, lead),
            np.degrees(angle),
            rel=1e-3,
            unit="deg",
            of=reaming.entry_angle,
        )
        agrees("edge in contact", reaming.edge_in_contact(stock, corner, lead, 0.1), 0.1 + edge, rel=1e-3, unit="mm",
               of=reaming.edge_in_contact)
        step = 1e-3   # a feed a tooth that is small beside the corner: the chip square to the edge
        ahead = np.minimum(np.interp(x + step, x, height), stock / 2)
        chip = ((ahead - height) / np.sqrt(1 + slope**2))[cut & (x < x[-1] - step)].max()
        agrees(
            "tooth's chip",
            reaming.tooth_chip(6 * step, 6, stock, corner, lead),
            chip,
            rel=0.02,
            unit="mm",
            of=reaming.tooth_chip,
        )


@source("triangular ridges pressed flat, metal kept (scipy)", place="ridges of 10 µm", basis="method")
def test_ridges_pressed_into_their_grooves():
    """Cut the crest off at half the stock; find the level to which its metal fills the groove; what is left between."""
    marks, stock = 0.010, 0.004

    def width(level):   # of a ridge at a height above the groove's bottom, for a pitch of 1
        return 1 - level / marks

    crest = integrate.quad(width, marks - stock / 2, marks)[0]
    level = optimize.brentq(lambda z: integrate.quad(lambda y: 1 - width(y), 0, z)[0] - crest, 0, marks)
    agrees("marks left", reamed_hole.marks_after_pressing(marks, stock), marks - stock / 2 - level, rel=1e-6, unit="mm",
           of=reamed_hole.marks_after_pressing)


@pytest.mark.parametrize("angle", [0.0, 15.0, 29.5])
@source("both flanks drawn before and after a pass", place="step of 0.1", basis="hand")
def test_flanks_drawn(angle):
    half = np.radians(30)
    moved = 0.1 * np.array([np.tan(np.radians(angle)), 1.0])   # sideways and inwards
    normals = np.array([[np.cos(half), np.sin(half)], [-np.cos(half), np.sin(half)]])
    away = normals @ moved
    agrees(
        "leading flank",
        thread_cutting.leading_chip(0.1, angle),
        away[0],
        rel=1e-9,
        unit="mm",
        of=thread_cutting.leading_chip,
    )
    agrees(
        "trailing flank",
        thread_cutting.trailing_chip(0.1, angle),
        away[1],
        rel=1e-9,
        unit="mm",
        of=thread_cutting.trailing_chip,
    )


@source("wires laid into a drawn groove (scipy)", place="pitch 1 to 2.5", basis="method")
@pytest.mark.parametrize("name, pitch, major", [("M6", 1.0, 6.0), ("M10", 1.5, 10.0), ("M20", 2.5, 20.0)])
def test_thinnest_and_thickest_wire(name, pitch, major):
    """A wire in a 60° groove with crests P/8 wide: the thinnest is flush with the crest, the thickest touches at its
    edges.
    """
    opening = 7 / 8 * pitch / 2     # half the groove at the crest
    apex = opening / np.tan(np.radians(30))

    def top_over_crest(wire):
        return wire / 2 / np.sin(np.radians(30)) + wire / 2 - apex

    def contact_over_crest(wire):
        middle = wire / 2 / np.sin(np.radians(30))
        return middle - wire / 2 * np.sin(np.radians(30)) - apex

    low, high = (optimize.brentq(f, 1e-3, 5 * pitch) for f in (top_over_crest, contact_over_crest))
    agrees(
        "thinnest and thickest",
        thread_cutting.wire_span(name),
        (low, high),
        rel=5e-3,
        unit="mm",
        of=thread_cutting.wire_span,
    )
