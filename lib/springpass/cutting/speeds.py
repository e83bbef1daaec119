"""Speed, feed, power and time: what to set on the lathe before the first chip.

The tables say how fast the metal may pass the edge; the diameter makes a spindle
speed of that; the lathe has only its own steps. A step above the wanted speed is
never taken silently.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import cutting
from ..core import tables
from ..core.formula import formula
from ..core.quantity import Numbers, Refused, but, positive
from ..core.shared import CuttingForce, CuttingSpeed, Feed, SpindleSpeed, Torque, WorkDiameter
from ..core.spread import Likely, likely, odds, sample
from ..core.tables import Fact
from .quantities import CutTime, DepthOfCut, Efficiency, MotorPower, Power, RemovalRate, TurnLength

# ---- one formula at a time ------------------------------------------------------------------------


@formula(source="the rim passes once per revolution: v = π D n", holds="any turning cut", basis="computed")
def surface_speed(diameter: WorkDiameter, spindle_speed: SpindleSpeed) -> CuttingSpeed:
    """How fast the metal passes the edge, m/min."""
    return np.pi * diameter * spindle_speed / 1000


@formula(source="the rim passes once per revolution: n = v / (π D)", holds="any turning cut", basis="computed")
def spindle_speed(speed: CuttingSpeed, diameter: WorkDiameter) -> SpindleSpeed:
    """Spindle speed, rpm, for a wanted cutting speed."""
    return 1000 * speed / (np.pi * diameter)


@formula(source="feed per revolution times revolutions", basis="computed",
    holds="power feed, without the run-up to the cut")
def time_in_cut(length: TurnLength, feed: Feed, spindle_speed: SpindleSpeed) -> CutTime:
    """Seconds that one pass takes."""
    return 60 * length / (feed * spindle_speed)


@formula(source="depth times feed times speed", holds="depth small beside the diameter", basis="computed")
def removal_rate(depth: DepthOfCut, feed: Feed, speed: CuttingSpeed) -> RemovalRate:
    """Metal removed in a second."""
    return 1000 * depth * feed * speed / 60


@formula(source="force times lever", holds="any turning cut", basis="computed")
def cutting_torque(cutting_force: CuttingForce, diameter: WorkDiameter) -> Torque:
    """Torque that the cut asks of the spindle."""
    return cutting_force * diameter / 2


@formula(source="power is torque times angular speed", holds="steady running; a speed drive may give less at low speed",
    basis="computed")
def torque_available(motor_power: MotorPower, efficiency: Efficiency, spindle_speed: SpindleSpeed) -> Torque:
    """Torque that the motor delivers at this spindle speed."""
    return 30e6 * motor_power * efficiency / (np.pi * spindle_speed)


@formula(source="losses of belts, gears and bearings", holds="belt and gear headstocks", basis="computed")
def motor_load(edge_power: Power, efficiency: Efficiency) -> MotorPower:
    """Power that the motor must deliver for a power at the edge."""
    return edge_power / efficiency


# ---- the tables -----------------------------------------------------------------------------------

TOOLS = ("high-speed steel", "uncoated carbide", "coated carbide")


def cutting_speed(material: str, tool: str = "high-speed steel") -> Fact:
    """The printed range of cutting speeds, m/min, and where to begin. Raises Refused for unknown names."""
    return tables.fact("cutting_speeds", material=material, tool=tool, property="speed")


def feed_range(material: str, finishing: bool = True) -> Fact:
    """The printed range of feeds, mm, on work of 25 mm and more. Raises Refused for an unknown name."""
    return tables.fact("cutting_speeds", material=material, tool="any",
        property="feed_finish" if finishing else "feed_rough")


def nose_feed(nose_radius: Numbers, finishing: bool = True) -> Any:
    """The most feed a nose can take, mm: a third of its radius for finishing, half for roughing."""
    rule = tables.fact("cutting_rules", rule="feed_over_nose_finish" if finishing else "feed_over_nose_high")
    return (rule.value if finishing else rule.low) * positive(nose_radius, "nose radius")


def step_sets() -> list[str]:
    """Names of the ready-made series of spindle speeds."""
    return tables.names("lathe_steps", "set")


def steps(which: Any) -> np.ndarray:
    """Spindle speeds of a lathe, rising: by the name of a series, or from the numbers on your own plate.

    A text such as "60, 110, 190" is read too. Raises Refused for an unknown name or a speed of zero.
    """
    if isinstance(which, str):
        if not any(sign.isdigit() for sign in which.split(":")[0]):
            tables.row("lathe_steps", set=which,
                value=next((r["value"] for r in tables.rows("lathe_steps") if r["set"] == which), 0.0))
        found = [r["value"] for r in tables.rows("lathe_steps") if r["set"] == which]
        which = found or [
            Q_STEP.read(part, "spindle speed") for part in which.replace(";", " ").replace(",", " ").split()]
    speeds = np.unique(np.atleast_1d(positive(which, "spindle speed", "rpm")))
    if not speeds.size:
        raise Refused("No spindle speed was given. Write those of your lathe's plate, like 125 250 500 1000.")
    return speeds


Q_STEP = but(SpindleSpeed, low=1, high=60000)


@dataclass(frozen=True)
class Step:
    """A spindle speed to set, and its neighbour above, which is never taken silently."""

    wanted: float  # 1/min, from the cutting speed that was asked for
    chosen: float  # 1/min, the fastest step not above it; the slowest step where all are above
    speed: float  # m/min at the chosen step
    above: float  # 1/min, the next step up; inf where there is none
    above_speed: float  # m/min at that step
    nearest_is_above: bool
    too_fast: bool  # even the slowest step is above what was asked for


def choose_step(speed: float, diameter: float, lathe: Any = "gears, ratio 1.4: 45 to 2000") -> Step:
    """The lathe's step for a cutting speed (m/min) on a diameter (mm): the nearest that is not above it.

    Where only faster steps exist the slowest is given and `too_fast` says so. Raises Refused for bad input.
    """
    wanted = float(spindle_speed(positive(speed, "cutting speed", "m/min"), positive(diameter, "diameter")))
    speeds = steps(lathe)
    fitting = speeds[speeds <= wanted * (1 + 1e-9)]
    too_fast = not fitting.size
    chosen = float(speeds[0] if too_fast else fitting[-1])
    higher = speeds[speeds > chosen]
    above = float(higher[0]) if higher.size else np.inf
    return Step(wanted, chosen, float(surface_speed(diameter, chosen)), above, float(surface_speed(diameter, above)),
        bool(not too_fast and abs(above - wanted) < abs(wanted - chosen)), too_fast)


# ---- the cut on this lathe ------------------------------------------------------------------------


@dataclass(frozen=True)
class Cut:
    """What one pass asks of the lathe."""

    step: Step
    table: Fact  # the printed speeds, m/min
    inside: bool  # the chosen step gives a speed inside the printed range
    force: Likely  # N
    power: Likely  # kW at the edge
    torque: Likely  # N mm at the spindle
    available: Likely  # N mm that the motor delivers at this spindle speed
    load: Likely  # motor power asked for, kW
    enough: float  # odds that the motor can do it
    seconds: float  # one pass
    removal: float  # mm³/s
    chip_area: float  # mm²


def plan_cut(material: str, tool: str, diameter: float, length: float, depth: float, feed: float,
        nose_radius: float = 0.4, lathe: Any = "gears, ratio 1.4: 45 to 2000", motor_power: float = 0.75,
        speed: float | None = None, internal: bool = False) -> Cut:
    """Spindle speed, force, power, torque and time of one pass, with ranges.

    mm, m/min, kW. speed: the cutting speed wanted; the table's own beginning where None.
    Kienzle's force is taken to ±25 %, the drive's efficiency and the extra of a bore from data/cutting_rules.
    Raises Refused for unknown names or values that cannot be.
    """
    table = cutting_speed(material, tool)
    positive(length, "length of cut")
    positive(motor_power, "motor power", "kW")
    step = choose_step(table.value if speed is None else speed, diameter, lathe)
    known = cutting.kienzle(material)
    nose = cutting.nose_forces(depth, feed, nose_radius, 90.0, *known)
    rule = tables.fact("cutting_rules", rule="internal")
    drawn = sample(scatter=cutting.force_range(material), bore=rule.range if internal else 1.0,
        efficiency=tables.fact("cutting_rules", rule="drive_efficiency").range)
    force = nose.cutting * np.maximum(drawn["scatter"], 0.1) * drawn["bore"]
    power = cutting.cutting_power(force, step.speed)
    torque = cutting_torque(force, diameter)
    available = torque_available(motor_power, drawn["efficiency"], step.chosen)
    return Cut(step, table, bool(table.low <= step.speed <= table.high), likely(force), likely(power), likely(torque),
        likely(available), likely(motor_load(power, drawn["efficiency"])), odds(torque <= available),
        float(time_in_cut(length, feed, step.chosen)), float(removal_rate(depth, feed, step.speed)), float(nose.area))
