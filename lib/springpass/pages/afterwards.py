"""Afterwards: what was measured beside what was predicted, and what the shop learns from it.

In a notebook: `show(AFTERWARDS)`. The page opens with an example of the club's; once a sheet has been
remembered, choose “the sheet remembered last”. The plan's page gets its buttons from `sheet_buttons`:

    PLAN = Page(..., presses=sheet_buttons(plan_of))   # plan_of(**values) -> the plan with the page's values
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from typing import Any

import numpy as np

from ..core.quantity import Refused, Say, plain
from ..job import learning, shop, tools
from ..job.learning import (
    BORED,
    FORCE,
    HOLDER,
    OTHER,
    REAMED,
    REAMER,
    REPEAT,
    TURNED,
    Expected,
    Lesson,
    Result,
)
from ..job.results import Plan
from ..printing import sheet as operation_sheet
from ..screen.downloads import Saved
from ..screen.draw import WIDTH, Drawing
from ..screen.page import Choose, Page, Press, Tick, Write

EXAMPLE_NAME = "drive sleeve and two bushes (example)"
MICROMETER, BORE_GAUGE = "micrometer on a shaft", "bore gauge set in a micrometer"
# invented for the demo; the bushes are bored with an 8 mm steel bar standing 45 mm out
EXAMPLE = (
    Expected("20 h6 seat", TURNED, 20, 19.9935, 19.9890, 19.9980, 19.9905, 25, 6e-5, 0, 19.987, 20.000, MICROMETER),
    Expected("15 j6 seat", TURNED, 15, 15.0025, 14.9970, 15.0080, 14.9985, 25, 8e-5, 0, 14.997, 15.008, MICROMETER),
    Expected("10 H7 bore", REAMED, 10, 10.0120, 10.0010, 10.0230, 0, 0, 0, 10.006, 10.000, 10.015, BORE_GAUGE),
    Expected("first bush, 12 H7", BORED, 12, 12.0090, 12.0000, 12.0180, 12.0321, 15, 7.37e-4, 0, 12.000, 12.018,
    BORE_GAUGE),
    Expected("second bush, 12 H7", BORED, 12, 12.0090, 12.0000, 12.0180, 12.0321, 15, 7.37e-4, 0, 12.000, 12.018,
    BORE_GAUGE), Expected("length over all", OTHER, 85, 85.000, 84.960, 85.040, 0, 0, 0, 0, 84.9, 85.1, "calliper"))
EXAMPLE_READINGS = """20 h6 seat: 19.995
15 j6 seat: 15.004
10 H7 bore: 10.014 10.015 10.013
first bush, 12 H7: 12.005 12.006 12.004
second bush, 12 H7: 12.004
length over all: 85.02"""
SHEETS = ("the example", "the sheet remembered last")


@dataclass(frozen=True)
class After:
    part: str
    expected: tuple[Expected, ...]
    results: tuple[Result, ...]
    earlier: int                     # results kept before that take part
    lessons: tuple[Lesson, ...]
    in_use: tuple[str, ...]          # names of the lessons that plans use
    weighed: bool                    # the holder was measured, not assumed


def compute(sheet: str, measured: str, earlier: bool) -> After:
    kept = (EXAMPLE_NAME, EXAMPLE) if sheet == SHEETS[0] else learning.kept_expected()
    if kept is None:
        raise Refused(
            "No sheet has been remembered yet. Plan a part and press “remember this sheet”, or choose the example.")
    name, expected = kept
    if sheet != SHEETS[0] and measured == EXAMPLE_READINGS:
        measured = ""
    results = learning.read_results(measured, expected)
    mine = tools.own_shop(accepted=False)
    stiff = mine.holder.stiffness
    before = learning.kept_results() if earlier else ()
    found = learning.lessons((*before, *results),
        (stiff.value, float(np.clip(np.sqrt(stiff.high / stiff.low), 1.02, 10))), mine.reamed_holes if earlier else (),
        shop.records("repeatability") if earlier else ())
    return After(name, expected, results, len(before), found, tuple(str(r.get("name")) for r in learning.accepted()),
        stiff.measured)


# ---- the words -------------------------------------------------------------------------------------


def _size(say: Say, value: float) -> str:
    return f"{value / 25.4:.5f} inch" if say.inch else say.length(value, 6)


def _off(say: Say, off: float) -> str:
    if abs(off) < 5e-5:
        return "as predicted"
    return f"{say.fine(round(abs(off), 5))} {'over' if off > 0 else 'under'} the prediction"


def _lesson(lesson: Lesson, say: Say, which: tuple[float, float, float]) -> str:
    low, value, high = which
    if lesson.unit == "mm":
        return (f"{say.fine(value)} (90 % range {say.bare(low, 2)} to {say.bare(high, 2)} "
            f"{say.fine_unit})")
    if lesson.unit == "N/mm":
        return f"{plain(value / 1e3, 2)} N/µm (90 % range {plain(low / 1e3, 2)} to {plain(high / 1e3, 2)})"
    return f"{value:.2f} (90 % range {low:.2f} to {high:.2f})"


def _rests_on(x: Lesson) -> str:
    """What was learned, and from how much."""
    many = "s" if x.count != 1 else ""
    return {FORCE: f"tabulated cutting forces times this; from {x.count} bending result{many}",
        HOLDER: f"side force for a millimetre at the holder; from {x.count} bending result{many}",
        REAMER: f"the next hole less its reamer; from {x.count} hole{many}",
        REPEAT: f"standard deviation of one reading; from {x.count} degrees of freedom"}[x.kind]


def words(r: After, say: Say) -> str:
    if not r.results:
        return (f"Nothing is measured yet of {r.part}. Write a line for each feature: its name or number, a colon, and "
            "the size you read.")
    judged = [x for x in r.results if x.allowed is not None]
    within = sum(bool(x.allowed) for x in judged)
    worst = max(r.results, key=lambda x: abs(x.surprise))
    said = f"{len(r.results)} of {len(r.expected)} features {'is' if len(r.results) == 1 else 'are'} measured"
    if judged:
        said += f"; {within} of {len(judged)} are within what the drawing allows"
    said += f". For its range the {worst.expected.feature} is farthest off, {_off(say, worst.off)}"
    said += " (a surprise: measure it again before you believe it)." if abs(worst.surprise) > 3 else "."
    taught = [f"{x.name} {_lesson(x, say, x.after)}" for x in r.lessons]
    if taught:
        first, *rest = taught
        said += f"\nThe shop can learn from them: {'; '.join([first, *(x.replace('90 % range ', '') for x in rest)])}."
    used = "nothing learned is in use" if not r.in_use else f"in use: {', '.join(r.in_use)}"
    return said + f"\nPlans change only when you say so. Now {used}."


# ---- the picture -----------------------------------------------------------------------------------

ROW, LEFT, RIGHT = 46.0, 16.0, 16.0


def picture(r: After, say: Say) -> str:
    shown = r.results[:12]
    height = 76 + ROW * max(len(shown), 1) + (46 + 52 * len(r.lessons) if r.lessons else 0)
    d = Drawing("Prediction against result", words(r, say), WIDTH, height)
    d.text(LEFT, 18, f"from the prediction, {say.fine_unit}", kind="small halo")
    d.text(LEFT, 35, "hatched: allowed, bar: 90 % range, ◆: measured", kind="small halo")
    if not shown:
        d.text(WIDTH / 2, 76, "nothing measured yet", "middle")
    for i, x in enumerate(shown):
        _feature(d, x, 58 + ROW * i, say)
    top = 78 + ROW * max(len(shown), 1)
    if r.lessons:
        d.text(LEFT, top, "what the shop has learned", kind="bold halo")
        d.text(WIDTH - RIGHT, top, "pale: before, full: after", "end", "small halo")
    for i, lesson in enumerate(r.lessons):
        _learned(d, lesson, top + 24 + 52 * i, say)
    return d.svg()


def _feature(d: Drawing, x: Result, y: float, say: Say) -> None:
    e = x.expected
    ends = [e.low - e.predicted, e.high - e.predicted, x.off]
    if e.upper:
        ends += [e.lower - e.predicted, e.upper - e.predicted]
    reach = 1.12 * max(max(abs(v) for v in ends), 1e-4)
    left, right = LEFT, WIDTH - RIGHT

    def at(value: float) -> float:
        return left + (value + reach) / (2 * reach) * (right - left)

    mark = {None: "", True: "  within", False: "  outside the drawing"}[x.allowed]
    d.text(left, y, f"{e.feature}: {_size(say, x.measured)}{mark}", kind="halo")
    d.text(right, y, ("+" if x.off > 0 else "") + say.bare(round(x.off, 5), 2), "end", "bold halo")
    if e.upper:
        d.rect(at(e.lower - e.predicted), y + 6, at(e.upper - e.predicted) - at(e.lower - e.predicted), 20, "fill-c",
            "thin", 9)
    d.rect(at(e.low - e.predicted), y + 12, max(at(e.high - e.predicted) - at(e.low - e.predicted), 2), 8, "fill-a",
        "thin")
    d.line([at(0)] * 2, [y + 8, y + 24], "thin")
    d.dot(at(x.off), y + 16, "b", "diamond", 6.5)


def _learned(d: Drawing, lesson: Lesson, y: float, say: Say) -> None:
    low, high = min(lesson.before[0], lesson.after[0]), max(lesson.before[2], lesson.after[2])
    left, right = LEFT, WIDTH - RIGHT

    def at(value: float) -> float:
        return left + (value - low) / ((high - low) or 1.0) * (right - left)

    said = _lesson(lesson, say, lesson.after)
    d.text(left, y, f"{lesson.name}: {said if len(lesson.name + said) < 52 else said.split(' (')[0]}", kind="small "
        "halo")
    d.rect(at(lesson.before[0]), y + 7, max(at(lesson.before[2]) - at(lesson.before[0]), 2), 9, "fill-holder")
    d.rect(at(lesson.after[0]), y + 17, max(at(lesson.after[2]) - at(lesson.after[0]), 2), 9, "fill-a", "thin")
    d.line([at(lesson.before[1])] * 2, [y + 6, y + 17], "ink")
    d.dot(at(lesson.after[1]), y + 21.5, "a", "diamond", 5)


def more(r: After, say: Say) -> str:
    features = "".join(
        f"<tr><td>{i}</td><td>{escape(e.feature)}</td><td>{escape(e.made)}</td><td>{_size(say, e.predicted)}</td>"
        f"<td>{_size(say, e.low)} to {_size(say, e.high)}</td></tr>" for i, e in enumerate(r.expected, 1))
    taught = "".join(
        f"<tr><td>{escape(x.name)}</td><td>{_lesson(x, say, x.before)}</td><td>{_lesson(x, say, x.after)}</td>"
        f"<td>{_rests_on(x)}</td></tr>" for x in r.lessons)
    learned = (
        f"<table><tr><th>learned</th><th>before</th><th>after</th><th></th></tr>{taught}</table>" if taught else "")
    holder = "you measured it" if r.weighed else "assumed from the tables; weigh yours in chapter 3"
    return (
        "<table><tr><th></th><th>feature</th><th>made</th><th>predicted</th><th>90 % "
        f"range</th></tr>{features}</table>{learned}"
        f"<p>Ranges hold nine times in ten. Results kept before that take part: {r.earlier}. The holder before: "
        f"{holder}. "
        "Estimates are worked out afresh from all results kept, so taking a result out undoes exactly what it "
        "taught.</p>"
    )


# ---- buttons for the plan's page --------------------------------------------------------------------


def sheet_buttons(plan_of: Callable[..., Plan]) -> tuple[Press, ...]:
    """Save the sheet to print, in mm or inch, and remember what it predicts; plan_of(**values) gives the plan."""

    def save(heard: Callable[[int, int], None], say: Say, paper: str, **values: Any) -> str:
        places = operation_sheet.keep(operation_sheet.of_plan(plan_of(**values), say, heard), say, paper)
        return Saved(
            f"Saved: {', '.join(p.name for p in places)} in {places[0].parent}. Open the first in a browser and print "
            "it: it takes two pages or three.", *places)

    def metric(heard: Callable[[int, int], None], **values: Any) -> str:
        return save(heard, Say(), "A4", **values)

    def inch(heard: Callable[[int, int], None], **values: Any) -> str:
        return save(heard, Say(True), "Letter", **values)

    def remember(**values: Any) -> str:
        plan = plan_of(**values)
        made = learning.keep_expected(str(plan.part.name), learning.expected_of(plan))
        return (f"Remembered as record {made['id']}: {len(made['features'])} sizes of {plan.part.name}. When they are "
            "measured, choose " f"“{SHEETS[1]}” under Afterwards.")

    return (Press("save the sheet, mm on A4", metric, "a page to print, a list to tick off and a table", long=True),
        Press("save the sheet, inch on Letter", inch, "the same with inches", long=True),
        Press("remember this sheet", remember, "so that results can be set beside it another day"))


# ---- the buttons -----------------------------------------------------------------------------------


def keep(sheet: str, measured: str, earlier: bool) -> str:
    """Save the results typed in."""
    if sheet == SHEETS[0]:
        raise Refused(
            "These are the example's results, so they are not kept: your shop would learn from parts it never made. "
            "Remember a sheet of your own first.")
    r = compute(sheet, measured, False)
    numbers = learning.keep_results(r.results, r.part)
    return (f"Kept {len(numbers)} result{'s' if len(numbers) != 1 else ''} as record{'s' if len(numbers) != 1 else ''} "
        f"{', '.join(map(str, numbers))}. “Take out the last result” undoes them one at a time.")


def use(sheet: str, measured: str, earlier: bool) -> str:
    """Let plans use what the results kept have taught; what is only typed in does not count."""
    mine = tools.own_shop(accepted=False)
    stiff = mine.holder.stiffness
    found = learning.lessons(learning.kept_results(),
        (stiff.value, float(np.clip(np.sqrt(stiff.high / stiff.low), 1.02, 10))), mine.reamed_holes,
        shop.records("repeatability"))
    learning.accept(found)
    return (f"From now on plans use: {'; '.join(f'{x.name} {_lesson(x, Say(), x.after)}' for x in found)}. “Take it "
        "back” undoes this.")


def take_back(sheet: str, measured: str, earlier: bool) -> str:
    """Leave what was learned out of plans again."""
    learning.withdraw()
    return (
        "Taken back: plans go by the tables and your own measurements again. The results are still kept: “use what was "
        "learned” " "brings it back.")


def take_out(sheet: str, measured: str, earlier: bool) -> str:
    """Leave the result kept last out of everything."""
    kept = shop.records(learning.RESULT)
    if not kept:
        raise Refused("No result is kept, so there is none to take out.")
    last = kept[-1]
    shop.forget(last["id"])
    feature = str((last.get("expected") or {}).get("feature", "a result"))
    return (f"Taken out: {feature} (record {last['id']}). {len(kept) - 1 or 'None'} "
        f"{'is' if len(kept) <= 2 else 'are'} " "left. What plans use changes when you press “use what was learned”.")


AFTERWARDS = Page(name="afterwards", title="Afterwards: what came out, and what the shop learns",
    inputs=(Choose("sheet", SHEETS, SHEETS[0], "work", "results for"),
    Write("measured", EXAMPLE_READINGS, "cut", "measured, mm or inch: a line for each feature",
    "feature or its number, a colon, one reading or several; 12,5 counts as 12.5; inches are known by their "
    "size, or say in", rows=7), Tick("earlier", True, "view", "with the results kept before")), compute=compute,
    picture=picture, words=words, more=more,
    presses=(Press("keep these results", keep, "saves them in your shop file"),
    Press("take out the last result", take_out, "what is kept by mistake teaches no more"),
    Press("use what was learned", use, "plans then reckon with it"),
    Press("take it back", take_back, "plans then go by the tables again")))
