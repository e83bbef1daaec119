"""A class's predictions as a dot plot: one dot a learner, the right answer marked, the usual wrong guesses named."""

from __future__ import annotations

import textwrap
from collections import Counter
from dataclasses import dataclass
from html import escape

from ..core.quantity import Say, plain
from ..screen.draw import WIDTH, Drawing, nice_ticks
from ..screen.page import Choose, Load, Page, Tick, Write
from ..teaching import class_predictions as gathering
from ..teaching import exercises
from ..teaching.class_predictions import Gathered, Guess, Meaning

NAMES = {one.title: name for name, one in exercises.chapters().items() if one.prediction is not None}
USUAL = exercises.chapter("01_heat").title
DEMO = gathering.demo()
LEFT, RIGHT = 22.0, WIDTH - 22.0
TALL = 150.0     # px that the dots may pile up
LARGEST = 7.0    # px, a dot's radius


@dataclass(frozen=True)
class Seen:
    """A chapter's guesses, and how they are to be shown."""

    found: Gathered
    demo: bool
    names: bool
    answer: bool = True


def compute(chapter: str, pasted: str, file: bytes | None, answer: bool, inch: bool, names: bool) -> Seen:
    """The class's guesses to one chapter's question, from pasted lines or a file.

    Raises Refused where neither holds guesses that can be read.
    """
    text = pasted
    if file is not None:
        loaded = gathering.decoded(file)
        text = loaded if pasted == DEMO or not pasted.strip() else f"{pasted}\n{loaded}"
    return Seen(gathering.gather(text, NAMES[chapter], Say(inch)), text == DEMO, names, answer)


# ---- the picture -------------------------------------------------------------------------------------


def _letter(place: int) -> str:
    return "ABCDEFGH"[place]


def _mark(d: Drawing, x: float, y: float, size: float, place: int, right: bool) -> None:
    """A learner: a full dot where right, else the slip's own shape, hollow."""
    if right:
        d.circle(x, y, size, "dot-a")
    elif place % 3 == 1:
        d.rect(x - 0.85 * size, y - 0.85 * size, 1.7 * size, 1.7 * size, "paper", "ink")
    elif place % 3 == 2:
        d.shape([x, x + 1.1 * size, x, x - 1.1 * size], [y - 1.1 * size, y, y + 1.1 * size, y], "paper", "ink")
    else:
        d.shape([x - size, x + size, x], [y + 0.8 * size, y + 0.8 * size, y - size], "paper", "ink")


def _other(d: Drawing, x: float, y: float, size: float) -> None:
    d.circle(x, y, 0.85 * size, "paper")
    d.circle(x, y, 0.85 * size, "ink")


def piles(places: list[float], width: float, anchor: float) -> list[tuple[float, int]]:
    """Where dots of this width go: in columns side by side, one of them upright on the anchor, each dot on those before
    it. px.
    """
    heights: Counter[int] = Counter()
    out = []
    for place in places:
        column = round((place - anchor) / width)
        out.append((anchor + column * width, heights[column]))
        heights[column] += 1
    return out


def span(found: Gathered, say: Say, answer: bool = True) -> tuple[float, float]:
    """The ends of the axis as shown: the bulk of the guesses and, with the answer, all that is known; the rest lie off
    it and are counted there.
    """
    shown = [float(found.task.quantity.to_shown(value, say.inch))
        for value in (found.task.answer, *(slip.value for slip in found.task.slips))]
    widest = max(max(map(abs, shown)), 1e-9)
    guessed = [g for g in (float(found.task.quantity.to_shown(guess.value, say.inch)) for guess in found.guesses)
        if abs(g) <= 3 * widest]
    if guessed and not answer:
        shown = []
    low, high = min([*shown, *guessed]), max([*shown, *guessed])
    margin = 0.08 * (high - low or widest)
    return (0.0 if 0 <= low < 0.35 * high else low - margin), high + margin


def _question(seen: Seen, say: Say, height: float) -> tuple[Drawing, float]:
    lines = textwrap.wrap(seen.found.task.asks, 42)
    d = Drawing("What the class guessed", words(seen, say), WIDTH, height + 19 * len(lines))
    for i, line in enumerate(lines):
        d.text(10, 19 + 19 * i, line, kind="bold")
    return d, 10.0 + 19 * len(lines)


def _legend_of(found: Gathered, say: Say) -> list[str]:
    lines = []
    for place, group in enumerate(found.groups):
        at = f" {found.task.text_of(group.value, say)}," if group.value is not None else ""
        lines.append(f"{_letter(place)}{at} {group.name}: {group.count}" if group.kind != "other"
            else f"○ {group.name}: {group.count}")
    return lines


def _dots(seen: Seen, say: Say) -> str:
    found = seen.found
    groups = found.groups if seen.answer else ()
    legend = [textwrap.wrap(line, 50) for line in _legend_of(found, say)] if groups else []
    low, high = span(found, say, seen.answer)

    def at(value: float) -> float:
        return float(LEFT + (RIGHT - LEFT) * (value - low) / (high - low))

    of = {id(guess): (place, group.kind) for place, group in enumerate(found.groups) for guess in group.guesses}
    guesses = found.guesses
    shown = [float(found.task.quantity.to_shown(guess.value, say.inch)) for guess in guesses]
    inside = [i for i, value in enumerate(shown) if low <= value <= high]
    right = at(float(found.task.quantity.to_shown(found.task.answer, say.inch))) if groups else LEFT
    size = LARGEST
    while True:   # smaller dots until the tallest pile fits
        laid = piles([at(shown[i]) for i in inside], 2 * size, right)
        if size <= 1.5 or not laid or (max(h for _, h in laid) + 1) * 2 * size <= TALL:
            break
        size -= 0.5
    pile = max((h for _, h in laid), default=0) + 1
    tall = max(pile * 2 * size, 40)
    d, top = _question(seen, say, 102 + tall + 18 * sum(map(len, legend)))
    base = top + 44 + tall
    # labels of what is known, in as many rows as they need
    known = sorted((at(float(found.task.quantity.to_shown(group.value, say.inch))), place, group) for place,
        group in enumerate(groups) if group.value is not None)
    last = [-99.0, -99.0]
    for x, place, group in known:
        row = 0 if x - last[0] > 22 else 1
        last[row] = x
        d.line([x, x], [top + 20 + 16 * row, base], "ink" if group.kind == "right" else "limit")
        d.text(x, top + 16 + 16 * row, f"{_letter(place)} ✓" if group.kind == "right" else _letter(place), "middle",
            "bold halo")
    for tick in nice_ticks(low, high, 6):
        d.line([at(tick)] * 2, [base, base + 5], "thin")
        d.text(at(tick), base + 19, plain(float(tick), 4), "middle", "small")
    d.line([LEFT, RIGHT], [base, base], "ink")
    d.text(RIGHT, base + 37, f"guessed, {found.task.wanted(say)}" if found.task.wanted(say) else "guessed", "end",
        "small")
    for i, (x, height) in zip(inside, laid, strict=True):
        place, kind = of[id(guesses[i])] if groups else (0, "right")
        y = base - size - 1 - 2 * size * height
        if kind == "other":
            _other(d, x, y, 0.95 * size)
        else:
            _mark(d, x, y, 0.95 * size, place, kind == "right")
    above, below = sum(value > high for value in shown), sum(value < low for value in shown)
    if above:
        d.text(RIGHT + 16, base - 8, f"{above} ▸", "end", "bold halo")
    if below:
        d.text(LEFT - 16, base - 8, f"◂ {below}", kind="bold halo")
    y = base + 58
    for place, (group, lines) in enumerate(zip(groups, legend, strict=True)):
        if group.kind == "other":
            _other(d, 17, y - 5, 6)
            lines = [lines[0].removeprefix("○ "), *lines[1:]]
        else:
            _mark(d, 17, y - 5, 6, place, group.kind == "right")
        for line in lines:
            d.text(30, y, line, kind="small bold" if group.kind == "right" else "small")
            y += 18
    return d.svg()


def _columns(seen: Seen, say: Say) -> str:
    found = seen.found
    options = found.task.options
    wide = (WIDTH - 16) / len(options)
    labels = [textwrap.wrap(option, max(int(wide / 9.2), 6)) for option in options]
    each = {place: [guess for guess in found.guesses if round(guess.value) == place] for place in range(len(options))}
    most = max(map(len, each.values()))
    size, across = LARGEST, 5
    while -(-most // across) * 2 * size > TALL and size > 1.5:
        size -= 0.5
        across = int((wide - 24) // (2 * size))
    tall = max(-(-most // across) * 2 * size, 30)
    under = max(map(len, labels)) * 18
    d, top = _question(seen, say, tall + under + 76)
    base = top + 34 + tall
    meaning = {round(group.value): (place, group) for place,
        group in enumerate(found.groups if seen.answer else ()) if group.value is not None}
    for option, lines in enumerate(labels):
        x = 8 + wide * option
        middle = x + wide / 2
        place, group = meaning.get(option, (3, None))
        right = group is not None and group.kind == "right"
        for k in range(len(each[option])):
            row, column = divmod(k, across)
            here = min(len(each[option]) - row * across, across)
            _mark(d, middle + (column - (here - 1) / 2) * 2 * size, base - size - 2 - row * 2 * size, 0.95 * size,
                place, right or not seen.answer)
        rows = -(-len(each[option]) // across)
        d.text(middle, base - 8 - rows * 2 * size, str(len(each[option])), "middle", "bold halo")
        d.line([x + 5, x + wide - 5], [base, base], "ink")
        for i, line in enumerate(lines):
            d.text(middle, base + 20 + 18 * i, line, "middle", "bold" if right else "")
        if right:
            d.text(middle, base + 20 + 18 * len(lines), "✓ right", "middle", "bold")
            d.rect(x + 3, base + 3, wide - 6, 18 * len(lines) + 24, "none", "ink")
    return d.svg()


def picture(seen: Seen, say: Say) -> str:
    return _columns(seen, say) if seen.found.task.options else _dots(seen, say)


# ---- words -------------------------------------------------------------------------------------------


def _people(count: int) -> str:
    return "no one" if not count else "one learner" if count == 1 else f"{count} learners"


def _range(guesses: tuple[Guess, ...], found: Gathered, say: Say) -> str:
    values = [guess.value for guess in guesses]
    low, high = (found.task.text_of(value, say) for value in (min(values), max(values)))
    return f"at {low}" if low == high else f"from {low} to {high}"


def _said(group: Meaning, found: Gathered, say: Say) -> str:
    if group.kind == "other":
        return f"{_people(group.count)} said something else, {_range(group.guesses, found, say)}."
    assert group.value is not None
    said = found.task.text_of(group.value, say)
    return (f"{_people(group.count)} said {f'“{said}”' if found.task.options else f'about {said}'} ({group.name}). "
        f"{group.says}")


def words(seen: Seen, say: Say) -> str:
    found = seen.found
    total, right = len(found.guesses), found.groups[0]
    start = "Invented demo, no real class: " if seen.demo else ""
    answer = found.task.answer_text(say)
    if not total:
        other = (f" There are guesses for {', '.join(exercises.chapter(name).title for name, _ in found.elsewhere)}."
            if found.elsewhere else " Paste what learners export, or load their files.")
        return f"No guess for this chapter was found. The right answer is {answer}.{other}"
    if not seen.answer:
        return f"{start}{_before_the_answer(found, say)}"
    quoted = f"“{answer}”" if found.task.options else answer
    first = (f"{start}{right.count} of {total} {'is' if right.count == 1 else 'are'} right: it is {quoted}. "
        f"{found.task.reveals}")
    wrong = sorted((group for group in found.groups[1:] if group.count),
        key=lambda group: (group.kind == "other", -group.count))
    lines = [first, *(said[:1].upper() + said[1:] for said in (_said(group, found, say) for group in wrong))]
    if not found.task.options:
        low, high = span(found, say)
        off = sum(not low <= found.task.quantity.to_shown(guess.value, say.inch) <= high for guess in found.guesses)
        if off:
            lines.append(f"{off} of them {'lies' if off == 1 else 'lie'} off the picture's scale and "
                f"{'is' if off == 1 else 'are'} counted at its edge.")
    skipped = sum("skipped" in note for note in found.notes)
    if skipped:
        lines.append("Some lines could not be read; they are named below.")
    return "\n".join(lines)


def _before_the_answer(found: Gathered, say: Say) -> str:
    """What can be said of the guesses without giving the answer away."""
    values = sorted(guess.value for guess in found.guesses)
    people = _people(len(values))
    ask = "Ask somebody from each heap why. Then tick “show the answer”."
    if found.task.options:
        most, count = Counter(found.task.options[round(value)] for value in values).most_common(1)[0]
        return f"{people[:1].upper()}{people[1:]} guessed. “{most}” has the most, {count}.\n{ask}"
    low, middle, high = (found.task.text_of(value, say) for value in (values[0], values[len(values) // 2], values[-1]))
    spread = f"all say {low}" if low == high else f"from {low} to {high}, the middle one {middle}"
    return f"{people[:1].upper()}{people[1:]} guessed: {spread}.\n{ask}"


def more(seen: Seen, say: Say) -> str:
    found = seen.found
    out = []
    if found.notes:
        out.append(
            "<p><b>Left aside</b></p><ul>" + "".join(f"<li>{escape(note)}</li>" for note in found.notes) + "</ul>")
    if found.elsewhere:
        out.append("<p>Guesses for other chapters in the same text: "
            + ", ".join(f"{escape(exercises.chapter(name).title)} ({count})" for name, count in found.elsewhere)
            + ".</p>")
    if seen.names and seen.answer and found.guesses:
        rows = "".join(
            f"<tr><td>{escape(guess.learner or 'no name')}</td><td>{escape(found.task.text_of(guess.value, say))}</td>"
            f"<td>{escape(group.name)}</td></tr>" for group in found.groups for guess in group.guesses)
        out.append(f"<table><tr><th>learner</th><th>said</th><th>which is</th></tr>{rows}</table>")
    return "".join(out)


PAGE = Page(name="class_predictions", title="What did the class guess?",
    inputs=(Choose("chapter", list(NAMES), USUAL, "work", says="whose question"),
    Write("pasted", DEMO, "work", "learners' exported tables, pasted one after the other", rows=7, longest=1_000_000,
    says="progress.csv of each learner, or lines such as: ash; 7,6 µm"),
    Load("file", ".csv,.txt,text/csv,text/plain", "work", "load CSV files",
    "one or more exported tables; they take the demo's place", several=True),
    Tick("answer", False, "view", "show the answer"),
    Tick("inch", False, "view", "bare numbers are inch or thou"),
    Tick("names", False, "view", "list the learners' words")), compute=compute, picture=picture, words=words, more=more)
