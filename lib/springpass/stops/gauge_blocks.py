"""Gauge blocks: the sets of the trade, the fewest blocks that make a length, block and dial.

Lengths are mm; the inch set works in inch.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import gcd
from typing import Any

import numpy as np

from ..core import tables
from ..core.quantity import Numbers, Refused, number, positive, said

# ---- sets of blocks -----------------------------------------------------------------------------

FINEST = 10_000          # sizes are read to 1/10 000 of their unit
LONGEST = {"mm": 1000.0, "inch": 40.0}


@dataclass(frozen=True)
class GaugeSet:
    """What lies in the box: sizes in its own unit, smallest first."""

    name: str
    unit: str
    sizes: tuple[float, ...]

    @property
    def total(self) -> float:
        return round(sum(self.sizes), 4)

    def text(self, length: float) -> str:
        return f"{length:.6f}".rstrip("0").rstrip(".") + f" {self.unit}"


def set_names() -> list[str]:
    """Names of the sets in the table, e.g. "112" or "47B"."""
    return [_name(name) for name in tables.names("gauge_sets", "set")]


def _name(cell: Any) -> str:
    return f"{cell:g}" if isinstance(cell, float) else str(cell)


@lru_cache(maxsize=32)
def standard_set(name: str) -> GaugeSet:
    """A set of the trade by its number of pieces. "47" is variant A (25, 50, 75, 100); 47B has 20 to 90.

    Raises Refused for a set that is not in the table.
    """
    plain_name = re.sub(r"\(?variant\s*([ab])\)?", r"\1", str(name).strip().lower()).replace(" ", "").removeprefix("m")
    wanted = {"47": "47A"}.get(plain_name, plain_name.upper())
    rows = [row for row in tables.rows("gauge_sets") if _name(row["set"]) == wanted]
    if not rows:
        raise Refused(
            f"There is no set {said(name)}. Choose one of {', '.join(set_names())}, or type the sizes in your own box.")
    sizes = sorted(round(row["first"] + i * row["step"], 4) for row in rows for i in range(int(row["count"])))
    return GaugeSet(wanted, rows[0]["unit"], tuple(sizes))


def read_set(text: Any, unit: str = "mm", name: str = "your own set") -> GaugeSet:
    """A set from the sizes typed or listed, in any order, parted by spaces, semicolons or lines; # begins a note.

    Raises Refused that names what is wrong and where: not a number, twice in the box, not above zero,
    longer than blocks are made, or finer than a ten-thousandth.
    """
    if not isinstance(unit, str) or unit not in LONGEST:
        raise Refused(f"Blocks come in mm or inch, not in “{unit}”.")
    lines = text.splitlines() if isinstance(text, str) else [str(size) for size in np.ravel(text)]
    sizes: dict[float, int] = {}
    wrong: list[str] = []
    for place, line in enumerate(lines, 1):
        for piece in re.split(r"[\s;]+", line.split("#")[0].strip()):
            piece = piece.rstrip(",").removesuffix(unit)
            if not piece:
                continue
            try:
                size = number(piece)
            except Refused:
                wrong.append(f"{said(piece)} in line {place} is not a size")
                continue
            kept = round(size, 4)
            if not 0 < size <= LONGEST[unit]:
                wrong.append(f"{piece} in line {place} is not between 0 and {LONGEST[unit]:g} {unit}")
            elif abs(size - kept) > 1e-9:
                wrong.append(
                    f"{piece} in line {place} is finer than 0.0001 {unit}; write the size engraved on the block")
            elif kept in sizes:
                wrong.append(f"{piece} in line {place} is there twice (first in line {sizes[kept]})")
            else:
                sizes[kept] = place
    if wrong:
        more = f", and {len(wrong) - 4} more" if len(wrong) > 4 else ""
        raise Refused(f"The set cannot be used yet: {'; '.join(wrong[:4])}{more}. Mend it; nothing else is lost.")
    if not sizes:
        raise Refused("No sizes were given. Type the sizes of your blocks, such as 1.005 1.01 1.02.")
    if len(sizes) > 250:
        raise Refused(f"{len(sizes)} blocks are more than a box holds; 250 is the most.")
    return GaugeSet(name, unit, tuple(sorted(sizes)))


def gauge_set(choice: Any = "112", missing: Any = ()) -> GaugeSet:
    """A set by name, or made from a list of sizes, less the blocks that are missing (or used elsewhere).

    Raises Refused for an unknown name or when a missing block was never in the set.
    """
    if isinstance(choice, int | float):
        choice = f"{choice:g}"
    box = choice if isinstance(choice, GaugeSet) else (
        standard_set(choice) if isinstance(choice, str) else read_set(choice))
    gone = read_set(missing, box.unit).sizes if missing is not None and np.size(missing) else ()
    strange = [box.text(size) for size in gone if size not in box.sizes]
    if strange:
        raise Refused(f"{', '.join(strange)} cannot be missing: set {box.name} has no such block.")
    kept = tuple(size for size in box.sizes if size not in gone)
    if not kept:
        raise Refused("Every block is missing, so nothing can be built.")
    return GaugeSet(f"{box.name} less {len(gone)}" if gone else box.name, box.unit, kept)


# ---- the fewest blocks --------------------------------------------------------------------------

NONE = 255
TIERS = (30, 60, 120, 250, 500, 1000, 2000, 5000)


@lru_cache(maxsize=12)
def _fewest(sizes: tuple[int, ...], quantum: int, top: int) -> tuple[np.ndarray, np.ndarray]:
    """For every length up to `top` quanta, the fewest blocks that make it, and which blocks were taken.

    Every block is offered once to every length (a table of all sums), so the count is exact.
    """
    fewest = np.full(top + 1, NONE, np.uint8)
    fewest[0] = 0
    taken = np.zeros((len(sizes), top // 8 + 1), np.uint8)
    for i, size in enumerate(sizes):
        step = size // quantum
        if step > top:
            continue
        with_it = fewest[:top + 1 - step]
        better = np.zeros(top + 1, bool)
        better[step:] = (with_it < NONE - 1) & (with_it + 1 <= fewest[step:])  # on a tie the larger block
        taken[i, :] = np.packbits(better)
        fewest[better] = with_it[better[step:]] + 1
    fewest.setflags(write=False)
    return fewest, taken


@dataclass(frozen=True, eq=False)
class Stack(Sequence[float]):
    """A stack of blocks, smallest first, in the set's own unit. Behaves like the tuple of its blocks.

    The protectors are extra; `length` counts them in. `off` is what the stack is too long by.
    """

    blocks: tuple[float, ...]
    protectors: tuple[float, ...]
    wanted: float
    unit: str
    set_name: str

    @property
    def length(self) -> float:
        return round(sum(self.blocks) + sum(self.protectors), 4)

    @property
    def off(self) -> float:
        return round(self.length - self.wanted, 9)

    @property
    def exact(self) -> bool:
        return abs(self.off) < 1e-7

    @property
    def in_mm(self) -> tuple[float, ...]:
        """All blocks, protectors too, in mm."""
        scale = 25.4 if self.unit == "inch" else 1.0
        return tuple(scale * block for block in (*self.protectors[:1], *self.blocks, *self.protectors[1:]))

    def __eq__(self, other: object) -> bool:
        if isinstance(other, Stack):
            return (self.blocks, self.protectors, self.wanted, self.unit) == (other.blocks, other.protectors,
                other.wanted, other.unit)
        return isinstance(other, Sequence) and not isinstance(other, str) and self.blocks == tuple(other)

    def __hash__(self) -> int:
        return hash((self.blocks, self.protectors, self.wanted, self.unit))

    def __len__(self) -> int:
        return len(self.blocks)

    def __getitem__(self, place: Any) -> Any:
        return self.blocks[place]

    def __iter__(self) -> Iterator[float]:
        return iter(self.blocks)


def gauge_stack(length: Numbers, choice: Any = "112", protectors: Any = (), missing: Any = (), nearest: bool = False,
        unit: str = "") -> Stack:
    """The fewest blocks of a set that make a length, each used once: an exact search, no rule of thumb.

    length: in the set's unit, mm or inch (or in `unit`). choice: a set's name, a GaugeSet or a list of sizes.
    protectors: thickness of the wear blocks at the ends, e.g. (2, 2), beside the set; one number is their sum.
    missing: blocks not to be used. Raises Refused where no stack makes the length, naming the nearest that
    can be made; with nearest=True that one is returned instead. Of equal stacks the one with the larger
    blocks is taken.
    """
    box = gauge_set(choice, missing)
    wanted = _length(length, box, unit)
    ends = _protectors(protectors, box)
    rest = wanted - sum(ends)
    if rest <= 0:
        raise Refused(
            f"The protectors alone are {box.text(sum(ends))}, which leaves nothing of {box.text(wanted)} to build.")
    fewest, taken, sizes, quantum = _table(box, rest)
    target = rest * FINEST / quantum
    place = round(target)
    fits = abs(target - place) < 1e-4 and place < len(fewest) and fewest[place] < NONE
    if not fits:
        made = np.flatnonzero(fewest < NONE)[1:]
        order = np.argsort(np.abs(made - target), kind="stable")
        place = int(made[order[0]])
        if not nearest:
            raise Refused(_cannot(box, wanted, sum(ends), made, target, quantum, fewest))
    blocks, at = [], place
    for i in range(len(sizes) - 1, -1, -1):
        if at and np.unpackbits(taken[i, at // 8:at // 8 + 1])[at % 8]:
            blocks.append(sizes[i] / FINEST)
            at -= sizes[i] // quantum
    return Stack(tuple(sorted(blocks)), ends, wanted, box.unit, box.name)


def _length(length: Any, box: GaugeSet, unit: str) -> float:
    wanted = number(length)
    if unit and (not isinstance(unit, str) or unit not in LONGEST):
        raise Refused(f"A length is given in mm or inch, not in “{unit}”.")
    if unit and unit != box.unit:
        wanted *= 25.4 if unit == "inch" else 1 / 25.4
    if not (np.isfinite(wanted) and wanted > 0):
        raise Refused(f"The length must be above zero; it was {length}.")
    if wanted > 5 * LONGEST[box.unit]:
        raise Refused(f"{box.text(wanted)} is far longer than gauge blocks reach.")
    return round(wanted, 9)


def _protectors(protectors: Any, box: GaugeSet) -> tuple[float, ...]:
    if protectors is None or np.size(protectors) == 0 or protectors == 0:
        return ()
    ends = tuple(number(p) for p in np.ravel(protectors))
    if np.ndim(protectors) == 0:
        ends = (ends[0] / 2, ends[0] / 2)
    if len(ends) > 2 or not all(np.isfinite(p) and 0 < p < LONGEST[box.unit] for p in ends):
        raise Refused("There is a protector at one end or at both: give one or two thicknesses above zero.")
    return ends


@lru_cache(maxsize=64)
def _table(box: GaugeSet, rest: float) -> tuple[np.ndarray, np.ndarray, tuple[int, ...], int]:
    sizes = tuple(round(size * FINEST) for size in box.sizes)
    quantum = gcd(*sizes)
    scale = 25.4 if box.unit == "inch" else 1.0
    tier = next((t for t in TIERS if t > rest * scale * 1.04 + 3), TIERS[-1])
    top = min(round(tier / scale * FINEST) // quantum, sum(sizes) // quantum)
    # bits of a coarse set cost nothing; of the finest and longest some 70 MB
    fewest, taken = _fewest(sizes, quantum, top)
    return fewest, taken, sizes, quantum


def _cannot(box: GaugeSet, wanted: float, ends: float, made: np.ndarray, target: float, quantum: int,
        fewest: np.ndarray) -> str:
    below, above = made[made <= target], made[made >= target]
    near = [f"{box.text(side * quantum / FINEST + ends)} ({int(fewest[side])} block{'s' if fewest[side] > 1 else ''})"
        for side in ([int(below[-1])] if len(below) else []) + ([int(above[0])] if len(above) else [])]
    return (
        f"No stack from set {box.name} makes {box.text(wanted)}. The nearest that can be made: {' and '.join(near)}. "
        "Take that and set the rest on a dial.")


@dataclass(frozen=True)
class Split:
    """A few blocks and the rest on a dial: `on_line` says whether the dial comes to one of its lines."""

    blocks: tuple[float, ...]
    dial: float
    on_line: bool
    unit: str

    @property
    def block_length(self) -> float:
        return round(sum(self.blocks), 4)


def split(length: Numbers, choice: Any = "112", travel: float = 25.0, step: float = 0.01, missing: Any = (),
        unit: str = "") -> tuple[Split, ...]:
    """Block and dial for a micrometer stop, fewest blocks first: a round block, the rest on the dial.

    travel: what the dial can cover; step: its smallest division; both in the set's unit. The first
    answer has the fewest blocks at all; a second follows where only more blocks bring the dial to a line.
    Raises Refused where the blocks and the dial together do not reach.
    """
    box = gauge_set(choice, missing)
    wanted = _length(length, box, unit)
    travel, step = (float(positive(value, f"the {what} of the dial", box.unit)) for what,
        value in (("travel", travel), ("division", step)))
    return _split(wanted, box, travel, step)


@lru_cache(maxsize=64)
def _split(wanted: float, box: GaugeSet, travel: float, step: float) -> tuple[Split, ...]:
    fewest, _, _, quantum = _table(box, wanted)
    unit_of = quantum / FINEST
    low = max(int(np.ceil((wanted - travel) / unit_of - 1e-6)), 0)
    high = min(int(np.floor(wanted / unit_of + 1e-6)), len(fewest) - 1)
    places = np.arange(low, high + 1)
    counts = fewest[low:high + 1]
    if not len(places) or counts.min() == NONE:
        raise Refused(f"With a dial of {box.text(travel)} no block of set {box.name} leaves a rest that fits for "
            f"{box.text(wanted)}. Use a longer dial or another set.")
    lengths = places * unit_of
    rest = wanted - lengths
    lines = np.abs(rest / step - np.round(rest / step)) < 1e-3
    answers = []
    for allowed in (np.ones(len(places), bool), lines):
        if not (allowed & (counts < NONE)).any():
            continue
        few = counts[allowed].min()
        if few > 3:
            continue
        pick = np.flatnonzero(allowed & (counts == few))
        # rounder first, then the one that leaves least to the dial; a line on the dial beats a round block
        round_by = sum(
            (np.abs(lengths[pick] / r - np.round(lengths[pick] / r)) < 1e-6).astype(int) for r in (5, 1, 0.5))
        best = pick[np.lexsort((lengths[pick], round_by, lines[pick]))[-1]]
        blocks = () if few == 0 else gauge_stack(lengths[best], box).blocks
        answers.append(Split(tuple(blocks), round(float(rest[best]), 6), bool(lines[best]), box.unit))
    return tuple(dict.fromkeys(answers))
