"""Cutting by other means: surfaces traced point by point, chips counted on a grid, velocities for angles."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from springpass import chips, cutting, finish, speeds

# ---- the surface, traced --------------------------------------------------------------------------


def traced(feed, nose, minor=None, points=200_001):
    """Height and mean roughness of what a tool leaves that comes by again and again, one feed apart.

    The tool's outline is a circle that runs into a straight minor edge at the angle `minor`; the surface
    is the lower envelope of all its passes.
    """
    x = np.linspace(-feed, feed, points)
    surface = np.full_like(x, np.inf)
    for pass_ in range(-4, 5):
        at = x - pass_ * feed
        with np.errstate(invalid="ignore"):
            tool = nose - np.sqrt(nose**2 - at**2)
        tool = np.where(np.abs(at) > nose, np.inf, tool)
        if minor is not None:
            k = np.radians(minor)
            edge = nose * (1 - np.cos(k)) + (-at - nose * np.sin(k)) * np.tan(k)
            tool = np.where(at < -nose * np.sin(k), edge, tool)
        surface = np.minimum(surface, tool)
    one = (x >= 0) & (x < feed)
    z = surface[one]
    return z.max() - z.min(), np.abs(z - z.mean()).mean()


@pytest.mark.parametrize(("feed", "nose"), [(0.05, 0.4), (0.1, 0.2), (0.3, 0.4), (0.02, 0.8), (0.35, 0.2)])
def test_arc_marks_traced(feed, nose):
    height, mean = traced(feed, nose)
    got = cutting.roughness(feed, nose)
    assert got.rt == pytest.approx(height, rel=1e-6)
    assert got.ra == pytest.approx(
        mean, rel=0.004 if feed < nose / 2 else 0.30
    )  # the mean is that of a parabola


@pytest.mark.parametrize(
    ("feed", "nose", "minor"),
    [(0.2, 0.2, 5), (0.3, 0.4, 10), (0.15, 0.1, 30), (0.25, 0.2, 15), (0.1, 0.4, 3), (0.1, 0.2, 32)],
)
def test_minor_edge_traced(feed, nose, minor):
    height, mean = traced(feed, nose, minor)
    got = cutting.roughness(feed, nose, minor_angle=minor)
    assert got.rt == pytest.approx(height, rel=3e-5)  # the sharp peak falls between two points of the trace
    assert got.ra == pytest.approx(mean, rel=0.06)


def test_minor_edge_smooths():
    # past the chord the straight edge cuts the peak off: never higher than the arc alone
    for feed in np.linspace(0.02, 0.35, 12):
        assert cutting.roughness(feed, 0.2, minor_angle=8).rt <= cutting.roughness(feed, 0.2).rt * (1 + 1e-12)


@pytest.mark.parametrize(
    ("feed", "nose", "least"), [(0.03, 0.4, 0.002), (0.05, 0.8, 0.002), (0.08, 0.4, 0.005), (0.1, 0.2, 0.004)]
)
def test_rubbing_from_two_exact_arcs(feed, nose, least):
    """Where the chip thins to the least chip, the last turn's groove is left standing: its height there."""

    def thickness(phi):  # from the tool's arc straight towards its centre, to the groove one feed back
        def inside(depth):
            px, py = (nose - depth) * np.sin(phi), nose - (nose - depth) * np.cos(phi)
            return np.hypot(px + feed, py - nose) - nose

        return brentq(inside, 0, nose * 0.999) if inside(0) > 0 else 0.0

    low, high = -np.arcsin(feed / (2 * nose)), 0.9
    phi = brentq(lambda p: thickness(p) - least, low, high)
    depth = thickness(phi)
    left_standing = nose - (nose - depth) * np.cos(phi)
    assert cutting.feed_mark_with_rubbing(feed, nose, least) == pytest.approx(left_standing, rel=0.035)


# ---- the chip, cut out of the plane ---------------------------------------------------------------


def swept(depth, feed, nose, kappa, n=2400):
    """Area of the uncut chip on a fine grid: inside the tool now, not a turn ago, below the old surface."""
    kappa = np.radians(kappa)

    def in_tool(x, y):  # tip at (0, 0), nose centre (0, nose), main edge to the right, tangent at kappa
        in_nose = np.hypot(x, y - nose) <= nose
        tx, ty = nose * np.sin(kappa), nose * (1 - np.cos(kappa))
        beyond = (x - tx) * np.cos(kappa) + (y - ty) * np.sin(kappa) >= 0
        left_of_edge = (x - tx) * np.sin(kappa) - (y - ty) * np.cos(kappa) <= 0
        right_of_centre = x >= 0
        return in_nose | (beyond & left_of_edge & right_of_centre) | ((x <= 0) & (x >= -nose) & (y >= nose))

    x = np.linspace(-nose, nose + depth / np.tan(min(kappa, 1.5)) + feed + 0.1, n)
    y = np.linspace(0, depth, n)
    gx, gy = np.meshgrid((x[1:] + x[:-1]) / 2, (y[1:] + y[:-1]) / 2)
    cut = in_tool(gx, gy) & ~in_tool(gx + feed, gy)
    return cut.sum() * (x[1] - x[0]) * (y[1] - y[0])


@pytest.mark.parametrize(
    ("depth", "feed", "nose", "kappa"),
    [
        (0.1, 0.05, 0.4, 90),
        (0.3, 0.1, 0.4, 90),
        (0.5, 0.2, 0.8, 90),
        (0.05, 0.15, 0.8, 90),
        (0.5, 0.1, 0.4, 75),
    ],
)
def test_area_by_counting(depth, feed, nose, kappa):
    assert cutting.nose_forces(depth, feed, nose, kappa).area == pytest.approx(
        swept(depth, feed, nose, kappa), rel=0.01
    )


@pytest.mark.parametrize(
    ("depth", "feed", "nose"), [(0.1, 0.05, 0.4), (0.3, 0.1, 0.4), (0.02, 0.05, 0.4), (0.5, 0.2, 0.8)]
)
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
    assert got.cutting == pytest.approx(integrate(lambda h, p: kc * h ** (1 - mc) * (nose - h / 2)), rel=2e-3)
    assert got.thrust == pytest.approx(
        integrate(lambda h, p: kn * h ** (1 - mn) * np.cos(p) * (nose - h / 2)), rel=2e-3
    )
    assert got.feed == pytest.approx(
        integrate(lambda h, p: kn * h ** (1 - mn) * np.sin(p) * (nose - h / 2)), rel=5e-3
    )
    assert got.max_chip == pytest.approx(max(metal(p) for p in np.linspace(start, end, 4001)), rel=2e-3)


@pytest.mark.parametrize(
    ("least", "feed", "nose"), [(0.003, 0.05, 0.4), (0.004, 0.02, 0.4), (0.01, 0.05, 0.8), (0.002, 0.02, 0.2)]
)
def test_lightest_cut_by_search(least, feed, nose):
    found = brentq(lambda a: cutting.nose_chip(a, feed, nose).thickest - least, 1e-5, nose * 0.99)
    assert finish.lightest_depth(least, feed, nose) == pytest.approx(found, rel=5e-3)
    assert finish.thickest_on_nose(found, feed, nose) == pytest.approx(least, rel=5e-3)


# ---- chips ----------------------------------------------------------------------------------------


def test_shear_strain_from_velocities():
    # the velocity triangle: shear speed over the depth it is spread across, without the cotangent form
    for ratio, rake in ((0.3, -5), (0.45, 8), (0.6, 15), (0.8, 20)):
        phi, g = np.radians(chips.shear_angle(ratio, rake)), np.radians(rake)
        chip_speed = np.sin(phi) / np.cos(phi - g)
        assert chip_speed == pytest.approx(ratio, rel=1e-9)  # the chip leaves slower by the thinning ratio
        shear_speed = np.cos(g) / np.cos(phi - g)
        assert chips.shear_strain(chips.shear_angle(ratio, rake), rake) == pytest.approx(
            shear_speed / np.sin(phi), rel=1e-9
        )


def test_metal_is_kept():
    # string length times its section is the metal removed
    d, along, a, f, ratio = 12.0, 30.0, 0.5, 0.1, 0.4
    section = chips.chip_thickness(f, ratio) * a
    assert chips.string_length(d, along, f, ratio) * section == pytest.approx(
        np.pi * d * along * a, rel=1e-12
    )


def test_curl_strain_by_unrolling():
    # a strip bent to radius R: outer skin against middle line
    thickness, curl = 0.2, 3.0
    outer, middle = 2 * np.pi * (curl + thickness / 2), 2 * np.pi * curl
    assert chips.curl_strain(thickness, curl) == pytest.approx(outer / middle - 1, rel=1e-12)


def test_a_pass_turn_by_turn():
    # walk the carriage one turn at a time
    feed, length, turns_a_minute = 0.08, 40.0, 355.0
    at, seconds = 0.0, 0.0
    while at < length - 1e-9:
        at += feed
        seconds += 60 / turns_a_minute
    assert speeds.time_in_cut(length, feed, turns_a_minute) == pytest.approx(seconds, rel=1e-9)


def test_power_is_torque_times_turning():
    force, d, n = 340.0, 20.0, 500.0
    power = cutting.cutting_power(force, speeds.surface_speed(d, n)) * 1e6  # N mm/s
    assert speeds.cutting_torque(force, d) * 2 * np.pi * n / 60 == pytest.approx(power, rel=1e-12)
    # a motor that gives just this power gives just this torque
    assert speeds.torque_available(power / 1e6, 1.0, n) == pytest.approx(
        speeds.cutting_torque(force, d), rel=1e-12
    )
