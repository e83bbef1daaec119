"""ISO 1: the reference temperature. Basis: from memory."""

from outside import agrees, source
from springpass import heat


@source("ISO 1:2022", place="reference temperature", basis="memory")
def test_reference_temperature_is_that_of_iso_1():
    agrees("REFERENCE", heat.REFERENCE, 20.0)
