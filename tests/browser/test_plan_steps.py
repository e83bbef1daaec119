"""The walk through a plan in a real browser: by slider, by the rail in the picture, by keyboard, wide and narrow."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

import lab

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("width,height", [(1280, 900), (390, 844)])
def test_walk_through_the_steps(address, browser, width, height):
    context = browser.new_context(viewport={"width": width, "height": height})
    page = context.new_page()
    page.set_default_timeout(60_000)
    done = lab.open_notebook(page, address, "13_plan_a_part.ipynb")
    assert done["ok"] and not done["bad"], done
    page.evaluate("""() => { const nb = window.jupyterapp.shell.currentWidget.content;
        const at = nb.widgets.findIndex(w => w.model.sharedModel.getSource().includes("plan_steps.STEPS"));
        nb.activeCellIndex = at; return nb.scrollToItem(at, "start"); }""")
    shown = page.locator(".sp-page", has_text="How is this part made").first
    words, slider = shown.locator(".sp-words"), shown.locator("input[type=range]").first
    expect(words).to_contain_text("Step 4 of ")
    count = int(re.search(r"Step 4 of (\d+)", words.inner_text())[1])
    expect(slider).to_have_attribute("max", str(count))

    slider.focus()                                   # one press, one step
    slider.press("ArrowRight")
    expect(words).to_contain_text(f"Step 5 of {count}")
    slider.press("End")
    expect(words).to_contain_text(f"Step {count} of {count}")
    slider.press("Home")
    expect(words).to_contain_text(f"Step 1 of {count}")

    grip = shown.locator(".sp-grip")                 # the rail in the picture, by hand and by keyboard
    expect(grip).to_have_count(1)
    grip.focus()
    grip.press("ArrowRight")
    expect(words).to_contain_text(f"Step 2 of {count}")
    at, whole = grip.bounding_box(), shown.locator(".sp-drawn svg").bounding_box()
    x, y = at["x"] + at["width"] / 2, at["y"] + at["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(whole["x"] + whole["width"] - 4, y, steps=6)
    page.mouse.up()
    expect(words).to_contain_text(f"Step {count} of {count}")

    shown.locator("select").first.select_option("bush")      # fewer steps: the slider ends with them
    expect(words).not_to_contain_text(f" of {count}:")
    fewer = int(re.search(r"Step \d+ of (\d+)", words.inner_text())[1])
    expect(slider).to_have_attribute("max", str(fewer))
    assert words.inner_text().startswith(f"Step {fewer} of {fewer}")

    box = shown.locator(".sp-picture").bounding_box()        # words, picture and slider are on the screen together
    if width == 390:
        slider.scroll_into_view_if_needed()
        box = shown.locator(".sp-picture").bounding_box()
        slide = slider.bounding_box()
        assert box["y"] > 0 and slide["y"] + slide["height"] <= height
    assert box["x"] >= 0 and box["x"] + box["width"] <= width
    smallest = shown.locator(".sp-drawn svg text").evaluate_all("""texts => Math.min(...texts.map(one =>
        parseFloat(getComputedStyle(one).fontSize) * one.getScreenCTM().a))""")
    assert smallest >= 9.5, f"letters of {smallest:.1f} px"
    lab.shut(page)
    context.close()
