"""Predict, then see: the page answers the guess. It opens short of the answer and shows the guess beside it."""

import re

import pytest

from springpass.pages import catalogue
from springpass.screen import page as screen
from springpass.screen.page import Live
from springpass.screen.questions import Predict, predict
from springpass.teaching import chapters, exercises

ANSWERED = [one for one in exercises.chapters().values() if one.seen]


@pytest.fixture(autouse=True)
def nothing_asked(monkeypatch):
    monkeypatch.setattr(screen, "asked", {})


def wrong(task):
    return next(o for i, o in enumerate(task.options) if i != task.answer) if task.options else "1234"


@pytest.mark.parametrize("one", ANSWERED, ids=lambda one: one.name)
def test_the_page_answers_the_guess(one):
    task, seen = one.prediction, one.seen
    shown = catalogue.page_named(seen.page)
    assert any(shown is catalogue.page_named(page.name) for page in map(_page, chapters.chapter(one.name).pages))
    assert seen.shows in shown.answer(**seen.opens | seen.at).words
    predict(one.name)
    asked = screen.asked[shown.name]
    live = Live(shown)
    assert not live.stands_at(seen.at) and live.answer["guess"] == ""
    asked.guess(wrong(task))
    screen._open[shown.name] = live
    asked.guess(wrong(task))
    told = live.answer["guess"]
    assert "Your guess: " in told and re.search("(?:Set|Tick|Untick) “", told) and "You said" not in told + asked.told
    for name, value in seen.at.items():
        live.set(name, value)
    assert "You said" in live.answer["guess"] and task.reveals.split()[0] in live.answer["guess"]
    live.use(True)
    assert live.stands_at(seen.at)
    asked.guess("")
    assert live.answer["guess"] == ""


def _page(place):
    import importlib

    module, name = place.split(".")
    return getattr(importlib.import_module(f"springpass.pages.{module}"), name)


def test_a_page_that_nobody_asks_of_stands_where_it_always_does():
    shown = catalogue.page_named(ANSWERED[0].seen.page)
    live = Live(shown)
    assert live.asked is None and live.values == shown.usual() and live.answer["guess"] == ""


def test_how_to_get_there_is_said_in_the_page_s_own_units():
    live = Live(catalogue.page_named("bend"))
    assert live.how_to({"stickout": 80.0}) == "Set “stickout” to 80 mm."
    live.use(True)
    assert re.fullmatch(r"Set “stickout” to 3\.1\d* inch\.", live.how_to({"stickout": 80.0}))


def test_without_a_page_the_answer_comes_at_once():
    one = exercises.chapter("03_boring_bar")
    import dataclasses

    asked = Predict(dataclasses.replace(one, seen=None))
    asked.guess("four times")
    assert "You said" in asked.told
