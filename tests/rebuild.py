"""Execute the workbook's notebooks in a fresh kernel and store their outputs.

    python tests/rebuild.py              every notebook
    python tests/rebuild.py 01_heat      one of them
    python tests/rebuild.py --formulas   none, only what is printed of the formulas

Outputs are those at the default sliders. Widget state, kernel details and execution
times are left out, so that the stored file changes only when an answer changes. A cell's
id comes from its source, so that a new cell leaves the others' ids alone; a picture is
stored line by line, an element a line, so that a comparison shows the element that moved.
Code is folded to its first line. The list of shipped cells, which JupyterLab runs when a
notebook is opened, is written anew; so is, before all, what SymPy prints of each labelled
formula (core/printed.json), so that no page needs SymPy. A derivation by SymPy is run here,
and its answer stored; its tag keeps it from being run again wherever the notebook opens.
"""

from __future__ import annotations

import hashlib
import importlib
import json
import pkgutil
import sys
from collections import Counter
from pathlib import Path

import nbformat
from nbclient import NotebookClient

import springpass
from springpass.core import formula, pen, printed

ROOT = Path(__file__).resolve().parents[1]
WORKBOOK = ROOT / "workbook"
SHIPPED = ROOT / "lib/lab/springpass-lab/static/shipped.json"
KERNEL = {
    "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}


DERIVATION = ["skip-execution"]   # the tag: not run when a notebook opens, in JupyterLab or on a phone


def print_formulas() -> dict[str, dict]:
    """What SymPy prints of every labelled formula of the library, by name."""
    for found in pkgutil.walk_packages(springpass.__path__, "springpass."):
        if not found.name.endswith("__main__"):
            importlib.import_module(found.name)
    ours = [one for one in formula.REGISTRY if one.__module__.startswith("springpass.")]
    return {formula.name_of(one): pen.template(one) for one in sorted(ours, key=formula.name_of)}


def store_formulas() -> None:
    """Write what print_formulas gives, a formula a line; a file that says so already is left alone."""
    lines = (f"{json.dumps(name)}: {json.dumps(made)}" for name, made in print_formulas().items())
    text = "{\n" + ",\n".join(lines) + "\n}\n"
    if not printed.STORED.exists() or printed.STORED.read_text(encoding="utf-8") != text:
        printed.STORED.write_text(text, encoding="utf-8")


def ids(cells: list[dict]) -> list[str]:
    """An id for each cell from its kind and source; of equal cells the second ends in -2, and so on."""
    names = [hashlib.sha256(f"{c['cell_type']}\n{c['source']}".encode()).hexdigest()[:12] for c in cells]
    seen: Counter[str] = Counter()
    found = []
    for name in names:
        seen[name] += 1
        found.append(name if seen[name] == 1 else f"{name}-{seen[name]}")
    return found


def metadata_of(source: str) -> dict:
    """A code cell's stored metadata: folded, and a derivation marked as one."""
    return {"jupyter": {"source_hidden": True}, **({"tags": DERIVATION} if "sympy" in source else {})}


def rebuild(path: Path) -> None:
    """Run one notebook from a clean start and write it back. Raises where a cell fails."""
    notebook = nbformat.read(path, as_version=4)
    for cell in notebook.cells:
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
    NotebookClient(
        notebook,
        timeout=300,
        kernel_name="python3",
        coalesce_streams=True,
        skip_cells_with_tag="",
        resources={"metadata": {"path": str(WORKBOOK)}},
    ).execute()
    for name, cell in zip(ids(notebook.cells), notebook.cells, strict=True):
        cell["id"] = name
        if cell.cell_type != "code":
            continue
        cell.execution_count = 1   # it was run; a count would be a place, and move with every new cell before it
        cell.metadata = nbformat.from_dict(metadata_of(cell.source))
        for output in cell.outputs:
            if "execution_count" in output:
                output["execution_count"] = 1
            # a widget's number differs at every run; the page's still stands beside it
            output.get("data", {}).pop("application/vnd.jupyter.widget-view+json", None)
    notebook.metadata = nbformat.from_dict(KERNEL)
    nbformat.validate(notebook)
    nbformat.write(notebook, path)


def shipped() -> list[str]:
    """SHA-256 of the source of every code cell of the workbook."""
    found = set()
    for path in WORKBOOK.glob("*.ipynb"):
        for cell in nbformat.read(path, as_version=4).cells:
            if cell.cell_type == "code":
                found.add(hashlib.sha256(cell.source.encode()).hexdigest())
    return sorted(found)


if __name__ == "__main__":
    wanted = sys.argv[1:]
    store_formulas()
    for notebook_path in sorted(WORKBOOK.glob("*.ipynb")):
        if not wanted or notebook_path.stem in [Path(name).stem for name in wanted]:
            print(notebook_path.name, flush=True)
            rebuild(notebook_path)
    SHIPPED.write_text(json.dumps(shipped(), indent=0) + "\n", encoding="utf-8")
