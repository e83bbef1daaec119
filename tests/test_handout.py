"""Handouts: two sheets a chapter; the guess, a page at chosen values, the rule, an example, nothing from outside."""

import re
from html import escape
from html.parser import HTMLParser

import pytest

from springpass.core import files
from springpass.core.mathml import formula_mathml
from springpass.core.quantity import Quantity, Refused, Say
from springpass.pages import handouts
from springpass.printing import handout
from springpass.screen import draw

NAMES = handout.names()
BAR = "03_boring_bar"
LENGTH = Quantity("L", "mm", low=0, high=100, usual=50, says="a length")


class Looked(HTMLParser):
    """Tags left open, and every address that a browser would fetch."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.fetched: list[str] = []
        self.tags: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        for name, value in attrs:
            if name in ("src", "href", "data", "action", "srcset", "poster", "xlink:href") and not (
                value or ""
            ).startswith("data:"):
                self.fetched.append(f"{tag} {name}={value}")
        if tag not in ("meta", "img", "br", "hr", "mspace", "input", "link"):
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append(tag)

    def handle_endtag(self, tag):
        if tag in self.open:
            while self.open.pop() != tag:
                pass


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("say", "paper", "solutions"), [(Say(), "A4", False), (Say(True), "Letter", True)])
def test_a_chapter_on_paper(name, say, paper, solutions):
    html = handout.build(name, say=say, paper=paper, solutions=solutions)
    made, page = handout.chapter(name), handout.page(name)
    looked = Looked(html)
    assert not looked.fetched and not looked.open
    assert not {"script", "link", "iframe", "object", "embed", "form", "details", "img"} & set(looked.tags)
    assert not re.search(r"url\(|@import|https?://(?!www\.w3\.org/)", html)
    assert html.count('<section class="sheet">') == 2 and html.count("<figure") == 1
    answer = page.answer(say)
    assert draw.without_handles(answer.svg) in html
    said = (made.title, made.question, made.guess.asks, page.title, made.rule, made.example)
    for part in (*said, *made.story, *made.cautions, *made.readings, *answer.words.split("\n")):
        assert escape(part) in html, part
    assert formula_mathml(made.formula) in html
    assert formula_mathml(made.formula, made.numbers, below=False, digits=made.digits) in html
    assert (escape(made.guess.reveals) in html) == solutions
    assert f"@page{{size:{'letter' if paper == 'Letter' else 'A4'}}}" in html and f'<body class="{paper}">' in html
    text = re.sub(r"<style>.*?</style>|<[^>]*>", " ", html, flags=re.S)
    assert not re.search(r"\bnan\b|\bNone\b|\*\*|\]\(|iecewise|\\frac", text)


def test_nothing_of_a_notebook_is_read(tmp_path, monkeypatch):
    """A cell of one's own, or no notebook beside the library as on the site without installation, changes nothing."""
    there = handout.build(BAR)
    monkeypatch.chdir(tmp_path)
    assert handout.build(BAR) == there
    import pathlib

    def none(path, *_, **__):
        raise AssertionError(f"{path} was read")

    with monkeypatch.context() as patch:
        patch.setattr(pathlib.Path, "read_text", none)
        assert handout.build(BAR) == there


def test_the_page_stands_at_the_values_asked_for():
    settings = handout.read_settings("stickout = 55\nmaterial = brass CuZn39Pb3", BAR)
    assert settings == {"stickout": 55, "material": "brass CuZn39Pb3"}
    page = handout.page(BAR)
    answer = page.answer(**settings)
    html = handout.build(BAR, settings)
    assert draw.without_handles(answer.svg) in html and escape(answer.words) in html
    assert draw.without_handles(page.answer().svg) not in html
    assert re.findall(r"<td class=set><span>(.*?)</span> <b>(.*?)</b>", html) == [
        ("material", "brass CuZn39Pb3"), ("stickout", "55 mm")]


def test_a_name_on_the_page_goes_before_a_name_in_the_library(monkeypatch):
    """An input called “far” inside may be shown as “near”, and another the other way round: the page's word counts."""
    from springpass.screen.page import Page, Slide

    page = Page(name="x", title="X", compute=lambda **values: None, picture=lambda *_: "", words=lambda *_: "",
                inputs=(Slide("far", LENGTH, label="near"), Slide("near", LENGTH, label="far")))
    monkeypatch.setattr(handout, "page", lambda name: page)
    assert handout.read_settings("near = 55", BAR) == {"far": 55}


@pytest.mark.parametrize(
    ("line", "inch", "value"),
    [
        ("stickout = 55", False, 55),
        ("  STICKOUT=55,5", False, 55.5),
        ("stickout = 2", True, 50.8),
        ("stickout = 60 mm", True, 60),
        ("\n# a note\nstickout = 55\n", False, 55),
    ],
)
def test_settings_as_people_type_them(line, inch, value):
    assert handout.read_settings(line, BAR, Say(inch))["stickout"] == pytest.approx(value)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("stickout 55", "Line 1 of the settings"),
        ("stickout = long", "Line 1.*not a number"),
        ("stickout = -3", "Line 1"),
        ("depth of hole = 3", "Line 1.*There are"),
        ("material = cheese", "Line 1.*Choose one of"),
        ("= 5", "Line 1 of the settings"),
        ("stickout =", "Line 1"),
        ("stickout = 55\nstickout = nan", "Line 2"),
        ("🙂 = 🙂", "There are"),
    ],
)
def test_settings_that_cannot_be_read_get_a_sentence(line, says):
    with pytest.raises(Refused, match=says):
        handout.read_settings(line, BAR)


def test_wrong_chapters_papers_and_values_get_a_sentence():
    for call, says in (
        (lambda: handout.build("11_gears"), "no chapter"),
        (lambda: handout.build(BAR, paper="A3"), "A4 or Letter"),
        (lambda: handout.build(BAR, {"stickout": 1e9}), "How far does the bar bend"),
        (lambda: handout.build(BAR, {"length": 3}), "has no"),
    ):
        with pytest.raises(Refused, match=says):
            call()


def test_it_is_kept_in_the_users_folder():
    path = handout.keep(BAR, {"stickout": 55}, Say(True), "Letter", solutions=True)
    assert path.parent == files.folder().resolve()
    assert path.name == "handout_03_boring_bar_Letter_inch_solutions.html"
    assert path.read_text(encoding="utf-8").startswith("<!doctype html>")


def test_a_value_is_shown_with_its_unit():
    from springpass.screen.page import Load, Slide, Tick, Write

    angle = Slide("angle", Quantity("a", "deg", low=0, high=90, usual=45, says="an angle"))
    shown = [
        handout.shown_value(what, value, Say())
        for what, value in (
            (angle, 45.0),
            (Tick("t"), True),
            (Tick("t"), False),
            (Write("w"), ""),
            (Write("w"), "a\nb\n\nc"),
            (Load("l", ".csv"), None),
        )
    ]
    assert shown == ["45°", "yes", "no", "empty", "a; b; c", "no file"]


@pytest.mark.parametrize("title", handouts.NAMES)
def test_the_page_says_what_will_be_written(title):
    result = handouts.PAGE.answer(chapter=title, paper="Letter", solutions=True).result
    name = handouts.NAMES[title]
    assert (result.title, result.page) == (handout.chapter(name).title, handout.page(name).title)
    assert result.file == f"handout_{name}_Letter_solutions.html" and result.changed == ()


def test_the_pages_buttons_write():
    page = handouts.PAGE
    changed = page.answer(settings="stickout = 55\nmaterial = brass CuZn39Pb3").result.changed
    assert dict(changed) == {"stickout": "55 mm", "material": "brass CuZn39Pb3"}
    said = page.presses[0].does(**page.values(settings="stickout = 55"))
    assert [path.name for path in said.files] == ["handout_03_boring_bar_A4.html"] and said.files[0].exists()
    with pytest.raises(Refused, match="Line 1"):
        page.presses[0].does(**page.values(settings="stickout = far"))
