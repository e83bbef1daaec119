"""True running: claims, limits, and what is refused."""

import numpy as np
import pytest

from springpass import true_running as true
from springpass.core.quantity import Refused


def test_further_out_it_runs_worse():
    near, far = (true.turned_round("collet", at).run_out.high for at in (0.0, 100.0))
    assert far > 1.5 * near


def test_a_reading_takes_the_tables_place():
    found = true.turned_round("three jaws", 0.0, measured=0.020)
    assert found.run_out.value == pytest.approx(0.020, abs=2e-4)
    assert found.run_out.high - found.run_out.low < 0.005


def test_a_chance_is_the_share_of_the_samples():
    found = true.turned_round("three jaws", 60.0)
    assert found.chance(found.run_out.value) == pytest.approx(0.5, abs=0.01)
    assert found.chance(0.0) == 0 and found.chance(10.0) == 1
    assert found.eccentricity.value == found.run_out.value / 2


@pytest.mark.parametrize("given, says", [
    ({"way": "magnet"}, "no way of holding called"),
    ({"distance": -1.0}, "zero or more"),
    ({"distance": np.nan}, "istance from the jaws"),
    ({"measured": -0.1}, "un-out that was read"),
])
def test_what_cannot_be_is_refused(given, says):
    with pytest.raises(Refused, match=says):
        true.turned_round(**given)


@pytest.mark.parametrize("text, moves", [
    ("3 0.12; 2 0.05", [(3, 0.12), (2, 0.05)]),
    ("1 0,2\n4 -0.1\n", [(1, 0.2), (4, -0.1)]),
    (" 2: 5 thou ;; ", [(2, 0.127)]),
    ("", []),
])
def test_moves_are_read(text, moves):
    assert [(m.jaw, pytest.approx(m.by)) for m in true.read_moves(text)] == moves


@pytest.mark.parametrize("text", ["5 0.1", "3", "three 0.1", "3 abc", "3 9", "3 0.1 2 0.1", "1 nan", "1 1e9",
                                  "; ".join(["1 0.01"] * 41)])
def test_moves_that_cannot_be_read_are_refused(text):
    with pytest.raises(Refused):
        true.read_moves(text)


def test_the_same_start_and_moves_end_alike():
    moves = true.read_moves("3 0.12; 2 0.05")
    assert true.follow(7, moves) == true.follow(7, moves) != true.follow(8, moves)


def test_the_rule_sets_every_start_true():
    """Five hundred starts: three or four moves, and five are enough in nineteen of twenty, as the chapter says."""
    games = [true.by_the_rule(seed, 0.02) for seed in range(1, 501)]
    counts = [len(game) - 1 for game in games]
    assert all(game[-1].run_out <= 0.02 for game in games)
    assert 3 <= np.mean(counts) <= 4 and np.quantile(counts, 0.95) <= 5 and max(counts) <= 12


def test_an_oval_bar_hides_in_the_pairs():
    """Opposite readings of an oval are alike, so the rule sets the axis true and the dial still swings."""
    last = true.by_the_rule(4, 0.02, oval=0.06)[-1]
    assert 2 * np.hypot(last.right, last.up) < 0.035 and last.run_out > 0.05


def test_odd_lobes_are_seen_by_one_and_even_lobes_by_the_other():
    odd, even = (true.shown(0.0, 0.0, 0.0, 50.0, 0.004, n) for n in (3, 2))
    assert odd.near_swing == pytest.approx(0.008, rel=0.01) and odd.across == pytest.approx(0, abs=1e-9)
    assert even.across == pytest.approx(0.016, rel=0.01)


def test_a_vee_shows_lobes_of_the_end_that_lies_in_it():
    three, seven = (true.shown(0.0, 0.0, 0.0, 50.0, 0.004, n, "first end in 90° vee blocks") for n in (3, 2))
    assert three.near_swing == pytest.approx(0.008, rel=0.01) and seven.near_swing == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("call", [
    lambda: true.between_centres(head="loose"),
    lambda: true.between_centres(place=90.0, length=85.0),
    lambda: true.on_mandrel(tolerance="h7"),
    lambda: true.on_mandrel(outside=18.0),
    lambda: true.on_mandrel(material="butter"),
    lambda: true.seat_by_way(shoulder=18.0),
    lambda: true.seat_limits(20.0, "P9"),
    lambda: true.shown(0.01, 0.0, 0.0, 50.0, 0.004, 3, "string"),
    lambda: true.follow(1, (), oval=-1.0),
])
def test_what_else_cannot_be_is_refused(call):
    with pytest.raises(Refused):
        call()
