"""What a learner has done: kept in the user's own file, reset and brought back, exported, printed.

The file is `progress.json` beside the shop file (shop.py): written whole, the one before kept, a damaged one set aside
and reported. Several learners may share a computer; each word with its class has its own pages in the file.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from datetime import datetime
from html import escape
from pathlib import Path
from typing import Any

from ..core import files
from ..core.quantity import Refused, Say
from .practice import EXAMPLE, Chapter, Task, code, pose, word

FILE = "progress"
EMPTY: dict[str, Any] = {"version": 1, "learner": "", "group": "", "learners": {}}
COLUMNS = ("learner", "class", "kind", "chapter", "exercise", "typed", "value", "unit", "right", "slip", "tries",
    "hints", "solution", "when", "sheet")
PAPERS = {"A4": "A4", "Letter": "letter"}


def sound(data: Any) -> bool:
    """Is this what a progress file holds?"""
    return (isinstance(data, dict) and isinstance(data.get("learners"), dict) and isinstance(data.get("learner"), str)
        and isinstance(data.get("group"), str)
        and all(isinstance(pages, dict)
        and all(isinstance(pages.get(part), dict) and all(isinstance(r, dict) for r in pages[part].values())
        for part in ("predictions", "exercises")) for pages in data["learners"].values()))


def _key(learner: str, group: str) -> str:
    return f"{word(group, 'The class', True)}|{word(learner)}"


def who() -> tuple[str, str]:
    """The word and the class last chosen; the example's word where none was."""
    data = files.load(FILE, EMPTY, sound)
    return data["learner"] or EXAMPLE, data["group"]


def call_me(learner: str, group: str = "", follow: bool = False) -> tuple[str, str]:
    """Choose whose numbers to use from now on; returns the word and the class as kept. Raises Refused.

    Whoever chooses a first word, or another class under the same word, is the same learner: what was guessed and
    solved goes along. Another word is another learner, and nothing goes along, unless `follow` says it is the same one.
    """
    kept = word(learner), word(group, "The class", True)

    def edit(data: dict[str, Any]) -> dict[str, Any]:
        now = data["learner"], data["group"]
        if follow or now[0] in ("", kept[0]):
            _move(data, _key(now[0] or EXAMPLE, now[1]), _key(*kept))
        elif kept != now:
            data["before"] = list(now)
        data["learner"], data["group"] = kept
        return data

    files.change(FILE, edit, EMPTY, sound)
    return kept


def before() -> tuple[str, str] | None:
    """The learner who was here before the word was last changed, if anything is noted of them."""
    data = files.load(FILE, EMPTY, sound)
    was = data.get("before")
    known = isinstance(was, list) and len(was) == 2 and all(isinstance(one, str) for one in was) and was[0]
    return (was[0], was[1]) if known and _key(*was) in data["learners"] else None


def still_me() -> tuple[str, str]:
    """The word was changed by the same learner: what was noted under the one before goes along. Raises Refused."""
    was = before()
    if was is None:
        raise Refused("Nothing is noted under an earlier word, so there is nothing to bring along.")
    now = who()

    def edit(data: dict[str, Any]) -> dict[str, Any]:
        _move(data, _key(*was), _key(*now))
        data.pop("before", None)
        return data

    files.change(FILE, edit, EMPTY, sound)
    return now


def someone_else() -> None:
    """Another learner sits down who has no word yet. What was noted without a word is kept under a number."""
    def edit(data: dict[str, Any]) -> dict[str, Any]:
        unnamed = _key(EXAMPLE, data["group"])
        if any(data["learners"].get(unnamed, {}).values()):
            number = next(n for n in range(1, 10_000) if f"{unnamed} {n}" not in data["learners"])
            _move(data, unnamed, f"{unnamed} {number}")
        data["learner"] = ""
        data.pop("before", None)
        return data

    files.change(FILE, edit, EMPTY, sound)


def _move(data: dict[str, Any], old: str, new: str) -> None:
    """What is noted under one key goes to another. Where both know something, the newer stands and the older is put
    by.
    """
    if old == new:
        return
    moved = data["learners"].pop(old, {})
    own = data["learners"].setdefault(new, {"predictions": {}, "exercises": {}})
    older: dict[str, Any] = {"predictions": {}, "exercises": {}}
    for part, rows in moved.items():
        for name, row in rows.items():
            first, last = sorted((row, own[part].get(name, {})), key=lambda r: str(r.get("when", "")))
            own[part][name] = last
            if first:
                older[part][name] = first
    put_by = data.get("put by", {})
    kept = [*put_by.pop(old, []), *put_by.get(new, []), *([older] if any(older.values()) else [])]
    if kept:
        data.setdefault("put by", {})[new] = kept


def pages(learner: str, group: str = "") -> dict[str, Any]:
    """What is noted of one learner: {"predictions": {chapter: …}, "exercises": {name: …}}."""
    return files.load(FILE, EMPTY, sound)["learners"].get(_key(learner, group), {"predictions": {}, "exercises": {}})


def note(part: str, name: str, learner: str, group: str = "", **facts: Any) -> dict[str, Any]:
    """Note facts about one prediction or exercise; `tries` and `hints` count up by what is given. Raises Refused if it
    cannot be saved.
    """
    if part not in ("predictions", "exercises"):
        raise Refused(f"“{part}” is neither predictions nor exercises.")
    kept: dict[str, Any] = {}

    def edit(data: dict[str, Any]) -> dict[str, Any]:
        own = data["learners"].setdefault(_key(learner, group), {"predictions": {}, "exercises": {}})
        row = own[part].setdefault(name, {})
        for fact, value in facts.items():
            row[fact] = int(row.get(fact) or 0) + value if fact == "tries" else value
        if part == "exercises" and "typed" in facts:
            row["sheet"] = code(learner, group)   # whose numbers it answers
        row["when"] = datetime.now().isoformat(timespec="seconds")
        kept.update(row)
        return data

    files.change(FILE, edit, EMPTY, sound)
    return kept


def reset(learner: str, group: str = "") -> None:
    """Start afresh. What was there is put by, and `bring_back` fetches it."""
    key = _key(learner, group)

    def edit(data: dict[str, Any]) -> dict[str, Any]:
        if key in data["learners"]:
            data.setdefault("put by", {}).setdefault(key, []).append(data["learners"].pop(key))
        return data

    files.change(FILE, edit, EMPTY, sound)


def bring_back(learner: str, group: str = "") -> None:
    """Undo the last reset; what was done since stands where both have it. Raises Refused if there was none."""
    key = _key(learner, group)

    def edit(data: dict[str, Any]) -> dict[str, Any]:
        kept = data.get("put by", {}).get(key)
        if not kept:
            raise Refused("Nothing has been put by under this word, so there is nothing to bring back.")
        old, now = kept.pop(), data["learners"].get(key, {})
        data["learners"][key] = {part: old[part] | now.get(part, {}) for part in ("predictions", "exercises")}
        return data

    files.change(FILE, edit, EMPTY, sound)


def of_these(row: dict[str, Any], learner: str, group: str) -> dict[str, Any]:
    """What is noted of an exercise, if it was answered with these numbers and not before a change of word or class."""
    return row if row.get("sheet", code(learner, group)) == code(learner, group) else {}


def summary(chapter: Chapter, learner: str, group: str = "") -> str:
    """One sentence: how many are solved."""
    done = pages(learner, group)["exercises"]
    right = sum(bool(done.get(e.name, {}).get("right")) for e in chapter.exercises)
    tried = sum(bool(done.get(e.name, {}).get("tries")) for e in chapter.exercises)
    return f"{right} of {len(chapter.exercises)} solved, {tried} tried. Sheet {code(learner, group)}."


# ---- out of the house ------------------------------------------------------------------------------


def table(learner: str = "", group: str = "") -> str:
    """All that is noted as CSV text, or one learner's. A cell that a spreadsheet would run as a formula is quoted."""
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(COLUMNS)
    rows.writerows(lines(files.load(FILE, EMPTY, sound), _key(learner, group) if learner else None))
    return out.getvalue()


def lines(data: dict[str, Any], wanted: str | None = None) -> Iterator[list[Any]]:
    """The table's lines from what a progress file holds, of one learner's key only where it is given."""
    for key, own in sorted(data["learners"].items()):
        if wanted not in (None, key):
            continue
        in_class, _, who_ = key.partition("|")
        for part, kind in (("predictions", "prediction"), ("exercises", "exercise")):
            for name, facts in sorted(own[part].items()):
                chapter, _, exercise = name.partition("/")
                fixed = {"learner": who_, "class": in_class, "kind": kind, "chapter": chapter, "exercise": exercise}
                yield [_cell((fixed | facts).get(column, "")) for column in COLUMNS]


def _cell(value: Any) -> Any:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return files.csv_cell(value) if isinstance(value, str) else value


SHEET_STYLE = Path(__file__).with_name("progress.css").read_text(encoding="utf-8")


def sheet(chapters: list[Chapter], learner: str, group: str = "", say: Say | None = None, paper: str = "A4", *,
        key: bool = False, answers: bool = True) -> str:
    """One learner's exercises as an HTML page to print; with `answers` what they have typed so far, with `key` the
    worked solutions.
    """
    if paper not in PAPERS:
        raise Refused(f"“{paper}” paper is not known. Choose A4 or Letter.")
    done = pages(learner, group)["exercises"] if answers else {}
    body = []
    for chapter in chapters:
        body.append(f"<h2>{escape(chapter.title)}</h2>")
        for number, exercise in enumerate(chapter.exercises, 1):
            body.append(
                printed(number, exercise.heading, pose(exercise, learner, group, say),
                of_these(done.get(exercise.name, {}), learner, group), say, key))
    in_class = f", class {escape(word(group, 'The class', True))}" if group else ""
    top = (f'<div class="top"><span>Numbers for <b>{escape(word(learner))}</b>{in_class}</span><span>Sheet '
        f'{code(learner, group)}{" · key" if key else ""}</span></div>')
    return ('<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" '
        f'content="width=device-width"><title>Exercises {code(learner, group)}</title>'
        f"<style>{SHEET_STYLE.replace('PAPER', PAPERS[paper])}</style></head>"
        f"<body><h1>Spring Pass: exercises</h1>{top}{''.join(body)}"
        '<p class="small">At a machine its manual, the workshop\'s rules and a qualified instructor come '
        'first.</p></body></html>')


def printed(number: int, title: str, task: Task, done: dict[str, Any], say: Say | None, key: bool,
        room: bool = False) -> str:
    """One question as it stands on a sheet to print; with `room` to work it out."""
    lines = f"<p><b>{number}. {escape(title)}</b> {escape(task.asks)}</p>"
    if task.options:
        lines += "<p>" + " &nbsp; ".join(f"☐ {escape(option)}" for option in task.options) + "</p>"
    if key:
        lines += task.solution(say)
    elif done.get("typed"):
        lines += f'<p>Answered: {escape(str(done["typed"]))} ({"right" if done.get("right") else "not right yet"})</p>'
    if not key and not task.options and not done.get("right"):  # room to write
        lines += ('<div class="room"></div>' if room else "") + ('<div class="line"><span>Answer</span><span '
            f'style="margin-left:auto">{escape(task.wanted(say))}</span></div>')
    return f"<section>{lines}</section>"
