"""The README true to the letter: what it counts is counted again here, what it names is there."""

import csv
import re
from pathlib import Path

import pytest

from springpass.pages import catalogue
from springpass.printing.pocket.card import make

ROOT = Path(__file__).resolve().parents[1]
TEXT = (ROOT / "README.md").read_text(encoding="utf-8")


def said(pattern: str) -> tuple[str, ...]:
    found = re.search(pattern, TEXT)
    assert found, f"the README no longer says “{pattern}”"
    return found.groups()


def test_how_many_pages_export():
    """As measured: all there were, and not many fewer than there are."""
    made, asked = map(int, said(r"(\d+) of (\d+) pages put onto a card"))
    assert made == asked and 0.95 * len(catalogue.pages()) <= asked <= len(catalogue.pages())


def test_answers_on_the_bench_pages_card():
    (answers,) = said(r"check_stickout, [\d.]+ MB, (\d+) answers")
    assert int(answers) == make(catalogue.page_named("check_stickout")).card.answers


def test_the_map_is_the_folder():
    notebooks = {path.stem for path in (ROOT / "workbook").glob("*.ipynb")}
    assert set(re.findall(r"\]\(workbook/(\w+)\.ipynb\)", TEXT)) == notebooks


def test_every_link_and_file_named_is_there():
    for place in re.findall(r"\]\((?!https?:)([^)#]+)\)", TEXT):
        assert (ROOT / place).exists(), place
    for place in set(re.findall(r"(?<![\w/])((?:tests|lib|data|workbook)/[\w/.-]*\w)", TEXT)):
        assert (ROOT / place).exists(), place


def test_the_commands_of_the_library_answer_as_it_says():
    from springpass import boring_bar, fits, job
    from springpass.job import part

    answer = boring_bar.check_stickout(stickout=40, bar_diameter=8, bore=12, tolerance=0.018)
    (verdict,) = said(r"answer\.verdict, answer\.chance\s+# '([^']+)'")
    assert answer.verdict == verdict
    (limit,) = said(r'fits\.limits\(20, "h6"\)\.lower\s+# (-[\d.]+)')
    assert fits.limits(20, "h6").lower == pytest.approx(float(limit), abs=1e-9)
    (order,) = said(r"plan\.order, plan\.odds\s+# '([^']+)'")
    assert job.plan(part.demo("drive_sleeve")).order == order


def test_fields_made_wrong_alone():
    numbers = [*map(int, said(r"of (\d+) fields a comparison noticed (\d+); (\d+) are handed back"))]
    with (ROOT / "tests/outside_fields.csv").open(encoding="utf-8", newline="") as file:
        kinds = [row["kind"] for row in csv.DictReader(file)]
    assert numbers == [len(kinds), kinds.count("checked"), kinds.count("setting")]


def test_how_many_are_made_wrong():
    """“more than N times”: what noticed each formula and model is stored."""
    (least,) = said(r"a comparison noticed it every time, more than (\d+) times")
    with (ROOT / "tests" / "outside_noticed.csv").open(encoding="utf-8", newline="") as file:
        noticed = len(list(csv.DictReader(file)))
    assert int(least) < noticed < 1.2 * int(least)


def test_how_many_settings_are_answered():
    from test_hostile_pages import ALL, REFUSED

    asked, pages, answered, refused = (int(n.replace(" ", "")) for n in
        said(r"tick, ([\d ]+) settings on (\d+) pages: ([\d ]+) are answered, (\d+) refused"))
    assert (asked, pages, refused) == (len(ALL), len({key[0] for key in ALL}), len(REFUSED))
    assert answered == asked - refused
