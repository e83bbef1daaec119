"""Chapter 11, true running: readings at opposite jaws, arrows, tilt, a mandrel, a dog."""

from __future__ import annotations

import math

from ...core.quantity import Say, plain
from ...true_running import (
    carried_run_out,
    dog_pull,
    dog_run_out,
    face_run_out,
    half_the_difference,
    marked_run_out,
    moves_needed,
    seat_limits,
    seat_place,
    swing,
    turned_round,
    ways,
)
from ..practice import Again, Chapter, Draw, Seen, Slip, Task, ask, choose, measure, step

CHAPTER = Chapter("11_true_running", "11 True running")

CHAPTER.prediction = choose(
    "A shaft gets a bearing seat Ø20 at each end. One end is turned, the shaft is turned round and gripped by that "
    "seat in "
    "a sound three-jaw chuck, and the other seat is turned. In how many shafts of a hundred is the second seat true "
    "enough to the first for an ordinary ball bearing?",
    ("nearly all", "about half", "hardly any"), 2,
    (step(swing, "A chuck that holds work 0.025 mm off the axis makes it run out by twice "
        "that:", eccentricity=0.025),), (),
    (Slip("trust in the chuck", 0, "A self-centring chuck centres to a few hundredths of a millimetre, not to a few "
    "micrometres."),
    Slip("half and half", 1, "For half of them the chuck would have to be ten times as true.")),
    "The bearing maker's table allows 4.5 µm, and a sound chuck makes some 50. So bearing seats are turned in one "
    "setup, or between centres that have been trued.")
CHAPTER.seen = Seen("seat_run_out", dict(way="both ends in one setup"), dict(way="three jaws"), "hardly any")


@CHAPTER.exercise("Half of what?")
def opposite(draw: Draw, say: Say) -> Task:
    high, low = draw.value(0.12, 0.7, 0.01), draw.value(0.01, 0.2, 0.01)
    if high - low < 0.06:
        raise Again
    line = step(half_the_difference, "Half of the difference:", high=high, low=low)
    return ask(f"Four jaws, the dial zeroed at the lowest place of the revolution. At jaw 2 it reads "
        f"{say.length(high)}, at "
        f"jaw 4 straight opposite {say.length(low)}. How far do you push jaw 2 in, in "
        f"{say.length_unit}?", "mm", (line,),
        ("How far apart are the two readings?", "The axis lies half of that off, towards the high jaw."),
        (Slip("the whole difference", high - low, "That is the swing between the two jaws. The axis is off by half "
            "of it."),
        Slip("half the high reading", high / 2, "The low jaw does not read zero: take the difference "
            "first.")), give=0.002,
        reveals="The two readings lie twice the eccentricity apart, so the work moves by half their difference.")


@CHAPTER.exercise("How many moves?", 1)
def halvings(draw: Draw, say: Say) -> Task:
    start, wanted = draw.value(0.3, 1.2, 0.01), draw.pick((0.01, 0.015, 0.02, 0.03))
    line = step(moves_needed, start=start, wanted=wanted, left=0.5)
    count = math.ceil(line.value - 1e-9)
    if abs(line.value - round(line.value)) < 0.06 or start / wanted < 3 * count:
        raise Again
    return ask(f"Work in four jaws swings the dial by {say.length(start)}; {say.length(wanted)} is allowed. Each "
        "move leaves "
        "half of the swing. How many moves does it take?", "1", (line, f"So {count} moves."),
        ("Halve the swing again and again, and count.", "A part of a move counts as one."),
        (Slip("divided once", start / wanted, "You divided. Each move halves what the move before has left."),),
        answer=float(count), within=0.0, give=0.4,
        reveals="Each move leaves a share of what was there, so the first moves bring the most.")


@CHAPTER.exercise("Two arrows", 2)
def arrows(draw: Draw, say: Say) -> Task:
    first, second = draw.value(0.02, 0.06, 0.002), draw.value(0.015, 0.05, 0.002)
    angle = draw.value(100, 160, 5)
    line = step(marked_run_out, first=first, second=second, angle=angle)
    return ask(f"The chuck alone makes a run-out of {say.fine(first, 3)}, the work's own bend one of "
        f"{say.fine(second, 3)}. "
        f"Their high spots are marked, {plain(angle, 3)}° apart. What does the indicator show of both together, in "
        f"{say.fine_unit}?", "mm", (line,),
        ("Draw two arrows to scale, the second from the tip of the first.", "The formula is the law of cosines."),
        (Slip("added", first + second, "They would add if both high spots lay on the same side."),
        Slip("root of the squares", (first**2 + second**2) ** 0.5,
        "That is the average over many parts whose directions are left to chance. Here the angle is known."),
        Slip("subtracted", abs(first - second), "They subtract only at 180°.")), shown="µm",
        reveals="Directions that you know can be used: set one mark opposite the other, and the run-outs "
        "subtract.")


@CHAPTER.exercise("From run-out to a crooked face", 2)
def crooked(draw: Draw, say: Say) -> Task:
    out, far, face = draw.value(0.01, 0.06, 0.002), draw.value(30, 110, 5), draw.value(16, 60, 2)
    tilt = out / (2 * far)
    line = step(face_run_out, "An eccentricity of half the run-out, over the distance, is the angle:", tilt=tilt,
        diameter=face)
    return ask(f"Gripped close to the jaws a part runs true, but {say.length(far)} further out it runs out by "
        f"{say.fine(out, 3)}. A shoulder of Ø{say.length(face)} was turned square in the setup before. How much "
        "does an "
        f"indicator on its face swing at the rim, in {say.fine_unit}?", "mm", (line,),
        ("How far off is the axis there: the run-out or half of it?", "The face leans by the same angle as the axis."),
        (Slip("run-out for eccentricity", 2 * line.value, "The axis is off by half of the run-out."),
        Slip("radius for diameter", line.value / 2, "From one side of the rim to the other is the "
            "diameter.")), shown="µm",
        reveals="The face leans by the same angle as the axis. So a run-out far from the jaws also means a face "
        "that is not square.")


@CHAPTER.exercise("Where does it sit?", 2)
def sits(draw: Draw, say: Say) -> Task:
    bore, small = draw.value(12, 30, 1), draw.value(0.01, 0.02, 0.001)
    over = draw.value(0.002, 0.02, 0.001)
    line = step(seat_place, bore=bore + over, small_end=bore - small, taper=0.0005)
    return ask(f"A mandrel grows by 0.5 µm a millimetre and measures {say.length(bore - small, 6)} at its small end. "
        "A bore "
        f"measures {say.length(bore + over, 6)}. How far from the small end does it first touch, in {say.length_unit}?",
        "mm", (line,), ("How much larger is the bore than the small end?", "Divide that by the growth of each "
        "millimetre."),
        (Slip("radius for diameter", line.value / 2, "The growth is on diameter, and so are both sizes: no halving."),
        Slip("forgot the small end", over / 0.0005, "Count from the small end's own size, not from the nominal one.")),
        within=0.02,
        reveals="A fine taper turns micrometres of bore into millimetres of place. Where the bore stops tells how "
        "large it is.")


@CHAPTER.exercise("One tail or two", 2)
def one_tail(draw: Draw, say: Say) -> Task:
    force, across, lever = draw.whole(60, 350), draw.value(12, 40, 1), draw.whole(25, 60)
    stiff = draw.value(15, 50, 1) * 1e3
    pull = step(dog_pull, "The pull of the tail:", cutting_force=force, diameter=across, dog_radius=lever)
    line = step(dog_run_out, "Close to the headstock's "
        "centre:", pull=pull.value, head_stiffness=stiff, place=80, length=80)
    if line.value < 8e-4:
        raise Again
    return ask(f"Between centres, Ø{say.length(across)} is turned with a cutting force of {force} N. The dog has one "
        "tail, "
        f"{say.length(lever, 4)} from the axis. The headstock centre deflects 1 µm for {plain(stiff / 1e3, 3)} N. How "
        "much "
        f"will the end beside the dog run out when the dog is moved to the other end, in {say.fine_unit}?", "mm",
        (pull, line), ("Moments about the axis give the tail's pull.", "The axis is shifted by pull over stiffness; "
            "the "
        "indicator shows twice that."),
        (Slip("eccentricity for run-out", line.value / 2, "That is the shift of the axis. The indicator shows twice "
            "that."),
        Slip("cutting force for pull", line.value * force / pull.value,
        "The tail pulls on a longer lever than the cut: take moments first.")), shown="µm",
        reveals="The pull turns with the work, so the tool cuts a true round about a shifted axis. A second tail, "
        "or a lighter last cut, takes it away.")


@CHAPTER.exercise("Which setup?", 3)
def which(draw: Draw, say: Say) -> Task:
    names = [name for name in ways() if name in ("three jaws", "collet", "soft jaws bored at size", "between centres")]
    distance, allowed = draw.value(10, 80, 5), draw.pick((0.012, 0.02, 0.03, 0.04, 0.06))
    order = ["three jaws", "collet", "soft jaws bored at size", "between centres"]
    found = {name: turned_round(name, distance).run_out.high for name in names}
    fits = [found[name] < 0.92 * allowed for name in order]
    if any(abs(found[name] / allowed - 1) < 0.08 for name in order) or not any(fits):
        raise Again
    right = fits.index(True)
    listed = "; ".join(f"{name} {say.fine(found[name])}" for name in order)
    return choose(f"The second end lies {say.length(distance, 4)} from the jaws and may run out by "
        f"{say.fine(allowed)}. The "
        f"run-out that nineteen parts in twenty stay below, by way of holding: {listed}. Which is the first in "
        "this list that will do?", order, right,
        (f"{plain(found[order[right]] * 1e3, 2)} µm is within {plain(allowed * 1e3, 2)} µm."
        + ("" if not right else f" The one before it reaches {plain(found[order[right - 1]] * 1e3, 2)} µm."),),
        ("Hold each figure against what is allowed.", "Stop at the first that is smaller."),
        tuple(Slip("too far out" if i < right else "more than needed", i, "It runs out by more than is "
            "allowed." if i < right
        else "It would do, but an earlier one in the list is true enough.") for i in range(4) if i != right),
        reveals="Take the first that will do. A truer setup takes more time, and this part does not need it.")


@CHAPTER.exercise("May it carry a bearing?", 3)
def bearing(draw: Draw, say: Say) -> Task:
    across, read = draw.pick((10, 12, 15, 17, 20, 25, 30, 35, 40, 50)), draw.value(0.002, 0.009, 0.0005)
    special = draw.pick(("usual", "special"))
    limit = seat_limits(float(across), "Normal", special)[0]
    if abs(read / limit - 1) < 0.1:
        raise Again
    return choose(f"A bearing seat of Ø{say.length(across)} runs out by {say.fine(read, 3)} to the other seat. For a "
        "bearing "
        f"of class Normal and {special} demands, the page “Is the second bearing seat true enough?” allows "
        f"{say.fine(limit, 3)}. May it stay as it is?", ("yes", "no, run it true again"), 0 if read < limit else 1,
        (f"{plain(read * 1e3, 3)} µm against {plain(limit * 1e3, 3)} µm.",),
        ("Run-out is what the table limits, and run-out is what you have read.", "No halving, no doubling."),
        (Slip("halved the reading" if read > limit else "doubled the reading", 1 if read < limit else 0,
        "The table limits the run-out itself, the full swing of the indicator: compare the two as they stand."),),
        reveals="The table limits the full swing of the indicator, so compare the two as they stand.")


@CHAPTER.exercise("At the lathe: the headstock's centre", 2, hands=True)
def read_centre(draw: Draw, say: Say) -> Task:
    long, far = draw.whole(60, 160), draw.whole(30, 55)
    line = step(carried_run_out, "A centre that runs out by 10 µm leaves, at that place:", centre=0.01, place=far,
        length=long)
    return measure("Spindle off and switched off. Wipe taper and centre, put the centre in, and set an indicator "
        "square to "
        f"its cone. Turn the spindle by hand. What is the full swing, in {say.fine_unit}? (On work "
        f"{say.length(long, 4)} "
        f"long, {say.length(far, 4)} from the tailstock, the solution says what 10 µm would "
        "leave.)", "mm", (4e-4, 0.08),
        0.01, (line,), ("Read the highest and the lowest place, and subtract.",
        "Take it out, turn it half round, put it back, and read again: does the high spot move along?"),
        low_says="No centre put into its taper runs so true. Does the indicator touch, and is it preloaded?",
        high_says="That is a great deal. Is there a chip in the taper, or is the centre's point damaged?", shown="µm",
        reveals="If the high spot goes round with the centre, the centre is at fault. If it stays, it is the "
        "taper of the spindle.")


@CHAPTER.exercise("Kitchen table: a disc off its middle", 1, hands=True)
def disc(draw: Draw, say: Say) -> Task:
    off = draw.value(3, 8, 0.5)
    line = step(swing, "Twice the distance from the middle:", eccentricity=off)
    return measure("Draw a circle on card, cut it out, and push a pin into the table through a point "
        f"{say.length(off)} from the middle. Turn the disc about the pin beside a ruler. How far does its rim move "
        "to and "
        f"fro, in {say.length_unit}?", "mm", (2 * off - 1.5, 2 * off + 1.5), 2 * off, (line,),
        ("Mark the farthest and the nearest place of the rim on the table.", "The rim goes out once and in once."),
        low_says="Less than twice the distance. Did the disc lift, or was the pin nearer to the middle?",
        high_says="More than twice the distance. Is the disc round, and the pin upright?",
        slips=(Slip("once for twice", off, "The rim goes out by that much, and in by as much again."),),
        reveals="The rim goes out once and in once, as the dial does over one revolution.")
