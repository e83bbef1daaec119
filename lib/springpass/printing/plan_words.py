"""The words of a plan: its operations, reasons, missing tools and changes, as a turner reads them.

A plan holds kinds, names and numbers (`job/results.py`); its sentences stand here once, for the page and for the
printed sheet. Each function takes `say`, so that lengths come out in mm and µm or in inch and thou. Designations stay
as they are drawn ("Ø20 h6", "M18x1"), and so do the names of tools.
"""

from __future__ import annotations

from .. import threads
from ..core.quantity import Say, plain
from ..core.spread import EDGE, FAILS, HOLDS
from ..job import results
from ..job.part import RECESS, THREAD, Surface, thread_class
from ..job.results import (
    BETWEEN_CENTRES,
    FAR,
    NEAR,
    Cannot,
    Cause,
    Holding,
    Missing,
    Operation,
    Order,
    OrderReason,
    Plan,
    PlanChange,
    SizeBudget,
)

CHIPS = "Long chips are cleared with a hook and the spindle standing, never by hand."
STOP = "Stop the spindle to measure."
CAUTIONS: dict[str, tuple[str, ...]] = {"face": (CHIPS,), "centre drill": ("Feed gently: the thin pilot breaks.",),
    "rough turn": (CHIPS, "Chips are hot; eye protection on."), "cool": ("The part and the chips are hot.",),
    "finish turn": (STOP, "No files or emery cloth held by hand near the chuck."),
    "drill": ("Withdraw often and clear the chips with the spindle stopped.",),
    "flat bottom": ("Feed gently: a flat drill grabs.",), "rough bore": (CHIPS,),
    "bore": ("Fingers stay out of a turning bore.", CHIPS), "ream": ("Cutting oil; never turn a reamer backwards.",),
    "face bottom": ("Feed the slide by hand: the bar must not run into the bottom.",),
    "undercut": ("A recessing tool chatters and digs in: short stickout, steady feed.",),
    "inside recess": ("You cannot see the tool: count the dial, and withdraw to the axis before you leave the bore.",),
    "inside thread": ("Know how the half-nuts let go before the tool reaches the bottom.",
    "Withdraw to the axis before you leave the bore."), "knurl": ("A knurl pushes hard: low speed, plenty of oil.",),
    "taper": (STOP,), "rough taper": (CHIPS,), "bore taper": ("Fingers stay out of a turning bore.", CHIPS),
    "chamfer": ("No files at a running lathe near the chuck.",),
    "deburr": ("Burrs cut: never run a finger along an edge that turns.",),
    "saw": ("In the vice, never in the lathe: a saw that slips meets the jaws and the bed.",),
    "turn round": ("Chuck key out of the chuck before the spindle turns.",),
    "recess": ("A recessing tool chatters and digs in: short stickout, steady feed.",),
    "thread": ("Know how the half-nuts let go before the tool reaches the shoulder.",
    "Thread edges cut: do not wipe them with a cloth while they turn."),
    "part off": ("The part falls off: catch it with a rod through the bore or in a tray, never by hand.",
    "No centre in the end while parting off.")}
FIRST = "The lathe's manual, the rules of your shop and whoever instructs you come before this plan."
REMEDY = {Cause.WORK_BENDS: "leave less for the last cut, or support the work",
    Cause.WORK_TAPER: "let less stand out, or use the centre",
    Cause.BAR_BENDS: "take a stouter bar or let less of it stand out",
    Cause.ROOM: "lay part and gauge side by side until both have the room's warmth",
    Cause.WARMTH: "wait before measuring", Cause.READING: "measure more often and average, or use a finer gauge",
    Cause.DIAL: "set with an indicator on the cross slide",
    Cause.LOBES: "tighten gently, use soft or pie jaws, or grip on the face",
    Cause.RELEASE: "bore before finishing the outside, or take a stress-relieved bar",
    Cause.REAMER_CUTS: "try the reamer in a scrap of the same bar and log the hole",
    Cause.REAMER_SIZE: "measure the reamer", Cause.STOP: "set the stop with an indicator",
    Cause.HOLDING: "set it true with an indicator",
    Cause.LATHE_TAPER: "measure the lathe's taper (chapter 10) and set it out, or turn two collars and correct",
    Cause.SPINDLE: "measure the spindle's run-out (chapter 10)",
    Cause.DRIFT: "warm the spindle for half an hour before the last cuts",
    Cause.DRILL: "drill it smaller and bore or ream it",
    Cause.WEAR: "measure more often, or change the edge earlier"}


# ---- lengths ---------------------------------------------------------------------------------------

STANDS = {HOLDS: "holds", EDGE: "is at the edge", FAILS: "will not hold"}   # of a bar, in the middle of a sentence


def _long(say: Say, value: float, places: int) -> str:
    """A length to so many places of a millimetre, or two more of an inch."""
    return f"{value / 25.4:.{places + 2}f} inch" if say.inch else f"{value:.{places}f} mm"


def _length(say: Say, value: float) -> str:
    """A length as it is drawn: "32 mm", "1.25 inch"."""
    return f"{round(value / 25.4, 4):g} inch" if say.inch else f"{value:g} mm"


def _round(say: Say, value: float, places: int | None = None) -> str:
    """A diameter: "Ø24", or "Ø0.9449 inch"."""
    if say.inch:
        return f"Ø{round(value / 25.4, 4):g} inch" if places is None else f"Ø{value / 25.4:.{places + 1}f} inch"
    return f"Ø{value:g}" if places is None else f"Ø{value:.{places}f}"


def _between(say: Say, low: float, high: float, places: int) -> str:
    return f"{_long(say, low, places).split()[0]} and {_long(say, high, places)}"


def _fine(say: Say, value: float, places: int = 1) -> str:
    """A small length to so many places of a micrometre, or to two of a thou."""
    return f"{value / 0.0254:.2f} thou" if say.inch else f"{1000 * value:.{places}f} µm"


def _of(say: Say, moved: float, tolerance: float) -> str:
    """"2.9 µm of 13 µm"."""
    return f"{_fine(say, moved)} of {_fine(say, tolerance, 0)}"


def called(s: Surface, say: Say) -> str:
    """A surface by its size: as it is drawn where it has a class, limits or a thread, else in the reader's unit."""
    return s.says if s.thread or s.toleranced or s.inch else _round(say, s.diameter)


def _surface(made: Plan, name: str, say: Say) -> str:
    return called(made.part.surface(name), say)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


# ---- holdings --------------------------------------------------------------------------------------


def gripped(made: Plan, h: Holding, say: Say) -> str:
    """What a holding grips: "the blank, Ø24", "the finished Ø20 h6"."""
    if h.grips:
        return f"the finished {_surface(made, h.grips, say)}"
    rough = h.diameter < made.part.blank.diameter - 1e-6
    return f"the {'roughed' if rough else 'blank,'} {_round(say, h.diameter)}"


def held(made: Plan, h: Holding, say: Say) -> str:
    """A holding as the sheet heads its operations."""
    if h.kind == BETWEEN_CENTRES:
        return f"{h.number}. between centres, driven at the {_other(h.end)}, {h.end} to the tailstock"
    centre = ", tailstock centre in" if h.centre else ""
    steady = f", steady rest {_long(say, h.steady, 0)} from the near face" if h.steady is not None else ""
    bore = ", the bar through the spindle" if h.through and not h.grips else ""
    return (f"{h.number}. {h.way} on {gripped(made, h, say)}, {say.length(h.stickout, 3)} out, {h.end} to the "
        f"tailstock{bore}{steady}{centre}")


def _other(end: str) -> str:
    return FAR if end == NEAR else NEAR


def _why_held(made: Plan, h: Holding, say: Say) -> str:
    if h.kind == BETWEEN_CENTRES:
        return (f"what is turned between the same two centres runs true to them within about "
            f"{_fine(say, h.runout or 0.0, 0)}.")
    if not h.grips:
        one = len({x.holding for x in made.operations if x.finishes}) == 1
        more = ("everything that must run true together is cut in this one setup." if one else
            "the centre carries the far end." if h.centre else "rough cuts are safe at that.")
        return (f"{_long(say, h.stickout, 0)} stand out, {h.stickout / h.diameter:.1f} diameters of the work: {more}")
    centre = ""
    if h.centre and h.thinnest:
        centre = (f"; the centre carries the end {_long(say, h.stickout, 0)} out, {h.stickout / h.thinnest:.1f} "
            "diameters")
    return (f"gripped on {_surface(made, h.grips, say)} in the {h.way or 'chuck'}, whose run-out is about "
        f"{_fine(say, h.runout or 0.0, 0)}{centre}.")


def holding_cautions(made: Plan, h: Holding, say: Say) -> tuple[str, ...]:
    """What to mind when the work is gripped."""
    if not h.grips:
        return ("Chuck key out of the chuck before the spindle turns; jaws closed on at least three quarters of their "
            "length.",)
    grip = f"Grip the finished {_surface(made, h.grips, say)} lightly, on a clean surface; thin sheet under hard jaws."
    return (grip, "Back the centre off a little when the work grows warm.") if h.centre else (grip,)


# ---- operations ------------------------------------------------------------------------------------


def operation(made: Plan, o: Operation, say: Say) -> str:
    """What to do, in a few words: "bore to Ø9.9, 32 deep, for Ø10 H7"."""
    s = made.part.surface(o.surface) if o.surface else None
    to = _round(say, o.after) if o.after is not None else ""
    match o.kind, s:
        case "face", _:
            end = made.holdings[o.holding - 1].end
            return f"face the {end}" + (f" to {_length(say, o.target)} over all" if o.target else "")
        case "centre drill", _:
            return "centre drill" + (" for the tailstock centre" if made.holdings[o.holding - 1].centre else "")
        case "cool", _:
            return "let the part cool"
        case "saw", _:
            return f"saw the work to {_length(say, o.target or 0.0)} over all"
        case "turn round", _:
            return f"turn the work round: the {made.holdings[o.holding - 1].end} to the tailstock"
        case "indicate", _:
            return ("set the tailstock true" if made.holdings[o.holding - 1].kind == BETWEEN_CENTRES
                else "set the work true with the indicator")
        case "deburr", _:
            return "break the edges"
        case "undercut", Surface():
            return f"make room with the recessing tool for {s.name}, {to}"
        case "chamfer", Surface():
            return f"chamfer {s.name}, {_length(say, s.chamfer)} at 45°"
        case "knurl", Surface():
            return f"knurl {s.name} to {to}"
        case ("rough taper" | "taper" | "bore taper"), Surface():
            return f"{'rough the taper' if o.kind == 'rough taper' else 'turn the taper'} {s.name}, {called(s, say)}"
        case "face bottom", Surface():
            return f"face the bottom of {s.name} with the bar"
        case "inside recess", Surface():
            wide = _length(say, s.length) if say.inch else f"{s.length:g}"
            return f"recess {s.name} in the bore, {_round(say, s.diameter)}, {wide} wide"
        case "inside thread", Surface():
            return f"cut {s.thread} {_class(s)} in the bore"
        case "part off", _:
            return f"part off at {_length(say, o.target or 0.0)}"
        case "drill", _:
            return f"drill {to}, tip {_long(say, o.stop or 0.0, 1)} deep"
        case "flat bottom", _:
            return f"square the bottom with the flat drill {to}"
        case "rough turn", Surface():
            return f"rough turn {s.name} to {to}"
        case "finish turn", Surface(kind=kind) if kind == THREAD:
            return f"turn the thread's blank to {_round(say, o.after or 0.0, 3)}"
        case ("finish turn" | "ream"), Surface():
            return f"{o.kind} {s.name}, {called(s, say)}"
        case ("rough bore" | "bore"), Surface():
            first = f"{o.kind}{'' if s.name == 'bore' else f' {s.name}'} to {to}"
            if o.kind == "rough bore":
                return first
            deep = _length(say, s.length) if say.inch else f"{s.length:g}"
            return f"{first}, {deep} deep, {'' if o.finishes else 'for '}{called(s, say)}"
        case "recess", Surface():
            wide = _length(say, s.length) if say.inch else f"{s.length:g}"
            return f"recess {s.name}, {_round(say, s.diameter)}, {wide} wide"
        case "thread", Surface():
            return f"cut {s.thread} {_class(s)}"
    return f"{o.kind} {o.surface}".strip()


def _minutes(seconds: float) -> str:
    count = max(round(seconds / 60), 1)
    return "a minute" if count == 1 else f"{count} minutes" if count < 120 else f"{count / 60:.0f} hours"


def _class(s: Surface) -> str:
    return thread_class(s.kind, threads.read(s.thread).inch)


def craft(made: Plan, o: Operation, why: results.Craft, say: Say) -> str:
    """What a turner would answer, with its number."""
    h = made.holdings[o.holding - 1]
    match why.kind:
        case "saw":
            return f"{_long(say, why.first, 0)} are too much to face into chips."
        case "saw first":
            return f"saw the blank to {_long(say, why.first, 0)} first: the rest would go into chips."
        case "stub":
            return f"{_long(say, why.first, 1)} stay on for facing; the stub in the jaws goes back to the rack."
        case "taper angle":
            return f"the top slide stands at {why.first:.2f}°, half the included angle."
        case "knurl":
            return f"the rollers raise the diameter by about {_long(say, why.first, 1)}: it is turned smaller by that."
        case "relief" | "run-out" | "past the end":
            where = {"relief": "in the relief", "run-out": "in the run-out before the shoulder"}.get(why.kind,
                "past the end")
            return (f"the tool runs {_long(say, why.second, 1)} a second and may stop {where} within "
                f"{_long(say, why.first, 1)}: {why.first / why.second:.1f} s to open the half-nuts.")
        case "chamfer":
            return (f"{_long(say, why.first, 1)} at 45° before the last cut, so that no burr stands on the finished "
                "size.")
        case "step drill":
            return f"the spindle has {why.first:.2f} kW at the edge: the hole is opened in steps that it can drive."
        case "halves meet":
            return "the other half is turned from the other end: make both to the same size, so that no step is felt."
        case "opened for the bar":
            return "the bar does not enter the smaller hole: a drill opens it, and stops short of the shoulder."
        case "back clears":
            return (f"the bar's back clears the wall from Ø{_bare(say, why.first)} on; the hole is "
                f"Ø{_bare(say, why.second)}: the bar can face to the {'smaller hole' if o.before else 'middle'}.")
        case "bore's edge":
            return "the centre sits in the bore: a 60° edge of 0.3 mm carries it."
        case "tailstock":
            return ("an indicator along a parallel bar, or along the roughed work: 0.01 mm sideways makes 0.02 mm of "
                "taper.")
        case "indicate":
            return f"the jaws run about {_fine(say, why.first, 0)} out until it is indicated."
        case "deburr":
            return "0.1 to 0.2 mm on every edge that the drawing leaves sharp; burrs spoil the next grip and the fit."
    return f"held in the {h.way}." if h.way else ""


def _bare(say: Say, value: float) -> str:
    return f"{value / 25.4:.3f} inch" if say.inch else f"{value:.1f} mm"


def reason(made: Plan, o: Operation, say: Say) -> str:
    """Why an operation is as it is: one sentence with its number."""
    s = made.part.surface(o.surface) if o.surface else None
    tolerance = s.tolerance if s else 0.0
    h = made.holdings[o.holding - 1]
    match o.reason:
        case results.Craft():
            return craft(made, o, o.reason, say)
        case OrderReason():
            return order(made, o.reason, say)
        case results.DrillStarts(wander):
            return f"a drill started in it keeps within about {_long(say, wander, 2)} of the axis."
        case results.Warm(name, rise, grown, goal, still, wet):
            return (f"some {rise:.0f} K warm, {_surface(made, name, say)} is {_fine(say, grown)} large: wait until "
                f"{_fine(say, goal)} are left. Under running coolant that is {_minutes(wet)}, in still air "
                f"{_minutes(still)}.")
        case results.WorkGivesWay(error, why):
            more = f" {order(made, why, say)}" if why else ""
            return (f"the work bends away and leaves it {_fine(say, error)} large in a tolerance of "
                f"{_fine(say, tolerance, 0)}: two like cuts take that out.{more}")
        case results.DrillCutsOver(error):
            return (f"{_long(say, o.stock, 2)} are left on diameter: the hole may run off and come out large by "
                f"{_long(say, error, 2)}.")
        case results.PointLeavesCone(height):
            return f"a 118° point leaves a cone {_long(say, height, 1)} high, which the bar should not meet."
        case results.ReamerCutsOver(error):
            return (f"the hole should come out {_fine(say, abs(error))} {'larger' if error >= 0 else 'smaller'} than "
                f"the reamer, in a tolerance of {_fine(say, tolerance, 0)}.")
        case results.BarGivesWay(slenderness, force, error, verdict, chance):
            first = f"the bar stands {slenderness:.1f} diameters out and feels {force:.0f} N; "
            judged = f" At this stickout it {STANDS[verdict]}: the chance is {100 * chance:.0f} %." if verdict else ""
            if error is None and s is not None and o.finishes:
                return f"{first}±{_length(say, tolerance / 2)} is enough.{judged}"
            if error is None and o.stock < 1e-6:
                return f"{first}this is the bore of the thread.{judged}"
            if error is None:
                return (f"{first}{_fine(say, o.stock, 0)} are left for the reamer, which follows the hole it finds."
                    f"{judged}")
            return f"{first}it leaves the bore {_fine(say, abs(error))} small, which the trial cut shows.{judged}"
    match o.kind:
        case "face":
            return f"{_long(say, sum(o.depths), 1)} come off this end: every length is counted from a clean face."
        case "turn round":
            return _why_held(made, h, say)
        case "undercut":
            return f"{_long(say, (o.end or 0.0) - (o.start or 0.0), 1)} wide: the turning tool enters there."
        case "centre drill":
            return _why_held(made, h, say)
        case "rough turn":
            if s is not None and not s.toleranced:
                return f"{_long(say, o.stock, 2)} on diameter stay on for one finishing cut."
            return (f"{_long(say, o.stock, 2)} on diameter stay on for two equal finishing cuts of "
                f"{_long(say, o.stock / 4, 3)}, measured between.")
        case "rough bore":
            last = next((x for x in made.operations if x.kind in ("bore", "bore taper") and x.surface == o.surface), o)
            return f"takes the drill's wander out before the {_long(say, last.depths[0], 1)} finishing cuts."
        case "finish turn" if s is not None and s.kind == THREAD:
            return f"between {_between(say, o.low or 0.0, o.high or 0.0, 3)} the crests are right for {_class(s)}."
        case "finish turn":
            return f"no tolerance of its own: ±{_length(say, tolerance / 2)} is enough."
        case "recess" | "inside recess":
            return f"±{_length(say, tolerance / 2)} is enough; half the turning speed."
        case "thread":
            return (f"pitch diameter between {_between(say, o.low or 0.0, o.high or 0.0, 3)}; slow enough to stop in "
                "the run-out.")
        case "part off":
            return (f"the cut ends {_long(say, h.stickout - made.part.length, 0)} from the jaws, after everything that "
                "must run true.")
    return ""


def setting(made: Plan, o: Operation, say: Say) -> str:
    """How to set the stop of an operation; "" where it has none."""
    if o.stop is None:
        return ""
    if o.kind in ("thread", "inside thread"):
        return f"stop {_long(say, o.stop, 1)} from the face"
    if o.kind in ("drill", "flat bottom"):
        return f"{_long(say, o.stop, 1)} on the tailstock"
    if o.kind == "ream":
        flat = made.part.surface(o.surface).flat
        return f"{_length(say, o.stop)} on the tailstock" + (", a hair off the bottom" if flat else "")
    if not o.blocks:
        return f"{_length(say, o.stop)} from the face by the carriage dial"
    inch = made.shop.gauges.box.unit == "inch"   # the blocks are named as they are marked
    named = " + ".join(f"{round(block / 25.4, 6) if inch else block:g}" for block in o.blocks)
    left = o.stop - sum(o.blocks)
    screw = f"{left / 25.4:+.4f} inch" if say.inch else f"{left:+.3f} mm"
    rest = "" if abs(left) < 5e-4 else f", {screw} on its screw"
    return (f"{named} {'inch' if inch else 'mm'} of blocks at the {made.shop.lathe.stop}, zero touched off at the face "
        f"({made.shop.lathe.touch}){rest}")


def measuring(o: Operation) -> str:
    """What to measure an operation with, and where."""
    gauge = o.measure not in (results.CALLIPER, results.MICROMETER, results.WIRES, results.BY_HAND, "")
    match o.kind:
        case "cool":
            return "feel nothing warm; better a thermometer on the part"
        case "face" | "part off" | "saw" if o.measure:
            return f"length with a {o.measure}"
        case "finish turn" if gauge:
            return f"{o.measure}, at both ends and turned a quarter"
        case "bore" | "ream":
            return (f"{o.measure}, at two depths and turned a third" if gauge
                else "no gauge of the shop fits: a calliper, and a plug of known size")
        case "thread":
            return "three wires, or the mating part"
    return o.measure


def cautions(made: Plan, o: Operation, say: Say) -> tuple[str, ...]:
    """What to mind in an operation; the first one of a holding has that of the holding before it."""
    h = made.holdings[o.holding - 1]
    first = next(x for x in made.operations if x.holding == o.holding) is o
    return tuple(dict.fromkeys((*(holding_cautions(made, h, say) if first else ()), *CAUTIONS.get(o.kind, ()))))


# ---- the plan as a whole ---------------------------------------------------------------------------


def order(made: Plan, why: OrderReason | None = None, say: Say | None = None) -> str:
    """Why the bore or the outside is finished first (the plan's own reason where none is given)."""
    why, say = why or made.order_reason, say or Say()
    asked = "This order was asked for. " if why.asked else ""
    size = _surface(made, why.surface, say) if why.surface else ""
    moved = _of(say, why.moved, why.tolerance)
    return asked + {"nothing bored": "Nothing is bored, so no later cut lets stress out under a finished size.",
        "no tolerance": "No size has a tolerance that a later cut could spoil, so either order will do.",
        "bore first": f"Bore before finishing {size}: boring afterwards lets stress out of the bar and may move it "
        f"{moved}.",
        "outside first": f"Finish the outside before the bore {size}: turning afterwards may move it {moved}.",
        "either": f"Both orders are as good: boring last may move {size} {moved}, under a tenth of its "
        "tolerance; the bore is finished first, so that the outside is cut over a hole that stays."}[why.kind]


def order_tried(made: Plan, tried: Order, say: Say) -> str:
    """What one of the orders tried would move."""
    if not made.part.bores:
        return order(made, say=say)
    if not tried.surface:
        return "nothing is moved that has a tolerance."
    return (f"later cuts may move {_surface(made, tried.surface, say)} "
        f"{_of(say, tried.moved.reach, tried.tolerance)}.")


def missing(made: Plan, what: Missing, say: Say) -> str:
    """What the shop lacks, and the remedy."""
    s = made.part.surface(what.surface) if what.surface else None
    size = called(s, say) if s else ""
    match what.kind:
        case "tool" if what.use in ("inside thread", "inside recess"):
            to = "cut a thread" if what.use == "inside thread" else "recess"
            return f"The shop has no tool to {to} in a bore with, needed for {size}: add one to the shop's tools."
        case "tool":
            whole = f"parting {made.part.name} off" if what.use == "part off" else "the outside"
            needed = whole if s is None else s.name if s.kind == RECESS else size
            return f"The shop has no tool to {what.use} with, needed for {needed}: add one to the shop's tools."
        case "chuck":
            return (f"No chuck of the shop holds the blank of {_round(say, what.size)}: add one to the shop's chucks, "
                "or take another blank.")
        case "grip":
            return (f"Only {_long(say, what.size, 1)} of the blank are left to grip: take a blank "
                f"{_long(say, what.length, 0)} longer.")
        case "second grip":
            return f"Nothing in the shop grips the finished {size}: add a chuck or a collet."
        case "drill":
            return (f"No drill of the shop opens {size} for the next tool: add a drill of "
                f"{_length(say, what.size)}.")
        case "bar or reamer":
            reamer = f"{_length(say, what.size)} {s.code if s else ''}".strip()
            deep = ", one that cuts to the bottom" if what.use else ""
            return (f"No boring bar of the shop enters {size} and reaches {_length(say, what.length)}, and there is no "
                f"{reamer} reamer: add a slimmer or longer bar, or the reamer{deep}.")
    at_most = _length(say, round(what.size, 1))
    return (f"Nothing in the shop squares the bottom of {size}: add a flat drill of {at_most}, or a little under, or a "
        "slimmer bar that cuts a flat bottom.")


def cannot(made: Plan, what: Cannot, say: Say) -> str:
    """What the plan does not do, why, and the remedy."""
    s = made.part.surface(what.surface) if what.surface else None
    name = f"“{s.name}”, {called(s, say)}," if s else ""
    size, length = _length(say, round(what.size, 2)), _length(say, round(what.length, 2))
    return {
        "swing": f"The blank of Ø{size} does not turn over the bed, which swings {length}: take a smaller blank or a "
        "larger lathe.",
        "too long": f"{size} do not go between the centres, which stand {length} apart at most: take a longer lathe.",
        "long to face": f"{length} of the work would stand free, more than three diameters, and it neither passes "
        "through the spindle nor into a steady rest: use a steady rest, or saw and turn the ends as two parts.",
        "long without a centre": f"{size} stand out, {what.length:.1f} diameters, and there is no centre to carry "
        "them: use the tailstock centre.",
        "centre in a wide bore": f"The centre cannot sit in a bore of Ø{size}; its point fills {length}: use a "
        "bull-nose centre or a plug with a centre hole.",
        "no centre hole": "The end bears no centre hole when the tailstock centre is wanted there: centre it when "
        "it is faced, with the work short in the chuck.",
        "beside a finished seat": f"{name} would be cut beside a seat that is finished already, and push or burr it: "
        "let a groove part them on the drawing, or leave the seat for last.",
        "heavy on a poor grip": f"{length} of grip on Ø{size} do not hold the work for parting or knurling: take a "
        "longer blank.",
        "bar does not enter": f"The bar for {name} enters a hole of Ø{size} or more, and finds Ø{length}: add a "
        "slimmer bar, or open the hole in front.",
        "no centre": "Finishing between centres needs the tailstock centre: use it.",
        "driver in the way": f"The driver holds the last {size} of the work, where a cut should go: turn that end from "
        "the other side.",
        "dip": f"{name} lies {length} deep behind a larger diameter, deeper than the recessing tool reaches: take a "
        "longer blade.",
        "groove deep": f"{name} is {length} deep, deeper than the recessing tool reaches: take a longer blade.",
        "narrow": f"{name} is {length} wide and the recessing tool {size}: grind a narrower tool.",
        "behind a smaller bore": f"{name} lies behind a smaller bore, where no bar of the shop reaches: give it as a "
        "recess in the bore, or let it open at the other end.",
        "drill power": f"No step of the shop's drills opens Ø{size} with {what.length:.2f} kW at the edge: add drills "
        "between, or bore from a smaller hole.",
        "thread entry": f"The tool cannot enter {name} from its free end past a larger diameter: add a relief there.",
        "thread short": f"{name} has no room to run out before the shoulder: add a relief of its root's diameter.",
        "thread fast": f"{name} would be cut at {what.size:.0f} rpm, and the tool can be stopped in its run-out only "
        f"below {what.length:.0f}: widen the relief, or cut away from the shoulder.",
        "part off long": f"{length or size} of work cannot be parted off on the centre; it would close on the blade: "
        "saw it and face it.",
        "part off deep": f"The blade does not reach the middle of Ø{size}: saw the work off.",
        "not made": f"{name} is not reached from either end by the ways that this planner knows."}[what.kind]


def change(c: PlanChange, say: Say) -> str:
    """One thing to change."""
    return {"order": f"change the order: {c.name}", "blank": f"take a blank that is {c.name.split(', ')[-1]}",
        "cool": "let the part cool before the finishing cut and the reading",
        "trial": "take two like finishing cuts and measure between them", "room": f"bring the room to {c.size:g} °C",
        "centre": "support the end with the centre",
        "indicator": f"set the last cut with an indicator on the cross slide ({say.fine(c.size)})",
        "master": "set the micrometer or gauge on a master of the same size", "measure reamer": f"measure the {c.name}",
        "soft jaws": "bore it in soft jaws that fit the blank",
        "reamer stock": f"leave {say.length(c.size)} for the reamer"}[c.kind]


def change_helps(c: PlanChange, say: Say) -> str:
    """One thing to change, and what it does."""
    return f"{_capital(change(c, say))}: {100 * c.before:.0f} good parts of 100 become {100 * c.after:.0f}."


def size_name(made: Plan, b: SizeBudget, say: Say) -> str:
    """A toleranced size: "Ø20 h6", "depth 32 of Ø10 H7", "run-out of Ø15 j6 to large seat"."""
    s = made.part.surface(b.of)
    if b.kind == "run-out" and s.runout:
        return f"run-out of {called(s, say)} to {s.runout[0]}"
    if b.kind == "depth":
        long = _length(say, b.nominal) if say.inch else f"{b.nominal:g}"
        return f"{'depth' if s.inside else 'length'} {long} of {called(s, say)}"
    return called(s, say)


def feature(made: Plan, b: SizeBudget, say: Say) -> str:
    """A toleranced size with the name of its surface: "bore Ø10 H7"."""
    return f"{b.of} {size_name(made, b, say)}" if b.kind == "size" else size_name(made, b, say)


def helps(made: Plan, b: SizeBudget, say: Say) -> str:
    """What breaks a size that may not hold, and what would help. Its budget must have shares."""
    most = b.shares[0]
    return (f"{size_name(made, b, say)} breaks first on “{most.name}” ({_fine(say, most.spread)} of spread in a "
        f"tolerance of {_fine(say, b.tolerance, 0)}): {REMEDY[most.name]}.")


def short_bore(ratio: float) -> str:
    """The caution for a bored length of so many outside diameters, fewer than the model of a long bar needs."""
    return (f"The bored length is {plain(ratio, 2)} bar diameters; this calculation is for a long bar, three diameters "
        "or more. In a shorter one the middle moves more and the ends less, so the range is widened.")


def plan_cautions(made: Plan) -> tuple[str, ...]:
    """What to mind in the whole job."""
    return (FIRST, *(short_bore(ratio) for ratio in made.short))
