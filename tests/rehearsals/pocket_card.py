"""The pocket card rehearsed: every page exported in full, one opened on a phone without network; prints the figures.

    python tests/rehearsals/pocket_card.py [--quick] [--figures]

`--quick` makes cards of a few steps; `--figures` keeps the figures in figures.csv. Needs a Chromium. The phone is
390 px wide, offline, asks no address but the file's own; a slower processor is played by letting the browser run at a
sixth of its speed.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "browser"))
from measure import keep, lasted, table

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


def sized(made: dict[str, pocket.Made]) -> tuple[str, str]:
    """The first half's figures: how many cards, how large."""
    sizes = {name: one.size for name, one in made.items()}
    largest = max(sizes, key=lambda name: sizes[name])
    return (f"{len(made)} of {len(catalogue.pages())} pages put onto a card",
        f"median {statistics.median(sizes.values()) / 1e6:.2f} MB, largest {sizes[largest] / 1e6:.1f} MB ({largest})"
        + ("" if max(sizes.values()) < 3e6 else ": NOT under 3 MB"))


def opened(made: dict[str, pocket.Made]) -> list[tuple[str, str]]:
    """The second half: the bench page's card and the largest one on the phone."""
    largest = max(made, key=lambda name: made[name].size)
    rows, asked = [], set()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=lab.chromium(), headless=True, args=lab.FLAGS)
        for name in ("check_stickout", largest):
            file = pocket.save(Path(folder) / f"{name}.html", made[name].html)
            for slower in (1, SLOWER):
                runs = [on_a_phone(browser, file, slower) for _ in range(5)]
                opens = statistics.median(run[0] for run in runs)
                seen = sorted(change[1] for run in runs for change in run[1])
                asked |= {url for run in runs for url in run[2]} - {file.as_uri()}
                rows.append((f"{name}, {made[name].size / 1e6:.1f} MB, {made[name].card.answers} answers"
                    + (", at a sixth of the speed" if slower > 1 else ""),
                    f"opens in {opens / 1e3:.1f} s; a change is on the screen after {statistics.median(seen):.0f} ms "
                    f"median, {seen[int(0.95 * len(seen))]:.0f} ms at the 95th percentile"))
                print(": ".join(rows[-1]), flush=True)
        browser.close()
    return [*rows, ("requests of any kind", f"ASKED: {asked}" if asked else "none")]


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--quick", action="store_true", help="cards of a few steps")
    parser.add_argument("--figures", action="store_true", help="keep the figures in figures.csv")
    given = parser.parse_args()
    began = time.monotonic()
    print("every page onto a card:")
    cards = export(given.quick)
    found = [sized(cards), *opened(cards)]
    print(table(found))
    print(lasted(began))
    bad = [value for _, value in found if "NOT" in value or "ASKED" in value]
    if given.figures and not bad:
        keep("pocket_card", found)
    sys.exit(bool(bad))
