"""A small hunt for silent nonsense at every run: a few random settings of every page, the same ones each time."""

import re

import hunt
import numpy as np
import pytest

from springpass.core.quantity import Say
from springpass.pages import catalogue
from springpass.screen.page import Choose, Slide, Tick

EACH = 5


@pytest.mark.parametrize("name", sorted(catalogue.pages()))
def test_no_nonsense_at_random_settings(name):
    page, dice = catalogue.pages()[name], np.random.default_rng(sum(map(ord, name)))
    inputs = [what for what in page.inputs if isinstance(what, (Slide, Choose, Tick))]
    for number in range(EACH):
        settings = {what.name: hunt.typed(dice, what) for what in inputs if dice.random() < 0.6}
        found = hunt.finds(page, Say(number % 3 == 2), settings)
        found.pop("long", None)   # counted by the long hunt; the pages' openings are held to it by the word test
        assert not found, f"{found} at {settings}"


@pytest.mark.parametrize("text, wrong", [
    ("7.2 µm (90 % range 5 to 11 µm)", ""), ("7.2 µm (5 to 11)", ""), ("−3 µm (90 % range −5 to 1)", ""),
    ("4 µm (90 % range 5 to 11)", "4 µm (90 % range 5 to 11)"),
    ("5 µm (90 % range 5 to 5)", "5 µm (90 % range 5 to 5)"), ("10 µm over 100 mm (90 % range 7 to 13)", ""),
    ("2 N (90 % range 3 to 1 N)", "2 N (90 % range 3 to 1 N)"), ("0.1 mm (90 % range 50 to 200 µm)", "")])
def test_the_hunter_sees_a_value_beside_its_own_range(text, wrong):
    assert hunt.beside_itself(text) == wrong


@pytest.mark.parametrize("text, kind", [
    ("it is nan", "nan"), ("−0 µm", "minus zero"), ("0.065 µm", "digits"), ("0.043 to 0.37 µm", "digits"),
    ("up to inf", "inf"), ("without limit %", "limit %"), ("None of it", "python"), ("unknown mm", "unknown")])
def test_the_hunter_sees_each_kind(text, kind):
    assert [name for name, pattern in hunt.NONSENSE.items() if re.search(pattern, text)] == [kind]
