"""Grooves, tapers and inside threads: claims, limits, bad input."""

from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from springpass import grooves_tapers as gt
from springpass.core.quantity import Refused
from springpass.grooves_tapers import grooving, inside_threads, tapers
from springpass.grooves_tapers.inside_threads import MM
from springpass.pages import grooves as groove_pages
from springpass.pages import inside_threads as thread_pages
from springpass.pages import tapers as taper_pages
from springpass.threads.single_point import infeed_schedule

sizes = st.floats(0.5, 6)


# ---- the blade ---------------------------------------------------------------------------------------------


@given(width=sizes, times=st.floats(1.1, 4))
def test_a_wider_blade_bends_no_further_and_grabs_sooner(width, times):
    one, other = (gt.bite(w, 14.0, 16.0, 0.04, 1500.0, 0.22, post=1e-4) for w in (width, times * width))
    assert other.force == pytest.approx(times * one.force)
    assert other.drop == pytest.approx(one.drop)
    assert other.ratio > one.ratio
    plain_post = gt.grab_ratio(1e-4, 3000.0, 0.22, times * width) / gt.grab_ratio(1e-4, 3000.0, 0.22, width)
    assert plain_post == pytest.approx(times)


@given(overhang=st.floats(5, 60), longer=st.floats(1.05, 3))
def test_a_longer_blade_drops_more_and_leans_in_with_the_square(overhang, longer):
    short, long = (grooving.blade_inward(x, 2.0, 14.0, 210e3) for x in (overhang, longer * overhang))
    assert long / short == pytest.approx(longer**2)
    assert gt.blade_drop(100.0, longer * overhang, 2.0, 14.0, 210e3, 0.3) > longer * gt.blade_drop(100.0, overhang, 2.0,
        14.0, 210e3, 0.3)


def test_a_rear_post_moves_the_edge_out_and_never_grabs():
    out = gt.bite(6.0, 14.0, 16.0, 0.02, 2500.0, 0.22, post=-1e-4)
    assert out.ratio < 0 and 0 < out.growth < 1


def test_past_one_there_is_no_end_to_it():
    bites = gt.bite(2.0, 14.0, 16.0, 0.04, 1500.0, 0.22, post=np.array([1e-5, 1e-4, 1e-3]))
    assert bites.growth[0] < bites.growth[1] < np.inf == bites.growth[2]


@pytest.mark.parametrize("wrong", [{"width": 0}, {"width": -1}, {"height": float("nan")}, {"overhang": 0.5},
    {"overhang": 0}, {"feed": float("inf")}, {"feed": "fast"}, {"modulus": -1}])
def test_a_blade_that_cannot_be_is_refused(wrong):
    usual = {"width": 2.0, "height": 14.0, "overhang": 16.0, "feed": 0.04, "kc": 1500.0, "mc": 0.22}
    with pytest.raises(Refused, match=r"[.]$"):
        gt.bite(**{**usual, **wrong})


@given(heel=st.floats(0.5, 20), clearance=st.floats(1, 30))
def test_clearance_and_smallest_groove_are_each_other_turned_round(heel, clearance):
    assert gt.needed_clearance(heel, gt.smallest_face_groove(heel, clearance)) == pytest.approx(clearance)


def test_undercuts_run_on_without_a_gap():
    for load in ("usual", "alternating"):
        rows = gt.undercuts(load)
        assert all(a.upto == b.over for a, b in pairwise(rows))
        assert all(row.face <= row.depth < row.radius + row.depth < row.width for row in rows)
    assert gt.undercut(18.0).name("E") == "E 0.6x0.2" and gt.undercut(18.001).name("F") == "F 0.6x0.3"


@pytest.mark.parametrize("call", [lambda: gt.undercut(0.5), lambda: gt.undercut(400), lambda: gt.undercut(-3),
    lambda: gt.undercut(10, "alternating"), lambda: gt.undercuts("heavy"), lambda: gt.cone("Morse 9"),
    lambda: gt.longest_overhang(0), lambda: tapers.checked(10, 12, 5), lambda: tapers.checked(10, 8, 0),
    lambda: gt.dial_rule(Fraction(0), Fraction(1)), lambda: gt.dial_rule(MM / 8, Fraction(1), 0),
    lambda: gt.dial_rule(MM / 8, Fraction(1), 16, 2.5)])
def test_what_is_not_there_is_a_sentence(call):
    with pytest.raises(Refused, match=r"[.]$"):
        call()


# ---- tapers ------------------------------------------------------------------------------------------------------


@given(small=st.floats(2, 80), more=st.floats(0.05, 10), length=st.floats(20, 200))
def test_the_exact_set_over_turns_the_taper_that_was_wanted(small, more, length):
    over = gt.set_over_exact(300.0, small + more, small, length)
    assert gt.taper_made(over, 300.0, length) == pytest.approx(more, rel=1e-9)
    assert gt.set_over(300.0, small + more, small, length) > over


@given(length=st.floats(5, 200), angle=st.floats(0.1, 30), error=st.floats(0.001, 1))
def test_an_error_of_the_angle_costs_more_on_a_longer_taper(length, angle, error):
    assert gt.size_error(2 * length, angle, error) == pytest.approx(2 * gt.size_error(length, angle, error))
    assert gt.size_error(length, angle, -error) < 0 < gt.size_error(length, angle, error)


@given(small=st.floats(4, 60), more=st.floats(0.1, 20), off=st.floats(0.01, 1))
def test_a_tip_off_centre_always_takes_from_the_taper(small, more, off):
    lost = gt.taper_lost(small + more, small, off)
    assert 0 < lost < more and gt.taper_lost(small + more, small, off / 2) < lost / 3.9


def test_every_standard_taper_has_its_numbers():
    for name in gt.cones():
        one = gt.cone(name)
        assert 0 < one.ratio < 1 and one.source and one.basis
        assert not one.large or 0 < one.small < one.large
    assert gt.cone("Morse 2").small == pytest.approx(14.583, abs=1e-3)


# ---- threads inside -------------------------------------------------------------------------------------------------


@settings(deadline=None, max_examples=30)
@given(soft=st.floats(1e-5, 3e-3), count=st.integers(2, 12))
def test_spring_passes_bring_the_thread_nearer_and_never_past(soft, count):
    plan = infeed_schedule(1.5, count, 1.5 / 8)
    found = gt.inside_passes(plan, 1.5 / 8, np.array([soft, 2 * soft]), 4)
    left = found.left[count - 1:]
    assert (np.diff(left, axis=0) <= 1e-12).all() and (left > -1e-12).all()
    assert (left[:, 1] >= left[:, 0]).all(), "a softer bar leaves more"
    assert (np.diff(found.reached, axis=0) >= 0).all()


def test_a_rigid_bar_reaches_what_is_dialled_and_a_blunt_edge_stops():
    plan = infeed_schedule(1.0, 5, 0.125)
    assert gt.inside_passes(plan, 0.125, np.array([0.0]), 0).left == pytest.approx(0, abs=1e-9)
    blunt = gt.inside_passes(plan, 0.125, np.array([1e-3]), 3, least_chip=0.02)
    assert blunt.reached[-1] == blunt.reached[-2] and blunt.thrust[-1] == 0


@given(tpi=st.integers(2, 60), other=st.integers(2, 12), teeth=st.integers(8, 48), marks=st.integers(1, 16))
def test_a_mark_that_is_right_puts_the_tool_in_its_groove(tpi, other, teeth, marks):
    rule = gt.dial_rule(MM / other, MM / tpi, teeth, marks)
    assert 0 in rule.marks and rule.missed[0] == 0
    for mark in rule.marks:
        assert rule.missed[mark] == 0
    assert all(0 <= off <= 0.5 for off in rule.missed)
    assert rule.closed == (rule.turns > 1)


def test_rules_of_the_trade_for_the_dial():
    """A leadscrew of 8 to the inch, a dial of 4 inch with eight marks: odd threads on every second, even on any."""
    for tpi in range(3, 60):
        rule = gt.dial_rule(MM / 8, MM / tpi, 32, 8)
        assert len(rule.marks) == (8 if tpi % 2 == 0 else 4)
    assert len(gt.dial_rule(MM / 8, MM / Fraction("11.5"), 32, 8).marks) == 2
    assert len(gt.dial_rule(MM / 8, MM / Fraction("4.75"), 32, 8).marks) == 1
    assert inside_threads.FLANK == 30


# ---- the pages ------------------------------------------------------------------------------------------------------


def test_the_pages_answer_the_question_in_their_title():
    assert groove_pages.BLADE.answer().result.headline == "It cuts"
    assert groove_pages.BLADE.answer(width=6, post=0.03).result.headline == "It grabs"
    assert "nothing grabs" in groove_pages.BLADE.answer(width=6, post=0.03, way=groove_pages.REAR).words
    assert "overhang does not reach" in groove_pages.BLADE.answer(work=60).words
    assert "the trade's limit" in groove_pages.BLADE.answer(overhang=30).words
    assert groove_pages.FACE.answer(outside=120).result.headline == "The heel clears"
    assert "no flat flank" in groove_pages.FACE.answer(outside=12, heel=10).words
    assert "away from the shoulder" in thread_pages.INSIDE.answer(speed=600).words
    assert "Rubbed all along" in taper_pages.BLUE.answer(rubbed=60).words
    assert "too slim" in taper_pages.BLUE.answer(where=taper_pages.FLAT).words


def test_the_widest_blade_named_does_not_grab():
    worst = groove_pages.BLADE.answer(width=5).result
    assert worst.verdict != "holds" and 0 < worst.widest < 5
    assert groove_pages.BLADE.answer(width=worst.widest).result.verdict != "will not hold"


@pytest.mark.parametrize(("typed", "pitch"), [("1.5", Fraction(3, 2)), ("1,25 mm", Fraction(5, 4)),
    ("20 tpi", Fraction(127, 100)), ("11.5 tpi", MM / Fraction(23, 2)), ("M10", Fraction(3, 2)),
    ("1/4-20 UNC", Fraction(127, 100)), ("M42x0.75", Fraction(3, 4))])
def test_a_pitch_is_read_exactly(typed, pitch):
    assert thread_pages.read_pitch(typed) == pitch


@pytest.mark.parametrize("typed", ["", "coarse", "0", "-1", "1e9", "tpi", "0 tpi", "M13", "1.2.3", "🙂"])
def test_what_is_no_pitch_gets_a_sentence(typed):
    with pytest.raises(Refused):
        thread_pages.read_pitch(typed)


def test_a_lead_that_is_out_keeps_a_good_pitch_diameter_from_its_screw():
    from springpass.pages.thread_gauge import GAUGE

    assert GAUGE.answer(lead=0).result.headline == "A good thread"
    refused = GAUGE.answer(above=0.06, lead=0.08, doubt=0.002).result
    assert refused.headline == "GO will not enter" and refused.above > 0 and refused.stays_out == 1
    assert GAUGE.answer(above=0.3, doubt=0).result.headline == "NO-GO enters"
    assert GAUGE.answer(above=-0.05).result.headline == "GO will not enter"
    assert GAUGE.answer(above=0.035, lead=0.02).result.verdict == "at the edge"
