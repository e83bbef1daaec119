"""Each chapter says at its top how long it takes and what to know before; it leads on and back. Minutes are counted."""

import json

import pytest
import reading

NAMES = reading.CHAPTERS


def cells(name):
    return ["".join(cell["source"]) for cell in
            json.loads((reading.WORKBOOK / f"{name}.ipynb").read_text(encoding="utf-8"))["cells"]]


@pytest.mark.parametrize("name", NAMES)
def test_the_title_says_how_long_it_takes(name):
    it, said = reading.of(name), reading.LINE.search(cells(name)[0])
    assert said, "the title cell lacks its minutes"
    for told, counted in zip(map(int, said.groups()), (it.minutes, it.with_exercises), strict=True):
        assert abs(told - counted) <= 4, f"{counted:.0f} minutes counted: python tests/reading.py --write {name}"
    assert 20 <= reading.five(it.minutes) <= 40, f"{it}: a chapter is read in 20 to 40 minutes"


@pytest.mark.parametrize("name", NAMES)
def test_the_title_says_what_to_know_and_leads_on_and_back(name):
    top, last, at = cells(name)[0], cells(name)[-1], NAMES.index(name)
    assert "You need to know " in top
    assert "(00_start_here.ipynb)" in top and "(00_start_here.ipynb#The-words-of-the-trade)" in top
    assert "The way back: [the map](00_start_here.ipynb)." in last
    for beside in NAMES[max(at - 1, 0):at] + NAMES[at + 1:at + 2]:
        assert f"({beside}.ipynb)" in top
    assert all("Next: [" in last and f"({after}.ipynb)" in last for after in NAMES[at + 1:at + 2])


def test_what_is_folded_is_not_counted():
    text = "Two words <details><summary>Answer</summary>not these</details> and $x$ [four more](page.ipynb)."
    assert reading.count(reading.seen(text)) == 6
    assert reading.count(reading.seen("| a | b |\n|---|---|\n$$E = mc^2$$")) == 3


@pytest.mark.parametrize("path", sorted(reading.WORKBOOK.glob("*.ipynb")), ids=lambda path: path.stem)
def test_a_cell_is_a_few_lines(path):
    for number, cell in enumerate(json.loads(path.read_text(encoding="utf-8"))["cells"]):
        if cell["cell_type"] == "code":
            assert len("".join(cell["source"]).splitlines()) <= 8, f"cell {number}: more belongs into lib/"
