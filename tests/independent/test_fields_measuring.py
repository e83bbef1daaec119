"""Budgets, chains and readings field by field: the library `uncertainties`, a million draws, circles through points."""

import statistics

import numpy as np
import pytest
from uncertainties import ufloat, umath

from outside import agrees, claim, source
from springpass import stops
from springpass.core import tables
from springpass.measuring import budgets, control_charts, gauging, guard_bands
from springpass.stops import gauge_blocks

LIBRARY = "the library uncertainties"


def flat(value, half):
    """A rectangle's standard deviation is its half width over √3."""
    return ufloat(value, half / 3**0.5)


def spread_agrees(found, answer, product, of, rel):
    """A budget's uncertainty against the library's; `product` is what warmth and expansion add together."""
    agrees("uncertainty", (found.uncertainty, found.first_order), (answer.std_dev, answer.std_dev), rel=rel, unit="mm",
           of=of)
    agrees("second order", found.second_order, np.hypot(answer.std_dev, product), rel=10 * rel, unit="mm", of=of)


def lines_agree(found, known, answer, of, rel=1e-5):
    """Each line's sensitivity, contribution and share against the derivatives and parts of `uncertainties`."""
    variance = answer.std_dev**2
    names = [line.name for line in found.lines if line.name in known and known[line.name].std_dev > 0]
    claim("lines", set(names) == set(known), of=of)
    lines = {line.name: line for line in found.lines}
    for name in names:
        slope = answer.derivatives.get(known[name], 0.0)
        part = abs(slope) * known[name].std_dev
        line = lines[name]
        agrees(f"{name}: sensitivity, contribution, share", (line.sensitivity, line.contribution, line.share),
               (slope, part, part**2 / variance), rel=rel, abs=1e-15, of=of)


@source(LIBRARY, place="a product of two and a sum", basis="method")
def test_shares_of_a_budget():
    known = {"a": ufloat(3.0, 0.02), "b": flat(5.0, 0.03), "c": ufloat(2.0, 0.05)}
    found = budgets.budget({"a": (3.0, 0.02), "b": budgets.rectangular(5.0, 0.03), "c": (2.0, 0.05)},
                           lambda a, b, c: a * b + c)
    answer = known["a"] * known["b"] + known["c"]
    agrees("uncertainty", found.uncertainty, answer.std_dev, rel=1e-6, of=budgets.budget)
    lines_agree(found, known, answer, budgets.budget)


@source(LIBRARY, place="10.5 and 21.5 wrung in a clean room, grade 1, 3 K warm", basis="method")
def test_stack_of_blocks_line_by_line():
    """Second order adds only the product of the two doubts of warmth and expansion: independent, it is exact."""
    blocks, rise = (10.5, 21.5), 3.0
    film = tables.row("touch_off", kind="wring", name="clean blocks")
    known = {f"block {b:g}": flat(b, stops.grade_limits(b, "1")[0]) for b in blocks}
    known |= {"film 1": flat(film["offset"], film["plus_minus"]), "rise": flat(rise, 1.0),
              "expansion": flat(11.5e-6, 1e-6)}
    length = known["block 10.5"] + known["block 21.5"]
    answer = length * (1 + known["expansion"] * known["rise"]) + known["film 1"]
    found = stops.stack_budget(blocks, "1", "clean blocks", rise)
    agrees("length", found.value, answer.nominal_value, rel=1e-12, unit="mm", of=stops.stack_budget)
    spread_agrees(found, answer, 32.0 * known["rise"].std_dev * known["expansion"].std_dev, stops.stack_budget, 1e-5)
    lines_agree(found, known, answer, stops.stack_budget, rel=1e-4)


@source(LIBRARY, place="32 deep, ink, an indicator, three blocks of grade 1, the work 5 K warm", basis="method")
def test_depth_line_by_line():
    ink, met, film = (tables.row("touch_off", kind=kind, name=name) for kind, name in (
        ("touch", "ink"), ("stop", "indicator on the carriage"), ("wring", "blocks in the workshop")))
    each = flat(32 / 3, stops.grade_limits(32 / 3, "1")[0])
    blocks = np.sqrt(3 * each.std_dev**2 + 2 * film["plus_minus"]**2 / 3 + (32 * 11.5e-6 / 3**0.5) ** 2)
    known = {"touch": ufloat(0, ink["plus_minus"] / 2), "stop at the zero": ufloat(0, met["plus_minus"] / 2),
             "stop at depth": ufloat(0, met["plus_minus"] / 2), "gauge blocks": ufloat(32, blocks),
             "warmth": flat(5.0, 2.0), "expansion": flat(12e-6, 1e-6)}
    answer = (known["gauge blocks"] * (1 - known["expansion"] * known["warmth"]) + known["touch"]
              + known["stop at the zero"] - known["stop at depth"])
    found = stops.depth_budget(32.0, rise=5.0)
    agrees("depth", found.value, answer.nominal_value, rel=1e-12, unit="mm", of=stops.depth_budget)
    spread_agrees(found, answer, 32.0 * known["warmth"].std_dev * known["expansion"].std_dev, stops.depth_budget, 1e-4)
    lines_agree(found, known, answer, stops.depth_budget, rel=1e-3)


def row(instrument, part):
    return next(r for r in tables.rows("instruments") if r["instrument"] == instrument and r["input"] == part)


@source(LIBRARY + "; a million draws for the second order", place="micrometer on Ø20, 1° askew", basis="method")
def test_ready_budget_line_by_line():
    """An askew of ±1° always reads too much: on average 20·(π/180)²/6 = 1.0154 µm."""
    half = {part: row("micrometer on a shaft", part)["value"] / 1000
            for part in ("scale", "faces", "zero", "step", "repeat")}
    shared = {part: row("any gauge", part)["value"] for part in ("expansion", "temperature", "difference")}
    steel = tables.fact("materials", material="carbon steel C45 / 1045", property="alpha")
    known = {part: flat(0.0, half[part]) for part in ("scale", "faces", "zero", "step")}
    known |= {"repeat": ufloat(0.0, half["repeat"]), "askew": flat(0.0, 1.0), "shop": flat(2.0, shared["temperature"]),
              "difference": flat(0.0, shared["difference"]), "gauge's steel": flat(11.5e-6, shared["expansion"] * 1e-6),
              "work's metal": flat((steel.low + steel.high) / 2, (steel.high - steel.low) / 2)}

    def model(v, cos):
        seen = 20.0 + sum(v[part] for part in half) - 20.0 * (1 - cos(v["askew"] * (np.pi / 180)))
        return seen + 20.0 * v["gauge's steel"] * v["shop"] - 20.0 * v["work's metal"] * (v["shop"] + v["difference"])

    answer = model(known, umath.cos)
    found = gauging.ready(askew=1.0)
    budget = found.budget
    agrees("size", found.value, answer.nominal_value, abs=1e-9, unit="mm", of=gauging.ready)
    agrees("first order", budget.first_order, answer.std_dev, rel=1e-4, unit="mm", of=gauging.ready)
    lines_agree(budget, known, answer, gauging.ready, rel=1e-3)
    throw = np.random.default_rng(6)
    drawn = {name: throw.normal(0.0, one.std_dev, 10**6) if name == "repeat"
             else one.nominal_value + one.std_dev * 3**0.5 * throw.uniform(-1, 1, 10**6) for name, one in known.items()}
    sizes = model(drawn, np.cos)
    agrees("uncertainty", (budget.uncertainty, budget.second_order), (sizes.std(), sizes.std()), rel=0.01, unit="mm",
           of=gauging.ready)
    agrees("shift", budget.shift, sizes.mean() - answer.nominal_value, rel=0.02, unit="mm", of=gauging.ready)


@source("the circle through three contacts, drawn all round the part", place="three and five lobes of 20 µm",
        basis="method")
@pytest.mark.parametrize("lobes", [3, 5])
def test_three_contacts_on_a_lobed_part(lobes):
    ring = []
    for start in np.linspace(0, 2 * np.pi, 720, endpoint=False):
        turn = start + np.array([0, 2, 4]) * np.pi / 3
        a, b, c = (10.0 + 0.010 * np.cos(lobes * turn)) * np.exp(1j * turn)
        sides = abs(a - b) * abs(b - c) * abs(c - a)
        ring.append(sides / abs(((b - a) * np.conj(c - a)).imag))
    found = gauging.lobes_seen(20.0, 0.020, lobes)
    # three lobes are seen in full, 40 µm; five hardly at all: the reading's change is compared
    agrees("three points", np.array(found.three_point) - 20.0, np.array([min(ring), max(ring)]) - 20.0, rel=0.02,
           abs=2e-5, unit="mm", of=gauging.lobes_seen)


@source("Python's statistics module", place="six readings", basis="method")
def test_repeated_readings_counted():
    readings = (20.012, 20.014, 20.011, 20.015, 20.013, 20.012)
    found = guard_bands.repeatability(readings, 0.001)
    agrees("mean, scatter", (found.mean, found.scatter), (statistics.mean(readings), statistics.stdev(readings)),
           rel=1e-9, unit="mm", of=guard_bands.repeatability)
    agrees("one less than the readings", found.dof, 5.0, of=guard_bands.repeatability)
    coarse = guard_bands.repeatability(readings, 0.01)   # a step of 10 µm hides 10/√12 = 2.887 µm
    claim("the step decides", coarse.hidden and not found.hidden, of=guard_bands.repeatability)
    agrees("what the step hides", coarse.scatter, 0.0028868, rel=1e-4, unit="mm", of=guard_bands.repeatability)


@source("neighbours subtracted by hand", place="five readings, 1 µm a part allowed for", basis="hand")
def test_steps_between_neighbours():
    """10, 12, 11, 15, 14 µm: steps 2, −1, 4, −1, less one each: 1, 2, 3, 2."""
    found = control_charts.chart((0.010, 0.012, 0.011, 0.015, 0.014), 0.001)
    agrees("ranges", found.ranges, (0.001, 0.002, 0.003, 0.002), rel=1e-9, unit="mm", of=control_charts.chart)


@source("links added by hand", place="12, 30 and 58 from the face; ink ±10, indicator ±4 µm", basis="hand")
def test_links_of_a_shoulder():
    """From one zero: stop at 58, back to stop at 12: 46 ± 8 at worst, ± 5.657 as squares. One after the other: touch
    and stop twice: 28 at worst, √(2·(100 + 16)) = 15.232.
    """
    one = stops.shoulder_chain([12, 30, 58], 1, 3, stops.ONE_ZERO)
    agrees("one zero: lengths", [link.length for link in one.links], [58, 12], unit="mm", of=stops.shoulder_chain)
    agrees("one zero: signs", [link.sign for link in one.links], [1, -1], of=stops.shoulder_chain)
    claim("one zero: no touch between them", not any(link.touch for link in one.links), of=stops.shoulder_chain)
    agrees("one zero: worst, squares", (one.worst, one.rss), (0.008, 0.0056569), rel=1e-4, unit="mm",
           of=stops.shoulder_chain)
    after = stops.shoulder_chain([12, 30, 58], 1, 3, stops.EACH_OTHER)
    agrees("each other: lengths", [link.length for link in after.links], [0, 18, 0, 28], unit="mm",
           of=stops.shoulder_chain)
    agrees("each other: plus or minus", [link.plus_minus for link in after.links], [0.010, 0.004, 0.010, 0.004],
           unit="mm", of=stops.shoulder_chain)
    agrees("each other: touches", [link.touch for link in after.links], [True, False, True, False],
           of=stops.shoulder_chain)
    agrees("each other: worst, squares", (after.worst, after.rss), (0.028, 0.0152315), rel=1e-4, unit="mm",
           of=stops.shoulder_chain)
    agrees("links", len(after.links), 4, of=stops.shoulder_chain)


@source("divisions counted by hand", place="a dial of 25 mm in steps of 0.01", basis="hand")
def test_whether_the_dial_comes_to_a_line():
    for length in (37.25, 41.237):
        for one in gauge_blocks.split(length):
            left = round(length - sum(one.blocks), 6)
            agrees("on a line", one.on_line, abs(left * 100 - round(left * 100)) < 1e-6, of=gauge_blocks.split)
