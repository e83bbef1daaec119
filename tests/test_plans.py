"""Plans a master would sign: the demo parts, twenty written ones and five hundred at random through the virtual lathe.

Either the lathe finds nothing, or the plan says plainly what it cannot do. Beside it: the odds against the closed form,
and the boring bars against the page that judges them.
"""

import copy
import math
import re
import tomllib
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
from springpass.job.bar_stock import bar_stock
from springpass.job.results import BarGivesWay, Cause
from springpass.printing import operation_words, plan_words, sheet

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


# ---- what a sceptical master would strike out, over all parts --------------------------------------------------


@pytest.mark.parametrize("name", PARTS)
def test_roughing_leaves_the_shoulder_to_the_finishing_cut(made, name):
    """What roughing leaves on a shoulder is faced by a later cut of the same surface, and it says so."""
    plan = made(name)
    for o in plan.operations:
        if o.kind in ("rough turn", "rough bore") and o.faces:
            assert any(x.number > o.number and x.surface == o.surface and x.kind not in ("rough turn", "rough bore")
                and x.faces == pytest.approx(o.faces) for x in plan.operations), o.number
        if o.faces:
            assert "shoulder" in operation_words.setting(plan, o, Say())


@pytest.mark.parametrize("name", PARTS)
def test_blocks_are_for_lengths_with_limits_alone(made, name):
    plan = made(name)
    for o in plan.operations:
        assert not o.blocks or plan.part.surface(o.surface).depth, f"{o.number}: nobody wrings blocks for ±0.1"
        if o.blocks and o.finishes:
            s = plan.part.surface(o.surface)
            assert s.length + s.depth[0] <= o.stop <= s.length + s.depth[1]


@pytest.mark.parametrize("name", PARTS)
def test_fine_cuts_are_for_what_is_held(made, name):
    """No spring pass for a size without limits; two like cuts for one with them."""
    plan = made(name)
    for o in plan.operations:
        if o.kind == "bore" and o.finishes and not plan.part.surface(o.surface).toleranced:
            assert 0.0 not in o.depths and len(o.depths) == 1, o.number
        if o.kind in ("bore", "finish turn") and o.finishes and plan.part.surface(o.surface).toleranced:
            cuts = [d for d in o.depths if d]
            assert len(cuts) >= 2 and max(cuts) - min(cuts) < 1e-6, o.number


@pytest.mark.parametrize("name", PARTS)
def test_a_chamfer_is_cut_as_wide_as_it_stays(made, name):
    """The carriage is fed by the chamfer and by what the last cut takes off again."""
    plan = made(name)
    for o in plan.operations:
        if o.kind != "chamfer" or o.side == "inside":
            continue
        s = plan.part.surface(o.surface)
        later = [x for x in plan.operations if x.number > o.number and x.kind in ("finish turn", "taper")
            and x.surface == s.name and x.start < o.end and x.end > o.start]
        still = (later[0].before - later[0].after) / 2 if later else 0.0
        assert o.end - o.start == pytest.approx(s.chamfer + still), o.number


@pytest.mark.parametrize("name", PARTS)
def test_a_dog_turns_no_faster_than_it_may(made, name):
    plan = made(name)
    for o in plan.operations:
        if plan.holdings[o.holding - 1].kind == "between centres" and o.spindle:
            assert o.spindle <= 1000, f"{o.number}: a driving dog is out of balance"


@pytest.mark.parametrize("name", PARTS)
def test_no_number_on_the_sheet_is_nothing(made, name):
    """No line leaves 0.00 mm, waits 0 s or takes a pass of 0 mm."""
    page = sheet.of_plan(made(name))
    for step in page.steps:
        for text in (step.reason, step.setting, step.how, step.measure, step.holding):
            assert not re.search(r"(?<![\d.])0(\.0+)? (mm|s|µm|rpm|minutes)\b", text), f"{step.what}: {text}"


@pytest.mark.parametrize("name", PARTS)
def test_each_piece_of_a_surface_has_the_same_limits(made, name):
    """A seat that is turned from both ends has its limits in both lines."""
    plan = made(name)
    for s in plan.part.surfaces:
        halves = [o for o in plan.operations if o.kind == "finish turn" and o.surface == s.name]
        assert len({(o.low, o.high) for o in halves}) <= 1, s.name


@pytest.mark.parametrize("name", PARTS)
def test_no_centre_hole_is_drilled_that_nothing_uses(made, name):
    plan = made(name)
    for o in plan.operations:
        if o.kind == "centre drill":
            end = plan.holdings[o.holding - 1].end
            bears = [h.number for h in plan.holdings if h.end == end or h.kind == "between centres"]
            assert any(x.number > o.number and (x.kind == "drill" or (x.centre and x.holding in bears))
                for x in plan.operations), o.number


def test_a_plain_shaft_is_turned_in_one_piece(made):
    """No step in the middle of a guide: between centres, the dog on a stub that is cut off last."""
    plan = made("guide_shaft")
    cuts = [o for o in plan.operations if o.kind == "finish turn"]
    assert len(cuts) == 1 and cuts[0].start <= 0 and cuts[0].end >= plan.part.length
    assert plan.holdings[cuts[0].holding - 1].kind == "between centres"
    stub = cuts[0].outline_before[-1, 0] - cuts[0].end
    assert stub >= 6 and plan.operations[-1].outline_after[-1, 0] == pytest.approx(plan.part.length)


# ---- several from one bar -----------------------------------------------------------------------------------


def test_a_bar_is_used_up_part_by_part(made):
    """Ten bushes by hand: each takes 18 mm, 0.5 mm of the face, 0.5 mm to face on the other end and 2.5 mm of blade."""
    plan = made("batch_of_bushes")
    bar = bar_stock(plan)
    assert (bar.bars, bar.each) == (1, 10)
    assert bar.draw == pytest.approx(18 + 0.5 + 0.5 + 2.5)
    assert bar.length == pytest.approx(10 * bar.draw + bar.remnant) and bar.remnant == pytest.approx(16.5)
    first = plan.holdings[0]
    assert bar.remnant >= first.length, "what is left still fills the jaws as it did for the first"
    assert sheet.html(sheet.of_plan(plan)).count("draw it out by") == 1, "said once a bar"


def test_a_long_batch_takes_several_bars_and_a_thick_one_is_sawn():
    written = Path(__file__).parent / "plan_parts" / "batch_of_bushes.toml"
    described = tomllib.loads(written.read_text(encoding="utf-8"))
    many = bar_stock(job.plan(part.read({**described, "count": 40}), SHOP))
    assert many.bars == math.ceil(40 / many.each) and many.length <= 400 < many.length + many.draw
    assert many.last == pytest.approx((40 - 2 * many.each) * many.draw + many.remnant)
    assert bar_stock(job.plan(part.read({**described, "count": 1}), SHOP)) is None
    thick = copy.deepcopy(described)
    thick["blank"]["diameter"] = 30
    thick["surface"][0]["diameter"] = 27
    assert bar_stock(job.plan(part.read(thick), SHOP)) is None, "the spindle's bore is 26 mm"
