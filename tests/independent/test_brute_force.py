"""Brute force: surfaces traced, chips counted, teeth followed, every combination tried."""

import itertools

import numpy as np
import pytest
from scipy import stats

from outside import agrees, claim, source
from springpass import cutting, drilling, reaming, stops
from springpass.core import tables
from springpass.core.quantity import Refused
from springpass.cutting import chips, speeds
from springpass.job.bayes import Scatter, learn_scatter
from springpass.stops import gauge_blocks


def traced(feed, nose, minor=None, points=200_001):
    """Height and mean roughness of what a tool leaves that comes by again and again, one feed apart.

    The tool's outline is a circle that runs into a straight minor edge at the angle `minor`; the surface
    is the lower envelope of all its passes.
    """
    x = np.linspace(-feed, feed, points)
    surface = np.full_like(x, np.inf)
    for pass_ in range(-4, 5):
        at = x - pass_ * feed
        with np.errstate(invalid="ignore"):
            tool = nose - np.sqrt(nose**2 - at**2)
        tool = np.where(np.abs(at) > nose, np.inf, tool)
        if minor is not None:
            k = np.radians(minor)
            edge = nose * (1 - np.cos(k)) + (-at - nose * np.sin(k)) * np.tan(k)
            tool = np.where(at < -nose * np.sin(k), edge, tool)
        surface = np.minimum(surface, tool)
    one = (x >= 0) & (x < feed)
    z = surface[one]
    return z.max() - z.min(), np.abs(z - z.mean()).mean()


@pytest.mark.parametrize(
    ("feed", "nose"), [(0.05, 0.4), (0.1, 0.2), (0.3, 0.4), (0.02, 0.8), (0.35, 0.2), (0.4, 0.4), (0.36, 0.2)])
@source("surface traced point by point", basis="method")
def test_arc_marks_traced(feed, nose):
    height, mean = traced(feed, nose)
    got = cutting.roughness(feed, nose)
    agrees("rt", got.rt, height, rel=1e-6, of=cutting.roughness)
    agrees("ra", got.ra, mean, rel=1e-6, of=cutting.roughness)   # a parabola's mean is off by 5 % at f = r


@pytest.mark.parametrize(
    ("feed", "nose", "minor"),
    [(0.2, 0.2, 5), (0.3, 0.4, 10), (0.15, 0.1, 30), (0.25, 0.2, 15), (0.1, 0.4, 3), (0.1, 0.2, 32)],
)
@source("surface traced point by point", basis="method")
def test_minor_edge_traced(feed, nose, minor):
    height, mean = traced(feed, nose, minor)
    got = cutting.roughness(feed, nose, minor_angle=minor)
    agrees("rt", got.rt, height, rel=3e-5, of=cutting.roughness)  # the sharp peak falls between two points of the trace
    agrees("ra", got.ra, mean, rel=1e-4, of=cutting.roughness)


@source("surface of the arc alone", basis="method")
def test_minor_edge_smooths():
    # past the chord the straight edge cuts the peak off: never higher than the arc alone
    for feed in np.linspace(0.02, 0.35, 12):
        claim("roughness, rt",
              cutting.roughness(feed, 0.2, minor_angle=8).rt <= cutting.roughness(feed, 0.2).rt * (1 + 1e-12),
              of=cutting.roughness)


def swept(depth, feed, nose, kappa, n=2400):
    """Area of the uncut chip on a fine grid: inside the tool now, not a turn ago, below the old surface."""
    kappa = np.radians(kappa)

    def in_tool(x, y):  # tip at (0, 0), nose centre (0, nose), main edge to the right, tangent at kappa
        in_nose = np.hypot(x, y - nose) <= nose
        tx, ty = nose * np.sin(kappa), nose * (1 - np.cos(kappa))
        beyond = (x - tx) * np.cos(kappa) + (y - ty) * np.sin(kappa) >= 0
        left_of_edge = (x - tx) * np.sin(kappa) - (y - ty) * np.cos(kappa) <= 0
        right_of_centre = x >= 0
        return in_nose | (beyond & left_of_edge & right_of_centre) | ((x <= 0) & (x >= -nose) & (y >= nose))

    x = np.linspace(-nose, nose + depth / np.tan(min(kappa, 1.5)) + feed + 0.1, n)
    y = np.linspace(0, depth, n)
    gx, gy = np.meshgrid((x[1:] + x[:-1]) / 2, (y[1:] + y[:-1]) / 2)
    cut = in_tool(gx, gy) & ~in_tool(gx + feed, gy)
    return cut.sum() * (x[1] - x[0]) * (y[1] - y[0])


@pytest.mark.parametrize(
    ("depth", "feed", "nose", "kappa"),
    [
        (0.1, 0.05, 0.4, 90),
        (0.3, 0.1, 0.4, 90),
        (0.5, 0.2, 0.8, 90),
        (0.05, 0.15, 0.8, 90),
        (0.5, 0.1, 0.4, 75),
    ],
)
@source("uncut chip counted on a grid", basis="method")
def test_area_by_counting(depth, feed, nose, kappa):
    agrees("nose forces, area", cutting.nose_forces(depth, feed, nose, kappa).area, swept(depth, feed, nose, kappa),
           rel=0.01, of=cutting.nose_forces)


@source("turn by turn", basis="hand")
def test_a_pass_turn_by_turn():
    # walk the carriage one turn at a time
    feed, length, turns_a_minute = 0.08, 40.0, 355.0
    at, seconds = 0.0, 0.0
    while at < length - 1e-9:
        at += feed
        seconds += 60 / turns_a_minute
    agrees("time in cut", speeds.time_in_cut(length, feed, turns_a_minute), seconds, rel=1e-9, unit="s",
           of=speeds.time_in_cut)


@source("circles drawn point by point", basis="method")
def test_clean_up_by_drawing_the_circles():
    """Lay the drilled circle off the axis and find the farthest point of its wall."""
    turn = np.linspace(0, 2 * np.pi, 100_001)
    x, y = 0.078 + 9.3 / 2 * np.cos(turn), 9.3 / 2 * np.sin(turn)
    agrees(
        "smallest clean bore",
        drilling.smallest_clean_bore(9.3, 0.078),
        2 * np.hypot(x, y).max(),
        abs=1e-9,
        unit="mm",
        of=drilling.smallest_clean_bore,
    )


@source("the balance of forces at every angle, circle fitted", basis="method")
def test_boring_copies_a_share_by_going_round_the_bore():
    """A bar on a spring bores an eccentric hole: at every angle find the force's balance, then fit the circle left."""
    compliance, stiffness, offset, infeed = 0.8e-3, 300.0, 0.06, 0.25
    turn = np.linspace(0, 2 * np.pi, 720, endpoint=False)
    wall = -offset * np.cos(turn)            # the old wall, from its mean radius
    for passes in (1, 2, 3):
        dialled = passes * infeed
        # tip at u: force K (u - wall), bar gives way by C times that, u = dialled - C K (u - wall)
        wall = (dialled + compliance * stiffness * wall) / (1 + compliance * stiffness)
        left = -2 * np.mean(wall * np.cos(turn))
        share = drilling.copy_share(compliance, stiffness)
        agrees("offset after", drilling.offset_after(offset, share, passes), left, rel=1e-9, unit="mm",
               of=drilling.offset_after)


@source("every drill tried", basis="hand")
def test_largest_drill_by_trying_them_all():
    bore, depth, start, drift = 9.8, 32.0, 0.05, 0.002
    off = start + drift * depth
    fits = [d for d in drilling.DRILLS if d + {True: 0.15240, False: 0.127}[d > 6.35] + 2 * off + 0.2 <= bore]
    agrees("largest drill", drilling.largest_drill(bore, depth, start, drift), max(fits), of=drilling.largest_drill)


@source("likelihood times prior summed over a grid", basis="method")
def test_mean_and_scatter_against_a_sum_over_a_grid():
    """The likelihood times the prior, summed over mean and scatter, gives the same mean, spread and scatter."""
    y = np.array([0.011, 0.014, 0.009, 0.016])
    prior = Scatter(0.008, 1.0, 3.0, 0.008)
    after = learn_scatter(prior, y)
    mean, sd = np.meshgrid(
        np.linspace(-0.06, 0.08, 1401), np.exp(np.linspace(np.log(4e-4), np.log(0.3), 900)), indexing="ij"
    )
    log = (
        stats.norm.logpdf(y[:, None, None], mean, sd).sum(0)
        + stats.norm.logpdf(mean, prior.mean, sd / np.sqrt(prior.weight))
        + stats.invgamma.logpdf(sd**2, prior.dof / 2, scale=prior.dof * prior.sd**2 / 2)
        + 2 * np.log(sd)
    )  # the grid runs in log(sd)
    weight = np.exp(log - log.max())
    weight /= weight.sum()
    agrees("weight sum", (weight * mean).sum(), after.mean, rel=2e-3)
    along = weight.sum(1).cumsum() - weight.sum(1) / 2   # a cell's middle has half of the cell below it
    agrees("", np.interp([0.05, 0.95], along, mean[:, 0]), after.mean_range(), rel=5e-3)
    of_sd = weight.sum(0).cumsum() - weight.sum(0) / 2
    agrees("", np.interp([0.05, 0.95], of_sd, sd[0]), after.sd_range(), rel=1e-2)


SMALL = (1.0, 1.005, 1.01, 1.02, 1.05, 1.1, 1.3, 2.0, 3.0, 5.0, 10.0)


def every_sum(sizes):
    fewest = {}
    for count in range(1, len(sizes) + 1):
        for pick in itertools.combinations(sizes, count):
            fewest.setdefault(round(sum(pick) * 10_000), count)
    return fewest


@source("every combination of blocks", basis="method")
def test_fewest_for_every_length_of_a_small_set():
    fewest = every_sum(SMALL)
    made = 0
    for place in range(50, 279_000, 50):
        length = place / 10_000
        if place in fewest:
            stack = stops.gauge_stack(length, SMALL)
            agrees("number of stack", len(stack), fewest[place], of=stops.gauge_stack)
            assert set(stack) <= set(SMALL) and len(set(stack)) == len(stack) and abs(sum(stack) - length) < 1e-9
            made += 1
    assert made > 800


@source("every combination of blocks", basis="method")
def test_what_cannot_be_made_is_refused_and_the_nearest_is_the_nearest():
    fewest = np.array(sorted(every_sum(SMALL)))
    for length in (0.2, 1.015, 1.5, 4.127, 7.777, 11.2345, 25.4, 40.0):
        gap = np.abs(fewest - length * 10_000).min()
        assert gap > 1e-6   # none of these can be made
        with pytest.raises(Refused, match="nearest"):
            stops.gauge_stack(length, SMALL)
        near = stops.gauge_stack(length, SMALL, nearest=True)
        agrees("", abs(near.off), gap / 10_000, abs=1e-9, of=stops.gauge_stack)
        claim("exact", not near.exact, of=stops.gauge_stack)


@pytest.mark.parametrize("name", ["112", "88", "46", "32"])
@source("every pair and triple of a set", basis="method")
def test_no_three_blocks_where_four_are_given(name):
    """Every pair and triple of a whole set: where they make the length, the search must not give more."""
    box = gauge_blocks.gauge_set(name)
    whole = np.array([round(size * 10_000) for size in box.sizes])
    one, two = set(whole.tolist()), {int(a + b) for a, b in itertools.combinations(whole, 2)}
    dice = np.random.default_rng(3)
    for place in dice.integers(12_000, 600_000, 60):
        length = int(place) // 10 * 10 / 10_000
        target = round(length * 10_000)
        try:
            stack = stops.gauge_stack(length, box)
        except Refused:
            claim("target", target not in one | two, of=gauge_blocks.gauge_set)
            continue
        three = any(target - int(a) in two for a in whole)   # may use a block twice, so it only bounds from below
        if target in one:
            agrees("number of stack", len(stack), 1, of=stops.gauge_stack)
        elif target in two:
            agrees("number of stack", len(stack), 2, of=stops.gauge_stack)
        elif not three:
            claim("number of stack", len(stack) >= 4, of=stops.gauge_stack)
        assert len(set(stack)) == len(stack) and round(sum(stack) * 10_000) == target


def teeth_by_brute_force(
    chip: float, runout: float, teeth: int, floor: float, lead: float
) -> tuple[float, float, float, int]:
    """One tooth after another over 240 turns, with nothing but the surface's place kept."""
    surface, taken = 0.0, []   # a smooth surface
    for n in range(240 * teeth):
        tip = n * chip + runout * np.cos(np.radians(lead)) * np.cos(2 * np.pi * (n % teeth) / teeth)
        if tip - surface >= floor - 1e-12:
            taken.append((n, n % teeth, tip - surface))
            surface = tip
    late = [t for t in taken if t[0] >= 90 * teeth]
    chips = np.array([t[2] for t in late])
    return len(late) / (150 * teeth), chips.mean(), chips.max(), len({t[1] for t in late})


@source("tooth after tooth over 240 turns", basis="method")
def test_teeth_against_brute_force():
    dice = np.random.default_rng(3)
    for _ in range(60):
        teeth = int(dice.integers(2, 13))
        chip, runout = float(dice.uniform(2, 25)) * 1e-3, float(dice.choice([0, dice.uniform(0, 30)])) * 1e-3
        floor, lead = float(dice.uniform(0, 12)) * 1e-3, float(dice.choice([1.5, 30, 45]))
        fraction, mean, largest, count = teeth_by_brute_force(chip, runout, teeth, floor, lead)
        found = reaming.teeth_cutting(chip, runout, teeth, floor, lead)
        agrees("fraction", found.fraction, fraction, rel=2e-2, of=reaming.teeth_cutting)
        agrees("mean chip", found.mean_chip, mean, rel=2e-2, of=reaming.teeth_cutting)
        agrees("max chip", found.max_chip, largest, rel=1e-9, abs=1e-12, of=reaming.teeth_cutting)
        agrees("teeth", found.teeth, count, of=reaming.teeth_cutting)


@source("columns between two profiles", basis="method")
def test_corner_chip_against_sums_over_a_fine_grid():
    """Area between two profiles one feed apart, column by column."""
    dice = np.random.default_rng(5)
    for _ in range(10):
        stock, step = float(dice.uniform(0.01, 0.4)), float(dice.uniform(0.003, 0.08))
        corner, lead = float(dice.uniform(0.01, 0.3)), float(dice.uniform(5, 60))
        kappa = np.radians(lead)
        x = np.linspace(-step, stock / np.tan(kappa) + corner, 100_001)

        def profile(x, corner=corner, kappa=kappa):
            arc = corner - np.sqrt(corner**2 - np.clip(x, 0, corner * np.sin(kappa)) ** 2)
            return arc + np.maximum(x - corner * np.sin(kappa), 0) * np.tan(kappa)

        low, high = np.minimum(profile(x), stock / 2), np.minimum(profile(x + step), stock / 2)
        area = float(np.trapezoid(high - low, x))
        slope = np.gradient(profile(x), x)
        cut = profile(x) < stock / 2
        found = reaming.corner_chip(stock, step, corner, lead)
        agrees("area", found.area, area, rel=1e-4, of=reaming.corner_chip)
        agrees(
            "max", found.max, float(((high - low) / np.sqrt(1 + slope**2))[cut].max()), rel=2e-3, of=reaming.corner_chip
        )
        agrees(
            "edge", found.edge, float(np.trapezoid(np.sqrt(1 + slope**2) * cut, x)), rel=1e-3, of=reaming.corner_chip
        )


@pytest.mark.parametrize("length", [58.345, 41.27, 9.4])
@source("every single block and pair tried", place="set of 112, dial of 25 mm", basis="method")
def test_block_and_dial_by_trying_them_all(length):
    """The fewest blocks that bring the rest within the dial's travel: none or one will do for these, and the two add
    up.
    """
    sizes = np.array(gauge_blocks.gauge_set("112").sizes)
    fewest = 0 if length <= 25 else 1 if ((length - sizes >= 0) & (length - sizes <= 25)).any() else 2
    first = gauge_blocks.split(length)[0]
    agrees("blocks", len(first.blocks), fewest, of=gauge_blocks.split)
    agrees("together", sum(first.blocks) + first.dial, length, abs=1e-9, unit="mm", of=gauge_blocks.split)


CELLS = ((14, 14), (20, 18), (24, 20), (10, 22), (18, 16), (26, 20), (23, 22))   # of the map; chips break in some


@source(
    "feeds and depths told afresh with dice", place="medium-carbon steel, nose 0.4, with a breaker", basis="method"
)
def test_window_of_chips_by_dice():
    """A chip breaks where its curl strains it enough and the cut lies in the window of slenderness, feed and depth."""
    throw, count = np.random.default_rng(9), 40_000
    rule = {
        name: tables.fact("cutting_rules", rule=name)
        for name in (
            "slender_low",
            "slender_high",
            "feed_over_nose_low",
            "feed_over_nose_high",
            "depth_over_nose_low",
            "curl_radius",
            "break_strain",
        )
    }
    d = {name: throw.uniform(one.low, one.high, count) for name, one in rule.items()}
    thick = chips.thickening("medium-carbon steel")
    t, snap = throw.uniform(thick.low, thick.high, count), d["break_strain"]
    found = chips.window_map(0.4)
    # the corners of the map by hand: feeds of 0.01 to 0.99 of one and a half noses, depths of 0.02 to 3 mm
    agrees(
        "corners",
        (found.feed[0], found.feed[-1], found.depth[0], found.depth[-1]),
        (0.01, 0.594, 0.02, 3.0),
        rel=1e-9,
        unit="mm",
        of=chips.window_map,
    )
    full = [(i, j) for i, j in CELLS if found.breaks[i, j] > 0.3]
    claim("cells in which chips break", len(full) >= 4, of=chips.window_map)
    for i, j in CELLS:
        depth, feed = found.depth[i], found.feed[j]
        if depth > 0.4:   # past the nose the chip of a straight edge at 90° is as thick as the feed
            chip = feed
        else:
            chord = np.sqrt(2 * 0.4 * depth - depth**2)
            chip = depth if chord <= feed else 0.4 - np.sqrt(0.4**2 + feed**2 - 2 * feed * chord)
        right = (
            (t * chip / (2 * d["curl_radius"]) >= snap)
            & (depth / feed >= d["slender_low"])
            & (depth / feed <= d["slender_high"])
        )
        right &= (
            (feed / 0.4 >= d["feed_over_nose_low"])
            & (feed / 0.4 <= d["feed_over_nose_high"])
            & (depth / 0.4 >= d["depth_over_nose_low"])
        )
        agrees("odds", found.breaks[i, j], right.mean(), abs=0.06, of=chips.window_map)
