"""The workbook in a real browser: run all, move a slider by keyboard, read the changed words, look at both widths."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

import lab

pytestmark = pytest.mark.browser
SHOTS = Path(__file__).parent / "shots"
NOTEBOOKS = sorted(path.name for path in (lab.ROOT / "workbook").glob("*.ipynb"))
# what a page shows now; the words and the picture come in two messages
STATE = "e => e.querySelector('.sp-words-box').innerText + e.querySelector('.sp-picture').innerHTML"
# messages of JupyterLab's own that say nothing about our pages; and anywidget's when a busy machine takes over two
# seconds to begin: the page is drawn all the same, and a test that asks for it sees where it is not
NOISE = re.compile(r"favicon|ResizeObserver|preload|manifest|Failed to load resource|lspHandler|LSP|jupyter-lsp"
                   r"|\[anywidget\] Failed to initialize model", re.I)


def opened(context, address, name):
    """The notebook with all its cells run, a list of console errors, and one of addresses asked for."""
    page = context.new_page()
    page.set_default_timeout(60_000)
    errors: list[str] = []
    asked: list[str] = []
    page.on("pageerror", lambda error: NOISE.search(str(error)) or errors.append(str(error)))
    page.on(
        "console",
        lambda message: (
            errors.append(message.text) if message.type == "error" and not NOISE.search(message.text) else None
        ),
    )
    page.on("request", lambda request: asked.append(request.url))
    done = lab.open_notebook(page, address, name)
    assert done["ok"] and not done["bad"], done
    return page, errors, asked


def go_to(page, cell):
    """Bring a cell onto the screen: cells far off it are not drawn."""
    page.evaluate("""i => { const nb = window.jupyterapp.shell.currentWidget.content; nb.activeCellIndex = i;
                     return nb.scrollToItem ? nb.scrollToItem(i, 'start') : null; }""", cell)
    page.wait_for_timeout(150)


def pages_of(page):
    """Every cell with a page of ours, brought into view one after the other."""
    for cell in range(page.evaluate("window.jupyterapp.shell.currentWidget.content.widgets.length")):
        go_to(page, cell)
        found = page.locator(f'.jp-Cell[data-windowed-list-index="{cell}"] .sp-page')
        if found.count():
            yield found.first


def press_until_it_answers(page, shown):
    """Arrow keys on the page's sliders until one of them changes the answer; True where there is none."""
    sliders = shown.locator("input[type=range]:visible")
    if not sliders.count():
        return True
    handle = shown.element_handle()
    for i in range(min(sliders.count(), 4)):
        before = shown.evaluate(STATE)
        sliders.nth(i).focus()
        for _ in range(3):
            sliders.nth(i).press("ArrowRight")
        try:
            page.wait_for_function(f"([e, was]) => ({STATE})(e) !== was", arg=[handle, before], timeout=4000)
        except Exception:
            continue   # at its end, or a slider that rightly changes nothing here
        return True
    for choice in shown.locator("select").all()[:2]:   # a page whose sliders matter only for another choice
        before = shown.evaluate(STATE)
        choice.select_option(index=1)
        try:
            page.wait_for_function(f"([e, was]) => ({STATE})(e) !== was", arg=[handle, before], timeout=4000)
        except Exception:
            continue
        return True
    return False


@pytest.mark.parametrize("name", NOTEBOOKS)
def test_every_page_answers_the_arrow_keys(wide, address, name):
    page, errors, asked = opened(wide, address, name)
    for number, shown in enumerate(pages_of(page), 1):
        expect(shown.locator(".sp-words")).to_be_visible()
        expect(shown.locator(".sp-picture svg.sp[role=img]")).to_be_visible()
        assert shown.locator(".sp-wrong").count() == 0, shown.locator(".sp-wrong").first.inner_text()
        assert press_until_it_answers(page, shown), f"page {number} of {name} does not answer its sliders"
        assert shown.locator(".sp-words").count() == 1
    assert not errors, errors
    outside = {
        url for url in asked if not url.startswith((address, address.replace("http", "ws"), "data:", "blob:", "about:"))
    }
    assert not outside, f"asked an outside address: {outside}"
    lab.shut(page)


@pytest.mark.parametrize("name", NOTEBOOKS)
def test_every_page_fits_a_phone(narrow, address, name):
    page, errors, _ = opened(narrow, address, name)
    for number, shown in enumerate(pages_of(page), 1):
        expect(shown.locator(".sp-picture svg.sp[role=img]")).to_be_visible()
        width = shown.evaluate("e => [e.scrollWidth, e.clientWidth, document.documentElement.scrollWidth]")
        assert width[0] <= width[1] + 1, f"page {number} of {name} scrolls sideways: {width}"
        assert width[2] <= 390
        slider = shown.locator("input[type=range]:visible").first
        if slider.count():
            box = slider.bounding_box()
            assert box and min(box["width"], box["height"]) >= 24, "a handle too small for a thumb"
    assert not errors, errors
    lab.shut(page)


def stickout_page(context, address):
    page, errors, _ = opened(context, address, "check_stickout.ipynb")
    go_to(page, 2)
    return page, page.locator(".sp-page").first, errors


def test_the_bench_page_from_key_press_to_changed_words(wide, address):
    page, shown, errors = stickout_page(wide, address)
    words = shown.locator(".sp-words")
    box = shown.get_by_role("textbox", name="stickout, mm")
    expect(box).to_have_value("40")
    before_words, before_picture = words.inner_text(), shown.locator(".sp-picture").inner_html()
    slider = shown.get_by_role("slider", name="stickout, mm")
    slider.focus()
    slider.press("ArrowRight")
    expect(box).to_have_value("41")
    expect(words).not_to_have_text(before_words)
    page.wait_for_function(
        "([e, was]) => e.innerHTML !== was", arg=[shown.locator(".sp-picture").element_handle(), before_picture]
    )
    expect(shown.locator(".sp-picture")).to_contain_text("41 mm = ")
    # what is typed: a comma, a unit, a value outside
    box.fill("60,5")
    box.press("Enter")
    expect(shown.locator(".sp-picture")).to_contain_text("60.5 mm = ")
    expect(words).to_contain_text("Will not hold")
    box.fill("3 in")
    box.press("Enter")
    expect(shown.locator(".sp-picture")).to_contain_text("76.2 mm = ")
    box.fill("5000")
    box.press("Enter")
    expect(shown.locator(".sp-note .sp-wrong")).to_contain_text("must lie between")
    expect(shown).to_have_class(re.compile("sp-stale"))   # the old picture is greyed, and a line says so
    expect(shown.locator(".sp-state")).to_contain_text("not for what you typed")
    expect(box).to_have_value("5000")
    expect(shown.locator(".sp-picture")).to_contain_text("76.2 mm = ")
    box.fill("40")
    box.press("Enter")
    expect(shown.locator(".sp-wrong")).to_have_count(0)
    expect(shown).not_to_have_class(re.compile("sp-stale"))
    # a bar that cannot be
    bar = shown.get_by_role("textbox", name="bar diameter, mm")
    bar.fill("14")
    bar.press("Enter")
    expect(shown.locator(".sp-wrong")).to_contain_text("thicker than the bore")
    bar.fill("8")
    bar.press("Enter")
    expect(shown.locator(".sp-wrong")).to_have_count(0)
    assert not errors, errors
    lab.shut(page)


def test_inch_and_back(wide, address):
    page, shown, errors = stickout_page(wide, address)
    words = shown.locator(".sp-words")
    metric = words.inner_text()
    page.get_by_role("button", name="inch and thou").click()
    expect(words).to_contain_text("thou")
    expect(shown.get_by_role("textbox", name="stickout, inch")).to_have_value("1.5748")
    page.get_by_role("button", name="mm and µm").click()
    expect(words).to_have_text(re.compile(re.escape(metric.splitlines()[-1])))
    expect(shown.get_by_role("textbox", name="stickout, mm")).to_have_value("40")
    assert not errors, errors
    lab.shut(page)


STEP = """slider => { const picture = slider.closest('.sp-page').querySelector('.sp-drawn'), was = picture.innerHTML;
    slider.stepUp(); slider.dispatchEvent(new Event('input')); return picture.innerHTML !== was; }"""


def test_the_next_step_stands_ready_before_the_key_is_down(wide, address):
    """After a step and a rest the next step's picture is there at once, with no way to the kernel and back."""
    page, shown, errors = stickout_page(wide, address)
    slider, picture = shown.get_by_role("slider", name="stickout, mm"), shown.locator(".sp-picture")
    slider.press("ArrowRight")
    expect(picture).to_contain_text("41 mm = ")
    for there in ("42 mm = ", "43 mm = "):
        page.wait_for_timeout(1500)
        assert slider.evaluate(STEP)
        expect(picture).to_contain_text(there)
    page.wait_for_timeout(500)
    expect(picture).to_contain_text("43 mm = ")   # the kernel's answer is the same
    assert not slider.evaluate(STEP.replace("stepUp()", "stepUp(7)")), "another step than the one foreseen"
    expect(picture).to_contain_text("50 mm = ")
    assert not errors, errors
    lab.shut(page)


def test_a_held_key_builds_no_queue(wide, address):
    """Thirty presses in quick order: the last value is shown soon after the last of them."""
    page, shown, errors = stickout_page(wide, address)
    slider = shown.get_by_role("slider", name="stickout, mm")
    slider.focus()
    for _ in range(30):
        slider.press("ArrowRight")
    expect(shown.locator(".sp-picture")).to_contain_text("70 mm = ", timeout=3000)
    assert not errors, errors
    lab.shut(page)


def luminance(colour: str) -> float:
    channels = [int(v) / 255 for v in re.findall(r"\d+", colour)[:3]]
    r, g, b = (v / 12.92 if v <= 0.03928 else ((v + 0.055) / 1.055) ** 2.4 for v in channels)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


@pytest.mark.parametrize("theme", ["JupyterLab Light", "JupyterLab Dark"])
def test_words_and_picture_are_readable_in_both_themes(wide, address, theme):
    """Contrast of at least 4.5 to 1 (WCAG 2.1, 1.4.3) for the words and for the letters in the picture."""
    page, shown, _ = stickout_page(wide, address)
    page.evaluate("t => window.jupyterapp.commands.execute('apputils:change-theme', {theme: t})", theme)
    page.wait_for_timeout(1500)
    words = shown.locator(".sp-words").evaluate("e => [getComputedStyle(e).color, getComputedStyle(e).backgroundColor]")
    letters = shown.locator(".sp-picture text").first.evaluate("e => getComputedStyle(e).fill")
    paper = shown.locator(".sp-picture rect.paper").first.evaluate("e => getComputedStyle(e).fill")
    for ink, ground in (words, (letters, paper)):
        light, dark = sorted((luminance(ink), luminance(ground)), reverse=True)
        assert (light + 0.05) / (dark + 0.05) >= 4.5, (theme, ink, ground)
    SHOTS.mkdir(exist_ok=True)
    page.screenshot(path=SHOTS / f"check_stickout-{theme.split()[1].lower()}.png")
    page.evaluate("t => window.jupyterapp.commands.execute('apputils:change-theme', {theme: t})", "JupyterLab Light")
    lab.shut(page)


@pytest.mark.parametrize("width", [1280, 390])
def test_screenshots_of_the_bench_page(browser, address, width):
    context = browser.new_context(viewport={"width": width, "height": 844})
    page, shown, _ = stickout_page(context, address)
    page.set_viewport_size({"width": width, "height": 2600})
    page.wait_for_timeout(500)
    SHOTS.mkdir(exist_ok=True)
    target = SHOTS / f"check_stickout-{width}.png"
    shown.screenshot(path=target)
    assert target.stat().st_size > 20_000
    lab.shut(page)
    context.close()


def test_a_tap_is_loaded_remembered_and_used(wide, address, tmp_path):
    """The whole way: load a WAV, remember the bar, tick “use what I measured”; a file that is no WAV gets a sentence.
    """
    from springpass.boring_bar import tap_test

    good, bad = tmp_path / "tap.wav", tmp_path / "tap.mp3.wav"
    good.write_bytes(tap_test.write_wav(tap_test.made_up_taps(1500, 0.025)))
    bad.write_bytes(b"ID3 not a wave file")
    page, errors, _ = opened(wide, address, "03_boring_bar.ipynb")
    tap = next(shown for shown in pages_of(page) if "A tap and a phone" in shown.inner_text())
    expect(tap.locator(".sp-words")).to_contain_text("This sample is synthesised")
    tap.get_by_role("button", name="remember this bar").click()
    expect(tap).to_contain_text("This is the synthesised sample")

    def load(file):
        with page.expect_file_chooser() as chooser:
            tap.get_by_role("button", name="load a WAV recording").click()
        chooser.value.set_files(file)

    load(bad)
    expect(tap).to_contain_text("not a WAV file")
    load(good)
    expect(tap.locator(".sp-words")).to_contain_text(re.compile(r"natural frequency is (1499|1500|1501) Hz"))
    tap.get_by_role("button", name="remember this bar").click()
    expect(tap).to_contain_text("Saved as record")
    assert not errors, errors
    lab.shut(page)

    page, shown, errors = stickout_page(wide, address)
    before = shown.locator(".sp-words").inner_text()
    shown.get_by_label("use what I measured (chapter 3)").check()
    expect(shown.locator(".sp-words")).not_to_have_text(before)
    expect(shown.locator(".sp-wrong")).to_have_count(0)
    assert not errors, errors
    lab.shut(page)
