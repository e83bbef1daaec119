"""Random parts that could stand on a drawing: stepped outsides, holes from either end, threads, grooves, chamfers.

Sizes from 6 to 120 mm in the materials of a small shop. Each is drawable by construction; the reader of parts has the
last word.
"""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from springpass.core.quantity import Refused
from springpass.job import part

STOCK = (("carbon steel C45 / 1045", "steel, cold drawn"), ("carbon steel C45 / 1045", "steel, stress-relieved"),
    ("free-cutting steel 11SMn30 / 12L14", "steel, cold drawn"), ("stainless 303", "stainless steel, cold drawn"),
    ("aluminium 6082", "aluminium, quenched and stretched"), ("brass CuZn39Pb3", "brass, cold drawn"),
    ("bronze CuSn8", "bronze, cast"))
THREADS = ("M6x0.75", "M8x1", "M10x1", "M12x1", "M16x1", "M20x1.5", "M24x1.5", "M30x1.5", "M40x1.5", "M50x1.5",
    "M10", "M16", "1/4-20 UNC", "3/8-24 UNF")
MAJOR = {"M6x0.75": 6, "M8x1": 8, "M10x1": 10, "M12x1": 12, "M16x1": 16, "M20x1.5": 20, "M24x1.5": 24, "M30x1.5": 30,
    "M40x1.5": 40, "M50x1.5": 50, "M10": 10, "M16": 16, "1/4-20 UNC": 6.35, "3/8-24 UNF": 9.525}
SHAPES = ("rising", "falling", "rising", "falling", "hill", "hill", "dip", "plain", "plain")


def half(low: float, high: float) -> st.SearchStrategy[float]:
    """Half millimetres, as sizes are drawn."""
    return st.integers(round(2 * low), max(round(2 * low), round(2 * high))).map(lambda n: n / 2)


@st.composite
def described(draw: st.DrawFn) -> dict[str, Any]:
    """A part as its file would describe it."""
    material, condition = draw(st.sampled_from(STOCK))
    largest = draw(half(6, 40)) if draw(st.integers(0, 2)) else draw(half(40, 120))
    length = draw(half(6, min(120, max(8, 5 * largest))))
    outs = _outside(draw, largest, length)
    surfaces = [*outs, *_holes(draw, outs, length)]
    _groove(draw, surfaces, outs)
    spare = draw(half(2, 6)) if draw(st.booleans()) else draw(half(12, 30))
    return {"name": "random part", "material": material, "length": length, "surface": surfaces,
        "blank": {"diameter": largest + draw(half(1, 4)), "length": length + spare, "condition": condition}}


def _outside(draw: st.DrawFn, largest: float, length: float) -> list[dict[str, Any]]:
    shape = draw(st.sampled_from(SHAPES))
    steps = 1 if shape == "plain" else draw(st.integers(2, 4)) if shape != "dip" else 3
    steps = max(min(steps, int(length // 4)), 1)
    if steps < 3 and shape in ("dip", "hill"):
        shape = "rising"
    cuts = sorted(draw(st.lists(half(3, length - 3), min_size=steps - 1, max_size=steps - 1, unique=True))) if (
        steps > 1) else []
    places = [0.0]
    for at in cuts:
        if at - places[-1] >= 2:
            places.append(at)
    if length - places[-1] < 2 and len(places) > 1:
        places.pop()
    places.append(length)
    count = len(places) - 1
    sizes = [largest]
    for _ in range(count - 1):
        sizes.append(max(4.0, draw(half(0.5 * sizes[-1], sizes[-1] - 1.5)) if sizes[-1] > 6 else sizes[-1]))
    if shape == "rising":
        sizes.reverse()
    elif shape == "hill" and count >= 3:
        sizes = [sizes[1], sizes[0], *sizes[2:]]
    elif shape == "dip" and count >= 3:
        sizes = [sizes[0], sizes[2], sizes[1]]
    found = []
    for i, (size, start, end) in enumerate(zip(sizes, places, places[1:], strict=False)):
        s: dict[str, Any] = {"name": f"outside {i + 1}", "kind": "outside", "diameter": size, "from": start, "to": end}
        thread = next((t for t in THREADS if abs(MAJOR[t] - size) < 0.3), None)
        if thread and end - start >= 8 and draw(st.booleans()):
            s = {"name": f"thread {i + 1}", "kind": "thread", "thread": thread, "from": start, "to": end}
        elif draw(st.booleans()):
            s["class"] = draw(st.sampled_from(("h6", "h7", "h8", "h9", "k6", "j6", "f7")))
        if s["kind"] == "outside" and end - start >= 3 and draw(st.integers(0, 3)) == 0:
            s["chamfer"] = draw(st.sampled_from((0.5, 1.0)))
        found.append(s)
    return found


def _thinnest(outs: list[dict[str, Any]], start: float, end: float) -> float:
    return min(o.get("diameter") or 0.85 * MAJOR[o["thread"]] for o in outs if o["from"] < end and o["to"] > start)


def _holes(draw: st.DrawFn, outs: list[dict[str, Any]], length: float) -> list[dict[str, Any]]:
    kind = draw(st.sampled_from(("none", "none", "through", "through", "blind", "stepped", "both ends", "far")))
    if kind == "none":
        return []
    found: list[dict[str, Any]] = []

    def hole(start: float, end: float, flat: bool = False, most: float = 1e9) -> float:
        wall = _thinnest(outs, start, end)
        top = min(0.75 * wall, wall - 3, most)
        if top < 3 or end - start < 2:
            return 0.0
        size = draw(half(3, top))
        s: dict[str, Any] = {"name": f"bore {len(found) + 1}", "kind": "bore", "diameter": size, "from": start,
            "to": end}
        if draw(st.booleans()):
            s["class"] = draw(st.sampled_from(("H7", "H8", "H9", "H11")))
        if flat:
            s["flat"] = True
            if draw(st.booleans()):
                s["depth"] = [0, draw(st.sampled_from((0.1, 0.2)))]
        found.append(s)
        return size

    if kind == "through":
        hole(0, length)
    elif kind == "blind":
        hole(0, draw(half(2, max(2, length - 3))), draw(st.booleans()))
    elif kind == "far":
        hole(draw(half(3, max(3, length - 2))), length, draw(st.booleans()))
    elif kind == "stepped":
        middle = draw(half(2, max(2, length - 3)))
        size = hole(0, middle, draw(st.booleans()))
        if size > 5:
            hole(middle, length, most=size - 1.5)
    else:
        near = draw(half(2, max(2, length / 2 - 2)))
        far = draw(half(length / 2 + 2, max(length / 2 + 2, length - 2)))
        sizes = [hole(0, near, draw(st.booleans())), hole(far, length, draw(st.booleans()))]
        if min(sizes) > 5 and draw(st.booleans()):
            hole(near, far, most=min(sizes) - 1.5)
    return found


def _groove(draw: st.DrawFn, surfaces: list[dict[str, Any]], outs: list[dict[str, Any]]) -> None:
    wide = [o for o in outs if o["kind"] == "outside" and o["to"] - o["from"] >= 10 and o["diameter"] >= 8]
    if not wide or draw(st.integers(0, 4)):
        return
    o = draw(st.sampled_from(wide))
    start = o["from"] + draw(half(3, o["to"] - o["from"] - 6))
    holes = [s for s in surfaces if s["kind"] == "bore" and s["from"] < start + 3 and s["to"] > start]
    deepest = max((s["diameter"] for s in holes), default=0.0)
    size = o["diameter"] - draw(st.sampled_from((1.0, 2.0)))
    if size - deepest > 2.5:
        surfaces.append({"name": "groove", "kind": "recess", "diameter": size, "from": start,
            "to": start + draw(st.sampled_from((2.0, 2.5, 3.0)))})


def _drawable(given: dict[str, Any]) -> Any:
    try:
        return part.read(given)
    except Refused:
        return None


def parts() -> st.SearchStrategy[Any]:
    """Random parts that the reader of parts takes."""
    return described().map(_drawable).filter(lambda made: made is not None)
