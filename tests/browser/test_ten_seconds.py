"""From opening the bench page to a verdict for your own bar: four numbers typed, at a desk and on a phone."""

import time

import pytest
from playwright.sync_api import expect
from test_workbook import opened, pages_of

import lab
from springpass.pages.check_stickout import PAGE

pytestmark = pytest.mark.browser
TYPED = {"bore": "16", "tolerance": "H7", "bar_diameter": "10", "stickout": "40"}
HAND = 1.5   # seconds that a hand takes to find a box and type its number
ALLOWED = 10.0


@pytest.mark.parametrize("window", ["wide", "narrow"])
def test_four_typed_numbers_give_a_verdict(window, request, address):
    """No setting but these four is touched; the machine's share of the ten seconds is what a hand leaves of them."""
    page, errors, _ = opened(request.getfixturevalue(window), address, "check_stickout.ipynb")
    shown = next(pages_of(page))
    words = shown.locator(".sp-words")
    start = time.monotonic()
    for name, text in TYPED.items():
        what = next(one for one in PAGE.inputs if one.name == name)
        box = shown.get_by_role("textbox", name=what.label or name.replace("_", " "), exact=False).first
        box.fill(text)
        box.press("Enter")
    expect(words).to_contain_text("Holds.")
    expect(words).to_contain_text("±9 µm is allowed")
    expect(words).to_contain_text("4.5 bar diameters")
    taken = time.monotonic() - start
    assert taken < ALLOWED - HAND * len(TYPED), f"{taken:.1f} s of the machine's own"
    left = shown.get_by_role("slider", name="tolerance on diameter").count()
    assert left == 2, "a class leaves the slider and the picture's handle their places"
    assert shown.evaluate("e => e.scrollWidth <= e.clientWidth + 1"), "nothing scrolls sideways"
    assert not errors, errors
    lab.shut(page)
