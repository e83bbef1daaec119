"""Material properties near room temperature against handbook values.

Source of the list: Callister, Fundamentals of Materials Science and Engineering, App. B, and data
sheets. `read` means seen in a copy of the source, `memory` means from memory; each with the range
in which handbooks and makers lie.
"""

import pytest

from outside import agrees, claim, source
from springpass.core import tables

# material, property, value, unit, (low, high), basis
VALUES = [
    ("42CrMo4 / 4140", "alpha", 1.23e-05, "1/K", (1.11e-05, 1.24e-05), "read"),
    ("42CrMo4 / 4140", "k", 42.6, "W/(m K)", (42, 46), "read"),
    ("free-cutting steel 11SMn30 / 12L14", "density", 7850, "kg/m3", (7840, 7870), "memory"),
    ("free-cutting steel 11SMn30 / 12L14", "cp", 472, "J/(kg K)", (450, 490), "memory"),
    ("stainless 304", "alpha", 1.72e-05, "1/K", (1.6e-05, 1.73e-05), "read"),
    ("stainless 304", "E", 193, "GPa", (190, 200), "read"),
    ("stainless 303", "density", 8000, "kg/m3", (7900, 8030), "memory"),
    ("stainless 303", "cp", 500, "J/(kg K)", (480, 510), "memory"),
    ("stainless 303", "E", 193, "GPa", (190, 200), "memory"),
    ("stainless 303", "nu", 0.28, "-", (0.25, 0.3), "memory"),
    ("stainless 316", "alpha", 1.6e-05, "1/K", (1.59e-05, 1.65e-05), "read"),
    ("stainless 316", "E", 193, "GPa", (190, 200), "read"),
    ("stainless 316", "k", 15.9, "W/(m K)", (13, 16.3), "memory"),
    ("grey cast iron G4000", "E", 124, "GPa", (110, 138), "read"),
    ("grey cast iron", "nu", 0.26, "-", (0.22, 0.28), "read"),
    ("grey cast iron", "k", 48, "W/(m K)", (46, 55), "memory"),
    ("aluminium 6082", "density", 2700, "kg/m3", (2690, 2715), "read"),
    ("aluminium 6082", "nu", 0.33, "-", (0.33, 0.35), "memory"),
    ("aluminium 2011", "cp", 880, "J/(kg K)", (860, 880), "read"),
    ("aluminium 2011", "nu", 0.33, "-", (0.33, 0.35), "read"),
    ("brass C36000", "density", 8500, "kg/m3", (8440, 8530), "read"),
    ("brass C36000", "k", 116, "W/(m K)", (109, 123), "read"),
    ("brass CuZn39Pb3", "alpha", 2.1e-05, "1/K", (2.05e-05, 2.14e-05), "memory"),
    ("brass CuZn39Pb3", "cp", 377, "J/(kg K)", (375, 390), "memory"),
    ("brass CuZn39Pb3", "E", 97, "GPa", (96, 105), "memory"),
    ("bearing bronze C93200 / SAE 660", "density", 8910, "kg/m3", (8800, 8930), "read"),
    ("bearing bronze C93200 / SAE 660", "E", 100, "GPa", (97, 103), "read"),
    ("bearing bronze C93200 / SAE 660", "nu", 0.35, "-", (0.34, 0.35), "read"),
    ("bronze CuSn8", "density", 8800, "kg/m3", (8780, 8820), "memory"),
    ("bronze CuSn8", "k", 65, "W/(m K)", (59, 67), "memory"),
    ("bronze CuSn8", "cp", 377, "J/(kg K)", (370, 380), "memory"),
    ("copper C11000", "density", 8890, "kg/m3", (8890, 8960), "read"),
    ("copper C11000", "k", 391, "W/(m K)", (380, 401), "read"),
    ("copper C11000", "cp", 385, "J/(kg K)", (380, 390), "memory"),
    ("Ti-6Al-4V", "alpha", 8.6e-06, "1/K", (8.6e-06, 9.2e-06), "read"),
    ("Ti-6Al-4V", "k", 6.7, "W/(m K)", (6.7, 7.2), "memory"),
    ("Ti-6Al-4V", "cp", 560, "J/(kg K)", (526, 610), "read"),
    ("Ti-6Al-4V", "nu", 0.34, "-", (0.33, 0.36), "read"),
    ("acetal POM", "E", 2.8, "GPa", (2.5, 3.1), "read"),
    ("acetal POM", "nu", 0.35, "-", (0.33, 0.44), "memory"),
    ("cemented carbide WC-6Co", "density", 14900, "kg/m3", (14800, 15000), "memory"),
    ("cemented carbide WC-6Co", "cp", 210, "J/(kg K)", (200, 280), "memory"),
    ("cemented carbide WC-10Co", "alpha", 5.5e-06, "1/K", (5e-06, 6e-06), "memory"),
    ("cemented carbide WC-10Co", "k", 80, "W/(m K)", (70, 105), "memory"),
    ("cemented carbide WC-10Co", "cp", 220, "J/(kg K)", (200, 280), "memory"),
    ("tungsten heavy alloy 90W", "alpha", 5.4e-06, "1/K", (4.5e-06, 6.1e-06), "memory"),
    ("HSS M2", "alpha", 1.1e-05, "1/K", (1e-05, 1.15e-05), "memory"),
    ("HSS M2", "E", 210, "GPa", (200, 220), "memory"),
    ("HSS M2", "cp", 440, "J/(kg K)", (420, 460), "memory"),
    ("FeNi36", "cp", 500, "J/(kg K)", (500, 515), "read"),
    ("FeNi36", "density", 8050, "kg/m3", (8050, 8130), "memory"),
    ("FeNi36", "E", 145, "GPa", (137, 150), "memory"),
    ("FeNi36", "k", 10.5, "W/(m K)", (10, 13.5), "memory"),
]
SCALE = {"GPa": 1e3}


@pytest.mark.parametrize("material, what, value, unit, span, basis", VALUES)
@source("Callister, Fundamentals of Materials Science and Engineering; data sheets", place="App. B", basis="memory")
def test_value(material, what, value, unit, span, basis):
    scale = SCALE.get(unit, 1)
    found = tables.fact("materials", material=material, property=what)
    agrees("", found.value, value * scale, rel=1e-9, basis=basis, of=tables.fact)
    claim("span", span[0] * scale <= found.value <= span[1] * scale, basis=basis, of=tables.fact)


# Callister and Rethwisch, Fundamentals of Materials Science and Engineering, 3rd ed., Table B.6, read: 1e-6 /K
TABLE_B6 = {"low-carbon steel 1020": 11.7, "42CrMo4 / 4140": 12.3, "stainless 304": 17.2, "stainless 316": 16.0,
            "grey cast iron G4000": 11.4, "aluminium 6061": 23.6, "aluminium 7075": 23.4, "copper C11000": 17.0,
            "brass C36000": 20.5, "bearing bronze C93200 / SAE 660": 18.0, "Ti-6Al-4V": 8.6, "FeNi36": 1.6}


@pytest.mark.parametrize("material, value", TABLE_B6.items())
@source("Callister and Rethwisch, Fundamentals of Materials Science and Engineering, 3rd ed.", place="Table B.6",
        basis="read")
def test_expansion_as_printed(material, value):
    agrees(
        "", tables.fact("materials", material=material, property="alpha").value, value * 1e-6, rel=1e-9, of=tables.fact
    )


# the same, Table B.2, read: GPa
TABLE_B2 = {"low-carbon steel 1020": 207, "42CrMo4 / 4140": 207, "stainless 304": 193, "stainless 316": 193,
            "aluminium 6061": 69, "aluminium 7075": 71, "copper C11000": 115}


@pytest.mark.parametrize("material, value", TABLE_B2.items())
@source("Callister and Rethwisch, Fundamentals of Materials Science and Engineering, 3rd ed.", place="Table B.2",
        basis="read")
def test_modulus_as_printed(material, value):
    agrees("", tables.fact("materials", material=material, property="E").value, value * 1e3, rel=1e-9, of=tables.fact)


@source("Dulong and Petit; the bounds of Poisson's ratio", place="every material", basis="common practice")
def test_pure_materials_obey_what_physics_asks_of_them():
    """Heat per volume of solid metals lies near 2 to 4 MJ/(m³ K) (Dulong and Petit), Poisson's ratio under a half."""
    for material in tables.names("materials", "material"):
        rho, cp, nu = (tables.fact("materials", material=material, property=p).value for p in ("density", "cp", "nu"))
        claim("rho", 1.9e6 < rho * cp < 4.1e6, of=tables.fact, note=material)
        claim("nu", 0.15 < nu < 0.5, of=tables.fact, note=material)
