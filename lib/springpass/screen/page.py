"""Sliders: with page_practice.py the only module that imports ipywidgets.

A page is inputs + a pure computation + a picture + a few plain words:

    PAGE = Page(
        name="stickout", title="May this bar stick out this far?",
        inputs=(Choose("material", work_materials(), "medium-carbon steel", group="work"),
                Slide("stickout", Stickout, group="tool")),
        compute=compute,   # compute(**values) -> a frozen dataclass; raises Refused with a sentence
        picture=picture,   # picture(result, say) -> svg text (draw.py)
        words=words,       # words(result, say) -> one to three sentences that say all the picture says
        more=more,         # optional: more(result, say) -> html below the picture (tables, formulas)
    )

and in a notebook `show(PAGE)`. `say` (quantities.Say) writes lengths in mm and µm or in inch and
thou. If the result has a `verdict` (spread.HOLDS, EDGE or FAILS) it heads the words. Values reach
`compute` in library units, checked against their quantity. Everything but `show` and `units` works
without a widget: `PAGE.answer(stickout=50).words`.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from html import escape
from typing import Any

import ipywidgets as w
import numpy as np

from ..core import files
from ..core.formula import Printed, printed
from ..core.quantity import Quantity, Refused, Say, plain, quantity_of, said
from ..core.spread import EDGE, FAILS, HOLDS
from . import draw
from .accessibility import HELP, headed, heading
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
        return self.quantity.usual

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
        if abs(plain_number) < 1e-30:   # what is smaller is nought
            plain_number = 0.0
        return self.quantity.check(plain_number, called(self), inch)


@dataclass(frozen=True)
class Choose:
    """One of a few words."""

    name: str
    options: Sequence[str]
    usual: str
    group: str = "work"
    label: str = ""
    says: str = ""
    rare: bool = False

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
    """

    name: str
    accept: str
    group: str = "work"
    label: str = ""
    says: str = ""
    usual: None = None
    rare: bool = False
    several: bool = False

    def check(self, value: Any, inch: bool = False) -> Any:
        if value is not None and not isinstance(value, (bytes, bytearray, memoryview)):
            raise Refused(f"{called(self)} must be a file; it was {said(value)}.")
        return None if value is None else bytes(value)


Input = Slide | Choose | Tick | Write | Load


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


@dataclass(frozen=True)
class Answer:
    """A page's answer at one setting of its inputs."""

    result: Any
    svg: str
    words: str
    more: str


def _nothing(result: Any, say: Say) -> str:
    return ""


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

    def _answer(self, say: Say, values: dict[str, Any]) -> Answer:
        with np.errstate(all="ignore"):   # infinity has a meaning in many places: "never", "without limit"
            result = self.compute(**values)
            return Answer(result, *(part(result, say) for part in (self.picture, self.words, self.more)))

    def still(self, say: Say | None = None) -> dict[str, str]:
        """The page at its usual values for a viewer without a kernel: picture with the words under it, and the words.
        """
        answer = self.answer(say)
        return {"image/svg+xml": draw.with_caption(answer.svg, head(answer)), "text/plain": head(answer)}


def head(answer: Answer) -> str:
    """The words, headed by the verdict where there is one."""
    top = headline(answer.result)
    return f"{top} {answer.words}" if top else answer.words


def headline(result: Any) -> str:
    """The verdict with its shape, e.g. "● Holds."; a result may say it in other words in `headline`."""
    verdict = getattr(result, "verdict", "")
    return f"{SHAPES[verdict]} {getattr(result, 'headline', '') or verdict.capitalize()}." if verdict else ""


# ---- formulas on the page -------------------------------------------------------------------------

def formula(function: Callable[..., Any], **numbers: float) -> None:
    """Show a labelled formula in print in the notebook, with the numbers in if they are given, and its source."""
    from IPython.display import Markdown, display

    shown: Printed = printed(function)
    body = shown.with_numbers(**numbers) if numbers else shown.latex
    label = function.label  # type: ignore[attr-defined]
    where = "\n".join(f"- ${shown.quantity[symbol].symbol}$: {shown.quantity[symbol].says}"
                      for symbol in shown.letters.values())
    meaning = (function.__doc__ or "").strip().splitlines()[0]
    display(Markdown(f"{meaning}\n\n$${body}$$\n\n{where}\n\n*Holds for:* {label.holds}. *Source:* {label.source}."))


# ---- widgets --------------------------------------------------------------------------------------

STYLE = """<style>
.sp-page{max-width:1120px}
.sp-page .sp-title{font-weight:650;font-size:17px;line-height:1.3;margin:2px 0 6px}
.sp-page .sp-body{display:flex;flex-flow:row wrap;gap:8px 26px;align-items:flex-start;overflow:visible}
.sp-page .sp-controls{flex:1 1 330px;min-width:0;max-width:460px;overflow:visible}
.sp-page .sp-output{flex:2 1 440px;min-width:0;max-width:660px;overflow:visible}
.sp-page .sp-group{font-size:12.5px;letter-spacing:.04em;color:var(--jp-ui-font-color1,#444);line-height:1.2;
  border-bottom:1px solid var(--jp-border-color2,#ccc);margin:7px 2px 1px}
.sp-page .sp-row{display:flex;flex-flow:row wrap;align-items:center;width:100%;overflow:visible;margin:0}
.sp-page .sp-row>*{margin:1px 2px;min-width:0}
.sp-page .sp-row .widget-text,.sp-page .sp-row .widget-dropdown{flex:1 1 210px;width:auto;height:auto}
.sp-page .sp-row .widget-hslider{flex:1 1 120px;width:auto}
.sp-page .sp-row label.widget-label{flex:1 1 auto;width:auto;min-width:0;text-align:left;white-space:normal;line-height:1.15;
  font-size:14px;height:auto;padding:3px 0;overflow:visible}
.sp-page .sp-row .widget-text input{flex:0 0 84px;width:84px;text-align:right;font-size:14px}
.sp-page .sp-row .widget-dropdown select{flex:0 1 60%;min-width:0;font-size:14px}
.sp-page .sp-row .widget-textarea{flex:1 1 100%;width:auto;flex-direction:column;align-items:stretch}
.sp-page .sp-row .sp-wide input{flex:1 1 50%;text-align:left}
.sp-page .sp-row .widget-checkbox{width:100%;height:auto}
.sp-page .sp-row .widget-checkbox label{display:inline-flex;align-items:center;white-space:normal;font-size:14px;line-height:1.2}
.sp-page .sp-wrong{color:var(--jp-ui-font-color0,#111);background:var(--jp-warn-color3,#ffe9c7);border-left:4px solid #c26a16;
  padding:3px 8px;line-height:1.3;font-size:14px;margin:2px}
[data-jp-theme-light="false"] .sp-page .sp-wrong{background:#4a3312}
.sp-page .sp-told{border-left:4px solid #2f7d4f;background:var(--jp-layout-color2,#f3f3f3);color:var(--jp-ui-font-color0,#111);
  padding:3px 8px;line-height:1.35;font-size:14px;margin:2px;overflow-wrap:anywhere}
.sp-links a{display:inline-block;padding:5px 8px 5px 0;font-weight:600;text-decoration:underline}
.sp-page .sp-words{font-size:15.5px;line-height:1.42;padding:8px 12px;border:1px solid var(--jp-border-color1,#bbb);
  border-radius:5px;background:var(--jp-layout-color1,#fff);white-space:normal}
.sp-page .sp-words b{font-size:18px}
.sp-page .sp-words p{margin:3px 0}
.sp-page .sp-words.sp-stale{opacity:.65}
.sp-page .sp-picture svg{display:block;width:100%;height:auto}
.sp-page .sp-more{font-size:14px;line-height:1.4;overflow-x:auto}
.sp-page .sp-more table{border-collapse:collapse;margin:4px 0}
.sp-page .sp-more th,.sp-page .sp-more td{padding:2px 10px 2px 0;text-align:left;border-bottom:1px solid var(--jp-border-color2,#ccc);
  vertical-align:top;white-space:normal}
.sp-page .sp-more math{font-size:17px;margin:5px 0}
.sp-page .sp-words,.sp-page .widget-html-content{box-sizing:border-box}
.sp-page .sp-output .widget-html,.sp-page .sp-output .widget-html-content,.sp-page .sp-controls .widget-html-content{
  width:100%;max-width:100%;margin:0;line-height:normal;white-space:normal;overflow:visible;height:auto}
.sp-page .sp-output .widget-html.sp-more{overflow-x:auto;min-width:0}
@media (max-width:760px){
 .sp-page .sp-body{flex-direction:column;align-items:stretch}
 .sp-page .sp-controls,.sp-page .sp-output{max-width:none;flex:0 0 auto;width:100%}
 .sp-page .sp-output{display:contents}
 .sp-page .sp-more{font-size:13px}
 .sp-page .sp-more th,.sp-page .sp-more td{padding-right:5px}
 .sp-page .sp-words-box{order:-1;position:sticky;top:0;z-index:4}
 .jp-OutputArea-child:has(.sp-page),.jp-OutputArea-output:has(.sp-page),.jp-OutputArea:has(.sp-page),.jp-Cell:has(.sp-page),
 .jp-Cell-outputWrapper:has(.sp-page),.jp-Cell-outputArea:has(.sp-page),.sp-page{overflow:visible!important;contain:none!important;min-width:0!important;max-width:100%!important}
 .sp-page .sp-words{font-size:14px;padding:5px 8px;max-height:36vh;overflow-y:auto}
 .sp-page .sp-row .widget-text,.sp-page .sp-row .widget-dropdown{flex:1 1 100%}
 .sp-page .sp-row .widget-hslider{flex:1 1 100%;padding:0 14px;height:40px}
 .sp-page .sp-row .widget-hslider .noUi-handle{width:32px!important;height:32px!important;top:-15px!important;right:-16px!important}
 .sp-page .sp-row .widget-text input{height:40px;flex-basis:92px;width:92px;font-size:16px}
 .sp-page .sp-row .widget-dropdown select{height:44px;font-size:16px}
 .sp-page .widget-button,.sp-page .widget-toggle-button,.sp-page .widget-upload,.sp-units .widget-toggle-button,.sp-page .widget-checkbox label{min-height:44px}
 .sp-page .widget-checkbox input{width:24px;height:24px}
 .jp-Notebook .jp-InputPrompt,.jp-Notebook .jp-OutputPrompt,.jp-Notebook .jp-OutputArea-promptOverlay{display:none}
 .jp-Notebook .jp-Cell{padding-left:2px;padding-right:2px}
}
</style>"""

_open: list[Any] = []   # the pages and questions now shown, so that the unit choice reaches them
_inch = False


class Live:
    """A page with its widgets. `values` holds what the inputs stand at, in library units."""

    def __init__(self, page: Page, inch: bool = False) -> None:
        self.page, self.say = page, Say(inch)
        self.values = page.usual()
        self.boxes: dict[str, Any] = {}
        self.sliders: dict[str, Any] = {}
        self.notes: dict[str, Any] = {}
        self._handed: list[Any] = []   # notes whose links hold files written at the values that now stand
        self._setting = False
        self._rare: list[Any] = []
        self.words = w.HTML()
        self.picture = w.HTML()
        self.more = w.HTML()
        for part, name in ((self.words, "sp-words-box"), (self.picture, "sp-picture"), (self.more, "sp-more")):
            part.add_class(name)
        self.words.add_class("sp-live")
        rows: list[Any] = []
        group = ""
        for what in page.inputs:
            if not rows or what.group != group:
                group = what.group
                rows.append(w.HTML(heading(group, 4, "sp-group")))
            row = self._row(what)
            if what.rare:
                row.layout.display = "none"
                self._rare.append(row)
            rows.append(row)
        if self._rare:
            rows.append(self._all_settings())
        rows += [self._button(press) for press in page.presses]
        controls, output = w.VBox(rows), w.VBox([self.words, self.picture, self.more])
        controls.add_class("sp-controls")
        output.add_class("sp-output")
        body = w.Box([controls, output])
        body.add_class("sp-body")
        title = w.HTML(f'{HELP}{STYLE}{heading(escape(page.title), 3, "sp-title")}')
        self.told = w.HTML(layout=w.Layout(display="none"))   # what had to be done about the user's files
        self.widget = w.VBox([title, self.told, body])
        self.widget.add_class("sp-page")
        self.render()

    def _all_settings(self) -> Any:
        toggle = w.ToggleButton(value=False, description="all settings", tooltip="show the settings that rarely change",
                                layout=w.Layout(width="auto", margin="6px 2px"))

        def show_them(change: dict[str, Any]) -> None:
            toggle.description = "fewer settings" if change["new"] else "all settings"
            for row in self._rare:
                row.layout.display = None if change["new"] else "none"

        toggle.add_class("sp-all")
        toggle.observe(show_them, "value")
        return toggle

    # -- one row of the controls

    def _row(self, what: Input) -> Any:
        note = w.HTML(layout=w.Layout(display="none"))
        self.notes[what.name] = note
        parts = self._parts(what)
        row = w.Box([*parts, note])
        row.add_class("sp-row")
        return row

    def _parts(self, what: Input) -> list[Any]:
        if isinstance(what, Slide):
            return self._slide(what)
        name = called(what)
        if isinstance(what, Choose):
            box: Any = w.Dropdown(
                options=list(what.options), value=what.usual, description=name, tooltip=what.says or name
            )
        elif isinstance(what, Tick):
            box = w.Checkbox(value=what.usual, description=name, indent=False, tooltip=what.says or name)
        elif isinstance(what, Load):
            box = w.FileUpload(accept=what.accept, multiple=what.several, description=name, tooltip=what.says or name,
                               layout=w.Layout(width="auto"))
            box.observe(lambda change, what=what: self._loaded(what, change["new"]), "value")
            self.boxes[what.name] = box
            return [box]
        elif what.rows > 1:
            box = w.Textarea(
                value=what.usual, description=name, rows=what.rows, continuous_update=False, tooltip=what.says or name
            )
        else:
            box = w.Text(value=what.usual, description=name, continuous_update=False, tooltip=what.says or name)
            box.add_class("sp-wide")
        box.style.description_width = "initial"
        box.observe(lambda change, what=what: self._take(what, change["new"]), "value")
        self.boxes[what.name] = box
        return [box]

    def _slide(self, what: Slide) -> list[Any]:
        q = what.quantity
        box = w.Text(description=self._named(what), value=self._shown(what), continuous_update=False, tooltip=q.says)
        box.style.description_width = "initial"
        # the slider itself always runs in the metric unit: its ends must not move while a browser holds it
        low, high, value = q.to_shown(q.low), q.to_shown(q.high), q.to_shown(q.usual)
        if q.log:
            slider: Any = w.FloatLogSlider(
                value=value, min=np.log10(low), max=np.log10(high), step=0.02, readout=False, tooltip=q.says
            )
        else:
            slider = w.FloatSlider(value=value, min=low, max=high, step=self._step(q), readout=False, tooltip=q.says)
        box.observe(lambda change: self._typed(what, change["new"]), "value")
        slider.observe(lambda change: self._slid(what, change["new"]), "value")
        self.boxes[what.name], self.sliders[what.name] = box, slider
        return [box, slider]

    def _named(self, what: Slide) -> str:
        unit = what.quantity.unit_for(self.say.inch)
        return f"{called(what)}, {unit}" if unit != "1" else called(what)

    def _shown(self, what: Slide) -> str:

        return plain(what.quantity.to_shown(self.values[what.name], self.say.inch), 5).replace("−", "-")

    def _step(self, q: Quantity) -> float:
        if q.whole:
            return 1.0
        if q.step:
            return q.step
        span = q.to_shown(q.high) - q.to_shown(q.low)
        return float(10 ** np.floor(np.log10(span / 60)))

    def _button(self, press: Press) -> Any:
        button = w.Button(description=press.label, tooltip=press.says or press.label, layout=w.Layout(width="auto"))
        note = w.HTML()
        note.add_class("sp-live")

        def act(_: Any) -> None:
            try:
                says = press.does(**self.values)
                links = says.links() if isinstance(says, Saved) else ""
                note.value = f'<div class="sp-told">{escape(says)}{links}</div>'
                if links:
                    self._handed.append(note)
            except Refused as refusal:
                note.value = _complaint(str(refusal))
            except Exception as mishap:
                logging.getLogger("springpass").exception("button %s", press.label)
                note.value = _complaint(_mishap(mishap))
            self.render()

        button.on_click(act)
        row = w.Box([button, note])
        row.add_class("sp-row")
        return row

    # -- what the user does

    def _slid(self, what: Slide, shown: float) -> None:
        if self._setting:
            return
        q = what.quantity
        # the browser moves a handle to its nearest step by itself; that is not the user's doing
        now, slider = q.to_shown(self.values[what.name]), self.sliders[what.name]
        moved = abs(np.log10(shown / now)) if q.log else abs(shown - now)
        if moved <= 0.5001 * slider.step:
            return
        value = q.from_shown(shown)
        self.set(what.name, round(value) if q.whole else min(max(value, q.low), q.high), slider=False)

    def _typed(self, what: Slide, text: str) -> None:
        if self._setting:
            return
        try:
            self.set(what.name, what.quantity.read(text, called(what), self.say.inch))
        except Refused as refusal:  # what was typed stays in the box, the last good answer stays on the page
            self._note(what, str(refusal))

    def _take(self, what: Input, value: Any) -> None:
        if self._setting:
            return
        try:
            self.set(what.name, what.check(value))
        except Refused as refusal:
            self._note(what, str(refusal))

    def _loaded(self, what: Load, files: Any) -> None:
        self._take(what, b"\n".join(bytes(file["content"]) for file in files) if files else None)

    def set(self, name: str, value: Any, slider: bool = True) -> None:
        """Put an input at a value in library units and show the new answer."""
        what = next(i for i in self.page.inputs if i.name == name)
        self.values[name] = value
        self._note(what, "")
        while self._handed:   # a link to what was written at other values would mislead
            self._handed.pop().value = ""
        self._setting = True
        try:
            if isinstance(what, Slide):
                self.boxes[name].value = self._shown(what)
                if slider:
                    self.sliders[name].value = what.quantity.to_shown(value)
            elif not isinstance(what, Load):
                self.boxes[name].value = value
        finally:
            self._setting = False
        self.render()

    def use(self, inch: bool) -> None:
        """Show every length in inch and thou, or in mm and µm."""
        self.say = Say(inch)
        self._setting = True
        try:
            for what in self.page.inputs:
                if isinstance(what, Slide):
                    self.boxes[what.name].description = self._named(what)
                    self.boxes[what.name].value = self._shown(what)
        finally:
            self._setting = False
        self.render()

    def _note(self, what: Input, text: str) -> None:
        note = self.notes[what.name]
        note.value = _complaint(text) if text else ""
        note.layout.display = "" if text else "none"

    # -- the answer

    def render(self) -> None:
        """Work out the answer and show it; what goes wrong is said on the page."""
        self._answer()
        if told := files.notices():
            self.told.value, self.told.layout.display = "".join(map(_complaint, told)), ""

    def _answer(self) -> None:
        try:
            answer = self.page._answer(self.say, self.values)
        except Refused as refusal:
            self.words.value = _complaint(str(refusal))
            return
        except Exception as mishap:
            logging.getLogger("springpass").exception("page %s", self.page.name)
            self.words.value = _complaint(_mishap(mishap))
            return
        top = headline(answer.result)
        top = f"<b>{top}</b> " if top else ""
        paragraphs = "".join(
            f"<p>{top if i == 0 else ''}{escape(part)}</p>" for i, part in enumerate(answer.words.split("\n"))
        )
        self.picture.value = answer.svg
        self.words.value = f'<div class="sp-words">{paragraphs}</div>'
        more = headed(answer.more)
        if self.more.value != more:
            self.more.value = more


def _complaint(text: str) -> str:
    return f'<div class="sp-wrong" role="alert">{escape(text)}</div>'


def _mishap(mishap: Exception) -> str:
    return (
        f"Something went wrong inside the workbook ({type(mishap).__name__}). Put the last slider back where it was; "
        "your other values are kept. Please report it with the values you had set."
    )


def show(page: Page) -> None:
    """Put a page into the notebook: live where there is a kernel, its still where there is none."""
    live = Live(page, _inch)
    try:
        still = page.still(live.say)
    except Refused as refusal:   # the user's own files cannot be read, say: the page stands and tells why
        still = {"text/plain": str(refusal)}
    put(live, still)


def put(live: Any, still: dict[str, str]) -> None:
    """Show `live.widget` where there is a kernel, the still where there is none; `live.use(inch)` follows the unit
    choice.
    """
    from IPython.display import display

    _open.append(live)
    display({**still, "application/vnd.jupyter.widget-view+json": {"version_major": 2, "version_minor": 0,
                                                                   "model_id": live.widget.model_id}}, raw=True)


def units() -> None:
    """Ask once a notebook: millimetres or inches, for every page in it."""
    from IPython.display import display

    global _inch
    _inch = False
    choice = w.ToggleButtons(options=[("mm and µm", False), ("inch and thou", True)], value=False, description="Units",
                             tooltips=["millimetres and micrometres", "inches and thousandths of an inch"])

    def chosen(change: dict[str, Any]) -> None:
        global _inch
        _inch = change["new"]
        for live in _open:
            live.use(_inch)

    choice.observe(chosen, "value")
    box = w.VBox([choice, w.HTML(HELP, layout=w.Layout(display="none"))])
    box.add_class("sp-units")
    display({"text/plain": "Units: mm and µm (in a running notebook also inch and thou).",
             "application/vnd.jupyter.widget-view+json": {"version_major": 2, "version_minor": 0,
                                                          "model_id": box.model_id}}, raw=True)
