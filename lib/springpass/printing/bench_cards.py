"""Two cards for the wall beside the lathe: how far a bar may stick out, and what to try first when a cut goes wrong.

    rows = stickouts("medium-carbon steel")     # from the judge of the stickout page
    html = stickout_card(rows, …); html = first_aid("A4")
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from html import escape
from pathlib import Path

from .. import boring_bar, fits
from ..core import tables
from ..core.quantity import Refused, Say
from . import pages_to_print

BARS = (4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0)   # mm: shanks that small lathes use
STYLE = Path(__file__).with_name("bench_cards.css").read_text(encoding="utf-8")
CAUTION = (
    "Chuck key out. Back of the bar clear of the bore, turned by hand. Never a finger or a cloth in a turning bore. "
    "The machine's manual and the workshop's rules come first.")


@dataclass(frozen=True)
class Row:
    """One bar: the bore it is meant for, and the longest stickout that holds in steel and in carbide, mm."""

    bar: float
    bore: float
    longest: dict[str, float]      # by the bar's material; nan where none holds


@lru_cache(maxsize=32)
def stickouts(material: str, code: str = "H7") -> tuple[Row, ...]:
    """The longest stickout of usual bars for a finished bore of a tolerance class, by the bench page's judge.

    material: of the work, a name of the cutting-force table. Cut and holder are the bench page's usual ones. Raises
    Refused for an unknown material or class.
    """
    share = tables.assumed("bar for a bore").value
    made = []
    for bar in BARS:
        bore = float(round(bar / share))
        zone = fits.limits(bore, code)
        found = {}
        for kind in ("steel", "cemented carbide"):
            try:
                found[kind] = float(boring_bar.check_stickout(3 * bar, bar, bore, float(zone.upper - zone.lower),
                    material=material, bar_material=kind).longest)
            except Refused:
                found[kind] = float("nan")
        made.append(Row(bar, bore, found))
    return tuple(made)


def longest_text(length: float, bar: float, say: Say) -> str:
    """A longest stickout as it is printed: rounded down, with its diameters."""
    if length != length:
        return "none"
    return f"{say.limit(length)} ({int(10 * length / bar) / 10:g} d)"


def stickout_card(material: str, say: Say, paper: str = "A4") -> str:
    """The card as an HTML page to print. Raises Refused for an unknown paper or material."""
    rows = "".join(f"<tr><td>Ø{say.length(row.bar, 3)}</td><td>Ø{say.length(row.bore, 3)} H7</td>" + "".join(
        f"<td>{longest_text(row.longest[kind], row.bar, say)}</td>" for kind in ("steel", "cemented carbide"))
        + "</tr>" for row in stickouts(material))
    return pages_to_print.page("May this bar stick out so far?",
        f"<h1>May this bar stick out so far?</h1><p class='lead'>Work of {escape(material)}. Up to these lengths size "
        "and quiet hold with a chance of 90 % or better, in a usual holder that nobody has measured.</p>"
        f"<table class='wall'><thead><tr><th>bar</th><th>bore</th><th>steel bar</th><th>carbide bar</th></tr></thead>"
        f"<tbody>{rows}</tbody></table><p>d: bar diameters. Light finishing cut, sharp edge, two passes measured "
        "between. Your own holder weighed, or another bore, tolerance or cut, gives another answer: ask the page “May "
        f"this bar stick out this far?”.</p><p class='mind'>{CAUTION}</p>", paper, STYLE)


@dataclass(frozen=True)
class Trouble:
    """A cut that goes wrong: what it is called, how it shows, what to try in order, the chapter that explains it."""

    name: str
    sign: str
    steps: tuple[str, ...]
    chapter: int


def troubles() -> tuple[Trouble, ...]:
    """The first-aid card's troubles, from data/first_aid.toml."""
    return tuple(Trouble(one["name"], one["sign"], tuple(one["try"]), one["chapter"]) for one in
        tables.toml("first_aid")["trouble"])


def first_aid(paper: str = "A4") -> str:
    """The first-aid card as an HTML page to print. Raises Refused for an unknown paper."""
    blocks = "".join(f"<section><h2>{escape(one.name)}</h2><p class='sign'>{escape(one.sign)}; chapter "
        f"{one.chapter}</p><ol>{''.join(f'<li>{escape(step)}</li>' for step in one.steps)}</ol></section>"
        for one in troubles())
    return pages_to_print.page("First aid for a cut that goes wrong",
        "<h1>First aid for a cut that goes wrong</h1><p class='lead'>Spindle stopped first. Then from the top: "
        f"cheapest and surest first.</p>{blocks}<p class='mind'>{CAUTION}</p>", paper, STYLE)
