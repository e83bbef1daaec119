"""Facts in data/ are marked as what they are."""

import csv

import numpy as np

from springpass import fits, heat
from springpass.core import tables
from springpass.core.tables import fact


def test_every_row_says_how_it_is_known():
    for row in tables.rows("residual_stress"):
        assert row["basis"] in tables.BASES and row["source"]
        assert row["low"] is None or row["low"] <= row["value"] <= row["high"]
        # magnitudes were not read anywhere, and must not look as if they had been
        if row["property"] in ("axial", "hoop_ratio", "m", "n"):
            assert row["basis"] == "memory"


def test_the_trades_ratios_stand_in_the_table():
    assert fact("bar_rules", name="slenderness steel").basis == "common practice"
    assert fact("bar_rules", name="slenderness carbide").value == 6


def test_common_practice_is_marked_as_such():
    """A standard bearing is not made hotter than some 120 °C (two fitting notes; common practice)."""
    limit = heat.rule("bearing hottest")
    assert limit.basis == "common practice" and 110 <= limit.value <= 125
    assert tables.fact("heat_rules", rule="flank share").basis == "common practice"


def test_arrays_agree_with_single_sizes():
    sizes = np.array([0.5, 3, 3.001, 18, 18.001, 65, 65.001, 499.9, 500])
    many = fits.limits(sizes, "S7")
    for size, lower, upper in zip(sizes, many.lower, many.upper, strict=True):
        one = fits.limits(float(size), "S7")
        assert (one.lower, one.upper) == (lower, upper)


def test_every_material_has_all_six_properties_once_with_range_and_source():
    with (tables.folder() / "materials.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    wanted = {"alpha": "1/K", "k": "W/(m K)", "cp": "J/(kg K)", "density": "kg/m³", "E": "MPa", "nu": "1"}
    materials = {row["material"] for row in rows}
    assert len(materials) >= 18
    assert sorted((row["material"], row["property"]) for row in rows) == sorted(
        (m, p) for m in materials for p in wanted
    )
    for row in rows:
        assert row["unit"] == wanted[row["property"]]
        assert float(row["low"]) <= float(row["value"]) <= float(row["high"])
        assert row["source"] and row["basis"] in tables.BASES


def test_every_table_row_is_signed():
    """Each row of the tables has its source and an honest basis."""
    for name in (
        "iso286_grades",
        "iso286_shafts",
        "iso286_holes",
        "iso286_rules",
        "bearings",
        "bearing_seats",
        "bearing_seat_form",
        "fit_feels",
        "press_friction",
    ):
        for row in tables.rows(name):
            assert row["source"] and row["basis"] in tables.BASES, (name, row)
