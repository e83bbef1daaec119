"""A small shop: read, refused with the entry's name, kept, and measured values in place of assumed ones."""

import copy
import json

import pytest

from springpass import stops
from springpass.core import files, tables
from springpass.core.quantity import Refused
from springpass.core.spread import sample
from springpass.job import shop, tools


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path / "shop"))
    files.notices()
    return tmp_path / "shop"


@pytest.fixture
def description():
    return copy.deepcopy(tables.toml("default_shop"))


def test_the_default_shop_says_of_every_number_whether_it_was_measured():
    mine = tools.default_shop()
    values = list(mine.values())
    assert len(values) > 60
    assert all(k.known in ("measured", "assumed") and k.low <= k.value <= k.high for _, k in values)
    assert len(mine.assumed()) == len(values)
    assert mine.learned == {}
    assert len({name for name, _ in values}) == len(values), "each number has a name of its own"


def test_the_default_shop_makes_the_demo_parts():
    mine = tools.default_shop()
    assert mine.bars_for(9.7, 32)[0].name == "6 mm carbide bar"
    assert mine.bars_for(42, 20)[0].name == "16 mm steel bar"
    assert mine.bars_for(3.5, 15) == () and mine.bars_for(50, 500) == ()
    assert {5.0, 9.7, 12.0}.issubset(mine.drill_sizes(flat=True))
    assert {8.0, 11.8}.issubset(mine.drill_sizes())
    assert {r.size for r in mine.reamers} == {3, 4, 5, 6, 8, 10, 12}
    assert mine.instruments_for("outside", 20)[0].name == "micrometer 0 to 25"
    assert mine.instruments_for("bore", 300) == ()
    assert mine.tools_for("thread") and mine.tools_for("part off")
    assert stops.gauge_stack(32.0, mine.gauges.box).exact
    with pytest.raises(Refused, match="Choose one of"):
        mine.tools_for("weld")
    assert sample(100, spring=mine.holder.stiffness.range)["spring"].min() > 1000


def broken(d, *path, value):
    """The description with one thing put to `value` (or taken out where it is ...)."""
    at = d
    for key in path[:-1]:
        at = at[key]
    if value is ...:
        del at[path[-1]]
    else:
        at[path[-1]] = value
    return d


@pytest.mark.parametrize(
    "path,value,said",
    [
        (("version",), 7, "version 7"),
        (("version",), ..., "version nothing"),
        (("lathes",), {}, "Did you mean lathe"),
        (("lathe",), ..., r"\[lathe\]"),
        (("lathe", "power"), ..., "lathe, “small lathe”: “power” is missing"),
        (("lathe", "power"), -1, "small lathe”: power is −1"),
        (("lathe", "power"), float("nan"), "power is no number"),
        (("lathe", "power"), True, "power is yes"),
        (("lathe", "power"), "strong", "power is “strong”"),
        (("lathe", "power"), 1e9, "from 0.02 to 50 kW"),
        (("lathe", "pwer"), 1, "Did you mean power"),
        (("lathe", "known"), "guessed", "say known = “measured”"),
        (("lathe", "known"), ..., "say known"),
        (("lathe", "speeds"), [0, 100], "speeds"),
        (("lathe", "speeds"), [], "speeds"),
        (("lathe", "stop"), "a brick", "stop cannot be"),
        (("lathe", "taper"), 0.5, "small lathe”: taper is 0.5, but must be a number from −0.01 to 0.01"),
        (("lathe", "spindle_runout"), -0.01, "spindle_runout is −0.01"),
        (("bars", 1, "diameter"), 900, "bars, “8 mm steel bar”: diameter is 900"),
        (("bars", 1, "material"), "stele", "Did you mean steel"),
        (("bars", 1, "name"), "6 mm carbide bar", "Two entries of bars"),
        (("bars", 1, "name"), "", "bars, entry 2: name"),
        (("bars",), {}, r"\[\[bars\]\]"),
        (("bars", 0), 3, "bars, entry 1 must be an entry"),
        (("bars", 0, "flat_bottom"), "yes", "true or false"),
        (("bars", 0, "diameter"), {"value": 6, "low": 6.5, "high": 7}, "outside its own range"),
        (("bars", 0, "diameter"), {"value": 6, "lo": 5}, "“lo” means nothing"),
        (("bars", 0, "diameter"), {"value": 6, "known": "heard"}, "“measured” or “assumed”"),
        (("bars", 0, "diameter"), {"low": 5}, "diameter is nothing"),
        (("tools", 0, "uses"), ["fly"], "list out of"),
        (("drills", 0, "sizes"), {"first": 3, "step": 0, "last": 9}, "run of sizes"),
        (("drills", 0, "sizes"), [3, -1], "list of sizes"),
        (("drills", 0, "sizes"), "8", "list of sizes"),
        (("reamers", 0, "measured"), 11.2, "slipped digit"),
        (("instruments", 0, "low"), 50, "low is above high"),
        (("instruments", 0, "instrument"), "any gauge", "how “any gauge” repeats"),
        (("gauges", "which"), "9999", "gauges"),
        (("gauges", "sizes"), [1, -1], "gauges: sizes"),
        (("holder", "name"), "glue", "holder, “glue”: name cannot be"),
    ],
)
def test_a_fault_is_named_with_its_entry_and_the_remedy(description, path, value, said):
    with pytest.raises(Refused, match="(?i)" + said) as refusal:
        tools.read(broken(description, *path, value=value))
    assert str(refusal.value).rstrip()[-1] in ".?"


@pytest.mark.parametrize("nonsense", [None, 3, "x", [], float("nan")])
def test_what_is_no_description_is_refused(nonsense):
    with pytest.raises(Refused):
        tools.read(nonsense)


def test_a_measured_number_says_so(description):
    description["bars"][0]["diameter"] = {
        "value": 5.99,
        "low": 5.985,
        "high": 5.995,
        "known": "measured",
        "says": "micrometer",
    }
    bar = tools.read(description).bars[0]
    assert bar.diameter.measured and bar.diameter.says == "micrometer"
    assert not bar.longest.measured
    assert "6 mm carbide bar: diameter" not in tools.read(description).assumed()


def test_the_lathes_own_errors_are_assumed_wide_until_they_are_given(description):
    lathe = tools.read(description).lathe
    assert lathe.taper.value == 0 and lathe.taper.low < 0 < lathe.taper.high and not lathe.taper.measured
    assert 0 < lathe.spindle_runout.low < lathe.spindle_runout.value < lathe.spindle_runout.high
    assert lathe.drift.high > 0.005 and lathe.tailstock.high > 0.01
    drawn = sample(2000, taper=lathe.taper.range)["taper"]
    assert 0.93 < (abs(drawn) <= lathe.taper.high).mean() < 0.97
    description["lathe"]["taper"] = {"value": 0, "low": -1e-5, "high": 1e-5, "known": "measured"}
    given = tools.read(description).lathe.taper
    assert given.measured and given.high == 1e-5, "zero that was given is not the assumption"
    assert tools.read_text(tools.as_text(description)).lathe.taper == given


def test_what_was_measured_of_the_lathe_takes_the_assumptions_place():
    assumed = tools.own_shop().lathe
    shop.add("lathe taper", value=-0.00004, error=0.00001)
    shop.add("spindle run-out", value=0.003, error=0.002)
    shop.add("warm-up drift", value=0.008, error=0.0005)
    shop.add("tailstock offset", value=0.012, error=0.001)
    lathe = tools.own_shop().lathe
    assert (lathe.taper.value, lathe.taper.low, lathe.taper.high) == pytest.approx((-4e-5, -6e-5, -2e-5))
    assert lathe.taper.measured and lathe.taper.record and "your own measurement" in lathe.taper.says
    assert lathe.spindle_runout.low == 0 and lathe.spindle_runout.high == pytest.approx(0.007)
    assert lathe.drift.value == 0.008 and lathe.tailstock.value == 0.012
    for field in tools.OWN_LATHE:
        before, now = getattr(assumed, field), getattr(lathe, field)
        assert now.high - now.low < before.high - before.low, field
    shop.forget(lathe.taper.record)
    assert tools.own_shop().lathe.taper == assumed.taper


@pytest.mark.parametrize("value,error", [("wide", 1e-5), (None, 1e-5), (True, 1e-5), (0.5, 1e-5),
    (1e-5, -1e-5), (1e-5, None)])
def test_a_record_of_the_lathe_that_makes_no_sense_is_passed_over(value, error):
    shop.add("lathe taper", value=value, error=error)
    assert not tools.own_shop().lathe.taper.measured


def test_a_shop_of_ones_own_is_kept_as_dictionary_or_as_text(description, own_folder):
    assert tools.own_shop().name == "a small shop"
    description["name"] = "my cellar"
    tools.keep(description)
    assert tools.own_shop().name == "my cellar"
    assert json.loads((own_folder / "tools.json").read_text(encoding="utf-8"))["version"] == 1
    text = (tables.folder() / "default_shop.toml").read_text(encoding="utf-8")
    text = text.replace('name = "a small shop"', 'name = "the shed"')
    tools.keep(text)
    assert tools.own_shop().name == "the shed"
    with pytest.raises(Refused, match="cannot be read"):
        tools.keep("[lathe")
    with pytest.raises(Refused, match="version"):
        tools.keep({"version": 2})
    assert tools.own_shop().name == "the shed", "a refused description leaves the old one"
    tools.keep(tools.own_shop().description)
    assert tools.own_shop().name == "the shed"


def test_a_damaged_shop_is_set_aside_and_a_wrong_one_is_not(own_folder, description):
    tools.keep(description)
    description["name"] = "second"
    tools.keep(description)
    (own_folder / "tools.json").write_text("{half a fi", encoding="utf-8")
    assert tools.own_shop().name == "a small shop"       # the one kept before
    assert "set aside" in files.notices()[0]
    (own_folder / "tools.json").write_text(json.dumps({**description, "bars": 3}), encoding="utf-8")
    with pytest.raises(Refused, match="bars"):
        tools.own_shop()
    assert json.loads((own_folder / "tools.json").read_text(encoding="utf-8"))["bars"] == 3, (
        "what a person wrote is left for them to mend"
    )


# ---- measured records

def test_a_weighed_holder_and_a_tapped_bar_take_the_assumptions_place():
    shop.add("holder", stiffness=42000.0, stiffness_error=1000.0, stickout=50.0)
    mine = tools.own_shop()
    assert (mine.holder.stiffness.value, mine.holder.stiffness.known) == (42000, "measured")
    assert (mine.holder.stiffness.low, mine.holder.stiffness.high) == (40000, 44000)
    assert not mine.holder.rotation.measured
    shop.add("bar ring", frequency=900.0, damping=0.021, damping_scatter=0.002)
    assert tools.own_shop().holder.damping.value == 0.021
    assert "two screws in a block: stiffness" not in tools.own_shop().assumed()
    shop.forget(1)
    assert tools.own_shop().holder.stiffness == tools.default_shop().holder.stiffness


def test_springs_of_the_lathe_readings_blocks_and_holes():
    shop.add("support", name="tailstock and centre", stiffness=8000.0, stiffness_low=7000.0, stiffness_high=9500.0)
    shop.add(
        "support",
        name="spindle and chuck",
        stiffness=2e4,
        stiffness_low=1.8e4,
        stiffness_high=2.2e4,
        rotation=9e7,
        rotation_low=8e7,
        rotation_high=1e8,
    )
    shop.add("repeatability", name="micrometer on a shaft", scatter=0.0009, dof=9)
    shop.add("gauge set", sizes=[1.0, 2.0, 10.0], unit="mm")
    shop.add("reamed hole", size=10)
    mine = tools.own_shop()
    assert mine.lathe.supports["live centre and tailstock"].value == 8000
    assert mine.lathe.supports["spindle and chuck tilt"].low == 8e7
    assert all(g.repeat.value == 0.0009 for g in mine.instruments if g.instrument == "micrometer on a shaft")
    assert mine.instruments_for("bore", 10)[0].repeat.known == "assumed"
    assert mine.gauges.box.sizes == (1, 2, 10) and mine.gauges.known == "measured"
    assert len(mine.reamed_holes) == 1


@pytest.mark.parametrize(
    "kind,facts",
    [
        ("holder", {}),
        ("holder", {"stiffness": "hard", "stiffness_error": 1}),
        ("holder", {"stiffness": -3, "stiffness_error": 1}),
        ("bar ring", {"damping": None}),
        ("support", {"name": "steady rest", "stiffness": 5, "stiffness_low": 9, "stiffness_high": 20}),
        ("support", {"name": 3}),
        ("repeatability", {"name": "micrometer on a shaft", "scatter": True, "dof": 3}),
        ("gauge set", {}),
        ("gauge set", {"sizes": "no", "unit": "ell"}),
        ("learned", {"name": "holder stiffness", "value": 1}),
    ],
)
def test_records_that_make_no_sense_are_passed_over(kind, facts):
    shop.add(kind, **facts)
    assert tools.own_shop() == tools.default_shop()


def test_a_hand_in_the_shop_file_is_no_danger(description):
    """A description with every leaf replaced by odd things is refused in a sentence or read, never a fault inside."""
    def leaves(d, path=()):
        for key, value in (d.items() if isinstance(d, dict) else enumerate(d)):
            if isinstance(value, dict | list):
                yield from leaves(value, (*path, key))
            yield (*path, key)

    for path in leaves(description):
        for odd in (None, [], {}, "", "=1+1", -1, 1e308, [None], {"value": None}):
            try:
                tools.read(broken(copy.deepcopy(description), *path, value=odd))
            except Refused as refusal:
                assert len(str(refusal)) > 20


# ---- as text, and on its page

def test_a_description_written_out_reads_the_same(description):
    import tomllib

    description["bars"][0]["diameter"] = {
        "value": 5.99,
        "low": 5.98,
        "high": 6.0,
        "known": "measured",
        "says": 'with "care" \\ and\nmore \u007f ü',
    }
    text = tools.as_text(description)
    assert tomllib.loads(text) == description
    assert tools.read_text(text) == tools.read(description)
    assert tools.read_text(b"\xef\xbb\xbf" + text.encode()) == tools.read(description)   # as some editors save it


def test_the_page_writes_loads_keeps(own_folder, description):
    from springpass.pages import my_shop as page

    assert "none were measured" in page.MY_SHOP.answer().words
    assert "my shop.toml" in page.write_out(None, page.SHOWN[0])
    text = (own_folder / "my shop.toml").read_bytes()
    loaded = page.MY_SHOP.answer(file=text.replace(b"small lathe", b"<b>lathe</b>"))
    assert "not kept until" in loaded.words and "<b>lathe" not in loaded.more
    assert not (own_folder / "tools.json").exists()
    assert "Kept" in page.keep(text.replace(b'name = "a small shop"', b'name = "the shed"'), page.SHOWN[0])
    assert page.MY_SHOP.answer().words.startswith("Your shop file (“the shed”) holds")
    shop.add("holder", stiffness=42000.0, stiffness_error=1000.0)
    assert "of which 1 was measured" in page.MY_SHOP.answer(shown=page.SHOWN[1]).words
    for wrong in (b"\xff\xfe\x00", b"[lathe", b"", b"version = 1"):
        with pytest.raises(Refused):
            page.MY_SHOP.answer(file=wrong)
    with pytest.raises(Refused, match="Load a description first"):
        page.keep(None, page.SHOWN[0])
