"""A step of a plan in whole sentences, as somebody would say it at the lathe: what to do now, then why.

The names of operations, reasons and gauges come from `plan_words`; here they become sentences with at most two numbers.
"""

from __future__ import annotations

from ..core.quantity import Say, plain
from ..job import batch
from ..job.results import Holding, Operation, Plan
from . import plan_words

LENGTHS = ("face", "part off", "saw", "cool", "centre drill")   # operations whose target is no diameter
NO_GAUGE = ("by hand", "")


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def size(say: Say, value: float, o: Operation | None = None) -> str:
    """A size to the micrometre, or to a hundredth of a thou, as it is dialled: "Ø19.992 mm", "85.000 mm"."""
    sign = "" if o is None or o.kind in LENGTHS else "Ø"
    return f"{sign}{value / 25.4:.5f} inch" if say.inch else f"{sign}{value:.3f} mm"


def percent(chance: float) -> str:
    """A chance as a person writes it."""
    return "over 99 %" if chance > 0.995 else "under 1 %" if chance < 0.005 else f"{100 * chance:.0f} %"


def time(seconds: float) -> str:
    if seconds < 90:
        return f"{plain(seconds, 2)} s"
    minutes = seconds / 60
    return f"{plain(minutes, 2)} minutes" if minutes < 100 else f"{plain(minutes / 60, 2)} hours"


# ---- how it is held ------------------------------------------------------------------------------------


def hold(made: Plan, h: Holding, say: Say) -> str:
    """How to hold the work for a setup."""
    what = plan_words.gripped(made, h, say)
    before = made.holdings[h.number - 2] if h.number > 1 else h
    what += "," if "," in what else ""
    told = any(o.kind == "turn round" for o in made.operations if o.holding == h.number)
    turn = "Turn the work round. " if h.end != before.end and not told else ""
    out = say.length(h.stickout, 3)
    match h.kind:
        case "between centres":
            return f"{turn}Set the work between centres, with the driving dog at the headstock."
        case "mandrel":
            return f"{turn}Press {what} on to the mandrel and set it between centres."
    way = f"the {h.way}" if h.way else "a chuck"
    text = f"{turn}Hold {what} in {way} with {out} standing out."
    if h.through:
        text += " The bar passes through the spindle."
    if h.steady is not None:
        text += f" Set the steady rest {say.length(abs(h.steady), 3)} from the near end."
    return text + (" Bring the tailstock centre in." if h.centre else "")


# ---- what to do ----------------------------------------------------------------------------------------


def depths(o: Operation, say: Say) -> str:
    """The passes as a sentence."""
    cuts = [d for d in o.depths if d > 0]
    springs = sum(not d for d in o.depths)
    if not cuts:
        return ""
    each = say.length(cuts[0], 2)
    many = f"{len(cuts)} passes" if len(cuts) > 1 else "one pass"
    same = all(abs(d - cuts[0]) < 5e-5 for d in cuts)
    what = f"Take {many} of {each}" if same else f"Take {many}, the last of {say.length(cuts[-1], 2)}"
    spring = "" if not springs else ", then a spring pass" if springs == 1 else f", then {springs} spring passes"
    return f"{what} on the radius{spring}."


def runs(o: Operation, say: Say) -> str:
    """The tool, the speed and the feed."""
    if not o.tool:
        return ""
    feed = (f"{plain(say.length_number(o.feed), 2)} {say.length_unit}/rev" if o.feed else "")
    how = f" at {o.spindle:.0f} rpm" if o.spindle else ""
    comma = "," if "," in o.tool and how else ""
    return f"Use the {o.tool}{comma}{how}{f', {feed}' if feed else ''}."


def sets(made: Plan, o: Operation, say: Say) -> str:
    """What to dial and where to stop."""
    said = []
    aim = o.dial if o.dial is not None else o.target
    if aim is not None and o.kind not in (*LENGTHS, "ream"):
        said.append(f"Set the dial to {size(say, aim, o)}" + (" for the last pass." if len(o.depths) > 1 else "."))
    if o.stop is not None and o.kind in ("drill", "flat bottom"):
        deep = f"{o.stop / 25.4:.3f} inch" if say.inch else f"{o.stop:.1f} mm"
        said.append(f"Stop at {deep} on the tailstock's scale.")
    elif o.stop is not None:
        where = "on the tailstock's scale" if o.kind == "ream" else "from the face"
        said.append(f"Stop at {size(say, o.stop)} {where}.")
    return " ".join(said)


def measures(o: Operation, say: Say) -> str:
    """How long to wait, what to measure with, and between which readings it is right."""
    wait = f"Wait {time(o.wait)}" if o.wait else ""
    if o.kind == "cool" or o.measure in NO_GAUGE:
        return f"{wait}." if wait else ""
    gauge = plan_words.measuring(o)
    if gauge.startswith("no gauge"):
        gauge, wait = "calliper, and try a plug of known size", wait
    text = "measure over three wires, or try the mating part" if o.measure == "three wires" else (
        f"measure the {gauge}" if gauge.startswith("length") else f"measure with the {gauge}")
    text = f"{wait}, then {text}." if wait else f"{capital(text)}."
    if o.low is not None and o.high:
        text += f" It is right between {size(say, o.low).split()[0]} and {size(say, o.high)}."
    return text


def now(made: Plan, o: Operation, say: Say) -> str:
    """What to do in this step: the operation and the tool in the first line, what to set and measure in the second."""
    h = made.holdings[o.holding - 1]
    first = next(x for x in made.operations if x.holding == o.holding) is o
    what = f"Step {o.number} of {len(made.operations)}: {plan_words.operation(made, o, say)}."
    lines = ((what, hold(made, h, say) if first else "", runs(o, say)),
        (depths(o, say), sets(made, o, say), measures(o, say)))
    return "\n".join(text for text in (" ".join(part for part in line if part) for line in lines) if text)


def why(made: Plan, o: Operation, say: Say) -> str:
    """The reason of a step, and the chance of the size that it finishes."""
    reason = plan_words.reason(made, o, say)
    said = [f"Why: {reason}{'' if not reason or reason[-1] in '.!?' else '.'}"] if reason else []
    for b in made.budgets:
        if o.finishes and b.of == o.surface and b.kind == "size" and b.shares:
            said.append(f"The chance that {plan_words.size_name(made, b, say)} comes out between its limits is "
                f"{percent(b.odds)}.")
    return " ".join(said)


def all_of_them(made: Plan) -> str:
    """The chance that all parts of the plan are good, as a sentence behind another; nothing where one is made."""
    if made.count == 1 or not made.budgets:
        return ""
    return (f" All {made.count} are good with a chance of {percent(batch.of_plan(made))}, if each is cut and measured "
        "like this.")
