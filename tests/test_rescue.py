"""Rescue: what is refused, and what the page says."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from springpass.core.quantity import Refused, Say
from springpass.core.spread import EDGE, FAILS, HOLDS
from springpass.job import rescue as r
from springpass.pages.rescue import RESCUE, SAYS

STEEL = "42CrMo4 / 4140"
EDGE_OF_TOOL = "carbide, ground, uncoated"
readings = st.lists(st.floats(-0.2, 0.2), min_size=2, max_size=9)
HOW = {"face": r.SEAT, "nominal": 20, "code": "h6", "off": (-0.02, -0.02), "length": 20}


@pytest.mark.parametrize("wrong", [{"face": "hole"}, {"code": "H7"}, {"code": "h99"}, {"off": ()}, {"off": (9.0,)},
    {"off": (float("nan"), 0)}, {"off": "much"}, {"length": 0}, {"places": (0, 0)}, {"places": (1,)}, {"nominal": -1}])
def test_what_cannot_be_measured_is_refused(wrong):
    with pytest.raises(Refused):
        r.measured(**HOW | wrong)


def test_one_reading_stands_for_the_whole_length():
    m = r.measured(**HOW | {"off": (-0.005,)})
    assert m.inside == 1 and m.shape == r.EVEN and m.length == 20


@pytest.mark.parametrize(("face", "code", "off", "shape"), [
    (r.SEAT, "h6", (0, -0.005, -0.010), r.TAPER), (r.SEAT, "h6", (-0.02, -0.002, -0.001), r.BELL),
    (r.SEAT, "h6", (-0.01, 0, -0.01), r.BARREL), (r.SEAT, "h6", (0, -0.01, 0), r.WAIST),
    (r.BORE, "H7", (0.04, 0.012, 0.010), r.BELL), (r.BORE, "H7", (0, 0.02, 0), r.WAIST),
    (r.BORE, "H7", (0.02, 0, 0.02), r.BARREL), (r.BORE, "H7", (0.003, 0.004, 0.002), r.EVEN)])
def test_shapes(face, code, off, shape):
    assert r.measured(face, 20, code, off, 20, form=0.003).shape == shape


def test_limits_of_the_ways_come_from_the_table():
    small, large = (r.measured(**HOW | {"off": (off, off)}) for off in (-0.04, -0.18))
    assert r.compound(small, r.BEARING, r.COMPOUNDS[0]).verdict == HOLDS     # 40 µm against 50 to 150
    assert r.compound(large, r.BEARING, r.COMPOUNDS[0]).verdict == FAILS     # 180 µm
    assert r.compound(large, r.BEARING, r.COMPOUNDS[1]).verdict == HOLDS     # 180 µm against 200 to 500
    assert r.build_up(large, "nickel plate").verdict == FAILS
    assert r.build_up(small, "nickel plate").verdict == EDGE


def test_no_metal_no_sleeve():
    assert r.pressed(r.measured(**HOW), 2.0, "42CrMo4 / 4140") is None      # 2 mm of wall behind the seat
    assert r.pressed(r.measured(r.BORE, 20, "H7", (0.05, 0.05), 20), 2.0, "42CrMo4 / 4140") is None
    assert r.next_bearing(r.measured(r.SEAT, 5, "h6", (-0.02, -0.02), 8), 10) is None


def test_metal_to_spare_is_cut_or_polished_and_nothing_else():
    m = r.measured(**HOW | {"off": (0.004, 0.003)})
    found = r.rescue(m, r.BEARING, 20, "42CrMo4 / 4140", "carbide, ground, uncoated", 0.05, 0.4)
    assert {type(w) for w in found.ways} == {r.CutAgain, r.Polish, r.AsItIs}
    blunt = r.take_off(m, "carbide, roughing hone", 0.02, 0.4)[0]
    sharp = r.take_off(m, "carbide, fine-ground and left sharp", 0.05, 0.4)[0]
    assert blunt.chance < 0.9 < sharp.chance


def test_every_way_has_its_sentence_in_mm_and_in_inch():
    seen = set()
    for changed in ({}, {"mate": "a part made to fit"}, {"near": 0.003, "middle": 0.002, "far": 0.002},
            {"face": "a bore", "mate": "a part made to fit", "near": 0.04, "middle": 0.028, "far": 0.026},
            {"face": "a bore", "near": 0.04, "middle": 0.03, "far": 0.03}):
        answer = RESCUE.answer(**changed)
        seen |= {type(w) for w in answer.result.rescue.ways}
        inch = RESCUE.answer(Say(True), **changed)
        assert "µm" not in inch.words + inch.more and not re.search(r"\d mm\b", inch.words + inch.more)
        assert len(answer.more) > 100
    assert seen == set(SAYS)


def test_the_page_opens_with_both_faces_without_a_class_typed():
    for face in ("a seat on a shaft", "a bore"):
        assert RESCUE.answer(face=face).words
    with pytest.raises(Refused):
        RESCUE.answer(face="a bore", code="h6")


def test_three_handles():
    svg = RESCUE.answer().svg
    assert all(f'data-handle="{name}"' in svg for name in ("near", "middle", "far"))


@settings(max_examples=80, deadline=None)
@given(off=readings, face=st.sampled_from((r.SEAT, r.BORE)), mate=st.sampled_from(r.MATES), wall=st.floats(0.5, 100))
def test_whatever_was_measured_there_is_an_answer(off, face, mate, wall):
    m = r.measured(face, 20, "h6" if face == r.SEAT else "H7", off, 20)
    found = r.rescue(m, mate, wall, STEEL, EDGE_OF_TOOL, 0.05, 0.4)
    order = [(HOLDS, EDGE, FAILS).index(w.verdict) for w in found.ways]
    assert order == sorted(order)
    good = bool((m.off >= m.lower - 1e-9).all() and (m.off <= m.upper + 1e-9).all())
    assert good == (found.ways[0].verdict == HOLDS and isinstance(found.ways[0], r.AsItIs))
    assert m.inside + m.short <= 1 + 1e-9 and m.inside >= 0
    assert not good or m.inside > 1 - 1e-6
