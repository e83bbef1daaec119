"""The state of the data: where every row comes from, and that nothing in it is out of this world.

A column or a property without declared bounds fails, so new data must say between which ends it can lie at all.
Bounds are physical or geometrical ends, not the usual range: what lies outside is a slipped point or a wrong unit.
"""

import tomllib
from pathlib import Path

import pytest

from springpass.core import tables

DATA = Path(__file__).resolve().parents[1] / "data"
CSV = sorted(DATA.rglob("*.csv"))
TOML = sorted(DATA.rglob("*.toml"))
ROWS = [
    (path, number, row)
    for path in CSV
    for number, row in enumerate(tables.rows(path.relative_to(DATA).with_suffix("").as_posix()), 1)
]
PROVENANCE = ("source", "place", "basis")
ALSO_BASIS = ("basis", "thrust_basis", "range_basis")


def named(path: Path) -> str:
    return path.relative_to(DATA).with_suffix("").as_posix()


# ---- where it comes from --------------------------------------------------------------------------


@pytest.mark.parametrize("path", CSV, ids=named)
def test_every_row_says_where_it_comes_from(path):
    for number, row in enumerate(tables.rows(named(path)), 1):
        at = f"{path.name}, row {number}"
        assert set(PROVENANCE) <= set(row), f"{at}: the columns source, place and basis"
        check_provenance(row, at)


def check_provenance(row: dict, at: str) -> None:
    """read: source and place; memory and computed: a source, the place where it is known; common practice: neither is
    needed.
    """
    for column in ALSO_BASIS:
        assert column not in row or row[column] in tables.BASES, (
            f"{at}: {column} {row.get(column)!r}, but one of {tables.BASES} is wanted"
        )
    assert row.get("source") != "-" and (row["basis"] == "common practice" or row.get("place") != "-"), (
        f"{at}: a dash is no source"
    )
    if row["basis"] != "common practice":
        assert row.get("source"), f"{at}: no source"
    if row["basis"] == "read":
        assert row.get("place"), f"{at}: what was read has a place: table, page, section or clause"
        assert "from memory" not in str(row["source"]), f"{at}: read or remembered?"
        assert "from memory" not in str(row["place"]) or row.get("range_basis") == "memory", (
            f"{at}: read or remembered?"
        )


def entries(described, above=(), where=""):
    """Every table of a TOML file that claims numbers, with the tables around it."""
    if isinstance(described, dict):
        if (
            any(isinstance(v, (int, float)) and not isinstance(v, bool) for v in described.values())
            or "expect" in described
            or "basis" in described
        ):
            yield where, described, above
        for key, inner in described.items():
            if key not in ("check", "set"):     # settings of a page, looked up by tests of their own
                yield from entries(inner, (*above, described), f"{where}.{key}")
    elif isinstance(described, list):
        for count, inner in enumerate(described, 1):
            yield from entries(inner, above, f"{where} {count}")


@pytest.mark.parametrize("path", TOML, ids=named)
def test_every_description_says_where_it_comes_from(path):
    found = list(entries(tomllib.loads(path.read_text(encoding="utf-8"))))
    assert found or path.parent.name == "lessons"
    for where, table, above in found:
        own = next((t for t in (table, *reversed(above)) if "basis" in t), None)
        if own is None:
            assert path.parent.name == "lessons" and not {"expect"} & set(table), (
                f"{path.name}{where}: nothing says where this comes from"
            )
            continue
        check_provenance({"source": None, "place": None, **own}, f"{path.name}{where}")


def test_counts_by_basis_are_told():
    """Not a limit: it fails when nearly everything claims to have been read, which it was not."""
    count = {basis: sum(row["basis"] == basis for _, _, row in ROWS) for basis in tables.BASES}
    assert sum(count.values()) == len(ROWS) > 2500
    assert count["memory"] > 500 and count["read"] > 900


# ---- bounds ---------------------------------------------------------------------------------------

ANY = "any text"
MM, UM, SHARE = (0, 2000), (-10_000, 10_000), (0, 1)
# what a property may be at all, whatever the table; unit -> low, high
PROPERTIES = {
    "E": ("MPa", 1e3, 1.2e6),
    "nu": ("1", 0, 0.5),
    "alpha": ("1/K", 0, 50e-6),
    "k": ("W/(m K)", 0.1, 450),
    "cp": ("J/(kg K)", 100, 2500),
    "density": ("kg/m³", 900, 20_000),
    "stiffness": ("N/mm", 1e2, 1e7),
    "rotation": ("N mm/rad", 1e5, 1e11),
    "damping": ("1", 0.001, 0.3),
    "axial": ("MPa", -1500, 1500),
    "hoop_ratio": ("1", -2, 2),
    "m": ("1", 1, 40),
    "n": ("1", 1, 40),
    "surface_sign": ("1", -1, 1),
    "relief_sign": ("1", -1, 1),
    "uneven_round_the_bar": ("1", 0, 1),
    "stretch": ("1", 0, 0.1),
    "best_stretch": ("1", 0, 0.1),
    "relief_temperature": ("°C", 100, 800),
    "share_left": ("1", 0, 1),
    "finishing_stock": ("mm", 0.01, 5),
    "speed": ("m/min", 1, 2000),
    "feed_rough": ("mm", 0.02, 3),
    "feed_finish": ("mm", 0.01, 1),
    "chip_thickening": ("1", 1, 12),
    "stringiness": ("1", 0, 2),
    "chip_toughness": ("1", 0.005, 5),
    "built_up_edge": ("m/min", 0, 200),
    "r_n": ("mm", 5e-4, 0.2),
    "spring_back": ("1", 0, 1),
    "land": ("mm", 0.01, 2),
    "push_length": ("1", 0.1, 20),
    "chip_ratio": ("1", 0.05, 10),
    "build_up": ("", 0, 2),
    "rise": ("K", 0, 100),
    "follow": ("1", 0, 1),
    "stock": ("1", 0.2, 3),
    "push": ("1", 0.05, 3),
    "corner": ("mm", 1e-3, 1),
    "lead": ("deg", 0.5, 90),
    "teeth": ("1", 1, 20),
    "life": ("s", 60, 100_000),
    "gap": ("mm", 0.01, 1),
    "strength": ("MPa", 1, 80),
    "taylor": ("1", 0.05, 0.8),
    "first": ("mm", 0.005, 0.2),
}
PLASTICS = {"acetal POM"}   # they grow several times as much as any metal
# tables with a value of one kind, or of several named in one column; unit -> low, high
VALUES = {
    "assumptions": {"1": (-5, 20), "s": (0.1, 1e5), "mm": (-20, 20), "deg": (-180, 180), "°C": (-60, 500)},
    "bar_rules": {"1": (0.01, 10), "mm": (0, 10), "N/mm": (1, 5000)},
    "cutting_rules": {"1": (0.01, 300), "mm": (1e-4, 20)},
    "rescue": {"mm": (0.001, 5), "1": (0.01, 1)},
    "wear": {"mm": (0.05, 1)},
    "drills_chips": {"1": (1, 500)},
    "grooving": {"1": (1, 20), "mm": (0.005, 0.5)},
    "drills_feeds": {"inch": (1e-4, 0.1)},
    "drills_oversize": {"inch": (-0.01, 0.1)},
    "drills_speeds": {"ft/min": (5, 2000)},
    "drills_wander": {"1": (0, 0.05), "mm": (0, 2)},
    "edges": {"mm": (5e-4, 0.2)},
    "fit_feels": {"tolerance units i": (-300, 300)},
    "heat_rules": {"1": (0, 2), "deg": (0, 90), "W/(m² K)": (1, 1e5), "°C": (-60, 200), "K": (0, 200), "mm": (0, 1)},
    "heat_surfaces": {"1": (0, 1)},
    "instruments": {"µm": (0, 200), "K": (0, 20), "1e-6/K": (0, 50)},
    "lathe_steps": {"1/min": (5, 6000)},
    "reading": {"1/min": (80, 300), "min": (0.1, 15)},
    "lesson_times": {"1": (1, 40), "min": (0.1, 60)},
    "plan_rules": {"mm": (0.1, 600), "1": (0.05, 12), "deg": (2, 20), "diameters": (1, 20), "1/min": (100, 2000),
        "s": (0.2, 1000)},
    "lathe_moves": {"1": (0, 1), "mm": (1e-5, 0.05), "deg": (0.01, 5)},
    "lathe_ways": {"1": (0.01, 0.6)},
    "press_friction": {"1": (0.01, 1)},
    "reaming_allowance": {"mm": (0.005, 2)},
    "threads_crest": {"µm": (10, 3000)},
    "threads_deviation": {"µm": (-500, 500)},
    "threads_pitch": {"µm": (5, 2000)},
    "true_running_facts": {"mm": (-1, 3), "1": (-1, 2)},
    "true_running_ways": {"mm": (1e-4, 1), "1": (1e-7, 0.05)},
    "workholding_facts": {"1": (0.01, 20), "N": (1, 2e5), "mm": (0.1, 500), "mm/N": (1e-8, 1e-3), "deg": (0, 45)},
    "workholding_grip": {"1": (0.01, 1)},
    "workholding_jaws": {"deg": (0.5, 60)},
    "workholding_rules": {"diameters": (0, 20), "jaws": (1, 12), "mm": (0, 5), "always": (1, 1), "of the lobe": (0, 1)},
    "workholding_stiffness": {"N/mm": (1e2, 1e7), "N mm/rad": (1e5, 1e11)},
    "workholding_yield": {"MPa": (20, 2500)},
}
VALUE = ("value", "low", "high")
# every other column: its ends, or ANY; "table.column" before "column"
COLUMNS = {
    "bar_shanks.shank": (1, 100),
    **dict.fromkeys(
        (*PROVENANCE, "says", "unit", "property", "thrust_source", "thrust_basis", "range_basis", "distribution",
         "note"), ANY
    ),
    **dict.fromkeys(
        (
            "term",
            "meaning",
            "chapter",
            "material",
            "bar_material",
            "holder",
            "surface",
            "tool",
            "edge",
            "fluid",
            "holding",
            "reamer",
            "family",
            "condition",
            "cutting",
            "cut_as",
            "group",
            "rule",
            "what",
            "name",
            "kind",
            "form",
            "feel",
            "jaw",
            "pair",
            "operation",
            "used_for",
            "instrument",
            "input",
            "pass",
            "set",
            "series",
            "side",
            "letter",
            "which",
            "key",
            "class",
            "also",
            "face",
            "turning",
            "load",
            "demands",
            "way",
            "way",
        ),
        ANY,
    ),
    "over": MM,
    "upto": MM,
    "diameter": MM,
    "pitch": (0.1, 10),
    "bore": MM,
    "outside": MM,
    "width": MM,
    "radius": (0.05, 10),
    "undercuts.depth": (0.05, 2),
    "undercuts.run": (0.5, 10),
    "undercuts.face": (0.05, 1),
    "tapers.per_foot": (0.1, 5),
    "tapers.one_in": (0.2, 500),
    "tapers.large": MM,
    "tapers.length": MM,
    "groove": (-20, 20),
    "shortest": MM,
    "longest": MM,
    "choice": (1, 3),
    "tpi": (2, 120),
    "angle": (60, 180),
    "jaws": (2, 12),
    "count": (1, 200),
    "step": (0, 100),
    "first": (0.01, 200),
    "grade": (0, 18),
    "grade_from": (1, 18),
    "grade_to": (1, 18),
    "share": SHARE,
    "tolerance_um": (0.1, 20_000),
    "deviation_um": UM,
    "upper_um": (-200, 200),
    "lower_um": (-200, 200),
    "te": (0, 20),
    "tv": (0, 5),
    "factor": (0, 5000),
    "power": SHARE,
    "kienzle.low": (0.3, 1),
    "kienzle.high": (1, 2.5),
    "cutting_force_sets.grade": ANY,
    "kc11": (100, 5000),
    "mc": (0, 0.6),
    "kn11": (20, 4000),
    "mn": (0, 0.9),
    "rake0": (-20, 30),
    "spread": (0, 1),
    "offset": (-1, 1),
    "plus_minus": (0, 1),
    "gauge_grades.grade": ANY,
    "gauge_sets.set": ANY,
    "threads_unified.name": ANY,
    "shewhart.n": (2, 25),
    "d2": (1, 4),
    "a2": (0.1, 2),
    "d3": SHARE,
    "d4": (1, 3.3),
    "link": ANY,
    "ways": ANY,
    "state": ANY,
    "touch_off.low": (0, 1),
    "touch_off.high": (0, 1),
}
UNITS = {
    "1",
    "mm",
    "µm",
    "inch",
    "deg",
    "s",
    "°C",
    "K",
    "1/K",
    "1e-6/K",
    "N",
    "N/mm",
    "mm/N",
    "N mm/rad",
    "MPa",
    "kg/m³",
    "W/(m K)",
    "W/(m² K)",
    "J/(kg K)",
    "m/min",
    "ft/min",
    "1/min",
    "tolerance units i",
    "diameters",
    "jaws",
    "min",
    "always",
    "of the lobe",
}


def unit_of(row: dict) -> str:
    unit = row.get("unit")
    return "1" if unit in (None, 1.0) else str(unit)


def bounds_of(table: str, column: str, row: dict):
    """Low and high for a cell, ANY for a text, None where nothing is declared."""
    found = COLUMNS.get(f"{table}.{column}")
    if found is None and column in VALUE:
        prop = row.get("property")
        if prop in PROPERTIES:
            unit, *ends = PROPERTIES[prop]
            if prop == "alpha" and row.get("material") in PLASTICS:
                ends = [0, 250e-6]
            return tuple(ends) if unit in ("", unit_of(row)) else None
        return VALUES.get(table, {}).get(unit_of(row))
    return found or COLUMNS.get(column)


@pytest.mark.parametrize("path", CSV, ids=named)
def test_every_number_lies_within_bounds_that_are_declared(path):
    for number, row in enumerate(tables.rows(named(path)), 1):
        assert unit_of(row) in UNITS, f"{path.name}, row {number}: unit {row.get('unit')!r}"
        for column, cell in row.items():
            ends = bounds_of(named(path), column, row)
            at = f"{path.name}, row {number}, {column} = {cell!r}"
            assert ends is not None, f"{at}: no bounds are declared in this test for it in {unit_of(row)}"
            if ends != ANY and cell is not None:
                assert isinstance(cell, float), f"{at}: a number is wanted"
                assert ends[0] <= cell <= ends[1], f"{at}: outside {ends}"


@pytest.mark.parametrize(
    "wrong",
    [
        ("materials", {"property": "nu", "unit": 1.0}, 0.7),
        ("materials", {"property": "E", "unit": "MPa"}, 210.0),
        ("materials", {"property": "alpha", "unit": "1/K"}, 12.3),
        ("edges", {"unit": "mm"}, 7.0),
    ],
)
def test_a_slipped_point_or_unit_is_caught(wrong):
    table, row, value = wrong
    low, high = bounds_of(table, "value", row)
    assert not low <= value <= high


def test_a_column_nobody_declared_is_caught():
    assert bounds_of("materials", "hardness", {}) is None
    assert bounds_of("materials", "value", {"property": "hardness", "unit": "HV"}) is None
    assert bounds_of("materials", "value", {"property": "E", "unit": "GPa"}) is None


@pytest.mark.parametrize("path", CSV, ids=named)
def test_ranges_are_ordered(path):
    for number, row in enumerate(tables.rows(named(path)), 1):
        here = [row.get(column) for column in ("low", "value", "high")]
        known = [v for v in here if v is not None]
        assert all(isinstance(v, float) for v in known) and known == sorted(known), (
            f"{path.name}, row {number}: low, value, high are {here}, not in order"
        )
        assert (row.get("low") is None) == (row.get("high") is None), f"{path.name}, row {number}: a range has two ends"
        for start, end in (
            ("over", "upto"),
            ("grade_from", "grade_to"),
            ("shortest", "longest"),
            ("lower_um", "upper_um"),
        ):
            if row.get(start) is not None and row.get(end) is not None:
                assert row[start] <= row[end], f"{path.name}, row {number}: {start} {row[start]}, {end} {row[end]}"


def test_what_is_assumed_says_how_it_is_drawn():
    """A bell is as wide on both sides, a ratio the same factor on both sides, and each holds its middle."""
    for row in tables.rows("assumptions"):
        found = tables.assumed(row["name"])
        assert row["kind"] in tables.KINDS and row["low"] is not None, row["name"]
        if row["kind"] == "bell":
            assert found.value - found.low == pytest.approx(found.high - found.value, rel=1e-9), row["name"]
        if row["kind"] == "ratio":
            assert found.value / found.low == pytest.approx(found.high / found.value, rel=1e-5), row["name"]


# ---- two sources for one fact ---------------------------------------------------------------------

KEYS = {column for column, ends in COLUMNS.items() if ends == ANY} - {
    *PROVENANCE,
    "says",
    "thrust_source",
    "thrust_basis",
    "range_basis",
    "also",
    "unit",
    "used_for",
}
SIZES = {
    "over",
    "upto",
    "pitch",
    "grade",
    "grade_from",
    "grade_to",
    "diameter",
    "key",
    "angle",
    "bore",
    "outside",
    "tpi",
    "first",
    "jaws",
    "n",
    "shank",
}


@pytest.mark.parametrize("path", CSV, ids=named)
def test_a_fact_stands_once_in_its_table(path):
    """Where two sources disagree on one fact, the row's range holds both and its source names both: a look-up finds one
    row.
    """
    if named(path) == "lathe_steps":
        return      # its values are the steps themselves
    seen = {}
    for number, row in enumerate(tables.rows(named(path)), 1):
        key = tuple((column, cell) for column, cell in row.items() if column in KEYS | SIZES)
        assert key not in seen, f"{path.name}: rows {seen[key]} and {number} say the same fact twice"
        seen[key] = number


# the same fact in two tables: table, row, table, row
TWICE = [
    ("bar_rules", {"name": "internal turning"}, "cutting_rules", {"rule": "internal"}),
    ("bar_rules", {"name": "free work"}, "workholding_rules", {"rule": "free length for work to size"}),
    ("drills_chips", {"form": "tangles and ribbons"}, "cutting_rules", {"rule": "bulk_string"}),
    ("drills_chips", {"form": "broken short: commas and needles"}, "cutting_rules", {"rule": "bulk_short"}),
    (
        "reaming_edges",
        {"edge": "high-speed steel, freshly ground", "property": "r_n"},
        "edges",
        {"edge": "HSS, honed on a fine stone"},
    ),
    (
        "bar_materials",
        {"bar_material": "steel", "property": "E"},
        "materials",
        {"material": "42CrMo4 / 4140", "property": "E"},
    ),
    (
        "bar_materials",
        {"bar_material": "steel", "property": "nu"},
        "materials",
        {"material": "42CrMo4 / 4140", "property": "nu"},
    ),
    (
        "bar_materials",
        {"bar_material": "high-speed steel", "property": "E"},
        "materials",
        {"material": "HSS M2", "property": "E"},
    ),
]


@pytest.mark.parametrize("one, row, other, same", TWICE, ids=lambda v: v if isinstance(v, str) else "")
def test_two_tables_do_not_contradict_each_other(one, row, other, same):
    """Both stand; their ranges share values, so that no page says what another denies."""
    a, b = tables.fact(one, **row), tables.fact(other, **same)
    assert str(a.unit) == str(b.unit) or {str(a.unit), str(b.unit)} == {
        "1.0",
        "diameters",
    }  # diameters of itself: a pure number
    assert max(a.low, b.low) <= min(a.high, b.high), f"{a} and {b}"


BOTH = {  # where sources disagree: the file must hold both, as a range or in words
    "cutting_speeds.csv": ("low end", "high end"),
    "edges.csv": ("low end", "high end"),
    "kienzle.csv": ("Printed sets differ", "low,high"),
    "cutting_force_sets.csv": ("material groups", "classic"),
    "iso286_shafts.csv": ("Machine Drawing p. 221 prints",),
    "heat_rules.csv": ("different printed sets",),
    "bar_rules.csv": ("far less for a sharp one",),
}


@pytest.mark.parametrize("name, says", BOTH.items(), ids=BOTH)
def test_where_sources_disagree_both_stand(name, says):
    text = (DATA / name).read_text(encoding="utf-8")
    for words in says:
        assert words in text


def test_the_disagreement_of_printed_cutting_forces_reaches_the_answers():
    """Every answer built on a tabulated force carries the spread between printed sets."""
    from springpass import boring_bar

    assert all(row["high"] / row["low"] > 1.6 for row in tables.rows("kienzle"))
    assert all(row["high"] >= 1.4 and row["low"] == 0.8 for row in tables.rows("kienzle")
               if row["family"] == "steel" and row["group"] != "-")
    answer = boring_bar.check_stickout(stickout=40, bar_diameter=8, bore=12, tolerance=0.018, dial_out=False)
    assert answer.thrust.high / answer.thrust.low > 1.6
