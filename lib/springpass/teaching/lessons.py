"""Lesson plans, read from data/lessons: aims, what to bring, a demonstration with its cautions, questions, steps by the
minute.

    lesson = lessons.lesson("03_boring_bar")
    lesson.plan(45).steps[0].minutes
    lessons.names()                      # every lesson, in the workbook's order; the club's evenings last

A lesson names pages ("boring_bar.BEND" is BEND in pages/boring_bar.py), the settings to show, and a few words that the
page then says; exercises by their names; questions and demonstrations by theirs, or another lesson's as
"03_boring_bar/spring". The tests open every page at its settings and hold the plan to what it says there, carry out
every demonstration, and ask whether a step's minutes suffice for twelve learners (`least`, from data/lesson_times.csv).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from ..core import tables
from ..core.quantity import Refused
from . import exercises

KINDS = {"story": "talk", "predict": "predict", "show": "page", "lathe": "lathe", "ask": "talk",
    "exercise": "exercises", "close": "talk", "make": "lathe", "pause": "pause"}
FIRST = "Your machine's manual, the rules where you work and a qualified instructor come before this plan."


@dataclass(frozen=True)
class Look:
    """A page, its settings in the units it shows, and a few words that it then says."""

    page: str
    notebook: str
    settings: tuple[tuple[str, Any], ...]
    shows: str


@dataclass(frozen=True)
class Question:
    """What to ask, what to expect, and the usual wrong answers with what each comes from."""

    name: str
    asks: str
    answer: str
    wrong: tuple[tuple[str, str], ...]
    basis: str
    source: str


@dataclass(frozen=True)
class Demonstration:
    """Something to show at the lathe: what to do, what comes out, what to beware of, and what to do without a lathe."""

    name: str
    title: str
    do: tuple[str, ...]
    expect: str
    cautions: tuple[str, ...]
    without: str
    basis: str
    source: str
    looks: tuple[Look, ...]   # the page for what was read, and what it says
    turns: int                # learners' turns at the lathe, the gauge or the part, one after the other
    waits: float              # minutes that cutting, sawing or cooling takes, with nothing else to do


@dataclass(frozen=True)
class Step:
    """One stretch of the lesson; spare: exercises for those who are done."""

    minutes: int
    kind: str
    title: str
    says: str
    looks: tuple[Look, ...]
    questions: tuple[Question, ...]
    demonstrations: tuple[Demonstration, ...]
    exercises: tuple[str, ...]
    spare: tuple[str, ...]


@dataclass(frozen=True)
class Plan:
    """One way through the lesson; its steps fill its minutes exactly."""

    minutes: int
    steps: tuple[Step, ...]

    @property
    def starts(self) -> tuple[int, ...]:
        """The minute at which each step begins."""
        return tuple(sum(step.minutes for step in self.steps[:i]) for i in range(len(self.steps)))

    @property
    def looks(self) -> tuple[tuple[Look, ...], ...]:
        """The pages in the order in which they are shown: for each step its demonstrations', then its own."""
        return tuple((*(look for one in step.demonstrations for look in one.looks), *step.looks)
            for step in self.steps)

    @property
    def questions(self) -> tuple[Question, ...]:
        return tuple(dict.fromkeys(q for step in self.steps for q in step.questions))

    @property
    def demonstrations(self) -> tuple[Demonstration, ...]:
        return tuple(dict.fromkeys(d for step in self.steps for d in step.demonstrations))


@dataclass(frozen=True)
class Lesson:
    """A chapter's lesson, or an evening of the club's course."""

    name: str
    title: str
    question: str
    chapter: str
    aims: tuple[str, ...]
    bring: tuple[str, ...]
    plans: tuple[Plan, ...]

    def plan(self, minutes: int = 0) -> Plan:
        """The plan of so many minutes, or the one that comes nearest."""
        return min(self.plans, key=lambda plan: abs(plan.minutes - minutes))


def least(step: Step) -> float:
    """The minutes a step needs with a class of the usual size, one screen and one lathe."""
    def takes(what: str) -> float:
        return float(tables.row("lesson_times", what=what)["value"])

    def of_exercise(name: str) -> float:
        one = next(one for one in exercises.chapter(name.split("/")[0]).exercises if one.name == name)
        return takes("exercise by hand" if one.hands else f"exercise {one.level}")

    begins = takes({"show": "open", "ask": "question", "predict": "guess", "exercise": "check", "make": "walk",
        "lathe": "walk"}.get(step.kind, step.kind))
    shown = takes("setting") * len(step.looks) + takes("question") * len(step.questions)
    done = sum(takes("action") * len(one.do) + takes("turn") * one.turns + one.waits for one in step.demonstrations)
    worked = 0.0 if step.kind == "close" else sum(map(of_exercise, step.exercises))   # what closes a lesson is for home
    return begins + shown + done + worked


def names() -> tuple[str, ...]:
    """Every lesson's name: the opener, the chapters, the club's evenings."""
    found = [path.stem for path in (tables.folder() / "lessons").glob("*.toml")]
    return tuple(sorted(found, key=lambda name: (name[0].isdigit() + 2 * name.startswith("club"), name)))


@cache
def lesson(name: str) -> Lesson:
    """One lesson. Raises Refused for a name there is not, or a plan that does not hold together."""
    if name not in names():
        raise Refused(f"There is no lesson “{name}”. There are {', '.join(names())}.")
    raw = tables.toml(f"lessons/{name}")
    plans = tuple(_plan(name, raw, one) for one in raw["plan"])
    return Lesson(name, raw["title"], raw["asks"], raw.get("chapter", ""), tuple(raw["aims"]), tuple(raw["bring"]),
        plans)


def _plan(name: str, raw: dict[str, Any], one: dict[str, Any]) -> Plan:
    plan = Plan(one["minutes"], tuple(_step(name, raw, step) for step in one["step"]))
    spent = sum(step.minutes for step in plan.steps)
    if spent != plan.minutes:
        raise Refused(f"The plan of {plan.minutes} minutes for “{raw['title']}” adds up to {spent}. Mend "
            f"data/lessons/{name}.toml.")
    return plan


def _step(name: str, raw: dict[str, Any], step: dict[str, Any]) -> Step:
    if step["kind"] not in KINDS:
        raise Refused(
            f"“{step['kind']}” is no kind of step; there are {', '.join(KINDS)}. Mend data/lessons/{name}.toml.")
    chapter = raw.get("chapter", "")
    listed = [tuple(wanted if "/" in wanted else f"{chapter}/{wanted}" for wanted in step.get(what, []))
        for what in ("exercises", "spare")]
    return Step(step["minutes"], step["kind"], step["title"], step["says"], _looks(step, chapter),
        tuple(_question(name, wanted) for wanted in step.get("ask", [])),
        tuple(_demonstration(name, wanted) for wanted in step.get("demonstrate", [])), *listed)


def _looks(entry: dict[str, Any], chapter: str) -> tuple[Look, ...]:
    return tuple(Look(look["page"], look.get("notebook", chapter), tuple(look.get("set", {}).items()), look["shows"])
        for look in entry.get("look", []))


def _entry(name: str, kind: str, wanted: str) -> dict[str, Any]:
    where, _, what = wanted.rpartition("/")
    found = [entry for entry in tables.toml(f"lessons/{where or name}").get(kind, []) if entry["name"] == what]
    if len(found) != 1:
        raise Refused(f"“{wanted}” is no {kind} of this lesson, or is there twice. Mend data/lessons/{name}.toml.")
    return dict(found[0])


def _question(name: str, wanted: str) -> Question:
    e = _entry(name, "question", wanted)
    return Question(e["name"], e["asks"], e["answer"], tuple((said, why) for said, why in e["wrong"]), e["basis"],
        e.get("source", ""))


def _demonstration(name: str, wanted: str) -> Demonstration:
    e = _entry(name, "demonstration", wanted)
    return Demonstration(e["name"], e["title"], tuple(e["do"]), e["expect"], tuple(e["cautions"]), e["without"],
        e["basis"], e.get("source", ""), _looks(e, wanted.rpartition("/")[0] or name), e["turns"],
        e.get("waits", 0.0))
