"""Where the work stands in a picture of the lathe, and a pen that keeps to the picture's edge.

You look down on the lathe as the turner does: headstock left, tailstock right, tools from below. The half of the work
next to the turner is cut open. One scale holds for all steps of a plan, so that the part stands still through a setup
and flips when it is turned round.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from ..job.results import BETWEEN_CENTRES, MANDREL, NEAR, Holding, Operation, Plan
from ..screen.draw import WIDTH, Drawing
from .setup_outlines import box, clipped

Points = Any   # (n, 2) px


@dataclass(frozen=True)
class Frame:
    """A picture's sizes, px: the axis, the tallest half of the work, where tools end, what stands left and right."""

    width: float
    height: float
    axis: float
    half: float
    floor: float        # tools and tool posts end here
    body: float         # the chuck behind its jaws
    jaws: float         # the longest grip that is drawn
    right: float        # for tailstock, tool holders and drills


PAGE = Frame(WIDTH, 336, 122, 66, 268, 26, 66, 104)
SHEET = Frame(300, 158, 74, 44, 156, 18, 40, 70)
STRETCHES = (2, 3, 4, 5, 8, 10)     # so many times larger may diameters be drawn than lengths
SLIM = 26.0                         # px: a thinner half than that is stretched


@dataclass(frozen=True)
class View:
    """Of one setup: px for each mm along and across, where z = 0 stands, and which way z grows."""

    frame: Frame
    along: float
    stretch: float
    origin: float
    way: int            # +1: z grows towards the tailstock (the far end looks there)
    jaw: float          # z where the jaws end (or where the driven end of the work stands)
    free: float         # z of the end that looks at the tailstock, as the setup begins

    @property
    def across(self) -> float:
        return self.along * self.stretch

    def x(self, z: float) -> float:
        return self.origin + self.way * self.along * z

    def y(self, radius: float, side: int = 1) -> float:
        """side +1: the half next to the turner, −1: the far half."""
        return self.frame.axis + side * self.across * radius

    def points(self, corners: np.ndarray, side: int = 1) -> np.ndarray:
        """Corners (z, radius) in px."""
        return np.column_stack([self.origin + self.way * self.along * corners[:, 0],
            self.frame.axis + side * self.across * corners[:, 1]])

    def inner(self, ends: tuple[float, float]) -> float:
        """Of two places along the work the one nearer to the headstock."""
        return min(ends) if self.way > 0 else max(ends)

    def outer(self, ends: tuple[float, float]) -> float:
        """Of two places along the work the one nearer to the tailstock."""
        return max(ends) if self.way > 0 else min(ends)


def first_of(made: Plan, h: Holding) -> Operation | None:
    """The first operation of a setup."""
    return next((o for o in made.operations if o.holding == h.number), None)


def gripped(made: Plan, h: Holding) -> tuple[float, float]:
    """Where the work is held, and the z of its free end: (jaws' face, free end)."""
    first = first_of(made, h)
    rows = np.zeros((0, 3)) if first is None else np.asarray(first.outline_before)
    ends = (float(rows[0, 0]), float(rows[-1, 0])) if len(rows) else (0.0, made.part.length)
    way = -1 if h.end == NEAR else 1
    free = ends[0] if way < 0 else ends[1]
    back = ends[1] if way < 0 else ends[0]
    if h.kind in (BETWEEN_CENTRES, MANDREL):
        return back, free
    if h.grip[0] != h.grip[1]:
        return (min(h.grip) if way < 0 else max(h.grip)), free
    return free - way * h.stickout, free


def view_of(made: Plan, h: Holding, frame: Frame) -> View:
    """The view of a setup; the scale is that in which every setup of the plan fits."""
    along, widest = np.inf, 1.0
    for one in made.holdings:
        jaw, free = gripped(made, one)
        out, grip = max(abs(free - jaw), 1.0), _grip(one)
        room = frame.width - frame.right - frame.body
        scale = room / (out + grip)
        if scale * grip > frame.jaws:
            scale = (room - frame.jaws) / out
        along = min(along, scale)
    for o in made.operations:
        if len(o.outline_before):
            widest = max(widest, float(np.max(o.outline_before[:, 1])))
    along = min(along, frame.half / widest)
    slim = SLIM * frame.half / PAGE.half
    fits = [k for k in STRETCHES if along * widest < slim and along * widest * k <= frame.half]
    stretch = next((k for k in fits if along * widest * k >= slim), fits[-1] if fits else 1)
    jaw, free = gripped(made, h)
    way = -1 if h.end == NEAR else 1
    left = frame.body + min(_grip(h) * along, frame.jaws)
    spare = frame.width - frame.right - left - abs(free - jaw) * along
    at = left + max(spare, 0.0) / 2
    return View(frame, along, stretch, at - way * along * jaw, way, jaw, free)


def _grip(h: Holding) -> float:
    """mm of the work that the jaws cover."""
    if h.kind in (BETWEEN_CENTRES, MANDREL):
        return 0.0
    return max(h.grip) - min(h.grip) if h.grip[0] != h.grip[1] else h.length


# ---- the pen ------------------------------------------------------------------------------------------

METALS = {"steel": "steel", "iron": "plain", "alumin": "light", "magnes": "light", "brass": "copper",
    "bronze": "copper", "copper": "copper", "gunmetal": "copper"}


def section_of(material: str) -> str:
    """How a material's section is hatched, by its name: steel in pairs of lines, copper alloys every second line
    broken, light metals the other way round, anything else evenly (workshop practice, after the old drawing rules).
    """
    name = material.lower()
    return next((kind for word, kind in METALS.items() if word in name), "plain")


def hatch(d: Drawing, xs: np.ndarray, ys: np.ndarray, section: str) -> None:
    """Section lines of a kind: of a metal, of what is taken off, of what holds."""
    match section:
        case "steel":
            d.hatch(xs, ys, 11, 1, "section")
            d.hatch(xs, ys, 11, 1, "section", 3)
        case "plain":
            d.hatch(xs, ys, 7, 1, "section")
        case "copper":
            d.hatch(xs, ys, 11, 1, "section")
            d.hatch(xs, ys, 11, 1, "broken", 5.5)
        case "light":
            d.hatch(xs, ys, 8, -1, "section")
        case "gone":
            d.hatch(xs, ys, 4.5, -1, "gone")
        case "holder":
            d.hatch(xs, ys, 13, -1, "section")


OPAQUE = ("fill-tool", "fill-holder", "fill-work", "fill-gone")


class Pen:
    """Draws shapes into a picture and cuts them off at its edge."""

    def __init__(self, d: Drawing, frame: Frame) -> None:
        self.d, self.frame = d, frame
        self.edge = box(0, 0, frame.width, frame.floor)

    def solid(self, points: Points, kind: str = "fill-tool", outline: str = "ink", section: str = "") -> None:
        """A closed shape, opaque, with its outline and, if asked, section lines."""
        self.within(points, self.edge, kind, outline, section)

    def within(self, points: Points, edge: np.ndarray, kind: str, outline: str = "", section: str = "") -> None:
        """As `solid`, cut off at another edge."""
        shape = clipped(np.asarray(points, float), edge)
        if len(shape) < 3:
            return
        xs, ys = shape[:, 0], shape[:, 1]
        under = "paper" if kind in OPAQUE else ""
        if not section:
            self.d.shape(xs, ys, kind, outline, under=under)
            return
        self.d.shape(xs, ys, kind, under=under)
        hatch(self.d, xs, ys, section)
        if outline:
            self.d.shape(xs, ys, outline)

    def rect(self, x: float, y: float, to_x: float, to_y: float, kind: str = "fill-tool", outline: str = "ink",
            section: str = "") -> None:
        """A rectangle between two corners, whichever way round."""
        left, right, top, low = min(x, to_x), max(x, to_x), min(y, to_y), max(y, to_y)
        self.solid([[left, top], [right, top], [right, low], [left, low]], kind, outline, section)

    def line(self, points: Points, kind: str = "ink") -> None:
        """An open line, its points held to the edge."""
        at = np.asarray(points, float)
        self.d.line(np.clip(at[:, 0], 0, self.frame.width), np.clip(at[:, 1], 0, self.frame.floor), kind)
