"""What the user measured, out of the shop file's records as Known numbers; tools.py puts them in place of assumptions.

A record that makes no sense, as after editing by hand, gives None.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from ..core.spread import about, factor_of
from . import shop as shop_records
from .learning import LEARNED
from .shop_entries import ENTRIES, MEASURED, Known

# what chapter 10 measures: field of Lathe -> its row in data/assumptions.csv, which is also the kind of its record
OWN_LATHE = {"taper": "lathe taper", "spindle_runout": "spindle run-out", "drift": "warm-up drift",
    "tailstock": "tailstock offset"}


def positive(record: dict[str, Any], *names: str) -> list[float] | None:
    """Facts of a record as numbers above zero; None where one is not."""
    found = [record.get(name) for name in names]
    ok = all(isinstance(v, int | float) and not isinstance(v, bool) and np.isfinite(v) and v > 0 for v in found)
    return [float(v) for v in found] if ok else None  # type: ignore[arg-type]


def measured(record: dict[str, Any], name: str, error: str = "") -> Known | None:
    """Value and standard error out of a record; nineteen times in twenty within two of them."""
    found = positive(record, name, error or f"{name}_error")
    if not found:
        return None
    value, off = found
    reach = min(2 * off, 0.95 * value)
    return Known(value, value - reach, value + reach, MEASURED,
        f"your own measurement, {str(record.get('when', ''))[:10]}", about(value, reach), record["id"])


def signed(record: dict[str, Any] | None, kind: str) -> Known | None:
    """What chapter 10 measured: `value` of either sign and `error`, its standard uncertainty; None where the record
    makes no sense. Nineteen times in twenty within two errors.
    """
    if not record:
        return None
    numbers = [record.get("value"), record.get("error")]
    if not all(isinstance(n, int | float) and not isinstance(n, bool) and np.isfinite(n) for n in numbers):
        return None
    value, error = (float(n) for n in numbers)  # type: ignore[arg-type]
    field = next(f for f, name in OWN_LATHE.items() if name == kind)
    span = ENTRIES["lathe"][field]
    if not (span.low <= value <= span.high and 0 <= error <= span.high):
        return None
    low = max(value - 2 * error, 0.0) if span.low == 0 else value - 2 * error
    return Known(value, low, value + 2 * error, MEASURED, f"your own measurement, {str(record.get('when', ''))[:10]}",
        about(value, 2 * error), record["id"])


def spring(record: dict[str, Any], name: str) -> Known | None:
    """A spring with its own low and high end, known to a factor."""
    found = positive(record, name, f"{name}_low", f"{name}_high")
    if not found or not found[1] <= found[0] <= found[2]:
        return None
    value, low, high = found
    return Known(value, low, high, MEASURED, f"your own measurement, {str(record.get('when', ''))[:10]}",
        factor_of(value, float(np.clip(np.sqrt(high / low), 1.02, 10))), record["id"])


def repeat(instrument: str) -> Known | None:
    """How one reading of an instrument scatters, from the latest repeated readings."""
    record = shop_records.latest("repeatability", name=instrument)
    found = positive(record, "scatter", "dof") if record else None
    if not record or not found:
        return None
    scatter, dof = found
    off = 2 * scatter / np.sqrt(2 * dof)
    return Known(scatter, max(scatter - off, 0.2 * scatter), scatter + off, MEASURED,
        f"your own {int(dof) + 1} readings, {str(record.get('when', ''))[:10]}",
        factor_of(scatter, float(np.exp(2 / np.sqrt(2 * dof)))), record["id"])


NINETEEN = 2 / 1.645   # widths of a bell within which nineteen in twenty lie, over nine in ten


def learned() -> dict[str, Known]:
    """What the user has accepted from measured parts, newest of each; see learning.accept."""
    found: dict[str, Known] = {}
    for record in shop_records.records(LEARNED):
        numbers = [record.get(k) for k in ("value", "low", "high")]
        ok = all(isinstance(n, int | float) and not isinstance(n, bool) and np.isfinite(n) for n in numbers)
        if isinstance(record.get("name"), str) and ok and numbers[1] <= numbers[0] <= numbers[2]:  # type: ignore[operator]
            value, low, high = (float(n) for n in numbers)  # type: ignore[arg-type]
            # a lesson's range holds nine times in ten; about and factor_of take nineteen in twenty
            bell = about(value, NINETEEN * (high - low) / 2)
            if record.get("kind_of_spread") == "ratio" and low > 0:
                bell = factor_of(value, float((high / low) ** (NINETEEN / 2)))
            found[record["name"]] = Known(value, low, high, MEASURED,
                f"learned from {record.get('count', 0)} measured results", bell, record["id"])
    return found
