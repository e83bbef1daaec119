"""The form for a part of one's own in a real browser, at a desk and on a phone: typed, grown by a line, refused in its
cell, loaded, kept."""

import pytest
from playwright.sync_api import expect
from test_accessible import AXE, RUN_AXE
from test_workbook import go_to

import lab

pytestmark = pytest.mark.browser
NOTEBOOK = "13_plan_a_part"


def form_of(page, address):
    done = lab.open_notebook(page, address, f"{NOTEBOOK}.ipynb")
    assert done["ok"] and not done["bad"]
    go_to(page, page.evaluate("""() => [...window.jupyterapp.shell.currentWidget.content.model.cells]
        .findIndex(cell => cell.sharedModel.getSource() === 'show(own_part.OWN_PART)')"""))
    found = page.locator(".sp-page:has(.sp-lines)")
    found.wait_for()
    return found


def line(form, number):
    return form.get_by_role("group", name=f"surface {number}", exact=True)


def test_typed_by_keyboard_at_a_desk(wide, address):
    page = wide.new_page()
    form = form_of(page, address)
    lines = form.locator(".sp-line[role=group]")
    expect(lines).to_have_count(6)      # five surfaces, and the empty one to begin
    new = line(form, 6)
    new.get_by_label("name").focus()
    page.keyboard.type("groove")
    expect(lines).to_have_count(7)
    page.keyboard.press("Tab")
    page.keyboard.type("rec")           # a choice is picked by its first letters
    for text in ("12", "", "70", "7x"):
        page.keyboard.press("Tab")
        page.keyboard.type(text)
    expect(new.locator(".sp-note")).to_contain_text("not a number")
    expect(new.get_by_label("to", exact=True)).to_have_attribute("aria-invalid", "true")
    expect(form.locator(".sp-words")).to_contain_text("5 of 6 surfaces are clear")
    page.keyboard.press("Backspace")
    page.keyboard.type("3")             # 73 in the place of 7x
    expect(form.locator(".sp-words")).to_contain_text("6 surfaces")
    expect(new.locator(".sp-note")).to_be_empty()
    expect(form.locator(".sp-drawn")).to_contain_text("6 Ø12")
    assert new.get_by_label("name").input_value() == "groove"
    new.get_by_role("button", name="remove surface 6").press("Enter")
    expect(lines).to_have_count(6)
    expect(form.locator(".sp-words")).to_contain_text("5 surfaces")
    form.get_by_label("begin from").select_option("the bush")
    expect(form.get_by_label("name of the part")).to_have_value("bush")
    expect(lines).to_have_count(3)
    form.get_by_role("button", name="keep this part").click()
    expect(form.locator(".sp-said").first).to_contain_text("part.toml")
    page.evaluate(AXE)
    assert page.evaluate(RUN_AXE, [".sp-page"]) == []
    lab.shut(page)


def test_typed_on_a_phone(narrow, address):
    page = narrow.new_page()
    form = form_of(page, address)
    first = line(form, 1)
    size = first.get_by_label("size")
    assert size.bounding_box()["height"] >= 44
    assert first.get_by_text("tolerance", exact=True).is_visible()     # each cell of the card has its name in sight
    assert form.evaluate("e => e.scrollWidth <= e.clientWidth + 1")
    size.fill("21")
    expect(form.locator(".sp-drawn")).to_contain_text("1 Ø21 h6")
    page.evaluate(AXE)
    assert page.evaluate(RUN_AXE, [".sp-page"]) == []
    lab.shut(page)
