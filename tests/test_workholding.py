"""Workholding: limits, trends, refusals, the pages' words against their numbers, the own lathe's springs."""

import re

import numpy as np
import pytest

from springpass import cutting
from springpass import workholding as wh
from springpass.core import spread, tables
from springpass.core.quantity import Refused, Say
from springpass.job import shop
from springpass.pages import own_lathe, ways_to_hold
from springpass.pages import work_bending as bend_page
from springpass.pages import workholding as ring_page
from springpass.teaching.exercises import chapter
from springpass.teaching.practice import pose

STEEL = {"modulus": 205e3, "poisson": 0.29}

# ---- rings: limits ----------------------------------------------------------------------------------


@pytest.mark.parametrize("jaws", [2, 3, 4, 6])
def test_a_thin_ring_comes_to_the_closed_form(jaws):
    """What thin-ring theory leaves out falls with the square of the wall."""
    gaps = []
    for wall in (1.0, 0.5, 0.25):
        ring = wh.ring_lobing(100 + wall, 100 - wall, 10.0, 1.0, jaws, **STEEL, pad_half_angle=0.01)
        thin = sum(f(1.0, 50.0, jaws, 10.0, wall, 205e3) for f in (wh.thin_ring_at_jaw, wh.thin_ring_midway))
        gaps.append(abs(ring.peak_to_valley / thin - 1))
    assert gaps[2] < 3e-4
    assert gaps[0] / gaps[1] == pytest.approx(4, rel=0.06)
    assert gaps[1] / gaps[2] == pytest.approx(4, rel=0.06)


def test_a_jaw_all_round_is_a_collet():
    """Two jaws of 90 degrees half-angle each would meet; close to it only the even squeeze of Lame is left."""
    lobing = wh.ring_lobing(62, 42, 14, 1000, 6, 70e3, 0.33, 29.99)
    assert lobing.peak_to_valley < 0.02 * abs(lobing.mean)
    total = 6 * 1000 / np.sinc(29.99 / 180)
    assert 2 * lobing.mean == pytest.approx(wh.collet_closing(total / (np.pi * 62 * 14), 42, 62, 70e3), rel=1e-9)


def test_lobing_is_in_step_with_push_and_against_width_and_modulus():
    one = wh.ring_lobing(40, 32, 20, 1000, 3, 205e3, 0.29, 8).peak_to_valley
    assert wh.ring_lobing(40, 32, 20, 3000, 3, 205e3, 0.29, 8).peak_to_valley == pytest.approx(3 * one)
    assert wh.ring_lobing(40, 32, 40, 1000, 3, 102.5e3, 0.29, 8).peak_to_valley == pytest.approx(one)


def test_arrays_of_rings_are_as_many_single_rings():
    bores, pads = np.array([20.0, 32.0, 36.0]), np.array([[3.0], [8.0]])
    found = wh.ring_lobing(40, bores, 20, 1000, 3, **STEEL, pad_half_angle=pads)
    assert found.peak_to_valley.shape == (2, 3)
    for i, j in np.ndindex(2, 3):
        single = wh.ring_lobing(40, bores[j], 20, 1000, 3, **STEEL, pad_half_angle=pads[i, 0])
        assert found.at_jaw[i, j] == pytest.approx(single.at_jaw)
        assert found.jaw_travel[i, j] == pytest.approx(single.jaw_travel)
        assert wh.gauged(found).two_point[i, j] == pytest.approx(wh.gauged(single).two_point)


def test_more_jaws_and_wider_jaws_leave_rounder_bores():
    """Common practice: six jaws or pie jaws for thin rings; here at the same push in all."""
    lobes = {
        kind: wh.ring_lobing(
            62, 42, 14, 4500 / wh.jaws(kind)[0], wh.jaws(kind)[0], 70e3, 0.33, wh.jaws(kind)[1].value
        ).peak_to_valley
        for kind in ring_page.GRIPS
    }
    assert lobes["two jaws"] > lobes["three jaws"] > lobes["four jaws"] > lobes["six jaws"]
    assert lobes["three jaws"] > lobes["three soft jaws bored to size"] > lobes["three pie jaws"]
    assert lobes["six jaws"] < lobes["three jaws"] / 10


@pytest.mark.parametrize(
    "jaws, blind_two, blind_three", [(2, False, True), (3, True, False), (4, False, True), (6, False, False)]
)
def test_what_gauges_are_blind_to(jaws, blind_two, blind_three):
    """Even lobes double on two points, multiples of three double on three; the rest is nearly lost."""
    seen = wh.gauged(wh.ring_lobing(62, 52, 14, 1000, jaws, 70e3, 0.33, 6))
    for reading, blind in ((seen.two_point, blind_two), (seen.three_point, blind_three)):
        if blind:
            assert reading < 0.25 * seen.radius
        else:
            assert reading == pytest.approx(2 * seen.radius, rel=1e-3)


def test_a_chuck_that_gives_keeps_its_push():
    assert wh.kept_load(1000.0, 1e-6, 3e-6, 1.0) == pytest.approx(1000, rel=1e-5)
    assert wh.kept_load(1000.0, 1e-6, 3e-6, 0.0) == pytest.approx(1000 / 3)


def test_held_by_hand_formulas_worked_by_hand():
    # 100 N on 160 mm is 16 N m; 3.5 turns of the key for 7 mm: 2 pi 16000 3.5 0.2 / 7 = 10053 N
    assert wh.key_force(100.0, 160.0, 3.5, 7.0, 0.2) == pytest.approx(10053, abs=1)
    # 4 kN down a taper of 8 + 7 degrees is 14.93 kN sideways, on pi 20 30 = 1885 mm²
    assert wh.collet_pressure(4000.0, 8.0, 7.0, 20.0, 30.0) == pytest.approx(7.92, abs=0.005)
    # 2 kN on pi/4 (62² - 42²) = 1634 mm² is 1.224 MPa; 0.33 × 1.224 / 70000 × 42 = 0.24 µm
    assert wh.face_clamp_growth(2000.0, 42.0, 62.0, 70e3, 0.33) * 1e3 == pytest.approx(0.2424, abs=1e-3)
    # 100 N on 42 mm, friction 0.1 on two faces of radius 26, safety 2: 2 × 100 × 21 / (0.1 × 2 × 26) = 808 N
    assert wh.face_clamp_needed(100.0, 42.0, 26.0, 0.1, 2.0) == pytest.approx(807.7, abs=0.1)
    # Lame: bore 42 pushed out by 10 MPa in a ring of 62: 2 × 10 × 42² × 62 / (70000 × 2080) = 15.0 µm
    assert wh.mandrel_growth(10.0, 42.0, 62.0, 70e3) * 1e3 == pytest.approx(15.02, abs=0.01)
    # 1 kN on 62 × sin 6° × 14 = 90.7 mm²
    assert wh.pad_pressure(1000.0, 62.0, 14.0, 6.0) == pytest.approx(11.02, abs=0.01)
    # line contact: p = sqrt(2 × 1000 × 58000 / (pi × 14 × 62)) = 206 MPa
    assert wh.contact_pressure(1000.0, 14.0, 62.0, 58e3) == pytest.approx(206.2, abs=0.1)


def test_marks_begin_where_the_contact_reaches_its_limit():
    load = wh.marking_load("aluminium 6082", 14.0, 62.0)
    contact = 1 / ((1 - 0.33**2) / 70e3 + (1 - 0.29**2) / 205e3)
    assert wh.contact_pressure(load, 14.0, 62.0, contact) == pytest.approx(1.67 * 260)


def test_squeezed_walls_of_jaw_window():
    ring = wh.ring_lobing(62, 42, 14, 1000, 3, 70e3, 0.33, 6)
    window = wh.jaw_window(ring.peak_to_valley, 1000.0, 0.005, 900.0, "aluminium 6082", 62, 42, 14, 3)
    assert window.needed == 300
    assert window.for_round == pytest.approx(1000 * 0.005 / ring.peak_to_valley)
    assert wh.wall_stress(window.for_spring, 26, 3, 14, 10) == pytest.approx(260)
    assert window.allowed == min(window.for_round, window.for_marks, window.for_spring)


def test_wide_jaws_bend_the_wall_less():
    """Moments of a thin ring under spread loads, summed here by superposing many narrow loads on the closed form."""
    jaws, pad = 3, 40.0
    alpha = np.pi / jaws
    assert wh.wide_jaw_share(jaws, 0.0) == pytest.approx(1)

    def moment(angle):  # narrow jaws, PR = 1, from the nearest jaw
        from_mid = alpha - np.abs((angle + alpha) % (2 * alpha) - alpha)
        return 1 / (2 * alpha) - np.cos(from_mid) / (2 * np.sin(alpha))

    spread_out = np.radians(np.linspace(-pad, pad, 4001))
    around = np.linspace(0, alpha, 61)
    total = np.array([np.mean(moment(a - spread_out)) for a in around]) * np.radians(pad) / np.sin(np.radians(pad))
    assert wh.wide_jaw_share(jaws, pad) == pytest.approx(np.abs(total).max() / np.abs(moment(0.0)), rel=2e-3)
    assert wh.wide_jaw_share(jaws, 52.0) < 0.3


def test_the_harder_the_hand_the_harder_the_jaws():
    pushes = [spread.likely(wh.hand_force(t)) for t in wh.TIGHTNESS]
    assert pushes[0].value < pushes[1].value < pushes[2].value
    assert all(p.high > 1.8 * p.low for p in pushes)  # a range and no more


def test_every_row_says_where_it_comes_from():
    for name in ("grip", "facts", "jaws", "stiffness", "rules", "yield"):
        for row in tables.rows(f"workholding_{name}"):
            assert row["basis"] in tables.BASES
            assert row["source"]
            assert row["low"] <= row["value"] <= row["high"]
    known = set(cutting.work_materials())
    for row in tables.rows("workholding_yield"):
        assert row["cutting"] in known
        assert tables.fact("materials", material=row["material"], property="E").value > 0


@pytest.mark.parametrize("rule", ["free length for work to size", "with a centre", "jaws for a thin ring"])
def test_rules_of_the_trade_are_marked(rule):
    assert tables.row("workholding_rules", rule=rule)["basis"] == "common practice"


# ---- shafts: limits ---------------------------------------------------------------------------------


def test_stiff_springs_come_to_the_textbook_beam():
    for hold, closed in (
        ("chuck", lambda z: wh.overhang_error(15, z, 10, 205e3, np.inf, np.inf)),
        ("chuck and centre", lambda z: wh.centre_error(15, z, 80, 10, 205e3)),
        ("between centres", lambda z: wh.between_centres_error(15, z, 80, 10, 205e3, np.inf, np.inf)),
    ):
        z = np.linspace(5, 75, 8)
        stiff = wh.turned_error(
            [(80, 10)],
            position=z,
            force=15,
            hold=hold,
            shear=False,
            **STEEL,
            spindle_stiffness=1e12,
            spindle_rotation=1e16,
            centre_stiffness=1e12,
        )
        assert stiff.error == pytest.approx(closed(z), rel=1e-5)


def test_springs_alone_give_the_closed_springs():
    z = np.array([0.0, 30.0, 60.0])
    chuck = wh.turned_error(
        [(60, 200)], position=z, force=10, shear=False, modulus=1e12, spindle_stiffness=2e4, spindle_rotation=1e8
    )
    assert chuck.error == pytest.approx(20 * (1 / 2e4 + z**2 / 1e8), rel=1e-6)
    centres = wh.turned_error(
        [(60, 200)],
        position=z,
        force=10,
        shear=False,
        modulus=1e12,
        hold="between centres",
        spindle_stiffness=2e4,
        centre_stiffness=1e4,
    )
    assert centres.error * 1e3 == pytest.approx([1.0, 20 * 0.25 * 1.5e-4 * 1e3, 2.0], rel=1e-6)


def test_twice_the_overhang_is_eight_times_the_error():
    one, two = (wh.turned_error([(length, 10)], position=length, force=15, shear=False).error[0] for length in (40, 80))
    assert two == pytest.approx(8 * one)


def test_a_steady_where_the_tool_is_takes_the_load():
    free = wh.work_compliance(50.0, [(80, 10)], "chuck", **STEEL)
    held = wh.work_compliance(50.0, [(80, 10)], "chuck", **STEEL, steady_at=50.0, steady_stiffness=1e4)
    assert held == pytest.approx(1 / (1e4 + 1 / free))
    assert wh.work_compliance(50.0, [(80, 10)], "chuck", **STEEL, steady_at=50.0) == pytest.approx(0, abs=1e-12)


def test_one_bar_in_two_pieces_is_one_bar():
    whole = wh.turned_error([(60, 12)], force=10, **STEEL).error
    assert wh.turned_error([(25, 12), (35, 12)], force=10, **STEEL).error == pytest.approx(whole, rel=1e-9)


def test_the_depth_really_cut_is_less_than_set_and_the_naive_error_is_high():
    """The naive error takes the force of the full infeed; the true cut is shallower."""
    found = wh.turned_error([(100, 10)], infeed=0.1, feed=0.05, position=[100.0], **STEEL)
    kc, mc, kn, mn = cutting.kienzle("low-carbon steel")
    naive = 2 * found.compliance[0] * cutting.nose_forces(0.1, 0.05, 0.4, 90.0, kc, mc, kn, mn).thrust
    assert found.error[0] + 2 * found.depth[0] == pytest.approx(0.2)
    assert found.error[0] < naive < 1.7 * found.error[0]


def test_samples_run_down_and_places_run_across():
    samples = np.array([1e4, 1e5])
    found = wh.turned_error(
        [(60, 20)], position=[10.0, 60.0], spindle_stiffness=samples, force_factor=np.array([1.0, 2.0])
    )
    assert found.error.shape == (2, 2)
    single = wh.turned_error([(60, 20)], position=[10.0, 60.0], spindle_stiffness=1e5, force_factor=2.0)
    assert found.error[1] == pytest.approx(single.error)


def test_a_light_cut_keeps_the_tolerance():
    give = wh.work_compliance(100.0, [(100, 10)], "chuck", **STEEL)
    depth = wh.deepest_cut(give, 0.01)
    assert wh.turned_error([(100, 10)], infeed=float(depth), position=[100.0], **STEEL).error[0] == pytest.approx(
        0.01, rel=0.02
    )
    assert wh.deepest_cut(1.0, 0.001) == 0


# ---- the lathe's own springs ------------------------------------------------------------------------


def test_stiffness_from_weights_worked_by_hand():
    """2, 4, 6 kg at 2, 4, 6 µm: 19.613 N for 2 µm, 9.80665 N/µm, no scatter."""
    spring = wh.stiffness_from_weights([2, 4, 6], [0.002, 0.004, 0.006])
    assert spring.value == pytest.approx(9806.65)
    assert spring.scatter == pytest.approx(0, abs=1e-12)
    # an indicator set to read anything at first makes no difference
    assert wh.stiffness_from_weights([2, 4, 6], [0.102, 0.104, 0.106]).value == pytest.approx(9806.65)


def test_range_of_a_measured_stiffness_covers_the_truth_nine_times_in_ten():
    dice = np.random.default_rng(5)
    mass = np.array([0, 2, 4, 6, 8.0])
    true, inside = 12e3, 0
    for _ in range(2000):
        spring = wh.stiffness_from_weights(mass, mass * wh.GRAVITY / true + dice.normal(0, 2e-4, 5), resolution=1e-5)
        inside += spring.low <= true <= spring.high
    assert inside / 2000 == pytest.approx(0.9, abs=0.02)


def test_shift_and_tilt_are_told_apart():
    z = np.repeat([30.0, 120.0], 4)
    mass = np.tile([0.0, 2, 4, 6], 2)
    bar = z**3 / (3 * 205e3 * np.pi * 30**4 / 64)
    reading = mass * wh.GRAVITY * (1 / 25e3 + z**2 / 1.2e8 + bar) + np.repeat([0.01, 0.5], 4)
    both = wh.spindle_from_weights(mass, reading, z, 30.0)
    assert both.shift.value == pytest.approx(25e3)
    assert both.tilt.value == pytest.approx(1.2e8)


def test_measured_springs_are_saved_and_used(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path))
    before = bend_page.BENDING.answer(mine=True, hold="chuck and centre")
    assert before.result.measured == ()
    said = own_lathe.save_own("tailstock and centre", own_lathe.EXAMPLE, 30.0)
    assert "Saved" in said
    record = shop.latest("support", name="tailstock and centre")
    assert record["stiffness_low"] < record["stiffness"] < record["stiffness_high"]
    after = bend_page.BENDING.answer(mine=True, hold="chuck and centre")
    assert after.result.measured == ("centre_stiffness",)
    assert after.result.far.high - after.result.far.low < before.result.far.high - before.result.far.low
    assert bend_page.BENDING.answer(hold="chuck and centre").result.far == before.result.far


# ---- bad input ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["outside", "bore", "width", "modulus", "jaws", "pad_half_angle", "poisson"])
@pytest.mark.parametrize("bad", [-1, np.nan, "wide", None])
def test_rings_refuse_nonsense(name, bad):
    with pytest.raises(Refused, match=r"\w{3}.*\."):
        wh.ring_lobing(**{name: bad})


@pytest.mark.parametrize(
    "ring, says",
    [
        ({"bore": 62}, "leaves no wall"),
        ({"bore": 1}, "solid"),
        ({"jaws": 2.5}, "whole number"),
        ({"pad_half_angle": 60}, "overlap"),
        ({"jaws": 1}, "between"),
        ({"load": np.inf}, "finite"),
    ],
)
def test_rings_say_what_is_wrong(ring, says):
    with pytest.raises(Refused, match=says):
        wh.ring_lobing(**ring)


@pytest.mark.parametrize(
    "change, says",
    [
        ({"hold": "glue"}, "held by one of"),
        ({"segments": []}, "list of"),
        ({"segments": [(60, 0)]}, "above zero"),
        ({"position": 70}, "beyond the end"),
        ({"position": -1}, "zero or more"),
        ({"modulus": "soft"}, "number"),
        ({"infeed": 0}, "infeed"),
        ({"infeed": np.nan}, "infeed"),
        ({"steady_at": 99}, "steady rest"),
        ({"spindle_stiffness": 0}, "spindle"),
        ({"force": "much"}, "thrust"),
        ({"material": "cheese"}, "cheese"),
        ({"modulus": 1e-3}, "deflects so much"),
        ({"poisson": 0.9}, "Poisson"),
    ],
)
def test_shafts_say_what_is_wrong(change, says):
    with pytest.raises(Refused, match="(?i)" + says):
        wh.turned_error(**{"segments": [(60, 20)], **change})


@pytest.mark.parametrize(
    "mass, reading, says",
    [
        ([1, 2], [1, 2], "three readings"),
        ([2, 2, 2], [1, 2, 3], "same"),
        ([1, 2, 3], [3, 2, 1], "sign"),
        ([1, 2, np.nan], [1, 2, 3], "mass"),
        ([1, 2, 3], [1, 2, "x"], "number"),
        ([1, 2, 3], [1, 2, np.inf], "finite"),
    ],
)
def test_weights_say_what_is_wrong(mass, reading, says):
    with pytest.raises(Refused, match="(?i)" + says):
        wh.stiffness_from_weights(mass, reading)


def test_two_distances_are_needed_for_two_springs():
    with pytest.raises(Refused, match="two or more distances"):
        wh.spindle_from_weights([0, 1, 2, 3, 4], [0, 1, 2, 3, 4], [30] * 5, 30)
    with pytest.raises(Refused, match="negative stiffness"):
        wh.spindle_from_weights([0, 2, 4, 0, 2, 4], [0, 1e-3, 2e-3, 0, 1e-3, 2e-3], [30, 30, 30, 120, 120, 120], 30)


@pytest.mark.parametrize(
    "call",
    [
        lambda: wh.hand_force("brutally"),
        lambda: wh.drive_ranges(surface="oily"),
        lambda: wh.drive_ranges(jaw="toothed"),
        lambda: wh.jaws("five jaws"),
        lambda: wh.marking_load("cheese", 10, 10),
        lambda: wh.deepest_cut(-1, 0.01),
        lambda: wh.deepest_cut(1e-4, 0),
        lambda: wh.deepest_cut("soft", 0.01),
    ],
)
def test_the_rest_refuses_in_a_sentence(call):
    with pytest.raises(Refused, match=r"\.$"):
        call()


# ---- pages -------------------------------------------------------------------------------------------


def test_the_ring_page_opens_on_the_clubs_bearing_ring():
    answer = ring_page.RING.answer()
    assert (answer.result.outside, answer.result.bore) == (62, 42)
    assert answer.result.verdict == spread.FAILS
    assert answer.result.headline == "No, the bore is out of round"
    assert "six jaws" in answer.words
    for title in ("loose", "clamped", "bored true", "released", "exaggerated ×"):
        assert title in answer.svg


def test_backing_off_keeps_the_bore_round():
    """The page's own advice, followed, brings the page's own verdict up."""
    answer = ring_page.RING.answer(push=1500, depth=0.1)
    found = re.search(r"Back off to about (\d+) N", answer.words)
    assert found, answer.words
    eased = ring_page.RING.answer(push=float(found[1]), depth=0.1)
    assert answer.result.verdict == spread.FAILS
    assert eased.result.verdict == spread.HOLDS
    assert eased.result.headline == "Yes, round and securely held"


def test_too_light_a_push_may_slip():
    answer = ring_page.RING.answer(push=40, tolerance=0.05)
    assert answer.result.headline == "No, the work may slip"
    assert "Tighten the jaws" in answer.words


def test_air_keeps_the_push_and_a_scroll_does_not():
    thin = {"wall": 2.0, "stock": 6.0}
    assert ring_page.RING.answer(chuck="air or oil", **thin).result.kept == pytest.approx(1, abs=1e-6)
    assert ring_page.RING.answer(chuck="scroll", **thin).result.kept < 0.8


def test_ways_to_hold_are_ranked_as_the_trade_knows():
    r = ways_to_hold.WAYS.answer(wall=4.0).result
    lobes = dict(zip(r.names, r.lobes, strict=True))
    assert lobes["six jaws"].value < lobes["three jaws"].value / 5
    assert lobes["three pie jaws"].value < lobes["three jaws"].value / 3
    assert lobes["collet of the right size"].value == lobes["clamped on its faces"].value == 0
    assert "three jaws" in ways_to_hold.WAYS.answer(wall=0.6, depth=1.0).result.crushed


def test_the_free_end_comes_out_big_and_a_centre_mends_it():
    free = bend_page.BENDING.answer(length=120.0)
    centre = bend_page.BENDING.answer(length=120.0, hold="chuck and centre")
    assert "a taper, larger away from the jaws" in free.words
    assert "Bring up a tailstock centre" in free.words
    assert centre.result.worst.value < free.result.worst.value / 3


def test_long_thin_work_between_centres_is_a_barrel():
    answer = bend_page.BENDING.answer(hold="between centres", length=250.0, share=0.0, diameter=10.0)
    assert "a barrel" in answer.words


def test_the_light_cut_the_page_names_holds():
    answer = bend_page.BENDING.answer(length=120.0)
    light = bend_page.BENDING.answer(length=120.0, infeed=answer.result.light)
    assert answer.result.verdict != spread.HOLDS
    assert light.result.verdict == spread.HOLDS


def test_own_lathe_page_reads_columns_and_decimal_commas():
    plain = own_lathe.OWN_LATHE.answer(readings="0 0\n2 2\n4 4,1\n6 5,9").result
    assert plain.spring.value == pytest.approx(wh.stiffness_from_weights([0, 2, 4, 6], [0, 2e-3, 4.1e-3, 5.9e-3]).value)
    both = own_lathe.OWN_LATHE.answer(
        support="spindle and chuck", readings="0 0 30\n3 1.3 30\n6 2.7 30\n0;0;120\n3;7.2;120\n6;14,1;120"
    )
    assert both.result.tilt.value > 1e7
    assert "kN m/rad" in both.words


@pytest.mark.parametrize(
    "readings, says",
    [
        ("", "No readings"),
        ("1 2\n3", "needs"),
        ("1 a\n2 3\n3 4", "not a number"),
        ("1 1\n2 2 9", "columns"),
        ("1 1 5\n2 2 5\n3 3 5", "only for spindle"),
        ("0 0\n1 9000\n2 18000", "5000"),
        ("0 0\n-1 2\n2 3", "mass"),
    ],
)
def test_own_lathe_page_says_what_is_wrong(readings, says):
    with pytest.raises(Refused, match="(?i)" + says):
        own_lathe.OWN_LATHE.answer(readings=readings)


@pytest.mark.parametrize("page", [ring_page.RING, ways_to_hold.WAYS, bend_page.BENDING, own_lathe.OWN_LATHE])
@pytest.mark.parametrize("say", [Say(), Say(inch=True)])
def test_pages_say_their_numbers_in_the_readers_unit(page, say):
    answer = page.answer(say)
    assert ("thou" in answer.words) == say.inch
    assert "nan" not in answer.svg and "nan" not in answer.words


def test_identical_readings_are_only_as_good_as_the_indicator():
    mass = np.array([0.0, 1.0, 2.0, 3.0])
    spring = wh.stiffness_from_weights(mass, mass * 9.80665 / 2e4)
    assert spring.value == pytest.approx(2e4) and spring.low < 0.99 * spring.value < spring.value < spring.high


@pytest.mark.parametrize("segments", [[(40.0, 18.0, 18.0)], [(40.0, 18.0, -1.0)], [(40.0,)], [(1.0, 2.0, 0.5, 3.0)]])
def test_a_tube_that_cannot_be_is_refused(segments):
    with pytest.raises(Refused):
        wh.work_compliance(1.0, segments)


# ---- exercises ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["thinner", "which_grip"])
def test_no_exercise_bends_its_ring_for_good(name):
    """The rings that are drawn for learners spring back: the wall's stress, or the jaws' force, stays below yield."""
    for word in range(120):
        task = pose(next(e for e in chapter("05_workholding").exercises if e.name.endswith(name)), f"word {word}")
        if name == "thinner":
            thin = task.steps[1].numbers
            assert wh.wall_stress(thin["load"], thin["radius"], 3, thin["width"], thin["wall"]) < 300
        else:
            outside, wall, width, load = (float(n) for n in re.search(
                r"Ø([\d.]+) mm has a ([\d.]+) mm wall and is ([\d.]+) mm wide.*at (\d+) N each", task.asks).groups())
            assert load < wh.yield_load(240, outside, outside - 2 * wall, width, 3, 6)
