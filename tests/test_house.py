"""The house: arrows between modules, the top level, the map of the workbook."""

import ast
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

import rooms
from springpass.teaching.exercises import chapter

ROOT = Path(__file__).resolve().parents[1]
LIB = ROOT / "lib" / "springpass"
TOPICS = {"boring_bar", "cutting", "heat", "bore_stress", "reaming", "workholding", "fits", "threads", "drilling",
          "stops", "measuring", "true_running", "grooves_tapers", "the_lathe"}
MODULES = sorted(path for path in LIB.rglob("*.py"))
PAGES = sorted((LIB / "pages").glob("*.py"))
# the floors of the house, from the cellar up: a folder is a room, and only topics have none of these names
FLOORS = ["core", "topic", "job", "teaching", "screen", "printing", "pages"]


def room(module: str) -> str:
    """The floor of a module named by its path below springpass/ with dots."""
    first = module.split(".")[0]
    return first if first in FLOORS else "topic"


def imports(path: Path) -> set[str]:
    """This library's modules that a module imports, by their path with dots, and outside packages as "(name)"."""
    here = path.relative_to(LIB).with_suffix("").parts[:-1]
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {f"({alias.name.split('.')[0]})" for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.level == 0:
            found.add(f"({(node.module or '').split('.')[0]})")
        elif isinstance(node, ast.ImportFrom):
            base = here[: len(here) - node.level + 1]
            below = [*base, *(node.module or "").split(".")] if node.module else [*base]
            found |= {".".join(below or [alias.name]) for alias in node.names}
    return found


@pytest.mark.parametrize("path", [p for p in MODULES if p.parent != LIB or p.stem != "__init__"],
                         ids=lambda p: p.relative_to(LIB).as_posix())
def test_arrows_run_one_way(path):
    mine = room(".".join(path.relative_to(LIB).with_suffix("").parts))
    for used in imports(path):
        if used.startswith("("):
            assert used[1:-1] not in ("ipywidgets", "anywidget", "traitlets", "IPython") or mine == "screen", (
                f"only screen/ knows widgets; {used} is imported")
        else:
            assert FLOORS.index(room(used)) <= FLOORS.index(mine), f"{used} lies above {mine}/"


def test_only_topics_lie_directly_under_the_library():
    there = {p.stem for p in LIB.iterdir() if p.suffix == ".py" or (p / "__init__.py").exists()} - {"__init__"}
    assert there - set(FLOORS) == TOPICS


def test_no_modules_import_each_other_in_a_ring():
    modules = {rooms.named(path, LIB): path for path in MODULES}
    ringed = {ring for ring in rooms.rings(modules, rooms.arrows(modules)).values() if len(ring) > 1}
    assert not ringed
    assert "all " in rooms.survey(ROOT)


def test_no_conditional_is_chained_over_two():
    def links(node):
        return 1 + links(node.orelse) if isinstance(node, ast.IfExp) else 0

    long = [f"{path.relative_to(LIB)}:{node.lineno}" for path in MODULES
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if links(node) > 2]
    assert not long, f"write if and elif, or a dictionary: {long}"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: p.relative_to(LIB).as_posix())
def test_every_module_says_what_it_is(path):
    assert ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))


def test_importing_the_library_is_cheap():
    """No topic, no SymPy and no widgets come with the bare name."""
    code = "import sys, springpass; print([m for m in ('sympy', 'ipywidgets', 'numpy') if m in sys.modules])"
    assert (
        subprocess.run([sys.executable, "-c", code], capture_output=True, encoding="utf-8", check=True).stdout.strip()
        == "[]"
    )


def test_a_topic_brings_neither_widgets_nor_sympy():
    """One process imports them all, the plan and the exercises too."""
    below = ("core", "topic", "job", "teaching")
    named = ", ".join(f"springpass.{rooms.named(p, LIB)}".rstrip(".") for p in MODULES
                      if room(".".join(p.relative_to(LIB).parts)) in below)
    code = f"import sys, {named}; print([m for m in ('sympy', 'ipywidgets', 'IPython') if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, encoding="utf-8")
    assert done.stdout.strip() == "[]"


def test_the_top_level_is_as_designed():
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, encoding="utf-8")
    if listed.returncode:
        pytest.skip("not a git checkout")
    top = {name.split("/")[0] for name in listed.stdout.split()}
    assert {name for name in top if not name.startswith(".")} <= {
        "README.md", "DEVELOPERS.md", "requirements.txt", "workbook", "lib", "tests", "data"}


def test_every_test_called_slow_is_there():
    named = {path: {node.name for node in ast.parse(path.read_text(encoding="utf-8")).body
                    if isinstance(node, ast.FunctionDef)} for path in (ROOT / "tests").rglob("test_*.py")}
    conftest = ast.parse((ROOT / "tests/conftest.py").read_text(encoding="utf-8"))
    slow = next(ast.literal_eval(node.value) for node in conftest.body
                if isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") == "SLOW")
    for name in slow:
        file, _, test = name.partition("::")
        assert test.partition("[")[0] in named.get(ROOT / "tests" / file, ()), f"{name} is gone: mend SLOW in conftest"


NOTEBOOKS = sorted((ROOT / "workbook").glob("*.ipynb"))


def sources(notebook: Path, kind: str = "") -> list[str]:
    """The texts of a notebook's cells, of one kind or of all."""
    cells = json.loads(notebook.read_text(encoding="utf-8"))["cells"]
    return ["".join(cell["source"]) for cell in cells if kind in ("", cell["cell_type"])]


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_a_notebook_is_stored_as_it_should_be(path):
    notebook = json.loads(path.read_text(encoding="utf-8"))
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
    assert f"workbook/{path.name}" in (ROOT / "README.md").read_text(encoding="utf-8")
    if path.stem != "00_start_here":
        assert f"({path.name})" in "".join(sources(ROOT / "workbook/00_start_here.ipynb"))


CHAPTERS = [path for path in NOTEBOOKS if re.match(r"(0[1-9]|1[0-9])_", path.stem)]
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
    text = "\n".join(sources(path, "markdown"))
    heads = re.findall(r"^##\s+(.*)$", text, re.M)
    places = [
        next((i for i, head in enumerate(heads) if head.lower().startswith(part.lower())), -1) for part in OUTLINE
    ]
    assert -1 not in places, f"missing: {[p for p, i in zip(OUTLINE, places, strict=True) if i < 0]}; there are {heads}"
    assert places == sorted(places)
    code = sources(path, "code")
    exercises = text[text.index("## Exercises"):text.index("## Sources")]
    drawn = len(chapter(path.stem).exercises) if any(f'practise("{path.stem}")' in source for source in code) else 0
    assert drawn + exercises.count("<details>") >= 6, (
        "six exercises or more, with a worked solution each: the widget's and the folded ones"
    )


def test_links_inside_the_workbook_lead_somewhere():
    for path in NOTEBOOKS:
        text = "\n".join(sources(path, "markdown"))
        for target in re.findall(r"\]\(([^)#:]+\.ipynb)", text):
            assert (path.parent / target).exists(), f"{path.name} points to {target}"


@pytest.mark.parametrize("path", PAGES, ids=lambda p: p.stem)
def test_every_page_is_shown_in_a_notebook(path):
    made = re.findall(r"^([A-Z_]+)(?:: Page)? = Page\(", path.read_text(encoding="utf-8"), re.M)
    shown = set()
    for notebook in NOTEBOOKS:
        text = "\n".join(sources(notebook, "code"))
        for part in ",".join(re.findall(r"from springpass\.pages import (.*)", text)).split(","):
            module, _, alias = part.strip().partition(" as ")
            if module == path.stem:
                shown |= set(re.findall(rf"\b{alias or module}\.([A-Z_]+)\b", text))
    missing = [name for name in made if name not in shown]
    assert not missing, (
        f"no notebook shows {', '.join(missing)}: add a cell show({path.stem}.{missing[0]}) and run tests/rebuild.py"
    )


def test_developers_md_says_why_each_dependency_is_here():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    for listed in ("requirements.txt", "tests/requirements.txt"):
        for package in re.findall(r"^([a-z][\w-]*)[><=]", (ROOT / listed).read_text(encoding="utf-8"), re.M):
            assert re.search(rf"^\|[^|]*\b{package}\b[^|]*\|", text, re.M), (
                f"{package} of {listed} has no line in the table of DEVELOPERS.md"
            )


def test_developers_md_names_what_there_is():
    """Every path and command it names exists."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    for path in set(
        re.findall(
            r"`(?:python |bash |pytest )?((?:tests|lib|data|workbook|\.ci|pages|exercises)/[\w/.]*\w)(?![\w<])", text
        )
    ):
        assert (ROOT / path).exists() or (LIB / path).exists(), f"DEVELOPERS.md names {path}, which is not there"
    for module in re.findall(r"`(\w+\.py)`", text):
        assert list(LIB.rglob(module)) or list((ROOT / "tests").rglob(module)), (
            f"DEVELOPERS.md names {module}, which is not there"
        )
