"""The stress in the bar: why a size moves when another surface is cut.

Drawn, straightened or quenched bar carries stress that balances over its section.
Every cut takes some of it away and the rest springs into a new balance: bore a
drawn bar and its outside shrinks. A surface has its set size when it is cut;
only later cuts move it. That is the whole reason for "bore first, then finish
the outside".

The solution is elastic, for stress that is the same all round and all along, and
for pieces at least three diameters long (`short_ratio`). Stress that differs
round the bar bends it; that is outside this chapter.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from ..core import tables
from ..core.formula import formula
from ..core.quantity import Numbers, Refused, finite, plain, positive, quantity_of, said
from ..core.shared import Modulus, Poisson
from ..core.spread import POINTS, sample
from .quantities import (
    AxialRelease,
    AxialSteepness,
    AxialStress,
    BoredRadius,
    BoredShare,
    EvenRelease,
    HoopSteepness,
    HoopStress,
    InnerRadialStress,
    LengthStrain,
    OuterRadialStress,
    PlaceRadius,
    RadialShift,
    RadialStress,
    RingMeanStress,
    SkinAxialStress,
    SkinHoopStress,
    SkinStrain,
    StockRadius,
    TurnedRadius,
    WallRelease,
)

_ELASTIC = ("Timoshenko and Goodier, Theory of Elasticity, thick cylinder (Lamé) "
    "(from memory; re-derived and checked)")
_BALANCE = "power of the radius that balances over the section; from equilibrium, derived here"

# ---- the bar as supplied ----------------------------------------------------------------------------


@formula(source=_BALANCE, holds="round bar, the same all round and all along", basis="computed")
def axial_stress(skin: SkinAxialStress, steepness: AxialSteepness, place: PlaceRadius,
        outside: StockRadius) -> AxialStress:
    """Stress along the bar; its sum over the whole section is zero."""
    return 2 * skin / steepness * ((steepness + 2) / 2 * (place / outside) ** steepness - 1)


@formula(source=_BALANCE, holds="round bar, the same all round and all along", basis="computed")
def hoop_stress(skin: SkinHoopStress, steepness: HoopSteepness, place: PlaceRadius, outside: StockRadius) -> HoopStress:
    """Stress around the bar; its sum from the middle to the skin is zero."""
    return -skin / steepness * (1 - (steepness + 1) * (place / outside) ** steepness)


@formula(source=_BALANCE, holds="round bar, the same all round and all along", basis="computed")
def radial_stress(skin: SkinHoopStress, steepness: HoopSteepness, place: PlaceRadius,
        outside: StockRadius) -> RadialStress:
    """Stress across the bar: zero at the skin, in balance with the hoop stress everywhere."""
    return -skin / steepness * (1 - (place / outside) ** steepness)


@formula(source=_BALANCE, holds="any part of the section between two radii", basis="computed")
def mean_axial_stress(skin: SkinAxialStress, steepness: AxialSteepness, bore: BoredRadius, turned: TurnedRadius,
        outside: StockRadius) -> RingMeanStress:
    """Mean axial stress, as the bar was supplied, of the part that is still there."""
    return 2 * skin / steepness * (turned**2 * ((turned / outside) ** steepness - 1)
        - bore**2 * ((bore / outside) ** steepness - 1)) / (turned**2 - bore**2)


# ---- what cutting adds ----------------------------------------------------------------------------


@formula(source=_ELASTIC, holds="bare walls inside and outside; a solid bar has a = 0", basis="computed")
def even_release(at_bore: InnerRadialStress, at_outside: OuterRadialStress, bore: BoredRadius,
        turned: TurnedRadius) -> EvenRelease:
    """The even part of the stress that leaves both walls bare."""
    return (at_bore * bore**2 - at_outside * turned**2) / (turned**2 - bore**2)


@formula(source=_ELASTIC, holds="bare walls inside and outside; a solid bar has a = 0", basis="computed")
def wall_release(at_bore: InnerRadialStress, at_outside: OuterRadialStress, bore: BoredRadius,
        turned: TurnedRadius) -> WallRelease:
    """The part that falls off with the square of the radius."""
    return (at_bore - at_outside) * bore**2 * turned**2 / (turned**2 - bore**2)


@formula(source=_ELASTIC, basis="computed", holds="sections far from the ends stay flat (generalised plane strain)")
def radial_shift(place: PlaceRadius, even: EvenRelease, wall: WallRelease, along: AxialRelease, modulus: Modulus,
        poisson: Poisson) -> RadialShift:
    """How far a place moves outwards, from the bar as supplied."""
    return place / modulus * ((1 - poisson) * even + (1 + poisson) * wall / place**2 - poisson * along)


@formula(source=_ELASTIC, basis="computed", holds="sections far from the ends stay flat (generalised plane strain)")
def length_strain(even: EvenRelease, along: AxialRelease, modulus: Modulus, poisson: Poisson) -> LengthStrain:
    """Change of length for each unit of length, from the bar as supplied."""
    return (along - 2 * poisson * even) / modulus


@formula(source="the case m = n = 2 of the thick-cylinder solution, in closed form",
    holds="stress that rises with the square of the radius; whole outside kept; long bar", basis="computed")
def outside_after_boring(skin_hoop: SkinHoopStress, skin_axial: SkinAxialStress, bored: BoredShare, modulus: Modulus,
        poisson: Poisson) -> SkinStrain:
    """Change of the outside diameter, for each unit of it, when a share of the section is bored away."""
    return -(skin_hoop - poisson * skin_axial) * bored / modulus


@formula(source="the case m = n = 2 of the thick-cylinder solution, in closed form",
    holds="stress that rises with the square of the radius; whole outside kept; long bar", basis="computed")
def length_after_boring(skin_axial: SkinAxialStress, skin_hoop: SkinHoopStress, bored: BoredShare, modulus: Modulus,
        poisson: Poisson) -> LengthStrain:
    """Change of length, for each unit of it, when a share of the section is bored away."""
    return -(skin_axial - poisson * skin_hoop) * bored / modulus


@dataclass(frozen=True)
class CutSequence:
    """What a sequence of cuts leaves. Arrays run over the cuts first, then over the samples."""

    cuts: tuple[tuple[str, Any], ...]
    error: np.ndarray      # on diameter, mm, of each cut surface after the last cut; nan where cut away later
    own: np.ndarray        # on diameter, mm: movement of the surface in its own cut; the tool sees part of it
    length_change: Any     # per mm of length, after the last cut
    lengths: np.ndarray    # the same after each cut
    outside_error: Any     # of the last turned surface; nan where nothing was turned
    bore_error: Any        # of the last bored surface; nan where nothing was bored


def cut_sequence(radius: float, axial: Numbers, hoop: Numbers, m: Numbers, n: Numbers, cuts: Sequence[tuple[str, Any]],
        modulus: Any = 205e3, poisson: Any = 0.29) -> CutSequence:
    """Turn and bore a stressed bar in the order given and follow every cut surface.

    radius: of the bar as supplied, mm. axial, hoop: stress at its skin, MPa, tension positive;
    m, n: how steeply they rise to the skin; modulus in MPa. These five and poisson may be arrays of one
    shape, a sample each. cuts: ("turn", radius) or ("bore", radius), mm, in the order they are made.
    Repeating a cut at the same radius is a spring pass: it cuts only what has moved into the tool's way.

    Solves the thick cylinder for the stress that is left after each cut: bare walls, no axial force,
    sections that stay flat. Checked against axisymmetric finite elements.
    Raises Refused for impossible cuts or values.
    """
    outside = positive(radius, "the bar's radius")
    if np.ndim(outside):
        raise Refused("The bar must have one radius; it was given several. Call once for each bar.")
    axial, hoop = finite(axial, "the axial stress"), finite(hoop, "the hoop stress")
    m, n = positive(m, "the steepness m", "1"), positive(n, "the steepness n", "1")
    modulus = positive(modulus, "the modulus", "MPa")
    poisson = quantity_of(Poisson).check(finite(poisson, "Poisson's ratio"), "Poisson's ratio")
    steps = _checked(outside, cuts)
    a: Any = 0.0
    b: Any = outside
    states, own, lengths = [], [], []
    shift_before: tuple[Numbers, Numbers, Numbers] = (0.0, 0.0, 0.0)
    for side, at in steps:
        a, b = (at, b) if side == "bore" else (a, at)
        in_wall, at_skin = radial_stress(hoop, n, a, outside), radial_stress(hoop, n, b, outside)
        now = (even_release(in_wall, at_skin, a, b), wall_release(in_wall, at_skin, a, b),
            -mean_axial_stress(axial, m, a, b, outside))
        states.append(now)
        moved = radial_shift(at, *now, modulus, poisson) - radial_shift(at, *shift_before, modulus, poisson)
        own.append(2 * moved)
        lengths.append(length_strain(now[0], now[2], modulus, poisson))
        shift_before = now
    last = states[-1]
    error: list[Any] = []
    current: dict[str, int] = {}
    when_cut: list[Any] = []
    for i, (side, at) in enumerate(steps):
        here = radial_shift(at, *states[i], modulus, poisson)
        before = current.get(side)
        if before is not None and np.all(np.equal(steps[before][1], at)):
            # a spring pass: the tool takes only what stands proud of its old path
            way = 1.0 if side == "turn" else -1.0
            here = np.where(way * here > way * when_cut[before], here, when_cut[before])
        if before is not None:
            error[before] = error[before] * np.nan
        when_cut.append(here)
        error.append(2 * (radial_shift(at, *last, modulus, poisson) - here))
        current[side] = i
    full = np.stack(np.broadcast_arrays(*error, *own, *lengths))
    k = len(steps)
    errors, lengths_all = full[:k], full[2 * k:]
    missing = np.full(full.shape[1:], np.nan)
    sides = {side: errors[current[side]] if side in current else missing for side in ("turn", "bore")}
    return CutSequence(tuple(steps), errors, full[k:2 * k], _plain(lengths_all[-1]), lengths_all, _plain(sides["turn"]),
        _plain(sides["bore"]))


def stress_after(radius: float, axial: Numbers, hoop: Numbers, m: Numbers, n: Numbers, bore: float, turned: float,
        place: Numbers) -> tuple[Any, Any, Any]:
    """Axial, hoop and radial stress, MPa, at `place` (radius, mm) once bore and outside have these radii.

    The order of the cuts does not matter to it. Raises Refused where place lies outside the wall.
    """
    outside = positive(radius, "the bar's radius")
    steps = _checked(outside, [("turn", turned), *([("bore", bore)] if bore else [])])
    a, b = (steps[1][1] if bore else 0.0), steps[0][1]
    r = positive(place, "the place", zero=True)
    if np.any(np.asarray(r) < a) or np.any(np.asarray(r) > b):
        raise Refused(f"The place must lie in the wall, between radius {plain(a, 4)} and {plain(b, 4)} mm.")
    in_wall, at_skin = radial_stress(hoop, n, a, outside), radial_stress(hoop, n, b, outside)
    even, wall = even_release(in_wall, at_skin, a, b), wall_release(in_wall, at_skin, a, b)
    fall = wall / np.where(np.asarray(r) > 0, r, 1.0) ** 2
    return (axial_stress(axial, m, r, outside) - mean_axial_stress(axial, m, a, b, outside),
        hoop_stress(hoop, n, r, outside) + even + fall, radial_stress(hoop, n, r, outside) + even - fall)


def _plain(value: Any) -> Any:
    return value if np.ndim(value) else float(value)


def _checked(outside: float, cuts: Sequence[tuple[str, Any]]) -> list[tuple[str, Any]]:
    """The cuts with their radii as numbers, or Refused with what is impossible about them."""
    if isinstance(cuts, str) or not len(cuts):
        raise Refused("Give at least one cut, such as (\"bore\", 5).")
    a: Any = 0.0
    b: Any = outside
    steps = []
    for cut in cuts:
        if isinstance(cut, str) or len(cut) != 2 or cut[0] not in ("turn", "bore"):
            raise Refused(f"{said(cut)} is not a cut. Write (\"turn\", radius) or (\"bore\", radius).")
        side, at = cut[0], positive(cut[1], f"the radius to {cut[0]} to")
        if side == "turn":
            if np.any(at > b):
                raise Refused(f"Cannot turn to {_across(at)}: the outside is only {_across(b)} by then. "
                    "Turn smaller.")
            if np.any(at <= a):
                raise Refused(f"Cannot turn to {_across(at)}: the bore is {_across(a)} by then. " "Leave a wall.")
            b = at
        else:
            if np.any(at < a):
                raise Refused(f"Cannot bore to {_across(at)}: the bore is {_across(a)} already. Bore larger.")
            if np.any(at >= b):
                raise Refused(f"Cannot bore to {_across(at)}: the outside is {_across(b)} by then. " "Leave a wall.")
            a = at
        steps.append((side, at))
    return steps


def _across(radius: Any) -> str:
    return f"Ø{plain(2 * float(np.max(radius)), 5)} mm"


# ---- how long a piece must be -----------------------------------------------------------------------

LONG = 3.0                # length in outside diameters from which the solution may be used, but for the ends
SHORT_PIECE = (0.2, 1.5)  # movement of the end and the middle of a piece one diameter long, long bar = 1


def short_ratio(length: float, diameter: float) -> float:
    """A piece (or a bored length) in its outside diameters where that is under LONG, so that the range must be widened.

    length, diameter: mm. 0 where the piece is long enough. Raises Refused for what is not above zero.
    """
    ratio = float(positive(length, "the length") / positive(diameter, "the diameter"))
    return ratio if ratio < LONG else 0.0


# ---- what stock carries -----------------------------------------------------------------------------

# the material whose modulus and Poisson's ratio stand for the family
MATERIAL = {"steel": "free-cutting steel 11SMn30 / 12L14", "stainless steel": "stainless 303",
    "brass": "brass CuZn39Pb3", "bronze": "bronze CuSn8", "aluminium": "aluminium 6082"}


def stocks() -> list[str]:
    """Every kind of bar in the table, as "steel, cold drawn"."""
    return list(dict.fromkeys(f"{r['family']}, {r['condition']}" for r in tables.rows("residual_stress")
        if r["property"] == "axial"))


def stock_fact(stock: str, name: str) -> tables.Fact:
    """One fact about a kind of bar: axial, hoop_ratio, m or n, with its range and where it comes from."""
    if stock not in stocks():
        raise Refused(f"“{stock}” is not in the table of bars. Try {', '.join(stocks())}.")
    family, condition = stock.split(", ", 1)
    return tables.fact("residual_stress", family=family, condition=condition, property=name)


@cache
def stock_sample(stock: str, count: int = POINTS) -> dict[str, np.ndarray]:
    """Samples of a kind of bar: axial, hoop, m, n, modulus, poisson. Shared: do not change them."""
    facts = {name: stock_fact(stock, name).range for name in ("axial", "hoop_ratio", "m", "n")}
    material = MATERIAL[stock.split(", ", 1)[0]]
    facts |= {name: tables.fact("materials", material=material, property=key).range for name,
        key in (("modulus", "E"), ("poisson", "nu"))}
    drawn = sample(count, **facts)
    drawn["hoop"] = drawn["axial"] * drawn.pop("hoop_ratio")
    return drawn


def measured_sample(stock: str, axial: Any, hoop: Any, count: int = POINTS) -> dict[str, np.ndarray]:
    """The same for a bar whose skin stress was measured: axial and hoop are spread.Uncertain."""
    return {**stock_sample(stock, count), **sample(count, axial=axial, hoop=hoop)}
