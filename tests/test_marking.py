"""A class's tables marked: every answer judged afresh with its learner's own numbers, nothing lost in silence."""

import json
import subprocess
import sys

import pytest

from springpass.core.quantity import Refused, Say
from springpass.pages.marking import PAGE
from springpass.teaching import exercises, progress
from springpass.teaching.marking import OTHER_NUMBERS, RIGHT, SLIP, WRONG, mark
from springpass.teaching.practice import EXAMPLE, check, pose

BAR = exercises.chapter("03_boring_bar")
LONGER = BAR.exercises[0]


@pytest.fixture(autouse=True)
def _own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path / "own"))


def answered(who: str, group: str, exercise, typed: str, say: Say | None = None) -> None:
    """Notes an answer as the workbook does."""
    say = say or Say()
    task = pose(exercise, who, group, say)
    heard = check(task, typed, say)
    progress.note("exercises", exercise.name, who, group, typed=typed, value=heard.value,
                  unit="" if task.options else task.unit, inch=say.inch, right=heard.right, slip=heard.slip, tries=1)


def test_right_slips_and_wrong_are_told_apart_for_every_exercise():
    """What the workbook told the learner, the teacher's list says too."""
    for chapter in exercises.chapters().values():
        for one in chapter.exercises:
            answered("ash", "club", one, pose(one, "ash", "club").answer_text())
            task = pose(one, "oak", "club")
            if task.slips and not task.span:
                answered("oak", "club", one, task.text_of(task.slips[0].value))
    found = mark(progress.table())
    assert found.notes == () and found.learners == (("ash", "club"), ("oak", "club"))
    for chapter in exercises.chapters().values():
        for one in chapter.exercises:
            assert found.of(("ash", "club"), one.name).mark == RIGHT, one.name
            task = pose(one, "oak", "club")
            heard = found.of(("oak", "club"), one.name)
            if heard:
                again = check(task, heard.typed)
                assert (heard.solved, heard.slip) == (again.right, again.slip), one.name


def test_an_inch_readers_answer_is_judged_in_inch():
    task = pose(LONGER, "ash", "club", Say(True))
    typed = task.answer_text(Say(True)).split()[0]
    answered("ash", "club", LONGER, typed, Say(True))
    assert mark(progress.table()).of(("ash", "club"), LONGER.name).mark == RIGHT


def test_the_word_right_in_a_table_is_not_taken_on_trust():
    answered("ash", "", LONGER, "1 µm")
    forged = progress.table().replace(",no,", ",yes,")
    assert mark(forged).of(("ash", ""), LONGER.name).mark in (WRONG, SLIP)


def test_an_answer_from_before_a_change_of_class_counts_as_it_was():
    progress.call_me("ash")
    answered("ash", "", LONGER, pose(LONGER, "ash", "").answer_text())
    progress.call_me("ash", "club")
    assert mark(progress.table()).of(("ash", "club"), LONGER.name).mark == OTHER_NUMBERS


def test_a_damaged_table_is_named_and_left_out():
    answered("ash", "club", LONGER, pose(LONGER, "ash", "club").answer_text())
    good = progress.table()
    bad = "oak,club,exercise,99_none,longer,5\n,,exercise,3,longer,5\n"
    text = f"\x00\x01 rubbish\n{good}{good.splitlines()[0]}\n{bad}"
    found = mark(text)
    assert len(found.answers) == 1 and len(found.notes) == 3
    assert "Line 1 " in found.notes[0] and "oak" in found.notes[1] and "no name" in found.notes[2]
    assert all(note.endswith(".") for note in found.notes)
    assert all(note in PAGE.answer(pasted=text).more.replace("&quot;", '"') for note in found.notes)


def test_the_newer_of_two_answers_counts():
    right = pose(LONGER, "ash", "club").answer_text()
    answered("ash", "club", LONGER, "1 µm")
    when = progress.pages("ash", "club")["exercises"][LONGER.name]["when"]
    old = progress.table().replace(when, "2020-01-01T00:00:00")
    answered("ash", "club", LONGER, right)
    for text in (old + progress.table(), progress.table() + old):
        assert mark(text).of(("ash", "club"), LONGER.name).solved


def test_slips_are_counted_by_learner():
    slip = pose(LONGER, "ash", "club").slips[0]
    for who in ("ash", "oak", "elm"):
        task = pose(LONGER, who, "club")
        answered(who, "club", LONGER, task.text_of(next(s for s in task.slips if s.name == slip.name).value))
    assert mark(progress.table()).slips()[0] == (LONGER.name, slip.name, 3)
    said = PAGE.answer(pasted=progress.table(), chapter=BAR.title).words
    assert "3 learners made it" in said and slip.name in said


def test_the_page_names_nobody_unless_asked():
    answered("ash tree", "club", LONGER, "1 µm")
    quiet, named = (PAGE.answer(pasted=progress.table(), chapter=BAR.title, names=names) for names in (False, True))
    assert "ash tree" not in quiet.svg + quiet.words and "ash tree" in named.svg
    assert "Invented demo" in PAGE.answer().words


def test_marks_are_written_for_a_spreadsheet(tmp_path, monkeypatch):
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path))
    answered("=1+1", "club", LONGER, "1 µm")
    PAGE.presses[0].does(**PAGE.values(pasted=progress.table()))
    lines = (tmp_path / "class_marks.csv").read_text(encoding="utf-8").splitlines()
    assert lines[1].startswith("'=1+1;club;") and len(lines[0].split(";")) == len(lines[1].split(";"))


def test_a_servers_folders_are_collected_in_one_step(tmp_path, monkeypatch):
    """Three homes: one learner with a word, one without, and one whose file is damaged."""
    for home, who in (("ann", "ash"), ("ben", EXAMPLE), ("cem", "")):
        folder = tmp_path / home / "spring_pass"
        folder.mkdir(parents=True)
        monkeypatch.setenv("SPRINGPASS_SHOP", str(folder))
        if who:
            answered(who, "", LONGER, pose(LONGER, who, "").answer_text())
        else:
            (folder / "progress.json").write_text("{", encoding="utf-8")
    folders = [str(tmp_path / home / "spring_pass") for home in ("ann", "ben", "cem", "nobody")]
    done = subprocess.run([sys.executable, "-m", "springpass.teaching.marking", *folders], capture_output=True,
                          text=True, encoding="utf-8")
    assert "cem" in done.stderr and done.stderr.count("left out") == 1 and done.returncode == 1
    found = mark(done.stdout)
    assert found.learners == (("ash", ""), (f"{EXAMPLE} ben", "")) and all(one.mark == RIGHT for one in found.answers)
    json.dumps(found.notes)


def test_more_than_a_class_writes_is_refused():
    with pytest.raises(Refused, match="more than any class"):
        mark("x" * 5_000_000)
    assert "No answer was found" in PAGE.answer(pasted="").words
