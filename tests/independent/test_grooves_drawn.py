"""Grooves, tapers and inside threads by other methods: finite elements for the blade, geometry drawn, chips summed."""

from fractions import Fraction

import numpy as np
import pytest
from scipy.optimize import brentq
from skfem import Basis, BilinearForm, ElementQuad2, ElementVector, FacetBasis, LinearForm, MeshQuad, condense, solve
from skfem.helpers import ddot, sym_grad, trace

from outside import agrees, claim, source
from springpass import cutting
from springpass import grooves_tapers as gt
from springpass.grooves_tapers import grooving
from springpass.grooves_tapers.inside_threads import MM, thread_push
from springpass.threads.single_point import depth_for_tip, infeed_schedule

E, NU = 210e3, 0.29


def blade(overhang, width, height, force=100.0):
    """Drop of a blade's end and inward movement of its top edge, plane stress; force spread as a beam carries it."""
    mesh = MeshQuad.init_tensor(np.linspace(0, overhang, 49), np.linspace(-height / 2, height / 2, 33))
    basis = Basis(mesh, ElementVector(ElementQuad2()))
    lam, mu = E * NU / (1 - NU**2), E / 2 / (1 + NU)

    @BilinearForm
    def stiff(u, v, w):
        return lam * trace(sym_grad(u)) * trace(sym_grad(v)) + 2 * mu * ddot(sym_grad(u), sym_grad(v))

    @LinearForm
    def load(v, w):
        return -force / width * 1.5 / height * (1 - (2 * w.x[1] / height) ** 2) * v[1]

    end = FacetBasis(mesh, ElementVector(ElementQuad2()), facets=mesh.facets_satisfying(lambda x: np.isclose(x[0],
        overhang)))
    fixed = basis.get_dofs(lambda x: np.isclose(x[0], 0)).all()
    u = solve(*condense(stiff.assemble(basis), load.assemble(end), D=fixed))
    place = np.array([[overhang, overhang], [0.0, height / 2]])
    found = basis.probes(place) @ u
    return -found[2], found[1]


@pytest.mark.parametrize(("overhang", "width", "height"), [(16.0, 2.0, 14.0), (25.0, 3.0, 12.0), (40.0, 2.0, 10.0)])
@source("plane finite elements (scikit-fem)", basis="method")
def test_a_blade_drops_and_leans_in_as_finite_elements_say(overhang, width, height):
    """The wall that holds the blade keeps its end from thinning, so a short one is some per cent stiffer there."""
    drop, inward = blade(overhang, width, height)
    ours = gt.blade_drop(100.0, overhang, width, height, E, NU)
    agrees("drop", ours, drop, rel=0.05 if overhang < 2 * height else 0.02, of=gt.blade_drop)
    agrees("inward", 100 * grooving.blade_inward(overhang, width, height, E), inward, rel=0.06,
        of=grooving.blade_inward)
    bending = gt.blade_bending(100.0, overhang, width, height, E)
    claim("shear is seen", abs(bending / drop - 1) > 0.03, of=gt.blade_bending)


@source("chip followed revolution by revolution", basis="method")
def test_a_blade_grabs_where_the_ratio_passes_one():
    """Chip h with h = f + C F(h) in the first revolution, F = k w h^(1-m): linear slope at the feed gives the ratio."""
    kc, mc, width, feed = 1500.0, 0.22, 2.0, 0.04
    base = kc * width * feed ** (1 - mc)
    for post in (2e-5, 6e-5):
        found = gt.bite(width, 14.0, 16.0, feed, kc, mc, E, NU, post)
        small = 1e-6
        # a bite that is thicker by a trifle, followed until it has settled
        extra, chip = small, small
        for _ in range(400):
            chip = found.inward * (kc * width * (feed + extra) ** (1 - mc) - base) + small
            extra = chip
        agrees("growth", found.growth, extra / small, rel=1e-3, of=gt.bite)
        rise = kc * width * ((feed + small) ** (1 - mc) - (feed - small) ** (1 - mc)) / (2 * small)
        agrees("ratio", found.ratio, found.inward * rise, rel=1e-6, of=gt.bite)
        agrees("force", found.force, base, rel=1e-9, of=gt.bite)
        agrees("drop", found.drop, gt.blade_drop(base, 16.0, width, 14.0, E, NU), rel=1e-9, of=gt.bite)
    grabs = gt.bite(width, 14.0, 16.0, feed, kc, mc, E, NU, 4e-4)
    claim("past one the trifle grows without end", grabs.ratio > 1 and not np.isfinite(grabs.growth), of=gt.bite)


@source("heel and wall drawn point by point", basis="method")
@pytest.mark.parametrize(("heel", "clearance"), [(6.0, 8.0), (10.0, 12.0), (4.0, 4.0)])
def test_the_heel_touches_the_wall_where_the_formula_says(heel, clearance):
    """The flank down to the heel lies inside the circle of a larger groove, and cuts that of a smaller one."""
    down = np.linspace(0, heel, 4001)[1:]

    def room(outside):
        flank = outside / 2 - down * np.tan(np.radians(clearance))
        wall = np.sqrt(np.maximum((outside / 2) ** 2 - down**2, 0.0))
        return float((wall - flank).min())

    found = brentq(room, 2.02 * heel, 200 * heel)
    agrees("smallest outside", gt.smallest_face_groove(heel, clearance), found, rel=1e-4, of=gt.smallest_face_groove)
    agrees("clearance", gt.needed_clearance(heel, found), clearance, rel=1e-3, of=gt.needed_clearance)


@source("work drawn between its centres, tool moved along the bed", basis="method")
def test_the_tailstock_turns_the_taper_that_is_drawn():
    """The work's axis leans; the tool runs parallel to the bed. Distances from the axis, taken where it cuts."""
    between, over, length = 200.0, 12.0, 60.0
    lean = np.arcsin(over / between)
    radius = lambda x: 30.0 * np.cos(lean) - x * np.sin(lean)  # noqa: E731  distance of the tool's line from the axis
    along = lambda x: x * np.cos(lean) + 30.0 * np.sin(lean)  # noqa: E731
    x = np.array([20.0, 20.0 + length * np.cos(lean)])   # so that the two places are 60 mm apart along the work
    agrees("length along the work", along(x)[1] - along(x)[0], length * np.cos(lean) ** 2, rel=1e-9)
    made = 2 * (radius(x)[0] - radius(x)[1]) * length / (along(x)[1] - along(x)[0])
    agrees("difference of diameters", gt.taper_made(over, between, length), made, rel=1e-9, of=gt.taper_made)
    exact = gt.set_over_exact(between, 20.0 + made, 20.0, length)
    agrees("and back", exact, over, rel=1e-9, of=gt.set_over_exact)


@source("rotated points of a line that misses the axis", basis="method")
def test_a_tip_off_centre_turns_a_hollow_taper():
    """A tip 0.4 off runs along a straight line; radius of each place is its distance from the axis."""
    e, small, large, length = 0.4, 12.0, 18.0, 40.0
    x0 = np.sqrt((small / 2) ** 2 - e**2)
    z = np.linspace(0, length, 101)
    r = np.hypot(x0 + (large - small) / 2 * z / length, e)
    agrees("lost", gt.taper_lost(large, small, e), large - 2 * r[-1], rel=1e-9, of=gt.taper_lost)
    straight = r[0] + (r[-1] - r[0]) * z / length
    claim("hollow", (r - straight)[1:-1].max() < 0, of=gt.taper_lost)


@source("cones set against each other, gap measured", basis="method")
def test_blue_and_gap():
    for film, rubbed in ((0.002, 15.0), (0.004, 40.0)):
        wrong = gt.angle_from_blue(film, rubbed)
        agrees("gap at the end of the blue", rubbed * np.tan(np.radians(wrong)), film, rel=1e-9, of=gt.angle_from_blue)
        angle = gt.half_angle(20.0, 16.0, 60.0)
        there = 2 * 60 * (np.tan(np.radians(angle + wrong)) - np.tan(np.radians(angle)))
        agrees("far end", gt.size_error(60.0, angle, wrong), there, rel=1e-6, of=gt.size_error)


@source("profiles of two passes laid over each other, chip measured normal to each side", basis="method")
@pytest.mark.parametrize("infeed", [0.0, 20.0, 29.5])
def test_threading_force_by_summing_the_chip(infeed):
    """The groove's outline before and after the pass; area between them times k_c with m = 0 is the cutting force."""
    flat, step, depth = 0.15, 0.08, 0.6
    x = np.linspace(-1.5, 1.5, 600001)
    half = np.tan(np.radians(30))

    def outline(deep, shift):
        wide = flat / 2 + np.maximum(0, deep) * half
        return np.clip((wide - np.abs(x - shift)) / half, 0, deep)

    after = outline(depth, 0.0)
    before = outline(depth - step, step * np.tan(np.radians(infeed)))
    area = np.trapezoid(np.maximum(after - before, 0), x)
    push = thread_push(step, depth, flat, infeed, (1000.0, 0.0, 0.0, 0.0))
    agrees("cutting", push.cutting, 1000 * area, rel=0.01, of=thread_push)
    # the thrust with m = 0 is k_n times the area swept, each side's share turned by its slope: half for a flank
    left, right = (np.trapezoid(np.where(side, np.maximum(after - before, 0), 0), x) for side in (x < -flat / 2,
        x > flat / 2))
    thrust = thread_push(step, depth, flat, infeed, (1000.0, 0.0, 600.0, 0.0)).thrust
    agrees("thrust", thrust, 600 * (0.5 * (left + right) + flat * step), rel=0.03, of=thread_push)


@source("each pass solved by bracketing", basis="method")
def test_passes_inside_settle_as_bracketing_says():
    soft, flat, material = 9e-4, 0.125, "medium-carbon steel"
    plan = infeed_schedule(1.0, 5, flat)
    found = gt.inside_passes(plan, flat, np.array([soft]), 2, material=material)
    at = 0.0
    for n, goal in enumerate([*plan.depth, plan.depth[-1], plan.depth[-1]]):
        if goal - at > 1e-9:
            at += brentq(lambda s, at=at, goal=goal: s + soft * thread_push(s, at + s, flat, 29.5, material).thrust
                - (goal - at), 1e-12, goal - at)
        agrees("reached", float(found.reached[n][0]), at, abs=1e-6, of=gt.inside_passes)
    law = cutting.kienzle(material)
    agrees("thrust of the first", float(found.thrust[0][0]),
        float(thread_push(found.reached[0][0], found.reached[0][0], flat, 29.5, law).thrust), rel=1e-6,
        of=gt.inside_passes)
    agrees("depth", found.dialled[-1], depth_for_tip(1.0, flat), rel=1e-9, of=gt.inside_passes)


@source("leadscrew and thread turned step by step", basis="method")
@pytest.mark.parametrize(("screw", "pitch", "teeth", "marks"), [(MM / 8, MM / 13, 32, 8), (MM / 8, MM / 11, 16, 8),
    (Fraction(3), Fraction(5, 4), 15, 5), (Fraction(6), Fraction(1), 14, 7), (Fraction(3), Fraction(7, 4), 14, 2)])
def test_thread_dial_by_turning_it(screw, pitch, teeth, marks):
    """Every thread of the leadscrew that passes: is it on a mark, and is the thread in its groove there?"""
    good = set()
    for passed in range(teeth):
        travel = passed * screw
        mark = travel / (teeth * screw) * marks
        if mark.denominator == 1 and (travel / pitch).denominator == 1:
            good.add(int(mark))
    rule = gt.dial_rule(screw, pitch, teeth, marks)
    agrees("marks", sorted(rule.marks), sorted(good), of=gt.dial_rule)
    first = next(n for n in range(1, 10_000) if (n * screw / pitch).denominator == 1)
    agrees("period", float(rule.period), float(first * screw), rel=1e-12, of=gt.dial_rule)
    agrees("once round", rule.around, float(teeth * screw), rel=1e-12, unit="mm", of=gt.dial_rule)
    again = next(n for n in range(1, 10_000) if (n * teeth * screw / pitch).denominator == 1)
    agrees("turns", rule.turns, again, of=gt.dial_rule)
    # closed a mark later, the thread has gone on by so many pitches; how far is the tool from the nearest groove?
    gone = [float(teeth * screw * mark / marks / pitch) for mark in range(marks)]
    agrees("missed", rule.missed, [abs(one - round(one)) for one in gone], abs=1e-12, of=gt.dial_rule)
