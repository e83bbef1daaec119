"""Questions in the notebook: the prediction before a page, and the exercises at a chapter's end.

    predict("03_boring_bar")    # silent until answered; blocks nothing
    practise("03_boring_bar")   # exercises with the learner's own numbers; answers, hints, solutions, progress

All that is judged is judged in practice.py, all that is kept is kept by progress.py.
"""

from __future__ import annotations

import logging
import textwrap
import weakref
from collections.abc import Callable, Sequence
from html import escape
from typing import Any, ClassVar

from ..core import files
from ..core.quantity import Refused, Say
from ..teaching import exercises, progress
from ..teaching.practice import EXAMPLE, Chapter, Exercise, Heard, Task, check, compare, pose
from . import page
from .downloads import Saved


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
        tell(f"This is an error of the workbook ({type(mishap).__name__}), not of what you typed. What was saved "
            "before is untouched. Please report it; the log of the notebook holds the details.")


def _field(task: Task, say: Say, label: str, value: str) -> dict[str, Any]:
    """Where the answer goes: a few buttons or a box to type in; its label is for those who hear it."""
    wanted = task.wanted(say)
    if task.options:
        return {"id": "answer", "label": label, "hide": True, "options": list(task.options), "value": value}
    return {"id": "answer", "label": label, "hide": True, "value": value, "unit": wanted,
        "hint": f"number{', ' + wanted if wanted else ''}"}


def _button(name: str, says: str = "") -> dict[str, Any]:
    return {"id": name, "label": name, "says": says}


def _block(name: str, asks: str = "", says: str = "", after: str = "", fields: Sequence[dict[str, Any]] = (),
        buttons: Sequence[dict[str, Any]] = (), kind: str = "") -> dict[str, Any]:
    """One block of page.js: a question, fields and buttons, what is said of the answer, and what comes after."""
    return {"id": name, "class": kind, "asks": asks, "says": says, "after": after, "fields": list(fields),
        "buttons": list(buttons)}


def _asks(head: str, text: str) -> str:
    return f'<div class="sp-asks"><b role="heading" aria-level="3">{escape(head)}</b> {text}</div>'


def _plain(text: str, first: str = "", rest: str = "") -> str:
    return textwrap.fill(text, 100, initial_indent=first, subsequent_indent=rest)


class _Asked:
    """What predictions and exercises have in common: blocks, shown anew after whatever the reader does."""

    shown: ClassVar[weakref.WeakSet[_Asked]] = weakref.WeakSet()   # all in this notebook: one learner works in it

    def __init__(self, inch: bool) -> None:
        from .front import Front  # widgets only where a notebook asks

        self.say = Say(inch)
        self.begin()
        self.shown.add(self)
        self.front = Front("ask", self.hear, spec={"class": "sp-ask"}, answer={"blocks": self.blocks()})

    def begin(self) -> None:
        """Take up what was kept."""
        raise NotImplementedError

    def blocks(self) -> list[dict[str, Any]]:
        raise NotImplementedError

    def take(self, block: str, what: str, typed: str) -> None:
        """A field that was filled in, or a button that was pressed, with what stands in the block's box."""
        raise NotImplementedError

    def hear(self, content: dict[str, Any], buffers: Sequence[Any] = ()) -> None:
        """A message of page.js."""
        self.take(content["block"], content.get("field") or content["button"], content.get("typed") or "")
        self.front.answer = {"blocks": self.blocks()}

    def anew(self) -> None:
        """Another learner, or another word: take up what is noted of them."""
        self.begin()
        self.front.answer = {"blocks": self.blocks()}

    def use(self, inch: bool) -> None:
        self.say = Say(inch)
        self.front.answer = {"blocks": self.blocks()}


# ---- predict --------------------------------------------------------------------------------------


SOMEONE_ELSE, STILL_ME = "someone else works here now", "still me: bring my work along"


class Predict(_Asked):
    """Who works here, and one question before the page; the answer is shown beside the result once there is one."""

    def __init__(self, chapter: Chapter, inch: bool = False) -> None:
        assert chapter.prediction
        self.chapter, self.task = chapter, chapter.prediction
        self.who: tuple[str, str] = (EXAMPLE, "")
        self.note = self.typed = self.learner = self.group = self.heard = ""
        self.guessed = ""                    # the guess as it is quoted
        self.compared: Heard | None = None   # the guess beside the answer
        self.other: tuple[str, str] | None = None
        super().__init__(inch)

    @property
    def opens(self) -> dict[str, Any]:
        """Where the page that answers stands at first."""
        return self.chapter.seen.opens if self.chapter.seen else {}

    @property
    def told(self) -> str:
        """What is said of the guess here: it is noted, and where it is answered; or, where no page does, the answer."""
        if not self.compared:
            return ""
        if not self.chapter.seen:
            return _beside(self.compared)
        return (f'<div class="sp-says sp-plain">Your guess: {escape(self.guessed)}. Now move the slider: the page '
            "below answers.</div>")

    def beside(self, live: page.Live) -> str:
        """What stands beside the page's answer: the guess and, once the inputs are there, what became of it."""
        if not self.compared or not self.chapter.seen:
            return ""
        at = self.chapter.seen.at
        return (_beside(self.compared) if live.stands_at(at) else
            f'<div class="sp-says sp-plain">Your guess: {escape(self.guessed)}. {escape(live.how_to(at))}</div>')

    def _compare(self, typed: str, say: Say) -> Heard:
        heard = compare(self.task, typed, say)
        text = self.task.text_of(heard.value, say)
        self.compared, self.guessed = heard, f"“{text}”" if self.task.options else text
        return heard

    def _seen(self) -> None:
        """The page that answers stands in this notebook: it shows the guess, or no longer."""
        live = page._open.get(self.chapter.seen.page) if self.chapter.seen else None
        if live is not None and live.asked is self:
            live.render()

    def _tell(self, text: str) -> None:
        self.note = _told(text)

    def _hear(self, text: str) -> None:
        self.heard = _told(text)

    def begin(self) -> None:
        self.note = self.typed = self.heard = ""
        self.compared = None
        _safely(self._recall, self._tell)
        self._seen()
        self.learner, self.group = "" if self.who[0] == EXAMPLE else self.who[0], self.who[1]

    def _recall(self) -> None:
        self.who, self.other = progress.who(), progress.before()
        kept = progress.pages(*self.who)["predictions"].get(self.chapter.name)
        if kept and isinstance(kept.get("typed"), str):
            try:
                self._compare(kept["typed"], Say(bool(kept.get("inch"))))
                self.typed = kept["typed"]
            except Refused:   # a kept guess that no longer fits the question is simply not shown
                pass

    def blocks(self) -> list[dict[str, Any]]:
        asks = _asks("Your guess first.", escape(self.task.asks))
        return [self._who(), _block("guess", asks, self.told + self.note,
            fields=[_field(self.task, self.say, "your guess", self.typed)])]

    def _who(self) -> dict[str, Any]:
        head = _asks("Who works here?", "Alone, leave this empty. In a class, type a short word of your own and the "
            "word of your class: your exercises have numbers of their own, and your work is kept under them.")
        fields = [{"id": "learner", "label": "your word", "value": self.learner},
            {"id": "group", "label": "class, if any", "value": self.group}]
        buttons = [_button(SOMEONE_ELSE), {**_button(STILL_ME), "hide": not self.other}]
        return _block("who", head, self.heard, fields=fields, buttons=buttons, kind="sp-who")

    def take(self, block: str, what: str, typed: str) -> None:
        if block == "guess":
            self.guess(typed)
        elif what in ("learner", "group"):
            setattr(self, what, typed)
            self._call()
        else:
            _safely({SOMEONE_ELSE: self._leave, STILL_ME: self._stay}[what], self._hear)

    def _call(self) -> None:
        """Take the word and the class that stand in their boxes; a class alone waits for its word."""
        def act() -> None:
            if self.learner.strip() or self.who[0] != EXAMPLE:
                progress.call_me(self.learner, self.group)
                self._everyone("")

        self.heard = ""
        _safely(act, self._hear)

    def _leave(self) -> None:
        progress.someone_else()
        self._everyone("What was done here is kept. Type your own word, or begin without one.")

    def _stay(self) -> None:
        progress.still_me()
        self._everyone("What you guessed and solved came along.")

    def _everyone(self, text: str) -> None:
        """The learner has changed for everything that stands in this notebook."""
        for one in list(self.shown):
            one.anew()
        self.heard = f'<div class="sp-says sp-right">{escape(text)}</div>' if text else ""

    def guess(self, typed: str) -> None:
        """Take a prediction; an empty one takes it back to silence."""
        self.note, self.typed = "", typed
        if not typed.strip():
            self.compared = None
            self._seen()
            return

        def act() -> None:
            heard = self._compare(typed, self.say)
            self._seen()
            progress.note("predictions", self.chapter.name, *self.who, typed=typed, value=heard.value,
                unit="" if self.task.options else self.task.unit, inch=self.say.inch, right=heard.right,
                slip=heard.slip)

        _safely(act, self._tell)

    def still(self) -> dict[str, str]:
        choices = f" ({' / '.join(self.task.options)})" if self.task.options else ""
        return {"text/plain": _plain(f"Your guess first. {self.task.asks}{choices}")}


# ---- exercises ------------------------------------------------------------------------------------


class Card:
    """One exercise: the question, a box, check, hint, solution."""

    def __init__(self, sheet: Practise, number: int, exercise: Exercise) -> None:
        self.sheet, self.number, self.exercise = sheet, number, exercise
        self.pose()

    def _tell(self, text: str) -> None:
        self.told = _told(text)

    def pose(self) -> None:
        """Put the question again, with the present word and units, and what was answered under that word."""
        self.task = pose(self.exercise, *self.sheet.who, self.sheet.say)
        self.told = self.hints = self.solution = self.typed = ""
        self.hinted = 0
        row = self.sheet.kept.get(self.exercise.name, {})
        kept = progress.of_these(row, *self.sheet.who)
        typed = kept.get("typed")
        if row.get("right") and not kept:
            self.told = ('<div class="sp-says sp-right">✓ Solved, with the numbers of an earlier word or class. Here '
                "it is with your present numbers.</div>")
        if not isinstance(typed, str) or (self.task.options and typed not in self.task.options):
            return
        self.typed = typed
        try:
            if typed:   # a number without a unit means what it meant when it was typed
                self.told = _said(check(self.task, typed, Say(bool(kept.get("inch")))))
        except Refused as refusal:
            self._tell(str(refusal))

    def block(self) -> dict[str, Any]:
        number = self.number
        do = "<i>To do.</i> " if self.exercise.hands else ""
        names = [*([] if self.task.options else ["check"]), "hint", "worked solution"]
        return _block(str(number), _asks(f"{number}. {self.exercise.heading}", do + escape(self.task.asks)),
            self.told + self.hints, self.solution,
            [_field(self.task, self.sheet.say, f"your answer to {number}", self.typed)],
            [_button(name, f"{name}: exercise {number}") for name in names], "sp-card")

    def take(self, what: str, typed: str) -> None:
        if what == "hint":
            self.hint()
        elif what == "worked solution":
            self.unfold()
        else:
            self.answer(typed)

    def answer(self, typed: str) -> None:
        """Check an answer; nothing happens where it is empty, and the same answer again is not a new try."""
        kept = progress.of_these(self.sheet.kept.get(self.exercise.name, {}), *self.sheet.who)
        again = self.told and (kept.get("typed"), bool(kept.get("inch"))) == (typed, self.sheet.say.inch)
        if not typed.strip() or again:
            return

        def act() -> None:
            self.told, self.typed = "", typed   # what was said of an earlier answer goes, whatever is said of this one
            heard = check(self.task, typed, self.sheet.say)
            self.told = _said(heard)
            self.sheet.note(self.exercise.name, typed=typed, value=heard.value,
                unit="" if self.task.options else self.task.unit, inch=self.sheet.say.inch, right=heard.right,
                slip=heard.slip, tries=1)

        _safely(act, lambda text: self.sheet.tell(text) if self.told else self._tell(text))

    def hint(self) -> None:
        """The first hint, then the second."""
        self.hinted = min(self.hinted + 1, len(self.task.hints))
        self.hints = "".join(f'<div class="sp-says sp-plain">Hint {i}: {escape(text)}</div>' for i,
            text in enumerate(self.task.hints[:self.hinted], 1))
        _safely(lambda: self.sheet.note(self.exercise.name, hints=self.hinted), self.sheet.tell)

    def unfold(self) -> None:
        """The worked solution with these numbers; once more folds it."""
        if self.solution:
            self.solution = ""
            return

        def act() -> None:
            self.solution = f'<div class="sp-solution">{self.task.solution(self.sheet.say)}</div>'
            self.sheet.note(self.exercise.name, solution=True)

        _safely(act, self.sheet.tell)


class Practise(_Asked):
    """A chapter's exercises under the learner's word, with progress kept, reset, exported and printed."""

    def __init__(self, chapter: Chapter, inch: bool = False) -> None:
        self.chapter = chapter
        self.who: tuple[str, str] = (EXAMPLE, "")
        self.kept: dict[str, Any] = {}
        self.said = self.status = ""
        self.sure = False
        super().__init__(inch)

    def begin(self) -> None:
        self.said = ""
        _safely(self._recall, self.tell)
        self.cards = [Card(self, number, exercise) for number, exercise in enumerate(self.chapter.exercises, 1)]
        self._status()

    def blocks(self) -> list[dict[str, Any]]:
        who, group = self.who
        of = "the example" if who == EXAMPLE else f"“{who}”{f', class “{group}”' if group else ''}"
        head = (f'<div class="sp-asks">These are the numbers of {escape(of)}; your word and your class stand at '
            "the top of the chapter. Answer in mm, µm or inch; comma or point.</div>")
        again = {"id": "reset", "label": "really start again?" if self.sure else "start again", "says": ""}
        below = [again, *map(_button, ("bring it back", "save as a table", "sheet to print"))]
        return [_block("head", head, self.status), *(card.block() for card in self.cards),
            _block("below", says=self.said, buttons=below)]

    def take(self, block: str, what: str, typed: str) -> None:
        if block.isdigit():
            self.cards[int(block) - 1].take(what, typed)
        else:
            {"reset": self.reset, "bring it back": self.bring_back, "save as a table": self.export,
             "sheet to print": self.printed}[what]()

    def tell(self, text: str) -> None:
        self.said = _told(text)

    def _recall(self) -> None:
        self.who = progress.who()
        self.kept = progress.pages(*self.who)["exercises"]

    def _status(self) -> None:
        def act() -> None:
            self.status = f'<div class="sp-asks">{escape(progress.summary(self.chapter, *self.who))}</div>'

        _safely(act, self.tell)

    def note(self, name: str, **facts: Any) -> None:
        self.kept[name] = progress.note("exercises", name, *self.who, **facts)
        self._status()

    def _again(self) -> None:
        self.kept = progress.pages(*self.who)["exercises"]
        for card in self.cards:
            card.pose()
        self._status()

    def use(self, inch: bool) -> None:
        self.say = Say(inch)
        for card in self.cards:
            card.pose()
        super().use(inch)

    def reset(self) -> None:
        """The first press asks, the second starts afresh."""
        if not self.sure:
            self.sure = True
            return

        def act() -> None:
            progress.reset(*self.who)
            self._again()
            self.tell("Started afresh. “bring it back” fetches what was there.")

        self.sure = False
        _safely(act, self.tell)

    def bring_back(self) -> None:
        def act() -> None:
            progress.bring_back(*self.who)
            self._again()
            self.tell("What was put aside is back.")

        _safely(act, self.tell)

    def _hand_out(self, name: str, text: str) -> None:
        path = files.put(name, text)
        # what else is to be told must not take the link away
        says = Saved(" ".join([f"Saved as {path}.", *files.notices()]), path)
        self.said = f'<div class="sp-says sp-right">{escape(says)}{says.links()}</div>'

    def export(self) -> None:
        """What is noted under this word as a table (CSV), in the user's folder and as a link."""
        _safely(lambda: self._hand_out("progress.csv", progress.table(*self.who)), self.tell)

    def printed(self) -> None:
        """This chapter's sheet as a page to print."""
        _safely(lambda: self._hand_out(f"sheet_{self.chapter.name}.html",
            progress.sheet([self.chapter], *self.who, self.say)), self.tell)

    def still(self) -> dict[str, str]:
        lines, answers = (
            [f"Exercises with the example's numbers (word “{EXAMPLE}”); in a running notebook with your own."], [])
        for number, exercise in enumerate(self.chapter.exercises, 1):
            task = pose(exercise)
            choices = f" ({' / '.join(task.options)})" if task.options else ""
            lines.append(_plain(f"{exercise.heading} {task.asks}{choices}", f"{number}. ", "   "))
            answers.append(f"{number}. {'about ' if task.span else ''}{task.answer_text()}")
        return {"text/plain": "\n\n".join([*lines, _plain("Answers: " + "; ".join(answers) + ".")])}


def predict(name: str) -> None:
    """Ask for a prediction in the chapter's notebook."""
    asked = Predict(exercises.chapter(name), page._inch)
    if asked.chapter.seen:
        page.asked[asked.chapter.seen.page] = asked
    page.put(f"predict {name}", asked, asked.still())


def practise(name: str) -> None:
    """Put the chapter's exercises into its notebook."""
    sheet = Practise(exercises.chapter(name), page._inch)
    page.put(f"practise {name}", sheet, sheet.still())
