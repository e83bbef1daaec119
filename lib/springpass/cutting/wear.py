"""Wear: how fast the flank land grows, and what that does to the size of the parts.

A worn flank rubs along a land. The edge itself has moved back by the land's height times the tangent of the
clearance, so an outside comes out larger with every part and a bore smaller. After a short break-in the land grows
evenly with the length of metal that has passed the edge; how fast depends steeply on the cutting speed (Taylor).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from ..core import tables
from ..core.formula import formula
from ..core.quantity import Numbers, positive
from ..core.shared import CuttingSpeed, Feed, WorkDiameter
from .quantities import (
    ClearanceOfTool,
    CutLength,
    EndLand,
    FlankLand,
    SizeDrift,
    TableSpeed,
    TaylorExponent,
    ToolLife,
    TurnLength,
    WearRate,
)
from .speeds import cutting_speed

SLOWEST, FASTEST = 0.5, 2.0   # times the table's speed between which Taylor's law is taken: common practice


@formula(source="the edge follows a helix: π D for each feed of the length", holds="feed small beside the diameter",
    basis="computed")
def cut_length(diameter: WorkDiameter, length: TurnLength, feed: Feed) -> CutLength:
    """Length of metal that passes the edge in one pass."""
    return np.pi * diameter * length / feed


@formula(source="F. W. Taylor's law of tool life, v Tⁿ constant, as in metal-cutting textbooks (from memory)",
    holds="steady wear between break-in and breakdown, half to twice the table's speed", basis="memory")
def wear_rate(end_land: EndLand, tool_life: ToolLife, table_speed: TableSpeed, speed: CuttingSpeed,
        taylor: TaylorExponent) -> WearRate:
    """Growth of the flank land for each unit of length cut: v Tⁿ is constant, and the length in a life is v T."""
    return 60 * end_land / (1000 * tool_life * table_speed) * (speed / table_speed) ** (1 / taylor - 1)


@formula(source="geometry of a flat land on the flank (re-derived)",
    holds="rake near zero (with 15° some 3 % more), the land worn parallel to the cut", basis="computed")
def size_drift(land: FlankLand, clearance: ClearanceOfTool) -> SizeDrift:
    """How much larger an outside comes out, or smaller a bore, on diameter, with a flank land."""
    return 2 * land * np.tan(np.radians(clearance))


@dataclass(frozen=True)
class Wear:
    """How a tool wears; numbers or arrays."""

    rate: Any        # mm of land for each mm cut
    length: Any      # mm cut in one part
    first: Any       # mm of land after the break-in
    drift: Any       # mm on diameter from one part to the next
    life: Any        # parts until the land has grown to its end


def wear(material: str, tool: str, diameter: float, length: float, feed: float, speed: float, clearance: float,
        life: Numbers | None = None, first: Numbers | None = None) -> Wear:
    """Growth of the land and drift of the size from part to part, one finishing pass each; mm, m/min, s, degrees.

    life and first: samples in place of the tables' usual values, data/wear.csv. Taylor's law is held to half and
    twice the table's speed: below it wear hardly slows down any more, above it the tool fails otherwise. Raises
    Refused.
    """
    for value, name, unit in ((length, "length of the cut", "mm"), (feed, "feed", "mm"), (speed, "speed", "m/min")):
        positive(value, name, unit)
    table = cutting_speed(material, tool).value
    end = tables.fact("wear", tool="any", property="land").value
    t = tables.fact("wear", tool=tool, property="life").value if life is None else positive(life, "tool life", "s")
    begun = tables.fact("wear", tool="any", property="first").value if first is None else first
    n = tables.fact("wear", tool=tool, property="taylor").value
    rate = wear_rate(end, t, table, float(np.clip(speed, SLOWEST * table, FASTEST * table)), n)
    cut = cut_length(positive(diameter, "diameter"), length, feed)
    grown = rate * cut
    return Wear(rate, cut, begun, size_drift(grown, clearance), np.maximum(end - begun, 0.0) / grown)
