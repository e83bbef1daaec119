"""Batches, wear and control charts: what must hold whatever is set, and what is refused."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from springpass.core import tables
from springpass.core.quantity import Refused, Say
from springpass.cutting import wear
from springpass.job import batch as b
from springpass.measuring import control_charts as cc
from springpass.pages.batch import MATERIALS, TEN_OF_THE_SAME, TOOLS

HOW = {"count": 10, "tolerance": 0.021, "drift": 0.001, "scatter": 0.0015, "reading": 0.001, "setting": 0.0015}


def test_every_material_and_tool_of_the_page_has_its_wear():
    for material in MATERIALS:
        for tool in TOOLS:
            assert 0 < wear.wear(material, tool, 20, 20, 0.05, 50, 7).rate < 1e-4


def test_a_faster_cut_wears_more_and_half_the_table_is_the_least():
    at = [float(wear.wear("bronze", "high-speed steel", 20, 20, 0.05, v, 7).rate) for v in (2, 5, 12.5, 20, 25, 40)]
    assert at[0] == at[1] == at[2] < at[3] < at[4] < at[5]


def test_more_parts_more_wear_and_less_tolerance_are_never_better():
    chances = [b.batch(**HOW | {"count": n}, interval=5).chance for n in (2, 5, 10, 30)]
    assert chances == sorted(chances, reverse=True)
    chances = [b.batch(**HOW | {"tolerance": t}, interval=5).chance for t in (0.04, 0.02, 0.012, 0.006)]
    assert chances == sorted(chances, reverse=True)
    chances = [b.batch(**HOW | {"drift": d}, interval=10).chance for d in (0.0005, 0.001, 0.002, 0.004)]
    assert chances == sorted(chances, reverse=True)


def test_the_way_of_the_wear_only_turns_the_picture_over():
    bare = HOW | {"scatter": 0.0, "reading": 0.0, "setting": 0.0}
    out, inside = (b.batch(**bare, interval=3, sign=s) for s in (1, -1))
    assert np.allclose(out.middle, -inside.middle) and out.chance == inside.chance
    assert out.rule.start == -inside.rule.start < 0


def test_beginning_on_the_safe_side_helps_where_only_wear_moves_the_size():
    long = b.batch(**HOW | {"drift": 0.0015}, interval=10)
    assert long.chance > long.other
    assert long.other == b.batch(**HOW | {"drift": 0.0015}, interval=10, offset=False).chance


def test_the_best_interval_is_as_good_as_any():
    found = b.batch(**HOW, interval=10)
    chance = dict(zip(found.intervals, found.chances, strict=True))
    assert chance[found.best] >= max(found.chances) - b.AS_GOOD
    assert all(chance[i] < max(found.chances) - b.AS_GOOD for i in found.intervals if i > found.best)


@given(count=st.integers(1, 60), interval=st.integers(1, 100), tolerance=st.floats(1e-4, 1), drift=st.floats(0, 0.1),
       scatter=st.floats(0, 0.1), reading=st.floats(0, 0.1), sign=st.sampled_from((1, -1)), offset=st.booleans())
def test_whatever_is_set_the_answer_is_a_chance(count, interval, tolerance, drift, scatter, reading, sign, offset):
    found = b.batch(count, tolerance, drift, scatter, reading, 0.001, interval, sign=sign, offset=offset)
    assert 0 <= found.chance <= 1 and (found.low <= found.high).all() and len(found.each) == count
    assert found.chance <= found.each.min() + 1e-12


@pytest.mark.parametrize("wrong", [{"count": 0}, {"count": 2.5}, {"count": 101}, {"count": True}, {"interval": 0},
    {"tolerance": 0}, {"tolerance": float("nan")}, {"scatter": -1}, {"reading": "much"}, {"drift": -0.001},
    {"sign": 2}, {"warm_time": 0}, {"seconds": float("inf")}])
def test_what_cannot_be_a_batch_is_refused(wrong):
    with pytest.raises(Refused):
        b.batch(**HOW | wrong)


def test_a_plan_of_no_sizes_and_of_a_missing_tool():
    assert b.all_good((), 10) == 1.0
    for wrong in (0, -1, 1.5, True, None):
        with pytest.raises(Refused):
            b.all_good((), wrong)


# ---- the chart --------------------------------------------------------------------------------------


def test_a_reading_far_out_and_a_run_are_seen():
    calm = [0.0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 0, 1]
    assert cc.chart(calm).signals == ()
    assert [(s.kind, s.at) for s in cc.chart([*calm, 9.0], first=12).signals] == [("outside", 13), ("jump", 13)]
    run = [*calm, 1, 0.8, 1, 0.7, 1, 0.9]      # with the twelfth reading seven above the centre line
    assert [(s.kind, s.at) for s in cc.chart(run, first=12).signals] == [("one side", 18)]
    rising = [*calm, 0.1, 0.2, 0.3, 0.6, 0.7, 0.8, 0.9]
    assert ("trend", 19) in [(s.kind, s.at) for s in cc.chart(rising, first=12).signals]


def test_the_drift_of_wear_is_no_signal_where_it_is_allowed_for():
    rng = np.random.default_rng(5)
    worn = 0.002 * np.arange(20) + 0.001 * rng.normal(size=20)
    assert any(s.kind in ("one side", "outside") for s in cc.chart(worn).signals)
    assert cc.chart(worn, drift=0.002).signals == ()


def test_seven_on_one_side_is_a_rare_chance():
    """Twenty good readings show a signal now and then: in fewer than one chart in six, and in some."""
    rng = np.random.default_rng(11)
    seen = np.mean([bool(cc.chart(row, first=0).signals) for row in rng.normal(size=(1500, 20))])
    assert 0.04 < seen < 0.25


@pytest.mark.parametrize("wrong", ["", "1 2 3", "1 2 three 4 5", [1, 2, 3, 4], None])
def test_too_few_or_wrong_readings_are_refused(wrong):
    with pytest.raises(Refused):
        cc.chart(wrong)


def test_equal_readings_are_a_chart_without_signals():
    found = cc.chart([5.0] * 8)
    assert found.reach == 0 and found.signals == ()


def test_the_factors_are_one_row_for_each_number():
    assert [r["n"] for r in tables.rows("shewhart")] == list(range(2, 11))


# ---- the page ---------------------------------------------------------------------------------------


def test_the_page_is_the_model():
    r = TEN_OF_THE_SAME.answer().result
    assert r.batch.count == 10 and r.verdict == r.batch.verdict
    inch = TEN_OF_THE_SAME.answer(Say(True))
    assert "thou" in inch.words and "µm" not in inch.words


def test_handles_move_the_interval_and_the_tolerance():
    svg = TEN_OF_THE_SAME.answer().svg
    assert 'data-handle="interval"' in svg and 'data-handle="tolerance"' in svg


# ---- the plan ---------------------------------------------------------------------------------------


def test_a_plan_for_many_says_the_chance_that_all_are_good():
    from springpass import job
    from springpass.job import part
    from springpass.pages import plan as page

    made = job.plan(part.demo("bearing_housing"))
    chances = [b.of_plan(made, n) for n in (1, 2, 5, 20)]
    assert chances[0] == made.odds and chances == sorted(chances, reverse=True)
    assert chances[3] > made.odds**20       # what the parts share moves them together
    ten = page.PAGE.answer(name="bearing housing", count=10)
    assert ten.result.count == 10 and "All 10" in ten.words
    assert "All" not in page.PAGE.answer(name="bearing housing").words.split("\n")[0]


def test_bending_is_each_parts_own_only_where_like_cuts_are_measured_between():
    from springpass import job
    from springpass.job import part

    sleeve = part.demo("drive_sleeve")
    careful, straight = (job.plan(sleeve, trial=trial) for trial in (True, False))
    assert b.of_plan(straight, 5) > straight.odds**5
    assert 0 < b.of_plan(careful, 5) <= careful.odds
