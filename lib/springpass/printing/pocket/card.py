"""The pocket card: a page as one HTML file that a phone opens with no server, no kernel and no network.

    card = make(check_stickout.PAGE, ["stickout = 20 to 80", "bar diameter", "tolerance = 10; 18; 33", "bore = 16"])
    save("card.html", card.html)

or, without Python, `python -m springpass.pages check_stickout --inputs stickout bar_diameter tolerance -o card.html`.

One to three inputs become sliders or choices with a few round steps each; the answer at every combination of steps is
worked out beforehand by the page itself and packed into the file, so the card shows exactly what the page shows there,
and nothing between. Lines that give an input one value fix it; every other input stands at its usual value, and the
card says so.
"""

from __future__ import annotations

import base64
import json
import logging
import os
import re
import zlib
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ...core import files
from ...core.quantity import Refused, Say
from ...screen import draw
from ...screen.page import LAST_GOOD, SHAPES, Page, Slide, called, headline
from .print_version import MARKS, REFUSED, Cell, page_of
from .steps import Card, design, worth_keeping

BROKEN = ("There is no answer at these values: an error of the workbook, not of what you set. The other answers are "
    "sound.")
LIMIT = 2_900_000     # bytes of the whole file: under 3 MB by any counting


@dataclass(frozen=True)
class Made:
    """A finished card: the file's text, what is on it, whether the page's tables came along, and at how many settings
    the page broke.
    """

    html: str
    card: Card
    tables: bool
    broken: int = 0

    @property
    def size(self) -> int:
        """Bytes of the file."""
        return len(self.html.encode())


# ---- making it ------------------------------------------------------------------------------------


def make(page: Page, inputs: Sequence[str] = (), inch: bool = False, count: int = 0, limit: int = LIMIT,
        heard: Callable[[int, int], None] | None = None) -> Made:
    """Work out every answer and pack the card; `heard(done, all)` is told how far it is. Raises Refused.

    Where a slider of the card's own choosing has ends at which the page refuses every setting, it is narrowed to the
    rest. Where the file would pass `limit` bytes the page's tables are left out first, then the sliders get fewer
    steps.
    """
    known: dict[tuple[Any, ...], Cell] = {}
    spans: dict[str, tuple[float, float]] | None = None
    tables = True
    while True:
        card = design(page, inputs, inch, count, spans)
        cells = _cells(card, known, heard)
        if spans is None:
            spans = worth_keeping(card, [cell.mark == REFUSED for cell in cells])
            if spans:   # steps that only refuse say little: look closer at the others
                continue
        broken = _worth_making(card, cells)
        tables = tables and any(cell.more for cell in cells)
        made = Made(page_of(card, cells, tables, _packed(card, cells, tables)), card, tables, broken)
        if made.size <= limit:
            return made
        if tables:
            tables = False
            continue
        most = max((len(dial.values) for dial in card.dials if not dial.given), default=0)
        if most <= 3:
            raise Refused(
                f"This card would be {made.size / 1e6:.1f} MB, and {limit / 1e6:.1f} MB is the limit. Take fewer "
                "sliders or fewer values.")
        count = int(0.85 * most)


def _cells(card: Card, known: dict[tuple[Any, ...], Cell], heard: Callable[[int, int], None] | None) -> list[Cell]:
    """The answers at all of a card's settings; those already `known` are not worked out again."""
    cells = []
    for done, values in enumerate(card.settings(), 1):
        key = tuple(values[dial.what.name] for dial in card.dials)
        if key not in known:
            known[key] = _cell(card.page, Say(card.inch), values, [dial.what.name for dial in card.dials])
        cells.append(known[key])
        if heard:
            heard(done, card.answers)
    return cells


def _worth_making(card: Card, cells: Sequence[Cell]) -> int:
    """At how many settings the page broke. Raises Refused where that is more than a few, or where it answers nowhere.
    """
    broken = sum(cell.words == BROKEN for cell in cells)
    if broken * 20 > len(cells):
        raise Refused(
            f"“{card.page.title}” went wrong at {broken} of {len(cells)} settings, so no card was made. Please report "
            "it, with the inputs you asked for.")
    if all(cell.mark == REFUSED for cell in cells):
        raise Refused(
            f"There is nothing to put on this card: “{card.page.title}” refuses every setting of it. {cells[0].words}")
    return broken


def _cell(page: Page, say: Say, values: dict[str, Any], dials: Collection[str]) -> Cell:
    """The answer at one setting as a card holds it; only what the card's `dials` move can be taken hold of."""
    try:
        answer = page._answer(say, values)
    except Refused as refusal:
        return Cell("", "", str(refusal), "", REFUSED)
    except Exception:   # as on the page: said, and the other answers kept
        logging.getLogger("springpass").exception("card of %s", page.name)
        return Cell("", "", BROKEN, "", REFUSED)
    mark = SHAPES.get(getattr(answer.result, "verdict", ""), "")
    picture = draw.without_handles(answer.svg, dials)
    return Cell(_bare(picture), headline(answer.result), answer.words, _bare(answer.more), MARKS.index(mark))


def _bare(html: str) -> str:
    """Without the namespaces, which HTML does not need."""
    return re.sub(r"""\s+xmlns(:\w+)?=("[^"]*"|'[^']*')""", "", html)


def _packed(card: Card, cells: Sequence[Cell], tables: bool) -> str:
    """All answers as one block: pieces of markup said once, like beside like, which packs a fifth smaller; texts as
    rows of pieces, cells as rows of texts; then deflated.
    """
    texts: dict[str, int] = {}
    flat: list[int] = []
    for cell in cells:
        said = (cell.picture, cell.head, cell.words, cell.more if tables else "")
        flat += [*(texts.setdefault(text, len(texts)) for text in said), cell.mark]
    cut = [re.findall(r"<[^<]*|^[^<]+", text) for text in texts]
    pieces = {piece: at for at, piece in enumerate(sorted({piece for parts in cut for piece in parts}))}
    data = {"spec": _spec(card), "start": [dial.start for dial in card.dials], "pieces": list(pieces),
        "texts": [[pieces[piece] for piece in parts] for parts in cut], "cells": flat, "marks": MARKS,
        "refused": MARKS[REFUSED]}
    packed = zlib.compress(json.dumps(data, ensure_ascii=False, separators=(",", ":")).encode(), 9)
    block = base64.b64encode(packed).decode()
    return f'<script type="text/plain" id="answers">{block}</script>'


def _spec(card: Card) -> dict[str, Any]:
    """What page.js draws the card's inputs from: as on the page, with the few places at which there is an answer."""
    controls: list[dict[str, Any]] = []
    for dial in card.dials:
        row: dict[str, Any] = {"name": dial.what.name, "group": "", "label": called(dial.what), "says": dial.what.says,
            "texts": dial.texts(card.inch)}
        if isinstance(dial.what, Slide):   # a slider runs in the metric unit on the page too
            row |= {"kind": "slide", "stops": [float(f"{dial.what.quantity.to_shown(v):.6g}") for v in dial.values]}
        else:
            row |= {"kind": "choose", "stops": True, "options": row["texts"]}
        controls.append(row)
    return {"title": "", "controls": controls, "presses": [], "last": LAST_GOOD}


def unpacked(html: str) -> dict[str, Any]:
    """What a card's file holds, as its script reads it. Raises Refused for another file or a damaged one."""
    found = re.search(r'id="answers">([^<]*)<', html)
    try:
        if not found:
            raise ValueError("no answers")
        return json.loads(zlib.decompress(base64.b64decode(found[1])))
    except (ValueError, zlib.error):
        raise Refused("This file is no pocket card, or it is damaged. Make the card again.") from None


# ---- saving ---------------------------------------------------------------------------------------


def save(path: str | os.PathLike[str], text: str) -> Path:
    """Write a card into a folder that is there, whole or not at all (`files.write`). Raises Refused."""
    return files.write(path, text)


def told(made: Made, place: Path) -> str:
    """One sentence about a card that was saved."""
    dials = ", ".join(f"{called(dial.what)} ({len(dial.values)} steps)" for dial in made.card.dials) or "no sliders"
    broke = (f" At {made.broken} of them something went wrong inside the workbook, and the card says so there."
        if made.broken else "")
    return f"Saved: {place}, {made.size / 1e6:.2f} MB, {made.card.answers} answers: {dials}.{broke}"
