"""Every check against something outside the project, in one place.

In a test of tests/published/ or tests/independent/:

    @source("E. Isakov, Cutting Tool Engineering, July 2019", place="example 2", basis="read")
    def test_one_inch_bar():
        agrees("second moment", second_moment(25.4), 20432, abs=1.5, of=second_moment)

`agrees` asserts as pytest.approx does (exactly, where neither rel nor abs is given) and keeps a row for the table:
quantity, unit, ours, theirs, difference, tolerance, source, place, basis, of, how many values. A test of many values
makes one row, with their number and the worst of them. `claim` does the same for a statement that holds or does not.

    python tests/outside.py                 the table, and the counts by basis
    python tests/outside.py --by source     grouped by source, basis or chapter
    python tests/outside.py --csv FILE      the table as a file
    python tests/outside.py --perturb       every formula and model made seven in a hundred wrong: which does no check
    notice?
                                            (keeps who noticed what in outside_noticed.csv)
    python tests/outside.py --perturb --only NAME --among FILE      one of them, by one file's checks: quick
    python tests/outside.py --check         the same, asking first the test that noticed last time; this is what the
                                            build runs, and it writes nothing
    python tests/outside.py --fields        the same field by field of every answer: see outside_fields.py
    python tests/outside.py --readme        write the counts into the README's table
"""

from __future__ import annotations

import argparse
import contextlib
import csv
import functools
import inspect
import re
import sys
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import pytest

ROOT = Path(__file__).resolve().parents[1]
NOTICED = ROOT / "tests" / "outside_noticed.csv"
FOLDERS = [ROOT / "tests" / "published", ROOT / "tests" / "independent"]
# How a check value is known. "method": worked out another way (finite elements, integration, drawing, counting, another
# library). "hand": worked by hand, or our own model written out and sampled a second time. "own rows": a rule that the
# rows of our own tables must keep.
BASES = ("read", "memory", "common practice", "method", "hand", "own rows")
CALLED = {"read": "printed values, read in the source", "memory": "printed values, from memory",
          "common practice": "common practice", "method": "another method",
          "hand": "by hand, or the model written out again", "own rows": "rules kept by our tables' own rows"}


class Differs(AssertionError):
    """Ours and theirs are not the same."""


@dataclass
class Row:
    """One line of the table: one value, or one test's many values with the worst of them."""

    quantity: str
    unit: str
    ours: Any
    theirs: Any
    difference: float | None
    tolerance: str
    source: str
    place: str
    basis: str
    of: str
    chapter: str
    test: str
    count: int = 0
    holds: bool = False   # a statement that holds, no value
    worst: float = field(default=-1.0, repr=False)   # share of the tolerance that is used up


ROWS: dict[tuple[str, ...], Row] = {}
_NOW: dict[str, str] = {}   # source, place, basis and test of the test that runs


def source(name: str, *, place: str = "", basis: str = "read") -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Say where a test's values come from; every check in it takes this unless it says otherwise."""
    assert basis in BASES, basis

    def label(test: Callable[..., Any]) -> Callable[..., Any]:
        @functools.wraps(test)
        def told(*given: Any, **named: Any) -> Any:
            before = dict(_NOW)
            file = Path(inspect.getfile(test))
            _NOW.update(source=name, place=place, basis=basis, test=f"{file.parent.name}/{file.stem}::{test.__name__}")
            try:
                return test(*given, **named)
            finally:
                _NOW.clear()
                _NOW.update(before)

        return told

    return label


def agrees(quantity: str, ours: Any, theirs: Any, *, rel: float | None = None, abs: float | None = None, unit: str = "",
           source: str | None = None, place: str | None = None, basis: str | None = None, of: Any = None,
           count: int | None = None) -> None:
    """Assert that ours is theirs, and keep the row. Without rel and abs they must be equal.

    count: how many printed values this is, where that is not the number of numbers given.
    """
    exact = rel is None and abs is None
    with np.errstate(all="ignore"):
        same = bool(np.all(ours == theirs)) if exact else ours == pytest.approx(theirs, rel=rel, abs=abs)
    ours_flat, theirs_flat = list(_leaves(ours)), list(_leaves(theirs))
    if len(ours_flat) < len(theirs_flat) and len(ours_flat) == 1:
        ours_flat *= len(theirs_flat)
    used, at, difference = _worst(ours_flat, theirs_flat, rel, abs)
    _keep(quantity, unit, ours_flat[at] if ours_flat else ours, theirs_flat[at] if theirs_flat else theirs, difference,
          _tolerance(rel, abs), used, count or max(1, len(theirs_flat)), source, place, basis, of)
    if not same:
        raise Differs(f"{quantity}: ours {ours}, theirs {theirs} ({_tolerance(rel, abs)})")


def claim(quantity: str, holds: Any, *, source: str | None = None, place: str | None = None, basis: str | None = None,
          of: Any = None, note: Any = "") -> None:
    """Assert a statement from outside that holds or does not, and keep the row."""
    _keep(quantity, "", "holds" if holds else "fails", "holds", None, "", 0.0, 1, source, place, basis, of)
    if not holds:
        raise Differs(f"{quantity}: does not hold {note}")


def _leaves(value: Any) -> Iterator[Any]:
    if isinstance(value, dict):
        for key in value:
            yield from _leaves(value[key])
    elif isinstance(value, np.ndarray):
        yield from value.ravel().tolist()
    elif isinstance(value, (list, tuple)):
        for part in value:
            yield from _leaves(part)
    else:
        yield value.item() if isinstance(value, np.generic) else value


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _worst(
    ours: list[Any], theirs: list[Any], rel: float | None, absolute: float | None
) -> tuple[float, int, float | None]:
    """How much of the tolerance the worst pair uses, which it is, and its difference."""
    found: tuple[float, int, float | None] = (0.0, 0, None)
    for at, (one, two) in enumerate(zip(ours, theirs, strict=False)):
        if not (_is_number(one) and _is_number(two) and np.isfinite(one) and np.isfinite(two)):
            continue
        difference = 0.0 if one == two else one - two
        room = max((rel or 0) * np.abs(two), absolute or 0)
        used = float(np.abs(difference) / room) if room else float(difference != 0)
        if found[2] is None or used > found[0]:
            found = (used, at, difference)
    return found


def _tolerance(rel: float | None, absolute: float | None) -> str:
    said = [f"{rel:.3g} of it"] if rel is not None else []
    said += [f"±{absolute:.3g}"] if absolute is not None else []
    return " or ".join(said) or "exact"


def _keep(
    quantity: str,
    unit: str,
    ours: Any,
    theirs: Any,
    difference: float | None,
    tolerance: str,
    used: float,
    count: int,
    source: str | None,
    place: str | None,
    basis: str | None,
    of: Any,
) -> None:
    said = {"source": source or _NOW.get("source", ""), "place": _NOW.get("place", "") if place is None else place,
            "basis": basis or _NOW.get("basis", "")}
    if not said["source"] or said["basis"] not in BASES:
        raise TypeError(f"{quantity}: say where it comes from, with @source above the test")
    test = _NOW.get("test", "")
    title = test.rpartition("::")[2].removeprefix("test_").replace("_", " ")
    full = title if not quantity or quantity == title else f"{title}: {quantity}"
    names = ", ".join(name_of(f) for f in (of if isinstance(of, (list, tuple)) else [of]) if f is not None)
    key = (test, quantity, *said.values(), names)
    row = ROWS.get(key)
    if row is None:
        row = ROWS[key] = Row(full, unit, ours, theirs, difference, tolerance, **said, of=names,
                              chapter=chapter_of(names, test), test=test,
                              holds=str(theirs) == "holds")
    row.count += count
    if used > row.worst:
        row.worst, row.ours, row.theirs, row.difference, row.tolerance = used, ours, theirs, difference, tolerance


def name_of(function: Any) -> str:
    plain = inspect.unwrap(function)
    return f"{plain.__module__.removeprefix('springpass.')}.{plain.__name__}"


# ---- where things belong ------------------------------------------------------------------------------

CHAPTERS = {
    "01 heat": ("heat.thermal_growth", "heat.cooling_down"),
    "02 bore stress": ("bore_stress.release", "bore_stress.readings"),
    "03 boring bar": (
        "boring_bar.stickout",
        "boring_bar.samples",
        "boring_bar.setup",
        "boring_bar.bending",
        "boring_bar.vibration",
        "boring_bar.holder",
        "boring_bar.bore_room",
        "boring_bar.cut_sound",
        "boring_bar.tap_test",
    ),
    "04 reaming": ("reaming.teeth", "reaming.hole", "reaming.log"),
    "05 workholding": ("workholding.ring", "workholding.bending"),
    "06 fits": ("fits.iso_limits", "fits.fit_target", "fits.pressing", "fits.bonding"),
    "07 stops and measuring": (
        "stops.depth",
        "stops.gauge_blocks",
        "measuring.budgets",
        "measuring.gauging",
        "measuring.guard_bands",
        "measuring.coverage_factors",
        "measuring.control_charts",
    ),
    "08 cutting": ("cutting.forces", "cutting.speeds", "cutting.chips", "cutting.surface_finish", "cutting.wear"),
    "09 holes and threads": ("drilling", "threads.sizes", "threads.single_point"),
    "10 the lathe": (
        "the_lathe.collars",
        "the_lathe.test_bar",
        "the_lathe.tailstock",
        "the_lathe.tool_height",
        "the_lathe.small_moves",
        "the_lathe.warm_up",
    ),
    "11 true running": (
        "true_running.vectors",
        "true_running.four_jaws",
        "true_running.centres",
        "true_running.seats",
        "true_running.supports",
    ),
    "12 grooves and tapers": (
        "grooves_tapers.grooving",
        "grooves_tapers.tapers",
        "grooves_tapers.inside_threads",
    ),
    "10 plan a part": (
        "job.planning",
        "job.batch",
        "job.rescue",
        "job.budget",
        "job.operations",
        "job.sequence",
        "job.dialled",
        "job.bore_ways",
        "job.drilled",
        "job.setups",
        "job.machine",
        "job.gripping",
        "job.drafting",
        "job.outside",
        "job.inside",
        "job.workpiece",
        "job.results",
        "job.learning",
        "job.bayes",
    ),
    "the core": ("core.spread", "core.tables", "core.quantity", "core.formula"),
}
TOPICS = [
    module for modules in CHAPTERS.values() for module in modules
    if not module.startswith("core.") or module == "core.spread"
]


def chapter_of(names: str, test: str) -> str:
    module = names.split(", ")[0].rpartition(".")[0]
    for chapter, modules in CHAPTERS.items():
        if module in modules:
            return chapter
    return "the core"


# ---- what must be checked -----------------------------------------------------------------------------

# answers that are no numbers of the trade: names, sentences, nothing
NO_NUMBER = {"str", "None", "bytes", "list[str]", "tuple[str, ...]"}
# public functions of the topics that are no models: nothing outside could be set beside their answers
NO_MODEL = {
    "reads what is typed or filed": (
        "fits.iso_limits.read_code",
        "fits.iso_limits.read_fit",
        "reaming.teeth.checked_teeth",
        "reaming.log.a_hole",
        "stops.depth.shoulder_links",
        "true_running.four_jaws.read_moves",
        "job.learning.check_expected",
        "job.learning.read_results",
    ),
    "keeps and brings back the user's records": (
        "job.learning.expected_of",
        "job.learning.keep_expected",
        "job.learning.kept_expected",
        "job.learning.keep_results",
        "job.learning.kept_results",
        "job.learning.accept",
        "job.learning.accepted",
        "job.learning.withdraw",
        "reaming.hole.own_holes",
    ),
    "hands on rows of data, or samples of their ranges": (
        "bore_stress.release.stock_sample",
        "bore_stress.release.measured_sample",
        "workholding.ring.hand_ranges",
        "workholding.ring.drive_ranges",
        "fits.fit_target.feels",
        "fits.fit_target.feel",
        "measuring.gauging.provenance",
        "cutting.chips.stringiness",
        "cutting.chips.toughness",
        "cutting.speeds.steps",
        "cutting.forces.force_range",
        "cutting.forces.group_of",
        "cutting.forces.named_materials",
        "boring_bar.samples.force_factor",
        "job.machine.speed_of",
        "job.machine.rule",
        "job.machine.free_length",
        "job.budget.draws",
        "the_lathe.small_moves.friction",
        "true_running.four_jaws.division",
    ),
    "chooses, lists or words": (
        "grooves_tapers.tapers.checked",
        "cutting.chips.advice",
        "job.setups.routes",
        "job.operations.run",
        "job.dialled.dialled",
        "job.outside.inward_of",
        "job.operations.part_sawn",
        "job.planning.judgements",
        "job.bore_ways.runs_out",
        "job.planning.draws_of",
        "job.planning.best",
        "job.budget.segments",
        "job.setups.checked",
        "job.setups.depth_of",
        "job.setups.split_places",
        "job.setups.linked",
        "job.machine.step",
        "job.gripping.ways",
        "job.gripping.places",
        "job.gripping.grip",
        "job.drafting.blocks",
        "job.outside.passes",
        "job.outside.blade_reach",
        "job.outside.relief_of",
        "job.outside.edges",
        "job.bore_ways.point_of",
        "job.drilled.drill_steps",
        "job.drilled.drill",
        "job.inside.edges",
        "job.results.nothing",
        "job.budget.gauge_for",
        "job.budget.warmth",
    ),
    "calls another model and remembers its answer": (
        "job.budget.pass_rise",
        "job.budget.wait_for",
        "job.sequence.wait_under_coolant",
        "job.outside.force",
        "job.outside.schedule",
        "job.outside.threads_depths",
    ),
}


def targets() -> dict[str, Callable[..., Any]]:
    """Every labelled formula, and every public model function of a topic that answers with numbers, by name.

    Look-ups of one row in data/ (they answer with a Fact) are held to their sources by the tests of the data.
    """
    import importlib

    apart = {name for names in NO_MODEL.values() for name in names}
    found: dict[str, Callable[..., Any]] = {}
    for topic in TOPICS:
        module = importlib.import_module(f"springpass.{topic}")
        for name, thing in vars(module).items():
            plain = inspect.unwrap(thing) if callable(thing) else thing
            if inspect.isfunction(plain) and plain.__module__ == module.__name__ and not name.startswith("_"):
                answer = plain.__annotations__.get("return", "")
                words = isinstance(answer, str) and (answer in NO_NUMBER or "Fact" in answer)
                if is_formula(plain) or not (words or name_of(plain) in apart):
                    found[name_of(plain)] = plain
    return found


def is_formula(function: Callable[..., Any]) -> bool:
    return hasattr(inspect.unwrap(function), "label")


class Wrong:
    """Stands in for every target: notes who is called, and makes one of them wrong when told to."""

    def __init__(self) -> None:
        self.plain: dict[str, Callable[..., Any]] = {}
        self.called: set[str] = set()
        self.wrong: str = ""
        self.by = 1.07

    def __call__(self, name: str, given: tuple[Any, ...], named: dict[str, Any]) -> Any:
        self.called.add(name)
        found = self.plain[name](*given, **named)
        if name != self.wrong:
            return found
        if isinstance(found, (bool, np.bool_)) or getattr(found, "dtype", np.dtype(float)).kind == "b":
            return np.logical_not(found)[()]
        return found + 1 if isinstance(found, int) else scaled(found, self.by)

    def install(self, functions: dict[str, Callable[..., Any]]) -> None:
        """Swap each function's code, so that it holds wherever the function was imported by name."""
        import types

        for name, function in functions.items():
            same = types.FunctionType(function.__code__, function.__globals__, function.__name__, function.__defaults__)
            same.__kwdefaults__ = function.__kwdefaults__
            self.plain[name] = same
            function.__signature__ = inspect.signature(function, eval_str=is_formula(function))  # type: ignore[attr-defined]
            world: dict[str, Any] = {}
            exec(f"def stand_in(*given, **named):\n    return __outside__({name!r}, given, named)", world)
            function.__globals__["__outside__"] = self
            function.__defaults__, function.__kwdefaults__ = None, None
            function.__code__ = world["stand_in"].__code__


def scaled(thing: Any, by: float) -> Any:
    """The same answer with every number in it made wrong; counts, names and yes or no stay."""
    import copy
    import dataclasses

    if isinstance(thing, (bool, int, str, np.bool_, np.integer)) or thing is None:
        return thing
    if isinstance(thing, (float, np.floating)):
        return thing * by
    if isinstance(thing, np.ndarray):
        return thing * by if thing.dtype.kind == "f" else thing
    if isinstance(thing, dict):
        return {key: scaled(part, by) for key, part in thing.items()}
    if isinstance(thing, tuple) and hasattr(thing, "_fields"):
        return type(thing)(*(scaled(part, by) for part in thing))
    if isinstance(thing, (tuple, list)):
        return type(thing)(scaled(part, by) for part in thing)
    if dataclasses.is_dataclass(thing) and not isinstance(thing, type):
        new = copy.copy(thing)
        for part in dataclasses.fields(thing):
            object.__setattr__(new, part.name, scaled(getattr(thing, part.name), by))
        return new
    return thing


def forget() -> None:
    """Empty every cache of the library but those of the data files."""
    for name, module in list(sys.modules.items()):
        if name.startswith("springpass.") and name not in (
            "springpass.core.tables",
            "springpass.core.formula",
            "springpass.core.mathml",
        ):
            for thing in vars(module).values():
                if hasattr(thing, "cache_clear"):
                    thing.cache_clear()


class Run:
    """A pytest plugin: runs the tests once with rows kept; then, if told to, again with each target wrong.

    stored: who noticed last time; these tests are asked first, and if all notice again the plain run is left out.
    """

    options: tuple[str, ...] = ()   # for pytest

    def __init__(self, perturb: bool = False, only: str = "", stored: dict[str, str] | None = None) -> None:
        self.perturb, self.only, self.stored = perturb, only, stored or {}
        self.wrong = Wrong()
        self.touched: dict[str, set[str]] = {}    # test -> targets
        self.seconds: dict[str, float] = {}
        self.left: list[str] = []                 # targets still to be noticed
        self.noticed: dict[str, str] = {}         # target -> the test that noticed
        self.failed = 0

    def pytest_collection_finish(self, session: pytest.Session) -> None:
        self.wrong.install(targets())
        self.left = [name for name in self.wrong.plain if self.only in name]

    def pytest_runtest_protocol(self, item: pytest.Item) -> None:
        self.wrong.called = set()
        forget()

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.when == "call":
            self.touched[report.nodeid] = self.wrong.called
            self.seconds[report.nodeid] = report.duration
        self.failed += report.failed

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> Any:
        if not self.stored:
            return None
        items = {item.nodeid.partition("tests/")[2]: item for item in session.items}
        for name in list(self.left):
            item = items.get(self.stored.get(name, ""))
            if item and self.notices(name, [item]):
                self.left.remove(name)
        return None if self.left else True

    def pytest_sessionfinish(self, session: pytest.Session) -> None:
        if not self.perturb or self.failed or not self.left:
            return
        rows = dict(ROWS)
        items = sorted(session.items, key=lambda item: self.seconds.get(item.nodeid, 9.0))
        for name in list(self.left):
            if self.notices(name, [item for item in items if name in self.touched.get(item.nodeid, ())]):
                self.left.remove(name)
        ROWS.clear()
        ROWS.update(rows)

    def notices(self, name: str, items: Iterable[Any]) -> bool:
        """Does one of the tests find its comparison with the outside fail while this target is wrong?

        Any other error says nothing: the wrong number never got as far as the comparison.
        """
        import warnings

        self.wrong.wrong = name
        try:
            for item in items:
                forget()
                with warnings.catch_warnings(), np.errstate(all="ignore"):
                    warnings.simplefilter("ignore")
                    try:
                        item.obj(**(item.callspec.params if hasattr(item, "callspec") else {}))
                    except Differs:
                        self.noticed[name] = item.nodeid.partition("tests/")[2]
                        return True
                    except Exception:
                        continue
            return False
        finally:
            self.wrong.wrong = ""
            forget()


def run(
    perturb: bool = False, only: str = "", stored: dict[str, str] | None = None, among: list[Path] = FOLDERS,
    plugin: Run | None = None,
) -> Run:
    """Run every outside check in this process, or those of the files `among`; the rows are in ROWS afterwards."""
    import os
    import tempfile

    ROWS.clear()
    plugin = plugin or Run(perturb, only, stored)
    with tempfile.TemporaryDirectory() as folder, contextlib.redirect_stdout(sys.stderr):
        os.environ["SPRINGPASS_SHOP"] = folder  # nothing here touches a real shop file
        code = pytest.main(
            [
                "-q",
                "-p",
                "no:cacheprovider",
                "-p",
                "no:nbval",
                "--no-header",
                "-o",
                "addopts=",
                "--import-mode=importlib",
                "--rootdir",
                str(ROOT),
                "-W",
                "ignore",
                *plugin.options,
                *map(str, among),
            ],
            plugins=[plugin],
        )
    if plugin.failed or code not in (0, 5):
        raise SystemExit("An outside check fails; run pytest tests/published tests/independent to see which.")
    return plugin


def stored() -> dict[str, str]:
    if not NOTICED.exists():
        return {}
    with NOTICED.open(encoding="utf-8", newline="") as file:
        return {row["of"]: row["noticed by"] for row in csv.DictReader(file)}


def store(noticed: dict[str, str]) -> None:
    with NOTICED.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["of", "noticed by"])
        writer.writerows(sorted(noticed.items()))


# ---- the table and the counts ---------------------------------------------------------------------------

COLUMNS = (
    "quantity",
    "unit",
    "ours",
    "theirs",
    "difference",
    "tolerance",
    "source",
    "place",
    "basis",
    "of",
    "chapter",
    "count",
    "test",
)


def as_text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return f"{value:.6g}"
    return re.sub(r"\s+", " ", str(value))[:60]


def counts(rows: Iterable[Row]) -> dict[str, tuple[int, int, int]]:
    """By basis: how many values, how many kinds of value, and how many kinds of statement that hold or do not."""
    rows = list(rows)
    return {
        basis: (
            sum(row.count for row in rows if row.basis == basis and not row.holds),
            sum(row.basis == basis and not row.holds for row in rows),
            sum(row.basis == basis and row.holds for row in rows),
        )
        for basis in BASES
    }


def summary(rows: Iterable[Row]) -> str:
    rows = list(rows)
    lines = [HEAD, "|---|---|---|---|---|"]
    found = counts(rows)
    for basis, numbers in found.items():
        sources = len({row.source for row in rows if row.basis == basis})
        lines.append(f"| {CALLED[basis]} | {' | '.join(map(str, numbers))} | {sources} |")
    totals = [sum(numbers) for numbers in zip(*found.values(), strict=True)]
    lines.append(f"| all | {' | '.join(map(str, totals))} | {len({row.source for row in rows})} |")
    return "\n".join(lines)


def print_table(rows: list[Row], by: str) -> None:
    rows = sorted(rows, key=lambda row: (getattr(row, by), row.source, row.test, row.quantity))
    before = None
    for row in rows:
        here = getattr(row, by)
        if here != before:
            print(f"\n== {CALLED.get(here, here)} ==")
            print("quantity | ours | theirs | difference (allowed) | source, place | basis | values")
            before = here
        unit = f" {row.unit}" if row.unit else ""
        print(
            f"{row.quantity} | {as_text(row.ours)}{unit} | {as_text(row.theirs)}{unit} | {as_text(row.difference)} "
            f"({row.tolerance}) | "
            f"{row.source}{', ' + row.place if row.place else ''} | {row.basis} | {row.count}"
        )


def write_csv(rows: list[Row], path: Path) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(COLUMNS)
        for row in rows:
            writer.writerow(
                [
                    as_text(getattr(row, column))
                    if column in ("ours", "theirs", "difference")
                    else getattr(row, column)
                    for column in COLUMNS
                ]
            )


HEAD = "| how it is known | values compared | kinds of value | statements | sources |"


def said_in_readme(text: str) -> dict[str, list[int]]:
    """The README's counts, by basis: values, kinds, statements, sources; empty where it has no such table."""
    found = {}
    if HEAD in text:
        for line in text.partition(HEAD)[2].splitlines()[2:]:
            if not line.startswith("|"):
                break
            name, *numbers = [cell.strip() for cell in line.strip("|").split("|")]
            found[name] = [int(number.replace(",", "").replace(" ", "")) for number in numbers]
    return found


def write_readme(rows: list[Row]) -> bool:
    path = ROOT / "README.md"
    text = path.read_text(encoding="utf-8")
    if HEAD not in text:
        return False
    before, _, after = text.partition(HEAD)
    lines = after.splitlines(keepends=True)
    end = next((i for i, line in enumerate(lines[1:], 1) if not line.startswith("|")), len(lines))
    path.write_text(before + summary(rows) + "\n" + "".join(lines[end:]), encoding="utf-8")
    return True


def main() -> int:
    asked = argparse.ArgumentParser(description="What was compared with the outside.")
    asked.add_argument(
        "--by", choices=("source", "basis", "chapter"), default="chapter", help="how the table is grouped"
    )
    asked.add_argument("--csv", type=Path, help="write the table to this file")
    asked.add_argument(
        "--perturb",
        action="store_true",
        help="make every formula and model wrong by 7 %% and see whether a check notices",
    )
    asked.add_argument("--check", action="store_true", help="the same, asking first the tests that noticed last time")
    asked.add_argument("--only", default="", help="with --perturb: those with this in their name")
    asked.add_argument("--among", type=Path, nargs="+", default=FOLDERS, help="with --only: the checks of these files")
    asked.add_argument("--fields", action="store_true", help="every field of every answer made wrong alone")
    asked.add_argument("--readme", action="store_true", help="write the counts into the README's table")
    chosen = asked.parse_args()
    if chosen.fields:
        import outside_fields

        return outside_fields.check() if chosen.check else outside_fields.main(chosen.only, chosen.among)
    if chosen.perturb or chosen.check:
        known = stored()
        plugin = run(True, chosen.only, known if chosen.check else None, chosen.among)
        formulas = sum(is_formula(f) for f in targets().values())
        print(f"{len(plugin.noticed)} formulas and models made 7 % wrong were noticed; {len(plugin.left)} were not "
              f"({formulas} formulas, {len(targets()) - formulas} models in all)")
        for name in plugin.left:
            print(
                f"  {name} has no outside check that notices: add one in tests/published or tests/independent, then "
                "run "
                "python tests/outside.py --perturb"
            )
        if chosen.perturb and not chosen.only and not plugin.left:
            store(plugin.noticed)
        return bool(plugin.left)
    run()
    rows = list(ROWS.values())
    if chosen.readme:
        print(
            "The README's table is written."
            if write_readme(rows)
            else f"The README has no table that begins with\n{HEAD}"
        )
    else:
        print_table(rows, chosen.by)
    print("\n" + summary(rows))
    if chosen.csv:
        write_csv(rows, chosen.csv)
    return 0


if __name__ == "__main__":
    import outside  # the tests import this module by its name: be the same one

    sys.exit(outside.main())
