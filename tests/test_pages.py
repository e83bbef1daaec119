"""Every page, without a browser: opened, random settings, inch, and the widgets. Ends, options and wrong input are in
test_hostile_pages.
"""

import importlib
import json
import pkgutil
import re
import threading
import time
import xml.etree.ElementTree as ET

import hostile
import numpy as np
import pytest

import springpass.pages
from springpass.boring_bar.quantities import Stickout
from springpass.core.quantity import Refused, Say
from springpass.screen import page as pg
from springpass.screen.draw import Chart
from springpass.screen.page import Choose, Live, Page, Press, Slide, Tick
from springpass.teaching import chapters

FOUND: dict[str, Page] = {}
for _, module_name, _ in pkgutil.iter_modules(springpass.pages.__path__):
    module = importlib.import_module(f"springpass.pages.{module_name}")
    for value in vars(module).values():
        if isinstance(value, Page):
            FOUND.setdefault(value.name, value)
PAGES = list(FOUND.values())


def sound(answer: pg.Answer) -> None:
    """An answer a reader can use: true sentences, a picture that parses, no number that is none."""
    words = pg.head(answer)
    assert words.strip() and words.rstrip()[-1] in ".!?)”", words
    for text in (words, re.sub(r"<[^>]*>", " ", answer.more)):
        text = re.sub(r"“[^”]*”", "", text)   # what was typed is quoted as it was
        assert not re.search(r"\bnan\b|\binf\b|None|\bunknown\b|np\.|Likely\(|array\(", text), text
    ET.fromstring(answer.svg)
    assert not re.search(
        r"nan|inf(?!o|e|l)",
        re.sub(
            r"<style>.*?</style>|<title>.*?</title>|<desc>.*?</desc>|<text.*?</text>", "", answer.svg, flags=re.DOTALL
        ),
    )
    assert "<title>" in answer.svg and 'role="img"' in answer.svg


def tried(page: Page, say: Say | None = None, **changed) -> bool:
    """True if the page answers soundly; False if it refuses and meant to."""
    answer = hostile.answered(lambda: page.answer(say, **changed))
    if answer is not None:
        sound(answer)
    return answer is not None


def test_pages_are_found_and_named_apart():
    assert len(PAGES) >= 8
    assert len({page.title for page in PAGES}) == len(PAGES)


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_a_page_opens_in_mm_and_in_inch(page):
    assert tried(page)
    assert tried(page, Say(True))
    still = page.still()
    assert set(still) == {"image/svg+xml", "text/plain"}
    ET.fromstring(still["image/svg+xml"])


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_random_settings(page):
    dice = np.random.default_rng(11)
    answered = 0
    for _ in range(30):
        values = {}
        for what in page.inputs:
            if dice.random() < 0.5:
                continue   # leave it at its usual value, or most settings would contradict each other
            if isinstance(what, Slide):
                q = what.quantity
                draw = (
                    q.low + (q.high - q.low) * dice.random()
                    if not q.log
                    else float(np.exp(dice.uniform(np.log(q.low), np.log(q.high))))
                )
                values[what.name] = round(draw) if q.whole else draw
            elif isinstance(what, Choose):
                values[what.name] = what.options[dice.integers(len(what.options))]
        answered += tried(page, Say(bool(dice.integers(2))), **values)
    assert answered or all(not isinstance(what, Slide) for what in page.inputs)


def test_an_input_that_is_not_there_is_refused():
    hostile.refused(lambda: PAGES[0].answer(no_such_input=1))


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_the_widgets_follow_what_is_typed_and_slid(page):
    live = Live(page)
    slides = [what for what in page.inputs if isinstance(what, Slide)]
    for what in slides[:3]:
        q = what.quantity
        target = q.low + 0.37 * (q.high - q.low) if not q.log else float(np.sqrt(q.low * q.high))
        target = float(round(target)) if q.whole else target
        target = min(target, page.tops(live._result).get(what.name, target))   # some end where the answer says
        typed = f"{q.to_shown(target):.6g}".replace(".", ",")
        live.typed(what.name, typed)
        assert live.values[what.name] == pytest.approx(target, rel=1e-4, abs=1e-9)
        kept = live.values[what.name]
        live.typed(what.name, "rubbish")
        assert live.values[what.name] == kept, "the last good value stands"
        assert live.answer["at"][what.name]["text"] == "rubbish", "what was typed is not taken away"
        assert "is not a number" in live.answer["at"][what.name]["note"]
        assert live.answer["state"] == "refused"
        live.set(what.name, what.usual)
        assert live.answer["at"][what.name]["note"] == "" and live.answer["state"] == "good"
    live.use(True)
    live.use(False)
    for what in slides:
        assert live.values[what.name] == pytest.approx(what.usual)


def test_several_wishes_come_in_one_message():
    """While an answer is under way the newest wish of each input is kept; all go together."""
    live = Live(FOUND["check_stickout"])
    live.hear({"n": 7, "wishes": {"stickout": {"slid": 41}, "tolerance": {"slid": 25}, "holder": {"value": "no such"}}})
    assert live.values["stickout"] == pytest.approx(41) and live.values["tolerance"] == pytest.approx(0.025)
    assert live.answer["n"] == 7 and list(live.notes) == ["holder"]


def test_one_step_further_is_worked_out_while_the_hand_rests(monkeypatch):
    """It is used once it is asked for; not after a button, in inch, or when it is old; a failure is said when asked."""
    reckoned = []

    def compute(stickout):
        reckoned.append(round(stickout, 6))
        if stickout > 60:
            raise Refused("Too far.")
        return stickout

    page = Page("p", "P", (Slide("stickout", Stickout),), compute, lambda r, s: f"<svg>{r:.1f}</svg>",
                lambda r, s: s.length(r), presses=(Press("go", lambda stickout: "Done."),))
    live, n, sent = Live(page), 0, []
    monkeypatch.setattr(live.front, "send", sent.append)

    def moved(to, ahead=None):
        nonlocal n
        n += 1
        reckoned.clear()
        live.hear({"n": n, "wishes": {"stickout": {"slid": to}}})
        if ahead:
            live.hear({"ahead": "stickout", "slid": ahead})
        assert live.answer["picture"] == f"<svg>{to:.1f}</svg>" or live.answer["state"] == "refused"
        return reckoned

    assert moved(41, ahead=42) == [41, 42]
    assert live.answer["picture"] == "<svg>41.0</svg>", "shown is what was asked for"
    assert sent == [{"ready": {"name": "stickout", "slid": 42, "head": "", "words": "42 mm",
        "picture": "<svg>42.0</svg>"}}]
    assert moved(42) == [] and live.values["stickout"] == 42
    assert moved(41, ahead=42) == [41, 42] and moved(43) == [43], "another step than the one foreseen"
    moved(41, ahead=42)
    live.press("go")
    assert moved(42) == [42], "a button may have changed what is remembered"
    moved(41, ahead=42)
    live.use(True)
    assert moved(42) == [42]
    live.use(False)
    moved(41, ahead=42)
    monkeypatch.setattr(pg, "FRESH", -1.0)
    assert moved(42) == [42]
    sent.clear()
    moved(60, ahead=61)
    assert live.answer["state"] == "good" and not sent, "what will be refused is not sent ahead"
    moved(61)
    assert live.answer["state"] == "refused" and "Too far." in live.answer["note"]


def test_tables_are_worked_out_when_they_are_asked_for_and_not_before():
    asked = []
    page = Page("p", "P", (), lambda: 1, lambda r, s: "<svg></svg>", lambda r, s: "w",
                lambda r, s: asked.append(r) or "T")
    live = Live(page)
    live.hear({"n": 1, "wishes": {}})
    assert not asked and live.front.more["n"] != 1
    live.hear({"more": True, "n": 1})
    assert asked == [1] and live.front.more == {"n": 1, "html": "T"}


def test_a_page_shown_again_closes_the_one_before(monkeypatch):
    from ipywidgets.widgets import widget

    monkeypatch.setattr("IPython.display.display", lambda *_, **__: None)
    pg.show(FOUND["check_stickout"])
    count = len(widget._instances)
    for _ in range(5):
        pg.show(FOUND["check_stickout"])
    assert len(widget._instances) == count
    assert list(pg._open).count("check_stickout") == 1


def test_a_long_work_says_how_far_it_is_and_can_be_stopped():
    saved, running = [], threading.Event()

    def does(heard):
        for i in range(10_000):
            heard(i, 10_000)
            running.set()
            time.sleep(0.001)
        saved.append(True)
        return "Saved."

    presses = (Press("go", does, long=True),)
    page = Page("p", "P", (), lambda: 1, lambda r, s: "<svg></svg>", lambda r, s: "w", presses=presses)
    live = Live(page)
    live.hear({"press": "go"})
    assert running.wait(5)
    live.hear({"stop": True})
    for _ in range(500):
        if "go" in live.said:
            break
        time.sleep(0.01)
    assert "Stopped" in live.said["go"] and not saved
    assert live.front.work["label"] == "go" and live.front.work["all"] == 10_000


def test_an_unexpected_mishap_is_said_on_the_page_not_swallowed(caplog):
    def broken(**values):
        raise ZeroDivisionError("deep inside")

    page = Page("broken", "A page that breaks", (), broken, lambda r, s: "", lambda r, s: "")
    live = Live(page)
    assert live.answer["state"] == "broken"
    assert "an error of the workbook (ZeroDivisionError)" in live.answer["note"]
    assert "deep inside" not in live.answer["note"] and "deep inside" in caplog.text and "Traceback" in caplog.text


def test_inputs_keep_the_order_of_the_trade():
    with pytest.raises(ValueError, match="work, tool, holder, cut, view"):
        Page(
            "x",
            "x",
            (Tick("a", group="cut"), Tick("b", group="work")),
            lambda **v: None,
            lambda r, s: "",
            lambda r, s: "",
        )


GRIPPED = {   # beside each chapter's main picture
    "depth", "cutting_speed", "face_groove", "undercut", "taper_setting", "taper_blue", "tailstock_over",
    "inside_thread", "thread_dial", "thread_gauge"}
MAIN = ["start.PAGE", "check_stickout.PAGE", *(chapters.chapter(name).pages[0] for name in chapters.names())]


@pytest.mark.parametrize("place", MAIN)
def test_each_chapters_main_picture_can_be_taken_hold_of(place):
    module, name = place.split(".")
    page = getattr(importlib.import_module(f"springpass.pages.{module}"), name)
    assert "data-handle" in page.answer().svg


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_what_can_be_taken_hold_of_is_an_input(page):
    answer = page.answer()
    handles = [mark.attrib for mark in ET.fromstring(answer.svg).iter() if "data-handle" in mark.attrib]
    known = {what.name: what for what in page.inputs}
    for handle in handles:
        what = known[handle["data-handle"]]
        if isinstance(what, Choose):
            stops = json.loads(handle["data-stops"])
            assert what.usual in stops and set(stops) <= set(what.options)
        else:
            assert isinstance(what, Slide) and float(handle["data-per"]) != 0
    assert handles or page.name not in GRIPPED
    assert "data-handle" not in page.still()["image/svg+xml"], "in a still nothing can be moved"


@pytest.mark.parametrize("inch", [False, True])
def test_a_handle_says_what_one_pixel_means(inch):
    """Moved by so many pixels, the input is where the picture then shows it: in the chart of the temperature."""
    page = FOUND["heat_reading"]

    def place(**values):
        picture = ET.fromstring(page.answer(Say(inch), **values).svg)
        marks = [mark.attrib for mark in picture.iter() if "data-handle" in mark.attrib]
        return float(marks[0]["cx"]), float(marks[0]["data-per"])

    (x, per), (to, _) = place(part=35.0), place(part=45.0)
    assert 35 + (to - x) * per == pytest.approx(45, abs=0.05)


def test_what_is_counted_has_whole_numbers_on_its_axis():
    for last in (1.6, 2.6, 6.7, 30.5, 400.0):
        svg = Chart("t", x=("pass", "", 0.4, last), y=("y", "", 0, 1), counted=True).svg()
        across = re.findall(r'text-anchor="middle"[^>]*>([^<]+)<', svg)
        assert across and all(text.isdigit() for text in across), across


def test_no_two_pages_share_a_name():
    """A second page of the same name would be missing from the catalogue, and so from every test here."""
    for _, name, _ in pkgutil.iter_modules(springpass.pages.__path__):
        for thing in vars(importlib.import_module(f"springpass.pages.{name}")).values():
            if isinstance(thing, Page):
                assert FOUND[thing.name] is thing, thing.name
