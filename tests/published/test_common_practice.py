"""What the trade simply knows. Basis: common practice."""

import numpy as np
import pytest

from outside import agrees, claim, source
from springpass import boring_bar
from springpass.boring_bar.vibration import chatter_depth
from springpass.core.formula import roots


def slenderness_limit(modulus, nu, zeta, depth=0.1):
    """Bar diameters at which a cut of `depth` begins to chatter, 12 mm bar rigidly held, nose 0.4, feed 0.05, steel."""
    def margin(ratio):
        static = 1 / boring_bar.compliance([(12.0 * ratio, 12.0)], modulus, nu)
        return np.log(chatter_depth(0.05, 0.4, static, zeta, 600, 0.4)) - np.log(depth)

    return roots(lambda r: np.clip(margin(r), -9, 9), 1.5, 12.0)[0]


@pytest.mark.parametrize(("zeta", "steel", "carbide"), [(0.05, 3.9, 5.6), (0.02, 2.8, 4.1)])
@source(
    "the trade: 4 diameters in steel, 6 in carbide", place="reference computation 3.9 and 5.6", basis="common practice"
)
def test_four_to_one_in_steel_and_six_to_one_in_carbide(zeta, steel, carbide):
    """Common practice: 4 diameters in steel, 6 in carbide; reference computation: 3.9 and 5.6 with a well damped bar.
    """
    agrees("slenderness limit", slenderness_limit(205e3, 0.29, zeta), steel, abs=0.1,
           of=(roots, boring_bar.compliance, chatter_depth))
    agrees("slenderness limit", slenderness_limit(600e3, 0.22, zeta), carbide, abs=0.15,
           of=(roots, boring_bar.compliance, chatter_depth))


@source("the trade: a spring pass takes metal, the next takes less", basis="common practice")
def test_a_second_pass_at_the_same_setting_still_cuts():
    """Common practice: a spring pass takes metal, and the next takes less."""
    got = boring_bar.spring_passes(0.1, 0.05, 0.4, 7.8e-4, "medium-carbon steel", 4)
    claim("removed", (got.removed > 0).all(), of=boring_bar.spring_passes)
    claim("removed", (np.diff(got.removed) < 0).all(), of=boring_bar.spring_passes)
    claim("removed", got.removed[1] > 0.005, of=boring_bar.spring_passes)


@source("the trade: the holder takes its share", place="from 3:1 to under 2:1", basis="common practice")
def test_carbide_gains_less_in_a_soft_holder():
    """Common practice: the holder takes its share; nearly 3:1 in a rigid one is under 2:1 in a yielding one."""
    rigid = boring_bar.compliance([(40, 8)], 205e3, 0.29) / boring_bar.compliance([(40, 8)], 600e3, 0.22)
    soft = boring_bar.compliance([(40, 8)], 205e3, 0.29, 2e4, 8e6) / boring_bar.compliance(
        [(40, 8)], 600e3, 0.22, 2e4, 8e6
    )
    agrees("rigid", rigid, 2.92, abs=0.05, of=boring_bar.compliance)
    agrees("soft", soft, 1.8, abs=0.1, of=boring_bar.compliance)


@pytest.mark.parametrize("bar", [6.0, 10.0, 16.0, 25.0, 40.0])
@source(
    "the trade: 4 diameters in steel, 6 in carbide",
    place="five sizes of bar in a split sleeve, a light cut at 50 m/min",
    basis="common practice",
)
def test_four_to_one_and_six_to_one_at_five_sizes(bar):
    """Common practice, told by nobody for one size alone: at the rule a light cut holds or is at its very edge, and
    half as
    far again it does not hold.
    """
    job = {"bore": 1.5 * bar, "tolerance": 0.025, "speed": 50.0, "holder": "split sleeve in a solid block"}
    for material, rule in (("steel", 4.0), ("cemented carbide", 6.0)):
        at, beyond = (boring_bar.check_stickout(n * rule * bar, bar, bar_material=material, **job) for n in (1.0, 1.5))
        claim(f"{material} at {rule:g}:1", at.chance > 0.85, of=boring_bar.check_stickout)
        claim(f"{material} at {1.5 * rule:g}:1", beyond.verdict != "holds", of=boring_bar.check_stickout)


HOUSING = {
    "material": "grey cast iron",
    "bar_diameter": 16.0,
    "bore": 25.0,
    "tolerance": 0.02,
    "infeed": 0.1,
    "feed": 0.05,
    "nose_radius": 0.5,
    "speed": 20.0,
}


@source("Machine Tools Bootstrap: Machining, an open text", place="Boring: construction steps for a bearing housing, "
        "expected performance", basis="read")
def test_a_bearing_housing_bored_with_a_16_mm_bar():
    """25 mm bore in cast iron, 16 mm bar 60 mm out, 20 m/min, finishing pass 0.1 mm deep at 0.05 mm/rev, nose 0.5 mm:
    ±0.01 mm is achievable with a rigid setup; the overhang is limited to 4 bar diameters, above which vibration
    increases
    sharply. The text gives no measurement: it is a shop's instruction, and the judge must not forbid it.
    """
    for holder in ("two screws in a block", "split sleeve in a solid block"):
        found = boring_bar.check_stickout(60.0, holder=holder, **HOUSING)
        claim("holds", found.verdict == "holds", of=boring_bar.check_stickout)
        claim("inside ±0.01 mm", found.after_dialling < 0.01, of=boring_bar.check_stickout)
    at_four, at_six = (boring_bar.check_stickout(16.0 * n, **HOUSING).chance for n in (4, 6.5))
    claim("worse beyond", at_four > at_six + 0.4, of=boring_bar.check_stickout)
