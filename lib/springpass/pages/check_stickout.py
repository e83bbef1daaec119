"""The bench page: may this bar stick out this far for this bore?"""

from __future__ import annotations

from html import escape
from typing import Any

import numpy as np

from .. import boring_bar
from ..boring_bar import StickoutCheck
from ..boring_bar.quantities import NeckDiameter, NeckLength, Stickout, StockTaper, TipMass, TipOffsetShare
from ..core import tables
from ..core.mathml import formula_mathml
from ..core.quantity import Refused, Say, but, plain
from ..core.shared import BarDiameter, BoreDiameter, CuttingSpeed, Feed, LeastChip, NoseRadius, Passes, Tolerance
from ..core.spread import EDGE, HOLDS
from ..cutting import work_materials
from ..job import shop
from ..screen.draw import WIDTH, Chart, Drawing, strip
from ..screen.page import Choose, Page, Slide, Tick
from ..threads.quantities import Infeed


def measured(bar: str = "") -> dict[str, Any]:
    """What the shop file knows of the holder and the bar, as arguments of check_stickout. Raises Refused if nothing."""
    holder, ring = shop.latest("holder"), shop.latest("bar ring")
    found = {
        name: shop.numbers(record, *facts)
        for name, record, facts in (
            ("measured_stiffness", holder, ("stiffness", "stiffness_error")),
            ("measured_rotation", holder, ("rotation", "rotation_error")),
            ("measured_damping", ring, ("damping", "damping_scatter")),
        )
    }
    known: dict[str, Any] = {name: pair for name, pair in found.items() if pair}
    if not known:
        raise Refused(
            "Nothing has been measured yet. Measure your holder with weights, or your bar with a tap, in chapter 3; "
            "until then leave this box empty."
        )
    return known


def compute(
    own_holder: bool = False, route: str = "straight to size", offset_share: float = 0.6, **values: Any
) -> StickoutCheck:
    more = measured() if own_holder else {}
    return boring_bar.check_stickout(
        **values, tip_offset=offset_share * values["bar_diameter"], dial_out=route != "straight to size", **more
    )


def tenth(chance: float) -> str:
    """Odds in words a person uses."""
    return "all but certain" if chance > 0.99 else "next to none" if chance < 0.01 else f"{100 * chance:.0f} in 100"


def picture(c: StickoutCheck, say: Say) -> str:
    s = c.setup
    d = Drawing("Boring bar in its holder and bore", words(c, say), WIDTH, 512)
    _sketch(d, c, say)
    half = s.tolerance / 2
    scale = max(1.25 * half, 1.1 * abs(c.error.low), 1.1 * abs(c.error.high))
    aim = c.error.value if s.dial_out else 0.0
    to = say.fine_number
    d.text(16, 208, "Size of the bore against its tolerance", kind="small bold halo")
    strip(
        d,
        226,
        to(-scale),
        to(scale),
        (to(-half), to(half)),
        (to(c.error.value - aim), to(c.error.low - aim), to(c.error.high - aim)),
        f"{say.fine_unit} from the middle, on diameter",
    )
    chart = Chart(
        "",
        "",
        x=(
            "stickout",
            say.length_unit,
            say.length_number(float(c.stickouts[0])),
            say.length_number(float(c.stickouts[-1])),
        ),
        y=("error of the bore", say.fine_unit, *_span(c, say)),
        width=WIDTH,
        height=208,
    )
    x = say.length_number(c.stickouts)
    chart.band(x, to(c.error_low), to(c.error_high))
    chart.curve(x, to(c.error_middle))
    if not s.dial_out:
        chart.level(to(-half), "half the tolerance")
    if np.isfinite(c.longest):
        chart.upright(say.length_number(c.longest), "longest that holds", low=True)
    chart.mark(say.length_number(s.stickout), to(c.error.value), "here", "b", "diamond")
    d.inset(chart.layers(), 0, 304)
    return d.svg()


def _span(c: StickoutCheck, say: Say) -> tuple[float, float]:
    low = max(float(np.min(c.error_low)), -4 * c.setup.tolerance, -8 * max(abs(c.error.low), 1e-4))
    return float(say.fine_number(min(low, -0.6 * c.setup.tolerance))), float(
        say.fine_number(max(0.08 * -low, float(np.max(c.error_high)), 0))
    )


def _sketch(d: Drawing, c: StickoutCheck, say: Say) -> None:
    """Holder, bar and bore in section, with the bend drawn larger and its scale said."""
    s = c.setup
    root, axis = 84.0, 100.0
    across = 300 / s.stickout
    up = min(96 / s.bore, max(across, 40 / s.bore))
    bore = s.bore * up
    push = c.left[0].value / 2
    # the tip cuts the upper wall; the bar's axis lies the offset below it
    wall = axis - bore / 2
    straight = wall + s.offset * up
    exaggerate = 10 ** np.floor(np.log10(16 / max(abs(push) * up, 1e-9)))
    exaggerate *= next(m for m in (5, 2, 1) if m * exaggerate * abs(push) * up <= 18)
    x = np.linspace(0, 1, 24)
    bend = exaggerate * push * up * (3 * x**2 - x**3) / 2
    half = np.full(x.shape, s.bar_diameter * up / 2)
    if s.neck_length:
        half[x > 1 - s.neck_length / s.stickout] = s.neck_diameter * up / 2
    right = root + s.stickout * across
    inside = min(0.9, 0.75 * s.stickout / s.stickout)
    start = root + (1 - inside) * (right - root)
    for top, bottom in ((wall - 26, wall), (wall + bore, wall + bore + 26)):
        d.rect(start, top, right + 14 - start, bottom - top, "fill-work", "ink", 11)
    d.line([start - 10, right + 34], [axis, axis], "faint")
    d.rect(14, straight - s.bar_diameter * up / 2 - 22, root - 14, s.bar_diameter * up + 44, "fill-holder", "ink", 10)
    px = root + x * (right - root)
    d.shape(np.concatenate([px, px[::-1]]), np.concatenate([straight - half, (straight + half)[::-1]]), "faint")
    d.shape(
        np.concatenate([px, px[::-1]]),
        np.concatenate([straight + bend - half, (straight + bend + half)[::-1]]),
        "fill-tool",
        "ink",
    )
    tip = straight + bend[-1]
    d.shape(
        [right - 11, right, right + 2, right - 7],
        [tip - half[-1], tip - half[-1], tip - s.offset * up, tip - s.offset * up],
        "head",
    )
    d.line([right + 2, right + 40], [wall, wall], "thin")
    d.line([right + 2, right + 40], [wall + bend[-1]] * 2, "thin")
    d.arrow(right + 32, wall - 16, right + 32, wall)
    d.arrow(right + 32, wall + bend[-1] + 16, right + 32, wall + bend[-1])
    d.text(WIDTH - 8, wall + bend[-1] + 34, say.fine(push), "end", "bold halo")
    d.dimension(
        root,
        wall + bore + 26,
        right,
        wall + bore + 26,
        f"{say.length(s.stickout)} out = {plain(s.stickout / s.bar_diameter, 2)} bar diameters",
        20,
    )
    d.text(14, 16, f"Push on the first pass, drawn ×{plain(exaggerate, 1)}", kind="small halo")
    d.text(18, straight + s.bar_diameter * up / 2 + 38, "holder", kind="small halo")
    d.text(start + 6, wall - 8, f"work, bore {say.length(s.bore)}", kind="small halo")
    if up < 0.95 * across or up > 1.05 * across:
        d.text(WIDTH - 14, 16, "not to one scale", "end", "small halo")


def words(c: StickoutCheck, say: Say) -> str:
    s = c.setup
    one = "pass" if s.passes == 1 else "passes"
    side = "small" if c.error.value <= 0 else "large"
    size = likely_size(c, say)
    first = f"After {s.passes} {one} the bore is {size} {side}; half the tolerance is {say.fine(s.tolerance / 2)}."
    if s.dial_out:
        first = (
            f"Measured and dialled out, the bore still wanders ±{say.fine(c.after_dialling)}; half the tolerance is "
            f"{say.fine(s.tolerance / 2)}. (Undialled it is {size} {side}.)"
        )
    by = {reason.what: reason for reason in c.reasons}
    if by["room"].chance == 0:
        second = "The bar does not go in: its back touches the far wall."
    else:
        second = f"Odds of the size: {tenth(by['size'].chance)}; of no chatter: {tenth(by['chatter'].chance)}."
        if by["room"].verdict == EDGE:
            second += " The bar fills the bore: chips have little room."
    if np.isnan(c.longest):
        third = "No stickout tried holds nine times in ten with this bar and cut."
    else:
        more = "or more, " if c.longest >= 0.999 * c.stickouts[-1] else ""
        third = (f"Longest stickout that holds nine times in ten: {say.length(c.longest, 2)}, "
                 f"{more}{plain(c.longest / s.bar_diameter, 2)} bar diameters.")
    if c.verdict == HOLDS:
        return f"{first}\n{second} {third}"
    return f"{first}\n{second} {third}\n{advice(c, say)}"


TO_BUY = (
    "take a carbide bar",
    "take a thicker bar",
    "take a bar without",
    "take a smaller nose",
    "hold it in a split sleeve",
)


def advice(c: StickoutCheck, say: Say) -> str:
    """What helps most, and beside a thing to buy the best that is only set otherwise, each with its odds."""
    if not c.changes:
        return "No single change on the list below helps."
    said = [c.changes[0]]
    if said[0].what.startswith(TO_BUY):
        said += [change for change in c.changes if not change.what.startswith(TO_BUY)][:1]
    enough = (
        "What helps most: "
        if max(change.chance for change in c.changes) >= 0.9
        else "No single change is enough. What helps most: "
    )
    return enough + "; or ".join(f"{say.sentence(change.what)} (odds {tenth(change.chance)})" for change in said) + "."


def likely_size(c: StickoutCheck, say: Say) -> str:
    """The size of the error with its range, without a sign."""
    low, high = sorted((abs(c.error.low), abs(c.error.high)))
    if c.error.low < 0 < c.error.high:
        low = 0.0
    unit = say.fine_unit
    value = say.fine(abs(c.error.value)).removesuffix(f" {unit}")
    return (
        f"{value} {unit} (likely {say.fine(low).removesuffix(f' {unit}')} to {say.fine(high).removesuffix(f' {unit}')})"
    )


def more(c: StickoutCheck, say: Say) -> str:
    s = c.setup
    rows = "".join(
        f"<tr><td>{escape(say.sentence(change.what))}</td><td>{say.fine(change.error)}</td><td>{tenth(change.chance)}</td></tr>"
        for change in (c.as_it_is, *c.changes[:6])
    )
    none = "" if c.changes else "<p>No single change that was tried does better.</p>"
    changes = ("<b>What helps most</b><table><tr><th>change this alone</th><th>error</th><th>odds it "
               f"holds</th></tr>{rows}</table>{none}")
    limit = c.chatter_limit
    at_worst = "" if np.isinf(limit.low) else f", at worst from {say.length(limit.low, 2)} up"
    chatter = (f"No chatter is expected at any cut up to {say.length(3.0, 2)} on radius" if np.isinf(limit.value) else
               f"Chatter is expected in cuts from {say.length(limit.value, 2)} on radius up") + at_worst
    facts = (
        f"<p>The tip yields 1 {say.fine_unit} for {plain((0.0254 if say.inch else 0.001) * c.stiffness.value, 2)} N; "
        "the first pass pushes with "
        f"{plain(c.thrust.value, 2)} N (likely {plain(c.thrust.low, 2)} to {plain(c.thrust.high, 2)}). The bar rings "
        f"at {plain(c.frequency.value, 2)} Hz. "
        f"{chatter}. Odds that the last pass is too thin to cut: {tenth(c.rubs)}. "
        f"Of {say.fine(s.uneven)} of taper in the bore before, {say.fine(c.taper.value)} is left. "
        f"The tip drops {say.fine(c.drop.value)}, which hardly changes the bore.</p>"
    )
    modulus = tables.fact("bar_materials", bar_material=s.bar_material, property="E").value
    nu = tables.fact("bar_materials", bar_material=s.bar_material, property="nu").value
    shift, tilt = (tables.fact("holders", holder=s.holder, property=p).value for p in ("stiffness", "rotation"))
    if s.measured_stiffness:
        shift, tilt = s.measured_stiffness[0], (s.measured_rotation or (1e12, 0))[0]
    why = formula_mathml(
        boring_bar.bar_deflection,
        dict(
            force=c.thrust.value,
            stickout=s.stickout,
            bar=s.bar_diameter,
            modulus=modulus,
            poisson=nu,
            holder_stiffness=shift,
            holder_rotation=tilt,
        ),
        below=False,
    )
    bend = formula_mathml(
        boring_bar.tip_deflection,
        dict(
            force=c.thrust.value,
            stickout=s.stickout,
            bar=s.bar_diameter,
            modulus=modulus,
        ),
        below=False,
    )
    note = " (for the plain bar; the neck adds to it)" if s.neck_length else ""
    return (f"{changes}{facts}<b>Where the push comes from</b>{note}: bar, shear and holder; chapter 3 has the "
            f"rest.{bend}{why}")


PAGE = Page(
    name="check_stickout",
    title="May this bar stick out this far?",
    inputs=(
        Choose("material", work_materials(), "medium-carbon steel", "work"),
        Slide("bore", but(BoreDiameter, high=80), "work", "bore diameter"),
        Slide("tolerance", Tolerance, "work", "tolerance on diameter"),
        Slide("uneven", StockTaper, "work", "taper in the bore before", rare=True),
        Choose("bar_material", boring_bar.bar_materials(), "steel", "tool"),
        Slide("bar_diameter", but(BarDiameter, high=40), "tool"),
        Slide("stickout", but(Stickout, high=250), "tool"),
        Slide("neck_length", NeckLength, "tool", rare=True),
        Slide("neck_diameter", NeckDiameter, "tool", rare=True),
        Slide("nose_radius", NoseRadius, "tool"),
        Slide("offset_share", TipOffsetShare, "tool", "tip from the bar's axis, in bar diameters", rare=True),
        Slide("tip_mass", but(TipMass, usual=0.0, high=0.1, step=1), "tool", "mass of the head", rare=True),
        Slide("least_chip", LeastChip, "tool", "thinnest chip it cuts", rare=True),
        Choose("holder", boring_bar.holders(), "two screws in a block", "holder"),
        Tick("own_holder", False, "holder", "use what I measured (chapter 3)"),
        Slide("infeed", but(Infeed, high=1.5), "cut", "last cut, on radius"),
        Slide("feed", but(Feed, low=0.01, high=0.3), "cut"),
        Slide("speed", but(CuttingSpeed, high=250), "cut", "cutting speed"),
        Slide("passes", but(Passes, high=6), "cut", "passes at one setting"),
        Choose("route", ("straight to size", "measure, then dial the rest"), "straight to size", "cut", "way to size"),
    ),
    compute=compute, picture=picture, words=words, more=more,
)
