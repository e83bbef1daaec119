"""The standards' own formulas regenerate their tables: ISO 286 and ISO 965."""

import math

import numpy as np

from outside import agrees, claim, source
from springpass import fits, threads
from springpass.core import tables
from springpass.core.quantity import Refused

STEPS = list(zip((1, *fits.STEPS), fits.STEPS, strict=False))   # the first step is reckoned from 1 to 3 mm
MULTIPLIERS = {5: 7, 6: 10, 7: 16, 8: 25, 9: 40, 10: 64, 11: 100, 12: 160, 13: 250, 14: 400, 15: 640, 16: 1000}


def rounding_step(value):
    """The standard rounds widths to 1 µm up to 100, then to 5, 10, 20, 50 and 100 as they grow."""
    for limit, step in ((100, 1), (200, 5), (500, 10), (1000, 20), (2000, 50)):
        if value <= limit:
            return step
    return 100


@source("ISO 286-1, formula of the widths", place="Machine Drawing, Table 15.1", basis="own rows")
def test_widths_are_the_formula_rounded():
    """Every width is i times its multiplier to within half a rounding step, except those listed, which the standard set
    by hand.
    """
    off = set()
    for grade, multiplier in MULTIPLIERS.items():
        for low, high in STEPS:
            mean = math.sqrt(low * high)
            raw = multiplier * (0.45 * mean ** (1 / 3) + 0.001 * mean)
            printed = fits.grade(high, grade) * 1000
            claim("printed", abs(printed - raw) < max(0.16 * raw, 1), of=fits.grade, note=(grade, high))  # none far off
            if abs(printed - raw) > rounding_step(raw) / 2:
                off.add((grade, high))
    by_hand = {(6, 3), (6, 6), (6, 400), (6, 500), (7, 3), (7, 10), (7, 18), (7, 500), (9, 3), (9, 6), (10, 3), (10, 6),
               (10, 10), (10, 18), (11, 3), (11, 6), (11, 50), (11, 80), (11, 400), (11, 500)}
    by_hand |= {(g, s) for g, s in off if g >= 12}   # coarse grades are ten times those five finer, see below
    agrees("", off, by_hand)


# cells that the standard sets a little off the formula
LIFTED = {("s", size) for size in (3, 6, 10, 14, 18, 40, 50)} | {("t", 30), ("b", 160)}


@source("ISO 286-1, grades in fives", place="one exception", basis="own rows")
def test_every_fifth_grade_is_ten_times_as_wide():
    """From grade 6 on each width is ten times that of five grades finer; the standard's one exception is IT11 over 3 to
    6: 75, not 80.
    """
    different = {(grade, size) for grade in range(11, 19) for size in fits.STEPS
                 if not math.isclose(fits.grade(size, grade), 10 * fits.grade(size, grade - 5))}
    agrees("different", different, {(11, 6)}, of=fits.grade)


@source("ISO 286-1, formulas of the letters", place="Machine Drawing, Table 15.4", basis="own rows")
def test_letters_are_their_formulas_rounded():
    """d, e, f, g, k, n from Table 15.4 of Machine Drawing, to within half a rounding step, except the cells listed."""
    rules = {"d": (16, 0.44), "e": (11, 0.41), "f": (5.5, 0.41), "g": (2.5, 0.34), "k": (0.6, 1 / 3), "n": (5, 0.34)}
    off = set()
    for letter, (factor, power) in rules.items():
        for low, high in STEPS:
            raw = factor * math.sqrt(low * high) ** power
            zone = fits.limits(high, f"{letter}6")
            printed = abs(zone.upper if letter < "h" else zone.lower) * 1000
            step = 1 if raw <= 45 else 2 if raw <= 60 else 5
            if abs(printed - raw) > step / 2:
                off.add((letter, high))
                claim(
                    "printed", abs(printed - raw) < 0.06 * raw + 0.75 or high == 3, of=fits.limits, note=(letter, high)
                )
    agrees("", off, {("d", 10), ("d", 500), ("e", 400), ("f", 3), ("g", 3), ("k", 3), ("n", 3), ("n", 120)})


@source("ISO 286-1, formulas of the letters", place="Machine Drawing, Table 15.4", basis="own rows")
def test_split_letters_are_their_formulas():
    """a, b, s to zc in their finer steps are Table 15.4's formulas, rounded by hand; c stands apart below 40 mm."""
    def width(size, grade):
        return fits.grade(size, grade) * 1000

    off = set()
    for low, high in zip((1, *fits.FINE_STEPS), fits.FINE_STEPS, strict=False):
        mean = math.sqrt(low * high)
        rules = {
            "a": 265 + 1.3 * mean if high <= 120 else 3.5 * mean,
            "b": 140 + 0.85 * mean if high <= 160 else 1.8 * mean,
            "s": width(high, 8) + 2.5 if high <= 50 else width(high, 7) + 0.4 * mean,
            "t": width(high, 7) + 0.63 * mean,
            "u": width(high, 7) + mean,
            "v": width(high, 7) + 1.25 * mean,
            "x": width(high, 7) + 1.6 * mean,
            "y": width(high, 7) + 2 * mean,
            "z": width(high, 7) + 2.5 * mean,
            "zc": width(high, 10) + 5 * mean,
        }
        for letter, raw in rules.items():
            if letter not in "abs" and high <= 18:
                continue    # below 18 mm the standard lifts these letters above the formula
            try:
                zone = fits.limits(high, f"{letter}9")
            except Refused:
                continue
            printed = (-zone.upper if letter < "h" else zone.lower) * 1000
            # the standard rounds these by hand: a and b to 10, 20 or 50 µm, the others to about two in a hundred
            slack = (
                (10 if raw <= 500 else 20 if raw <= 1000 else 50)
                if letter in "ab"
                else 1
                if letter == "s"
                else max(2, 0.022 * raw)
            )
            if abs(printed - raw) > slack:
                off.add((letter, high))
    agrees("", off, LIFTED)


@source("ISO 286-1, formulas of the letters", place="Machine Drawing, Table 15.4", basis="own rows")
def test_r_is_the_mean_of_p_and_s():
    for size in fits.FINE_STEPS:
        p, r, s = (fits.limits(size, f"{letter}6").lower * 1000 for letter in "prs")
        claim("r", abs(r - math.sqrt(p * s)) <= (1.0 if size <= 120 else 1.3), of=fits.limits, note=size)


@source("ISO 286-1, what delta is for", place="every step", basis="own rows")
def test_mirror_keeps_the_fit():
    """What delta is for: H7/p6 and P7/h6 give the same clearances, and so does every pair of a grade and the next
    finer.
    """
    for size in fits.STEPS[1:]:
        for letter, grade in (("k", 7), ("m", 7), ("n", 7), ("p", 7), ("r", 7), ("s", 7), ("k", 8), ("n", 8), ("n", 6)):
            bore = fits.fit(size, f"H{grade}/{letter}{grade - 1}")
            shaft = fits.fit(size, f"{letter.upper()}{grade}/h{grade - 1}")
            agrees("least clearance", bore.least_clearance, shaft.least_clearance, abs=1e-9, of=fits.fit)
            agrees("most clearance", bore.most_clearance, shaft.most_clearance, abs=1e-9, of=fits.fit)


R40 = [round(base * 10**power, 6) for power in (1, 2, 3) for base in (
    1, 1.06, 1.12, 1.18, 1.25, 1.32, 1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 2, 2.12, 2.24, 2.36, 2.5, 2.65, 2.8, 3, 3.15, 3.35,
    3.55, 3.75, 4, 4.25, 4.5, 4.75, 5, 5.3, 5.6, 6, 6.3, 6.7, 7.1, 7.5, 8, 8.5, 9, 9.5)]


def steps_apart(printed, rule):
    """How many preferred numbers (ISO 3, series R40) lie between a printed tolerance and the one nearest its rule."""
    nearest = [min(range(len(R40)), key=lambda i, v=v: abs(np.log(R40[i] / v))) for v in (printed, rule)]
    assert abs(printed - R40[nearest[0]]) < 0.6   # printed values are preferred numbers, to a micron
    return abs(nearest[0] - nearest[1])


@source("ISO 965-1, its rules; ISO 3, preferred numbers", place="every row", basis="own rows")
def test_every_tabulated_tolerance_lies_within_one_step_of_its_rule():
    """A slip of the pen in a table shows up here: ISO 965-1 rounds and smooths by no more than one R40 step (6 %)."""
    for row in tables.rows("threads_pitch"):
        factor = threads.GRADES[f"{row['side']} pitch"][row["grade"]]
        rule = 90 * row["pitch"]**0.4 * (row["over"] * row["upto"])**0.05 * factor
        claim("steps apart", steps_apart(row["value"], rule) <= 1, of=tables.rows, note=row)
    for row in tables.rows("threads_crest"):
        factor = threads.GRADES[f"{row['side']} crest"][row["grade"]]
        p = row["pitch"]
        six = (180 * p**(2 / 3) - 3.15 / p**0.5 if row["side"] == "external"
               else 433 * p - 190 * p**1.22 if p <= 0.8 else 230 * p**0.7)
        claim("steps apart", steps_apart(row["value"], six * factor) <= 1, of=tables.rows, note=row)
    for row in tables.rows("threads_deviation"):
        start = {"G": 15, "g": -15, "f": -30, "e": -50}[row["letter"]]
        slope = 11 if row["letter"] == "G" else -11
        agrees("", row["value"], start + slope * row["pitch"], abs=5.6 if row["letter"] == "e" else 3.1, of=tables.rows)


@source("ISO 965-1, grades a quarter apart", place="every row", basis="own rows")
def test_grades_climb_evenly():
    """From one grade to the next every tolerance grows by about a quarter (ISO 965-1), never falls."""
    for table in ("threads_pitch", "threads_crest"):
        rows = tables.rows(table)
        for a in rows:
            for b in rows:
                same = all(a.get(k) == b.get(k) for k in ("side", "over", "upto", "pitch"))
                if same and b["grade"] == a["grade"] + 1:
                    claim("", 1.15 < b["value"] / a["value"] < 1.35, of=tables.rows, note=(a, b))
