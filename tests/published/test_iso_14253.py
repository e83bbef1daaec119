"""ISO 14253-1: when a part may be called good. Basis: from memory."""

from outside import agrees, source
from springpass.measuring import guard_bands


@source("ISO 14253-1:2017", place="guard band at one limit", basis="memory")
def test_guard_band_of_iso_14253_1():
    # 95 % at one limit: 1.65 standard uncertainties, 0.83 of U at k = 2 (ISO 14253-1:2017, from memory)
    agrees("guard band", guard_bands.guard_band(1.0), 1.65, abs=0.006, of=guard_bands.guard_band)
