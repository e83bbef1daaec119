"""The pictures of a plan's steps: for every demo part and every kind of operation and setup, nothing runs out of the
frame, what is taken off has a body, and the tool stands at it."""

from __future__ import annotations

import dataclasses
import re
from html import unescape
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from springpass import job
from springpass.core.quantity import Say
from springpass.job import part
from springpass.job.part import Blank, Part, Surface
from springpass.job.results import Holding, Operation
from springpass.job.workpiece import Outline
from springpass.printing import setup_picture, setup_tools, step_words
from springpass.printing.setup_outlines import area, bodies, box, clipped, radii_at, taken
from springpass.printing.setup_view import PAGE, SHEET, section_of, view_of
from springpass.screen.draw import breadth


def by_hand():
    """A part that no turner would draw, with every kind of operation and setup on it."""
    surfaces = (Surface("seat", "outside", 30, 0, 30), Surface("grip", "knurl", 36, 30, 45),
        Surface("cone", "taper", 30, 45, 60, end_diameter=20), Surface("screw", "thread", 20, 60, 80, thread="M20x1.5"),
        Surface("hole", "bore", 16, 0, 40), Surface("nut", "inside thread", 18, 0, 15, thread="M18x1.5"),
        Surface("groove", "inside recess", 20, 20, 24), Surface("relief", "recess", 17, 58, 60))
    whole = Part("trial piece", "bronze CuSn8", 80, Blank(38, 86, "bronze, cast"), surfaces)
    held = (Holding(1, "three-jaw chuck", "", 38, 30, 50, "near end", kind="three jaws", grip=(49, 85)),
        Holding(2, "centres", "", 38, 0, 80, "far end", centre=True, kind="between centres"),
        Holding(3, "collet", "seat", 30, 25, 55, "far end", kind="collet", grip=(0, 25)),
        Holding(4, "soft jaws", "seat", 30, 25, 55, "far end", kind="soft jaws", grip=(0, 25), centre=True, steady=65),
        Holding(5, "mandrel", "hole", 16, 40, 80, "far end", kind="mandrel", grip=(0, 40), centre=True, inside=True),
        Holding(6, "four-jaw chuck", "hole", 16, 20, 60, "far end", kind="four jaws", grip=(0, 20), inside=True),
        Holding(7, "three-jaw chuck", "", 38, 25, 60, "near end", kind="three jaws", grip=(60, 85), through=True))
    work, steps = Outline.bar(-1, 85, 19), []

    def step(kind, setup, left, surface="", tool="a tool", **more):
        nonlocal work
        steps.append(Operation(len(steps) + 1, kind, surface, setup, (), False, tool=tool, outline_before=work.rows,
            outline_after=left.rows, **more))
        work = left

    step("face", 1, work.faced("near end", 0), side="face", depths=(0.5,))
    step("centre drill", 1, work, side="inside")
    step("drill", 1, work.drilled(15, 118, 45, "near end"), "hole", side="inside", after=15, tool_diameter=15,
        tool_stickout=60, stop=45)
    step("flat bottom", 1, work.bored(0, 40, 7.6), "hole", side="inside", after=15.2, tool_diameter=15.2, stop=40)
    step("rough bore", 1, work.bored(0, 40, 7.8), "hole", side="inside", after=15.6, stop=40, tool_diameter=10,
        tool_stickout=46, depths=(0.2,))
    step("bore", 1, work.bored(0, 40, 8), "hole", side="inside", after=16, target=16.005, stop=40, tool_diameter=10,
        tool_stickout=46, depths=(0.2,), nose=0.4)
    step("inside recess", 1, work.bored(20, 24, 10), "groove", side="inside", after=20, stop=24, tool_diameter=8,
        tool_stickout=30)
    step("inside thread", 1, work, "nut", side="inside", after=18, stop=15, tool_diameter=8, tool_stickout=20,
        pitch=1.5, start=0, end=15)
    step("rough turn", 1, work.turned(-1, 30, 15.2), "seat", side="outside", after=30.4, stop=30, depths=(1, 1))
    step("finish turn", 1, work.turned(0, 30, 15), "seat", side="outside", after=30, target=29.99, dial=29.988,
        stop=30, depths=(0.1,), nose=0.4)
    step("chamfer", 1, work.turned(0, 1, 14, 15), "seat", side="outside")
    step("knurl", 2, work.turned(30, 45, 18), "grip", side="outside", start=30, end=45, after=36)
    step("rough taper", 2, work.turned(45, 86, 15), "cone", side="outside", start=45, end=60, centre=True, after=30)
    step("taper", 2, work.turned(45, 60, 15, 10).turned(60, 86, 10), "cone", side="outside", start=45, end=60,
        after=30, end_diameter=20, centre=True)
    step("undercut", 3, work.turned(58, 60, 8.5), "relief", side="outside", after=17)
    step("thread", 4, work, "screw", side="outside", start=60, end=80, centre=True, pitch=1.5, target=18.16)
    step("indicate", 4, work, start=70, end=70, tool="")
    step("deburr", 5, work, centre=True, start=78, end=80, tool="")
    step("face", 6, work.faced("far end", 80), side="face", depths=(0.5,), target=80)
    step("part off", 7, work.faced("far end", 70), side="outside", stop=72, target=70)
    step("cool", 7, work, tool="", wait=600.0)
    step("turn round", 7, work, tool="")
    return dataclasses.replace(job.plan(part.demo("bush")), part=whole, holdings=held, operations=tuple(steps))


WRITTEN = sorted((Path(__file__).parent / "plan_parts").glob("*.toml"))
PLANS = {**{name: job.plan(part.demo(name)) for name in part.DEMOS}, "by hand": by_hand()}
STEPS = [(name, o.number) for name, made in PLANS.items() for o in made.operations]
CUTS = {"face", "drill", "flat bottom", "rough bore", "bore", "ream", "rough turn", "finish turn", "rough taper",
    "taper", "chamfer", "undercut", "recess", "inside recess", "part off", "thread", "inside thread"}
NUMBER = r"-?\d+(?:\.\d+)?"


def corners(svg):
    """Every point that is drawn, px."""
    found = [pair for text in re.findall(r'points="([^"]*)"', svg) for pair in text.split()]
    found += re.findall(rf"[ML]({NUMBER},{NUMBER})", svg)
    return np.array([[float(v) for v in pair.split(",")] for pair in found])


@pytest.mark.parametrize("name,number", STEPS)
def test_nothing_is_drawn_outside_the_frame(name, number):
    for svg, frame in ((setup_picture.picture(PLANS[name], number, Say()), PAGE),
            (setup_picture.small(PLANS[name], number, Say(True)), SHEET)):
        at = corners(svg)
        assert at.min() >= -0.05
        assert at[:, 0].max() <= frame.width + 0.05 and at[:, 1].max() <= frame.height + 0.05
        assert "nan" not in svg and "inf" not in svg.replace("information", "")


@pytest.mark.parametrize("name,number", STEPS)
def test_what_is_cut_has_a_body_and_the_tool_touches_it(name, number):
    made = PLANS[name]
    o = made.operation(number)
    pieces = setup_picture.pieces_of(made, o)
    assert all(p.area > 0 for p in pieces)
    if o.kind not in CUTS:
        return
    assert pieces, f"{o.kind} takes nothing off"
    if o.kind not in setup_tools.THREADS:   # a thread's outline stands at its crests
        was, left = (sum(area(s) for s in bodies(rows)) for rows in (o.outline_before, o.outline_after))
        assert sum(p.area for p in pieces) == pytest.approx(was - left, rel=1e-6, abs=1e-9)
    view = view_of(made, made.holdings[o.holding - 1], PAGE)
    cut = setup_tools.cut_of(o, view, pieces)
    assert cut is not None
    edge = (o.after or 0.0) / 2 if o.kind in setup_tools.DRILLS else cut.radius   # a drill cuts out to its edge
    near = [max(p.ends[0] - cut.z, cut.z - p.ends[1], 0.0) + max(p.radii[0] - edge, cut.radius - p.radii[1], 0.0)
        for p in pieces]
    assert min(near) < 0.01, f"the tool stands {min(near):.3f} mm away from what it cuts"
    if o.kind not in (*setup_tools.THREADS, "drill", "centre drill"):   # and in no metal that stays
        for way in (-1, 1):
            outside, inside = radii_at(np.asarray(o.outline_after), cut.z + way * 1e-6, way)
            assert cut.radius >= outside - 1e-6 or cut.radius <= inside + 1e-6 or way != view.way


@pytest.mark.parametrize("file", WRITTEN, ids=lambda file: file.stem)
def test_every_step_of_a_written_part_is_drawn_within_the_frame(file):
    made = job.plan(part.read_text(file.read_text(encoding="utf-8"), file.name))
    for o in made.operations:
        svg = setup_picture.picture(made, o.number, Say())
        at = corners(svg)
        assert at.min() >= -0.05 and (at.max(0) <= np.array([PAGE.width, PAGE.height]) + 0.05).all(), o
        assert "nan" not in svg and step_words.now(made, o, Say())


TEXT = re.compile(r"<text ([^>]*)>([^<]*)</text>")


def boxes(svg, letters, small):
    """Where the words of a picture stand, in letters of these sizes, px."""
    found = []
    for more, words in TEXT.findall(svg):
        look = dict(re.findall(r'([\w-]+)="([^"]*)"', more))
        size = small if "small" in look["class"] else letters
        wide, x, y = breadth(unescape(words), size), float(look["x"]), float(look["y"])
        left = x - {"middle": wide / 2, "end": wide}.get(look.get("text-anchor", "start"), 0.0)
        found.append((left, y - 0.72 * size, left + wide, y + 0.2 * size, words))
    assert found
    return found


def overlapping(made):
    """Pairs of words that lie on each other, on a desk's screen and on a phone's."""
    found = []
    for o in made.operations:
        for say in (Say(), Say(True)):
            for letters, small in ((14, 12.5), (16.5, 15)):
                placed = boxes(setup_picture.picture(made, o.number, say), letters, small)
                found += [(o.number, o.kind, a[4], b[4]) for i, a in enumerate(placed) for b in placed[:i]
                    if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]]
    return found


@pytest.mark.parametrize("name", PLANS)
def test_no_words_of_a_step_lie_on_each_other(name):
    assert overlapping(PLANS[name]) == []


@pytest.mark.parametrize("file", WRITTEN, ids=lambda file: file.stem)
def test_no_words_of_a_written_parts_steps_lie_on_each_other(file):
    assert overlapping(job.plan(part.read_text(file.read_text(encoding="utf-8"), file.name))) == []


@pytest.mark.parametrize("name", PLANS)
def test_the_part_stands_still_through_a_setup_and_flips_when_it_is_turned(name):
    made = PLANS[name]
    views = [view_of(made, h, PAGE) for h in made.holdings]
    assert len({(round(v.along, 9), v.stretch) for v in views}) == 1, "one scale through the whole plan"
    for h, v in zip(made.holdings, views, strict=True):
        assert v.way == (1 if h.end == "far end" else -1)
        assert v.x(v.free) > v.x(v.jaw), "the free end looks at the tailstock"


def test_a_thin_cut_gets_a_lens_and_a_thick_one_none():
    made = PLANS["drive_sleeve"]
    seen = {o.number: "enlarged ×" in setup_picture.picture(made, o.number, Say()) for o in made.operations}
    finish = [o.number for o in made.operations if o.kind == "finish turn"]
    assert all(seen[n] for n in finish)
    assert not any(seen[o.number] for o in made.operations if o.kind in ("drill", "thread", "cool"))


def test_a_long_slim_shaft_is_drawn_thicker_and_says_so():
    shaft = Part("shaft", "carbon steel C45 / 1045", 300, Blank(20, 304, "steel, cold drawn"),
        (Surface("all", "outside", 18, 0, 300),))
    made = PLANS["bush"]
    rows = Outline.bar(-2, 302, 10).rows
    h = Holding(1, "three-jaw chuck", "", 20, 30, 274, "near end", grip=(272, 302))
    o = Operation(1, "face", "", 1, (), False, tool="a tool", side="face", outline_before=rows,
        outline_after=Outline.bar(0, 302, 10).rows)
    slim = dataclasses.replace(made, part=shaft, holdings=(h,), operations=(o,))
    assert view_of(slim, h, PAGE).stretch > 1
    assert "diameters exaggerated ×" in setup_picture.picture(slim, 1, Say())


def test_section_lines_tell_the_metal():
    assert [section_of(name) for name in ("carbon steel C45 / 1045", "aluminium 6082", "bronze CuSn8",
        "brass CuZn39Pb3", "acetal")] == ["steel", "light", "copper", "copper", "plain"]


@given(st.lists(st.tuples(st.floats(0.5, 30), st.floats(1, 20), st.floats(0, 0.9)), min_size=1, max_size=6),
    st.floats(0.3, 1.0))
@settings(max_examples=60, deadline=None)
def test_what_is_taken_off_is_the_difference(blocks, left):
    rows, z = [], 0.0
    for long, radius, hole in blocks:
        rows += [(z, radius, hole * radius), (z + long, radius, hole * radius)]
        z += long
    before = np.array(rows)
    cut = before.copy()
    cut[:, 1] = np.maximum(cut[:, 1] * left, cut[:, 2])
    pieces = taken(before, cut)
    whole, rest = (sum(area(s) for s in bodies(shape)) for shape in (before, cut))
    assert sum(p.area for p in pieces) == pytest.approx(whole - rest, rel=1e-6, abs=1e-6)


@given(st.lists(st.tuples(st.floats(-50, 150), st.floats(-50, 150)), min_size=3, max_size=8))
@settings(max_examples=60, deadline=None)
def test_what_is_cut_off_lies_within_the_edge(points):
    shape = clipped(np.array(points), box(0, 0, 100, 80))
    assert len(shape) == 0 or (shape.min() >= -1e-9 and (shape.max(0) <= np.array([100, 80]) + 1e-9).all())


def test_a_square_half_in_the_frame_is_cut_in_half():
    square = np.array([[-10.0, 10], [10, 10], [10, 30], [-10, 30]])
    assert area(clipped(square, box(0, 0, 100, 80))) == pytest.approx(200.0)


@pytest.mark.parametrize("name,number", [s for s in STEPS if s[0] != "by hand"])
def test_the_words_of_a_step_are_sentences(name, number):
    made = PLANS[name]
    o = made.operation(number)
    said = step_words.now(made, o, Say())
    assert said.startswith(f"Step {number} of {len(made.operations)}: ")
    for line in said.split("\n"):
        assert line[0].isupper() and line[-1] == "."
    assert not re.search(r"\b(turns a minute|likely|zero|odds)\b", said)
    if o.tool:
        assert f"Use the {o.tool}" in said
    if o.spindle:
        assert f"{o.spindle:.0f} rpm" in said
