"""What to do in an operation of a plan, how to set and measure it, and what to mind."""

from __future__ import annotations

from .. import threads
from ..core.quantity import Say
from ..job import results
from ..job.part import THREAD, Surface
from ..job.results import BETWEEN_CENTRES, MANDREL, NEAR, Operation, Plan
from ..threads import single_point
from .holding_words import first_of, holding_cautions
from .plan_sizes import around, called, length, long
from .reasons import thread_of

CHIPS = "Clear long chips with a hook and the spindle standing, never by hand."
STOP = "Stop the spindle to measure."
NO_HAND_FILE = "Hold no emery cloth by hand on work that turns."
BORING = "Keep your fingers out of a bore that turns."
BLADE = "A recessing tool chatters and digs in: keep it short and feed steadily."
COMES_OUT = "It comes out behind the work: leave it room there, clear of the chuck's body."
HALF_NUTS = "Practise opening the half-nuts with the tool clear before you cut."
CAUTIONS: dict[str, tuple[str, ...]] = {"face": (CHIPS,), "centre drill": ("Feed gently: the thin pilot breaks.",),
    "rough turn": (CHIPS, "Chips fly off hot."), "cool": ("The part and the chips are hot.",),
    "finish turn": (STOP, NO_HAND_FILE),
    "drill": ("Withdraw often, and clear the chips with the spindle stopped.",),
    "flat bottom": ("Feed gently: a flat drill grabs.",), "rough bore": (CHIPS,), "bore": (BORING, CHIPS),
    "ream": ("Use cutting oil, and never turn a reamer backwards.",),
    "face bottom": ("Feed by hand: the bar must not run into the bottom.",), "undercut": (BLADE,),
    "inside recess": ("You cannot see the tool: count the dial, and bring it back to the axis before you leave the "
    "bore.",), "inside thread": (HALF_NUTS, "Bring the tool back to the axis before you leave the bore."),
    "knurl": ("A knurl pushes hard: low speed, plenty of oil.",), "taper": (STOP,), "rough taper": (CHIPS,),
    "bore taper": (BORING, CHIPS), "chamfer": (NO_HAND_FILE,),
    "deburr": ("Burrs cut: never run a finger along an edge that turns.",),
    "saw": ("Saw in the vice, never in the lathe: a saw that slips meets the jaws and the bed.",), "recess": (BLADE,),
    "thread": (HALF_NUTS, "Thread edges cut: do not wipe them with a cloth while they turn."),
    "part off": ("Catch the part on a rod through its bore or in a tray, never by hand.",
    "No centre in the end while you part off.")}
BY_DIAL = ("rough turn", "rough bore", "rough taper", "undercut")   # lengths that need no gauge blocks
TAPERS = ("rough taper", "taper", "bore taper")   # cut with the compound slide, by hand
WIDE = 0.1   # mm: a bore with so much tolerance is a calliper's


def operation(made: Plan, o: Operation, say: Say) -> str:
    """What to do, in a few words: "bore to Ø9.9, 32 mm deep, for Ø10 H7"."""
    s = made.part.surface(o.surface) if o.surface else None
    to = around(say, o.after) if o.after is not None else ""
    end = made.holdings[o.holding - 1].end
    match o.kind, s:
        case "face", _:
            return f"face the {end}" + (f" to {length(say, o.target)} over all" if o.target else "")
        case "centre drill", _ if on_bore_edge(o):
            return f"countersink the bore's edge at the {end} for the centre"
        case "centre drill", _:
            return f"centre drill the {end}"
        case "cool", _:
            return "let the part cool"
        case "saw", _:
            return f"saw the work to {length(say, o.target or 0.0)} over all"
        case "turn round", _:
            return f"turn the work round: the {end} to the tailstock"
        case "indicate", _:
            return ("set the tailstock true" if made.holdings[o.holding - 1].kind == BETWEEN_CENTRES
                else "set the work true with the indicator")
        case "deburr", _:
            return "break the edges"
        case "undercut", Surface():
            return f"plunge in with the recessing tool at {s.name}, to {to}"
        case "chamfer", Surface():
            return f"chamfer {s.name}, {length(say, s.chamfer)} at 45°"
        case "knurl", Surface():
            return f"knurl {s.name} to {to}"
        case kind, Surface() if kind in TAPERS:
            verb = {"rough taper": "rough", "taper": "turn", "bore taper": "bore"}[o.kind]
            last = s.diameter if s.end_diameter is None else s.end_diameter
            return (f"{verb} the taper {s.name}, {around(say, s.diameter)} to {around(say, last)} over "
                f"{length(say, s.length)}")
        case "face bottom", Surface():
            return f"face the bottom of {s.name} with the bar"
        case ("recess" | "inside recess"), Surface():
            where = " in the bore" if o.kind == "inside recess" else ""
            return f"recess {s.name}{where}, {around(say, s.diameter)}, {length(say, s.length)} wide"
        case ("thread" | "inside thread"), Surface():
            return f"cut {s.thread} {thread_of(made, o)}" + (" in the bore" if o.kind == "inside thread" else "")
        case "part off", _:
            return f"part off at {length(say, o.target or 0.0)}"
        case "drill", _:
            return f"drill {to}, {long(say, o.stop or 0.0, 1)} deep to the drill's tip"
        case "flat bottom", _:
            return f"square the bottom with the flat drill {to}"
        case "rough turn", Surface():
            return f"rough turn {s.name} to {to}"
        case "finish turn", Surface(kind=kind) if kind == THREAD:
            return f"turn the thread's blank to {around(say, o.after or 0.0, 3)}"
        case ("finish turn" | "ream"), Surface():
            return f"{o.kind} {s.name}, {called(s, say)}"
        case ("rough bore" | "bore"), Surface():
            first = f"{o.kind}{'' if s.name == 'bore' else f' {s.name}'}"
            if o.kind == "rough bore":
                return f"{first} to {to}"
            deep = f"{length(say, s.length)} deep"
            if o.finishes:
                return f"{first}{' ' if s.name == 'bore' else ', '}{called(s, say)}, {deep}"
            return f"{first} to {to}, {deep}, for {called(s, say)}"
    return f"{o.kind} {o.surface}".strip()


def on_bore_edge(o: Operation) -> bool:
    """Is this the edge of a bore broken for the centre to sit in?"""
    return o.kind == "centre drill" and isinstance(o.reason, results.Craft)


def runs_out(made: Plan, o: Operation) -> bool:
    """Does a boring bar run out at an open end, where no length is made?"""
    if o.kind not in ("rough bore", "bore") or o.start is None or o.end is None:
        return False
    s = made.part.surface(o.surface)
    return o.end > s.end + 0.2 if made.holdings[o.holding - 1].end == NEAR else o.start < s.start - 0.2


def shoulder(o: Operation, say: Say) -> str:
    """What becomes of the shoulder at the end of a cut; "" where it has none."""
    if not o.faces:
        return ""
    if o.kind in BY_DIAL:
        return f"{length(say, o.faces)} short of the shoulder"
    return f"there feed the tool {'towards the axis' if o.side == 'inside' else 'out'} to face the shoulder clean"


def setting(made: Plan, o: Operation, say: Say) -> str:
    """How to set an operation's stop or angle; "" where there is nothing to set."""
    how = _stop(made, o, say)
    return ", ".join(text for text in (how, shoulder(o, say)) if text)


def _stop(made: Plan, o: Operation, say: Say) -> str:
    if o.kind == "chamfer" and o.side == "inside":
        return "turn the countersink in gently, by the tailstock, until the chamfer is as wide as it should be"
    if o.kind == "chamfer":
        wide = abs((o.end or 0.0) - (o.start or 0.0))      # with what the last cut takes off again
        more = wide - made.part.surface(o.surface).chamfer
        return (f"swing the tool until its edge stands at 45° to the axis, by a protractor against the face; touch the "
            f"corner, then feed the carriage {length(say, wide)}"
            + (f", of which the last cut takes {length(say, more)}" if more > 1e-3 else ""))
    if o.kind == "deburr":
        return "a hand scraper with the spindle stopped, or a fine file with its handle, held left-handed at low speed"
    if o.stop is None:
        return ""
    if o.kind in ("thread", "inside thread"):
        return f"{long(say, o.stop, 1)} from the face: open the half-nuts there"
    if o.kind in TAPERS:
        return f"lock the carriage; feed the compound slide until the tool stands {length(say, o.stop)} from the face"
    if o.kind == "drill":
        return f"{long(say, o.stop, 1)} on the tailstock"
    if o.kind == "flat bottom":
        return f"{length(say, o.stop)} on the tailstock"
    if o.kind == "ream":
        flat = made.part.surface(o.surface).flat
        return f"{length(say, o.stop)} on the tailstock" + (", just clear of the bottom" if flat else "")
    if runs_out(made, o):
        return f"{long(say, o.stop, 1)} from the face, where the bar runs out"
    if not o.blocks or o.kind in BY_DIAL:
        return f"{length(say, o.stop)} from the face by the carriage dial"
    inch = made.shop.gauges.box.unit == "inch"   # the blocks are named as they are marked
    named = " + ".join(f"{round(block / 25.4, 6) if inch else block:g}" for block in o.blocks)
    left = o.stop - sum(o.blocks)
    screw = f"{left / 25.4:+.4f} inch" if say.inch else f"{left:+.3f} mm"
    rest = "" if abs(left) < 5e-4 else f", and {screw} on its screw"
    return (f"{named} {'inch' if inch else 'mm'} of blocks at the {made.shop.lathe.stop}, zeroed on the face "
        f"({made.shop.lathe.touch}){rest}")


def measuring(made: Plan, o: Operation, say: Say) -> str:
    """What to measure an operation with, and where; "" where nothing is measured."""
    gauge = o.measure not in (results.CALLIPER, results.MICROMETER, results.WIRES, results.BY_HAND, "")
    match o.kind:
        case "cool":
            return "a thermometer on the part is best; by hand it feels no warmer than the lathe"
        case _ if o.measure in (results.BY_HAND, ""):
            return ""
        case "face" | "part off" | "saw":
            return f"length with a {o.measure}"
        case "finish turn" if gauge:
            return f"{o.measure}, at both ends and turned a quarter"
        case "bore" | "ream":
            if gauge:
                return f"{o.measure}, at two depths and turned a third"
            wide = (o.high or 0.0) - (o.low or 0.0) >= WIDE
            return o.measure if wide else f"{o.measure}, checked with a plug of known size"
        case "thread":
            return f"three wires{_over_wires(made, o, say)}, or the mating part"
    return o.measure


def _over_wires(made: Plan, o: Operation, say: Say) -> str:
    """Which wires, and what the micrometer then reads."""
    thread = made.part.surface(o.surface).thread
    if not o.high:
        return ""
    wire = float(single_point.best_wire(threads.read(thread).pitch))
    low, high = (float(single_point.wire_reading(thread, d)) for d in (o.low, o.high))
    return f" of {long(say, wire, 3)}, {long(say, low, 3).split()[0]} to {long(say, high, 3)} over them"


def cautions(made: Plan, o: Operation, say: Say) -> tuple[str, ...]:
    """What to mind in an operation; the first one of a holding has that of the holding before it."""
    h = made.holdings[o.holding - 1]
    held = holding_cautions(made, h, say) if o is first_of(made, h) else ()
    own = () if on_bore_edge(o) else CAUTIONS.get(o.kind, ())
    return tuple(dict.fromkeys((*held, *own, *((COMES_OUT,) if _comes_out(made, o) else ()))))


def _comes_out(made: Plan, o: Operation) -> bool:
    """Does a drill or a reamer run out behind the work, where the chuck may be?"""
    h, rows = made.holdings[o.holding - 1], o.outline_before
    if o.kind not in ("drill", "ream") or o.stop is None or not len(rows):
        return False
    return bool(o.stop > rows[-1, 0] - rows[0, 0] + 0.5 and h.kind not in (BETWEEN_CENTRES, MANDREL))
