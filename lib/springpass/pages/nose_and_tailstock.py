"""The spindle nose under an indicator, and a tailstock off the axis: sideways it counts, in height hardly."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .. import the_lathe as lathe
from ..core.mathml import formula_mathml
from ..core.quantity import Refused, Say, but, plain
from ..job import shop
from ..measuring.guard_bands import read_numbers
from ..screen.draw import WIDTH, Drawing
from ..screen.page import Page, Press, Slide, Write
from ..the_lathe.quantities import CentresLength, SeatDiameter, TailHeight, TailOffset
from .lathe_view import centre, nice_factor, tool

STEP = 0.001        # mm: a line of an indicator, and a micrometre as typed


def compute_nose(readings: str) -> lathe.NoseRunOut:
    """Run-out of the nose from an indicator's readings over one revolution, as typed, µm. Raises Refused."""
    return lathe.nose_runout(np.array(read_numbers(readings)) * STEP, STEP)


def words_nose(r: lathe.NoseRunOut, say: Say) -> str:
    out = r.runout
    low, high = max(out.low, 0.0), out.high
    rest = (f"The readings scatter by {say.fine(r.rest)} about that circle: dirt, the bearings, or a nose that is not "
        "round.")
    return (f"The nose runs out by {say.fine(out.value)} (90 % range {say.bare(low, 2)} to "
        f"{say.bare(high, 2)}), with its high spot at {plain(r.high_spot, 2)}°.\nIt does not make turned "
        f"work eccentric, because the cut is true to the axis. It counts when the work is gripped again. {rest}")


def picture_nose(r: lathe.NoseRunOut, say: Say) -> str:
    d = Drawing("Spindle nose along the axis", words_nose(r, say), WIDTH, 260)
    x0, y0, radius = 230.0, 134.0, 78.0
    factor = nice_factor(float(np.abs(r.readings).max()), 30.0)
    turn = np.radians(r.angles)
    at = radius + factor * r.readings
    round_, high = np.linspace(0, 2 * np.pi, 73), np.radians(r.high_spot)
    d.circle(x0, y0, radius, "limit")
    fitted = radius + factor * r.runout.value / 2 * np.cos(round_ - high)
    d.line(x0 + fitted * np.cos(round_), y0 - fitted * np.sin(round_), "a")
    for a, b in zip(turn, at, strict=True):
        d.dot(x0 + b * np.cos(a), y0 - b * np.sin(a), "b", "square", 4)
    end = radius + factor * r.runout.value / 2
    d.arrow(x0, y0, x0 + (end - 4) * np.cos(high), y0 - (end - 4) * np.sin(high))
    d.line([x0 - 7, x0 + 7], [y0, y0], "thin")
    d.line([x0, x0], [y0 - 7, y0 + 7], "thin")
    d.text(8, 16, "seen along the axis", kind="small halo")
    d.text(WIDTH - 8, 16, f"exaggerated ×{plain(factor, 2)}", "end", "small halo")
    d.text(x0 + radius + 38, y0 + 5, "0°", kind="small halo")
    d.text(8, 252, f"high spot {plain(r.high_spot, 2)}°", kind="small halo")
    return d.svg()


def save_nose(readings: str) -> str:
    """Keep the run-out for the plan."""
    r = compute_nose(readings)
    shop.add("spindle run-out", value=r.runout.value, error=r.runout.kept, readings=readings)
    return f"Kept in your shop file: run-out of the nose {Say().fine(r.runout.value)}. The plan uses it from now on."


NOSE = Page(name="spindle_nose", title="How far does the spindle nose run out?",
    inputs=(Write("readings", "0 2 4 5 5 4 2 0 -1 -2 -2 -1", "tool", "readings round one revolution, µm",
    "evenly spaced, six or more; spindle turned by hand, in its running sense", rows=2),),
    compute=compute_nose, picture=picture_nose, words=words_nose,
    presses=(Press("keep this in my shop", save_nose, "the plan then uses it"),))


# ---- a tailstock off the axis ------------------------------------------------------------------------


@dataclass(frozen=True)
class Tail:
    length: float
    diameter: float
    offset: float
    height: float
    along: lathe.OffCentre

    @property
    def sideways(self) -> float:
        """Error at the tailstock end from the offset sideways."""
        return float(self.along.sideways[-1])

    @property
    def up(self) -> float:
        """And from the height."""
        return float(self.along.height[-1])


def compute_tail(diameter: float, length: float, offset: float, height: float) -> Tail:
    """Error along work between centres whose tailstock is off the axis; mm. Raises Refused."""
    if abs(offset) >= diameter / 2:
        raise Refused(f"With {abs(offset):g} mm of offset nothing is left of {diameter:g} mm. Choose a thicker part.")
    return Tail(length, diameter, offset, height, lathe.off_centre(offset, height, length, diameter))


def words_tail(r: Tail, say: Say) -> str:
    side = float(r.along.error[-1])
    size = "larger" if side > 0 else "smaller"
    first = (f"It turns a taper: the tailstock end comes out {say.fine(abs(side))} {size} than the headstock end, over "
        f"{say.length(r.length, 3)}."
        if abs(side) > 5e-6 else "It turns no taper: the two ends come out alike.")
    aside = (f"Sideways, {say.fine(abs(r.offset))} makes {say.fine(abs(r.sideways))} on diameter, twice as much. "
        if r.offset else "Sideways, every micrometre would count twice. ")
    up = (f"In height, {say.fine(abs(r.height))} makes only {say.fine(r.up)}, because only its square counts. "
        if r.height else "In height, only its square counts. ")
    return (f"{first}\n{aside}{up}Set the tailstock sideways with an indicator. Its height rarely matters for the "
        "size, but a drill feels it.")


EXAGGERATED = 200.0        # times that the offsets are drawn larger
HEAD, TAIL = 64.0, 396.0   # px: the points of the two centres
BARS = 17.0                # px: half the work's thickness in the picture


def picture_tail(r: Tail, say: Say) -> str:
    d = Drawing("Work between centres from above and from the side", words_tail(r, say), WIDTH, 330)
    views = ((92.0, "seen from above", r.offset, "offset", 1), (250.0, "seen from your side", r.height, "height", -1))
    for middle, name, value, handle, sense in views:
        d.text(8, middle - 66, name, kind="small halo")
        end = middle + sense * EXAGGERATED * value
        d.line([HEAD - 40, TAIL + 50], [middle, middle], "limit")
        xs = np.array([HEAD, TAIL])
        ys = np.array([middle, end])
        d.shape([*xs, *xs[::-1]], [*(ys - BARS), *(ys[::-1] + BARS)], "fill-work", "thin", 9)
        d.line(xs, ys, "a")
        centre(d, HEAD, middle, -1)
        centre(d, TAIL, end, 1)
        words = f"{say.fine(value)}"
        d.text(d.within(TAIL + 20, words), end - 22 if end <= middle else end + 32, words, "middle", "small halo")
        d.handle(handle, TAIL + 24, end, sense / EXAGGERATED / STEP, "y")
    share = (236 - HEAD) / (TAIL - HEAD)
    tool(d, 236, 92.0 + BARS + share * EXAGGERATED * r.offset)
    d.text(WIDTH - 8, 16, f"offsets exaggerated ×{plain(EXAGGERATED, 3)}", "end", "small halo")
    return d.svg()


def more_tail(r: Tail, say: Say) -> str:
    return (formula_mathml(lathe.offset_taper, {"offset": r.offset, "length": r.length})
        + formula_mathml(lathe.height_growth, {"height": abs(r.height), "diameter": r.diameter}))


TAILSTOCK = Page(name="tailstock", title="What does a tailstock off the axis turn?",
    inputs=(Slide("diameter", but(SeatDiameter, low=4, high=80), "work", "diameter"),
    Slide("length", but(CentresLength, low=30, high=500), "work", "length between the centres"),
    Slide("offset", but(TailOffset, low=-0.2, high=0.2), "holder", "tailstock sideways, + towards you"),
    Slide("height", but(TailHeight, low=-0.2, high=0.2), "holder", "tailstock too high, − too low")),
    compute=compute_tail, picture=picture_tail, words=words_tail, more=more_tail)
