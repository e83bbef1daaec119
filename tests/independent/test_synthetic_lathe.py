"""A lathe made up: taper, run-out, tailstock and drift put in, noise and a gauge's step on top; the pages find them
again within the range they state, nine times in ten over 500 draws. And each fit beside scipy's. Basis: computed.
"""

import numpy as np
import pytest
from scipy import optimize

from exact_forces import exact_forces
from outside import agrees, claim, source
from springpass import cutting
from springpass import the_lathe as lathe
from springpass.core import tables
from springpass.core.spread import about, between
from springpass.pages import is_it_my_lathe, nose_and_tailstock, warm_up

DRAWS, LEAST = 500, 0.87       # nine in ten, less what 500 draws scatter by (2.2 standard deviations)
MADE_UP = source("a lathe made up, read with noise and found again", place="500 draws", basis="method")


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path / "shop"))


def typed(values, digits):
    return " ".join(f"{value:.{digits}f}" for value in values)


def held(found, true):
    return found.low <= true <= found.high, abs(found.value - true) <= 2 * found.kept


def counted(names):
    rows = np.array(names)
    return rows[:, 0].mean(), rows[:, 1].mean()


@MADE_UP
def test_the_taper_by_two_collars():
    """Bending by springs and a force drawn from the ranges that the page takes them from; a micrometer of 1 µm."""
    dice = np.random.default_rng(17)
    page = is_it_my_lathe.COLLARS
    values = page.usual()
    cut = tables.row("workholding_yield", material=values["material"])["cutting"]
    k = cutting.kienzle(cut)
    shift, tilt = (tables.fact("workholding_stiffness", what=f"spindle and chuck {what}") for what in ("shift", "tilt"))
    force = cutting.force_beside_table(cut).range
    thrust = exact_forces(values["infeed"], values["feed"], values["nose_radius"], k.kc, k.mc, k.kn, k.mn)[1]
    near, far = values["near_place"], values["near_place"] + values["span"]
    got = []
    for _ in range(DRAWS):
        taper, size = dice.normal(0, 1e-4), dice.uniform(30, 50)
        flat, bell = dice.uniform(size=3), dice.normal(size=3)
        ks, kt, factor = (one.draw(flat[i], bell[i]) for i, one in enumerate((shift.range, tilt.range, force)))
        gives = [1 / ks + z**2 / kt + z**3 / (3 * 205e3 * np.pi * size**4 / 64) for z in (near, far)]
        ends = [size + 2 * thrust * factor * give + taper * z for z, give in zip((near, far), gives, strict=True)]
        read = [typed(end + dice.normal(0, 0.001, 4), 3) for end in ends]
        got.append(held(page.compute(**{**values, "near": read[0], "far": read[1]}).taper, taper))
    nine, nineteen = counted(got)
    claim("within the 90 % range nine times in ten", nine >= LEAST, note=nine, of=lathe.two_collars)
    claim("within twice what is kept", nineteen >= 0.92, note=nineteen, of=lathe.two_collars)


@MADE_UP
def test_the_tailstock_by_two_collars_between_centres():
    dice = np.random.default_rng(18)
    page = is_it_my_lathe.COLLARS
    values = {**page.usual(), "hold": lathe.CENTRES, "span": 200.0, "near_place": 10.0, "beyond": 10.0}
    cut = tables.row("workholding_yield", material=values["material"])["cutting"]
    k = cutting.kienzle(cut)
    head, tail = (tables.fact("workholding_stiffness", what=what)
                  for what in ("spindle and chuck shift", "live centre and tailstock"))
    force = cutting.force_beside_table(cut).range
    thrust = exact_forces(values["infeed"], values["feed"], values["nose_radius"], k.kc, k.mc, k.kn, k.mn)[1]
    length, got = 220.0, []
    for _ in range(DRAWS):
        offset, size = dice.normal(0, 0.02), dice.uniform(30, 50)
        flat, bell = dice.uniform(size=3), dice.normal(size=3)
        ka, kb, factor = (one.draw(flat[i], bell[i]) for i, one in enumerate((head.range, tail.range, force)))
        ends = []
        for z in (10.0, 210.0):
            give = (1 - z / length)**2 / ka + (z / length)**2 / kb
            ends.append(size + 2 * thrust * factor * give - 2 * offset * z / length)
        read = [typed(end + dice.normal(0, 0.001, 4), 3) for end in ends]
        got.append(held(page.compute(**{**values, "near": read[0], "far": read[1]}).offset, offset))
    nine, nineteen = counted(got)
    claim("within the 90 % range nine times in ten", nine >= LEAST, note=nine, of=lathe.offset_from_taper)
    claim("within twice what is kept", nineteen >= 0.92, note=nineteen, of=lathe.offset_from_taper)


@MADE_UP
def test_the_taper_by_a_test_bar_that_runs_out():
    """The bar's own high spot turns with it, at any angle; indicator of 1 µm, ± 0.5 µm, two readings each."""
    dice = np.random.default_rng(19)
    page, got = is_it_my_lathe.TEST_BAR, []
    for _ in range(DRAWS):
        taper, span = dice.normal(0, 1e-4), 150.0
        out, spot = dice.uniform(0, 0.01, 2), dice.uniform(0, 2 * np.pi, 2)
        read = []
        for i, z in enumerate((0.0, span)):
            for half in (0.0, np.pi):
                here = -taper / 2 * z + out[i] * np.cos(spot[i] + half)
                read.append(typed((here + dice.normal(0, 0.0005, 2)) * 1e3, 0))
        near, near_half, far, far_half = read
        found = page.compute(**{**page.usual(), "near": near, "near_half": near_half, "far": far, "far_half": far_half})
        got.append(held(found.taper, taper))
    nine, nineteen = counted(got)
    claim("within the 90 % range nine times in ten", nine >= LEAST, note=nine, of=lathe.bar_in_spindle)
    claim("within twice what is kept", nineteen >= 0.92, note=nineteen, of=lathe.bar_in_spindle)


@MADE_UP
def test_the_run_out_of_the_nose():
    dice = np.random.default_rng(20)
    got, turn = [], 2 * np.pi * np.arange(12) / 12
    for _ in range(DRAWS):
        runout, spot = dice.uniform(0.003, 0.02), dice.uniform(0, 2 * np.pi)
        read = runout / 2 * np.cos(turn - spot) + dice.normal(0, 0.0005, 12)
        got.append(held(nose_and_tailstock.NOSE.compute(readings=typed(read * 1e3, 0)).runout, runout))
    nine, nineteen = counted(got)
    claim("within the 90 % range nine times in ten", nine >= LEAST, note=nine, of=lathe.nose_runout)
    claim("within twice what is kept", nineteen >= 0.92, note=nineteen, of=lathe.nose_runout)


@MADE_UP
def test_the_drift_over_the_first_hour_and_its_time_constant():
    """Readings every four minutes for an hour; time constants of 10 to 40 minutes, up to 20 µm in all."""
    dice = np.random.default_rng(21)
    minutes, got, waits = np.arange(0, 61, 4), [], []
    page = warm_up.WARM_UP
    for _ in range(DRAWS):
        constant, full = dice.uniform(10, 40), dice.choice([-1, 1]) * dice.uniform(0.004, 0.02)
        drift = full * (1 - np.exp(-minutes / constant))
        read = (drift + dice.normal(0, 0.0005, 16)) * 1e3
        text = "\n".join(f"{m} {v:.0f}" for m, v in zip(minutes, read, strict=True))
        found = page.compute(**{**page.usual(), "readings": text})
        hour = full * (1 - np.exp(-60 / constant))
        near, far = found.found.constants
        got.append((*held(found.found.hour, hour), near <= 60 * constant <= far))
        calm = constant * 60 * np.log(abs(full) * (1 - np.exp(-600 / 60 / constant)) / 0.001)
        waits.append(found.wait.low - 1 <= max(calm, 0) <= found.wait.high + 1)
    rows = np.array(got)
    claim("the hour, nine times in ten", rows[:, 0].mean() >= LEAST, note=rows[:, 0].mean(), of=lathe.fit)
    claim("within twice what is kept", rows[:, 1].mean() >= 0.92, note=rows[:, 1].mean(), of=lathe.fit)
    claim("the time constant", rows[:, 2].mean() >= LEAST, note=rows[:, 2].mean(), of=lathe.fit)
    claim("the wait", np.mean(waits) >= LEAST, note=np.mean(waits), of=lathe.wait)


# ---- beside scipy ----------------------------------------------------------------------------------


@source("least squares by scipy", place="curve_fit", basis="method")
def test_the_drift_curve():
    minutes = np.arange(0, 61, 5.0)
    reading = np.round(0.002 - 0.013 * (1 - np.exp(-minutes / 22)) + np.random.default_rng(3).normal(0, 4e-4, 13), 4)

    def curve(t, start, full, constant):
        return start + full * (1 - np.exp(-t / constant))

    best, cover = optimize.curve_fit(curve, minutes * 60, reading, p0=(0, -0.01, 1200))
    found = lathe.fit(minutes * 60, reading, 1e-4)
    agrees("start, full drift", (found.start, found.full), best[:2], rel=2e-3, unit="mm", of=lathe.fit)
    agrees("time constant", found.constant, best[2], rel=2e-3, unit="s", of=lathe.fit)
    # the hour's uncertainty by the covariance of all three
    last = np.exp(-3600 / best[2])
    slope = np.array([0, 1 - last, -best[1] * 3600 / best[2]**2 * last])
    by_scipy = float(np.sqrt(slope @ cover @ slope))
    agrees("the hour", found.hour.value, best[1] * (1 - last), rel=2e-3, unit="mm", of=lathe.fit)
    agrees("its uncertainty", found.hour.uncertainty, by_scipy, rel=0.05, unit="mm", of=lathe.fit)
    waiting = lathe.wait(found, 600.0, 0.001)
    left = optimize.brentq(lambda t: abs(curve(t + 600, *best) - curve(t, *best)) - 0.001, 0, 1e5)
    agrees("the wait", waiting.value, left, rel=5e-3, unit="s", of=lathe.wait)
    agrees("calm", lathe.calm_after(-best[1], best[2], 600.0, 0.001), left, rel=1e-6, unit="s", of=lathe.calm_after)
    agrees("after the hour", lathe.drift_after(best[1], 3600.0, best[2]), curve(3600, 0, *best[1:]), rel=1e-9,
           unit="mm", of=lathe.drift_after)


@source("least squares by scipy", place="least_squares, a circle off the axis", basis="method")
def test_the_circle_of_the_nose():
    turn = np.radians(np.arange(0, 360, 30))
    reading = np.array([0, 2, 4, 5, 5, 4, 2, 0, -1, -2, -2, -1]) / 1e3
    best = optimize.least_squares(lambda p: p[0] + p[1] * np.cos(turn - p[2]) - reading, [0, 0.004, 1], xtol=1e-15,
                                  ftol=1e-15, gtol=1e-15).x
    found = lathe.nose_runout(reading, 1e-5)
    agrees("run-out", found.runout.value, 2 * abs(best[1]), rel=0.01, unit="mm", of=lathe.nose_runout)
    agrees("high spot", found.high_spot, np.degrees(best[2]) % 360, abs=0.01, unit="°", of=lathe.nose_runout)


@source("cantilever on springs and forces by integration (scipy)", place="in the test", basis="method")
def test_the_bending_of_the_collars_bar():
    """2 F (Δz²/kθ + Δz³/3EI), F by adaptive integration; everything known, so that nothing scatters."""
    material = "low-carbon steel"
    k = cutting.kienzle(material)
    thrust = exact_forces(0.05, 0.05, 0.4, k.kc, k.mc, k.kn, k.mn)[1]
    springs = {"spindle_stiffness": between(3e4, 3e4), "spindle_rotation": between(1e8, 1e8),
        "centre_stiffness": between(1e4, 1e4)}
    bent, error = lathe.collar_bending(15.0, 95.0, 100.0, 40.0, 0.05, 0.05, 0.4, material, lathe.CHUCK,
        about(205e3, 0.0), springs, about(1.0, 0.0))
    by_hand = 2 * thrust * ((95**2 - 15**2) / 1e8 + (95**3 - 15**3) / (3 * 205e3 * np.pi * 40**4 / 64))
    agrees("bending", bent, by_hand, rel=0.03, unit="mm", of=lathe.collar_bending)
    agrees("no scatter", error, 0.0, abs=1e-9, unit="mm")
