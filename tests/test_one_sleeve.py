"""The club's drive sleeve is one part: one material, one drawing, one set of numbers in all chapters."""

import json
import re
import tomllib
from pathlib import Path

import pytest

from springpass.job import part
from springpass.pages import catalogue, heat
from springpass.screen.page import Choose
from springpass.teaching import exercises, practice

ROOT = Path(__file__).resolve().parents[1]
SLEEVE = part.demo("drive_sleeve")
NAMED = {s.code: s.diameter for s in SLEEVE.surfaces if s.code}      # h6, j6, H7
SIZES = {f"{s.diameter:g}": s for s in SLEEVE.surfaces if s.code}
APART = {"is_it_my_lathe", "start"}    # a test bar of free-cutting steel; a ring of any stock
STEELS = {"42CrMo4 / 4140", "low-carbon steel 1020"}


def texts():
    """Everything a chapter says: (where, text)."""
    for path in sorted((ROOT / "workbook").glob("*.ipynb")):
        for number, cell in enumerate(json.loads(path.read_text(encoding="utf-8"))["cells"]):
            if cell["cell_type"] == "markdown":
                yield f"{path.stem}, cell {number}", "".join(cell["source"])
    for path in sorted([*(ROOT / "data/lessons").glob("*.toml"), *(ROOT / "data/chapters").glob("*.toml"),
                        ROOT / "data/wall_cards.toml"]):
        yield path.name, json.dumps(tomllib.loads(path.read_text(encoding="utf-8")), ensure_ascii=False)
    for name in exercises.chapters():
        for one in exercises.chapter(name).exercises:
            yield one.name, practice.pose(one).asks


def wrong(sentence: str) -> list[str]:
    """Sizes of the sleeve that its drawing does not have."""
    found = []
    for size, code in re.findall(r"(?<![\d.,])(\d+) ?(?:mm )?([a-zA-Z]{1,2}\d{1,2})\b", sentence):
        if (size in SIZES and SIZES[size].code != code) or (code in ("h6", "j6") and NAMED[code] != float(size)):
            found.append(f"{size} {code}")
    for thread in re.findall(r"\bM18(?:x[\d.]+)?", sentence):
        if thread != next(s.thread for s in SLEEVE.surfaces if s.thread):
            found.append(thread)
    for long in re.findall(r"(\d+)(?: mm)? long\b", sentence):
        if float(long) != SLEEVE.length:
            found.append(f"{long} long")
    for deep in re.findall(r"(\d+)(?: mm)? deep\b", sentence):
        if float(deep) != next(s.end for s in SLEEVE.surfaces if s.kind == "bore"):
            found.append(f"{deep} deep")
    if found or re.search("42CrMo4|4140", sentence):
        return found or ["42CrMo4"]
    return []


def test_the_search_notices():
    assert wrong("The sleeve has a seat Ø20 h7, 80 long, and M18x1.5; its bore is 30 mm deep.") == [
        "20 h7", "M18x1.5", "80 long", "30 deep"]
    assert wrong("The sleeve of 42CrMo4") and not wrong("The sleeve, Ø20 h6 and Ø15 j6, 85 mm long, M18x1, 32 deep")


def test_every_text_speaks_of_the_drawing_s_sleeve():
    said = []
    for where, text in texts():
        for sentence in re.split(r"(?<=[.!?:])\s", text):
            if re.search(r"\b(?:drive|club's) sleeve\b|\bthe sleeve\b|\bsleeve's\b", sentence, re.IGNORECASE):
                said += [f"{where}: {one} in “{sentence[:90]}”" for one in wrong(sentence)]
    assert not said, "\n".join(said)


@pytest.mark.parametrize("page", [p for name, p in catalogue.pages().items() if name not in APART],
                         ids=lambda page: page.name)
def test_no_page_opens_on_another_steel(page):
    for what in page.inputs:
        if isinstance(what, Choose):
            assert page.usual()[what.name] not in STEELS, f"the sleeve is of {SLEEVE.material}"


def test_the_club_s_fits_take_its_steel():
    assert SLEEVE.material == heat.STEEL
    assert any(SLEEVE.material in one for one in heat.PAIRS.values())
