"""The lathe itself: claims, limits, bad input; what is kept in the shop file, and that plan and bench page use it."""

import numpy as np
import pytest

from springpass import the_lathe as lathe
from springpass.core import files, tables
from springpass.core.quantity import Refused
from springpass.job import part, planning, shop, tools
from springpass.job.results import Cause
from springpass.pages import check_stickout, is_it_my_lathe, nose_and_tailstock, tip_height, warm_up


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path / "shop"))
    files.notices()


# ---- readings ---------------------------------------------------------------------------------------


def test_bending_alone_is_not_taken_for_the_lathe():
    """Both collars alike after the bending is taken off: no taper is told, whatever its sign."""
    found = lathe.two_collars([40.0, 40.001], [40.003, 40.004], 80.0, 0.003, 0.0005).taper
    assert found.value == pytest.approx(0, abs=1e-12) and found.low < 0 < found.high


def test_more_readings_and_a_longer_span_know_better():
    dice = np.random.default_rng(2)
    few, many = (
        lathe.two_collars(40 + dice.normal(0, 1e-3, n), 40.01 + dice.normal(0, 1e-3, n), 80.0) for n in (3, 40))
    assert many.taper.reach() < few.taper.reach()
    short, long = (lathe.two_collars([40, 40.001], [40.004, 40.005], span) for span in (40.0, 160.0))
    assert long.taper.uncertainty == pytest.approx(short.taper.uncertainty / 4)


def test_identical_readings_are_no_better_than_the_gauges_step():
    found = lathe.two_collars([40.0] * 5, [40.0] * 5, 100.0, resolution=0.01)
    assert found.hidden and found.scatter == pytest.approx(0.01 / np.sqrt(12))
    assert lathe.bar_in_spindle([0, 0], [0, 0], [0, 0], [0, 0], 100.0).taper.uncertainty > 0
    assert lathe.nose_runout(np.zeros(8)).runout.uncertainty > 0
    assert lathe.fit(60.0 * np.arange(8), np.zeros(8)).hour.uncertainty > 0


def test_noise_alone_is_no_run_out():
    dice = np.random.default_rng(5)
    shown = [lathe.nose_runout(dice.normal(0, 0.001, 12), 1e-4).runout for _ in range(200)]
    assert np.mean([one.low <= 0 for one in shown]) > 0.7


def test_a_drift_that_is_not_there_is_said_to_be_none():
    dice = np.random.default_rng(6)
    minutes = np.arange(0, 61, 5.0)
    flat = [lathe.fit(60 * minutes, dice.normal(0, 0.0004, 13)).flat for _ in range(100)]
    assert np.mean(flat) > 0.8
    to_and_fro = "\n".join(f"{m:g} {i % 2}" for i, m in enumerate(minutes))
    page = warm_up.WARM_UP.answer(readings=to_and_fro)
    assert "No drift can be told" in page.words


def test_readings_that_end_too_early_have_no_upper_end():
    minutes = np.arange(0, 21, 2.0)
    found = lathe.fit(60 * minutes, np.round(-0.02 * (1 - np.exp(-minutes / 60)), 3))
    assert found.open_ended and "Go on reading" in warm_up.WARM_UP.answer(
        readings="\n".join(f"{m:g} {-20 * (1 - np.exp(-m / 60)):.0f}" for m in minutes)).words


def test_the_order_of_the_readings_does_not_matter():
    minutes = np.array([0, 5, 10, 20, 30, 45, 60.0])
    reading = -0.01 * (1 - np.exp(-minutes / 20))
    mixed = np.random.default_rng(1).permutation(7)
    one, other = lathe.fit(60 * minutes, reading), lathe.fit(60 * minutes[mixed], reading[mixed])
    assert one.constant == pytest.approx(other.constant) and one.hour.value == pytest.approx(other.hour.value)


def test_calm_at_once_needs_no_wait():
    found = lathe.fit(60.0 * np.arange(0, 61, 5), -0.002 * (1 - np.exp(-np.arange(0, 61, 5) / 20.0)))
    assert lathe.wait(found, 600.0, 0.05).high == 0


# ---- tip, heel, moves ---------------------------------------------------------------------------------


def test_outside_and_in_a_bore_the_angles_go_opposite_ways():
    out, within = (lathe.tip_height(where, 12.0, 0.4, 0.1, 5.0, 7.0) for where in (lathe.OUTSIDE, lathe.IN_BORE))
    assert out.rake > 5 > within.rake and out.clearance < 7 < within.clearance
    assert out.larger == pytest.approx(within.larger) and out.larger > 0
    assert lathe.tip_height(lathe.OUTSIDE, 12.0, 0.0, 0.1, 5.0, 7.0).short == pytest.approx(0, abs=1e-12)


def test_a_thicker_bar_needs_a_larger_bore_and_its_back_keeps_the_gap():
    slim, thick = (lathe.smallest_bore_for(lathe.outline(lathe.ROUND, d, 0.65 * d)) for d in (5.0, 6.0))
    assert thick == pytest.approx(1.2 * slim)
    points = lathe.outline(lathe.ROUND, 6.0, 3.9)
    assert lathe.smallest_bore_for(points, 0.0, 0.5) == pytest.approx(lathe.smallest_bore_for(points) + 0.5)
    assert lathe.in_bore(lathe.smallest_bore_for(points) + 1e-6, points).least == pytest.approx(0, abs=1e-5)


def test_every_way_but_the_set_over_slide_is_worse_than_it():
    reach = {way: lathe.move(way, 0.01).reach for way in lathe.WAYS}
    assert min(reach, key=reach.get) == lathe.COMPOUND and max(reach, key=reach.get) == lathe.BOTH
    assert lathe.move(lathe.DIAL, ways="way oil that resists sticking").jump < lathe.move(lathe.DIAL).jump


# ---- bad input ------------------------------------------------------------------------------------------

NAN, INF = float("nan"), float("inf")


@pytest.mark.parametrize("wrong", [
    lambda: lathe.two_collars([40.0], [40.0, 40.0], 80.0), lambda: lathe.two_collars([40, NAN], [40, 40], 80.0),
    lambda: lathe.two_collars([40, 40], [60, 60], 80.0), lambda: lathe.two_collars([-1, -1], [40, 40], 80.0),
    lambda: lathe.two_collars([40, 40], [40, 40], 0.0), lambda: lathe.two_collars("a", "b", 80.0),
    lambda: lathe.two_collars([40, 40], [40, 40], 80.0, INF), lambda: lathe.bar_in_spindle([], [0], [0], [0], 100.0),
    lambda: lathe.bar_in_spindle([20], [0], [0], [0], 100.0), lambda: lathe.nose_runout([1, 2, 3]),
    lambda: lathe.nose_runout([0, 1, 2, 3, 4, 500]), lambda: lathe.off_centre(0, NAN),
    lambda: lathe.off_centre(0, 0, -1),
    lambda: lathe.tip_height("above", 12, 0, 0.1, 5, 7), lambda: lathe.tip_height(lathe.OUTSIDE, 12, 6, 0.1, 5, 7),
    lambda: lathe.tip_height(lathe.OUTSIDE, 2, 0, 5, 5, 7), lambda: lathe.outline("star", 6, 4),
    lambda: lathe.outline(lathe.ROUND, 6, 2), lambda: lathe.outline(lathe.OWN, 6, 4, [(1, 2)]),
    lambda: lathe.outline(lathe.OWN, 6, 4, "x"), lambda: lathe.in_bore(2, lathe.outline(lathe.ROUND, 6, 4), 1.5),
    lambda: lathe.move("by magic"), lambda: lathe.move(lathe.COMPOUND, angle=0), lambda: lathe.move(lathe.DIAL, -1),
    lambda: lathe.move(lathe.DIAL, ways="butter"), lambda: lathe.winding(-1, 1), lambda: lathe.fit([0, 1], [0, 1]),
    lambda: lathe.fit([0, 0, 0, 0, 0], [0, 1, 2, 3, 4]), lambda: lathe.fit([0, 1, 2, 3, 4], [0, 1, 2, 3]),
    lambda: lathe.fit([0, 60, 120, 180, 240], [0, 1, 2, 3, 40]), lambda: lathe.fit([-1, 1, 2, 3, 4], [0, 0, 0, 0, 0]),
    lambda: lathe.offset_from_taper(lathe.Found(NAN, 0, 1), 100.0)])
def test_what_cannot_be_is_refused_with_a_sentence(wrong):
    with pytest.raises(Refused) as refusal:
        wrong()
    assert str(refusal.value)[0].isupper() and str(refusal.value).rstrip()[-1] in ".?"


@pytest.mark.parametrize("page, changed", [
    (is_it_my_lathe.COLLARS, {"near": ""}), (is_it_my_lathe.COLLARS, {"near": "40.0"}),
    (is_it_my_lathe.COLLARS, {"near": "forty 40"}), (is_it_my_lathe.COLLARS, {"far": "39.9 4.99"}),
    (is_it_my_lathe.COLLARS, {"near": "2 2", "far": "2 2", "span": 300.0}), (is_it_my_lathe.TEST_BAR, {"far": ""}),
    (is_it_my_lathe.TEST_BAR, {"far": "a"}), (is_it_my_lathe.TEST_BAR, {"far": "99999"}),
    (nose_and_tailstock.NOSE, {"readings": "1 2 3"}), (nose_and_tailstock.NOSE, {"readings": ""}),
    (tip_height.HEEL, {"shape": lathe.OWN, "own": "1 2\n3"}), (tip_height.HEEL, {"shape": lathe.OWN, "own": ""}),
    (tip_height.HEEL, {"shape": lathe.OWN, "own": "0 1\n2 2\n3 3"}), (warm_up.WARM_UP, {"readings": ""}),
    (warm_up.WARM_UP, {"readings": "0 1 2"}), (warm_up.WARM_UP, {"readings": "0 x\n1 2"}),
    (warm_up.WARM_UP, {"readings": "0 0\n5 1\n10 2"})])
def test_a_page_answers_rubbish_with_a_sentence(page, changed):
    with pytest.raises(Refused) as refusal:
        page.answer(**changed)
    assert str(refusal.value).rstrip()[-1] in ".?"


# ---- kept, and used -----------------------------------------------------------------------------------


def pressed(page):
    return page.presses[0].does(**page.usual())


def test_each_page_keeps_what_it_found_and_the_shop_takes_it():
    for page in (is_it_my_lathe.COLLARS, nose_and_tailstock.NOSE, warm_up.WARM_UP):
        assert pressed(page).startswith("Kept in your shop file")
    between = {**is_it_my_lathe.COLLARS.usual(), "hold": lathe.CENTRES}
    assert "tailstock" in is_it_my_lathe.COLLARS.presses[0].does(**between)
    mine = tools.own_shop().lathe
    assert mine.taper.measured and mine.taper.value == pytest.approx(is_it_my_lathe.COLLARS.answer().result.taper.value)
    assert mine.spindle_runout.measured and mine.drift.measured and mine.tailstock.measured
    # the indicator is pushed in less as the spindle leaves the tool: parts come out larger
    assert mine.drift.value == pytest.approx(-warm_up.WARM_UP.answer().result.found.hour.value) and mine.drift.value > 0
    pressed(is_it_my_lathe.TEST_BAR)
    assert tools.own_shop().lathe.taper.value != mine.taper.value, "the newest counts"


def test_the_bench_page_says_what_the_measured_taper_does_to_a_bore():
    page = next(one for one in vars(check_stickout).values() if getattr(one, "name", "") == "check_stickout")
    assumed = page.answer(depth=32.0)
    wide = tables.assumed("lathe taper")
    assert "has not been measured" in assumed.words
    assert assumed.result.mouth.reach == pytest.approx(wide.high * 32 / 2 * 1.645, rel=0.03)
    assert page.answer().result.mouth is None, "no depth, no taper along it"
    shop.add("lathe taper", value=1.2e-4, error=1e-5)
    mine = page.answer(depth=32.0)
    assert mine.result.mouth_known and mine.result.mouth.value == pytest.approx(1.2e-4 * 32, rel=0.01)
    assert "leaves the bore's mouth 3.8 µm" in mine.words and "larger than its bottom" in mine.words
    shop.add("lathe taper", value=-1.2e-4, error=1e-5)
    assert "smaller than its bottom" in page.answer(depth=32.0).words


def lines(cause):
    made = planning.plan(part.demo("drive_sleeve"), tools.own_shop(), count=500)
    return {b.surface: next(s for s in b.shares if s.name == cause) for b in made.budgets
            if any(s.name == cause for s in b.shares)}


def test_the_plans_budgets_narrow_when_the_lathe_is_measured():
    """Taper and drift are lines of the budgets: wide until measured, then as narrow as they were measured."""
    before = {cause: lines(cause) for cause in (Cause.LATHE_TAPER, Cause.DRIFT)}
    assert before[Cause.LATHE_TAPER] and before[Cause.DRIFT]
    shop.add("lathe taper", value=0.0, error=5e-6)
    shop.add("warm-up drift", value=0.0, error=5e-4)
    shop.add("tailstock offset", value=0.0, error=5e-4)
    for cause, wide in before.items():
        now = lines(cause)
        assert now.keys() == wide.keys()
        for name in now:
            assert now[name].spread < 0.3 * wide[name].spread, (cause, name)
