"""Chapter 6, fits: what to aim for so that it slides, or stays."""

from __future__ import annotations

from ... import fits
from ...core import tables
from ...core.quantity import Say, plain
from ...fits import fit_target
from ...fits.pressing import bore_closing, grip_pressure, holding_torque
from ..practice import Again, Chapter, Draw, Seen, Slip, Task, ask, choose, measure, step

CHAPTER = Chapter("06_fits", "6 Fits")
SLIDING = ("H7/g6", "H8/f7", "H7/f6", "H8/e8", "H9/e9", "H7/f7")
OF_YIELD = 0.8   # a drawn joint is stressed to so much of its yield strength at most
UNITS = {5: 7, 6: 10, 7: 16, 8: 25, 9: 40}   # widths of the grades in tolerance units, as the questions say

SLIDES = fit_target.wanted(12, "slide")
CHAPTER.prediction = choose(
    "A pin is to slide in a 12 mm hole without rocking. How much smaller than the hole do you make it?",
    ("3 µm (0.0001 inch)", "12 µm (0.0005 inch)", "50 µm (0.002 inch)"), 1,
    (f"At 12 mm, {SLIDES[0] * 1e3:.0f} to {SLIDES[1] * 1e3:.0f} µm slides without rocking; the middle is "
    f"{sum(SLIDES) * 500:.0f} µm.",), (),
    (Slip("too tight", 0, "With so little it drags: every trace of dirt or warmth counts."),
    Slip("too loose", 2, "With so much it rocks: you feel it long before you can measure it.")),
    "Below about 5 µm a pin of this size drags, and above about 20 µm it rocks.")
CHAPTER.seen = Seen("fits_aim", dict(wish="run"), dict(wish="slide"), "12 µm under the bore")


@CHAPTER.exercise("How loose, at most?")
def loosest(draw: Draw, say: Say) -> Task:
    size, code = draw.whole(6, 80), draw.pick(SLIDING)
    found, (hole, shaft) = fits.fit(size, code), (fits.limits(size, part) for part in code.split("/"))
    return ask(
        f"Ø{size} mm {code}: the hole may be {say.fine(hole.lower, 3)} to {say.fine(hole.upper, 3)} over nominal, the "
        f"shaft {say.fine(-shaft.upper, 4)} to {say.fine(-shaft.lower, 4)} under it. What is the most clearance, in "
        f"{say.fine_unit}?", "mm",
        (f"The largest hole and the smallest shaft: {plain(hole.upper * 1e3, 4)} + {plain(-shaft.lower * 1e3, 4)} = "
        f"{plain(found.most_clearance * 1e3, 4)} µm.",),
        ("Which hole and which shaft together are the loosest?",
        "Take the largest hole and the smallest shaft; count from nominal both ways."),
        (Slip("least for most", found.least_clearance, "That is the least clearance: smallest hole, largest shaft."),
        Slip("one tolerance forgotten", hole.upper - shaft.upper,
        "The hole at its largest, but the shaft is not yet at its smallest."),
        Slip("one tolerance forgotten", hole.lower - shaft.lower,
        "The shaft at its smallest, but the hole is not yet at its largest.")), answer=found.most_clearance, shown="µm",
        within=0.0, give=0.0006, reveals="The loosest pair is the largest hole with the smallest shaft, both within "
        "their limits. At the lathe: measure the hole and turn the shaft to it, and you need not accept that.")


@CHAPTER.exercise("To the hole you have", 2)
def to_the_hole(draw: Draw, say: Say) -> Task:
    bore, doubt, least = (draw.whole(8, 40) + draw.value(0.002, 0.03, 0.001), draw.value(0.001, 0.004, 0.0005),
        draw.value(0.004, 0.012, 0.001))
    right = bore - doubt - least
    return ask(f"A bore measures {say.length(bore, 6)} ±{say.fine(doubt, 3)}. There must be at least "
        f"{say.fine(least, 3)} of clearance for certain. How large may the pin be at most, in {say.length_unit}?", "mm",
        (f"The bore may really be {plain(bore - doubt, 7)} mm; less {plain(least * 1e3, 3)} µm: {plain(right, 7)} "
        "mm.",), ("Take the smallest bore that the reading allows.", "Subtract the uncertainty, then the clearance."),
        (
        Slip("uncertainty forgotten", bore - least, "You took the reading as certain. The bore may be smaller by its "
            "uncertainty."),
        Slip("uncertainty the wrong way", bore + doubt - least,
        "The bore may be larger or smaller than it reads. For the least clearance, smaller counts."),
        Slip("diameter for radius", bore - doubt - 2 * least, "Clearance is given on diameter: take it off once.")),
        answer=right, within=0.0, give=0.00045,
        reveals="You allowed for the smallest bore that the reading permits. At the lathe: a better measurement of the "
        "bore leaves you more tolerance for the pin.")


@CHAPTER.exercise("From the tolerance unit", 2)
def width(draw: Draw, say: Say) -> Task:
    size, grade = draw.whole(4, 250), draw.pick((6, 7, 8))
    mean = fits.step_mean(size)
    unit = step(fits.tolerance_unit, "The unit:", step_mean=mean)
    line = step(fits.grade_width, f"Grade {grade} is {UNITS[grade]} of them:", step_mean=mean, units_wide=UNITS[grade])
    return ask(
        f"Size {size} mm lies in a step whose geometric mean is {plain(mean, 4)} mm. Grade {grade} is {UNITS[grade]} "
        f"tolerance units wide. How wide is that before rounding, in {say.fine_unit}?", "mm", (unit, line),
        ("The unit in µm is 0.45 cube roots of the mean, and a thousandth of the mean, mean in mm.",
        f"Work out the unit, then take {UNITS[grade]} of them."),
        (Slip("next grade up", float(fits.grade_width(mean, UNITS[grade + 1])), "That is one grade coarser."),
        Slip("next grade down", float(fits.grade_width(mean, UNITS[grade - 1])), "That is one grade finer."),
        Slip("unit for grade", unit.value, "That is one unit. The grade has more of them.")), shown="µm",
        reveals="A grade is a number of tolerance units, and the unit grows with about the cube root of the size. At "
        "the lathe: the table rounds this figure, so work to the table.")


@CHAPTER.exercise("A bush that closes", 2)
def closes(draw: Draw, say: Say) -> Task:
    pressure, across, bore = draw.whole(20, 80), draw.value(14, 40, 0.5), draw.value(8, 32, 0.5)
    strength = tables.row("workholding_yield", material="bronze CuSn8")["low"]
    if not 0.5 < bore / across < 0.85 or 2 * pressure / (1 - (bore / across) ** 2) > OF_YIELD * strength:
        raise Again
    line = step(bore_closing, pressure=pressure, fit_diameter=across, shaft_bore=bore, shaft_modulus=110e3)
    return ask(
        f"A bronze bush (E = 110 GPa), Ø{say.length(across)} outside, Ø{say.length(bore)} bore, is pressed in; the "
        f"pressure is {pressure} MPa. By how much does its bore close, on diameter, in {say.fine_unit}?", "mm", (line,),
        ("It is a ring under pressure from outside; its formula stands under “Why”.",
        "Twice the bore × pressure ÷ E, over 1 less the square of bore over outside."),
        (Slip("radius for diameter", line.value / 2, "That is on radius. A plug gauge feels the diameter."),
        Slip("thin for thick", 2 * pressure * bore / 110e3,
        "You left out the wall: only a solid bar would deflect so little.")), shown="µm",
        reveals="A thin bush closes by most of its interference. At the lathe: press it in first, then ream or bore it "
        "to size.")


@CHAPTER.exercise("Does the joint hold?", 2)
def torque(draw: Draw, say: Say) -> Task:
    pressure, friction, across, length = (draw.whole(15, 90), draw.value(0.05, 0.14, 0.01), draw.value(10, 40, 0.5),
        draw.whole(10, 40))
    line = step(holding_torque, pressure=pressure, friction=friction, fit_diameter=across, length=length)
    return ask(
        f"A hub sits on a shaft Ø{say.length(across)} over {say.length(length)} with {pressure} MPa and a "
        f"coefficient of friction of {plain(friction, 2)}. At what torque does it slip, in N m?", "N mm", (line,),
        ("Pressure × area of the joint × friction gives the force at the surface.",
        "Times the lever: half the diameter."),
        (
        Slip("diameter for radius", 2 * line.value,
        "You used the diameter as the lever. The force acts at the radius."),
        Slip("π forgotten", line.value / 3.14159, "The joint goes all round: its area is π × diameter × length.")),
        shown="N m", reveals="Pressure, area, friction and the radius as lever give the torque. At the lathe: friction "
        "is known to a factor of about 1.5, so load such a joint to half of this at most.")


@CHAPTER.exercise("How much pressure?", 2)
def pressure(draw: Draw, say: Say) -> Task:
    across, outside, tight = draw.value(12, 40, 0.5), draw.value(25, 90, 1), draw.value(0.008, 0.04, 0.001)
    if not 1.5 < outside / across < 3:
        raise Again
    strength = tables.row("workholding_yield", material="free-cutting steel 11SMn30 / 12L14")["low"]
    line = step(grip_pressure, interference=tight, fit_diameter=across, hub_outside=outside, shaft_bore=0,
        hub_modulus=205e3, hub_poisson=0.29, shaft_modulus=205e3, shaft_poisson=0.29)
    if line.value * (outside**2 + across**2) / (outside**2 - across**2) > OF_YIELD * strength:
        raise Again
    return ask(f"A steel ring Ø{say.length(outside)} outside is shrunk on a solid steel shaft Ø{say.length(across)}, "
        f"{say.fine(tight, 3)} larger than the ring's bore. E = 205 GPa. What pressure is between them, in MPa?", "MPa",
        (line,),
        ("Both are of one metal and the shaft is solid, so the formula is short.",
        "E × interference ÷ diameter, times (1 less the square of the bore over the outside), halved."),
        (
        Slip("radius for diameter", line.value / 2,
        "You halved the interference. It is given on diameter, as is the size."),
        Slip("the shaft's give forgotten", 2 * line.value,
        "Twice: check the formula's half, and that the interference is on diameter."),
        Slip("thick for thin", 205e3 * tight / across / 2,
        "You left out the ring's outside: only a very thick ring would press so hard.")),
        reveals="Ring and shaft share the interference, and a thin ring takes most of it. At the lathe: a "
            "thousandth of "
        "the diameter is about all that a mild steel ring can take.")


@CHAPTER.exercise("Cut again, keep, or start over?", 3)
def decide(draw: Draw, say: Say) -> Task:
    bore, pin = draw.whole(8, 30) + draw.value(0.002, 0.02, 0.001), draw.value(-0.012, 0.03, 0.001)
    low, high = draw.value(0.004, 0.008, 0.001), draw.value(0.014, 0.02, 0.001)
    if min(abs(pin - low), abs(pin - high)) < 0.0015:
        raise Again
    right = 0 if pin < low else 2 if pin > high else 1
    return choose(
        f"The bore measures {say.length(bore, 6)}, the pin in the chuck {say.length(bore - pin, 6)}, both cold. You "
        f"want {say.fine(low, 3)} to {say.fine(high, 3)} of clearance. What now?",
        ("take another cut", "it is good", "make a new pin"), right,
        (f"The clearance is {plain(pin * 1e3, 3)} µm; you want {plain(low * 1e3, 3)} to {plain(high * 1e3, 3)} µm.",),
        ("Subtract the pin from the bore, in micrometres.", "Too tight can be cut again; too loose cannot."),
        tuple(
        Slip("tight for loose" if abs(i - right) == 2 else "out by one", i,
        "That is the wrong way round: work out bore less pin again." if abs(i - right) == 2
        else "Hold the clearance against both ends of what is wanted.") for i in range(3) if i != right),
        "Bore less pin, both cold, decides it. At the lathe: aim large, so that a miss can be cut again, but leave "
        "enough for the edge to cut and not rub.")


@CHAPTER.exercise("At the lathe: five pins", 2, hands=True)
def pins(draw: Draw, say: Say) -> Task:
    size = draw.value(8, 20, 0.5)
    line = step(fits.grade_width, "For comparison, the width of grade 7 there:", step_mean=fits.step_mean(size),
        units_wide=16)
    return measure(
        f"Turn five short pins of Ø{say.length(size)} from one bar, with one last cut each, all to the same dial "
        "reading. Do not correct between them. Let them cool and measure each in the middle. What is the largest less "
        f"the smallest, in {say.fine_unit}?", "mm", (0.001, 0.08), 0.012, (line,),
        ("Take the same depth of last cut for all five, and measure at the same place.",
        "Five pins give the spread only roughly; write all five down."),
        low_says="Less than a micrometre in five would be remarkable. Does your micrometer resolve so little?",
        high_says="That is a lot. Did you take up the backlash the same way each time, and were they all cold?",
            shown="µm",
        reveals="About half of this is your own ±. Set it on the page: it tells you whether one cut is enough.")


@CHAPTER.exercise("Kitchen table: foil", 1, hands=True)
def foil(draw: Draw, say: Say) -> Task:
    layers = draw.whole(8, 24)
    line = step(fits.grade_width, "For comparison, grade 6 at 12 mm:", step_mean=fits.step_mean(12), units_wide=10)
    return measure(
        f"Fold kitchen foil into {layers} layers, press them flat, and measure the stack in five places. Divide the "
        f"middle reading by {layers}. How thick is one layer, in {say.fine_unit}?", "mm",
        (0.006, 0.035), 0.014, (line,), ("Press the stack flat: air reads as metal.", f"Divide the stack by {layers}."),
        low_says="Thinner than kitchen foil is made. Were there fewer layers than you divided by?",
        high_says="Thicker than kitchen foil. Is air between the layers, or is it foil from a tray?", shown="µm",
        slips=(Slip("layers forgotten", 0.014 * layers,
        f"That looks like the whole stack. Divide by the {layers} layers."),),
        reveals="One layer is about the clearance at which a 12 mm pin slides: that is how little separates drag from "
        "rock.")
