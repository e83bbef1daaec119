"""Pages of the cutting chapter: does the edge still cut, and do the chips break."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

import numpy as np

from .. import cutting
from ..core import tables
from ..core.quantity import Say, but
from ..core.shared import WorkDiameter
from ..core.spread import EDGE, FAILS, HOLDS, verdict
from ..cutting import chips, surface_finish
from ..cutting.quantities import DepthOfCut, TurnLength
from ..screen.draw import Chart, Drawing, breadth
from ..screen.page import Choose, Page, Slide, Tick
from .cutting import EDGES, MATERIALS, Nose, SmallFeed, _range, _table, _two

# ---- sharpness ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class SharpAnswer:
    edge: str
    radius: tables.Fact
    nose_radius: float
    depth: float
    feed: float
    sharp: surface_finish.Sharpness
    along: np.ndarray  # mm of edge from the end that makes the surface
    thickness: np.ndarray  # mm
    verdict: str

    @property
    def headline(self) -> str:
        return {HOLDS: "It cuts", EDGE: "It may only rub", FAILS: "It rubs"}[self.verdict]


def _sharp(edge: str, nose_radius: float, depth: float, feed: float) -> SharpAnswer:
    """Whether an edge still lifts a chip at this depth and feed, and how thick it is along the edge; mm.

    Raises Refused for a cut that cannot be.
    """
    chip = cutting.nose_chip(depth, feed, nose_radius)
    order = np.argsort(chip.angle[:-1], kind="stable")  # the last place is the straight edge after the nose
    along, thick = np.asarray(chip.angle[:-1])[order] * nose_radius, np.asarray(chip.thickness[:-1])[order]
    if chip.edge[-1] > 0:
        along = np.append(along, [along[-1] + chip.edge[-1]])
        thick = np.append(thick, [chip.thickness[-1]])
    sharp = surface_finish.sharpness(edge, depth, feed, nose_radius)
    return SharpAnswer(edge, surface_finish.edge(edge), nose_radius, depth, feed, sharp, along - along[0], thick,
        verdict(sharp.cuts))


def _sharp_words(r: SharpAnswer, say: Say) -> str:
    s = r.sharp
    words = [f"The minimum chip thickness of this edge is {s.least_chip.text(say)}.",
        f"At its thickest, this cut's chip is {say.fine(s.thickest)}."]
    share = (f"{round(100 * s.cutting_share.low)} to {round(100 * s.cutting_share.high)} % of the edge in contact")
    if r.verdict == FAILS:
        words.append("The edge only burnishes and hardens the surface, and takes nothing off.")
    elif r.verdict == EDGE:
        words.append(f"It may cut or rub, with {share}.")
    else:
        words.append(f"It cuts with {share}. The rest, next to the finished surface, rubs.")
    if np.isinf(s.lightest.value):
        words.append("At this feed no depth of cut makes a thick enough chip, so raise the feed.")
    elif np.isinf(s.lightest.high):
        words.append(f"The lightest cut at this feed is about {say.fine(s.lightest.value)} deep. A duller edge has "
            "none.")
    else:
        lighter = s.lightest.value > 1.05 * s.least_chip.value
        words.append(f"The lightest cut at this feed is {s.lightest.text(say, named=False)} deep. "
            + ("A coarser feed allows a lighter one." if lighter else "Only a keener edge allows a lighter one."))
    return " ".join(words[:2]) + "\n" + " ".join(words[2:])


def _sharp_picture(r: SharpAnswer, say: Say) -> str:
    s = r.sharp
    x, h = say.length_number(r.along), say.fine_number(r.thickness)
    top = float(say.fine_number(1.2 * max(s.thickest, 1.5 * s.least_chip.value)))
    chart = Chart("Chip thickness along the edge",
        f"Thickest {say.fine(s.thickest)}; the edge lifts {s.least_chip.text(say)} and more.",
        x=("along the edge, from the finished surface", say.length_unit, 0.0, float(x[-1])),
        y=("chip thickness", say.fine_unit, 0.0, top))
    low, high = (float(say.fine_number(v)) for v in (s.least_chip.low, s.least_chip.high))
    ends = np.array([0.0, float(x[-1])])
    chart.band(ends, np.zeros(2), np.full(2, low), "b")
    chart.band(ends, np.full(2, low), np.full(2, high), "b")
    chart.level(float(say.fine_number(s.least_chip.value)), "rubs below this", "b")
    chart.curve(x, h, "", "a")
    chart.height += 176
    _edge_close(chart, 300, r, say)
    return chart.svg()


def _edge_close(drawing: Drawing, y: float, r: SharpAnswer, say: Say) -> None:
    """The rounded edge, seen along itself, with the thickest chip of this cut and the least one."""
    rn, chip, least = r.radius.value, r.sharp.thickest, r.sharp.least_chip.value
    scale = 100.0 / max(2.2 * rn, 1.3 * chip, 1e-6)  # px per mm
    base, tip = y + 128.0, 250.0  # the finished surface and the edge's lowest place
    radius = rn * scale
    # rake 8°, clearance 8°: the flanks leave the circle as tangents
    rake, clear = np.radians(8), np.radians(8)
    arc = np.linspace(np.pi + rake, 1.5 * np.pi + clear, 30)
    cx, cy = tip, base - radius
    ax, ay = cx + radius * np.cos(arc), cy - radius * np.sin(arc)
    up = max((ay[0] - (y + 12)) / np.cos(rake), 1.0)
    back = 190.0
    xs = np.concatenate(
        [[ax[0] + up * np.sin(rake)], ax, [ax[-1] + back * np.cos(clear)], [ax[-1] + back * np.cos(clear)]])
    ys = np.concatenate([[ay[0] - up * np.cos(rake)], ay, [ay[-1] - back * np.sin(clear)], [y + 12]])
    chip_y, least_y = base - chip * scale, base - least * scale
    drawing.shape([10, cx, cx, 10], [chip_y, chip_y, base, base], "fill-a", "", 0)
    drawing.line([10, cx], [chip_y, chip_y], "ink")
    drawing.line([10, cx], [least_y, least_y], "b")
    wide = drawing.width - 10
    drawing.shape([10, wide, wide, 10], [base, base, base + 16, base + 16], "fill-work", "", 8)
    drawing.line([10, wide], [base, base], "ink")
    drawing.shape(xs, np.maximum(ys, y + 4), "paper", "", 0)
    drawing.shape(xs, np.maximum(ys, y + 4), "fill-tool", "ink", 0)
    under, apart = (
        least_y < chip_y,
        abs(least_y - chip_y) > 17,
    )  # of two lines close together the lower is named below the surface
    drawing.text(14, base + 13 if under and not apart else max(chip_y - 5, y + 10), f"this chip {say.fine(chip)}",
        "start", "small halo")
    drawing.text(14, least_y - 4 if under or apart else base + 13, f"minimum chip {say.fine(least)}", "start",
        "small halo")
    drawing.text(tip + 110, y + 40, f"edge radius {say.fine(rn)}", "middle", "small halo")
    drawing.text(drawing.width - 14, base + 32, f"scale {_two(scale / 3.78)} : 1", "end", "small")


def _sharp_more(r: SharpAnswer, say: Say) -> str:
    rows = [
        (kind, f"rounded {say.fine(fact.low)} to {say.fine(fact.high)}; minimum chip about "
        f"{say.fine(0.3 * fact.value)} ({fact.basis})") for kind in EDGES for fact in [surface_finish.edge(kind)]]
    return _table(rows)


SHARP = Page(name="cutting_sharpness", title="Does this edge still cut, or does it rub?",
    inputs=(Choose("edge", EDGES, "HSS, honed on a fine stone", "tool", "edge"),
    Slide("nose_radius", Nose, "tool", "nose radius"),
    Slide("depth", but(DepthOfCut, low=0.002, high=0.3, usual=0.01), "cut", "depth of cut"),
    Slide("feed", SmallFeed.but(usual=0.04), "cut", "feed per revolution")), compute=_sharp, picture=_sharp_picture,
    words=_sharp_words, more=_sharp_more)

# ---- chips ----------------------------------------------------------------------------------------


CHANGES: dict[chips.ChangeKind, tuple[str, str]] = {   # what to change, and why
    "feed": (
        "Raise the feed to {feed} per revolution.",
        "A thick chip cracks where a thin one only curls. A third of the nose radius is the most for a finish; the "
        "finish page says what it costs.",
    ),
    "speed": (
        "Lower the spindle speed by a quarter or a third.",
        "At low speed the chip comes off thicker and stiffer; in steel watch for a built-up edge.",
    ),
    "nose": (
        "Take a smaller nose: {nose_radius}, with a feed of {feed}.",
        "The chip then runs across the edge into the breaker and not sideways off the nose.",
    ),
    "depth": (
        "Cut deeper: {depth}, in fewer passes.",
        "Plan them so that the last one still has its share.",
    ),
    "breaker": (
        "Give the tool a breaker: a ground step, or an insert with a finishing breaker.",
        "It curls the chip tight, so that its skin must stretch.",
    ),
    "pause": (
        "Interrupt the feed every few millimetres for one or two revolutions, spindle running.",
        "The chip ends where the feed does. It leaves a faint ring, so do it when roughing only.",
    ),
    "free-cutting": (
        "Ask for the free-cutting grade of the metal.",
        "Sulphur or lead make the chip brittle.",
    ),
}


def change_words(change: chips.Change, say: Say) -> str:
    """What to change, with its lengths in the reader's unit."""
    lengths = {name: say.length(getattr(change, name), 2) for name in ("feed", "nose_radius", "depth")}
    return CHANGES[change.kind][0].format(**lengths)


@dataclass(frozen=True)
class ChipAnswer:
    material: str
    diameter: float
    inside: bool
    nose_radius: float
    depth: float
    feed: float
    window: chips.Window
    heap: chips.Heap
    changes: tuple[chips.Change, ...]
    map: chips.WindowMap

    @property
    def verdict(self) -> str:
        return HOLDS if self.window.breaks >= 0.7 else EDGE if self.window.breaks >= 0.3 else FAILS

    @property
    def headline(self) -> str:
        words = {HOLDS: "Chips should break", EDGE: "Chips may break or string", FAILS: "Expect strings"}
        return words[self.verdict]


def _chip(material: str, diameter: float, length: float, inside: bool, nose_radius: float, breaker: bool, depth: float,
        feed: float) -> ChipAnswer:
    """Chance that the chips break, the room they take and what to change first; mm.

    Raises Refused for a cut or a material that is not known.
    """
    return ChipAnswer(material, diameter, inside, nose_radius, depth, feed,
        chips.chip_window(depth, feed, nose_radius, material, breaker),
        chips.heap(diameter, length, depth, feed, material), chips.advice(depth, feed, nose_radius, material, breaker),
        chips.window_map(float(nose_radius), material, bool(breaker)))


def _length(low: float, high: float, say: Say) -> str:
    return _range(low / 304.8, high / 304.8, "ft") if say.inch else _range(low / 1e3, high / 1e3, "m")


def _room(value: float, say: Say) -> str:
    return f"{_two(value / 16387.064)} cubic inch" if say.inch else f"{_two(value / 1e3)} cm³"


def _odds(share: float) -> str:
    known = "under 5" if share < 0.05 else "over 95" if share > 0.95 else f"about {round(100 * share)}"
    return f"{known} %"


def _chip_words(r: ChipAnswer, say: Say) -> str:
    w, h = r.window, r.heap
    words = [f"The chance that the chips break is {_odds(w.breaks)}."]
    wrong = [c for c in w.checks if c.chance < 0.5] if w.stringiness else []
    says = {"depth over nose radius": ("the cut is shallower than the nose radius, so the chip runs off sideways", ""),
        "feed over nose radius": ("the feed is too fine for this nose radius",
        "the feed is too coarse for this nose radius"),
        "strain of the chip's skin": ("the chip is too thin to snap as it curls", ""),
        "depth over feed": ("the chip is too stubby for its feed", "the chip is a flat ribbon, wide and thin")}
    if wrong:
        reasons = [says[c.name][0 if c.value < c.low or c.value <= (c.low + min(c.high, 1e9)) / 2 else 1]
            for c in sorted(wrong, key=lambda c: list(says).index(c.name))[:2]]
        words.append(f"{', and '.join(reasons).capitalize()}.")
    words.append(f"Unbroken, this one pass makes a string {_length(h.length.low, h.length.high, say)} long.")
    if r.inside:
        fits = "more than the bore holds" if h.tangled.value > h.bore else "less than the bore holds"
        words.append(f"Tangled, it fills about {_room(h.tangled.value, say)}, {fits} ({_room(h.bore, say)}).")
    if w.breaks < 0.7:
        first = change_words(r.changes[0], say)
        after = max((c.breaks for c in r.changes if c.breaks is not None), default=w.breaks)
        words.append(f"Change first: {first[0].lower()}{first[1:]}")
        if after > w.breaks + 0.05:
            words.append(f"With the whole list below the chance is {_odds(after)}.")
    words.append("Never clear a string by hand: stop the spindle, then use a hook or pliers.")
    two = 1 + bool(wrong)
    return " ".join(words[:two]) + "\n" + " ".join(words[two:])


def _edges_of(breaks: np.ndarray, depth: np.ndarray, level: float) -> tuple[np.ndarray, np.ndarray]:
    """For every feed the least and most depth with chance over the level, between the points; nan for none."""
    good, log_depth = breaks >= level, np.log(depth)
    some, columns, last = good.any(0), np.arange(breaks.shape[1]), len(depth) - 1

    def crossing(inner: np.ndarray, outer: np.ndarray) -> np.ndarray:
        outer = np.clip(outer, 0, last)
        a, b = breaks[inner, columns], breaks[outer, columns]
        share = np.where(a == b, 0.0, (a - level) / np.where(a == b, 1.0, a - b))
        between = log_depth[inner] + share * (log_depth[outer] - log_depth[inner])
        return np.where(some, np.exp(between), np.nan)

    first, final = good.argmax(0), last - good[::-1].argmax(0)
    return crossing(first, first - 1), crossing(final, final + 1)


def _chip_picture(r: ChipAnswer, say: Say) -> str:
    m = r.map
    x, y = say.length_number(m.feed), say.length_number(m.depth)
    chart = Chart("Where chips break",
        f"Feed and depth with the chance of broken chips; for this cut {_odds(r.window.breaks)}.",
        x=("feed per revolution", say.length_unit, float(x[0]), float(x[-1])),
        y=("depth of cut", say.length_unit, float(y[0]), float(y[-1])), log_x=True, log_y=True, height=320)
    deep = float(chart.at_y(say.length_number(r.depth))) < chart.top + 80   # names stand where this cut does not
    foot = chart.bottom - 12
    for row, (level, kind, name) in enumerate(((0.2, "c", "sometimes break"), (0.5, "a", "mostly break"))):
        low, high = _edges_of(m.breaks, m.depth, level)
        good = np.isfinite(low)
        if good.sum() > 1:
            chart.band(x[good], say.length_number(low[good]), say.length_number(high[good]), kind)
            chart.curve(x[good], say.length_number(high[good]), "", kind)
            chart.curve(x[good], say.length_number(low[good]), "", kind)
            inside = np.flatnonzero(good)[[1, len(low[good]) // 2][row] if good.sum() > 2 else 0]
            _named(chart, float(x[inside]), float(say.length_number(np.sqrt(low[inside] * high[inside]))), name,
                foot - 24 * row if deep else chart.top + 46 - 24 * row)
    chart.level(float(say.length_number(r.nose_radius)), "depth = nose radius")
    chart.mark(float(say.length_number(r.feed)), float(say.length_number(r.depth)), "this cut", "b", "diamond")
    return chart.svg()


def _named(chart: Chart, x: float, y: float, name: str, down: float) -> None:
    """The name of a zone beside it, with a leader to a point inside."""
    px, py = float(chart.at_x(x)), float(chart.at_y(y))
    left = px > chart.left + breadth(name) + 60
    words = (chart.left + 12 if left else chart.right - 12 - breadth(name)), down
    chart.line([words[0] + (breadth(name) + 4 if left else -4), px], [words[1] - 4, py], "thin")
    Drawing.dot(chart, px, py, "d", "circle", 2.5)
    chart.text(*words, name, "start", "small halo")


def _chip_more(r: ChipAnswer, say: Say) -> str:
    rows = "".join(f"<li><b>{escape(change_words(c, say))}</b> {escape(CHANGES[c.kind][1])}"
        + ("" if c.breaks is None else f" <i>The chance is then {_odds(c.breaks)}.</i>") + "</li>" for c in r.changes)
    checks = _table(
        [
        (c.name, f"{_two(c.value)} (wanted {_two(c.low)}"
        + (" and more)" if np.isinf(c.high) else f" to {_two(c.high)})")) for c in r.window.checks])
    title = "What to change, in this order (common practice); each line keeps the ones before it."
    return f"<p>{title}</p><ol>{rows}</ol>{checks}"


CHIPS = Page(name="cutting_chips", title="Will the chips break, and what do I change first?",
    inputs=(Choose("material", MATERIALS, "medium-carbon steel", "work"),
    Slide("diameter", but(WorkDiameter, low=2, high=120, usual=10), "work", "diameter being cut"),
    Slide("length", but(TurnLength, high=200, usual=32), "work", "length of the cut"),
    Tick("inside", True, "work", "inside, in a bore"), Slide("nose_radius", Nose, "tool", "nose radius"),
    Tick("breaker", True, "tool", "tool has a chip breaker"),
    Slide("depth", but(DepthOfCut, low=0.02, usual=0.15), "cut", "depth of cut"),
    Slide("feed", SmallFeed.but(usual=0.05), "cut", "feed per revolution")), compute=_chip, picture=_chip_picture,
    words=_chip_words, more=_chip_more)

# They stand in the chapter, word for word.
CAUTIONS = ("A string of chip is a saw blade tied to a spindle. Never touch it by hand, with gloves or without: "
    "stop the spindle, wait until it stands still, then use a hook with a guard, or pliers.",
    "Loose sleeves, gloves, rings, scarves and long hair have no place at a running lathe: a string takes "
    "them along.", "Wear eye protection: chips that break well fly far, and hot.",
    "Take the chuck key out before you let go of it, every time: a spindle that starts with the key in " "throws it.",
    "Carbide dust, and the cobalt in it, harms the lungs. Grind and lap carbide wet or with extraction, and "
    "wash your hands before you eat.",
    "Do not file at a running lathe unless you have been shown how. A file needs a sound handle on its tang, "
    "and arms stay clear of the jaws. Abrasive cloth wrapped round turning work takes fingers.",
    "The machine's manual, the rules of your shop and a qualified instructor come before anything on this " "page.")
