"""The workpiece while it is made: its outside and its inside along the axis, cut by cut.

    work = Outline.blank(part)
    work = work.drilled(9.5, 118, tip=32.0)            # from the near end
    work = work.turned(0.0, 40.0, 10.2)                # radius left, along 0 to 40
    work.rows                                          # (z, outside radius, inside radius), a step as two rows

Lengths along the part's axis: z = 0 is the near face of the finished part. Every piece has straight sides, so that all
cuts are exact: a cut splits pieces where it begins, where it ends and where it crosses a side. Each cut returns a new
outline; the old one stays as it was.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from .. import drilling
from .results import NEAR

SAME = 1e-9      # mm: nearer than this is the same


class Piece(NamedTuple):
    """Material from z1 to z2: outside radius o1 to o2, inside radius i1 to i2, straight between."""

    z1: float
    z2: float
    o1: float
    o2: float
    i1: float
    i2: float

    def split(self, z: float) -> tuple[Piece, Piece]:
        share = (z - self.z1) / (self.z2 - self.z1)
        o, i = self.o1 + share * (self.o2 - self.o1), self.i1 + share * (self.i2 - self.i1)
        return Piece(self.z1, z, self.o1, o, self.i1, i), Piece(z, self.z2, o, self.o2, i, self.i2)


Line = tuple[float, float]   # a radius at the beginning and at the end of a span


@dataclass(frozen=True)
class Outline:
    """The material that is there, in pieces along the axis."""

    pieces: tuple[Piece, ...]

    @staticmethod
    def bar(start: float, end: float, radius: float) -> Outline:
        """A solid bar."""
        return Outline((Piece(start, end, radius, radius, 0.0, 0.0),))

    # ---- cuts ----

    def turned(self, start: float, end: float, radius: float, end_radius: float | None = None) -> Outline:
        """Everything outside a radius taken off between two places; straight to `end_radius`."""
        return self._cut(start, end, (radius, radius if end_radius is None else end_radius), outside=True)

    def bored(self, start: float, end: float, radius: float, end_radius: float | None = None) -> Outline:
        """Everything inside a radius taken out between two places."""
        return self._cut(start, end, (radius, radius if end_radius is None else end_radius), outside=False)

    def faced(self, end: str, at: float) -> Outline:
        """Everything beyond a face taken off: of the near end what lies below `at`, of the far end what lies above."""
        low, high = (at, np.inf) if end == NEAR else (-np.inf, at)
        kept: list[Piece] = []
        for p in self.pieces:
            if p.z1 < low - SAME and p.z2 > low + SAME:
                p = p.split(low)[1]
            if p.z1 < high - SAME and p.z2 > high + SAME:
                p = p.split(high)[0]
            if p.z2 > low + SAME and p.z1 < high - SAME:
                kept.append(p)
        return Outline(tuple(kept))

    def raised(self, start: float, end: float, radius: float) -> Outline:
        """A knurl: the outside pressed up to a radius."""
        kept = [q._replace(o1=radius, o2=radius) if q.z1 > start - SAME and q.z2 < end + SAME else q
            for p in self.pieces for q in _split(p, start, end)]
        return Outline(tuple(_joined(kept)))

    def drilled(self, diameter: float, point: float, tip: float, end: str = NEAR) -> Outline:
        """A drill run in from an end until its tip stands at `tip`; a point angle of 180 is flat."""
        height = float(drilling.point_height(diameter, point)) if point < 180 else 0.0
        radius = diameter / 2
        if end == NEAR:
            return self.bored(self.start, tip - height, radius).bored(tip - height, tip, radius, 0.0)
        return self.bored(tip + height, self.end, radius).bored(tip, tip + height, 0.0, radius)

    def _cut(self, start: float, end: float, line: Line, outside: bool) -> Outline:
        if end - start < SAME:
            return self
        kept: list[Piece] = []
        for whole in self.pieces:
            for p in _split(whole, start, end):
                if p.z2 <= start + SAME or p.z1 >= end - SAME:
                    kept.append(p)
                    continue
                at = (_at(line, start, end, p.z1), _at(line, start, end, p.z2))
                kept += [_trimmed(q, r, outside) for q, r in _crossed(p, at, outside)]
        return Outline(tuple(_joined(p for p in kept if p.o1 > p.i1 + SAME or p.o2 > p.i2 + SAME)))

    # ---- queries ----

    @property
    def start(self) -> float:
        """Where the material begins."""
        return self.pieces[0].z1

    @property
    def end(self) -> float:
        return self.pieces[-1].z2

    def outside(self, start: float, end: float) -> float:
        """Largest outside radius in a span; 0 where nothing is."""
        return max((max(p.o1, p.o2) for p in self.within(start, end)), default=0.0)

    def slimmest(self, start: float, end: float) -> float:
        """Smallest outside radius in a span; 0 where nothing is."""
        return min((min(p.o1, p.o2) for p in self.within(start, end)), default=0.0)

    def inside(self, start: float, end: float) -> float:
        """Smallest inside radius in a span: what can pass through it. 0 in solid metal, infinite where nothing is."""
        return min((min(p.i1, p.i2) for p in self.within(start, end)), default=np.inf)

    def widest(self, start: float, end: float) -> float:
        """Largest inside radius in a span."""
        return max((max(p.i1, p.i2) for p in self.within(start, end)), default=0.0)

    def outside_at(self, z: float) -> float:
        """Outside radius at a place: the larger side of a step."""
        return self.outside(z - 1e-6, z + 1e-6)

    def outside_by(self, z: float, inward: int) -> float:
        """Outside radius just beside a place: +1 at larger z, -1 at smaller."""
        return self._beside(z, inward)[0]

    def inside_by(self, z: float, inward: int) -> float:
        """Inside radius just beside a place: +1 at larger z, -1 at smaller."""
        return self._beside(z, inward)[1]

    def _beside(self, z: float, inward: int) -> Line:
        found = list(self.within(*((z, z + 1e-3) if inward > 0 else (z - 1e-3, z))))
        if not found:
            return 0.0, 0.0
        return (found[0].o1, found[0].i1) if inward > 0 else (found[-1].o2, found[-1].i2)

    def solid(self, z: float) -> bool:
        """Is there metal on the axis at this place?"""
        return self.inside(z - 1e-6, z + 1e-6) < 1e-5

    def within(self, start: float, end: float) -> Iterable[Piece]:
        """The pieces of a span, cut at its ends."""
        for whole in self.pieces:
            if whole.z2 > start + SAME and whole.z1 < end - SAME:
                for p in _split(whole, start, end):
                    if p.z2 > start + SAME and p.z1 < end - SAME:
                        yield p

    def cylinders(self, start: float, end: float) -> list[tuple[float, float, float]]:
        """Plain lengths of the outside in a span: (from, to, radius)."""
        found: list[tuple[float, float, float]] = []
        for p in self.within(start, end):
            if abs(p.o1 - p.o2) > SAME:
                continue
            if found and abs(found[-1][1] - p.z1) < SAME and abs(found[-1][2] - p.o1) < SAME:
                found[-1] = (found[-1][0], p.z2, p.o1)
            else:
                found.append((p.z1, p.z2, p.o1))
        return found

    @property
    def volume(self) -> float:
        """mm³."""
        return sum(np.pi / 3 * (p.z2 - p.z1) * (p.o1**2 + p.o1 * p.o2 + p.o2**2 - p.i1**2 - p.i1 * p.i2 - p.i2**2)
            for p in self.pieces)

    @cached_property
    def rows(self) -> np.ndarray:
        """(z, outside radius, inside radius), z rising, a step as two rows with the same z."""
        found: list[tuple[float, float, float]] = []
        for p in self.pieces:
            if found and p.z1 > found[-1][0] + SAME:      # a gap: nothing there
                found += [(found[-1][0], 0.0, 0.0), (p.z1, 0.0, 0.0)]
            for row in ((p.z1, p.o1, p.i1), (p.z2, p.o2, p.i2)):
                if not found or max(abs(a - b) for a, b in zip(row, found[-1], strict=True)) > SAME:
                    found.append(row)
        rows = np.round(np.array(found).reshape(-1, 3), 9)
        rows.setflags(write=False)
        return rows


def _at(line: Line, start: float, end: float, z: float) -> float:
    return line[0] if line[0] == line[1] else line[0] + (z - start) / (end - start) * (line[1] - line[0])


def _split(p: Piece, start: float, end: float) -> list[Piece]:
    """A piece cut at two places, where they lie in it."""
    found = [p]
    for z in (start, end):
        last = found[-1]
        if last.z1 + SAME < z < last.z2 - SAME:
            found[-1:] = last.split(z)
    return found


def _crossed(p: Piece, at: Line, outside: bool) -> list[tuple[Piece, Line]]:
    """A piece split where a line crosses the side that is cut, and the side that is not (where metal ends)."""
    places = set()
    for a, b in ((p.o1, p.o2), (p.i1, p.i2)):
        first, last = at[0] - a, at[1] - b
        if (first > SAME and last < -SAME) or (first < -SAME and last > SAME):
            places.add(p.z1 + (p.z2 - p.z1) * first / (first - last))
    found = [(p, at)]
    for z in sorted(places):
        piece, line = found[-1]
        if piece.z1 + SAME < z < piece.z2 - SAME:
            middle = _at(line, piece.z1, piece.z2, z)
            one, two = piece.split(z)
            found[-1:] = [(one, (line[0], middle)), (two, (middle, line[1]))]
    return found


def _trimmed(p: Piece, r: Line, outside: bool) -> Piece:
    return (p._replace(o1=max(min(p.o1, r[0]), 0.0), o2=max(min(p.o2, r[1]), 0.0)) if outside
        else p._replace(i1=max(p.i1, r[0]), i2=max(p.i2, r[1])))


def _joined(pieces: Iterable[Piece]) -> list[Piece]:
    """Neighbours in one straight line made one."""
    found: list[Piece] = []
    for p in pieces:
        if found and _one(found[-1], p):
            a = found[-1]
            found[-1] = Piece(a.z1, p.z2, a.o1, p.o2, a.i1, p.i2)
        else:
            found.append(p)
    return found


def _one(a: Piece, b: Piece) -> bool:
    if abs(a.z2 - b.z1) > SAME or abs(a.o2 - b.o1) > SAME or abs(a.i2 - b.i1) > SAME:
        return False
    la, lb = a.z2 - a.z1, b.z2 - b.z1
    return (abs((a.o2 - a.o1) * lb - (b.o2 - b.o1) * la) < SAME * la * lb
        and abs((a.i2 - a.i1) * lb - (b.i2 - b.i1) * la) < SAME * la * lb)
