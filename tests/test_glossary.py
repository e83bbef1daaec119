"""The glossary: each word stands in the chapter that explains it, means one sentence, and is found by a part of it."""

import json
import re
from pathlib import Path

import pytest

from springpass.core import tables
from springpass.pages.glossary import EVERY, GLOSSARY

WORKBOOK = Path(__file__).resolve().parents[1] / "workbook"
ROWS = tables.rows("glossary")


def read_in(name):
    found = []
    for cell in json.loads((WORKBOOK / f"{name}.ipynb").read_text(encoding="utf-8"))["cells"]:
        found.append("".join(cell["source"]))
        for output in cell.get("outputs", []):
            found += ["".join(output.get("data", {}).get(kind, "")) for kind in ("text/plain", "text/markdown")]
    return " ".join(found)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["term"])
def test_each_word_is_used_where_it_is_explained(row):
    assert re.search(rf"\b{re.escape(row['term'])}", read_in(row["chapter"]), re.IGNORECASE), row["chapter"]


def test_each_word_means_one_sentence_and_stands_once():
    assert len({row["term"] for row in ROWS}) == len(ROWS) >= 40
    for row in ROWS:
        assert row["meaning"][0].isupper() and re.fullmatch(r"[^.]+(\d\.\d[^.]*)*\.", row["meaning"]), row["meaning"]


def test_a_word_is_found_by_a_part_of_it():
    assert GLOSSARY.answer(find="spring").words.startswith("Spring pass: ")
    assert "No word here" in GLOSSARY.answer(find="qwx").words
    every = GLOSSARY.answer().more.count("<tr>") - 1
    assert every == len(ROWS) == sum(max(GLOSSARY.answer(chapter=name).more.count("<tr>") - 1, 0)
        for name in GLOSSARY.inputs[1].options if name != EVERY)
