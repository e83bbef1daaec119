"""Every field of every answer: made wrong alone, does a comparison with the outside notice, and does a page use it?

    python tests/outside.py --fields            the table: what each field is, the comparison that notices, the page
                                                that uses it; stored in outside_fields.csv
    python tests/outside.py --fields --only NAME    those of one model, all comparisons asked; nothing is stored
    python tests/outside.py --fields --check        every fortieth field again, by the comparison that noticed it

A field is named by the model that answers with it and by its class: "boring_bar.stickout.check_stickout Cut.left". Made
wrong is: seven in a hundred more, one more of a count, the other of yes and no, another name. Three kinds:

    checked     a comparison in tests/published/ or tests/independent/ fails when this field alone is wrong
    setting     handed back as it was given, or a name or kind that only words hang on: in SETTINGS with the reason
    unchecked   neither; "used by" tells whether any page reads it
"""

from __future__ import annotations

import copy
import csv
import dataclasses
import fnmatch
import sys
import time
import warnings
from collections import defaultdict
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

import outside

STORED = Path(__file__).with_name("outside_fields.csv")
LOOKED_AT = 60   # answers of one model that are looked through for their fields

# Fields that nothing outside could be set beside, by reason; * stands for any run of letters.
SETTINGS: dict[str, tuple[str, ...]] = {
    "what was asked for, handed back as it was given": (
        "* Setup.*", "* Settings.*", "job.* Part.*", "job.* Surface.*", "* Uncertain.*", "* Known.*", "* Input.says",
        "* Input.shape", "* Input.dof", "* Input.top", "* Input.width", "* Input.value", "* Line.name", "* Line.input",
        "* Limits.code", "* Limits.size", "* Limits.thread", "* Limits.tolerance", "* Measured.code",
        "* Measured.inside", "* Measured.shape", "* Measured.face", "* Measured.nominal", "* Measured.lower",
        "* Measured.upper", "* SizeBudget.nominal", "* SizeBudget.of", "* SizeBudget.surface", "* Warm.surface",
        "* Way.surface", "* Batch.count", "* Batch.tolerance", "* Chart.readings", "* Repeatability.readings",
        "* NoseRunOut.angles", "* WarmUp.time", "* WarmUp.reading", "* Reading.reading", "* Move.jaw", "* Move.way",
        "* InBore.bore", "* InBore.clearance", "* BoreRoom.bore", "* Reamed.code", "* Reamed.size",
        "* CutSequence.cuts", "* Pattern.in_front", "* Stack.protectors", "* Stack.unit", "* Split.unit",
        "* Expected.*", "* Result.expected", "* Result.allowed", "* Result.measured", "* Result.readings",
        "* FinishCurve.feed", "* Seen.mates", "* StickoutCheck.setup", "* StickoutCheck.count",
        "* Seen.mean", "stops.depth.chain Chain.links", "stops.depth.chain Link.*",
        "drilling.sequence Plan.flat_bottom", "drilling.sequence Plan.point_angle", "* TurnedRound.distance",
        "* TurnedRound.way"),
    "a row of data/ or of the shop's own file, handed on": (
        "job.* Bar.*", "job.* Reamer.*", "job.* Chuck.*", "job.* Collets.*", "job.* Drills.*", "job.* GaugeSet.*",
        "job.* Gauges.*", "job.* Holder.*", "job.* Lathe.*", "job.* Shop.*", "job.* Tool.*", "job.* Instrument.*",
        "* Fact.*", "* Allowance.*", "* Undercut.*", "* Craft.*", "* Cut.table", "* Properties.emissivity",
        "stops.* GaugeSet.*", "* Shop.*", "* BoreFirst.wanted", "* Cone.length",
        "* OnMandrel.bears"),
    "nothing but what rounding leaves: the model has no curvature in one input alone": (
        "stops.depth.depth_budget Budget.shift", "stops.depth.stack_budget Budget.shift"),
    "a name, a kind or a source, on which only words hang": (
        "*.name", "*.kind", "*.source", "*.place", "*.basis", "*.note", "*.says", "*.unit", "*.label", "*.reason",
        "*.what", "*.chapter", "*.feature", "*.material", "*.edge", "*.tool", "*.shape", "*.set_name", "*.code",
        "*.instrument", "*.condition", "*.advice", "*.order_reason", "*.effort", "*.series", "* OrderReason.*",
        "*.title", "*.says", "*.needs", "*.lacks", "*.places", "*.bridges", "*.mouth_known", "*.log_refused",
        "*.skipped", "*.shortest_source"),
    "our own word for the chance beside it: holds from 90 %, at the edge from 50 % (tests/test_spread.py)": (
        "*.verdict", "* Reason.chance"),
    "the numbers beside it once more, along an axis or sample by sample, for the picture": (
        "*.samples", "*.curve", "* Ring.spectrum", "* Ring.spectrum_frequency", "* Ring.time", "* Ring.envelope",
        "*.angles", "*.rim_amplitudes"),
}


def setting(key: str) -> str:
    """Why this field has no comparison of its own; empty where it must have one."""
    return next((why for why, names in SETTINGS.items() if any(fnmatch.fnmatchcase(key, name) for name in names)), "")


def is_answer(thing: Any) -> bool:
    """An answer with named fields, defined by the library."""
    kind = type(thing)
    return kind.__module__.startswith("springpass.") and (dataclasses.is_dataclass(kind) or hasattr(kind, "_fields"))


def names_of(kind: type) -> tuple[str, ...]:
    return tuple(kind._fields if hasattr(kind, "_fields") else (part.name for part in dataclasses.fields(kind)))


def parts(thing: Any, depth: int = 0) -> Iterator[Any]:
    """Every answer with fields inside this one, itself included."""
    if depth > 6:
        return
    if is_answer(thing):
        yield thing
        for name in names_of(type(thing)):
            yield from parts(object.__getattribute__(thing, name), depth + 1)
    elif isinstance(thing, (tuple, list)):
        for part in thing[:40]:
            yield from parts(part, depth + 1)
    elif isinstance(thing, dict):
        for part in list(thing.values())[:40]:
            yield from parts(part, depth + 1)


def spoiled(thing: Any) -> Any:
    """The same with everything in it wrong; unchanged where there is nothing that could be."""
    if isinstance(thing, (bool, np.bool_)):
        return not thing
    if isinstance(thing, (int, np.integer)):
        return thing + 1
    if isinstance(thing, (float, np.floating)):
        return thing * 1.07
    if isinstance(thing, str):
        return thing + "?"
    if isinstance(thing, np.ndarray):
        return thing * 1.07 if thing.dtype.kind == "f" else ~thing if thing.dtype.kind == "b" else (
            thing + 1 if thing.dtype.kind in "iu" else thing)
    if isinstance(thing, dict):
        return {key: spoiled(part) for key, part in thing.items()}
    if is_answer(thing):
        return with_fields(thing, {name: spoiled(object.__getattribute__(thing, name))
                                   for name in names_of(type(thing))})
    if isinstance(thing, (tuple, list)):
        return type(thing)(spoiled(part) for part in thing)
    return thing


def with_fields(thing: Any, values: dict[str, Any]) -> Any:
    if hasattr(thing, "_fields"):
        return thing._replace(**values)
    new = copy.copy(thing)
    for name, value in values.items():
        object.__setattr__(new, name, value)
    return new


def spoiled_field(thing: Any, kind: str, field: str, depth: int = 0) -> Any:
    """The same with one field of one class wrong, wherever that class stands in it."""
    if depth > 6:
        return thing
    if is_answer(thing):
        values = {name: spoiled_field(object.__getattribute__(thing, name), kind, field, depth + 1)
                  for name in names_of(type(thing))}
        if type(thing).__name__ == kind:
            values[field] = spoiled(object.__getattribute__(thing, field))
        return with_fields(thing, values)
    if isinstance(thing, dict):
        return {key: spoiled_field(part, kind, field, depth + 1) for key, part in thing.items()}
    if isinstance(thing, (tuple, list)) and any(
            isinstance(part, (tuple, list, dict)) or is_answer(part) for part in thing):
        return type(thing)(spoiled_field(part, kind, field, depth + 1) for part in thing)
    return thing


class WrongField(outside.Wrong):
    """Stands in for every model: notes the fields of its answers and who reads them; makes one of them wrong."""

    def __init__(self) -> None:
        super().__init__()
        self.field = ("", "")
        self.fields: dict[str, set[str]] = defaultdict(set)   # model -> "Class.field"
        self.looked: dict[str, int] = defaultdict(int)
        self.read: set[str] = set()                           # "Class.field" read since it was emptied

    def __call__(self, name: str, given: tuple[Any, ...], named: dict[str, Any]) -> Any:
        self.called.add(name)
        found = self.plain[name](*given, **named)
        if name == self.wrong:
            return spoiled_field(found, *self.field)
        if not self.wrong and self.looked[name] < LOOKED_AT:
            self.looked[name] += 1
            for part in parts(found):
                kind = type(part)
                for field in names_of(kind):
                    value = object.__getattribute__(part, field)
                    if not same(spoiled(value), value):
                        self.fields[name].add(f"{kind.__name__}.{field}")
        return found

    def watch(self) -> None:
        """Note every field that is read of an answer; fields of a named tuple count as read."""
        for module in [m for name, m in list(sys.modules.items()) if name.startswith("springpass.")]:
            for kind in list(vars(module).values()):
                if isinstance(kind, type) and kind.__module__ == module.__name__ and dataclasses.is_dataclass(kind):
                    kind.__getattribute__ = self.reader({f.name for f in dataclasses.fields(kind)})  # type: ignore

    def reader(self, fields: set[str]) -> Callable[[Any, str], Any]:
        read, get = self.read, object.__getattribute__

        def __getattribute__(thing: Any, name: str) -> Any:
            if name in fields:
                read.add(f"{get(thing, '__class__').__name__}.{name}")
            return get(thing, name)

        return __getattribute__


def same(one: Any, two: Any) -> bool:
    """Whether two values are alike, as far as numbers and names go."""
    try:
        return bool(np.all(one == two))
    except (ValueError, TypeError):
        return repr(one) == repr(two)


class RunFields(outside.Run):
    """Runs the comparisons once; then again with each field of each answer wrong, by those that read it."""

    wrong: WrongField
    options = ("-m", "not slow")

    def __init__(self, only: str = "", stored: dict[str, dict[str, str]] | None = None, every: int = 1) -> None:
        super().__init__(True, only)
        self.wrong = WrongField()
        self.known, self.every = stored or {}, every
        self.reads: dict[str, set[str]] = {}
        self.by: dict[str, str] = {}       # "model Class.field" -> the test that noticed
        self.used: dict[str, str] = {}    # "model Class.field" -> the page that shows it
        self.keys: list[str] = []

    def pytest_collection_finish(self, session: Any) -> None:
        import springpass.pages.catalogue

        springpass.pages.catalogue.pages()
        super().pytest_collection_finish(session)
        if not self.known:
            self.wrong.watch()

    def pytest_runtest_protocol(self, item: Any) -> None:
        super().pytest_runtest_protocol(item)
        self.wrong.read.clear()

    def pytest_runtest_logreport(self, report: Any) -> None:
        super().pytest_runtest_logreport(report)
        if report.when == "call":
            self.reads[report.nodeid] = set(self.wrong.read)

    def pytest_runtestloop(self, session: Any) -> Any:
        """With a stored table: one comparison a field, those of every so many-th field."""
        if not self.known:
            return None
        items = {item.nodeid.partition("tests/")[2]: item for item in session.items}
        self.keys = [key for key, row in sorted(self.known.items()) if row["noticed by"]][:: self.every]
        for key in self.keys:
            item = items.get(self.known[key]["noticed by"])
            if item and self.notices_field(key, [item]):
                self.by[key] = item.nodeid.partition("tests/")[2]
        return True

    def pytest_sessionfinish(self, session: Any) -> None:
        if self.failed or self.known:
            return
        rows = dict(outside.ROWS)
        self.pages()
        self.keys = sorted((f"{name} {field}" for name, fields in self.wrong.fields.items() for field in fields
                            if self.only in name), key=lambda key: (key not in self.used, key))
        items = sorted(session.items, key=lambda item: self.seconds.get(item.nodeid, 9.0))
        before = load()
        for n, key in enumerate(self.keys):
            name, _, field = key.partition(" ")
            first = before.get(key, {}).get("noticed by", "")
            asked = [item for item in items if name in self.touched.get(item.nodeid, ())
                     and (field in self.reads.get(item.nodeid, ()) or not watched(field))]
            asked.sort(key=lambda item: not (first and item.nodeid.endswith(first)))
            if not setting(key) and not self.notices_field(key, asked):
                print(f"unnoticed: {key}, used by {self.used.get(key) or 'no page'}", file=sys.stderr, flush=True)
            if n % 50 == 0:
                print(f"{time.strftime('%H:%M:%S')} {n} of {len(self.keys)} fields", file=sys.stderr, flush=True)
        self.keys.sort()
        outside.ROWS.clear()
        outside.ROWS.update(rows)

    def notices_field(self, key: str, items: list[Any]) -> bool:
        name, _, field = key.partition(" ")
        kind, _, part = field.partition(".")
        self.wrong.field = (kind, part)
        found = self.notices(name, items)
        if found:
            self.by[key] = self.noticed[name]
        return found

    def pages(self) -> None:
        """Which page reads which field, at its usual setting and at two others."""
        from springpass.core.quantity import Refused, Say
        from springpass.pages import catalogue

        dice = np.random.default_rng(5)
        for page in catalogue.pages().values():
            for drawn in range(3):
                settings = some(dice, page) if drawn else {}
                outside.forget()
                self.wrong.called = set()
                self.wrong.read.clear()
                with warnings.catch_warnings(), np.errstate(all="ignore"):
                    warnings.simplefilter("ignore")
                    try:
                        page.answer(Say(), **settings)
                    except Refused:
                        continue
                for name in self.wrong.called:
                    for field in self.wrong.fields.get(name, ()):
                        if field in self.wrong.read or not watched(field):
                            self.used.setdefault(f"{name} {field}", page.name)


@cache
def named_tuples() -> frozenset[str]:
    """The library's classes whose reads cannot be noted."""
    return frozenset(kind.__name__ for name, module in list(sys.modules.items()) if name.startswith("springpass.")
                     for kind in list(vars(module).values()) if isinstance(kind, type) and hasattr(kind, "_fields"))


def watched(field: str) -> bool:
    """Whether reads of this field were noted: a named tuple's are not."""
    return field.partition(".")[0] not in named_tuples()


def some(dice: np.random.Generator, page: Any) -> dict[str, Any]:
    """Settings of a page anywhere in their spans."""
    import hunt

    return {what.name: hunt.typed(dice, what) for what in page.inputs
            if isinstance(what, (hunt.Slide, hunt.Choose, hunt.Tick)) and dice.random() < 0.5}


# ---- the table --------------------------------------------------------------------------------------------

COLUMNS = ("field", "kind", "noticed by", "used by", "why")


def table(run: RunFields) -> list[dict[str, str]]:
    rows = []
    for key in run.keys:
        by, why = run.by.get(key, ""), setting(key)
        kind = "checked" if by else "setting" if why else "unchecked"
        rows.append({"field": key, "kind": kind, "noticed by": by, "used by": run.used.get(key, ""),
                     "why": "" if by else why})
    return rows


def load() -> dict[str, dict[str, str]]:
    if not STORED.exists():
        return {}
    with STORED.open(encoding="utf-8", newline="") as file:
        return {row["field"]: row for row in csv.DictReader(file)}


def store(rows: list[dict[str, str]], path: Path = STORED) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, COLUMNS, lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


def counts(rows: list[dict[str, str]]) -> str:
    lines = ["| field of an answer | fields | of these used by a page |", "|---|---|---|"]
    for kind in ("checked", "setting", "unchecked"):
        these = [row for row in rows if row["kind"] == kind]
        lines.append(f"| {kind} | {len(these)} | {sum(bool(row['used by']) for row in these)} |")
    lines.append(f"| all | {len(rows)} | {sum(bool(row['used by']) for row in rows)} |")
    return "\n".join(lines)


def main(only: str = "", among: list[Path] | None = None) -> int:
    run = RunFields(only)
    outside.run(among=among or outside.FOLDERS, plugin=run)
    rows = table(run)
    for row in rows:
        if row["kind"] != "checked" or only:
            print(" | ".join(row[column] for column in COLUMNS))
    print("\n" + counts(rows))
    if not only and (among in (None, outside.FOLDERS)):
        store(rows)
    return int(any(row["kind"] == "unchecked" and row["used by"] for row in rows))


def check(every: int = 40) -> int:
    """Whether a field here and there is still noticed by the comparison of the stored table."""
    run = RunFields(stored=load(), every=every)
    outside.run(plugin=run)
    lost = [key for key in run.keys if key not in run.by]
    print(f"{len(run.by)} of {len(run.keys)} fields made wrong were noticed again", *lost, sep="\n  ")
    return int(bool(lost))
