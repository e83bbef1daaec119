"""A chapter as a page to print: which chapter, its pages at which values, on which paper."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
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
class Section:
    """One section of the chapter and what stands in it."""

    heading: str
    pictures: int
    formulas: int
    questions: int


@dataclass(frozen=True)
class Contents:
    """What the handout will hold."""

    title: str
    sections: tuple[Section, ...]
    changed: tuple[tuple[str, str, str], ...]   # page's title, input, value as it will be printed
    file: str
    paper: str
    solutions: bool
    inch: bool

    def count(self, what: str) -> int:
        return sum(getattr(section, what) for section in self.sections)


@cache
def _sections(name: str) -> tuple[Section, ...]:
    found: list[list[Any]] = [["", 0, 0, 0]]
    for part in handout.chapter(name).parts:
        if part.kind == "text":
            found += [[heading.split(",")[0], 0, 0, 0] for heading in re.findall(r"^## +(.*)$", part.text, re.M)]
        found[-1][1] += part.kind == "page"
        found[-1][2] += part.kind == "formula"
        found[-1][3] += len(exercises.chapter(name).exercises) if part.kind == "practise" else part.kind == "predict"
    return tuple(Section(*row) for row in found if row[0])


def _asked(chapter: str, settings: str, units: str) -> tuple[str, handout.Settings, Say]:
    name, say = NAMES[chapter], Say(units == UNITS[1])
    return name, handout.read_settings(settings, name, say), say


def compute(chapter: str, settings: str, paper: str, units: str, solutions: bool) -> Contents:
    name, wanted, say = _asked(chapter, settings, units)
    changed = tuple(
        (page.title, called(what), handout.shown_value(what, wanted[page.name][what.name], say))
        for page in handout.chapter(name).pages
        for what in page.inputs
        if what.name in wanted.get(page.name, {})
    )
    return Contents(
        handout.chapter(name).title,
        _sections(name),
        changed,
        handout.file_name(name, paper, say, solutions),
        paper,
        solutions,
        say.inch,
    )


def picture(c: Contents, say: Say) -> str:
    row, top = 33, 62
    d = Drawing("What the handout holds", words(c, say), WIDTH, top + row * len(c.sections) + 26)
    d.shape(
        [14, WIDTH - 44, WIDTH - 14, WIDTH - 14, 14], [8, 8, 38, d.height - 8, d.height - 8], "paper", "ink"
    )  # a sheet with its corner turned down
    d.line([WIDTH - 44, WIDTH - 44, WIDTH - 14], [8, 38, 38], "thin")
    title = c.title
    while 1.12 * breadth(title, 16.5) > WIDTH - 74:   # room beside the turned corner
        title = title.removesuffix(" …").rsplit(" ", 1)[0] + " …"
    d.text(28, 40, title, kind="bold halo")
    d.line([28, WIDTH - 28], [50, 50], "thin")
    for i, section in enumerate(c.sections):
        y = top + row * i
        d.text(28, y + 16, section.heading, kind="small halo")
        x = 190.0
        for _ in range(section.pictures):
            d.rect(x, y + 3, 22, 16, "fill-a", "thin")
            d.line([x + 3, x + 9, x + 13, x + 19], [y + 15, y + 9, y + 12, y + 6], "ink")
            x += 27
        for k in range(min(section.formulas, int((WIDTH - 40 - x) / 13))):
            d.text(x + 13 * k, y + 17, "=", kind="small halo")
        x += 13 * section.formulas
        for k in range(section.questions):
            d.rect(x + 17 * k, y + 5, 11, 11, "paper", "ink")
            if c.solutions:
                d.line([x + 17 * k + 2, x + 17 * k + 5, x + 17 * k + 11], [y + 10, y + 14, y + 3], "ink")
    return d.svg()


def words(c: Contents, say: Say) -> str:
    done = "with their solutions" if c.solutions else "with room for the answers"
    exercises_ = max((s.questions for s in c.sections), default=0)
    said = (
        f"“{c.title.rstrip('?.')}” on {c.paper}: {c.count('pictures')} pictures with their words, "
        f"{c.count('formulas')} formulas, "
        f"{exercises_} exercises {done}, lengths in {'inch and thou' if c.inch else 'mm and µm'}."
    )
    if not c.changed:
        return f"{said} Every page stands at its opening values. The button writes it into your spring_pass folder."
    n = len(c.changed)
    return (f"{said} {n} setting{'s differ' if n > 1 else ' differs'} from the opening values. The button writes it "
            "into your spring_pass folder.")


def more(c: Contents, say: Say) -> str:
    from html import escape

    rows = "".join(
        f"<tr><td>{escape(page)}</td><td>{escape(name)}</td><td>{escape(value)}</td></tr>"
        for page, name, value in c.changed
    )
    key = '<p>In the sketch: a framed curve is a page\'s picture, = a formula, a box a question.</p>'
    return key + (f"<table><tr><th>page</th><th>setting</th><th>stands at</th></tr>{rows}</table>" if rows else "")


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


PAGE = Page(
    name="handouts",
    title="A chapter to hand out",
    inputs=(
        Choose("chapter", list(NAMES), USUAL, "work", says="which chapter"),
        Write(
            "settings",
            "",
            "work",
            "settings, one a line, such as: stickout = 55",
            "for every page that has it; “bend: stickout = 55” for one page alone; empty for the opening values",
            rows=4,
        ),
        Choose("units", UNITS, UNITS[0], "view", "units"),
        Choose("paper", list(handout.PAPERS), "A4", "view", "paper"),
        Tick("solutions", False, "view", "with solutions"),
    ),
    compute=compute,
    picture=picture,
    words=words,
    more=more,
    presses=(
        Press("Write the handout", _html, "one HTML file, no network needed"),
        Press("Write it, and a PDF", _pdf, "needs a Chromium on this computer"),
    ),
)
