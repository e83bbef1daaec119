"""A class: many learners, each with a sheet of their own numbers and a short code, and one key for the teacher.

    given = hand_out(["03_boring_bar"], count=12, group="evening 2")   # or names="ash, oak, elm"
    given.sheets()        # HTML: every learner's sheet on pages of its own
    given.key()           # HTML: one key, ordered by code, with the slips and what each usually means
    given.save()          # both into the user's folder, with PDFs where a Chromium is installed

A learner's numbers depend on their word, the class word and the exercise alone (practice.py), so the same words make
the same sheets on any machine, and a learner who types both words into the workbook finds the sheet's own questions
there.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from html import escape

from ..core.quantity import Refused, Say, plain
from ..screen.downloads import Saved
from ..teaching import exercises
from ..teaching.practice import Exercise, Task, code, pose, word
from ..teaching.progress import printed
from . import pages_to_print

MOST = 40
LEVELS = {
    "all levels": (1, 2, 3),
    "plain reading": (1,),
    "up to two steps": (1, 2),
    "two steps and decisions": (2, 3),
    "decisions": (3,),
}
STEPS = {1: "plain reading", 2: "two steps", 3: "a decision"}
ANSWERS, WORKED = "answers and slips", "worked solutions too"
CAUTION = ("At a machine its manual, the workshop's rules and a qualified instructor come first. Spindle stopped "
           "before "
           "you measure; chuck key out.")

STYLE = """article{break-before:page}article:first-of-type{break-before:auto}
section{break-inside:avoid;margin:3mm 0}h2+section{break-before:avoid}
.line{border-bottom:.25mm solid #555;height:8.5mm;display:flex;align-items:flex-end;gap:3mm}
.name{display:inline-block;min-width:55mm;border-bottom:.25mm solid #555}
.code{font-weight:700;letter-spacing:.06em}
.who{break-inside:avoid}.key{table-layout:fixed}.key td:first-child{width:8mm}.key td:nth-child(2){width:45mm}.key td:nth-child(3){width:52mm}
.slips{color:#333;font-size:9.5pt}
@media screen{article{border-bottom:.6mm dashed #999;padding-bottom:6mm;margin-bottom:8mm}}"""


def chapters(typed: str) -> tuple[str, ...]:
    """The notebooks' names of chapters written as "3", "1, 4-6" or "all", in the workbook's order. Raises Refused."""
    known = {int(name[:2]): name for name in exercises.chapters()}
    text = typed.strip().casefold() if isinstance(typed, str) else ""
    if not text:
        raise Refused("No chapter is named. Type the chapters' numbers, such as 3 or 1, 4-6, or all.")
    if text == "all":
        return tuple(known.values())
    wanted: set[int] = set()
    for part in re.split(r"[,;\s]+", re.sub(r"\s*[-–]\s*", "-", text).strip(",; ")):
        found = re.fullmatch(r"(\d{1,3})(?:_[a-z_]+)?(?:-(\d{1,3}))?", part)
        first, last = (int(found[1]), int(found[2] or found[1])) if found else (0, 0)
        if not found or first not in known or last not in known or last < first:
            raise Refused(
                f"“{part[:40]}” is no chapter here. Type numbers from {min(known)} to {max(known)}, such as 3 or 1, "
                "4-6, or all."
            )
        wanted |= set(range(first, last + 1))
    return tuple(known[number] for number in sorted(wanted))


def words(count: int = 1, names: str = "") -> tuple[str, ...]:
    """The learners' words: those typed, parted by commas or new lines, or else "learner 1", "learner 2" … Raises
    Refused.
    """
    if not isinstance(names, str):
        raise Refused("The learners' names must be text, parted by commas or new lines.")
    typed = [part for part in re.split(r"[,;\n]+", names) if part.strip()]
    if len(typed) > MOST:
        raise Refused(
            f"{len(typed)} names are more than a class here holds. Make sheets for up to {MOST} learners at a time."
        )
    if not typed:
        if (
            isinstance(count, bool)
            or not isinstance(count, (int, float))
            or count != count
            or not 1 <= count <= MOST
            or count != int(count)
        ):
            raise Refused(
                f"{count if isinstance(count, (int, float)) else 'That'} is not a number of learners. Choose a whole "
                f"number from 1 to {MOST}."
            )
        return tuple(f"learner {number}" for number in range(1, int(count) + 1))
    clean = [word(part, "A name") for part in typed]
    twice = next((one for i, one in enumerate(clean) if one in clean[:i]), "")
    if twice:
        raise Refused(f"“{twice}” is there twice, and both would get the same numbers. Add a letter to one of them.")
    return tuple(clean)


@lru_cache(maxsize=8192)
def _posed(exercise: Exercise, learner: str, group: str, inch: bool) -> Task:
    return pose(exercise, learner, group, Say(inch))


Heard = Callable[[int, int], None]   # told how far a long work is: how many are done, of how many


def quiet(done: int, full: int) -> None:
    """Nobody listens."""


@dataclass(frozen=True)
class Row:
    """One question of one learner in the key."""

    number: int
    exercise: Exercise
    task: Task


@dataclass(frozen=True)
class Learner:
    """A learner's word and the code on their sheet."""

    word: str
    code: str


@dataclass(frozen=True)
class Given:
    """What is handed out: for whom, which exercises, in which units, on which paper."""

    chapters: tuple[str, ...]
    exercises: tuple[Exercise, ...]
    learners: tuple[Learner, ...]
    group: str
    say: Say
    paper: str
    solutions: bool

    @property
    def titles(self) -> str:
        return ", ".join(exercises.chapter(name).title for name in self.chapters)

    def rows(self, learner: Learner) -> tuple[Row, ...]:
        """This learner's questions in their order, numbered through."""
        return tuple(
            Row(number, one, _posed(one, learner.word, self.group, self.say.inch))
            for number, one in enumerate(self.exercises, 1)
        )

    def alike(self) -> tuple[tuple[str, str], ...]:
        """Pairs of learners whose sheets ask the very same: it can happen when few, short exercises are chosen."""
        seen: dict[tuple[str, ...], str] = {}
        return tuple((seen[asks], one.word) for one in self.learners
                     if seen.setdefault(asks := tuple(row.task.asks for row in self.rows(one)), one.word) != one.word)

    def sheets(self, heard: Heard = quiet) -> str:
        """Every learner's sheet as one HTML page to print; each begins on a page of its own.

        heard(done, all) is told how many sheets are made.
        """
        made = []
        for done, one in enumerate(self.learners, 1):
            made.append(self._sheet(one))
            heard(done, len(self.learners))
        return pages_to_print.page("Exercises", "".join(made), self.paper, STYLE)

    def _sheet(self, learner: Learner) -> str:
        word_of = f"the word <b>{escape(learner.word)}</b>" + (
            f" and the class <b>{escape(self.group)}</b>. Type both" if self.group else ". Type it"
        )
        body, before = [], ""
        for row in self.rows(learner):
            chapter = row.exercise.name.split("/")[0]
            if chapter != before:
                body.append(f"<h2>{escape(exercises.chapter(chapter).title)}</h2>")
                before = chapter
            body.append(printed(row.number, row.exercise.heading, row.task, {}, self.say, False))
        return (f'<article><h1>Exercises</h1><div class="top"><span>Name <span class="name">&nbsp;</span></span>'
                f'<span>Sheet <span class="code">{learner.code}</span></span></div>'
                f'<p class="small">Your numbers belong to {word_of} into the workbook to check your '
                f"answers there. Write the unit behind the number. {CAUTION}</p>{''.join(body)}</article>")

    def key(self) -> str:
        """One key for the teacher, ordered by the sheets' codes: answers, what counts as right, and what a wrong one
        usually means.
        """
        in_class = f", class {escape(self.group)}" if self.group else ""
        top = (
            f'<h1>Key: {escape(self.titles)}</h1><div class="top"><span>{len(self.learners)} sheets{in_class}</span>'
            f"<span>{'inch and thou' if self.say.inch else 'mm and µm'}</span></div>"
            '<p class="small">Ordered by the code on the sheet. “±” is how far off still counts as right. A wrong '
            'answer near one of the '
            "slips shows which step went astray. For what was measured, any plausible reading is right.</p>"
        )
        blocks = [self._block(one) for one in sorted(self.learners, key=lambda one: one.code)]
        return pages_to_print.page("Key for the teacher", top + "".join(blocks), self.paper, STYLE)

    def _block(self, learner: Learner) -> str:
        rows = self.rows(learner)
        lines = "".join(
            f"<tr><td>{row.number}</td><td>{escape(row.exercise.title)}</td><td><b>{escape(right(row.task, self.say))}</b></td>"
            f'<td class="slips">{escape(slips(row.task, self.say))}</td></tr>'
            for row in rows
        )
        worked = (
            "".join(
                f"<section><p><b>{row.number}. {escape(row.exercise.heading)}</b> "
                f"{escape(row.task.asks)}</p>{row.task.solution(self.say)}</section>"
                for row in rows
            )
            if self.solutions
            else ""
        )
        return (
            f'<div class="{"" if self.solutions or len(rows) > 14 else "who"}"><h2><span '
            f'class="code">{learner.code}</span> · {escape(learner.word)}</h2>'
            f'<table class="key"><tbody>{lines}</tbody></table>{worked}</div>'
        )

    def save(self, heard: Heard = quiet) -> str:
        """Sheets and key into the user's folder, those before kept, as PDF too where that can be; says so. Raises
        Refused. heard(done, all) is told how many sheets are made; nothing is saved before all are.
        """
        text = self.sheets(heard)
        sheets, key = pages_to_print.save("class_sheets", text), pages_to_print.save("class_key", self.key())
        pdfs = [pages_to_print.to_pdf(place) for place in (sheets, key)]
        also = (
            f"PDFs lie beside them: {pdfs[0].path.name}, {pdfs[1].path.name}."
            if pdfs[0].path and pdfs[1].path
            else next(made.says for made in pdfs if not made.path)
        )
        return Saved(
            f"Written: {sheets.name} and {key.name}, in {sheets.parent}. {also}",
            sheets,
            key,
            *(made.path for made in pdfs if made.path),
        )


def right(task: Task, say: Say) -> str:
    """The answer as the key gives it, with what still counts as right."""
    if task.options:
        return task.answer_text(say)
    if task.span:
        low, high = (task.text_of(edge, say) for edge in task.span)
        return f"{low} to {high}"
    answer = task.answer_text(say)
    shown = task.quantity.from_shown(float(answer.removesuffix(task.wanted(say)).replace("−", "-")), say.inch)
    off = abs(task.quantity.to_shown(task.within - abs(shown - task.answer), say.inch))
    step = 10.0 ** (math.floor(math.log10(off)) - 1)
    return f"{answer} ± {plain(math.floor(off / step + 1e-6) * step, 2)}"   # rounded down: what is said counts as right


def slips(task: Task, say: Say) -> str:
    """The known wrong answers and their names."""
    return "; ".join(f"{task.text_of(slip.value, say)}: {slip.name}" for slip in task.slips)


def hand_out(
    named: Sequence[str],
    *,
    level: str = "all levels",
    hands: bool = True,
    count: int = 1,
    names: str = "",
    group: str = "",
    inch: bool = False,
    on: str = "A4",
    solutions: bool = False,
) -> Given:
    """Sheets for a class from the named chapters. Raises Refused with a sentence for what cannot be made."""
    if level not in LEVELS:
        raise Refused(f"“{level}” is no level here. Choose one of: {', '.join(LEVELS)}.")
    if on not in pages_to_print.PAPERS:
        raise Refused(f"“{on}” paper is not known. Choose A4 or Letter.")
    picked = tuple(
        one
        for name in named
        for one in exercises.chapter(name).exercises
        if one.level in LEVELS[level] and (hands or not one.hands)
    )
    if not picked:
        raise Refused("No exercise of that level is in these chapters. Choose another level, or more chapters.")
    in_class = word(group, "The class word", True)
    people = tuple(Learner(one, code(one, in_class)) for one in words(count, names))
    if len({one.code for one in people}) < len(people):
        raise Refused("Two of these learners would get the same code. Change the class word, and they will differ.")
    return Given(tuple(named), picked, people, in_class, Say(inch), on, solutions)
