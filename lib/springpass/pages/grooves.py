"""Pages on grooves: will the blade cut or grab, does its heel clear a face groove, which undercut at a shoulder."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from .. import cutting
from .. import grooves_tapers as grooves
from ..core.mathml import formula_mathml
from ..core.quantity import Quantity, Refused, Say, but, plain
from ..core.shared import Feed, WorkDiameter
from ..core.spread import Likely, likely, odds, sample, verdict
from ..core.tables import assumed, fact
from ..cutting.speeds import cutting_speed, spindle_speed, surface_speed
from ..grooves_tapers.quantities import (
    Backlash,
    BladeHeel,
    BladeHeight,
    BladeWidth,
    FaceOutside,
    Overhang,
    SideClearance,
)
from ..screen.draw import WIDTH, Drawing
from ..screen.page import Choose, Page, Slide

MATERIALS = tuple(cutting.work_materials())
FRONT, REAR = "front post, edge up", "rear post, upside down"
TOOL_OF = {"high-speed steel": "high-speed steel", "cemented carbide": "uncoated carbide"}   # blade: row of the speeds
BLADES = tuple(TOOL_OF)
Dig = Quantity("u_{100}", "mm", low=0.0005, high=0.1, usual=0.01, shown="µm", log=True,
    says="how far the edge of a short tool moves into the work when you hang 10 kg (100 N) on it: weigh yours")
HUNG = 100.0   # N: the weight that the movement is named for
LARGEST = 14   # px: how large a movement is drawn at most
SAFE = 0.9     # share of the samples that a width called safe must leave without a bite
RISING = 15.0  # degrees: the slope by which an undercut runs out into the shaft, DIN 509


def ranged(v: Likely, say: Say) -> str:
    """ "3.1 µm (90 % range 2.5 to 4)" of a small length."""
    low, high = (say.bare(float(x), 2) for x in (v.low, v.high))
    return say.fine(v.value) + (f" (90 % range {low} to {high})" if low != high else "")


def numbered(v: Likely, unit: str = "", digits: int = 2) -> str:
    """ "120 N (90 % range 100 to 150)" of any number."""
    low, high = (plain(x, digits) for x in (v.low, v.high))
    return f"{plain(v.value, digits)}{unit}" + (f" (90 % range {low} to {high})" if low != high else "")


# ---- will it grab? -------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Blade:
    way: str
    work: float
    bottom: float
    width: float
    height: float
    overhang: float
    feed: float
    force: Likely
    drop: Likely
    ratio: Likely
    growth: float              # of the first revolution's chip, at the middle of the range
    softer: float
    jump: float                # of the force, when the backlash is drawn in
    backlash: float
    rule: float                # longest overhang by the trade's rule, mm
    widest: float              # blade that still does not grab, mm; 0 where none does
    deep: float                # of the groove, on radius
    speed: float               # m/min at the outside, where the table begins for this metal and blade
    rpm: float
    power: float               # kW at the edge, at the outside
    chance: float
    verdict: str
    headline: str


@lru_cache(maxsize=32)
def _known(material: str, blade: str) -> tuple[float, float, Any, Any, float]:
    law = cutting.kienzle(material)
    return (law.kc, law.mc, cutting.force_range(material),
        fact("bar_materials", bar_material=blade, property="E").range,
        fact("bar_materials", bar_material=blade, property="nu").value)


def compute_blade(material: str, work: float, bottom: float, blade: str, width: float, height: float, overhang: float,
        way: str, post: float, feed: float, backlash: float) -> Blade:
    """Force, drop and the chance that the blade does not grab. Raises Refused where the groove has no depth."""
    if bottom >= work:
        raise Refused(f"A groove down to Ø{plain(bottom, 4)} mm leaves nothing to cut in Ø{plain(work, 4)} mm. "
            "Make the bottom smaller.")
    kc, mc, scatter, stiff, nu = _known(material, blade)
    drawn = sample(scatter=scatter, modulus=stiff, post=assumed("tip drawn into the work").around(1.0))
    sign = 1 if way == FRONT else -1
    got = grooves.bite(width, height, overhang, feed, kc * drawn["scatter"], mc, drawn["modulus"], nu,
        sign * post / HUNG * drawn["post"])
    ratio = likely(got.ratio)
    middle = grooves.bite(width, height, overhang, feed, kc * scatter.middle, mc, stiff.middle, nu, sign * post / HUNG)
    chance = odds(got.ratio < 1)
    found = verdict(chance)
    speed = cutting_speed(material, TOOL_OF[blade]).value
    safe = float(np.quantile(got.ratio / width, SAFE))
    said = {"holds": "It cuts", "at the edge": "It may grab", "will not hold": "It grabs"}[found]
    return Blade(way, work, bottom, width, height, overhang, feed, likely(got.force), likely(got.drop), ratio,
        float(middle.growth), middle.softer, float(grooves.backlash_force(feed, backlash, mc)), backlash,
        float(grooves.longest_overhang(width)), 1 / safe if safe > 0 else math.inf, (work - bottom) / 2, speed,
        float(spindle_speed(speed, work)), float(cutting.cutting_power(likely(got.force).value, speed)), chance, found,
        said)


CROWDED = 4    # sentences: then the backlash stands in the table alone


def words_blade(r: Blade, say: Say) -> str:
    if r.ratio.value > 0:
        said = [f"Each chip's force draws in {plain(100 * r.ratio.value, 2)} % more chip (90 % range "
            f"{plain(100 * r.ratio.low, 2)} to {plain(100 * r.ratio.high, 2)}); at 100 % it grabs."]
    else:
        said = ["The force tilts the edge away from the work: a thick chip makes itself thinner, and nothing grabs."]
    said.append(f"The cutting force is {plain(r.force.value, 2)} N, and the blade's end bends down "
        f"{say.fine(r.drop.value)}.")
    if r.verdict != "holds":
        said.append(f"Take a blade of {say.limit(r.widest)} or less, or turn it upside down on a rear post, or stiffen "
            "the post." if r.widest > 0.5 else "Stiffen the post, or cut upside down from a rear post.")
    if r.overhang > r.rule + 1e-9:
        said.append(f"Shorten the overhang: the trade's limit for this width is {say.length(r.rule, 3)}.")
    if r.deep > r.overhang:
        said.append(f"This overhang does not reach the bottom, {say.length(r.deep, 3)} down.")
    if r.backlash and r.ratio.value > 0 and len(said) < CROWDED:
        said.append(f"Preload the slide: drawn in by its backlash of {say.length(r.backlash, 2)}, it would take "
            f"{plain(r.jump, 2)} times the force at once.")
    return " ".join(said)


def picture_blade(r: Blade, say: Say) -> str:
    d = Drawing("The blade in its groove, seen along the spindle", words_blade(r, say), WIDTH, 316)
    at = max(r.work / 2 - min(r.deep, r.overhang) / 2, r.bottom / 2)   # the edge stands halfway down the groove
    scale = min(330 / (r.work / 2 + at + r.overhang), 96 / max(r.work / 2, 0.8 * r.height, 1), 9.0)
    flip = -1 if r.way == REAR else 1           # a rear blade is drawn where it stands: left of the work, edge down
    whole = (r.work / 2 + at + r.overhang) * scale + 60
    cx = WIDTH / 2 - flip * (whole / 2 - r.work / 2 * scale)
    cy = 130.0
    d.circle(cx, cy, r.work / 2 * scale, "limit")
    d.circle(cx, cy, at * scale, "fill-work")
    d.circle(cx, cy, at * scale, "ink")
    d.line([cx - 6, cx + 6], [cy, cy], "thin")
    d.line([cx, cx], [cy - 6, cy + 6], "thin")
    low = r.height * scale * flip
    edge, root = cx + flip * at * scale, cx + flip * (at + r.overhang) * scale
    d.shape([edge, root, root, edge + flip * 0.12 * r.height * scale], [cy, cy, cy + low, cy + low], "fill-tool", "ink")
    d.rect(min(root, root + flip * 60), min(cy, cy + low) - 14, 60, abs(low) + 28, "fill-holder", "ink", hatch=9)
    times = float(f"{min(LARGEST / max(float(r.drop.value) * scale, 1e-9), 1e4):.1g}")
    steps = np.linspace(0, 1, 13)
    bend = (3 * (1 - steps) ** 2 - (1 - steps) ** 3) / 2 * float(r.drop.value) * times * scale * flip
    lean = flip * float(np.sign(r.ratio.value)) * 10.0
    d.line(edge + (root - edge) * steps - lean * (1 - steps), cy + bend, "b")
    push = f"{plain(r.force.value, 2)} N"
    d.arrow(edge, cy - flip * 62, edge, cy - flip * 8, "ink", 9)
    d.text(d.within(edge, push), cy - flip * 68 + (0 if flip > 0 else 12), push, "middle", "halo")
    below = float(np.clip(cy + low + flip * 24, 18, 250))
    d.arrow(edge - lean * 1.2, below, edge - lean * 5, below, "ink", 9)
    share = f"{'into the work' if r.ratio.value > 0 else 'away from it'}: {plain(100 * abs(r.ratio.value), 2)} %"
    d.text(d.within(edge, share), below + 22, share, "middle")
    d.text(8, 290, f"overhang {say.length(r.overhang, 3)}", kind="small")
    d.text(8, 310, f"dashed: under load, exaggerated ×{plain(times, 1)}", kind="small")
    d.handle("overhang", root, cy + low / 2, flip / scale)
    return d.svg()


def more_blade(r: Blade, say: Say) -> str:
    rows = [("cutting force", numbered(r.force, " N")), ("drop of the blade's end", ranged(r.drop, say)),
        ("where the table begins", f"{say.speed(r.speed)} at the outside, {plain(r.rpm, 2)} rpm"),
        ("speed at the bottom, same rpm", say.speed(float(surface_speed(r.bottom, r.rpm)))),
        ("power at the edge", f"{plain(r.power, 2)} kW"),
        ("sideways the blade is more compliant than down", f"{plain(r.softer, 2)} times"),
        ("force if the slide is drawn in by its backlash", f"{plain(r.jump, 2)} times"),
        ("chip in the first revolution", f"{plain(r.growth, 2)} times the feed" if np.isfinite(r.growth)
            else "without limit"),
        ("chance that it does not grab", f"{plain(100 * r.chance, 2)} %")]
    body = "".join(f"<tr><td>{name}</td><td>{value}</td></tr>" for name, value in rows)
    return f"<table>{body}</table><p>At a fixed spindle speed the edge slows down towards the centre.</p>"


BLADE = Page("parting_blade", "Will this blade cut its groove, or grab?",
    (Choose("material", MATERIALS, "medium-carbon steel", "work"),
    Slide("work", but(WorkDiameter, low=2, high=120, usual=22, step=0.5, says="diameter of the work"), "work"),
    Slide("bottom", but(WorkDiameter, low=0, high=110, usual=0, step=0.5,
        says="diameter at the bottom of the groove; 0 to part off"), "work", "bottom of the groove"),
    Choose("blade", BLADES, BLADES[0], "tool", "blade of"),
    Slide("width", but(BladeWidth, usual=2), "tool", "width of the blade"),
    Slide("height", BladeHeight, "tool", "height of the blade"),
    Slide("overhang", Overhang, "tool"),
    Choose("way", (FRONT, REAR), FRONT, "holder", "post"),
    Slide("post", Dig, "holder", "edge moves in under 10 kg"),
    Slide("feed", but(Feed, low=0.01, high=0.2, usual=0.04), "cut"),
    Slide("backlash", Backlash, "cut", "backlash of the cross slide", rare=True)), compute_blade, picture_blade,
    words_blade, more_blade)


# ---- a groove in the face --------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Face:
    outside: float
    inside: float
    heel: float
    clearance: float
    smallest: Likely           # outside diameter that the blade enters
    needed: float              # degrees; nan where no flat flank will do
    verdict: str
    headline: str


def compute_face(outside: float, width: float, heel: float, clearance: float) -> Face:
    """Whether a blade's outer flank clears the outer wall of a face groove, mm and degrees."""
    inside = outside - 2 * width
    if inside < 0:
        raise Refused(f"A blade {plain(width, 3)} mm wide does not fit into a groove of Ø{plain(outside, 4)} mm "
            "outside. Make it narrower.")
    ground = np.maximum(sample(clearance=assumed("side clearance as ground").around(clearance))["clearance"],
        np.finfo(float).eps)
    smallest = grooves.smallest_face_groove(heel, ground)
    found = verdict(odds(smallest <= outside))
    with np.errstate(invalid="ignore"):
        needed = float(grooves.needed_clearance(heel, outside))
    said = {"holds": "The heel clears", "at the edge": "The heel may rub", "will not hold": "The heel rubs"}[found]
    return Face(outside, inside, heel, clearance, likely(smallest), needed, found, said)


def words_face(r: Face, say: Say) -> str:
    low, high = (plain(float(say.length_number(v)), 3) for v in (r.smallest.low, r.smallest.high))
    said = [f"With {plain(r.clearance, 3)}° of side clearance this blade enters face grooves of "
        f"Ø{say.length(r.smallest.value, 3)} outside or more (90 % range {low} to {high}). Yours is "
        f"Ø{say.length(r.outside, 4)}."]
    if r.verdict != "holds":
        if math.isnan(r.needed):
            said.append("Its heel lies lower than the groove's radius: no flat flank will clear. Grind the blade lower "
                "or round its outer flank.")
        else:
            said.append(f"Grind the outer flank to more than {plain(r.needed, 2)}°, or the blade lower, or round the "
                "flank to less than the groove's radius.")
    else:
        said.append("The inner flank needs little: the inner wall curves away from it.")
    return " ".join(said)


def picture_face(r: Face, say: Say) -> str:
    d = Drawing("The blade in the face groove, seen from the tailstock", words_face(r, say), WIDTH, 316)
    wide = (r.outside - r.inside) / 2
    scale = min(180 / r.heel, 150 / wide, 340 / r.outside if r.outside < 2 * r.heel else 60.0, 60.0)
    out, inn, heel = r.outside / 2 * scale, r.inside / 2 * scale, r.heel * scale
    corner, cy = 330.0, 62.0
    cx = corner - out                             # the spindle axis, often far outside the picture
    down = np.linspace(-34, 214, 80)
    for radius, side in ((out, 1), (inn, -1)):
        seen = down[np.abs(down) < radius]
        if not len(seen):
            continue
        x = np.clip(cx + np.sqrt(radius**2 - seen**2), 8, WIDTH - 8)
        far = np.clip(x + side * 40, 8, WIDTH - 8)
        d.shape([*x, *far[::-1]], [*(cy + seen), *(cy + seen[::-1])], "fill-work", hatch=9)
        d.line(x, cy + seen)
    slant = heel * math.tan(math.radians(r.clearance))
    left = max(min(corner - wide * scale + 1, corner - slant - 2), 8)
    d.shape([corner - wide * scale, corner, corner - slant, left], [cy, cy, cy + heel, cy + heel], "fill-tool", "ink")
    d.line([40, WIDTH - 8], [cy, cy], "faint")
    d.text(8, cy - 8, "centre height", kind="small halo")
    touch = out * math.sin(2 * math.radians(r.clearance))
    where = say.length(touch / scale, 2)
    if touch < heel:
        d.dot(corner - touch * math.tan(math.radians(r.clearance)), cy + touch, "b", "diamond", 6)
        d.text(8, 306, f"diamond: touches {where} below the edge", kind="small")
    else:
        d.text(8, 306, f"it would touch {where} below the edge", kind="small")
    d.text(8, 18, f"groove Ø{say.length(r.outside, 4)} outside")
    d.handle("outside", corner, cy, 2 / scale)
    d.handle("heel", (left + corner - slant) / 2, cy + heel, 1 / scale, "y")
    return d.svg()


def more_face(r: Face, say: Say) -> str:
    return formula_mathml(grooves.smallest_face_groove, {"heel": r.heel, "clearance": r.clearance})


FACE = Page("face_groove", "Does the blade's heel clear a groove in the face?",
    (Slide("outside", but(FaceOutside, low=6, high=200, usual=60), "work", "outside of the groove"),
    Slide("width", but(BladeWidth, low=0.5, high=3, usual=3), "tool", "width of the blade"),
    Slide("heel", but(BladeHeel, low=1, high=20, usual=10), "tool", "heel below the edge"),
    Slide("clearance", but(SideClearance, low=2, high=30, usual=8), "tool", "side clearance")), compute_face,
    picture_face, words_face, more_face)


# ---- undercuts -------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Corner:
    diameter: float
    form: str
    row: grooves.Undercut


FORMS = {"E: the shaft alone": "E", "F: shaft and shoulder": "F"}


def compute_corner(diameter: float, load: str, form: str) -> Corner:
    """The undercut that belongs to a shoulder, mm. Raises Refused outside the table."""
    return Corner(diameter, FORMS[form], grooves.undercut(diameter, load))


def words_corner(r: Corner, say: Say) -> str:
    u = r.row
    face = f" and {say.length(u.face, 2)} into the shoulder" if r.form == "F" else ""
    return (f"Undercut {u.name(r.form)} of DIN 509. It is {say.length(u.depth, 2)} deep on radius, so its bottom is "
        f"Ø{say.length(r.diameter - 2 * u.depth, 5)}. It runs {say.length(u.width, 2)} along the shaft{face}, with a "
        f"radius of {say.length(u.radius, 2)}. "
        + ("Form E is for a shoulder that is not ground or fitted." if r.form == "E" else
        "Form F frees both faces, so a bearing seats against the shoulder."))


def picture_corner(r: Corner, say: Say) -> str:
    u = r.row
    d = Drawing(f"Undercut {u.name(r.form)} at its shoulder", words_corner(r, say), WIDTH, 300)
    scale = min(250 / (u.width + 1.2 * u.radius), 90 / (u.depth + u.face + u.radius))
    x0, y0 = 110.0, 150.0     # where shoulder and shaft would meet; the shaft runs to the right, metal below and left
    t, f, rad = u.depth * scale, u.width * scale, u.radius * scale
    into = u.face * scale if r.form == "F" else 0.0
    bow = np.radians(np.linspace(180, 90, 16))
    # down the shoulder, a slanting run into it (form F), the corner's radius, the bottom, up at 15 degrees to the shaft
    up = t / math.tan(math.radians(RISING))
    top = y0 - max(u.run - u.depth, 0.0) * scale if r.form == "F" else y0 - 40
    cx, cy = x0 - into + rad, y0 + t - rad
    xs = [x0, x0, x0 - into if r.form == "F" else x0, *(cx + rad * np.cos(bow)), x0 + max(f - up, rad), x0 + f + 0.0,
        WIDTH - 20]
    ys = [20, max(top, 40), max(min(cy, y0), max(top, 40)), *(cy + rad * np.sin(bow)), y0 + t, y0, y0]
    d.shape([*xs, WIDTH - 20, 20, 20], [*ys, 262, 262, 20], "fill-work", hatch=10)
    d.line(xs, ys)
    d.line([x0, x0 + f], [y0, y0], "limit")
    d.dimension(x0, y0, x0 + f, y0, say.length(u.width, 2), offset=-26)
    d.text(x0 + f / 2, y0 + t + 24, f"{say.length(u.depth, 2)} deep", "middle")
    d.text(30, 252, "shoulder", kind="small halo")
    d.text(WIDTH - 30, y0 - 30, f"shaft Ø{say.length(r.diameter, 4)}", "end")
    d.text(x0 + 14, 40, f"radius {say.length(u.radius, 2)}")
    if into:
        d.text(x0 + 14, 62, f"{say.length(u.face, 2)} into the shoulder")
    d.handle("diameter", WIDTH - 44, y0, -0.5, "y")
    d.text(8, 290, f"scale {plain(scale / 3.8, 2)} : 1", kind="small")
    return d.svg()


def more_corner(r: Corner, say: Say) -> str:
    rows = "".join(f"<tr><td>{plain(u.over, 3)} to {plain(u.upto, 3)}</td><td>{u.name(r.form)}</td>"
        f"<td>{plain(u.width, 2)}</td><td>{plain(u.face, 2) if r.form == 'F' else '–'}</td></tr>"
        for u in grooves.undercuts(next(load for load in ("usual", "alternating") if r.row in grooves.undercuts(load))))
    return ("<p>All rows of this kind, mm; over and up to a diameter:</p><table><tr><th>diameter</th><th>name</th>"
        f"<th>width</th><th>into the face</th></tr>{rows}</table><p>{r.row.source}.</p>")


CORNER = Page("undercut", "Which undercut belongs at this shoulder?",
    (Slide("diameter", but(WorkDiameter, low=1, high=200, usual=20), "work", "diameter of the shaft"),
    Choose("load", ("usual", "alternating"), "usual", "work", "load on the part"),
    Choose("form", tuple(FORMS), "F: shaft and shoulder", "work")), compute_corner, picture_corner, words_corner,
    more_corner)
