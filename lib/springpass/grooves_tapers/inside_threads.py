"""Threads inside: the bar under the flanks' force, room to withdraw, time to stop, the thread dial, the gauge.

A threading tool inside is a boring bar with two wide flanks in the cut. It is pushed off, so the pitch diameter comes
out small; passes at the same setting take the rest. The thread dial is arithmetic: the half-nuts may close when both
leadscrew and thread are back in step.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm
from typing import Any, NamedTuple

import numpy as np

from ..core.formula import formula
from ..core.quantity import Numbers, Refused, positive
from ..core.shared import SpindleSpeed
from ..cutting import Kienzle, kienzle
from ..threads.quantities import FlankAngle, MinorDiameter, ThreadDepth, ThreadPitch
from ..threads.single_point import Schedule, leading_chip, trailing_chip
from .quantities import LeadCost, LeadError, ReactionTime, RunOut, ThickestBar, ThreadGap

FLANK = 30.0   # degrees from square to the axis: metric and unified threads

# ---- one formula at a time ---------------------------------------------------------------------------------


@formula(source="bar, tip and gaps on one diameter, in the thread and withdrawn", basis="computed",
    holds="round bar, tip level with its axis; a gap behind the bar, one beside it, one in front of the tip")
def thickest_bar(minor: MinorDiameter, depth: ThreadDepth, gap: ThreadGap) -> ThickestBar:
    """Thickest bar for a thread: it must cut to full depth, and come out of the thread again."""
    return minor - depth - 3 * gap


@formula(source="one pitch a revolution", holds="a hand on the lever; no stop that trips the half-nuts",
    basis="computed")
def top_thread_speed(run_out: RunOut, pitch: ThreadPitch, reaction: ReactionTime) -> SpindleSpeed:
    """Highest spindle speed at which the tool still stops inside the relief."""
    return 60 * run_out / (pitch * reaction)


@formula(source="a flank moved along the axis meets its mate as if it were nearer the axis by the cotangent",
    holds="GO gauge or screw over the length that meets; each flank may be shifted either way", basis="computed")
def lead_cost(lead_error: LeadError, flank_angle: FlankAngle = 30.0) -> LeadCost:
    """What an error of the lead takes off the fit: the pitch diameter seems smaller inside, larger outside."""
    return lead_error / np.tan(np.radians(flank_angle))


# ---- the bar under the flanks ------------------------------------------------------------------------------


class ThreadPush(NamedTuple):
    """Force on a threading tool, N: along the speed, off the wall, along the axis; thickest chip, mm."""

    cutting: Any
    thrust: Any
    side: Any
    chip: Any


def thread_push(step: Numbers, depth: Numbers, tip_flat: Numbers, infeed_angle: float = 29.5,
        material: Any = "medium-carbon steel") -> ThreadPush:
    """Forces of one threading pass: Kienzle's law on both flanks and on the flat of the tip.

    step: how much deeper this pass goes, depth: where it ends, both on radius, mm; material: as for cutting.kienzle.
    Arrays broadcast. Raises Refused for values that cannot be.
    """
    law: Kienzle = kienzle(material)
    s, deep = np.asarray(step, float), np.asarray(depth, float)
    long = (deep - s / 2) / np.cos(np.radians(FLANK))
    chips = (np.maximum(leading_chip(s, infeed_angle), 0.0), np.maximum(trailing_chip(s, infeed_angle), 0.0), s)
    main = [law.kc * chip ** (1 - law.mc) for chip in chips]
    normal = [law.kn * chip ** (1 - law.mn) for chip in chips]
    sine, cosine = np.sin(np.radians(FLANK)), np.cos(np.radians(FLANK))
    return ThreadPush((main[0] + main[1]) * long + main[2] * tip_flat,
        (normal[0] + normal[1]) * sine * long + normal[2] * tip_flat, (normal[0] - normal[1]) * cosine * long,
        np.maximum(chips[0], s))


def _thrust(step: Any, depth: Any, tip_flat: float, infeed_angle: float, law: Kienzle) -> Any:
    """The thrust of `thread_push` alone: it is asked for at every step of every pass."""
    power = 1 - law.mn
    lead, trail = leading_chip(1.0, infeed_angle) ** power, np.maximum(trailing_chip(1.0, infeed_angle), 0.0) ** power
    flanks = (lead + trail) * np.tan(np.radians(FLANK)) * (depth - step / 2)
    return law.kn * step**power * (flanks + tip_flat)


@dataclass(frozen=True)
class InsidePasses:
    """Threading passes with a bar that deflects; first axis the pass, spring passes last. mm on radius, N."""

    dialled: np.ndarray
    reached: np.ndarray
    thrust: np.ndarray

    @property
    def left(self) -> np.ndarray:
        """How much less deep than dialled each pass ends."""
        return np.asarray((self.dialled - self.reached.T).T)


def inside_passes(schedule: Schedule, tip_flat: float, compliance: Numbers, spring: int = 1, infeed_angle: float = 29.5,
        material: Any = "medium-carbon steel", least_chip: float = 0.0, force: Numbers = 1.0) -> InsidePasses:
    """What each pass of a schedule really reaches with a bar of a compliance (mm/N), then so many spring passes.

    Cut and deflection settle together: step + C·thrust(step) is what the dial still asks for. Where the chip that is
    left is thinner than least_chip the edge rubs and takes nothing. force: factor on the thrust. Arrays broadcast.
    Raises Refused for values that cannot be.
    """
    soft = positive(compliance, "compliance", "mm/N", zero=True) * np.asarray(force, float)
    least, law = positive(least_chip, "minimum chip thickness", zero=True), kienzle(material)
    dialled = np.concatenate([schedule.depth, np.full(int(spring), schedule.depth[-1])])
    reached: list[np.ndarray] = []
    thrusts: list[np.ndarray] = []
    at = np.zeros(np.shape(soft))
    for goal in dialled:
        rest = np.maximum(goal - at, 0.0)
        step = rest / 2
        for _ in range(6):   # Newton; the thrust goes about with the root of the step, and 0.6 is near enough to settle
            push = _thrust(step, at + step, tip_flat, infeed_angle, law)
            slope = 1 + 0.6 * soft * push / np.maximum(step, 1e-12)
            step = np.clip(step - (step + soft * push - rest) / slope, 1e-12, rest)
        thickest = np.maximum(np.asarray(leading_chip(step, infeed_angle)), step)
        taken = np.where(thickest < least, 0.0, step)
        push = np.where(taken > 0, _thrust(step, at + step, tip_flat, infeed_angle, law), 0.0)
        at = at + taken
        reached.append(at)
        thrusts.append(push * np.asarray(force, float))
    return InsidePasses(dialled, np.asarray(reached), np.asarray(thrusts))


# ---- the thread dial ---------------------------------------------------------------------------------------

MM = Fraction(127, 5)   # millimetres in an inch, exactly


@dataclass(frozen=True)
class DialRule:
    """When the half-nuts may close again; mm of carriage travel that the leadscrew would have made."""

    period: float              # leadscrew and thread are back in step after this
    around: float              # one revolution of the dial
    marks: tuple[int, ...]     # marks, counted from the first one closed at, at which they are; (0,) the same one only
    anywhere: bool             # wherever the half-nuts drop in
    closed: bool               # the dial never helps: the half-nuts stay closed
    turns: int                 # revolutions of the dial after which the first mark is right again
    missed: tuple[float, ...]  # how far, in pitches, the tool is off its thread when they close at each mark; 0 to 0.5


def _common_period(one: Fraction, other: Fraction) -> Fraction:
    """The least length that is a whole number of both pitches."""
    return Fraction(lcm(one.numerator, other.numerator), gcd(one.denominator, other.denominator))


def dial_rule(leadscrew: Fraction, pitch: Fraction, teeth: int = 32, marks: int = 8) -> DialRule:
    """Which marks of a thread dial are right for a thread.

    leadscrew, pitch: of leadscrew and thread, mm, as fractions: 1/8 inch is Fraction(127, 40). teeth: of the dial's
    gear, one for each thread of the leadscrew; marks: round the dial. Raises Refused for what cannot be.
    """
    if leadscrew <= 0 or pitch <= 0:
        raise Refused("The pitch of the leadscrew and that of the thread must both be above zero.")
    for what, name in ((teeth, "teeth of the dial's gear"), (marks, "marks round the dial")):
        if int(positive(what, name, "1")) != what:
            raise Refused(f"The {name} must be a whole number; it was {what}.")
    period, around = _common_period(leadscrew, pitch), teeth * leadscrew
    right = tuple(mark for mark in range(int(marks)) if (around * mark / marks / period).denominator == 1)
    turns = (around / period).denominator
    shares = [(around * mark / marks / pitch) % 1 for mark in range(int(marks))]
    return DialRule(float(period), float(around), right, period == leadscrew, turns > 1, turns,
        tuple(float(min(share, 1 - share)) for share in shares))
