"""Equations put up afresh and solved by a root finder or a search (scipy)."""

import numpy as np
import pytest
from scipy import optimize
from scipy.integrate import quad
from scipy.optimize import brentq, fsolve

from exact_forces import exact_forces
from outside import agrees, claim, source
from springpass import bore_stress, boring_bar, cutting, heat, threads
from springpass.boring_bar.vibration import (
    chatter_depth,
    cut_slopes,
    limit_with_overlap,
)
from springpass.cutting import surface_finish
from springpass.heat import cooling_down as cooling
from springpass.threads import single_point as thread_cutting
from springpass.workholding import bending as wb

R, SZ, TH, E, NU = 10.0, 300.0, 200.0, 205e3, 0.29


def start(r, m, n):
    """The bar's own stress, written out afresh: radial, hoop, axial."""
    rho = r / R
    return (-TH / n * (1 - rho**n), -TH / n * (1 - (n + 1) * rho**n),
            SZ * (2 / m) * ((m + 2) / 2 * rho**m - 1))


def model(cuts, m=2.0, n=2.0):
    return bore_stress.cut_sequence(R, SZ, TH, m, n, cuts, E, NU)


def release_step(a, b, radial, axial):
    """A cut made from the stress that is there: even, wall and axial parts from scratch (solve, do not look up)."""
    even, wall = fsolve(lambda c: [c[0] - c[1] / a**2 + radial(a), c[0] - c[1] / b**2 + radial(b)], [0.0, 0.0])
    force = quad(lambda r: axial(r) * r, a, b)[0]
    return even, wall, -2 * force / (b**2 - a**2)


@pytest.mark.parametrize("order", [
    [("bore", 2.0), ("turn", 9.4), ("bore", 5.0), ("turn", 9.0)],
    [("bore", 5.0), ("turn", 9.0)],
    [("bore", 1.0), ("turn", 9.0), ("bore", 5.0)],
])
@source("cut by cut, each solved from the stress left (scipy)", basis="method")
def test_cut_by_cut_from_the_stress_left_gives_the_same(order):
    m, n = 3.0, 2.0
    sums = np.zeros(3)
    a, b, shifts = 0.0, R, []

    def shift(r, c):
        return r / E * ((1 - NU) * c[0] + (1 + NU) * c[1] / r**2 - NU * c[2])

    for side, at in order:
        a, b = (at, b) if side == "bore" else (a, at)
        c = sums.copy()
        sums = sums + release_step(a, b, lambda r, c=c: start(r, m, n)[0] + c[0] - c[1] / r**2,
                                   lambda r, c=c: start(r, m, n)[2] + c[2])
        shifts.append(sums.copy())
    result = model(order, m, n)
    for i, (_, at) in enumerate(order):
        if np.isfinite(result.error[i]):
            agrees("error", result.error[i], 2 * (shift(at, sums) - shift(at, shifts[i])), abs=1e-10,
                   of=bore_stress.cut_sequence)
    agrees(
        "length change", result.length_change, (sums[2] - 2 * NU * sums[0]) / E, rel=1e-7, of=bore_stress.cut_sequence
    )
    for r in (5.0, 6.5, 8.0, 9.0):
        axial, hoop, radial = bore_stress.stress_after(R, SZ, TH, m, n, 5.0, 9.0, r)
        was = start(r, m, n)
        agrees("radial", radial, was[0] + sums[0] - sums[1] / r**2, abs=1e-6, of=bore_stress.stress_after)
        agrees("hoop", hoop, was[1] + sums[0] + sums[1] / r**2, abs=1e-6, of=bore_stress.stress_after)
        agrees("axial", axial, was[2] + sums[2], abs=1e-6, of=bore_stress.stress_after)


@pytest.mark.parametrize("compliance", [1e-4, 7.8e-4, 3e-3])
@source("Brent's method on the integrated thrust (scipy)", basis="method")
def test_spring_passes_against_a_root_finder(compliance):
    """Each pass solved by Brent's method on the exactly integrated thrust."""
    left, wanted = 0.1, []
    for _ in range(2):
        depth = optimize.brentq(
            lambda a, left=left: a + compliance * exact_forces(a, 0.05, 0.4, 1500, 0.22, 600, 0.4)[1] - left, 1e-3, left
        )
        left -= depth
        wanted.append(left)
    got = boring_bar.spring_passes(0.1, 0.05, 0.4, compliance, (1500, 0.22, 600, 0.4), 2)
    agrees("left", got.left, wanted, rel=2e-3, of=boring_bar.spring_passes)


@source("difference of two runs a micrometre apart", basis="method")
def test_what_is_copied_of_an_uneven_stock_against_two_runs():
    """The share of an unevenness that is left, against the difference of two runs a micrometre apart."""
    one, two = (boring_bar.spring_passes(a, 0.05, 0.4, 1.5e-3, (1500, 0.22, 600, 0.4), 2) for a in (0.1, 0.101))
    agrees("copied", one.copied, (two.left - one.left) / 0.001, rel=0.02, of=boring_bar.spring_passes)


@source("Brent's method on the cutting stiffness (scipy)", basis="method")
def test_chatter_depth_is_where_the_curves_cross():
    """The depth read off the table against a root found on the cutting stiffness itself."""
    k, zeta = 3000.0, 0.03
    depth = chatter_depth(0.05, 0.4, k, zeta, 600, 0.4)

    def excess(log_depth):
        one = cutting.cutting_stiffness(np.exp(log_depth), 0.05, 0.4, 90, 600, 0.4)
        return one.whole - limit_with_overlap(k, zeta, one.overlap)

    agrees("depth", depth, np.exp(optimize.brentq(excess, np.log(1e-3), np.log(1.0))), rel=5e-3, of=chatter_depth)
    claim("cut slopes, depth", cut_slopes(0.05, 0.4, 600, 0.4).depth[0] < depth, of=cut_slopes)


@pytest.mark.parametrize(
    ("feed", "nose", "least"), [(0.03, 0.4, 0.002), (0.05, 0.8, 0.002), (0.08, 0.4, 0.005), (0.1, 0.2, 0.004)]
)
@source("two exact arcs, Brent's method (scipy)", basis="method")
def test_rubbing_from_two_exact_arcs(feed, nose, least):
    """Where the chip thins to the minimum chip thickness, the last turn's groove is left standing: its height there."""

    def thickness(phi):  # from the tool's arc straight towards its centre, to the groove one feed back
        def inside(depth):
            px, py = (nose - depth) * np.sin(phi), nose - (nose - depth) * np.cos(phi)
            return np.hypot(px + feed, py - nose) - nose

        return brentq(inside, 0, nose * 0.999) if inside(0) > 0 else 0.0

    low, high = -np.arcsin(feed / (2 * nose)), 0.9
    phi = brentq(lambda p: thickness(p) - least, low, high)
    depth = thickness(phi)
    left_standing = nose - (nose - depth) * np.cos(phi)
    agrees(
        "feed mark with rubbing",
        cutting.feed_mark_with_rubbing(feed, nose, least),
        left_standing,
        rel=0.035,
        unit="mm",
        of=cutting.feed_mark_with_rubbing,
    )


@pytest.mark.parametrize(
    ("least", "feed", "nose"), [(0.003, 0.05, 0.4), (0.004, 0.02, 0.4), (0.01, 0.05, 0.8), (0.002, 0.02, 0.2)]
)
@source("Brent's method on the exact chip (scipy)", basis="method")
def test_lightest_cut_by_search(least, feed, nose):
    found = brentq(lambda a: cutting.nose_chip(a, feed, nose).thickest - least, 1e-5, nose * 0.99)
    agrees(
        "lightest depth",
        surface_finish.lightest_depth(least, feed, nose),
        found,
        rel=5e-3,
        unit="mm",
        of=surface_finish.lightest_depth,
    )
    agrees("thickest on nose", surface_finish.thickest_on_nose(found, feed, nose), least, rel=5e-3, unit="mm",
           of=surface_finish.thickest_on_nose)


@source("the roots put back into their equation", basis="method")
def test_rod_roots_solve_their_equation():
    """With both ends: (μ² − B1 B2) sin μ = μ (B1 + B2) cos μ, one root in each turn of π."""
    for joint in 10.0 ** np.linspace(-4, 4, 17):
        for end in (0.0, 1e-3, 0.3, 2.0, 50.0):
            mu = heat.rod_roots(np.array(joint), np.array(end))
            miss = (mu**2 - joint * end) * np.sin(mu) - mu * (joint + end) * np.cos(mu)
            claim("each root solves the equation and there is one in each turn",
                  (np.abs(miss / (mu**2 + joint * end + mu * (joint + end))) < 1e-8).all()
                  and (np.floor(mu / np.pi) == np.arange(cooling.MODES)).all(), of=heat.rod_roots)


def wire_height(d2, pitch, wire, lead, half_angle=30.0):
    """Distance of a straight wire's middle from the thread's axis when it rests in the groove of a helical thread.

    Brute force: the wire is a cylinder laid across the groove, free to turn; both flanks are helicoids. For a tilt
    of the wire, the height at which its surface just touches a flank is found by minimising the clearance over the
    flank; the wire settles at the tilt that lets it lowest.
    """
    slope, tan = lead / (2 * np.pi), np.tan(np.radians(half_angle))

    def deepest(height, tilt, side):
        # axis of the wire: through (height, 0, 0), direction (0, cos tilt, sin tilt)
        direction = np.array([0.0, np.cos(tilt), np.sin(tilt)])

        def clearance(at):
            r, angle = at
            point = np.array([r * np.cos(angle), r * np.sin(angle),
                              slope * angle + side * (pitch / 4 + (r - d2 / 2) * tan)])
            away = point - np.array([height, 0.0, 0.0])
            return np.linalg.norm(away - direction * (away @ direction))

        start = (height - wire / 2 * np.sin(np.radians(half_angle)), 0.0)
        found = optimize.minimize(clearance, start, method="Nelder-Mead",
                                  options={"xatol": 1e-10, "fatol": 1e-13, "maxiter": 4000})
        return found.fun

    def rest(tilt):
        guess = d2 / 2 + wire / (2 * np.sin(np.radians(half_angle))) - pitch / (4 * tan)
        return optimize.brentq(lambda h: min(deepest(h, tilt, 1), deepest(h, tilt, -1)) - wire / 2,
                               guess - 0.02 * pitch, guess + 0.05 * pitch, xtol=1e-10)

    lean = np.arctan(lead / (np.pi * d2))
    best = optimize.minimize_scalar(rest, bounds=(0.7 * lean, 1.3 * lean), method="bounded", options={"xatol": 1e-6})
    return best.fun


@pytest.mark.parametrize(
    "name, starts", [("M18x1", 1), ("M3x0.5", 1), ("M1.6x0.35", 1), ("M10x1.5", 1), ("M10x1.5", 2)]
)
@source("the wire's contact with the helicoid searched (scipy)", basis="method")
def test_reading_over_wires_with_its_lead_angle(name, starts):
    """The printed correction is the first term of a series: with best wires it is high by the share W/(2 d2) of itself.

    That is 0.35 µm for a two-start M10 and under a tenth of a micron for every ordinary thread here.
    """
    t = threads.read(name)
    d2, wire, lead = threads.basic(name).pitch, float(thread_cutting.best_wire(t.pitch)), starts * t.pitch
    lift = 2 * wire_height(d2, t.pitch, wire, lead) + wire - float(thread_cutting.over_wires(d2, t.pitch, wire))
    first = thread_cutting.wire_reading(name, lead=lead) - float(thread_cutting.over_wires(d2, t.pitch, wire))
    reading = 2 * wire_height(d2, t.pitch, wire, lead) + wire
    agrees(
        "pitch diameter from the reading",
        thread_cutting.pitch_from_reading(name, reading, lead=lead),
        d2,
        abs=0.0004,
        unit="mm",
        of=thread_cutting.pitch_from_reading,
    )
    agrees("lift", lift, first * (1 - wire / (2 * d2)), rel=0.01, of=thread_cutting.over_wires)
    claim("lift", lift > 1e-4, of=thread_cutting.over_wires)  # the correction is real, not noise
    claim("first", first - lift < (0.0004 if starts == 2 else 0.0001),
          of=(thread_cutting.wire_reading, thread_cutting.over_wires))


@source("Brent's method on the drawn profile (scipy)", basis="method")
def test_depth_for_a_tip_by_measuring_the_profile():
    """Cut a groove with a flat tip, draw it, and find where groove and thread are equally wide."""
    for pitch, flat in ((1.0, 0.125), (1.0, 0.25), (1.5, 0.1)):
        depth = float(thread_cutting.depth_for_tip(pitch, flat))
        wide = optimize.brentq(
            lambda y, d=depth, b=flat, p=pitch: b + 2 * (d - y) * np.tan(np.pi / 6) - p / 2, 0, depth
        )
        agrees(
            "wide", 2 * wide, 18 - threads.basic_pitch_diameter(18, pitch), rel=1e-9, of=thread_cutting.depth_for_tip
        )


SHAFT = [(25, 20), (30, 15), (30, 12)]
SPRINGS = {"spindle_stiffness": 3e4, "spindle_rotation": 1e8, "centre_stiffness": 1e4}


@source("Brent's method (scipy)", basis="method")
def test_the_cut_that_bends_the_work_away_solves_its_own_equation():
    """depth + give × thrust(depth) = infeed, solved place by place with scipy."""
    found = wb.turned_error(
        SHAFT,
        infeed=0.2,
        feed=0.08,
        nose_radius=0.4,
        material="low-carbon steel",
        position=[20, 50, 85],
        modulus=E,
        poisson=NU,
        force_factor=1.2,
        **SPRINGS,
    )
    kc, mc, kn, mn = cutting.kienzle("low-carbon steel")

    def thrust(a):
        return 1.2 * cutting.nose_forces(a, 0.08, 0.4, 90.0, kc, mc, kn, mn).thrust

    for give, error, depth in zip(found.compliance, found.error, found.depth, strict=True):
        exact = brentq(lambda a, c=give: a + c * thrust(a) - 0.2, 1e-6, 0.2, xtol=1e-13)
        agrees("depth", depth, exact, rel=1e-5, of=wb.turned_error)
        agrees("error", error, 2 * (0.2 - exact), rel=1e-4, of=wb.turned_error)
    agrees("thrust", found.thrust, [thrust(float(a)) for a in found.depth], rel=1e-4, unit="N", of=wb.turned_error)
    agrees("places", found.position, [20.0, 50.0, 85.0], unit="mm", of=wb.turned_error)
