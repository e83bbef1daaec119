"""Why a plan is as it is: what bends, what a later cut releases, how the bar holds, how the bores come about; each told
afresh with beams, dice and the drawing."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import integrate, optimize

from outside import agrees, claim, source
from springpass.job import bore_ways, part, planning, setups, shop_entries, tools
from springpass.job.drafting import Draft
from springpass.job.results import FAR, NEAR, BarGivesWay, ReamerCutsOver, WorkGivesWay

COUNT = 20_000


def plan(name="drive_sleeve", shop=None, **settings):
    """A plan of its own, with nothing kept from another: the shop is a new one."""
    return planning.plan(part.demo(name), replace(shop or tools.default_shop()), **settings)


def reason(made, kind, surface):
    return next(o.reason for o in made.operations if isinstance(o.reason, kind) and o.surface == surface)


def arc(depth, feed, nose, weigh):
    """A sum over the nose in the cut: chip to the groove of the turn before, or to the surface before the cut."""
    def chip(p):
        groove = nose + feed * np.sin(p) - np.sqrt(nose**2 - (feed * np.cos(p)) ** 2)
        return max(min(groove, nose - (nose - depth) / np.cos(p)), 0.0)

    meet = np.arctan2(np.sqrt(2 * nose * depth - depth**2) - feed, nose - depth)
    first, last = -np.arcsin(feed / (2 * nose)), np.arccos(1 - depth / nose)
    spans = ((first, meet), (meet, last)) if first < meet < last else ((first, last),)
    return sum(integrate.quad(lambda p: weigh(chip(p), p), *span)[0] for span in spans)


def thrust(depth, feed, nose, kn, mn):
    """N, by Kienzle's law."""
    return arc(depth, feed, nose, lambda h, p: kn * h ** (1 - mn) * np.cos(p) * (nose - h / 2))


# how the tables know the forces: steel to 0.8 to 1.55 times, hardened aluminium to 0.75 to 1.3; an edge's wear to 1 to
# 1.3, thrust to 0.75 to 1.35, a fifth more in a bore (1.1 to 1.3)
def force_factor(throw, low, high):
    def ratio(a, b):
        return np.sqrt(a * b) * np.exp(np.log(b / a) / 4 * throw.standard_normal(COUNT))

    return ratio(low, high) * throw.uniform(1.0, 1.3, COUNT) * np.exp(
        np.log(1.35 / 0.75) / 4 * throw.standard_normal(COUNT))


@source("a shaft on two springs by the unit load method, numpy's dice", place="the small seat between centres",
        basis="method")
def test_the_small_seat_gives_way():
    """Between centres 85 apart: large seat Ø20 bored Ø10 by 32, collar Ø23, thread Ø17.88, seat Ø15.4 while it is cut
    by 0.1 at 0.08 a turn, nose 0.4.
    """
    throw = np.random.default_rng(5)
    z = (np.arange(1700) + 0.5) / 20
    outside = np.select([z < 40, z < 46, z < 60], [20.0, 23.0, 17.884], 15.4)
    inertia = np.pi / 64 * (outside**4 - np.where(z < 32.05, 10.0, 0.0) ** 4)
    area = np.pi / 4 * (outside**2 - np.where(z < 32.05, 10.0, 0.0) ** 2)
    modulus = throw.uniform(200e3, 210e3, COUNT)
    head, tail = throw.uniform(10e3, 50e3, COUNT), throw.uniform(5e3, 20e3, COUNT)
    factor, gives = force_factor(throw, 0.8, 1.55), []
    push = thrust(0.1, 0.08, 0.4, 600, 0.4)
    for at in np.linspace(60, 85, 5):
        bow = np.where(z < at, z * (85 - at), at * (85 - z)) / 85
        shear = np.where(z < at, (85 - at) / 85, at / 85)
        own = (bow**2 / inertia).sum() / 20 + 2 * 1.29 * (1.13 * shear**2 / area).sum() / 20
        give = own / modulus + (1 - at / 85) ** 2 / head + (at / 85) ** 2 / tail
        less = 1 - give * factor * push / 0.1     # what gives way is not cut
        gives.append(2 * give * factor * push * (1 - 0.7 * (1 - less)))
    found = reason(plan(), WorkGivesWay, "small seat").error
    agrees("larger by", found, np.median(np.mean(gives, 0)), rel=0.04, unit="mm", of=planning.plan)


@source("a cantilever on springs, its balance with the thrust by a root finder",
        place="the housing's bar, 17.5 of 16 mm steel", basis="method")
def test_the_bar_of_the_housing_gives_way():
    """Holder 15 000 to 60 000 N/mm and 8 to 40 e6 N mm/rad for a shank of 6, and more for 16: by the powers 0.5 and
    2.5. What is left, 0.2 µm, is thinner than the 4 µm that an edge cuts: the spring pass takes nothing.
    """
    throw = np.random.default_rng(6)
    out, across, nose, feed = 17.5, 16.0, 0.4, 0.05
    inertia, area = np.pi * across**4 / 64, np.pi * across**2 / 4

    def known(low, high):
        return np.sqrt(low * high) * np.exp(np.log(high / low) / 4 * throw.standard_normal(COUNT))

    shift, tilt = known(15e3, 60e3) * (16 / 6) ** 0.5, known(8e6, 40e6) * (16 / 6) ** 2.5
    give = out**3 / (3 * 205e3 * inertia) + out * 2.58 * 1.13 / (205e3 * area) + 1 / shift + out**2 / tilt
    give = np.median(give * force_factor(throw, 0.75, 1.3) * throw.uniform(1.1, 1.3, COUNT))
    left = optimize.brentq(lambda left: give * thrust(0.1 - left, feed, nose, 290, 0.45) - left, 0, 0.05)
    found = reason(plan("bearing_housing"), BarGivesWay, "bearing seat").error
    agrees("smaller by", found, -2 * left, rel=0.05, unit="mm", of=planning.plan)


TUBE = """
name = "tube"
material = "bronze CuSn8"
length = {0}
[blank]
diameter = 30
length = 70
condition = "bronze, cast"
[[surface]]
name = "outside"
kind = "outside"
diameter = 28
from = 0
to = {0}
[[surface]]
name = "bore"
kind = "bore"
diameter = 12.5
limits = [-0.1, 0.1]
from = 0
to = {0}
"""


@source("the trade's rule: no plain steel bar beyond 5.3 to 7.3 diameters", place="a stiff and well damped holder, "
        "wide limits: nothing else can fail", basis="hand")
@pytest.mark.parametrize("length", [41, 45, 48])
def test_how_likely_the_bar_stays_quiet(length):
    """Out by the bore, 0.5 through it and 3 for the holder: 44.5, 48.5 and 51.5 of Ø8."""
    shop, sure = tools.default_shop(), shop_entries.MEASURED
    holder = replace(shop.holder, stiffness=shop_entries.known(1e6, 0.9e6, 1.1e6, sure),
        rotation=shop_entries.known(1e10, 0.9e10, 1.1e10, sure), damping=shop_entries.known(0.4, 0.35, 0.45, sure))
    made = planning.plan(part.read_text(TUBE.format(length)), replace(shop, holder=holder))
    bar = reason(made, BarGivesWay, "bore")
    agrees("slenderness", bar.slenderness, (length + 3.5) / 8, rel=1e-6, of=planning.plan)
    agrees("chance", bar.chance, (7.3 - (length + 3.5) / 8) / 2, abs=0.012, of=planning.plan)


@source("what this shop's reamed holes taught", place="6 µm over the reamer", basis="hand")
def test_a_reamer_of_which_the_holes_are_known():
    shop = tools.default_shop()
    learned = {"reamer oversize": shop_entries.known(0.006, 0.004, 0.008, shop_entries.MEASURED)}
    found = reason(plan(shop=replace(shop, learned=learned)), ReamerCutsOver, "bore")
    agrees("over its size", found.error, 0.006, rel=1e-9, unit="mm", of=planning.plan)


@source("stress of the bar integrated over its section, Lamé's ring, numpy's dice",
        place="the sleeve's large seat turned, then bored", basis="method")
def test_what_the_other_order_would_move():
    """Cold drawn steel Ø24: 150 to 400 MPa along at the skin, 0.5 to 0.8 of it around, rising with the power 1.5 to 4.
    Turned to Ø20, then the core Ø10 taken out: the ring loses the core's pull and its push outwards. A piece shorter
    than three diameters moves 0.2 to 1.5 times as far.
    """
    throw, count = np.random.default_rng(8), 10_000
    along = throw.uniform(150, 400, (count, 1))
    around = along * throw.uniform(0.5, 0.8, (count, 1))
    m, n = throw.uniform(1.5, 4, (2, count, 1))
    modulus, nu = throw.uniform(200e3, 210e3, count), throw.uniform(0.28, 0.3, count)
    r = (np.arange(240) + 0.5) / 20      # to 12
    pull = r**m / 12**m
    pull = pull - (pull * r).sum(1, keepdims=True) / r.sum()           # in balance over the section
    pull = along * pull / pull[:, -1:]
    hoop = r**n / 12**n
    hoop = hoop - hoop.mean(1, keepdims=True)                          # in balance from the middle to the skin
    hoop = around * hoop / hoop[:, -1:]
    across = np.cumsum(hoop, 1) / 20 / (r + 0.025)                      # what the hoop stress within holds
    kept, core = r < 10, r < 5
    pull = pull - (pull * r * kept).sum(1, keepdims=True) / (r * kept).sum()
    push = across[:, 99] - across[:, 199]                              # at 5, with the skin at 10 bare
    force = (2 * np.pi * pull * r * core).sum(1) / 20
    rise = force / (np.pi * (10**2 - 5**2))
    strain = (push * 2 * 5**2 / (10**2 - 5**2) - nu * rise) / modulus
    moved = np.percentile(20 * strain * throw.uniform(0.2, 1.5, count), (5, 50, 95))
    made = plan()
    first, other = made.orders
    agrees("moved", (other.moved.low, other.moved.value), moved[:2], rel=0.045, unit="mm", of=planning.plan)
    agrees("moved at the most", other.moved.high, moved[2], abs=6e-5, unit="mm", of=planning.plan)
    agrees("whose size", (first.surface, other.surface), ("bore", "large seat"), of=planning.plan)
    agrees("its tolerance", (first.tolerance, other.tolerance), (0.015, 0.013), abs=1e-9, unit="mm", of=planning.plan)
    claim("the bore comes first: what it would move is more than a tenth of 13 µm", first.chosen and not other.chosen,
          of=planning.plan)
    agrees("order", made.order, "bore, then finish the outside", of=planning.plan)


@source("worked by hand", place="bored length over outside: the housing 14/62, the bush 20/18, the sleeve 32/20",
        basis="hand")
def test_bores_too_short_for_a_long_bar():
    agrees("housing", plan("bearing_housing").short, (14 / 62,), rel=1e-9, of=planning.plan)
    agrees("bush", plan("bush").short, (20 / 18,), rel=1e-9, of=planning.plan)
    agrees("sleeve", plan().short, (32 / 20,), rel=1e-9, of=planning.plan)


# ---- how the bores come about ----------------------------------------------------------------------


def ways(name, end, split):
    """The bores of one end, planned on a draft that nothing has been cut of."""
    shop = replace(tools.default_shop())
    whole = part.demo(name)
    side = setups.sides(whole, split)[0 if end == NEAR else 1]
    draft = Draft.begin(setups.routes(whole, shop, planning.Settings())[0])
    return bore_ways.plan_bores(draft, side)


@source("worked by hand", place="from the drawing and the list of tools", basis="hand")
def test_how_the_bores_come_about():
    """Sleeve: blind and flat, 10 by 32 +0.1, so to 32.05; Ø9, flat Ø9.7, bar Ø6 out 32.05 + 3, reamer. Bush: through
    12 by 20, the reamer 2 past it; Ø11, bar Ø8 out 25. Housing: through 42 by 14, half a millimetre past it, bar Ø16
    out 17.5, Ø25.
    """
    for name, split, wanted in (
            ("drive_sleeve", 40.0, (32.05, False, True, 9.0, 9.7, False, "6 mm carbide bar", 35.05,
                "10 mm H7 machine reamer", 9.9)),
            ("bush", 20.0, (20.0, True, False, 11.0, None, False, "8 mm steel bar", 25.0, "12 mm H7 machine reamer",
                11.9)),
            ("bearing_housing", 14.0, (14.0, True, False, 25.0, None, False, "16 mm steel bar", 17.5, None, 42.0))):
        way = ways(name, NEAR, split)[0]
        found = (round(way.inner, 6), way.through, way.blind, way.drill, way.flat, way.faced, way.bar.name,
                 round(way.stickout, 6), way.reamer and way.reamer.name, round(way.before, 6))
        agrees("inner end, through, blind, drills, faced, bar, its stickout, reamer, bored to", found, wanted,
               of=bore_ways.plan_bores)


@source("the sleeve's drawing", place="parted behind its collar and before it", basis="hand")
def test_the_two_sides_of_the_sleeve():
    """From the near end inwards: large seat to 40; from the far end: small seat, thread. The bore opens at the near
    end. The collar 40 to 46 goes with the side that the split leaves it to.
    """
    for split, near, far in ((46.0, ("large seat", "collar"), ("small seat", "thread")),
            (40.0, ("large seat",), ("small seat", "thread", "collar"))):
        sides = setups.sides(part.demo(), split)
        agrees("ends", tuple(s.end for s in sides), (NEAR, FAR), of=setups.sides)
        agrees("outsides", tuple(tuple(s.name for s in side.outs) for side in sides), (near, far), of=setups.sides)
        agrees("bores", tuple(tuple(s.name for s in side.bores) for side in sides), (("bore",), ()), of=setups.sides)
        agrees("turned so far", tuple(s.split for s in sides), (split, split), unit="mm", of=setups.sides)


@source("the sleeve's drawing", place="its sizes with limits, in their order", basis="hand")
def test_sizes_of_the_virtual_parts():
    """h6 at 20: −13 to 0; j6 at 15: −3 to +8, true to the seat within 0.02; H7 at 10: 0 to +15, 32 deep to 0.1."""
    made = planning.virtual_parts(plan(), 400)
    agrees("sizes", made.surfaces, ("large seat", "small seat", "small seat run-out", "bore", "bore depth"),
           of=planning.virtual_parts)
    limits = ((19.987, 20.0), (14.997, 15.008), (0.0, 0.02), (10.0, 10.015), (32.0, 32.1))
    inside = np.all([(row >= low) & (row <= high) for row, (low, high) in zip(made.sizes, limits, strict=True)], 0)
    claim("good ones lie within the drawing's limits", (inside | ~made.good).all(), of=planning.virtual_parts)
