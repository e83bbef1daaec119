"""Chapter 3, the boring bar: what the push does to the bar, and the bar to the bore."""

from __future__ import annotations

from ...boring_bar.bending import bar_deflection, bore_cut, equal_slenderness, tip_deflection
from ...boring_bar.vibration import first_frequency
from ...core.quantity import Say, plain
from ...core.shared import GRAVITY
from ..practice import Again, Chapter, Draw, Seen, Slip, Task, ask, choose, measure, step

CHAPTER = Chapter("03_boring_bar", "3 The boring bar")
STEEL, CARBIDE = 205e3, 600e3   # MPa, as the questions say

CHAPTER.prediction = choose(
    "You let an 8 mm steel bar out from 40 mm to 80 mm and change nothing else. Leave the holder out of it. How much "
    "further does the tip bend?", ("twice as far", "four times", "eight times"), 2,
    (step(tip_deflection, force=15, stickout=40, bar=8, modulus=STEEL),
    step(tip_deflection, force=15, stickout=80, bar=8, modulus=STEEL)), (),
    (Slip("linear for cubic", 0, "Twice is how a rope stretches."),
    Slip("square for cubic", 1, "Four times is how a rope sags.")),
    "A bar held at one end is worse than rope or string: the longer bar is bent by a longer lever, turns more, and "
    "carries the turn further out.")
CHAPTER.seen = Seen("bend", dict(), dict(stickout=80.0), "90 µm")


@CHAPTER.exercise("Let the bar out")
def longer(draw: Draw, say: Say) -> Task:
    bar, force, now, then = draw.value(6, 16, 0.5), draw.whole(8, 60), draw.value(25, 50, 1), draw.value(30, 90, 1)
    if not 1.2 < then / now < 2.2:
        raise Again
    before = step(tip_deflection, f"As it stands, with the {force} N that bend it so:", force=force, stickout=now,
        bar=bar, modulus=STEEL)
    if before.value < 0.004:   # printed to a hundredth of a micrometre at best, in inch to a tenth of that
        raise Again
    after = step(tip_deflection, "Let out, under the same force:", force=force, stickout=then, bar=bar, modulus=STEEL)
    ratio = then / now
    return ask(
        f"The cut bends a steel bar of Ø{say.length(bar)}, {say.length(now)} out, by "
        f"{say.fine(before.value, 3)}. You let it out to {say.length(then)} and take the same cut. "
        f"Leave the holder out of it. How far does it bend now, in {say.fine_unit}?", "mm",
        (before, after, f"Or shorter: ({plain(then, 4)} ÷ {plain(now, 4)})³ = {plain(ratio**3, 4)} times as far."),
        ("How does bending grow with the stickout: with the length, its square or its cube?",
        "Divide new by old stickout, take the cube, multiply."),
        (
        Slip("linear for cubic", before.value * ratio,
        "You took it as growing with the length. It grows with the cube of the length."),
        Slip("square for cubic", before.value * ratio**2, "You took the square. It grows with the cube.")), shown="µm")


@CHAPTER.exercise("Radius or diameter?")
def small_bore(draw: Draw, say: Say) -> Task:
    bore, push = draw.value(8, 60, 0.5), draw.value(0.0025, 0.03, 0.0001)
    line = step(bore_cut, bore=bore, push=push, drop=0)
    return ask(
        f"The cut pushes the bar's tip {say.fine(push, 3)} off the wall of a bore that should be Ø{say.length(bore)}. "
        f"By how much is the bore too small, in {say.fine_unit}?", "mm", (line, f"Small by {plain(2e3 * push, 4)} µm."),
        ("The push is on one side of the axis, the bore is measured across.",
        "What is missing on one side is missing on the other too."),
        (
        Slip("radius for diameter", push,
        "That is missing on the radius. The gauge measures across, so it finds twice as much."),), answer=2 * push,
        shown="µm", within=0.02)


@CHAPTER.exercise("A thicker bar", 2)
def thicker(draw: Draw, say: Say) -> Task:
    thin, thick, out, force = draw.value(5, 14, 0.5), draw.value(6, 20, 0.5), draw.value(25, 60, 1), draw.whole(8, 60)
    ratio = thick / thin
    if not 1.12 < ratio < 1.9:
        raise Again
    before = step(tip_deflection, f"The slim bar, say under {force} N:", force=force, stickout=out, bar=thin,
        modulus=STEEL)
    after = step(tip_deflection, "The thick bar:", force=force, stickout=out, bar=thick, modulus=STEEL)
    return ask(
        f"Instead of a steel bar of {say.length(thin)} you take one of {say.length(thick)}. Both stick out "
        f"{say.length(out)}, and the cut is the same. Leave the holder out of it. How many times less does it "
        "bend?", "1",
        (before, after, f"Or shorter: ({plain(thick, 3)} ÷ {plain(thin, 3)})⁴ = {plain(ratio**4, 4)}."),
        ("The second moment of a round bar goes with a high power of its diameter.",
        "Divide the diameters and take the fourth power."),
        (Slip("linear", ratio, "You took the diameters as they are. Bending goes with the fourth power."),
        Slip("square", ratio**2, "That is the area's growth. Bending goes with the fourth power."),
        Slip("cube", ratio**3, "The cube belongs to the length. The diameter comes in with its fourth power.")),
        answer=ratio**4)


@CHAPTER.exercise("As good as steel", 2)
def other_metal(draw: Draw, say: Say) -> Task:
    slender, modulus = draw.value(3, 5, 0.1), draw.value(300e3, 630e3, 5e3)
    line = step(equal_slenderness, slenderness=slender, modulus=STEEL, other_modulus=modulus)
    ratio = modulus / STEEL
    return ask(
        f"A steel bar (205 GPa) serves you well at {plain(slender, 3)} diameters out. A bar of the same thickness in a "
        f"stiffer metal has {plain(modulus / 1e3, 3)} GPa. "
        "Leave the holder out of it. At how many diameters is it just as stiff?", "1", (line,),
        ("Stiffness goes with the modulus, and falls with the cube of the stickout.",
        "Multiply by the cube root of the ratio of the two moduli."),
        (
        Slip("linear for cube root", slender * ratio,
        "You let the length grow as the modulus. Since bending goes with the cube of the length, only its cube "
        "root comes out."),
        Slip("square root for cube root", slender * ratio**0.5,
        "The root is a cube root: bending goes with the cube of the length."),
        Slip("upside down", slender / ratio ** (1 / 3), "The stiffer bar may stand out further, not less far.")),
        within=0.02)


@CHAPTER.exercise("Which bar?", 3)
def which_bar(draw: Draw, say: Say) -> Task:
    long, short, mid = draw.value(45, 70, 1), draw.value(28, 42, 1), draw.value(40, 60, 1)
    thick, thin, hard, force = (draw.value(10, 14, 0.5), draw.value(6, 9, 0.5), draw.value(7, 11, 0.5),
        draw.whole(10, 60))
    bars = ((f"steel Ø{say.length(thick)}, {say.length(long)} out", long, thick, STEEL),
        (f"steel Ø{say.length(thin)}, {say.length(short)} out", short, thin, STEEL),
        (f"carbide Ø{say.length(hard)}, {say.length(mid)} out", mid, hard, CARBIDE))
    lines = tuple(step(tip_deflection, f"{name}:", force=force, stickout=out, bar=bar, modulus=modulus) for name, out,
        bar, modulus in bars)
    moved = [line.value for line in lines]
    order = sorted(range(3), key=lambda i: moved[i])
    if moved[order[1]] < 1.25 * moved[order[0]]:
        raise Again
    why = ("Thickest of the three, but its length undoes it: the cube of the stickout.",
        "Shortest of the three, but its slimness undoes it: the fourth power of the diameter.",
        "Carbide is three times as stiff, no more: length and thickness weigh more here.")
    return choose(
        "Three bars would reach the bottom of a bore and leave room for chips. Steel has 205 GPa, carbide 600. "
        f"Leave the holders out of it. Which bends least under a push of {force} N?", tuple(bar[0] for bar in bars),
        order[0], lines,
        ("Compare stickout³ ÷ (modulus × diameter⁴).",
        "Work it out for each with the modulus in steel's: 1, 1 and 2.9."),
        tuple(Slip(("thickest", "shortest", "carbide")[i], i, why[i]) for i in range(3) if i != order[0]))


@CHAPTER.exercise("At the lathe: weigh your holder", 2, hands=True)
def weigh(draw: Draw, say: Say) -> Task:
    mass, out = draw.value(1, 4, 0.5), draw.value(50, 90, 5)
    line = step(bar_deflection, "A 10 mm steel bar in a middling holder of a small lathe:", force=GRAVITY * mass,
        stickout=out, bar=10, modulus=STEEL, poisson=0.29, holder_stiffness=30e3, holder_rotation=18e6)
    return measure(
        f"Switch the spindle off. Clamp a steel bar of about 10 mm, {say.length(out)} out, and set an indicator on its "
        f"end, its stand on the bed. Hang {plain(mass, 2)} kg at the end (string, a bucket of water), "
        f"and take it off again; mind your toes. By how much does the indicator move, in {say.fine_unit}?", "mm",
        (0.25 * line.value, 6 * line.value), line.value, (line,),
        ("Put the weight on and off three times: the readings should come back.",
        "The indicator at the end shows bar and holder together."),
        low_says="That is less than the bar alone would bend. Does the indicator's stand move along? It must stand on "
        "the bed, not on the slide.",
        high_says="That is a very soft holder. Is the bar's clamp tight, and does something in the slides rock? Does "
        "the reading come back when the weight is off?", shown="µm")


@CHAPTER.exercise("Kitchen table: the ringing rod", 2, hands=True)
def rod(draw: Draw, say: Say) -> Task:
    long, short = draw.value(180, 240, 5), draw.value(110, 150, 5)
    first, second = (step(first_frequency, f"{plain(out, 3)} mm out:", stickout=out, bar=3, modulus=STEEL, density=7850)
        for out in (long, short))
    ratio = second.value / first.value
    return measure(
        f"Press a steel knitting needle or thin rod flat on a table's edge, {say.length(long, 3)} standing out; keep "
        "your eyes away from its end. Flick it and take the pitch with a phone's recorder or a tuner. "
        f"Again with {say.length(short, 3)} out. How many times higher is the second pitch?", "1",
        (0.82 * ratio, 1.25 * ratio), ratio, (first, second, "Pitch goes with one over the length squared."),
        ("Press hard, close to the edge, or the table's edge becomes part of the spring.",
        "Pitch in Hz short, divided by pitch in Hz long."),
        low_says="Less than expected. Was the rod pressed down right at the edge? A loose clamp makes the short rod "
        "too low.", high_says="More than expected. Perhaps an overtone was heard: take the lowest note.",
        slips=(Slip("upside down", 1 / ratio, "That is the other way round: the short rod rings higher."),))
