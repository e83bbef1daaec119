"""May this bar stick out this far? The judgement made of bending, spring passes and chatter.

Everything that is not known (force, holder, damping, edge) is sampled once; each sample is a lathe that might be
yours. In each the size is held or not, the cut is quiet or not, the edge cuts or only rubs. The chance is the share
of lathes where all three are well. All three get worse with every millimetre of stickout in every single sample, so a
shorter bar is never judged worse than a longer one, and the longest stickout that holds has no gaps below it.

Two ways to size are judged. "Measure, then dial in the remainder" is the usual one: two like cuts with a reading
between them, so that the bar's deflection repeats and only what differs from cut to cut is left. "Straight to size"
takes what the passes at one setting leave. There a spring pass that cuts is not held in a softer bar's favour where
the same pass would only rub with a stiffer one: left is the running maximum over all stiffer bars.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from functools import cached_property, lru_cache
from typing import Any

import numpy as np

from ..core.quantity import Numbers, Refused, positive
from ..core.spread import EDGE, FAILS, HOLDS, POINTS, Likely, likely, odds
from ..cutting import forces
from . import bending, vibration
from .bore_room import BoreRoom, bore_room
from .holder import softer_than_known
from .samples import HALF, Outcome, _chance, _drawn, _fact, _outcome, _rule, _tabulated
from .setup import Setup

DEEP, RUBS, SHUT = "deep cut", "nothing cut", "does not go in"  # why a job is not judged
SIZE, CHATTER, SLENDER, CUTS, ROOM = "size", "chatter", "slenderness", "cuts", "room"
FREE, SET, BOUGHT = "free", "set differently", "bought"
LINED = 3.0  # mm that a bar reaches past the bore's end, to its holder
SHORTEST, FARTHEST = 0.5, 12.0  # bar diameters between which the longest stickout is looked for
ENOUGH = 0.9  # share of samples
CURVE, COARSE = 60, 10  # stickouts of the curve; every so many samples are enough for it


# ---- the answer ------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Reason:
    """One thing that was checked, how it stands, and in what share of the samples it is well."""

    what: str
    verdict: str
    chance: float


@dataclass(frozen=True)
class Change:
    """One thing to change: the field of Setup, its new value, the chance it then has, and what it costs."""

    kind: str
    value: Any
    chance: float
    effort: str  # FREE, SET or BOUGHT
    error: float  # half width of the 90 % range of the finished diameter, mm


def nearest(errors: Any) -> Likely:
    """Median of errors and the range of those nine in ten that lie nearest to zero, mm.

    This range lies inside ±T/2 exactly when nine samples in ten do, so a verdict and its range never disagree.
    """
    e = np.ravel(np.asarray(errors, float))
    size = np.abs(e)
    reach = np.partition(size, int(np.ceil(ENOUGH * e.size)) - 1)[int(np.ceil(ENOUGH * e.size)) - 1]
    kept = e[size <= reach]
    return Likely(float(np.median(e)), float(kept.min()), float(kept.max()))


@dataclass(frozen=True)
class StickoutCheck:
    """The answer: verdict on the whole range, its reasons, and the numbers behind it. mm, N, Hz.

    What is looked at last (curve, longest stickout, changes, chatter's limit) is worked out when it is asked for.
    """

    verdict: str  # "" where the job is not judged: see `unjudged`
    chance: float  # that size holds, nothing chatters, and the edge cuts; zero where not judged
    unjudged: str  # DEEP, RUBS, SHUT, or "" where it is judged
    setup: Setup
    count: int
    reasons: tuple[Reason, ...]
    error: Likely  # of the finished diameter by the way chosen; below zero is small
    after_dialling: float  # half width of the 90 % range once the remainder is dialled in
    left: tuple[Likely, ...]  # on diameter, after each pass at one setting, before any dialling
    cuts: bool  # False where the pass removes nothing
    passes_cut: tuple[bool, ...]  # the same for each pass at one setting
    copied: Likely  # share of an uneven stock that is still there
    taper: Likely  # what is left of the stock's taper or unevenness, on diameter
    drop: Likely  # of the tip on the first pass
    stiffness: Likely  # at the tip, N/mm
    thrust: Likely  # first pass, N
    frequency: Likely
    holder_share: float  # of the compliance at the tip
    rubs: float  # chance that the last pass rubs instead of cutting
    gap: float  # on the far side of the bar, mm
    roomy: bool  # room for chips
    reaches: bool  # the bar reaches the end of the bore, where its depth is said
    mouth: Likely | None = None  # larger than its bottom by the lathe's own taper; where its depth is said
    mouth_known: bool = False  # the taper was measured, not assumed

    @property
    def spindle(self) -> float:
        """rpm at the bore."""
        return 1000 * self.setup.speed / (np.pi * self.setup.bore)

    @property
    def softer(self) -> float:
        """Compliance of the measured holder over that of the table's softest; 1 where the table itself is used."""
        s = self.setup
        if s.measured_stiffness is None:
            return 1.0
        rotation = s.measured_rotation[0] if s.measured_rotation else None
        return softer_than_known(s.measured_stiffness[0], rotation, s.bar_diameter, s.stickout, _fact(s, "E"))

    @cached_property
    def room(self) -> BoreRoom:
        """Bar, tip, heel and chips in the bore, across the axis."""
        s = self.setup
        return bore_room(s.bore, s.bar_diameter, s.offset, s.tip_height, s.clearance, s.infeed, s.depth)

    @cached_property
    def longest(self) -> float:
        """Longest stickout, mm, up to which every shorter one holds; nan where none does or none is judged."""
        return float("nan") if self.unjudged in (DEEP, SHUT) else _longest(self.setup, self.count)

    @property
    def open_end(self) -> bool:
        """True where even the longest stickout that was tried holds."""
        return self.longest >= 0.999 * FARTHEST * self.setup.bar_diameter

    @cached_property
    def limited_by(self) -> str:
        """What ends the longest stickout: SIZE, CHATTER, SLENDER or CUTS; "" where nothing holds or nothing ends it."""
        if np.isnan(self.longest) or self.open_end:
            return ""
        out = _outcome(self.setup, self.count, stickout=1.04 * self.longest)
        return min((float(getattr(out, name).mean()), what) for name,
            what in (("size", SIZE), ("quiet", CHATTER), ("slim", SLENDER), ("cuts", CUTS)))[1]

    @cached_property
    def _curve(self) -> tuple[np.ndarray, ...]:
        s = self.setup
        longest = 0.0 if np.isnan(self.longest) else self.longest
        lengths = np.linspace(max(s.bar_diameter, 2.0), max(1.6 * s.stickout, 1.4 * longest, 4 * s.bar_diameter), CURVE)
        out = _outcome(s, self.count, stickout=lengths, few=max(1, self.count // 400))
        reach = np.percentile(np.abs(out.error), 90, axis=-1)
        middle = np.median(out.error, axis=-1)
        low, high = (-reach, reach) if s.dial_out else (-reach, np.percentile(out.error, 95, axis=-1))
        return lengths, low, middle, high, out.good.mean(-1)

    @property
    def stickouts(self) -> np.ndarray:
        """Stickouts of the curve, mm."""
        return self._curve[0]

    @property
    def error_low(self) -> np.ndarray:
        return self._curve[1]

    @property
    def error_middle(self) -> np.ndarray:
        return self._curve[2]

    @property
    def error_high(self) -> np.ndarray:
        return self._curve[3]

    @property
    def chances(self) -> np.ndarray:
        """Chance at each stickout of the curve."""
        return self._curve[4]

    @cached_property
    def changes(self) -> tuple[Change, ...]:
        """Single changes that help, the surest first; each, when made, has just the chance it says."""
        return _changes(self.setup, self.count, self.unjudged, self.chance, self.longest, self.passes_cut)

    @cached_property
    def chatter_limit(self) -> Likely:
        """Depth of cut on radius at which chatter begins, mm; infinite where it does not up to the nose radius."""
        return _chatter_limit(self.setup, self.count)


def check_stickout(stickout: float = 40.0, bar_diameter: float = 8.0, bore: float = 12.0, tolerance: float = 0.018, *,
        count: int = POINTS, **more: Any) -> StickoutCheck:
    """May a bar of this diameter stick out this far for this bore and tolerance?

    mm; `more` are the other fields of Setup. The verdict is taken over `count` samples of what is not known: it
    holds from a chance of 90 %, is at the edge from 50 %, else it will not hold. No verdict where nothing is cut, the
    bar does not go in, or the cut is deeper than the nose radius, beyond which one radial spring cannot vouch for it.
    Raises Refused for what cannot be.
    """
    known = [field.name for field in fields(Setup)]
    for name in more:
        if name not in known:
            raise Refused(f"A boring job has no “{name}”; it has {', '.join(known)}.")
    return _check(Setup(stickout=stickout, bar_diameter=bar_diameter, bore=bore, tolerance=tolerance, **more).checked(),
        count)


def _verdict(chance: float) -> str:
    """It holds from 90 %, is at the edge from 50 %, else it will not hold."""
    return HOLDS if chance >= ENOUGH else EDGE if chance >= HALF else FAILS


def _flat(values: Any) -> np.ndarray:
    return np.ravel(np.asarray(values, float))


def _gap(s: Setup) -> float:
    """Room between the bar's back and the far wall, mm."""
    return 2 * float(np.sqrt((s.bore / 2) ** 2 - s.tip_height**2)) - s.offset - s.bar_diameter / 2


def _judged(s: Setup, count: int) -> tuple[Outcome, str, float]:
    """Every sample's fate, why the job is not judged ("" where it is), and the chance that it holds."""
    out = _outcome(s, count)
    unjudged = ""
    if _gap(s) < _rule("least gap").low:
        unjudged = SHUT
    elif out.cuts.mean() < HALF:
        unjudged = RUBS
    elif s.infeed > s.nose_radius * (1 + 1e-9):
        unjudged = DEEP
    return out, unjudged, 0.0 if unjudged else odds(out.good)


def _check(s: Setup, count: int) -> StickoutCheck:
    out, unjudged, chance = _judged(s, count)
    cut, d = _tabulated(s, int(s.passes)), _drawn(s, count)
    share, left = cut.at(cut.share, out.log_c)[:, 0], np.exp(cut.at(cut.left, out.log_c)[:, 0])
    cuts = tuple(bool((one > HALF).mean() >= HALF) for one in share)
    goes_in = unjudged != SHUT
    roomy = s.bar_diameter <= _rule("largest bar").value * s.bore
    reasons = [Reason(what, _verdict(odds(ok)), odds(ok)) for what,
        ok in ((SIZE, out.size), (CHATTER, out.quiet), (SLENDER, out.slim), (CUTS, out.cuts))]
    reasons.append(Reason(ROOM, HOLDS if goes_in and roomy else EDGE if goes_in else FAILS, 1.0 if goes_in else 0.0))
    error = nearest(out.error)
    if s.dial_out:
        dialled = max(-error.low, error.high)
    else:
        dialled = max(
            abs(v) for v in (lambda e: (e.low, e.high))(nearest(_outcome(replace(s, dial_out=True), count).error)))
    copied = cut.at(cut.kept[-1], out.log_c)
    first = cut.at(cut.removed[0], out.log_c)
    loads = bending.cut_loads(forces.kienzle(s.material), s.feed, s.nose_radius, s.entering_angle, s.infeed, 110)
    main, thrust, _ = loads.forces(np.maximum(first, 1e-6))
    drop = main * d["factor"] / d["thrust"] * (out.springs + s.offset**2 * out.twist)
    return StickoutCheck(verdict="" if unjudged else _verdict(chance), chance=chance, unjudged=unjudged, setup=s,
        count=count, reasons=tuple(reasons), error=error, after_dialling=dialled,
        left=tuple(likely(2 * one) for one in left), cuts=bool(out.cuts.mean() >= HALF), passes_cut=cuts,
        copied=likely(_flat(copied)), taper=likely(_flat(copied * s.uneven)), drop=likely(_flat(drop)),
        stiffness=likely(_flat(1 / out.springs)), thrust=likely(_flat(thrust * d["factor"])),
        frequency=likely(_flat(out.frequency)), holder_share=float(np.median(out.holder)), rubs=odds(share[-1] <= HALF),
        gap=_gap(s), roomy=roomy, reaches=s.stickout >= s.depth + LINED if s.depth else True)


# ---- turned round ----------------------------------------------------------------------------------------


def _last_good(at: Any, values: np.ndarray, count: int, *, steps: int = 6) -> float:
    """The last of rising values up to which all hold, found between two of them by halving; nan where the first fails.

    at(values, few) gives the chances. They fall from value to value, so the coarse samples only say where to look.
    """

    def holds(value: float) -> bool:
        return bool(at(np.array([value]), 1)[0] >= ENOUGH)

    if not holds(values[0]):
        return float("nan")
    rough = at(values, max(1, count // 200)) >= ENOUGH
    i = int(np.argmin(rough)) if not rough.all() else len(values) - 1
    while i > 0 and not holds(values[i]):
        i -= 1
    while i + 1 < len(values) and holds(values[i + 1]):
        i += 1
    if i + 1 == len(values):
        return float(values[-1])
    low, high = float(values[i]), float(values[i + 1])
    for _ in range(steps):
        middle = (low + high) / 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low


@lru_cache(maxsize=512)
def _longest_of(s: Setup, count: int) -> float:
    reach = max(SHORTEST * s.bar_diameter, s.neck_length)
    values = np.geomspace(reach, max(FARTHEST * s.bar_diameter, 1.001 * reach), 24)
    return _last_good(lambda v, few: _chance(s, count, stickout=v, few=few), values, count)


def _longest(s: Setup, count: int) -> float:
    """Longest stickout of a job; the one it has now does not matter for it."""
    standing = s.stickout if s.measured_frequency is not None or s.neck_length else max(s.bar_diameter, s.neck_length)
    return _longest_of(replace(s, stickout=standing, depth=0.0, blind=False), count)


def longest_stickout(setup: Setup) -> float:
    """The longest stickout, mm, up to which every shorter one holds; nan where none does or none is judged."""
    s = setup.checked()
    return float("nan") if _never(s) else _longest(s, POINTS)


def _never(s: Setup) -> bool:
    """True for what is judged at no stickout: a bar that does not go in, a cut deeper than the nose radius."""
    return _gap(s) < _rule("least gap").low or s.infeed > s.nose_radius * (1 + 1e-9)


def chances(setup: Setup, stickouts: Numbers) -> np.ndarray:
    """Chance that a job holds at each of many stickouts, mm; zero where it is not judged. Raises Refused."""
    s = setup.checked()
    lengths = np.atleast_1d(np.asarray(positive(stickouts, "stickout"), float))
    if _never(s):
        return np.zeros(lengths.shape)
    return _chance(s, POINTS, stickout=lengths.ravel(), few=8).reshape(lengths.shape)


def slimmest_bar(setup: Setup) -> float:
    """The smallest bar diameter, mm, with which the job still holds; nan where none that goes in does."""
    s = replace(setup.checked(), tip_offset=None)
    thickest = min((s.bore - _rule("least gap").low) / 1.1, 0.9 * s.bore)
    if s.infeed > s.nose_radius or thickest <= 0.2 * s.bore:
        return float("nan")
    bars = np.linspace(thickest, 0.2 * s.bore, 24)
    return _last_good(lambda v, few: _chance(s, POINTS, bar_diameter=v, few=few), bars, POINTS)


def cuts_that_hold(setup: Setup) -> tuple[tuple[float, float], ...]:
    """Every stretch of infeeds, from and to, mm on radius, in which the job holds; the lightest first.

    Tried from 0.005 mm to the nose radius, beyond which the job is not judged. Too light a cut only rubs, too deep a
    one deflects the bar too far or chatters, so there is one stretch, or none.
    """
    s = setup.checked()
    deepest = min(s.nose_radius, 0.49 * s.bore)
    depths = np.geomspace(min(0.005, 0.1 * deepest), deepest, 10)
    margin = np.array([_chance(replace(s, infeed=float(a)), POINTS, few=8)[0] for a in depths]) - ENOUGH
    good = np.concatenate([[False], margin >= 0, [False]])
    starts, ends = np.flatnonzero(good[1:] & ~good[:-1]), np.flatnonzero(good[:-1] & ~good[1:]) - 1

    def crossing(inside: int, outside: int) -> float:
        """Where it ceases to hold between two tried infeeds, by halving; the first and last are ends themselves."""
        if not 0 <= outside < len(depths):
            return float(depths[inside])
        good, bad = float(depths[inside]), float(depths[outside])
        for _ in range(4):
            middle = float(np.sqrt(good * bad))
            holds = _chance(replace(s, infeed=middle), POINTS, few=2)[0] >= ENOUGH
            good, bad = (middle, bad) if holds else (good, middle)
        return good

    return tuple((crossing(i, i - 1), crossing(k, k + 1)) for i, k in zip(starts.tolist(), ends.tolist(), strict=True))


def deepest_cut(setup: Setup) -> float:
    """How deep the infeed may be, mm on radius, so that the job holds; nan where none does.

    Up to the nose radius: beyond it the job is not judged.
    """
    stretches = cuts_that_hold(setup)
    return stretches[-1][1] if stretches else float("nan")


def _chatter_limit(s: Setup, count: int) -> Likely:
    return likely(_limits(s, count, np.array([s.speed]))[0])


def _limits(s: Setup, count: int, speeds: np.ndarray, flank: bool = True) -> np.ndarray:
    """Depth at which chatter begins, mm: rows are speeds, columns samples; infinite where not up to the nose radius."""
    few = 2 if speeds.size == 1 else max(1, count // 80)  # many speeds make a curve, one a figure
    out = _outcome(s, count, few=few)
    d = {name: value[::few] if np.ndim(value) else value for name, value in _drawn(s, count).items()}
    depths = np.geomspace(2e-3, s.nose_radius, 60 if speeds.size == 1 else 18)
    k = forces.kienzle(s.material)
    stiff = forces.cutting_stiffness(depths, s.feed, s.nose_radius, s.entering_angle, k.kn, k.mn)
    whole, contact, overlap = (np.asarray(v)[:, None] for v in (stiff.whole, stiff.contact, stiff.overlap))
    rubbing = d["rubbing"] * _tabulated(s, 1).hardness * flank
    share = vibration.damping_on_short_waves(d["damping"], rubbing, d["land"], contact, 2 * np.pi * out.frequency,
        out.stiffness, speeds[:, None, None])
    excess = np.log(whole * d["grows"]) - np.log(
        vibration.limit_with_overlap(out.stiffness, share, np.maximum(overlap, 1e-3)))
    over = excess >= 0
    first = np.argmax(over, axis=1)
    before = np.maximum(first - 1, 0)
    low, high = (np.take_along_axis(excess, i[:, None], 1)[:, 0] for i in (before, first))
    part = np.clip(np.where(high > low, -low / np.where(high > low, high - low, 1.0), 0.0), 0, 1)
    grid = np.log(depths)
    return np.where(over.any(axis=1), np.exp(grid[before] + part * (grid[first] - grid[before])), np.inf)


def chatter_depths(setup: Setup, speeds: Numbers = 40.0, flank: bool = True) -> list[Likely]:
    """Depth of cut on radius, mm, at which chatter begins, with its range, at each cutting speed (m/min).

    Infinite where it does not begin up to the nose radius. flank: whether the flank's rubbing damps. Raises Refused.
    """
    at = np.atleast_1d(np.asarray(positive(speeds, "cutting speed", "m/min"), float))
    return [likely(row) for row in _limits(setup.checked(), POINTS, at.ravel(), bool(flank))]


# ---- what helps ----------------------------------------------------------------------------------------


def what_helps(setup: Setup) -> tuple[float, tuple[Change, ...]]:
    """The chance as it is, and the single changes that help, the surest first."""
    one = _check(setup.checked(), POINTS)
    return one.chance, one.changes


def _tries(s: Setup, unjudged: str, longest: float, passes_cut: tuple[bool, ...]) -> list[tuple[str, Any, str]]:
    """Single changes worth trying: (field, value, effort), the mildest of a kind first."""
    tries: list[tuple[str, Any, str]] = []
    if unjudged != SHUT:
        shortest = max(s.depth + LINED if s.depth else 0.0, s.neck_length, s.bar_diameter)
        wanted = [0.9 * s.stickout, 0.8 * s.stickout, 0.7 * s.stickout]
        if np.isfinite(longest):
            wanted.insert(0, np.floor(2 * longest) / 2)
        tries += [("stickout", round(float(v), 1), FREE) for v in wanted if shortest <= v < s.stickout - 0.05]
        if not s.dial_out:
            tries.append(("dial_out", True, FREE))
            if all(passes_cut):
                tries.append(("passes", int(s.passes) + 1, FREE))
        tries += [("speed", float(round(s.speed * v)), SET) for v in (0.8, 0.65, 0.5, 0.35) if s.speed * v >= 8]
        tries += [("infeed", round(s.infeed * v, 3), SET) for v in (0.7, 0.5, 0.35) if s.infeed * v >= 0.01]
        if unjudged == RUBS:
            tries += [("infeed", v, SET) for v in (0.02, 0.05, 0.1) if s.infeed < v <= s.nose_radius]
        if unjudged == DEEP:
            tries.insert(0, ("infeed", float(np.floor(s.nose_radius * 100) / 100), SET))
        tries += [
            ("feed", round(s.feed * v, 3), SET) for v in (0.7, 0.5, 1.4) if 0.02 <= s.feed * v <= 0.3 * s.nose_radius]
        if s.nose_radius > 0.1 and s.feed < s.nose_radius and s.infeed <= s.nose_radius / 2:
            tries.append(("nose_radius", max(round(s.nose_radius / 2, 2), 0.1), BOUGHT))
        if s.neck_length:
            tries.append(("neck_length", 0.0, BOUGHT))
        if s.bar_material != "cemented carbide":
            tries.append(("bar_material", "cemented carbide", BOUGHT))
        if s.measured_stiffness is None and s.holder != "split sleeve in a solid block":
            tries.append(("holder", "split sleeve in a solid block", BOUGHT))
    roomy = np.floor(2 * _rule("largest bar").value * s.bore) / 2
    sizes = {float(v) for v in (min(np.ceil(1.2 * s.bar_diameter), roomy), roomy)}
    tries += [("bar_diameter", v, BOUGHT) for v in sorted(sizes)
        if (v > s.bar_diameter and unjudged != SHUT) or (v < s.bar_diameter and unjudged == SHUT)]
    return tries


@lru_cache(maxsize=256)
def _changes(
    s: Setup, count: int, unjudged: str, chance: float, longest: float, passes_cut: tuple[bool, ...]
) -> tuple[Change, ...]:
    best: dict[str, Change] = {}
    for kind, value, effort in _tries(s, unjudged, longest, passes_cut):
        if kind in best and best[kind].chance >= ENOUGH:
            continue  # a milder one of the kind is enough
        try:
            out, why, then = _judged(replace(s, **{kind: value}).checked(), count)
        except Refused:
            continue
        if not why and then >= chance + 0.02 and (kind not in best or then > best[kind].chance):
            error = nearest(out.error)
            best[kind] = Change(kind, value, then, effort, max(-error.low, error.high))
    cheap = {FREE: 0, SET: 1, BOUGHT: 2}
    return tuple(sorted(best.values(), key=lambda change: (-change.chance, cheap[change.effort])))
