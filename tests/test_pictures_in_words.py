"""What the eye gets from a picture must not hang on the eye: its numbers are also said, its series differ without
colour.
"""

import re
from html import unescape
from itertools import combinations

import numpy as np
import pytest
from test_pages import PAGES

from springpass.core.quantity import Refused
from springpass.screen import draw
from springpass.screen.page import Choose, Slide, Tick, head

NUMBER = re.compile(r"(?<![\w.,])[−+±-]?\d+(?:[.,]\d+)*")
# how much larger something is drawn, a chapter's number and a list's counting are no results
NO_RESULT = re.compile(r"drawn|×|times (larger|life|too)|chapter \d|^\d+(st|nd|rd|th)$")
COLOURS = "abcd"


def numbers(text):
    return [abs(float(found.lstrip("−+±-").replace(",", ""))) for found in NUMBER.findall(text) if found.count(".") < 2]


def labels(svg):
    """Every text in a picture that may carry a result; numbers along an axis are left out, list counters cut off."""
    for kind, text in re.findall(r'<text class="([^"]*)"[^>]*>([^<]*)</text>', svg):
        text = unescape(text)
        if not (kind == "small" and NUMBER.fullmatch(text.strip())) and not NO_RESULT.search(text):
            yield re.sub(r"^\d+  ", "", text)


def settings(page):
    """The opening values, and each choice, tick and slider's end on its own."""
    yield {}
    for what in page.inputs:
        if isinstance(what, Choose):
            yield from ({what.name: option} for option in what.options)
        elif isinstance(what, Tick):
            yield {what.name: not what.usual}
        elif isinstance(what, Slide):
            yield from ({what.name: end} for end in (what.quantity.low, what.quantity.high))


def answers(page):
    for changed in settings(page):
        try:
            yield changed, page.answer(**changed)
        except Refused:
            continue


def told(answer):
    """All that is said beside the picture: the words, the picture's description and the table under it."""
    description = re.search(r"<desc>(.*?)</desc>", answer.svg, re.S)
    return unescape(
        " ".join([answer.words, description[1] if description else "", re.sub(r"<[^>]+>", " ", answer.more)])
    )


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_every_number_in_the_picture_is_also_said(page):
    """Words, description or table carry each number that stands in the picture as a result."""
    for changed, answer in answers(page):
        said = set(numbers(told(answer)))
        for label in labels(answer.svg):
            missing = [n for n in numbers(label) if n not in said]
            # the same number with fewer digits is the same number
            missing = [n for n in missing if not any(abs(n - s) <= 0.05 * max(n, s) for s in said)]
            assert not missing, f"{changed}: “{label}” stands in the picture alone"


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_a_verdict_in_the_picture_is_in_the_words(page):
    for changed, answer in answers(page):
        verdict = getattr(answer.result, "verdict", "")
        if verdict:
            assert head(answer)[0] in "●◐◆", changed


# ---- without colour -------------------------------------------------------------------------------


def style(kind):
    """A class's declarations without its colours."""
    found = re.search(rf"\.sp \.{kind}\{{([^}}]*)\}}", draw.STYLE)
    assert found, kind
    return {
        part.split(":")[0]: part.split(":")[1] for part in found[1].split(";") if not re.match(r"(fill|stroke):#", part)
    }


def test_lines_and_edges_of_bands_differ_without_their_colours():
    for family in ("{}", "fill-{}"):
        for one, other in combinations(COLOURS, 2):
            assert style(family.format(one)) != style(family.format(other)), (family, one, other)
    assert style("limit")["stroke-dasharray"] not in {style(k).get("stroke-dasharray") for k in COLOURS}


def boxes(svg):
    """Marks and filled shapes of a picture: (colour, form, has an outline of its own, hatched, bounding box)."""
    parts = re.findall(r'<(polygon|circle|path|text|polyline) class="([^"]*)"([^>]*)>', svg)
    for i, (tag, kind, rest) in enumerate(parts):
        mark = re.fullmatch(r"(dot|fill)-([abcd])", kind)
        if not mark:
            continue
        if tag == "circle":
            cx, cy, r = (float(v) for v in re.findall(r'(?:cx|cy|r)="([-\d.]+)"', rest))
            x, y, form = np.array([cx - r, cx + r]), np.array([cy - r, cy + r]), "circle"
        else:
            pairs = np.array(
                [[float(v) for v in p.split(",")] for p in re.search(r'points="([^"]*)"', rest)[1].split()]
            )
            x, y = pairs[:, 0], pairs[:, 1]
            square = len(x) == 4 and len(set(x)) == 2
            form = (
                "bar"
                if square and np.ptp(x) != np.ptp(y)
                else "square"
                if square
                else "diamond"
                if len(x) == 4
                else "shape"
            )
        after = [(t, k) for t, k, _ in parts[i + 1:i + 3]]
        hatched = ("path", "faint") in after[:1]
        covered = any(t == "polygon" and k in ("thin", "ink", "limit") for t, k in after[:1 + hatched])
        yield mark[1], mark[2], form, covered, hatched, (x.min(), y.min(), x.max(), y.max())


def told_apart(one, other):
    """Two marks of different colour differ in something else, if it were printed in grey."""
    (family, _, form, covered, hatched, _), (family2, _, form2, covered2, hatched2, _) = one, other
    return (
        family != family2 or form != form2 or hatched != hatched2 or (family == "fill" and not (covered and covered2))
    )


def named(svg, box):
    """A word stands in the mark or within 40 px of it, in its row, or above or below it in its column."""
    x0, y0, x1, y1 = box
    words = [
        (float(x), float(y))
        for x, y, text in re.findall(r'<text [^>]*?x="([-\d.]+)" y="([-\d.]+)"[^>]*>([^<]*)<', svg)
        if re.search(r"[A-Za-z]{2}", text)
    ]
    return any(
        y0 - 24 <= y <= y1 + 18 or x0 - 12 <= x <= x1 + 12 or (x0 - 40 <= x <= x1 + 40 and y0 - 30 <= y <= y1 + 30)
        for x, y in words
    )


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_nothing_is_told_by_colour_alone(page):
    """In grey, marks and areas of different colour still differ in form, hatching or edge, or carry their own label."""
    for changed, answer in answers(page):
        marks = list(boxes(answer.svg))
        for one, other in combinations(marks, 2):
            if one[1] != other[1] and not told_apart(one, other):
                # within a chart's own frame places are counted from the frame's corner, so a label there cannot be
                # placed
                assert named(answer.svg, one[5]) and named(answer.svg, other[5]), (
                    f"{changed}: {one} and {other} differ in colour alone"
                )


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.name)
def test_nothing_is_called_by_its_colour(page):
    """“The purple bar” says nothing to some; bars are called by place, mark or hatching."""
    for _, answer in answers(page):
        for text in [answer.words, *re.findall(r"<text[^>]*>([^<]*)</text>", answer.svg)]:
            assert not re.search(
                r"(?<!marking )\b(purple|violet|green|orange|blue|red|gr[ea]y|yellow)\b(?! (brittle|cast|iron))",
                text, re.I
            ), text
