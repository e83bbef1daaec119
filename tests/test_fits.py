"""Limits and fits: reading codes, seats, feel, aims, matching, inches, press fits; what is refused and how."""

import math
from itertools import pairwise

import numpy as np
import pytest

from springpass import fits, heat
from springpass.core.quantity import Refused, Say
from springpass.fits import fit_target, pressing
from springpass.teaching.exercises import chapter
from springpass.teaching.practice import pose


def test_codes_are_read_as_people_type_them():
    wanted = fits.limits(20, "H7")
    for typed in ("H7", " H7 ", "H 7", "H-7", "Ｈ７"):
        assert fits.limits(20, typed) == wanted
    assert fits.limits(20, "Js7").code == "JS7" and fits.limits(20, "js 6").code == "js6"
    assert fits.limits("0.5 inch", "H7").upper == fits.limits(12.7, "H7").upper == 0.018
    assert fits.limits('1/2"', "H7").size == 12.7 and fits.limits("12,5", "H7").size == 12.5


def test_fits_are_read_as_people_type_them():
    wanted = fits.fit(20, "H7/g6")
    for typed in ("H7/g6", "H7 g6", " H 7 / g 6", "H7-g6", "H7g6", "g6/H7", "g6 H7"):
        found = fits.fit(20, typed)
        assert (
            (found.least_clearance, found.most_clearance)
            == (wanted.least_clearance, wanted.most_clearance)
            == (0.007, 0.041)
        )
        assert found.hole.code == "H7" and found.shaft.code == "g6"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("h7/g6", "Did you mean H7/g6"),
        ("H7/G6", "Did you mean H7/g6"),
        ("H7", "H7/g6"),
        ("", "H7/g6"),
        ("Q7/h6", "letter"),
        ("H7/h19", "grade"),
        ("H7/g6/f5", "not a fit"),
        (None, "not a fit"),
        (7, "not a fit"),
    ],
)
def test_wrong_fits_get_a_sentence(text, says):
    with pytest.raises(Refused, match=says):
        fits.fit(20, text)


@pytest.mark.parametrize(
    ("size", "code", "says"),
    [
        (0, "H7", "between"),
        (-5, "H7", "between"),
        (500.1, "H7", "between"),
        (math.nan, "H7", "between"),
        (math.inf, "H7", "between"),
        ("twelve", "H7", "not a number"),
        ("", "H7", "(?i)nothing was typed"),
        ("1,234.5", "H7", "too many commas"),
        (20, "Q7", "letter"),
        (20, "I7", "letter"),
        (20, "H0", "grade"),
        (20, "H99", "grade"),
        (20, "seven", "class"),
        (20, "", "class"),
        (20, None, "class"),
        (20, "J5", "grades 6 to 8"),
        (20, "j4", "grades 5 to 7"),
        (20, "j8", "up to 3 mm"),
        (50, "K9", "up to 3 mm"),
        (0.5, "a11", "over 1"),
        (20, "t6", "over 24"),
        (20, "cd7", "up to 10 mm"),
        (1, "N9", "over 1"),
        (1, "H14", "over 1"),
        ([20, 600], "H7", "between"),
        ("20 kg", "H7", "kg"),
    ],
)
def test_wrong_classes_get_a_sentence(size, code, says):
    with pytest.raises(Refused, match=says):
        fits.limits(size, code)


def test_grade_refuses():
    with pytest.raises(Refused, match="grade 0"):
        fits.grade(20, 0)


def test_steps_end_where_they_end():
    """A step is over A up to and including B, also where only r and s have one."""
    assert fits.limits(18, "H7").upper == 0.018 and fits.limits(18.001, "H7").upper == 0.021
    assert fits.limits(65, "r6").lower == 0.041 and fits.limits(65.001, "r6").lower == 0.043
    assert fits.limits(80, "S7").upper == -0.048 and fits.limits(80.001, "S7").upper == -0.058   # -59+11, -71+13
    assert fits.limits(10, "H7").upper == 0.015 and fits.limits(np.nextafter(10, 11), "H7").upper == 0.018
    found = fits.limits([18, 18.001], "H7")
    assert found.upper.tolist() == [0.018, 0.021] and (found.most - found.size).tolist() == pytest.approx(
        [0.018, 0.021]
    )


def test_j_is_lopsided_and_js_is_not():
    assert (fits.limits(30, "j6").lower, fits.limits(30, "j6").upper) == (-0.004, 0.009)
    assert (fits.limits(30, "js6").lower, fits.limits(30, "js6").upper) == (-0.0065, 0.0065)


def test_not_the_mirror():
    """20 P7 is -14/-35, 8 µm above the mirror of p7 (+22/+43)."""
    assert (fits.limits(20, "P7").lower, fits.limits(20, "P7").upper) == (-0.035, -0.014)
    assert (fits.limits(20, "p7").lower, fits.limits(20, "p7").upper) == (0.022, 0.043)


def test_kinds():
    assert [fits.fit(20, code).kind for code in ("H7/g6", "H7/h6", "H7/k6", "H7/p6")] == [
        "clearance",
        "clearance",
        "transition",
        "interference",
    ]


def test_no_minus_zero_and_no_dust():
    zone = fits.limits(20, "H7")
    assert math.copysign(1, zone.lower) == 1 and math.copysign(1, fits.limits(20, "h6").upper) == 1
    assert repr(fits.fit(30, "H7/k6").least_clearance) == "-0.015"


def test_grades_and_letters_rise():
    """Finer grades are narrower, larger sizes wider, and each letter lies beyond the one before."""
    sizes = np.array(fits.FINE_STEPS, float)
    widths = np.array([fits.grade(sizes, g) for g in fits.GRADES])
    assert (np.diff(widths, axis=0) > 0).all() and (np.diff(widths, axis=1) >= 0).all()
    middles = [fits.limits(sizes, f"{letter}6").lower for letter in "cdefghkmnprsux"]
    assert (np.diff(np.array(middles), axis=0) > 0).all()


# ---- bearings

def test_bearings_refuse():
    with pytest.raises(Refused, match="Normal, P6 or P5"):
        fits.bearing_bore(20, "P4")
    with pytest.raises(Refused, match="larger than its bore"):
        fits.seat(47, 20)
    with pytest.raises(Refused, match="inner"):
        fits.seat(20, 47, "both")
    with pytest.raises(Refused, match="light, normal or heavy"):
        fits.seat(20, 47, load="huge")
    with pytest.raises(Refused, match="small letter"):
        fits.seat(20, 47, shaft="H7")
    with pytest.raises(Refused, match="outside the table"):
        fits.seat(300, 400)


def test_a_bearing_on_h6_is_a_transition_and_on_k5_an_interference():
    on_h6, on_k5 = fits.seat(20, 47, shaft="h6"), fits.seat(20, 47, shaft="k5")
    assert on_h6.on_shaft[0] < 0 < on_h6.on_shaft[1] and on_k5.on_shaft[1] < 0


def test_bearing_tables_take_arrays():
    found = fits.bearing_bore([18, 18.001, 80])
    assert found.lower.tolist() == [-0.008, -0.01, -0.015] and found.upper.tolist() == [0, 0, 0]


# ---- feel and aim

def test_feel_runs_from_shake_to_shrink():
    named = [f.name for f in fit_target.feels(20)]
    assert named == ["shake", "run", "slide", "drag", "tap", "press", "shrink"]
    for looser, tighter in pairwise(fit_target.feels(20)):
        assert looser.least == tighter.most
    assert [fit_target.feel(20, c).name for c in (0.08, 0.03, 0.012, 0.003, -0.005, -0.02, -0.06)] == named


def test_feel_agrees_with_what_fits_are_for():
    """Middle of each usual fit on 12 to 60 mm: H7/h6 slides, H8/f7 runs, H7/k6 is tapped or dragged, H7/p6 and H7/s6
    need a press.
    """
    for size in (12, 20, 40, 60):
        def middle(code, size=size):
            pair = fits.fit(size, code)
            return fit_target.feel(size, (pair.least_clearance + pair.most_clearance) / 2).name
        assert middle("H7/h6") == "slide" and middle("H8/f7") == "run"
        assert (
            middle("H7/k6") in ("drag", "tap") and middle("H7/p6") == "press" and middle("H7/s6") in ("press", "shrink")
        )


def test_odds_by_hand():
    """±10 µm nineteen times in twenty is a deviation of 5; a window of ±5 about the aim then holds 68.27 in a hundred.
    """
    assert fit_target.odds(0.012, 0.007, 0.017, 0.010) == pytest.approx(0.682689, abs=1e-6)
    assert fit_target.odds(0.017, 0.007, 0.017, 0.010) == pytest.approx(0.5 - 0.0227501, abs=1e-6)   # aimed at the edge
    assert fit_target.odds([0.012, 0.017], 0.007, 0.017, 0.010).shape == (2,)
    assert fit_target.odds(0.012, 0.007, 0.017, 0.006, 0.008) == pytest.approx(0.682689, abs=1e-6)   # 6 and 8 make 10


def test_one_try_aims_at_the_middle_and_more_tries_creep_up():
    aims = [fit_target.best_aim(0.006, 0.022, 0.020, tries=n) for n in (1, 2, 3, 4)]
    assert aims[0].clearance == pytest.approx(0.014)
    assert all(b.clearance < a.clearance and b.odds > a.odds for a, b in pairwise(aims))
    assert all(abs(fit_target.odds(a.clearance, 0.006, 0.022, 0.020) + a.too_loose + a.again - 1) < 1e-12 for a in aims)


def test_a_steady_hand_needs_one_try():
    assert fit_target.best_aim(0.006, 0.022, 0.004).odds > 0.9999


@pytest.mark.parametrize(
    "call",
    [
        lambda: fit_target.odds(0.01, 0.02, 0.01, 0.01),
        lambda: fit_target.odds(0.01, 0, 0.02, 0),
        lambda: fit_target.odds(0.01, 0, 0.02, math.nan),
        lambda: fit_target.best_aim(0, 0.02, 0.01, tries=0),
        lambda: fit_target.best_aim(0, 0.02, 0.01, tries=1.5),
        lambda: fit_target.feel(20, math.nan),
        lambda: fit_target.wanted(20, "snug"),
        lambda: fit_target.wanted(20, "H7"),
        lambda: fit_target.match(20, "slide", "hole"),
        lambda: fit_target.match(20, (0.001, 0.003), doubt=0.002),
        lambda: fit_target.match(20, "slide", doubt=-1),
        lambda: fits.inch(20, 20.0001, 3),
        lambda: fits.inch(21, 20),
        lambda: fits.inch(20, 21, 9),
    ],
)
def test_aims_refuse_nonsense(call):
    with pytest.raises(Refused) as refusal:
        call()
    assert len(str(refusal.value)) > 20 and str(refusal.value).endswith(".")


def test_match_makes_the_second_to_the_first():
    """A pin that measured 11.990 ± 0.002 wants 7 to 24 µm: bore 11.999 to 12.012."""
    bore = fit_target.match(11.990, (0.007, 0.024), "bore", 0.002)
    assert (bore.lower, bore.upper) == pytest.approx((11.999, 12.012))
    pin = fit_target.match(12.005, (0.007, 0.024), "pin", 0.002)
    assert (pin.lower, pin.upper) == pytest.approx((11.983, 11.996))
    for true in (11.988, 11.992):   # whichever it really is, the clearance is as wanted
        assert bore.lower - true > 0.007 - 1e-9
        assert bore.upper - true < 0.024 + 1e-9
    assert fit_target.match(11.990, "H7/g6").upper == pytest.approx(11.990 + 0.035 - 0.002)


def test_inches_never_widen():
    """20 H7 is 0.787402 to 0.788228 inch: with four places 0.7875 to 0.7882."""
    found = fits.inch(20, 20.021)
    assert (found.least, found.most, found.nearest) == (0.7875, 0.7882, 0.7878)
    dice = np.random.default_rng(3)
    for low, width in zip(dice.uniform(1, 400, 300), dice.uniform(0.006, 0.2, 300), strict=True):
        size = fits.inch(round(low, 4), round(low + width, 4), 4)
        assert size.least * 25.4 >= round(low, 4) - 1e-9 and size.most * 25.4 <= round(low + width, 4) + 1e-9
        assert size.least <= size.nearest <= size.most
        assert size.least * 25.4 - round(low, 4) < 0.00254 + 1e-9   # and no narrower than one place costs
    assert fits.inch(25.4, 25.4).nearest == 1.0   # exact where it is exact


# ---- press and shrink

def test_press_fit_by_hand():
    """Ø20 solid pin in a Ø40 ring, same steel (E 205 GPa), 30 µm: p = E I/d · (D²-d²)/2D² = 205000·0.0015·0.375 = 115.3
    MPa.
    """
    found = pressing.joint(0.030, 20, 40, 20, friction=0.12)
    assert found.pressure == pytest.approx(115.3125)
    assert found.force == pytest.approx(np.pi * 0.12 * 115.3125 * 20 * 20) and found.torque == pytest.approx(
        found.force * 10
    )
    assert found.hub_stress == pytest.approx(115.3125 * (1600 + 400) / (1600 - 400))       # 5/3
    assert found.hub_effort == pytest.approx(115.3125 * np.sqrt(3 * 2.56e6 + 1.6e5) / 1200)  # 7/3
    assert found.outside_growth == pytest.approx(
        2 * 115.3125 * 400 * 40 / (205e3 * 1200)
    )  # 15 µm: half the interference
    assert found.bore_closing == 0


def test_press_fit_against_course_formulas():
    """Same material, solid shaft: δ = p d/E · 2D²/(D²-d²) (lecture notes on thick cylinders); Ø60 in Ø100, E 210 GPa,
    30 µm: 33.6 MPa.
    """
    assert pressing.joint(0.030, 60, 100, 10, 210e3, 210e3, 0.292, 0.292).pressure == pytest.approx(33.6)


def test_two_materials_by_hand():
    """Steel pin in an aluminium ring, d/D = 1/2: gives are (5/3 + 0.33)/70000 and (1 - 0.29)/205000 per MPa."""
    give = (5 / 3 + 0.33) / 70e3 + (1 - 0.29) / 205e3
    assert pressing.joint(0.030, 20, 40, 20, 70e3, 205e3, 0.33, 0.29).pressure == pytest.approx(0.0015 / give)


def test_press_fit_limits():
    """A huge hub is the textbook's infinite plate: p = E I/2d; a thin one pulls like a hoop: σ = E I/d."""
    assert pressing.joint(0.02, 20, 20000, 20).pressure == pytest.approx(205e3 * 0.02 / 40, rel=1e-5)
    assert pressing.joint(0.02, 20, 20.02, 20).hub_stress == pytest.approx(205e3 * 0.02 / 20, rel=3e-3)


def test_peaks_are_lost_first():
    """Rz 5 and 2.5 µm take 0.8 · 7.5 = 6 µm off."""
    assert pressing.joint(0.030, 20, 40, 20, hub_peaks=0.005, shaft_peaks=0.0025).interference == pytest.approx(0.024)
    assert pressing.joint(0.004, 20, 40, 20, hub_peaks=0.005, shaft_peaks=0.0025).force == 0
    assert pressing.joint(-0.004, 20, 40, 20).pressure == 0


def test_joining_temperature_grows_the_bore_as_heat_says():
    """heat.growth of the bore at the joining temperature is the interference and the ease together."""
    found = pressing.joint(0.030, 20, 40, 20, hub_expansion=11.7e-6, ease=0.02)
    assert heat.growth(20, 11.7e-6, found.rise) == pytest.approx(0.050)
    assert found.rise == pytest.approx(213.7, abs=0.05)


def test_a_bush_closes_when_pressed_home():
    """The club's bronze bush, Ø18 x Ø12, 25 µm in steel: the bore closes by more than half of an H7 tolerance."""
    found = pressing.joint(0.025, 18, 40, 20, 207e3, 105e3, 0.3, 0.34, 12)
    assert 0.009 < found.bore_closing < 0.025


@pytest.mark.parametrize(
    "wrong",
    [
        dict(hub_outside=20),
        dict(hub_outside=10),
        dict(shaft_bore=20),
        dict(fit_diameter=0),
        dict(length=-1),
        dict(interference=math.nan),
        dict(friction=-0.1),
        dict(hub_modulus=0),
        dict(hub_outside=math.inf),
        dict(ease=math.nan),
        dict(length="long"),
    ],
)
def test_joint_refuses(wrong):
    with pytest.raises(Refused):
        pressing.joint(**(dict(interference=0.03, fit_diameter=20, hub_outside=40, length=20) | wrong))


def test_why_formulas_by_hand():
    """18 to 30 mm: D = √540 = 23.24, i = 0.45·2.8538 + 0.0232 = 1.3074 µm; IT7 = 16 i = 20.92 (prints 21); g = 2.5
    D^0.34 = 7.29 (prints 7).
    """
    mean = fits.step_mean(20)
    assert mean == pytest.approx(math.sqrt(540))
    assert fits.tolerance_unit(mean) == pytest.approx(1.3074e-3, abs=5e-8)
    assert fits.grade_width(mean, 16) == pytest.approx(20.918e-3, abs=1e-6)
    assert fits.zone_shift(mean, 2.5, 0.34) == pytest.approx(7.29e-3, abs=5e-6)


# ---- pages

def test_zones_page_reads_what_is_typed():
    from springpass.pages.fits import ZONES

    assert ZONES.answer(typed="g6 / H7").words == ZONES.answer().words
    assert "M7" in ZONES.answer(typed="M7/h6").words and "20.000 to 20.021 mm" in ZONES.answer().words
    with pytest.raises(Refused, match="Did you mean H7/g6"):
        ZONES.answer(typed="h7/g6")


def test_zones_page_rounds_inches_inwards():
    from springpass.pages.fits import ZONES

    assert "0.7875 to 0.7882 inch" in ZONES.answer(Say(True)).words   # 20 H7 is 0.78740 to 0.78823
    assert "hole 0.7875 to 0.7882, aim 0.7878 inch" in ZONES.answer().more


def test_aim_page_says_where_and_how_sure():
    """Bore 12.008, wish slide (5.2 to 18.8 µm): aim 12 µm under it, 11.996; the odds fall with the spread and rise with
    the cuts.
    """
    from springpass.pages.fits import AIM

    answer = AIM.answer()
    assert "Aim the pin at 11.996 mm, 12 µm under the bore" in answer.words and "90 % range" in answer.words
    odds = [AIM.answer(spread=x).result.chance.value for x in (0.005, 0.01, 0.02, 0.04)]
    assert all(b < a for a, b in pairwise(odds))
    assert AIM.answer(tries=3).result.chance.value > answer.result.chance.value
    assert AIM.answer(making="bore", off=-0.010).result.aim_size == pytest.approx(11.990 + 0.012)


def test_aim_pages_feel_names_are_all_known():
    from springpass.pages.fits import AIM, WISHES

    for wish in WISHES:
        assert AIM.answer(wish=wish).result.least < AIM.answer(wish=wish).result.most


def test_seat_page_warns_of_a_loose_ring_that_turns():
    from springpass.pages.fits import SEAT, TABLE

    assert "Careful" in SEAT.answer(shaft="g6").words and "always tight" in SEAT.answer(shaft="k5").words
    assert "Careful" in SEAT.answer(case="housing", housing="H7").words
    assert "always tight" not in SEAT.answer(shaft=TABLE, load="light").words
    assert SEAT.answer(own="30x55x13").result.outside == 55
    for wrong in ("thirty", "30", "30x", "55x30"):
        with pytest.raises(Refused):
            SEAT.answer(own=wrong)


def test_cold_aluminium_grips_the_outer_ring():
    """Ø42 from 20 to -10 °C: aluminium shrinks 42·(23.4-12)·30 = 14.4 µm more than the bearing."""
    from springpass.pages.fits import SEAT

    warm, cold = SEAT.answer().result, SEAT.answer(temperature=-10).result
    assert warm.warm.value - cold.warm.value == pytest.approx(0.0144, abs=0.001)


def test_press_page_says_what_happens_to_the_bush():
    from springpass.pages.pressing import PRESS

    answer = PRESS.answer()
    assert answer.result.bore == 12 and "ream it after pressing" in answer.words
    assert "hardly grip" in PRESS.answer(interference=0.002).words
    assert PRESS.answer(inner_wall=9).result.bore == 0 and "bore closes" not in PRESS.answer(inner_wall=9).words
    assert PRESS.answer(interference=0.15, inner_wall=1.0).result.verdict == "will not hold"


def test_stress_through_the_wall():
    """Radial stress is minus the pressure at the joint and zero at both bare walls; hoop at the outer bore is
    hub_stress.
    """
    hoop, radial = pressing.stresses(np.array([5.0, 9.9999999, 10.0, 20.0]), 60.0, 20, 40, 10)
    assert radial == pytest.approx([0, -60, -60, 0], abs=1e-4)
    assert hoop[2] == pytest.approx(float(pressing.hub_stress(60, 20, 40))) and hoop[0] == pytest.approx(
        -float(pressing.shaft_effort(60, 20, 10))
    )
    assert pressing.stresses(0.0, 60.0, 20, 40)[0] == -60
    with pytest.raises(Refused):
        pressing.stresses(1.0, 60.0, 40, 20)


@pytest.mark.parametrize("name", ["closes", "pressure"])
def test_no_exercise_yields_its_joint(name):
    """The joints that are drawn for learners stay elastic: Lamé's hoop stress stays below the yield strength."""
    exercise = next(e for e in chapter("06_fits").exercises if e.name.endswith(name))
    for word in range(120):
        task = pose(exercise, f"word {word}")
        given = task.steps[0].numbers
        if name == "closes":
            assert 2 * given["pressure"] / (1 - (given["shaft_bore"] / given["fit_diameter"]) ** 2) < 250
        else:
            outside, across = given["hub_outside"] ** 2, given["fit_diameter"] ** 2
            assert task.answer * (outside + across) / (outside - across) < 300
