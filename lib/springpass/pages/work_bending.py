"""A page of the workholding chapter: the work that bends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import cutting
from .. import workholding as wh
from ..core import tables
from ..core.quantity import Refused, Say, but, plain
from ..core.shared import Feed, NoseRadius, Tolerance, WorkDiameter
from ..core.spread import FAILS, Likely, Uncertain, band, factor_of, likely, odds, sample, verdict
from ..core.spread import HOLDS as HOLDS_SIZE
from ..job import shop
from ..screen.draw import WIDTH, Chart, Drawing, room
from ..screen.page import Choose, Page, Slide, Tick
from ..threads.quantities import Infeed
from ..workholding.quantities import (
    CentreStiffness,
    SpindleRotation,
    SpindleStiffness,
    SteadyPlace,
    TurnedShare,
    WorkLength,
)

MATERIALS = tuple(tables.names("workholding_yield", "material"))
HOLDS = ("chuck", "chuck and centre", "between centres", "chuck and steady rest")
PLACES = 21
SUPPORTS_MEASURED = ("tailstock and centre", "spindle and chuck", "headstock centre", "steady rest")
GUESSED = tables.assumed("spring of a support as guessed")
NARROWEST, WIDEST = 1.02, 10.0   # factors between which a measured spring's own range is taken


# ---- the work bends too -----------------------------------------------------------------------------


@dataclass(frozen=True)
class Bend:
    hold: str
    length: float
    diameter: float
    end_diameter: float
    step_at: float
    steady_at: float | None
    tolerance: float
    position: Any
    middle: Any  # diameter error along the work
    low: Any
    high: Any
    others: tuple[tuple[str, Any], ...]  # middle error along the work for other ways of holding
    worst: Likely
    worst_at: float
    near: Likely  # at the end by the jaws
    far: Likely  # at the other end
    infeed: float
    light: float  # largest infeed that keeps the tolerance nine times in ten
    give_of_work: float  # share of the worst place's give that is the work's own bending
    measured: tuple[str, ...]
    verdict: str

    @property
    def headline(self) -> str:
        """The verdict in words that cannot be taken for how the work is held."""
        return {HOLDS_SIZE: "Within the tolerance", FAILS: "Too large"}.get(self.verdict, "Borderline")


def _measured() -> dict[str, dict[str, Any]]:
    """Springs the user has measured, newest of each."""
    found = {name: shop.latest("support", name=name) for name in SUPPORTS_MEASURED}
    return {name: record for name, record in found.items() if record}


def _spring(record: dict[str, Any] | None, key: str, value: float) -> tuple[Uncertain, bool]:
    """A measured spring with its own range, or the slider's value to a factor of two."""
    if found := shop.numbers(record, key):
        low, high = shop.numbers(record, f"{key}_low", f"{key}_high") or (GUESSED.low * found[0],
            GUESSED.high * found[0])
        return factor_of(found[0], float(np.clip(np.sqrt(high / low), NARROWEST, WIDEST))), True
    return GUESSED.around(value), False


def compute_bend(material: str, diameter: float, length: float, share: float, end_diameter: float, tolerance: float,
        nose_radius: float, hold: str, spindle: float, tilt: float, centre: float, steady_place: float, mine: bool,
        infeed: float, feed: float) -> Bend:
    """How much too big the work comes out along its length, and the cut that keeps it within the tolerance.

    Lengths and tolerance mm; springs N/mm and N mm/rad; shares of the length. The answer's arrays stand over PLACES
    places from the jaws to the end. Raises Refused where the work deflects far too much for the cut.
    """
    stiff = tables.fact("materials", material=material, property="E").range
    nu = tables.fact("materials", material=material, property="nu").value
    cut = tables.row("workholding_yield", material=material)["cutting"]
    known = _measured() if mine else {}
    head = known.get("headstock centre" if hold == "between centres" else "spindle and chuck")
    springs = {"spindle_stiffness": _spring(head, "stiffness", spindle),
        "spindle_rotation": _spring(head, "rotation", tilt),
        "centre_stiffness": _spring(known.get("tailstock and centre"), "stiffness", centre),
        "steady_stiffness": _spring(known.get("steady rest"), "stiffness", centre)}
    used = tuple(name for name, (_, was) in springs.items() if was)
    known_to: dict[str, Any] = {name: spring for name, (spring, _) in springs.items()}
    drawn = sample(modulus=stiff, force_factor=cutting.force_beside_table(cut).range, **known_to)
    step = share * length
    segments = [(length - step, diameter), (step, end_diameter)] if step > 0 else [(length, diameter)]
    position = np.linspace(0, length, PLACES)

    steady = {"steady_at": steady_place * length} if hold == HOLDS[3] else {}

    def error(held: str, values: dict[str, Any]) -> wh.TurnedError:
        return wh.turned_error(segments, infeed, feed, nose_radius, cut, hold="chuck" if held == HOLDS[3] else held,
            position=position, poisson=nu, **values, **(steady if held == hold else {}))

    found = error(hold, drawn)
    middles = {"modulus": stiff.middle, "force_factor": 1.0,
        **{name: spring.a for name, (spring, _) in springs.items()}}
    others = []
    for other in HOLDS[:3]:
        if other != hold:
            try:
                others.append((other, error(other, middles).error))
            except Refused:  # that way of holding gives far too much to draw
                continue
    bands = band(found.error)
    worst = found.worst
    at = int(bands[1].argmax())
    softest = likely(found.compliance[:, at] * drawn["force_factor"]).high
    return Bend(hold, length, diameter, end_diameter, length - step, steady.get("steady_at"), tolerance, position,
        bands[1], bands[0], bands[2], tuple(others), likely(worst), float(position[at]), likely(found.error[:, 0]),
        likely(found.error[:, -1]), infeed, float(wh.deepest_cut(softest, tolerance, feed, nose_radius, cut)),
        wh.own_share(position[at], segments, "chuck" if steady else hold, found.compliance[:, at], stiff.middle, nu,
        **steady), used, verdict(odds(worst <= tolerance)))


def words_bend(r: Bend, say: Say) -> str:
    held = {"chuck": "in the chuck alone", "chuck and centre": "in the chuck with a tailstock centre",
        "between centres": "between centres", HOLDS[3]: "in the chuck with a steady rest"}[r.hold]
    said = [f"Held {held}, {plain(r.length / r.diameter, 2)} diameters long, the work comes out up to "
        f"{r.worst.text(say)} too large on diameter; {say.fine(r.tolerance)} is allowed. The error is {_shape(r)}, "
        f"worst {say.length(r.worst_at, 3)} from the jaws."]
    if r.verdict != HOLDS_SIZE:
        other = min(r.others, key=lambda o: float(np.max(o[1])), default=None)
        if r.hold == "chuck" and other is not None and np.max(other[1]) < 0.8 * r.worst.value:
            best = float(np.max(other[1]))
            said.append(f"{_named(other[0])} first: that leaves about "
                f"{say.fine(best)}{'' if best < r.tolerance else ', which is still too much'}.")
        if 0 < r.light < r.infeed:
            said.append(f"A last cut of no more than {say.length(r.light, 2)} on radius keeps within it.")
        elif r.light <= 0:
            said.append("No cut is light enough: support the work, shorten it or leave it thicker.")
    part = round(10 * r.give_of_work) * 10
    said.append("Hardly any of the deflection there is the work's own: the lathe deflects." if part == 0
        else "Nearly all the deflection there is the work's own bending." if part == 100
        else f"About {part} % of the deflection there is the work's own bending; the rest is the lathe's.")
    if r.measured:
        said.append("Your own measured stiffness is used.")
    return said[0] + "\n" + " ".join(said[1:])


def _named(hold: str) -> str:
    return {"chuck and centre": "Bring up a tailstock centre", "between centres": "Turn it between centres",
        "chuck": "Hold it in the chuck alone"}[hold]


def _shape(r: Bend) -> str:
    near, far, top = r.near.value, r.far.value, r.worst.value
    if top <= 0:
        return "too small to matter"
    if max(near, far) < 0.75 * top:
        return "a barrel"
    return ("a taper, larger away from the jaws" if far > 1.2 * near else "a taper, larger at the jaws"
        if near > 1.2 * far else "even along its length")


def picture_bend(r: Bend, say: Say) -> str:
    unit = say.fine_number
    curves = [(name, error) for name, error in r.others if np.max(error) < 4 * max(float(np.max(r.high)), r.tolerance)]
    top = room(0, unit(r.high), unit(r.tolerance), *(unit(e) for _, e in curves), floor=0.0)
    d = Chart("Diameter error along the work", words_bend(r, say),
        x=("distance from the jaws", say.length_unit, 0, say.length_number(r.length)), y=("too large by",
            say.fine_unit, *top),
        height=420)
    shift = 142.0
    d.top += shift  # room above for the sketch of the work
    chart = Chart("", "", x=d.x_axis, y=d.y_axis, height=420 - shift)
    x = say.length_number(r.position)
    chart.band(x, unit(r.low), unit(r.high))
    chart.curve(x, unit(r.middle), r.hold)
    for kind, (name, error) in zip("bc", curves, strict=False):
        chart.curve(x, unit(error), name, kind)
    chart.level(unit(r.tolerance), "allowed")
    whole = Drawing(d.title, d.desc, WIDTH, 420)
    _sketch(whole, r, say, chart.left, chart.right)
    whole.inset(chart.layers(), 0, shift)
    return whole.svg()


def _sketch(d: Drawing, r: Bend, say: Say, left: float, right: float) -> None:
    """The work with its supports, the error drawn larger; both edges leave the axis where it is too big."""
    middle, half = 74.0, float(np.clip((right - left) * r.diameter / r.length / 2, 7, 30))
    small = half * min(max(r.end_diameter / r.diameter, 0.25), 1.4)
    stepped = r.step_at < r.length - 1e-9
    along = np.sort(np.append(r.position, [r.step_at, r.step_at])) if stepped else r.position
    place = left + (right - left) * along / r.length
    nominal = np.full(len(along), half)
    if stepped:
        nominal[np.searchsorted(along, r.step_at - 1e-9) + 1 :] = small
    raw = 16.0 / max(float(np.max(r.middle)) / 2, 1e-9)
    base = 10 ** np.floor(np.log10(raw))
    factor = base * max(m for m in (1, 2, 5) if m * base <= raw * 1.0001)
    edge = nominal + factor * np.interp(along, r.position, r.middle) / 2
    d.shape(np.concatenate([place, place[::-1]]), np.concatenate([middle - edge, (middle + edge)[::-1]]), "fill-work",
        "", 9)
    d.line(place, middle - edge, "a")
    d.line(place, middle + edge, "a")
    d.line(place, middle - nominal, "limit")
    d.line(place, middle + nominal, "limit")
    if r.hold == "between centres":
        d.shape([left, left - 26, left - 26], [middle, middle - 12, middle + 12], "fill-holder", "ink")
    else:
        for sign in (-1, 1):
            y = middle + sign * half
            d.rect(left - 34, min(y, y + sign * 15), 33, 15, "fill-holder", "ink", 6)
        d.rect(left - 34, middle - half, 33, 2 * half, "fill-work")
    if r.hold in ("chuck and centre", "between centres"):
        d.shape([right, right + 14, right + 14], [middle, middle - 9, middle + 9], "fill-holder", "ink")
    if r.steady_at is not None:
        x = left + (right - left) * r.steady_at / r.length
        size = float(np.interp(r.steady_at, along, nominal))
        for sign in (-1, 1):
            d.rect(x - 4, middle + sign * (size + 11) - 8, 8, 16, "fill-holder", "ink")
        d.text(x + 8, max(middle - size - 12, 32), "steady", kind="small halo")
    d.handle("length", right, middle, r.length / (right - left))
    d.text(left, 16, f"error exaggerated ×{plain(factor, 2)}; dashed: true size", kind="small halo")
    at = left + (right - left) * r.worst_at / r.length
    lift = float(np.interp(r.worst_at, along, edge))
    d.arrow(at, middle + lift + 18, at, middle + lift + 3)
    d.text(at + (7 if at < right - 40 else -7), middle + lift + 18, "tool", "start" if at < right - 40 else "end",
        "small halo")


BENDING = Page(name="work_bends", title="How much too large does bending leave the work?",
    inputs=(Choose("material", MATERIALS, "free-cutting steel 11SMn30 / 12L14", "work"),
    Slide("diameter", but(WorkDiameter, low=3, high=80, usual=20), "work", "diameter"),
    Slide("length", but(WorkLength, low=10, high=300, usual=85), "work", "length sticking out of the jaws"),
    Slide("share", TurnedShare, "work", "share of it with the smaller diameter"),
    Slide("end_diameter", but(WorkDiameter, low=3, high=80, usual=15), "work", "diameter of the smaller step"),
    Slide("tolerance", but(Tolerance, usual=0.009, low=0.001), "work", "error allowed on diameter"),
    Slide("nose_radius", but(NoseRadius, low=0.1), "tool", "nose radius"),
    Choose("hold", HOLDS, "chuck", "holder", "held in"),
    Slide("spindle", SpindleStiffness, "holder", "stiffness of spindle and chuck, or headstock centre"),
    Slide("tilt", SpindleRotation, "holder", "stiffness of spindle and chuck against tilting"),
    Slide("centre", CentreStiffness, "holder", "stiffness of tailstock and centre, or steady rest"),
    Slide("steady_place", SteadyPlace, "holder", "steady rest, from the jaws"),
    Tick("mine", False, "holder", "use my own measured stiffness"),
    Slide("infeed", but(Infeed, low=0.01, high=1.0, usual=0.1), "cut", "depth of cut, on radius"),
    Slide("feed", but(Feed, high=0.15), "cut", "feed per revolution")), compute=compute_bend, picture=picture_bend,
    words=words_bend)
