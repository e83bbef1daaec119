"""Onto paper: an HTML page with print styles, and a PDF of it where a Chromium is installed.

    place = save("class_sheets", page("Exercises", body, paper="A4"))   # into the user's folder
    made = to_pdf(place)                                               # made.path, or None and a sentence

A PDF is a convenience: the HTML file prints from any browser. `to_pdf` never fails; it says what it did or why not.
Nothing is fetched: the files hold all that they need, and the browser is told to look nothing up.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import tempfile
from dataclasses import dataclass
from html import escape
from pathlib import Path

from ..core import files
from ..core.quantity import Refused

PAPERS = {"A4": "A4", "Letter": "letter"}
NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
PATIENCE = 60.0   # s; forty sheets take a few
DATES = re.compile(rb"(/(?:CreationDate|ModDate) \(D:)\d{14}")   # in a PDF: the same page gives the same file
# our own file, without a script in it, so the browser needs no cage and no network
FLAGS = ("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--host-resolver-rules=MAP * ~NOTFOUND", "--no-pdf-header-footer")

STYLE = Path(__file__).with_name("pages_to_print.css").read_text(encoding="utf-8")


@dataclass(frozen=True)
class Made:
    """A PDF and where it lies, or None and why; `says` is a sentence either way."""

    path: Path | None
    says: str


def page(title: str, body: str, paper: str = "A4", style: str = "") -> str:
    """A whole HTML page to print, black on white. `body` is HTML, `style` more CSS. Raises Refused for an unknown
    paper.
    """
    if paper not in PAPERS:
        raise Refused(f"“{paper}” paper is not known. Choose A4 or Letter.")
    return ('<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" '
        'content="width=device-width,initial-scale=1">'
        f"<title>{escape(title)}</title><style>{STYLE.replace('PAPER', PAPERS[paper])}{style}</style></head>"
        f"<body>{body}</body></html>\n")


def save(name: str, html: str) -> Path:
    """Write <name>.html into the user's folder, keeping what the user changed (`files.put`). Raises Refused."""
    return files.put(f"{name}.html", html)


def chromium() -> str | None:
    """Where a Chromium is, or None. SPRINGPASS_CHROMIUM names one that is not on the path."""
    named = os.environ.get("SPRINGPASS_CHROMIUM")
    if named:
        return named if Path(named).is_file() else None
    return next((found for name in NAMES if (found := shutil.which(name))), None)


def to_pdf(html: Path, patience: float = PATIENCE) -> Made:
    """Print an HTML file to a PDF beside it (`files.write`). Never raises: what could not be done is said."""
    by_hand = "Open the HTML file in any browser and print it from there."
    program = chromium()
    if program is None:
        return Made(None, f"No PDF was made: there is no Chromium here. {by_hand}")
    target = html.with_suffix(".pdf")
    try:
        with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as scratch:
            new = Path(scratch) / "page.pdf"
            subprocess.run(
                [program, *FLAGS, f"--user-data-dir={scratch}/profile", f"--print-to-pdf={new}",
                html.resolve().as_uri()], stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL, timeout=patience, check=True)
            made = new.read_bytes()
        if not made.startswith(b"%PDF"):
            raise OSError("it wrote no PDF")
        files.write(target, DATES.sub(rb"\g<1>20000101000000", made))
    except subprocess.TimeoutExpired:
        return Made(None, f"No PDF was made: Chromium took longer than {patience:g} s. {by_hand}")
    except (OSError, subprocess.SubprocessError, ValueError, Refused):
        return Made(None, f"No PDF was made: Chromium could not print the page. {by_hand}")
    return Made(target, f"A PDF lies beside it: {target.name}.")
