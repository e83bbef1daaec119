"""Limits and fits: what to aim for so that it slides, or stays.

The tables of ISO 286 up to 500 mm are the standard; they live in data/ and are
read here. Its formulas stand below as the why: they explain a table value to
within the standard's rounding, but never replace it. The shaft letters are
stored; hole letters are their mirror image, shifted by the delta rule in the
fine grades, with the exceptions that the standard prints stored as rows.
"""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from functools import cache
from typing import Any

import numpy as np

from ..core import tables
from ..core.formula import formula
from ..core.quantity import Refused, positive, quantity_of, said
from .quantities import FitSize, GradeWidth, LetterFactor, LetterPower, StepMean, ToleranceUnit, UnitsWide, ZoneShift

STEPS = (3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500)  # main steps, each "up to and including"
FINE_STEPS = (3, 6, 10, 14, 18, 24, 30, 40, 50, 65, 80, 100, 120, 140, 160, 180, 200, 225, 250, 280, 315, 355, 400, 450,
    500)
LETTERS = ("a", "b", "c", "cd", "d", "e", "ef", "f", "fg", "g", "h", "j", "js", "k", "m", "n", "p", "r", "s", "t", "u",
    "v", "x", "y", "z", "za", "zb", "zc")
GRADES = range(1, 19)
CODE = r"([A-Za-z]{1,2})\s*[-_]?\s*(\d+)"


# ---- codes --------------------------------------------------------------------------------------

@dataclass(frozen=True)
class Code:
    """A tolerance class such as H7 or g6: where the zone lies (letter) and how wide it is (grade)."""

    letter: str  # always the shaft's spelling: "h" for H and h
    grade: int
    hole: bool

    def __str__(self) -> str:
        return f"{self.letter.upper() if self.hole else self.letter}{self.grade}"


def read_code(text: Any) -> Code:
    """The class a person typed: H7, " h 6", Js7. Capitals are holes, small letters shafts. Raises Refused."""
    if isinstance(text, Code):
        return text
    clean = unicodedata.normalize("NFKC", str(text)).strip() if isinstance(text, str) else ""
    found = re.fullmatch(CODE, clean)
    if not found:
        raise Refused(
            f"{said(text)} is not a tolerance class. Type a letter and a grade, such as H7 for a hole or g6 for a "
            "shaft.")
    letter, grade = found.group(1), int(found.group(2))
    if letter.lower() not in LETTERS:
        raise Refused(
            f"There is no letter “{letter}” in the system of fits. Holes run from A to ZC and shafts from a to zc, "
            "leaving out I, L, O, Q and W so that nobody misreads them.")
    if grade not in GRADES:
        raise Refused(f"There is no grade {grade}. Grades run from 1 (finest) to 18; turned fits are mostly 6 to 9.")
    return Code(letter.lower(), grade, letter[0].isupper())


def read_fit(text: Any) -> tuple[Code, Code]:
    """Hole and shaft of a fit as typed: H7/g6, "H7 g6", H7-g6, g6/H7 turned round. Raises Refused."""
    clean = unicodedata.normalize("NFKC", str(text)).strip() if isinstance(text, str) else ""
    found = re.fullmatch(CODE + r"[\s/|,:;+&-]*" + CODE, clean)
    if not found:
        raise Refused(
            f"{said(text)} is not a fit. Type the hole's class, a stroke and the shaft's class, such as H7/g6.")
    first, second = read_code(found.group(1) + found.group(2)), read_code(found.group(3) + found.group(4))
    if first.hole == second.hole:
        both, wanted = ("holes", "small") if first.hole else ("shafts", "capital")
        meant = f"{Code(first.letter, first.grade, True)}/{Code(second.letter, second.grade, False)}"
        raise Refused(
            f"{first} and {second} are both {both}; one part must have a {wanted} letter. Did you mean {meant}?")
    return (first, second) if first.hole else (second, first)


def nominal_size(size: Any, name: str = "the nominal size") -> Any:
    """A size in mm as given or typed (\"12,5\", \"0.5 inch\"), a number or an array, inside the tables. Raises Refused.
    """
    if isinstance(size, str):
        return quantity_of(FitSize).read(size, name)
    checked = np.asarray(quantity_of(FitSize).check(size, name), dtype=float)
    return checked if checked.ndim else float(checked)


# ---- the tables ---------------------------------------------------------------------------------

@cache
def _grades() -> dict[int, np.ndarray]:
    """Width of each grade at each fine step, in micrometres."""
    widths = {grade: np.full(len(FINE_STEPS), np.nan) for grade in GRADES}
    for r in tables.rows("iso286_grades"):
        widths[int(r["grade"])][_where(r)] = r["tolerance_um"]
    return widths


def _where(r: dict[str, Any]) -> np.ndarray:
    steps = np.array(FINE_STEPS)
    return (steps > r["over"]) & (steps <= r["upto"])


def _fundamental(table: str, letter: str, grade: int) -> tuple[np.ndarray, bool]:
    """The deviation nearer the nominal line at each fine step (NaN where there is none), and whether it is the upper
    one.
    """
    values, upper = np.full(len(FINE_STEPS), np.nan), False
    for r in tables.rows(table):
        if r["letter"] == letter and r["grade_from"] <= grade <= r["grade_to"]:
            values[_where(r)], upper = r["deviation_um"], r["which"] == "upper"
    return values, upper


@cache
def _zone(code: Code) -> tuple[np.ndarray, np.ndarray]:
    """Lower and upper deviation at each fine step, in micrometres; NaN where the standard has none."""
    width = _grades()[code.grade]
    if code.letter == "js":
        return -width / 2, width / 2
    near, is_upper = _fundamental("iso286_shafts", code.letter, code.grade)
    if not code.hole:
        return (near - width, near) if is_upper else (near, near + width)
    printed, _ = _fundamental("iso286_holes", code.letter.upper(), code.grade)
    if code.letter <= "h":  # a to h: the hole is the shaft's mirror image
        return -near, width - near
    upper = np.where(np.isnan(printed), _hole_upper(code), printed)
    return upper - width, upper


def _hole_upper(code: Code) -> np.ndarray:
    """Upper deviation of a hole K to ZC: the mirrored shaft, plus the delta term in the fine grades over 3 mm."""
    if code.letter == "j" or (code.letter == "k" and code.grade > 8):
        return np.full(len(FINE_STEPS), np.nan)  # only what is printed
    # the letter's own value: for k that of grades 4 to 7, which K takes in every grade up to 8
    mirrored = -_fundamental("iso286_shafts", code.letter, 6)[0]
    last = 8 if code.letter in ("k", "m", "n") else 7
    if code.grade > last or code.grade < 3:
        return mirrored
    delta = _grades()[code.grade] - _grades()[code.grade - 1]
    return mirrored + np.where(np.array(FINE_STEPS) > 3, delta, 0)


def grade(size: Any, number: int) -> Any:
    """Width of tolerance grade IT`number` at a nominal size, mm; size in mm, a number or an array. Raises Refused.

    ISO 286-1 table 1; a step is "over A up to and including B".
    """
    if number not in GRADES:
        raise Refused(f"There is no grade {number}. Grades run from 1 (finest) to 18.")
    return _pick(_grades()[int(number)], nominal_size(size))


def _pick(values: np.ndarray, size: Any) -> Any:
    found = (
        values[np.searchsorted(FINE_STEPS, np.asarray(size, dtype=float), side="left")] / 1000 + 0.0
    )  # no minus zero
    return found if found.ndim else float(found)


@dataclass(frozen=True)
class Limits:
    """How far a size may lie from nominal: deviations in mm (numbers, or arrays where the size was one)."""

    size: Any
    code: str
    lower: Any
    upper: Any

    @property
    def tolerance(self) -> Any:
        return self.upper - self.lower

    @property
    def middle(self) -> Any:
        """The size half-way between the limits, mm."""
        return self.size + (self.lower + self.upper) / 2

    @property
    def least(self) -> Any:
        return self.size + self.lower

    @property
    def most(self) -> Any:
        return self.size + self.upper


def limits(size: Any, code: Any) -> Limits:
    """Limit deviations of a hole (capital) or shaft (small letter) at a nominal size, in mm.

    `size` in mm (a number, an array, or typed text such as "12,5" or "0.5 inch"); `code` such as "H7" or "js6".
    ISO 286-1 and -2, sizes to 500 mm. js and JS are ±IT/2 unrounded, as current tables print them. Raises Refused.
    """
    nominal, zone = nominal_size(size), read_code(code)
    lower, upper = (_pick(values, nominal) for values in _zone(zone))
    missing = np.isnan(np.asarray(lower)) | ((np.asarray(nominal) <= 1) & _not_tiny(zone))
    if missing.any():
        worst = float(np.atleast_1d(np.asarray(nominal, dtype=float))[np.atleast_1d(missing)][0])
        raise Refused(f"The standard has no {zone} at {worst:g} mm. {_has(zone)}")
    return Limits(nominal, str(zone), lower, upper)


def _not_tiny(zone: Code) -> bool:
    """Classes that the standard does not give up to 1 mm."""
    return zone.letter in ("a", "b") or zone.grade >= 14 or (zone.hole and zone.letter == "n" and zone.grade > 8)


def _has(zone: Code) -> str:
    """What there is instead of a class that is not there."""
    ends = np.array(FINE_STEPS)[~np.isnan(_zone(zone)[0])]
    if len(ends):
        starts = dict(zip(FINE_STEPS, (0, *FINE_STEPS), strict=False))
        first = max(starts[ends[0]], 1 if _not_tiny(zone) else 0)
        return f"It is given over {first:g} up to {ends[-1]:g} mm. Choose a neighbouring letter or grade."
    if zone.letter == "j":
        return (f"{'J is given in grades 6 to 8' if zone.hole else 'j is given in grades 5 to 7'}. Choose one of "
            "those, or js.")
    return "Choose another grade or letter."


# ---- fits ---------------------------------------------------------------------------------------

@dataclass(frozen=True)
class Fit:
    """A hole and a shaft together: clearances in mm, negative where the shaft is the larger (interference)."""

    hole: Limits
    shaft: Limits
    least_clearance: Any
    most_clearance: Any

    @property
    def kind(self) -> str:
        """"clearance", "transition" or "interference" (for one size)."""
        if self.least_clearance >= 0:
            return "clearance"
        return "interference" if self.most_clearance <= 0 else "transition"


def fit(size: Any, code: Any) -> Fit:
    """Least and most clearance of a fit such as "H7/g6" at a nominal size, mm. ISO 286-1. Raises Refused."""
    hole, shaft = (limits(size, part) for part in read_fit(code))
    return Fit(hole, shaft, _tidy(hole.lower - shaft.upper), _tidy(hole.upper - shaft.lower))


def _tidy(value: Any) -> Any:
    """Off with the dust that subtracting decimal fractions leaves: tables are in half micrometres."""
    rounded = np.round(value, 6) + 0.0
    return rounded if np.ndim(value) else float(rounded)


# ---- rolling bearings ---------------------------------------------------------------------------

BEARING_CLASSES = ("Normal", "P6", "P5")


def _bearing(face: str, size: Any, precision: Any) -> Limits:
    names = {"normal": "Normal", "p0": "Normal", "pn": "Normal", "0": "Normal", "6": "P6", "p6": "P6", "5": "P5",
        "p5": "P5"}
    chosen = names.get(str(precision).strip().lower())
    if chosen is None:
        raise Refused(f"There is no bearing class “{precision}” here. Choose Normal, P6 or P5.")
    nominal = nominal_size(size, "the bearing's size")
    found = [r for r in tables.rows("bearings") if r["face"] == face and r["class"] == chosen]
    at = np.searchsorted([r["upto"] for r in found], np.asarray(nominal, dtype=float), side="left")
    lower = np.array([r["lower_um"] for r in found])[at] / 1000
    return Limits(nominal, f"{chosen} {face}", lower if lower.ndim else float(lower),
        np.zeros_like(lower) if lower.ndim else 0.0)


def bearing_bore(d: Any, precision: str = "Normal") -> Limits:
    """Limit deviations of a rolling bearing's bore, mm: zero above, so much below. ISO 492. Raises Refused."""
    return _bearing("bore", d, precision)


def bearing_outside(D: Any, precision: str = "Normal") -> Limits:
    """Limit deviations of a rolling bearing's outside, mm: zero above, so much below. ISO 492. Raises Refused."""
    return _bearing("outside", D, precision)


@dataclass(frozen=True)
class Seat:
    """What a rolling bearing wants to sit on and in, and the clearances that come of it, mm (negative = interference).
    """

    shaft: Limits
    housing: Limits
    shaft_also: str       # the neighbouring class that tables also allow
    housing_also: str
    bore: Limits          # of the bearing
    outside: Limits
    on_shaft: tuple[float, float]      # least and most clearance of the bearing on its shaft
    in_housing: tuple[float, float]    # least and most clearance of the bearing in its housing
    shaft_form: float     # cylindricity of the seat, mm on radius (distance between two coaxial cylinders)
    housing_form: float
    shoulder: float       # squareness of the shaft's shoulder, mm
    housing_shoulder: float


LOADS = ("light", "normal", "heavy")


def seat(d: float, D: float, turning: str = "inner", load: str = "normal", precision: str = "Normal", shaft: str = "",
        housing: str = "", demands: str = "usual") -> Seat:
    """Seats for a radial ball bearing d x D mm by load case, the clearances that result and the form of the seats.

    turning: which ring turns against the load ("inner": the load stays put while the shaft turns, or "outer").
    load: "light" (under 0.06 of the bearing's rating), "normal" (to 0.13) or "heavy". shaft, housing: another
    class to try instead of the table's. demands: "usual" or "special" (running accuracy). Steel shaft, solid
    housing. Sources in data/bearing_seats.csv and bearing_seat_form.csv. Raises Refused.
    """
    d, D = nominal_size(d, "the bearing's bore"), nominal_size(D, "the bearing's outside")
    if d >= D:
        raise Refused(f"The bearing's outside ({D:g} mm) must be larger than its bore ({d:g} mm).")
    if turning not in ("inner", "outer"):
        raise Refused(f"Which ring turns against the load? It is “inner” or “outer”, not “{turning}”.")
    if load not in LOADS:
        raise Refused(f"The load is light, normal or heavy, not “{load}”.")
    on = tables.step("bearing_seats", d, face="shaft", turning=turning, load=load)
    within = tables.step("bearing_seats", D, face="housing", turning=turning, load=load)
    journal, pocket = limits(d, shaft or on["class"]), limits(D, housing or within["class"])
    if read_code(journal.code).hole or not read_code(pocket.code).hole:
        raise Refused("A shaft's class has a small letter (k5) and a housing's a capital (H7). Swap them.")
    bore, outside = bearing_bore(d, precision), bearing_outside(D, precision)
    form = {what: tables.row("bearing_seat_form", **{"class": bore.code.split()[0], "demands": demands, "what": what})
        for what in ("cylindricity", "shoulder")}

    def allowed(size: float, what: str) -> float:
        return float(grade(size, int(form[what]["grade"])) * form[what]["share"])

    return Seat(journal, pocket, on["also"], within["also"], bore, outside,
        (_tidy(bore.lower - journal.upper), _tidy(bore.upper - journal.lower)),
        (_tidy(pocket.lower - outside.upper), _tidy(pocket.upper - outside.lower)), allowed(d, "cylindricity"),
        allowed(D, "cylindricity"), allowed(d, "shoulder"), allowed(D, "shoulder"))


# ---- inch -----------------------------------------------------------------------------------------

@dataclass(frozen=True)
class InchSize:
    """A size and its limits in decimal inches; the limits never lie outside the metric ones."""

    nearest: float  # to the middle of the tolerance
    least: float
    most: float
    places: int


def inch(least: float, most: float, places: int = 4) -> InchSize:
    """Limits in mm as decimal inches with so many places, the lower rounded up and the upper down. Raises Refused.

    Rounding never widens the tolerance. Exact decimal arithmetic: 1 inch is 25.4 mm.
    """
    if places not in (3, 4, 5, 6):
        raise Refused(f"Inches are written with 3 to 6 places, not {places}.")
    low, high = positive(least, "the least size"), positive(most, "the largest size")
    if not low <= high:
        raise Refused(f"The least size ({low:g} mm) is larger than the largest ({high:g} mm). Swap them.")
    step = Decimal(1).scaleb(-places)
    first, last = (Decimal(repr(round(v, 7))) / Decimal("25.4") for v in (low, high))
    up, down = first.quantize(step, ROUND_CEILING), last.quantize(step, ROUND_FLOOR)
    if up > down:
        raise Refused(f"No inch size with {places} places lies between {low:g} and {high:g} mm. Write one place more.")
    middle = min(max(((first + last) / 2).quantize(step, ROUND_HALF_EVEN), up), down)
    return InchSize(float(middle), float(up), float(down), places)


# ---- the why: formulas behind the tables ----------------------------------------------------------

@formula(source="ISO 286-1, basis of the system: i = 0.45 ∛D + 0.001 D in µm with D in mm (from memory; "
    "each printed width is checked against it)",
    holds="sizes to 500 mm, grades 5 to 18; D is the geometric mean of the step's ends", basis="memory", empirical=True)
def tolerance_unit(step_mean: StepMean) -> ToleranceUnit:
    """Tolerance unit: equally hard to hold on a large part as on a small one, so it grows with about the cube root."""
    return (0.45 * np.cbrt(step_mean) + 0.001 * step_mean) / 1000


@formula(source="ISO 286-1, basis of the system: 7, 10, 16, 25, 40, 64, 100 … units for grades 5, 6, 7 … (from memory)",
    holds="grades 5 to 18, sizes to 500 mm, before the standard rounds", basis="memory", empirical=True)
def grade_width(step_mean: StepMean, units_wide: UnitsWide) -> GradeWidth:
    """Width of a grade before rounding: every fifth grade is ten times as wide."""
    return units_wide * tolerance_unit(step_mean)


@formula(source="Narayana, Kannaiah, Venkata Reddy: Machine Drawing, Table 15.4",
    holds="letters d, e, f, g, k and n, sizes to 500 mm, before the standard rounds", basis="read", empirical=True)
def zone_shift(step_mean: StepMean, letter_factor: LetterFactor, letter_power: LetterPower) -> ZoneShift:
    """How far a letter moves the tolerance zone off the nominal line, before rounding."""
    return letter_factor * step_mean**letter_power / 1000


def step_mean(size: float) -> float:
    """Geometric mean of the ends of the main step that holds a size, mm; the first step runs from 1 to 3. Raises
    Refused.
    """
    at = int(np.searchsorted(STEPS, nominal_size(size), side="left"))
    return math.sqrt((STEPS[at - 1] if at else 1) * STEPS[at])
