"""Threads: sizes and limits, metric and inch; the bore of a nut, the relief at a shoulder.

A 60° thread is a sharp triangle with its crest and root cut off; every basic size
follows from the diameter and the pitch. The limits do not: ISO 965-1 prints them in
tables, rounded to preferred numbers and smoothed, so the tables are kept in data/
and the formulas stand beside them as the why. Where the tables have no row (a fine
pitch on a large diameter) the formula answers, and the answer says so.
"""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Any, NamedTuple

import numpy as np

from ..core import tables
from ..core.formula import formula
from ..core.quantity import Refused, number, said
from .quantities import (
    BoreTolerance,
    CrestTolerance,
    EngagedLength,
    Engagement,
    InchDiameter,
    InchLength,
    InchPitch,
    InchTolerance,
    MinorDiameter,
    PitchDiameter,
    PitchTolerance,
    RootDiameter,
    StepMiddle,
    ThreadAllowance,
    ThreadHeight,
    ThreadMajor,
    ThreadPitch,
)

# ---- the profile, one formula at a time --------------------------------------------------------------


@formula(source="ISO 68-1, basic profile", holds="any 60° thread", basis="computed")
def thread_height(pitch: ThreadPitch) -> ThreadHeight:
    """Height of the sharp triangle."""
    return np.sqrt(3) / 2 * pitch


@formula(source="ISO 68-1 and ISO 724", holds="any thread of the ISO metric or unified form", basis="computed")
def basic_pitch_diameter(major: ThreadMajor, pitch: ThreadPitch) -> PitchDiameter:
    """Where thread and groove are equally wide: three eighths of the triangle in from the crest."""
    return major - 3 * thread_height(pitch) / 4


@formula(source="ISO 68-1 and ISO 724", holds="any thread of the ISO metric or unified form", basis="computed")
def basic_minor_diameter(major: ThreadMajor, pitch: ThreadPitch) -> MinorDiameter:
    """Minor diameter of the basic profile: the bore of a nut before threading."""
    return major - 5 * thread_height(pitch) / 4


@formula(source="ISO 68-1 design profile: root of radius H/6", holds="screws with a fully rounded root",
    basis="computed")
def root_diameter(major: ThreadMajor, pitch: ThreadPitch) -> RootDiameter:
    """Diameter at the bottom of a rounded root."""
    return major - 17 * thread_height(pitch) / 12


# ---- where the tolerances come from: the rules behind the tables ---------------------------------------


@formula(source="ISO 965-1:1998, 13.1 (read in a secondary transcription)", basis="read", empirical=True,
    holds="positions g and G; the tables round it, by up to half a micron")
def allowance_g(pitch: ThreadPitch) -> ThreadAllowance:
    """Gap that position g leaves below, and G above, the basic profile."""
    return (15 + 11 * pitch) / 1000


@formula(source="ISO 965-1:1998, 13.4 (read in a secondary transcription)", basis="read", empirical=True,
    holds="screws, grade 6; the tables round it to preferred numbers and smooth it")
def pitch_tolerance(pitch: ThreadPitch, step_middle: StepMiddle) -> PitchTolerance:
    """Tolerance of the pitch diameter of a screw, grade 6."""
    return 90 * pitch ** (2 / 5) * step_middle ** (1 / 10) / 1000


@formula(source="ISO 965-1:1998, 13.3 (read in a secondary transcription)", basis="read", empirical=True,
    holds="screws, grade 6; the tables round it")
def crest_tolerance(pitch: ThreadPitch) -> CrestTolerance:
    """Tolerance of the outside of a screw, grade 6."""
    return (180 * np.cbrt(pitch**2) - 3.15 / np.sqrt(pitch)) / 1000


@formula(source="ISO 965-1:1998, 13.3 (read in a secondary transcription)", basis="read", empirical=True,
    holds="nuts, grade 6: the first rule up to a pitch of 0.8 mm, the second from 1 mm")
def bore_tolerance(pitch: ThreadPitch) -> BoreTolerance:
    """Tolerance of the bore of a nut, grade 6."""
    return np.where(pitch < 0.9, 433 * pitch - 190 * pitch ** (61 / 50), 230 * pitch ** (7 / 10)) / 1000


@formula(source="ISO 965-1:1998, 13.2 (read in a secondary transcription)", basis="read", empirical=True,
    holds="shortest engagement of group N; the longest is three times as long; step's smallest diameter")
def shortest_engagement(pitch: ThreadPitch, major: ThreadMajor) -> EngagedLength:
    """Shortest length over which a normal thread should meet its nut; below it the class does not hold."""
    return 2.24 * pitch * major ** (1 / 5)


LONGEST = 3   # times the shortest engagement of group N is its longest: ISO 965-1, 13.2


def normal_engagement(pitch: float, major: float) -> tuple[float, float]:
    """Shortest and longest length over which a normal thread should meet its nut, mm, both diameters in mm.

    ISO 965-1:1998, 13.2, group N (`shortest_engagement`). Outside it the class asks for other tolerances.
    """
    shortest = float(shortest_engagement(pitch, major))
    return shortest, LONGEST * shortest


# ---- the bore ---------------------------------------------------------------------------------------------


@formula(source="ISO 68-1: full height of engagement 5H/8", holds="nuts on screws of full size", basis="computed")
def engagement(major: ThreadMajor, bore: MinorDiameter, pitch: ThreadPitch) -> Engagement:
    """Share of the full thread height that is left in a nut with this bore."""
    return 4 * (major - bore) / (5 * thread_height(pitch))


# ---- reading a thread's name ----------------------------------------------------------------------------


class Thread(NamedTuple):
    """One thread as named on a drawing; mm."""

    name: str
    major: float
    pitch: float
    series: str      # coarse, fine, "non-standard fine", special, UNC, UNF, UNEF, UNS
    inch: bool


_METRIC = re.compile(r"\s*M\s*(\d+(?:[.,]\d+)?)\s*(?:[x×X*]\s*(\d+(?:[.,]\d+)?))?\s*$", re.IGNORECASE)
_UNIFIED = re.compile(r"\s*(#|No\.?\s*)?(\d+[- ]+\d+/\d+|\d+/\d+|\d+)\s*(?:\"|in(?:ch)?)?\s*[-–]\s*(\d+(?:[.,]\d+)?)\s*"
    r"(UNC|UNF|UNEF|UNS|UN)?\s*$", re.IGNORECASE)
PITCHES = (0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.6, 0.7, 0.75, 0.8, 1, 1.25, 1.5, 1.75, 2, 2.5, 3, 3.5, 4, 4.5, 5,
    5.5, 6)


@cache
def read(name: str, special: bool = False) -> Thread:
    """The thread a drawing names: "M18x1", "M10" (coarse), "M18x0,75", "1/4-20 UNC", "#10-32".

    special: allow diameters that are not in ISO 261. Raises Refused for a thread that does not exist.
    """
    if not isinstance(name, str) or not name.strip():
        raise Refused("Name a thread, such as M18x1, M10 or 1/4-20 UNC.")
    if found := _METRIC.match(name):
        size, pitch = found.groups()
        return _metric(size, pitch, special)
    if found := _UNIFIED.match(name):
        mark, size, turns, series = found.groups()
        return _unified(size, turns, series, bool(mark))
    raise Refused(f"{said(name)} is not a thread we can read. Write it like M18x1, M10 or 1/4-20 UNC.")


def _metric(size: str, pitch: str | None, special: bool) -> Thread:
    major = number(size)
    known = sorted({row["diameter"] for row in tables.rows("threads_sizes")})
    listed = [row for row in tables.rows("threads_sizes") if row["diameter"] == major]
    if not listed and not (special and 1 <= major <= 180):
        near = sorted(known, key=lambda d: abs(d - major))[:3]
        raise Refused(f"There is no M{major:g} among the diameters of ISO 261 from 1 to 64 mm; the nearest are "
            f"{', '.join(f'M{d:g}' for d in sorted(near))}.")
    coarse = next((row["pitch"] for row in listed if row["series"] == "coarse"), None)
    if pitch is None:
        if coarse is None:
            offered = ", ".join(f"M{major:g}x{row['pitch']:g}" for row in listed) or f"M{major:g}x1"
            raise Refused(f"M{major:g} has no coarse pitch; say which pitch, such as {offered}.")
        step = coarse
    else:
        step = number(pitch)
    most = coarse if coarse is not None else max((row["pitch"] for row in listed), default=max(0.2, major / 6))
    if step not in PITCHES:
        near = sorted(PITCHES, key=lambda p: abs(p - step))[:3]
        raise Refused(f"There is no ISO metric pitch of {step:g} mm; the nearest are "
            f"{', '.join(f'{p:g}' for p in sorted(near))} mm.")
    if step > most:
        raise Refused(f"A pitch of {step:g} mm is too coarse for M{major:g}, whose coarsest is {most:g} mm.")
    series = "non-standard fine" if listed else "special"
    if any(row["pitch"] == step for row in listed):
        series = "coarse" if step == coarse else "fine"
    return Thread(f"M{major:g}x{step:g}", major, step, series, False)


def _unified(size: str, tpi: str, series: str | None, number_size: bool) -> Thread:
    turns, kind = number(tpi), (series or "").upper()
    rows = tables.rows("threads_unified")
    known = {_inch_name(row): row for row in rows}
    size = re.sub(r"\s+", "-", size.strip())
    for name in ([] if number_size else [f"{size}-{turns:g}"]) + [f"#{size}-{turns:g}"]:
        if name in known and kind in ("", "UN", known[name]["series"]):
            row = known[name]
            return Thread(f"{name} {row['series']}", 25.4 * row["diameter"], 25.4 / turns, row["series"], True)
    whole, _, part = size.rpartition("-")
    diameter = 0.060 + 0.013 * number(size) if number_size else (number(whole) if whole else 0.0) + number(part)
    if kind not in ("UN", "UNS") or not (4 <= turns <= 80 and 0.06 <= diameter <= 4 and diameter * turns > 4):
        near = difflib.get_close_matches(f"{size}-{turns:g}", list(known), 3, 0.3) or list(known)[:3]
        raise Refused(
            f"{'#' * number_size}{size}-{turns:g} {kind}".strip() + f" is not a coarse, fine or extra-fine inch "
            f"thread. Try {', '.join(near)}, or write UNS behind it for a special one.")
    return Thread(f"{'#' * number_size}{size}-{turns:g} {kind}", 25.4 * diameter, 25.4 / turns, kind, True)


def _inch_name(row: dict[str, Any]) -> str:
    name = f"{row['name']:g}" if isinstance(row["name"], float) else str(row["name"])
    return f"{name.replace('No ', '#')}-{row['tpi']:g}"


class Basic(NamedTuple):
    """Basic sizes, mm, unrounded."""

    height: float
    major: float
    pitch: float
    minor: float
    root: float


def basic(thread: str, special: bool = False) -> Basic:
    """Height of the triangle, major, pitch and minor diameter, and the diameter of a rounded root. Raises Refused."""
    t = read(thread, special)
    return Basic(*(float(v) for v in (thread_height(t.pitch), t.major, basic_pitch_diameter(t.major, t.pitch),
        basic_minor_diameter(t.major, t.pitch), root_diameter(t.major, t.pitch))))


# ---- limits ---------------------------------------------------------------------------------------------

GRADES = {"external pitch": {3: 0.5, 4: 0.63, 5: 0.8, 6: 1, 7: 1.25, 8: 1.6, 9: 2},
    "internal pitch": {4: 0.85, 5: 1.06, 6: 1.32, 7: 1.7, 8: 2.12}, "external crest": {4: 0.63, 6: 1, 8: 1.6},
    "internal crest": {4: 0.63, 5: 0.8, 6: 1, 7: 1.25, 8: 1.6}}
STEPS = (0.99, 1.4, 2.8, 5.6, 11.2, 22.4, 45, 90, 180)
_R40 = (100, 106, 112, 118, 125, 132, 140, 150, 160, 170, 180, 190, 200, 212, 224, 236, 250, 265, 280, 300, 315, 335,
    355, 375, 400, 425, 450, 475, 500, 530, 560, 600, 630, 670, 710, 750, 800, 850, 900, 950)


@dataclass(frozen=True)
class Limits:
    """(least, most) of each diameter, mm, and where they come from.

    External: minor is from the rounded root of a thread at its smallest pitch diameter (root radius P/8) to
    the basic profile moved in by the allowance, which the root must stay clear of. Internal: minor is the
    bore; major has no upper limit in the standard, so its most is infinite.
    """

    thread: str
    tolerance: str
    internal: bool
    major: tuple[float, float]
    pitch: tuple[float, float]
    minor: tuple[float, float]
    tabulated: bool
    source: str


def preferred(value: float) -> float:
    """The nearest number of the R40 series of preferred numbers (ISO 3)."""
    scale = 10.0 ** math.floor(math.log10(value)) / 100
    return min((n * scale * k for n in _R40 for k in (1, 10)), key=lambda n: abs(math.log(n / value)))


@cache
def _tolerance(side: str, what: str, major: float, pitch: float, grade: int) -> tuple[float, bool]:
    """Width in µm, and whether it stands in the table."""
    factors = GRADES[f"{side} {what}"]
    if grade not in factors:
        raise Refused(f"There is no grade {grade} for the {'pitch' if what == 'pitch' else 'crest'} diameter of "
            f"{'nuts' if side == 'internal' else 'screws'}; the grades are {', '.join(map(str, factors))}.")
    table = tables.rows(f"threads_{what}")
    for row in table:
        if row["side"] == side and row["pitch"] == pitch and row["grade"] == grade and (
                what == "crest" or row["over"] < major <= row["upto"]):
            return row["value"], True
    if what == "pitch":
        low, high = next(pair for pair in pairwise(STEPS) if pair[0] < major <= pair[1])
        six = pitch_tolerance(pitch, math.sqrt(low * high))
    else:
        six = crest_tolerance(pitch) if side == "external" else bore_tolerance(pitch)
    return preferred(float(six) * 1000 * factors[grade]), False


def limits(thread: str, tolerance: str = "6g", special: bool = False) -> Limits:
    """Limits of size of a thread: `.major`, `.pitch`, `.minor`, each (least, most) in mm.

    thread: "M10x1.5", "M10", "M18x0.75", "1/4-20 UNC"; tolerance: "6g", "6H", "4g6g" (pitch diameter,
    then crest), for inch threads "2A", "3B". Small letters and A are screws, capitals and B are nuts.
    From the tables of ISO 965-1 where they have a row, otherwise by its formulas, and `source` says which.
    Raises Refused for a thread or a class that does not exist.
    """
    if not (isinstance(thread, str) and isinstance(tolerance, str)):
        raise Refused(f"A thread and its class are written like “M10x1.5” and “6g”; these were {said(thread)} and "
            f"{said(tolerance)}.")
    return _limits(thread, tolerance, bool(special))


@cache
def _limits(thread: str, tolerance: str, special: bool) -> Limits:
    t = read(thread, special)
    if t.inch:
        return _unified_limits(t, tolerance)
    found = re.fullmatch(r"\s*([3-9])([efghGH])(?:([3-9])([efghGH]))?\s*",
        tolerance if isinstance(tolerance, str) else "")
    if not found or (found[4] and found[4] != found[2]):
        raise Refused(f"{said(tolerance)} is not a thread tolerance we know. Write a grade and a position, such as 6g "
            f"for a screw, 6H for a nut, or 4g6g for two grades.")
    letter, grade, crest_grade = found[2], int(found[1]), int(found[3] or found[1])
    internal = letter.isupper()
    side = "internal" if internal else "external"
    shift = 0.0
    if letter not in "hH":
        row = next((r for r in tables.rows("threads_deviation") if r["letter"] == letter and r["pitch"] == t.pitch),
            None)
        if row is None:
            raise Refused(f"Position {letter} is not given for a pitch of {t.pitch:g} mm. Use g, G, h or H.")
        shift = row["value"] / 1000
    width, from_table = _tolerance(side, "pitch", t.major, t.pitch, grade)
    crest, crest_table = _tolerance(side, "crest", t.major, t.pitch, crest_grade)
    width, crest = width / 1000, crest / 1000
    sizes = basic(thread, special)
    d, d2, d1 = round(sizes.major, 3), round(sizes.pitch, 3), round(sizes.minor, 3)
    if internal:
        spans = ((d + shift, math.inf), (d2 + shift, d2 + shift + width), (d1 + shift, d1 + shift + crest))
    else:
        root = d2 + shift - width - 0.616025 * t.pitch  # root radius P/8 at the smallest pitch diameter (ASME B1.13M)
        spans = ((d + shift - crest, d + shift), (d2 + shift - width, d2 + shift), (root, d1 + shift))
    tabulated = from_table and crest_table
    source = "tables of ISO 965-1" if tabulated else (
        f"formulas of ISO 965-1, rounded to preferred numbers: its tables have no row for grade {grade} on {t.name}")
    major, middle, minor = ((round(low, 4), round(high, 4)) for low, high in spans)
    return Limits(t.name, tolerance.strip(), internal, major, middle, minor, tabulated,
        source + ("" if t.series in ("coarse", "fine") else f"; {t.name} is not a size of ISO 261"))


# ---- inch unified, by formula ------------------------------------------------------------------------------


@formula(source="ASME B1.1 and ISO 5864 (from memory)", basis="memory", empirical=True,
    holds="class 2A; engaged over one diameter (UNC, UNF) or nine pitches (the others); inches")
def unified_tolerance(diameter: InchDiameter, length: InchLength, pitch: InchPitch) -> InchTolerance:
    """Tolerance of the pitch diameter of an inch screw, class 2A."""
    return 0.0015 * np.cbrt(diameter) + 0.0015 * np.sqrt(length) + 0.015 * np.cbrt(pitch**2)


UNIFIED = {"1A": 1.5, "2A": 1.0, "3A": 0.75, "1B": 1.95, "2B": 1.3, "3B": 0.975}


def _tenths(value: float) -> float:
    """To a ten-thousandth of an inch, a half upwards, as the printed tables do; binary halves are no halves."""
    return math.floor(value * 1e4 + 0.5 + 1e-6) / 1e4


def _unified_limits(t: Thread, tolerance: str) -> Limits:
    wanted = tolerance.strip().upper() if isinstance(tolerance, str) else ""
    if wanted not in UNIFIED:
        raise Refused(f"{said(tolerance)} is not a class of inch threads. Use {', '.join(UNIFIED)}.")
    diameter, pitch = t.major / 25.4, t.pitch / 25.4
    length = diameter if t.series in ("UNC", "UNF") else 9 * pitch
    two = round(float(unified_tolerance(diameter, length, pitch)), 6)
    width, root = _tenths(two * UNIFIED[wanted]), float(np.cbrt(pitch**2))  # each part is rounded before it is used
    gap = round(0.3 * round(two, 4), 4) if wanted in ("1A", "2A") else 0.0
    d2, d1 = round(diameter - 0.6495190 * pitch, 4), round(diameter - 1.0825318 * pitch, 4)
    if wanted.endswith("A"):
        crest = (0.09 if wanted == "1A" else 0.06) * root
        top, most = diameter - gap, d2 - gap
        spans = ((top - _tenths(crest), top), (most - width, most), (top - 1.190785 * pitch, top - 1.0825318 * pitch))
    else:
        general = 0.05 * root + 0.03 * pitch / diameter - 0.002
        if wanted == "3B":
            crest = max(general, 0.23 * pitch - 1.5 * pitch**2 if pitch < 1 / 12.5 else 0.12 * pitch)
        else:
            crest = max(general, 0.25 * pitch - 0.4 * pitch**2) if diameter < 0.25 else 0.25 * pitch - 0.4 * pitch**2
        crest = min(crest, 0.394 * pitch)
        spans = ((diameter, math.inf), (d2, d2 + width), (d1, d1 + crest))
    major, middle, minor = ((round(round(low, 4) * 25.4, 4), round(round(high, 4) * 25.4, 4)) for low, high in spans)
    return Limits(t.name, wanted, wanted.endswith("B"), major, middle, minor, False,
        "formulas of ASME B1.1, rounded to a tenth of a thou; the printed tables can differ by one such step")


# ---- the bore of a nut, the relief, the length ---------------------------------------------------------------


@dataclass(frozen=True)
class Bore:
    """What to bore before threading inside, mm; engagement as shares of the full height at both ends."""

    lower: float
    upper: float
    aim: float
    most_engagement: float
    least_engagement: float
    source: str


def bore_for(thread: str, tolerance: str = "6H", special: bool = False) -> Bore:
    """The bore to leave for an internal thread: limits, middle, and how much thread height each leaves. Raises Refused.
    """
    t, span = read(thread, special), limits(thread, tolerance, special)
    if not span.internal:
        raise Refused(f"{tolerance} is a class for screws. For the bore of a nut use 6H or 2B.")
    low, high = span.minor
    return Bore(low, high, round((low + high) / 2, 3), float(engagement(t.major, low, t.pitch)),
        float(engagement(t.major, high, t.pitch)), span.source)


@dataclass(frozen=True)
class Relief:
    """A thread relief: groove diameter, its shortest and longest width, corner radius, mm."""

    groove: float
    shortest: float
    longest: float
    radius: float
    source: str


def relief(thread: str, internal: bool = False, special: bool = False) -> Relief:
    """The groove in which a thread ends at a shoulder, by pitch. Raises Refused outside the table."""
    t = read(thread, special)
    pitches = sorted({row["pitch"] for row in tables.rows("threads_relief") if row["side"] ==
        ("internal" if internal else "external")})
    nearest = min(pitches, key=lambda p: (abs(p - t.pitch), p))
    if not pitches[0] <= t.pitch <= pitches[-1]:
        raise Refused(f"The table of reliefs runs from a pitch of {pitches[0]:g} to {pitches[-1]:g} mm; "
            f"{t.name} has {t.pitch:g} mm. Make the groove a little deeper than the thread.")
    row = tables.row("threads_relief", side="internal" if internal else "external", pitch=nearest)
    near = "" if nearest == t.pitch else f", row for a pitch of {nearest:g} mm"
    return Relief(round(t.major + row["groove"], 3), row["shortest"], row["longest"], row["radius"],
        row["source"] + near)
