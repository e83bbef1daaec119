"""Pages of the measuring half: a gauge's budget, may I believe the reading, ten readings, lobes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from html import escape
from typing import Any

import numpy as np

from .. import workholding
from ..core import tables
from ..core.quantity import Refused, Say, but, plain, quantity_of
from ..core.shared import Tolerance, WorkDiameter
from ..core.spread import EDGE, FAILS, HOLDS
from ..job import part, shop
from ..measuring import gauging, guard_bands
from ..measuring.coverage_factors import coverage
from ..measuring.guard_bands import Repeatability
from ..measuring.quantities import (
    AbbeOffset,
    LobeCount,
    LobeHeight,
    MeasuredLength,
    MeasuringError,
    ReadingCount,
    ReadingSpread,
    StandardUncertainty,
    TiltAngle,
)
from ..screen.draw import WIDTH, Chart, Drawing, breadth, room
from ..screen.page import Choose, Page, Press, Slide, Tick, Write
from ..stops.quantities import ShopRise, WarmerBy
from ..workholding.quantities import JawLoad
from .stops import MATERIALS, bars

INSTRUMENTS = tuple(gauging.instruments())
SURE = 0.95
TOLD, SECOND_TOLD = 1e-3, 0.02   # of the uncertainty: smaller contributions are not listed
MOST_READINGS = 200
BELL = np.linspace(-4, 4, 81)


def _plus(say: Say, value: float) -> str:
    return f"±{say.fine(value)}"


def _size(say: Say, value: float) -> str:
    """A size with the figures that micrometres deserve."""
    return f"{value / 25.4:.5f} inch" if say.inch else f"{value:.4f} mm".replace("-", "−")


def _own(name: str, wanted: bool) -> tuple[float | None, float, bool]:
    """The user's own scatter of one reading, its degrees of freedom, and whether there is one."""
    own = shop.numbers(shop.latest("repeatability", name=name), "scatter", "dof") if wanted else ()
    return (*own, True) if own else (None, np.inf, False)  # type: ignore[return-value]


# ---- a gauge's budget ---------------------------------------------------------------------------


@dataclass(frozen=True)
class Budgeted:
    instrument: str
    reading: float
    value: float
    half: float                                # 95 %
    low: float                                 # Monte Carlo, 95 %
    high: float
    factor: float
    dof: float
    lines: tuple[tuple[str, float], ...]       # says, plus-or-minus at two sigma; largest first
    named: tuple[tuple[str, str, float, float], ...]  # name, says, contribution, share
    corrections: float
    mine: bool
    found: bool
    beside: float                              # scale from the line measured, mm


def compute_budget(instrument: str, reading: float, material: str, shop_rise: float, warmer: float, odd_lobes: float,
        beside: float, askew: float, count: float, mine: bool) -> Budgeted:
    """The uncertainty of one reading of a gauge, part by part; mm, K, askew in degrees.

    mine: with the scatter of your own ten readings. Raises Refused for a gauge or a size beyond its table.
    """
    scatter, dof, found = _own(instrument, mine)
    offset = gauging.BESIDE if instrument == "calliper" and beside == 0 else beside
    ready = gauging.ready(instrument, reading, material, shop_rise, warmer, offset, gauging.ROCKS if offset else 0.0,
        askew, 2 * odd_lobes, int(count), scatter, dof)
    budget = ready.budget
    low, high = budget.monte_carlo.interval(SURE)
    second = np.sqrt(max(budget.second_order**2 - budget.first_order**2, 0.0))
    named = [(line.name, line.input.says, line.contribution, (line.contribution / budget.uncertainty)**2)
        for line in budget.lines if line.contribution > TOLD * budget.uncertainty]
    if second > SECOND_TOLD * budget.uncertainty:
        named.append(
            ("askew" if askew else "products", "gauge not square to the work" if askew else "products of two "
                "uncertainties",
            float(second), float((second / budget.uncertainty) ** 2)))
    named.sort(key=lambda row: -row[2])
    return Budgeted(instrument, reading, ready.value + budget.shift, budget.expanded(SURE), low, high,
        budget.factor(SURE), budget.dof, tuple((name, 2 * u) for name, _, u, _ in named), tuple(named),
        ready.correction + budget.shift, mine, found, offset)


def cause_words(r: Budgeted, name: str, says: str, say: Say) -> str:
    """What a cause of uncertainty is, its length in the reader's unit."""
    return f"slide rocks, scale {say.length(r.beside)} beside the work" if name == "rocking" else says


def words_budget(r: Budgeted, say: Say) -> str:
    name, says, _, share = r.named[0]
    one_in = "" if abs(r.corrections) < 5e-5 else (f" (corrected by {say.fine(abs(r.corrections))} "
        f"{'down' if r.corrections < 0 else 'up'})")
    said = [f"A reading of {_size(say, r.reading)} means {_size(say, r.value)} at 20 °C{one_in}, ±{say.fine(r.half)}. "
        "Such a range is right 19 times in 20."]
    said.append(f"The largest contribution ({plain(100 * share, 2)} %) is “{name}”: {cause_words(r, name, says, say)}. "
        f"Random sampling of all causes gives {_size(say, r.low)} to {_size(say, r.high)}.")
    if r.mine:
        said.append("Your own ten readings are used." if r.found
            else "You have kept no readings with this gauge yet (page “Ten readings”), so the table's scatter is used.")
    return said[0] + "\n" + " ".join(said[1:])


def picture_budget(r: Budgeted, say: Say) -> str:
    lines = r.lines[:8]
    listed = "; ".join(f"{name} {_plus(say, size)}" for name, size in [*lines, ("together", r.half)])
    d = Drawing("Who contributes what",
        f"One bar a cause, longest first, and the plus or minus they make together: {listed}.", WIDTH,
        96 + 23 * len(lines))
    d.text(8, 18, "what each cause may add, and all together (19 in 20)")
    most = max(r.half, *(size for _, size in lines))
    spare = max(84.0, 12 + breadth(_plus(say, r.half), 17.5))
    bars(d, lines, say, 28, most, spare=spare)
    y = 40 + 23 * len(lines)
    wide = (WIDTH - 168 - spare) * r.half / most
    d.line([8, WIDTH - 8], [y - 2, y - 2], "thin")
    d.text(160, y + 18, "together", "end", "small")
    d.rect(168, y + 6, wide, 16, "fill-c", "ink")
    d.text(168 + wide + 6, y + 18, f"{_plus(say, r.half)}", "start", "halo bold")
    return d.svg()


def _share(share: float) -> str:
    return f"{plain(100 * share, 2)} %" if share > 0.001 else "under 0.1 %"


def more_budget(r: Budgeted, say: Say) -> str:
    rows = "".join(f"<tr><td>{escape(name)}: {escape(cause_words(r, name, says, say))}</td><td>{say.fine(u)}</td>"
        f"<td>{_share(share)}</td></tr>" for name, says, u, share in r.named)
    dof = "no limit" if np.isinf(r.dof) else plain(r.dof, 3)
    sources = "".join(
        f"<li>{escape(says)}: {plain(value, 3)} {unit} ({plain(low, 3)} to {plain(high, 3)}); {escape(source)}; "
        f"{basis}</li>" for says, value, low, high, unit, source, basis in gauging.provenance(r.instrument))
    return ("<table><tr><th>cause</th><th>standard uncertainty</th><th>share</th></tr>" + rows
        + f"</table><p>The ± is {plain(r.factor, 3)} times the standard uncertainty of all together: so it "
        "holds 19 times in 20 "
        f"(degrees of freedom, that is, how many readings it rests on: {dof}). What bends, such as a gauge askew, is "
        "counted to second order.</p>"
        f"<details><summary>Where the numbers come from</summary><ul>{sources}</ul></details>")


BUDGET = Page(name="budget", title="How uncertain is this reading?",
    inputs=(Slide("reading", but(MeasuredLength, low=1, high=200, usual=20), "work", "reading"),
    Choose("material", MATERIALS, "carbon steel C45 / 1045", "work"),
    Slide("shop_rise", ShopRise, "work", "shop above 20 °C"),
    Slide("warmer", but(WarmerBy, low=-10, high=40, usual=0, says="the work above the gauge"), "work",
    "work above the gauge"), Slide("odd_lobes", but(LobeHeight, high=0.02, usual=0), "work", "height of odd lobes"),
    Choose("instrument", INSTRUMENTS, "micrometer on a shaft", "tool", "gauge"),
    Slide("beside", but(AbbeOffset, high=60), "tool", "scale beside the work"),
    Slide("askew", but(TiltAngle, high=5, usual=0), "tool", "gauge askew by up to"),
    Slide("count", but(ReadingCount, high=20, usual=1), "cut", "readings averaged"),
    Tick("mine", False, "cut", "use my own ten readings", "kept on the page “Ten readings”")), compute=compute_budget,
    picture=picture_budget, words=words_budget, more=more_budget)


# ---- may I believe it? --------------------------------------------------------------------------

SAY_MYSELF = "I say it myself"
Deviation = but(MeasuringError, low=-0.1, high=0.1, usual=0.01, step=0.5)


@dataclass(frozen=True)
class Believed:
    low: float
    high: float
    reading: float
    u: float
    scatter: float
    steady: float
    chance: float
    guard: float
    zone: tuple[float, float] | None
    repeats: int | None
    decision: str
    count: int
    instrument: str
    verdict: str

    @property
    def headline(self) -> str:
        return {HOLDS: "Yes, the part is proved good", FAILS: "The part is proved bad"}.get(
            self.verdict, "Not proved either way")


def compute_believe(size: float, lower: float, tolerance: float, read: float, instrument: str, own: float, count: float,
        mine: bool) -> Believed:
    """What a reading against a tolerance proves, with the guard band its uncertainty asks for; mm.

    Raises Refused for a tolerance or a gauge that cannot be.
    """
    upper = lower + tolerance
    scatter, dof, _ = _own(instrument, mine)
    if instrument == SAY_MYSELF:
        one, steady = (scatter or 0.0), own / 2
        u = float(np.hypot(steady, one / np.sqrt(count)))
    else:
        budget = gauging.ready(instrument, size, count=int(count), scatter=scatter, scatter_dof=dof).budget
        repeat = next(line for line in budget.lines if line.name == "repeat").contribution
        u, one = budget.uncertainty, float(repeat * np.sqrt(count))
        steady = float(np.sqrt(max(u**2 - repeat**2, 0.0)))
    chance = float(guard_bands.odds_in_tolerance(read, lower, upper, u))
    decided = guard_bands.decision(chance, SURE)
    shape = {guard_bands.PROVED: HOLDS, guard_bands.REFUTED: FAILS}.get(decided, EDGE)
    return Believed(lower, upper, read, u, one, steady, chance, guard_bands.guard_band(u, SURE),
        guard_bands.acceptance(lower, upper, u, SURE),
        guard_bands.repeats_needed(read, lower, upper, one, steady, SURE), decided, int(count), instrument, shape)


def _percent(chance: float) -> str:
    return "over 99.9 %" if chance > 0.999 else "under 0.1 %" if chance < 0.001 else f"{plain(100 * chance, 3)} %"


def words_believe(r: Believed, say: Say) -> str:
    said = [f"The reading is good to {_plus(say, 2 * r.u)} (k = 2), and the chance that the part is in "
        f"tolerance is {_percent(r.chance)}. To call it proved, 95 % is asked."]
    if r.zone is None:
        said.append("No reading at all could prove a part good with this gauge: the tolerance is too narrow for it.")
    else:
        low, high = (say.fine(z, 3) for z in r.zone)
        said.append(f"A reading between {low} and {high} from nominal proves a part good. That is "
            f"{say.fine(r.zone[0] - r.low, 3)} inside each limit.")
    if r.decision == guard_bands.OPEN:
        if r.repeats and r.repeats > r.count:
            said.append(f"If the mean stayed there, {r.repeats} readings would prove it.")
        elif not r.repeats and r.low < r.reading < r.high:
            said.append("More readings do not help: what is left is the gauge's own uncertainty.")
    return said[0] + "\n" + " ".join(said[1:])


def picture_believe(r: Believed, say: Say) -> str:
    f = say.fine_number
    low, high = room(f(np.array([r.low, r.high, r.reading - 3.3 * r.u, r.reading + 3.3 * r.u])), margin=0.08)
    peak = 1.0
    chart = Chart("May I believe the reading?",
        "Where the true size may lie, against the tolerance and its guard bands.",
        x=("deviation from nominal", say.fine_unit, low, high), y=("relative probability", "", 0, 1.32), height=290)
    chart.band(f(np.array([r.low, r.high])), [0, 0], [1.06, 1.06], "c")
    if r.zone:
        for a, b in ((r.low, r.zone[0]), (r.zone[1], r.high)):
            x0, x1 = float(chart.at_x(f(a))), float(chart.at_x(f(b)))
            chart.hatch([x0, x1, x1, x0], [chart.at_y(1.06)] * 2 + [chart.at_y(0)] * 2, 7)
    else:
        x0, x1 = (float(chart.at_x(f(v))) for v in (r.low, r.high))
        chart.hatch([x0, x1, x1, x0], [chart.at_y(1.06)] * 2 + [chart.at_y(0)] * 2, 7)
    bell = peak * np.exp(-BELL**2 / 2)
    x = f(r.reading + r.u * BELL)
    chart.band(x, np.zeros_like(bell), bell, "a")
    chart.curve(x, bell, "", "a")
    apart = float(chart.at_x(f(r.high)) - chart.at_x(f(r.low))) > 170
    chart.upright(f(r.low), "lower limit" if apart else "")
    chart.upright(f(r.high), "upper limit" if apart else "tolerance")
    chart.mark(f(r.reading), 0, f"reading {plain(f(r.reading), 3)}", "a", "diamond")
    chart.text(WIDTH - 16, 17, "hatched: guard bands", "end", "small halo")
    return chart.svg()


BELIEVE = Page(name="believe", title="May I believe the reading?",
    inputs=(Slide("size", but(MeasuredLength, low=1, high=200, usual=10), "work", "nominal size"),
    Slide("lower", Deviation.but(usual=0.0, says="lower limit, from nominal"), "work", "lower limit"),
    Slide("tolerance", but(Tolerance, low=0.004, high=0.1, usual=0.015), "work", "tolerance, whole width"),
    Slide("read", Deviation.but(low=-0.12, high=0.2, usual=0.011, says="what was read, from nominal"), "work",
    "reading"), Choose("instrument", (*INSTRUMENTS, SAY_MYSELF), "bore gauge set in a ring", "tool", "gauge"),
    Slide("own",
    but(StandardUncertainty, low=0.0005, high=0.05, usual=0.006, step=0.5, says="plus or minus, 19 times in 20"),
    "tool", "my own ± (for a gauge of my own)"),
    Slide("count", but(ReadingCount, high=20, usual=1), "cut", "readings averaged"),
    Tick("mine", False, "cut", "use my own ten readings", "kept on the page “Ten readings”")), compute=compute_believe,
    picture=picture_believe, words=words_believe)


# ---- ten readings -------------------------------------------------------------------------------

MEASURED = (*INSTRUMENTS, "carriage stop")
DEMO = "10.006 10.008 10.005 10.007 10.009 10.006 10.007 10.005 10.008 10.007"


@dataclass(frozen=True)
class Ten:
    found: Repeatability
    name: str
    count: int
    half_mean: float      # 95 % of the mean of these readings
    later: float          # 95 % of a later mean of `count`
    kept: tuple[dict[str, Any], ...]


def compute_ten(readings: str, step: float, name: str, count: float) -> Ten:
    """Scatter and mean of readings typed in, mm, and what the mean of `count` is worth. Raises Refused for too few."""
    found = guard_bands.repeatability(readings, step)
    if len(found.readings) > MOST_READINGS:
        raise Refused(f"{len(found.readings)} readings are more than this page draws; give up to 200.")
    k = coverage(SURE, found.dof)
    return Ten(found, name, int(count), k * found.u, k * found.of_mean_of(int(count)),
        tuple(shop.records("repeatability", name=name)))


def words_ten(r: Ten, say: Say) -> str:
    f = r.found
    n = len(f.readings)
    said = [f"You repeat to {say.fine(f.scatter)} (standard deviation of one reading). The mean of these {n}, "
        f"{_size(say, f.mean)}, is good to {_plus(say, r.half_mean)}, 19 times in 20."]
    if f.hidden:
        said.append("The readings differ by less than the scale can show, so its step decides.")
    many = "One later reading" if r.count == 1 else f"A later mean of {r.count} readings"
    said.append(f"{many} by the same hand is good to {_plus(say, r.later)}. The gauge's own error comes on top.")
    if n < 10:
        said.append("Fewer than ten readings tell little about the scatter, so take more.")
    return said[0] + "\n" + " ".join(said[1:])


def picture_ten(r: Ten, say: Say) -> str:
    values = say.fine_number(np.array(r.found.readings) - r.found.mean)
    s = say.fine_number(r.found.scatter)
    low, high = room(values, [-2.2 * s, 2.2 * s])
    n = len(values)
    chart = Chart("Ten readings", "Each reading against the mean, with one and two standard deviations.",
        x=("reading number", "", 0.4, n + 0.6), y=("from the mean", say.fine_unit, low, high), height=270, counted=True)
    edge = np.array([0.4, n + 0.6])
    chart.band(edge, [-2 * s] * 2, [2 * s] * 2, "a")
    chart.band(edge, [-s] * 2, [s] * 2, "a")
    chart.curve(edge, [0, 0], "", "a")
    for i, value in enumerate(values, 1):
        Drawing.dot(chart, chart.at_x(i), chart.at_y(value), "b", "circle", 4.5 if n < 60 else 2.5)
    chart.text(WIDTH - 16, 17, "bands: 1 and 2 deviations", "end", "small halo")
    return chart.svg()


def more_ten(r: Ten, say: Say) -> str:
    if not r.kept:
        return "<p>Nothing kept yet for this gauge.</p>"
    rows = "".join(
        f"<tr><td>{escape(str(k.get('when', ''))[:16].replace('T', ' '))}</td><td>{len(k.get('readings', ()))}</td>"
        f"<td>{say.fine(float(k.get('scatter', 0)))}</td></tr>" for k in r.kept[-6:])
    return f"<table><tr><th>kept</th><th>readings</th><th>scatter of one</th></tr>{rows}</table>"


def keep_ten(readings: str, step: float, name: str, count: float) -> str:
    """Save the readings with their scatter, for this gauge."""
    found = guard_bands.repeatability(readings, step)
    shop.add("repeatability", name=name, readings=list(found.readings), scatter=found.scatter, dof=found.dof, step=step)
    return f"Kept: {len(found.readings)} readings with “{name}”. Tick “use my own ten readings” on the other pages."


TEN = Page(name="ten", title="Ten readings: how well do I repeat?",
    inputs=(Write("readings", DEMO, "work", "readings, mm", "parted by spaces or lines; 12,5 counts as 12.5", rows=3),
    Slide("step",
    but(ReadingSpread, symbol="r", low=0, high=0.05, usual=0.001, log=False, step=0.5,
    says="smallest step of the scale, zero if you judge between lines"), "tool", "step of the scale"),
    Choose("name", MEASURED, "bore gauge set in a ring", "tool", "measured with"),
    Slide("count", but(ReadingCount, high=20, usual=3), "cut", "readings averaged later")), compute=compute_ten,
    picture=picture_ten, words=words_ten, more=more_ten,
    presses=(Press("Keep these readings", keep_ten, "save them for this gauge"),))


# ---- lobes --------------------------------------------------------------------------------------

ROUND = ("as set above", "three jaws", "four jaws", "six jaws")
VEE = 60                                      # degrees, of the block in which the indicator stands over the work
SHAFT = quantity_of(WorkDiameter).usual
RING_MATERIAL = "aluminium 6082"


@cache
def _ring() -> dict[str, float]:
    """The club's bearing housing, mm."""
    housing = part.demo("bearing_housing")
    sizes = [surface.diameter for surface in housing.surfaces]
    return {"outside": max(sizes), "bore": min(sizes), "width": housing.length}


KINDS = ("shaft", "bore")


@dataclass(frozen=True)
class Lobed:
    kind: str
    mean: float
    lobes: int
    peak: float             # peak to valley on radius
    seen: gauging.Seen
    vee: float              # indicator over a 60 degree vee, peak to valley
    source: str
    load: float


def compute_lobes(kind: str, lobes: float, height: float, source: str, load: float) -> Lobed:
    """What two and three contacts and a vee see of a lobed shaft or bore; mm, peak to valley on radius; load N a jaw.

    Raises Refused for jaws or lobes that cannot be.
    """
    bore = _ring()["bore"]
    mean, count, peak = (bore if kind == "bore" else SHAFT), int(lobes), 2 * height
    if source == ROUND[0]:
        seen = gauging.lobes_seen(mean, peak, count, kind == "bore")
    else:
        kind, mean, (count, _) = "bore", bore, workholding.jaws(source)
        stiff, poisson = (tables.fact("materials", material=RING_MATERIAL, property=name).value for name in ("E", "nu"))
        ring = workholding.ring_lobing(**_ring(), load=load, jaws=count, modulus=stiff, poisson=poisson)
        gauged, peak = workholding.gauged(ring), float(ring.peak_to_valley)
        seen = gauging.Seen((mean - gauged.two_point / 2, mean + gauged.two_point / 2),
            (mean - gauged.three_point / 2, mean + gauged.three_point / 2), mean - 2 * ring.stands_in, mean)
    return Lobed(kind, mean, count, peak, seen, abs(float(gauging.vee_gain(count, VEE))) * peak, source, load)


def words_lobes(r: Lobed, say: Say) -> str:
    two, three = (v[1] - v[0] for v in (r.seen.two_point, r.seen.three_point))
    whence = (f"A {r.kind}" if r.source == ROUND[0] else
        f"Gripped in {r.source} with {plain(r.load, 3)} N each, the club's housing ring comes out")
    off = abs(r.seen.mates - r.seen.mean)
    small = r.peak / 50

    def shows(value: float) -> str:
        return "shows nothing" if value <= small else f"varies by {say.fine(value)}"

    also = f" and a three-point gauge {shows(three)}" if r.kind == "bore" else ""
    has = "has" if r.source == ROUND[0] else "with"
    said = [f"{whence} {has} {r.lobes} lobes, {say.fine(r.peak)} from valley to peak on radius. As you turn it round, "
        f"a two-point gauge {shows(two)}{also}."]
    mates = "a round shaft that just goes in is" if r.kind == "bore" else "a round ring that just goes over is"
    said.append(f"Yet {mates} {say.fine(off)} {'smaller' if r.kind == 'bore' else 'larger'} than the mean size.")
    if r.kind == "shaft":
        said.append(f"In a 60° vee block an indicator above it moves by {say.fine(r.vee)}." if r.vee > small
            else "A 60° vee block with an indicator does not show these either.")
    return said[0] + "\n" + " ".join(said[1:])


def picture_lobes(r: Lobed, say: Say) -> str:
    d = Drawing("Lobes and the gauges that miss them",
        "The lobed outline, much enlarged, and what each gauge makes of it.", WIDTH, 300)
    cx, cy, radius = 122.0, 150.0, 84.0
    angle = np.radians(np.arange(0, 360, 3))
    lobe = 16.0 if r.peak > 0 else 0.0
    swell = radius + lobe * np.cos(r.lobes * (angle + np.pi / 2))
    x, y = cx + swell * np.cos(angle), cy + swell * np.sin(angle)
    if r.kind == "bore":
        d.rect(6, 34, 232, 232, "fill-work", "thin")
        d.shape(x, y, "paper", "ink")
    else:
        d.shape(x, y, "fill-work", "ink", 9)
    d.circle(cx, cy, radius, "thin")
    d.circle(cx, cy, radius + (lobe if r.kind == "shaft" else -lobe), "b")
    for turn in (20, 80, 140):
        a = np.radians(turn)
        ends = [
            np.interp(b % (2 * np.pi), np.append(angle, 2 * np.pi), np.append(swell, swell[0])) for b in (a, a + np.pi)]
        d.line([cx + ends[0] * np.cos(a), cx - ends[1] * np.cos(a)],
            [cy + ends[0] * np.sin(a), cy - ends[1] * np.sin(a)], "a")
    d.text(8, 18, f"{r.lobes} lobes, exaggerated {_times(lobe, r.peak, radius, r.mean)}", kind="small")
    d.text(8, 290, f"dashed: {'plug' if r.kind == 'bore' else 'ring'} it mates with; straight: two points",
        kind="small")
    two, three = (v[1] - v[0] for v in (r.seen.two_point, r.seen.three_point))
    rows = [("two-point gauge", two),
        ("60° vee, indicator", r.vee) if r.kind == "shaft" else ("three-point gauge", three)]
    rows += [("mating size off by", abs(r.seen.mates - r.seen.mean))]
    most = max(max(size for _, size in rows), 1e-9)
    longest = max(breadth(say.fine(size)) for _, size in rows)
    for i, (name, size) in enumerate(rows):
        y0 = 72 + 62 * i
        wide = max(min(138.0, WIDTH - 262 - longest) * size / most, 1.0)
        d.text(252, y0, name, kind="halo bold" if i == len(rows) - 1 else "halo")
        d.rect(252, y0 + 6, wide, 14, "fill-b" if i == len(rows) - 1 else "fill-a", "thin")
        d.text(252 + wide + 5, y0 + 18, say.fine(size) if size > r.peak / 50 else "nothing", kind="small halo")
    return d.svg()


def _times(lobe: float, peak: float, radius: float, mean: float) -> str:
    if peak <= 0:
        return "×1"
    return f"×{plain(float(f'{(lobe / radius) / (peak / mean):.2g}'), 2)}"


LOBES = Page(name="lobes", title="What can two points not see?",
    inputs=(Choose("kind", KINDS, "shaft", "work", "shape"), Slide("lobes", but(LobeCount, high=7), "work", "lobes"),
    Slide("height", but(LobeHeight, high=0.02), "work", "height of a lobe"),
    Choose("source", ROUND, ROUND[0], "holder", "lobes from",
    "or from the jaws that held the club's ring, Ø62 × Ø42 × 14"),
    Slide("load", JawLoad, "holder", "clamping force per jaw")), compute=compute_lobes, picture=picture_lobes,
    words=words_lobes)

