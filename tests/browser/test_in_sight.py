"""What is in sight while a hand is at a control: on a phone the answer's first line, the picture and that control, with
letters that can be read; at a desk the picture. Every control of every page of every notebook.
"""

import importlib
import json
import pkgutil

import pytest
from test_workbook import go_to, opened

import lab
import springpass.pages
from springpass.screen import look
from springpass.screen.page import Live, Page

pytestmark = pytest.mark.browser
SMALLEST = 11   # px of a letter in a picture on a phone
PHONE, DESK = (390, 730), (1200, 780)   # px that JupyterLab leaves to a notebook at 390 x 844 and at 1280 x 900
FOUND: dict[str, Page] = {}
for _, module, _ in pkgutil.iter_modules(springpass.pages.__path__):
    for value in vars(importlib.import_module(f"springpass.pages.{module}")).values():
        if isinstance(value, Page):
            FOUND.setdefault(value.name, value)

# Brings each control of a page onto the screen as the keyboard does, and lists what is then amiss.
FAULTS = r"""async ([root, phone, smallest]) => {
  const faults = new Set(), outer = root.closest('.jp-WindowedPanel-outer'), there = e => e.getBoundingClientRect();
  const still = () => new Promise(done => setTimeout(done, 80));
  for (const all of root.querySelectorAll('.sp-all[aria-expanded=false]')) all.click();
  await still();   // until it has found its size
  root.scrollIntoView({block: 'start'});
  const svg = root.querySelector('.sp-drawn svg'), words = root.querySelector('.sp-words p');
  const controls = [...root.querySelectorAll('.sp-row')].filter(row => row.getClientRects().length).map(row =>
      row.querySelector('input[type=range], select, textarea, input:not([type=file]), button'));
  const pen = document.createElement('canvas').getContext('2d');
  for (const control of controls) {
    const name = control.closest('.sp-row').textContent.slice(0, 40);
    control.focus({preventScroll: true});
    control.scrollIntoView({block: 'nearest'});
    const view = there(outer), picture = there(svg), at = there(control);
    if (picture.top < view.top - 1 || picture.bottom > view.bottom + 1)
      faults.add(`at “${name}” the picture is out of sight, ${picture.top} to ${picture.bottom}, in ` +
                 `${view.top} to ${view.bottom}`);
    if (at.top < view.top - 1 || (at.bottom > view.bottom + 1 && at.height < 120))
      faults.add(`“${name}” does not come onto the screen`);
    if (phone) {
      const line = document.createRange();
      line.selectNodeContents(words);
      const first = line.getClientRects()[0];
      if (first.top < view.top - 1 || first.bottom > view.bottom)
        faults.add(`at “${name}” the answer's first line is out of sight`);
      if (at.top < picture.bottom - 1) faults.add(`“${name}” lies under the picture`);
    }
    if (control.tagName === 'SELECT') {
      const look = getComputedStyle(control);
      pen.font = `${look.fontWeight} ${look.fontSize} ${look.fontFamily}`;
      const room = control.clientWidth - parseFloat(look.paddingLeft) - parseFloat(look.paddingRight);
      if (pen.measureText(control.value).width > room + 1) faults.add(`“${control.value}” is cut off in its list`);
    }
  }
  for (const e of root.querySelectorAll('.sp-row label, .sp-words, .sp-words p, .sp-title, .sp-button'))
    if (e.getClientRects().length && getComputedStyle(e).position !== 'absolute' && e.scrollWidth > e.clientWidth + 1
        && getComputedStyle(e).display !== 'inline') faults.add(`cut off: ${e.textContent.slice(0, 60)}`);
  if (phone) {
    const seen = [...words.childNodes].filter(n => !(n.nodeType === 1 && getComputedStyle(n).position === 'absolute'));
    const text = seen.map(n => n.textContent).join('').trim();
    if (!/[.!?…:”)]$/.test(text)) faults.add(`the words end in mid-sentence: ${text.slice(-60)}`);
    const scale = there(svg).width / svg.viewBox.baseVal.width;
    for (const text of svg.querySelectorAll('text:not(.sp-card *)')) {   // a wall card is the sheet that it is
      const high = parseFloat(getComputedStyle(text).fontSize) * scale;
      if (high < smallest) faults.add(`letters of ${high.toFixed(1)} px: ${text.textContent}`);
    }
  }
  return [...faults];
}"""


@pytest.fixture(scope="module")
def rooms(browser):
    """A page of ours alone, with its own front end and what Python sends it, in the room that JupyterLab leaves it."""
    tabs = {}
    for phone, (width, height) in ((True, PHONE), (False, DESK)):
        size = {"width": 390, "height": 844} if phone else {"width": 1280, "height": 900}
        context = browser.new_context(viewport=size, has_touch=phone)
        tabs[phone] = context.new_page()
        script = look.JS.replace("export default front;", "window.front = front;")
        tabs[phone].set_content(f"""<!doctype html><style>body {{margin: 0}} {look.CSS}</style>
            <div style="overflow: auto; width: {width}px; height: {height}px" class="jp-WindowedPanel-outer"></div>
            <script>{script}</script>""")
    yield tabs
    for tab in tabs.values():
        tab.context.close()


SHOWN = """data => {
  const outer = document.querySelector('.jp-WindowedPanel-outer'), el = document.createElement('div');
  const after = document.createElement('div');
  after.style.height = '600px';
  outer.replaceChildren(el, after);
  outer.scrollTop = 0;
  front.render({model: {get: name => data[name], on() {}, send() {}}, el});
  return new Promise(done => setTimeout(done, 80)); }"""


def faults(tab, page, phone, **changed):
    live = Live(page)
    for name, value in changed.items():
        live.set(name, value)
    tab.evaluate(SHOWN, json.loads(json.dumps({
        "kind": "page", "spec": live.front.spec, "answer": live.answer, "more": {"n": 0, "html": ""}, "work": {}})))
    return tab.evaluate(FAULTS, [tab.query_selector(".sp-page"), phone, SMALLEST])


@pytest.mark.parametrize("page", FOUND.values(), ids=FOUND)
def test_on_a_phone_answer_picture_and_control_are_in_sight_together(rooms, page):
    found = faults(rooms[True], page, True)
    assert not found, "\n".join(found)


@pytest.mark.parametrize("page", FOUND.values(), ids=FOUND)
def test_at_a_desk_the_picture_stays_in_sight(rooms, page):
    found = faults(rooms[False], page, False)
    assert not found, "\n".join(found)


@pytest.mark.parametrize("phone", [True, False])
def test_jupyterlab_leaves_a_page_that_room(wide, narrow, address, phone):
    page, errors, _ = opened(narrow if phone else wide, address, "check_stickout.ipynb")
    go_to(page, 2)
    room = page.locator(".jp-WindowedPanel-outer").bounding_box()
    width, height = PHONE if phone else DESK
    assert room["width"] >= width and room["height"] >= height, room
    shown = page.locator(".sp-page").first
    assert shown.bounding_box()["width"] >= (378 if phone else 1000)
    found = page.evaluate(FAULTS, [shown.element_handle(), phone, SMALLEST])
    assert not found, "\n".join(found)
    assert not errors, errors
    lab.shut(page)


def test_what_is_out_of_sight_or_too_small_is_found(rooms):
    """The other side: a picture that is as tall as the screen, small letters, a list that is cut off."""
    tab, page = rooms[True], FOUND["check_stickout"]
    assert not faults(tab, page, True)
    root = tab.query_selector(".sp-page")
    for style, what in ((".sp-drawn svg{height:900px!important}", "out of sight"),
                        (".sp .small{font-size:13px!important}", "letters of"),
                        (".sp-top{position:static!important}", "out of sight"),
                        (".sp-page select{width:80px!important}", "cut off in its list")):
        added = tab.add_style_tag(content=style)
        assert any(what in fault for fault in tab.evaluate(FAULTS, [root, True, SMALLEST])), style
        added.evaluate("e => e.remove()")
