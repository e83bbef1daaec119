"""Outlines of the work turned into shapes: what is left, what is taken off, and how a shape is cut off at an edge.

An outline is what `job.results.Operation` holds: rows of (z, outside radius, inside radius), z rising, a step as two
rows at one z, straight between rows. Shapes are lists of corners in mm (z, radius) or in px (x, y); both are (n, 2).
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass

import numpy as np

THIN = 1e-6     # mm: less is nothing
OUTSIDE, INSIDE, WHOLE = "outside", "inside", "whole"


@dataclass(frozen=True)
class Taken:
    """One piece that an operation takes off: from the outside, from a hole, or the whole section."""

    side: str
    corners: np.ndarray   # (n, 2): z, radius

    @property
    def ends(self) -> tuple[float, float]:
        return float(self.corners[:, 0].min()), float(self.corners[:, 0].max())

    @property
    def radii(self) -> tuple[float, float]:
        return float(self.corners[:, 1].min()), float(self.corners[:, 1].max())

    @property
    def area(self) -> float:
        return area(self.corners)


def area(corners: np.ndarray) -> float:
    """Of a shape, whichever way round its corners run."""
    x, y = corners[:, 0], corners[:, 1]
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2)


def sections(outline: np.ndarray, cuts: np.ndarray) -> np.ndarray:
    """Outside and inside radius at both ends of each gap between `cuts`: (n, 2, 2), zero where no material is."""
    found = np.zeros((max(len(cuts) - 1, 0), 2, 2))
    if len(outline) < 2:
        return found
    z = outline[:, 0]
    middle = (cuts[:-1] + cuts[1:]) / 2
    row = np.clip(np.searchsorted(z, middle, "right") - 1, 0, len(z) - 2)
    here = (middle > z[0]) & (middle < z[-1])
    wide = np.where(z[row + 1] > z[row], z[row + 1] - z[row], 1.0)
    for end, at in enumerate((cuts[:-1], cuts[1:])):
        share = ((at - z[row]) / wide)[:, None]
        found[:, end, :] = outline[row, 1:] + share * (outline[row + 1, 1:] - outline[row, 1:])
    return np.where(here[:, None, None], found, 0.0)


def radii_at(outline: np.ndarray, z: float, way: float) -> tuple[float, float]:
    """Outside and inside radius just beyond z, towards `way` (+1 or −1)."""
    at = outline[:, 0].tolist()
    row = (bisect_right(at, z) if way > 0 else bisect_left(at, z)) - 1
    if not 0 <= row < len(at) - 1:
        return 0.0, 0.0
    share = (z - at[row]) / (at[row + 1] - at[row])
    outside, inside = (outline[row, 1:] + share * (outline[row + 1, 1:] - outline[row, 1:])).tolist()
    return outside, inside


def bodies(outline: np.ndarray) -> list[np.ndarray]:
    """The material as closed shapes above the axis."""
    cuts = np.unique(outline[:, 0]) if len(outline) else np.zeros(0)
    radii = sections(outline, cuts)
    return _runs(cuts, radii[:, :, 1], radii[:, :, 0])


def taken(before: np.ndarray, after: np.ndarray) -> tuple[Taken, ...]:
    """What is there before and not after."""
    if not len(before):
        return ()
    cuts = np.unique(np.concatenate([before[:, 0], after[:, 0]]) if len(after) else before[:, 0])
    old, new = sections(before, cuts), sections(after, cuts)
    gone = new[:, :, 0].max(1) <= THIN
    found: list[Taken] = []
    for side, low, high in (
        (WHOLE, old[:, :, 1], np.where(gone[:, None], old[:, :, 0], old[:, :, 1])),
        (OUTSIDE, np.where(gone[:, None], old[:, :, 0], np.maximum(new[:, :, 0], old[:, :, 1])), old[:, :, 0]),
        (INSIDE, old[:, :, 1], np.where(gone[:, None], old[:, :, 1], np.minimum(new[:, :, 1], old[:, :, 0])))):
        found += [Taken(side, corners) for corners in _runs(cuts, low, high)]
    return tuple(found)


def _runs(cuts: np.ndarray, low: np.ndarray, high: np.ndarray) -> list[np.ndarray]:
    """Closed shapes between two lines over neighbouring gaps where the upper lies above the lower."""
    shapes: list[np.ndarray] = []
    run: list[int] = []
    for gap in range(len(cuts)):
        if gap < len(cuts) - 1 and (high[gap] - low[gap]).max() > THIN:
            run.append(gap)
        elif run:
            z = np.column_stack([cuts[run], cuts[[one + 1 for one in run]]]).ravel()
            there = np.column_stack([z, high[run].ravel()])
            back = np.column_stack([z, low[run].ravel()])[::-1]
            shapes.append(np.concatenate([there, back]))
            run = []
    return shapes


# ---- cutting off ------------------------------------------------------------------------------------


def clipped(corners: np.ndarray, edge: np.ndarray) -> np.ndarray:
    """The part of a shape inside a convex one, such as `box` and `disc` make: an edge after the other cuts off."""
    shape = corners.tolist()
    low, high = corners.min(0), corners.max(0)
    border = edge.tolist()
    for (ax, ay), (bx, by) in zip(border, border[1:] + border[:1], strict=True):
        dx, dy = bx - ax, by - ay
        worst_x, worst_y = (low[0] if dy < 0 else high[0]), (low[1] if dx > 0 else high[1])
        if dx * (worst_y - ay) - dy * (worst_x - ax) >= 0:   # the whole shape lies on the inner side
            continue
        out = [dx * (y - ay) - dy * (x - ax) for x, y in shape]
        kept: list[list[float]] = []
        for i, (x, y) in enumerate(shape):
            nxt = (i + 1) % len(shape)
            if out[i] >= 0:
                kept.append([x, y])
            if out[i] * out[nxt] < 0:
                share = out[i] / (out[i] - out[nxt])
                kept.append([x + share * (shape[nxt][0] - x), y + share * (shape[nxt][1] - y)])
        shape = kept
        if not shape:
            break
    return np.array(shape) if shape else np.zeros((0, 2))


def box(left: float, top: float, right: float, bottom: float) -> np.ndarray:
    """A rectangle to cut off at, px (y down)."""
    return np.array([[left, top], [right, top], [right, bottom], [left, bottom]])


def disc(x: float, y: float, radius: float, count: int = 40) -> np.ndarray:
    """A circle to cut off at, px (y down)."""
    turn = np.linspace(0, 2 * np.pi, count, endpoint=False)
    return np.column_stack([x + radius * np.cos(turn), y + radius * np.sin(turn)])
