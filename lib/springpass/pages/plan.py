"""Plan a part: the sheet for the lathe, the error budget of every toleranced size, the odds of a good part."""

from __future__ import annotations

from html import escape
from typing import Any

import numpy as np

from .. import bore_stress, job
from ..core import files, tables
from ..core.quantity import Quantity, Refused, Say, but, plain
from ..core.spread import HOLDS
from ..job import part, tools
from ..job.part import BORE, RECESS, THREAD
from ..job.results import FAR, Plan, SizeBudget
from ..printing import plan_words
from ..reaming.quantities import ReamingStock
from ..screen.draw import WIDTH, Drawing, breadth
from ..screen.page import SHAPES, Choose, Load, Page, Press, Slide, Tick, Write
from .afterwards import sheet_buttons

RoomTemperature = Quantity("T", "°C", low=-5, high=40, usual=20, step=0.5,
    says="temperature of the room, part and gauge")
FinishingStock = Quantity("s_f", "mm", low=0.1, high=1.5, usual=0.4, step=0.05,
    says="left on diameter for the two finishing cuts of an outside")

PARTS = {"drive sleeve": "drive_sleeve", "bearing housing": "bearing_housing", "bush": "bush"}
STIFFEST, AS_DRAWN = "the stiffest that goes in", "as the part's sheet says"
CHAPTERS = {"01_heat": "1", "02_bore_stress": "2", "03_boring_bar": "3", "04_reaming": "4", "05_workholding": "5",
    "07_stops_and_measuring": "7"}
SKETCH, ROW = 150, 92
DEMO_SHOP = tools.default_shop()


def compute(name: str, bar: str, order: str, ream_stock: float, finish_stock: float, room: float, condition: str,
        trial: bool, cool: bool, centre: bool, own: bool, own_part: str = "", part_file: bytes | None = None) -> Plan:
    if part_file is not None:
        made = part.read_text(part_file.decode("utf-8-sig", "replace"), "your part")
    else:
        made = part.read_text(own_part, "your part") if own_part.strip() else part.demo(PARTS[name])
    here = tools.own_shop() if own else DEMO_SHOP
    if condition != AS_DRAWN and condition.split(", ")[0] != made.blank.condition.split(", ")[0]:
        raise Refused(
            f"The {made.name} is made of {made.material}, and “{condition}” is another metal's. Choose a state of "
            f"{made.blank.condition.split(', ')[0]}.")
    return job.plan(made, here, bar="" if bar == STIFFEST else bar, order=order, ream_stock=ream_stock,
        finish_stock=finish_stock, room=room, condition="" if condition == AS_DRAWN else condition, trial=trial,
        cool=cool, centre=centre)


def of_100(chance: float) -> str:
    """Odds as a turner counts them."""
    return "nearly all" if chance > 0.995 else "hardly any" if chance < 0.005 else f"{100 * chance:.0f} of 100"


# ---- the picture ----------------------------------------------------------------------------------


def picture(made: Plan, say: Say) -> str:
    rows = made.budgets[:6]
    d = Drawing(f"{made.part.name}: sketch and error budgets", words(made, say),
        height=SKETCH + 20 + ROW * len(rows) + (0 if rows else 40))
    _sketch(d, made, say)
    if not rows:
        d.text(16, SKETCH + 40, "No size of this part has a tolerance.")
    for i, b in enumerate(rows):
        _row(d, SKETCH + 20 + i * ROW, made, b, say)
    return d.svg()


def _sketch(d: Drawing, made: Plan, say: Say) -> None:
    """The part in half section: outside above the axis, bores dashed in."""
    p = made.part
    largest = max(s.diameter for s in p.outsides)
    up = min((WIDTH - 90) / p.length, (SKETCH - 62) / largest)
    left, axis = (WIDTH - up * p.length) / 2, 26 + (SKETCH - 50) / 2

    def x(z: float) -> float:
        return left + up * z

    xs, ys = [], []
    for s in p.outsides:
        xs += [x(s.start), x(s.end)]
        ys += [axis - up * s.diameter / 2] * 2
    d.shape([*xs, xs[-1], xs[0]], [*ys, axis, axis], "fill-work", "ink", 9)
    d.shape([*xs, xs[-1], xs[0]], [*(2 * axis - np.array(ys)), axis, axis], "fill-work", "ink")
    for s in p.surfaces:
        if s.kind == BORE:
            d.rect(x(s.start), axis - up * s.diameter / 2, up * s.length, up * s.diameter / 2, "paper", "ink")
            d.text((x(s.start) + x(s.end)) / 2, axis - 4, plan_words.called(s, say), "middle", "small halo")
        elif s.kind == THREAD:
            d.line([x(s.start), x(s.end)], [axis + up * s.diameter * 0.44] * 2, "thin")
        elif s.kind == RECESS:
            d.rect(x(s.start), axis - up * s.diameter / 2 - 3, up * s.length, 6, "paper", "thin")
    for s in p.outsides:
        if s.toleranced or s.kind == THREAD:
            d.text((x(s.start) + x(s.end)) / 2, axis + up * s.diameter / 2 + 15, s.says, "middle", "small halo")
    d.line([left - 16, x(p.length) + 16], [axis, axis], "faint")
    first = made.holdings[0]
    turned = ", then turned round" if len(made.holdings) > 1 else ""
    line = f"{p.name}: first held on {plan_words.gripped(made, first, say)}{turned}"
    d.text(8, 16, line if breadth(line) < WIDTH - 12 else line.removeprefix(f"{p.name}: "), kind="small halo")


def _row(d: Drawing, y: float, made: Plan, b: SizeBudget, say: Say) -> None:
    left, width = 92.0, WIDTH - 184.0

    def at(size: float) -> float:
        return float(np.clip(left + (size - b.low) / b.tolerance * width, 6, WIDTH - 6))

    d.text(8, y + 12, f"{SHAPES[b.verdict]} {plan_words.size_name(made, b, say)}", kind="bold halo")
    d.text(WIDTH - 8, y + 12, f"{of_100(b.odds)} good", "end", "halo")
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
    d.text(left + width / 2, y + 71, "wanders by " + ", ".join(said or [b.shares[0].name]), "middle", "small halo")


# ---- the words ------------------------------------------------------------------------------------


def words(made: Plan, say: Say) -> str:
    if made.missing:
        return (f"This shop cannot make the {made.part.name} yet. {plan_words.missing(made, made.missing[0], say)}\n"
            "The plan below shows the rest.")
    if not made.budgets:
        return (f"The {made.part.name} has no toleranced size: any careful turner makes it. "
            f"{plan_words.order(made, say=say)}")
    b = made.budgets[0]
    places = 4 if say.inch else 3
    low, high, least, most = (f"{say.length_number(v):.{places}f}" for v in (b.size.low, b.size.high, b.low, b.high))
    first = (f"Good parts: {of_100(made.odds)}. Weakest is {plan_words.size_name(made, b, say)}, {of_100(b.odds)}: it "
        f"comes out between {low} and {high} {say.length_unit}, allowed {least} to {most}.")
    advice = (f"\nWhat helps most: {plan_words.change(made.changes[0], say)} ({of_100(made.changes[0].odds)})."
        if made.changes else "")
    last = "" if made.verdict == HOLDS and not made.changes else advice
    return f"{first}\n{plan_words.order(made, say=say)}{last}"


def _time(seconds: float) -> str:
    return f"{plain(seconds, 2)} s" if seconds < 90 else f"{plain(seconds / 60, 2)} min"


def more(made: Plan, say: Say) -> str:
    changes = ("".join(f"<li>{escape(plan_words.change_helps(c, say))}</li>" for c in made.changes)
        or "<li>No single change that was tried does better.</li>")
    shares = "".join(f"<tr><td>{escape(plan_words.size_name(made, b, say))}</td><td>{escape(s.name)} (ch. "
        f"{CHAPTERS.get(s.chapter, '?')})</td><td>{say.fine(s.shift)}</td><td>{say.fine(s.spread)}</td></tr>"
        for b in made.budgets for s in b.shares[:4])
    orders = "".join(f"<li>{'<b>' if o.chosen else ''}{escape(o.name)}{'</b>' if o.chosen else ''}: {of_100(o.odds)}; "
        f"{escape(plan_words.order_tried(made, o, say))}</li>" for o in made.orders)
    missing = "".join(f"<p>◆ {escape(plan_words.missing(made, m, say))}</p>" for m in made.missing)
    return (f"{missing}<b>What raises the odds most</b><ul>{changes}</ul><b>The two "
        f"orders</b><ul>{orders}</ul>{_steps(made, say)}"
        "<b>The budget</b> (known: dialled out; wanders: one standard deviation)<table><tr><th>size</th><th>what "
        f"moves it</th><th>known</th><th>wanders</th></tr>{shares}</table>"
        f"<p>{' '.join(escape(c) for c in plan_words.plan_cautions(made))}</p>")


def _steps(made: Plan, say: Say) -> str:
    rows, holding = [], 0
    for o in made.operations:
        if o.holding != holding:
            holding = o.holding
            h = made.holdings[holding - 1]
            turned = "Turn the work round: " if h.end == FAR else ""
            rows.append(f"<tr><th colspan='3'>{turned}{escape(h.way or 'no chuck')} on "
                f"{escape(plan_words.gripped(made, h, say))}, {say.length(h.stickout, 3)} "
                f"out{', centre in' if h.centre else ''}</th></tr>")
        size = (f"{say.length_number(o.dial if o.dial is not None else o.target):.{4 if say.inch else 3}f}"
            if o.target is not None else "")
        turns = f", {o.spindle:.0f} turns a minute" if o.spindle else ""
        with_tool = f"<br><small>{escape(o.tool)}{turns}</small>" if o.tool else ""
        wait = f" Wait {_time(o.wait)}." if o.wait else ""
        what, why = (escape(of(made, o, say)) for of in (plan_words.operation, plan_words.reason))
        rows.append(f"<tr><td>{o.number}</td><td>{what}{with_tool}</td><td>{size}</td></tr>"
            f"<tr><td></td><td colspan='2'><small>{why}{wait}</small></td></tr>")
    return ("<b>The sheet</b><table><tr><th></th><th>operation</th>"
        f"<th>set to, {say.length_unit}</th></tr>{''.join(rows)}</table>")


def write_out(name: str, **values: Any) -> str:
    """Write the part chosen as a text file into the user's folder, to begin from."""
    text = (tables.folder() / "parts" / f"{PARTS[name]}.toml").read_text(encoding="utf-8")
    place = files.put("part.toml",
        '# To draw it in inches write units = "inch" under the name, and every length in inches (finish stays in µm).\n'
        + text)
    return (f"Written: {place.name} in {place.parent}. Change it in any editor, give it a name of its own, and load it "
        "above.")


PAGE = Page(name="plan_a_part", title="The whole part: order, tools, targets, odds",
    inputs=(Choose("name", tuple(PARTS), "drive sleeve", "work", "part"),
    Choose("condition", (AS_DRAWN, *bore_stress.stocks()), AS_DRAWN, "work", "condition of the stock"),
    Slide("room", RoomTemperature, "work", "room"),
    Load("part_file", ".toml,.txt", "work", "load a part of your own",
    "a text file like the one that “write this part out” makes; mm or inch"),
    Write("own_part", "", "work", "or paste its text here", "the text of a part; a file loaded above goes first",
    rows=8, rare=True), Choose("bar", (STIFFEST, *(b.name for b in DEMO_SHOP.bars)), STIFFEST, "tool", "boring bar"),
    Tick("own", False, "tool", "use my own shop"), Tick("centre", True, "holder", "use the tailstock centre"),
    Choose("order", job.ORDERS, job.AUTO, "cut", "order"),
    Slide("finish_stock", FinishingStock, "cut", "stock for the finishing cuts, on diameter"),
    Slide("ream_stock", but(ReamingStock, low=0.03, high=0.6, usual=0.1), "cut", "stock for the reamer, on diameter"),
    Tick("trial", True, "cut", "two like cuts, measured between"), Tick("cool", True, "cut", "wait until it is cold")),
    compute=compute, picture=picture, words=words, more=more,
    presses=(*sheet_buttons(compute),
    Press("write this part out", write_out, "makes a text file to change into a part of your own")))
