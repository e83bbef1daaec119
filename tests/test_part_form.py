"""A part as a form: what is written reads back the same, nothing typed is lost, each fault stands at its cell."""

import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from springpass.core.quantity import Refused
from springpass.job import part, part_form
from springpass.job.part_form import COLUMNS, Form, as_text, form_of, read_form, row_of
from springpass.pages import own_part
from springpass.screen.page import Live

ROOT = Path(__file__).resolve().parents[1]
FILES = sorted([*(ROOT / "data/parts").glob("*.toml"), *(ROOT / "tests/plan_parts").glob("*.toml")])
SLEEVE = form_of((ROOT / "data/parts/drive_sleeve.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_every_part_written_reads_back_the_same(path):
    text = path.read_text(encoding="utf-8")
    form = form_of(text)
    found = read_form(form)
    assert found.faults == {} and found.part == part.read_text(text)
    assert len(found.clear) == len(found.part.surfaces)
    written = as_text(form)
    assert part.read_text(written) == found.part
    assert form_of(written) == form and as_text(form_of(written)) == written


NAMES = st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc", "Zl", "Zp")), min_size=1, max_size=20).map(
    lambda name: name.replace('"', "'").strip()).filter(bool)
SIZES = st.decimals(8, 19, places=3).map(float)


@st.composite
def parts(draw):
    """A stepped part with a bore, drawn afresh: names of any letters, every entry that a surface may have."""
    names = draw(st.lists(NAMES, min_size=3, max_size=6, unique=True))
    scale = draw(st.sampled_from((1.0, 0.04)))
    surfaces, at = [], 0.0
    for i, name in enumerate(names[:-1]):
        end = round(at + draw(st.decimals(4, 9, places=2).map(float)) * scale, 6)
        kind = draw(st.sampled_from(("outside", "outside", "taper", "knurl", "thread")))
        one = {"name": name, "kind": kind, "from": at, "to": end}
        if kind == "thread":
            one["thread"] = draw(st.sampled_from(("M12x1", "M18x1.5", "M10", "1/2-20 UNF")))
        else:
            one["diameter"] = round(draw(SIZES) * scale, 6)
        if kind == "taper":
            one["end_diameter"] = round(one["diameter"] - 0.5 * scale, 6)
        if kind == "outside":
            if draw(st.booleans()):
                one["class" if scale == 1 and draw(st.booleans()) else "limits"] = [-0.02 * scale, 0.01 * scale]
            if "class" in one:
                one["class"] = draw(st.sampled_from(("h6", "js7", "k6")))
            if draw(st.booleans()):
                one["chamfer"] = 0.5 * scale
            if i and draw(st.booleans()):
                one["runout"] = {"to": names[0], "within": 0.02 * scale}
        if draw(st.booleans()):
            one["finish"] = draw(st.sampled_from((0.8, 1.6, 3.2)))
        surfaces.append(one)
        at = end
    bore = {"name": names[-1], "kind": "bore", "diameter": 3 * scale, "from": 0, "to": 3 * scale, "flat": True,
            "depth": [0, 0.1 * scale]}
    return {"name": draw(NAMES), "units": "mm" if scale == 1 else "inch", "material": "carbon steel C45 / 1045",
            "length": at, "count": draw(st.integers(1, 50)),
            "blank": {"diameter": 24 * scale, "length": at + 3 * scale, "condition": "steel, cold drawn"},
            "surface": [*surfaces, bore]}


@settings(max_examples=120, deadline=None)
@given(parts())
def test_any_part_goes_through_the_form_and_the_file_unchanged(described):
    wanted = part.read(described)
    form = Form(described["name"], described["units"], described["material"], repr(described["length"]),
                str(described["count"]), repr(described["blank"]["diameter"]), repr(described["blank"]["length"]),
                described["blank"]["condition"], tuple(row_of(s) for s in described["surface"]))
    found = read_form(form)
    assert found.faults == {} and found.part == wanted
    assert part.read_text(as_text(form)) == wanted
    assert form_of(as_text(form)).rows == form.rows


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(*[st.text(max_size=12) for _ in COLUMNS]), max_size=4),
       st.lists(st.text(max_size=12), min_size=8, max_size=8))
def test_whatever_is_typed_is_answered_and_stays(rows, texts):
    form = Form(*texts, rows=tuple(rows))
    found = read_form(form)
    assert found.faults or found.part
    assert all(place.split(".")[0] in {*part_form.FIELDS, "surfaces"} for place in found.faults)
    assert all(len(p.split(".")) in (1, 3) for p in found.faults)
    values = own_part.fields(form) | {"kept": ""}
    assert own_part.form_from(**values) == form


def changed(line, column, text):
    rows = [list(row) for row in SLEEVE.rows]
    rows[line][COLUMNS.index(column)] = text
    return Form(**{**SLEEVE.__dict__, "rows": tuple(tuple(r) for r in rows)})


@pytest.mark.parametrize(("line", "column", "text"), [
    (0, "size", "twenty"), (0, "size", ""), (0, "size", "30"), (0, "tolerance", "H7"), (0, "tolerance", "1 2 3"),
    (0, "tolerance", "0.02"), (1, "to", "40.2"), (1, "from", "x"), (2, "size", "M18y"), (2, "kind", "hole"),
    (0, "kind", ""), (1, "name", ""), (3, "also", "true to nothing within 0.02"), (3, "also", "polish it"),
    (4, "also", "depth deep"), (4, "Ra", "fine"), (4, "size", "0"), (1, "size", "23 to 22"), (4, "to", "1e9"),
    (0, "also", "chamfer 40"), (3, "name", "bore")])
def test_a_fault_stands_at_its_line_in_a_plain_sentence(line, column, text):
    found = read_form(changed(line, column, text))
    assert found.part is None
    places = [p for p in found.faults if p.startswith(f"surfaces.{line}.")] or list(found.faults)
    assert places
    if text != "" and column not in ("from", "to", "also", "name"):
        assert f"surfaces.{line}.{column}" in found.faults or column == "kind"
    for sentence in found.faults.values():
        assert sentence[0].isupper() or sentence[0] == "“"
        assert sentence.endswith((".", "?")) and "[[" not in sentence and "the part, line" not in sentence


def test_every_fault_is_said_at_once_and_the_rest_is_drawn():
    rows = [list(row) for row in SLEEVE.rows]
    rows[0][2], rows[3][3], rows[4][5] = "x", "h99", "y"
    found = read_form(Form(**{**SLEEVE.__dict__, "length": "85", "rows": tuple(map(tuple, rows))}))
    assert {"surfaces.0.size", "surfaces.3.tolerance", "surfaces.4.to"} <= set(found.faults)
    assert [line for line, _ in found.clear] == [1, 2]


@pytest.mark.parametrize(("field", "text"), [("length", ""), ("length", "long"), ("count", "1.5"), ("count", "0"),
    ("blank_diameter", ""), ("blank_length", "80"), ("name", " "), ("material", "cheese"), ("condition", "new"),
    ("units", "yard")])
def test_a_field_that_is_wrong_is_named(field, text):
    found = read_form(Form(**{**SLEEVE.__dict__, field: text}))
    assert found.part is None and field in found.faults


def test_numbers_as_people_type_them():
    found = read_form(changed(0, "size", " Ø20,0 ")).part
    assert found == read_form(SLEEVE).part
    assert read_form(changed(0, "tolerance", "±0.01")).part.surfaces[0].upper == 0.01
    assert read_form(changed(0, "tolerance", "+0.02 −0.01")).part.surfaces[0].lower == -0.01


def test_a_file_lists_what_is_allowed():
    text = as_text(SLEEVE)
    for name in (*part.PART_KEYS, *part.BLANK_KEYS, *part.SURFACE_KEYS):
        assert f"#   {name}: " in text
    for name in (*part.KINDS, *part.known_materials()):
        assert name in part_form.header()
    assert tomllib.loads(text)["source"] == tomllib.loads(FILES[2].read_text(encoding="utf-8"))["source"]


def test_a_form_with_a_fault_is_not_written():
    with pytest.raises(Refused, match="Line 1: The size"):
        as_text(changed(0, "size", "x"))


# ---- the page ---------------------------------------------------------------------------------------


@pytest.fixture
def live(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path / "shop"))
    found = Live(own_part.OWN_PART)
    yield found
    found.front.close()


def wish(live, name, value, buffers=()):
    live.hear({"n": 1, "wishes": {name: {"value": value}}}, buffers)
    return live.answer


def test_the_page_opens_with_a_part_that_is_clear(live):
    assert live.answer["at"]["surfaces"]["rows"] == own_part.USUAL.rows
    assert live.answer["at"]["surfaces"]["cells"] == {} and live.answer["state"] == "good"


def test_a_wrong_cell_is_marked_and_what_was_typed_stays(live):
    rows = [list(row) for row in own_part.USUAL.rows]
    rows[1][2] = "23 mm?"
    rows.append(["groove", "recess", "", "", "", "", "", ""])
    answer = wish(live, "surfaces", rows)
    at = answer["at"]["surfaces"]
    assert set(at["cells"]) == {"1.size", "5.size"}
    assert [list(row) for row in at["rows"]] == rows and answer["state"] == "good"
    assert "Not kept" in live.press("keep this part")


def test_lines_without_anything_are_left_out(live):
    at = wish(live, "surfaces", [*map(list, own_part.USUAL.rows), [" "] * 8])["at"]["surfaces"]
    assert len(at["rows"]) == len(own_part.USUAL.rows)


@pytest.mark.parametrize("given", ["text", [["a"]], [[1] * 8], None, {}, [["x" * 301] * 8], [["x"] * 8] * 61])
def test_what_is_no_table_is_refused_and_nothing_changes(live, given):
    at = wish(live, "surfaces", given)["at"]["surfaces"]
    assert at["note"] and live.values["surfaces"] == own_part.USUAL.rows


def test_a_part_to_begin_from_fills_the_form_and_keeping_it_is_what_the_plan_reads(live):
    answer = wish(live, "begin", "the bush")
    assert answer["at"]["name"]["text"] == "bush" and answer["at"]["begin"]["text"] == own_part.HERE
    assert "part.toml" in live.press("keep this part")
    assert part.own_part() == part.demo("bush")
    wish(live, "begin", own_part.EMPTY)
    assert live.values["surfaces"] == ()
    wish(live, "begin", own_part.KEPT)
    assert live.values["surfaces"] == form_of(part.demo_text("bush")).rows


def test_a_file_is_loaded_named_and_kept(live):
    text = part.demo_text("bearing_housing").replace('name = "bearing housing"', 'name = "my housing"')
    answer = wish(live, "part_file", None, [text.encode()])
    assert answer["at"]["name"]["text"] == "my housing" and "my housing" in answer["words"]
    live.press("keep this part")
    assert part.own_part() == part.read_text(text)
    answer = wish(live, "part_file", None, [b"\xff\xfe nothing"])
    assert answer["at"]["part_file"]["note"] and answer["at"]["name"]["text"] == "my housing"


def test_without_a_kept_part_the_page_says_where_to_make_one(live):
    assert part.OWN_PAGE in wish(live, "begin", own_part.KEPT)["at"]["begin"]["note"]
    with pytest.raises(Refused, match=part.OWN_PAGE):
        part.own_part()
