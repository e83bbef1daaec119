"""Metal as an array of cells along z and r, and the force it takes to cut it: what the virtual lathe stands on.

Force comes from data/kienzle.csv alone. mm, N/mm².
"""

from __future__ import annotations

import csv
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np

DATA = Path(__file__).parents[1] / "data"


@lru_cache(maxsize=1)
def _forces() -> tuple[dict[str, tuple[float, float]], dict[str, str]]:
    def rows(name: str) -> list[dict[str, str]]:
        lines = (DATA / f"{name}.csv").read_text(encoding="utf-8").splitlines()
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))
    return ({r["material"]: (float(r["kc11"]), float(r["mc"])) for r in rows("kienzle")},
        {r["material"]: r["group"] for r in rows("heat_work")})


def cutting_pressure(material: str, chip: float) -> float:
    """N/mm² at this chip thickness, mm: kc1.1 · h^-mc."""
    forces, groups = _forces()
    kc11, mc = forces[groups[material]]
    return kc11 * max(chip, 1e-3) ** -mc


class Material:
    """Cells of the work, True where there is metal."""

    def __init__(self, low: float, high: float, radius: float):
        self.dz = float(np.clip((high - low) / 500, 0.05, 0.5))
        self.dr = 0.02 if radius < 40 else 0.03
        nz, nr = round((high - low) / self.dz), int(np.ceil(radius / self.dr))
        self.dz = (high - low) / nz
        self.z = low + (np.arange(nz) + 0.5) * self.dz
        self.r = (np.arange(nr) + 0.5) * self.dr
        self.ends = low, high       # where the faces stand, exactly
        self.solid = np.broadcast_to(self.r < radius, (nz, nr)).copy()

    def columns(self, low: float, high: float) -> slice:
        """Columns whose middle lies between two z."""
        return slice(*np.searchsorted(self.z, [low - 1e-9, high + 1e-9]))

    def take(self, low: float, high: float, inner: Any, outer: Any) -> int:
        """Remove the metal between two radii (numbers, or one for each column). How many cells."""
        at = self.columns(low, high)
        block = self.solid[at]
        if not block.size:
            return 0
        inner, outer = (np.broadcast_to(np.asarray(x, float), block.shape[:1]) for x in (inner, outer))
        a, b = float(inner.min()), float(outer.max())
        rows = slice(*np.searchsorted(self.r, [a, b]))
        part, r = block[:, rows], self.r[rows]
        gone = part & (r > inner[:, None]) & (r < outer[:, None])
        part[gone] = False
        return int(gone.sum())

    def metal(self, low: float, high: float, inner: float, outer: float) -> np.ndarray:
        """Columns between two z that hold metal between two radii."""
        at = self.columns(low, high)
        rows = slice(*np.searchsorted(self.r, [inner, outer]))
        return np.asarray(self.solid[at, rows].any(1))

    def outer(self, at: slice = slice(None)) -> np.ndarray:
        """Outside radius of each column, 0 where there is none."""
        block = self.solid[at]
        top = block.shape[1] - np.argmax(block[:, ::-1], axis=1)
        return np.asarray(np.where(block.any(1), top * self.dr, 0.0))

    def inner(self, at: slice = slice(None)) -> np.ndarray:
        """Inside radius of each column: 0 where it is solid to the axis, infinite where nothing is left."""
        block = self.solid[at]
        return np.asarray(np.where(block.any(1), np.argmax(block, axis=1) * self.dr, np.inf))

    def cut_off(self, low: float, high: float) -> None:
        """Take everything outside two faces away."""
        self.take(-np.inf, low, 0.0, np.inf)
        self.take(high, np.inf, 0.0, np.inf)
        self.ends = max(self.ends[0], low), min(self.ends[1], high)


def bracket(zs: np.ndarray, values: np.ndarray, z: np.ndarray, dz: float) -> tuple[np.ndarray, np.ndarray]:
    """Least and most of a polyline with steps, within one cell of each z."""
    grown = zs + np.arange(len(zs)) * 1e-10
    found = np.stack([np.interp(z + g * dz, grown, values) for g in np.linspace(-1, 1, 7)])
    return found.min(0), found.max(0)


def value(known: Any) -> float:
    """The number of a shop's entry."""
    return float(getattr(known, "value", known))
