"""The bench page: may this bar stick out this far for this bore?"""

from __future__ import annotations

import re
from dataclasses import replace
from html import escape
from typing import Any

import numpy as np

from .. import boring_bar, the_lathe
from ..boring_bar import Change, StickoutCheck
from ..boring_bar.bore_room import seen_bar
from ..boring_bar.quantities import (
    BoreDepth,
    ClearanceAngle,
    NeckDiameter,
    NeckLength,
    Stickout,
    StockTaper,
    TipHeight,
    TipMass,
    TipOffsetShare,
)
from ..boring_bar.stickout import (
    BOUGHT,
    CHATTER,
    CUTS,
    DEEP,
    FREE,
    RUBS,
    SET,
    SHUT,
    SIZE,
    SLENDER,
)
from ..core import tables
from ..core.mathml import formula_mathml
from ..core.quantity import Refused, Say, but, plain, quantity_of
from ..core.shared import BarDiameter, BoreDiameter, CuttingSpeed, Feed, LeastChip, NoseRadius, Passes, Tolerance
from ..core.spread import HOLDS, Likely, likely, sample
from ..cutting import forces, speeds
from ..fits import limits
from ..job import shop, tools
from ..screen.draw import WIDTH, Chart, Drawing, strip
from ..screen.page import Choose, Page, Slide, Tick
from ..threads.quantities import Infeed

DIAL, STRAIGHT = "measure, then dial in the remainder", "straight to size"
CLASS = re.compile(r"[A-Za-z]{1,2}\s?\d{1,2}")
GUESS = 0.4  # share of the compliance from which the holder is named first


class Zone(float):
    """A width in mm that goes by its tolerance class: `said` stands in the box, and the width follows the bore."""

    said: str = ""

    def __eq__(self, other: object) -> bool:
        if isinstance(other, Zone):
            return self.said == other.said
        return False if isinstance(other, float) else NotImplemented

    def __hash__(self) -> int:
        return hash(self.said)

    @classmethod
    def of(cls, code: str) -> Zone:
        """The class at the usual bore. Raises Refused for one that there is not."""
        width = limits(quantity_of(BoreDiameter).usual, code)
        zone = cls(quantity_of(Tolerance).check(width.upper - width.lower, "tolerance"))
        zone.said = code
        return zone


class Width(Slide):
    """A tolerance: its box takes a width, or a class such as H7."""

    kind = "slide"
    letters = True

    @property
    def usual(self) -> float:
        return Zone.of("H7")

    def check(self, value: Any, inch: bool = False) -> Any:
        if isinstance(value, Zone) or (isinstance(value, str) and CLASS.fullmatch(code := value.strip())):
            return value if isinstance(value, Zone) else Zone.of(code.replace(" ", ""))
        return super().check(value, inch)


def width_of(tolerance: float, bore: float) -> float:
    """The width of the tolerance in mm: as it was set, or of its class at this bore. Raises Refused."""
    if not isinstance(tolerance, Zone):
        return tolerance
    zone = limits(bore, tolerance.said)
    return float(quantity_of(Tolerance).check(zone.upper - zone.lower, "tolerance"))


def measured(bar: str = "") -> dict[str, Any]:
    """What the shop file knows of the holder and the bar, as arguments of check_stickout. Raises Refused if nothing."""
    holder, ring = shop.latest("holder"), shop.latest("bar ring")
    found = {name: shop.numbers(record, *facts) for name, record,
        facts in (("measured_stiffness", holder, ("stiffness", "stiffness_error")),
        ("measured_rotation", holder, ("rotation", "rotation_error")),
        ("measured_damping", ring, ("damping", "damping_scatter")))}
    known: dict[str, Any] = {name: pair for name, pair in found.items() if pair}
    if not known:
        raise Refused(
            "Nothing has been measured yet. Measure your holder with weights, or your bar with a tap, in chapter 3; "
            "until then leave this box empty.")
    return known


def proposed_speed(material: str, tool: str) -> float:
    """Where to begin with a boring bar, m/min: the low end of the printed range of turning speeds. Raises Refused."""
    return float(speeds.cutting_speed(forces.group_of(material), tool).low)


def compute(tolerance: float, own_holder: bool = False, route: str = DIAL,
        offset_share: float = 0.6, tool: str = "uncoated carbide", own_speed: bool = False, speed: float = 40.0,
        **values: Any) -> StickoutCheck:
    more = measured() if own_holder else {}
    found = boring_bar.check_stickout(**values, tolerance=width_of(tolerance, values["bore"]),
        tip_offset=offset_share * values["bar_diameter"], dial_out=route == DIAL,
        speed=speed if own_speed else proposed_speed(values["material"], tool), **more)
    if not values.get("depth"):
        return found
    taper = tools.own_shop().lathe.taper
    mouth = the_lathe.end_difference(sample(taper=taper.range)["taper"], values["depth"])
    return replace(found, mouth=likely(mouth), mouth_known=taper.measured)


# ---- words -------------------------------------------------------------------------------------------


def percent(chance: float) -> str:
    """A chance as a person writes it."""
    return "over 99 %" if chance > 0.995 else "under 1 %" if chance < 0.005 else f"{100 * chance:.0f} %"


def fine_range(one: Likely, say: Say) -> str:
    """ "9.1 µm (90 % range 7.2 to 11)" of an error's size, its sign left out."""
    low, high = sorted((abs(one.low), abs(one.high)))
    if one.low < 0 < one.high:
        low = 0.0
    near, far = say.bare(low), say.bare(high)
    return say.fine(abs(one.value)) + (f" (90 % range {near} to {far})" if near != far else "")


def rpm(speed: float, bore: float) -> str:
    return f"{plain(1000 * speed / (np.pi * bore), 3)} rpm"


NO_VERDICT = {SHUT: "No verdict: the bar does not go in.", RUBS: "No verdict: nothing is cut.",
    DEEP: "No verdict: this cut is deeper than the nose radius."}


def words(c: StickoutCheck, say: Say) -> str:
    s = c.setup
    said: list[str] = []
    if c.softer >= boring_bar.holder.SOFTER:
        said.append(f"The holder you measured deflects {plain(c.softer, 2)} times as far as the softest we know. Check "
            "the units, the bar's diameter and the clamping screws first.")
    elif c.holder_share > GUESS and not s.measured_stiffness:
        said.append(
            f"The holder makes {100 * c.holder_share:.0f} % of the compliance at the tip, and its value is a guess: "
            "weigh it in chapter 3 with dead weights and an indicator.")
    if c.unjudged:
        said.append(f"{NO_VERDICT[c.unjudged]} {_why_not(c, say)}")
    else:
        said += [_size(c, say), _chance(c)]
    if c.mouth and not c.unjudged:
        said.append(_mouth(c, c.mouth, say))
    if not c.reaches:
        said.append(
            f"The bar does not reach the end of the bore: it must stick out {say.length(s.depth + 3, 3)} or more.")
    if c.unjudged != SHUT and not c.roomy:
        said.append("The bar fills the bore, and chips have little room.")
    if c.unjudged not in (SHUT, DEEP):
        said.append(_longest(c, say))
    lines = ["\n".join(said)]
    if c.verdict != HOLDS and c.unjudged != SHUT:
        lines.append(advice(c, say))
    return "\n".join(line for line in lines if line)


def _why_not(c: StickoutCheck, say: Say) -> str:
    s = c.setup
    if c.unjudged == SHUT:
        larger = [change.value for change in c.changes if change.kind == "bar_diameter"]
        take = f" A bar of {say.length(max(larger), 3)} goes in." if larger else ""
        return (f"With the tip at the wall, its back comes within {say.fine(max(c.gap, 0))} of the far wall.{take}"
            if c.gap > 0 else f"With the tip at the wall, its back touches the far wall.{take}")
    if c.unjudged == RUBS:
        return (f"At {say.fine(s.infeed)} on radius the chip is thinner than the edge can take, so it only rubs."
            if np.isnan(c.longest) else "The bar deflects so far that the edge only rubs.")
    return (
        f"Above {say.length(s.nose_radius, 2)} the feed force and a second direction matter, which are not judged here."
    )


def _size(c: StickoutCheck, say: Say) -> str:
    s = c.setup
    half = say.fine(s.tolerance / 2)
    if s.dial_out:
        return (f"Measured after a like cut and dialled in, the bar's deflection leaves ±{say.fine(c.after_dialling)} "
            f"(90 % range) in the size; ±{half} is allowed.")
    passes = "pass" if s.passes == 1 else "passes"
    side = "undersize" if c.error.value <= 0 else "oversize"
    return f"After {s.passes} {passes} the bore is {fine_range(c.error, say)} {side}, and ±{half} is allowed."


def _mouth(c: StickoutCheck, mouth: Likely, say: Say) -> str:
    """What the lathe's own taper does to the bore along its depth."""
    if not c.mouth_known:
        return ("The lathe's own taper has not been measured: between mouth and bottom it may add up to "
            f"±{say.fine(mouth.reach)} (chapter 10).")
    size = "larger" if mouth.value > 0 else "smaller"
    return f"Your lathe's own taper leaves the bore's mouth {fine_range(mouth, say)} {size} than its bottom."


LIMITS = {SIZE: "size", CHATTER: "chatter", SLENDER: "its slenderness", CUTS: "a cut too thin for the edge"}


def _chance(c: StickoutCheck) -> str:
    by = {reason.what: reason.chance for reason in c.reasons if reason.what in LIMITS}
    worst = min(by, key=lambda what: by[what])
    chance = f"The chance that the size holds and nothing chatters is {percent(c.chance)}"
    return f"{chance}." if c.chance > 0.995 else f"{chance}; what limits it is {LIMITS[worst]}."


def _longest(c: StickoutCheck, say: Say) -> str:
    if np.isnan(c.longest):
        return "No stickout holds with this bar and cut."
    ratio = plain(c.longest / c.setup.bar_diameter, 2)
    more = " or more" if c.open_end else ""
    return f"Every stickout up to {say.limit(c.longest)}{more} holds; that is {ratio} bar diameters."


def what_to_do(change: Change, c: StickoutCheck, say: Say) -> str:
    """A change in words."""
    value = change.value
    return {"stickout": lambda: f"let the bar stick out {say.length(value, 3)}",
        "dial_out": lambda: "measure after a like cut, then dial in the remainder",
        "passes": lambda: f"take {value} passes at one setting",
        "speed": lambda: f"cut at {say.speed(value)}, {rpm(value, c.setup.bore)}",
        "infeed": lambda: f"take {say.length(value, 3)} on radius",
        "feed": lambda: f"feed {say.length(value, 3)} per revolution",
        "nose_radius": lambda: f"take a nose radius of {say.length(value, 2)}",
        "neck_length": lambda: "take a bar without a neck", "bar_material": lambda: "take a carbide bar",
        "holder": lambda: f"hold it in a {value}",
        "bar_diameter": lambda: f"take a {say.length(value, 3)} bar"}[change.kind]()


def advice(c: StickoutCheck, say: Say) -> str:
    """The surest change of each kind of effort, each with its chance."""
    best: dict[str, Change] = {}
    for change in c.changes:
        best.setdefault(change.effort, change)
    if not best:
        return ("No single change helps. Take a deeper cut and let a stiffer bar stick out less." if c.unjudged == RUBS
            else "No single change helps. Take a thicker or a shorter bar and a lighter cut together.")
    begin = {FREE: "Free", SET: "Set differently", BOUGHT: "Bought"}
    said = [f"{begin[effort]}: {what_to_do(best[effort], c, say)} ({percent(best[effort].chance)})."
        for effort in (FREE, SET, BOUGHT) if effort in best]
    return "What helps, with its chance. " + " ".join(said)


# ---- pictures ------------------------------------------------------------------------------------------


def picture(c: StickoutCheck, say: Say) -> str:
    s = c.setup
    d = Drawing("Boring bar in its holder and bore", words(c, say), WIDTH, 528)
    _side(d, c, say)
    _along(d, c, say)
    half = s.tolerance / 2
    scale = max(1.25 * half, 1.1 * abs(c.error.low), 1.1 * abs(c.error.high))
    to = say.fine_number
    d.text(16, 214, "Size of the finished bore against its tolerance", kind="small bold halo")
    strip(d, 232, to(-scale), to(scale), (to(-half), to(half)), (to(c.error.value), to(c.error.low), to(c.error.high)),
        f"{say.fine_unit} from the middle, on diameter", spread_name="90 % range", grip="tolerance",
        factor=25.4 if say.inch else 1.0)
    chart = Chart("", "",
        x=("stickout", say.length_unit, say.length_number(float(c.stickouts[0])),
        say.length_number(float(c.stickouts[-1]))), y=("chance that it holds", "%", 0.0, 105.0), width=WIDTH,
        height=222)
    x = say.length_number(c.stickouts)
    chance = 100 * c.chances * (not c.unjudged or c.unjudged == RUBS)
    if np.isfinite(c.longest):
        inside = np.linspace(c.stickouts[0], max(min(c.longest, c.stickouts[-1]), c.stickouts[0]), 30)
        chart.band(say.length_number(inside), 0 * inside, np.interp(inside, c.stickouts, chance), "c")
        chart.upright(say.length_number(c.longest), f"longest {say.limit(c.longest)}", low=True)
    chart.curve(x, chance)
    chart.level(90, "holds")
    chart.level(50, "at the edge")
    chart.mark(say.length_number(s.stickout), 100 * c.chance, "here", "b", "diamond")
    d.inset(chart.layers(), 0, 306)
    return d.svg()


def _side(d: Drawing, c: StickoutCheck, say: Say) -> None:
    """Holder, bar and bore in section, with the bend exaggerated and its scale said."""
    s = c.setup
    root, axis, long = 62.0, 104.0, 190.0
    across = long / s.stickout
    up = min(92 / s.bore, max(across, 40 / s.bore))
    bore = s.bore * up
    push = c.left[0].value / 2
    wall = axis - bore / 2  # the tip cuts the upper wall; the bar's axis lies the offset below it
    straight = wall + s.offset * up
    exaggerate = 10 ** np.floor(np.log10(16 / max(abs(push) * up, 1e-9)))
    exaggerate *= next(m for m in (5, 2, 1) if m * exaggerate * abs(push) * up <= 18)
    x = np.linspace(0, 1, 24)
    bend = exaggerate * push * up * (3 * x**2 - x**3) / 2
    half = np.full(x.shape, s.bar_diameter * up / 2)
    if s.neck_length:
        half[x > 1 - s.neck_length / s.stickout] = s.neck_diameter * up / 2
    right = root + long
    deep = min(s.depth, s.stickout) if s.depth else 0.75 * s.stickout
    start = right - deep * across
    for top, bottom in ((wall - 24, wall), (wall + bore, wall + bore + 24)):
        d.rect(start, top, right + 12 - start, bottom - top, "fill-work", "ink", 11)
    if s.blind:
        d.rect(right + 6, wall - 24, 14, bore + 48, "fill-work", "ink", 11)
    d.line([start - 10, right + 24], [axis, axis], "faint")
    d.rect(8, straight - s.bar_diameter * up / 2 - 20, root - 8, s.bar_diameter * up + 40, "fill-holder", "ink", 10)
    px = root + x * long
    d.shape(np.concatenate([px, px[::-1]]), np.concatenate([straight - half, (straight + half)[::-1]]), "faint")
    d.shape(np.concatenate([px, px[::-1]]), np.concatenate([straight + bend - half, (straight + bend + half)[::-1]]),
        "fill-tool", "ink")
    tip = straight + bend[-1]
    d.shape([right - 10, right, right + 2, right - 6],
        [tip - half[-1], tip - half[-1], tip - s.offset * up, tip - s.offset * up], "head")
    d.handle("stickout", root, straight, -s.stickout / long)   # the bar's end in its holder
    d.handle("bar_diameter", root + 0.45 * long, straight + s.bar_diameter * up / 2, 2 / up, "y")
    d.text(12, 16, f"bent by {say.fine(push)}, exaggerated ×{plain(exaggerate, 1)}", kind="small halo")
    d.dimension(root, wall + bore + 24, right, wall + bore + 24,
        f"{say.length(s.stickout)} = {plain(s.stickout / s.bar_diameter, 2)} diameters", 20)


def _along(d: Drawing, c: StickoutCheck, say: Say) -> None:
    """Bar, tip, heel and room for chips in the bore, looking along the axis, at true scale."""
    room = c.room
    x0, y0, radius = 378.0, 100.0, 62.0
    to = radius / (room.bore / 2)
    d.circle(x0, y0, radius + 13, "fill-work")
    d.circle(x0, y0, radius, "paper")
    d.circle(x0, y0, radius, "ink")
    xs, ys = seen_bar(room)
    d.shape(x0 + to * xs, y0 - to * ys, "fill-tool", "ink")
    tip_x, tip_y = room.tip
    lean = np.radians(room.clearance)
    back = 0.28 * room.bar
    d.shape(x0 + to
        * np.array(
        [tip_x, tip_x - back, tip_x - back - 0.3 * room.bar * np.sin(lean), tip_x - 0.3 * room.bar * np.sin(lean)]),
        y0 - to * np.array([tip_y, tip_y, tip_y - 0.3 * room.bar, tip_y - 0.3 * room.bar]), "head")
    chord = room.bore * np.sin(lean)
    if room.clearance > 0:
        foot = (tip_x - chord * np.sin(lean), tip_y - chord * np.cos(lean))
        d.line(x0 + to * np.array([tip_x, foot[0]]), y0 - to * np.array([tip_y, foot[1]]), "b")
        d.dot(x0 + to * foot[0], y0 - to * foot[1], "b", "diamond", 4)
    if room.back > 0:
        d.circle(x0 + to * (-np.sqrt((room.bore / 2) ** 2 - tip_y**2) + room.back / 2), y0 - to * tip_y,
            to * room.back / 2, "c")
    d.line([x0 - 6, x0 + 6], [y0, y0], "thin")
    d.line([x0, x0], [y0 - 6, y0 + 6], "thin")
    d.text(WIDTH - 8, 16, "along the axis", "end", "small halo")
    heel = f"heel {say.length(room.heel, 2)} down" if room.clearance > 0 else "heel rubs"
    d.text(WIDTH - 8, 196, heel, "end", "small halo")


# ---- what is folded ------------------------------------------------------------------------------------


def more(c: StickoutCheck, say: Say) -> str:
    return f"{_changes(c, say)}{_facts(c, say)}{_room(c, say)}{_formulas(c)}"


def _changes(c: StickoutCheck, say: Say) -> str:
    if not c.changes:
        return "<p>No single change that was tried does better.</p>" if c.verdict != HOLDS else ""
    rows = f"<tr><td>as it is</td><td></td><td>{percent(c.chance)}</td></tr>" if not c.unjudged else ""
    for effort in (FREE, SET, BOUGHT):
        rows += "".join(
            f"<tr><td>{escape(what_to_do(change, c, say))}</td><td>{effort}</td><td>{percent(change.chance)}</td></tr>"
            for change in c.changes if change.effort == effort)
    return ("<b>What helps</b><table><tr><th>change this alone</th><th>effort</th><th>chance that it holds</th></tr>"
        f"{rows}</table>")


def _facts(c: StickoutCheck, say: Say) -> str:
    s = c.setup
    limit = c.chatter_limit
    nose = say.length(s.nose_radius, 2)
    if np.isinf(limit.value):
        chatter = f"No chatter is expected at any depth of cut up to the nose radius of {nose}."
    else:
        chatter = f"Chatter is expected from {say.length(limit.value, 2)} depth of cut on radius."
    if np.isfinite(limit.low):
        chatter += f" In the worst case it begins at {say.length(limit.low, 2)}."
    per = (0.0254 if say.inch else 0.001) * c.stiffness.value
    passes = ", ".join(say.fine(one.value) for one in c.left)
    rub = ("" if all(c.passes_cut)
        else f" Pass {c.passes_cut.index(False) + 1} at the same setting only rubs and removes nothing.")
    taper = (
        f" Of {say.fine(s.uneven)} of taper in the bore before, {say.fine(c.taper.value)} is left." if s.uneven else "")
    return (
        f"<p>At {say.speed(s.speed)} the spindle turns at {rpm(s.speed, s.bore)}. The tip deflects 1 {say.fine_unit} "
        f"for {plain(per, 2)} N, and the radial force of the first pass is {plain(c.thrust.value, 2)} N "
        f"(90 % range {plain(c.thrust.low, 2)} to {plain(c.thrust.high, 2)}). The holder makes "
        f"{100 * c.holder_share:.0f} % of the compliance. The natural frequency is "
        f"{plain(c.frequency.value, 2)} Hz. {chatter}</p>"
        f"<p>Passes at one setting leave the bore {passes} undersize on diameter, before anything is dialled in.{rub}"
        f"{taper} Your reading and your dial add to the range above; the plan of a whole part counts them.</p>")


def _room(c: StickoutCheck, say: Say) -> str:
    s, room = c.setup, c.room
    height = (
        f" The tip stands {say.length(abs(s.tip_height), 2)} {'above' if s.tip_height > 0 else 'below'} centre: of a "
        f"dial step {100 * room.dial:.1f} % reaches the radius, and the clearance in the cut is {room.clearance:.1f}°."
        if s.tip_height else "")
    heel = (
        f"A flat flank of {room.clearance:.0f}° clearance touches the bore again {say.length(room.heel, 2)} below the "
        "tip; what reaches lower needs a second clearance." if room.clearance > 0
        else "The clearance is used up by the tip's height: the flank rubs.")
    chips = (f" One pass makes chips that fill {100 * room.filled[0]:.0f} % of the room beside the bar if short, and "
        f"{100 * room.filled[1]:.0f} % if they come as a string." if room.filled[1] else "")
    blind = " The bore is blind: clear it of chips before the bar reaches the bottom." if s.blind else ""
    return (f"<p><b>In the bore</b> The smallest bore this bar enters is {say.length(room.smallest, 3)}. "
        f"{heel}{height}{chips}{blind}</p>")


def _formulas(c: StickoutCheck) -> str:
    s = c.setup
    modulus, nu = (tables.fact("bar_materials", bar_material=s.bar_material, property=p).value for p in ("E", "nu"))
    held = boring_bar.holder_springs(s.holder, s.bar_diameter, modulus)
    shift, tilt = held["stiffness"].value, held["rotation"].value
    if s.measured_stiffness:
        shift, tilt = s.measured_stiffness[0], (s.measured_rotation or (1e12, 0))[0]
    bar = {"force": c.thrust.value, "stickout": s.stickout, "bar": s.bar_diameter, "modulus": modulus}
    held_by = {"poisson": nu, "holder_stiffness": shift, "holder_rotation": tilt}
    why = formula_mathml(boring_bar.bar_deflection, bar | held_by, below=False)
    bend = formula_mathml(boring_bar.tip_deflection, bar, below=False)
    note = " (for the plain bar; the neck adds to it)" if s.neck_length else ""
    return f"<b>Where the deflection comes from</b>{note}: bar, shear and holder; chapter 3 has the rest.{bend}{why}"


PAGE = Page(name="check_stickout", title="May this bar stick out this far?",
    inputs=(Choose("material", forces.named_materials(), "carbon steel C45 / 1045", "work"),
    Slide("bore", but(BoreDiameter, high=80), "work", "bore diameter"),
    Width("tolerance", Tolerance, "work", "tolerance on diameter"),
    Slide("depth", BoreDepth, "work", "depth of the bore", rare=True),
    Tick("blind", False, "work", "the bore is blind", rare=True),
    Slide("uneven", StockTaper, "work", "taper in the bore before", rare=True),
    Choose("bar_material", boring_bar.bar_materials(), "steel", "tool"),
    Slide("bar_diameter", but(BarDiameter, high=40), "tool"), Slide("stickout", but(Stickout, high=250), "tool"),
    Choose("tool", speeds.TOOLS, "uncoated carbide", "tool", "cutting edge"), Slide("nose_radius", NoseRadius, "tool"),
    Slide("neck_length", NeckLength, "tool", rare=True), Slide("neck_diameter", NeckDiameter, "tool", rare=True),
    Slide("offset_share", TipOffsetShare, "tool", "tip from the bar's axis, in bar diameters", rare=True),
    Slide("tip_height", TipHeight, "tool", "tip above centre", rare=True),
    Slide("clearance", ClearanceAngle, "tool", "clearance angle", rare=True),
    Slide("tip_mass", but(TipMass, usual=0.0, high=0.1, step=1), "tool", "mass of the head", rare=True),
    Slide("least_chip", LeastChip, "tool", "minimum chip thickness", rare=True),
    Choose("holder", boring_bar.holders(), "two screws in a block", "holder"),
    Tick("own_holder", False, "holder", "use what I measured (chapter 3)"),
    Slide("infeed", but(Infeed, high=1.5), "cut", "depth of last cut, on radius"),
    Slide("feed", but(Feed, low=0.01, high=0.3), "cut"),
    Tick("own_speed", False, "cut", "set the cutting speed myself"),
    Slide("speed", but(CuttingSpeed, high=250), "cut", "cutting speed, if set", rare=True),
    Slide("passes", but(Passes, high=6), "cut", "passes at one setting", rare=True),
    Choose("route", (DIAL, STRAIGHT), DIAL, "cut", "way to size")), compute=compute, picture=picture, words=words,
    more=more)
