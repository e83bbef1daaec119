"""What holds the work, drawn: chuck, soft jaws, collet, centres, mandrel, steady rest, and the tailstock."""

from __future__ import annotations

import numpy as np

from ..job.results import BETWEEN_CENTRES, COLLET, MANDREL, SOFT_JAWS, Holding, Operation
from .setup_outlines import radii_at
from .setup_view import Pen, View

JAW, STEP, OVER = 24.0, 11.0, 18.0    # px: how thick a jaw is, the step in its face, how far the chuck stands over it
CONE = np.tan(np.radians(30))         # a centre's half angle: 60 degrees in all


def held(pen: Pen, view: View, h: Holding, o: Operation) -> None:
    """The setup's left side."""
    small = view.frame.half / 66
    x, axis = view.x(view.jaw), view.frame.axis
    rows = np.asarray(o.outline_before)
    radius = view.across * (h.diameter / 2 if h.diameter else radii_at(rows, view.jaw, -view.way)[0])
    if h.kind == BETWEEN_CENTRES:
        _driven(pen, view, o, x, view.across * radii_at(rows, view.jaw, view.way)[0], small)
    elif h.kind == MANDREL:
        pen.rect(0, axis - 24 * small, 16 * small, axis + 24 * small, "fill-holder", "ink", "holder")
    elif h.kind == COLLET:
        _collet(pen, view, x, radius, small)
    else:
        _jaws(pen, view, h, o, x, radius, small)
    if h.steady is not None:
        _steady(pen, view, h.steady, radii_at(rows, h.steady, view.way)[0], small)


def mandrel(pen: Pen, view: View, h: Holding) -> None:
    """The bar through the work's hole, drawn before the work."""
    if h.kind == MANDREL:
        radius, axis = view.across * h.diameter / 2, view.frame.axis
        end = view.x(view.free) + 30
        pen.rect(8, axis - radius, end, axis + radius, "fill-holder")


def _jaws(pen: Pen, view: View, h: Holding, o: Operation, x: float, radius: float, small: float) -> None:
    frame, axis = view.frame, view.frame.axis
    length = abs(max(h.grip) - min(h.grip)) if h.grip[0] != h.grip[1] else h.length
    back = x - min(max(length * view.along, 12.0), frame.jaws)
    tall = min(radius + (JAW + OVER) * small, axis - 4)
    soft = h.kind == SOFT_JAWS
    left = max(back - frame.body, 0.0)
    far = np.asarray(o.outline_before)[0 if view.way > 0 else -1, 0] if len(o.outline_before) else view.jaw
    open_ = radius + 2 if h.through or view.x(far) < back - 1 else 0.0
    outer = max(min(0.5 * tall, 34 * small), open_ + 8 * small)
    if not open_:
        pen.rect(0, axis - outer, left, axis + outer, "fill-holder", "ink", "holder")
    for side in (-1, 1):
        if open_:
            pen.rect(0, axis + side * open_, left, axis + side * outer, "fill-holder")
        pen.rect(left, axis + side * open_, back, axis + side * tall, "fill-holder", "ink", "holder")
        if h.inside:   # jaws that press outwards in the hole
            pen.rect(back, axis + side * radius, x, axis + side * max(radius - 9 * small, 1.0), "fill-holder")
            continue
        step = JAW * small if soft else STEP * small
        nose = x - (0.0 if soft else min(9.0 * small, 0.4 * (x - back)))
        top = min(radius + JAW * small, axis - 2)
        pen.solid([[back, axis + side * radius], [x, axis + side * radius], [x, axis + side * (radius + step)],
            [nose, axis + side * (radius + step)], [nose, axis + side * top], [back, axis + side * top]],
            "fill-holder", "ink", "light" if soft else "")
        if soft:       # the ring that they were bored against, and the shoulder behind the work
            pen.line([[x - 3, axis + side * radius], [x - 3, axis + side * (radius + step)]], "thin")


def _collet(pen: Pen, view: View, x: float, radius: float, small: float) -> None:
    axis = view.frame.axis
    back = max(x - 46 * small, 8.0)
    for side in (-1, 1):
        pen.solid([[0, axis + side * (radius + 24 * small)], [back, axis + side * (radius + 24 * small)],
            [x - 8 * small, axis + side * (radius + 16 * small)], [x - 8 * small, axis + side * (radius + 2)],
            [0, axis + side * (radius + 2)]], "fill-holder", "ink", "holder")
        pen.solid([[0, axis + side * radius], [x, axis + side * radius], [x, axis + side * (radius + 7 * small)],
            [back, axis + side * (radius + 3 * small)], [0, axis + side * (radius + 3 * small)]], "fill-holder")


def _driven(pen: Pen, view: View, o: Operation, x: float, radius: float, small: float) -> None:
    """Face plate, centre and dog at the driven end."""
    axis = view.frame.axis
    pen.rect(0, axis - min(radius + 34 * small, axis - 4), 12 * small, axis + radius + 34 * small, "fill-holder", "ink",
        "holder")
    hole = radii_at(np.asarray(o.outline_before), view.jaw, view.way)[1] * view.across
    half = max(min(9 * small, max(radius * 0.6, 4.0)), hole + 3 * small if hole else 0.0)
    _centre(pen, view, x + (hole / CONE if hole else 4 * small), -1, half, 12 * small)
    dog = x + 12 * small
    for side in (-1, 1):
        pen.rect(dog - 6 * small, axis + side * radius, dog + 6 * small, axis + side * (radius + 12 * small),
            "fill-holder")
    pen.rect(12 * small, axis - radius - 12 * small, dog - 6 * small, axis - radius - 6 * small, "fill-holder")


def _steady(pen: Pen, view: View, z: float, radius: float, small: float) -> None:
    x, axis = view.x(z), view.frame.axis
    for side in (-1, 1):
        tip = axis + side * radius * view.across
        end = np.clip(tip + side * 34 * small, 4, view.frame.floor)
        pen.rect(x - 5 * small, tip, x + 5 * small, end, "fill-holder")
        pen.rect(x - 11 * small, tip + side * 14 * small, x + 11 * small, end, "fill-holder", "ink", "holder")


def _centre(pen: Pen, view: View, tip: float, way: int, half: float, end: float) -> None:
    """A 60 degree centre whose tip stands in the work; its body runs to x = end."""
    axis, long = view.frame.axis, half / CONE
    pen.solid([[tip, axis], [tip + way * long, axis - half], [tip + way * long, axis + half]], "fill-holder")
    pen.rect(tip + way * long, axis - half * 1.2, end, axis + half * 1.2, "fill-holder", "ink", "holder")


def tailstock(pen: Pen, view: View, h: Holding, o: Operation) -> None:
    """The centre in the work's end, or drawn back where it would stand in the way."""
    rows = np.asarray(o.outline_after if len(o.outline_after) else o.outline_before)
    small = view.frame.half / 66
    if not len(rows):
        return
    face = float(rows[-1 if view.way > 0 else 0, 0])
    radius, hole = (value * view.across for value in radii_at(rows, face, -view.way))
    half = max(min(12 * small, max(0.75 * radius, 5 * small)), hole + 3 * small if hole else 0.0)
    if o.centre or h.kind in (BETWEEN_CENTRES, MANDREL):
        at = view.x(face) + (30 if h.kind == MANDREL else 0)
        deep = hole / CONE if hole and h.kind != MANDREL else min(half / CONE, 9 * small)   # it bears on a hole's edge
        _centre(pen, view, at - deep, 1, half, view.frame.width)
    elif h.centre and o.side in ("face", "outside"):
        tip, axis = view.frame.width - 20 * small, view.frame.axis
        pen.line([[view.frame.width, axis - half], [tip + half / CONE, axis - half], [tip, axis],
            [tip + half / CONE, axis + half], [view.frame.width, axis + half]], "phantom")
