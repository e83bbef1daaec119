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
from typing import Annotated, Any

import numpy as np


class Refused(ValueError):
    """A sentence for the user: what was wrong, what is allowed, what to do.

    It begins with a capital, shortens what was typed at length, and says what is no number in a turner's words.
    """

    def __init__(self, sentence: object = "") -> None:
        text = re.sub(r"“([^”]{80})[^”]+”", r"“\1…”", str(sentence))
        text = re.sub(
            r"\barray\((?:[^()]|\([^()]*\))*\)", "a list", re.sub(r"\bnp\.\w+\(([^()]*)\)", r"\1", text), flags=re.S
        )
        text = re.sub(
            r"[^\s“”]{81,}",
            lambda found: f"{found[0][:40]}…{found[0][-1] if found[0][-1] in '.?!)' else ''}",
            re.sub(r"\\x[0-9a-f]{2}|\0", " ", re.sub(r"\d{31,}", "far too large", text)),
        )
        parts = re.split(r"(“[^”]*”)", text)
        text = "".join(
            part
            if part[:1] == "“"
            else _UNSAID.sub(lambda found: _SAID.get(found[0].strip("'"), "far too large"), part)
            for part in parts
        )
        super().__init__(text[:1].upper() + text[1:] if text[:3].isalpha() and text[:3].islower() else text)


_SAID = {
    "nan": "no number",
    "inf": "without limit",
    "-inf": "without limit",
    "None": "nothing",
    "True": "yes",
    "False": "no",
    "np.True_": "yes",
    "np.False_": "no",
    "[]": "an empty list",
    "{}": "empty",
    "()": "an empty list",
}
_UNSAID = re.compile(
    r"(?:(?<=[ (])|^)'?(?:-?\binf|nan|None|True|False|np\.True_|np\.False_|-?\d(?:\.\d+)?e\+\d{2,3})\b'?|(?<= "
    r")(?:\[\]|\{\}|\(\))"
)

Numbers = Annotated[Any, "a number or an array of numbers"]   # an argument that takes one value or many
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
        return plain(float(one), 6) if one == 0 or abs(one) >= 1e-9 else "all but nought"
    if isinstance(value, (list, tuple, set, range, np.ndarray)):
        return "a list" if (value.size if isinstance(value, np.ndarray) else len(value)) else "an empty list"
    return "raw bytes" if isinstance(value, (bytes, bytearray, memoryview)) else "something else"


# How many of the library's unit one of the shown unit is, by (library unit, shown unit).
FACTORS = {
    ("mm", "µm"): 1e-3,
    ("mm", "inch"): 25.4,
    ("mm", "thou"): 0.0254,
    ("mm", "m"): 1e3,
    ("mm", "cm"): 10.0,
    ("m/min", "ft/min"): 0.3048,
    ("m/min", "m/s"): 60.0,
    ("1/K", "µm/(m K)"): 1e-6,
    ("MPa", "GPa"): 1e3,
    ("N/mm", "N/µm"): 1e3,
    ("mm/N", "µm/N"): 1e-3,
    ("N", "kN"): 1e3,
    ("s", "min"): 60.0,
    ("s", "h"): 3600.0,
    ("kg", "g"): 1e-3,
    ("N mm", "N m"): 1e3,
    ("N mm/rad", "kN m/rad"): 1e6,
    ("mm/N", "µm/kN"): 1e-6,
    ("1", "%"): 1e-2,
    ("1", "µm/m"): 1e-6,
    ("1", "µm/mm"): 1e-3,
}
IN_INCH = {"mm": "inch", "µm": "thou", "m/min": "ft/min"}
SPELLED = {
    "um": "µm",
    "μm": "µm",
    "micron": "µm",
    "microns": "µm",
    "in": "inch",
    '"': "inch",
    "″": "inch",
    "inches": "inch",
    "′′": "inch",
    "''": "inch",
    "mil": "thou",
    "°": "deg",
    "degrees": "deg",
    "c": "°C",
    "°c": "°C",
    "sec": "s",
    "minutes": "min",
    "percent": "%",
    "n": "N",
    "mpa": "MPa",
    "gpa": "GPa",
}


def factor(unit: str, shown: str) -> float:
    """Library units in one shown unit, e.g. 25.4 for ("mm", "inch"). Raises Refused for a wrong pair."""
    if unit == shown:
        return 1.0
    if (unit, shown) in FACTORS:
        return FACTORS[unit, shown]
    raise Refused(f"“{shown}” cannot be turned into {unit}. Leave the unit off, or use {unit}.")


def number(text: Any) -> float:
    """The number a person typed: 12.5, 12,5, １２, −3, 1e-3, 3/8 or 1 3/8.

    A single comma is a decimal comma, also in 1,234; a comma and a point together (1,234.5 or 1.234,5) could be read
    two ways
    and are refused. A thin or unbreakable space groups thousands. Raises Refused where the text is not one finite
    number.
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
    raw = unicodedata.normalize("NFKC", grouped).replace("⁄", "/").replace("−", "-").strip()
    if not raw:
        raise Refused("Nothing was typed. Type a number such as 12.5.")
    plain_text = raw.replace(",", ".") if raw.count(",") == 1 and "." not in raw else raw
    value = np.inf
    if len(raw) <= 40:
        whole = re.fullmatch(r"([+-]?)(?:(\d+)\s+)?(\d+)\s*/\s*(\d+)", plain_text)
        if whole:
            sign, units, top, bottom = whole.groups()
            if int(bottom) == 0:
                raise Refused(f"“{text}” divides by nought. Type a number such as 3/8.")
            return (-1.0 if sign == "-" else 1.0) * (int(units or 0) + int(top) / int(bottom))
        if re.fullmatch(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?", plain_text):
            value = float(plain_text)
            if abs(value) <= 1e100:
                return value
        elif "," in raw or raw.count(".") > 1:
            raise Refused(
                f"{said(text)} has too many commas or points. Write it without a thousands mark, like 1234.5."
            )
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
                f"{name} is missing: give a number from {self.text(self.low, inch)} to {self.text(self.high, inch)}."
            )
        slack = 1e-9 * max(abs(self.low), abs(self.high))
        bad = ~np.isfinite(numbers) | (numbers < self.low - slack) | (numbers > self.high + slack)
        if bad.any():
            worst = numbers[bad].flat[0]
            given = self.text(worst, inch) if 1e-6 <= abs(worst) < 1e12 or worst == 0 else said(worst)
            raise Refused(f"{name} is {given}, but must lie between {self.text(self.low, inch)} and "
                          f"{self.text(self.high, inch)}. Choose a value in that span.")
        if self.whole and (numbers != np.round(numbers)).any():
            raise Refused(f"{name} must be a whole number; it was {plain(float(numbers.flat[0]), 4)}.")
        return float(numbers) if isinstance(value, str) else value

    def read(self, text: Any, name: str = "this value", inch: bool = False) -> float:
        """A typed value, with or without a unit, in the library's unit and inside the span. Raises Refused."""
        if isinstance(text, str):
            clean = unicodedata.normalize("NFKC", text).strip()
            found = re.fullmatch(r"(.*[\d.,])\s*([^\d\s.,]+)?", clean)
            body, unit = found.groups() if found else (clean, None)
            if unit:
                unit = SPELLED.get(unit.strip().lower(), unit.strip())
                try:
                    scale = factor(self.unit, unit)
                except Refused:
                    wanted = self.unit_for(inch)
                    raise Refused(
                        f"{name}: “{unit}” does not fit here. "
                        + (
                            "Type the number without a unit."
                            if wanted == "1"
                            else f"Leave the unit off, or use {wanted}."
                        )
                    ) from None
                return self.check(number(body) * scale, name, inch)
        try:
            typed = number(text)
        except Refused as refusal:
            raise Refused(f"{name}: {str(refusal)[0].lower()}{str(refusal)[1:]}") from None
        return self.check(self.from_shown(typed, inch), name, inch)


def quantity(symbol: str, unit: str, *, low: float, high: float, usual: float, says: str, **more: Any) -> Any:
    """A quantity, typed Any so that it can serve as an annotation: `def f(stickout: Stickout)`."""
    return Quantity(symbol, unit, low, high, usual, says, **more)


def plain(value: float, digits: int = 2) -> str:
    """A number to so many figures without an exponent: 7.26 -> "7.3", 10400 -> "10400", 0.004 -> "0.004"."""
    if not np.isfinite(value):
        return {np.inf: "without limit", -np.inf: "minus without limit"}.get(float(value), "unknown")
    if value == 0:
        return "0"
    places = max(0, digits - 1 - int(np.floor(np.log10(abs(value)))))
    text = f"{value:.{min(places, 9)}f}"
    return (text.rstrip("0").rstrip(".") if "." in text else text).replace("-", "−")


_NUMBER = r"[−±+-]?\d+(?:\.\d+)?"
_NAMED = (r"(?! (?:(?:steel|carbide|cemented|flat|hand|machine|[A-Z]\w?\d+) )*(?:drill|bar|reamer)\b| of blocks| on "
          r"its "
          r"screw|[²³])")
_LENGTH = re.compile(rf"({_NUMBER} (?:to|and|of) )?({_NUMBER}) (mm|µm)\b{_NAMED}")
_DIAMETER = re.compile(r"Ø(\d+(?:\.\d+)?)(?![\d.]| inch| [A-Za-z]{1,2}\d| [+−-]\d)")
_BARE = re.compile(r"(?<=, )(\d+(?:\.\d+)?) (deep|wide|out)\b")


def _in_inch(number_text: str, size: float, least: int) -> str:
    """A written number divided by `size`, to as many figures as it had, and a sign or a word after it left as it is."""
    digits, rest = re.fullmatch(r"([^\sa-z]+)(.*)", number_text).groups()  # type: ignore[union-attr]
    sign = digits[0] if digits[0] in "−±+-" else ""
    bare = digits.removeprefix(sign)
    return sign + plain(float(bare) / size, max(least, len(bare.replace(".", "").lstrip("0")))) + rest


@dataclass(frozen=True)
class Say:
    """How this reader likes numbers written: metric, or inch and thou."""

    inch: bool = False

    def length(self, value: float, digits: int = 4) -> str:
        """A length in mm as "40 mm" or "1.575 inch"."""
        return f"{plain(value / 25.4, digits)} inch" if self.inch else f"{plain(value, digits)} mm"

    def fine(self, value: float, digits: int = 2) -> str:
        """A small length in mm as "7.3 µm" or "0.29 thou"."""
        return f"{plain(value / 0.0254, digits)} thou" if self.inch else f"{plain(value * 1e3, digits)} µm"

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

    def sentence(self, text: str) -> str:
        """A ready sentence with its mm, µm and Ø written for an inch reader.

        What is a name stays: tools ("12 mm drill"), gauge blocks, classes and limits as drawn ("Ø20 h6"), threads.
        """
        if not self.inch:
            return text
        text = _DIAMETER.sub(lambda found: f"Ø{_in_inch(found[1], 25.4, 4)}", text)
        text = _BARE.sub(lambda found: f"{_in_inch(found[1], 25.4, 3)} inch {found[2]}", text)

        def written(found: re.Match[str]) -> str:
            return "".join(
                _in_inch(part, 25.4, 3 if found[3] == "mm" else 2) for part in (found[1], found[2]) if part
            ) + (" inch" if found[3] == "mm" else " thou")

        return _LENGTH.sub(written, text)

    def speed(self, value: float) -> str:
        """A cutting speed in m/min as "30 m/min" or "98 ft/min"."""
        return f"{plain(value / 0.3048, 2)} ft/min" if self.inch else f"{plain(value, 2)} m/min"


def positive(value: Any, name: str, unit: str = "mm", zero: bool = False, infinite: bool = False) -> Any:
    """`value` (number or array) as float if it is above nought. Raises Refused with a sentence.

    `zero` lets nought pass, `infinite` lets infinity pass (a rigid holder).
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
        raise Refused(f"{name} is {given}, but must be {'nought or more' if zero else 'above nought'}"
                      f"{'' if infinite else ' and finite'}. Check the value.")
    return numbers if numbers.ndim else float(numbers)


# ---- the nomenclature. Pages narrow the spans; the meaning is here alone. -----------------------

# one each way that only a formula needs
Ratio: Any = quantity("x", "1", low=0, high=1, usual=0.5, says="a plain ratio")

# work
BoreDiameter: Any = quantity("D", "mm", low=2, high=200, usual=12, says="diameter of the bore", step=0.1)
WorkDiameter: Any = quantity("D", "mm", low=1, high=300, usual=20, says="outside diameter of the work", step=0.1)
Tolerance: Any = quantity("T", "mm", low=0.002, high=0.3, usual=0.018, shown="µm", log=True,
                          says="width of the tolerance band on diameter")

# tool
Stickout: Any = quantity("L", "mm", low=5, high=400, usual=40, says="bar standing out of its holder", step=1)
BarDiameter: Any = quantity("d", "mm", low=1.5, high=60, usual=8, says="diameter of the bar's shank", step=0.5)
NeckLength: Any = quantity(
    "L_n", "mm", low=0, high=60, usual=0, step=1, says="length of the thinner front of the bar; 0 for none"
)
NeckDiameter: Any = quantity(
    "d_n", "mm", low=1, high=40, usual=6, step=0.5, says="diameter of the thinner front of the bar"
)
TipOffsetShare: Any = quantity("e/d", "1", low=0.1, high=2, usual=0.6, step=0.05,
                               says="distance of the tip from the bar's axis, in bar diameters")
NoseRadius: Any = quantity("r", "mm", low=0.02, high=1.6, usual=0.4, says="radius of the tool's nose", step=0.05)
Modulus: Any = quantity("E", "MPa", low=2e3, high=700e3, usual=205e3, shown="GPa", says="how stiff the material is")
Poisson: Any = quantity(r"\nu", "1", low=0, high=0.49, usual=0.29, says="how much the material thins as it stretches")
ShearModulus: Any = quantity("G", "MPa", low=1e3, high=300e3, usual=79e3, shown="GPa", says="stiffness in shear")
SecondMoment: Any = quantity("I", "mm⁴", low=0.1, high=1e6, usual=201, says="second moment of area of the section")
PolarMoment: Any = quantity("J", "mm⁴", low=0.1, high=1e6, usual=402, says="polar second moment of a round section")
SectionArea: Any = quantity("A", "mm²", low=1, high=5e3, usual=50, says="area of the section")
ShearFactor: Any = quantity(
    r"\kappa_s", "1", low=0.8, high=1, usual=0.89, says="share of the section that carries shear"
)
TipOffset: Any = quantity("e", "mm", low=0, high=30, usual=4, says="distance of the tip from the bar's axis", step=0.5)
Density: Any = quantity(r"\rho", "kg/m³", low=500, high=20000, usual=7850, says="density")
TipMass: Any = quantity(
    "m_t", "kg", low=0, high=0.5, usual=0.003, shown="g", says="mass of head and insert at the bar's end"
)
LeastChip: Any = quantity(r"h_{min}", "mm", low=0.0005, high=0.03, usual=0.004, shown="µm",
                          says="thinnest chip the edge can take; below it the edge rubs", step=0.5)

# holder
HolderStiffness: Any = quantity("k_t", "N/mm", low=1e3, high=1e6, usual=30e3, shown="N/µm", log=True,
                                says="side force that shifts the holder by a unit of length")
HolderRotation: Any = quantity(r"k_\theta", "N mm/rad", low=1e5, high=1e10, usual=2e7, log=True,
                               says="moment that tilts the holder by one radian")
Damping: Any = quantity(r"\zeta", "1", low=0.001, high=0.4, usual=0.03, log=True,
                        says="share of critical damping: how fast the ring dies")

# cut
DepthOfCut: Any = quantity("a", "mm", low=0.002, high=3, usual=0.1, log=True, says="depth of cut, on radius")
Infeed: Any = quantity("a_0", "mm", low=0.002, high=3, usual=0.1, log=True, says="infeed set on the dial, on radius")
StockTaper: Any = quantity(r"\Delta_0", "mm", low=0, high=0.3, usual=0.02, shown="µm", step=5,
                           says="taper or unevenness of the bore before this cut, on diameter")
Feed: Any = quantity("f", "mm", low=0.01, high=0.8, usual=0.05, says="feed per turn", step=0.01)
EnteringAngle: Any = quantity(r"\kappa", "deg", low=30, high=110, usual=90, says="entering angle of the main edge")
CuttingSpeed: Any = quantity("v_c", "m/min", low=2, high=400, usual=40, says="cutting speed", step=1)
SpindleSpeed: Any = quantity("n", "1/min", low=20, high=6000, usual=800, says="spindle speed")
Force: Any = quantity("F", "N", low=0.1, high=5e3, usual=15, says="force")
CuttingForce: Any = quantity("F_c", "N", low=0.1, high=5e3, usual=15, says="cutting force, along the speed")
ThrustForce: Any = quantity(
    "F_p", "N", low=0.1, high=5e3, usual=10, says="thrust force, that pushes the tool off the wall"
)
FeedForce: Any = quantity("F_f", "N", low=0.1, high=5e3, usual=4, says="feed force, along the work's axis")
Power: Any = quantity("P", "kW", low=0.001, high=20, usual=0.3, says="power at the edge")
ChipThickness: Any = quantity("h", "mm", low=0.001, high=0.8, usual=0.03, says="uncut chip thickness", log=True)
UnitChip: Any = quantity("h_0", "mm", low=1, high=1, usual=1, says="the 1 mm chip the tables refer to")
SpecificForce: Any = quantity("k_c", "MPa", low=200, high=2e4, usual=2500, says="cutting force per area of chip")
MainForceValue: Any = quantity("k_{c1.1}", "MPa", low=300, high=4000, usual=1500,
                               says="specific cutting force of a 1 mm by 1 mm chip")
MainForceExponent: Any = quantity("m_c", "1", low=0.05, high=0.5, usual=0.22,
                                  says="how the specific force rises as the chip gets thinner")
ThrustValue: Any = quantity("k_{n1.1}", "MPa", low=50, high=3000, usual=600,
                            says="specific force normal to the edge for a 1 mm by 1 mm chip")
ThrustExponent: Any = quantity("m_n", "1", low=0.05, high=0.8, usual=0.4,
                               says="how the normal force rises as the chip gets thinner")
Passes: Any = quantity("n", "1", low=1, high=8, usual=2, whole=True, step=1, says="passes at one dial setting")

# answers
Deflection: Any = quantity(r"\delta", "mm", low=0, high=1, usual=0.007, shown="µm", says="how far the end moves")
ShearDeflection: Any = quantity(r"\delta_s", "mm", low=0, high=1, usual=0.0002, shown="µm", says="movement from shear")
HolderDeflection: Any = quantity(
    r"\delta_h", "mm", low=0, high=1, usual=0.004, shown="µm", says="movement from the holder's yielding"
)
WholeDeflection: Any = quantity(r"\delta_{tip}", "mm", low=0, high=1, usual=0.012, shown="µm",
                               says="movement of the tip, bar and holder together")
Twist: Any = quantity(r"\vartheta", "1", low=0, high=0.1, usual=0.001, says="angle of twist, radians")
Compliance: Any = quantity("C", "mm/N", low=1e-7, high=1e-1, usual=5e-4, says="movement of the tip for one newton")
Stiffness: Any = quantity("k", "N/mm", low=10, high=1e6, usual=2000, says="force for a unit of movement at the tip")
BoreError: Any = quantity(r"\Delta D", "mm", low=-1, high=1, usual=0.01, shown="µm", says="error of the diameter")
Frequency: Any = quantity("f_1", "Hz", low=10, high=50e3, usual=2000, says="natural frequency")
SlendernessRatio: Any = quantity("L/d", "1", low=0.5, high=20, usual=4, says="stickout in bar diameters")
CuttingStiffness: Any = quantity(
    "K", "N/mm", low=0.1, high=1e5, usual=100, says="how fast the thrust grows as the tip moves in"
)
CriticalStiffness: Any = quantity("K_{lim}", "N/mm", low=0.1, high=1e5, usual=100,
                                  says="cutting stiffness at which chatter begins")
Overlap: Any = quantity(r"\mu", "1", low=0.05, high=1, usual=0.9,
                        says="share of the chip's back that the last turn left")
DampingInTheCut: Any = quantity(r"\zeta_c", "1", low=0.001, high=5, usual=0.05, log=True,
                                says="share of critical damping with the flank's rubbing")
RubbingConstant: Any = quantity("C_i", "N/mm", low=5, high=700, usual=150, log=True,
                                says="how hard the flank resists riding over the wave it left")
EdgeLength: Any = quantity("b", "mm", low=0.01, high=3, usual=0.3, log=True, says="length of edge in the cut")
Drop: Any = quantity("u_t", "mm", low=0, high=1, usual=0.02, shown="µm", says="how far the tip drops below centre")
RadialPush: Any = quantity(
    "u_r", "mm", low=0, high=1, usual=0.007, shown="µm", says="how far the tip is pushed off the wall"
)
Roughness: Any = quantity("R_t", "mm", low=0, high=0.1, usual=0.001, shown="µm", says="height of the feed marks")
MeanRoughness: Any = quantity("R_a", "mm", low=0, high=0.02, usual=0.0003, shown="µm", says="mean roughness")
Area: Any = quantity("A", "mm²", low=1e-5, high=10, usual=0.005, says="area of the uncut chip")

# bore stress: the bar as bought, cut, and measured
StockRadius: Any = quantity("R", "mm", low=2, high=60, usual=10, says="outside radius of the bar as bought")
PlaceRadius: Any = quantity("r", "mm", low=0.1, high=60, usual=9, says="radius of the place looked at")
BoredRadius: Any = quantity("a", "mm", low=0, high=50, usual=5, says="radius of the bore as it is now")
TurnedRadius: Any = quantity("b", "mm", low=1, high=60, usual=9, says="outside radius as it is now")
SkinAxialStress: Any = quantity(
    "S_z", "MPa", low=-800, high=800, usual=275, says="stress along the bar at its skin", step=5
)
SkinHoopStress: Any = quantity(
    "T_h", "MPa", low=-800, high=800, usual=180, says="stress around the bar at its skin", step=5
)
AxialSteepness: Any = quantity(
    "m", "1", low=0.5, high=40, usual=2, says="how steeply the axial stress rises to the skin"
)
HoopSteepness: Any = quantity("n", "1", low=0.5, high=40, usual=2, says="how steeply the hoop stress rises to the skin")
AxialStress: Any = quantity(r"\sigma_z", "MPa", low=-1500, high=1500, usual=100, says="stress along the bar")
HoopStress: Any = quantity(r"\sigma_\theta", "MPa", low=-1500, high=1500, usual=100, says="stress around the bar")
RadialStress: Any = quantity(r"\sigma_r", "MPa", low=-1500, high=1500, usual=-50, says="stress across the bar")
InnerRadialStress: Any = quantity(r"\sigma_{ra}", "MPa", low=-1500, high=1500, usual=-50,
                                  says="radial stress of the uncut bar where the bore now is")
OuterRadialStress: Any = quantity(r"\sigma_{rb}", "MPa", low=-1500, high=1500, usual=-20,
                                  says="radial stress of the uncut bar where the outside now is")
RingMeanStress: Any = quantity(r"\bar\sigma_z", "MPa", low=-1500, high=1500, usual=75,
                               says="mean axial stress of what is still there")
EvenRelease: Any = quantity(
    "A", "MPa", low=-1500, high=1500, usual=30, says="even part of the stress that cutting adds"
)
WallRelease: Any = quantity(
    "B", "N", low=-1e6, high=1e6, usual=1e3, says="part that falls off with the square of the radius"
)
AxialRelease: Any = quantity("C", "MPa", low=-1500, high=1500, usual=-75, says="axial stress that cutting adds")
RadialShift: Any = quantity(
    "u", "mm", low=-0.1, high=0.1, usual=-0.001, shown="µm", says="how far a place moves outwards"
)
LengthStrain: Any = quantity(r"\varepsilon_z", "1", low=-0.01, high=0.01, usual=-1e-4, shown="µm/m",
                             says="change of length for each unit of length")
SkinStrain: Any = quantity(r"\varepsilon_\theta", "1", low=-0.01, high=0.01, usual=-1e-4, shown="µm/m",
                           says="change of the outside diameter for each unit of diameter")
BoredShare: Any = quantity("f", "1", low=0.01, high=0.99, usual=0.25, says="share of the bar's section bored away")
AxialReading: Any = quantity(r"\Lambda", "1", low=-0.01, high=0.01, usual=-3e-4, shown="µm/m",
                             says="length strain plus Poisson's ratio times the strain of the outside")
HoopReading: Any = quantity(r"\Theta", "1", low=-0.01, high=0.01, usual=-2e-4, shown="µm/m",
                            says="strain of the outside plus Poisson's ratio times the length strain")
AxialSlope: Any = quantity(r"\Lambda'", "1", low=-0.02, high=0.02, usual=-1e-3, shown="µm/m",
                           says="how fast the axial reading changes with the bored share")
HoopSlope: Any = quantity(r"\Theta'", "1", low=-0.02, high=0.02, usual=-1e-3, shown="µm/m",
                          says="how fast the hoop reading changes with the bored share")
RingWall: Any = quantity("t", "mm", low=0.2, high=10, usual=1, says="wall of the ring", step=0.1)
RingBefore: Any = quantity("D_0", "mm", low=5, high=200, usual=19, says="mean diameter of the ring before the slit")
RingAfter: Any = quantity("D_1", "mm", low=5, high=200, usual=19.1, says="mean diameter of the ring after the slit")
SlitOpening: Any = quantity(
    "g", "mm", low=-20, high=20, usual=0.3, says="how much wider the slit is than what was sawn out", step=0.01
)

# fits
FitSize: Any = quantity("D", "mm", low=0.05, high=500, usual=20, says="nominal size of the fit", step=0.5)
StepMean: Any = quantity("D_m", "mm", low=1.5, high=500, usual=23.2, says="geometric mean of the step's two ends")
ToleranceUnit: Any = quantity(
    "i", "mm", low=0.0005, high=0.005, usual=0.0013, shown="µm", says="tolerance unit of the grades"
)
UnitsWide: Any = quantity("m", "1", low=7, high=2500, usual=16, says="how many tolerance units wide the grade is")
GradeWidth: Any = quantity("T", "mm", low=0.0005, high=6, usual=0.021, shown="µm", says="width of the grade")
LetterFactor: Any = quantity("a", "1", low=0.5, high=20, usual=2.5, says="the letter's factor")
LetterPower: Any = quantity("b", "1", low=0.3, high=0.5, usual=0.34, says="the letter's power")
ZoneShift: Any = quantity(
    "e", "mm", low=0, high=2, usual=0.007, shown="µm", says="distance of the zone from the nominal line"
)
FitClearance: Any = quantity("c", "mm", low=-0.2, high=0.4, usual=0.012, shown="µm",
                             says="hole less shaft; below nought the shaft is the larger", step=1)
HandSpread: Any = quantity(r"\pm x", "mm", low=0.001, high=0.05, usual=0.01, shown="µm", step=1,
                           says="how far you miss the size you aim at, nineteen times in twenty")
MateDoubt: Any = quantity("u", "mm", low=0, high=0.03, usual=0.004, shown="µm", step=1,
                          says="how far your measured size may be wrong, nineteen times in twenty")
MateOff: Any = quantity("e", "mm", low=-0.1, high=0.1, usual=0.008, shown="µm", step=1,
                        says="how far the finished part measured from nominal; minus is smaller")
OuterWall: Any = quantity("w_a", "mm", low=0.5, high=100, usual=10, log=True, says="wall of the outer part, on radius")
InnerWall: Any = quantity("w_i", "mm", low=0.5, high=100, usual=3, log=True,
                          says="wall of the inner part, on radius; half the diameter or more is solid")
Tries: Any = quantity(
    "n", "1", low=1, high=4, usual=1, whole=True, step=1, says="cuts you allow yourself, measuring between"
)
FitDiameter: Any = quantity("d", "mm", low=1, high=300, usual=20, says="diameter at which the parts meet", step=0.5)
HubOutside: Any = quantity(
    "D_a", "mm", low=1.5, high=600, usual=40, says="outside diameter of the outer part", step=0.5
)
ShaftBore: Any = quantity(
    "d_i", "mm", low=0, high=280, usual=0, says="bore of the inner part; nought for a solid one", step=0.5
)
HubModulus: Any = Modulus.but(symbol="E_a", says="stiffness of the outer part's material")
ShaftModulus: Any = Modulus.but(symbol="E_i", says="stiffness of the inner part's material")
HubPoisson: Any = Poisson.but(symbol=r"\nu_a", says="thinning of the outer part's material as it stretches")
ShaftPoisson: Any = Poisson.but(symbol=r"\nu_i", says="thinning of the inner part's material as it stretches")
HubGive: Any = quantity(
    "g_a",
    "1/MPa",
    low=1e-6,
    high=1e-2,
    usual=1e-5,
    says="how much the outer part gives, for its diameter and a unit of pressure",
)
ShaftGive: Any = quantity(
    "g_i",
    "1/MPa",
    low=1e-7,
    high=1e-2,
    usual=4e-6,
    says="how much the inner part gives, for its diameter and a unit of pressure",
)
JoinEase: Any = quantity(
    "s", "mm", low=0, high=0.3, usual=0.02, shown="µm", step=1, says="clearance wanted while the parts are put together"
)
PressInterference: Any = quantity(
    "I",
    "mm",
    low=0.001,
    high=0.3,
    usual=0.025,
    shown="µm",
    step=1,
    says="shaft larger than hole before joining, on diameter",
)
GripLength: Any = quantity("l", "mm", low=1, high=200, usual=20, says="length over which the parts meet", step=1)
JointPressure: Any = quantity("p", "MPa", low=0, high=1000, usual=60, says="pressure between the parts")
JointFriction: Any = quantity(
    r"\mu", "1", low=0.02, high=0.4, usual=0.12, says="grip coefficient between the parts", step=0.01
)
JointTorque: Any = quantity(
    "M", "N mm", low=0, high=1e9, usual=50e3, shown="N m", says="torque at which the joint slips"
)
JointForce: Any = quantity(
    "F", "N", low=0, high=1e7, usual=5e3, shown="kN", says="force along the axis at which the joint slips"
)
HubStress: Any = quantity(
    r"\sigma_\varphi", "MPa", low=0, high=3000, usual=150, says="pull round the bore of the outer part"
)
PeakToValley: Any = quantity(
    "R_z", "mm", low=0, high=0.05, usual=0.004, shown="µm", says="height of the surface's peaks over its valleys"
)
HubPeaks: Any = PeakToValley.but(symbol="R_{za}", says="peak to valley height of the hole's surface")
ShaftPeaks: Any = PeakToValley.but(symbol="R_{zi}", says="peak to valley height of the shaft's surface")
PeaksLost: Any = quantity(
    r"\Delta I", "mm", low=0, high=0.1, usual=0.006, shown="µm", says="interference lost as the peaks are pressed flat"
)
DiameterChange: Any = quantity(r"\Delta d", "mm", low=0, high=1, usual=0.005, shown="µm", says="change of the diameter")

# workholding: rings in jaws, work that bends, the lathe's own springs
RingOutside: Any = quantity("D_o", "mm", low=5, high=200, usual=62, says="outside diameter of the ring", step=0.5)
RingBore: Any = quantity("D_b", "mm", low=2, high=190, usual=42, says="bore of the ring", step=0.5)
GripWidth: Any = quantity("w", "mm", low=2, high=80, usual=14, says="length of work that the jaws cover", step=0.5)
JawCount: Any = quantity("n", "1", low=2, high=12, usual=3, whole=True, step=1, says="number of jaws")
JawLoad: Any = quantity("P", "N", low=20, high=15000, usual=1500, log=True, says="push of each jaw")
PadHalfAngle: Any = quantity(
    r"\beta", "deg", low=0, high=58, usual=6, says="half the angle one jaw's face covers", step=1
)
RingRadius: Any = quantity("R", "mm", low=2, high=100, usual=26, says="radius of the middle of the wall")
WallSecondMoment: Any = quantity("I_w", "mm⁴", low=0.1, high=1e5, usual=1200, says="second moment of the ring's wall")
JawSpacing: Any = quantity(r"\alpha", "1", low=0.25, high=1.58, usual=1.05, says="half the angle between jaws, radians")
RadialMove: Any = quantity("u", "mm", low=-1, high=1, usual=0.003, shown="µm", says="how far the ring's radius moves")
RingWallStress: Any = quantity(
    r"\sigma", "MPa", low=0, high=2000, usual=60, says="bending stress in the wall under a jaw"
)
RawGive: Any = quantity(
    "c_0", "mm/N", low=0, high=1e-2, usual=1e-6, shown="µm/kN", says="give of the ring under a jaw before boring"
)
FinishedGive: Any = quantity(
    "c_1", "mm/N", low=0, high=1e-2, usual=2e-6, shown="µm/kN", says="give of the ring under a jaw after boring"
)
JawGive: Any = quantity(
    "c_j", "mm/N", low=0, high=1e-2, usual=5e-6, shown="µm/kN", says="give of one jaw, its scroll and the chuck's body"
)
GripDiameter: Any = quantity("d_g", "mm", low=3, high=200, usual=62, says="diameter the jaws grip")
CutDiameter: Any = quantity("d_c", "mm", low=1, high=200, usual=42, says="diameter being cut")
GripFriction: Any = quantity(
    r"\mu", "1", low=0.03, high=0.6, usual=0.1, says="grip coefficient between jaw and work", step=0.01
)
Safety: Any = quantity("S", "1", low=1, high=6, usual=2.5, says="safety against slipping", step=0.1)
GripForce: Any = quantity(r"\Sigma P", "N", low=10, high=1e5, usual=5000, log=True, says="push of all jaws together")
HandPull: Any = quantity("F_h", "N", low=5, high=500, usual=100, says="pull of each hand on the key", step=5)
KeySpan: Any = quantity("l_k", "mm", low=40, high=300, usual=160, says="distance between the hands on the key's bar")
ScrollRatio: Any = quantity("i", "1", low=1, high=6, usual=3.5, says="turns of the key for one turn of the scroll")
ScrollPitch: Any = quantity("p", "mm", low=3, high=12, usual=7, says="jaw travel for one turn of the scroll")
ScrollYield: Any = quantity(
    r"\eta", "1", low=0.03, high=0.6, usual=0.2, says="share of the key's work that reaches the jaws"
)
GripPressure: Any = quantity("p_g", "MPa", low=0, high=2000, usual=10, says="pressure on the gripped surface")
LineGive: Any = quantity(
    "E^*", "MPa", low=500, high=400e3, usual=110e3, says="contact modulus of jaw and work together"
)
DrawPull: Any = quantity("F_d", "N", low=100, high=30e3, usual=4000, log=True, says="axial pull that closes the collet")
TaperHalfAngle: Any = quantity(r"\gamma", "deg", low=2, high=30, usual=8, says="half the taper's angle")
FrictionAngle: Any = quantity(r"\varrho", "deg", low=0, high=20, usual=7, says="friction angle of the taper")
ClampForce: Any = quantity(
    "F_a", "N", low=50, high=20e3, usual=2000, log=True, says="axial clamping force on the ring's faces"
)
FaceRadius: Any = quantity("r_f", "mm", low=1, high=100, usual=26, says="mean radius of the clamped faces")
WorkLength: Any = quantity("L", "mm", low=5, high=400, usual=60, says="length of work standing out of the jaws", step=1)
CutPlace: Any = quantity("z", "mm", low=0, high=400, usual=60, says="distance of the cut from the jaws")
WorkSecondMoment: Any = quantity(
    "I", "mm⁴", low=0.05, high=4e8, usual=7854, says="second moment of the shaft's section"
)
SpindleStiffness: Any = quantity("k_s", "N/mm", low=2e3, high=1e6, usual=30e3, shown="N/µm", log=True,
                                 says="side force that shifts spindle and chuck by a unit of length")
SpindleRotation: Any = quantity(r"k_\vartheta", "N mm/rad", low=1e6, high=1e10, usual=1e8, shown="kN m/rad", log=True,
                                says="moment that tilts spindle, chuck and grip by one radian")
CentreStiffness: Any = quantity("k_c", "N/mm", low=1e3, high=1e6, usual=10e3, shown="N/µm", log=True,
                                says="side force that shifts the tailstock's centre by a unit of length")
HeadCentreStiffness: Any = quantity("k_h", "N/mm", low=1e3, high=1e6, usual=30e3, shown="N/µm", log=True,
                                    says="side force that shifts the headstock's centre by a unit of length")
SteadyStiffness: Any = quantity("k_r", "N/mm", low=1e3, high=1e6, usual=10e3, shown="N/µm", log=True,
                                says="side force that shifts the steady rest by a unit of length")
WorkError: Any = quantity(
    r"\Delta d", "mm", low=-1, high=1, usual=0.003, shown="µm", says="error of the turned diameter"
)
FreeLength: Any = quantity("L_f", "mm", low=1, high=1000, usual=40, says="longest free length for a given error")
StockLeft: Any = quantity(
    "s", "mm", low=0, high=10, usual=2, says="left to bore once it is clamped, on diameter", step=0.1
)
TurnedShare: Any = quantity("x", "1", low=0, high=0.9, usual=0.4, shown="%", step=5,
                            says="share of the length, at the free end, that is the smaller step")
SteadyPlace: Any = quantity("x_s", "1", low=0.1, high=0.9, usual=0.6, shown="%", step=5,
                            says="place of the steady rest, as a share of the length from the jaws")

# reaming: teeth on the lead, the hole they leave, the stock in front of them
HoleSize: Any = quantity("D", "mm", low=1, high=100, usual=10, says="nominal size of the reamed hole", step=0.5)
HoleWall: Any = quantity(
    "D_a", "mm", low=1.5, high=300, usual=20, says="outside diameter of the part around the hole", step=0.5
)
ReamingStock: Any = quantity(
    "s", "mm", low=0.005, high=1.2, usual=0.15, log=True, says="stock left for the reamer, on diameter"
)
ReamerTeeth: Any = quantity("z", "1", low=2, high=16, usual=6, whole=True, step=1, says="teeth of the reamer")
LeadAngle: Any = quantity(
    r"\kappa", "deg", low=0.5, high=60, usual=45, says="angle between the cutting lead and the axis", step=0.5
)
EntryAngle: Any = quantity(
    r"\kappa_e", "deg", low=0.1, high=60, usual=45, says="steepest edge angle that the stock reaches"
)
CornerRounding: Any = quantity("r_c", "mm", low=0.005, high=0.5, usual=0.05, log=True,
                               says="rounding of the corner between lead and land")
EdgeRounding: Any = quantity(
    "r_n", "mm", low=0.002, high=0.06, usual=0.01, shown="µm", log=True, says="rounding of the cutting edge"
)
EdgeFriction: Any = quantity(r"\mu", "1", low=0, high=0.95, usual=0.3, says="friction between chip and edge", step=0.05)
ReamerOffset: Any = quantity("e", "mm", low=0, high=0.1, usual=0.01, shown="µm",
                             says="distance between the reamer's axis and the axis of rotation", step=1)
ReamingFeed: Any = quantity("f", "mm", low=0.02, high=1, usual=0.15, says="feed per turn", step=0.01)
ReamingSpeed: Any = quantity("v_c", "m/min", low=1, high=30, usual=8, says="cutting speed of the reamer", step=0.5)
SpeedNorm: Any = quantity("v_0", "m/min", low=8, high=8, usual=8, says="the reaming speed the estimates refer to")
SpeedTrend: Any = quantity("q", "1", low=0, high=1, usual=0.3, says="how strongly the built-up edge follows the speed")
ToothChip: Any = quantity(
    "h", "mm", low=0, high=0.5, usual=0.015, shown="µm", says="chip of one tooth, straight across the lead"
)
LeadWidth: Any = quantity("b", "mm", low=0.001, high=40, usual=0.1, says="length of lead in the cut")
LandLength: Any = quantity("l_l", "mm", low=0.01, high=0.5, usual=0.15, says="length of land that presses on the bore")
EdgeInContact: Any = quantity(
    "l_e", "mm", low=0.01, high=40, usual=0.3, says="length of edge that presses on the metal"
)
PushLength: Any = quantity(r"\lambda", "mm", low=0.002, high=0.2, usual=0.02, shown="µm",
                           says="chip thickness whose force equals the edge's own push")
CuttingShare: Any = quantity(
    "c", "1", low=0, high=1, usual=0.4, says="share of the torque that cuts; the rest burnishes"
)
FollowShare: Any = quantity(
    "w", "1", low=0, high=1, usual=0.5, says="share of the offset that the holder forces on the hole"
)
Opening: Any = quantity(
    r"\Delta_e", "mm", low=0, high=0.2, usual=0.005, shown="µm", says="the hole opens by the offset"
)
BuildUp: Any = quantity("b_u", "mm", low=0, high=0.02, usual=0.003, shown="µm", says="height of the built-up edge")
BuildUpOpening: Any = quantity(
    r"\Delta_b", "mm", low=0, high=0.1, usual=0.004, shown="µm", says="the hole opens by the built-up edge"
)
EdgeLineForce: Any = quantity(
    "K_e", "N/mm", low=1, high=100, usual=40, says="force of a rubbing edge for a unit of its length"
)
LandPressure: Any = quantity("p", "MPa", low=0.05, high=300, usual=8, says="push of all lands, spread round the bore")
SpringShare: Any = quantity("k_r", "1", low=0, high=1, usual=0.3, says="share of the pressed layer that springs back")
BoreClosing: Any = quantity(
    r"\Delta_p", "mm", low=0, high=0.5, usual=0.001, shown="µm", says="the bore closes when the push is gone"
)
LayerClosing: Any = quantity(r"\Delta_s", "mm", low=0, high=0.1, usual=0.002, shown="µm",
                             says="the hole closes as the pressed layer springs back")
MarkHeight: Any = quantity(
    "R_t", "mm", low=0, high=0.1, usual=0.006, shown="µm", says="height of the marks in the bore before reaming"
)
MarksLeft: Any = quantity(
    "R_l", "mm", low=0, high=0.1, usual=0.001, shown="µm", says="height of the old marks still there after reaming"
)
DrillOversize: Any = quantity("o", "mm", low=0, high=0.5, usual=0.05, says="how much larger than itself a drill cuts")
ReamerDeviation: Any = quantity("A_r", "mm", low=-0.06, high=0.12, usual=0.009, shown="µm", step=1,
                                says="the reamer as measured over two opposite teeth, from the nominal size")
HoleReading: Any = quantity("A_h", "mm", low=-0.1, high=0.2, usual=0.012, shown="µm", step=1,
                            says="your finished hole as measured, from the nominal size")
PartWall: Any = quantity("t", "mm", low=0.5, high=60, usual=5, log=True, says="wall of metal round the hole")
BarShare: Any = quantity(
    "d/D", "1", low=0.25, high=0.85, usual=0.65, says="bar diameter as a share of the bore", step=0.05
)
DrillForReaming: Any = quantity("d_b", "mm", low=0.5, high=100, usual=9.75, says="drill before reaming")

# heat: sizes that grow, heat from the cut, cooling
Temperature: Any = quantity("T", "°C", low=-40, high=200, usual=20, says="temperature", step=0.5)
SizeAtTwenty: Any = quantity("D", "mm", low=0.1, high=2000, usual=20, says="size at 20 °C", step=0.5)
Expansion: Any = quantity(r"\alpha", "1/K", low=0, high=2e-4, usual=12e-6, shown="µm/(m K)",
                          says="growth of each metre for each degree")
GaugeExpansion: Any = quantity(r"\alpha_g", "1/K", low=0, high=2e-4, usual=11.5e-6, shown="µm/(m K)",
                               says="growth of the gauge's material")
HoleExpansion: Any = quantity(r"\alpha_h", "1/K", low=0, high=2e-4, usual=23.4e-6, shown="µm/(m K)",
                              says="growth of the part with the hole")
ShaftExpansion: Any = quantity(r"\alpha_s", "1/K", low=0, high=2e-4, usual=12e-6, shown="µm/(m K)",
                               says="growth of the part in the hole")
Rise: Any = quantity(r"\Delta T", "K", low=-80, high=200, usual=10, says="how much warmer", step=0.5)
GaugeRise: Any = quantity(
    r"\Delta T_g", "K", low=-80, high=200, usual=0, says="how much warmer than 20 °C the gauge is"
)
CoolRise: Any = quantity(r"\theta", "K", low=0.01, high=200, usual=10, says="how much warmer than its surroundings")
StartRise: Any = quantity(r"\theta_0", "K", low=0.1, high=150, usual=25, says="how much warmer at the start", step=1)
Growth: Any = quantity(r"\Delta L", "mm", low=-5, high=5, usual=0.003, shown="µm", says="change of size")
ReadingError: Any = quantity("e", "mm", low=-5, high=5, usual=0.001, shown="µm", says="reading less the size at 20 °C")
Reading: Any = quantity("D_r", "mm", low=0.1, high=2000, usual=20, says="what the gauge reads")
Clearance: Any = quantity("c", "mm", low=-0.3, high=0.5, usual=0.02, shown="µm", step=1,
                          says="play on diameter; less than nought is interference")
ClearanceAtTwenty: Any = quantity("c_{20}", "mm", low=-0.3, high=0.5, usual=0.02, shown="µm", step=1,
                                  says="play on diameter at 20 °C; less than nought is interference")
Interference: Any = quantity("i", "mm", low=0, high=0.2, usual=0.012, shown="µm", step=1,
                             says="how much bigger the bearing is than its seat, cold")
EasyPlay: Any = quantity("j", "mm", low=0, high=0.1, usual=0.015, shown="µm", step=1,
                         says="play on diameter that lets it drop in")
ExpansionDoubt: Any = quantity(r"u_\alpha", "1/K", low=0, high=2e-5, usual=5e-7, shown="µm/(m K)",
                               says="standard uncertainty of the growth of part beside gauge")
TemperatureDoubt: Any = quantity("u_T", "K", low=0, high=10, usual=0.5,
                                 says="standard uncertainty of the temperature", step=0.1)
DifferenceDoubt: Any = quantity(r"u_\delta", "K", low=0, high=10, usual=0.3, step=0.1,
                                says="standard uncertainty of the difference between part and gauge")
SizeDoubt: Any = quantity("u_D", "mm", low=0, high=1, usual=0.0003, shown="µm", says="standard uncertainty of the size")
SpecificHeat: Any = quantity("c_p", "J/(kg K)", low=100, high=2000, usual=470, says="heat for each kilogram and degree")
Conductivity: Any = quantity(
    "k", "W/(m K)", low=0.1, high=420, usual=48, says="how well heat runs through the material"
)
ThermalNumber: Any = quantity("x", "1", low=0.01, high=300, usual=1, log=True,
                              says="heat carried by the chip over heat that runs ahead into the work")
ShearAngle: Any = quantity(r"\varphi", "deg", low=10, high=40, usual=22, says="angle of the shear plane", step=1)
ShearPlaneShare: Any = quantity(r"\beta", "1", low=0, high=1, usual=0.5,
                                says="share of the shear plane's heat that enters the work")
ShearPowerShare: Any = quantity("s", "1", low=0, high=1, usual=0.7, says="share of the power spent on the shear plane")
FlankPowerShare: Any = quantity(
    "w", "1", low=0, high=0.5, usual=0.06, says="share of the power rubbed off at the flank"
)
HeatShare: Any = quantity(r"\Gamma", "1", low=0, high=1, usual=0.4, shown="%",
                          says="share of the cutting power that heats the work")
RemovedVolume: Any = quantity("V_c", "mm³", low=0.1, high=1e5, usual=280, says="metal cut away")
PartVolume: Any = quantity("V", "mm³", low=10, high=1e7, usual=4500, says="metal in the part")
RayleighNumber: Any = quantity(r"\mathrm{Ra}", "1", low=1e-2, high=1e9, usual=3000, log=True,
                               says="lift of warm air over what slows it")
ReynoldsNumber: Any = quantity(r"\mathrm{Re}", "1", low=1, high=1e6, usual=1000, log=True,
                               says="push of moving air over what slows it")
PrandtlNumber: Any = quantity(r"\mathrm{Pr}", "1", low=0.5, high=1, usual=0.73,
                              says="how far air's motion spreads beside its warmth")
NusseltNumber: Any = quantity(
    r"\mathrm{Nu}", "1", low=0.3, high=1e4, usual=4, says="heat carried beside what still air conducts"
)
AirViscosity: Any = quantity(r"\nu", "mm²/s", low=8, high=30, usual=16.1, says="kinematic viscosity of air")
AirConductivity: Any = quantity("k_a", "W/(m K)", low=0.02, high=0.04, usual=0.0259, says="how well air conducts heat")
FilmTemperature: Any = quantity("T_f", "K", low=240, high=430, usual=303,
                                says="mean of surface and air, counted from absolute nought")
Surface: Any = quantity("T_s", "K", low=240, high=480, usual=313, says="the surface, counted from absolute nought")
Surroundings: Any = quantity(
    "T_a", "K", low=240, high=330, usual=293, says="the surroundings, counted from absolute nought"
)
Gravity: Any = quantity("g", "mm/s²", low=9806.65, high=9806.65, usual=9806.65, says="pull of the earth")
Stefan: Any = quantity(r"\sigma", "W/(m² K⁴)", low=5.670374e-8, high=5.670374e-8, usual=5.670374e-8,
                       says="radiation constant")
Emissivity: Any = quantity(
    r"\varepsilon", "1", low=0.02, high=1, usual=0.24, says="share of a black body's radiation", step=0.01
)
AirSpeed: Any = quantity("v", "m/s", low=0, high=30, usual=0, says="speed of the air over the part", step=0.1)
SurfaceCoefficient: Any = quantity("h", "W/(m² K)", low=1, high=5000, usual=10, log=True,
                                   says="heat that leaves each square metre for each degree")
ThicknessForHeat: Any = quantity("V/A", "mm", low=0.1, high=100, usual=3, says="volume over cooling surface")
BiotNumber: Any = quantity(r"\mathrm{Bi}", "1", low=0, high=1e3, usual=1e-3,
                           says="resistance inside the part over resistance at its skin")
TimeConstant: Any = quantity(r"\tau", "s", low=0.1, high=1e6, usual=1000, says="time to lose 63 % at one coefficient")
Wait: Any = quantity("t", "s", low=0, high=1e7, usual=900, shown="min", says="time to wait")
CoolExponent: Any = quantity(
    "n", "1", low=0.01, high=0.5, usual=0.25, says="how the coefficient falls as the part cools"
)

# cutting: speeds, power, finish, sharpness, chips
TurnLength: Any = quantity("l", "mm", low=1, high=400, usual=40, says="length of the cut along the work", step=1)
CutTime: Any = quantity("t_c", "s", low=0.1, high=36000, usual=60, says="time in cut")
RemovalRate: Any = quantity("Q", "mm³/s", low=0.001, high=2000, usual=20, says="metal removed in a second")
Torque: Any = quantity("M", "N mm", low=1, high=1e6, usual=3000, shown="N m", says="torque at the spindle")
MotorPower: Any = quantity("P_m", "kW", low=0.1, high=15, usual=0.75, log=True, says="power on the motor's plate")
Efficiency: Any = quantity(
    r"\eta", "1", low=0.3, high=1, usual=0.75, says="share of the motor's power that reaches the edge", shown="%"
)
WantedMark: Any = quantity("R_w", "mm", low=0.0001, high=0.05, usual=0.0063, shown="µm", log=True,
                           says="height of marks that is allowed")
MinorAngle: Any = quantity(
    r"\kappa'", "deg", low=1, high=60, usual=15, says="angle between minor edge and finished surface", step=1
)
EdgeRadius: Any = quantity("r_n", "mm", low=0.001, high=0.1, usual=0.01, shown="µm", log=True,
                           says="rounding of the cutting edge itself")
LeastChipRatio: Any = quantity("c_h", "1", low=0.05, high=0.6, usual=0.3, says="least chip over edge radius", step=0.05)
ThinningRatio: Any = quantity("r_c", "1", low=0.15, high=1, usual=0.45, says="uncut thickness over chip thickness")
RakeAngle: Any = quantity(r"\gamma", "deg", low=-20, high=35, usual=8, says="rake of the tool's face", step=1)
ChipShearAngle: Any = quantity(
    r"\phi", "deg", low=3, high=60, usual=25, says="angle of the plane on which the chip shears off"
)
ShearStrain: Any = quantity(r"\varepsilon_s", "1", low=0.5, high=12, usual=2.4, says="shear strain of the chip")
CutChipThickness: Any = quantity("h_{ch}", "mm", low=0.002, high=3, usual=0.15, log=True,
                                 says="thickness of the chip that comes off")
CurlRadius: Any = quantity(
    "R_{ch}", "mm", low=0.3, high=30, usual=3, log=True, says="radius to which the chip is curled"
)
CurlStrain: Any = quantity(
    r"\varepsilon_b", "1", low=0, high=1, usual=0.03, shown="%", says="strain of the chip's skin as it curls"
)
StringLength: Any = quantity(
    "l_{ch}", "mm", low=1, high=1e6, usual=3000, shown="m", says="length of the chip if it never breaks"
)
EngagedEdge: Any = quantity("b", "mm", low=0.01, high=10, usual=0.5, log=True, says="length of edge in the cut")
ChipSlenderness: Any = quantity("a/f", "1", low=0.01, high=300, usual=5, says="depth over feed: how flat the chip is")

# holes: drill points, blind bottoms, wander, chips
DrillDiameter: Any = quantity("D_b", "mm", low=0.5, high=80, usual=9, says="diameter of the drill", step=0.1)
PointAngle: Any = quantity(r"\varepsilon", "deg", low=60, high=180, usual=118,
                           says="angle between the drill's two lips", step=1)
PointHeight: Any = quantity("h_p", "mm", low=0, high=40, usual=2.7,
                            says="height of the cone that the drill's point leaves")
FullDepth: Any = quantity("L_f", "mm", low=0, high=400, usual=28,
                          says="depth to which the hole has its full diameter", step=0.5)
TipDepth: Any = quantity("L_t", "mm", low=0, high=440, usual=31, says="depth of the drill's tip")
HoleDepth: Any = quantity("L_h", "mm", low=2, high=200, usual=32,
                          says="depth of the hole on the drawing", step=0.5)
SolidVolume: Any = quantity("V", "mm³", low=0, high=2e6, usual=100, says="volume of metal")
FlatFloor: Any = quantity("z", "mm", low=0, high=40, usual=1, says="height above the bottom")
FloorDepthOfCut: Any = quantity("a_z", "mm", low=0, high=40, usual=0.5,
                                says="depth of cut near the bottom, on radius")
StartOffset: Any = quantity("e_0", "mm", low=0, high=1, usual=0.05, shown="µm",
                            says="how far off the axis the drill starts", step=5)
DriftSlope: Any = quantity("s", "1", low=0, high=0.02, usual=0.002, shown="µm/mm",
                           says="how far the drill runs off for each unit of depth",
                           step=0.5)
Offset: Any = quantity("e", "mm", low=0, high=2, usual=0.1, shown="µm", says="how far the hole's axis is off")
CopyShare: Any = quantity("c", "1", low=0, high=1, usual=0.2,
                          says="share of an error that one boring pass leaves behind")
CleanUp: Any = quantity("D_c", "mm", low=0.5, high=100, usual=9.5,
                        says="smallest bore that cleans up the whole of the drilled hole")
DrilledDiameter: Any = quantity("D_d", "mm", low=0.5, high=90, usual=9.1,
                                says="diameter the drill really left")
ChipBulk: Any = quantity("R_s", "1", low=2, high=150, usual=20, log=True,
                         says="room that loose chips take, in volumes of the solid metal")
FullShare: Any = quantity("x_f", "1", low=0, high=50, usual=0.8,
                          says="chips made, in volumes of the room left in the hole")
RpmSurface: Any = quantity("C_s", "ft/min", low=5, high=1000, usual=100,
                           says="cutting speed in feet a minute")
RpmDiameter: Any = quantity("D_{in}", "inch", low=0.02, high=4, usual=0.4, says="diameter in inches")

# threads
ThreadMajor: Any = quantity("d", "mm", low=1, high=180, usual=18, says="major diameter of the thread")
ThreadPitch: Any = quantity("P", "mm", low=0.2, high=8, usual=1, says="distance from one thread to the next")
ThreadLead: Any = quantity("P_h", "mm", low=0.2, high=16, usual=1,
                           says="how far the thread advances in a turn")
ThreadHeight: Any = quantity("H", "mm", low=0.1, high=7, usual=0.866,
                             says="height of the sharp triangle the profile is cut from")
PitchDiameter: Any = quantity("d_2", "mm", low=0.5, high=180, usual=17.35,
                              says="diameter at which thread and groove are equally wide")
MinorDiameter: Any = quantity("d_1", "mm", low=0.4, high=180, usual=16.917,
                              says="minor diameter of the basic profile; the bore of a nut")
RootDiameter: Any = quantity("d_3", "mm", low=0.3, high=180, usual=16.773,
                             says="diameter at the rounded root of a screw")
PitchTolerance: Any = quantity("T_{d2}", "mm", low=0.01, high=1, usual=0.118, shown="µm",
                               says="tolerance of the pitch diameter")
CrestTolerance: Any = quantity("T_d", "mm", low=0.01, high=2, usual=0.18, shown="µm",
                               says="tolerance of the major diameter of a screw")
BoreTolerance: Any = quantity("T_{D1}", "mm", low=0.01, high=2, usual=0.236, shown="µm",
                              says="tolerance of the minor diameter of a nut")
ThreadAllowance: Any = quantity("A_0", "mm", low=0.005, high=0.2, usual=0.026, shown="µm",
                                says="gap that position g or G leaves")
StepMiddle: Any = quantity("d_m", "mm", low=1, high=250, usual=15.84,
                           says="geometric mean of the step of diameters")
EngagedLength: Any = quantity("l_N", "mm", low=0.3, high=200, usual=5,
                              says="length over which screw and nut meet")
FlankAngle: Any = quantity(r"\alpha", "deg", low=20, high=30, usual=30,
                           says="angle of a flank from square to the axis")
WireDiameter: Any = quantity("W", "mm", low=0.1, high=5, usual=0.577,
                             says="diameter of the measuring wires", step=0.001)
OverWires: Any = quantity("M", "mm", low=1, high=190, usual=18.2,
                          says="micrometer reading over the wires", step=0.001)
LeadSlope: Any = quantity(r"t_\psi", "1", low=0.002, high=0.12, usual=0.018,
                          says="tangent of the lead angle at the pitch diameter")
WireLift: Any = quantity("c_w", "mm", low=0, high=0.1, usual=0.0002, shown="µm",
                         says="how much the lead angle lifts the reading")
ThreadDepth: Any = quantity("t", "mm", low=0.05, high=6, usual=0.61, says="depth of the groove, on radius")
TipFlat: Any = quantity("b", "mm", low=0.01, high=1.5, usual=0.125,
                        says="width of the flat on the threading tool's tip")
GrooveArea: Any = quantity("A_g", "mm²", low=0.001, high=30, usual=0.3, says="section of the groove")
InfeedAngle: Any = quantity(r"\beta", "deg", low=0, high=30, usual=29.5,
                            says="angle of the infeed from square to the axis", step=0.5)
InfeedStep: Any = quantity(r"\Delta t", "mm", low=0.001, high=1, usual=0.06,
                           says="how much deeper one pass goes, on radius")
FlankChip: Any = quantity("h_f", "mm", low=0, high=1, usual=0.05, shown="µm",
                          says="thickness of the chip on a flank")
Engagement: Any = quantity("x_e", "1", low=0, high=1.3, usual=0.8, shown="%",
                           says="share of the full thread height that meets")
Preload: Any = quantity("F_v", "N", low=10, high=200e3, usual=10e3, shown="kN", log=True,
                        says="pull along the thread")
FlankPressure: Any = quantity("p", "MPa", low=0, high=1000, usual=20,
                              says="pressure with which the flanks spread the nut")
NutOutside: Any = quantity("D_o", "mm", low=2, high=250, usual=24,
                           says="outside diameter of the nut", step=0.5)
NutGrowth: Any = quantity(r"\Delta D_2", "mm", low=0, high=1, usual=0.004, shown="µm",
                          says="how much the nut's thread grows")
NutRatio: Any = quantity("q", "1", low=1.4, high=1.9, usual=1.5,
                         says="outside of the nut in thread diameters")
NutFactor: Any = quantity("c_1", "1", low=0.7, high=1, usual=0.84,
                          says="share of its strength a nut keeps as it spreads")
InchDiameter: Any = quantity("D_u", "inch", low=0.06, high=4, usual=0.25,
                             says="basic major diameter of an inch thread")
InchPitch: Any = quantity("P_u", "inch", low=0.0125, high=0.25, usual=0.05, says="pitch of an inch thread")
InchLength: Any = quantity("L_E", "inch", low=0.06, high=4, usual=0.25,
                           says="length of engagement of an inch thread")
InchTolerance: Any = quantity("T_u", "inch", low=0.001, high=0.1, usual=0.004,
                              says="tolerance of the pitch diameter, class 2A")

# stops and measuring
LobedRadius: Any = quantity("R", "mm", low=1, high=100, usual=10, says="mean radius of the part")
HalfSpread: Any = quantity("a", "mm", low=0.0001, high=0.1, usual=0.004, shown="µm", log=True,
                           says="half the width within which a value lies")
TopShare: Any = quantity(
    r"\beta", "1", low=0, high=1, usual=0.33, says="flat top of a trapezoid as a share of its base"
)
StandardUncertainty: Any = quantity("u", "mm", low=0, high=0.2, usual=0.003, shown="µm", says="standard uncertainty")
ReadingSpread: Any = quantity("s", "mm", low=0.0001, high=0.05, usual=0.002, shown="µm", log=True,
                              says="standard deviation of one reading")
ReadingCount: Any = quantity("n", "1", low=1, high=50, usual=3, whole=True, says="readings that are averaged")
AbbeOffset: Any = quantity(
    "h", "mm", low=0, high=80, usual=0, says="distance from the scale to the line measured", step=1
)
TiltAngle: Any = quantity(r"\varphi", "deg", low=0, high=10, usual=1, says="how far the gauge stands askew", step=0.1)
MeasuredLength: Any = quantity("L", "mm", low=0.5, high=200, usual=20, says="length or diameter measured", step=0.5)
MeasuringError: Any = quantity("e", "mm", low=-1, high=1, usual=0.002, shown="µm", says="error of a reading")
LobeHeight: Any = quantity("a", "mm", low=0, high=0.05, usual=0.003, shown="µm",
                           says="how far a lobe stands above the mean radius", step=0.5)
LobeCount: Any = quantity("n", "1", low=2, high=12, usual=3, whole=True, says="lobes round the part")
VeeAngle: Any = quantity(r"\alpha", "deg", low=30, high=150, usual=60, says="angle between the sides of a vee block")
VeeGain: Any = quantity("K", "1", low=-5, high=5, usual=3, says="movement of an indicator over a vee, in lobe heights")
ReadingAngle: Any = quantity(r"\theta", "deg", low=0, high=360, usual=0, says="direction in which the part is measured")
StackLength: Any = quantity("L", "mm", low=0.5, high=500, usual=32, says="length to build up", step=0.001)
WarmerBy: Any = quantity(
    r"\Delta T", "K", low=-20, high=60, usual=0, says="how much warmer it is than the other", step=0.5
)
ZeroSpread: Any = quantity("z", "mm", low=0.001, high=0.1, usual=0.01, shown="µm", log=True,
                           says="how far a touch-off may be out, plus or minus")
StopSpread: Any = quantity("s", "mm", low=0.001, high=0.1, usual=0.008, shown="µm", log=True,
                           says="how far a stop may be out, plus or minus")
ShoulderCount: Any = quantity("n", "1", low=1, high=8, usual=4, whole=True, says="shoulders, counted from the face")
LengthSpread: Any = quantity(
    "e", "mm", low=0, high=0.5, usual=0.013, shown="µm", says="how far a length may be out, plus or minus"
)
ShopRise: Any = quantity("T", "K", low=-15, high=20, usual=2, says="how far the shop is above 20 °C", step=0.5)

# ---- the opening page
OutsideDiameter: Any = quantity("D", "mm", low=5, high=200, usual=40, step=1, says="outside diameter of the work")
WallShare: Any = quantity(
    "d/D", "1", low=0.3, high=0.85, usual=0.7, step=0.05, says="bore over outside diameter: 0.8 is a thin wall"
)

# ---- the whole job
RoomTemperature: Any = quantity(
    "T", "°C", low=-5, high=40, usual=20, step=0.5, says="temperature of the room, part and gauge"
)
FinishingStock: Any = quantity(
    "s_f",
    "mm",
    low=0.1,
    high=1.5,
    usual=0.4,
    step=0.05,
    says="left on diameter for the two finishing cuts of an outside",
)

# ---- teaching
LearnerCount: Any = quantity(
    "n", "1", low=1, high=40, usual=12, whole=True, step=1, says="learners who get a sheet each"
)
