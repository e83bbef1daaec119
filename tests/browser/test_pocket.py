"""The pocket card on a phone: opened from a file, cut off from every network, moved by thumb and keyboard."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from springpass.core.quantity import Refused, Say
from springpass.pages import catalogue
from springpass.printing import pocket
from springpass.printing.pocket.print_version import REFUSED
from springpass.screen import draw
from springpass.screen.page import LAST_GOOD, headline

pytestmark = pytest.mark.browser
LINES = ["stickout = 20 to 80", "bar diameter = 6; 8; 10; 14", "tolerance = 10; 18; 33"]
# the picture's markup, the words and what is refused, and the same made of a page's own answer by the same browser
SHOWN = """() => [document.querySelector('.sp-drawn').innerHTML, document.querySelector('.sp-words').textContent,
  document.querySelector('.sp-state').textContent]"""
PARSED = "html => { const box = document.createElement('div'); box.innerHTML = html; return box.innerHTML; }"


@pytest.fixture(scope="module")
def made():
    return pocket.make(catalogue.pages()["check_stickout"], LINES)


@pytest.fixture(scope="module")
def file(made, tmp_path_factory) -> Path:
    return pocket.save(tmp_path_factory.mktemp("card") / "card.html", made.html)


class Opened:
    """A card in a phone of its own without any network: the page, what it asked for and what went wrong."""

    def __init__(self, browser, file: Path, **phone):
        self.context = browser.new_context(
            **{"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True, **phone}
        )
        self.context.set_offline(True)
        self.asked: list[str] = []
        self.wrong: list[str] = []
        self.context.route(re.compile(r"^(?!file:)"), lambda route: route.abort())
        self.page = self.context.new_page()
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("pageerror", lambda error: self.wrong.append(str(error)))
        self.page.on("console", lambda message: self.wrong.append(message.text))
        self.page.goto(file.as_uri())
        if phone.get("java_script_enabled", True):   # the answers are unpacked
            self.page.locator("html[data-ready]").wait_for(state="attached")

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.context.close()


def markup(answer, moved) -> str:
    """A page's picture as a card holds it: no style or namespace, no handle but of what the card moves."""
    return re.sub(r'<style>.*?</style>|\s+xmlns="[^"]*"', "", draw.without_handles(answer.svg, moved), flags=re.S)


def expected(page, answer, moved) -> list[str]:
    words = f"{headline(answer.result)} {answer.words}".strip()
    return [page.evaluate(PARSED, markup(answer, moved)), bare(words), ""]


def shown(page) -> list[str]:
    picture, words, refused = page.evaluate(SHOWN)
    return [picture, bare(words), refused]


def bare(words: str) -> str:
    return re.sub(r"\s+", "", words)


def flat(words: str) -> str:
    return re.sub(r"\s+", " ", words)


def test_sliders_move_picture_and_words_with_no_network(browser, made, file):
    with Opened(browser, file) as card:
        page = card.page
        expect(page.locator("html")).to_have_attribute("data-ready", "yes")
        sliders = page.locator("input[type=range]")
        assert sliders.count() == 3
        places = [dial.start for dial in made.card.dials]
        seen, good = set(), []

        def stands_as_the_page_says():
            values = {dial.what.name: dial.values[at] for dial, at in zip(made.card.dials, places, strict=True)}
            try:
                wanted = expected(page, made.card.page.answer(**values), values)
                assert "sp-stale" not in page.locator(".sp-page").get_attribute("class")
            except Refused as refusal:   # the last answer stays, grey
                wanted = [*good[-1][:2], f"{refusal} {LAST_GOOD}"]
                assert "sp-stale" in page.locator(".sp-page").get_attribute("class")
            assert shown(page) == wanted
            good.append(wanted)
            seen.add(tuple(wanted))

        stands_as_the_page_says()
        for dial, key, by in (
            (0, "ArrowRight", 1),
            (0, "ArrowRight", 1),
            (1, "ArrowLeft", -1),
            (2, "ArrowUp", 1),
            (1, "End", None),
            (1, "ArrowLeft", -1),
            (0, "Home", None),
            (2, "Home", None),
        ):
            sliders.nth(dial).focus()
            page.keyboard.press(key)
            last = len(made.card.dials[dial].values) - 1
            places[dial] = {"End": last, "Home": 0}.get(key) if by is None else min(max(places[dial] + by, 0), last)
            text = made.card.dials[dial].texts(False)[places[dial]]
            expect(page.locator("output").nth(dial)).to_have_text(text)
            expect(sliders.nth(dial)).to_have_attribute("aria-valuetext", text)
            stands_as_the_page_says()
        assert len(seen) >= 7, "picture and words change"
        expect(page.get_by_text("This viewer runs no scripts")).to_have_count(0)
        assert card.asked == [file.as_uri()], "nothing but the file itself is asked for"
        assert not card.wrong


def test_every_answer_on_the_card_comes_out_of_the_block_whole(browser, made, file):
    """The card's own unpacking against Python's, at every setting."""
    data = pocket.unpacked(made.html)
    whole = ["".join(data["pieces"][i] for i in row) for row in data["texts"]]
    with Opened(browser, file) as card:
        got = card.page.evaluate("""sizes => {
          const dials = [...document.querySelectorAll('input[type=range]')], out = [];
          const text = name => document.querySelector(name).textContent;
          for (let a = 0; a < sizes[0]; a++) for (let b = 0; b < sizes[1]; b++) for (let c = 0; c < sizes[2]; c++) {
            [a, b, c].forEach((at, i) => { dials[i].value = at; dials[i].dispatchEvent(new Event('input')); });
            out.push([document.querySelector('.sp-drawn').innerHTML, text('.sp-words'), text('.sp-state')]);
          }
          return out; }""", [len(dial.values) for dial in made.card.dials])
        assert len(got) == made.card.answers
        for k in range(0, made.card.answers, 7):
            picture, head, words, _ = (whole[n] for n in data["cells"][5 * k:5 * k + 4])
            if data["cells"][5 * k + 4] == REFUSED:
                assert got[k][2].startswith(words)
            else:
                wanted = [card.page.evaluate(PARSED, picture), bare(head + words), ""]
                assert [got[k][0], bare(got[k][1]), got[k][2]] == wanted
        assert len({tuple(g) for g in got}) > made.card.answers // 2


def test_tables_follow_when_the_hand_rests(browser, made, file):
    with Opened(browser, file) as card:
        more = card.page.locator(".sp-more")
        card.page.get_by_role("slider").first.press("ArrowLeft")
        more.scroll_into_view_if_needed()
        values = {dial.what.name: dial.values[dial.start - (i == 0)] for i, dial in enumerate(made.card.dials)}
        expect(more).to_have_attribute("aria-busy", "false")
        html = made.card.page.answer(**values).more
        text = PARSED.replace("return box.innerHTML", "return box.textContent")
        assert bare(more.text_content()) == bare(card.page.evaluate(text, html))


def test_the_picture_can_be_taken_hold_of(browser, made, file):
    """A drag of the bar's end goes to the nearest place at which the card has an answer; keys move by one place."""
    with Opened(browser, file, viewport={"width": 1280, "height": 900}, is_mobile=False) as card:
        page = card.page
        grip = page.locator(".sp-grip").and_(page.get_by_role("slider", name="stickout, in the picture"))
        slider = page.get_by_role("slider", name="stickout", exact=True)
        before = int(slider.input_value())
        box = grip.bounding_box()
        page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        page.mouse.down()
        page.mouse.move(box["x"] - 30, box["y"] + box["height"] / 2, steps=5)
        page.mouse.up()
        dragged = int(slider.input_value())
        assert dragged != before
        grip.focus()
        page.keyboard.press("ArrowLeft" if dragged > before else "ArrowRight")
        assert abs(int(slider.input_value()) - dragged) == 1
        values = {dial.what.name: dial.values[dial.start] for dial in made.card.dials}
        values["stickout"] = made.card.dials[0].values[int(slider.input_value())]
        assert shown(page) == expected(page, made.card.page.answer(**values), values)
        assert not card.wrong and card.asked == [file.as_uri()]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_fits_a_phone_and_a_thumb(browser, file, scheme):
    with Opened(browser, file, color_scheme=scheme) as card:
        page = card.page
        assert page.evaluate("document.documentElement.scrollWidth") <= 390, "no sideways scroll"
        for control in page.locator("input[type=range], summary").all():
            box = control.bounding_box()
            assert box["height"] >= 44 and box["width"] >= 300
        for slider in page.locator("input[type=range]").all():   # the whole height answers, not the thin track alone
            box = slider.bounding_box()
            before = slider.input_value()
            slider.scroll_into_view_if_needed()
            box = slider.bounding_box()
            page.touchscreen.tap(box["x"] + box["width"] - 6, box["y"] + 8)
            assert slider.input_value() == slider.get_attribute("max") != before
        labels = page.locator(".sp-row label").all_inner_texts()
        assert labels == ["stickout", "bar diameter", "tolerance on diameter"]
        for label, output in zip(labels, ("80 mm", "14 mm", "33 µm"), strict=True):
            assert page.get_by_label(label, exact=True).get_attribute("aria-valuetext") == output
        paint = page.evaluate("""() => ['body', '.sp-words', '.sp-row label', '.small p'].map(s => {
            const e = document.querySelector(s); let g = e;
            while (getComputedStyle(g).backgroundColor === 'rgba(0, 0, 0, 0)') g = g.parentElement;
            return [getComputedStyle(e).color, getComputedStyle(g).backgroundColor]; })""")
        for ink, ground in paint:
            assert contrast(ink, ground) >= 4.5, (ink, ground)
            assert (light(ground) < 0.1) == (scheme == "dark")
        paper = page.evaluate(
            "() => { const dial = document.querySelectorAll('input[type=range]')[1]; dial.value = 0; "
            "dial.dispatchEvent(new Event('input'));"
            "return [getComputedStyle(document.querySelector('.sp-drawn .paper')).fill, "
            "getComputedStyle(document.querySelector('.sp-drawn text')).fill]; }"
        )
        assert contrast(*paper) >= 7 and (light(paper[0]) < 0.1) == (scheme == "dark"), (
            "the picture follows light and dark"
        )


def light(colour: str) -> float:
    """Relative luminance of rgb(r, g, b), as WCAG 2 has it."""
    parts = [int(n) / 255 for n in re.findall(r"\d+", colour)[:3]]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str, other: str) -> float:
    a, b = sorted((light(one), light(other)))
    return (b + 0.05) / (a + 0.05)


def test_a_screen_reader_hears_it(browser, file):
    with Opened(browser, file) as card:
        words = card.page.get_by_role("status")
        expect(words).to_have_count(1)
        expect(words).to_have_attribute("aria-live", "polite")
        picture = card.page.locator(".sp-drawn").get_by_role("img").first
        expect(picture).to_have_accessible_name("Boring bar in its holder and bore")
        assert "±9 µm" in picture.locator("desc").text_content()
        # the same words are not said again where nothing changed
        assert (
            card.page.evaluate("""async () => { let count = 0;
            new MutationObserver(list => { count += list.length; })
              .observe(document.querySelector('.sp-words'), {childList: true, subtree: true});
            document.querySelector('input[type=range]').dispatchEvent(new Event('input'));
            await new Promise(r => setTimeout(r, 50)); return count; }""")
            == 0
        )


def test_the_table_at_a_glance_follows_the_third_slider(browser, made, file):
    with Opened(browser, file) as card:
        page = card.page
        first, second, third = made.card.dials
        for at in range(len(third.values)):
            page.evaluate(
                "at => { const dial = document.querySelectorAll('input[type=range]')[2]; dial.value = at; "
                "dial.dispatchEvent(new Event('input')); }",
                at,
            )
            assert page.locator("#glance-at").inner_text() == third.texts(False)[at]
            marks = [row.locator("td").all_inner_texts() for row in page.locator("#glance tbody tr").all()]
            for i, length in enumerate(first.values):
                for j, bar in enumerate(second.values):
                    try:
                        answer = made.card.page.answer(stickout=length, bar_diameter=bar, tolerance=third.values[at])
                        assert marks[i][j] == headline(answer.result)[0]
                    except Refused:
                        assert marks[i][j] == "–"
        assert page.locator("#glance td.here").count() == 1


def test_without_scripts_it_shows_the_opening_answer(browser, made, file):
    with Opened(browser, file, java_script_enabled=False) as card:
        answer = made.card.page.answer(**{dial.what.name: dial.values[dial.start] for dial in made.card.dials})
        assert flat(card.page.locator(".sp-words").inner_text()) == flat(f"{headline(answer.result)} {answer.words}")
        expect(card.page.locator(".sp-drawn").get_by_role("img").first).to_be_visible()
        expect(card.page.get_by_text("This viewer runs no scripts")).to_be_visible()


def test_a_damaged_card_says_so_and_keeps_its_opening_picture(browser, made, tmp_path):
    block = re.search(r'id="answers"[^>]*>([^<]*)<', made.html)[1]
    middle = len(block) // 2
    for n, bad in enumerate(
        (block[:middle], block[:middle] + ("A" if block[middle] != "A" else "B") + block[middle + 1 :], "")
    ):
        with Opened(browser, pocket.save(tmp_path / f"bad{n}.html", made.html.replace(block, bad))) as card:
            expect(card.page.get_by_role("alert")).to_contain_text("damaged or cut short")
            expect(card.page.locator(".sp-drawn").get_by_role("img").first).to_be_visible()
            expect(card.page.get_by_role("slider")).to_have_count(0)
            assert not card.wrong


def test_choices_and_inches(browser, tmp_path):
    made = pocket.make(catalogue.pages()["check_stickout"], ["stickout = 1; 1.5; 2", "holder"], inch=True)
    with Opened(browser, pocket.save(tmp_path / "inch.html", made.html)) as card:
        page = card.page
        holders = made.card.dials[1].values
        for holder in (holders[0], holders[-1]):
            page.get_by_label("holder").select_option(holder)
            page.get_by_label("stickout", exact=True).press("End")
            answer = made.card.page.answer(Say(True), stickout=50.8, holder=holder)
            assert shown(page) == expected(page, answer, ["stickout", "holder"])
        expect(page.locator("output").first).to_have_text("2 inch")
        assert page.get_by_label("holder").bounding_box()["height"] >= 44
        assert "thou" in page.locator(".sp-words").inner_text() and card.asked == [(tmp_path / "inch.html").as_uri()]


def test_it_prints_on_one_page(browser, file):
    with Opened(browser, file, color_scheme="dark") as card:
        pdf = card.page.pdf(format="A4", print_background=False)
        assert len(re.findall(rb"/Type\s*/Page\b", pdf)) == 1
        card.page.emulate_media(media="print", color_scheme="dark")
        assert not card.page.locator("input[type=range]").first.is_visible()
        expect(card.page.locator("output").first).to_be_visible()
        ink, ground = card.page.evaluate(
            "() => [getComputedStyle(document.body).color, getComputedStyle(document.body).backgroundColor]"
        )
        assert light(ground) > 0.9 and contrast(ink, ground) > 7, "black on white, however the phone is set"
