"""Budgets, gauges and decisions: hand-worked values, limits, and what is typed wrong."""

import numpy as np
import pytest

from springpass import measuring
from springpass.core import spread
from springpass.core.quantity import Refused, Say
from springpass.measuring import (
    budget,
    coverage_factors,
    exact,
    gauging,
    guard_bands,
    normal,
    rectangular,
    triangular,
    u_shaped,
)

# ---- formulas by hand ---------------------------------------------------------------------------


def test_formulas_by_hand():
    assert measuring.rectangle_uncertainty(0.006) == pytest.approx(0.0034641, abs=1e-7)
    assert measuring.triangle_uncertainty(0.006) == pytest.approx(0.0024495, abs=1e-7)
    assert measuring.u_shape_uncertainty(0.006) == pytest.approx(0.0042426, abs=1e-7)
    assert measuring.trapezoid_uncertainty(0.006, 0.5) == pytest.approx(0.006 * np.sqrt(1.25 / 6))
    assert guard_bands.mean_uncertainty(0.003, 9) == pytest.approx(0.001)
    assert gauging.abbe_error(30, 0.02) == pytest.approx(0.010472, abs=1e-6)      # 30 mm x 0.00034907
    assert gauging.cosine_error(10, 5) == pytest.approx(0.038053, abs=1e-6)       # 10 (1 - 0.9961947)
    assert gauging.two_point_reading(10, 0.003, 3, 0) == pytest.approx(20.0)      # odd lobes cancel
    assert gauging.two_point_reading(10, 0.003, 4, 0) == pytest.approx(20.006)
    assert gauging.three_point_reading(10, 0.003, 3, 0) == pytest.approx(20.006)
    assert gauging.three_point_reading(10, 0.003, 4, 0) == pytest.approx(20.0)
    assert gauging.vee_gain(3, 60) == pytest.approx(3.0)       # three contacts alike: each lobe lifts it three times
    assert gauging.vee_gain(2, 60) == pytest.approx(0.0)       # an oval in a 60 degree vee is not seen
    assert gauging.vee_gain(2, 90) == pytest.approx(1.0)       # nor made larger in a 90 degree one


# ---- the budget ---------------------------------------------------------------------------------


def test_a_sum_by_hand():
    result = budget({"a": (1.0, 0.3), "b": (2.0, 0.4, 5)}, lambda a, b: a + b)
    assert result.value == 3.0 and result.uncertainty == pytest.approx(0.5)
    assert result.dof == pytest.approx(0.5**4 / (0.4**4 / 5)) and result.dof == pytest.approx(12.2, abs=0.01)
    assert [line.share for line in result.lines] == pytest.approx([0.36, 0.64])
    assert result.expanded(0.95) == pytest.approx(0.5 * coverage_factors.coverage(0.95, 12))


def test_inputs_in_every_form():
    model = lambda a, b: a * b  # noqa: E731
    whole = budget({"a": normal(2, 0.1), "b": exact(3)}, model)
    for inputs in (
        {"a": (2, 0.1), "b": 3},
        {"a": {"value": 2, "u": 0.1, "dof": None}, "b": 3.0},
        {"a": spread.about(2, 0.2), "b": 3},
        [(2, 0.1), 3],
        {"a": (2, 0.1, None), "b": np.float64(3)},
        [("a", 2, 0.1), ("b", 3)],
        [{"name": "a", "value": 2, "u": 0.1}, {"name": "b", "value": 3, "u": 0.0}],
    ):
        other = budget(inputs, model)
        assert (other.value, other.uncertainty) == (pytest.approx(whole.value), pytest.approx(whole.uncertainty))
    flat = budget({"a": spread.between(1.9, 2.1), "b": 3}, model)
    assert flat.uncertainty == pytest.approx(0.3 / np.sqrt(3))
    half = budget({"a": {"value": 2, "half_width": 0.1}, "b": 3}, model)
    assert half.uncertainty == pytest.approx(flat.uncertainty)


def test_models_in_every_form():
    inputs = {"a": (2, 0.1), "b": (3, 0.2)}
    wanted = budget(inputs, lambda a, b: a * b).uncertainty
    for model in (lambda x, y: x * y, lambda values: values["a"] * values["b"], lambda *given: given[0] * given[1],
                  lambda **given: given["a"] * given["b"]):
        assert budget(inputs, model).uncertainty == pytest.approx(wanted)
    assert budget({"a": (2, 0.1)}, lambda x: 3 * x).uncertainty == pytest.approx(0.3)


def test_nothing_doubtful():
    sure = budget({"a": 2, "b": 3}, lambda a, b: a * b)
    assert (sure.value, sure.uncertainty, sure.dof, sure.expanded()) == (6, 0, np.inf, 0)
    assert sure.monte_carlo.interval() == (6, 6)


def test_second_order_sees_what_first_order_cannot():
    flat = budget({"a": normal(0, 1), "b": normal(0, 2)}, lambda a, b: a * b, order=2)
    assert flat.first_order == pytest.approx(0, abs=1e-12) and flat.uncertainty == pytest.approx(2.0)
    assert flat.monte_carlo.uncertainty == pytest.approx(2.0, rel=0.04)


def test_monte_carlo_does_not_jitter():
    inputs = {"a": rectangular(1, 0.2), "b": triangular(2, 0.3), "c": u_shaped(0, 0.1)}
    first, second = (budget(inputs, lambda a, b, c: a * b + c) for _ in range(2))
    assert np.array_equal(first.monte_carlo.samples, second.monte_carlo.samples)
    assert first.monte_carlo.uncertainty == pytest.approx(first.uncertainty, rel=0.03)


def test_one_rectangle_that_rules():
    result = budget({"big": rectangular(0, 1), "small": normal(0, 0.05)}, lambda big, small: big + small)
    assert result.ruling_rectangles == pytest.approx((1.0,))
    assert result.factor(0.95, "fitting") == pytest.approx(0.95 * np.sqrt(3))
    many = budget({name: rectangular(0, 1) for name in "abcd"}, lambda a, b, c, d: a + b + c + d)
    assert many.ruling_rectangles == () and many.factor(0.95, "fitting") == many.factor(0.95)
    with pytest.raises(Refused, match="student"):
        many.factor(0.95, "trapezoid")


PLAIN = budget({"a": (1, 0.1)}, lambda a: a)


@pytest.mark.parametrize(("call", "says"), [
    (lambda: rectangular(0, -1), "zero or more"),
    (lambda: normal(0, np.nan), "zero or more"),
    (lambda: normal(np.inf, 1), "finite"),
    (lambda: normal("x", 1), "a number"),
    (lambda: normal(0, 1, 0), "above zero"),
    (lambda: measuring.trapezoid(0, 1, 2), "share"),
    (lambda: measuring.Input(0, 1, "round"), "U-shaped"),
    (lambda: budget({}, lambda: 1), "at least one"),
    (lambda: budget({"a": "much"}, lambda a: a), "shapes"),
    (lambda: budget({"a": (1, -0.1)}, lambda a: a), "zero or more"),
    (lambda: budget({"a": {"u": 1}}, lambda a: a), "value"),
    (lambda: budget({"a": (1, 0.1)}, 7), "function"),
    (lambda: budget({"a": (1, 0.1), "b": 2, "c": 3}, lambda x, y: x), "same names"),
    (lambda: budget({"a": (0, 0.1)}, lambda a: np.log(a)), "no number"),
    (lambda: budget({"a": (1, 0.1)}, lambda a: a, order=3), "order"),
    (lambda: PLAIN.expanded(1.5), "share"),
    (lambda: PLAIN.expanded(0), "between 0 and 1"),
    (lambda: PLAIN.expanded("most"), "number"),
    (lambda: PLAIN.factor(shape="egg"), "egg"),
    (lambda: coverage_factors.t_quantile(0.9, -1), "above zero"),
    (lambda: coverage_factors.t_quantile(1.0, 3), "between 0 and 1"),
    (lambda: coverage_factors.trapezoid_coverage(0.95, 2), "share"),
    (lambda: measuring.effective_dof([1, 2], [3]), "its own"),
    (lambda: measuring.symbolic_sensitivities({"a": (1, 0.1)}, lambda a: np.sin(a)), "letters")])
def test_budgets_that_cannot_be(call, says):
    with pytest.raises(Refused, match=says):
        call()


def test_percent_is_pointed_out():
    with pytest.raises(Refused, match=r"0\.95 rather than 95"):
        budget({"a": (1, 0.1)}, lambda a: a).expanded(95)


# ---- ready budgets ------------------------------------------------------------------------------


def test_micrometer_on_a_shaft_by_hand():
    # scale ±4, faces ±1, zero ±1, step ±1 µm rectangular, repeat 1.5 µm: u² = (16 + 1 + 1 + 1)/3 + 2.25, u = 2.93 µm
    ready = gauging.ready(shop_rise=0.0)
    assert ready.u * 1000 == pytest.approx(np.sqrt(19 / 3 + 2.25), abs=0.02)
    assert ready.value == pytest.approx(20.0)
    four = gauging.ready(shop_rise=0.0, count=4)
    assert four.u * 1000 == pytest.approx(np.sqrt(19 / 3 + 2.25 / 4), abs=0.02)


def test_warm_work_reads_large_by_hand():
    # aluminium 20 mm, 10 K above a gauge at 20 °C, coefficient in the middle of its range: about 4.7 µm too large
    ready = gauging.ready(reading=20.0, material="aluminium 6082", shop_rise=0.0, warmer=10.0)
    assert ready.correction * 1000 == pytest.approx(-4.7, abs=0.2)
    cold = gauging.ready(reading=20.0, material="aluminium 6082", shop_rise=0.0)
    assert cold.correction == 0 and cold.u < ready.u


def test_beside_the_scale_and_askew():
    plain, beside = gauging.ready("calliper", offset=0.0), gauging.ready("calliper")
    # 30 mm x tan 0.02 degrees = 10.5 µm half width, 6.05 µm
    assert beside.budget.first_order**2 - plain.budget.first_order**2 == pytest.approx(
        (0.010472 / np.sqrt(3)) ** 2, rel=1e-3
    )
    askew = gauging.ready("dial indicator", reading=10.0, askew=5.0)
    assert askew.budget.first_order == pytest.approx(
        gauging.ready("dial indicator", reading=10.0).budget.first_order, rel=1e-3
    )
    assert askew.u > askew.budget.first_order and askew.budget.shift == pytest.approx(
        -10 * np.radians(5) ** 2 / 6, rel=0.01
    )


def test_odd_lobes_make_a_shaft_larger_and_a_bore_smaller():
    shaft, bore = (
        gauging.ready(odd_lobes=0.006, shop_rise=0),
        gauging.ready("bore gauge set in a ring", odd_lobes=0.006, shop_rise=0),
    )
    assert shaft.correction == pytest.approx(0.003) and bore.correction == pytest.approx(-0.003)
    assert gauging.ready("dial indicator", odd_lobes=0.006, shop_rise=0).correction == 0


def test_lobes_seen():
    three = gauging.lobes_seen(20, 0.006, 3)
    assert three.two_point == pytest.approx((20, 20)) and three.three_point == pytest.approx((19.994, 20.006), abs=1e-6)
    assert three.mates == pytest.approx(20.006) and gauging.lobes_seen(20, 0.006, 3, bore=True).mates == pytest.approx(
        19.994
    )
    four = gauging.lobes_seen(20, 0.006, 4)
    assert four.two_point == pytest.approx((19.994, 20.006), abs=1e-6) and four.three_point == pytest.approx((20, 20))


def test_your_own_scatter_counts():
    own = guard_bands.repeatability("20,001 20,003 20,002 20,002 20,004 20,001 20,003 20,002 20,002 20,003")
    ready = gauging.ready(scatter=own.scatter, scatter_dof=own.dof, count=4)
    line = next(line for line in ready.budget.lines if line.name == "repeat")
    assert line.contribution == pytest.approx(own.scatter / 2) and np.isfinite(ready.budget.dof)


@pytest.mark.parametrize(("call", "says"), [
    (lambda: gauging.ready("ruler"), "micrometer"), (lambda: gauging.ready(reading=-1), "above zero"),
    (lambda: gauging.ready(reading=500), "ends at 200"), (lambda: gauging.ready(material="cheese"), "cheese"),
    (lambda: gauging.ready(odd_lobes=-1), "zero or more"), (lambda: gauging.ready(count=0), "1 or more"),
    (lambda: gauging.ready(warmer=np.nan), "finite number"), (lambda: gauging.ready(reading="x"), "not a number"),
    (lambda: gauging.lobes_seen(20, 0.006, 1), "lobes"), (lambda: gauging.lobes_seen(20, -1, 3), "zero or more")])
def test_gauges_that_cannot_be(call, says):
    with pytest.raises(Refused, match="(?i)" + says):
        call()


# ---- repeated readings --------------------------------------------------------------------------


def test_ten_readings_by_hand():
    # 1 2 3 4 5 6 7 8 9 10: mean 5.5, s = sqrt(82.5/9) = 3.0277, u = 0.9574
    found = guard_bands.repeatability(range(1, 11))
    assert (found.mean, found.dof) == (5.5, 9) and found.scatter == pytest.approx(3.02765, abs=1e-5)
    assert found.u == pytest.approx(0.95743, abs=1e-5) and found.of_mean_of(4) == pytest.approx(1.51383, abs=1e-5)
    assert found.mean_input("mean").dof == 9


def test_readings_as_people_type_them():
    wanted = (12.001, 12.003, 12.0)
    for text in ("12.001 12.003 12.0", "12,001; 12,003; 12,0", "12.001, 12.003, 12.0", "12.001\n12.003\n\n12"):
        assert guard_bands.read_numbers(text) == wanted


def test_alike_readings_are_not_perfect_ones():
    found = guard_bands.repeatability([5.01] * 10, step=0.01)
    assert found.hidden and found.scatter == pytest.approx(0.01 / np.sqrt(12))


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: guard_bands.repeatability("12.001 12.0o3 12.002"), "number 2 is “12.0o3”"),
        (lambda: guard_bands.repeatability("a b"), "number 1.*number 2"),
        (lambda: guard_bands.repeatability("12.0"), "at least two"),
        (lambda: guard_bands.repeatability(""), "at least two"),
        (lambda: guard_bands.repeatability([1, np.nan]), "number 2"),
        (lambda: guard_bands.repeatability([1, np.inf]), "number 2"),
        (lambda: guard_bands.repeatability([1, 2], step=-1), "step"),
        (lambda: guard_bands.repeatability([1, 2]).of_mean_of(0), "1 or more"),
    ],
)
def test_readings_that_cannot_be(call, says):
    with pytest.raises(Refused, match=says):
        call()


# ---- the decision -------------------------------------------------------------------------------


def test_odds_at_a_limit_are_even():
    assert guard_bands.odds_in_tolerance(20.0, 20.0, 21.0, 0.01) == pytest.approx(0.5)
    assert guard_bands.odds_in_tolerance(20.5, 20.0, 21.0, 0.01) == pytest.approx(1.0)
    x = np.array([19.9, 20.0, 20.5])
    assert guard_bands.odds_in_tolerance(x, 20.0, 21.0, 0.01).shape == (3,)


def test_acceptance_by_hand():
    # tolerance 21 µm, u 3 µm: 1.645 x 3 = 4.93 µm off each end
    low, high = guard_bands.acceptance(20.0, 20.021, 0.003)
    assert low == pytest.approx(20.00493, abs=2e-5) and high == pytest.approx(20.01607, abs=2e-5)
    assert guard_bands.acceptance(20.0, 20.021, 0.008) is None    # no reading can prove it
    assert guard_bands.acceptance(-np.inf, 10.0, 0.1)[1] == pytest.approx(10 - guard_bands.guard_band(0.1))


def test_decisions():
    assert guard_bands.decision(0.96) == guard_bands.PROVED and guard_bands.decision(0.5) == guard_bands.OPEN
    assert guard_bands.decision(0.03) == guard_bands.REFUTED


def test_repeats_needed_by_hand():
    # 5 µm inside one far-off limit, scatter 6 µm: 1.645 x 6/sqrt n <= 5 needs n = 4 (3.90 rounded up)
    assert guard_bands.repeats_needed(20.005, 20.0, 21.0, 0.006, 0.0) == 4
    assert guard_bands.repeats_needed(20.005, 20.0, 21.0, 0.001, 0.0) == 1
    assert guard_bands.repeats_needed(20.005, 20.0, 21.0, 0.001, 0.004) is None     # repeats do not cure the scale
    assert guard_bands.repeats_needed(19.99, 20.0, 21.0, 0.006, 0.0) is None


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: guard_bands.odds_in_tolerance(1, 2, 1, 0.1), "below"),
        (lambda: guard_bands.odds_in_tolerance(1, 0, 2, 0), "above zero"),
        (lambda: guard_bands.odds_in_tolerance(np.nan, 0, 2, 0.1), "reading"),
        (lambda: guard_bands.odds_in_tolerance(1, "a", 2, 0.1), "“a” is not a number"),
        (lambda: guard_bands.guard_band(-1), "above zero"),
        (lambda: guard_bands.acceptance(0, 1, 0.1, 2), "share"),
        (lambda: guard_bands.repeats_needed(1, 0, 2, -1, 0), "zero or more"),
    ],
)
def test_decisions_that_cannot_be(call, says):
    with pytest.raises(Refused, match="(?i)" + says):
        call()


# ---- what the pages keep ------------------------------------------------------------------------


@pytest.fixture
def shop_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path))
    return tmp_path


def test_ten_readings_are_kept_and_used(shop_folder):
    from springpass.pages.measuring import BUDGET, TEN
    from springpass.pages.stops import DEPTH

    gauge = "bore gauge set in a ring"
    before = BUDGET.answer(instrument=gauge, mine=True)
    assert "kept no readings" in before.words
    said = TEN.presses[0].does(**TEN.values(readings="10,000 10,020 10,000 10,020", name=gauge))
    assert "4 readings" in said
    after = BUDGET.answer(instrument=gauge, mine=True)
    assert "Your own" in after.words and after.result.half > before.result.half and after.result.named[0][0] == "repeat"
    assert "kept no readings" in DEPTH.answer(mine=True).words
    TEN.presses[0].does(**TEN.values(readings="0.001 0.002 0.001 0.002", name="carriage stop"))
    mine = DEPTH.answer(mine=True, stop="plain stop by any hand")
    assert "Your own" in mine.words and mine.result.half < DEPTH.answer(stop="plain stop by any hand").result.half
    assert "<td>4</td>" in TEN.answer(name=gauge).more


def test_a_letter_among_ten_readings_loses_nothing(shop_folder):
    from springpass.pages.measuring import TEN

    typed = "10.006 10.oo8 10.005"
    with pytest.raises(Refused, match=r"number 2 is “10\.oo8”"):
        TEN.answer(readings=typed)
    with pytest.raises(Refused, match="kept as typed"):
        TEN.presses[0].does(**TEN.values(readings=typed))
    assert not list(shop_folder.glob("*.json"))


def test_pages_take_every_gauge_and_both_units():
    from springpass.pages.measuring import BELIEVE, BUDGET, SAY_MYSELF

    for gauge in gauging.instruments():
        assert "±" in BUDGET.answer(instrument=gauge).words
        assert "thou" in BELIEVE.answer(Say(True), instrument=gauge).words
    assert BELIEVE.answer(instrument=SAY_MYSELF, own=0.006).result.u == pytest.approx(0.003)


def test_the_page_says_when_more_readings_help():
    from springpass.pages.measuring import BELIEVE, SAY_MYSELF

    helps = BELIEVE.answer(instrument="bore gauge set in a ring", read=0.0118, tolerance=0.015)
    assert helps.result.verdict == spread.EDGE and helps.result.repeats and "readings would prove it" in helps.words
    idle = BELIEVE.answer(instrument=SAY_MYSELF, own=0.02, read=0.011)
    assert "More readings do not help" in idle.words and "too narrow" in idle.words


def test_lobes_of_the_jaws_are_seen_alike_by_both_topics():
    from springpass import workholding

    lobing = workholding.ring_lobing(62, 42, 14, 1500, 3, 70000, 0.33)
    first = 2 * abs(float(lobing.amplitudes[0]))
    seen = workholding.gauged(lobing)
    ours = gauging.lobes_seen(42, first, 3, bore=True)
    assert (
        ours.two_point[1] - ours.two_point[0] == pytest.approx(0, abs=1e-9) and seen.two_point < 0.1 * seen.three_point
    )
    assert ours.three_point[1] - ours.three_point[0] == pytest.approx(seen.three_point, rel=0.05)
