"""Every labelled formula: its label, its body, its dimensions, and that what is printed is what is computed."""

import importlib
import json
import pkgutil

import numpy as np
import pytest
import rebuild

import springpass
from springpass.boring_bar.bending import bar_deflection, second_moment, tip_deflection
from springpass.boring_bar.quantities import Deflection, Stickout
from springpass.core import checks, pen
from springpass.core import formula as fm
from springpass.core.formula import formula, solve_for
from springpass.core.printed import STORED, printed
from springpass.core.quantity import Refused
from springpass.core.shared import BarDiameter, Force, Modulus
from springpass.screen.formulas import legend

TOPICS = [name for _, name, package in pkgutil.walk_packages(springpass.__path__, "springpass.") if not package]
for topic in TOPICS:
    importlib.import_module(topic)
FORMULAS = [f for f in fm.REGISTRY if f.__module__.startswith("springpass.")]


def test_there_are_formulas_to_check():
    assert len(FORMULAS) > 40


@pytest.mark.parametrize("function", FORMULAS, ids=lambda f: f"{f.__module__.split('.')[-1]}.{f.__name__}")
def test_a_formula_is_sound(function):
    assert checks.check_label(function) == ""
    assert checks.check_body(function) == ""
    assert checks.check_print(function) == ""
    if not function.label.empirical:
        assert checks.check_dimensions(function) == ""


def test_what_is_stored_is_what_sympy_prints():
    """Each formula by check_print; here that none is missing and none is left over."""
    assert json.loads(STORED.read_text(encoding="utf-8")) == rebuild.print_formulas(), (
        "run tests/rebuild.py --formulas")


@pytest.mark.parametrize("function", FORMULAS, ids=lambda f: f"{f.__module__.split('.')[-1]}.{f.__name__}")
def test_every_letter_has_its_number(function):
    """The numbers of the inner formulas, found by running the code once more, against SymPy's expressions."""
    import sympy

    numbers = {name: what.usual for name, what in fm.inputs(function).items()}
    made, shown = pen.drawn(function), printed(function)
    found, total = shown._numbers(numbers)
    symbols = list(made.tex)
    assert sorted(found) == list(range(len(symbols)))
    values = [np.float64(found[letter]) for letter in range(len(symbols))]
    for symbol, _, expression in (*made.inner, (None, None, made.main)):
        with np.errstate(all="ignore"):
            wanted = sympy.lambdify(symbols, expression, modules=[{"log": checks._log}, "numpy"])(*values)
        got = total if symbol is None else found[symbols.index(symbol)]
        assert got == pytest.approx(float(wanted), rel=1e-9, nan_ok=True)


def test_the_printed_form_keeps_the_letters():
    latex = printed(tip_deflection).latex
    assert r"\delta &= \frac{F\,L^{3}}{3\,E\,I}" in latex
    assert r"I &= \frac{\pi\,d^{4}}{64}" in latex
    assert "64\\,F" not in latex


def test_inner_formulas_with_the_answers_own_letter_are_told_apart():
    lines = printed(bar_deflection).latex.split(r"\\")
    lefts = [
        line.split("&=")[0].split("}")[-1].strip() if "aligned" in line else line.split("&=")[0].strip()
        for line in lines
    ]
    assert len(set(lefts)) == len(lefts)


def test_the_numbers_go_in_and_the_answer_comes_out():
    latex = printed(tip_deflection).with_numbers(force=15, stickout=40, bar=8, modulus=205e3)
    # by hand: 15 * 40^3 / (3 * 205000 * 201.06) = 0.00776 mm
    assert "7.76" in latex and r"40\,\mathrm{mm}" in latex
    with pytest.raises(Refused, match="modulus"):
        printed(tip_deflection).with_numbers(force=15, stickout=40, bar=8)


def test_turned_round_it_gives_the_input_back():
    known = {"force": 15.0, "bar": 8.0, "modulus": 205e3}
    [length] = solve_for("stickout", tip_deflection, 0.005, **known)
    # by hand: L^3 = 0.005 * 3 * 205000 * 201.06 / 15
    assert length == pytest.approx((0.005 * 3 * 205000 * np.pi * 8**4 / 64 / 15) ** (1 / 3), rel=1e-9)


def test_turned_round_it_finds_every_root_and_says_when_there_is_none():
    @formula(source="a parabola for this test", holds="for this test")
    def hill(stickout: Stickout) -> Deflection:
        """Rises and falls."""
        return 0.01 - (stickout - 100) ** 2 * 1e-6

    fm.REGISTRY.remove(hill)
    assert solve_for("stickout", hill, 0.0) == pytest.approx([5.0, 200.0], abs=1e-6) or \
        solve_for("stickout", hill, 0.0) == pytest.approx([200.0], abs=1e-6)
    assert solve_for("stickout", hill, 0.0075) == pytest.approx([50, 150])
    with pytest.raises(Refused, match="No stickout between 5 mm and 400 mm"):
        solve_for("stickout", hill, 0.02)
    with pytest.raises(Refused, match="has no depth"):
        solve_for("depth", hill, 0.02)


def bad(**labels):
    """Label a function without leaving it among the library's formulas."""
    def label(function):
        formula(source="for this test alone", holds="for this test alone", **labels)(function)
        fm.REGISTRY.remove(function)
        return function
    return label


@bad()
def wrong_power(force: Force, stickout: Stickout, bar: BarDiameter, modulus: Modulus) -> Deflection:
    """The square for the cube: the dimensions catch it."""
    return force * stickout**2 / (3 * modulus * second_moment(bar))


@bad()
def branching(stickout: Stickout) -> Deflection:
    """Takes one branch silently."""
    return stickout if stickout > 4 else 0 * stickout


@bad()
def with_max(stickout: Stickout) -> Deflection:
    """Python's max cannot be printed."""
    return max(stickout, 3)


@bad()
def with_root(stickout: Stickout) -> Deflection:
    """A power of one half prints badly."""
    return stickout**0.5


def test_the_checks_catch_what_they_should():
    assert "does not scale" in checks.check_dimensions(wrong_power)
    assert checks.check_body(branching) and checks.check_body(with_max) and checks.check_body(with_root)


def test_branches_inside_where_print_and_compute_alike():
    @bad()
    def stepped(stickout: Stickout, bar: BarDiameter) -> Deflection:
        """A branch that prints."""
        return np.where(stickout > 4 * bar, stickout - 4 * bar, bar) + np.maximum(stickout, bar)

    assert checks.check_body(stepped) == checks.check_print(stepped) == checks.check_dimensions(stepped) == ""


@pytest.mark.parametrize(("unit", "wanted"), [
    ("mm", (1, 0, 0, 0)), ("MPa", (-2, 1, 0, 0)), ("N mm/rad", (1, 1, 0, 0)), ("kg/m³", (-4, 1, 0, 2)),
    ("W/(m² K)", (-1, 1, -1, -1)), ("J/(kg K)", (2, 0, -1, -2)), ("m/min", (1, 0, 0, -1)), ("1/K", (0, 0, -1, 0))])
def test_units_have_their_dimensions(unit, wanted):
    """By hand: 1 kg = 1 N s²/m, so kg goes as N s²/mm; W = N m/s; J = N m."""
    assert tuple(checks.dimension(unit)) == wanted


def test_an_unknown_unit_is_said():
    with pytest.raises(Refused, match="furlong"):
        checks.dimension("furlong/s")


@pytest.mark.parametrize("function", FORMULAS, ids=fm.name_of)
def test_every_letter_is_explained_and_stands_for_one_thing(function):
    shown = printed(function)
    said = legend(shown)
    letters = {*shown.tex} & {*shown.letters.values(), *(letter for letter, _ in shown.inner)}
    assert all(f"- ${shown.tex[letter]}$: " in said for letter in letters)
    assert all(shown.tex[letter] == shown.quantity[letter].symbol for letter in shown.letters.values())
