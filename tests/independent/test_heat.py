"""Heat against other ways: the ht and fluids libraries, ODE and PDE solvers, Weiner's theory, Monte Carlo."""

import fluids
import ht
import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.special import erf, erfc

from springpass import cooling, heat

DICE = np.random.default_rng(3)


def test_still_air_against_ht():
    for rayleigh, prandtl in zip(10 ** DICE.uniform(-2, 9, 60), DICE.uniform(0.6, 0.8, 60), strict=True):
        other = ht.conv_free_immersed.Nu_horizontal_cylinder_Churchill_Chu(prandtl, rayleigh / prandtl)
        assert heat.still_air(rayleigh, prandtl) == pytest.approx(other, rel=1e-12)


def test_moving_air_against_ht():
    for reynolds, prandtl in zip(10 ** DICE.uniform(0, 6, 60), DICE.uniform(0.6, 0.8, 60), strict=True):
        other = ht.conv_external.Nu_cylinder_Churchill_Bernstein(reynolds, prandtl)
        assert heat.moving_air(reynolds, prandtl) == pytest.approx(other, rel=1e-12)


def test_air_against_the_standard_atmosphere():
    """Viscosity and conductivity of the 1976 standard atmosphere (fluids library), which depend on temperature alone."""
    for kelvin in (253.15, 293.15, 333.15, 393.15):
        dynamic = fluids.ATMOSPHERE_1976.viscosity(kelvin)
        density = 101325 / (287.05287 * kelvin)
        assert heat.air_viscosity(kelvin) == pytest.approx(dynamic / density * 1e6, rel=0.005)
        assert heat.air_conductivity(kelvin) == pytest.approx(fluids.ATMOSPHERE_1976.thermal_conductivity(kelvin), rel=0.015)


def test_radiation_against_fourth_powers():
    for emissivity, surface, room in ((0.3, 313.15, 293.15), (0.9, 420, 280), (0.05, 273.15, 300)):
        flux = 5.670374e-8 * emissivity * (surface**4 - room**4)
        assert heat.radiation_coefficient(emissivity, surface, room) * (surface - room) == pytest.approx(flux, rel=1e-9)


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
def test_lumped_against_an_ode_solver(diameter, length, bore, rise, left, rho, cp, k, emissivity, speed, air):
    other = lumped_seconds(diameter, length, bore, rise, left, rho, cp, emissivity, speed, air)
    curve = heat.cooling(diameter, length, rise, left, bore=bore, density=rho, specific_heat=cp, conductivity=k,
                         emissivity=emissivity, draught=speed, air=air)
    # the library also counts the way from core to skin, which the bare balance leaves out: a part in a thousand here
    assert curve.time_until(left) == pytest.approx(other, rel=2.5e-3)


@pytest.mark.parametrize("coefficient, conductivity, diameter", [(1000, 16.2, 20), (2000, 42.6, 30), (1000, 172, 60)])
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
    long_bar = 1e4   # ends do not count
    curve = heat.cooling(diameter, long_bar, 40.0, left, density=rho, specific_heat=cp, conductivity=k, coolant=coefficient)
    plain = heat.time_constant(rho, cp, diameter / 4, coefficient) * np.log(40 / left)
    assert curve.time_until(left) == pytest.approx(solved.t_events[0][0], rel=0.01)
    assert plain < solved.t_events[0][0] * 0.97    # the bare formula would let the turner measure too soon


@pytest.mark.parametrize("diameter, length, k, rho, cp, emissivity, joint, speed, flood", [
    (12, 40, 48, 7850, 470, 0.3, 2000, 0, 0),
    (20, 85, 42.6, 7850, 473, 0.24, 1000, 0, 0),
    (20, 60, 172, 2700, 896, 0.09, 5000, 4.0, 0),
    (16, 50, 16.2, 8000, 500, 0.2, 2000, 0, 800),
])
def test_gripped_rod_against_a_pde_solver(diameter, length, k, rho, cp, emissivity, joint, speed, flood):
    """The rod by finite volumes, with the skin's loss taken place by place and the free end's face cooling too."""
    n, rise = 240, 25.0
    d, dx = diameter / 1e3, length / 1e3 / n
    section, rim = np.pi * d**2 / 4, np.pi * d

    def skin(theta):
        if flood:
            return np.full_like(theta, heat.slowed_by_inside(float(flood), diameter, k))
        warm = np.maximum(theta, 1e-9)
        return heat.air_coefficient(warm, diameter, speed=speed) + heat.radiation_coefficient(emissivity, warm + 293.15, 293.15)

    def fall(_, theta):
        flow = np.zeros(n + 1)
        flow[1:-1] = -k * np.diff(theta) / dx
        flow[0] = -theta[0] / (1 / joint + dx / (2 * k))
        loss = skin(theta) * rim * dx * theta
        loss[-1] += skin(theta)[-1] * section * theta[-1]
        return ((flow[:-1] - flow[1:]) * section - loss) / (rho * cp * section * dx)

    for place, cell in ((0.9, int(0.9 * n)), (0.5, n // 2)):   # near the free end, and halfway
        curve = heat.cooling(diameter, length, rise, 1.0, density=rho, specific_heat=cp, conductivity=k, emissivity=emissivity,
                             joint=joint, draught=speed, coolant=flood, place=place)
        times = [float(curve.time_until(left)) for left in (20.0, 10.0, 2.0)]
        solved = solve_ivp(fall, (0, times[-1] * 1.2), np.full(n, rise), method="BDF", rtol=1e-6, atol=1e-7, dense_output=True)
        got = [float(solved.sol(t)[cell]) for t in times]
        assert got == pytest.approx([20.0, 10.0, 2.0], rel=0.02)


def test_rod_roots_solve_their_equation():
    """With both ends: (μ² − B1 B2) sin μ = μ (B1 + B2) cos μ, one root in each turn of π."""
    for joint in 10.0 ** np.linspace(-4, 4, 17):
        for end in (0.0, 1e-3, 0.3, 2.0, 50.0):
            mu = heat.rod_roots(np.array(joint), np.array(end))
            miss = (mu**2 - joint * end) * np.sin(mu) - mu * (joint + end) * np.cos(mu)
            assert miss / (mu**2 + joint * end + mu * (joint + end)) == pytest.approx(np.zeros(cooling.MODES), abs=1e-8)
            assert (np.floor(mu / np.pi) == np.arange(cooling.MODES)).all()


def weiner(number):
    """Weiner, Shear-plane temperature distribution in orthogonal cutting, Trans. ASME 77 (1955) 1331 (from memory)."""
    y = number / 4
    root = np.sqrt(y)
    return erf(root) / (4 * y) + (1 + y) * erfc(root) - np.exp(-y) / np.sqrt(np.pi) * (1 / (2 * root) + root)


@pytest.mark.parametrize("number, theory", [(0.1, 0.7859294865), (0.5, 0.5798959903), (5, 0.1803735612)])
def test_fitted_share_beside_theory(number, theory):
    """A theory with a plane heat source: near the fit for slow fine cuts, under it for fast ones (its zone has no width)."""
    assert weiner(number) == pytest.approx(theory, rel=1e-6)
    assert 1.0 < heat.shear_plane_share(number) / theory < 1.45


def test_moving_source_solution_behind_the_theory():
    """Steady heat running ahead of a source that moves at v: exp(−v x/a). Its integral is the heat it carries, k/(ρ c v)."""
    diffusivity, speed = 13.0, 500.0   # mm²/s, mm/s
    ahead, _ = quad(lambda x: np.exp(-speed * x / diffusivity), 0, np.inf)
    chip = 0.02
    number = heat.thermal_number(7850, 470, speed * 60 / 1000, chip, 7850 * 470 * diffusivity * 1e-6, 45)
    assert chip / ahead == pytest.approx(number, rel=1e-9)


def test_reading_doubt_against_monte_carlo():
    size, alpha, rise, u_alpha, u_room, u_between = 200.0, 11.5e-6, 4.0, 0.9e-6, 1.5, 0.4
    draw = np.random.default_rng(11).standard_normal((3, 400_000))
    room = rise + u_room * draw[0]
    error = size * (u_alpha * draw[1] * room + alpha * u_between * draw[2])
    assert heat.reading_doubt(size, alpha, rise, u_alpha, u_room, u_between) == pytest.approx(error.std(), rel=0.01)


def test_first_order_reading_error_against_the_exact_ratio():
    exact = 300 * (1 + 23.4e-6 * 15) / (1 + 11.5e-6 * 5) - 300
    assert heat.reading_error(300, 23.4e-6, 15, 11.5e-6, 5) == pytest.approx(exact, rel=1e-3)
