"""The machinery of the hostile-input tests: what is driven, with what, and what counts as an answer.

Every public function of every module is found by itself. A first, sensible call of each is found by watching the pages,
their buttons and the exercises at work; a function that they never reach gets its call by its parameters' names
(`USUAL`).
Then each argument in turn is spoiled with every value of `RUBBISH`, and hypothesis mixes two at a time.

The rule for an ordinary function: it answers with finite numbers, or raises Refused with one sentence. Nothing else.
The rule for a labelled formula (a bare line of arithmetic that is returned unchanged and checks nothing, so that it can
be
printed, turned round and run over arrays): nan in, nan out, as in numpy; it may raise TypeError for what is no number.
"""

from __future__ import annotations

import collections
import contextlib
import copy
import dataclasses
import importlib
import inspect
import pkgutil
import re
import signal
import sys
import time
import warnings
from typing import Any

import numpy as np

import springpass
import springpass.pages
import springpass.teaching.exercises
from springpass.core import formula
from springpass.core.quantity import Quantity, Refused
from springpass.screen import page
from springpass.teaching import practice

# ---- what is driven --------------------------------------------------------------------------------

# modules whose functions are driven another way, with the reason
OTHERWISE = {
    "page": "widgets and the notebook's display: driven in test_hostile_pages",
    "page_practice": "widgets: driven in test_hostile_pages",
    "pages": "a page's own compute, picture and words are driven through the page, in test_hostile_pages",
    "exercises": "their builders take numbers from the draw alone: driven through practice.pose",
}
# single functions that are not driven, with the reason
NOT_DRIVEN = {
    "core.formula.formula": "a decorator for whoever writes a topic; it makes a label and computes nothing",
    "core.formula.check_body": "reads a formula's source for the tests",
    "core.formula.check_label": "reads a formula's label for the tests",
    "core.formula.check_print": "compares a formula with its print for the tests",
    "core.formula.check_dimensions": "scales a formula for the tests",
    "printing.pages_to_print.to_pdf": "starts a browser: tested with the handouts",
    "printing.pages_to_print.chromium": "looks for a browser on this computer",
    "core.formula.random_inputs": "draws inputs for the tests of formulas",
    "core.formula.roots": "takes any function of one's own",
    "printing.pocket.card.main": "the command line: tested as a command",
    "core.quantity.quantity": "makes a quantity, for whoever writes a topic",
    "core.quantity.plain": "writes numbers that were looked at, thousands of times a picture",
    "core.quantity.said": "names what is wrong in a sentence",
    "core.quantity.floats": "the door's own tool: nan passes, its caller looks",
    "core.quantity.factor": "between two units of the library's own",
    "core.quantity.positive": "the models' own tool, tested in test_quantities",
    "core.door.within": "passes a call on",
    "core.door.door": "closes the door behind a module",
    "printing.pocket.card.make": "works out a page hundreds of times: tested with the pocket pages",
}

# Fields and functions whose infinity or nan has a meaning, which their own text says ("without limit", "nan where none
# does").
MEANT = {
    "dof": "infinite: known exactly",
    "most": "no upper end",
    "least": "no lower end",
    "high": "only the low side matters",
    "low": "no lower limit",
    "rotation": "does not tilt",
    "above": "no next step up",
    "below": "no next step down",
    "chatter_limit": "cannot chatter",
    "lightest": "no depth is enough",
    "open": "never opens",
    "needed": "no warming is enough",
    "error": "cut away later",
    "outside_error": "nothing was turned",
    "bore_error": "nothing was bored",
    "longest": "none does",
    "above_speed": "no next step up",
    "depth": "a force was given, no cut",
    "chance": "none was asked",
    "second": "there is none",
    "nought": "never touches",
    "largest": "has no upper end",
    "taper": "has none",
    "seconds": "never gets there",
    "time": "never gets there",
    "time_until": "never gets there",
    "shut": "never shuts",
    "times": "the drill leaves nothing on the diameter",
    "printing.handout.shown_value": "the caller's words come back",
    "boring_bar.vibration.chatter_depth": "cannot chatter",
    "boring_bar.vibration.lobes": "no part there",
    "boring_bar.stickout.longest_stickout": "none does",
    "boring_bar.stickout.slimmest_bar": "none does",
    "boring_bar.stickout.deepest_cut": "none does",
    "heat.thermal_growth.time_to_size": "never gets there",
    "job.shop.change": "the user's words come back",
    "job.shop.load": "the caller's empty file comes back",
    "job.shop.records": "the user's words come back",
    "printing.sheet.typed": "the user's words come back",
    "measuring.budgets.effective_dof": "known exactly",
    "fits.fit_target.wanted": "no upper end",
}

# modules that make whole files to print: driven where the pages reach them, and in their own tests
TO_PRINT = {
    "paper",
    "handout",
    "pocket",
    "pocket_paper",
    "pocket_parts",
    "pocket_steps",
    "wall_card",
    "class_predictions",
    "lessons",
    "classroom",
    "access",
    "progress",
}

# pages whose buttons make whole files to print, some in a browser: their own tests press them
PRINTING = {"pocket_card", "handouts", "lesson_plans", "club_course", "class_sheets", "wall_cards"}


def modules() -> list[Any]:
    """Every module of the library whose functions are driven directly."""
    found = [importlib.import_module(name) for _, name, _ in pkgutil.iter_modules(springpass.__path__, "springpass.")]
    return [m for m in found if m.__name__.split(".")[1] not in OTHERWISE]


def is_public(name: str, thing: Any, module: Any) -> bool:
    plain = inspect.unwrap(thing) if callable(thing) else thing
    return not name.startswith("_") and inspect.isfunction(plain) and plain.__module__ == module.__name__


def functions() -> dict[str, Any]:
    """Every public function by "module.name", cached ones too."""
    return {f"{m.__name__.split('.')[1]}.{name}": thing for m in modules() for name, thing in sorted(vars(m).items())
            if is_public(name, thing, m) and f"{m.__name__.split('.')[1]}.{name}" not in NOT_DRIVEN}


# ---- a first, sensible call of each -----------------------------------------------------------------


class Watch:
    """Notes the arguments with which functions are called, the first two times each."""

    def __init__(self) -> None:
        self.codes = {inspect.unwrap(f).__code__: name for name, f in functions().items()}
        self.calls: dict[str, list[dict[str, Any]]] = collections.defaultdict(list)

    def __enter__(self) -> Watch:
        for module in [m for name, m in list(sys.modules.items()) if name.startswith("springpass")]:
            for thing in list(vars(module).values()):   # what is remembered would not be called again
                if hasattr(thing, "cache_clear"):
                    thing.cache_clear()
        sys.setprofile(self._see)
        return self

    def __exit__(self, *_: Any) -> None:
        sys.setprofile(None)

    def _see(self, frame: Any, event: str, _: Any) -> None:
        name = self.codes.get(frame.f_code) if event == "call" else None
        if name and len(self.calls[name]) < 1:
            code = frame.f_code
            sys.setprofile(None)
            seen = {n: copied(frame.f_locals[n]) for n in code.co_varnames[:code.co_argcount + code.co_kwonlyargcount]}
            at = code.co_argcount + code.co_kwonlyargcount
            if code.co_flags & inspect.CO_VARARGS:
                seen["*"] = frame.f_locals[code.co_varnames[at]]
                at += 1
            if code.co_flags & inspect.CO_VARKEYWORDS:
                seen["**"] = dict(frame.f_locals[code.co_varnames[at]])
            self.calls[name].append(seen)
            sys.setprofile(self._see)


def copied(value: Any) -> Any:
    """A copy of what a function could change."""
    return copy.deepcopy(value) if isinstance(value, (np.ndarray, list, dict, set)) else value


def pages() -> dict[str, page.Page]:
    """Every page of the library by its name."""
    found: dict[str, page.Page] = {}
    for _, name, _ in pkgutil.iter_modules(springpass.pages.__path__):
        for value in vars(importlib.import_module(f"springpass.pages.{name}")).values():
            if isinstance(value, page.Page):
                found.setdefault(value.name, value)
    return found


def at_work() -> dict[str, dict[str, Any]]:
    """A sensible call of every function that the pages, their buttons and the exercises reach."""
    found = pages().values()
    with Watch() as watch, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for one in found:
            with contextlib.suppress(Refused):
                one.answer()
            for press in one.presses if one.name not in PRINTING else ():
                with contextlib.suppress(Refused):
                    press.does(**one.usual())
        for chapter in springpass.teaching.exercises.chapters().values():
            for exercise in chapter.exercises:
                task = practice.pose(exercise)
                with contextlib.suppress(Refused):
                    practice.check(task, task.answer_text())
                task.solution()
    return {name: calls[0] for name, calls in watch.calls.items()}


# ---- rubbish -----------------------------------------------------------------------------------------

NUMBERS: list[Any] = [
    float("nan"),
    float("inf"),
    float("-inf"),
    0.0,
    -0.0,
    -1.0,
    1e300,
    -1e300,
    1e-300,
    5e-324,
    1e12,
    -1e12,
    0,
    -7,
    10**400,
    2**63,
    np.float32(1.5),
    np.float64("nan"),
    np.int64(3),
    np.float16("inf"),
    np.longdouble(2),
    np.array(2.5),
    0.3,
]
TEXTS: list[Any] = [
    "",
    " ",
    "abc",
    "12,5",
    "12.5",
    "1.234,5",
    "1,234.5",
    "٣",
    "𝟓",
    "½",
    "12\u2009500",
    "nan",
    "inf",
    "-1",
    "1e400",
    "5 kg",
    "2 inch",
    "🙂",
    "\x00",
    "../../etc",
    "<b>",
    "x" * 30000,
    "9" * 5000,
    "\ud800",
]
KINDS: list[Any] = [
    None,
    True,
    False,
    np.bool_(True),
    1j,
    np.complex128(2),
    b"12",
    b"\xff\xfe",
    [],
    (),
    {},
    set(),
    [1.0, "a"],
    [None],
    [float("nan")],
    {"a": 1},
    [[1.0, 2.0], [3.0]],
    [(1.0, 2.0)],
    range(3),
    object(),
    len,
    int,
    iter([1.0]),
]
ARRAYS: list[Any] = [
    np.array([]),
    np.array([1.0, np.nan]),
    np.array([np.inf, 2.0]),
    np.array([2.0, -1.0, 0.0]),
    np.array([1, 2], dtype=object),
    np.array([1, None], dtype=object),
    np.array(["a", "b"]),
    np.array([1 + 1j]),
    np.array([[1.0, 2.0], [3.0, 4.0]]),
    np.array(["2020-01-01"], dtype="datetime64[D]"),
    np.array([True, False]),
    np.array([1e300, 1e-300]),
    np.zeros((0, 3)),
]
RUBBISH = [*NUMBERS, *TEXTS, *KINDS, *ARRAYS]


def fresh(value: Any) -> Any:
    """The same rubbish again, for a value that a call could use up or change."""
    return iter([1.0]) if isinstance(value, type(iter([]))) else copied(value)


# ---- what counts as an answer --------------------------------------------------------------------------

PYTHON = re.compile(
    r"\bnan\b|\binf\b|None|NaN|\bnp\.|\barray\(|dtype|<class|object "
    r"at|\w+Error\b|float64|\bTrue\b|\bFalse\b|Likely\(|\bobject\b(?= of)"
    r"|\bNoneType\b|Traceback|builtin|\\x|\{\}|\[\]|e\+\d\d|\d{40}"
)


def sentence(text: str) -> str:
    """"" if a refusal is one clear sentence for a turner; otherwise what is wrong with it."""
    if not 20 <= len(text) <= 600:
        return f"a sentence is 20 to 600 letters long; this one has {len(text)}"
    if text[0].isalpha() and text[0].islower() and re.match(r"[a-z]{3}", text):
        return "a sentence begins with a capital"
    if text.rstrip()[-1] not in ".?)”":
        return "a sentence ends with a full stop"
    if found := PYTHON.search(re.sub(r"“[^”]*”", "“”", text)):
        return f"“{found.group()}” is no turner's word"
    return ""


def unsound(result: Any, path: str = "", depth: int = 0) -> str:
    """"" if nothing in a result is nan, infinite or an unreadable word; otherwise where it is."""
    if isinstance(result, (bool, np.bool_, int, bytes, type(None))) or depth > 7:
        return ""
    if isinstance(result, (float, np.floating)):
        return "" if np.isfinite(result) else f"{path or 'the answer'} is {result}"
    if isinstance(result, complex):
        return f"{path or 'the answer'} is complex"
    if isinstance(result, np.ndarray):
        if result.dtype.kind == "c":
            return f"{path} is complex"
        return "" if result.dtype.kind not in "f" or np.isfinite(result).all() else \
            f"{path or 'the answer'} holds {result[~np.isfinite(result)].flat[0]}"
    if isinstance(result, str):
        found = re.search(r"\bnan\b|\binf\b|\bNone\b", result)
        return f"{path or 'the answer'} says “{found.group()}”" if found else ""
    if isinstance(result, Quantity):
        return ""
    if dataclasses.is_dataclass(result) and not isinstance(result, type):
        parts = [(f.name, getattr(result, f.name, None)) for f in dataclasses.fields(result)]
    elif isinstance(result, dict):
        parts = list(result.items())
    elif isinstance(result, (list, tuple, set, frozenset)):
        parts = list(zip(getattr(result, "_fields", range(len(result))), result, strict=True))
    else:
        return ""
    for name, part in parts:
        if name not in MEANT and (wrong := unsound(part, f"{path}.{name}" if path else str(name), depth + 1)):
            return wrong
    return ""


class TooSlow(Exception):
    """A call that took longer than anybody would wait."""


if hasattr(signal, "setitimer"):
    @contextlib.contextmanager
    def patience(seconds: float) -> Any:
        """Raise TooSlow in what lasts longer."""
        def ring(*_: Any) -> None:
            raise TooSlow

        # the computer's own time first, so that a busy machine is not taken for a slow answer; then what a person would
        # wait
        timers = ((signal.SIGPROF, signal.ITIMER_PROF, seconds), (signal.SIGALRM, signal.ITIMER_REAL, 20 * seconds))
        before = [signal.signal(bell, ring) for bell, _, _ in timers]
        for _, timer, limit in timers:
            signal.setitimer(timer, limit)
        try:
            yield
        finally:
            for (bell, timer, _), old in zip(timers, before, strict=True):
                signal.setitimer(timer, 0)
                signal.signal(bell, old)
else:
    @contextlib.contextmanager
    def patience(seconds: float) -> Any:
        """Raise TooSlow after what lasted longer: Windows has no such bell."""
        began = time.process_time()
        yield
        if time.process_time() - began > seconds:
            raise TooSlow


def same(a: Any, b: Any) -> bool:
    """Equal, arrays elementwise, nan equal to nan."""
    if isinstance(a, np.ndarray) or isinstance(b, np.ndarray):
        if not isinstance(a, np.ndarray) or not isinstance(b, np.ndarray) or a.shape != b.shape or a.dtype != b.dtype:
            return False
        return a.tobytes() == b.tobytes() if a.dtype != object else list(map(repr, a.flat)) == list(map(repr, b.flat))
    if isinstance(a, (list, tuple)):
        return type(a) is type(b) and len(a) == len(b) and all(same(x, y) for x, y in zip(a, b, strict=True))
    if isinstance(a, dict):
        return isinstance(b, dict) and list(a) == list(b) and all(same(x, b[n]) for n, x in a.items())
    return a is b or repr(a) == repr(b)


def called(function: Any, seen: dict[str, Any]) -> Any:
    """Call with the arguments by name, as they were seen."""
    positional, named = [], {}
    for name, parameter in inspect.signature(function).parameters.items():
        if parameter.kind is parameter.VAR_POSITIONAL:
            positional += list(seen.get("*", ()))
        elif parameter.kind is parameter.VAR_KEYWORD:
            named |= seen.get("**", {})
        elif name not in seen:
            continue
        elif parameter.kind is parameter.POSITIONAL_ONLY or (
            "*" in seen and parameter.kind is parameter.POSITIONAL_OR_KEYWORD
        ):
            positional.append(seen[name])
        else:
            named[name] = seen[name]
    return function(*positional, **named)


def has_infinite(seen: dict[str, Any]) -> bool:
    """Whether an argument that may be infinite (a rigid holder, a limit that is none) is so: then an answer may echo
    it.
    """
    return any(isinstance(v, (float, np.floating)) and v in (np.inf, -np.inf) for v in seen.values())


ANSWERED, REFUSED, WRONG = "answered", "refused", "wrong"


def tried(function: Any, seen: dict[str, Any], lasts: float = 5.0) -> tuple[str, str, Any]:
    """Call it and say how it went: answered, refused or wrong; what was said; the answer."""
    before = {name: copied(value) for name, value in seen.items() if isinstance(value, (np.ndarray, list, dict))}
    bare = formula.is_formula(function)
    try:
        with warnings.catch_warnings(), patience(lasts):
            warnings.simplefilter("ignore" if bare else "error")
            result = called(function, seen)
    except Refused as refusal:
        wrong = sentence(str(refusal))
        return (WRONG, f"says “{str(refusal)[:200]}”: {wrong}", None) if wrong else (REFUSED, str(refusal), None)
    except TypeError as mishap:
        if bare:
            return REFUSED, "", None
        return WRONG, f"TypeError: {mishap}"[:200], None
    except Exception as mishap:
        if bare and isinstance(mishap, (ArithmeticError, ValueError)):
            return REFUSED, "", None
        return WRONG, f"{type(mishap).__name__}: {mishap}"[:200], None
    for name, value in before.items():
        if not same(value, seen[name]):
            return WRONG, f"changed the caller's {name}", None
    name = f"{function.__module__.split('.')[-1]}.{function.__name__}"
    if (
        not bare
        and name not in MEANT
        and not has_infinite(seen)
        and (wrong := unsound(result))
        and not (" says " in wrong and any(isinstance(v, str) and re.search("nan|inf", v) for v in seen.values()))
    ):  # their own words come back
        return WRONG, f"a silent answer: {wrong}", None
    return ANSWERED, "", result


# ---- driving everything ----------------------------------------------------------------------------------


def by_hand() -> dict[str, dict[str, Any]]:
    """A sensible call of what the pages and exercises never reach. A new function that is not reached goes here."""
    from springpass import job, measuring
    from springpass.boring_bar import tap_test
    from springpass.job import bayes, tools

    chapter = next(iter(springpass.teaching.exercises.chapters().values()))
    task = practice.pose(chapter.exercises[0])
    thing, wav = job.plan(), tap_test.made_up_taps(2000, 0.02)
    deflection = importlib.import_module("springpass.boring_bar.bending").tip_deflection
    return {
        "fits.fit_target.match": dict(measured=20.0, what="slides"),
        "stops.gauge_blocks.read_set": dict(text="1.005 1.01"),
        "bore_stress.release.measured_sample": dict(stock="", axial=-50.0, hoop=30.0),
        "cutting.forces.best_feed": dict(nose_radius=0.4, least_chip=0.004),
        "screen.draw.with_caption": dict(svg='<svg viewBox="0 0 9 9"></svg>', words="Words."),
        "drilling.bulk": dict(form="short, curled"),
        "drilling.drilled_depth": dict(full_depth=32.0, diameter=9.8),
        "drilling.full_depth": dict(tip=32.0, diameter=9.8),
        "drilling.speed": dict(material="low-carbon steel"),
        "cutting.surface_finish.feed_for": dict(
            wanted_ra=0.0016, material="low-carbon steel", edge_kind="carbide, ground", nose_radius=0.4, speed=60.0
        ),
        "core.formula.dimension": dict(unit="N mm/rad"),
        "core.formula.random_inputs": dict(function=deflection, count=5),
        "core.formula.roots": dict(function=np.sin, low=1.0, high=5.0),
        "core.formula.solve_for": {
            "name": "stickout",
            "function": deflection,
            "target": 0.005,
            "**": dict(force=15.0, bar=8.0, modulus=205e3),
        },
        "job.planning.virtual_parts": dict(made=thing, count=2000),
        "job.learning.keep_results": dict(results=(), part="sleeve"),
        "job.learning.kept_expected": {},
        "measuring.budgets.effective_dof": dict(contributions=[0.1, 0.2], dofs=[3.0, 9.0]),
        "measuring.budgets.symbolic_sensitivities": dict(inputs={"a": measuring.exact(2.0)}, model=lambda a: 3 * a),
        "measuring.budgets.trapezoid": dict(value=0.0, half=1.0, top=0.3),
        "measuring.budgets.triangular": dict(value=0.0, half=1.0),
        "measuring.budgets.u_shaped": dict(value=0.0, half=1.0),
        "teaching.practice.code": dict(learner="ash"),
        "teaching.practice.compare": dict(task=task, typed="7.6"),
        "teaching.progress.bring_back": dict(learner="ash"),
        "teaching.progress.call_me": dict(learner="ash"),
        "teaching.progress.note": {
            "part": chapter.name,
            "name": chapter.exercises[0].name,
            "learner": "ash",
            "**": dict(right=True),
        },
        "teaching.progress.pages": dict(learner="ash"),
        "teaching.progress.reset": dict(learner="ash"),
        "teaching.progress.sheet": dict(chapters=[chapter], learner="ash"),
        "teaching.progress.summary": dict(chapter=chapter, learner="ash"),
        "teaching.progress.table": {},
        "teaching.progress.who": {},
        "reaming.teeth.corner_chip": dict(stock=0.2, tooth_feed=0.05, corner_radius=0.5),
        "reaming.log.student_points": dict(dof=4),
        "reaming.log.fit_holes": dict(
            holes=[
                dict(
                    size=10.0,
                    reamer=10.005,
                    hole=10.008 + 0.001 * (i % 3),
                    stock=0.1 + 0.02 * i,
                    feed=0.2,
                    speed=5.0,
                    fluid="cutting oil",
                    material="steel",
                )
                for i in range(9)
            ],
            stock=0.2,
        ),
        "job.shop.forget": dict(number=1),
        "job.shop.forget_all": dict(numbers=[1]),
        "job.shop.notices": {},
        "job.shop.restore": dict(number=1),
        "job.shop.save": dict(name="hostile", data={"a": 1}),
        "job.shop.put": dict(name="hostile.txt", text="a sheet"),
        "measuring.coverage_factors.trapezoid_coverage": {},
        "core.tables.interpolate": dict(table="fundamental", x=20.0, along="upto", column="value"),
        "boring_bar.tap_test.read_wav": dict(content=tap_test.write_wav(wav)),
        "boring_bar.tap_test.write_wav": dict(recording=wav),
        "threads.single_point.wire_span": dict(thread="M18x1"),
        "threads.sizes.bore_for": dict(thread="M18x1"),
        "threads.sizes.preferred": dict(value=1.3),
        "job.tools.keep": dict(description=tools.default_shop().description),
        "job.tools.read_text": dict(text=tools.as_text(tools.default_shop().description)),
        "job.bayes.learn_mean": dict(prior=bayes.Bell(0.0, 1.0), results=[0.1, 0.2], noise=0.1),
        "workholding.bending.spindle_from_weights": dict(
            mass=[0.0, 1.0, 2.0, 3.0],
            reading=[0.0, 0.001, 0.002, 0.003],
            distance=[40.0, 40.0, 80.0, 80.0],
            bar_diameter=20.0,
        ),
    }


def by_quantities(function: Any) -> dict[str, Any]:
    """A labelled formula at its usual values, as numpy numbers: it is arithmetic over arrays."""
    return {name: np.float64(what.usual) for name, what in formula.inputs(function).items()}


def first_calls() -> dict[str, dict[str, Any]]:
    """A sensible call of every function that is driven."""
    seen = {**at_work(), **by_hand()}
    calls = {}
    for name, f in functions().items():
        if formula.is_formula(f):
            calls[name] = by_quantities(f)
        elif name in seen:
            calls[name] = seen[name]
        elif all(
            p.default is not p.empty or p.kind in (p.VAR_KEYWORD, p.VAR_POSITIONAL)
            for p in inspect.signature(f).parameters.values()
        ):
            calls[name] = {n: p.default for n, p in inspect.signature(f).parameters.items() if p.default is not p.empty}
    return calls


def weight(function: Any, seen: dict[str, Any]) -> int:
    """How many calls of Python one call costs: heavy functions get fewer pieces of rubbish. The same on every machine.
    """
    count = 0

    def see(frame: Any, event: str, _: Any) -> None:
        nonlocal count
        count += event in ("call", "c_call")
    sys.setprofile(see)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            called(function, {name: copied(value) for name, value in seen.items()})
    except Exception:
        return count
    finally:
        sys.setprofile(None)
    return count


@dataclasses.dataclass
class Count:
    """What was tried of one module."""

    answered: int = 0
    refused: int = 0
    wrong: int = 0

    def add(self, how: str) -> None:
        setattr(self, how, getattr(self, how) + 1)

    @property
    def tried(self) -> int:
        return self.answered + self.refused + self.wrong


COUNTS: dict[str, Count] = collections.defaultdict(Count)


def spoiled(name: str, function: Any, seen: dict[str, Any], deep: bool = False) -> list[str]:
    """Every argument in turn spoiled with rubbish; what went wrong, as sentences. Heavy functions take a share of it.
    """
    step = 1 if deep else max(1, weight(function, seen) // 400)
    faults = []
    for place, argument in enumerate(part for part in inspect.signature(function).parameters if part in seen):
        pieces = (
            [r for r in RUBBISH if not (isinstance(r, (str, int)) and len(str(r)) > 200)]
            if formula.is_formula(function)
            else RUBBISH
        )
        for rubbish in pieces[place % step::step]:
            changed = {**{n: copied(v) for n, v in seen.items()}, argument: fresh(rubbish)}
            how, said, _ = tried(function, changed)
            COUNTS[name.split(".")[0]].add(how)
            if how == WRONG:
                faults.append(f"{name}({argument}={repr(rubbish)[:40]}): {said}")
    return faults


def table() -> str:
    """The counts, module by module."""
    lines = [f"{'module':22}{'tried':>8}{'answered':>10}{'refused':>9}{'wrong':>7}"]
    lines += [f"{m:22}{c.tried:8}{c.answered:10}{c.refused:9}{c.wrong:7}" for m, c in sorted(COUNTS.items())]
    total = [sum(getattr(c, part) for c in COUNTS.values()) for part in ("tried", "answered", "refused", "wrong")]
    return "\n".join([*lines, f"{'all':22}{total[0]:8}{total[1]:10}{total[2]:9}{total[3]:7}"])
