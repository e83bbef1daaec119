"""Plans a master would sign: the demo parts, twenty written ones and five hundred at random through the virtual lathe.

Either the lathe finds nothing, or the plan says plainly what it cannot do. Beside it: the odds against the closed form,
and the boring bars against the page that judges them.
"""

import copy
import math
from pathlib import Path

import numpy as np
import pytest
import random_parts
from hypothesis import given, settings
from virtual_lathe import replay

from springpass import boring_bar, job
from springpass.core.quantity import Say
from springpass.core.spread import FAILS, HOLDS
from springpass.job import part, tools
from springpass.job.results import BarGivesWay, Cause
from springpass.printing import plan_words, sheet

SHOP = tools.default_shop()


def well_equipped():
    """The club's shop with more bars and flat drills than it has, so that random parts are planned and not refused."""
    more = copy.deepcopy(SHOP.description)
    like = next(b for b in more["bars"] if b["name"] == "6 mm carbide bar")
    more["bars"] += [{**like, "name": f"{d:g} mm carbide bar", "diameter": d, "longest": 7 * d, "smallest_bore": least}
        for d, least in ((10, 12.8), (12, 15.2))]
    more["drills"].append({"name": "flat-bottomed drills", "known": "assumed", "point_angle": 180,
        "material": "high-speed steel", "sizes": {"first": 3, "step": 0.5, "last": 20}})
    return tools.read(more)


EQUIPPED = well_equipped()
WRITTEN = sorted((Path(__file__).parent / "plan_parts").glob("*.toml"))
PARTS = {**{name: part.demo(name) for name in part.DEMOS},
    **{file.stem: part.read_text(file.read_text(encoding="utf-8"), file.name) for file in WRITTEN}}


@pytest.fixture(scope="module")
def made():
    """Each plan once."""
    kept = {}

    def plan(name):
        if name not in kept:
            kept[name] = job.plan(PARTS[name], SHOP)
        return kept[name]
    return plan


def said_plainly(plan):
    """What a plan does not do, in sentences."""
    return [*(plan_words.missing(plan, m, Say()) for m in plan.missing),
        *(plan_words.cannot(plan, c, Say()) for c in plan.cannot)]


def found_and_not_said(plan):
    """What the virtual lathe finds in a plan that does not say itself that it does not come to an end, and why."""
    said = said_plainly(plan)
    assert all(len(sentence.split()) > 4 for sentence in said)
    assert not said or plan.odds == 0, "no chance of a good part from a plan that cannot be carried out"
    return [] if said else list(replay(plan))


def test_there_are_twenty_written_parts():
    assert len(WRITTEN) == 20
    kinds = {s.kind for p in PARTS.values() for s in p.surfaces}
    assert kinds == set(part.KINDS), "every kind of surface stands in one of them"


@pytest.mark.parametrize("name", PARTS)
def test_nothing_is_found_on_the_virtual_lathe(made, name):
    assert found_and_not_said(made(name)) == []


@pytest.mark.parametrize("name", PARTS)
def test_the_written_parts_are_planned_to_the_end(made, name):
    plan = made(name)
    assert not plan.missing and not plan.cannot, said_plainly(plan)


@given(random_parts.parts())
@settings(max_examples=40)
def test_nothing_is_found_on_forty_random_parts(drawn):
    assert found_and_not_said(job.plan(drawn, EQUIPPED, count=64)) == []


@given(random_parts.parts())
@settings(max_examples=500)
def test_nothing_is_found_on_five_hundred_random_parts(drawn):
    assert found_and_not_said(job.plan(drawn, EQUIPPED, count=64)) == []


@pytest.mark.parametrize("name", PARTS)
def test_odds_agree_with_the_closed_form(made, name):
    """A sum of independent shares, each near normal, is normal: its odds by the error function."""
    plan = made(name)
    for b in plan.budgets:
        if not b.shares:
            continue
        x = (b.samples - b.samples.mean()) / b.samples.std()
        if abs(np.mean(x**3)) > 0.15 or abs(np.mean(x**4) - 3) > 0.3:
            continue                    # one flat or leaning share rules it: no normal sum
        middle = b.aim + sum(float(np.mean(share.samples)) for share in b.shares)
        spread = math.sqrt(sum(share.spread**2 for share in b.shares))
        closed = (math.erf((b.high - middle) / spread / math.sqrt(2))
            - math.erf((b.low - middle) / spread / math.sqrt(2))) / 2
        sampling = 3 * math.sqrt(max(closed * (1 - closed), 1e-4) / len(b.samples))
        assert b.odds == pytest.approx(closed, abs=sampling + 0.02), b.surface


@pytest.mark.parametrize("name", PARTS)
def test_no_bar_holds_that_the_bench_page_denies(made, name):
    plan = made(name)
    bars = {b.name: b for b in SHOP.bars}
    for o in plan.operations:
        if not isinstance(o.reason, BarGivesWay) or o.tool not in bars or not o.reason.verdict:
            continue
        s, bar = plan.part.surface(o.surface), bars[o.tool]
        tolerance = s.tolerance if o.finishes and s.toleranced else 0.04
        bench = boring_bar.check_stickout(o.tool_stickout, bar.diameter.value, o.after, tolerance,
            bar_material=bar.material, holder=SHOP.holder.name, infeed=max(o.depths), feed=o.feed,
            material=plan.part.material, nose_radius=bar.nose_radius.value, speed=o.speed)
        assert not (o.reason.verdict == HOLDS and bench.verdict == FAILS), f"{o.number} {o.kind} {o.surface}"
        assert o.reason.chance == pytest.approx(bench.chance, abs=0.05)
        assert not (plan.verdict == HOLDS and o.finishes and o.reason.verdict == FAILS), "no good part from a bad bore"


@pytest.mark.parametrize("name", PARTS)
def test_the_printed_target_lies_where_its_words_say(made, name):
    """On the sheet itself: the number to make lies between the two that are allowed, and is the one that is dialled."""
    for step in sheet.of_plan(made(name)).steps:
        if step.low or step.high:
            assert step.low - 1e-9 <= step.target <= step.high + 1e-9, step.what
            assert step.low - 1e-9 <= (step.expected or step.target) <= step.high + 1e-9, step.what


@pytest.mark.parametrize("name", PARTS)
def test_jaws_distort_only_what_is_thin_when_they_hold_it(made, name):
    """A solid stub, or a wall of more than 0.3 diameters, is no ring: the jaws leave no lobes on it worth a line."""
    plan = made(name)
    for b in plan.budgets:
        lobes = [share for share in b.shares if share.name is Cause.LOBES]
        if not lobes:
            continue
        o = plan.operation(b.operation)
        held = plan.holdings[o.holding - 1]
        rows = o.outline_before
        at = (rows[:, 0] >= held.grip[0] - 1e-6) & (rows[:, 0] <= held.grip[1] + 1e-6)
        if at.any() and (rows[at, 2] < 0.4 * rows[at, 1]).all():
            assert lobes[0].spread < 0.002, b.surface
