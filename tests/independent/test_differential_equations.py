"""Differential equations solved step by step: shooting, the delay equation, heat in bars, the equilibrium of a ring
(scipy).
"""

import ht
import numpy as np
import pytest
from scipy import integrate, linalg, optimize
from scipy.integrate import solve_ivp

from outside import agrees, claim, source
from springpass import boring_bar, cutting, heat
from springpass.boring_bar import vibration as bar_vibration
from springpass.boring_bar.vibration import limit_with_overlap, lobes, tuning
from springpass.threads import single_point as thread_cutting


@source("Timoshenko's equations integrated from the root, shooting (scipy)", basis="method")
def test_timoshenko_frequency_against_the_boundary_value_problem():
    """First root of the clamped-free Timoshenko beam by integrating its equations from the root (scipy) and shooting.
    """
    e, nu, rho, d, length = 205e3, 0.29, 7.85e-9, 12.0, 36.0
    inertia, area = np.pi * d**4 / 64, np.pi * d**2 / 4
    g, kappa = e / (2 * (1 + nu)), 6 * (1 + nu) / (7 + 6 * nu)

    def residual(f):
        om2 = (2 * np.pi * f) ** 2

        def field(x, y):   # w, turn, moment, shear
            w, t, m, q = y
            return [t + q / (kappa * g * area), m / (e * inertia), -q - rho * inertia * om2 * t, -rho * area * om2 * w]

        ends = [
            integrate.solve_ivp(field, (0, length), start, rtol=1e-9, atol=1e-12).y[2:, -1]
            for start in ([0, 0, 1, 0], [0, 0, 0, 1])
        ]
        return np.linalg.det(np.array(ends))

    guess = boring_bar.natural_frequency([(length, d)], e, 7850, poisson=nu)
    wanted = optimize.brentq(residual, 0.9 * guess, 1.1 * guess, xtol=1e-6)
    agrees("guess", guess, wanted, rel=2e-4, of=boring_bar.natural_frequency)
    claim(
        "wanted", wanted < boring_bar.natural_frequency([(length, d)], e, 7850), of=boring_bar.natural_frequency
    )  # shear and rotary inertia lower it


def grows(k, zeta, whole, overlap, turns_per_swing, steps=80):
    """Largest multiplier of x″ + 2ζx′ + x = −(K/k)·(x − µ·x(t−τ)) over one step, by semi-discretisation (ω = 1)."""
    delay = 2 * np.pi * turns_per_swing
    dt = delay / steps
    a = np.array([[0, 1.0], [-(1 + whole / k), -2 * zeta]])
    stepping = linalg.expm(np.block([[a, np.eye(2)], [np.zeros((2, 4))]]) * dt)
    p, r = stepping[:2, :2], stepping[:2, 2:]
    big = np.zeros((steps + 2, steps + 2))
    big[:2, :2] = p
    big[:2, -1] = r @ np.array([0, 0.5 * overlap * whole / k])
    big[:2, -2] += r @ np.array([0, 0.5 * overlap * whole / k])
    big[2, 0] = 1
    big[np.arange(3, steps + 2), np.arange(2, steps + 1)] = 1
    return np.abs(linalg.eigvals(big)).max()


@pytest.mark.parametrize(("zeta", "overlap"), [(0.02, 1.0), (0.02, 0.7), (0.06, 0.85)])
@source("the delay equation by semi-discretisation (scipy)", basis="method")
def test_the_limit_of_stability_against_the_delay_equation(zeta, overlap):
    """Just below the limit nothing grows at any speed; just above it something does at the worst one."""
    k = 2000.0
    limit = limit_with_overlap(k, zeta, overlap)
    delays = np.linspace(0.55, 1.75, 61)
    claim("grows", max(grows(k, zeta, 0.97 * limit, overlap, d) for d in delays) < 1, of=limit_with_overlap)
    claim("grows", max(grows(k, zeta, 1.03 * limit, overlap, d) for d in delays) > 1, of=limit_with_overlap)


@source("the delay equation by semi-discretisation (scipy)", basis="method")
def test_the_lobes_against_the_delay_equation():
    """At three speeds on a lobe the limit found by bisection on the multiplier is the lobe's."""
    k, zeta, fn = 2000.0, 0.03, 100.0
    table = lobes(k, zeta, fn, range(3), 400)
    for speed in (2800.0, 4200.0, 5600.0):
        wanted = min(
            np.interp(speed, s, limit, left=np.inf, right=np.inf)
            for s, limit in zip(table.speed, table.limit, strict=True)
        )
        turns = fn / (speed / 60)
        found = optimize.brentq(
            lambda whole, turns=turns: grows(k, zeta, whole, 1.0, turns, 160) - 1, 0.3 * wanted, 2.5 * wanted, rtol=1e-3
        )
        agrees("", found, wanted, rel=0.03, of=lobes)


@source("the characteristic equation of the regenerative cut, its real roots on a fine grid", basis="method")
def test_what_tuning_the_speed_wins():
    """1 + K·G·(1 − e^(−iωT)) = 0: the least real K over all frequencies, the most of those over the speeds near."""
    k, zeta, fn, spindle = 2000.0, 0.03, 100.0, 2000.0
    r = np.linspace(1.0001, 2.0, 40_001)
    flexible = 1 / (k * (1 - r**2 + 2j * zeta * r))

    def least(speed):
        whole = -1 / (flexible * (1 - np.exp(-2j * np.pi * fn * r * 60 / speed)))
        turns = np.flatnonzero(np.diff(np.sign(whole.imag)) != 0)
        roots = whole.real[turns]
        return roots[(roots > 0) & (np.abs(np.diff(whole.imag)[turns]) < k)].min()

    wanted = max(least(speed) for speed in spindle * (1 + np.linspace(-0.2, 0.2, 81))) / (2 * k * zeta * (1 + zeta))
    found = tuning(k, zeta, fn, spindle)
    agrees("gain", found.gain, wanted, rel=0.04, of=tuning)
    agrees("waves", found.lobe, 3, of=tuning)


def lumped_seconds(diameter, length, bore, rise, left, rho, cp, emissivity, speed, air):
    """Time from a stiff ODE solve of the heat balance, in SI, with ht's correlations."""
    d, d0, height = diameter / 1e3, bore / 1e3, length / 1e3
    area = np.pi * (d + d0) * height + np.pi / 2 * (d**2 - d0**2)
    mass = rho * np.pi / 4 * (d**2 - d0**2) * height

    def balance(_, state):
        theta = state[0]
        film = air + 273.15 + theta / 2
        nu, k, pr = heat.air_viscosity(film) * 1e-6, heat.air_conductivity(film), heat.air_prandtl(film)
        still = ht.conv_free_immersed.Nu_horizontal_cylinder_Churchill_Chu(pr, 9.80665 * theta * d**3 / (film * nu**2))
        blown = ht.conv_external.Nu_cylinder_Churchill_Bernstein(speed * d / nu, pr) if speed else 0.0
        convection = (still**3 + blown**3) ** (1 / 3) * k / d * theta
        room = air + 273.15
        return [-area * (convection + emissivity * 5.670374e-8 * ((room + theta) ** 4 - room**4)) / (mass * cp)]

    def cold(_, state):
        return state[0] - left

    cold.terminal = True
    return solve_ivp(balance, (0, 1e6), [rise], method="LSODA", rtol=1e-9, atol=1e-10, events=cold).t_events[0][0]


@pytest.mark.parametrize("diameter, length, bore, rise, left, rho, cp, k, emissivity, speed, air", [
    (12, 40, 0, 25, 7.122507, 7850, 470, 48, 0.3, 0, 20),
    (12, 40, 0, 25, 0.5, 7850, 470, 48, 0.3, 0, 20),
    (50, 80, 0, 60, 1.0, 2700, 896, 172, 0.09, 0, 5),
    (62, 16, 42, 80, 5.0, 2700, 896, 172, 0.1, 0, 20),
    (20, 85, 0, 10, 0.3, 7850, 473, 42.6, 0.24, 2.5, 30),
])
@source("heat balance by a stiff solver (scipy), correlations of ht", basis="method")
def test_lumped_against_an_ode_solver(diameter, length, bore, rise, left, rho, cp, k, emissivity, speed, air):
    other = lumped_seconds(diameter, length, bore, rise, left, rho, cp, emissivity, speed, air)
    curve = heat.cooling(diameter, length, rise, left, bore=bore, density=rho, specific_heat=cp, conductivity=k,
                         emissivity=emissivity, draught=speed, air=air)
    # the library also counts the way from core to skin, which the bare balance leaves out: a part in a thousand here
    agrees("time until", curve.time_until(left), other, rel=2.5e-3, of=heat.cooling)


@pytest.mark.parametrize("coefficient, conductivity, diameter", [(1000, 16.2, 20), (2000, 42.6, 30), (1000, 172, 60)])
@source("radial heat equation by finite volumes (scipy)", basis="method")
def test_coolant_on_a_thick_bar_against_the_radial_equation(coefficient, conductivity, diameter):
    """Biot numbers of 0.1 to 0.4: the mean temperature of the full radial equation, by finite volumes."""
    rho, cp, n, left = 7850.0, 480.0, 80, 2.0
    radius, k = diameter / 2e3, conductivity
    faces = np.linspace(0, radius, n + 1)
    area, dr = np.pi * np.diff(faces**2), radius / n

    def fall(_, theta):
        flow = np.zeros(n + 1)
        flow[1:-1] = -k * np.diff(theta) / dr * 2 * np.pi * faces[1:-1]
        flow[-1] = theta[-1] / (1 / coefficient + dr / (2 * k)) * 2 * np.pi * radius
        return (flow[:-1] - flow[1:]) / (rho * cp * area)

    def cold(_, theta):
        return theta @ area / area.sum() - left

    cold.terminal = True
    solved = solve_ivp(fall, (0, 1e5), np.full(n, 40.0), method="BDF", rtol=1e-7, atol=1e-8, events=cold)
    long_bar = 1e4  # ends do not count
    curve = heat.cooling(
        diameter, long_bar, 40.0, left, density=rho, specific_heat=cp, conductivity=k, coolant=coefficient
    )
    plain = heat.time_constant(rho, cp, diameter / 4, coefficient) * np.log(40 / left)
    agrees("time until", curve.time_until(left), solved.t_events[0][0], rel=0.01, of=heat.cooling)
    claim(
        "plain", plain < solved.t_events[0][0] * 0.97, of=heat.time_constant
    )  # the bare formula would let the turner measure too soon


@pytest.mark.parametrize("diameter, length, k, rho, cp, emissivity, joint, speed, flood", [
    (12, 40, 48, 7850, 470, 0.3, 2000, 0, 0),
    (20, 85, 42.6, 7850, 473, 0.24, 1000, 0, 0),
    (20, 60, 172, 2700, 896, 0.09, 5000, 4.0, 0),
    (16, 50, 16.2, 8000, 500, 0.2, 2000, 0, 800),
])
@source("the rod by finite volumes (scipy)", basis="method")
def test_gripped_rod_against_a_pde_solver(diameter, length, k, rho, cp, emissivity, joint, speed, flood):
    """The rod by finite volumes, with the skin's loss taken place by place and the free end's face cooling too."""
    n, rise = 240, 25.0
    d, dx = diameter / 1e3, length / 1e3 / n
    section, rim = np.pi * d**2 / 4, np.pi * d

    def skin(theta):
        if flood:
            return np.full_like(theta, heat.slowed_by_inside(float(flood), diameter, k))
        warm = np.maximum(theta, 1e-9)
        return heat.air_coefficient(warm, diameter, speed=speed) + heat.radiation_coefficient(
            emissivity, warm + 293.15, 293.15
        )

    def fall(_, theta):
        flow = np.zeros(n + 1)
        flow[1:-1] = -k * np.diff(theta) / dx
        flow[0] = -theta[0] / (1 / joint + dx / (2 * k))
        loss = skin(theta) * rim * dx * theta
        loss[-1] += skin(theta)[-1] * section * theta[-1]
        return ((flow[:-1] - flow[1:]) * section - loss) / (rho * cp * section * dx)

    for place, cell in ((0.9, int(0.9 * n)), (0.5, n // 2)):  # near the free end, and halfway
        curve = heat.cooling(
            diameter,
            length,
            rise,
            1.0,
            density=rho,
            specific_heat=cp,
            conductivity=k,
            emissivity=emissivity,
            joint=joint,
            draught=speed,
            coolant=flood,
            place=place,
        )
        times = [float(curve.time_until(left)) for left in (20.0, 10.0, 2.0)]
        solved = solve_ivp(
            fall, (0, times[-1] * 1.2), np.full(n, rise), method="BDF", rtol=1e-6, atol=1e-7, dense_output=True
        )
        got = [float(solved.sol(t)[cell]) for t in times]
        agrees("", got, [20.0, 10.0, 2.0], rel=0.02, of=heat.cooling)


@source("the ring's equilibrium by a boundary solver (scipy)", basis="method")
def test_nut_growth_by_solving_the_ring():
    """Radial displacement of a ring under pressure from the equilibrium equation, plane stress, by a boundary solver.
    """
    inner, outer, pressure, modulus, poisson = 8.675, 11.0, 20.0, 205e3, 0.29

    def stress(r, u, du):
        return modulus / (1 - poisson**2) * (du + poisson * u / r)

    def rhs(r, y):
        return np.vstack([y[1], y[0] / r**2 - y[1] / r])

    def ends(a, b):
        return np.array([stress(inner, a[0], a[1]) + pressure, stress(outer, b[0], b[1])])

    r = np.linspace(inner, outer, 50)
    solved = integrate.solve_bvp(rhs, ends, r, np.zeros((2, r.size)), tol=1e-9)
    agrees(
        "nut growth",
        thread_cutting.nut_growth(pressure, 2 * inner, 2 * outer, modulus, poisson),
        2 * solved.y[0, 0],
        rel=1e-6,
        unit="mm",
        of=thread_cutting.nut_growth,
    )


@source(
    "the delay equation by semi-discretisation (scipy)", place="cuts 5 % to either side of the limit", basis="method"
)
def test_a_cut_called_stable_dies_away():
    """A depth whose cutting stiffness lies just under, or just over, what the delay equation bears at its worst speed.
    """
    k, zeta = 3000.0, 0.03
    slopes = bar_vibration.cut_slopes(0.05, 0.4, 600, 0.4)
    depth = chatter_depth_by_growth(k, zeta, slopes)
    agrees("under", bool(bar_vibration.is_stable(0.95 * depth, slopes, k, zeta)), True, of=bar_vibration.is_stable)
    agrees("over", bool(bar_vibration.is_stable(1.05 * depth, slopes, k, zeta)), False, of=bar_vibration.is_stable)


def chatter_depth_by_growth(k, zeta, slopes):
    delays = np.linspace(0.55, 1.75, 61)

    def worst(log_depth):
        one = cutting.cutting_stiffness(np.exp(log_depth), 0.05, 0.4, 90, 600, 0.4)
        return max(grows(k, zeta, one.whole, one.overlap, d) for d in delays) - 1

    return np.exp(optimize.brentq(worst, np.log(2e-3), np.log(0.3), xtol=1e-3))


@source(
    "heat balance by a stiff solver (scipy), correlations of ht",
    place="housing ring 62 by 14, bore 42, from 60 °C",
    basis="method",
)
def test_how_long_a_warm_housing_stays_open():
    """Open until the ring is down to 12 µm/(42·23.4e-6) = 12.21 K above the room."""
    found = heat.warm_fit(
        62.0, 42.0, 14.0, 0.012, 60.0, density=2700, specific_heat=896, conductivity=172, emissivity=0.1
    )
    other = lumped_seconds(62, 14, 42, 40, 0.012 / (42 * 23.4e-6), 2700, 896, 0.1, 0, 20)
    agrees("open", found.open, other, rel=5e-3, unit="s", of=heat.warm_fit)
    curve = found.curve
    passed = [i for i in range(1, len(curve.rise)) if curve.rise[i] > 2][::8]
    agrees("curve", [curve.seconds[i] for i in passed],
           [lumped_seconds(62, 14, 42, 40, curve.rise[i], 2700, 896, 0.1, 0, 20) for i in passed], rel=5e-3, unit="s",
           of=heat.warm_fit)
    agrees("curve begins", (curve.rise[0], curve.seconds[0]), (40.0, 0.0), unit="K", of=heat.warm_fit)
    # the coefficient from how fast the balance falls in its first tenth of a kelvin: h = ρ c V/A · dθ/dt/θ
    volume, skin = (62**2 - 42**2) / 4 * 14, 104 * 14 + (62**2 - 42**2) / 2   # both over π, mm
    first = lumped_seconds(62, 14, 42, 40, 39.9, 2700, 896, 0.1, 0, 20)
    h = 2700 * 896 * volume / skin / 1000 * 0.1 / first / 39.95
    agrees("coefficient", curve.coefficient, h, rel=5e-3, unit="W/(m² K)", of=heat.warm_fit)
    agrees("Biot", curve.biot, h * volume / skin / 1000 / 172, rel=5e-3, of=heat.warm_fit)
