"""A chapter's list and its notebook are one: pages, formula and example of the list are shown there, as stored."""

import json
from pathlib import Path

import pytest

from springpass.core.printed import printed
from springpass.core.quantity import Refused
from springpass.printing import handout
from springpass.teaching import chapters, exercises
from test_stills import opens

WORKBOOK = Path(__file__).resolve().parents[1] / "workbook"
NAMES = chapters.names()


def outputs(name, kind):
    """What the chapter's stored cells show, of one kind."""
    cells = json.loads((WORKBOOK / f"{name}.ipynb").read_text(encoding="utf-8"))["cells"]
    return ["".join(output.get("data", {}).get(kind, "")) for cell in cells for output in cell.get("outputs", [])]


def test_every_chapter_has_a_list():
    assert tuple(exercises.chapters()) == NAMES
    assert {f"{name}.ipynb" for name in NAMES} <= {path.name for path in WORKBOOK.glob("*.ipynb")}


@pytest.mark.parametrize("name", NAMES)
def test_the_notebook_shows_what_the_list_holds(name):
    one = chapters.chapter(name)
    shown = set(outputs(name, "text/plain"))
    for place, page in zip(one.pages, handout.pages(name).values(), strict=True):
        words = page.still(**opens(name, page))["text/plain"]
        assert words in shown, f"{place} is not shown, or its notebook wants a rebuild"
    set_there = "\n".join(outputs(name, "text/markdown"))
    assert printed(one.formula).lines(one.numbers, digits=one.digits, brackets=True) in set_there, (
        f"no cell formula({one.formula.__name__}, …) with the example's numbers"
    )


@pytest.mark.parametrize("name", NAMES)
def test_the_list_holds_every_page_of_the_notebook(name):
    """A page added to a chapter is added to its list: as many pictures are stored as pages are listed."""
    stored = sum(bool(picture) for picture in outputs(name, "image/svg+xml"))
    assert stored == len(chapters.chapter(name).pages)


@pytest.mark.parametrize("name", NAMES)
def test_a_list_is_whole(name):
    one = chapters.chapter(name)
    assert one.guess is not None and one.title.startswith(str(int(name[:2])))
    assert 1 <= len(one.story) <= 3 and len(one.cautions) >= 2 and 2 <= len(one.readings) <= 5
    for text in (one.question, *one.story, one.rule, one.example, *one.cautions):
        assert text[-1] in ".?" and text == text.strip()
    assert set(one.numbers) == set(printed(one.formula).letters)


def test_what_is_not_there_gets_a_sentence():
    with pytest.raises(Refused, match="no chapter"):
        chapters.chapter("11_gears")
    with pytest.raises(Refused, match="no labelled formula"):
        chapters.labelled("heat.Rise")


def test_a_list_brings_no_page_and_no_sympy():
    """Lessons and sheets on a server read it for little."""
    import subprocess
    import sys

    code = (
        "import sys; from springpass.teaching import chapters; chapters.chapter('01_heat'); "
        "print([m for m in sys.modules if m == 'sympy' or m.startswith('springpass.pages')])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, encoding="utf-8")
    assert done.stdout.strip() == "[]"
