"""The pocket card without a browser: every page exports; nothing is asked of any network; steps, bad input, saving."""

import importlib
import inspect
import os
import pkgutil
import re
import subprocess
import sys
from html import escape

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import springpass
from springpass.boring_bar.quantities import Stickout
from springpass.core import files
from springpass.core.formula import REGISTRY
from springpass.core.quantity import Quantity, Refused, Say, quantity_of
from springpass.core.shared import BarDiameter, Passes, Tolerance
from springpass.pages import catalogue, pocket_card
from springpass.printing import pocket
from springpass.printing.pocket.print_version import CARD_SCRIPT, CARD_STYLE, REFUSED, Cell, sources
from springpass.printing.pocket.steps import design, steps
from springpass.screen import draw, look
from springpass.screen.page import Page, Slide, called, headline
from springpass.stops.quantities import ShopRise

PAGES = list(catalogue.pages().values())
STICKOUT = catalogue.pages()["check_stickout"]
# whatever could make a browser ask for something
ASKS = re.compile(
    r"http(?!-equiv)|url\(|@import|(?<!-)\bsrc\b|\bhref\b|srcset|<link|<img|<iframe|<object|<base|fetch\(|XMLHttpRequest|WebSocket|EventSource|"
    r"sendBeacon|importScripts|import\(|serviceWorker|\beval\b|Function\(",
    re.I,
)


def spread_out(data: dict) -> list[Cell]:
    """The answer at every setting, in the order of the settings."""
    whole = ["".join(data["pieces"][i] for i in row) for row in data["texts"]]
    flat = data["cells"]
    return [Cell(*(whole[n] for n in flat[k : k + 4]), flat[k + 4]) for k in range(0, len(flat), 5)]


def texts_of(data: dict) -> list[list[str]]:
    """What stands at each dial's steps."""
    return [dial["texts"] for dial in data["spec"]["controls"]]


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_every_page_goes_onto_a_card(page):
    made = pocket.make(page, count=2)
    assert not made.broken
    assert made.size <= pocket.LIMIT < 3_000_000
    data = pocket.unpacked(made.html)
    bare = re.sub(r'(?s)<script type="text/plain".*?</script>', "", made.html)
    assert not ASKS.search(bare), ASKS.search(bare)
    for piece in data["pieces"]:
        markup = " ".join(re.findall(r"<[^>]*>", piece))
        assert not ASKS.search(markup), piece
    assert "default-src 'none'" in made.html
    # every setting says and shows what the page itself says and shows there
    cells = spread_out(data)
    settings = list(made.card.settings())
    assert len(cells) == len(settings) == made.card.answers
    moved = [dial.what.name for dial in made.card.dials]
    for values, (picture, head, words, _, mark) in zip(settings, cells, strict=True):
        try:
            answer = page.answer(**{name: values[name] for name in moved})
        except Refused as refusal:
            assert mark == REFUSED and not picture and words == str(refusal)
            continue
        assert mark != REFUSED
        assert head == headline(answer.result) and words == answer.words
        assert picture == re.sub(
            r'<style>.*?</style>|\s+xmlns="[^"]*"', "", draw.without_handles(answer.svg, moved), flags=re.S
        )
        assert set(re.findall(r'data-handle="([^"]*)"', picture)) <= set(moved)
        assert 'role="img"' in picture and "<title>" in picture and "<desc>" in picture, (
            "the text that stands for the picture is kept"
        )


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_a_card_says_what_it_holds(page):
    made = pocket.make(page, count=2, inch=page.name == "check_stickout")
    text = re.sub(r"<script.*?</script>|<style.*?</style>", "", made.html, flags=re.S)
    assert ("Lengths in inch" if made.card.inch else "Lengths in mm") in text
    assert "your machine's manual" in text and "A range is a 90 % range" in text
    data = pocket.unpacked(made.html)
    assert [dial["label"] for dial in data["spec"]["controls"]] == [called(dial.what) for dial in made.card.dials]
    assert [dial["kind"] == "slide" for dial in data["spec"]["controls"]] == [
        isinstance(dial.what, Slide) for dial in made.card.dials]
    moving = {dial.what.name for dial in made.card.dials}
    for what in page.inputs:
        name = called(what).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace("'", "&#x27;")
        if what.name in moving:
            assert f"<p>{name}: <b>" in text
        elif isinstance(what, Slide):
            assert f"{name}: <b>{what.quantity.text(what.usual, made.card.inch)}</b>" in text, (
                "what stands still is said"
            )
    for dial in made.card.dials:
        if isinstance(dial.what, Slide):
            assert all(
                number in text for number in (t.split(" ")[0].rstrip("°") for t in dial.texts(made.card.inch))
            ), "the steps are listed"
    # a viewer without scripts sees the opening answer
    at = 0
    for dial in made.card.dials:
        at = at * len(dial.values) + dial.start
    cell = spread_out(data)[at]
    assert cell.picture in text and all(escape(part) in text for part in (cell.head, *cell.words.split("\n")))


def test_the_largest_cards_stay_under_three_megabytes():
    for name in ("fits_press", "ring_in_jaws"):   # the ones with the most in their pictures
        made = pocket.make(catalogue.pages()[name])
        assert made.card.answers > 900 and made.size < 3_000_000


def test_a_card_that_would_be_too_large_loses_its_tables_then_steps():
    lines = ["stickout = 30; 40; 50", "infeed"]
    whole = pocket.make(STICKOUT, lines, count=12)
    assert whole.tables and whole.card.answers >= 30
    lighter = pocket.make(STICKOUT, lines, count=12, limit=whole.size - 1)
    assert not lighter.tables and lighter.card.answers == whole.card.answers and lighter.size < whole.size
    assert "left out to keep the card small" in lighter.html and "left out" not in whole.html
    smaller = pocket.make(STICKOUT, lines, count=12, limit=lighter.size - 4000)
    assert 6 <= smaller.card.answers < whole.card.answers and smaller.size <= lighter.size - 4000
    assert len(smaller.card.dials[0].values) == 3, "values that were asked for stay"
    with pytest.raises(Refused, match=r"would be .* MB, and .* is the limit"):
        pocket.make(STICKOUT, lines, count=4, limit=20_000)


def test_steps_that_only_refuse_are_dropped():
    """A bar no thinner than the 12 mm bore never goes in: such steps, but the first of them, make room for closer ones.
    """
    asked = design(STICKOUT, ["stickout = 30; 40", "bar diameter"], count=8).dials[1].values
    kept = pocket.make(STICKOUT, ["stickout = 30; 40", "bar diameter"], count=8).card.dials[1].values
    assert max(asked) > 20 and max(kept) <= 15 and sum(v >= 12 for v in kept) == 1
    told = pocket.make(STICKOUT, ["stickout = 30; 40", "bar diameter = 4 to 24"], count=6).card.dials[1].values
    assert max(told) == 24, "a span that was asked for is kept"


def test_a_refusal_stands_on_the_card_as_its_sentence():
    made = pocket.make(STICKOUT, ["bar diameter = 8; 20"])
    with pytest.raises(Refused) as refusal:
        STICKOUT.answer(bar_diameter=20)
    cells = spread_out(pocket.unpacked(made.html))
    assert cells[0].mark != REFUSED and cells[1] == ("", "", str(refusal.value), "", REFUSED)


def test_a_page_that_breaks_makes_no_card_and_one_slip_is_told():
    def broken(at):
        def compute(stickout):
            if stickout in at:
                raise ZeroDivisionError("deep inside")
            return object()

        return Page(
            "b",
            "A page that breaks",
            (Slide("stickout", Stickout),),
            compute,
            lambda r, s: "<svg></svg>",
            lambda r, s: "Fine.",
        )

    with pytest.raises(Refused, match=r"went wrong at 3 of 3 settings"):
        pocket.make(broken((30, 40, 50)), ["stickout = 30; 40; 50"])
    many = "stickout = " + "; ".join(str(n) for n in range(30, 60))
    made = pocket.make(broken((30,)), [many])
    assert made.broken == 1 and "error of the workbook" in spread_out(pocket.unpacked(made.html))[0].words
    assert "At 1 of them something went wrong" in pocket.told(made, files.folder())

    def never(stickout):
        raise Refused("The spindle is locked. Unlock it first.")

    page = Page(
        "n", "A page that never answers", (Slide("stickout", Stickout),), never, lambda r, s: "", lambda r, s: ""
    )
    with pytest.raises(Refused, match=r"refuses every setting of it\. The spindle is locked\. Unlock it first\.$"):
        pocket.make(page)


def test_the_same_card_twice_is_the_same_file():
    assert pocket.make(STICKOUT, ["stickout = 30; 40"]).html == pocket.make(STICKOUT, ["stickout = 30; 40"]).html


# ---- steps


def test_steps_are_round_numbers():
    assert steps(quantity_of(Stickout), 40, 11) == tuple(float(v) for v in range(20, 121, 10))
    assert steps(quantity_of(BarDiameter), 8, 11) == tuple(float(v) for v in range(4, 25, 2))
    assert steps(quantity_of(Passes), 2, 11) == (1, 2, 3, 4, 5, 6)
    assert steps(quantity_of(Tolerance), 0.018, 11) == pytest.approx(
        [0.006, 0.008, 0.01, 0.012, 0.015, 0.018, 0.02, 0.025, 0.03, 0.04, 0.05]
    )  # in ratios
    assert steps(quantity_of(Stickout), 40, 9, (12, 80)) == (12, 20, 30, 40, 50, 60, 70, 80), (
        "from end to end of a span that was given"
    )
    assert steps(quantity_of(ShopRise), 2, 9) == (-15, -10, -5, 0, 2, 5, 10, 15, 20), (
        "zero is kept where a span crosses it"
    )
    inch = steps(quantity_of(Stickout), 40, 11, inch=True)
    assert np.array(inch) / 25.4 == pytest.approx([1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5])   # round inches


ROOMS = [importlib.import_module(name) for _, name, _ in pkgutil.walk_packages(springpass.__path__, "springpass.")
         if name.endswith((".quantities", ".shared"))]
QUANTITIES = [what for what in (next(iter(getattr(thing, "__metadata__", ())), None) for room in ROOMS
                                for thing in vars(room).values())
              if isinstance(what, Quantity) and what.low < what.usual < what.high]


@given(st.sampled_from(QUANTITIES), st.integers(2, 25), st.booleans())
def test_steps_of_any_quantity(what, count, inch):
    made = steps(what, what.usual, count, inch=inch)
    assert 2 <= len(made) <= max(count, 3) + 1
    assert list(made) == sorted(set(made)) and what.low <= made[0] and made[-1] <= what.high
    what.check(list(made))
    shown = [float(what.to_shown(v, inch)) for v in made]
    ends = {
        float(f"{what.to_shown(v, inch):.8g}")
        for v in (what.low, what.high, what.usual, what.usual / 3, what.usual * 3)
    }
    for value in shown:
        figures = f"{abs(value):.7e}".split("e")[0].replace(".", "").rstrip("0")
        assert len(figures) <= 4 or float(f"{value:.8g}") in ends, "few figures, but for an end of the span"
    if what.unit_for(inch) == what.unit_for():
        assert any(v == pytest.approx(what.usual, rel=1e-9) for v in made), "the usual value is one of them"
    if what.log and count >= 8:
        ratios = np.array(made[1:]) / made[:-1]
        assert ratios.max() < 3.4


def test_lines_are_understood():
    card = design(
        STICKOUT,
        ["Bar diameter = 6 to 12", "tolerance: 10; 18; 33", "bore = 12,5", "material: bronze CuSn8"],
    )
    assert [dial.what.name for dial in card.dials] == ["bar_diameter", "tolerance"]
    assert card.dials[1].values == pytest.approx((0.01, 0.018, 0.033))
    assert card.fixed["bore"] == 12.5 and card.fixed["material"] == "bronze CuSn8"
    assert card.fixed["stickout"] == STICKOUT.usual()["stickout"]
    inch = design(STICKOUT, ["stickout = 3/4; 1 1/2; 2", "bar diameter = 0.2 to 0.5", "bore = 16 mm"], inch=True)
    assert inch.dials[0].values == pytest.approx((19.05, 38.1, 50.8)) and inch.fixed["bore"] == 16
    assert design(STICKOUT, ["stickout = 2 to 3 inch"]).dials[0].values[0] == pytest.approx(50.8)
    assert design(STICKOUT, ["tolerance = 10,18,33"]).dials[0].values == pytest.approx((0.01, 0.018, 0.033))
    choice = design(STICKOUT, ["holder", "use what I measured (chapter 3)", "stickout"])
    assert [len(dial.values) for dial in choice.dials][1] == 2 and len(choice.dials[2].values) > 3
    assert choice.dials[0].values[choice.dials[0].start] == STICKOUT.usual()["holder"]
    texts = design(catalogue.pages()["thread_sizes"], ["thread = M10x1.5; M18x1"])
    assert texts.dials[0].values == ("M10x1.5", "M18x1")


@pytest.mark.parametrize(
    "lines, told",
    [
        (["no such thing"], "has no input “no such thing”. It has: material"),
        (["stickout", "Stickout = 40"], "is there twice"),
        (["stickout = 80 to 20"], "runs nowhere"),
        (["stickout = abc"], "is not a number"),
        (["stickout ="], "nothing follows"),
        (["stickout = 20 to 9000"], "must lie between 5 mm and 250 mm"),
        (["stickout = -5; 20"], "must lie between"),
        (["stickout = 20; nan"], "is not a number"),
        (["stickout = 0; 20"], "must lie between"),
        (["stickout", "bar diameter", "bore", "tolerance"], "three sliders at most, and 4 are asked for"),
        (["material = cheese"], "cannot be “cheese”"),
        (["own_holder = maybe"], "is “yes” or “no”"),
        (["passes = 1.5; 2"], "must be a whole number"),
        (
            [
                "stickout = " + "; ".join(str(5 + i / 10) for i in range(600)),
                "bar diameter = " + "; ".join(str(2 + i / 10) for i in range(60)),
            ],
            "36000 combinations, more than a card holds",
        ),
    ],
)
def test_bad_lines_get_a_sentence(lines, told):
    with pytest.raises(Refused, match=r"[.)”]$") as refusal:
        pocket.make(STICKOUT, lines)
    assert told in str(refusal.value)


def test_typed_inputs_need_their_texts():
    with pytest.raises(Refused, match="needs the texts to choose from"):
        design(catalogue.pages()["thread_sizes"], ["thread"])


def test_unknown_page_is_told_the_names():
    with pytest.raises(Refused, match=r"There is no page “nothing”\. Choose one of: .*check_stickout"):
        catalogue.page_named("nothing")
    assert (
        catalogue.page_named("check-stickout") is STICKOUT
        and catalogue.page_named("May this bar stick out this far") is STICKOUT
    )


def test_a_damaged_card_is_known():
    html = pocket.make(STICKOUT, ["stickout = 30; 40"]).html
    block = re.search(r'id="answers"[^>]*>([^<]*)<', html)[1]
    for bad in ("", "<html></html>", html.replace(block, block[:-40]), html.replace(block, "?" + block[1:])):
        with pytest.raises(Refused, match="no pocket card, or it is damaged"):
            pocket.unpacked(bad)


# ---- what it says of its sources


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_no_formula_that_runs_is_missing_from_the_sources(page):
    codes = {inspect.unwrap(function).__code__: function for function in REGISTRY}
    ran = []

    def watch(frame, event, _):
        if event == "call" and frame.f_code in codes:
            ran.append(codes[frame.f_code])

    before = sys.getprofile()
    sys.setprofile(watch)
    try:
        page.answer()
    finally:
        sys.setprofile(before)
    told = {label.source for label in sources(page)}
    assert all(function.label.source in told for function in ran)


def test_sources_stand_on_the_card_and_are_not_everybodys():
    told = " ".join(label.source for label in sources(STICKOUT))
    assert "Timoshenko" in told and "Newton's law of cooling" not in told
    heat = " ".join(label.source for label in sources(catalogue.pages()["heat_wait"]))
    assert "Churchill" in heat and "Timoshenko" not in heat
    html = pocket.make(STICKOUT, ["stickout = 30; 40"]).html
    assert "Timoshenko" in html and "from memory of their source" in html


def test_the_script_asks_for_nothing():
    for text in (CARD_SCRIPT, CARD_STYLE, look.JS, look.CSS):
        assert not ASKS.search(text)


def test_a_card_holds_the_notebooks_own_front_end():
    html = pocket.make(STICKOUT, ["stickout = 30; 40"]).html
    assert look.JS in html and look.CSS in html
    assert "innerHTML" not in CARD_SCRIPT and "range" not in CARD_SCRIPT, "inputs, picture and words are page.js's"


# ---- saving, the command line, the page


def test_a_card_is_written_whole_or_not_at_all(tmp_path, monkeypatch):
    place = tmp_path / "card.html"
    assert pocket.save(place, "one") == place and place.read_text(encoding="utf-8") == "one"

    def full(*_):
        raise OSError(28, "No space left on device")

    for name in ("replace", "fsync"):
        with monkeypatch.context() as patch:
            patch.setattr(os, name, full)
            with pytest.raises(Refused, match=r"ard\.html could not be saved .*No space left"):
                pocket.save(place, "two")
        assert place.read_text(encoding="utf-8") == "one" and os.listdir(tmp_path) == ["card.html"]
    with pytest.raises(Refused, match="could not be saved"):
        pocket.save(tmp_path / "nowhere" / "card.html", "two")
    with pytest.raises(Refused, match="could not be saved"):
        pocket.save(tmp_path, "two")


def test_the_command_line(tmp_path):
    place = tmp_path / "card.html"

    def run(*words):
        return subprocess.run(
            [sys.executable, "-m", "springpass.pages", *words], cwd=tmp_path, capture_output=True, text=True,
            encoding="utf-8",
        )

    done = run("check_stickout", "--inputs", "stickout", "bar_diameter", "tolerance", "--steps", "3", "-o", str(place))
    assert done.returncode == 0 and re.fullmatch(
        r"Saved: .*card\.html, 0\.\d\d MB, \d+ answers: stickout \(\d steps\), .*\.\n", done.stdout
    ), done
    assert len(texts_of(pocket.unpacked(place.read_text(encoding="utf-8")))) == 3
    for words, told in (
        (("nonsense",), "There is no page"),
        (("check_stickout", "--inputs", "cheese"), "has no input"),
        (("bend", "--steps", "1"), "2 or more"),
    ):
        done = run(*words)
        assert done.returncode == 2 and told in done.stderr and "Traceback" not in done.stderr and not done.stdout
    done = run()
    assert done.returncode == 0 and "check_stickout" in done.stdout


def test_the_page_writes_the_card_into_the_users_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path))
    page = pocket_card.PAGE
    values = page.values(
        inputs="stickout = 30; 40\nbar diameter = 8; 10\nbore = 16",
        units="inch and thou",
        steps="four steps each, quick to make",
    )
    with pytest.raises(Refused, match="must lie between"):   # 30 inches is no stickout
        page.presses[0].does(**values)
    values["inputs"] = "stickout = 1; 1.5\nbar diameter = 0.3; 0.4\nbore = 16 mm"
    said = page.presses[0].does(**values)
    place = tmp_path / "card_check_stickout_inch.html"
    assert str(place) in said and "4 answers" in said
    data = pocket.unpacked(place.read_text(encoding="utf-8"))
    assert texts_of(data) == [["1 inch", "1.5 inch"], ["0.3 inch", "0.4 inch"]]
    answer = STICKOUT.answer(Say(True), stickout=25.4, bar_diameter=7.62, bore=16)
    assert spread_out(data)[0][1:3] == (headline(answer.result), answer.words)
    assert os.listdir(tmp_path) == [place.name]


def test_the_page_tells_what_it_cannot_read():
    with pytest.raises(Refused, match="has no input “cheese”"):
        pocket_card.PAGE.answer(inputs="cheese")
    assert "2 steps" in pocket_card.PAGE.answer(inputs="stickout = 30; 40").words
