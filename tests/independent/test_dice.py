"""Whole jobs thrown with dice: the same job told afresh in plain formulas, its unknowns drawn by numpy instead of the
fixed
points, its cuts settled with the thrust integrated by scipy."""

from functools import cache

import numpy as np
import pytest
from scipy import integrate, optimize
from scipy.interpolate import PchipInterpolator

from outside import agrees, source
from springpass import stops
from springpass import workholding as wh
from springpass.core import tables
from springpass.cutting import speeds, surface_finish
from springpass.fits import fit_target
from springpass.heat import pass_heat
from springpass.reaming import hole as reamed_hole
from springpass.workholding import bending as wb

COUNT = 40_000
KIENZLE = ("kc11", "mc", "kn11", "mn")


def dice(seed=1):
    return np.random.default_rng(seed)


def fact(table, **keys):
    return tables.fact(table, **keys)


def ratio(throw, low, high):
    """Known to a factor: nineteen times in twenty between low and high, a bell in the logarithm."""
    return np.exp(np.log(low * high) / 2 + np.log(high / low) / 4 * throw.standard_normal(COUNT))


@cache
def forces(feed, nose, kc, mc, kn, mn):
    """Cutting force, thrust and feed force over depth, nose alone in the cut, by adaptive integration along the arc."""
    def at(a):
        def h(phi):
            return max(min(nose + feed * np.sin(phi) - np.sqrt(nose**2 - (feed * np.cos(phi)) ** 2),
                           nose - (nose - a) / np.cos(phi)), 0.0)

        meet = np.clip(np.arctan2(np.sqrt(2 * nose * a - a * a) - feed, nose - a), -1.5, 1.5)
        ends = (-np.arcsin(feed / (2 * nose)), np.arccos(1 - a / nose))
        spans = ((ends[0], meet), (meet, ends[1])) if ends[0] < meet < ends[1] else (ends,)
        return [
            sum(integrate.quad(lambda p, w=w: w(h(p), p) * (nose - h(p) / 2), *span, limit=200)[0] for span in spans)
            for w in (
                lambda t, p: kc * t ** (1 - mc),
                lambda t, p: kn * t ** (1 - mn) * np.cos(p),
                lambda t, p: kn * t ** (1 - mn) * np.sin(p),
            )
        ]

    depths = np.concatenate([[1e-6], np.geomspace(2e-3, 0.9 * nose, 40)])
    table = np.array([at(a) for a in depths])
    return [PchipInterpolator(depths, table[:, i]) for i in (0, 1, 2)]


def settle(infeed, push, passes, feed=0.05, nose=0.4, floor=0.0):
    """What is left after each pass: depth + push(depth) = what stands in front, by bisection, for every throw.

    Where the chip would be thinner than `floor` at its thickest the edge rubs and takes nothing.
    """
    left = np.full(COUNT, float(infeed))
    for _ in range(passes):
        low, high = np.zeros(COUNT), left.copy()
        for _ in range(45):
            middle = (low + high) / 2
            over = middle + push(middle) > left
            low, high = np.where(over, low, middle), np.where(over, middle, high)
        chord = np.sqrt(2 * nose * low - low**2)
        chip = np.where(chord <= feed, low, nose - np.sqrt(nose**2 + feed**2 - 2 * feed * chord))
        left = np.where(chip >= floor, left - low, left)
    return left


def bar_in_holder(length, bar, modulus, nu, shift, tilt):
    """Movement of the tip by a side force of 1 N and by a moment of 1 N mm."""
    area, second = np.pi * bar**2 / 4, np.pi * bar**4 / 64
    shear = 6 * (1 + nu) / (7 + 6 * nu) * modulus / (2 * (1 + nu))
    side = length**3 / (3 * modulus * second) + length / (shear * area) + 1 / shift + length**2 / tilt
    return side, length**2 / (2 * modulus * second) + length / tilt


@cache
def unknowns(bar, low_force, high_force):
    """Steel bar in two screws: modulus, shift, tilt and the factor on the thrust. A bar over 6 mm sits in a bigger
    holder.
    """
    throw = dice(11)
    hold = {name: fact("holders", holder="two screws in a block", property=name) for name in ("stiffness", "rotation")}
    rule = {name: fact("bar_rules", name=name) for name in ("internal turning", "edge wear", "thrust")}
    steel = fact("bar_materials", bar_material="steel", property="E")
    factor = ratio(throw, low_force, high_force)
    for name in ("internal turning", "edge wear"):
        factor = factor * throw.uniform(rule[name].low, rule[name].high, COUNT)
    factor = factor * throw.uniform(rule["thrust"].low, rule["thrust"].high, COUNT)
    shift, tilt = (throw.uniform(hold[name].low, hold[name].high, COUNT) * (bar / 6) ** power
                   for name, power in (("stiffness", 0.5), ("rotation", 2.5)))
    return throw.uniform(steel.low, steel.high, COUNT), shift, tilt, factor


JOB = "the job told afresh and thrown with 40,000 dice"


@source(JOB, place="bore in front of a reamer, 8 mm bar 40 mm out", basis="hand")
def test_bored_in_front_of_the_reamer_by_dice():
    cut_as = tables.row("reaming_cut_as", material="carbon steel C45 / 1045")["cut_as"]
    _, thrust, _ = forces(0.05, 0.4, *(tables.row("kienzle", material=cut_as)[name] for name in KIENZLE))
    row = tables.row("kienzle", material=cut_as)
    modulus, shift, tilt, factor = unknowns(8.0, row["low"], row["high"])
    side, _ = bar_in_holder(
        40.0, 8.0, modulus, fact("bar_materials", bar_material="steel", property="nu").value, shift, tilt
    )
    error = -2 * settle(0.1, lambda a: factor * side * thrust(a), 2, floor=0.004)
    found = reamed_hole.bored_error(12.0, 8.0, 40.0, count=5000)
    agrees(
        "error",
        (found.value, found.low, found.high),
        np.quantile(error, [0.5, 0.05, 0.95]),
        rel=0.04,
        unit="mm",
        of=reamed_hole.bored_error,
    )


STEEL = "carbon steel C45 / 1045"


@cache
def reamed(stock):
    """Share that cuts, minimum chip and what opens (+) and closes (−) a hole of 10 mm at 0.15 of feed and 8 m/min; each
    written out anew.
    """
    throw, flat = dice(3), {}
    def span(table, **keys):
        return fact(f"reaming_{table}", **keys)

    for name, one in {
        "rounding": span("edges", edge="high-speed steel, freshly ground", property="r_n"),
        "ratio": span("edges", edge="any", property="chip_ratio"),
        "corner": span("reamers", reamer="machine", property="corner"),
        "follow": span("holding", holding="tailstock, held rigidly", property="follow"),
        "height": span("fluids", fluid="cutting oil", property="build_up"),
        "eager": span("materials", material=STEEL, property="build_up"),
        "spring": span("edges", edge="any", property="spring_back"),
        "blunt": span("edges", edge="any", property="push_length"),
        "land": span("edges", edge="any", property="land"),
        "push": span("materials", material=STEEL, property="push"),
        "rise": span("fluids", fluid="cutting oil", property="rise"),
    }.items():
        flat[name] = throw.uniform(one.low, one.high, COUNT)
    lead, teeth = (
        np.radians(span("reamers", reamer="machine", property="lead").value),
        span("reamers", reamer="machine", property="teeth").value,
    )
    modulus, nu, alpha = (fact("materials", material=STEEL, property=p).value for p in ("E", "nu", "alpha"))
    least, push_length = flat["rounding"] * flat["ratio"], flat["blunt"] * flat["rounding"]
    angle = np.minimum(lead, np.arccos(np.maximum(1 - stock / 2 / flat["corner"], 0)))
    edge = (
        flat["land"]
        + flat["corner"] * angle
        + np.maximum(stock / 2 - flat["corner"] * (1 - np.cos(lead)), 0) / np.sin(lead)
    )
    section = stock / 2 * 0.15 / teeth
    share = np.where(least <= stock / 2, section / (section + push_length * edge), 0)
    pressure = teeth * reamed_hole.STEEL_CHIP_FORCE * flat["push"] * push_length / (np.pi * 10)
    ring = pressure * 10 / modulus * ((20**2 + 10**2) / (20**2 - 10**2) + nu) * throw.uniform(0, 1, COUNT)
    moves = {"offset opens": 2 * 0.01 * flat["follow"] * share,
             "built-up edge opens": 2 * flat["height"] * flat["eager"] * share * (8 / 8) ** 0.3,
             "pressed layer springs back": -2 * flat["spring"] * least, "ring springs back": -ring,
             "cooling closes": -10 * alpha * flat["rise"]}
    return share, least, moves, sum(moves.values()) + throw.normal(0, 0.001, COUNT)


@source(JOB, place="Ø10 H7 in carbon steel, three stocks", basis="hand")
def test_hole_over_its_reamer_by_dice():
    """Offset and built-up edge open it; the pressed layer, the ring and the cooling close it."""
    stocks = np.array([0.05, 0.15, 0.3])
    middle = [np.quantile(reamed(stock)[-1], [0.05, 0.5, 0.95]) for stock in stocks]
    found = reamed_hole.over_against_stock(stocks, 10.0, count=100_000)   # 2,000 points are good to 0.3 µm
    agrees("over the reamer", found, np.transpose(middle), abs=2.5e-4, unit="mm", of=reamed_hole.over_against_stock)


@source(JOB, place="Ø10 H7 in carbon steel, 0.2 of stock", basis="hand")
def test_reamed_hole_field_by_field():
    """H7 at 10: 0 to 15 µm. Six teeth at 0.15 and 45°: 0.025·sin 45° = 17.678 µm a tooth."""
    share, least, moves, over = reamed(0.2)
    ends = [0.5, 0.05, 0.95]
    found = reamed_hole.ream(10.0, "H7", 0.009)

    def three(likely):
        return likely.value, likely.low, likely.high

    band = found.band   # DIN 1420: 15 − 0.15·15 rounded up to 3 is 12; less 0.35·15 rounded up to 6 is 6
    agrees("band and hole", (band.lower, band.upper, band.hole_lower, band.hole_upper), (0.006, 0.012, 0.0, 0.015),
           unit="mm", of=reamed_hole.ream)
    clear = reamed_hole.ream(10.0, "F7", 0.022).band   # ISO 286-2, F7 from 6 to 10 mm: 13 to 28 µm
    agrees("a hole clear of its size", (clear.hole_lower, clear.hole_upper), (0.013, 0.028), unit="mm",
           of=reamed_hole.ream)
    agrees("reamer", found.reamer, 0.009, unit="mm", of=reamed_hole.ream)
    agrees("hole", three(found.hole), np.quantile(0.009 + over, ends), abs=4e-4, unit="mm", of=reamed_hole.ream)
    agrees("share that cuts", three(found.cutting), np.quantile(share, ends), rel=0.02, of=reamed_hole.ream)
    agrees("least chip", three(found.least), np.quantile(least, ends), rel=0.03, unit="mm", of=reamed_hole.ream)
    agrees("chip of a tooth", found.chip, 0.0176777, rel=1e-4, unit="mm", of=reamed_hole.ream)
    agrees("what moves it", [name for name, _ in found.parts], list(moves), of=reamed_hole.ream)
    for (_, one), name in zip(found.parts, moves, strict=True):
        agrees(name, three(one), np.quantile(moves[name], ends), rel=0.04, abs=5e-5, unit="mm", of=reamed_hole.ream)
    agrees("chance", found.chance, ((0.009 + over >= 0) & (0.009 + over <= 0.015)).mean(), abs=0.02,
           of=reamed_hole.ream)
    # F7 at 10 is 13 to 28 µm
    tries = np.arange(0.005, 0.025, 0.0005)
    chances = np.array([((d + over >= 0.013) & (d + over <= 0.028)).mean() for d in tries])
    found = reamed_hole.ream(10.0, "F7", 0.02)
    agrees("best chance", found.best_chance, chances.max(), abs=0.015, of=reamed_hole.ream)
    # near its top the chance is flat: the middle of the reamers that are within a hundredth of the best
    agrees("best reamer", found.best, tries[chances > chances.max() - 0.01].mean(), abs=5e-4, unit="mm",
           of=reamed_hole.ream)


@pytest.mark.parametrize("tightness", ["gently", "hard"])
@source(JOB, place="two hands on the key", basis="hand")
def test_hand_on_the_key_by_dice(tightness):
    throw = dice(2)
    def span(what):
        found = fact("workholding_facts", what=what)
        return throw.uniform(found.low, found.high, COUNT)

    push = (
        2
        * np.pi
        * span(f"pull of each hand: {tightness}")
        * span("span of the key's bar")
        * span("turns of the key for one of the scroll")
        * span("share of the key's work that reaches the jaws")
        / span("jaw travel for one turn of the scroll")
    )
    ps = [0.05, 0.25, 0.5, 0.75, 0.95]
    agrees(
        "push", np.quantile(wh.hand_force(tightness), ps), np.quantile(push, ps), rel=0.03, unit="N", of=wh.hand_force
    )


@source("stops and zero thrown with dice", place="15 and 8 µm, four shoulders", basis="method")
def test_shoulders_by_dice():
    throw = dice(4)
    zero, stop = 0.015 * throw.standard_normal((4, COUNT * 10)), 0.008 * throw.standard_normal((4, COUNT * 10))
    agrees(
        "from one zero",
        stops.from_one_zero(0.015, 0.008),
        (zero[0] + stop[2]).std(),
        rel=5e-3,
        unit="mm",
        of=stops.from_one_zero,
    )
    agrees(
        "each from the last",
        stops.from_each_other(0.015, 0.008, 4),
        (zero + stop).sum(0).std(),
        rel=5e-3,
        unit="mm",
        of=stops.from_each_other,
    )
    agrees(
        "between two", stops.between_two(0.008), (stop[3] - stop[1]).std(), rel=5e-3, unit="mm", of=stops.between_two
    )


@pytest.mark.parametrize(
    ("way", "first", "last"), [(stops.ONE_ZERO, 0, 2), (stops.ONE_ZERO, 1, 3), (stops.EACH_OTHER, 0, 3)]
)
@source("touches and stops thrown with dice", place="shoulders at 12, 30 and 58", basis="method")
def test_chain_of_shoulders_by_dice(way, first, last):
    throw = dice(5)

    def one(kind, name):
        doubt, _ = stops.spread_of(kind, name)
        return (
            throw.uniform(-doubt.width, doubt.width, COUNT)
            if doubt.shape == "rectangular"
            else throw.normal(0, doubt.width, COUNT)
        )

    places = [0, 12.0, 30.0, 58.0]
    touch, stop = (lambda: one("touch", "ink")), (lambda: one("stop", "indicator on the carriage"))
    if way == stops.ONE_ZERO:
        wrong = stop() - (stop() if first else touch())
    else:
        wrong = sum(touch() + stop() for _ in range(first, last))
    found = stops.shoulder_chain([12.0, 30.0, 58.0], first, last, way)
    agrees("length", found.length, places[last] - places[first], abs=1e-9, unit="mm", of=stops.shoulder_chain)
    agrees(
        "low, high",
        np.array([found.low, found.high]) - found.length,
        np.quantile(wrong, [0.025, 0.975]),
        rel=0.04,
        abs=2e-4,
        unit="mm",
        of=stops.shoulder_chain,
    )


@source("cuts thrown with dice", place="two and three tries", basis="method")
def test_cutting_again_where_it_is_tight_by_dice():
    least, most, spread, doubt = 0.006, 0.022, 0.020, 0.004
    for plan in ([0.012, 0.016], [0.008, 0.012, 0.016]):
        throw, good, tight = dice(6), np.zeros(COUNT * 10, bool), np.ones(COUNT * 10, bool)
        for aim in plan:
            got = aim + throw.normal(0, np.hypot(spread, doubt) / 2, COUNT * 10)
            good |= tight & (got >= least) & (got <= most)
            tight &= got < least
        agrees("odds", fit_target.chance(plan, least, most, spread, doubt), good.mean(), abs=3e-3, of=fit_target.chance)


@source(
    "thrust integrated by scipy, the depth searched",
    place="work that gives 1 µm for 2 N, 20 µm of tolerance",
    basis="method",
)
def test_deepest_cut_on_soft_work():
    row = tables.row("kienzle", material="low-carbon steel")
    _, thrust, _ = forces(0.05, 0.4, *(row[name] for name in KIENZLE))
    depth = optimize.brentq(lambda a: 2 * 5e-4 * thrust(a) - 0.020, 1e-3, 0.35)
    agrees(
        "infeed",
        wb.deepest_cut(5e-4, 0.020, material="low-carbon steel"),
        depth + 0.010,
        rel=0.01,
        unit="mm",
        of=wb.deepest_cut,
    )


@source(
    "forces integrated by scipy; turns and work by hand", place="Ø20, 0.3 deep, feed 0.1, 355 turns", basis="hand"
)
def test_a_pass_planned():
    row = tables.row("kienzle", material="medium-carbon steel")
    middle = np.sqrt(row["low"] * row["high"])      # of both printed sets
    main = middle * forces(0.1, 0.4, *(row[name] for name in KIENZLE))[0](0.3)
    found = speeds.plan_cut("medium-carbon steel", "high-speed steel", 20.0, 40.0, 0.3, 0.1, 0.4, [355.0], speed=30.0)
    agrees("force", found.force.value, main, rel=0.01, unit="N", of=speeds.plan_cut)
    agrees("power", found.power.value, main * np.pi * 0.020 * 355 / 60 / 1000, rel=0.01, unit="kW", of=speeds.plan_cut)
    agrees("torque", found.torque.value, main * 10, rel=0.01, unit="N mm", of=speeds.plan_cut)
    agrees("time", found.seconds, 40 / (0.1 * 355) * 60, rel=1e-9, unit="s", of=speeds.plan_cut)


@source(
    "energy kept: power times time times share, over mass times specific heat",
    place="Ø20 by 60 of 42CrMo4",
    basis="hand",
)
def test_heat_of_a_pass():
    rho, cp, alpha = (
        fact("materials", material="42CrMo4 / 4140", property=p).value for p in ("density", "cp", "alpha")
    )
    found = pass_heat(20.0, 60.0, 0.0, 0.3, 0.1, 50.0, 60.0, 0.4, "42CrMo4 / 4140")
    # the edge meets Ø20 less 0.3 on the way round, the clock counts Ø20; the ridges it leaves are 0.35 % of the metal
    joules = found.share * found.power * found.seconds * (20 - 0.3) / 20
    rise = joules / (rho * cp * np.pi / 4 * 0.020**2 * 0.060)
    agrees("rise", found.rise, rise, rel=5e-3, unit="K", of=pass_heat)
    # section over the length of the chip's middle line, half its thickness inside the nose's arc
    phi = np.linspace(-np.arcsin(0.1 / 0.8), np.arccos(1 - 0.3 / 0.4), 100_001)
    h = np.maximum(np.minimum(0.4 + 0.1 * np.sin(phi) - np.sqrt(0.16 - (0.1 * np.cos(phi)) ** 2),
                              0.4 - 0.1 / np.cos(phi)), 0)
    agrees("mean chip", found.chip, (h * (0.4 - h / 2)).sum() / (0.4 - h / 2).sum(), rel=5e-3, unit="mm", of=pass_heat)
    agrees("growth", found.growth, 20 * alpha * rise, rel=5e-3, unit="mm", of=pass_heat)
    agrees("time", found.seconds, np.pi * 20 * 50 / (0.1 * 60e3) * 60, rel=1e-9, unit="s", of=pass_heat)


def surfaces(feed, nose=0.4, speed=150.0):
    """Rz and Ra of a steel surface by dice: the marks times what real ones come out rougher, plus what a round edge
    rubs.
    """
    throw = dice(7)
    drawn = {name: (lambda f: throw.uniform(f.low, f.high, COUNT))(fact("cutting_rules", rule=rule)) for name, rule in
             (("ratio", "least_chip_ratio"), ("factor", "finish_steel"), ("spread", "rz_over_ra"))}
    hone = surface_finish.edge("carbide, honed and coated")
    least = drawn["ratio"] * throw.uniform(hone.low, hone.high, COUNT)
    held = np.maximum(feed, np.sqrt(nose * least / 2 * 2) / 2)
    marks = nose - np.sqrt(nose**2 - feed**2 / 4)
    rz = marks * drawn["factor"] + least / 2 * (1 + nose * least / held**2)
    return rz, rz / drawn["spread"], least


@source(JOB, place="medium-carbon steel, honed carbide, 400 m/min: too fast for a built-up edge", basis="hand")
def test_finish_by_dice():
    for feed in (0.08, 0.15, 0.25):
        rz, ra, _ = surfaces(feed)
        found = surface_finish.finish(
            "medium-carbon steel", "carbide, honed and coated", feed, 0.4, 400.0, wanted_ra=0.002
        )
        ps = [0.5, 0.05, 0.95]
        agrees(
            "Rz",
            (found.rz.value, found.rz.low, found.rz.high),
            np.quantile(rz, ps),
            rel=0.03,
            unit="mm",
            of=surface_finish.finish,
        )
        agrees(
            "Ra",
            (found.ra.value, found.ra.low, found.ra.high),
            np.quantile(ra, ps),
            rel=0.03,
            unit="mm",
            of=surface_finish.finish,
        )
        agrees("odds of Ra 2 µm", found.chance, (ra <= 0.002).mean(), abs=0.03, of=surface_finish.finish)
        curve = surface_finish.finish_curve(
            "medium-carbon steel", "carbide, honed and coated", 0.4, 400.0, feeds=[feed]
        )
        agrees(
            "curve",
            (curve.middle[0], curve.promised[0]),
            np.quantile(ra, [0.5, 0.9]),
            rel=0.04,
            unit="mm",
            of=surface_finish.finish_curve,
        )
    for wanted in (0.005, 0.008):   # the library looks along steps of 3.5 % and takes the finer one
        by_dice = optimize.brentq(lambda f, ra=wanted: np.quantile(surfaces(f)[1], 0.9) - ra, 0.12, 0.5, xtol=1e-5)
        agrees(
            "coarsest feed that meets Ra nine in ten",
            surface_finish.feed_for(wanted, "medium-carbon steel", "carbide, honed and coated", 0.4, 400.0),
            by_dice,
            rel=0.045,
            unit="mm",
            of=surface_finish.feed_for,
        )


@source(JOB, place="honed carbide, 0.05 deep, feed 0.05", basis="hand")
def test_sharpness_by_dice():
    found = surface_finish.sharpness("carbide, honed and coated", 0.05, 0.05, 0.4)
    least = surfaces(0.05)[2]
    agrees(
        "minimum chip thickness",
        (found.least_chip.value, found.least_chip.low, found.least_chip.high),
        np.quantile(least, [0.5, 0.05, 0.95]),
        rel=0.03,
        unit="mm",
        of=surface_finish.sharpness,
    )
    chord = np.sqrt(2 * 0.4 * 0.05 - 0.05**2)
    thickest = 0.4 - np.sqrt(0.4**2 + 0.05**2 - 2 * 0.05 * chord)
    agrees("thickest", found.thickest, thickest, rel=0.01, unit="mm", of=surface_finish.sharpness)
    agrees("odds that it cuts", found.cuts, (least <= thickest).mean(), abs=0.02, of=surface_finish.sharpness)
