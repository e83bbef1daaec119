"""Pages of the heat chapter: the reading, the cut's heat, the wait, the fit over the year, a warm housing."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import Any

import numpy as np

from .. import heat
from ..core.quantity import Refused, Say, but, plain
from ..core.shared import CuttingSpeed, Feed, Interference, NoseRadius, Passes, Ratio, Tolerance, WorkDiameter
from ..core.spread import EDGE, FAILS, HOLDS, Likely, about, between, factor_of, likely, odds, sample, verdict
from ..cutting.quantities import DepthOfCut
from ..heat.quantities import (
    AirSpeed,
    ClearanceAtTwenty,
    EasyPlay,
    SizeAtTwenty,
    StartRise,
    Temperature,
    TemperatureDoubt,
)
from ..screen.draw import Chart, room
from ..screen.page import Choose, Page, Slide, Tick
from ..workholding.quantities import WorkLength
from . import heat_drawn as drawn

MATERIALS = tuple(heat.materials())
TURNED = tuple(heat.turned_materials())
STEEL, ALUMINIUM, BRONZE = "carbon steel C45 / 1045", "aluminium 6082", "bearing bronze C93200 / SAE 660"
TOO_HOT = 150.0   # °C: nobody should heat a housing over it without knowing its heat treatment
BURNS = 30.0   # K above a room at 20 °C: metal of 50 °C burns
WARMTH, SEASONS, SPEEDS = (0.0, 80.0), (-40.0, 80.0), (3.0, 400.0)   # the charts run over: °C, °C, m/min
GAUGES = ("gauge-block steel", "cemented carbide WC-6Co", "FeNi36")
PartTemperature = but(Temperature, symbol="T", low=0, high=80, usual=35,
    says="temperature of the part where it is measured")
GaugeTemperature = but(Temperature, low=0, high=60, usual=22, says="temperature of the micrometer or gauge")
Length = but(WorkLength, low=5, high=300, usual=85, says="length of the part")
Diameter = but(WorkDiameter, low=8, high=150, usual=20)


def _two(value: float, digits: int = 2) -> str:
    """A number to so many figures, large ones rounded too: 1347 → 1300."""
    return plain(float(f"{value:.{digits}g}"), digits)


def _unit(seconds: float) -> tuple[str, float]:
    """The unit of time that suits a wait."""
    return ("s", 1.0) if seconds < 99 else ("min", 60.0) if seconds < 5700 else ("h", 3600.0)


def _wait(seconds: float) -> str:
    unit, per = _unit(seconds)
    return f"{_two(seconds / per)} {unit}"


def _wait_range(wait: Likely, named: bool = True) -> str:
    """ "14 min (90 % range 12 to 18 min)", all in one unit; "14 min (12 to 18)" once named """
    unit, per = _unit(wait.value)
    return _number_range(Likely(wait.value / per, wait.low / per, wait.high / per), unit, named)


def _number_range(found: Likely, unit: str, named: bool = True) -> str:
    low, high = _two(found.low), _two(found.high)
    if low == high:
        return f"{_two(found.value)} {unit}"
    return f"{_two(found.value)} {unit} " + (f"(90 % range {low} to {high} {unit})" if named else f"({low} to {high})")


def _around(value: float, found: Likely) -> Likely:
    """The answer at the usual values, with the range of the samples; a range that leaves it out reaches to it."""
    return Likely(value, min(found.low, value), max(found.high, value))


def _table(rows: list[tuple[str, str]]) -> str:
    return "<table>" + "".join(f"<tr><th>{escape(a)}</th><td>{escape(b)}</td></tr>" for a, b in rows) + "</table>"


def _fine(found: Likely, say: Say) -> str:
    """A fine length that may be of either sign, with its range, the sign put into words by the caller."""
    turned = found if found.value >= 0 else Likely(-found.value, -found.high, -found.low)
    return turned.text(say)


# ---- what does it read? ---------------------------------------------------------------------------


@dataclass(frozen=True)
class ReadAnswer:
    size: float
    part: float
    gauge: float
    grown: float           # of the part itself, mm on diameter; negative when it is colder than 20 °C
    error: Likely
    wanted: float
    left: float            # what stays unknown after correcting, plus or minus, nine times in ten
    share: float           # of the tolerance that the uncorrected error eats
    temperatures: np.ndarray
    curve: np.ndarray
    low: np.ndarray
    high: np.ndarray
    together: np.ndarray   # were the gauge as warm as the part
    tolerance: float


def _read(material: str, size: float, part: float, tolerance: float, gauge_material: str, gauge: float,
        doubt: float) -> ReadAnswer:
    """How much a warm part reads too large in a gauge that may be warm too; mm, °C; curves over WARMTH.

    doubt: of the gauge's temperature, K; the part's is known half as well. Raises Refused for an unknown material.
    """
    alpha, alpha_g = heat.fact(material, "alpha"), heat.fact(gauge_material, "alpha")
    known = sample(alpha=alpha.range, alpha_g=alpha_g.range, part=about(part, 2 * doubt), gauge=about(gauge, doubt))
    errors = heat.reading_error(size, known["alpha"], known["part"] - heat.REFERENCE, known["alpha_g"],
        known["gauge"] - heat.REFERENCE)
    usual = heat.reading_error(size, alpha.value, part - heat.REFERENCE, alpha_g.value, gauge - heat.REFERENCE)
    found = likely(errors)
    # along the chart the doubt is worked out at its ends and taken straight between: it grows with the temperature
    t = np.linspace(*WARMTH, 33)
    rise = t - heat.REFERENCE
    slope, base = known["alpha"] * size, -known["alpha_g"] * size * (known["gauge"] - heat.REFERENCE)
    slack = slope * (known["part"] - part)
    some = np.linspace(*WARMTH, 9)
    bands = np.array([[b.low, b.high] for b in (likely(slope * (x - heat.REFERENCE) + slack + base) for x in some)])
    return ReadAnswer(size, part, gauge, float(heat.growth(size, alpha.value, part - heat.REFERENCE)),
        _around(float(usual), found),
        float(heat.reading_wanted(size, alpha.value, part - heat.REFERENCE, alpha_g.value, gauge - heat.REFERENCE)),
        float(max(found.high - usual, usual - found.low)), abs(float(usual)) / tolerance, t,
        np.asarray(heat.reading_error(size, alpha.value, rise, alpha_g.value, gauge - heat.REFERENCE)),
        np.interp(t, some, bands[:, 0]), np.interp(t, some, bands[:, 1]),
        np.asarray(heat.reading_error(size, alpha.value, rise, alpha_g.value, rise)), tolerance)


def _read_words(r: ReadAnswer, say: Say) -> str:
    large = "large" if r.error.value > 0 else "small"
    if abs(r.error.value) < 5e-5:
        why = "part and gauge have grown alike."
    elif r.error.low < 0 < r.error.high:
        why = (f"it reads {say.fine(abs(r.error.value))} too {large} (90 % range {say.bare(-r.error.low)} too small to "
            f"{say.fine(r.error.high)} too large).")
    else:
        why = f"it reads {_fine(r.error, say)} too {large}."
    digits = 6 if not say.inch else 5
    eaten = f"{_two(100 * r.share)} % of" if r.share < 1 else "more than"
    spoilt = f"Uncorrected, that is {eaten} the {say.fine(r.tolerance)} tolerance. " if r.share > 0.005 else ""
    return (f"To be {say.length(r.size, digits)} at 20 °C, the part must read {say.length(r.wanted, digits)} now: "
        f"{why}\n{spoilt}Corrected, ±{say.fine(r.left)} of uncertainty remains. Let part and gauge soak to the same "
        "temperature.")


def _read_picture(r: ReadAnswer, say: Say) -> str:
    fine = say.fine_number
    low, high = room(fine(r.low), fine(r.high), fine(r.together), 0)
    chart = Chart("A warm part in its chuck with a micrometer on it, and the error of the reading over its temperature",
        f"The part is at {plain(r.part, 3)} °C; the error rises with its temperature.",
        x=("temperature of the part", "°C", 0, 80), y=("reads too large by", say.fine_unit, low, high),
        height=240 + drawn.MEASURED, above=drawn.MEASURED)
    chart.band(r.temperatures, fine(r.low), fine(r.high), "a")
    chart.level(0, "", "thin")
    chart.curve(r.temperatures, fine(r.curve), "gauge as it is", "a")
    chart.curve(r.temperatures, fine(r.together), "gauge as warm", "b")
    chart.mark(r.part, float(fine(r.error.value)), say.fine(r.error.value), "a", "diamond")
    chart.grip("part", r.part)
    drawn.measured(chart, r.size, r.part, r.gauge, r.grown, r.error.value, say)
    return chart.svg()


READ = Page(name="heat_reading", title="It is warm. What must the gauge read?",
    inputs=(Choose("material", MATERIALS, STEEL, says="what the part is made of"),
    Slide("size", but(SizeAtTwenty, low=1, high=300, usual=20), label="size wanted at 20 °C"),
    Slide("part", PartTemperature, label="the part is at"), Slide("tolerance", Tolerance),
    Choose("gauge_material", GAUGES, GAUGES[0], group="tool", label="gauge of",
    says="what measures: screw, blocks or rod"),
    Slide("gauge", GaugeTemperature, group="tool", label="the gauge is at"),
    Slide("doubt", but(TemperatureDoubt, low=0.1, high=5, usual=1), group="tool", label="thermometer good to ±")),
    compute=_read, picture=_read_picture, words=_read_words)


# ---- how warm does the cut make it? ----------------------------------------------------------------


@dataclass(frozen=True)
class CutAnswer:
    material: str
    diameter: float
    passes: int
    share: Likely
    rise: Likely
    growth: Likely
    left: float            # K still there at the end of the last pass, gripped in a cool chuck
    seconds: float         # that all the passes take
    power: float
    chip: float
    speed: float
    speeds: np.ndarray
    shares: np.ndarray
    low: np.ndarray
    high: np.ndarray


def _cut(material: str, diameter: float, length: float, bored: float, nose_radius: float, depth: float, feed: float,
        speed: float, turned: float, passes: float) -> CutAnswer:
    """What the heat of a cut does to the size of the work; mm, m/min; curves over SPEEDS.

    bored and turned: shares of diameter and length; passes: whole ones in a row. Raises Refused.
    """
    r = heat.rule
    known = sample(force=r("force").range, shear_angle=r("shear angle").range, shear_power=r("shear share").range,
        flank_power=r("flank share").range, partition=r("partition").range)
    usual: dict[str, Any] = {"force": 1.0, "shear_angle": r("shear angle").value, "shear_power": r("shear share").value,
        "flank_power": r("flank share").value}
    cut: tuple[Any, ...] = (diameter, length, bored * diameter, depth, feed, turned * length, speed, nose_radius,
        material)
    one, many = heat.pass_heat(*cut, **usual), heat.pass_heat(*cut, **known)
    speeds = np.geomspace(*SPEEDS, 25)
    faster: tuple[Any, ...] = (*cut[:6], speeds, *cut[7:])
    shares = heat.pass_heat(*faster, **usual).share
    ends = likely(many.share)
    n, what = int(passes), heat.properties(material)
    settles = heat.settling(diameter, length, bore=bored * diameter, density=what.density,
        specific_heat=what.specific_heat, conductivity=what.conductivity, emissivity=what.emissivity,
        joint=r("joint").value)
    seconds = n * float(one.seconds)
    left = n * float(one.rise) * heat.kept_while_cutting(seconds, settles)
    return CutAnswer(material, diameter, n, _around(one.share, ends),
        _times(n, one.rise, many.rise), _times(n, one.growth, many.growth), float(left), seconds, float(one.power),
        float(one.chip), speed, speeds, shares, np.minimum(shares * ends.low / one.share, 1),
        np.minimum(shares * ends.high / one.share, 1))


def _times(n: int, usual: Any, samples: Any) -> Likely:
    return _around(n * usual, likely(n * samples))


def _cut_words(r: CutAnswer, say: Say) -> str:
    percent = Likely(100 * r.share.value, 100 * r.share.low, 100 * r.share.high)
    often, made = ("One pass", "The pass takes") if r.passes == 1 else (f"{r.passes} passes without a pause",
        "They take")
    pause = (" Pause between passes: it burns the hand and cannot be measured." if r.left > BURNS
        else "")
    return (f"{often} can warm the part by {_number_range(r.rise, 'K')}; its diameter then measures "
        f"{r.growth.text(say, named=False)} large.\n{made} {_wait(r.seconds)}. In a cool chuck about {_two(r.left)} K "
        f"are left at the end.{pause}\n{_number_range(percent, '%')} of the cutting heat stays in the work. The faster "
        "and heavier the cut, the more of it the chip carries off.")


def _cut_more(r: CutAnswer, say: Say) -> str:
    return _table([("heat made at the edge", f"{_two(r.power)} W"), ("mean chip thickness", say.fine(r.chip)),
        ("if no heat left the part", f"{_two(r.rise.value)} K")])


def _cut_picture(r: CutAnswer, say: Say) -> str:
    factor = 1 / 0.3048 if say.inch else 1.0
    chart = Chart("Where the heat of the cut goes, and the share of it that stays in the work",
        "A tool in the work with an arrow for each share of the heat; below, the share over the cutting speed. "
        "It falls as the cut gets faster.",
        x=("cutting speed", "ft/min" if say.inch else "m/min", SPEEDS[0] * factor, SPEEDS[1] * factor),
        y=("stays in the work", "%", 0, min(105.0, max(30.0, 110 * float(r.high.max())))), log_x=True,
        height=262 + drawn.PARTED, above=drawn.PARTED)
    x = r.speeds * factor
    chart.band(x, 100 * r.low, 100 * r.high, "a")
    chart.curve(x, 100 * r.shares, "", "a")
    chart.mark(r.speed * factor, 100 * r.share.value, f"+{_two(r.rise.value)} K, +{say.fine(r.growth.value)}", "a",
        "diamond")
    chart.grip("speed", r.speed * factor)
    drawn.parted(chart, r.share.value, r.material)
    return chart.svg()


CUT = Page(name="heat_of_the_cut", title="How warm does the cut make it?",
    inputs=(Choose("material", TURNED, STEEL, says="what the part is made of"),
    Slide("diameter", Diameter, label="diameter"), Slide("length", Length, label="length of the part"),
    Slide("bored", but(Ratio, low=0, high=0.7, usual=0.5, step=0.05, says="bore over outside; 0 for a solid part"),
    label="bore over outside"), Slide("nose_radius", but(NoseRadius, low=0.1), group="tool", label="nose radius"),
    Slide("depth", but(DepthOfCut, low=0.02, high=0.5, usual=0.25), group="cut", label="depth of cut"),
    Slide("feed", but(Feed, low=0.02, high=0.15, usual=0.05), group="cut", label="feed"),
    Slide("speed", but(CuttingSpeed, low=5, high=300, usual=30), group="cut", label="cutting speed"),
    Slide("turned", but(Ratio, low=0.1, high=1, usual=1, step=0.05, says="share of the length that is turned"),
    group="cut", label="share of length turned"),
    Slide("passes", but(Passes, usual=1), group="cut", label="passes without a pause")), compute=_cut,
    picture=_cut_picture, words=_cut_words, more=_cut_more)


# ---- how long must I wait? -------------------------------------------------------------------------

LYING, GRIPPED = "lying free", "gripped in the chuck"


@dataclass(frozen=True)
class CoolAnswer:
    material: str
    diameter: float
    length: float
    rise: float
    gripped: bool
    flooded: bool
    draught: float
    air: float
    start: float           # size error at the start, mm
    within: float
    wait: Likely
    biot: float
    coefficient: float     # W/(m² K) at the start
    seconds: np.ndarray
    band: np.ndarray       # rows: low, middle, high
    usual_seconds: np.ndarray
    usual: np.ndarray      # at the usual values
    still_seconds: np.ndarray
    still: np.ndarray      # the same part lying in still air
    left_over: float       # size error against 20 °C when it is as cool as the room


def _cool(material: str, diameter: float, length: float, rise: float, within: float, hold: str, air: float,
        draught: float, flooded: bool) -> CoolAnswer:
    """How long a warm part takes to come within `within` of its cold size, mm; rise K, air °C, draught m/s; s.

    Raises Refused for sizes or temperatures that cannot be.
    """
    what, r = heat.properties(material), heat.rule
    gripped = hold == GRIPPED
    doubtful: dict[str, Any] = {"alpha": heat.fact(material, "alpha").range,
        "specific_heat": heat.fact(material, "cp").range}
    usual: dict[str, Any] = {"specific_heat": what.specific_heat, "convection": 1.0, "emissivity": what.emissivity}
    if flooded:
        doubtful["coolant"] = factor_of(r("coolant").value, r("coolant").factor)
        usual["coolant"] = r("coolant").value
    else:
        doubtful |= {"convection": heat.convection_range(draught).range, "emissivity": heat.surface(material).range}
    if gripped:
        doubtful |= {"joint": factor_of(r("joint").value, r("joint").factor),
            "conductivity": heat.fact(material, "k").range}
        usual["joint"] = r("joint").value
    known = sample(**doubtful)
    alpha = known.pop("alpha")
    fixed: dict[str, Any] = {"density": what.density, "conductivity": what.conductivity, "air": air, "draught": draught}
    until = float(np.min(within / (alpha * diameter)))
    cold = min(until, rise)
    curve = heat.cooling(diameter, length, rise, cold, **{**fixed, **known})
    one = heat.cooling(diameter, length, rise, cold, **{**fixed, **usual})
    still = heat.cooling(diameter, length, rise, cold,
        **{**fixed, "draught": 0.0, "specific_heat": what.specific_heat, "emissivity": what.emissivity})
    found = likely(curve.time_until(within / (alpha * diameter)))
    middle = float(one.time_until(within / (what.expansion * diameter)))
    seconds, band = curve.band(alpha * diameter)
    return CoolAnswer(material, diameter, length, rise, gripped, flooded, draught, air,
        what.expansion * diameter * rise, within,
        _around(middle, found), float(np.max(one.biot)), float(np.max(one.coefficient)), seconds, band,
        one.seconds.ravel(), (what.expansion * diameter * one.rise).ravel(), still.seconds.ravel(),
        (what.expansion * diameter * still.rise).ravel(), what.expansion * diameter * (air - heat.REFERENCE))


def _cool_words(r: CoolAnswer, say: Say) -> str:
    start = f"Now the diameter is {say.fine(r.start)} over its cold size."
    if r.wait.high < 1:
        wait = f"You need not wait: it is within {say.fine(r.within)} already, so measure now."
    elif r.wait.value < 1:
        wait = f"Wait {_wait(r.wait.high)} at most: it is within {say.fine(r.within)}, or nearly."
    else:
        wait = f"Wait {_wait_range(r.wait)} for it to come within {say.fine(r.within)}."
    chuck = " Most of the heat goes into the chuck, which must be cool; this is for the free end." if r.gripped else ""
    core = " The core is warmer than the skin, and the page allows for it." if r.biot >= 0.1 else ""
    room_ = ("" if abs(r.left_over) < 2e-4 else f"\nThe room is not at 20 °C: when it has cooled, the part is still "
        f"{say.fine(abs(r.left_over))} {'large' if r.left_over > 0 else 'small'}. A gauge of the same metal, equally "
        "warm, does not show that.")
    return f"{wait} {start}{chuck}{core}{room_}"


def _cool_more(r: CoolAnswer, say: Say) -> str:
    way = "in the coolant" if r.flooded else "in the draught" if r.draught > 0 else "in still air"
    return _table([(f"heat transfer coefficient {way}", f"{_two(r.coefficient)} W/(m² K)"),
        ("Biot number (under 0.1: skin and core equally warm)", _two(r.biot, 1))])


def _cool_picture(r: CoolAnswer, say: Say) -> str:
    fine = say.fine_number
    # show up to a little past the wait
    span = max(min(1.3 * r.wait.high, float(max(r.seconds[-1], r.usual_seconds[-1]))), 5.0)
    unit, per = ("h", 3600.0) if span > 4 * 3600 else ("min", 60.0) if span > 240 else ("s", 1.0)
    chart = Chart("The warm part and where its heat goes; its size while it cools",
        f"The size falls towards its cold value; within {say.fine(r.within)} after {_wait(r.wait.value)}.",
        x=("time", unit, 0, span / per),
        y=("over cold size", say.fine_unit, 0, 1.12 * float(fine(max(r.start, r.within)))), height=250 + drawn.COOLED,
        above=drawn.COOLED)
    drawn.cooled(chart, r.diameter, r.length, r.material, f"{plain(r.rise, 3)} K warm, {say.fine(r.start)} large",
        r.gripped, r.flooded, r.draught)
    chart.band(r.seconds / per, fine(r.band[0]), fine(r.band[2]), "a")
    chart.level(float(fine(r.within)), f"within {say.fine(r.within)}")
    if r.gripped or r.flooded or r.draught > 0:
        chart.curve(r.still_seconds / per, fine(r.still), "lying in still air", "b")
    chart.curve(r.usual_seconds / per, fine(r.usual), "", "a")
    if r.wait.value >= 1:
        chart.mark(r.wait.value / per, float(fine(r.within)), _wait(r.wait.value), "a", "diamond")
    chart.side_grip("within", float(fine(r.within)), 25.4 if say.inch else 1.0)
    return chart.svg()


COOL = Page(name="heat_wait", title="How long must I wait before I measure?",
    inputs=(Choose("material", MATERIALS, STEEL, says="what the part is made of"),
    Slide("diameter", Diameter, label="diameter"), Slide("length", Length, label="length"),
    Slide("rise", but(StartRise, low=1, high=80, usual=25, says="how much warmer than the room it is now"),
    label="warmer than the room by"),
    Slide("within", but(Tolerance, low=0.0005, high=0.02, usual=0.001, says="how near to its cold size is near enough"),
    label="near enough"),
    Choose("hold", (LYING, GRIPPED), LYING, group="holder", label="the part is", says="where the heat can go"),
    Slide("air", but(Temperature, low=5, high=35, usual=20), group="view", label="the room is at"),
    Slide("draught", but(AirSpeed, low=0, high=20, usual=0, step=0.5), group="view",
    label="draught, 0 still, 10 air gun"),
    Tick("flooded", False, group="view", label="coolant running over it", says="takes the place of the air")),
    compute=_cool, picture=_cool_picture, words=_cool_words, more=_cool_more)


# ---- two materials over the seasons ----------------------------------------------------------------

PLAY, TIGHT = "always some clearance", "always some interference"
KEEPS = {(PLAY, HOLDS): "It stays loose all year", (PLAY, EDGE): "It may not stay loose all year",
    (PLAY, FAILS): "It does not stay loose all year", (TIGHT, HOLDS): "It stays tight all year",
    (TIGHT, EDGE): "It may not stay tight all year", (TIGHT, FAILS): "It does not stay tight all year"}
PAIRS = {"bearing Ø42 in aluminium housing": (42.0, ALUMINIUM, "bearing steel 100Cr6 / 52100"),
    "steel shaft Ø12 in bronze bush": (12.0, BRONZE, STEEL),
    "sleeve Ø20 in bearing bore": (20.0, "bearing steel 100Cr6 / 52100", STEEL),
    "85 of sleeve along the housing": (85.0, ALUMINIUM, STEEL)}
UNSET = (42.0, ALUMINIUM, STEEL)   # what the page opens with for two of your own
OWN = "two of my own, below"


@dataclass(frozen=True)
class FitAnswer:
    size: float
    hole: str
    shaft: str
    clearance: float
    cold: float
    hot: float
    at_cold: Likely
    at_hot: Likely
    slope: float           # mm for each K
    zero: float          # temperature at which it just touches, nan if never
    wanted: str
    waiting: bool          # own size or materials are set, but a pair of the club's is chosen
    verdict: str
    headline: str
    temperatures: np.ndarray
    curve: np.ndarray
    low: np.ndarray
    high: np.ndarray


def _fit(pair: str, size: float, hole: str, shaft: str, clearance: float, unsure: float, wanted: str, cold: float,
        hot: float) -> FitAnswer:
    """Clearance of two parts between the coldest and the hottest day; mm, °C; curves over SEASONS.

    unsure: of the clearance at 20 °C, plus or minus. Raises Refused where hot is under cold.
    """
    waiting = pair in PAIRS and (size, hole, shaft) != UNSET
    if pair in PAIRS:
        size, hole, shaft = PAIRS[pair]
    if hot < cold:
        raise Refused("The hottest temperature is under the coldest. Move one of them.")
    a_hole, a_shaft = heat.fact(hole, "alpha"), heat.fact(shaft, "alpha")
    known = sample(c=between(clearance - unsure, clearance + unsure), hole=a_hole.range, shaft=a_shaft.range)
    slope = heat.clearance_at(0.0, size, a_hole.value, a_shaft.value, 1.0)

    def at(t: float) -> Any:
        return heat.clearance_at(known["c"], size, known["hole"], known["shaft"], t - heat.REFERENCE)

    def usual(t: Any) -> Any:
        return heat.clearance_at(clearance, size, a_hole.value, a_shaft.value, np.asarray(t) - heat.REFERENCE)

    at_cold, at_hot = at(cold), at(hot)
    keeps = np.minimum(at_cold, at_hot) > 0 if wanted == PLAY else np.maximum(at_cold, at_hot) < 0
    zero = heat.touching_temperature(clearance, size, a_hole.value, a_shaft.value)
    t = np.linspace(*SEASONS, 25)
    bands = np.array([[b.low, b.high] for b in (likely(at(x)) for x in t[::3])])
    ends = [_around(usual(x), b) for x, b in ((cold, likely(at_cold)), (hot, likely(at_hot)))]
    found = verdict(odds(keeps))
    return FitAnswer(size, hole, shaft, clearance, cold, hot, ends[0], ends[1], float(slope), zero, wanted, waiting,
        found, KEEPS[wanted, found], t, usual(t), np.interp(t, t[::3], bands[:, 0]), np.interp(t, t[::3], bands[:, 1]))


def _clear(found: Likely, say: Say, named: bool = True) -> str:
    """Clearance or interference in words, with its range."""
    if found.low >= 0:
        return f"{found.text(say, named=named)} of clearance"
    if found.high <= 0:
        return f"{Likely(-found.value, -found.high, -found.low).text(say, named=named)} of interference"
    return (f"{say.fine(abs(found.value))} of {'clearance' if found.value >= 0 else 'interference'} (90 % range "
        f"{say.fine(-found.low)} tight to {say.fine(found.high)} loose)")


def _fit_words(r: FitAnswer, say: Say) -> str:
    if abs(r.slope) < 2e-5:   # under a fifth of a micrometre for 10 K
        moves = "Both grow nearly alike, so the fit hardly changes."
    else:
        moves = f"Every 10 K warmer {'opens' if r.slope > 0 else 'closes'} the fit by {say.fine(abs(10 * r.slope))}."
    touch = ""
    if np.isfinite(r.zero) and r.cold <= r.zero <= r.hot:
        touch = f" It passes from clearance to interference at {plain(round(r.zero), 3)} °C."
    cold, hot = plain(round(r.cold, 1), 3), plain(round(r.hot, 1), 3)
    return (f"At {cold} °C it has {_clear(r.at_cold, say)}; at {hot} °C it has {_clear(r.at_hot, say, False)}.\n"
        f"{moves}{touch} The hole, {say.length(r.size)}, is in {r.hole}, the inner part of {r.shaft}."
        + (f" For your own parts choose “{OWN}”." if r.waiting else ""))


def _fit_picture(r: FitAnswer, say: Say) -> str:
    fine = say.fine_number
    left, right = min(r.cold, 15.0) - 5, max(r.hot, 25.0) + 5
    seen = (r.temperatures >= left - 6) & (r.temperatures <= right + 6)
    low, high = room(fine(r.low[seen]), fine(r.high[seen]), 0)
    chart = Chart("Clearance over temperature", "A straight line through the clearance at 20 °C.",
        x=("temperature of both", "°C", left, right), y=("clearance on diameter", say.fine_unit, low, high))
    chart.band(r.temperatures, fine(r.low), fine(r.high), "a")
    chart.level(0, "loose above, tight below")
    chart.upright(20, "20 °C", "thin")
    chart.curve(r.temperatures, fine(r.curve), "", "a")
    chart.mark(r.cold, float(fine(r.at_cold.value)), say.fine(r.at_cold.value), "b", "square")
    chart.mark(r.hot, float(fine(r.at_hot.value)), say.fine(r.at_hot.value), "a", "diamond")
    return chart.svg()


FIT = Page(name="heat_fit", title="What does the weather do to a fit of two materials?",
    inputs=(Choose("pair", (*PAIRS, OWN), next(iter(PAIRS)), says="a fit of the club's drive, or your own"),
    Slide("size", but(SizeAtTwenty, low=2, high=300, usual=UNSET[0]), label="size (your own)"),
    Choose("hole", MATERIALS, ALUMINIUM, label="hole in (your own)", says="material of the outer part, for your own"),
    Choose("shaft", MATERIALS, STEEL, label="inside it (your own)", says="material of the inner part, for your own"),
    Slide("clearance", but(ClearanceAtTwenty, low=-0.06, high=0.1, usual=0.012), label="clearance at 20 °C"),
    Slide("unsure", but(EasyPlay, low=0, high=0.03, usual=0.003, says="how well that clearance is known"),
    label="known to ±"), Choose("wanted", (PLAY, TIGHT), PLAY, group="view", says="what the fit must keep"),
    Slide("cold", but(Temperature, low=-40, high=20, usual=-15, step=1), group="view", label="coldest"),
    Slide("hot", but(Temperature, low=20, high=80, usual=35, step=1), group="view", label="hottest")), compute=_fit,
    picture=_fit_picture, words=_fit_words)


# ---- a bearing into a warm housing ------------------------------------------------------------------


@dataclass(frozen=True)
class WarmAnswer:
    material: str
    bore: float
    housing: float
    bearing: float
    asked: float
    play: Likely
    needed: float
    open: Likely
    limit: float
    chance: float          # that the play asked for is there
    seconds: np.ndarray
    band: np.ndarray


def _warm(material: str, bore: float, wall: float, width: float, interference: float, play: float, bearing: float,
        housing: float) -> WarmAnswer:
    """Whether a bearing drops into a warmed housing and how long that stays open; mm, °C, s. Raises Refused."""
    what, r = heat.properties(material), heat.rule
    alpha = heat.fact(material, "alpha")
    steel = heat.fact("bearing steel 100Cr6 / 52100", "alpha")
    known = sample(expansion=alpha.range, bearing_expansion=steel.range, convection=r("convection").range,
        emissivity=heat.surface(material).range)
    fixed: dict[str, Any] = {"density": what.density, "specific_heat": what.specific_heat,
        "conductivity": what.conductivity}
    ring: tuple[Any, ...] = (bore + 2 * wall, bore, width, interference, housing, bearing)
    many = heat.warm_fit(*ring, play=play, **{**fixed, **known})
    usual: dict[str, Any] = {"expansion": what.expansion, "bearing_expansion": steel.value,
        "emissivity": what.emissivity}
    one = heat.warm_fit(*ring, play=play, **{**fixed, **usual})
    plays, opens = likely(many.play), likely(many.open)
    seconds, band = many.curve.band(known["expansion"] * bore)
    return WarmAnswer(material, bore, housing, bearing, play, _around(one.play, plays), float(one.needed),
        _around(one.open, opens), r("bearing hottest").value, odds(many.play >= play), seconds,
        band - (float(heat.growth(bore, what.expansion, housing - heat.REFERENCE)) - float(one.play)))


def _warm_words(r: WarmAnswer, say: Say) -> str:
    need = f"For {say.fine(r.asked)} of clearance the housing must be at about {plain(round(r.needed), 3)} °C."
    if r.needed <= heat.REFERENCE:
        need = f"For {say.fine(r.asked)} of clearance it needs no heat at all."
    elif r.needed > TOO_HOT:
        need = (f"For {say.fine(r.asked)} of clearance it would have to be at {plain(round(r.needed), 3)} °C, "
            "which is too hot: chill the bearing or choose a lighter fit.")
    if r.play.value > 0:
        if not np.isfinite(r.open.value):
            clock = "It never closes again by itself: that bearing drops in cold."
        else:
            open_for = _wait_range(r.open) if np.isfinite(r.open.high) else _wait(r.open.value)
            clock = f"In still air it stays open for {open_for}."
        drops = ("Then the bearing drops in" if r.chance >= 0.9 else "Then it may need a push" if r.chance > 0.1 else
            "Then it does not drop in by itself")
        now = f"At {plain(round(r.housing, 1), 3)} °C there are {_clear(r.play, say)}. {drops}. {clock}"
    else:
        now = f"At {plain(round(r.housing, 1), 3)} °C it does not open: {_clear(r.play, say)} are left."
    hot = (f"That is hotter than the {plain(r.limit, 3)} °C that a bearing may see (common practice)."
        if r.housing > r.limit else f"Keep the bearing itself under about {plain(r.limit, 3)} °C (common practice).")
    burn = " Metal above 50 °C burns the skin: use tongs."
    return f"{need}\n{now}\n{hot}{burn if r.housing > BURNS + heat.REFERENCE else ''}"


def _warm_picture(r: WarmAnswer, say: Say) -> str:
    fine = say.fine_number
    shuts = np.isfinite(r.open.value) and r.open.value > 0
    span = max(min(1.5 * r.open.value if shuts else np.inf, float(r.seconds[-1])), 60.0)
    unit, per = ("min", 60.0) if span < 4 * 3600 else ("h", 3600.0)
    seen = r.seconds <= span * 1.2
    low, high = room(fine(r.band[:, seen]), 0, fine(r.asked))
    chart = Chart("A bearing over its warm housing, and the clearance while the housing cools",
        f"Open for {_wait(r.open.value) if np.isfinite(r.open.value) else 'ever'}.",
        x=("time since it left the heat", unit, 0, span / per), y=("clearance on diameter", say.fine_unit, low, high),
        height=250 + drawn.OPENED, above=drawn.OPENED)
    drawn.opened(chart, r.material, r.bore, r.play.value, f"bearing {plain(round(r.bearing, 1), 3)} °C",
        f"housing {plain(round(r.housing, 1), 3)} °C", say)
    chart.band(r.seconds / per, fine(r.band[0]), fine(r.band[2]), "a")
    chart.level(0, "touches")
    chart.level(float(fine(r.asked)), "drops in")
    chart.curve(r.seconds / per, fine(r.band[1]), "", "a")
    if shuts:
        chart.mark(r.open.value / per, 0.0, f"shut after {_wait(r.open.value)}", "a", "diamond")
    return chart.svg()


WARM = Page(name="heat_warm_housing", title="How hot must the housing be for the bearing to drop in?",
    inputs=(Choose("material", MATERIALS, ALUMINIUM, label="housing of", says="what the housing is made of"),
    Slide("bore", but(WorkDiameter, low=10, high=150, usual=42, says="seat of the bearing"), label="seat"),
    Slide("wall", but(WorkDiameter, low=3, high=50, usual=10, says="wall of the housing round the seat"), label="wall"),
    Slide("width", Length.but(low=5, high=100, usual=16, says="width of the housing"), label="width"),
    Slide("interference", but(Interference, low=0, high=0.06), label="interference at 20 °C"),
    Slide("play", but(EasyPlay, low=0.002, high=0.05), group="holder", label="clearance to drop in"),
    Slide("bearing",
    but(Temperature, low=-30, high=25, usual=20, step=1, says="of the bearing; a freezer gives about −20"),
    group="holder", label="the bearing is at"),
    Slide("housing",
    but(Temperature, low=30, high=150, usual=90, step=1, says="of the housing when it leaves the heat"), group="holder",
    label="the housing is at")), compute=_warm, picture=_warm_picture, words=_warm_words)
