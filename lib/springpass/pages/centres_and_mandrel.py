"""Pages of chapter 11: what centres and a dog leave, and where a bore sits on a tapered mandrel."""

from __future__ import annotations

from dataclasses import dataclass

from .. import true_running as true
from ..core.mathml import formula_mathml
from ..core.quantity import Quantity, Say, but, plain
from ..core.shared import CuttingForce, RingWall, WorkDiameter
from ..core.spread import EDGE, FAILS, HOLDS, odds, verdict
from ..screen.draw import WIDTH, Drawing, breadth
from ..screen.page import Choose, Page, Slide
from ..true_running.centres import BUSHES, DOGS, HEADS, HOLES, ONE_TAIL, TAILS
from ..true_running.quantities import (
    BushLength,
    CentreDistance,
    CentreRunOut,
    DogRadius,
    DrivenOn,
    MandrelBore,
    WantedRunOut,
)
from .true_running import HEADS as JUDGED
from .true_running import parts_keep, span

ALONG = Quantity("x", "1", 0.05, 1, 0.8, "place of the cut as a share of the length, from the tailstock's centre",
    shown="%", step=5)
PULLED = but(CuttingForce, low=10, high=800, usual=150, step=10, says="tangential cutting force of the last cut")


# ---- between centres ------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Centres:
    found: true.BetweenCentres
    length: float
    place: float
    allowed: float
    dog: str
    head_read: float
    chance: float
    verdict: str

    @property
    def headline(self) -> str:
        return JUDGED[self.verdict]

    @property
    def worst(self) -> tuple[str, float]:
        """The largest cause and its usual run-out."""
        name, one = max(self.found.parts, key=lambda part: part[1].value)
        return name, one.value


def compute_centres(length: float, share: float, diameter: float, allowed: float, head: str, head_read: float,
        tail: str, hole: str, dog: str, dog_radius: float, cutting_force: float) -> Centres:
    """Run-out between two ends turned one after the other between centres; share: of the length, from the tailstock to
    the cut; mm.
    """
    place = share * length
    found = true.between_centres(head, tail, hole, dog, cutting_force, diameter, dog_radius, place, length,
        head_read or None)
    chance = odds(found.samples <= allowed)
    return Centres(found, length, place, allowed, dog, head_read, chance, verdict(chance))


ADVICE = {"headstock centre": "True the headstock centre in place and leave it there.",
    "tailstock centre": "Use a dead centre with grease, or a better live one.",
    "centre holes": "Scrape or lap the centre holes round before the last cut.",
    "dog": "Drive with a dog of two tails, or with a light last cut."}


def words_centres(r: Centres, say: Say) -> str:
    one = r.found.run_out
    name, value = r.worst
    kept = parts_keep(r.chance, f"within {say.fine(r.allowed)}")
    said = ("Turned one after the other between these centres, the two ends run out to each other by about "
        f"{say.fine(one.value)} (90 % range {span(one, say)}).\n{kept[:1].upper()}{kept[1:]}.")
    pull = f" The dog's one tail pulls sideways with {plain(r.found.pull, 2)} N." if r.dog == ONE_TAIL else ""
    better = "" if r.verdict == HOLDS else f" {ADVICE[name]}"
    return f"{said} Most of it comes from the {name}: {say.fine(value)}.{better}{pull}"


def picture_centres(r: Centres, say: Say) -> str:
    listed = "; ".join(f"{name} {say.fine(one.value)}" for name, one in r.found.parts)
    d = Drawing("Between centres", f"{words_centres(r, say)} Parts: {listed}. The work is {say.length(r.length)} long "
        f"and cut {say.length(r.place)} from the tailstock's centre.", WIDTH, 346)
    left, right, y, radius = 74.0, WIDTH - 60.0, 92.0, 26.0
    scale = (right - left) / r.length
    lift = 16.0
    d.line([10, WIDTH - 10], [y, y], "limit")
    d.shape([left, right, right, left], [y - lift - radius, y - radius, y + radius, y - lift + radius], "fill-work",
        "ink")
    past = lift * 22 / (right - left)
    d.line([left - 22, right + 22], [y - lift - past, y + past], "a")
    d.shape([left + 4, left - 30, left - 30], [y - lift, y - lift - 17, y - lift + 17], "fill-holder", "ink")
    d.rect(left - 58, y - 34, 28, 68, "fill-holder", "thin")
    d.shape([right - 4, right + 30, right + 30], [y, y - 17, y + 17], "fill-holder", "ink")
    d.rect(right + 30, y - 17, 22, 34, "fill-holder", "thin")
    d.rect(left + 8, y - lift - radius - 8, 14, 2 * radius + 16, "fill-tool", "thin")
    tails = (1,) if r.dog == ONE_TAIL else (1, -1)
    for side in tails:
        at = y - lift - side * (radius + 16)
        d.line([left + 15, left + 15, left - 34], [at + side * 8, at, at], "ink")
    if r.dog == ONE_TAIL:
        d.arrow(left + 15, y - lift, left + 15, y - lift + 44, "b", 8)
    cut = right - r.place * scale
    d.shape([cut, cut - 7, cut + 7], [y + radius - lift * r.place / r.length + 2, y + radius + 22, y + radius + 22],
        "fill-tool", "thin")
    d.handle("share", cut, y + radius + 20, -100 / (right - left))
    times = float(f"{2 * lift * r.place / (r.length * scale * max(r.found.run_out.value, 1e-9)):.2g}")
    d.text(10, 16, f"solid: axis of the work, tilt exaggerated ×{plain(times, 2)}", kind="small")
    d.dimension(cut, y + 66, right, y + 66, say.length(r.place))
    _parts(d, r, say, y + 92)
    return d.svg()


def _parts(d: Drawing, r: Centres, say: Say, top: float) -> None:
    """A bar for each cause, and for all together, against what is allowed."""
    rows = [*((name, one) for name, one in r.found.parts), ("together", r.found.run_out)]
    left = 8 + max(breadth(name) for name, _ in rows) + 8
    most = max(max(one.high for _, one in rows), r.allowed) * 1.15
    per = (d.width - left - 76) / most
    for i, (name, one) in enumerate(rows):
        y = top + 25 * i
        d.text(8, y + 12, name, kind="small bold" if name == "together" else "small")
        d.rect(left + one.low * per, y + 2, max((one.high - one.low) * per, 1.5), 12,
            "fill-a" if name == "together" else "fill-work", "thin")
        d.dot(left + one.value * per, y + 8, "a" if name == "together" else "d", "diamond", 4)
        d.text(d.width - 4, y + 12, say.fine(one.value), "end", "small halo")
    x = left + r.allowed * per
    d.line([x, x], [top - 4, top + 25 * len(rows)], "limit")
    label = f"allowed {say.fine(r.allowed)}"
    d.text(d.within(min(x, d.width - 70 - breadth(label) / 2), label), top + 25 * len(rows) + 32, label, "middle",
        "small halo")
    d.handle("allowed", x, top + 25 * len(rows) - 8, 1e3 / per)


def more_centres(r: Centres, say: Say) -> str:
    rows = "".join(f"<tr><td>{name}</td><td>{say.fine(one.value)}</td><td>{span(one, say)}</td></tr>" for name, one in
        r.found.parts)
    return (f"<table><tr><th>cause</th><th>run-out</th><th>90 % range, {say.fine_unit}</th></tr>{rows}</table>"
        "<p>Chapter 5 has what centres do to size and taper; here it is what they do to run-out. The ranges of "
        "centres and holes are from memory: read your own. What a hole is out of round is counted in full, the worst "
        "case; pulled always the same way it may leave less.</p>" + formula_mathml(true.carried_run_out,
        {"centre": r.head_read or r.found.parts[0][1].value * r.length / max(r.place, 1.0), "place": r.place,
        "length": r.length}))


CENTRES = Page(name="between_centres", title="What do the centres leave between the two ends?",
    inputs=(Slide("length", but(CentreDistance, low=20, high=300, usual=85), "work", "length between the centres"),
    Slide("share", ALONG, "work", "place of the cut, from the tailstock"),
    Slide("diameter", but(WorkDiameter, low=3, high=80, usual=20, step=1), "work", "diameter"),
    Slide("allowed", but(WantedRunOut, low=0.002, high=0.05, usual=0.006, log=False, step=0.5), "work",
    "run-out allowed"),
    Choose("head", tuple(HEADS), "put into its taper", "holder", "headstock's centre"),
    Slide("head_read", but(CentreRunOut, high=0.05, usual=0, says="your own reading on its cone; 0 if not read"),
    "holder", "its run-out as read"),
    Choose("tail", tuple(TAILS), "live", "holder", "tailstock's centre"),
    Choose("hole", tuple(HOLES), "as drilled", "holder", "centre holes"),
    Choose("dog", DOGS, ONE_TAIL, "holder", "dog"),
    Slide("dog_radius", but(DogRadius, low=15, high=80), "holder", "driving pin from the axis"),
    Slide("cutting_force", PULLED, "cut", "cutting force")),
    compute=compute_centres, picture=picture_centres, words=words_centres, more=more_centres)


# ---- on a mandrel ---------------------------------------------------------------------------------------------------

CLASSES = ("H6", "H7", "H8")
LIES = Quantity("x", "1", 0, 1, 0.5, "where in its tolerance the bore lies: 0 smallest, 100 largest", shown="%", step=5)


@dataclass(frozen=True)
class Mandrel:
    found: true.OnMandrel
    nominal: float
    tolerance: str
    length: float
    driven: float
    verdict: str

    @property
    def headline(self) -> str:
        if self.found.stress > self.found.bears:
            return "Pressed on too far"
        return {HOLDS: "It drives", EDGE: "It may slip"}.get(self.verdict, "It slips")


def compute_mandrel(nominal: float, tolerance: str, share: float, wall: float, length: float, material: str,
        driven: float, cutting_force: float) -> Mandrel:
    """Where a bush sits on a solid mandrel, what it drives, and what is left loose; mm, N mm."""
    found = true.on_mandrel(nominal, tolerance, share, nominal + 2 * wall, length, driven, material, cutting_force)
    judged = FAILS if found.stress > found.bears else verdict(found.chance)
    return Mandrel(found, nominal, tolerance, length, driven, judged)


def _metres(value: float) -> str:
    """A torque in N m."""
    return f"{plain(value / 1e3, 2)} N m"


def words_mandrel(r: Mandrel, say: Say) -> str:
    f = r.found
    sits = (f"A bore of Ø{say.length(r.nominal)} {r.tolerance} first touches between {say.length(f.first, 3)} and "
        f"{say.length(f.last, 3)} from the small end; this one at {say.length(f.here, 3)}.")
    grips = f"Pressed on {say.length(r.driven)} further it grips along {say.length(f.contact, 3)}"
    loose = (f", and its loose end can still run out by up to {say.fine(f.lean)}." if f.lean > 0
        else " and cannot lean.")
    tight = (f" The bore is stretched to {plain(f.stress, 2)} MPa and would stay stretched: press on less far."
        if f.stress > f.bears else "")
    return (f"{sits}\n{grips}{loose} It drives {_metres(f.torque.value)} (90 % range {plain(f.torque.low / 1e3, 2)} to "
        f"{plain(f.torque.high / 1e3, 2)}); the cut needs {_metres(f.needed)}.{tight}")


def picture_mandrel(r: Mandrel, say: Say) -> str:
    f = r.found
    d = Drawing("A bush on a tapered mandrel", f"{words_mandrel(r, say)} The outside swells by {say.fine(f.swell)} at "
        "the tight end. The taper is drawn far steeper than it is.", WIDTH, 316)
    long = max(f.last + r.driven + r.length * 0.4, r.length + f.here) + 20
    left, right, y = 40.0, WIDTH - 26.0, 112.0
    scale = (right - left) / long
    start, end = 20.0, 46.0      # half the drawn diameter at both ends

    def half(place: float) -> float:
        return start + (end - start) * place / long

    d.shape([left, right, right, left], [y - start, y - end, y + end, y + start], "fill-holder", "ink")
    d.line([12, WIDTH - 6], [y, y], "limit")
    tight = f.here + r.driven
    x0, x1 = left + (tight - r.length) * scale, left + tight * scale
    x0 = max(x0, left + 1)
    bore, wall = half(f.here), 22.0
    for side in (-1, 1):
        open_end, full = y + side * bore, y + side * half(tight)
        grip = x1 - f.contact * scale
        d.shape([x0, max(grip, x0), x1, x1, x0], [open_end, open_end, full, full + side * wall, open_end + side * wall],
            "fill-work", "ink", 7)
        d.line([max(grip, x0), x1], [open_end, full], "b")
    for place in (f.first, f.last):
        x = left + place * scale
        d.line([x, x], [y + 78, y + 98], "ink")
    d.rect(left + f.first * scale, y + 82, (f.last - f.first) * scale, 12, "fill-c", "thin")
    d.dot(left + f.here * scale, y + 88, "a", "diamond", 6)
    d.text(d.within(left + (f.first + f.last) / 2 * scale, f"first touch: smallest to largest {r.tolerance}"), y + 136,
        f"first touch: smallest to largest {r.tolerance}", "middle", "small")
    d.text(8, 18, "small end", kind="small")
    d.text(WIDTH - 8, 18, "pressed on this way →", "end", "small")
    d.handle("share", left + f.here * scale, y + 88, 100 / max((f.last - f.first) * scale, 1e-9))
    d.handle("driven", x1, y - half(tight) - wall, 1 / scale)
    base, width, most = 302.0, WIDTH - 150.0, max(f.torque.high, f.needed) * 1.1 or 1.0
    d.text(8, base - 8, "drives", kind="small")
    d.rect(90 + f.torque.low / most * width, base - 20, max((f.torque.high - f.torque.low) / most * width, 2), 12,
        "fill-a", "thin")
    d.line([90 + f.needed / most * width] * 2, [base - 28, base - 2], "limit")
    label = f"needs {_metres(f.needed)}"
    d.text(d.within(90 + f.needed / most * width, label), base + 11, label, "middle", "small halo")
    return d.svg()


def more_mandrel(r: Mandrel, say: Say) -> str:
    f = r.found
    return (f"<p>At the tight end the bore is stretched to {plain(f.stress, 2)} MPa and the outside is "
        f"{say.fine(f.swell)} larger on the mandrel than off it: turn it that much over size there, or press on less "
        "far.</p>" + formula_mathml(true.seat_place, {"bore": f.bore, "small_end": f.small_end, "taper":
        (f.bore - f.small_end) / f.here}, digits=6) + formula_mathml(true.lean_run_out, {"length": r.length,
        "driven": r.driven, "taper": (f.bore - f.small_end) / f.here}))


MANDREL = Page(name="mandrel", title="Where does the bush sit, and does the mandrel drive it?",
    inputs=(Slide("nominal", but(MandrelBore, low=6, high=50), "work", "bore"),
    Choose("tolerance", CLASSES, "H7", "work", "tolerance class of the bore"),
    Slide("share", LIES, "work", "this bore within its tolerance"),
    Slide("wall", but(RingWall, low=1, high=30, usual=6, step=0.5, says="wall of the bush"), "work", "wall"),
    Slide("length", but(BushLength, high=80), "work", "length of the bore"),
    Choose("material", tuple(BUSHES), next(iter(BUSHES)), "work", "material"),
    Slide("driven", DrivenOn, "holder", "pressed on beyond first touch"),
    Slide("cutting_force", PULLED, "cut", "cutting force")),
    compute=compute_mandrel, picture=picture_mandrel, words=words_mandrel, more=more_mandrel)
