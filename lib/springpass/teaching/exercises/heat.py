"""Chapter 1, heat: on size when warm, loose next morning."""

from __future__ import annotations

from ... import heat
from ...core.quantity import Say, plain
from ...heat import cooling_down as cooling
from ..practice import Again, Chapter, Draw, Seen, Slip, Task, ask, choose, measure, step

CHAPTER = Chapter("01_heat", "1 Heat")
METALS = (("brass", "brass CuZn39Pb3"), ("aluminium", "aluminium 6082"), ("low-alloy steel", "42CrMo4 / 4140"),
    ("stainless steel", "stainless 304"), ("bronze", "bronze CuSn8"))
GAUGE = heat.properties("gauge-block steel").expansion
BEARING = heat.properties("bearing steel 100Cr6 / 52100").expansion


def millionths(expansion: float) -> str:
    return f"{plain(expansion * 1e6, 3)} millionths per degree"


CHAPTER.prediction = ask(
    "An aluminium ring, 62 mm across, comes out of the chuck 20 degrees warmer than the micrometer. How much too large "
    "does it read, in µm?", "mm",
    (
    step(heat.reading_error, size=62, part_expansion=heat.properties("aluminium 6082").expansion, part_rise=20,
    gauge_expansion=GAUGE, gauge_rise=0),), (),
    (
    Slip("radius for diameter, or steel for aluminium", 0.0145,
    "About half of it is what the radius grows, or what steel would grow. A micrometer measures across, and aluminium "
    "grows twice as much as steel."),
    Slip("cold for warm", 0.0, "That would be right for a cold part. This one is warm, and it measures as it is.")),
    shown="µm", within=0.2,
    reveals="It is 23.4 millionths per degree, times 62 mm, times 20 degrees: more than the whole H7 tolerance of its "
    "42 mm bore.")
CHAPTER.seen = Seen("heat_reading", dict(material="aluminium 6082", size=62.0, part=25.0, gauge=20.0),
    dict(part=40.0), "29 µm")


@CHAPTER.exercise("How large does it read?")
def warm_work(draw: Draw, say: Say) -> Task:
    name, metal = draw.pick(METALS)
    size, rise, expansion = draw.value(12, 80, 0.5), draw.value(6, 40, 0.5), heat.properties(metal).expansion
    line = step(heat.reading_error, size=size, part_expansion=expansion, part_rise=rise, gauge_expansion=GAUGE,
        gauge_rise=0)
    return ask(
        f"A part of {name} ({millionths(expansion)}) measures about {say.length(size)} across and is {plain(rise, 3)} "
        "K warmer than your micrometer, which is at 20 °C. " f"How much too large does it read, in {say.fine_unit}?",
        "mm", (line,),
        ("Only the part has grown: multiply its size by its expansion and by the degrees.",
        f"Multiply {say.length(size)} by {plain(expansion * 1e6, 3)} millionths, then by {plain(rise, 3)}."),
        (
        Slip("radius for diameter", line.value / 2,
        "That is the growth of the radius. A micrometer measures across and shows twice that."),
        Slip("cold for warm", 0.0,
        "That would be right for a cold part. This one is warm, and it measures as it is.")), shown="µm",
        reveals="Only the part has grown, so all of its growth is in the reading. Take that much off before you "
        "compare it with the drawing.")


@CHAPTER.exercise("What must it read?", 2)
def read_warm(draw: Draw, say: Say) -> Task:
    name, metal = draw.pick(METALS)
    size, rise, gauge, expansion = (draw.value(15, 90, 1), draw.value(15, 45, 0.5), draw.value(1, 6, 0.5),
        heat.properties(metal).expansion)
    line = step(heat.reading_error, size=size, part_expansion=expansion, part_rise=rise, gauge_expansion=GAUGE,
        gauge_rise=gauge)
    return ask(f"The part is to be {say.length(size, 6)} at 20 °C, in {name} ({millionths(expansion)}). Now it is "
        f"{plain(rise, 3)} K above 20 °C, and the steel micrometer "
        f"({millionths(GAUGE)}), warmed by your hand, is {plain(gauge, 2)} K above. By how much must the reading be "
        f"over the wanted size, in {say.fine_unit}?", "mm", (line,),
        ("Part and micrometer have both grown; the reading shows the difference.",
        "Take the micrometer's growth over the same length off the part's growth."),
        (
        Slip("gauge forgotten", float(heat.reading_error(size, expansion, rise, GAUGE, 0.0)),
        "You took the micrometer as cold. It has grown too, and reads less for it."),
        Slip("cold for warm", -line.value,
        "That is the right amount the wrong way round: it must read larger now, so that it is right when it is cold."),
        Slip("radius for diameter", line.value / 2, "That is the growth of the radius. A micrometer measures across.")),
        shown="µm", reveals="The gauge has grown too and takes its own growth off the reading. At the lathe: aim at "
        "the wanted size plus this, and it is right when it is cold.")


@CHAPTER.exercise("The winter bearing", 2)
def winter(draw: Draw, say: Say) -> Task:
    size, play = draw.pick((22, 24, 26, 28, 30, 32, 35, 37, 40, 42, 47, 52, 55, 62)), draw.value(0.004, 0.025, 0.0005)
    hole = heat.properties("aluminium 6082").expansion
    span = play / (size * (hole - BEARING))
    line = step(heat.clearance_at,
        "The clearance falls by the difference of the two growths. At the temperature we look for, none is left:",
        clearance=play, size=size, hole_expansion=hole, shaft_expansion=BEARING, rise=-span)
    return ask(
        f"A bearing's outer ring of steel ({millionths(BEARING)}) sits in an aluminium housing ({millionths(hole)}), "
        f"Ø{say.length(size)}, with {say.fine(play, 3)} of clearance at 20 °C. "
        "By how many degrees must both cool until no clearance is left?", "K",
        (line, f"So {plain(play * 1e3, 3)} µm divided by {plain(size * (hole - BEARING) * 1e3, 3)} µm per degree: "
        f"{plain(span, 4)} K."),
        ("Which shrinks faster, housing or ring? Only the difference closes the gap.",
        "Divide the clearance by the size times the difference of the two expansions."),
        (
        Slip("one part for both", play / (size * hole),
        "You let the housing alone shrink. The ring shrinks too; only the difference counts."),
        Slip("diameter for radius", 2 * span,
        "You took the size for a radius. Clearance and size are both on diameter here.")), answer=span,
        reveals="Only the difference of the two expansions closes the gap. Give a seat for outdoors that much more "
        "clearance, or choose a steel insert.")


@CHAPTER.exercise("How warm must the housing be?", 2)
def drop_in(draw: Draw, say: Say) -> Task:
    size, tight, play = draw.value(22, 72, 1), draw.value(0.008, 0.03, 0.0005), draw.value(0.01, 0.025, 0.0005)
    metal = heat.properties("aluminium 6082").expansion
    line = step(heat.warming_needed, interference=tight, play=play, size=size, expansion=metal)
    return ask(f"A bearing Ø{say.length(size)} is {say.fine(tight, 3)} larger than its bore in an aluminium housing "
        f"({millionths(metal)}). To drop it in by hand you want {say.fine(play, 3)} of clearance. "
        "How many degrees warmer than the bearing must the housing be?", "K", (line,),
        ("First the interference must go, then the clearance must come.",
        "Divide interference and clearance together by the size times the expansion."),
        (
        Slip("clearance forgotten", tight / (size * metal),
        "That only just brings the bore to the bearing's size, and it would still drag. Add the clearance."),
        Slip("clearance taken off", abs(tight - play) / (size * metal),
        "Interference and clearance add up: the bore has to grow by both."),
        Slip("steel for aluminium", (tight + play) / (size * BEARING),
        "You let the housing grow like steel. Aluminium grows twice as much.")),
        reveals="The bore must first grow to the bearing's size and then by the clearance your hands need. Set the "
        "oven a few degrees higher: it cools on the way.")


@CHAPTER.exercise("The time constant", 2)
def time_constant(draw: Draw, say: Say) -> Task:
    diameter, length, h = draw.value(10, 60, 1), draw.value(30, 150, 5), draw.value(7, 12, 0.1)
    steel = heat.properties("carbon steel C45 / 1045")
    thick = float(cooling.round_volume(diameter, length) / cooling.round_surface(diameter, length))
    line = step(cooling.time_constant, f"Volume over surface, the ends counted, is {plain(thick, 4)} mm.",
        density=steel.density, specific_heat=steel.specific_heat, thickness=thick, coefficient=h)
    return ask(
        f"A solid steel pin, Ø{say.length(diameter)} and {say.length(length)} long, lies in still air. The heat "
        f"transfer coefficient is {plain(h, 3)} W/(m² K). Its density is {plain(steel.density, 4)} kg/m³, its "
        f"specific heat {plain(steel.specific_heat, 3)} J/(kg K). What is its time constant (the time until "
        "37 % of the rise is left), in minutes?", "s", (line,),
        ("Multiply density, specific heat and volume over surface, and divide by the coefficient. Mind the metres.",
        f"Volume over surface is a quarter of the diameter, a little less for the ends: {plain(thick, 3)} mm."),
        (
        Slip("radius for diameter", line.value / 2,
        "That is half of it: you took the radius for the diameter in volume over surface."),
        Slip("diameter for radius", 2 * line.value,
        "That is twice as much: you took the diameter for the radius in volume over surface."),
        Slip("no square", 4 * line.value, "Volume over surface is a quarter of the diameter, not the diameter.")),
        shown="min", within=0.06, reveals="Thickness sets it, not length: wait twice as long for a bar twice as thick.")


@CHAPTER.exercise("Wait, or cut?", 3)
def wait_or_cut(draw: Draw, say: Say) -> Task:
    size, rise, tol = (draw.value(18, 70, 0.5), draw.value(8, 40, 0.5),
        draw.pick((0.011, 0.013, 0.016, 0.019, 0.021, 0.025, 0.03)))
    metal = heat.properties("carbon steel C45 / 1045").expansion
    line = step(heat.length_change, length=size, expansion=metal, rise=rise)
    ratio = line.value / tol
    if 0.42 < ratio < 0.6 or 0.08 < ratio < 0.14:
        raise Again
    right = 2 if ratio >= 0.6 else 0 if ratio <= 0.08 else 1
    options = ("measure and finish at once", "finish, but allow for the growth", "wait, or cool it, then finish")
    return choose(
        f"A steel part Ø{say.length(size)} ({millionths(metal)}) is {plain(rise, 3)} K too warm. Its tolerance is "
        f"{say.fine(tol, 2)}. House rule: growth up to a tenth of the tolerance does not matter, "
        "up to half of it you may allow for, and beyond that you wait. What do you do before the last cut?", options,
        right,
        (line, f"Of a tolerance of {plain(tol * 1e3, 2)} µm that is {plain(100 * ratio, 2)} %: {options[right]}."),
        ("Work out the growth first, then compare it with the tolerance.",
        "Multiply size, expansion and rise, and divide by the tolerance."),
        tuple(
        Slip("cold for warm" if place < right else "overcautious", place,
        "The part is warmer than the rule allows for that. Work out how much it has grown." if place < right
        else "That is more care than this part needs. Compare its growth with the tolerance.") for place in range(3)
        if place != right),
        "The growth as a share of the tolerance decides, not how warm the part feels.")


@CHAPTER.exercise("Kitchen table: halving the warmth", 2, hands=True)
def mug(draw: Draw, say: Say) -> Task:
    high = draw.whole(34, 44)
    middle = high / 2
    return measure(
        f"Take a full mug of hot water, a thermometer and a clock; mind the hot water. Note the time when the water is "
        f"{high} K above the room, then at {plain(middle, 3)} K, then at {plain(middle / 2, 3)} K. "
        "If it always lost heat in the same proportion, both halvings would take equally long. Divide the second time "
        "by the first: what do you get?", "1", (1.05, 2.5), 1.4,
        (
        step(cooling.wait_at_one_coefficient,
        "With one coefficient, from the first to the second mark, for a time constant of 3000 s:", constant=3000,
        start=high, end=middle),
        step(cooling.wait_in_still_air, "With a coefficient that falls with the fourth root of the rise:",
        constant=3000, start=high, end=middle),
        "The second halving starts from a smaller rise, so still air carries less. Steam, strong at first, makes "
        "the difference larger."),
        ("Stir before each reading, and keep the mug out of draughts.",
        "Divide the second time by the first. More than one means that it cools more slowly the cooler it gets."),
        low_says="Then the second halving was the quicker one. Did a draught start, or did you divide the first time "
        "by the second?",
        high_says="That is very slow. Was the room's own temperature taken right? It decides the last degrees.",
        slips=(Slip("upside down", 1 / 1.4, "That looks like the first time over the second. Turn it round."),))


@CHAPTER.exercise("At the lathe: watch it shrink", 3, hands=True)
def watch_it(draw: Draw, say: Say) -> Task:
    size, minutes = draw.whole(20, 40), draw.whole(15, 25)
    metal = heat.properties("carbon steel C45 / 1045").expansion
    line = step(heat.length_change, "If the roughing had warmed it by 15 K:", length=size, expansion=metal, rise=15)
    return measure(
        f"Rough a piece of steel to some {say.length(size, 3)} in several passes. Stop the spindle and wait until it "
        f"stands still. Measure at a marked place at once, and again after {minutes} minutes in the chuck; "
        f"lay the micrometer down in between. By how much has it shrunk, in {say.fine_unit}?", "mm", (0.0005, 0.03),
        line.value, (line,),
        ("Clean the place, use the ratchet, hold the micrometer by its insulated part.",
        "Take the second reading off the first. Hot chips burn: use a brush."),
        low_says="It did not shrink. Probably the micrometer warmed up in your hand, or the cut was too light to "
        "warm the work. Rough harder and lay the micrometer down.",
        high_says=f"That would be a rise of over {plain(0.03 / (size * metal), 2)} K. Was it the same place, and are "
        "the readings in the unit asked?", shown="µm")
