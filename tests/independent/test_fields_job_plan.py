"""The sheet of each demo part, line by line: run on the virtual lathe, and its numbers worked out again from the
drawing, the tables and the printed formulas."""

import re
from dataclasses import replace

import numpy as np
from scipy import integrate
from virtual_lathe import replay

from outside import agrees, claim, source
from springpass.job import inside, part, planning, tools
from springpass.job.budget import budget
from springpass.job.dialled import renumbered
from springpass.job.results import NEAR, Warm

SLEEVE, HOUSING, BUSH = "drive_sleeve", "bearing_housing", "bush"
# k_c1.1 and m_c of the metal groups, data/kienzle.csv: medium-carbon steel, hardened aluminium, bronze
FORCE = {SLEEVE: (1500, 0.22), HOUSING: (800, 0.25), BUSH: (700, 0.27)}
TURNED = ("rough turn", "finish turn", "rough bore", "bore", "ream")
INNER = ("centre drill", "drill", "flat bottom", "rough bore", "bore", "ream")


def plan(name, **settings):
    """A plan of its own, with nothing kept from another: the shop is a new one."""
    return planning.plan(part.demo(name), replace(tools.default_shop()), **settings)


def plans():
    return {name: plan(name) for name in part.DEMOS}


def lines(made, *kinds):
    return [o for o in made.operations if not kinds or o.kind in kinds]


def radii(rows, start, end, column):
    """Radii of an outline over a span, its ends left out."""
    z = np.linspace(start + 1e-4, end - 1e-4, 400)
    return np.interp(z, rows[:, 0], rows[:, column])


def free_end(made, o):
    rows = o.outline_before
    return rows[0, 0] if made.holdings[o.holding - 1].end == NEAR else rows[-1, 0]


@source("every line cut on a grid of material by a lathe that knows nothing of the planner", place="the demo parts",
        basis="method")
def test_the_virtual_lathe_finds_nothing():
    for name in part.DEMOS:
        made = plan(name)
        faults = replay(made)
        claim("nothing is struck out", not faults and not made.missing and not made.cannot, of=planning.plan,
              note=faults)


@source("worked by hand", place="v = π D n/1000, D where the edge is at its fastest", basis="hand")
def test_speeds_of_every_line():
    for made in plans().values():
        for o in made.operations:
            if o.spindle is None:
                continue
            s = made.part.surface(o.surface) if o.surface else None
            across = (2 * radii(o.outline_before, o.start, o.end, 1).max() if o.kind == "face" else
                o.tool_diameter if o.kind in ("centre drill", "drill", "flat bottom") and o.tool_diameter else
                10.0 if o.kind == "centre drill" else s.diameter if o.kind == "thread" else
                o.before if o.kind in ("rough turn", "part off") else o.after)
            agrees("cutting speed", o.speed, np.pi * across * o.spindle / 1000, rel=1e-5, unit="m/min",
                   of=planning.plan)


@source("worked by hand", place="length and a millimetre of run-in over feed and turns, pass by pass", basis="hand")
def test_minutes_of_every_line():
    for made in plans().values():
        for o in lines(made, "face", "part off", "drill", "thread", *TURNED):
            s = made.part.surface(o.surface) if o.surface else None
            if o.kind == "thread":
                wanted = len(o.infeeds) * ((o.end - o.start) / (1.0 * o.spindle) + 0.3)
            else:
                far = (radii(o.outline_before, o.start, o.end, 1).max() if o.kind == "face" else
                    s.length if o.kind in ("bore", "ream") else o.end - o.start)
                far = (o.before - o.after) / 2 - 1 if o.kind == "part off" else far
                wanted = max(len(o.depths), 1) * (far + 1) / (o.feed * o.spindle)
            agrees("minutes", o.minutes, wanted, rel=3e-3, unit="min", of=planning.plan)
        agrees("all together", made.minutes, sum(o.minutes for o in made.operations)
               + sum(o.wait for o in made.operations) / 60, rel=1e-9, unit="min", of=planning.plan)


@source("handbook formulas of cutting power", place="P = k_c1.1 h^-m_c a f v/60000, a fifth more in a hole",
        basis="hand")
def test_power_of_every_line():
    for name, made in plans().items():
        kc, mc = FORCE[name]
        for o in lines(made, "face", "part off", "drill", "thread", "rough turn", "finish turn", "rough bore", "bore"):
            more = 1.2 if o.kind in INNER else 1.0
            speed = o.speed
            if o.kind == "drill":
                chip, area = o.feed / 2 * np.sin(np.radians(59)), (o.after - o.before) / 2 * o.feed
                speed = np.pi * (o.after + o.before) / 2 * o.spindle / 1000
            elif o.kind == "thread":
                chip = o.infeeds[0]
                area = ((o.before - o.after) / 2) ** 2 * np.tan(np.radians(30)) / len(o.infeeds)
            else:
                chip, area = o.feed, (2.5 if o.kind == "part off" else max(o.depths)) * o.feed
            agrees("power", o.power, more * kc * chip**-mc * area * speed / 60000, rel=3e-3, unit="kW",
                   of=planning.plan)


@source("worked by hand", place="diameters, depths, what is left, from the outlines and the drawing", basis="hand")
def test_sizes_of_every_line():
    for made in plans().values():
        for o in lines(made, "drill", *TURNED):
            s, inner = made.part.surface(o.surface), o.kind in INNER
            if o.kind != "drill":
                agrees("depths together", 2 * sum(o.depths), abs(o.before - o.after), abs=2e-5, unit="mm",
                       of=planning.plan)
            was = (2 * radii(o.outline_before, o.start, min(o.end, o.outline_before[-1, 0]), 2).min() if inner
                   else 2 * radii(o.outline_before, o.start, o.end - o.faces, 1).max())
            if o.kind != "finish turn":
                agrees("diameter before", o.before, was, abs=1e-4, unit="mm", of=planning.plan)
            if o.kind != "finish turn" or s.kind == "outside":
                agrees("left for the next cut", o.stock, abs(o.after - s.diameter), abs=1e-6, unit="mm",
                       of=planning.plan)
        for o in lines(made, "face"):
            agrees("faced off", sum(o.depths), o.end - o.start, abs=1e-6, unit="mm", of=planning.plan)
    sleeve = {(o.kind, o.surface): o.faces for o in lines(plan(SLEEVE))}
    for surface in ("large seat", "thread"):      # shoulders on the drawing, at 40 and at 46
        agrees("left on a shoulder, and faced off it", (sleeve["rough turn", surface], sleeve["finish turn", surface]),
               (0.2, 0.2), rel=1e-9, unit="mm", of=planning.plan)


STEPPED = """
name = "stepped"
material = "aluminium 6082"
length = 24
[blank]
diameter = 65
length = 40
condition = "aluminium, quenched and stretched"
[[surface]]
name = "outside"
kind = "outside"
diameter = 62
from = 0
to = 24
[[surface]]
name = "seat"
kind = "bore"
diameter = 42
class = "H7"
from = 0
to = 14
[[surface]]
name = "hole"
kind = "bore"
diameter = 30
from = 14
to = 24
"""


@source("rule of thumb taught in the trade", place="roughing stops 0.2 short of a shoulder, the last cut faces it",
        basis="common practice")
def test_a_shoulder_in_a_bore():
    """Ø42 by 14 over Ø30: roughed to 13.8, finished to 14."""
    made = planning.plan(part.read_text(STEPPED), replace(tools.default_shop()))
    cuts = {(o.kind, o.surface): o for o in made.operations}
    rough, last = cuts["rough bore", "seat"], cuts["bore", "seat"]
    agrees("ends", (rough.end, last.end), (13.8, 14.0), abs=1e-6, unit="mm", of=[planning.plan, inside.shoulder])
    agrees("left, and faced off", (rough.faces, last.faces), (0.2, 0.2), abs=1e-9, unit="mm",
           of=[planning.plan, inside.shoulder])


@source("worked by hand", place="from the jaws and the free face, as they lie in the outlines", basis="hand")
def test_lengths_of_every_line():
    for made in plans().values():
        for o in made.operations:
            h = made.holdings[o.holding - 1]
            near = h.end == NEAR
            if o.start is not None:
                edge = (made.part.length if near else 0.0) if h.kind == "between centres" else h.grip[0 if near else 1]
                agrees("overhang", o.overhang, abs(edge - (o.start if near else o.end)), abs=2e-3, unit="mm",
                       of=planning.plan)
            if o.stop is not None:
                point = o.tool_diameter / 2 / np.tan(np.radians(59)) if o.kind == "drill" else 0.0
                agrees("stop", o.stop, abs((o.end if near else o.start) - free_end(made, o)) + point, abs=2e-3,
                       unit="mm", of=planning.plan)
    blocks = next(o.blocks for o in plan(SLEEVE).operations if o.kind == "bore")
    agrees("gauge blocks for the middle of 32 +0.1", sum(blocks), 32.05, abs=1e-9, unit="mm", of=planning.plan)


@source("worked by hand", place="which line of the sleeve's sheet does what", basis="hand")
def test_lines_of_the_sleeve():
    """M18x1: pitch 1, 0.6134 of it deep. Bore 32 +0.1: 32.05, the bar 3 more. Four setups, two between centres."""
    made = plan(SLEEVE)
    thread = next(o for o in made.operations if o.kind == "thread")
    agrees("pitch", thread.pitch, 1.0, of=planning.plan)
    agrees("infeeds", sum(thread.infeeds), 0.6134 * np.sqrt(3) / 2, abs=0.01, unit="mm", of=planning.plan)
    agrees("pitch diameter of M18x1-6g", (thread.low, thread.high), (17.206, 17.324), abs=1e-6, of=planning.plan)
    agrees("in its middle", thread.target, 17.265, abs=1e-6, unit="mm", of=planning.plan)
    agrees("numbers", [o.number for o in made.operations], [*range(1, len(made.operations) + 1)], of=planning.plan)
    agrees("setups", [h.number for h in made.holdings], [1, 2, 3, 4], of=planning.plan)
    agrees("setups of the lines", sorted({o.holding for o in made.operations}), [1, 2, 3, 4], of=planning.plan)
    agrees("what gives a surface its size", {o.surface: o.kind for o in made.operations if o.finishes},
           {"bore": "ream", "large seat": "finish turn", "collar": "finish turn", "thread": "thread",
            "small seat": "finish turn"}, of=planning.plan)
    agrees("turned with the centre in", {(o.kind, o.surface) for o in made.operations if o.centre and o.surface},
           {("thread", "thread"), *(("rough turn", s) for s in ("collar", "thread", "small seat")),
            *(("finish turn", s) for s in ("large seat", "collar", "thread", "small seat"))}, of=planning.plan)
    agrees("surface of each line", [o.surface for o in made.operations if o.kind in ("bore", "ream", "drill")],
           ["bore"] * 3, of=planning.plan)
    gauges = {o.surface: o.measure for o in made.operations if o.finishes}
    agrees("gauge of each size", gauges,
           {"bore": "bore gauge, set in a micrometer", "large seat": "micrometer 0 to 25", "collar": "calliper",
            "thread": "three wires", "small seat": "micrometer 0 to 25"}, of=planning.plan)
    agrees("the part that was asked for", made.part, part.demo(SLEEVE), of=planning.plan)
    agrees("settings that were asked for", plan(SLEEVE, room=25.0).settings.room, 25.0, of=planning.plan)


@source("worked by hand", place="the tool that is named, and how far it stands out", basis="hand")
def test_tools_of_every_line():
    noses = {"roughing tool": 0.8, "finishing tool": 0.4, "6 mm carbide bar": 0.2, "8 mm steel bar": 0.2,
             "16 mm steel bar": 0.4}
    out = {SLEEVE: 32.05 + 3, HOUSING: 14 + 0.5 + 3, BUSH: 20 + 2 + 3}
    sides = {"face": "face", "rough turn": "outside", "finish turn": "outside", "thread": "outside",
             "part off": "outside"} | dict.fromkeys(INNER, "inside")
    for name, made in plans().items():
        for o in made.operations:
            agrees("where it cuts", o.side, sides.get(o.kind, ""), of=planning.plan)
            if o.nose is not None:
                agrees("nose", o.nose, noses[o.tool], unit="mm", of=planning.plan)
            if o.tool_diameter is not None:
                size = re.match(r"([\d.]+) mm", o.tool)
                agrees("diameter", o.tool_diameter, float(size.group(1)) if size else 3.0, unit="mm", of=planning.plan)
            if o.tool_stickout is not None:
                agrees("stickout", o.tool_stickout, out[name], abs=1e-6, unit="mm", of=planning.plan)


@source("worked by hand", place="what is gripped and what stands out, from the outlines", basis="hand")
def test_setups_of_every_part():
    way = {"three jaws": ("three-jaw chuck", 0.05), "soft jaws": ("soft jaws", 0.01),
           "between centres": ("between centres", 0.004)}
    for name, made in plans().items():
        for h in made.holdings:
            first = next(o for o in made.operations if o.holding == h.number)
            rows, between = first.outline_before, h.kind == "between centres"
            near = h.end == NEAR
            agrees("way of holding and its run-out", (h.way, h.runout), way[h.kind], of=planning.plan)
            agrees("free end", near, (name, h.number) not in {(SLEEVE, 1), (SLEEVE, 4), (HOUSING, 2), (BUSH, 2)},
                   of=planning.plan)
            agrees("held in a bore", h.inside, False, of=planning.plan)
            agrees("centre", h.centre, name == SLEEVE and h.number != 2, of=planning.plan)
            agrees("finished surface that is gripped", h.grips,
                   {(HOUSING, 2): "outside", (BUSH, 2): "outside", (SLEEVE, 4): "large seat"}.get((name, h.number), ""),
                   of=planning.plan)
            free, last = (rows[0, 0], rows[-1, 0]) if near else (rows[-1, 0], rows[0, 0])
            a, b = (made.part.length,) * 2 if between and near else (0.0, 0.0) if between else h.grip
            agrees("length gripped", h.length, b - a, abs=1e-6, unit="mm", of=planning.plan)
            edge = a if near else b
            agrees("stickout", h.stickout, abs(free - edge), abs=1e-6, unit="mm", of=planning.plan)
            span = radii(rows, *sorted((free, edge)), 1)
            agrees("thinnest that stands out", h.thinnest, 2 * span.min(), abs=1e-3, unit="mm", of=planning.plan)
            held = radii(rows, *(sorted((free, edge)) if between else h.grip), 1)
            agrees("diameter gripped", h.diameter, 2 * held.max(), abs=1e-3, unit="mm", of=planning.plan)
            deep = 0.0 if between else abs(last - edge)      # the jaws are 40 deep; more goes into the spindle
            agrees("through the spindle", h.through, deep > 40 + 1e-6, of=planning.plan)


@source("worked by hand", place="in the docstring", basis="hand")
def test_sizes_to_read_and_to_dial():
    """Seat Ø20 h6: middle 19.9935, and 0.65 µm more while it is warm (half of a tenth of 13 µm). Bush Ø18 +20 +50:
    18.035 and 1.5 µm. Housing Ø42 H7: 42.0125 and 1.25 µm. Their limits move with them. Measured between two like
    cuts, the dial is the target; without, what gives way is taken off it. At 30 °C a seat of aluminium on steel gauges
    reads 42 × (23.4 − 11.5)e-6 × 10 = 4.998 µm large.
    """
    for name, surface, middle, half, warm in ((SLEEVE, "large seat", 19.9935, 0.0065, 0.00065),
            (BUSH, "outside", 18.035, 0.015, 0.0015), (HOUSING, "bearing seat", 42.0125, 0.0125, 0.00125)):
        made = plan(name)
        o = next(o for o in made.operations if o.finishes and o.surface == surface)
        b = made.budget(surface)
        agrees("aim", b.aim, middle, abs=1e-9, unit="mm", of=[budget, renumbered, planning.judged, planning.plan])
        agrees("target", o.target, middle + warm, abs=1e-7, unit="mm", of=planning.plan)
        agrees("dial", o.dial, middle + warm, abs=1e-7, unit="mm", of=planning.plan)
        agrees("limits at the lathe", (o.low, o.high), (middle - half + warm, middle + half + warm), abs=1e-7,
               of=planning.plan)
        agrees("what it does until it is cold", o.shift, -warm, abs=1e-7, unit="mm", of=planning.plan)
        agrees("line that finishes it", b.operation, o.number, of=[renumbered, planning.judged, planning.plan])
        shifts = {share.name: share.shift for share in b.shares}
        agrees("warmth that is dialled out", shifts["warmth of the cut"], warm, rel=1e-9, unit="mm", of=budget)
        draft = planning.best(part.demo(name), replace(tools.default_shop()), planning.Settings(), made.order)
        before = {one.surface: one.operation for one in budget(draft, 50)}     # not yet numbered anew
        agrees("line that cuts it last", before[surface], o.number, of=budget)
    warm = plan(HOUSING, room=30.0).budget("bearing seat")
    room = next(share.shift for share in warm.shares if share.name == "room and gauge")
    agrees("warm room", room, 42 * (23.4 - 11.5) * 1e-6 * 10, rel=1e-6, unit="mm",
           of=[budget, renumbered, planning.judged, planning.plan])
    o = next(o for o in plan(SLEEVE, trial=False).operations if o.surface == "small seat" and o.finishes)
    agrees("dial without measuring", o.dial, o.target - o.reason.error, abs=1e-9, unit="mm", of=planning.plan)


@source("the same sizes thrown with dice", place="the large seat's lines, flat or normal, numpy", basis="method")
def test_size_of_the_large_seat():
    throw = np.random.default_rng(3)
    b = plan(SLEEVE).budget("large seat")
    flat = ("setting the dial", "warmth of the cut", "taper of the work", "lathe's taper")
    size = 19.9935 + sum(
        share.spread * (throw.uniform(-np.sqrt(3), np.sqrt(3), 200_000) if share.name in flat
            else throw.standard_normal(200_000)) for share in b.shares)
    low, middle, high = np.percentile(size, (5, 50, 95))
    agrees("nine in ten", b.size.high - b.size.low, high - low, rel=0.05, unit="mm", of=budget)
    for ours, theirs in ((b.size.low, low), (b.size.value, middle), (b.size.high, high)):
        agrees("size", ours, theirs, abs=0.0015, unit="mm", of=[budget, renumbered, planning.judged, planning.plan])


# ---- warmth ---------------------------------------------------------------------------------------


def in_still_air(diameter, length, start, goal, expansion, density, heat, conductivity, shine):
    """Seconds until a lying bar is `goal` mm from its cold size: Newton's law integrated by scipy.

    Churchill and Chu's correlation, Sutherland's air, and radiation.
    """
    area, volume = np.pi * diameter * length + np.pi * diameter**2 / 2, np.pi * diameter**2 / 4 * length

    def coefficient(rise):
        film = 293.15 + rise / 2
        viscous = 1.716e-5 * (film / 273.15) ** 1.5 * 383.55 / (film + 110.4) * 287.05 * film / 101325
        carries = 0.0241 * (film / 273.15) ** 1.5 * 467.15 / (film + 194)
        prandtl = 1006 * viscous * 101325 / 287.05 / film / carries
        lift = 9.80665 * rise / film * (diameter / 1000) ** 3 * prandtl / viscous**2
        nusselt = (0.6 + 0.387 * lift ** (1 / 6) / (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2
        warm = 293.15 + rise
        shines = shine * 5.670374e-8 * (warm**2 + 293.15**2) * (warm + 293.15)
        return nusselt * carries / (diameter / 1000) + shines

    def done(t, y):
        return y[0] - goal / (expansion * diameter)

    done.terminal = True
    fall = integrate.solve_ivp(lambda t, y: -coefficient(y[0]) * area / (density * 1e-9 * heat * volume) * 1e-6 * y,
        (0, 1e5), [start], events=done, rtol=1e-8)
    return fall.t[-1]


BRONZE = {"expansion": 18.2e-6, "density": 8800, "heat": 377, "conductivity": 65, "shine": 0.1}


@source("Newton's law of cooling integrated by scipy", place="the bush: bronze Ø18 by 20, a tenth of 30 µm may be left",
        basis="method")
def test_waits_of_the_bush():
    """Bored and reamed, 7 K each: 14 K make Ø18 grow by 18.2e-6 × 18 × 14 = 4.586 µm; 3 may be left. In coolant, 1000
    W/(m² K) at the skin, one part in 1 + 1000 × 18/(8000 × 65) of it felt by the mean: an exponential.
    """
    made = plan(BUSH)
    cool = [o for o in made.operations if isinstance(o.reason, Warm)][-1]
    w = cool.reason
    agrees("rise", w.rise, 14.0, abs=1e-9, unit="K", of=planning.plan)
    agrees("grown", w.grown, 4.5864e-3, rel=1e-6, unit="mm", of=planning.plan)
    agrees("may be left", w.goal, 0.003, rel=1e-9, unit="mm", of=planning.plan)
    area, volume = np.pi * 18 * 20 + np.pi * 18**2 / 2, np.pi * 18**2 / 4 * 20
    felt = 1000 / (1 + 1000 * 18 / (8000 * 65))
    constant = 8800e-9 * 377 * volume / (felt * 1e-6 * area)
    wet = constant * np.log(4.5864 / 3)
    agrees("under coolant", w.wet, wet, rel=2e-3, unit="s", of=planning.plan)
    agrees("the shorter of the two", cool.wait, wet, rel=2e-3, unit="s", of=planning.plan)
    agrees("in still air", w.still, in_still_air(18, 20, 14.0, 0.003, **BRONZE), rel=0.02, unit="s", of=planning.plan)
    o = next(o for o in made.operations if o.finishes and o.surface == "outside")
    start = 0.003 / (18.2e-6 * 18) * np.exp(o.wait / constant)     # so warm, then, that coolant takes this long
    agrees("in still air, from the rise that the wet wait began at", o.still,
           in_still_air(18, 20, start, 0.003, **BRONZE), rel=0.02, unit="s", of=planning.plan)


# ---- reasons --------------------------------------------------------------------------------------


def thrust(depth, feed, nose, kn, mn):
    """N: Kienzle's law over the arc of the nose, the chip measured to the groove of the turn before."""
    last, first = np.arccos(1 - depth / nose), -np.arcsin(feed / (2 * nose))

    def chip(p):
        groove = nose + feed * np.sin(p) - np.sqrt(nose**2 - (feed * np.cos(p)) ** 2)
        return max(min(groove, nose - (nose - depth) / np.cos(p)), 0.0)

    return integrate.quad(lambda p: kn * chip(p) ** (1 - mn) * np.cos(p) * (nose - chip(p) / 2), first, last,
        limit=400)[0]


@source("Kienzle's law integrated over the nose by scipy; the trade's tables", place="reasons of the demo parts' lines",
        basis="hand")
def test_reasons_of_the_lines():
    """A 9 mm drill (0.25 to 0.5 inch) cuts up to 0.006 inch over; its point of 118° is 4.5/tan 59° = 2.7039 high; a
    centre drill keeps within 0.03. The bars: 35.05/6, 25/8, 17.5/16 diameters out.
    """
    kinds = {}
    for name, made in plans().items():
        for o in made.operations:
            if o.reason is not None:
                kinds.setdefault((name, type(o.reason).__name__), o.reason)
    agrees("drilled over", kinds[SLEEVE, "DrillCutsOver"].error, 0.1524, rel=1e-9, unit="mm", of=planning.plan)
    agrees("cone", kinds[SLEEVE, "PointLeavesCone"].height, 2.7039, abs=1e-4, unit="mm", of=planning.plan)
    agrees("start", kinds[SLEEVE, "DrillStarts"].wander, 0.03, rel=1e-9, unit="mm", of=planning.plan)
    for name, out, depth, nose, kn, mn in ((SLEEVE, 35.05 / 6, 0.05, 0.2, 600, 0.4),
            (BUSH, 25 / 8, 0.1, 0.2, 280, 0.45), (HOUSING, 17.5 / 16, 0.1, 0.4, 290, 0.45)):
        bar = kinds[name, "BarGivesWay"]
        agrees("slenderness", bar.slenderness, out, rel=1e-6, of=planning.plan)
        agrees("thrust", bar.force, thrust(depth, 0.05, nose, kn, mn), rel=0.01, unit="N", of=planning.plan)
