"""A class on paper: every learner's sheet, and one key for the teacher.

    given = classroom.hand_out(["03_boring_bar"], count=12, group="evening 2")
    sheets(given)         # HTML: every learner's sheet on pages of its own
    key(given)            # HTML: one key, ordered by code, with the slips and what each usually means
    save(given)           # both into the user's folder, with PDFs where a Chromium is installed
"""

from __future__ import annotations

from collections.abc import Callable
from html import escape
from pathlib import Path

from ..core.quantity import Refused, Say
from ..screen.downloads import Saved
from ..teaching import exercises
from ..teaching.classroom import Given, Learner, Row, right, slips
from ..teaching.progress import printed
from . import pages_to_print

CAUTION = (
    "At a machine its manual, the workshop's rules and a qualified instructor come first. Spindle stopped before you "
    "measure; chuck key out.")
STYLE = Path(__file__).with_name("class_sheets.css").read_text(encoding="utf-8")


Heard = Callable[[int, int], None]   # told how far a long work is: how many are done, of how many


def quiet(done: int, full: int) -> None:
    """Nobody listens."""


def sheets(given: Given, paper: str = "A4", heard: Heard = quiet) -> str:
    """Every learner's sheet as one HTML page to print; each begins on an odd page and has its own page numbers.

    heard(done, all) is told how many sheets are made. Raises Refused for an unknown paper.
    """
    if paper not in WHOLE:
        raise Refused(f"“{paper}” paper is not known. Choose A4 or Letter.")
    made = []
    for done, one in enumerate(given.learners, 1):
        made.append(_sheet(given, one, paper))
        heard(done, len(given.learners))
    return pages_to_print.page("Exercises", "".join(made), paper, STYLE)


WHOLE = {"A4": 252.0, "Letter": 234.0}   # mm between the margins, the foot taken off
HEAD, FIRST, ROOM, LINE, LETTERS = 16.0, 20.0, 20.0, 5.4, 90   # mm; letters of a line, some to spare
NOTES = "Room for notes and readings"


def _tall(row: Row, say: Say) -> float:
    """How high a question stands on paper, mm, some to spare."""
    lines = -(-(len(row.exercise.heading) + len(row.task.asks) + 4) // LETTERS)
    if row.task.options:
        return LINE * (lines + -(-sum(len(option) + 6 for option in row.task.options) // LETTERS) + 1) + 7
    return LINE * lines + ROOM + 16


def _sheet(given: Given, learner: Learner, paper: str) -> str:
    """One learner's pages, an even number of them: printed on both sides, every learner begins on a new sheet."""
    told = (f"the word <b>{escape(learner.name)}</b>" + (
        f" and the class <b>{escape(given.group)}</b>. Type both" if given.group else ". Type it"))
    leaves: list[list[str]] = [[f'<p class="small">Your numbers belong to {told} into the workbook to check your '
        f"answers there. Write the unit behind the number. {CAUTION}</p>"]]
    left, before = WHOLE[paper] - HEAD - FIRST, ""
    for row in given.rows(learner):
        chapter = row.exercise.name.split("/")[0]
        heading = f"<h2>{escape(exercises.chapter(chapter).title)}</h2>" if chapter != before else ""
        need = _tall(row, given.say) + (14 if heading else 0)
        if need > left:
            leaves.append([])
            left = WHOLE[paper] - HEAD
        leaves[-1].append(heading + printed(row.number, row.exercise.heading, row.task, {}, given.say, False, True))
        left, before = left - need, chapter
    if len(leaves) % 2:
        leaves.append([f'<p class="small">{NOTES}</p><div class="squared"></div>'])
    return "".join(f'<article class="{paper.casefold()}"><div class="top"><span><b>{escape(learner.name)}</b></span>'
        f'<span>Sheet <span class="code">{learner.code}</span></span></div>{"".join(leaf)}<footer><span>Exercises: '
        f"{escape(given.titles if len(given.titles) < 60 else f'{len(given.chapters)} chapters')}</span><span>Sheet "
        f"{learner.code}, page {number} of {len(leaves)}</span></footer></article>"
        for number, leaf in enumerate(leaves, 1))


def key(given: Given, paper: str = "A4", *, solutions: bool = False) -> str:
    """One key for the teacher, ordered by the sheets' codes: answers, what counts as right, what a wrong one means.

    solutions: worked ones too, once for the class, with the first sheet's numbers. Raises Refused for an unknown paper.
    """
    in_class = f", class {escape(given.group)}" if given.group else ""
    top = (
        f'<h1>Key: {escape(given.titles)}</h1><div class="top"><span>{len(given.learners)} sheets{in_class}</span>'
        f"<span>{'inch and thou' if given.say.inch else 'mm and µm'}</span></div>"
        '<p class="small">Ordered by the code on the sheet. “±” is how far off still counts as right. A wrong answer '
        "near one of the slips shows which step went astray. For what was measured, any plausible reading is right.</p>"
    )
    blocks = [_block(given, one) for one in sorted(given.learners, key=lambda one: one.code)]
    return pages_to_print.page("Key for the teacher", top + "".join(blocks) + (_worked(given) if solutions else ""),
        paper, STYLE)


def _worked(given: Given) -> str:
    """Every exercise worked once, with the numbers of the first learner."""
    first = given.learners[0]
    return (f'<h2>Worked, with the numbers of sheet <span class="code">{first.code}</span></h2>'
        + "".join(f"<section><p><b>{row.number}. {escape(row.exercise.heading)}</b> {escape(row.task.asks)}</p>"
        f"{row.task.solution(given.say)}</section>" for row in given.rows(first)))


def _block(given: Given, learner: Learner) -> str:
    rows = given.rows(learner)
    lines = "".join(f"<tr><td>{row.number}</td><td>{escape(row.exercise.title)}</td>"
        f"<td><b>{escape(right(row.task, given.say))}</b></td>"
        f'<td class="slips">{escape(slips(row.task, given.say))}</td></tr>' for row in rows)
    return (f'<div class="{"" if len(rows) > 14 else "who"}"><h2><span '
        f'class="code">{learner.code}</span> · {escape(learner.name)}</h2>'
        f'<table class="key"><tbody>{lines}</tbody></table></div>')


def save(given: Given, paper: str = "A4", *, solutions: bool = False, heard: Heard = quiet,
        name: str = "class") -> str:
    """Sheets and key (<name>_sheets, <name>_key) into the user's folder (`files.put`), as PDF too where
    that can be; says so.

    Raises Refused.

    heard(done, all) is told how many sheets are made; nothing is saved before all are.
    """
    text = sheets(given, paper, heard)
    written = (pages_to_print.save(f"{name}_sheets", text),
        pages_to_print.save(f"{name}_key", key(given, paper, solutions=solutions)))
    pdfs = [pages_to_print.to_pdf(place) for place in written]
    also = (f"PDFs lie beside them: {pdfs[0].path.name}, {pdfs[1].path.name}." if pdfs[0].path and pdfs[1].path
        else next(made.says for made in pdfs if not made.path))
    return Saved(f"Written: {written[0].name} and {written[1].name}, in {written[0].parent}. {also}", *written,
        *(made.path for made in pdfs if made.path))
