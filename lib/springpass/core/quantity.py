"""What a stickout is: symbol, unit, span, usual value, meaning. Each said once.

Topics annotate their functions with these, pages make sliders of them, and the
printer takes its letters from them. Values inside the library are always in the
unit named here; `shown` is the unit a page shows (µm for a tolerance), and inch
readers get inch and thou for mm and µm.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, replace
from typing import Annotated, Any, TypeGuard

import numpy as np


class Refused(ValueError):
    """A sentence for the user: what was wrong, what is allowed, what to do. It begins with a capital."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence[:1].upper() + sentence[1:] if sentence[:3].isalpha() else sentence)


Numbers = float | np.ndarray   # an argument that takes one value or many
Counts = int | np.ndarray      # whole numbers: passes, teeth, jaws
Limit = Annotated[float, "a number, or infinity where there is no limit"]


def said(value: Any) -> str:
    """A value as a sentence may name it, in a turner's words: “abc”, 12.5, nothing, a list."""
    if value is None:
        return "nothing"
    if isinstance(value, str):
        clean = "".join(c if c.isprintable() else " " for c in value[:41])
        return f"“{clean}”" if len(value) <= 40 else f"“{clean[:40]}…”"
    if isinstance(value, (bool, np.bool_)):
        return "yes" if value else "no"
    if isinstance(value, (int, float, np.integer, np.floating)):
        one: Any = float(value) if isinstance(value, np.floating) else value
        if not abs(one) < 10**15:
            return "no number" if one != one else "without limit" if one in (np.inf, -np.inf) else "far too large"
        return plain(float(one), 6) if one == 0 or abs(one) >= 1e-9 else "all but zero"
    if isinstance(value, (list, tuple, set, range, np.ndarray)):
        return "a list" if (value.size if isinstance(value, np.ndarray) else len(value)) else "an empty list"
    return "raw bytes" if isinstance(value, (bytes, bytearray, memoryview)) else "something else"


# How many of the library's unit one of the shown unit is, by (library unit, shown unit).
FACTORS = {("mm", "µm"): 1e-3, ("mm", "inch"): 25.4, ("mm", "thou"): 0.0254, ("mm", "m"): 1e3, ("mm", "cm"): 10.0,
    ("m/min", "ft/min"): 0.3048, ("m/min", "m/s"): 60.0, ("1/K", "µm/(m K)"): 1e-6, ("MPa", "GPa"): 1e3,
    ("N/mm", "N/µm"): 1e3, ("mm/N", "µm/N"): 1e-3, ("N", "kN"): 1e3, ("s", "min"): 60.0, ("s", "h"): 3600.0,
    ("kg", "g"): 1e-3, ("N mm", "N m"): 1e3, ("N mm/rad", "kN m/rad"): 1e6, ("mm/N", "µm/kN"): 1e-6, ("1", "%"): 1e-2,
    ("1", "µm/m"): 1e-6, ("1", "µm/mm"): 1e-3,
    ("1/MPa", "µm/(m MPa)"): 1e-6}
IN_INCH = {"mm": "inch", "µm": "thou", "m/min": "ft/min"}
SPELLED = {"um": "µm", "μm": "µm", "micron": "µm", "microns": "µm", "in": "inch", '"': "inch", "″": "inch",
    "inches": "inch", "′′": "inch", "”": "inch", "“": "inch", "„": "inch", "μ": "µm", "µ": "µm",
    "''": "inch", "mil": "thou", "°": "deg", "degrees": "deg", "c": "°C", "°c": "°C",
    "sec": "s", "minutes": "min", "percent": "%", "n": "N", "mpa": "MPa", "gpa": "GPa"}


def spelled(typed: str, unit: str) -> str:
    """The unit that is meant by what was typed behind a number of a quantity in `unit`: MM, “in.”, ″ and the like."""
    bare = typed.strip().rstrip(".")
    known = [unit, *(shown for own, shown in FACTORS if own == unit)]
    return SPELLED.get(bare.lower()) or next((one for one in known if one.lower() == bare.lower()), bare)


def _told_apart(text: str) -> str:
    """Typed text in plain letters, before raised figures and single-letter fractions lose their place: 1½ is 1 1/2,
    and 12² is refused.
    """
    out = ""
    for letter in text:
        kind = unicodedata.decomposition(letter)
        if out[-1:].isdecimal() and kind.startswith(("<super>", "<sub>")):
            raise Refused(f"{said(text)} has a raised or lowered figure. Type a number such as 12.5.")
        out += f" {letter}" if out[-1:].isdecimal() and kind.startswith("<fraction>") else letter
    return unicodedata.normalize("NFKC", out).strip()


def factor(unit: str, shown: str) -> float:
    """Library units in one shown unit, e.g. 25.4 for ("mm", "inch"). Raises Refused for a wrong pair."""
    if unit == shown:
        return 1.0
    if (unit, shown) in FACTORS:
        return FACTORS[unit, shown]
    raise Refused(f"{said(shown)} cannot be turned into {unit}. Leave the unit off, or use {unit}.")


def number(text: Any) -> float:
    """The number a person typed: 12.5, 12,5, １２, −3, 1e-3, 3/8 or 1 3/8.

    A single comma is a decimal comma, also in 1,234; a comma and a point together (1,234.5 or 1.234,5) could be read
    two ways and are refused. A thin or unbreakable space groups thousands. Raises Refused where the text is not one
    finite number.
    """
    if isinstance(text, (int, float, np.number)) and not isinstance(text, (bool, np.complexfloating)):
        try:
            value = float(text)
        except OverflowError:
            value = np.inf
        if not -1e100 <= value <= 1e100:
            raise Refused("The number is without limit or is none at all. Give a finite number such as 12.5.")
        return value
    if not isinstance(text, str):
        raise Refused(f"A number is wanted, such as 12.5; it was {said(text)}.")
    grouped = re.sub(r"(?<=\d)[\u2007\u2009\u202f\u00a0](?=\d{3}(?!\d))", "", text)
    raw = _told_apart(grouped).replace("⁄", "/").replace("−", "-")
    if not raw:
        raise Refused("Nothing was typed. Type a number such as 12.5.")
    plain_text = raw.replace(",", ".") if raw.count(",") == 1 and "." not in raw else raw
    value = np.inf
    if len(raw) <= 40:
        whole = re.fullmatch(r"([+-]?)(?:(\d+)\s+)?(\d+)\s*/\s*(\d+)", plain_text)
        if whole:
            sign, units, top, bottom = whole.groups()
            if int(bottom) == 0:
                raise Refused(f"{said(text)} divides by zero. Type a number such as 3/8.")
            return (-1.0 if sign == "-" else 1.0) * (int(units or 0) + int(top) / int(bottom))
        if re.fullmatch(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?", plain_text):
            value = float(plain_text)
            if abs(value) <= 1e100:
                return value
        elif "," in raw or raw.count(".") > 1:
            raise Refused(
                f"{said(text)} has too many commas or points. Write it without a thousands mark, like 1234.5.")
        else:
            raise Refused(f"{said(text)} is not a number. Type a number such as 12.5.")
    raise Refused(f"{said(text)} is too long or too large for a number. Type a number such as 12.5.")


def floats(value: Any, name: str = "this value", what: str = "a number or a list of numbers") -> np.ndarray:
    """`value` (a number, text that is one, or a list or array of them) as an array of floats, none of them checked for
    its size.

    Raises Refused for what is no number: nothing, yes or no, complex or mixed things.
    """
    try:
        array = np.asarray(number(value) if isinstance(value, str) else value)
        if array.dtype.kind == "U":
            return np.array([number(str(text)) for text in array.flat], dtype=float).reshape(array.shape)
        if array.dtype.kind in "fiu" or (array.dtype == object and not any(
                part is None or isinstance(part, (bool, np.bool_, bytes, str, complex)) for part in array.flat)):
            return array.astype(float, copy=False)
    except Refused as refusal:
        raise Refused(f"{name}: {refusal}") from None
    except (TypeError, ValueError, OverflowError):
        pass
    raise Refused(f"{name} must be {what}; it was {said(value)}.")


@dataclass(frozen=True)
class Quantity:
    """One physical quantity of the trade; `symbol` is TeX, `unit` the library's unit."""

    symbol: str
    unit: str
    low: float
    high: float
    usual: float
    says: str
    shown: str = ""      # unit on the page; the library's own where empty
    log: bool = False    # the slider moves in equal ratios
    step: float = 0.0    # slider step in the shown unit; a fitting one where 0
    whole: bool = False  # counts: passes, teeth, jaws

    def but(self, **changes: Any) -> Quantity:
        """The same quantity with another span or usual value, for one page."""
        return replace(self, **changes)

    def unit_for(self, inch: bool = False) -> str:
        """The unit a page shows, for a metric or an inch reader."""
        shown = self.shown or self.unit
        return IN_INCH.get(shown, shown) if inch else shown

    def to_shown(self, value: Any, inch: bool = False) -> Any:
        return value / factor(self.unit, self.unit_for(inch))

    def from_shown(self, value: Any, inch: bool = False) -> Any:
        return value * factor(self.unit, self.unit_for(inch))

    def text(self, value: float, inch: bool = False) -> str:
        """Value and unit as a person would write them, e.g. "40 mm"."""
        unit = self.unit_for(inch)
        return f"{plain(self.to_shown(value, inch), 4)} {unit}".replace(" deg", "°").removesuffix(" 1")

    def check(self, value: Any, name: str = "this value", inch: bool = False) -> Any:
        """`value` (number or array) if it is finite and inside the span. Raises Refused."""
        numbers = floats(value, name)
        if not numbers.size:
            raise Refused(
                f"{name} is missing: give a number from {self.text(self.low, inch)} to {self.text(self.high, inch)}.")
        slack = 1e-9 * max(abs(self.low), abs(self.high))
        bad = ~np.isfinite(numbers) | (numbers < self.low - slack) | (numbers > self.high + slack)
        if bad.any():
            worst = numbers[bad].flat[0]
            given = self.text(worst, inch) if 1e-6 <= abs(worst) < 1e12 or worst == 0 else said(worst)
            raise Refused(f"{name} is {given}, but must lie between {self.text(self.low, inch)} and "
                f"{self.text(self.high, inch)}. Choose a value in that span.")
        if self.whole and (numbers != np.round(numbers)).any():
            raise Refused(f"{name} must be a whole number; it was {plain(float(numbers.flat[0]), 4)}.")
        if self.whole and not numbers.ndim:
            return int(numbers)
        return float(numbers) if isinstance(value, str) else value

    def read(self, text: Any, name: str = "this value", inch: bool = False) -> float:
        """A typed value, with or without a unit, in the library's unit and inside the span. Raises Refused."""
        if isinstance(text, str):
            try:
                clean = _told_apart(text)
            except Refused as refusal:
                raise Refused(f"{name}: {refusal}") from None
            if self.unit == "mm":
                clean = re.sub(r"^[Øø⌀∅]\s*", "", clean)
            clean = re.sub(r"(?<=[^\W\d])\.$", "", clean)   # 12 mm.
            found = re.fullmatch(r"(.*[\d.,])\s*([^\d\s.,]+)?", clean)
            body, unit = found.groups() if found else (clean, None)
            if unit:
                unit = spelled(unit, self.unit)
                try:
                    scale = factor(self.unit, unit)
                except Refused:
                    wanted = self.unit_for(inch)
                    raise Refused(f"{name}: {said(unit)} does not fit here. "
                        + ("Type the number without a unit." if wanted == "1"
                        else f"Leave the unit off, or use {wanted}.")) from None
                return self.check(number(body) * scale, name, inch)
        try:
            typed = number(clean if isinstance(text, str) else text)
        except Refused as refusal:
            raise Refused(f"{name}: {str(refusal)[0].lower()}{str(refusal)[1:]}") from None
        return self.check(self.from_shown(typed, inch), name, inch)


def quantity_of(what: object) -> Quantity:
    """The quantity behind a type such as `Stickout`, or the quantity itself. Raises TypeError for anything else."""
    if isinstance(what, Quantity):
        return what
    for part in getattr(what, "__metadata__", ()):
        if isinstance(part, Quantity):
            return part
    raise TypeError(f"{what!r} is no quantity")


def but(what: object, **changes: Any) -> Quantity:
    """The quantity behind `what` with another span or usual value, for one page."""
    return replace(quantity_of(what), **changes)


def plain(value: float, digits: int = 2, most: int = 9) -> str:
    """A number to so many figures without an exponent: 7.26 -> "7.3", 10400 -> "10400", 0.004 -> "0.004".

    most: never more figures than these behind the point.
    """
    if not np.isfinite(value):
        return {np.inf: "without limit", -np.inf: "minus without limit"}.get(float(value), "unknown")
    if value == 0:
        return "0"
    places = max(0, digits - 1 - int(np.floor(np.log10(abs(value)))))
    text = f"{value:.{min(places, most)}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text.replace("-", "−")


@dataclass(frozen=True)
class Say:
    """How this reader likes numbers written: metric, or inch and thou."""

    inch: bool = False

    def length(self, value: float, digits: int = 4) -> str:
        """A length in mm as "40 mm" or "1.575 inch"."""
        return f"{plain(value / 25.4, digits)} inch" if self.inch else f"{plain(value, digits)} mm"

    def limit(self, value: float, up: bool = False) -> str:
        """A length that something holds up to, rounded down so that what is printed holds too; `up` for a least one."""
        step = 0.254 if self.inch else 0.1 if value < 100 else 1.0
        steps = np.ceil(value / step - 1e-9) if up else np.floor(value / step + 1e-9)
        return self.length(float(steps * step), 3)

    def fine(self, value: float, digits: int = 2) -> str:
        """A small length in mm as "7.3 µm" or "0.29 thou"; nothing below 0.01 µm."""
        return f"{self.bare(value, digits)} {self.fine_unit}"

    def bare(self, value: float, digits: int = 2) -> str:
        """A small length as `fine` says it, without its unit: for the ends of a range."""
        return plain(value / 0.0254, digits, 3) if self.inch else plain(value * 1e3, digits, 2)

    def fine_number(self, value: Any) -> Any:
        """A small length, or an array of them, in the unit that `fine_unit` names."""
        return value / 0.0254 if self.inch else value * 1e3

    @property
    def fine_unit(self) -> str:
        return "thou" if self.inch else "µm"

    def length_number(self, value: Any) -> Any:
        """A length, or an array of them, in the unit that `length_unit` names."""
        return value / 25.4 if self.inch else value

    @property
    def length_unit(self) -> str:
        return "inch" if self.inch else "mm"

    def speed(self, value: float) -> str:
        """A cutting speed in m/min as "30 m/min" or "98 ft/min"."""
        return f"{plain(value / 0.3048, 2)} ft/min" if self.inch else f"{plain(value, 2)} m/min"


def finite(value: Any, name: str, unit: str = "") -> Any:
    """`value` (number or array) as float if every number in it is finite; either sign passes. Raises Refused."""
    numbers = floats(value, name, f"a number in {unit}" if unit else "a number")
    if not numbers.size or not np.isfinite(numbers).all():
        raise Refused(f"{name} must be a finite number{f' of {unit}' if unit else ''}. Check the value.")
    return numbers if numbers.ndim else float(numbers)


def is_number(value: Any) -> TypeGuard[float]:
    """Whether a value read from a file is a number that can be reckoned with: neither yes or no, nor text, nor endless.
    """
    return isinstance(value, int | float) and not isinstance(value, bool) and -1e300 < value < 1e300


def positive(value: Any, name: str, unit: str = "mm", zero: bool = False, infinite: bool = False) -> Any:
    """`value` (number or array) as float if it is above zero. Raises Refused with a sentence.

    `zero` lets zero pass, `infinite` lets infinity pass (a rigid holder).
    """
    if type(value) is float and 0 < value < np.inf:   # by far the most common case, on every slider's way
        return value
    numbers = floats(value, name, f"a number in {unit}")
    if not numbers.size:
        raise Refused(f"{name} is missing: give a number in {unit}.")
    bad = np.isnan(numbers) | (numbers < 0) | ((numbers == 0) & (not zero)) | (np.isinf(numbers) & (not infinite))
    if bad.any():
        worst = numbers[bad].flat[0]
        given = f"{said(worst)} {unit}".removesuffix(" 1") if np.isfinite(worst) else said(worst)
        raise Refused(f"{name} is {given}, but must be {'zero or more' if zero else 'above zero'}"
            f"{'' if infinite else ' and finite'}. Check the value.")
    return numbers if numbers.ndim else float(numbers)
