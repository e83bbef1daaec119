"""The stickout's question: verdicts, what helps, limits, bad input; and the holder from weights."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from springpass import boring_bar
from springpass.boring_bar import Setup, check_stickout
from springpass.boring_bar import bending as bar_bending
from springpass.core.quantity import Refused

# ---- limits -----------------------------------------------------------------------------------------


def test_twice_the_stickout_is_eight_times_the_bend():
    one, two = (bar_bending.tip_deflection(10, length, 8, 205e3) for length in (40, 80))
    assert two / one == pytest.approx(8)


def test_shear_by_hand():
    """6·1.29/(7 + 6·0.29) = 0.8856; G = 79457; A = 50.265; 10·40/(0.8856·79457·50.265) = 0.1131 µm."""
    assert bar_bending.shear_factor(0.29) == pytest.approx(0.8856, abs=5e-5)
    assert bar_bending.shear_modulus(205e3, 0.29) == pytest.approx(79457.4, abs=0.1)
    assert bar_bending.section_area(8) == pytest.approx(50.265, abs=5e-4)
    assert 1e3 * bar_bending.shear_deflection(10, 40, 8, 205e3, 0.29) == pytest.approx(0.1131, abs=5e-5)


def test_holder_by_hand():
    """10 N: 10/20000 + 10·1600/8e6 = 0.5 + 2 µm."""
    assert 1e3 * bar_bending.holder_deflection(10, 40, 2e4, 8e6) == pytest.approx(2.5)
    assert bar_bending.bar_deflection(10, 40, 8, 205e3, 0.29, 2e4, 8e6) == pytest.approx(
        bar_bending.tip_deflection(10, 40, 8, 205e3) + 0.0001131 + 0.0025, abs=1e-7)


def test_pull_and_twist_by_hand():
    """Pull: 4·5·1600/(2·205000·201.06) = 0.3882 µm. Twist: 15·25·40/(79457·402.12) = 0.4695 µm."""
    assert 1e3 * bar_bending.feed_force_pull(4, 5, 40, 8, 205e3) == pytest.approx(0.3882, abs=5e-5)
    assert 1e3 * bar_bending.twist_drop(15, 5, 40, 8, 205e3, 0.29) == pytest.approx(0.4695, abs=5e-5)
    assert bar_bending.polar_moment(8) == pytest.approx(402.12, abs=5e-3)


def test_stiffness_by_slenderness_by_hand():
    """3π·205000·8/(64·64) = 3773.6 N/mm, the same as 3EI/L³ at 32 mm."""
    assert boring_bar.stiffness_by_slenderness(205e3, 8, 4) == pytest.approx(3773.59, abs=0.01)
    assert 1 / bar_bending.tip_deflection(1, 32, 8, 205e3) == pytest.approx(3773.59, abs=0.01)


@given(st.floats(5, 200), st.floats(2, 40), st.floats(0.1, 0.9))
def test_cutting_a_bar_into_pieces_changes_nothing(length, diameter, share):
    whole = boring_bar.compliance([(length, diameter)], 205e3, 0.29, 3e4, 2e7)
    parts = boring_bar.compliance([(share * length, diameter), ((1 - share) * length, diameter)], 205e3, 0.29, 3e4, 2e7)
    assert parts == pytest.approx(whole, rel=1e-9)


@given(st.floats(10, 80), st.floats(4, 16), st.floats(0.5, 0.99))
def test_a_neck_only_makes_it_softer(length, diameter, thin):
    plain = boring_bar.compliance(boring_bar.make_bar(length, diameter), 205e3, 0.29)
    necked = boring_bar.compliance(boring_bar.make_bar(length, diameter, length / 3, thin * diameter), 205e3, 0.29)
    assert necked > plain


@given(st.floats(1e-5, 5e-3), st.floats(0.02, 0.5), st.integers(1, 6))
def test_passes_never_take_more_than_is_left(compliance, infeed, passes):
    got = boring_bar.spring_passes(infeed, 0.05, 0.4, compliance, "medium-carbon steel", passes)
    assert (got.removed >= 0).all() and (got.left > 0).all() and (got.left < infeed).all()
    assert got.removed.sum() + got.left[-1] == pytest.approx(infeed, rel=1e-9)


def test_a_rigid_bar_leaves_nothing():
    got = boring_bar.spring_passes(0.1, 0.05, 0.4, 1e-12, "medium-carbon steel", 1)
    assert got.left[0] == pytest.approx(0, abs=1e-9)


def test_the_floor_of_the_edge_stops_the_passes():
    got = boring_bar.spring_passes(0.1, 0.05, 0.4, 7.8e-4, "medium-carbon steel", 5, least_chip=0.02)
    assert (got.removed[1:] == 0).all() and (got.left == got.left[0]).all()


# ---- the verdict ------------------------------------------------------------------------------------


def test_short_and_thick_holds_and_long_and_thin_does_not():
    assert check_stickout(20, 8, 12, 0.03).verdict == "holds"
    assert check_stickout(100, 8, 12, 0.018).verdict == "will not hold"


def test_the_verdict_is_taken_on_the_range():
    one = check_stickout(43, 8, 12, 0.018)
    assert one.verdict == "at the edge" and 0.5 < one.chance < 0.9
    assert one.error.low < one.error.value < one.error.high
    assert one.chance <= min(reason.chance for reason in one.reasons)
    straight = check_stickout(36, 8, 12, 0.018, dial_out=False)
    assert straight.error.low < straight.error.value < straight.error.high < 0


def test_measured_values_narrow_the_answer():
    wide = check_stickout(passes=1)
    narrow = check_stickout(
        passes=1, measured_stiffness=(30e3, 500.0), measured_rotation=(18e6, 3e5), measured_damping=(0.03, 0.002)
    )
    assert narrow.stiffness.high - narrow.stiffness.low < 0.5 * (wide.stiffness.high - wide.stiffness.low)
    assert narrow.frequency.high - narrow.frequency.low < 0.5 * (wide.frequency.high - wide.frequency.low)


def test_dialling_in_leaves_only_what_differs_from_cut_to_cut():
    straight = check_stickout(stickout=36.0, passes=1, dial_out=False)
    dialled = check_stickout(stickout=36.0, passes=1)
    assert dialled.chance > straight.chance
    assert dialled.after_dialling == pytest.approx(straight.after_dialling)
    # like cuts differ by 4 to 9 %: nine in ten of a bell of 6.5 % lie within about a tenth of the deflection
    assert 0.05 < dialled.after_dialling / abs(straight.error.value) < 0.15


def test_a_bar_whose_back_touches_does_not_go_in():
    one = check_stickout(40, 11.9, 12, 0.018)
    assert one.verdict == "" and one.unjudged == "does not go in" and one.chance == 0
    tight = check_stickout(30, 10, 12, 0.05)
    assert not tight.roomy


def test_what_helps_is_tried_not_guessed():
    now, changes = boring_bar.what_helps(Setup(stickout=44))
    assert changes, "at this stickout something must help"
    assert any(c.kind == "stickout" and c.value < 44 for c in changes)
    assert all(c.chance > now for c in changes)
    assert [c.chance for c in changes] == sorted([c.chance for c in changes], reverse=True)


def test_turned_round_agrees_with_the_verdict():
    setup = Setup()
    longest = boring_bar.longest_stickout(setup)
    assert check_stickout(0.98 * longest).verdict == "holds" and check_stickout(1.02 * longest).verdict != "holds"
    slim = boring_bar.slimmest_bar(setup)
    assert 4 < slim < 12
    assert (
        check_stickout(40, 1.02 * slim, 12).verdict == "holds"
        and check_stickout(40, 0.98 * slim, 12).verdict != "holds"
    )
    deep = boring_bar.deepest_cut(replace(setup, stickout=36.0))
    assert 0.05 < deep <= setup.nose_radius


def test_cuts_that_hold_are_one_stretch():
    """No islands: too light a cut rubs, too deep a one deflects too far or chatters, and between them all hold."""
    for out, tolerance in ((30.0, 0.018), (36.0, 0.01), (46.0, 0.03)):
        stretches = boring_bar.cuts_that_hold(Setup(stickout=out, tolerance=tolerance))
        assert len(stretches) <= 1
        for low, high in stretches:
            assert low < high <= 0.4
            for infeed in np.linspace(1.05 * low, 0.97 * high, 5):
                assert check_stickout(out, tolerance=tolerance, infeed=float(infeed)).verdict == "holds"


def test_no_cut_holds_where_none_is_light_enough():
    assert np.isnan(boring_bar.deepest_cut(Setup(stickout=90.0)))
    assert boring_bar.cuts_that_hold(Setup(stickout=90.0)) == ()


def test_answers_do_not_jitter():
    assert check_stickout(40).error == check_stickout(40.0).error
    errors = [check_stickout(x, passes=1, dial_out=False).error.value for x in np.linspace(40, 42, 9)]
    assert (np.diff(errors) < 0).all(), "a longer bar always errs more on a single pass"


# ---- bad input --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name", ["stickout", "bar_diameter", "bore", "tolerance", "infeed", "feed", "nose_radius", "speed"]
)
@pytest.mark.parametrize("value", [0, -1, float("nan"), float("inf"), "x", None, [], ""])
def test_a_value_that_cannot_be_gets_a_sentence(name, value):
    with pytest.raises(Refused, match="(?i)" + name.replace("_", " ")):
        check_stickout(**{name: value})


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"bar_diameter": 12}, "thicker than the bore"),
        ({"bar_diameter": 20}, "thicker than the bore"),
        ({"neck_length": 10, "neck_diameter": 9}, "thicker than the bar"),
        ({"neck_length": 50, "neck_diameter": 6}, "longer than the stickout"),
        ({"material": "cheese"}, "no material"),
        ({"bar_material": "wood"}, "no bar material"),
        ({"holder": "my hand"}, "no holder"),
        ({"feed": 0.9}, "nose"),
        ({"infeed": 7}, "more than the bore"),
        ({"passes": 0}, "whole number"),
        ({"passes": 2.5}, "whole number"),
        ({"passes": True}, "whole number"),
        ({"colour": 1}, "has no"),
        ({"neck_length": -1}, "neck length"),
        ({"least_chip": -1}, "chip"),
    ],
)
def test_what_contradicts_itself_gets_a_sentence(changes, words):
    with pytest.raises(Refused, match="(?i)" + words):
        check_stickout(**changes)


@pytest.mark.parametrize(
    "segments", [[], [(40, 0)], [(0, 8)], [(-1, 8)], [(40, float("nan"))], [("a", 8)]]
)
def test_a_bar_that_cannot_be_gets_a_sentence(segments):
    for call in (
        lambda: boring_bar.compliance(segments, 205e3, 0.29),
        lambda: boring_bar.natural_frequency(segments, 205e3, 7850),
    ):
        with pytest.raises(Refused):
            call()


@pytest.mark.parametrize(
    ("e", "nu", "kt"),
    [(0, 0.29, 1e4), (205e3, 0.5, 1e4), (205e3, -0.1, 1e4), (205e3, 0.29, 0), (205e3, 0.29, -1), ("x", 0.29, 1e4)],
)
def test_a_material_or_holder_that_cannot_be_gets_a_sentence(e, nu, kt):
    with pytest.raises(Refused):
        boring_bar.compliance([(40, 8)], e, nu, kt)


# ---- the holder from weights ------------------------------------------------------------------------


def weights(shift, tilt, places, noise=0.0, zero=0.0):
    dice = np.random.default_rng(3)
    return [
        (
            m,
            m * 9.80665 * boring_bar.compliance([(x, 10)], 205e3, 0.29, shift, tilt)
            + zero
            + noise * dice.standard_normal(),
            x,
        )
        for m in (0, 1, 2, 3, 4)
        for x in places
    ]


def test_two_distances_tell_shift_from_tilt():
    fit = boring_bar.holder_from_weights(weights(30e3, 15e6, (20, 50), zero=0.002), 10)
    assert fit.stiffness == pytest.approx(30e3, rel=1e-6) and fit.rotation == pytest.approx(15e6, rel=1e-6)


def test_one_distance_gives_one_spring():
    rows = [row[:2] for row in weights(30e3, 15e6, (40,))]
    fit = boring_bar.holder_from_weights(rows, 10, stickout=40)
    assert fit.compliance == pytest.approx(1 / 30e3 + 1600 / 15e6, rel=1e-9)
    assert "With one distance" in fit.note


def test_readings_that_agree_perfectly_are_still_only_as_good_as_the_indicator():
    """Standard uncertainty of one reading no less than 1 µm over √12, however well they lie on a line."""
    exact = boring_bar.holder_from_weights(weights(30e3, 15e6, (20, 50)), 10)
    fine = boring_bar.holder_from_weights(weights(30e3, 15e6, (20, 50)), 10, resolution=1e-4)
    assert exact.compliance_error == pytest.approx(10 * fine.compliance_error, rel=1e-6) and exact.compliance_error > 0
    assert exact.stiffness_error > 0.001 * exact.stiffness


def test_a_holder_softer_than_any_lathe_is_not_believed():
    assert boring_bar.holder_from_weights(weights(30e3, 15e6, (20, 50)), 10).believable
    assert not boring_bar.holder_from_weights(weights(1e3, 4e5, (20, 50)), 10).believable


def test_noise_shows_in_the_error():
    fit = boring_bar.holder_from_weights(weights(30e3, 15e6, (20, 50), noise=0.0005), 10)
    assert abs(fit.compliance - (1 / 30e3 + 2500 / 15e6)) < 3 * fit.compliance_error
    assert fit.compliance_error > 0 and fit.worst > 0


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([], "At least three"),
        ([(1, 0.01)], "At least three"),
        ([(1, 0.01, 40), (2, "x", 40), (3, 0.03, 40)], "“x” is not a number"),
        ([(1, 0.01), (2, 0.02), (3, 0.03)], "how far"),
        ([(1, 0.01, 40)] * 3, "two different masses"),
        ([(-1, 0, 40), (1, 0, 40), (2, 0, 40)], "zero or more"),
        ([(0, 0, 40), (1, 1e-6, 40), (2, 2e-6, 40)], "nothing is left"),
        ([(1, float("nan"), 40), (2, 1, 40), (3, 1, 40)], "every reading"),
    ],
)
def test_readings_that_cannot_be_used_get_a_sentence(rows, words):
    with pytest.raises(Refused, match="(?i)" + words):
        boring_bar.holder_from_weights(rows, 10)
