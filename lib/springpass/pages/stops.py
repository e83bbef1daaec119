"""Pages of the stops half: gauge block stacks, the depth that a stop gives, chains of shoulders."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import Any

import numpy as np

from .. import stops
from ..core import tables
from ..core.quantity import Refused, Say, but, factor, number, plain, quantity_of
from ..core.shared import Tolerance
from ..core.spread import EDGE, HOLDS, Likely, likely, odds, verdict
from ..job import shop
from ..measuring import Budget
from ..measuring.guard_bands import read_numbers
from ..screen.draw import WIDTH, Drawing, breadth, strip
from ..screen.page import Choose, Page, Press, Slide, Tick, Write
from ..stops.gauge_blocks import GaugeSet, Split, Stack
from ..stops.quantities import ShopRise, StackLength, WarmerBy

TRAVEL, DIVISION = 25.0, {"mm": 0.01, "inch": 0.001}   # of the stop's dial: mm; mm or inch
NOTHING = 1e-7                   # mm: contributions under it are not listed
MOST_SHOULDERS, FARTHEST = 6, 300.0   # mm: more the picture cannot hold
SAME = 1e-9                      # of a value
OWN = "my own box"
EXAMPLE = "1 1.005 1.01 1.02 1.03 1.05 1.1 1.2 1.3 1.5 2 3 4 5 10 20 25 50"
SETS = (*stops.set_names(), OWN)
ENDS = {"none": (), "one, 2 mm": (2.0,), "two, 2 mm each": (2.0, 2.0), "two, 1 mm each": (1.0, 1.0)}
MATERIALS = tuple(tables.names("materials", "material"))


def _plus(say: Say, value: float) -> str:
    return f"±{say.fine(value)}"


# ---- which blocks? ------------------------------------------------------------------------------


@dataclass(frozen=True)
class Blocks:
    stack: Stack
    count: int
    box: GaugeSet
    splits: tuple[Split, ...]
    split_refusal: str
    half: float              # 95 % at the shop's temperature, mm
    grown: float             # longer than at 20 °C, mm
    grade: str
    budget: Budget


def _own_box(text: str) -> GaugeSet:
    if text.strip():
        return stops.read_set(text, name=OWN)
    kept = shop.latest("gauge set")
    if not kept:
        return stops.read_set(EXAMPLE, name="of an example (type your own sizes and keep them)")
    return stops.read_set(kept.get("sizes", ()), kept.get("unit", "mm"), name=OWN)


def compute_blocks(length: str, which: str, own: str, missing: str, protectors: str, grade: str, wringing: str,
        warm: float) -> Blocks:
    """The fewest gauge blocks for a length as typed, and what the stack is worth; mm, K above 20 °C.

    Raises Refused for a length or a box that cannot be read; a dial that cannot help is told in the answer.
    """
    box = _own_box(own) if which == OWN else stops.gauge_set(which)
    gone = stops.read_set(missing, box.unit).sizes if missing.strip() else ()
    box = stops.gauge_set(box, gone)
    body, unit = length.strip(), "mm"
    for ending, meant in (("mm", "mm"), ("inch", "inch"), ("in", "inch"), ('"', "inch")):
        if body.endswith(ending):
            body, unit = body.removesuffix(ending).strip(), meant
            break
    wanted = quantity_of(StackLength).check(number(body) * factor("mm", unit), "the length")
    ends = tuple(e / factor("mm", box.unit) for e in ENDS[protectors])
    stack = stops.gauge_stack(wanted, box, ends, nearest=True, unit="mm")
    scale = factor("mm", box.unit)
    try:
        splits, refusal = stops.split(wanted, box, TRAVEL / scale, DIVISION[box.unit], unit="mm"), ""
    except Refused as none:
        splits, refusal = (), str(none)
    budget = stops.stack_budget(stack, grade, wringing, warm)
    return Blocks(stack, len(stack) + len(ends), box, splits, refusal, budget.expanded(),
        budget.value - scale * stack.length, grade, budget)


def _sizes(sizes: Any) -> str:
    return " + ".join(f"{size:.5f}".rstrip("0").rstrip(".") for size in sizes)


def words_blocks(r: Blocks, say: Say) -> str:
    s = r.stack
    ends = f" and protectors {_sizes(s.protectors)} {s.unit}" if s.protectors else ""
    count = "1 block" if len(s) == 1 else f"{len(s)} blocks"
    if s.exact:
        first = (f"{_sizes(sorted(s, reverse=True))} {s.unit}{ends} make {r.box.text(s.wanted)}. That is {count}, "
            f"and set {r.box.name} has no shorter way.")
    else:
        off = say.fine(abs(s.off) * (25.4 if s.unit == "inch" else 1))
        first = (
            f"No stack from set {r.box.name} makes {r.box.text(s.wanted)}. The nearest is {r.box.text(s.length)}, "
            f"{off} too {'long' if s.off > 0 else 'short'}: {_sizes(sorted(s, reverse=True))} {s.unit}{ends} ({count})."
        )
    warm = ("" if abs(r.grown) < 5e-6 else f" At the shop's temperature it is {say.fine(abs(r.grown))} "
        f"{'longer' if r.grown > 0 else 'shorter'} than at 20 °C.")
    second = f"In grade {r.grade} the stack is good to {_plus(say, r.half)} (k = 2).{warm}"
    if r.splits:
        first_split = r.splits[0]
        blocks = f"{_sizes(first_split.blocks)} {s.unit} of block and " if first_split.blocks else ""
        line = "" if first_split.on_line else ", between two lines of the dial"
        second += f" On a micrometer stop, take {blocks}{r.box.text(first_split.dial)} on the dial{line}."
    return first + "\n" + second


def _apart(wanted: list[float], lowest: float, gap: float) -> list[float]:
    """Baselines from the lowest upwards, near where they are wanted, a gap apart and under the picture's top."""
    out: list[float] = []
    for y in wanted:
        out.append(min(y, out[-1] - gap if out else lowest))
    for i in range(len(out) - 1, -1, -1):
        out[i] = max(out[i], out[i + 1] + min(gap, 17.0) if i + 1 < len(out) else 16.0)
    return out


def picture_blocks(r: Blocks, say: Say) -> str:
    s = r.stack
    names = [*[(p, "protector") for p in s.protectors[:1]], *[(b, "") for b in sorted(s, reverse=True)],
        *[(p, "protector") for p in s.protectors[1:]]]
    shown = len(names) <= 14
    height = max(250, 60 + 21 * len(names)) if shown else 330
    d = Drawing("A stack of gauge blocks", f"{len(names)} blocks, {r.box.text(s.length)} in all.", WIDTH, height)
    base, tall = height - 26.0, height - 70.0
    x, wide = 148.0, 88.0
    thin = 4.0
    lengths = np.array([size for size, _ in names])
    free = tall - thin * len(names)
    heights = thin + free * lengths / lengths.sum()
    d.rect(x - 40, base, wide + 80, 9, "fill-holder", "thin")
    at, gap = base, min(22.0, (tall + 20) / max(len(names), 1))
    middles = base - np.cumsum(heights) + heights / 2
    labels = _apart([base - 8 - i * gap if len(names) > 8 else middle + 4 for i, middle in enumerate(middles)],
        base - 8, max(gap, 17.0))
    for (size, kind), h, label in zip(names, heights, labels, strict=True):
        d.rect(x, at - h, wide, h, "fill-tool" if kind else "fill-work", "ink", 10 if h > 12 else 0)
        if shown:
            middle = at - h / 2
            d.line([x + wide, x + wide + 26, x + wide + 32], [middle, label - 4, label - 4], "thin")
            d.text(x + wide + 37, label, r.box.text(size) + (" protector" if kind else ""))
        at -= h
    d.dimension(x, at, x, base, "", 26)
    d.text(8, (at + base) / 2 - 4, r.box.text(s.length), kind="halo bold" if s.exact else "halo")
    d.text(8, (at + base) / 2 + 14, _plus(say, r.half), kind="halo small")
    if not s.exact:
        d.text(8, (at + base) / 2 + 32, f"wanted {r.box.text(s.wanted)}", kind="halo small")
    d.text(WIDTH - 8, height - 4, "thin blocks drawn thicker than to scale", "end", "small")
    return d.svg()


def more_blocks(r: Blocks, say: Say) -> str:
    rows = "".join(f"<tr><td>{escape(_sizes(s.blocks) or 'no block')}</td><td>{escape(r.box.text(s.dial))}</td>"
        f"<td>{'on a line' if s.on_line else 'between two lines'}</td></tr>" for s in r.splits)
    table = (f"<table><tr><th>block and dial: block</th><th>dial</th><th>the dial stands</th></tr>{rows}</table>"
        if rows else f"<p>{escape(r.split_refusal)}</p>")
    shares = sorted(r.budget.lines, key=lambda line: -line.share)[:4]
    parts = ", ".join(f"{escape(line.name)}: {plain(100 * line.share, 2)} %" for line in shares if line.share > 0.005)
    return (f"{table}<p>The shares of the uncertainty are {parts}. The grades are those of ISO 3650; wringing is from "
        "memory.</p>")


def keep_box(
    length: str, which: str, own: str, missing: str, protectors: str, grade: str, wringing: str, warm: float
) -> str:
    """Save the sizes typed into the own box, less those missing."""
    gone = stops.read_set(missing).sizes if missing.strip() else ()
    box = stops.gauge_set(_own_box(own) if which == OWN or own.strip() else which, gone)
    shop.add("gauge set", sizes=list(box.sizes), unit=box.unit)
    return f"Kept: your own box with {len(box.sizes)} blocks. Choose “{OWN}” to use it."


STACK = Page(name="stack", title="Which blocks make this length?",
    inputs=(Write("length", "58.345", "work", "length in mm (or write inch)", "in mm, or write inch behind it"),
    Slide("warm", ShopRise, "work", "shop above 20 °C"),
    Choose("which", SETS, "112", "tool", "set of blocks", "pieces in the box; 81 is the inch set"),
    Write("own", "", "tool", "my own box", "sizes of your own blocks, parted by spaces", rows=2),
    Write("missing", "", "tool", "blocks not to use", "missing, or already in another stack"),
    Choose("protectors", tuple(ENDS), "none", "tool", "protector blocks", "wear blocks at the ends"),
    Choose("grade", stops.GRADES, "1", "tool", "grade", "ISO 3650: K and 0 for the laboratory, 1 and 2 for the shop"),
    Choose("wringing", tuple(stops.names_of("wring")), "blocks in the workshop", "tool", "wrung", "how clean")),
    compute=compute_blocks, picture=picture_blocks, words=words_blocks, more=more_blocks,
    presses=(Press("Keep this box", keep_box, "save these sizes as your own box"),))


# ---- how deep will it be? -----------------------------------------------------------------------

TOUCHES, STOPS = tuple(stops.names_of("touch")), tuple(stops.names_of("stop"))
SET_BY = ("gauge blocks", "dial")


@dataclass(frozen=True)
class Depth:
    wanted: float
    tolerance: float         # whole width of the band
    budget: Budget
    error: Likely            # depth less what was wanted, mm
    half: float              # 95 %
    chance: float
    lines: tuple[tuple[str, float], ...]   # name, its own plus-or-minus at two sigma, mm
    touch: str
    stop: str
    forgotten: float         # depth error if the paper is forgotten
    mine: bool               # asked for the user's own readings of the stop
    found: bool              # and there are some
    verdict: str

    @property
    def headline(self) -> str:
        return {HOLDS: "The depth will be right", EDGE: "The depth may be out"}.get(self.verdict, "Do not rely on it")


def compute_depth(depth: float, tolerance: float, material: str, warm: float, touch: str, stop: str, set_by: str,
        grade: str, mine: bool) -> Depth:
    """How deep a stop lets the tool go, with each source of error; mm, K above 20 °C.

    mine: with the scatter of your own stop. Raises Refused for a way to touch or stop that is not known.
    """
    fact = tables.fact("materials", material=material, property="alpha")
    own = shop.numbers(shop.latest("repeatability", name="carriage stop"), "scatter", "dof") if mine else ()
    budget = stops.depth_budget(depth, touch, stop, set_by, grade, rise=warm, expansion=fact.value,
        stop_scatter=own[0] if own else None, stop_dof=own[1] if own else np.inf)
    errors = budget.monte_carlo.samples - depth
    chance = odds(np.abs(errors) <= tolerance / 2)
    lines = sorted(((line.name, 2 * line.contribution) for line in budget.lines if line.contribution > NOTHING),
        key=lambda p: -p[1])
    doubt, _ = stops.spread_of("touch", touch)
    return Depth(depth, tolerance, budget, likely(errors), budget.expanded(), chance, tuple(lines), touch, stop,
        doubt.value, mine, bool(own), verdict(chance))


def words_depth(r: Depth, say: Say) -> str:
    biggest = r.lines[0][0] if r.lines else ""
    middle = r.error.value
    lean = ("where you want it" if abs(middle) < r.half / 10
        else f"{say.fine(abs(middle))} too {'deep' if middle > 0 else 'shallow'}")
    said = [f"A depth of {say.length(r.wanted)} comes out {lean}, ±{say.fine(r.half)} (k = 2). The drawing allows "
        f"±{say.fine(r.tolerance / 2)}, so {_in_ten(r.chance)}.",
        f"The largest contribution is the {biggest}."]
    if r.forgotten:
        said.append(f"The paper's thickness is allowed for. If you forget it, the bore is {say.fine(r.forgotten)} too "
            "shallow.")
    if r.mine:
        said.append("Your own readings of the stop are used." if r.found
            else "You have kept no readings of a carriage stop yet (page “Ten readings”), so the table's spread is "
            "used.")
    return said[0] + "\n" + " ".join(said[1:])


def _in_ten(chance: float) -> str:
    if chance > 0.995:
        return "nearly every part is good"
    if chance < 0.005:
        return "hardly any part is good"
    return f"{plain(100 * chance, 2)} parts in 100 are good"


def bars(d: Drawing, lines: tuple[tuple[str, float], ...], say: Say, top: float, most: float = 0.0, left: float = 168.0,
        row: float = 23.0, spare: float = 84.0) -> None:
    """Who contributes what: one bar a line, longest first, with its size written on it."""
    most = most or max((size for _, size in lines), default=1.0) or 1.0
    spare = max([spare, *(12 + breadth(f"±{say.fine(size)}") for _, size in lines)])   # room for the sizes
    for i, (name, size) in enumerate(lines):
        y = top + i * row
        wide = max((d.width - left - spare) * size / most, 1.0)
        d.text(left - 8, y + 12, name, "end", "small")
        d.rect(left, y + 2, wide, row - 9, "fill-a", "thin", 7 if i == 0 else 0)
        d.text(left + wide + 6, y + 12, f"±{say.fine(size)}", "start", "small halo")


SKETCH = 148.0                   # px: height of the sketch over the bars


def _at_the_stop(d: Drawing, depth: str) -> None:
    """The bar at the bottom of the bore and the carriage at its stop; a sketch, not to scale."""
    back, bottom, face, stop, carriage = 20.0, 96.0, 214.0, 262.0, 340.0   # along the bed, px
    top, wall, bar, axis, bed = 30.0, 46.0, 54.0, 66.0, 126.0              # downwards
    foot = 2 * axis - top
    d.shape([back, face, face, bottom, bottom, face, face, back],
        [top, top, wall, wall, 2 * axis - wall, 2 * axis - wall, foot, foot], "fill-work", "ink", 9)
    d.line([back - 8, face + 10], [axis, axis], "thin")
    d.shape([bottom, bottom + 7, bottom + 7, carriage, carriage, bottom + 7, bottom + 7, bottom],
        [2 * axis - wall, 2 * axis - bar, bar, bar, 2 * axis - bar, 2 * axis - bar, 2 * axis - bar - 4,
        2 * axis - wall], "fill-tool", "ink")
    d.rect(carriage, bar - 14, 90, bed - bar + 14, "fill-holder", "ink")
    d.rect(stop, bed - 22, 24, 22, "fill-holder", "ink")
    d.rect(stop + 24, bed - 16, carriage - stop - 24, 8, "fill-tool", "ink")
    d.line([stop - 16, WIDTH - 20], [bed, bed], "ink")
    d.text(carriage + 45, axis + 8, "carriage", "middle", "small")
    d.text(stop + 12, bed - 28, "stop", "middle", "small halo")
    d.text(face + 4, top - 6, "touched off here", "start", "small halo")
    d.line([face, face], [top - 18, top], "thin")
    d.dimension(bottom, foot, face, foot, depth, 20)


def picture_depth(r: Depth, say: Say) -> str:
    lines = r.lines[:6]
    listed = "; ".join(f"{name} ±{say.fine(size)}" for name, size in lines)
    d = Drawing("How deep it will be", "A boring bar at the bottom of a blind bore while the carriage meets its stop. "
        f"What each step may add to the uncertainty of the depth: {listed}; and the depth against its tolerance.",
        WIDTH, SKETCH + 108 + 23 * len(lines) + 22)
    _at_the_stop(d, say.length(r.wanted))
    d.text(8, SKETCH + 18, "what each step may add (k = 2)", kind="halo")
    bars(d, lines, say, SKETCH + 28)
    y = SKETCH + 40 + 23 * len(lines)
    f, half = say.fine_number, r.tolerance / 2
    ends = max(half, abs(r.error.low), abs(r.error.high)) * 1.25
    strip(d, y + 10, f(-ends), f(ends), (f(-half), f(half)), (f(r.error.value), f(r.error.low), f(r.error.high)),
        say.fine_unit, "depth tolerance", "depth (k = 2)", grip="tolerance", factor=25.4 if say.inch else 1.0)
    return d.svg()


DEPTH = Page(name="depth", title="How deep will it really go?",
    inputs=(Slide("depth", but(StackLength, low=2, high=120, usual=32, step=0.5, says="depth from the face"), "work"),
    Slide("tolerance", but(Tolerance, low=0.005, high=0.3, usual=0.05, says="width of the depth's tolerance band"),
    "work", "depth tolerance, whole width"), Choose("material", MATERIALS, "carbon steel C45 / 1045", "work"),
    Slide("warm", but(WarmerBy, low=0, high=60, usual=5, says="the work above 20 °C while it is cut"), "work",
    "work above 20 °C"),
    Choose("touch", TOUCHES, "ink", "holder", "touched off", "how the tool was brought to the face"),
    Choose("stop", STOPS, "indicator on the carriage", "holder", "carriage stop"),
    Choose("set_by", SET_BY, "gauge blocks", "holder", "stop set by"),
    Choose("grade", stops.GRADES, "1", "holder", "grade of the blocks"),
    Tick("mine", False, "holder", "use my own ten readings of the stop", "kept on the page “Ten readings”")),
    compute=compute_depth, picture=picture_depth, words=words_depth)


# ---- shoulders ----------------------------------------------------------------------------------

DRAWN = ("all from the face", "from shoulder to shoulder")


@dataclass(frozen=True)
class Shoulders:
    positions: tuple[float, ...]
    tolerance: float                 # plus or minus, mm
    way: str
    drawn: str
    chains: tuple[tuple[int, int, Any], ...]
    other: tuple[float, ...]         # rss of the same lengths the other way
    chances: tuple[float, ...]
    worst_at: int
    verdict: str

    @property
    def headline(self) -> str:
        if self.verdict == HOLDS:
            return "It only just holds" if self.chains[self.worst_at][2].rss > self.tolerance else "Every length holds"
        return "The longest chain is at the edge" if self.verdict == EDGE else "The longest chain will not hold"


def _pairs(count: int, drawn: str) -> list[tuple[int, int]]:
    return [(0, i) for i in range(1, count + 1)] if drawn == DRAWN[0] else [(i - 1, i) for i in range(1, count + 1)]


def compute_shoulders(positions: str, tolerance: float, drawn: str, way: str, touch: str, stop: str) -> Shoulders:
    """Errors of several shoulders, each from one zero or from the last, mm, and the chance of each.

    Raises Refused for positions that cannot be read, too many of them or too far away.
    """
    places = read_numbers(positions)
    if not places:
        raise Refused("No shoulders were given. Type their distances from the face, such as 12 30 58 85.")
    if len(places) > MOST_SHOULDERS:
        raise Refused(f"{len(places)} shoulders are more than this page draws; give up to six.")
    if any(place > FARTHEST for place in places):
        raise Refused(f"The shoulders must lie within {FARTHEST:.0f} mm of the face.")
    pairs = _pairs(len(places), drawn)
    other = stops.EACH_OTHER if way == stops.ONE_ZERO else stops.ONE_ZERO
    chains = tuple((a, b, stops.shoulder_chain(places, a, b, way, touch, stop)) for a, b in pairs)
    across = tuple(stops.root_of_squares(stops.shoulder_links(places, a, b, other, touch, stop)) for a, b in pairs)
    half = tolerance / 2
    chances = tuple(chain.odds(half) for _, _, chain in chains)
    worsts = np.array([chain.worst for _, _, chain in chains])
    worst = int(np.flatnonzero(worsts >= worsts.max() * (1 - SAME))[-1])   # of equals the farthest
    return Shoulders(tuple(places), half, way, drawn, chains, across, chances, worst, verdict(min(chances)))


def words_shoulders(r: Shoulders, say: Say) -> str:
    a, b, chain = r.chains[r.worst_at]
    here, other = chain.rss, r.other[r.worst_at]
    what = f"from {_place(a)} to {_place(b)} ({say.length(chain.length)})"
    links = "1 link" if len(chain.links) == 1 else f"{len(chain.links)} links"
    said = [f"The hardest length is {what}, where {_in_ten(min(r.chances))}. Set {r.way}, it has {links}, which add up "
        f"to {_plus(say, chain.rss)} (k = 2). The drawing allows {_plus(say, r.tolerance)}."]
    if abs(here - other) > 0.03 * here:
        said.append(f"Set {stops.EACH_OTHER if r.way == stops.ONE_ZERO else stops.ONE_ZERO}, the same length would be "
            f"{'good to' if other < here else 'good only to'} {_plus(say, other)}.")
    else:
        said.append("Set the other way, it would be about the same.")
    said[-1] += f" If every link erred the same way, this one could be out by {say.fine(chain.worst)}."
    return "\n".join(said)


def _place(place: int) -> str:
    return "the face" if place == 0 else f"shoulder {place}"


def picture_shoulders(r: Shoulders, say: Say) -> str:
    rows = len(r.chains)
    d = Drawing("A chain of shoulders",
        "The part with its shoulders. Under it the touches and stops behind each length, end to end, with what they "
        "make together.", WIDTH, 210 + 30 * rows + 22)
    left, right, centre = 26.0, WIDTH - 20.0, 98.0
    scale = (right - left) / (r.positions[-1] or 1)
    xs = [left + p * scale for p in (0.0, *r.positions)]
    top = 62.0
    step = min(9.0, 50 / len(xs))
    for i in range(len(xs) - 1):
        radius = 26 + step * i
        d.rect(xs[i], centre - radius, xs[i + 1] - xs[i], 2 * radius, "fill-work", "ink", 9)
    d.line([left - 12, right + 12], [centre, centre], "thin")
    d.text(left, 16, "face", "middle", "small halo")
    for i, x in enumerate(xs[1:], 1):
        d.text(x, 16, str(i), "middle", "small halo bold")
        d.line([x, x], [20, top - 30], "faint")
    y = centre + 26 + step * (len(xs) - 2) + 22
    d.text(8, y + 6, "how far each length may be out", kind="halo")
    named = [f"{'face' if a == 0 else a} to {b}, {say.length(chain.length)}" for a, b, chain in r.chains]
    bar = max(150.0, 22 + 1.15 * max(map(breadth, named)))   # bold letters are wider
    spare = 14 + max(breadth(_plus(say, chain.rss)) for _, _, chain in r.chains)
    reach = max(r.tolerance, *(max(c.worst, c.rss) for _, _, c in r.chains))
    scale = (WIDTH - bar - spare) / reach
    for row, (name, (_, _, chain)) in enumerate(zip(named, r.chains, strict=True)):
        at, x = y + 18 + 30 * row, bar
        d.text(bar - 8, at + 12, name, "end", "small bold" if row == r.worst_at else "small")
        for link in chain.links:
            wide = scale * link.plus_minus
            d.rect(x, at + 2, wide, 13, "fill-b" if link.touch else "fill-a", "thin", 0 if link.touch else 5)
            x += wide
        d.dot(bar + scale * chain.rss, at + 8.5, "a", "diamond", 5)
        d.text(WIDTH - spare + 8, at + 13, _plus(say, chain.rss), "start", "small halo")
    foot, allowed = y + 22 + 30 * rows, bar + scale * r.tolerance
    d.line([allowed, allowed], [y + 4, foot], "limit")
    # a half tolerance is drawn, its whole width is set
    d.handle("tolerance", allowed, y + 4, 2e3 / scale)
    words = f"allowed {_plus(say, r.tolerance)}"
    d.text(d.within(allowed, words), foot + 14, words, "middle", "small halo")
    d.text(8, foot + 34, "plain: a touch; hatched: a stop; diamond: together (k = 2)", "start", "small")
    return d.svg()


def more_shoulders(r: Shoulders, say: Say) -> str:
    rows = "".join(
        f"<tr><td>{a or 'face'} to {b}</td><td>{_plus(say, chain.worst)}</td><td>{_plus(say, chain.rss)}</td>"
        f"<td>{_plus(say, (chain.high - chain.low) / 2)}</td><td>{plain(100 * chance, 2)} %</td></tr>"
        for (a, b, chain), chance in zip(r.chains, r.chances, strict=True))
    a, b, chain = r.chains[r.worst_at]
    eats = ", ".join(f"{escape(link.name)}: {plain(100 * share, 2)} %" for link, share in
        zip(chain.links, chain.shares(r.tolerance), strict=True))
    return ("<table><tr><th>length</th><th>worst case</th><th>root of squares</th><th>random sampling, 19 in 20</th>"
        f"<th>good</th></tr>{rows}</table><p>Shares of the tolerance from {_place(a)} to {_place(b)}, each link alone: "
        f"{eats}. They need not add up to 100 %, because errors add by their squares.</p>")


SHOULDERS = Page(name="shoulders", title="A chain of shoulders: from one zero, or each from the one before?",
    inputs=(
    Write("positions", "12 30 58 85", "work", "shoulders from the face, mm", "rising distances, parted by spaces"),
    Slide("tolerance", but(Tolerance, low=0.005, high=0.3, usual=0.05, says="width of each length's tolerance band"),
    "work", "tolerance of each length, whole width"), Choose("drawn", DRAWN, DRAWN[0], "work", "drawing gives lengths"),
    Choose("way", (stops.ONE_ZERO, stops.EACH_OTHER), stops.EACH_OTHER, "holder", "shoulders set"),
    Choose("touch", TOUCHES, "ink", "holder", "touched off"),
    Choose("stop", STOPS, "indicator on the carriage", "holder", "carriage stop")), compute=compute_shoulders,
    picture=picture_shoulders, words=words_shoulders, more=more_shoulders)
