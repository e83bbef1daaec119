"""Random parts that could stand on a drawing: stepped outsides, holes from either end, threads, grooves, chamfers.

Sizes from 6 to 120 mm in the materials of a small shop. Each is drawable by construction; the reader of parts has the
last word.
"""

from __future__ import annotations

from random import Random
from typing import Any

from hypothesis import strategies as st

from springpass.core.quantity import Refused
from springpass.job import part

STOCK = (("carbon steel C45 / 1045", "steel, cold drawn"), ("carbon steel C45 / 1045", "steel, stress-relieved"),
    ("free-cutting steel 11SMn30 / 12L14", "steel, cold drawn"), ("stainless 303", "stainless steel, cold drawn"),
    ("aluminium 6082", "aluminium, quenched and stretched"), ("brass CuZn39Pb3", "brass, cold drawn"),
    ("bronze CuSn8", "bronze, cast"))
MAJOR = {"M6x0.75": 6, "M8x1": 8, "M10x1": 10, "M12x1": 12, "M16x1": 16, "M20x1.5": 20, "M24x1.5": 24, "M30x1.5": 30,
    "M40x1.5": 40, "M50x1.5": 50, "M10": 10, "M16": 16, "1/4-20 UNC": 6.35, "3/8-24 UNF": 9.525}
SHAPES = ("rising", "falling", "rising", "falling", "hill", "hill", "dip", "plain", "plain")
HOLES = ("none", "none", "through", "through", "blind", "stepped", "both ends", "far", "thread")


class Lot:
    """Chance, in the steps that drawings use."""

    def __init__(self, seed: int):
        self.random = Random(seed)

    def half(self, low: float, high: float) -> float:
        """Half millimetres."""
        return self.random.randint(round(2 * low), max(round(2 * low), round(2 * high))) / 2

    def pick(self, *some: Any) -> Any:
        return self.random.choice(some)

    def once_in(self, count: int) -> bool:
        return self.random.randrange(count) == 0


def described(seed: int) -> dict[str, Any]:
    """A part as its file would describe it."""
    lot = Lot(seed)
    material, condition = lot.pick(*STOCK)
    largest = lot.half(40, 120) if lot.once_in(3) else lot.half(6, 40)
    length = lot.half(6, min(120, max(8, 5 * largest)))
    outs = _outside(lot, largest, length)
    surfaces = [*outs, *_holes(lot, outs, length)]
    if lot.once_in(4):
        _groove(lot, surfaces, outs)
    spare = lot.half(2, 6) if lot.once_in(2) else lot.half(12, 30)
    return {"name": "random part", "material": material, "length": length, "surface": surfaces,
        "blank": {"diameter": largest + lot.half(1, 4), "length": length + spare, "condition": condition}}


def _places(lot: Lot, length: float, steps: int) -> list[float]:
    """Where the steps lie, no two nearer than 2 mm."""
    places = [0.0]
    for at in sorted(lot.half(3, length - 3) for _ in range(steps - 1)):
        if at - places[-1] >= 2:
            places.append(at)
    if length - places[-1] < 2 and len(places) > 1:
        places.pop()
    return [*places, length]


def _outside(lot: Lot, largest: float, length: float) -> list[dict[str, Any]]:
    shape = lot.pick(*SHAPES)
    steps = {"plain": 1, "dip": 3}.get(shape) or lot.pick(2, 3, 4)
    places = _places(lot, length, max(min(steps, int(length // 4)), 1))
    sizes = [largest]
    while len(sizes) < len(places) - 1:
        last = sizes[-1]
        sizes.append(max(4.0, lot.half(0.5 * last, last - 1.5)) if last > 6 else last)
    if shape == "rising":
        sizes.reverse()
    elif shape == "hill" and len(sizes) >= 3:
        sizes = [sizes[1], sizes[0], *sizes[2:]]
    elif shape == "dip" and len(sizes) == 3:
        sizes = [sizes[0], sizes[2], sizes[1]]
    found = []
    for i, (size, start, end) in enumerate(zip(sizes, places, places[1:], strict=False), 1):
        s: dict[str, Any] = {"name": f"outside {i}", "kind": "outside", "diameter": size, "from": start, "to": end}
        thread = next((t for t in MAJOR if abs(MAJOR[t] - size) < 0.3), None)
        if thread and end - start >= 8 and lot.once_in(2):
            s = {"name": f"thread {i}", "kind": "thread", "thread": thread, "from": start, "to": end}
        elif size >= 8 and end - start >= 10 and lot.once_in(20):
            s.update(kind="taper", end_diameter=size - lot.pick(1.0, 2.0), name=f"taper {i}")
        elif lot.once_in(2):
            s["class"] = lot.pick("h6", "h7", "h8", "h9", "k6", "j6", "f7")
        if s["kind"] == "outside" and end - start >= 3 and lot.once_in(4):
            s["chamfer"] = lot.pick(0.5, 1.0)
        found.append(s)
    return found


def _thinnest(outs: list[dict[str, Any]], start: float, end: float) -> float:
    return min(o.get("end_diameter") or o.get("diameter") or 0.85 * MAJOR[o["thread"]] for o in outs
        if o["from"] < end and o["to"] > start)


def _holes(lot: Lot, outs: list[dict[str, Any]], length: float) -> list[dict[str, Any]]:
    kind = lot.pick(*HOLES)
    found: list[dict[str, Any]] = []

    def hole(start: float, end: float, flat: bool = False, most: float = 1e9) -> float:
        wall = _thinnest(outs, start, end)
        top = min(0.75 * wall, wall - 3, most)
        if top < 3 or end - start < 2:
            return 0.0
        size = lot.half(3, top)
        s: dict[str, Any] = {"name": f"bore {len(found) + 1}", "kind": "bore", "diameter": size, "from": start,
            "to": end}
        if lot.once_in(2):
            s["class"] = lot.pick("H7", "H8", "H9", "H11")
        if flat:
            s["flat"] = True
            if lot.once_in(2):
                s["depth"] = [0, lot.pick(0.1, 0.2)]
        found.append(s)
        return size

    if kind == "through":
        hole(0, length)
    elif kind == "blind":
        hole(0, lot.half(2, length - 3), lot.once_in(2))
    elif kind == "far":
        hole(lot.half(3, length - 2), length, lot.once_in(2))
    elif kind == "stepped":
        middle = lot.half(2, length - 3)
        size = hole(0, middle, lot.once_in(2))
        if size > 5:
            hole(middle, length, most=size - 1.5)
    elif kind == "both ends":
        near, far = lot.half(2, length / 2 - 2), lot.half(length / 2 + 2, length - 2)
        sizes = [hole(0, near, lot.once_in(2)), hole(far, length, lot.once_in(2))]
        if min(sizes) > 5 and lot.once_in(2):
            hole(near, far, most=min(sizes) - 1.5)
    elif kind == "thread":
        wall = _thinnest(outs, 0, length)
        fit = [t for t in MAJOR if 8 <= MAJOR[t] <= min(0.7 * wall, wall - 4)]
        if fit:
            thread = lot.pick(*fit)
            found.append({"name": "inside thread", "kind": "inside thread", "thread": thread, "from": 0, "to": length})
    return found


def _groove(lot: Lot, surfaces: list[dict[str, Any]], outs: list[dict[str, Any]]) -> None:
    wide = [o for o in outs if o["kind"] == "outside" and o["to"] - o["from"] >= 10 and o["diameter"] >= 8]
    if not wide:
        return
    o = lot.pick(*wide)
    start = o["from"] + lot.half(3, o["to"] - o["from"] - 6)
    holes = [s for s in surfaces if s["kind"] == "bore" and s["from"] < start + 3 and s["to"] > start]
    size = o["diameter"] - lot.pick(1.0, 2.0)
    if size - max((s["diameter"] for s in holes), default=0.0) > 2.5:
        surfaces.append({"name": "groove", "kind": "recess", "diameter": size, "from": start,
            "to": start + lot.pick(2.0, 2.5, 3.0)})


def _drawable(seed: int) -> Any:
    try:
        return part.read(described(seed))
    except Refused:
        return None


def parts() -> st.SearchStrategy[Any]:
    """Random parts that the reader of parts takes."""
    return st.integers(0, 2**48).map(_drawable).filter(lambda made: made is not None)
