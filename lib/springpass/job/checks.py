"""What a plan strikes out of itself: an operation that breaks a rule of the sheet is refused, and another way tried.

Each rule looks at the work as it was before the cut; what it finds is said in `Draft.cannot`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from .machine import free_length, slenderness
from .part import OUTER
from .results import BETWEEN_CENTRES, MANDREL, NEAR, Cannot, Operation
from .workpiece import Outline

BY_HAND = ("cool", "indicate", "turn round", "deburr", "saw")
RAISED = ("thread", "knurl", "recess", "undercut")    # they push hard or raise burrs on the surface beside them
ALLOWED = 1.05     # of the free length: as near as it is known
BESIDE = 0.6       # mm between neighbours that touch


def struck_out(d: Any, o: Operation, was: Outline) -> Iterator[Cannot]:
    """What is wrong with an operation."""
    if o.kind in BY_HAND:
        return
    near, h = o.kind == "face" or o.side == "inside", d.held
    face = was.start if h.end == NEAR else was.end
    far = face if near or o.start is None or o.end is None else o.start if h.end == NEAR else o.end
    if not o.centre and h.kind not in (BETWEEN_CENTRES, MANDREL):
        out = slenderness(was, h.end, d.edge, far)
        if out > ALLOWED * free_length():
            yield Cannot("long to face", o.surface, 2 * was.outside_by(face, 1 if h.end == NEAR else -1),
                abs(d.edge - far))
    mouth = was.inside_by(face, 1 if h.end == NEAR else -1)
    if o.centre and h.kind != BETWEEN_CENTRES and h.end not in d.centred and mouth < 0.5:
        yield Cannot("no centre hole")
    if o.kind in ("part off", "knurl") and d.poor:
        yield Cannot("heavy on a poor grip", o.surface, h.diameter, h.grip[1] - h.grip[0])
    yield from _bar(d, o, was)
    if o.kind in RAISED and o.start is not None and o.end is not None:
        for s in d.route.part.surfaces:
            if (s.kind in OUTER and s.toleranced and s.name in d.finished and s.name != o.surface
                    and s.start < o.end + BESIDE and s.end > o.start - BESIDE):
                yield Cannot("beside a finished seat", o.surface)


def _bar(d: Any, o: Operation, was: Outline) -> Iterator[Cannot]:
    """Does the bar go into every hole on its way?"""
    bar = next((b for b in d.route.shop.bars if b.name == o.tool), None)
    if bar is None or o.start is None or o.end is None or o.kind == "face bottom":
        return
    low, high = (was.start, o.end - o.faces) if d.held.end == NEAR else (o.start + o.faces, was.end)
    hole = 2 * was.inside(low, high)
    if hole < bar.smallest_bore.value - 0.05:
        yield Cannot("bar does not enter", o.surface, bar.smallest_bore.value, hole)
