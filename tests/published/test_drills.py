"""Drill points, speeds and feeds against printed or hand-worked values. Source and basis stand beside each."""

import pytest

from springpass import drilling

# h = (D/2) cot(angle/2), computed
POINTS = [(82, 1, 0.575184, 1e-6), (118, 1, 0.30043, 1e-6), (135, 1, 0.207107, 1e-6), (180, 1, 0.0, 1e-6),
          (118, 10, 3.0043, 1e-4)]

# Drilling and reaming speed tables, ft/min, secondary copy (read): drill HSS, ream HSS, ream carbide
SPEEDS = [("free machining steel 1212 to 1214, HB 100-150", 120, 80, 400), ("carbon steel 1006 to 1026, HB 100-125", 100, 65, 300),
          ("carbon steel 1027 to 1050, HB 175-225", 75, 50, 200), ("stainless 303, HB 135-185", 85, 55, 225),
          ("stainless 316, HB 135-185", 50, 30, 150), ("grey iron class 30 to 40, HB 190-220", 80, 55, 180),
          ("grey iron class 20, HB 120-150", 100, 65, 300), ("tool steel O1, HB 175-225", 45, 30, 150)]

# F. D. Jones, Turning and Boring (public domain), careful turning speeds with high-speed steel, ft/min (read)
TURNING = [("grey cast iron", 40, 50), ("annealed tool steel", 25, 35), ("soft yellow brass", 150, 200)]

# Drilling feed table, inch a turn, secondary copy (read): from, to diameter in inch, least, most
FEEDS = [(0.0, 0.125, 0.001, 0.003), (0.125, 0.25, 0.002, 0.006), (0.5, 1.0, 0.007, 0.015)]

# AND10387, drilled hole tolerances, inch, secondary copy (read): diameter, over, under
OVERSIZE = [(0.125, 0.004, 0.001), (0.126, 0.005, 0.001), (0.354, 0.006, 0.001), (0.75, 0.008, 0.001), (1.0, 0.010, 0.001)]


@pytest.mark.parametrize("angle, diameter, height, tolerance", POINTS)
def test_point_height(angle, diameter, height, tolerance):
    assert drilling.point_height(diameter, angle) == pytest.approx(height, abs=tolerance)


def test_drilled_depth():
    """8.5 mm at 118°, 20 mm to full diameter: 22.5537 mm to the tip (computed)."""
    assert drilling.drilled_depth(20, 8.5, 118) == pytest.approx(22.5537, abs=1e-3)
    assert drilling.full_depth(22.5537, 8.5, 118) == pytest.approx(20, abs=1e-3)


@pytest.mark.parametrize("material, drill, ream, carbide", SPEEDS)
def test_speeds(material, drill, ream, carbide):
    for operation, feet in (("drill HSS", drill), ("ream HSS", ream), ("ream carbide", carbide)):
        assert drilling.speed(material, operation).value == pytest.approx(feet * 0.3048, abs=1e-9)


@pytest.mark.parametrize("material, low, high", TURNING)
def test_careful_turning_speeds(material, low, high):
    got = drilling.speed(material, "turn HSS, careful")
    assert (got.low, got.high) == pytest.approx((low * 0.3048, high * 0.3048), abs=1e-9)


@pytest.mark.parametrize("above, upto, low, high", FEEDS)
def test_feeds(above, upto, low, high):
    for inch in (max(above, 0.014) + 1e-6, upto):
        got = drilling.feed(inch * 25.4 * (1 - 1e-12))
        assert (got.low, got.high) == pytest.approx((low * 25.4, high * 25.4), abs=1e-9)


@pytest.mark.parametrize("inch, over, under", OVERSIZE)
def test_drilled_holes_come_out_over_size(inch, over, under):
    got = drilling.oversize(inch * 25.4)
    assert (got.a, got.b) == pytest.approx((-under * 25.4, over * 25.4), abs=1e-9)


def test_reaming_runs_at_about_half_the_speed_of_drilling():
    """US War Department TM 1-420: one half (read); the speed tables give 0.60 to 0.69 of it, so the two differ."""
    shares = [drilling.speed(m, "ream HSS").value / drilling.speed(m, "drill HSS").value for m, *_ in SPEEDS]
    assert min(shares) > 0.5 and max(shares) < 0.7


def test_rule_of_four():
    """4 CS/D: 100 ft/min on 1 inch is 400 turns a minute (the trade's rule, memory); the true figure is 382."""
    assert drilling.rule_of_four(100, 1) == 400
    assert drilling.rule_of_four(100, 1) / 381.97 == pytest.approx(1.047, abs=5e-4)   # five per cent too fast


def test_room_a_cone_takes():
    """10 mm at 118°: cone π·25·3.0043/3 = 78.65 mm³, corner twice that = 157.31 mm³ (by hand)."""
    assert drilling.cone_volume(10, 118) == pytest.approx(78.653, abs=2e-3)
    assert drilling.corner_volume(10, 118) == pytest.approx(157.306, abs=4e-3)


def test_fillet_of_a_nose():
    """(1 − π/4)·0.4² = 0.03434 mm² (by hand)."""
    assert drilling.fillet(0.4) == pytest.approx(0.03434, abs=1e-5)


def test_wander_and_clean_up_by_hand():
    """0.03 start + 0.0015·32 = 0.078 mm off; a 9.3 mm hole so far off cleans up at 9.456 mm."""
    assert drilling.wander(0.03, 0.0015, 32) == pytest.approx(0.078)
    assert drilling.smallest_clean_bore(9.3, 0.078) == pytest.approx(9.456)


def test_copied_share_by_hand():
    """1 µm/N against 250 N/mm: C·K = 0.25, a fifth is left; after two passes a twenty-fifth."""
    assert drilling.copy_share(0.001, 250) == pytest.approx(0.2)
    assert drilling.offset_after(0.1, 0.2, 2) == pytest.approx(0.004)


def test_depth_of_cut_at_the_bottom_by_hand():
    """Bore 10, drill 9, cone 2.7 high: 0.5 mm above the cone, 2.75 half way down, 5 mm at the bottom."""
    assert drilling.floor_depth_of_cut(3, 10, 9, 2.7) == pytest.approx(0.5)
    assert drilling.floor_depth_of_cut(1.35, 10, 9, 2.7) == pytest.approx(2.75)
    assert drilling.floor_depth_of_cut(0, 10, 9, 2.7) == pytest.approx(5)


def test_chips_by_hand():
    """Bore 9 to 9.5 round a 7 mm bar: (90.25 − 81)/(90.25 − 49) = 0.224; with chips 12 times their metal 2.69."""
    assert drilling.ring_volume(9.5, 9, 32) == pytest.approx(232.478, abs=1e-3)
    assert drilling.chip_fill(9.5, 9, 7, 12) == pytest.approx(2.6909, abs=1e-4)
