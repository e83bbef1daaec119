"""The judgement of a stickout told afresh: unknowns thrown with dice, chatter from a sweep over the frequency or from a
time simulation, spring passes from a cut made turn by turn."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy import integrate, optimize, signal

from outside import agrees, claim, source
from springpass import boring_bar
from springpass.boring_bar import Setup, cut_sound, stickout, vibration
from springpass.core import tables
from springpass.cutting import forces

COUNT = 20_000
FEED, NOSE, KAPPA, DEPTH, LEAST = 0.05, 0.4, np.radians(93.0), 0.1, 0.004
JOB = "the judge's job told afresh, its unknowns drawn by numpy, thrust integrated by scipy"


def fact(table, **keys):
    return tables.fact(table, **keys)


def rule(name):
    return fact("bar_rules", name=name)


def ratio(throw, low, high):
    """Known to a factor: nineteen times in twenty between low and high, a bell in the logarithm."""
    return np.exp(
        np.log(low * high) / 2 + np.log(high / low) / 4 * throw.standard_normal(COUNT)
    )


def chip(phi, a):
    """Uncut chip at an angle from the radial direction: to the last groove, or to the surface before the cut."""
    groove = NOSE + FEED * np.sin(phi) - np.sqrt(NOSE**2 - (FEED * np.cos(phi)) ** 2)
    return max(min(groove, NOSE - (NOSE - a) / np.cos(phi)), 0.0)


def ends(a):
    meet = np.clip(
        np.arctan2(np.sqrt(2 * NOSE * a - a * a) - FEED, NOSE - a), -1.5, 1.5
    )
    first, last = -np.arcsin(FEED / (2 * NOSE)), np.arccos(1 - a / NOSE)
    return ((first, meet), (meet, last)) if first < meet < last else ((first, last),)


def along(a, weigh):
    return sum(
        integrate.quad(lambda p: weigh(chip(p, a), p), *span, limit=300)[0]
        for span in ends(a)
    )


@cache
def steel():
    row = tables.row("kienzle", material="medium-carbon steel")
    return row["kn11"], row["mn"]


@cache
def thrust(a):
    kn, mn = steel()
    return along(a, lambda h, p: kn * h ** (1 - mn) * np.cos(p) * (NOSE - h / 2))


@cache
def share(a):
    """Share of the chip's area that is thicker than h_min, h_min having a bell of 0.2 in its logarithm."""
    from scipy.stats import norm

    whole = along(a, lambda h, p: h * (NOSE - h / 2))
    return (
        along(
            a,
            lambda h, p: (
                h * (NOSE - h / 2) * norm.cdf(np.log(max(h, 1e-12) / LEAST) / 0.2)
            ),
        )
        / whole
    )


@source(JOB, place="share of the chip that is cut", basis="hand")
def test_share_of_the_chip_that_is_cut():
    depths = (0.005, 0.01, 0.02, 0.05, 0.1)
    agrees(
        "share",
        forces.share_cut(np.array(depths), FEED, NOSE, 93.0, LEAST),
        [share(a) for a in depths],
        abs=0.002,
        of=forces.share_cut,
    )


def turned(compliance, left, passes):
    """Passes made turn by turn: the tip swings into place on its spring, each turn meets what the last one left."""
    mass, damping = 1e-5, 0.3  # any will do: only where it comes to rest counts
    grid = np.geomspace(1e-5, 0.11, 120)
    force, cut = (
        np.array([thrust(float(a)) for a in grid]),
        np.array([share(float(a)) for a in grid]),
    )
    kept = []
    for _ in range(passes):
        k = 1 / compliance
        rub = 2 * damping * np.sqrt(k * mass)

        def swing(t, y, k=k, rub=rub, left=left):
            a = max(left - y[0], 0.0)
            return [
                y[1],
                (np.interp(a, grid, force, left=0.0) - rub * y[1] - k * y[0]) / mass,
            ]

        end = 40 * np.sqrt(mass / k) / damping
        rest = integrate.solve_ivp(
            swing, (0, end), [0.0, 0.0], method="LSODA", rtol=1e-8, atol=1e-10
        ).y[0, -1]
        a = left - rest
        left = left - a * np.interp(a, grid, cut)
        kept.append(left)
    return kept


@pytest.mark.parametrize("compliance", [1e-4, 3e-4, 8e-4, 2e-3])
@source(
    "a tip on a spring that swings into its place, pass after pass", basis="hand"
)
def test_passes_of_smooth_onset_against_a_time_simulation(compliance):
    found = boring_bar.smooth_passes(DEPTH, FEED, NOSE, compliance, "medium-carbon steel", 3, LEAST)
    left = turned(compliance, DEPTH, 3)
    agrees("left", found.left, left, rel=0.03, unit="mm", of=boring_bar.smooth_passes)
    agrees("removed", found.removed, -np.diff([DEPTH, *left]), rel=0.03, abs=2e-4, unit="mm",
           of=boring_bar.smooth_passes)


@source("the same two passes from two stocks, 1 % apart, each settled by scipy's root finder", basis="method")
def test_what_smooth_passes_copy_of_uneven_stock():
    def passes(left):
        for _ in range(2):
            a = optimize.brentq(lambda a, left=left: a + 2e-3 * thrust(a) - left, 1e-7, left)
            left = left - a * share(a)
            yield left

    less, more = (np.array(list(passes(a))) for a in (0.995 * DEPTH, 1.005 * DEPTH))
    found = boring_bar.smooth_passes(DEPTH, FEED, NOSE, 2e-3, "medium-carbon steel", 2, LEAST).copied
    agrees("copied", found, (more - less) / (0.01 * DEPTH), rel=0.03, of=boring_bar.smooth_passes)


@cache
def slopes(depth):
    """Stiffness of the whole cut, its share that the last turn left, and the edge in the cut: for chatter."""
    kn, mn = steel()

    def part(span):
        return integrate.quad(
            lambda p: (
                (1 - mn) * kn * max(chip(p, depth), 1e-9) ** -mn * np.cos(p) ** 2 * NOSE
            ),
            *span,
            limit=300,
        )[0]

    spans = ends(depth)
    whole = sum(part(span) for span in spans)
    return whole, part(spans[0]) / whole, sum(b - a for a, b in spans) * NOSE


def told(setup, flank=True):
    """(good, error, side, omega, quiet, well, share, c) of a job in every throw: the same story in plain formulas.

    well: size, quiet and slim one by one; share: of the holder in the give; c: compliance times force factor.

    Chatter by sweeping the frequency for the least limit of one mode, the flank's rubbing included.
    """
    throw = np.random.default_rng(7)
    bar, out, depth = setup.bar_diameter, setup.stickout, setup.infeed
    made_of = {
        p: fact("bar_materials", bar_material=setup.bar_material, property=p)
        for p in ("E", "nu", "density")
    }
    held = {
        p: fact("holders", holder=setup.holder, property=p)
        for p in ("stiffness", "rotation", "damping")
    }
    e = throw.uniform(made_of["E"].low, made_of["E"].high, COUNT)
    nu, rho = made_of["nu"].value, made_of["density"].value * 1e-12
    shift = (
        ratio(throw, held["stiffness"].low, held["stiffness"].high) * (bar / 6) ** 0.5
    )
    tilt = (
        ratio(throw, held["rotation"].low, held["rotation"].high)
        * (bar / 6) ** 2.5
        / (0.5 + 0.5 * 205e3 / e)
    )
    zeta = ratio(throw, held["damping"].low, held["damping"].high)
    row = tables.row("kienzle", material="medium-carbon steel")
    force = ratio(throw, row["low"], row["high"])
    inside, wear = (
        throw.uniform(rule(n).low, rule(n).high, COUNT)
        for n in ("internal turning", "edge wear")
    )
    push = np.exp(
        np.log(rule("thrust").high / rule("thrust").low)
        / 4
        * throw.standard_normal(COUNT)
    )
    slope, rubs = (
        ratio(throw, rule(n).low, rule(n).high)
        for n in ("regenerating share", "process damping")
    )
    like = throw.uniform(
        rule("like cuts").low, rule("like cuts").high, COUNT
    ) * throw.standard_normal(COUNT)
    slim = throw.uniform(rule("plain bar").low, rule("plain bar").high, COUNT) * (
        made_of["E"].value / 205e3
    ) ** (1 / 3)
    # springs at the tip: bending, shear (Cowper), holder; less what the feed force pulls back at the tip's offset
    inertia, area = np.pi * bar**4 / 64, np.pi * bar**2 / 4
    shear = 2 * (1 + nu) * (7 + 6 * nu) / (6 * (1 + nu)) / area
    side = out**3 / (3 * e * inertia) + out * shear / e + 1 / shift + out**2 / tilt
    kn, mn = steel()
    feed_force = along(
        depth, lambda h, p: kn * h ** (1 - mn) * np.sin(p) * (NOSE - h / 2)
    )
    pull = 0.6 * bar * (out**2 / (2 * e * inertia) + out / tilt)
    c = (side - pull * feed_force / thrust(depth)) * force * inside * wear * push
    grow = (thrust(1.01 * depth) - thrust(0.99 * depth)) / (0.02 * depth)
    error = 2 * like * c * thrust(depth) / (1 + c * grow)
    # one swinging mass, from the shape of the loaded bar cut into many short pieces
    x = (np.arange(200) + 0.5) / 200 * out
    bent = (3 * out * x**2 - x**3) / (6 * inertia) + shear * x
    shape = (bent[:, None] / e + 1 / shift + x[:, None] * out / tilt) / side
    mass = rho * area * out / 200 * (shape**2).sum(0)
    k, omega = 1.0302 / side, np.sqrt(1 / (side * mass * 1.0302))
    # the flank's rubbing: its land presses on the surface it has just left, up to the wave where that is greatest
    whole, overlap, edge = slopes(depth)
    land, v = 0.08 * np.sqrt(rubs / 611), setup.speed * 1000 / 60
    turn = omega * land / v
    most = optimize.minimize_scalar(lambda z: -(1 - np.cos(z)) / z, (1, 3)).x
    in_step = (1 - np.cos(np.minimum(turn, most))) / np.minimum(turn, most)
    loss = zeta + flank * rubs * edge * omega / (2 * k * v) * 2 * in_step / turn
    limit = np.full(COUNT, np.inf)
    for r2 in 1 + np.geomspace(
        1e-3, 6, 160
    ):  # (1 − μ²)K² + 2AK + A² + B² = 0 for the least K over the frequency
        a, b = k * (1 - r2), 2 * k * loss * np.sqrt(r2)
        disc = a**2 - (1 - overlap**2) * (a**2 + b**2)
        with np.errstate(invalid="ignore"):
            root = (a**2 + b**2) / (-a + np.sqrt(disc))
        limit = np.where((disc >= 0) & (root > 0), np.minimum(limit, root), limit)
    quiet = whole * slope * force * inside < limit
    well = np.abs(error) <= setup.tolerance / 2, quiet, out / bar <= slim
    return np.all(well, axis=0), error, side, omega, quiet, well, (1 / shift + out**2 / tilt) / side, c


def nearest(errors):
    """Median and the ends of those nine in ten that lie nearest to zero: sorted by size, the rest thrown away."""
    kept = sorted(errors, key=abs)[: int(np.ceil(0.9 * len(errors)))]
    return np.median(errors), min(kept), max(kept)


@pytest.mark.parametrize(
    "setup",
    [
        Setup(),
        Setup(stickout=32.0, bar_material="cemented carbide"),
        Setup(stickout=75.0, bar_diameter=16.0, bore=24.0, tolerance=0.021),
    ],
    ids=["8 mm steel", "8 mm carbide", "16 mm steel"],
)
@source(JOB, place="chance, range and stiffness of three jobs", basis="hand")
def test_a_stickout_by_dice(setup):
    good, error, side, omega, _, well, held, _ = told(setup)
    found = boring_bar.check_stickout(
        setup.stickout,
        setup.bar_diameter,
        setup.bore,
        setup.tolerance,
        bar_material=setup.bar_material,
    )
    agrees("chance", found.chance, good.mean(), abs=0.02, of=boring_bar.check_stickout)
    agrees("range of the size", (found.error.low, found.error.high), nearest(error)[1:], rel=0.05, unit="mm",
           of=boring_bar.check_stickout)
    agrees("chances one by one", [one.chance for one in found.reasons[:3]], [one.mean() for one in well], abs=0.02,
           of=boring_bar.check_stickout)
    agrees("holder's share", found.holder_share, np.median(held), rel=0.03, of=boring_bar.check_stickout)
    claim("half of the chip and more is cut", found.cuts and share(DEPTH) > 0.5, of=boring_bar.check_stickout)
    agrees("behind the bar's back", found.gap, setup.bore - 1.1 * setup.bar_diameter, rel=1e-9, unit="mm",
           of=boring_bar.check_stickout)
    claim("a cut no deeper than the nose is judged", found.unjudged == "", of=boring_bar.check_stickout)
    agrees(
        "size",
        found.after_dialling,
        np.quantile(np.abs(error), 0.9),
        rel=0.05,
        unit="mm",
        of=boring_bar.check_stickout,
    )
    agrees(
        "nine in ten nearest to zero",
        stickout.nearest(error).high,
        np.quantile(np.abs(error), 0.9),
        rel=0.02,
        unit="mm",
        of=stickout.nearest,
    )
    agrees(
        "stiffness",
        found.stiffness.value,
        np.median(1 / side),
        rel=0.02,
        unit="N/mm",
        of=boring_bar.check_stickout,
    )
    agrees(
        "frequency",
        found.frequency.value,
        np.median(omega) / 2 / np.pi,
        rel=0.02,
        unit="Hz",
        of=boring_bar.check_stickout,
    )
    agrees(
        "chances",
        boring_bar.chances(setup, [setup.stickout])[0],
        good.mean(),
        abs=0.04,
        of=boring_bar.chances,
    )


@source("made-up errors, sorted by size in plain Python", place="10 000 of them, lopsided", basis="hand")
def test_nearest_nine_in_ten():
    throw = np.random.default_rng(3)
    errors = throw.lognormal(-5.0, 0.4, 10_000) - 0.004
    found = stickout.nearest(errors)
    agrees("", (found.value, found.low, found.high), nearest(errors.tolist()), rel=1e-6, unit="mm", of=stickout.nearest)


@source(JOB, place="straight to size: two passes at one setting, each bisected", basis="hand")
def test_straight_to_size_by_dice():
    """a + c·thrust(a) = left, bisected in every throw; what is thick enough of a is gone. Error −2·left after two."""
    job, grid = Setup(dial_out=False), np.geomspace(1e-4, DEPTH, 30)
    c = np.sort(told(job)[-1])
    force, thick = np.array([thrust(float(a)) for a in grid]), np.array([share(float(a)) for a in grid])
    left = np.full(COUNT, DEPTH)
    for _ in range(2):
        low, high = np.zeros(COUNT), left
        for _ in range(30):
            a = (low + high) / 2
            over = a + c * np.exp(np.interp(np.log(np.maximum(a, 1e-9)), np.log(grid), np.log(force))) > left
            low, high = np.where(over, low, a), np.where(over, a, high)
        left = left - a * np.interp(np.log(np.maximum(a, 1e-9)), np.log(grid), thick)
    error = -2 * np.maximum.accumulate(left)   # no softer bar is credited with a pass that a stiffer one only rubs
    found = boring_bar.check_stickout(dial_out=False).error
    agrees("size", (found.value, found.low, found.high), nearest(error), rel=0.03, unit="mm",
           of=boring_bar.check_stickout)


@source("drawn on the bench", place="what goes into a bore, and how far", basis="common practice")
def test_room_and_reach():
    """A bar of three quarters of the bore leaves room for chips; it must reach past the bore's end to its holder."""
    claim("two thirds", boring_bar.check_stickout(bar_diameter=8.0, bore=12.0).roomy, of=boring_bar.check_stickout)
    claim("nine tenths", not boring_bar.check_stickout(bar_diameter=10.8, bore=12.0).roomy,
          of=boring_bar.check_stickout)
    claim("35 deep, 40 out", boring_bar.check_stickout(depth=35.0).reaches, of=boring_bar.check_stickout)
    claim("40 deep, 40 out", not boring_bar.check_stickout(depth=40.0).reaches, of=boring_bar.check_stickout)


def edge_of(job, low, high):
    """Where nine in ten hold, by dice and a root finder."""
    return optimize.brentq(lambda x: told(job(x))[0].mean() - 0.9, low, high, xtol=0.02)


@source(JOB, place="nine in ten at the edge of what holds", basis="hand")
def test_longest_slimmest_deepest_by_dice():
    agrees(
        "longest",
        boring_bar.longest_stickout(Setup()),
        edge_of(lambda x: Setup(stickout=x), 30, 50),
        rel=0.025,
        unit="mm",
        of=boring_bar.longest_stickout,
    )
    agrees(
        "slimmest",
        boring_bar.slimmest_bar(Setup()),
        edge_of(lambda x: Setup(bar_diameter=x), 6.5, 10),
        rel=0.025,
        unit="mm",
        of=boring_bar.slimmest_bar,
    )
    tight = Setup(stickout=36.0, tolerance=0.004, infeed=0.05)
    deepest = optimize.brentq(
        lambda a: told(replace(tight, infeed=a))[0].mean() - 0.9, 0.03, 0.3, xtol=1e-3
    )
    agrees(
        "deepest",
        boring_bar.deepest_cut(tight),
        deepest,
        rel=0.06,
        unit="mm",
        of=boring_bar.deepest_cut,
    )
    agrees(
        "cuts that hold",
        boring_bar.cuts_that_hold(tight)[-1][1],
        deepest,
        rel=0.06,
        unit="mm",
        of=boring_bar.cuts_that_hold,
    )


@source(JOB, place="what one change does", basis="hand")
def test_what_helps_by_dice():
    now, changes = boring_bar.what_helps(Setup())
    agrees("as it is", now, told(Setup())[0].mean(), abs=0.02, of=boring_bar.what_helps)
    shorter = next(one for one in changes if one.kind == "stickout")
    longest = edge_of(lambda x: Setup(stickout=x), 30, 50)
    agrees("how short", shorter.value, longest, abs=0.03 * longest, unit="mm", of=boring_bar.what_helps)
    reach = nearest(told(Setup(stickout=shorter.value))[1])
    agrees("its size", shorter.error, max(reach[2], -reach[1]), rel=0.05, unit="mm", of=boring_bar.what_helps)
    for change in changes:
        if change.kind in ("stickout", "speed", "bar_material"):
            agrees(
                change.kind,
                change.chance,
                told(replace(Setup(), **{change.kind: change.value}))[0].mean(),
                abs=0.02,
                of=boring_bar.what_helps,
            )


@source(JOB, place="depth at which one lathe in twenty chatters, and nineteen", basis="hand")
def test_range_of_the_depth_at_which_chatter_begins_by_dice():
    job = Setup(stickout=40.0, speed=200.0)
    low, high = (
        optimize.brentq(lambda a, s=s: told(replace(job, infeed=a), False)[4].mean() - s, *span, xtol=2e-5)
        for s, span in ((0.95, (0.002, 0.02)), (0.05, (0.02, 0.2)))
    )
    found = boring_bar.chatter_depths(job, job.speed, False)[0]
    agrees("depth", (found.low, found.high), (low, high), rel=0.035, unit="mm", of=boring_bar.chatter_depths)


@source(JOB, place="depth at which half the lathes chatter", basis="hand")
def test_depth_at_which_chatter_begins_by_dice():
    job = Setup(stickout=44.0, speed=200.0)
    for flank in (True, False):
        half = optimize.brentq(
            lambda a, f=flank: told(replace(job, infeed=a), f)[4].mean() - 0.5,
            0.003,
            0.3,
            xtol=1e-4,
        )
        agrees(
            "depth",
            boring_bar.chatter_depths(job, job.speed, flank)[0].value,
            half,
            rel=0.06,
            unit="mm",
            of=boring_bar.chatter_depths,
        )


@source(
    "roots of the characteristic equation over the frequency",
    place="one mode, whole chip regenerating",
    basis="hand",
)
def test_limit_at_a_spindle_speed_counts_every_lobe():
    k, zeta, f = 2000.0, 0.03, 1000.0
    r = np.linspace(1.0005, 4, 400_001)
    for rpm in (4000.0, 21_000.0, 60_000.0):
        g = 1 / (k * (1 - r**2 + 2j * zeta * r))
        wave = 1 - np.exp(-1j * 2 * np.pi * r * f * 60 / rpm)
        turned = (g * wave).imag  # where it is zero, 1 + K·G·(1 − e^(−iωT)) may vanish
        cross = np.flatnonzero(np.diff(np.sign(turned)) != 0)
        stiff = -1 / (g * wave).real[cross]
        theirs = stiff[stiff > 0].min()
        agrees(
            "limit",
            vibration.limit_at_speed(k, zeta, f, rpm),
            theirs,
            rel=2e-3,
            unit="N/mm",
            of=vibration.limit_at_speed,
        )


@pytest.mark.parametrize("ratio_of_masses", [0.0, 0.5, 2.0])
@source(
    "exact modes of a cantilever with a mass on its end",
    place="characteristic equation, scipy's root finder",
    basis="hand",
)
def test_modal_stiffness_with_a_head(ratio_of_masses):
    """Mode shape cosh x − cos x − c (sinh x − sin x) on (0, β); stiffness of the mode over 3 when EI = L = 1."""
    beta = optimize.brentq(
        lambda b: (
            1
            + np.cos(b) * np.cosh(b)
            + ratio_of_masses * b * (np.cos(b) * np.sinh(b) - np.sin(b) * np.cosh(b))
        ),
        0.3,
        2.5,
    )
    c = (np.cosh(beta) + np.cos(beta)) / (np.sinh(beta) + np.sin(beta))

    def shape(x):
        return (
            np.cosh(beta * x)
            - np.cos(beta * x)
            - c * (np.sinh(beta * x) - np.sin(beta * x))
        )

    mass = (
        integrate.quad(lambda x: (shape(x) / shape(1)) ** 2, 0, 1)[0] + ratio_of_masses
    )
    theirs = beta**4 * mass / 3
    agrees(
        "factor",
        vibration.modal_factor(ratio_of_masses * 140 / 33),
        theirs,
        abs=5e-4,
        of=vibration.modal_factor,
    )


@source(
    "scipy's Welch spectrum of the same sound",
    place="three made-up cuts",
    basis="hand",
)
def test_a_cut_is_heard():
    for tone, rpm in ((1500.0, 1300.0), (3120.0, 860.0), (640.0, 2200.0)):
        made = cut_sound.made_up_cut(cut_sound.CHATTERS, rpm, tone)
        f, power = signal.welch(made.samples, made.rate, nperseg=8192)
        loudest = f[power.argmax()]
        agrees(
            "tone of the made-up cut",
            tone,
            loudest,
            abs=2 * f[1],
            unit="Hz",
            of=cut_sound.made_up_cut,
        )
        heard = cut_sound.hear(made, rpm, tone / 1.06)
        agrees("tone", heard.tone, loudest, abs=2 * f[1], unit="Hz", of=cut_sound.hear)
        claim(
            "kind",
            heard.kind == cut_sound.CHATTERS and heard.whose == cut_sound.BAR,
            of=cut_sound.hear,
        )


@pytest.mark.parametrize("turn", [0.2, 1.0, 2.0])
@source(
    "work done on a vibrating flank, its land integrated point by point",
    basis="hand",
)
def test_a_land_that_rides_over_its_own_wave(turn):
    """The land presses with the difference between its height now and the surface it passed; work over one swing."""
    omega, speed, amplitude = 2 * np.pi * 1000.0, 40.0, 1e-3
    v = speed * 1000 / 60
    land = turn * v / omega
    stiff = (
        2 * 611.0 / 0.08**2
    )  # so that a long wave gives 611 N/mm on a land of 0.08 mm
    t = np.linspace(0, 2 * np.pi / omega, 4001)
    s = (np.arange(400) + 0.5) / 400 * land
    deep = amplitude * (
        np.sin(omega * t)[:, None] - np.sin(omega * (t[:, None] - s / v))
    )
    work = integrate.trapezoid(
        stiff * deep.mean(1) * land * amplitude * omega * np.cos(omega * t), t
    )
    damper = work / (np.pi * omega * amplitude**2)  # N s/mm for each mm of edge
    k = 2000.0
    rubs = 611.0 * (land / 0.08) ** 2
    found = vibration.damping_on_short_waves(0.0, rubs, land, 1.0, omega, k, speed)
    agrees(
        "damping",
        found,
        damper * omega / (2 * k),
        rel=2e-3,
        of=vibration.damping_on_short_waves,
    )


@source(
    "the trade's rule kept over five sizes of bar",
    place="4:1 in steel and 6:1 in carbide",
    basis="hand",
)
def test_the_rule_does_not_hang_on_one_size():
    ends_at = [
        boring_bar.longest_stickout(
            Setup(bar_diameter=d, bore=1.5 * d, tolerance=0.025)
        )
        / d
        for d in (6.0, 10.0, 16.0, 25.0, 40.0)
    ]
    claim("longest", max(ends_at) / min(ends_at) < 1.5, of=boring_bar.longest_stickout)
