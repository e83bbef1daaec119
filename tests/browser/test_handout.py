"""Handouts and wall cards in a real browser: no request, every formula and picture seen, all of it on the paper."""

import re

import pytest

from springpass.core.quantity import Say
from springpass.printing import handout, pages_to_print, wall_card

pytestmark = pytest.mark.browser
A4_CONTENT = 680   # px of a 180 mm wide sheet
CUT = """() => [...document.querySelectorAll('.sheet')].map(sheet => ({
    below: sheet.scrollHeight - sheet.clientHeight,
    right: Math.max(...[...sheet.querySelectorAll('*')].map(e => e.getBoundingClientRect().right)) -
        sheet.getBoundingClientRect().right,
    picture: sheet.querySelector('figure svg')?.getBoundingClientRect().height ?? null,
    notes: sheet.querySelector('.notes')?.getBoundingClientRect().height ?? null,
    formulas: [...sheet.querySelectorAll('math')].map(m => m.getBoundingClientRect().height)}))"""
COLOURS = """where => [...new Set([...document.querySelectorAll(where)].flatMap(e => {
    const s = getComputedStyle(e); return [s.fill, s.stroke, s.color, s.backgroundColor]; }))]"""


@pytest.fixture(scope="module")
def sheet(browser):
    """A window as wide as the paper, in which every address asked for is written down."""
    context = browser.new_context(viewport={"width": A4_CONTENT, "height": 960}, offline=True)
    page = context.new_page()
    page.asked = []
    page.on("request", lambda request: page.asked.append(request.url))
    page.emulate_media(media="print")
    yield page
    context.close()


def opened(sheet, tmp_path, html):
    place = tmp_path / "page.html"
    place.write_text(html, encoding="utf-8")
    sheet.asked.clear()
    sheet.goto(place.as_uri())
    return place


def no_colour(sheet, where):
    for colour in sheet.evaluate(COLOURS, where):
        numbers = [*map(int, re.findall(r"\d+", colour)[:3])]
        assert len(set(numbers)) <= 1 or max(numbers) - min(numbers) <= 14, f"{colour} is no grey"


@pytest.mark.parametrize(("paper", "say", "solutions"), [("A4", Say(), False), ("Letter", Say(True), True)])
@pytest.mark.parametrize("name", handout.names())
def test_a_handout_is_two_sheets_with_nothing_cut_off(sheet, tmp_path, name, paper, say, solutions):
    place = opened(sheet, tmp_path, handout.build(name, say=say, paper=paper, solutions=solutions))
    assert sheet.asked == [place.as_uri()]
    first, second = sheet.evaluate(CUT)
    assert first["below"] <= 1 and second["below"] <= 1 and first["right"] <= 1 and second["right"] <= 1
    assert first["picture"] > 150 and second["notes"] > 30
    assert second["formulas"] and min(second["formulas"]) > 5, "a formula that is not there"
    no_colour(sheet, ".sheet *")
    made = pages_to_print.to_pdf(place)
    assert made.path is not None, made.says
    assert len(re.findall(rb"/Type\s*/Page\b", made.path.read_bytes())) == 2


def test_a_fraction_is_set_as_one(sheet, tmp_path):
    """The browser knows MathML: numerator over denominator."""
    opened(sheet, tmp_path, handout.build("03_boring_bar"))
    above, below = sheet.evaluate(
        "() => [...document.querySelector('mfrac').children].map(c => c.getBoundingClientRect().top)"
    )
    assert above < below


def test_a_phone_reads_a_handout_without_scrolling_sideways(narrow, tmp_path):
    page = narrow.new_page()
    place = tmp_path / "page.html"
    place.write_text(handout.build("03_boring_bar", say=Say(True)), encoding="utf-8")
    page.goto(place.as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= 391
    page.close()


@pytest.mark.parametrize(("paper_name", "say"), [("A4", Say()), ("Letter", Say(True))])
def test_wall_cards_stay_on_their_sheets(sheet, tmp_path, paper_name, say):
    place = opened(sheet, tmp_path, wall_card.build(paper=paper_name, say=say))
    assert sheet.asked == [place.as_uri()]
    over = sheet.evaluate("""() => [...document.querySelectorAll('section > svg')].flatMap(svg => {
        const box = svg.viewBox.baseVal;
        const out = t => {
            const b = t.getBBox();
            return b.x + b.width > box.width || b.y + b.height > box.height + 4; };
        return [...svg.querySelectorAll(':scope > text')].filter(out)
            .map(t => t.textContent); })""")
    assert over == []
    no_colour(sheet, "section > svg *")
    made = pages_to_print.to_pdf(place)
    assert made.path is not None, made.says
    assert len(re.findall(rb"/Type\s*/Page\b", made.path.read_bytes())) == len(wall_card.names()), "one card, one sheet"
