"""A machinist's handbook on measuring threads over wires. Basis: from memory."""

import pytest

from outside import agrees, source
from springpass.threads import single_point as thread_cutting


@pytest.mark.parametrize("name, pitch", [("M6", 1.0), ("M10", 1.5), ("M18x1", 1.0)])
@source(
    "a machinist's handbook, wires for 60° threads", place="smallest 0.505182 P, largest 1.010363 P", basis="memory"
)
def test_smallest_and_largest_wire(name, pitch):
    agrees("wires", thread_cutting.wire_span(name), (0.505182 * pitch, 1.010363 * pitch), rel=1e-5, unit="mm",
           of=thread_cutting.wire_span)
