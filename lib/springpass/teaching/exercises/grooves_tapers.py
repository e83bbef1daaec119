"""Chapter 12, grooves and tapers: blade, slide, tailstock, blue, threads inside."""

from __future__ import annotations

from fractions import Fraction

from ...core.quantity import Say, plain
from ...grooves_tapers import (
    blade_bending,
    blade_force,
    dial_rule,
    grab_ratio,
    half_angle,
    off_for_stand_out,
    rise_along,
    set_over,
    size_error,
    smallest_face_groove,
    top_thread_speed,
)
from ...grooves_tapers.inside_threads import MM
from ..practice import Again, Chapter, Draw, Seen, Slip, Task, ask, choose, measure, step

CHAPTER = Chapter("12_grooves_and_tapers", "12 Grooves and tapers")

CHAPTER.prediction = ask(
    "You change a parting blade 2 mm wide for one 4 mm wide: same height, same overhang, same feed. How many times as "
    "far does the new blade's end bend down?", "1",
    (step(blade_bending, "The wide blade under twice the force, mm:", force=540, overhang=16, width=4, height=14,
        modulus=210e3), "The narrow one under half of it bends as far: 1 times."), (),
    (Slip("force alone", 2.0, "The force doubles, but so does the blade's stiffness."),
    Slip("stiffness alone", 0.5, "The blade is twice as stiff, but it also carries twice the force."),
    Slip("bent sideways", 0.25, "The cube of the width counts sideways. Down it is the cube of the height.")),
    answer=1.0, within=0.05,
    reveals="Force and stiffness both go with the width. What does not get stiffer is the tool post, and so the wide "
    "blade grabs where the narrow one cuts.")
CHAPTER.seen = Seen("parting_blade", dict(), dict(width=4.0), "5.9 µm")


@CHAPTER.exercise("How large is the force?")
def force(draw: Draw, say: Say) -> Task:
    specific, wide, feed = draw.whole(14, 40) * 100, draw.value(1, 4, 0.1), draw.value(0.02, 0.1, 0.005)
    line = step(blade_force, specific_force=specific, width=wide, feed=feed)
    return ask(f"Steel of {specific} MPa specific cutting force is grooved with a blade {say.length(wide)} wide at "
        f"{say.length(feed)} per revolution. How large is the cutting force, in N?", "N", (line,),
        ("The whole width cuts at once. What is the chip's section?", "Specific force times width times feed."),
        (Slip("half the width", line.value / 2, "The whole width is in the cut, not half of it."),
        Slip("feed forgotten", specific * wide, "That is the force of a chip 1 mm thick. The chip is as thick as the "
        "feed.")),
        reveals="The whole width cuts at once, so a groove needs far more force than turning at the same feed.")


@CHAPTER.exercise("How near to grabbing?", 2)
def grab(draw: Draw, say: Say) -> Task:
    moved, specific, wide = draw.value(3, 15, 0.5), draw.whole(20, 36) * 100, draw.value(1, 3, 0.1)
    line = step(grab_ratio, inward=moved / 1e5, specific_force=specific, exponent=0.22, width=wide)
    if not 0.15 < line.value < 0.95:
        raise Again
    return ask(f"Ten kilograms on the tool (100 N) move its edge {say.fine(moved / 1e3, 3)} into the work. The metal "
        f"takes {specific} MPa at this feed and its force grows with the 0.78th power of the chip. What share of each "
        f"chip does a blade {say.length(wide)} wide draw in as well, in %?", "1", (
        f"Movement for one newton: {plain(moved / 1e5, 3)} mm.", line),
        ("How far does the edge move for one newton, and how many newtons does a thicker chip cost?",
        "Movement per newton × 0.78 × specific force × width."),
        (Slip("secant for slope", line.value / 0.78, "You took the whole specific force. A little more chip costs only "
        "0.78 of it."),
        Slip("for a hundred newtons", 100 * line.value, "That is the movement for 100 N. Divide it by 100 first.")),
        shown="%",
        reveals="At 100 % nothing stops the chip from growing. Under about a half you can rely on the blade.")


@CHAPTER.exercise("Room for the heel", 2)
def heel(draw: Draw, say: Say) -> Task:
    low, angle = draw.value(3, 14, 0.5), draw.value(4, 15, 0.5)
    line = step(smallest_face_groove, heel=low, clearance=angle)
    return ask(f"A grooving blade is {say.length(low)} high below its edge, with {plain(angle, 3)}° of side clearance "
        "on the outer flank. From which outside diameter upwards does it enter a groove in a face, in "
        f"{say.length_unit}?", "mm", (line,),
        ("A chord from the edge down to the heel, at the clearance angle to the tangent of the groove's wall.",
        "Twice the heel's height over the sine of twice the angle."),
        (Slip("radius for diameter", line.value / 2, "That is the radius. The groove's diameter is twice that."),
        Slip("angle once", 2 * low / float(rise_along(1, angle)),
        "The heel must clear a circle, not a straight line: the angle counts twice.")),
        reveals="The heel has to clear a circle, so a larger groove is easier. In a small one grind the flank "
        "round.")


@CHAPTER.exercise("Set the slide")
def slide(draw: Draw, say: Say) -> Task:
    large, ratio, length, travel = (draw.whole(12, 60), draw.pick((5, 8, 10, 12, 15, 20)), draw.whole(20, 80),
        draw.pick((30, 40, 50, 60)))
    small = round(large - length / ratio, 3)
    if small < 4:
        raise Again
    angle = step(half_angle, "The slide's angle:", large=large, small=small, length=length)
    line = step(rise_along, travel=travel, angle=angle.value)
    return ask(f"A taper runs from Ø{say.length(large, 6)} to Ø{say.length(small, 6)} over {say.length(length)}. You "
        f"set the compound slide with an indicator that stands square to the spindle axis. What must it show over "
        f"{say.length(travel)} of slide travel, in {say.length_unit}?", "mm", (angle, line),
        ("Half the difference of the diameters over the length gives the slide's angle.",
        "The slide's travel is the long side of the triangle: take the sine."),
        (Slip("whole angle", step(rise_along, travel=travel, angle=2 * angle.value).value,
        "The slide goes over by half the taper's angle; each side has its half."),
        Slip("no angle", travel / 2, "That is half the travel. The angle is missing.")), within=0.005,
        reveals="The indicator sees half the taper's angle over its own travel, and it sees it some forty times "
        "better than your eye on the scale.")


@CHAPTER.exercise("The scale on the slide", 2)
def scale(draw: Draw, say: Say) -> Task:
    length, out, ratio = draw.whole(30, 120), draw.value(0.05, 0.3, 0.01), draw.pick((8, 10, 12, 20, 50))
    angle = step(half_angle, "The half angle:", large=1 + length / ratio, small=1, length=length)
    line = step(size_error, length=length, angle=angle.value, error=out)
    return ask(f"A taper 1:{ratio} is {say.length(length)} long. The slide stands {plain(out, 2)}° too steep, which no "
        f"eye sees on its scale. One end measures right. How far is the other end out, on diameter, in "
        f"{say.fine_unit}?", "mm", (angle, line),
        ("How far does a line turned by that angle stray over the length?",
        "Length times the angle in radians, and twice that on diameter."),
        (Slip("radius for diameter", line.value / 2, "That is on one side. The diameter has it twice."),
        Slip("degrees for radians", 2 * length * out, "The angle must be in radians: 1° is 0.01745.")), shown="µm",
        within=0.04,
        reveals="An angle error counts twice on diameter and grows with the length. So set a long taper by an "
        "indicator.")


@CHAPTER.exercise("The tailstock goes over")
def tailstock(draw: Draw, say: Say) -> Task:
    large, length, ratio, between = (draw.value(16, 50, 0.5), draw.whole(40, 120), draw.pick((20, 24, 30, 40, 50)),
        draw.whole(130, 400))
    small = round(large - length / ratio, 3)
    line = step(set_over, between=between, large=large, small=small, length=length)
    return ask(f"Work {say.length(between)} long between its centres gets a taper from Ø{say.length(large, 6)} to "
        f"Ø{say.length(small, 6)} over {say.length(length)} of its length. How far must the tailstock go over, in "
        f"{say.length_unit}?", "mm", (line,),
        ("What taper would the whole length have? The tailstock moves one side only.",
        "Half the difference of the diameters, times the whole length over the taper's length."),
        (Slip("taper's own length", (large - small) / 2, "You left the whole length out: the work turns about the far "
        "centre."),
        Slip("diameter for radius", 2 * line.value, "That is on diameter. The tailstock moves the radius.")),
        within=0.01,
        reveals="The set-over belongs to the whole length between the points, and the taper to its own. So "
        "measure to the bottom of the centre holes.")


@CHAPTER.exercise("The plug stands out", 2)
def stands_out(draw: Draw, say: Say) -> Task:
    out, ratio = draw.value(0.1, 3, 0.05), draw.pick((5, 10, 12, 19.002, 20, 20.02, 50))
    line = step(off_for_stand_out, stand_out=out, ratio=1 / ratio)
    return ask(f"A plug with a taper of 1:{plain(ratio, 6)} stands {say.length(out, 3)} too far out of its gauge. How "
        f"much must come off its diameter, in {say.fine_unit}?", "mm", (f"The rate of taper: {plain(1 / ratio, 4)}.",
        line), ("How much does the diameter change over a millimetre of length?", "Stand-out times the rate of taper."),
        (Slip("radius for diameter", line.value / 2, "The rate of taper is on diameter already."),
        Slip("taken as it stands", out, "You took the stand-out itself off. A slim taper needs far less.")),
        shown="µm", within=0.02,
        reveals="The taper turns a length that you can measure into a diameter that you can hardly measure.")


@CHAPTER.exercise("Stop in the relief", 2)
def relief(draw: Draw, say: Say) -> Task:
    pitch, wide, reaction = (draw.pick((0.75, 1.0, 1.25, 1.5, 2.0, 2.5)), draw.value(2, 8, 0.5),
        draw.value(0.5, 1.2, 0.1))
    line = step(top_thread_speed, run_out=wide, pitch=pitch, reaction=reaction)
    return ask(f"An inside thread of {plain(pitch, 3)} mm pitch ends in a relief {say.length(wide)} wide. From the "
        f"mark on the bar to a standing carriage you need {plain(reaction, 2)} s. How fast may the spindle run at "
        "most, in rpm?", "1/min", (line,),
        ("How far does the carriage go in one revolution, and how many revolutions fit into the relief?",
        "Relief over pitch gives revolutions; over the time, revolutions a second; times 60."),
        (Slip("a second is not a minute", line.value / 60, "That is revolutions a second."),
        Slip("time forgotten", 60 * wide / pitch, "You took one second. Divide by your own time.")), within=0.02,
        reveals="The carriage moves one pitch per revolution, and your hand needs its time. A wider relief or a "
        "slower spindle helps.")


DIALS = ("wherever the half-nuts drop in", "at any of the eight marks", "at every second mark", "at the opposite mark",
    "at the same mark only")


@CHAPTER.exercise("Which mark on the dial?", 3)
def mark(draw: Draw, say: Say) -> Task:
    tpi = draw.pick((8, 16, 24, 32, 12, 20, 28, 36, 10, 14, 18, 22, 26, 7, 9, 11, 13, 19, 4.5, 5.5, 11.5))
    rule = dial_rule(MM / 8, MM / Fraction(str(tpi)), 16, 8)
    right = 0 if rule.anywhere else {8: 1, 4: 2, 2: 3, 1: 4}[len(rule.marks)]
    travel = plain(rule.period / 25.4, 3)
    return choose(
        f"The leadscrew has 8 threads to the inch. The thread dial's gear has 16 teeth, so it turns once in 2 inch of "
        f"travel, and it carries eight marks. You cut {plain(tpi, 3)} threads to the inch. At which marks may the "
        "half-nuts close again, beside the one you began at?", DIALS, right,
        (f"Leadscrew and thread are both back in step every {travel} inch of travel.",
        "Eight marks round 2 inch: a quarter of an inch from mark to mark."),
        ("After how many inches is the travel a whole number of both pitches?",
        "Marks stand a quarter of an inch apart. Every how many marks is that?"),
        tuple(Slip("too free" if i < right else "freer than you think", i,
        "Some of those marks would put the tool beside its groove." if i < right
        else "That is safe, but more marks are right.") for i in range(5) if i != right),
        reveals="The half-nuts may close when the travel is a whole number of both pitches.")


@CHAPTER.exercise("At the lathe: how far does your edge move in?", 3, hands=True)
def weigh(draw: Draw, say: Say) -> Task:
    wide = draw.pick((1.5, 2.0, 2.5, 3.0))
    line = step(grab_ratio, "With 10 µm, a blade of that width draws in so much of each chip:", inward=1e-4,
        specific_force=3000, exponent=0.22, width=wide)
    return measure("Spindle off and isolated. Clamp a short tool, set an indicator level with the spindle axis against "
        "its front, pointing at you, and hang 10 kg on the tool's tip with a strap. How far does the edge move towards "
        f"the work, in {say.fine_unit}? Think of a blade {say.length(wide)} wide as you read.", "mm", (0.0005, 0.08),
        0.01, (line,),
        ("Read the indicator before and after, three times. Lift the weight with your legs, feet out of the way.",
        "Push the cross slide towards you first, so that the backlash is taken up."), shown="µm",
        low_says="That is very little for a lathe. Does the indicator's stand move along with the tool?",
        high_says="That is a lot. Is something loose: the slide's gibs, the post's bolt?",
        reveals="This is the number that the blade's page asks for: half of it means half the risk of grabbing.")


@CHAPTER.exercise("Kitchen table: the taper of a glass", 1, hands=True)
def glass(draw: Draw, say: Say) -> Task:
    name, top, foot, tall = draw.pick((("drinking glass", 75, 58, 100), ("plastic cup", 70, 48, 95),
        ("flower pot", 120, 85, 105)))
    line = step(half_angle, "Such a one may have:", large=top, small=foot, length=tall)
    return measure(f"Take a {name} with straight, slanting sides. Measure it outside near the top and near the foot, "
        "and the height between the two places. What is half its taper's angle, in degrees?", "deg", (0.5, 25),
        line.value, (line,),
        ("Both diameters at places you have marked, with callipers held square.",
        "Half the difference of the diameters over the height: that is the tangent."),
        low_says="Almost a cylinder. Did you measure the two places on one line?",
        high_says="Very steep. Did you use the difference of the radii, not of the diameters?",
        reveals="Half the difference of the diameters over the height is the tangent: a slide would be set over "
        "by that angle.")
