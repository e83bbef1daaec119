"""Lesson plans on paper: the right paper, few pages, nothing off its edge, cautions not torn apart."""

import re

import pytest

from springpass.core.quantity import Say
from springpass.pages.lesson_plans import Shown, printable
from springpass.printing import pages_to_print
from springpass.teaching import lessons


@pytest.mark.parametrize(("on", "size"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_a_plan_in_pdf(on, size, tmp_path, monkeypatch, chromium):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path))
    one = lessons.lesson("03_boring_bar")
    made = pages_to_print.to_pdf(pages_to_print.save("lesson", printable((Shown(one, one.plan(45), Say(), on),))))
    pdf = made.path.read_bytes()
    width, height = re.search(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)", pdf).groups()
    assert (abs(float(width) - size[0]) < 1) and (abs(float(height) - size[1]) < 1)
    assert 3 <= len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf)) <= 5


def test_plans_fit_the_paper(browser):
    page = browser.new_page(viewport={"width": 680, "height": 900})   # A4 less its margins at 96 px to the inch
    page.emulate_media(media="print")
    page.set_content(
        printable(
            tuple(Shown(one, plan, Say(), "A4") for one in map(lessons.lesson, lessons.names()) for plan in one.plans)
        )
    )
    assert page.evaluate("document.documentElement.scrollWidth <= 680")
    kept = page.evaluate(
        "[...document.querySelectorAll('.warn, .q, tr')].map(e => [e.offsetHeight, getComputedStyle(e).breakInside])"
    )
    assert len(kept) > 300 and all(keep == "avoid" and height < 700 for height, keep in kept)
    page.close()
