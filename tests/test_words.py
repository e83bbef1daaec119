"""The trade's own words: what a reader sees holds none of the private words that stand in for them.

The list follows the project's table of words. A word that has a right use too is searched for in its wrong one only.
"""

import ast
import json
import re
import tomllib
from pathlib import Path

import pytest
from test_pages import PAGES

from springpass.core.quantity import Say
from springpass.printing import handout
from springpass.teaching import exercises
from springpass.teaching.practice import SAME, pose

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
    r"\b(?:a|per|each|every|one|two|half a) turns? of the (?:work|spindle|lathe)\b": "revolution",
    r"\broom number\b": "chip volume ratio",
    r"\bthe motor's plate\b|\bplate of the motor\b": "nameplate",
    r"\bspindle steps?\b": "spindle speeds",
    r"(?<!tolerance )\bclass [A-Za-z]{1,2}\d{1,2}\b": "tolerance class",
    r"\btimes too high\b": "exaggerated ×",
    r"\brings at [\d.]+ ?Hz": "natural frequency",
    r"\bstock to come off\b": "stock allowance, depth of cut",
    r"\blobes from the jaws\b": "three-lobed distortion",
    r"\bburns? cold\b": "frostbite",
    r"\bas a rule\b": "usually",
    r"\bten in a hundred\b|\b\d+ in 100 parts\b": "per cent",
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


@pytest.mark.parametrize("path", sorted((ROOT / "data").rglob("*.*")), ids=lambda path: path.stem)
def test_texts_in_data(path):
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".toml":
        text = json.dumps(tomllib.loads(text), ensure_ascii=False)
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


TYPED = {word for words in SAME.values() for word in words}   # units as people type them


@pytest.mark.parametrize("name", list(exercises.chapters()))
def test_feedback_predictions_and_handouts(name):
    one = exercises.chapter(name)
    task = one.prediction
    text = " ".join([task.asks, task.reveals, *task.options, *(slip.says for slip in task.slips)])
    text += re.sub(r"<[^>]+>", " ", handout.build(name))
    assert not found(text), found(text)


def test_what_is_refused_and_what_a_quantity_means():
    """Sentences in the library's code: refusals, tooltips, labels, notes."""
    for path in sorted((ROOT / "lib/springpass").rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        texts = {node.value for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, str)
                 and " " in node.value and node.value not in TYPED}
        wrong = [(text[:80], found(text)) for text in texts if found(text)]
        assert not wrong, (path.name, wrong)
