"""The numbers the planner goes by: power at the edge, overhang, run-out after turning round, minutes in the cut."""

import numpy as np
import pytest
from scipy import integrate

from outside import agrees, source
from springpass.core import tables
from springpass.cutting import kienzle
from springpass.job import budget, machine, outside, part, planning, tools
from springpass.job.results import FAR, NEAR
from springpass.job.workpiece import Outline


@source("handbook formula of turning power", place="a_p f v_c k_c/60000 with k_c = k_c1.1 h^-m_c", basis="hand")
@pytest.mark.parametrize(("depth", "feed", "speed"), [(1.0, 0.15, 100.0), (0.5, 0.1, 63.0)])
def test_power_of_a_turning_cut(depth, feed, speed):
    k = kienzle("low-carbon steel")
    row = tables.row("kienzle", material="low-carbon steel")
    by_hand = depth * feed * speed * row["kc11"] * feed ** -row["mc"] / 60000
    agrees("power", machine.power(k, depth * feed, feed, speed), by_hand, rel=1e-6, unit="kW")


@source("handbook formula of drilling power", place="D f v_c k_c/240000 at h = f/2 sin(59°), times 1.2 inside",
        basis="hand")
@pytest.mark.parametrize(("size", "feed", "turns"), [(10.0, 0.15, 500.0), (20.0, 0.25, 250.0)])
def test_power_of_a_drill_in_solid_metal(size, feed, turns):
    row = tables.row("kienzle", material="low-carbon steel")
    edge = np.pi * size * turns / 1000
    by_hand = 1.2 * size * feed * edge * row["kc11"] * (feed / 2 * np.sin(np.radians(59))) ** -row["mc"] / 240000
    found = machine.drill_power(kienzle("low-carbon steel"), 0.0, size, feed, turns, 118.0)
    agrees("power", found, by_hand, rel=1e-6, unit="kW")


@source("moments of a cantilever integrated by scipy", place="a stepped and bored shaft, both ends", basis="method")
def test_overhang_in_diameters():
    work = Outline.bar(0, 100, 15).turned(0, 30, 8).bored(0, 20, 4).turned(30, 50, 11)

    def diameters(z):
        out = 16 if z < 30 else 22 if z < 50 else 30
        return out, (8 if z < 20 else 0)

    for end, edge, at in ((NEAR, 80.0, 0.0), (FAR, 20.0, 100.0)):
        length = abs(edge - at)
        total, _ = integrate.quad(lambda s, a=at, e=end: 3 * s**2 / (lambda p: p[0]**4 - p[1]**4)(
            diameters(a + s if e == NEAR else a - s)), 0, length, points=[20, 30, 50, 70], limit=200)
        plain = (length**3 / total) ** 0.25     # diameter of the plain bar that bends as much
        agrees(f"overhang, {end}", machine.slenderness(work, end, edge), length / plain, rel=1e-4)


@source("minutes by feed and revolutions", place="40 mm and 1 mm of run-in, 0.1 mm/rev, 500 rpm, three passes",
        basis="hand")
def test_minutes_in_the_cut():
    agrees("minutes", outside.minutes(40.0, 0.1, 500.0, 3), 3 * 41 / 50, rel=1e-9, unit="min")


STUB = """
name = "stub"
material = "carbon steel C45 / 1045"
length = 50
[blank]
diameter = 30
length = 53
condition = "steel, stress-relieved"
[[surface]]
name = "left"
kind = "outside"
diameter = 20
class = "h7"
from = 0
to = 20
[[surface]]
name = "flange"
kind = "outside"
diameter = 28
from = 20
to = 30
[[surface]]
name = "right"
kind = "outside"
diameter = 20
class = "h7"
from = 30
to = 50
runout = {to = "left", within = 0.2}
"""


@source("the run-out of a part turned round, thrown with dice", place="two seats in soft jaws", basis="method")
def test_run_out_of_a_part_turned_round():
    made = planning.best(part.read_text(STUB), tools.default_shop(), planning.Settings(), planning.OUTSIDE_FIRST)
    later = max(made.made["left"], made.made["right"], key=lambda one: one.holding)
    held = made.holdings[later.holding - 1]
    assert held.kind == "soft jaws"
    soft = next(c for c in tools.default_shop().chucks if c.soft).runout
    tilt = tables.fact("true_running_ways", way="soft jaws bored at size", what="tilt")
    free = 0.0 if later.end == NEAR else 50.0
    throw = np.random.default_rng(7)
    at_grip = throw.uniform(soft.low, soft.high, 200_000)
    sigma = np.log(tilt.high / tilt.low) / 2 / 1.96
    leaning = tilt.value * np.exp(sigma * throw.standard_normal(200_000)) * abs(later.edge - free)
    angle = throw.uniform(0, np.pi, 200_000)
    by_dice = np.hypot(at_grip + leaning * np.cos(angle), leaning * np.sin(angle))
    s = made.route.part.surface("right")
    found = budget.run_out(made, s, 2000, budget.draws(made.route, 2000))
    agrees("run-out", np.quantile(found, [0.1, 0.5, 0.9]), np.quantile(by_dice, [0.1, 0.5, 0.9]), rel=0.06, unit="mm",
           of=budget.run_out)
