"""Exercise sheets for a class: each learner's own numbers and code, and one key."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import Any

from ..core.quantity import Quantity, Say
from ..printing import class_sheets
from ..printing.pages_to_print import PAPERS
from ..screen.draw import WIDTH, Drawing
from ..screen.page import Choose, Page, Press, Slide, Tick, Write
from ..teaching import classroom
from ..teaching.classroom import LEVELS, STEPS, Given

LearnerCount = Quantity("n", "1", low=1, high=40, usual=12, whole=True, step=1, says="learners who get a sheet each")

ANSWERS, WORKED = "answers and slips", "worked solutions too"
METRIC, INCH = "mm and µm", "inch and thou"
ACROSS, WIDE, HIGH = 5, 89.0, 66.0


@dataclass(frozen=True)
class ToPrint:
    """What is handed out, and how it is printed."""

    given: Given
    paper: str
    solutions: bool   # the key works them out too


def compute(
    chapters: str, level: str, hands: bool, count: int, names: str, group: str, key: str, units: str, paper: str
) -> ToPrint:
    """Exercise sheets for a class and their key, as files to keep. Raises Refused for names that cannot be read."""
    given = classroom.hand_out(classroom.chosen(chapters), level=level, hands=hands, count=count, names=names,
        group=group, inch=units == INCH)
    return ToPrint(given, paper, key == WORKED)


def many(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def picture(c: ToPrint, say: Say) -> str:
    given = c.given
    rows = -(-(len(given.learners) + 1) // ACROSS)
    d = Drawing("The sheets and their key", words(c, say), WIDTH, 30 + rows * HIGH)
    d.text(8, 18, "a code on each sheet; the key is ordered by code", kind="small halo")
    for i, one in enumerate((*given.learners, None)):
        x, y = 8 + (i % ACROSS) * WIDE, 28 + (i // ACROSS) * HIGH
        d.rect(x, y, WIDE - 8, HIGH - 8, "fill-a" if one is None else "paper", "ink", 9 if one is None else 0)
        d.text(x + (WIDE - 8) / 2, y + 21, one.code if one else "key", "middle",
            "bold halo" if one is None else "small bold")
        for line in range(3 if one else 0):
            d.line([x + 9, x + WIDE - 17], [y + 33 + 9 * line] * 2, "faint")
    return d.svg()


def words(c: ToPrint, say: Say) -> str:
    given = c.given
    of_each = many(len(given.exercises), "exercise")
    first = (f"{many(len(given.learners), 'sheet')} on {given.titles}, {of_each} each, every sheet with numbers of its "
        "own, and one key ordered by code.")
    alike = given.alike()
    if alike:
        pair = f"“{alike[0][0]}” and “{alike[0][1]}”"
        rest = f", and {many(len(alike) - 1, 'other')}," if len(alike) > 1 else ""
        first = (
            f"{many(len(given.learners), 'sheet')} on {given.titles}, {of_each} each, and one key ordered by code. So "
            "few exercises have few numbers to draw from: "
            f"{pair}{rest} got the very same. Take more exercises, or another class word.")
    return (f"{first}\nThe same words make the same sheets again, on any computer. Write them, then print: {c.paper}.")


def more(c: ToPrint, say: Say) -> str:
    given = c.given
    rows = "".join(f"<tr><td>{number}</td><td>{escape(one.title)}</td>"
        f"<td>{STEPS[one.level]}{', to do by hand' if one.hands else ''}</td>"
        f"<td>{escape(classroom.right(row.task, given.say))}</td></tr>" for number,
        (one, row) in enumerate(zip(given.exercises, given.rows(given.learners[0]), strict=True), 1))
    codes = ", ".join(f"<b>{one.code}</b>" for one in sorted(given.learners, key=lambda one: one.code))
    return (f"<p>In the key's order: {codes}. The key says whose each "
        "is.</p><table><tr><th></th><th>exercise</th><th>kind</th><th>answer on sheet "
        f"{given.learners[0].code}</th></tr>" f"{rows}</table>")


def write(heard: class_sheets.Heard = class_sheets.quiet, **values: Any) -> str:
    """The sheets and the key into the user's folder."""
    wanted = compute(**values)
    return class_sheets.save(wanted.given, wanted.paper, solutions=wanted.solutions, heard=heard)


PAGE = Page(name="class_sheets", title="Exercise sheets for a class",
    inputs=(Write("chapters", "3", "work", "chapters, such as 3 or 1, 4-6, or all; single exercises as 1 (1, 6)"),
    Choose("level", tuple(LEVELS), "all levels", "work"),
    Tick("hands", True, "work", "with those to do at a lathe or a kitchen table"),
    Slide("count", LearnerCount, "work", "learners"),
    Write("names", "", "work", "their names or words, if you like, one a line", rows=4),
    Write("group", "", "work", "class word, if you like: another word, other numbers"),
    Choose("key", (ANSWERS, WORKED), ANSWERS, "view", "the key shows"),
    Choose("units", (METRIC, INCH), METRIC, "view", "units on the sheets"),
    Choose("paper", tuple(PAPERS), "A4", "view")), compute=compute, picture=picture, words=words, more=more,
    presses=(
    Press("write sheets and key", write,
    "writes class_sheets.html and class_key.html into your spring_pass folder, and PDFs where a Chromium is "
    "installed", long=True),))
