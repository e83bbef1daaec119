"""Batches of like parts told afresh, part by part, with numpy's own dice; the worn flank drawn as a polygon."""

from types import SimpleNamespace

import numpy as np
import pytest
from scipy import stats

from outside import agrees, claim, source
from springpass.core.spread import likely
from springpass.cutting import wear
from springpass.job import batch as b
from springpass.job.results import Cause, Share, SizeBudget


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_the_wear_of_one_part():
    """Ø20, 60 long, feed 0.05: π x 20 x 60/0.05 = 75 398 mm. Land 0.3 mm in 900 s at 60 m/min: 0.3 mm in 900 m,
    1/3 µm/m; at half the speed and n = 0.25, (1/2)³ of it, 1/24 µm/m. Land 0.1 mm at 7°: 2 x 0.1 x 0.12278 = 24.56 µm.
    """
    agrees("length cut", wear.cut_length(20, 60, 0.05), 75398, abs=1, unit="mm", of=wear.cut_length)
    agrees("wear at the table's speed", wear.wear_rate(0.3, 900, 60, 60, 0.25), 1 / 3e6, rel=1e-9, of=wear.wear_rate)
    agrees("wear at half of it", wear.wear_rate(0.3, 900, 60, 30, 0.25), 1 / 24e6, rel=1e-9, of=wear.wear_rate)
    agrees("drift", wear.size_drift(0.1, 7), 0.024557, abs=1e-6, unit="mm", of=wear.size_drift)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_a_tool_of_high_speed_steel():
    """Medium-carbon steel at the table's 33 m/min, an hour's life, 0.3 mm: 1980 m, so 0.15152 µm/m. 75.398 m a part:
    11.424 µm of land, 2 x 11.424 x tan 7° = 2.8054 µm a part; from 0.03 to 0.3 mm it is 0.27/0.011424 = 23.63 parts.
    """
    found = wear.wear("medium-carbon steel", "high-speed steel", 20, 60, 0.05, 33, 7)
    agrees("drift a part", found.drift, 2.8054e-3, rel=1e-4, unit="mm", of=wear.wear)
    agrees("parts in a life", found.life, 23.63, abs=0.01, of=wear.wear)
    agrees("land", found.rate * found.length, 0.011424, rel=1e-4, unit="mm", of=wear.wear)


@source("a wedge drawn and its worn land measured", place="rake 0 and 15°, clearance 5 to 12°", basis="method")
@pytest.mark.parametrize(("clearance", "rake", "within"), [(5, 0, 1e-9), (7, 0, 1e-9), (12, 0, 1e-9), (7, 15, 0.035)])
def test_the_edge_moves_back_by_the_land(clearance, rake, within):
    """Rake face and flank as lines from the edge; the land is vertical. Where it leaves both is searched for."""
    a, g, land = np.radians(clearance), np.radians(rake), 0.1
    low, high = 0.0, 1.0
    for _ in range(80):   # how far back, so that the land between rake face and flank is as high as it should be
        back = (low + high) / 2
        height = back / np.tan(a) - back * np.tan(g)
        low, high = (back, high) if height < land else (low, back)
    agrees("drift", wear.size_drift(land, clearance), 2 * back, rel=within or 1e-9, unit="mm", of=wear.size_drift)


def simulated(rng, runs, count, tolerance, drift, scatter, reading, setting, interval, sign, offset, hour=0.0,
              seconds=0.0, time=1.0):
    """One batch after the other, one part after the other, in plain sentences of Python."""
    half = tolerance / 2
    room = max(half - stats.norm.ppf(0.95) * np.sqrt(scatter**2 + reading**2), 0)
    start = -sign * room / 2 if offset else 0.0
    good = corrections = 0
    for _ in range(runs):
        dial, bad = start + setting * rng.normal(), False
        way = rng.uniform(-1, 1) if hour else 0.0
        for part in range(count):
            worn = sign * drift * part
            warm = way * hour * (1 - np.exp(-part * seconds / time)) / (1 - np.exp(-3600 / time))
            size = dial + worn + warm + scatter * rng.normal()
            bad |= abs(size) > half
            if (part + 1) % interval == 0 and part + 1 < count:
                shown = size + reading * rng.normal()
                if sign * shown > room / 2 or sign * shown < -room:
                    dial += start - shown + setting * rng.normal()
                    corrections += 1
        good += not bad
    return good / runs, corrections / runs


@source("the same batch told afresh, numpy's dice", place="20 000 batches each", basis="hand")
@pytest.mark.parametrize("how", [
    {"count": 10, "tolerance": 0.021, "drift": 0.0012, "scatter": 0.002, "reading": 0.001, "setting": 0.0015,
     "interval": 3, "sign": 1, "offset": True},
    {"count": 10, "tolerance": 0.021, "drift": 0.0012, "scatter": 0.0025, "reading": 0.001, "setting": 0.0015,
     "interval": 1, "sign": -1, "offset": False},
    {"count": 25, "tolerance": 0.03, "drift": 0.001, "scatter": 0.003, "reading": 0.0015, "setting": 0.002,
     "interval": 7, "sign": -1, "offset": True},
])
def test_the_chance_that_all_are_good(how):
    theirs, corrections = simulated(np.random.default_rng(7), 20_000, **how)
    ours = b.batch(how["count"], how["tolerance"], how["drift"], how["scatter"], how["reading"], how["setting"],
                   how["interval"], sign=how["sign"], offset=how["offset"])
    agrees("chance that all are good", ours.chance, theirs, abs=0.045, of=b.batch)   # 1000 batches: 3 x 1.5 %
    agrees("corrections", ours.corrections, corrections, rel=0.06, of=b.batch)
    other = simulated(np.random.default_rng(8), 20_000, **how | {"offset": not how["offset"]})[0]
    agrees("chance with the other start", ours.other, other, abs=0.045, of=b.batch)


@source("the same batch told afresh, numpy's dice", place="a lathe that warms up", basis="hand")
def test_the_chance_while_the_lathe_warms_up():
    how = {"count": 8, "tolerance": 0.02, "drift": 0.0003, "scatter": 0.0015, "reading": 0.001, "setting": 0.001,
           "interval": 4, "sign": 1, "offset": False}
    theirs = simulated(np.random.default_rng(3), 20_000, **how, hour=0.02, seconds=600, time=1800)[0]
    way = 2 * (np.arange(b.BATCHES) + 0.5) / b.BATCHES - 1
    ours = b.batch(8, 0.02, 0.0003, 0.0015, 0.001, 0.001, 4, warm=0.02 * way, seconds=600, offset=False)
    agrees("chance that all are good", ours.chance, theirs, abs=0.045, of=[b.batch, b.warmed])
    agrees("moved in an hour", b.warmed(0.012, 3600, 1800), 0.012, rel=1e-9, of=b.warmed)
    agrees("moved in ten minutes", b.warmed(0.012, 600, 1800), 0.012 * 0.28347 / 0.86466, rel=1e-4, of=b.warmed)


@source("normal distribution, scipy", place="no wear: each part by itself", basis="method")
def test_without_wear_the_closed_form():
    ours = b.batch(6, 0.02, 0.0, 0.004, 0.0, 0.0, 6, offset=False)
    agrees("chance that all are good", ours.chance, (1 - 2 * stats.norm.sf(2.5)) ** 6, abs=0.024, of=b.batch)
    agrees("90 % range", ours.high - ours.low, 2 * 1.645 * 0.004, rel=0.12, of=b.batch)
    made = b.rule(0.02, 0.003, 0.004)
    agrees("room", made.room, 0.01 - 1.6449 * 0.005, rel=1e-3, of=b.rule)
    agrees("start", made.start, -made.room / 2, rel=1e-9, of=b.rule)


@source("normal distribution, scipy", place="throws of the virtual batches", basis="method")
def test_the_throws_are_normal_and_independent():
    found = b.throws(40, 1000, 9)
    agrees("mean and spread", (found.mean(), found.std()), (0, 1), abs=0.02, of=b.throws)
    claim("normal by Kolmogorov and Smirnov", stats.kstest(found.ravel(), "norm").pvalue > 0.01, of=b.throws)
    apart = np.corrcoef(found) - np.eye(40)
    claim("rows lean on each other no more than dice do", np.abs(apart).max() < 4.2 / np.sqrt(1000), of=b.throws)


def budget(name, low, high, aim, shared, own, rng):
    shares = (Share(Cause.ROOM, "", 0.0, shared, shared * rng.normal(size=4000)),
              Share(Cause.READING, "", 0.0, own, own * rng.normal(size=4000)))
    size = aim + shares[0].samples + shares[1].samples
    return SizeBudget(name, name, "size", 1, aim, low, high, aim, shares, likely(size), 0.5, "")


@source("the same parts thrown afresh, numpy's dice", place="two sizes, what is shared and what is each part's own",
        basis="hand")
def test_the_chance_that_all_parts_of_a_plan_are_good():
    rng = np.random.default_rng(1)
    sizes = [budget("seat", 19.987, 20.0, 19.9945, 0.002, 0.0025, rng),
             budget("bore", 10.0, 10.015, 10.0075, 0.003, 0.002, rng)]
    dice = np.random.default_rng(2)
    good = np.ones(40_000, bool)
    for low, high, aim, shared, own in ((19.987, 20.0, 19.9945, 0.002, 0.0025), (10.0, 10.015, 10.0075, 0.003, 0.002)):
        common = aim + shared * dice.normal(size=40_000)
        for _ in range(5):
            size = common + own * dice.normal(size=40_000)
            good &= (size >= low) & (size <= high)
    agrees("chance that five are good", b.all_good(sizes, 5), good.mean(), abs=0.02, of=b.all_good)
    claim("one is likelier than five", b.all_good(sizes, 1) > b.all_good(sizes, 5) > b.all_good(sizes, 1) ** 5)


@source("the same parts thrown afresh, numpy's dice", place="one size in two like cuts, and in one go",
        basis="hand")
def test_a_plan_for_many():
    """In two like cuts the bending is each part's own; in one go it is the same for all of the batch."""
    rng = np.random.default_rng(6)
    bends = 0.003 * rng.normal(size=4000)
    one = (Share(Cause.WORK_BENDS, "", 0.0, 0.003, bends), Share(Cause.ROOM, "", 0.0, 0.001, np.zeros(4000)))
    sizes = (SizeBudget("seat", "seat", "size", 1, 20, 19.993, 20.007, 20, one, likely(20 + bends), 0.98, ""),)
    alone = 1 - 2 * stats.norm.sf(7 / 3)
    for trial, theirs in ((True, alone**6), (False, alone)):
        plan = SimpleNamespace(budgets=sizes, odds=0.9 * alone, count=6, settings=SimpleNamespace(trial=trial))
        agrees("chance that six are good, with one setup in ten that chatters", b.of_plan(plan), 0.9 * theirs,
               abs=0.012, of=b.of_plan)
