"""The plan's pages: a plan is worked out once and then walked through, and long work can be stopped."""

from __future__ import annotations

import pytest

from springpass import job
from springpass.core import files
from springpass.core.quantity import Refused, Say
from springpass.job import shop
from springpass.pages import plan, plan_steps
from springpass.screen.page import Live, Stopped


def test_a_part_that_nothing_holds_has_no_steps_and_says_why():
    text = """name = "disc"
material = "carbon steel C45 / 1045"
length = 30
blank = {diameter = 180, length = 34, condition = "steel, cold drawn"}
surface = [{name = "rim", kind = "outside", diameter = 175, from = 0, to = 30}]
"""
    with pytest.raises(Refused, match="No chuck of the shop holds"):
        plan_steps.compute(1, "drive sleeve", False, text.encode())


def test_walking_through_the_steps_plans_once(monkeypatch):
    plan_steps.STEPS.answer(step=1)
    monkeypatch.setattr(job, "plan", lambda *_, **__: pytest.fail("planned again"))
    count = len(plan_steps.STEPS.answer(step=1).result.made.operations)
    seen = {plan_steps.STEPS.answer(step=step).svg for step in range(1, count + 1)}
    assert len(seen) == count, "each step has a picture of its own"


def test_the_slider_ends_with_the_plan():
    live = Live(plan_steps.STEPS)
    live.set("step", 200)
    last = len(live._result.made.operations)
    assert live.values["step"] == last and live.answer["at"]["step"]["high"] == last
    assert f"Step {last} of {last}:" in live.answer["words"]
    live.set("name", "bush")
    fewer = len(live._result.made.operations)
    assert fewer < last and live.values["step"] == fewer and live.answer["at"]["step"]["high"] == fewer


def test_a_new_measurement_in_the_own_shop_is_planned_with(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path))
    before = files.stamp()
    old = plan.planned("drive sleeve", True)
    assert plan.planned("drive sleeve", True) is old
    shop.add("holder", stiffness=5e4, stiffness_error=1e3, rotation=2e6, rotation_error=5e4)
    assert files.stamp() != before
    assert plan.planned("drive sleeve", True) is not old


def test_virtual_parts_agree_with_the_page_and_can_be_stopped():
    values = plan.PAGE.usual() | {"name": "bush"}
    heard: list[tuple[int, int]] = []
    said = plan.try_many(heard=lambda done, full: heard.append((done, full)), **values)
    assert heard[-1] == (plan.MADE[-1], plan.MADE[-1]) and [done for done, _ in heard] == sorted(d for d, _ in heard)
    share = float(said.rsplit(": ", 1)[1].removesuffix(" %."))
    assert share == pytest.approx(100 * plan.PAGE.answer(name="bush").result.odds, abs=1.5)

    def stop(done: int, full: int) -> None:
        raise Stopped

    with pytest.raises(Stopped):
        plan.try_many(heard=stop, **values)


def test_another_metals_state_is_refused_in_a_sentence():
    with pytest.raises(Refused, match="another metal's"):
        plan.PAGE.answer(name="bush", condition="steel, stress-relieved")


@pytest.mark.parametrize("inch", [False, True])
def test_the_words_answer_the_titles_question(inch):
    for name in plan.PARTS:
        words = plan.PAGE.answer(Say(inch), name=name).words
        assert words.startswith(f"The chance of a good {name} is ")
        assert not any(old in words for old in ("odds", "likely", "zero", "turns a minute", "wanders"))
