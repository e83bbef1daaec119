"""Words in a picture keep their room: none runs out of it, none lies on another, at a desk's size and at a phone's.

Widths are those of DejaVu Sans, one of the widest faces in common use, in hundredths of the type's size (measured once
from the font file); a bold letter is an eighth wider. What fits in it fits in the others.
"""

import math
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from test_pages import PAGES
from test_pictures_in_words import settings

from springpass.core.quantity import Refused, Say
from springpass.screen import draw
from springpass.screen.page import Choose, Slide, Tick

WIDTHS = {
    27: "'",
    28: "ijl",
    29: "IJ",
    32: " ,.·’",
    34: "/:;\\|",
    35: "f",
    36: "-",
    39: "()[]t",
    40: "!²³",
    41: "r",
    46: '"',
    50: "*_`°–▸◂",
    52: "sz“”",
    53: "?",
    55: "c",
    56: "L",
    58: "Fk",
    59: "vxy",
    60: "P",
    61: "TYaoäö",
    62: "e",
    63: "ESbdghnpqußü",
    64: "$0123456789{}µ",
    66: "K",
    68: "AVÄ",
    69: "BRXZ",
    70: "C",
    73: "UÜ",
    75: "HN",
    77: "DG◀▶◆",
    78: "&",
    79: "OQÖØ",
    82: "w",
    84: "#+<=>^~±×−≈≤≥✓→",
    86: "M",
    87: "●◐",
    95: "%",
    97: "m½",
    99: "W",
    100: "@—…",
}
LETTER = {letter: width / 100 for width, letters in WIDTHS.items() for letter in letters}
SIZES = {"desk": (14.0, 12.5), "phone": (16.5, 15.0)}   # ordinary and small print, px
CARD = (15.0, 13.5)                                      # in a picture on a wall card
SLACK = 1.0                                              # px


def wide(text, size, bold):
    return size * sum(LETTER.get(letter, 0.7) for letter in text) * (1.125 if bold else 1.0)


def written(svg, size):
    """Each text with its box (left, top, right, bottom) and the room it has, in the picture's own px."""
    found = []
    card = "sp-card" in svg[:300]

    def walk(node, place, scale, room, inner):
        for child in node:
            tag = child.tag.rsplit("}", 1)[-1]
            if tag == "svg":
                x, y, w, h = (float(child.get(name)) for name in ("x", "y", "width", "height"))
                corner = place[0] + x * scale, place[1] + y * scale
                box = child.get("viewBox")
                much = scale * min(w / float(box.split()[2]), h / float(box.split()[3])) if box else scale
                here = (*corner, corner[0] + w * scale, corner[1] + h * scale)
                walk(child, corner, much, here, True)
            elif tag == "text" and (words := "".join(child.itertext()).strip()):
                kinds, style = (child.get("class") or "").split(), child.get("style") or ""
                ordinary, small = CARD if card and inner else size
                high = (
                    float(re.search(r"font-size:([\d.]+)", style)[1])
                    if "font-size" in style
                    else small
                    if "small" in kinds
                    else ordinary
                )
                long = wide(words, high, "bold" in kinds or "font-weight:700" in style)
                x, y, turn = float(child.get("x")), float(child.get("y")), child.get("transform")
                left = x - long * {"start": 0.0, "middle": 0.5, "end": 1.0}[child.get("text-anchor") or "start"]
                corners = np.array(
                    [[x_, y_] for x_ in (left, left + long) for y_ in (y - 0.74 * high, y + 0.08 * high)]
                )
                if turn:
                    a = math.radians(float(turn.split("(")[1].split()[0]))
                    corners = (corners - [x, y]) @ np.array(
                        [[math.cos(a), math.sin(a)], [-math.sin(a), math.cos(a)]]
                    ) + [x, y]
                corners = corners * scale + place
                found.append((words, (*corners.min(0), *corners.max(0)), room))
            elif tag == "g":
                walk(child, place, scale, room, inner)

    root = ET.fromstring(svg)
    walk(root, (0.0, 0.0), 1.0, (0.0, 0.0, *map(float, root.get("viewBox").split()[2:])), False)
    return found


def faults(svg, size):
    """What runs out of its room, and what lies on what."""
    texts = written(svg, size)
    for words, (left, top, right, bottom), room in texts:
        if max(room[0] - left, room[1] - top, right - room[2], bottom - room[3]) > SLACK:
            yield f"“{words}” runs out of the picture"
    for i, (words, a, _) in enumerate(texts):
        for other, b, _ in texts[:i]:
            if min(a[2], b[2]) - max(a[0], b[0]) > SLACK and min(a[3], b[3]) - max(a[1], b[1]) > SLACK:
                yield f"“{words}” lies on “{other}”"


def drawn(page, count=8):
    """The page's pictures at the settings of `settings` and at some thrown by dice, in mm and in inch."""
    dice = np.random.default_rng(5)
    thrown = [
        {
            what.name: float(what.quantity.low + (what.quantity.high - what.quantity.low) * dice.random() ** 2)
            if isinstance(what, Slide)
            else what.options[dice.integers(len(what.options))]
            if isinstance(what, Choose)
            else bool(dice.integers(2))
            for what in page.inputs
            if isinstance(what, Slide | Choose | Tick)
        }
        for _ in range(count)
    ]
    for changed in [*settings(page), *thrown]:
        for inch in (False, True):
            try:
                yield changed, inch, page.answer(Say(inch), **changed).svg
            except Refused:
                continue


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_words_run_neither_out_of_the_picture_nor_into_each_other(page):
    for changed, inch, svg in drawn(page):
        for where, size in SIZES.items():
            assert not list(faults(svg, size)), (
                f"{changed} {'inch' if inch else 'mm'}, {where}: {list(faults(svg, size))}"
            )


def test_faults_are_seen():
    """A word across the edge, one on another, one hidden at an inset's edge; and the same words with room are none."""
    d, inner = draw.Drawing("", "", 200, 100), draw.Drawing("", "", 100, 40)
    d.text(190, 20, "words")
    assert list(faults(d.svg(), SIZES["desk"])) == ["“words” runs out of the picture"]
    d = draw.Drawing("", "", 200, 100)
    d.text(10, 20, "words")
    d.text(30, 25, "on words")
    assert list(faults(d.svg(), SIZES["desk"])) == ["“on words” lies on “words”"]
    d = draw.Drawing("", "", 200, 100)
    inner.text(80, 20, "words")
    d.inset(inner, 10, 10)
    assert list(faults(d.svg(), SIZES["desk"])) == ["“words” runs out of the picture"]
    d = draw.Drawing("", "", 200, 100)
    d.text(10, 20, "words")
    d.text(10, 40, "under words")
    assert not list(faults(d.svg(), SIZES["phone"]))


def test_the_room_that_pictures_reckon_with_is_wide_enough():
    """draw.breadth, by which pictures place their words, is not narrower than the wide face, for what pages write."""
    for words in (
        "half the tolerance",
        "longest that holds",
        "0.0025",
        "−0.276",
        "1000000",
        "tungsten heavy alloy",
        "set 1250",
        "three jaws tightened hard: bore lobed (chapter 5)",
        "deepest 0.059 inch",
        "±0.39 thou",
        "as large as the reamer",
    ):
        assert 0.98 <= draw.breadth(words, 15) / wide(words, 15, False) <= 1.25, words
