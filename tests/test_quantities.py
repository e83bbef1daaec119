"""What a person types is read, or refused with a sentence."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from springpass.boring_bar.quantities import Stickout
from springpass.core import quantity as q
from springpass.core.quantity import Quantity, Refused, Say, number, plain, positive, quantity_of
from springpass.core.shared import Tolerance

STICKOUT = quantity_of(Stickout)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12.5", 12.5),
        ("12,5", 12.5),
        (" 12.5 ", 12.5),
        ("１２", 12.0),
        ("١٢", 12.0),
        ("1e1", 10.0),
        ("3/8", 0.375),
        ("1 3/8", 1.375),
        ("−3", -3.0),
        (".5", 0.5),
        ("½", 0.5),
        (7, 7.0),
        (np.float64(2.5), 2.5),
    ],
)
def test_numbers_are_read(text, value):
    assert number(text) == value


@pytest.mark.parametrize(
    "text",
    ["", "  ", "abc", "1,234.5", "1.2.3", "nan", "inf", "1/0", "--3", None, [], True, "3 4 5", "🙂", "1e", "0x10"],
)
def test_what_is_no_number_is_refused_with_a_sentence(text):
    with pytest.raises(Refused, match=r"[A-Z“].*\."):
        number(text)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("40", 40),
        ("40 mm", 40),
        ("4 cm", 40),
        ("2 in", 50.8),
        ('1/2"', 12.7),
        ("40000 µm", 40),
        ("40000um", 40),
        ("2 inches", 50.8),
        ('1½"', 38.1),
        ("1½ in.", 38.1),
        ('1 1/2"', 38.1),
        ("1.5”", 38.1),
        ("1.5″", 38.1),
        ("Ø40", 40),
        ("Ø 40 mm", 40),
        ("⌀40", 40),
        ("40 MM", 40),
        ("40 mm.", 40),
        ("40000 µ", 40),
    ],
)
def test_units_are_understood(text, value):
    assert STICKOUT.read(text, "stickout") == pytest.approx(value)


def test_an_inch_reader_types_inches_and_thou():
    assert STICKOUT.read("1.5", inch=True) == pytest.approx(38.1)
    assert quantity_of(Tolerance).read("0.7", inch=True) == pytest.approx(0.01778)
    assert quantity_of(Tolerance).read("18") == pytest.approx(0.018)


@pytest.mark.parametrize("text", ["40 s", "40 kg", "500", "0", "-40", "40 furlong", "nan mm",
                                  "6²", "12²", "40 mm²", "40₂", "Ø", "40 m", "½½"])
def test_wrong_units_and_values_outside_the_span_are_refused(text):
    with pytest.raises(Refused):
        STICKOUT.read(text, "stickout")


def test_the_refusal_names_the_span_and_the_remedy():
    with pytest.raises(Refused) as refusal:
        STICKOUT.read("500", "stickout")
    assert (
        str(refusal.value) == "Stickout is 500 mm, but must lie between 5 mm and 400 mm. Choose a value in that span."
    )


ALL = {name: value for name, value in vars(q).items() if isinstance(value, Quantity)}


@pytest.mark.parametrize("name", ALL)
def test_every_quantity_is_well_formed(name):
    one = ALL[name]
    assert one.low <= one.usual <= one.high
    assert one.says and one.symbol
    assert np.isfinite([one.low, one.high, one.usual]).all()
    if one.shown:
        assert q.factor(one.unit, one.shown) > 0
    if one.log:
        assert one.low > 0


@pytest.mark.parametrize("name", ALL)
@given(share=st.floats(0, 1))
def test_shown_and_library_units_round_trip(name, share):
    one = ALL[name]
    value = one.low + share * (one.high - one.low)
    for inch in (False, True):
        assert one.from_shown(one.to_shown(value, inch), inch) == pytest.approx(value, rel=1e-12)


@given(st.text(max_size=20))
def test_any_text_is_a_number_in_the_span_or_a_sentence(text):
    try:
        value = STICKOUT.read(text, "stickout")
    except Refused as refusal:
        assert str(refusal).endswith(".")
    else:
        assert 5 - 1e-6 <= value <= 400 + 1e-6


@pytest.mark.parametrize(("value", "digits", "text"), [
    (7.26, 2, "7.3"), (0.004, 2, "0.004"), (10400, 2, "10400"), (0, 2, "0"), (-3.14, 3, "−3.14"), (2.0, 4, "2"),
    (float("inf"), 2, "without limit"), (float("nan"), 2, "unknown"), (1e-7, 2, "0.0000001")])
def test_plain_numbers(value, digits, text):
    assert plain(value, digits) == text


def test_lengths_in_both_tongues():
    assert Say().length(40) == "40 mm" and Say(True).length(25.4) == "1 inch"
    assert Say().fine(0.0073) == "7.3 µm" and Say(True).fine(0.0254) == "1 thou"
    assert Say().speed(30) == "30 m/min" and Say(True).speed(30.48) == "100 ft/min"


@pytest.mark.parametrize("value", [0, -1, float("nan"), float("inf"), "x", None, [1, -2]])
def test_positive_refuses(value):
    with pytest.raises(Refused, match="Stickout"):
        positive(value, "stickout")
    if value == 0:
        assert positive(0, "stickout", zero=True) == 0
    if value == float("inf"):
        assert positive(value, "stiffness", infinite=True) == value


def test_what_is_held_up_to_is_never_rounded_beyond():
    assert [Say().limit(v) for v in (35.57, 35.5, 123.9)] == ["35.5 mm", "35.5 mm", "123 mm"]
    assert [Say().limit(v, up=True) for v in (7.01, 7.1)] == ["7.1 mm", "7.1 mm"]
    assert Say(True).limit(25.4 * 1.239) == "1.23 inch" and Say(True).limit(25.4 * 1.231, up=True) == "1.24 inch"
