"""Pages of the chapter on threads: sizes, wires, passes, thin nuts."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from .. import threads
from ..core import tables
from ..core.quantity import Refused, Say, but, plain
from ..core.shared import LeastChip, Passes, Tolerance
from ..core.spread import EDGE, HOLDS, Likely, about, likely, odds, sample, verdict
from ..core.tables import assumed
from ..screen.draw import WIDTH, Chart, Drawing, strip
from ..screen.page import Choose, Page, Slide, Write
from ..threads import single_point as tc
from ..threads.quantities import (
    EngagedLength,
    InfeedAngle,
    NutOutside,
    OverWires,
    Preload,
    ThreadPitch,
    TipFlat,
    WireDiameter,
)

MATERIALS = ("carbon steel C45 / 1045", "brass CuZn39Pb3", "aluminium 6082")
ROOT = 17 / 24 - 3 / 8   # of a rounded root below the pitch line, in heights of the triangle
ASKEW = 0.5   # degrees: what half a degree on the flank does is told
THREAD = Write("thread", "M18x1", "work", "thread, as M18x1, M10 or 1/4-20 UNC")


def _profile(d: Drawing, x: float, y: float, scale: float, pitch: float, turns: int, internal: bool) -> None:
    """A 60° thread drawn from x, its pitch line at y; the metal lies below, or above for a nut."""
    h = math.sqrt(3) / 2 * pitch
    crest, root = (h / 4, 3 * h / 8) if internal else (3 * h / 8, ROOT * h)
    half = math.tan(math.pi / 6)
    xs, ys = [x], [y + scale * root]
    for n in range(turns):
        a = x + n * pitch * scale
        for at, up in ((pitch / 4 - root * half, -root), (pitch / 4 + crest * half, crest),
                (3 * pitch / 4 - crest * half, crest), (3 * pitch / 4 + root * half, -root)):
            xs.append(a + at * scale)
            ys.append(y - up * scale)
    xs.append(x + turns * pitch * scale)
    ys.append(y + scale * root)
    if internal:
        ys = [2 * y - v for v in ys]
    far = y + (-1 if internal else 1) * (0.62 * pitch * scale + 22)
    d.shape([*xs, xs[-1], xs[0]], [*ys, far, far], "fill-work", hatch=9)
    d.line(xs, ys)


def _exact(value: float, say: Say, unit: bool = True) -> str:
    """A length as thread tables print it: to a micron, or a tenth of a thou."""
    text = f"{value / 25.4:.4f}" if say.inch else f"{value:.3f}"
    return f"{text} {say.length_unit}" if unit else text


# ---- sizes -------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Sizes:
    thread: threads.Thread
    basic: threads.Basic
    limits: threads.Limits
    bore: threads.Bore | None
    relief: threads.Relief | None
    engaged: tuple[float, float]


def compute_sizes(thread: str, tolerance: str) -> Sizes:
    """Basic sizes, limits, bore, relief and engagement of a thread as typed, mm. Raises Refused where none is known."""
    t = threads.read(thread)
    limits = threads.limits(thread, tolerance)
    try:
        groove = None if t.inch else threads.relief(thread, limits.internal)
    except Refused:
        groove = None
    return Sizes(t, threads.basic(thread), limits, threads.bore_for(thread, tolerance) if limits.internal else None,
        groove, threads.normal_engagement(t.pitch, t.major))


def words_sizes(r: Sizes, say: Say) -> str:
    def span(pair: tuple[float, float]) -> str:
        return f"{_exact(pair[0], say, False)} to {_exact(pair[1], say)}"

    if r.limits.internal:
        assert r.bore is not None
        said = [f"For {r.thread.name} {r.limits.tolerance}, bore to {_exact(r.bore.aim, say)}. The limits are "
            f"{span(r.limits.minor)}, and they leave {round(100 * r.bore.least_engagement)} to "
            f"{round(100 * r.bore.most_engagement)} % of the thread height. The pitch diameter is "
            f"{span(r.limits.pitch)}, and the bottom of the groove at least {_exact(r.limits.major[0], say)}."]
    else:
        said = [f"For {r.thread.name} {r.limits.tolerance}, turn the outside to {span(r.limits.major)}. The pitch "
            f"diameter is {span(r.limits.pitch)}, and the root at the bottom of the groove {span(r.limits.minor)}."]
    rest = f"The limits are from {r.limits.source}."
    if r.relief:
        rest += (f" At a shoulder, cut the relief to Ø{say.length(r.relief.groove, 4)}, "
            f"{say.length(r.relief.shortest, 3)} to {say.length(r.relief.longest, 3)} wide.")
    return " ".join(said) + "\n" + rest


def picture_sizes(r: Sizes, say: Say) -> str:
    d = Drawing(f"{r.thread.name}: the profile and its limits", words_sizes(r, say), WIDTH, 330)
    p, h = r.thread.pitch, r.basic.height
    scale, y = 92 / p, 124.0
    internal = r.limits.internal
    _profile(d, 14, y, scale, p, 3, internal)
    lines = (("groove" if internal else "outside", r.limits.major, -3 * h / 8, "b"),
        ("pitch Ø", r.limits.pitch, 0.0, "a"),
        ("bore" if internal else "root", r.limits.minor, h / 4 if internal else ROOT * h, "c"))
    heights = [y + scale * place for _, _, place, _ in lines]
    for (name, span, place, kind), at in zip(lines, heights, strict=True):
        d.line([14, 292], [at, at], kind)
        beside = y + 40 * (lines.index((name, span, place, kind)) - 1)
        d.line([292, 300], [at, beside], "thin")
        least = _exact(span[0], say)
        open_end = math.isinf(span[1])
        d.text(304, beside - 2, f"{name} {least if open_end else _exact(span[1], say, False)}", kind="small halo")
        d.text(304, beside + 13, "or more" if open_end else f"to {least}", kind="small halo")
    across = y + scale * h / 4 + 24 if internal else y - 3 * scale * h / 8 - 12
    d.dimension(14 + 0.5 * scale * p, across, 14 + 1.5 * scale * p, across, f"pitch {say.length(p)}")
    d.text(14, y + 104, "nut above its bore" if internal else "screw, its axis below", kind="small")
    zones = ("groove", "pitch Ø", "bore") if internal else ("outside", "pitch Ø", "root")
    shown = [(name, span, basic) for name, span,
        basic in zip(zones, (r.limits.major, r.limits.pitch, r.limits.minor),
        (round(r.basic.major, 3), round(r.basic.pitch, 3), round(r.basic.minor, 3)), strict=True)
        if not math.isinf(span[1])]
    most = max(max(abs(v - basic) for v in span) for _, span, basic in shown)
    d.text(14, 258, f"limits from the basic size, {say.fine_unit}", kind="small")
    zero = 96.0 if internal else 440.0
    width = 250 / most
    for row, (name, span, basic) in enumerate(shown):
        at = 274 + 20 * row
        low, high = ((v - basic) * width for v in span)
        d.rect(zero + low, at - 9, max(high - low, 1), 12, ("fill-b", "fill-a", "fill-c")[zones.index(name)], "thin", 6)
        numbers = f"{say.bare(span[0] - basic, 3)} to {say.bare(span[1] - basic, 3)}"
        if internal:
            d.text(zero + high + 6, at + 2, numbers, kind="small halo")
            d.text(14, at + 2, name, kind="small")
        else:
            d.text(zero + low - 6, at + 2, f"{name}  {numbers}", "end", "small halo")
    d.line([zero, zero], [262, 274 + 20 * len(shown) - 8], "ink")
    return d.svg()


def more_sizes(r: Sizes, say: Say) -> str:
    rows = "".join(f"<tr><td>{name}</td><td>{_exact(basic, say)}</td><td>{_exact(low, say)}</td><td>"
        f"{'–' if math.isinf(high) else _exact(high, say)}</td></tr>" for name, basic,
        (low, high) in (
        ("major Ø (groove)" if r.limits.internal else "major Ø (outside)", r.basic.major, r.limits.major),
        ("pitch Ø", r.basic.pitch, r.limits.pitch),
        ("minor Ø (bore)" if r.limits.internal else "minor Ø (root)", r.basic.minor, r.limits.minor)))
    note = ("" if r.limits.internal
        else " A screw's minor diameter runs from its rounded root (radius P/8) to the basic profile "
        "moved in by the allowance.")
    return (f"<table><tr><th></th><th>basic</th><th>least</th><th>most</th></tr>{rows}</table><p>The class holds for "
        "engaged " f"lengths of about {say.length(r.engaged[0], 2)} to {say.length(r.engaged[1], 2)}.{note}</p>")


SIZES = Page(name="thread_sizes", title="What sizes must this thread have?",
    inputs=(THREAD, Write("tolerance", "6g", "work", "class: 6g screw, 6H nut, 2A, 2B")), compute=compute_sizes,
    picture=picture_sizes, words=words_sizes, more=more_sizes)


# ---- wires -------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Wires:
    thread: threads.Thread
    limits: threads.Limits
    wire: float
    best: float
    reading: float
    pitch: Likely
    aim: tuple[float, float]   # readings at the least and the most pitch diameter
    off_mark: float            # what a flank half a degree out does to the answer with this wire, mm
    verdict: str

    @property
    def headline(self) -> str:
        return {HOLDS: "Yes, it is on size", EDGE: "It may be out of size"}.get(self.verdict, "No, it is out of size")


def compute_wires(thread: str, tolerance: str, wire: float, reading: float, doubt: float) -> Wires:
    """Pitch diameter from a reading over three wires, with its range, against its limits; mm.

    wire: 0 takes the best one. Raises Refused for a nut, a wire or a reading that cannot be.
    """
    t, limits = threads.read(thread), threads.limits(thread, tolerance)
    if limits.internal:
        raise Refused("Wires measure screws. For a nut use a plug gauge, or choose a class for screws such as 6g.")
    best = float(tc.best_wire(t.pitch))
    w = wire if wire > 0 else best
    tc.check_wire(t, w)
    first = float(tc.pitch_from_reading(thread, reading, w))
    if abs(first - threads.basic(thread).pitch) > t.pitch:
        raise Refused(f"A reading of {plain(reading, 5)} mm is out of reach of {t.name}, which reads about "
            f"{plain(float(tc.wire_reading(thread, wire=w)), 5)} mm over these wires. Check thread, wires and reading.")
    flank = assumed("flank angle of a thread")
    drawn = sample(reading=about(reading, doubt), wire=assumed("wire for threads").around(w), flank=flank.range)
    found = tc.from_wires(drawn["reading"], t.pitch, drawn["wire"], drawn["flank"]) - tc.wire_lift(w, t.pitch, first)
    # the half-angle's error counts only as far as the wire misses the pitch line
    low, high = (float(tc.wire_reading(thread, d2, w)) for d2 in limits.pitch)
    bent = float(tc.from_wires(reading, t.pitch, w, flank.value + ASKEW)
        - tc.from_wires(reading, t.pitch, w, flank.value))
    chance = odds((found >= limits.pitch[0]) & (found <= limits.pitch[1]))
    return Wires(t, limits, w, best, reading, likely(found), (low, high), bent, verdict(chance))


def words_wires(r: Wires, say: Say) -> str:
    said = [f"Over wires of {say.length(r.wire, 4)} a reading of {_exact(r.reading, say)} means a pitch diameter of "
        f"{_fine_length(r.pitch, say)}. {r.limits.tolerance} allows {_exact(r.limits.pitch[0], say, False)} to "
        f"{_exact(r.limits.pitch[1], say)}."]
    over, under = r.pitch.value - r.limits.pitch[1], r.limits.pitch[0] - r.pitch.value
    if over > 0:
        said.append(f"It is {say.fine(over, 3)} too large. Go {say.fine((over + _half(r)) / 2, 3)} deeper on radius to "
            "come to the middle of the tolerance.")
    elif under > 0:
        said.append(f"It is {say.fine(under, 3)} too small, and nothing puts that back.")
    else:
        said.append(f"A good thread reads {_exact(r.aim[0], say, False)} to {_exact(r.aim[1], say)} over these wires.")
    if abs(r.off_mark) > 0.002:
        said.append(f"The best wire is {say.length(r.best, 4)}. With this one, a flank half a degree out shifts the "
            f"answer by {say.fine(abs(r.off_mark))}.")
    return said[0] + "\n" + " ".join(said[1:])


def _half(r: Wires) -> float:
    return (r.limits.pitch[1] - r.limits.pitch[0]) / 2


def _fine_length(v: Likely, say: Say) -> str:
    """A length and its range to a micron, or a ten-thousandth of an inch."""
    a, b, c = (_exact(x, say, False) for x in (v.value, v.low, v.high))
    return f"{a} {say.length_unit}" if b == c else f"{a} (90 % range {b} to {c} {say.length_unit})"


def picture_wires(r: Wires, say: Say) -> str:
    d = Drawing(f"{r.thread.name} over three wires", words_wires(r, say), WIDTH, 326)
    p = r.thread.pitch
    h = math.sqrt(3) / 2 * p
    scale, y, x = 84 / p, 112.0, 30.0
    _profile(d, x, y, scale, p, 3, False)
    # middle of a wire over the pitch line
    up = r.wire - h / 2
    for n in (1, 2):
        cx = x + n * p * scale
        d.circle(cx, y - up * scale, r.wire / 2 * scale, "fill-tool")
        d.circle(cx, y - up * scale, r.wire / 2 * scale, "ink")
        touch = up - r.wire / 4
        for side in (-1, 1):
            d.dot(cx + side * r.wire / 2 * scale * math.cos(math.pi / 6), y - touch * scale, "b", size=3.5)
    d.line([x, x + 3 * p * scale], [y, y], "a")
    d.text(x + 3 * p * scale + 6, y + 5, "pitch line", kind="small halo")
    top = y - (up + r.wire / 2) * scale
    d.rect(x + 12, top - 15, 3 * p * scale - 24, 15, "fill-holder", "thin")
    d.text(x + 3 * p * scale + 6, top - 4, "micrometer", kind="small halo")
    d.text(x, y + 106, "dots: where the wires touch the flanks", kind="small")
    places = 4 if say.inch else 3
    low, high = r.limits.pitch
    width = high - low
    a, b = min(low, r.pitch.low) - 0.3 * width, max(high, r.pitch.high) + 0.3 * width
    base = round(float(say.length_number(low)), 2 if not say.inch else 3)
    unit = f"{say.fine_unit} from {base:.{places - 1}f} {say.length_unit}"

    def fine(v: float) -> float:
        return float(say.fine_number(v - base * (25.4 if say.inch else 1.0)))

    strip(d, 254, fine(a), fine(b), (fine(low), fine(high)),
        (fine(r.pitch.value), fine(r.pitch.low), fine(r.pitch.high)), unit, f"{r.limits.tolerance}: good", "pitch Ø")
    return d.svg()


def more_wires(r: Wires, say: Say) -> str:
    lead = math.degrees(math.atan(float(tc.lead_slope(r.thread.pitch, r.pitch.value))))
    lift = float(tc.wire_lift(r.wire, r.thread.pitch, r.pitch.value))
    return f"<p>Lead angle {plain(lead, 2)}°: it lifts the reading by {say.fine(lift)}, taken off above.</p>"


WIRES = Page(name="thread_wires", title="Is the thread on size? Measure over three wires",
    inputs=(THREAD, Write("tolerance", "6g", "work", "class of the screw"),
    Slide("wire", but(WireDiameter, low=0, high=3.5, usual=0.58, step=0.01), "tool", "wires (0: best)"),
    Slide("reading", but(OverWires, low=2, high=70, usual=18.15, step=0.005), "cut", "reading over the wires"),
    Slide("doubt",
    but(Tolerance, low=0.0005, high=0.02, usual=0.003, says="what the reading may be out, nineteen times in twenty"),
    "view", "reading good to ±")), compute=compute_wires, picture=picture_wires, words=words_wires, more=more_wires)


# ---- passes ------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Passing:
    pitch: float
    flat: float
    angle: float
    schedule: tc.Schedule
    depth: Likely             # that brings the pitch diameter to size, for a tip known to a hundredth or two
    error: Likely             # of the pitch diameter if cut by the dial alone
    width: float              # tolerance of the pitch diameter, 6g
    rubs: int                 # passes whose leading flank is thinner than the minimum chip thickness
    verdict: str

    @property
    def headline(self) -> str:
        return {HOLDS: "By the dial it comes out on size", EDGE: "By the dial it may come out wrong"}.get(self.verdict,
            "The dial alone will not do")


def compute_passes(pitch: float, flat: float, passes: int, angle: float, least_chip: float) -> Passing:
    """The passes of a thread and how far the dial alone leaves its pitch diameter out; mm, degrees, flat in pitches.

    Raises Refused where the tip or the angle cannot cut such a thread.
    """
    share = flat * pitch
    got = tc.infeed_schedule(pitch, passes, share, angle)
    drawn = sample(tip=about(share, min(assumed("tip of a threading tool").high, share)),
        dial=assumed("depth by the dial").range)
    depth = tc.depth_for_tip(pitch, drawn["tip"])
    error = -2 * (got.depth[-1] + drawn["dial"] - depth)
    diameter = max(assumed("diameter of a thread in pitches").value * pitch, assumed("smallest thread diameter").value)
    width = float(threads.pitch_tolerance(pitch, diameter))
    inside = odds(np.abs(error) <= width / 2)
    rubs = int((got.leading < least_chip).sum())
    return Passing(pitch, share, angle, got, likely(depth), likely(error), width, rubs, verdict(inside))


def words_passes(r: Passing, say: Say) -> str:
    s = r.schedule
    steps = ", ".join(plain(float(say.length_number(v)), 2) for v in s.depth)
    said = [
        f"Go to {steps} {say.length_unit} in turn, on radius. With a tip {say.length(r.flat, 3)} wide the pitch "
        f"diameter is on size at {say.length(float(s.depth[-1]), 3)}"
        + (f", or {say.length(float(s.slide[-1]), 3)} on a slide set over to {plain(r.angle, 3)}°." if r.angle else ".")
    ]
    rest = [f"By the dial alone the pitch diameter may be out by {say.bare(r.error.low, 2)} to "
        f"+{say.bare(r.error.high, 2)} {say.fine_unit}, and about ±{say.fine(r.width / 2)} is allowed."
        + (" That is good enough if you have measured the tip." if r.verdict == "holds"
        else " Stop early and measure over wires.")]
    if r.rubs:
        last = "pass is" if r.rubs == 1 else f"{r.rubs} passes are"
        rest.append(f"The last {last} thinner than the edge can cut and will rub, so take fewer passes."
            if r.rubs < len(s.depth) else "Every pass is thinner than the edge can cut, so take far fewer.")
    return " ".join(said) + "\n" + " ".join(rest)


def picture_passes(r: Passing, say: Say) -> str:
    s = r.schedule
    chips = ", ".join(say.fine(float(chip)) for chip in s.leading[:14])
    d = Drawing("The groove, pass by pass", f"{words_passes(r, say)} The leading flank's chip is {chips} in turn.",
        WIDTH, 356)
    p = r.pitch
    scale, top, middle = min(170 / float(s.depth[-1]), 310 / p), 34.0, 148.0
    tan = math.tan(math.pi / 6)
    total = float(s.depth[-1])
    d.rect(10, top, 282, total * scale + 26, "fill-work", hatch=9)
    for n in range(len(s.depth) - 1, -1, -1):
        t, side = float(s.depth[n]), float(s.shift[-1] - s.shift[n])
        a, half = middle + side * scale, r.flat / 2 * scale
        low, wide = top + t * scale, t * tan * scale
        d.shape([a - half - wide, a - half, a + half, a + half + wide], [top, low, low, top], "paper",
            "a" if n == len(s.depth) - 1 else "thin")
    d.line([10, 292], [top, top])
    d.text(10, 20, f"depths on radius, {say.length_unit}", kind="small")
    d.text(150, top + total * scale + 44, f"tip {say.length(r.flat, 3)} wide", "middle", "small")
    shown = len(s.depth)
    d.text(306, 20, "leading flank's chip", kind="small")
    most = float(s.leading.max())
    gap = min(22.0, 250 / shown)
    for n in range(shown):
        y = 34 + gap * n
        d.rect(306, y, max(70 * float(s.leading[n]) / most, 1), gap * 0.62, "fill-b", "thin")
        if shown <= 14:
            d.text(381, y + gap * 0.62, say.fine(float(s.leading[n])), kind="small halo")
    def fine(v: float) -> float:
        return float(say.fine_number(v))

    half = r.width / 2
    strip(d, 282, fine(min(r.error.low, -half) * 1.2), fine(max(r.error.high, half) * 1.2), (fine(-half), fine(half)),
        (fine(r.error.value), fine(r.error.low), fine(r.error.high)), say.fine_unit, "tolerance of the pitch Ø",
        "by the dial alone")
    return d.svg()


def more_passes(r: Passing, say: Say) -> str:
    s = r.schedule
    rows = "".join(f"<tr><td>{n}</td><td>{_exact(float(a), say, False)}</td><td>{_exact(float(b), say, False)}</td>"
        f"<td>{_exact(float(c), say, False)}</td><td>{say.bare(float(e), 2)}</td></tr>" for n,
        (a, b, c, e) in enumerate(zip(s.depth, s.step, s.slide, s.trailing, strict=True), 1))
    return (f"<p>Depth, step and slide in {say.length_unit}; the chip on the trailing flank in {say.fine_unit}.</p>"
        f"<table><tr><th>pass</th><th>depth</th><th>step</th><th>slide</th><th>trailing</th></tr>{rows}</table>"
        f"<p>Then one or two passes at the same setting, to take what the spring of work and tool left.</p>")


PASSES = Page(name="thread_passes", title="How deep is each threading pass?",
    inputs=(Slide("pitch", but(ThreadPitch, high=6, step=0.05), "work", "pitch"),
    Slide("flat",
    but(TipFlat, unit="1", low=0.02, high=0.3, usual=0.125, step=0.005,
    says="flat on the tip in pitches: P/8 is sharp, P/4 blunt"), "tool", "flat on the tip, pitches"),
    Slide("passes", but(Passes, high=20, usual=6), "cut", "passes"),
    Slide("angle", InfeedAngle, "cut", "infeed angle (0: straight in)"),
    Slide("least_chip", LeastChip, "cut", "minimum chip thickness")), compute=compute_passes,
    picture=picture_passes, words=words_passes, more=more_passes)


# ---- thin nuts ------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Nut:
    thread: threads.Thread
    outside: float
    length: float
    load: float
    material: str
    growth: Likely
    hoop: Likely
    overlap: Likely
    width: float
    curve: tuple[np.ndarray, np.ndarray]
    verdict: str

    @property
    def headline(self) -> str:
        return {HOLDS: "No, it keeps its size", EDGE: "It may spread too far"}.get(self.verdict,
            "Yes, it spreads too far")


THINNEST, THICKEST = 1.05, 2.2   # of the thread's diameter: nuts between which the curve runs


def compute_nut(thread: str, material: str, outside: float, length: float, load: float) -> Nut:
    """How much a thin nut grows under the pull of its screw (N), and what that does to its thread; mm, MPa.

    Raises Refused for a thread that is not known or a nut without a wall.
    """
    t = threads.read(thread)
    width = np.diff(threads.limits(thread, "2B" if t.inch else "6H").pitch)[0]
    drawn = sample(modulus=tables.fact("materials", material=material, property="E").range,
        share=assumed("spreading of a nut").range, load=assumed("pull of a screw").range)
    nu = tables.fact("materials", material=material, property="nu").value
    got = tc.thin_nut(thread, outside, length, load * drawn["load"] * drawn["share"], drawn["modulus"], nu)
    thinnest, thickest = max(t.major + 1, THINNEST * t.major), max(THICKEST * t.major, outside)
    across = t.major + np.geomspace(thinnest - t.major, thickest - t.major, 60)   # close where the curve is steep
    middle = tc.thin_nut(thread, across, length, load, tables.fact("materials", material=material, property="E").value,
        nu)
    return Nut(t, outside, length, load, material, likely(got.growth), likely(got.hoop), likely(got.overlap),
        float(width), (across, middle.growth), verdict(odds(got.growth <= width / 2)))


def words_nut(r: Nut, say: Say) -> str:
    said = [
        f"A pull of {plain(r.load / 1000, 2)} kN spreads the thread of this nut by {r.growth.text(say)} on diameter. "
        f"Its pitch diameter has a tolerance of {say.fine(r.width)}."]
    if r.verdict != "holds":
        said.append("It may spread by more than half of that, so give it more wall, more length or less load.")
    return " ".join(said) + (f"\nAt least {plain(100 * r.overlap.low, 3)} % of the thread's overlap is left, and the "
        f"hoop stress at the thread is about {plain(r.hoop.value, 2)} MPa. Turn the outside before the last threading "
        "pass, because a thin ring also moves in the chuck and as its stress is freed.")


def picture_nut(r: Nut, say: Say) -> str:
    across, growth = r.curve
    d = Chart("How much the nut spreads", words_nut(r, say),
        x=("outside of the nut", say.length_unit, float(say.length_number(across[0])),
        float(say.length_number(across[-1]))),
        y=("thread grows by", say.fine_unit, 0, float(say.fine_number(max(growth.max(), r.growth.high, 1e-6) * 1.1))))
    d.curve(say.length_number(across), say.fine_number(growth), "load evenly shared")
    d.level(float(say.fine_number(r.width / 2)), "half the tolerance")
    x = float(say.length_number(r.outside))
    d.band([x * 0.995, x * 1.005], [say.fine_number(r.growth.low)] * 2, [say.fine_number(r.growth.high)] * 2, "b")
    d.mark(x, float(say.fine_number(r.growth.value)), "this nut", "b", "diamond")
    return d.svg()


NUT = Page(name="thin_nut", title="Will a thin nut spread?",
    inputs=(THREAD, Choose("material", MATERIALS, MATERIALS[0], "work"),
    Slide("outside", but(NutOutside, low=3, high=100, usual=20.5), "work", "outside of the nut"),
    Slide("length", but(EngagedLength, low=1, high=60, usual=6, step=0.5), "work", "length of the nut"),
    Slide("load", but(Preload, high=100e3, usual=8e3), "cut", "pull along the thread")), compute=compute_nut,
    picture=picture_nut, words=words_nut)
