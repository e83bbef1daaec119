"""What measured parts teach: prediction against result, and estimates that sharpen with every part.

Four things are learned, each a textbook update whose uncertainty is kept:

- force factor and holder stiffness together: a boring bar bends by 2 F (c φ + ψ) on diameter, c the bar's
  own compliance, φ the factor on the tabulated force, ψ = φ / holder stiffness; turned work by 2 F c φ.
  In (φ, ψ) that is a straight-line model with a normal prior and known reading error;
- reamer oversize: mean and scatter of hole less reamer, both unknown (normal and scaled inverse chi-squared);
- own repeatability with a gauge: the scatter of repeated readings (scaled inverse chi-squared).

Every estimate is worked out anew from the prior and all results kept, so forgetting a record undoes
exactly what it taught. Nothing learned is used in a plan until `accept` has written it down, and
`withdraw` takes that back.
"""

from __future__ import annotations

import contextlib
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import MISSING, asdict, dataclass, fields
from functools import lru_cache
from statistics import NormalDist
from typing import Any

import numpy as np

from ..boring_bar.bending import compliance
from ..core import tables
from ..core.quantity import Refused, number, positive
from ..core.spread import likely, points
from ..reaming import log as reaming_log
from . import shop as shop_records
from .bayes import Scatter, finite, learn_line, learn_scatter, learn_sd
from .results import Cause, Operation, Plan

RESULT, LEARNED, EXPECTED = "measured feature", "learned", "expected features"   # kinds of record in shop.py
FORCE, HOLDER, REAMER, REPEAT = "force factor", "holder stiffness", "reamer oversize", "repeatability"
TURNED, BORED, REAMED, OTHER = "turned", "bored", "reamed", "other"
MADE = (TURNED, BORED, REAMED, OTHER)
FAR = 0.5            # mm off the prediction: a slipped digit rather than a result
FORCE_FACTOR = 1.25  # tabulated cutting forces hold to this factor, nineteen times in twenty (see cutting.py)

# ---- what was expected and what came out -----------------------------------------------------------


@dataclass(frozen=True)
class Expected:
    """What a sheet says of one feature. Sizes in mm; the likely range is nine times in ten."""

    feature: str
    made: str              # turned, bored, reamed or other
    nominal: float
    predicted: float       # size that should come out with the dial set as the sheet says
    low: float
    high: float
    dialled: float = 0.0   # size the tool was set to; zero: not known
    force: float = 0.0     # N, thrust by the tables; zero where bending teaches nothing
    compliance: float = 0.0   # mm/N: a bar without its holder, or turned work with all that holds it
    reamer: float = 0.0    # mm, the reamer's own diameter
    lower: float = 0.0     # what the drawing allows, sizes in mm; both zero: nothing
    upper: float = 0.0
    instrument: str = ""   # as in data/instruments.csv


@dataclass(frozen=True)
class Result:
    """One feature measured: the mean of its readings beside what was expected."""

    expected: Expected
    measured: float
    readings: tuple[float, ...]
    off: float             # measured less predicted
    surprise: float        # in standard deviations of the prediction
    allowed: bool | None   # inside what the drawing allows; None where it says nothing


def check_expected(e: Expected) -> Expected:
    """The same, if it makes sense. Raises Refused naming the feature."""
    if not isinstance(e.feature, str) or not e.feature.strip():
        raise Refused("A feature needs a name, such as “bore 10 H7”.")
    if e.made not in MADE:
        raise Refused(f"{e.feature}: it is made one of these ways: {', '.join(MADE)}; not “{e.made}”.")
    for name in ("nominal", "predicted", "low", "high", "dialled", "force", "compliance", "reamer", "lower", "upper"):
        positive(getattr(e, name), f"{e.feature}: {name}", zero=True)
    if not e.low <= e.predicted <= e.high:
        raise Refused(
            f"{e.feature}: the predicted size {e.predicted:g} mm lies outside its own range. Put the range right.")
    return e


def expected_of(plan: Plan) -> tuple[Expected, ...]:
    """What a plan expects of each toleranced size, ready for `keep_expected` and for the page of what came out.

    Of the known shifts only the bending can teach; the rest is taken off. A bar's own compliance comes from the shop.
    """
    found = []
    for b in plan.budgets:
        o = plan.operation(b.operation)
        sized = b.kind == "size"
        made = {"ream": REAMED, "bore": BORED, "finish turn": TURNED}.get(o.kind, OTHER) if sized else OTHER
        bends = sum(share.shift for share in b.shares if share.name in (Cause.WORK_BENDS, Cause.BAR_BENDS))
        force, give = ((25.0, abs(bends) / 50) if made == TURNED else _bar_force(plan.shop, o, bends) if made == BORED
            else (0.0, 0.0))
        reamer = (
            next((r.measured.value for r in getattr(plan.shop, "reamers", ()) if r.name == o.tool and r.measured), 0.0)
            if made == REAMED else 0.0)
        gauge = next((g.instrument for g in getattr(plan.shop, "instruments", ()) if g.name == o.measure), "")
        size, taught = b.size, force > 0 and give > 0 and bends != 0
        found.append(
            check_expected(
            Expected(f"{b.surface} {plan.part.surface(b.of).says}" if sized else b.surface, made, b.nominal,
            max(size.value, 0.0), max(min(size.low, size.value), 0.0), max(size.high, size.value),
            size.value - bends if taught else 0.0, force if taught else 0.0, give if taught else 0.0, reamer, b.low,
            b.high, gauge)))
    return tuple(found)


def _bar_force(shop: Any, o: Operation, bends: float) -> tuple[float, float]:
    """Thrust behind a predicted bending, and the bar's compliance without the holder's spring; zeros where the bar is
    unknown.
    """
    bar = next((x for x in getattr(shop, "bars", ()) if x.name == o.tool), None)
    if bar is None or not o.tool_stickout:
        return 0.0, 0.0
    e, nu = (tables.fact("bar_materials", bar_material=bar.material, property=p).value for p in ("E", "nu"))
    give = float(compliance([(o.tool_stickout, bar.diameter.value)], e, nu, np.inf, shop.holder.rotation.value))
    return abs(bends) / (2 * (give + 1 / shop.holder.stiffness.value)), give


def compare(expected: Expected, readings: Any) -> Result:
    """A result beside its prediction. Raises Refused where a reading cannot be one."""
    check_expected(expected)
    y = finite(readings)
    if not y.size:
        raise Refused(f"{expected.feature}: no reading was given. Leave the feature out, or measure it.")
    for reading in y:
        if abs(reading - expected.predicted) > FAR:
            raise Refused(f"{expected.feature}: {reading:g} mm is more than {FAR:g} mm off what was expected "
                f"({expected.predicted:.3f} mm). " "Check for a slipped digit; write the full size, in mm or in inch.")
    off = float(y.mean()) - expected.predicted
    sd = max((expected.high - expected.low) / (2 * 1.6449), 1e-4)
    inside = None if not expected.upper else bool(expected.lower <= y.mean() <= expected.upper)
    return Result(expected, float(y.mean()), tuple(float(r) for r in y), off, off / sd, inside)


def read_results(text: str, expected: Sequence[Expected]) -> tuple[Result, ...]:
    """Typed lines “feature: reading reading …” beside what was expected; an empty reading leaves a feature out. Raises
    Refused.

    A feature may be named by its number on the sheet or by the start of its name. Readings are in mm, or in inches
    where a line
    says so or where at least one reading of the text can be nothing else (0.7497 for a 19.05 mm seat).
    """
    found: dict[str, Result] = {}
    lines: list[tuple[int, Expected, list[float], float]] = []
    for count, line in enumerate(text.splitlines(), 1):
        if not line.strip():
            continue
        name, colon, rest = line.partition(":")
        if not colon:
            raise Refused(f"Line {count} (“{line.strip()[:40]}”) needs the feature, a colon and the size, like: "
                f"{expected[0].feature if expected else 'bore'}: 10.004.")
        wanted = _named(name.strip(), expected, count)
        said = {25.4 if unit.group() != "mm" else 1.0 for unit in _UNIT.finditer(rest)}
        if len(said) > 1:
            raise Refused(f"Line {count}: mm and inch on one line. Write all readings of a feature in one of them.")
        pieces = _UNIT.sub(" ", rest.replace(";", " ")).split()
        if not pieces:
            continue
        if any(wanted is other for _, other, _, _ in lines):
            raise Refused(f"Line {count}: {wanted.feature} stands there twice. Put its readings on one line.")
        try:
            lines.append((count, wanted, [number(piece) for piece in pieces], said.pop() if said else 0.0))
        except Refused as refusal:
            raise Refused(f"Line {count}: {refusal}") from None
    inch = any(not scale and all(abs(y - e.predicted) > FAR >= abs(25.4 * y - e.predicted) for y in readings) for _, e,
        readings, scale in lines)
    for count, wanted, readings, scale in lines:
        factor = scale or (25.4 if inch else 1.0)
        try:
            found[wanted.feature] = compare(wanted, [factor * y for y in readings] if factor != 1 else readings)
        except Refused as refusal:
            raise Refused(f"Line {count}: {refusal}") from None
    return tuple(found.values())


_UNIT = re.compile(r"(?<![a-z])(?:mm|inches|inch|in)\b|[\"″]")


def _named(name: str, expected: Sequence[Expected], count: int) -> Expected:
    if name.isdigit() and 1 <= int(name) <= len(expected):
        return expected[int(name) - 1]
    same = [e for e in expected if e.feature.lower() == name.lower()] or [
        e for e in expected if name and e.feature.lower().startswith(name.lower())]
    if len(same) == 1:
        return same[0]
    known = ", ".join(e.feature for e in expected) or "nothing"
    raise Refused(
        f"Line {count}: “{name[:40]}” is {'more than one feature' if same else 'no feature of this sheet'}. It has: "
        f"{known}.")


# ---- records ----------------------------------------------------------------------------------------


def keep_expected(name: str, features: Iterable[Expected]) -> dict[str, Any]:
    """Remember what a sheet predicts, so that results can be set beside it another day."""
    return shop_records.add(EXPECTED, name=name, features=[asdict(check_expected(f)) for f in features])


def kept_expected() -> tuple[str, tuple[Expected, ...]] | None:
    """Name and features of the newest sheet remembered, or None."""
    record = shop_records.latest(EXPECTED)
    if record is None:
        return None
    features = record.get("features")
    if "name" not in record or not isinstance(features, list) or not all(map(_is_expected, features)):
        return None   # edited by hand
    try:
        return str(record["name"]), tuple(check_expected(Expected(**feature)) for feature in features)
    except Refused:
        return None


def _is_expected(row: Any) -> bool:
    """Whether what a record holds has the shape of an Expected; its values are checked afterwards."""
    parts = fields(Expected)
    needed = {part.name for part in parts if part.default is MISSING}
    return isinstance(row, dict) and needed <= row.keys() <= {part.name for part in parts}


def keep_results(results: Sequence[Result], part: str = "") -> list[int]:
    """Save results, one record each; returns their numbers. Raises Refused."""
    if not results:
        raise Refused("Nothing has been measured yet. Type a size behind a feature first.")
    rows = [{"part": part, "expected": asdict(r.expected), "readings": list(r.readings)} for r in results]
    last = [{name: record.get(name) for name in rows[0]} for record in shop_records.records(RESULT)[-len(rows):]]
    if last == json.loads(json.dumps(rows)):
        raise Refused("These very readings were the last ones kept, so they are not counted a second time. If another "
            "part really measured the same to the last digit, give it another name in its description.")
    return [
        record["id"] for record in shop_records.add_all(RESULT, rows)
    ]  # all or none, so that a second try counts nothing twice


def kept_results() -> tuple[Result, ...]:
    """All results kept and not forgotten, oldest first; records that make no sense are passed over."""
    found = []
    for record in shop_records.records(RESULT):
        if not _is_expected(record.get("expected")) or "readings" not in record:
            continue   # edited by hand
        with contextlib.suppress(Refused):
            found.append(compare(Expected(**record["expected"]), record["readings"]))
    return tuple(found)


# ---- what the shop has learned ----------------------------------------------------------------------


@dataclass(frozen=True)
class Lesson:
    """One thing learned: before and after, each with the range it likely lies in (nine times in ten)."""

    kind: str                            # FORCE, HOLDER, REAMER or REPEAT
    unit: str
    before: tuple[float, float, float]   # low, value, high
    after: tuple[float, float, float]
    count: int                           # results, holes or degrees of freedom it rests on
    instrument: str = ""                 # of a repeatability

    @property
    def name(self) -> str:
        """Its name in the shop's file."""
        return f"{self.kind}, {self.instrument}" if self.instrument else self.kind

    @property
    def narrower(self) -> float:
        """Width of the range after, as a share of that before."""
        return (self.after[2] - self.after[0]) / max(self.before[2] - self.before[0], 1e-300)


def lessons(results: Sequence[Result], holder_stiffness: tuple[float, float] = (30e3, 2.0),
        holes: Iterable[Mapping[str, Any]] = (), repeats: Iterable[Mapping[str, Any]] = ()) -> tuple[Lesson, ...]:
    """What results teach. holder_stiffness: N/mm and the factor it is known to; holes: the log of reamed holes;
    repeats: records of repeated readings with name, scatter (mm) and dof. Only what has results behind it is given."""
    return (*_bending(results, *holder_stiffness), *_reaming(results, holes), *_repeating(results, repeats))


def _reading_noise(e: Expected) -> float:
    """Standard deviation of one result about its bending: scale and setting, from the gauge's own table, mm."""
    for r in tables.rows("instruments"):
        if r["instrument"] == e.instrument and r["input"] == "repeat":
            return float(np.hypot(2e-3, 2 * r["value"] / 1e3))
    return 4e-3


def _bending(results: Sequence[Result], stiffness: float, factor: float) -> tuple[Lesson, ...]:
    used = [
        r for r in results if r.expected.made in (TURNED, BORED) and r.expected.force > 0 and r.expected.dialled > 0]
    mean, covariance = bending_prior(stiffness, factor)
    if not used:
        return ()
    sign = np.array([-1.0 if r.expected.made == BORED else 1.0 for r in used])
    force, bar = (np.array([getattr(r.expected, n) for r in used]) for n in ("force", "compliance"))
    moved = sign * np.array([r.measured - r.expected.dialled for r in used])
    after, doubt = learn_line(mean, covariance,
        np.column_stack([2 * force * bar, np.where(sign < 0, 2e-4 * force, 0.0)]), moved,
        [_reading_noise(r.expected) for r in used])
    pairs = (_pairs(mean, covariance), _pairs(after, doubt))
    return tuple(Lesson(kind, unit, _range(pairs[0][i]), _range(pairs[1][i]), len(used)) for i,
        (kind, unit) in enumerate(((FORCE, "1"), (HOLDER, "N/mm"))))


def bending_prior(stiffness: float, factor: float) -> tuple[np.ndarray, np.ndarray]:
    """Prior of (φ, ψ in 1e-4 mm/N): the force factor near 1, the holder's compliance to a factor, and their product."""
    c = 1e4 / float(positive(stiffness, "the holder's stiffness", "N/mm"))
    if not (np.isfinite(factor) and 1 < factor <= 100):
        raise Refused(f"The holder's stiffness must be known to a factor above 1; it was {factor}.")
    wide, other = np.log(FORCE_FACTOR) / 2, np.log(factor) / 2
    spread = c * np.sqrt(np.expm1(other**2))  # standard deviation of a ratio-spread compliance about its middle
    return np.array([1.0, c]), np.array(
        [[wide**2, c * wide**2], [c * wide**2, (c * wide) ** 2 + spread**2 * (1 + wide**2)]])


def _pairs(mean: np.ndarray, covariance: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Force factor and stiffness drawn at the fixed points; draws that are not above zero are left out."""
    root = np.linalg.cholesky(covariance)
    phi, psi = mean[:, None] + root @ _two_bells()
    ok = (phi > 0.05) & (psi > 0.02 * mean[1])
    return phi[ok], 1e4 * phi[ok] / psi[ok]


@lru_cache(maxsize=1)
def _two_bells() -> np.ndarray:
    return np.array([[NormalDist().inv_cdf(u) for u in row] for row in points(2)])


def _range(draws: np.ndarray) -> tuple[float, float, float]:
    found = likely(draws)
    return found.low, found.value, found.high


REAMER_PRIOR = Scatter(mean=0.008, weight=1.0, dof=3.0, sd=0.008)   # what the reaming chapter's model leaves open, mm


def _reaming(results: Sequence[Result], holes: Iterable[Mapping[str, Any]]) -> tuple[Lesson, ...]:
    over = [r.measured - r.expected.reamer for r in results if r.expected.made == REAMED and r.expected.reamer > 0]
    over += [float(h["hole"]) - float(h["reamer"]) for h in reaming_log.like(holes)]
    if not over:
        return ()
    after = learn_scatter(REAMER_PRIOR, over)
    before, now = ((s.next_range()[0], s.mean, s.next_range()[1]) for s in (REAMER_PRIOR, after))
    return (Lesson(REAMER, "mm", before, now, len(over)),)


def _repeating(results: Sequence[Result], repeats: Iterable[Mapping[str, Any]]) -> tuple[Lesson, ...]:
    known: dict[str, list[tuple[float, float]]] = {}
    for r in results:
        if r.expected.instrument and len(r.readings) > 1:
            known.setdefault(r.expected.instrument, []).append(
                (float(np.std(r.readings, ddof=1)), len(r.readings) - 1.0))
    for record in repeats:
        sd, dof = record.get("scatter"), record.get("dof")
        if isinstance(sd, int | float) and isinstance(dof, int | float) and sd > 0 and dof > 0:
            known.setdefault(str(record.get("name")), []).append((float(sd), float(dof)))
    found = []
    for name, scatters in known.items():
        row = next((r for r in tables.rows("instruments") if r["instrument"] == name and r["input"] == "repeat"), None)
        if row is None:
            continue
        before = Scatter(0.0, 1.0, 3.0, row["value"] / 1e3)   # the table's figure counts as much as four readings
        after = learn_sd(before, scatters)
        both = [(s.sd_range()[0], s.sd, s.sd_range()[1]) for s in (before, after)]
        found.append(Lesson(REPEAT, "mm", both[0], both[1], int(sum(d for _, d in scatters)), name))
    return tuple(found)


# ---- using it, and taking it back --------------------------------------------------------------------


def accept(found: Sequence[Lesson]) -> list[int]:
    """Write lessons down for plans to use; returns the records' numbers. Nothing else ever does this. Raises Refused.
    """
    if not found:
        raise Refused("There is nothing learned yet to use. Measure a part and keep its results first.")
    rows = [
        {"name": x.name, "unit": x.unit, "value": x.after[1], "low": x.after[0], "high": x.after[2], "count": x.count,
        "kind_of_spread": "bell" if x.kind == REAMER else "ratio"} for x in found]
    return [record["id"] for record in shop_records.add_all(LEARNED, rows)]


def accepted() -> list[dict[str, Any]]:
    """The lessons in use, the newest of each name."""
    return list({r.get("name"): r for r in shop_records.records(LEARNED)}.values())


def withdraw() -> list[int]:
    """Take back everything accepted; returns the records' numbers for shop.restore. Raises Refused where there is
    nothing.
    """
    numbers = [r["id"] for r in shop_records.records(LEARNED)]
    if not numbers:
        raise Refused("Nothing learned is in use, so there is nothing to take back.")
    shop_records.forget_all(numbers)
    return numbers
