"""Finish and sharpness: the marks that are left, and the lightest cut that still cuts.

On paper a finer feed leaves a smoother surface without end. A real edge is round:
where the chip is thinner than a share of that rounding it rubs instead of cutting,
and what it could not lift stays behind as roughness. Below one feed, finer is worse.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from .. import cutting
from ..core import tables
from ..core.formula import formula
from ..core.quantity import Numbers, Refused, positive
from ..core.shared import ChipThickness, Feed, LeastChip, NoseRadius
from ..core.spread import Likely, Uncertain, likely, odds, sample
from ..core.tables import Fact
from .quantities import DepthOfCut, EdgeRadius, LeastChipRatio

# ---- one formula at a time ------------------------------------------------------------------------


@formula(source="ratio of minimum chip thickness to edge radius; review by Wojciechowski, Materials 15(1) 59 (2022) "
    "(abstract read; band from memory)",
    holds="metals, a clean round edge; the ratio is known to a factor of about two")
def least_chip(ratio: LeastChipRatio, edge_radius: EdgeRadius) -> LeastChip:
    """The minimum chip thickness a rounded edge lifts; thinner ones are pressed under it."""
    return ratio * edge_radius


@formula(source="geometry of two arcs one feed apart: the chip is thickest where they meet",
    holds="cut inside the nose arc, feed under the nose radius", basis="computed")
def thickest_on_nose(depth: DepthOfCut, feed: Feed, nose_radius: NoseRadius) -> ChipThickness:
    """Thickest place of a chip cut by the nose alone."""
    return np.where(2 * nose_radius * depth - depth**2 <= feed**2, depth, nose_radius
        - np.sqrt(nose_radius**2 + feed**2 - 2 * feed * np.sqrt(np.abs(2 * nose_radius * depth - depth**2))))


@formula(source="the thickest place of the nose's chip set to the minimum chip thickness and turned round",
    holds="as the thickest place on the nose", basis="computed")
def lightest_depth(least: LeastChip, feed: Feed, nose_radius: NoseRadius) -> DepthOfCut:
    """The depth at which the thickest place of the chip just reaches the minimum chip thickness: less only rubs."""
    reach = (feed**2 + 2 * nose_radius * least - least**2) / (2 * feed)
    return np.where(2 * nose_radius * least - least**2 <= feed**2, least,
        nose_radius - np.sqrt(nose_radius**2 - reach**2))


# ---- edges ----------------------------------------------------------------------------------------


def edge_kinds() -> list[str]:
    """Kinds of cutting edge whose rounding is in the table, sharpest steel first."""
    return tables.names("edges", "edge")


def edge(kind: str) -> Fact:
    """Radius of the edge itself, mm, with its range. Raises Refused for an unknown kind."""
    return tables.fact("edges", edge=kind)


def tool_of(kind: str) -> str:
    """The tool material that the speed tables use for a kind of edge."""
    return str(tables.row("edges", edge=kind)["tool"])


def _edge_range(what: Any) -> Uncertain | float:
    """A kind by name, a radius in mm, or an Uncertain as it is."""
    if isinstance(what, str):
        return edge(what).range
    return what if isinstance(what, Uncertain) else float(positive(what, "edge radius"))


@dataclass(frozen=True)
class Sharpness:
    """What a kind of edge can still lift, and what it makes of one cut."""

    least_chip: Likely  # mm
    lightest: Likely  # mm of depth, on radius; inf where no depth on the nose is enough
    thickest: float  # mm, thickest place of the chip of the cut asked about
    cutting_share: Likely  # share of the edge in the cut whose chip is over the least
    cuts: float  # odds that the edge cuts at all, somewhere


def sharpness(edge_kind: Any, depth: float, feed: float, nose_radius: float, ratio: Any = None) -> Sharpness:
    """Minimum chip thickness, lightest cut, and how much of the engaged edge cuts.

    edge_kind: a name of edge_kinds(), or the edge's radius in mm; mm all through. ratio: minimum chip thickness over
    edge radius where it was measured. Raises Refused for an unknown kind or values that cannot be.
    """
    chip = cutting.nose_chip(depth, feed, nose_radius)
    drawn = sample(radius=_edge_range(edge_kind), ratio=tables.fact("cutting_rules", rule="least_chip_ratio").range
        if ratio is None else float(positive(ratio, "ratio of minimum chip thickness to edge radius", "")))
    least = np.atleast_1d(least_chip(drawn["ratio"], drawn["radius"]))
    with np.errstate(invalid="ignore"):
        lightest = lightest_depth(least, feed, nose_radius)
    lightest = np.where(np.isnan(lightest), np.inf, lightest)
    share = np.where(chip.thickest >= least, _edge_over(least, depth, feed, nose_radius) / chip.edge.sum(), 0.0)
    return Sharpness(likely(least), likely(lightest), float(chip.thickest), likely(share), odds(chip.thickest >= least))


def _edge_over(least: np.ndarray, depth: float, feed: float, nose_radius: float) -> np.ndarray:
    """Length of edge, mm, on which the chip is thicker than this; entering angle 90°, for what the chip reaches at all.

    The last groove gives its lower end, the surface before the cut its upper one; past the nose the edge is straight.
    """
    back = np.maximum(nose_radius - least, 1e-12)
    low = np.arcsin(np.clip((nose_radius**2 - feed**2 - back**2) / (2 * feed * back), -1, 1))
    high = np.arccos(np.clip((nose_radius - depth) / back, 0, 1))
    return nose_radius * np.maximum(high - np.maximum(low, -high), 0) + max(depth - nose_radius, 0.0)


# ---- the surface as it comes out ------------------------------------------------------------------


@cache
def _habit(material: str, what: str) -> Fact | None:
    """One habit of a work material's chip; None where it has no such row. Raises Refused if unknown."""
    cutting.kienzle(material)
    known = [r for r in tables.rows("chip_habits") if r["material"] == material and r["property"] == what]
    return tables.fact("chip_habits", material=material, property=what) if known else None


def built_up_share(material: str, speed: Numbers, end: Any = 1.0) -> Any:
    """How strongly a built-up edge works at a cutting speed (m/min), 0 to 1; 0 for metals that build none.

    It comes and goes over a quarter of a decade at each end of the printed speeds. `end` moves the fast end.
    """
    speeds = _habit(material, "built_up_edge")
    v = np.asarray(positive(speed, "cutting speed", "m/min"), float)
    if speeds is None:
        return np.zeros(np.broadcast(v, end).shape)
    rising = np.clip(np.log(v / (0.5 * speeds.low)) / np.log(2), 0, 1)
    falling = np.clip(np.log(speeds.high * np.asarray(end) * 1.3 / v) / np.log(1.7), 0, 1)
    return rising * falling


@dataclass(frozen=True)
class Finish:
    """Roughness to expect, mm, with its range."""

    ideal: float  # height of the marks on paper
    ideal_ra: float
    rubbed: Likely  # what the round edge adds on paper (Brammertz)
    rz: Likely  # height to expect
    ra: Likely  # mean roughness to expect
    best_feed: Likely  # mm; finer than this gets worse
    built_up: float  # chance of a built-up edge
    chance: float  # chance of meeting the wanted Ra; nan where none was asked


def _finish_samples(material: str, edge_kind: Any, nose_radius: Any, speed: float, count: int) -> dict[str, Any]:
    family = tables.row("kienzle", material=material)["family"]
    rough = ("finish_steel" if family in ("steel", "stainless", "titanium") and material != "free-cutting steel"
        else "finish_other")
    drawn = sample(count, radius=_edge_range(edge_kind),
        ratio=tables.fact("cutting_rules", rule="least_chip_ratio").range,
        factor=tables.fact("cutting_rules", rule=rough).range,
        fragments=tables.fact("cutting_rules", rule="built_up_edge").range,
        spread=tables.fact("cutting_rules", rule="rz_over_ra").range, end=Uncertain("ratio", 1.0, 0.15))
    drawn["least"] = least_chip(drawn["ratio"], drawn["radius"])
    drawn["share"] = built_up_share(material, speed, drawn["end"])
    return drawn


def _heights(drawn: dict[str, Any], feed: Any, nose_radius: Any, minor_angle: Any) -> tuple[Any, Any, Any]:
    """Marks on paper, the part that rubbing adds, and the height to expect."""
    ideal = cutting.roughness(feed, nose_radius, 0.0, minor_angle).rt
    # far below the best feed nothing measured backs Brammertz: the rubbed part is held from half of it down
    held = np.maximum(feed, cutting.finest_useful_feed(nose_radius, drawn["least"]) / 2)
    rubbed = drawn["least"] / 2 * (1 + nose_radius * drawn["least"] / held**2)
    return ideal, rubbed, ideal * drawn["factor"] + rubbed + drawn["share"] * drawn["fragments"]


def finish(material: str, edge_kind: Any, feed: float, nose_radius: float, speed: float,
        minor_angle: float | None = None, wanted_ra: float | None = None) -> Finish:
    """Rz and Ra to expect of a turned surface, with ranges.

    The marks on paper (arc, or arc and minor edge) times what real surfaces come out rougher, plus what a
    round edge rubs (Brammertz), plus the fragments of a built-up edge at low speed. mm, m/min, degrees.
    Raises Refused for unknown names or values that cannot be.
    """
    positive(speed, "cutting speed", "m/min")
    paper = cutting.roughness(feed, nose_radius, 0.0, minor_angle)
    drawn = _finish_samples(material, edge_kind, nose_radius, speed, 2000)
    _, rubbed, rz = _heights(drawn, feed, nose_radius, minor_angle)
    ra = rz / drawn["spread"]
    chance = np.nan if wanted_ra is None else odds(ra <= positive(wanted_ra, "wanted Ra"))
    return Finish(paper.rt, paper.ra, likely(rubbed), likely(rz), likely(ra),
        likely(cutting.finest_useful_feed(nose_radius, drawn["least"])), odds(drawn["share"] > 0.5), chance)


@dataclass(frozen=True)
class FinishCurve:
    """Roughness over feed, mm: on paper, and the range to expect."""

    feed: np.ndarray
    ideal: np.ndarray
    low: np.ndarray
    middle: np.ndarray
    high: np.ndarray
    promised: np.ndarray  # met nine times in ten

    def coarsest(self, wanted: float) -> float:
        """The coarsest feed that promises a roughness nine times in ten; nan where none does."""
        good = np.flatnonzero(self.promised <= wanted)
        if not good.size:
            return np.nan
        last = good[-1]
        if last == len(self.feed) - 1:
            return float(self.feed[-1])
        y, x = np.log(self.promised[last : last + 2]), np.log(self.feed[last : last + 2])
        return float(np.exp(x[0] + (np.log(wanted) - y[0]) / (y[1] - y[0]) * (x[1] - x[0])))


def finish_curve(material: str, edge_kind: Any, nose_radius: float, speed: float, minor_angle: float | None = None,
        feeds: Any = None, mean: bool = True) -> FinishCurve:
    """Ra (or Rz where mean is False) over a range of feeds. Units and refusals as in finish()."""
    f = (np.geomspace(0.01, min(0.4, 1.9 * nose_radius), 40) if feeds is None
        else np.asarray(positive(feeds, "feed"), float))
    drawn = {name: value[:, None] if isinstance(value, np.ndarray) else value for name,
        value in _finish_samples(material, edge_kind, nose_radius, speed, 300).items()}
    rz = _heights(drawn, f, nose_radius, minor_angle)[2]
    paper = cutting.roughness(f, nose_radius, 0.0, minor_angle)
    ideal = paper.ra if mean else paper.rt
    ranks = np.sort(rz / drawn["spread"] if mean else rz, axis=0)
    rows = [round(q * (len(ranks) - 1)) for q in (0.05, 0.5, 0.95, 0.9)]
    return FinishCurve(f, ideal, *ranks[rows])


def feed_for(
    wanted_ra: float, material: str, edge_kind: Any, nose_radius: float, speed: float, chance: float = 0.9
) -> float:
    """The coarsest feed, mm, that meets a wanted Ra (mm) with the given chance.

    Raises Refused, with the best that can be had, where no feed does.
    """
    positive(wanted_ra, "wanted Ra")
    f = np.geomspace(0.01, min(0.6, 1.9 * nose_radius), 120)
    drawn = {name: value[:, None] if isinstance(value, np.ndarray) else value for name,
        value in _finish_samples(material, edge_kind, nose_radius, speed, 300).items()}
    ra = _heights(drawn, f, nose_radius, None)[2] / drawn["spread"]
    good = np.flatnonzero((ra <= wanted_ra).mean(0) >= chance)
    if not good.size:
        reach = np.quantile(ra, chance, axis=0)
        raise Refused(f"No feed promises Ra {wanted_ra * 1e3:.3g} µm here; the best is Ra {reach.min() * 1e3:.2g} µm "
            f"at {f[reach.argmin()]:.2g} mm. Take a sharper edge, a larger nose or another speed.")
    return float(f[good[-1]])
