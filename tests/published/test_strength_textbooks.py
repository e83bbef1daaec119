"""Textbooks and handbooks of the strength of materials and of vibration. Basis beside each."""


import numpy as np

from outside import agrees, source
from springpass import workholding as wh
from springpass.reaming import hole as reamed_hole


@source("Blevins, Formulas for Natural Frequency and Mode Shape", place="clamped-free beam, first mode", basis="memory")
def test_modal_stiffness():
    """Blevins (from memory): β⁴/12 = 1.0302 of the static stiffness."""
    from springpass.boring_bar.vibration import MODAL
    agrees("MODAL", MODAL, 1.875104069**4 / 12, abs=5e-5)


@source("a finite-element verification manual", place="thick-walled cylinder under internal pressure", basis="read")
def test_bore_under_pressure():
    """a = 10, b = 20, E = 210 GPa, nu = 0.3, p = 100 MPa, plane strain: 9.08 µm on radius.

    Printed in a finite-element verification manual (thick-walled cylinder under internal pressure; read). Plane strain
    follows from plane stress with E/(1 - nu²) and nu/(1 - nu).
    """
    grown = reamed_hole.bore_closing(100.0, 20.0, 40.0, 210e3 / (1 - 0.3**2), 0.3 / (1 - 0.3))
    agrees("grown", grown / 2, 9.08e-3, abs=5e-6, of=reamed_hole.bore_closing)


@source("Timoshenko, Strength of Materials, part I; an aircraft-structures textbook (read)",
        place="ring under two loads; chapter 5", basis="memory")
def test_ring_pressed_at_two_places_as_in_the_textbooks():
    """Timoshenko, Strength of Materials part I: diameters change by (pi/4 - 2/pi) and (2/pi - 1/2) PR^3/EI (memory).
    The moment under the load is PR/pi (read: an aircraft-structures textbook, chapter 5 on energy methods)."""
    one = {"load": 1.0, "radius": 1.0, "jaws": 2, "width": 12.0, "wall": 1.0}
    agrees("thin ring at jaw", 2 * wh.thin_ring_at_jaw(**one, modulus=1.0), 0.1488, abs=5e-5, of=wh.thin_ring_at_jaw)
    agrees("thin ring midway", 2 * wh.thin_ring_midway(**one, modulus=1.0), 0.1366, abs=5e-5, of=wh.thin_ring_midway)
    agrees("wall stress", wh.wall_stress(**one) * 2, 1 / np.pi, rel=1e-6, of=wh.wall_stress)


@source("a design handbook's chapter on curved members", place="table 27.1", basis="read")
def test_share_of_bending_in_a_ring_ten_times_as_large_as_its_wall_is_thick():
    """A design handbook's chapter on curved members, table 27.1 (read; the stored copy does not show its title): of the
    deflections of a ring with R/h = 10 under two loads, bending makes 98.44 % along the load and 99.51 % across it."""
    full = wh.ring_lobing(21.0, 19.0, 1.0, 1.0, 2, 205e3, 0.3, 0.5)
    thin = {"load": 1.0, "radius": 10.0, "jaws": 2, "width": 1.0, "wall": 1.0, "modulus": 205e3}
    agrees("thin ring at jaw", wh.thin_ring_at_jaw(**thin) / -full.at_jaw, 0.9844, abs=0.003, of=wh.thin_ring_at_jaw)
    agrees("thin ring midway", wh.thin_ring_midway(**thin) / full.midway, 0.9951, abs=0.003, of=wh.thin_ring_midway)
