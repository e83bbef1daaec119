"""Every page of the workbook, by its name."""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache
from pathlib import Path

from ..core.quantity import Refused, said
from ..printing.pocket.steps import plain_name
from ..screen.page import Page

DESK = (
    "bench_cards",
    "class_predictions",
    "class_sheets",
    "handouts",
    "lesson_plans",
    "marking",
    "pocket_card",
    "quiz",
    "wall_cards",
)   # modules of the teacher's desk: no phone wants their pages
APART = (*DESK, "catalogue", "__main__")


@cache
def pages() -> dict[str, Page]:
    """Every page for a learner or a turner by its name; those for the teacher's desk are left out."""
    found: dict[str, Page] = {}
    for name in sorted(module.name for module in pkgutil.iter_modules([str(Path(__file__).parent)])):
        if name in APART:
            continue
        for thing in vars(importlib.import_module(f"{__package__}.{name}")).values():
            if isinstance(thing, Page):
                found.setdefault(thing.name, thing)
    return found


def page_named(name: str) -> Page:
    """A page by its name or its title. Raises Refused with the names there are."""
    known = pages()
    for one in known.values():
        if plain_name(name) in (plain_name(one.name), plain_name(one.title)):
            return one
    raise Refused(f"There is no page {said(name)}. Choose one of: {', '.join(sorted(known))}.")
