"""Which steps a pocket card has: reading what is asked for, and choosing round values.

    card = design(check_stickout.PAGE, ["stickout = 20 to 80", "bar diameter", "tolerance = 10; 18; 33", "bore = 16"])
    card.dials[0].values      # (20, 25, 30, ...), in library units
    card.fixed["bore"]        # 16.0

Lengths are in mm here as everywhere inside the library; `inch` says how they are typed and written.
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from ...core.quantity import Quantity, Refused
from ...core.quantity import said as in_words
from ...screen.page import Choose, Input, Load, Page, Slide, Tick, Write, called, no_tops

ANSWERS = 1400        # so many at most where the card chooses the steps itself
MOST_ANSWERS = 5000   # and where they are given
FINEST = 25           # steps on one slider: more would be too near each other for a thumb
NEAR = 3.0            # a slider of the card's own choosing runs from a third of the usual value to three times that
RATIOS = (
    (1,),
    (1, 3),
    (1, 2, 5),
    (1, 1.5, 2, 3, 5, 7),
    (1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8),
    (1, 1.1, 1.2, 1.4, 1.6, 1.8, 2, 2.2, 2.5, 2.8, 3.2, 3.6, 4, 4.5, 5, 5.6, 6.3, 7, 8, 9),
)  # round numbers a decade
# the inputs that say most, where the first ones of the page would not
SAY_MOST = {"check_stickout": ("stickout", "bar_diameter", "tolerance"), "bend": ("stickout", "bar_diameter", "infeed"),
    "spring_passes": ("passes", "infeed", "compliance"), "chatter": ("stickout", "bar_diameter", "infeed"),
    "turned_round": ("stickout", "bar_diameter", "infeed"), "heat_wait": ("diameter", "rise", "within"),
    "heat_reading": ("size", "part", "gauge"), "heat_of_the_cut": ("diameter", "depth", "speed"),
    "cutting_speed": ("diameter", "depth", "feed"), "cutting_finish": ("feed", "nose_radius", "wanted"),
    "hole_against_stock": ("stock", "offset", "size"), "reamed_hole": ("stock", "size", "offset"),
    "drill_wander": ("depth", "drill", "passes"), "work_bends": ("length", "diameter", "infeed"),
    "ring_in_jaws": ("wall", "push", "bore"), "what_moves_the_size": ("stickout", "bore_share", "rise"),
    "thread_passes": ("pitch", "passes", "angle"), "plan_steps": ("step", "name")}


@dataclass(frozen=True)
class Dial:
    """One input of a card: its steps in library units, where it opens, and whether the steps, or their span, were
    given.
    """

    what: Input
    values: tuple[Any, ...]
    start: int
    given: bool = False
    spanned: bool = False

    def texts(self, inch: bool) -> list[str]:
        return [said(self.what, value, inch) for value in self.values]


@dataclass(frozen=True)
class Card:
    """What a card will hold: its dials, and all the other inputs with the values at which they stand."""

    page: Page
    dials: tuple[Dial, ...]
    fixed: dict[str, Any]
    inch: bool = False

    @property
    def answers(self) -> int:
        return math.prod(len(dial.values) for dial in self.dials)

    def settings(self) -> Iterator[dict[str, Any]]:
        """The values of all inputs at every combination of steps; the last dial runs fastest."""
        for chosen in itertools.product(*(dial.values for dial in self.dials)):
            yield {**self.fixed, **{dial.what.name: value for dial, value in zip(self.dials, chosen, strict=True)}}


def said(what: Input, value: Any, inch: bool = False) -> str:
    """A value as the card writes it."""
    if isinstance(what, Slide):
        return what.quantity.text(value, inch)
    if isinstance(what, Tick):
        return "yes" if value else "no"
    return " / ".join(str(value).split("\n")) if isinstance(value, str) else ""


def _input(page: Page, name: str) -> Input:
    usable = [what for what in page.inputs if not isinstance(what, Load)]
    for what in usable:
        if plain_name(name) in (plain_name(what.name), plain_name(called(what))):
            return what
    names = [called(what) for what in usable]
    some = names if len(names) <= 12 else [*names[:12], "…"]
    raise Refused(f"“{page.title}” has no input {in_words(name.strip())}. It has: "
        f"{', '.join(some) or 'none for a card'}.")


def plain_name(name: str) -> str:
    return re.sub(r"[\W_]+", " ", str(name)).strip().lower()


# ---- steps ----------------------------------------------------------------------------------------


def steps(
    q: Quantity, start: float, count: int, span: tuple[float, float] | None = None, inch: bool = False
) -> tuple[float, ...]:
    """Up to `count` round values of a quantity, in library units, rising.

    Without a span they lie round `start` (from a third to three times, inside the quantity's own span); with one they
    run from end to end. Counts step in whole numbers, quantities in ratios by round numbers of each decade. In the
    quantity's own unit `start` is always among them; lengths in inch keep to round inches.
    """
    low, high = span or _near(q, start)
    a, b = float(q.to_shown(low, inch)), float(q.to_shown(high, inch))
    own_unit = q.unit_for(inch) == q.unit_for()
    least = 1.0 if q.whole else q.step if own_unit else 0.0
    must = [a, b] if span else []
    if own_unit and low <= start <= high:
        must.append(float(q.to_shown(start, inch)))
    if a < 0 < b:
        must.append(0.0)
    best: list[float] = []
    for few in range(max(count, 2), 1, -1):
        best = _merged(_ratios(a, b, few) if q.log and a > 0 else _even(a, b, few, least), must, q.log and a > 0)
        if len(best) <= count:
            break
    if len(best) < 2:
        best = sorted({a, b, *best})
    made = (min(max(float(f"{q.from_shown(x, inch):.10g}"), q.low), q.high) for x in best)
    return tuple(sorted({round(x) if q.whole else x for x in made}))


def _near(q: Quantity, start: float) -> tuple[float, float]:
    if q.low < 0 or start <= 0:
        return q.low, q.high
    return (max(q.low, start / NEAR) if q.low > 0 else 0.0), min(q.high, NEAR * start)


def _even(a: float, b: float, count: int, least: float) -> list[float]:
    """Multiples of a round step from a to b, count at most."""
    raw = max((b - a) / count, least, 1e-12) * 0.999
    power = 10.0 ** math.floor(math.log10(raw))
    for step in (m * k * power for k in (1, 10, 100) for m in (1, 2, 2.5, 5)):
        first, last = math.ceil(a / step - 1e-9), math.floor(b / step + 1e-9)
        if step >= least * 0.999 and last - first + 1 <= count and (least != 1.0 or step == round(step)):
            return [float(f"{i * step:.10g}") for i in range(first, last + 1)]
    return []


def _ratios(a: float, b: float, count: int) -> list[float]:
    """Round numbers of each decade from a to b: the closest row of them that has count at most."""
    best: list[float] = []
    for row in RATIOS:
        found = [float(f"{m * 10.0**d:.10g}")
            for d in range(math.floor(math.log10(a)) - 1, math.ceil(math.log10(b)) + 1) for m in row]
        found = [x for x in found if a * (1 - 1e-9) <= x <= b * (1 + 1e-9)]
        if len(found) > count:
            break
        best = found
    return best


def _merged(found: list[float], must: Iterable[float], ratio: bool) -> list[float]:
    """Values that must be there put among the round ones; a round one that lies too near makes room."""
    kept = sorted(set(must))
    gaps = [math.log(y / x) if ratio else y - x for x, y in itertools.pairwise(found)]
    close = 0.25 * min(gaps, default=0.0)
    for x in found:
        if all((abs(math.log(x / k)) if ratio else abs(x - k)) > max(close, 1e-9 * abs(x)) for k in kept):
            kept.append(x)
    return sorted(kept)


def _nearest(values: Sequence[float], start: float, ratio: bool) -> int:
    far = [abs(math.log(v / start)) if ratio and v > 0 and start > 0 else abs(v - start) for v in values]
    return far.index(min(far))


# ---- what is asked for ----------------------------------------------------------------------------


@dataclass(frozen=True)
class _Wish:
    what: Input
    values: tuple[Any, ...] = ()
    span: tuple[float, float] | None = None


def _wish(page: Page, line: str, inch: bool) -> _Wish:
    """Read “stickout”, “stickout = 20 to 80”, “tolerance = 10; 18; 33” or “bore = 16”. Raises Refused."""
    name, *after = re.split(r"[=:]", line, maxsplit=1)
    what, rest = _input(page, name), "".join(after).strip()
    if not rest:
        if after:
            raise Refused(
                f"{called(what)}: nothing follows. Give a span such as “20 to 80”, values such as “20; 40; 60”, or one "
                "value to keep.")
        return _Wish(what)
    if isinstance(what, Slide):
        span = re.fullmatch(r"(.+?)\s*(?:\bto\b|\.\.|–)\s*(.+)", rest)
        if span:
            low, high = (what.check(text, inch) for text in _same_unit(span[1], span[2]))
            if low >= high:
                raise Refused(
                    f"{called(what)}: {in_words(rest)} runs nowhere. Give the smaller value first, then the larger one."
                )
            return _Wish(what, span=(low, high))
        parts = re.split(r";|,\s+" if ";" in rest or re.search(r",\s", rest) or rest.count(",") < 2 else r",", rest)
        return _Wish(what, tuple(sorted({what.check(text.strip(), inch) for text in parts if text.strip()})))
    if isinstance(what, Tick):
        words = {"yes": True, "no": False, "true": True, "false": False}
        told = [words.get(text.strip().lower(), text) for text in re.split(r"[;,]", rest)]
        if any(not isinstance(text, bool) for text in told):
            raise Refused(f"{called(what)} is “yes” or “no”; it was {in_words(rest)}.")
        return _Wish(what, tuple(dict.fromkeys(told)))
    whole = isinstance(what, Choose) and rest in what.options
    parts = [rest] if whole else re.split(r";" if ";" in rest or isinstance(what, Write) else r",\s*", rest)
    return _Wish(what, tuple(dict.fromkeys(what.check(text.strip()) for text in parts if text.strip())))


def _same_unit(low: str, high: str) -> tuple[str, str]:
    """“20 to 80 mm”: the unit said once holds for both."""
    unit = re.search(r"[^\d\s.,+−-]+$", high)
    return (f"{low} {unit[0]}" if unit and not re.search(r"[^\d\s.,+−-]", low) else low), high


def design(page: Page, inputs: Sequence[str] = (), inch: bool = False, count: int = 0,
        spans: dict[str, tuple[float, float]] | None = None) -> Card:
    """What a card of this page holds. Raises Refused where a line cannot be read.

    inputs: one line an input, by the name or the label on the page: alone it becomes a slider with steps of the card's
    own choosing; with “low to high” or several values a slider with those; with one value it is fixed there. Without a
    slider among them the card takes the inputs that say most. count: steps at most on a slider, 0 for as many as are
    sensible. spans: narrower spans, by name, for sliders that were asked for by their name alone.
    """
    wishes = [_wish(page, line, inch) for line in inputs if line.strip()]
    names = [wish.what.name for wish in wishes]
    for name in names:
        if names.count(name) > 1:
            raise Refused(f"“{called(_input(page, name))}” is there twice. Name each input once.")
    fixed = {**page.usual(), **{wish.what.name: wish.values[0] for wish in wishes if len(wish.values) == 1}}
    moving = [wish for wish in wishes if len(wish.values) != 1]
    if not moving:
        moving = [_Wish(what) for what in _say_most(page, names)]
    if len(moving) > 3:
        raise Refused(
            f"A card takes three sliders at most, and {len(moving)} are asked for. Fix one at a value, such as "
            f"“{called(moving[-1].what)} = …”.")
    for wish in moving:
        if isinstance(wish.what, Write) and not wish.values:
            raise Refused(
                f"“{called(wish.what)}” is typed in, so a card needs the texts to choose from, with ; between: "
                f"“{called(wish.what)} = one; another”.")
    ready = {wish.what.name: _given(wish) for wish in moving if wish.values or not isinstance(wish.what, Slide)}
    taken = math.prod(len(dial.values) for dial in ready.values())
    left = len(moving) - len(ready)
    if taken > (ANSWERS if left else MOST_ANSWERS):
        raise Refused(f"That makes {taken} combinations, more than a card holds. Give fewer values.")
    room = min(FINEST, int((ANSWERS / taken) ** (1 / left) + 1e-9)) if left else 0
    few = max(2, min(room, count) if count else room)
    ends = _ends(page, fixed, ready)
    dials = tuple(ready.get(wish.what.name) or _counted(wish, ends)
        or _sliding(wish, few, inch, (spans or {}).get(wish.what.name)) for wish in moving)
    return Card(page, dials, {name: value for name, value in fixed.items() if name not in {d.what.name for d in dials}},
        inch)


def _ends(page: Page, fixed: dict[str, Any], ready: dict[str, Dial]) -> dict[str, float]:
    """Where sliders end whose end the answer sets: the farthest over all choices of the card."""
    ends: dict[str, float] = {}
    if page.tops is no_tops:
        return ends
    for chosen in itertools.product(*(dial.values for dial in ready.values())):
        try:
            answer = page.compute(**{**page.usual(), **fixed, **dict(zip(ready, chosen, strict=True))})
        except Refused:   # the card says so at that choice, as the page does
            continue
        for name, top in page.tops(answer).items():
            ends[name] = max(ends.get(name, top), top)
    return ends


def _counted(wish: _Wish, ends: dict[str, float]) -> Dial | None:
    """Every whole step of a slider whose end the answer sets."""
    what = wish.what
    if not isinstance(what, Slide) or what.name not in ends or not what.quantity.whole or wish.span:
        return None
    values = tuple(range(int(what.quantity.low), int(ends[what.name]) + 1))
    return Dial(what, values, _nearest(values, what.usual, False), True)


def _say_most(page: Page, but: Sequence[str]) -> list[Input]:
    """The inputs a card takes by itself: those named above, else the page's first sliders, filled up with its choices.
    """
    named = [
        what for name in SAY_MOST.get(page.name, ()) for what in page.inputs if what.name == name and name not in but]
    rest: list[Input] = [what for kind in (Slide, (Choose, Tick)) for what in page.inputs
        if isinstance(what, kind) and not what.rare and what.name not in but]
    rest = [what for what in rest if not isinstance(what, Choose) or len(what.options) <= 12]
    sliders: list[Input] = [what for what in rest if isinstance(what, Slide)]
    return (named or sliders or rest[:2])[:3]


def _given(wish: _Wish) -> Dial:
    """A dial whose steps are given: a list, or a choice with all its options."""
    what = wish.what
    values = wish.values or (tuple(what.options) if isinstance(what, Choose) else (False, True))
    if isinstance(what, Slide):
        return Dial(what, values, _nearest(values, what.usual, what.quantity.log), True)
    return Dial(what, values, values.index(what.usual) if what.usual in values else 0, True)


def _sliding(wish: _Wish, count: int, inch: bool, narrower: tuple[float, float] | None) -> Dial:
    what = wish.what
    assert isinstance(what, Slide)
    values = steps(what.quantity, what.usual, count, wish.span or narrower, inch)
    return Dial(what, values, _nearest(values, what.usual, what.quantity.log), spanned=wish.span is not None)


def worth_keeping(card: Card, refused: Sequence[bool]) -> dict[str, tuple[float, float]]:
    """Narrower spans for the sliders with ends at which every answer was refused, by name; `refused` runs as `settings`
    does.

    One refused step stays at each end, so that the card says where the end is.
    """
    found: dict[str, tuple[float, float]] = {}
    behind = card.answers
    for dial in card.dials:
        behind //= len(dial.values)
        here = range(len(dial.values))
        good = [i for i in here if not all(no for k, no in enumerate(refused) if k // behind % len(dial.values) == i)]
        if dial.given or dial.spanned or not good:
            continue
        first, last = max(good[0] - 1, 0), min(good[-1] + 1, len(dial.values) - 1)
        if first > 0 or last < len(dial.values) - 1:
            found[dial.what.name] = dial.values[first], dial.values[last]
    return found
