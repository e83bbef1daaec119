"""Predict, then check: questions with numbers of one's own, answers typed by hand, hints, worked solutions, progress.

An exercise is a function `build(draw, say) -> Task`. `draw` gives numbers that depend on the learner's word, the class
and the exercise alone (sha256), so a sheet can be made again anywhere. `say` (quantities.Say) writes lengths in mm or
inch.

    task = pose(exercise, learner="ash tree", group="club 2026")
    heard = check(task, "7,6 µm")         # .right, .says, .slip; raises Refused for what is not an answer
    task.answer_text(); task.solution()    # the worked solution, in HTML, with this learner's numbers

Nothing typed is ever run as code. Progress lies in the user's own file (shop.py, "progress").
"""

from __future__ import annotations

import hashlib
import inspect
import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from html import escape
from typing import Any

from ..core.quantity import Quantity, Refused, Say, plain, said

LONGEST = 40             # letters of a word
EXAMPLE = "spring"       # whose numbers are shown until a word is chosen
TRIES = 200              # draws until every slip can be told from the right answer
# words for a unit that a person may add, where the number stands as it is
SAME = {"1/min": ("rpm", "1/min", "/min", "rev/min", "turns/min", "min-1", "turns a minute", "turns"),
    "K": ("k", "°c", "degrees", "deg", "°", "celsius"), "°C": ("°c", "c", "°", "degrees", "deg"),
    "1": ("times", "x", "×", "fold"), "deg": ("°", "deg", "degrees"), "s": ("seconds",), "min": ("minutes",),
    "N": ("newton",), "N m": ("n m", "nm", "n·m"), "N mm": ("n mm", "nmm", "n·mm")}


# ---- the learner's word ---------------------------------------------------------------------------


def word(typed: Any, what: str = "Your word", empty: bool = False) -> str:
    """The word as the numbers are drawn from it: capitals, accents' spelling and spaces at the ends make no difference.

    Any script and emoji will do. Raises Refused if it is no text, empty (unless `empty`) or too long.
    """
    if not isinstance(typed, str):
        raise Refused(f"{what} must be text; it was {said(typed)}. Choose a short word.")
    clean = unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", typed).casefold()).replace("|", "¦")
    clean = " ".join(
        "".join(c if unicodedata.category(c) not in ("Cc", "Cs", "Zl", "Zp") else " " for c in clean).split())
    if not clean and not empty:
        raise Refused(f"{what} is empty. Choose a short word, for example a tree or a nickname.")
    if len(clean) > LONGEST:
        raise Refused(f"{what} is {len(clean)} letters long. Keep it to {LONGEST} letters.")
    return clean


def code(learner: str, group: str = "") -> str:
    """Six letters and digits that stand for a learner's sheet, without any two that look alike in handwriting."""
    number = int.from_bytes(hashlib.sha256(f"{word(group, 'The class', True)}|{word(learner)}".encode()).digest()[:8],
        "big")
    letters = "34679ACDEFHJKLMNPRTWXY"
    return "".join(letters[number // len(letters) ** i % len(letters)] for i in range(6))


@dataclass
class Draw:
    """Numbers from a key, the same on every machine."""

    key: str
    count: int = 0

    def share(self) -> float:
        """The next number from 0 up to 1."""
        self.count += 1
        return int.from_bytes(hashlib.sha256(f"{self.key}|{self.count}".encode()).digest()[:7], "big") / 2**56

    def value(self, low: float, high: float, step: float) -> float:
        """A multiple of `step` from low to high, both included."""
        steps = round((high - low) / step) + 1
        return round(low + step * int(self.share() * steps), 9)

    def whole(self, low: int, high: int) -> int:
        return low + int(self.share() * (high - low + 1))

    def pick(self, from_what: Sequence[Any]) -> Any:
        return from_what[int(self.share() * len(from_what))]


class Again(Exception):
    """Raised by an exercise whose drawn numbers make no sensible question; others are drawn."""


# ---- a question -----------------------------------------------------------------------------------


@dataclass(frozen=True)
class Step:
    """One line of a worked solution: a labelled formula with the learner's numbers, in library units."""

    function: Callable[..., Any]
    numbers: dict[str, float]
    says: str = ""

    @property
    def value(self) -> float:
        return float(self.function(**self.numbers))

    def html(self) -> str:
        from ..core.mathml import formula_mathml

        said = f"<p>{escape(self.says)}</p>" if self.says else ""
        return said + formula_mathml(self.function, self.numbers, digits=5)


def step(function: Callable[..., Any], says: str = "", /, **numbers: float) -> Step:
    """A formula's line; inputs left out stand at the formula's own defaults."""
    usual = {name: p.default for name, p in inspect.signature(function).parameters.items()
        if p.default is not inspect.Parameter.empty}
    return Step(function, usual | numbers, says)


@dataclass(frozen=True)
class Slip:
    """A wrong answer people do give: its name, its value (or the option's place) and what to say to it."""

    name: str
    value: float
    says: str


@dataclass(frozen=True)
class Task:
    """A question with its numbers in: what is asked, what is right, which slips are known, hints, the way there."""

    asks: str
    answer: float                    # in `unit`; the place in `options` where there are any
    unit: str = "1"
    shown: str = ""                  # the unit the question asks for
    within: float = 0.0              # how far off still counts as right, in `unit`
    options: tuple[str, ...] = ()
    slips: tuple[Slip, ...] = ()
    hints: tuple[str, ...] = ()
    steps: tuple[Step | str, ...] = ()
    span: tuple[float, float] | None = None   # for a reading of one's own: what is plausible
    low_says: str = ""
    high_says: str = ""
    reveals: str = ""                # said once a guess is made or an answer is right: why, and what it means

    @property
    def quantity(self) -> Quantity:
        return Quantity("x", self.unit, -1e15, 1e15, 0.0, "the answer", shown=self.shown)

    def wanted(self, say: Say | None = None) -> str:
        """The unit an answer without a unit is taken in."""
        unit = self.quantity.unit_for((say or Say()).inch)
        return "" if self.options or unit == "1" else "°" if unit == "deg" else unit

    def text_of(self, value: float, say: Say | None = None) -> str:
        """A value as this question's answer would be written."""
        if self.options:
            return self.options[round(value)]
        say = say or Say()
        if not value:
            return f"0 {self.wanted(say)}".strip()
        # so many figures that what is shown would count as right
        digits = next(
            (d for d in (3, 4, 5, 6) if abs(self._rounded(value, d, say) - value) <= 0.3 * max(self.within, 1e-12)), 7)
        return f"{plain(self.quantity.to_shown(value, say.inch), digits)} {self.wanted(say)}".strip().replace(" °", "°")

    def _rounded(self, value: float, digits: int, say: Say) -> float:
        return float(
            self.quantity.from_shown(float(plain(self.quantity.to_shown(value, say.inch), digits).replace("−", "-")),
            say.inch))

    def answer_text(self, say: Say | None = None) -> str:
        return self.text_of(self.answer, say)

    def solution(self, say: Say | None = None) -> str:
        """The worked solution in HTML, with these numbers, ending in the answer."""
        lines = (["<p>Worked in mm; the answer in inch follows.</p>"]
            if say and say.inch and self.unit == "mm" and not self.options else [])
        lines += [part.html() if isinstance(part, Step) else f"<p>{escape(part)}</p>" for part in self.steps]
        if self.span:
            low, high = (self.text_of(edge, say) for edge in self.span)
            lines.append(
                f"<p>A reading between {low} and {high} is plausible; about <b>{escape(self.answer_text(say))}</b> "
                "would be no surprise.</p>")
        else:
            inch = (f" ({escape(self.answer_text())})"
                if say and say.inch and self.answer_text(say) != self.answer_text() else "")
            lines.append(f"<p>The answer: <b>{escape(self.answer_text(say))}</b>{inch}.</p>")
        return "".join(lines)


def ask(asks: str, unit: str, steps: Sequence[Step | str], hints: Sequence[str], slips: Sequence[Slip] = (), *,
        shown: str = "", answer: float | None = None, within: float = 0.03, give: float = 0.0,
        reveals: str = "") -> Task:
    """A question for a number; its answer is the last formula's unless given. within: share of it; give: in `unit`, if
    more.
    """
    if answer is None:
        if steps and isinstance(steps[-1], str) and not steps[-1].startswith("Or shorter"):
            raise ValueError("the solution goes on after its last formula: say what the answer is")
        answer = next(part.value for part in reversed(steps) if isinstance(part, Step))
    return Task(asks, float(answer), unit, shown, max(within * abs(answer), give), (), tuple(slips), tuple(hints),
        tuple(steps), reveals=reveals)


def choose(asks: str, options: Sequence[str], right: int, steps: Sequence[Step | str], hints: Sequence[str],
        slips: Sequence[Slip] = (), reveals: str = "") -> Task:
    """A question with a few options; `right` and the slips' values are places among them, from 0."""
    return Task(asks, right, options=tuple(options), within=0.4, slips=tuple(slips), hints=tuple(hints),
        steps=tuple(steps), reveals=reveals)


def measure(asks: str, unit: str, span: tuple[float, float], typical: float, steps: Sequence[Step | str],
        hints: Sequence[str], *, low_says: str, high_says: str, shown: str = "", slips: Sequence[Slip] = (),
        reveals: str = "") -> Task:
    """Something to do at a lathe or a kitchen table; the reading is checked for being plausible, no more."""
    return Task(asks, typical, unit, shown, 0.03 * abs(typical), (), tuple(slips), tuple(hints), tuple(steps), span,
        low_says, high_says, reveals)


@dataclass(frozen=True)
class Exercise:
    """One exercise of a chapter. level: 1 plain reading, 2 two steps, 3 a small decision; hands: done at a lathe or
    table.
    """

    name: str
    title: str
    build: Callable[[Draw, Say], Task]
    level: int = 1
    hands: bool = False

    @property
    def heading(self) -> str:
        """The title with its stop."""
        return self.title if self.title[-1] in "?!" else f"{self.title}."


@dataclass(frozen=True)
class Seen:
    """Where a prediction is answered: the page that shows it (by its `name`), where its inputs stand before and where
    they stand when the answer is seen (library units), and words that the page then says.
    """

    page: str
    opens: dict[str, Any]
    at: dict[str, Any]
    shows: str


@dataclass
class Chapter:
    """A chapter's prediction and exercises. `name` is the notebook's."""

    name: str
    title: str
    prediction: Task | None = None
    seen: Seen | None = None
    exercises: list[Exercise] = field(default_factory=list)

    def exercise(self, title: str, level: int = 1, hands: bool = False) -> Callable[..., Any]:
        def add(build: Callable[[Draw, Say], Task]) -> Callable[[Draw, Say], Task]:
            self.exercises.append(Exercise(f"{self.name}/{build.__name__}", title, build, level, hands))
            return build

        return add


def pose(exercise: Exercise, learner: str = EXAMPLE, group: str = "", say: Say | None = None) -> Task:
    """The exercise with this learner's numbers. Numbers are drawn again until every slip can be told apart. Raises
    Refused.
    """
    key = f"{word(group, 'The class', True)}|{word(learner)}|{exercise.name}"
    for attempt in range(TRIES):
        try:
            task = exercise.build(Draw(f"{key}|{attempt}"), say or Say())
        except Again:
            continue
        if _told_apart(task):
            return task
    raise Refused(f"No fitting numbers were found for “{exercise.title}”. Choose another word.")


def _told_apart(task: Task) -> bool:
    places = [task.answer, *(slip.value for slip in task.slips)]
    if task.span:
        return all(not task.span[0] <= slip.value <= task.span[1] for slip in task.slips)
    gap = [2.2 * _near(task, place) for place in places]
    return all(abs(a - b) > max(gap[i], gap[j]) for i, a in enumerate(places) for j, b in enumerate(places) if j < i)


def _near(task: Task, value: float) -> float:
    """How close to a slip's value counts as that slip."""
    return task.within if task.options or not task.answer else task.within * min(abs(value / task.answer), 3.0)


# ---- an answer ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Heard:
    """What an answer was taken for: right or not, a sentence, and the slip's name if it is a known one."""

    right: bool
    says: str
    slip: str = ""
    value: float = 0.0


def read(task: Task, typed: Any, say: Say | None = None) -> float:
    """The typed answer in the task's unit: comma or point, with or without a unit. Raises Refused with a sentence."""
    if task.options:
        if typed in task.options:
            return float(task.options.index(typed))
        raise Refused(f"{said(typed)} is none of the answers. Choose one of: {'; '.join(task.options)}.")
    if not isinstance(typed, str):
        raise Refused(f"Your answer must be typed as a number; it was {said(typed)}.")
    text = unicodedata.normalize("NFKC", typed).strip()
    if len(text) > 60:
        raise Refused("Your answer is too long. Type one number, such as 12.5.")
    bare = text.casefold()
    for words in sorted(SAME.get(task.shown or task.unit, ()), key=len, reverse=True):
        if bare.endswith(words) and bare != words:
            text = text[: -len(words)].rstrip()
            break
    return float(task.quantity.read(text, "Your answer", (say or Say()).inch))


def check(task: Task, typed: Any, say: Say | None = None) -> Heard:
    """Whether the answer is right, and if not, the likely slip. Raises Refused for what cannot be read as an answer."""
    value = read(task, typed, say)
    if task.span:
        return _plausible(task, value)
    if abs(value - task.answer) <= task.within:
        return Heard(True, f"Right. {task.reveals}".rstrip(), value=value)
    for slip in task.slips:
        if abs(value - slip.value) <= max(_near(task, slip.value), 1e-12):
            return Heard(False, slip.says, slip.name, value)
    if task.options:
        return Heard(False, "Not this one. The button “hint” helps.", value=value)
    return Heard(False, *_common_slip(task, value), value)


def _common_slip(task: Task, value: float) -> tuple[str, str]:
    def like(other: float) -> bool:
        return abs(value - other) <= 1.01 * task.within * abs(other / task.answer) if task.answer else False

    if like(-task.answer):
        return "The amount is right, the sign is not: think which way it goes.", "sign"
    for by in (1e3, 1e-3, 25.4, 1 / 25.4, 1e6, 1e-6):
        if like(task.answer * by) and task.unit in ("mm", "m", "N", "MPa", "mm/N"):
            return ("The digits are right, the unit is not. Type the unit behind the number, such as µm, mm or inch.",
                "unit")
    for by in (10, 0.1, 100, 0.01):
        if like(task.answer * by):
            return "The digits are right, the decimal point has slipped.", "decimal point"
    for by in (2, 0.5):
        if like(task.answer * by):
            return (
                f"That is {'twice' if by == 2 else 'half'} what it should be. Radius or diameter, one side or both?",
                "factor two")
    if abs(value - task.answer) <= 4 * task.within:
        return "Close, but more than rounding off. Carry one more figure through.", "rounding"
    return f"Too {'large' if value > task.answer else 'small'}. Try the first hint.", ""


def _plausible(task: Task, value: float) -> Heard:
    assert task.span
    low, high = task.span
    if low <= value <= high:
        return Heard(True, f"That is a plausible reading. Write it down with the date. {task.reveals}".rstrip(),
            value=value)
    for slip in task.slips:
        if abs(value - slip.value) <= max(_near(task, slip.value), 1e-12):
            return Heard(False, slip.says, slip.name, value)
    for by in (1e3, 1e-3):
        if low <= value * by <= high and task.unit == "mm":
            return Heard(False, "That would be plausible in another unit. Type the unit behind the number.", "unit",
                value)
    return Heard(False, task.low_says if value < low else task.high_says, "implausible", value)


def meant(task: Task, value: float) -> Slip | None:
    """The known slip that a wrong value in the task's unit comes from, or None."""
    if abs(value - task.answer) <= task.within:
        return None
    return next((slip for slip in task.slips if abs(value - slip.value) <= max(_near(task, slip.value), 1e-12)), None)


def compare(task: Task, typed: Any, say: Say | None = None) -> Heard:
    """A prediction beside the result: the sentence names both, and says what such a guess usually means."""
    value = read(task, typed, say)
    quote = "“{}”" if task.options else "{}"
    says = f"You said {quote.format(task.text_of(value, say))}; the answer is {quote.format(task.answer_text(say))}."
    if abs(value - task.answer) <= task.within:
        return Heard(True, f"{says} {task.reveals}", value=value)
    slip = meant(task, value)
    if slip:
        return Heard(False, f"{says} {slip.says} {task.reveals}", slip.name, value)
    return Heard(False, f"{says} {task.reveals}", value=value)
