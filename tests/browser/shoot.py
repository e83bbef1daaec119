"""Screenshots of a notebook's pages as a user sees them.

    python tests/browser/shoot.py 01_heat [folder] [--dark]
    python tests/browser/shoot.py --readme          takes the README's picture of the bench page anew

Writes <notebook>-<width>-<number>.png for 1280 and 390 px into the folder
(tests/browser/shots by default, which git ignores): one picture a page, and one of the notebook's top.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

import lab


def shoot(name: str, folder: Path, dark: bool = False) -> None:
    """Run the notebook in JupyterLab and photograph each page at both widths."""
    folder.mkdir(parents=True, exist_ok=True)
    with lab.lab() as address, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=lab.chromium(), headless=True, args=lab.FLAGS)
        for width, height in ((1280, 900), (390, 844)):
            page = browser.new_context(viewport={"width": width, "height": height}).new_page()
            page.set_default_timeout(60_000)
            done = lab.open_notebook(page, address, f"{name}.ipynb")
            if not done["ok"] or done["bad"]:
                print("failed cells:", done["bad"])
            if dark:
                page.evaluate("window.jupyterapp.commands.execute('apputils:change-theme', {theme: 'JupyterLab Dark'})")
                page.wait_for_timeout(1500)
            mark = "-dark" if dark else ""
            page.screenshot(path=folder / f"{name}-{width}{mark}-top.png")
            page.set_viewport_size({"width": width, "height": 3200})
            page.wait_for_timeout(300)
            count = page.evaluate("window.jupyterapp.shell.currentWidget.content.widgets.length")
            number = 0
            for cell in range(count):  # cells far off the screen are not drawn: go to each
                page.evaluate("""i => { const nb = window.jupyterapp.shell.currentWidget.content;
                    nb.activeCellIndex = i; return nb.scrollToItem ? nb.scrollToItem(i, 'start') : null; }""", cell)
                page.wait_for_timeout(120)
                for found in page.locator(f'.jp-Cell[data-windowed-list-index="{cell}"] .sp-page').all():
                    number += 1
                    page.wait_for_timeout(400)
                    found.screenshot(path=folder / f"{name}-{width}{mark}-{number}.png")
                    print(name, width, number, found.bounding_box())
            lab.shut(page)
        browser.close()


def readme() -> None:
    """The bench page at 1280 px, as the README shows it."""
    with tempfile.TemporaryDirectory() as folder:
        shoot("check_stickout", Path(folder))
        shutil.copyfile(Path(folder) / "check_stickout-1280-1.png", lab.ROOT / "workbook/images/check_stickout.png")


if __name__ == "__main__":
    if "--readme" in sys.argv:
        sys.exit(readme())
    words = [word for word in sys.argv[1:] if not word.startswith("--")]
    shoot(words[0], Path(words[1]) if len(words) > 1 else lab.ROOT / "tests/browser/shots", "--dark" in sys.argv)
