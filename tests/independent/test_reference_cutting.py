"""Cutting against reference computations; a second method agreed with each. Basis: computed."""

import numpy as np
import pytest

from outside import agrees, claim, source
from springpass import cutting
from springpass.cutting import chips, speeds


@pytest.mark.parametrize(
    ("feed", "nose", "parabola", "exact", "mean"),
    [
        (0.05, 0.4, 0.78125, 0.7820144332, 0.2004688435),
        (0.3, 0.4, 28.125, 29.19007565, 7.216878365),
    ],
)
@source("reference computation, a second method agreed", place="feed marks", basis="method")
def test_ideal_marks(feed, nose, parabola, exact, mean):
    agrees("feed mark short", cutting.feed_mark_short(feed, nose) * 1e3, parabola, rel=1e-9, unit="µm",
           of=cutting.feed_mark_short)
    agrees("feed mark", cutting.feed_mark(feed, nose) * 1e3, exact, rel=1e-9, unit="µm", of=cutting.feed_mark)
    agrees("mean of feed mark", cutting.mean_of_feed_mark(feed, nose) * 1e3, mean, rel=1e-9, unit="µm",
           of=cutting.mean_of_feed_mark)
    agrees("roughness, rt", cutting.roughness(feed, nose).rt * 1e3, exact, rel=1e-9, of=cutting.roughness)
    # the trap: a quarter of the height is 2.6 % low
    agrees("feed mark short", cutting.feed_mark_short(feed, nose) / 4 / cutting.mean_of_feed_mark(feed, nose), 0.9743,
           abs=1e-4, of=(cutting.mean_of_feed_mark, cutting.feed_mark_short))


@pytest.mark.parametrize(
    ("feed", "nose", "least", "marks"), [(0.03, 0.4, 0.005, 8.336805556), (0.05, 0.8, 0.005, 6.890625)]
)
@source("reference computation, a second method agreed", place="Brammertz' formula", basis="method")
def test_brammertz(feed, nose, least, marks):
    agrees(
        "feed mark with rubbing",
        cutting.feed_mark_with_rubbing(feed, nose, least) * 1e3,
        marks,
        rel=1e-9,
        unit="µm",
        of=cutting.feed_mark_with_rubbing,
    )
    agrees("roughness, rt", cutting.roughness(feed, nose, least).rt * 1e3, marks, rel=1e-9, of=cutting.roughness)


@source("reference computation, a second method agreed", place="nose 0.4, minimum chip thickness 5 "
    "µm", basis="method")
def test_the_feed_below_which_finer_gets_worse():
    best = cutting.best_feed(0.4, 0.005)
    agrees("best", best, 0.0632455532, rel=1e-9, of=cutting.best_feed)
    agrees(
        "roughness, rt", cutting.roughness(best, 0.4, 0.005).rt * 1e3, 5.0, rel=1e-9, of=cutting.roughness
    )  # the minimum chip thickness itself
    claim("roughness, rt", cutting.roughness(best * 0.9, 0.4, 0.005).rt > cutting.roughness(best, 0.4, 0.005).rt,
          of=cutting.roughness)
    claim("roughness, rt", cutting.roughness(best * 1.1, 0.4, 0.005).rt > cutting.roughness(best, 0.4, 0.005).rt,
          of=cutting.roughness)


@source("reference computation, a second method agreed", place="minor edge at 32°", basis="method")
def test_minor_edge_at_the_chord():
    # feed 0.1, nose 0.2, minor angle 32°: the chord is 2 r sin 32° = 0.212, so the arc alone makes the mark
    agrees(
        "roughness, rt",
        cutting.roughness(0.1, 0.2, minor_angle=32).rt * 1e3,
        6.35083269,
        rel=1e-9,
        of=cutting.roughness,
    )
    # at the chord itself both forms must agree
    chord = 2 * 0.2 * np.sin(np.radians(32))
    agrees("feed mark past nose", cutting.feed_mark_past_nose(chord, 0.2, 32), cutting.feed_mark(chord, 0.2), rel=1e-12,
           unit="mm", of=cutting.feed_mark_past_nose)


@source("reference computation, a second method agreed", place="thinning 1/1.5, rake 20°", basis="method")
def test_shear_angle_from_the_chip():
    angle = chips.shear_angle(1 / 1.5, 20)
    agrees("angle", angle, 39.05909006, rel=1e-9, of=chips.shear_angle)
    agrees("shear strain", chips.shear_strain(angle, 20), 1.577778038, rel=1e-9, of=chips.shear_strain)


@pytest.mark.parametrize(
    ("kc11", "mc", "speed", "kc", "force", "power", "motor"),
    [
        (1500, 0.22, 60, 2276.937879, 341.5406819, 0.3415406819, 0.4879152598),  # medium-carbon steel
        (2150, 0.20, 40, 3142.101486, 471.3152229, 0.3142101486, 0.4488716409),  # austenitic stainless
    ],
)
@source("reference computation, a second method agreed", place="1 mm by 0.15 mm", basis="method")
def test_power(kc11, mc, speed, kc, force, power, motor):
    specific = cutting.specific_force(0.15, kc11, mc)
    agrees("specific", specific, kc, rel=1e-9, of=cutting.specific_force)
    agrees("specific", specific * 1.0 * 0.15, force, rel=1e-9, of=cutting.specific_force)
    agrees("cutting power", cutting.cutting_power(specific * 0.15, speed), power, rel=1e-9, unit="kW",
           of=cutting.cutting_power)
    agrees(
        "motor load",
        speeds.motor_load(cutting.cutting_power(specific * 0.15, speed), 0.7),
        motor,
        rel=1e-9,
        unit="kW",
        of=(speeds.motor_load, cutting.cutting_power),
    )


@pytest.mark.parametrize(
    ("depth", "feed", "nose", "slender", "ok", "fed", "deep"),
    [
        (1, 0.15, 0.4, 6.666666667, True, 0.375, 2.5),
        (0.1, 0.05, 0.4, 2.0, False, 0.125, 0.25),
        (0.5, 0.1, 0.4, 5.0, True, 0.25, 1.25),
    ],
)
@source("reference computation, a second method agreed", place="three cuts", basis="method")
def test_chip_window(depth, feed, nose, slender, ok, fed, deep):
    window = chips.chip_window(depth, feed, nose)
    agrees("slenderness", window.slenderness, slender, rel=1e-9, of=chips.chip_window)
    claim("slender ok", window.slender_ok is ok, of=chips.chip_window)
    agrees("feed over nose, depth over nose", (window.feed_over_nose, window.depth_over_nose), (fed, deep), rel=1e-9,
           of=chips.chip_window)
