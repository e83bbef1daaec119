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
from typing import Any

import numpy as np


class Refused(ValueError):
    """A sentence for the user: what was wrong, what is allowed, what to do."""


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
    ("N", "kN"): 1e3,
    ("s", "min"): 60.0,
    ("s", "h"): 3600.0,
    ("kg", "g"): 1e-3,
    ("N mm", "N m"): 1e3,
    ("1", "%"): 1e-2,
    ("1", "µm/m"): 1e-6,
}
IN_INCH = {"mm": "inch", "µm": "thou", "m/min": "ft/min"}
SPELLED = {"um": "µm", "μm": "µm", "micron": "µm", "microns": "µm", "in": "inch", '"': "inch", "″": "inch",
           "inches": "inch", "′′": "inch", "''": "inch", "mil": "thou", "°": "deg", "degrees": "deg", "c": "°C", "°c": "°C", "sec": "s",
           "minutes": "min", "percent": "%", "n": "N", "mpa": "MPa", "gpa": "GPa"}


def factor(unit: str, shown: str) -> float:
    """Library units in one shown unit, e.g. 25.4 for ("mm", "inch"). Raises Refused for a wrong pair."""
    if unit == shown:
        return 1.0
    if (unit, shown) in FACTORS:
        return FACTORS[unit, shown]
    raise Refused(f"“{shown}” cannot be turned into {unit}. Leave the unit off, or use {unit}.")


def number(text: Any) -> float:
    """The number a person typed: 12.5, 12,5, １２, −3, 1e-3, 3/8 or 1 3/8.

    A single comma is a decimal comma. Raises Refused where the text is not one number.
    """
    if isinstance(text, (int, float, np.number)) and not isinstance(text, bool):
        return float(text)
    if not isinstance(text, str):
        raise Refused(f"{text!r} is not a number. Type a number such as 12.5.")
    raw = unicodedata.normalize("NFKC", text).replace("⁄", "/").replace("−", "-").strip()
    if not raw:
        raise Refused("Nothing was typed. Type a number such as 12.5.")
    plain = raw.replace(",", ".") if raw.count(",") == 1 and "." not in raw else raw
    whole = re.fullmatch(r"([+-]?)(?:(\d+)\s+)?(\d+)\s*/\s*(\d+)", plain)
    if whole:
        sign, units, top, bottom = whole.groups()
        if int(bottom) == 0:
            raise Refused(f"“{text}” divides by nought. Type a number such as 3/8.")
        return (-1.0 if sign == "-" else 1.0) * (int(units or 0) + int(top) / int(bottom))
    if re.fullmatch(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?", plain):
        return float(plain)
    if "," in raw or raw.count(".") > 1:
        raise Refused(f"“{text}” has too many commas or points. Write it without a thousands mark, like 1234.5.")
    raise Refused(f"“{text}” is not a number. Type a number such as 12.5.")


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
        try:
            numbers = np.asarray(value, dtype=float)
        except (TypeError, ValueError):
            raise Refused(f"{name} must be a number; it was {value!r}.") from None
        slack = 1e-9 * max(abs(self.low), abs(self.high))
        bad = ~np.isfinite(numbers) | (numbers < self.low - slack) | (numbers > self.high + slack)
        if bad.any():
            worst = numbers[bad].flat[0]
            given = self.text(worst, inch) if np.isfinite(worst) else str(value)
            raise Refused(f"{name} is {given}, but must lie between {self.text(self.low, inch)} and "
                          f"{self.text(self.high, inch)}. Choose a value in that span.")
        if self.whole and (numbers != np.round(numbers)).any():
            raise Refused(f"{name} is {plain(float(numbers.flat[0]), 4)}, but must be a whole number.")
        return value

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
                except Refused as refusal:
                    raise Refused(f"{name}: {refusal}") from None
                return self.check(number(body) * scale, name, inch)
        try:
            typed = number(text)
        except Refused as refusal:
            raise Refused(f"{name}: {refusal}") from None
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

    def speed(self, value: float) -> str:
        """A cutting speed in m/min as "30 m/min" or "98 ft/min"."""
        return f"{plain(value / 0.3048, 2)} ft/min" if self.inch else f"{plain(value, 2)} m/min"


def positive(value: Any, name: str, unit: str = "mm", zero: bool = False, infinite: bool = False) -> Any:
    """`value` (number or array) as float if it is above nought. Raises Refused with a sentence.

    `zero` lets nought pass, `infinite` lets infinity pass (a rigid holder).
    """
    try:
        numbers = np.asarray(value, dtype=float)
    except (TypeError, ValueError):
        raise Refused(f"{name} must be a number in {unit}; it was {value!r}.") from None
    bad = np.isnan(numbers) | (numbers < 0) | ((numbers == 0) & (not zero)) | (np.isinf(numbers) & (not infinite))
    if bad.any():
        raise Refused(f"{name} is {numbers[bad].flat[0]:g} {unit}, but must be {'nought or more' if zero else 'above nought'}"
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
NoseRadius: Any = quantity("r", "mm", low=0.02, high=1.6, usual=0.4, says="radius of the tool's nose", step=0.05)
Modulus: Any = quantity("E", "MPa", low=2e3, high=700e3, usual=205e3, shown="GPa", says="how stiff the material is")
Poisson: Any = quantity(r"\nu", "1", low=0, high=0.49, usual=0.29, says="how much the material thins as it stretches")
ShearModulus: Any = quantity("G", "MPa", low=1e3, high=300e3, usual=79e3, shown="GPa", says="stiffness in shear")
SecondMoment: Any = quantity("I", "mm⁴", low=0.1, high=1e6, usual=201, says="second moment of area of the section")
PolarMoment: Any = quantity("J", "mm⁴", low=0.1, high=1e6, usual=402, says="polar second moment of a round section")
SectionArea: Any = quantity("A", "mm²", low=1, high=5e3, usual=50, says="area of the section")
ShearFactor: Any = quantity(r"\kappa_s", "1", low=0.8, high=1, usual=0.89, says="share of the section that carries shear")
TipOffset: Any = quantity("e", "mm", low=0, high=30, usual=4, says="distance of the tip from the bar's axis", step=0.5)
Density: Any = quantity(r"\rho", "kg/m³", low=500, high=20000, usual=7850, says="density")
TipMass: Any = quantity("m_t", "kg", low=0, high=0.5, usual=0.003, shown="g", says="mass of head and insert at the bar's end")
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
Feed: Any = quantity("f", "mm", low=0.01, high=0.8, usual=0.05, says="feed per turn", step=0.01)
EnteringAngle: Any = quantity(r"\kappa", "deg", low=30, high=110, usual=90, says="entering angle of the main edge")
CuttingSpeed: Any = quantity("v_c", "m/min", low=2, high=400, usual=40, says="cutting speed", step=1)
SpindleSpeed: Any = quantity("n", "1/min", low=20, high=6000, usual=800, says="spindle speed")
Force: Any = quantity("F", "N", low=0.1, high=5e3, usual=15, says="force")
CuttingForce: Any = quantity("F_c", "N", low=0.1, high=5e3, usual=15, says="cutting force, along the speed")
ThrustForce: Any = quantity("F_p", "N", low=0.1, high=5e3, usual=10, says="thrust force, that pushes the tool off the wall")
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
Twist: Any = quantity(r"\vartheta", "1", low=0, high=0.1, usual=0.001, says="angle of twist, radians")
Compliance: Any = quantity("C", "mm/N", low=1e-7, high=1e-1, usual=5e-4, says="movement of the tip for one newton")
Stiffness: Any = quantity("k", "N/mm", low=10, high=1e6, usual=2000, says="force for a unit of movement at the tip")
BoreError: Any = quantity(r"\Delta D", "mm", low=-1, high=1, usual=0.01, shown="µm", says="error of the diameter")
Frequency: Any = quantity("f_1", "Hz", low=10, high=50e3, usual=2000, says="natural frequency")
SlendernessRatio: Any = quantity("L/d", "1", low=0.5, high=20, usual=4, says="stickout in bar diameters")
CuttingStiffness: Any = quantity("K", "N/mm", low=0.1, high=1e5, usual=100, says="how fast the thrust grows as the tip moves in")
CriticalStiffness: Any = quantity("K_{lim}", "N/mm", low=0.1, high=1e5, usual=100,
                                  says="cutting stiffness at which chatter begins")
Overlap: Any = quantity(r"\mu", "1", low=0.05, high=1, usual=0.9,
                        says="share of the chip's back that the last turn left")
Roughness: Any = quantity("R_t", "mm", low=0, high=0.1, usual=0.001, shown="µm", says="height of the feed marks")
MeanRoughness: Any = quantity("R_a", "mm", low=0, high=0.02, usual=0.0003, shown="µm", says="mean roughness")
Area: Any = quantity("A", "mm²", low=1e-5, high=10, usual=0.005, says="area of the uncut chip")

# bore stress: the bar as bought, cut, and measured
StockRadius: Any = quantity("R", "mm", low=2, high=60, usual=10, says="outside radius of the bar as bought")
PlaceRadius: Any = quantity("r", "mm", low=0.1, high=60, usual=9, says="radius of the place looked at")
BoredRadius: Any = quantity("a", "mm", low=0, high=50, usual=5, says="radius of the bore as it is now")
TurnedRadius: Any = quantity("b", "mm", low=1, high=60, usual=9, says="outside radius as it is now")
SkinAxialStress: Any = quantity("S_z", "MPa", low=-800, high=800, usual=275, says="stress along the bar at its skin", step=5)
SkinHoopStress: Any = quantity("T_h", "MPa", low=-800, high=800, usual=180, says="stress around the bar at its skin", step=5)
AxialSteepness: Any = quantity("m", "1", low=0.5, high=40, usual=2, says="how steeply the axial stress rises to the skin")
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
EvenRelease: Any = quantity("A", "MPa", low=-1500, high=1500, usual=30, says="even part of the stress that cutting adds")
WallRelease: Any = quantity("B", "N", low=-1e6, high=1e6, usual=1e3, says="part that falls off with the square of the radius")
AxialRelease: Any = quantity("C", "MPa", low=-1500, high=1500, usual=-75, says="axial stress that cutting adds")
RadialShift: Any = quantity("u", "mm", low=-0.1, high=0.1, usual=-0.001, shown="µm", says="how far a place moves outwards")
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
SlitOpening: Any = quantity("g", "mm", low=-20, high=20, usual=0.3, says="how much wider the slit is than what was sawn out",
                            step=0.01)

# fits
FitSize: Any = quantity("D", "mm", low=0.05, high=500, usual=20, says="nominal size of the fit", step=0.5)
