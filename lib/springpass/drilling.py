"""Holes: what a drill leaves at the bottom, how true it runs, and the road to a bored and reamed blind hole.

A drill's point leaves a cone. The drawing gives the depth of the full diameter, the
tip goes deeper by the cone's height, and a flat bottom means that somebody has to
take the cone out: a flat-ground drill, or a boring bar that meets a deeper and deeper
cut just where it is least stiff. A drill also runs off the axis; boring puts most of
that right, a reamer none of it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, Literal, NamedTuple

import numpy as np

from .core import tables
from .core.formula import formula
from .core.quantity import Numbers, Quantity, Refused, plain, positive
from .core.shared import Area, BarDiameter, BoreDiameter, NoseRadius, Passes, SpindleSpeed
from .core.spread import Uncertain
from .core.tables import Fact

Compliance = Annotated[Numbers, Quantity("C", "mm/N", low=1e-7, high=1e-1, usual=5e-4,
    says="movement of the tip for one newton")]
CuttingStiffness = Annotated[Numbers, Quantity("K", "N/mm", low=0.1, high=1e5, usual=100,
    says="how fast the thrust grows as the tip moves in")]
DrillDiameter = Annotated[Numbers, Quantity("D_b", "mm", low=0.5, high=80, usual=9, step=0.1,
    says="diameter of the drill")]
PointAngle = Annotated[Numbers, Quantity(r"\varepsilon", "deg", low=60, high=180, usual=118, step=1,
    says="angle between the drill's two lips")]
PointHeight = Annotated[Numbers, Quantity("h_p", "mm", low=0, high=40, usual=2.7,
    says="height of the cone that the drill's point leaves")]
FullDepth = Annotated[Numbers, Quantity("L_f", "mm", low=0, high=400, usual=28, step=0.5,
    says="depth to which the hole has its full diameter")]
TipDepth = Annotated[Numbers, Quantity("L_t", "mm", low=0, high=440, usual=31, says="depth of the drill's tip")]
HoleDepth = Annotated[Numbers, Quantity("L_h", "mm", low=2, high=200, usual=32, step=0.5,
    says="depth of the hole on the drawing")]
SolidVolume = Annotated[Numbers, Quantity("V", "mm³", low=0, high=2e6, usual=100, says="volume of metal")]
FlatFloor = Annotated[Numbers, Quantity("z", "mm", low=0, high=40, usual=1, says="height above the bottom")]
FloorDepthOfCut = Annotated[Numbers, Quantity("a_z", "mm", low=0, high=40, usual=0.5,
    says="depth of cut near the bottom, on radius")]
StartOffset = Annotated[Numbers, Quantity("e_0", "mm", low=0, high=1, usual=0.05, shown="µm", step=5,
    says="how far off the axis the drill starts")]
DriftSlope = Annotated[Numbers, Quantity("s", "1", low=0, high=0.02, usual=0.002, shown="µm/mm", step=0.5,
    says="how far the drill runs off for each unit of depth")]
Offset = Annotated[Numbers, Quantity("e", "mm", low=0, high=2, usual=0.1, shown="µm",
    says="how far the hole's axis is off")]
FirstOffset = Annotated[Numbers, Quantity("e_0", "mm", low=0, high=2, usual=0.1, shown="µm",
    says="how far the hole's axis was off before the passes")]
CopyShare = Annotated[Numbers, Quantity("c", "1", low=0, high=1, usual=0.2,
    says="share of an error that one boring pass leaves behind")]
CleanUp = Annotated[Numbers, Quantity("D_c", "mm", low=0.5, high=100, usual=9.5,
    says="smallest bore that cleans up the whole of the drilled hole")]
DrilledDiameter = Annotated[Numbers, Quantity("D_d", "mm", low=0.5, high=90, usual=9.1,
    says="diameter the drill really left")]
ChipBulk = Annotated[Numbers, Quantity("R_s", "1", low=2, high=150, usual=20, log=True,
    says="room that loose chips take, in volumes of the solid metal")]
FullShare = Annotated[Numbers, Quantity("x_f", "1", low=0, high=50, usual=0.8,
    says="chips made, in volumes of the room left in the hole")]
RpmSurface = Annotated[Numbers, Quantity("C_s", "ft/min", low=5, high=1000, usual=100,
    says="cutting speed in feet a minute")]
RpmDiameter = Annotated[Numbers, Quantity("D_{in}", "inch", low=0.02, high=4, usual=0.4, says="diameter in inches")]

# ---- the point, one formula at a time ------------------------------------------------------------------


@formula(source="geometry of a cone", holds="points with straight lips; a chisel edge or a web thinning changes little",
    basis="computed")
def cone_height(diameter: DrillDiameter, point_angle: PointAngle) -> PointHeight:
    """Height of the cone that a drill's point leaves."""
    return diameter / (2 * np.tan(np.radians(point_angle) / 2))


@formula(source="geometry", holds="any drill with a point", basis="computed")
def tip_depth(full_depth: FullDepth, diameter: DrillDiameter, point_angle: PointAngle) -> TipDepth:
    """How deep the tip must go for the full diameter to reach a given depth."""
    return full_depth + cone_height(diameter, point_angle)


@formula(source="a cone is a third of its cylinder", holds="points with straight lips", basis="computed")
def cone_volume(diameter: DrillDiameter, point_angle: PointAngle) -> SolidVolume:
    """Volume of the hollow cone at the bottom of a drilled hole."""
    return np.pi * diameter**2 * cone_height(diameter, point_angle) / 12


@formula(source="cylinder of the cone's height less the cone", basis="computed",
    holds="tip of the drill on the level of the finished bottom")
def corner_volume(diameter: DrillDiameter, point_angle: PointAngle) -> SolidVolume:
    """Metal that the point leaves in the corner of a flat bottom."""
    return np.pi * diameter**2 * cone_height(diameter, point_angle) / 6


@formula(source="geometry: the cone's wall comes in towards the bottom", basis="computed",
    holds="drill's tip on the level of the finished bottom, heights up to that of the cone")
def floor_depth_of_cut(floor: FlatFloor, bore: BoreDiameter, drill: DrilledDiameter,
        point_height: PointHeight) -> FloorDepthOfCut:
    """Depth of cut that a boring bar meets so far above the bottom."""
    return bore / 2 - drill / 2 * np.minimum(floor / point_height, 1)


# ---- running off, and what boring puts right ------------------------------------------------------------


@formula(source="a straight run-off from where the drill started", basis="common practice",
    holds="a first estimate: drills bend, and their drift grows faster in deep holes")
def wander(start_offset: StartOffset, drift: DriftSlope, depth: FullDepth) -> Offset:
    """How far the hole's axis is off at a depth: the worst case, start and drift in one direction."""
    return start_offset + drift * depth


@formula(source="a spring against a cut that stiffens with depth", basis="computed",
    holds="small errors, a cut at every place round the bore")
def copy_share(compliance: Compliance, cutting_stiffness: CuttingStiffness) -> CopyShare:
    """Share of the hole's error that one boring pass leaves, because the bar gives way where the wall is thick."""
    return compliance * cutting_stiffness / (1 + compliance * cutting_stiffness)


@formula(source="the same share at each pass", holds="passes of equal feed that cut all round", basis="computed")
def offset_after(offset: FirstOffset, copied: CopyShare, passes: Passes) -> Offset:
    """Offset of the axis that is left after so many boring passes."""
    return offset * copied**passes


@formula(source="geometry: a bore round the true axis must enclose the drilled hole", holds="any round hole",
    basis="computed")
def smallest_clean_bore(drilled: DrilledDiameter, offset: Offset) -> CleanUp:
    """Smallest bore, true to the axis, that cleans up the whole wall of a hole that is off."""
    return drilled + 2 * offset


@formula(source="a square corner less a quarter of a circle", holds="bar with a round nose, faced to the wall",
    basis="computed")
def fillet(nose_radius: NoseRadius) -> Area:
    """Section of metal that the nose's radius leaves in the corner of a flat bottom."""
    return (1 - np.pi / 4) * nose_radius**2


# ---- chips ----------------------------------------------------------------------------------------------


@formula(source="geometry", holds="any bore", basis="computed")
def ring_volume(outer: BoreDiameter, inner: DrilledDiameter, depth: HoleDepth) -> SolidVolume:
    """Volume of metal between two diameters."""
    return np.pi * (outer**2 - inner**2) * depth / 4


@formula(source="volume of loose chips over volume of the gap", basis="computed",
    holds="chips that stay in the hole; a first guess, for chips also climb out along the bar")
def chip_fill(bore: BoreDiameter, drilled: DrilledDiameter, bar: BarDiameter, bulk: ChipBulk) -> FullShare:
    """Chips of one boring pass, in volumes of the room between bar and wall: over 1 they jam."""
    return bulk * (bore**2 - drilled**2) / (bore**2 - bar**2)


@formula(source="the trade's rule for feet and inches, as 12/π is nearly 4", holds="a first setting: 5 % too fast",
    basis="common practice", empirical=True)
def rule_of_four(speed: RpmSurface, diameter: RpmDiameter) -> SpindleSpeed:
    """Spindle speed by the rule 4 CS/D."""
    return 4 * speed / diameter


# ---- the public face ------------------------------------------------------------------------------------

POINTS = (118.0, 130.0, 135.0, 140.0, 180.0)


def _angle(point_angle: Any) -> Any:
    angle = positive(point_angle, "the point angle", "degrees")
    if (np.asarray(angle) < 40).any() or (np.asarray(angle) > 180).any():
        raise Refused(
            f"The point angle is {plain(float(np.asarray(angle).flat[0]), 4)}°, but must lie between 40° and 180°. "
            f"Usual points are 118°, 130°, 135°, 140°, and 180° for a flat-ground drill.")
    return angle


def point_height(diameter: Numbers, point_angle: Any = 118.0) -> Any:
    """Height of the cone that a drill's point leaves, mm. diameter: mm; point_angle: degrees; arrays broadcast.

    A flat-ground drill (180°) leaves none. Raises Refused for a diameter that is not above zero or an angle
    outside 40..180°.
    """
    height = cone_height(positive(diameter, "the drill diameter"), _angle(point_angle))
    return np.where(np.asarray(point_angle, float) >= 180, 0.0, height) if np.ndim(height) else (
        0.0 if float(point_angle) >= 180 else float(height))


def drilled_depth(full_depth: Numbers, diameter: Numbers, point_angle: Any = 118.0) -> Any:
    """Depth of the tip for a full diameter so deep, mm; arrays broadcast. Raises Refused."""
    return positive(full_depth, "the full-diameter depth", zero=True) + point_height(diameter, point_angle)


def full_depth(tip: Numbers, diameter: Numbers, point_angle: Any = 118.0) -> Any:
    """Depth to which the full diameter reaches when the tip is so deep, mm; arrays broadcast. Raises Refused."""
    deep = positive(tip, "the depth of the tip") - point_height(diameter, point_angle)
    if (np.asarray(deep) < 0).any():
        raise Refused(
            "The tip is not in deep enough for the drill to cut its full diameter. Go deeper than the point is high.")
    return deep


def speed(material: str, operation: str = "drill HSS") -> Fact:
    """Cutting speed of the tables, m/min. Raises Refused for an unknown material or operation."""
    found = tables.fact("drills_speeds", material=material, operation=operation)
    return Fact(found.value * 0.3048, found.low * 0.3048, found.high * 0.3048, "m/min", found.source, found.place,
        found.basis)


def _inches(diameter: Any, most: float) -> float:
    size = float(positive(diameter, "the drill diameter"))
    if not 0.35 <= size <= most:
        raise Refused(f"The table of drills runs from 0.35 to {most:g} mm; this one is {plain(size, 4)} mm. "
            f"It cannot be guessed from there.")
    return size / 25.4


def feed(diameter: float) -> Fact:
    """Feed per revolution of a drill by its diameter, mm. Raises Refused outside the table (to 4 inches)."""
    row = tables.step("drills_feeds", _inches(diameter, 101.6))
    return Fact(row["value"] * 25.4, row["low"] * 25.4, row["high"] * 25.4, "mm", row["source"], row["place"],
        row["basis"])


@cache
def oversize(diameter: float) -> Uncertain:
    """How much larger than the drill its hole may come out, mm, anywhere in the printed tolerance. Raises Refused."""
    row = tables.step("drills_oversize", _inches(diameter, 50.8))
    return Uncertain("flat", row["low"] * 25.4, row["high"] * 25.4)


def wander_facts(kind: str) -> list[str]:
    """Names of the known ways to start a drill ("start") or of running ("drift")."""
    return [row["name"] for row in tables.rows("drills_wander") if row["kind"] == kind]


def point_use(point_angle: float) -> str:
    """What a drill with this point is used for, in the trade's words. Raises Refused for an unusual angle."""
    return str(tables.row("drills_points", angle=float(point_angle))["used_for"])


def bulk(form: str) -> Fact:
    """Room that chips of this form take, in volumes of solid metal. Raises Refused for an unknown form."""
    return tables.fact("drills_chips", form=form)


# ---- the bottom ---------------------------------------------------------------------------------------


class Bottom(NamedTuple):
    """The bottom of a drilled hole; mm, mm³, and for the corner the depth of cut the bar meets there."""

    height: Any
    full_depth: Any
    cone: Any
    corner: Any
    bar_depth: Any
    times: Any


def bottom(drill: Numbers, point_angle: Numbers, depth: Numbers, bore: Numbers) -> Bottom:
    """What a drill with its tip on the finished bottom leaves for the boring bar.

    drill, depth (of the tip), bore: mm; point_angle: degrees. `bar_depth` is the depth of cut the bar meets where
    wall and bottom meet, `times` how many times the depth of cut higher up (infinite where the
    drill leaves nothing on the diameter). Arrays broadcast. Raises Refused.
    """
    d, big = positive(drill, "the drill diameter"), positive(bore, "the bore")
    if (np.asarray(d) > np.asarray(big)).any():
        raise Refused(
            f"A drill of {plain(float(np.max(d)), 4)} mm is larger than the bore of {plain(float(np.min(big)), 4)} mm. "
            f"Take a smaller drill.")
    height, deep = point_height(d, point_angle), positive(depth, "the depth")
    if (np.asarray(height) > np.asarray(deep)).any():
        raise Refused("The hole is shallower than the drill's point is high. Use a flatter point or a smaller drill.")
    angle = np.asarray(_angle(point_angle), float)
    cone = np.where(angle >= 180, 0.0, cone_volume(d, angle))
    corner = np.where(angle >= 180, 0.0, corner_volume(d, angle)) + ring_volume(big, d, height)
    above = (np.asarray(big) - d) / 2
    most = np.where(angle >= 180, above, np.asarray(big) / 2)
    with np.errstate(divide="ignore", invalid="ignore"):
        times = np.where(above > 0, most / above, np.inf)
    return Bottom(*(_plain(v) for v in (height, deep - height, cone, corner, most, times)))


NEARLY_FLAT = 179.999   # degrees: a cone's formulas hold below 180 only


def left_on_the_bottom(bore: float, drill: float, point_angle: float, tip: float, depth: float) -> float:
    """Metal, mm³, between the hole a drill left and a flat bottom at `depth`: round its cone and beside its wall.

    All mm, degrees; a tip past the bottom leaves less, one so far past that its cone clears the bottom nothing.
    From the geometry. Raises Refused as `point_height`.
    """
    height = float(point_height(drill, point_angle))
    left = max(depth - (tip - height), 0.0)   # from the end of the full diameter to the bottom
    within = min(left, height)
    end = drill / 2 * (1 - within / height) if height else 0.0   # of the cone, where it is cut off
    frustum = np.pi * within / 3 * ((drill / 2) ** 2 + drill / 2 * end + end**2)
    return float(ring_volume(bore, drill, left) + np.pi / 4 * drill**2 * left - frustum)


def offset_any_way(start_offset: Numbers, drift: Numbers, depth: Numbers, turn: Numbers) -> Any:
    """How far a hole's axis is off at a depth, mm, where it drifts at `turn` (radians) to the side it started on.

    start_offset, depth: mm; drift: mm a mm. Arrays broadcast. With turn zero it is `wander`, the worst case.
    """
    run = np.multiply(drift, depth)
    return np.sqrt(np.square(start_offset) + run**2 + 2 * start_offset * run * np.cos(turn))


NEARLY_ALL = 0.9   # of the printed tolerance of oversize that a drill is allowed to use


def largest_that_cleans(bore: float, off_twice: float) -> float:
    """The largest drill at hand, mm, whose hole a bore still cleans up, 0 where none does.

    bore: mm; off_twice: twice the offset that has to be bored out, mm. The drill's own oversize is taken at nine
    tenths of its printed range.
    """
    fits = (d for d in DRILLS if 1 <= d < bore and d + NEARLY_ALL * oversize(d).b + off_twice <= bore)
    return max(fits, default=0.0)


def _plain(value: Any) -> Any:
    return value if np.ndim(value) else float(value)


# ---- the road to a bored and reamed blind hole ----------------------------------------------------------


@dataclass(frozen=True)
class Stage:
    """One tool in the hole: the diameter and full depth it leaves, its tip's depth, what it took, what is left; mm."""

    kind: Literal["centre drill", "drill", "flat drill", "boring bar", "reamer"]
    diameter: float
    full_depth: float
    tip: float
    taken: float      # on diameter, from the stage before
    left: float       # on diameter, to the finished bore


@dataclass(frozen=True)
class Plan:
    """The stages of a hole, and the drill that was chosen."""

    stages: tuple[Stage, ...]
    drill: float
    point_angle: float    # of the drill, degrees
    flat_bottom: bool
    clean: float          # smallest bore that would clean up the drilled hole, worst case, mm
    not_reamed: float     # height above the bottom that the reamer's lead leaves unreamed, mm


DRILLS = tuple(round(0.1 * n, 1) for n in range(10, 131)) + tuple(round(0.5 * n, 1) for n in range(27, 101))


def largest_drill(bore: float, depth: float, start: Any = 0.03, drift: Any = 0.0015, least_wall: float = 0.1,
        drills: tuple[float, ...] = DRILLS) -> float:
    """The largest drill whose hole, oversize and off the axis as it may be, still cleans up at this bore.

    bore, depth, start, least_wall (to be left for the bar, on radius): mm. Raises Refused if no drill will do.
    """
    size, deep = float(positive(bore, "the bore")), float(positive(depth, "the depth"))
    off = float(
        wander(positive(start, "the start offset", zero=True), positive(drift, "the drift", "", zero=True), deep))
    wall = float(positive(least_wall, "the wall to be left", zero=True))
    for drill in sorted(drills, reverse=True):
        if drill < size and smallest_clean_bore(drill + oversize(drill).b, off) + 2 * wall <= size + 1e-9:
            return drill
    raise Refused(
        f"No drill is small enough to clean up at {plain(size, 4)} mm, {plain(deep, 4)} mm deep, when it may run "
        f"{plain(off)} mm off. Start truer, or drill in two depths and bore between.")


def sequence(bore: float = 10.0, depth: float = 32.0, point_angle: float = 118.0, flat_bottom: bool = True,
        ream_stock: float = 0.2, reamer_lead: float = 1.0, floor: float = 0.2, start: float = 0.03,
        drift: float = 0.0015, drill: float | None = None) -> Plan:
    """Drill, square, bore and ream a blind hole: each tool's diameter, depth and stock.

    bore, depth: finished, mm; ream_stock: left on diameter for the reamer, zero for a bore that is not reamed;
    reamer_lead: length of its chamfer; floor: left on the bottom for the flat tool; drill: chosen if None.
    Raises Refused for a hole that cannot be made this way.
    """
    size, deep = float(positive(bore, "the bore")), float(positive(depth, "the depth"))
    stock = float(positive(ream_stock, "the stock for the reamer", zero=True))
    lead = float(positive(reamer_lead, "the reamer's lead", zero=True)) if stock else 0.0
    ground = float(positive(floor, "the floor left on the bottom", zero=True))
    angle = float(_angle(point_angle))
    if stock > 0.1 * size:
        raise Refused(
            f"{plain(stock)} mm is too much for a reamer of {plain(size, 4)} mm; up to 5 mm leave 0.1 to 0.2 mm, "
            f"to 20 mm 0.2 to 0.3 mm.")
    bored = size - stock
    chosen = largest_drill(bored, deep, start, drift) if drill is None else float(positive(drill, "the drill"))
    if chosen >= bored:
        raise Refused(
            f"A drill of {plain(chosen, 4)} mm leaves nothing to bore at {plain(bored, 4)} mm. Take a smaller one.")
    height = point_height(chosen, angle)
    tip = deep - ground if flat_bottom else deep + height
    if tip <= height:
        raise Refused("The hole is shallower than the drill's point is high. Use a flatter point or a smaller drill.")
    clean = float(smallest_clean_bore(chosen + oversize(chosen).b, wander(start, drift, deep)))
    spot = min(0.4 * size, chosen)
    stages = [Stage("centre drill", spot, 0.0, spot / 2, 0.0, size - spot),
        Stage("drill", chosen, tip - height, tip, chosen, size - chosen)]
    if flat_bottom:
        stages.append(Stage("flat drill", chosen, deep, deep, 0.0, size - chosen))
    stages.append(Stage("boring bar", bored, deep, deep, bored - chosen, stock))
    if stock:
        stages.append(Stage("reamer", size, deep - lead, deep, stock, 0.0))
    kept = tuple(Stage(s.kind, *(round(x, 3) for x in (s.diameter, s.full_depth, s.tip, s.taken, s.left)))
        for s in stages)
    return Plan(kept, chosen, angle, flat_bottom, clean, lead if flat_bottom else 0.0)


# ---- chips in a blind hole --------------------------------------------------------------------------------


@dataclass(frozen=True)
class ChipRoom:
    """Chips of a boring pass: solid volume, room in the hole (mm³), and how far the pass goes before it fills.
    """

    solid: Any
    room: Any
    share: Any
    until: Any


def chips_when_boring(before: Numbers, after: Numbers, depth: Numbers, bar: Numbers, chip_bulk: Numbers) -> ChipRoom:
    """Does a boring pass fill a blind hole with its own chips?

    before, after: bore diameters; depth of the hole; bar diameter, mm; chip_bulk: room the chips take in volumes
    of solid metal. `until` is the depth of cut length after which the hole behind the tool is full, if none get out.
    Arrays broadcast. Raises Refused.
    """
    small, big = positive(before, "the bore before"), positive(after, "the bore after")
    if (np.asarray(big) <= np.asarray(small)).any():
        raise Refused("The bore after the pass must be larger than before. Check the two diameters.")
    rod = positive(bar, "the bar diameter")
    if (np.asarray(rod) >= np.asarray(small)).any():
        raise Refused(
            f"A bar of {plain(float(np.max(rod)), 4)} mm does not enter a bore of {plain(float(np.min(small)), 4)} mm. "
            f"Take a thinner bar.")
    length, pile = positive(depth, "the depth"), positive(chip_bulk, "the room the chips take", "volumes")
    solid = ring_volume(big, small, length)
    room = math.pi / 4 * (small**2 - rod**2) * length
    share = pile * solid / room
    return ChipRoom(*(_plain(v) for v in (solid, room, share, length * np.minimum(1.0, 1 / share))))


def peck(diameter: Numbers, first: float = 3.0, later: float = 1.0) -> tuple[Any, Any]:
    """First and later bites between withdrawals, mm: three diameters, then one. Common practice; halve it where chips
    jam.
    """
    d = positive(diameter, "the drill diameter")
    return d * positive(first, "the first bite", "diameters"), d * positive(later, "the later bite", "diameters")
