"""Exercises and predictions, one small module a chapter: numbers in, a Task (practice.py) out. No physics of its own.

What is plausible for a reading of one's own is from memory, wide, and no verdict on anybody's lathe; where a formula
gives a figure to compare with, the worked solution shows it.
"""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache

from ...core.quantity import Refused
from ..practice import Chapter


@cache
def chapters() -> dict[str, Chapter]:
    """Every chapter's questions by its notebook's name, in the workbook's order."""
    found = [importlib.import_module(f"{__name__}.{module.name}").CHAPTER for module in pkgutil.iter_modules(__path__)]
    return {chapter.name: chapter for chapter in sorted(found, key=lambda chapter: chapter.name)}


def chapter(name: str) -> Chapter:
    """One chapter's questions. Raises Refused for a name there is not."""
    if name not in chapters():
        raise Refused(f"There are no exercises for “{name}”. There are some for {', '.join(chapters())}.")
    return chapters()[name]
