"""Bayesian updates against a textbook's example: wing lengths of nine midges.

P. D. Hoff, A First Course in Bayesian Statistical Methods (2009), chapter 5. The nine lengths (Grogan and Wirth 1981),
the
priors and the updating formulas were read in open course notes that work on the same example; the book's own answers
(1.805 and 0.002; 1.814 and 0.015; 1.72 to 1.89) are from memory. The working below them is by hand.
"""

from outside import agrees, source
from springpass.job.bayes import Bell, Scatter, learn_mean, learn_scatter

LENGTHS = (1.64, 1.70, 1.72, 1.74, 1.82, 1.82, 1.82, 1.90, 2.08)   # mm; basis: read


@source("P. D. Hoff, A First Course in Bayesian Statistical Methods (2009)", place="chapter 5, midges, variance known",
        basis="memory")
def test_mean_with_known_variance():
    """Prior N(1.9, 0.95²) (read), variance taken as 0.017 (read); posterior N(1.805, 0.002) (memory).

    By hand: 9 / 0.017 = 529.41; 1 / 0.9025 = 1.108; their sum 530.52, one over it 0.001885;
    (529.41 × 1.80444 + 1.108 × 1.9) / 530.52 = 1.80464; 1.80464 ± 1.96 × 0.04342 = 1.7195 to 1.8897.
    """
    after = learn_mean(Bell(1.9, 0.95), LENGTHS, 0.017**0.5)
    agrees("mean", after.mean, 1.80464, abs=1e-5, of=learn_mean)
    agrees("mean", round(after.mean, 3), 1.805, of=learn_mean)
    agrees("sd", after.sd**2, 0.001885, abs=1e-6, of=learn_mean)
    agrees("sd", round(after.sd**2, 3), 0.002, of=learn_mean)
    agrees("mean", [round(after.mean + k * 1.96 * after.sd, 2) for k in (-1, 1)], [1.72, 1.89], of=learn_mean)


@source("P. D. Hoff, A First Course in Bayesian Statistical Methods (2009)", place="chapter 5, midges, both unknown",
        basis="memory")
def test_mean_and_variance_together():
    """Prior mean 1.9 worth one midge, variance 0.01 worth one (read); posterior 1.814 worth ten, 0.015 worth ten
    (memory).

    By hand: sum of lengths 16.24, so (1.9 + 16.24) / 10 = 1.814. Squares about the mean 1.80444: 0.135022;
    0.01 + 0.135022 + 0.9 × (0.095556)² = 0.153240, over ten 0.015324.
    """
    after = learn_scatter(Scatter(1.9, 1, 1, 0.1), LENGTHS)
    agrees("mean", after.mean, 1.814, abs=1e-12, of=learn_scatter)
    agrees("weight, dof", (after.weight, after.dof), (10, 10), of=learn_scatter)
    agrees("sd", after.sd**2, 0.015324, abs=1e-6, of=learn_scatter)
    agrees("sd", round(after.sd**2, 3), 0.015, of=learn_scatter)
