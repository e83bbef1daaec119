"""The operation sheet that goes to the lathe: large figures, a box to tick, room for what was measured.

    sheet = of_plan(job.plan(part.demo("drive_sleeve"), tools.own_shop()))
    page = html(sheet)          # two pages in print, three for a long plan; also markdown(sheet) and table(sheet) (CSV)
    keep(sheet)                 # all three into the user's folder
    learning.keep_expected("drive sleeve", learning.expected_of(plan))   # to set results beside it another day

A `Sheet` is made from a plan by `of_plan`, or by hand. Everything that a person typed is escaped.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from html import escape
from pathlib import Path
from typing import Any

from ..core import files
from ..core.quantity import Refused, Say, plain
from ..core.spread import HOLDS
from ..job.results import Operation, Plan
from ..screen import draw
from . import holding_words, operation_words, plan_words, setup_picture, step_words
from .plan_sizes import capital
from .reasons import order, percent, reason

PAPERS = {"A4": "A4", "Letter": "letter"}
CLOSE, CLOSER = 14, 20   # from so many steps on the sheet is set closer, to stay on two pages (up to some 22 steps)
ALWAYS = ("Eye protection on; no gloves, rings, loose sleeves or loose hair at a running lathe.",
    "The chuck key is in your hand or in its place, never in the chuck. Turn the spindle by hand before switching on.",
    "Stop the spindle to measure, to clear chips (with a hook, never fingers) and to touch the part: chips cut, parts "
    "are hot.", "The lathe's manual, the rules of your shop and whoever instructs you come before this sheet.")


@dataclass(frozen=True)
class Step:
    """One operation. Lengths in mm; zero or empty where there is nothing to say."""

    what: str
    holding: str = ""                   # how the work is held; the same words through a setup
    tool: str = ""
    stickout: float = 0.0
    turns: float = 0.0                  # spindle, rev/min
    feed: float = 0.0                   # mm/rev
    depths: tuple[float, ...] = ()      # on radius (of a face along the axis), pass by pass
    facing: bool = False
    target: float = 0.0                 # size to set the tool to, or length
    of: str = ""                        # diameter, length or pitch diameter
    expected: float = 0.0               # size that comes out
    low: float = 0.0                    # what the drawing allows
    high: float = 0.0
    setting: str = ""                   # stop, gauge blocks
    how: str = ""                       # what needs no stop but a knack
    measure: str = ""                   # what to measure and with what
    wait: float = 0.0                   # s, before measuring
    cool: str = ""                      # how long to cool the part, in words
    by_hand: bool = False               # fed by hand
    cautions: tuple[str, ...] = ()
    reason: str = ""
    picture: str = ""                   # SVG of the work and the tool, where one is needed


@dataclass(frozen=True)
class Odds:
    """One toleranced size in the sheet's foot."""

    feature: str
    low: float
    high: float
    expected: float
    likely_low: float
    likely_high: float
    chance: float


@dataclass(frozen=True)
class Sheet:
    """What the sheet says."""

    title: str
    steps: tuple[Step, ...]
    material: str = ""
    blank: str = ""
    shop: str = ""
    odds: tuple[Odds, ...] = ()
    notes: tuple[str, ...] = ()
    always: tuple[str, ...] = field(default=ALWAYS)
    count: int = 1


def _checked(sheet: Sheet) -> Sheet:
    if not sheet.steps:
        raise Refused("This sheet has no steps, so there is nothing to print. Plan a part first.")
    return sheet


IN_THE_VICE = "Hold the work in the bench vice, between soft jaws."
LENGTHS = ("face", "part off", "saw", "cool", "centre drill")   # operations whose target is no diameter


PICTURED = ("bore", "bore taper", "inside recess", "inside thread", "undercut", "recess", "taper", "thread",
    "part off")   # operations that are drawn beside their line, and each setup's first


def drawn(plan: Plan) -> tuple[int, ...]:
    """Numbers of the operations that need a picture on the sheet: how the work is held, and where a shape is cut."""
    drawable = [o for o in plan.operations if o.outline_before.size]
    first: dict[int, Operation] = {}
    for o in drawable:   # a setup is seen best at its first cut
        if o.holding not in first or (not first[o.holding].feed and o.feed):
            first[o.holding] = o
    return tuple(o.number for o in drawable if o is first[o.holding] or o.kind in PICTURED)


def of_plan(plan: Plan, say: Say | None = None, heard: Callable[[int, int], None] | None = None) -> Sheet:
    """The sheet of a plan. Lengths in its sentences are written as `say` has it; print with the same. heard(done, all)
    is told how many steps are done.
    """
    say = say or Say()
    pictured, steps = drawn(plan), []
    holding, warned = 0, set[str]()
    for o in plan.operations:
        if o.holding != holding:
            holding, warned = o.holding, set()
        step = _of_operation(plan, o, say, o.number in pictured)
        steps.append(replace(step, cautions=tuple(c for c in step.cautions if c not in warned)))   # once a setup
        warned |= set(step.cautions)
        if heard:
            heard(o.number, len(plan.operations))
    odds = tuple(Odds(plan_words.feature(plan, b, say), b.low, b.high, b.size.value, b.size.low, b.size.high, b.odds)
        for b in plan.budgets)
    part = plan.part
    return Sheet(
        part.name or "part",
        tuple(steps),
        part.material,
        plan_words.blank(plan, say),
        plan.shop.name,
        odds,
        _notes(plan, say),
        (plan_words.FIRST, *ALWAYS[:-1]),   # it says what ALWAYS ends with
        plan.count,
    )


def _notes(plan: Plan, say: Say) -> tuple[str, ...]:
    """What the foot of the sheet says under the table of sizes."""
    notes = [*(plan_words.missing(plan, lacking, say) for lacking in plan.missing),
        *(plan_words.cannot(plan, way, say) for way in plan.cannot),
        *(plan_words.helps(plan, b, say) for b in plan.budgets if b.shares and b.verdict != HOLDS)]
    if plan.order_reason.kind not in ("nothing bored", "no tolerance"):
        notes.insert(0, order(plan, say=say))
    if plan.count > 1 and len(plan.holdings) > 1:
        notes.append(f"Carry out each setup on all {plan.count} before you change to the next: its tools and stops "
            "stay as they are.")
    if plan.minutes:
        notes.append(f"Cutting and waiting take about {step_words.time(60 * plan.minutes)} for each part; setting up "
            "and measuring come on top.")
    if plan.budgets:
        notes.append(f"The chance that all sizes lie inside their limits is {percent(plan.odds)}."
            f"{step_words.all_of_them(plan)}")
    return (*notes, *plan_words.plan_notes(plan))


def _of_operation(plan: Plan, o: Operation, say: Say, pictured: bool) -> Step:
    length = o.kind in LENGTHS
    wanted = o.target
    if o.kind in step_words.UNSIZED:
        wanted = None
    elif wanted is None and not length:
        wanted = o.after
    target = o.dial if o.dial is not None else wanted
    of = "length" if length else "pitch diameter" if o.kind in step_words.THREADS else "diameter"
    h = plan.holdings[o.holding - 1]
    holding = IN_THE_VICE if o.kind == "saw" else f"Setup {h.number}. {holding_words.hold(plan, h, say)}"
    threads = o.kind in step_words.THREADS
    setting = operation_words.setting(plan, o, say)
    chamfer, deburr = o.kind == "chamfer", o.kind == "deburr"
    return Step(capital(operation_words.operation(plan, o, say)), holding, setting if deburr else o.tool,
        o.tool_stickout or 0.0, o.spindle or 0.0, 0.0 if chamfer or threads else o.feed or 0.0,
        () if o.kind == "ream" else o.depths,
        o.kind in step_words.FACING, target or 0.0, of if target else "", wanted or 0.0, o.low or 0.0, o.high or 0.0,
        "" if chamfer or deburr else setting, setting if chamfer else "", operation_words.measuring(plan, o, say),
        o.wait, step_words.cool(o, say) if o.kind == "cool" else "",
        o.kind in (*step_words.BY_HAND, *operation_words.TAPERS), operation_words.cautions(plan, o, say),
        reason(plan, o, say),
        setup_picture.small(plan, o.number, say) if pictured else "")


def typed(text: Any, most: int = 600) -> str:
    """What a person typed, without control characters and not endlessly long."""
    clean = "".join(" " if c.isspace() else c for c in str(text) if c.isprintable() or c.isspace())
    return clean if len(clean) <= most else clean[: most - 1] + "…"


def _size(say: Say, value: float) -> str:
    """A size to a micrometre or a hundredth of a thou, with all its zeros: 20.000 mm."""
    return f"{value / 25.4:.5f} inch" if say.inch else f"{value:.3f} mm"


def _span(say: Say, low: float, high: float) -> str:
    return f"{_size(say, low).split()[0]} to {_size(say, high)}"


def _feed(say: Say, value: float) -> str:
    return f"{plain(value / 25.4, 2)} inch/rev" if say.inch else f"{plain(value, 2)} mm/rev"


def _fed(step: Step, say: Say) -> str:
    if step.by_hand:
        return f"by hand, about {_feed(say, step.feed)}" if step.feed else "by hand"
    return _feed(say, step.feed) if step.feed else ""


def _time(seconds: float) -> str:
    return f"{plain(seconds, 2)} s" if seconds < 90 else f"{plain(seconds / 60, 2)} min"


def _depths(say: Say, depths: Sequence[float], facing: bool = False) -> str:
    """Depths on radius, equal neighbours taken together: 2 × 0.5, 0.1 mm."""
    runs: list[list[float]] = []
    for depth in step_words.dialled(tuple(depths), say):
        if runs and abs(runs[-1][0] - depth) < 5e-5:
            runs[-1][1] += 1
        else:
            runs.append([depth, 1])
    unit = "inch" if say.inch else "mm"
    cuts = [f"{int(n)} × {step_words.depth(say, d)}" if n > 1 else step_words.depth(say, d) for d, n in runs if d]
    springs = int(sum(n for d, n in runs if not d))
    said = [", ".join(cuts) + f" {unit}{'' if facing else ' on the radius'}"] if cuts else []
    return ", then ".join([*said, *([f"{springs} spring pass{'es' if springs > 1 else ''}"] if springs else [])])


def _facts(step: Step, say: Say) -> list[tuple[str, str]]:
    """The small print of a step as (name, value), only what there is."""
    found = [("held", step.holding), ("tool", step.tool),
        ("sticks out", say.length(step.stickout, 3) if step.stickout else ""),
        ("spindle", f"{plain(step.turns, 3)} rpm" if step.turns else ""),
        ("feed", _fed(step, say)),
        ("cuts", _depths(say, step.depths, step.facing) if step.depths else ""), ("stop", step.setting),
        ("how", step.how),
        ("cool", step.cool), ("wait", _time(step.wait) if step.wait and not step.cool else ""),
        ("measure", step.measure)]
    return [(name, typed(value)) for name, value in found if value]


def _target(step: Step, say: Say) -> str:
    sign = {"diameter": "Ø ", "length": "↔ ", "pitch diameter": "pitch Ø "}.get(step.of, "")
    if not step.target:
        return ""
    return sign + (_size(say, step.target) if step.high else say.length(step.target, 5))   # as finely as it is held


def _allowed(step: Step, say: Say) -> str:
    return _span(say, step.low, step.high) if step.high else ""


def keep(sheet: Sheet, say: Say | None = None, paper: str = "A4") -> tuple[Path, ...]:
    """Write the sheet as HTML to print, Markdown and CSV into the user's folder; returns their places. Raises Refused.
    """
    name = re.sub(r"[^\w -]", "", typed(sheet.title, 60)).strip() or "sheet"
    return tuple(files.put(f"{name}.{ending}", text) for ending,
        text in (("html", html(sheet, say, paper)), ("md", markdown(sheet, say)), ("csv", table(sheet, say))))


# ---- HTML -------------------------------------------------------------------------------------------

STYLE = Path(__file__).with_name("sheet.css").read_text(encoding="utf-8")


def html(sheet: Sheet, say: Say | None = None, paper: str = "A4") -> str:
    """The sheet as one HTML page with print styles, in black on white. Raises Refused for an unknown paper or no steps.
    """
    if paper not in PAPERS:
        raise Refused(f"There is no paper “{paper}” here; print on {' or '.join(PAPERS)}.")
    say, pictures = say or Say(), sum(bool(step.picture) for step in _checked(sheet).steps)
    count = len(sheet.steps) + pictures
    style = STYLE.replace("PAPER", PAPERS[paper]) + (draw.STYLE if pictures else "")
    out = ['<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" '
        'content="width=device-width,initial-scale=1">',
        f"<title>{escape(typed(sheet.title))}</title><style>{style}</style></head>",
        f'<body class="{"close" if count >= CLOSE else ""}{" closer" if count >= CLOSER else ""}">',
        f"<h1>{escape(capital(typed(sheet.title, 120)))}</h1>"]
    head = [(name, value) for name,
        value in (("pieces", str(sheet.count) if sheet.count > 1 else ""), ("material", sheet.material),
        ("blank", sheet.blank), ("shop", sheet.shop)) if value]
    out.append('<div class="top">'
        + "".join(f"<span><b>{name}</b> {escape(typed(value))}</span>" for name, value in head)
        + "".join(f'<span><b>{name}</b> <span class="blank">&nbsp;</span></span>' for name in ("by", "date", "shop °C"))
        + "</div>")
    before = None
    for place, step in enumerate(sheet.steps, 1):
        if step.holding and step.holding != before:
            out.append(f'<div class="hold">{escape(typed(step.holding))}</div>')
            before = step.holding
        out.append(_step(step, place, say))
    if sheet.odds or sheet.notes:
        out.append(_foot(sheet, say))
    out.append('<div class="always">' + "".join(f"<p>▲ {escape(typed(line))}</p>" for line in sheet.always)
        + "</div></body></html>")
    return "\n".join(out)


def _step(step: Step, count: int, say: Say) -> str:
    facts = "".join(f'<span{" class=long" if len(value) > 34 else ""}><b>{name}</b> {escape(value)}</span> ' for name,
        value in _facts(step, say) if name != "held")
    allowed = _allowed(step, say)
    may = f"allowed {allowed}" if allowed else ""
    if step.expected and step.target and abs(step.expected - step.target) >= 5e-4:
        may += f"{'<br>' if may else ''}comes out {_size(say, step.expected)}"
    got = (
        '<div class="got">measured</div>' if step.high or (step.measure and step.target) else '<div class="none"></div>'
    )
    care = " ".join(f"▲ {escape(typed(c))}" for c in step.cautions)
    care = f'<div class="care">{care}</div>' if care else ""
    why = f'<div class="why">{escape(typed(step.reason))}</div>' if step.reason else ""
    look = f'<div class="look">{step.picture}</div>' if step.picture else ""
    return (f'<div class="step{" drawn" if look else ""}"><div class="tick" role="img" aria-label="box to tick"></div>'
        f'<div class="what">{count}. {escape(typed(step.what))}</div>'
        f'<div class="size"><div class="aim">{_target(step, say)}</div><div class="may">{may}</div></div>{got}'
        f'<div class="facts">{facts}</div>{care}{why}{look}</div>')


def _foot(sheet: Sheet, say: Say) -> str:
    rows = "".join(
        f"<tr><td>{escape(typed(o.feature))}</td><td>{_span(say, o.low, o.high)}</td><td>{_size(say, o.expected)}</td>"
        f"<td>{_span(say, o.likely_low, o.likely_high)}</td><td>{percent(o.chance)}</td></tr>"
        for o in sheet.odds)
    table = (
        ("<table><tr><th>size</th><th>allowed</th><th>expected</th><th>90 % range</th><th>chance</th></tr>" + rows
        + "</table>") if rows else "")
    return f'<div class="foot">{table}{"".join(f"<p>{escape(typed(n))}</p>" for n in sheet.notes)}</div>'


# ---- Markdown and CSV --------------------------------------------------------------------------------


def _md(text: Any) -> str:
    """Text that Markdown takes literally."""
    return re.sub(r"([\\`*_{}\[\]()#+!|~>])", r"\\\1", typed(text)).replace("<", "&lt;")


def markdown(sheet: Sheet, say: Say | None = None) -> str:
    """The sheet as Markdown: a list to tick off. Raises Refused where there are no steps."""
    say = say or Say()
    lines = [f"# {_md(capital(sheet.title))}", ""]
    lines += [f"- {name}: {_md(value)}" for name,
        value in (("pieces", str(sheet.count) if sheet.count > 1 else ""), ("material", sheet.material),
        ("blank", sheet.blank), ("shop", sheet.shop)) if value]
    before = None
    for count, step in enumerate(_checked(sheet).steps, 1):
        if step.holding and step.holding != before:
            lines += ["", f"## {_md(step.holding)}", ""]
            before = step.holding
        target = _target(step, say)
        lines.append(f"- [ ] **{count}. {_md(step.what)}**{f': **{target}**' if target else ''}"
            + (f" (allowed {_allowed(step, say)})" if step.high else "")
            + (" measured: \\_\\_\\_\\_\\_\\_" if step.high or (step.measure and step.target) else ""))
        facts = "; ".join(f"{name} {_md(value)}" for name, value in _facts(step, say) if name != "held")
        lines += [f"  - {text}"
            for text in (facts, *(f"▲ {_md(c)}" for c in step.cautions), f"*{_md(step.reason)}*" if step.reason else "")
            if text]
    if sheet.odds:
        lines += ["", "| size | allowed | expected | 90 % range | chance |", "|---|---|---|---|---|"]
        lines += [f"| {_md(o.feature)} | {_span(say, o.low, o.high)} | {_size(say, o.expected)} | "
            f"{_span(say, o.likely_low, o.likely_high)} | {percent(o.chance)} |" for o in sheet.odds]
    return (
        "\n".join([*lines, "", *(f"{_md(n)}\n" for n in sheet.notes), *(f"▲ {_md(a)}  " for a in sheet.always)]) + "\n")


COLUMNS = ("step", "what", "held", "tool", "stickout", "spindle rpm", "feed a revolution", "depths on radius", "set to",
    "allowed from", "allowed to", "setting", "measure", "wait s", "cautions", "reason", "measured")


def _cell(text: Any) -> str:
    """Text that a spreadsheet will not take for a formula."""
    return files.csv_cell(typed(text))


def table(sheet: Sheet, say: Say | None = None) -> str:
    """The sheet as CSV, one row a step, lengths in the unit that the header names. Raises Refused where there are no
    steps.
    """
    say = say or Say()
    unit = say.length_unit
    out = io.StringIO()
    lengths = {"stickout", "feed a revolution", "depths on radius", "set to", "allowed from", "allowed to", "measured"}
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([f"{c} {unit}" if c in lengths else c for c in COLUMNS])

    def length(value: float) -> str:
        return f"{say.length_number(value):.{6 if say.inch else 4}f}".rstrip("0").rstrip(".") if value else ""

    for count, s in enumerate(_checked(sheet).steps, 1):
        writer.writerow(
            [count, _cell(s.what), _cell(s.holding), _cell(s.tool), length(s.stickout),
            f"{s.turns:g}" if s.turns else "", length(s.feed), " ".join(length(d) for d in s.depths), length(s.target),
            length(s.low), length(s.high), _cell(s.setting), _cell(s.measure), f"{s.wait:g}" if s.wait else "",
            _cell(" ".join(s.cautions)), _cell(s.reason), ""])
    return out.getvalue()
