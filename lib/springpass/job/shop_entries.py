"""What a shop's description may say, and reading it: every entry checked, every fault named with its remedy.

tools.py makes a shop of what comes out of `checked`.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from .. import stops
from ..core import tables
from ..core.quantity import Refused, is_number, said
from ..core.spread import Uncertain, between
from ..cutting import speeds

VERSION = 1
MEASURED, ASSUMED = "measured", "assumed"
EVIDENCE = (MEASURED, ASSUMED)
USES = ("rough", "finish", "face", "recess", "thread", "part off", "knurl", "inside thread", "inside recess")
MEASURES = ("outside", "bore", "depth", "anything")


@dataclass(frozen=True)
class Known:
    """One number of the shop: value, the range it lies in, and how it came to be known."""

    value: float
    low: float
    high: float
    known: str            # measured or assumed
    says: str = ""        # where it comes from
    range: Uncertain = field(default_factory=lambda: between(0, 0))   # for spread.sample
    record: int | None = None          # the shop file's record that it comes from

    @property
    def measured(self) -> bool:
        return self.known == MEASURED


def known(value: float, low: float | None = None, high: float | None = None, how: str = ASSUMED, says: str = "",
        record: int | None = None, spread: Uncertain | None = None) -> Known:
    """A Known with a flat range, or another `spread`. Raises Refused where the range does not hold the value."""
    low, high = float(value if low is None else low), float(value if high is None else high)
    if not low <= value <= high:
        raise Refused(f"The value {value:g} lies outside its own range, {low:g} to {high:g}. Put the range right.")
    return Known(float(value), low, high, how, says, spread or between(low, high), record)


# ---- the schema: what an entry may say ------------------------------------------------------------


@dataclass(frozen=True)
class Field:
    """One line of an entry."""

    kind: str                        # number, text, one of, some of, yes or no
    low: float = 0.0
    high: float = 0.0
    unit: str = "mm"
    options: Callable[[], Any] = tuple
    default: Any = None              # None: it must be there


def _n(low: float, high: float, unit: str = "mm", default: Any = None) -> Field:
    return Field("number", low, high, unit, default=default)


def _names(table: str, column: str) -> Field:
    return Field("one of", options=lambda: tables.names(table, column))


TEXT, YES = Field("text"), Field("yes or no", default=False)
ENTRIES: dict[str, dict[str, Field]] = {
    "lathe": {"name": TEXT, "speeds": Field("speeds"), "power": _n(0.02, 50, "kW"), "efficiency": _n(0.3, 1, "1"),
    "swing": _n(20, 2000), "between_centres": _n(20, 5000), "spindle_bore": _n(1, 500), "dial_step": _n(0.0005, 0.5),
    "live_centre": YES, "steady_rest": YES, "stop": Field("one of", options=lambda: stops.names_of("stop")),
    "touch": Field("one of", options=lambda: stops.names_of("touch")),
    "taper": _n(-0.01, 0.01, "mm of diameter per mm", 0.0), "spindle_runout": _n(0, 1, "mm", 0.0),
    "drift": _n(-1, 1, "mm", 0.0), "tailstock": _n(-20, 20, "mm", 0.0)},
    "holder": {"name": _names("holders", "holder"), "stiffness": _n(1e3, 1e7, "N/mm", 0.0),
    "rotation": _n(1e5, 1e11, "N mm/rad", 0.0), "damping": _n(0.001, 0.4, "1", 0.0)},
    "gauges": {"which": Field("text", default=""), "sizes": Field("sizes", default=())},
    "chucks": {"name": TEXT, "kind": _names("workholding_jaws", "kind"), "largest": _n(1, 2000), "smallest": _n(0, 500),
    "runout": _n(0, 1)},
    "collets": {"name": TEXT, "smallest": _n(0.1, 200), "largest": _n(0.1, 200), "runout": _n(0, 1)},
    "tools": {"name": TEXT, "uses": Field("some of", options=lambda: USES),
    "material": Field("one of", options=lambda: speeds.TOOLS), "edge": _names("edges", "edge"),
    "nose_radius": _n(0.01, 5), "entering_angle": _n(20, 120, "degrees"), "width": _n(0.2, 20, "mm", 0.0),
    "reach": _n(1, 200, "mm", 0.0), "smallest_bore": _n(1, 200, "mm", 0.0)},
    "bars": {"name": TEXT, "diameter": _n(1.5, 60), "material": _names("bar_materials", "bar_material"),
    "longest": _n(5, 400), "smallest_bore": _n(2, 200), "nose_radius": _n(0.01, 2), "edge": _names("edges", "edge"),
    "entering_angle": _n(30, 110, "degrees"), "flat_bottom": YES},
    "drills": {"name": TEXT, "sizes": Field("sizes"), "point_angle": _n(60, 180, "degrees"),
    "material": Field("one of", options=lambda: speeds.TOOLS)},
    "reamers": {"name": TEXT, "size": _n(1, 100), "class": Field("text"), "measured": _n(0.9, 105, "mm", 0.0),
    "kind": _names("reaming_reamers", "reamer"), "edge": _names("reaming_edges", "edge"),
    "holding": _names("reaming_holding", "holding"), "bottoming": YES},
    "instruments": {"name": TEXT, "instrument": _names("instruments", "instrument"),
    "measures": Field("one of", options=lambda: MEASURES), "low": _n(0, 2000), "high": _n(0, 2000)}}
SINGLE = ("lathe", "holder", "gauges")
HEAD = ("version", "name", "source", "place", "basis")


def checked(description: Any) -> dict[str, Any]:
    """The entries of a description, each number a Known. Raises Refused naming the entry and the remedy."""
    if not isinstance(description, dict):
        raise Refused("A shop is described by entries such as [lathe] and [[bars]]; this is not such a description.")
    if description.get("version") != VERSION:
        raise Refused(
            f"The shop's description has version {said(description.get('version'))}; this workbook reads version "
            f"{VERSION}. " f"Put “version = {VERSION}” in its first line, or fetch a newer workbook.")
    for key in description:
        if key not in HEAD and key not in ENTRIES:
            raise Refused(
                f"The shop's description has an entry {said(key)} that means nothing here. {_near(key, ENTRIES)}")
    parts: dict[str, Any] = {}
    for section in ENTRIES:
        given = description.get(section, {} if section in SINGLE else [])
        if section in SINGLE:
            if not isinstance(given, dict) or not given:
                raise Refused(
                    f"The shop's description needs one entry [{section}]. Add it; data/default_shop.toml shows how.")
            parts[section] = _entry(section, given, section)
        else:
            if not isinstance(given, list):
                raise Refused(f"{said(section)} must be a list of entries. Write [[{section}]] above each.")
            parts[section] = [_entry(section, e, f"{section}, entry {i}") for i, e in enumerate(given, 1)]
            names = [e["name"] for e in parts[section]]
            for twice in (n for n in names if names.count(n) > 1):
                raise Refused(f"Two entries of {section} are called {said(twice)}. Give each its own name.")
    return parts


def _near(wrong: str, right: Any) -> str:
    near = difflib.get_close_matches(str(wrong), [str(r) for r in right], 3, 0.5)
    return f"Did you mean {' or '.join(near)}?" if near else f"Choose one of: {', '.join(str(r) for r in right)}."


def _entry(section: str, given: Any, where: str) -> dict[str, Any]:
    if not isinstance(given, dict):
        raise Refused(f"{where} must be an entry with lines such as name = “…”.")
    named = given.get("name")
    where = f"{section}, “{named}”" if isinstance(named, str) and named.strip() else where
    schema = ENTRIES[section]
    for key in given:
        if key not in schema and key != "known":
            raise Refused(f"{where}: {said(key)} means nothing here. {_near(key, [*schema, 'known'])}")
    how = given.get("known")
    if how not in EVIDENCE:
        raise Refused(f"{where}: say known = “measured” or known = “assumed”; it was {said(how)}.")
    found: dict[str, Any] = {"known": how}
    for key, line in schema.items():
        if key not in given and line.default is None:
            raise Refused(f"{where}: {said(key)} is missing. Add a line {key} = … "
                f"{f'in {line.unit}' if line.kind == 'number' else ''}".rstrip() + ".")
        found[key] = _value(given.get(key, line.default), line, f"{where}: {key}", how, key not in given)
    for low, high in (("smallest", "largest"), ("low", "high")):
        if low in found and found[low].value > found[high].value:
            raise Refused(f"{where}: {low} is above {high}. Swap them.")
    return found


def _value(given: Any, line: Field, where: str, how: str, absent: bool) -> Any:
    if line.kind == "number":
        return known(0.0) if absent else _number(given, line, where, how)
    if line.kind == "yes or no":
        if not isinstance(given, bool):
            raise Refused(f"{where} must be true or false; it was {said(given)}.")
        return given
    if line.kind == "text":
        if not isinstance(given, str) or (not given.strip() and not absent) or len(given) > 200:
            raise Refused(f"{where} must be a short text; it was {said(given)}.")
        return given.strip()
    if line.kind == "one of":
        if given not in line.options():
            raise Refused(f"{where} cannot be {said(given)}. {_near(given, line.options())}")
        return given
    if line.kind == "some of":
        if not isinstance(given, (list, tuple)) or not given or any(g not in line.options() for g in given):
            raise Refused(f"{where} must be a list out of: {', '.join(line.options())}; it was {said(given)}.")
        return tuple(given)
    if line.kind == "speeds":
        try:
            return tuple(float(s) for s in speeds.steps(tuple(given) if isinstance(given, list) else given))
        except Refused as refusal:
            raise Refused(f"{where}: {refusal}") from None
    return _sizes(given, where)


def _number(given: Any, line: Field, where: str, how: str) -> Known:
    own = given if isinstance(given, dict) else {"value": given}
    for key in own:
        if key not in ("value", "low", "high", "known", "says"):
            raise Refused(
                f"{where}: {said(key)} means nothing here; a number may say value, low, high, known and says.")
    how = own.get("known", how)
    if how not in EVIDENCE:
        raise Refused(f"{where}: known must be “measured” or “assumed”; it was {said(how)}.")
    numbers = [own.get("value"), own.get("low", own.get("value")), own.get("high", own.get("value"))]
    for n in numbers:
        if (isinstance(n, bool) or not isinstance(n, int | float) or not np.isfinite(n)
                or not line.low <= n <= line.high):
            span = f"{said(line.low)} to {said(line.high)} {line.unit}".removesuffix(" 1")
            raise Refused(f"{where} is {said(n)}, but must be a number from {span}. Put it right.")
    try:
        value, low, high = (float(n) for n in numbers if n is not None)
        return known(value, low, high, how, str(own.get("says", "")))
    except Refused as refusal:
        raise Refused(f"{where}: {refusal}") from None


def _sizes(given: Any, where: str) -> tuple[float, ...]:
    if isinstance(given, dict):
        first, step, last = (given.get(key) for key in ("first", "step", "last"))
        if not (is_number(first) and is_number(step) and is_number(last)):
            raise Refused(f"{where} must be a list of sizes, or {{first = 1, step = 0.5, last = 13}}.")
        if not (step > 0 and first <= last and (last - first) / step < 1000):
            raise Refused(f"{where}: first, step and last do not make a run of sizes. Check them.")
        given = [round(first + i * step, 6) for i in range(int((last - first) / step + 1e-9) + 1)]
    if not isinstance(given, (list, tuple)) or any(
            isinstance(s, bool) or not isinstance(s, (int, float)) or not 0 < s < 1000 for s in given):
        raise Refused(f"{where} must be a list of sizes in mm, such as [8, 9.8, 10].")
    return tuple(float(s) for s in given)
