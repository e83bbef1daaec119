"""Chapter 4, reaming: chips of a tooth, stock, and the hole that comes out."""

from __future__ import annotations

import math

from ... import fits
from ...core.quantity import Say, plain
from ...cutting import feed_mark_short
from ...reaming import lead_chip, reamer_limits, tooth_chip
from ...reaming.hole import marks_after_cutting, offset_opening
from ..practice import Again, Chapter, Draw, Seen, Slip, Task, ask, choose, measure, step

CHAPTER = Chapter("04_reaming", "4 Reaming")

CHAPTER.prediction = choose(
    "A machine reamer takes 0.2 mm on diameter. You leave 0.1 mm instead, at the same feed. What happens to the "
    "chip of "
    "each tooth?", ("half as thick", "as thick as before, but half as wide", "a quarter as thick"), 1,
    (step(tooth_chip, feed=0.15, teeth=6, stock=0.2, corner=0.05, lead=45),
    step(tooth_chip, feed=0.15, teeth=6, stock=0.1, corner=0.05, lead=45)), (),
    (Slip("width for thickness", 0, "Half as thick would be true of a plunging tool."),
    Slip("square", 2, "A quarter would need width and thickness to halve.")),
    "On a straight lead, feed and lead angle set the thickness. Less stock only makes the chip narrower, until a few "
    "hundredths are left and the rounded corner alone cuts.")
CHAPTER.seen = Seen("reamer_teeth", dict(stock=0.2, feed=0.15), dict(stock=0.1), "18 µm")


@CHAPTER.exercise("The chip of a tooth")
def chip(draw: Draw, say: Say) -> Task:
    teeth, feed, lead = draw.pick((4, 6, 8)), draw.value(0.08, 0.6, 0.01), draw.pick((45, 30, 25, 60))
    line = step(lead_chip, feed=feed, teeth=teeth, lead=lead)
    return ask(
        f"A reamer with {teeth} teeth and a {lead}° lead is fed {say.length(feed, 3)} per revolution. How thick is "
        "the chip of "
        f"each tooth, in {say.fine_unit}?", "mm", (line,),
        ("First share the feed among the teeth.", "Then multiply by the sine of the lead angle, which thins the chip."),
        (Slip("teeth forgotten", line.value * teeth, "You gave the whole feed to one tooth. They share it."),
        Slip("lead forgotten", feed / teeth,
        "That is each tooth's feed along the axis. The slanted lead spreads it: multiply by the sine of its angle.")),
        shown="µm", reveals="The teeth share the feed and the lead spreads it. At the lathe: if the reamer squeaks and "
        "rubs, feed faster; more stock does not help.")


@CHAPTER.exercise("Taking turns", 2)
def turns(draw: Draw, say: Say) -> Task:
    chip_, least = draw.value(0.0012, 0.006, 0.0001), draw.value(0.004, 0.016, 0.0002)
    every = math.ceil(least / chip_)
    if not 2 <= every <= 6 or abs(least / chip_ - round(least / chip_)) < 0.12:
        raise Again
    return ask(
        f"Each tooth of a true-running reamer should take {say.fine(chip_, 3)}, but its edges cut nothing thinner than "
        f"{say.fine(least, 3)}. What one tooth rubs over is left for the next. "
        f"How thick is the chip when one does cut, in {say.fine_unit}?", "mm",
        ("After one tooth has cut, the next find "
        f"{', '.join(plain(i * chip_ * 1e3, 4) for i in range(1, every + 1))} µm: number {every} is the first with "
        f"{plain(least * 1e3, 3)} µm or more.",
        f"So of {every} passes one cuts, and it takes {plain(every * chip_ * 1e3, 4)} µm; on average that is "
        f"{plain(chip_ * 1e3, 3)} µm a tooth again."),
        ("Each tooth that rubs leaves its share to the next.", "Add up the shares until the edge can cut them."),
        (
        Slip("edge's limit", least,
        "That is what the edge needs. It finds whole shares, so it cuts the first whole number of them that is "
        "enough."), Slip("as fed", chip_, "The edge cannot cut so thin a chip: it rubs, and the next tooth "
        "finds more.")),
        answer=every * chip_, shown="µm", within=0.02, reveals="The shares add up until the edge can cut them. At the "
        "lathe: those few teeth take thick chips and the others blunt themselves; feed faster.")


@CHAPTER.exercise("Buy a reamer", 2)
def buy(draw: Draw, say: Say) -> Task:
    size, grade = draw.whole(3, 50), draw.whole(7, 9)
    hole, reamer = fits.limits(size, f"H{grade}"), reamer_limits(size, f"H{grade}")
    wide = hole.upper - hole.lower
    return ask(
        f"A hole Ø{size} mm H{grade} has a tolerance of {say.fine(wide, 4)}, from nominal upwards. By the rule of "
        "DIN 1420 the largest reamer stays 15 % of the tolerance under the hole's upper limit "
        f"(rounded up to the next full micrometre). How far above {size} mm is the largest reamer, in {say.fine_unit}?",
        "mm",
        (f"15 % of {plain(wide * 1e3, 4)} µm is {plain(150 * wide, 4)} µm, up to "
        f"{plain((hole.upper - reamer.upper) * 1e3, 3)} µm.",
        f"{plain(wide * 1e3, 4)} − {plain((hole.upper - reamer.upper) * 1e3, 3)} = {plain(reamer.upper * 1e3, 4)} "
        "µm."),
        ("Take 15 % of the tolerance off the hole's upper limit.",
        "Round the 15 % up to a full micrometre, then subtract."),
        (
        Slip("hole for reamer", hole.upper,
        "That is the limit of the hole. A reamer cuts a little larger than it measures, so it stays below."),
        Slip("smallest reamer", reamer.lower, "That is the smallest reamer by the rule. You were asked for the "
            "largest."),
        Slip("the allowance itself", hole.upper - reamer.upper,
        "That is what comes off. Take it from the hole's upper limit.")), answer=reamer.upper, shown="µm", within=0.0,
        give=0.0004, reveals="The reamer stands in the upper part of the tolerance: it cuts a little large and wears "
        "smaller. At the lathe: measure the reamer you have before you trust its marking.")


@CHAPTER.exercise("What to bore")
def bore_to(draw: Draw, say: Say) -> Task:
    reamer, stock = draw.whole(6, 30) + draw.value(0.004, 0.02, 0.001), draw.value(0.04, 0.2, 0.01)
    return ask(f"Your reamer measures {say.length(reamer, 6)}. You want it to find {say.length(stock, 3)} of stock, on "
        f"diameter. What diameter do you bore to, in {say.length_unit}?", "mm",
        (f"{plain(reamer, 6)} − {plain(stock, 3)} = {plain(reamer - stock, 6)} mm.",),
        ("The stock is given on diameter, as you measure it.", "Take it off the reamer's diameter once."),
        (
        Slip("diameter for radius", reamer - 2 * stock,
        "You took the stock off on both sides. It is given on diameter: take it off once."),
        Slip("radius for diameter", reamer - stock / 2, "That leaves half the stock. It is already given on diameter."),
        Slip("sign", reamer + stock, "The bore must be smaller than the reamer.")), answer=reamer - stock, within=0.0,
        give=0.0021, reveals="Stock is counted from the reamer you have, not from nominal. At the lathe: bore to this, "
        "measure, and correct before you ream.")


@CHAPTER.exercise("Off the axis", 2)
def off_axis(draw: Draw, say: Say) -> Task:
    offset, follow, cutting = draw.value(0.006, 0.04, 0.0005), draw.value(0.3, 0.95, 0.05), draw.value(0.2, 0.9, 0.05)
    line = step(offset_opening, offset=offset, follow=follow, cutting=cutting)
    return ask(f"The tailstock holds the reamer {say.fine(offset, 3)} off the spindle's axis. The holder forces "
        f"{plain(100 * follow, 2)} % of that on the reamer, and the edges cut {plain(100 * cutting, 2)} % of what is "
        "forced. " f"By how much does the hole open, on diameter, in {say.fine_unit}?", "mm", (line,),
        ("Multiply the offset by both shares: that is on radius.",
        "A hole is measured on diameter: twice that."),
        (
        Slip("radius for diameter", line.value / 2,
        "That is on radius. On diameter it is twice that."),
        Slip("worst case for likely", 2 * offset, "That is the worst case, all forced and all cut. Take both shares.")),
        shown="µm", reveals="The offset counts twice on diameter, less what bends and what only rubs. At the lathe: "
        "set the tailstock true, or use a floating holder.")


@CHAPTER.exercise("Clean up the marks", 2)
def marks(draw: Draw, say: Say) -> Task:
    feed, nose = draw.value(0.06, 0.25, 0.005), draw.pick((0.2, 0.4, 0.8))
    line = step(feed_mark_short, feed=feed, nose_radius=nose)
    gone = step(marks_after_cutting, "With twice that as stock on diameter nothing is left of them:", marks=line.value,
        stock=2 * line.value)
    return ask(f"You bored with {say.length(feed, 3)} per revolution and a nose of {say.length(nose, 3)}. How much "
        "stock, on "
        f"diameter, must a reamer that cuts find so that the feed marks just vanish, in {say.fine_unit}?", "mm",
        (line, gone, f"Twice the marks, on diameter: {plain(2e3 * line.value, 4)} µm."),
        ("First find the height of the marks: feed² over eight times the nose radius.",
        "The stock comes off both sides."),
        (
        Slip("radius for diameter", line.value,
        "That is the height of the marks, on one side. On diameter it takes twice that."),
        Slip("eight forgotten", 16 * line.value,
        "The height is feed² over eight times the nose radius, not over the nose radius.")),
        answer=2 * line.value, shown="µm", reveals="A cutting reamer must reach the bottom of the marks on both sides. "
        "At the lathe: bore with a finer feed, and you can leave less.")


@CHAPTER.exercise("Will it be good?", 3)
def good(draw: Draw, say: Say) -> Task:
    size, grade, opened = draw.whole(5, 30), draw.whole(6, 8), draw.value(-0.008, 0.02, 0.0005)
    hole, reamer = fits.limits(size, f"H{grade}"), draw.value(-0.004, 0.016, 0.001)
    out = reamer + opened
    if min(abs(out - hole.upper), abs(out - hole.lower)) < 0.0012 or abs(out) > 0.03:
        raise Again
    right = 0 if out < hole.lower else 2 if out > hole.upper else 1
    options = ("too small", "in tolerance", "too large")
    does = (f"opens the hole by {say.fine(opened, 3)}" if opened >= 0
        else f"leaves the hole {say.fine(-opened, 3)} smaller than itself")
    slips = [
        Slip("hole for reamer", place, "Did you judge the reamer? The hole does not come out as the reamer measures.")
        for place in range(3) if place != right]
    return choose(
        f"A hole Ø{size} mm H{grade} may be {say.fine(hole.lower, 3)} to {say.fine(hole.upper, 3)} above nominal. Your "
        f"reamer measures {say.length(size + reamer, 6)}, and by your log it {does} in this metal. How will the hole "
        "be?", options, right,
        (f"The reamer stands {plain(reamer * 1e3, 3)} µm from nominal, the hole comes out at {plain(out * 1e3, 3)} "
        f"µm: {options[right]}.",),
        ("First find the reamer's deviation from nominal, in micrometres.",
        "Add what it opens, or subtract what it closes, and compare with the limits."), slips,
        "The hole is the reamer plus what your log says. At the lathe: such a log beats any rule, but only for "
        "the same "
        "metal, fluid and stock.")


@CHAPTER.exercise("At the lathe: is your tailstock true?", 2, hands=True)
def tailstock(draw: Draw, say: Say) -> Task:
    out = draw.whole(20, 80)
    line = step(offset_opening, "An offset of 20 µm, all forced and all cut:", offset=0.02, follow=1, cutting=1)
    return measure(
        "Switch the machine off, take the spindle out of gear and the chuck key out. Clamp an indicator on a short "
        f"stiff arm in the chuck, touching a ground bar in the tailstock {out} mm from the quill. Turn the chuck by "
        f"hand. Half of the total reading is the offset: what is it, in {say.fine_unit}?", "mm", (0.0005, 0.15), 0.02,
        (line,),
        ("Zero it at the top, then read right, bottom and left; the sag of the arm shows between top and bottom.",
        "Halve the largest less the smallest reading."),
        low_says="Less than half a micrometre would be remarkable. Does the indicator touch, and does it move at all?",
        high_says="That is a lot. Is the quill clamped, the bar straight and seated clean? Then set the tailstock "
        "over.", shown="µm", slips=(), reveals="Twice this is what the hole can open at most. Set it on the hole page, "
        "once with the reamer held rigidly and once in a floating holder.")


@CHAPTER.exercise("Kitchen table: the thinnest shaving", 1, hands=True)
def soap(draw: Draw, say: Say) -> Task:
    strokes = draw.whole(4, 9)
    line = step(lead_chip, "For comparison, the chip of a reamer's tooth:", feed=0.15, teeth=6, lead=45)
    return measure(
        f"Shave cold, hard soap or a candle with a blunt table knife, cutting away from your hand: {strokes} strokes, "
        "each as thin as it will go. Stack the shavings, press them flat in a caliper and divide by their "
        "number. " f"How thick is your thinnest shaving, in {say.length_unit}?", "mm", (0.01, 0.9), 0.12,
        (line, "The knife's rounded edge is a hundred times blunter than a reamer's, and its minimum chip thickness "
            "a hundred "
        "times thicker."), ("Close the caliper gently: soap is soft.", "Divide the reading by the number of shavings."),
        low_says="Thinner than a razor would do. Did the caliper squeeze them?",
        high_says="That is a slice. Try a flatter angle and less pressure.",
        reveals="Below this the knife only slides and leaves a shiny, pressed surface, and the next stroke "
            "takes a thick "
        "shaving. That is burnishing, and the next tooth.")
