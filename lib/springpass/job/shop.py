"""The user's own tools and measured results, as records in `shop.json` in their own folder (core/files.py).

    shop.add("holder", name="tool post", stiffness=31000.0)   # -> the record, with its number
    shop.latest("holder", name="tool post")                   # -> the record or None
    shop.records("reamed hole")                               # -> all of that kind, oldest first
    shop.forget(record["id"]); shop.restore(record["id"])     # nothing is ever erased
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from datetime import datetime
from typing import Any

from ..core.files import VERSION, change, load
from ..core.quantity import Refused


def add(kind: str, **facts: object) -> dict[str, Any]:
    """Append one record and return it with its number and time. Raises Refused if it cannot be saved."""
    return add_all(kind, [facts])[0]


def add_all(kind: str, rows: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """Append several records in one go, all or none; returns them with their numbers. Raises Refused if they cannot be
    saved.
    """
    if not isinstance(kind, str) or not kind.strip():
        raise Refused("A record needs a kind, such as “reamed hole”.")
    rows = list(rows)
    made: list[dict[str, Any]] = []

    def append(shop: dict[str, Any]) -> dict[str, Any]:
        first = 1 + max((r["id"] for r in shop["records"]), default=0)
        made[:] = [{"when": datetime.now().isoformat(timespec="seconds"), **facts, "id": first + i, "kind": kind} for i,
            facts in enumerate(rows)]
        shop["records"] += made
        return shop

    change("shop", append, {"version": VERSION, "records": []}, _sound_shop)
    return made


def records(kind: str, **facts: Any) -> list[dict[str, Any]]:
    """All records of a kind whose facts match, oldest first, without those forgotten."""
    shop = load("shop", {"version": VERSION, "records": []}, _sound_shop)
    return [r for r in shop["records"] if r["kind"] == kind and not r.get("forgotten")
        and all(r.get(name) == wanted for name, wanted in facts.items())]


def latest(kind: str, **facts: Any) -> dict[str, Any] | None:
    """The newest matching record, or None."""
    found = records(kind, **facts)
    return found[-1] if found else None


def numbers(record: dict[str, Any] | None, *names: str) -> tuple[float, ...]:
    """Facts of a record as numbers above zero; nothing at all where one is missing or makes no sense, as after
    editing by hand.
    """
    found = [record.get(name) for name in names] if record else []
    ok = all(isinstance(v, int | float) and not isinstance(v, bool) and 0 < v < math.inf for v in found)
    return tuple(float(v) for v in found) if ok else ()  # type: ignore[arg-type]


def forget(number: int) -> None:
    """Leave a record out from now on; `restore` brings it back. Raises Refused for an unknown number."""
    _mark([number], True)


def forget_all(numbers: Iterable[int]) -> None:
    """Leave several records out in one go, all or none. Raises Refused for an unknown number."""
    _mark(list(numbers), True)


def restore(number: int) -> None:
    """Take a forgotten record in again. Raises Refused for an unknown number."""
    _mark([number], False)


def _mark(numbers: list[int], forgotten: bool) -> None:
    def mark(shop: dict[str, Any]) -> dict[str, Any]:
        known = {r["id"]: r for r in reversed(shop["records"])}
        for number in numbers:
            if number not in known:
                raise Refused(f"There is no record number {number} in your shop file.")
            known[number]["forgotten"] = forgotten
        return shop

    change("shop", mark, {"version": VERSION, "records": []}, _sound_shop)


def _sound_shop(data: Any) -> bool:
    return (isinstance(data, dict) and isinstance(data.get("records"), list)
        and all(isinstance(r, dict) and isinstance(r.get("id"), int) and isinstance(r.get("kind"), str)
        for r in data["records"]))
