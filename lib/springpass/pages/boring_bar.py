"""The boring-bar chapter's pages: bend, spring passes, slenderness, chatter, and measuring your own holder and bar."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from .. import boring_bar
from ..boring_bar import Setup
from ..boring_bar import bending as bar_bending
from ..boring_bar.quantities import Damping, SlendernessRatio, Stickout
from ..boring_bar.vibration import MODAL, chatter_depth, natural_frequency, tuning
from ..core.mathml import formula_mathml
from ..core.quantity import Say, but, plain, quantity_of
from ..core.shared import BarDiameter, BoreDiameter, CuttingSpeed, Feed, LeastChip, NoseRadius, Passes, Tolerance
from ..core.spread import Likely, band, factor_of, likely, sample
from ..core.tables import assumed, fact
from ..cutting import kienzle, nose_forces, work_materials
from ..cutting.speeds import spindle_speed
from ..drilling import Compliance
from ..screen.draw import WIDTH, Chart, Drawing, breadth
from ..screen.page import Choose, Page, Slide
from ..threads.quantities import Infeed

MATERIAL = Choose("material", work_materials(), "medium-carbon steel", "work")
BAR_MATERIAL = Choose("bar_material", boring_bar.bar_materials(), "steel", "tool")
HOLDER = Choose("holder", boring_bar.holders(), "two screws in a block", "holder")


ENTERING = assumed("entering angle of a boring bar").value
FORCE = assumed("force in a bore").range
LEAST_CHIP = quantity_of(LeastChip).usual   # where the page does not ask for it
DEEPEST = 5.0                               # mm: no page looks deeper for chatter
SAMPLES = 500                               # a curve needs fewer than one answer


def bar_facts(material: str) -> tuple[float, float, float]:
    """Modulus, Poisson's ratio, density of a bar material."""
    return tuple(fact("bar_materials", bar_material=material, property=p).value for p in ("E", "nu", "density"))  # type: ignore[return-value]


def _holder(name: str) -> tuple[float, float, float]:
    return tuple(fact("holders", holder=name, property=p).value for p in ("stiffness", "rotation", "damping"))  # type: ignore[return-value]


SHOWN, BEYOND = 8.0, 1.2   # the curve runs to so many diameters, or so far past the stickout that is set


# ---- how far it bends ------------------------------------------------------------------------------


@dataclass(frozen=True)
class Bend:
    """Thrust and what it does to the tip, mm and N; arrays over `stickouts`."""

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
    """How far the cut pushes the tip away, mm, and what of it is bar, shear and holder; curves over the stickout.

    Lengths mm; the range comes from force and holder. Raises Refused.
    """
    e, nu, _ = bar_facts(bar_material)
    shift, tilt, _ = _holder(holder)
    k = kienzle(material)
    thrust = nose_forces(infeed, feed, nose_radius, ENTERING, *k).thrust
    thrust *= fact("bar_rules", name="internal turning").value
    ranges = {p: fact("holders", holder=holder, property=p) for p in ("stiffness", "rotation")}
    d = sample(
        SAMPLES,
        force=FORCE,
        shift=factor_of(shift, ranges["stiffness"].factor),
        tilt=factor_of(tilt, ranges["rotation"].factor),
    )
    lengths = np.linspace(bar_diameter, max(SHOWN * bar_diameter, BEYOND * stickout), 40)

    def tip(length: Any) -> Any:
        return bar_bending.bar_deflection(thrust * d["force"], length, bar_diameter, e, nu, d["shift"], d["tilt"])

    low, middle, high = band(tip(lengths[:, None]), axis=1)
    return Bend(likely(thrust * d["force"]), likely(tip(stickout)),
                float(bar_bending.tip_deflection(thrust, stickout, bar_diameter, e)),
                float(bar_bending.shear_deflection(thrust, stickout, bar_diameter, e, nu)),
                float(bar_bending.holder_deflection(thrust, stickout, shift, tilt)), stickout, bar_diameter, lengths,
                np.asarray(bar_bending.tip_deflection(thrust, lengths, bar_diameter, e)), middle, low, high,
                {"force": thrust, "stickout": stickout, "bar": bar_diameter, "modulus": e})


def bend_picture(b: Bend, say: Say) -> str:
    to = say.fine_number
    top = min(float(b.high[-1]), 4 * max(b.total.high, 1e-5))
    c = Chart(
        "Push of the tip against stickout",
        bend_words(b, say),
        x=(
            "stickout",
            say.length_unit,
            say.length_number(float(b.stickouts[0])),
            say.length_number(float(b.stickouts[-1])),
        ),
        y=("tip pushed off the wall", say.fine_unit, 0.0, float(to(top))),
    )
    x = say.length_number(b.stickouts)
    c.band(x, to(b.low), to(b.high))
    c.curve(x, to(b.totals), "bar and holder")
    c.curve(x, to(b.bars), "bar alone", "b")
    c.mark(say.length_number(b.stickout), to(b.total.value), "here", "c", "diamond")
    return c.svg()


def bend_words(b: Bend, say: Say) -> str:
    whole = b.bar + b.shear + b.holder
    return (
        f"The cut pushes the tip with {plain(b.thrust.value, 2)} N and the tip moves {b.total.text(say)}: "
        f"{100 * b.bar / whole:.0f} % of it is the bar bending, {100 * b.holder / whole:.0f} % the holder yielding, "
        f"{100 * b.shear / whole:.0f} % shear. That is {plain(b.stickout / b.diameter, 2)} bar diameters out; on "
        "diameter it counts double."
    )


def bend_more(b: Bend, say: Say) -> str:
    return "<b>The bar alone, with the numbers in</b>" + formula_mathml(bar_bending.tip_deflection, b.numbers)


BEND = Page(
    "bend",
    "How far does the bar bend?",
    (
        MATERIAL,
        BAR_MATERIAL,
        Slide("bar_diameter", but(BarDiameter, high=40), "tool"),
        Slide("stickout", but(Stickout, high=250), "tool"),
        Slide("nose_radius", NoseRadius, "tool"),
        HOLDER,
        Slide("infeed", but(Infeed, high=1.5), "cut", "depth of cut, on radius"),
        Slide("feed", but(Feed, high=0.3, low=0.01), "cut"),
    ),
    bend,
    bend_picture,
    bend_words,
    bend_more,
)


# ---- spring passes ---------------------------------------------------------------------------------


@dataclass(frozen=True)
class Springs:
    """What is left after each pass, mm on diameter, with its range."""

    infeed: float
    left: tuple[Likely, ...]
    removed: tuple[float, ...]
    rubs: tuple[float, ...]
    tolerance: float


def springs(material: str, tolerance: float, nose_radius: float, least_chip: float, compliance: float, infeed: float,
            feed: float, passes: int) -> Springs:
    """What each pass at one setting leaves, mm on diameter; compliance in mm/N, lengths mm. Raises Refused."""
    d = sample(force=FORCE, edge=assumed("minimum chip thickness").range, give=assumed("give of a bar as set").range)
    p = bar_bending.spring_passes(
        infeed,
        feed,
        nose_radius,
        compliance * d["give"],
        material,
        int(passes),
        least_chip * d["edge"],
        entering_angle=ENTERING,
        force_factor=d["force"],
    )
    return Springs(infeed, tuple(likely(2 * one) for one in p.left), tuple(float(np.median(one)) for one in p.removed),
                   tuple(float((one == 0).mean()) for one in p.removed), tolerance)


def springs_picture(s: Springs, say: Say) -> str:
    to = say.fine_number
    n = len(s.left)
    top = max(s.left[0].high, 1.1 * s.tolerance / 2)
    c = Chart(
        "What is left after each pass",
        springs_words(s, say),
        x=("pass at the same setting", "", 0.4, n + 0.6 + 0.12 * max(n - 5, 0)),
        y=("bore still small by", say.fine_unit, 0.0, float(to(1.08 * top))),
    )
    for i, one in enumerate(s.left, 1):
        c.band([i - 0.28, i + 0.28], to(np.array([one.low] * 2)), to(np.array([one.high] * 2)))
        c.curve([i - 0.28, i + 0.28], to(np.array([one.value] * 2)))
        c.mark(i, to(one.value), "", "a", "diamond")
        c.note(i + 0.3, to(one.value), plain(to(one.value), 2), "start")
    c.level(to(s.tolerance / 2), "half the tolerance")
    return c.svg()


def springs_words(s: Springs, say: Say) -> str:
    first = (
        f"Dialled {say.length(s.infeed, 3)} on the radius, the first pass leaves the bore {s.left[0].text(say)} small"
    )
    if len(s.left) == 1:
        return first + "."
    last = s.left[-1]
    rub = (
        f" The last pass is too thin to cut {100 * s.rubs[-1]:.0f} times in 100: then it only rubs."
        if s.rubs[-1] > 0.02
        else ""
    )
    return (f"{first}; pass {len(s.left)} at the same setting leaves {last.text(say)}. "
            f"The second pass took another {say.fine(2 * s.removed[1])} off the diameter.{rub}")


SPRINGS = Page(
    "spring_passes",
    "What does a spring pass take, and what does it leave?",
    (
        MATERIAL,
        Slide("tolerance", Tolerance, "work", "tolerance on diameter"),
        Slide("nose_radius", NoseRadius, "tool"),
        Slide("least_chip", LeastChip, "tool", "thinnest chip it cuts"),
        Slide(
            "compliance",
            but(Compliance, low=5e-5, high=5e-3, usual=7.8e-4, log=True, shown="µm/N"),
            "holder",
            "give of the tip",
        ),
        Slide("infeed", but(Infeed, high=1.0), "cut", "infeed, on radius"),
        Slide("feed", but(Feed, low=0.01, high=0.3), "cut"),
        Slide("passes", Passes, "cut", "passes at one setting"),
    ),
    springs,
    springs_picture,
    springs_words,
)


# ---- 4:1 in steel, 6:1 in carbide -------------------------------------------------------------------


@dataclass(frozen=True)
class Slender:
    """Depth at which chatter begins against slenderness, for each bar material; mm."""

    ratios: np.ndarray
    depths: dict[str, np.ndarray]
    limits: dict[str, float]      # slenderness at which the asked depth begins to chatter
    infeed: float
    equal: dict[str, float]       # slenderness just as stiff as the steel bar at `slenderness`
    slenderness: float


SPEEDS = (5.0, 250.0)   # m/min
RATIOS = (2.0, 12.0)   # diameters


@lru_cache(maxsize=128)
def _slender(
    diameter: float,
    rigid: bool,
    shift: float,
    tilt: float,
    zeta: float,
    feed: float,
    nose: float,
    material: str,
    name: str,
) -> tuple[np.ndarray, np.ndarray]:
    k = kienzle(material)
    ratios = np.linspace(*RATIOS, 41)
    e, nu, _ = bar_facts(name)
    give = bar_bending.compliance(
        [(ratios * diameter, diameter)], e, nu, *((np.inf, np.inf) if rigid else (shift, tilt))
    )
    return ratios, chatter_depth(feed, nose, MODAL / give, zeta, k.kn, k.mn, entering_angle=ENTERING, deepest=DEEPEST)


def slender(
    material: str,
    bar_diameter: float,
    slenderness: float,
    nose_radius: float,
    mount: str,
    damping: float,
    infeed: float,
    feed: float,
) -> Slender:
    """Depth of cut at which a bar of each material begins to chatter, over its slenderness; mm, damping of critical.

    Raises Refused for values that cannot be.
    """
    rigid = mount == "a rigid holder"
    shift, tilt = (0.0, 0.0) if rigid else _holder(mount)[:2]
    depths, limits, equal = {}, {}, {}
    for name in boring_bar.bar_materials():
        ratios, depth = _slender(bar_diameter, rigid, shift, tilt, damping, feed, nose_radius, material, name)
        depths[name] = depth
        below = np.flatnonzero(depth < infeed)
        limits[name] = float(ratios[0]) if len(below) and below[0] == 0 else float(ratios[-1])
        if len(below) and below[0] > 0:   # the depth falls steeply: read off the logarithm
            i = below[0]
            upper = np.log(min(depth[i - 1], DEEPEST))
            limits[name] = float(np.interp(np.log(infeed), [np.log(depth[i]), upper], [ratios[i], ratios[i - 1]]))
        equal[name] = float(bar_bending.equal_slenderness(slenderness, bar_facts("steel")[0], bar_facts(name)[0]))
    return Slender(ratios, depths, limits, infeed, equal, slenderness)


def slender_picture(s: Slender, say: Say) -> str:
    c = Chart(
        "Depth at which chatter begins",
        slender_words(s, say),
        x=("stickout in bar diameters", "", *RATIOS),
        y=("depth at which it chatters", say.length_unit, say.length_number(0.003), say.length_number(3.0)),
        log_y=True,
        height=320,
    )
    for kind, depth in zip("abcd", s.depths.values(), strict=True):
        c.curve(s.ratios, say.length_number(np.minimum(depth, DEEPEST)), "", kind)
    c.legend(dict(zip(s.depths, "abcd", strict=True)))
    c.level(say.length_number(s.infeed), "your cut")
    return c.svg()


def _ratio(value: float) -> str:
    return "under 2" if value <= 2 else "over 12" if value >= 12 else plain(value, 2)


def slender_words(s: Slender, say: Say) -> str:
    return (
        f"With no help from the flank, a cut of {say.length(s.infeed, 2)} begins to chatter at "
        f"{_ratio(s.limits['steel'])} diameters in steel and "
        f"{_ratio(s.limits['cemented carbide'])} in carbide. By stiffness alone, a steel bar at "
        f"{plain(s.slenderness, 2)} is matched by heavy alloy at "
        f"{plain(s.equal['tungsten heavy alloy'], 2)} and carbide at {plain(s.equal['cemented carbide'], 2)}."
    )


SLENDER = Page(
    "slenderness",
    "Why 4 diameters in steel and 6 in carbide?",
    (
        MATERIAL,
        Slide("bar_diameter", but(BarDiameter, usual=12, high=40), "tool"),
        Slide("slenderness", but(SlendernessRatio, low=2, high=8), "tool", "steel bar at, diameters"),
        Slide("nose_radius", NoseRadius, "tool"),
        Choose("mount", ["a rigid holder", *boring_bar.holders()], "a rigid holder", "holder", "holder"),
        Slide("damping", but(Damping, low=0.005, high=0.2, usual=0.05), "holder", "damping share"),
        Slide("infeed", but(Infeed, high=1.5), "cut", "depth of cut, on radius"),
        Slide("feed", but(Feed, low=0.01, high=0.3), "cut"),
    ),
    slender,
    slender_picture,
    slender_words,
)


# ---- chatter against speed ----------------------------------------------------------------------------


@dataclass(frozen=True)
class Chatter:
    """Depth at which chatter begins against cutting speed, without and with the flank's rubbing; mm, m/min."""

    speeds: np.ndarray
    plain: float
    rubbing: np.ndarray
    rubbing_low: np.ndarray
    rubbing_high: np.ndarray
    frequency: float
    stiffness: float
    spindle: float
    lobe: int
    infeed: float
    speed: float
    stable: float
    wobble: float        # how much the lobes can raise the limit at this spindle speed, as a factor


def chatter(
    material: str,
    bore: float,
    bar_material: str,
    bar_diameter: float,
    stickout: float,
    nose_radius: float,
    holder: str,
    damping: float,
    infeed: float,
    feed: float,
    speed: float,
) -> Chatter:
    """Depth of cut at which the bar begins to chatter, over the cutting speed, and what tuning the speed wins.

    Lengths mm, speed m/min, damping of critical; the range is that of the rubbing flank. Raises Refused.
    """
    e, nu, rho = bar_facts(bar_material)
    shift, tilt, _ = _holder(holder)
    k = kienzle(material)
    pieces = [(stickout, bar_diameter)]
    stiffness = float(MODAL / bar_bending.compliance(pieces, e, nu, shift, tilt))
    f = natural_frequency(pieces, e, rho, holder_stiffness=shift, holder_rotation=tilt, poisson=nu)
    rub = fact("bar_rules", name="process damping")
    speeds = np.geomspace(*SPEEDS, 24)
    base = chatter_depth(feed, nose_radius, stiffness, damping, k.kn, k.mn, entering_angle=ENTERING)
    deep = chatter_depth(
        feed,
        nose_radius,
        stiffness,
        damping,
        k.kn,
        k.mn,
        entering_angle=ENTERING,
        frequency=f,
        speed=np.tile(speeds, 3),
        rubbing=np.repeat([rub.low, rub.geometric_middle, rub.high], len(speeds)),
        least_chip=LEAST_CHIP,
    )
    low, middle, high = deep.reshape(3, -1)
    here = float(np.interp(np.log(speed), np.log(speeds), np.minimum(middle, DEEPEST)))
    spindle = float(spindle_speed(speed, bore))
    best = tuning(stiffness, damping, f, spindle)
    return Chatter(speeds, base, middle, low, high, f, stiffness, spindle, best.lobe, infeed, speed, here, best.gain)


def chatter_picture(c: Chatter, say: Say) -> str:
    to = say.length_number
    speed = (lambda v: v / 0.3048) if say.inch else (lambda v: v)
    unit = "ft/min" if say.inch else "m/min"
    chart = Chart(
        "Chatter against speed",
        chatter_words(c, say),
        x=("cutting speed", unit, float(speed(SPEEDS[0])), float(speed(SPEEDS[1]))),
        y=("depth at which it chatters", say.length_unit, float(to(0.001)), float(to(3.0))),
        log_x=True,
        log_y=True,
        height=310,
    )
    cap = 3.0
    chart.band(speed(c.speeds), to(np.minimum(c.rubbing_low, cap)), to(np.minimum(c.rubbing_high, cap)), "a")
    chart.curve(speed(c.speeds), to(np.minimum(c.rubbing, cap)), "with the flank rubbing", "a")
    chart.curve(speed(c.speeds), to(np.full(c.speeds.shape, min(c.plain, cap))), "without", "b")
    chart.mark(speed(c.speed), to(c.infeed), "your cut", "c", "diamond")
    return chart.svg()


def chatter_words(c: Chatter, say: Say) -> str:
    nowhere = f"at no cut up to {say.length(3.0, 2)}"
    plain_limit = nowhere if np.isinf(c.plain) else f"at a cut of {say.length(c.plain, 2)}"
    here = nowhere if c.stable >= 3 else f"at {say.length(c.stable, 2)}"
    gain = 100 * max(c.wobble - 1, 0)
    tuned = (
        "With so many waves a turn the speed cannot be tuned to dodge it: the best" if gain < 10 else "The best"
    ) + f" speed nearby would raise the limit by {plain(gain, 1)} %."
    return (
        f"The bar rings at {plain(c.frequency, 2)} Hz, {c.lobe} times a turn at {plain(c.spindle, 3)} turns a minute. "
        f"Without the flank's rubbing chatter would begin {plain_limit}; "
        f"with it, at {say.speed(c.speed)}, {here}. {tuned}"
    )


CHATTER = Page(
    "chatter",
    "When does the bar begin to sing?",
    (
        MATERIAL,
        Slide("bore", but(BoreDiameter, high=80), "work", "bore diameter"),
        BAR_MATERIAL,
        Slide("bar_diameter", but(BarDiameter, high=40), "tool"),
        Slide("stickout", but(Stickout, high=250), "tool"),
        Slide("nose_radius", NoseRadius, "tool"),
        HOLDER,
        Slide("damping", but(Damping, low=0.005, high=0.2, usual=0.03), "holder", "damping share"),
        Slide("infeed", but(Infeed, high=1.5), "cut", "depth of cut, on radius"),
        Slide("feed", but(Feed, low=0.01, high=0.3), "cut"),
        Slide("speed", but(CuttingSpeed, low=5, high=250), "cut", "cutting speed"),
    ),
    chatter,
    chatter_picture,
    chatter_words,
)


# ---- the question turned round -------------------------------------------------------------------------


@dataclass(frozen=True)
class Round:
    """Longest stickout, slimmest bar and deepest cut that still hold, mm; nan where none does."""

    setup: Setup
    longest: float
    slimmest: float
    deepest: float
    stretches: tuple[tuple[float, float], ...]   # every stretch of cuts that holds, from and to
    largest: float


def turned_round(material: str, bore: float, tolerance: float, bar_material: str, bar_diameter: float, stickout: float,
                 nose_radius: float, holder: str, infeed: float, feed: float, passes: int) -> Round:
    """The question turned round: the longest stickout, the slimmest bar and the deepest cut that hold, mm.

    Lengths mm. Raises Refused where the setup cannot be.
    """
    s = Setup(
        stickout=stickout,
        bar_diameter=bar_diameter,
        bore=bore,
        tolerance=tolerance,
        material=material,
        bar_material=bar_material,
        holder=holder,
        infeed=infeed,
        feed=feed,
        nose_radius=nose_radius,
        passes=int(passes),
    ).checked()
    return Round(s, boring_bar.longest_stickout(s), boring_bar.slimmest_bar(s), boring_bar.deepest_cut(s),
                 boring_bar.cuts_that_hold(s), fact("bar_rules", name="largest bar").value * bore)


ROW, ROW_TOP, BAND = 74, 14, 14   # px: one question above the next, above the first, and the band that holds


def round_picture(r: Round, say: Say) -> str:
    d = Drawing("What would hold", round_words(r, say), WIDTH, ROW * 3 + ROW_TOP)
    left, long = 150.0, WIDTH - 170.0   # of each scale
    rows = (("stickout", r.setup.stickout, r.longest, "longest", 9 * r.setup.bar_diameter),
            ("bar diameter", r.setup.bar_diameter, r.slimmest, "slimmest", r.setup.bore),
            ("depth of cut", r.setup.infeed, r.deepest, "deepest", 1.5))
    for i, (name, now, limit, which, end) in enumerate(rows):
        top = ROW_TOP + ROW * i
        above, below, base = top + 16, top + 56, top + 34   # of the scale's labels, and the scale itself
        d.text(16, top + 14, name, kind="bold halo")
        end = max(end, 1.1 * now, 1.1 * limit if np.isfinite(limit) else 0)
        d.line([left, left + long], [base, base], "ink")
        at = left + long * now / end
        if np.isfinite(limit):
            edge = left + long * min(limit / end, 1)
            spans = ([(limit, end)] if which == "slimmest" else [(0.0, limit)] if which == "longest" else
                     [(0.0 if low <= LIGHTEST else low, high) for low, high in r.stretches])
            for low, high in spans:
                wide = max(long * (min(high, end) - low) / end, 2)
                d.rect(left + long * low / end, base - BAND, wide, BAND, "fill-c", "thin", 6)
            label = f"{which} {say.length(limit, 2)}"
            d.text(d.within(max(edge, left + breadth(label) / 2), label), above, label, "middle", "small halo")
        else:
            d.text(left + long / 2, above, "nothing here holds", "middle", "small halo")
        d.dot(at, base, "b", "diamond")
        d.text(d.within(at, f"now {say.length(now, 3)}"), below, f"now {say.length(now, 3)}", "middle", "small halo")
    return d.svg()


LIGHTEST = 0.0101   # of the cuts tried; below it the stretch is drawn to nought


def round_words(r: Round, say: Say) -> str:
    def one(value: float, which: str, what: str) -> str:
        return f"{which} {what} {say.length(value, 2)}" if np.isfinite(value) else f"no {what} at all"

    text = (
        f"What still holds nine times in ten, changing one thing alone: {one(r.longest, 'longest', 'stickout')}; "
        f"{one(r.slimmest, 'slimmest', 'bar')}; "
        f"{one(r.deepest, 'deepest', 'cut') if np.isfinite(r.deepest) else 'no cut as light as this one or lighter'}. "
        f"With room for chips the bar may be {say.length(r.largest, 2)} at most."
    )
    lighter = [span for span in r.stretches if span[1] <= r.deepest]
    if len(lighter) > 1:
        text += (f"\nLighter is not always surer: between {say.length(lighter[-2][1], 2)} and "
                 f"{say.length(lighter[-1][0], 2)} it does not hold.")
    deeper = r.stretches[len(lighter):]
    if deeper:
        text += (
            f"\nOn paper {'cuts from' if len(deeper) == 1 else 'some cuts from'} {say.length(deeper[0][0], 2)} to "
            f"{say.length(deeper[-1][1], 2)} "
            f"hold {'again' if lighter else 'too'}; the cuts between do not. Try such a cut on scrap first."
        )
    return text


ROUND = Page(
    "turned_round",
    "How long, how slim, how deep?",
    (
        MATERIAL,
        Slide("bore", but(BoreDiameter, high=80), "work", "bore diameter"),
        Slide("tolerance", Tolerance, "work", "tolerance on diameter"),
        BAR_MATERIAL,
        Slide("bar_diameter", but(BarDiameter, high=40), "tool"),
        Slide("stickout", but(Stickout, high=250), "tool"),
        Slide("nose_radius", NoseRadius, "tool"),
        HOLDER,
        Slide("infeed", but(Infeed, high=1.0), "cut", "last cut, on radius"),
        Slide("feed", but(Feed, low=0.01, high=0.3), "cut"),
        Slide("passes", but(Passes, high=6), "cut", "passes at one setting"),
    ),
    turned_round,
    round_picture,
    round_words,
)
