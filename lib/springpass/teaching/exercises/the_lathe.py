"""Chapter 10, the lathe: is it my lathe? Taper, tailstock, tool height, small moves, warm-up."""

from __future__ import annotations

import numpy as np

from ... import the_lathe as lathe
from ...boring_bar.bore_room import heel_height
from ...core.quantity import Say, plain
from ..practice import Again, Chapter, Draw, Seen, Slip, Task, ask, choose, measure, step

CHAPTER = Chapter("10_the_lathe", "10 The lathe")

CHAPTER.prediction = choose(
    "A tailstock stands 0.1 mm too far towards you, another 0.1 mm too high. Work of Ø20 mm is turned between centres. "
    "How do the two errors at its tailstock end compare?",
    ("about the same", "sideways about ten times as much", "sideways about two hundred times as much"), 2,
    (step(lathe.offset_taper, "Sideways, for each mm of length of work 150 mm long:", offset=0.1, length=150.0),
    step(lathe.height_growth, "In height, at the tailstock end:", height=0.1, diameter=20.0),
    "Over 150 mm, sideways makes 200 µm; the height makes one."), (),
    (Slip("alike", 0, "It is the same distance, but not in the same direction: the tool comes from the side."),
    Slip("second order underrated", 1, "It is far more: in height only the square counts.")),
    "Sideways the offset counts twice on diameter. In height it counts with its square over the radius.")
CHAPTER.seen = Seen("tailstock", dict(offset=0.0, height=0.0), dict(offset=0.1, height=0.1), "twice as much")


@CHAPTER.exercise("What the two collars say")
def collars(draw: Draw, say: Say) -> Task:
    span, surplus, bent = draw.whole(60, 160), draw.value(0.006, 0.030, 0.001), draw.value(0.001, 0.004, 0.0005)
    part = draw.whole(30, 50)
    taper = step(lathe.collar_taper, near=40.0, far=40.0 + surplus, bent=bent, span=span)
    line = step(lathe.end_difference, taper=taper.value, length=part)
    return ask(
        f"Two collars stand {say.length(span)} apart. The far one is {say.fine(surplus, 4)} larger, and bending alone "
        f"would leave it {say.fine(bent, 4)} larger. How much larger does the lathe make the free end of a part "
        f"{say.length(part)} long, in {say.fine_unit}?", "mm", (taper, line),
        ("Take the bending off first: the rest is the lathe's.", "What is left, over the span, times the part's "
            "length."),
        (Slip("bending forgotten", surplus / span * part, "The bending is still in it. Take it off first."),
        Slip("angle for taper", line.value / 2, "That is the angle's share. The diameter shows it twice."),
        Slip("part's length forgotten", surplus - bent, "That is over the span. Your part is shorter or longer.")),
        shown="µm",
        reveals="What is left after the bending is the lathe's own, and it grows with the length of every part "
        "you turn.")


@CHAPTER.exercise("Half a revolution")
def reversal(draw: Draw, say: Say) -> Task:
    axis, out = draw.value(-0.008, 0.008, 0.001), draw.value(0.006, 0.02, 0.002)
    first, second = axis + out / 2, axis - out / 2
    line = step(lathe.axis_reading, first=first, half_turn=second)
    also = step(lathe.bar_runout, "The bar itself runs out by:", first=first, half_turn=second)
    return ask(
        f"On a test bar the indicator reads {say.fine(first, 4)}, and with the spindle half a revolution on "
        f"{say.fine(second, 4)}. "
        f"Where does the axis lie, in {say.fine_unit}?", "mm", (also, line),
        ("What turns with the bar changes its sign; what does not turn stays.", "Take the mean of the two readings."),
        (Slip("difference for mean", first - second, "That is the run-out of the bar. The axis is the mean."),
        Slip("half the difference", out / 2, "That is how far the bar is off its own axis."),
        Slip("first reading", first, "One reading alone has the bar's run-out in it.")), shown="µm",
        answer=line.value,
        reveals="The bar turned with the spindle and changed its sign; the axis did not. So any straight bar will "
        "do, however it is held.")


@CHAPTER.exercise("Tailstock sideways", 2)
def sideways(draw: Draw, say: Say) -> Task:
    length, seat = draw.whole(120, 300), draw.whole(20, 60)
    offset = draw.value(0.01, 0.06, 0.002)
    taper = step(lathe.offset_taper, offset=-offset, length=length)
    line = step(lathe.end_difference, "Over the seat:", taper=taper.value, length=seat)
    return ask(
        f"Between centres {say.length(length)} apart the tailstock stands {say.fine(offset, 4)} too far away from you. "
        f"How much larger is the tailstock end of a seat {say.length(seat)} long than its other end, in "
        f"{say.fine_unit}?", "mm",
        (taper, line), ("Over the whole length the diameter changes by twice the offset.",
        "Twice the offset, times the seat over the length between centres."),
        (Slip("radius for diameter", line.value / 2, "That is on radius. On diameter it is twice as much."),
        Slip("whole length", 2 * offset, "That is over the whole length between the centres. The seat is shorter.")),
        shown="µm",
        reveals="Over the whole length the diameter changes by twice the offset, and the seat gets its share of "
        "that. Set the tailstock with an indicator before you turn a long seat.")


@CHAPTER.exercise("A tip too high, outside", 2)
def clearance(draw: Draw, say: Say) -> Task:
    work, ground = draw.whole(6, 24), draw.whole(6, 10)
    height = draw.value(0.1, 0.4, 0.05)
    line = step(lathe.clearance_outside, clearance=ground, height=height, diameter=work)
    other = ground + (ground - line.value)
    return ask(
        f"A tool is ground with {ground}° of clearance. Outside, on Ø{say.length(work)}, its tip stands "
        f"{say.length(height)} too high. How much clearance is left in the cut, in degrees?", "deg", (line,),
        ("Too high outside, the flank leans towards the work.", "Take off asin(2 × height ÷ diameter)."),
        (Slip("wrong direction", other, "In a bore it would gain that much. Outside, a high tip loses clearance."),
        Slip("radius for diameter", ground - (ground - line.value) / 2, "Twice the height over the diameter, or the "
        "height over the radius: you took half of it.")),
        reveals="The radius at the tip leans over, and the clearance is measured from it. The smaller the work, "
        "the more a tip off centre costs.")


@CHAPTER.exercise("The heel of a boring tool", 2)
def heel(draw: Draw, say: Say) -> Task:
    bore, angle = draw.value(6, 16, 0.5), draw.whole(5, 12)
    line = step(heel_height, bore=bore, clearance_in_cut=angle)
    return ask(
        f"In a bore of Ø{say.length(bore)} a tool has a flat flank with {angle}° of clearance, its tip at centre "
        f"height. How far below the tip does a long flank touch the wall, in {say.length_unit}?", "mm", (line,),
        ("The flank is a chord of the bore.", "Half the bore, times the sine of twice the clearance."),
        (Slip("single angle", line.value / 2, "The chord closes at twice the clearance, seen from the middle."),
        Slip("diameter for radius", 2 * line.value, "Half the bore, not the whole of it.")),
        reveals="A flat flank is a chord of the bore. Keep the flank shorter than that, and grind a second "
        "clearance below it.")


@CHAPTER.exercise("The slide that sticks", 2)
def sticks(draw: Draw, say: Say) -> Task:
    rest, moving = draw.value(0.18, 0.3, 0.01), draw.value(0.1, 0.16, 0.01)
    load, stiff = draw.whole(10, 40) * 10, draw.whole(8, 30)
    line = step(lathe.slip_step, static=rest, moving=moving, load=load, stiffness=1e3 * stiff)
    return ask(
        f"A cross slide has a friction coefficient of {plain(rest, 3)} at rest and {plain(moving, 3)} on the move. Its "
        f"ways carry {load} N, and it takes {stiff} N for each µm between hand wheel and slide. How far does it jump "
        f"when it comes loose, in {say.fine_unit}?", "mm", (line,),
        ("The screw is wound up to the friction at rest, and only the friction on the move holds the slide back.",
        "Twice the difference of the coefficients, times the load, over the stiffness."),
        (Slip("half the jump", line.value / 2, "The slide swings past the balance: it stops as far beyond it as it "
        "started before it."),
        Slip("friction at rest alone", 2 * rest * load / (1e3 * stiff),
        "Friction on the move still holds it back. Only the difference counts.")), shown="µm",
        reveals="Only the difference of the two frictions makes the slide jump. So an oil that brings them "
        "together helps more than a stiffer screw.")


@CHAPTER.exercise("Set the compound slide over", 1)
def set_over(draw: Draw, say: Say) -> Task:
    line_, moved = draw.pick((0.01, 0.02, 0.025, 0.04, 0.05)), draw.value(0.0005, 0.008, 0.0005)
    line = step(lathe.set_over_angle, ratio=moved / line_)
    return ask(
        f"One line of the compound slide's dial is {say.length(line_)}. At what angle to the spindle axis does one "
        f"line move the tip by {say.fine(moved, 3)} on radius, in degrees?", "deg", (line,),
        ("Only the part of the travel across the axis counts.", "The angle whose sine is the movement over the line."),
        (Slip("from across", 90 - line.value, "That is the angle from the cross slide. It is measured from the "
            "spindle axis."),
        Slip("linear in ninety degrees", 90 * moved / line_, "A sine does not grow evenly up to ninety degrees.")),
        reveals="Only the travel across the axis counts. That makes a coarse dial fine, and the tool moves along "
        "the work as well.")


@CHAPTER.exercise("Let it warm up", 3)
def calm(draw: Draw, say: Say) -> Task:
    full, constant, job = draw.whole(8, 24) / 1e3, draw.whole(15, 40), draw.whole(5, 15)
    line = step(lathe.calm_after, full=full, time_constant=60.0 * constant, job=60.0 * job, allowed=0.001)
    if line.value < 1200:   # a short wait hangs too much on the last digit printed
        raise Again
    return ask(
        f"Until it is warm, a spindle drifts by {say.fine(full, 4)} with a time constant of {constant} minutes. From "
        f"setting the tool to the last cut you need {job} minutes, and it may drift no more than {say.fine(0.001, 4)} "
        "in "
        "that time. How long must the spindle run first, in minutes?", "s", (line,),
        ("What is still to come falls with the same time constant.",
        "Time constant × ln(full drift × (1 − e^(−job ÷ time constant)) ÷ allowed)."),
        (Slip("job's length forgotten", 60.0 * constant * float(np.log(full / 0.001)),
        "That waits until all the drift still to come is within the limit, which is too long. Only the drift during "
        "the job counts."),
        Slip("three time constants", 3 * 60.0 * constant, "That is a rule of thumb. Here the drift "
            "and the job decide.")), shown="min",
        reveals="Only the drift between setting the tool and the last cut goes into the part. So set the tool as "
        "late as you can.")


@CHAPTER.exercise("At the lathe: your spindle nose", 1, hands=True)
def nose(draw: Draw, say: Say) -> Task:
    place = draw.pick(("in the bore of the nose", "on the register that carries the chuck"))
    line = step(lathe.bar_runout, "An axis 3 µm off shows twice that:", first=0.003, half_turn=-0.003)
    return measure(
        f"Spindle switched off at the machine, chuck taken off. Set an indicator {place} and turn the spindle once by "
        f"hand. Largest less smallest reading, in {say.fine_unit}?", "mm", (0.0005, 0.08), 0.006, (line,),
        ("Clean the nose first: a chip is fifty micrometres.", "Turn by hand, always the same way."),
        low_says="That is very little. See whether the indicator really touches.",
        high_says="That is a lot for a spindle nose. Is there dirt or a burr, or does the indicator shift?", shown="µm",
        reveals="It tells how far work moves when it is gripped again, not how round it is turned.")


@CHAPTER.exercise("Kitchen table: a block that sticks", 1, hands=True)
def block(draw: Draw, say: Say) -> Task:
    grams = draw.whole(3, 8) * 100
    line = step(lathe.slip_step, "A block of 5 N on a band that stretches 20 mm for each newton, friction 0.4 at rest "
        "and 0.3 on the move, jumps:", static=0.4, moving=0.3, load=5.0, stiffness=0.05)
    return measure(
        f"Pull a smooth, flat object of about {grams} g slowly over a table by a thin rubber band, ten jumps along a "
        f"ruler. How long is one jump, in {say.length_unit}?", "mm", (0.5, 120), 15, (line,),
        ("Pull evenly, and slower than you think.", "Ten jumps together, divided by ten."),
        low_says="It hardly sticks. A thinner band or a rougher underside shows it better.",
        high_says="That is a leap. Was the band pulled evenly, or did the block swing?",
        reveals="It is the jump of the slide, made large: a weaker spring jumps further.")
