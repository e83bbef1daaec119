"""Chapter 5, holding the work: lobes, grip, overhang."""

from __future__ import annotations

from ...core import tables
from ...core.quantity import Say, plain
from ...core.shared import GRAVITY
from ...measuring import gauging
from ...workholding import grip_needed, ring_lobing, thin_ring_midway, wall_stress, yield_load
from ...workholding.bending import between_centres_error, centre_error, free_length
from ..practice import Again, Chapter, Draw, Seen, Slip, Task, ask, choose, measure, step

CHAPTER = Chapter("05_workholding", "5 Holding the work")
OF_YIELD = 0.8   # a drawn ring's wall is bent to so much of its yield strength at most

CHAPTER.prediction = choose(
    "A ring comes out of a three-jaw chuck with three lobes (high places round it), 10 µm high. You measure it across "
    "with a two-point gauge, turning it round. How much of the 10 µm does the gauge show?",
    ("all of it", "half", "hardly any"), 2,
    (step(gauging.two_point_reading, radius=21, lobe=0.01, lobes=3, angle=0),
    step(gauging.two_point_reading, radius=21, lobe=0.01, lobes=3, angle=60)), (),
    (Slip("two points see all", 0, "All of it would show with four lobes, and then twice over."),
    Slip("radius for diameter", 1, "Half mixes up radius and diameter; that is not the point here.")),
    "Opposite a high spot of three lobes is a low one, so every diameter is nearly the same. Three contacts or a vee "
    "block show it.")
CHAPTER.seen = Seen("ring_in_jaws", dict(push=300.0), dict(push=1300.0), "A two-point gauge")


@CHAPTER.exercise("The cube of the wall")
def thinner(draw: Draw, say: Say) -> Task:
    radius, width, load, thick, thin = (draw.value(15, 40, 0.5), draw.whole(10, 25), draw.whole(300, 1500),
        draw.value(2.5, 5, 0.1), draw.value(1.2, 3.6, 0.1))
    strength = tables.row("workholding_yield", material="free-cutting steel 11SMn30 / 12L14")["low"]
    if (not 1.25 < thick / thin < 2.4 or thick > radius / 6
            or wall_stress(load, radius, 3, width, thin) > OF_YIELD * strength):
        raise Again
    before, after = (
        step(thin_ring_midway, says, load=load, radius=radius, jaws=3, width=width, wall=wall, modulus=205e3) for says,
        wall in ((f"The thick wall, at {load} N per jaw:", thick), ("The thin wall, at the same force:", thin)))
    ratio = thick / thin
    return ask(f"A steel ring with a {say.length(thick)} wall bulges {say.fine(before.value, 3)} between the jaws of a "
        f"three-jaw chuck. Another ring of the same mean diameter, under the same force, has a {say.length(thin)} "
        f"wall. How far does it bulge, in {say.fine_unit}?", "mm",
        (before, after, f"Or shorter: ({plain(thick, 3)} ÷ {plain(thin, 3)})³ = {plain(ratio**3, 4)} times."),
        ("The wall bends like a beam.", "Take the old wall over the new wall, cubed."),
        (
        Slip("linear for cubic", before.value * ratio,
        "You took the walls as they are. Bending stiffness goes with the cube of the wall."),
        Slip("square for cubic", before.value * ratio**2,
        "You took the square. Bending stiffness goes with the cube of the wall.")), shown="µm",
        reveals="The wall bends like a beam, so its stiffness goes with the cube of its thickness. At the lathe: "
        "before you bore a ring thin, ease the jaws or change to six.")


@CHAPTER.exercise("Enough grip?", 2)
def grip(draw: Draw, say: Say) -> Task:
    cut, feed, small, large, friction, safety = (draw.whole(30, 300), draw.whole(5, 60), draw.value(8, 30, 0.5),
        draw.value(15, 60, 0.5), draw.value(0.06, 0.15, 0.005), draw.value(2, 3, 0.1))
    if not 1.2 < large / small < 2.5:
        raise Again
    line = step(grip_needed, "All jaws together:", cutting_force=cut, feed_force=feed, cut_diameter=small,
        grip_diameter=large, friction=friction, safety=safety)
    same = grip_needed(cut, feed, large, large, friction, safety)
    return ask(
        f"You turn at Ø{say.length(small)} with {cut} N of cutting force and {feed} N of feed force. The work is "
        f"gripped at Ø{say.length(large)}; the coefficient of friction is {plain(friction, 3)}, the safety factor "
        f"{plain(safety, 2)}. What clamping force does each of three jaws need, in N?", "N",
        (line, f"A third for each jaw: {plain(line.value / 3, 4)} N."),
        ("Scale the cutting force down to the gripped diameter; the feed force acts at a right angle to it.",
        "Take the root of the sum of squares, times the safety factor, over friction; then a third."),
        (Slip("all jaws for one", line.value, "That is all three jaws together. Each takes a third."),
        Slip("diameters forgotten", float(same) / 3,
        "The grip is on a larger diameter than the cut. The lever is longer there, so the force is smaller."),
        Slip("safety forgotten", line.value / safety / 3,
        "That only just holds. Multiply by the safety factor.")),
        answer=line.value / 3,
        reveals="Friction at the gripped diameter carries the cut's torque. At the lathe: a usual pull on the "
            "key gives "
        "far more than a finishing cut needs, and that surplus is what spoils thin work.")


@CHAPTER.exercise("From end to end", 2)
def taper(draw: Draw, say: Say) -> Task:
    head, tail, thrust = draw.value(20, 60, 1) * 1e3, draw.value(5, 18, 0.5) * 1e3, draw.whole(8, 50)
    first, last = (
        step(between_centres_error, says, thrust=thrust, place=place, length=100, diameter=60, modulus=205e3,
        head_stiffness=head, centre_stiffness=tail) for says,
        place in (("At the headstock:", 0), ("At the tailstock:", 100)))
    right = last.value - first.value
    return ask("A short, stiff bar is turned between centres. The headstock centre's stiffness is "
        f"{plain(head / 1e3, 3)} N/µm, the tailstock centre's {plain(tail / 1e3, 3)} N/µm, and the thrust is "
        f"{thrust} N. How much larger does the tailstock end come out, on diameter, in {say.fine_unit}?", "mm",
        (first, last, f"The difference: {plain(right * 1e3, 4)} µm."),
        ("At each end only that end's centre deflects. What it deflects is left uncut, on radius.",
        "Divide the thrust by the stiffness at each end, take the difference, and double it for the diameter."),
        (
        Slip("radius for diameter", right / 2,
        "That is on radius. The work turns, so it comes twice on the diameter."),
        Slip("sum for difference", last.value + first.value,
        "Both ends come out large; the taper is the difference.")), shown="µm", answer=right,
        reveals="Each end comes out large by what its own centre deflects. At the lathe: this taper follows the depth "
        "of cut, so take a light last cut before you blame the tailstock's set-over.")


@CHAPTER.exercise("How far may it stick out?", 2)
def stand_out(draw: Draw, say: Say) -> Task:
    across, error, thrust = draw.value(6, 25, 0.5), draw.value(0.003, 0.02, 0.0005), draw.whole(8, 60)
    line = step(free_length, diameter=across, error=error, thrust=thrust, modulus=205e3)
    return ask(f"A steel shaft Ø{say.length(across)} is held in a chuck (taken as rigid) and turned with {thrust} N of "
        f"thrust. Its end may come out {say.fine(error, 3)} too large on diameter. How far may it stick out, in "
        f"{say.length_unit}?", "mm", (line,),
        ("The bending allowed is half the error.",
        "Turn the cantilever formula round: length³ = 3 E I × bending ÷ thrust."),
        (
        Slip("diameter for radius", float(free_length(across, 2 * error, thrust, 205e3)),
        "You let the axis bend by the whole error. It comes twice on the diameter, so only half is allowed."),
        Slip("halved twice", float(free_length(across, error / 2, thrust, 205e3)),
        "You halved the error twice: bending is half of the error on diameter, once.")), within=0.025,
        reveals="Bending goes with length cubed, so the length goes only with the cube root of the error. At "
            "the lathe: "
        "beyond this length bring up the centre; a real chuck is not rigid and allows still less.")


@CHAPTER.exercise("A centre at the end", 1)
def centre(draw: Draw, say: Say) -> Task:
    across, length, thrust = draw.value(6, 16, 0.5), draw.value(60, 160, 5), draw.whole(8, 60)
    where = draw.value(0.4, 0.7, 0.05)
    line = step(centre_error, thrust=thrust, place=where * length, length=length, diameter=across, modulus=205e3)
    free = 2 * 64 * thrust * (where * length) ** 3 / (3 * 3.141592653589793 * across**4 * 205e3)
    return ask(
        f"A steel shaft Ø{say.length(across)}, {say.length(length)} from a rigid chuck to a rigid centre, is turned "
        f"with {thrust} N of thrust. How much too large does it come out {say.length(where * length, 4)} from the "
        f"chuck, in {say.fine_unit}? " "Unfold the formula under “Why”.", "mm", (line,),
        ("Put the numbers into the formula for chuck and centre; lengths in mm, E = 205 000 MPa.",
        "The second moment is π d⁴ ÷ 64; the error on diameter is twice the bending."),
        (Slip("radius for diameter", line.value / 2, "That is the bending. It comes twice on the diameter."),
        Slip("no centre", free, "That is without the centre, as if the shaft ended there.")), shown="µm",
        reveals="The centre holds the end, so the error peaks near 0.6 of the length and is small. At the "
            "lathe: expect "
        "more, because a real centre deflects too; measure yours.")


@CHAPTER.exercise("Which grip?", 3)
def which_grip(draw: Draw, say: Say) -> Task:
    outside, wall, width, load = draw.whole(40, 80), draw.value(3, 9, 0.5), draw.whole(10, 25), draw.whole(900, 2400)
    allowed = draw.pick((0.003, 0.004, 0.005, 0.006, 0.008, 0.01))
    strength = tables.row("workholding_yield", material="aluminium 6082")["low"]
    if load > OF_YIELD * float(yield_load(strength, outside, outside - 2 * wall, width, 3, 6)):
        raise Again
    lobes = [2 * float(ring_lobing(outside, outside - 2 * wall, width, push, jaws, 70e3, 0.33, 6).peak_to_valley)
        for jaws, push in ((3, load), (3, load / 3), (6, load / 2))]
    fits = [value < 0.85 * allowed for value in lobes]
    if any(abs(value / allowed - 1) < 0.15 for value in lobes) or not any(fits):
        raise Again
    options = ("three jaws as usual", "three jaws at a third of the force", "six jaws, same total force")
    right = fits.index(True)
    return choose(
        f"An aluminium ring Ø{say.length(outside)} has a {say.length(wall)} wall and is {say.length(width)} wide. By "
        f"this chapter's model its bore comes out {say.fine(lobes[0])} out of round on diameter with three jaws at "
        f"{load} N each, {say.fine(lobes[1])} at a third of that, and {say.fine(lobes[2])} with six jaws. "
        f"{say.fine(allowed)} is allowed. A third of the force still drives a finishing cut. Which is the first grip "
        "in this list that is round enough?", options, right,
        (f"{plain(lobes[right] * 1e3, 2)} µm is within {plain(allowed * 1e3, 2)} µm"
        + ("." if not right else f"; the one before gives {plain(lobes[right - 1] * 1e3, 2)} µm, too much."),),
        ("Hold each of the three figures against what is allowed.", "Stop at the first in the list that fits."),
        tuple(
        Slip("too rough" if i < right else "more than needed", i, "It is further out of round than is allowed."
        if i < right else "It would do, but an earlier one in the list is round enough already.")
        for i in range(3) if i != right),
        "Take the simplest grip that is round enough and still drives the cut. At the lathe: easing the jaws costs "
        "nothing; six jaws cost a chuck; and the force must never fall below what the cut needs.")


@CHAPTER.exercise("At the lathe: weigh the tailstock", 2, hands=True)
def weigh_tail(draw: Draw, say: Say) -> Task:
    mass, out = draw.value(2, 8, 0.5), draw.whole(10, 60)
    line = step(between_centres_error,
        "With a centre of 12 N/µm the error on diameter is twice the centre's deflection:", thrust=GRAVITY * mass,
        place=100, length=100, diameter=60, modulus=205e3, head_stiffness=30e3, centre_stiffness=12e3)
    return measure(
        f"Isolate the lathe. Clamp the quill {out} mm out with the centre in. Set an indicator on the centre from "
        f"above or below, its stand on the bed. Hang {plain(mass, 2)} kg on the centre; mind your toes. By how much "
        f"does it move, in {say.fine_unit}?", "mm", (GRAVITY * mass / 120e3, GRAVITY * mass / 2e3), line.value / 2,
        (line, f"The centre itself moves {plain(line.value * 500, 3)} µm."),
        ("Put the weight on and take it off three times; the readings should come back.",
        "Subtract the unloaded from the loaded reading."),
        low_says="Stiffer than small lathes are. Does the indicator's stand move along with the tailstock?",
        high_says="Very soft. Are the quill and the tailstock clamped, and is the centre seated clean?", shown="µm",
        reveals="Weight over movement is your centre's stiffness. Type it into the page above: the model then knows "
        "your lathe and not just any lathe. Try it with the quill in: it is stiffer.")


@CHAPTER.exercise("Kitchen table: round that is not", 1, hands=True)
def triangle(draw: Draw, say: Say) -> Task:
    side = draw.whole(45, 90)
    line = step(gauging.two_point_reading,
        "Between two flat jaws a shape with an odd number of lobes always measures its mean diameter, here with lobes "
        "2 mm high:", radius=side / 2, lobe=2, lobes=3, angle=25)
    return measure(
        f"Cut a triangle with three equal sides of {say.length(side, 4)} from card. Swing an arc over each side from "
        "the opposite corner and cut along the arcs. Roll it between two rulers held parallel: how wide is it, in "
        f"{say.length_unit}?", "mm", (side - 2.5, side + 2.5), side,
        (line, f"Every width is a radius of one of the arcs: {side} mm."),
        ("Measure in three directions before you write it down.", "How far is each arc from the corner opposite?"),
        low_says="Narrower than its side. Did the scissors cut inside the arcs, or did you measure across a corner "
        "at a slant?", high_says="Wider than its side. Were the arcs swung from the opposite corners?",
        slips=(Slip("height for width", side * 3**0.5 / 2, "That is the height of the triangle without its arcs."),),
        reveals="It measures the same however you turn it, and it is not round. At the lathe a two-point gauge is "
        "fooled in the same way: set the part in a vee block under an indicator, and its top rises and falls.")
