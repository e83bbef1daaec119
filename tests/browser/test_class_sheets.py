"""Sheets and key on paper: pages counted in Chromium's PDF, no question torn apart, nothing off the edge."""

import re

import pytest

from springpass.core.quantity import Refused, Say
from springpass.printing import bench_cards, class_sheets, pages_to_print
from springpass.teaching import classroom, exercises

CHAPTERS = tuple(exercises.chapters())


@pytest.fixture(autouse=True)
def _own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path / "shop"))


def pages_of(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))


def box_of(pdf: bytes) -> tuple[int, int]:
    width, height = re.search(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)", pdf).groups()
    return round(float(width)), round(float(height))


@pytest.mark.parametrize(("on", "size"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_pdf_pages(on, size, tmp_path, chromium):
    given = classroom.hand_out(["03_boring_bar"], count=5)
    made = pages_to_print.to_pdf(pages_to_print.save("class_sheets", class_sheets.sheets(given, on)))
    assert made.path and made.path.name in made.says
    pdf = made.path.read_bytes()
    assert abs(box_of(pdf)[0] - size[0]) <= 1 and abs(box_of(pdf)[1] - size[1]) <= 1
    assert pages_of(pdf) == 10, "two pages a learner, so that printed on both sides each begins on a new sheet"
    key = pages_to_print.to_pdf(pages_to_print.save("class_key", class_sheets.key(given, on)))
    assert 2 <= pages_of(key.path.read_bytes()) <= 4


def test_no_question_is_torn_apart(browser):
    """Each question is kept whole in print, and is short enough for that to be possible; headings stay with what
    follows.
    """
    page = browser.new_page(viewport={"width": 680, "height": 900})   # A4 less its margins at 96 px to the inch
    page.emulate_media(media="print")
    page.set_content(class_sheets.sheets(classroom.hand_out(CHAPTERS, names="ash, oak, elm", inch=True)))
    tall = page.evaluate(
        "[...document.querySelectorAll('section')].map(s => [s.offsetHeight, getComputedStyle(s).breakInside])"
    )
    assert len(tall) > 200 and all(height < 450 and keep == "avoid" for height, keep in tall)
    assert page.evaluate("[...document.querySelectorAll('h2')].every(h => getComputedStyle(h).breakAfter === 'avoid')")
    pages = page.evaluate("[...document.querySelectorAll('article')].map(a => [a.querySelector('footer').textContent,"
        " a.querySelector('footer').offsetTop"
        " - Math.max(...[...a.children].slice(0, -1).map(c => c.offsetTop + c.offsetHeight))])")
    assert len(pages) > 20 and all(gap >= 0 for _, gap in pages), "nothing runs into a page's foot"
    for start in range(0, len(pages), len(pages) // 3):
        of = len(pages) // 3
        assert [text.split("page ")[1] for text, _ in pages[start : start + of]] == [
            f"{n} of {of}" for n in range(1, of + 1)]
    assert len(pages) // 3 % 2 == 0, "every learner begins on an odd page"
    assert page.evaluate("document.documentElement.scrollWidth <= 680"), "nothing sticks out of the paper"
    page.close()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_each_bench_card_is_one_sheet_in_black(paper, chromium):
    for html in (bench_cards.stickout_card("aluminium 6082", Say(True), paper), bench_cards.first_aid(paper)):
        assert not re.findall(r"color:(?!#111|#333|#fff)", html) and "http" not in html
        made = pages_to_print.to_pdf(pages_to_print.save("card", html))
        assert pages_of(made.path.read_bytes()) == 1
    with pytest.raises(Refused, match="A4 or Letter"):
        bench_cards.first_aid("A5")
