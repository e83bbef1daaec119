"""A step of a plan in whole sentences, as somebody would say it at the lathe: what to do now, then why.

How the work is held stands in `holding_words`, what to do in `operation_words`, the reasons in `reasons`; here they
become the text beside a picture, with at most two numbers a sentence.
"""

from __future__ import annotations

from ..core.quantity import Say, plain
from ..job import batch
from ..job.results import Operation, Plan
from . import holding_words, operation_words, plan_words
from .plan_sizes import capital, length, long
from .reasons import minutes, percent, reason

LENGTHS = ("face", "part off", "saw", "cool", "centre drill")   # operations whose target is no diameter
THREADS = ("thread", "inside thread")                            # theirs is the pitch diameter
FACING = ("face", "face bottom")                                # their cuts go along the axis
UNSIZED = ("chamfer", "face bottom")                             # theirs is seen, not dialled
BY_HAND = ("centre drill", "drill", "flat bottom", "ream")       # fed by the tailstock's handwheel
STEP, FINE = 0.01, 0.0127   # mm on the radius that a cross slide can be set by: half a line of 0.02 mm, half a thou


def size(say: Say, value: float, o: Operation | None = None) -> str:
    """A size to the micrometre, or to a hundredth of a thou, as it is dialled: "Ø19.992 mm", "85.000 mm"."""
    sign = "" if o is None or o.kind in LENGTHS else "Ø"
    return f"{sign}{value / 25.4:.5f} inch" if say.inch else f"{sign}{value:.3f} mm"


def time(seconds: float) -> str:
    if seconds < 90:
        return f"{plain(seconds, 2)} s"
    count = seconds / 60
    return f"{plain(count, 2)} minutes" if count < 100 else f"{plain(count / 60, 2)} hours"


def dialled(depths: tuple[float, ...], say: Say) -> tuple[float, ...]:
    """Unlike depths of cut, as of a thread, rounded to what the cross slide can be set by; their sum is kept."""
    if len({round(d, 4) for d in depths if d}) < 2:
        return depths
    step = FINE if say.inch else STEP
    done, left = 0.0, 0.0
    said = []
    for depth in depths:
        left += depth
        to = round(left / step) * step
        said.append(to - done if depth else 0.0)
        done = to if depth else done
    return tuple(said)


def depth(say: Say, value: float) -> str:
    """A depth of cut without its unit: 0.76, 0.0300 inch."""
    return f"{round(value / 25.4, 4):g}" if say.inch else f"{round(value, 2):g}"


def cool(o: Operation, say: Say) -> str:
    """How long cooling takes, the quick way first: the reason says what the part comes to."""
    return f"about {minutes(o.wait)} under running coolant"


# ---- what to do ----------------------------------------------------------------------------------------


def depths(o: Operation, say: Say) -> str:
    """The passes as a sentence."""
    cuts = [d for d in dialled(o.depths, say) if d > 0]
    springs = sum(not d for d in o.depths)
    if not cuts:
        return ""
    if o.kind == "ream":
        return ""
    each = f"{depth(say, cuts[0])} {say.length_unit}"
    many = f"{len(cuts)} passes" if len(cuts) > 1 else "one pass"
    same = all(abs(d - cuts[0]) < 5e-5 for d in cuts)
    about = "" if abs(cuts[0] - round(cuts[0], 2)) < 5e-4 else "about "
    what = (f"Take {many} of {about}{each}" if same
        else f"Take {many}, the first of {each} and the last of {depth(say, cuts[-1])} {say.length_unit}")
    spring = "" if not springs else ", then a spring pass" if springs == 1 else f", then {springs} spring passes"
    where = "" if o.kind in FACING else " on the radius"
    return f"{what}{where}{spring}."


def runs(o: Operation, say: Say) -> str:
    """The tool, the speed and the feed."""
    if not o.tool:
        return ""
    how = f" at {o.spindle:.0f} rpm" if o.spindle else ""
    comma = "," if "," in o.tool and how else ""
    return f"Use the {o.tool}{comma}{how}{feed(o, say)}."


def feed(o: Operation, say: Say) -> str:
    """The feed behind the speed: by hand where the tailstock or the compound slide feeds."""
    if o.kind in ("chamfer", *operation_words.TAPERS) or (o.kind in BY_HAND and not o.feed):
        return ", fed by hand"
    if not o.feed:
        return ""
    per = f"{plain(say.length_number(o.feed), 2)} {say.length_unit}/rev"
    if o.kind in THREADS:
        return ""   # the pitch
    return f", fed by hand at about {per}" if o.kind in BY_HAND else f", {per}"


def sets(made: Plan, o: Operation, say: Say) -> str:
    """What to dial and where to stop."""
    said = []
    aim = o.dial if o.dial is not None else o.target
    if o.kind in ("chamfer", "deburr"):
        how = capital(operation_words.setting(made, o, say))
        return f"{how}." if o.kind == "chamfer" else f"Use {how[:1].lower()}{how[1:]}."
    if o.kind in THREADS and o.depths:
        said.append(f"Feed in {depth(say, sum(o.depths))} {say.length_unit} on the radius in all, from where the tool "
            "touches.")
    elif aim is not None and o.kind not in (*LENGTHS, *UNSIZED, "ream"):
        said.append(f"Set the dial to {size(say, aim, o)}" + (" for the last pass." if len(o.depths) > 1 else "."))
    if o.stop is not None and o.kind == "drill":
        said.append(f"Stop at {long(say, o.stop, 1)} on the tailstock's scale.")
    elif o.stop is not None and o.kind in operation_words.TAPERS:
        said.append(f"{capital(operation_words.setting(made, o, say))}.")
    elif o.stop is not None and o.kind in THREADS:
        said.append(f"Open the half-nuts {long(say, o.stop, 1)} from the face.")
    elif o.stop is not None:
        where = "on the tailstock's scale" if o.kind in ("ream", "flat bottom") else "from the face"
        exact = bool(o.blocks) and o.kind not in operation_words.BY_DIAL
        more = operation_words.shoulder(o, say)
        far = (size(say, o.stop) if exact else long(say, o.stop, 1) if operation_words.runs_out(made, o)
            else length(say, o.stop))
        said.append(f"Stop at {far} {where}"
            f"{f', {more}' if more else ''}.")
    return " ".join(said)


def measures(made: Plan, o: Operation, say: Say) -> str:
    """How long to wait, what to measure with, and between which readings it is right."""
    if o.kind == "cool":
        return f"Cool it for {cool(o, say)}."
    wait = f"Wait {time(o.wait)}" if o.wait else ""
    gauge = operation_words.measuring(made, o, say)
    if not gauge:
        return f"{wait}." if wait else ""
    verb = "measure the" if gauge.startswith("length") else "measure over" if gauge.startswith("three") else (
        "measure with the")
    text = f"{verb} {gauge}"
    text = f"{wait}, then {text}." if wait else f"{capital(text)}."
    if o.low is not None and o.high and o.kind not in THREADS:
        text += f" It is right between {size(say, o.low).split()[0]} and {size(say, o.high)}."
    return text


def now(made: Plan, o: Operation, say: Say) -> str:
    """What to do in this step: the operation and the tool in the first line, what to set and measure in the second."""
    h = made.holdings[o.holding - 1]
    first = o is holding_words.first_of(made, h)
    what = f"Step {o.number} of {len(made.operations)}: {operation_words.operation(made, o, say)}."
    lines = ((what, holding_words.hold(made, h, say) if first else "", runs(o, say)),
        (depths(o, say), sets(made, o, say), measures(made, o, say)))
    return "\n".join(text for text in (" ".join(part for part in line if part) for line in lines) if text)


def why(made: Plan, o: Operation, say: Say) -> str:
    """The reason of a step, and the chance of the size that it finishes."""
    text = reason(made, o, say)
    said = [f"Why: {text}"] if text else []
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
