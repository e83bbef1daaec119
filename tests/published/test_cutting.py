"""Cutting against values that stand elsewhere: reference computations, textbook exercises, printed tables.

Each value has its source and basis beside it. `computed` values were worked out apart from this library.
"""

import numpy as np
import pytest

from springpass import chips, cutting, finish, speeds, tables

# ---- reference computations: finish, chip, power (basis: computed, a second method agreed) -----------


@pytest.mark.parametrize(
    ("feed", "nose", "parabola", "exact", "mean"),
    [
        (0.05, 0.4, 0.78125, 0.7820144332, 0.2004688435),
        (0.3, 0.4, 28.125, 29.19007565, 7.216878365),
    ],
)
def test_ideal_marks(feed, nose, parabola, exact, mean):
    assert cutting.feed_mark_short(feed, nose) * 1e3 == pytest.approx(parabola, rel=1e-9)
    assert cutting.feed_mark(feed, nose) * 1e3 == pytest.approx(exact, rel=1e-9)
    assert cutting.mean_of_feed_mark(feed, nose) * 1e3 == pytest.approx(mean, rel=1e-9)
    assert cutting.roughness(feed, nose).rt * 1e3 == pytest.approx(exact, rel=1e-9)
    assert cutting.roughness(feed, nose).ra * 1e3 == pytest.approx(mean, rel=1e-9)
    # the trap: a quarter of the height is 2.6 % low
    assert cutting.feed_mark_short(feed, nose) / 4 / cutting.mean_of_feed_mark(feed, nose) == pytest.approx(
        0.9743, abs=1e-4
    )


@pytest.mark.parametrize(
    ("feed", "nose", "least", "marks"), [(0.03, 0.4, 0.005, 8.336805556), (0.05, 0.8, 0.005, 6.890625)]
)
def test_brammertz(feed, nose, least, marks):
    assert cutting.feed_mark_with_rubbing(feed, nose, least) * 1e3 == pytest.approx(marks, rel=1e-9)
    assert cutting.roughness(feed, nose, least).rt * 1e3 == pytest.approx(marks, rel=1e-9)


def test_the_feed_below_which_finer_gets_worse():
    best = cutting.best_feed(0.4, 0.005)
    assert best == pytest.approx(0.0632455532, rel=1e-9)
    assert cutting.roughness(best, 0.4, 0.005).rt * 1e3 == pytest.approx(
        5.0, rel=1e-9
    )  # the least chip itself
    assert cutting.roughness(best * 0.9, 0.4, 0.005).rt > cutting.roughness(best, 0.4, 0.005).rt
    assert cutting.roughness(best * 1.1, 0.4, 0.005).rt > cutting.roughness(best, 0.4, 0.005).rt


def test_minor_edge_at_the_chord():
    # feed 0.1, nose 0.2, minor angle 32°: the chord is 2 r sin 32° = 0.212, so the arc alone makes the mark
    assert cutting.roughness(0.1, 0.2, minor_angle=32).rt * 1e3 == pytest.approx(6.35083269, rel=1e-9)
    # at the chord itself both forms must agree
    chord = 2 * 0.2 * np.sin(np.radians(32))
    assert cutting.feed_mark_past_nose(chord, 0.2, 32) == pytest.approx(
        cutting.feed_mark(chord, 0.2), rel=1e-12
    )


def test_shear_angle_from_the_chip():
    angle = chips.shear_angle(1 / 1.5, 20)
    assert angle == pytest.approx(39.05909006, rel=1e-9)
    assert chips.shear_strain(angle, 20) == pytest.approx(1.577778038, rel=1e-9)


@pytest.mark.parametrize(
    ("kc11", "mc", "speed", "kc", "force", "power", "motor"),
    [
        (1500, 0.22, 60, 2276.937879, 341.5406819, 0.3415406819, 0.4879152598),  # medium-carbon steel
        (2150, 0.20, 40, 3142.101486, 471.3152229, 0.3142101486, 0.4488716409),  # austenitic stainless
    ],
)
def test_power(kc11, mc, speed, kc, force, power, motor):
    specific = cutting.specific_force(0.15, kc11, mc)
    assert specific == pytest.approx(kc, rel=1e-9)
    assert specific * 1.0 * 0.15 == pytest.approx(force, rel=1e-9)
    assert cutting.cutting_power(specific * 0.15, speed) == pytest.approx(power, rel=1e-9)
    assert speeds.motor_load(cutting.cutting_power(specific * 0.15, speed), 0.7) == pytest.approx(
        motor, rel=1e-9
    )


@pytest.mark.parametrize(
    ("depth", "feed", "nose", "slender", "ok", "fed", "deep"),
    [
        (1, 0.15, 0.4, 6.666666667, True, 0.375, 2.5),
        (0.1, 0.05, 0.4, 2.0, False, 0.125, 0.25),
        (0.5, 0.1, 0.4, 5.0, True, 0.25, 1.25),
    ],
)
def test_chip_window(depth, feed, nose, slender, ok, fed, deep):
    window = chips.chip_window(depth, feed, nose)
    assert window.slenderness == pytest.approx(slender, rel=1e-9)
    assert window.slender_ok is ok
    assert (window.feed_over_nose, window.depth_over_nose) == pytest.approx((fed, deep), rel=1e-9)


# ---- surface finish: the workshop's f²/8r (basis: computed; the rule's form: read) -------------------


@pytest.mark.parametrize(
    ("feed", "nose", "marks"),
    [
        (0.15, 0.2, 14.0625),
        (0.1, 0.4, 3.125),
        (0.15, 0.4, 7.0312),
        (0.3, 0.4, 28.125),
        (0.1, 0.8, 1.5625),
        (0.15, 0.8, 3.5156),
        (0.25, 0.8, 9.7656),
        (0.15, 1.2, 2.3438),
    ],
)
def test_workshop_form_of_the_mark(feed, nose, marks):
    assert cutting.feed_mark_short(feed, nose) * 1e3 == pytest.approx(marks, abs=0.0006)
    assert 125 * feed**2 / nose == pytest.approx(
        marks, abs=0.0006
    )  # R_th = 125 f²/r, as a tool dealer prints it (read)


def test_divisor_of_the_mean_and_the_feed_for_a_mark():
    assert 0.1**2 / (0.4 * cutting.mean_of_feed_mark(0.1, 0.4)) == pytest.approx(31.177, abs=0.001)
    assert cutting.feed_for_mark(0.0063, 0.8) == pytest.approx(0.2008, abs=0.0001)


# ---- textbook exercises ------------------------------------------------------------------------------


def test_shear_angle_textbook():
    # orthogonal cutting exercise: rake 16°, thickness ratio 0.45 → 26.28°, strain 2.20 (solution page read)
    angle = chips.shear_angle(0.45, 16)
    assert angle == pytest.approx(26.28, abs=0.01)
    assert chips.shear_strain(angle, 16) == pytest.approx(2.20, abs=0.01)
    # Groover, Fundamentals of Modern Manufacturing, example 21.1 (memory): rake 10°, 0.50 → 1.125 mm:
    # 25.4°, 2.386
    angle = chips.shear_angle(0.50 / 1.125, 10)
    assert angle == pytest.approx(25.4, abs=0.05)
    assert chips.shear_strain(angle, 10) == pytest.approx(2.386, abs=0.005)


def test_turning_exercise():
    # titanium bar 75 → 65 mm, 200 mm long, 400 turns a minute, 200 mm a minute, 3.0 to 4.1 W s/mm³
    # (solution page read): 94.25 m/min, 1 min, 10.996 and 15.027 kW, 7.0 and 9.57 kN
    assert speeds.surface_speed(75, 400) == pytest.approx(94.25, abs=0.01)
    assert speeds.time_in_cut(200, 0.5, 400) == pytest.approx(60.0)
    removed = speeds.removal_rate(
        5, 0.5, speeds.surface_speed(70, 400)
    )  # the exercise takes the mean diameter
    assert removed * 3.0 / 1e6 == pytest.approx(0.010996, rel=1e-4)
    assert removed * 4.1 / 1e6 == pytest.approx(0.015027, rel=1e-4)
    for power, force in ((10.996, 7000), (15.027, 9570)):
        assert cutting.cutting_power(force, speeds.surface_speed(75, 400)) == pytest.approx(power, rel=2e-3)


def test_shop_rule_for_turns():
    # 4·CS/D: 100 ft/min on 1 inch → 400 (common form, memory); exact 1000 v/(π D) gives 382
    v, d = 100 * 0.3048, 25.4
    assert speeds.spindle_speed(v, d) == pytest.approx(381.97, abs=0.01)
    assert speeds.spindle_speed(v, d) < 400  # the rule is 5 % fast


# ---- printed speeds and feeds ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("material", "tool", "low", "high"),
    [
        # US Army TM 43-0106, table 2-8, finish cuts, ft/min (read)
        ("austenitic stainless steel", "high-speed steel", 50, 105),
        ("austenitic stainless steel", "uncoated carbide", 150, 350),
        ("ferritic stainless steel", "high-speed steel", 55, 120),
        ("ferritic stainless steel", "uncoated carbide", 165, 450),
        # The Ferrous Metals Data Book, tables 9-3 and 9-6, ft/min (read)
        ("medium-carbon steel", "high-speed steel", 90, 130),
        ("medium-carbon steel quenched and tempered", "high-speed steel", 75, 115),
        ("low-alloy steel quenched and tempered", "high-speed steel", 70, 90),
        ("low-alloy steel", "coated carbide", 525, 650),
    ],
)
def test_speeds_as_printed_in_feet(material, tool, low, high):
    fact = speeds.cutting_speed(material, tool)
    assert (fact.low, fact.high) == pytest.approx((low * 0.3048, high * 0.3048), abs=0.5)
    assert fact.basis == "read"


@pytest.mark.parametrize(
    ("material", "tool", "low", "high"),
    [
        # F. D. Jones, Turning and Boring, conservative speeds of high-speed steel, ft/min (read in a copy)
        ("tool steel annealed", "high-speed steel", 25 * 0.3048, 35 * 0.3048),
        ("brass leaded", "high-speed steel", 150 * 0.3048, 200 * 0.3048),
        # usual ranges of the trade, m/min (memory): guidance, so the ranges need only overlap
        ("low-carbon steel", "high-speed steel", 25, 35),
        ("low-alloy steel", "high-speed steel", 18, 25),
        ("grey cast iron", "high-speed steel", 18, 25),
        ("titanium alloy", "high-speed steel", 9, 15),
        ("acetal", "high-speed steel", 90, 180),
        ("austenitic stainless steel", "coated carbide", 80, 150),
        ("grey cast iron", "coated carbide", 80, 150),
    ],
)
def test_speeds_overlap_what_others_print(material, tool, low, high):
    fact = speeds.cutting_speed(material, tool)
    assert fact.low <= high and fact.high >= low


def test_old_cast_iron_speed_is_the_careful_one():
    # Jones gives grey iron 40 to 50 ft/min (12 to 15 m/min): under today's bench-lathe manual
    assert speeds.cutting_speed("grey cast iron").low > 50 * 0.3048


def test_feeds_as_printed_in_inches():
    # machine-shop sheet: mild steel rough 0.010-0.020, finish 0.003-0.010 inch a turn (read)
    rough, fine = (
        speeds.feed_range("low-carbon steel", finishing=False),
        speeds.feed_range("low-carbon steel"),
    )
    assert (rough.low, rough.high) == pytest.approx((0.254, 0.508), abs=0.005)
    assert (fine.low, fine.high) == pytest.approx((0.0762, 0.254), abs=0.005)


def test_lathe_manual_rules():
    # operating manual of a centre lathe (read): depth over feed 4 to 10, example 1.0/0.14 = 7.1;
    # nose 0.4: roughing at most 0.2, finishing at most a third (the manual prints 0.12)
    assert chips.slenderness(1.0, 0.14) == pytest.approx(7.1, abs=0.05)
    assert chips.chip_window(1.0, 0.14, 0.4).slender_ok
    assert speeds.nose_feed(0.4, finishing=False) == pytest.approx(0.2)
    assert speeds.nose_feed(0.4) == pytest.approx(0.132) and speeds.nose_feed(0.4) > 0.12


def test_hones_and_finish_factors_as_printed():
    # a carbide dealer's article: hones run from 10 to 80 µm, 20 µm is called light (read)
    # an insert maker's page: steel comes out 1.5 to 3 times the theory (read)
    assert finish.edge("carbide, honed and coated").low == 0.010
    assert finish.edge("carbide, roughing hone").high == 0.080
    assert finish.edge("carbide, honed and coated").value > 0.020
    steel = tables.fact("cutting_rules", rule="finish_steel")
    assert (steel.low, steel.high, steel.basis) == (1.5, 3.0, "read")
