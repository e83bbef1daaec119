"""Pages on threads inside: the bar under the flanks' force, and when the half-nuts may close."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from .. import boring_bar, cutting, threads
from .. import grooves_tapers as inside
from ..boring_bar.quantities import Stickout
from ..core.quantity import Refused, Say, but, plain
from ..core.shared import BarDiameter, LeastChip, Passes, SpindleSpeed
from ..core.spread import Likely, likely, odds, sample, verdict
from ..core.tables import assumed, fact
from ..grooves_tapers.inside_threads import MM
from ..grooves_tapers.quantities import DialMarks, DialTeeth, MarksLate, RunOut, ThreadGap
from ..screen.draw import WIDTH, Drawing
from ..screen.page import Choose, Page, Slide, Write
from ..threads.single_point import infeed_schedule
from .boring_bar import fine_range

MATERIALS = tuple(cutting.work_materials())
HOLDER = "two screws in a block"
SAME = 1e-9        # of a millimetre, or of a pitch
FEW = 300          # samples: the passes are followed one by one
THREAD = Write("thread", "M24x1.5", "work", "thread", "such as M24x1.5 or 3/4-16 UNF")


# ---- the bar ------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Inside:
    thread: threads.Thread
    bore: tuple[float, float, float]      # least, best, most
    schedule: tuple[float, ...]
    bar: float
    thickest: float
    stickout: float
    left: tuple[Likely, ...]              # on radius after the last infeed and each spring pass
    small: Likely                         # pitch diameter too small, after all passes
    width: float                          # tolerance of the pitch diameter
    depth: float
    thrust: float
    run_out: float
    speed: float
    top_speed: Likely
    spring: int
    rubs: bool
    verdict: str
    headline: str


def compute_inside(thread: str, material: str, run_out: float, bar: float, stickout: float, passes: int, spring: int,
        speed: float, least_chip: float, gap: float) -> Inside:
    """Bore, passes, what the bar leaves of the pitch diameter, room and time; mm, rpm. Raises Refused."""
    t = threads.read(thread)
    kind = "2B" if t.inch else "6H"
    bore, limits = threads.bore_for(thread, kind), threads.limits(thread, kind)
    plan = infeed_schedule(t.pitch, passes)
    flat = t.pitch / threads_flat()
    thickest = float(inside.thickest_bar(bore.lower, plan.depth[-1], gap))
    if bar > thickest + SAME:
        raise Refused(f"A bar of {plain(bar, 3)} mm is too thick for {t.name}: with the gap you ask for it may be "
            f"{plain(max(thickest, 0.0), 3)} mm at most. Take a thinner bar, or less gap.")
    springs = boring_bar.holder_springs(HOLDER, bar)
    drawn = sample(FEW, force=cutting.force_range(material), shift=springs["stiffness"].range,
        tilt=springs["rotation"].range, modulus=fact("bar_materials", bar_material="steel", property="E").range)
    soft = boring_bar.compliance([(stickout, bar)], drawn["modulus"],
        fact("bar_materials", bar_material="steel", property="nu").value, drawn["shift"], drawn["tilt"])
    got = inside.inside_passes(plan, flat, soft, spring, material=material, least_chip=least_chip, force=drawn["force"])
    left = [likely(got.left[passes - 1 + n]) for n in range(spring + 1)]
    small = 2 * got.left[-1]
    width = float(limits.pitch[1] - limits.pitch[0])
    chance = odds(small <= width / 2)
    time = sample(reaction=assumed("reaction at the lever").range)["reaction"]
    found = verdict(chance)
    said = {"holds": "It cuts the thread", "at the edge": "The bar is at the edge", "will not hold":
        "The bar deflects too much"}[found]
    rubs = bool(spring and np.median(got.reached[-1] - got.reached[-2]) <= 0)
    return Inside(t, (bore.lower, bore.aim, bore.upper), tuple(float(v) for v in plan.depth), bar, thickest, stickout,
        tuple(left), likely(small), width, float(plan.depth[-1]), float(np.median(got.thrust[0])), run_out, speed,
        likely(inside.top_thread_speed(run_out, t.pitch, time)), spring, rubs, found, said)


def threads_flat() -> float:
    """Pitches to the flat of a tool ground to the profile: an eighth of the pitch."""
    return fact("grooving", name="flat of a threading tool").value


def words_inside(r: Inside, say: Say) -> str:
    def size(v: float) -> str:
        return f"{v / 25.4:.4f}" if say.inch else f"{v:.3f}"

    unit = say.length_unit
    said = [f"Bore to {size(r.bore[1])} {unit} ({size(r.bore[0])} to {size(r.bore[2])}). After "
        f"{len(r.schedule)} passes and {r.spring} spring pass{'' if r.spring == 1 else 'es'} the pitch diameter is "
        f"{fine_range(r.small, say)} too small; the tolerance is {say.fine(r.width)}."]
    if r.verdict != "holds":
        said.append("Shorten the bar, take a thicker one, or add spring passes.")
    if r.rubs:
        said.append("The last spring pass only rubs.")
    if r.speed > r.top_speed.low:
        said.append(f"At {plain(r.speed, 3)} rpm you may not stop in {say.length(r.run_out, 2)}: stay below "
            f"{plain(r.top_speed.low, 2)} rpm, or thread away from the shoulder.")
    else:
        said.append(f"Up to {plain(r.top_speed.low, 2)} rpm you can stop inside the relief.")
    return " ".join(said)


def picture_inside(r: Inside, say: Say) -> str:
    d = Drawing("The bar in the thread, cut open", words_inside(r, say), WIDTH, 336)
    across = r.bore[1] / 2 + r.depth
    scale = min(88 / across, 270 / r.stickout, 12.0)
    holder, axis = WIDTH - 44.0, 146.0
    tip_x = holder - r.stickout * scale
    relief = min(max(r.run_out * scale, 8.0), 60.0)
    end = max(tip_x - relief - max(0.25 * r.stickout * scale, 14.0), 40.0)     # the shoulder
    face = max(holder - 0.3 * r.stickout * scale, tip_x + 24)                     # the work's open face
    bore, root = r.bore[1] / 2 * scale, across * scale
    pitch = max(r.thread.pitch * scale, 5.0)
    for side in (-1, 1):
        xs, ys = [end, end + relief, end + relief], [axis + side * root] * 2 + [axis + side * bore]
        x = end + relief
        while x + pitch < face:
            xs += [x + pitch * 0.35, x + pitch * 0.65, x + pitch]
            ys += [axis + side * root, axis + side * root, axis + side * bore]
            x += pitch
        xs.append(face)
        ys.append(axis + side * bore)
        far = axis + side * (root + 24)
        d.shape([*xs, face, end], [*ys, far, far], "fill-work", hatch=9)
        d.line(xs, ys)
    d.shape([end - 26, end, end, end - 26], [axis - root - 24, axis - root - 24, axis + root + 24, axis + root + 24],
        "fill-work", hatch=9)
    d.line([end, end], [axis - root, axis + root])
    thick, out = r.bar / 2 * scale, max((r.depth + 0.5) * scale, 6.0)
    tip_y = axis + root
    top = tip_y - out - 2 * thick
    d.shape([tip_x - 9, holder, holder, tip_x + 9, tip_x, tip_x - 9],
        [top, top, top + 2 * thick, top + 2 * thick, tip_y, top + 2 * thick], "fill-tool", "ink")
    d.rect(holder, top - 14, WIDTH - holder - 4, 2 * thick + 28, "fill-holder", "ink", hatch=9)
    push = float(r.left[0].value)
    times = float(f"{min(16 / max(push * scale, 1e-9), 5000):.1g}")
    steps = np.linspace(0, 1, 12)
    bend = (3 * (1 - steps) ** 2 - (1 - steps) ** 3) / 2 * push * scale * times
    d.line(tip_x + (holder - tip_x) * steps, top + thick - bend, "b")
    d.line([end - 34, WIDTH - 8], [axis, axis], "thin")
    d.text(8, 20, f"relief {say.length(r.run_out, 2)}", kind="small")
    d.text(WIDTH - 8, 20, f"bar out {say.length(r.stickout, 3)}", "end", "small")
    said = f"deflected by {say.fine(push)} on radius"
    said += f", at the end by {say.fine(r.left[-1].value)}" if r.spring else ""
    d.text(8, 306, said, kind="small")
    d.text(8, 327, f"dashed: exaggerated ×{plain(times, 1)}", kind="small")
    d.handle("stickout", tip_x, top + thick, -1 / scale)
    return d.svg()


def more_inside(r: Inside, say: Say) -> str:
    rows = "".join(f"<tr><td>{n}</td><td>{plain(float(say.length_number(v)), 3)}</td></tr>"
        for n, v in enumerate(r.schedule, 1))
    return (f"<p>The first pass pushes the bar with about {plain(r.thrust, 2)} N. With this gap the bar may be "
        f"{say.length(r.thickest, 3)} thick.</p>"
        f"<table><tr><th>pass</th><th>depth on radius, {say.length_unit}</th></tr>{rows}</table>")


INSIDE = Page("inside_thread", "Will this bar cut the thread inside?",
    (THREAD, Choose("material", MATERIALS, "medium-carbon steel", "work"),
    Slide("run_out", but(RunOut, low=0.5, high=20, usual=5), "work", "width of the relief"),
    Slide("bar", but(BarDiameter, low=3, high=40, usual=16), "tool", "bar diameter"),
    Slide("gap", but(ThreadGap, usual=0.5), "tool", "gap to keep free", rare=True),
    Slide("stickout", but(Stickout, low=10, high=200, usual=50), "holder"),
    Slide("passes", but(Passes, low=2, high=20, usual=8), "cut", "passes"),
    Slide("spring", but(Passes, low=0, high=6, usual=2, says="passes more at the last setting"), "cut",
        "spring passes"),
    Slide("speed", but(SpindleSpeed, low=20, high=1000, usual=100, step=10), "cut", "spindle speed"),
    Slide("least_chip", LeastChip, "cut", "minimum chip thickness", rare=True)), compute_inside, picture_inside,
    words_inside, more_inside)


# ---- the thread dial ----------------------------------------------------------------------------------------------


SCREWS = {"8 threads to the inch": MM / 8, "4 threads to the inch": MM / 4, "6 mm": Fraction(6), "4 mm": Fraction(4),
    "3 mm": Fraction(3), "2 mm": Fraction(2)}
# an inch in millimetres has five as its denominator, so that every pitch is an exact fraction


@dataclass(frozen=True)
class Dial:
    screw: str
    pitch: Fraction
    typed: str
    teeth: int
    marks: int
    late: int
    rule: inside.DialRule
    off: float


def read_pitch(text: str) -> Fraction:
    """"1.5", "1.5 mm", "20 tpi" or a thread's name as an exact pitch in mm. Raises Refused."""
    clean = text.strip().lower().replace(",", ".")
    for ending in ("tpi", "threads to the inch", "per inch"):
        if clean.endswith(ending):
            return MM / _fraction(clean.removesuffix(ending), text)
    if clean.endswith("mm") or not any(letter.isalpha() or letter in "#-–" for letter in clean):
        return _fraction(clean.removesuffix("mm"), text)
    t = threads.read(text)
    return MM / Fraction(float(MM) / t.pitch).limit_denominator(8) if t.inch else Fraction(str(round(t.pitch, 6)))


def _fraction(text: str, typed: str) -> Fraction:
    from ..core.quantity import number

    value = Fraction(str(number(text.strip()))).limit_denominator(1000)
    if not MM / FINEST <= value <= COARSEST:
        raise Refused(f"A pitch of “{typed[:30]}” is out of reach: give mm such as 1.5, or 20 tpi, or a thread's name.")
    return value


def compute_dial(thread: str, screw: str, teeth: int, marks: int, late: int) -> Dial:
    """At which marks of the thread dial the half-nuts may close again. Raises Refused for a pitch it cannot read."""
    pitch = read_pitch(thread)
    rule = inside.dial_rule(SCREWS[screw], pitch, teeth, marks)
    return Dial(screw, pitch, thread, teeth, marks, late % marks, rule, rule.missed[late % marks])


def words_dial(r: Dial, say: Say) -> str:
    names = ", ".join(str(mark) for mark in r.rule.marks)
    if r.rule.anywhere:
        said = "Close the half-nuts wherever they drop in: leadscrew and thread are always in step."
    elif r.rule.closed:
        said = (f"Keep the half-nuts closed and run back with the spindle: the mark you began at is right again only "
            f"after {r.rule.turns} revolutions of the dial.")
    elif len(r.rule.marks) == r.marks:
        said = "Close at any mark."
    elif len(r.rule.marks) > 1:
        said = f"Close at the mark you began at, which counts as 0, or at {names.removeprefix('0, ')} after it."
    else:
        said = "Close at the same mark only."
    period = f"They are back in step every {say.length(r.rule.period, 4)} of travel."
    if r.late and r.off > SAME:
        wrong = f" Closed {r.late} mark{'' if r.late == 1 else 's'} later the tool would land " \
            f"{plain(r.off, 2)} of a pitch beside its groove."
    elif r.late:
        wrong = f" Closed {r.late} mark{'' if r.late == 1 else 's'} later it falls into its groove."
    else:
        wrong = ""
    return f"{said} {period}{wrong}"



FINEST, COARSEST = 400, 100   # threads to the inch, and mm: pitches between these are read
CROWDED = 10   # marks: beyond it every second one is numbered


def picture_dial(r: Dial, say: Say) -> str:
    d = Drawing("The thread dial, and the tool over its groove", words_dial(r, say), WIDTH, 300)
    cx, cy, rad = 124.0, 138.0, 96.0
    d.circle(cx, cy, rad, "fill-holder")
    d.circle(cx, cy, rad, "ink")
    good = set() if r.rule.closed else set(r.rule.marks)
    for mark in range(r.marks):
        turn = 2 * math.pi * mark / r.marks - math.pi / 2
        ux, uy = math.cos(turn), math.sin(turn)
        right = mark in good
        d.line([cx + ux * (rad - (18 if right else 9)), cx + ux * rad], [cy + uy * (rad - (18 if right else 9)),
            cy + uy * rad], "ink" if right else "thin")
        if right:
            d.dot(cx + ux * (rad - 26), cy + uy * (rad - 26), "a", "circle", 5)
        if r.marks <= CROWDED or mark % 2 == 0:
            d.text(cx + ux * (rad - 46), cy + uy * (rad - 46) + 5, str(mark), "middle",
                "bold halo" if right else "small halo")
    turn = 2 * math.pi * r.late / r.marks - math.pi / 2
    d.arrow(cx, cy, cx + math.cos(turn) * (rad - 4), cy + math.sin(turn) * (rad - 4), "b", 10)
    d.text(cx, cy + rad + 24, "dots: marks to close at" if good else "no mark is right", "middle", "small")
    # three threads and the tool where it would come down
    x0, wide, y0 = 250.0, 62.0, 96.0
    off = 0.0 if r.off <= SAME else r.off
    xs, ys = [x0], [y0]
    for n in range(3):
        xs += [x0 + n * wide + wide / 2, x0 + (n + 1) * wide]
        ys += [y0 + 48, y0]
    d.shape([*xs, xs[-1], x0], [*ys, y0 + 100, y0 + 100], "fill-work", hatch=9)
    d.line(xs, ys)
    tx = x0 + 1.5 * wide - off * wide
    d.shape([tx - 22, tx + 22, tx + 8, tx, tx - 8], [20, 20, 58, 78, 58], "fill-tool", "ink")
    d.line([tx, tx], [78, y0 + 48], "b")
    said = "in its groove" if not off else f"{plain(off, 2)} pitch beside it"
    d.text(d.within(x0 + 1.5 * wide, said), y0 + 124, said, "middle")
    d.text(8, 292, f"one revolution of the dial: {say.length(r.rule.around, 4)} of travel", kind="small")
    d.handle("late", cx + math.cos(turn) * rad, cy + math.sin(turn) * rad, r.marks / 240)
    return d.svg()


DIAL = Page("thread_dial", "When may the half-nuts close again?",
    (Write("thread", "M24x1.5", "work", "thread or pitch", "such as M24x1.5, 1.25 or 11.5 tpi"),
    Choose("screw", tuple(SCREWS), "8 threads to the inch", "holder", "leadscrew"),
    Slide("teeth", but(DialTeeth, low=8, high=64, usual=32), "holder", "teeth of the dial's gear"),
    Slide("marks", but(DialMarks, low=1, high=16, usual=8), "holder", "marks on the dial"),
    Slide("late", but(MarksLate, low=0, high=15, usual=1), "cut", "closed so many marks later")), compute_dial,
    picture_dial, words_dial)
