"""Ready budgets for the gauges of a small shop, and the lobes that two points cannot see.

Each budget is made of rows of data/instruments.csv (what one reading of the gauge may be off by)
and of what they all share: temperature, a scale beside the line measured, a gauge held askew, form.
Lengths mm, temperatures K above 20 °C, angles in degrees.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import heat, measuring
from ..core import tables
from ..core.formula import formula
from ..core.quantity import Refused, number, positive, quantity_of
from . import guard_bands
from .budgets import Budget, exact, normal, rectangular
from .quantities import (
    AbbeOffset,
    LobeCount,
    LobedRadius,
    LobeHeight,
    MeasuredLength,
    MeasuringError,
    ReadingAngle,
    TiltAngle,
    VeeAngle,
    VeeGain,
)

# ---- geometry -----------------------------------------------------------------------------------


@formula(source="Ernst Abbe's principle, 1890: put the scale in line with what is measured (from memory)",
    holds="scale and measured line side by side, the slide tilts as a whole")
def abbe_error(offset: AbbeOffset, tilt: TiltAngle) -> MeasuringError:
    """What a tilting slide adds when the scale lies beside the line measured."""
    return offset * np.tan(np.radians(tilt))


@formula(source="plane geometry", basis="computed",
    holds="the plunger slides along itself, the surface stays square to the travel")
def cosine_error(length: MeasuredLength, tilt: TiltAngle) -> MeasuringError:
    """What a gauge held askew reads too much over a travel."""
    return length * (1 - np.cos(np.radians(tilt)))


@formula(source="plane geometry: opposite places of a round with n even lobes", basis="computed",
    holds="lobes small beside the radius, two contacts straight opposite")
def two_point_reading(radius: LobedRadius, lobe: LobeHeight, lobes: LobeCount, angle: ReadingAngle) -> MeasuredLength:
    """Diameter between two opposite contacts on a lobed part: odd lobes cancel."""
    return 2 * radius + lobe * (np.cos(lobes * np.radians(angle)) + np.cos(lobes * np.radians(angle + 180)))


@formula(source="plane geometry: three contacts at 120 degrees about their own centre", basis="computed",
    holds="lobes small beside the radius, self-centring gauge")
def three_point_reading(radius: LobedRadius, lobe: LobeHeight, lobes: LobeCount, angle: ReadingAngle) -> MeasuredLength:
    """Diameter that three contacts show on a lobed part: only three, six, nine... lobes count."""
    return 2 * radius + 2 * lobe / 3 * (np.cos(lobes * np.radians(angle)) + np.cos(lobes * np.radians(angle + 120))
        + np.cos(lobes * np.radians(angle + 240)))


@formula(source="plane geometry: two flat sides below, an indicator on the middle line above", basis="computed",
    holds="lobes small beside the radius")
def vee_gain(lobes: LobeCount, vee: VeeAngle) -> VeeGain:
    """How many lobe heights an indicator over a vee block shows as the part is turned; zero means blind."""
    return 1 + np.cos(lobes * np.radians(90 + vee / 2)) / np.sin(np.radians(vee / 2))


# ---- ready budgets ------------------------------------------------------------------------------

BORES = ("bore gauge set in a ring", "bore gauge set in a micrometer")
ROUND = ("micrometer on a shaft", *BORES, "calliper")
SHARED = "any gauge"
BESIDE, ROCKS = 30.0, 0.02   # a calliper: jaws 30 mm off the beam, slide rocks 0.02 degrees (common practice)


def instruments() -> list[str]:
    """Gauges that have a ready budget."""
    return [name for name in tables.names("instruments", "instrument") if name != SHARED]


def _row(instrument: str, part: str, size: float) -> dict[str, Any]:
    rows = [row for row in tables.rows("instruments") if row["instrument"] == instrument and row["input"] == part]
    for row in rows:
        if size <= row["upto"]:
            return row
    raise Refused(f"The budget of “{instrument}” ends at {rows[-1]['upto']:g} mm; {size:g} mm is beyond it.")


@dataclass(frozen=True)
class Reading:
    """A reading made honest: what it says at 20 °C, and how sure that is."""

    instrument: str
    reading: float
    budget: Budget

    @property
    def value(self) -> float:
        """The size at 20 °C, the known corrections made."""
        return self.budget.value

    @property
    def correction(self) -> float:
        return self.value - self.reading

    @property
    def u(self) -> float:
        """Standard uncertainty, second order included."""
        return self.budget.uncertainty


def ready(instrument: str = "micrometer on a shaft", reading: float = 20.0, material: str = "carbon steel C45 / 1045",
        shop_rise: float = 2.0, warmer: float = 0.0, offset: float | None = None, tilt: float | None = None,
        askew: float = 0.0, odd_lobes: float = 0.0, count: int = 1, scatter: float | None = None,
        scatter_dof: float = np.inf) -> Reading:
    """The budget of one gauge on one part, in mm at 20 °C.

    shop_rise: shop and gauge above 20 °C; warmer: the work above the gauge (K). offset, tilt: the scale
    beside the line (mm) and how far the slide may rock (degrees); askew: how far the gauge may stand off
    square (degrees). odd_lobes: peak to valley of the odd lobes on radius, mm: on a shaft the part that mates
    is larger than any two-point reading by up to that, in a bore smaller. count: readings averaged;
    scatter: your own standard deviation of one reading with its degrees of freedom.
    Raises Refused for an unknown gauge or material, or sizes beyond the table.
    """
    if instrument not in instruments():
        raise Refused(f"There is no ready budget for “{instrument}”. Choose one of {', '.join(instruments())}.")
    reading = positive(number(reading), "reading")
    numbers = {"shop above 20 °C": shop_rise, "work above the gauge": warmer, "tilt": 0.0 if tilt is None else tilt,
        "askew": askew}
    for name, value in numbers.items():
        value = number(value)
        if not (np.isfinite(value) and abs(value) < 80):
            raise Refused(f"“{name}” must be a number below 80; it was {value}.")
    odd_lobes = positive(number(odd_lobes), "height of the odd lobes", zero=True)
    count = number(count)  # type: ignore[assignment]
    if not (np.isfinite(count) and count >= 1):
        raise Refused(f"The number of readings must be 1 or more; it was {count}.")
    parts: dict[str, measuring.Input] = {"reading": exact(reading)}
    direct = []
    for part in _rows_for(instrument):
        row = _row(instrument, part, reading)
        half = row["value"] / 1000
        if row["input"] == "repeat":
            s, dof = (half, np.inf) if scatter is None else (positive(scatter, "scatter", zero=True), scatter_dof)
            parts["repeat"] = normal(0.0, float(guard_bands.mean_uncertainty(s, count)), dof,
                says=f"mean of {count:g} readings" if count > 1 else row["says"])
        else:
            parts[row["input"]] = (normal if row["distribution"] == "normal" else rectangular)(0.0, half,
                says=row["says"])
        direct.append(row["input"])
    if offset is None:
        offset = BESIDE if instrument == "calliper" else 0.0
    if tilt is None:
        tilt = ROCKS if instrument == "calliper" else 0.0
    shared = {name: _row(SHARED, name, reading)["value"] for name in ("expansion", "temperature", "difference")}
    steel = tables.fact("materials", material=material, property="alpha")
    if offset and tilt:
        parts["rocking"] = rectangular(0.0, tilt, says="slide rocks, scale beside the work")
    if askew:
        parts["askew"] = rectangular(0.0, askew, says="gauge not square to the work")
    if odd_lobes and instrument in ROUND:
        side = -0.5 if instrument in BORES else 0.5
        parts["odd lobes"] = rectangular(side * odd_lobes, odd_lobes / 2, says="lobes that two points cannot see")
        direct.append("odd lobes")
    parts["shop"] = rectangular(shop_rise, shared["temperature"], says="temperature of the shop")
    parts["difference"] = rectangular(warmer, shared["difference"], says="work against gauge")
    parts["gauge's steel"] = rectangular(11.5e-6, shared["expansion"] * 1e-6, says="expansion of the gauge")
    parts["work's metal"] = rectangular((steel.low + steel.high) / 2, (steel.high - steel.low) / 2,
        says=f"expansion of {material}")

    def model(**v: Any) -> Any:
        seen = v["reading"] + sum(v[name] for name in direct)
        seen = seen + abbe_error(offset, v.get("rocking", 0.0)) - cosine_error(v["reading"], v.get("askew", 0.0))
        grown_work = heat.length_change(v["reading"], v["work's metal"], v["shop"] + v["difference"])
        return seen + heat.length_change(v["reading"], v["gauge's steel"], v["shop"]) - grown_work

    return Reading(instrument, reading, measuring.budget(parts, model, order=2))


def _rows_for(instrument: str) -> list[str]:
    return list(dict.fromkeys(row["input"] for row in tables.rows("instruments") if row["instrument"] == instrument))


def provenance(instrument: str) -> list[tuple[str, float, float, float, str, str, str]]:
    """Rows behind a ready budget: what, value, low, high, unit, source, basis."""
    return [(row["says"], row["value"], row["low"], row["high"], row["unit"], row["source"], row["basis"])
        for row in tables.rows("instruments") if row["instrument"] in (instrument, SHARED)]


@dataclass(frozen=True)
class Seen:
    """What gauges make of a lobed part, turned through a whole turn; mm."""

    two_point: tuple[float, float]     # least and most reading
    three_point: tuple[float, float]
    mates: float                       # diameter of the ring that just goes over it, or of the plug that just goes in
    mean: float                        # twice the mean radius


def lobes_seen(mean_diameter: float, peak_to_valley: float, lobes: int, bore: bool = False) -> Seen:
    """Least and most reading of two-point and three-point gauges on a part with even lobes of one kind.

    peak_to_valley: on radius, mm. Raises Refused for sizes that are not above zero or lobes not 2 to 15.
    """
    mean = positive(number(mean_diameter), "mean diameter")
    lobe = positive(number(peak_to_valley), "height of the lobes", zero=True) / 2
    lobes = quantity_of(LobeCount).check(number(lobes), "number of lobes")
    angle = np.linspace(0, 360, 720, endpoint=False)
    two = np.asarray(two_point_reading(mean / 2, lobe, lobes, angle))
    three = np.asarray(three_point_reading(mean / 2, lobe, lobes, angle))
    return Seen((float(two.min()), float(two.max())), (float(three.min()), float(three.max())),
        float(mean - 2 * lobe if bore else mean + 2 * lobe), float(mean))
