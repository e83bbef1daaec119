"""Holes against numerical integration and a small simulation."""

import numpy as np
import pytest
from scipy import integrate

from springpass import drilling


@pytest.mark.parametrize("diameter, angle", [(9.2, 118), (10, 130), (6, 135), (12, 140)])
def test_volumes_by_integration(diameter, angle):
    """Turn the slanted lip about the axis and add up discs."""
    height = drilling.point_height(diameter, angle)
    cone, _ = integrate.quad(lambda z: np.pi * (diameter / 2 * z / height) ** 2, 0, height)
    corner, _ = integrate.quad(lambda z: np.pi * ((diameter / 2) ** 2 - (diameter / 2 * z / height) ** 2), 0, height)
    assert drilling.cone_volume(diameter, angle) == pytest.approx(cone, rel=1e-10)
    assert drilling.corner_volume(diameter, angle) == pytest.approx(corner, rel=1e-10)
    got = drilling.bottom(diameter, angle, 30, diameter + 0.8)
    ring = np.pi / 4 * ((diameter + 0.8) ** 2 - diameter**2) * height
    assert (got.cone, got.corner) == pytest.approx((cone, corner + ring), rel=1e-10)


def test_corner_is_what_the_bar_takes():
    """Depth of cut integrated round the bore and up the cone must be the metal in the corner (Pappus by thin rings)."""
    drill, bore, angle = 9.0, 10.0, 118.0
    height = drilling.point_height(drill, angle)

    def section(z):
        depth = drilling.floor_depth_of_cut(z, bore, drill, height)
        return np.pi * ((bore / 2) ** 2 - (bore / 2 - depth) ** 2)

    taken, _ = integrate.quad(section, 0, height)
    assert taken == pytest.approx(drilling.bottom(drill, angle, 30, bore).corner, rel=1e-9)


def test_fillet_by_integration():
    r = 0.8
    area, _ = integrate.quad(lambda x: r - np.sqrt(r**2 - (r - x) ** 2), 0, r)
    assert drilling.fillet(r) == pytest.approx(area, rel=1e-7)


def test_clean_up_by_drawing_the_circles():
    """Lay the drilled circle off the axis and find the farthest point of its wall."""
    turn = np.linspace(0, 2 * np.pi, 100_001)
    x, y = 0.078 + 9.3 / 2 * np.cos(turn), 9.3 / 2 * np.sin(turn)
    assert drilling.smallest_clean_bore(9.3, 0.078) == pytest.approx(2 * np.hypot(x, y).max(), abs=1e-9)


def test_boring_copies_a_share_by_going_round_the_bore():
    """A bar on a spring bores an eccentric hole: at every angle find the force's balance, then fit the circle left."""
    compliance, stiffness, offset, infeed = 0.8e-3, 300.0, 0.06, 0.25
    turn = np.linspace(0, 2 * np.pi, 720, endpoint=False)
    wall = -offset * np.cos(turn)            # the old wall, from its mean radius
    for passes in (1, 2, 3):
        dialled = passes * infeed
        # tip at u: force K (u - wall), bar gives way by C times that, u = dialled - C K (u - wall)
        wall = (dialled + compliance * stiffness * wall) / (1 + compliance * stiffness)
        left = -2 * np.mean(wall * np.cos(turn))
        share = drilling.copy_share(compliance, stiffness)
        assert drilling.offset_after(offset, share, passes) == pytest.approx(left, rel=1e-9)


def test_largest_drill_by_trying_them_all():
    bore, depth, start, drift = 9.8, 32.0, 0.05, 0.002
    off = start + drift * depth
    fits = [d for d in drilling.DRILLS if d + {True: 0.15240, False: 0.127}[d > 6.35] + 2 * off + 0.2 <= bore]
    assert drilling.largest_drill(bore, depth, start, drift) == max(fits)
