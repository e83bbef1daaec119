"""Heat: limits, shapes, refusals and trade facts."""

import numpy as np
import pytest

from springpass import heat
from springpass.core import spread, tables
from springpass.core.formula import solve_for
from springpass.core.quantity import Refused

BAD = [float("nan"), float("inf"), -1.0, "twelve", None, [12.0, float("nan")]]


# ---- sizes ----------------------------------------------------------------------------------------


def test_nothing_grows_at_twenty_degrees():
    assert heat.growth(123.4, 17e-6, 0) == 0
    assert heat.reading_error(123.4, 23e-6, 0, 11.5e-6, 0) == 0


def test_part_and_gauge_of_one_material_and_temperature_cancel():
    assert heat.reading_error(80, 11.5e-6, 9, 11.5e-6, 9) == 0


def test_a_part_measured_warm_reads_large():
    """Common practice: warm from the cut it measures large, next morning it is loose."""
    assert heat.reading_error(20, 12.3e-6, 15, 11.5e-6, 0) > 0
    assert heat.reading_wanted(20, 12.3e-6, 15, 11.5e-6, 0) > 20
    # and a micrometer kept in a warm hand reads small
    assert heat.reading_error(20, 12.3e-6, 0, 11.5e-6, 8) < 0


def test_growth_takes_arrays_and_goes_with_length_and_rise():
    rises = np.array([-35.0, 0, 15])
    assert heat.growth(42, 23.4e-6, rises) == pytest.approx(42 * 23.4e-6 * rises)
    assert heat.growth(84, 23.4e-6, rises) == pytest.approx(2 * heat.growth(42, 23.4e-6, rises))
    assert isinstance(heat.growth(42, 23.4e-6, 1), float)


def test_inverse_gives_the_rise_back():
    rise = solve_for("rise", heat.length_change, 0.003, length=12, expansion=11.7e-6)
    assert rise == pytest.approx(0.003 / 12 / 11.7e-6, rel=1e-9)


def test_clearance_goes_through_zero_where_it_should():
    """An aluminium housing lets go of a steel bearing as it warms: here at 20 + 10/(42 · 11.4e-6)/1000."""
    [rise] = solve_for(
        "rise", heat.clearance_at, 0, clearance=-0.010, size=42, hole_expansion=23.4e-6, shaft_expansion=12e-6
    )
    assert rise == pytest.approx(0.010 / (42 * 11.4e-6), rel=1e-9)


def test_doubt_grows_with_each_thing_not_known():
    base = dict(
        size=100,
        gauge_expansion=11.5e-6,
        part_rise=5,
        expansion_doubt=5e-7,
        temperature_doubt=0.5,
        difference_doubt=0.2,
    )
    least = heat.reading_doubt(**base)
    for name in base:
        assert heat.reading_doubt(**{**base, name: 2 * base[name]}) > least
    assert heat.reading_doubt(**{**base, "expansion_doubt": 0, "difference_doubt": 0}) == 0


# ---- the heat of the cut --------------------------------------------------------------------------


def test_share_falls_with_speed_and_chip_and_stays_a_share():
    speeds = np.geomspace(1, 2000, 200)
    share = heat.heat_share(0.05, speeds)
    assert (np.diff(share) <= 1e-12).all() and share.min() >= 0 and share.max() <= 1
    assert heat.heat_share(1e-5, 0.1, shear_power=1.0, flank_power=0.0) == 1.0


def test_pass_heat_of_the_clubs_sleeve():
    one = heat.pass_heat(20, 85, 0, 0.25, 0.05, 30, 30, 0.4, "42CrMo4 / 4140")
    assert 0.2 < one.share < 0.6 and 2 < one.rise < 15 and 0.0005 < one.growth < 0.004
    assert one.growth == pytest.approx(20 * 12.3e-6 * one.rise)
    assert one.seconds == pytest.approx(30 / 0.05 / (30_000 / (np.pi * 20)) * 60)   # turns over turns a minute
    deeper = heat.pass_heat(20, 85, 0, 0.5, 0.05, 30, 30, 0.4, "42CrMo4 / 4140")
    assert deeper.rise > one.rise
    hollow = heat.pass_heat(20, 85, 10, 0.25, 0.05, 30, 30, 0.4, "42CrMo4 / 4140")
    assert hollow.rise == pytest.approx(one.rise * 400 / 300, rel=1e-9)   # a thinner part gets warmer


def test_energy_is_kept():
    """Heat in the part = share of force times path; path = cut length / feed turns of π(D − a)."""
    one = heat.pass_heat(30, 60, 0, 0.2, 0.08, 60, 40, 0.4, "aluminium 6082")
    from springpass import cutting

    forces = cutting.nose_forces(0.2, 0.08, 0.4, 90, *cutting.kienzle("aluminium hardened"))
    path = np.pi * (30 - 0.2) * 60 / 0.08 / 1e3  # m
    joule = (
        one.share * forces.cutting * path * (0.2 * 0.08 / forces.area)
    )  # chip area on a round nose is a little off a·f
    what = heat.properties("aluminium 6082")
    mass = what.density * np.pi / 4 * 30**2 * 60 * 1e-9
    assert one.rise == pytest.approx(joule / (mass * what.specific_heat), rel=1e-9)


# ---- cooling --------------------------------------------------------------------------------------


def test_cooling_starts_warm_and_only_falls():
    for how in (
        {},
        {"joint": 2000},
        {"draught": 3.0},
        {"coolant": 1000},
        {"joint": 2000, "coolant": 1000, "place": 0.5},
    ):
        curve = heat.cooling(20, 85, 18, 0.5, **how)
        assert curve.rise.flat[0] == pytest.approx(18, rel=1e-9) and (np.diff(curve.rise.ravel()) <= 0).all()
        assert curve.seconds.flat[0] == 0 and (np.diff(curve.seconds.ravel()) > 0).all()
        assert curve.rise.min() < 0.5


def test_each_help_shortens_the_wait():
    still = heat.time_to_size(20, 85, 18)
    for faster in ({"draught": 2.0}, {"joint": 2000}, {"coolant": 1000}, {"emissivity": 0.9}):
        assert heat.time_to_size(20, 85, 18, **faster) < still
    assert heat.time_to_size(20, 85, 18, 0.002) < still < heat.time_to_size(20, 85, 30)
    assert heat.time_to_size(40, 85, 18) > still


def test_a_joint_that_carries_nothing_is_no_joint():
    """Grip it ever so loosely: the rod comes back to the part that lies free (but for one end's face)."""
    free, loose = heat.time_to_size(12, 400, 25), heat.time_to_size(12, 400, 25, joint=1e-6, place=0.5)
    assert loose == pytest.approx(free, rel=0.02)


def test_tau_is_not_constant():
    """Still air carries less the less warm the part is, so the second half of the fall takes longer than one τ says."""
    curve = heat.cooling(12, 40, 32, 0.4, emissivity=0.0)
    first = curve.time_until(16.0)
    second = curve.time_until(8.0) - first
    assert second > 1.1 * first
    # the pure power law with n = 1/4 falls a little faster still
    tau = first / np.log(2)
    assert curve.time_until(2.0) > heat.wait_at_one_coefficient(tau, 32, 2.0)


def test_within_already_means_no_wait():
    assert heat.time_to_size(12, 40, 5, 0.1) == 0


def test_arrays_of_samples_agree_with_one_by_one():
    alphas, joints = np.array([11e-6, 12e-6, 13e-6]), np.array([1000.0, 2000, 5000])
    together = heat.time_to_size(16, 50, 20, 0.001, expansion=alphas)
    assert together == pytest.approx([heat.time_to_size(16, 50, 20, 0.001, expansion=a) for a in alphas], rel=2e-3)
    together = heat.time_to_size(16, 50, 20, 0.001, joint=joints)
    assert together == pytest.approx([heat.time_to_size(16, 50, 20, 0.001, joint=j) for j in joints], rel=1e-2)
    diameters = np.array([8.0, 16, 32])
    assert heat.time_to_size(diameters, 50, 20) == pytest.approx(
        [heat.time_to_size(d, 50, 20) for d in diameters], rel=2e-3
    )


def test_material_by_name_is_the_same_as_its_numbers():
    what = heat.properties("aluminium 6082")
    by_numbers = heat.time_to_size(
        20,
        40,
        20,
        expansion=what.expansion,
        density=what.density,
        specific_heat=what.specific_heat,
        conductivity=what.conductivity,
        emissivity=what.emissivity,
    )
    assert heat.time_to_size(20, 40, 20, material="aluminium 6082") == pytest.approx(by_numbers)


# ---- a bearing into a warm housing ----------------------------------------------------------------


def test_warm_fit_of_the_clubs_housing():
    fit = heat.warm_fit(62, 42, 16, 0.012, 90.0, density=2700, specific_heat=896, conductivity=172, emissivity=0.09)
    assert fit.play * 1e3 == pytest.approx(42 * 23.4e-3 * 70 - 12, abs=1e-6)
    assert fit.needed == pytest.approx(20 + 27.473, abs=0.01)
    assert 300 < fit.open < 4000
    assert heat.warm_fit(62, 42, 16, 0.012, 110.0).open > fit.open
    frozen = heat.warm_fit(62, 42, 16, 0.012, 90.0, bearing=-25.0)
    assert frozen.play == pytest.approx(fit.play + 42 * 12e-6 * 45)


def test_a_fit_too_tight_for_the_heat_never_opens_and_a_loose_one_never_shuts():
    assert heat.warm_fit(62, 42, 16, 0.1, 60.0).open == 0
    assert heat.warm_fit(62, 42, 16, 0.0, 60.0).open == np.inf


# ---- refusals -------------------------------------------------------------------------------------


@pytest.mark.parametrize("bad", BAD)
def test_bad_numbers_are_refused_with_a_sentence(bad):
    for call in (
        lambda: heat.growth(bad, 12e-6, 3),
        lambda: heat.growth(20, bad, 3),
        lambda: heat.time_to_size(bad, 40, 25),
        lambda: heat.time_to_size(12, bad, 25),
        lambda: heat.time_to_size(12, 40, bad),
        lambda: heat.time_to_size(12, 40, 25, bad),
        lambda: heat.time_to_size(12, 40, 25, density=bad),
        lambda: heat.time_to_size(12, 40, 25, joint=bad),
        lambda: heat.time_to_size(12, 40, 25, draught=bad),
        lambda: heat.time_to_size(12, 40, 25, bore=bad),
        lambda: heat.time_to_size(12, 40, 25, expansion=bad),
        lambda: heat.time_to_size(12, 40, 25, emissivity=bad),
        lambda: heat.time_to_size(12, 40, 25, joint=10, place=bad),
        lambda: heat.heat_share(bad, 30),
        lambda: heat.heat_share(0.02, bad),
        lambda: heat.heat_share(0.02, 30, bad),
        lambda: heat.heat_share(0.02, 30, flank_power=bad),
        lambda: heat.heat_share(0.02, 30, conductivity=bad),
        lambda: heat.pass_heat(bad, 85, 0, 0.25, 0.05, 30, 30, 0.4, "aluminium 6082"),
        lambda: heat.pass_heat(20, 85, 0, bad, 0.05, 30, 30, 0.4, "aluminium 6082"),
        lambda: heat.pass_heat(20, 85, 0, 0.25, 0.05, bad, 30, 0.4, "aluminium 6082"),
        lambda: heat.warm_fit(bad, 42, 16, 0.012, 90),
        lambda: heat.warm_fit(62, bad, 16, 0.012, 90),
        lambda: heat.warm_fit(62, 42, 16, bad, 90),
        lambda: heat.warm_fit(62, 42, 16, 0.012, bad),
    ):
        with pytest.raises(Refused) as told:
            call()
        assert str(told.value).endswith(".") and len(str(told.value)) > 20


@pytest.mark.parametrize(
    "call",
    [
        lambda: heat.growth(20, 12e-6, float("nan")),
        lambda: heat.growth(20, 12e-6, "warm"),
        lambda: heat.time_to_size(0, 40, 25),
        lambda: heat.time_to_size(12, 40, 0),
        lambda: heat.time_to_size(12, 40, 25, 0),
        lambda: heat.time_to_size(12, 40, 25, bore=12),
        lambda: heat.time_to_size(12, 40, 900),
        lambda: heat.time_to_size(1e9, 40, 25),
        lambda: heat.time_to_size(12, 40, 25, air=300),
        lambda: heat.time_to_size(12, 40, 25, emissivity=2),
        lambda: heat.time_to_size(12, 40, 25, material="unobtainium"),
        lambda: heat.cooling(12, 40, 25, place=2, joint=100),
        lambda: heat.heat_share(0.02, 30, 90),
        lambda: heat.heat_share(0.02, 30, shear_power=1.5),
        lambda: heat.pass_heat(20, 85, 0, 0.25, 0.05, 100, 30, 0.4, "aluminium 6082"),
        lambda: heat.pass_heat(20, 85, 19, 0.6, 0.05, 30, 30, 0.4, "aluminium 6082"),
        lambda: heat.pass_heat(20, 85, 0, 0.25, 0.05, 30, 30, 0.4, "acetal POM"),
        lambda: heat.properties("cheese"),
        lambda: heat.warm_fit(62, 42, 16, 0.012, 20),
        lambda: heat.warm_fit(42, 62, 16, 0.012, 90),
    ],
)
def test_what_cannot_be_is_refused(call):
    with pytest.raises(Refused):
        call()


# ---- data -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("table", ["heat_rules", "heat_surfaces", "heat_work"])
def test_every_row_says_where_it_comes_from(table):
    for row in tables.rows(table):
        assert row["source"] and row["basis"] in tables.BASES
        if "value" in row:
            assert row["low"] <= row["value"] <= row["high"]


def test_every_material_can_cool_and_every_turned_one_has_a_force():
    from springpass import cutting

    assert [row["material"] for row in tables.rows("heat_work")] == heat.materials()
    for material in heat.materials():
        assert heat.time_to_size(12, 40, 25, 0.0002, material=material) > 0
        assert 0 < heat.surface(material).low <= heat.surface(material).value <= 1
    for material in heat.turned_materials():
        assert tables.row("heat_work", material=material)["group"] in cutting.work_materials()


def test_spread_of_a_wait_contains_its_usual_value():
    known = spread.sample(
        expansion=heat.fact("42CrMo4 / 4140", "alpha").range,
        emissivity=heat.surface("42CrMo4 / 4140").range,
        convection=heat.rule("convection").range,
    )
    found = spread.likely(heat.time_to_size(20, 85, 20, 0.002, **known))
    usual = heat.time_to_size(
        20, 85, 20, 0.002, material="42CrMo4 / 4140", emissivity=heat.surface("42CrMo4 / 4140").value
    )
    assert found.low < usual < found.high
