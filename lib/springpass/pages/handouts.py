"""A chapter on two sheets to print: which chapter, its page at which values, on which paper."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ..core.quantity import Say
from ..printing import handout
from ..printing import pages_to_print as onto_paper
from ..screen.downloads import Saved
from ..screen.draw import WIDTH, Drawing, breadth
from ..screen.page import Choose, Page, Press, Tick, Write, called
from ..teaching import exercises

UNITS = ("mm and µm", "inch and thou")
TITLES = {name: chapter.title for name, chapter in exercises.chapters().items()}
NAMES = {title: name for name, title in TITLES.items()}
USUAL = TITLES["03_boring_bar"]


@dataclass(frozen=True)
class Contents:
    """What the handout will hold."""

    title: str
    page: str                            # title of the page whose picture it carries
    changed: tuple[tuple[str, str], ...]   # input, value as it will be printed
    file: str
    paper: str
    solutions: bool
    inch: bool


def _asked(chapter: str, settings: str, units: str) -> tuple[str, handout.Settings, Say]:
    name, say = NAMES[chapter], Say(units == UNITS[1])
    return name, handout.read_settings(settings, name, say), say


def compute(chapter: str, settings: str, paper: str, units: str, solutions: bool) -> Contents:
    """The sections of a chapter as they will be handed out. Raises Refused for a chapter that is not there."""
    name, wanted, say = _asked(chapter, settings, units)
    shown = handout.page(name)
    changed = tuple((called(what), handout.shown_value(what, wanted[what.name], say)) for what in shown.inputs
        if what.name in wanted)
    file = handout.file_name(name, paper, say, solutions)
    return Contents(handout.chapter(name).title, shown.title, changed, file, paper, solutions, say.inch)


def picture(c: Contents, say: Say) -> str:
    wide, gap, high = 208.0, 20.0, 280.0
    d = Drawing("What the handout holds", words(c, say), WIDTH, high + 24)

    def sheet(left: float) -> None:
        right, corner = left + wide, 22.0
        d.shape([left, right - corner, right, right, left], [8, 8, 8 + corner, high, high], "paper", "ink")
        d.line([right - corner, right - corner, right], [8, 8 + corner, 8 + corner], "thin")

    def lines(left: float, top: float, count: int) -> None:
        for i in range(count):
            d.line([left + 14, left + wide - 14], [top + 9 * i] * 2, "faint")

    first, second = 12.0, 12.0 + wide + gap
    sheet(first)
    title = c.title
    while 1.12 * breadth(title, 14.5) > wide - 50:   # room beside the turned corner
        title = title.removesuffix(" …").rsplit(" ", 1)[0] + " …"
    d.text(first + 14, 30, title, kind="bold halo")
    lines(first, 46, 4)
    d.rect(first + 14, 84, wide - 28, 44, "none", "ink")
    d.text(first + 22, 102, "your guess", kind="small halo")
    for i in range(3):
        d.rect(first + 22 + 30 * i, 111, 10, 10, "paper", "ink")
        if c.solutions and i == 1:
            d.line([first + 54, first + 57, first + 63], [115, 119, 109], "ink")
    d.rect(first + 14, 138, wide - 28, 92, "fill-a", "thin")
    d.line([first + 26 + 4 * i for i in range(40)], [218 - 0.044 * i * i for i in range(40)], "ink")
    d.text(first + 22, 156, "picture", kind="small halo")
    lines(first, 244, 3)
    sheet(second)
    blocks = ((30, "rule and formula"), (84, "worked example"), (138, "before you cut"), (190, "readings and notes"))
    for y, what in blocks:
        d.text(second + 14, y, what, kind="small halo")
        if y < 180:
            lines(second, y + 12, 3)
    for i in range(5):
        d.line([second + 14, second + wide - 14], [200 + 13 * i] * 2, "thin")
    for i in range(5):
        x = second + 14 + (wide - 28) / 4 * i
        d.line([x, x], [200, 252], "thin")
    return d.svg()


def words(c: Contents, say: Say) -> str:
    told = ", with the answer to the guess" if c.solutions else ""
    said = (f"“{c.title}” makes two sheets of {c.paper} paper, black on white{told}. "
        f"The picture is “{c.page.rstrip('?.')}”, with lengths in {'inch and thou' if c.inch else 'mm and µm'}.")
    n = len(c.changed)
    stands = (f"{n} setting{'s differ' if n > 1 else ' differs'} from the opening values." if n
        else "It stands at its opening values.")
    return f"{said} {stands} The button writes the handout into your spring_pass folder."


def more(c: Contents, say: Say) -> str:
    from html import escape

    rows = "".join(f"<tr><td>{escape(name)}</td><td>{escape(value)}</td></tr>" for name, value in c.changed)
    return f"<table><tr><th>setting</th><th>stands at</th></tr>{rows}</table>" if rows else ""


def _write(chapter: str, settings: str, paper: str, units: str, solutions: bool) -> Any:
    name, wanted, say = _asked(chapter, settings, units)
    return handout.keep(name, wanted, say, paper, solutions=solutions)


def _html(**values: Any) -> str:
    path = _write(**values)
    return Saved(f"Saved as {path}. Open it in any browser and print it.", path)


def _pdf(**values: Any) -> str:
    path = _write(**values)
    made = onto_paper.to_pdf(path)
    return Saved(f"Saved as {path}. {made.says}", path, *([made.path] if made.path else []))


PAGE = Page(name="handouts", title="A chapter to hand out",
    inputs=(Choose("chapter", list(NAMES), USUAL, "work", says="which chapter"),
    Write("settings", "", "work", "settings, one a line, such as: stickout = 55",
    "settings of the page whose picture the handout carries; empty for the opening values", rows=4),
    Choose("units", UNITS, UNITS[0], "view", "units"), Choose("paper", list(handout.PAPERS), "A4", "view", "paper"),
    Tick("solutions", False, "view", "with the answer to the guess")), compute=compute, picture=picture, words=words,
    more=more,
    presses=(Press("Write the handout", _html, "one HTML file, no network needed"),
    Press("Write it, and a PDF", _pdf, "needs a Chromium on this computer")))
