"""Cutting's answers field by field: what is not known thrown with dice by numpy, the rest by hand."""

import numpy as np

from outside import agrees, claim, source
from springpass.core import tables
from springpass.cutting import chips, speeds, surface_finish, wear

COUNT = 100_000
ENDS = [0.5, 0.05, 0.95]
DICE = "thrown with dice by numpy, in plain formulas"


def thrown(throw, table="cutting_rules", **keys):
    one = tables.fact(table, **keys)
    return throw.uniform(one.low, one.high, COUNT)


def three(likely):
    return likely.value, likely.low, likely.high


@source(DICE, place="medium-carbon steel, 0.8 deep, feed 0.2, nose 0.4", basis="hand")
def test_window_of_one_cut():
    """Past the nose the chip of an edge at 90° is as thick as the feed: 0.2 mm, thickened 1.8 to 3.2 times."""
    throw = np.random.default_rng(2)
    found = chips.chip_window(0.8, 0.2, 0.4)
    thick = 0.2 * thrown(throw, "chip_habits", material="medium-carbon steel", property="chip_thickening")
    strain = thick / (2 * thrown(throw, rule="curl_radius"))
    snap = thrown(throw, rule="break_strain")
    flat, fed, deep = 4.0, 0.5, 2.0
    right = [
        (flat >= thrown(throw, rule="slender_low")) & (flat <= thrown(throw, rule="slender_high")),
        (fed >= thrown(throw, rule="feed_over_nose_low")) & (fed <= thrown(throw, rule="feed_over_nose_high")),
        deep >= thrown(throw, rule="depth_over_nose_low"),
        strain >= snap,
    ]
    agrees("breaks", found.breaks, np.all(right, axis=0).mean(), abs=0.02, of=chips.chip_window)
    agrees("chances of the sides", [one.chance for one in found.checks], [one.mean() for one in right], abs=0.02,
           of=chips.chip_window)
    agrees("where it stands", [one.value for one in found.checks], [flat, fed, deep, np.median(strain)], rel=0.02,
           of=chips.chip_window)
    middle = {name: tables.fact("cutting_rules", rule=name).value for name in (
        "slender_low", "slender_high", "feed_over_nose_low", "feed_over_nose_high", "depth_over_nose_low")}
    agrees("from", [one.low for one in found.checks], [middle["slender_low"], middle["feed_over_nose_low"],
           middle["depth_over_nose_low"], np.median(snap)], rel=0.02, of=chips.chip_window)
    agrees("to", [one.high for one in found.checks[:2]], [middle["slender_high"], middle["feed_over_nose_high"]],
           rel=1e-9, of=chips.chip_window)


@source("how chips of the trade's metals fall", place="brass in crumbs, steel by a breaker, stainless in ribbons",
        basis="common practice")
def test_how_chips_fall():
    for material, how in (("brass leaded", 0), ("medium-carbon steel", 1), ("austenitic stainless steel", 2)):
        agrees(material, chips.chip_window(0.8, 0.2, 0.4, material).stringiness, how, of=chips.chip_window)


@source(DICE, place="Ø20, 30 long, 0.5 deep, feed 0.1", basis="hand")
def test_heap_by_dice():
    """300 turns of 62.83 mm are 18 850 mm of cut, shortened 1.8 to 3.2 times; 942.48 mm³ of metal."""
    throw = np.random.default_rng(3)
    found = chips.heap(20.0, 30.0, 0.5, 0.1)
    long = 18849.56 / thrown(throw, "chip_habits", material="medium-carbon steel", property="chip_thickening")
    agrees("string", three(found.length), np.quantile(long, ENDS), rel=0.01, unit="mm", of=chips.heap)
    for said, rule in ((found.tangled, "bulk_string"), (found.broken, "bulk_short")):
        agrees(rule, three(said), np.quantile(942.478 * thrown(throw, rule=rule), ENDS), rel=0.02, unit="mm³",
               of=chips.heap)


@source("counted on the lathe's list of speeds", place="45 63 90 125 180 250 355 500", basis="hand")
def test_steps_counted():
    """30 m/min on Ø25: 30 000/78.540 = 381.97 turns, so 355 (27.882 m/min), nearer than 500 (39.270 m/min) above.

    37 m/min: 471.1 turns; 500 above is nearer than 355. 3 m/min on Ø25: 38.2 turns, and even 45 is faster.
    """
    plate = "45 63 90 125 180 250 355 500"
    found = speeds.choose_step(30.0, 25.0, plate)
    agrees("above", (found.above, found.above_speed), (500.0, 39.270), rel=1e-4, of=speeds.choose_step)
    claim("355 is nearer", not found.nearest_is_above and not found.too_fast, of=speeds.choose_step)
    claim("500 is nearer", speeds.choose_step(37.0, 25.0, plate).nearest_is_above, of=speeds.choose_step)
    claim("45 is too fast", speeds.choose_step(3.0, 25.0, plate).too_fast, of=speeds.choose_step)
    cut = speeds.plan_cut("medium-carbon steel", "high-speed steel", 25.0, 40.0, 0.3, 0.1, lathe=plate, speed=37.0)
    agrees("in a plan", (cut.step.wanted, cut.step.chosen, cut.step.speed, cut.step.above, cut.step.above_speed),
           (471.10, 355.0, 27.882, 500.0, 39.270), rel=1e-4, of=speeds.plan_cut)
    claim("in a plan 500 is nearer", cut.step.nearest_is_above and not cut.step.too_fast, of=speeds.plan_cut)


@source(DICE, place="Ø20 bored, 0.3 deep, feed 0.1, 355 turns", basis="hand")
def test_load_of_a_pass():
    """355 turns on Ø20 are 22.305 m/min or 371.75 mm/s; 0.3 × 0.1 of metal: 11.153 mm³ a second, 11.152 and the ridges
    the nose leaves. A motor of 0.2 kW gives 30·10⁶·0.2·η/(π·355) = 5379.9·η N mm at the spindle.

    The table's speeds for steel and high-speed steel are 27 to 40 m/min: 22.3 lies below them.
    """
    throw = np.random.default_rng(4)
    row = tables.row("kienzle", material="medium-carbon steel")
    # by Kienzle piece by piece: h over the arc from half a feed behind the lowest point to the surface
    r, f, a = 0.4, 0.1, 0.3
    phi = np.linspace(-np.arcsin(f / (2 * r)), np.arccos(1 - a / r), 200_001)
    h = np.maximum(np.minimum(r + f * np.sin(phi) - np.sqrt(r**2 - (f * np.cos(phi)) ** 2), r - (r - a) / np.cos(phi)),
                   0)
    width = (r - h / 2) * (phi[1] - phi[0])
    scatter = np.exp(np.log(row["low"] * row["high"]) / 2
                     + np.log(row["high"] / row["low"]) / 4 * throw.standard_normal(COUNT))
    force = (row["kc11"] * h ** (1 - row["mc"]) * width).sum() * scatter * thrown(throw, rule="internal")
    drive = thrown(throw, rule="drive_efficiency")
    found = speeds.plan_cut("medium-carbon steel", "high-speed steel", 20.0, 40.0, a, f, r, [355.0], 0.2, 30.0, True)
    agrees("force", three(found.force), np.quantile(force, ENDS), rel=0.02, unit="N", of=speeds.plan_cut)
    agrees("power", three(found.power), np.quantile(force * 0.37175 / 1000, ENDS), rel=0.02, unit="kW",
           of=speeds.plan_cut)
    agrees("torque", three(found.torque), np.quantile(force * 10, ENDS), rel=0.02, unit="N mm", of=speeds.plan_cut)
    agrees("available", three(found.available), np.quantile(5379.9 * drive, ENDS), rel=0.01, unit="N mm",
           of=speeds.plan_cut)
    agrees("load of the motor", three(found.load), np.quantile(force * 0.37175e-3 / drive, ENDS), rel=0.02, unit="kW",
           of=speeds.plan_cut)
    tight = speeds.plan_cut("medium-carbon steel", "high-speed steel", 20.0, 40.0, a, f, r, [355.0], 0.055, 30.0, True)
    agrees("enough", tight.enough, (force * 10 <= 1479.47 * drive).mean(), abs=0.02, of=speeds.plan_cut)
    agrees("removal", found.removal, 11.1526, rel=1e-4, unit="mm³/s", of=speeds.plan_cut)
    agrees("area", found.chip_area, (h * width).sum(), rel=2e-3, unit="mm²", of=speeds.plan_cut)
    claim("slower than the table", not found.inside, of=speeds.plan_cut)
    claim("in the table", speeds.plan_cut("medium-carbon steel", "high-speed steel", 25.0, 40.0, a, f, r, [400.0],
          speed=33.0).inside, of=speeds.plan_cut)


@source(DICE, place="steel, honed carbide, nose 0.4, feed 0.15", basis="hand")
def test_finish_field_by_field():
    """Arcs of 0.4 one feed of 0.15 apart: 0.4 − √(0.16 − 0.005625) = 7.094 µm; their mean deviation summed."""
    throw, r, f = np.random.default_rng(8), 0.4, 0.15
    hone = surface_finish.edge("carbide, honed and coated")
    least = thrown(throw, rule="least_chip_ratio") * throw.uniform(hone.low, hone.high, COUNT)
    x = (np.arange(200_000) + 0.5) / 200_000 * f - f / 2
    arc = r - np.sqrt(r**2 - x**2)
    rubbed = least / 2 * (1 + r * least / f**2)
    rz = arc.max() * thrown(throw, rule="finish_steel") + rubbed
    ra = rz / thrown(throw, rule="rz_over_ra")
    found = surface_finish.finish("medium-carbon steel", "carbide, honed and coated", f, r, 400.0)
    agrees("marks", (found.ideal, found.ideal_ra), (arc.max(), np.abs(arc - arc.mean()).mean()), rel=1e-4, unit="mm",
           of=surface_finish.finish)
    agrees("rubbed", three(found.rubbed), np.quantile(rubbed, ENDS), rel=0.02, unit="mm", of=surface_finish.finish)
    # by Brammertz Rt = f²/8r + h/2 (1 + r h/f²) is least where f⁴ = 4 r² h²
    agrees("best feed", three(found.best_feed), np.quantile(np.sqrt(2 * r * least), ENDS), rel=0.02, unit="mm",
           of=surface_finish.finish)
    curve = surface_finish.finish_curve("medium-carbon steel", "carbide, honed and coated", r, 400.0, feeds=[f])
    agrees("curve on paper", curve.ideal[0], np.abs(arc - arc.mean()).mean(), rel=1e-4, unit="mm",
           of=surface_finish.finish_curve)
    agrees("curve", (curve.low[0], curve.high[0]), np.quantile(ra, [0.05, 0.95]), rel=0.04, unit="mm",
           of=surface_finish.finish_curve)


@source(DICE, place="honed carbide, 0.05 deep, feed 0.05, nose 0.4", basis="hand")
def test_how_sharp_field_by_field():
    throw, r, f, a = np.random.default_rng(9), 0.4, 0.05, 0.05
    hone = surface_finish.edge("carbide, honed and coated")
    least = thrown(throw, rule="least_chip_ratio") * throw.uniform(hone.low, hone.high, COUNT)

    def chip(phi, depth):
        return np.maximum(np.minimum(r + f * np.sin(phi) - np.sqrt(r**2 - (f * np.cos(phi)) ** 2),
                                     r - (r - depth) / np.cos(phi)), 0)

    phi = np.linspace(-np.arcsin(f / (2 * r)), np.arccos(1 - a / r), 20_001)
    covered = np.sort(chip(phi, a))
    share = 1 - np.searchsorted(covered, least) / covered.size
    # the lightest depth: the chip's thickest place, drawn, reaches the least
    depths = np.linspace(1e-4, 0.3, 3000)
    along = [chip(np.linspace(-np.arcsin(f / (2 * r)), np.arccos(1 - d / r), 1501), d).max() for d in depths]
    lightest = np.interp(least, along, depths)
    found = surface_finish.sharpness("carbide, honed and coated", a, f, r)
    agrees("share that cuts", three(found.cutting_share), np.quantile(share, ENDS), abs=0.01,
           of=surface_finish.sharpness)
    agrees("lightest", three(found.lightest), np.quantile(lightest, ENDS), rel=0.03, unit="mm",
           of=surface_finish.sharpness)


@source("the table's row", place="land after the break-in", basis="own rows")
def test_land_after_the_break_in():
    land = tables.fact("wear", tool="any", property="first").value
    found = wear.wear("medium-carbon steel", "high-speed steel", 20, 60, 0.05, 33, 7)
    agrees("first", found.first, land, unit="mm", of=wear.wear)


@source("how chips of the trade's metals fall", place="leaded brass", basis="common practice")
def test_brass_falls_in_crumbs_all_over_the_map():
    """Its chip snaps at once: at 0.2 of feed, wherever the depth lies, it breaks."""
    found = chips.window_map(0.4, "brass leaded")
    agrees("breaks", found.breaks[:, np.abs(found.feed - 0.2).argmin()], np.ones(found.depth.size), abs=0.02,
           of=chips.window_map)
