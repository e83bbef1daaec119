"""Articles of the magazine Cutting Tool Engineering.

The article of July 2019 carries 416231.46 * 3.1416 for d to the fourth times pi: its I is a unit off in the last digit.
"""

import numpy as np
import pytest

from outside import agrees, claim, source
from springpass.bore_stress import stress_after
from springpass.boring_bar import bending as bar_bending


@pytest.mark.parametrize("inner", [8.0, 9.0, 9.5])
@source("B. Taylor, Cutting Tool Engineering, July 2021", place="hot-rolled versus cold-rolled steel", basis="read")
def test_a_slit_ring_of_cold_drawn_bar_springs_open_as_published(inner):
    """B. Taylor, hot-rolled versus cold-rolled steel, Cutting Tool Engineering, July 2021 (read): drawing leaves the
    skin in tension; slit a thin-walled part made from round bar and its diameter becomes larger. A ring springs open
    where the hoop stress is higher outside than inside."""
    _, hoop, _ = stress_after(10.0, 300.0, 200.0, 2.0, 2.0, inner, 10.0, np.array([inner, 10.0]))
    claim("hoop", hoop[1] > 0 > hoop[0], of=stress_after)


@source(
    "E. Isakov, Cutting Tool Engineering, July 2019", place="Boring: Calculating deflection, example 2", basis="read"
)
def test_second_moment_and_deflection_of_a_one_inch_bar():
    """E. Isakov, Boring: Calculating deflection, Cutting Tool Engineering, July 2019, example 2 (read).

    Printed: I = 20 432 mm⁴ for 25.4 mm; y = 0.0757 mm for 911.1 N at 101.6 mm with E = 20.6e4 N/mm²;
    and, in inch, I = 0.0491 in⁴.
    """
    agrees(
        "second moment", bar_bending.second_moment(25.4), 20432, abs=1.5, unit="mm⁴", of=bar_bending.second_moment
    )  # the article carries 416231.46 * 3.1416
    agrees("second moment", bar_bending.second_moment(1.0), 0.0491, abs=5e-5, unit="mm⁴", of=bar_bending.second_moment)
    agrees("tip deflection", bar_bending.tip_deflection(911.1, 101.6, 25.4, 20.6e4), 0.0757, abs=5e-5, unit="mm",
           of=bar_bending.tip_deflection)
