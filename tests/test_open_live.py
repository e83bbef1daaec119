"""What JupyterLab runs by itself when a notebook of the workbook is opened: exactly the cells that are stored."""

import json

import rebuild


def test_the_list_of_shipped_cells_is_that_of_the_stored_notebooks():
    assert json.loads(rebuild.SHIPPED.read_text(encoding="utf-8")) == rebuild.shipped(), "run tests/rebuild.py"


def test_the_code_is_folded_and_derivations_are_marked():
    marked = 0
    for path in rebuild.WORKBOOK.glob("*.ipynb"):
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            if cell["cell_type"] == "code":
                assert cell["metadata"] == rebuild.metadata_of("".join(cell["source"])), "run tests/rebuild.py"
                marked += "tags" in cell["metadata"]
                assert "tags" not in cell["metadata"] or cell["outputs"], "a derivation without its stored answer"
    assert marked > 5
