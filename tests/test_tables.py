"""The one reader of data/, and the state of the data itself."""

import csv
from pathlib import Path

import pytest

from springpass.core import tables
from springpass.core.quantity import Refused

DATA = Path(__file__).resolve().parents[1] / "data"
FILES = sorted(DATA.glob("*.csv"))


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_every_row_has_its_provenance(path):
    rows = tables.rows(path.stem)
    assert rows
    for number, row in enumerate(rows, 1):
        assert None not in row, f"row {number} has more cells than the header"
        assert row["basis"] in tables.BASES, f"row {number}: basis {row['basis']!r}"
        assert row["basis"] == "common practice" or row["source"], f"row {number}: no source"


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_ranges_are_ordered(path):
    for number, row in enumerate(tables.rows(path.stem), 1):
        low, value, high = row.get("low"), row.get("value"), row.get("high")
        if isinstance(low, float) and isinstance(high, float):
            assert low <= high, f"row {number}"
            if isinstance(value, float):
                assert low <= value <= high, f"row {number}"


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_no_two_rows_are_the_same(path):
    with path.open(encoding="utf-8", newline="") as file:
        lines = [tuple(row) for row in csv.reader(line for line in file if not line.startswith("#"))]
    assert len(lines) == len(set(lines))
    assert len({len(line) for line in lines}) == 1


def test_a_row_is_found_or_the_nearest_names_are_given():
    assert tables.row("kienzle", material="medium-carbon steel")["kc11"] == 1500
    with pytest.raises(Refused, match="medium-carbon steel"):
        tables.row("kienzle", material="medium carbon steel")
    with pytest.raises(Refused, match="missing from the data folder"):
        tables.rows("no_such_table")


def test_a_step_is_over_its_lower_and_up_to_its_upper_end(tmp_path, monkeypatch):
    (tmp_path / "steps.csv").write_text("over,upto,value,source,basis\n10,18,11,x,read\n18,30,13,x,read\n",
                                        encoding="utf-8")
    monkeypatch.setenv("SPRINGPASS_DATA", str(tmp_path))
    tables.rows.cache_clear()
    try:
        assert tables.step("steps", 18)["value"] == 11
        assert tables.step("steps", 18.001)["value"] == 13
        for size in (10, 30.001, -1, float("nan")):
            with pytest.raises(Refused, match=r"finite number|cannot be guessed"):
                tables.step("steps", size)
        with pytest.raises(Refused, match="cannot be guessed"):
            tables.interpolate("steps", 31, "upto", "value")
        assert tables.interpolate("steps", 24, "upto", "value") == 12
    finally:
        tables.rows.cache_clear()
