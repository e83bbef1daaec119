"""Values worked with pencil and paper; the working stands in each docstring or beside the number. Basis: computed."""

import importlib
import math

import numpy as np
import pytest

from outside import agrees, source
from springpass import boring_bar, cutting, drilling, heat, reaming, stops
from springpass.bore_stress import (
    axial_stress,
    even_release,
    hoop_stress,
    length_after_boring,
    length_strain,
    mean_axial_stress,
    outside_after_boring,
    radial_shift,
    radial_stress,
    wall_release,
)
from springpass.bore_stress.readings import (
    opened_diameter,
    sachs_axial,
    sachs_hoop,
    sachs_radial,
    slit_ring_stress,
)
from springpass.boring_bar import bending as bar_bending
from springpass.boring_bar import holder as bar_holder
from springpass.boring_bar.vibration import limit_of_stability
from springpass.core.formula import solve_for


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_bored_to_half_the_diameter():
    """Ø20, S = 300, T = 200, m = n = 2, bored to Ø10, ν = 0.30, worked with pencil and paper.

    radial stress at r = 5: -(200/2)(1 - 1/4) = -75. What is left, 5 to 10, has mean axial stress
    2 x 300/2 x (0 - 25 x (-3/4))/75 = +75, so cutting adds C = -75. A = -75 x 25/75 = -25,
    B = -75 x 25 x 100/75 = -2500. u at 10: 10/205000 x (0.7 x -25 + 1.3 x -25 + 0.3 x 75) = 10/205000 x -27.5;
    on diameter -2.683 µm. Length: (-75 + 0.6 x 25)/205000 = -292.68 µm/m.
    """
    agrees("radial stress", radial_stress(200.0, 2.0, 5.0, 10.0), -75, rel=1e-6, unit="MPa", of=radial_stress)
    agrees("mean axial stress", mean_axial_stress(300.0, 2.0, 5.0, 10.0, 10.0), 75, rel=1e-6, unit="MPa",
           of=mean_axial_stress)
    agrees("even release", even_release(-75.0, 0.0, 5.0, 10.0), -25, rel=1e-6, unit="MPa", of=even_release)
    agrees("wall release", wall_release(-75.0, 0.0, 5.0, 10.0), -2500, rel=1e-6, unit="N", of=wall_release)
    agrees(
        "radial shift", 2e3 * radial_shift(10.0, -25.0, -2500.0, -75.0, 205e3, 0.3), -2.683, abs=5e-4, of=radial_shift
    )
    agrees("length strain", length_strain(-25.0, -75.0, 205e3, 0.3) * 1e6, -292.68, abs=0.01, of=length_strain)
    agrees("outside after boring", outside_after_boring(200.0, 300.0, 0.25, 205e3, 0.3) * 20e3, -2.683, abs=5e-4,
           of=outside_after_boring)
    agrees("length after boring", length_after_boring(300.0, 200.0, 0.25, 205e3, 0.3) * 1e6, -292.68, abs=0.01,
           of=length_after_boring)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_stress_of_the_bar():
    """m = n = 2: axial -300 in the middle, +300 at the skin, zero at 0.7071 R; hoop -100, +200, zero at 0.5774 R.
    """
    agrees("axial stress", axial_stress(300.0, 2.0, np.array([0, np.sqrt(50), 10]), 10.0), [-300, 0, 300], rel=1e-6,
           unit="MPa", of=axial_stress)
    agrees("hoop stress", hoop_stress(200.0, 2.0, np.array([0, 10 / np.sqrt(3), 10]), 10.0), [-100, 0, 200], rel=1e-6,
           unit="MPa", of=hoop_stress)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_sachs_for_the_parabola():
    """m = n = 2 gives straight lines: Λ = -S f/E', Θ = -T f/E'. E = 205000, ν = 0.29: E' = 223824 MPa.

    At f = 1/4 the axial stress was 300 (2/4 - 1) = -150, hoop -100 (1 - 3/4) = -25, radial -100 (3/4) = -75.
    """
    plate = 205e3 / (1 - 0.29**2)
    agrees("plate", plate, 223824, abs=1)
    agrees("sachs axial", sachs_axial(-300 / 223824, -75 / 223824, 0.25, 205e3, 0.29), -150, abs=0.01, unit="MPa",
           of=sachs_axial)
    agrees("sachs hoop", sachs_hoop(-200 / 223824, -50 / 223824, 0.25, 205e3, 0.29), -25, abs=0.01, unit="MPa",
           of=sachs_hoop)
    agrees("sachs radial", sachs_radial(-50 / 223824, 0.25, 205e3, 0.29), -75, abs=0.01, unit="MPa", of=sachs_radial)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_slit_ring():
    """Wall 1, mean Ø19 opening to Ø19.1: E' t (1/19 - 1/19.1) = 223824 x 2.7556e-4 = 61.68 MPa; slit 0.3142 mm wider.
    """
    agrees("slit ring stress", slit_ring_stress(1.0, 19.0, 19.1, 205e3, 0.29), 61.68, abs=0.01, unit="MPa",
           of=slit_ring_stress)
    agrees("opened diameter", opened_diameter(19.0, 0.31416), 19.1, abs=1e-5, unit="mm", of=opened_diameter)


@source("worked by hand", place="in the docstring", basis="hand")
def test_bore_after_the_tip_has_moved():
    """By hand: 2 sqrt(5.99² + 0.05²) − 12 = −19.583 µm: the drop makes the bore larger, in the second order."""
    agrees(
        "bore cut", 1e3 * (bar_bending.bore_cut(12.0, 0.01, 0.05) - 12), -19.582645, abs=1e-6, of=bar_bending.bore_cut
    )


@source("worked by hand", place="in the docstring", basis="hand")
def test_bore_of_a_tip_off_centre():
    """Triangles of 3, 4, 5: set to Ø8 with the tip 3 mm off centre the radius is 5, Ø10; set to Ø3, 2 mm off, Ø5."""
    agrees("bore too large", bar_bending.growth_off_centre(np.array([8.0, 3.0]), np.array([3.0, 2.0])), [2, 2],
           rel=1e-12, unit="mm", of=bar_bending.growth_off_centre)


@source("worked by hand", place="in the docstring", basis="hand")
def test_limit_of_stability():
    """By hand, 2 k ζ (1 + ζ) / K: 2·2000·0.02·1.02 = 81.6, over 1500 gives 0.0544 mm."""
    agrees("", limit_of_stability(2000, 0.02) / 1500, 0.0544, rel=1e-12, of=limit_of_stability)


@source("worked by hand", place="in the docstring", basis="hand")
def test_how_the_trades_ratios_come_out_of_stiffness():
    """By hand: 4·(600/205)^(1/3) = 5.72, 4·(360/205)^(1/3) = 4.83."""
    agrees("equal slenderness", boring_bar.equal_slenderness(4, 205e3, 600e3), 5.721709283, rel=1e-9,
           of=boring_bar.equal_slenderness)
    agrees("equal slenderness", boring_bar.equal_slenderness(4, 205e3, 360e3), 4.825876511, rel=1e-9,
           of=boring_bar.equal_slenderness)
    # 10:1 in steel needs the damping to make good the stiffness: 0.02·(10/4)³
    ratio = boring_bar.stiffness_by_slenderness(205e3, 8, 4) / boring_bar.stiffness_by_slenderness(205e3, 8, 10)
    agrees("ratio", 0.02 * ratio, 0.3125, rel=1e-9, of=boring_bar.stiffness_by_slenderness)


@source("worked by hand", place="f²/(31.18 r); 8 r R under the root", basis="hand")
def test_divisor_of_the_mean_and_the_feed_for_a_mark():
    agrees("mean of feed mark", 0.1**2 / (0.4 * cutting.mean_of_feed_mark(0.1, 0.4)), 31.177, abs=0.001,
           of=cutting.mean_of_feed_mark)
    agrees("feed for mark", cutting.feed_for_mark(0.0063, 0.8), 0.2008, abs=0.0001, unit="mm", of=cutting.feed_for_mark)


# h = (D/2) cot(angle/2), computed
POINTS = [(82, 1, 0.575184, 1e-6), (118, 1, 0.30043, 1e-6), (135, 1, 0.207107, 1e-6), (180, 1, 0.0, 1e-6),
          (118, 10, 3.0043, 1e-4)]


@pytest.mark.parametrize("angle, diameter, height, tolerance", POINTS)
@source("worked by hand", place="D/2 over the tangent of half the angle", basis="hand")
def test_point_height(angle, diameter, height, tolerance):
    agrees("", drilling.point_height(diameter, angle), height, abs=tolerance, of=drilling.point_height)


@source("worked by hand", place="in the docstring", basis="hand")
def test_drilled_depth():
    """8.5 mm at 118°, 20 mm to full diameter: 22.5537 mm to the tip (computed)."""
    agrees("", drilling.drilled_depth(20, 8.5, 118), 22.5537, abs=1e-3, of=drilling.drilled_depth)
    agrees("full depth", drilling.full_depth(22.5537, 8.5, 118), 20, abs=1e-3, of=drilling.full_depth)


@source("worked by hand", place="in the docstring", basis="hand")
def test_room_a_cone_takes():
    """10 mm at 118°: cone π·25·3.0043/3 = 78.65 mm³, corner twice that = 157.31 mm³ (by hand)."""
    agrees("cone volume", drilling.cone_volume(10, 118), 78.653, abs=2e-3, unit="mm³", of=drilling.cone_volume)
    agrees("corner volume", drilling.corner_volume(10, 118), 157.306, abs=4e-3, unit="mm³", of=drilling.corner_volume)


@source("worked by hand", place="in the docstring", basis="hand")
def test_fillet_of_a_nose():
    """(1 − π/4)·0.4² = 0.03434 mm² (by hand)."""
    agrees("fillet", drilling.fillet(0.4), 0.03434, abs=1e-5, unit="mm²", of=drilling.fillet)


@source("worked by hand", place="in the docstring", basis="hand")
def test_wander_and_clean_up_by_hand():
    """0.03 start + 0.0015·32 = 0.078 mm off; a 9.3 mm hole so far off cleans up at 9.456 mm."""
    agrees("wander", drilling.wander(0.03, 0.0015, 32), 0.078, rel=1e-6, unit="mm", of=drilling.wander)
    agrees("smallest clean bore", drilling.smallest_clean_bore(9.3, 0.078), 9.456, rel=1e-6, unit="mm",
           of=drilling.smallest_clean_bore)


@source("worked by hand", place="in the docstring", basis="hand")
def test_copied_share_by_hand():
    """1 µm/N against 250 N/mm: C·K = 0.25, a fifth is left; after two passes a twenty-fifth."""
    agrees("copy share", drilling.copy_share(0.001, 250), 0.2, rel=1e-6, of=drilling.copy_share)
    agrees("offset after", drilling.offset_after(0.1, 0.2, 2), 0.004, rel=1e-6, unit="mm", of=drilling.offset_after)


@source("worked by hand", place="in the docstring", basis="hand")
def test_depth_of_cut_at_the_bottom_by_hand():
    """Bore 10, drill 9, cone 2.7 high: 0.5 mm above the cone, 2.75 half way down, 5 mm at the bottom."""
    agrees("floor depth of cut", drilling.floor_depth_of_cut(3, 10, 9, 2.7), 0.5, rel=1e-6, unit="mm",
           of=drilling.floor_depth_of_cut)
    agrees("floor depth of cut", drilling.floor_depth_of_cut(1.35, 10, 9, 2.7), 2.75, rel=1e-6, unit="mm",
           of=drilling.floor_depth_of_cut)
    agrees("floor depth of cut", drilling.floor_depth_of_cut(0, 10, 9, 2.7), 5, rel=1e-6, unit="mm",
           of=drilling.floor_depth_of_cut)


@source("worked by hand", place="in the docstring", basis="hand")
def test_chips_by_hand():
    """Bore 9 to 9.5 round a 7 mm bar: (90.25 − 81)/(90.25 − 49) = 0.224; with chips 12 times their metal 2.69."""
    agrees("ring volume", drilling.ring_volume(9.5, 9, 32), 232.478, abs=1e-3, unit="mm³", of=drilling.ring_volume)
    agrees("chip fill", drilling.chip_fill(9.5, 9, 7, 12), 2.6909, abs=1e-4, of=drilling.chip_fill)


@source("worked by hand", place="100 mm, 1 K", basis="hand")
def test_a_warm_block_grows():
    # 100 mm, 1 K, 11.5e-6/K: 1.15 µm (arithmetic)
    warm = stops.stack_budget((100.0,), rise=1.0, rise_doubt=0.0)
    agrees("", warm.value - 100, 0.00115, abs=1e-9, of=stops.stack_budget)


@pytest.mark.parametrize("length, expansion, rise, micrometres", [
    (100, 11.7e-6, 1, 1.17),       # low-carbon steel 1020
    (40, 17.2e-6, -3, -2.064),     # stainless 304, colder than 20 °C
    (20, 110e-6, 5, 11.0),         # acetal
])
@source("worked by hand", place="length times expansion times rise", basis="hand")
def test_growth(length, expansion, rise, micrometres):
    agrees("", heat.growth(length, expansion, rise) * 1e3, micrometres, abs=1e-6, of=heat.growth)


@source("worked by hand", place="in the docstring", basis="hand")
def test_aluminium_part_steel_gauge_both_at_26():
    """50 mm of 6061 (23.6e-6) beside steel (11.5e-6): 3.63 µm, by hand 50 (23.6 − 11.5) 6e-6."""
    agrees("reading error", heat.reading_error(50, 23.6e-6, 6, 11.5e-6, 6) * 1e3, 3.63, abs=1e-6, unit="µm",
           of=heat.reading_error)


@source("worked by hand", place="in the docstring", basis="hand")
def test_hot_part_cold_gauge():
    """Check value: 12 mm of 11.7e-6, 8 K warmer than a gauge at 20 °C: 1.1232 µm."""
    agrees("reading error", heat.reading_error(12, 11.7e-6, 8, 11.5e-6, 0) * 1e3, 1.1232, rel=1e-6, unit="µm",
           of=heat.reading_error)


@source("worked by hand", place="in the docstring", basis="hand")
def test_reading_wanted_is_turned_round():
    """By hand: 42 mm aluminium at 30 °C, gauge at 22 °C: 42 + 42 (23.4·10 − 11.5·2)e-6 = 42.008862."""
    wanted = heat.reading_wanted(42, 23.4e-6, 10, 11.5e-6, 2)
    agrees("wanted", wanted, 42.008862, abs=1e-9, of=heat.reading_wanted)
    agrees(
        "solve for",
        solve_for(
            "part_rise",
            heat.reading_wanted,
            42.008862,
            size=42,
            part_expansion=23.4e-6,
            gauge_expansion=11.5e-6,
            gauge_rise=2,
        ),
        10,
        abs=1e-6,
        of=solve_for,
    )


@source("worked by hand", place="in the docstring", basis="hand")
def test_clearance_by_hand():
    """42 mm, hole of aluminium 23.4e-6, bearing of steel 12e-6, from 20 to −15 °C: 42·11.4e-6·35 = 16.758 µm less."""
    agrees("clearance at", heat.clearance_at(0.02, 42, 23.4e-6, 12e-6, -35) * 1e3, 20 - 16.758, abs=1e-9, unit="µm",
           of=heat.clearance_at)


@source("worked by hand", place="in the docstring", basis="hand")
def test_warming_by_hand():
    """12 µm interference and 15 µm of play on 42 mm of 23.4e-6: 0.027/(42·23.4e-6) = 27.47 K."""
    agrees("warming needed", heat.warming_needed(0.012, 0.015, 42, 23.4e-6), 27.473, abs=1e-3, unit="K",
           of=heat.warming_needed)


@source("worked by hand", place="in the docstring", basis="hand")
def test_rise_of_one_pass_by_hand():
    """47.44 % of 2745 MPa over 276.9 mm³ into 4524 mm³ of steel: 0.4744·2745·276.9/(7.85e-3·470·4524·1e-3)... = 21.6 K.
    """
    agrees(
        "pass rise", heat.pass_rise(0.4744, 2745, 276.9, 7850, 470, 4523.9), 21.6, abs=0.05, unit="K", of=heat.pass_rise
    )


@source("worked by hand", place="in the docstring", basis="hand")
def test_kept_while_cutting_by_hand():
    """A pass as long as the time constant: 1 − 1/e = 63 % is still there; a very short one keeps all."""
    agrees("kept while cutting", heat.kept_while_cutting(300.0, 300.0), 0.632121, abs=1e-6, of=heat.kept_while_cutting)
    agrees("kept while cutting", heat.kept_while_cutting(0.3, 300.0), 1.0, abs=1e-3, of=heat.kept_while_cutting)


@source("worked by hand", place="in the docstring", basis="hand")
def test_the_two_families_cross_at_thirty_degrees():
    """beta = 30 degrees, ratio 0.134 = 1 - cos 30 (by hand: both have the same angle there)."""
    friction = math.tan(math.radians(30))
    both = 1 - math.cos(math.radians(30))
    agrees("minimum chip thickness", reaming.least_chip(1, friction), both, rel=1e-12, unit="mm", of=reaming.least_chip)
    agrees("minimum chip thickness stagnation", reaming.least_chip_stagnation(1, friction), both, rel=1e-12, unit="mm",
           of=reaming.least_chip_stagnation)
    agrees("both", both, 0.134, abs=5e-4)
    agrees("minimum chip thickness", reaming.least_chip(1, 0.0), 0.293, abs=5e-4, unit="mm", of=reaming.least_chip)
    agrees("minimum chip thickness", reaming.least_chip(1, 0.5), 0.149, abs=5e-4, unit="mm", of=reaming.least_chip)


@source("worked by hand", place="6 mm of brass, 30 K", basis="hand")
def test_a_warm_brass_hole():
    """6 mm brass, 30 K warm, 20.5e-6 /K: 3.7 µm smaller when cold (by hand 3.69)."""
    from springpass.heat import length_change

    agrees("length change", length_change(6, 20.5e-6, 30), 0.0037, abs=2e-5, unit="mm", of=length_change)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_room_in_the_bore():
    """Ø10, tip 1 mm high: √(1 − 0.2²) = 0.979796 of the dial; 7° + arcsin 0.2 = 7 + 11.53696 = 18.53696°.

    Ø8 and 7°: 4·sin 14° = 0.967688 mm below the tip, where a flat flank touches (the chord itself is 8·sin 7° =
    0.974955).
    Bar 8, tip 4.8 off its axis and 1 mm high, 0.2 mm behind it: √(9² + 4) = 9.219544 mm.
    """
    room_of = importlib.import_module("springpass.boring_bar.bore_room")
    agrees("dial", room_of.dial_share(10.0, 1.0), 0.979796, abs=1e-6, of=room_of.dial_share)
    agrees("clearance", room_of.clearance_in_bore(7.0, 1.0, 10.0), 18.53696, abs=1e-5, unit="deg",
           of=room_of.clearance_in_bore)
    agrees("heel", room_of.heel_height(8.0, 7.0), 0.967688, abs=1e-6, unit="mm", of=room_of.heel_height)
    agrees("smallest bore", room_of.smallest_bore(8.0, 4.8, 0.2, 1.0), 9.219544, abs=1e-6, unit="mm",
           of=room_of.smallest_bore)
    room = boring_bar.bore_room(10.0, 5.0, 3.0, 1.0, 7.0)
    agrees("clearance in the bore", room.clearance, 18.53696, abs=1e-5, unit="deg", of=boring_bar.bore_room)
    across, up = room_of.seen_bar(room)
    agrees("outline", np.hypot(across - room.centre[0], up - room.centre[1]), np.full(72, 2.5), rel=1e-9, unit="mm",
           of=room_of.seen_bar)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_a_holder_for_a_bigger_bar():
    """Two screws, Ø24 against the table's 6: 30 000·√4 = 60 000 N/mm; 18·10⁶·4^2.5 = 576·10⁶ N mm/rad.

    A carbide bar of 590 GPa leans the grip by 0.5 + 0.5·205/590 = 0.673729 of that: 576/0.673729 = 854.943.
    Softest in the table for an 8 mm bar, 40 mm out: light tool post, 10 000·1.333^0.5 = 11 547.0 and
    5·10⁶·1.333^2.5 = 10.2640·10⁶, 1/11547.0 + 1600/10.2640·10⁶ = 2.42487·10⁻⁴ mm/N; a holder of 1000 N/mm and 10⁶
    gives 10⁻³ + 1.6·10⁻³, which is 10.7222 times that.
    """
    steel = boring_bar.holder_springs("two screws in a block", 24.0)
    agrees("stiffness", steel["stiffness"].value, 60_000, rel=1e-9, unit="N/mm", of=boring_bar.holder_springs)
    agrees("rotation", steel["rotation"].value, 576e6, rel=1e-9, unit="N mm/rad", of=boring_bar.holder_springs)
    carbide = boring_bar.holder_springs("two screws in a block", 24.0, 590e3)
    agrees("rotation", carbide["rotation"].value, 854.943e6, rel=1e-5, unit="N mm/rad", of=boring_bar.holder_springs)
    agrees("grip", bar_holder.grip_share(1 / 590e3), 0.673729, abs=1e-6, of=bar_holder.grip_share)
    agrees("softer", bar_holder.softer_than_known(1000.0, 1e6, 8.0, 40.0), 10.7222, rel=1e-4,
           of=bar_holder.softer_than_known)


@source("worked by hand", place="in the docstring", basis="hand")
def test_by_hand_bored_work_bends_as_a_tube():
    """A bush 18/12: π(18⁴ − 12⁴)/64 = 4135.12 mm⁴ against 5153.00 solid, so it deflects 1.2462 times as much; bored to
    0.8 of its diameter 1/(1 − 0.8⁴) = 1.6938 times.
    """
    tube = importlib.import_module("springpass.workholding.bending")
    agrees(
        "second moment", tube.tube_second_moment(18.0, 12.0), 4135.12, rel=1e-5, unit="mm⁴", of=tube.tube_second_moment
    )
    solid, bored, thin = (tube.work_compliance(40.0, [step], shear=False) for step in
                          ((40.0, 18.0), (40.0, 18.0, 12.0), (40.0, 18.0, 14.4)))
    agrees("bored over solid", bored / solid, 1.2462, rel=1e-4, of=tube.work_compliance)
    agrees("thin over solid", thin / solid, 1.6938, rel=1e-4, of=tube.work_compliance)
