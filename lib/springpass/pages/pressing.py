"""Page of the press and shrink part of the fits chapter."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from ..core import tables
from ..core.quantity import Say, but, plain
from ..core.spread import EDGE, HOLDS, Likely, about, between, likely, odds, sample, verdict
from ..core.tables import assumed
from ..fits import pressing
from ..fits.quantities import FitDiameter, GripLength, InnerWall, MateDoubt, OuterWall, PressInterference
from ..screen.draw import Chart, breadth, room
from ..screen.page import Choose, Page, Slide

MATERIALS = tuple(name for name in tables.names("workholding_yield", "material") if "POM" not in name)  # plastics creep
PAIRS = tuple(tables.names("press_friction", "pair"))
PEAKS = assumed("peaks of a pressed surface").range
EASE = assumed("play for dropping over").value
TEMPER = assumed("warming that may temper").value
SAME = 1e-9   # nearer than this is the same


@dataclass(frozen=True)
class Pressed:
    diameter: float
    outside: float
    bore: float              # of the inner part; zero where it is solid
    interference: float
    outer: str
    inner: str
    pressure: Likely
    torque: Likely
    force: Likely
    closing: Likely
    growth: Likely
    rise: Likely
    share: Likely
    grips: float             # odds that any interference is left after the peaks are flattened
    outer_yields: bool       # the outer part is the nearer to yielding
    radii: np.ndarray
    hoop: np.ndarray         # at the middle pressure
    radial: np.ndarray
    verdict: str

    @property
    def headline(self) -> str:
        """Whether it may be pressed so."""
        return {HOLDS: "It grips and springs back", EDGE: "Borderline"}.get(self.verdict, "Do not press it so")


def _range(table: str, **keys: Any) -> Any:
    return tables.fact(table, **keys).range


def compute(outer: str, inner: str, diameter: float, outer_wall: float, inner_wall: float, length: float,
        interference: float, doubt: float, pair: str) -> Pressed:
    """Pressure, torque, force and warming of a press fit, and whether it stays elastic; mm, MPa, N, N mm, K.

    The ranges come from interference, friction, stiffness, peaks and strength. Raises Refused for rings that cannot be.
    """
    outside, bore = diameter + 2 * outer_wall, max(diameter - 2 * inner_wall, 0.0)
    friction = tables.row("press_friction", pair=pair)
    drawn = sample(interference=about(interference, doubt), friction=between(friction["low"], friction["high"]),
        hub_modulus=_range("materials", material=outer, property="E"),
        shaft_modulus=_range("materials", material=inner, property="E"),
        hub_expansion=_range("materials", material=outer, property="alpha"), hub_peaks=PEAKS, shaft_peaks=PEAKS,
        hub_yield=_yield(outer), shaft_yield=_yield(inner))
    found = pressing.joint(fit_diameter=diameter, hub_outside=outside, length=length, shaft_bore=bore, ease=EASE,
        hub_poisson=tables.fact("materials", material=outer, property="nu").value,
        shaft_poisson=tables.fact("materials", material=inner, property="nu").value, **drawn)
    pressure = likely(found.pressure)
    radii = np.concatenate(
        [np.linspace(bore / 2, diameter / 2 * (1 - SAME), 40), np.linspace(diameter / 2, outside / 2, 60)])
    hoop, radial = pressing.stresses(radii, pressure.value, diameter, outside, bore)
    return Pressed(diameter, outside, bore, interference, outer, inner, pressure, likely(found.torque),
        likely(found.force), likely(found.bore_closing), likely(found.outside_growth), likely(found.rise),
        likely(found.share), odds(found.interference > 0),
        bool(np.median(found.hub_effort / drawn["hub_yield"]) >= np.median(found.share) - SAME), radii, hoop, radial,
        verdict(odds((found.interference > 0) & (found.share < 1))))


def _yield(material: str) -> Any:
    row = tables.row("workholding_yield", material=material)
    return between(row["low"], row["high"])


def picture(result: Pressed, say: Say) -> str:
    x = say.length_number(result.radii)
    middle = max(result.pressure.value, 1e-9)
    scale = result.pressure.low / middle, max(result.pressure.high / middle, 1.0)
    low, high = room(result.hoop * scale[1], result.radial * scale[1], 0.0, 1.0, margin=0.12)
    chart = Chart("Stress through the wall",
        "Tension round the ring is greatest at the bore of the outer part; the inner part is in compression.",
        x=("radius", say.length_unit, float(x[0]), float(x[-1])),
        y=("stress, MPa; tension above zero", "", low, high), height=330)
    joint = float(say.length_number(result.diameter / 2))
    inner, outer = result.radii < result.diameter / 2, result.radii >= result.diameter / 2
    chart.band(np.array([joint, x[-1]]), np.full(2, low), np.full(2, high), "work")
    for part in (inner, outer):
        chart.band(x[part], result.hoop[part] * scale[0], result.hoop[part] * scale[1], "a")
        chart.band(x[part], result.radial[part] * scale[0], result.radial[part] * scale[1], "b")
        chart.curve(x[part], result.hoop[part], "", "a")
        chart.curve(x[part], result.radial[part], "", "b")
    chart.legend({"round the ring": "a", "through the wall": "b"}, low=True)
    chart.level(0.0, "", "ink")
    chart.upright(joint, "", "limit")
    ends = chart.at_x(float(x[0])), chart.at_x(joint), chart.at_x(float(x[-1]))
    for name, middle in (("inner part", (ends[0] + ends[1]) / 2), ("outer part", (ends[1] + ends[2]) / 2)):
        middle = min(max(middle, chart.left + 4 + breadth(name) / 2), chart.right - breadth(name) / 2)
        across = float(x[0]) + (middle - ends[0]) / (ends[2] - ends[0]) * float(x[-1] - x[0])
        chart.note(across, high - 15 * (high - low) / (chart.bottom - chart.top), name)
    return chart.svg()


def _range_text(answer: Likely, scale: float, unit: str, named: bool = True) -> str:
    """A value with its range, two figures each."""
    value, low, high = (plain(float(f"{v / scale:.2g}"), 6) for v in (answer.value, answer.low, answer.high))
    return f"{value} {unit} ({'90 % range ' if named else ''}{low} to {high})" if low != high else f"{value} {unit}"


def words(result: Pressed, say: Say) -> str:
    inside = "solid" if result.bore == 0 else f"with a {say.length(result.bore)} bore"
    parts = f"{result.inner} {inside} in {result.outer} of {say.length(result.outside)}"
    if result.grips < 0.5:
        return (f"It will hardly grip. {parts[0].upper() + parts[1:]}, {say.fine(result.interference)} larger, "
            "loses most "
            "of that when the peaks of both surfaces are pressed flat.\nGive it more interference, or finish both "
            "surfaces finer.")
    hurt = "outer" if result.outer_yields else "inner"
    share = f"{100 * result.share.value:.0f} %"
    limit = {
        "holds": f"Both parts stay elastic: the {hurt} one, the nearer to yielding, is at {share} of its yield "
        "strength.",
        "at the edge": f"The {hurt} part may yield (90 % range {100 * result.share.low:.0f} to "
        f"{100 * result.share.high:.0f} % of its strength), or flattened peaks may take the grip.",
    }.get(result.verdict, f"The {hurt} part yields, at {share} of its strength, so it grips less than this. "
        "Give it less "
        "interference.")
    bore = (f"The bore closes by {result.closing.text(say)}: ream it after pressing, or allow for it. "
        if result.bore > 0 else "")
    return (f"It slips at {_range_text(result.torque, 1000, 'N m')} of torque, or at "
        f"{_range_text(result.force, 1000, 'kN', False)} along the axis, which is also the last push of the press. "
        f"{bore}\n{limit}")


def more(result: Pressed, say: Say) -> str:
    hot = result.rise.value + 20
    heat = f"To shrink it on instead, warm the outer part to about {plain(float(f'{hot:.2g}'), 4)} °C"
    heat += (". That softens a hardened or aged part: cool the inner one, or use less interference." if hot > TEMPER
        else ".")
    return f"<p>{heat}</p><p>The pressure is {_range_text(result.pressure, 1, 'MPa')}.</p>"


PRESS = Page(name="fits_press", title="How hard does it grip, and what does it do to the bore?",
    inputs=(Choose("outer", MATERIALS, "free-cutting steel 11SMn30 / 12L14", "work", "outer part"),
    Choose("inner", MATERIALS, "bronze CuSn8", "work", "inner part"),
    Slide("diameter", but(FitDiameter, low=3, high=120, usual=18), "work", "diameter of the joint"),
    Slide("outer_wall", but(OuterWall, high=60), "work", "wall of the outer part"),
    Slide("inner_wall", but(InnerWall, high=60), "work", "wall of the inner part"),
    Slide("length", GripLength, "work", "length of the joint"),
    Slide("interference", but(PressInterference, high=0.15), "work", "interference, on diameter"),
    Slide("doubt", but(MateDoubt, high=0.02), "work", "uncertainty of the interference, ±"),
    Choose("pair", PAIRS, "bronze in steel oiled", "holder", "surfaces")), compute=compute, picture=picture,
        words=words)
