"""Plan a part: the chance that it comes out good, what spoils each of its sizes, and what helps.

How it is made, step by step, is shown by `plan_steps`, which takes its plans from here.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from html import escape
from typing import Any

import numpy as np

from .. import bore_stress, job
from ..core import files
from ..core.quantity import Quantity, Refused, Say, but, plain
from ..job import part, part_form, tools
from ..job.quantities import BatchCount
from ..job.results import Operation, Plan, SizeBudget
from ..printing import plan_sizes, plan_words, reasons, setup_view, step_words
from ..printing.setup_outlines import bodies
from ..reaming.quantities import ReamingStock
from ..screen.downloads import Saved
from ..screen.draw import WIDTH, Drawing, breadth, nice_ticks
from ..screen.page import SHAPES, Choose, Load, Page, Press, Slide, Tick
from .afterwards import sheet_buttons

RoomTemperature = Quantity("T", "°C", low=-5, high=40, usual=20, step=0.5,
    says="temperature of the room, part and gauge")
FinishingStock = Quantity("s_f", "mm", low=0.1, high=1.5, usual=0.4, step=0.05,
    says="left on diameter for the two finishing cuts of an outside")

MINE = "my own part"
PARTS = {"drive sleeve": "drive_sleeve", "bearing housing": "bearing_housing", "bush": "bush"}
STIFFEST, AS_DRAWN = "the stiffest that goes in", "as the part's sheet says"
SKETCH, ROW, ASIDE = 150, 92, 76      # px: the part, a size's row, the thermometer beside the part
MADE = (12_500, 25_000, 50_000, 100_000)   # virtual parts, in turns, so that the work can be stopped
DEMO_SHOP = tools.default_shop()


@lru_cache(maxsize=4)
def _own_shop(stamp: Any) -> tools.Shop:
    return tools.own_shop()


@lru_cache(maxsize=8)
def _read(text: str, name: str) -> part.Part:
    return part.read_text(text, name)


@lru_cache(maxsize=48)
def _planned(text: str, name: str, own: bool, stamp: Any, settings: job.Settings) -> Plan:
    """A plan is worked out once and kept: walking through its steps then only draws."""
    made = _read(text, name)
    if settings.condition and settings.condition.split(", ")[0] != made.blank.condition.split(", ")[0]:
        raise Refused(
            f"The {made.name} is made of {made.material}, and “{settings.condition}” is another metal's. Choose a "
            f"state of {made.blank.condition.split(', ')[0]}.")
    return job.plan(made, _own_shop(stamp) if own else DEMO_SHOP, settings)


def text_of(name: str, part_file: bytes | None = None) -> str:
    """The text of the part chosen: a demo part, the user's own, or a file just loaded. Raises Refused."""
    if part_file is not None:
        return part_file.decode("utf-8-sig", "replace")
    return part.own_text() if name == MINE else part.demo_text(PARTS[name])


def load_own(data: bytes) -> dict[str, Any]:
    """A file that is loaded becomes the user's own part, and is chosen. Raises Refused where it is no part."""
    text = text_of(MINE, data)
    part.read_text(text, "your part")
    files.put(part.OWN, text)
    return {"name": MINE}


def planned(name: str, own: bool, part_file: bytes | None = None, **chosen: Any) -> Plan:
    """The plan of a demo part, or of the user's own."""
    return _planned(text_of(name, part_file), "your part" if part_file is not None or name == MINE else name, own,
        files.stamp() if own else (), job.Settings(**chosen))


def compute(name: str, bar: str, order: str, ream_stock: float, finish_stock: float, room: float, condition: str,
        trial: bool, cool: bool, centre: bool, own: bool, part_file: bytes | None = None, count: int = 1) -> Plan:
    """The plan of the part chosen; a count above one goes before the part's own. Raises Refused."""
    made = planned(name, own, part_file, bar="" if bar == STIFFEST else bar, order=order, ream_stock=ream_stock,
        finish_stock=finish_stock, room=room, condition="" if condition == AS_DRAWN else condition, trial=trial,
        cool=cool, centre=centre)
    # the number made asks for no other plan: what is kept of it stands
    return made if count == 1 else replace(made, settings=replace(made.settings, count=count),
        find_changes=lambda: made.changes)


# ---- the picture ----------------------------------------------------------------------------------


def picture(made: Plan, say: Say) -> str:
    rows = made.budgets[:6]
    d = Drawing(f"{made.part.name}: the chance of each size", words(made, say),
        height=SKETCH + 20 + ROW * len(rows) + (0 if rows else 40))
    _sketch(d, made, say)
    _thermometer(d, made, say)
    if not rows:
        d.text(16, SKETCH + 40, "No size of this part has a tolerance.")
    for i, b in enumerate(rows):
        _row(d, SKETCH + 20 + i * ROW, made, b, say)
    return d.svg()


def _sketch(d: Drawing, made: Plan, say: Say) -> None:
    """The finished part in half section: outside above the axis, the near half cut open."""
    p = made.part
    shapes = bodies(np.asarray(made.operations[-1].outline_after)) if made.operations else []
    if not shapes:
        return
    every = np.concatenate(shapes)
    left, right, radius = every[:, 0].min(), every[:, 0].max(), every[:, 1].max()
    wide = WIDTH - ASIDE
    up = min((wide - 40) / (right - left), (SKETCH - 62) / (2 * radius))
    at, axis = (wide - up * (right - left)) / 2 - up * left, 22 + (SKETCH - 44) / 2
    section = setup_view.section_of(p.material)
    for shape in shapes:
        full = shape.copy()
        full[len(full) // 2:, 1] = 0.0
        d.shape(at + up * full[:, 0], axis - up * full[:, 1], "fill-work", "ink")
        d.shape(at + up * shape[:, 0], axis + up * shape[:, 1], "fill-work", "")
        setup_view.hatch(d, at + up * shape[:, 0], axis + up * shape[:, 1], section)
        d.shape(at + up * shape[:, 0], axis + up * shape[:, 1], "ink")
    d.line([at + up * left - 12, at + up * right + 12], [axis, axis], "phantom")
    taken: list[tuple[float, float, float]] = []
    for s in p.surfaces:
        if not (s.toleranced or s.thread):
            continue
        words = plan_sizes.called(s, say)
        half, middle = breadth(words) / 2, at + up * (s.start + s.end) / 2
        x = min(max(middle, half + 2), wide - half)
        y = axis + up * radius + 16 if s.inside else axis - up * radius - 7
        if any(abs(y - other) < 15 and x - half < end and x + half > start for start, end, other in taken):
            continue   # its row below names it
        taken.append((x - half, x + half, y))
        d.text(x, y, words, "middle", "small halo")


def _thermometer(d: Drawing, made: Plan, say: Say) -> None:
    """The room's temperature, to be taken hold of."""
    low, high = RoomTemperature.low, RoomTemperature.high
    x, top, foot = WIDTH - 30.0, 26.0, SKETCH - 18.0

    def y(degrees: float) -> float:
        return foot - (degrees - low) / (high - low) * (foot - top)

    d.rect(x - 5, top - 6, 10, foot - top + 6, "paper", "thin")
    d.rect(x - 2.5, y(made.settings.room), 5, foot - y(made.settings.room), "head")
    d.circle(x, foot + 4, 9, "head")
    for degrees in nice_ticks(low, high, 3):
        d.line([x - 11, x - 5], [y(degrees)] * 2, "thin")
        d.text(x - 14, y(degrees) + 5, f"{plain(float(degrees), 2)} °C", "end", "small")
    d.text(WIDTH - 6, 14, "room", "end", "small")
    d.handle("room", x, y(made.settings.room), -(high - low) / (foot - top), "y")


def _row(d: Drawing, y: float, made: Plan, b: SizeBudget, say: Say) -> None:
    left, width = 92.0, WIDTH - 184.0

    def at(size: float) -> float:
        return float(np.clip(left + (size - b.low) / b.tolerance * width, 6, WIDTH - 6))

    d.text(8, y + 12, f"{SHAPES[b.verdict]} {plan_words.size_name(made, b, say)}", kind="bold halo")
    d.text(WIDTH - 8, y + 12, f"{reasons.percent(b.odds)} good", "end", "halo")
    d.rect(left, y + 20, width, 22, "fill-c", "thin", 9)
    if b.shares:
        d.rect(at(b.size.low), y + 26, max(at(b.size.high) - at(b.size.low), 2), 10, "dot-a")
        d.dot(at(b.size.value), y + 31, "a", "diamond", 6)
    d.text(left - 6, y + 56, f"{say.length_number(b.low):.{4 if say.inch else 3}f}", "end", "small halo")
    d.text(left + width + 6, y + 56, f"{say.length_number(b.high):.{4 if say.inch else 3}f}", "start", "small halo")
    total = sum(share.spread**2 for share in b.shares)
    if total <= 0:
        d.text(left, y + 58, "no tool for it yet", kind="small halo")
        return
    start = left
    said: list[str] = []
    for i, share in enumerate(b.shares):
        part_of = share.spread**2 / total
        d.rect(start, y + 47, part_of * width, 9, f"fill-{'abcd'[i % 4]}", "thin", 0)
        start += part_of * width
        if part_of > 0.15 and len(said) < 2:
            said.append(f"{share.name} {100 * part_of:.0f} %")
    if len(", ".join(said)) > 46:
        said = said[:1]
    d.text(left + width / 2, y + 71, "varies by " + ", ".join(said or [b.shares[0].name]), "middle", "small halo")


# ---- the words ------------------------------------------------------------------------------------


def words(made: Plan, say: Say) -> str:
    name = made.part.name
    if made.missing:
        return (f"This shop cannot make the {name} yet. {plan_words.missing(made, made.missing[0], say)}\n"
            "The rest of the part is planned below.")
    if not made.budgets:
        return (f"The {name} has no toleranced size, so a careful turner will make it. "
            f"{reasons.order(made, say=say)}")
    b = made.budgets[0]
    places = 4 if say.inch else 3
    low, high, least, most = (f"{say.length_number(v):.{places}f}" for v in (b.size.low, b.size.high, b.low, b.high))
    weakest = (f" The weakest size is {plan_words.size_name(made, b, say)}, right in "
        f"{reasons.percent(b.odds)} of the parts."
        if len(made.budgets) > 1 else "")
    weakest = f"{step_words.all_of_them(made)}{weakest}"
    first = f"The chance of a good {name} is {reasons.percent(made.odds)}.{weakest}"
    if not step_words.all_of_them(made):   # of several the picture says it
        first += (f" It comes out between {low} and {high} {say.length_unit} (90 % range), and the drawing allows "
            f"{least} to {most}.")
    return f"{first}\n{reasons.order(made, say=say)}"


def more(made: Plan, say: Say) -> str:
    changes = ("".join(f"<li>{escape(plan_words.change_helps(c, say))}</li>" for c in made.changes)
        or "<li>No single change that was tried does better.</li>")
    shares = "".join(f"<tr><td>{escape(plan_words.size_name(made, b, say))}</td><td>{escape(s.name)} (ch. "
        f"{_chapter(s.chapter)})</td><td>{say.fine(s.shift)}</td><td>{say.fine(s.spread)}</td></tr>"
        for b in made.budgets for s in b.shares[:4])
    orders = "".join(f"<li>{'<b>' if o.chosen else ''}{escape(o.name)}{'</b>' if o.chosen else ''}: a chance of "
        f"{reasons.percent(o.odds)}; {escape(plan_words.order_tried(made, o, say))}</li>" for o in made.orders)
    missing = "".join(f"<p>◆ {escape(plan_words.missing(made, m, say))}</p>" for m in made.missing)
    return (f"{missing}<b>What raises the chance most</b><ul>{changes}</ul><b>The two orders</b><ul>{orders}</ul>"
        "<b>What moves each size</b><table><tr><th>size</th><th>cause</th><th>known, dialled out</th>"
        f"<th>standard uncertainty that remains</th></tr>{shares}</table>"
        f"<p>{' '.join(escape(c) for c in plan_words.plan_cautions(made))}</p>")


def _chapter(notebook: str) -> str:
    return notebook.split("_")[0].lstrip("0") or "?"


def set_to(o: Operation, say: Say) -> str:
    """The number to set an operation to, without its unit."""
    aim = o.dial if o.dial is not None else o.target
    return "" if aim is None else f"{say.length_number(aim):.{4 if say.inch else 3}f}"


def try_many(heard: Callable[[int, int], None], **values: Any) -> str:
    """Many virtual parts made by this plan, more at every turn."""
    made, good = compute(**values), 0
    heard(0, MADE[-1])
    for count in MADE:
        good = int(job.virtual_parts(made, count).good.sum())
        heard(count, MADE[-1])
    return f"Of {MADE[-1]:,} virtual parts, {good:,} came out good: {100 * good / MADE[-1]:.1f} %."


def write_out(name: str, part_file: bytes | None = None, **values: Any) -> Saved:
    """Write the part that is planned as a text file into the user's folder, to begin from."""
    text = text_of(name, part_file)
    called = part.read_text(text, "your part").name
    place = files.put(f"{re.sub(r'[^a-zA-Z0-9]+', '_', called).strip('_') or 'part'}.toml",
        part_form.as_text(part_form.form_of(text)))
    return Saved(f"Written: the {called}, as {place.name} in {place.parent}. Change it under “{part.OWN_PAGE}” or in "
        "any editor, and load it above.", place)


PARTED = (Choose("name", (*PARTS, MINE), "drive sleeve", "work", "part"),
    Load("part_file", ".toml,.txt", "work", "load a part of your own",
    "a text file like the one that “write this part out” makes; mm or inch", fills=load_own))
PAGE = Page(name="plan_a_part", title="What is the chance of a good part?",
    inputs=(*PARTED, Slide("count", but(BatchCount, low=1, usual=1), "work", "how many to make"),
    Choose("condition", (AS_DRAWN, *bore_stress.stocks()), AS_DRAWN, "work", "condition of the stock"),
    Slide("room", RoomTemperature, "work", "room"),
    Choose("bar", (STIFFEST, *(b.name for b in DEMO_SHOP.bars)), STIFFEST, "tool", "boring bar"),
    Tick("own", False, "tool", "use my own shop"), Tick("centre", True, "holder", "use the tailstock centre"),
    Choose("order", job.ORDERS, job.AUTO, "cut", "order"),
    Slide("finish_stock", FinishingStock, "cut", "stock for the finishing cuts, on diameter"),
    Slide("ream_stock", but(ReamingStock, low=0.03, high=0.6, usual=0.1), "cut", "stock for the reamer, on diameter"),
    Tick("trial", True, "cut", "two like cuts, measured between"), Tick("cool", True, "cut", "wait until it is cold")),
    compute=compute, picture=picture, words=words, more=more,
    presses=(*sheet_buttons(compute), Press(f"make {MADE[-1]:,} virtual parts", try_many,
    "counts how many of them come out good", long=True),
    Press("write this part out", write_out, "makes a text file to change into a part of your own")))
