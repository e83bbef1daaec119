"""Pictures and notebooks as they are stored: an element a line, no style sheet, readable without it, ids by content."""

import json
import re
import xml.etree.ElementTree as ET

import pytest
import rebuild
from test_pages import PAGES

from springpass.screen import draw

NOTEBOOKS = sorted(rebuild.WORKBOOK.glob("*.ipynb"))


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_a_still_has_an_element_a_line_and_no_style_sheet(page):
    svg = page.still()["image/svg+xml"]
    assert "<style" not in svg and "{" not in svg
    for line in svg.splitlines():
        assert len(re.findall(r"<[a-z]", line)) <= 1, line


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_without_the_style_sheet_a_still_is_a_line_drawing(page):
    """Areas are faint, words are filled and not outlined in black; only marks and arrow heads are black all over."""
    root = ET.fromstring(page.still()["image/svg+xml"])
    assert (root.get("fill"), root.get("stroke")) == ("none", "#000")
    for part in root.iter():
        tag, kinds, fill = part.tag.rsplit("}", 1)[-1], (part.get("class") or "").split(), part.get("fill")
        if tag == "text":
            assert (fill, part.get("stroke")) in (("#000", "none"), ("#000", "#fff")), ET.tostring(part)
        elif tag in ("polygon", "circle", "rect", "path", "polyline") and fill == "#000":
            small = kinds == ["head"] or kinds[0].startswith("dot-")
            assert small or float(part.get("fill-opacity")) <= 0.1, ET.tostring(part)


def test_every_dash_of_the_style_sheet_stands_in_the_plain_drawing_too():
    dashed = dict(re.findall(r"^\.sp \.([\w-]+)\{[^}]*stroke-dasharray:([^;}]+)\}", draw.STYLE, re.M))
    assert len(dashed) == 7
    for kind, dashes in dashed.items():
        assert f'stroke-dasharray="{dashes}"' in draw.PLAIN[kind]


def test_a_cells_id_comes_from_its_content():
    """A cell put in between leaves the others' ids alone; equal cells are told apart."""
    one, other = {"cell_type": "code", "source": "1"}, {"cell_type": "markdown", "source": "1"}
    first = rebuild.ids([one, other])
    assert rebuild.ids([other, one]) == first[::-1]
    assert rebuild.ids([one, one, other]) == [first[0], f"{first[0]}-2", first[1]]


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_a_notebook_is_stored_as_rebuild_stores_it(path):
    """Else run python tests/rebuild.py with the notebook's name."""
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    assert [cell["id"] for cell in cells] == rebuild.ids([{**c, "source": "".join(c["source"])} for c in cells])
    for cell in cells:
        for output in cell.get("outputs", []):
            lines = output.get("data", {}).get("image/svg+xml", [])
            assert isinstance(lines, list) and all(line.count("\n") <= 1 for line in lines)
