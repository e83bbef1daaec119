"""What changed on a page leads to the notebook cell that must follow: said in one line, without a kernel."""

import ast
import importlib
import json
import re
from pathlib import Path

import pytest

from springpass.screen.page import Page
from springpass.teaching import exercises

ROOT = Path(__file__).resolve().parents[1]
NOTEBOOKS = sorted((ROOT / "workbook").glob("*.ipynb"))


def shown(notebook: dict) -> list[tuple[int, str, Page]]:
    """The cells of a notebook that show one page: number from 0, the page's name in the cell, and the page."""
    names: dict[str, str] = {}   # what a cell calls it: the module
    found = []
    for number, cell in enumerate(notebook["cells"]):
        source = "".join(cell["source"])
        if cell["cell_type"] != "code" or source.lstrip().startswith("%"):
            continue
        for node in ast.walk(ast.parse(source)):
            if isinstance(node, ast.ImportFrom) and node.module == "springpass.pages":
                names |= {alias.asname or alias.name: alias.name for alias in node.names}
            elif (isinstance(node, ast.Call) and getattr(node.func, "id", "") == "show"
                  and isinstance(node.args[0], ast.Attribute) and isinstance(node.args[0].value, ast.Name)):
                module, name = names[node.args[0].value.id], node.args[0].attr
                page = getattr(importlib.import_module(f"springpass.pages.{module}"), name)
                found.append((number, f"{module}.{name}", page))
    return found


def opens(chapter: str, page: Page) -> dict:
    """Where a page stands first: at its usual values, or at those of the prediction that it answers."""
    seen = exercises.chapter(chapter).seen if chapter in exercises.chapters() else None
    return seen.opens if seen and seen.page == page.name else {}


def differences(stored: dict, fresh: dict[str, str]) -> str:
    """Which of words and picture differ, with the first words that do."""
    kinds = {"text/plain": "the words", "image/svg+xml": "the picture"}
    old = {kind: "".join(stored.get(kind, "")) for kind in kinds}
    new = {kind: fresh.get(kind, "") for kind in kinds}
    told = [name for kind, name in kinds.items() if re.sub(r"\s", "", old[kind]) != re.sub(r"\s", "", new[kind])]
    before, now = old["text/plain"].split(), new["text/plain"].split()
    place = next((i for i, (a, b) in enumerate(zip(before, now, strict=False)) if a != b), min(len(before), len(now)))
    if "the words" in told:
        told[0] += f" (“{' '.join(now[place:place + 5])}”, stored “{' '.join(before[place:place + 5])}”)"
    return " and ".join(told)


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_a_stored_still_is_its_page(path):
    notebook = json.loads(path.read_text(encoding="utf-8"))
    stale = []
    for number, name, page in shown(notebook):
        stored = next((output["data"] for output in notebook["cells"][number]["outputs"] if "data" in output), {})
        if said := differences(stored, page.still(**opens(path.stem, page))):
            stale.append(f"workbook/{path.name}, cell {number}, show({name}): {said} changed")
    assert not stale, "\n".join([*stale, f"If so meant: python tests/rebuild.py {path.stem}"])


def test_a_changed_word_is_named_with_its_place():
    old, new = {"text/plain": ["It holds. ", "4 µm."], "image/svg+xml": "<svg>\n<g/></svg>"}, "<svg><g/></svg>"
    assert differences(old, {"text/plain": "It holds. 4 µm.", "image/svg+xml": new}) == ""
    said = differences(old, {"text/plain": "It holds. 5 µm.", "image/svg+xml": new})
    assert "5 µm." in said and "4 µm." in said and "picture" not in said
    assert differences(old, {"text/plain": "It holds. 4 µm.", "image/svg+xml": "<svg/>"}) == "the picture"
