"""Chapter 13, the whole part: stock, order, what adds up, and the chance."""

from __future__ import annotations

import math

from ... import heat
from ...core.quantity import Say, plain
from ...measuring.guard_bands import odds_in_tolerance
from ...stops import from_each_other
from ..practice import Again, Chapter, Draw, Slip, Task, ask, choose, measure, step

CHAPTER = Chapter("13_plan_a_part", "13 Plan a part")
PARTS = ("the bar's bending", "the dial", "the warmth", "the reading")
STEEL = heat.properties("carbon steel C45 / 1045")

CHAPTER.prediction = choose(
    "Five independent errors go into one size, each within ±5 µm. Within what ± does the size lie, as surely?",
    ("±5 µm", "±11 µm", "±25 µm"), 1, (step(from_each_other, zero=0.005, stop=0, count=5),), (),
    (Slip("largest alone", 0, "That takes one of them alone."),
    Slip("worst case for likely", 2, "That is the worst case, all five off the same way.")),
    "Independent errors add by their squares, and the square root of five is 2.24.")


@CHAPTER.exercise("Which bar do I buy?")
def blank(draw: Draw, say: Say) -> Task:
    finished, rough, finish = draw.value(12, 60, 0.5), draw.value(0.6, 2.5, 0.1), draw.value(0.2, 0.6, 0.05)
    right = finished + 2 * (rough + finish)
    return ask(
        f"The finished diameter is {say.length(finished)}. Roughing shall take {say.length(rough, 3)} and finishing "
        f"{say.length(finish, 3)}, both on radius. How thick must the bar be at least, in {say.length_unit}?", "mm",
        (f"{plain(finished, 4)} + 2 × ({plain(rough, 3)} + {plain(finish, 3)}) = {plain(right, 5)} mm.",),
        ("Depths of cut are on radius, bars are sold by diameter.",
        "Both depths together, twice, on top of the finished diameter."),
        (
        Slip("radius for diameter", finished + rough + finish,
        "You added the depths once. They come off all round: twice on the diameter."),
        Slip("finishing forgotten", finished + 2 * rough, "That leaves nothing to finish.")), answer=right, within=0.0,
        give=0.02)


@CHAPTER.exercise("What adds up", 2)
def together(draw: Draw, say: Say) -> Task:
    parts = [draw.value(0.001, 0.01, 0.0005) for _ in range(3)]
    right = math.sqrt(sum(part**2 for part in parts))
    if right < 1.12 * max(parts) or sum(parts) < 1.3 * right:
        raise Again
    named = ", ".join(f"{name} ±{say.fine(part, 3)}" for name, part in zip(PARTS[:3], parts, strict=True))
    return ask(f"On one diameter: {named}, independent of each other. Within what ± does it come out, as surely, in "
        f"{say.fine_unit}?", "mm",
        (f"√({' + '.join(plain(1e3 * part, 3) + '²' for part in parts)}) = {plain(1e3 * right, 4)} µm.",),
        ("They will hardly all be off the same way.", "The root of the sum of the squares."),
        (
        Slip("worst case for likely", sum(parts),
        "You added them straight: that is the worst case, which hardly comes."),
        Slip("largest alone", max(parts), "The largest leads, but the others count too.")), answer=right, shown="µm")


@CHAPTER.exercise("Where to begin", 3)
def begin(draw: Draw, say: Say) -> Task:
    parts = [draw.value(0.001, 0.012, 0.0005) for _ in range(4)]
    factors = [draw.pick((2, 3, 4)) for _ in range(4)]
    gains = [part**2 * (1 - 1 / by**2) for part, by in zip(parts, factors, strict=True)]
    order = sorted(range(4), key=lambda i: -gains[i])
    if gains[order[0]] < 1.3 * gains[order[1]]:
        raise Again
    ways = tuple(f"{name}: ±{say.fine(part, 3)}, to one in {by}" for name, part,
        by in zip(PARTS, parts, factors, strict=True))
    largest = max(range(4), key=lambda i: parts[i])
    after = math.sqrt(sum(part**2 for part in parts) - gains[order[0]])
    size = draw.value(10, 60, 0.5)
    return choose(
        f"Four independent errors on a seat Ø{say.length(size)}, and what an hour's work would bring each down to. You "
        "have one hour: where do you spend it?", ways, order[0],
        (f"All together ±{plain(1e3 * math.sqrt(sum(p**2 for p in parts)), 3)} µm; with that one cured "
        f"±{plain(1e3 * after, 3)} µm.",),
        ("What counts is by how much the sum of the squares falls.",
        "Square each error, then take off what is left of its square."),
        tuple(
        Slip("largest alone" if i == largest else "small gain", i,
        "The largest, but its cure brings less than another's." if i == largest
        else "Its square is too small a share, or its cure too weak. Compare the squares.") for i in range(4)
        if i != order[0]))


@CHAPTER.exercise("The chance of a good one", 2)
def odds(draw: Draw, say: Say) -> Task:
    half, spread, off = draw.value(0.005, 0.015, 0.0005), draw.value(0.003, 0.012, 0.0005), draw.value(0, 0.005, 0.0005)
    right = float(odds_in_tolerance(20.0 + off, 20.0 - half, 20.0 + half, spread))
    above = float(odds_in_tolerance(20.0 + off, 0.0, 20.0 + half, spread))
    if not 0.4 < right < 0.95 or above - right < 0.07:
        raise Again
    return ask(
        f"The tolerance is ±{say.fine(half, 3)} about the middle. Your hand scatters with a standard deviation of "
        f"{say.fine(spread, 3)} and aims {say.fine(off, 2)} off the middle. How many in a hundred come out good?", "1",
        (f"Upper limit at {plain((half - off) / spread, 3)}, lower at {plain(-(half + off) / spread, 3)} standard "
        f"deviations: the bell holds {plain(100 * right, 3)} % between.",),
        ("How many standard deviations away are the two limits?", "The share of the bell curve between them."),
        (Slip("one limit forgotten", above, "You took off one tail. Too small is scrap as well as too large."),),
        answer=right, shown="%", within=0.0, give=0.012)


@CHAPTER.exercise("Aim for the cold size")
def aim(draw: Draw, say: Say) -> Task:
    size, rise = draw.whole(15, 70), draw.value(6, 30, 0.5)
    line = step(heat.length_change, length=size, expansion=STEEL.expansion, rise=rise)
    return ask(
        f"By the plan the last cut finds the steel part {plain(rise, 3)} K warm ({plain(STEEL.expansion * 1e6, 3)} "
        f"millionths for each degree). It shall be Ø{say.length(size)} when cold. By how much over that must the warm "
        f"part measure, in {say.fine_unit}?", "mm", (line,),
        ("Warm it is larger than it will be.", "Size × expansion × rise."),
        (Slip("radius for diameter", line.value / 2, "That is the radius's share."),
        Slip("cold for warm", -line.value,
        "Warm it must measure over the cold size, or it will be too small next morning.")), shown="µm")


@CHAPTER.exercise("All of them good", 2)
def all_good(draw: Draw, say: Say) -> Task:
    good, sizes = draw.value(0.8, 0.97, 0.005), draw.whole(3, 8)
    right = good**sizes
    if good - right < 0.08:
        raise Again
    return ask(f"A part has {sizes} toleranced sizes, each comes out good {plain(100 * good, 3)} times in a hundred, "
        "independently. How many parts in a hundred are good all over?", "1",
        (f"{plain(good, 3)} to the power of {sizes} = {plain(100 * right, 3)} %.",),
        ("The first must be good and the second and so on.", "Multiply the shares: a power."),
        (Slip("one for all", good, "That is one size alone. All of them must be good at once."),
        Slip("scrap for good", 1 - right, "That is the share with something wrong. The rest is good.")), answer=right,
        shown="%", within=0.0, give=0.012)


@CHAPTER.exercise("Kitchen table: weigh the blank", 1, hands=True)
def weigh(draw: Draw, say: Say) -> Task:
    across, length = draw.whole(16, 40), draw.whole(60, 150)
    mass = STEEL.density * math.pi / 4 * across**2 * length * 1e-9
    return measure(
        f"Saw or find a steel blank of about Ø{say.length(across, 3)} × {say.length(length, 4)}, and measure it well. "
        "Work out what it should weigh, then put it on the kitchen scales. What do they say for this size (or scaled "
        "to it), in g?", "kg", (0.85 * mass, 1.15 * mass), mass,
        (f"π/4 × {across}² × {length} mm³ × 7.85 mg = {plain(1e3 * mass, 3)} g. Twice the same from two sides, "
        "measured and weighed: a plan's cheapest check.",),
        ("Volume × density; steel is 7.85 g for each cm³.", "A quarter of π × diameter² × length, in cm."),
        low_says="Too light for solid steel. Is it aluminium, or drilled, or was a length misread?",
        high_says="Too heavy for steel. Was the diameter misread?", shown="g",
        slips=(Slip("diameter for radius", 4 * mass, "Four times: you took the diameter for the radius."),))


@CHAPTER.exercise("At the lathe: plan and result", 3, hands=True)
def result(draw: Draw, say: Say) -> Task:
    size = draw.value(10, 25, 0.5)
    line = step(from_each_other, "Were four shares of 5 µm each in it:", zero=0.005, stop=0, count=4)
    return measure(
        f"Write down first what you expect (± how much), then turn a pin of Ø{say.length(size)} in one go by the dial, "
        f"no trial cut. Spindle stopped, pin cold: measured less aimed, in {say.fine_unit} (minus if small)?", "mm",
        (-0.15, 0.15), 0.01,
        (line, "If it lies outside what you wrote down, something is missing in your list of errors."),
        ("Write the expectation before you measure.", "Measured less aimed."),
        low_says="That is far out: slack in the feed screw, or radius read for diameter on the dial?",
        high_says="That is far out: is the dial marked in diameter or in radius?", shown="µm")
