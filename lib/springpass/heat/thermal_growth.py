"""Heat: why it measured on size warm and loose next morning.

Sizes hold at 20 °C (ISO 1). A cut warms the part, a warm part is large, the gauge
in the hand warms too, and what counts is the difference. Then: how long until it
is cold, what two materials do to a fit over the seasons, and how a warmed housing
takes a bearing.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import cutting
from ..core import tables
from ..core.formula import formula
from ..core.quantity import Numbers, Refused, plain, positive
from ..core.shared import ChipThickness, CuttingSpeed, Density, Growth, Interference, Ratio, Reading, SpecificForce
from .cooling_down import (
    REFERENCE,
    ZERO,
    Cooling,
    air_coefficient,
    air_conductivity,
    air_prandtl,
    air_viscosity,
    biot_number,
    cooling,
    finite,
    moving_air,
    no_wall_refused,
    radiation_coefficient,
    rayleigh_number,
    reynolds_number,
    rod_roots,
    round_surface,
    round_volume,
    slowed_by_inside,
    still_air,
    time_constant,
    wait_at_one_coefficient,
    wait_in_still_air,
)
from .quantities import (
    Clearance,
    ClearanceAtTwenty,
    Conductivity,
    DifferenceDoubt,
    EasyPlay,
    Expansion,
    ExpansionDoubt,
    FlankPowerShare,
    GaugeExpansion,
    GaugeRise,
    HeatShare,
    HoleExpansion,
    PartVolume,
    ReadingError,
    RemovedVolume,
    Rise,
    ShaftExpansion,
    ShearAngle,
    ShearPlaneShare,
    ShearPowerShare,
    SizeAtTwenty,
    SizeDoubt,
    SpecificHeat,
    TemperatureDoubt,
    ThermalNumber,
    TimeConstant,
    Wait,
)

__all__ = [  # the whole chapter is read as heat.…; the cooling curve has a module of its own
    "REFERENCE",
    "ZERO",
    "Cooling",
    "air_coefficient",
    "air_conductivity",
    "air_prandtl",
    "air_viscosity",
    "biot_number",
    "clearance_at",
    "cooling",
    "fact",
    "growth",
    "heat_share",
    "kept_while_cutting",
    "length_change",
    "materials",
    "moving_air",
    "pass_heat",
    "pass_rise",
    "properties",
    "radiation_coefficient",
    "rayleigh_number",
    "reading_doubt",
    "reading_error",
    "reading_wanted",
    "reynolds_number",
    "rod_roots",
    "round_surface",
    "round_volume",
    "rule",
    "shear_plane_share",
    "slowed_by_inside",
    "still_air",
    "surface",
    "thermal_number",
    "time_constant",
    "time_to_size",
    "turned_materials",
    "wait_at_one_coefficient",
    "wait_in_still_air",
    "warm_fit",
    "warming_needed",
    "work_share",
]

# ---- sizes that grow ------------------------------------------------------------------------------


@formula(source="definition of the expansion coefficient; ISO 1 fixes 20 °C as the reference", basis="computed",
    holds="a part warm all through, over spans where the coefficient hardly changes")
def length_change(length: SizeAtTwenty, expansion: Expansion, rise: Rise) -> Growth:
    """What a length gains when it is warmer than 20 °C."""
    return length * expansion * rise


@formula(source="growth of the part less growth of the gauge", basis="computed",
    holds="part and gauge each at one temperature; second-order terms (parts in a thousand of it) left out")
def reading_error(size: SizeAtTwenty, part_expansion: Expansion, part_rise: Rise, gauge_expansion: GaugeExpansion,
        gauge_rise: GaugeRise) -> ReadingError:
    """How much too large a gauge away from 20 °C reads a part away from 20 °C."""
    return size * (part_expansion * part_rise - gauge_expansion * gauge_rise)


@formula(source="size wanted plus the reading's error", basis="computed", holds="as for the reading's error")
def reading_wanted(size: SizeAtTwenty, part_expansion: Expansion, part_rise: Rise, gauge_expansion: GaugeExpansion,
        gauge_rise: GaugeRise) -> Reading:
    """What to read on the warm part so that it is right at 20 °C."""
    return size + reading_error(size, part_expansion, part_rise, gauge_expansion, gauge_rise)


@formula(
    source="JCGM 100:2008 (GUM), law of propagation with the second-order term, as in its example H.1 (from memory)",
    holds="temperatures and coefficients known independently of each other")
def reading_doubt(size: SizeAtTwenty, gauge_expansion: GaugeExpansion, part_rise: Rise, expansion_doubt: ExpansionDoubt,
        temperature_doubt: TemperatureDoubt, difference_doubt: DifferenceDoubt) -> SizeDoubt:
    """Standard uncertainty that temperature leaves in a size measured off 20 °C.

    Three parts: the coefficients' difference where the room is off 20 °C, part and gauge not equally
    warm, and the room's temperature not known.
    """
    return size * np.sqrt((part_rise * expansion_doubt) ** 2 + (gauge_expansion * difference_doubt) ** 2
        + (temperature_doubt * expansion_doubt) ** 2)


@formula(source="growth of the hole less growth of the shaft", basis="computed",
    holds="both parts at one temperature and free to grow; a bush held by another metal follows its holder")
def clearance_at(clearance: ClearanceAtTwenty, size: SizeAtTwenty, hole_expansion: HoleExpansion,
        shaft_expansion: ShaftExpansion, rise: Rise) -> Clearance:
    """Clearance of a hole and a shaft of two materials, away from 20 °C."""
    return clearance + size * (hole_expansion - shaft_expansion) * rise


@formula(source="growth of the seat set equal to interference and play", basis="computed",
    holds="seat warm all through, bearing at its own temperature")
def warming_needed(interference: Interference, play: EasyPlay, size: SizeAtTwenty, expansion: HoleExpansion) -> Rise:
    """How much warmer than the bearing a housing must be for the bearing to drop in."""
    return (interference + play) / (size * expansion)


def growth(length: Numbers, expansion: Numbers, rise: Numbers) -> Any:
    """What a length gains, mm: length in mm, expansion in 1/K, rise in K (negative for colder).

    Arrays broadcast. Raises Refused for a length or coefficient below zero, or what is no number.
    Source: definition of the coefficient.
    """
    return length_change(positive(length, "length", zero=True), positive(expansion, "expansion", "1/K", zero=True),
        finite(rise, "rise", "K"))


# ---- how warm does the cut make it ----------------------------------------------------------------


@formula(source="Oxley, The Mechanics of Machining, after Boothroyd (from memory)", basis="memory",
    holds="plain turning; 60 000 turns metres a minute and millimetres into SI")
def thermal_number(density: Density, specific_heat: SpecificHeat, speed: CuttingSpeed, chip: ChipThickness,
        conductivity: Conductivity, shear_angle: ShearAngle) -> ThermalNumber:
    """How fast the chip carries heat off, beside how fast heat runs ahead into the work."""
    return density * specific_heat * speed * chip / (60000 * conductivity) * np.tan(np.radians(shear_angle))


@formula(source="Boothroyd's fit to measured temperatures, as used by Oxley, The Mechanics of Machining (from memory)",
    holds="x from 0.04 to about 100; good to some 20 %")
def shear_plane_share(number: ThermalNumber) -> ShearPlaneShare:
    """Share of the shear plane's heat that enters the work: the slower and finer the cut, the more."""
    fit = np.where(number > 10, 0.3 - 0.15 * np.log10(number), 0.5 - 0.35 * np.log10(number))
    return np.minimum(np.maximum(fit, 0), 1)


@formula(source="share of the shear plane's heat, and half of what the flank rubs off (common practice)",
    basis="common practice", holds="turning with a fairly sharp tool, dry or nearly so")
def work_share(density: Density, specific_heat: SpecificHeat, speed: CuttingSpeed, chip: ChipThickness,
        conductivity: Conductivity, shear_angle: ShearAngle, shear_power: ShearPowerShare,
        flank_power: FlankPowerShare) -> HeatShare:
    """Share of the cutting power that heats the work."""
    number = thermal_number(density, specific_heat, speed, chip, conductivity, shear_angle)
    return shear_power * shear_plane_share(number) + flank_power / 2


@formula(source="heat set equal to mass times specific heat times rise", basis="computed",
    holds="all the heat still in the part and spread through it; 10⁶ turns N mm into J and kg into mm³")
def pass_rise(share: HeatShare, specific_force: SpecificForce, removed: RemovedVolume, density: Density,
        specific_heat: SpecificHeat, volume: PartVolume) -> Rise:
    """How much one pass warms the part."""
    return 1000000 * share * specific_force * removed / (density * specific_heat * volume)


@formula(source="Newton's law of cooling with heat arriving evenly", basis="computed",
    holds="one time constant throughout; the part takes its heat at an even rate")
def kept_while_cutting(duration: Wait, constant: TimeConstant) -> Ratio:
    """Share of a pass's heat that is still in the part when the pass ends."""
    return constant / duration * (1 - np.exp(-duration / constant))


def heat_share(chip: Any = 0.02, speed: Any = 30.0, shear_angle: Any = 22.0, shear_power: Any = 0.7,
        flank_power: Any = 0.0, density: Any = 7850.0, specific_heat: Any = 470.0, conductivity: Any = 48.0) -> Any:
    """Share of the cutting power that ends in the work, 0 to 1.

    chip: uncut thickness, mm; speed: m/min; shear_angle: degrees; shear_power and flank_power: shares
    of the cutting power; the material in kg/m³, J/(kg K), W/(m K). Arrays broadcast.
    Raises Refused for values that cannot be. Source: see `work_share`.
    """
    if not ((np.asarray(finite(shear_angle, "shear angle", "degrees")) > 0) & (np.asarray(shear_angle) < 90)).all():
        raise Refused("The shear angle must lie between 0 and 90 degrees; 15 to 30 is usual.")
    for value, name in ((shear_power, "shear power"), (flank_power, "flank power")):
        if not (positive(value, name, "share of the power", zero=True) <= np.asarray(1)).all():
            raise Refused(f"{name} is a share of the cutting power: it must lie between 0 and 1.")
    return work_share(positive(density, "density", "kg/m³"), positive(specific_heat, "specific heat", "J/(kg K)"),
        positive(speed, "cutting speed", "m/min"), positive(chip, "chip thickness"),
        positive(conductivity, "conductivity", "W/(m K)"), np.asarray(shear_angle, float)[()],
        np.asarray(shear_power, float)[()], np.asarray(flank_power, float)[()])


@dataclass(frozen=True)
class PassHeat:
    """What one turning pass does to a round part."""

    chip: Any      # mean uncut thickness, mm
    share: Any     # of the cutting power that enters the work
    power: Any     # at the edge, W
    rise: Any      # of the part, K, if all of it stays in
    growth: Any    # on diameter, mm
    seconds: Any   # that the pass takes


def pass_heat(diameter: Numbers, length: Numbers, bore: Numbers, depth: Numbers, feed: Numbers, cut_length: Numbers,
        speed: Numbers, nose_radius: Numbers, material: str, force: Any = 1.0, shear_angle: Any = 22.0,
        shear_power: Any = 0.7, flank_power: Any = 0.06, partition: Any = 1.0) -> PassHeat:
    """Rise and growth of a round part in one turning pass, from force, volume and mass.

    diameter, length, bore, depth (on radius), feed, cut_length, nose_radius: mm; speed: m/min;
    material: a name of the materials table; force and partition: factors on the tabulated force and
    on the fitted share. Arrays broadcast. Raises Refused for a material whose cutting force is unknown.
    """
    what = properties(material)
    group = tables.row("heat_work", material=material)["group"]
    if group is None:
        raise Refused(f"No cutting force is on file for {material}. Choose a material that is turned from the bar.")
    if (positive(cut_length, "length of cut") > np.asarray(positive(length, "length"))).any():
        raise Refused("The cut is longer than the part. Shorten the cut or lengthen the part.")
    wall = positive(diameter, "diameter") - np.asarray(positive(bore, "bore", zero=True))
    if (2 * positive(depth, "depth of cut") >= wall).any():
        raise Refused("The cut takes the whole wall away. Take a lighter cut.")
    kienzle = cutting.kienzle(group)
    edge = cutting.nose_chip(depth, feed, nose_radius)
    forces = cutting.nose_forces(depth, feed, nose_radius, 90.0, *kienzle)
    chip = forces.area / np.where(edge.thickness > 0, edge.length, 0).sum(-1)
    share = np.minimum(heat_share(chip, speed, shear_angle, shear_power, 0.0, what.density, what.specific_heat,
        what.conductivity) * partition + np.asarray(flank_power) / 2, 1.0)
    removed = np.pi * (np.asarray(diameter) - depth) * depth * cut_length
    volume = round_volume(diameter, length, bore)
    rise = pass_rise(share, forces.cutting / forces.area * force, removed, what.density, what.specific_heat, volume)
    return PassHeat(chip, share, forces.cutting * force * np.asarray(speed) / 60, rise,
        length_change(diameter, what.expansion, rise),
        np.pi * np.asarray(diameter) * cut_length / (np.asarray(feed) * speed) * 0.06)


# ---- how long to wait ------------------------------------------------------------------------------


def time_to_size(diameter: Any = 12.0, length: Any = 40.0, rise: Any = 25.0, within: Any = 0.001, *,
        expansion: Any = 11.7e-6, size: Any = None, **how: Any) -> Any:
    """Seconds until a warm round part is within `within` mm of its cold size.

    diameter, length: mm; rise: K above the surroundings; expansion: 1/K; size: the measured size, the
    diameter if not given; material="..." (a name of the materials table) takes the place of expansion,
    density, specific_heat, conductivity and emissivity. Everything else as in `cooling`. Zero if it is within
    already. Raises Refused for what cannot be.
    """
    if "material" in how:
        what = properties(how.pop("material"))
        expansion = what.expansion
        how = {"density": what.density, "specific_heat": what.specific_heat, "conductivity": what.conductivity,
            "emissivity": what.emissivity, **how}
    measured = positive(diameter if size is None else size, "size")
    left = positive(within, "how close", "mm") / (measured * positive(expansion, "expansion", "1/K"))
    return cooling(diameter, length, rise, np.minimum(left, positive(rise, "rise", "K")), **how).time_until(left)


# ---- materials ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Properties:
    """What heat needs to know of a material, usual values."""

    expansion: float       # 1/K
    density: float         # kg/m³
    specific_heat: float   # J/(kg K)
    conductivity: float    # W/(m K)
    emissivity: float      # of a turned surface


def materials() -> list[str]:
    """Names of the materials whose heat properties are on file."""
    return tables.names("materials", "material")


def turned_materials() -> list[str]:
    """Those with a cutting force on file as well."""
    return [row["material"] for row in tables.rows("heat_work") if row["group"]]


def fact(material: str, what: str) -> tables.Fact:
    """One property (alpha, k, cp, density) of a material, with its range and source."""
    return tables.fact("materials", material=material, property=what)


def surface(material: str) -> tables.Fact:
    """Emissivity of a bright turned surface of the material, with its range."""
    return tables.fact("heat_surfaces", surface=tables.row("heat_work", material=material)["surface"])


def properties(material: str) -> Properties:
    """The usual values of a material by name. Raises Refused, with the nearest names, for an unknown one."""
    alpha, rho, cp, k = (fact(material, name).value for name in ("alpha", "density", "cp", "k"))
    return Properties(alpha, rho, cp, k, surface(material).value)


def rule(name: str) -> tables.Fact:
    """One of the numbers this chapter takes for granted, with its range and source."""
    return tables.fact("heat_rules", rule=name)


def convection_range(draught: float) -> tables.Fact:
    """The factor by which convection from a part may be off, with its range and source.

    draught: speed of the air, m/s, as guessed; convection grows about with its root, so a guessed speed widens the
    range (`rule("draught")`).
    """
    plain, guessed = rule("convection"), rule("draught").high if draught > 0 else 1.0
    return dataclasses.replace(plain, low=plain.low / guessed**0.5, high=plain.high * guessed**0.5)


def touching_temperature(clearance: float, size: float, hole_expansion: float, shaft_expansion: float) -> float:
    """The temperature of both parts, °C, at which a fit neither has play nor interferes; nan where it never changes.

    clearance: mm at 20 °C, negative for interference; size: mm; expansions: 1/K. From `clearance_at`.
    """
    slope = size * (hole_expansion - shaft_expansion)
    return REFERENCE - clearance / slope if abs(slope) > SAME else float("nan")


SAME = 1e-9   # mm a K: less than this nobody can measure


# ---- a bearing into a warm housing -----------------------------------------------------------------


@dataclass(frozen=True)
class WarmFit:
    """A housing warmed for a bearing."""

    play: Any         # on diameter at the moment the housing leaves the heat, mm
    needed: Any       # how hot the housing must be for the play asked, °C
    open: Any         # seconds until the play is used up, housing standing free in air
    curve: Cooling    # of the housing, from when it leaves the heat


def warm_fit(outside: Numbers, bore: Numbers, width: Numbers, interference: Numbers, housing: float,
        bearing: Any = REFERENCE, *, expansion: Any = 23.4e-6, bearing_expansion: Any = 12e-6, play: Any = 0.015,
        room: float = REFERENCE, **how: Any) -> WarmFit:
    """Play of a bearing in a warmed housing, what warmth it needs, and for how long it stays open.

    outside, bore, width of the housing ring, interference at 20 °C and play asked for: mm; temperatures:
    °C. The clock runs until the bearing touches, before it is in; once in, it warms and the fit closes in
    seconds. Other arguments as in `cooling`. Raises Refused for a housing no warmer than the room.
    """
    if not (np.asarray(finite(housing, "housing", "°C")) > finite(room, "room", "°C")).all():
        raise Refused(
            f"The housing is {plain(float(np.max(housing)), 3)} °C, no warmer than the room. Warm it further.")
    no_wall_refused(outside, bore)
    tight = positive(interference, "interference", zero=True) + length_change(bore, bearing_expansion,
        finite(bearing, "bearing", "°C") - REFERENCE)
    grown = length_change(bore, positive(expansion, "expansion", "1/K"), housing - REFERENCE)
    needed = REFERENCE + (tight + positive(play, "play", zero=True)) / (bore * np.asarray(expansion))
    # open until the seat is down to where the bearing just touches; never, if that is colder than the room
    closes = tight / (bore * np.asarray(expansion)) + REFERENCE - room
    left = np.maximum(closes, 1e-3)
    start = housing - room
    curve = cooling(outside, width, start, np.minimum(np.minimum(left, 1.0), start), bore=bore, air=room, **how)
    seconds = curve.time_until(left)
    shut = np.where(closes > 0.1, seconds, np.inf)
    return WarmFit(np.asarray(grown - tight)[()], needed, np.where(grown > tight, shut, 0.0)[()], curve)
