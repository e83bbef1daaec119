"""Chapter 2, stress locked up in the bar: why the outside moves when the bore is made."""

from __future__ import annotations

import math

from ...bore_stress import cut_sequence, length_after_boring, outside_after_boring
from ...bore_stress.readings import opened_diameter, slit_ring_stress
from ...core.quantity import Say, plain
from ...core.tables import fact
from ..practice import Again, Chapter, Draw, Seen, Slip, Task, ask, choose, measure, step

CHAPTER = Chapter("02_bore_stress", "2 Stress in the bar")
METALS = (("steel", 205e3, 0.29), ("brass", 100e3, 0.34), ("stainless steel", 193e3, 0.29))
COPPER, HARD_COPPER = (118e3, 0.34), 300.0   # MPa: modulus, Poisson's ratio and strength of hard tube (from memory)
YIELDS = {"steel": "free-cutting steel 11SMn30 / 12L14", "brass": "brass CuZn39Pb3", "stainless steel": "stainless 303"}


def holds(name: str, stress: float) -> bool:
    """Whether the metal bears the stress without yielding, with the table's upper end for a drawn bar."""
    return stress <= fact("workholding_yield", material=YIELDS[name]).high


CHAPTER.prediction = choose(
    "The skin of a cold-drawn bar is in tension. You finish the outside, then bore it. What does the outside do?",
    ("it gets smaller", "it stays", "it gets larger"), 0,
    (step(outside_after_boring, skin_hoop=200, skin_axial=300, bored=0.25, modulus=205e3, poisson=0.29),), (),
    (Slip("no stress", 1, "It would stay if the bar had been stress-relieved first."),
    Slip("sign", 2, "It would grow if the skin were in compression, as in quenched aluminium.")),
    "The bore takes away the core that was pushing back, and the skin pulls together what is left.")
CHAPTER.seen = Seen("bore_stress_order", dict(bore=4.0), dict(bore=10.0), "small")


@CHAPTER.exercise("How much smaller?")
def outside(draw: Draw, say: Say) -> Task:
    name, modulus, poisson = draw.pick(METALS)
    across, bore, hoop, axial = (draw.value(14, 40, 0.5), draw.value(6, 28, 0.5), draw.whole(90, 260),
        draw.whole(100, 300))
    if not 0.35 < bore / across < 0.8 or hoop < 1.3 * poisson * axial or not holds(name, max(hoop, axial)):
        raise Again
    share = (bore / across) ** 2
    line = step(outside_after_boring,
        f"The share bored away is ({plain(bore, 3)} ÷ {plain(across, 3)})² = {plain(share, 4)}:", skin_hoop=hoop,
        skin_axial=axial, bored=share, modulus=modulus, poisson=poisson)
    right = -line.value * across
    return ask(
        f"A drawn bar of {name}, turned to Ø{say.length(across)}, holds {hoop} MPa around and {axial} MPa along at its "
        f"skin, rising with the square of the radius (E = {plain(modulus / 1e3, 3)} GPa, ν = {poisson}). "
        f"It is bored to Ø{say.length(bore)}. By how much does the outside shrink, in {say.fine_unit}?", "mm",
        (line, f"Times {plain(across, 3)} mm: {plain(right * 1e3, 4)} µm smaller."),
        ("First find the share of the section that is bored away, by areas.",
        "Then multiply (around − ν × along) by the share and the diameter, and divide by E."),
        (Slip("radius for diameter", right / 2, "That is the change of the radius. The outside is measured across."),
        Slip("diameters for areas", right / share * bore / across,
        "You took the share by diameters. It is by areas: square it."),
        Slip("along forgotten", hoop * share / modulus * across,
        "The stress along the bar counts too, times Poisson's ratio.")), answer=right, shown="µm",
        reveals="The hoop stress pulls the outside in, and the axial stress works against it. If the answer is over a "
        "tenth of the tolerance, bore first.")


@CHAPTER.exercise("And its length", 2)
def length(draw: Draw, say: Say) -> Task:
    name, modulus, poisson = draw.pick(METALS)
    long, share, hoop, axial = draw.whole(40, 120), draw.value(20, 60, 1), draw.whole(60, 180), draw.whole(150, 350)
    if not holds(name, max(hoop, axial)):
        raise Again
    line = step(length_after_boring, skin_axial=axial, skin_hoop=hoop, bored=share / 100, modulus=modulus,
        poisson=poisson)
    right = -line.value * long
    return ask(
        f"A drawn bar of {name} ({axial} MPa along, {hoop} MPa around at the skin; E = {plain(modulus / 1e3, 3)} GPa, "
        f"ν = {poisson}) is {say.length(long)} long, bored right through; {plain(share, 3)} % of the section goes. "
        f"By how much does it get shorter, in {say.fine_unit}?", "mm",
        (line, f"Times {long} mm: {plain(right * 1e3, 4)} µm shorter."),
        ("It works as for the outside, with “along” and “around” exchanged.",
        "Multiply (along − ν × around) by the share and the length, and divide by E."),
        (
        Slip("outside's formula", abs(hoop - poisson * axial) * share / 100 / modulus * long,
        "You used the outside's formula. For the length the stress along leads."),
        Slip("around forgotten", axial * share / 100 / modulus * long,
        "The stress around the bar counts too, times Poisson's ratio.")), answer=right, shown="µm",
        reveals="The axial stress leads. Face a length that must be right after boring, not before.")


@CHAPTER.exercise("Turning takes stress away", 2)
def turned(draw: Draw, say: Say) -> Task:
    bought, now, skin = draw.value(16, 45, 0.5), draw.value(12, 42, 0.5), draw.whole(120, 400)
    if not 0.62 < now / bought < 0.93 or not holds("steel", skin):
        raise Again
    right = skin * (now / bought) ** 2
    return ask(
        f"A drawn steel bar, Ø{say.length(bought)}, holds {skin} MPa along at its skin, falling inwards by a square "
        f"law. You turn it to Ø{say.length(now)}, nothing bored. How much stress is at the new skin, in MPa?", "MPa",
        (f"The core holds the same kind of stress, lower by the square of the radii: ({plain(now, 4)} ÷ "
        f"{plain(bought, 4)})² = {plain((now / bought) ** 2, 4)}.",
        f"{skin} MPa × {plain((now / bought) ** 2, 4)} = {plain(right, 4)} MPa."),
        ("What is left is a smaller bar with the same kind of stress in it, again in balance.",
        "Multiply by the square of new over old diameter."),
        (
        Slip("linear for square", skin * now / bought,
        "You took the ratio of the diameters. The stress falls with its square."),
        Slip("balance forgotten", abs(skin * (2 * (now / bought) ** 2 - 1)),
        "That is what was there before turning. When the skin is gone, the rest balances again.")), answer=right,
        within=0.02, reveals="Turning a drawn bar down takes the worst of the stress away, so a "
        "larger bar, turned down, moves less.")


@CHAPTER.exercise("The slit ring", 2)
def slit(draw: Draw, say: Say) -> Task:
    name, modulus, poisson = draw.pick(METALS)
    before, wall, gap = draw.value(18, 50, 0.5), draw.value(0.8, 3, 0.1), draw.value(0.08, 0.8, 0.02)
    opened = step(opened_diameter, "The slit opens by a piece of the circumference:", before=before, opening=gap)
    line = step(slit_ring_stress, wall=wall, before=before, after=opened.value, modulus=modulus, poisson=poisson)
    if not holds(name, line.value):
        raise Again
    return ask(f"A ring of {name}, mean diameter {say.length(before)}, wall {say.length(wall)}, springs open by "
        f"{say.length(gap)} when slit (E = {plain(modulus / 1e3, 3)} GPa, ν = {poisson}). "
        "How much stress was around it at the outside, in MPa?", "MPa", (opened, line),
        ("First the new mean diameter, from how much the slit opened.",
        "The opening divided by π is what the mean diameter gains."),
        (
        Slip("opening for diameter", float(slit_ring_stress(wall, before, before + gap, modulus, poisson)),
        "You took the slit's opening as the gain of diameter. It is a piece of circumference: divide by π."),
        Slip("radius for diameter",
        float(slit_ring_stress(wall, before, before + gap / (2 * 3.141592653589793), modulus, poisson)),
        "That is the radius's gain: divide the opening by π, not by 2π.")), within=0.04,
        reveals="A ring that springs open was in tension outside. The test needs no more than a saw and a calliper.")


@CHAPTER.exercise("Which way does it go?", 3)
def which_way(draw: Draw, say: Say) -> Task:
    kind, sign = draw.pick((("cold-drawn steel, skin in tension", 1), ("quenched aluminium, skin in compression", -1)))
    first = draw.pick(("turn", "bore"))
    outside_, bored, skin = draw.value(20, 60, 1), draw.value(8, 40, 1), draw.value(1, 3, 0.5)
    if not 0.3 < bored / outside_ < 0.75:
        raise Again
    start, stress = outside_ / 2 + skin, sign * 150
    cuts = [("turn", outside_ / 2), ("bore", bored / 2)]
    found = cut_sequence(start, stress, 0.7 * stress, 2, 2, cuts if first == "turn" else cuts[::-1],
        205e3 if sign > 0 else 70e3, 0.3)
    error = float(found.error[0])
    options = ("the outside is too small", "the outside is too large", "the bore is too small", "the bore is too large")
    right = (0 if first == "turn" else 2) + (error > 0)
    did = ("turned the outside to size first, then bored" if first == "turn"
        else "bored to size first, then turned the outside")
    return choose(
        f"{kind[0].upper()}{kind[1:]}. You {did}: Ø{say.length(outside_)} outside, Ø{say.length(bored)} bore, "
        f"{say.length(skin)} of skin taken off on radius. Which is now true?", options, right,
        (f"With 150 MPa at the skin the surface cut first moves by {plain(abs(error) * 1e3, 2)} µm on diameter: "
        f"{options[right]}.",
        "Tension in the skin pulls in what is left when the core goes. When the skin goes, the core is no longer held "
        "in and pushes out. With compression in the skin it is the other way round."),
        ("Only what was cut first can move afterwards.",
        "What did the metal that you took away last do to the rest: did it hold it open or squeeze it?"),
        (Slip("sign", right ^ 1,
        "That is the right surface and the wrong way: is the skin of this bar in tension or in compression?"),
        Slip("cut last", right ^ 2,
        "That surface was cut last, so the tool made it right. The one cut first has moved."),
        Slip("cut last", right ^ 3,
        "That surface was cut last, so the tool made it right. The one cut before it has moved.")),
        "The surface cut last is right, and the one cut first has moved. Finish last what has the tighter tolerance.")


@CHAPTER.exercise("At the lathe: bore it and see", 3, hands=True)
def bore_it(draw: Draw, say: Say) -> Task:
    across, share = draw.whole(18, 30), draw.pick((0.3, 0.4, 0.5, 0.6))
    line = step(outside_after_boring, "For drawn steel with 150 MPa around and 200 along:", skin_hoop=150,
        skin_axial=200, bored=share**2, modulus=205e3, poisson=0.29)
    return measure(
        f"Turn a piece of drawn bar to some Ø{say.length(across)}, let it cool, and measure it at a marked place. "
        f"Drill and bore it to about {plain(100 * share, 2)} % of its diameter with coolant. Let it cool to the room "
        f"and measure again. By how much has it shrunk, in {say.fine_unit} (minus if it grew)?", "mm", (-0.012, 0.02),
        -line.value * across, (line, f"Times {across} mm."),
        ("Take both readings at the same place and the same temperature: half an hour on the bench.",
        "Take the second reading off the first."),
        low_says="It grew by more than stress can do. Was it still warm from boring, or gripped out of round?",
        high_says="That is more than stress can do. Did the chuck close the bore, or was it warm at the first reading?",
        shown="µm")


@CHAPTER.exercise("Kitchen table: slit a tube", 2, hands=True)
def tube(draw: Draw, say: Say) -> Task:
    across = draw.pick((12, 15, 18, 22, 28))
    gap, q = 0.4, HARD_COPPER * (1 - COPPER[1] ** 2) / COPPER[0]
    most = round(math.pi * (1 / (1 / (across - 1) - q) - across + 1), 2)   # a wall of 1 mm opens no further
    line = step(slit_ring_stress, f"Were it Ø{across} copper tube with a 1 mm wall, and opened by 0.4 mm:", wall=1,
        before=across - 1, after=float(opened_diameter(across - 1, gap)), modulus=COPPER[0], poisson=COPPER[1])
    return measure(
        f"Saw a ring, {say.length(10, 2)} wide, off a thin tube of about Ø{say.length(across, 3)}; plumbing tube will "
        "do. Take the burrs off and hold the ring in a vice with soft jaws. Scribe two lines beside the place to be "
        "sawn and measure between them. Saw through and measure again. "
        f"By how much has the distance grown (minus if it closed), in {say.length_unit}?", "mm", (-most, most), gap,
        (line,),
        ("The width of the saw cut does not count, only the change between the lines.",
        "Take the first distance off the second."),
        low_says="It closed by more than a tube can bear. Did the vice squeeze it?",
        high_says="It opened by more than a tube can bear. Did the saw or the vice bend it?")
