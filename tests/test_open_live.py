"""What JupyterLab runs by itself when a notebook of the workbook is opened: exactly the cells that are stored."""

import json

import rebuild


def test_the_list_of_shipped_cells_is_that_of_the_stored_notebooks():
    assert json.loads(rebuild.SHIPPED.read_text(encoding="utf-8")) == rebuild.shipped(), "run tests/rebuild.py"


def test_the_code_is_folded():
    for path in rebuild.WORKBOOK.glob("*.ipynb"):
        cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        assert all(
            cell["metadata"] == {"jupyter": {"source_hidden": True}} for cell in cells if cell["cell_type"] == "code"
        )
