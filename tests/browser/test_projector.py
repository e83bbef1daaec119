"""The projector's view: a page alone and large, one key for the next, Escape back to the notebook."""

import pytest
from playwright.sync_api import expect
from test_workbook import go_to, opened

import lab

pytestmark = pytest.mark.browser


def test_a_page_alone_and_large_and_one_key_for_the_next(wide, address):
    page, errors, _ = opened(wide, address, "03_boring_bar.ipynb")
    shown = []
    for cell in range(page.evaluate("window.jupyterapp.shell.currentWidget.content.widgets.length")):
        go_to(page, cell)
        if page.locator(f'.jp-Cell[data-windowed-list-index="{cell}"] .sp-page').count():
            shown.append(cell)
        if len(shown) == 2:
            break
    go_to(page, shown[0])
    first = page.locator(".sp-page", has_text="How far does the bar bend?").first
    words = first.locator(".sp-words")
    before = words.evaluate("e => e.getBoundingClientRect().height / e.textContent.length")
    first.get_by_role("button", name="large").click()
    title = "document.fullscreenElement?.querySelector('.sp-title')?.textContent"
    page.wait_for_function(title)
    here = page.evaluate(title)
    assert words.evaluate("e => e.getBoundingClientRect().height / e.textContent.length") > 1.1 * before
    slider = first.get_by_role("slider").first
    slider.focus()
    said = words.inner_text()
    slider.press("ArrowRight")
    expect(words).not_to_have_text(said)   # it is the live page, no copy
    first.locator("input[type=text],input:not([type])").first.press("n")
    assert page.evaluate(title) == here, "a letter typed into a box is only a letter"
    first.get_by_role("button", name="large").focus()
    page.keyboard.press("n")
    page.wait_for_function(f"{title} !== {here!r}")
    page.evaluate("document.exitFullscreen()")
    page.wait_for_function("!document.fullscreenElement && !document.querySelector('.sp-projector')")
    go_to(page, shown[0])
    expect(first.locator(".sp-words")).to_be_visible()   # back in its place
    assert not errors, errors
    lab.shut(page)
