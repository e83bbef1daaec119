"""Dice: closed forms against many draws."""

import numpy as np

from outside import agrees, claim, source
from springpass import heat
from springpass.fits import fit_target
from springpass.job.learning import BORED, Expected, bending_prior, compare, lessons
from springpass.reaming import log as reaming_log


@source("a million dice", basis="method")
def test_odds_against_dice():
    """The closed form against a million thrown dice, also for two tries."""
    dice = np.random.default_rng(5)
    least, most, spread, doubt = 0.006, 0.022, 0.020, 0.004
    aim = fit_target.best_aim(least, most, spread, doubt, tries=2)

    def cut(at):
        return at + dice.normal(0, spread / 2, 10**6) + dice.normal(0, doubt / 2, 10**6)

    first, second = cut(aim.clearance), cut(fit_target.best_aim(least, most, spread, doubt).clearance)
    good = ((first >= least) & (first <= most)) | ((first < least) & (second >= least) & (second <= most))
    agrees("good, mean", good.mean(), aim.odds, abs=0.002, of=fit_target.best_aim)
    agrees("first, mean", ((first >= least) & (first <= most)).mean(),
           fit_target.odds(aim.clearance, least, most, spread, doubt), abs=0.002, of=fit_target.best_aim)
    around = [
        (
            (lambda f: ((f >= least) & (f <= most)) | ((f < least) & (second >= least) & (second <= most)))(cut(other))
        ).mean()
        for other in (aim.clearance - 0.003, aim.clearance + 0.003)
    ]
    claim("around", max(around) < good.mean(), of=fit_target.best_aim)


@source("400,000 draws", basis="method")
def test_reading_doubt_against_monte_carlo():
    size, alpha, rise, u_alpha, u_room, u_between = 200.0, 11.5e-6, 4.0, 0.9e-6, 1.5, 0.4
    draw = np.random.default_rng(11).standard_normal((3, 400_000))
    room = rise + u_room * draw[0]
    error = size * (u_alpha * draw[1] * room + alpha * u_between * draw[2])
    agrees("reading doubt", heat.reading_doubt(size, alpha, rise, u_alpha, u_room, u_between), error.std(), rel=0.01,
           unit="mm", of=heat.reading_doubt)


@source("half a million weighted draws", basis="method")
def test_force_and_holder_against_weighted_draws():
    """Half a million shops drawn from the priors as they are meant (force a normal, holder a ratio), each weighted with
    how
    well it explains the results: the straight-line estimate stands within a tenth of their spread for the force,
    a third for the holder (whose skewed prior it takes for a bell)."""
    bar, force = (2.4e-4, 7.37e-4, 1.5e-3), 15.0
    truth, holder = 1.15, 24e3
    moved = [2 * force * truth * (c + 1 / holder) for c in bar]
    results = [
        compare(
            Expected(
                f"bore {i}",
                BORED,
                12,
                12.0,
                11.9,
                12.1,
                12.0 + m,
                force,
                c,
                instrument="bore gauge set in a micrometer",
            ),
            [12.0],
        )
        for i, (c, m) in enumerate(zip(bar, moved, strict=True))
    ]
    force_now, holder_now = lessons(results, (30e3, 2.0))[:2]
    dice = np.random.default_rng(5)
    phi = 1 + np.log(1.25) / 2 * dice.normal(size=500_000)
    spring = 30e3 * np.exp(np.log(2) / 2 * dice.normal(size=500_000))
    noise = np.hypot(2e-3, 2 * 1.5e-3)
    weight = np.exp(
        -sum((2 * force * phi * (c + 1 / spring) - m) ** 2 for c, m in zip(bar, moved, strict=True)) / (2 * noise**2)
    )
    for lesson, draws, near in ((force_now, phi, 0.1), (holder_now, 1 / spring, 0.35)):
        order = np.argsort(draws)
        low, middle, high = np.interp([0.05, 0.5, 0.95], weight[order].cumsum() / weight.sum(), draws[order])
        now = lesson.after if lesson is force_now else tuple(1 / v for v in lesson.after[::-1])
        spread = (high - low) / 3.29
        agrees("", now[1], middle, abs=near * spread, of=lessons)
    claim("after", force_now.after[0] < truth < force_now.after[2], of=lessons)
    claim("after", holder_now.after[0] < holder < holder_now.after[2], of=lessons)


@source("400,000 draws", basis="method")
def test_the_prior_is_what_it_says():
    mean, covariance = bending_prior(30e3, 2.0)
    dice = np.random.default_rng(7)
    phi = 1 + np.log(1.25) / 2 * dice.normal(size=400_000)
    psi = phi * 1e4 / 30e3 * (1 + np.sqrt(np.expm1((np.log(2) / 2) ** 2)) * dice.normal(size=400_000))
    agrees("mean", mean, [phi.mean(), psi.mean()], rel=5e-3, of=bending_prior)
    agrees("covariance", covariance, np.cov(phi, psi), rel=2e-2, of=bending_prior)


@source("2,000 invented logs", basis="method")
def test_prediction_interval_covers_nine_in_ten():
    """Many invented logs with a known scatter: the next hole lies in the range nine times in ten."""
    dice = np.random.default_rng(11)
    inside = 0
    for _ in range(2000):
        stocks = dice.uniform(0.05, 0.3, 6)
        wrong = 0.004 + 0.02 * stocks + dice.normal(0, 0.002, 6)
        log = [
            {
                "stock": s,
                "feed": 0.1,
                "speed": 8,
                "size": 10,
                "reamer": 10.0,
                "hole": 10 + w,
                "fluid": "dry",
                "material": "m",
            }
            for s, w in zip(stocks, wrong, strict=True)
        ]
        at = float(stocks.mean())
        found = reaming_log.fit_holes(log, at)
        inside += found.low <= 0.004 + 0.02 * at + dice.normal(0, 0.002) <= found.high
    claim("inside", 0.88 < inside / 2000 < 0.92, of=reaming_log.fit_holes)
