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

from ..screen.downloads import Saved
from ..teaching import exercises
from ..teaching.classroom import Given, Learner, right, slips
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
    """Every learner's sheet as one HTML page to print; each begins on a page of its own.

    heard(done, all) is told how many sheets are made. Raises Refused for an unknown paper.
    """
    made = []
    for done, one in enumerate(given.learners, 1):
        made.append(_sheet(given, one))
        heard(done, len(given.learners))
    return pages_to_print.page("Exercises", "".join(made), paper, STYLE)


def _sheet(given: Given, learner: Learner) -> str:
    word_of = f"the word <b>{escape(learner.word)}</b>" + (
        f" and the class <b>{escape(given.group)}</b>. Type both" if given.group else ". Type it")
    body, before = [], ""
    for row in given.rows(learner):
        chapter = row.exercise.name.split("/")[0]
        if chapter != before:
            body.append(f"<h2>{escape(exercises.chapter(chapter).title)}</h2>")
            before = chapter
        body.append(printed(row.number, row.exercise.heading, row.task, {}, given.say, False))
    return (f'<article><h1>Exercises</h1><div class="top"><span>Name <span class="name">&nbsp;</span></span>'
        f'<span>Sheet <span class="code">{learner.code}</span></span></div>'
        f'<p class="small">Your numbers belong to {word_of} into the workbook to check your '
        f"answers there. Write the unit behind the number. {CAUTION}</p>{''.join(body)}</article>")


def key(given: Given, paper: str = "A4", *, solutions: bool = False) -> str:
    """One key for the teacher, ordered by the sheets' codes: answers, what counts as right, what a wrong one means.

    solutions: worked ones too, once a learner. Raises Refused for an unknown paper.
    """
    in_class = f", class {escape(given.group)}" if given.group else ""
    top = (
        f'<h1>Key: {escape(given.titles)}</h1><div class="top"><span>{len(given.learners)} sheets{in_class}</span>'
        f"<span>{'inch and thou' if given.say.inch else 'mm and µm'}</span></div>"
        '<p class="small">Ordered by the code on the sheet. “±” is how far off still counts as right. A wrong answer '
        "near one of the slips shows which step went astray. For what was measured, any plausible reading is right.</p>"
    )
    blocks = [_block(given, one, solutions) for one in sorted(given.learners, key=lambda one: one.code)]
    return pages_to_print.page("Key for the teacher", top + "".join(blocks), paper, STYLE)


def _block(given: Given, learner: Learner, solutions: bool) -> str:
    rows = given.rows(learner)
    lines = "".join(f"<tr><td>{row.number}</td><td>{escape(row.exercise.title)}</td>"
        f"<td><b>{escape(right(row.task, given.say))}</b></td>"
        f'<td class="slips">{escape(slips(row.task, given.say))}</td></tr>' for row in rows)
    worked = (
        "".join(f"<section><p><b>{row.number}. {escape(row.exercise.heading)}</b> "
        f"{escape(row.task.asks)}</p>{row.task.solution(given.say)}</section>" for row in rows) if solutions else "")
    return (f'<div class="{"" if solutions or len(rows) > 14 else "who"}"><h2><span '
        f'class="code">{learner.code}</span> · {escape(learner.word)}</h2>'
        f'<table class="key"><tbody>{lines}</tbody></table>{worked}</div>')


def save(given: Given, paper: str = "A4", *, solutions: bool = False, heard: Heard = quiet) -> str:
    """Sheets and key into the user's folder (`files.put`), as PDF too where that can be; says so. Raises Refused.

    heard(done, all) is told how many sheets are made; nothing is saved before all are.
    """
    text = sheets(given, paper, heard)
    written = (pages_to_print.save("class_sheets", text),
        pages_to_print.save("class_key", key(given, paper, solutions=solutions)))
    pdfs = [pages_to_print.to_pdf(place) for place in written]
    also = (f"PDFs lie beside them: {pdfs[0].path.name}, {pdfs[1].path.name}." if pdfs[0].path and pdfs[1].path
        else next(made.says for made in pdfs if not made.path))
    return Saved(f"Written: {written[0].name} and {written[1].name}, in {written[0].parent}. {also}", *written,
        *(made.path for made in pdfs if made.path))
