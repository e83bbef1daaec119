"""The user's own reamed holes: what they say of the next one.

With five or more holes logged (stock, feed, speed, fluid, sizes) a straight-line fit with
its prediction interval takes the place of the model's wide range.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from ..core import tables
from ..core.quantity import Numbers, Refused, is_number, positive
from ..core.spread import points
from ..measuring.coverage_factors import t_quantile

KIND = "reamed hole"   # under which shop.py keeps them
NEEDED = 5
NUMBERS = ("stock", "feed", "speed", "size", "reamer", "hole")


def a_hole(size: Numbers, reamer: Numbers, hole: Numbers, stock: Numbers, feed: Numbers, speed: Numbers, fluid: str,
        material: str) -> dict[str, Any]:
    """A record for the log, checked: nominal size, reamer and hole as measured, and stock in mm; feed mm, speed m/min.
    """
    tables.row("reaming_fluids", fluid=fluid, property="rise")
    tables.row("reaming_materials", material=material, property="stock")
    read = {name: float(positive(value, f"the {name}", unit)) for name, value,
        unit in (("size", size, "mm"), ("reamer", reamer, "mm"), ("hole", hole, "mm"), ("stock", stock, "mm"),
        ("feed", feed, "mm"), ("speed", speed, "m/min"))}
    for name in ("reamer", "hole"):
        if abs(read[name] - read["size"]) > 0.02 * read["size"] + 0.05:
            raise Refused(f"The {name} measures {read[name]:g} mm, but the hole's nominal size is {read['size']:g} mm. "
                "Give full diameters, and check for a slipped digit.")
    return {**read, "fluid": fluid, "material": material}


def like(holes: Iterable[Mapping[str, Any]], size: float | None = None, fluid: str | None = None,
        material: str | None = None) -> list[Mapping[str, Any]]:
    """The readable records with this fluid and material, within a factor 1.5 of this size; what is not given does not
    count.
    """
    found = []
    for record in holes:
        if not all(is_number(record.get(name)) for name in NUMBERS) or not {"fluid", "material"} <= record.keys():
            continue   # edited by hand
        same = fluid in (None, record["fluid"]) and material in (None, record["material"])
        if same and (size is None or size / 1.5 <= record["size"] <= 1.5 * size):
            found.append(record)
    return found


@dataclass(frozen=True)
class HoleFit:
    """What the logged holes say of the next one: hole less reamer, mm."""

    value: float
    low: float          # nine times in ten the next hole lies between low and high
    high: float
    spread: float       # mm, standard error of the next hole
    scatter: float      # mm, of the logged holes about the fit
    dof: int
    count: int          # holes used
    skipped: int        # records that could not be read or belong to another fluid, material or size
    slopes: dict[str, float]   # mm for each mm of stock or feed, or each m/min


def fit_holes(holes: Iterable[Mapping[str, Any]], stock: float, feed: float | None = None, speed: float | None = None,
        *, size: float | None = None, fluid: str | None = None, material: str | None = None) -> HoleFit:
    """Straight-line fit of hole less reamer against stock, with the 90 % prediction interval (Student's t).

    With eight holes the feed joins in, with eleven the speed, where they were varied. Only holes with the same fluid
    and material, and within a factor 1.5 of the size, count where these are given. Raises Refused with fewer than
    five, and outside what was logged. Source: ordinary least squares, as in any textbook of regression.
    """
    logged = list(holes)
    alike = like(logged, size, fluid, material)
    kept, skipped = [[float(h[k]) for k in NUMBERS] for h in alike], len(logged) - len(alike)
    if len(kept) < NEEDED:
        raise Refused(f"{len(kept)} of your logged holes are like this one; with {NEEDED} the range comes from them.")
    table = np.array(kept)
    y = table[:, 5] - table[:, 4]
    columns, here, names = [np.ones(len(y))], [0.0], []
    for k, (name, at, needed) in enumerate((("stock", stock, 5), ("feed", feed, 8), ("speed", speed, 11))):
        x = table[:, k]
        span = np.ptp(x)
        if at is None:
            continue
        if not x.min() - 0.25 * span - 1e-9 - 0.1 * x.min() <= at <= x.max() + 0.25 * span + 0.1 * x.max():
            raise Refused(f"Your logged holes had a {name} of {x.min():g} to {x.max():g}, and {at:g} is outside. "
                "Ream a few holes there first.")
        if span > 1e-6 * abs(x).max() and len(y) >= needed and len(columns) <= (len(y) - 2) / 3:
            columns.append(x - x.mean())
            here.append(at - x.mean())
            names.append(name)
    return _next_hole(np.stack(columns, 1), y, np.array(here), names, skipped)


def _next_hole(x: np.ndarray, y: np.ndarray, here: np.ndarray, names: list[str], skipped: int) -> HoleFit:
    solved = np.linalg.lstsq(x, y, rcond=None)[0]
    dof = len(y) - x.shape[1]
    scatter = float(np.sqrt(np.sum((y - x @ solved) ** 2) / dof))
    where = np.array([1.0, *here[1:]])
    spread = scatter * float(np.sqrt(1 + where @ np.linalg.pinv(x.T @ x) @ where))
    value, reach = float(where @ solved), _reach(dof) * spread
    return HoleFit(value, value - reach, value + reach, spread, scatter, dof, len(y), skipped,
        dict(zip(names, solved[1:].tolist(), strict=True)))


@cache
def _reach(dof: int) -> float:
    """Student's t for nine times in ten."""
    return float(t_quantile(0.95, dof))


@cache
def student_points(dof: int) -> np.ndarray:
    """Student's t at the fixed points that all spreads use."""
    return np.asarray(t_quantile(points(1)[0], dof))
