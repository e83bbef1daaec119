"""Pages on the stress in the bar: what may be typed, and whether the words say what the numbers say."""

import re

import numpy as np
import pytest

from springpass import bore_stress as stress
from springpass.core import spread
from springpass.core.quantity import Refused, Say
from springpass.pages import bore_stress as pages
from springpass.pages import stress_readings as looking


@pytest.mark.parametrize(
    "text",
    [
        "turn 20.5, bore 9.5, bore 10, turn 20",
        "turn 20,5; bore 9,5; bore 10; turn 20",
        "Turn to Ø20.5 then bore to 9.5 and BORE 10 > turn 20 mm.",
        "turn 20.5\nbore 9.5\nbore 10\nturn 20",
    ],
)
def test_typed_cuts_are_understood(text):
    assert pages.read_cuts(text) == [("turn", 20.5), ("bore", 9.5), ("bore", 10.0), ("turn", 20.0)]


def test_typed_inches():
    assert pages.read_cuts('turn 0.75 in, bore 0.5"') == [("turn", pytest.approx(19.05)), ("bore", pytest.approx(12.7))]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "   ",
        "turn",
        "turn 20, face 3",
        "turn -5",
        "turn 1,234.5",
        "hello",
        "turn 20 30",
        "bore 1e400",
        "turn 20, " * 30,
        "<script>",
    ],
)
def test_typed_nonsense_is_refused(text):
    with pytest.raises(Refused) as refusal:
        pages.ORDER.answer(second=pages.TYPED, typed=text)
    assert str(refusal.value).rstrip().endswith((".", ")."))


def test_impossible_typed_cuts_are_refused():
    with pytest.raises(Refused, match="Leave a wall"):
        pages.ORDER.answer(second=pages.TYPED, typed="turn 20, bore 20")
    with pytest.raises(Refused, match="Turn smaller"):
        pages.ORDER.answer(second=pages.TYPED, typed="turn 200")
    with pytest.raises(Refused, match="no wall"):
        pages.ORDER.answer(outside=12, bore=30)


def test_the_sleeve_says_a_micrometre():
    """The club's sleeve: Ø20 h6 from drawn bar, Ø10 H7 bore 32 deep; about 1 µm, up to some 3.5 µm, outside small."""
    answer = pages.ORDER.answer()
    first = answer.result.first
    assert -0.002 < first.outside.value < -0.0005 and -0.005 < first.outside.low < -0.002 and first.outside.high < 0
    assert "outside ends 1.1 µm small (90 % range 0.16 to 3.5 µm), which holds; the bore is right" in answer.words
    assert answer.result.headline == "The second order is the better one"
    assert "1.6 bar diameters" in answer.words           # the long-bar limit is said


def test_roughing_both_and_stress_relief_pay():
    straight = pages.ORDER.answer(first=pages.OUTSIDE_FIRST, second=pages.ROUGH_OUTSIDE_FIRST, bored=80).result
    assert straight.short == 0
    assert straight.second.worst < straight.first.worst / 5
    drawn = pages.ORDER.answer(stock="steel, cold drawn").result.first.worst
    relieved = pages.ORDER.answer(stock="steel, stress-relieved").result.first.worst
    assert relieved < drawn / 4
    bars = {name: what for name, what, _ in pages.WHICH_BAR.answer().result.found}
    assert abs(bars["steel, stress-relieved"].value) < abs(bars["steel, cold drawn"].value) / 4
    assert bars["aluminium, quenched"].value > 0 > bars["steel, cold drawn"].value


def test_housing_ring_is_at_the_edge_unless_roughed():
    ring = {
        "stock": "aluminium, quenched",
        "outside": 62,
        "skin": 3,
        "bore": 42,
        "bored": 20,
        "outside_tolerance": 0.03,
        "bore_tolerance": 0.025,
    }
    result = pages.ORDER.answer(**ring).result
    assert result.first.outside_holds == spread.EDGE and result.second.bore_holds == spread.HOLDS
    assert result.first.outside.value > 0.01 and abs(result.second.bore.value) < 0.001


def test_short_work_gets_a_wider_range_than_long_work():
    def width(bored):
        outside = pages.ORDER.answer(bored=bored).result.first.outside
        return outside.high / outside.low   # both negative: near end over far end

    assert width(32) < width(80)
    assert pages.ORDER.answer(bored=59).result.short and not pages.ORDER.answer(bored=60).result.short


def test_the_finish_cut_makes_the_movement():
    result = pages.STOCK_LEFT.answer().result
    assert (np.diff(result.outside[1]) > 0).all() and (np.diff(result.bore[1]) > 0).all()
    assert result.outside[2][result.left <= result.most].max() <= result.share
    assert result.bore[2][result.left <= result.most].max() <= result.share


@pytest.mark.parametrize("seed", range(40))
def test_words_and_numbers_agree(seed):
    """Whichever order is called better moves less at its likely worst; holds and sizes match their samples."""
    dice = np.random.default_rng(seed)
    values = {"stock": str(dice.choice(pages.STOCKS)), "outside": dice.uniform(20, 60), "skin": dice.uniform(0, 10),
              "bore": dice.uniform(2, 19), "bored": dice.uniform(2, 300), "left": dice.uniform(0.05, 3),
              "first": str(dice.choice(pages.ORDERS)), "second": str(dice.choice(pages.ORDERS))}
    answer = pages.ORDER.answer(Say(inch=bool(seed % 2)), **values)
    result = answer.result
    one, two = result.first.worst, result.second.worst
    if "first order is the better" in result.headline:
        assert one < two
    elif "second order is the better" in result.headline:
        assert two < one
    else:
        little = 0.1 * min(result.outside_tolerance, result.bore_tolerance)
        assert max(one, two) < little or abs(one - two) < 0.1 * max(one, two)
    for found, line in ((result.first, answer.words.split("\n")[1]), (result.second, answer.words.split("\n")[2])):
        cuts = [(side, size / 2) for side, size in found.cuts]
        again = stress.cut_sequence(
            (values["outside"] + values["skin"]) / 2, cuts=cuts, **stress.stock_sample(values["stock"])
        )
        for name, error in (("outside", again.outside_error), ("bore", again.bore_error)):
            said = re.search(rf"{name} (.*?)(;|\.$)", line.split(": ", 1)[1]).group(1)
            middle = np.median(error)
            if "small" in said and "anywhere" not in said:
                assert middle < 0
            elif "large" in said and "anywhere" not in said:
                assert middle > 0
            elif "right" in said:
                assert np.percentile(np.abs(error), 90) < 2 * pages.NOTHING


@pytest.mark.parametrize(
    "text, part",
    [
        ("", "no readings"),
        ("4 0", "instead of three"),
        ("4 0 -3 9", "instead of three"),
        ("4 0 x", "not a number"),
        ("8 0 -3\n4 0 -6", "grow"),
        ("30 0 -3", "inside"),
        ("\n".join(f"{b} 0 0" for b in range(1, 80)), "plenty"),
        ("0 0 0", "above zero"),
    ],
)
def test_readings_that_cannot_be_used_are_refused(text, part):
    with pytest.raises(Refused, match=part):
        looking.SACHS.answer(readings=text)


def test_readings_with_decimal_commas_and_semicolons():
    plain = looking.SACHS.answer(readings="4 0.5 -3\n8 -1.5 -12").result.profile
    comma = looking.SACHS.answer(readings="4; 0,5; −3\n8;-1,5;-12").result.profile
    assert comma.skin_axial == plain.skin_axial and comma.skin_hoop == plain.skin_hoop


def test_boring_out_finds_the_demo_bar():
    """The made-up readings come from 275 MPa along and 180 MPa around, rounded to whole micrometres."""
    profile = looking.SACHS.answer().result.profile
    assert profile.skin_axial == pytest.approx(275, abs=1.645 * profile.skin_axial_error)
    assert profile.skin_hoop == pytest.approx(180, abs=1.645 * profile.skin_hoop_error)
    assert "nothing" not in looking.SACHS.answer().words
    assert "good enough" in looking.SACHS.answer(readings="4 0 -3", outside=80).words


def test_scatter_and_drowning_are_said():
    assert "scatter" in looking.SACHS.answer(readings="4 0 -3\n7 9 -10\n10 -9 -17\n13 9 -31\n16 -9 -47").words
    assert "hides" in looking.SACHS.answer(reading_error=0.015).words


def test_slit_says_its_sign():
    assert "sprang open" in looking.SLIT.answer(opening=0.4).words
    assert "closed up" in looking.SLIT.answer(opening=-0.4).words
    assert "sign is not known" in looking.SLIT.answer(opening=0.0).words


def test_holds_means_inside_half_the_tolerance_nine_times_in_ten():
    ring = {"stock": "aluminium, quenched", "outside": 62, "skin": 3, "bore": 42, "bored": 200}
    outside = pages.ORDER.answer(**ring).result.first.outside   # nine in ten between low and high, all large
    wide = pages.ORDER.answer(**ring, outside_tolerance=2.05 * outside.high).result
    assert wide.first.outside_holds == spread.HOLDS
    middle = pages.ORDER.answer(**ring, outside_tolerance=2 * outside.value).result
    assert middle.first.outside_holds == spread.EDGE
    tight = pages.ORDER.answer(**ring, outside_tolerance=1.95 * outside.low).result
    assert tight.first.outside_holds == spread.FAILS
