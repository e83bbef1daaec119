"""The door: every public function of a module is called through it, so that each says the same of what it cannot use.

The last line of a module is `door(globals())`. From then on a call from outside (a page, a notebook, a test, a user) is
looked at once, by what the function says of itself: `float` is one finite number, `Numbers` one or many, `int` a count,
`str` text, a class its own kind, and so on. Text that is a number is read ("12,5" is 12.5). What does not fit is
Refused
with a sentence; so are values so extreme that no number comes of them. Ranges and meaning stay the function's own
affair
(`positive`, `Quantity.check`). Calls of the library within itself pass straight through and cost next to nothing;
labelled formulas stay as they are.
"""

from __future__ import annotations

import collections.abc as abc
import contextlib
import dataclasses
import functools
import inspect
import types
import typing
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np

from .quantity import Limit, Numbers, Refused, floats, number, said

LARGEST = 1e30          # beyond this nothing in a workshop lies, and fourth powers would overflow
SMALLEST = 1e-30        # what is smaller is nought
MOST = 5_000_000        # points, samples, passes: what a small computer still holds
LONGEST = 3_000_000     # letters of a text
Check = Callable[[Any], Any]
_inside = False         # a call of the library within itself


def door(module: dict[str, Any]) -> None:
    """Put every public function of a module (its `globals()`) behind the door; labelled formulas are left as they are.
    """
    for name, thing in list(module.items()):
        plain = inspect.unwrap(thing) if callable(thing) else thing
        if not name.startswith("_") and inspect.isfunction(plain) and plain.__module__ == module["__name__"] \
                and not hasattr(plain, "label"):
            module[name] = _behind(thing, plain)


@contextlib.contextmanager
def outside() -> Iterator[None]:
    """While a call of the library works out a page (onto a card, say): the door looks again, as it does for a notebook.
    """
    global _inside
    before, _inside = _inside, False
    try:
        yield
    finally:
        _inside = before


def within(function: Callable[..., Any], *args: Any) -> Any:
    """Call a part of the library (a page's picture, say) that is given what the library itself has worked out: nothing
    to look at.
    """
    global _inside
    before, _inside = _inside, True
    try:
        return function(*args)
    finally:
        _inside = before


def _behind(function: Callable[..., Any], plain: Callable[..., Any]) -> Callable[..., Any]:
    checks: list[Any] = []
    watched = "nan" not in (plain.__doc__ or "")   # where nan has a meaning, the function says so

    @functools.wraps(function)
    def called(*args: Any, **named: Any) -> Any:
        global _inside
        if _inside:
            return function(*args, **named)
        if not checks:
            checks.extend(_checks(plain))
        by_place, by_name, further, any_name, unlooked = checks
        try:
            with np.errstate(all="ignore"):
                args = tuple([(by_place[i] if i < len(by_place) else further)(value) for i, value in enumerate(args)])
                named = {name: by_name.get(name, any_name)(value) for name, value in named.items()}
                _inside = True
                result = function(*args, **named)
        except Refused:
            raise
        except (ArithmeticError, MemoryError, RecursionError, np.linalg.LinAlgError) as mishap:
            raise Refused("No answer comes of these values: one of them is too large, too small or too many. "
                          "Move them towards what is usual in a workshop.") from mishap
        except (ValueError, IndexError, TypeError, KeyError, AttributeError, StopIteration) as mishap:
            # the mishap stays behind the sentence, for whoever looks for a fault in the library itself
            if any(isinstance(v, (np.ndarray, list, tuple)) for v in (*args, *named.values())):
                raise Refused(
                    f"The lists given to “{_called(plain.__name__)}” do not go together, or one value is wanted there. "
                    "Give single numbers, or lists of the same length."
                ) from mishap
            if unlooked:
                raise Refused(f"“{_called(plain.__name__)}” cannot use what it was given as {' or '.join(unlooked)}. "
                              "Give it what its description asks for.") from mishap
            if type(mishap) not in (ValueError, IndexError, KeyError):
                raise
            raise Refused(f"“{_called(plain.__name__)}” has no answer for these values. "
                          "Move them towards what is usual in a workshop.") from mishap
        finally:
            _inside = False
        if watched and _no_number(result):
            raise Refused(
                "No number comes of these values: they contradict each other or are too far from what is usual. "
                "Move them towards their usual values."
            )
        return result

    for more in ("cache_clear", "cache_info"):
        if hasattr(function, more):
            setattr(called, more, getattr(function, more))
    return called


def _no_number(result: Any) -> bool:
    """Whether a bare answer, or one of a row of bare answers, is nan."""
    if isinstance(result, float):
        return result != result
    if isinstance(result, np.ndarray):
        return result.dtype.kind == "f" and bool(np.isnan(result).any())
    return isinstance(result, tuple) and type(result) is tuple and any(_no_number(part) for part in result[:8])


# ---- what each argument may be -----------------------------------------------------------------------


def _called(name: str) -> str:
    return name.strip("_").replace("_", " ")


def _checks(function: Callable[..., Any]) -> tuple[list[Check], dict[str, Check], Check, Check, list[str]]:
    """Checks by place, by name, for further places and for any other name; the names that are left to the function."""
    hints = typing.get_type_hints(function, include_extras=True)
    by_place, by_name = [], {}
    further: Check = _anything
    any_name: Check = _anything
    for name, parameter in inspect.signature(function).parameters.items():
        check = _check(hints.get(name, Any), _called(name), parameter.default)
        if parameter.kind is parameter.VAR_POSITIONAL:
            further = check
        elif parameter.kind is parameter.VAR_KEYWORD:
            any_name = _anything if hints.get(name, Any) is Any else check   # facts of any kind
        else:
            if parameter.kind is not parameter.KEYWORD_ONLY:
                by_place.append(check)
            by_name[name] = check
    unlooked = [
        _called(name) for name, check in by_name.items() if isinstance(check, functools.partial) and check.func is _left
    ]
    return by_place, by_name, further, any_name, unlooked


def _anything(value: Any) -> Any:
    return value


def _left(name: str, given: Any) -> Any:
    """What the function looks at itself; only what no function could use is refused."""
    value: Any = given
    if isinstance(value, (complex, np.complexfloating)) or (isinstance(value, np.ndarray) and value.dtype.kind == "c"):
        raise _no(name, "made of ordinary numbers", value)
    if isinstance(value, (float, np.floating)) and not abs(float(value)) < LARGEST and not np.isinf(value):
        raise _no(name, "a finite number that a workshop may meet", value)
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) > 2**53:
        return _within(name, False, value)
    if isinstance(value, np.ndarray) and value.dtype.kind == "f" and ((abs(value) > LARGEST) & ~np.isinf(value)).any():
        raise _no(name, "finite numbers that a workshop may meet", value)
    return 0.0 if type(value) is float and abs(value) <= SMALLEST else value


def _check(hint: Any, name: str, default: Any = inspect.Parameter.empty) -> Check:
    infinite = isinstance(default, float) and np.isinf(default)
    if hint is Limit:
        return functools.partial(_limit, name)
    if hint is Numbers or (hint is Any and isinstance(default, (float, int)) and not isinstance(default, bool)):
        return functools.partial(_numbers, name, infinite)
    if hint is Any or hint is bytes or isinstance(hint, typing.TypeVar):   # the function looks at it itself
        return functools.partial(_left, name)
    if hint is float:
        return functools.partial(_one_number, name, infinite)
    if hint is int:
        return functools.partial(_count, name)
    if hint is str:
        return functools.partial(_text, name)
    if hint is bool:
        return functools.partial(_yes_or_no, name)
    kind = typing.get_origin(hint) or hint
    parts = typing.get_args(hint)
    if kind in (typing.Union, types.UnionType):
        return functools.partial(
            _one_of,
            name,
            [
                functools.partial(_kind, name, bytes) if part is bytes else _check(part, name)
                for part in parts
                if part is not type(None)
            ],
            type(None) in parts,
        )
    if kind is typing.Annotated:
        return _check(parts[0], name, default)
    if kind is tuple and parts and parts[-1] is not Ellipsis:
        return functools.partial(_row, name, [_check(part, name) for part in parts])
    if isinstance(kind, type) and issubclass(kind, abc.Mapping):
        return functools.partial(_mapping, name, _check(parts[1], name) if len(parts) > 1 else _anything)
    if (
        isinstance(kind, type)
        and kind is not np.ndarray
        and issubclass(kind, abc.Iterable)
        and not issubclass(kind, (bytes, bytearray))
        and not dataclasses.is_dataclass(kind)
    ):
        return functools.partial(_list, name, kind, _check(parts[0], name) if parts else _anything)
    if kind is abc.Callable:
        return functools.partial(_function, name)
    if kind is np.ndarray:
        return functools.partial(_numbers, name, infinite)
    return functools.partial(_kind, name, kind) if isinstance(kind, type) else _anything


def _no(name: str, must: str, value: Any) -> Refused:
    return Refused(f"{name} must be {must}; it was {said(value)}.")


def _one_number(name: str, infinite: bool, value: Any) -> Any:
    if type(value) is float and SMALLEST < value < LARGEST:   # by far the most common
        return value
    if isinstance(value, str):
        value = _read(name, value)
    if isinstance(value, np.ndarray) and value.ndim == 0 and value.dtype.kind in "fiu":
        value = value[()]
    if isinstance(value, (bool, np.bool_)) or not isinstance(value, (int, float, np.integer, np.floating)):
        raise _no(name, "one number", value)
    return _within(name, infinite, value)


def _limit(name: str, value: Any) -> Any:
    if isinstance(value, (float, np.floating)) and np.isinf(value):
        return value
    return _one_number(name, False, value)


def _within(name: str, infinite: bool, value: Any) -> Any:
    if isinstance(value, np.floating) and not isinstance(value, np.float64):
        value = float(value)
    if isinstance(value, int) and 2**53 < abs(value) < LARGEST:   # numpy's whole numbers end soon after
        value = float(value)
    if (infinite and value == np.inf) or SMALLEST < abs(value) < LARGEST or value == 0:
        return value
    if abs(value) <= SMALLEST:
        return 0.0
    raise _no(name, "a finite number that a workshop may meet", value)


def _numbers(name: str, infinite: bool, value: Any) -> Any:
    if type(value) is float and SMALLEST < value < LARGEST:
        return value
    if value is None or isinstance(value, (bool, np.bool_, bytes, dict, set)):
        raise _no(name, "a number or a list of numbers", value)
    if not isinstance(value, (np.ndarray, list, tuple, range)):
        return _one_number(name, infinite, value)
    many = value if isinstance(value, np.ndarray) and value.dtype == float else floats(value, name)
    if not many.size:
        raise Refused(f"{name} is missing: the list is empty. Give one number or more.")
    if (
        many.size <= 64 and ((many != 0) & (np.abs(many) <= SMALLEST)).any()
    ):  # typed lists; samples are drawn by the library
        many = np.where(np.abs(many) <= SMALLEST, 0.0, many)
    flat = many.ravel()
    if not flat.dot(flat) < LARGEST**2:
        bad = flat[np.isnan(flat) | (np.abs(flat) > LARGEST) & ~(infinite & (flat == np.inf))]
        if bad.size:
            raise _no(name, "finite numbers that a workshop may meet", float(bad[0]))
    return many


def _read(name: str, text: str) -> float:
    try:
        return number(text)
    except Refused as refusal:
        raise Refused(f"{name}: {refusal}") from None


def _count(name: str, value: Any) -> Any:
    if type(value) is int and -MOST <= value <= MOST:
        return value
    if isinstance(value, str):
        value = _read(name, value)
    if isinstance(value, (bool, np.bool_)) or not isinstance(value, (int, float, np.integer, np.floating)) or \
            not -MOST <= value <= MOST or value != int(value):
        raise _no(name, f"a whole number, at most {MOST}", value)
    return int(value)


def _text(name: str, value: Any) -> Any:
    if not isinstance(value, str):
        raise _no(name, "text", value)
    if len(value) > LONGEST:
        raise Refused(f"{name} is too long: {len(value)} letters. Keep it under {LONGEST}.")
    if not value.isascii():
        try:
            value.encode("utf-8")
        except UnicodeEncodeError:
            raise Refused(f"{name} holds a letter that is broken in two. Type it again.") from None
    return value


def _yes_or_no(name: str, value: Any) -> Any:
    if not isinstance(value, (bool, np.bool_)):
        raise _no(name, "yes or no", value)
    return value


def _one_of(name: str, checks: list[Check], nothing: bool, value: Any) -> Any:
    if value is None and nothing:
        return None
    refusals = []
    for check in checks:
        try:
            return check(value)
        except Refused as refusal:
            refusals.append(refusal)
    raise refusals[0]


def _row(name: str, checks: list[Check], value: Any) -> Any:
    if not isinstance(value, (tuple, list, np.ndarray)) or len(value) != len(checks):
        raise _no(name, f"rows of {len(checks)} values each", value)
    return tuple([check(part) for check, part in zip(checks, value, strict=True)])


def _list(name: str, kind: type, check: Check, value: Any) -> Any:
    if (
        isinstance(value, (str, bytes, dict))
        or not isinstance(value, abc.Iterable)
        or (isinstance(value, np.ndarray) and not value.ndim)
    ):
        raise _no(name, "a list", value)
    if isinstance(value, type):
        raise _no(name, "a list", value)
    if isinstance(value, (list, tuple)):
        if check is not _anything and len(value) <= 20_000:
            cleaned = [check(part) for part in value]
            if any(new is not old for new, old in zip(cleaned, value, strict=True)):
                return tuple(cleaned) if isinstance(value, tuple) else cleaned
        return value
    if isinstance(value, np.ndarray):
        return value if value.dtype.kind in "US" else _numbers(name, False, value)
    if dataclasses.is_dataclass(value):
        return value
    return [check(part) for part in value]   # an iterator is used up by looking at it


def _mapping(name: str, check: Check, value: Any) -> Any:
    if not isinstance(value, abc.Mapping):
        raise _no(name, "a set of named values", value)
    if check is _anything:
        return value
    cleaned = {key: check(part) for key, part in value.items()}
    return value if all(cleaned[key] is part for key, part in value.items()) else cleaned


def _function(name: str, value: Any) -> Any:
    if not callable(value):
        raise _no(name, "a function", value)
    return value


def _kind(name: str, kind: type, value: Any) -> Any:
    if not isinstance(value, kind):
        raise _no(name, f"what makes a “{_words(kind.__name__)}” in this workbook", value)
    return value


def _words(name: str) -> str:
    return "".join(f" {letter.lower()}" if letter.isupper() else letter for letter in name).strip()
