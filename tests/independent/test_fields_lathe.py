"""The lathe's answers field by field: readings by scipy, bars and tips drawn, links added by hand."""

import numpy as np
import pytest
from scipy import optimize, stats

from outside import agrees, claim, source
from springpass import the_lathe as lathe
from springpass.core import tables
from springpass.the_lathe.collars import Found


@source("scipy's pooled t-test", place="four readings of each collar, 80 mm apart; 4 ± 1.5 µm bent", basis="method")
def test_two_collars_field_by_field():
    """Without the doubt of the bending the taper's uncertainty is that of a pooled t-test; with it both as squares."""
    near, far = [40.012, 40.014, 40.011, 40.013], [40.021, 40.019, 40.022, 40.024]
    found = lathe.two_collars(near, far, 80.0, 0.004, 0.0015)
    test = stats.ttest_ind(far, near)
    apart = np.mean(far) - np.mean(near)
    agrees("near, far", (found.near, found.far), (40.0125, 40.0215), rel=1e-12, unit="mm", of=lathe.two_collars)
    agrees("bent, span", (found.bent, found.span), (0.004, 80.0), unit="mm", of=lathe.two_collars)
    reading = apart / test.statistic / 80
    agrees("from the readings, from the bending", (found.from_reading, found.from_bending), (reading, 0.0015 / 80),
           rel=1e-9, of=lathe.two_collars)
    agrees("scatter of one reading", found.scatter, reading * 80 / np.sqrt(1 / 4 + 1 / 4), rel=1e-9, unit="mm",
           of=lathe.two_collars)
    claim("the readings tell more than the step", not found.hidden, of=lathe.two_collars)
    claim("a step of 10 µm hides them", lathe.two_collars(near, far, 80.0, 0.004, 0.0015, 0.01).hidden,
          of=lathe.two_collars)
    plain = lathe.two_collars(near, far, 80.0).taper
    agrees("chance by Student's t", plain.value / plain.uncertainty, test.statistic, rel=1e-9, of=lathe.two_collars)
    agrees("degrees of freedom", plain.dof, test.df, rel=1e-9, of=lathe.two_collars)


@source("readings worked by hand", place="two of each, half a turn apart", basis="hand")
def test_bar_in_the_spindle_field_by_field():
    """Near 10 and 6 µm half a turn on: axis at 8, the bar out by 4. Far 3 and 1: axis at 2, out by 2. Pairs 1 µm apart
    scatter by √(4·0.5/4) = 0.7071 µm on four degrees of freedom.
    """
    rows = [np.array(pair) / 1e3 for pair in ([9.5, 10.5], [5.5, 6.5], [2.5, 3.5], [0.5, 1.5])]
    found = lathe.bar_in_spindle(*rows, 150.0, 1e-4)
    agrees("run-out of the bar", (found.runout_near, found.runout_far), (0.004, 0.002), rel=1e-9, unit="mm",
           of=lathe.bar_in_spindle)
    agrees("span", found.span, 150.0, unit="mm", of=lathe.bar_in_spindle)
    agrees("scatter", found.scatter, 0.00070711, rel=1e-4, unit="mm", of=lathe.bar_in_spindle)
    agrees("degrees of freedom", found.taper.dof, 4.0, of=lathe.bar_in_spindle)


@source("least squares by scipy", place="twelve readings round the nose", basis="method")
def test_circle_of_the_nose_field_by_field():
    turn = np.radians(np.arange(0, 360, 30))
    reading = np.array([0, 2, 4, 5, 5, 4, 2, 0, -1, -2, -2, -1]) / 1e3
    best, cover = optimize.curve_fit(lambda t, m, a, b: m + a * np.cos(t) + b * np.sin(t), turn, reading)
    left = reading - best[0] - best[1] * np.cos(turn) - best[2] * np.sin(turn)
    found = lathe.nose_runout(reading, 1e-5)
    agrees("readings less their mean", found.readings, reading - best[0], abs=1e-9, unit="mm", of=lathe.nose_runout)
    agrees("rest", found.rest, np.sqrt(np.sum(left**2) / 9), rel=1e-5, unit="mm", of=lathe.nose_runout)
    # full travel is twice the wave's height, whose uncertainty is that of either part
    agrees("uncertainty", found.runout.uncertainty, 2 * np.sqrt(cover[1, 1]), rel=1e-4, unit="mm", of=lathe.nose_runout)
    agrees("degrees of freedom", found.runout.dof, 9.0, of=lathe.nose_runout)


@source("worked by hand", place="20 µm over 100 mm, 300 between the centres", basis="hand")
def test_offset_keeps_what_is_known():
    """Half of 0.0002·300: 30 µm away from you; 0.00002·150 = 3 µm of uncertainty, on the same six readings."""
    found = lathe.offset_from_taper(Found(2e-4, 2e-5, 6.0), 300.0)
    agrees("offset", (found.offset.value, found.offset.uncertainty, found.offset.dof), (-0.030, 0.003, 6.0), rel=1e-9,
           unit="mm", of=lathe.offset_from_taper)
    agrees("taper", (found.taper.value, found.taper.uncertainty), (2e-4, 2e-5), of=lathe.offset_from_taper)


@source("distance from a slanting line to the tip, drawn", place="50 µm to you, 0.2 high, 150 long", basis="method")
def test_tailstock_off_centre_drawn():
    found = lathe.off_centre(0.05, 0.2, 150.0, 20.0, 7)
    places = np.linspace(0, 150, 7)
    agrees("places", found.position, places, rel=1e-12, unit="mm", of=lathe.off_centre)
    tip = np.array([10.0, 0.0])    # towards you, up

    def diameter(offset, height):
        return np.array([2 * np.hypot(*(tip - np.array([offset, height]) * z / 150)) - 20 for z in places])

    agrees("sideways", found.sideways, diameter(0.05, 0.0), rel=1e-6, abs=1e-12, unit="mm", of=lathe.off_centre)
    agrees("height", found.height, diameter(0.0, 0.2), rel=1e-6, abs=1e-12, unit="mm", of=lathe.off_centre)


@source("a circle, a bar's outline and a flank drawn point by point", place="Ø10, tip 0.5 high", basis="method")
def test_bar_in_a_bore_drawn():
    points = np.array([[2.0, 2.0], [7.0, 2.0], [7.0, -1.0], [4.0, -3.0], [2.0, -2.0]])
    found = lathe.in_bore(10.0, points, 0.5, 7.0, 1.2)
    turn = np.linspace(-1, 1, 200_001)
    wall = 5 * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    tip = wall[np.abs(wall[:, 1] - 0.5).argmin()]
    agrees("tip", found.tip, tip, abs=1e-4, unit="mm", of=lathe.in_bore)
    placed = np.stack([tip[0] - points[:, 0], 0.5 + points[:, 1]], axis=1)
    agrees("outline", found.points, placed, abs=1e-4, unit="mm", of=lathe.in_bore)
    farthest = placed[np.hypot(*placed.T).argmax()]
    agrees("nearest to the wall", found.at, farthest, abs=1e-4, unit="mm", of=lathe.in_bore)
    agrees("flank as ground", found.flank, 1.2, unit="mm", of=lathe.in_bore)


@source("Pythagoras by hand", place="Ø10, tip 3 above centre, 2 dialled", basis="hand")
def test_what_a_high_tip_falls_short_by():
    """Outside 2·√18 − 10 = −1.514719 for −2 dialled: 0.485281 short."""
    found = lathe.tip_height("outside", 10.0, 3.0, 2.0, 5.0, 7.0)
    agrees("short", found.short, 0.4852814, rel=1e-6, unit="mm", of=lathe.tip_height)


@source("worked by hand", place="cast iron, 200 N, 15 000 N/mm; a line of 0.02 at 30°", basis="hand")
def test_jump_and_line_of_a_small_move():
    """2·(0.2 − 0.15)·200/15 000 with the table's friction; a line of 0.02 at 30° is 0.01 on radius."""
    rest, moving = (tables.fact("lathe_ways", ways="cast iron, oiled", state=state).value for state in ("rest",
                                                                                                        "moving"))
    found = lathe.move(lathe.COMPOUND, 0.02, 30.0)
    agrees("jump", found.jump, 2 * (rest - moving) * 200 / 15e3, rel=1e-9, unit="mm", of=lathe.move)
    agrees("line", found.line, 0.01, rel=1e-9, unit="mm", of=lathe.move)


MINUTES = np.arange(0, 61, 5.0)


def drift(full, scatter, seed=3, constant=22.0, digits=5):
    noise = np.random.default_rng(seed).normal(0, scatter, MINUTES.size)
    return np.round(full * (1 - np.exp(-MINUTES / constant)) + noise, digits)


@source("least squares by scipy", place="curve_fit through thirteen readings", basis="method")
def test_warming_up_field_by_field():
    def curve(t, start, full, constant):
        return start + full * (1 - np.exp(-t / constant))

    reading = drift(-0.013, 4e-4)
    best, _ = optimize.curve_fit(curve, MINUTES * 60, reading, p0=(0, -0.01, 1200))
    left = reading - curve(MINUTES * 60, *best)
    found = lathe.fit(MINUTES * 60, reading, 1e-4)
    agrees("scatter", found.scatter, np.sqrt(np.sum(left**2) / 10), rel=1e-3, unit="mm", of=lathe.fit)
    agrees("degrees of freedom", found.hour.dof, 10.0, of=lathe.fit)
    claim("told from the scatter, and to its end", not (found.hidden or found.flat or found.open_ended), of=lathe.fit)
    claim("a step of 10 µm hides it", lathe.fit(MINUTES * 60, reading, 0.01).hidden, of=lathe.fit)
    claim("noise alone is no drift", lathe.fit(MINUTES * 60, drift(0.0, 4e-4), 1e-4).flat, of=lathe.fit)
    claim("a drift that has hardly begun has no end", lathe.fit(MINUTES * 60, drift(0.05, 1e-4, constant=400.0),
          1e-4).open_ended, of=lathe.fit)


@source("time constants tried one by one, each with numpy's straight line", place="thirteen readings", basis="method")
def test_longest_wait_over_all_curves_that_fit():
    """For each time constant a straight line in 1 − e^(−t/τ); of those that fit within Student's t the one that waits
    longest."""
    reading, time = drift(-0.013, 4e-4), MINUTES * 60
    tried = []
    for constant in np.geomspace(75, 43_200, 4000):
        x = 1 - np.exp(-time / constant)
        line, rest, *_ = np.polyfit(x, reading, 1, full=True)
        tried.append((constant, line[0], rest[0], np.sum((x - x.mean()) ** 2)))
    constant, full, rest, weight = np.array(tried).T
    room = rest.min() + stats.t.ppf(0.95, 10) ** 2 * rest.min() / 10 - rest
    fits = room > 0
    most = np.abs(full[fits]) + np.sqrt(room[fits] / weight[fits])
    longest = constant[fits] * np.log(most * (1 - np.exp(-600 / constant[fits])) / 0.001)
    found = lathe.wait(lathe.fit(time, reading, 1e-4), 600.0, 0.001)
    agrees("longest wait", found.high, longest.max(), rel=0.02, unit="s", of=lathe.wait)


@pytest.mark.parametrize("way", [lathe.DIAL, lathe.COMPOUND])
@source("links as they stand at the lathe", place="each counted once, none a touch", basis="hand")
def test_links_of_a_small_move(way):
    links = lathe.move(way, 0.01, 30.0).links
    agrees("signs", [link.sign for link in links], [1] * len(links), of=lathe.move)
    claim("no touch", not any(link.touch for link in links), of=lathe.move)
