"""One card a chapter for the workshop's wall: one picture, one rule, where it comes from, how sure, one caution.

    made = card("03_boring_bar")        # .rule, .says, .sure, .caution with their numbers in
    svg = drawn(made, "A4")             # the card as a picture
    html = build(["03_boring_bar"], paper="Letter")

What the cards say stands in data/wall_cards.toml, each with source, place and basis; its numbers are worked out here,
by the library, when the card is made. The rule's letters are a two-hundredth of two metres high or more, the picture is
in black and greys, and nothing hangs on colour.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from html import escape
from pathlib import Path
from typing import Any

from .. import cutting, drilling, fits, grooves_tapers, heat, reaming, stops, the_lathe, true_running, workholding
from ..boring_bar import bending as bar_bending
from ..core import files, tables
from ..core.quantity import Refused, Say, plain
from ..screen import draw
from ..screen.draw import STYLE, WIDTH, WRITTEN, Drawing
from ..screen.page import called
from ..teaching import exercises
from . import handout

PAPERS = {"A4": (190.0, 275.0), "Letter": (195.9, 257.0)}   # mm that a printer with 10 mm margins leaves
DISTANCE = 2000.0   # mm: from there the rule is read; letters a two-hundredth of it high (common practice)
CAPITAL = 0.72      # a capital's height over the size of its type


@dataclass(frozen=True)
class Number:
    """A number on a card and how it is written: fine (µm, thou), length, rise, times, bare."""

    value: float
    kind: str

    def text(self, say: Say) -> str:
        if self.kind == "fine":
            return say.fine(self.value, 2)
        if self.kind == "length":
            return say.length(self.value, 3)
        if self.kind == "rise":
            return f"{plain(self.value, 3)} °C"
        if self.kind == "times":
            return "twice" if plain(self.value, 2) == "2" else f"{plain(self.value, 2)} times"
        return plain(self.value, 2)


def _fine(value: float) -> Number:
    return Number(float(value), "fine")


def _length(value: float) -> Number:
    return Number(float(value), "length")


def _times(value: float) -> Number:
    return Number(float(value), "times")


def _bare(value: float) -> Number:
    return Number(float(value), "bare")


# ---- the numbers, worked out by the library ---------------------------------------------------------


def _heat(answer: Any, say: Say) -> dict[str, Number]:
    length, rise = 101.6 if say.inch else 100.0, 10.0
    steel, aluminium = (
        tables.fact("materials", material=name, property="alpha")
        for name in ("carbon steel C45 / 1045", "aluminium 6082"))
    grown = {name: _fine(heat.growth(length, alpha, rise)) for name, alpha in
        {"steel": steel.value, "aluminium": aluminium.value, "low": steel.low, "high": steel.high}.items()}
    return {"rise": Number(rise, "rise"), "length": _length(length), **grown}


def _stress(answer: Any, say: Say) -> dict[str, Number]:
    moved = answer.first.outside
    ends = sorted((abs(moved.low), abs(moved.high)))
    return {"outside": _length(answer.first.cuts[0][1]), "bore": _length(answer.first.cuts[1][1]),
        "moves": _fine(abs(moved.value)), "low": _fine(ends[0]), "high": _fine(ends[1])}


def _bar(answer: Any, say: Say) -> dict[str, Number]:
    near, far = answer.stickout / 2, answer.stickout
    bend = {out: float(bar_bending.tip_deflection(15.0, out, answer.diameter, 205e3)) for out in (near, far)}
    return {"times": _times(bend[far] / bend[near]), "near": _length(near), "far": _length(far),
        "before": _fine(handout.pages("03_boring_bar")["bend"].answer(stickout=near).result.total.value),
        "after": _fine(answer.total.value)}


def _reamer(answer: Any, say: Say) -> dict[str, Number]:
    feed, teeth = 0.15, 6
    chip, twice = (float(reaming.lead_chip(times * feed, teeth, 45.0)) for times in (1, 2))
    return {"times": _times(twice / chip), "chip": _fine(chip), "feed": _length(feed), "teeth": _bare(teeth),
        "low": _fine(answer.least.low), "high": _fine(answer.least.high)}


def _jaws(answer: Any, say: Say) -> dict[str, Number]:
    thick, thin = (float(workholding.thin_ring_at_jaw(1000.0, 25.0, 3, 14.0, wall, 70e3)) for wall in (4.0, 2.0))
    return {"times": _times(thin / thick)}


def _fit(answer: Any, say: Say) -> dict[str, Number]:
    found = fits.fit(20.0, "H7/g6")
    return {"size": _length(20.0), "least": _fine(found.least_clearance), "most": _fine(found.most_clearance),
        "low": _fine(answer.clearance.low), "high": _fine(answer.clearance.high)}


def _stops(answer: Any, say: Say) -> dict[str, Number]:
    touch, stop = 0.010, 0.008
    one, four = (float(stops.from_each_other(touch, stop, count)) for count in (1, 4))
    return {"times": _times(four / one), "touch": _fine(touch), "stop": _fine(stop), "one": _fine(one),
        "four": _fine(four)}


def _finish(answer: Any, say: Say) -> dict[str, Number]:
    feed, nose = answer.feed, answer.nose_radius
    coarse, fine = (float(cutting.feed_mark_short(one, nose)) for one in (feed, feed / 2))
    return {"times": _times(coarse / fine), "nose": _length(nose), "feed": _length(feed), "half": _length(feed / 2),
        "coarse": _fine(coarse), "fine": _fine(fine)}


def _drill(answer: Any, say: Say) -> dict[str, Number]:
    high, blunt, keen = (drilling.point_height(1.0, angle) for angle in (118.0, 122.0, 114.0))
    return {"share": _bare(high), "low": _bare(blunt), "high": _bare(keen), "drill": _length(9.2), "tip": _length(32.0),
        "full": _length(32.0 - drilling.point_height(9.2, 118.0))}


def _groove(answer: Any, say: Say) -> dict[str, Number]:
    """The post alone: what the blade adds by its own bending does not grow with its width."""
    thin, thick = answer.width, 2 * answer.width
    near = [handout.pages("12_grooves_and_tapers")["parting_blade"].answer(width=w).result.ratio for w in (thin, thick)]
    times = float(grooves_tapers.grab_ratio(1e-4, 3000.0, 0.22, thick) / grooves_tapers.grab_ratio(1e-4, 3000.0, 0.22,
        thin))
    return {"times": _times(times), "thin": _length(thin), "thick": _length(thick),
        "narrow": _bare(100 * near[0].value), "wide": _bare(100 * near[1].value), "low": _bare(100 * near[0].low),
        "high": _bare(100 * near[0].high)}


def _true(answer: Any, say: Say) -> dict[str, Number]:
    apart, start, allowed = (0.1016, 0.508, 0.01016) if say.inch else (0.1, 0.5, 0.01)
    moved = tables.fact("true_running_facts", what="jaw moved over jaw meant")
    return {"differ": _length(apart), "move": _length(float(true_running.half_the_difference(apart, 0.0))),
        "start": _length(start), "allowed": _length(allowed),
        "moves": _bare(math.ceil(float(true_running.moves_needed(start, allowed, 0.5)))), "least": _bare(moved.low),
        "most": _bare(moved.high)}


def _lathe(answer: Any, say: Say) -> dict[str, Number]:
    side = answer.offset
    return {"side": _fine(side), "twice": _fine(abs(float(the_lathe.offset_taper(side, 1.0)))),
        "high": _fine(float(the_lathe.height_growth(side, answer.diameter))), "size": _length(answer.diameter)}


def _plan(answer: Any, say: Say) -> dict[str, Number]:
    each = 0.005
    return {"each": _fine(each), "likely": _fine(float(stops.from_each_other(each, 0.0, 5))), "worst": _fine(5 * each)}


NUMBERS: dict[str, Callable[[Any, Say], dict[str, Number]]] = {"01_heat": _heat, "02_bore_stress": _stress,
    "03_boring_bar": _bar, "04_reaming": _reamer, "05_workholding": _jaws, "06_fits": _fit,
    "07_stops_and_measuring": _stops, "08_cutting": _finish, "09_holes_and_threads": _drill,
    "10_the_lathe": _lathe, "11_true_running": _true, "12_grooves_and_tapers": _groove,
    "13_plan_a_part": _plan}


# ---- a card ------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Card:
    """What a card says, its numbers in."""

    name: str
    chapter: str
    rule: str
    says: str
    sure: str
    caution: str
    source: str
    place: str
    basis: str
    picture: str                       # SVG
    picture_says: str                  # whose picture, at what settings
    numbers: dict[str, Number]


def names() -> list[str]:
    """The chapters that have a card."""
    return list(tables.toml("wall_cards"))


def card(name: str, say: Say | None = None) -> Card:
    """One chapter's card. Raises Refused for a chapter that has none."""
    written = tables.toml("wall_cards")
    if name not in written:
        raise Refused(f"There is no wall card for “{name}”. There are some for {', '.join(written)}.")
    return _card(name, bool(say and say.inch))


@lru_cache(maxsize=64)
def _card(name: str, inch: bool) -> Card:
    say, text = Say(inch), tables.toml("wall_cards")[name]
    page = handout.pages(name)[text["page"]]
    answer = page.answer(say, **text["settings"])
    numbers = NUMBERS[name](answer.result, say)
    shown = {key: number.text(say) for key, number in numbers.items()}
    values = page.values(**text["settings"])
    at = ", ".join(f"{called(what)} {handout.shown_value(what, values[what.name], say)}" for what in page.inputs
        if what.name in text["settings"])
    unknown = set(re.findall(r"\{(\w+)\}", " ".join(str(part) for part in text.values()))) - set(shown)
    if unknown:
        raise Refused(
            f"The wall card “{name}” names {', '.join(sorted(unknown))}, which its function in wall_card.NUMBERS does "
            "not work out.")
    filled = {key: text[key].format(**shown) for key in ("rule", "says", "sure", "caution")}
    return Card(name, exercises.chapter(name).title, source=text["source"], place=text["place"], basis=text["basis"],
        picture=draw.without_handles(answer.svg),
        picture_says=f"“{page.title}”" + (f" at {at}" if at else " at its opening values"), numbers=numbers, **filled)


# ---- drawn -------------------------------------------------------------------------------------------

CSS = Path(__file__).with_name("wall_card.css").read_text(encoding="utf-8")
SANS = 'system-ui,sans-serif'
WIDE = {**dict.fromkeys("iIjl.,:;'|!’", 0.38), **dict.fromkeys("ftr()-/ \u00a0", 0.42), **dict.fromkeys("mwMW%—", 1.06),
    **dict.fromkeys("ABCDEFGHKLNOPQRSTUVXYZ±Ø+=<>µ&", 0.8)}


def _wide(text: str, size: float, bold: bool) -> float:
    """About how wide a line is in the widest of the usual faces, so that it fits in all of them."""
    return size * sum(WIDE.get(letter, 0.69) for letter in text) * (1.0 if bold else 0.9)


def _wrapped(text: str, size: float, width: float, bold: bool = False) -> list[str]:
    lines = [""]
    for word in re.sub(r"(?<=\d) (?=(?:mm|µm|inch|thou|°C|times|diameters)\b)", "\u00a0", text).split(
        " "
    ):  # a number and its unit stay together
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and _wide(longer, size, bold) > width:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def rule_size(paper: str) -> float:
    """The size of the rule's type, in the drawing's own px, for capitals a two-hundredth of two metres high."""
    return DISTANCE / 200 / CAPITAL * WIDTH / PAPERS[paper][0]


def drawn(made: Card, paper: str = "A4") -> str:
    """The card as an SVG in the paper's proportions. Raises Refused for an unknown paper."""
    if paper not in PAPERS:
        raise Refused(f"“{paper}” paper is not known. Choose A4 or Letter.")
    wide, high = PAPERS[paper]
    d = Drawing(f"Wall card: {made.chapter}", f"{made.rule} {made.says} {made.sure} {made.caution}", WIDTH,
        WIDTH * high / wide)
    inner, left = WIDTH - 16.0, 8.0

    def write(y: float, text: str, size: float, bold: bool = False, gap: float = 1.22, x: float = left) -> float:
        for line in _wrapped(text, size, inner - (x - left), bold):
            y += size * gap
            weight = ";font-weight:700" if bold else ""
            d.parts.append(f"<text {WRITTEN} x='{x:.1f}' y='{y:.1f}' "
                f"style='font-family:{SANS};font-size:{size:.1f}px{weight}'>"
                f"{escape(line.replace(chr(160), ' '))}</text>")
        return y

    y = write(6, made.chapter, 13)
    d.line([left, WIDTH - left], [y + 6, y + 6], "ink")
    y = write(y + 6, made.rule, rule_size(paper), True, 1.16)
    y = write(y + 5, made.says, 17) + 8
    foot = _foot(made)
    caution = _wrapped(made.caution, 19, inner - 46, True)
    low = (d.height - 6 - sum(11 * 1.25 * len(_wrapped(line, 11, inner)) for line in foot) - 8
        - (19 * 1.2 * len(caution) + 14))
    sure = _wrapped(f"How sure? {made.sure}", 14.5, inner)
    low -= 14.5 * 1.22 * len(sure) + 10
    _inset(d, made.picture, left, y, inner, low - y)
    y = write(low, f"How sure? {made.sure}", 14.5) + 10
    box = 19 * 1.2 * len(caution) + 12
    d.parts.append(
        f'<rect x="{left}" y="{y:.1f}" width="{inner}" height="{box:.1f}" fill="none" stroke="#000" stroke-width="2"/>')
    d.shape([left + 8, left + 30, left + 19], [y + box / 2 + 9, y + box / 2 + 9, y + box / 2 - 10], "none", "ink")
    d.line([left + 19, left + 19], [y + box / 2 - 4, y + box / 2 + 3], "ink")
    d.line([left + 19, left + 19], [y + box / 2 + 5, y + box / 2 + 6.5], "ink")
    write(y + 1, made.caution, 19, True, 1.2, left + 40)
    y += box + 6
    for line in foot:
        y = write(y, line, 11, gap=1.25)
    return d.svg().replace('class="sp"', 'class="sp sp-card"', 1)


def _foot(made: Card) -> list[str]:
    place = f", {made.place}" if made.place else ""
    return [f"Where it comes from: {made.source}{place} ({made.basis}). Picture: {made.picture_says}. Spring Pass."]


def _inset(d: Drawing, svg: str, x: float, y: float, width: float, height: float) -> None:
    """Another picture, as large as the room allows, in the middle of it."""
    box = svg.split('viewBox="0 0 ', 1)[1].split('"', 1)[0].split()
    share = min(width / float(box[0]), height / float(box[1]))
    wide, high = share * float(box[0]), share * float(box[1])
    d.parts.append(
        svg.replace('width="100%"',
        f'x="{x + (width - wide) / 2:.1f}" y="{y + (height - high) / 2:.1f}" width="{wide:.1f}" '
        f'height="{high:.1f}" overflow="visible"', 1).replace('role="img"', "", 1))


def build(chapters: list[str] | None = None, say: Say | None = None, paper: str = "A4") -> str:
    """Cards as one HTML page to print, one a sheet; all of them unless named. Raises Refused."""
    wanted = names() if chapters is None else chapters
    if not wanted:
        raise Refused("No chapter was named, so there is no card to make.")
    cards = "".join(f"<section>{drawn(card(name, say), paper)}</section>" for name in wanted)
    style = CSS.replace("PAPER", handout.PAPERS[paper]).replace("WIDE", f"{PAPERS[paper][0]}mm")
    return ('<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" '
        'content="width=device-width,initial-scale=1"><title>Wall cards</title>'
        f"<style>{STYLE}{style}</style></head><body>{cards}</body></html>")


def keep(chapters: list[str] | None = None, say: Say | None = None, paper: str = "A4") -> Path:
    """Write the cards into the user's folder; returns the file's place. Raises Refused."""
    which = chapters[0] if chapters is not None and len(chapters) == 1 else "all"
    name = f"wall_card_{which}_{paper}{'_inch' if say and say.inch else ''}.html"
    return files.put(name, build(chapters, say, paper))
