"""The house: arrows between modules, the top level, the map of the workbook."""

import ast
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from springpass.exercises import chapter

ROOT = Path(__file__).resolve().parents[1]
LIB = ROOT / "lib" / "springpass"
MODULES = sorted(LIB.glob("*.py"))
PAGES = sorted((LIB / "pages").glob("*.py"))
EXERCISES = sorted((LIB / "exercises").glob("*.py"))
# the floors of the house, from the cellar up; a topic is whatever is not named here
CELLAR = ["__init__", "quantities", "door", "formula", "spread", "tables"]
ATTIC = [
    "draw",
    "access",
    "practice",
    "progress",
    "typeset",
    "page",
    "page_practice",
    "class_predictions",
    "texmath",
    "handout",
    "wall_card",
    "classroom",
    "pocket_steps",
    "pocket_paper",
    "pocket",
]
WITH_WIDGETS = ["page", "page_practice"]


def imports(path: Path) -> set[str]:
    """Names of this library's modules that a module imports, and outside packages by their own name."""
    found: set[str] = set()
    inside = path.parent.name in ("pages", "exercises")
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            found |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            own = node.level == (2 if inside else 1)
            if own and node.module is None:
                found |= {f".{alias.name}" for alias in node.names}
            elif own:
                found.add(f".{(node.module or '').split('.')[0]}")
            elif node.level == 0:
                found.add((node.module or "").split(".")[0])
    return found


@pytest.mark.parametrize("path", MODULES + PAGES + EXERCISES, ids=lambda p: f"{p.parent.name}/{p.stem}")
def test_arrows_run_one_way(path):
    uses = imports(path)
    if path.parent.name == "pages" or path.stem not in WITH_WIDGETS:
        assert not uses & {"ipywidgets", "IPython"}, "only page.py and page_practice.py know widgets"
    if path.parent.name == "pages":
        return
    shown = {".page", ".page_practice", ".pages", ".draw"}
    if path.parent.name == "exercises":
        assert not uses & (shown | {".progress", ".shop", ".typeset"}), (
            "exercises stand on the topics and practice alone"
        )
        return
    if path.stem in ("practice", "progress"):
        assert not uses & (shown | {".exercises"}), "practice asks and checks; it shows nothing"
        return
    above = {f".{name}" for name in ["pages", "exercises", *ATTIC]}
    if path.stem in CELLAR:
        later = {f".{name}" for name in CELLAR[CELLAR.index(path.stem) + 1:]} if path.stem != "tables" else set()
        topics = {f".{p.stem}" for p in MODULES if p.stem not in CELLAR + ATTIC}
        assert not uses & (above | later | topics)
    elif path.stem in ("draw", "typeset"):
        assert {u for u in uses if u.startswith(".")} <= {".quantities", ".door", ".formula"}, (
            "draw computes no physics"
        )
    elif path.stem not in ATTIC:
        assert not uses & above, "a topic draws nothing and shows nothing"


@pytest.mark.parametrize("path", MODULES + PAGES + EXERCISES, ids=lambda p: f"{p.parent.name}/{p.stem}")
def test_every_module_says_what_it_is(path):
    assert ast.get_docstring(ast.parse(path.read_text()))


def test_importing_the_library_is_cheap():
    """No topic, no SymPy and no widgets come with the bare name."""
    code = "import sys, springpass; print([m for m in ('sympy', 'ipywidgets', 'numpy') if m in sys.modules])"
    assert (
        subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.strip() == "[]"
    )


@pytest.mark.parametrize("module", [p.stem for p in MODULES if p.stem not in (*ATTIC, "__init__")])
def test_a_topic_brings_neither_widgets_nor_sympy(module):
    code = (
        f"import sys, springpass.{module}; print([m for m in ('sympy', 'ipywidgets', 'IPython') if m in sys.modules])"
    )
    assert (
        subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.strip() == "[]"
    )


def test_the_top_level_is_as_designed():
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True)
    if listed.returncode:
        pytest.skip("not a git checkout")
    top = {name.split("/")[0] for name in listed.stdout.split()}
    assert {name for name in top if not name.startswith(".")} <= {
        "README.md", "DEVELOPERS.md", "requirements.txt", "workbook", "lib", "tests", "data"}


NOTEBOOKS = sorted((ROOT / "workbook").glob("*.ipynb"))


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_a_notebook_is_stored_as_it_should_be(path):
    notebook = json.loads(path.read_text())
    assert set(notebook["metadata"]) == {"kernelspec", "language_info"}
    assert notebook["metadata"]["language_info"] == {"name": "python"}
    for cell in notebook["cells"]:
        if cell["cell_type"] != "code":
            continue
        source = "".join(cell["source"])
        assert len(source.splitlines()) <= 10, "longer than a few lines belongs in lib/"
        assert not re.search(r"import (numpy|ipywidgets|sympy)", source) or "sympy" in source
        for output in cell["outputs"]:
            assert output["output_type"] != "error"
            assert "application/vnd.jupyter.widget-view+json" not in output.get("data", {})


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_a_notebook_is_on_both_maps(path):
    assert f"workbook/{path.name}" in (ROOT / "README.md").read_text()
    if path.stem != "00_start_here":
        assert f"({path.name})" in "".join(
            "".join(cell["source"]) for cell in json.loads((ROOT / "workbook/00_start_here.ipynb").read_text())["cells"]
        )


CHAPTERS = [path for path in NOTEBOOKS if re.match(r"(0[1-9]|10)_", path.stem)]
OUTLINE = [
    "At the lathe",
    "Predict",
    "Slide",
    "Why",
    "Worked example",
    "Rule of thumb",
    "Before you cut",
    "Exercises",
    "Sources",
]


@pytest.mark.parametrize("path", CHAPTERS, ids=lambda p: p.stem)
def test_a_chapter_keeps_the_outline(path):
    text = "\n".join(
        "".join(cell["source"]) for cell in json.loads(path.read_text())["cells"] if cell["cell_type"] == "markdown"
    )
    heads = re.findall(r"^##\s+(.*)$", text, re.M)
    places = [
        next((i for i, head in enumerate(heads) if head.lower().startswith(part.lower())), -1) for part in OUTLINE
    ]
    assert -1 not in places, f"missing: {[p for p, i in zip(OUTLINE, places, strict=True) if i < 0]}; there are {heads}"
    assert places == sorted(places)
    code = ["".join(cell["source"]) for cell in json.loads(path.read_text())["cells"] if cell["cell_type"] == "code"]
    exercises = text[text.index("## Exercises"):text.index("## Sources")]
    drawn = len(chapter(path.stem).exercises) if any(f'practise("{path.stem}")' in source for source in code) else 0
    assert drawn + exercises.count("<details>") >= 6, (
        "six exercises or more, with a worked solution each: the widget's and the folded ones"
    )


def test_links_inside_the_workbook_lead_somewhere():
    for path in NOTEBOOKS:
        text = "\n".join(
            "".join(cell["source"]) for cell in json.loads(path.read_text())["cells"] if cell["cell_type"] == "markdown"
        )
        for target in re.findall(r"\]\(([^)#:]+\.ipynb)", text):
            assert (path.parent / target).exists(), f"{path.name} points to {target}"


@pytest.mark.parametrize("path", PAGES, ids=lambda p: p.stem)
def test_every_page_is_shown_in_a_notebook(path):
    made = re.findall(r"^([A-Z_]+)(?:: Page)? = Page\(", path.read_text(), re.M)
    shown = set()
    for notebook in NOTEBOOKS:
        text = "\n".join(
            "".join(cell["source"]) for cell in json.loads(notebook.read_text())["cells"] if cell["cell_type"] == "code"
        )
        for part in ",".join(re.findall(r"from springpass\.pages import (.*)", text)).split(","):
            module, _, alias = part.strip().partition(" as ")
            if module == path.stem:
                shown |= set(re.findall(rf"\b{alias or module}\.([A-Z_]+)\b", text))
    missing = [name for name in made if name not in shown]
    assert not missing, (
        f"no notebook shows {', '.join(missing)}: add a cell show({path.stem}.{missing[0]}) and run tests/rebuild.py"
    )


def test_developers_md_says_why_each_dependency_is_here():
    text = (ROOT / "DEVELOPERS.md").read_text()
    for listed in ("requirements.txt", "tests/requirements.txt"):
        for package in re.findall(r"^([a-z][\w-]*)[><=]", (ROOT / listed).read_text(), re.M):
            assert re.search(rf"^\|[^|]*\b{package}\b[^|]*\|", text, re.M), (
                f"{package} of {listed} has no line in the table of DEVELOPERS.md"
            )


def test_developers_md_names_what_there_is():
    """Every path and command it names exists."""
    text = (ROOT / "DEVELOPERS.md").read_text()
    for path in set(
        re.findall(
            r"`(?:python |bash |pytest )?((?:tests|lib|data|workbook|\.ci|pages|exercises)/[\w/.]*\w)(?![\w<])", text
        )
    ):
        assert (ROOT / path).exists() or (LIB / path).exists(), f"DEVELOPERS.md names {path}, which is not there"
    for module in re.findall(r"`(\w+\.py)`", text):
        assert (LIB / module).exists() or list((ROOT / "tests").rglob(module)), (
            f"DEVELOPERS.md names {module}, which is not there"
        )
