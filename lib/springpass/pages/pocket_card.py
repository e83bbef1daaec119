"""A pocket card: a page of the workbook as one file for a phone or the noticeboard."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from html import escape

from ..core import files
from ..core.quantity import Say
from ..printing import pocket
from ..printing.pocket.print_version import short
from ..printing.pocket.steps import FINEST, Card, Dial, design, said
from ..screen.downloads import Saved
from ..screen.draw import WIDTH, Drawing, breadth
from ..screen.page import Choose, Page, Press, Slide, Write, called
from . import catalogue

UNITS = ("mm and µm", "inch and thou")
FINE, MIDDLE, COARSE = "as fine as fits", "seven steps each", "four steps each, quick to make"
STEPS = {FINE: 0, MIDDLE: 7, COARSE: 4}
TITLES = {page.title: page for page in catalogue.pages().values()}
USUAL = catalogue.pages()["check_stickout"].title
LEFT, TOP, BROAD = 92.0, 26.0, 276.0   # the phone in the sketch


@dataclass(frozen=True)
class Ready:
    """The card that will be made, and the name of its file."""

    card: Card
    file: str


def compute(which: str, inputs: str, units: str, steps: str) -> Ready:
    """A page's answers packed for one file that needs no workbook. Raises Refused for inputs that cannot be read."""
    card = design(TITLES[which], tuple(inputs.splitlines()), units == UNITS[1], STEPS[steps])
    return Ready(card, f"card_{card.page.name}{'_inch' if card.inch else ''}.html")


def picture(r: Ready, say: Say) -> str:
    c = r.card
    high = 176 + 62 * max(len(c.dials), 1)
    d = Drawing("The card on a phone", words(r, say), WIDTH, high + 44)
    d.rect(LEFT, TOP, BROAD, high, "paper", "ink")
    title = c.page.title if len(c.page.title) <= 36 else c.page.title[:35].rstrip() + "…"
    while 1.12 * breadth(title) > BROAD - 20:
        title = title.removesuffix("…")[:-1].rstrip() + "…"
    d.text(LEFT + 12, TOP + 22, title, kind="small bold halo")
    d.rect(LEFT + 12, TOP + 32, BROAD - 24, 34, "paper", "thin")
    d.text(LEFT + 20, TOP + 54, "the words", kind="small")
    d.rect(LEFT + 12, TOP + 74, BROAD - 24, 82, "fill-work", "thin", 12)
    d.text(LEFT + BROAD / 2, TOP + 120, "the picture", "middle", "small halo")
    for i, dial in enumerate(c.dials):
        _dial(d, TOP + 184 + 62 * i, dial, c.inch)
    if not c.dials:
        d.text(LEFT + 12, TOP + 190, "nothing to slide", kind="small")
    d.text(LEFT, TOP - 10, "A sketch of the card; one mark for each step", kind="small halo")
    return d.svg()


def _dial(d: Drawing, y: float, dial: Dial, inch: bool) -> None:
    texts = dial.texts(inch)
    name = called(dial.what) if len(called(dial.what)) <= 24 else called(dial.what)[:23] + "…"
    now = texts[dial.start] if len(texts[dial.start]) <= 14 else texts[dial.start][:13] + "…"
    while breadth(name) + 1.12 * breadth(now) > BROAD - 36:
        name = name.removesuffix("…")[:-1].rstrip() + "…"
    d.text(LEFT + 12, y, name, kind="small halo")
    d.text(LEFT + BROAD - 12, y, now, "end", "small bold halo")
    if not isinstance(dial.what, Slide):
        d.rect(LEFT + 12, y + 8, BROAD - 24, 22, "paper", "thin")
        d.text(LEFT + 20, y + 24, f"one of {len(texts)}", kind="small")
        return
    left, wide = LEFT + 20, BROAD - 40
    d.line([left, left + wide], [y + 18, y + 18], "ink")
    for i in range(len(texts)):
        x = left + wide * i / max(len(texts) - 1, 1)
        d.line([x, x], [y + 13, y + 23], "thin")
    d.dot(left + wide * dial.start / max(len(texts) - 1, 1), y + 18, "a", size=8)


def words(r: Ready, say: Say) -> str:
    c = r.card
    if not c.dials:
        return (
            f"“{c.page.title}” has nothing that slides; the card shows its opening answer. To choose between several "
            "texts, name them with ; between, " "such as: thread = M10x1; M18x1.")
    kinds = (" and ".join((", ".join(_counted(dial) for dial in c.dials[:-1]), _counted(c.dials[-1])))
        if len(c.dials) > 1 else _counted(c.dials[0]))
    return (f"The card of “{c.page.title}” moves {kinds}: {c.answers} answers worked out beforehand, in "
        f"{'inch and thou' if c.inch else 'mm and µm'}. "
        "All else stands still, as listed below. The button writes it into your spring_pass folder; send that file to "
        "the phone.")


def _counted(dial: Dial) -> str:
    return (f"{called(dial.what)} in {len(dial.values)} steps" if isinstance(dial.what, Slide)
        else f"{called(dial.what)} among {len(dial.values)}")


def more(r: Ready, say: Say) -> str:
    c = r.card
    rows = "".join(f"<tr><td>{escape(called(dial.what))}</td><td>{escape(', '.join(dial.texts(c.inch)))}</td></tr>"
        for dial in c.dials)
    still = "".join(
        f"<tr><td>{escape(called(what))}</td><td>{escape(short(said(what, c.fixed[what.name], c.inch)))}</td></tr>"
        for what in c.page.inputs if what.name in c.fixed and said(what, c.fixed[what.name], c.inch).strip())
    return ((f"<b>Steps</b><table>{rows}</table>" if rows else "")
        + (f"<b>Stands still</b><table>{still}</table>" if still else "")
        + f"<p>A card under 3 MB opens from the phone's own files, with no network. A slider has {FINEST} steps at "
        "most. Steps at which the page refuses "
        "everything are dropped, and where a card would grow too large it gets fewer steps.</p>")


def make(which: str, inputs: str, units: str, steps: str, heard: Callable[[int, int], None] | None = None) -> str:
    """Work the answers out and write the card into the user's folder."""
    ready = compute(which, inputs, units, steps)
    made = pocket.make(ready.card.page, tuple(inputs.splitlines()), ready.card.inch, STEPS[steps], heard=heard)
    place = files.put(ready.file, made.html)
    return Saved(pocket.told(made, place), place)


PAGE = Page(name="pocket_card", title="A card for the pocket",
    inputs=(Choose("which", tuple(TITLES), USUAL, "work", "page"),
    Write("inputs", "", "work", "what slides, one a line, such as: stickout = 20 to 80",
    "a name alone slides by steps of the card's own choosing; “tolerance = 10; 18; 33” by those; “bore = 16” "
    "stands still; " "empty: what says most", rows=4), Choose("units", UNITS, UNITS[0], "view", "units"),
    Choose("steps", tuple(STEPS), FINE, "view", "steps")), compute=compute, picture=picture, words=words, more=more,
    presses=(
    Press("Make the card", make, "one HTML file for a phone; takes a few seconds, the plan's a minute", long=True),))
