"""How deep did I really go? Gauge block stacks, touching off, carriage stops, chains of shoulders.

Lengths are mm; the inch set works in inch. A spread given as plus or minus holds
nineteen times in twenty where it scatters (normal), always where it is rectangular.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import measuring
from ..core import tables
from ..core.formula import formula
from ..core.quantity import Refused, number, plain, said
from ..core.spread import POINTS, about, between, sample
from ..measuring import Budget, exact, rectangular
from ..measuring import Input as Doubt
from .gauge_blocks import GaugeSet, Split, Stack, gauge_set, gauge_stack, read_set, set_names, split
from .quantities import LengthSpread, ShoulderCount, StopSpread, ZeroSpread

__all__ = ["EACH_OTHER", "GRADES", "ONE_ZERO", "Chain", "GaugeSet", "Link", "Split", "Stack", "between_two", "chain",
    "depth_budget", "from_each_other", "from_one_zero", "gauge_set", "gauge_stack", "grade_limits", "names_of",
    "read_set", "root_of_squares", "set_names", "shoulder_chain", "shoulder_links", "split", "spread_of",
    "stack_budget"]

EXPANSION = 11.5e-6      # of steel blocks, 1/K (ISO 3650: 11.5 ± 1.0; from memory)

# ---- how sure a stack, a touch, a stop is -------------------------------------------------------

GRADES = ("K", "0", "1", "2")


def grade_limits(length: float, grade: str = "1") -> tuple[float, float]:
    """ISO 3650 limits of a block in mm: how far it may stray from its size (plus or minus), and how unequal it may be.

    Raises Refused for an unknown grade or a length outside the table (0.5 to 500 mm).
    """
    if grade not in GRADES:
        raise Refused(f"There is no grade “{grade}” in ISO 3650. Choose one of {', '.join(GRADES)}.")
    row = tables.step("gauge_grades", number(length), grade=grade if grade == "K" else float(grade))
    return row["te"] / 1000, row["tv"] / 1000


def spread_of(kind: str, name: str) -> tuple[Doubt, tables.Fact]:
    """One row of the table of touches ("touch"), stops ("stop") or wringing ("wring"): the doubt and its provenance."""
    row = tables.row("touch_off", kind=kind, name=name)
    half = row["plus_minus"]
    doubt = (measuring.normal(row["offset"], half / 2, says=row["says"]) if row["distribution"] == "normal"
        else rectangular(row["offset"], half, says=row["says"]))
    return doubt, tables.Fact(half, row["low"], row["high"], "mm", row["source"], row["place"], row["basis"])


def names_of(kind: str) -> list[str]:
    """What the table knows of a kind: "touch", "stop" or "wring"."""
    return [row["name"] for row in tables.rows("touch_off") if row["kind"] == kind]


def stack_budget(stack: Stack | Sequence[float], grade: str = "1", wringing: str = "clean blocks", rise: float = 0.0,
        rise_doubt: float = 1.0) -> Budget:
    """How sure the length of a stack is, in mm, at the temperature of the shop: grade, wringing, warmth.

    stack: a Stack or blocks in mm; rise: how far the blocks are above 20 °C, and how sure that is (K).
    """
    blocks = stack.in_mm if isinstance(stack, Stack) else tuple(number(b) for b in np.ravel(stack))
    if not blocks:
        raise Refused("There is no block in the stack.")
    rise, rise_doubt = number(rise), number(rise_doubt)
    film, _ = spread_of("wring", wringing)
    inputs: dict[str, Doubt] = {f"block {plain(b, 7)}": rectangular(b, grade_limits(b, grade)[0]) for b in blocks}
    if len(inputs) < len(blocks):  # two equal protectors
        inputs = {f"{i + 1}: {plain(b, 7)}": rectangular(b, grade_limits(b, grade)[0]) for i, b in enumerate(blocks)}
    sizes = tuple(inputs)
    films = {f"film {i + 1}": film for i in range(len(blocks) - 1)}
    warmth = {"rise": rectangular(rise, rise_doubt, says="blocks above 20 °C") if rise_doubt else exact(rise),
        "expansion": rectangular(EXPANSION, 1e-6, says="expansion of the blocks")}

    def model(**values: Any) -> Any:
        length = sum(values[name] for name in sizes)
        return length * (1 + values["expansion"] * values["rise"]) + sum(values[name] for name in films)

    return measuring.budget({**inputs, **films, **warmth}, model)


def depth_budget(depth: float = 32.0, touch: str = "ink", stop: str = "indicator on the carriage",
        set_by: str = "gauge blocks", grade: str = "1", blocks: int = 3, rise: float = 0.0, rise_doubt: float = 2.0,
        expansion: float = 12e-6, stop_scatter: float | None = None, stop_dof: float = np.inf) -> Budget:
    """How sure a depth is that was touched off at the face and cut up to a stop, in mm, told at 20 °C.

    The carriage meets the stop twice: once for the zero, once at depth. set_by: "gauge blocks" (grade, so many of them)
    or "dial" (the stop's own screw, ±0.005 mm, common practice). rise: how far the work is above 20 °C when it is cut,
    K; stop_scatter: your own standard deviation of the stop. A warm part shrinks, so the depth comes out less. Raises
    Refused for a depth that is not above zero, or an unknown touch or stop.
    """
    depth = number(depth)
    if not (np.isfinite(depth) and depth > 0):
        raise Refused(f"The depth must be above zero; it was {depth:g}.")
    if not (isinstance(blocks, int | np.integer) and 1 <= blocks <= 50):
        raise Refused(f"The number of blocks must be 1 or more, 50 at most; it was {said(blocks)}.")
    rise, rise_doubt = number(rise), number(rise_doubt)
    touched, _ = spread_of("touch", touch)
    met, _ = spread_of("stop", stop)
    if stop_scatter is not None:
        met = measuring.normal(0.0, stop_scatter, stop_dof, says="your own readings of the stop")
    zero = Doubt(0.0, touched.width, touched.shape, says=touched.says)  # the paper's own thickness is allowed for
    if set_by == "dial":
        measure = rectangular(depth, 0.005, says="what the screw's dial may be out")
    elif set_by == "gauge blocks":
        each = stack_budget((max(depth / blocks, 0.5),) * blocks, grade, "blocks in the workshop")
        measure = measuring.normal(depth, each.uncertainty, says="grade and wringing of the blocks")
    else:
        raise Refused(f"The stop is set by “gauge blocks” or by its “dial”, not by “{set_by}”.")
    inputs = {"touch": zero, "stop at the zero": met, "stop at depth": met, set_by: measure,
        "warmth": rectangular(rise, rise_doubt, says="work above 20 °C") if rise_doubt else exact(rise),
        "expansion": rectangular(expansion, 1e-6, says="expansion of the work")}

    def model(**values: Any) -> Any:
        return (values[set_by] * (1 - values["expansion"] * values["warmth"]) + values["touch"]
            + values["stop at the zero"] - values["stop at depth"])

    return measuring.budget(inputs, model)


# ---- chains -------------------------------------------------------------------------------------

@formula(source="independent spreads add as their squares (GUM 5.1.2)", basis="computed",
    holds="every shoulder set from the one zero; zero and stops independent of each other")
def from_one_zero(zero: ZeroSpread, stop: StopSpread) -> LengthSpread:
    """How far any shoulder may be out from the face when all share one zero: the same for all of them."""
    return np.sqrt(zero**2 + stop**2)


@formula(source="independent spreads add as their squares (GUM 5.1.2)", basis="computed",
    holds="each shoulder touched off afresh on the one before")
def from_each_other(zero: ZeroSpread, stop: StopSpread, count: ShoulderCount) -> LengthSpread:
    """How far the n-th shoulder may be out from the face when each is set from the one before it."""
    return np.sqrt(count * (zero**2 + stop**2))


@formula(source="independent spreads add as their squares (GUM 5.1.2)", basis="computed",
    holds="both shoulders set from the same zero, which drops out")
def between_two(stop: StopSpread) -> LengthSpread:
    """How far the step between two shoulders may be out when both share one zero."""
    return np.sqrt(2) * stop


@dataclass(frozen=True)
class Link:
    """One link of a chain: counted along (+1) or back (-1), its length and its plus or minus, mm."""

    name: str
    length: float
    plus_minus: float
    sign: int = 1
    shape: str = "rectangular"   # or "normal": nineteen times in twenty within it
    touch: bool = False          # a touch, not a meeting with the stop


@dataclass(frozen=True)
class Chain:
    """What the links add up to: worst case, root of the sum of squares, and Monte Carlo, mm."""

    links: tuple[Link, ...]
    length: float
    worst: float             # every link at its end, all the same way
    rss: float               # root of the sum of the squares of the plus-or-minuses
    low: float               # Monte Carlo: nineteen times in twenty from low to high
    high: float
    samples: np.ndarray

    def shares(self, tolerance: float = 0.0) -> tuple[float, ...]:
        """Part of the plus-or-minus tolerance that each link eats on its own; of the worst case where none is given."""
        whole = tolerance or self.worst
        return tuple(link.plus_minus / whole if whole else 0.0 for link in self.links)

    def odds(self, tolerance: float) -> float:
        """How often the chain's length comes within plus or minus `tolerance` of its nominal."""
        return float(np.mean(np.abs(self.samples - self.length) <= tolerance + 1e-12))


def chain(links: Sequence[Link], count: int = POINTS) -> Chain:
    """Add up a chain of links three ways, the third with `count` fixed points.

    Raises Refused for an empty chain or a negative plus or minus.
    """
    links = tuple(links) if isinstance(links, Sequence) else ()
    if not all(isinstance(link, Link) for link in links):
        raise Refused("A chain is made of Links.")
    if not links:
        raise Refused("A chain needs at least one link.")
    for link in links:
        if not (np.isfinite(link.length) and np.isfinite(link.plus_minus) and link.plus_minus >= 0):
            raise Refused(f"The link “{link.name}” needs a length and a plus or minus of zero or more; "
                f"it has {link.length} ± {link.plus_minus}.")
        if link.sign not in (1, -1) or link.shape not in ("rectangular", "normal"):
            raise Refused(f"The link “{link.name}” counts +1 or -1 and is “rectangular” or “normal”.")
    known = {f"x{i}": between(-link.plus_minus, link.plus_minus) if link.shape == "rectangular"
        else about(0.0, link.plus_minus) for i, link in enumerate(links)}
    drawn = sample(count, **known)
    length = sum(link.sign * link.length for link in links)
    samples = length + sum(link.sign * drawn[f"x{i}"] for i, link in enumerate(links))
    low, high = np.quantile(samples, [0.025, 0.975])
    return Chain(links, length, sum(link.plus_minus for link in links), root_of_squares(links), float(low), float(high),
        samples)


def root_of_squares(links: Sequence[Link]) -> float:
    """Root of the sum of the squares of the links' plus-or-minuses, mm."""
    return float(np.sqrt(sum(link.plus_minus**2 for link in links)))


ONE_ZERO, EACH_OTHER = "all from one zero", "each from the one before"


def shoulder_chain(positions: Sequence[float], first: int, last: int, way: str = ONE_ZERO, touch: str = "ink",
        stop: str = "indicator on the carriage") -> Chain:
    """The chain behind the length from shoulder `first` to shoulder `last` (0 is the face), added up; see
    `shoulder_links`.
    """
    return chain(shoulder_links(positions, first, last, way, touch, stop))


def shoulder_links(positions: Sequence[float], first: int, last: int, way: str = ONE_ZERO, touch: str = "ink",
        stop: str = "indicator on the carriage") -> tuple[Link, ...]:
    """The links behind the length from shoulder `first` to shoulder `last`; 0 is the face.

    positions: of the shoulders from the face, mm, rising. way: ONE_ZERO or EACH_OTHER. Each link is a
    touch or a meeting with the stop. Raises Refused for positions that do not rise or a wrong choice.
    """
    places = [0.0, *(number(p) for p in np.ravel(positions))]
    if len(places) < 2 or not all(np.isfinite(places)) or not np.all(np.diff(places) > 0):
        raise Refused(
            "The shoulders must lie one behind the other: give rising distances from the face, such as 12 30 58.")
    if not all(isinstance(place, int | np.integer) for place in (first, last)) or not 0 <= first < last < len(places):
        raise Refused(
            f"Choose two of the {len(places)} places, 0 for the face and {len(places) - 1} for the last shoulder.")
    if way not in (ONE_ZERO, EACH_OTHER):
        raise Refused(f"Shoulders are set “{ONE_ZERO}” or “{EACH_OTHER}”, not “{way}”.")
    (zero, _), (met, _) = spread_of("touch", touch), spread_of("stop", stop)

    def half(doubt: Doubt) -> float:
        return doubt.width if doubt.shape == "rectangular" else 2 * doubt.width

    def link(name: str, doubt: Doubt, length: float = 0.0, sign: int = 1) -> Link:
        return Link(name, length, half(doubt), sign, doubt.shape, doubt is zero)

    if way == ONE_ZERO:
        links = [link(f"stop at shoulder {last}", met, places[last])]
        links += ([link(f"stop at shoulder {first}", met, places[first], -1)] if first
            else [link("touch on the face", zero)])
    else:
        links = []
        for i in range(first + 1, last + 1):
            links += [link(f"touch on {f'shoulder {i - 1}' if i > 1 else 'the face'}", zero),
                link(f"stop at shoulder {i}", met, places[i] - places[i - 1])]
    return tuple(links)
