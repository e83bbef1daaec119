"""A class's answers marked: a row a learner, a column an exercise, and the slips that were made most."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from html import escape
from typing import Any

from ..core import files
from ..core.quantity import Say
from ..screen.downloads import Saved
from ..screen.draw import WIDTH, Drawing
from ..screen.page import Choose, Load, Page, Press, Tick, Write
from ..teaching import exercises, marking
from ..teaching.class_predictions import decoded
from ..teaching.marking import OTHER_NUMBERS, RIGHT, SLIP, Answer, Marked
from ..teaching.practice import Chapter

TITLES = {one.title: name for name, one in exercises.chapters().items()}
USUAL = exercises.chapter("03_boring_bar").title
DEMO = marking.demo()
LEFT, TOP, HIGH = 132.0, 66.0, 22.0


@dataclass(frozen=True)
class Seen:
    """The class's answers, the chapter looked at, and whether words are shown."""

    found: Marked
    chapter: Chapter
    demo: bool
    names: bool

    def answers(self, name: str) -> list[Answer]:
        """Everybody's answer to one exercise, of those who gave one."""
        return [one for one in self.found.answers if one.exercise == name]


def compute(chapter: str, pasted: str, file: bytes | None, names: bool) -> Seen:
    """The class's answers marked, from pasted tables or files. Raises Refused for more than any class writes."""
    text = pasted
    if file is not None:
        loaded = decoded(file)
        text = loaded if pasted == DEMO or not pasted.strip() else f"{pasted}\n{loaded}"
    return Seen(marking.mark(text), exercises.chapter(TITLES[chapter]), text == DEMO, names)


def _called(seen: Seen, place: int, learner: tuple[str, str]) -> str:
    return learner[0] if seen.names else f"learner {place + 1}"


def _mark(d: Drawing, x: float, y: float, answer: Answer | None) -> None:
    """A full dot where right, half a dot where right after help, a cross where wrong, nothing where not tried."""
    if answer is None:
        d.line([x - 3, x + 3], [y, y], "faint")
    elif answer.solved and not answer.solution:
        d.circle(x, y, 6, "dot-a")
    elif answer.solved:
        d.circle(x, y, 6, "paper")
        d.circle(x, y, 6, "ink")
        d.circle(x, y, 2.5, "dot-a")
    else:
        d.line([x - 5, x + 5], [y - 5, y + 5])
        d.line([x - 5, x + 5], [y + 5, y - 5])


def picture(seen: Seen, say: Say) -> str:
    learners, asked = seen.found.learners, seen.chapter.exercises
    d = Drawing("Who has solved what", words(seen, say), WIDTH, TOP + HIGH * max(len(learners), 1) + 34)
    d.text(8, 18, seen.chapter.title, kind="bold")
    step = (WIDTH - LEFT - 12) / len(asked)
    for i, _ in enumerate(asked):
        d.text(LEFT + step * (i + 0.5), TOP - 14, str(i + 1), "middle", "bold halo")
    d.text(8, TOP - 14, "exercise", kind="small halo")
    for row, learner in enumerate(learners):
        y = TOP + HIGH * (row + 0.5)
        d.text(8, y + 5, textwrap.shorten(_called(seen, row, learner), 16, placeholder="…"), kind="small halo")
        for i, one in enumerate(asked):
            _mark(d, LEFT + step * (i + 0.5), y, seen.found.of(learner, one.name))
    y = TOP + HIGH * max(len(learners), 1) + 20
    for x, label, sample in ((14, "right", Answer(0, "", "", "", "", RIGHT)),
            (96, "right, solution seen", Answer(0, "", "", "", "", RIGHT, solution=True)),
            (262, "not right", Answer(0, "", "", "", "", SLIP)), (360, "not tried", None)):
        _mark(d, x, y - 5, sample)
        d.text(x + 12, y, label, kind="small")
    return d.svg()


def words(seen: Seen, say: Say) -> str:
    learners, asked = seen.found.learners, seen.chapter.exercises
    start = "Invented demo, no real class: " if seen.demo else ""
    if not learners:
        return ("No answer was found. Paste the tables that learners save under their exercises, or load the files; "
            "several at once will do.")
    solved = sum(one.solved for exercise in asked for one in seen.answers(exercise.name))
    people = "one learner has" if len(learners) == 1 else f"{len(learners)} learners have"
    first = (f"{start}{people} sent answers. In this chapter {solved} of {len(learners) * len(asked)} exercises are "
        "solved.")
    lines = [first[:1].upper() + first[1:]]
    slips = seen.found.slips(tuple(one.name for one in asked))
    if slips:
        name, slip, count = slips[0]
        number = next(i for i, one in enumerate(asked, 1) if one.name == name)
        who = "one learner" if count == 1 else f"{count} learners"
        lines.append(f"The slip made most is “{slip}” in exercise {number}: {who} made it.")
    if seen.found.notes:
        lines.append("Some lines could not be read; they are named below.")
    return "\n".join(lines)


def more(seen: Seen, say: Say) -> str:
    asked = seen.chapter.exercises
    rows = "".join(f"<tr><td>{i}</td><td>{escape(one.title)}</td><td>"
        f"{sum(a.solved for a in seen.answers(one.name))} of {len(seen.answers(one.name))}</td>"
        f"<td>{escape(_slips(seen, one.name))}</td></tr>" for i,
        one in enumerate(asked, 1))
    out = (f"<table><tr><th></th><th>exercise</th><th>solved</th><th>slips, with how many made them</th></tr>{rows}"
        "</table>")
    if seen.found.notes:
        out += "<p><b>Left out</b></p><ul>" + "".join(f"<li>{escape(note)}</li>" for note in seen.found.notes) + "</ul>"
    if any(one.mark == OTHER_NUMBERS for one in seen.found.answers):
        out += ("<p>Some answers were given before the word or the class was changed. They count as the learner's own "
            "table says, for nobody else knows those numbers.</p>")
    return out


def _slips(seen: Seen, name: str) -> str:
    return "; ".join(f"{slip} ({count})" for _, slip, count in seen.found.slips((name,))) or "none known"


def write(**values: Any) -> str:
    """The marks as a table for a spreadsheet, a line a learner, a column an exercise, all chapters."""
    seen = compute(**values)
    every = [one for chapter in exercises.chapters().values() for one in chapter.exercises]
    lines = ["learner;class;" + ";".join(one.name for one in every)]
    for learner in seen.found.learners:
        marks = [seen.found.of(learner, one.name) for one in every]
        lines.append(";".join([*map(_safe, learner), *(one.mark if one else "" for one in marks)]))
    place = files.put("class_marks.csv", "\n".join(lines) + "\n")
    return Saved(f"Written: {place.name}, in {place.parent}.", place)


def _safe(text: str) -> str:
    """A cell that no spreadsheet runs or splits."""
    return files.csv_cell(text.replace(";", ",").replace('"', "'"))


PAGE = Page(name="marking", title="Who has solved what, and which slips were made?",
    inputs=(Choose("chapter", list(TITLES), USUAL, "work"),
    Write("pasted", DEMO, "work", "learners' exported tables, pasted one after the other", rows=6, longest=1_000_000,
    says="progress.csv of each learner"),
    Load("file", ".csv,.txt,text/csv,text/plain", "work", "load CSV files",
    "one or more exported tables; they take the demo's place", several=True),
    Tick("names", False, "view", "show the learners' words")), compute=compute, picture=picture, words=words, more=more,
    presses=(Press("write the marks", write, "class_marks.csv: a line a learner, a column an exercise, all chapters"),))
