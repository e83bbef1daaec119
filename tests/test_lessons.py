"""Lesson plans: minutes that add up, pages that say what the plan says they say, cautions at every demonstration."""

import json
import math
import re
import tomllib
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import pytest

from springpass.core import tables
from springpass.core.quantity import Refused, Say
from springpass.pages import lesson_plans
from springpass.pages.lesson_plans import COURSE, PAGE, Shown, inner, page_of, printable, said, values_of
from springpass.printing import pages_to_print
from springpass.screen.page import Choose, Slide, head
from springpass.teaching import exercises, lessons
from springpass.teaching.lessons import FIRST, KINDS, Look

ROOT = Path(__file__).resolve().parents[1]
NAMES = lessons.names()
PLANS = [(lessons.lesson(name), plan) for name in NAMES for plan in lessons.lesson(name).plans]
LOOKS = [(one.name, look) for one, plan in PLANS for looks in plan.looks for look in looks]
RAW = {name: tomllib.loads((ROOT / "data" / "lessons" / f"{name}.toml").read_text(encoding="utf-8")) for name in NAMES}
each_plan = pytest.mark.parametrize(("one", "plan"), PLANS, ids=lambda x: getattr(x, "name", getattr(x, "minutes", "")))


def notebook(name: str) -> str:
    path = ROOT / "workbook" / f"{name}.ipynb"
    assert path.exists(), f"there is no notebook {name}"
    return "\n".join("".join(cell["source"]) for cell in json.loads(path.read_text(encoding="utf-8"))["cells"])


def shown_in(name: str) -> set[str]:
    """Pages a notebook shows, as lessons name them."""
    text, called = notebook(name), {}
    for names in re.findall(r"from springpass\.pages import (.*)", text):
        for part in names.split(","):
            module, _, alias = part.strip().partition(" as ")
            called[alias.strip() or module] = module
    return {f"{called[alias]}.{what}" for alias, what in re.findall(r"show\((\w+)\.(\w+)\)", text) if alias in called}


def test_there_is_a_plan_for_every_chapter_and_four_evenings():
    for chapter in exercises.chapters():
        assert sorted(plan.minutes for plan in lessons.lesson(chapter).plans) == [45, 90]
        assert lessons.lesson(chapter).chapter == chapter
    assert [plan.minutes for plan in lessons.lesson("check_stickout").plans] == [15]
    assert [name for name in NAMES if name.startswith("club")] == ["club_1", "club_2", "club_3", "club_4"]
    assert NAMES[0] == "check_stickout" and NAMES[1:1 + len(exercises.chapters())] == tuple(exercises.chapters())


@each_plan
def test_the_minutes_add_up(one, plan):
    assert sum(step.minutes for step in plan.steps) == plan.minutes
    assert all(isinstance(step.minutes, int) and step.minutes >= 2 for step in plan.steps)
    assert plan.starts[0] == 0 and plan.starts[-1] + plan.steps[-1].minutes == plan.minutes
    assert max(step.minutes for step in plan.steps) <= 26, "nobody listens for half an hour"
    if plan.minutes > 90:
        assert any(step.kind == "pause" for step in plan.steps)


@each_plan
def test_twelve_people_and_one_screen_can_keep_the_minutes(one, plan):
    """Each step has the minutes that the rules of data/lesson_times.csv ask of it."""
    short = [f"{step.title}: {lessons.least(step):.1f} of {step.minutes}" for step in plan.steps
        if lessons.least(step) > step.minutes]
    assert not short, short
    assert sum(map(lessons.least, plan.steps)) <= plan.minutes


def test_the_rules_of_time_notice():
    """More people at the lathe, one more exercise, one more page: the minutes no longer suffice."""
    step = next(step for step in lessons.lesson("07_stops_and_measuring").plan(90).steps if step.kind == "lathe"
        and step.demonstrations[0].name == "two_gauges")
    busy = replace(step, demonstrations=(replace(step.demonstrations[0], turns=60),))
    assert lessons.least(busy) > step.minutes >= lessons.least(step)
    shows = lessons.lesson("01_heat").plan(45).steps[4]
    assert lessons.least(replace(shows, looks=shows.looks * 4)) > shows.minutes
    people = tables.row("lesson_times", what="people")["value"]
    assert {demo.turns for _, plan in PLANS for demo in plan.demonstrations} >= {people, 2 * people}


@each_plan
def test_a_plan_carried_out_in_order_by_what_it_states_shows_what_it_says(one, plan):
    """One live page of each kind, as it opens; only what the plan states is set, in the plan's order."""
    stand = {}
    for number, looks in enumerate(plan.looks):
        for look, told in zip(looks, lesson_plans.stated(plan)[number], strict=True):
            page = page_of(look.page)
            stand[look.page] = {**stand.get(look.page, page.usual()), **told}
            assert look.shows in head(page.answer(**stand[look.page])), (plan.steps[number].title, look)


@each_plan
def test_a_plan_is_a_lesson(one, plan):
    kinds = [step.kind for step in plan.steps]
    assert kinds[0] == "story" and kinds[-1] == "close" and "show" in kinds
    assert {"lathe", "make"} & set(kinds) and plan.demonstrations
    if plan.minutes > 15:
        assert {"predict", "exercise"} <= set(kinds)
        assert kinds.index("predict") < kinds.index("show") or one.name.startswith("club"), (
            "a guess comes before the page"
        )
        assert len(plan.questions) >= 3
    for step in plan.steps:
        assert len(step.title) <= 34 and step.title[-1] not in ".:;", (
            f"{step.title}: 34 letters at most, and no full stop"
        )
        assert step.says[-1] in ".?!”" and len(step.says) < 420, (
            f"{step.title}: says ends in a full stop and has less than 420 letters"
        )
        assert bool(step.looks) or step.kind != "show", f"{step.title}: a step that shows needs look"
        assert bool(step.exercises) or step.kind != "exercise", f"{step.title}: which exercises?"
        assert bool(step.demonstrations) or KINDS[step.kind] != "lathe", step.title
    assert len(one.aims) == 3 and len(one.bring) >= 2
    assert all(text[-1] not in ".;" for text in (*one.aims, *one.bring))


@each_plan
def test_every_demonstration_has_its_cautions(one, plan):
    for demo in plan.demonstrations:
        assert len(demo.cautions) >= 3 and len(demo.do) >= 3 and demo.without and demo.expect
        care = " ".join(demo.cautions)
        assert re.search(r"[Ss]pindle|switched off|isolated|chuck", care), demo.title
        assert re.search(r"[Ee]ye protection|[Kk]ey|feet|edges|knife", care), demo.title
        assert demo.basis in tables.BASES and (demo.source or demo.basis == "common practice")
    html = inner(Shown(one, plan, Say(), "A4"))
    assert html.count(FIRST.replace("'", "&#x27;")) == len(plan.demonstrations), (
        "each defers to manual, rules and instruction"
    )
    for demo in plan.demonstrations:   # the cautions stand before the steps
        place = html.index(f"At the lathe: {demo.title}")
        assert html.index('class="warn"', place) < html.index("<ol>", place)


@pytest.mark.parametrize("name", NAMES)
def test_questions_have_answers_and_usual_wrong_ones(name):
    for q in RAW[name].get("question", []):
        assert q["asks"].endswith("?") and q["answer"][-1] in ".!" and q["wrong"], q["name"]
        assert all(len(pair) == 2 and all(pair) for pair in q["wrong"])
        assert q["basis"] in tables.BASES and (q.get("source") or q["basis"] in ("common practice", "computed"))
        assert q["answer"] not in [wrong for wrong, _ in q["wrong"]]


def test_nothing_written_is_left_out():
    """Every question and demonstration is used by some plan."""
    used = {
        (kind, wanted if "/" in wanted else f"{name}/{wanted}")
        for name, raw in RAW.items()
        for plan in raw["plan"]
        for step in plan["step"]
        for kind, key in (("question", "ask"), ("demonstration", "demonstrate"))
        for wanted in step.get(key, [])
    }
    there = {
        (kind, f"{name}/{entry['name']}")
        for name, raw in RAW.items()
        for kind in ("question", "demonstration")
        for entry in raw.get(kind, [])
    }
    assert used == there


# ---- what the plan refers to ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "look"), LOOKS, ids=[f"{name}-{look.page}-{i}" for i, (name, look) in enumerate(LOOKS)]
)
def test_a_page_says_what_the_plan_says_it_says(name, look):
    assert look.page in shown_in(look.notebook), (
        f"{look.notebook} does not show {look.page}: add a cell show(…) and rebuild it, or name the notebook in look"
    )
    page = page_of(look.page)
    for given, value in values_of(look).items():   # raises Refused for an input or a value that is not there
        what = next(w for w in page.inputs if w.name == given)
        if isinstance(what, Slide):
            assert what.quantity.low <= value <= what.quantity.high
        elif isinstance(what, Choose):
            assert value in what.options
    assert look.shows in said(look), said(look)
    assert len(said(look, True)) > 20


CHECKS = [
    (name, entry)
    for name, raw in RAW.items()
    for entry in raw.get("question", [])
    if "check" in entry
]


@pytest.mark.parametrize(("name", "entry"), CHECKS, ids=[f"{name}-{entry['name']}" for name, entry in CHECKS])
def test_figures_in_questions_are_the_pages_own(name, entry):
    check = entry["check"]
    assert check["shows"] in said(Look(check["page"], "", tuple(check["set"].items()), check["shows"]))


@pytest.mark.parametrize("holder", ["split sleeve in a solid block", "two screws in a block", "light tool post"])
@pytest.mark.parametrize(("bar", "out"), [(10, 80), (8, 60), (12, 80)])
def test_the_holder_weighed_as_the_plan_says_is_found_again(holder, bar, out):
    """The plan carried out with honest readings: a bar and a holder of known stiffness, an indicator read to 1 µm."""
    from springpass.boring_bar.holder import holder_springs
    from springpass.pages import own_bar

    springs = holder_springs(holder, bar)
    give = 1 / springs["stiffness"].value + out**2 / springs["rotation"].value
    second_moment = math.pi * bar**4 / 64
    own = out**3 / (3 * 205e3 * second_moment)   # bending alone; its shear is a hundredth of it
    lines = "\n".join(f"{kg} {9.80665 * kg * (own + give) * 1e3:.0f}" for kg in range(5))
    found = own_bar.weigh(lines, "steel", bar, out).fit
    words = own_bar.WEIGH.answer(weights=lines, bar_diameter=bar, stickout=out).words
    assert found.believable and "No lathe" not in words
    assert found.compliance == pytest.approx(give, abs=2.5 * found.compliance_error + 0.015 * own)
    assert found.compliance_error > 0, "whole micrometres are never certain"


def test_a_plan_states_every_setting_its_demonstration_needs():
    """Left at the page's usual bar, the plan's readings lead to a holder that no lathe has; the page says so."""
    looks = [look for _, look in LOOKS if look.page == "own_bar.WEIGH"]
    assert looks
    for look in looks:
        assert {"bar_diameter", "stickout", "weights"} <= set(values_of(look))
        assert "No lathe" not in said(look)
    honest = values_of(look)
    left = page_of("own_bar.WEIGH").answer(weights=honest["weights"]).words
    assert "No lathe we know is so soft" in left


def test_figures_that_no_page_shows():
    """Worked by the labelled formulas, as the source beside each says."""
    from springpass import boring_bar, drilling, stops
    from springpass import workholding as wh
    from springpass.cutting import chips

    def bend(force, out, bar):
        return boring_bar.tip_deflection(force=force, stickout=out, bar=bar, modulus=205e3) * 1e3

    assert bend(19.6, 40, 8) == pytest.approx(10, abs=0.5) and bend(19.6, 60, 8) == pytest.approx(34, abs=0.5)
    assert bend(34.3, 80, 10) == pytest.approx(58, abs=0.5)
    assert drilling.point_height(8, 118) == pytest.approx(2.4, abs=0.02)
    assert drilling.point_height(9.2, 118) == pytest.approx(32 - 29.2, abs=0.05)
    assert chips.string_length(diameter=10, length=32, feed=0.05, ratio=0.4) == pytest.approx(8040, abs=10)
    assert stops.from_each_other(zero=0.01, stop=0.008, count=4) / stops.from_each_other(
        zero=0.01, stop=0.008, count=1
    ) == pytest.approx(2)
    thin = dict(load=1000, radius=19, jaws=3, width=20, modulus=205e3)
    assert wh.thin_ring_at_jaw(wall=1, **thin) / wh.thin_ring_at_jaw(wall=2, **thin) == pytest.approx(8)
    assert f"{100 * 0.95**5:.0f}" == "77" and f"{5 * 5**0.5:.0f}" == "11"


def test_exercises_and_notebooks_exist():
    known = {one.name for chapter in exercises.chapters().values() for one in chapter.exercises}
    for one, plan in PLANS:
        for step in plan.steps:
            assert {*step.exercises, *step.spare} <= known, (one.name, step.title)
        for mention in re.findall(r"\b(\d\d_[a-z_]+|check_stickout)\b", " ".join(one.bring)):
            assert (ROOT / "workbook" / f"{mention}.ipynb").exists()


def test_the_course_builds_the_clubs_drive():
    text = " ".join(json.dumps(RAW[name], ensure_ascii=False) for name in NAMES if name.startswith("club"))
    for word in ("sleeve", "housing", "bush", "20 h6", "15 j6", "42 H7", "12 H7", "telescope"):
        assert word in text
    drawn = {name: tables.toml(f"parts/{name}") for name in ("drive_sleeve", "bearing_housing", "bush")}
    assert drawn, "the parts the course names are in data/parts"


# ---- on the page and on paper -----------------------------------------------------------------------


@each_plan
def test_a_plan_in_html_is_whole(one, plan):
    for say in (Say(), Say(True)):
        html = inner(Shown(one, plan, say, "A4"))
        ET.fromstring(f"<x>{html}</x>")
        text = re.sub(r"<[^>]+>", " ", html)
        assert not re.search(r"\bNone\b|\bnan\b|Question\(|Look\(|\{|\}", text)
        whole = " ".join(ET.fromstring(f"<x>{html}</x>").itertext())
        assert all(why in whole and what in whole for question in plan.questions for what, why in question.wrong)
        assert f"{plan.starts[-1]}–{plan.minutes}" in text
    assert "inch" in inner(Shown(one, plan, Say(True), "A4")) or not any(step.looks for step in plan.steps)


def test_settings_are_written_as_the_page_shows_them():
    html = inner(Shown(lessons.lesson("01_heat"), lessons.lesson("01_heat").plan(45), Say(), "A4"))
    assert "size wanted at 20 °C 62 mm" in html and "tolerance 25 µm" in html and "material “aluminium 6082”" in html
    inch = inner(Shown(lessons.lesson("01_heat"), lessons.lesson("01_heat").plan(45), Say(True), "A4"))
    assert "2.441 inch" in inch


def test_a_plan_that_does_not_hold_together_is_refused():
    def plan(change):
        raw = tomllib.loads((ROOT / "data" / "lessons" / "01_heat.toml").read_text(encoding="utf-8"))
        change(raw["plan"][0]["step"])
        return lessons._plan("01_heat", raw, raw["plan"][0])

    assert plan(lambda steps: None).minutes == 45
    for change, sentence in (
        (lambda steps: steps[0].update(minutes=5), "adds up to 46"),
        (lambda steps: steps[0].update(kind="song"), "no kind of step"),
        (lambda steps: steps[2].update(demonstrate=["nope"]), "no demonstration of this lesson"),
        (lambda steps: steps[2].update(ask=["03_boring_bar/nope"]), "no question of this lesson"),
    ):
        with pytest.raises(Refused, match=sentence):
            plan(change)


def test_what_is_not_there_is_refused():
    with pytest.raises(Refused, match="There is no lesson"):
        lessons.lesson("11_more")
    for name in ("boring_bar.NOPE", "nope.PAGE", "page", "", "boring_bar.compute"):
        with pytest.raises(Refused, match="There is no page"):
            page_of(name)
    for settings in ((("stickout", 9999),), (("nope", 1),), (("holder", "none"),)):
        with pytest.raises(Refused):
            values_of(Look("boring_bar.BEND", "03_boring_bar", settings, ""))
    with pytest.raises(Refused):
        PAGE.answer(lesson="11 More")


def test_printed_plans_have_numbers_contents_and_no_code_names():
    shown = tuple(Shown(one, plan, Say(), "A4") for one, plan in PLANS)
    html = printable(shown)
    assert [int(n) for n in re.findall(r'<article style="page:plan(\d+)"', html)] == list(range(1, len(shown) + 1))
    assert len(re.findall(r'<li><a href="#plan\d+">', html)) == len(shown) and "counter(pages)" in html
    text = re.sub(r"<[^>]+>", " ", html.split("</style>")[1]).replace("the notebook check stickout", "")
    assert not re.findall(r"\b[a-z]+_[a-z_]+(?:\.[A-Za-z_]+)?\b|\d\d_[a-z_]+", text), "a reader sees names, not code"
    assert "Contents" not in printable(shown[:1]) and "Plan 1" not in printable(shown[:1]).split("</style>")[1]


def test_every_plan_opens_on_its_page():
    for title in lesson_plans.TITLES:
        for minutes in lesson_plans.LONG:
            answer = PAGE.answer(lesson=title, minutes=minutes)
            assert answer.words.startswith(title) and "Minute by minute" in answer.more
    for title in lesson_plans.EVENINGS:
        assert COURSE.answer(evening=title).words.startswith(title)
    assert "15 minutes" in PAGE.answer(lesson="Opener: may this bar stick out this far?", minutes="90 minutes").words


def test_plans_are_written_to_print(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path / "shop"))
    monkeypatch.setattr(pages_to_print, "chromium", lambda: None)
    said_by = [press.does(**page.values()) for page in (PAGE, COURSE) for press in page.presses]
    assert all("no Chromium" in text and text.endswith(".") for text in said_by)
    made = sorted(path.name for path in (tmp_path / "shop").iterdir())
    assert made == [
        "lesson_03_boring_bar_45.html",
        "lesson_club_1.html",
        "lesson_club_course.html",
        "lesson_plans.html",
    ]
    every = (tmp_path / "shop" / "lesson_plans.html").read_text(encoding="utf-8")
    assert every.count("<article ") == len(PLANS) and not re.search(r"https?://|<script|<img|url\(", every)
    for one in (COURSE.values(paper="Letter"),):
        COURSE.presses[0].does(**one)
    assert "size:letter" in (tmp_path / "shop" / "lesson_club_1.html").read_text(encoding="utf-8")
    assert (
        printable((Shown(lessons.lesson("01_heat"), lessons.lesson("01_heat").plan(45), Say(), "A4"),)).count(
            "<article "
        )
        == 1
    )
