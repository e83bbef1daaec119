"""Wall cards: the number in the rule is the library's and the hand's; source, caution, size of letters, black and
white, paper.
"""

import re
import string
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from springpass.core import files, tables
from springpass.core.quantity import Refused, Say
from springpass.printing import handout, wall_card
from springpass.screen import draw
from springpass.teaching import exercises

NAMES = wall_card.names()
# worked by hand, or read off a published table; what stands in the rule
BY_HAND = {
    "01_heat": {
        "rise": 10,
        "length": 100,
        "steel": 100 * 11.5e-6 * 10,
        "aluminium": 100 * 23.4e-6 * 10,
    },  # expansions per kelvin, data/materials.csv
    "02_bore_stress": {},  # an order, no number
    "03_boring_bar": {"times": 2**3},  # F L³ / 3 E I
    "04_reaming": {"times": 2},  # f sin κ / z
    "05_workholding": {"times": 2**3},  # I = w t³ / 12
    "06_fits": {"size": 20, "least": 0.007, "most": 0.041},  # ISO 286: H7 0/+21, g6 −7/−20 µm
    "07_stops_and_measuring": {"times": 4**0.5},
    "08_cutting": {"times": 2**2},  # f² / 8 r
    "09_holes_and_threads": {"share": 0.5 / np.tan(np.radians(59))},
    "10_the_lathe": {"side": 0.1, "twice": 2 * 0.1},  # two ends, one axis: the radius changes by the offset
    "11_true_running": {"differ": 0.1, "move": 0.1 / 2},
    "12_grooves_and_tapers": {"times": 2},  # C (1 − m) k w
    "13_plan_a_part": {"each": 0.005, "likely": 0.005 * 5**0.5, "worst": 0.025},
}
# and as it stands on the wall
READS = {
    "01_heat": ["10 °C", "100 mm", "12 µm", "23 µm"],
    "03_boring_bar": ["8 times"],
    "04_reaming": ["twice as thick"],
    "05_workholding": ["8 times"],
    "06_fits": ["7 µm", "41 µm"],
    "07_stops_and_measuring": ["twice"],
    "08_cutting": ["4 times"],
    "09_holes_and_threads": ["0.3 diameters"],
    "10_the_lathe": ["100 µm", "200 µm"],
    "11_true_running": ["0.1 mm", "0.05 mm"],
    "12_grooves_and_tapers": ["twice"],
    "13_plan_a_part": ["±5 µm", "±11 µm", "±25 µm"],
    "02_bore_stress": [],
}


def fields(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


def test_every_chapter_has_one_card():
    assert NAMES == list(exercises.chapters()) == list(BY_HAND), (
        "one card a chapter, named like its notebook, in their order; BY_HAND here too"
    )


@pytest.mark.parametrize("name", NAMES)
def test_the_number_in_the_rule_is_what_the_library_computes(name):
    written, made = tables.toml("wall_cards")[name], wall_card.card(name)
    assert fields(written["rule"]) == set(BY_HAND[name]), "a number in the rule without a check by hand"
    for what, value in BY_HAND[name].items():
        assert made.numbers[what].value == pytest.approx(value, rel=1e-6), what
        assert made.numbers[what].text(Say()) in made.rule
    for reads in READS[name]:
        assert reads in made.rule
    typed = re.sub(r"\{\w+\}|H7/g6|118°|Twice|Half|Four|Five", "", written["rule"])
    assert not re.search(r"\d", typed), "a number typed into the rule by hand"


@pytest.mark.parametrize("name", NAMES)
def test_a_card_says_all_that_it_should(name):
    written, made = tables.toml("wall_cards")[name], wall_card.card(name)
    assert set(written) == {"rule", "says", "page", "settings", "sure", "caution", "source", "place", "basis"}
    assert made.basis in tables.BASES and made.source and made.place
    for text in (made.rule, made.says, made.sure, made.caution):
        assert text.rstrip()[-1] in ".!?" and "{" not in text and text[0] == text[0].upper()
    used = set().union(*(fields(str(written[part])) for part in ("rule", "says", "sure", "caution")))
    assert used == set(made.numbers), "every number worked out is on the card"
    page = handout.pages(name)[written["page"]]
    assert draw.without_handles(page.answer(**written["settings"]).svg) == made.picture


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("say", "paper"), [(Say(), "A4"), (Say(True), "Letter"), (Say(True), "A4"), (Say(), "Letter")])
def test_a_card_fits_its_sheet_and_is_read_from_two_metres(name, say, paper):
    svg = wall_card.drawn(wall_card.card(name, say), paper)
    root = ET.fromstring(svg)
    width, height = map(float, root.get("viewBox").split()[2:])
    paper_mm = {"A4": (210, 297), "Letter": (215.9, 279.4)}[paper]
    one_mm = width / (paper_mm[0] - 20)
    assert height / one_mm <= paper_mm[1] - 20
    own = [t for t in root if t.tag.endswith("text")]
    rule = [
        t
        for t in own
        if "font-weight:700" in t.get("style") and float(re.search(r"font-size:([\d.]+)", t.get("style"))[1]) > 25
    ]
    assert " ".join(" ".join(t.text for t in rule).split()) == wall_card.card(name, say).rule
    for t in rule:
        capital = 0.72 * float(re.search(r"font-size:([\d.]+)", t.get("style"))[1]) / one_mm
        assert capital >= 2000 / 200 - 0.05, "a two-hundredth of the distance"
    assert len(rule) <= 4
    assert all(
        float(t.get("y")) <= height for t in own
    )  # over the right edge: looked at in a browser, which knows its letters
    picture = next(part for part in root if part.tag.endswith("svg"))
    assert float(picture.get("height")) > 0.24 * height or float(picture.get("width")) > 0.8 * width, (
        "the picture is large enough to be one"
    )
    assert float(picture.get("y")) > max(float(t.get("y")) for t in rule)


@pytest.mark.parametrize("name", NAMES)
def test_nothing_hangs_on_colour(name):
    """Every colour of a picture's style is set to black or grey by the card's, which is more particular."""
    svg = wall_card.drawn(wall_card.card(name))
    rules = re.findall(r"^(\.sp-card[^{]*)\{([^}]*)\}", draw.STYLE, re.M)
    own = ",".join(names for names, _ in rules).split(",")
    for kind in "abcd":
        assert {f".sp-card .sp .{kind}", f".sp-card .sp .fill-{kind}", f".sp-card .sp .dot-{kind}"} <= set(own)
    for _, rule in rules:
        for colour in re.findall(r"#([0-9a-f]{3})\b", rule):
            assert len(set(colour)) == 1, "grey"
    assert not re.search(r'(?:fill|stroke)="#(?!000|fff)', svg)


def test_all_cards_in_one_file_and_nothing_from_outside():
    html = wall_card.build(paper="Letter", say=Say(True))
    assert html.count("<section>") == len(NAMES) and "@page{size:letter" in html
    assert not re.search(r"<script|<link|<img|url\(|@import|https?://(?!www\.w3\.org/)", html)
    assert wall_card.build(["03_boring_bar"]).count("<section>") == 1


def test_cards_are_kept_in_the_users_folder():
    path = wall_card.keep(["06_fits"], Say(True), "Letter")
    assert path.name == "wall_card_06_fits_Letter_inch.html" and path.read_text(encoding="utf-8").startswith(
        "<!doctype html>"
    )
    assert wall_card.keep().name == "wall_card_all_A4.html"
    assert path.parent.name == files.folder().name


def test_wrong_chapters_and_papers_get_a_sentence():
    for call, says in (
        (lambda: wall_card.card("11_gears"), "no wall card"),
        (lambda: wall_card.drawn(wall_card.card("06_fits"), "A3"), "A4 or Letter"),
        (lambda: wall_card.build([]), "No chapter"),
        (lambda: wall_card.build(["06_fits"], paper=""), "A4 or Letter"),
    ):
        with pytest.raises(Refused, match=says):
            call()


def test_a_number_and_its_unit_stay_on_one_line():
    lines = wall_card._wrapped("A shaft of 20 mm has 41 µm of play", 34, 200, True)
    assert (
        not any(line.split(" ")[-1] in ("20", "41") or line.split(" ")[0] in ("mm", "µm") for line in lines)
        and len(lines) > 2
    )


def test_the_page_shows_the_card_and_writes_it():
    from springpass.pages.wall_cards import NAMES as TITLES
    from springpass.pages.wall_cards import PAGE

    for title, name in TITLES.items():
        answer = PAGE.answer(chapter=title)
        made = wall_card.card(name)
        assert (
            answer.svg == wall_card.drawn(made)
            and made.rule in answer.words
            and made.caution in answer.words
            and made.sure in answer.words
        )
    assert "inch" in PAGE.answer(units="inch and thou", chapter=TITLES and list(TITLES)[5]).words
    assert "Saved as" in PAGE.presses[0].does(**PAGE.values()) and f"{len(NAMES)} cards" in PAGE.presses[1].does(
        **PAGE.values(paper="Letter")
    )
