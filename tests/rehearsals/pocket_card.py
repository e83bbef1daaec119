"""The pocket card rehearsed: every page exported in full, one opened on a phone without network; prints the figures.

    python tests/rehearsals/pocket_card.py [--quick]

`--quick` makes cards of a few steps. Needs a Chromium. The phone is 390 px wide, offline, asks no address but the
file's own;
a slower processor is played by letting the browser run at a sixth of its speed.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "browser"))
import lab
from springpass.core.quantity import Refused
from springpass.pages import catalogue
from springpass.printing import pocket

SLOWER = 6
# one key press to the changed picture on the screen: the event, the new markup, then the next frame
PRESS = """at => new Promise(done => { const dial = document.querySelector('input[type=range]'); dial.value = at;
  const began = performance.now(); dial.dispatchEvent(new Event('input'));
  const worked = performance.now() - began; document.querySelector('.sp-drawn').getBoundingClientRect();
  requestAnimationFrame(() => setTimeout(() => done([worked, performance.now() - began]))); })"""


def export(quick: bool) -> dict[str, pocket.Made]:
    """Every page as a card; those that would not go are told."""
    made = {}
    for name, page in catalogue.pages().items():
        began = time.perf_counter()
        try:
            made[name] = pocket.make(page, count=3 if quick else 7 if name == "plan_a_part" else 0)
        except Refused as refusal:
            print(f"  {name}: {refusal}")
            continue
        one = made[name]
        print(f"  {name:24} {one.size / 1e6:6.3f} MB {one.card.answers:5} answers {len(one.card.dials)} inputs "
              f"{time.perf_counter() - began:6.1f} s to make", flush=True)
    return made


def on_a_phone(browser, file: Path, slower: int) -> tuple[float, list[list[float]], list[str]]:
    """Milliseconds to open, milliseconds of every slider change, and what was asked for."""
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True, device_scale_factor=3
    )
    context.set_offline(True)
    page = context.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": slower})
    began = time.perf_counter()
    page.goto(file.as_uri())
    page.wait_for_selector("html[data-ready]")
    opened = 1e3 * (time.perf_counter() - began)
    steps = int(page.locator("input[type=range]").first.get_attribute("max")) + 1
    changes = [page.evaluate(PRESS, at % steps) for at in range(1, 61)]
    context.close()
    return opened, changes, asked


def exported(quick: bool) -> dict[str, pocket.Made]:
    """The first half: all cards, and a line on their sizes."""
    print("every page onto a card:")
    made = export(quick)
    sizes = {name: one.size for name, one in made.items()}
    largest = max(sizes, key=sizes.get)
    print(f"{len(made)} of {len(catalogue.pages())} pages; median {statistics.median(sizes.values()) / 1e6:.2f} MB; "
          f"largest {largest} {sizes[largest] / 1e6:.2f} MB; all under 3 MB: {max(sizes.values()) < 3e6}", flush=True)
    return made


def opened(made: dict[str, pocket.Made]) -> None:
    """The second half: the bench page's card and the largest one on the phone."""
    largest = max(made, key=lambda name: made[name].size)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=lab.chromium(), headless=True, args=lab.FLAGS)
        for name in ("check_stickout", largest):
            file = pocket.save(Path(folder) / f"{name}.html", made[name].html)
            for slower in (1, SLOWER):
                runs = [on_a_phone(browser, file, slower) for _ in range(5)]
                opens = statistics.median(run[0] for run in runs)
                work, seen = (sorted(change[i] for run in runs for change in run[1]) for i in (0, 1))
                asked = {url for run in runs for url in run[2]} - {file.as_uri()}
                print(
                    f"{name}, {made[name].size / 1e6:.2f} MB, "
                    f"{'full speed' if slower == 1 else f'a {slower}th of the speed'}: opens in {opens:.0f} ms; "
                    f"a slider change {statistics.median(work):.1f} ms of script, on the screen after "
                    f"{statistics.median(seen):.0f} ms median, "
                    f"{seen[int(0.95 * len(seen))]:.0f} ms at the 95th percentile; other addresses asked for: "
                    f"{len(asked)}",
                    flush=True,
                )
        browser.close()


if __name__ == "__main__":
    opened(exported("--quick" in sys.argv))
