"""A class's answers, marked from the tables that learners send back: who has solved what, which slips are made most.

    found = mark(text)              # text: exported tables (progress.table), one after the other
    found.learners, found.of(found.learners[0], exercise), found.slips()
    python -m springpass.teaching.marking /home/*/spring_pass > class.csv     # on a server, by its administrator

Every answer is marked afresh from what was typed and the learner's own numbers; the table's word "right" is taken only
where the numbers were another word's, which nobody else can know.
"""

from __future__ import annotations

import csv
import io
import json
import sys
from collections import Counter
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from ..core.quantity import Refused, Say
from . import exercises, progress
from .class_predictions import LARGEST, chapter_of, rows
from .practice import EXAMPLE, Draw, Exercise, check, code, pose, word

RIGHT, SLIP, WRONG, OTHER_NUMBERS = "right", "slip", "wrong", "right with other numbers"


@dataclass(frozen=True)
class Answer:
    """One learner's last answer to one exercise."""

    line: int
    learner: str
    group: str
    exercise: str          # its name, "01_heat/ring"
    typed: str
    mark: str              # RIGHT, SLIP, WRONG or OTHER_NUMBERS
    slip: str = ""         # the known slip's name
    tries: int = 0
    hints: int = 0
    solution: bool = False   # the worked solution was looked at
    when: str = ""

    @property
    def solved(self) -> bool:
        return self.mark in (RIGHT, OTHER_NUMBERS)


@dataclass(frozen=True)
class Marked:
    """The marked answers of a class, and what had to be left out."""

    answers: tuple[Answer, ...]
    notes: tuple[str, ...]

    @property
    def learners(self) -> tuple[tuple[str, str], ...]:
        """(word, class) of everybody with an answer, in order."""
        return tuple(sorted({(one.learner, one.group) for one in self.answers}))

    def of(self, learner: tuple[str, str], exercise: str) -> Answer | None:
        """A learner's answer to one exercise, None where there is none."""
        return next((one for one in self.answers
            if (one.learner, one.group) == learner and one.exercise == exercise), None)

    def slips(self, among: tuple[str, ...] = ()) -> list[tuple[str, str, int]]:
        """(exercise, slip, how many learners), the commonest first; of some exercises only where named."""
        counted = Counter((one.exercise, one.slip) for one in self.answers
            if one.mark == SLIP and (not among or one.exercise in among))
        return [(name, slip, count) for (name, slip), count in counted.most_common()]


def mark(text: str) -> Marked:
    """Marks exported tables put one after the other. What cannot be read is named in `notes` and left out; of two
    answers to one exercise the newer counts. Raises Refused for more text than any class writes.
    """
    if len(text) > LARGEST:
        raise Refused(
            f"That is {len(text)} letters, more than any class writes. Load the exported tables of one class at a time."
        )
    return _mark(text)


@lru_cache(maxsize=8)
def _mark(text: str) -> Marked:
    kept: dict[tuple[str, str, str], Answer] = {}
    faults: list[str] = []
    for number, row in rows(text, "", Say()):
        if isinstance(row, str):
            faults.append(f"Line {number} was left out: {row}")
            continue
        if row.get("kind", "").casefold() != "exercise" or not row.get("typed"):
            continue
        try:
            answer = _answer(number, row)
        except Refused as refusal:
            faults.append(f"Line {number} ({row.get('learner') or 'no name'}) was left out: {refusal}")
            continue
        key = answer.learner, answer.group, answer.exercise
        if key not in kept or kept[key].when <= answer.when:
            kept[key] = answer
    return Marked(tuple(sorted(kept.values(), key=lambda one: (one.learner, one.group, one.exercise))), tuple(faults))


def _exercise(chapter: str, name: str) -> Exercise:
    full = f"{chapter_of(chapter, '')}/{name}"
    for one in exercises.chapter(full.split("/")[0]).exercises:
        if one.name == full:
            return one
    raise Refused(f"there is no exercise “{name[:40]}” in that chapter.")


def _answer(line: int, row: dict[str, str]) -> Answer:
    exercise = _exercise(row.get("chapter", ""), row.get("exercise", ""))
    learner, group = word(row.get("learner", "")), word(row.get("class", ""), "The class", True)
    tries, hints = (int(row[name]) if row.get(name, "").isdecimal() else 0 for name in ("tries", "hints"))

    def marked(how: str, slip: str = "") -> Answer:
        return Answer(line, learner, group, exercise.name, row["typed"], how, slip, tries, hints,
            row.get("solution") == "yes", row.get("when", ""))

    numbers = EXAMPLE if row.get("sheet") == code(EXAMPLE, group) else learner   # whose were asked
    if row.get("sheet") and row["sheet"] != code(numbers, group):
        return marked(OTHER_NUMBERS if row.get("right") == "yes" else WRONG)
    task = pose(exercise, numbers, group)
    heard = check(task, row["typed"], Say(_inch(row, task.unit)))
    return marked(RIGHT if heard.right else SLIP if heard.slip else WRONG, heard.slip)


def _inch(row: dict[str, str], unit: str) -> bool:
    """Was a bare number meant in inch or thou? The workbook noted its value in the question's own unit beside it."""
    if unit != "mm":
        return False
    try:
        typed, value = float(row["typed"].replace(",", ".")), float(row.get("value", ""))
    except ValueError:
        return False
    return bool(typed) and min(abs(value / typed / by - 1) for by in (25.4, 0.0254)) < 1e-6


# ---- on a server -----------------------------------------------------------------------------------


def collect(folders: list[Path]) -> tuple[str, list[str]]:
    """The tables of all learners whose progress files lie in these folders, as one CSV text, and a sentence for each
    folder that could not be read. A learner without a word is called by the home the folder lies in.
    """
    out, faults = io.StringIO(), []
    lines = csv.writer(out, lineterminator="\n")
    lines.writerow(progress.COLUMNS)
    for folder in folders:
        place = folder / f"{progress.FILE}.json"
        try:
            data = json.loads(place.read_text(encoding="utf-8"))
        except FileNotFoundError:
            continue
        except (OSError, ValueError):
            faults.append(f"{place} cannot be read and was left out.")
            continue
        if not progress.sound(data):
            faults.append(f"{place} is damaged and was left out.")
            continue
        home = folder.resolve().parent.name
        data["learners"] = {f"{key} {home}" if key.endswith(f"|{EXAMPLE}") else key: own for key,
            own in data["learners"].items()}
        lines.writerows(progress.lines(data))
    return out.getvalue(), faults


def main(folders: list[str]) -> int:
    """Print the tables of the folders named; what was left out goes to the error stream."""
    text, faults = collect([Path(one) for one in folders])
    sys.stdout.write(text)
    for fault in faults:
        print(fault, file=sys.stderr)
    return bool(faults)


# ---- an invented class, so that there is something to see -------------------------------------------


@lru_cache(maxsize=1)
def demo(count: int = 12) -> str:
    """An invented class's answers in the first chapters, the same on every machine; marked as invented."""
    out = io.StringIO()
    lines = csv.writer(out, lineterminator="\n")
    lines.writerow(progress.COLUMNS)
    for number in range(1, count + 1):
        who, draw = f"demo {number}", Draw(f"marking|{number}")
        for chapter in list(exercises.chapters())[:4]:
            for one in exercises.chapter(chapter).exercises:
                task = pose(one, who, "demo")
                if draw.share() < 0.25:
                    continue
                value = draw.pick(task.slips).value if task.slips and draw.share() < 0.3 else task.answer
                facts = {"learner": who, "class": "demo", "kind": "exercise", "chapter": chapter,
                    "exercise": one.name.split("/")[1], "typed": task.text_of(value), "tries": draw.whole(1, 3),
                    "hints": draw.whole(0, 2)}
                lines.writerow([facts.get(column, "") for column in progress.COLUMNS])
    return "# invented for the demo: no real class\n" + out.getvalue()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
