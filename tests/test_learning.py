"""What measured parts teach: reading results, keeping them, using them, taking it back."""

import dataclasses

import numpy as np
import pytest

from springpass.core import files
from springpass.core.quantity import Refused, Say
from springpass.job import learning as ln
from springpass.job import shop, tools
from springpass.job.bayes import Bell, Scatter, chi2_quantile, learn_line, learn_mean, learn_scatter, learn_sd
from springpass.job.learning import BORED, FORCE, HOLDER, REAMED, REAMER, TURNED, Expected
from springpass.pages import afterwards as page

GAUGE = "bore gauge set in a micrometer"
BORE = Expected("bore 12 H7", BORED, 12, 12.009, 12.0, 12.018, 12.032, 15, 7.4e-4, 0, 12.0, 12.018, GAUGE)
SEAT = Expected(
    "seat 20 h6", TURNED, 20, 19.9935, 19.989, 19.998, 19.990, 25, 6e-5, 0, 19.987, 20.0, "micrometer on a shaft"
)
REAM = Expected("bore 10 H7", REAMED, 10, 10.012, 10.001, 10.023, reamer=10.006, lower=10.0, upper=10.015)
ALL = (BORE, SEAT, REAM)


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path / "shop"))
    files.notices()
    return tmp_path / "shop"


def bored(*sizes, e=BORE):
    return [ln.compare(e, [s]) for s in sizes]


# ---- the updates

def test_without_results_nothing_is_learned():
    assert learn_mean(Bell(1, 0.2), [], 0.1) == Bell(1, pytest.approx(0.2))
    prior = Scatter(1, 2, 3, 0.4)
    assert learn_scatter(prior, []) == prior
    assert learn_sd(prior, []).sd == pytest.approx(0.4)
    assert learn_line([1, 2], np.eye(2), np.zeros((0, 2)), [], 1.0)[0] == pytest.approx([1, 2])


def test_one_exact_result_beats_the_prior_and_a_poor_one_leaves_it():
    assert learn_mean(Bell(1, 0.2), [3], 1e-6).mean == pytest.approx(3, abs=1e-9)
    assert learn_mean(Bell(1, 0.2), [3], 1e6).mean == pytest.approx(1, abs=1e-9)
    assert learn_mean(Bell(1, 0.2), [3], 0.2) == Bell(pytest.approx(2), pytest.approx(0.2 / np.sqrt(2)))


@pytest.mark.parametrize("bad", [[np.nan], ["x"], [np.inf]])
def test_a_result_that_is_no_number_is_refused(bad):
    with pytest.raises(Refused):
        learn_mean(Bell(1, 1), bad, 1)
    with pytest.raises(Refused):
        learn_scatter(Scatter(1, 1, 1, 1), bad)


@pytest.mark.parametrize("p,dof", [(0, 3), (1, 3), (0.5, 0), (0.5, -1)])
def test_an_impossible_quantile_is_refused(p, dof):
    with pytest.raises(Refused):
        chi2_quantile(p, dof)


# ---- reading results

def test_results_are_read_by_name_by_number_and_by_the_start_of_a_name():
    found = ln.read_results("bore 12: 12,011 12.013 mm\n\n2: 19.995\nBORE 10 h7: 10.014;10.016", ALL)
    assert [r.expected.feature for r in found] == ["bore 12 H7", "seat 20 h6", "bore 10 H7"]
    assert [r.measured for r in found] == pytest.approx([12.012, 19.995, 10.015])
    assert [r.allowed for r in found] == [True, True, True]
    assert found[0].off == pytest.approx(0.003)
    assert ln.read_results("bore 12 H7:\n", ALL) == ()


@pytest.mark.parametrize(
    "text,said",
    [
        ("bore 12 H7 12.01", "colon"),
        ("bore: 12.01", "more than one"),
        ("nothing: 12", "no feature"),
        ("4: 12", "no feature"),
        ("bore 12: 12.01\nbore 12: 12.02", "twice"),
        ("bore 12: 1.201", "slipped digit"),
        ("bore 12: twelve", "Line 1"),
        ("bore 12: nan", "Line 1"),
    ],
)
def test_a_line_that_cannot_be_read_is_named(text, said):
    with pytest.raises(Refused, match=said):
        ln.read_results(text, ALL)


@pytest.mark.parametrize(
    "change,said",
    [
        ({"made": "cast"}, "made one of"),
        ({"feature": " "}, "name"),
        ({"low": 12.2}, "outside its own range"),
        ({"nominal": -1}, "nominal"),
        ({"force": -1}, "force"),
        ({"predicted": np.nan}, "predicted"),
    ],
)
def test_an_expectation_must_make_sense(change, said):
    with pytest.raises(Refused, match=said):
        ln.check_expected(dataclasses.replace(BORE, **change))


# ---- the lessons

def test_a_bar_that_bends_as_predicted_teaches_only_certainty():
    right = 12.032 - 2 * 15 * (7.4e-4 + 1 / 30e3)
    force, holder = ln.lessons(bored(*[right] * 5))
    assert force.after[1] == pytest.approx(1, abs=0.02)
    assert force.narrower < 0.7
    assert holder.narrower < 1


@pytest.mark.parametrize("factor", [0.85, 1.2])
def test_many_results_find_the_force(factor):
    sizes = [12.032 - 2 * 15 * factor * (7.4e-4 + 1 / 30e3)] * 20
    force, _ = ln.lessons(bored(*sizes))
    assert force.after[0] < factor < force.after[2]
    assert abs(force.after[1] - factor) < abs(1 - factor) / 2


def test_a_smaller_bore_means_more_force_and_a_larger_shaft_too():
    small, large = (ln.lessons(bored(s))[0].after[1] for s in (12.004, 12.012))
    assert small > 1 > large
    low, high = (ln.lessons([ln.compare(SEAT, [s])])[0].after[1] for s in (19.990, 19.999))
    assert high > low


def test_turned_work_says_nothing_new_of_the_bars_holder():
    """The seat is turned with another tool; only through the force does it touch the holder, whose range hardly moves.
    """
    holder = next(x for x in ln.lessons([ln.compare(SEAT, [19.995])]) if x.name == HOLDER)
    assert holder.after == pytest.approx(holder.before, rel=0.02)


def test_the_reamers_lesson_comes_from_results_and_from_the_log():
    log = [
        {
            "size": 10,
            "reamer": 10.006,
            "hole": 10.006 + over,
            "stock": 0.2,
            "feed": 0.15,
            "speed": 8,
            "fluid": "cutting oil",
            "material": "carbon steel C45 / 1045",
        }
        for over in (0.004, 0.006, 0.005)
    ]
    (from_log,) = ln.lessons([], holes=log)
    assert from_log.name == REAMER and from_log.count == 3
    assert from_log.after[1] == pytest.approx((0.008 + 0.015) / 4)   # the prior counts as one hole
    (both,) = ln.lessons([ln.compare(REAM, [10.011])], holes=log)
    assert both.count == 4
    assert both.after[1] == pytest.approx((0.008 + 0.015 + 0.005) / 5)
    assert both.narrower < from_log.narrower < 1


def test_repeated_readings_teach_the_hands_scatter():
    taught = ln.lessons(
        [ln.compare(BORE, [12.009, 12.011, 12.010])],
        repeats=[{"name": GAUGE, "scatter": 0.001, "dof": 9}, {"name": "unknown"}],
    )
    repeat = taught[-1]
    assert repeat.name == f"repeatability, {GAUGE}" and repeat.count == 11
    assert repeat.after[1] == pytest.approx(np.sqrt((3 * 0.0015**2 + 2 * 0.001**2 + 9 * 0.001**2) / 14))


# ---- kept, used, taken back

def test_results_kept_and_forgotten_teach_and_unteach():
    numbers = ln.keep_results(bored(12.004, 12.003), "bush")
    taught = ln.lessons(ln.kept_results())
    assert len(ln.kept_results()) == 2
    shop.forget(numbers[1])
    assert ln.lessons(ln.kept_results())[0].after == ln.lessons(bored(12.004))[0].after
    shop.restore(numbers[1])
    assert ln.lessons(ln.kept_results()) == taught
    with pytest.raises(Refused, match="Nothing has been measured"):
        ln.keep_results([])


def test_nothing_is_used_until_it_is_accepted_and_it_can_be_taken_back():
    ln.keep_results(bored(12.004, 12.003, 12.005))
    before = tools.own_shop()
    assert before.learned == {} and not before.holder.stiffness.measured
    taught = ln.lessons(ln.kept_results())
    ln.accept(taught)
    now = tools.own_shop()
    assert now.learned[FORCE].value == pytest.approx(taught[0].after[1])
    assert now.holder.stiffness == now.learned[HOLDER] and now.holder.stiffness.measured
    assert tools.own_shop(accepted=False).holder == before.holder
    numbers = ln.withdraw()
    assert tools.own_shop() == before
    shop.restore(numbers[0])
    assert set(tools.own_shop().learned) == {FORCE}
    with pytest.raises(Refused, match="nothing to take back"):
        ln.withdraw() and ln.withdraw()


def test_a_sheet_is_remembered_and_damaged_records_are_passed_over():
    ln.keep_expected("bush", ALL)
    assert ln.kept_expected() == ("bush", ALL)
    shop.add(ln.RESULT, expected={"feature": "x"}, readings=[1])
    shop.add(ln.RESULT, expected=dataclasses.asdict(BORE), readings=["x"])
    shop.add(ln.LEARNED, name=FORCE, value="big", low=1, high=2)
    shop.add(ln.LEARNED, name=FORCE, value=3, low=1, high=2)
    assert ln.kept_results() == ()
    assert tools.own_shop().learned == {}
    shop.add(ln.EXPECTED, name="broken", features=[{"feature": 3}])
    assert ln.kept_expected() is None


# ---- the page

def test_the_page_keeps_uses_and_takes_back():
    ln.keep_expected("bush", ALL)
    typed = {"sheet": page.SHEETS[1], "measured": "bore 12: 12.004 12.005\n2: 19.995", "earlier": True}
    said = page.keep(**typed)
    assert "Kept 2 results" in said and "one at a time" in said
    assert page.AFTERWARDS.answer(**{**typed, "measured": ""}).result.earlier == 2
    assert "force factor" in page.use(**typed)
    assert "in use: force factor" in page.AFTERWARDS.answer(**typed).words
    assert "Taken back" in page.take_back(**typed)
    assert "nothing learned is in use" in page.AFTERWARDS.answer(**typed).words


def test_readings_in_inches():
    seat, bore = (
        dataclasses.replace(
            ALL[0],
            feature=name,
            predicted=size,
            low=size - 0.01,
            high=size + 0.01,
            lower=size - 0.02,
            upper=size + 0.02,
        )
        for name, size in (("seat", 19.05), ("bore", 12.7))
    )
    runout = dataclasses.replace(seat, feature="run-out", predicted=0.01, low=0.0, high=0.02, lower=0.0, upper=0.02)
    sheet = (seat, bore, runout)
    read = lambda text: {r.expected.feature: r.measured for r in ln.read_results(text, sheet)}  # noqa: E731
    # one size that can only be in inches makes the text one in inches, also where a small reading could be either
    assert read("seat: 0.7497\nrun-out: 0.0004") == pytest.approx({"seat": 0.7497 * 25.4, "run-out": 0.0004 * 25.4})
    assert read('bore: 0.4999" 0.5001"\nseat: 19.046 mm') == pytest.approx({"bore": 12.7, "seat": 19.046})
    assert read("seat: 19.046\nrun-out: 0.010") == pytest.approx({"seat": 19.046, "run-out": 0.010})
    with pytest.raises(Refused, match="mm and inch on one line"):
        ln.read_results("seat: 19.05 mm 0.75 in", sheet)
    with pytest.raises(Refused, match="in mm or in inch"):
        ln.read_results("seat: 7.497", sheet)


def test_the_last_result_is_taken_out_without_a_program():
    ln.keep_expected("bush", ALL)
    page.keep(sheet=page.SHEETS[1], measured="bore 12: 12.004\n2: 19.995", earlier=True)
    said = page.take_out(**page.AFTERWARDS.usual())
    assert "Taken out" in said and len(ln.kept_results()) == 1
    page.take_out(**page.AFTERWARDS.usual())
    with pytest.raises(Refused, match="none to take out"):
        page.take_out(**page.AFTERWARDS.usual())


def test_the_example_teaches_nobodys_shop():
    with pytest.raises(Refused, match="example"):
        page.keep(**page.AFTERWARDS.usual())
    with pytest.raises(Refused, match="nothing learned yet"):
        page.use(**page.AFTERWARDS.usual())
    with pytest.raises(Refused, match="No sheet has been remembered"):
        page.AFTERWARDS.answer(sheet=page.SHEETS[1])


def test_a_surprise_is_said():
    words = page.AFTERWARDS.answer(measured="first: 12.05").words
    assert "a surprise: measure it again" in words and "0 of 1 are within" in words
    assert "thou" in page.AFTERWARDS.answer(Say(True)).words


def test_what_is_typed_is_escaped():
    ln.keep_expected("<b>bush</b>", [dataclasses.replace(BORE, feature="<script>x</script>")])
    answer = page.AFTERWARDS.answer(sheet=page.SHEETS[1], measured="1: 12.01")
    assert "<script>" not in answer.svg and "<script>" not in answer.more
