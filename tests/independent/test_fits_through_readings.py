"""What is read from a user's own readings: weights on bars and spindles, taps, logged holes, repeated readings.

Readings are made up here from known springs, or fitted by another library (scipy), and put in.
"""

import io

import numpy as np
import pytest
from scipy import stats
from scipy.io import wavfile

from outside import agrees, source
from springpass import boring_bar, reaming
from springpass.boring_bar import tap_test
from springpass.core import spread
from springpass.measuring import guard_bands
from springpass.reaming import hole as reamed_hole
from springpass.reaming import log as reaming_log
from springpass.workholding import bending as wb

G = 9.80665   # standard gravity, m/s²
E, NU = 205e3, 0.29


@source("scipy's linear regression and Student's t", place="seven weights", basis="method")
def test_stiffness_from_weights():
    dice = np.random.default_rng(4)
    mass = np.array([0, 1, 2, 3, 4, 5, 6.0])
    reading = 0.003 + mass * G / 18_000 + dice.normal(0, 2e-4, 7)
    line = stats.linregress(mass * G, reading)
    found = wb.stiffness_from_weights(mass, reading, resolution=1e-6)
    reach = stats.t.ppf(0.95, 5) * line.stderr
    agrees("stiffness", found.value, 1 / line.slope, rel=5e-4, unit="N/mm", of=wb.stiffness_from_weights)
    agrees(
        "range",
        (found.low, found.high),
        (1 / (line.slope + reach), 1 / (line.slope - reach)),
        rel=1e-3,
        unit="N/mm",
        of=wb.stiffness_from_weights,
    )
    rest = reading - line.intercept - line.slope * mass * G
    agrees("scatter", found.scatter, np.sqrt(np.sum(rest**2) / 5), rel=1e-6, unit="mm", of=wb.stiffness_from_weights)


@source("least squares by numpy's pseudo-inverse, Student's t by scipy", place="ten readings at two places",
        basis="method")
def test_spindle_from_weights_and_its_doubt():
    """Four unknowns: shift, tilt and a zero at each place; six readings are left to tell the scatter."""
    dice = np.random.default_rng(8)
    mass, place = np.tile([0, 2, 4, 6, 8.0], 2), np.repeat([40.0, 120.0], 5)
    bar = mass * G * place**3 / (3 * E * np.pi * 25.0**4 / 64)
    reading = mass * G * (1 / 3e4 + place**2 / 1e8) + bar + dice.normal(0, 2e-4, 10)
    near = (place < 100).astype(float)
    columns = np.stack([mass * G, mass * G * (place / 100) ** 2, near, 1 - near], axis=1)
    gives = np.linalg.pinv(columns) @ (reading - bar)
    rest = reading - bar - columns @ gives
    scatter = np.sqrt(rest @ rest / 6)
    reach = stats.t.ppf(0.95, 6) * scatter * np.sqrt(np.diag(np.linalg.inv(columns.T @ columns)))
    found = wb.spindle_from_weights(mass, reading, place, 25.0, E, resolution=1e-6)
    for name, one, at, scale in (("shift", found.shift, 0, 1.0), ("tilt", found.tilt, 1, 1e4)):
        agrees(name, (one.value, one.low, one.high),
               [scale / gives[at], scale / (gives[at] + reach[at]), scale / (gives[at] - reach[at])], rel=1e-3,
               of=wb.spindle_from_weights)
        agrees(f"{name}: scatter", one.scatter, scatter, rel=1e-6, unit="mm", of=wb.spindle_from_weights)


@source("readings made up from known springs", place="spindle of 30 000 N/mm and 1e8 N mm/rad", basis="method")
def test_spindle_from_weights():
    mass, place = np.tile([0, 2, 4, 6.0], 2), np.repeat([40.0, 120.0], 4)
    bar = np.pi * 25.0**4 / 64
    reading = mass * G * (1 / 3e4 + place**2 / 1e8 + place**3 / (3 * E * bar)) + np.where(place < 100, 0.01, -0.02)
    found = wb.spindle_from_weights(mass, reading, place, 25.0, E)
    agrees("shift", found.shift.value, 3e4, rel=5e-4, unit="N/mm", of=wb.spindle_from_weights)
    agrees("tilt", found.tilt.value, 1e8, rel=1e-3, unit="N mm/rad", of=wb.spindle_from_weights)


@source("readings made up from known springs", place="holder of 20 000 N/mm and 8e6 N mm/rad", basis="method")
def test_holder_from_weights():
    """The bar's own part by hand: bending x³/3EI and shear x/(κ G A) with κ = 6(1 + ν)/(7 + 6 ν)."""
    shear = 6 * (1 + NU) / (7 + 6 * NU) * E / (2 * (1 + NU)) * np.pi * 100 / 4
    readings = [(m, m * G * (x**3 / (3 * E * np.pi * 1e4 / 64) + x / shear + 1 / 2e4 + x**2 / 8e6) + 0.004, x)
                for x in (30.0, 60.0) for m in (0.0, 1.0, 2.0, 3.0)]
    found = boring_bar.holder_from_weights(readings, 10.0, E, NU)
    agrees("stiffness", found.stiffness, 2e4, rel=1e-6, unit="N/mm", of=boring_bar.holder_from_weights)
    agrees("rotation", found.rotation, 8e6, rel=1e-6, unit="N mm/rad", of=boring_bar.holder_from_weights)


def taps(frequency, damping, rate=44_100):
    t = np.arange(int(1.6 * rate)) / rate
    sound = np.zeros(t.size)
    for at in (0.1, 0.6, 1.1):
        late = np.clip(t - at, 0, None)
        sound += np.where(
            t >= at, 0.6 * np.exp(-2 * np.pi * frequency * damping * late) * np.sin(2 * np.pi * frequency * late), 0
        )
    return sound + np.random.default_rng(2).normal(0, 0.002, t.size)


@pytest.mark.parametrize(("frequency", "damping"), [(1200.0, 0.012), (2600.0, 0.02)])
@source("a dying sine made up here, written by scipy's wavfile", basis="method")
def test_taps_are_read(frequency, damping):
    sound, rate = taps(frequency, damping), 44_100
    file = io.BytesIO()
    wavfile.write(file, rate, (sound * 32767).astype(np.int16))
    heard = tap_test.read_wav(file.getvalue())
    ring = tap_test.listen(heard)
    agrees("loudness, rate", (heard.samples.std(), heard.rate), (sound.std(), rate), rel=1e-3, of=tap_test.read_wav)
    agrees("frequency", ring.frequency, frequency, rel=2e-3, unit="Hz", of=tap_test.listen)
    agrees("damping", ring.damping, damping, rel=0.05, of=tap_test.listen)
    assert np.abs(heard.samples - sound).max() < 1e-4   # read back as written


@source("scipy's wavfile and Fourier transform", place="1500 Hz, 2 % of critical", basis="method")
def test_made_up_taps_ring_as_they_should():
    made = tap_test.made_up_taps(1500.0, 0.02, noise=0.0)
    rate, sound = wavfile.read(io.BytesIO(tap_test.write_wav(made)))
    start = int(0.2 * rate)
    # the sound's own time: its envelope falls to 1/e in 1/(2π f ζ) seconds, found from two stretches of equal length
    n = int(0.01 * rate)
    early, late = (np.sqrt(np.mean((sound[a:a + n] / 32767.0) ** 2)) for a in (start, start + n))
    agrees("decay", np.log(early / late) / (2 * np.pi * 1500.0 * 0.01), 0.02, rel=0.02, of=tap_test.made_up_taps)
    spectrum = np.abs(np.fft.rfft(sound[start:start + int(0.4 * rate)], 1 << 19))
    agrees("frequency", spectrum.argmax() * rate / (1 << 19), 1500.0, rel=1e-3, unit="Hz", of=tap_test.made_up_taps)
    agrees("first swing", np.abs(sound[start:start + n]).max() / 32767, 0.6 * np.exp(-2 * np.pi * 0.02 / 4), rel=0.01,
           of=tap_test.made_up_taps)


@source("scipy's normal distribution, readings counted one by one", place="20.018 of 20 to 20.021", basis="method")
def test_readings_until_the_mean_is_sure():
    def sure(n):
        u = np.hypot(0.0008, 0.003 / np.sqrt(n))
        return stats.norm.cdf(20.021, 20.018, u) - stats.norm.cdf(20.0, 20.018, u) >= 0.95

    wanted = next(n for n in range(1, 1000) if sure(n))
    agrees(
        "readings",
        guard_bands.repeats_needed(20.018, 20.0, 20.021, 0.003, 0.0008),
        wanted,
        of=guard_bands.repeats_needed,
    )


@source("scipy's lognormal distribution", place="2, to a factor of 1.5", basis="method")
def test_known_to_a_factor():
    drawn = spread.sample(x=spread.factor_of(2.0, 1.5))["x"]
    shape = stats.lognorm(np.log(1.5) / 2, scale=2.0)
    ps = [0.05, 0.25, 0.5, 0.75, 0.95]
    agrees("quantiles", np.quantile(drawn, ps), shape.ppf(ps), rel=0.01, of=spread.factor_of)


@source("scipy's least squares, Student's t", place="eight logged holes", basis="method")
def test_reamed_hole_from_ones_own_holes():
    dice = np.random.default_rng(6)
    stocks = dice.uniform(0.1, 0.3, 8)
    over = 0.004 + 0.02 * stocks + dice.normal(0, 0.001, 8)
    holes = [
        {
            "stock": s,
            "feed": 0.15,
            "speed": 8.0,
            "size": 10.0,
            "reamer": 10.009,
            "hole": 10.009 + o,
            "fluid": "cutting oil",
            "material": "carbon steel C45 / 1045",
        }
        for s, o in zip(stocks, over, strict=True)
    ]
    line = stats.linregress(stocks, over)
    value = line.intercept + 0.2 * line.slope
    scatter = np.sqrt(np.sum((over - line.intercept - line.slope * stocks) ** 2) / 6)
    wide = scatter * np.sqrt(1 + 1 / 8 + (0.2 - stocks.mean()) ** 2 / np.sum((stocks - stocks.mean()) ** 2))
    low, high = (value + stats.t.ppf(p, 6) * wide for p in (0.05, 0.95))
    found = reamed_hole.ream(10.0, "H7", 0.009, holes=holes)
    agrees(
        "over the reamer",
        (found.over.value, found.over.low, found.over.high),
        (value, low, high),
        rel=5e-3,
        abs=2e-5,
        unit="mm",
        of=reamed_hole.ream,
    )
    chance = stats.t.cdf((0.015 - 0.009 - value) / wide, 6) - stats.t.cdf((-0.009 - value) / wide, 6)
    agrees("odds of H7", found.chance, chance, abs=5e-3, of=reamed_hole.ream)
    agrees("the line", (found.fit.value, found.fit.low, found.fit.high, found.fit.spread, found.fit.scatter),
           (value, low, high, wide, scatter), rel=1e-4, unit="mm", of=reamed_hole.ream)
    agrees("holes, less two for the line", (found.fit.count, found.fit.dof), (8, 6), of=reamed_hole.ream)
    agrees("slope", found.fit.slopes["stock"], line.slope, rel=1e-6, of=reamed_hole.ream)
    agrees(
        "Student's points",
        np.quantile(reaming_log.student_points(6), [0.1, 0.9]),
        stats.t.ppf([0.1, 0.9], 6),
        rel=0.01,
        of=reaming_log.student_points,
    )


@source("scipy's normal distribution", place="bore wrong by ±10 µm, 0.1 to 0.2 of stock", basis="method")
def test_stock_in_front_of_the_reamer():
    found = reamed_hole.bore_first(10.0, 0.009, "workshop table", aim=9.76)
    low, high = reamed_hole.allowance(10.0, "workshop table").low, reamed_hole.allowance(10.0, "workshop table").high
    agrees("bore to aim for", found.aim, 9.76, unit="mm", of=reamed_hole.bore_first)
    # where no aim is said: the middle of the stock, to a hundredth; 10.009 − 0.25 = 9.759
    agrees("its middle", reamed_hole.bore_first(10.0, 0.009, "workshop table").aim, 9.76, unit="mm",
           of=reamed_hole.bore_first)
    middle = 10.009 - 9.76
    agrees(
        "stock",
        (found.stock.value, found.stock.low, found.stock.high),
        middle + stats.norm.ppf([0.5, 0.05, 0.95]) * 0.005,
        abs=2e-4,
        unit="mm",
        of=reamed_hole.bore_first,
    )
    agrees(
        "odds",
        found.chance,
        stats.norm.cdf((high - middle) / 0.005) - stats.norm.cdf((low - middle) / 0.005),
        abs=5e-3,
        of=reamed_hole.bore_first,
    )


def followed(chip, runout, teeth, floor, lead, turns=400):
    """Every tooth pass after the pattern has settled: what it takes."""
    surface, taken = 0.0, []
    for n in range(turns * teeth):
        tip = n * chip + runout * np.cos(np.radians(lead)) * np.cos(2 * np.pi * (n % teeth) / teeth)
        bite = tip - surface if tip - surface >= floor - 1e-12 else 0.0
        surface = tip if bite else surface
        taken.append(bite)
    return np.array(taken[turns * teeth // 2:]).reshape(-1, teeth)


@source("tooth after tooth over 400 turns", place="six teeth, 3 µm a tooth", basis="method")
def test_pattern_of_the_teeth():
    for runout, floor in ((0.0, 0.004), (0.004, 0.004), (0.010, 0.004)):
        rows = followed(0.003, runout, 6, floor, 45.0)
        found = reaming.tooth_pattern(0.003, runout, 6, floor, 45.0, turns=4)
        agrees(
            "taken in a turn",
            np.sort(found.chip.sum(0) / 4),
            np.sort(rows[-4:].sum(0) / 4),
            abs=1e-9,
            unit="mm",
            of=reaming.tooth_pattern,
        )


@source("tooth after tooth over 400 turns", place="corner too small to count", basis="method")
def test_share_of_the_edge_that_cuts():
    for runout, floor in ((0.0, 0.004), (0.004, 0.004)):
        rows = followed(0.15 / 6 * np.sin(np.radians(10)), runout, 6, floor, 10.0)
        share = reaming.edge_cutting(0.2, 0.15, 6, 10.0, 1e-4, floor, runout)
        agrees("share", share, (rows > 0).mean(), rel=0.01, of=reaming.edge_cutting)
