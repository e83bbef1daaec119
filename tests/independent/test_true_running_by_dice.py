"""True running by other methods: arrows thrown as complex numbers, geometry drawn point by point."""

import numpy as np

from outside import agrees, source
from springpass import true_running as true
from springpass.core import tables


@source("400,000 pairs of arrows as complex numbers", basis="computed")
def test_left_to_chance():
    dice = np.random.default_rng(11)
    first, second = (np.exp(2j * np.pi * dice.random(400_000)) * size for size in (0.030, 0.045))
    agrees("root mean square", true.chance_run_out(0.030, 0.045), np.sqrt(np.mean(np.abs(first + second) ** 2)),
           rel=0.004, unit="mm", of=true.chance_run_out)


@source("400,000 grips as complex numbers, numpy's own generator", basis="computed")
def test_turned_round_by_dice():
    """The 90 % range 80 mm out of the jaws, all ways."""
    dice = np.random.default_rng(5)
    for way in true.ways():
        grip, tilt = (tables.fact("true_running_ways", way=way, what=what) for what in ("grip", "tilt"))
        size, lean = (fact.value * np.exp(np.log(fact.high / fact.value) / 2 * dice.standard_normal(400_000))
                      for fact in (grip, tilt))
        swing = np.abs(size + 80 * lean * np.exp(2j * np.pi * dice.random(400_000)))
        found = true.turned_round(way, 80.0)
        agrees(f"{way}", (found.run_out.low, found.run_out.value, found.run_out.high),
               np.quantile(swing, (0.05, 0.5, 0.95)), rel=0.06, unit="mm", of=true.turned_round)


@source("a circle drawn point by point, turned before an indicator", basis="computed")
def test_what_an_indicator_shows_of_an_axis_to_the_side():
    """A disc Ø40 turned about a point 20 µm off its middle, its outline found along the indicator's line."""
    turned = np.linspace(0, 2 * np.pi, 3600, endpoint=False)
    centre = 0.020 * np.exp(1j * turned)
    outline = centre.real + np.sqrt(20.0**2 - centre.imag**2)
    agrees("full swing", true.swing(0.020), np.ptp(outline), rel=1e-4, unit="mm", of=true.swing)


@source("a tilted face, its height at every place of a circle", basis="computed")
def test_what_an_indicator_shows_of_a_face():
    turned = np.linspace(0, 2 * np.pi, 3600, endpoint=False)
    lean = 0.0004
    normal = np.array([np.sin(lean), 0, np.cos(lean)])
    height = -(normal[0] * 13 * np.cos(turned)) / normal[2]
    agrees("swing of the face at Ø26", true.face_run_out(lean, 26.0), np.ptp(height), rel=1e-6, unit="mm",
           of=true.face_run_out)
    axis = np.array([np.sin(lean), 0, np.cos(lean)]) * 70
    agrees("run-out 70 mm along", true.tilt_run_out(lean, 70.0), 2 * np.hypot(axis[0], axis[1]), rel=1e-6, unit="mm",
           of=true.tilt_run_out)
