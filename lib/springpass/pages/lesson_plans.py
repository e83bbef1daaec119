"""Lesson plans on the page and on paper: what happens when, which page to show, what to ask, what to beware of."""

from __future__ import annotations

import importlib.util
from dataclasses import dataclass
from functools import cache
from html import escape
from pathlib import Path
from typing import Any

from ..core.quantity import Refused, Say
from ..printing import pages_to_print
from ..screen.downloads import Saved
from ..screen.draw import WIDTH, Drawing
from ..screen.page import Choose, Page, Press, Slide, called, head
from ..teaching import exercises, lessons
from ..teaching.lessons import FIRST, KINDS, Demonstration, Lesson, Look, Plan, Question, Step

METRIC, INCH = "mm and µm", "inch and thou"
LONG = {"45 minutes": 45, "90 minutes": 90}
FILLS = {"talk": "paper", "predict": "fill-d", "page": "fill-a", "lathe": "fill-b", "exercises": "fill-c",
    "pause": "paper"}
MINUTES = ("The minutes are meant for twelve learners with one screen and one lathe. A setting that is not named stays "
    "as it is; if the class has moved others, open the page again before you set it.")
STYLE = Path(__file__).with_name("lesson_plans.css").read_text(encoding="utf-8")


@dataclass(frozen=True)
class Shown:
    """A lesson, the plan of it that is wanted, and how to write lengths."""

    lesson: Lesson
    plan: Plan
    say: Say
    paper: str

    @property
    def heading(self) -> str:
        return f"{self.lesson.title}: {self.plan.minutes} minutes"


def page_of(name: str) -> Page:
    """The page that a lesson calls "boring_bar.BEND". Raises Refused where there is none."""
    module, _, what = name.partition(".")
    known = importlib.util.find_spec(f"springpass.pages.{module}")
    found = getattr(importlib.import_module(f"springpass.pages.{module}"), what, None) if known else None
    if not isinstance(found, Page):
        raise Refused(f"There is no page “{name}”.")
    return found


def values_of(look: Look) -> dict[str, Any]:
    """The settings a lesson asks for, in library units. Raises Refused for an input or a value the page does not have.
    """
    page = page_of(look.page)
    known = {what.name: what for what in page.inputs}
    values = {}
    for name, value in look.settings:
        what = known.get(name)
        values[name] = what.quantity.from_shown(value) if isinstance(what, Slide) else value
    page.values(**values)
    return values


@cache
def said(look: Look, inch: bool = False) -> str:
    """All that the page says at these settings."""
    return head(page_of(look.page).answer(Say(inch), **values_of(look)))


def title_of(notebook: str) -> str:
    """What a notebook is called for a reader: its chapter's title."""
    chapter = exercises.chapters().get(notebook)
    return f"chapter {chapter.title}" if chapter else f"the notebook {notebook.replace('_', ' ')}"


# ---- one plan in HTML -----------------------------------------------------------------------------


@cache
def stated(plan: Plan) -> dict[int, tuple[dict[str, Any], ...]]:
    """For each step, the settings to state for each of its looks: its own, and back to how the page opens whatever an
    earlier look of this plan has changed. Carried out in order they bring every page to where the look wants it.
    """
    left: dict[str, set[str]] = {}
    found = {}
    for number, looks in enumerate(plan.looks):
        each = []
        for look in looks:
            own, usual = values_of(look), page_of(look.page).usual()
            changed = left.get(look.page, set())
            each.append({name: own.get(name, usual[name]) for name in usual if name in own or name in changed})
            left[look.page] = {name for name in own if own[name] != usual[name]}
        found[number] = tuple(each)
    return found


def look_html(look: Look, say: Say, values: dict[str, Any]) -> str:
    page = page_of(look.page)
    known = {what.name: what for what in page.inputs}
    parts = []
    for name, value in values.items():
        what = known[name]
        if isinstance(what, Slide):
            shown = what.quantity.text(value, say.inch)
        else:
            shown = {True: "ticked", False: "not ticked"}.get(value, f"“{str(value).replace(chr(10), ' / ')}”")
        parts.append(f"{called(what)} {shown}")
    settings = f"Set {escape('; '.join(parts))}." if parts else "As it opens."
    quoted = said(look, True).split("\n")[0] if say.inch else look.shows
    return (f'<div class="see"><b>{escape(page.title)}</b> ({escape(title_of(look.notebook))}) {settings} It says: '
        f'“{escape(quoted.rstrip("."))}”.</div>')


def question_html(question: Question, number: int) -> str:
    wrong = "".join(f"<li>“{escape(what)}”: {escape(why)}</li>" for what, why in question.wrong)
    return (f'<div class="q"><p><b>{number}. {escape(question.asks)}</b></p><p>Expect: {escape(question.answer)} '
        f'{origin(question.basis, question.source)}</p>' f"<p>Usual wrong answers:</p><ul>{wrong}</ul></div>")


def origin(basis: str, source: str) -> str:
    """Where a figure comes from; which function computed it stands in the data, for those who change them."""
    if basis == "computed":
        return '<span class="small">(computed by the workbook)</span>'
    return f'<span class="small">({escape(f"{basis}: {source}" if source else basis)})</span>'


def demonstration_html(one: Demonstration, plan: Plan, say: Say) -> str:
    steps = "".join(f"<li>{escape(text)}</li>" for text in one.do)
    care = "".join(f"<p>▲ {escape(text)}</p>" for text in (*one.cautions, FIRST))
    number = next(number for number, step in enumerate(plan.steps) if one in step.demonstrations)
    first = plan.looks[number].index(one.looks[0]) if one.looks else 0
    looks = "".join(look_html(look, say, values)
        for look, values in zip(one.looks, stated(plan)[number][first:], strict=False))
    return (f'<h2>At the lathe: {escape(one.title)}</h2><div class="warn">{care}</div><ol>{steps}</ol>'
        f"<p><b>What comes out.</b> {escape(one.expect)} {origin(one.basis, one.source)}</p>{looks}"
        f"<p><b>Without a lathe.</b> {escape(one.without)}</p>")


def exercise_title(name: str) -> str:
    every = exercises.chapter(name.split("/")[0]).exercises
    return next(f"{number} “{one.title}”" for number, one in enumerate(every, 1) if one.name == name)


def step_html(step: Step, start: int, plan: Plan, say: Say) -> str:
    stop = "" if step.title[-1] in "?!" else "."
    settings = stated(plan)[plan.steps.index(step)]
    own = settings[len(settings) - len(step.looks):]
    body = f"<p><b>{escape(step.title)}{stop}</b> {escape(step.says)}</p>" + "".join(
        look_html(look, say, values) for look, values in zip(step.looks, own, strict=True))
    if step.questions:
        body += (f"<p>Ask {'question' if len(step.questions) == 1 else 'questions'} "
            f"{', '.join(str(plan.questions.index(q) + 1) for q in step.questions)}.</p>")
    if step.demonstrations:
        body += (f"<p>Demonstration below: {escape('; '.join(one.title for one in step.demonstrations))}. Read its "
            "cautions out first.</p>")
    for begins, listed in (("Exercises of", step.exercises), ("For those who are done, of", step.spare)):
        for chapter in dict.fromkeys(name.split("/")[0] for name in listed):
            body += (f"<p>{begins} {escape(title_of(chapter))}: "
                f"{escape(', '.join(exercise_title(n) for n in listed if n.startswith(chapter)))}.</p>")
    return f'<tr><td style="white-space:nowrap"><b>{start}–{start + step.minutes}</b></td><td>{body}</td></tr>'


@cache
def inner(shown: Shown) -> str:
    """The plan without its page: heading, aims, what to bring, the minutes, demonstrations, questions."""
    one, plan = shown.lesson, shown.plan
    listed = ["".join(f"<li>{escape(text)}</li>" for text in texts) for texts in (one.aims, one.bring)]
    steps = "".join(step_html(step, start, plan, shown.say) for step,
        start in zip(plan.steps, plan.starts, strict=True))
    questions = "".join(question_html(question, number) for number, question in enumerate(plan.questions, 1))
    return (f"<h1>{escape(shown.heading)}</h1><p>{escape(one.question)}</p><h2>Afterwards a learner "
        f"can</h2><ul>{listed[0]}</ul><h2>Bring</h2><ul>{listed[1]}</ul>"
        f'<h2>Minute by minute</h2><p class="small">{escape(MINUTES)}</p><table class="when">'
        f"<thead><tr><th>min</th><th></th></tr></thead><tbody>{steps}</tbody></table>"
        f'{"".join(demonstration_html(d, plan, shown.say) for d in plan.demonstrations)}'
        f"<h2>Questions and what to expect</h2>{questions}")


def printable(shown: tuple[Shown, ...]) -> str:
    """Plans as one HTML page to print, each beginning on a page of its own; several have a list of contents."""
    several = len(shown) > 1
    body = "".join(f'<article style="page:plan{number}" id="plan{number}">'
        f"{f'<p class=small>Plan {number}</p>' if several else ''}{inner(one)}</article>" for number,
        one in enumerate(shown, 1))
    feet = "".join(f'@page plan{number}{{@bottom-left{{content:"{f"Plan {number}: " if several else ""}'
        f'{_in_css(one.heading)}"}}}}' for number, one in enumerate(shown, 1))
    contents = "".join(f'<li><a href="#plan{number}">{escape(one.heading)}</a></li>' for number,
        one in enumerate(shown, 1))
    front = f'<section class="contents"><h1>Lesson plans</h1><ol>{contents}</ol></section>' if several else ""
    return pages_to_print.page(shown[0].heading if not several else "Lesson plans", front + body, shown[0].paper,
        STYLE + feet)


def _in_css(text: str) -> str:
    """A text as it may stand between quotation marks of a style sheet, inside a page."""
    return "".join(c if c.isalnum() or c in " ,.:;-?!" else f"\\{ord(c):x} " for c in text)


# ---- the page -------------------------------------------------------------------------------------


def picture(shown: Shown, say: Say) -> str:
    plan = shown.plan
    up = 8.0 if plan.minutes <= 50 else 5.0 if plan.minutes <= 95 else 4.4
    d = Drawing(shown.heading, words(shown, say), WIDTH, 34 + up * plan.minutes)
    d.text(8, 18, "minute by minute", kind="small halo")
    for step, start in zip(plan.steps, plan.starts, strict=True):
        y, kind = 28 + up * start, KINDS[step.kind]
        d.rect(46, y, WIDTH - 54, up * step.minutes, FILLS[kind], "thin", 12 if kind == "lathe" else 0)
        middle = y + up * step.minutes / 2 + 5
        d.text(38, y + 13 if up * step.minutes > 30 else middle, str(start), "end", "small")
        d.text(54, middle, step.title, kind="halo")
        d.text(WIDTH - 14, middle, kind, "end", "small halo")
    return d.svg()


def words(shown: Shown, say: Say) -> str:
    plan = shown.plan
    at = sum(step.minutes for step in plan.steps if KINDS[step.kind] == "lathe")
    lathe = f"{at} of them at the lathe" if at else "none of them at the lathe"
    looks, asked = sum(map(len, plan.looks)), len(plan.questions)
    return (f"{shown.heading}, {lathe}. {shown.lesson.question}\n{len(plan.steps)} steps, {looks} "
        f"{'page' if looks == 1 else 'pages'} to show with settings, "
        f"{asked} {'question' if asked == 1 else 'questions'} with what to expect. {FIRST}")


def more(shown: Shown, say: Say) -> str:
    made = Shown(shown.lesson, shown.plan, Say(say.inch or shown.say.inch), shown.paper)
    return (inner(made) .replace("<h1>", "<h2>") .replace("</h1>", "</h2>")
        .replace('class="warn"', 'style="border:2px solid;padding:4px 10px;margin:8px 0"'))


def find(title: str) -> Lesson:
    return next(one for one in map(lessons.lesson, lessons.names()) if one.title == title)


def compute(lesson: str, minutes: str, units: str, paper: str) -> Shown:
    """One lesson's plan in the minutes there are, ready to print. Raises Refused for a lesson that is not there."""
    one = find(lesson)
    return Shown(one, one.plan(LONG[minutes]), Say(units == INCH), paper)


def compute_evening(evening: str, units: str, paper: str) -> Shown:
    """One evening of the club's course, ready to print. Raises Refused for an evening that is not there."""
    one = find(evening)
    return Shown(one, one.plan(), Say(units == INCH), paper)


def write(name: str, shown: tuple[Shown, ...]) -> str:
    place = pages_to_print.save(name, printable(shown))
    made = pages_to_print.to_pdf(place)
    return Saved(f"Written: {place.name}, in {place.parent}. {made.says}", place, *([made.path] if made.path else []))


def write_plan(**values: Any) -> str:
    shown = compute(**values)
    return write(f"lesson_{shown.lesson.name}_{shown.plan.minutes}", (shown,))


def write_all(units: str, paper: str, **values: Any) -> str:
    every = [lessons.lesson(name) for name in lessons.names()]
    return write("lesson_plans",
        tuple(Shown(one, plan, Say(units == INCH), paper) for one in every for plan in one.plans))


def write_evening(**values: Any) -> str:
    return write("lesson_" + compute_evening(**values).lesson.name, (compute_evening(**values),))


def write_course(units: str, paper: str, **values: Any) -> str:
    return write("lesson_club_course",
        tuple(Shown(one, one.plan(), Say(units == INCH), paper) for one in map(find, EVENINGS)))


TITLES = tuple(lessons.lesson(name).title for name in lessons.names() if not name.startswith("club"))
EVENINGS = tuple(lessons.lesson(name).title for name in lessons.names() if name.startswith("club"))
VIEW = (Choose("units", (METRIC, INCH), METRIC, "view", "units in the plan"),
    Choose("paper", tuple(pages_to_print.PAPERS), "A4", "view"))

PAGE = Page(name="lesson_plans", title="Lesson plans for the chapters",
    inputs=(Choose("lesson", TITLES, "3 The boring bar", "work"),
    Choose("minutes", tuple(LONG), "45 minutes", "work", "how long"), *VIEW), compute=compute, picture=picture,
    words=words, more=more,
    presses=(Press("write this plan", write_plan, "to print: HTML, and a PDF where a Chromium is installed"),
    Press("write all plans", write_all, "every lesson in one file")))

COURSE = Page(name="club_course", title="A course of four evenings for a club",
    inputs=(Choose("evening", EVENINGS, EVENINGS[0], "work"), *VIEW), compute=compute_evening, picture=picture,
    words=words, more=more,
    presses=(Press("write this evening", write_evening, "to print: HTML, and a PDF where a Chromium is installed"),
    Press("write the course", write_course, "all four evenings in one file")))
