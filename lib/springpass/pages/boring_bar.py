"""The boring-bar chapter's pages: deflection, spring passes, slenderness, chatter, and the question turned round."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import boring_bar
from ..boring_bar import Setup, holder_springs
from ..boring_bar import bending as bar_bending
from ..boring_bar.quantities import Damping, SlendernessRatio, Stickout
from ..boring_bar.vibration import tuning
from ..core.mathml import formula_mathml
from ..core.quantity import Say, but, plain
from ..core.shared import BarDiameter, BoreDiameter, CuttingSpeed, Feed, LeastChip, NoseRadius, Passes, Tolerance
from ..core.spread import Likely, band, factor_of, likely, sample
from ..core.tables import assumed, fact
from ..cutting import kienzle, named_materials, nose_forces
from ..cutting.speeds import spindle_speed
from ..drilling import Compliance
from ..screen.draw import WIDTH, Chart, Drawing, breadth
from ..screen.page import Choose, Page, Slide
from ..threads.quantities import Infeed

MATERIAL = Choose("material", named_materials(), "carbon steel C45 / 1045", "work")
BAR_MATERIAL = Choose("bar_material", boring_bar.bar_materials(), "steel", "tool")
ENTERING = assumed("entering angle of a boring bar").value
SAMPLES = 500  # a curve needs fewer than one answer
SHOWN, BEYOND = 8.0, 1.2  # the curve runs to so many diameters, or so far past the stickout that is set
SPEEDS = (5.0, 250.0)  # m/min
RATIOS = (1.5, 10.0)  # diameters
WIDE = 0.025  # mm: a tolerance that does not decide
HARDLY = 0.03  # of what stood in front: a pass that takes less only rubs
HOLDER = Choose("holder", boring_bar.holders(), "two screws in a block", "holder")


def bar_facts(material: str) -> tuple[float, float, float]:
    """Modulus, Poisson's ratio, density of a bar material."""
    return tuple(fact("bar_materials", bar_material=material, property=p).value for p in ("E", "nu", "density"))  # type: ignore[return-value]


# ---- how far it deflects -----------------------------------------------------------------------------


@dataclass(frozen=True)
class Bend:
    """Radial force and what it does to the tip, mm and N; arrays over `stickouts`."""

    thrust: Likely
    total: Likely
    bar: float
    shear: float
    holder: float
    stickout: float
    diameter: float
    stickouts: np.ndarray
    bars: np.ndarray
    totals: np.ndarray
    low: np.ndarray
    high: np.ndarray
    numbers: dict[str, Any]


def bend(material: str, bar_material: str, bar_diameter: float, stickout: float, nose_radius: float, holder: str,
        infeed: float, feed: float) -> Bend:
    """How far the cut deflects the tip, mm, and what of it is bar, shear and holder; curves over the stickout.

    Lengths mm; the range comes from force and holder. Raises Refused.
    """
    e, nu, _ = bar_facts(bar_material)
    held = holder_springs(holder, bar_diameter, e)
    factor = boring_bar.force_factor(material, SAMPLES)
    table = nose_forces(infeed, feed, nose_radius, ENTERING, *kienzle(material)).thrust
    thrust = float(table * np.median(factor))
    d = sample(SAMPLES,
        **{name: factor_of(held[p].geometric_middle, held[p].factor) for name,
        p in (("shift", "stiffness"), ("tilt", "rotation"))})
    shift, tilt = (float(np.median(d[name])) for name in ("shift", "tilt"))
    lengths = np.linspace(bar_diameter, max(SHOWN * bar_diameter, BEYOND * stickout), 40)

    def tip(length: Any) -> Any:
        return bar_bending.bar_deflection(table * factor, length, bar_diameter, e, nu, d["shift"], d["tilt"])

    low, middle, high = band(tip(lengths[:, None]), axis=1)
    return Bend(likely(table * factor), likely(tip(stickout)),
        float(bar_bending.tip_deflection(thrust, stickout, bar_diameter, e)),
        float(bar_bending.shear_deflection(thrust, stickout, bar_diameter, e, nu)),
        float(bar_bending.holder_deflection(thrust, stickout, shift, tilt)), stickout, bar_diameter, lengths,
        np.asarray(bar_bending.tip_deflection(thrust, lengths, bar_diameter, e)), middle, low, high,
        {"force": thrust, "stickout": stickout, "bar": bar_diameter, "modulus": e})


def bend_picture(b: Bend, say: Say) -> str:
    d = Drawing("A bar that deflects", bend_words(b, say), WIDTH, 440)
    _bent_bar(d, b, say)
    to = say.fine_number
    top = min(float(b.high[-1]), 4 * max(b.total.high, 1e-5))
    c = Chart("", "", x=("stickout", say.length_unit, *(say.length_number(float(b.stickouts[i])) for i in (0, -1))),
        y=("deflection of the tip", say.fine_unit, 0.0, float(to(top))))
    x = say.length_number(b.stickouts)
    c.band(x, to(b.low), to(b.high))
    c.legend({"bar and holder": "a", "bar alone": "b"}, right=False)
    c.curve(x, to(b.totals))
    c.curve(x, to(b.bars), kind="b")
    c.mark(say.length_number(b.stickout), to(b.total.value), "here", "c", "diamond")
    d.inset(c.layers(), 0, 150)
    return d.svg()


def _bent_bar(d: Drawing, b: Bend, say: Say) -> None:
    """The bar in its holder, straight and as the cut bends it; the bend exaggerated and its scale said."""
    root, middle, long = 70.0, 66.0, 285.0
    across = long / b.stickout
    half = float(np.clip(b.diameter * across / 2, 5, 26))
    grown = 10 ** np.floor(np.log10(30 / max(b.total.value * across, 1e-9)))
    grown *= next(m for m in (5, 2, 1) if m * grown * b.total.value * across <= 32)
    lean = b.holder / max(b.total.value, 1e-12)  # the holder's share is drawn as a lean of the whole bar
    x = np.linspace(0, 1, 30)
    down = grown * b.total.value * across * ((1 - lean) * (3 * x**2 - x**3) / 2 + lean * x)
    px = root + long * x
    d.rect(12, middle - half - 20, root - 12, 2 * half + 40, "fill-holder", "ink", 10)
    d.shape([root, root + long, root + long, root], [middle - half, middle - half, middle + half, middle + half],
        "faint")
    d.shape(np.concatenate([px, px[::-1]]), np.concatenate([middle + down - half, (middle + down + half)[::-1]]),
        "fill-tool", "ink")
    d.arrow(root + long, middle - half - 28, root + long, middle - half - 2 + down[-1])
    d.text(root + long + 8, middle - half - 14, f"{plain(b.thrust.value, 2)} N", kind="small halo")
    d.text(WIDTH - 6, middle + down[-1] + 5, say.fine(b.total.value), "end", "bold halo")
    d.handle("stickout", root, middle, -b.stickout / long)
    d.handle("bar_diameter", root + long / 2, middle + half, 2 / across, "y")
    d.text(12, 16, f"Deflection exaggerated ×{plain(grown, 1)}", kind="small halo")
    foot = middle + half + 34
    d.dimension(root, foot, root + long, foot, f"{say.length(b.stickout)} stickout", 0)


def bend_words(b: Bend, say: Say) -> str:
    whole = b.bar + b.shear + b.holder
    share = b.holder / whole
    guess = " The holder's value is a guess: weigh it below." if share > 0.4 else ""
    return (f"The radial force of {plain(b.thrust.value, 2)} N deflects the tip by {fine_range(b.total, say)}, which "
        f"counts double on diameter. The bar's bending makes {100 * b.bar / whole:.0f} % of it and the holder "
        f"{100 * share:.0f} %.{guess} The stickout is {plain(b.stickout / b.diameter, 2)} bar diameters.")


def fine_range(one: Likely, say: Say) -> str:
    """ "11 µm (90 % range 7.6 to 15)" of a small length."""
    low, high = say.bare(one.low), say.bare(one.high)
    return say.fine(one.value) + (f" (90 % range {low} to {high})" if low != high else "")


def bend_more(b: Bend, say: Say) -> str:
    return "<b>The bar alone, with the numbers in</b>" + formula_mathml(bar_bending.tip_deflection, b.numbers)


BEND = Page("bend", "How far does the bar bend?",
    (MATERIAL, BAR_MATERIAL, Slide("bar_diameter", but(BarDiameter, high=40), "tool"),
    Slide("stickout", but(Stickout, high=250), "tool"), Slide("nose_radius", NoseRadius, "tool"), HOLDER,
    Slide("infeed", but(Infeed, high=1.5), "cut", "depth of cut, on radius"),
    Slide("feed", but(Feed, high=0.3, low=0.01), "cut")), bend, bend_picture, bend_words, bend_more)


# ---- spring passes ---------------------------------------------------------------------------------


@dataclass(frozen=True)
class Springs:
    """What is left after each pass, mm on diameter, with its range."""

    infeed: float
    left: tuple[Likely, ...]
    removed: tuple[float, ...]
    cuts: tuple[bool, ...]  # False for a pass that removes nothing
    tolerance: float


def springs(material: str, tolerance: float, nose_radius: float, least_chip: float, compliance: float, infeed: float,
        feed: float, passes: int) -> Springs:
    """What each pass at one setting leaves, mm on diameter; compliance in mm/N, lengths mm. Raises Refused."""
    give = sample(give=assumed("give of a bar as set").range)["give"]
    p = boring_bar.smooth_passes(infeed, feed, nose_radius, compliance * give, material, int(passes), least_chip,
        force_factor=boring_bar.force_factor(material))
    before = np.concatenate([np.full((1, *p.left.shape[1:]), infeed), p.left[:-1]])
    removed = tuple(float(np.median(one)) for one in p.removed)
    return Springs(infeed, tuple(likely(2 * one) for one in p.left), removed,
        tuple(took > HARDLY * float(np.median(one)) for took, one in zip(removed, before, strict=True)), tolerance)


def springs_picture(s: Springs, say: Say) -> str:
    to = say.fine_number
    n = len(s.left)
    top = max(s.left[0].high, 1.1 * s.tolerance / 2)
    c = Chart("What is left after each pass", springs_words(s, say),
        x=("pass at one setting", "", 0.4, n + 0.6 + 0.12 * max(n - 5, 0)),
        y=("bore undersize by", say.fine_unit, 0.0, float(to(1.08 * top))), counted=True)
    for i, one in enumerate(s.left, 1):
        c.band([i - 0.28, i + 0.28], to(np.array([one.low] * 2)), to(np.array([one.high] * 2)))
        c.curve([i - 0.28, i + 0.28], to(np.array([one.value] * 2)))
        c.mark(i, to(one.value), "", "a", "diamond")
        c.note(i + 0.3, to(one.value), plain(to(one.value), 2), "start")
    c.level(to(s.tolerance / 2), "half the tolerance")
    return c.svg()


def springs_words(s: Springs, say: Say) -> str:
    first = (f"Dialled {say.length(s.infeed, 3)} on radius, the first pass leaves the bore "
        f"{fine_range(s.left[0], say)} undersize.")
    if not s.cuts[0]:
        return f"Nothing is cut: {say.length(s.infeed, 3)} on radius is too thin for this edge, and it only rubs."
    if len(s.left) == 1:
        return first
    last = s.left[-1]
    rubs = [i for i, cuts in enumerate(s.cuts, 1) if not cuts]
    rub = f" Pass {rubs[0]} only rubs and removes nothing." if rubs else ""
    return (f"{first} Pass {len(s.left)} at the same setting leaves {fine_range(last, say)}. "
        f"The second pass takes another {say.fine(2 * s.removed[1])} off the diameter.{rub}")


SPRINGS = Page("spring_passes", "What does a spring pass take, and what does it leave?",
    (MATERIAL, Slide("tolerance", Tolerance, "work", "tolerance on diameter"), Slide("nose_radius", NoseRadius, "tool"),
    Slide("least_chip", LeastChip, "tool", "minimum chip thickness"),
    Slide("compliance", but(Compliance, low=5e-5, high=5e-3, usual=7.8e-4, log=True, shown="µm/N"), "holder",
    "compliance at the tip"), Slide("infeed", but(Infeed, high=1.0), "cut", "depth of cut, on radius"),
    Slide("feed", but(Feed, low=0.01, high=0.3), "cut"), Slide("passes", Passes, "cut", "passes at one setting")),
    springs, springs_picture, springs_words)


# ---- 4:1 in steel, 6:1 in carbide -------------------------------------------------------------------


@dataclass(frozen=True)
class Slender:
    """Chance that a stickout holds against slenderness, for each bar material, and how far each may stick out."""

    ratios: np.ndarray
    chances: dict[str, np.ndarray]
    longest: dict[str, float]  # up to which steel and carbide hold; nan where they do not
    equal: dict[str, float]  # slenderness just as stiff as the steel bar at `slenderness`
    slenderness: float


SAID = ("steel", "cemented carbide")


def slender(material: str, bar_diameter: float, slenderness: float, nose_radius: float, holder: str, infeed: float,
        feed: float, speed: float) -> Slender:
    """Chance that bars of four materials hold, over their slenderness; how far two of them reach. Raises Refused."""
    chances, longest, equal = {}, {}, {}
    ratios = np.linspace(*RATIOS, 35)
    for name in boring_bar.bar_materials():
        s = Setup(stickout=slenderness * bar_diameter, bar_diameter=bar_diameter,
            bore=bar_diameter / assumed("bar for a bore").value, tolerance=WIDE, material=material, bar_material=name,
            holder=holder, nose_radius=nose_radius, infeed=infeed, feed=feed, speed=speed)
        chances[name] = boring_bar.chances(s, ratios * bar_diameter)
        longest[name] = boring_bar.longest_stickout(s) / bar_diameter if name in SAID else float("nan")
        equal[name] = float(bar_bending.equal_slenderness(slenderness, bar_facts("steel")[0], bar_facts(name)[0]))
    return Slender(ratios, chances, longest, equal, slenderness)


def slender_picture(s: Slender, say: Say) -> str:
    c = Chart("Chance that it holds against slenderness", slender_words(s, say),
        x=("stickout in bar diameters", "", *RATIOS), y=("chance that it holds", "%", 0.0, 105.0), height=320)
    for kind, chance in zip("abcd", s.chances.values(), strict=True):
        c.curve(s.ratios, 100 * chance, "", kind)
    c.legend(dict(zip(s.chances, "abcd", strict=True)), right=False, low=True)
    c.level(90, "holds")
    return c.svg()


def slender_words(s: Slender, say: Say) -> str:
    def reach(name: str) -> str:
        return f"{plain(s.longest[name], 2)} diameters" if np.isfinite(s.longest[name]) else "at no length"

    return (
        f"With this cut a steel bar holds up to {reach('steel')} and a carbide bar up to {reach('cemented carbide')}. "
        f"By stiffness alone, a steel bar at {plain(s.slenderness, 2)} diameters is matched by heavy alloy at "
        f"{plain(s.equal['tungsten heavy alloy'], 2)} and carbide at {plain(s.equal['cemented carbide'], 2)}; what "
        "the holder deflects takes part of that gain.")


SLENDER = Page("slenderness", "Why 4 diameters in steel and 6 in carbide?",
    (MATERIAL, Slide("bar_diameter", but(BarDiameter, usual=12, high=40), "tool"),
    Slide("slenderness", but(SlendernessRatio, low=2, high=8), "tool", "steel bar at, diameters"),
    Slide("nose_radius", NoseRadius, "tool"), HOLDER,
    Slide("infeed", but(Infeed, high=1.5), "cut", "depth of cut, on radius"),
    Slide("feed", but(Feed, low=0.01, high=0.3), "cut"),
    Slide("speed", but(CuttingSpeed, low=5, high=250, usual=50), "cut", "cutting speed")), slender, slender_picture,
    slender_words)


# ---- chatter against speed ----------------------------------------------------------------------------


@dataclass(frozen=True)
class Chatter:
    """Depth at which chatter begins against cutting speed, without and with the flank's rubbing; mm, m/min."""

    setup: Setup
    speeds: np.ndarray
    plain: Likely  # without the flank
    rubbing: np.ndarray  # with it: middle and ends of the range, infinite where not up to the nose radius
    rubbing_low: np.ndarray
    rubbing_high: np.ndarray
    frequency: float
    spindle: float
    waves: int  # on one revolution
    here: Likely
    gain: float  # by which the best spindle speed nearby raises the limit, as a share


def chatter(material: str, bore: float, bar_material: str, bar_diameter: float, stickout: float, nose_radius: float,
        holder: str, damping: float, infeed: float, feed: float, speed: float) -> Chatter:
    """Depth of cut at which chatter begins over the cutting speed, and what tuning the speed wins.

    Lengths mm, speed m/min, damping of critical. Raises Refused for values that cannot be.
    """
    s = Setup(stickout=stickout, bar_diameter=bar_diameter, bore=bore, material=material, bar_material=bar_material,
        holder=holder, nose_radius=nose_radius, infeed=infeed, feed=feed, speed=speed,
        measured_damping=(damping, 0)).checked()
    speeds = np.geomspace(*SPEEDS, 24)
    *found, here = boring_bar.chatter_depths(s, np.append(speeds, speed))
    low, middle, high = (np.array([getattr(one, name) for one in found]) for name in ("low", "value", "high"))
    now = boring_bar.check_stickout(**{name: getattr(s, name) for name in s.__dataclass_fields__}, count=200)
    f, k = now.frequency.value, now.stiffness.value
    spindle = float(spindle_speed(speed, bore))
    tuned = tuning(k, damping, f, spindle)
    return Chatter(s, speeds, boring_bar.chatter_depths(s, speed, False)[0], middle, low, high, f, spindle, tuned.lobe,
        here, tuned.gain - 1)


def chatter_picture(c: Chatter, say: Say) -> str:
    to = say.length_number
    speed = (lambda v: v / 0.3048) if say.inch else (lambda v: v)
    cap = c.setup.nose_radius
    chart = Chart("Chatter against speed", chatter_words(c, say),
        x=("cutting speed", "ft/min" if say.inch else "m/min", float(speed(5)), float(speed(250))),
        y=("depth of cut on radius", say.length_unit, float(to(0.002)), float(to(1.15 * cap))), log_x=True, log_y=True,
        height=320)
    held = lambda v: to(np.minimum(v, cap))  # noqa: E731
    x = speed(c.speeds)
    chart.band(x, 0 * x + to(0.002), held(c.rubbing_low), "c")
    chart.band(x, held(c.rubbing_low), held(c.rubbing_high), "a")
    chart.curve(x, held(c.rubbing), "", "a")
    chart.curve(x, held(np.full(x.shape, c.plain.value)), "without the flank", "b")
    chart.note(float(speed(7.0)), float(to(0.0028)), "quiet", "start")
    if c.rubbing[-1] < 0.6 * cap:
        chart.note(float(speed(230)), float(to(np.sqrt(cap * c.rubbing[-1]))), "chatters", "end")
    chart.level(float(to(cap)), "nose radius: deeper is not judged")
    chart.mark(float(speed(c.setup.speed)), float(to(c.setup.infeed)), "your cut", "d", "diamond")
    return chart.svg()


def chatter_words(c: Chatter, say: Say) -> str:
    nose = say.length(c.setup.nose_radius, 2)

    def begins(one: Likely) -> str:
        return (f"no chatter is expected up to a depth of cut of {nose}, the nose radius" if np.isinf(one.value)
            else f"chatter begins at {say.length(one.value, 2)} depth of cut")

    gain = 100 * c.gain
    tuned = (
        f"With {c.waves} waves on each revolution no spindle speed dodges it: the best one nearby raises the limit by "
        f"{'under 1' if gain < 1 else plain(gain, 1)} %." if gain < 10
        else f"With only {c.waves} waves on a revolution the spindle speed matters: the best one nearby raises it by "
        f"{plain(gain, 1)} %.")
    return (
        f"At {say.speed(c.setup.speed)} {begins(c.here)}. Without the flank's damping, {begins(c.plain)}. "
        f"The natural frequency is {plain(c.frequency, 2)} Hz, and the spindle turns at {plain(c.spindle, 3)} rpm. "
        f"{tuned}")


CHATTER = Page("chatter", "When does the bar begin to chatter?",
    (MATERIAL, Slide("bore", but(BoreDiameter, high=80), "work", "bore diameter"), BAR_MATERIAL,
    Slide("bar_diameter", but(BarDiameter, high=40), "tool"), Slide("stickout", but(Stickout, high=250), "tool"),
    Slide("nose_radius", NoseRadius, "tool"), HOLDER,
    Slide("damping", but(Damping, low=0.005, high=0.2, usual=0.03), "holder", "damping ratio"),
    Slide("infeed", but(Infeed, high=1.5), "cut", "depth of cut, on radius"),
    Slide("feed", but(Feed, low=0.01, high=0.3), "cut"),
    Slide("speed", but(CuttingSpeed, low=5, high=250, usual=50), "cut", "cutting speed")), chatter, chatter_picture,
    chatter_words)


# ---- the question turned round -------------------------------------------------------------------------


@dataclass(frozen=True)
class Round:
    """Longest stickout, slimmest bar and deepest cut that still hold, mm; nan where none does."""

    setup: Setup
    longest: float
    slimmest: float
    stretches: tuple[tuple[float, float], ...]  # of depths of cut that hold, from and to
    largest: float

    @property
    def deepest(self) -> float:
        return self.stretches[-1][1] if self.stretches else float("nan")


def turned_round(material: str, bore: float, tolerance: float, bar_material: str, bar_diameter: float, stickout: float,
        nose_radius: float, holder: str, infeed: float, feed: float, speed: float) -> Round:
    """How long, how slim, how deep one job may be; lengths mm, speed m/min. Raises Refused."""
    s = Setup(stickout=stickout, bar_diameter=bar_diameter, bore=bore, tolerance=tolerance, material=material,
        bar_material=bar_material, holder=holder, infeed=infeed, feed=feed, nose_radius=nose_radius,
        speed=speed).checked()
    return Round(s, boring_bar.longest_stickout(s), boring_bar.slimmest_bar(s), boring_bar.cuts_that_hold(s),
        fact("bar_rules", name="largest bar").value * bore)


def round_picture(r: Round, say: Say) -> str:
    d = Drawing("What would hold", round_words(r, say), WIDTH, 236)
    rows = (("stickout", r.setup.stickout, r.longest, "longest", 9 * r.setup.bar_diameter),
        ("bar diameter", r.setup.bar_diameter, r.slimmest, "slimmest", r.setup.bore),
        ("depth of cut", r.setup.infeed, r.deepest, "deepest", r.setup.nose_radius))
    for i, (name, now, limit, which, end) in enumerate(rows):
        y = 14 + 74 * i
        d.text(16, y + 14, name, kind="bold halo")
        end = max(end, 1.1 * now, 1.1 * limit if np.isfinite(limit) else 0)
        x0, width = 150.0, WIDTH - 170.0
        d.line([x0, x0 + width], [y + 34, y + 34], "ink")
        at = x0 + width * now / end
        if np.isfinite(limit):
            edge = x0 + width * min(limit / end, 1)
            spans = [(limit, end)] if which == "slimmest" else [(0.0, limit)] if which == "longest" else r.stretches
            for low, high in spans:
                d.rect(x0 + width * low / end, y + 20, max(width * (min(high, end) - low) / end, 2), 14, "fill-c",
                    "thin", 6)
            label = say.length(limit, 2) if which == "deepest" else say.limit(limit, up=which == "slimmest")
            label = f"{which} {label}"
            d.text(d.within(max(edge, x0 + breadth(label) / 2), label), y + 16, label, "middle", "small halo")
        else:
            d.text(x0 + width / 2, y + 16, "nothing here holds", "middle", "small halo")
        d.dot(at, y + 34, "b", "diamond")
        d.text(d.within(at, f"now {say.length(now, 3)}"), y + 56, f"now {say.length(now, 3)}", "middle", "small halo")
    return d.svg()


def round_words(r: Round, say: Say) -> str:
    stickout = (f"Every stickout up to {say.limit(r.longest)} holds." if np.isfinite(r.longest)
        else "No stickout holds with this bar and cut.")
    bar = (
        f"At {say.length(r.setup.stickout, 3)} the slimmest bar that holds is {say.limit(r.slimmest, up=True)}; with "
        f"room for chips it may be {say.length(r.largest, 2)} at most." if np.isfinite(r.slimmest)
        else f"At {say.length(r.setup.stickout, 3)} no steel bar that goes in holds." if r.setup.bar_material == "steel"
        else f"At {say.length(r.setup.stickout, 3)} no bar that goes in holds.")
    if not r.stretches:
        return f"{stickout} {bar} No depth of cut holds at this stickout."
    low, high = r.stretches[0][0], r.deepest
    end = " (deeper than the nose radius is not judged)" if high >= 0.999 * r.setup.nose_radius else ""
    return (
        f"{stickout} {bar} Depths of cut from {say.length(low, 1)} to {say.length(high, 2)} hold{end}; lighter ones "
        "only rub.")


ROUND = Page("turned_round", "How long, how slim, how deep?",
    (MATERIAL, Slide("bore", but(BoreDiameter, high=80), "work", "bore diameter"),
    Slide("tolerance", Tolerance, "work", "tolerance on diameter"), BAR_MATERIAL,
    Slide("bar_diameter", but(BarDiameter, high=40), "tool"),
    Slide("stickout", but(Stickout, high=250, usual=32), "tool"), Slide("nose_radius", NoseRadius, "tool"), HOLDER,
    Slide("infeed", but(Infeed, high=1.0), "cut", "depth of last cut, on radius"),
    Slide("feed", but(Feed, low=0.01, high=0.3), "cut"),
    Slide("speed", but(CuttingSpeed, low=5, high=250, usual=50), "cut", "cutting speed")), turned_round, round_picture,
    round_words)
