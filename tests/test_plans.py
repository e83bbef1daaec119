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
    """What the virtual lathe finds in a plan: nothing, also where the plan says that it does not come to an end."""
    said = said_plainly(plan)
    assert all(len(sentence.split()) > 4 for sentence in said)
    assert not said or plan.odds == 0, "no chance of a good part from a plan that cannot be carried out"
    return list(replay(plan))        # of a plan that ends early: in the lines that it has


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


def bought(described, shop, plan):
    """The shop and the part's description with what the plan says is missing: a bar or reamer, a drill, a longer blank.
    """
    more = copy.deepcopy(shop)
    for i, m in enumerate(plan.missing):
        new = {"name": f"bought {len(more['reamers'])}-{i}", "known": "assumed"}
        if m.kind == "grip":
            described["blank"]["length"] += m.length
        elif m.kind == "bar or reamer":
            s = plan.part.surface(m.surface)
            if s.code:
                more["reamers"].append({**more["reamers"][0], **new, "size": m.size, "class": s.code,
                    "bottoming": True})
            else:
                more["bars"].append({**more["bars"][0], **new, "diameter": round(0.6 * m.size, 2),
                    "longest": min(m.length + 4, 400), "smallest_bore": max(round(0.8 * m.size, 2), 2)})
        elif m.kind in ("drill", "flat bottom"):
            more["drills"].append({**more["drills"][0], **new, "sizes": [m.size],
                "point_angle": 180 if m.kind == "flat bottom" else 118})
        else:
            return None
    return more


@pytest.mark.parametrize("seed", [5, 12, 42, 57, 62, 97, 136, 185])
def test_what_is_missing_is_what_to_buy(seed):
    """With what the plan asks for, it no longer asks for it."""
    described, shop = random_parts.described(seed), EQUIPPED.description
    first = job.plan(part.read(described), EQUIPPED, count=64)
    assert first.missing
    made = first
    for _ in range(3):
        if not made.missing or (more := bought(described, shop, made)) is None:
            break
        shop = more
        before, made = made, job.plan(part.read(described), tools.read(shop), count=64)
        kept = {(m.kind, m.surface) for m in made.missing} & {(m.kind, m.surface) for m in before.missing}
        assert not kept, f"{kept} is asked for again"


@pytest.mark.parametrize("name", PARTS)
def test_the_lathe_and_the_tool_are_lines_of_every_turned_size(made, name):
    """Taper, drift, error motion of the spindle and wear: wide until measured, and there."""
    for b in made(name).budgets:
        causes = {share.name for share in b.shares}
        if causes & {Cause.WORK_BENDS, Cause.BAR_BENDS}:
            assert {Cause.LATHE_TAPER, Cause.DRIFT, Cause.SPINDLE, Cause.WEAR} <= causes, b.surface


def test_a_length_with_limits_is_aimed_at_in_its_middle_and_budgeted():
    described = {"name": "spacer", "material": "carbon steel C45 / 1045", "length": 30, "blank": {"diameter": 26,
        "length": 60, "condition": "steel, cold drawn"}, "surface": [
        {"name": "seat", "kind": "outside", "diameter": 18, "from": 0, "to": 12, "depth": [0.02, 0.08]},
        {"name": "collar", "kind": "outside", "diameter": 24, "from": 12, "to": 30}]}
    plan = job.plan(part.read(described), SHOP)
    o = next(o for o in plan.operations if o.kind == "finish turn" and o.surface == "seat")
    assert o.stop == pytest.approx(12.05)
    assert plan.budget("seat depth").low == pytest.approx(12.02) and plan.budget("seat depth").odds > 0.8
    described["surface"] = [{"name": "body", "kind": "outside", "diameter": 24, "from": 0, "to": 30,
        "depth": [-0.05, 0]}]
    plan = job.plan(part.read(described), SHOP)
    o = [o for o in plan.operations if o.kind == "face"][-1]
    assert (o.low, o.target, o.high) == pytest.approx((29.95, 29.975, 30.0))
    assert {share.name for share in plan.budget("body depth").shares} == {Cause.READING, Cause.DIAL}


def test_a_thread_beside_a_seat_of_the_other_side_is_planned():
    described = {"name": "spindle nose", "material": "carbon steel C45 / 1045", "length": 60, "blank": {"diameter": 26,
        "length": 66, "condition": "steel, stress-relieved"}, "surface": [
        {"name": "thread", "kind": "thread", "thread": "M24x1.5", "from": 0, "to": 25},
        {"name": "seat", "kind": "outside", "diameter": 20, "class": "h6", "from": 25, "to": 45},
        {"name": "end", "kind": "outside", "diameter": 15, "class": "h6", "from": 45, "to": 60}]}
    plan = job.plan(part.read(described), SHOP)
    assert found_and_not_said(plan) == [] and not plan.missing and not plan.cannot
    assert plan.before("thread", "seat")


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
