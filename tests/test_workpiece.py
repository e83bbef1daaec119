"""The simulated workpiece: its cuts against volumes worked by hand and against a fine grid of material."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from springpass.job.results import FAR, NEAR
from springpass.job.workpiece import Outline


def test_a_drilled_hole_has_the_volume_of_cylinder_and_cone():
    bar = Outline.bar(0, 60, 15)
    height = 5 * np.tan(np.radians(90 - 59))     # of a 118 degree point of 10 mm
    hole = bar.drilled(10, 118, 30, NEAR)
    assert bar.volume - hole.volume == pytest.approx(np.pi * 25 * (30 - height) + np.pi * 25 * height / 3)
    mirrored = bar.drilled(10, 118, 30, FAR)
    assert mirrored.volume == pytest.approx(hole.volume)
    assert hole.solid(30.1) and not hole.solid(29.9) and mirrored.solid(29.9) and not mirrored.solid(30.1)


def test_a_taper_is_a_frustum():
    bar = Outline.bar(0, 20, 10)
    cone = bar.turned(0, 20, 6, 9)
    assert cone.volume == pytest.approx(np.pi * 20 / 3 * (36 + 54 + 81))
    assert cone.outside(0, 10) == pytest.approx(7.5) and cone.slimmest(5, 20) == pytest.approx(6.75)


def test_facing_and_parting_leave_what_lies_between():
    bar = Outline.bar(-1, 51, 10).faced(NEAR, 0).faced(FAR, 50)
    assert (bar.start, bar.end) == (0, 50)
    stepped = bar.turned(0, 20, 8)
    assert stepped.rows.tolist() == [[0, 8, 0], [20, 8, 0], [20, 10, 0], [50, 10, 0]]


cuts = st.lists(st.tuples(st.sampled_from(["turn", "bore", "drill", "back", "taper"]), st.floats(0, 40),
    st.floats(1, 20), st.floats(1, 12), st.floats(1, 12)), min_size=1, max_size=8)


@given(cuts=cuts)
@settings(max_examples=150, deadline=None)
def test_any_cuts_agree_with_a_grid_of_material(cuts):
    work = Outline.bar(0, 50, 12)
    z = np.linspace(0.0123, 49.987, 701)
    out, into = np.full(len(z), 12.0), np.zeros(len(z))
    for what, start, long, r, r2 in cuts:
        end = start + long
        here = (z > start) & (z < end)
        if what in ("turn", "taper"):
            r2 = r if what == "turn" else r2
            work = work.turned(start, end, r, r2)
            out = np.where(here, np.minimum(out, r + (z - start) / long * (r2 - r)), out)
        elif what == "bore":
            work = work.bored(start, end, r)
            into = np.where(here, np.maximum(into, r), into)
        else:
            steep = np.tan(np.radians(31))
            if what == "drill":
                work = work.drilled(2 * r, 118, start, NEAR) if work.pieces else work
                into = np.maximum(into, np.clip((start - z) / steep, 0, r))
            else:
                work = work.drilled(2 * r, 118, start, FAR) if work.pieces else work
                into = np.maximum(into, np.clip((z - start) / steep, 0, r))
    exact = np.zeros((2, len(z)))
    for p in work.pieces:
        share = (z - p.z1) / max(p.z2 - p.z1, 1e-12)
        inside = (z >= p.z1) & (z <= p.z2)
        exact[0] = np.where(inside, p.o1 + share * (p.o2 - p.o1), exact[0])
        exact[1] = np.where(inside, p.i1 + share * (p.i2 - p.i1), exact[1])
    metal = np.maximum(out - into, 0)
    assert np.abs(np.maximum(exact[0] - exact[1], 0) - metal).max() < 1e-6
    assert np.abs((exact[0] - out)[metal > 1e-6]).max(initial=0) < 1e-6
    if len(work.pieces):
        assert (np.diff(work.rows[:, 0]) >= 0).all()
