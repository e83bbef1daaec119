"""Exercises of textbooks on cutting. Basis beside each."""

from outside import agrees, source
from springpass import cutting
from springpass.cutting import chips, speeds


@source("orthogonal cutting exercise (solution page)", place="rake 16°, ratio 0.45", basis="read")
def test_shear_angle_textbook():
    # orthogonal cutting exercise: rake 16°, thickness ratio 0.45 → 26.28°, strain 2.20 (solution page read)
    angle = chips.shear_angle(0.45, 16)
    agrees("angle", angle, 26.28, abs=0.01, of=chips.shear_angle)
    agrees("shear strain", chips.shear_strain(angle, 16), 2.20, abs=0.01, of=chips.shear_strain)
    # Groover, Fundamentals of Modern Manufacturing, example 21.1 (memory): rake 10°, 0.50 → 1.125 mm:
    # 25.4°, 2.386
    angle = chips.shear_angle(0.50 / 1.125, 10)
    agrees("angle", angle, 25.4, abs=0.05, of=chips.shear_angle)
    agrees("shear strain", chips.shear_strain(angle, 10), 2.386, abs=0.005, of=chips.shear_strain)


@source("turning exercise, titanium bar (solution page)", place="75 to 65 mm, 200 mm long", basis="read")
def test_turning_exercise():
    # titanium bar 75 → 65 mm, 200 mm long, 400 turns a minute, 200 mm a minute, 3.0 to 4.1 W s/mm³
    # (solution page read): 94.25 m/min, 1 min, 10.996 and 15.027 kW, 7.0 and 9.57 kN
    agrees("surface speed", speeds.surface_speed(75, 400), 94.25, abs=0.01, unit="m/min", of=speeds.surface_speed)
    agrees("time in cut", speeds.time_in_cut(200, 0.5, 400), 60.0, rel=1e-6, unit="s", of=speeds.time_in_cut)
    removed = speeds.removal_rate(
        5, 0.5, speeds.surface_speed(70, 400)
    )  # the exercise takes the mean diameter
    agrees("removed", removed * 3.0 / 1e6, 0.010996, rel=1e-4, of=(speeds.removal_rate, speeds.surface_speed))
    agrees("removed", removed * 4.1 / 1e6, 0.015027, rel=1e-4, of=(speeds.removal_rate, speeds.surface_speed))
    for power, force in ((10.996, 7000), (15.027, 9570)):
        agrees("cutting power", cutting.cutting_power(force, speeds.surface_speed(75, 400)), power, rel=2e-3, unit="kW",
               of=(cutting.cutting_power, speeds.surface_speed))
