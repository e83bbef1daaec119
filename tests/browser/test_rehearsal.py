"""A learner's evening: open a chapter, predict, slide, answer one right and one wrong, print the sheet, reopen: all
still there.
"""

import pytest
from playwright.sync_api import expect
from test_workbook import go_to, opened, press_until_it_answers

import lab
from springpass.teaching.exercises import chapter
from springpass.teaching.practice import code, pose

pytestmark = pytest.mark.browser
NAME, WORD = "03_boring_bar", "🦊 rehearsal"


def questions(page, number):
    """The prediction (0) or the exercises (1), brought into view."""
    seen = 0
    for cell in range(page.evaluate("window.jupyterapp.shell.currentWidget.content.widgets.length")):
        go_to(page, cell)
        found = page.locator(f'.jp-Cell[data-windowed-list-index="{cell}"] .sp-ask')
        if found.count():
            if seen == number:
                return found.first
            seen += 1
    raise AssertionError("no such question")


def card(asked, number):
    return asked.locator(".sp-card").nth(number)


def test_an_evening_with_the_workbook(wide, address):
    page, errors, asked_for = opened(wide, address, f"{NAME}.ipynb")
    first = questions(page, 0)
    first.get_by_role("button", name="someone else works here now").click()   # another test's learner may have sat here
    said = first.locator(".sp-says", has_text="Your guess:")
    expect(said).to_have_count(0)   # silent until there is a guess
    first.get_by_role("button", name="four times").click()
    expect(said).to_contain_text("Your guess: “four times”. Now move the slider")
    for label, text in (("your word", WORD), ("class, if any", "")):
        first.get_by_label(label).fill(text)
        first.get_by_label(label).press("Enter")
    expect(said).to_contain_text("Your guess: “four times”")   # the guess goes with the word

    for cell in range(40):
        go_to(page, cell)
        found = page.locator(f'.jp-Cell[data-windowed-list-index="{cell}"] .sp-page')
        if found.count():
            assert press_until_it_answers(page, found.first)
            told = found.first.locator(".sp-says")
            expect(told).to_contain_text("Your guess: “four times”. Set “stickout” to 80 mm.")
            box = found.first.get_by_role("textbox", name="stickout").first
            box.fill("80")
            box.press("Enter")
            expect(told).to_contain_text("You said “four times”; the answer is “eight times”.")
            break

    asked = questions(page, 1)
    expect(asked).to_contain_text(f"Sheet {code(WORD)}")
    exercises = chapter(NAME).exercises
    right, wrong = pose(exercises[0], WORD), pose(exercises[1], WORD)
    answer = right.answer_text().replace(".", ",")
    for number, typed in ((0, answer), (1, wrong.text_of(wrong.slips[0].value))):
        box = card(asked, number).locator("input")
        box.fill(typed)
        box.press("Enter")
    expect(card(asked, 0).locator(".sp-says")).to_contain_text("Right.")
    expect(card(asked, 1).locator(".sp-says")).to_contain_text(wrong.slips[0].says)
    expect(asked).to_contain_text("1 of 7 solved, 2 tried.")
    card(asked, 1).get_by_role("button", name="hint").click()
    expect(card(asked, 1)).to_contain_text(wrong.hints[0])
    card(asked, 1).get_by_role("button", name="worked solution").click()
    expect(card(asked, 1).locator(".sp-solution")).to_contain_text(wrong.answer_text())

    asked.get_by_role("button", name="sheet to print").click()
    link = asked.get_by_role("link", name=f"sheet_{NAME}.html")
    with page.expect_download() as got:
        link.click()
    text = got.value.path().read_text(encoding="utf-8")
    assert code(WORD) in text and right.asks.split(",")[0] in text and "(right)" in text and "(not right yet)" in text
    assert not errors and all(url.startswith(address) or url.startswith(("data:", "blob:")) for url in asked_for)
    lab.shut(page)

    page, errors, _ = opened(wide, address, f"{NAME}.ipynb")
    expect(questions(page, 0).locator(".sp-says", has_text="Your guess:")).to_contain_text("Your guess: “four times”")
    expect(questions(page, 0).get_by_label("your word")).to_have_value(WORD)
    asked = questions(page, 1)
    expect(asked).to_contain_text("1 of 7 solved, 2 tried.")
    expect(card(asked, 0).locator("input")).to_have_value(answer)
    expect(card(asked, 0).locator(".sp-says")).to_contain_text("Right.")
    expect(card(asked, 1).locator(".sp-says")).to_contain_text(wrong.slips[0].says)
    assert not errors
    lab.shut(page)
