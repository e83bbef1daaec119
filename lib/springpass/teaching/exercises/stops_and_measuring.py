"""Chapter 7, stops and measuring: how deep, and may I believe it?"""

from __future__ import annotations

import numpy as np

from ...core.quantity import Say, plain
from ...measuring import rectangle_uncertainty
from ...measuring.gauging import abbe_error, cosine_error
from ...measuring.guard_bands import mean_uncertainty, odds_in_tolerance
from ...stops import from_each_other, from_one_zero
from ..practice import Again, Chapter, Draw, Seen, Slip, Task, ask, choose, measure, step

CHAPTER = Chapter("07_stops_and_measuring", "7 Stops and measuring")

CHAPTER.prediction = choose(
    "Four shoulders, each touched off on the one before. How much worse is the fourth than the first, most likely?",
    ("the same", "twice", "four times"), 1,
    (step(from_each_other, zero=0.01, stop=0.008, count=1), step(from_each_other, zero=0.01, stop=0.008, count=4)), (),
    (Slip("one zero", 0, "The same would be so if all four were set from one zero."),
    Slip("linear for square root", 2, "Four times is the worst case, every one off the same way.")),
    "Independent spreads add by their squares, and the square root of four is two.")
CHAPTER.seen = Seen("shoulders", dict(way="all from one zero"), dict(way="each from the one before"),
    "each from the one before")


@CHAPTER.exercise("Half a width, made standard")
def rectangle(draw: Draw, say: Say) -> Task:
    half = draw.value(0.0012, 0.015, 0.0001)
    line = step(rectangle_uncertainty, half=half)
    return ask(f"A scale may be off by up to {say.fine(half, 3)} either way, and every error in between is equally "
        f"probable. What is its standard uncertainty, in {say.fine_unit}?", "mm", (line,),
        ("It is less than the half width: most of the band is nearer.", "Divide by the square root of three."),
        (Slip("half width as it is", half, "That is the limit. The standard uncertainty of an even band is smaller."),
        Slip("triangle for rectangle", half / 6**0.5, "The root of six belongs to a band that thins out to both ends."),
        Slip("halved", half / 2, "Not two: the root of three.")), shown="µm")


@CHAPTER.exercise("The mean of several")
def mean(draw: Draw, say: Say) -> Task:
    scatter, count = draw.value(0.0008, 0.006, 0.0001), draw.whole(3, 16)
    line = step(mean_uncertainty, scatter=scatter, count=count)
    return ask(
        f"Single readings scatter by {say.fine(scatter, 3)} (one standard deviation). You take the mean of {count}. "
        f"How much of the scatter is left in the mean, in {say.fine_unit}?", "mm", (line,),
        ("More readings help, but slowly.", "Divide by the square root of their number."),
        (
        Slip("linear for square root", scatter / count,
        "You divided by the number. Scatter falls with its square root."),
        Slip("as single", scatter, "That is one reading's. The mean of several is better.")), shown="µm")


@CHAPTER.exercise("Held askew", 2)
def askew(draw: Draw, say: Say) -> Task:
    travel, tilt = draw.value(4, 30, 0.5), draw.value(1.5, 8, 0.1)
    line = step(cosine_error, length=travel, tilt=tilt)
    return ask(
        f"A gauge is held {plain(tilt, 3)}° out of line and travels {say.length(travel)}. By how much is its reading "
        f"wrong, in {say.fine_unit}?", "mm", (line,),
        ("The slant is the long side of a narrow triangle.",
        "The travel, times what the cosine of the tilt is short of one."),
        (
        Slip("sine for cosine", travel * float(np.sin(np.radians(tilt))),
        "That is how far the tip moves sideways. Along the line only the cosine counts."),
        Slip("half", line.value / 2, "Half of it: in the short form tilt²/2 the tilt is in radians; check the two.")),
        shown="µm", within=0.04)


@CHAPTER.exercise("Beside the line", 2)
def beside(draw: Draw, say: Say) -> Task:
    offset, tilt = draw.value(10, 80, 1), draw.value(0.005, 0.06, 0.001)
    line = step(abbe_error, offset=offset, tilt=tilt)
    return ask(
        f"The carriage tilts by {plain(tilt, 3)}° along its way, and the scale lies {say.length(offset)} beside the "
        f"tool's line. How much does that add, in {say.fine_unit}?", "mm", (line,),
        ("A tilt moves things the more, the further from the scale they are.", "Offset × tangent of the tilt."),
        (Slip("degrees for radians", offset * tilt, "You multiplied by degrees. Take the tangent (or π ÷ 180 of it)."),
        Slip("cosine for sine", float(cosine_error(offset, tilt)),
        "That is the tiny cosine error. Beside the line the tangent counts.")), shown="µm")


@CHAPTER.exercise("A chain of shoulders", 2)
def chain(draw: Draw, say: Say) -> Task:
    zero, stop, count = draw.value(0.004, 0.015, 0.0005), draw.value(0.003, 0.012, 0.0005), draw.whole(3, 7)
    line = step(from_each_other, zero=zero, stop=stop, count=count)
    one = step(from_one_zero, "From one zero it would be, for every shoulder:", zero=zero, stop=stop)
    return ask(
        f"Touching off is good to ±{say.fine(zero, 3)}, the stop to ±{say.fine(stop, 3)}, independently. You set "
        f"{count} shoulders, each from the one before. To what ± is the last one known, from the face, in "
        f"{say.fine_unit}?", "mm", (one, line),
        ("Independent errors add by their squares.", "Root of (number of shoulders × (touch² + stop²))."),
        (
        Slip("worst case for likely", count * (zero + stop),
        "You added them all straight: that is the worst case. Independent ones add by their squares."),
        Slip("one zero", one.value, "That is from one zero. Here each shoulder adds its own share."),
        Slip("linear for square root", count * one.value, "The number of shoulders comes under the root too.")),
        shown="µm", answer=line.value)


@CHAPTER.exercise("May you?", 3)
def may_you(draw: Draw, say: Say) -> Task:
    size, width, u = draw.whole(6, 50), draw.pick((0.015, 0.018, 0.021, 0.025, 0.03)), draw.value(0.001, 0.004, 0.0005)
    reads = draw.value(-0.006, 0.036, 0.0005)
    guard = 1.645 * u
    edges = (0.0, guard, width - guard, width)
    if guard > 0.35 * width or min(abs(reads - edge) for edge in edges) < 0.0006:
        raise Again
    right = 0 if guard < reads < width - guard else 2 if reads < 0 or reads > width else 1
    odds = float(odds_in_tolerance(size + reads, size, size + width, u))
    return choose(
        f"A bore Ø{size} mm, tolerance 0 to +{say.fine(width, 3)}, reads {say.fine(reads, 3)} from nominal. The "
        f"standard uncertainty is {say.fine(u, 3)}. The rule: good only if it reads inside by 1.645 standard "
        "uncertainties, bad if it reads outside. What do you say?", ("good", "measure it better", "bad"), right,
        (f"The guard band is 1.645 × {plain(u * 1e3, 3)} = {plain(guard * 1e3, 3)} µm, so good reads "
        f"{plain(guard * 1e3, 3)} to {plain((width - guard) * 1e3, 3)} µm. The chance that it is in tolerance: "
        f"{plain(100 * odds, 2)} %.",),
        ("How wide is the guard band at each end?", "Is the reading inside by so much, inside by less, or outside?"),
        tuple(
        Slip("guard band forgotten" if i == 0 and right == 1 else "limits", i,
        "It reads inside, but by less than the guard band. The uncertainty reaches over the "
        "limit." if i == 0 and right == 1
        else "Hold the reading against the limits and the guard bands again.") for i in range(3) if i != right))


@CHAPTER.exercise("At the lathe: your stop, ten times", 2, hands=True)
def stop(draw: Draw, say: Say) -> Task:
    place = draw.whole(40, 200)
    line = step(mean_uncertainty, "Were one standard deviation 3 µm, the mean of ten would be known to:", scatter=0.003,
        count=10)
    return measure(
        f"Switch the spindle off. Set an indicator on the bed against the carriage, some {place} mm from the chuck, "
        f"and bring the carriage gently to its stop ten times. What is the largest reading less the smallest, in "
        f"{say.fine_unit}?", "mm",
        (0.0005, 0.06), 0.009, (line, "Ten readings span about three standard deviations."),
        ("Same hand, same push, back off as far each time.", "Clean the stop's face first."),
        low_says="All ten alike? Perhaps the indicator is too coarse to see it.",
        high_says="That is a lot. Is there a chip on the stop, or does the stop itself slip?", shown="µm")


@CHAPTER.exercise("Kitchen table: paper", 1, hands=True)
def paper(draw: Draw, say: Say) -> Task:
    sheets = draw.whole(8, 32)
    line = step(rectangle_uncertainty,
        "Were the calliper good to ±0.02 mm, one sheet would be known to a standard uncertainty of:",
        half=0.02 / sheets)
    return measure(
        f"Stack {sheets} sheets of office paper, or fold one, press them flat in a calliper and divide by {sheets}. "
        f"How thick is one sheet, in {say.length_unit}?", "mm", (0.06, 0.16), 0.1, (line,),
        ("Press, or the air between is measured too.", f"Stack ÷ {sheets}."),
        low_says="Thinner than office paper is. Were there fewer sheets than you divided by?",
        high_says="Thicker than office paper. Is there air between the sheets, or is it card?",
        slips=(Slip("sheets forgotten", 0.1 * sheets, f"That looks like the whole stack. Divide by {sheets}."),))
