"""Chapter 9, holes and threads: points, wander, wires, infeed."""

from __future__ import annotations

from ...core.quantity import Say, plain
from ...drilling import cone_height, floor_depth_of_cut, offset_after, smallest_clean_bore, tip_depth, wander
from ...threads import basic_pitch_diameter, limits
from ...threads.single_point import best_wire, depth_for_tip, depth_of_area, groove_area, over_wires
from ..practice import Again, Chapter, Draw, Seen, Slip, Task, ask, choose, measure, step

CHAPTER = Chapter("09_holes_and_threads", "9 Holes and threads")
PITCHES = (0.5, 0.75, 1.0, 1.25, 1.5, 1.75, 2.0)

CHAPTER.prediction = ask(
    "A Ø9.2 drill with a 118° point stands with its tip at 32 mm. To what depth is the hole 9.2 mm wide, in mm?", "mm",
    (step(cone_height, "The point is so high:", diameter=9.2, point_angle=118),), (),
    (Slip("point forgotten", 32.0, "That forgets the point: the tip is there first, the full width comes later."),
    Slip("diameter for radius", 26.47, "You took the whole diameter for the cone's half width."),
    Slip("point the wrong way", 34.76, "The full width lags behind the tip; it is less deep.")),
    answer=32 - float(cone_height(9.2, 118)), within=0.012,
    reveals="The cone of a 118° point is three tenths of the diameter high.")
CHAPTER.seen = Seen("drilled_bottom", dict(tip=20.0), dict(tip=32.0), "29.2")


@CHAPTER.exercise("How deep must the tip go?")
def tip(draw: Draw, say: Say) -> Task:
    across, deep, angle = draw.value(3, 16, 0.1), draw.value(8, 40, 0.5), draw.pick((90, 118, 130, 135, 140))
    line = step(tip_depth, full_depth=deep, diameter=across, point_angle=angle)
    height = line.value - deep
    return ask(
        f"A hole Ø{say.length(across)} must be full width to {say.length(deep)}. The drill's point is {angle}°. How "
        f"deep must the tip go, in {say.length_unit}?", "mm", (line,),
        ("Half the point's angle stands between axis and edge.",
        "Height of the cone: half the diameter over the tangent of half the angle."),
        (
        Slip("diameter for radius", deep + 2 * height, "You used the whole diameter. The cone stands over the radius."),
        Slip("point forgotten", deep, "That is the full width's depth. The tip is ahead of it."),
        Slip("point the wrong way", deep - height, "The tip goes deeper than the full width, not less deep.")),
        within=0.0, give=0.08 * height)


@CHAPTER.exercise("A bore that cleans up", 2)
def clean(draw: Draw, say: Say) -> Task:
    drilled, start, drift, deep = (draw.value(6, 18, 0.1), draw.value(0.02, 0.15, 0.01),
        draw.value(0.001, 0.005, 0.0005), draw.whole(20, 60))
    off = step(wander, "The axis is off at the bottom by:", start_offset=start, drift=drift, depth=deep)
    line = step(smallest_clean_bore, drilled=drilled, offset=off.value)
    return ask(
        f"A drilled hole measures Ø{say.length(drilled)}. It starts {say.length(start, 3)} off the axis and drifts "
        f"{plain(drift * 1e3, 2)} µm for each mm, the same way, for {say.length(deep)}. "
        "By how much larger than the drilled hole must a true bore be, on diameter, to clean it up all round, in "
        f"{say.length_unit}?", "mm", (off, line, f"Larger by {plain(line.value - drilled, 4)} mm."),
        ("First how far off it is at the bottom.",
        "The bore must reach the far side of a circle that is off: twice the offset."),
        (Slip("radius for diameter", off.value, "So much on one side. The bore grows on both."),
        Slip("drift forgotten", 2 * start, "It drifts on the way down: the bottom is further off than the mouth.")),
        answer=2 * off.value)


@CHAPTER.exercise("The bar in the corner", 2)
def corner(draw: Draw, say: Say) -> Task:
    drill, bore, share = draw.value(6, 14, 0.1), draw.value(7, 16, 0.1), draw.value(0.15, 0.75, 0.05)
    if not 0.3 <= bore - drill <= 1.6:
        raise Again
    high = step(cone_height, "The drill's cone is so high:", diameter=drill, point_angle=118)
    floor = round(share * high.value, 2)
    line = step(floor_depth_of_cut, floor=floor, bore=bore, drill=drill, point_height=high.value)
    return ask(f"A Ø{say.length(drill)} drill (118°) has gone to the bottom. A bar bores to Ø{say.length(bore)}. "
        f"What depth of cut does it meet {say.length(floor, 4)} above the bottom, on radius, in {say.length_unit}?",
        "mm", (high, line),
        ("There the drilled hole is only as wide as the cone at that height.",
        "Half the bore, less the cone's half width at that height."),
        (Slip("diameter for radius", 2 * line.value, "That is on diameter. The bar cuts on one side."),
        Slip("cone forgotten", (bore - drill) / 2,
        "That is what it meets along the straight wall. In the cone there is far more."),
        Slip("cone upside down", bore / 2 - drill / 2 * (1 - share),
        "You took the cone's width from its top. At the bottom it comes to a point.")), within=0.04)


@CHAPTER.exercise("Pitch diameter", 1)
def pitch_diameter(draw: Draw, say: Say) -> Task:
    major, pitch = draw.whole(6, 48), draw.pick(PITCHES)
    if not 0.025 < pitch / major < 0.2:
        raise Again
    line = step(basic_pitch_diameter, major=major, pitch=pitch)
    height = 0.8660254 * pitch
    return ask(f"What is the basic pitch diameter of a metric thread M{major} with a pitch of {plain(pitch, 3)} mm, in "
        f"{say.length_unit}?", "mm", (line,),
        ("Three eighths of the sharp triangle in from the crest, on each side.",
        "The triangle is 0.866 pitches high; take off six eighths of it."),
        (
        Slip("radius for diameter", major - 0.375 * height,
        "You took it off on one side. The diameter loses it on both."),
        Slip("minor for pitch diameter", major - 1.25 * height, "That is the minor diameter."),
        Slip("pitch for triangle", major - 0.75 * pitch, "You took the pitch for the triangle's height: 0.866 of it.")),
        within=0.0, give=0.012 * pitch)


@CHAPTER.exercise("What must the micrometer say?", 2)
def wires(draw: Draw, say: Say) -> Task:
    major, pitch, thick = draw.whole(8, 48), draw.pick(PITCHES), draw.value(0.52, 0.75, 0.01)
    if not 0.025 < pitch / major < 0.2:
        raise Again
    wire = round(thick * pitch, 3)
    middle = round(float(basic_pitch_diameter(major, pitch)) - draw.value(0.03, 0.12, 0.005), 3)
    line = step(over_wires, pitch_diameter=middle, pitch=pitch, wire=wire, flank_angle=30)
    return ask(f"The pitch diameter of a 60° thread, pitch {plain(pitch, 3)} mm, is to be {say.length(middle, 6)}. You "
        f"measure over three wires of {say.length(wire, 4)}. What must the micrometer read, in {say.length_unit}? The "
        "wires' slope may be left out.", "mm", (line,),
        ("Three wires' worth comes on, a little less than a pitch comes off.",
        "Pitch diameter + 3 wires − 0.866 pitch."),
        (
        Slip("two wires", line.value - wire,
        "Two wires lie across, but each also stands up in its groove: three wires' worth comes on."),
        Slip("pitch forgotten", middle + 3 * wire, "The wires sink into the groove: take 0.866 of the pitch off."),
        Slip("sign", middle - (line.value - middle), "The reading is larger than the pitch diameter, not smaller.")),
        within=0.0, give=0.0012)


@CHAPTER.exercise("The tip you have", 2)
def tip_flat(draw: Draw, say: Say) -> Task:
    pitch, wide = draw.pick(PITCHES), draw.value(0.03, 0.12, 0.005)
    true, blunt = (step(depth_for_tip, says, pitch=pitch, tip_flat=flat) for says,
        flat in (("For the tip of the profile, an eighth of the pitch:", pitch / 8),
        ("For your tip:", pitch / 8 + wide)))
    right = 2 * (true.value - blunt.value)
    return ask(
        f"Pitch {plain(pitch, 3)} mm. Your tool's tip is {say.length(wide, 3)} wider than the profile's (an eighth of "
        "the pitch), and you send it to the depth that belongs to the profile's tip. By how much does the pitch "
        f"diameter come out too small, in {say.fine_unit}?", "mm",
        (true, blunt, f"Twice the difference: {plain(right * 1e3, 4)} µm."),
        ("A wider tip needs less depth; by how much?",
        "0.866 of the extra width on the radius; the diameter has it twice."),
        (
        Slip("radius for diameter", right / 2,
        "That is on the radius, as the dial shows depth. The pitch diameter has it twice."),
        Slip("width for depth", 2 * wide, "You took the width for the depth: 0.866 of it.")), shown="µm", answer=right)


@CHAPTER.exercise("Passes that get shallower", 2)
def passes(draw: Draw, say: Say) -> Task:
    pitch, count, which = draw.pick(PITCHES), draw.whole(4, 9), draw.whole(1, 5)
    if which >= count:
        raise Again
    full = step(depth_for_tip, "The whole depth:", pitch=pitch, tip_flat=pitch / 8)
    area = step(groove_area, "The whole groove's section:", depth=full.value, tip_flat=pitch / 8, flank_angle=30)
    line = step(depth_of_area, f"The depth at which {which} of {count} shares are gone:",
        area=area.value * which / count, tip_flat=pitch / 8, flank_angle=30)
    return ask(
        f"A 60° thread of pitch {plain(pitch, 3)} mm is cut {say.length(full.value, 4)} deep (on radius) with a tip "
        f"{say.length(pitch / 8, 4)} wide, in {count} passes of equal section, straight in. How deep does the tool "
        f"stand after pass {which}, in {say.length_unit}?", "mm", (full, area, line),
        ("Equal sections: after each pass the same area more is gone.",
        "Area of a groove of depth h: h × tip + h² × tan 30°. Turn it round for the share."),
        (
        Slip("linear for square root", full.value * which / count,
        "Those are equal depths. A V widens, so equal sections mean shallower and shallower steps."),
        Slip("tip forgotten", full.value * (which / count) ** 0.5,
        "That takes the tip as sharp. Its width counts in the section.")), within=0.015)


@CHAPTER.exercise("Which drill?", 3)
def which_drill(draw: Draw, say: Say) -> Task:
    bore, start, drift, deep, keep = (draw.value(8, 20, 0.2), draw.value(0.02, 0.12, 0.01),
        draw.value(0.001, 0.004, 0.0005), draw.whole(20, 50), draw.pick((0.1, 0.15, 0.2)))
    off = step(wander, "The hole is off at the bottom by:", start_offset=start, drift=drift, depth=deep)
    largest = bore - 2 * off.value - 2 * keep - 0.1
    drills = [round(bore - less, 1) for less in (0.3, 0.6, 0.9, 1.3)]
    good = [drill for drill in drills if drill <= largest]
    if not good or min(abs(drill - largest) for drill in drills) < 0.03:
        raise Again
    right = drills.index(max(good))
    return choose(
        f"You bore Ø{say.length(bore)}, {say.length(deep)} deep. The drill starts {say.length(start, 3)} off, drifts "
        f"{plain(drift * 1e3, 2)} µm for each mm, cuts {say.length(0.1, 2)} over its size, and the bar must find "
        f"{say.length(keep, 3)} of wall everywhere, on radius. Which is the largest drill that may go in?",
        tuple(f"Ø{say.length(drill)}" for drill in drills), right,
        (off, f"Bore less twice the offset, twice the wall and the drill's over size: {plain(largest, 4)} mm."),
        ("How far off is the hole at the bottom, at worst?",
        "Offset and wall count on both sides, the over size once."),
        tuple(
        Slip("too large" if i < right else "smaller than needed", i, "That would leave unbored wall at the bottom."
        if i < right else "It would do, but a larger one does too; the bar then has less to take.") for i in range(4)
        if i != right))


@CHAPTER.exercise("At the lathe: how far does it wander?", 3, hands=True)
def wandering(draw: Draw, say: Say) -> Task:
    across = draw.value(6, 12, 0.5)
    line = step(offset_after, "Were it 0.08 mm off, a boring bar that copies a twentieth would leave after one pass:",
        offset=0.08, copied=0.05, passes=1)
    return measure(
        f"Chuck a scrap bar, face it, drill it Ø{say.length(across)}, four diameters deep, the way you always do. Bore "
        f"it in steps of {say.length(0.05, 2)} on diameter and note at which bore the last patch of drilled wall "
        "disappears. Stop the spindle before you look or reach in. Half of (that bore less the drilled diameter) is "
        f"the offset: how much, in {say.length_unit}?", "mm", (0.003, 0.6), 0.08, (line,),
        ("Measure the drilled hole first: drills cut over size.", "That bore less the drilled hole, halved."),
        low_says="Less than a few µm: did you start from the drill's real hole, or from its nominal size?",
        high_says="That is a lot. Was it started without a centre, or is it given on diameter? Halve it.")


@CHAPTER.exercise("Kitchen table: three pins", 2, hands=True)
def three_pins(draw: Draw, say: Say) -> Task:
    name, pitch = draw.pick((("M6", 1.0), ("M8", 1.25), ("M10", 1.5), ("M12", 1.75)))
    low, high = limits(f"{name}x{plain(pitch, 3)}", "6g").pitch
    wire = step(best_wire, "The best wire:", pitch=pitch, flank_angle=30)
    line = step(over_wires, "Over three of them a bolt in the middle of 6g reads:", pitch_diameter=(low + high) / 2,
        pitch=pitch, wire=wire.value, flank_angle=30)
    return measure(f"Take a good {name} bolt and three equal pins or needle shanks {say.length(0.52 * pitch, 2)} to "
        f"{say.length(pitch, 2)} thick. Measure a pin three times, then the bolt over the pins (rubber bands help). "
        f"Reading less three pins, plus 0.866 pitch: what pitch diameter do you get, in {say.length_unit}?", "mm",
        (low - 0.12, high + 0.06), (low + high) / 2, (wire, line),
        ("Rock the micrometer and take the smallest reading.",
        f"0.866 × {plain(pitch, 3)} = {plain(0.8660254 * pitch, 4)} mm."),
        low_says="Smaller than such bolts are. Did you take three pins off, and add 0.866 pitch?",
        high_says="Larger than such bolts are. Were the pins tilted, or did you forget to take them off?",
        slips=(
        Slip("reading as it is", line.value,
        "That looks like the reading over the pins. Take three pins off and add 0.866 pitch."),))
