"""A class's predictions, gathered from what learners export: who is right, and what the wrong guesses usually mean.

    found = gather(text, "01_heat")     # text: one or more exported tables, one after the other
    found.groups                        # right; each known slip; other guesses: how many, at what value, what it means
    found.notes                         # what was left aside, line by line: nothing is lost in silence

Tables are what progress.table() writes, or a teacher's own list: semicolons, commas or tabs, decimal comma or point, a
heading line or none, the heading repeated where files were put together. Names are never needed.
"""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache

from ..core import files
from ..core.quantity import Refused, Say
from .exercises import chapter as questions
from .exercises import chapters
from .practice import EXAMPLE, Draw, Slip, Task, meant, read, word
from .progress import COLUMNS

LARGEST = 4_000_000   # letters; a school's whole year is below
SHOWN = 12            # lines named one by one; the rest are counted
ALIKE = {"name": "learner", "word": "learner", "who": "learner", "guess": "typed", "answer": "typed",
    "prediction": "typed", "said": "typed", "notebook": "chapter", "group": "class"}
KNOWN = frozenset(COLUMNS) | set(ALIKE)


@dataclass(frozen=True)
class Guess:
    """One learner's prediction. value: in the question's unit, or the option's place."""

    line: int
    learner: str
    group: str
    chapter: str
    value: float
    typed: str
    when: str = ""


@dataclass(frozen=True)
class Meaning:
    """Guesses that mean the same. kind: right, slip or other; value: where they lie, None for the others."""

    kind: str
    name: str
    says: str
    value: float | None
    guesses: tuple[Guess, ...]

    @property
    def count(self) -> int:
        return len(self.guesses)


@dataclass(frozen=True)
class Gathered:
    """What a class guessed in one chapter."""

    chapter: str
    title: str
    task: Task
    groups: tuple[Meaning, ...]      # right first, then the slips, then the others
    notes: tuple[str, ...] = ()
    elsewhere: tuple[tuple[str, int], ...] = field(default=())   # other chapters' guesses in the same text

    @property
    def guesses(self) -> list[Guess]:
        return sorted((guess for group in self.groups for guess in group.guesses),
            key=lambda guess: (guess.value, guess.line))


# ---- reading -----------------------------------------------------------------------------------------


MOST_LINES = 12_000   # forty learners with a whole course behind them


def decoded(data: bytes) -> str:
    """A file's text, in the encodings that spreadsheets write. Never fails: what cannot be read is marked."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def _cells(line: str, mark: str) -> list[str]:
    try:
        cells = [cell.strip() for cell in next(csv.reader([line], delimiter=mark, skipinitialspace=True), [])]
    except csv.Error:
        raise Refused("it cannot be split into cells.") from None
    return [files.csv_text(cell) for cell in cells]


def _heading(line: str) -> tuple[str, list[str]] | None:
    """The delimiter and the columns of a heading line; None for any other."""
    best: tuple[str, list[str]] | None = None
    for mark in (";", ",", "\t"):
        try:
            cells = [cell.casefold() for cell in _cells(line, mark)]
        except Refused:
            continue
        names = [ALIKE.get(cell, cell) for cell in cells]
        known = sum(cell in KNOWN for cell in cells)
        if (known * 2 >= len(cells) and ({"typed", "value"} & set(names))
                and (best is None or known > sum(name in COLUMNS for name in best[1]))):
            best = mark, names
    return best


def _number(text: str) -> float | None:
    try:
        return float(text.replace(",", ".").replace("−", "-"))
    except ValueError:
        return None


def _value(task: Task, row: dict[str, str], say: Say) -> float:
    """What one row says, in the question's unit: the value the workbook wrote down, or what was typed, read afresh."""
    typed, noted = row.get("typed", ""), _number(row.get("value", ""))
    if task.options:
        for place, option in enumerate(task.options):
            if " ".join(typed.casefold().split()) == option.casefold():
                return float(place)
        if noted is not None and not typed and noted in range(len(task.options)):
            return float(noted)
        raise Refused(f"“{typed[:40]}” is none of the answers ({'; '.join(task.options)}).")
    if noted is not None and abs(noted) < 1e12 and row.get("unit", "") == task.unit:
        return noted
    if not typed:
        raise Refused("there is no guess in it.")
    return read(task, typed, say)


def chapter_of(text: str, usual: str) -> str:
    """The chapter a cell means: its notebook's name, its title or its number."""
    bare = text.strip().casefold().removesuffix(".ipynb")
    if not bare:
        return usual
    for name, one in chapters().items():
        if bare in (name.casefold(), one.title.casefold(), name.split("_")[0].lstrip("0"), name.split("_")[0]):
            return name
    raise Refused(f"there is no chapter “{text[:40]}”.")


def _plain_row(line: str, usual: str, say: Say) -> dict[str, str]:
    """A line of a list without a heading: a guess, or a name and a guess."""
    task = questions(usual).prediction
    assert task
    try:
        _value(task, {"typed": line}, say)
        return {"typed": line}
    except Refused:
        pass
    for mark in ("\t", ";", ","):
        if mark in line:
            who, _, guess = line.partition(mark)
            return {"learner": who.strip().strip('"'), "typed": guess.strip().strip('"')}
    return {"typed": line}


def rows(text: str, usual: str, say: Say) -> Iterator[tuple[int, dict[str, str] | str]]:
    """Each line's cells by their column, or a sentence on why the line cannot be read; lines above any heading are
    guesses to the `usual` chapter, or cannot be read where none is named.
    """
    columns: list[str] | None = None
    mark = ";"
    if text.count("\n") + text.count("\r") > MOST_LINES:
        raise Refused(f"There are more than {MOST_LINES} lines, more than any class writes. Paste one class alone.")
    for number, line in enumerate(text.splitlines(), 1):
        line = line.replace("\ufeff", "").replace("\0", "").strip(" \r\n")
        if not line.strip(";,\t ") or line.startswith("#"):
            continue
        if line.casefold().startswith("sep=") and len(line) == 5:   # a spreadsheet's own first line
            continue
        heading = _heading(line)
        if heading:
            mark, columns = heading
            continue
        if columns is None:
            yield number, _plain_row(line, usual, say) if usual else "no heading line stands above it."
            continue
        try:
            cells = _cells(line, mark)
        except Refused as refusal:
            yield number, str(refusal)
            continue
        while len(cells) > len(columns) and not cells[-1]:
            cells.pop()
        if len(cells) > len(columns):
            yield (number,
                f"it has {len(cells)} cells, the heading {len(columns)}: a comma inside a number or a word must stand "
                "in quotes.")
            continue
        yield number, dict(zip(columns, cells, strict=False))


def gather(text: str, chapter: str, say: Say | None = None) -> Gathered:
    """A chapter's predictions out of exported text; bare numbers are in the question's unit, or in `say`'s.

    Lines that cannot be read are named in `notes` and skipped. The newest guess of a learner counts. Raises Refused for
    an unknown chapter, one without a prediction, or more text than any class writes.
    """
    if len(text) > LARGEST:
        raise Refused(
            f"That is {len(text)} letters, more than any class writes. Load the exported tables of one class at a time."
        )
    return _gather(text, chapter, bool(say and say.inch))


@lru_cache(maxsize=16)
def _gather(text: str, chapter: str, inch: bool) -> Gathered:
    asked, say = questions(chapter), Say(inch)
    task = asked.prediction
    if task is None:
        raise Refused(f"Chapter “{asked.title}” asks for no prediction.")
    kept: dict[tuple[str, ...], Guess] = {}
    faults: list[tuple[int, str]] = []   # line, why it was skipped
    replaced: list[int] = []
    answers = empty = 0
    elsewhere: Counter[str] = Counter()
    for number, row in rows(text, chapter, say):
        if isinstance(row, str):
            faults.append((number, row))
            continue
        if row.get("kind", "").casefold() == "exercise":
            answers += 1
            continue
        try:
            where = chapter_of(row.get("chapter", ""), chapter)
            own = questions(where).prediction
            assert own
            if not row.get("typed") and not row.get("value"):
                empty += 1
                continue
            guess = Guess(number, row.get("learner", ""), row.get("class", ""), where, _value(own, row, say),
                row.get("typed", ""), row.get("when", ""))
        except Refused as refusal:
            faults.append((number, str(refusal)))
            continue
        before = kept.get(_key(guess))
        if before is not None:
            older, guess = sorted((before, guess), key=lambda one: (one.when, one.line))
            replaced.append(older.line)
        kept[_key(guess)] = guess
    mine = [guess for guess in kept.values() if guess.chapter == chapter]
    elsewhere.update(guess.chapter for guess in kept.values() if guess.chapter != chapter)
    return Gathered(chapter, asked.title, task, _groups(task, mine), _notes(faults, replaced, answers, empty),
        tuple(sorted(elsewhere.items())))


def _key(guess: Guess) -> tuple[str, ...]:
    """Whose guess it is. Who chose no word stands under the example's, so those are told apart by their time."""
    try:
        who = word(guess.learner, empty=True)
    except Refused:
        who = guess.learner
    if not who:
        return (str(guess.line), guess.chapter)
    if who == EXAMPLE:
        return (who, guess.group.casefold(), guess.chapter, guess.when or str(guess.line), guess.typed)
    return (who, guess.group.casefold(), guess.chapter)


def _notes(faults: list[tuple[int, str]], replaced: list[int], answers: int, empty: int) -> tuple[str, ...]:
    notes = [f"Line {number} was skipped: {why}" for number, why in faults[:SHOWN]]
    if len(faults) > SHOWN:
        more = ", ".join(str(number) for number, _ in faults[SHOWN:])
        notes.append(f"Also skipped, for the like: lines {more}.")
    if replaced:
        some = f"line{'s' if len(replaced) > 1 else ''} {', '.join(map(str, sorted(replaced)))}"
        notes.append(
            f"A learner's newest guess counts: {some} {'are' if len(replaced) > 1 else 'is'} older and left aside.")
    if answers:
        notes.append(
            f"{answers} line{'s are answers' if answers > 1 else ' is an answer'} to exercises, not predictions.")
    if empty:
        notes.append(f"{empty} line{'s hold' if empty > 1 else ' holds'} no guess.")
    return tuple(notes)


def _groups(task: Task, guesses: list[Guess]) -> tuple[Meaning, ...]:
    right = tuple(guess for guess in guesses if abs(guess.value - task.answer) <= task.within)
    wrong: dict[Slip | None, list[Guess]] = {slip: [] for slip in task.slips}
    wrong[None] = []
    for guess in guesses:
        if abs(guess.value - task.answer) > task.within:
            wrong[meant(task, guess.value)].append(guess)
    others = tuple(wrong.pop(None))
    groups = [Meaning("right", "right", task.reveals, task.answer, right)]
    groups += [Meaning("slip", slip.name, slip.says, slip.value, tuple(found)) for slip, found in wrong.items()
        if slip is not None]
    if others:
        groups.append(Meaning("other", "none of the usual", "", None, others))
    return tuple(groups)


# ---- an invented class, so that there is something to see -------------------------------------------


def demo(count: int = 14) -> str:
    """An invented class's guesses in every chapter, the same on every machine; marked as invented."""
    lines = ["# invented for the demo: no real class", "learner;kind;chapter;typed"]
    for name, one in chapters().items():
        task = one.prediction
        if task is None:
            continue
        for number in range(1, count + 1):
            draw = Draw(f"demo|{name}|{number}")
            places = [task.answer] * 4 + [slip.value for slip in task.slips] * 3
            value = draw.pick(places)
            if not task.options and draw.share() < 0.5:
                value = (value or 0.2 * task.answer) * (0.75 + 0.5 * draw.share())
            lines.append(f"demo {number};prediction;{name};{task.text_of(_short(task, value))}")
    return "\n".join(lines) + "\n"


def _short(task: Task, value: float) -> float:
    """A guess as people make it: two figures, three where two would not do."""
    return float(f"{value:.{3 if task.within < 0.02 * abs(task.answer) else 2}g}")
