"""What a page is: inputs, a pure computation, a picture, a few plain words. No widget; page.py shows it live.

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

`say` (quantities.Say) writes lengths in mm and µm or in inch and thou. If the result has a `verdict` (spread.HOLDS,
EDGE or FAILS) it heads the words. Values reach `compute` in library units, checked against their quantity:
`PAGE.answer(stickout=50).words`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from ..core.quantity import Refused, Say
from ..core.spread import EDGE, FAILS, HOLDS
from . import draw
from .inputs import GROUPS, Input

SHAPES = {HOLDS: "●", EDGE: "◐", FAILS: "◆"}  # a shape each, so that nothing hangs on colour


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
