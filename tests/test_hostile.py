"""What people type as a number is understood or refused; whole numbers are whole; the checks of the library's own
arguments refuse what they claim to; formulas run over arrays as they run at each value.
"""

import math
import warnings

import hostile
import numpy as np
import pytest

from springpass.core import checks, formula
from springpass.core.quantity import (
    Quantity,
    finite,
    number,
    positive,
    quantity_of,
    said,
)
from springpass.core.shared import Passes, Tolerance
from springpass.job import part, tools
from springpass.pages import __main__ as command
from springpass.pages import catalogue
from springpass.printing import pocket
from springpass.screen.page import Live, Page, Slide


@pytest.mark.parametrize("text", hostile.NO_NUMBERS)
def test_what_is_no_number_is_refused(text):
    hostile.refused(lambda: number(text))
    hostile.refused(lambda: quantity_of(Tolerance).read(text, "tolerance"))


@pytest.mark.parametrize(
    ("text", "value"),
    [("12,5", 12.5), ("٣", 3), ("𝟓", 5), ("½", 0.5), ("12\u2009500", 12500), ("1\u202f234,5", 1234.5),
     ("1 3/8", 1.375)],
)
def test_what_people_type_is_understood(text, value):
    assert number(text) == value


# ---- whole numbers --------------------------------------------------------------------------------------


@pytest.mark.parametrize("given", ["3", " 3 ", "3.0", "3,0", 3, 3.0, np.float64(3), np.int64(3)])
def test_a_whole_number_is_an_int_however_it_comes(given):
    passes = quantity_of(Passes)
    for heard in (passes.read(given, "passes"), passes.check(number(given), "passes"), Slide("n", Passes).check(given)):
        assert heard == 3 and type(heard) is int


@pytest.mark.parametrize("given", ["2.5", 2.5, "0", 0, 9, "9", "three", True, None])
def test_what_is_no_count_is_refused(given):
    hostile.refused(lambda: Slide("n", Passes).check(given))


def counting(heard):
    """A page that notes what reaches its computation."""
    return Page("n", "A page that counts", (Slide("passes", Passes),), lambda passes: heard.append(passes) or passes,
                lambda r, s: "<svg></svg>", lambda r, s: f"{r} passes.")


@pytest.mark.parametrize("how", [
    lambda page: page.answer(), lambda page: page.answer(passes=2), lambda page: page.answer(passes=2.0),
    lambda page: page.answer(passes="2"), lambda page: Live(page).typed("passes", "2"),
    lambda page: Live(page).typed("passes", "2,0"), lambda page: Live(page).set("passes", 2),
    lambda page: Live(page).hear({"n": 1, "wishes": {"passes": {"slid": 2.0}}}),
    lambda page: pocket.make(page, ["passes = 2"]), lambda page: pocket.make(page, ["passes = 1 to 3"]),
    lambda page: pocket.make(page, ["passes = 1; 2"]), lambda page: pocket.make(page)])
def test_a_page_is_given_whole_numbers(how):
    heard = []
    how(counting(heard))
    assert 2 in heard and {type(value) for value in heard} == {int}


# ---- checks of arguments ----------------------------------------------------------------------------------


@pytest.mark.parametrize("value", [0, -1, math.nan, math.inf, "", "abc", None, True, 1j, [], [1.0, -1.0],
                                   [1.0, math.nan]])
def test_positive_refuses(value):
    hostile.refused(lambda: positive(value, "the width"))


@pytest.mark.parametrize("value", [math.nan, -math.inf, "abc", None, [], [1.0, math.inf]])
def test_finite_refuses(value):
    hostile.refused(lambda: finite(value, "the stress"))


@pytest.mark.parametrize("value", [0.9, 5.1, math.nan, math.inf, 1e300, -1e-300, "abc", None, [], [2.0, 6.0]])
def test_a_span_refuses(value):
    hostile.refused(lambda: Quantity("x", "mm", 1, 5, 2, "a length").check(value, "the length"))


@pytest.mark.parametrize("value", [None, math.nan, -math.inf, "x" * 30000, "\x00", True, b"12", [], [1.0], {}, object(),
                                   1e300, 10**400, np.array([1.0, 2.0])])
def test_what_was_given_is_said_in_words(value):
    text = said(value)
    assert 0 < len(text) <= 45 and not hostile.PYTHON.search(text) and text.isprintable()


# ---- the command line -------------------------------------------------------------------------------------


@pytest.mark.parametrize("words", [
    ["no_such_page"], ["x" * 5000], ["check_stickout", "--inputs", "no_such_input"],
    ["check_stickout", "--inputs", "stickout = rubbish"],
    ["check_stickout", "--inputs", "stickout = 1e9"], ["check_stickout", "--inputs", "stickout ="],
    ["check_stickout", "--inputs", "stickout = 80 to 20"], ["check_stickout", "--inputs", "passes = 2.5"],
    ["check_stickout", "--inputs", "material = cheese"], ["check_stickout", "--steps", "1"],
    ["check_stickout", "--inputs", "stickout", "stickout"]])
def test_a_command_line_that_cannot_be(words, capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert command.main(words) == 2
    said_so = capsys.readouterr()
    assert said_so.out == "" and len(said_so.err.strip().splitlines()) == 1
    assert not list(tmp_path.iterdir())


# ---- the user's own files ----------------------------------------------------------------------------------

LINES = ["power = nan", "power = inf", "power = -1", "power = 1e300", "power = true", "power = []", "power = {}",
         'power = "' + "x" * 3000 + '"', "x" * 3000 + " = 1", "power = {value = 1, low = 2}", "power = {value = nan}",
         ""]


@pytest.mark.parametrize("line", LINES, ids=range(len(LINES)))
def test_a_shop_file_with_a_spoiled_line_is_refused(line):
    text = tools.as_text(tools.default_shop().description)
    [power] = [one for one in text.splitlines() if one.startswith("power")]
    tools.read_text(text)
    hostile.refused(lambda: tools.read_text(text.replace(power, line, 1)))


@pytest.mark.parametrize("line", ["length = nan", "length = -5", "length = 1e300", 'length = "long"', "length = []",
                                  "length = true", 'material = "' + "x" * 3000 + '"', "x" * 3000 + " = 1",
                                  "= 3", "length"], ids=range(10))
def test_a_part_file_with_a_spoiled_line_is_refused(line):
    text = 'name = "pin"\nmaterial = "carbon steel C45 / 1045"\n' + line + "\n"
    hostile.refused(lambda: part.read_text(text))


# ---- formulas ---------------------------------------------------------------------------------------------


catalogue.pages()   # brings every topic in, and its formulas with it


@pytest.mark.parametrize("function", [f for f in formula.REGISTRY if f.__module__.startswith("springpass.")],
                         ids=lambda f: f"{f.__module__.split('.')[-1]}.{f.__name__}")
def test_a_formula_over_an_array_is_the_formula_at_each_value(function):
    points = checks.random_inputs(function, 6)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        before = {n: v.copy() for n, v in points.items()}
        many = np.broadcast_to(function(**points), (6,))
        each = [function(**{n: v[i] for n, v in points.items()}) for i in range(6)]
    np.testing.assert_allclose(many, each, rtol=1e-12, atol=0)
    assert all((points[n] == before[n]).all() for n in points), "the caller's arrays stand"
