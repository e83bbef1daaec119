"""Hostile input: every public function, every argument, with everything that is no sensible value. See hostile.py for
the rules.

A deeper run: SPRINGPASS_HOSTILE=deep pytest tests/test_hostile.py. The counts: python tests/hostile_counts.py.
"""

import inspect
import json
import os
import warnings

import hostile
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from springpass.core import files, formula
from springpass.core.quantity import Refused, number
from springpass.job import shop

DEEP = os.environ.get("SPRINGPASS_HOSTILE") == "deep"
MODULES = sorted({name.split(".")[0] for name in hostile.functions()})


@pytest.fixture(scope="module", autouse=True)
def own_folders(tmp_path_factory):
    """Files that hostile names could make lie where they harm nobody."""
    patch = pytest.MonkeyPatch()
    patch.chdir(tmp_path_factory.mktemp("here"))
    patch.setenv("SPRINGPASS_SHOP", str(tmp_path_factory.mktemp("shop")))
    yield
    patch.undo()


@pytest.fixture(scope="module")
def calls(own_folders):
    return hostile.first_calls()


def test_every_function_is_driven_or_excused(calls):
    """A new function joins by itself if a page or an exercise reaches it; otherwise give it a call in hostile.by_hand.
    """
    missing = [name for name in hostile.functions() if name not in calls and name.split(".")[0] not in hostile.TO_PRINT]
    assert missing == []
    assert len(calls) > 400


@pytest.mark.parametrize("module", MODULES)
def test_rubbish_gets_an_answer_or_a_sentence(module, calls):
    kept = shop.add("hostile keepsake", size=12.5)
    faults = []
    for name, function in hostile.functions().items():
        if name.split(".")[0] == module and name in calls:
            faults += hostile.spoiled(name, function, calls[name], DEEP)
    assert faults == [], f"{len(faults)} faults"
    whole = json.dumps(files.load("shop", {}))
    assert f'"id": {kept["id"]}, "kind": "hostile keepsake"' in whole, "a record of the user's is lost"


PLAIN = [name for name, f in hostile.functions().items() if not formula.is_formula(f)]
VALUES = st.one_of(st.sampled_from(hostile.RUBBISH), st.floats(), st.integers(), st.text(max_size=12),
                   st.floats(1e-12, 1e9), st.lists(st.floats(-1e6, 1e6), max_size=4))


@settings(max_examples=10000 if DEEP else 1500)
@given(data=st.data())
def test_two_arguments_spoiled_at_once(data, calls):
    light = (
        LIGHT
        or LIGHT.extend(n for n in PLAIN if n in calls and hostile.weight(hostile.functions()[n], calls[n]) < 2000)
        or LIGHT
    )
    name = data.draw(st.sampled_from(light))
    function, seen = hostile.functions()[name], calls[name]
    arguments = [part for part in inspect.signature(function).parameters if part in seen]
    if not arguments:
        return
    spoil = data.draw(st.lists(st.sampled_from(arguments), min_size=1, max_size=2))
    changed = {
        **{n: hostile.copied(v) for n, v in seen.items()},
        **{n: hostile.fresh(data.draw(VALUES)) for n in spoil},
    }
    how, said, _ = hostile.tried(function, changed)
    hostile.COUNTS[name.split(".")[0]].add(how)
    assert how != hostile.WRONG, f"{name}({', '.join(f'{n}={changed[n]!r:.60}' for n in spoil)}): {said}"


LIGHT: list[str] = []


def numeric(seen):
    return [n for n, v in seen.items() if type(v) is float and v not in (np.inf, 0.0)]


@pytest.mark.parametrize("module", MODULES)
def test_a_comma_is_understood_wherever_a_point_is(module, calls):
    for name, function in hostile.functions().items():
        if (
            name.split(".")[0] != module
            or name not in calls
            or formula.is_formula(function)
            or hostile.weight(function, calls[name]) > 2000
        ):
            continue
        for argument in numeric(calls[name]):
            value = calls[name][argument]
            point, comma = (
                hostile.tried(function, {**calls[name], argument: text})
                for text in (f"{value:.9f}", f"{value:.9f}".replace(".", ","))
            )
            assert point[:2] == comma[:2] or point[0] == comma[0] == hostile.REFUSED, (
                name,
                argument,
                point[:2],
                comma[:2],
            )
            assert hostile.same(point[2], comma[2]), (name, argument)


@pytest.mark.parametrize("function", [f for f in formula.REGISTRY if f.__module__.startswith("springpass.")],
                         ids=lambda f: f"{f.__module__.split('.')[-1]}.{f.__name__}")
def test_a_formula_over_an_array_is_the_formula_at_each_value(function):
    points = formula.random_inputs(function, 6)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        before = {n: v.copy() for n, v in points.items()}
        many = np.broadcast_to(function(**points), (6,))
        each = [function(**{n: v[i] for n, v in points.items()}) for i in range(6)]
    np.testing.assert_allclose(many, each, rtol=1e-12, atol=0)
    assert all((points[n] == before[n]).all() for n in points), "the caller's arrays stand"


@pytest.mark.parametrize("text", ["1.234,5", "1,234.5", "1,2,3", "9" * 400, "", "NaN", "١٢x", "1e400"])
def test_what_could_be_read_two_ways_is_refused(text):

    with pytest.raises(Refused) as refusal:
        number(text)
    assert hostile.sentence(str(refusal.value)) == ""


@pytest.mark.parametrize(
    ("text", "value"),
    [("12,5", 12.5), ("٣", 3), ("𝟓", 5), ("½", 0.5), ("12\u2009500", 12500), ("1\u202f234,5", 1234.5)],
)
def test_what_people_type_is_understood(text, value):

    assert number(text) == value


def test_the_checks_catch_what_they_should():
    def silent(x: float = 1.0) -> float:
        return float("nan")

    def rude(x: float = 1.0) -> float:
        raise Refused("nan is no good")

    def broken(x: float = 1.0) -> float:
        return x / 0

    def greedy(x):
        x[0] = 7.0
        return 1.0

    for bad in (silent, rude, broken):
        assert hostile.tried(bad, {"x": 1.0})[0] == hostile.WRONG
    assert hostile.tried(greedy, {"x": np.array([1.0])})[0] == hostile.WRONG
    assert hostile.tried(lambda x: x, {"x": 1.0})[0] == hostile.ANSWERED
