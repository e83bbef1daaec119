"""A page of the workholding chapter: the ring in the jaws."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import cutting
from .. import workholding as wh
from ..core import tables
from ..core.quantity import Say, but, plain
from ..core.shared import Feed, RingWall, Tolerance
from ..core.spread import EDGE, HOLDS, Likely, between, likely, odds, sample, verdict
from ..cutting.quantities import DepthOfCut
from ..screen.draw import WIDTH, Drawing, log_ticks
from ..screen.page import Choose, Page, Slide
from ..workholding.quantities import GripWidth, JawLoad, RingBore, StockLeft

GRIPS = tuple(tables.names("workholding_jaws", "kind"))
MATERIALS = tuple(tables.names("workholding_yield", "material"))
NOSE = tables.assumed("nose radius of a turning tool").value
ENTERING = tables.assumed("entering angle of a turning tool").value
PUSH = tables.assumed("push of a jaw as set").range
KEEPS_ITS_PLACE = "scroll"   # of the ways a chuck is closed: the others follow the work
LEAST_RAW_BORE = 0.05        # of the outside: less would be solid work
Roundness = but(Tolerance, low=0.0005, high=0.1, usual=0.005, says="largest less smallest radius of the bore "
    "that is allowed")
WORK = (Choose("material", MATERIALS, "aluminium 6082", "work"),
    Slide("bore", but(RingBore, low=4, high=150), "work", "finished bore"),
    Slide("wall", but(RingWall, low=0.5, high=30, usual=10), "work", "wall of the finished ring"),
    Slide("width", GripWidth, "work", "length gripped"),
    Slide("tolerance", Roundness, "work", "out of round allowed, on radius"))
CUT = (Slide("depth", but(DepthOfCut, low=0.02, high=1.5, usual=0.25), "cut", "depth of cut"),
    Slide("feed", but(Feed, high=0.3), "cut", "feed per revolution"))


def material_facts(material: str) -> tuple[dict[str, Any], Any, float]:
    """The row with yield and cutting names, the modulus as a range, Poisson's ratio."""
    return (tables.row("workholding_yield", material=material),
        tables.fact("materials", material=material, property="E").range,
        tables.fact("materials", material=material, property="nu").value)


def cut_forces(row: dict[str, Any], depth: float, feed: float) -> tuple[float, float]:
    """Cutting and feed force in N of a cut (mm), with the usual tool, in the material of a row of yield strengths."""
    forces = cutting.nose_forces(depth, feed, NOSE, ENTERING, *cutting.kienzle(row["cutting"]))
    return forces.cutting, forces.feed


def newton(low: float, high: float | None = None) -> str:
    """A force, or a range of forces, to two figures."""
    a = plain(float(f"{low:.2g}"), 6)
    if high is None or a == plain(float(f"{high:.2g}"), 6):
        return f"{a} N"
    return f"{a} to {plain(float(f'{high:.2g}'), 6)} N"


# ---- the ring in the jaws ---------------------------------------------------------------------------


@dataclass(frozen=True)
class Ring:
    grip: str
    jaws: int
    outside: float
    bore: float
    raw_bore: float
    pad: float
    push: float
    tolerance: float
    clamped: wh.Lobing  # the raw ring at the push, middle values
    finished: wh.Lobing  # the finished ring at the push that is left, middle values
    lobes: Likely  # on radius
    two_point: Likely  # on diameter
    three_point: Likely
    larger: Likely  # mean bore diameter after release
    kept: float  # share of the push that is left
    needed: Likely  # push of a jaw, as set
    round_up_to: Likely
    harder: float  # times the push set, the high end of its range
    marks_from: Likely
    bends_from: Likely
    holds: float  # odds
    rounds: float
    springs: float  # odds that the wall springs back
    others: tuple[tuple[str, float], ...]  # other grips at the same total push: lobes on radius, mm
    verdict: str

    @property
    def headline(self) -> str:
        """The answer to the page's question, in words that cannot be taken for the jaws' own holding."""
        if self.verdict == HOLDS:
            return "Yes, round and securely held"
        if self.verdict == EDGE:
            return "Borderline"
        wrong = " and ".join(word for word, chance in (("the work may slip", self.holds),
            ("the wall may stay bent", self.springs), ("the bore is out of round", self.rounds)) if chance < 0.5)
        return f"No, {wrong}" if wrong else "Borderline, at two limits at once"


def compute_ring(material: str, bore: float, wall: float, width: float, tolerance: float, grip: str, chuck: str,
        push: float, stock: float, depth: float, feed: float) -> Ring:
    """What the jaws do to a ring that is bored in them, and whether they hold it.

    Lengths mm, push N a jaw, tolerance of roundness on radius; the ranges come from 2000 samples. Raises Refused where
    the ring or the jaws cannot be.
    """
    outside = bore + 2 * wall
    row, stiff, nu = material_facts(material)
    jaws, pads = wh.jaws(grip)
    raw_bore = max(bore - stock, LEAST_RAW_BORE * outside)
    chip, feed_force = cut_forces(row, depth, feed)
    drawn = sample(push=PUSH, force=cutting.force_beside_table(row["cutting"]).range, modulus=stiff, pad=pads.range,
        strength=between(row["low"], row["high"]), give=tables.fact("workholding_facts", what="give of one jaw").range,
        **wh.drive_ranges(family=row["family"]))
    middle = stiff.middle
    set_push = push * drawn["push"]
    bored = wh.bored_in_jaws(outside, raw_bore, bore, width, jaws, set_push, drawn["modulus"], nu, drawn["pad"],
        drawn["give"], keeps_place=chuck == KEEPS_ITS_PLACE)
    kept, lobes = bored.kept, bored.lobes
    share = float(np.median(kept))
    total = wh.grip_needed(chip * drawn["force"], feed_force * drawn["force"], bore, outside, drawn["friction"],
        drawn["safety"])
    window = wh.jaw_window(lobes, set_push, tolerance, total, material, outside, bore, width, jaws, drawn["strength"],
        pads.value)
    # the wall must spring back both thick under the whole push and thin under what is left of it
    thick = wh.yield_load(drawn["strength"], outside, raw_bore, width, jaws, pads.value)
    bends_from = np.minimum(window.for_spring / kept, thick)
    holds, rounds, springs = set_push * kept >= window.needed, lobes <= tolerance, set_push <= bends_from
    others = []
    for other in GRIPS:
        if other != grip:
            count, face = wh.jaws(other)
            ring = wh.ring_lobing(outside, bore, width, push * share * jaws / count, count, middle, nu, face.value)
            others.append((other, ring.peak_to_valley))
    return Ring(grip, jaws, outside, bore, raw_bore, pads.value, push, tolerance,
        wh.ring_lobing(outside, raw_bore, width, push, jaws, middle, nu, pads.value),
        wh.ring_lobing(outside, bore, width, push * share, jaws, middle, nu, pads.value), likely(lobes),
        likely(bored.two_point), likely(bored.three_point), likely(bored.larger), share, likely(window.needed / kept),
        likely(window.for_round), likely(drawn["push"]).high, likely(window.for_marks), likely(bends_from), odds(holds),
        odds(rounds), odds(springs), tuple(others), verdict(odds(holds & rounds & springs)))


def fine(value: float, say: Say) -> str:
    """A movement, with a floor: under a hundredth of a micrometre nobody cares."""
    return f"under {say.fine(1e-5)}" if abs(value) < 1e-5 else say.fine(abs(value))


def lobes_said(lobes: Likely, say: Say, named: bool = True) -> str:
    return fine(lobes.value, say) if lobes.high < 2e-5 else lobes.text(say, named=named)


def _safe(r: Ring) -> float:
    """The force, as set, up to which the bore stays round enough though the jaws may push harder than set."""
    return r.round_up_to.low / r.harder


def words_ring(r: Ring, say: Say) -> str:
    said = [f"{r.grip.capitalize()} with {newton(r.push)} each leave the {say.length(r.bore)} bore out of round by "
        f"{lobes_said(r.lobes, say)} on radius; {say.fine(r.tolerance)} is allowed. It has {r.jaws} lobes, largest "
        f"where the jaws were. A two-point gauge varies by {fine(r.two_point.value, say)}, a three-point "
        f"gauge by {fine(r.three_point.value, say)}."]
    least = newton(r.needed.low, r.needed.high)
    limit = f"stays round enough up to about {newton(_safe(r))}" if _safe(r) < 50000 else "stays round at any force"
    need = f"This cut needs {least} per jaw; the bore {limit}."
    if r.holds < 0.9 and (r.rounds < 0.9 or r.springs < 0.9):
        said.append(f"No force on these jaws does both: take a lighter cut, or hold it another way. {_other(r, say)}")
    elif r.holds < 0.9:
        said.append("Tighten the jaws, take a lighter cut, or support the work with a stop or a centre.")
    elif r.springs < 0.9:
        said.append("Ease the jaws a good deal: the wall may bend past its yield strength and stay bent.")
    elif r.rounds < 0.9:
        said.append(f"Back off to about {newton(_safe(r))} per jaw before the last cuts."
            if _safe(r) > 1.3 * r.needed.high else _other(r, say))
    return said[0] + "\n" + " ".join([*said[1:], need])


def _other(r: Ring, say: Say) -> str:
    name, lobes = min(r.others, key=lambda other: other[1])
    if lobes < 0.8 * r.lobes.value:
        fits = "" if lobes < 0.7 * r.tolerance else ", perhaps still too much; then clamp it on its faces"
        return f"Change to {name}: {fine(lobes, say)} out of round at the same total force{fits}."
    return "No other jaws do much better: clamp it on its faces, or take a lighter cut with less force."


def _exaggeration(move: float, scale: float, wanted: float) -> float:
    """A round factor that draws `move` mm about `wanted` pixels large at `scale` pixels a mm."""
    raw = wanted / max(move * scale, 1e-9)
    base = 10 ** np.floor(np.log10(raw))
    return float(max(1.0, base * max(m for m in (1, 2, 5) if m * base <= raw * 1.0001)))


RIM = 58.0    # radius of the drawn ring, px
THIN = 14.0   # thinner walls are drawn as thick as this, so that their bending can be seen


def picture_ring(r: Ring, say: Say) -> str:
    scale = RIM / (r.outside / 2)
    wall = scale * (r.outside - r.bore) / 2
    stretch = max(1.0, THIN / wall)
    angle = np.arange(0.0, 359.0, 4.0)
    moves = [np.abs(m) for ring in (r.clamped, r.finished) for m in (ring.bore(angle), ring.rim(angle))]
    bore, rim = float(max(moves[0].max(), moves[2].max())), float(max(moves[1].max(), moves[3].max()))
    # large enough to see, small enough that walls do not cross
    room = min(13.0, 0.85 * stretch * wall, 0.7 * (RIM - stretch * wall))
    factor = _exaggeration(max(bore, rim * room / 20), scale, room)
    d = Drawing("A ring in the jaws: loose, clamped, bored true, released", words_ring(r, say), WIDTH,
        472 + (16 if stretch > 1 else 0))
    still = 0 * angle
    panels = (("1  in the jaws, loose", still, still, r.raw_bore, False),
        ("2  clamped", r.clamped.rim(angle), r.clamped.bore(angle), r.raw_bore, True),
        ("3  bored true", r.finished.rim(angle), still, r.bore, True),
        ("4  released", still, -r.finished.bore(angle), r.bore, False))
    for i, (title, out, inner, size, gripped) in enumerate(panels):
        x, y = WIDTH * (0.25 if i % 2 == 0 else 0.75), 104.0 + 188 * (i // 2)
        d.text(x - 100, y - 84, title, kind="bold halo")
        outside = RIM + scale * factor * out
        hole = RIM - min(stretch * scale * (r.outside - size) / 2, 0.95 * RIM)
        _ring(d, x, y, angle, outside, hole + scale * factor * inner)
        if i in (1, 3):
            d.circle(x, y, hole, "limit")
        if i != 1:
            inside = (f"Ø{say.length(r.bore)}" if i == 2 else
                fine(r.lobes.value, say) if i else f"Ø{say.length(r.raw_bore, 4)}")
            d.text(x, y + 5, inside, "middle", "small halo")
        else:
            d.text(x, y + 5, newton(r.push), "middle", "small halo")
        for k in range(r.jaws):
            _jaw(d, x, y, 360 * k / r.jaws, r.pad, angle, outside + (1 if gripped else 9), gripped)
    d.text(WIDTH / 2, 392, f"deflection exaggerated ×{plain(factor, 2)}; dashed: true circle", "middle", "small halo")
    if stretch > 1:
        d.text(WIDTH / 2, 408, "thin wall drawn thicker", "middle", "small halo")
    _pushes(d, d.height - 70, r)
    return d.svg()


def _ring(d: Drawing, x: float, y: float, angle: Any, outside: Any, hole: Any) -> None:
    a = np.radians(angle - 90)
    d.shape(x + outside * np.cos(a), y + outside * np.sin(a), "fill-work", "ink", hatch=11)
    d.shape(x + hole * np.cos(a), y + hole * np.sin(a), "paper", "a")


def _jaw(d: Drawing, x: float, y: float, at: float, pad: float, angle: Any, outside: Any, gripped: bool) -> None:
    """One jaw, its face along the ring's own outside."""
    turn = at + np.linspace(-pad, pad, 9)
    face = np.interp(turn, angle, outside, period=360)
    a, back = np.radians(turn - 90), face[4] + 12
    xs, ys = np.concatenate([face, 0 * face + back]), np.concatenate([a, a[::-1]])
    d.shape(x + xs * np.cos(ys), y + xs * np.sin(ys), "fill-holder", "thin")
    if gripped:
        b = np.radians(at - 90)
        tip, tail = back + 1, back + 15
        d.arrow(x + tail * np.cos(b), y + tail * np.sin(b), x + tip * np.cos(b), y + tip * np.sin(b))


def _pushes(d: Drawing, y: float, r: Ring) -> None:
    """A scale of the push of a jaw: what the cut needs, what roundness allows, where it is set."""
    low, high, left, width = 20.0, 20000.0, 16.0, WIDTH - 32.0

    def at(push: float) -> float:
        return left + float(np.clip(np.log10(push / low) / np.log10(high / low), 0, 1)) * width

    d.rect(left, y + 16, max(at(r.needed.high) - left, 1), 12, "fill-b", "thin")
    d.text(left + 2, y + 12, "may slip", kind="small halo")
    d.rect(at(_safe(r)), y + 16, max(left + width - at(_safe(r)), 1), 12, "fill-d", "thin", 6)
    d.text(left + width - 2, y + 12, "may be out of round", "end", "small halo")
    for tick in log_ticks(low, high):
        d.line([at(tick)] * 2, [y + 28, y + 33], "thin")
        d.text(at(tick), y + 46, plain(float(tick), 6), "middle", "small")
    d.line([left, left + width], [y + 28, y + 28], "ink")
    place = at(r.push)
    right = place < WIDTH / 2
    d.text(left + width if right else left, y + 62, "clamping force per jaw, N", "end" if right else "start", "small")
    d.dot(place, y + 22, "a", "diamond", 6)
    d.handle("push", place, y + 22, float(np.log(high / low)) / width, ratio=True)
    d.text(min(max(place, left + 10), left + width - 10), y + 62, "set", "middle", "small halo")


def more_ring(r: Ring, say: Say) -> str:
    hand = _hand()
    rows = [f"<tr><td>{name}</td><td>{newton(float(low) / r.jaws, float(high) / r.jaws)}</td></tr>" for name,
        (low, high) in hand.items()]
    rows += ["<tr><td>a smooth flat jaw begins to mark "
        f"from</td><td>{newton(r.marks_from.low, r.marks_from.high)}</td></tr>",
        f"<tr><td>the thin wall stays bent from</td><td>{newton(r.bends_from.low, r.bends_from.high)}</td></tr>"]
    kept = ("" if r.kept >= 0.95 else f"<p>A scroll holds its position, not its force: once the wall is thin, only "
        f"{100 * r.kept:.0f} % of the clamping force is left.</p>")
    others = "".join(f"<tr><td>{name}</td><td>{fine(lobes, say)}</td></tr>" for name, lobes in r.others)
    return (kept + "<table><tr><th>force of each jaw</th><th>90 % range</th></tr>" + "".join(rows) + "</table>"
        "<table><tr><th>same total force with</th><th>out of round, on radius</th></tr>" + others + "</table>")


def _hand() -> dict[str, tuple[float, float]]:
    """What a hand on the key gives, all jaws together: once for all slider positions."""
    if not _HAND:
        for tightness in wh.TIGHTNESS:
            push = likely(wh.hand_force(tightness))
            _HAND[f"hand on the key, {tightness}"] = (push.low, push.high)
    return _HAND


_HAND: dict[str, tuple[float, float]] = {}

RING = Page(name="ring_in_jaws", title="Will the bore still be round when I open the chuck?",
    inputs=(*WORK, Choose("grip", GRIPS, "three jaws", "holder", "held in"),
    Choose("chuck", ("scroll", "air or oil"), "scroll", "holder", "jaws moved by"),
    Slide("push", JawLoad, "holder", "clamping force per jaw"), Slide("stock", StockLeft, "cut", "stock to "
        "bore, on diameter"),
    *CUT), compute=compute_ring, picture=picture_ring, words=words_ring, more=more_ring)
