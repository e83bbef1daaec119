"""The drawing of a part, read from its surfaces alone: what the virtual lathe compares the made part with.

Nothing of the planner is used here: steps, chamfers, thread cores and reliefs are worked out anew from the surfaces'
numbers. mm.
"""

from __future__ import annotations

import re
from typing import Any

import numpy as np

COARSE = {3: 0.5, 4: 0.7, 5: 0.8, 6: 1.0, 8: 1.25, 10: 1.5, 12: 1.75, 14: 2.0, 16: 2.0, 18: 2.5, 20: 2.5, 22: 2.5,
    24: 3.0, 27: 3.0, 30: 3.5}        # ISO 261, coarse series (from memory)
NUMBERS = {"6": 0.138, "8": 0.164, "10": 0.190, "12": 0.216}   # ASME B1.1, numbered sizes, inch (from memory)
OUTSIDES = ("outside", "thread", "taper", "knurl")
INSIDES = ("bore", "inside taper", "inside thread")
RELIEF_PITCHES, RELIEF_DEPTH = 4.0, 1.0     # longest relief and its depth under the thread's core: DIN 76 has 3.5 P


def thread_size(name: str) -> tuple[float, float]:
    """Major diameter and pitch of "M18x1", "M8" or "1/4-20 UNC"."""
    metric = re.fullmatch(r"M(\d+(?:\.\d+)?)(?:[x×](\d+(?:\.\d+)?))?.*", name.strip())
    if metric:
        major = float(metric[1])
        return major, float(metric[2]) if metric[2] else COARSE[int(major)]
    inch = re.match(r"#?(?:(\d+) )?(\d+)(?:/(\d+))?-(\d+)", name.strip())
    assert inch, name
    whole = float(inch[1] or 0)
    major = whole + (float(inch[2]) / float(inch[3]) if inch[3] else
        NUMBERS[inch[2]] if name.strip().startswith("#") else float(inch[2]))
    return 25.4 * major, 25.4 / float(inch[4])


def core(name: str) -> float:
    """Diameter at the root of an outside thread, about: d less 1.2269 P."""
    major, pitch = thread_size(name)
    return major - 1.2269 * pitch


def minor(name: str) -> float:
    """Diameter of the hole of an inside thread: D less 1.0825 P."""
    major, pitch = thread_size(name)
    return major - 1.0825 * pitch


def blind_bores(part: Any) -> list[Any]:
    """Bores with a bottom of their own: neither end at a face nor at another hole as large or larger."""
    found = []
    for s in part.surfaces:
        if s.kind not in INSIDES:
            continue
        for z, side in ((s.start, -1), (s.end, 1)):
            if z < 1e-6 or z > part.length - 1e-6:
                continue
            if not any(o is not s and o.kind in INSIDES and o.start - 1e-6 <= z + side * 1e-3 <= o.end + 1e-6
                    for o in part.surfaces):
                found.append(s)
    return found


class Drawing:
    """Outside and inside radius of the finished part at positions z, and how far each may be off."""

    def __init__(self, part: Any):
        self.part = part
        self.blind = blind_bores(part)

    def outside(self, z: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Least and most outside radius at z (0 where there is no part)."""
        part = self.part
        low, high = np.zeros_like(z), np.zeros_like(z)
        for s in part.surfaces:
            at = (z >= s.start) & (z < s.end)
            if s.kind not in OUTSIDES:
                continue
            size = s.diameter if s.kind != "thread" else thread_size(s.thread)[0]
            last = getattr(s, "end_diameter", None) if s.kind == "taper" else None
            radius = size / 2 + ((last or size) - size) / 2 * (z - s.start) / (s.end - s.start)
            radius = np.minimum(radius, self._chamfer(s, z, radius, outside=True))
            low[at] = high[at] = radius[at]
            if s.kind == "thread":
                low[at] -= 0.12
                pitch = thread_size(s.thread)[1]
                for edge in (s.start, s.end):       # a relief at either end is the thread's own
                    near = at & (np.abs(z - edge) <= RELIEF_PITCHES * pitch)
                    low[near] = core(s.thread) / 2 - RELIEF_DEPTH / 2
                edges = at & (np.minimum(z - s.start, s.end - z) <= 1.5 * pitch)
                low[edges] = np.minimum(low[edges], core(s.thread) / 2)      # the thread's own chamfer
        for s in part.surfaces:
            if s.kind == "recess":
                at = (z >= s.start) & (z < s.end)
                low[at], high[at] = np.minimum(low[at], s.diameter / 2), np.minimum(high[at], s.diameter / 2)
        return low, high

    def inside(self, z: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Least and most inside radius at z (0 is solid)."""
        part = self.part
        low, high = np.zeros_like(z), np.zeros_like(z)
        for s in part.surfaces:
            at = (z >= s.start) & (z < s.end)
            if s.kind not in INSIDES:
                continue
            size = minor(s.thread) if s.kind == "inside thread" else s.diameter
            last = getattr(s, "end_diameter", None) if s.kind == "inside taper" else None
            radius = size / 2 + ((last or size) - size) / 2 * (z - s.start) / (s.end - s.start)
            radius = np.maximum(radius, self._chamfer(s, z, radius, outside=False))
            low[at], high[at] = np.maximum(low[at], radius[at]), np.maximum(high[at], radius[at])
            if s.kind == "inside thread":
                major, pitch = thread_size(s.thread)
                high[at] += 0.12
                near = at & (np.minimum(z - s.start, s.end - z) <= 6 * pitch)
                high[near] = np.maximum(high[near], major / 2 + 0.4)
        for s in part.surfaces:
            if s.kind == "inside recess":
                at = (z >= s.start) & (z < s.end)
                low[at], high[at] = s.diameter / 2, s.diameter / 2
        for s in self.blind:             # a drill's cone may stand below a bottom that is not called flat
            if s.flat or s.kind == "inside taper":
                continue
            radius = (minor(s.thread) if s.kind == "inside thread" else s.diameter) / 2
            other = [o for o in part.surfaces if o.kind in INSIDES and o is not s]
            up = s.start < 1e-6 or any(abs(o.end - s.start) < 1e-6 for o in other)
            below = (z - s.end) if up else (s.start - z)
            more = below if s.kind != "inside thread" else below - 6 * thread_size(s.thread)[1]   # a tap's run-out
            cone = np.where((below > -1e-9), np.clip(radius - np.maximum(more, 0) * np.tan(np.radians(59)) + 0.05,
                0, radius), 0)
            high = np.maximum(high, cone)
        return low, high

    def _chamfer(self, s: Any, z: np.ndarray, radius: np.ndarray, outside: bool) -> np.ndarray:
        size = getattr(s, "chamfer", None) or 0.0
        if not size:
            return radius
        found = radius.copy()
        own = s.diameter / 2
        for edge, side in ((s.start, -1), (s.end, 1)):
            beside = self._beside(edge + side * 1e-3, outside)
            if (beside < own - 1e-3) if outside else (beside is np.inf or beside > own + 1e-3):
                step = np.clip(size - np.abs(z - edge), 0, size)
                found = found - step if outside else found + step
        return found

    def _beside(self, z: float, outside: bool) -> float:
        """Radius of the neighbouring surface; nothing (outside) or all (inside) beyond the faces."""
        if not 0 <= z <= self.part.length:
            return 0.0 if outside else np.inf
        kinds = OUTSIDES if outside else INSIDES
        found = [s.diameter / 2 for s in self.part.surfaces if s.kind in kinds and s.start <= z <= s.end]
        return (min(found) if outside else max(found)) if found else 0.0
