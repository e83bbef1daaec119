"""A chapter as a list that its notebook and its handout share: story, guess, pages, rule with its formula, example.

    heat = chapter("01_heat")
    heat.question, heat.pages, heat.rule, heat.formula, heat.numbers

The list is data/chapters/<name>.toml; title and question are the lesson's (lessons.py), the guess is the exercises'.
`tests/test_chapters.py` holds it against the notebook: every page and formula of the list is shown there.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

from ..core import tables
from ..core.formula import is_formula
from ..core.quantity import Refused
from . import exercises, lessons
from .practice import Task


@dataclass(frozen=True)
class Chapter:
    """One chapter's list. pages: "module.NAME" of each page the notebook shows, the handout's picture first."""

    name: str
    title: str
    question: str
    story: tuple[str, ...]
    guess: Task | None
    pages: tuple[str, ...]
    rule: str
    formula: Callable[..., Any]
    source: str
    basis: str
    example: str
    numbers: dict[str, float]        # the example's, in library units
    digits: int                      # figures of the numbers put in
    cautions: tuple[str, ...]
    readings: tuple[str, ...]        # columns of the table for one's own readings


def names() -> tuple[str, ...]:
    """Every chapter's name, in the workbook's order."""
    return tuple(exercises.chapters())


@cache
def chapter(name: str) -> Chapter:
    """One chapter's list. Raises Refused for a name there is not."""
    if name not in names():
        raise Refused(f"There is no chapter “{name}”. There are {', '.join(names())}.")
    raw, lesson = tables.toml(f"chapters/{name}"), lessons.lesson(name)
    return Chapter(name, lesson.title, lesson.question, tuple(raw["story"]), exercises.chapter(name).prediction,
        tuple(raw["pages"]), raw["rule"]["says"], labelled(raw["rule"]["formula"]), raw["source"], raw["basis"],
        raw["example"]["says"], {key: float(value) for key, value in raw["example"]["numbers"].items()},
        int(raw["example"].get("digits", 3)),
        tuple(raw["cautions"]), tuple(raw["readings"]))


def labelled(path: str) -> Callable[..., Any]:
    """The labelled formula "topic.name". Raises Refused where there is none."""
    topic, _, name = path.rpartition(".")
    found = getattr(importlib.import_module(f"springpass.{topic}"), name, None)
    if found is None or not is_formula(found):
        raise Refused(f"“{path}” is no labelled formula. Write its topic and its name, such as heat.length_change.")
    return found
