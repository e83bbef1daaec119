"""Rings, jaws, collets and joints by other means: the equilibrium of a ring solved numerically, forces summed up, work
done.
"""

import numpy as np
import pytest
from scipy import integrate, optimize

from outside import agrees, source
from springpass import workholding as wh
from springpass.boring_bar import bending as bar_bending
from springpass.core import tables
from springpass.fits import pressing

E, NU = 205e3, 0.29


def ring(inner, outer, inside=0.0, outside=0.0):
    """Radial movement, hoop and radial stress of a ring under pressure, plane stress: the equation of equilibrium by a
    boundary-value solver (scipy). Gives a function of the radius."""
    def stress(r, u, du):
        return E / (1 - NU**2) * (u / r + NU * du), E / (1 - NU**2) * (du + NU * u / r)

    def ends(a, b):
        return np.array([stress(inner, a[0], a[1])[1] + inside, stress(outer, b[0], b[1])[1] + outside])

    r = np.linspace(inner, outer, 60)
    start = np.vstack([1e-4 * r / outer, np.full(r.size, 1e-4 / outer)])
    solved = integrate.solve_bvp(
        lambda r, y: np.vstack([y[1], y[0] / r**2 - y[1] / r]), ends, r, start, tol=1e-10, max_nodes=50_000
    )
    assert solved.success

    def at(radius):
        u, du = solved.sol(radius)
        return (u, *stress(radius, u, du))

    return at


def von_mises(hoop, radial):
    return np.sqrt(hoop**2 - hoop * radial + radial**2)


@pytest.mark.parametrize(("bore", "joint", "outside"), [(8.0, 20.0, 40.0), (12.0, 16.0, 22.0)])
@source("a ring's equilibrium by a boundary-value solver (scipy)", place="pressed joint, both parts", basis="method")
def test_stresses_of_a_press_fit(bore, joint, outside):
    pressure = 60.0
    hub, shaft = ring(joint / 2, outside / 2, inside=pressure), ring(bore / 2, joint / 2, outside=pressure)
    _, hoop, radial = hub(joint / 2)
    agrees(
        "pull round the hub's bore",
        pressing.hub_stress(pressure, joint, outside),
        hoop,
        rel=1e-6,
        unit="MPa",
        of=pressing.hub_stress,
    )
    agrees(
        "effort of the hub",
        pressing.hub_effort(pressure, joint, outside),
        von_mises(hoop, radial),
        rel=1e-6,
        unit="MPa",
        of=pressing.hub_effort,
    )
    _, hoop, radial = shaft(bore / 2)
    agrees(
        "effort of the shaft",
        pressing.shaft_effort(pressure, joint, bore),
        von_mises(hoop, radial),
        rel=1e-6,
        unit="MPa",
        of=pressing.shaft_effort,
    )
    for part, places in (
        (shaft, np.linspace(bore / 2, joint / 2 * 0.999, 5)),
        (hub, np.linspace(joint / 2, outside / 2, 5)),
    ):
        _, hoop, radial = part(places)
        found = np.array(pressing.stresses(places, pressure, joint, outside, bore))
        agrees(
            "hoop and radial stress",
            found,
            np.array([hoop, radial]),
            rel=1e-5,
            abs=1e-4,
            unit="MPa",
            of=pressing.stresses,
        )


@source("friction summed over the joint (scipy)", place="60 MPa on Ø20 by 25", basis="method")
def test_grip_of_a_press_fit():
    pressure, friction, d, length = 60.0, 0.12, 20.0, 25.0
    force = integrate.dblquad(lambda turn, z: friction * pressure * d / 2, 0, length, 0, 2 * np.pi)[0]
    torque = integrate.dblquad(lambda turn, z: friction * pressure * d / 2 * d / 2, 0, length, 0, 2 * np.pi)[0]
    agrees(
        "force",
        pressing.holding_force(pressure, friction, d, length),
        force,
        rel=1e-9,
        unit="N",
        of=pressing.holding_force,
    )
    agrees(
        "torque",
        pressing.holding_torque(pressure, friction, d, length),
        torque,
        rel=1e-9,
        unit="N mm",
        of=pressing.holding_torque,
    )


@source("a ring's equilibrium by a boundary-value solver (scipy)", place="three narrow jaws' even part", basis="method")
def test_even_squeeze_of_three_jaws():
    """3000 N over π·40·20 mm² is 1.193662 MPa all round the outside of a ring 40 over 32."""
    found = wh.ring_lobing(40.0, 32.0, 20.0, 1000.0, 3, E, NU, 0.0)
    squeezed = ring(16.0, 20.0, outside=3000 / (np.pi * 40 * 20))
    agrees("rim, bore", (found.rim_mean, found.mean), (squeezed(20.0)[0], squeezed(16.0)[0]), rel=1e-5, unit="mm",
           of=wh.ring_lobing)


@source("a ring's equilibrium by a boundary-value solver (scipy)", place="expanding mandrel, 10 MPa", basis="method")
def test_ring_on_a_mandrel():
    found = ring(16.0, 20.0, inside=10.0)(20.0)[0]
    agrees("growth", wh.mandrel_growth(10.0, 32.0, 40.0, E), 2 * found, rel=1e-6, unit="mm", of=wh.mandrel_growth)


@source(
    "wedge and friction in balance, solved for the forces (scipy)",
    place="collet of 8° a side, friction angle 6°",
    basis="method",
)
def test_collet_as_a_wedge():
    pull, slope, mu, d, width = 5000.0, np.radians(8), np.tan(np.radians(6)), 20.0, 25.0
    # along the axis: pull = N sin + mu N cos; square to it: grip = N cos - mu N sin
    normal, grip = optimize.fsolve(lambda v: [v[0] * (np.sin(slope) + mu * np.cos(slope)) - pull,
                                              v[0] * (np.cos(slope) - mu * np.sin(slope)) - v[1]], [pull, pull])
    assert normal > 0
    agrees("pressure", wh.collet_pressure(pull, 8.0, 6.0, d, width), grip / (np.pi * d * width), rel=1e-9, unit="MPa",
           of=wh.collet_pressure)


@source("pressure summed over the jaw's face (scipy)", place="Ø40, pad of 8° a side", basis="method")
def test_pad_of_a_jaw():
    pressure = wh.pad_pressure(1000.0, 40.0, 20.0, 8.0)
    load = integrate.quad(lambda turn: pressure * np.cos(turn) * 20.0 * 20.0, -np.radians(8), np.radians(8))[0]
    agrees("load that the pressure adds up to", load, 1000.0, rel=1e-9, unit="N", of=wh.pad_pressure)


def line_contact(load, length, diameter, stiff_1, nu_1, stiff_2, nu_2):
    """Half width and highest pressure of a cylinder on a flat: the surfaces pressed together are found numerically.

    The pressure is searched as the half ellipse whose push bends both surfaces to the cylinder's curve: its gap, from
    the
    two half-planes' own answer to a line load (a logarithm), must be flat across the contact.
    """
    give = (1 - nu_1**2) / stiff_1 + (1 - nu_2**2) / stiff_2

    def curve(half):   # second difference of the movement under the half ellipse, against the cylinder's own
        peak = 2 * load / (np.pi * half * length)

        def moved(x):
            def part(turn):   # places half·cos(turn): the square root of the ellipse drops out
                return np.log(np.abs(x - half * np.cos(turn)) + 1e-300) * np.sin(turn) ** 2

            meet = np.arccos(x / half)
            return (
                -2
                / np.pi
                * give
                * peak
                * half
                * sum(integrate.quad(part, a, b, limit=300)[0] for a, b in ((0, meet), (meet, np.pi)))
            )

        x = 0.5 * half
        return (2 * moved(0.0) - 2 * moved(x)) / x**2 - 2 / diameter

    half = optimize.brentq(curve, 1e-4 * diameter, 0.2 * diameter, rtol=1e-9)
    return half, 2 * load / (np.pi * half * length)


@source(
    "line contact from the half-planes' answer to line loads, solved numerically (scipy)",
    place="1 kN on 20 mm of Ø40",
    basis="method",
)
def test_flat_jaw_on_round_work():
    _, peak = line_contact(1000.0, 20.0, 40.0, E, NU, E, NU)
    agrees(
        "highest pressure",
        wh.contact_pressure(1000.0, 20.0, 40.0, E / (2 * (1 - NU**2))),
        peak,
        rel=1e-4,
        unit="MPa",
        of=wh.contact_pressure,
    )
    yield_strength = 400.0
    facts = [tables.fact("materials", material="brass CuZn39Pb3", property=p).value for p in ("E", "nu")]
    # the mark begins where the highest pressure is 1.67 times the yield strength (Johnson, Contact Mechanics, from
    # memory)
    load = optimize.brentq(
        lambda p: line_contact(p, 20.0, 40.0, *facts, E, NU)[1] - 1.67 * yield_strength, 10.0, 1e5, rtol=1e-7
    )
    agrees(
        "load that marks",
        wh.marking_load("brass CuZn39Pb3", 20.0, 40.0, yield_strength),
        load,
        rel=0.01,
        unit="N",
        of=wh.marking_load,
    )


@pytest.mark.parametrize(("jaws", "pad"), [(3, 8.0), (3, 50.0), (6, 8.0), (4, 20.0)])
@source("closed form of a ring under point loads, spread over the pad by integration (scipy)", basis="method")
def test_bending_under_wide_jaws(jaws, pad):
    """Point loads: M = P R/2 (cos(θ − α)/sin α − 1/α), α = π/n (Timoshenko, Strength of Materials, from memory)."""
    alpha, beta = np.pi / jaws, np.radians(pad)

    def narrow(turn):
        away = np.abs((turn + alpha) % (2 * alpha) - alpha)
        return (np.cos(away - alpha) / np.sin(alpha) - 1 / alpha) / 2

    def wide(turn):
        kink = [k for k in (turn,) if -beta < k < beta]
        return integrate.quad(lambda psi: narrow(turn - psi) / (2 * np.sin(beta)), -beta, beta, points=kink or None)[0]

    most = max(abs(wide(turn)) for turn in np.linspace(0, alpha, 61))
    agrees("share of the moment", wh.wide_jaw_share(jaws, pad), most / abs(narrow(0.0)), rel=2e-3, of=wh.wide_jaw_share)


@source(
    "strain energy of twisting, summed over the section (scipy); Castigliano",
    place="Ø8 by 40, tip 4 mm off the axis",
    basis="method",
)
def test_twist_by_energy():
    force, arm, length, bar = 20.0, 4.0, 40.0, 8.0
    shear = E / (2 * (1 + NU))
    second = integrate.quad(lambda r: 2 * np.pi * r**3, 0, bar / 2)[0]
    energy = (
        integrate.quad(lambda r: (force * arm * r / second) ** 2 / (2 * shear) * 2 * np.pi * r, 0, bar / 2)[0] * length
    )
    agrees("polar moment", bar_bending.polar_moment(bar), second, rel=1e-9, unit="mm⁴", of=bar_bending.polar_moment)
    agrees("drop", bar_bending.twist_drop(force, arm, length, bar, E, NU), 2 * energy / force, rel=1e-9, unit="mm",
           of=bar_bending.twist_drop)


@source(
    "strain energy of an end moment, summed along the bar (scipy); Castigliano",
    place="Ø8 by 40, 6 N at 4.8 mm",
    basis="method",
)
def test_feed_force_by_energy():
    """The movement under an extra side force: ∫ M (L − x)/(E I) dx, with the section's second moment summed up."""
    force, arm, length, bar = 6.0, 4.8, 40.0, 8.0
    second = integrate.quad(lambda y: 2 * y**2 * np.sqrt((bar / 2) ** 2 - y**2), -bar / 2, bar / 2)[0]
    moved = integrate.quad(lambda x: force * arm * (length - x) / (E * second), 0, length)[0]
    agrees(
        "pull",
        bar_bending.feed_force_pull(force, arm, length, bar, E),
        moved,
        rel=1e-7,
        unit="mm",
        of=bar_bending.feed_force_pull,
    )
