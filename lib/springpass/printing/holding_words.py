"""How a plan's work is held, in words: what to grip, why it is held so, what to mind."""

from __future__ import annotations

from ..core.quantity import Say
from ..job.bar_stock import BarStock, bar_stock
from ..job.results import (
    BETWEEN_CENTRES,
    COLLET,
    FAR,
    MANDREL,
    NEAR,
    SOFT_JAWS,
    Holding,
    Operation,
    Plan,
)
from .plan_sizes import around, fine, length, long, surface

SHORT = 0.5   # diameters of work: less than that in the jaws is a short grip


def operations(made: Plan, h: Holding) -> tuple[Operation, ...]:
    """What is done in a setup."""
    return tuple(o for o in made.operations if o.holding == h.number)


def first_of(made: Plan, h: Holding) -> Operation | None:
    """The first thing that is done in a setup; sawing comes before it, in the vice."""
    return next((o for o in operations(made, h) if o.kind != "saw"), None)


def gripped(made: Plan, h: Holding, say: Say) -> str:
    """What a holding grips: "the blank, Ø24", "the finished Ø20 h6"."""
    if h.grips:
        return f"the finished {surface(made, h.grips, say)}"
    if h.number == 1 and bar_stock(made) is not None:
        return f"the bar, {around(say, h.diameter)}"
    rough = h.diameter < made.part.blank.diameter - 1e-6
    return f"the {'roughed' if rough else 'blank,'} {around(say, h.diameter)}"


def other(end: str) -> str:
    return FAR if end == NEAR else NEAR


def hold(made: Plan, h: Holding, say: Say) -> str:
    """How to hold the work for a setup, in whole sentences."""
    done = operations(made, h)
    before = made.holdings[h.number - 2] if h.number > 1 else h
    told = any(o.kind == "turn round" for o in done)
    turn = "Turn the work round. " if h.end != before.end and not told else ""
    if h.kind == BETWEEN_CENTRES:
        stub = max((o.outline_before[-1, 0] for o in done if len(o.outline_before)), default=0.0) - made.part.length
        where = f"by the stub of {length(say, round(stub, 1))} at" if stub > 1.0 else "at"
        return (f"{turn}Set the work between centres and drive it {where} the {other(h.end)}; the {h.end} runs on the "
            "tailstock centre.")
    what = gripped(made, h, say)
    what += "," if "," in what else ""
    if h.kind == MANDREL:
        return f"{turn}Set {what} on the {h.way or 'mandrel'}, with the {h.end} towards the tailstock."
    way, out = f"the {h.way}" if h.way else "a chuck", say.length(h.stickout, 3)
    drawn = h.number > 1 and h.end == before.end and h.kind == before.kind and h.stickout > before.stickout
    if drawn:
        text = f"Draw the work out of the chuck until {out} stands out."
    else:
        text = f"{turn}Hold {what} in {way} with {out} standing out, the {h.end} towards the tailstock."
    if h.kind == SOFT_JAWS:
        text += f" Bore the jaws to {around(say, h.diameter)} first, closed on a slug."
    if h.through and not drawn:
        text += " The bar passes through the spindle." if h.number == 1 else " The other end stands in the spindle."
    if h.number == 1 and (bar := bar_stock(made)) is not None:
        text += _next(made, bar, say)
    if h.steady is not None:
        text += f" Set the steady rest {say.length(abs(h.steady), 3)} from the near end."
    return text + _centre(h, done)


def _next(made: Plan, bar: BarStock, say: Say) -> str:
    """How the next part of a batch comes out of the same bar."""
    off = next(o for o in made.operations if o.kind == "part off")
    deep = max((o.stop or 0.0 for o in made.operations if o.kind == "drill" and o.holding == 1), default=0.0)
    left = off.end is not None and deep > off.end - made.operations[0].outline_before[0, 0]
    cone = (" From the second part on the drill starts in the hole that the last one left, and the centre drill is "
        "left out.") if left else ""
    return (f" The bar passes through the spindle and gives {bar.each} parts: after step {off.number}, draw it out by "
        f"{length(say, bar.draw)} against a stop in the tailstock, and begin again at step 1.{cone}")


def _centre(h: Holding, done: tuple[Operation, ...]) -> str:
    """When the tailstock centre comes in: at once, or when its hole is there."""
    if not h.centre:
        return ""
    first = next((o for o in done if o.centre), None)
    if first is None:
        return ""
    cut = next((o for o in done if o.tool), first)
    return " Bring the tailstock centre in." if first.number <= cut.number else (
        f" Bring the tailstock centre in for step {first.number}.")


def why_held(made: Plan, h: Holding, say: Say) -> str:
    """Why the work is held so, with its number."""
    if h.kind == BETWEEN_CENTRES:
        return (f"What is turned between the same two centres runs true to them within about "
            f"{fine(say, h.runout or 0.0, 0)}.")
    if not h.grips:
        slim = h.stickout / h.diameter
        if h.centre:
            return f"{long(say, h.stickout, 0)} stands out, {slim:.1f} diameters, and the centre carries the free end."
        # a sawn bar has one setup to finish in; what is roughed only needs to be safe
        one = len({x.holding for x in made.operations if x.finishes}) == 1 and any(
            x.finishes for x in operations(made, h))
        more = ("everything that must run true together is cut in this one setup" if one else
            "rough cuts are safe without the centre")
        return f"{long(say, h.stickout, 0)} stands out, {slim:.1f} diameters of the work: {more}."
    text = (f"Held like this, {surface(made, h.grips, say)} runs true within about {fine(say, h.runout or 0.0, 0)}.")
    if h.centre and h.thinnest:
        text += (f" The centre carries the end, {long(say, h.stickout, 0)} or {h.stickout / h.thinnest:.1f} diameters "
            "out.")
    return text


def holding_cautions(made: Plan, h: Holding, say: Say) -> tuple[str, ...]:
    """What to mind when the work is gripped."""
    if h.kind == BETWEEN_CENTRES:
        return ("The driving dog stands out and turns: tighten it, and keep hands and sleeves clear.", *_dog(made, h),
            "Grease a dead centre, and ease the centre off when the work grows warm.")
    if h.kind == MANDREL:
        return ("The mandrel drives by friction alone: light cuts.",)
    said = ["Take the chuck key out before the spindle turns."]
    if h.grips and made.part.surface(h.grips).toleranced:
        pad = "" if h.kind in (SOFT_JAWS, COLLET) else ", with thin sheet under the jaws"
        said.append(f"Clean the seat and grip it lightly{pad}: it is finished.")
    elif h.length and h.length < SHORT * h.diameter:
        said.append(f"Only {length(say, round(h.length, 1))} is in the jaws: seat the work square against their steps.")
    if h.centre:
        said.append("Ease the centre off a little when the work grows warm.")
    return tuple(said)


def _dog(made: Plan, h: Holding) -> tuple[str, ...]:
    """The end that is driven may be finished by now."""
    start = operations(made, h)[0].number if operations(made, h) else 0
    outsides = [s for s in made.part.surfaces if s.kind in ("outside", "thread") and (
        s.start < 1e-6 if other(h.end) == NEAR else s.end > made.part.length - 1e-6)]
    done = any(o.finishes and o.number < start and any(o.surface == s.name for s in outsides) for o in made.operations)
    return ("Put a split sleeve or soft metal under the dog's screw: the end it drives is finished.",) if done else ()
