"""A batch without scatter, part by part in the head; what results teach, with pencil and paper."""

import numpy as np
from scipy import stats

from outside import agrees, source
from springpass.job import batch as b
from springpass.job import bayes, learning


@source("worked by hand", place="in the docstring", basis="hand")
def test_a_batch_that_does_not_scatter():
    """Twelve parts, 20 µm wide, each 2.1 larger than the one before, the dial set 5 below the middle. Measured after
    every third: −0.8; then 5.5, which is more than 5, so the next begins at −5 + 2.1 = −2.9; then 1.3. After every
    fourth: 1.3, then 9.7, just good; every fifth: 3.4, which is left, then 13.9, spoilt; every seventh: 7.6, corrected,
    the last 5.5; every tenth: 13.9. Set to the middle and measured every
    third, the sixth would be 10.5: spoilt.
    """
    found = b.batch(12, 0.020, 0.0021, 0.0, 0.0, 0.0, 3)
    sizes = np.array([-5, -2.9, -0.8, 1.3, 3.4, 5.5, -2.9, -0.8, 1.3, 3.4, 5.5, 7.6]) / 1000
    for name, ours in (("5 %", found.low), ("middle", found.middle), ("95 %", found.high), ("one", found.example)):
        agrees(f"sizes, {name}", ours, sizes, abs=1e-9, unit="mm", of=b.batch)
    agrees("each", found.each, np.ones(12), of=b.batch)
    agrees("corrections", found.corrections, 1.0, abs=1e-9, of=b.batch)
    agrees("intervals", found.intervals, (1, 2, 3, 4, 5, 7, 10, 12), of=b.batch)
    agrees("chances", found.chances, (1, 1, 1, 1, 0, 1, 0, 0), of=b.batch)
    agrees("longest that is as good", found.best, 7, of=b.batch)
    agrees("as it is", (found.chance, found.other, found.interval), (1.0, 0.0, 3), of=b.batch)
    made = found.rule
    agrees("rule", (made.room, made.start, made.far, made.back, made.sign), (0.010, -0.005, 0.005, 0.010, 1),
           abs=1e-12, unit="mm", of=[b.batch, b.rule])


@source("worked by hand", place="in the docstring", basis="hand")
def test_a_batch_that_may_begin_in_the_middle():
    """1.1 a part: from the middle the sixth shows 5.5 and is brought back; the greatest is 6.6. All are good either
    way. A bore's tool wears the other way: the dial begins 5 above.
    """
    found = b.batch(12, 0.020, 0.0011, 0.0, 0.0, 0.0, 3)
    agrees("chance with the other start", found.other, 1.0, of=b.batch)
    bore = b.batch(12, 0.020, 0.0011, 0.0, 0.0, 0.0, 3, sign=-1).rule
    agrees("rule", (bore.start, bore.sign), (0.005, -1), abs=1e-12, unit="mm", of=[b.batch, b.rule])


@source("normal distribution, scipy", place="ISO 14253-1: a part is proved good with 95 %", basis="method")
def test_the_rule_with_its_guard_band():
    """Scatter 3 and reading 4 µm together 5: 20 µm wide less the guard band of 1.6449 × 5 on either side."""
    made = b.rule(0.020, 0.003, 0.004)
    room = 0.010 - stats.norm.ppf(0.95) * 0.005
    agrees("rule", (made.room, made.start, made.far, made.back, made.sign), (room, -room / 2, room / 2, room, 1),
           rel=1e-6, unit="mm", of=b.rule)


# ---- what results teach ---------------------------------------------------------------------------


@source("worked by hand", place="in the docstring", basis="hand")
def test_what_a_scatter_teaches():
    """Prior 1.5 µm as from 3 freedoms; 1.0 from 2 and 2.0 from 4 more: √((3 × 2.25 + 2 + 16)/9) = 1.6583. The mean, and
    how well it is known, are not learned from a scatter.
    """
    after = bayes.learn_sd(bayes.Scatter(0.004, 2.0, 3, 0.0015), [(0.0010, 2), (0.0020, 4)])
    agrees("scatter", after.sd, 0.0016583, abs=1e-7, unit="mm", of=bayes.learn_sd)
    agrees("freedoms", after.dof, 9.0, of=bayes.learn_sd)
    agrees("mean and its weight", (after.mean, after.weight), (0.004, 2.0), of=bayes.learn_sd)


@source("worked by hand", place="in the docstring", basis="hand")
def test_a_result_beside_its_prediction():
    """Predicted 20.000, nine in ten within 5 µm: a standard deviation of 5/1.6449 = 3.0397. Read 20.003 and 20.005: 4
    off, 1.3159 of them.
    """
    expected = learning.Expected("seat", learning.TURNED, 20, 20.000, 19.995, 20.005)
    found = learning.compare(expected, [20.003, 20.005])
    agrees("off", found.off, 0.004, abs=1e-9, unit="mm", of=learning.compare)
    agrees("surprise", found.surprise, 1.3159, abs=1e-4, of=learning.compare)


@source("worked by hand, quantiles by scipy", place="in the docstring", basis="hand")
def test_lessons_of_two_results():
    """A micrometer repeats to 1.5 µm by the table, as from 3 freedoms. A seat read three times and a record of ten: 2
    and 9 freedoms more. Two holes of Ø10 reamers, 12 and 10 µm over them; the prior is 8 µm as from one hole, 8 of
    scatter as from 3 freedoms. Of the force, before anything was measured: 1, known to a factor of 1.25.
    """
    seat = learning.Expected("seat", learning.TURNED, 20, 20.0, 19.995, 20.005, instrument="micrometer on a shaft")
    holes = [learning.Expected(f"bore {i}", learning.REAMED, 10, 10.01, 9.99, 10.03, reamer=10.0) for i in (1, 2)]
    turned = learning.Expected("collar", learning.TURNED, 20, 20.0, 19.99, 20.01, 19.995, 25.0, 1e-4)
    results = [learning.compare(seat, [20.001, 20.002, 20.003]), learning.compare(holes[0], [10.012]),
        learning.compare(holes[1], [10.010]), learning.compare(turned, [20.0])]
    found = {x.kind: x for x in learning.lessons(results,
        repeats=[{"name": "micrometer on a shaft", "scatter": 0.002, "dof": 9}])}
    agrees("freedoms, holes, results", [found[kind].count for kind in (learning.REPEAT, learning.REAMER,
        learning.FORCE)], [11, 2, 1], of=learning.lessons)
    few, many = stats.chi2.ppf((0.05, 0.95), 3)
    agrees("repeatability before", found[learning.REPEAT].before,
           (0.0015 * np.sqrt(3 / many), 0.0015, 0.0015 * np.sqrt(3 / few)), rel=1e-4, unit="mm", of=learning.lessons)
    reach = stats.t.ppf(0.95, 3) * 0.008 * np.sqrt(2)
    agrees("reamer before", found[learning.REAMER].before, (0.008 - reach, 0.008, 0.008 + reach), rel=1e-4, unit="mm",
           of=learning.lessons)
    wide = 1.6449 * np.log(1.25) / 2
    agrees("force before", found[learning.FORCE].before, (1 - wide, 1.0, 1 + wide), abs=0.006, of=learning.lessons)
