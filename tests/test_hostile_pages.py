"""Hostile input on every page: every control with everything that is no sensible value, typed into the widgets too,
every button.

Whatever happens, the page says one sentence, keeps the last good answer beside it, and never shows a traceback.
"""

import os
import warnings

import hostile
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from springpass.core.quantity import Refused, Say
from springpass.screen import page as pg
from springpass.screen.page import Choose, Live, Load, Slide, Tick, Write

DEEP = os.environ.get("SPRINGPASS_HOSTILE") == "deep"
PAGES = hostile.pages()
FILES = [
    b"",
    b"\x00",
    b"\xff\xfe\x00",
    b"RIFF",
    b"{}",
    b"name = ",
    b"a,b\n1",
    b"\xef\xbb\xbfversion = 1",
    os.urandom(64) * 0 + b"\x89PNG\r\n",
    bytes(range(256)) * 40,
    b"[" * 5000,
    b"1;2;3\n" * 2000,
    "½ ٣ 12,5\n".encode(),
    b"nan nan\ninf -1\n",
]
WRITTEN = [
    "",
    " ",
    "nan",
    "inf -inf",
    "-5",
    "1e400",
    "12,5",
    "1.234,5",
    "٣ 𝟓 ½",
    "12\u2009500",
    "🙂",
    "x" * 15000,
    "1;2;3",
    "0 0\n0 0\n0 0",
    "<script>",
    "\x00",
    "1 2 3\n" * 800,
    "=1+1",
    "h6",
    "H7/h6",
    "M18x1",
    "None",
    "[]",
    "-1 2\n2 3",
    "20 20,001 19,999",
]


@pytest.fixture(autouse=True)
def own_shop(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path))


def tried(page, say=None, **changed) -> str:
    """"" if the page answers soundly or refuses with one sentence; otherwise what is wrong."""
    count = hostile.COUNTS[f"page {page.name}"]
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            answer = page.answer(say, **changed)
    except Refused as refusal:
        wrong = hostile.sentence(str(refusal))
        count.add(hostile.WRONG if wrong else hostile.REFUSED)
        return f"says “{str(refusal)[:160]}”: {wrong}" if wrong else ""
    except Exception as mishap:
        count.add(hostile.WRONG)
        return f"{type(mishap).__name__}: {str(mishap)[:160]}"
    own = " ".join(
        str(value) for value in changed.values() if isinstance(value, (str, bytes))
    )  # their own words come back
    wrong = hostile.unsound(pg.head(answer)) or hostile.unsound(answer.svg) or hostile.unsound(answer.more)
    wrong = "" if any(word in own for word in ("nan", "inf", "None")) else wrong
    count.add(hostile.WRONG if wrong else hostile.ANSWERED)
    return wrong


def rubbish_for(what):
    if isinstance(what, Write):
        return [*WRITTEN, *hostile.KINDS, *hostile.ARRAYS, *hostile.NUMBERS]
    if isinstance(what, Load):
        return [*FILES, *[value for value in hostile.RUBBISH if not isinstance(value, bytes)]]
    return hostile.RUBBISH


@pytest.mark.parametrize("name", PAGES)
def test_every_control_takes_rubbish(name):
    page, faults = PAGES[name], []
    for place, what in enumerate(page.inputs):
        pieces = rubbish_for(what)
        step = 1 if DEEP or isinstance(what, (Write, Load)) else 3
        for value in pieces[place % step::step]:
            if wrong := tried(page, **{what.name: hostile.fresh(value)}):
                faults.append(f"{what.name}={value!r:.40}: {wrong}")
    assert faults == [], f"{len(faults)} faults"


def ends(what):
    if isinstance(what, Slide):
        return [what.quantity.low, what.quantity.high]
    if isinstance(what, Choose):
        return [what.options[0], what.options[-1]]
    return [True, False] if isinstance(what, Tick) else []


@pytest.mark.parametrize("name", PAGES)
@settings(max_examples=200 if DEEP else 25)
@given(data=st.data())
def test_two_extreme_legal_values_together(name, data):
    page = PAGES[name]
    movable = [what for what in page.inputs if ends(what)]
    if not movable:
        return
    chosen = data.draw(st.lists(st.sampled_from(movable), min_size=1, max_size=4, unique_by=lambda what: what.name))
    changed = {what.name: data.draw(st.sampled_from(ends(what))) for what in chosen}
    assert tried(page, Say(data.draw(st.booleans())), **changed) == ""


@pytest.mark.parametrize("name", PAGES)
def test_rubbish_typed_into_a_box_is_answered_beside_it(name):
    live = Live(PAGES[name])
    good = live.answer["words"], live.answer["picture"]
    for what in PAGES[name].inputs:
        if not isinstance(what, Slide):
            continue
        for typed in ("rubbish", "", "nan", "1e400", "12 furlong", "1,234.5", "9" * 3000, "<b>x</b>", "\x00"):
            live.typed(what.name, typed)
            at = live.answer["at"][what.name]
            assert "Traceback" not in at["note"] and live.answer["state"] == "refused"
            assert at["note"] and at["text"] == typed, "what was typed stands, with a sentence"
            assert live.answer["picture"] == good[1], "the last good picture stays"
        live.set(what.name, what.usual)
    assert (live.answer["words"], live.answer["picture"]) == good


@pytest.mark.parametrize("name", [n for n, p in PAGES.items() if p.presses and n not in hostile.PRINTING])
def test_buttons_pressed_with_everything_wrong_say_a_sentence(name):
    page = PAGES[name]
    for place in range(4):
        values = {
            what.name: (ends(what) or [rubbish_for(what)[place]])[place % max(1, len(ends(what)))]
            for what in page.inputs
        }
        for press in page.presses:
            count = hostile.COUNTS[f"page {name}"]
            try:
                said = press.does(**values)
                assert said.strip(), press.label
                count.add(hostile.ANSWERED)
            except Refused as refusal:
                assert hostile.sentence(str(refusal)) == "", (press.label, str(refusal))
                count.add(hostile.REFUSED)


def test_counts_are_told(capsys):
    """For the report: how much was tried."""
    with capsys.disabled():
        total = sum(count.tried for count in hostile.COUNTS.values())
        print(f"\nhostile input so far: {total} calls tried")
    assert np.isfinite(total)
