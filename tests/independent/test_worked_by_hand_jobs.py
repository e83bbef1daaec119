"""More values worked with pencil and paper: reaming, holding, fits, stops, threads, chips. Basis: computed."""

import numpy as np

from outside import agrees, claim, source
from springpass import drilling, fits, reaming, threads
from springpass import workholding as wh
from springpass.boring_bar import bending as bar_bending
from springpass.core import spread
from springpass.cutting import chips, speeds, surface_finish
from springpass.fits import fit_target
from springpass.heat import settling, touching_temperature, warm_fit
from springpass.reaming import hole as reamed_hole
from springpass.threads import single_point as thread_cutting


def by_hand(place=""):
    return source("worked by hand", place=place or "in the docstring", basis="hand")


@by_hand()
def test_holder_and_slenderness():
    """15 N at 40 mm on 20 000 N/mm and 8e6 N mm/rad: 15/20000 + 15·1600/8e6 = 0.00075 + 0.003 = 0.00375 mm.

    Steel Ø8 at 5 diameters: I = 201.06, L = 40, 3·205000·201.06/64000 = 1932.1 N/mm.
    """
    agrees(
        "holder",
        bar_bending.holder_deflection(15, 40, 2e4, 8e6),
        0.00375,
        rel=1e-9,
        unit="mm",
        of=bar_bending.holder_deflection,
    )
    agrees("stiffness", bar_bending.stiffness_by_slenderness(205e3, 8, 5), 1932.1, abs=0.1, unit="N/mm",
           of=bar_bending.stiffness_by_slenderness)


@by_hand()
def test_pieces_of_a_necked_bar():
    """40 mm of Ø8 with 10 mm ground to Ø5: 30 of Ø8 and 10 of Ø5."""
    agrees(
        "lengths and diameters",
        bar_bending.make_bar(40.0, 8.0, 10.0, 5.0),
        [(30.0, 8.0), (10.0, 5.0)],
        of=bar_bending.make_bar,
    )


@by_hand()
def test_what_opens_and_closes_a_reamed_hole():
    """Axis 10 µm off, half of it followed, 0.8 of the edge cutting: 2·10·0.5·0.8 = 8 µm. Build-up 2 µm, 0.6, at twice
    the
    norm speed with the power 0.5: 2·2·0.6·1.41421 = 3.3941 µm. Six lands of 20 N/mm in Ø10: 120/31.4159 = 3.8197 MPa.
    A layer of 4 µm of which 0.3 comes back: 2·0.3·4 = 2.4 µm. Marks of 10 µm under 4 µm of stock: 8 left by cutting."""
    agrees(
        "offset", reamed_hole.offset_opening(0.010, 0.5, 0.8), 0.008, rel=1e-9, unit="mm", of=reamed_hole.offset_opening
    )
    agrees("build-up", reamed_hole.build_up_opening(0.002, 0.6, 16.0, 0.5, 8.0), 0.0033941, rel=1e-4, unit="mm",
           of=reamed_hole.build_up_opening)
    agrees(
        "lands", reamed_hole.land_pressure(6, 20.0, 10.0), 3.8197, rel=1e-4, unit="MPa", of=reamed_hole.land_pressure
    )
    agrees("layer", reamed_hole.layer_closing(0.004, 0.3), 0.0024, rel=1e-9, unit="mm", of=reamed_hole.layer_closing)
    agrees(
        "marks",
        reamed_hole.marks_after_cutting(0.010, 0.004),
        0.008,
        rel=1e-9,
        unit="mm",
        of=reamed_hole.marks_after_cutting,
    )


@by_hand()
def test_share_of_the_torque_that_cuts():
    """Stock 0.2, feed 0.15, six teeth: a section of 0.2·0.15/12 = 0.0025. Corner 0.05 under 45°, land 0.1: the edge is
    0.1 + 0.05·0.7854 + (0.1 − 0.05·0.29289)/0.70711 = 0.1 + 0.03927 + 0.12071 = 0.25998. Push 0.01: 0.0025/0.0050998 =
    0.49021.
    """
    agrees(
        "edge", reaming.edge_in_contact(0.2, 0.05, 45.0, 0.1), 0.25998, abs=1e-5, unit="mm", of=reaming.edge_in_contact
    )
    agrees(
        "share", reaming.cutting_share(0.2, 0.15, 6, 0.05, 45.0, 0.1, 0.01), 0.49021, abs=2e-5, of=reaming.cutting_share
    )


@by_hand()
def test_clamps():
    """Two hands of 100 N on a bar of 200, three turns of the key to one of the scroll, 8 mm a turn, a quarter gets
    through:
    2π·100·200·3·0.25/8 = 11781 N. A ring Ø60/Ø40 under 10 kN on its faces: 10000/1570.8 = 6.3662 MPa, times ν
    0.29/205000
    makes 9.0058e-6 of 40 mm: 0.36023 µm. 300 N at Ø40, face radius 25, friction 0.15 on two faces, twice safe:
    2·300·20/(2·0.15·25) = 1600 N."""
    agrees("key", wh.key_force(100.0, 200.0, 3.0, 8.0, 0.25), 11781, abs=0.5, unit="N", of=wh.key_force)
    agrees(
        "face clamp",
        wh.face_clamp_growth(10e3, 40.0, 60.0, 205e3, 0.29) * 1e3,
        0.36023,
        abs=1e-5,
        unit="µm",
        of=wh.face_clamp_growth,
    )
    agrees(
        "clamp needed",
        wh.face_clamp_needed(300.0, 40.0, 25.0, 0.15, 2.0),
        1600,
        rel=1e-9,
        unit="N",
        of=wh.face_clamp_needed,
    )


@by_hand()
def test_window_of_a_jaw():
    """8 µm of lobes at 1000 N a jaw and 10 µm allowed: 1250 N. 3000 N needed of three jaws: 1000 N each.

    The wall 4 thick, 20 wide, mean radius 18, three jaws: moment 0.18879 P R = 3.3982 P over 20·16/6 = 53.333: 0.063717
    MPa
    a newton, so 300 MPa at 4708.3 N.

    A flat hard jaw on Ø40 marks where Hertz's line pressure passes 1.67·300 = 501 MPa: 1/E* = 0.91/207000 +
    0.9159/205000 = 8.8640e-6, so π·20·40·501²·8.8640e-6/2 = 2795.9 N.
    """
    found = wh.jaw_window(0.008, 1000.0, 0.010, 3000.0, "42CrMo4 / 4140", 40.0, 32.0, 20.0, 3, strength=300.0)
    agrees("for round", found.for_round, 1250, rel=1e-9, unit="N", of=wh.jaw_window)
    agrees("needed", found.needed, 1000, rel=1e-9, unit="N", of=wh.jaw_window)
    agrees("for marks", found.for_marks, 2795.9, rel=2e-3, unit="N", of=wh.jaw_window)
    agrees("for spring", found.for_spring, 4708.3, abs=0.2, unit="N", of=wh.jaw_window)


@by_hand()
def test_tolerance_unit_and_widths_of_18_to_30():
    """√(18·30) = 23.2379; ∛ of it 2.85364; 0.45·2.85364 + 0.02324 = 1.30738 µm; sixteen of them 20.918 (printed 21);
    f: 5.5·23.2379^0.41 = 5.5·3.6320 = 19.976 µm (printed 20)."""
    agrees("step mean", fits.step_mean(20.0), 23.2379, abs=1e-4, unit="mm", of=fits.step_mean)
    agrees("unit", fits.tolerance_unit(23.2379) * 1e3, 1.30738, abs=1e-5, unit="µm", of=fits.tolerance_unit)
    agrees("grade 7", fits.grade_width(23.2379, 16) * 1e3, 20.918, abs=1e-3, unit="µm", of=fits.grade_width)
    agrees("f", fits.zone_shift(23.2379, 5.5, 0.41) * 1e3, 19.976, abs=2e-3, unit="µm", of=fits.zone_shift)


@by_hand()
def test_h6_in_inches():
    """20 h6 is 19.987 to 20 mm: 0.786890 to 0.787402 inch; four places inside it: 0.7869 to 0.7874."""
    found = fits.inch(19.987, 20.0, 4)
    agrees("least, most", (found.least, found.most), (0.7869, 0.7874), of=fits.inch)


@by_hand()
def test_second_part_to_a_measured_one():
    """A pin of 20.003, H7/g6 asks for 7 to 41 µm, the measurement may be 2 µm out: a bore of 20.012 to 20.042."""
    found = fit_target.match(20.003, "H7/g6", "bore", doubt=0.002)
    agrees("lower, upper", (found.lower, found.upper), (20.012, 20.042), abs=1e-9, of=fit_target.match)
    agrees("wanted of H7/g6", fit_target.wanted(20.0, "H7/g6"), (0.007, 0.041), abs=1e-9, of=fit_target.wanted)


@by_hand()
def test_step_of_the_lathe():
    """30 m/min on Ø20: 30000/62.832 = 477.46 turns; of 45 63 90 125 180 250 355 500 the nearest not above is 355:
    22.305 m/min.
    """
    found = speeds.choose_step(30.0, 20.0, "45 63 90 125 180 250 355 500")
    agrees("wanted", found.wanted, 477.46, abs=0.01, unit="rev/min", of=speeds.choose_step)
    agrees("chosen", found.chosen, 355.0, of=speeds.choose_step)
    agrees("speed", found.speed, 22.305, abs=1e-3, unit="m/min", of=speeds.choose_step)


@by_hand()
def test_heap_of_chips():
    """Ø20, 30 long, 0.5 deep, feed 0.1: 300 turns and π·20·30·0.5 = 942.48 mm³; a bore Ø20 by 30 holds 9424.8 mm³."""
    found = chips.heap(20.0, 30.0, 0.5, 0.1)
    agrees("turns", found.turns, 300, rel=1e-9, of=chips.heap)
    agrees("metal", found.metal, 942.48, abs=0.01, unit="mm³", of=chips.heap)
    agrees("bore", found.bore, 9424.8, abs=0.1, unit="mm³", of=chips.heap)


@by_hand()
def test_thinnest_chip_of_an_edge():
    """0.3 of an edge rounded by 20 µm: 6 µm."""
    agrees(
        "least chip", surface_finish.least_chip(0.3, 0.020), 0.006, rel=1e-9, unit="mm", of=surface_finish.least_chip
    )


@by_hand()
def test_tip_of_a_drill():
    """8.5 mm at 118°, 20 mm to full diameter: 4.25/tan 59° = 4.25/1.66428 = 2.5537, so 22.5537 mm."""
    agrees("tip depth", drilling.tip_depth(20.0, 8.5, 118.0), 22.5537, abs=1e-3, unit="mm", of=drilling.tip_depth)


@by_hand()
def test_road_to_a_blind_hole():
    """Ø10 by 32, 0.2 left for the reamer, so bored to 9.8; a 9 mm drill at 118° has a point of 2.7039, stands 0.2 off
    the
    bottom: tip at 31.8, full diameter to 29.096; boring takes 0.8 on diameter, reaming 0.2 down to 31.

    It starts 0.03 off and drifts 0.0015·32 = 0.048 more, so its hole wants 0.156 and its own oversize on top.
    The reamer's chamfer of 1 mm leaves as much unreamed."""
    made = drilling.sequence(10.0, 32.0, drill=9.0)
    agrees("cleans up", made.clean, 9.156 + drilling.oversize(9.0).b, rel=1e-9, unit="mm", of=drilling.sequence)
    agrees("not reamed", made.not_reamed, 1.0, unit="mm", of=drilling.sequence)
    clean = [d for d in np.arange(80, 98) / 10 if d + drilling.oversize(d).b + 0.156 + 0.2 <= 9.8 + 1e-9]
    agrees("largest that cleans up, 0.1 of wall left", drilling.sequence(10.0, 32.0).drill, max(clean), rel=1e-9,
           unit="mm", of=drilling.sequence)
    _, drill, flat, bar, reamer = made.stages
    agrees(
        "drill",
        (drill.diameter, drill.full_depth, drill.tip),
        (9.0, 29.096, 31.8),
        abs=1e-9,
        unit="mm",
        of=drilling.sequence,
    )
    agrees("flat drill", (flat.diameter, flat.tip), (9.0, 32.0), abs=1e-9, unit="mm", of=drilling.sequence)
    agrees(
        "boring bar", (bar.diameter, bar.taken, bar.left), (9.8, 0.8, 0.2), abs=1e-9, unit="mm", of=drilling.sequence
    )
    agrees(
        "reamer",
        (reamer.diameter, reamer.full_depth, reamer.taken),
        (10.0, 31.0, 0.2),
        abs=1e-9,
        unit="mm",
        of=drilling.sequence,
    )


@by_hand()
def test_chips_in_a_blind_hole():
    """Ø9 to Ø9.5, 32 deep: 232.478 mm³ of metal, twelve times that in chips 2789.7; round a 7 mm bar there is
    room for π/4·(81 − 49)·32 = 804.25 mm³: 3.4687 times full, so full after 32/3.4687 = 9.2253 mm."""
    found = drilling.chips_when_boring(9.0, 9.5, 32.0, 7.0, 12.0)
    agrees("metal", found.solid, 232.478, abs=1e-3, unit="mm³", of=drilling.chips_when_boring)
    agrees("room", found.room, 804.25, abs=0.01, unit="mm³", of=drilling.chips_when_boring)
    agrees("times full", found.share, 3.4687, abs=1e-3, of=drilling.chips_when_boring)
    agrees("full after", found.until, 9.2253, abs=1e-3, unit="mm", of=drilling.chips_when_boring)


@source("the trade: three diameters, then one between withdrawals", basis="common practice")
def test_pecks():
    agrees("first and later bites of a 4 mm drill", drilling.peck(4.0), (12.0, 4.0), of=drilling.peck)


@by_hand()
def test_height_left_in_a_nut():
    """M10: H = 1.29904; five eighths of it 0.81190. A bore of 8.5 leaves 0.75 of that on radius: 0.92376.

    At the basic bore 8.3762 (10 − 1.0825·1.5) the whole is left; at 8.676 (6H, most) 0.662/0.8119 = 0.81537.
    """
    agrees("8.5", threads.engagement(10.0, 8.5, 1.5), 0.92376, abs=1e-5, of=threads.engagement)
    found = threads.bore_for("M10", "6H")
    agrees("bore", (found.lower, found.upper), (8.376, 8.676), abs=1e-6, unit="mm", of=threads.bore_for)
    agrees("at its upper limit", found.least_engagement, 0.81537, abs=1e-5, of=threads.bore_for)


@by_hand()
def test_chips_of_a_slanted_infeed():
    """0.1 straight in: 0.1·sin 30° = 0.05 on both flanks. At 20°: 0.1·(0.5 ± 0.36397·0.86603) = 0.08152 and 0.01848."""
    agrees(
        "leading, straight",
        thread_cutting.leading_chip(0.1, 0.0),
        0.05,
        rel=1e-9,
        unit="mm",
        of=thread_cutting.leading_chip,
    )
    agrees(
        "leading", thread_cutting.leading_chip(0.1, 20.0), 0.08152, abs=1e-5, unit="mm", of=thread_cutting.leading_chip
    )
    agrees(
        "trailing",
        thread_cutting.trailing_chip(0.1, 20.0),
        0.01848,
        abs=1e-5,
        unit="mm",
        of=thread_cutting.trailing_chip,
    )


@by_hand()
def test_passes_with_a_sharp_tip():
    """Sections grow with the square of the depth: 0.6 mm in four equal passes stops at 0.3, 0.42426, 0.51962 and 0.6.
    """
    found = thread_cutting.infeed_schedule(1.0, 4, tip_flat=0.0, infeed_angle=0.0, depth=0.6)
    agrees("depth", found.depth, [0.3, 0.42426, 0.51962, 0.6], abs=1e-5, unit="mm", of=thread_cutting.infeed_schedule)
    agrees(
        "section", found.area, np.full(4, 0.6**2 * 0.57735 / 4), rel=1e-5, unit="mm²", of=thread_cutting.infeed_schedule
    )


@by_hand()
def test_nut_spread_by_its_load():
    """5000 N on M10 (pitch diameter 9.0257), 8 mm long: 5000·0.57735/(π·9.0257·8) = 12.726 MPa. Outside 13: (169 +
    81.464)/
    (169 − 81.464) = 2.8613, so 36.41 MPa round the thread and 12.726·9.0257·(2.8613 + 0.29)/205000 = 1.7657 µm."""
    agrees("pressure", thread_cutting.spreading_pressure(5000.0, 9.0257, 8.0), 12.726, abs=1e-3, unit="MPa",
           of=thread_cutting.spreading_pressure)
    found = thread_cutting.thin_nut("M10", 13.0, 8.0, 5000.0)
    agrees("growth", found.growth * 1e3, 1.7657, abs=1e-3, unit="µm", of=thread_cutting.thin_nut)
    agrees("hoop stress", found.hoop, 36.41, abs=0.02, unit="MPa", of=thread_cutting.thin_nut)


@by_hand()
def test_bearing_into_a_warm_housing():
    """Ø42 of aluminium at 60 °C, 12 µm tight at 20 °C: 42·23.4e-6·40 = 39.312, less 12: 27.312 µm of play. To have 15
    µm it
    needs 20 + 27/(42·23.4e-3) = 20 + 27.473 = 47.473 °C."""
    found = warm_fit(62.0, 42.0, 14.0, 0.012, 60.0)
    agrees("play", found.play * 1e3, 27.312, abs=1e-3, unit="µm", of=warm_fit)
    agrees("needed", found.needed, 47.473, abs=1e-3, unit="°C", of=warm_fit)


@by_hand("from the definition: from half the printed low speed to the low one, on a logarithmic scale")
def test_built_up_edge_comes_and_goes():
    habit = surface_finish._habit("medium-carbon steel", "built_up_edge")
    agrees(
        "half way up",
        surface_finish.built_up_share("medium-carbon steel", habit.low / np.sqrt(2)),
        0.5,
        abs=1e-9,
        of=surface_finish.built_up_share,
    )
    agrees(
        "slow",
        surface_finish.built_up_share("medium-carbon steel", habit.low / 2),
        0.0,
        abs=1e-9,
        of=surface_finish.built_up_share,
    )
    claim(
        "brass builds none",
        surface_finish.built_up_share("brass leaded", habit.low) == 0,
        of=surface_finish.built_up_share,
    )


@by_hand()
def test_a_ring_in_collet_and_jaws():
    """1000 N round Ø50 x 20: 1000/(π·50·20) = 0.31831 MPa.

    Ø62 over Ø42, 14 wide, three jaws of no width, 200 MPa: wall 10, mean radius 26; 3·26/(14·10²) = 0.055714,
    times 1/(π/3) − cot(π/3) = 0.95493 − 0.57735 = 0.37758, makes 0.021037 MPa a newton: 200/0.021037 = 9507 N.
    """
    agrees("pressure", wh.cylinder_pressure(1000.0, 50.0, 20.0), 0.31831, abs=1e-5, unit="MPa", of=wh.cylinder_pressure)
    agrees("yields", wh.yield_load(200.0, 62.0, 42.0, 14.0, 3), 9507, abs=2, unit="N", of=wh.yield_load)


@by_hand()
def test_a_thin_ring_bored_in_three_jaws():
    """Ø100 over Ø96, 10 wide, 100 N a jaw: I = 10·2³/12 = 6.6667, W R³/EI = 100·49³/(205000·6.6667) = 8.6084 mm.

    The m-th harmonic of three point loads bends a thin ring by 3/(π(m² − 1)²) of that, m = 3, 6, 9 …; from jaw to
    midway the odd ones add twice: 6/π·(1/64 + 1/6400 + 1/50176) = 0.030180, so 0.2598 mm
    peak to valley. Two points see the even ones on diameter: 12/π·1/1225·8.6084 = 0.026843 mm. Three see twice the
    radius, 0.5196 mm. The even squeeze, 300 N over π·100·10 mm² = 0.095493 MPa, closes the bore by Lamé's
    2·0.095493/205000·50²·96/(50² − 48²) = 1.1408 µm; let go, it is that much larger.
    """
    ring = wh.bored_in_jaws(100.0, 95.0, 96.0, 10.0, 3, np.array([100.0, 100.0]), np.array([205e3, 205e3]), 0.29,
                            np.array([0.1, 0.2]), np.array([1e-6, 1e-6]), keeps_place=False)
    agrees("lobes", ring.lobes, [0.2598, 0.2598], rel=0.03, unit="mm", of=wh.bored_in_jaws)
    agrees("two points", ring.two_point, [0.026843, 0.026843], rel=0.03, unit="mm", of=wh.bored_in_jaws)
    agrees("three points", ring.three_point, [0.5196, 0.5196], rel=0.03, unit="mm", of=wh.bored_in_jaws)
    agrees("larger", ring.larger, [0.0011408, 0.0011408], rel=1e-3, unit="mm", of=wh.bored_in_jaws)
    agrees("push kept by jaws that follow", ring.kept, [1.0, 1.0], abs=1e-12, of=wh.bored_in_jaws)


@by_hand()
def test_a_shaft_that_gives_with_its_chuck():
    """Ø20, 100 long, held at one end: 100³/(3·205000·7853.98) = 2.0703e-4 mm/N bending; shear with G = 79457 MPa and
    a shear factor of 7.74/8.74: 100/(0.8856·79457·314.16) = 4.52e-6; together 2.1155e-4, of 4e-4 in all 52.9 %."""
    agrees("share", wh.own_share(100.0, [(100.0, 20.0)], "chuck", np.array([4e-4])), 0.5289, abs=1e-3, of=wh.own_share)


@by_hand()
def test_what_a_drill_leaves_on_the_bottom():
    """Ø9.8, 118°, bore Ø10: cone 4.9/tan 59° = 2.9442 high. Tip on the bottom at 30: ring π/4·(100 − 96.04)·2.9442 =
    9.157 and two thirds of the cylinder π/4·96.04·2.9442 = 222.08, that is 148.05: 157.21 mm³. Tip 1 mm past it:
    1.9442 are left, the cone is cut off at 4.9·(1 − 0.66035) = 1.6643: 146.65 − π·1.9442/3·(24.01 + 8.155 + 2.770) =
    146.65 − 71.13 and the ring's 6.047: 81.57 mm³.

    3 off at the start and 0.1·40 = 4 more, to the same side 7, square to it 5, to the other side 1.
    """
    agrees("left", drilling.left_on_the_bottom(10.0, 9.8, 118.0, 30.0, 30.0), 157.21, abs=0.02, unit="mm³",
           of=drilling.left_on_the_bottom)
    agrees("left", drilling.left_on_the_bottom(10.0, 9.8, 118.0, 31.0, 30.0), 81.57, abs=0.02, unit="mm³",
           of=drilling.left_on_the_bottom)
    agrees("off", drilling.offset_any_way(3.0, 0.1, 40.0, np.array([0.0, np.pi / 2, np.pi])), [7.0, 5.0, 1.0],
           abs=1e-9, of=drilling.offset_any_way)


@by_hand("drill by drill, with the table's oversize")
def test_the_largest_drill_that_cleans():
    """Nine tenths of the printed oversize and 0.4 mm to bore out; the drills at hand go in tenths near 9 mm."""
    most = drilling.oversize(9.4).b
    wanted = max(d for d in np.round(np.arange(80, 100) / 10, 1) if d + 0.9 * most + 0.4 <= 10.0)
    agrees("drill", drilling.largest_that_cleans(10.0, 0.4), wanted, abs=1e-9, unit="mm",
           of=drilling.largest_that_cleans)


@by_hand()
def test_normal_engagement():
    """M10x1.5: 10^0.2 = 1.58489, 2.24·1.5·1.58489 = 5.3252; three times as long at most: 15.976 mm."""
    agrees("engagement", threads.normal_engagement(1.5, 10.0), (5.3252, 15.976), abs=1e-3, unit="mm",
           of=threads.normal_engagement)


@by_hand("normal tables: 1.6449 deviations hold nine in ten")
def test_the_hand_for_nine_in_ten():
    """18 µm wide: 9/1.6449 = 5.4715 a deviation, two 10.943; with 4 µm of doubt √(10.943² − 16) = 10.186 µm.

    Aimed at the least clearance, far from the most, half are good at once and half tight; eight in ten of those
    later: 0.9.
    """
    agrees("hand", [1e3 * fit_target.hand_for(0.0, 0.018, u) for u in (0.0, 0.004, 0.03)], [10.943, 10.186, 0.0],
           abs=2e-3, unit="µm", of=fit_target.hand_for)
    agrees("chance", fit_target.odds_with_more(0.005, 0.005, 0.2, 0.01, 0.0, 0.8), 0.9, abs=1e-9,
           of=fit_target.odds_with_more)


@by_hand()
def test_when_a_fit_just_touches():
    """12 µm of play on Ø42, aluminium over steel, 23.4e-6 and 11.5e-6: 42·11.9 = 0.4998 µm a degree, 20 − 24.01 =
    −4.01 °C."""
    agrees("touches", touching_temperature(0.012, 42.0, 23.4e-6, 11.5e-6), -4.01, abs=5e-3, unit="°C",
           of=touching_temperature)


@by_hand()
def test_a_small_part_settles_under_coolant():
    """Ø12 x 40: volume over surface 12·40/(4·40 + 2·12) = 2.6087 mm; 7850·470·0.0026087/200 = 48.1 s, and with
    200 W/(m² K) the inside hardly holds it up."""
    found = settling(12.0, 40.0, density=7850.0, specific_heat=470.0, conductivity=48.0, coolant=200.0)
    agrees("time", found, 48.1, rel=0.02, unit="s", of=settling)


@by_hand("by counting: of 0 to 2000, shuffled, a twentieth is below 100 and a twentieth above 1900")
def test_the_band_of_a_curve():
    drawn = np.random.default_rng(7).permutation(np.arange(2001.0))
    curve = np.stack([drawn, 3 * drawn], axis=1)
    agrees("band", spread.band(curve).ravel(), [100.0, 300.0, 1000.0, 3000.0, 1900.0, 5700.0], abs=1e-12,
           of=spread.band)
    agrees("the other way", spread.band(curve.T, axis=1)[:, 0], [100.0, 1000.0, 1900.0], abs=1e-12, of=spread.band)
