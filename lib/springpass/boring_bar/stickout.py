"""May this bar stick out this far? The boring-bar chapter's front.

How the bar bends is in bar_bending, how it rings and chatters in bar_vibration, how to
listen to it in tap_test; their public names can be had from here. This module asks the
turner's question of all of them together, on the spread of what is not known.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np

from .. import cutting
from ..core import tables
from ..core.quantity import Refused, positive, said
from ..core.spread import (
    EDGE,
    FAILS,
    HOLDS,
    POINTS,
    Likely,
    Uncertain,
    between,
    factor_of,
    likely,
    odds,
    sample,
    verdict,
)
from .bending import (
    HolderFit,
    PassesTaken,
    bar_deflection,
    bar_materials,
    bore_cut,
    compliance,
    cut_loads,
    equal_slenderness,
    holder_from_weights,
    holders,
    make_bar,
    second_moment,
    spring_passes,
    stiffness_by_slenderness,
    tip_deflection,
    tip_springs,
)
from .vibration import MODAL, chatter_depth, cut_slopes, is_stable, lobes, natural_frequency

__all__ = [
    "HolderFit",
    "PassesTaken",
    "Setup",
    "StickoutCheck",
    "bar_deflection",
    "bar_materials",
    "bore_cut",
    "chatter_depth",
    "check_stickout",
    "compliance",
    "cuts_that_hold",
    "deepest_cut",
    "equal_slenderness",
    "holder_from_weights",
    "holders",
    "lobes",
    "longest_stickout",
    "make_bar",
    "natural_frequency",
    "second_moment",
    "slimmest_bar",
    "spring_passes",
    "stiffness_by_slenderness",
    "tip_deflection",
    "what_helps",
]


@dataclass(frozen=True)
class Setup:
    """A boring job: work, bar, holder, cut. mm, m/min, degrees; `measured_…` replace the table's range."""

    stickout: float = 40.0
    bar_diameter: float = 8.0
    bore: float = 12.0
    tolerance: float = 0.018
    material: str = "medium-carbon steel"
    bar_material: str = "steel"
    neck_length: float = 0.0
    neck_diameter: float = 6.0
    holder: str = "two screws in a block"
    infeed: float = 0.1
    feed: float = 0.05
    nose_radius: float = 0.4
    least_chip: float = 0.004
    passes: int = 2
    speed: float = 40.0
    entering_angle: float = tables.assumed("entering angle of a boring bar").value
    tip_offset: float | None = None       # from the bar's axis; 0.6 bar diameters where left out
    tip_mass: float = 0.0                 # kg
    uneven: float = 0.0                   # of the bore before this cut, on diameter
    dial_out: bool = False                # True: the bore is measured and the usual error dialled out
    measured_stiffness: tuple[float, float] | None = None   # N/mm: value, standard error
    measured_rotation: tuple[float, float] | None = None    # N mm/rad
    measured_damping: tuple[float, float] | None = None     # share of critical
    measured_frequency: float | None = None                 # Hz

    @property
    def offset(self) -> float:
        return 0.6 * self.bar_diameter if self.tip_offset is None else self.tip_offset

    def checked(self) -> Setup:
        """Itself, if every value makes sense together. Raises Refused with a sentence."""
        for name in (
            "stickout",
            "bar_diameter",
            "bore",
            "tolerance",
            "infeed",
            "feed",
            "nose_radius",
            "speed",
            "neck_length",
            "least_chip",
        ):
            if isinstance(getattr(self, name), (list, tuple, np.ndarray)):
                raise Refused(f"{name.replace('_', ' ')} must be one number; it was {said(getattr(self, name))}.")
        for name in ("stickout", "bar_diameter", "bore", "tolerance", "infeed", "feed", "nose_radius", "speed"):
            positive(getattr(self, name), name.replace("_", " "), "m/min" if name == "speed" else "mm")
        for name in ("neck_length", "least_chip", "uneven", "tip_mass"):
            positive(getattr(self, name), name.replace("_", " "), "kg" if name == "tip_mass" else "mm", zero=True)
        if self.bar_diameter >= self.bore:
            raise Refused(
                f"The bar ({self.bar_diameter:g} mm) is thicker than the bore ({self.bore:g} mm) or just as thick. "
                "Take a bar well under the bore, some three quarters of it at most."
            )
        make_bar(self.stickout, self.bar_diameter, self.neck_length, self.neck_diameter)
        tables.row("kienzle", material=self.material)
        tables.fact("bar_materials", bar_material=self.bar_material, property="E")
        tables.fact("holders", holder=self.holder, property="damping")
        if self.infeed >= self.bore / 2:
            raise Refused(f"An infeed of {self.infeed:g} mm is more than the bore's radius. Take less.")
        return self


def _near(measured: tuple[float, float] | None, table: str, key: str, name: str, wanted: str) -> Uncertain:
    """A measured value with its spread, or the table's range."""
    if measured is not None:
        value, error = measured
        positive(value, f"measured {wanted}", "")
        return factor_of(value, 1 + 2 * min(abs(error) / value, 0.5) + 0.02)
    fact = tables.fact(table, **{key: name}, property=wanted)
    return factor_of(float(np.sqrt(fact.low * fact.high)), float(np.sqrt(fact.high / fact.low)))


@lru_cache(maxsize=256)
def _draws(setup: Setup, count: int) -> dict[str, Any]:
    """Samples of what is not known about a setup: stiffness, forces, damping, edge."""
    rules = {
        name: tables.fact("bar_rules", name=name)
        for name in ("internal turning", "edge wear", "thrust", "process damping")
    }
    rub = rules["process damping"]
    drawn = sample(
        count,
        modulus=tables.fact("bar_materials", bar_material=setup.bar_material, property="E").range,
        shift=_near(setup.measured_stiffness, "holders", "holder", setup.holder, "stiffness"),
        tilt=_near(setup.measured_rotation, "holders", "holder", setup.holder, "rotation")
        if setup.measured_rotation is not None or setup.measured_stiffness is None else np.inf,
        damping=_near(setup.measured_damping, "holders", "holder", setup.holder, "damping"),
        force=cutting.force_beside_table(setup.material).range,
        inside=between(rules["internal turning"].low, rules["internal turning"].high),
        wear=between(rules["edge wear"].low, rules["edge wear"].high),
        thrust=factor_of(1.0, rules["thrust"].factor),
        rubbing=factor_of(rub.geometric_middle, rub.factor),
        edge=tables.assumed("minimum chip thickness").range,
    )
    drawn["factor"] = np.maximum(drawn["force"], 0.3) * drawn["inside"] * drawn["wear"] * drawn["thrust"]
    return drawn


def _key(setup: Setup) -> Setup:
    """The part of a setup that the draws depend on, so that moving the other sliders draws nothing anew."""
    return Setup(material=setup.material, bar_material=setup.bar_material, holder=setup.holder,
                 measured_stiffness=setup.measured_stiffness, measured_rotation=setup.measured_rotation,
                 measured_damping=setup.measured_damping)


@dataclass(frozen=True)
class _Outcome:
    error: Any          # of the diameter, mm; below nought is small
    left: Any           # on radius after each pass
    removed: Any
    copied: Any
    stiffness: Any      # static, at the tip
    drop: Any
    stable: Any
    frequency: Any
    thrust: Any


def _outcome(setup: Setup, count: int, stickout: Any = None, bar_diameter: Any = None, infeed: Any = None) -> _Outcome:
    """Everything that follows from a setup, for each sample; a column of stickouts, bars or infeeds may be asked for at
    once.
    """
    d = _draws(_key(setup), count)
    length = setup.stickout if stickout is None else stickout
    bar = setup.bar_diameter if bar_diameter is None else bar_diameter
    depth = setup.infeed if infeed is None else infeed
    neck = np.minimum(setup.neck_length, 0.9 * np.asarray(length)) if setup.neck_length else 0.0
    pieces = make_bar(length, bar, neck, np.minimum(setup.neck_diameter, bar) if setup.neck_length else 0.0)
    nu, rho = _fact(setup, "nu"), _fact(setup, "density")
    frequency: Any = setup.measured_frequency
    if frequency is None and not np.ndim(length) and not np.ndim(bar):
        shift, tilt, modulus = (float(np.median(d[name])) for name in ("shift", "tilt", "modulus"))
        first = natural_frequency(
            pieces, modulus, rho, setup.tip_mass, holder_stiffness=shift, holder_rotation=tilt, poisson=nu
        )
        give = compliance(pieces, modulus, nu, shift, tilt)
        frequency = lambda each: first * np.sqrt(give / each)  # noqa: E731  the same bar on a softer or stiffer tip
    return _settled(setup, d, pieces, nu, rho, depth, setup.offset, frequency)


def _fact(setup: Setup, name: str) -> float:
    return tables.fact("bar_materials", bar_material=setup.bar_material, property=name).value


def _many(setups: list[Setup], count: int) -> list[tuple[Any, Any]]:
    """(error, stable) of several setups that share work, feed and speed, row by row in as few sweeps as can be."""
    done: dict[int, tuple[Any, Any]] = {}
    groups: dict[tuple[float, int], list[int]] = {}
    for i, one in enumerate(setups):
        groups.setdefault((one.nose_radius, one.passes), []).append(i)
    for rows in groups.values():
        these = [setups[i] for i in rows]
        draws = [_draws(_key(one), count) for one in these]
        d = {name: np.stack([np.broadcast_to(draw[name], (count,)) for draw in draws]) for name in draws[0]}

        def column(take: Any, these: list[Setup] = these) -> Any:
            return np.array([take(one) for one in these], float)[:, None]

        neck = (
            column(lambda one: min(max(one.neck_length, 1e-9), one.stickout))
            if any(one.neck_length for one in these)
            else 0.0
        )
        pieces = make_bar(column(lambda one: one.stickout), column(lambda one: one.bar_diameter), neck,
                          column(lambda one: min(one.neck_diameter, one.bar_diameter)))
        out = _settled(
            these[0],
            d,
            pieces,
            column(lambda one: _fact(one, "nu")),
            column(lambda one: _fact(one, "density")),
            column(lambda one: one.infeed),
            column(lambda one: one.offset),
            these[0].measured_frequency,
        )
        done |= {i: (out.error[row], out.stable[row]) for row, i in enumerate(rows)}
    return [done[i] for i in range(len(setups))]


COARSE = 110   # points of the force table: far finer than the doubt in the force, and quick to make anew


def _settled(
    setup: Setup, d: dict[str, Any], pieces: Any, nu: Any, rho: Any, depth: Any, offset: Any, frequency: Any
) -> _Outcome:
    """The cut settled with a bar; `setup` gives only work, nose, feed, speed and passes, the rest may be columns of
    arrays.

    frequency: Hz; or a function of each sample's compliance; or None, for one swinging mass on the tip's spring.
    """
    springs = tip_springs(pieces, d["modulus"], nu, d["shift"], d["tilt"])
    material = cutting.kienzle(setup.material)
    passes = spring_passes(depth, setup.feed, setup.nose_radius, springs.side, material, setup.passes,
                           setup.least_chip * d["edge"], entering_angle=setup.entering_angle, force_factor=d["factor"],
                           pull=springs.moment * offset, points=COARSE)
    loads = cut_loads(material, setup.feed, setup.nose_radius, setup.entering_angle, float(np.max(depth)), COARSE)
    main = loads.forces(passes.removed[-1])[0]
    bites = passes.removed[-1] > 0
    drop = np.where(bites, main * d["factor"] / d["thrust"], 0.0) * (springs.side + springs.twist * offset**2)
    error = bore_cut(setup.bore, passes.left[-1], drop) - setup.bore
    if frequency is None:
        mass = 33 / 140 * sum(a * b**2 for a, b in pieces) * np.pi / 4 * rho * 1e-12 + setup.tip_mass * 1e-3
        frequency = np.sqrt(1 / (springs.side * mass)) / (2 * np.pi)
    elif callable(frequency):
        frequency = frequency(springs.side)
    slopes = cut_slopes(setup.feed, setup.nose_radius, material.kn, material.mn, setup.entering_angle, setup.least_chip)
    stable = is_stable(
        np.maximum(passes.removed[0], 1e-6),
        slopes,
        MODAL / springs.side,
        d["damping"],
        force_factor=d["factor"],
        frequency=frequency,
        speed=setup.speed,
        rubbing=d["rubbing"],
    )
    return _Outcome(error, passes.left, passes.removed, passes.copied, 1 / springs.side, drop, stable, frequency,
                    loads.forces(passes.removed[0])[1] * d["factor"])


def _size_holds(setup: Setup, error: Any) -> Any:
    """True where the size lands in the band when the middle of the band is aimed at."""
    aim = np.median(error, axis=-1, keepdims=True) if setup.dial_out else 0.0
    return np.abs(error - aim) <= setup.tolerance / 2


@dataclass(frozen=True)
class Reason:
    """One thing that was checked: what, how it stands, and a sentence with its number."""

    what: str
    verdict: str
    chance: float


@dataclass(frozen=True)
class Change:
    """One thing to change, what it would be, and where the error and the odds would then stand."""

    what: str
    error: float    # likely size of the diameter's error, mm
    chance: float


@dataclass(frozen=True)
class StickoutCheck:
    """The answer: verdict on the whole range, its reasons, and the numbers behind it. mm, N, Hz."""

    verdict: str
    chance: float              # that size holds and nothing chatters
    setup: Setup
    reasons: tuple[Reason, ...]
    error: Likely              # of the diameter; below nought is small
    after_dialling: float      # half width of the likely range once the middle is dialled out
    left: tuple[Likely, ...]   # on diameter, after each pass
    copied: Likely             # share of an uneven stock that is still there
    taper: Likely              # what is left of the stock's taper or unevenness, on diameter
    drop: Likely               # of the tip on the last pass
    stiffness: Likely          # at the tip, N/mm
    thrust: Likely             # first pass, N
    frequency: Likely
    chatter_limit: Likely      # depth of cut at which it begins, mm
    rubs: float                # odds that the last pass rubs instead of cutting
    gap: float                 # on the far side of the bar, mm
    roomy: bool                # room for chips
    longest: float             # stickout that still holds, mm; nan where none does
    stickouts: np.ndarray      # for the picture
    error_low: np.ndarray
    error_middle: np.ndarray
    error_high: np.ndarray
    as_it_is: Change           # on the samples that the changes were tried on
    changes: tuple[Change, ...]   # those that help, the most helpful first


SWEEP, QUICK = 20, 120   # stickouts in the picture, and samples where many setups are tried


def check_stickout(stickout: float = 40.0, bar_diameter: float = 8.0, bore: float = 12.0, tolerance: float = 0.018, *,
                   count: int = POINTS, **more: Any) -> StickoutCheck:
    """May a bar of this diameter stick out this far for this bore and tolerance?

    mm; `more` are the other fields of Setup. The verdict is taken over `count` samples of what is not known: it
    holds nine times in ten or better, is at the edge, or will not hold. Raises Refused for what cannot be.
    """
    known = Setup.__dataclass_fields__
    for name in more:
        if name not in known:
            raise Refused(f"A boring job has no “{name}”; it has {', '.join(known)}.")
    setup = Setup(stickout=stickout, bar_diameter=bar_diameter, bore=bore, tolerance=tolerance, **more).checked()
    out = _outcome(setup, count)
    size, stable = _size_holds(setup, out.error), np.asarray(out.stable)
    gap = setup.bore - setup.offset - setup.bar_diameter / 2
    goes_in = gap >= tables.fact("bar_rules", name="least gap").low
    roomy = setup.bar_diameter <= tables.fact("bar_rules", name="largest bar").value * setup.bore
    chance = odds(size & stable) if goes_in else 0.0
    reasons = (Reason("size", verdict(odds(size)), odds(size)), Reason("chatter", verdict(odds(stable)), odds(stable)),
               Reason("room", HOLDS if goes_in and roomy else EDGE if goes_in else FAILS, 1.0 if goes_in else 0.0))
    lengths, low, middle, high, longest = _sweep(setup)
    few = slice(None, None, max(1, count // 100))
    d = _draws(_key(setup), count)
    material = cutting.kienzle(setup.material)
    limit = chatter_depth(
        setup.feed,
        setup.nose_radius,
        MODAL * np.asarray(out.stiffness)[few],
        d["damping"][few],
        material.kn,
        material.mn,
        entering_angle=setup.entering_angle,
        force_factor=d["factor"][few],
        frequency=np.broadcast_to(out.frequency, d["factor"].shape)[few],
        speed=setup.speed,
        rubbing=d["rubbing"][few],
        least_chip=setup.least_chip,
    )
    error = likely(out.error)
    as_it_is, changes = what_helps(setup)
    return StickoutCheck(
        verdict=verdict(chance), chance=chance, setup=setup, reasons=reasons, error=error,
        after_dialling=max(error.high - error.value, error.value - error.low),
        left=tuple(likely(2 * one) for one in out.left), copied=likely(out.copied[-1]),
        taper=likely(out.copied[-1] * setup.uneven), drop=likely(out.drop), stiffness=likely(out.stiffness),
        thrust=likely(out.thrust), frequency=likely(out.frequency), chatter_limit=likely(limit),
        rubs=odds(out.removed[-1] == 0), gap=gap, roomy=roomy, longest=longest, stickouts=lengths, error_low=low,
        error_middle=middle, error_high=high, as_it_is=as_it_is, changes=changes)


def _sweep(setup: Setup) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray, float]:
    """Error against stickout, and the longest stickout at which nine in ten hold."""
    lengths = np.geomspace(max(1.2 * setup.bar_diameter, 5.0), max(9 * setup.bar_diameter, 1.3 * setup.stickout), SWEEP)
    out = _outcome(setup, QUICK, stickout=lengths[:, None])
    fine = (_size_holds(setup, out.error) & out.stable).mean(-1) - 0.9
    low, middle, high = np.percentile(out.error, (5, 50, 95), axis=-1)
    return lengths, low, middle, high, _last_good(lengths, fine)


def _last_good(values: np.ndarray, margin: np.ndarray) -> float:
    """The last place where margin is nought or more, carried on by a straight line to where it ends; nan if nowhere.

    A short stretch before it may fail: a spring pass that is too thin to cut leaves more than one that cuts.
    """
    good = np.flatnonzero(margin >= 0)
    if not len(good):
        return float("nan")
    i = good[-1]
    if i == len(values) - 1:
        return float(values[-1])
    share = margin[i] / (margin[i] - margin[i + 1])
    return float(values[i] + share * (values[i + 1] - values[i]))


def longest_stickout(setup: Setup) -> float:
    """The longest stickout, mm, at which the job still holds nine times in ten; nan where none does."""
    return _sweep(setup.checked())[-1]


def slimmest_bar(setup: Setup) -> float:
    """The smallest bar diameter, mm, with which the job still holds nine times in ten; nan where none that goes in
    does.
    """
    setup = setup.checked()
    bars = np.linspace(0.9 * setup.bore, 0.2 * setup.bore, 24)
    bars = bars[setup.bore - 1.1 * bars >= tables.fact("bar_rules", name="least gap").low]
    out = _outcome(replace(setup, tip_offset=None), QUICK, bar_diameter=bars[:, None])
    return _last_good(bars, (_size_holds(setup, out.error) & out.stable).mean(-1) - 0.9)


def cuts_that_hold(setup: Setup) -> tuple[tuple[float, float], ...]:
    """Every stretch of infeeds, from and to, mm on radius, in which the job holds nine times in ten; the lightest
    first.

    Tried from 0.01 mm to 1.5 mm or two fifths of the bore. There may be more than one: a cut too thin for its spring
    pass
    leaves more than a thicker one, and with a cut deeper than the nose the feed force begins to pull the tip back to
    the wall.
    """
    setup = setup.checked()
    depths = np.unique(np.append(np.geomspace(0.01, min(1.5, 0.4 * setup.bore), 16), setup.infeed))
    out = _outcome(setup, QUICK, infeed=depths[:, None])
    margin = (_size_holds(setup, out.error) & out.stable).mean(-1) - 0.9
    good = np.concatenate([[False], margin >= 0, [False]])
    starts, ends = np.flatnonzero(good[1:] & ~good[:-1]), np.flatnonzero(good[:-1] & ~good[1:]) - 1

    def crossing(inside: int, outside: int) -> float:
        """Where a straight line between two tried infeeds crosses nine in ten; the first and last tried are ends
        themselves.
        """
        if not 0 <= outside < len(depths):
            return float(depths[inside])
        share = margin[inside] / (margin[inside] - margin[outside])
        return float(depths[inside] + share * (depths[outside] - depths[inside]))

    return tuple((crossing(i, i - 1), crossing(k, k + 1)) for i, k in zip(starts.tolist(), ends.tolist(), strict=True))


def deepest_cut(setup: Setup) -> float:
    """How deep the infeed may be, mm on radius, so that the job holds nine times in ten; nan where none that light
    does.

    If the infeed set holds: how far it may grow before one fails. If it fails: the deepest lighter one that holds. A
    still
    deeper cut beyond a stretch that fails is no answer, for nobody gets there without luck; `cuts_that_hold` has them
    all.
    """
    stretches = [(low, high) for low, high in cuts_that_hold(setup) if low <= setup.infeed]
    return stretches[-1][1] if stretches else float("nan")


def what_helps(setup: Setup) -> tuple[Change, tuple[Change, ...]]:
    """The setup as it is, and the single changes that help it, most helpful first, all tried on the same samples."""
    setup = setup.checked()
    tries: list[tuple[str, Setup]] = []
    shorter = round(0.8 * setup.stickout, 1)
    tries.append(
        (
            f"let the bar out less: {shorter:g} mm",
            replace(setup, stickout=shorter, neck_length=min(setup.neck_length, shorter)),
        )
    )
    thicker = min(
        round(1.25 * setup.bar_diameter, 1), round(tables.fact("bar_rules", name="largest bar").value * setup.bore, 1)
    )
    if thicker > setup.bar_diameter:
        offset = None if setup.tip_offset is None else setup.tip_offset + 0.5 * (thicker - setup.bar_diameter)
        tries.append((f"take a thicker bar: {thicker:g} mm", replace(setup, bar_diameter=thicker, tip_offset=offset)))
    if setup.neck_length:
        tries.append(("take a bar without the neck", replace(setup, neck_length=0.0)))
    if setup.bar_material != "cemented carbide":
        tries.append(("take a carbide bar", replace(setup, bar_material="cemented carbide")))
    if setup.measured_stiffness is None and setup.holder != "split sleeve in a solid block":
        tries.append(
            ("hold it in a split sleeve in a solid block", replace(setup, holder="split sleeve in a solid block"))
        )
    if setup.nose_radius > 0.1:
        nose = max(round(setup.nose_radius / 2, 2), 0.1)
        if setup.feed < 2 * nose:
            tries.append((f"take a smaller nose: {nose:g} mm", replace(setup, nose_radius=nose)))
    lighter = round(setup.infeed / 2, 3)
    if lighter > 0:
        tries.append((f"take a lighter last cut: {lighter:g} mm on radius", replace(setup, infeed=lighter)))
    tries.append(("make one more spring pass", replace(setup, passes=setup.passes + 1)))
    tries = [("as it is", setup), *tries]
    tried = [Change(words, float(np.median(np.abs(error))), odds(_size_holds(one, error) & stable))
             for (words, one), (error, stable) in zip(tries, _many([one for _, one in tries], QUICK), strict=True)]
    now = tried[0]
    better = [change for change in tried[1:] if change.chance > now.chance + 0.01
              or (change.chance >= now.chance - 0.01 and change.error < 0.95 * now.error)]
    return now, tuple(sorted(better, key=lambda change: (-round(change.chance, 1), change.error)))
