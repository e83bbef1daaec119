"""How fast it feels, as ratios against the obvious alternative measured in the same run.

    python tests/bench/bench.py                      everything, some ten minutes on two quiet cores
    python tests/bench/bench.py kernel memory        these parts
    python tests/bench/bench.py browser 01_heat      one notebook beside the echo page
    python tests/bench/bench.py browser --all        every page of every notebook beside it, some fifteen minutes

The parts: `kernel` (imports, a slider change of every page, growth, plans, files), `browser` (a key press to the
changed picture, beside an echo page before and after, and plain matplotlib), `thirty` (as many kernels, all moving
at once), `memory` (every notebook in a kernel of its own). Prints tables; asserts nothing.
"""

from __future__ import annotations

import importlib
import pkgutil
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests" / "browser"), str(ROOT / "tests" / "bench")]


def table(title: str, head: list[str], rows: list[list[str]]) -> None:
    print(f"\n{title}")
    widths = [max(len(row[i]) for row in [head, *rows]) for i in range(len(head))]
    for row in [head, *rows]:
        print("  " + "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)))


def timed(call: Callable[[int], object], count: int = 40) -> tuple[float, float]:
    """Median and 95th percentile, ms."""
    call(0)
    taken = []
    for i in range(count):
        start = time.perf_counter()
        call(i)
        taken.append(1e3 * (time.perf_counter() - start))
    return statistics.median(taken), float(np.percentile(taken, 95))


def imports() -> None:
    def cost(code: str) -> float:
        taken = []
        for _ in range(7):
            start = time.perf_counter()
            subprocess.run([sys.executable, "-c", code], check=True)
            taken.append(1e3 * (time.perf_counter() - start))
        return statistics.median(taken)

    bare, numpy_, ours = cost("pass"), cost("import numpy"), cost("import springpass.boring_bar")
    name = cost("import springpass")
    page, plain = cost("import springpass.screen.page"), cost("import ipywidgets, matplotlib.pyplot")
    table("Import, ms over a bare interpreter", ["what", "ms", "ratio"], [
        ["numpy", f"{numpy_ - bare:.0f}", "1"], ["springpass", f"{name - bare:.0f}", ""],
        ["springpass.boring_bar", f"{ours - bare:.0f}", f"{(ours - bare) / (numpy_ - bare):.2f} of numpy"],
        ["springpass.screen.page", f"{page - bare:.0f}",
         f"{(page - bare) / (plain - bare):.2f} of ipywidgets and pyplot"]])


def sliders() -> None:
    import springpass.pages
    from plain_way import draw_bend
    from springpass.pages.check_stickout import PAGE as STICKOUT
    from springpass.screen.page import Page, Slide

    result = STICKOUT.answer().result
    plain = timed(lambda i: draw_bend(result), 12)
    rows = []
    found: dict[str, Page] = {}
    for _, name, _ in pkgutil.iter_modules(springpass.pages.__path__):
        for value in vars(importlib.import_module(f"springpass.pages.{name}")).values():
            if isinstance(value, Page):
                found.setdefault(value.name, value)
    for name, page in sorted(found.items()):
        slides = [what for what in page.inputs if isinstance(what, Slide)]
        if not slides:
            continue
        worst = (0.0, 0.0, "")
        for what in slides:
            q = what.quantity
            here = [q.usual + (q.high - q.usual) * 0.02 * i / 40 for i in range(40)]
            if q.whole:
                here = [float(round(min(q.usual + i % 2, q.high))) for i in range(40)]
            try:
                one = timed(lambda i, page=page, what=what, here=here: page.answer(**{what.name: here[i]}), 24)
            except ValueError:
                continue
            worst = max(worst, (*one, what.name))
        rows.append(
            [name, f"{worst[0]:.1f}", f"{worst[1]:.1f}", worst[2], f"{plain[0] / max(worst[0], 1e-9):.0f} times faster"]
        )
    table("A slider change in the kernel: answer, spread, picture, words; the page's slowest slider",
          ["page", "median ms", "p95 ms", "slider", "than a new matplotlib figure alone"], rows)
    print(f"  (the plain way: {plain[0]:.0f} ms median, {plain[1]:.0f} ms p95, for the figure alone, nothing computed)")


def growth() -> None:
    from springpass.boring_bar import spring_passes
    from springpass.cutting import kienzle, nose_forces

    rows, last = [], 0.0
    for count in (1_000, 10_000, 100_000, 1_000_000):
        give = np.linspace(1e-4, 3e-3, count)
        spring_passes(0.1, 0.05, 0.4, give[:10], "medium-carbon steel", 2)
        start = time.perf_counter()
        spring_passes(0.1, 0.05, 0.4, give, "medium-carbon steel", 2)
        taken = time.perf_counter() - start
        rows.append(
            [f"{count:,}", f"{1e3 * taken:.1f}", f"{1e9 * taken / count:.0f}", f"{taken / last:.1f}" if last else ""]
        )
        last = taken
    one = kienzle("medium-carbon steel")
    start = time.perf_counter()
    for a in np.linspace(0.05, 0.1, 200):   # the obvious way: integrate the nose for every sample
        nose_forces(float(a), 0.05, 0.4, 90, *one)
    plain = (time.perf_counter() - start) / 200 * 5 * 2
    table(
        "Two spring passes settled with the bar, for so many bars",
        ["samples", "ms", "ns each", "times the row above"],
        rows,
    )
    print(
        f"  one bar after another, five trials a pass: {1e3 * plain:.1f} ms each, {plain / (last / 1e6):,.0f} times as "
        "long"
    )


PLAIN = """
import matplotlib.pyplot as plt
from ipywidgets import FloatSlider, interact
from springpass import boring_bar

@interact(stickout=FloatSlider(value=40, min=5, max=250, step=1))
def draw(stickout):
    c = boring_bar.check_stickout(stickout)
    figure, axes = plt.subplots(2, 1, figsize=(6.6, 7.2))
    axes[0].plot([0, stickout], [0, c.left[0].value])
    axes[1].fill_between(c.stickouts, 1e3 * c.error_low, 1e3 * c.error_high, alpha=0.3)
    axes[1].plot(c.stickouts, 1e3 * c.error_middle)
    axes[1].axhline(-9, ls="--")
    plt.show()
"""
ECHO = """
import anywidget, traitlets

class Echo(anywidget.AnyWidget):
    _esm = '''export default {render({model, el}) {
        const slider = document.createElement("input"), out = document.createElement("div");
        slider.type = "range"; slider.dataset.lmSuppressShortcuts = "true";
        el.className = "sp-page"; out.className = "sp-picture"; el.append(slider, out);
        slider.addEventListener("input", () => model.send({value: +slider.value}));
        model.on("change:back", () => { out.innerHTML = model.get("back"); }); }}'''
    back = traitlets.Float().tag(sync=True)

echo = Echo()
echo.on_msg(lambda widget, content, _: widget.set_trait("back", float(content["value"])))
echo
"""
WATCH = """place => { window.took = []; window.at = 0;
    document.activeElement.addEventListener('keydown', () => { window.at = performance.now(); }, true);
    const done = () => { if (window.at) { window.took.push(performance.now() - window.at); window.at = 0; } };
    const image = n => n.querySelector && (n.tagName === 'IMG' || n.querySelector('img'));
    const drawn = changes => place ? done() : changes.some(c => [...c.addedNodes].some(image)) && done();
    const watched = place ? document.activeElement.closest('.sp-page').querySelector(place) : document.body;
    new MutationObserver(drawn).observe(watched, {childList: true, subtree: true, characterData: true}); }"""


def _with_sliders(page: Any) -> Iterator[Any]:
    """Each page of the notebook that has sliders, brought onto the screen."""
    for cell in range(page.evaluate("window.jupyterapp.shell.currentWidget.content.widgets.length")):
        page.evaluate("""i => { const nb = window.jupyterapp.shell.currentWidget.content; nb.activeCellIndex = i;
                         return nb.scrollToItem(i, 'start'); }""", cell)
        page.wait_for_timeout(100)
        found = page.locator(f'.jp-Cell[data-windowed-list-index="{cell}"] .sp-page:has(input[type=range])')
        if found.count() and found.first.locator("input[type=range]:visible").count():
            yield found.first


def browser(*only: str) -> None:
    """A key press to the changed picture, an echo page measured just before and just after each page.

    Every notebook's first page with sliders, and the plain way; with --all every page that has sliders.
    """
    import shutil
    import tempfile

    import nbformat
    from playwright.sync_api import Error, sync_playwright

    import lab

    if lab.chromium() is None:
        print("\nBrowser: no chromium here.")
        return
    every = "--all" in only
    names = [name for name in only if name != "--all"]
    took: dict[str, list[float]] = {}
    beside: dict[str, list[float]] = {}
    held: dict[str, float] = {}
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as play:
        folder = Path(scratch) / "workbook"
        shutil.copytree(ROOT / "workbook", folder)
        plain = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(PLAIN)])
        plain.metadata["kernelspec"] = {"display_name": "Python 3", "language": "python", "name": "python3"}
        nbformat.write(plain, folder / "plain.ipynb")
        plain.cells = [nbformat.v4.new_code_cell(ECHO)]
        nbformat.write(plain, folder / "echo.ipynb")
        with lab.lab(folder) as address:
            chromium = play.chromium.launch(executable_path=lab.chromium(), headless=True, args=lab.FLAGS)
            context = chromium.new_context(viewport={"width": 1280, "height": 900})   # JupyterLab's files stay cached
            echo_page = context.new_page()
            echo_page.set_default_timeout(60_000)
            lab.open_notebook(echo_page, address, "echo.ipynb")
            echo = echo_page.locator(".sp-page")
            before = _pressed(echo_page, echo, 20)
            for name in [*(names or sorted(path.stem for path in (ROOT / "workbook").glob("*.ipynb"))),
                         *(() if names or every else ("plain",))]:
                page = context.new_page()
                page.set_default_timeout(60_000)
                try:
                    lab.open_notebook(page, address, f"{name}.ipynb")
                    page.wait_for_timeout(1500)
                    for shown in [None] if name == "plain" else _with_sliders(page):
                        title = f"{name} {shown.locator('.sp-title').inner_text()[:44]}" if every else name
                        took[title], number = next(((found, number) for number in range(3 if every else 1)
                            if len(found := _pressed(page, shown, 12 if name == "plain" else 24 if every else 40,
                                                     number)) > 4), ([], 0))
                        if shown and took[title]:
                            held[title] = _held(page, shown, number)
                        echo_page.bring_to_front()
                        after = _pressed(echo_page, echo, 10 if every else 20)
                        beside[title], before = before + after, after
                        page.bring_to_front()
                        if every:
                            print(f"  {title}: {_ratios(took[title], beside[title])}", file=sys.stderr, flush=True)
                        else:
                            break
                    lab.shut(page)
                except Error as mishap:   # one notebook that fails does not take the others with it
                    print(f"  {name}: {str(mishap).splitlines()[0]}", file=sys.stderr, flush=True)
                    page.close()
            lab.shut(echo_page)
            chromium.close()
    usual = float(np.median(took["plain"])) if took.get("plain") else float("nan")
    rows = []
    for name, times in took.items():
        if len(times) < 5:   # a page whose first slider changes no picture here
            rows.append([name, *["–"] * 6, str(len(times)), "–", "–"])
            continue
        middle, late = np.median(times), np.percentile(times, 95)
        near, slow = np.median(beside[name]), np.percentile(beside[name], 95)
        rows.append([name, f"{middle:.0f}", f"{late:.0f}", f"{near:.0f}", f"{slow:.0f}", f"{middle / near:.2f}",
                     f"{late / slow:.2f}", str(len(times)), f"{held[name]:.0f}" if name in held else "–",
                     f"{usual / middle:.1f}"])
    table("Key press to changed picture in JupyterLab, ms, at a hand's pace (echo: a page whose kernel gives the value "
          "back, just before and after; plain: the same answer through interact and matplotlib)",
          ["notebook", "median", "p95", "echo", "its p95", "of echo's median", "of its p95", "presses",
           "pictures a second, key held", "times as fast as plain"], rows)
    if every:
        within = sum(float(row[5]) <= 1.2 and float(row[6]) <= 1.1 for row in rows if row[1] != "–")
        print(f"  {within} of {sum(row[1] != '–' for row in rows)} pages within 1.2 times the echo's median and 1.1 "
              "times its 95th percentile")


def _ratios(times: list[float], echo: list[float]) -> str:
    if len(times) < 5:
        return "no change"
    return (f"{np.median(times) / np.median(echo):.2f} of the echo's median, "
            f"{np.percentile(times, 95) / np.percentile(echo, 95):.2f} of its p95")


def _pressed(page: Any, shown: Any, count: int, number: int = 0) -> list[float]:
    """Milliseconds from each of so many key presses on a slider to the changed picture; `shown` is the page, None the
    plain way.
    """
    if shown is None:
        slider, rest = page.locator(".jp-Notebook").get_by_role("slider").first, 700
    else:
        slider, rest = shown.locator("input[type=range]:visible").nth(number), 170   # a hand's pace
        if not slider.count():
            return []
    slider.scroll_into_view_if_needed()
    slider.focus()
    slider.press("ArrowRight")   # not counted: the tab has just come to the front
    page.wait_for_timeout(500)
    page.evaluate(WATCH, "" if shown is None else ".sp-picture")
    for i in range(count):
        slider.press("ArrowRight" if i % 10 < 5 else "ArrowLeft")
        page.wait_for_timeout(rest)
    return page.evaluate("window.took")


HOLD = """() => { window.inputs = window.pictures = 0; const slider = document.activeElement;
    slider.addEventListener('input', () => { window.inputs += 1; });
    new MutationObserver(() => { window.pictures += 1; }).observe(
        slider.closest('.sp-page').querySelector('.sp-drawn'), {childList: true}); }"""


def _held(page: Any, shown: Any, number: int) -> float:
    """Pictures a second of a held key, which moves the slider thirty times a second, until the slider's end."""
    shown.locator("input[type=range]:visible").nth(number).focus()
    page.evaluate(HOLD)
    begun = time.perf_counter()
    for i in range(60):
        page.keyboard.down("ArrowRight")
        page.wait_for_timeout(max(0.0, 1e3 * (begun + (i + 1) / 30 - time.perf_counter())))
    taken = time.perf_counter() - begun
    page.keyboard.up("ArrowRight")
    inputs, pictures = page.evaluate("[window.inputs, window.pictures]")
    return pictures / (taken * inputs / 60) if inputs else 0.0


THIRTY = """
import sys, time
import numpy as np
from springpass.pages import catalogue
from springpass.screen.page import Live
live, took = Live(catalogue.pages()["check_stickout"]), []
print("ready", flush=True)
sys.stdin.readline()
for i in range(40):
    start = time.perf_counter()
    live.hear({"n": i + 1, "wishes": {"stickout": {"slid": 30.0 + i % 20}}})
    took.append(1e3 * (time.perf_counter() - start))
    time.sleep(0.17 * (0.5 + (i * 7 % 10) / 10))
print(np.median(took), np.percentile(took, 95), flush=True)
"""


def thirty(count: int = 30) -> None:
    """As many interpreters as a class has learners, all moving the stickout at a hand's pace; beside one alone."""
    import os

    env = dict(os.environ, OPENBLAS_NUM_THREADS="1")

    def run(many: int) -> tuple[float, float]:
        started = [subprocess.Popen([sys.executable, "-c", THIRTY], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                                    text=True, encoding="utf-8", env=env) for _ in range(many)]
        for one in started:
            one.stdout.readline()
        for one in started:
            one.stdin.write("\n")
            one.stdin.flush()
        said = [one.communicate()[0].split() for one in started]
        return float(np.median([float(one[0]) for one in said])), float(np.max([float(one[1]) for one in said]))

    rows, alone = [], 0.0
    for many in (1, count):
        median, late = run(many)
        alone = alone or median
        rows.append([str(many), f"{median:.1f}", f"{late:.1f}", f"{median / alone:.1f}"])
    table("A slider change of check_stickout in the kernel, so many learners at once", ["learners", "median ms",
          "the slowest one's p95 ms", "times one alone"], rows)


def memory(*only: str) -> None:
    """Every notebook in a kernel of its own: seconds, memory, and what a second run of all its cells adds."""
    import json
    import os
    import tempfile

    from jupyter_client.manager import start_new_kernel

    def kernel(cells: list[str]) -> tuple[float, float, float, float]:
        """Seconds with the kernel's start, resident and own (proportional) memory in MB, and what a second run adds."""
        start = time.perf_counter()
        manager, client = start_new_kernel(kernel_name="python3", cwd=str(ROOT / "workbook"))
        said: list[str] = []

        def heard(message: dict) -> None:
            if message["msg_type"] == "stream":
                said.append(message["content"]["text"])
            elif message["msg_type"] == "error":
                raise RuntimeError(message["content"]["evalue"])

        def sizes() -> tuple[float, float]:
            said.clear()
            client.execute_interactive(
                "print(open('/proc/self/smaps_rollup').read())", output_hook=heard, store_history=False
            )
            found = {
                line.split(":")[0]: int(line.split()[1]) / 1024
                for line in "".join(said).splitlines()
                if line.endswith("kB")
            }
            return found["Rss"], found["Pss"]

        try:
            for source in cells:
                client.execute_interactive(source, output_hook=heard, timeout=300)
            taken = time.perf_counter() - start
            rss, pss = sizes()
            for source in cells:
                client.execute_interactive(source, output_hook=heard, timeout=300)
            return taken, rss, pss, sizes()[0] - rss
        finally:
            client.stop_channels()
            manager.shutdown_kernel(now=True)

    if not os.path.exists("/proc/self/smaps_rollup"):
        print("\nNotebooks: memory can only be read on Linux.")
        return
    with tempfile.TemporaryDirectory() as scratch:
        os.environ["SPRINGPASS_SHOP"] = scratch
        bare, plain = kernel(["pass"]), kernel(["%matplotlib inline\n" + PLAIN])
        rows, total = [], 0.0
        for path in sorted((ROOT / "workbook").glob("*.ipynb")):
            if only and path.stem not in only:
                continue
            cells = [   # what runs when the notebook opens
                "".join(c["source"])
                for c in json.loads(path.read_text(encoding="utf-8"))["cells"]
                if c["cell_type"] == "code" and "tags" not in c["metadata"]
            ]
            one = kernel(cells)
            total += one[0]
            rows.append(
                [
                    path.stem,
                    f"{one[0]:.1f}",
                    f"{one[1]:.0f}",
                    f"{one[2]:.0f}",
                    f"{one[1] / plain[1]:.2f}",
                    f"{one[3]:+.1f}",
                ]
            )
    rows += [
        [
            "(one slider by interact and matplotlib)",
            f"{plain[0]:.1f}",
            f"{plain[1]:.0f}",
            f"{plain[2]:.0f}",
            "1",
            f"{plain[3]:+.1f}",
        ],
        [
            "(an empty kernel)",
            f"{bare[0]:.1f}",
            f"{bare[1]:.0f}",
            f"{bare[2]:.0f}",
            f"{bare[1] / plain[1]:.2f}",
            f"{bare[3]:+.1f}",
        ],
    ]
    table(
        "Notebooks, each in a kernel of its own",
        ["notebook", "s with its start", "resident MB", "own MB", "of plain", "second run, MB"],
        rows,
    )
    print(f"  all {len(rows) - 2}: {total:.0f} s, {100 * total / 120:.0f} % of two minutes")


def files() -> None:
    """One more record in a shop file that already has so many, against writing the same file with nothing kept and
    nothing flushed.
    """
    import json
    import os
    import tempfile

    from springpass.job import shop

    rows = []
    with tempfile.TemporaryDirectory() as scratch:
        os.environ["SPRINGPASS_SHOP"] = scratch
        for count in (10, 100, 1_000, 10_000):
            shop.add_all(
                "hole",
                [
                    {"size": 10.0, "reamer": 9.998, "fluid": "cutting oil", "n": i}
                    for i in range(count - len(shop.records("hole")))
                ],
            )
            ours = timed(lambda i: shop.add("hole", size=10.0, reamer=9.998, fluid="cutting oil", n=i), 12)
            read = timed(lambda i: shop.records("hole"), 12)
            data = json.loads((Path(scratch) / "shop.json").read_text(encoding="utf-8"))

            def plainly(i: int, data: dict = data, place: Path = Path(scratch) / "plain.json") -> None:
                known = json.loads(place.read_text(encoding="utf-8")) if place.exists() else data
                place.write_text(json.dumps(known), encoding="utf-8")

            plain = timed(plainly, 12)
            rows.append(
                [f"{count:,}", f"{ours[0]:.1f}", f"{ours[1]:.1f}", f"{read[0]:.1f}", f"{ours[0] / plain[0]:.1f}"]
            )
    table("One more record kept safely (locked, flushed, the one before kept), by the records there already",
          ["records", "median ms", "p95 ms", "reading all, ms", "times a plain dump"], rows)


def plans() -> None:
    """The drive sleeve planned, and so many virtual parts drawn from its budgets, against one part after another."""
    from springpass import job
    from springpass.job import part

    sleeve = part.demo("drive_sleeve")
    one = timed(lambda i: job.plan(sleeve, finish_stock=0.3 + 0.001 * i), 12)
    rows = [["the plan, 2,000 parts", f"{one[0]:.0f}", f"{one[1]:.0f}", ""]]
    made, last = job.plan(sleeve), 0.0
    for count in (2_000, 20_000, 200_000):
        median, late = timed(lambda i, count=count: job.virtual_parts(made, count), 5)
        rows.append(
            [f"{count:,} virtual parts", f"{median:.1f}", f"{late:.1f}", f"{median / last:.1f}" if last else ""]
        )
        last = median
    table("Planning the drive sleeve", ["what", "median ms", "p95 ms", "times the row above"], rows)
    single = timed(lambda i: job.virtual_parts(made, 1), 12)[0]
    print(f"  one virtual part after another: {single:.1f} ms each, {single / (last / 200_000):,.0f} times as long")


def kernel() -> None:
    for part in (imports, sliders, growth, plans, files):
        part()


PARTS: dict[str, Callable[..., None]] = {"kernel": kernel, "browser": browser, "thirty": thirty, "memory": memory}


if __name__ == "__main__":
    wanted = [word for word in sys.argv[1:] if word in PARTS] or list(PARTS)
    names = [word for word in sys.argv[1:] if word not in PARTS]
    if unknown := [name for name in names if name != "--all" and not (ROOT / "workbook" / f"{name}.ipynb").exists()]:
        sys.exit(f"There is no part and no notebook {', '.join(unknown)}. The parts: {', '.join(PARTS)}.")
    for part in wanted:
        begun = time.perf_counter()
        PARTS[part](*(names if part in ("browser", "memory") else ()))
        print(f"  ({part}: {time.perf_counter() - begun:.0f} s)", flush=True)
