"""The words of a plan as a whole: what it lacks, what it cannot do, what would help, how its sizes are named.

A plan holds kinds, names and numbers (`job/results.py`); its sentences stand once, for the page and for the printed
sheet: here, of how the work is held in `holding_words`, of what to do in `operation_words`, of why in `reasons`.
Each function takes `say`, so that lengths come out in mm and µm or in inch and thou.
"""

from __future__ import annotations

from ..core.quantity import Say, plain
from ..job.bar_stock import bar_stock
from ..job.part import RECESS
from ..job.results import BETWEEN_CENTRES, Cannot, Cause, Missing, Order, Plan, PlanChange, SizeBudget
from .plan_sizes import around, called, capital, fine, length, long, of, surface
from .reasons import order

FIRST = "The lathe's manual, the rules of your shop and whoever instructs you come before this plan."
REMEDY = {Cause.WORK_BENDS: "leave less for the last cut, or support the work",
    Cause.WORK_TAPER: "let less stand out, or use the centre",
    Cause.BAR_BENDS: "take a stouter bar or let less of it stand out",
    Cause.ROOM: "lay part and gauge side by side until both are at room temperature",
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


def blank(made: Plan, say: Say) -> str:
    """What to saw: the blank, or the bars that a batch is made from."""
    own, bar = made.part.blank, bar_stock(made)
    size = f"Ø{plain(say.length_number(own.diameter), 4)}"

    def sawn(many: int, long: float) -> str:
        bars = "" if many == 1 else f"{many} bars of "
        return f"{bars}{size} × {plain(say.length_number(long), 4)} {say.length_unit}"

    if bar is None:
        return f"{sawn(1, own.length)}, {own.condition}"
    whole = bar.bars if bar.length == bar.last else bar.bars - 1
    said = [f"{sawn(whole, bar.length)} for {bar.each} parts{' each' if whole > 1 else ''}"]
    if whole < bar.bars:
        rest = made.count - whole * bar.each
        said.append(f"{sawn(1, bar.last)} for {'the last' if rest == 1 else f'{rest} parts'}")
    return f"{' and '.join(said)}, {own.condition}"


def order_tried(made: Plan, tried: Order, say: Say) -> str:
    """What one of the orders tried would move."""
    if not made.part.bores:
        return order(made, say=say)
    if not tried.surface:
        return "nothing is moved that has a tolerance."
    return (f"later cuts may move {surface(made, tried.surface, say)} "
        f"{of(say, tried.moved.reach, tried.tolerance)}.")


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
            return (f"No chuck of the shop holds the blank of {around(say, what.size)}: add one to the shop's chucks, "
                "or take another blank.")
        case "grip":
            return (f"Only {long(say, what.size, 1)} of the blank are left to grip: take a blank "
                f"{long(say, what.length, 0)} longer.")
        case "second grip":
            return f"Nothing in the shop grips the finished {size}: add a chuck or a collet."
        case "drill":
            return (f"No drill of the shop opens {size} for the next tool: add a drill of "
                f"{length(say, what.size)}.")
        case "bar or reamer":
            reamer = f"{length(say, what.size)} {s.code if s else ''}".strip()
            deep = ", one that cuts to the bottom" if what.use else ""
            return (f"No boring bar of the shop enters {size} and reaches {length(say, what.length)}, and there is no "
                f"{reamer} reamer: add a slimmer or longer bar, or the reamer{deep}.")
    at_most = length(say, round(what.size, 1))
    return (f"Nothing in the shop squares the bottom of {size}: add a flat drill of {at_most}, or a little under, or a "
        "slimmer bar that cuts a flat bottom.")


def cannot(made: Plan, what: Cannot, say: Say) -> str:
    """What the plan does not do, why, and the remedy."""
    s = made.part.surface(what.surface) if what.surface else None
    name = f"“{s.name}”, {called(s, say)}," if s else ""
    size, deep = length(say, round(what.size, 2)), length(say, round(what.length, 2))
    return {
        "swing": f"The blank of Ø{size} does not turn over the bed, which swings {deep}: take a smaller blank or a "
        "larger lathe.",
        "too long": f"{size} does not fit between the centres, which stand {deep} apart at most: take a longer lathe.",
        "long to face": f"{deep} of the work would stand free, more than three diameters, and it neither passes "
        "through the spindle nor into a steady rest: use a steady rest, or saw and turn the ends as two parts.",
        "long without a centre": f"{size} stands out, {what.length:.1f} diameters, and there is no centre to carry "
        "it: use the tailstock centre.",
        "centre in a wide bore": f"The centre cannot sit in a bore of Ø{size}; its point fills {deep}: use a "
        "bull-nose centre or a plug with a centre hole.",
        "no centre hole": "The end bears no centre hole when the tailstock centre is wanted there: centre it when "
        "it is faced, with the work short in the chuck.",
        "beside a finished seat": f"{name} would be cut beside a seat that is finished already, and push or burr it: "
        "let a groove part them on the drawing, or leave the seat for last.",
        "heavy on a poor grip": f"{deep} of grip on Ø{size} do not hold the work for parting or knurling: take a "
        "longer blank.",
        "bar does not enter": f"The bar for {name} enters a hole of Ø{size} or more, and finds Ø{deep}: add a "
        "slimmer bar, or open the hole in front.",
        "no centre": "Finishing between centres needs the tailstock centre: use it.",
        "driver in the way": f"The driver holds the last {size} of the work, where a cut should go: turn that end from "
        "the other side.",
        "dip": f"{name} lies {deep} deep behind a larger diameter, deeper than the recessing tool reaches: take a "
        "longer blade.",
        "groove deep": f"{name} is {deep} deep, deeper than the recessing tool reaches: take a longer blade.",
        "narrow": f"{name} is {deep} wide and the recessing tool {size}: grind a narrower tool.",
        "behind a smaller bore": f"{name} lies behind a smaller bore, where no bar of the shop reaches: give it as a "
        "recess in the bore, or let it open at the other end.",
        "drill power": f"No step of the shop's drills opens Ø{size} with {what.length:.2f} kW at the edge: add drills "
        "between, or bore from a smaller hole.",
        "thread entry": f"The tool cannot enter {name} from its free end past a larger diameter: add a relief there.",
        "thread short": f"{name} has no room to run out before the shoulder: add a relief of its root's diameter.",
        "thread fast": f"{name} would be cut at {what.size:.0f} rpm, and the tool can be stopped in its run-out only "
        f"below {what.length:.0f}: widen the relief, or cut away from the shoulder.",
        "part off long": f"{deep or size} of work cannot be parted off on the centre; it would close on the blade: "
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
    return f"{capital(change(c, say))}: {100 * (c.odds - c.gain):.0f} good parts of 100 become {100 * c.odds:.0f}."


def size_name(made: Plan, b: SizeBudget, say: Say) -> str:
    """A toleranced size: "Ø20 h6", "depth 32 of Ø10 H7", "run-out of Ø15 j6 to large seat"."""
    s = made.part.surface(b.of)
    if b.kind == "run-out" and s.runout:
        return f"run-out of {called(s, say)} to {s.runout[0]}"
    if b.kind == "depth":
        deep = length(say, b.nominal) if say.inch else f"{b.nominal:g}"
        return f"{'depth' if s.inside else 'length'} {deep} of {called(s, say)}"
    return called(s, say)


def feature(made: Plan, b: SizeBudget, say: Say) -> str:
    """A toleranced size with the name of its surface: "bore Ø10 H7", "far seat depth 11 of Ø32 H7"."""
    return f"{b.of} {size_name(made, b, say)}"


def helps(made: Plan, b: SizeBudget, say: Say) -> str:
    """What a size that may not hold varies by most, and what would help. Its budget must have shares."""
    most = b.shares[0]
    return (f"{capital(feature(made, b, say))} varies most by “{most.name}”: ±{fine(say, most.spread)} (standard "
        f"uncertainty) in a tolerance of {fine(say, b.tolerance, 0)}. To help, {_remedy(made, b, most.name)}.")


def _remedy(made: Plan, b: SizeBudget, cause: Cause) -> str:
    """What helps against a cause; a centre that is in already is no advice."""
    h = made.holdings[made.operation(b.operation).holding - 1]
    if cause in (Cause.WORK_TAPER, Cause.WORK_BENDS) and (h.centre or h.kind == BETWEEN_CENTRES):
        return "take lighter last cuts, or use a travelling steady"
    return REMEDY[cause]


def short_bore(ratio: float) -> str:
    """The caution for a bored length of so many outside diameters, fewer than the model of a long bar needs."""
    return (f"The bored length is {plain(ratio, 2)} bar diameters; this calculation is for a long bar, three diameters "
        "or more. In a shorter one the middle moves more and the ends less, so the range is widened.")


def plan_notes(made: Plan) -> tuple[str, ...]:
    """How far the calculation goes: said once, for the shortest bore."""
    return (short_bore(min(made.short)),) if made.short else ()


def plan_cautions(made: Plan) -> tuple[str, ...]:
    """What to mind in the whole job."""
    return (FIRST, *plan_notes(made))
