"""Build the site that needs no installation: the workbook in the reader's own browser. The engine is JupyterLite.

    python lib/delivery/lite/build.py [folder]

Writes a folder of plain files (`build/site` by default) that any web server can serve. Inside: the notebooks, the
library with its data, and the pure-Python packages it needs. NOT inside: the Python runtime and numpy, which the
reader's browser fetches from their public home at the first visit.
"""

from __future__ import annotations

import hashlib
import json
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import nbformat

ROOT = Path(__file__).resolve().parents[3]
PURE = ["anywidget>=0.9.13,<1", "psygnal>=0.8,<1", "ipywidgets>=8.1,<9", "jupyterlab-widgets>=3,<4", "sympy>=1.14,<2",
        "mpmath>=1.3,<1.4"]
FIRST = """# the library, into your browser: about a minute at the first visit; what you save stays in this browser
%pip install -q springpass
import os
os.environ["SPRINGPASS_SHOP"] = "/drive/spring_pass\""""


def wheel(scratch: Path) -> Path:
    """The library as one wheel with data/ inside it."""
    wheels = scratch / "wheels"
    subprocess.run([sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", wheels, ROOT / "lib"], check=True)
    return next(wheels.glob("springpass-*.whl"))


def contents(folder: Path) -> list[Path]:
    """Copies of the notebooks, each with a first cell that brings the library, and their pictures."""
    shutil.copytree(ROOT / "workbook", folder, ignore=shutil.ignore_patterns(".ipynb_checkpoints", "__pycache__"))
    notebooks = sorted(folder.glob("*.ipynb"))
    for path in notebooks:
        notebook = nbformat.read(path, as_version=4)
        notebook["metadata"]["kernelspec"] = {
            "display_name": "Python (Pyodide)",
            "language": "python",
            "name": "python",
        }
        first = nbformat.v4.new_code_cell(FIRST, id="bring-library", metadata={"jupyter": {"source_hidden": True}})
        notebook["cells"].insert(0, first)
        # not nbformat.write: the browser's own file store wants texts whole, not as lists of lines
        path.write_text(json.dumps(notebook, ensure_ascii=False, indent=1), encoding="utf-8")
    return notebooks


def build(site: Path) -> None:
    """The whole site into `site`, which is replaced."""
    with tempfile.TemporaryDirectory() as name:
        scratch = Path(name)
        own = wheel(scratch)
        subprocess.run(
            [
                sys.executable,
                "-m",
                "pip",
                "download",
                "-q",
                "--no-deps",
                "--only-binary=:all:",
                "--platform=any", "--abi=none", "--implementation=py",   # the browser's Python runs no other wheels
                "-d",
                scratch / "wheels",
                *PURE,
            ],
            check=True,
        )
        contents(scratch / "contents")
        wheels = [word for path in sorted(own.parent.glob("*.whl")) for word in ("--piplite-wheels", str(path))]
        if site.exists():
            if not (site / "jupyter-lite.json").exists():
                raise SystemExit(f"{site} is there already and is no site of ours. Name another folder.")
            shutil.rmtree(site)
        subprocess.run(
            [
                sys.executable,
                "-m",
                "jupyterlite_core",
                "build",
                "--lite-dir",
                scratch,
                "--contents",
                scratch / "contents",
                "--apps",
                "lab",
                "--output-dir",
                site.resolve(),
                *wheels,
            ],
            cwd=scratch,
            check=True,
        )
        opens_live(site)


def opens_live(site: Path) -> None:
    """The extension that opens a notebook live, in the site too: there it also runs the cell that brings the library.

    It comes with the library that is installed where the site is built, as JupyterLab's other extensions do.
    """
    listed = site / "extensions/springpass-lab/static/shipped.json"
    if listed.exists():
        shipped = [*json.loads(listed.read_text(encoding="utf-8")), hashlib.sha256(FIRST.encode()).hexdigest()]
        listed.write_text(json.dumps(sorted(shipped), indent=0), encoding="utf-8")


if __name__ == "__main__":
    target = Path(sys.argv[1] if len(sys.argv) > 1 else "build/site")
    build(target)
    print(f"Built in {target}. To see it here: python -m http.server --directory {target} 8000, then http://localhost:8000/lab/?path=00_start_here.ipynb")
