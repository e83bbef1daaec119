"""A chapter on two sheets of paper, read without a kernel and without a network.

    html = build("03_boring_bar", {"stickout": 55}, Say(), "A4", solutions=True)
    keep("03_boring_bar", read_settings("stickout = 55", "03_boring_bar"))    # into the user's folder

The first sheet: the question, what happened, the guess, and one page's picture and words, worked out afresh at the
values asked for. The second: the rule with its formula, a worked example with its numbers, the cautions, and room for
readings and notes. What is said stands in the chapter's list (teaching/chapters.py), which the notebook shares. The
result is one HTML file in black and white: no script, no font, no picture from outside.
"""

from __future__ import annotations

import importlib
import re
from html import escape
from pathlib import Path
from typing import Any

from ..core import files
from ..core.mathml import formula_mathml, mathml
from ..core.printed import printed
from ..core.quantity import Refused, Say, plain
from ..screen import draw
from ..screen.page import Choose, Load, Page, Slide, Tick, Write, called, headline
from ..teaching.chapters import Chapter, chapter, names

__all__ = ["Settings", "build", "chapter", "file_name", "keep", "names", "page", "pages", "read_settings",
    "shown_value"]

PAPERS = {"A4": "A4", "Letter": "letter"}
STYLE = Path(__file__).with_name("handout.css").read_text(encoding="utf-8")
BASIS = {"memory": "from memory"}
READINGS = 4                   # rows of the table for readings
Settings = dict[str, Any]      # {input's name: value in library units}


def pages(name: str) -> dict[str, Page]:
    """A chapter's pages by their names, the handout's picture first. Raises Refused for a chapter there is not."""
    found = {}
    for place in chapter(name).pages:   # named in data, so that printing knows no page by itself
        module, _, constant = place.rpartition(".")
        one: Page = getattr(importlib.import_module(f"springpass.pages.{module}"), constant)
        found[one.name] = one
    return found


def page(name: str) -> Page:
    """The page whose picture the chapter's handout prints. Raises Refused for a chapter there is not."""
    return next(iter(pages(name).values()))


# ---- the values at which the page stands -----------------------------------------------------------


def read_settings(text: str, name: str, say: Say | None = None) -> Settings:
    """Lines like `stickout = 55` for the handout's page of a chapter; an empty line or one after # says nothing.

    Names as the page shows them, or else as the library has them; numbers in the page's unit, comma or point. Raises
    Refused with the line's number and a sentence.
    """
    asked, found = [what for what in page(name).inputs if not isinstance(what, Load)], Settings()
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        wanted, equals, typed = line.partition("=")
        if not equals or not wanted.strip():
            raise Refused(
                f"Line {number} of the settings is “{line.strip()[:60]}”. Write a name, an equals sign and a value, "
                "such as: stickout = 55.")
        hit = next((what for what in asked if _bare(wanted) == _bare(called(what))), None) \
            or next((what for what in asked if _bare(wanted) == _bare(what.name)), None)
        if hit is None:
            known = dict.fromkeys(called(what) for what in asked if not what.rare)
            raise Refused(
                f"Line {number}: “{page(name).title}” has no “{wanted.strip()[:60]}”. There are {', '.join(known)}.")
        found[hit.name] = _setting(hit, typed.strip(), number, say or Say())
    return found


def _bare(text: str) -> str:
    return re.sub(r"[\W_]+", " ", text).strip().casefold()


def _setting(what: Any, typed: str, number: int, say: Say) -> Any:
    try:
        if isinstance(what, Tick):
            if typed.casefold() not in ("yes", "no", "true", "false", "on", "off"):
                raise Refused(f"{called(what)} is yes or no; it was “{typed[:40]}”.")
            return typed.casefold() in ("yes", "true", "on")
        if isinstance(what, Choose):
            return what.check(next((option for option in what.options if option.casefold() == typed.casefold()), typed))
        return what.check(typed.replace(" | ", "\n") if isinstance(what, Write) else typed, say.inch)
    except Refused as refusal:
        raise Refused(f"Line {number}: {refusal}") from None


def shown_value(what: Any, value: Any, say: Say) -> str:
    """An input's value as its page shows it, with its unit."""
    if isinstance(what, Slide):
        unit, number = what.quantity.unit_for(say.inch), plain(what.quantity.to_shown(value, say.inch), 4)
        return number if unit == "1" else f"{number}°" if unit == "deg" else f"{number} {unit}"
    if isinstance(what, Tick):
        return "yes" if value else "no"
    if isinstance(what, Load):
        return "no file" if value is None else "a file"
    lines = [line for line in str(value).splitlines() if line.strip()]
    return "; ".join(lines[:4]) + (" …" if len(lines) > 4 else "") if lines else "empty"


# ---- the pieces ------------------------------------------------------------------------------------


def _figure(shown: Page, changed: Settings, say: Say) -> str:
    """The page as it stands at these values: picture, words and its settings as a small table. Raises Refused."""
    try:
        values = shown.values(**changed)
        answer = shown.answer(say, **changed)
    except Refused as refusal:
        raise Refused(f"“{shown.title}” gives no answer at these settings: {refusal}") from None
    top = headline(answer.result)
    said = "".join(f"<p>{f'<b>{escape(top)}</b> ' if top and i == 0 else ''}{escape(part)}</p>" for i,
        part in enumerate(answer.words.split("\n")))
    cells = [f"<td{' class=set' if what.name in changed else ''}><span>{escape(called(what))}</span> "
        f"<b>{escape(shown_value(what, values[what.name], say))}</b></td>" for what in shown.inputs
        if not isinstance(what, Load) and (what.name in changed or not what.rare)]
    rows = "".join(f"<tr>{''.join(cells[i : i + 3])}</tr>" for i in range(0, len(cells), 3))
    table = f'<table class="settings">{rows}</table>' if rows else ""
    return (f'<figure class="sp-card"><figcaption>{escape(shown.title)}</figcaption>'
        f"{draw.without_handles(answer.svg)}</figure>{said}{table}")


def _guess(made: Chapter, say: Say, solutions: bool) -> str:
    task = made.guess
    if task is None:
        return ""
    asked = ("<p>" + " &nbsp; ".join(f"☐ {escape(option)}" for option in task.options) + "</p>" if task.options
        else f'<p class="answer"><span>Answer</span><span>{escape(task.wanted(say))}</span></p>')
    told = f'<p class="small">It is {escape(task.answer_text(say))}. {escape(task.reveals)}</p>' if solutions else ""
    return f'<div class="guess"><p><b>Your guess first.</b> {escape(task.asks)}</p>{asked}{told}</div>'


def _rule(made: Chapter) -> str:
    """The rule, its formula in letters, and what the letters stand for."""
    shown = printed(made.formula)
    letters = "; ".join(f"{mathml(shown.quantity[symbol].symbol)} {escape(shown.quantity[symbol].says)}"
        for symbol in shown.letters.values())
    label = made.formula.label  # type: ignore[attr-defined]
    return (
        f'<h2>The rule</h2><p><b>{escape(made.rule)}</b></p><div class="formula">{formula_mathml(made.formula)}</div>'
        f'<p class="small">{letters}. <i>Holds for:</i> {escape(label.holds)}. '
        f"<i>Source:</i> {escape(made.source)} ({escape(BASIS.get(made.basis, made.basis))}).</p>")


def _example(made: Chapter) -> str:
    sums = formula_mathml(made.formula, made.numbers, below=False, digits=made.digits)
    return f'<h2>Worked example</h2><p>{escape(made.example)}</p><div class="formula">{sums}</div>'


def _readings(made: Chapter) -> str:
    head = "".join(f"<th>{escape(column)}</th>" for column in made.readings)
    rows = f"<tr>{'<td></td>' * len(made.readings)}</tr>" * READINGS
    return (f'<h2>Readings and notes</h2><table class="readings"><thead><tr>{head}</tr></thead>'
        f'<tbody>{rows}</tbody></table><div class="notes"></div>')


# ---- the whole -------------------------------------------------------------------------------------


def build(
    name: str, settings: Settings | None = None, say: Say | None = None, paper: str = "A4", *, solutions: bool = False
) -> str:
    """The chapter's handout as one HTML page of two sheets. settings: {input: value}, in library units.

    solutions: what the guess comes to is told. Raises Refused for an unknown chapter, paper, input or value, or where
    the page gives no answer there.
    """
    if paper not in PAPERS:
        raise Refused(f"“{paper}” paper is not known. Choose A4 or Letter.")
    made, say, settings = chapter(name), say or Say(), settings or {}
    differ = "Underlined settings differ from the values at which the page opens." if settings else ""
    inch = "The formula and its example stay in mm." if say.inch else ""
    cautions = "".join(f"<li>{escape(caution)}</li>" for caution in made.cautions)
    first = (f'<div class="top"><span>Spring Pass{", with the answer to the guess" if solutions else ""}</span>'
        '<span>Name ______________________</span></div>'
        f'<h1>{escape(made.title)}</h1><p class="question">{escape(made.question)}</p>'
        f"{''.join(f'<p>{escape(part)}</p>' for part in made.story)}{_guess(made, say, solutions)}"
        f"{_figure(page(name), settings, say)}")
    second = (f'{_rule(made)}{_example(made)}<div class="caution"><b>Before you cut</b><ul>{cautions}</ul></div>'
        f"{_readings(made)}")
    foot = f"{differ} {inch} At a machine its manual, the rules where you work and a qualified instructor come first."
    sheets = "".join(f'<section class="sheet">{body}'
        f'<div class="foot"><span>{escape(foot.strip()) if number == 2 else escape(made.title)}</span>'
        f"<span>{number} of 2</span></div></section>" for number, body in ((1, first), (2, second)))
    return ('<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" '
        f'content="width=device-width,initial-scale=1"><title>{escape(made.title)}</title>'
        f"<style>{draw.STYLE}{STYLE}@page{{size:{PAPERS[paper]}}}</style></head>"
        f'<body class="{paper}">{sheets}</body></html>\n')


def file_name(name: str, paper: str, say: Say, solutions: bool) -> str:
    return f"handout_{name}_{paper}{'_inch' if say.inch else ''}{'_solutions' if solutions else ''}.html"


def keep(
    name: str, settings: Settings | None = None, say: Say | None = None, paper: str = "A4", *, solutions: bool = False
) -> Path:
    """Write the handout into the user's folder; returns its place. Raises Refused."""
    return files.put(file_name(name, paper, say or Say(), solutions),
        build(name, settings, say, paper, solutions=solutions))
