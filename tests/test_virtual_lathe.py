"""The virtual lathe itself: it passes two plans made by hand, and catches one seeded fault of each kind."""

import ast
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
import virtual_lathe
from virtual_drawing import core, minor, thread_size
from virtual_lathe import replay
from virtual_material import cutting_pressure

from springpass.job import tools

SHOP = tools.default_shop()
REAMER = "12 mm H7 machine reamer"
STEEL = "carbon steel C45 / 1045"


def surface(name: str, kind: str, diameter: float, start: float, end: float, **more: Any) -> SimpleNamespace:
    usual = {"toleranced": False, "flat": False, "depth": None, "runout": None, "thread": "", "chamfer": 0.0}
    return SimpleNamespace(name=name, kind=kind, diameter=diameter, start=start, end=end, **{**usual, **more})


def setup(number: int, way: str, diameter: float, grip: tuple[float, float], stickout: float, end: str,
        **more: Any) -> SimpleNamespace:
    usual = {"kind": "three jaws", "inside": False, "steady": None, "through": False, "centre": False, "runout": 0.01,
        "grips": ""}
    return SimpleNamespace(number=number, way=way, diameter=diameter, grip=grip, stickout=stickout, end=end,
        **{**usual, **more})


OPERATION = {"surface": "", "finishes": False, "tool": "", "tool_stickout": None, "spindle": 500, "feed": 0.1,
    "depths": (), "before": None, "after": None, "start": None, "end": None, "target": None, "dial": None, "low": None,
    "high": None, "stop": None, "measure": "", "outline_before": None, "outline_after": None, "centre": False,
    "end_diameter": None, "pitch": None, "infeeds": (), "power": None, "tool_diameter": None, "side": "outside"}


def plan(part: Any, holdings: list[Any], operations: list[dict[str, Any]]) -> SimpleNamespace:
    made = [SimpleNamespace(number=i, **{**OPERATION, **o}) for i, o in enumerate(operations, 1)]
    return SimpleNamespace(part=part, shop=SHOP, settings=SimpleNamespace(trial=True), holdings=holdings,
        operations=made, missing=(), cannot=())


def housing() -> SimpleNamespace:
    """A collared sleeve with a bored hole, in two setups, as a careful hand would write it."""
    part = SimpleNamespace(name="housing", material=STEEL, length=40.0,
        blank=SimpleNamespace(diameter=30.0, length=44.0, condition="steel, stress-relieved"),
        surfaces=(surface("seat", "outside", 24, 0, 25, toleranced=True, chamfer=0.5),
            surface("collar", "outside", 28, 25, 40), surface("bore", "bore", 12, 0, 40, toleranced=True)))
    blank = [(-2, 15, 0), (42, 15, 0)]
    first = setup(1, "three-jaw chuck", 30, (30, 42), 32, "near end")
    second = setup(2, "soft jaws", 24, (3, 23), 19, "far end", kind="soft jaws", grips="seat")
    bar = {"tool": "8 mm steel bar", "tool_stickout": 45}
    return plan(part, [first, second], [
        {"kind": "face", "holding": 1, "tool": "roughing tool", "start": -2, "end": 0, "depths": (0.5,) * 4,
            "outline_before": np.array(blank, float), "outline_after": np.array([(0, 15, 0), (42, 15, 0)], float)},
        {"kind": "centre drill", "holding": 1},
        {"kind": "drill", "holding": 1, "surface": "bore", "before": 0, "after": 11, "stop": 46, "start": 0, "end": 40},
        {"kind": "rough turn", "holding": 1, "surface": "seat", "tool": "roughing tool", "before": 30, "after": 24.4,
            "depths": (1, 1, 0.8), "feed": 0.15, "start": 0, "end": 24.8},
        {"kind": "rough bore", "holding": 1, "surface": "bore", **bar, "before": 11, "after": 11.6, "depths": (0.3,),
            "start": 0, "end": 42, "side": "inside"},
        {"kind": "cool", "holding": 1},
        {"kind": "bore", "holding": 1, "surface": "bore", **bar, "before": 11.6, "after": 12, "depths": (0.1, 0.1),
            "start": 0, "end": 42, "side": "inside", "finishes": True, "target": 12.009, "low": 12, "high": 12.018,
            "dial": 12.009, "measure": "bore gauge"},
        {"kind": "finish turn", "holding": 1, "surface": "seat", "tool": "finishing tool", "before": 24.4, "after": 24,
            "depths": (0.1, 0.1), "start": 0, "end": 25, "finishes": True, "target": 23.993, "low": 23.987, "high": 24,
            "dial": 23.993, "measure": "micrometer"},
        {"kind": "chamfer", "holding": 1, "surface": "seat", "before": 24, "after": 23, "start": 0, "end": 0.5},
        {"kind": "face", "holding": 2, "tool": "finishing tool", "start": 40, "end": 42, "depths": (0.5,) * 4,
            "target": 40.0},
        {"kind": "rough turn", "holding": 2, "surface": "collar", "tool": "roughing tool", "before": 30, "after": 28.4,
            "depths": (0.4, 0.4), "feed": 0.15, "start": 25, "end": 40},
        {"kind": "finish turn", "holding": 2, "surface": "collar", "tool": "finishing tool", "before": 28.4,
            "after": 28, "depths": (0.2,), "start": 25, "end": 40, "finishes": True},
    ])


def screw() -> SimpleNamespace:
    """A threaded shaft: faced and centred short through the spindle, turned on the centre, finished in a collet."""
    part = SimpleNamespace(name="screw", material=STEEL, length=120.0,
        blank=SimpleNamespace(diameter=20.0, length=124.0, condition="steel, stress-relieved"),
        surfaces=(surface("seat", "outside", 16, 0, 40, toleranced=True),
            surface("thread", "thread", 18, 40, 80, thread="M18x1"), surface("collar", "outside", 19.5, 80, 120)))
    holdings = [setup(1, "three-jaw chuck", 20, (10, 50), 12, "near end", through=True),
        setup(2, "three-jaw chuck", 20, (70, 110), 12, "far end", through=True),
        setup(3, "three-jaw chuck", 20, (100, 120), 100, "near end", centre=True),
        setup(4, "collets", 16, (5, 35), 85, "far end", kind="collet", centre=True, grips="seat")]
    turn = {"holding": 3, "centre": True, "tool": "roughing tool", "feed": 0.15}
    return plan(part, holdings, [
        {"kind": "face", "holding": 1, "start": -2, "end": 0, "depths": (0.5,) * 4},
        {"kind": "centre drill", "holding": 1},
        {"kind": "face", "holding": 2, "start": 120, "end": 122, "depths": (0.5,) * 4, "target": 120.0},
        {"kind": "centre drill", "holding": 2},
        {"kind": "rough turn", "surface": "thread", **turn, "before": 20, "after": 18, "depths": (1,), "start": 0,
            "end": 79.8},
        {"kind": "rough turn", "surface": "seat", **turn, "before": 18, "after": 16.4, "depths": (0.8,), "start": 0,
            "end": 40},
        {"kind": "undercut", "surface": "thread", **turn, "tool": "recessing tool", "before": 18, "after": 16.4,
            "start": 76.5, "end": 80, "feed": 0.04},
        {"kind": "thread", "surface": "thread", **turn, "tool": "threading tool, 60 degrees", "before": 18,
            "after": 16.77, "start": 40, "end": 80, "pitch": 1.0, "feed": 1.0, "spindle": 125, "finishes": True},
        {"kind": "finish turn", "surface": "seat", **turn, "tool": "finishing tool", "feed": 0.08, "before": 16.4,
            "after": 16, "depths": (0.1, 0.1), "start": 0, "end": 40, "finishes": True, "measure": "micrometer",
            "target": 15.994, "low": 15.989, "high": 16, "dial": 15.994},
        {"kind": "finish turn", "surface": "collar", "holding": 4, "centre": True, "tool": "finishing tool",
            "before": 20, "after": 19.5, "depths": (0.25,), "start": 80, "end": 120, "finishes": True},
    ])


def blind(flat: bool = True) -> SimpleNamespace:
    """A flat blind hole Ø20 in a stub that is then parted off: drilled short, bored, its bottom faced by the bar."""
    part = SimpleNamespace(name="stub", material=STEEL, length=30.0,
        blank=SimpleNamespace(diameter=40.0, length=60.0, condition="steel, stress-relieved"),
        surfaces=(surface("outside", "outside", 36, 0, 30),
            surface("bore", "bore", 20, 0, 20, toleranced=True, flat=flat, depth=(0.0, 0.1))))
    bar = {"tool": "8 mm steel bar", "tool_stickout": 24, "side": "inside", "surface": "bore"}
    return plan(part, [setup(1, "three-jaw chuck", 40, (40, 59), 41, "near end")], [
        {"kind": "face", "holding": 1, "start": -1, "end": 0, "depths": (0.5, 0.5),
            "outline_before": np.array([(-1, 20, 0), (59, 20, 0)], float)},
        {"kind": "centre drill", "holding": 1},
        {"kind": "drill", "holding": 1, "surface": "bore", "before": 0, "after": 18.0, "stop": 19.8, "start": 0,
            "end": 14.4, "spindle": 180, "feed": 0.1},
        {"kind": "rough turn", "holding": 1, "surface": "outside", "before": 40, "after": 36.4, "depths": (0.9, 0.9),
            "start": 0, "end": 33},
        {"kind": "rough bore", "holding": 1, **bar, "before": 18, "after": 19.6, "depths": (0.4, 0.4), "start": 0,
            "end": 14.3, "stop": 14.3},
        {"kind": "face bottom", "holding": 1, **bar, "before": 0, "after": 19.6, "start": 14.3, "end": 20.05,
            "stop": 20.05},
        {"kind": "bore", "holding": 1, **bar, "before": 19.6, "after": 20, "depths": (0.1, 0.1), "start": 0,
            "end": 20.05, "stop": 20.05, "finishes": True},
        {"kind": "finish turn", "holding": 1, "surface": "outside", "before": 36.4, "after": 36, "depths": (0.2,),
            "start": 0, "end": 33, "finishes": True},
        {"kind": "part off", "holding": 1, "tool": "parting blade", "start": 30, "before": 36, "after": 0,
            "feed": 0.04, "spindle": 180},
    ])


@pytest.mark.parametrize("good", [housing, screw, blind])
def test_a_careful_plan_has_no_fault(good):
    assert replay(good()) == ()


def change(number: int, **values: Any) -> Callable[[Any], None]:
    def does(made: Any) -> None:
        vars(made.operations[number - 1]).update(values)
    return does


def setup_change(number: int, **values: Any) -> Callable[[Any], None]:
    def does(made: Any) -> None:
        vars(made.holdings[number - 1]).update(values)
    return does


def without(number: int) -> Callable[[Any], None]:
    def does(made: Any) -> None:
        del made.operations[number - 1]
    return does


def later(number: int, after: int) -> Callable[[Any], None]:
    """Operation `number` done only after operation `after`."""
    def does(made: Any) -> None:
        moved = made.operations.pop(number - 1)
        made.operations.insert(after - 1, moved)
    return does


def blank_change(**values: Any) -> Callable[[Any], None]:
    def does(made: Any) -> None:
        vars(made.part.blank).update(values)
    return does


def part_change(name: str, **values: Any) -> Callable[[Any], None]:
    def does(made: Any) -> None:
        vars(next(s for s in made.part.surfaces if s.name == name)).update(values)
    return does


def bore_first_runs_true(made: Any) -> None:
    vars(made.part.surfaces[1]).update(runout=("seat", 0.005), toleranced=True)


def hole_in_the_face(made: Any) -> None:
    made.operations.insert(3, SimpleNamespace(number=90, **{**OPERATION, "kind": "centre drill", "holding": 1}))


def jaws_on_the_thread(made: Any) -> None:
    vars(made.holdings[3]).update(grip=(42, 75), diameter=18.0, stickout=47, kind="three jaws", way="three-jaw chuck")


def an_outline(made: Any) -> None:
    made.operations[0].outline_after = np.array([(0, 14, 0), (42, 14, 0)], float)


def between_centres(made: Any) -> None:
    vars(made.holdings[2]).update(kind="between centres", grip=(0, 0), way="")
    made.operations[4].end = 119


def dog_in_the_way(made: Any) -> None:
    between_centres(made)
    made.operations[4].end = 121


def short_blade(made: Any) -> None:
    cut = tuple(replace(t, reach=replace(t.reach, value=12.0)) if t.name == "parting blade" else t for t in SHOP.tools)
    made.shop = replace(SHOP, tools=cut)


def no_steady(made: Any) -> None:
    vars(made.holdings[2]).update(steady=60.0)
    made.shop = replace(SHOP, lathe=replace(SHOP.lathe, steady_rest=False))


def narrow_spindle(made: Any) -> None:
    made.shop = replace(SHOP, lathe=replace(SHOP.lathe, spindle_bore=replace(SHOP.lathe.spindle_bore, value=15.0)))


def long_blank(made: Any) -> None:
    vars(made.part.blank).update(length=54.0)
    vars(made.operations[0]).update(outline_before=np.array([(-2, 15, 0), (52, 15, 0)], float), outline_after=None)
    vars(made.operations[9]).update(end=52, depths=(0.5,) * 24)


def dip(made: Any) -> None:
    """A groove's width turned with a turning tool between two shoulders."""
    vars(made.operations[5]).update(start=20)


SEEDED = [
    # tool in solid metal
    ("bar in a hole it does not enter", housing, change(3, after=10), "tool in solid metal"),
    ("bar where nothing is drilled", housing, without(3), "tool in solid metal"),
    ("bar whose shank does not pass the hole in front", blind, change(7, tool="16 mm steel bar"),
        "tool in solid metal"),
    ("bar's back does not fit when facing to the middle", blind, change(6, tool="16 mm steel bar"),
        "tool in solid metal"),
    ("a reamer that does not come through", housing, lambda made: (change(7, kind="ream", tool=REAMER, end=40)(made),
        part_change("bore", diameter=12.0)(made)), "tool in solid metal"),
    ("turning tool between two shoulders", screw, dip, "tool in solid metal"),
    ("parting blade shorter than the wall", blind, short_blade, "tool in solid metal"),
    ("sawn into the part", housing, lambda made: made.operations.insert(9, SimpleNamespace(number=91, **{**OPERATION,
        "kind": "saw", "holding": 2, "start": 39.0, "end": 42.0})), "tool in solid metal"),
    ("groove narrower than its tool", screw, change(7, start=78.9), "tool in solid metal"),
    # cuts in air
    ("facing what is faced", housing, change(1, start=-4, end=-2.4), "cut in air"),
    ("roughing in the air", screw, change(6, before=19.0, after=18.6, depths=(0.2,)), "cut in air"),
    ("drilling a hole that is there", housing, change(5, kind="drill", after=11, stop=30, tool=""), "cut in air"),
    ("boring what is bored", housing, change(7, before=11.0, after=11.4, depths=(0.2,)), "cut in air"),
    ("the middle faced where it is open", blind, change(3, stop=36), "cut in air"),
    ("twelve millimetres faced away", housing, long_blank, "faced away"),
    ("a centre into a hole", housing, hole_in_the_face, "cut in air"),
    ("a second chamfer", housing, lambda made: made.operations.insert(9, made.operations[8]), "cut in air"),
    # drills
    ("the bar runs into the cone", blind, without(6), "drill's cone"),
    ("the point goes below a flat bottom", blind, change(3, stop=24), "drill's cone"),
    ("not drilled through", housing, change(3, stop=41), "drill not through"),
    ("depth that is not the hole's", blind, change(3, stop=9), "drill depth"),
    ("drilled without a centre", housing, without(2), "drill without a start"),
    ("a drill that the shop has not", housing, change(3, after=11.2), "no such tool"),
    ("a bar that the shop has not", housing, change(5, tool="12 mm bar"), "no such tool"),
    # depth of cut
    ("roughing deeper than is said", housing, change(4, before=27.0, depths=(1.3,)), "depth of cut"),
    ("passes that do not add up", housing, change(4, depths=(1, 1)), "depth of cut"),
    ("a face thicker than the cuts", housing, change(1, depths=(0.5,)), "depth of cut"),
    ("roughing runs up to the shoulder", housing, change(4, end=25), "shoulder"),
    ("the finishing cut leaves the shoulder as it is", housing, change(8, end=24.8), "shoulder"),
    # holding
    ("a grip too short", housing, setup_change(2, grip=(3, 5.5), stickout=36.5), "grip"),
    ("too far out", screw, setup_change(1, grip=(70, 110), stickout=72), "overhang"),
    ("no centre for a slender finish", screw, change(9, centre=False), "overhang"),
    ("a heavy cut on a short grip", housing, lambda made: (setup_change(1, grip=(37.8, 42), stickout=39.8)(made),
        change(4, end=36.0)(made)), "grip"),
    ("grips beyond the work", housing, setup_change(1, grip=(30, 60)), "grip"),
    ("grips a diameter that is not there", housing, setup_change(2, diameter=26.0), "grip"),
    ("grips behind a larger diameter", screw, setup_change(4, end="near end", grip=(5, 35), stickout=5), "grip"),
    ("grips the thread", screw, jaws_on_the_thread, "grip"),
    ("grips a thin wall", housing, lambda made: (change(7, after=22.5, depths=(5.45,))(made),
        setup_change(2, kind="three jaws", way="three-jaw chuck")(made)), "grip"),
    ("stickout that is not the printed one", housing, setup_change(1, stickout=20), "grip"),
    ("a collet too small", screw, setup_change(3, way="collets", kind="collet", diameter=30), "grip"),
    ("a heavy cut on a slim grip", housing, lambda made: (change(8, after=13.5, before=24.4, depths=(5.45,))(made),
        setup_change(2, diameter=13.5)(made), change(11, depths=(0.8,))(made)), "grip"),
    ("no steady in the shop", screw, no_steady, "grip"),
    ("between centres without a hole", screw, lambda made: (without(4)(made), between_centres(made)), "grip"),
    ("jaws in the way", housing, change(4, end=31), "jaws in the way"),
    ("the dog in the way", screw, dog_in_the_way, "jaws in the way"),
    ("the steady in the way", screw, setup_change(3, steady=60.0), "jaws in the way"),
    ("faced to the middle with the centre in", screw, change(1, centre=True), "centre in the way"),
    ("drilled with the centre in", housing, change(3, centre=True), "centre in the way"),
    ("a centre with no hole", screw, without(2), "centre in the way"),
    ("heavy cut on a finished seat", housing, change(11, depths=(0.8,)), "finished seat gripped"),
    ("true to each other, and gripped again", housing, bore_first_runs_true, "not true"),
    # the machine
    ("power", housing, change(4, depths=(2.8,), feed=0.3, spindle=1000), "power"),
    ("power of a drill", housing, change(3, after=25, spindle=1000, feed=0.3), "power"),
    ("printed power is another", housing, change(4, power=0.01), "power"),
    ("spindle speed", housing, change(4, spindle=2800), "spindle speed"),
    ("swing", housing, blank_change(diameter=210.0), "larger than the machine"),
    ("spindle bore", screw, narrow_spindle, "larger than the machine"),
    ("between centres", screw, setup_change(3, stickout=400), "larger than the machine"),
    ("bar too short", housing, change(7, tool_stickout=38), "bar too short"),
    ("bar out farther than it is long", housing, change(7, tool_stickout=65), "bar too short"),
    # sequence
    ("roughing after finishing", housing, later(4, 8), "roughing after finishing"),
    ("drilled under a finished seat", housing, lambda made: (change(8, before=30, depths=(3,))(made),
        later(8, 1 + 1)(made)), "roughing after finishing"),
    ("relief after thread", screw, later(7, 8), "relief after thread"),
    ("groove after the seat", screw, later(8, 9), "groove after the seat"),
    ("thread with no relief", screw, without(7), "thread against a shoulder"),
    ("thread too fast for its relief", screw, change(8, spindle=710), "thread against a shoulder"),
    ("thread of another pitch", screw, change(8, pitch=1.5), "thread"),
    ("thread on a blank that is too small", screw, change(5, after=17.4, depths=(1.3,)), "thread"),
    # numbers
    ("target outside what is allowed", housing, change(8, target=24.01), "target"),
    ("length over all of work that is longer still", housing, change(1, target=40.0), "target"),
    ("length over all not said", housing, change(10, target=None), "target"),
    ("like cuts corrected twice", housing, change(8, dial=23.98), "corrected twice"),
    ("depth stop at the limit", blind, change(7, stop=20.0), "depth stop"),
    ("depth stop below the limit", blind, change(6, stop=20.2), "depth stop"),
    ("an outline that is not so", housing, an_outline, "outline"),
    ("a blank longer than there is", housing, blank_change(length=42.0), "outline"),
    # the part at the end
    ("outside left large", housing, without(12), "differs from the drawing, outside"),
    ("chamfer left out", housing, without(9), "differs from the drawing, outside"),
    ("bore too short", blind, part_change("bore", end=26.0, depth=None), "differs from the drawing, inside"),
    ("not faced to length", housing, without(10), "differs from the drawing"),
    ("not parted off", blind, without(9), "differs from the drawing"),
    ("thread never cut", screw, without(8), "differs from the drawing"),
    ("seat never finished", screw, without(9), "differs from the drawing"),
    ("a knurl on a band turned too small", screw, lambda made: (change(10, kind="knurl")(made),
        part_change("collar", diameter=22.0)(made)), "knurl"),
    ("nothing known of it", housing, change(4, kind="planish"), "unknown operation"),
]


@pytest.mark.parametrize(("seed", "good", "spoil", "kind"), SEEDED, ids=[s[0] for s in SEEDED])
def test_a_seeded_fault_is_found(seed, good, spoil, kind):
    made = good()
    spoil(made)
    found = replay(made)
    assert kind in {f.kind for f in found}, found


def test_all_kinds_of_fault_are_seeded():
    """Every kind of fault the lathe can name is caught above."""
    here = Path(virtual_lathe.__file__).parent
    trees = [ast.parse((here / f"{name}.py").read_text(encoding="utf-8")) for name in ("virtual_lathe", "virtual_cuts")]
    calls = [node for tree in trees for node in ast.walk(tree) if isinstance(node, ast.Call)]
    named = {c.args[0].value for c in calls if isinstance(c.func, ast.Attribute) and c.func.attr == "fault"
        and isinstance(c.args[0], ast.Constant)}
    assert named == {kind for *_, kind in SEEDED} - {k for *_, k in SEEDED if "drawing, " in k}


def test_thread_sizes():
    """ISO 261 and ASME B1.1 (from memory); core and minor by ISO 68-1: d − 1.2269 P and d − 1.0825 P."""
    assert thread_size("M18x1") == (18, 1) and thread_size("M8") == (8, 1.25)
    assert thread_size("1/4-20 UNC") == pytest.approx((6.35, 1.27))
    assert core("M10") == pytest.approx(8.160, abs=0.001) and minor("M10") == pytest.approx(8.376, abs=0.001)


def test_cutting_pressure_by_hand():
    """kc1.1 1500, mc 0.22: at 0.1 mm 1500 · 0.1^-0.22 = 2489 N/mm² (by hand)."""
    assert cutting_pressure(STEEL, 0.1) == pytest.approx(2489, rel=0.001)
