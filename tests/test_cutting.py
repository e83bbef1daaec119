"""Cutting: the tables, the lathe's own steps, finish, sharpness, chips; limits, refusals and the pages."""

import json
import time
from pathlib import Path

import numpy as np
import pytest

from springpass import cutting
from springpass.core import tables
from springpass.core.quantity import Refused, Say
from springpass.core.spread import EDGE, FAILS, HOLDS, LIKELY
from springpass.cutting import chips, speeds, surface_finish
from springpass.pages import chips as chip_pages
from springpass.pages import cutting as pages

STEEL, GEARS = "medium-carbon steel", "gears, ratio 1.4: 45 to 2000"
SHARP, HONED = "carbide, fine-ground and left sharp", "carbide, honed and coated"

# ---- tables -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["cutting_speeds", "edges", "cutting_rules", "chip_habits", "lathe_steps"])
def test_every_row_says_where_it_is_from(name):
    for row in tables.rows(name):
        assert row["source"] and row["place"] and row["basis"] in tables.BASES, row
        if "low" in row:
            assert row["low"] <= row["value"] <= row["high"], row
        # what is from memory says so, and what says so is not called a reading
        if row["basis"] == "memory":
            assert "memory" in f"{row['source']} {row['place']}" or "review" in row["source"], row
        if row["basis"] == "read":
            assert "from memory" not in row["source"], row


def test_every_work_material_has_speeds_feeds_and_habits():
    for material in cutting.work_materials():
        for tool in speeds.TOOLS:
            assert speeds.cutting_speed(material, tool).unit == "m/min"
        assert speeds.feed_range(material).high <= speeds.feed_range(material, finishing=False).high
        assert chips.thickening(material).low >= 1
        assert chips.stringiness(material) in (0, 1, 2)


def test_harder_steel_is_turned_slower():
    for tool in speeds.TOOLS:
        assert (
            speeds.cutting_speed("free-cutting steel", tool).value
            > speeds.cutting_speed("low-alloy steel", tool).value
            > speeds.cutting_speed("tool steel annealed", tool).value
        )


def test_edges_are_sorted_from_keen_to_dull():
    assert (
        surface_finish.edge(SHARP).value
        < surface_finish.edge("HSS, honed on a fine stone").value
        < surface_finish.edge(HONED).value
    )
    for kind in surface_finish.edge_kinds():
        assert surface_finish.tool_of(kind) in speeds.TOOLS


# ---- the lathe's own steps ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wanted", "chosen", "above"), [(477, 355, 500), (500, 500, 710), (2500, 2000, np.inf), (46, 45, 63)]
)
def test_step_is_never_above(wanted, chosen, above):
    step = speeds.choose_step(np.pi * 20 * wanted / 1000, 20, GEARS)
    assert (step.chosen, step.above, step.too_fast) == (chosen, above, False)
    assert step.speed <= np.pi * 20 * wanted / 1000 * (1 + 1e-9)


def test_no_step_is_ever_silently_above():
    dice = np.random.default_rng(3)
    for _ in range(300):
        v, d = float(np.exp(dice.uniform(0.7, 6))), float(np.exp(dice.uniform(0, 5.7)))
        plate = np.sort(dice.uniform(30, 3000, 6))
        step = speeds.choose_step(v, d, plate)
        if step.too_fast:
            assert step.chosen == plate[0] > step.wanted
            assert not step.nearest_is_above
        else:
            assert step.chosen <= step.wanted * (1 + 1e-9)
            assert step.chosen == max(
                p for p in plate if p <= step.wanted * (1 + 1e-9)
            )  # the nearest of those
            up = plate[plate > step.wanted]
            assert step.nearest_is_above == (len(up) > 0 and up[0] - step.wanted < step.wanted - step.chosen)
            if step.nearest_is_above:
                assert step.above == up[0]


def test_own_plate_is_read():
    assert list(speeds.steps("60, 110, 190; 320 540")) == [60, 110, 190, 320, 540]
    assert list(speeds.steps([540, 60, 60])) == [60, 540]
    assert speeds.steps(GEARS)[0] == 45
    ratio = speeds.steps(GEARS)[1:] / speeds.steps(GEARS)[:-1]
    assert ratio == pytest.approx(np.full(11, 1.41), abs=0.035)


@pytest.mark.parametrize(
    "plate", ["", "sixty", "0", "-45", "60, nan", [], [0.0], [float("nan")], "no such set"]
)
def test_a_bad_plate_is_refused(plate):
    with pytest.raises(Refused):
        speeds.steps(plate)


# ---- power, torque, time ------------------------------------------------------------------------------


def test_a_weak_motor_stalls_and_a_strong_one_does_not():
    cut = dict(material=STEEL, tool="uncoated carbide", diameter=40, length=50, depth=2.0, feed=0.3)
    assert speeds.plan_cut(**cut, motor_power=0.3).enough < 0.1
    assert speeds.plan_cut(**cut, motor_power=7.5).enough == 1.0


def test_power_by_hand():
    # 1.0 × 0.15 at 60 m/min with a sharp corner: kc 2277 MPa → 342 N → 0.342 kW; a nose thins part of
    # the chip, and thin chips are dear: some per cent more
    cut = speeds.plan_cut(
        STEEL, "uncoated carbide", 60e3 / (np.pi * 1000), 100, 1.0, 0.15, lathe=[1000], speed=60
    )
    assert cut.step.speed == pytest.approx(60)
    assert 1.0 < cut.power.value / (0.342 * np.sqrt(0.8 * 1.55)) < 1.1   # the middle of both printed sets
    assert cut.seconds == pytest.approx(40.0)
    assert cut.chip_area == pytest.approx(0.15, rel=0.01)  # but for the sliver the feed mark keeps
    assert (
        cut.power.low < 0.8 * cut.power.value * 1.02 and cut.power.high > 1.15 * cut.power.value
    )  # the range of both printed sets


def test_a_bore_takes_more():
    cut = (STEEL, "high-speed steel", 20, 40, 0.5, 0.1)
    outside, bore = speeds.plan_cut(*cut), speeds.plan_cut(*cut, internal=True)
    assert 1.1 <= bore.force.value / outside.force.value <= 1.3


@pytest.mark.parametrize(
    "bad",
    [
        dict(diameter=0),
        dict(diameter=-5),
        dict(length=float("nan")),
        dict(depth=float("inf")),
        dict(feed=0),
        dict(feed=2.0),
        dict(motor_power=0),
        dict(material="cheese"),
        dict(tool="butter"),
        dict(speed=-1),
        dict(diameter="wide"),
        dict(nose_radius=0),
    ],
)
def test_plan_refuses_with_a_sentence(bad):
    good = dict(material=STEEL, tool="high-speed steel", diameter=20.0, length=40.0, depth=0.5, feed=0.1)
    with pytest.raises(Refused) as refusal:
        speeds.plan_cut(**{**good, **bad})
    assert str(refusal.value).rstrip(".").count(" ") > 3


# ---- finish -----------------------------------------------------------------------------------------


def test_a_sharp_edge_without_built_up_edge_leaves_the_paper_marks_times_a_factor():
    f = surface_finish.finish("brass leaded", 1e-6, 0.1, 0.4, 100)
    rule = tables.fact("cutting_rules", rule="finish_other")
    assert rule.low <= f.rz.low / f.ideal <= f.rz.high / f.ideal <= rule.high
    assert f.built_up == 0
    assert f.rubbed.value < 1e-6


def test_finer_gets_worse_below_the_best_feed():
    curve = surface_finish.finish_curve("brass leaded", 0.03, 0.4, 100, feeds=np.geomspace(0.02, 0.3, 60))
    best = curve.feed[curve.middle.argmin()]
    wanted = surface_finish.finish("brass leaded", 0.03, 0.1, 0.4, 100).best_feed
    assert wanted.low <= best <= wanted.high
    assert curve.middle[0] > curve.middle.min() * 1.2
    assert curve.ideal[0] < curve.ideal[10] < curve.ideal[-1]  # on paper finer is always better
    keen = surface_finish.finish("brass leaded", SHARP, 0.1, 0.4, 100).best_feed
    assert keen.high < wanted.value  # a keener edge pushes that feed down


def test_built_up_edge_comes_and_goes_with_speed():
    shares = [float(surface_finish.built_up_share("low-carbon steel", v)) for v in (2, 15, 40, 150)]
    assert shares[0] == 0 and shares[1] == 1 and shares[2] == 1 and shares[3] == 0
    assert float(surface_finish.built_up_share("grey cast iron", 30)) == 0
    slow, fast = (surface_finish.finish("low-carbon steel", SHARP, 0.05, 0.4, v) for v in (20, 200))
    assert slow.ra.value > 2 * fast.ra.value
    assert slow.built_up > 0.9 and fast.built_up == 0


def test_feed_for_a_wanted_finish_meets_it():
    f = surface_finish.feed_for(0.0016, "low-carbon steel", "carbide, ground, uncoated", 0.4, 120)
    assert (
        surface_finish.finish(
            "low-carbon steel", "carbide, ground, uncoated", f * 0.98, 0.4, 120, wanted_ra=0.0016
        ).chance
        >= 0.88
    )
    assert (
        surface_finish.finish(
            "low-carbon steel", "carbide, ground, uncoated", f * 1.2, 0.4, 120, wanted_ra=0.0016
        ).chance
        < 0.9
    )
    with pytest.raises(Refused, match="the best is Ra"):
        surface_finish.feed_for(0.00005, "low-carbon steel", HONED, 0.4, 20)


@pytest.mark.parametrize(
    "bad",
    [
        dict(feed=0),
        dict(feed=float("nan")),
        dict(feed=0.9),
        dict(nose_radius=-1),
        dict(speed=0),
        dict(edge_kind="a spoon"),
        dict(material="cheese"),
        dict(minor_angle=-3),
        dict(wanted_ra=0),
        dict(speed="fast"),
        dict(edge_kind=float("inf")),
    ],
)
def test_finish_refuses_with_a_sentence(bad):
    good = dict(material=STEEL, edge_kind=SHARP, feed=0.1, nose_radius=0.4, speed=60)
    with pytest.raises(Refused):
        surface_finish.finish(**{**good, **bad})


# ---- sharpness ----------------------------------------------------------------------------------------


def test_least_chip_by_hand():
    s = surface_finish.sharpness(0.010, 0.1, 0.05, 0.4, ratio=0.3)
    assert s.least_chip.value == pytest.approx(0.003)
    # groove depth at the tip's lowest point: f²/2r = 3.1 µm > 3 µm, so the depth is the minimum chip thickness itself
    assert s.lightest.value == pytest.approx(0.003)
    # at 0.02 mm feed the chip is thinner: reach (0.0004 + 0.0024 − 0.000009)/0.04 = 0.0698,
    # depth 0.4 − √(0.16 − 0.00487)
    assert surface_finish.sharpness(0.010, 0.1, 0.02, 0.4, ratio=0.3).lightest.value == pytest.approx(
        0.4 - np.sqrt(0.16 - 0.0697750**2), rel=1e-6
    )


def test_a_coarser_feed_lets_a_lighter_cut_be_taken():
    lightest = [surface_finish.lightest_depth(0.004, f, 0.4) for f in (0.02, 0.03, 0.05, 0.08)]
    assert lightest[0] > lightest[1] > lightest[2] >= lightest[3] == pytest.approx(0.004)


def test_a_smaller_nose_lets_a_lighter_cut_be_taken():
    assert surface_finish.lightest_depth(0.004, 0.03, 0.2) < surface_finish.lightest_depth(0.004, 0.03, 0.8)


def test_dull_edges_rub_where_keen_ones_cut():
    cut = dict(depth=0.01, feed=0.03, nose_radius=0.4)
    assert surface_finish.sharpness(SHARP, **cut).cuts == 1.0
    assert surface_finish.sharpness(HONED, **cut).cuts < 0.5
    assert (
        surface_finish.sharpness(SHARP, **cut).cutting_share.value
        > surface_finish.sharpness(HONED, **cut).cutting_share.value
    )
    perfect = surface_finish.sharpness(1e-9, **cut)
    assert perfect.cutting_share.value == pytest.approx(1.0, abs=0.02)


def test_no_depth_is_enough_for_a_spoon():
    assert surface_finish.sharpness(0.5, 0.1, 0.01, 0.2, ratio=0.6).lightest.value == np.inf


# ---- chips ------------------------------------------------------------------------------------------


def test_thin_finishing_cuts_string_and_hearty_cuts_break():
    assert chips.chip_window(0.1, 0.05, 0.4, STEEL).breaks < 0.05
    assert chips.chip_window(1.0, 0.2, 0.4, STEEL).breaks > 0.7
    assert (
        chips.chip_window(0.1, 0.05, 0.4, "brass leaded").breaks
        > chips.chip_window(0.1, 0.05, 0.4, STEEL).breaks
    )
    assert (
        chips.chip_window(1.0, 0.2, 0.4, STEEL, breaker=False).breaks
        < chips.chip_window(1.0, 0.2, 0.4, STEEL).breaks
    )
    # common practice: more feed breaks a chip
    odds = [chips.chip_window(1.0, f, 0.4, STEEL).breaks for f in (0.08, 0.12, 0.16, 0.2)]
    assert odds == sorted(odds) and odds[0] < odds[-1]


def test_advice_comes_in_order_and_helps():
    steps = chips.advice(0.1, 0.05, 0.4, STEEL, breaker=False)
    kinds = [step.kind for step in steps]
    assert kinds == ["feed", "speed", "nose", "depth", "breaker", "pause"]  # common practice: feed first, then speed
    assert steps[0].feed == pytest.approx(0.33 * 0.4) and steps[2].nose_radius == 0.2
    known = [step.breaks for step in steps if step.breaks is not None]
    assert known == sorted(known) and known[-1] > known[0]
    assert any(
        step.kind == "free-cutting" for step in chips.advice(0.1, 0.05, 0.4, "austenitic stainless steel")
    )
    for step in steps:   # the words take each length that changes, in the reader's unit
        for length in filter(None, (step.feed, step.nose_radius, step.depth)):
            for say in (Say(), Say(True)):
                assert say.length(length, 2) in chip_pages.change_words(step, say)


def test_small_work_makes_long_strings():
    # 10 mm, 30 long, 0.05 a turn: 600 turns of 31.4 mm, 18.8 m of path, shortened 2.4 times
    heap = chips.heap(10, 30, 0.1, 0.05, STEEL)
    assert heap.turns == pytest.approx(600)
    assert np.pi * 10 * 600 / 3.2 < heap.length.low < heap.length.high < np.pi * 10 * 600 / 1.8
    assert heap.metal == pytest.approx(np.pi * 10 * 30 * 0.1)
    assert (
        heap.tangled.value > heap.bore > heap.broken.value
    )  # the string overfills the bore, short chips do not


def test_cautions_are_said():
    text = " ".join(chip_pages.CAUTIONS).lower()
    for must in (
        "never touch it by hand",
        "stop the spindle",
        "eye protection",
        "chuck key",
        "carbide",
        "cobalt",
        "file",
        "manual",
        "instructor",
    ):
        assert must in text


@pytest.mark.parametrize(
    "bad",
    [dict(depth=0), dict(feed=-0.1), dict(nose_radius=float("nan")), dict(material="cheese"), dict(feed=1.0)],
)
def test_window_refuses_with_a_sentence(bad):
    good = dict(depth=0.5, feed=0.1, nose_radius=0.4, material=STEEL)
    with pytest.raises(Refused):
        chips.chip_window(**{**good, **bad})
    with pytest.raises(Refused):
        chips.advice(**{**good, **bad})


# ---- arrays, and the first version's names -------------------------------------------------------------


def test_formulas_take_arrays():
    feeds = np.linspace(0.02, 0.2, 7)
    assert cutting.roughness(feeds, 0.4).rt.shape == (7,)
    assert cutting.roughness(feeds, 0.4, 0.003, 10).ra.shape == (7,)
    assert cutting.best_feed(np.array([0.2, 0.4]), 0.004).shape == (2,)
    assert speeds.surface_speed(20, np.array([100, 200])) == pytest.approx([6.2832, 12.566], rel=1e-4)
    assert isinstance(cutting.roughness(0.1, 0.4).rt, float)


def test_minor_edge_and_rubbing_together():
    # past the chord the rubbed part comes on top of the minor edge's mark
    plain_mark = cutting.roughness(0.2, 0.2, 0.0, 5).rt
    both = cutting.roughness(0.2, 0.2, 0.004, 5).rt
    assert both - plain_mark == pytest.approx(0.002 * (1 + 0.2 * 0.004 / 0.04), rel=1e-9)


def test_range_is_the_house_range():
    assert LIKELY == (5.0, 95.0)


# ---- the pages and the notebook ------------------------------------------------------------------------


def test_speed_page_says_when_the_nearest_step_is_above():
    near = pages.SPEED.answer(
        diameter=12, material="low-alloy steel"
    )  # 25 m/min asks for 663; 710 is nearer than 500
    assert near.result.cut.step.chosen == 500 and "next one up, 710" in near.words
    exact = pages.SPEED.answer(lathe=pages.OWN, plate="477, 525")
    assert "next one up" not in exact.words and exact.result.cut.step.chosen == 525
    too_fast = pages.SPEED.answer(lathe=pages.OWN, plate="2000 3000", diameter=60)
    assert too_fast.result.verdict == FAILS and "2000 rpm is the slowest" in too_fast.words
    assert too_fast.result.headline == "Even the slowest speed is too fast"
    with pytest.raises(Refused):
        pages.SPEED.answer(lathe=pages.OWN, plate="quick")


def test_speed_page_verdicts():
    assert pages.SPEED.answer().result.verdict == HOLDS
    heavy = dict(material="low-alloy steel", tool="uncoated carbide", diameter=40, feed=0.25, motor=0.55)
    assert pages.SPEED.answer(depth=2.0, **heavy).result.verdict == FAILS  # exercise 4 of the notebook
    assert pages.SPEED.answer(depth=0.55, **heavy).result.verdict == EDGE
    assert pages.SPEED.answer(depth=0.4, **heavy).result.verdict == HOLDS
    assert "the motor will stall" in pages.SPEED.answer(depth=2.0, **heavy).result.headline


def test_finish_page_words_are_true():
    for feed in (0.02, 0.04, 0.1):
        answer = pages.FINISH.answer(feed=feed)
        best = answer.result.surface.best_feed
        assert ("too fine" in answer.words) == (feed < best.low)
        assert ("Finer feeds help" in answer.words) == (feed > best.high)
    to_take = pages.FINISH.answer().result.feed_to_take
    assert pages.FINISH.answer(feed=to_take * 0.93).result.verdict == HOLDS
    assert pages.FINISH.answer(feed=to_take * 1.1).result.verdict != HOLDS
    assert "builds up" in pages.FINISH.answer(speed=20).words
    assert "builds up" not in pages.FINISH.answer(speed=200).words
    assert "No feed promises" in pages.FINISH.answer(wanted=0.0002).words


def test_sharpness_page_words_are_true():
    rubs = chip_pages.SHARP.answer(edge=HONED, depth=0.003, feed=0.03)
    assert (
        rubs.result.verdict == FAILS
        and rubs.result.headline == "It rubs"
        and "takes nothing off" in rubs.words
    )
    cuts = chip_pages.SHARP.answer(edge=SHARP, depth=0.05, feed=0.05)
    assert cuts.result.verdict == HOLDS and "It cuts with" in cuts.words
    assert "A coarser feed allows a lighter one" in chip_pages.SHARP.answer(edge=HONED, feed=0.03).words


def test_chip_page_always_warns_and_begins_with_the_first_change():
    for settings in (
        dict(),
        dict(depth=1, feed=0.2),
        dict(material="brass leaded"),
        dict(material="titanium alloy"),
    ):
        answer = chip_pages.CHIPS.answer(**settings)
        assert "Never clear a string by hand: stop the spindle" in answer.words
        assert ("Change first" in answer.words) == (answer.result.window.breaks < 0.7)
    assert "Change first: raise the feed" in chip_pages.CHIPS.answer().words
    assert chip_pages.CHIPS.answer(depth=1, feed=0.2).result.verdict == HOLDS


def test_the_map_and_the_cut_agree():
    m = chips.window_map(0.4, STEEL, True)
    for i, j in ((7, 7), (20, 21), (22, 19), (23, 20), (21, 18)):
        whole = chips.chip_window(float(m.depth[i]), float(m.feed[j]), 0.4, STEEL).breaks
        assert m.breaks[i, j] == pytest.approx(whole, abs=0.12)  # 120 points against 2,000


def test_notebook_keeps_its_outline():
    path = Path(__file__).resolve().parents[1] / "workbook" / "08_cutting.ipynb"
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    text = "\n".join("".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown")
    places = [
        text.index(f"## {name}")
        for name in (
            "At the lathe",
            "Predict",
            "Slide",
            "Why",
            "Worked example",
            "Rule of thumb",
            "Before you cut",
            "Exercises",
            "Sources",
        )
    ]
    assert places == sorted(places)
    assert text.count("<summary>Solution</summary>") >= 1 and text.count("At the lathe:") >= 2
    for caution in chip_pages.CAUTIONS[:-1]:
        assert caution in text
    assert "More feed, and then less speed" in text and "common practice" in text
    for cell in cells:
        if cell["cell_type"] == "code":
            assert len("".join(cell["source"]).splitlines()) <= 8


def test_slow_down_is_not_hidden():
    """2,000 samples of each model, against the same work done one sample at a time: a ratio, not a time."""

    def clock(work, n):
        started = time.perf_counter()
        for _ in range(n):
            work()
        return (time.perf_counter() - started) / n

    surface_finish.finish(STEEL, SHARP, 0.1, 0.4, 60)
    whole = min(clock(lambda: surface_finish.finish(STEEL, SHARP, 0.1, 0.4, 60), 3) for _ in range(5))
    single = min(clock(lambda: surface_finish.finish(STEEL, 0.005, 0.1, 0.4, 60), 3) for _ in range(5))
    assert whole < 100 * single  # one by one it would be about 2000 times
