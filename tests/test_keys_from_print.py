"""The key from the numbers as printed: whoever reads a sheet, in mm or in inch, and puts the printed, rounded numbers
into the formula, comes to the key's answer within what the key says counts as right; every exercise, many learners.

The reader here knows no library: each formula is written out by hand from the question's numbers in their order.
"""

import re
from math import atan, ceil, cos, erf, pi, radians, sin, sqrt, tan

import pytest
from test_practice import BY_HAND

from springpass.core.quantity import Say
from springpass.teaching import exercises
from springpass.teaching.classroom import right
from springpass.teaching.practice import pose

EXERCISES = {one.name: one for chapter in exercises.chapters().values() for one in chapter.exercises}
LEARNERS = [f"reader {number}" for number in range(60)]


def below(z):
    return (1 + erf(z / sqrt(2))) / 2


def equal_passes(_flank, _pitch, depth, tip, count, number):
    slope = tan(radians(30))
    area = number / count * (tip * depth + depth**2 * slope)
    return (sqrt(tip**2 + 4 * slope * area) - tip) / (2 * slope)


def propped(d, length, force, place):
    second = pi * d**4 / 64
    left = length - place
    return 2e3 * force * place**3 * left**2 * (4 * length - place) / (12 * 205e3 * second * length**3)


BY_READER = {**BY_HAND,
    "01_heat/read_warm": lambda size, part, warm, gauge, hand: (part * warm - gauge * hand) * size / 1000,
    "01_heat/winter": lambda ring, housing, size, play: play / ((housing - ring) * size / 1000),
    "01_heat/time_constant": lambda d, length, h, density, heat, *_: (
        density * heat * d * length / (4 * length + 2 * d) / 1000 / h / 60),
    "02_bore_stress/slit": lambda d, wall, gap, e, nu: e * 1e3 / (1 - nu**2) * wall * (1 / d - 1 / (d + gap / pi)),
    "04_reaming/buy": lambda size, wide, din, share, *_: wide - ceil(round(share / 100 * wide, 2)),
    "05_workholding/centre": propped,
    "06_fits/loosest": lambda size, least, hole, most, shaft: hole + shaft,
    "06_fits/to_the_hole": lambda bore, unsure, play: bore - (unsure + play) / 1000,
    "08_cutting/read_chip": lambda fed, chip, rake: 180 / pi * atan(
        fed / chip * cos(radians(rake)) / (1 - fed / chip * sin(radians(rake)))),
    "09_holes_and_threads/corner": lambda drill, angle, bore, above: (
        bore / 2 - above * tan(radians(angle / 2))),
    "09_holes_and_threads/passes": equal_passes,
    "12_grooves_and_tapers/grab": lambda load, inward, kc, power, width: inward / 10 / load * kc * power * width,
    "12_grooves_and_tapers/scale": lambda one, taper, length, off: 2e3 * length * (
        tan(atan(1 / taper / 2) + radians(off)) - 1 / taper / 2),
    "12_grooves_and_tapers/stands_out": lambda one, taper, out: out / taper * 1000,
    "13_plan_a_part/odds": lambda limit, spread, off: 100 * (
        below((limit - off) / spread) - below((-limit - off) / spread))}
BY_NAME = {"09_holes_and_threads/pitch_diameter": lambda size, pitch: size - 0.6495 * pitch}   # of M10 and the like


def printed(text):
    """The numbers of a question in mm and µm, as far as they are lengths, in their order."""
    text = text.replace("20 °C", "").replace("−", "-")
    to = {"": 1.0, "inch": 25.4, "thou": 25.4, "ft/min": 0.3048}
    return [float(number) * to[unit]
        for number, unit in re.findall(r"(?<![A-Za-z\d.])(-?\d+(?:\.\d+)?)(?:\s*(inch|thou|ft/min)\b)?", text)]


def test_every_question_with_a_number_for_an_answer_is_read():
    asked = {name for name, one in EXERCISES.items() if not pose(one).options and not pose(one).span}
    assert asked == {*BY_READER, *BY_NAME}


@pytest.mark.parametrize("inch", [False, True], ids=["mm", "inch"])
@pytest.mark.parametrize("name", [*BY_READER, *BY_NAME])
def test_the_key_follows_from_what_is_printed(name, inch):
    say = Say(inch)
    for learner in LEARNERS:
        task = pose(EXERCISES[name], learner, "print", say)
        if name in BY_NAME:
            wanted = BY_NAME[name](*(float(re.search(r"M([\d.]+)", task.asks)[1]),
                float(re.search(r"pitch of ([\d.]+) mm", task.asks)[1])))
        else:
            wanted = BY_READER[name](*printed(task.asks))
        found = task.quantity.to_shown(task.quantity.from_shown(wanted), inch)
        key = right(task, say)
        answer, off = key.split(" ± ")
        number = float(re.match(r"-?[\d.]+", answer.replace("−", "-"))[0])
        assert abs(found - number) <= float(off), (task.asks, key, found)
