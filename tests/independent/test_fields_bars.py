"""The boring bar's answers field by field: the bore drawn, a holder's fit by scipy, sounds measured a second way."""

import numpy as np
from scipy import integrate, optimize, signal, stats

from outside import agrees, claim, source
from springpass import boring_bar
from springpass.boring_bar import bending, cut_sound, tap_test, vibration
from springpass.core import tables
from springpass.cutting import forces

G = 9.80665   # standard gravity, m/s²
E, NU = 205e3, 0.29
FEED, NOSE = 0.05, 0.4


@source("bore, bar, tip and flank drawn point by point", place="Ø12, bar 7, tip 4 off its axis and 0.8 high, 5°",
        basis="method")
def test_room_drawn():
    bore, bar, offset, high, clearance = 12.0, 7.0, 4.0, 0.8, 5.0
    found = boring_bar.bore_room(bore, bar, offset, high, clearance)
    turn = np.linspace(0, 2 * np.pi, 90_001)
    wall = bore / 2 * np.stack([np.cos(turn), np.sin(turn)])
    right = wall[:, wall[0] > 0]
    tip = right[:, np.abs(right[1] - high).argmin()]
    centre = tip - [offset, 0]
    agrees("tip", found.tip, tip, abs=2e-4, unit="mm", of=boring_bar.bore_room)
    agrees("centre of the bar", found.centre, centre, abs=2e-4, unit="mm", of=boring_bar.bore_room)
    skin = centre[:, None] + bar / 2 * np.stack([np.cos(turn), np.sin(turn)])
    left = wall[:, wall[0] < 0]
    behind = left[:, np.abs(left[1] - high).argmin()]
    agrees("behind its back", found.back, skin[0].min() - behind[0], abs=2e-4, unit="mm", of=boring_bar.bore_room)
    agrees("all round", found.around, bore / 2 - np.hypot(*skin).max(), abs=2e-4, unit="mm", of=boring_bar.bore_room)
    # a step of the slide moves the tip level; the radius changes by less
    step = 1e-6
    agrees("dial", found.dial, (np.hypot(tip[0] + step, tip[1]) - np.hypot(*tip)) / step, abs=1e-4,
           of=boring_bar.bore_room)
    # the flank leans away from the vertical by its clearance; it meets the wall again below the tip
    lean = np.radians(clearance)
    flank = optimize.brentq(lambda y: np.hypot(tip[0] - y * np.tan(lean), tip[1] - y) - bore / 2, 0.3, 8.0)
    agrees("heel", found.heel, flank, abs=1e-3, unit="mm", of=boring_bar.bore_room)
    gap = tables.fact("bar_rules", name="least gap").low
    least = optimize.brentq(lambda d: 2 * np.sqrt(d**2 / 4 - high**2) - offset - bar / 2 - gap, 2.0, 20.0)
    agrees("smallest bore", found.smallest, least, rel=1e-6, unit="mm", of=boring_bar.bore_room)


@source("forces summed piece by piece by scipy", place="medium-carbon steel, nose 0.4, feed 0.05", basis="method")
def test_table_of_forces():
    steel = forces.kienzle("medium-carbon steel")
    table = bending.cut_loads(steel, FEED, NOSE, 90.0, 0.1)
    for depth in (0.02, 0.08, 0.2):
        meet = np.arctan2(np.sqrt(2 * NOSE * depth - depth**2) - FEED, NOSE - depth)

        def chip(phi, depth=depth):
            groove = NOSE + FEED * np.sin(phi) - np.sqrt(NOSE**2 - (FEED * np.cos(phi)) ** 2)
            return max(min(groove, NOSE - (NOSE - depth) / np.cos(phi)), 0.0)

        spans = ((-np.arcsin(FEED / (2 * NOSE)), meet), (meet, np.arccos(1 - depth / NOSE)))
        main = sum(integrate.quad(lambda p, h=chip: steel.kc * h(p) ** (1 - steel.mc) * (NOSE - h(p) / 2), *span)[0]
                   for span in spans)
        agrees("cutting force", table.forces(depth)[0], main, rel=0.01, unit="N", of=bending.cut_loads)
        at = (np.log(depth) - table.start) / table.step
        thickest = np.interp(at, np.arange(len(table.chip)), table.chip)
        agrees("thickest of the chip", thickest, max(chip(p) for p in np.linspace(*spans[0], 4001)), rel=0.01,
               unit="mm", of=bending.cut_loads)


@source("edge measured along two arcs by hand", place="nose 0.4, feed 0.05, 0.1 deep", basis="hand")
def test_edge_in_the_cut():
    """From half a feed behind the nose's lowest point to where the nose leaves the surface: r (asin f/2r + acos(1 −
    a/r))."""
    edge = NOSE * (np.arcsin(FEED / (2 * NOSE)) + np.arccos(1 - 0.1 / NOSE))
    agrees("contact", forces.cutting_stiffness(0.1, FEED, NOSE).contact, edge, rel=2e-3, unit="mm",
           of=forces.cutting_stiffness)
    agrees("contact of a table", vibration.cut_slopes(FEED, NOSE, 600.0, 0.4).at(np.array([0.1]))[2], [edge], rel=0.01,
           unit="mm", of=vibration.cut_slopes)


@source("torsion of a round rod by hand", place="Ø10, then Ø6, 30 and 20 long", basis="hand")
def test_twist_of_a_stepped_bar():
    """32 (30/10⁴ + 20/6⁴)/(π G)."""
    g = E / (2 * (1 + NU))
    agrees("twist", bending.tip_springs([(30.0, 10.0), (20.0, 6.0)], E, NU).twist,
           32 * (30 / 1e4 + 20 / 1296) / (np.pi * g), rel=1e-9, unit="rad/N mm", of=bending.tip_springs)


def bar_alone(x, d):
    """Bending and shear of the bar itself for one newton, by hand: x³/3EI + x/(κ G A)."""
    shear = 6 * (1 + NU) / (7 + 6 * NU) * E / (2 * (1 + NU)) * np.pi * d**2 / 4
    return x**3 / (3 * E * np.pi * d**4 / 64) + x / shear


@source("scipy's linear regression and least squares of the same readings", basis="method")
def test_holder_from_weights_and_its_doubt():
    dice = np.random.default_rng(11)
    mass = np.array([0.0, 1, 2, 3, 4, 5])
    moved = mass * G * (bar_alone(40.0, 10.0) + 1 / 8e3) + 0.02 + dice.normal(0, 5e-4, mass.size)
    found = boring_bar.holder_from_weights(list(zip(mass, moved, strict=True)), 10.0, E, NU, 40.0)
    line = stats.linregress(mass * G, moved - mass * G * bar_alone(40.0, 10.0))
    rest = moved - mass * G * bar_alone(40.0, 10.0) - line.intercept - line.slope * mass * G
    agrees("compliance", (found.compliance, found.compliance_error), (line.slope, line.stderr), rel=1e-6, unit="mm/N",
           of=boring_bar.holder_from_weights)
    agrees("stiffness", found.stiffness_error, line.stderr / line.slope**2, rel=1e-6, unit="N/mm",
           of=boring_bar.holder_from_weights)
    agrees("worst reading", found.worst, np.abs(rest).max(), rel=1e-6, unit="mm", of=boring_bar.holder_from_weights)
    # the table's softest holder for this bar: each of its two springs grown by its rule
    grow = {name: (10.0 / 6.0) ** tables.fact("bar_rules", name=f"holder {name} grows").value
            for name in ("shift", "tilt")}
    soft = max(1 / (tables.fact("holders", holder=h, property="stiffness").low * grow["shift"])
               + 1600 / (tables.fact("holders", holder=h, property="rotation").low * grow["tilt"])
               for h in tables.names("holders", "holder"))
    agrees("softer", found.softer, line.slope / soft, rel=1e-6, of=boring_bar.holder_from_weights)
    # two distances: shift and tilt
    place = np.repeat([30.0, 60.0], 6)
    force = np.tile(mass, 2) * G
    rest = force * (1 / 2e4 + place**2 / 8e6) + dice.normal(0, 3e-4, 12)
    fit, cover = optimize.curve_fit(lambda x, a, b, c: 1e-3 * (a + b * x[0] / 10 + c * x[0] * x[1] ** 2 / 1e4),
                                    np.stack([force, place]), rest)
    fit, cover = 1e-7 * fit, 1e-14 * cover
    read = [(f / G, r + f * bar_alone(x, 10.0), x) for f, x, r in zip(force, place, rest, strict=True)]
    found = boring_bar.holder_from_weights(read, 10.0, E, NU, resolution=1e-6)
    agrees("rotation", found.rotation_error, np.sqrt(cover[2, 2]) / fit[2] ** 2, rel=1e-3, unit="N mm/rad",
           of=boring_bar.holder_from_weights)


def dying(parts, rate, seconds=0.5):
    t = np.arange(int(seconds * rate)) / rate
    return sum(a * np.exp(-2 * np.pi * f * z * t) * np.sin(2 * np.pi * f * t) for f, z, a in parts)


@source("taps made up here, each of its own pitch and damping", place="numpy's standard deviation", basis="method")
def test_scatter_of_taps():
    rate, dice = 44_100.0, np.random.default_rng(5)
    pitches, dampings = (1480.0, 1500.0, 1530.0, 1510.0), (0.018, 0.022, 0.020, 0.025)
    sound = 0.001 * dice.standard_normal(int(2.5 * rate))
    for n, (f, z) in enumerate(zip(pitches, dampings, strict=True)):
        ring = dying([(f, z, 0.6), (4100.0, 0.01, 0.25)], rate)
        at = int((0.2 + 0.55 * n) * rate)
        sound[at:at + ring.size] += ring[: sound.size - at]
    found = tap_test.listen(tap_test.Recording(sound, rate))
    agrees("strikes", found.strikes, 4, of=tap_test.listen)
    agrees("scatter of the pitch", found.frequency_scatter, np.std(pitches, ddof=1), rel=0.05, unit="Hz",
           of=tap_test.listen)
    agrees("scatter of the damping", found.damping_scatter, np.std(dampings, ddof=1), rel=0.06, of=tap_test.listen)
    agrees("second pitch", found.second, 4100.0, rel=0.01, unit="Hz", of=tap_test.listen)


@source("scipy's Welch spectrum with the same window and pieces; its median filter", basis="method")
def test_spectrum_of_a_cut():
    rpm, tone = 1300.0, 1500.0
    made = cut_sound.made_up_cut(cut_sound.CHATTERS, rpm, tone)
    found = cut_sound.hear(made, rpm)
    f, power = signal.welch(made.samples - made.samples.mean(), made.rate, window=np.hanning(4096), nperseg=4096,
                            noverlap=2048, detrend=False)
    seen = (f >= 60.0) & (f <= 9000.0)
    f, power = f[seen], power[seen]
    level = 10 * np.log10(power / power.max())
    agrees("frequencies", found.frequency, f, rel=1e-6, unit="Hz", of=cut_sound.hear)
    agrees("level", found.level, level, abs=0.05, unit="dB", of=cut_sound.hear)
    # the noise under the tones: running median over half an octave, away from the ends of the spectrum
    wide = {at: np.median(level[max(at - max(at // 4, 25), 0):at + max(at // 4, 25) + 1]) for at in (200, 600, 1000)}
    agrees("floor", [found.floor[at] for at in wide], list(wide.values()), abs=1.0, unit="dB", of=cut_sound.hear)
    # one line of the spectrum either way, anywhere in it alike: its width over √12
    agrees("doubt of the tone", found.tone_error, made.rate / 4096 / np.sqrt(12), rel=1e-9, unit="Hz",
           of=cut_sound.hear)
    claim("it chatters", found.kind == cut_sound.CHATTERS, of=cut_sound.hear)
