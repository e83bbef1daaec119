"""What the lathe gives: spindle speeds, power at the edge, how far work may stand out. mm, m/min, kW."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from ..core import tables
from ..cutting import Kienzle, cutting_power, kienzle, specific_force, speeds, surface_finish
from .results import NEAR
from .workpiece import Outline


def rule(name: str) -> float:
    """One of the planner's rules, data/plan_rules.csv."""
    return _rule(name)


@lru_cache(maxsize=64)
def _rule(name: str) -> float:
    return tables.fact("plan_rules", rule=name).value


@lru_cache(maxsize=1)
def free_length() -> float:
    """Diameters that work may stand out without a centre or a steady."""
    return tables.fact("workholding_rules", rule="free length for work to size").value


@lru_cache(maxsize=256)
def speed_of(group: str, tool_material: str, share: float = 1.0) -> float:
    """Where to begin, m/min; the share is for drilling (two thirds) and reaming (a third), common practice."""
    return share * tables.fact("cutting_speeds", material=group, tool=tool_material, property="speed").value


@lru_cache(maxsize=64)
def edge_material(edge: str) -> str:
    return surface_finish.tool_of(edge)


@lru_cache(maxsize=4096)
def step(speed: float, diameter: float, steps: tuple[float, ...], most: float = np.inf) -> tuple[float, float]:
    """Spindle speed, rev/min, and the cutting speed it gives: the nearest that is above neither limit."""
    wanted = min(speed, np.pi * diameter * most / 1000)
    found = speeds.choose_step(wanted, max(diameter, 0.5), steps)
    return float(found.chosen), float(found.speed)


@lru_cache(maxsize=8192)
def power(k: Kienzle, area: float, chip: float, speed: float, inside: bool = False) -> float:
    """Power at the edge of a cut of so much section (mm²) whose chip is so thick."""
    more = tables.fact("bar_rules", name="internal turning").value if inside else 1.0
    return float(cutting_power(specific_force(chip, k[0], k[1]) * area * more, speed))


@lru_cache(maxsize=8192)
def drill_power(k: Kienzle, hole: float, drill: float, feed: float, turns: float, point: float) -> float:
    """Power of a drill that opens a hole: each of two lips takes half the feed."""
    chip = feed / 2 * np.sin(np.radians(point / 2))
    middle = np.pi * (drill + hole) / 2 * turns / 1000       # m/min, halfway along the lips
    return power(k, (drill - hole) / 2 * feed, float(chip), float(middle), True)


@dataclass(frozen=True)
class Machine:
    """The lathe with the work's metal in it."""

    shop: Any
    group: str

    @property
    def limit(self) -> float:
        """kW at the edge."""
        lathe = self.shop.lathe
        return float(lathe.power.value * lathe.efficiency.value)

    @property
    def k(self) -> Kienzle:
        return _kienzle(self.group)

    def step(self, speed: float, diameter: float, most: float = np.inf) -> tuple[float, float]:
        return step(speed, diameter, self.shop.lathe.speeds, most)

    def turning(self, depth: float, feed: float, speed: float, angle: float = 90.0, inside: bool = False) -> float:
        """Power of a cut of this depth."""
        return power(self.k, depth * feed, feed * float(np.sin(np.radians(angle))), speed, inside)

    def deepest(self, most: float, feed: float, speed: float, angle: float = 90.0, inside: bool = False) -> float:
        """The depth of cut that the spindle's power allows, `most` at most."""
        return min(most, most * self.limit / max(self.turning(most, feed, speed, angle, inside), 1e-9))


@lru_cache(maxsize=32)
def _kienzle(group: str) -> Kienzle:
    return kienzle(group)


def slenderness(work: Outline, end: str, edge: float, far: float | None = None) -> float:
    """Overhang in diameters of a bar as stiff as this work: from its support at `edge` to the far point of the cut.

    The end of a stepped, bored bar bends by the sum of 3 s² ds/(D⁴ − d⁴): L/D of the plain bar that bends as much.
    """
    at = (work.start if end == NEAR else work.end) if far is None else far
    low, high = sorted((at, edge))
    length, total = high - low, 0.0
    if length <= 0:
        return 0.0
    for p in work.within(low, high):
        first, last = sorted((abs(p.z1 - at), abs(p.z2 - at)))
        out, into = p.o1 + p.o2, p.i1 + p.i2
        total += (last**3 - first**3) / max(out**4 - into**4, 1e-6)
    return float(length / (length**3 / max(total, 1e-12)) ** 0.25) if total else 0.0
