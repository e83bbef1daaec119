"""Threads against other ways of finding the same: a numerical search for the wire's contact, and integration."""

import numpy as np
import pytest
from scipy import integrate, optimize

from springpass import tables, thread_cutting, threads


def wire_height(d2, pitch, wire, lead, half_angle=30.0):
    """Distance of a straight wire's middle from the thread's axis when it rests in the groove of a helical thread.

    Brute force: the wire is a cylinder laid across the groove, free to turn; both flanks are helicoids. For a tilt
    of the wire, the height at which its surface just touches a flank is found by minimising the clearance over the
    flank; the wire settles at the tilt that lets it lowest.
    """
    slope, tan = lead / (2 * np.pi), np.tan(np.radians(half_angle))

    def deepest(height, tilt, side):
        # axis of the wire: through (height, 0, 0), direction (0, cos tilt, sin tilt)
        direction = np.array([0.0, np.cos(tilt), np.sin(tilt)])

        def clearance(at):
            r, angle = at
            point = np.array([r * np.cos(angle), r * np.sin(angle),
                              slope * angle + side * (pitch / 4 + (r - d2 / 2) * tan)])
            away = point - np.array([height, 0.0, 0.0])
            return np.linalg.norm(away - direction * (away @ direction))

        start = (height - wire / 2 * np.sin(np.radians(half_angle)), 0.0)
        found = optimize.minimize(clearance, start, method="Nelder-Mead",
                                  options={"xatol": 1e-10, "fatol": 1e-13, "maxiter": 4000})
        return found.fun

    def rest(tilt):
        guess = d2 / 2 + wire / (2 * np.sin(np.radians(half_angle))) - pitch / (4 * tan)
        return optimize.brentq(lambda h: min(deepest(h, tilt, 1), deepest(h, tilt, -1)) - wire / 2,
                               guess - 0.02 * pitch, guess + 0.05 * pitch, xtol=1e-10)

    lean = np.arctan(lead / (np.pi * d2))
    best = optimize.minimize_scalar(rest, bounds=(0.7 * lean, 1.3 * lean), method="bounded", options={"xatol": 1e-6})
    return best.fun


@pytest.mark.parametrize("name, starts", [("M18x1", 1), ("M3x0.5", 1), ("M1.6x0.35", 1), ("M10x1.5", 1), ("M10x1.5", 2)])
def test_reading_over_wires_with_its_lead_angle(name, starts):
    """The printed correction is the first term of a series: with best wires it is high by the share W/(2 d2) of itself.

    That is 0.35 µm for a two-start M10 and under a tenth of a micron for every ordinary thread here.
    """
    t = threads.read(name)
    d2, wire, lead = threads.basic(name).pitch, float(thread_cutting.best_wire(t.pitch)), starts * t.pitch
    lift = 2 * wire_height(d2, t.pitch, wire, lead) + wire - float(thread_cutting.over_wires(d2, t.pitch, wire))
    first = thread_cutting.wire_reading(name, lead=lead) - float(thread_cutting.over_wires(d2, t.pitch, wire))
    assert lift == pytest.approx(first * (1 - wire / (2 * d2)), rel=0.01)
    assert lift > 1e-4   # the correction is real, not noise
    assert first - lift < (0.0004 if starts == 2 else 0.0001)


def test_groove_section_by_integration():
    depth, flat = 0.55, 0.125
    area, _ = integrate.quad(lambda y: flat + 2 * y * np.tan(np.radians(30)), 0, depth)
    assert thread_cutting.groove_area(depth, flat) == pytest.approx(area, rel=1e-12)
    assert thread_cutting.depth_of_area(area, flat) == pytest.approx(depth, rel=1e-12)


def test_depth_for_a_tip_by_measuring_the_profile():
    """Cut a groove with a flat tip, draw it, and find where groove and thread are equally wide."""
    for pitch, flat in ((1.0, 0.125), (1.0, 0.25), (1.5, 0.1)):
        depth = float(thread_cutting.depth_for_tip(pitch, flat))
        wide = optimize.brentq(lambda y, d=depth, b=flat, p=pitch: b + 2 * (d - y) * np.tan(np.pi / 6) - p / 2, 0, depth)
        assert 2 * wide == pytest.approx(18 - threads.basic_pitch_diameter(18, pitch), rel=1e-9)


def test_nut_growth_by_solving_the_ring():
    """Radial displacement of a ring under pressure from the equilibrium equation, plane stress, by a boundary solver."""
    inner, outer, pressure, modulus, poisson = 8.675, 11.0, 20.0, 205e3, 0.29

    def stress(r, u, du):
        return modulus / (1 - poisson**2) * (du + poisson * u / r)

    def rhs(r, y):
        return np.vstack([y[1], y[0] / r**2 - y[1] / r])

    def ends(a, b):
        return np.array([stress(inner, a[0], a[1]) + pressure, stress(outer, b[0], b[1])])

    r = np.linspace(inner, outer, 50)
    solved = integrate.solve_bvp(rhs, ends, r, np.zeros((2, r.size)), tol=1e-9)
    assert thread_cutting.nut_growth(pressure, 2 * inner, 2 * outer, modulus, poisson) == pytest.approx(
        2 * solved.y[0, 0], rel=1e-6)


R40 = [round(base * 10**power, 6) for power in (1, 2, 3) for base in (
    1, 1.06, 1.12, 1.18, 1.25, 1.32, 1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 2, 2.12, 2.24, 2.36, 2.5, 2.65, 2.8, 3, 3.15, 3.35,
    3.55, 3.75, 4, 4.25, 4.5, 4.75, 5, 5.3, 5.6, 6, 6.3, 6.7, 7.1, 7.5, 8, 8.5, 9, 9.5)]


def steps_apart(printed, rule):
    """How many preferred numbers (ISO 3, series R40) lie between a printed tolerance and the one nearest its rule."""
    nearest = [min(range(len(R40)), key=lambda i, v=v: abs(np.log(R40[i] / v))) for v in (printed, rule)]
    assert abs(printed - R40[nearest[0]]) < 0.6   # printed values are preferred numbers, to a micron
    return abs(nearest[0] - nearest[1])


def test_every_tabulated_tolerance_lies_within_one_step_of_its_rule():
    """A slip of the pen in a table shows up here: ISO 965-1 rounds and smooths by no more than one R40 step (6 %)."""
    for row in tables.rows("threads_pitch"):
        factor = threads.GRADES[f"{row['side']} pitch"][row["grade"]]
        rule = 90 * row["pitch"]**0.4 * (row["over"] * row["upto"])**0.05 * factor
        assert steps_apart(row["value"], rule) <= 1, row
    for row in tables.rows("threads_crest"):
        factor = threads.GRADES[f"{row['side']} crest"][row["grade"]]
        p = row["pitch"]
        six = (180 * p**(2 / 3) - 3.15 / p**0.5 if row["side"] == "external"
               else 433 * p - 190 * p**1.22 if p <= 0.8 else 230 * p**0.7)
        assert steps_apart(row["value"], six * factor) <= 1, row
    for row in tables.rows("threads_deviation"):
        start = {"G": 15, "g": -15, "f": -30, "e": -50}[row["letter"]]
        slope = 11 if row["letter"] == "G" else -11
        assert row["value"] == pytest.approx(start + slope * row["pitch"], abs=5.6 if row["letter"] == "e" else 3.1), row


def test_grades_climb_evenly():
    """From one grade to the next every tolerance grows by about a quarter (ISO 965-1), never falls."""
    for table in ("threads_pitch", "threads_crest"):
        rows = tables.rows(table)
        for a in rows:
            for b in rows:
                same = all(a.get(k) == b.get(k) for k in ("side", "over", "upto", "pitch"))
                if same and b["grade"] == a["grade"] + 1:
                    assert 1.15 < b["value"] / a["value"] < 1.35, (a, b)
