"""Every notebook for those who hear it, type it, enlarge it or see no colours: axe-core, the keyboard alone, contrast,
targets.

axe-core comes with a package of the test tools and is put into the page from there; no network is asked.
"""

import re
from itertools import pairwise
from pathlib import Path

import axe_playwright_python
import nbformat
import pytest
from playwright.sync_api import expect
from test_workbook import NOTEBOOKS, go_to, luminance, opened

import lab

pytestmark = pytest.mark.browser
AXE = (Path(axe_playwright_python.__file__).parent / "axe.min.js").read_text(encoding="utf-8")
OURS = [".sp-page", ".sp-ask", ".sp-units", ".jp-RenderedMarkdown"]   # pages, questions, the choice of units, our text
# what JupyterLab does round our text, and why it stands: (rule, what the element must look like, reason)
NOT_OURS = [
    ("scrollable-region-focusable", r'class="[^"]*jp-Rendered(Markdown|HTMLCommon)',
     "JupyterLab's box round a cell with a wide formula scrolls; Chromium gives such a box the focus by itself"),
]
RUN_AXE = """async roots => {
  const there = roots.filter(root => document.querySelector(root));
  const found = await axe.run({include: there.map(root => [root])}, {resultTypes: ['violations']});
  return found.violations.map(v => ({id: v.id, impact: v.impact, nodes: v.nodes.map(n => n.html.slice(0, 300))}));
}"""
CONTROLS = "input:not([type=file]), select, textarea, button, a[href], summary, [tabindex='0']"
# what can be reached with Tab in a root, in the document's order, marked with a number each
MARK = """(root, what) => {
  const seen = [...root.querySelectorAll(what)].filter(e => e.getClientRects().length && !e.disabled && e.tabIndex >= 0
      && getComputedStyle(e).visibility === 'visible' && !(e.closest('details:not([open])') && !e.matches('summary')));
  seen.forEach((e, i) => e.dataset.walk = i);
  return seen.map(e => e.tagName.toLowerCase() + ' ' + (e.getAttribute('role') || e.type || ''));
}"""
HERE = """() => { const e = document.activeElement, s = getComputedStyle(e), b = e.getBoundingClientRect();
  return {number: e.dataset.walk === undefined ? -1 : Number(e.dataset.walk),
          ring: s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2,
          x: b.x, y: b.y - (e.closest('.sp-page, .sp-ask') || e).getBoundingClientRect().y,
          column: e.closest('.sp-output') ? 1 : 0}; }"""


def theme(page, name):
    page.evaluate("t => window.jupyterapp.commands.execute('apputils:change-theme', {theme: t})", f"JupyterLab {name}")
    page.wait_for_function("dark => document.body.dataset.jpThemeLight === String(!dark)", arg=name == "Dark")
    page.wait_for_timeout(700)


UNDRAWN = """() => window.jupyterapp.shell.currentWidget.content.widgets.flatMap((cell, i) => {
  const shows = cell.model.type === 'code' && cell.model.sharedModel.getOutputs()
    .some(o => o.data?.['application/vnd.jupyter.widget-view+json']);
  const drawn = !shows || cell.node.querySelector('.sp-page, .sp-ask, .sp-units');
  return cell.isPlaceholder() || !cell.node.isConnected || !drawn ? [i] : []; })"""
WINDOWING = """mode => { const nb = window.jupyterapp.shell.currentWidget.content;
  nb.notebookConfig = {...nb.notebookConfig, windowingMode: mode}; }"""


def all_drawn(page):
    """Every cell in the document at once, also those far off the screen. Now and then JupyterLab leaves one out: again,
    then.
    """
    left: list[int] = []
    for _ in range(6):
        page.evaluate(WINDOWING, "none")
        page.wait_for_timeout(1200)
        left = page.evaluate(UNDRAWN)
        if not left:
            return
        page.evaluate(WINDOWING, "full")
        go_to(page, left[0])
        page.wait_for_timeout(500)
    assert not left, f"cells {left} are never drawn"


def busy(page):
    """Bring out what is folded away: all settings, a sentence of refusal, a hint, a worked solution."""
    for toggle in page.locator(".sp-all").all():
        toggle.click()
    box = page.locator(".sp-page .sp-box:visible").first
    if box.count():
        box.fill("a lot")
        box.press("Enter")
        expect(page.locator(".sp-page .sp-wrong").first).to_be_visible()
        expect(box).to_have_attribute("aria-invalid", "true")
    for name in ("hint", "worked solution"):
        button = page.locator(".sp-card").get_by_role("button", name=name).first
        if button.count():
            button.click()
    page.wait_for_timeout(400)


def ours(found):
    """The serious findings that are not JupyterLab's own."""
    left = []
    for finding in found:
        nodes = [html for html in finding["nodes"]
                 if not any(finding["id"] == rule and re.search(look, html) for rule, look, _ in NOT_OURS)]
        if nodes and finding["impact"] in ("serious", "critical"):
            left.append((finding["id"], finding["impact"], nodes))
    return left


COLOURS = r"""() => { const told = new Set();
  for (const svg of document.querySelectorAll('.sp-picture svg.sp')) {
    const paper = getComputedStyle(svg.querySelector('.paper')).fill;
    for (const e of svg.querySelectorAll('text, .a, .b, .c, .d, .limit, .ink, ' +
        '.dot-a, .dot-b, .dot-c, .dot-d, .fill-a, .fill-b, .fill-c, .fill-d')) {
      const s = getComputedStyle(e), text = e.tagName === 'text', dot = /dot-/.test(e.getAttribute('class'));
      told.add(JSON.stringify([text ? 'text' : e.getAttribute('class'),
        text || dot ? s.fill : s.stroke, paper, text ? 4.5 : 3])); } }
  // and the words themselves: each element with letters of its own, on the nearest ground that covers what is under it
  const parts = colour => { const v = colour.match(/[\d.]+/g).map(Number); return v.length < 4 ? [...v, 1] : v; };
  for (const root of document.querySelectorAll('.sp-page, .sp-ask, .sp-units'))
    for (const e of root.querySelectorAll('*:not(svg *):not(style)')) {
      if (![...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()) || !e.getClientRects().length) continue;
      let under = e; while (under && parts(getComputedStyle(under).backgroundColor)[3] < 1) under = under.parentElement;
      const ground = under ? parts(getComputedStyle(under).backgroundColor) : [255, 255, 255, 1];
      const ink = parts(getComputedStyle(e).color);
      const mixed = [0, 1, 2].map(i => Math.round(ink[i] * ink[3] + ground[i] * (1 - ink[3])));
      told.add(JSON.stringify([e.tagName + '.' + e.className, `rgb(${mixed})`, `rgb(${ground.slice(0, 3)})`, 4.5])); }
  return [...told].map(JSON.parse); }"""


def poor_contrast(page):
    """Letters under 4.5 to 1, lines and marks under 3 to 1 against the picture's paper (WCAG 2.1, 1.4.3 and 1.4.11)."""
    poor, count = [], 0
    for kind, ink, paper, wanted in page.evaluate(COLOURS):
        light, dark = sorted((luminance(ink), luminance(paper)), reverse=True)
        count += 1
        if (light + 0.05) / (dark + 0.05) < wanted:
            poor.append((kind, ink, paper))
    assert count or not page.locator(".sp-picture").count()
    return poor


SMALL = """() => [...document.querySelectorAll('.sp-page, .sp-ask, .sp-units')].flatMap(root =>
  [...root.querySelectorAll('input:not([type=file]), select, textarea, button, summary, .sp-grip')]
  .filter(e => e.getClientRects().length && getComputedStyle(e).visibility === 'visible').map(e => {
    const b = (e.type === 'checkbox' ? e.closest('label') || e : e).getBoundingClientRect();
    return [e.tagName + '.' + e.className, Math.round(b.width), Math.round(b.height)]; }))"""


@pytest.mark.parametrize("name", NOTEBOOKS)
def test_no_serious_finding_of_axe_in_either_theme_at_either_width(wide, address, name):
    page, errors, _ = opened(wide, address, name)
    all_drawn(page)
    page.evaluate(AXE)
    busy(page)
    for colours in ("Light", "Dark"):
        theme(page, colours)
        assert not poor_contrast(page), (colours, poor_contrast(page))
        for width in (1280, 390):
            page.set_viewport_size({"width": width, "height": 900})
            page.wait_for_timeout(400)
            found = page.evaluate(RUN_AXE, OURS)
            assert not ours(found), (colours, width, ours(found))
            if width == 390:
                targets = page.evaluate(SMALL)
                small = [target for target in targets if min(target[1:]) < 24]
                assert not small, f"too small for a thumb: {small}"
    # twice the size: as much room as a window of half the width; nothing may be lost sideways
    page.set_viewport_size({"width": 640, "height": 450})
    page.wait_for_timeout(300)
    for shown in page.locator(".sp-page").all():
        assert shown.evaluate("e => e.scrollWidth <= e.clientWidth + 1"), "cut off at 200 %"
    page.set_viewport_size({"width": 1280, "height": 900})
    theme(page, "Light")
    assert not errors, errors
    lab.shut(page)


def test_a_slider_without_its_name_and_pale_words_would_be_seen(wide, address):
    """The other side of the test above: it does find what is wrong."""
    page, _, _ = opened(wide, address, "check_stickout.ipynb")
    page.evaluate(AXE)
    go_to(page, 2)
    assert not poor_contrast(page)
    page.evaluate("""() => { const root = document.querySelector('.sp-page'), copy = root.cloneNode(true);
      copy.querySelectorAll('input[type=range]').forEach(e => e.removeAttribute('aria-labelledby'));
      copy.querySelectorAll('.sp-words, .sp-words *').forEach(e => e.style.color = '#ccc');
      root.parentNode.append(copy); }""")
    assert "label" in {finding[0] for finding in ours(page.evaluate(RUN_AXE, OURS))}
    assert poor_contrast(page)
    lab.shut(page)


@pytest.mark.parametrize("name", NOTEBOOKS)
def test_the_stored_stills_are_accessible_too(browser, name):
    """What a viewer without a kernel shows: each picture has a name, a description and nothing that axe calls serious.
    """
    notebook = nbformat.read(lab.ROOT / "workbook" / name, as_version=4)
    stills = [output["data"]["image/svg+xml"] for cell in notebook.cells for output in cell.get("outputs", [])
              if "image/svg+xml" in output.get("data", {})]
    page = browser.new_page()
    page.set_content(
        f'<!doctype html><html lang="en"><title>{name}</title><main><h1>{name}</h1>{"".join(stills)}</main></html>'
    )
    page.evaluate(AXE)
    found = page.evaluate(RUN_AXE, ["html"])
    assert not ours(found), ours(found)
    nodes = page.context.new_cdp_session(page).send("Accessibility.getFullAXTree")["nodes"]
    images = [node for node in nodes if node.get("role", {}).get("value") in ("image", "img")]
    assert len(images) == len(stills)
    assert all(node["name"]["value"] and node["description"]["value"] for node in images)
    page.close()


# ---- the keyboard alone ---------------------------------------------------------------------------


def walk(page, root):
    """Tab from the root's top to beyond its last control; what was passed on the way."""
    kinds = root.evaluate(MARK, CONTROLS)
    root.evaluate("e => { e.tabIndex = -1; e.focus(); }")
    passed = []
    for _ in range(len(kinds) + 3):
        page.keyboard.press("Tab")
        here = page.evaluate(HERE)
        if here["number"] < 0:
            break
        passed.append(here)
    return kinds, passed


@pytest.mark.parametrize("name", NOTEBOOKS)
def test_a_page_is_walked_with_the_keyboard_alone(wide, address, name):
    page, errors, _ = opened(wide, address, name)
    all_drawn(page)
    with_sliders = page.locator(".sp-page:has(input[type=range])")
    shown = (with_sliders if with_sliders.count() else page.locator(".sp-page")).first
    if not shown.count():
        stored = (lab.ROOT / "workbook" / name).read_text(encoding="utf-8")
        assert not re.search(r"\bshow\(", stored), "a page that is not there"
        return lab.shut(page)
    for toggle in shown.locator(".sp-all").all():
        toggle.focus()
        page.keyboard.press("Space")
        expect(toggle).to_have_attribute("aria-expanded", "true")
    kinds, passed = walk(page, shown)
    assert [here["number"] for here in passed] == list(range(len(kinds))), (kinds, passed)
    dull = [kinds[here["number"]] for here in passed if not here["ring"]]
    assert not dull, f"no visible focus on {dull}"
    for before, after in pairwise(passed):   # down the controls, then the answer
        if before["column"] == after["column"]:
            assert after["y"] >= before["y"] - 25 or after["x"] > before["x"], (before, after)
    # Tab has left the page; what comes next may be one of JupyterLab's editors, where Shift+Tab means something else
    shown.locator(f"[data-walk='{len(kinds) - 1}']").focus()
    for number in range(len(kinds) - 2, -1, -1):
        page.keyboard.press("Shift+Tab")
        assert page.evaluate(HERE)["number"] == number, "no way back"
    operate(page, shown)
    assert not errors, errors
    lab.shut(page)


def operate(page, shown):
    """Each kind of control with its keys."""
    handles = shown.locator("input[type=range]:visible")
    for i in range(handles.count()):
        handle = handles.nth(i)
        expect(handle).to_have_accessible_name(re.compile(r"\w"))
        handle.focus()
        low, high = (float(handle.get_attribute(end)) for end in ("min", "max"))
        for key, there in (("End", high), ("Home", low)):
            page.keyboard.press(key)
            assert abs(float(handle.input_value()) - there) <= float(handle.get_attribute("step"))
        page.keyboard.press("PageUp")
        page.keyboard.press("ArrowRight")
        page.keyboard.press("ArrowUp")
        box = shown.locator(".sp-slide:visible .sp-box").nth(i)
        page.wait_for_timeout(250)
        page.wait_for_function(
            "([handle, box]) => handle.getAttribute('aria-valuetext') === box.value",
            arg=[handle.element_handle(), box.element_handle()],
        )  # what is heard is what the box says
        assert handle.evaluate("e => e === document.activeElement"), "an arrow key led away from the slider"
        opening = box.input_value()
        box.focus()
        box.fill(opening)
        page.keyboard.press("Enter")
        assert box.evaluate("e => e === document.activeElement")
    for tick in shown.get_by_role("checkbox").all():
        was = tick.is_checked()
        tick.focus()
        page.keyboard.press("Space")
        expect(tick).to_be_checked(checked=not was)
        page.keyboard.press("Space")
    for choice in shown.locator("select").all():
        if choice.locator("option").count() < 2:
            continue
        choice.focus()
        was = choice.input_value()
        page.keyboard.press("ArrowDown")
        if choice.input_value() == was:
            page.keyboard.press("ArrowUp")
        assert choice.input_value() != was, "the list does not answer the arrow keys"
        assert choice.evaluate("e => e === document.activeElement"), "an arrow key led away from the list"
    cells = page.evaluate("window.jupyterapp.shell.currentWidget.content.widgets.length")
    for control in (handles, shown.locator("select")):
        if control.count():
            control.first.focus()
            for letter in "bxdd":   # commands to the notebook elsewhere: insert, cut, delete a cell
                page.keyboard.press(letter)
    assert page.evaluate("window.jupyterapp.shell.currentWidget.content.widgets.length") == cells
    page.wait_for_timeout(300)


@pytest.mark.parametrize(
    "name",
    [name for name in NOTEBOOKS if "practise(" in (lab.ROOT / "workbook" / name).read_text(encoding="utf-8")],
)
def test_the_exercises_are_walked_with_the_keyboard_alone(wide, address, name):
    page, errors, _ = opened(wide, address, name)
    all_drawn(page)
    asked = page.locator(".sp-ask:has(.sp-card)").first
    kinds, passed = walk(page, asked)
    assert [here["number"] for here in passed] == list(range(len(kinds))), (kinds, passed)
    assert all(here["ring"] for here in passed)
    for button in asked.get_by_role("button", name="hint").all()[:2]:
        button.focus()
        page.keyboard.press("Enter")
    expect(asked.locator(".sp-says", has_text="Hint 1")).to_have_count(
        min(2, asked.get_by_role("button", name="hint").count())
    )
    for box in asked.locator(".sp-card input").all():
        expect(box).to_have_accessible_name(re.compile(r"your answer to \d+"))
    for group in asked.locator(".sp-card .sp-choice").all():
        expect(group).to_have_accessible_name(re.compile(r"your answer to \d+"))
        one = group.get_by_role("button").first
        one.focus()
        page.keyboard.press("Space")
        expect(one).to_have_attribute("aria-pressed", "true")
    assert not errors, errors
    lab.shut(page)


# ---- heard, still, forced colours -----------------------------------------------------------------


def test_the_changed_words_are_spoken(wide, address):
    """One region stays where it is and its words change: that is what a screen reader listens to."""
    page, errors, _ = opened(wide, address, "check_stickout.ipynb")
    go_to(page, 2)
    shown = page.locator(".sp-page").first
    region = shown.locator(".sp-words")
    expect(region).to_have_attribute("role", "status")
    expect(region).to_have_count(1)
    expect(region).to_have_attribute("aria-live", "polite")
    element, before = region.element_handle(), region.inner_text()
    slider = shown.get_by_role("slider", name="stickout, mm")
    slider.focus()
    slider.press("ArrowRight")
    expect(region).not_to_have_text(before)
    assert region.evaluate("(now, old) => now === old", element), "a new region in the old one's place is not heard"
    expect(slider).to_have_attribute("aria-valuetext", "41")
    page.get_by_role("button", name="inch and thou").click()
    expect(shown.locator("input[type=range]").and_(shown.get_by_role("slider", name="stickout, inch"))).to_have_count(1)
    expect(page.get_by_role("button", name="inch and thou")).to_have_attribute("aria-pressed", "true")
    expect(page.get_by_role("button", name="mm and µm")).to_have_attribute("aria-pressed", "false")
    assert not errors, errors
    lab.shut(page)


def test_calm_motion_and_forced_colours(browser, address):
    """With motion reduced nothing glides; with the system's few colours the picture keeps its letters, its lines and a
    ring.
    """
    context = browser.new_context(
        viewport={"width": 1280, "height": 900}, reduced_motion="reduce", forced_colors="active", color_scheme="dark"
    )
    page, errors, _ = opened(context, address, "check_stickout.ipynb")
    go_to(page, 2)
    shown = page.locator(".sp-page").first
    moving = shown.evaluate(
        "r => [...r.querySelectorAll('*')].filter(e => parseFloat(getComputedStyle(e).transitionDuration) > 0).length"
    )
    assert moving == 0
    assert not poor_contrast(page), poor_contrast(page)
    slider = shown.get_by_role("slider").first
    slider.focus()
    page.keyboard.press("ArrowRight")
    assert page.evaluate(HERE)["ring"]
    assert slider.evaluate("e => getComputedStyle(e).borderTopStyle") == "solid"
    assert not errors, errors
    lab.shut(page)
    context.close()
