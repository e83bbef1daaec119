"""Chapter 13, the whole part: stock, order, what adds up, and the chance."""

from __future__ import annotations

import math

from ... import heat
from ...core.quantity import Say, plain
from ...measuring.guard_bands import odds_in_tolerance
from ...stops import from_each_other
from ..practice import Again, Chapter, Draw, Seen, Slip, Task, ask, choose, measure, step

CHAPTER = Chapter("13_plan_a_part", "13 Plan a part")
PARTS = ("the bar's deflection", "the dial", "the heat", "the reading")
ONE = {2: "half", 3: "a third", 4: "a quarter"}
STEEL = heat.properties("carbon steel C45 / 1045")

CHAPTER.prediction = choose(
    "The plan of the drive sleeve takes the last two cuts alike and measures between them. You leave that measurement "
    "out and trust the dial. Of a hundred good sleeves, about how many are still good?",
    ("nearly all of them", "about half", "about one in five"), 2,
    (step(from_each_other, "Five independent errors, each within ±5 µm, make together:", zero=0.005, stop=0, count=5),
    "The tightest seat allows 11 µm over all, ±5.5 µm."), (),
    (Slip("trust in the dial", 0, "The dial is good to about a hundredth of a millimetre. The tightest seat allows "
    "eleven thousandths over all."),
    Slip("half and half", 1, "Half would do for a wide H7 bore. The sleeve has two seats with tighter tolerances, and "
    "both must be good.")),
    "One measurement between two like cuts shows the deflection, the dial and the setting of the tool all at once, and "
    "the last cut takes them out. Without it each of them stays in the size.")
CHAPTER.seen = Seen("plan_a_part", dict(), dict(trial=False), "Ø15 j6")


@CHAPTER.exercise("Which bar do I buy?")
def blank(draw: Draw, say: Say) -> Task:
    finished, rough, finish = draw.value(12, 60, 0.5), draw.value(0.6, 2.5, 0.1), draw.value(0.2, 0.6, 0.05)
    right = finished + 2 * (rough + finish)
    return ask(
        f"The finished diameter is {say.length(finished)}. Roughing is to take {say.length(rough, 3)} and "
        f"finishing {say.length(finish, 3)}, both on radius. How thick must the bar be at least, in "
        f"{say.length_unit}?", "mm",
        (f"{plain(finished, 4)} + 2 × ({plain(rough, 3)} + {plain(finish, 3)}) = {plain(right, 5)} mm.",),
        ("Depths of cut are on radius; bars are sold by diameter.",
        "Both depths together, twice, on top of the finished diameter."),
        (
        Slip("radius for diameter", finished + rough + finish,
        "You added the depths once. They come off all round, so they count twice on the diameter."),
        Slip("finishing forgotten", finished + 2 * rough, "That leaves nothing to finish. Add the finishing depth "
        "too.")), answer=right, within=0.0,
        give=0.02,
        reveals="Depths of cut count twice on diameter. Take the next bar up from that, for a bar is not quite "
        "round or straight.")


@CHAPTER.exercise("What adds up", 2)
def together(draw: Draw, say: Say) -> Task:
    parts = [draw.value(0.001, 0.01, 0.0005) for _ in range(3)]
    right = math.sqrt(sum(part**2 for part in parts))
    if right < 1.12 * max(parts) or sum(parts) < 1.3 * right:
        raise Again
    named = ", ".join(f"{name} ±{say.fine(part, 3)}" for name, part in zip(PARTS[:3], parts, strict=True))
    return ask(f"On one diameter: {named}, independent of each other. Within what ± does it come out, with the same "
        f"confidence, in {say.fine_unit}?", "mm",
        (f"√({' + '.join(plain(1e3 * part, 3) + '²' for part in parts)}) = {plain(1e3 * right, 4)} µm.",),
        ("They are hardly ever all off the same way.", "Take the root of the sum of the squares."),
        (
        Slip("worst case for likely", sum(parts),
        "You added them as they stand. That is the worst case, and it hardly ever happens."),
        Slip("largest alone", max(parts), "That is the largest alone. It leads, but the others count too.")),
        answer=right, shown="µm",
        reveals="The largest error leads. Reduce that one, and the sum follows; reduce a small one, and it hardly "
        "moves.")


@CHAPTER.exercise("Where to begin", 3)
def begin(draw: Draw, say: Say) -> Task:
    parts = [draw.value(0.001, 0.012, 0.0005) for _ in range(4)]
    factors = [draw.pick((2, 3, 4)) for _ in range(4)]
    gains = [part**2 * (1 - 1 / by**2) for part, by in zip(parts, factors, strict=True)]
    order = sorted(range(4), key=lambda i: -gains[i])
    if gains[order[0]] < 1.3 * gains[order[1]]:
        raise Again
    ways = tuple(f"{name}: ±{say.fine(part, 3)}, down to {ONE[by]} of it" for name, part,
        by in zip(PARTS, parts, factors, strict=True))
    largest = max(range(4), key=lambda i: parts[i])
    after = math.sqrt(sum(part**2 for part in parts) - gains[order[0]])
    size = draw.value(10, 60, 0.5)
    return choose(
        f"A seat of Ø{say.length(size)} has four independent errors. An hour's work on one of them would bring it "
        f"down to "
        "the share named. You have one hour: where do you spend it?", ways, order[0],
        (f"All together ±{plain(1e3 * math.sqrt(sum(p**2 for p in parts)), 3)} µm; with that one cured "
        f"±{plain(1e3 * after, 3)} µm.",),
        ("What counts is by how much the sum of the squares falls.",
        "Square each error, then take off what is left of its square."),
        tuple(
        Slip("largest alone" if i == largest else "small gain", i,
        "It is the largest, but its cure gains less than another's." if i == largest
        else "Its square is too small a share, or its cure too weak. Compare the squares.") for i in range(4)
        if i != order[0]),
        reveals="What counts is how much of the square an hour takes away, not how large the error is.")


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
        ("How many standard deviations away are the two limits?", "Take the share of the bell curve between them."),
        (Slip("one limit forgotten", above, "You took off one tail. A part that is too small is scrap as well."),),
        answer=right, shown="%", within=0.0, give=0.012,
        reveals="Aim at the middle first: that costs nothing. Then reduce the scatter.")


@CHAPTER.exercise("Aim for the cold size")
def aim(draw: Draw, say: Say) -> Task:
    size, rise = draw.whole(15, 70), draw.value(6, 30, 0.5)
    line = step(heat.length_change, length=size, expansion=STEEL.expansion, rise=rise)
    return ask(
        f"By the plan the last cut finds the steel part {plain(rise, 3)} K warm ({plain(STEEL.expansion * 1e6, 3)} "
        f"millionths for each degree). It is to be Ø{say.length(size)} when cold. How much larger must the warm "
        f"part measure, in {say.fine_unit}?", "mm", (line,),
        ("Warm it is larger than it will be.", "Size × expansion × rise."),
        (Slip("radius for diameter", line.value / 2, "That is the growth of the radius. The diameter grows twice as "
        "much."),
        Slip("cold for warm", -line.value,
        "Warm it must measure over the cold size, or it will be too small next morning.")), shown="µm",
        reveals="The part shrinks by that much as it cools. Aim over the cold size by it, or let the part cool "
        "first.")


@CHAPTER.exercise("All of them good", 2)
def all_good(draw: Draw, say: Say) -> Task:
    good, sizes = draw.value(0.8, 0.97, 0.005), draw.whole(3, 8)
    right = good**sizes
    if good - right < 0.08:
        raise Again
    return ask(f"A part has {sizes} toleranced sizes, each comes out good {plain(100 * good, 3)} times in a hundred, "
        "independently. How many parts in a hundred are good all over?", "1",
        (f"{plain(good, 3)} to the power of {sizes} = {plain(100 * right, 3)} %.",),
        ("The first must be good, and the second, and so on.", "Multiply the chances: a power."),
        (Slip("one for all", good, "That is one size alone. All of them must be good at once."),
        Slip("scrap for good", 1 - right, "That is the share with something wrong. The rest is good.")), answer=right,
        shown="%", within=0.0, give=0.012,
        reveals="Every toleranced size is one more chance to spoil the part. So relax what need not be tight.")


@CHAPTER.exercise("Kitchen table: weigh the blank", 1, hands=True)
def weigh(draw: Draw, say: Say) -> Task:
    across, length = draw.whole(16, 40), draw.whole(60, 150)
    mass = STEEL.density * math.pi / 4 * across**2 * length * 1e-9
    return measure(
        f"Saw or find a steel blank of about Ø{say.length(across, 3)} × {say.length(length, 4)}, and measure it well. "
        "Work out what it should weigh, then put it on the kitchen scales. What do they say for this size (or scaled "
        "to it), in g?", "kg", (0.85 * mass, 1.15 * mass), mass,
        (f"π/4 × {across}² × {length} mm³ × 7.85 mg = {plain(1e3 * mass, 3)} g. Measured and weighed, the "
        "same number from two sides: the cheapest check a plan can have.",),
        ("Volume × density; steel is 7.85 g for each cm³.", "A quarter of π × diameter² × length, in cm."),
        low_says="Too light for solid steel. Is it aluminium, or drilled, or was a length misread?",
        high_says="Too heavy for steel. Was the diameter misread?", shown="g",
        slips=(Slip("diameter for radius", 4 * mass, "That is four times too much: you took the diameter for the "
        "radius."),),
        reveals="One number found in two ways: that is the cheapest check a plan can have.")


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
        high_says="That is far out: is the dial marked in diameter or in radius?", shown="µm",
        reveals="Keep it, with what you expected. After ten such pins you know your own hand.")
