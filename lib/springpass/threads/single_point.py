"""Cutting a thread and measuring it: wires, infeed, and what a thin nut does under load.

The pitch diameter is what makes a thread fit, and no caliper touches it. Three wires
reach it; the infeed reaches it only as far as the tool's tip is known. A thin nut is a
ring with a wedge driven into it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from ..core.formula import formula
from ..core.quantity import Numbers, Refused, plain, positive
from ..core.shared import Modulus, Poisson
from .quantities import (
    EngagedLength,
    FlankAngle,
    FlankChip,
    FlankPressure,
    GrooveArea,
    InfeedAngle,
    InfeedStep,
    LeadSlope,
    NutFactor,
    NutGrowth,
    NutOutside,
    NutRatio,
    OverWires,
    PitchDiameter,
    Preload,
    ThreadDepth,
    ThreadLead,
    ThreadPitch,
    TipFlat,
    WireDiameter,
    WireLift,
)
from .sizes import Thread, basic, read, thread_height

# ---- measuring over wires -----------------------------------------------------------------------------


@formula(source="geometry: a wire that touches the flanks at the pitch diameter", holds="any symmetrical thread",
    basis="computed")
def best_wire(pitch: ThreadPitch, flank_angle: FlankAngle = 30.0) -> WireDiameter:
    """The wire for which an error of the flank angle does least harm."""
    return pitch / (2 * np.cos(np.radians(flank_angle)))


@formula(source="geometry of a round wire in a V; F. D. Jones, Turning and Boring (1914), gives it for 60° threads",
    holds="any symmetrical thread, lead angle neglected", basis="computed")
def over_wires(pitch_diameter: PitchDiameter, pitch: ThreadPitch, wire: WireDiameter,
        flank_angle: FlankAngle = 30.0) -> OverWires:
    """What the micrometer reads over three wires."""
    return (pitch_diameter + wire * (1 + 1 / np.sin(np.radians(flank_angle)))
        - pitch / (2 * np.tan(np.radians(flank_angle))))


@formula(source="the same, turned round", holds="any symmetrical thread, lead angle neglected", basis="computed")
def from_wires(reading: OverWires, pitch: ThreadPitch, wire: WireDiameter,
        flank_angle: FlankAngle = 30.0) -> PitchDiameter:
    """Pitch diameter from the reading over three wires."""
    return (reading - wire * (1 + 1 / np.sin(np.radians(flank_angle))) + pitch / (2 * np.tan(np.radians(flank_angle))))


@formula(source="geometry of a helix", holds="any thread; a single start has a lead of one pitch", basis="computed")
def lead_slope(lead: ThreadLead, pitch_diameter: PitchDiameter) -> LeadSlope:
    """Tangent of the lead angle at the pitch diameter."""
    return lead / (np.pi * pitch_diameter)


@formula(source="first term of the lead-angle correction, as in calibration guides for thread gauges (from memory; "
    "checked here against a numerical search for the contact)",
    holds="lead angles under about 5°, wires near the best one; high by the share W/(2 d₂) of itself", basis="computed")
def wire_lift(
    wire: WireDiameter, lead: ThreadLead, pitch_diameter: PitchDiameter, flank_angle: FlankAngle = 30.0
) -> WireLift:
    """How much the slope of the groove lifts the reading over wires."""
    return (wire / 2 * lead_slope(lead, pitch_diameter)**2
        * np.cos(np.radians(flank_angle)) / np.tan(np.radians(flank_angle)))


# ---- cutting it ---------------------------------------------------------------------------------------


@formula(source="geometry: the groove is half a pitch wide at the pitch diameter", basis="computed",
    holds="60° threads from a blank of the basic major diameter; a blunter tip goes less deep")
def depth_for_tip(pitch: ThreadPitch, tip_flat: TipFlat) -> ThreadDepth:
    """Infeed, on radius, at which a tool with this flat on its tip brings the pitch diameter to size."""
    return 3 * thread_height(pitch) / 8 + np.sqrt(3) * (pitch / 2 - tip_flat) / 2


@formula(source="area of a V with a flat bottom", holds="any symmetrical groove", basis="computed")
def groove_area(depth: ThreadDepth, tip_flat: TipFlat, flank_angle: FlankAngle = 30.0) -> GrooveArea:
    """Section of the groove."""
    return depth * (tip_flat + depth * np.tan(np.radians(flank_angle)))


@formula(source="the same, turned round", holds="any symmetrical groove", basis="computed")
def depth_of_area(area: GrooveArea, tip_flat: TipFlat, flank_angle: FlankAngle = 30.0) -> ThreadDepth:
    """How deep a groove of this section is."""
    return ((np.sqrt(tip_flat**2 + 4 * area * np.tan(np.radians(flank_angle))) - tip_flat)
        / (2 * np.tan(np.radians(flank_angle))))


@formula(source="geometry of a slanted infeed", holds="infeed angle up to the flank angle", basis="computed")
def leading_chip(infeed_step: InfeedStep, infeed_angle: InfeedAngle, flank_angle: FlankAngle = 30.0) -> FlankChip:
    """Thickness of the chip on the flank the tool moves towards."""
    return infeed_step * (np.sin(np.radians(flank_angle))
        + np.tan(np.radians(infeed_angle)) * np.cos(np.radians(flank_angle)))


@formula(source="geometry of a slanted infeed", holds="infeed angle up to the flank angle", basis="computed")
def trailing_chip(infeed_step: InfeedStep, infeed_angle: InfeedAngle, flank_angle: FlankAngle = 30.0) -> FlankChip:
    """Thickness of the chip on the other flank: nothing at all when the infeed runs along it."""
    return infeed_step * (np.sin(np.radians(flank_angle))
        - np.tan(np.radians(infeed_angle)) * np.cos(np.radians(flank_angle)))


# ---- thin nuts ----------------------------------------------------------------------------------------


@formula(source="balance of forces on a flank without friction", basis="computed",
    holds="load shared evenly along the nut; friction on the flanks takes some of it away")
def spreading_pressure(preload: Preload, pitch_diameter: PitchDiameter, length: EngagedLength,
        flank_angle: FlankAngle = 30.0) -> FlankPressure:
    """Pressure with which a loaded thread spreads its nut, as on a plain bore of the pitch diameter."""
    return preload * np.tan(np.radians(flank_angle)) / (np.pi * pitch_diameter * length)


@formula(source="Lamé's thick ring under inside pressure (Roark, thick-walled cylinders, from memory)", basis="memory",
    holds="rings of even wall, loaded over their full width, elastic")
def nut_growth(pressure: FlankPressure, pitch_diameter: PitchDiameter, outside: NutOutside, modulus: Modulus,
        poisson: Poisson) -> NutGrowth:
    """How much the thread of a nut grows in diameter under pressure from inside."""
    return pressure * pitch_diameter / modulus * (
        (outside**2 + pitch_diameter**2) / (outside**2 - pitch_diameter**2) + poisson)


@formula(source="E. M. Alexander, Analysis and design of threaded assemblies, SAE 770420 (1977) (from memory)",
    basis="memory", empirical=True, holds="steel nuts, outside 1.4 to 1.9 thread diameters")
def nut_strength(ratio: NutRatio) -> NutFactor:
    """Share of its stripping strength that a nut keeps as it spreads."""
    return -ratio**2 + 3.8 * ratio - 2.61


# ---- a measured thread ------------------------------------------------------------------------------------------


def wire_reading(thread: str, pitch_diameter: Any = None, wire: Any = None, lead: Any = None,
        special: bool = False) -> Any:
    """Reading over three wires, lead angle included, mm; arrays broadcast.

    pitch_diameter: the basic one if None; wire: the best one if None; lead: one pitch if None.
    Raises Refused if the wire would sink below the crest or ride on its edges.
    """
    t = read(thread, special)
    d2 = positive(basic(thread, special).pitch if pitch_diameter is None else pitch_diameter, "the pitch diameter")
    w = positive(best_wire(t.pitch) if wire is None else wire, "the wire diameter")
    check_wire(t, w)
    turn = positive(t.pitch if lead is None else lead, "the lead")
    return over_wires(d2, t.pitch, w) + wire_lift(w, turn, d2)


def pitch_from_reading(thread: str, reading: Numbers, wire: Any = None, lead: Any = None, special: bool = False) -> Any:
    """Pitch diameter from a reading over three wires, lead angle taken off, mm; arrays broadcast. Raises Refused."""
    t = read(thread, special)
    w = positive(best_wire(t.pitch) if wire is None else wire, "the wire diameter")
    check_wire(t, w)
    first = from_wires(positive(reading, "the reading over the wires"), t.pitch, w)
    if (np.asarray(first) < 0.5 * t.major).any():
        raise Refused(f"A reading of {plain(float(np.min(reading)), 6)} mm cannot come from {t.name} over wires of "
            f"{plain(float(np.max(w)), 4)} mm. Check the wires and the micrometer.")
    turn = positive(t.pitch if lead is None else lead, "the lead")
    return first - wire_lift(w, turn, first)


def wire_span(thread: str, special: bool = False) -> tuple[float, float]:
    """Thinnest and thickest wire that touches the flanks and stands proud of the crest, mm."""
    return _wire_span(read(thread, special))


@cache
def _wire_span(t: Thread) -> tuple[float, float]:
    # proud of the crest: d2 + 3W - 0.866 P > d; touching below the crest: (W/2) sin 30° outwards of the wire's middle
    proud = (t.major - (t.major - 0.649519 * t.pitch) + 0.866025 * t.pitch) / 3
    return proud, 1.010363 * t.pitch


def check_wire(t: Thread, wire: Numbers) -> None:
    """Raises Refused for a wire that does not sit on the flanks of this thread."""
    low, high = _wire_span(t)
    w = np.asarray(wire)
    if (w < low).any() or (w > high).any():
        raise Refused(
            f"A wire of {plain(float(w.flat[0]), 4)} mm does not sit right in {t.name}: use {plain(low, 3)} to "
            f"{plain(high, 3)} mm, best {plain(float(best_wire(t.pitch)), 4)} mm.")


# ---- passes -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Schedule:
    """Threading passes, one entry each, mm on radius: cumulative depth, its steps, and the same along the slide."""

    depth: np.ndarray
    step: np.ndarray
    slide: np.ndarray      # cumulative reading of a compound slide set to the infeed angle
    shift: np.ndarray      # sideways move that belongs to the depth
    area: np.ndarray       # section of chip that each pass takes, mm²
    leading: np.ndarray    # chip thickness on the flank moved towards
    trailing: np.ndarray   # and on the other one


def infeed_schedule(pitch: Any, passes: int = 8, tip_flat: float | None = None, infeed_angle: float = 29.5,
        depth: float | None = None) -> Schedule:
    """Passes of equal chip section for a 60° thread.

    pitch: mm, or a thread's name; tip_flat: flat on the tool's tip, P/8 if None; depth: total infeed on radius,
    that which brings the pitch diameter to size if None. Raises Refused.
    """
    p = read(pitch).pitch if isinstance(pitch, str) else float(positive(pitch, "the pitch"))
    count = float(positive(passes, "the number of passes", "passes"))
    if count != round(count) or count > 60:
        raise Refused(f"The number of passes is {plain(count, 4)}, but must be a whole number from 1 to 60.")
    flat = p / 8 if tip_flat is None else float(positive(tip_flat, "the flat on the tip", zero=True))
    if flat >= p / 2:
        raise Refused(f"A tip {flat:g} mm wide cannot cut a pitch of {p:g} mm: the groove is {p / 2:g} mm wide at the "
            f"pitch diameter. Grind it narrower.")
    angle = float(positive(infeed_angle, "the infeed angle", "degrees", zero=True))
    if angle > 30:
        raise Refused("The infeed angle must lie between 0 (straight in) and 30° (along the flank).")
    total = float(depth_for_tip(p, flat) if depth is None else positive(depth, "the depth of the thread"))
    if total > thread_height(p) * 7 / 8:
        raise Refused(f"A depth of {total:g} mm is deeper than a {p:g} mm thread. Most is "
            f"{plain(float(thread_height(p)) * 7 / 8)} mm.")
    whole = groove_area(total, flat)
    deep = np.asarray(depth_of_area(whole * np.arange(1, int(count) + 1) / count, flat))
    step = np.diff(deep, prepend=0.0)
    return Schedule(deep, step, deep / np.cos(np.radians(angle)), deep * np.tan(np.radians(angle)),
        np.diff(groove_area(deep, flat), prepend=0.0), np.asarray(leading_chip(step, angle)),
        np.asarray(trailing_chip(step, angle)))


# ---- thin nuts -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class ThinNut:
    """A loaded nut: growth of its thread on diameter (mm), hoop stress at the thread (MPa), overlap kept (share)."""

    pressure: Any
    growth: Any
    hoop: Any
    overlap: Any


def thin_nut(
    thread: str, outside: Numbers, length: Numbers, preload: Numbers, modulus: Any = 205e3, poisson: Any = 0.29
) -> ThinNut:
    """How much a nut spreads under load, and what that leaves of the overlap of the threads.

    mm, N, MPa; arrays broadcast. The load is spread evenly and friction is left out, which errs to the safe side.
    Raises Refused for a wall thinner than half a millimetre.
    """
    t = read(thread)
    d2 = basic(thread).pitch
    out = positive(outside, "the outside of the nut")
    if (np.asarray(out) < t.major + 1).any():
        raise Refused(f"A nut of {plain(float(np.min(out)), 4)} mm outside leaves no wall over {t.name}. "
            f"Make it at least {t.major + 1:g} mm.")
    p = spreading_pressure(positive(preload, "the load", "N", zero=True), d2, positive(length, "the length of the nut"))
    growth = nut_growth(p, d2, out, positive(modulus, "the modulus", "MPa"),
        positive(poisson, "Poisson's ratio", "1", zero=True))
    hoop = p * (out**2 + d2**2) / (out**2 - d2**2)
    return ThinNut(p, growth, hoop, 1 - growth / (2 * 5 / 8 * thread_height(t.pitch)))
