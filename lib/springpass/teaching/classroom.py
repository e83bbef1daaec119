"""A class: who gets which exercises with which numbers, each learner's short code, and what the key says is right.

    given = hand_out(["03_boring_bar"], count=12, group="evening 2")   # or names="ash, oak, elm"
    given.rows(given.learners[0])      # a learner's questions
    right(row.task, given.say)         # the answer, and how far off still counts as right

A learner's numbers depend on their word, the class word and the exercise alone (practice.py), so the same words make
the same sheets on any machine, and a learner who types both words into the workbook finds the sheet's own questions
there. Printed by printing/class_sheets.py.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from ..core.quantity import Refused, Say, plain
from . import exercises
from .practice import Exercise, Task, code, pose, word

MOST = 40
QUESTIONS = 5   # of a closing quiz
LEVELS = {"all levels": (1, 2, 3), "plain reading": (1,), "up to two steps": (1, 2), "two steps and decisions": (2, 3),
    "decisions": (3,)}
STEPS = {1: "plain reading", 2: "two steps", 3: "a decision"}


def chosen(typed: str) -> dict[str, tuple[int, ...]]:
    """Chapters written as "3", "1, 4-6" or "all", and single exercises as "1 (1, 6), 3": each notebook's name with the
    exercises' numbers, none where all are meant; in the workbook's order. Raises Refused.
    """
    known = {int(name[:2]): name for name in exercises.chapters()}
    text = typed.strip().casefold() if isinstance(typed, str) else ""
    how = f"Type numbers from {min(known)} to {max(known)}, such as 3 or 1, 4-6, or all; single exercises as 1 (1, 6)."
    if not text:
        raise Refused(f"No chapter is named. {how}")
    if text == "all":
        return dict.fromkeys(known.values(), ())
    wanted: dict[int, tuple[int, ...]] = {}
    for part in filter(None, re.split(r"[,;\s]+(?![^()]*\))", re.sub(r"\s*([-–(])\s*", r"\1", text).replace("–", "-"))):
        found = re.fullmatch(r"(\d{1,3})(?:_[a-z_]+)?(?:-(\d{1,3}))?(?:\(([\d,;\s]+)\))?", part)
        first, last = (int(found[1]), int(found[2] or found[1])) if found else (0, 0)
        if not found or first not in known or last not in known or last < first or (found[3] and first != last):
            raise Refused(f"“{part[:40]}” is no chapter here. {how}")
        single = tuple(dict.fromkeys(int(n) for n in re.findall(r"\d{1,9}", found[3] or "")))
        there = len(exercises.chapter(known[first]).exercises)
        if found[3] and not all(1 <= n <= there for n in single):
            raise Refused(f"Chapter {first} has exercises 1 to {there}; “{part[:40]}” asks for another.")
        wanted.update({number: single for number in range(first, last + 1) if number in known})
    return {known[number]: wanted[number] for number in sorted(wanted)}


def chapters(typed: str) -> tuple[str, ...]:
    """The notebooks' names of the chapters typed (see chosen). Raises Refused."""
    return tuple(chosen(typed))


def named(names: str) -> tuple[str, ...]:
    """The learners' names as they were typed: one a line, so that "Müller, Anna" of a register is one learner; on a
    single line commas part them. Raises Refused.
    """
    if not isinstance(names, str):
        raise Refused("The learners' names must be text, one a line.")
    lines = [line for line in re.split(r"[;\r\n]+", names) if line.strip()]
    if len(lines) == 1:
        lines = [part for part in lines[0].split(",") if part.strip()]
    return tuple(" ".join(re.sub(r"^\s*\d+[.)\t]\s*", "", line).split()).strip(", ") for line in lines)


def words(count: int = 1, names: str = "") -> tuple[str, ...]:
    """The learners as they are called on their sheets: those typed (see named), or else "learner 1", "learner 2" …
    Raises Refused.
    """
    typed = named(names)
    if len(typed) > MOST:
        raise Refused(
            f"{len(typed)} names are more than a class here holds. Make sheets for up to {MOST} learners at a time.")
    if not typed:
        if (isinstance(count, bool) or not isinstance(count, (int, float)) or count != count or not 1 <= count <= MOST
                or count != int(count)):
            raise Refused(
                f"{count if isinstance(count, (int, float)) else 'That'} is not a number of learners. Choose a whole "
                f"number from 1 to {MOST}.")
        return tuple(f"learner {number}" for number in range(1, int(count) + 1))
    clean = [word(part, "A name") for part in typed]
    twice = next((one for i, one in enumerate(clean) if one in clean[:i]), "")
    if twice:
        raise Refused(f"“{twice}” is there twice, and both would get the same numbers. Add a letter to one of them.")
    return typed


@lru_cache(maxsize=8192)
def _posed(exercise: Exercise, learner: str, group: str, inch: bool) -> Task:
    return pose(exercise, learner, group, Say(inch))


@dataclass(frozen=True)
class Row:
    """One question of one learner in the key."""

    number: int
    exercise: Exercise
    task: Task


@dataclass(frozen=True)
class Learner:
    """A learner's word, the code on their sheet and the name as it was typed."""

    word: str
    code: str
    name: str


@dataclass(frozen=True)
class Given:
    """What is handed out: which exercises of which chapters, to whom, in which units."""

    chapters: tuple[str, ...]
    exercises: tuple[Exercise, ...]
    learners: tuple[Learner, ...]
    group: str
    say: Say

    @property
    def titles(self) -> str:
        return ", ".join(exercises.chapter(name).title for name in self.chapters)

    def rows(self, learner: Learner) -> tuple[Row, ...]:
        """This learner's questions in their order, numbered through."""
        return tuple(Row(number, one, _posed(one, learner.word, self.group, self.say.inch)) for number,
            one in enumerate(self.exercises, 1))

    def alike(self) -> tuple[tuple[str, str], ...]:
        """Pairs of learners whose sheets ask the very same: it can happen when few, short exercises are chosen."""
        seen: dict[tuple[str, ...], str] = {}
        return tuple((seen[asks], one.word) for one in self.learners
            if seen.setdefault(asks := tuple(row.task.asks for row in self.rows(one)), one.word) != one.word)


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


def hand_out(wanted: Sequence[str] | Mapping[str, tuple[int, ...]], *, level: str = "all levels", hands: bool = True,
        count: int = 1, names: str = "",
        group: str = "", inch: bool = False) -> Given:
    """The exercises of the named chapters, dealt out to a class; a mapping (see chosen) names single ones by number.

    Raises Refused for what cannot be made.
    """
    if level not in LEVELS:
        raise Refused(f"“{level}” is no level here. Choose one of: {', '.join(LEVELS)}.")
    only = wanted if isinstance(wanted, Mapping) else {}
    picked = tuple(one for name in wanted for number, one in enumerate(exercises.chapter(name).exercises, 1)
        if (number in only[name] if only.get(name) else one.level in LEVELS[level] and (hands or not one.hands)))
    if not picked:
        raise Refused("No exercise of that level is in these chapters. Choose another level, or more chapters.")
    in_class = word(group, "The class word", True)
    people = tuple(Learner(word(one), code(one, in_class), one) for one in words(count, names))
    if len({one.code for one in people}) < len(people):
        raise Refused("Two of these learners would get the same code. Change the class word, and they will differ.")
    return Given(tuple(wanted), picked, people, in_class, Say(inch))


def quiz(chapter: str, group: str = "", inch: bool = False) -> Given:
    """Five questions to close a chapter with, the same numbers for everybody in a class: one of each level at least,
    nothing to do at a lathe. The numbers are others than in the exercises. Raises Refused.
    """
    able = [(number, one) for number, one in enumerate(exercises.chapter(chapter).exercises, 1) if not one.hands]
    first = list({one.level: number for number, one in reversed(able)}.values())
    wanted = sorted((first + [number for number, _ in able if number not in first])[:QUESTIONS])
    in_class = f"{word(group, 'The class word', True)} quiz".strip()
    return hand_out({chapter: tuple(wanted)}, names="everybody", group=in_class, inch=inch)
