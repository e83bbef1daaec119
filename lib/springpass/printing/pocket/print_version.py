"""The paper of a pocket card: the HTML round its answers."""

from __future__ import annotations

import functools
import types
from collections.abc import Sequence
from html import escape
from pathlib import Path
from typing import Any, NamedTuple

from ...core.formula import Label, is_formula
from ...core.quantity import plain
from ...core.spread import EDGE, FAILS, HOLDS
from ...screen import look
from ...screen.page import SHAPES, Page, Slide, called
from .steps import Card, Dial, said

CARD_STYLE, CARD_SCRIPT = (Path(__file__).with_name(f"card.{kind}").read_text(encoding="utf-8")
    for kind in ("css", "js"))

MARKS = ("", *(SHAPES[v] for v in (HOLDS, EDGE, FAILS)), "–")
REFUSED = 4


class Cell(NamedTuple):
    """The answer at one setting: picture and tables as markup, the words and what heads them as text."""

    picture: str
    head: str
    words: str   # or why there is no answer
    more: str
    mark: int    # its place in MARKS


def page_of(card: Card, cells: Sequence[Cell], tables: bool, block: str) -> str:
    """The whole file; `block` is the element with the packed answers.

    What stands at opening is there as markup too, for a viewer that runs no scripts; page.js takes its place.
    """
    at = 0
    for dial in card.dials:
        at = at * len(dial.values) + dial.start
    title = escape(card.page.title)
    # the browser itself then asks for nothing
    rule = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'"
    glance = _glance(card, cells)
    out = ['<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" '
        'content="width=device-width,initial-scale=1">', '<meta http-equiv="Content-Security-Policy" '
        f'content="{rule}"><title>{title}</title><style>{look.CSS}{CARD_STYLE}</style></head>'
        f'<body><main{" class=both" if glance else ""}>', f"<h1>{title}</h1>",
        f'<div id="still">{_still(card, cells[at])}</div>', glance, _told(card, tables), _sources(card.page), _care(),
        "</main>"]
    if card.dials:
        out += ['<template id="damaged">This card is damaged or cut short, or this browser is too old for it: '
            "below stand the opening values only. Fetch the file again, or make it anew.</template>",
            f'<script type="module">{look.JS}{CARD_SCRIPT}</script>']
    out += [block, "</body></html>"]
    return "\n".join(part for part in out if part) + "\n"


def _still(card: Card, cell: Cell) -> str:
    """The answer at the opening values, as page.js shows it."""
    refused = cell.mark == REFUSED
    head = f"<b>{escape(cell.head)}</b> " if cell.head else ""
    words = "".join(f"<p>{head if i == 0 else ''}{escape(part)}</p>" for i, part in enumerate(cell.words.split("\n")))
    said = f'<div class="sp-wrong">{words}</div>' if refused else f'<div class="sp-words">{words}</div>'
    why = ('<p id="unscripted" class="small screen">This viewer runs no scripts, so it shows the opening values only. '
        "Open the file in a browser to move the sliders.</p>" if card.dials else "")
    stands = "".join(f"<p>{escape(called(dial.what))}: <b>{escape(dial.texts(card.inch)[dial.start])}</b></p>"
        for dial in card.dials)
    return (f'<div class="sp-page">{why}{said}<div class="sp-picture"><div class="sp-drawn">{cell.picture}</div></div>'
        f'{stands}<div class="sp-more">{cell.more}</div></div>')


def _glance(card: Card, cells: Sequence[Cell]) -> str:
    """The verdicts over the first two inputs as a table of shapes, for the noticeboard; nothing where the page has no
    verdict.
    """
    if len(card.dials) < 2 or not any(0 < cell.mark < REFUSED for cell in cells):
        return ""
    first, second, *third = card.dials
    behind = len(third[0].values) if third else 1
    k = third[0].start if third else 0

    def bare(dial: Dial) -> list[str]:
        if not isinstance(dial.what, Slide):
            return dial.texts(card.inch)
        return [plain(float(dial.what.quantity.to_shown(v, card.inch)), 4) for v in dial.values]

    head = "".join(f'<th scope="col">{escape(text)}</th>' for text in bare(second))
    rows = ""
    for i, text in enumerate(bare(first)):
        marks = "".join(f"<td{' class=here' if (i, j) == (first.start, second.start) else ''}>"
            f"{MARKS[cells[(i * len(second.values) + j) * behind + k].mark]}</td>" for j in range(len(second.values)))
        rows += f'<tr><th scope="row">{escape(text)}</th>{marks}</tr>'
    at = (f', at {escape(called(third[0].what))} <span id="glance-at">{escape(third[0].texts(card.inch)[k])}</span>'
        if third else "")
    used = {cell.mark for cell in cells}
    legend = "; ".join(f"{MARKS[n]} {text}" for n,
        text in enumerate(("", HOLDS, EDGE, FAILS, "not possible")) if n and n in used)
    return (f"<section id=all><h2>All steps at a glance{at}</h2><div class=box><table "
        f"id=glance><thead><tr><th></th>{head}</tr></thead><tbody>{rows}</tbody></table></div>"
        f"<p class=small>Down: {_with_unit(first, card.inch)}; across: {_with_unit(second, card.inch)}. "
        f"{legend}.</p></section>")


def _with_unit(dial: Dial, inch: bool) -> str:
    unit = dial.what.quantity.unit_for(inch) if isinstance(dial.what, Slide) else "1"
    return escape(called(dial.what) + (f" in {unit}" if unit != "1" else ""))


def _told(card: Card, tables: bool) -> str:
    """What the card holds and does not: units, steps, and the inputs that stand still."""
    unit = "Lengths in inch, small ones in thou." if card.inch else "Lengths in mm, small ones in µm."
    runs = "".join(f"<p><b>{escape(called(dial.what))}</b>: {escape(_listed(dial, card.inch))}</p>"
        for dial in card.dials if isinstance(dial.what, Slide))
    held = "; ".join(f"{escape(called(what))}: <b>{escape(short(said(what, card.fixed[what.name], card.inch)))}</b>"
        for what in card.page.inputs
        if what.name in card.fixed and said(what, card.fixed[what.name], card.inch).strip())
    one = "The slider has" if len(card.dials) == 1 else "The sliders have"
    snap = (f"{one} these steps and no others; each answer was worked out there, and nothing is guessed between."
        if runs else "")
    gone = ("" if tables or card.page.more.__name__ == "_nothing"
        else "<p>The page's tables and formulas are left out to keep the card small.</p>")
    return (f"<section class=small><h2>What this card holds</h2><p>{unit} {snap}</p>{runs}"
        + (f"<p>All else stands still at: {held}. Another job needs another card, or the workbook.</p>" if held else "")
        + gone + "</section>")


def _listed(dial: Dial, inch: bool) -> str:
    """“20, 30, 40 mm”."""
    assert isinstance(dial.what, Slide)
    q = dial.what.quantity
    return (", ".join(plain(float(q.to_shown(v, inch)), 4) for v in dial.values[:-1])
        + ("" if len(dial.values) < 2 else " and ") + q.text(dial.values[-1], inch))


def short(text: str, most: int = 160) -> str:
    """A text that was typed, cut where it is long."""
    return text if len(text) <= most else text[:most - 1].rstrip() + "…"


def _sources(page: Page) -> str:
    """How sure, and the sources of the formulas that the page calls."""
    labels = sources(page)
    kinds = {basis: sum(label.basis == basis for label in labels)
        for basis in ("read", "memory", "common practice", "computed")}
    told = {"read": "read in their source", "memory": "from memory of their source",
        "common practice": "common practice", "computed": "worked out and checked here"}
    counts = ", ".join(f"{n} {told[basis]}" for basis, n in kinds.items() if n)
    named = list(dict.fromkeys(label.source for label in labels if label.basis != "computed"))
    rest = (f" Formulas behind this card: {len(labels)}; {counts}." if labels
        else " The sources of its numbers stand in the workbook.")
    fold = (
        ("<details><summary>Where the formulas come from</summary><div class=small>"
        + "".join(f"<p>{escape(source)}.</p>" for source in named)
        + "<p>Tables and longer models name their sources in the workbook.</p></div></details>") if named else "")
    return ("<section class=small><h2>How sure</h2><p>A range is a 90 % range; a verdict is taken on the "
        f"whole of it, not on its middle.{rest}</p></section>{fold}")


def _care() -> str:
    return (
        "<p class=care>▲ This card is a lesson, not your machine's manual. The manual, the rules where you work and "
        "qualified instruction come first. "
        "Stop the spindle before you measure, clear chips or touch the part.</p><p class=small>Spring Pass, worked out "
        "by the workbook's own pages.</p>")


def sources(page: Page) -> list[Label]:
    """Labels of the formulas that a page's functions lead to, by following the names in their code."""
    seen: set[int] = set()
    labels: dict[int, Label] = {}
    todo: list[Any] = [page.compute, page.picture, page.words, page.more]
    while todo:
        thing = todo.pop()
        while hasattr(thing, "__wrapped__"):
            thing = thing.__wrapped__
        if id(thing) in seen:
            continue
        seen.add(id(thing))
        todo += _led_to(thing)
        if is_formula(thing):
            labels[id(thing)] = thing.label
    return list(labels.values())


PRINTER = "springpass.core.printed"   # prints any formula, and knows them all
WRAPPED = (property, classmethod, staticmethod, functools.cached_property)


def _led_to(thing: Any) -> list[Any]:
    """What a function, class or collection of the library names or holds."""
    if isinstance(thing, (dict, tuple, list)):
        return list(thing.values() if isinstance(thing, dict) else thing)[:200]
    if isinstance(thing, property):
        return [thing.fget]
    if isinstance(thing, (classmethod, staticmethod)):
        return [thing.__func__]
    if isinstance(thing, functools.cached_property):
        return [thing.func]
    module = str(getattr(thing, "__module__", ""))
    if not module.startswith("springpass.") or module == PRINTER:
        return []
    if isinstance(thing, type):
        return [part for part in vars(thing).values() if callable(part) or isinstance(part, WRAPPED)]
    if not isinstance(thing, types.FunctionType):
        return [part for part in vars(thing).values() if callable(part)] if hasattr(thing, "__dict__") else []
    names, world = _names(thing.__code__), thing.__globals__
    spaces = [world,
        *(vars(m) for n in names
        if isinstance(m := world.get(n), types.ModuleType) and m.__name__.startswith("springpass."))]
    found = [space[n] for space in spaces for n in names if n in space and not isinstance(space[n], types.ModuleType)]
    return (found + [cell.cell_contents for cell in thing.__closure__ or () if callable(cell.cell_contents)]
        + list(thing.__defaults__ or ()))


def _names(code: types.CodeType) -> set[str]:
    found = set(code.co_names)
    for part in code.co_consts:
        if isinstance(part, types.CodeType):
            found |= _names(part)
    return found
