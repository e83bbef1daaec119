"""Heat: why it measured on size warm and loose next morning.

Sizes hold at 20 °C (ISO 1). A cut warms the part, a warm part is large, the gauge
in the hand warms too, and what counts is the difference. Then: how long until it
is cold, what two materials do to a fit over the seasons, and how a warmed housing
takes a bearing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from . import cutting, tables
from .formula import formula
from .quantities import *
from .quantities import Refused, plain, positive

REFERENCE = 20.0   # °C, ISO 1: the temperature at which a drawing's sizes hold
ZERO = 273.15      # 0 °C in kelvin

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


@formula(source="JCGM 100:2008 (GUM), law of propagation with the second-order term, as in its example H.1 (from memory)",
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
    """Play of a hole and a shaft of two materials, away from 20 °C."""
    return clearance + size * (hole_expansion - shaft_expansion) * rise


@formula(source="growth of the seat set equal to interference and play", basis="computed",
         holds="seat warm all through, bearing at its own temperature")
def warming_needed(interference: Interference, play: EasyPlay, size: SizeAtTwenty, expansion: HoleExpansion) -> Rise:
    """How much warmer than the bearing a housing must be for the bearing to drop in."""
    return (interference + play) / (size * expansion)


def growth(length: Any, expansion: Any, rise: Any) -> Any:
    """What a length gains, mm: length in mm, expansion in 1/K, rise in K (negative for colder).

    Arrays broadcast. Raises Refused for a length or coefficient below nought, or what is no number.
    Source: definition of the coefficient.
    """
    return length_change(positive(length, "length", zero=True), positive(expansion, "expansion", "1/K", zero=True),
                         _finite(rise, "rise", "K"))


def _finite(value: Any, name: str, unit: str) -> Any:
    """`value` as float if it is a finite number of either sign. Raises Refused."""
    try:
        numbers = np.asarray(value, dtype=float)
    except (TypeError, ValueError):
        raise Refused(f"{name} must be a number in {unit}; it was {value!r}.") from None
    if not np.isfinite(numbers).all():
        raise Refused(f"{name} must be a finite number of {unit}. Check the value.")
    return numbers if numbers.ndim else float(numbers)


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
    """Share of the shear plane's heat that enters the work: slow fine cuts keep most of it."""
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
    return 1e6 * share * specific_force * removed / (density * specific_heat * volume)


def heat_share(chip: Any = 0.02, speed: Any = 30.0, shear_angle: Any = 22.0, shear_power: Any = 0.7, flank_power: Any = 0.0,
               density: Any = 7850.0, specific_heat: Any = 470.0, conductivity: Any = 48.0) -> Any:
    """Share of the cutting power that ends in the work, 0 to 1.

    chip: uncut thickness, mm; speed: m/min; shear_angle: degrees; shear_power and flank_power: shares
    of the cutting power; the material in kg/m³, J/(kg K), W/(m K). Arrays broadcast.
    Raises Refused for values that cannot be. Source: see `work_share`.
    """
    if not ((np.asarray(_finite(shear_angle, "shear angle", "degrees")) > 0) & (np.asarray(shear_angle) < 90)).all():
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


def pass_heat(diameter: Any, length: Any, bore: Any, depth: Any, feed: Any, cut_length: Any, speed: Any, nose_radius: Any,
              material: str, force: Any = 1.0, shear_angle: Any = 22.0, shear_power: Any = 0.7, flank_power: Any = 0.06,
              partition: Any = 1.0) -> PassHeat:
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
    if (2 * positive(depth, "depth of cut") >= positive(diameter, "diameter") - np.asarray(positive(bore, "bore", zero=True))).any():
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
                    length_change(diameter, what.expansion, rise))


# ---- how it cools: one formula at a time ----------------------------------------------------------


@formula(source="Churchill and Chu, Correlating equations for laminar and turbulent free convection from a horizontal "
                "cylinder, Int. J. Heat Mass Transfer 18 (1975) 1049 (as printed in Bergman and others, eq. 9.34)",
         holds="a long warm cylinder lying in still air, Ra from 1e-5 to 1e12")
def still_air(rayleigh: RayleighNumber, prandtl: PrandtlNumber) -> NusseltNumber:
    """Heat carried off by still air round a lying cylinder."""
    return (0.6 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2


@formula(source="Churchill and Bernstein, A correlating equation for forced convection to a circular cylinder in "
                "crossflow, J. Heat Transfer 99 (1977) 300 (as printed in Bergman and others, eq. 7.54)",
         holds="air across a long cylinder, Re Pr over 0.2")
def moving_air(reynolds: ReynoldsNumber, prandtl: PrandtlNumber) -> NusseltNumber:
    """Heat carried off by air blown across a cylinder."""
    return 0.3 + 0.62 * np.sqrt(reynolds) * np.cbrt(prandtl) / (1 + (0.4 / prandtl) ** (2 / 3)) ** (1 / 4) \
        * (1 + (reynolds / 282000) ** (5 / 8)) ** (4 / 5)


@formula(source="definition; air taken as an ideal gas, which expands by one part in its temperature", basis="computed",
         holds="air properties taken at the film temperature, the mean of surface and air")
def rayleigh_number(rise: CoolRise, diameter: WorkDiameter, film: FilmTemperature, viscosity: AirViscosity,
                    prandtl: PrandtlNumber, gravity: Gravity = 9806.65) -> RayleighNumber:
    """Lift of warm air round the part, over what slows it."""
    return gravity * rise * diameter**3 * prandtl / (film * viscosity**2)


@formula(source="definition", holds="air properties taken at the film temperature; 1000 turns metres into millimetres",
         basis="computed")
def reynolds_number(speed: AirSpeed, diameter: WorkDiameter, viscosity: AirViscosity) -> ReynoldsNumber:
    """Push of moving air over what slows it."""
    return 1000 * speed * diameter / viscosity


@formula(source="Sutherland's law with the constants of White, Viscous Fluid Flow, and the ideal gas at 1 atm (from memory; "
                "checked against handbook tables to 1 %)", holds="dry air at 1 atm, −40 to 160 °C", empirical=True)
def air_viscosity(film: FilmTemperature) -> AirViscosity:
    """Kinematic viscosity of air."""
    return 17.16 * (film / 273.15) ** (3 / 2) * 383.55 / (film + 110.4) * 287.05 * film / 101325


@formula(source="Sutherland's law with the constants of White, Viscous Fluid Flow (from memory; handbook tables of air differ "
                "by 2 % among themselves)", holds="dry air, −40 to 160 °C", empirical=True)
def air_conductivity(film: FilmTemperature) -> AirConductivity:
    """How well air conducts heat."""
    return 0.0241 * (film / 273.15) ** (3 / 2) * 467.15 / (film + 194)


@formula(source="definition, with 1006 J/(kg K) for air", holds="dry air at 1 atm, −40 to 160 °C", basis="computed", empirical=True)
def air_prandtl(film: FilmTemperature) -> PrandtlNumber:
    """How far air's motion spreads beside its warmth: nearly the same for all air."""
    return 1006e-6 * air_viscosity(film) * 101325 / (287.05 * film) / air_conductivity(film)


@formula(source="Stefan-Boltzmann law, difference of fourth powers divided by the difference", basis="computed",
         holds="a small part in a large room; temperatures from absolute nought, never in °C")
def radiation_coefficient(emissivity: Emissivity, surface: Surface, surroundings: Surroundings,
                          stefan: Stefan = 5.670374e-8) -> SurfaceCoefficient:
    """Heat radiated from each square metre for each degree."""
    return emissivity * stefan * (surface**2 + surroundings**2) * (surface + surroundings)


@formula(source="heat lost through the skin set equal to heat lost by the part", basis="computed",
         holds="Biot number under 0.1, coefficient constant; 1000 turns metres into millimetres")
def time_constant(density: Density, specific_heat: SpecificHeat, thickness: ThicknessForHeat,
                  coefficient: SurfaceCoefficient) -> TimeConstant:
    """Time for the rise to fall to 37 %."""
    return density * specific_heat * thickness / (1000 * coefficient)


@formula(source="solution of Newton's law of cooling", holds="one coefficient throughout", basis="computed")
def wait_at_one_coefficient(constant: TimeConstant, start: StartRise, end: CoolRise) -> Wait:
    """Time from one rise to a smaller one, were the coefficient constant."""
    return constant * np.log(start / end)


@formula(source="Bejan and Kraus, Heat Transfer Handbook, eq. 3.286 (turned round for the time)", basis="read",
         holds="coefficient falling as the n-th power of the rise; n = 1/4 for still air, no radiation")
def wait_in_still_air(constant: TimeConstant, start: StartRise, end: CoolRise, exponent: CoolExponent = 0.25) -> Wait:
    """Time from one rise to a smaller one when the coefficient falls with it; the constant is that of the start."""
    return constant / exponent * ((start / end) ** exponent - 1)


@formula(source="definition, with volume over surface as the length", basis="computed",
         holds="under 0.1 the part is as good as equally warm all through; 1000 turns metres into millimetres")
def biot_number(coefficient: SurfaceCoefficient, thickness: ThicknessForHeat, conductivity: Conductivity) -> BiotNumber:
    """Is the part equally warm all through while it cools?"""
    return coefficient * thickness / (1000 * conductivity)


@formula(source="quasi-steady temperature across a round bar: a parabola, its mean above the skin (derived here, "
                "checked against the full equation)", basis="computed", holds="a solid round part, Biot number under about 2")
def slowed_by_inside(coefficient: SurfaceCoefficient, diameter: WorkDiameter, conductivity: Conductivity) -> SurfaceCoefficient:
    """The coefficient as the part's mean temperature feels it: the way from core to skin slows it."""
    return coefficient / (1 + coefficient * diameter / (8000 * conductivity))


def round_volume(diameter: Any, length: Any, bore: Any = 0.0) -> Any:
    """Metal in a round part, mm³. Raises Refused for a bore that leaves no wall."""
    _wall(diameter, bore)
    return np.pi / 4 * (positive(diameter, "diameter") ** 2 - np.asarray(bore, float)[()] ** 2) * positive(length, "length")


def round_surface(diameter: Any, length: Any, bore: Any = 0.0) -> Any:
    """Skin of a round part, mm²: outside, bore and both ends. Raises Refused for a bore that leaves no wall."""
    _wall(diameter, bore)
    outside, bore = positive(diameter, "diameter"), np.asarray(bore, float)[()]
    return np.pi * (outside + bore) * positive(length, "length") + np.pi / 2 * (outside**2 - bore**2)


def _wall(diameter: Any, bore: Any) -> None:
    if (positive(bore, "bore", zero=True) >= np.asarray(positive(diameter, "diameter"))).any():
        raise Refused("The bore is as large as the outside, so there is no wall. Make the bore smaller.")


def air_coefficient(rise: Any, diameter: Any, air: float = REFERENCE, speed: Any = 0.0) -> Any:
    """Convection from a round part in air, W/(m² K), without radiation.

    rise: of the skin above the air, K; diameter: mm; air: °C; speed: of the draught, m/s (0: still).
    Still and moving air are joined by their third powers (Bergman and others, section on mixed
    convection, from memory). Arrays broadcast. Raises Refused outside −40 to 160 °C.
    """
    film = air + np.asarray(rise, float) / 2 + ZERO
    if not ((film > 230) & (film < 435)).all():
        raise Refused("The air's properties are known from −40 to 160 °C, taken midway between part and air. "
                      "Keep part and room nearer to each other.")
    viscosity, prandtl = air_viscosity(film), air_prandtl(film)
    still = still_air(rayleigh_number(rise, diameter, film, viscosity, prandtl), prandtl)
    blown = moving_air(reynolds_number(speed, diameter, viscosity), prandtl)
    # a draught too slow to matter would still give the 0.3 of a still cylinder twice over
    nusselt = np.cbrt(still**3 + np.where(np.asarray(speed) > 0, blown, 0) ** 3)
    return 1000 * nusselt * air_conductivity(film) / diameter


# ---- the cooling curve ----------------------------------------------------------------------------


@dataclass(frozen=True)
class Cooling:
    """Rise against time; the last axis runs along the curve, the first along the samples if there are any."""

    seconds: np.ndarray
    rise: np.ndarray         # K above the surroundings; falls along the last axis
    coefficient: Any         # at the start, W/(m² K), radiation in it
    biot: Any                # at the start

    def time_until(self, rise: Any) -> Any:
        """Seconds until the part is only `rise` K warmer; nought if it never was warmer. Arrays match the samples."""
        log_rise, seconds = np.log(self.rise), self.seconds
        wanted = np.log(np.asarray(rise, float))[..., None]
        log_rise, seconds, wanted = np.broadcast_arrays(*np.broadcast_arrays(log_rise, seconds), wanted)
        last = np.clip((log_rise > wanted).sum(-1, keepdims=True), 1, log_rise.shape[-1] - 1)
        y0, y1 = (np.take_along_axis(log_rise, last - k, -1)[..., 0] for k in (1, 0))
        t0, t1 = (np.take_along_axis(seconds, last - k, -1)[..., 0] for k in (1, 0))
        with np.errstate(divide="ignore", invalid="ignore"):
            found = t0 + (t1 - t0) * np.where(y0 > y1, (y0 - wanted[..., 0]) / (y0 - y1), 0)
        return np.where(wanted[..., 0] >= log_rise[..., 0], 0.0, found)[()]


CURVE = 33           # places along the curve of a part that lies free
GRIPPED_CURVE = 29   # and of a gripped one
LOSS_CURVE = 25      # places at which the skin's coefficient is worked out for a gripped part
MODES = 3            # terms of the rod's series


def cooling(diameter: Any = 12.0, length: Any = 40.0, rise: Any = 25.0, until: Any = 0.01, *, bore: Any = 0.0,
            density: Any = 7850.0, specific_heat: Any = 470.0, conductivity: Any = 48.0, emissivity: Any = 0.3,
            air: float = REFERENCE, draught: Any = 0.0, coolant: Any = 0.0, joint: Any = 0.0, place: float = 1.0,
            convection: Any = 1.0) -> Cooling:
    """How a round part cools from `rise` to `until` (K above the surroundings, which are at `air` °C).

    diameter, length, bore: mm; draught: m/s; coolant: W/(m² K), takes the place of air and radiation
    where above nought; joint: W/(m² K) across the gripped end's section, 0 for a part that lies free;
    place: where along a gripped part, 0 at the chuck to 1 at the free end; convection: factor on the
    correlations. Arrays of samples broadcast. Raises Refused for what cannot be.

    A free part is solved as one temperature (mean over the section, with the way from core to skin
    allowed for): dt = ρ c V/(h A) d(ln θ), h from θ, integrated along ln θ. A gripped part is the
    one-dimensional rod θ_t = a θ_xx − h P θ/(ρ c S) with a joint at the chuck, its chuck and air at the
    same temperature: eigenfunctions of the joint, times the loss through the skin with h taken at the
    rod's mean temperature. Checked against the full equations solved numerically.
    """
    start = positive(rise, "rise", "K")
    until, what = positive(until, "rise to cool to", "K"), [positive(v, n, u) for v, n, u in (
        (density, "density", "kg/m³"), (specific_heat, "specific heat", "J/(kg K)"),
        (conductivity, "conductivity", "W/(m K)"), (convection, "convection factor", "(no unit)"))]
    what += [positive(v, n, u, zero=True) for v, n, u in (
        (emissivity, "emissivity", "(no unit)"), (draught, "draught", "m/s"), (coolant, "coolant", "W/(m² K)"),
        (joint, "joint", "W/(m² K)"))]
    if not (0 <= _finite(place, "place", "the length") <= 1):
        raise Refused("The place along the part runs from 0 at the chuck to 1 at the free end.")
    if not (np.asarray(positive(emissivity, "emissivity", "(no unit)", zero=True)) <= 1).all():
        raise Refused("The emissivity is a share of a black body's radiation: it must lie between 0 and 1.")
    if not -30 <= _finite(air, "air", "°C") <= 60:
        raise Refused(f"The air is {plain(float(air), 3)} °C. Choose a room between −30 and 60 °C.")
    if not (np.asarray(start) <= 250).all():
        raise Refused(f"The part is {plain(float(np.max(start)), 3)} K warmer than the room; this model ends at 250 K.")
    rho, cp, k, factor, shine, wind, flood, grip = (np.asarray(v, float)[..., None] for v in what)
    theta0, d, size, hole = (np.asarray(v, float)[..., None] for v in (
        start, positive(diameter, "diameter"), positive(length, "length"), positive(bore, "bore", zero=True)))
    volume, skin = round_volume(d, size, hole), round_surface(d, size, hole)
    hold = rho * cp * volume / (1000 * skin)          # s for each W/(m² K)

    def loss(theta: Any) -> Any:
        """Coefficient at the skin, as the mean temperature feels it."""
        # one curve over the rise, then a factor for each sample
        air_side = factor * air_coefficient(theta, d, air, wind) + radiation_coefficient(
            shine, theta + air + ZERO, air + ZERO)
        h = np.where(flood > 0, flood, air_side)
        return np.where(hole > 0, h, slowed_by_inside(h, d, k))

    if (d > 1e4).any() or (size > 1e5).any():
        raise Refused("The part is larger than any lathe takes. Check diameter and length; they are in mm.")
    first = loss(theta0)
    biot = biot_number(first, volume / skin, k)
    # past the goal by two thirds, so that a sample whose goal lies a little lower still finds it
    reach = np.maximum(np.log(theta0 / np.min(until)), 0) + 0.5
    u = np.linspace(0, 1, CURVE) * np.max(reach)
    if not (grip > 0).any():
        theta = theta0 * np.exp(-u)
        slow = hold / loss(theta)
        steps = (slow[..., 1:] + slow[..., :-1]) / 2 * np.diff(u)
        seconds = np.concatenate([np.zeros((*steps.shape[:-1], 1)), np.cumsum(steps, -1)], -1)
        return Cooling(seconds, theta, first[..., 0][()], biot[..., 0][()])
    seconds, rises = _gripped(theta0, float(np.max(reach)), hold, loss, k / (rho * cp) * 1e6, size,
                              grip * size / (1000 * k), place)
    return Cooling(seconds, rises, first[..., 0][()], biot[..., 0][()])


def rod_roots(joint: Any, modes: int = MODES) -> np.ndarray:
    """Roots of μ tan μ = Bi for a rod joined at one end and insulated at the other; last axis the modes.

    Newton on arctan(Bi/μ) − μ + nπ, which has no poles. Source: Carslaw and Jaeger, Conduction of Heat in
    Solids (from memory).
    """
    bi = np.asarray(joint, float)[..., None]
    n = np.arange(modes) * np.pi
    mu = n + np.where(n > 0, np.arctan(bi / (n + 0.8)), np.sqrt(bi / (1 + bi / 3)) / np.sqrt(1 + 0.0717 * bi))
    for _ in range(4):
        mu = np.clip(mu, n + 1e-9, n + np.pi / 2)
        mu = mu - (np.arctan(bi / mu) - mu + n) / (-bi / (mu**2 + bi**2) - 1)
    return mu


def _gripped(theta0: Any, reach: float, hold: Any, loss: Any, diffusivity: Any, size: Any, joint: Any,
             place: float) -> tuple[np.ndarray, np.ndarray]:
    """Times and rises of the rod; see `cooling`. Inside, time runs along the first axis."""
    mu = rod_roots(joint[..., 0])
    rate = mu**2 * diffusivity / size**2                                   # 1/s, mode by mode
    whole = 2 * joint**2 / (mu**2 * (mu**2 + joint**2 + joint))           # share of the mean rise in each mode
    here = 2 * np.sin(mu) / (mu + np.sin(mu) * np.cos(mu)) * np.cos(mu * (1 - place))
    fall = rate[..., :1] + loss(theta0 * np.exp(-reach)) / hold
    s = np.linspace(0, 1, GRIPPED_CURVE)
    seconds = float(np.max((reach + 0.3) / fall)) * s**2 * (0.15 + 0.85 * s)
    shape = np.broadcast_shapes(rate.shape[:-1], hold.shape[:-1], theta0.shape[:-1])
    mean = spot = np.zeros(1)
    for mode in range(MODES):
        gone = np.exp(-np.multiply.outer(seconds, rate[..., mode]))
        mean, spot = mean + whole[..., mode] * gone, spot + here[..., mode] * gone
    mean[0] = spot[0] = 1.0                                                # the series is cut short; the start is known
    # the skin's coefficient follows the mean rise: read off a curve over ln θ, Heun's step from place to place
    lie = np.log(theta0[..., 0] * np.maximum(mean, 1e-12)) + np.zeros(shape)
    top, step = float(np.max(lie)), (reach + 6) / (LOSS_CURVE - 1)
    curve = np.broadcast_to(loss(np.exp(top - step * np.arange(LOSS_CURVE))) / hold, (*shape, LOSS_CURVE)).ravel()
    first = LOSS_CURVE * np.arange(int(np.prod(shape))).reshape(shape)

    def leak(at: np.ndarray) -> np.ndarray:
        where = np.clip((top - at) / step, 0, LOSS_CURVE - 1.001)
        left = where.astype(int)
        a, b = curve[first + left], curve[first + left + 1]
        return a + (b - a) * (where - left)

    kept = np.zeros((GRIPPED_CURVE, *shape))
    for j, dt in enumerate(np.diff(seconds)):
        before = leak(lie[j] + kept[j])
        after = leak(lie[j + 1] + kept[j] - before * dt)
        kept[j + 1] = kept[j] - (before + after) / 2 * dt
    rises = theta0[..., 0] * np.maximum(spot, 1e-12) * np.exp(kept)
    return seconds, np.moveaxis(np.atleast_1d(rises), 0, -1)


def time_to_size(diameter: Any = 12.0, length: Any = 40.0, rise: Any = 25.0, within: Any = 0.001, *,
                 expansion: Any = 11.7e-6, size: Any = None, **how: Any) -> Any:
    """Seconds until a warm round part is within `within` mm of its cold size.

    diameter, length: mm; rise: K above the surroundings; expansion: 1/K; size: the measured size, the
    diameter if not given; material="..." (a name of the materials table) takes the place of expansion,
    density, specific_heat and conductivity. Everything else as in `cooling`. Nought if it is within
    already. Raises Refused for what cannot be.
    """
    if "material" in how:
        what = properties(how.pop("material"))
        expansion = what.expansion
        how = {"density": what.density, "specific_heat": what.specific_heat, "conductivity": what.conductivity, **how}
    measured = positive(diameter if size is None else size, "size")
    left = positive(within, "how close", "mm") / (measured * positive(expansion, "expansion", "1/K"))
    return cooling(diameter, length, rise, np.minimum(left, rise), **how).time_until(left)


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


# ---- a bearing into a warm housing -----------------------------------------------------------------


@dataclass(frozen=True)
class WarmFit:
    """A housing warmed for a bearing."""

    play: Any         # on diameter at the moment the housing leaves the heat, mm
    needed: Any       # how hot the housing must be for the play asked, °C
    open: Any         # seconds until the play is used up, housing standing free in air


def warm_fit(outside: Any, bore: Any, width: Any, interference: Any, housing: float, bearing: Any = REFERENCE, *,
             expansion: Any = 23.4e-6, bearing_expansion: Any = 12e-6, play: Any = 0.015, room: float = REFERENCE,
             **how: Any) -> WarmFit:
    """Play of a bearing in a warmed housing, what warmth it needs, and for how long it stays open.

    outside, bore, width of the housing ring, interference at 20 °C and play asked for: mm; temperatures:
    °C. The clock runs until the bearing touches, before it is in; once in, it warms and the fit closes in
    seconds. Other arguments as in `cooling`. Raises Refused for a housing no warmer than the room.
    """
    if not (np.asarray(_finite(housing, "housing", "°C")) > _finite(room, "room", "°C")).all():
        raise Refused(f"The housing is {plain(float(np.max(housing)), 3)} °C, no warmer than the room. Warm it further.")
    _wall(outside, bore)
    tight = positive(interference, "interference", zero=True) + length_change(
        bore, bearing_expansion, _finite(bearing, "bearing", "°C") - REFERENCE)
    grown = length_change(bore, positive(expansion, "expansion", "1/K"), housing - REFERENCE)
    needed = REFERENCE + (tight + positive(play, "play", zero=True)) / (bore * np.asarray(expansion))
    # open until the seat is down to where the bearing just touches; never, if that is colder than the room
    closes = tight / (bore * np.asarray(expansion)) + REFERENCE - room
    left = np.maximum(closes, 1e-3)
    start = housing - room
    seconds = cooling(outside, width, start, np.minimum(left, start), bore=bore, air=room, **how).time_until(left)
    return WarmFit((grown - tight)[()], needed, np.where(grown > tight, np.where(closes > 0.1, seconds, np.inf), 0.0)[()])
