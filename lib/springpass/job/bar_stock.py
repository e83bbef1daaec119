"""Several parts from one bar through the spindle: how long it is sawn, how far it is drawn out, what is left of it."""

from __future__ import annotations

from dataclasses import dataclass

from .machine import rule
from .results import Plan


@dataclass(frozen=True)
class BarStock:
    """The bars of a batch. mm."""

    bars: int
    each: int            # parts from a bar, as many as its longest length gives
    length: float        # of a bar for so many parts
    last: float          # of the last bar, for the parts that are left
    draw: float          # drawn out between two parts
    remnant: float       # what is left in the jaws of each bar


def bar_stock(made: Plan) -> BarStock | None:
    """The bars that a plan's parts are made from; None where the blanks are sawn one by one.

    A part's own blank is what its first setup needs, grip and all; each further part takes its length, the facing and
    the blade's width. A bar is no longer than the spindle, so that no end whips behind it.
    """
    off = next((o for o in made.operations if o.kind == "part off"), None)
    blank, first = made.part.blank, made.holdings[0] if made.holdings else None
    if (made.count < 2 or off is None or first is None or off.holding != first.number or off.end is None
            or blank.diameter > made.shop.lathe.spindle_bore.value):
        return None
    face = float(made.operations[0].outline_before[0, 0])        # where the bar's end stands before it is faced
    draw = off.end - face
    most = int((rule("longest bar through the spindle") - blank.length) // draw) + 1
    each = min(max(most, 1), made.count)
    bars = -(-made.count // each)
    left = made.count - (bars - 1) * each

    def sawn(parts: int) -> float:
        return round(blank.length + (parts - 1) * draw, 3)

    return BarStock(bars, each, sawn(each), sawn(left), round(draw, 3), round(blank.length - draw, 3))
