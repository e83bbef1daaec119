"""Sums taken by adaptive integration and convolution (scipy)."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats
from scipy.integrate import quad

from exact_forces import exact_forces
from outside import agrees, source
from springpass import cutting, drilling, heat, stops
from springpass.measuring import (
    Input,
    budget,
    normal,
    rectangular,
    trapezoid,
    triangular,
    u_shaped,
)
from springpass.threads import single_point as thread_cutting


@given(a=st.floats(0.01, 0.35), f=st.floats(0.02, 0.12), r=st.floats(0.4, 1.2))
@settings(max_examples=12)
@source("adaptive integration (scipy)", basis="method")
def test_nose_forces_against_adaptive_integration(a, f, r):
    if a < 1.05 * f**2 / (8 * r):
        return
    got = cutting.nose_forces(a, f, r, 90, 1500, 0.22, 600, 0.4)
    agrees("cutting, thrust, feed", (got.cutting, got.thrust, got.feed), exact_forces(a, f, r, 1500, 0.22, 600, 0.4),
           rel=2e-4, abs=2e-4, of=cutting.nose_forces)


@source("adaptive integration (scipy)", basis="method")
def test_cutting_stiffness_is_the_slope_of_the_thrust():
    """On a broad straight edge the slope of Kienzle's curve is plain calculus; the nose's is its integral (scipy)."""
    a, f, r, kn, mn = 0.1, 0.05, 0.2, 600, 0.4

    def h(p):
        return min(r + f * np.sin(p) - np.sqrt(r * r - (f * np.cos(p)) ** 2), r - (r - a) / np.cos(p))

    meet = np.arctan2(np.sqrt(2 * r * a - a * a) - f, r - a)
    parts = [integrate.quad(lambda p: (1 - mn) * kn * h(p) ** -mn * np.cos(p) ** 2 * r, lo, hi, limit=500)[0]
             for lo, hi in ((-np.arcsin(f / 2 / r), meet), (meet, np.arccos(1 - a / r)))]
    got = cutting.cutting_stiffness(a, f, r, 90, kn, mn)
    agrees("whole", got.whole, sum(parts), rel=1e-4, of=cutting.cutting_stiffness)
    agrees("previous", got.previous, parts[0], rel=1e-4, of=cutting.cutting_stiffness)


@pytest.mark.parametrize(
    ("depth", "feed", "nose"), [(0.1, 0.05, 0.4), (0.3, 0.1, 0.4), (0.02, 0.05, 0.4), (0.5, 0.2, 0.8)]
)
@source("rays through the metal and adaptive integration (scipy)", basis="method")
def test_force_by_ray_and_quadrature(depth, feed, nose):
    """From each place on the arc towards the nose's centre, bisect for where the metal ends; integrate."""
    kc, mc, kn, mn = 1500.0, 0.22, 600.0, 0.4

    def metal(phi):
        def is_metal(t):
            px, py = (nose - t) * np.sin(phi), nose - (nose - t) * np.cos(phi)
            return py < depth and np.hypot(px + feed, py - nose) > nose

        if not is_metal(1e-12):
            return 0.0
        good, bad = 1e-12, nose
        for _ in range(60):
            middle = (good + bad) / 2
            good, bad = (middle, bad) if is_metal(middle) else (good, middle)
        return good

    start, end = -np.arcsin(feed / 2 / nose), np.arccos(1 - depth / nose)
    start = max(start, -end)
    knee = np.arctan2(np.sqrt(2 * nose * depth - depth**2) - feed, nose - depth)

    def integrate(weight):
        return quad(
            lambda p: weight(metal(p), p),
            start,
            end,
            points=[knee] if start < knee < end else None,
            limit=200,
            epsrel=1e-7,
        )[0]

    got = cutting.nose_forces(depth, feed, nose, 90, kc, mc, kn, mn)
    agrees("cutting", got.cutting, integrate(lambda h, p: kc * h ** (1 - mc) * (nose - h / 2)), rel=2e-3,
           of=cutting.nose_forces)
    agrees("thrust", got.thrust, integrate(lambda h, p: kn * h ** (1 - mn) * np.cos(p) * (nose - h / 2)), rel=2e-3,
           of=cutting.nose_forces)
    agrees("feed", got.feed, integrate(lambda h, p: kn * h ** (1 - mn) * np.sin(p) * (nose - h / 2)), rel=5e-3,
           of=cutting.nose_forces)
    agrees(
        "max chip", got.max_chip, max(metal(p) for p in np.linspace(start, end, 4001)), rel=2e-3, of=cutting.nose_forces
    )


@pytest.mark.parametrize("diameter, angle", [(9.2, 118), (10, 130), (6, 135), (12, 140)])
@source("adaptive integration (scipy)", basis="method")
def test_volumes_by_integration(diameter, angle):
    """Turn the slanted lip about the axis and add up discs."""
    height = drilling.point_height(diameter, angle)
    cone, _ = integrate.quad(lambda z: np.pi * (diameter / 2 * z / height) ** 2, 0, height)
    corner, _ = integrate.quad(lambda z: np.pi * ((diameter / 2) ** 2 - (diameter / 2 * z / height) ** 2), 0, height)
    agrees("cone volume", drilling.cone_volume(diameter, angle), cone, rel=1e-10, unit="mm³", of=drilling.cone_volume)
    agrees("corner volume", drilling.corner_volume(diameter, angle), corner, rel=1e-10, unit="mm³",
           of=drilling.corner_volume)
    got = drilling.bottom(diameter, angle, 30, diameter + 0.8)
    ring = np.pi / 4 * ((diameter + 0.8) ** 2 - diameter**2) * height
    agrees("cone, corner", (got.cone, got.corner), (cone, corner + ring), rel=1e-10, of=drilling.bottom)
    # the tip stands 30 deep on the axis: the full diameter ends a cone's height above it; where wall and bottom meet
    # the bar cuts from the axis to the wall, higher up only the 0.4 that stand on radius
    agrees("height, full depth", (got.height, got.full_depth), (height, 30 - height), rel=1e-10, of=drilling.bottom)
    most = diameter / 2 + 0.4
    agrees("corner's depth of cut", (got.bar_depth, got.times), (most, most / 0.4), rel=1e-10, of=drilling.bottom)


@source("adaptive integration (scipy)", basis="method")
def test_corner_is_what_the_bar_takes():
    """Depth of cut integrated round the bore and up the cone must be the metal in the corner (Pappus by thin rings)."""
    drill, bore, angle = 9.0, 10.0, 118.0
    height = drilling.point_height(drill, angle)

    def section(z):
        depth = drilling.floor_depth_of_cut(z, bore, drill, height)
        return np.pi * ((bore / 2) ** 2 - (bore / 2 - depth) ** 2)

    taken, _ = integrate.quad(section, 0, height)
    agrees("taken", taken, drilling.bottom(drill, angle, 30, bore).corner, rel=1e-9, of=drilling.point_height)


@source("adaptive integration (scipy)", basis="method")
def test_fillet_by_integration():
    r = 0.8
    area, _ = integrate.quad(lambda x: r - np.sqrt(r**2 - (r - x) ** 2), 0, r)
    agrees("fillet", drilling.fillet(r), area, rel=1e-7, unit="mm²", of=drilling.fillet)


@source("the moving source integrated (scipy)", basis="method")
def test_moving_source_solution_behind_the_theory():
    """Steady heat running ahead of a source that moves at v: exp(−v x/a). Its integral is the heat it carries, k/(ρ c
    v).
    """
    diffusivity, speed = 13.0, 500.0   # mm²/s, mm/s
    ahead, _ = quad(lambda x: np.exp(-speed * x / diffusivity), 0, np.inf)
    chip = 0.02
    number = heat.thermal_number(7850, 470, speed * 60 / 1000, chip, 7850 * 470 * diffusivity * 1e-6, 45)
    agrees("chip", chip / ahead, number, rel=1e-9)


@pytest.mark.parametrize(("part", "shape"), [
    (normal(0.0, 1.3), stats.norm(0, 1.3)), (rectangular(0.0, 2.0), stats.uniform(-2, 4)),
    (triangular(0.0, 2.0), stats.triang(0.5, -2, 4)), (u_shaped(0.0, 2.0), stats.arcsine(-2, 4)),
    (trapezoid(0.0, 2.0, 0.4), stats.trapezoid(0.3, 0.7, -2, 4))])
@source("moments by integration (scipy)", basis="method")
def test_a_square_has_its_exact_second_order_spread(part: Input, shape):
    agrees("", part.u, shape.std(), rel=1e-9)
    fourth = shape.moment(4) if part.shape != "trapezoid" else integrate.quad(lambda x: x**4 * shape.pdf(x), -2, 2)[0]
    result = budget({"x": part}, lambda x: x**2, order=2)
    agrees("uncertainty", result.uncertainty, np.sqrt(fourth - shape.var()**2), rel=1e-7, of=budget)
    agrees("shift", result.value + result.shift, shape.var(), rel=1e-7, of=budget)
    agrees("first order", result.first_order, 0, abs=1e-12, of=budget)


@source("densities convolved", basis="method")
def test_chain_monte_carlo_against_a_convolution():
    chain = stops.chain([stops.Link("a", 10, 0.03), stops.Link("b", 20, 0.02), stops.Link("c", 5, 0.01, -1)], 100_000)
    grid = np.linspace(-0.03, 0.03, 6001)
    step = grid[1] - grid[0]
    density = np.where(np.abs(grid) <= 0.03, 1.0, 0.0)
    for half in (0.02, 0.01):
        density = np.convolve(density, np.where(np.abs(grid) <= half, 1.0, 0.0))
    density /= density.sum()
    places = (np.arange(len(density)) - (len(density) - 1) / 2) * step
    low, high = (float(np.interp(p, np.cumsum(density), places)) for p in (0.025, 0.975))
    agrees("length", chain.length, 25, of=stops.chain)
    agrees("worst", chain.worst, 0.06, rel=1e-6, of=stops.chain)
    agrees("low", chain.low - 25, low, abs=0.0002, of=stops.chain)
    agrees("high", chain.high - 25, high, abs=0.0002, of=stops.chain)
    agrees("rss", chain.rss, np.sqrt(0.03**2 + 0.02**2 + 0.01**2), rel=1e-6, of=stops.chain)


@source("adaptive integration (scipy)", basis="method")
def test_groove_section_by_integration():
    depth, flat = 0.55, 0.125
    area, _ = integrate.quad(lambda y: flat + 2 * y * np.tan(np.radians(30)), 0, depth)
    agrees("groove area", thread_cutting.groove_area(depth, flat), area, rel=1e-12, unit="mm²",
           of=thread_cutting.groove_area)
    agrees("depth of area", thread_cutting.depth_of_area(area, flat), depth, rel=1e-12, unit="mm",
           of=thread_cutting.depth_of_area)


@source("adaptive integration along the arc (scipy), differences of it", basis="method")
def test_how_the_thrust_grows_with_the_depth():
    """A nose-only cut, 0.1 mm deep: the slope over a tenth either way."""
    below, above = (exact_forces(a, 0.05, 0.4, 1500, 0.22, 600, 0.4)[1] for a in (0.09, 0.11))
    agrees("slope", cutting.thrust_growth(0.1, 0.05, 0.4, 90.0, (1500.0, 0.22, 600.0, 0.4)), (above - below) / 0.02,
           rel=0.03, unit="N/mm", of=cutting.thrust_growth)
