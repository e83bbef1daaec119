"""Papers of research: what their abstracts and introductions state. Basis beside each."""


import pytest

from outside import agrees, claim, source
from springpass import workholding as wh
from springpass.bore_stress import stock_fact
from springpass.threads import single_point as thread_cutting


@pytest.mark.parametrize("stock, sign", [
    # Atienza and others 2005, introduction: drawn surfaces carry tension (read)
    ("steel, cold drawn", 1), ("stainless steel, cold drawn", 1), ("brass, cold drawn", 1),
    # Olson and others 2016, abstract: quenched aluminium has compression at the boundary, tension inside (read)
    ("aluminium, quenched", -1),
])
@source("Atienza and others 2005; Olson and others 2016", place="introduction; abstract", basis="read")
def test_sign_of_the_skin_stress_as_published(stock, sign):
    fact = stock_fact(stock, "axial")
    claim("low", fact.low * sign > 0, of=stock_fact)
    claim("high", fact.high * sign > 0, of=stock_fact)


@source("Nishida and others; Altschuler and others 1988", place="abstracts", basis="read")
def test_straightening_stretching_and_relief_lower_it_as_published():
    """Nishida and others (abstract): straightening lowers the drawing stress. Altschuler and others 1988 (abstract):
    stretching relieves most, never all, of a quench's stress."""
    drawn, quenched = stock_fact("steel, cold drawn", "axial"), stock_fact("aluminium, quenched", "axial")
    claim(
        "stock fact, value", 0 < stock_fact("steel, drawn and straightened", "axial").value < drawn.value, of=stock_fact
    )
    claim("stock fact, value", stock_fact("steel, stress-relieved", "axial").value <= 0.2 * drawn.value, of=stock_fact)
    stretched = stock_fact("aluminium, quenched and stretched", "axial")
    claim("low", max(abs(stretched.low), abs(stretched.high)) < abs(quenched.high), of=stock_fact)
    claim("low", stretched.low < stretched.high, of=stock_fact)


@source("Alexander 1977", place="nut dilation, 1.9 and 1.5 diameters", basis="memory")
def test_nut_strength_of_a_spreading_nut():
    """Alexander (1977, memory): the curve reaches 1 at 1.9 thread diameters and 0.84 at 1.5, worked by hand."""
    agrees("nut strength", thread_cutting.nut_strength(1.9), 1.0, abs=1e-9, of=thread_cutting.nut_strength)
    agrees("nut strength", thread_cutting.nut_strength(1.5), 0.84, abs=1e-9, of=thread_cutting.nut_strength)


@source("J. Manufacturing Science and Engineering 126(1):141", place="abstract", basis="read")
def test_thin_ring_theory_is_good_to_six_percent_at_the_measured_ratio():
    """J. Manufacturing Science and Engineering 126(1):141, abstract (read): bending theory agrees within 6 % with
    measured chucking deformation of rings with inner over outer diameter 0.881."""
    full = wh.ring_lobing(100.0, 88.1, 20.0, 1000.0, 3, 205e3, 0.29, 3.0).peak_to_valley
    thin = [
        f(1000.0, (100 + 88.1) / 4, 3, 20.0, (100 - 88.1) / 2, 205e3)
        for f in (wh.thin_ring_at_jaw, wh.thin_ring_midway)
    ]
    agrees("thin", sum(thin) / full, 1, abs=0.06, of=wh.ring_lobing)
