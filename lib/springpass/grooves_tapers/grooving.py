"""Grooves, undercuts, parting off: force, the blade's bending, why it grabs, room for the heel in a face groove.

A groove is cut with the whole width at once, so the force goes with the width. The force bends the blade down and, as
the edge lies above what tilts, draws it into the work: the chip's own force feeds the tool. Where a thicker chip draws
in more than it costs, the tool grabs.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import cutting
from ..core import tables
from ..core.formula import formula
from ..core.quantity import Numbers, Refused, plain, positive
from ..core.shared import CuttingForce, Feed, Force, Modulus, Poisson, SpecificForce
from ..cutting.quantities import MainForceExponent
from .quantities import (
    Backlash,
    BelowCentre,
    BladeDrop,
    BladeHeel,
    BladeHeight,
    BladeMoment,
    BladeSideways,
    BladeWidth,
    ChipGrowth,
    FaceOutside,
    ForceJump,
    GrabRatio,
    Inward,
    InwardBlade,
    InwardPost,
    Overhang,
    PipDiameter,
    PostHeight,
    PostReach,
    PostTilt,
    SideClearance,
)

BEAM = "Timoshenko, Strength of Materials, Part I, cantilever with an end load (from memory)"

# ---- the blade, one formula at a time ----------------------------------------------------------------------


@formula(source="specific force times the chip's section", basis="computed",
    holds="the whole width in the cut; the chip as thick as the feed")
def blade_force(specific_force: SpecificForce, width: BladeWidth, feed: Feed) -> CuttingForce:
    """Cutting force of a groove: the whole width cuts at once."""
    return specific_force * width * feed


@formula(source="Timoshenko, Strength of Materials, Part I, moments of inertia (from memory)",
    holds="solid rectangular section, loaded along its height")
def blade_second_moment(width: BladeWidth, height: BladeHeight) -> BladeMoment:
    """How well a blade on edge resists bending down."""
    return width * height**3 / 12


@formula(source=BEAM, holds="blade of even section, rigid holder; shear comes on top")
def blade_bending(force: Force, overhang: Overhang, width: BladeWidth, height: BladeHeight,
        modulus: Modulus) -> BladeDrop:
    """How far the force bends the blade's end down."""
    return force * overhang**3 / (3 * modulus * blade_second_moment(width, height))


@formula(source="Cowper, The shear coefficient in Timoshenko's beam theory, J. Appl. Mech. 33 (1966) (from memory)",
    holds="solid rectangular section; two fifths of the drop where the blade stands out as far as it is high")
def blade_shear(force: Force, overhang: Overhang, width: BladeWidth, height: BladeHeight, modulus: Modulus,
        poisson: Poisson) -> BladeDrop:
    """How far shear lets the blade's end down."""
    return force * overhang * (12 + 11 * poisson) / (5 * modulus * width * height)


@formula(source=BEAM, holds="blade of even section, rigid holder", basis="computed")
def blade_drop(force: Force, overhang: Overhang, width: BladeWidth, height: BladeHeight, modulus: Modulus,
        poisson: Poisson) -> BladeDrop:
    """How far the blade's end drops: bending and shear."""
    return (blade_bending(force, overhang, width, height, modulus)
        + blade_shear(force, overhang, width, height, modulus, poisson))


@formula(source=BEAM, holds="blade of even section, side force at its end, rigid holder")
def blade_sideways(force: Force, overhang: Overhang, width: BladeWidth, height: BladeHeight,
        modulus: Modulus) -> BladeSideways:
    """How far a side force pushes the blade's end: width and height have changed places."""
    return 4 * force * overhang**3 / (modulus * height * width**3)


# ---- why it grabs ------------------------------------------------------------------------------------------


@formula(source="slope of a cantilever's end, F L²/(2 E I), times half the blade's height", basis="computed",
    holds="edge at the top of a blade of even section")
def blade_inward(overhang: Overhang, width: BladeWidth, height: BladeHeight, modulus: Modulus) -> InwardBlade:
    """How far the bending blade's edge moves into the work, for one newton: its end tips over."""
    return 3 * overhang**2 / (modulus * width * height**2)


@formula(source="a small rotation about a point below the edge: moment over stiffness, times the height",
    basis="computed",
    holds="front tool, edge up; on a rear post with the blade upside down the movement is away from the work")
def post_inward(reach: PostReach, tip_height: PostHeight, tilt: PostTilt) -> InwardPost:
    """How far post and slides let the edge move into the work, for one newton."""
    return reach * tip_height / tilt


@formula(source="slope of Kienzle's law times the movement it causes", basis="computed",
    holds="slow growth of the chip; the edge sharp, the slide's screw without backlash")
def grab_ratio(inward: Inward, specific_force: SpecificForce, exponent: MainForceExponent,
        width: BladeWidth) -> GrabRatio:
    """How much more chip a thicker chip's force draws in: at one there is no end to it."""
    return inward * (1 - exponent) * specific_force * width


@formula(source="sum of a geometric series: each bite draws in its share of the next", basis="computed",
    holds="ratio under one, within the first revolution")
def chip_growth(ratio: GrabRatio) -> ChipGrowth:
    """How many times thicker than the feed the chip is, until the groove has gone round once."""
    return 1 / (1 - ratio)


@formula(source="Kienzle's law for a chip that grows by the backlash at once", basis="computed",
    holds="slide drawn in by its whole backlash within one revolution")
def backlash_force(feed: Feed, backlash: Backlash, exponent: MainForceExponent) -> ForceJump:
    """How many times the force grows when the slide is drawn in by its backlash."""
    return (1 + backlash / feed) ** (1 - exponent)


@formula(source="circle about the axis that the edge never reaches", holds="tip below centre, part held",
    basis="computed")
def pip(below: BelowCentre) -> PipDiameter:
    """Diameter of the pip that a tip below centre leaves, and over which it climbs."""
    return 2 * below


# ---- a groove in a face ------------------------------------------------------------------------------------


@formula(source="chord of the groove's outer wall at an angle to its tangent", basis="computed",
    holds="edge on centre height, flat outer flank with the same clearance down to the heel")
def smallest_face_groove(heel: BladeHeel, clearance: SideClearance) -> FaceOutside:
    """Smallest outside diameter of a face groove that a blade enters before its heel rubs on the outer wall."""
    return 2 * heel / np.sin(2 * np.radians(clearance))


@formula(source="the same, turned round", holds="heel lower than the groove's outer radius", basis="computed")
def needed_clearance(heel: BladeHeel, outside: FaceOutside) -> SideClearance:
    """Least side clearance with which the heel stays clear of the outer wall."""
    return np.degrees(np.arcsin(2 * heel / outside)) / 2


# ---- the cut as a whole ------------------------------------------------------------------------------------


def longest_overhang(width: Numbers) -> Any:
    """Longest overhang by the trade's rule, mm: so many blade widths (data/grooving.csv)."""
    return tables.fact("grooving", name="overhang over width").value * positive(width, "width of the blade")


@dataclass(frozen=True)
class Bite:
    """What one groove asks of the blade. mm, N; arrays where arrays were given."""

    force: Any      # along the speed
    drop: Any       # of the blade's end, bending and shear
    inward: Any     # mm/N; below zero it moves away from the work
    ratio: Any      # of grabbing; below zero it cannot
    growth: Any     # first revolution's chip over the feed; infinite where it grabs
    softer: float   # how many times softer the blade is sideways than down


def bite(width: Numbers, height: Numbers, overhang: Numbers, feed: Numbers, kc: Numbers, mc: Numbers,
        modulus: Numbers = 210e3, poisson: Numbers = 0.29, post: Numbers = 0.0) -> Bite:
    """Force, drop and grabbing of a groove.

    post: movement of post and slides into the work, mm/N, below zero where they move away. kc, mc: MPa for a chip of
    1 mm, exponent. Raises Refused for a blade that stands out by less than a tenth of its height.
    """
    w, h = positive(width, "width of the blade"), positive(height, "height of the blade")
    out = positive(overhang, "overhang")
    if np.any(np.asarray(out) < np.asarray(h) / 10):
        raise Refused(f"An overhang of {plain(float(np.min(out)))} mm is too short for a blade "
            f"{plain(float(np.max(h)))} mm high: it is no beam. Give at least a tenth of its height.")
    f = positive(feed, "feed")
    specific = cutting.specific_force(f, kc, mc)
    force = blade_force(specific, w, f)
    inward = blade_inward(out, w, h, positive(modulus, "modulus", "MPa")) + post
    ratio = grab_ratio(inward, specific, mc, w)
    with np.errstate(divide="ignore"):
        growth = np.where(np.asarray(ratio) < 1, chip_growth(np.minimum(ratio, 1.0)), np.inf)[()]
    return Bite(force, blade_drop(force, out, w, h, modulus, poisson), inward, ratio, growth,
        float(np.max(np.asarray(h) / np.asarray(w)) ** 2))


# ---- undercuts ---------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Undercut:
    """An undercut by DIN 509, mm. face: how far form F cuts into the shoulder; form E leaves the shoulder alone."""

    radius: float
    depth: float
    width: float
    run: float
    face: float
    over: float
    upto: float
    source: str
    basis: str

    def name(self, form: str) -> str:
        """What a drawing calls it: F 0.6x0.3."""
        return f"{form} {plain(self.radius, 3)}x{plain(self.depth, 3)}"


LOADS = ("usual", "alternating")


def undercuts(load: str = "usual") -> list[Undercut]:
    """The rows of the table for one kind of load, from the smallest diameter. Raises Refused for another kind."""
    if load not in LOADS:
        raise Refused(f"The load “{load}” is not known. Choose {' or '.join(LOADS)}.")
    return [Undercut(row["radius"], row["depth"], row["width"], row["run"], row["face"], row["over"], row["upto"],
        row["source"], row["basis"]) for row in tables.rows("undercuts") if row["load"] == load]


def undercut(diameter: float, load: str = "usual") -> Undercut:
    """The undercut that belongs to a diameter, mm. Raises Refused where the table has no row."""
    size = float(positive(diameter, "the diameter"))
    rows = undercuts(load)
    for row in rows:
        if row.over < size <= row.upto:
            return row
    raise Refused(f"The table of undercuts for {load} loads runs over {rows[0].over:g} up to {rows[-1].upto:g} mm; "
        f"{size:g} mm is outside. Choose the other load, or a diameter in that span.")
