"""A small shop: the lathe, what holds, what cuts, what measures, and how well each is known.

    shop_of_the_demo = default_shop()          # data/default_shop.toml
    mine = own_shop()                          # the user's file "tools", or the default; measured records in it
    keep(description)                          # a description as `own_shop().description` gives it, checked first

Every number is a `Known`: its value, the range it lies in, and whether it was measured or assumed.
What the user measured (a holder weighed, a bar tapped, springs of the lathe, ten readings, reamed
holes) comes out of the shop file and takes an assumption's place. What the shop has learned from
measured parts is used only after the user has accepted it (see learning.py).
"""

from __future__ import annotations

import contextlib
import copy
import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

from .. import stops
from ..core import files, tables
from ..core.quantity import Refused
from ..core.spread import factor_of
from ..reaming import log as reaming_log
from . import measured
from . import shop as shop_records
from .learning import HOLDER, REPEAT
from .measured import OWN_LATHE
from .shop_entries import ENTRIES, MEASURED, SINGLE, USES, Known, checked, known

FILE = "tools"       # the user's own shop in their folder


@dataclass(frozen=True)
class Lathe:
    """The lathe. `supports` has the springs of spindle, centres and steady in N/mm (tilt: N mm/rad)."""

    name: str
    speeds: tuple[float, ...]
    power: Known              # kW at the motor
    efficiency: Known
    swing: Known
    between_centres: Known
    spindle_bore: Known
    dial_step: Known          # one line of the cross slide, mm on diameter
    live_centre: bool
    steady_rest: bool
    stop: str                 # kind of carriage stop, as in data/touch_off.csv
    touch: str                # how the tool is touched off
    supports: dict[str, Known]
    taper: Known              # mm of diameter per mm of length from the spindle's and slides' lie; + free end larger
    spindle_runout: Known     # indicator's full travel at the nose, mm
    drift: Known              # on radius over the first hour, mm; + part larger
    tailstock: Known          # sideways at the centre, mm; + towards the operator, tailstock end smaller


@dataclass(frozen=True)
class Holder:
    """What the boring bars are held in: stiffness N/mm, rotation N mm/rad, damping as a share of critical."""

    name: str
    stiffness: Known
    rotation: Known
    damping: Known

    @property
    def guessed(self) -> bool:
        """True where the springs are the table's, which are for a slim shank, and not the shop's own."""
        table = tables.fact("holders", holder=self.name, property="stiffness")
        mine = self.stiffness
        return not mine.measured and (mine.value, mine.says) == (table.value, table.source)


@dataclass(frozen=True)
class Gauges:
    """The box of gauge blocks, ready for stops.gauge_stack."""

    box: Any
    known: str


SOFT_JAWS = "three soft jaws bored to size"   # a kind in data/workholding_jaws.csv


@dataclass(frozen=True)
class Chuck:
    """A chuck; `kind` as in data/workholding_jaws.csv, sizes it grips and its run-out in mm."""

    name: str
    kind: str
    largest: Known
    smallest: Known
    runout: Known

    @property
    def soft(self) -> bool:
        """Are its jaws bored to the work?"""
        return self.kind == SOFT_JAWS


@dataclass(frozen=True)
class Collets:
    """A set of collets: sizes from smallest to largest, run-out in mm."""

    name: str
    smallest: Known
    largest: Known
    runout: Known


@dataclass(frozen=True)
class Tool:
    """A tool for the outside, or for grooves and threads inside; `uses` out of USES, `width`, `reach` and
    `smallest_bore` zero where they do not count.
    """

    name: str
    uses: tuple[str, ...]
    material: str
    edge: str
    nose_radius: Known
    entering_angle: Known
    width: Known
    reach: Known
    smallest_bore: Known         # of a tool for grooves and threads in a bore


@dataclass(frozen=True)
class Bar:
    """A boring bar: shank, the longest it can stand out, the smallest bore it enters, mm."""

    name: str
    diameter: Known
    material: str
    longest: Known
    smallest_bore: Known
    nose_radius: Known
    edge: str
    entering_angle: Known
    flat_bottom: bool


@dataclass(frozen=True)
class Drills:
    """Drills of one sort; a point angle of 180 is flat."""

    name: str
    sizes: tuple[float, ...]
    point_angle: Known
    material: str
    known: str


@dataclass(frozen=True)
class Reamer:
    """A reamer. `measured` is its own diameter where it has been measured, else None: somewhere in its class."""

    name: str
    size: float
    code: str
    measured: Known | None
    kind: str
    edge: str
    holding: str
    bottoming: bool


@dataclass(frozen=True)
class Instrument:
    """A gauge: what it measures, over which sizes, and how one reading scatters (mm, standard deviation)."""

    name: str
    instrument: str        # as in data/instruments.csv
    measures: str          # outside, bore, depth or anything
    low: Known
    high: Known
    repeat: Known


@dataclass(frozen=True)
class Shop:
    """Everything a plan may use. `description` is what the user's file holds."""

    name: str
    lathe: Lathe
    holder: Holder
    gauges: Gauges
    chucks: tuple[Chuck, ...]
    collets: tuple[Collets, ...]
    tools: tuple[Tool, ...]
    bars: tuple[Bar, ...]
    drills: tuple[Drills, ...]
    reamers: tuple[Reamer, ...]
    instruments: tuple[Instrument, ...]
    learned: dict[str, Known]              # accepted by the user in learning.py; empty until then
    reamed_holes: tuple[dict[str, Any], ...]   # the log, ready for reamed_hole.ream(holes=...)
    description: dict[str, Any]

    def tools_for(self, use: str) -> tuple[Tool, ...]:
        """The outside tools for one of USES. Raises Refused for an unknown use."""
        if use not in USES:
            raise Refused(f"No tool is for “{use}”. Choose one of: {', '.join(USES)}.")
        return tuple(t for t in self.tools if use in t.uses)

    def bars_for(self, bore: float, depth: float) -> tuple[Bar, ...]:
        """Boring bars that enter a bore and reach its depth, stiffest first."""
        fit = [b for b in self.bars if b.smallest_bore.value <= bore and b.longest.value >= depth]
        return tuple(
            sorted(fit,
            key=lambda b: (
            -tables.fact("bar_materials", bar_material=b.material, property="E").value * b.diameter.value**4)))

    def drill_sizes(self, flat: bool = False) -> tuple[float, ...]:
        """All drill sizes, smallest first: pointed ones, or flat ones."""
        return tuple(sorted({s for d in self.drills if (d.point_angle.value >= 179) == flat for s in d.sizes}))

    def instruments_for(self, measures: str, size: float) -> tuple[Instrument, ...]:
        """Gauges for an outside, a bore or a depth of that size; the closest first."""
        fit = [
            g for g in self.instruments if g.measures in (measures, "anything") and g.low.value <= size <= g.high.value]
        return tuple(sorted(fit, key=lambda g: (g.measures == "anything", g.repeat.value)))

    def values(self) -> Iterator[tuple[str, Known]]:
        """Every number with the name of its entry, for a list of what is measured and what is assumed."""
        yield from _numbers(self)

    def assumed(self) -> list[str]:
        """Names of the numbers nobody has measured yet."""
        return [name for name, k in self.values() if not k.measured]


SUPPORTS = ("spindle and chuck shift", "spindle and chuck tilt", "live centre and tailstock",
    "dead centre and tailstock", "headstock centre", "steady rest")


def _numbers(thing: Any, name: str = "") -> Iterator[tuple[str, Known]]:
    if isinstance(thing, Known):
        if thing.high:   # zero stands for what does not count, such as the width of a tool that has none
            yield name, thing
    elif isinstance(thing, dict):
        for key, value in thing.items():
            yield from _numbers(value, f"{name}: {key}" if name else key)
    elif isinstance(thing, tuple):
        for value in thing:
            yield from _numbers(value, name)
    elif is_dataclass(thing):
        own = getattr(thing, "name", "") if not isinstance(thing, Shop) else ""
        for f in fields(thing):
            if f.name in ("description", "reamed_holes"):
                continue
            value = getattr(thing, f.name)
            where = own or name or f.name
            yield from _numbers(value, f"{where}: {f.name.replace('_', ' ')}" if isinstance(value, Known) else where
                if isinstance(value, dict) else "")


# ---- reading --------------------------------------------------------------------------------------


def read(description: Any) -> Shop:
    """A shop from its description (as in data/default_shop.toml). Raises Refused naming the entry and the remedy."""
    parts = checked(description)
    lathe, holder = parts["lathe"], parts["holder"]
    lathe |= {field: _assumed(name) for field, name in OWN_LATHE.items() if field not in description["lathe"]}
    lathe["supports"] = {what: _from_table("workholding_stiffness", what=what) for what in SUPPORTS}
    springs = {p: holder[p] if holder[p].value else _from_table("holders", True, holder=holder["name"], property=p)
        for p in ("stiffness", "rotation", "damping")}

    def made(section: str, kind: Callable[..., Any]) -> tuple[Any, ...]:
        return tuple(kind(**_without(entry, "known")) for entry in parts[section])

    return Shop(name=str(description.get("name", "my shop")), lathe=Lathe(**_without(lathe, "known")),
        holder=Holder(holder["name"], **springs), gauges=_gauges(parts["gauges"]), chucks=made("chucks", Chuck),
        collets=made("collets", Collets), tools=made("tools", Tool), bars=made("bars", Bar),
        drills=tuple(Drills(**e) for e in parts["drills"]), reamers=tuple(_reamer(e) for e in parts["reamers"]),
        instruments=tuple(_instrument(e) for e in parts["instruments"]), learned={}, reamed_holes=(),
        description=copy.deepcopy(description))


def _without(entry: dict[str, Any], *names: str) -> dict[str, Any]:
    return {key: value for key, value in entry.items() if key not in names}


def _gauges(entry: dict[str, Any]) -> Gauges:
    try:
        box = stops.read_set(entry["sizes"], name="my own box") if entry["sizes"] else stops.gauge_set(entry["which"])
    except Refused as refusal:
        raise Refused(f"gauges: {refusal}") from None
    return Gauges(box, entry["known"])


def _reamer(entry: dict[str, Any]) -> Reamer:
    measured: Known = entry["measured"]
    size = entry["size"].value
    if measured.value and abs(measured.value - size) > 0.02 * size + 0.05:
        raise Refused(
            f"reamers, “{entry['name']}”: measured {measured.value:g} mm is far from its size of {size:g} mm. Check "
            "for a slipped digit.")
    return Reamer(entry["name"], size, entry["class"], measured if measured.value else None, entry["kind"],
        entry["edge"], entry["holding"], entry["bottoming"])


def _instrument(entry: dict[str, Any]) -> Instrument:
    row = next(
        (r for r in tables.rows("instruments") if r["instrument"] == entry["instrument"] and r["input"] == "repeat"),
        None)
    if row is None:
        raise Refused(
            f"instruments, “{entry['name']}”: nothing is known of how “{entry['instrument']}” repeats. Choose another "
            "instrument.")
    repeat = known(row["value"] / 1e3, row["low"] / 1e3, row["high"] / 1e3, says=f"{row['source']}")
    return Instrument(**_without(entry, "known"), repeat=repeat)


def _from_table(table: str, by_factor: bool = False, **keys: Any) -> Known:
    """A row's value; by_factor: known to a factor, as the boring bar's chapter draws its holders."""
    f = tables.fact(table, **keys)
    return known(f.value, f.low, f.high, says=f.source,
        spread=factor_of(f.geometric_middle, f.factor) if by_factor else None)


def _assumed(name: str) -> Known:
    f = tables.assumed(name)
    return known(f.value, f.low, f.high, says=f.source, spread=f.range)


# ---- the default, the user's own, and what was measured --------------------------------------------


def default_shop() -> Shop:
    """The demo's shop, nothing measured."""
    return read(tables.toml("default_shop"))


def own_shop(accepted: bool = True) -> Shop:
    """The user's own shop, or the default one, with everything in the shop file that was measured. Raises Refused."""
    kept = files.load(FILE, {}, _sound)
    return with_records(read(kept) if kept else default_shop(), accepted)


def read_text(text: str | bytes) -> Shop:
    """A shop from TOML text. Raises Refused naming the line or the entry."""
    try:
        plain_text = text if isinstance(text, str) else text.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Refused(
            "This is not a text file. Load the description that you wrote out and changed, saved as UTF-8 text."
        ) from None
    return read(tables.described(plain_text, "The description of the shop"))


def keep(description: Any) -> Shop:
    """Check a description (a dictionary, or TOML text) and save it as the user's own shop. Raises Refused."""
    made = read_text(description) if isinstance(description, str | bytes) else read(description)
    files.save(FILE, made.description, _sound)
    return made


def _sound(data: Any) -> bool:
    return isinstance(data, dict)


def as_text(description: dict[str, Any]) -> str:
    """A description as TOML text that `keep` reads again."""
    lines = [f"{key} = {_toml(value)}" for key, value in description.items()
        if not isinstance(value, dict) and key not in ENTRIES]
    for section in ENTRIES:
        single = section in SINGLE
        entries = description.get(section, {} if single else [])
        for entry in [entries] if single and entries else [] if single else entries:
            lines += ["", f"[{section}]" if single else f"[[{section}]]",
                *(f"{key} = {_toml(value)}" for key, value in entry.items())]
    return "\n".join(lines) + "\n"


def _toml(value: Any) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {_toml(v)}" for key, v in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_toml(v) for v in value) + "]"
    return json.dumps(value, ensure_ascii=False).replace(
        "\x7f", "\\u007f"
    )  # texts, numbers, true and false are written as in JSON


def with_records(shop: Shop, accepted: bool = True) -> Shop:
    """The shop with what has been measured in place of what was assumed, and what was learned and accepted in place of
    both.

    Records that make no sense are passed over. Without `accepted`: as it stood before anything was learned.
    """
    holder, lathe = shop.holder, shop.lathe
    if weighed := shop_records.latest("holder"):
        holder = replace(holder, stiffness=measured.measured(weighed, "stiffness") or holder.stiffness,
            rotation=measured.measured(weighed, "rotation") or holder.rotation)
    if ring := shop_records.latest("bar ring"):
        holder = replace(holder, damping=measured.measured(ring, "damping", "damping_scatter") or holder.damping)
    supports = dict(lathe.supports)
    for record in shop_records.records("support"):
        if record.get("name") == "spindle and chuck":
            for name, key in (("spindle and chuck shift", "stiffness"), ("spindle and chuck tilt", "rotation")):
                supports[name] = measured.spring(record, key) or supports[name]
        elif record.get("name") == "tailstock and centre":
            supports["live centre and tailstock"] = (
                measured.spring(record, "stiffness") or supports["live centre and tailstock"])
        elif record.get("name") in supports:
            supports[record["name"]] = measured.spring(record, "stiffness") or supports[record["name"]]
    gauges = shop.gauges
    if box := shop_records.latest("gauge set"):
        with contextlib.suppress(Refused, KeyError):
            gauges = Gauges(stops.read_set(box["sizes"], box.get("unit", "mm"), name="my own box"), MEASURED)
    learned = measured.learned() if accepted else {}
    if HOLDER in learned:
        holder = replace(holder, stiffness=learned[HOLDER])
    instruments = tuple(
        replace(g, repeat=learned.get(f"{REPEAT}, {g.instrument}") or measured.repeat(g.instrument) or g.repeat)
        for g in shop.instruments)
    own: dict[str, Any] = {field: found for field, kind in OWN_LATHE.items()
        if (found := measured.signed(shop_records.latest(kind), kind))}
    return replace(shop, holder=holder, lathe=replace(lathe, supports=supports, **own), gauges=gauges,
        instruments=instruments, learned=learned, reamed_holes=tuple(shop_records.records(reaming_log.KIND)))
