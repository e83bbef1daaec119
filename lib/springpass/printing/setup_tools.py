"""The tool at its cut, drawn: turning tools, blades, threading tools, knurls, boring bars, drills, reamers.

A tool stands where its cut ends, as you see it when the feed stops. Its point and its stickout are to scale, its shank
is a sketch.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..job.results import Operation, Plan
from .setup_outlines import INSIDE, OUTSIDE, WHOLE, Taken, radii_at
from .setup_view import Pen, View

SHANK, HEAD, POST = 22.0, 26.0, 20.0   # px: breadth of a tool, height of its cutting edge, height of the tool post
CENTRED = 1.5   # mm: how deep a centre drill is drawn in the work where the plan does not say
DRILLS = ("centre drill", "drill", "flat bottom", "ream")
THREADS = ("thread", "inside thread")
BLADES = ("recess", "undercut", "part off")
BORING = ("rough bore", "bore", "face bottom", "bore taper", "inside recess", "inside thread")
AT_THE_END = {"deburr": 0.0, "indicate": 0.12}   # share of the work's length from its free end
SIDES = {"face": (WHOLE, OUTSIDE), "outside": (OUTSIDE, WHOLE), "inside": (INSIDE, WHOLE)}


@dataclass(frozen=True)
class Cut:
    """Where a cut ends: z and radius of the tool's point, the largest piece it takes off, and all of them."""

    z: float
    radius: float
    main: Taken | None
    pieces: tuple[Taken, ...]


def cut_of(o: Operation, view: View, pieces: tuple[Taken, ...]) -> Cut | None:
    """Where the tool stands; None for an operation without one."""
    rows = np.asarray(o.outline_after)
    if not o.tool and o.kind not in ("deburr", "indicate"):
        return None
    sides = SIDES.get(o.side, (OUTSIDE, INSIDE, WHOLE))
    fitting = [p for p in pieces if p.side in sides] or list(pieces)
    main = max(fitting, key=lambda p: p.area, default=None)
    if main is None:
        if not len(rows):
            return None
        ends = (float(rows[0, 0]), float(rows[-1, 0]))
        if o.kind in DRILLS:   # a centre hole is smaller than the outline tells
            return Cut(view.outer(ends) - view.way * CENTRED, 0.0, None, pieces)
        if o.start is not None and o.end is not None:
            ends = (float(np.clip(o.start, *ends)), float(np.clip(o.end, *ends)))
        if o.kind in AT_THE_END and o.start is None:
            z = view.outer(ends) - view.way * AT_THE_END[o.kind] * (ends[1] - ends[0])
        elif o.kind in BORING and o.start is None and o.stop is not None:
            z = view.outer(ends) - view.way * o.stop
        else:
            z = view.inner(ends)
        outside, inside = radii_at(rows, z, view.way)
        if outside == 0:
            outside, inside = radii_at(rows, z, -view.way)
        return Cut(z, inside if o.side == "inside" else outside, None, pieces)
    z = view.inner(main.ends)
    if o.kind in DRILLS:
        return Cut(z, 0.0 if o.kind != "ream" else (o.after or 0.0) / 2, main, pieces)
    if o.kind in ("face", "part off"):
        if o.kind == "part off":   # the blade stands just beyond the part's far face, the part in front of it
            z = float(rows[0 if view.way > 0 else -1, 0]) if len(rows) else z
            return Cut(z, radii_at(rows, z, view.way)[1], main, pieces)
        face = float(rows[-1 if view.way > 0 else 0, 0]) if len(rows) else view.outer(main.ends)
        return Cut(face, radii_at(rows, face, -view.way)[1] if len(rows) else 0.0, main, pieces)
    if o.kind in THREADS:
        low, high = main.radii
        return Cut(z, high if o.kind == "inside thread" else low, main, pieces)
    outside, inside = radii_at(rows, z, view.way)
    return Cut(z, inside if main.side == INSIDE else outside or main.radii[0], main, pieces)


def tool(pen: Pen, view: View, made: Plan, o: Operation, cut: Cut) -> None:
    """The tool of an operation at the end of its cut."""
    x, y = view.x(cut.z), view.y(cut.radius)
    small = view.frame.half / 66
    match o.kind:
        case "drill" | "flat bottom" | "ream" | "centre drill":
            _drill(pen, view, made, o, x, small)
        case _ if o.kind in BORING:
            _bar(pen, view, made, o, x, y, small)
        case _ if o.kind in BLADES:
            _blade(pen, view, made, o, cut, x, y, small)
        case "thread":
            _pointed(pen, x, y, 30.0, small)
        case "knurl":
            _knurl(pen, view, x, y, small)
        case "deburr":
            _scraper(pen, x, y, small)
        case "indicate":
            _indicator(pen, x, y, small)
        case "chamfer":
            slim = 11 * small
            _post(pen, x - slim, x + slim, small)
            pen.solid([[x, y], [x + slim, y + 4 * small], [x + slim, pen.frame.floor], [x - slim, pen.frame.floor],
                [x - slim, y + slim]])
        case _:
            shape = _turning(pen, x, y, angle_of(made, o), small)
            _post(pen, shape[4][0], shape[2][0], small)
            pen.solid(shape)


def angle_of(made: Plan, o: Operation) -> float:
    """The entering angle of a turning tool, degrees; a common right-hand one where the shop does not say."""
    return next((t.entering_angle.value for t in made.shop.tools if t.name == o.tool), 95.0)


def blade_width(made: Plan, o: Operation) -> float:
    """Of a parting or recessing tool, mm; of a slim one where the shop does not say."""
    return next((t.width.value for t in made.shop.tools if t.name == o.tool and t.width.value), 2.0)


def _post(pen: Pen, left: float, right: float, small: float) -> None:
    floor = pen.frame.floor
    pen.rect(left - 10 * small, floor - POST * small, right + 10 * small, floor, "fill-holder", "ink", "holder")


def _turning(pen: Pen, x: float, y: float, angle: float, small: float) -> list[list[float]]:
    """A turning tool with its point at (x, y): the leading edge at the entering angle, the shank to the floor."""
    lean, floor = np.radians(angle), pen.frame.floor
    edge = HEAD * small
    left = x - np.cos(lean) * edge
    return [[x, y], [x + SHANK * small, y + 7 * small], [x + SHANK * small, floor], [left, floor],
        [left, y + np.sin(lean) * edge]]


def _pointed(pen: Pen, x: float, y: float, half_angle: float, small: float) -> None:
    long = 16 * small
    wide = long * np.tan(np.radians(half_angle))
    _post(pen, x - wide, x + wide, small)
    pen.solid([[x, y], [x + wide, y + long], [x + wide, pen.frame.floor], [x - wide, pen.frame.floor],
        [x - wide, y + long]])


def _blade(pen: Pen, view: View, made: Plan, o: Operation, cut: Cut, x: float, y: float, small: float) -> None:
    """A blade as broad as its cut; its face away from the headstock is cleared."""
    mm = blade_width(made, o)
    if o.kind == "part off":
        left, right = x - mm * view.along, x
    else:
        wide = max(min(mm, abs(cut.main.ends[1] - cut.main.ends[0])) if cut.main else mm, 0.5) * view.along
        left, right = x, x + wide
    if right - left < 3:
        right = left + 3 if o.kind != "part off" else right
        left = right - 3
    _post(pen, left - 4, right + 4, small)
    floor = pen.frame.floor
    pen.solid([[left, y], [right, y], [right, y + 30 * small], [right + 5 * small, y + 34 * small],
        [right + 5 * small, floor], [left - 3 * small, floor], [left - 3 * small, y + 34 * small],
        [left, y + 30 * small]])


def _knurl(pen: Pen, view: View, x: float, y: float, small: float) -> None:
    radius, mid = 13 * small, x + 10 * small
    _post(pen, mid - 9 * small, mid + 9 * small, small)
    pen.rect(mid - 7 * small, y + radius, mid + 7 * small, pen.frame.floor)
    turn = np.linspace(0, 2 * np.pi, 24, endpoint=False)
    rim = radius * (1 + 0.06 * (-1.0) ** np.arange(24))
    pen.solid(np.column_stack([mid + rim * np.cos(turn), y + radius + rim * np.sin(turn)]), "fill-tool", "ink", "gone")


def _scraper(pen: Pen, x: float, y: float, small: float) -> None:
    pen.solid(np.array([[0, 0], [9, 5], [34, 36], [28, 40], [4, 10]]) * small + [x, y])
    pen.solid(np.array([[28, 40], [34, 36], [58, 66], [48, 74]]) * small + [x, y], "fill-holder")


def _indicator(pen: Pen, x: float, y: float, small: float) -> None:
    turn = np.linspace(0, 2 * np.pi, 28, endpoint=False)
    mid = y + 46 * small
    pen.rect(x - 2 * small, y + 2, x + 2 * small, mid, "fill-holder")
    pen.solid(np.column_stack([x + 18 * small * np.cos(turn), mid + 18 * small * np.sin(turn)]), "fill-tool")
    pen.line([[x, mid], [x + 9 * small, mid - 10 * small]], "ink")


# ---- tools that lie along the axis -------------------------------------------------------------------


def holder_x(view: View, made: Plan, o: Operation, x: float) -> float:
    """Where the tool's holder begins, px; beyond the picture where it stands out further than that."""
    if o.tool_stickout:
        return x + o.tool_stickout * view.along
    return max(x + 24, view.x(view.free) + 34 * view.frame.half / 66)


def _bar(pen: Pen, view: View, made: Plan, o: Operation, x: float, y: float, small: float) -> None:
    """A boring bar from its tip to the end of its holder, at true stickout and thickness."""
    thick = o.tool_diameter or next((b.diameter.value for b in made.shop.bars if b.name == o.tool), 6.0)
    wide = max(thick * view.across, 5.0)
    gap = max(0.1 * wide, 1.5)
    end = holder_x(view, made, o, x)
    low, top = y - gap, y - gap - wide
    if o.kind == "inside thread":
        nose = min(0.5 * wide, 8 * small)
        head = [[x, y], [x + 0.6 * nose, low], [x - 0.6 * nose, low]]
    elif o.kind == "inside recess":
        head = [[x, y], [x + 4 * small, y], [x + 4 * small, low], [x, low]]
    else:
        head = [[x, y], [x + min(0.4 * wide, 10 * small), low], [x + 1.5, low]]
    pen.solid([[x + 1, low], [end, low], [end, top], [x + min(0.35 * wide, 8 * small), top],
        [x + 1, top + 0.35 * wide]])
    pen.solid(head, "head", "ink")
    middle = (low + top) / 2
    pen.rect(end, middle - wide / 2 - 12 * small, max(view.frame.width, end), middle + wide / 2 + 12 * small,
        "fill-holder", "ink", "holder")


def _drill(pen: Pen, view: View, made: Plan, o: Operation, x: float, small: float) -> None:
    """A drill, flat drill, centre drill or reamer, with its point, flutes, and the drill chuck at its stickout."""
    axis, free = view.frame.axis, view.x(view.free)
    size = o.tool_diameter or o.after or 0.0
    half = max(size / 2 * view.across, 2.5)
    if o.kind == "centre drill":
        half = max(4 * small, min(2.0 * view.across, 8 * small))
        rows = np.asarray(o.outline_before)
        face = float(rows[-1 if view.way > 0 else 0, 0]) if len(rows) else view.free
        hole = (radii_at(rows, face, -view.way)[1] if len(rows) else 0.0) * view.across
        if hole:   # a countersink in a bored end
            deep, half = hole / np.tan(np.radians(30)), hole + 4 * small
            tip = view.x(face) - deep
            end = tip + half / np.tan(np.radians(30))
            pen.solid([[tip, axis], [end, axis - half], [end + 8 * small, axis - half], [end + 8 * small, axis + half],
                [end, axis + half]])
            _drill_chuck(pen, end + 8 * small, 5 * small, small)
            return
        end = max(x + 22 * small, free + 12 * small)
        shoulder = half / np.tan(np.radians(30))
        pen.solid([[x, axis], [x + 2, axis - 0.35 * half], [x + 2, axis + 0.35 * half]])
        pen.solid([[x + 2, axis - 0.35 * half], [x + 2 + 0.65 * shoulder, axis - half], [end, axis - half],
            [end, axis + half], [x + 2 + 0.65 * shoulder, axis + half], [x + 2, axis + 0.35 * half]])
        _drill_chuck(pen, end, half, small)
        return
    point = 0.0
    if o.kind == "drill":
        angle = next((d.point_angle.value for d in made.shop.drills
            if any(abs(s - size) < 1e-6 for s in d.sizes) and d.point_angle.value < 180), 118.0)
        point = size / 2 / np.tan(np.radians(angle / 2)) * view.along
    lead = min(3.0, half) if o.kind == "ream" else 0.0
    end = holder_x(view, made, o, x)
    neck = half * 0.75 if o.kind == "ream" else half
    flute = x + 0.62 * (end - x) if o.kind == "ream" else end
    body = [[x, axis], [x + point, axis + half], [flute, axis + half], [flute, axis + neck], [end, axis + neck],
        [end, axis - neck], [flute, axis - neck], [flute, axis - half], [x + point, axis - half]]
    if o.kind != "drill":
        body = [[x, axis + half - lead], [x + lead, axis + half], *body[2:-1], [x + lead, axis - half],
            [x, axis - half + lead]]
    pen.solid(body)
    if o.kind == "ream":
        for share in (-0.5, 0.0, 0.5):
            pen.line([[x + lead, axis + share * half], [flute, axis + share * half]], "thin")
    elif half > 3.5:
        turn, lead = np.linspace(0, np.pi, 9), half * 2.4   # the flutes' edges where they come round to the front
        for start in np.arange(x + point, min(end, view.frame.width) - 0.6 * lead, 0.6 * lead):
            seen = start + lead * turn / np.pi <= min(end, view.frame.width)
            pen.line(np.column_stack([start + lead * turn / np.pi, axis + half * np.cos(turn)])[seen], "thin")
    _drill_chuck(pen, end, neck, small)


def _drill_chuck(pen: Pen, x: float, half: float, small: float) -> None:
    axis, right = pen.frame.axis, pen.frame.width
    if x >= right:
        return
    tall = max(half + 9 * small, 20 * small)
    pen.solid([[x, axis - half - 3 * small], [x + 12 * small, axis - tall], [right, axis - tall],
        [right, axis + tall], [x + 12 * small, axis + tall], [x, axis + half + 3 * small]], "fill-holder", "ink",
        "holder")
