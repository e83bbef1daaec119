"""A club's evening on one shared computer: three learners one after the other, then the teacher collects, marks and "
"shows.

The first works without a word and is told of the class word late; the second and the third sit down at the same screen.
Nothing is lost, and nobody sees another's guess or answers.
"""

import pytest
from playwright.sync_api import expect
from test_rehearsal import card, questions
from test_workbook import go_to, opened

import lab
from springpass.teaching import marking
from springpass.teaching.exercises import chapter
from springpass.teaching.practice import code, pose

pytestmark = pytest.mark.browser
NAME, CLASS = "03_boring_bar", "evening 7"
FIRST = chapter(NAME).exercises[0]


def typed(where, label, text):
    where.get_by_label(label).fill(text)
    where.get_by_label(label).press("Enter")


def answer(page, learner, group, text):
    """Answers exercise 1 under the numbers that stand there, and saves the table; what it holds."""
    asked = questions(page, 1)
    expect(asked).to_contain_text(f"Sheet {code(learner, group)}")
    typed(card(asked, 0), "your answer to 1", text)
    expect(card(asked, 0).locator(".sp-says").first).to_be_visible()
    asked.get_by_role("button", name="save as a table").click()
    link = asked.get_by_role("link", name="progress.csv").first
    with page.expect_download() as got:
        link.click()
    return got.value.path().read_text(encoding="utf-8")


def test_three_learners_and_a_teacher(wide, address):
    page, errors, asked_for = opened(wide, address, f"{NAME}.ipynb")
    first = questions(page, 0)
    if first.get_by_label("your word").input_value():   # another test's learner sat here before
        first.get_by_role("button", name="someone else works here now").click()
    guess = first.locator(".sp-says", has_text="Your guess:")
    expect(guess).to_have_count(0)

    # the first: a guess, then a word, an answer, and the class word last of all
    first.get_by_role("button", name="four times").click()
    expect(guess).to_contain_text("four times")
    typed(first, "your word", "club ash")
    typed(first, "class, if any", "")
    expect(guess).to_contain_text("four times")
    own = pose(FIRST, "club ash", "")
    answer(page, "club ash", "", own.answer_text())
    first = questions(page, 0)
    typed(first, "class, if any", CLASS)
    expect(guess).to_contain_text("four times")
    asked = questions(page, 1)
    expect(card(asked, 0)).to_contain_text("Solved, with the numbers of an earlier word or class.")
    tables = [answer(page, "club ash", CLASS, pose(FIRST, "club ash", CLASS).answer_text())]

    # the second sits down at the same screen and sees nothing of the first
    first = questions(page, 0)
    first.get_by_role("button", name="someone else works here now").click()
    expect(guess).to_have_count(0)
    expect(first.get_by_label("your word")).to_have_value("")
    expect(card(questions(page, 1), 0).locator("input")).to_have_value("")
    first = questions(page, 0)
    first.get_by_role("button", name="twice as far").click()
    typed(first, "your word", "club oak")
    expect(guess).to_contain_text("twice as far")
    slip = pose(FIRST, "club oak", CLASS)
    tables.append(answer(page, "club oak", CLASS, slip.text_of(slip.slips[0].value)))

    # the third types a word over the second's: another word is another learner
    first = questions(page, 0)
    typed(first, "your word", "club elm")
    expect(guess).to_have_count(0)
    first.get_by_role("button", name="eight times").click()
    tables.append(answer(page, "club elm", CLASS, pose(FIRST, "club elm", CLASS).answer_text()))
    for number, (who, other) in enumerate((("ash", "oak"), ("oak", "elm"), ("elm", "ash"))):
        assert f"club {who}" in tables[number] and f"club {other}" not in tables[number]

    # the teacher collects, looks at the dots, marks
    found = marking.mark("\n".join(tables))
    assert [one.mark for one in found.answers if one.exercise == FIRST.name] == ["right", "right", "slip"]
    lab.shut(page)
    page, more_errors, also_asked = opened(wide, address, "for_teachers.ipynb")
    shown = {}
    for cell in range(page.evaluate("window.jupyterapp.shell.currentWidget.content.widgets.length")):
        go_to(page, cell)
        here = page.locator(f'.jp-Cell[data-windowed-list-index="{cell}"] .sp-page')
        if here.count():
            shown[here.first.locator(".sp-title").inner_text()] = cell
    for title, quiet, told in (
        ("What did the class guess?", "3 learners guessed", "1 of 3 is right"),
        ("Who has solved what, and which slips were made?", "3 learners have sent answers", None),
    ):
        go_to(page, shown[title])
        desk = page.locator(f'.jp-Cell[data-windowed-list-index="{shown[title]}"] .sp-page').first
        desk.get_by_label("chapter").first.select_option(chapter(NAME).title)
        desk.locator("textarea").fill("\n".join(tables))
        desk.locator("textarea").press("Tab")
        expect(desk.locator(".sp-words")).to_contain_text(quiet)
        expect(desk.locator(".sp-words")).not_to_contain_text("right")
        if told:
            desk.get_by_label("show the answer").check()
            expect(desk.locator(".sp-words")).to_contain_text(told)
    assert not errors and not more_errors
    assert all(url.startswith((address, "data:", "blob:")) for url in [*asked_for, *also_asked])
    lab.shut(page)
