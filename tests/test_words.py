"""The trade's own words: what a reader sees holds none of the private words that stand in for them.

The list follows the project's table of words. A word that has a right use too is searched for in its wrong one only.
"""

import json
import re
import tomllib
from pathlib import Path

import pytest
from test_pages import PAGES

from springpass.core.quantity import Say
from springpass.teaching import exercises
from springpass.teaching.practice import pose

ROOT = Path(__file__).resolve().parents[1]
BANNED = {
    r"\bnoughts?\b": "zero",
    r"\bturns? a minute\b": "rpm",
    r"\b(?:mm|inch|thou) a turn\b": "per revolution",
    r"\bgive or take\b": "±",
    r",? \(?likely [\d−]": "90 % range",
    r"(?<!\.)\bodds\b(?! (?:ratio|and ends))": "chance",
    r"\b(?:thinnest|least) chip\b": "minimum chip thickness",
    r"\bas bought\b": "as supplied",
    r"\bown fling\b": "centrifugal force on the jaws",
    r"\bcounter-support\b": "tailstock centre, steady rest",
    r"\bmotor's plate\b": "nameplate",
    r"\bdrawn by lot\b": "random sampling",
    r"\bdial the rest\b": "dial in the remainder",
    r"\bsur(?:er|est) (?:of|for)\b": "more certain",
}


def found(text: str) -> list[str]:
    return [f"“{hit[0]}” ({word})" for pattern, word in BANNED.items()
            for hit in re.finditer(pattern, text, re.IGNORECASE)]


def test_the_list_finds_what_it_bans_and_nothing_else():
    assert len(found("Likely. 3 µm, likely 2 to 5 µm; 400 turns a minute, 0.1 mm a turn, give or take nought")) == 5
    assert not found("A turn of the key; an odd number; the least of the chips; at least; likely to break")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_pages(page):
    labels = " | ".join(f"{what.name if not getattr(what, 'label', '') else what.label} {getattr(what, 'says', '')}"
                        for what in page.inputs)
    for inch in (False, True):
        answer = page.answer(Say(inch))
        text = re.sub(r"<[^>]+>", " ", f"{page.title} {labels} {answer.words} {answer.more} {answer.svg}")
        assert not found(text), found(text)


@pytest.mark.parametrize("path", sorted((ROOT / "workbook").glob("*.ipynb")), ids=lambda path: path.stem)
def test_notebooks(path):
    for number, cell in enumerate(json.loads(path.read_text(encoding="utf-8"))["cells"]):
        text = "".join(cell["source"])
        for output in cell.get("outputs", []):
            kinds = output.get("data", {})
            text += "".join(output.get("text", [])) + "".join(
                part for kind in ("text/plain", "text/markdown", "text/html") for part in kinds.get(kind, []))
        assert not found(text), (number, found(text))


@pytest.mark.parametrize("path", sorted((ROOT / "data").rglob("*.toml")), ids=lambda path: path.stem)
def test_texts_in_data(path):
    text = json.dumps(tomllib.loads(path.read_text(encoding="utf-8")), ensure_ascii=False)
    assert not found(text), found(text)


@pytest.mark.parametrize("name", list(exercises.chapters()))
def test_exercises(name):
    for one in exercises.chapter(name).exercises:
        task = pose(one)
        text = " ".join([one.title, task.asks, *task.hints, *(f"{slip.name} {slip.says}" for slip in task.slips),
                         *task.options, re.sub(r"<[^>]+>", " ", task.solution())])
        assert not found(text), (one.name, found(text))


def test_the_readme():
    for name in ("README.md", "DEVELOPERS.md"):
        text = (ROOT / name).read_text(encoding="utf-8")
        assert not found(text), (name, found(text))
