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
    ({"distance": -1.0}, "nought or more"),
    ({"distance": np.nan}, "istance from the jaws"),
    ({"measured": -0.1}, "un-out that was read"),
])
def test_what_cannot_be_is_refused(given, says):
    with pytest.raises(Refused, match=says):
        true.turned_round(**given)
