"""A tip off centre height, outside and in a bore; and a bar's heel and back in a small bore, drawn to scale."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .. import the_lathe as lathe
from ..boring_bar.quantities import LeastGap
from ..core.mathml import formula_mathml
from ..core.quantity import Refused, Say, but, number, plain, said
from ..core.shared import BarDiameter
from ..core.spread import EDGE, FAILS, HOLDS
from ..screen.draw import WIDTH, Drawing
from ..screen.page import Choose, Page, Slide, Write
from ..the_lathe.quantities import DialledStep, RakeAngle, Relief, TipHeight, TurnedDiameter

WHERE = (lathe.OUTSIDE, lathe.IN_BORE)


@dataclass(frozen=True)
class Tip:
    where: str
    diameter: float
    height: float
    dialled: float
    ground: tuple[float, float]   # rake and clearance as ground, degrees
    does: lathe.Height


def compute_height(where: str, diameter: float, height: float, dialled: float, rake: float, clearance: float) -> Tip:
    """Size, dial, rake and clearance of a tip off centre height; mm and degrees. Raises Refused."""
    return Tip(where, diameter, height, dialled, (rake, clearance),
        lathe.tip_height(where, diameter, height, dialled, rake, clearance))


def words_height(r: Tip, say: Say) -> str:
    does, side = r.does, "high" if r.height > 0 else "low"
    if r.height == 0:
        first = "It does nothing here: on centre the dial is right, and rake and clearance are as ground."
    else:
        what = "the bore" if r.where == lathe.IN_BORE else "the work"
        first = (f"With the tip {say.length(abs(r.height), 3)} too {side}, {what} comes out {say.fine(does.larger)} "
            "larger than the tool was set for from the spindle axis.")
    dial = f"A further {say.length(r.dialled, 3)} on the dial changes the diameter by {say.fine(does.short)} less." \
        if does.short > 5e-6 else f"A further {say.length(r.dialled, 3)} on the dial is taken in full."
    angles = f"In the cut the rake is {plain(does.rake, 2)}° and the clearance {plain(does.clearance, 2)}°"
    end = (", so the flank rubs before the edge cuts." if does.rubs else ".")
    after = "One measured trial cut takes out the error of size. Only the right height cures the angles."
    return f"{first} {dial}\n{angles}{end} {after}"


def picture_height(r: Tip, say: Say) -> str:
    d = Drawing("The tip along the axis", words_height(r, say), WIDTH, 280)
    inside = r.where == lathe.IN_BORE
    x0, y0, big = (150.0, 140.0, 100.0) if not inside else (180.0, 140.0, 104.0)
    per = big / (r.diameter / 2)
    if inside:
        d.circle(x0, y0, big + 16, "fill-work")
        d.circle(x0, y0, big, "paper")
    else:
        d.circle(x0, y0, big, "fill-work")
    d.circle(x0, y0, big, "ink")
    d.line([x0 - 20, WIDTH - 12], [y0, y0], "limit")
    d.line([x0, x0], [y0 - 8, y0 + 8], "thin")
    across = float(np.sqrt((r.diameter / 2)**2 - r.height**2))
    x, y = x0 + per * across, y0 - per * r.height
    rake, relief = (np.radians(angle) for angle in r.ground)
    out = -1 if inside else 1      # the tool's body lies away from the metal
    top, flank = 62.0, 44.0
    points = np.array([(0, 0), (out * top, top * np.sin(rake)), (out * top, flank),
        (out * flank * np.sin(relief), flank)])
    d.shape(x + points[:, 0], y + points[:, 1], "fill-tool", "ink")
    d.line([x0, x], [y0, y], "c")
    d.text(8, 16, f"{r.where}, along the axis, to scale", kind="small halo")
    d.text(WIDTH - 8, 254, f"rake {plain(r.does.rake, 2)}°", "end", "small halo")
    d.text(WIDTH - 8, 272, f"clearance {plain(r.does.clearance, 2)}°", "end", "small halo")
    d.text(WIDTH - 8, y0 - 6 if r.height <= 0 else y0 + 18, "centre", "end", "small halo")
    d.handle("height", x + out * top / 2, y + 12, -1 / per, "y")
    return d.svg()


def more_height(r: Tip, say: Say) -> str:
    step = r.dialled if r.where == lathe.IN_BORE else -r.dialled
    lean = lathe.rake_in_bore if r.where == lathe.IN_BORE else lathe.rake_outside
    return (formula_mathml(lathe.step_got, {"diameter": r.diameter, "height": r.height, "dialled": step}, digits=6)
        + formula_mathml(lean, {"rake": r.ground[0], "height": r.height, "diameter": r.diameter}))


HEIGHT = Page(name="tip_height", title="What does a tip off centre height do?",
    inputs=(Choose("where", WHERE, lathe.OUTSIDE, "work", "the tool cuts"),
    Slide("diameter", but(TurnedDiameter, low=6, high=80), "work", "diameter"),
    Slide("height", but(TipHeight, low=-2, high=2), "tool", "tip too high, − too low"),
    Slide("rake", RakeAngle, "tool", "rake as ground"), Slide("clearance", Relief, "tool", "clearance as ground"),
    Slide("dialled", but(DialledStep, low=0.01, high=1), "cut", "dialled on diameter")),
    compute=compute_height, picture=picture_height, words=words_height, more=more_height)


# ---- heel and back ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Heel:
    room: lathe.InBore
    gap: float
    verdict: str
    headline: str


def _shape(text: str) -> list[tuple[float, float]]:
    rows = []
    for line in text.replace(";", "\n").splitlines():
        words = line.split()
        if not words:
            continue
        if len(words) != 2:
            raise Refused(f"Each point of the shape needs two numbers; {said(line.strip())} has {len(words)}.")
        rows.append((number(words[0]), number(words[1])))
    return rows


def compute_heel(bore: float, shape: str, size: float, offset: float, own: str, height: float, clearance: float,
        flank: float, gap: float) -> Heel:
    """A bar of any section in a bore: heel, back, and the smallest bore it enters; mm and degrees.

    own: points as typed, a line each: behind the tip, above the tip. Raises Refused for a shape that cannot be.
    """
    points = lathe.outline(shape, size, offset * size, _shape(own) if shape == lathe.OWN else ())
    room = lathe.in_bore(bore, points, height, clearance, flank, gap)
    if room.clears:
        return Heel(room, gap, HOLDS, "It clears")
    tight = not room.heel_touches and room.least > 0
    return Heel(room, gap, EDGE if tight else FAILS, "Tight" if tight else "It touches")


def words_heel(r: Heel, say: Say) -> str:
    room = r.room
    if room.clearance <= 0:
        heel = f"The clearance in the cut is {plain(room.clearance, 2)}°, so the flank rubs at once."
    else:
        word = "touches" if room.heel_touches else "stays clear"
        heel = (f"A flank {say.length(room.flank, 2)} long {word}: with {plain(room.clearance, 2)}° of clearance it "
            f"meets the wall {say.length(room.heel, 2)} below the tip.")
    back = (f"The bar's back leaves a gap of {say.length(room.least, 2)}." if room.least > 0
        else f"The bar's back lies {say.length(-room.least, 2)} inside the wall.")
    smallest = (f"The smallest bore for this bar, with {say.length(r.gap, 2)} to spare, is "
        f"{say.limit(room.smallest, up=True)}.")
    return f"{back} {heel}\n{smallest}"


def picture_heel(r: Heel, say: Say) -> str:
    d = Drawing("The bar in the bore, along the axis", words_heel(r, say), WIDTH, 290)
    room = r.room
    x0, y0, big = 220.0, 150.0, 112.0
    per = big / (room.bore / 2)
    d.circle(x0, y0, big + 16, "fill-work")
    d.circle(x0, y0, big, "paper")
    d.circle(x0, y0, big, "ink")
    inside = Drawing("", "", WIDTH, 290)   # a bar that is far too large is cut off at the picture's edge
    limit = 900.0
    xs, ys = np.clip(x0 + per * room.points[:, 0], -limit, limit), np.clip(y0 - per * room.points[:, 1], -limit, limit)
    inside.shape(xs, ys, "fill-tool", "ink")
    tip = np.array([x0 + per * room.tip[0], y0 - per * room.tip[1]])
    lean = np.radians(room.clearance) - np.arctan2(room.tip[1], room.tip[0])   # the flank as ground, from the vertical
    flank = per * room.flank
    foot = tip + flank * np.array([-np.sin(lean), np.cos(lean)])
    near = xs.max()
    inside.shape([tip[0], near - 2, near - 2, foot[0]], [tip[1], tip[1], foot[1], foot[1]], "fill-tool", "ink")
    if room.clearance > 0:
        chord = per * room.heel
        meets = tip + chord * np.array([-np.sin(lean), np.cos(lean)])
        inside.line([tip[0], meets[0]], [tip[1], meets[1]], "b")
        inside.dot(float(meets[0]), float(meets[1]), "b", "diamond", 4)
    worst = np.clip([x0 + per * room.at[0], y0 - per * room.at[1]], -limit, limit)
    inside.dot(float(worst[0]), float(worst[1]), "c", "square", 4)
    d.inset(inside, 0, 0)
    d.line([x0 - 6, x0 + 6], [y0, y0], "thin")
    d.line([x0, x0], [y0 - 6, y0 + 6], "thin")
    d.text(8, 16, "along the axis, to scale", kind="small halo")
    d.text(8, 284, f"gap {say.length(room.least, 2)}", kind="small halo")
    heel = f"heel {say.length(room.heel, 2)}" if room.clearance > 0 else "heel rubs"
    d.text(WIDTH - 8, 284, heel, "end", "small halo")
    d.handle("height", float(tip[0]), float(tip[1]), -1 / per, "y")
    d.handle("bore", x0 - big, y0, -2 * room.bore / (2 * big))
    return d.svg()


HEEL = Page(name="bar_heel", title="Does my bar clear in this bore?",
    inputs=(Slide("bore", but(TurnedDiameter, low=4, high=60, usual=10), "work", "bore"),
    Choose("shape", lathe.SHAPES, lathe.ROUND, "tool", "section of the bar"),
    Slide("size", but(BarDiameter, low=2, high=30, usual=6), "tool", "diameter, or width across"),
    Slide("offset", but(BarDiameter, symbol="o", unit="1", low=0.55, high=1.5, usual=0.65, step=0.05,
    says="distance of the tip from the bar's axis, in bar diameters"), "tool", "tip from the bar's axis, in diameters"),
    Write("own", "2 2\n7 2\n7 -1\n4 -3\n2 -2", "tool", "my own shape, mm: behind the tip, above the tip",
    "a line for each corner; under the tip counts minus", rows=5),
    Slide("height", but(TipHeight, low=-1.5, high=1.5, usual=0), "tool", "tip too high, − too low"),
    Slide("clearance", Relief, "tool", "clearance as ground"),
    Slide("flank", but(LeastGap, symbol="f", low=0.2, high=8, usual=1, step=0.1,
    says="length of the flank below the tip, before the bar falls away"), "tool", "length of the flank"),
    Slide("gap", but(LeastGap, high=3), "tool", "gap wanted behind the bar", rare=True)),
    compute=compute_heel, picture=picture_heel, words=words_heel)
