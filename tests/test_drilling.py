"""Holes: the public face, the bottom, the sequence, wander, chips, refusals, pages."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from springpass import drilling
from springpass.core.quantity import Refused
from springpass.core.tables import assumed
from springpass.cutting import kienzle, nose_forces
from springpass.pages import drilling as pages

WRONG = [0, -1, math.nan, math.inf, -math.inf, "", "wide", None]


def test_point_height_takes_numbers_and_arrays():
    got = drilling.point_height(np.array([5.0, 10.0]), 118)
    assert got.shape == (2,) and got[1] == pytest.approx(2 * got[0])
    flat = drilling.point_height(10, [118, 130, 135, 140, 180])
    assert (np.diff(flat) < 0).all() and flat[-1] == 0
    assert isinstance(drilling.point_height(10, 118), float) and drilling.point_height(10, 180) == 0.0


@pytest.mark.parametrize("wrong", WRONG)
def test_nonsense_is_refused_with_a_sentence(wrong):
    calls = [
        lambda: drilling.point_height(wrong, 118),
        lambda: drilling.point_height(10, wrong),
        lambda: drilling.drilled_depth(20, wrong),
        lambda: drilling.full_depth(wrong, 10),
        lambda: drilling.bottom(wrong, 118, 30, 10),
        lambda: drilling.bottom(9, 118, wrong, 10),
        lambda: drilling.sequence(bore=wrong),
        lambda: drilling.sequence(depth=wrong),
        lambda: drilling.largest_drill(wrong, 32),
        lambda: drilling.feed(wrong),
        lambda: drilling.oversize(wrong),
        lambda: drilling.chips_when_boring(9, 10, wrong, 6, 10),
        lambda: drilling.chips_when_boring(9, 10, 32, 6, wrong),
        lambda: drilling.peck(wrong),
    ]
    for call in calls:
        with pytest.raises(Refused) as refusal:
            call()
        assert str(refusal.value).endswith(".")


@pytest.mark.parametrize("angle", [20, 39.9, 181, 360, 1e9])
def test_impossible_points(angle):
    with pytest.raises(Refused, match="118"):
        drilling.point_height(10, angle)


def test_holes_that_cannot_be():
    for call in (
        lambda: drilling.bottom(11, 118, 30, 10),
        lambda: drilling.bottom(9, 118, 1, 10),
        lambda: drilling.full_depth(2, 10, 118),
        lambda: drilling.sequence(10, 2),
        lambda: drilling.sequence(10, 32, drill=9.9),
        lambda: drilling.sequence(10, 32, ream_stock=2),
        lambda: drilling.largest_drill(1.2, 100, start=1.0),
        lambda: drilling.chips_when_boring(10, 9, 30, 6, 10),
        lambda: drilling.chips_when_boring(9, 10, 30, 9.5, 10),
        lambda: drilling.speed("butter"),
        lambda: drilling.bulk("feathers"),
    ):
        with pytest.raises(Refused, match=r"\.$"):
            call()


@given(st.floats(2, 40), st.floats(60, 179), st.floats(1, 200))
@settings(max_examples=60, deadline=None)
def test_depth_there_and_back(diameter, angle, deep):
    tip = drilling.drilled_depth(deep, diameter, angle)
    assert drilling.full_depth(tip, diameter, angle) == pytest.approx(deep, rel=1e-9, abs=1e-9)


def test_the_clubs_bore():
    """Blind 10 H7, 32 deep, flat bottom: each tool follows the one before, nothing goes past the bottom, stock runs
    out.
    """
    plan = drilling.sequence(10, 32)
    assert [s.kind for s in plan.stages] == ["centre drill", "drill", "flat drill", "boring bar", "reamer"]
    assert plan.point_angle == 118 and plan.flat_bottom
    cut = plan.stages[1:]
    assert [s.left for s in cut] == sorted((s.left for s in cut), reverse=True) and cut[-1].left == 0
    assert sum(s.taken for s in cut) == pytest.approx(10)
    assert all(s.tip <= 32 for s in cut) and cut[0].tip == pytest.approx(31.8)
    assert cut[0].full_depth == pytest.approx(31.8 - drilling.point_height(plan.drill, 118), abs=1e-3)
    assert cut[-1].full_depth == pytest.approx(31)          # the reamer's 1 mm lead
    assert plan.clean <= 9.8 and plan.not_reamed == 1


def test_a_hole_with_a_cone_goes_deeper():
    plan = drilling.sequence(10, 32, flat_bottom=False)
    drill = plan.stages[1]
    assert drill.full_depth == pytest.approx(32) and drill.tip > 34
    assert "flat drill" not in [s.kind for s in plan.stages]


def test_a_flat_ground_drill_saves_boring_a_cone():
    """Common practice, in numbers: the bar's depth of cut at the bottom with and without it."""
    pointed, flat = drilling.bottom(9.2, 118, 32, 10), drilling.bottom(9.2, 180, 32, 10)
    assert pointed.times == pytest.approx(12.5) and flat.times == pytest.approx(1)
    assert flat.corner == 0 and flat.cone == 0 and flat.full_depth == 32


def test_flatter_points_leave_less():
    got = drilling.bottom(9, np.array(drilling.POINTS), 32, 10)
    for values in (got.height, got.corner, got.cone):
        assert (np.diff(values) < 0).all()


def test_wider_wander_asks_for_a_smaller_drill():
    sizes = [drilling.largest_drill(9.8, 32, start, 0.0015) for start in (0.01, 0.05, 0.1, 0.2)]
    assert sizes == sorted(sizes, reverse=True) and sizes[0] > sizes[-1]


def test_a_stiff_bar_leaves_nothing_and_a_soft_one_copies():
    assert drilling.copy_share(0, 300) == 0
    assert drilling.copy_share(1e9, 300) == pytest.approx(1)


def test_chips():
    few, many = drilling.chips_when_boring(9, 9.2, 32, 6, 5), drilling.chips_when_boring(9, 9.2, 32, 6, 110)
    assert few.share < 1 and few.until == 32
    assert many.share > 1 and many.until == pytest.approx(32 / many.share)
    assert drilling.chip_fill(9.2, 9, 6, 5) < few.share      # the room is a little less before the pass than after


def test_every_usual_point_has_its_use():
    assert all(drilling.point_use(angle) for angle in drilling.POINTS)
    assert "squares" in drilling.point_use(180)
    with pytest.raises(Refused):
        drilling.point_use(125)


def test_pecks():
    assert drilling.peck(8) == (24, 8)


# ---- pages ---------------------------------------------------------------------------------------------


def test_bottom_page():
    opened = pages.BOTTOM.answer()
    assert opened.result.verdict == "holds" and "flat-ground" in opened.words
    assert (
        "dimple" in pages.BOTTOM.answer(tip=33).words and pages.BOTTOM.answer(tip=33).result.verdict == "will not hold"
    )
    squared = pages.BOTTOM.answer(squared=True)
    assert squared.result.times == pytest.approx(1) and "all the way down" in squared.words
    assert pages.BOTTOM.answer(tip=32).result.verdict == "at the edge"


@pytest.mark.parametrize("tip", [30.0, 31.8, 32.0, 33.0, 34.5])
def test_bottom_page_corner_by_summing_slices(tip):
    """Metal between the drilled hole and the finished bore, summed in thin slices along the axis."""
    r = pages.BOTTOM.answer(tip=tip).result
    rim = tip - drilling.point_height(9.2, 118)
    z = np.linspace(rim, 32, 200_001)
    z = (z[:-1] + z[1:]) / 2
    drilled = 4.6 * np.clip((tip - z) / (tip - rim), 0, 1)
    slices = np.pi * (25 - drilled**2).sum() * (32 - rim) / 200_000 if rim < 32 else 0.0
    assert r.corner == pytest.approx(slices, rel=1e-6)


def test_wander_page():
    opened = pages.WANDER.answer()
    assert opened.result.verdict == "holds" and "common" not in opened.words
    tight = pages.WANDER.answer(drill=9.7)
    assert tight.result.verdict == "will not hold" and "First change" in tight.words
    assert pages.WANDER.answer(passes=1).result.after[0].value > pages.WANDER.answer(passes=3).result.after[2].value
    assert "experience" in opened.more


def test_road_page():
    opened = pages.ROAD.answer()
    assert opened.result.plan.drill == drilling.sequence(10, 32).drill
    assert "the last 1 mm undersize" in opened.words
    assert "reamer" not in pages.ROAD.answer(stock=0.0).words
    with pytest.raises(Refused):
        pages.ROAD.answer(drill=9.9)


def test_chips_page():
    assert pages.CHIPS.answer(form="broken short: commas and needles").result.verdict == "holds"
    assert pages.CHIPS.answer(form="tangles and ribbons").result.verdict == "will not hold"
    assert "never fingers" in pages.CHIPS.answer().more


def test_in_the_corner_the_cutting_force_grows_and_the_push_off_the_wall_does_not():
    """What chapter 9 says of the bell at the bottom: the straight edge carries the bar towards the wall."""
    wall, corner = (nose_forces(depth, 0.05, 0.4, assumed("entering angle of a boring bar").value,
        *kienzle("carbon steel C45 / 1045")) for depth in (0.4, 5.0))
    assert corner.cutting > 10 * wall.cutting
    assert corner.thrust < 0.5 * wall.thrust
