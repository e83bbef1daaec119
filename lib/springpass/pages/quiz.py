"""The closing quiz of a chapter: five questions for the whole class, one at a time on the screen, with their key."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from html import escape
from typing import Any

from ..core.quantity import Quantity, Say
from ..printing import class_sheets
from ..printing.pages_to_print import PAPERS
from ..screen.draw import WIDTH, Drawing
from ..screen.page import Choose, Page, Press, Slide, Tick, Write
from ..teaching import classroom, exercises
from ..teaching.classroom import QUESTIONS, Given, Row, right

TITLES = {one.title: name for name, one in exercises.chapters().items()}
USUAL = exercises.chapter("03_boring_bar").title
QuestionNumber = Quantity("n", "1", low=1, high=QUESTIONS, usual=1, whole=True, step=1, says="question of the quiz")
METRIC, INCH = "mm and µm", "inch and thou"


@dataclass(frozen=True)
class Asked:
    """A chapter's quiz and the question that stands on the screen."""

    given: Given
    number: int
    answer: bool
    paper: str

    @property
    def row(self) -> Row:
        return self.given.rows(self.given.learners[0])[self.number - 1]


def compute(chapter: str, group: str, number: int, answer: bool, units: str, paper: str) -> Asked:
    """Five questions for a class, the same for everybody. Raises Refused for a class word that cannot be one."""
    return Asked(classroom.quiz(TITLES[chapter], group, units == INCH), number, answer, paper)


def picture(c: Asked, say: Say) -> str:
    task = c.row.task
    lines = textwrap.wrap(task.asks, 40)
    options = [textwrap.wrap(option, 36) for option in task.options]
    answer = textwrap.wrap(f"✓ {right(task, c.given.say)}", 34) if c.answer else []
    d = Drawing(f"Question {c.number} of {QUESTIONS}", words(c, say), WIDTH,
        64 + 24 * len(lines) + 26 * sum(map(len, options)) + 30 * len(answer))
    d.text(10, 22, f"Question {c.number} of {QUESTIONS}", kind="small")
    y = 52.0
    for line in lines:
        d.text(10, y, line, kind="bold")
        y += 24
    for letter, option in zip("ABCDEFGH", options, strict=False):
        y += 4
        for i, line in enumerate(option):
            d.text(36, y, line)
            if not i:
                d.text(14, y, letter, kind="bold")
            y += 22
    for line in answer:
        d.text(10, y + 8, line, kind="bold")
        y += 28
    return d.svg()


def words(c: Asked, say: Say) -> str:
    task = c.row.task
    options = f" ({'; '.join(task.options)})" if task.options else ""
    answer = f"\nThe answer is {right(task, c.given.say)}." if c.answer else ""
    return f"Question {c.number} of {QUESTIONS}. {task.asks}{options}{answer}"


def more(c: Asked, say: Say) -> str:
    if not c.answer:
        return ""
    slips = "".join(f"<li>{escape(c.row.task.text_of(slip.value, c.given.say))} ({escape(slip.name)}): "
        f"{escape(slip.says)}</li>" for slip in c.row.task.slips)
    return c.row.task.solution(c.given.say) + (
        f"<p>Wrong answers that are often given:</p><ul>{slips}</ul>" if slips else "")


def write(**values: Any) -> str:
    """The quiz to hand out, and its key, into the user's folder."""
    c = compute(**values)
    return class_sheets.save(c.given, c.paper, solutions=True, name="quiz")


PAGE = Page(name="quiz", title="A closing quiz: five questions for the whole class",
    inputs=(Choose("chapter", list(TITLES), USUAL, "work"),
    Write("group", "", "work", "class word, if you like: another word, other numbers"),
    Slide("number", QuestionNumber, "view", "question"), Tick("answer", False, "view", "show the answer"),
    Choose("units", (METRIC, INCH), METRIC, "view", "units of the questions"),
    Choose("paper", tuple(PAPERS), "A4", "view")), compute=compute, picture=picture, words=words, more=more,
    presses=(Press("write quiz and key", write, "quiz_sheets and quiz_key, to print"),))
