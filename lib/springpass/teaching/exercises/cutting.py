"""Chapter 8, cutting: speed, finish, chips, power."""

from __future__ import annotations

from ...core.quantity import Say, plain
from ...cutting import cutting_power, feed_for_mark, feed_mark_short, finest_useful_feed
from ...cutting.chips import chip_thickness, curl_strain, shear_angle, string_length
from ...cutting.speeds import cutting_torque, spindle_speed, time_in_cut, torque_available
from ..practice import Again, Chapter, Draw, Seen, Slip, Task, ask, choose, measure, step

CHAPTER = Chapter("08_cutting", "8 Cutting")
PI = 3.141592653589793

CHAPTER.prediction = ask(
    "You bore Ø10, 32 mm deep, at 0.05 mm per revolution, and the chip never breaks. It comes off some two and a "
    "half times as "
    "thick as it was fed. How long is the string, in m?", "mm",
    (step(string_length, diameter=10, length=32, feed=0.05, ratio=0.4),), (),
    (Slip("the hole's depth", 32.0, "That is the depth of the hole; the tool goes round it hundreds of times."),
    Slip("compression forgotten", 20106.0, "That is the path of the tool. The chip comes off thicker, and so shorter."),
    Slip("radius for diameter", 4021.0, "Half: the way round is π times the diameter.")), shown="m", within=0.2,
    reveals="640 turns of 31 mm, and the chip is two and a half times shorter than the path: it takes more room as a "
    "tangle than the bore has.")
CHAPTER.seen = Seen("cutting_chips", dict(length=4.0), dict(length=32.0), "string")


@CHAPTER.exercise("Speed into rpm")
def turns(draw: Draw, say: Say) -> Task:
    speed, across = draw.whole(15, 160), draw.value(6, 80, 0.5)
    line = step(spindle_speed, speed=speed, diameter=across)
    if not 60 < line.value < 2500:
        raise Again
    return ask(f"You want {say.speed(speed) if not say.inch else f'{plain(speed / 0.3048, 4)} ft/min'} at "
        f"Ø{say.length(across)}. How many rpm is that?", "1/min", (line,),
        ("How long is the way round, and how many of them make up the speed?",
        "Divide the speed in mm per minute by π × diameter."),
        (Slip("radius for diameter", 2 * line.value, "You used the radius. Once round is π times the diameter."),
        Slip("π forgotten", PI * line.value, "Once round is π times the diameter, not the diameter.")))


@CHAPTER.exercise("The time it takes")
def time(draw: Draw, say: Say) -> Task:
    length, feed, n = draw.whole(20, 180), draw.value(0.04, 0.3, 0.01), draw.whole(180, 1200)
    line = step(time_in_cut, length=length, feed=feed, spindle_speed=n)
    return ask(
        f"A pass over {say.length(length)} is fed {say.length(feed)} per revolution at {n} rpm. How many seconds "
        "does it take?", "s", (line,),
        ("How many revolutions does it need?", "Length over feed gives revolutions; over rpm gives minutes."),
        (Slip("minutes for seconds", line.value / 60, "Those are minutes. Sixty times as many seconds."),
        Slip("minutes for seconds", line.value / 3600, "You divided by 60 once too often.")))


@CHAPTER.exercise("Half the feed", 2)
def finer(draw: Draw, say: Say) -> Task:
    nose, first, second = draw.pick((0.2, 0.4, 0.8, 1.2)), draw.value(0.1, 0.3, 0.01), draw.value(0.05, 0.25, 0.01)
    if not 1.25 < first / second < 3:
        raise Again
    before, after = (step(feed_mark_short, f"At {plain(feed, 3)} mm per revolution:", feed=feed, nose_radius=nose)
        for feed in (first, second))
    ratio = second / first
    return ask(
        f"At {say.length(first, 3)} per revolution a nose radius of {say.length(nose, 3)} leaves marks "
        f"{say.fine(before.value, 3)} "
        f"high. How high are they at {say.length(second, 3)}, on paper, in {say.fine_unit}?", "mm", (before, after),
        ("The mark is the height of a small arc.", "New feed over old feed, squared."),
        (
        Slip("linear for square", before.value * ratio,
        "You took it as growing with the feed. The marks grow with its square."),
        Slip("cube for square", before.value * ratio**3, "Not the cube: the square of the feed.")), shown="µm")


@CHAPTER.exercise("A feed for a finish", 2)
def feed(draw: Draw, say: Say) -> Task:
    nose, mark = draw.pick((0.2, 0.4, 0.8, 1.2)), draw.value(0.002, 0.012, 0.0002)
    line = step(feed_for_mark, mark=mark, nose_radius=nose)
    return ask(
        f"The marks may be {say.fine(mark, 3)} high at most, and the nose radius is {say.length(nose, 3)}. What feed "
        f"per revolution is that on paper, in {say.length_unit}?", "mm", (line,),
        ("Turn feed² = 8 × nose × height round.", "The square root of 8 × nose × height, all in mm."),
        (
        Slip("two for eight", line.value / 2,
        "You took 2 instead of 8: the marks lie between two noses, half a feed either side."),
        Slip("diameter for radius", line.value * 2**0.5, "You took the nose's radius for a diameter and doubled it.")))


@CHAPTER.exercise("Where finer gets worse", 2)
def finest(draw: Draw, say: Say) -> Task:
    nose, least = draw.pick((0.2, 0.4, 0.8, 1.2)), draw.value(0.001, 0.012, 0.0002)
    line = step(finest_useful_feed, nose_radius=nose, least_chip=least)
    return ask(
        f"The edge cuts no chip under {say.fine(least, 3)}; the nose radius is {say.length(nose, 3)}. Below what feed "
        f"does finer get worse, in {say.length_unit}?", "mm", (line,),
        ("Where the mark's height and what the edge leaves are in balance.",
        "The square root of 2 × nose radius × minimum chip thickness."),
        (Slip("feed mark's eight", 2 * line.value, "The eight belongs to the feed mark. Here it is a two."),
        Slip("two forgotten", line.value / 2**0.5, "You left out the two under the root.")))


@CHAPTER.exercise("Power at the edge", 1)
def power(draw: Draw, say: Say) -> Task:
    force, speed = draw.whole(80, 1500), draw.whole(15, 160)
    line = step(cutting_power, cutting_force=force, speed=speed)
    return ask(f"The cutting force is {force} N at {plain(speed, 3)} m/min. What power is that at the edge, in kW?",
        "kW", (line,),
        ("Force times speed, the speed in metres per second.", "Newton × m/min, divided by 60 000, is kW."),
        (Slip("minutes for seconds", 60 * line.value, "The speed is in metres per minute. Divide by sixty."),
        Slip("watts", 1000 * line.value, "Those are watts. A thousand of them make a kW.")))


@CHAPTER.exercise("Will the motor do it?", 3)
def motor(draw: Draw, say: Say) -> Task:
    force, across, n, kw = (draw.whole(150, 1600), draw.value(15, 70, 1), draw.pick((180, 250, 355, 500, 710, 1000)),
        draw.pick((0.37, 0.55, 0.75, 1.1, 1.5)))
    asks = step(cutting_torque, "The cut asks for:", cutting_force=force, diameter=across)
    has = step(torque_available, "The motor delivers:", motor_power=kw, efficiency=0.75, spindle_speed=n)
    share = asks.value / has.value
    if 0.72 < share < 0.88 or 0.96 < share < 1.06 or not 0.3 < share < 2:
        raise Again
    right = 0 if share < 0.8 else 1 if share < 1 else 2
    return choose(
        f"A cut needs {force} N at Ø{say.length(across)} and {n} rpm. Three quarters of the motor's {plain(kw, 3)} kW "
        "reach the spindle. Up to 80 % of the torque counts as easy. Will the motor do it?",
        ("easily", "at the edge", "it stalls"), right,
        (asks, has, f"The cut asks for {plain(100 * share, 3)} % of it."),
        ("Compare torques: what the cut asks for, and what the motor delivers at that speed.",
        "Force × half the diameter; power ÷ (2 π × revolutions per second)."),
        tuple(
        Slip("radius for diameter" if abs(i - right) == 2 else "edge", i,
        "Far off: did you take the diameter as the lever, or rpm as revolutions per second?" if abs(i - right) == 2
        else "Not quite: work out the share of the torque that is asked for.") for i in range(3) if i != right))


@CHAPTER.exercise("Read a chip", 2)
def read_chip(draw: Draw, say: Say) -> Task:
    fed, ratio, rake = draw.value(0.06, 0.2, 0.01), draw.value(0.28, 0.65, 0.01), draw.whole(0, 15)
    thick = round(fed / ratio, 3)
    ratio = fed / thick
    line = step(shear_angle, f"Fed over measured is {plain(ratio, 3)}:", ratio=ratio, rake=rake)
    return ask(
        f"Fed {say.length(fed, 3)} with the edge square to the feed, the chip measures {say.length(thick, 4)} thick. "
        f"The rake is {rake}°. What is the shear angle, in degrees?", "deg", (line,),
        ("First the ratio of what was fed to what came off.", "tan φ = r cos(rake) ÷ (1 − r sin(rake))."),
        (
        Slip("upside down", float(shear_angle(1 / ratio, rake)) % 180,
        "You took thick over fed. The ratio is fed over thick, under one."),
        Slip("tangent for angle", float(line.value) * PI / 180, "That is in radians. Degrees were asked.")))


@CHAPTER.exercise("At the lathe: measure a chip", 2, hands=True)
def measure_chip(draw: Draw, say: Say) -> Task:
    fed = draw.pick((0.08, 0.1, 0.12, 0.15, 0.2))
    line = step(chip_thickness, "With a ratio of 0.42:", chip=fed, ratio=0.42)
    return measure(
        f"Turn soft steel or aluminium at about {say.length(fed, 3)} per revolution, a millimetre deep, the edge "
        "square to the "
        "feed. Stop the spindle, pick up a chip with pliers (it is sharp and hot), let it cool, and measure its "
        f"thickness with a pointed micrometer or calliper in a flat spot. How thick is it, in {say.length_unit}?", "mm",
        (1.05 * fed, 7 * fed), line.value, (line,),
        ("The chip's inner, shiny side was on the tool; the other is rough: press gently.",
        "Measure at five places; take the middle one."),
        low_says="Thinner than it was fed? That does not happen. Was the feed what you think, and the edge square to "
        "it?", high_says="Very thick. Did you measure across a curl, or its width?",
        slips=(Slip("feed for thickness", fed, "That is the feed. The chip comes off thicker: measure it."),))


@CHAPTER.exercise("Kitchen table: when does a shaving snap?", 1, hands=True)
def candle(draw: Draw, say: Say) -> Task:
    radius = draw.whole(5, 20)
    line = step(curl_strain, f"A shaving 0.6 mm thick curled to a radius of {radius} mm is stretched at its skin by:",
        thickness=0.6, curl_radius=radius)
    return measure(
        "Shave a cold candle or hard soap with a knife, away from your hand, thicker each time. Curl each shaving "
        f"round something of {say.length(radius, 3)} radius (a finger, a bottle's neck). How thick is the thickest "
        f"that does not snap, in {say.length_unit}?", "mm", (0.03, 4.0), 0.6,
        (line, "Thicker on the same curl is stretched more, and breaks."),
        ("Same temperature for all: wax softens in the hand.", "Measure the last one that held."),
        low_says="That is thinner than such shavings come. Check the calliper's zero.",
        high_says="So thick it is a slice; it would snap at once. Was it warm?")
