"""Cards for the wall beside the lathe: how far a bar may stick out, and first aid for a cut that goes wrong."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from typing import Any

from ..core.quantity import Say
from ..cutting import forces
from ..printing import bench_cards, pages_to_print
from ..printing.pages_to_print import PAPERS
from ..screen.downloads import Saved
from ..screen.draw import WIDTH, Drawing
from ..screen.page import Choose, Page, Press

STICKOUT, FIRST_AID = "how far a bar may stick out", "first aid for a cut that goes wrong"
METRIC, INCH = "mm and µm", "inch and thou"
HIGH, LETTERS = 24.0, 52


@dataclass(frozen=True)
class Wanted:
    """Which card, for work of which material, in which unit, on which paper."""

    card: str
    material: str
    say: Say
    paper: str


def compute(card: str, material: str, units: str, paper: str) -> Wanted:
    """A card for the wall beside the lathe. Raises Refused for a material that is not known."""
    if card == STICKOUT:
        bench_cards.stickouts(material)
    return Wanted(card, material, Say(units == INCH), paper)


def picture(c: Wanted, say: Say) -> str:
    return _table(c) if c.card == STICKOUT else _list(c)


def _table(c: Wanted) -> str:
    rows = bench_cards.stickouts(c.material)
    d = Drawing("Longest stickout by bar", words(c, c.say), WIDTH, 66 + HIGH * len(rows))
    unit = c.say.length_unit
    xs = (10.0, 74.0, 172.0, 314.0)
    for x, text in zip(xs, ("bar", "bore", f"steel, {unit}", f"carbide, {unit}"), strict=True):
        d.text(x, 24, text, kind="bold halo")
    d.line([8, WIDTH - 8], [34, 34])
    for i, row in enumerate(rows):
        y = 54 + HIGH * i
        for x, size, code in ((xs[0], row.bar, ""), (xs[1], row.bore, " H7")):
            d.text(x, y, f"Ø{c.say.length(size, 3).split()[0]}{code}", kind="halo")
        for x, kind in zip(xs[2:], ("steel", "cemented carbide"), strict=True):
            text = bench_cards.longest_text(row.longest[kind], row.bar, c.say)
            d.text(x, y, text.replace(f" {unit}", ""), kind="halo")
        d.line([8, WIDTH - 8], [y + 7, y + 7], "faint")
    return d.svg()


def _list(c: Wanted) -> str:
    lines: list[tuple[str, str]] = []
    for one in bench_cards.troubles():
        lines += [(f"{one.name}: {one.sign}", "bold"), (f"1. {one.steps[0]}", "small")]
    wrapped = [(part, kind) for text, kind in lines for part in textwrap.wrap(text, 46 if kind == "bold" else LETTERS)]
    d = Drawing("First aid", words(c, c.say), WIDTH, 20 + 21 * len(wrapped))
    for i, (text, kind) in enumerate(wrapped):
        d.text(10, 22 + 21 * i, text, kind=kind)
    return d.svg()


def words(c: Wanted, say: Say) -> str:
    if c.card == FIRST_AID:
        names = ", ".join(one.name.casefold() for one in bench_cards.troubles())
        return (f"One sheet of {c.paper} for the wall: {names}. For each it says what to try, cheapest and surest "
            "first.\nThe picture shows the first step of each; the card has them all.")
    row = next(row for row in bench_cards.stickouts(c.material) if row.bar == 8)
    steel, carbide = (bench_cards.longest_text(row.longest[kind], row.bar, c.say) for kind in
        ("steel", "cemented carbide"))
    return (f"In {c.material} a steel bar of Ø{c.say.length(8.0, 2)} holds up to {steel}, a carbide one up to "
        f"{carbide}.\nThe card has nine bars from the bench page's own judge, in a usual holder that nobody has "
        f"measured. Write it, then print it on {c.paper}.")


def write(**values: Any) -> str:
    """The card as a file to print, and as PDF where a Chromium is."""
    c = compute(**values)
    html = (bench_cards.stickout_card(c.material, c.say, c.paper) if c.card == STICKOUT
        else bench_cards.first_aid(c.paper))
    place = pages_to_print.save("card_stickout" if c.card == STICKOUT else "card_first_aid", html)
    made = pages_to_print.to_pdf(place)
    return Saved(f"Written: {place.name}, in {place.parent}. {made.says}", place, *([made.path] if made.path else []))


PAGE = Page(name="bench_cards", title="Two cards for the wall beside the lathe",
    inputs=(Choose("card", (STICKOUT, FIRST_AID), STICKOUT, "work", "which card"),
    Choose("material", forces.named_materials(), "carbon steel C45 / 1045", "work", "work of"),
    Choose("units", (METRIC, INCH), METRIC, "view", "units on the card"),
    Choose("paper", tuple(PAPERS), "A4", "view")), compute=compute, picture=picture, words=words,
    presses=(Press("write this card", write, "one sheet, to print"),))
