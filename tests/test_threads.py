"""Threads: names, classes, limits as a system, wires, passes, nuts, refusals, pages."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from springpass import threads
from springpass.core import tables
from springpass.core.quantity import Refused, Say
from springpass.pages import threads as pages
from springpass.threads import single_point as thread_cutting

ALL = [f"M{row['diameter']:g}x{row['pitch']:g}" for row in tables.rows("threads_sizes")]


@pytest.mark.parametrize("written, meant", [
    ("M18x1", "M18x1"), ("m18 x 1", "M18x1"), ("M18×1,0", "M18x1"), ("M18*0.75", "M18x0.75"), ("M10", "M10x1.5"),
    ("M2,5", "M2.5x0.45"), ("1/4-20", "1/4-20 UNC"), ("1/4\"-28 UNF", "1/4-28 UNF"), ("#10-32", "#10-32 UNF"),
    ("10-32", "#10-32 UNF"), ("No. 8-32", "#8-32 UNC"), ("1 1/4-7", "1-1/4-7 UNC"), ("1/2-28 unef", "1/2-28 UNEF"),
    ("3/8-27 UNS", "3/8-27 UNS")])
def test_names_as_people_write_them(written, meant):
    assert threads.read(written).name == meant


@pytest.mark.parametrize(
    "wrong",
    [
        "",
        " ",
        None,
        18,
        "M",
        "M18x",
        "M13",
        "M65",
        "M0x1",
        "M-3",
        "M10x1.6",
        "M10x2",
        "M10x0",
        "M15",
        "banana",
        "1/4-21",
        "1/0-20",
        "M1e9",
        "nan",
        "Minf",
        "M10xnan",
        "99999-20",
    ],
)
def test_threads_that_do_not_exist_are_refused_with_a_sentence(wrong):
    with pytest.raises(Refused) as refusal:
        threads.limits(wrong, "6g")
    assert str(refusal.value).endswith(".") and len(str(refusal.value)) > 30


@pytest.mark.parametrize("wrong", ["", None, "6", "6k", "g6", "10g", "2g", "5g", "4g6h", "6g6H", "2A", 6, "nan"])
def test_classes_that_do_not_exist_are_refused(wrong):
    with pytest.raises(Refused, match=r"\.$"):
        threads.limits("M18x1", wrong)
    with pytest.raises(Refused, match=r"\.$"):
        threads.limits("1/4-20", "6g")


def test_nearest_sizes_are_offered():
    with pytest.raises(Refused, match="M12, M14"):
        threads.read("M13")
    with pytest.raises(Refused, match="M15x1"):
        threads.read("M15")
    assert threads.read("M13x1", special=True).series == "special"


@pytest.mark.parametrize("name", ALL)
def test_every_size_of_iso_261_has_limits_that_go_together(name):
    """The screw fits the nut: g lies below h by the allowance, nuts above; the least never passes the most."""
    g, h, nut = threads.limits(name, "6g"), threads.limits(name, "6h"), threads.limits(name, "6H")
    for limits in (g, h, nut):
        for low, high in (limits.major, limits.pitch, limits.minor):
            assert low < high
    t = threads.read(name)
    gap = h.pitch[1] - g.pitch[1]
    assert gap == pytest.approx(h.major[1] - g.major[1]) and 0.015 < gap < 0.09
    assert g.pitch[1] < h.pitch[1] == pytest.approx(nut.pitch[0])
    assert g.minor[1] < nut.minor[0] and h.minor[1] == pytest.approx(nut.minor[0])
    assert g.major[1] < nut.major[0] == t.major
    root = threads.basic(name).root
    assert g.minor[0] < root


def test_most_sizes_stand_in_the_tables_and_the_rest_say_so():
    assert all(threads.limits(name, "6g").tabulated for name in ALL)
    small = [name for name in ALL if not threads.limits(name, "6H").tabulated]
    assert small == [n for n in ALL if n.endswith(("x0.2", "x0.25")) and threads.read(n).major < 3]   # 4H or 5H there
    for name, pitch in (("M18x0.75", 0.106), ("M42x0.75", 0.112), ("M48x0.75", 0.125)):
        got = threads.limits(name, "6g")
        assert got.pitch[1] - got.pitch[0] == pytest.approx(pitch, abs=1e-6), name
        assert not got.tabulated and "formulas of ISO 965-1" in got.source and "not a size of ISO 261" in got.source


def test_steps_change_just_above_their_edge():
    """Over A up to and including B: M22 is in the step to 22.4, M24 above it; M45 in the step to 45, M48 above."""
    def width(name):
        low, high = threads.limits(name, "6g").pitch
        return round(1000 * (high - low))

    assert [width(n) for n in ("M11x1", "M12x1", "M22x1", "M24x1")] == [112, 118, 118, 125]
    assert [width(n) for n in ("M22x1.5", "M24x1.5", "M45x1.5", "M48x1.5")] == [140, 150, 150, 160]
    assert [width(n) for n in ("M5x0.5", "M5.5x0.5", "M2.5x0.35", "M3x0.35")] == [75, 75, 63, 67]


def test_two_grades_in_one_class():
    both = threads.limits("M10x1.5", "4g6g")
    assert both.major == threads.limits("M10x1.5", "6g").major
    assert both.pitch == threads.limits("M10x1.5", "4g4g").pitch
    assert threads.limits("M10x1.5", "5H6H").minor == threads.limits("M10x1.5", "6H").minor


def test_the_clubs_sleeve():
    """M18x1: outside 17.794 to 17.974, pitch diameter 17.206 to 17.324 (ISO 965-1, grade 6, step 11.2 to 22.4, P 1:
    118).
    """
    got = threads.limits("M18x1", "6g")
    assert got.major == (17.794, 17.974) and got.pitch == (17.206, 17.324)
    bore = threads.bore_for("M18x1")
    assert (bore.lower, bore.upper) == (16.917, 17.153)
    assert 0.78 < bore.least_engagement < bore.most_engagement < 1.01
    groove = threads.relief("M18x1")
    assert groove.groove == 16.4 and groove.shortest == 2.1   # DIN 76-1, P 1: d − 1.6 and 2.1 (memory)
    assert groove.groove < got.minor[0]


@pytest.mark.parametrize("name", ALL)
def test_reliefs_lie_below_the_root_and_above_the_nuts_groove(name):
    t = threads.read(name)
    if t.pitch < 0.4:
        with pytest.raises(Refused, match="little deeper"):
            threads.relief(name)
        return
    groove = threads.relief(name)
    assert groove.groove < threads.limits(name, "6g").minor[1]
    assert t.pitch < groove.shortest < groove.longest < 4.1 * t.pitch
    if t.pitch >= 0.5:
        assert threads.relief(name, internal=True).groove > t.major


def test_bore_for_refuses_a_screw():
    with pytest.raises(Refused, match="6H or 2B"):
        threads.bore_for("M18x1", "6g")


# ---- wires --------------------------------------------------------------------------------------------


@given(st.sampled_from([n for n in ALL if threads.read(n).pitch >= 0.35]), st.floats(0.55, 0.98))
@settings(max_examples=60, deadline=None)
def test_wires_there_and_back(name, share):
    t = threads.read(name)
    d2 = threads.basic(name).pitch
    reading = thread_cutting.wire_reading(name, d2, share * t.pitch)
    assert thread_cutting.pitch_from_reading(name, reading, share * t.pitch) == pytest.approx(d2, abs=2e-5)


def test_wrong_wires_and_readings_are_refused():
    for wire in (0.3, 1.2, 0, -1, math.nan, math.inf, "thin"):
        with pytest.raises(Refused, match=r"\.$"):
            thread_cutting.wire_reading("M18x1", wire=wire)
    for reading in (0, -3, 3, math.nan, math.inf, "wide", None):
        with pytest.raises(Refused, match=r"\.$"):
            thread_cutting.pitch_from_reading("M18x1", reading)


def test_wire_span():
    """The trade's 0.505 P to 1.01 P: thinner ones sink below the crest, thicker ones ride on it."""
    low, high = thread_cutting.wire_span("M18x1")
    assert low == pytest.approx(0.505, abs=5e-4) and high == pytest.approx(1.010, abs=5e-4)
    d2 = threads.basic("M18x1").pitch
    assert thread_cutting.over_wires(d2, 1, low) == pytest.approx(18, abs=1e-5)


def test_best_wire_is_blind_to_the_flank_angle():
    """With the best wire an error of the half angle changes the answer least: its slope there is zero."""
    d2, best = 17.35, thread_cutting.best_wire(1.0)
    flank = np.array([29.5, 30.0, 30.5])
    assert np.ptp(thread_cutting.over_wires(d2, 1.0, best, flank)) < 0.0003
    assert np.ptp(thread_cutting.over_wires(d2, 1.0, 1.5 * best, flank)) > 0.005


# ---- passes ---------------------------------------------------------------------------------------------


@given(st.sampled_from(threads.PITCHES), st.integers(1, 20), st.floats(0.02, 0.3), st.floats(0, 30))
@settings(max_examples=80, deadline=None)
def test_passes_take_equal_sections_and_end_at_size(pitch, passes, flat, angle):
    got = thread_cutting.infeed_schedule(pitch, passes, flat * pitch, angle)
    assert len(got.depth) == passes
    assert np.allclose(got.area, got.area[0], rtol=1e-9)
    assert (np.diff(got.step) <= 1e-12).all()
    assert got.depth[-1] == pytest.approx(float(thread_cutting.depth_for_tip(pitch, flat * pitch)))
    assert np.allclose(got.slide * np.cos(np.radians(angle)), got.depth)
    # the two flanks' chips and the tip's add up to the section: checked on the widths
    assert np.allclose(got.leading + got.trailing, got.step)
    assert (got.trailing >= -1e-12).all()


def test_a_blunt_tip_goes_less_deep():
    """By hand, P 1: tip P/8 needs 3H/8 + 0.866·0.375 = 0.6495, tip P/4 needs 0.5413 (half-heights of the profile)."""
    assert thread_cutting.depth_for_tip(1, 0.125) == pytest.approx(0.6495, abs=1e-4)
    assert thread_cutting.depth_for_tip(1, 0.25) == pytest.approx(0.5413, abs=1e-4)


def test_square_root_rule_for_a_sharp_tip():
    """The trade's rule, depth grows with the root of the pass number, is exact for a tip without a flat."""
    got = thread_cutting.infeed_schedule(1.0, 9, 1e-9)
    assert np.allclose(got.depth / got.depth[-1], np.sqrt(np.arange(1, 10) / 9), rtol=1e-6)


def test_straight_in_both_flanks_cut_alike_and_along_the_flank_one_does_not():
    straight = thread_cutting.infeed_schedule("M18x1", 6, infeed_angle=0)
    assert np.allclose(straight.leading, straight.trailing)
    along = thread_cutting.infeed_schedule("M18x1", 6, infeed_angle=30)
    assert np.allclose(along.trailing, 0, atol=1e-12) and np.allclose(along.leading, along.step)


@pytest.mark.parametrize(
    "given",
    [
        {"pitch": 0},
        {"pitch": -1},
        {"pitch": math.nan},
        {"pitch": "x"},
        {"pitch": 1, "passes": 0},
        {"pitch": 1, "passes": 2.5},
        {"pitch": 1, "passes": 1000},
        {"pitch": 1, "passes": math.inf},
        {"pitch": 1, "tip_flat": 0.6},
        {"pitch": 1, "tip_flat": "b"},
        {"pitch": 1, "infeed_angle": 45},
        {"pitch": 1, "infeed_angle": "x"},
        {"pitch": 1, "depth": 5},
    ],
)
def test_passes_refuse_nonsense(given):
    with pytest.raises(Refused, match=r"\.$"):
        thread_cutting.infeed_schedule(**given)


# ---- nuts -------------------------------------------------------------------------------------------------


def test_thin_nut_by_hand():
    """M18x1, 8 kN, 6 mm long: p = 8000·0.57735/(π·17.3505·6) = 14.12 MPa; outside 22: factor (484 + 301.04)/(484 −
    301.04)
    + 0.29 = 4.581; growth 14.12·17.3505/205000·4.581 = 5.475 µm."""
    got = thread_cutting.thin_nut("M18x1", 22, 6, 8000)
    assert got.pressure == pytest.approx(14.122, abs=2e-3)
    assert 1000 * got.growth == pytest.approx(5.475, abs=3e-3)
    assert got.hoop == pytest.approx(14.122 * 4.2908, rel=1e-3)
    assert got.overlap == pytest.approx(1 - 0.005475 / 1.08253, abs=1e-5)


def test_thin_nut_limits():
    load = np.array([0.0, 1000, 2000])
    got = thread_cutting.thin_nut("M18x1", 20, 6, load)
    assert got.growth[0] == 0 and got.growth[2] == pytest.approx(2 * got.growth[1])
    walls = thread_cutting.thin_nut("M18x1", np.linspace(19, 40, 20), 6, 1000).growth
    assert (np.diff(walls) < 0).all()
    for bad in ({"outside": 18.5}, {"outside": math.nan}, {"length": 0}, {"preload": -1}, {"modulus": "steel"}):
        with pytest.raises(Refused, match=r"\.$"):
            thread_cutting.thin_nut(**{"thread": "M18x1", "outside": 22, "length": 6, "preload": 1000, **bad})


# ---- pages ---------------------------------------------------------------------------------------------------


def test_wires_page_judges_both_sides():
    assert pages.WIRES.answer(reading=18.14).result.verdict == "holds"
    large, small = pages.WIRES.answer(reading=18.25), pages.WIRES.answer(reading=18.0)
    assert large.result.verdict == small.result.verdict == "will not hold"
    assert "deeper" in large.words and "nothing puts that back" in small.words
    assert pages.WIRES.answer(reading=pages.WIRES.answer().result.aim[1]).result.verdict == "at the edge"
    with pytest.raises(Refused, match="plug gauge"):
        pages.WIRES.answer(tolerance="6H")


def test_deeper_by_what_the_page_says_brings_it_to_the_middle():
    answer = pages.WIRES.answer(reading=18.25)
    r = answer.result
    middle = (r.limits.pitch[0] + r.limits.pitch[1]) / 2
    said = float(answer.words.split("Go ")[1].split(" ")[0])
    assert r.pitch.value - 2 * said / 1000 == pytest.approx(middle, abs=0.001)


def test_passes_page_warns_of_rubbing_and_trusts_no_dial():
    assert "rub" in pages.PASSES.answer(pitch=0.5, passes=20, least_chip=0.01).words
    assert pages.PASSES.answer(pitch=0.3).result.verdict == "at the edge"
    assert "measure over wires" in pages.PASSES.answer(pitch=0.3).words


def test_sizes_page_speaks_inch_and_says_where_its_numbers_come_from():
    assert "0.7076" in pages.SIZES.answer(Say(True)).words
    assert "formulas" in pages.SIZES.answer(thread="M42x0.75").words
    nut = pages.SIZES.answer(thread="M42x0.75", tolerance="6H").words
    assert "The limits are 41.188 to 41.378 mm" in nut


def test_nut_page_gets_worse_with_less_wall():
    thick, thin = pages.NUT.answer(outside=30).result, pages.NUT.answer(outside=19.2).result
    assert thin.growth.value > 3 * thick.growth.value
    assert pages.NUT.answer(outside=19.0, length=1, load=100e3).result.verdict == "will not hold"
