"""Handouts: a chapter as one page to print; its maths, its pages at chosen values, its exercises, and nothing from
outside.
"""

import json
import re
from html.parser import HTMLParser

import pytest

from springpass.core import files
from springpass.core.quantity import Quantity, Refused, Say
from springpass.printing import handout
from springpass.teaching import exercises
from springpass.teaching.practice import pose

NAMES = handout.names()
BAR = "03_boring_bar"


# ---- the page --------------------------------------------------------------------------------------


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
    looked = Looked(html)
    assert not looked.fetched and not looked.open
    assert not {"script", "link", "iframe", "object", "embed", "form", "details"} & set(looked.tags)
    assert not re.search(r"url\(|@import|https?://(?!www\.w3\.org/)", html)
    read = handout.chapter(name)
    assert html.count("<figure>") == len(read.pages) >= 3
    assert html.count('class="formula"') == sum(part.kind == "formula" for part in read.parts)
    for part in (
        "At the lathe",
        "Predict",
        "Why",
        "Worked example",
        "Rule of thumb",
        "Before you cut",
        "Exercises",
        "Sources",
    ):
        assert f"<h2>{part}" in html, part
    for exercise in exercises.chapter(name).exercises:
        assert exercise.title.replace("'", "&#x27;") in html
    assert ("@page{size:letter" if paper == "Letter" else "@page{size:A4") in html
    text = re.sub(r"<style>.*?</style>|<[^>]*>", " ", html, flags=re.S)
    assert not re.search(r"\bnan\b|\ue000|\$\\|\*\*|\]\(", text)
    assert "iecewise" not in text and "\\frac" not in text


@pytest.mark.parametrize("name", NAMES)
def test_solutions_stand_there_only_where_wanted(name):
    say, plain_page, key = Say(), handout.build(name), handout.build(name, solutions=True)
    for exercise in exercises.chapter(name).exercises:
        assert pose(exercise).solution(say) in key
        assert pose(exercise).solution(say) not in plain_page
    assert "<b>Solution" not in plain_page


def test_the_pages_stand_at_the_values_asked_for():
    settings = handout.read_settings("bend: stickout = 55\nmaterial = brass leaded", BAR)
    assert settings["bend"] == {"stickout": 55, "material": "brass leaded"}
    bend = next(page for page in handout.chapter(BAR).pages if page.name == "bend")
    answer = bend.answer(stickout=55, material="brass leaded")
    html = handout.build(BAR, settings)
    assert answer.svg in html and answer.words.split("\n")[0] in html
    assert bend.answer().svg not in html
    assert re.search(r"<td class=set><span>stickout</span> <b>55 mm</b>", html)
    assert len(re.findall("<td class=set><span>stickout</span>", html)) == 1, "one page alone"


def test_a_name_on_the_page_goes_before_a_name_in_the_library():
    """“weights hung at” is called stickout inside; a teacher who lets the bar out does not mean it."""
    assert set(handout.read_settings("stickout = 55", BAR)) == {"bend", "chatter", "turned_round"}


@pytest.mark.parametrize(
    ("line", "inch", "value"),
    [
        ("bend: stickout = 55", False, 55),
        ("Bend : STICKOUT=55,5", False, 55.5),
        ("bend: stickout = 2", True, 50.8),
        ("bend: stickout = 60 mm", True, 60),
        ("\n# a note\nbend: stickout = 55\n", False, 55),
    ],
)
def test_settings_as_people_type_them(line, inch, value):
    assert handout.read_settings(line, BAR, Say(inch))["bend"]["stickout"] == pytest.approx(value)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("stickout 55", "equals sign"),
        ("stickout = long", "is not a number"),
        ("stickout = -3", "Line 1"),
        ("depth of hole = 3", "There are"),
        ("nose: stickout = 3", "no page"),
        ("material = cheese", "Choose one of"),
        ("= 5", "equals sign"),
        ("stickout =", "Line 1"),
        ("bend: stickout = 55\nstickout = nan", "Line 2"),
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
        (lambda: handout.build(BAR, {"nose": {}}), "no page"),
        (lambda: handout.build(BAR, {"bend": {"stickout": 1e9}}), "How far does the bar bend"),
        (lambda: handout.build(BAR, {"bend": {"length": 3}}), "has no"),
        (lambda: handout.build(BAR, learner=""), "empty"),
    ):
        with pytest.raises(Refused, match=says):
            call()


def test_a_learners_own_numbers():
    html = handout.build(BAR, learner="ash <tree>", group="club")
    task = pose(exercises.chapter(BAR).exercises[0], "ash <tree>", "club", Say())
    assert task.asks.replace("'", "&#x27;") in html and "ash &lt;tree&gt;" in html


def test_a_damaged_notebook_is_said_and_a_foreign_tag_is_never_passed_on(tmp_path, monkeypatch):
    monkeypatch.setattr(handout, "folder", lambda: tmp_path)
    (tmp_path / f"{BAR}.ipynb").write_text("{", encoding="utf-8")
    with pytest.raises(Refused, match="damaged"):
        handout.build(BAR)
    bad = ('# T\n\n<script src="http://x/y.js"></script> <img src="http://x/y.png">\n\n![cat](http://x/cat.png) '
           '![up](../secret.png) [here](http://x/page)')
    (tmp_path / f"{BAR}.ipynb").write_text(
        json.dumps({"cells": [{"cell_type": "markdown", "source": bad}]}), encoding="utf-8"
    )
    html = handout.build(BAR)
    looked = Looked(html)
    assert not looked.fetched and "script" not in looked.tags and "img" not in looked.tags
    assert "cat" in html and "here (http://x/page)" in html
    (tmp_path / f"{BAR}.ipynb").unlink()
    with pytest.raises(Refused, match="not found"):
        handout.names()


def test_cells_are_read_never_run(tmp_path, monkeypatch):
    monkeypatch.setattr(handout, "folder", lambda: tmp_path)
    source = (f"from springpass.page import show\nopen({str(tmp_path / 'ran')!r}, 'w')\nprint('run')\nimport os; "
              "os.mkdir('x')")
    (tmp_path / f"{BAR}.ipynb").write_text(
        json.dumps({"cells": [{"cell_type": "code", "source": source, "outputs": []}]}), encoding="utf-8"
    )
    handout.build(BAR)
    assert not (tmp_path / "ran").exists()


def test_numbers_that_a_cell_worked_out_stand_as_they_were_stored():
    parts = [part for part in handout.chapter("01_heat").parts if part.kind == "text" and "aligned" in part.text]
    assert parts, "formula(…, thickness=thickness) cannot be read off the cell"
    assert "4.47" in handout.build("01_heat")


def test_it_is_kept_in_the_users_folder():
    path = handout.keep(BAR, {"bend": {"stickout": 55}}, Say(True), "Letter", solutions=True)
    assert path.parent == files.folder().resolve() or path.parent == files.folder()
    assert path.name == "handout_03_boring_bar_Letter_inch_solutions.html"
    assert path.read_text(encoding="utf-8").startswith("<!doctype html>")


def test_a_missing_markdown_reader_is_said(monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "mistune", None)
    with pytest.raises(Refused, match="mistune"):
        handout.build(BAR)


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


def test_the_page_says_what_will_be_written():
    from springpass.pages.handouts import NAMES as TITLES
    from springpass.pages.handouts import PAGE

    for title in TITLES:
        answer = PAGE.answer(chapter=title)
        found = handout.chapter(TITLES[title])
        assert (
            f"{len(found.pages)} pictures" in answer.words
            and f"{len(exercises.chapter(TITLES[title]).exercises)} exercises" in answer.words
        )
    assert "3 settings differ" in PAGE.answer(settings="stickout = 55").words
    assert PAGE.presses[0].does(**PAGE.values(settings="stickout = 55")).startswith("Saved as ")
    with pytest.raises(Refused, match="Line 1"):
        PAGE.presses[0].does(**PAGE.values(settings="stickout = far"))
