"""Reaming: teeth, hole, stock, reamer, the user's own log, and the chapter's pages."""

import json
import re

import numpy as np
import pytest

from springpass import reaming
from springpass.core import checks, files
from springpass.core.formula import REGISTRY
from springpass.core.quantity import Refused, Say
from springpass.job import shop
from springpass.pages import reamed_hole as hole_pages
from springpass.pages import reaming as pages
from springpass.reaming import hole as reamed_hole
from springpass.reaming import log as reaming_log

PAGES = (pages.TEETH, hole_pages.HOLE, hole_pages.OVER, pages.STOCK_PAGE, pages.REAMER)


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path))
    return tmp_path


# ---- formulas by hand -----------------------------------------------------------------------------


OURS = [f for f in REGISTRY if f.__module__.startswith("springpass.reaming.")]


@pytest.mark.parametrize("function", OURS, ids=lambda f: f.__name__)
@pytest.mark.parametrize(
    "check", [checks.check_dimensions, checks.check_print, checks.check_body, checks.check_label]
)
def test_formulas_are_sound(function, check):
    assert check(function) == ""


def test_chip_when_only_the_corner_is_in_the_cut():
    """Stock 0.01, corner 0.05: cos = 1 - 0.005/0.05 = 0.9, 25.84 degrees; a tooth's feed of 0.01 x sin 25.84 = 4.36 µm.
    """
    assert reaming.entry_angle(0.01, 0.05, 45) == pytest.approx(25.842, abs=1e-3)
    assert reaming.tooth_chip(0.06, 6, 0.01, 0.05, 45) == pytest.approx(0.01 * np.sqrt(1 - 0.81), rel=1e-9)
    assert reaming.entry_angle(0.2, 0.05, 45) == 45


def test_chip_is_never_thicker_than_the_stock():
    assert reaming.tooth_chip(0.6, 2, 0.02, 0.05, 45) == pytest.approx(0.01)


def test_edge_and_cutting_share_by_hand():
    """Land 0.1; corner 0.05 x pi/4 = 0.03927; lead (0.1 - 0.05 (1 - cos 45)) / sin 45 = 0.12071; sum 0.25998.

    Chip area 0.2 x 0.15 / 12 = 0.0025; push 0.02 x 0.25998 = 0.0051996; share 0.0025/0.0076996 = 0.3247.
    """
    assert reaming.edge_in_contact(0.2, 0.05, 45, 0.1) == pytest.approx(0.25998, abs=1e-5)
    assert reaming.cutting_share(0.2, 0.15, 6, 0.05, 45, 0.1, 0.02) == pytest.approx(0.3247, abs=1e-4)


def test_openings_and_closings_by_hand():
    assert reamed_hole.offset_opening(0.01, 1, 1) == pytest.approx(0.02)      # rigid, all cutting: twice the offset
    assert reamed_hole.offset_opening(0.01, 0.5, 0.4) == pytest.approx(0.004)
    assert reamed_hole.build_up_opening(0.005, 0.4, 8, 0.3) == pytest.approx(0.004)
    assert reamed_hole.build_up_opening(0.005, 0.4, 32, 0.5) == pytest.approx(
        0.008
    )  # four times the speed, square root
    assert reamed_hole.land_pressure(6, 40, 10) == pytest.approx(240 / 31.41593, rel=1e-6)
    # p = 10, a 10 mm bore in 20 mm of steel: 10 x 10/205000 x (500/300 + 0.29) = 0.954 µm
    assert reamed_hole.bore_closing(10, 10, 20, 205e3, 0.29) == pytest.approx(0.954e-3, abs=1e-6)
    assert reamed_hole.layer_closing(0.004, 0.3) == pytest.approx(0.0024)


def test_old_marks():
    """Marks of 6 µm and 4 µm of stock: a cutting reamer leaves 4, a pressing one 2; 12 and 6 µm clean them up."""
    assert reamed_hole.marks_after_cutting(0.006, 0.004) == pytest.approx(0.004)
    assert reamed_hole.marks_after_pressing(0.006, 0.004) == pytest.approx(0.002)
    assert reamed_hole.marks_after_cutting(0.006, 0.012) == 0 == reamed_hole.marks_after_pressing(0.006, 0.006)


# ---- teeth ----------------------------------------------------------------------------------------


def test_nothing_is_lost_between_the_teeth():
    """Mean chip times fraction is the chip, for every pattern."""
    dice = np.random.default_rng(1)
    chip, floor, runout = dice.uniform(0.001, 0.03, 300), dice.uniform(0, 0.02, 300), dice.uniform(0, 0.03, 300)
    for teeth in (1, 2, 4, 6, 11):
        found = reaming.teeth_cutting(chip, runout, teeth, floor, 45)
        np.testing.assert_allclose(found.mean_chip * found.fraction, chip, rtol=1e-12)
        assert (found.max_chip >= found.mean_chip - 1e-12).all()
        assert (found.max_chip >= floor - 1e-9).all()
        assert ((found.teeth >= 1) & (found.teeth <= teeth)).all()


def test_scalars_arrays_and_mixed_teeth():
    one = reaming.teeth_cutting(0.003, 0.0, 6, 0.004)
    assert isinstance(one.fraction, float)
    many = reaming.teeth_cutting(0.003, 0.0, np.array([4, 6]), np.array([[0.004], [0.007]]), 45)
    assert many.fraction.shape == (2, 2)
    assert many.fraction[0, 1] == one.fraction
    assert many.fraction[1, 0] == pytest.approx(1 / 3)


def test_no_floor_and_no_runout_every_tooth_cuts():
    found = reaming.teeth_cutting(0.003, 0.0, 6, 0.0, 45)
    assert (found.fraction, found.teeth, found.max_chip) == (1, 6, pytest.approx(0.003))


def test_a_floor_equal_to_whole_chips_is_cut():
    """6 µm wanted, 3 µm a tooth: every second tooth, not every third."""
    assert reaming.teeth_cutting(0.003, 0.0, 6, 0.006).fraction == pytest.approx(1 / 2)
    assert reaming.teeth_cutting(0.1 / 3, 0.0, 6, 0.1).fraction == pytest.approx(1 / 3)


def test_pattern_agrees_with_the_shares():
    pattern = reaming.tooth_pattern(0.003, 0.002, 6, 0.004, 45, turns=6)
    found = reaming.teeth_cutting(0.003, 0.002, 6, 0.004, 45)
    cuts = pattern.chip[pattern.chip > 0]
    assert (pattern.chip > 0).mean() == pytest.approx(found.fraction)
    assert cuts.mean() == pytest.approx(found.mean_chip)
    assert cuts.max() == pytest.approx(found.max_chip)
    np.testing.assert_allclose(pattern.in_front[pattern.chip > 0], cuts)
    assert (pattern.in_front[pattern.chip == 0] < 0.004).all()


def test_burnishing_grows_as_stock_and_feed_fall():
    """The share of the torque that cuts rises with stock and with feed; so does the share of edge that takes a chip."""
    stocks, feeds = np.geomspace(0.02, 0.5, 20), np.geomspace(0.03, 0.5, 20)
    assert (np.diff(reaming.cutting_share(stocks, 0.15, 6, 0.05, 45, 0.15, 0.02)) > 0).all()
    assert (np.diff(reaming.cutting_share(0.15, feeds, 6, 0.05, 45, 0.15, 0.02)) > 0).all()
    for rising in (
        reaming.edge_cutting(stocks, 0.15, 6, 45, 0.05, 0.003),
        reaming.edge_cutting(0.15, feeds, 6, 45, 0.05, 0.003),
    ):
        assert (np.diff(rising) >= -1e-12).all()
        assert rising[-1] > rising[0] + 0.05


def test_a_stock_thinner_than_the_least_chip_is_not_cut():
    assert reaming.edge_cutting(0.006, 0.2, 6, 45, 0.05, 0.004) == 0
    x = reamed_hole.ream(stock=0.001, offset=0.02)
    assert x.cutting.high == 0
    assert dict(x.parts)["offset opens"].high == 0


def test_corner_chip_keeps_its_area_and_thins():
    stocks = np.geomspace(0.005, 0.4, 30)
    found = reaming.corner_chip(stocks, 0.02, 0.05, 45)
    np.testing.assert_allclose(found.mean * found.edge, found.area)
    np.testing.assert_allclose(found.area, stocks / 2 * 0.02)
    assert (np.diff(found.mean) > 0).all()


@pytest.mark.parametrize("bad", [0, -1, np.nan, np.inf, "six", None])
@pytest.mark.parametrize("name", ["chip", "runout", "teeth", "least_chip", "lead_angle"])
def test_teeth_refuse_what_makes_no_sense(name, bad):
    if bad == 0 and name in ("runout", "least_chip"):
        return
    values = {"chip": 0.003, "runout": 0.002, "teeth": 6, "least_chip": 0.004, "lead_angle": 45, name: bad}
    with pytest.raises(Refused) as said:
        reaming.teeth_cutting(**values)
    assert str(said.value).endswith(".")


def test_half_a_tooth_and_an_upright_lead_are_refused():
    with pytest.raises(Refused, match="whole number of teeth"):
        reaming.teeth_cutting(0.003, 0, 5.5, 0.004)
    with pytest.raises(Refused, match="90 or less"):
        reaming.teeth_cutting(0.003, 0, 6, 0.004, 120)


# ---- reamers --------------------------------------------------------------------------------------


def test_reamer_limits_lie_inside_the_hole_and_are_whole_micrometres():
    for code in ("F8", "G6", "G7", "H6", "H7", "H8", "H9", "H11", "JS7", "JS8", "K7", "M7", "N7", "P7", "R7", "S7"):
        found = reaming.reamer_limits(np.array([2.0, 3.0, 6.0, 10.0, 16.0, 30.0, 45.0, 80.0, 100.0]), code)
        width = found.hole_upper - found.hole_lower
        assert (found.upper < found.hole_upper).all()
        assert (found.lower > found.hole_lower).all()
        for value in (found.lower, found.upper):
            np.testing.assert_allclose(np.round(value * 1e3) / 1e3, value, atol=1e-9)
        np.testing.assert_allclose(found.hole_upper - found.upper, 0.15 * width, atol=1.01e-3)
        np.testing.assert_allclose(found.upper - found.lower, 0.35 * width, atol=1.01e-3)


def test_which_holes_a_reamer_serves():
    assert "H7" in reaming.which_holes(10, 10.009)
    assert "H8" in reaming.which_holes(10, 10.014)
    assert "H7" not in reaming.which_holes(10, 10.014)
    assert reaming.which_holes(10, 10.5) == []


@pytest.mark.parametrize(
    ("size", "code", "says"),
    [
        (10, "h7", "Did you mean H7"),
        (10, "js7", "Did you mean JS7"),
        (10, "Q7", "letter"),
        (10, "H7/g6", "class"),
        (10, "H", "class"),
        (10, "H99", "grade"),
        (10, "", "class"),
        (10, None, "class"),
        (0, "H7", "between"),
        (-5, "H7", "between"),
        (np.nan, "H7", "between"),
        (1e4, "H7", "between"),
        ("ten", "H7", "number"),
        (10, "7H", "class"),
    ],
)
def test_reamer_limits_refuse_with_a_sentence(size, code, says):
    with pytest.raises(Refused, match=says) as said:
        reaming.reamer_limits(size, code)
    assert str(said.value).endswith((".", "?"))


def test_spaces_in_a_class_are_understood():
    assert reaming.reamer_limits(10, " H 7 ") == reaming.reamer_limits(10, "H7")
    assert reaming.reamer_limits("12,5", "H7").upper == pytest.approx(0.015)


# ---- the hole: trends and trade facts -------------------------------------------------------------


def over(**changes):
    return reamed_hole.ream(**{"offset": 0.0, "stock": 0.25, **changes}).over


def test_order_of_the_fluids():
    """J. Japan Soc. Precision Eng. 30 (1964) no. 355 p. 620 (abstract read): dry and oils oversize, soluble oil
    undersize.
    """
    dry, oil, soluble = (over(fluid=f).value for f in ("dry", "cutting oil", "soluble oil"))
    assert dry > oil > 0 > soluble


@pytest.mark.parametrize("changes", [{"speed": (4, 16)}, {"feed": (0.08, 0.3)}, {"stock": (0.08, 0.4)}],
                         ids=["speed", "feed", "depth"])
def test_the_hole_grows_with_speed_feed_and_depth(changes):
    """The same experiment: enlargement grows with cutting speed, feed and depth of cut, dry and wet."""
    (name, (low, high)), = changes.items()
    for fluid in ("dry", "cutting oil", "soluble oil"):
        assert over(fluid=fluid, **{name: low}).value < over(fluid=fluid, **{name: high}).value


def test_less_enlargement_goes_with_more_burnishing():
    """The same experiment, and a used reamer beats a new one: a blunter edge burnishes more and enlarges less."""
    new, used = (
        reamed_hole.ream(stock=0.25, edge=e) for e in ("high-speed steel, freshly ground", "high-speed steel, used")
    )
    assert used.cutting.value < new.cutting.value
    assert used.over.value < new.over.value


def test_a_light_pass_keeps_a_small_hole_from_coming_out_large():
    """Common practice: some 0.05 mm of stock on a small hole keeps the reamer from cutting large."""
    for offset in (0.0, 0.01, 0.02):
        light, usual = (reamed_hole.ream(8, stock=s, offset=offset) for s in (0.05, 0.25))
        assert light.over.value < usual.over.value
        assert light.over.high - light.over.low < usual.over.high - usual.over.low
        assert light.chance > usual.chance


def test_a_hole_can_come_out_larger_than_its_reamer():
    """Common practice: with an offset tailstock and dry."""
    assert reamed_hole.ream(offset=0.02, fluid="dry", stock=0.25).over.low > 0
    assert reamed_hole.ream(offset=0.02, stock=0.25, holding="floating holder").over.value < reamed_hole.ream(
        offset=0.02, stock=0.25).over.value


def test_a_thin_wall_closes_more():
    thick, thin = (dict(reamed_hole.ream(outside=d).parts)["ring springs back"].value for d in (30, 11.5))
    assert thin < thick < 0


def test_best_reamer_is_better():
    x = reamed_hole.ream(fluid="dry", offset=0.01)
    again = reamed_hole.ream(reamer=x.best, fluid="dry", offset=0.01)
    assert again.chance == pytest.approx(x.best_chance, abs=0.02)
    assert again.chance >= x.chance


def test_sweep_over_the_stock_agrees_with_the_single_answer():
    low, middle, high = reamed_hole.over_against_stock([0.05, 0.2], count=2000)
    for k, stock in enumerate((0.05, 0.2)):
        one = reamed_hole.ream(stock=stock)
        assert middle[k] == pytest.approx(one.over.value, abs=2e-5)
        assert low[k] == pytest.approx(one.over.low, abs=5e-5)
        assert high[k] == pytest.approx(one.over.high, abs=5e-5)


@pytest.mark.parametrize(
    "changes",
    [
        {"size": 0},
        {"size": np.nan},
        {"size": 1e6},
        {"size": "big"},
        {"stock": 0},
        {"stock": -0.1},
        {"feed": np.inf},
        {"speed": "fast"},
        {"offset": -1},
        {"reamer": np.nan},
        {"reamer": 9.0},
        {"outside": 9.9},
        {"material": "cheese"},
        {"fluid": "beer"},
        {"holding": "teeth"},
        {"edge": "blunt"},
        {"kind": "spoon"},
        {"teeth": 0},
        {"teeth": 5.5},
        {"code": "h7"},
    ],
)
def test_ream_refuses_with_a_sentence(changes):
    with pytest.raises(Refused) as said:
        reamed_hole.ream(**changes)
    assert str(said.value).endswith((".", "?"))


# ---- stock ----------------------------------------------------------------------------------------


def test_bored_to_nine_ninety_four_how_surely():
    """Ø10 H7, reamer in the middle of its band (10.009), bored to 9.94: 0.069 of stock, ± what the boring does."""
    sure = reamed_hole.bore_first(10, aim=9.94, error=0.0)
    assert sure.stock.value == pytest.approx(0.069)
    assert sure.chance == 1
    wrong = np.linspace(
        -0.0495, 0.0495, 100
    )  # a thousandth apart; 0.04 to 0.1 is left from -0.031 to +0.029: sixty of them
    rough = reamed_hole.bore_first(10, aim=9.94, error=wrong)
    assert rough.chance == pytest.approx(0.60)
    assert rough.verdict == "at the edge"


def test_no_stock_left_is_told():
    """Bored 0.07 mm too large the reamer finds nothing."""
    assert reamed_hole.bore_first(10, aim=9.94, error=0.07).none == 1
    assert reamed_hole.bore_first(10, aim=9.94, error=0.0).none == 0


def test_bored_error_follows_the_bar():
    """A slender bar leaves more (small bore); at 3:1 a few micrometres, at 8:1 much more; a spring pass helps."""
    short, long = (reamed_hole.bored_error(10, 6, 6 * ratio) for ratio in (3, 8))
    assert long.value < short.value < 0
    assert reamed_hole.bored_error(10, 6, 48, passes=1).value < long.value
    with pytest.raises(Refused):
        reamed_hole.bored_error(10, 6, 0)
    with pytest.raises(Refused):
        reamed_hole.bored_error(10, 6, 20, holder="string")


def test_handbook_and_light_pass_are_both_shown_with_their_standing():
    found = {a.name: a for a in reamed_hole.allowances(12)}
    assert found["light pass"].basis == "common practice"
    assert found["workshop table"].basis == "read"
    assert found["light pass"].high < found["workshop table"].low
    with pytest.raises(Refused, match="gives no stock"):
        reamed_hole.allowance(80, "light pass")
    with pytest.raises(Refused):
        reamed_hole.allowances(0)


# ---- the log --------------------------------------------------------------------------------------


def holes(count=6, slope=0.02, scatter=0.0, **changes):
    dice = np.random.default_rng(4)
    stocks = np.linspace(0.05, 0.3, count)
    return [
        {
            "size": 10.0,
            "reamer": 10.004,
            "hole": 10.004 + 0.002 + slope * s + dice.normal(0, scatter),
            "stock": float(s),
            "feed": 0.15,
            "speed": 8.0,
            "fluid": "cutting oil",
            "material": pages.STEEL,
            **changes,
        }
        for s in stocks
    ]


def test_four_holes_are_too_few_and_five_enough():
    with pytest.raises(Refused, match="4 of your logged holes"):
        reaming_log.fit_holes(holes(4), 0.15)
    assert reaming_log.fit_holes(holes(5, scatter=0.001), 0.15).count == 5


def test_fit_of_a_straight_line_is_exact():
    found = reaming_log.fit_holes(holes(7), 0.15, 0.15, 8)
    assert found.value == pytest.approx(0.002 + 0.02 * 0.15)
    assert found.slopes == {"stock": pytest.approx(0.02)}
    assert found.high - found.low < 1e-9


def test_same_stock_every_time_gives_the_mean():
    """Five values 1 to 5 µm: mean 3, s = 1.5811, next one ± t(0.95, 4) s sqrt(1.2) = 2.1318 x 1.7321 = 3.692."""
    log = [{**h, "stock": 0.1, "hole": 10.004 + k * 1e-3} for k, h in enumerate(holes(5), 1)]
    found = reaming_log.fit_holes(log, 0.1)
    assert found.value == pytest.approx(0.003)
    assert found.high - found.value == pytest.approx(3.692e-3, abs=2e-6)


def test_fewer_holes_a_wider_range():
    few, many = (reaming_log.fit_holes(holes(n, scatter=0.001), 0.15) for n in (5, 40))
    assert few.high - few.low > many.high - many.low


def test_outside_the_log_is_refused():
    with pytest.raises(Refused, match="outside"):
        reaming_log.fit_holes(holes(8), 1.0)


def test_other_fluids_materials_and_sizes_do_not_count():
    log = holes(6) + holes(6, fluid="dry") + holes(6, size=30.0) + [{"hole": "ten"}, {}, {"stock": None}]
    found = reaming_log.fit_holes(log, 0.15, size=10, fluid="cutting oil", material=pages.STEEL)
    assert (found.count, found.skipped) == (6, 15)


def test_own_holes_narrow_the_range():
    without = reamed_hole.ream(stock=0.15)
    with_log = reamed_hole.ream(stock=0.15, holes=holes(6, scatter=0.0005))
    assert with_log.fit is not None
    assert with_log.over.high - with_log.over.low < 0.5 * (without.over.high - without.over.low)
    assert with_log.fit.count == 6 and not with_log.log_refused


@pytest.mark.parametrize(
    "changes",
    [
        {"hole": 9.0},
        {"hole": np.nan},
        {"hole": "ten"},
        {"reamer": 100},
        {"stock": -0.1},
        {"stock": 0},
        {"feed": 0},
        {"speed": np.inf},
        {"fluid": "beer"},
        {"material": "cheese"},
    ],
)
def test_a_senseless_record_is_refused(changes):
    good = {
        "size": 10,
        "reamer": 10.004,
        "hole": 10.008,
        "stock": 0.15,
        "feed": 0.15,
        "speed": 8,
        "fluid": "dry",
        "material": pages.STEEL,
    }
    assert reaming_log.a_hole(**good)["hole"] == 10.008
    with pytest.raises(Refused) as said:
        reaming_log.a_hole(**{**good, **changes})
    assert str(said.value).endswith(".")


def press(**changes):
    return hole_pages.HOLE.presses[0].does(**{**hole_pages.HOLE.usual(), **changes})


def test_five_saved_holes_narrow_the_page():
    wide = hole_pages.HOLE.answer().result.reamed.over
    for k in range(5):
        said = press(reading=0.010 + 0.0005 * (k % 2), stock=0.13 + 0.01 * k)
        assert said.startswith(f"Saved as number {k + 1}")
    answer = hole_pages.HOLE.answer()
    assert answer.result.own
    assert "5 holes of your own" in answer.words
    assert answer.result.reamed.over.high - answer.result.reamed.over.low < wide.high - wide.low
    assert not hole_pages.HOLE.answer(own=False).result.own
    assert hole_pages.OVER.answer(stock=0.15).result.fit is not None
    assert len(hole_pages.OVER.answer(stock=0.15).result.logged) == 5
    shop.forget(5)
    assert "4 of your logged holes" in hole_pages.HOLE.answer().more


def test_a_slipped_digit_is_not_saved():
    with pytest.raises(Refused):
        press(reading=0.2, size=1.0)
    assert shop.records(reaming_log.KIND) == []


@pytest.mark.parametrize(
    "damage", ["", "{", '{"version": 1, "records": [{"id": 1, "ki', "[]", "\x00\x01", '{"records": 5}']
)
def test_a_damaged_log_is_set_aside_and_nothing_lost(own_folder, damage):
    for _ in range(6):
        press(reading=0.012)
    path = own_folder / "shop.json"
    whole = json.loads(path.read_text(encoding="utf-8"))
    path.write_text(damage, encoding="utf-8")
    answer = hole_pages.HOLE.answer()   # the copy before it is used
    assert answer.words
    assert len(shop.records(reaming_log.KIND)) == 5
    assert any("set aside" in notice for notice in files.notices())
    assert any(damage == p.read_text(encoding="utf-8") for p in own_folder.glob("*damaged*"))
    assert press(reading=0.012).startswith("Saved")
    assert len(whole["records"]) == 6


def test_records_of_another_make_do_no_harm(own_folder):
    shop.add(reaming_log.KIND, hole="ten", stock=None)
    shop.add(reaming_log.KIND, size=10)
    assert "0 of your logged holes" in hole_pages.HOLE.answer().more


# ---- pages ----------------------------------------------------------------------------------------


def spots(page, count=25):
    """Every slider at both ends and at random places, every choice, and everything moved together."""
    dice = np.random.default_rng(9)
    yield {}
    for what in page.inputs:
        if hasattr(what, "quantity"):
            q = what.quantity
            for value in (q.low, q.high, q.low + 0.37 * (q.high - q.low)):
                yield {what.name: round(value) if q.whole else value}
        elif hasattr(what, "options"):
            yield from ({what.name: option} for option in what.options)
        elif isinstance(what.usual, bool):
            yield {what.name: not what.usual}
    for _ in range(count):
        values = {}
        for what in page.inputs:
            if hasattr(what, "quantity"):
                q = what.quantity
                value = (
                    float(np.exp(dice.uniform(np.log(q.low), np.log(q.high))))
                    if q.log
                    else float(dice.uniform(q.low, q.high))
                )
                values[what.name] = float(round(value)) if q.whole else value
            elif hasattr(what, "options"):
                values[what.name] = str(dice.choice(what.options))
        values["code"] = str(dice.choice(["H7", "H8", "N7", "F8", "JS7"]))
        yield {name: value for name, value in values.items() if name in page.usual()}


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
@pytest.mark.parametrize("say", [Say(), Say(inch=True)], ids=["metric", "inch"])
def test_words_and_pictures_everywhere(page, say):
    for values in spots(page):
        answer = page.answer(say, **values)
        for text in (answer.words, answer.svg, answer.more):
            assert not re.search(r"\b(nan|inf)\b|unknown", text), values
        assert answer.words.endswith(".")
        assert ("µm" in answer.words or " mm" in answer.words) is not say.inch or page is pages.TEETH


def test_teeth_words_are_true():
    for values in spots(pages.TEETH, 60):
        answer = pages.TEETH.answer(**values)
        r = answer.result
        pattern = r.pattern.chip
        if re.match(r"All \d+ teeth cut", answer.words):
            assert (pattern > 0).all() and r.shared.teeth == pattern.shape[1]
        elif "No tooth cuts" in answer.words:
            assert r.nothing > 0.5 and not (pattern > 0).any()
        else:
            assert r.shared.fraction < 1
        if "only makes the chip wider" in answer.words:
            more = pages.TEETH.answer(**{**values, "stock": min(1.2, r.stock * 1.1)}).result
            assert more.chip == pytest.approx(r.chip, rel=1e-6)


def test_the_hole_is_said_larger_or_smaller_as_its_range_lies():
    for values in spots(hole_pages.OVER, 60):
        answer = hole_pages.OVER.answer(**values)
        here = answer.result.here
        assert answer.words.startswith("Larger than the reamer") == (here.low > 0)
        assert answer.words.startswith("Smaller than the reamer") == (here.low <= 0 and here.high < 0)


def test_hole_words_are_true():
    for values in spots(hole_pages.HOLE, 60):
        answer = hole_pages.HOLE.answer(**values)
        x = answer.result.reamed
        assert ("old tool marks stay" in answer.words) == (answer.result.marks > 0)
        assert "no open measurements" in answer.words
        assert x.verdict == ("holds" if x.chance >= 0.9 else "will not hold" if x.chance <= 0.1 else "at the edge")


def test_stock_words_say_there_are_no_open_data():
    assert "no open measurements were found" in pages.STOCK_PAGE.answer().words
    assert "common practice" in pages.STOCK_PAGE.answer().words


def test_reamer_words_follow_the_rule():
    assert "buy a reamer of 10.006 mm to 10.012 mm" in pages.REAMER.answer().words
    assert "which is right. " in pages.REAMER.answer(reamer=0.012).words
    assert "1 µm too large" in pages.REAMER.answer(reamer=0.013).words
    assert "1 µm too small" in pages.REAMER.answer(reamer=0.005).words


@pytest.mark.parametrize("page", [hole_pages.HOLE, pages.STOCK_PAGE, pages.REAMER], ids=lambda p: p.name)
@pytest.mark.parametrize("code", ["h7", "", "H7/g6", "Q7", "H", "<b>", "H7 H7"])
def test_a_class_typed_wrong_is_answered_with_a_sentence(page, code):
    with pytest.raises(Refused) as said:
        page.answer(code=code)
    assert str(said.value).endswith((".", "?"))


def test_typed_sizes_are_understood():
    assert hole_pages.HOLE.answer(size="12,5").result.reamed.size == 12.5
    assert hole_pages.HOLE.answer(size="0.5 in").result.reamed.size == 12.7
    with pytest.raises(Refused):
        hole_pages.HOLE.answer(size="1,234.5")


def test_a_hole_saved_by_mistake_is_taken_out_without_a_program(tmp_path, monkeypatch):
    from springpass.job import shop
    from springpass.pages import reamed_hole as page
    from springpass.reaming import log as reaming_log

    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path))
    save, out = (press.does for press in page.HOLE.presses)
    assert "undoes this" in save(**page.HOLE.usual())
    assert len(shop.records(reaming_log.KIND)) == 1
    assert "No holes left" in out(**page.HOLE.usual())
    assert not shop.records(reaming_log.KIND)
    with pytest.raises(Refused, match="none to take out"):
        out(**page.HOLE.usual())
