"""Build the site that needs no installation: the workbook in the reader's own browser. The engine is JupyterLite.

    python lib/delivery/lite/build.py [folder] [--pyodide FOLDER]

Writes a folder of plain files (`build/site` by default) that any web server can serve. Inside: the notebooks, the
library with its data, and the pure-Python packages it needs. The Python runtime and numpy come from FOLDER, a Pyodide
distribution of the version named below (its release archive, unpacked; fetched once), and the site then asks no other
address for anything. Without `--pyodide` they are NOT inside: the reader's browser fetches them from their public home
at the first visit, and a sentence on each notebook says what it is waiting for.
"""

from __future__ import annotations

import argparse
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
        "mpmath>=1.3,<1.4", "comm>=0.2,<1", "typing-extensions>=4.11,<5"]
PYODIDE = "0.27.7"   # the version that the pinned kernel runs on
# what a distribution must hold beside the packages of its own list that the kernel and the library load
CORE = ("pyodide.js", "pyodide.mjs", "pyodide.asm.js", "pyodide.asm.wasm", "python_stdlib.zip", "pyodide-lock.json")
LOADED = ("micropip", "ssl", "sqlite3", "ipython", "jedi", "traitlets", "packaging", "numpy")
KERNEL = "@jupyterlite/pyodide-kernel-extension:kernel"
WAITS = ("Until Python has come into your browser ({}), the pictures below stand still. What you save stays in this "
         "browser.")
FROM_OUTSIDE = "from the public network at the first visit, 20 MB and about a minute"
FROM_HERE = "from this site, some ten seconds"
FIRST = """# the library, into your browser
%pip install -q springpass
import os
os.environ["SPRINGPASS_SHOP"] = "/drive/spring_pass\""""


def wheel(scratch: Path) -> Path:
    """The library as one wheel with data/ inside it."""
    wheels = scratch / "wheels"
    subprocess.run([sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", wheels, ROOT / "lib"], check=True)
    return next(wheels.glob("springpass-*.whl"))


def needed(folder: Path) -> list[str]:
    """The files of a Pyodide distribution that the site needs. Ends with a sentence where there is none in the folder.
    """
    lock = folder / "pyodide-lock.json"
    if not lock.exists():
        raise SystemExit(f"{folder} holds no Pyodide distribution: pyodide-lock.json is missing.")
    listed = json.loads(lock.read_text(encoding="utf-8"))
    if listed["info"]["version"] != PYODIDE:
        raise SystemExit(f"{folder} holds Pyodide {listed['info']['version']}; the site runs on {PYODIDE}.")
    todo, seen = list(LOADED), set()
    while todo:
        name = todo.pop().lower().replace("_", "-")
        if name not in seen:
            seen.add(name)
            todo += listed["packages"][name]["depends"]
    files = [*CORE, *(listed["packages"][name]["file_name"] for name in sorted(seen))]
    if missing := [name for name in files if not (folder / name).exists()]:
        raise SystemExit(f"{folder} lacks {', '.join(missing)}.")
    return files


def contents(folder: Path, waits: str = FROM_OUTSIDE) -> list[Path]:
    """Copies of the notebooks, each with a sentence and a first cell that brings the library, and their pictures."""
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
        notebook["cells"][:0] = [nbformat.v4.new_markdown_cell(WAITS.format(waits), id="what-it-waits-for"), first]
        # not nbformat.write: the browser's own file store wants texts whole, not as lists of lines
        path.write_text(json.dumps(notebook, ensure_ascii=False, indent=1), encoding="utf-8")
    return notebooks


def build(site: Path, pyodide: Path | None = None) -> None:
    """The whole site into `site`, which is replaced; with the runtime of a folder that holds it."""
    runtime = needed(pyodide) if pyodide else []
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
        contents(scratch / "contents", FROM_HERE if pyodide else FROM_OUTSIDE)
        if pyodide:
            own_runtime(scratch, pyodide, runtime)
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


def own_runtime(scratch: Path, pyodide: Path, names: list[str]) -> None:
    """The runtime beside the site's other files, and the word that nothing is asked of any other address."""
    place = scratch / "static" / "pyodide"
    place.mkdir(parents=True)
    for name in names:
        shutil.copyfile(pyodide / name, place / name)
    # what else the distribution's list names would be looked for here; it comes from the site's own wheels
    listed = json.loads((pyodide / "pyodide-lock.json").read_text(encoding="utf-8"))
    listed["packages"] = {key: one for key, one in listed["packages"].items() if one["file_name"] in names}
    (place / "pyodide-lock.json").write_text(json.dumps(listed), encoding="utf-8")
    settings = {"pyodideUrl": "./static/pyodide/pyodide.js", "disablePyPIFallback": True}
    told = {"jupyter-lite-schema-version": 0, "jupyter-config-data": {"litePluginSettings": {KERNEL: settings}}}
    (scratch / "jupyter-lite.json").write_text(json.dumps(told), encoding="utf-8")


def opens_live(site: Path) -> None:
    """The extension that opens a notebook live, in the site too: there it also runs the cell that brings the library.

    It comes with the library that is installed where the site is built, as JupyterLab's other extensions do.
    """
    listed = site / "extensions/springpass-lab/static/shipped.json"
    if listed.exists():
        shipped = [*json.loads(listed.read_text(encoding="utf-8")), hashlib.sha256(FIRST.encode()).hexdigest()]
        listed.write_text(json.dumps(sorted(shipped), indent=0), encoding="utf-8")


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description="Build the site that needs no installation.")
    asked.add_argument("folder", nargs="?", type=Path, default=Path("build/site"))
    asked.add_argument("--pyodide", type=Path, help=f"a folder with the Pyodide distribution {PYODIDE}")
    given = asked.parse_args()
    target = given.folder
    build(target, given.pyodide)
    print(f"Built in {target}. To see it here: python -m http.server --directory {target} 8000, then http://localhost:8000/lab/?path=00_start_here.ipynb")
