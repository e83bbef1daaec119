"""A page live in a notebook (front.py has the one widget), and all the names by which pages are written.

What a page is stands in definition.py, what it can ask in inputs.py; `show(PAGE)` puts it into a notebook, `units()`
the choice of millimetres or inches, `formula(f)` a labelled formula in print. Everything but those works without a
widget: `PAGE.answer(stickout=50).words`.
"""

from __future__ import annotations

import contextlib
import contextvars
import logging
import threading
import time
from collections.abc import Sequence
from html import escape
from typing import Any, Protocol
from weakref import WeakValueDictionary

from ..core import files
from ..core.quantity import Refused, Say, plain
from .definition import SHAPES, Answer, Page, Press, head, headline, no_tops
from .downloads import Saved
from .formulas import formula
from .inputs import GROUPS, Choose, Column, Input, Load, Slide, Table, Tick, Write, called, step_of

__all__ = ["GROUPS", "LARGEST", "LAST_GOOD", "SHAPES", "Answer", "Choose", "Column", "Input", "Live", "Load", "Page",
           "Press", "Slide", "Stopped", "Table", "Tick", "Units", "Write", "called", "formula", "head", "headline",
           "no_tops", "put", "show", "step_of", "units"]


# ---- live in a notebook -----------------------------------------------------------------------------

MEGA = 1_000_000
LAST_GOOD = "Picture and words below are for the last setting that had an answer."
LARGEST = 10 * MEGA   # bytes of a file that a notebook's server takes in one message: its usual limit
asked: dict[str, Asked] = {}   # the prediction that a page answers, by the page's name
FRESH = 5.0           # s that an answer worked out ahead may stand: the user's files may change beside us
_open: WeakValueDictionary[str, Any] = WeakValueDictionary()   # what is shown now, by name; the unit choice reaches it
_inch = False
_acts = 0   # buttons pressed, in any page


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
        self._ahead: tuple[Any, float, Any] = ((), 0.0, None)   # on what an answer hangs, since when, and it
        self._n = 0
        self.answer: dict[str, Any] = {}
        self.render()
        self.front = Front("page", self.hear, spec=self._spec(), answer=self.answer)

    def _spec(self) -> dict[str, Any]:
        return {"title": self.page.title, "largest": LARGEST,
            "controls": [self._control(what) for what in self.page.inputs],
            "presses": [{"label": p.label, "says": p.says, "long": p.long} for p in self.page.presses]}

    def _control(self, what: Input) -> dict[str, Any]:
        row = {"name": what.name, "kind": getattr(what, "kind", type(what).__name__.lower()),
            "group": what.group, "label": called(what),
            "says": what.says, "rare": what.rare}
        if isinstance(what, Slide):
            q = what.quantity
            # the slider itself always runs in the metric unit: its ends must not move while a hand holds it
            row |= {"unit": q.unit_for(self.say.inch), "low": q.to_shown(q.low), "high": q.to_shown(q.high),
                "log": q.log, "step": step_of(q), "rate": q.to_shown(1.0, self.say.inch) / q.to_shown(1.0),
                "letters": getattr(what, "letters", False)}
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
        text = getattr(value, "said", "") or plain(what.quantity.to_shown(value, self.say.inch), 5).replace("−", "-")
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
        elif "ahead" in content:
            what = self._input(content["ahead"])
            if isinstance(what, Slide):
                self._look_ahead(what, content["slid"])
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
                self._put(what, _slid(what, wish["slid"]))
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
            if isinstance(what, Tick):
                return f"{'tick' if value else 'untick'} “{called(what)}”"
            if not isinstance(what, Slide):
                return f"set “{called(what)}” to “{value}”"
            q = what.quantity
            unit, number = q.unit_for(self.say.inch), plain(q.to_shown(value, self.say.inch), 4)
            return f"set “{called(what)}” to {number} {'' if unit == '1' else unit}".strip()

        said = " and ".join(part(self._input(name), value) for name, value in values.items())
        return f"{said[:1].upper()}{said[1:]}."

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
        global _acts
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
            _acts += 1
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
            self._result, svg, words = self._first(self.values)
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

    def _first(self, values: dict[str, Any]) -> tuple[Any, str, str]:
        on, at, ready = self._ahead
        if on == self._hangs_on(values) and time.monotonic() - at < FRESH:
            return ready
        return self.page.first(self.say, values)

    def _look_ahead(self, what: Slide, slid: float) -> None:
        """Work out the answer one step further on while the hand rests: the browser then has it before the key is down.
        """
        with self._one, contextlib.suppress(Exception):   # what cannot be worked out is said when it is asked for
            values = {**self.values, what.name: _slid(what, slid)}
            result, svg, words = ready = self.page.first(self.say, values)
            self._ahead = self._hangs_on(values), time.monotonic(), ready
            if not self.notes and all(values[name] <= top for name, top in self.page.tops(result).items()):
                self.front.send({"ready": {"name": what.name, "slid": slid, "head": headline(result), "words": words,
                    "picture": svg}})

    def _hangs_on(self, values: dict[str, Any]) -> tuple[Any, ...]:
        return (self.say.inch, _acts, *values.items())   # a button may have changed what is remembered

    def _show_more(self, n: int) -> None:
        """Tables and formulas for the answer that now stands: asked for by the page when the hand rests."""
        try:
            html = self.page.rest(self.say, self._result) if self._result is not None else ""
        except Exception as mishap:
            logging.getLogger("springpass").exception("tables of page %s", self.page.name)
            html = _complaint(_mishap(mishap))
        self.front.more = {"n": n, "html": html}


def _slid(what: Slide, place: float) -> Any:
    """The value at a place of the slider, which runs in the metric unit shown."""
    q = what.quantity
    value = q.from_shown(float(place))
    return round(value) if q.whole else min(max(value, q.low), q.high)


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
