"""Workshop sheets, lathes' manuals, dealers' and trade schools' tables. Basis beside each."""


import numpy as np
import pytest

from outside import agrees, claim, source
from springpass import cutting, drilling
from springpass import workholding as wh
from springpass.core import tables
from springpass.cutting import chips, speeds, surface_finish
from springpass.reaming import hole as reamed_hole


@pytest.mark.parametrize(
    ("feed", "nose", "marks"),
    [
        (0.15, 0.2, 14.0625),
        (0.1, 0.4, 3.125),
        (0.15, 0.4, 7.0312),
        (0.3, 0.4, 28.125),
        (0.1, 0.8, 1.5625),
        (0.15, 0.8, 3.5156),
        (0.25, 0.8, 9.7656),
        (0.15, 1.2, 2.3438),
    ],
)
@source("a tool dealer's table of theoretical roughness, R = 125 f²/r", place="eight cells", basis="read")
def test_workshop_form_of_the_mark(feed, nose, marks):
    agrees("feed mark short", cutting.feed_mark_short(feed, nose) * 1e3, marks, abs=0.0006, unit="µm",
           of=cutting.feed_mark_short)
    agrees("feed", 125 * feed**2 / nose, marks, abs=0.0006)  # R_th = 125 f²/r, as a tool dealer prints it (read)


@source("the workshop's 4·CS/D and the exact 1000 v/(π D)", place="100 ft/min on 1 inch", basis="memory")
def test_shop_rule_for_turns():
    # 4·CS/D: 100 ft/min on 1 inch → 400 (common form, memory); exact 1000 v/(π D) gives 382
    v, d = 100 * 0.3048, 25.4
    agrees("spindle speed", speeds.spindle_speed(v, d), 381.97, abs=0.01, unit="1/min", of=speeds.spindle_speed)
    claim("spindle speed", speeds.spindle_speed(v, d) < 400, of=speeds.spindle_speed)  # the rule is 5 % fast


@pytest.mark.parametrize(
    ("material", "tool", "low", "high"),
    [
        # F. D. Jones, Turning and Boring, conservative speeds of high-speed steel, ft/min (read in a copy)
        ("tool steel annealed", "high-speed steel", 25 * 0.3048, 35 * 0.3048),
        ("brass leaded", "high-speed steel", 150 * 0.3048, 200 * 0.3048),
        # usual ranges of the trade, m/min (memory): guidance, so the ranges need only overlap
        ("low-carbon steel", "high-speed steel", 25, 35),
        ("low-alloy steel", "high-speed steel", 18, 25),
        ("grey cast iron", "high-speed steel", 18, 25),
        ("titanium alloy", "high-speed steel", 9, 15),
        ("acetal", "high-speed steel", 90, 180),
        ("austenitic stainless steel", "coated carbide", 80, 150),
        ("grey cast iron", "coated carbide", 80, 150),
    ],
)
@source("F. D. Jones, Turning and Boring (two rows, read); usual ranges of the trade",
        place="two rows read, seven from memory", basis="memory")
def test_speeds_overlap_what_others_print(material, tool, low, high):
    fact = speeds.cutting_speed(material, tool)
    claim("low", fact.low <= high, of=speeds.cutting_speed)
    claim("high", fact.high >= low, of=speeds.cutting_speed)


@source("a machine-shop sheet of feeds", place="mild steel, rough and finish", basis="read")
def test_feeds_as_printed_in_inches():
    # machine-shop sheet: mild steel rough 0.010-0.020, finish 0.003-0.010 inch a turn (read)
    rough, fine = (
        speeds.feed_range("low-carbon steel", finishing=False),
        speeds.feed_range("low-carbon steel"),
    )
    agrees("low, high", (rough.low, rough.high), (0.254, 0.508), abs=0.005, of=speeds.feed_range)
    agrees("low, high", (fine.low, fine.high), (0.0762, 0.254), abs=0.005, of=speeds.feed_range)


@source("operating manual of a centre lathe", place="depth over feed, feed for a nose", basis="read")
def test_lathe_manual_rules():
    # operating manual of a centre lathe (read): depth over feed 4 to 10, example 1.0/0.14 = 7.1;
    # nose 0.4: roughing at most 0.2, finishing at most a third (the manual prints 0.12)
    agrees("slenderness", chips.slenderness(1.0, 0.14), 7.1, abs=0.05, of=chips.slenderness)
    claim("chip window, slender ok", chips.chip_window(1.0, 0.14, 0.4).slender_ok, of=chips.chip_window)
    agrees("nose feed", speeds.nose_feed(0.4, finishing=False), 0.2, rel=1e-6, of=speeds.nose_feed)
    agrees("nose feed", speeds.nose_feed(0.4), 0.132, rel=1e-6, of=speeds.nose_feed)
    claim("nose feed", speeds.nose_feed(0.4) > 0.12, of=speeds.nose_feed)


@source("a carbide dealer's article; an insert maker's page", place="hones; finish over theory", basis="read")
def test_hones_and_finish_factors_as_printed():
    # a carbide dealer's article: hones run from 10 to 80 µm, 20 µm is called light (read)
    # an insert maker's page: steel comes out 1.5 to 3 times the theory (read)
    agrees("edge, low", surface_finish.edge("carbide, honed and coated").low, 0.010, of=surface_finish.edge)
    agrees("edge, high", surface_finish.edge("carbide, roughing hone").high, 0.080, of=surface_finish.edge)
    claim("edge, value", surface_finish.edge("carbide, honed and coated").value > 0.020, of=surface_finish.edge)
    steel = tables.fact("cutting_rules", rule="finish_steel")
    agrees("low, high, basis", (steel.low, steel.high, steel.basis), (1.5, 3.0, "read"), of=tables.fact)


@source("the workshop's 4·CS/D", place="100 ft/min on 1 inch", basis="memory")
def test_rule_of_four():
    """4 CS/D: 100 ft/min on 1 inch is 400 turns a minute (the trade's rule, memory); the true figure is 382."""
    agrees("", drilling.rule_of_four(100, 1), 400, unit="1/min", of=drilling.rule_of_four)
    agrees(
        "", drilling.rule_of_four(100, 1) / 381.97, 1.047, abs=5e-4, of=drilling.rule_of_four
    )  # five per cent too fast


# Undersizes: trade school's table and GTZ text B640 (read); TM 1-420 paragraph 37 and TC 9-524 chapter 7 (read).
@pytest.mark.parametrize(("size", "low", "high"), [
    (5, 0.1, 0.2), (5.01, 0.2, 0.3), (20, 0.2, 0.3), (21, 0.3, 0.5), (50, 0.3, 0.5), (51, 0.5, 1.0)])
@source("a trade school's table of undersizes, and GTZ text B640", place="six sizes", basis="read")
def test_workshop_table_of_undersizes(size, low, high):
    found = reamed_hole.allowance(size, "workshop table")
    agrees("low, high, basis", (found.low, found.high, found.basis), (low, high, "read"), of=reamed_hole.allowance)


@source("a trade school's table of undersizes, and GTZ text B640", place="light metals", basis="read")
def test_light_metals_take_half_as_much_again():
    steel, light = (
        reamed_hole.allowance(10, "workshop table", m) for m in ("carbon steel C45 / 1045", "aluminium 6082")
    )
    agrees(
        "low, high", (light.low / steel.low, light.high / steel.high), (1.5, 1.5), rel=1e-6, of=reamed_hole.allowance
    )


@source("a trade school's rule: reamed size - (undersize + oversize)", place="10 mm", basis="read")
def test_drill_before_reaming():
    """Ream 10: undersize 0.2, drill cuts 0.05 over -> 9.75 (trade school's rule: reamed size - (undersize + oversize)).
    """
    agrees(
        "drill before", reamed_hole.drill_before(10, 0.2, 0.05), 9.75, rel=1e-6, unit="mm", of=reamed_hole.drill_before
    )


@source("a lathe's manual", place="160 mm chuck, 31 kN", basis="read")
def test_a_hard_pull_reaches_what_a_lathe_manual_says_of_its_chuck():
    """A lathe's manual (read): 160 mm hand-operated chuck, 31 kN on all jaws with its key."""
    push = wh.hand_force("hard")
    claim("push", np.percentile(push, 5) < 31000 < np.percentile(push, 95), of=wh.hand_force)
    claim("hand force", np.percentile(wh.hand_force("gently"), 95) < 31000 / 3, of=wh.hand_force)
