"""A page of chapter 11: what an indicator shows of a part that does not run true, and what it hides."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .. import true_running as true
from ..core.mathml import formula_mathml
from ..core.quantity import Say, but, plain
from ..measuring.quantities import LobeHeight
from ..screen.draw import Chart, room
from ..screen.page import Choose, Page, Slide
from ..true_running.quantities import AxisTilt, Eccentricity, EndDistance, Lobes, MarkAngle
from ..true_running.supports import RIGHT_VEE, SPINDLE, SUPPORTS, TURN


@dataclass(frozen=True)
class Indicated:
    shown: true.Shown
    eccentricity: float
    distance: float
    lobe: float
    lobes: int
    support: str


def compute_indicated(eccentricity: float, tilt: float, direction: float, distance: float, lobe: float, lobes: int,
        support: str) -> Indicated:
    """Readings in two planes over one revolution, and what is behind them; mm."""
    return Indicated(true.shown(eccentricity, tilt, direction, distance, lobe, lobes, support), eccentricity, distance,
        lobe, lobes, support)


def words_indicated(r: Indicated, say: Say) -> str:
    s = r.shown
    said = (f"The indicator swings by {say.fine(s.near_swing)}, and by {say.fine(s.far_swing)} in a second plane "
        f"{say.length(r.distance)} further on.\nOf the first, {say.fine(s.near_true)} is run-out of the axis")
    if s.form < 1e-6:
        lobes = (f"; {r.lobes} lobes on the end in the vees do not lift it at all" if r.lobe and r.support != SPINDLE
            else "")
        return f"{said}{lobes}.{_leaning(r, say)}"
    if r.support == SPINDLE:
        blind = ("A micrometer turned round there shows nothing of them." if s.across < 1e-6
            else f"A micrometer turned round there varies by {say.fine(s.across)}.")
        return f"{said}; {r.lobes} lobes add their {say.fine(s.form)}. {blind}{_leaning(r, say)}"
    return (f"{said}; the {r.lobes} lobes of the end in the vees lift the whole part by {say.fine(s.form)} besides."
        f"{_leaning(r, say)}")


def _leaning(r: Indicated, say: Say) -> str:
    if abs(r.shown.far_true - r.shown.near_true) < 0.1 * max(r.shown.near_true, 1e-4):
        return " " + ("Both planes read alike, yet the axes cross at an angle: one plane would have hidden it."
            if r.shown.lean * r.distance > 0.2 * max(r.eccentricity, 1e-4) else "The second plane reads alike.")
    return (f" In the second plane the axis runs out by {say.fine(r.shown.far_true)}: the two axes stand at an angle, "
        "which one plane alone hides.")


def picture_indicated(r: Indicated, say: Say) -> str:
    s = r.shown
    near, far = say.fine_number(s.near), say.fine_number(s.far)
    some = np.append(np.arange(0, len(TURN), 4), 0)
    turn = np.append(TURN[some[:-1]], 360.0)
    low, high = room(near, far, np.array([-1.0, 1.0]) * say.fine_number(0.002))
    chart = Chart("What the indicator shows over one revolution", f"{words_indicated(r, say)} Lobes {r.lobes}, "
        f"{say.fine(r.lobe)} high. Eccentricity {say.fine(r.eccentricity)}.", x=("work turned", "°", 0.0, 360.0),
        y=("indicator", say.fine_unit, low, high), height=330)
    chart.curve(turn, say.fine_number(2 * r.eccentricity) / 2 * np.cos(np.radians(turn)), "", "c")
    chart.curve(turn, far[some], "", "b")
    chart.curve(turn, near[some], "", "a")
    chart.legend({"first plane": "a", "second plane": "b", "first, axis alone": "c"})
    chart.side_grip("eccentricity", float(say.fine_number(r.eccentricity)), 25.4 if say.inch else 1.0)
    return chart.svg()


def more_indicated(r: Indicated, say: Say) -> str:
    rows = "".join(f"<tr><td>{n}</td><td>{plain(abs(float(true.vee_rise(n, RIGHT_VEE))), 3) if i else ''}</td>"
        f"<td>{'yes' if n % 2 == 0 else 'no'}</td></tr>" for i, n in enumerate(range(2, 10), 1))
    return ("<table><tr><th>lobes</th><th>lift of the axis in a 90° vee, in lobe heights, each way</th><th>seen by two "
        f"points</th></tr>{rows}</table><p>Add {plain(r.shown.lean * 1e3, 3)} µm of eccentricity for each mm along the "
        "axis.</p>" + formula_mathml(true.vee_rise, {"lobes": r.lobes, "vee": RIGHT_VEE})
        + formula_mathml(true.swing, {"eccentricity": r.eccentricity}))


SHOWS = Page(name="indicator_shows", title="What does the indicator show, and what does it hide?",
    inputs=(Slide("eccentricity", but(Eccentricity, high=0.05, usual=0.01, says="distance of the axes in the first "
    "plane"), "work", "eccentricity in the first plane"),
    Slide("tilt", but(AxisTilt, high=0.001, usual=0.0002, step=10, says="angle between the axes"), "work",
    "angle between the axes"),
    Slide("direction", but(MarkAngle, usual=60, says="direction of the tilt against the eccentricity"), "work",
    "direction of the tilt", rare=True),
    Slide("distance", but(EndDistance, low=5, high=200, usual=70, says="from the first plane to the second"), "work",
    "distance of the planes"),
    Slide("lobe", but(LobeHeight, high=0.02, usual=0.003), "work", "height of the lobes"),
    Slide("lobes", but(Lobes, usual=3), "work", "number of lobes"),
    Choose("support", SUPPORTS, SPINDLE, "holder", "the part turns")),
    compute=compute_indicated, picture=picture_indicated, words=words_indicated, more=more_indicated)
