"""Chips: why they string, and what to change, in which order.

A chip breaks when its skin is stretched more than it can bear as it curls. A thick
chip is stretched far, a thin ribbon hardly at all. Light finishing cuts on small work
make thin ribbons, and the short pass is over before anything could be changed.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

import numpy as np

from .. import cutting
from ..core import tables
from ..core.formula import formula
from ..core.quantity import positive
from ..core.shared import ChipThickness, Feed, WorkDiameter
from ..core.spread import POINTS, Likely, between, likely, odds, sample
from ..core.tables import Fact
from .quantities import (
    ChipShearAngle,
    ChipSlenderness,
    CurlRadius,
    CurlStrain,
    CutChipThickness,
    DepthOfCut,
    RakeAngle,
    ShearStrain,
    StringLength,
    ThinningRatio,
    TurnLength,
)

# ---- one formula at a time ------------------------------------------------------------------------


@formula(source="geometry of the shear plane; Trent and Wright, Metal Cutting, eq. 3.2", basis="read",
    holds="a flowing chip sheared along one plane")
def shear_angle(ratio: ThinningRatio, rake: RakeAngle) -> ChipShearAngle:
    """Angle of the shear plane from the thickness of the chip: measure a chip, know how it was made."""
    return np.degrees(np.arctan(ratio * np.cos(np.radians(rake)) / (1 - ratio * np.sin(np.radians(rake)))))


@formula(source="Merchant, J. Appl. Phys. 16 (1945); Trent and Wright, Metal Cutting, ch. 3 (from memory)",
    holds="a flowing chip sheared along one plane")
def shear_strain(angle: ChipShearAngle, rake: RakeAngle) -> ShearStrain:
    """How far the metal is sheared on its way into the chip."""
    return 1 / np.tan(np.radians(angle)) + np.tan(np.radians(angle - rake))


@formula(source="the chip is thicker than what was fed, by the chip thickness ratio", holds="any flowing chip",
    basis="computed")
def chip_thickness(chip: ChipThickness, ratio: ThinningRatio) -> CutChipThickness:
    """Thickness of the chip that comes off."""
    return chip / ratio


@formula(source="bending of a strip; used on chips by Nakayama (1962) (from memory)", holds="chip thin beside its curl")
def curl_strain(thickness: CutChipThickness, curl_radius: CurlRadius) -> CurlStrain:
    """How far the chip's skin is stretched when it is curled to a radius."""
    return thickness / (2 * curl_radius)


@formula(source="one revolution for each feed, shortened by the chip thickness ratio",
    holds="one pass along a cylinder",
    basis="computed")
def string_length(diameter: WorkDiameter, length: TurnLength, feed: Feed, ratio: ThinningRatio) -> StringLength:
    """Length of the chip if it never breaks."""
    return np.pi * diameter * length * ratio / feed


@formula(source="depth over feed", holds="cuts deeper than the nose radius", basis="computed")
def slenderness(depth: DepthOfCut, feed: Feed) -> ChipSlenderness:
    """How flat the chip's section is."""
    return depth / feed


# ---- the window -----------------------------------------------------------------------------------


def thickening(material: str) -> Fact:
    """Chip thickness over uncut thickness of a work material, a range. Raises Refused for an unknown name."""
    cutting.kienzle(material)
    return tables.fact("chip_habits", material=material, property="chip_thickening")


def stringiness(material: str) -> int:
    """0: falls in crumbs by itself; 1: breaks with a breaker; 2: a tough ribbon."""
    cutting.kienzle(material)
    return int(tables.fact("chip_habits", material=material, property="stringiness").value)


@dataclass(frozen=True)
class Check:
    """One side of the window: where this cut stands and where the trade wants it."""

    name: str
    value: float
    low: float
    high: float  # inf where only the low side matters
    chance: float  # odds that the cut stands right

    @property
    def right(self) -> bool:
        return self.low <= self.value <= self.high


@dataclass(frozen=True)
class Window:
    """Whether the chips of one cut break."""

    slenderness: float
    feed_over_nose: float
    depth_over_nose: float
    slender_ok: bool
    checks: tuple[Check, ...]
    breaks: float  # odds that it breaks
    stringiness: int


def _rule(name: str) -> Fact:
    return tables.fact("cutting_rules", rule=name)


def toughness(material: str) -> float:
    """Strain at which a chip snaps, against a medium-carbon steel's: an order of size. Raises Refused."""
    cutting.kienzle(material)
    return tables.fact("chip_habits", material=material, property="chip_toughness").value


def _drawn(material: str, count: int) -> dict[str, Any]:
    """Samples of the window's edges and of the chip's curl and toughness."""
    curl, snap = _rule("curl_radius"), _rule("break_strain")
    return sample(count, slender_low=_rule("slender_low").range, slender_high=_rule("slender_high").range,
        feed_low=_rule("feed_over_nose_low").range, feed_high=_rule("feed_over_nose_high").range,
        depth_low=_rule("depth_over_nose_low").range, thick=thickening(material).range,
        curl=between(curl.low, curl.high), snap=between(snap.low, snap.high))


def chip_window(
    depth: float, feed: float, nose_radius: float, material: str = "medium-carbon steel", breaker: bool = True
) -> Window:
    """Where a cut stands in the feed-and-depth window, and the chance that its chips break.

    mm. breaker: the tool has a ground step or moulded breaker; without one the chip curls three
    times as wide. The window's sides are common practice and carry ranges (data/cutting_rules.csv).
    Raises Refused for bad input.
    """
    habit = stringiness(material)
    nose = cutting.nose_chip(depth, feed, nose_radius)
    drawn = _drawn(material, POINTS)
    flat, fed, deep = float(slenderness(depth, feed)), feed / nose_radius, depth / nose_radius
    strain = curl_strain(nose.thickest * drawn["thick"], drawn["curl"] * (1.0 if breaker else 3.0))
    needed = drawn["snap"] * toughness(material)
    right = {
        "depth over feed": (flat, "slender_low", "slender_high",
        (flat >= drawn["slender_low"]) & (flat <= drawn["slender_high"])),
        "feed over nose radius": (fed, "feed_over_nose_low", "feed_over_nose_high",
        (fed >= drawn["feed_low"]) & (fed <= drawn["feed_high"])),
        "depth over nose radius": (deep, "depth_over_nose_low", "", deep >= drawn["depth_low"])}
    checks = [Check(name, value, _rule(low).value, _rule(high).value if high else np.inf, odds(holds)) for name,
        (value, low, high, holds) in right.items()]
    snaps = strain >= needed
    checks.append(Check("strain of the chip's skin", likely(strain).value, likely(needed).value, np.inf, odds(snaps)))
    # crumbling metals break wherever they are cut; the others need the window and the strain
    whole = odds(snaps) if habit == 0 else odds(np.all([r[3] for r in right.values()], axis=0) & snaps)
    return Window(flat, fed, deep, bool(_rule("slender_low").value <= flat <= 20.0), tuple(checks), whole, habit)


@dataclass(frozen=True)
class WindowMap:
    """Chance of broken chips over feed and depth: breaks[i, j] at depth[i], feed[j]; mm."""

    feed: np.ndarray
    depth: np.ndarray
    breaks: np.ndarray


@cache
def window_map(nose_radius: float, material: str = "medium-carbon steel", breaker: bool = True) -> WindowMap:
    """The feed-and-depth window of one nose and material, for a picture. Raises Refused for bad input."""
    f, a = np.geomspace(0.01, 0.99 * min(0.6, 1.5 * nose_radius), 28), np.geomspace(0.02, 3, 28)
    habit = stringiness(material)
    drawn = _drawn(material, 120)
    d = {name: value[:, None, None] for name, value in drawn.items()}
    thickest = cutting.nose_chip(a[:, None], f, nose_radius).thickest
    strain = curl_strain(thickest * d["thick"], d["curl"] * (1.0 if breaker else 3.0))
    right = strain >= d["snap"] * toughness(material)
    if habit:
        flat, fed, deep = a[:, None] / f, f / nose_radius, a[:, None] / nose_radius
        right = right & (flat >= d["slender_low"]) & (flat <= d["slender_high"]) & (fed >= d["feed_low"])
        right = right & (fed <= d["feed_high"]) & (deep >= d["depth_low"])
    return WindowMap(f, a, right.mean(0))


@dataclass(frozen=True)
class Heap:
    """How much chip one pass makes."""

    length: Likely  # mm of string if nothing breaks
    turns: float  # turns of the work in the pass
    metal: float  # mm³
    tangled: Likely  # mm³ of room as a tangled string
    broken: Likely  # mm³ of room as short chips
    bore: float  # mm³ of room in a bore of this diameter and length


def heap(diameter: float, length: float, depth: float, feed: float, material: str = "medium-carbon steel") -> Heap:
    """Length of the string and the room the chips take. mm. Raises Refused for bad input."""
    d, along = positive(diameter, "diameter"), positive(length, "length of cut")
    a, f = positive(depth, "depth of cut"), positive(feed, "feed")
    drawn = sample(thick=thickening(material).range, tangled=_rule("bulk_string").range,
        broken=_rule("bulk_short").range)
    metal = np.pi * d * along * a
    return Heap(likely(string_length(d, along, f, 1 / drawn["thick"])), along / f, metal,
        likely(metal * drawn["tangled"]), likely(metal * drawn["broken"]), np.pi * d**2 / 4 * along)


# ---- what to change, in which order ----------------------------------------------------------------


ChangeKind = Literal["feed", "speed", "nose", "depth", "breaker", "pause", "free-cutting"]


@dataclass(frozen=True)
class Change:
    """One thing to change, and the chance of broken chips after it and all before it."""

    kind: ChangeKind
    breaks: float | None      # None where the model cannot say
    feed: float = 0.0         # mm a revolution, where it changes
    nose_radius: float = 0.0  # mm
    depth: float = 0.0        # mm


def advice(depth: float, feed: float, nose_radius: float, material: str = "medium-carbon steel", breaker: bool = True,
        most_depth: float = 3.0) -> tuple[Change, ...]:
    """What to change for broken chips, the cheapest first. Common practice; the chance is this chapter's.

    More feed, less speed, a smaller nose radius, a deeper cut, a chipbreaker, an interrupted feed. mm.
    most_depth: the most the work and the machine allow. Raises Refused for bad input.
    """
    changes: list[Change] = []
    f, r, a, step = float(feed), float(nose_radius), float(depth), breaker
    before = chip_window(a, f, r, material, step).breaks

    def add(kind: ChangeKind, known: bool = True, **to: float) -> None:
        odds_now = chip_window(a, f, r, material, step).breaks if known else None
        if odds_now is None or odds_now >= before - 1e-9:
            changes.append(Change(kind, odds_now, **to))

    if min(0.33 * r, 0.3) > f * 1.05:
        f = min(0.33 * r, 0.3)
        add("feed", feed=f)
    add("speed", known=False)
    if a < 0.67 * r and r > 0.2:
        r, f = 0.2, min(f, 0.1)
        add("nose", nose_radius=r, feed=f)
    if min(max(5 * f, r), most_depth) > a * 1.05:
        a = min(max(5 * f, r), most_depth)
        add("depth", depth=a)
    if not step:
        step = True
        add("breaker")
    add("pause", known=False)
    if stringiness(material) == 2:
        add("free-cutting", known=False)
    return tuple(changes)
