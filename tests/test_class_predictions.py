"""A class's predictions: whatever a spreadsheet makes of the exported tables, nothing is lost, and the picture agrees
with the words.
"""

import re
import time
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from springpass.core.quantity import Refused, Say
from springpass.pages import class_predictions as pages
from springpass.pages.class_predictions import PAGE
from springpass.teaching import class_predictions as gathering
from springpass.teaching import exercises, progress
from springpass.teaching.class_predictions import gather
from springpass.teaching.practice import Draw, compare

HEAT, BAR = "01_heat", "03_boring_bar"
HEAD = "learner,class,kind,chapter,exercise,typed,value,unit,right,slip,tries,hints,solution,when"


def counts(found) -> dict[str, int]:
    return {group.name if group.kind == "slip" else group.kind: group.count for group in found.groups if group.count}


def exported(who: str, guesses: dict[str, str], inch: bool = False) -> str:
    """One learner's table as the workbook writes it."""
    for name, typed in guesses.items():
        task = exercises.chapter(name).prediction
        heard = compare(task, typed, Say(inch))
        progress.note(
            "predictions",
            name,
            who,
            "",
            typed=typed,
            value=heard.value,
            unit="" if task.options else task.unit,
            inch=inch,
            right=heard.right,
            slip=heard.slip,
        )
    progress.note("exercises", f"{BAR}/longer", who, "", typed="5 µm", value=0.005, unit="mm", right=False, tries=1)
    return progress.table(who)


def test_what_the_workbook_exports_comes_back_whole():
    """Three learners' files put together, headings and all; one worked in inch, one with a comma."""
    text = (
        exported("ash", {HEAT: "29 µm", BAR: "eight times"})
        + exported("elm", {HEAT: "14,5", BAR: "four times"})
        + exported("fir", {HEAT: "1.14"}, inch=True)
    )
    assert text.count("learner,class") == 3
    found = gather(text, HEAT)
    assert counts(found) == {"right": 2, "radius for diameter, or steel for aluminium": 1}
    assert found.elsewhere == ((BAR, 2),)
    assert found.notes == ("3 lines are answers to exercises, not predictions.",)
    assert {guess.learner: round(guess.value, 5) for guess in found.guesses} == {
        "ash": 0.029,
        "elm": 0.0145,
        "fir": 0.02896,
    }
    assert counts(gather(text, BAR)) == {"right": 1, "square for cubic": 1}


@pytest.mark.parametrize(
    ("mark", "decimal", "quote"),
    [(",", ".", ""), (";", ",", ""), (";", ".", ""), ("\t", ",", ""), (",", ",", '"'), (";", ",", '"')],
)
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_the_ways_a_spreadsheet_writes_a_table(mark, decimal, quote, end):
    def row(*cells: str) -> str:
        return mark.join(f"{quote}{cell}{quote}" for cell in cells)

    lines = [row(*HEAD.split(","))]
    for who, micrometres in (("ash", 29), ("elm", 14.5), ("oak", 0.4)):
        lines.append(
            row(
                who,
                "club",
                "prediction",
                HEAT,
                "",
                f"{micrometres} µm".replace(".", decimal),
                f"{micrometres / 1e3}".replace(".", decimal),
                "mm",
                "",
                "",
                "",
                "",
                "",
                "2026-01-01T10:00:00",
            )
        )
    found = gather(end.join(lines), HEAT)
    assert [guess.value for guess in found.guesses] == pytest.approx([0.0004, 0.0145, 0.029]) and not found.notes


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_the_encodings_of_spreadsheets(encoding):
    text = "learner;typed\nRüster;29 µm\nÅker;14,5 µm\n"
    found = gather(gathering.decoded(text.encode(encoding)), HEAT)
    assert [guess.learner for guess in found.guesses] == ["Åker", "Rüster"] and not found.notes


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("29\n14,5\n", [14.5, 29]),
        ("ash; 7,6 µm\nelm; 29", [7.6, 29]),
        ("ash, 7.6\nelm, 29 µm", [7.6, 29]),
        ("guess\n29\n30", [29, 30]),
        ("Name;Guess\nash;29\n;30\n;30", [29, 30, 30]),
        ("sep=;\nlearner;typed\nash;1,2 thou", [30.48]),
        ("# a note\nash\t0.03 mm", [30]),
        ("ash; 0,00114 inch", [28.956]),
        ("learner;prediction\nash;29µm", [29]),
    ],
)
def test_a_teachers_own_list(text, values):
    found = gather(text, HEAT)
    assert [1e3 * guess.value for guess in found.guesses] == pytest.approx(values) and not found.notes


def test_bare_numbers_in_thou():
    assert counts(gather("ash;1,14\nelm;29 µm", HEAT, Say(True))) == {"right": 2}


def test_broken_lines_are_named_by_number_and_skipped():
    text = "\n".join(
        [
            HEAD,
            f"ash,,prediction,{HEAT},,29 µm,0.029,mm",
            f"elm,,prediction,{HEAT},,many,,",
            f"oak,,prediction,{HEAT},,7,6,0.0076,mm,no,,,,,2026-01-01",
            "fir,,prediction,11_gears,,5,5,mm",
            "",
            f"yew,,prediction,{HEAT},,,,",
            f"ivy,,prediction,{HEAT},,nan,nan,mm",
            f'box,,prediction,{HEAT},,"29,2",0.0292,mm',
        ]
    )
    found = gather(text, HEAT)
    assert counts(found) == {"right": 2}
    for number, why in ((3, "many"), (4, "15 cells"), (5, "no chapter"), (8, "not a number")):
        assert any(note.startswith(f"Line {number} was skipped") and why in note for note in found.notes), (
            number,
            found.notes,
        )
    assert "1 line holds no guess." in found.notes


def test_no_line_is_lost_in_silence():
    """Any mixture of good and bad lines: as many as came in are counted, named or set aside."""
    dice = Draw("lines")
    kinds = (
        f"a{{n}};prediction;{HEAT};{{n}} µm",
        f"b{{n}};prediction;{HEAT};rubbish",
        f"c{{n}};exercise;{HEAT};3",
        f"d{{n}};prediction;{BAR};four times",
        f"e{{n}};prediction;{HEAT};1;2;3",
        "f{n};prediction;13_ships;3",
        f"g{{n}};prediction;{HEAT};",
        f"same;prediction;{HEAT};{{n}} µm",
    )
    for _ in range(30):
        lines = [dice.pick(kinds).format(n=n) for n in range(1, dice.whole(2, 60))]
        found = gather("\n".join(["learner;kind;chapter;typed", *lines]), HEAT)
        named = set().union(
            *(
                set(map(int, re.findall(r"\d+", re.split(r"was skipped|older", note)[0].split("counts:")[-1])))
                for note in found.notes
                if "skipped" in note or "older" in note
            ),
            set(),
        )
        aside = sum(int(note.split()[0]) for note in found.notes if re.match(r"\d+ line", note))
        assert len(found.guesses) + sum(n for _, n in found.elsewhere) + len(named) + aside == len(lines), found.notes


def test_the_newest_guess_of_a_learner_counts_and_the_older_is_said():
    text = (f"learner;chapter;typed;when\nAsh;{HEAT};29;2026-03-02T10:00\nash "
            f";{HEAT};14,5;2026-03-01T10:00\nelm;{HEAT};29;2026-03-01T10:00\n")
    found = gather(text, HEAT)
    assert counts(found) == {"right": 2} and found.notes == (
        "A learner's newest guess counts: line 3 is older and left aside.",
    )


def test_those_who_chose_no_word_are_not_taken_for_one():
    """Every machine exports under the example's word until one is chosen."""
    text = "".join(
        f"{HEAD}\nspring,,prediction,{HEAT},,{20 + n} µm,{(20 + n) / 1e3},mm,,,,,,2026-01-01T10:00:0{n}\n"
        for n in range(5)
    )
    assert len(gather(text, HEAT).guesses) == 5
    assert len(gather(text + text, HEAT).guesses) == 5, "the same file twice"


def test_nothing_a_spreadsheet_would_run_is_passed_on():
    found = gather("learner;typed\n'=1+1;29\n<script>alert(1)</script>;29", HEAT)
    more = PAGE.answer(answer=True, pasted="learner;typed\n'=1+1;29\n<script>alert(1)</script>;29", names=True).more
    assert len(found.guesses) == 2 and "<script" not in more and "&lt;script" in more


@pytest.mark.parametrize("name", list(exercises.chapters()))
def test_right_and_each_slip_are_told_apart(name):
    task = exercises.chapter(name).prediction
    lines = ["learner;typed", f"r;{task.answer_text()}"] + [
        f"s{i};{task.text_of(slip.value)}" for i, slip in enumerate(task.slips)
    ]
    found = gather("\n".join(lines), name)
    assert [group.count for group in found.groups] == [1] * (1 + len(task.slips))
    for group, slip in zip(found.groups[1:], task.slips, strict=True):
        assert (group.name, group.says, group.value) == (slip.name, slip.says, slip.value)


def test_as_the_learner_was_told_so_the_class_is_counted():
    """The same value is judged alike by practice.compare and by the picture."""
    task = exercises.chapter(HEAT).prediction
    for micrometres in np.linspace(0, 60, 121):
        heard = compare(task, f"{micrometres} µm")
        group = next(group for group in gather(f"{micrometres} µm", HEAT).groups if group.count)
        assert (group.kind == "right") == heard.right and (group.name == heard.slip or not heard.slip)


def test_what_cannot_be_read_at_all():
    for text in ("", "\n\n", "🙂", "a" * 5000, "\0\0", ";;;\n,,,", '"', "learner;typed", '"""";";', "=cmd|x;1;2;3"):
        found = gather(text, HEAT)
        assert not found.guesses
        answer = PAGE.answer(answer=True, pasted=text)
        ET.fromstring(answer.svg)
        assert "No guess for this chapter" in answer.words
    with pytest.raises(Refused, match="letters"):
        gather("1\n" * 3_000_000, HEAT)
    with pytest.raises(Refused, match="no exercises"):
        gather("1", "11_gears")
    assert not gather(gathering.decoded(bytes(range(256)) * 20), HEAT).guesses


def test_a_schools_year_is_read_in_proportion():
    """Ten times the lines cost about ten times the time: a ratio, with a wide margin."""
    def seconds(count: int) -> float:
        text = "learner;typed\n" + "".join(f"l{i};{i % 40} µm\n" for i in range(count))
        start = time.perf_counter()
        assert len(gather(text, HEAT).guesses) == count
        return time.perf_counter() - start

    seconds(100)
    assert seconds(10_000) < 40 * max(seconds(1_000), 1e-3)


# ---- picture and words -----------------------------------------------------------------------------


def marks(svg: str) -> int:
    """Learners drawn: all marks but those of the key, one a line of it."""
    root = ET.fromstring(svg)
    drawn = 0
    for part in root:
        kind = part.get("class") or ""
        if (part.tag.endswith("circle") and kind in ("dot-a", "ink")) or (
            part.tag.endswith("polygon") and kind == "paper"
        ):
            drawn += 1
    return drawn


@pytest.mark.parametrize("name", list(exercises.chapters()))
@pytest.mark.parametrize("count", [1, 14, 60, 300])
def test_one_mark_a_learner(name, count):
    title = exercises.chapter(name).title
    text = gathering.demo(count)
    found = gather(text, name)
    assert len(found.guesses) == count
    answer = PAGE.answer(answer=True, pasted=text, chapter=title)
    key = 0 if found.task.options else len(found.groups)
    low, high = (0, 1) if found.task.options else pages.span(found, Say())
    off = (
        0
        if found.task.options
        else sum(not low <= found.task.quantity.to_shown(guess.value) <= high for guess in found.guesses)
    )
    assert marks(answer.svg) == count - off + key
    assert f"{found.groups[0].count} of {count}" in answer.words
    for group in found.groups[1:]:
        if group.count:
            assert (f"{group.count} learners" if group.count > 1 else "ne learner") in answer.words and (
                group.says in answer.words
            )
    text_in_picture = " ".join(
        "".join(t.itertext()) for t in ET.fromstring(answer.svg).iter() if t.tag.endswith("text")
    )
    for group in found.groups:
        if found.task.options:
            assert f" {group.count} " in f" {text_in_picture} "
        else:
            assert f": {group.count}" in text_in_picture
    height = float(re.search(r'viewBox="0 0 \S+ (\S+)"', answer.svg)[1])
    assert height < 520 and all(
        0 <= float(part.get("cy")) <= height for part in ET.fromstring(answer.svg) if part.get("cy")
    )


def test_wild_guesses_are_counted_at_the_edge():
    answer = PAGE.answer(answer=True, pasted="a;29\nb;5000\nc;-700\nd;1e6")
    assert "3 of them lie off the picture" in answer.words
    texts = ["".join(t.itertext()) for t in ET.fromstring(answer.svg).iter() if t.tag.endswith("text")]
    assert "2 ▸" in texts and "◂ 1" in texts


def test_dots_stand_in_columns_and_never_overlap():
    """One column stands on the right answer; no dot is moved by more than half its width."""
    dice = np.random.default_rng(3)
    places = np.sort(dice.uniform(20, 440, 200)).tolist()
    laid = pages.piles(places, 10.0, 207.0)
    assert max(abs(x - place) for (x, _), place in zip(laid, places, strict=True)) <= 5.0 + 1e-9
    columns: dict[float, list[int]] = {}
    for x, height in laid:
        columns.setdefault(round(x, 6), []).append(height)
    assert all(heights == list(range(len(heights))) for heights in columns.values())
    assert min(np.diff(sorted(columns))) >= 10.0 - 1e-6 and (np.array(sorted(columns)) - 207.0) / 10 == pytest.approx(
        np.round((np.array(sorted(columns)) - 207.0) / 10)
    )


def test_anonymous_unless_asked():
    text = "learner;typed\nrowan;29\nhazel;14"
    quiet, named = PAGE.answer(answer=True, pasted=text), PAGE.answer(answer=True, pasted=text, names=True)
    for part in (quiet.svg, quiet.words, quiet.more, named.svg, named.words):
        assert "rowan" not in part and "hazel" not in part
    assert "rowan" in named.more and "hazel" in named.more


def test_the_demo_is_marked_as_invented():
    assert gathering.demo().startswith("# invented") and "Invented demo" in PAGE.answer(answer=True).words
    assert "Invented" not in PAGE.answer(answer=True, pasted="29").words
    assert all(guess.learner.startswith("demo ") for guess in gather(gathering.demo(), HEAT).guesses)


def test_files_take_the_demos_place_and_join_what_was_pasted():
    assert "1 of 1 is right" in PAGE.answer(answer=True, file=b"learner;typed\nash;29\n").words
    assert "2 of 2 are right" in PAGE.answer(
        answer=True, file=b"learner;typed\nash;29\n\nlearner;typed\nelm;29\n").words
    assert "2 of 2 are right" in PAGE.answer(
        answer=True, file=b"learner;typed\nash;29\n", pasted="learner;typed\nelm;29").words


def test_several_files_arrive_as_one():
    from springpass.screen.page import Live

    live = Live(PAGE)
    files = [memoryview(b"learner;typed\nash;29"), memoryview(b"learner,typed\nelm,29\n")]
    live.hear({"n": 1, "wishes": {"file": {"files": 2}}}, files)
    assert "2 learners guessed" in live.answer["words"]


def test_in_inch():
    answer = PAGE.answer(Say(True), answer=True, pasted="a;29 µm\nb;14.5 µm")
    assert (
        "1.14 thou" in answer.words and "0.571 thou" in answer.words and "µm" not in answer.words.replace("in µm", "")
    )


@pytest.mark.parametrize("name", [n for n, c in exercises.chapters().items() if c.prediction])
def test_dots_first_and_nothing_given_away(name):
    """Before the teacher asks for it, neither words nor picture tell right from wrong or name the answer."""
    task = exercises.chapter(name).prediction
    text = "learner;typed\n" + "\n".join(
        f"l{i};{task.text_of(slip.value)}" for i, slip in enumerate(task.slips * 2)) + "\n"
    page = {one.title: key for key, one in exercises.chapters().items()}
    title = next(title for title, key in page.items() if key == name)
    quiet, told = (PAGE.answer(pasted=text, chapter=title, answer=show) for show in (False, True))
    assert task.reveals not in quiet.words and "right" not in quiet.words and "✓" not in quiet.svg
    assert not any(slip.name in quiet.words + quiet.svg for slip in task.slips)
    if not task.options:
        assert task.answer_text() not in quiet.words
    assert task.reveals in told.words
