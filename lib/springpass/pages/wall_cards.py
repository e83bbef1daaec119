"""A card for the workshop's wall: which chapter, on which paper; what is seen is what is printed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ..core.quantity import Say
from ..printing import pages_to_print as onto_paper
from ..printing import wall_card
from ..screen.downloads import Saved
from ..screen.page import Choose, Page, Press
from ..teaching import exercises

UNITS = ("as the pages show", "mm and µm", "inch and thou")
NAMES = {exercises.chapter(name).title: name for name in wall_card.names()}
USUAL = exercises.chapter("03_boring_bar").title


@dataclass(frozen=True)
class Wanted:
    """Which card, in which unit (None: as the pages show), on which paper."""

    name: str
    inch: bool | None
    paper: str

    def card(self, say: Say) -> wall_card.Card:
        return wall_card.card(self.name, say if self.inch is None else Say(self.inch))


def compute(chapter: str, units: str, paper: str) -> Wanted:
    """The card of one chapter for the workshop's wall. Raises Refused for a chapter that has none."""
    return Wanted(NAMES[chapter], {UNITS[1]: False, UNITS[2]: True}.get(units), paper)


def picture(wanted: Wanted, say: Say) -> str:
    return wall_card.drawn(wanted.card(say), wanted.paper)


def words(wanted: Wanted, say: Say) -> str:
    made = wanted.card(say)
    return f"{made.rule} {made.says}\nHow sure? {made.sure}\nMind: {made.caution}"


def _keep(chapters: list[str] | None, units: str, paper: str) -> Any:
    return wall_card.keep(chapters, Say(units == UNITS[2]), paper)


def _one(chapter: str, units: str, paper: str) -> str:
    path = _keep([NAMES[chapter]], units, paper)
    return Saved(f"Saved as {path}. Open it in any browser and print it at full size.", path)


def _all(chapter: str, units: str, paper: str) -> str:
    path = _keep(None, units, paper)
    return Saved(f"Saved as {path}: {len(NAMES)} cards, one a sheet. Print at full size.", path)


def _pdf(chapter: str, units: str, paper: str) -> str:
    path = _keep(None, units, paper)
    made = onto_paper.to_pdf(path)
    return Saved(f"Saved as {path}. {made.says}", path, *([made.path] if made.path else []))


PAGE = Page(name="wall_cards", title="A card for the workshop's wall",
    inputs=(Choose("chapter", list(NAMES), USUAL, "work", says="which chapter"),
    Choose("units", UNITS, UNITS[0], "view", "units on the card", "files are written in mm unless inch is chosen here"),
    Choose("paper", list(wall_card.PAPERS), "A4", "view", "paper")), compute=compute, picture=picture, words=words,
    presses=(Press("Write this card", _one, "one HTML file to print"),
    Press("Write all cards", _all, "one HTML file, one card a sheet"),
    Press("All cards as a PDF", _pdf, "needs a Chromium on this computer")))
