"""DIN 7190: press fits. Basis: from memory."""

from outside import agrees, source
from springpass.fits import pressing


@source("DIN 7190", place="smoothing: 0.8 (Rz of the hub + Rz of the shaft)", basis="memory")
def test_interference_lost_by_smoothing():
    """Rz 6.3 in the hub and 4 on the shaft: 0.8·10.3 = 8.24 µm."""
    agrees("lost", pressing.peaks_lost(0.0063, 0.004), 0.00824, rel=1e-9, unit="mm", of=pressing.peaks_lost)
