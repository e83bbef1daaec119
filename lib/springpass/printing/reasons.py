"""Why the operations of a plan are as they are, in whole sentences with their numbers."""

from __future__ import annotations

import math

from .. import threads
from ..core.quantity import Say
from ..core.spread import EDGE, FAILS, HOLDS
from ..job import results
from ..job.bar_stock import bar_stock
from ..job.part import KNURL, THREAD, thread_class
from ..job.results import BETWEEN_CENTRES, NEAR, Operation, OrderReason, Plan
from .holding_words import first_of, why_held
from .plan_sizes import around, between, fine, length, long, of, surface

STANDS = {HOLDS: "holds", EDGE: "is at the edge", FAILS: "will not hold"}   # of a bar, in the middle of a sentence
TRAVEL = 20.0     # mm of the compound slide over which its angle is checked
OPENS = 2.0       # mm on diameter: a drill that leaves more only makes way for the bar


def percent(chance: float) -> str:
    """A chance as a person writes it."""
    return "over 99 %" if chance > 0.995 else "under 1 %" if chance < 0.005 else f"{100 * chance:.0f} %"


def minutes(seconds: float) -> str:
    """A wait in words: "a minute", "62 minutes", "3 hours"."""
    count = max(math.ceil(seconds / 60 - 0.25), 1)
    return "a minute" if count == 1 else f"{count} minutes" if count < 120 else f"{count / 60:.0f} hours"


def reason(made: Plan, o: Operation, say: Say) -> str:
    """Why an operation is as it is; the first of a setup says why the work is held so."""
    h = made.holdings[o.holding - 1]
    held = why_held(made, h, say) if o.kind == "turn round" or o is first_of(made, h) else ""
    return " ".join(text for text in (held, _own(made, o, say)) if text)


def _own(made: Plan, o: Operation, say: Say) -> str:
    match o.reason:
        case results.Craft():
            return craft(made, o, o.reason, say)
        case OrderReason():
            return order(made, o.reason, say)
        case results.DrillStarts(wander):
            return f"A drill that starts in the centre hole keeps within about {long(say, wander, 2)} of the axis."
        case results.Warm(name, rise, grown, goal, still, wet):
            return (f"The part is about {rise:.0f} °C above the room: {surface(made, name, say)} would be "
                f"{fine(say, grown)} large. Cool it until {fine(say, goal)} of that is left: {minutes(wet)} under "
                f"running coolant, or {minutes(still)} in still air.")
        case results.WorkGivesWay(error, why):
            tolerance = made.part.surface(o.surface).tolerance
            more = f" {order(made, why, say)}" if why else ""
            return (f"The work bends away from the tool and stays {fine(say, error)} large, in a tolerance of "
                f"{fine(say, tolerance, 0)}. Two like cuts with a reading between them take that out.{more}")
        case results.DrillCutsOver(error):
            if o.finishes:
                return ("The drill makes this hole as well as a drill can: it may come out as much as "
                    f"{long(say, error, 2)} large.")
            if o.stock > OPENS:
                return (f"The hole only makes way for the next tool; {long(say, o.stock, 1)} stays on its diameter.")
            return (f"{long(say, o.stock, 2)} stays on the diameter, because a drilled hole may come out as much as "
                f"{long(say, error, 2)} large.")
        case results.PointLeavesCone(height):
            return f"The drill's 118° point leaves a cone {long(say, height, 1)} high, and no bar should run into it."
        case results.ReamerCutsOver(error):
            return (f"The hole should come out {fine(say, abs(error))} {'larger' if error >= 0 else 'smaller'} than "
                f"the reamer, in a tolerance of {fine(say, made.part.surface(o.surface).tolerance, 0)}.")
        case results.BarGivesWay():
            return _bar(made, o, o.reason, say)
    return _plain(made, o, say)


def _bar(made: Plan, o: Operation, why: results.BarGivesWay, say: Say) -> str:
    s = made.part.surface(o.surface)
    said = [f"The bar sticks out {why.slenderness:.1f} diameters, and about {why.force:.0f} N push it aside."]
    if why.error is not None:
        said.append(f"It leaves the bore {fine(say, abs(why.error))} small, which the trial cut shows.")
    elif o.finishes:
        said.append(f"±{length(say, s.tolerance / 2)} is enough here.")
    elif o.stock < 1e-6:
        said.append("This is the bore of the thread.")
    else:
        said.append(f"{fine(say, o.stock, 0)} are left for the reamer, which follows the hole it finds.")
    if why.verdict:
        said.append(f"At this stickout the bar {STANDS[why.verdict]}: the chance is {percent(why.chance)}.")
    return " ".join(said)


def _plain(made: Plan, o: Operation, say: Say) -> str:
    """The operations whose own numbers say why."""
    s = made.part.surface(o.surface) if o.surface else None
    tolerance = s.tolerance if s else 0.0
    h = made.holdings[o.holding - 1]
    match o.kind:
        case "face":
            return f"{long(say, sum(o.depths), 1)} comes off this end. Every length is counted from a clean face."
        case "undercut":
            wide = (o.end or 0.0) - (o.start or 0.0)
            return f"The turning tool needs a groove {long(say, wide, 1)} wide to enter there."
        case "centre drill":
            later = next((x.number for x in made.holdings[o.holding - 1:]
                if (x.end == h.end or x.kind == BETWEEN_CENTRES) and (x.centre or x.kind == BETWEEN_CENTRES)), 0)
            return f"The centre carries this end in setup {later}." if later else ""
        case "rough turn":
            if s is not None and not s.toleranced:
                return f"{long(say, o.stock, 2)} stays on the diameter for one finishing cut."
            return (f"{long(say, o.stock, 2)} stays on the diameter for two like finishing cuts of "
                f"{long(say, o.stock / 4, 3)}, with a reading between them.")
        case "rough bore":
            last = next((x for x in made.operations if x.kind in ("bore", "bore taper") and x.surface == o.surface), o)
            cuts = "each finishing cut" if sum(d > 0 for d in last.depths) > 1 else "the finishing cut"
            return f"It takes out the drill's wander and leaves an even {long(say, last.depths[0], 2)} for {cuts}."
        case "finish turn" if s is not None and s.kind == THREAD:
            return (f"Between {between(say, o.low or 0.0, o.high or 0.0, 3)} the crests are right for "
                f"{thread_of(made, o)}.")
        case "finish turn" if s is not None and s.kind == KNURL:
            return "The knurl raises this diameter again, so it is turned smaller than the drawing shows."
        case "finish turn" if s is not None and s.toleranced:
            return f"Take it to the same size as the rest of the seat, within {fine(say, tolerance, 0)}."
        case "finish turn":
            return f"The drawing gives no tolerance here: ±{length(say, tolerance / 2)} is enough."
        case "recess" | "inside recess":
            return f"±{length(say, tolerance / 2)} is enough. A blade runs at half the turning speed."
        case "thread":
            return f"The pitch diameter must lie between {between(say, o.low or 0.0, o.high or 0.0, 3)}."
        case "part off":
            return (f"The blade passes {long(say, from_jaws(made, o), 1)} in front of the jaws, after everything that "
                "must run true is done.")
    return ""


def thread_of(made: Plan, o: Operation) -> str:
    """The tolerance class of an operation's thread."""
    s = made.part.surface(o.surface)
    return thread_class(s.kind, threads.read(s.thread).inch)


def from_jaws(made: Plan, o: Operation) -> float:
    """How far in front of the jaws a blade passes, mm."""
    h = made.holdings[o.holding - 1]
    rows = o.outline_before
    if not len(rows) or h.grip[0] == h.grip[1]:
        return h.stickout - (o.stop or 0.0)
    face, jaws = (rows[0, 0], min(h.grip)) if h.end == NEAR else (rows[-1, 0], max(h.grip))
    return float(abs(jaws - face) - (o.stop or 0.0))


def craft(made: Plan, o: Operation, why: results.Craft, say: Say) -> str:
    """What a turner would answer, with its number."""
    match why.kind:
        case "saw":
            return f"{long(say, why.first, 0)} is too much to face away."
        case "saw first":
            return f"Saw the blank to {long(say, why.first, 0)} first: there is no sense in facing the rest away."
        case "stub for the dog":
            return (f"{long(say, why.first, 0)} stays on beyond the part's length: the dog drives it, so that the "
                "shaft is turned in one piece. It is cut off last.")
        case "stub":
            bar = bar_stock(made)
            left = "The stub in the jaws" if bar is None else f"When no part is left in the bar, its last " \
                f"{length(say, bar.remnant)}"
            return f"{long(say, why.first, 1)} stays on for facing. {left} goes back to the rack."
        case "taper angle":
            rise = TRAVEL * math.sin(math.radians(why.first))
            return (f"The compound slide stands at {why.first:.2f}°, half the included angle. With an indicator on "
                f"the compound slide against a parallel bar, {length(say, TRAVEL)} of travel must read "
                f"{long(say, rise, 3)}.")
        case "knurl":
            return (f"The rollers raise the diameter by about {long(say, why.first, 1)}, so it was turned smaller by "
                "that.")
        case "relief" | "run-out" | "past the end":
            where = {"relief": "in the relief", "run-out": "before the shoulder"}.get(why.kind, "past the end")
            return (f"The tool runs {long(say, why.second, 1)} a second and has {long(say, why.first, 1)} to stop in "
                f"{where}. That is {why.first / why.second:.1f} s to open the half-nuts.")
        case "chamfer":
            stock = abs((o.end or 0.0) - (o.start or 0.0)) > why.first + 1e-3      # the last cut is still to come
            return ("It comes before the last cut, which takes its burr away." if stock
                else "Take it lightly: the diameter beside it is finished.")
        case "step drill":
            return (f"The spindle has {why.first:.2f} kW at the edge, so the hole is opened in steps that it can "
                "drive.")
        case "halves meet":
            return "The other half is turned from the other end. Make both to the same size, so that no step is felt."
        case "opened for the bar":
            return "The bar does not enter the smaller hole: a drill opens it, and stops short of the shoulder."
        case "back clears":
            return (f"The bar's back clears the wall from {around(say, round(why.first, 1))} on, and the hole is "
                f"{around(say, round(why.second, 1))}: the bar can face to the "
                f"{'smaller hole' if o.before else 'middle'}.")
        case "bore's edge":
            return "The centre sits in the bore: a 60° edge 0.3 mm wide carries it."
        case "tailstock":
            return ("Run an indicator along a parallel bar between the centres, or along the roughed work. 0.01 mm "
                "sideways at the tailstock makes 0.02 mm of taper.")
        case "indicate":
            return f"The jaws alone run out by about {fine(say, why.first, 0)}."
        case "deburr":
            return ("Take 0.1 to 0.2 mm off every edge that the drawing leaves sharp: burrs spoil the next grip and "
                "the fit.")
    h = made.holdings[o.holding - 1]
    return f"Held in the {h.way}." if h.way else ""


# ---- the order -------------------------------------------------------------------------------------


def order(made: Plan, why: OrderReason | None = None, say: Say | None = None) -> str:
    """Why the bore or the outside is finished first (the plan's own reason where none is given)."""
    why, say = why or made.order_reason, say or Say()
    asked = "This order was asked for. " if why.asked else ""
    size = surface(made, why.surface, say) if why.surface else ""
    moved = of(say, why.moved, why.tolerance)
    return asked + {"nothing bored": "Nothing is bored, so no later cut lets stress out under a finished size.",
        "no tolerance": "No size has a tolerance that a later cut could spoil, so either order will do.",
        "bore first": f"Bore before finishing {size}: boring afterwards lets stress out of the bar and may move it "
        f"{moved}.",
        "outside first": f"Finish the outside before the bore {size}: turning afterwards may move it {moved}.",
        "either": f"Both orders are as good: boring last may move {size} by {moved}, under a tenth of its tolerance. "
        "The bore comes first, so that the outside is cut over a hole that stays."}[why.kind]
