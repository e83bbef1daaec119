"""Sheets for a class: own numbers for each, the same again from the same words, a key that is right, paper that fits.
"""

import re
import subprocess

import pytest

from springpass.core import files
from springpass.core.quantity import Refused, Say
from springpass.pages.class_sheets import PAGE
from springpass.printing import class_sheets, pages_to_print
from springpass.teaching import classroom, exercises
from springpass.teaching.practice import check, code, pose

CHAPTERS = tuple(exercises.chapters())


@pytest.fixture(autouse=True)
def _own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path / "shop"))


@pytest.mark.parametrize("name", CHAPTERS)
def test_no_two_of_thirty_get_the_same_sheet(name):
    for group in ("", "evening 2"):
        given = classroom.hand_out([name], count=30, group=group)
        assert given.alike() == ()
        asked = [tuple(row.task.asks for row in given.rows(one)) for one in given.learners]
        assert len(set(asked)) == len({one.code for one in given.learners}) == 30


def test_one_exercise_with_few_numbers_is_owned_up_to():
    """Alone on a sheet, a short exercise repeats itself in a class; the page says so rather than hide it."""
    given = classroom.hand_out(["03_boring_bar"], level="decisions", count=40)
    assert len(given.exercises) == 1 and given.alike()
    said = PAGE.answer(chapters="3", level="decisions", count=40).words
    assert "very same" in said and "own, and one key" not in said


def test_the_same_words_make_the_same_bytes_and_other_words_others():
    def both(paper="A4", **more):
        given = classroom.hand_out(["01_heat", "06_fits"], names="ash, oak", group="club", **more)
        return class_sheets.sheets(given, paper), class_sheets.key(given, paper)

    assert both() == both()
    assert both() != both(inch=True) != both("Letter")
    one, other = (classroom.hand_out(["01_heat"], names="ash", group=group) for group in ("", "x"))
    assert class_sheets.sheets(one) != class_sheets.sheets(other)


def test_a_learner_finds_the_sheets_questions_in_the_workbook():
    given = classroom.hand_out(["03_boring_bar"], names="Ash Tree", group=" Evening  2 ")
    for row in given.rows(given.learners[0]):
        assert row.task.asks == pose(row.exercise, "ash tree", "evening 2").asks


@pytest.mark.parametrize("inch", [False, True])
@pytest.mark.parametrize("name", CHAPTERS)
def test_the_keys_answers_are_right_and_its_slips_wrong(name, inch):
    say = Say(inch)
    given = classroom.hand_out([name], count=12, inch=inch)
    for one in given.learners:
        for row in given.rows(one):
            printed = classroom.right(row.task, say)
            if row.task.span:
                for edge in row.task.span:
                    middle = (edge + row.task.answer) / 2
                    assert check(row.task, row.task.text_of(middle, say), say).right
                assert " to " in printed
                continue
            answer, _, off = printed.partition(" ± ")
            assert check(row.task, answer, say).right, (row.exercise.name, answer)
            for slip in row.task.slips:
                heard = check(row.task, row.task.text_of(slip.value, say), say)
                assert not heard.right and heard.slip == slip.name, (row.exercise.name, slip.name)
            if off:   # what the key lets pass, the workbook lets pass
                unit = row.task.wanted(say)
                for sign in (-0.95, 0.95):
                    number = float(answer.removesuffix(unit).replace("−", "-")) + sign * float(off)
                    assert check(row.task, f"{number} {unit}", say).right, (row.exercise.name, answer, off)


def test_the_key_is_one_and_ordered_by_code():
    given = classroom.hand_out(["03_boring_bar"], count=30)
    codes = re.findall(r'<h2><span class="code">(\w{6})</span> · ([^<]+)</h2>', class_sheets.key(given))
    assert [code for code, _ in codes] == sorted(one.code for one in given.learners)
    assert dict(codes) == {one.code: one.word for one in given.learners}
    sheets = class_sheets.sheets(given)
    assert [sheets.index(f">{one.code}<") for one in given.learners] == sorted(
        sheets.index(f">{one.code}<") for one in given.learners
    )
    for row in given.rows(given.learners[0]):
        assert (
            row.task.answer_text()
            not in re.sub(re.escape(row.task.asks), "", sheets[: sheets.index(given.learners[1].code)]).split(
                row.exercise.heading
            )[1][:60]
            or row.task.options
        ), "no answer on a learner's sheet"


def test_worked_solutions_on_request():
    given = classroom.hand_out(["03_boring_bar"], names="ash")
    brief = class_sheets.key(given)
    full = class_sheets.key(given, solutions=True)
    assert "<math" not in brief and full.count("The answer:") >= 5 and "<math" in full
    assert class_sheets.key(classroom.hand_out(["03_boring_bar"], count=9), solutions=True).count("The answer:") == (
        full.count("The answer:")), "once for the class, not once for each learner"


def test_the_chapters_typed():
    assert classroom.chapters("3") == ("03_boring_bar",)
    assert classroom.chapters(" 1, 4 – 6;13 ") == (
        "01_heat",
        "04_reaming",
        "05_workholding",
        "06_fits",
        "13_plan_a_part",
    )
    assert classroom.chapters("ALL") == CHAPTERS
    for wrong in ("", "0", "14", "6-4", "three", "🙂", "1-", "-1", "1.5", "9" * 400, "3_<b>"):
        with pytest.raises(Refused, match=r"such as 3"):
            classroom.chapters(wrong)


@pytest.mark.parametrize(
    "wrong",
    [
        dict(count=0),
        dict(count=10_000),
        dict(count=-1),
        dict(count=2.5),
        dict(count=float("nan")),
        dict(count="x"),
        dict(names="ash, oak, Ash"),
        dict(names="x" * 500),
        dict(names=", ".join(f"n{i}" for i in range(41))),
        dict(names=None),
        dict(group="y" * 200),
        dict(level="hard"),
        dict(level="decisions", hands=False, named=()),
    ],
)
def test_hostile_input_gets_a_sentence(wrong):
    named = wrong.pop("named", ["03_boring_bar"])
    with pytest.raises(Refused, match=r"[.]$"):
        classroom.hand_out(named, **{"count": 3, **wrong})


def test_names_of_any_script_and_markup_are_only_text():
    given = classroom.hand_out(["03_boring_bar"], names="🙂; Ωmega\n<b>bold</b>\n=1+1", group="<script>")
    assert len(given.learners) == 4
    for html in (class_sheets.sheets(given), class_sheets.key(given)):
        assert "<script" not in html and "<b>bold</b></b>" not in html and "&lt;b&gt;bold" in html and "🙂" in html


def test_single_exercises_are_chosen_by_number():
    assert classroom.chosen("1 (1, 6), 3") == {"01_heat": (1, 6), "03_boring_bar": ()}
    assert classroom.chosen("3(2)") == classroom.chosen(" 3 ( 2 ) ") == {"03_boring_bar": (2,)}
    given = classroom.hand_out(classroom.chosen("1 (1, 6), 3 (2)"), count=2, level="decisions", hands=False)
    heat, bar = exercises.chapter("01_heat").exercises, exercises.chapter("03_boring_bar").exercises
    assert given.exercises == (heat[0], heat[5], bar[1]), "what is named by number is given whatever its level"
    for wrong in ("1 (0)", "1 (99)", "1-3 (1)", "1 ()", "1 (", "1 (a)", "(1)"):
        with pytest.raises(Refused, match=r"[.]$"):
            classroom.chosen(wrong)


def test_a_list_pasted_from_a_register():
    pasted = "1.\tMüller, Anna\r\n2.\tO'Neill, Sean\r\n\r\n3) van der Berg,  Jan\n"
    assert classroom.named(pasted) == ("Müller, Anna", "O'Neill, Sean", "van der Berg, Jan")
    given = classroom.hand_out(["01_heat"], names=pasted)
    assert [one.name for one in given.learners] == list(classroom.named(pasted))
    assert "<b>Müller, Anna</b>" in class_sheets.sheets(given) and given.learners[0].word == "müller, anna"
    assert classroom.named("ash, oak, elm") == ("ash", "oak", "elm")


def test_no_two_letters_of_a_code_look_alike():
    seen = {letter for n in range(400) for letter in code(f"learner {n}", "class")}
    for pair in ("0O", "1I", "2Z", "5S", "8B", "UV", "6G", "OQ"):
        assert len(seen & set(pair)) < 2, pair


def test_the_page_refuses_with_a_sentence():
    for wrong in (
        {"chapters": ""},
        {"chapters": "14"},
        {"count": 0},
        {"count": 10_000},
        {"names": "a,a"},
        {"group": "🙂" * 50},
    ):
        with pytest.raises(Refused, match=r"[.)]$"):
            PAGE.answer(**wrong)


def test_an_edited_key_is_kept_however_often_it_is_printed_again(tmp_path, monkeypatch):
    """A teacher types a remark into the key, then prints for other names twice more."""
    monkeypatch.setattr(pages_to_print, "chromium", lambda: None)
    shop, press = tmp_path / "shop", PAGE.presses[0].does
    said = press(**PAGE.values(names="ash"))
    assert "class_sheets.html" in said and "no Chromium" in said and said.endswith(".")
    edited = (shop / "class_key.html").read_bytes().replace(b"</h1>", b"</h1><p>Ash: slowly.</p>")
    (shop / "class_key.html").write_bytes(edited)
    for names in ("oak", "elm", "elm"):
        press(**PAGE.values(names=names))
    [kept] = shop.glob("class_key.kept-*.html")
    assert kept.read_bytes() == edited
    assert {p.name for p in shop.iterdir()} == {"class_sheets.html", "class_key.html", kept.name}
    assert [kept.name in notice for notice in files.notices()] == [True]


def test_what_is_kept_is_kept_once(tmp_path):
    """Also a foreign file of bytes, in another folder, and one that comes back."""
    place = tmp_path / "key.pdf"
    for _ in range(3):
        place.write_bytes(b"theirs")
        files.write(place, b"ours")
    assert sorted(p.read_bytes() for p in tmp_path.iterdir()) == [b"ours", b"theirs"]
    files.write(place, b"theirs")
    files.write(place, "ours again, µ")
    assert place.read_text(encoding="utf-8") == "ours again, µ" and len(list(tmp_path.iterdir())) == 2


def test_a_folder_that_cannot_be_written_is_said(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path / "file" / "shop"))
    with pytest.raises(Refused, match=r"could not be saved"):
        PAGE.presses[0].does(**PAGE.values(names="ash"))


def test_nothing_on_a_sheet_is_fetched():
    given = classroom.hand_out(CHAPTERS, names="ash")
    for html in (class_sheets.sheets(given), class_sheets.key(given, solutions=True)):
        assert not re.search(
            r"https?://|<script|<img|<link|url\(|@import",
            html.replace('xmlns="http://www.w3.org/1998/Math/MathML"', ""),
        )


# ---- a PDF that cannot be made ----------------------------------------------------------------------


@pytest.mark.parametrize(
    "mishap", [OSError("gone"), subprocess.TimeoutExpired("x", 1), subprocess.CalledProcessError(1, "x")]
)
def test_a_browser_that_fails_is_said(mishap, monkeypatch):
    def fail(*args, **more):
        raise mishap

    monkeypatch.setattr(pages_to_print, "chromium", lambda: "/bin/true")
    monkeypatch.setattr(pages_to_print.subprocess, "run", fail)
    made = pages_to_print.to_pdf(pages_to_print.save("x", pages_to_print.page("x", "x")))
    assert made.path is None and made.says.startswith("No PDF was made") and made.says.endswith("print it from there.")


def test_a_program_that_prints_nothing_is_said(monkeypatch):
    monkeypatch.setenv("SPRINGPASS_CHROMIUM", "/bin/true")
    assert pages_to_print.to_pdf(pages_to_print.save("x", pages_to_print.page("x", "x"))).path is None
    monkeypatch.setenv("SPRINGPASS_CHROMIUM", "/no/such/program")
    assert "no Chromium here" in pages_to_print.to_pdf(pages_to_print.save("x", pages_to_print.page("x", "x"))).says


def test_unknown_paper_is_refused():
    with pytest.raises(Refused, match="A4 or Letter"):
        pages_to_print.page("x", "x", "A3")


@pytest.mark.parametrize("name", CHAPTERS)
def test_a_quiz_has_five_questions_with_numbers_nobody_has_seen(name):
    given = classroom.quiz(name, "club")
    rows = given.rows(given.learners[0])
    assert len(rows) == 5 and not any(row.exercise.hands for row in rows)
    levels = {one.level for one in exercises.chapter(name).exercises if not one.hands}
    assert {row.exercise.level for row in rows} == levels
    assert given == classroom.quiz(name, " Club "), "the same for everybody, and again next year"
    other = {pose(row.exercise, word, "club").asks for row in rows for word in ("ash", "oak", "everybody", "spring")}
    assert sum(row.task.asks not in other for row in rows) >= 4
    for row in rows:
        assert check(row.task, row.task.answer_text()).right


def test_the_quiz_page_keeps_its_answer_until_asked(tmp_path):
    from springpass.pages.quiz import PAGE as QUIZ

    quiet, told = (QUIZ.answer(answer=show, number=2) for show in (False, True))
    assert "✓" not in quiet.svg and "answer is" not in quiet.words and not quiet.more
    assert "✓" in told.svg and "The answer is" in told.words and "The answer:" in told.more
    said = QUIZ.presses[0].does(**QUIZ.values())
    assert "quiz_sheets.html" in said and (tmp_path / "shop" / "quiz_key.html").exists()
