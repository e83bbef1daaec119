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

from ..core import tables
from ..core.quantity import Numbers, Refused, positive
from ..core.spread import EDGE, FAILS, HOLDS, POINTS, Likely, likely, odds
from ..cutting import forces
from . import bending, vibration
from .bore_room import BoreRoom, bore_room
from .holder import softer_than_known
from .samples import HALF, Outcome, _bar_facts, _chance, _drawn, _outcome, _rule, _some, _tabulated
from .setup import Setup

DEEP, RUBS, SHUT = "deep cut", "nothing cut", "does not go in"  # why a job is not judged
SIZE, CHATTER, SLENDER, CUTS, ROOM = "size", "chatter", "slenderness", "cuts", "room"
FREE, SET, BOUGHT = "free", "set differently", "bought"
LINED = 3.0  # mm that a bar reaches past the bore's end, to its holder
SHORTEST, FARTHEST = 0.5, 12.0  # bar diameters between which the longest stickout is looked for
ENOUGH = 0.9  # share of samples
CURVE = 60  # stickouts of the curve


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
    cuts: bool  # False where the pass removes nothing
    holder_share: float  # of the compliance at the tip
    gap: float  # on the far side of the bar, mm
    roomy: bool  # room for chips
    reaches: bool  # the bar reaches the end of the bore, where its depth is said
    mouth: Likely | None = None  # larger than its bottom by the lathe's own taper; where its depth is said
    mouth_known: bool = False  # the taper was measured, not assumed

    @cached_property
    def after_dialling(self) -> float:
        """Half width of the 90 % range once the remainder is dialled in, mm."""
        dialled = self.setup.dial_out
        one = self.error if dialled else nearest(_outcome(replace(self.setup, dial_out=True), self.count).error)
        return max(-one.low, one.high)

    @cached_property
    def left(self) -> tuple[Likely, ...]:
        """On diameter, after each pass at one setting, before any dialling, mm."""
        cut = _tabulated(self.setup)
        return tuple(likely(2 * one) for one in np.exp(cut.at(cut.left, self._seen.log_c)[:, 0]))

    @cached_property
    def _share(self) -> np.ndarray:
        """Of each pass's chip, what is thick enough to be cut, in each sample."""
        cut = _tabulated(self.setup)
        return np.asarray(cut.at(cut.share, self._seen.log_c)[:, 0])

    @property
    def passes_cut(self) -> tuple[bool, ...]:
        """False for each pass at one setting that removes nothing."""
        return tuple(bool((one > HALF).mean() >= HALF) for one in self._share)

    @property
    def rubs(self) -> float:
        """Chance that the last pass rubs instead of cutting."""
        return odds(self._share[-1] <= HALF)

    @cached_property
    def _copied(self) -> np.ndarray:
        cut = _tabulated(self.setup)
        return _flat(cut.at(cut.kept[-1], self._seen.log_c))

    @property
    def copied(self) -> Likely:
        """Share of an uneven stock that is still there."""
        return likely(self._copied)

    @property
    def taper(self) -> Likely:
        """What is left of the stock's taper or unevenness, on diameter, mm."""
        return likely(self._copied * self.setup.uneven)

    @cached_property
    def _push(self) -> tuple[np.ndarray, np.ndarray]:
        """Thrust of the first pass, N, and how far the tip drops under it, mm, in each sample."""
        s, out, d, cut = self.setup, self._seen, _drawn(self.setup, self.count), _tabulated(self.setup)
        loads = bending.cut_loads(forces.kienzle(s.material), s.feed, s.nose_radius, s.entering_angle, s.infeed, 110)
        main, thrust, _ = loads.forces(np.maximum(cut.at(cut.removed[0], out.log_c), 1e-6))
        drop = main * d["factor"] / d["thrust"] * (out.springs + s.offset**2 * out.twist)
        return _flat(thrust * d["factor"]), _flat(drop)

    @property
    def thrust(self) -> Likely:
        """Of the first pass, N."""
        return likely(self._push[0])

    @property
    def drop(self) -> Likely:
        """Of the tip on the first pass, mm."""
        return likely(self._push[1])

    @property
    def stiffness(self) -> Likely:
        """At the tip, N/mm."""
        return likely(_flat(1 / self._seen.springs))

    @property
    def frequency(self) -> Likely:
        """Natural frequency of the bar in its holder, Hz."""
        return likely(_flat(self._seen.frequency))

    @property
    def _seen(self) -> Outcome:
        return _samples(self.setup, self.count)

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
        modulus = _bar_facts(s.bar_material)[2]
        return softer_than_known(s.measured_stiffness[0], rotation, s.bar_diameter, s.stickout, modulus)

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

    @property
    def _curve(self) -> tuple[np.ndarray, np.ndarray]:
        d, longest = self.setup.bar_diameter, 0.0 if np.isnan(self.longest) else self.longest
        end = max(1.6 * self.setup.stickout, 1.4 * longest, 4 * d, 2 * max(d, 2.0))
        return _curve(_anywhere(self.setup), self.count, 2 * d * float(np.ceil(end / (2 * d) - 1e-9)))

    @property
    def stickouts(self) -> np.ndarray:
        """Stickouts of the curve, mm; its end goes in steps of two diameters, so that the axis stands still."""
        return self._curve[0]

    @property
    def chances(self) -> np.ndarray:
        """Chance at each stickout of the curve."""
        return self._curve[1]

    @cached_property
    def _band(self) -> tuple[np.ndarray, ...]:
        out = _outcome(self.setup, self.count, stickout=self.stickouts, pick=_coarse(self.count))
        reach = np.percentile(np.abs(out.error), 90, axis=-1)
        middle = np.median(out.error, axis=-1)
        return -reach, middle, reach if self.setup.dial_out else np.percentile(out.error, 95, axis=-1)

    @property
    def error_low(self) -> np.ndarray:
        return self._band[0]

    @property
    def error_middle(self) -> np.ndarray:
        return self._band[1]

    @property
    def error_high(self) -> np.ndarray:
        return self._band[2]

    @cached_property
    def changes(self) -> tuple[Change, ...]:
        """Single changes that help: they bring it to the edge at least, and the size no further off where that is what
        fails. The surest first; each, when made, has just the chance it says."""
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


@lru_cache(maxsize=16)
def _samples(s: Setup, count: int) -> Outcome:
    return _outcome(s, count)


def _judged(s: Setup, count: int) -> tuple[Outcome, str, float]:
    """Every sample's fate, why the job is not judged ("" where it is), and the chance that it holds."""
    out = _samples(s, count)
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
    goes_in = unjudged != SHUT
    roomy = s.bar_diameter <= _rule("largest bar").value * s.bore
    reasons = [Reason(what, _verdict(well), well) for what, well in ((SIZE, odds(out.size)), (CHATTER, odds(out.quiet)),
        (SLENDER, odds(out.slim)), (CUTS, odds(out.cuts)))]
    reasons.append(Reason(ROOM, HOLDS if goes_in and roomy else EDGE if goes_in else FAILS, 1.0 if goes_in else 0.0))
    return StickoutCheck(verdict="" if unjudged else _verdict(chance), chance=chance, unjudged=unjudged, setup=s,
        count=count, reasons=tuple(reasons), error=nearest(out.error), cuts=bool(out.cuts.mean() >= HALF),
        holder_share=float(np.median(out.holder)), gap=_gap(s), roomy=roomy,
        reaches=s.stickout >= s.depth + LINED if s.depth else True)


def _coarse(count: int) -> int:
    """Every so many samples are enough for a curve."""
    return max(1, count // 400)


@lru_cache(maxsize=128)
def _curve(s: Setup, count: int, end: float) -> tuple[np.ndarray, np.ndarray]:
    """Stickouts and the chance at each, from one diameter to an end; they stand closer where the chance falls."""
    rough = np.linspace(max(s.bar_diameter, 2.0), end, CURVE // 3)
    falls = np.abs(np.diff(_chance(s, count, stickout=rough, pick=4 * _coarse(count))))
    along = np.concatenate([[0.0], np.cumsum(falls + 1 / falls.size)])
    lengths = np.interp(np.linspace(0, along[-1], CURVE), along, rough)
    return lengths, _chance(s, count, stickout=lengths, pick=_coarse(count))


# ---- turned round ----------------------------------------------------------------------------------------


def _last_good(fate: Any, values: np.ndarray, count: int, *, steps: int = 6) -> float:
    """The last of rising values up to which all hold, found between two of them by halving; nan where the first fails.

    fate(values, pick) says of every value which of the picked samples are well. No sample recovers from one value to
    the next, so a coarse look shows where to search, and between two values only those count that fail there.
    """
    rough = fate(values, max(1, count // 200)).mean(-1) >= ENOUGH
    i = int(np.argmin(rough)) if not rough.all() else len(values) - 1
    well = fate(values[i:i + 1], 1)[0]
    while i > 0 and well.mean() < ENOUGH:
        i -= 1
        well = fate(values[i:i + 1], 1)[0]
    if well.mean() < ENOUGH:
        return float("nan")
    while i + 1 < len(values):
        beyond = fate(values[i + 1:i + 2], 1)[0]
        if beyond.mean() < ENOUGH:
            break
        i, well = i + 1, beyond
    else:
        return float(values[-1])
    low, high = float(values[i]), float(values[i + 1])
    sure, between = int(beyond.sum()), np.flatnonzero(well & ~beyond)
    for _ in range(steps):
        middle = (low + high) / 2
        still = fate(np.array([middle]), between)[0]
        if sure + int(still.sum()) >= ENOUGH * well.size:
            low, between = middle, between[still]
        else:
            high, sure, between = middle, sure + int(still.sum()), between[~still]
    return low


@lru_cache(maxsize=512)
def _longest_of(s: Setup, count: int) -> float:
    reach = max(SHORTEST * s.bar_diameter, s.neck_length)
    values = np.geomspace(reach, max(FARTHEST * s.bar_diameter, 1.001 * reach), 24)
    return _last_good(lambda v, pick: _outcome(s, count, stickout=v, pick=pick).good, values, count)


def _longest(s: Setup, count: int) -> float:
    """Longest stickout of a job; the one it has now does not matter for it."""
    return _longest_of(_anywhere(s), count)


def _anywhere(s: Setup) -> Setup:
    """The same job at a stickout that stands for all, where it does not matter."""
    standing = s.stickout if s.measured_frequency is not None or s.neck_length else s.bar_diameter
    return replace(s, stickout=standing, depth=0.0, blind=False)


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
    return _chance(s, POINTS, stickout=lengths.ravel(), pick=8).reshape(lengths.shape)


def slimmest_bar(setup: Setup) -> float:
    """The smallest bar diameter, mm, with which the job still holds; nan where none that goes in does."""
    s = replace(setup.checked(), tip_offset=None)
    thickest = min((s.bore - _rule("least gap").low) / 1.1, 0.9 * s.bore)
    if s.infeed > s.nose_radius or thickest <= 0.2 * s.bore:
        return float("nan")
    bars = np.linspace(thickest, 0.2 * s.bore, 24)
    return _last_good(lambda v, pick: _outcome(s, POINTS, bar_diameter=v, pick=pick).good, bars, POINTS)


def cuts_that_hold(setup: Setup) -> tuple[tuple[float, float], ...]:
    """Every stretch of infeeds, from and to, mm on radius, in which the job holds; the lightest first.

    Tried from 0.005 mm to the nose radius, beyond which the job is not judged. Too light a cut only rubs, too deep a
    one deflects the bar too far or chatters, so there is one stretch, or none.
    """
    s = setup.checked()
    deepest = min(s.nose_radius, 0.49 * s.bore)
    depths = np.geomspace(min(0.005, 0.1 * deepest), deepest, 10)
    margin = np.array([_chance(replace(s, infeed=float(a)), POINTS, pick=8)[0] for a in depths]) - ENOUGH
    good = np.concatenate([[False], margin >= 0, [False]])
    starts, ends = np.flatnonzero(good[1:] & ~good[:-1]), np.flatnonzero(good[:-1] & ~good[1:]) - 1

    def crossing(inside: int, outside: int) -> float:
        """Where it ceases to hold between two tried infeeds, by halving; the first and last are ends themselves."""
        if not 0 <= outside < len(depths):
            return float(depths[inside])
        good, bad = float(depths[inside]), float(depths[outside])
        for _ in range(4):
            middle = float(np.sqrt(good * bad))
            holds = _chance(replace(s, infeed=middle), POINTS, pick=2)[0] >= ENOUGH
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
    out, d = _outcome(s, count, pick=few), _some(s, count, few)
    depths = np.geomspace(2e-3, s.nose_radius, 60 if speeds.size == 1 else 18)
    k = forces.kienzle(s.material)
    stiff = forces.cutting_stiffness(depths, s.feed, s.nose_radius, s.entering_angle, k.kn, k.mn)
    whole, contact, overlap = (np.asarray(v)[:, None] for v in (stiff.whole, stiff.contact, stiff.overlap))
    rubbing = d["rubbing"] * _tabulated(s).hardness * flank
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
            wanted.insert(0, longest)
        # in steps that can be set and are printed as they are; downwards, so that what holds is not passed
        wanted = [float(np.floor(2 * v) / 2 if v < 100 else np.floor(v)) for v in wanted]
        tries += [("stickout", v, FREE) for v in wanted if shortest <= v < s.stickout - 0.05]
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
    roomy = _rule("largest bar").value * s.bore
    sold = [v for v in map(float, tables.names("bar_shanks", "shank")) if v <= roomy]
    if unjudged == SHUT:
        tries += [("bar_diameter", v, BOUGHT) for v in sold[-1:] if v < s.bar_diameter]
    else:
        thicker = [v for v in sold if v > s.bar_diameter]
        tries += [("bar_diameter", v, BOUGHT) for v in dict.fromkeys(thicker[:1] + thicker[-1:])]
    return tries


def changed(s: Setup, kind: str, value: Any) -> Setup:
    """A job with one thing changed; another bar has its tip as many diameters off its axis."""
    if kind == "bar_diameter" and s.tip_offset is not None:
        return replace(s, bar_diameter=value, tip_offset=s.tip_offset * value / s.bar_diameter)
    return replace(s, **{kind: value})


@lru_cache(maxsize=256)
def _changes(
    s: Setup, count: int, unjudged: str, chance: float, longest: float, passes_cut: tuple[bool, ...]
) -> tuple[Change, ...]:
    now, best = nearest(_samples(s, count).error), dict[str, Change]()
    by_size = not unjudged and float(_samples(s, count).size.mean()) < ENOUGH
    for kind, value, effort in _tries(s, unjudged, longest, passes_cut):
        if kind in best and best[kind].chance >= ENOUGH:
            continue  # a milder one of the kind is enough
        try:
            out, why, then = _judged(changed(s, kind, value).checked(), count)
        except Refused:
            continue
        if why or then < max(chance + 0.02, HALF) or (kind in best and then <= best[kind].chance):
            continue  # what leaves it failing is no help
        error = nearest(out.error)
        if not by_size or max(-error.low, error.high) < max(-now.low, now.high):
            best[kind] = Change(kind, value, then, effort, max(-error.low, error.high))
    cheap = {FREE: 0, SET: 1, BOUGHT: 2}
    return tuple(sorted(best.values(), key=lambda change: (-change.chance, cheap[change.effort])))
