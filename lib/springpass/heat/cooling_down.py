"""Cooling: how fast a warm round part comes back to its size.

Still air, a draught, coolant, radiation, and, while it is gripped, the way along
the part into the chuck. One formula at a time first, then the whole curve.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from ..core.formula import formula
from ..core.quantity import Numbers, Refused, finite, plain, positive
from ..core.shared import GRAVITY, Density, WorkDiameter
from .quantities import (
    AirConductivity,
    AirSpeed,
    AirViscosity,
    BiotNumber,
    Conductivity,
    CoolExponent,
    CoolRise,
    Emissivity,
    FilmTemperature,
    Gravity,
    NusseltNumber,
    PrandtlNumber,
    RayleighNumber,
    ReynoldsNumber,
    SkinCoefficient,
    SpecificHeat,
    StartRise,
    Stefan,
    Surface,
    SurfaceCoefficient,
    Surroundings,
    ThicknessForHeat,
    TimeConstant,
    Wait,
)

REFERENCE = 20.0   # °C, ISO 1: the temperature at which a drawing's sizes hold
ZERO = 273.15      # 0 °C in kelvin


# ---- one formula at a time ------------------------------------------------------------------------


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
        prandtl: PrandtlNumber, gravity: Gravity = 1e3 * GRAVITY) -> RayleighNumber:
    """Lift of warm air round the part, over what slows it."""
    return gravity * rise * diameter**3 * prandtl / (film * viscosity**2)


@formula(source="definition", holds="air properties taken at the film temperature; 1000 turns metres into millimetres",
    basis="computed")
def reynolds_number(speed: AirSpeed, diameter: WorkDiameter, viscosity: AirViscosity) -> ReynoldsNumber:
    """Push of moving air over what slows it."""
    return 1000 * speed * diameter / viscosity


@formula(
    source="Sutherland's law with the constants of White, Viscous Fluid Flow, and the ideal gas at 1 atm (from memory; "
    "checked against handbook tables to 1 %)", holds="dry air at 1 atm, −40 to 160 °C", empirical=True)
def air_viscosity(film: FilmTemperature) -> AirViscosity:
    """Kinematic viscosity of air."""
    return 17.16 * (film / 273.15) ** (3 / 2) * 383.55 / (film + 110.4) * 287.05 * film / 101325


@formula(source="Sutherland's law with the constants of White, Viscous Fluid Flow (from memory; handbook tables of air "
    "differ by 2 % among themselves)", holds="dry air, −40 to 160 °C", empirical=True)
def air_conductivity(film: FilmTemperature) -> AirConductivity:
    """How well air conducts heat."""
    return 0.0241 * (film / 273.15) ** (3 / 2) * 467.15 / (film + 194)


@formula(source="definition, with 1006 J/(kg K) for air", holds="dry air at 1 atm, −40 to 160 °C", basis="computed",
    empirical=True)
def air_prandtl(film: FilmTemperature) -> PrandtlNumber:
    """How far air's motion spreads beside its warmth: nearly the same for all air."""
    return 1006e-6 * air_viscosity(film) * 101325 / (287.05 * film) / air_conductivity(film)


@formula(source="Stefan-Boltzmann law, difference of fourth powers divided by the difference", basis="computed",
    holds="a small part in a large room; temperatures from absolute zero, never in °C")
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
def slowed_by_inside(
    coefficient: SkinCoefficient, diameter: WorkDiameter, conductivity: Conductivity
) -> SurfaceCoefficient:
    """The coefficient as the part's mean temperature feels it: the way from core to skin slows it."""
    return coefficient / (1 + coefficient * diameter / (8000 * conductivity))


def round_volume(diameter: Numbers, length: Numbers, bore: Any = 0.0) -> Any:
    """Metal in a round part, mm³. Raises Refused for a bore that leaves no wall."""
    no_wall_refused(diameter, bore)
    return (np.pi / 4 * (positive(diameter, "diameter") ** 2 - np.asarray(bore, float)[()] ** 2)
        * positive(length, "length"))


def round_surface(diameter: Numbers, length: Numbers, bore: Any = 0.0) -> Any:
    """Skin of a round part, mm²: outside, bore and both ends. Raises Refused for a bore that leaves no wall."""
    no_wall_refused(diameter, bore)
    outside, bore = positive(diameter, "diameter"), np.asarray(bore, float)[()]
    return np.pi * (outside + bore) * positive(length, "length") + np.pi / 2 * (outside**2 - bore**2)


def no_wall_refused(diameter: Numbers, bore: Numbers) -> None:
    if (positive(bore, "bore", zero=True) >= np.asarray(positive(diameter, "diameter"))).any():
        raise Refused("The bore is as large as the outside, so there is no wall. Make the bore smaller.")


def air_coefficient(rise: Numbers, diameter: Numbers, air: float = REFERENCE, speed: Any = 0.0) -> Any:
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
    diameter = positive(diameter, "diameter")
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
        """Seconds until the part is only `rise` K warmer; zero if it never was warmer. Arrays match the samples."""
        wanted = np.asarray(rise, float)[..., None]
        rises, seconds, wanted = np.broadcast_arrays(*np.broadcast_arrays(self.rise, self.seconds), wanted)
        last = np.clip(np.count_nonzero(rises > wanted, axis=-1)[..., None], 1, rises.shape[-1] - 1)
        y0, y1 = (np.log(np.take_along_axis(rises, last - k, -1)[..., 0]) for k in (1, 0))
        t0, t1 = (np.take_along_axis(seconds, last - k, -1)[..., 0] for k in (1, 0))
        goal = np.log(wanted[..., 0])
        with np.errstate(divide="ignore", invalid="ignore"):
            found = t0 + (t1 - t0) * np.where(y0 > y1, (y0 - goal) / (y0 - y1), 0)
        return np.where(wanted[..., 0] >= rises[..., 0], 0.0, found)[()]

    def band(self, scale: Any, levels: tuple[float, float, float] = (5.0, 50.0, 95.0)) -> tuple[np.ndarray, np.ndarray]:
        """What `scale` times the rise is at common times: seconds, and one row for each percentile of `levels`.

        scale: size change for each K, one a sample. A curve that falls all the way has its percentiles
        along either axis, so a free part's are taken from its times.
        """
        scale = np.atleast_1d(np.asarray(scale, float))
        if self.seconds.ndim == 1:                                     # gripped, or one sample: the times are common
            sizes = np.atleast_2d(scale[:, None] * self.rise)
            return self.seconds, _percentiles(sizes, levels)
        middle = float(np.median(scale))
        step = float(np.log(self.rise[0] / self.rise[-1])) / (len(self.rise) - 1)
        shift = np.log(scale / middle)[:, None] / step + np.arange(len(self.rise))
        left = np.clip(shift.astype(int), 0, len(self.rise) - 2)
        rows = np.broadcast_to(self.seconds, (max(len(scale), len(self.seconds)), len(self.rise)))
        t0, t1 = np.take_along_axis(rows, left, 1), np.take_along_axis(rows, left + 1, 1)
        times = _percentiles(np.maximum(t0 + (t1 - t0) * (shift - left), 0), levels)
        common = times[1] * 1.0
        size = middle * self.rise
        return common, np.array([np.interp(common, t, size) for t in times])


def _percentiles(values: np.ndarray, levels: tuple[float, float, float]) -> np.ndarray:
    """Percentiles over the samples, one row each; partition once."""
    ranks = [round(level / 100 * (len(values) - 1)) for level in levels]
    return np.partition(values, ranks, axis=0)[ranks]


def settling(diameter: float, length: float, **how: Any) -> float:
    """Time, s, in which a part loses all but 1/e of a small rise, as for `cooling`, which takes `how`.

    diameter, length: mm. From a start of SMALL_RISE, at which the air's share changes little.
    """
    left = SMALL_RISE / np.e
    return float(cooling(diameter, length, SMALL_RISE, left, **how).time_until(left))


SMALL_RISE = 10.0    # K
CURVE = 23           # places along the curve of a part that lies free
GRIPPED_CURVE = 25   # and of a gripped one, an odd number
LOSS_CURVE = 19      # places at which the skin's coefficient is worked out for a gripped part
MODES = 5            # terms of the rod's series


def cooling(diameter: Any = 12.0, length: Any = 40.0, rise: Any = 25.0, until: Any = 0.01, *, bore: Any = 0.0,
        density: Any = 7850.0, specific_heat: Any = 470.0, conductivity: Any = 48.0, emissivity: Any = 0.3,
        air: float = REFERENCE, draught: Any = 0.0, coolant: Any = 0.0, joint: Any = 0.0, place: float = 1.0,
        convection: Any = 1.0) -> Cooling:
    """How a round part cools from `rise` to `until` (K above the surroundings, which are at `air` °C).

    diameter, length, bore: mm; draught: m/s; coolant: W/(m² K), takes the place of air and radiation
    where above zero; joint: W/(m² K) across the gripped end's section, 0 for a part that lies free;
    place: where along a gripped part, 0 at the chuck to 1 at the free end; convection: factor on the
    correlations. Arrays of samples broadcast. Raises Refused for what cannot be.

    A free part is solved as one temperature (mean over the section, with the way from core to skin
    allowed for): dt = ρ c V/(h A) d(ln θ), h from θ, integrated along ln θ. A gripped part is the
    one-dimensional rod θ_t = a θ_xx − h P θ/(ρ c S) with a joint at the chuck (chuck as cool as the air) and
    a bare free end: eigenfunctions of the two ends, times the loss through the skin with h taken at the
    rod's mean temperature. Checked against the full equations solved numerically.
    """
    start = positive(rise, "rise", "K")
    until, what = positive(until, "rise to cool to", "K"), [positive(v, n, u) for v, n,
        u in ((density, "density", "kg/m³"), (specific_heat, "specific heat", "J/(kg K)"),
        (conductivity, "conductivity", "W/(m K)"), (convection, "convection factor", "(no unit)"))]
    what += [positive(v, n, u, zero=True) for v, n,
        u in ((emissivity, "emissivity", "(no unit)"), (draught, "draught", "m/s"), (coolant, "coolant", "W/(m² K)"),
        (joint, "joint", "W/(m² K)"))]
    if not (0 <= finite(place, "place", "the length") <= 1):
        raise Refused("The place along the part runs from 0 at the chuck to 1 at the free end.")
    if not (np.asarray(positive(emissivity, "emissivity", "(no unit)", zero=True)) <= 1).all():
        raise Refused("The emissivity is a share of a black body's radiation: it must lie between 0 and 1.")
    if not -30 <= finite(air, "air", "°C") <= 60:
        raise Refused(f"The air is {plain(float(air), 3)} °C. Choose a room between −30 and 60 °C.")
    if not (np.asarray(start) <= 250).all():
        raise Refused(f"The part is {plain(float(np.max(start)), 3)} K warmer than the room; this model ends at 250 K.")
    rho, cp, k, factor, shine, wind, flood, grip = (np.asarray(v, float)[..., None] for v in what)
    theta0, d, size, hole = (np.asarray(v, float)[..., None] for v in (start, positive(diameter, "diameter"),
        positive(length, "length"), positive(bore, "bore", zero=True)))
    volume, skin = round_volume(d, size, hole), round_surface(d, size, hole)
    hold = rho * cp * volume / (1000 * skin)          # s for each W/(m² K)

    def loss(theta: Any) -> Any:
        """Coefficient at the skin, as the mean temperature feels it."""
        if (flood > 0).all():
            h = flood + 0 * theta
        else:  # one curve over the rise, then a factor for each sample
            h = factor * air_coefficient(theta, d, air, wind) + radiation_coefficient(shine, theta + air + ZERO,
                air + ZERO)
            h = np.where(flood > 0, flood, h) if flood.any() else h
        if (hole > 0).all():
            return h
        return np.where(hole > 0, h, slowed_by_inside(h, d, k))

    if (d > 1e4).any() or (size > 1e5).any():
        raise Refused("The part is larger than any lathe takes. Check diameter and length; they are in mm.")
    first = loss(theta0)
    biot = biot_number(
        first / np.where(hole > 0, 1.0, 1 - first * d / (8000 * k)), volume / skin, k
    )  # of the skin itself
    # past the goal by two thirds, so that a sample whose goal lies a little lower still finds it
    reach = np.maximum(np.log(theta0 / np.min(until)), 0) + 0.5
    u = np.linspace(0, 1, CURVE) * np.max(reach)
    if not (grip > 0).any():
        theta = theta0 * np.exp(-u)
        slow = hold / loss(theta)
        steps = (slow[..., 1:] + slow[..., :-1]) / 2 * np.diff(u)
        seconds = np.concatenate([np.zeros((*steps.shape[:-1], 1)), np.cumsum(steps, -1)], -1)
        return Cooling(seconds, theta, first[..., 0][()], np.asarray(biot)[..., 0][()])
    rim = rho * cp * (d - hole) / 4000                # the skin without the ends, which are the rod's own
    seconds, rises = _gripped(theta0, float(np.max(reach)), rim, loss, k / (rho * cp) * 1e6, size,
        grip * size / (1000 * k), first * size / (1000 * k), place)
    return Cooling(seconds, rises, first[..., 0][()], np.asarray(biot)[..., 0][()])


def rod_roots(joint: Numbers, end: Any = 0.0, modes: int = MODES) -> np.ndarray:
    """Roots of μ = nπ + arctan(joint/μ) + arctan(end/μ): a rod that loses heat through both ends; last axis the modes.

    joint, end: Biot numbers h L/k of the two ends. Newton; the right side has no poles and falls all the
    way, so there is one root a mode. Source: Carslaw and Jaeger, Conduction of Heat in Solids (from
    memory; checked against the equation solved numerically).
    """
    b1, b2 = (np.asarray(b, float)[..., None] for b in np.broadcast_arrays(joint, end))
    n = np.arange(modes) * np.pi
    both = b1 + b2
    mu = n + np.where(n > 0, np.arctan(b1 / (n + 0.8)) + np.arctan(b2 / (n + 0.8)),
        np.sqrt(both / (1 + both / 3)) / np.sqrt(1 + 0.07 * np.maximum(b1, b2)))
    for turn in range(5):   # the first root is the hard one
        m = slice(None, 1) if turn > 1 else slice(None)
        x, base = np.clip(mu[..., m], n[m] + 1e-9, n[m] + np.pi), n[m]
        mu[..., m] = x - (np.arctan(b1 / x) + np.arctan(b2 / x) - x + base) / (
            -b1 / (x**2 + b1**2) - b2 / (x**2 + b2**2) - 1)
    return mu


def _gripped(theta0: Any, reach: float, hold: Any, loss: Any, diffusivity: Any, size: Any, joint: Any, end: Any,
        place: float) -> tuple[np.ndarray, np.ndarray]:
    """Times and rises of the rod; see `cooling`. Inside, time runs along the first axis."""
    mu = rod_roots(joint[..., 0], end[..., 0])
    rate = mu**2 * diffusivity / size**2                                   # 1/s, mode by mode
    norm = ((mu**2 + joint**2) * (1 + end / (mu**2 + end**2)) + joint) / 2
    sine, cosine = np.sin(mu), np.cos(mu)
    area = sine + joint / mu * (1 - cosine)
    whole = area**2 / norm                                                 # share of the mean rise in each mode
    if place < 1:
        sine, cosine = np.sin(mu * place), np.cos(mu * place)
    here = area / norm * (mu * cosine + joint * sine)
    fall = rate[..., :1] + loss(theta0 * np.exp(-reach)) / hold
    s = np.linspace(0, 1, GRIPPED_CURVE)
    seconds = float(np.max((reach + 0.3) / fall)) * s**2 * (0.15 + 0.85 * s)
    shape = np.broadcast_shapes(rate.shape[:-1], hold.shape[:-1], theta0.shape[:-1])
    mean, spot = np.zeros((2, GRIPPED_CURVE, *rate.shape[:-1]))
    for mode in range(MODES):
        early = int(np.sum(seconds * float(np.min(rate[..., mode])) < 12))     # later the mode has died away
        gone = np.exp(np.multiply.outer(-seconds[:early], rate[..., mode]))
        if mode < 3:                                              # the mean has all but nothing in the higher ones
            mean[:early] += whole[..., mode] * gone
        gone *= here[..., mode]
        spot[:early] += gone
    # the series is cut short, so it ripples in the first seconds; the start is known, and nothing gets warmer
    mean[0] = spot[0] = 1.0
    np.minimum(mean, 1.0, out=mean)
    spot[7::-1] = np.minimum(np.maximum.accumulate(spot[7::-1]), 1.0)
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
    before = leak(lie[0])
    for j in range(0, GRIPPED_CURVE - 1, 2):      # every other place; what lies between is as good as straight
        dt = seconds[j + 2] - seconds[j]
        after = leak(lie[j + 2] + kept[j] - before * dt)
        kept[j + 2] = kept[j] - (before + after) / 2 * dt
        kept[j + 1] = kept[j] + (kept[j + 2] - kept[j]) * ((seconds[j + 1] - seconds[j]) / dt)
        before = after
    rises = theta0[..., 0] * np.maximum(spot, 1e-12) * np.exp(kept)
    return seconds, np.moveaxis(np.atleast_1d(rises), 0, -1)
