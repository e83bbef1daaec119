"""How sure is a result? An uncertainty budget as a reusable thing.

The rules are those of the Guide to the Expression of Uncertainty in Measurement
(JCGM 100:2008, the GUM) to first and second order, with the Monte Carlo of its
first supplement (JCGM 101:2008) beside it. Lengths are mm wherever the model's are;
a budget itself works in whatever unit its model does.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property
from statistics import NormalDist
from typing import Any

import numpy as np

from ..core.formula import formula
from ..core.quantity import Refused, floats, said
from ..core.spread import POINTS, Uncertain, about, between, sample
from .coverage_factors import coverage, share_of_one, t_quantile, trapezoid_coverage
from .quantities import HalfSpread, StandardUncertainty, TopShare

GUM = "JCGM 100:2008 (GUM)"
SHAPES = ("exact", "normal", "rectangular", "triangular", "U-shaped", "trapezoid")

# ---- from a shape to a standard uncertainty -----------------------------------------------------


@formula(source=f"{GUM}, 4.3.7 (from memory)", holds="anywhere within the half width is equally likely")
def rectangle_uncertainty(half: HalfSpread) -> StandardUncertainty:
    """Standard uncertainty of a value known only to lie within plus or minus a half width."""
    return half / np.sqrt(3)


@formula(source=f"{GUM}, 4.3.9 (from memory)", holds="the middle is likeliest, the ends never happen")
def triangle_uncertainty(half: HalfSpread) -> StandardUncertainty:
    """Standard uncertainty of a value that thins out evenly towards both ends."""
    return half / np.sqrt(6)


@formula(source=f"{GUM}, H.1.3.4, U-shaped distribution (from memory)",
    holds="a value that swings to and fro and lingers at both ends, like a thermostat's temperature")
def u_shape_uncertainty(half: HalfSpread) -> StandardUncertainty:
    """Standard uncertainty of a value that swings like a sine between two ends."""
    return half / np.sqrt(2)


@formula(source=f"{GUM}, 4.3.9 (from memory)", holds="a flat top that is a share of the base, straight flanks")
def trapezoid_uncertainty(half: HalfSpread, top: TopShare) -> StandardUncertainty:
    """Standard uncertainty of the sum of two rectangular values, a wide one and a narrow one."""
    return half * np.sqrt((1 + top**2) / 6)


# ---- one input ----------------------------------------------------------------------------------

@dataclass(frozen=True)
class Input:
    """One line of a budget: a value, how far off it may be, and what shape that doubt has.

    `width` is the half width, or for "normal" the standard uncertainty. Make it with normal,
    rectangular, triangular, u_shaped, trapezoid or exact; believing.Repeatability.mean_input makes
    one of readings.
    """

    value: float
    width: float
    shape: str = "normal"
    dof: float = np.inf
    top: float = 0.0
    says: str = ""

    def __post_init__(self) -> None:
        label = f"“{self.says}”" if self.says else "An input"
        if not isinstance(self.shape, str) or self.shape not in SHAPES:
            raise Refused(f"{label} has the shape “{self.shape}”; it can be {', '.join(SHAPES)}.")
        for name in ("value", "width", "dof", "top"):
            if not isinstance(getattr(self, name), int | float | np.number):
                raise Refused(f"{label}: {name} must be a number; it was {said(getattr(self, name))}.")
        if not np.isfinite(self.value):
            raise Refused(f"{label}: the value must be a finite number; it was {said(self.value)}.")
        if not (np.isfinite(self.width) and self.width >= 0):
            raise Refused(f"{label}: its width must be zero or more; it was {said(self.width)}.")
        if not self.dof > 0:
            raise Refused(f"{label}: degrees of freedom must be above zero; they were {said(self.dof)}.")
        if not 0 <= self.top <= 1:
            raise Refused(f"{label}: the top of a trapezoid is a share of its base, 0 to 1; it was {said(self.top)}.")

    @property
    def u(self) -> float:
        """The standard uncertainty."""
        return float({"exact": lambda: 0.0, "normal": lambda: self.width,
            "rectangular": lambda: rectangle_uncertainty(self.width),
            "triangular": lambda: triangle_uncertainty(self.width), "U-shaped": lambda: u_shape_uncertainty(self.width),
            "trapezoid": lambda: trapezoid_uncertainty(self.width, self.top)}[self.shape]())

    @property
    def peakedness(self) -> float:
        """Fourth moment over the squared second: 3 for a normal shape, 1.8 for a rectangle, 1.5 for a U."""
        top = {"rectangular": 1.0, "triangular": 0.0}.get(self.shape, self.top)
        if self.shape in ("rectangular", "triangular", "trapezoid"):
            wide, narrow = ((1 + top) / 2)**2, ((1 - top) / 2)**2
            return (1.8 * (wide**2 + narrow**2) + 6 * wide * narrow) / (wide + narrow)**2
        return 1.5 if self.shape == "U-shaped" else 3.0

    def draw(self, flat: np.ndarray, bell: np.ndarray, second: np.ndarray) -> np.ndarray:
        """Values for Monte Carlo, from points between 0 and 1 and standard normal ones (JCGM 101, 6.4)."""
        if self.shape == "normal":
            return self.value + self.width * (bell if np.isinf(self.dof) else _bell_to_t(self.dof, bell))
        if self.shape == "rectangular" and np.isfinite(self.dof):
            # ends known only to a share: GUM G.4.2 says which, JCGM 101 6.4.3 draws the ends first
            loose = self.width * min(1.0, 1 / np.sqrt(2 * self.dof))
            return self.value + (self.width + loose * (2 * second - 1)) * (2 * flat - 1)
        if self.shape == "U-shaped":
            return self.value + self.width * np.sin(2 * np.pi * flat)
        if self.shape in ("triangular", "trapezoid"):
            wide, narrow = self.width * (1 + self.top) / 2, self.width * (1 - self.top) / 2
            return self.value + wide * (2 * flat - 1) + narrow * (2 * second - 1)
        return self.value + self.width * (2 * flat - 1)


@cache
def _t_table(dof: float) -> tuple[np.ndarray, np.ndarray]:
    z = np.linspace(0, 6, 241)
    tails = [0.5, *(1 - NormalDist().cdf(v) for v in z[1:])]
    return z, np.array([0.0, *np.asarray(t_quantile(1 - np.array(tails[1:]), dof))])


def _bell_to_t(dof: float, bell: np.ndarray) -> np.ndarray:
    """Normal values turned into Student t ones of the same rank."""
    z, t = _t_table(float(dof))
    return np.sign(bell) * np.interp(np.abs(bell), z, t)


def normal(value: float, u: float, dof: float = np.inf, says: str = "") -> Input:
    """Scatters about a middle: u is the standard uncertainty (half the plus-or-minus at two sigma)."""
    return Input(value, u, "normal", dof, says=says)


def rectangular(value: float, half: float, dof: float = np.inf, says: str = "") -> Input:
    """Anywhere within plus or minus `half`; dof says how well the ends themselves are known."""
    return Input(value, half, "rectangular", dof, says=says)


def triangular(value: float, half: float, says: str = "") -> Input:
    """Within plus or minus `half`, the middle likeliest."""
    return Input(value, half, "triangular", says=says)


def u_shaped(value: float, half: float, says: str = "") -> Input:
    """Swings between the ends and lingers there."""
    return Input(value, half, "U-shaped", says=says)


def trapezoid(value: float, half: float, top: float, says: str = "") -> Input:
    """Flat over the share `top` of its base, then falling to both ends."""
    return Input(value, half, "trapezoid", top=top, says=says)


def exact(value: float, says: str = "") -> Input:
    """Known well enough to count as exact."""
    return Input(value, 0.0, "exact", says=says)


def as_input(thing: Any, name: str = "an input") -> Input:
    """An Input from itself, a number, (value, u), (value, u, dof), a mapping, or a spread.Uncertain."""
    if isinstance(thing, Input):
        return thing
    if isinstance(thing, Uncertain):
        if thing.kind == "flat":
            return rectangular(thing.middle, (thing.b - thing.a) / 2, says=name)
        return normal(thing.a, thing.b if thing.kind == "bell" else thing.a * thing.b, says=name)
    if isinstance(thing, Mapping):
        known = {"u": "normal", "half_width": "rectangular", "half": "rectangular", "width": "normal"}
        width = next((key for key in known if thing.get(key) is not None), None)
        if "value" not in thing or width is None:
            raise Refused(f"{name} needs a “value” and a “u” (or “half_width”); it has {', '.join(map(str, thing))}.")
        shape = thing.get("distribution") or thing.get("shape") or known[width]
        return Input(thing["value"], thing[width], "normal" if width == "u" else shape,
            np.inf if thing.get("dof") is None else thing["dof"], thing.get("top", 0.0), thing.get("says", name))
    if isinstance(thing, Sequence) and not isinstance(thing, str) and len(thing) in (2, 3):
        value, u, *dof = thing
        return normal(value, u, np.inf if not dof or dof[0] is None else dof[0], says=name)
    try:
        return exact(float(thing), says=name)
    except (TypeError, ValueError):
        raise Refused(f"{name} is {said(thing)}; give a number, a value with its standard uncertainty, "
            "or one of the shapes normal, rectangular, triangular, u_shaped, trapezoid.") from None


# ---- the budget ---------------------------------------------------------------------------------

@dataclass(frozen=True)
class Line:
    """Who contributes what: `contribution` is sensitivity times standard uncertainty, in the answer's unit."""

    name: str
    input: Input
    sensitivity: float
    contribution: float
    share: float  # of the answer's variance, first order, 0 to 1


@dataclass(frozen=True)
class MonteCarlo:
    """The answer's own spread, drawn from the inputs' shapes (JCGM 101)."""

    samples: np.ndarray

    @property
    def value(self) -> float:
        return float(self.samples.mean())

    @property
    def uncertainty(self) -> float:
        return float(self.samples.std(ddof=1))

    def interval(self, p: float = 0.95) -> tuple[float, float]:
        """The interval that leaves the same chance on either side."""
        tail = (1 - share_of_one(p)) / 2
        low, high = np.quantile(self.samples, [tail, 1 - tail])
        return float(low), float(high)


@dataclass(frozen=True)
class Budget:
    """The answer of a model with doubtful inputs. `uncertainty` is first or second order, as asked for."""

    value: float
    uncertainty: float
    dof: float                     # effective degrees of freedom, Welch-Satterthwaite, not yet cut to a whole number
    lines: tuple[Line, ...]
    first_order: float
    second_order: float
    shift: float                   # what curvature adds to the value, second order
    _run: Callable[[int], np.ndarray] = field(repr=False, compare=False)

    def expanded(self, p: float = 0.95, shape: str = "student") -> float:
        """The plus-or-minus that holds the true value with chance p.

        shape: "student" (GUM G), "trapezoid" (two rectangular inputs that rule), or "fitting",
        which takes the trapezoid or rectangle when one or two rectangles rule, else student.
        """
        return self.factor(p, shape) * self.uncertainty

    def factor(self, p: float = 0.95, shape: str = "student") -> float:
        """Coverage factor k for `expanded`."""
        if shape not in ("student", "trapezoid", "fitting"):
            raise Refused(f"The shape of the answer is “student”, “trapezoid” or “fitting”; it was “{shape}”.")
        widths = self.ruling_rectangles
        if shape == "student" or (shape == "fitting" and not widths):
            return coverage(p, self.dof)
        if not widths:
            raise Refused("No one or two rectangular inputs rule this budget, so its answer is not a trapezoid. "
                "Use the shape “student”.")
        wide, narrow = widths[0], (*widths, 0.0)[1]
        return trapezoid_coverage(p, (wide - narrow) / (wide + narrow))

    @property
    def ruling_rectangles(self) -> tuple[float, ...]:
        """Half widths, in the answer's unit, of the one or two rectangular inputs that outweigh the rest.

        The rest together must stay below 0.3 of them (EA-4/02 M, S9 and S10; from memory).
        """
        flat = sorted((abs(line.sensitivity) * line.input.width for line in self.lines
            if line.input.shape == "rectangular" and np.isinf(line.input.dof)), reverse=True)
        for count in (1, 2):
            chosen = flat[:count]
            part = sum(width**2 / 3 for width in chosen)
            if len(chosen) == count and part > 0 and max(self.first_order**2 - part, 0) <= 0.09 * part:
                return tuple(chosen)
        return ()

    @cached_property
    def monte_carlo(self) -> MonteCarlo:
        """The same budget drawn at 2,000 fixed points, so that it does not jitter."""
        return self.draw()

    def draw(self, count: int = POINTS) -> MonteCarlo:
        """The same budget drawn at `count` fixed points; more points, a steadier last figure."""
        return MonteCarlo(self._run(count))


def budget(inputs: Mapping[str, Any] | Sequence[Any], model: Callable[..., Any], order: int = 1) -> Budget:
    """Combine doubtful inputs through a model: value, uncertainty, degrees of freedom, who contributes what.

    inputs: name -> Input, number, (value, u), (value, u, dof) or a mapping with value and u; or a plain
    sequence of these, each with its name before it (or in it), else named x1, x2, ...
    model: a function of arrays, called by the inputs' names if it knows them, else in their order,
    else with one dictionary. order: 1 or 2, which of GUM (10) or the note to 5.1.2 `uncertainty` follows
    (second order with each input's own fourth moment: the GUM's formula where inputs are normal).
    Sensitivities are found numerically (Richardson's central differences, steps in fractions of u);
    `symbolic_sensitivities` checks them with SymPy. Inputs that share a cause must share an input.
    Raises Refused for a shape with negative width, a model that gives no number, or order not 1 or 2.
    """
    if not isinstance(order, int) or order not in (1, 2):
        raise Refused(f"The order is 1 or 2; it was {order}.")
    if not isinstance(inputs, Mapping):
        if not isinstance(inputs, Sequence):
            raise Refused(
                f"The inputs of a budget are names with values, or a row of values; they were {said(inputs)}.")
        inputs = dict(_named(thing, f"x{i + 1}") for i, thing in enumerate(inputs))
    if not inputs:
        raise Refused("A budget needs at least one input.")
    known = {name: as_input(thing, name) for name, thing in inputs.items()}
    call = _caller(model, tuple(known))
    middle = {name: float(part.value) for name, part in known.items()}
    doubtful = [name for name, part in known.items() if part.u > 0]
    u = np.array([known[name].u for name in doubtful])

    def at(offsets: np.ndarray) -> np.ndarray:
        """The model where the doubtful inputs are `offsets` standard uncertainties off, one row a case."""
        values: dict[str, Any] = dict(middle)
        for i, name in enumerate(doubtful):
            values[name] = middle[name] + offsets[:, i] * u[i]
        with np.errstate(all="ignore"):
            answer = _numbers(call(values), len(offsets))
        if not np.isfinite(answer).all():
            raise Refused("The model gives no number at or near these inputs. Check the values and their widths.")
        return answer

    with np.errstate(all="ignore"):
        value, slope, curve, twist = _derivatives(at, len(doubtful))
        largest = float(np.sum(slope**4) + np.sum(curve**4) + np.sum(twist**2))
    if not np.isfinite(largest):
        raise Refused("These numbers are too large to reckon with. Give them in another unit.")
    first = float(np.sqrt(np.sum(slope**2)))
    peaks = np.array([known[name].peakedness for name in doubtful])
    more = 0.5 * curve**2 + slope[:, None] * twist
    # the inputs' own fourth moments; with normal inputs this is the GUM's note to 5.1.2
    np.fill_diagonal(more, (peaks - 1) / 4 * np.diag(curve)**2 + slope * np.diag(twist) * peaks / 3)
    variance = np.sum(slope**2) + np.sum(more)
    second = float(np.sqrt(max(variance, 0.0)))
    weights = slope**4 / np.array([known[name].dof for name in doubtful]) if doubtful else np.zeros(0)
    total = float(weights.sum())
    slopes = dict(zip(doubtful, slope, strict=True))
    lines = tuple(Line(name, part, float(slopes.get(name, 0.0) / part.u) if part.u else 0.0,
        float(abs(slopes.get(name, 0.0))), float((slopes.get(name, 0.0) / first)**2) if first else 0.0) for name,
        part in known.items())

    def run(count: int) -> np.ndarray:
        return _draw(known, middle, doubtful, call, count)

    return Budget(value, first if order == 1 else second, first**4 / total if total > 0 else np.inf, lines, first,
        second, float(0.5 * np.trace(curve)) if doubtful else 0.0, run)


def _caller(model: Callable[..., Any], names: tuple[str, ...]) -> Callable[[dict[str, Any]], Any]:
    try:
        parameters = inspect.signature(model).parameters
    except (TypeError, ValueError):
        raise Refused("The model must be a function of the inputs.") from None
    kinds = {p.kind for p in parameters.values()}
    if set(names) <= set(parameters) or inspect.Parameter.VAR_KEYWORD in kinds:
        return lambda values: model(**values)
    if len(parameters) == len(names) > 1 or inspect.Parameter.VAR_POSITIONAL in kinds:
        return lambda values: model(*values.values())
    if len(parameters) == 1:
        return (lambda values: model(*values.values())) if len(names) == 1 else (lambda values: model(values))
    raise Refused(
        f"The model takes {', '.join(parameters)}, but the inputs are {', '.join(names)}. Give them the same names.")


def _named(thing: Any, name: str) -> tuple[str, Any]:
    """The name that comes with an input of a row, if one does: in a mapping, or before its value."""
    if isinstance(thing, Mapping):
        return str(thing.get("name", name)), thing
    if isinstance(thing, tuple | list) and len(thing) > 1 and isinstance(thing[0], str):
        return thing[0], thing[1] if len(thing) == 2 else tuple(thing[1:])
    return name, thing


def _numbers(answer: Any, count: int) -> np.ndarray:
    try:
        return np.broadcast_to(np.asarray(answer, dtype=float), (count,))
    except (TypeError, ValueError):
        raise Refused(
            "The model must give one number for one value of each input, and work on arrays of them.") from None


def _derivatives(at: Callable[[np.ndarray], np.ndarray], n: int) -> tuple[float, np.ndarray, np.ndarray, np.ndarray]:
    """Value, first, second and mixed third derivatives, each input counted in its own standard uncertainty."""
    eye = np.eye(n)
    near, h = 0.1, 0.2
    pairs = [(i, j) for i in range(n) for j in range(i + 1, n)]
    steps = [np.zeros((1, n)), near * eye, -near * eye, near / 2 * eye, -near / 2 * eye, h * eye, -h * eye, 2 * h * eye,
        -2 * h * eye]
    corners = [h * (a * eye[i] + b * eye[j]) for a, b in ((1, 1), (1, -1), (-1, 1), (-1, -1)) for i, j in pairs]
    cases = np.concatenate([*steps, np.array(corners).reshape(len(corners), n)])
    answer = at(cases)
    zero = float(answer[0])
    if not n:
        return zero, np.zeros(0), np.zeros((0, 0)), np.zeros((0, 0))
    blocks = answer[1:1 + 8 * n].reshape(8, n) - zero
    wide, narrow = (blocks[0] - blocks[1]) / (2 * near), (blocks[2] - blocks[3]) / near
    slope = (4 * narrow - wide) / 3
    plus, minus, plus2, minus2 = blocks[4:]
    curve, twist = np.zeros((n, n)), np.zeros((n, n))
    np.fill_diagonal(curve, (plus + minus) / h**2)
    np.fill_diagonal(twist, (plus2 - 2 * plus + 2 * minus - minus2) / (2 * h**3))
    pp, pm, mp, mm = (answer[1 + 8 * n:] - zero).reshape(4, -1)
    for k, (i, j) in enumerate(pairs):
        curve[i, j] = curve[j, i] = (pp[k] - pm[k] - mp[k] + mm[k]) / (4 * h**2)
        twist[i, j] = (pp[k] + pm[k] - 2 * plus[i] - mp[k] - mm[k] + 2 * minus[i]) / (2 * h**3)
        twist[j, i] = (pp[k] + mp[k] - 2 * plus[j] - pm[k] - mm[k] + 2 * minus[j]) / (2 * h**3)
    return zero, slope, curve, twist


def _draw(known: dict[str, Input], middle: dict[str, float], doubtful: list[str], call: Callable[[dict[str, Any]], Any],
        count: int) -> np.ndarray:
    wanted: dict[str, Uncertain] = {}
    for name in doubtful:
        part = known[name]
        wanted["1" + name] = about(0, 2) if part.shape == "normal" else between(0, 1)
        if part.shape in ("triangular", "trapezoid") or (part.shape == "rectangular" and np.isfinite(part.dof)):
            wanted["2" + name] = between(0, 1)
    points = sample(count, **wanted)
    values: dict[str, Any] = dict(middle)
    for name in doubtful:
        drawn = points["1" + name]
        values[name] = known[name].draw(drawn, drawn, points.get("2" + name, drawn))
    with np.errstate(all="ignore"):
        answer = _numbers(call(values), count)
    if not np.isfinite(answer).all():
        raise Refused("The model gives no number for some of the values its inputs may take. Narrow their widths.")
    return answer


def symbolic_sensitivities(inputs: Mapping[str, Any], model: Callable[..., Any]) -> dict[str, float]:
    """The first derivatives by SymPy, for models of plain arithmetic or of labelled formulas. Slow; for checking.

    Raises Refused where the model cannot be followed in letters.
    """
    import sympy

    known = {name: as_input(thing, name) for name, thing in inputs.items()}
    letters = {name: sympy.Symbol(name) for name in known}
    call = _caller(model, tuple(known))
    try:
        expression = sympy.sympify(call(dict(letters)))
    except (TypeError, AttributeError, sympy.SympifyError):   # what NumPy says of a letter
        raise Refused("This model cannot be followed in letters; its sensitivities are found numerically.") from None
    return {name: float(sympy.diff(expression, letter).subs({letters[n]: known[n].value for n in known})) for name,
        letter in letters.items()}


def effective_dof(contributions: Any, dofs: Any) -> float:
    """Welch-Satterthwaite: degrees of freedom of a sum of independent contributions (GUM G.4.1)."""
    u, nu = floats(contributions, "the contributions"), floats(dofs, "their degrees of freedom")
    if u.shape != nu.shape or not (np.isfinite(u).all() and (nu > 0).all()):
        raise Refused("Each contribution needs its own degrees of freedom, above zero.")
    below = float(np.sum(u**4 / nu))
    return float(np.sum(u**2)**2 / below) if below > 0 else np.inf
