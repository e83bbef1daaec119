"""Every control of every page: both ends of each slider, each whole number, each option and tick is asked for an
answer; what cannot be typed, written or loaded is refused beside it, and the last good answer stays.
"""

import hostile
import numpy as np
import pytest
from test_pages import FOUND, PAGES, sound

from springpass.core.quantity import Refused, Say
from springpass.screen.page import Choose, Live, Load, Slide, Tick, Write

# An end that contradicts the other inputs where they usually stand, and the others with which it has its answer.
TOGETHER = {
    ("bore_stress_order", "bore", 50): {"outside": 60},
    ("bore_stress_bars", "bore", 50): {"outside": 60},
    ("bore_stress_left", "bore", 50): {"outside": 60},
    ("bore_stress_sachs", "outside", 10): {"readings": "2 1 1\n4 2 2\n6 3 3"},
    ("bore_stress_sachs", "first_bore", 50): {"outside": 100, "readings": "55 1 1\n60 2 2\n65 3 3"},
    **{(name, "nose_radius", 0.02): {"feed": 0.02}
       for name in ("bend", "spring_passes", "slenderness", "chatter", "turned_round", "check_stickout")},
    ("chatter", "bar_diameter", 40): {"bore": 60},
    ("chatter", "bore", 2): {"bar_diameter": 1.5},
    ("turned_round", "bore", 2): {"bar_diameter": 1.5, "infeed": 0.05},
    ("turned_round", "bar_diameter", 40): {"bore": 60},
    ("check_stickout", "bore", 2): {"bar_diameter": 1.5},
    ("check_stickout", "bar_diameter", 40): {"bore": 60},
    ("check_stickout", "neck_length", 60): {"stickout": 80},
    ("drilled_bottom", "bore", 3): {"drill": 2.5},
    ("drill_wander", "bore", 3): {"drill": 2.5},
    **{(name, "drill", 50): {"bore": 55} for name in ("drilled_bottom", "drill_wander", "blind_hole_road")},
    ("chips_in_blind_hole", "before", 3): {"bar": 2},
    ("chips_in_blind_hole", "before", 59): {"after": 60},
    ("chips_in_blind_hole", "after", 3.1): {"before": 3, "bar": 2},
    ("chips_in_blind_hole", "bar", 40): {"before": 50, "after": 51},
    ("plan_a_part", "condition", "aluminium, quenched"): {"name": "bearing housing"},
    ("plan_a_part", "condition", "aluminium, quenched and stretched"): {"name": "bearing housing"},
    ("plan_a_part", "condition", "bronze, cast"): {"name": "bush"},
    ("parting_blade", "bottom", 110): {"work": 120},
    ("inside_thread", "bar", 40): {"thread": "M64x6"},
    **{(name, "large", 2): {"small": 1} for name in ("taper_setting", "tailstock_over")},
    **{(name, "small", 119): {"large": 120} for name in ("taper_setting", "tailstock_over")},
    ("inside_thread", "gap", 5): {"bar": 6},
    **{("taper_setting", "standard", steep): {"length": 20} for steep in ("1:3", "7:24")},
    ("tailstock_over", "large", 120): {"small": 110},
    ("tailstock_over", "length", 300): {"between": 400},
    ("tailstock_over", "between", 20): {"length": 10, "small": 23},
    ("tailstock_over", "length", 5): {"small": 23},
    ("taper_blue", "length", 5): {"rubbed": 3},
    ("taper_blue", "rubbed", 250): {"length": 250},
    ("thin_nut", "outside", 3): {"thread": "M2"},
    ("thread_wires", "wire", 3.5): {"thread": "M64x6", "reading": 67},
    ("thread_wires", "reading", 2): {"thread": "M2", "wire": 0.23},
    ("thread_wires", "reading", 70): {"thread": "M64x6", "wire": 3.4},
    ("weigh_the_holder", "bar_diameter", 1.5): {"stickout": 10, "weights": "0.02 2\n0.05 5\n0.1 10"},
    ("weigh_the_holder", "stickout", 250): {"bar_diameter": 40},
}

_OWN = "no demo part is of this metal: it is for a part of one's own"
_KEPT = "no part has been kept in a new workbook"
# The only ends that are refused, and why.
REFUSED = {
    ("afterwards", "sheet", "the sheet remembered last"): "nothing has been remembered in a new workbook",
    ("check_stickout", "own_holder", True): "nothing has been measured in a new workbook",
    ("own_part", "begin", "the part I kept last"): _KEPT,
    ("plan_a_part", "name", "my own part"): _KEPT,
    ("plan_steps", "name", "my own part"): _KEPT,
    ("plan_a_part", "condition", "stainless steel, cold drawn"): _OWN,
    ("plan_a_part", "condition", "brass, cold drawn"): _OWN,
    ("plan_a_part", "condition", "brass, stress-relieved"): _OWN,
}


def ends(what):
    """Both ends of a slider and every whole number it may stand at; every option; ticked and not."""
    if isinstance(what, Slide):
        q = what.quantity
        return range(int(q.low), int(q.high) + 1) if q.whole else (q.low, q.high)
    return what.options if isinstance(what, Choose) else (True, False) if isinstance(what, Tick) else ()


ALL = {(page.name, what.name, end) for page in PAGES for what in page.inputs for end in ends(what)}
of_pages = pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)


@pytest.fixture(autouse=True)
def own_shop(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path))


def test_the_lists_name_ends_that_are_there():
    assert REFUSED.keys() | TOGETHER.keys() <= ALL and not REFUSED.keys() & TOGETHER.keys()
    assert len(REFUSED) <= 8, "mend the page rather than let the list grow"


@of_pages
def test_every_end_and_option_is_answered(page):
    for name, control, end in sorted((key for key in ALL if key[0] == page.name), key=str):
        if (name, control, end) in REFUSED:
            hostile.refused(lambda control=control, end=end: page.answer(**{control: end}))
        else:
            sound(page.answer(**{control: end}, **TOGETHER.get((name, control, end), {})))


@pytest.mark.slow
@of_pages
def test_every_end_and_option_is_answered_in_inch(page):
    for name, control, end in sorted((key for key in ALL.difference(REFUSED) if key[0] == page.name), key=str):
        sound(page.answer(Say(True), **{control: end}, **TOGETHER.get((name, control, end), {})))


@of_pages
def test_every_box_refuses_what_is_no_number(page):
    for what in page.inputs:
        if isinstance(what, Slide):
            q = what.quantity
            for inch in (False, True):
                low, high = q.to_shown(q.low, inch), q.to_shown(q.high, inch)
                beyond = [f"{high + 0.01 * abs(high) + 1:.4f}", f"{low - 0.01 * abs(low) - 1:.4f}"]
                for typed in [*hostile.NO_NUMBERS, *beyond, *(["2.5"] if q.whole else [])]:
                    hostile.refused(lambda what=what, typed=typed, inch=inch: what.check(typed, inch))
        if isinstance(what, Choose):
            hostile.refused(lambda what=what: what.check("no such thing"))
        if isinstance(what, Write):
            hostile.refused(lambda what=what: what.check("x" * (what.longest + 1)))


@of_pages
def test_what_is_refused_stands_beside_the_last_good_answer(page):
    live = Live(page)
    good = live.answer
    for what in [what for what in page.inputs if isinstance(what, Slide)][:2]:
        for typed in ("rubbish", "9" * 3000):
            live.typed(what.name, typed)
            assert live.answer["state"] == "refused" and live.answer["at"][what.name]["note"]
            assert live.answer["at"][what.name]["text"] == typed, "what was typed stands"
            assert live.answer["picture"] == good["picture"] and live.answer["words"] == good["words"]
        live.set(what.name, what.usual)
        assert live.answer["state"] == "good" and live.answer["words"] == good["words"]


@of_pages
def test_what_is_written_or_loaded_is_understood_or_refused(page):
    for what in page.inputs:
        for given in hostile.WRITTEN if isinstance(what, Write) else hostile.FILES if isinstance(what, Load) else ():
            hostile.answered(lambda what=what, given=given: page.answer(**{what.name: given}))


@pytest.mark.parametrize("page, box, text", [
    (FOUND[page], box, text) for page, box, texts in (
        ("thread_sizes", "thread", ["", "M", "M18x", "M1e9", "Mx1", "🙂", "x" * 15000]),
        ("right_reamer", "code", ["", "Q7", "H99", "seven"]),
        ("believe", "readings", ["", "x", "1 2 nan", "1e400 2"]),
        ("weigh_the_holder", "weights", ["", "1", "a b", "1 2 3 4", "nan nan\n1 2\n2 3"]),
        ("bore_stress_sachs", "readings", ["", "1 2", "a b c", "9 1 1\n4 1 1"]),
        ("bore_stress_order", "typed", ["face 5", "turn", "turn x"]),
        ("stack", "length", ["", "x", "-5", "1e400"]),
        ("shoulders", "positions", ["", "x", "30 12"]),
    ) for text in texts])
def test_what_a_box_cannot_read_is_refused(page, box, text):
    more = {"first": "the cuts typed below"} if box == "typed" else {}
    hostile.refused(lambda: page.answer(**{box: text}, **more))


# class_predictions and marking take any number of files and say what they found in them, so none there is no refusal
@pytest.mark.parametrize("page", [page for page in PAGES if any(isinstance(what, Load) for what in page.inputs)
                                  and page.name not in ("class_predictions", "marking")], ids=lambda page: page.name)
def test_a_file_that_is_none_is_refused(page):
    [load] = [what.name for what in page.inputs if isinstance(what, Load)]
    for content in (b"\x00\xff\xfe", b"\x89PNG\r\n", bytes(range(256)) * 40):
        hostile.refused(lambda content=content: page.answer(**{load: content}))


# their own tests press these
PRINTING = {"pocket_card", "handouts", "lesson_plans", "club_course", "class_sheets", "wall_cards"}


@pytest.mark.parametrize("page", [page for page in PAGES if page.presses and page.name not in PRINTING],
                         ids=lambda page: page.name)
def test_buttons_pressed_at_the_ends(page):
    live = Live(page)
    for place in (0, -1):
        for what in page.inputs:
            if ends(what):
                live.values[what.name] = ends(what)[place]
        for press in page.presses:
            if not press.long:
                said = hostile.answered(lambda press=press: press.does(**live.values))
                assert said is None or said.strip()


@pytest.mark.slow
@of_pages
def test_several_ends_together(page):
    """Extremes may contradict one another: an answer, or a refusal that was meant."""
    dice = np.random.default_rng(5)
    movable = [what for what in page.inputs if ends(what)]
    for _ in range(30 if movable else 0):
        chosen = dice.permutation(len(movable))[:dice.integers(1, 5)]
        changed = {movable[i].name: ends(movable[i])[dice.integers(len(ends(movable[i])))] for i in chosen}
        answer = hostile.answered(lambda changed=changed: page.answer(Say(bool(dice.integers(2))), **changed))
        if answer is not None:
            sound(answer)


def test_an_error_of_the_library_is_not_taken_for_a_refusal():
    """The net itself: a refusal made of another exception, or another exception, fails."""
    def covered():
        try:
            {}["x"]
        except KeyError as mishap:
            raise Refused("Something here was not quite as it should be.") from mishap

    with pytest.raises(AssertionError):
        hostile.answered(covered)
    with pytest.raises(KeyError):
        hostile.answered(lambda: {}["x"])
