"""Gauge blocks against published sets, stacks and grades after ISO 3650. Basis: read unless a line says otherwise."""

import pytest

from outside import agrees, claim, source
from springpass import stops

# Contents of the sets: number of pieces and their sum (ISO 3650 sets as listed in manufacturing lecture notes;
# 112 and 81 read, the others from memory of the trade).
SETS = {"112": (112, 933.7955), "103": (103, 924.755), "88": (88, 716.2955), "87": (87, 715.295), "47A": (47, 573.955),
        "47B": (47, 629.305), "46": (46, 626.995), "32": (32, 188.955), "81": (81, 26.5295)}


@pytest.mark.parametrize("name", SETS)
@source("ISO 3650 sets, manufacturing lecture notes", place="112 and 81 read, the others from memory", basis="memory")
def test_set_contents(name):
    box = stops.gauge_set(name)
    agrees("number of sizes, total", (len(box.sizes), box.total), SETS[name], of=stops.gauge_set)


@source("ISO 3650 sets, manufacturing lecture notes", place="sets of 112 and of 81", basis="read")
def test_sets_in_full_at_their_edges():
    box = stops.gauge_set("112")
    agrees("sizes", box.sizes[:4], (0.5, 1.0, 1.0005, 1.001), of=stops.gauge_set)
    agrees("sizes", box.sizes[-5:], (24.5, 25.0, 50.0, 75.0, 100.0), of=stops.gauge_set)
    inch = stops.gauge_set("81")
    agrees("unit", inch.unit, "inch", of=stops.gauge_set)
    agrees("sizes", inch.sizes[:3], (0.05, 0.1, 0.1001), of=stops.gauge_set)
    agrees("sizes", inch.sizes[-4:], (1.0, 2.0, 3.0, 4.0), of=stops.gauge_set)
    agrees("gauge set", stops.gauge_set("47"), stops.gauge_set("47 (variant A)"), of=stops.gauge_set)


@source("manufacturing lecture notes", place="worked stack of 92.357 mm", basis="read")
def test_stack_with_two_protectors_of_five_millimetres_together():
    # manufacturing lecture notes, worked stack (read): 92.357 mm, protectors 5 mm in all
    agrees("gauge stack", sorted(stops.gauge_stack(92.357, "112", protectors=5)), [1.007, 1.35, 10, 75],
           of=stops.gauge_stack)


@source("a gauge block maker's page on choosing blocks", place="3.9762 inch", basis="read")
def test_stack_in_inch():
    # a gauge block maker's page on choosing blocks (read): 3.9762 inch
    agrees("gauge stack", list(stops.gauge_stack(3.9762, "81")), [0.1002, 0.126, 0.75, 3.0], of=stops.gauge_stack)
    agrees("gauge stack", list(stops.gauge_stack(3.9762 * 25.4, "81", unit="mm")), [0.1002, 0.126, 0.75, 3.0],
           of=stops.gauge_stack)


@pytest.mark.parametrize(("length", "published"), [
    (58.345, (1.005, 1.04, 1.30, 5, 50)),    # NPL, answer to a question on selecting blocks, M 112 set (read)
    (37.785, (1.005, 1.08, 1.7, 4, 30)),     # a gauge block maker's handbook (read); the set has a 30
])
@source("NPL, answer to a question on selecting blocks; a gauge block maker's handbook", place="58.345 and 37.785 mm",
        basis="read")
def test_the_usual_rule_gives_a_stack_but_not_always_the_fewest(length, published):
    agrees("published", sum(published), length, abs=1e-9)
    stack = stops.gauge_stack(length, "112")
    agrees("stack", sum(stack), length, abs=1e-9, of=stops.gauge_stack)
    claim("number of stack", len(stack) == 4 < len(published), of=stops.gauge_stack)


@source("a gauge block maker's handbook", place="37.785 mm", basis="read")
def test_the_same_length_from_the_set_that_has_a_thirty():
    agrees("gauge stack", list(stops.gauge_stack(37.785, "47B")), [1.005, 1.08, 1.7, 4, 30], of=stops.gauge_stack)


@pytest.mark.parametrize(("length", "grade", "te", "tv"), [
    # ISO 3650 limits in µm: grades 0, 1, 2 read in an open table headed DIN 861; K from memory
    (10, "0", 0.12, 0.10), (25, "0", 0.14, 0.10), (100, "0", 0.30, 0.12), (500, "0", 1.10, 0.25),
    (0.5, "1", 0.20, 0.16), (50, "1", 0.40, 0.18), (75, "2", 1.00, 0.35), (10.001, "2", 0.60, 0.30),
    (25, "K", 0.30, 0.05), (50, "K", 0.40, 0.06), (75, "K", 0.50, 0.06)])
@source("ISO 3650 limits in an open table headed DIN 861", place="grades 0, 1, 2 read; K from memory", basis="read")
def test_grade_limits(length, grade, te, tv):
    agrees("", stops.grade_limits(length, grade), (te / 1000, tv / 1000), rel=1e-6, of=stops.grade_limits)


@source("the workshop's 0.1 + 0.002 L µm for grade 0", place="100 mm", basis="memory")
def test_grade_0_rule_of_thumb_at_100_mm():
    # 0.1 + 0.002 L µm (from memory) gives 0.3 µm at 100 mm, as tabulated
    agrees("grade limits", stops.grade_limits(100, "0")[0], (0.1 + 0.002 * 100) / 1000, rel=1e-6, of=stops.grade_limits)
