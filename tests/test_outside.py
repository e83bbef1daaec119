"""Every formula and every model is held against the outside, each check says where it comes from, and the README counts
truly.
"""

import ast
import subprocess
import sys

import outside_fields
import pytest

import outside
from outside import BASES, CALLED, FOLDERS, NO_MODEL, ROOT, ROWS, Differs, agrees, claim, source

FILES = sorted(path for folder in FOLDERS for path in folder.glob("test_*.py"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_checks_go_through_the_helper(path):
    """No comparison bypasses the table: tests hold no bare comparison of their own, and each names its source."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    told = {node.targets[0].id for node in tree.body if isinstance(node, ast.Assign)
            and isinstance(node.value, ast.Call) and getattr(node.value.func, "id", "") == "source"}   # once for many
    for test in (node for node in tree.body if isinstance(node, ast.FunctionDef) and node.name.startswith("test_")):
        calls = {
            node.func.id for node in ast.walk(test) if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
        }
        assert calls & {"agrees", "claim"}, f"{test.name} compares nothing: use agrees() or claim() of tests/outside.py"
        assert "source" in calls or any(
            (isinstance(d, ast.Call) and getattr(d.func, "id", "") == "by_hand") or getattr(d, "id", "") in told
            for d in test.decorator_list
        ), f"{test.name} does not say where its values come from: put @source(…) above it"
        bare = [
            node.lineno
            for node in ast.walk(test)
            if isinstance(node, ast.Assert)
            and any(
                isinstance(part, ast.Call) and getattr(part.func, "attr", "") == "approx" for part in ast.walk(node)
            )
        ]
        assert not bare, (
            f"{test.name}, line {bare}: use agrees() of tests/outside.py, so that the value stands in the table"
        )


def test_no_formula_and_no_model_is_without_an_outside_check():
    """Each is made 7 % wrong in turn; a comparison with the outside must fail. See python tests/outside.py --perturb.
    """
    done = subprocess.run(
        [sys.executable, str(ROOT / "tests" / "outside.py"), "--check"], capture_output=True, text=True, cwd=ROOT,
        encoding="utf-8",
    )
    assert done.returncode == 0, done.stdout + done.stderr[-1500:]


def test_fields_of_answers_are_still_noticed():
    """Every fortieth field of the stored table made 7 % wrong alone; see python tests/outside.py --fields."""
    done = subprocess.run(
        [sys.executable, str(ROOT / "tests" / "outside.py"), "--fields", "--check"], capture_output=True, text=True,
        cwd=ROOT, encoding="utf-8",
    )
    assert done.returncode == 0, done.stdout + done.stderr[-1500:]


def test_no_field_that_a_page_uses_is_unchecked():
    assert not [key for key, row in outside_fields.load().items() if row["kind"] == "unchecked" and row["used by"]]


def test_a_setting_says_why_and_hides_no_number_that_is_checked():
    for row in outside_fields.load().values():
        assert (row["kind"] == "setting") == bool(row["why"]) and (row["kind"] == "checked") == bool(row["noticed by"])
        assert row["why"] in ("", *outside_fields.SETTINGS), row["field"]


def test_every_module_of_a_topic_is_looked_through():
    """A new one is named in CHAPTERS, or its formulas would go unchecked."""
    import pkgutil

    import springpass

    modules = [name.removeprefix("springpass.")
               for _, name, package in pkgutil.walk_packages(springpass.__path__, "springpass.") if not package]
    apart = ("core", "job", "teaching", "screen", "printing", "pages")
    topics = {name for name in modules if name.split(".")[0] not in apart and not name.endswith(".quantities")}
    assert topics <= {module for chapter in outside.CHAPTERS.values() for module in chapter}


def test_what_is_left_out_exists_and_says_why():
    import importlib

    for why, names in NO_MODEL.items():
        assert len(why) > 10
        for name in names:
            module, _, function = name.rpartition(".")
            assert callable(getattr(importlib.import_module(f"springpass.{module}"), function)), (
                f"{name} is gone: take it off NO_MODEL"
            )
    assert len(outside.targets()) > 300


@pytest.fixture
def own_rows():
    before = dict(ROWS)
    yield
    ROWS.clear()
    ROWS.update(before)


def test_the_helper_is_as_strict_as_pytest_and_keeps_its_rows(own_rows):
    @source("this test", place="here", basis="method")
    def test_inner():
        agrees("near", 1.00009, 1.0, rel=1e-4)
        agrees("near", [2.0, 3.00029], [2.0, 3.0], rel=1e-4)
        agrees("same", (1, "a"), (1, "a"))
        claim("so", 2 > 1)
        for ours, theirs, room in (
            (1.00011, 1.0, {"rel": 1e-4}),
            (1.0, 1.0 + 1e-15, {}),
            (float("nan"), 1.0, {"abs": 9.0}),
            ([1.0, 2.0], [1.0], {"rel": 0.1}),
            (1.2, 1.0, {"abs": 0.1}),
        ):
            with pytest.raises(Differs):
                agrees("far", ours, theirs, **room)
        with pytest.raises(Differs):
            claim("not so", False)

    test_inner()
    found = {row.quantity: row for row in ROWS.values() if row.source == "this test"}
    near = found["inner: near"]
    assert (near.count, near.ours, near.theirs, near.place, near.basis) == (3, 3.00029, 3.0, "here", "method")
    assert near.difference == pytest.approx(0.00029)
    with pytest.raises(TypeError, match="say where it comes from"):
        agrees("from nowhere", 1, 1)


def test_a_wrong_answer_is_wrong_in_every_number():
    from springpass.core.spread import Likely

    assert outside.scaled({"a": [1.0, 2], "b": ("x", 3.0)}, 2) == {"a": [2.0, 2], "b": ("x", 6.0)}
    assert outside.scaled(Likely(1.0, 2.0, 3.0), 2) == Likely(2.0, 4.0, 6.0)


def test_the_summary_is_read_back_as_written(own_rows):
    ROWS.clear()

    @source("this test", basis="memory")
    def test_inner():
        agrees("many", [1.0] * 1200, [1.0] * 1200)

    test_inner()
    told = outside.said_in_readme("before\n\n" + outside.summary(ROWS.values()) + "\n\nafter | 1 |\n")
    assert told[CALLED["memory"]] == told["all"] == [1200, 1, 0, 1] and told[CALLED["read"]] == [0, 0, 0, 0]


def test_counts_of_the_readme(request):
    """No more than is true, and no less than nine tenths of it: a check added later does not break the build, one lost
    does.
    """
    told = outside.said_in_readme((ROOT / "README.md").read_text(encoding="utf-8"))
    if not told:
        pytest.skip("the README has no table of outside checks")
    ran = {row.test.partition("::")[0] for row in ROWS.values()}
    whole = {f"{path.parent.name}/{path.stem}" for path in FILES}
    if request.config.option.keyword or any("::" in arg for arg in request.config.args) or not whole <= ran:
        pytest.skip("only a run of all outside checks knows their number")
    for basis, numbers in outside.counts(ROWS.values()).items():
        for said, true in zip(told[CALLED[basis]], numbers, strict=False):
            assert 0.9 * true <= said <= true, (f"The README says {said} for “{CALLED[basis]}”, it is {true}. "
                                                "Run python tests/outside.py --readme, which writes the true counts.")
    assert set(told) == {*(CALLED[basis] for basis in BASES), "all"}
