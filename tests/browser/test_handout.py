"""Handouts and wall cards in a real browser: no request, every formula and picture seen, all of it on the paper."""

import re

import pytest

from springpass.core.quantity import Say
from springpass.printing import handout, pages_to_print, wall_card

pytestmark = pytest.mark.browser
A4_CONTENT = 680   # px of a 180 mm wide sheet
SEEN = """() => ({
  formulas: [...document.querySelectorAll('math')].map(m => { const b = m.getBoundingClientRect(); const right = Math.max(b.right, ...[...m.querySelectorAll('*')].map(e => e.getBoundingClientRect().right));
    return [b.width, b.height, right, m.textContent.slice(0, 60)]; }),
  pictures: [...document.querySelectorAll('.beside > div > svg')].map(s => { const b = s.getBoundingClientRect(); return [b.width, b.height, b.right]; }),
  wide: document.documentElement.scrollWidth, right: document.body.getBoundingClientRect().right, fractions: document.querySelectorAll('mfrac').length})"""


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


@pytest.mark.parametrize("name", handout.names())
def test_a_handout_asks_for_nothing_and_shows_everything(sheet, tmp_path, name):
    html = handout.build(name, solutions=True)
    place = opened(sheet, tmp_path, html)
    assert sheet.asked == [place.as_uri()]
    seen = sheet.evaluate(SEEN)
    assert len(seen["formulas"]) == len(re.findall(r"<math[ >]", html)) and len(seen["pictures"]) == len(
        handout.chapter(name).pages
    )
    assert all(width > 3 and height > 5 for width, height, *_ in seen["formulas"]), "a formula that is not there"
    assert all(width > 250 and height > 80 for width, height, _ in seen["pictures"])
    over = [text for _, _, right, text in seen["formulas"] if right > seen["right"] + 1]
    assert not over and seen["wide"] <= A4_CONTENT + 1, over


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
    over = sheet.evaluate("""() => [...document.querySelectorAll('section > svg')].flatMap(svg => { const box = svg.viewBox.baseVal;
        return [...svg.querySelectorAll(':scope > text')].filter(t => { const b = t.getBBox(); return b.x + b.width > box.width || b.y + b.height > box.height + 4; })
            .map(t => t.textContent); })""")
    assert over == []
    colours = sheet.evaluate(
        """() => [...new Set([...document.querySelectorAll('section > svg *')].flatMap(e => { const s =
        getComputedStyle(e); return [s.fill, s.stroke]; }))]
        """
    )
    for colour in colours:
        numbers = re.findall(r"\d+", colour)[:3]
        assert len(set(numbers)) <= 1 or max(map(int, numbers)) - min(map(int, numbers)) <= 14, f"{colour} is no grey"
    made = pages_to_print.to_pdf(place)
    assert made.path is not None, made.says
    assert len(re.findall(rb"/Type\s*/Page\b", made.path.read_bytes())) == len(wall_card.names()), "one card, one sheet"
