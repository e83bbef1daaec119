"""Questions in the notebook: the prediction before a page, and the exercises at a chapter's end.

    predict("03_boring_bar")    # silent until answered; blocks nothing
    practise("03_boring_bar")   # exercises with the learner's own numbers; answers, hints, solutions, progress

All that is judged is judged in practice.py, all that is kept is kept by progress.py. Beside page.py the only module
with widgets.
"""

from __future__ import annotations

import logging
import textwrap
from collections.abc import Callable
from html import escape
from typing import Any

import ipywidgets as w

from ..core import files
from ..core.quantity import Refused, Say
from ..teaching import exercises, progress
from ..teaching.practice import EXAMPLE, Chapter, Exercise, Heard, Task, check, compare, pose
from . import page
from .accessibility import HELP, headed
from .downloads import Saved

STYLE = """<style>
.sp-ask{max-width:860px}
.sp-ask .sp-asks{font-size:15.5px;line-height:1.42;margin:4px 0 2px;white-space:normal}
.sp-ask .sp-card{border-top:1px solid var(--jp-border-color2,#ccc);padding:8px 0 6px;overflow:visible}
.sp-ask .sp-go{display:flex;flex-flow:row wrap;align-items:center;gap:4px 6px;overflow:visible}
.sp-ask .sp-go>*{margin:1px 0}
.sp-ask .sp-go .widget-text{flex:0 1 190px;width:auto;height:auto}
.sp-ask .sp-go .widget-text.sp-word{flex:0 1 290px}
.sp-ask .sp-go .widget-text input{min-height:30px;font-size:15px}
.sp-ask .sp-go .widget-button{width:auto;min-height:30px;height:auto;line-height:1.25;padding:3px 11px;white-space:normal}
.sp-ask .widget-toggle-buttons{width:auto;height:auto}
.sp-ask .widget-toggle-buttons .widget-toggle-button{width:auto;min-width:64px;height:auto;min-height:30px;line-height:1.25;padding:3px 12px;white-space:normal}
.sp-ask .widget-html,.sp-ask .widget-html-content{width:100%;max-width:100%;margin:0;line-height:1.4;white-space:normal;height:auto;overflow:visible}
.sp-ask .sp-says{padding:4px 9px;margin:3px 0;border-left:4px solid #c26a16;font-size:15px;background:var(--jp-layout-color2,#f3f3f3)}
.sp-ask .sp-says.sp-right{border-left-color:#2f7d4f}
.sp-ask .sp-says.sp-plain{border-left-color:var(--jp-border-color1,#bbb)}
.sp-ask .sp-solution{padding:2px 10px;margin:3px 0;border:1px solid var(--jp-border-color2,#ccc);border-radius:5px;overflow-x:auto;font-size:15px}
.sp-ask .sp-solution math{font-size:17px;margin:4px 0}.sp-ask .sp-solution p{margin:4px 0}
@media (max-width:760px){.sp-ask .widget-button,.sp-ask .sp-go .widget-text input,.sp-ask .widget-toggle-button{min-height:44px!important}
 .sp-ask .sp-go .widget-text{flex:1 1 150px}}
</style>"""


def _said(heard: Heard) -> str:
    mark = "✓" if heard.right else "✗"
    return f'<div class="sp-says{" sp-right" if heard.right else ""}">{mark} {escape(heard.says)}</div>'


def _beside(heard: Heard) -> str:
    """A prediction's sentence: it is not marked, only set beside the result."""
    return ('<div class="sp-says '
            f'sp-{"right" if heard.right else "plain"}">{"✓ " if heard.right else ""}{escape(heard.says)}</div>')


def _told(text: str) -> str:
    return f'<div class="sp-says">{escape(text)}</div>' if text else ""


def _safely(act: Callable[[], None], tell: Callable[[str], None]) -> None:
    """Do it; what goes wrong is told on the page in a sentence."""
    try:
        act()
        kept = files.notices()
        if kept:
            tell(" ".join(kept))
    except Refused as refusal:
        tell(str(refusal))
    except Exception as mishap:
        logging.getLogger("springpass").exception("questions")
        tell(f"Something went wrong inside the workbook ({type(mishap).__name__}). What was saved before is untouched.")


def _box(parts: list[Any], name: str) -> Any:
    box = w.Box(parts) if name == "sp-go" else w.VBox(parts)
    box.add_class(name)
    return box


def _told_box() -> Any:
    """Where something appears in answer to the learner; a screen reader speaks it."""
    box = w.HTML()
    box.add_class("sp-live")
    return box


def _field(task: Task, say: Say, name: str) -> Any:
    """Where the answer goes: a few buttons or a box to type in; its name is for those who hear it."""
    if task.options:
        buttons = w.ToggleButtons(options=list(task.options), value=None, tooltips=list(task.options), description=name)
        buttons.add_class("sp-field")
        return buttons
    box = w.Text(
        description=name,
        placeholder=f"number{', ' + task.wanted(say) if task.wanted(say) else ''}",
        continuous_update=False,
        tooltip="your answer; Enter gives it",
    )
    box.layout.width = "auto"
    box.add_class("sp-field")
    return box


def _plain(text: str, first: str = "", rest: str = "") -> str:
    return textwrap.fill(text, 100, initial_indent=first, subsequent_indent=rest)


# ---- predict --------------------------------------------------------------------------------------


class Predict:
    """One question before the page; the answer is shown beside the result once there is one."""

    def __init__(self, chapter: Chapter, inch: bool = False) -> None:
        assert chapter.prediction
        self.chapter, self.task, self.say = chapter, chapter.prediction, Say(inch)
        self._setting = False
        self.told, self.note = _told_box(), _told_box()
        self.field = _field(self.task, self.say, "your guess")
        self.field.observe(lambda change: self.guess(change["new"]), "value")
        parts = (
            [self.field]
            if self.task.options
            else [self.field, w.HTML(self.task.wanted(self.say), layout=w.Layout(width="auto"))]
        )
        asks = w.HTML(
            f'{HELP}{STYLE}<div class="sp-asks"><b role="heading" aria-level="3">Your guess first.</b> '
            f'{escape(self.task.asks)}</div>'
        )
        self.widget = _box([asks, _box(parts, "sp-go"), self.told, self.note], "sp-ask")
        _safely(self._recall, self._tell)

    def _tell(self, text: str) -> None:
        self.note.value = _told(text)

    def _recall(self) -> None:
        kept = progress.pages(*progress.who())["predictions"].get(self.chapter.name)
        if kept and isinstance(kept.get("typed"), str):
            self._setting = True
            try:
                self.field.value = kept["typed"]
                self.told.value = _beside(compare(self.task, kept["typed"], Say(bool(kept.get("inch")))))
            except Exception:   # a kept guess that no longer fits the question is simply not shown
                self.field.value = None if self.task.options else ""
            finally:
                self._setting = False

    def guess(self, typed: str | None) -> None:
        """Take a prediction; an empty one takes it back to silence."""
        self.note.value = ""
        if self._setting or not typed or not typed.strip():
            self.told.value = "" if not self._setting else self.told.value
            return

        def act() -> None:
            heard = compare(self.task, typed, self.say)
            self.told.value = _beside(heard)
            learner, group = progress.who()
            progress.note("predictions", self.chapter.name, learner, group, typed=typed, value=heard.value,
                          unit="" if self.task.options else self.task.unit,
                          inch=self.say.inch, right=heard.right, slip=heard.slip)

        _safely(act, self._tell)

    def use(self, inch: bool) -> None:
        self.say = Say(inch)

    def still(self) -> dict[str, str]:
        choices = f" ({' / '.join(self.task.options)})" if self.task.options else ""
        return {"text/plain": _plain(f"Your guess first. {self.task.asks}{choices}")}


# ---- exercises ------------------------------------------------------------------------------------


class Card:
    """One exercise: the question, a box, check, hint, solution."""

    def __init__(self, sheet: Practise, number: int, exercise: Exercise) -> None:
        self.sheet, self.number, self.exercise = sheet, number, exercise
        self.task = pose(exercise, *sheet.who, sheet.say)
        self.asks, self.told, self.hints, self.solution = w.HTML(), _told_box(), _told_box(), w.HTML()
        self.field = _field(self.task, sheet.say, f"your answer to {number}")
        self.unit = w.HTML(layout=w.Layout(width="auto"))
        self.hinted, self._setting = 0, False
        self.field.observe(lambda change: self.answer(), "value")
        self.check_button = self._button("check", self.answer)
        self.hint_button = self._button("hint", self.hint)
        self.solution_button = self._button("worked solution", self.unfold)
        row = [
            self.field,
            self.unit,
            *([] if self.task.options else [self.check_button]),
            self.hint_button,
            self.solution_button,
        ]
        self.widget = _box([self.asks, _box(row, "sp-go"), self.told, self.hints, self.solution], "sp-card")
        self.pose()

    def _button(self, label: str, does: Callable[[], None]) -> Any:
        button = w.Button(description=label, tooltip=f"{label}: exercise {self.number}")
        button.on_click(lambda _: does())
        return button

    def _tell(self, text: str) -> None:
        self.told.value = _told(text)

    def pose(self) -> None:
        """Put the question again, with the present word and units, and what was answered under that word."""
        self.task = pose(self.exercise, *self.sheet.who, self.sheet.say)
        do = "<i>To do.</i> " if self.exercise.hands else ""
        self.asks.value = (f'<div class="sp-asks"><b role="heading" aria-level="3">{self.number}. '
                           f'{escape(self.exercise.heading)}</b> {do}{escape(self.task.asks)}</div>')
        self.unit.value = escape(self.task.wanted(self.sheet.say))
        kept = self.sheet.kept.get(self.exercise.name, {})
        self.hinted = 0
        self.hints.value = self.solution.value = self.told.value = ""
        self._setting = True
        try:
            typed = kept.get("typed")
            if self.task.options:
                self.field.options = list(self.task.options)
                self.field.value = typed if typed in self.task.options else None
            else:
                self.field.value = typed if isinstance(typed, str) else ""
            if self.field.value:
                # a number without a unit means what it meant when it was typed
                self.told.value = _said(check(self.task, self.field.value, Say(bool(kept.get("inch")))))
        except Refused as refusal:
            self._tell(str(refusal))
        finally:
            self._setting = False

    def answer(self) -> None:
        """Check what stands in the box; nothing happens while it is empty."""
        typed = self.field.value
        if self._setting or not typed or not typed.strip():
            return

        def act() -> None:
            self.told.value = ""   # what was said of an earlier answer goes, whatever is said of this one
            heard = check(self.task, typed, self.sheet.say)
            self.told.value = _said(heard)
            self.sheet.note(
                self.exercise.name,
                typed=typed,
                value=heard.value,
                unit="" if self.task.options else self.task.unit,
                inch=self.sheet.say.inch,
                right=heard.right,
                slip=heard.slip,
                tries=1,
            )

        _safely(act, lambda text: self.sheet.tell(text) if self.told.value else self._tell(text))

    def hint(self) -> None:
        """The first hint, then the second."""
        self.hinted = min(self.hinted + 1, len(self.task.hints))
        self.hints.value = "".join(
            f'<div class="sp-says sp-plain">Hint {i}: {escape(text)}</div>'
            for i, text in enumerate(self.task.hints[: self.hinted], 1)
        )
        _safely(lambda: self.sheet.note(self.exercise.name, hints=self.hinted), self.sheet.tell)

    def unfold(self) -> None:
        """The worked solution with these numbers; once more folds it."""
        if self.solution.value:
            self.solution.value = ""
            return

        def act() -> None:
            self.solution.value = f'<div class="sp-solution">{headed(self.task.solution(self.sheet.say))}</div>'
            self.sheet.note(self.exercise.name, solution=True)

        _safely(act, self.sheet.tell)


class Practise:
    """A chapter's exercises under the learner's word, with progress kept, reset, exported and printed."""

    def __init__(self, chapter: Chapter, inch: bool = False) -> None:
        self.chapter, self.say = chapter, Say(inch)
        self.who: tuple[str, str] = (EXAMPLE, "")
        self.kept: dict[str, Any] = {}
        self.note_box, self.status = _told_box(), _told_box()
        _safely(self._recall, self.tell)
        self.learner = w.Text(
            value=self.who[0],
            description="your word",
            continuous_update=False,
            tooltip="a short word; your numbers follow from it",
        )
        self.group = w.Text(
            value=self.who[1],
            description="class, if any",
            continuous_update=False,
            tooltip="the word your class has agreed on",
        )
        for box in (self.learner, self.group):
            box.style.description_width = "initial"
            box.layout.width = "auto"
            box.add_class("sp-word")
            box.observe(lambda change: self.call(), "value")
        self.cards = [Card(self, number, exercise) for number, exercise in enumerate(chapter.exercises, 1)]
        self.sure = False
        self.reset_button = self._button("start again", self.reset)
        below = [
            self._button("bring it back", self.bring_back),
            self._button("save as a table", self.export),
            self._button("sheet to print", self.printed),
        ]
        head = w.HTML(
            f'{HELP}{STYLE}<div class="sp-asks">Choose a short word: your numbers are drawn from it, and the same word '
            'brings them back. '
            "Answer in mm, µm or inch; comma or point.</div>"
        )
        self.widget = _box(
            [
                head,
                _box([self.learner, self.group], "sp-go"),
                self.status,
                *(card.widget for card in self.cards),
                _box([self.reset_button, *below], "sp-go"),
                self.note_box,
            ],
            "sp-ask",
        )
        self._status()

    def _button(self, label: str, does: Callable[[], None]) -> Any:
        button = w.Button(description=label, tooltip=label)
        button.on_click(lambda _: does())
        return button

    def tell(self, text: str) -> None:
        self.note_box.value = _told(text)

    def _recall(self) -> None:
        self.who = progress.who()
        self.kept = progress.pages(*self.who)["exercises"]

    def _status(self) -> None:
        def act() -> None:
            self.status.value = f'<div class="sp-asks">{escape(progress.summary(self.chapter, *self.who))}</div>'

        _safely(act, self.tell)

    def note(self, name: str, **facts: Any) -> None:
        self.kept[name] = progress.note("exercises", name, *self.who, **facts)
        self._status()

    def _again(self) -> None:
        self.kept = progress.pages(*self.who)["exercises"]
        for card in self.cards:
            card.pose()
        self._status()

    def call(self) -> None:
        """Take the word and the class that stand in their boxes."""
        def act() -> None:
            self.note_box.value = ""
            self.who = progress.call_me(self.learner.value, self.group.value)
            self._again()

        _safely(act, self.tell)

    def use(self, inch: bool) -> None:
        self.say = Say(inch)
        for card in self.cards:
            card.pose()

    def reset(self) -> None:
        """The first press asks, the second starts afresh."""
        if not self.sure:
            self.sure = True
            self.reset_button.description = "really start again?"
            return

        def act() -> None:
            progress.reset(*self.who)
            self._again()
            self.tell("Started afresh. “bring it back” fetches what was there.")

        self.sure = False
        self.reset_button.description = "start again"
        _safely(act, self.tell)

    def bring_back(self) -> None:
        def act() -> None:
            progress.bring_back(*self.who)
            self._again()
            self.tell("What was put by is back.")

        _safely(act, self.tell)

    def _hand_out(self, name: str, text: str) -> None:
        path = files.put(name, text)
        says = Saved(
            " ".join([f"Saved as {path}.", *files.notices()]), path
        )  # what else is to be told must not take the link away
        self.note_box.value = f'<div class="sp-says sp-right">{escape(says)}{says.links()}</div>'

    def export(self) -> None:
        """What is noted under this word as a table (CSV), in the user's folder and as a link."""
        _safely(lambda: self._hand_out("progress.csv", progress.table(*self.who)), self.tell)

    def printed(self) -> None:
        """This chapter's sheet as a page to print."""
        _safely(
            lambda: self._hand_out(
                f"sheet_{self.chapter.name}.html", progress.sheet([self.chapter], *self.who, self.say)
            ),
            self.tell,
        )

    def still(self) -> dict[str, str]:
        lines, answers = (
            [f"Exercises with the example's numbers (word “{EXAMPLE}”); in a running notebook with your own."],
            [],
        )
        for number, exercise in enumerate(self.chapter.exercises, 1):
            task = pose(exercise)
            choices = f" ({' / '.join(task.options)})" if task.options else ""
            lines.append(_plain(f"{exercise.heading} {task.asks}{choices}", f"{number}. ", "   "))
            answers.append(f"{number}. {'about ' if task.span else ''}{task.answer_text()}")
        return {"text/plain": "\n\n".join([*lines, _plain("Answers: " + "; ".join(answers) + ".")])}


def predict(name: str) -> None:
    """Ask for a prediction in the chapter's notebook."""
    asked = Predict(exercises.chapter(name), page._inch)
    page.put(asked, asked.still())


def practise(name: str) -> None:
    """Put the chapter's exercises into its notebook."""
    sheet = Practise(exercises.chapter(name), page._inch)
    page.put(sheet, sheet.still())
