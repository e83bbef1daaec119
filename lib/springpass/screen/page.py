"""A page: what it asks, works out, draws and says; and the page live in a notebook (front.py has the one widget).

A page is inputs + a pure computation + a picture + a few plain words:

    PAGE = Page(
        name="stickout", title="May this bar stick out this far?",
        inputs=(Choose("material", work_materials(), "medium-carbon steel", group="work"),
                Slide("stickout", Stickout, group="tool")),
        compute=compute,   # compute(**values) -> a frozen dataclass; raises Refused with a sentence
        picture=picture,   # picture(result, say) -> svg text (draw.py)
        words=words,       # words(result, say) -> one to three sentences that say all the picture says
        more=more,         # optional: more(result, say) -> html below the picture (tables, formulas)
        tops=tops,         # optional: tops(result) -> {input: upper end} of sliders that end where the answer says
    )

and in a notebook `show(PAGE)`. `say` (quantities.Say) writes lengths in mm and µm or in inch and
thou. If the result has a `verdict` (spread.HOLDS, EDGE or FAILS) it heads the words. Values reach
`compute` in library units, checked against their quantity. Everything but `show` and `units` works
without a widget: `PAGE.answer(stickout=50).words`.
"""

from __future__ import annotations

import contextvars
import logging
import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from html import escape
from typing import Any, Protocol
from weakref import WeakValueDictionary

import numpy as np

from ..core import files
from ..core.printed import printed
from ..core.quantity import Quantity, Refused, Say, plain, quantity_of, said
from ..core.spread import EDGE, FAILS, HOLDS
from . import draw
from .downloads import Saved

GROUPS = ("work", "tool", "holder", "cut", "view")
SHAPES = {HOLDS: "●", EDGE: "◐", FAILS: "◆"}  # a shape each, so that nothing hangs on colour


@dataclass(frozen=True)
class Slide:
    """A number with a slider and a box to type in; span, unit and meaning come from its quantity."""

    name: str
    of: object           # a quantity, or the type that carries it: Stickout, but(Stickout, high=80)
    group: str = "work"
    label: str = ""
    rare: bool = False   # shown only when the reader asks for all settings

    @cached_property
    def quantity(self) -> Quantity:
        return quantity_of(self.of)

    @property
    def usual(self) -> float:
        return int(self.quantity.usual) if self.quantity.whole else self.quantity.usual

    @property
    def says(self) -> str:
        return self.quantity.says

    def check(self, value: Any, inch: bool = False) -> Any:
        if isinstance(value, str):
            return self.quantity.read(value, called(self), inch)
        if isinstance(value, (bool, np.bool_)) or not isinstance(value, (int, float, np.integer, np.floating)):
            raise Refused(f"{called(self)} must be one number; it was {said(value)}.")
        try:
            plain_number = float(value)
        except OverflowError:
            plain_number = float("inf")
        if abs(plain_number) < 1e-30:   # what is smaller is zero
            plain_number = 0.0
        return self.quantity.check(plain_number, called(self), inch)


@dataclass(frozen=True)
class Choose:
    """One of a few words. fills: what else is set on the page when it is chosen, by input."""

    name: str
    options: Sequence[str]
    usual: str
    group: str = "work"
    label: str = ""
    says: str = ""
    rare: bool = False
    fills: Callable[[str], dict[str, Any]] | None = None

    def check(self, value: Any, inch: bool = False) -> Any:
        if not isinstance(value, str) or value not in self.options:
            some = self.options if len(self.options) <= 12 else [*self.options[:12], "…"]
            raise Refused(f"{called(self)} cannot be {said(value)}. Choose one of: {', '.join(some)}.")
        return value


@dataclass(frozen=True)
class Tick:
    """Yes or no."""

    name: str
    usual: bool = False
    group: str = "work"
    label: str = ""
    says: str = ""
    rare: bool = False

    def check(self, value: Any, inch: bool = False) -> Any:
        if not isinstance(value, (bool, np.bool_)):
            raise Refused(f"{called(self)} is either ticked or not; it was {said(value)}.")
        return bool(value)


@dataclass(frozen=True)
class Write:
    """Free text, such as a fit or a column of readings; `compute` reads it and refuses what it cannot read."""

    name: str
    usual: str = ""
    group: str = "work"
    label: str = ""
    says: str = ""
    rows: int = 1
    rare: bool = False
    longest: int = 20000

    def check(self, value: Any, inch: bool = False) -> Any:
        if not isinstance(value, str):
            raise Refused(f"{called(self)} must be text; it was {said(value)}.")
        if len(value) > self.longest:
            raise Refused(f"{called(self)} is too long: {len(value)} letters. Keep it under {self.longest}.")
        return value


@dataclass(frozen=True)
class Load:
    """A file the user picks, or `several` put together, a line's end between; its bytes, or None while there is none.
    With `fills` its content goes into other inputs, {name: value}, and no file stands there afterwards.
    """

    name: str
    accept: str
    group: str = "work"
    label: str = ""
    says: str = ""
    usual: None = None
    rare: bool = False
    several: bool = False
    fills: Callable[[bytes], dict[str, Any]] | None = None

    def check(self, value: Any, inch: bool = False) -> Any:
        if value is not None and not isinstance(value, (bytes, bytearray, memoryview)):
            raise Refused(f"{called(self)} must be a file; it was {said(value)}.")
        return None if value is None else bytes(value)


@dataclass(frozen=True)
class Column:
    """One column of a table that the reader fills in: free text, or one of a few words."""

    name: str
    label: str = ""
    says: str = ""
    options: Sequence[str] = ()
    wide: float = 1.0      # share of the table's width


@dataclass(frozen=True)
class Table:
    """Lines of cells, each a text; it grows by a line as the last one is begun, and empty lines count for nothing.

    A result's `cells` marks what is wrong: {"surfaces.2.size": sentence} for the cell of a table, {"length": sentence}
    for any other input.
    """

    name: str
    columns: tuple[Column, ...]
    usual: tuple[tuple[str, ...], ...] = ()
    group: str = "work"
    label: str = ""
    says: str = ""
    line: str = "line"     # what one line is
    rare: bool = False
    most: int = 60         # lines
    longest: int = 300     # letters of a cell

    def check(self, value: Any, inch: bool = False) -> Any:
        if not isinstance(value, list | tuple) or not all(isinstance(row, list | tuple)
                and len(row) == len(self.columns) and all(isinstance(cell, str) for cell in row) for row in value):
            raise Refused(f"{called(self)} must be lines of {len(self.columns)} texts; it was {said(value)}.")
        rows = tuple(tuple(row) for row in value if any(cell.strip() for cell in row))
        if len(rows) > self.most:
            raise Refused(f"{called(self)} has {len(rows)} lines. Keep it under {self.most}.")
        if any(len(cell) > self.longest for row in rows for cell in row):
            raise Refused(f"{called(self)} has a cell of over {self.longest} letters. Keep each under that.")
        return rows


Input = Slide | Choose | Tick | Write | Load | Table


def called(what: Input) -> str:
    """What the page calls an input."""
    return what.label or what.name.replace("_", " ")


@dataclass(frozen=True)
class Press:
    """A button below the sliders: does(**values) acts (saves, say) and returns a sentence, or raises Refused.

    Where the sentence is a `hand_over.Saved`, the page adds links that fetch the files it names.
    """

    label: str
    does: Callable[..., str]
    says: str = ""
    long: bool = False   # does(heard, **values) tells heard(done, all) how far it is, and can so be stopped


@dataclass(frozen=True)
class Answer:
    """A page's answer at one setting of its inputs."""

    result: Any
    svg: str
    words: str
    more: str


def _nothing(result: Any, say: Say) -> str:
    return ""


def no_tops(result: Any) -> dict[str, float]:
    """Every slider ends where its quantity does."""
    return {}


@dataclass(frozen=True)
class Page:
    """Inputs, a computation, a picture and words; see the module's text."""

    name: str
    title: str
    inputs: tuple[Input, ...]
    compute: Callable[..., Any]
    picture: Callable[[Any, Say], str]
    words: Callable[[Any, Say], str]
    more: Callable[[Any, Say], str] = _nothing
    presses: tuple[Press, ...] = field(default=())
    tops: Callable[[Any], dict[str, float]] = no_tops

    def __post_init__(self) -> None:
        order = [GROUPS.index(what.group) for what in self.inputs]
        if order != sorted(order):
            raise ValueError(f"{self.name}: inputs go in the order {', '.join(GROUPS)}")

    def usual(self) -> dict[str, Any]:
        """The values at which the page opens."""
        return {what.name: what.usual for what in self.inputs}

    def values(self, **changed: Any) -> dict[str, Any]:
        """The usual values with some changed, each checked. Raises Refused."""
        known = {what.name: what for what in self.inputs}
        for name in changed:
            if name not in known:
                raise Refused(f"This page has no “{name}”; it has {', '.join(known)}.")
        return {name: what.check(changed[name]) if name in changed else what.usual for name, what in known.items()}

    def answer(self, say: Say | None = None, **changed: Any) -> Answer:
        """Result, picture and words with some values changed. Raises Refused with a sentence."""
        return self._answer(say or Say(), self.values(**changed))

    def first(self, say: Say, values: dict[str, Any]) -> tuple[Any, str, str]:
        """Result, picture and words, which come at once; `more` is worked out when the hand rests."""
        with np.errstate(all="ignore"):   # infinity has a meaning in many places: "never", "without limit"
            result = self.compute(**values)
            return result, self.picture(result, say), self.words(result, say)

    def rest(self, say: Say, result: Any) -> str:
        """Tables, formulas and advice of a result."""
        with np.errstate(all="ignore"):
            return self.more(result, say)

    def _answer(self, say: Say, values: dict[str, Any]) -> Answer:
        result, svg, words = self.first(say, values)
        return Answer(result, svg, words, self.rest(say, result))

    def still(self, say: Say | None = None, **opens: Any) -> dict[str, str]:
        """The page as it opens, for a viewer without a kernel: picture with the words under it, and the words."""
        answer = self.answer(say, **opens)
        svg = draw.with_caption(draw.without_handles(answer.svg), head(answer))
        return {"image/svg+xml": svg, "text/plain": head(answer)}


def head(answer: Answer) -> str:
    """The words, headed by the verdict where there is one."""
    top = headline(answer.result)
    return f"{top} {answer.words}" if top else answer.words


def headline(result: Any) -> str:
    """The verdict with its shape, e.g. "● Holds."; a result may say it in other words in `headline`."""
    verdict = getattr(result, "verdict", "")
    return f"{SHAPES[verdict]} {getattr(result, 'headline', '') or verdict.capitalize()}." if verdict else ""


# ---- formulas on the page -------------------------------------------------------------------------

def formula(function: Callable[..., Any], /, *, fold: str = "", digits: int = 3, **numbers: float) -> None:
    """Show a labelled formula in print in the notebook, with the numbers in if they are given, and its source.

    fold: a line under which all of it is folded. digits: figures of the numbers put in.
    """
    from IPython.display import Markdown, display

    shown = printed(function)
    body = shown.lines(numbers, digits=digits, brackets=True) if numbers else shown.latex
    label = function.label  # type: ignore[attr-defined]
    where = "\n".join(f"- ${shown.quantity[symbol].symbol}$: {shown.quantity[symbol].says}"
        for symbol in shown.letters.values())
    meaning = (function.__doc__ or "").strip().splitlines()[0]
    said = f"{meaning}\n\n$${body}$$\n\n{where}\n\n*Holds for:* {label.holds}. *Source:* {label.source}."
    display(Markdown(f"<details><summary>{fold}</summary>\n\n{said}\n\n</details>" if fold else said))


# ---- live in a notebook -----------------------------------------------------------------------------

MEGA = 1_000_000
LAST_GOOD = "Picture and words below are for the last setting that had an answer."
LARGEST = 10 * MEGA   # bytes of a file that a notebook's server takes in one message: its usual limit
asked: dict[str, Asked] = {}   # the prediction that a page answers, by the page's name
_open: WeakValueDictionary[str, Any] = WeakValueDictionary()   # what is shown now, by name; the unit choice reaches it
_inch = False


class Stopped(Exception):
    """The reader has stopped a long work."""


class Asked(Protocol):
    """A prediction that a page answers: where the page opens for it, and what stands beside the page's answer."""

    @property
    def opens(self) -> dict[str, Any]: ...

    def beside(self, live: Live) -> str: ...


class Live:
    """A page in a notebook. `values` holds what the inputs stand at, in library units; `answer` what is shown.

    `set` puts an input at a value, `typed` at what stands in its box, `press` presses a button; `hear` takes what the
    browser sends.
    """

    def __init__(self, page: Page, inch: bool = False) -> None:
        from .front import Front  # widgets only where a notebook shows a page

        self.page, self.say = page, Say(inch)
        self.asked = asked.get(page.name)
        self.values = page.values(**self.asked.opens) if self.asked else page.usual()
        self.notes: dict[str, str] = {}   # why what was typed is refused, by input
        self.said: dict[str, str] = {}    # HTML under each button
        self.told: list[str] = []         # what had to be done about the user's files
        self._typed: dict[str, Any] = {}
        self._handed: set[str] = set()    # buttons whose links hold files written at the values that now stand
        self._good = {"picture": "", "head": "", "words": ""}
        self._result: Any = None
        self._tops: dict[str, float] = {}   # ends of sliders that the answer sets, in library units
        self._cells: dict[str, str] = {}   # what the answer marks as wrong, by input or by cell of a table
        self._stop = threading.Event()
        self._one = threading.RLock()     # a long work has a thread of its own
        self._n = 0
        self.answer: dict[str, Any] = {}
        self.render()
        self.front = Front("page", self.hear, spec=self._spec(), answer=self.answer)

    def _spec(self) -> dict[str, Any]:
        return {"title": self.page.title, "largest": LARGEST,
            "controls": [self._control(what) for what in self.page.inputs],
            "presses": [{"label": p.label, "says": p.says, "long": p.long} for p in self.page.presses]}

    def _control(self, what: Input) -> dict[str, Any]:
        row = {"name": what.name, "kind": type(what).__name__.lower(), "group": what.group, "label": called(what),
            "says": what.says, "rare": what.rare}
        if isinstance(what, Slide):
            q = what.quantity
            # the slider itself always runs in the metric unit: its ends must not move while a hand holds it
            row |= {"unit": q.unit_for(self.say.inch), "low": q.to_shown(q.low), "high": q.to_shown(q.high),
                "log": q.log, "step": step_of(q), "rate": q.to_shown(1.0, self.say.inch) / q.to_shown(1.0)}
        elif isinstance(what, Choose):
            row["options"] = list(what.options)
        elif isinstance(what, Write):
            row["rows"] = what.rows
        elif isinstance(what, Load):
            row |= {"accept": what.accept, "several": what.several}
        elif isinstance(what, Table):
            row |= {"line": what.line, "most": what.most, "columns": [{"name": c.name, "label": c.label or c.name,
                "says": c.says, "options": list(c.options), "wide": c.wide} for c in what.columns]}
        return row

    def _at(self, what: Input) -> dict[str, Any]:
        value = self.values[what.name]
        note = self.notes.get(what.name) or self._cells.get(what.name, "")
        if isinstance(what, Table):
            at = f"{what.name}."
            return {"rows": self._typed.get(what.name, value), "note": note,
                "cells": {k.removeprefix(at): sentence for k, sentence in self._cells.items() if k.startswith(at)}}
        if isinstance(what, Load):
            return {"text": value is not None, "note": note}
        if not isinstance(what, Slide):
            return {"text": self._typed.get(what.name, value), "note": note}
        text = plain(what.quantity.to_shown(value, self.say.inch), 5).replace("−", "-")
        row = {"text": self._typed.get(what.name, text), "place": float(what.quantity.to_shown(value)), "note": note}
        if what.name in self._tops:
            row["high"] = float(what.quantity.to_shown(self._tops[what.name]))
        return row

    # -- what the reader does

    def hear(self, content: dict[str, Any], buffers: Sequence[Any] = ()) -> None:
        """A message of page.js: inputs that were set, a button, or the wish for tables and formulas."""
        if "stop" in content:
            self._stop.set()
        elif "more" in content:
            self._show_more(content["n"])
        elif "press" in content:
            self._pressed(next(p for p in self.page.presses if p.label == content["press"]))
        else:
            with self._one:
                for what in self.page.inputs:
                    if what.name in content["wishes"]:
                        self._wish(what, content["wishes"][what.name], buffers)
                self._n = content["n"]
                self.render()

    def _wish(self, what: Input, wish: dict[str, Any], buffers: Sequence[Any]) -> None:
        try:
            if isinstance(what, Slide) and "slid" in wish:
                q = what.quantity
                value = q.from_shown(float(wish["slid"]))
                self._put(what, round(value) if q.whole else min(max(value, q.low), q.high))
            else:
                value = what.check(b"\n".join(bytes(part) for part in buffers) if isinstance(what, Load)
                    else wish["typed"] if "typed" in wish else wish["value"], self.say.inch)
                if isinstance(what, Choose | Load) and what.fills:
                    for name, filled in what.fills(value).items():
                        other = self._input(name)
                        self._put(other, other.check(filled))
                    value = what.usual
                self._put(what, value)
        except Refused as refusal:   # what was typed stays in the box, the last good answer stays on the page
            self.notes[what.name] = str(refusal)
            if "typed" in wish:
                self._typed[what.name] = wish["typed"]

    def _put(self, what: Input, value: Any) -> None:
        self.values[what.name] = value
        self.notes.pop(what.name, None)
        self._typed.pop(what.name, None)
        for label in self._handed:   # a link to what was written at other values would mislead
            self.said.pop(label, None)
        self._handed.clear()

    def set(self, name: str, value: Any) -> None:
        """Put an input at a value in library units and show the new answer."""
        self._put(self._input(name), value)
        self.render()

    def typed(self, name: str, text: str) -> None:
        """As if the reader had typed into an input's box."""
        self.hear({"n": self._n, "wishes": {name: {"typed": text}}})

    def press(self, label: str) -> str:
        """As if the reader had pressed a button; returns the HTML that is then under it."""
        self._act(next(p for p in self.page.presses if p.label == label))
        return self.said.get(label, "")

    def use(self, inch: bool) -> None:
        """Show every length in inch and thou, or in mm and µm."""
        self.say = Say(inch)
        self.front.spec = self._spec()
        self.render()

    def _input(self, name: str) -> Input:
        return next(what for what in self.page.inputs if what.name == name)

    def stands_at(self, values: dict[str, Any]) -> bool:
        """Whether the inputs stand at these values, a number within half a step of its slider."""
        def near(what: Input, value: Any) -> bool:
            now = self.values[what.name]
            if not isinstance(what, Slide):
                return bool(now == value)
            q = what.quantity
            off = abs(q.to_shown(now) - q.to_shown(value))
            return bool(off <= 0.51 * step_of(q) or abs(now - value) <= abs(value) / 50)

        return all(near(self._input(name), value) for name, value in values.items())

    def how_to(self, values: dict[str, Any]) -> str:
        """What to set so that the inputs stand at these values, in the words and units of the page."""
        def part(what: Input, value: Any) -> str:
            if not isinstance(what, Slide):
                return f"“{called(what)}” to “{value}”"
            q = what.quantity
            unit, number = q.unit_for(self.say.inch), plain(q.to_shown(value, self.say.inch), 4)
            return f"“{called(what)}” to {number} {'' if unit == '1' else unit}".strip()

        return f"Set {' and '.join(part(self._input(name), value) for name, value in values.items())}."

    # -- buttons

    def _pressed(self, press: Press) -> None:
        if not press.long:
            self._act(press)
            return
        self._stop.clear()
        try:   # beside the kernel's own thread, so that it can hear “stop”
            threading.Thread(target=contextvars.copy_context().run, args=(self._act, press), daemon=True).start()
        except RuntimeError:   # a browser's own Python has one thread only
            self._act(press)

    def _act(self, press: Press) -> None:
        last = 0.0

        def heard(done: int, full: int) -> None:
            nonlocal last
            if self._stop.is_set():
                raise Stopped
            if (now := time.monotonic()) - last > 0.1:
                last, self.front.work = now, {"label": press.label, "done": done, "all": full}

        try:
            says = press.does(heard=heard, **self.values) if press.long else press.does(**self.values)
            links = says.links() if isinstance(says, Saved) else ""
            note = f'<div class="sp-told">{escape(says)}{links}</div>'
        except Stopped:
            links, note = "", '<div class="sp-told">Stopped. Nothing was saved.</div>'
        except Refused as refusal:
            links, note = "", _complaint(str(refusal))
        except Exception as mishap:
            logging.getLogger("springpass").exception("button %s", press.label)
            links, note = "", _complaint(_mishap(mishap))
        with self._one:
            self.said[press.label] = note
            if links:
                self._handed.add(press.label)
            self.render()
        self.front.send({"done": press.label})

    # -- the answer

    def render(self) -> None:
        """Work out picture and words and show them; what goes wrong is said on the page."""
        state, note = "good", ""
        try:
            self._result, svg, words = self.page.first(self.say, self.values)
            self._good = {"picture": svg, "head": headline(self._result), "words": words}
            self._tops = self.page.tops(self._result)
            for name, top in self._tops.items():
                self.values[name] = min(self.values[name], type(self.values[name])(top))
            self._cells = getattr(self._result, "cells", {})
        except Refused as refusal:
            state, note = "refused", str(refusal)
        except Exception as mishap:
            logging.getLogger("springpass").exception("page %s", self.page.name)
            state, note = "broken", _mishap(mishap)
        if state == "good" and self.notes:
            state = "refused"
            note = "Picture and words are for the last values that could be used, not for what you typed."
        elif state != "good" and self._good["picture"]:
            note += f" {LAST_GOOD}"
        if told := files.notices():
            self.told = told
        self.answer = {"n": self._n, "state": state, "note": note, **self._good, "told": self.told,
            "at": {what.name: self._at(what) for what in self.page.inputs}, "said": dict(self.said),
            "guess": self.asked.beside(self) if self.asked else ""}
        if hasattr(self, "front"):
            self.front.answer = self.answer

    def _show_more(self, n: int) -> None:
        """Tables and formulas for the answer that now stands: asked for by the page when the hand rests."""
        try:
            html = self.page.rest(self.say, self._result) if self._result is not None else ""
        except Exception as mishap:
            logging.getLogger("springpass").exception("tables of page %s", self.page.name)
            html = _complaint(_mishap(mishap))
        self.front.more = {"n": n, "html": html}


def step_of(q: Quantity) -> float:
    """How far one step of the slider goes, in the unit shown."""
    if q.whole:
        return 1.0
    return q.step or float(10 ** np.floor(np.log10((q.to_shown(q.high) - q.to_shown(q.low)) / 60)))


def _complaint(text: str) -> str:
    return f'<div class="sp-wrong" role="alert">{escape(text)}</div>'


def _mishap(mishap: Exception) -> str:
    return (f"This is an error of the workbook ({type(mishap).__name__}), not of what you set. Your values are kept. "
        "Please report it with the values you had set; the log of the notebook holds the details.")


def show(page: Page) -> None:
    """Put a page into the notebook: live where there is a kernel, its still where there is none."""
    live = Live(page, _inch)
    try:
        still = page.still(live.say, **(live.asked.opens if live.asked else {}))
    except Refused as refusal:   # the user's own files cannot be read, say: the page stands and tells why
        still = {"text/plain": str(refusal)}
    put(page.name, live, still)


def put(name: str, live: Any, still: dict[str, str]) -> None:
    """Show `live.front` where there is a kernel, the still where there is none; `live.use(inch)` follows the units.

    What was shown under the same name before is closed: a cell that is run again leaves nothing behind.
    """
    from IPython.display import display

    if before := _open.get(name):
        before.front.close()
    _open[name] = live
    display(live.front.bundle(still), raw=True)


class Units:
    """The choice of millimetres or inches, for every page of the notebook."""

    CHOICES = ("mm and µm", "inch and thou")

    def __init__(self) -> None:
        from .front import Front

        self.front = Front("ask", self.hear, spec={"class": "sp-units"}, answer=self._shown())

    def _shown(self) -> dict[str, Any]:
        choice = {"id": "units", "label": "Units", "options": self.CHOICES, "value": self.CHOICES[_inch]}
        return {"blocks": [{"id": "units", "asks": "", "says": "", "after": "", "fields": [choice], "buttons": []}]}

    def hear(self, content: dict[str, Any], buffers: Sequence[Any] = ()) -> None:
        global _inch
        _inch = content["typed"] == self.CHOICES[1]
        for live in list(_open.values()):
            live.use(_inch)

    def use(self, inch: bool) -> None:
        self.front.answer = self._shown()


def units() -> None:
    """Ask once a notebook: millimetres or inches, for every page in it."""
    global _inch
    _inch = False
    put("units", Units(), {"text/plain": "Units: mm and µm (in a running notebook also inch and thou)."})
