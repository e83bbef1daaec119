"""A virtual lathe: it replays a plan on a grid of material and names every line a master would strike out.

It stands apart from the planner: the blank is an array of cells along z and r, each operation takes cells away by its
own numbers (start, end, before, after, stop, tool …), and what the tool, its shank, the jaws or the centre meet in
solid metal is a fault. The drawing it compares with is read in
virtual_drawing.py. mm, kW.

    faults = replay(plan)       # () where nothing is found; each has .operation, .kind and .reason
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from virtual_cuts import INNER, NEAR, Cuts
from virtual_drawing import OUTSIDES, Drawing, thread_size
from virtual_material import Material, bracket, cutting_pressure, value

CLEAR_OF_JAWS = 0.5         # least space between a cut and the jaws
SLENDER = 3.0               # diameters a cut may hang free: common practice
HEAVY = 0.1                 # mm² of chip above which a cut is no light one (0.5 × 0.2 mm): common practice
GRIP_SHARE = 2.1            # times the gripped diameter that a heavy cut may be at: common practice, a half
JAWS = 40.0                 # how deep the jaws are: usual chucks of 100 to 160 mm
DRIVER = 5.0                # of the work's end taken by the driving dog between centres
CENTRE_IN_WAY = (*INNER, "centre drill", "drill", "flat bottom", "face bottom", "ream", "inside thread")
IDLE = ("cool", "indicate", "turn round", "deburr")


@dataclass(frozen=True)
class Fault:
    """One line that would be struck out. operation 0: the part as a whole."""

    operation: int
    kind: str
    reason: str


def replay(plan: Any) -> tuple[Fault, ...]:
    """Everything wrong with a plan."""
    return _Lathe(plan).run()



class _Lathe(Cuts):
    def __init__(self, plan: Any):
        self.plan, self.part, self.shop = plan, plan.part, plan.shop
        self.faults: list[Fault] = []
        self.now = 0
        part = self.part
        outlines = [o.outline_before for o in plan.operations if getattr(o, "outline_before", None) is not None]
        first = outlines[0] if outlines else None
        spare = part.blank.length - part.length
        low, high = (-spare / 2, part.length + spare / 2) if first is None or not len(first) else (
            float(first[0][0]), float(first[-1][0]))
        self.work = Material(low, high, part.blank.diameter / 2)
        if high - low > part.blank.length + 0.01:
            self.fault("outline", f"a blank of {high - low:.2f} mm is begun with, and {part.blank.length:g} is there")
        self.centred: set[str] = set()
        self.finished: list[Any] = []           # toleranced surfaces that have their size
        self.finished_here: list[Any] = []      # … in this setup
        self.threaded: list[tuple[float, float, str, bool]] = []   # start, end, name, inside
        self.knurled: set[str] = set()
        self.setup_of: dict[str, Any] = {}
        self.short_grip = False
        self.parted = False

    def fault(self, kind: str, reason: str) -> None:
        if not any(f.operation == self.now and f.kind == kind for f in self.faults):
            self.faults.append(Fault(self.now, kind, reason))

    # ---- one after the other ------------------------------------------------------------------

    def run(self) -> tuple[Fault, ...]:
        plan = self.plan
        self._machine()
        setups = {h.number: h for h in plan.holdings}
        held = 0
        for o in plan.operations:
            self.now = o.number
            h = setups[o.holding]
            if o.kind == "saw":
                self._outline(o, "outline_before")
                self._sawn(o, h.end == NEAR)
                self._outline(o, "outline_after")
                continue
            if o.holding != held:
                held, self.finished_here = o.holding, []
                self._grip(h, o)
            self._outline(o, "outline_before")
            if o.kind not in IDLE:
                self._spindle(o)
                self._held_for(o, h)
                self._cut(o, h)
                self._power(o)
            self._outline(o, "outline_after")
            self._numbers(o)
            if o.finishes and o.surface:
                s = self._surface(o.surface)
                self.setup_of[s.name] = h
                if s.toleranced:
                    self.finished.append(s)
                    self.finished_here.append(s)
        self.now = 0
        self._end()
        return tuple(self.faults)

    def _surface(self, name: str) -> Any:
        return next(s for s in self.part.surfaces if s.name == name)

    def _machine(self) -> None:
        lathe, blank = self.shop.lathe, self.part.blank
        if blank.diameter > value(lathe.swing):
            self.fault("larger than the machine", f"Ø{blank.diameter:g} does not swing over a bed of "
                f"{value(lathe.swing):g}")

    # ---- setups -------------------------------------------------------------------------------

    def _grip(self, h: Any, o: Any) -> None:
        lathe, work = self.shop.lathe, self.work
        low, high = work.ends
        self.short_grip = False
        near = h.end == NEAR
        kind = getattr(h, "kind", "three jaws")
        if kind == "between centres" or (getattr(h, "through", False) is False and (h.centre and kind != "mandrel")):
            span = high - low if kind == "between centres" else h.stickout
            if span > value(lathe.between_centres):
                self.fault("larger than the machine", f"{span:.0f} mm do not go between centres "
                    f"{value(lathe.between_centres):g} apart")
        if kind == "between centres":
            if {"near end", "far end"} - self.centred:
                self.fault("grip", "between centres, and an end has no centre hole")
            return
        if getattr(h, "steady", None) is not None and not lathe.steady_rest:
            self.fault("grip", "the shop has no steady rest")
        a, b = h.grip
        if b - a < 1e-6 or a < low - 0.1 or b > high + 0.1:
            self.fault("grip", f"the work reaches from {low:.1f} to {high:.1f}, the grip from {a:.1f} to {b:.1f}")
            return
        at = work.columns(a + work.dz / 2, b - work.dz / 2)
        inside = getattr(h, "inside", False)
        radius = work.inner(at) if inside else work.outer(at)
        off = (radius - h.diameter / 2) * (-1 if inside else 1)
        if (off > 0.1).any() or (off < -0.1).mean() > 0.15:
            self.fault("grip", f"gripped on Ø{h.diameter:g}, where the work is Ø{2 * radius.min():.2f} to "
                f"Ø{2 * radius.max():.2f}")
        if not inside:
            behind = work.outer(work.columns(b, high) if near else work.columns(low, a))
            if len(behind) and behind.max() > h.diameter / 2 + 0.1:
                self.fault("grip", f"Ø{2 * behind.max():.1f} stands behind jaws that grip Ø{h.diameter:g}")
            deep = ((high - b) if near else (a - low)) - max(JAWS - (b - a), 0.0)
            if deep > 2 and len(behind) and 2 * behind.max() > value(lathe.spindle_bore):
                self.fault("larger than the machine", f"Ø{2 * behind.max():.1f} stands {deep:.0f} mm into the chuck, "
                    f"and the spindle's bore is {value(lathe.spindle_bore):g}")
            hard = kind == "three jaws"
            least = max(5.0, min(0.15 * h.diameter, h.stickout), 0.0 if h.centre or h.steady else h.stickout / 5)
            self.short_grip = hard and b - a < least - 1e-6
            if b - a < max(3.0, min(0.1 * h.diameter, h.stickout),
                    0.0 if h.centre or h.steady else h.stickout / 10) - 1e-6:
                self.fault("grip", f"{b - a:.1f} mm is too short a grip on Ø{h.diameter:g}, {h.stickout:.0f} out")
            hollow = np.where(np.isfinite(work.inner(at)), work.inner(at), 0)
            wall = float((work.outer(at) - hollow).min())
            if wall < (0.1 if hard else 0.04) * h.diameter:
                self.fault("grip", f"a wall of {wall:.1f} mm is gripped on Ø{h.diameter:g} in {kind}")
            for start, end, name, inner in self.threaded:
                if not inner and start < b - 0.5 and end > a + 0.5 and kind != "collet":
                    self.fault("grip", f"the jaws stand on the finished thread {name}")
            self._holder(h, kind)
        edge = a if near else b
        out = edge - low if near else high - edge
        if abs(out - h.stickout) > 1.0 and kind != "mandrel":
            self.fault("grip", f"{out:.1f} mm stand out of the jaws, and {h.stickout:.1f} is printed")

    def _holder(self, h: Any, kind: str) -> None:
        """Is there such a chuck or collet, for this size?"""
        named = [c for c in (*self.shop.chucks, *self.shop.collets) if c.name == h.way]
        if not named:
            if h.way:
                self.fault("grip", f"the shop has no “{h.way}”")
            return
        if not any(value(c.smallest) - 1e-9 <= h.diameter <= value(c.largest) + 1e-9 for c in named):
            self.fault("grip", f"{h.way} does not take Ø{h.diameter:g}")

    def _free(self, h: Any) -> float:
        """z of the work's free end."""
        return self.work.ends[0 if h.end == NEAR else 1]

    def _edge(self, h: Any) -> float:
        """z where the work leaves its last support towards the free end."""
        steady = getattr(h, "steady", None)
        if steady is not None:
            return float(steady)
        return float(h.grip[0] if h.end == NEAR else h.grip[1])

    def _held_for(self, o: Any, h: Any) -> None:
        """Support of the cut, what is gripped, what is in the tool's way."""
        kind, near = getattr(h, "kind", "three jaws"), h.end == NEAR
        zone = self._zone(o, h)
        if zone is None:
            return
        low, high = zone
        centre = bool(getattr(o, "centre", False))
        if kind in ("between centres", "mandrel"):
            tail = self.work.ends[1 if near else 0]
            if kind == "between centres" and (high > tail - DRIVER if near else low < tail + DRIVER):
                self.fault("jaws in the way", "the driving dog sits where the tool should cut")
            if kind == "between centres" and (o.kind in CENTRE_IN_WAY or (o.kind == "face" and not o.after)):
                self.fault("centre in the way", f"{o.kind} between centres")
            if kind == "mandrel" and o.kind in CENTRE_IN_WAY and low < h.grip[1] and high > h.grip[0]:
                self.fault("jaws in the way", "the mandrel fills the bore")
            return
        jaws = h.grip[0] if near else h.grip[1]
        inside = getattr(h, "inside", False)
        inner_cut = o.kind in CENTRE_IN_WAY
        if inside == inner_cut and (high > jaws - CLEAR_OF_JAWS + 1e-6 if near else low < jaws + CLEAR_OF_JAWS - 1e-6):
            self.fault("jaws in the way", f"the cut runs to {high if near else low:.1f}, the jaws begin at {jaws:.1f}")
        steady = getattr(h, "steady", None)
        if steady is not None and not inner_cut and o.kind != "face" and low < steady + 8 and high > steady - 8:
            self.fault("jaws in the way", f"the steady rest stands at {steady:.1f}")
        if centre:
            if o.kind in CENTRE_IN_WAY or (o.kind == "face" and not (o.after or 0) > 2):
                self.fault("centre in the way", f"the tailstock centre is in while you {o.kind}")
            if not self.shop.lathe.live_centre:
                self.fault("centre in the way", "the shop has no live centre")
            end = self._free(h)
            at = self.work.columns(end, end + 1) if near else self.work.columns(end - 1, end)
            hole = float(self.work.inner(at).max()) if len(self.work.z[at]) else 0.0
            if h.end not in self.centred and not 1.0 <= hole <= 15:
                self.fault("centre in the way", "no centre hole for the tailstock centre")
        else:
            far = self._free(h) if inner_cut or o.kind == "face" else (low if near else high)
            out, slim = self._slender(self._edge(h), far)
            if out > 0 and slim > SLENDER * 1.05:
                self.fault("overhang", f"{out:.0f} mm hang free, {slim:.1f} diameters, and nothing supports the end")
        if self.short_grip and self._heavy(o) and o.kind != "drill":
            self.fault("grip", f"a heavy cut on {h.grip[1] - h.grip[0]:.1f} mm of grip, {h.stickout:.0f} out")
        if not inside and self._heavy(o) and o.kind in ("rough turn", "part off", "knurl", "rough taper") and (
                o.before or 0) > GRIP_SHARE * h.diameter:
            self.fault("grip", f"Ø{o.before:g} is cut heavily on a grip of Ø{h.diameter:g}: it slips or shears")
        if not inside:
            a, b = h.grip
            seats = [s for s in self.finished if s.kind in OUTSIDES and s.start < b - 0.5 and s.end > a + 0.5]
            if seats and self._heavy(o):
                self.fault("finished seat gripped", f"{seats[0].name} is finished, and a heavy cut is taken on "
                    "its grip")

    def _slender(self, edge: float, far: float) -> tuple[float, float]:
        """Length that hangs free and how many diameters of an even bar as stiff at its end that is."""
        low, high = min(edge, far), max(edge, far)
        at = self.work.columns(low, high)
        out = high - low
        if out < 1 or not len(self.work.z[at]):
            return 0.0, 0.0
        s = np.abs(self.work.z[at] - far)
        inner = self.work.inner(at)
        d4 = (2 * self.work.outer(at)) ** 4 - (2 * np.where(np.isfinite(inner), inner, 0)) ** 4
        give = float(np.sum(3 * s**2 / np.maximum(d4, 1e-3)) * self.work.dz)
        return out, float(out / (out**3 / give) ** 0.25)

    def _heavy(self, o: Any) -> bool:
        if o.kind in ("knurl", "part off"):
            return True
        if o.kind == "drill":
            return bool((o.after or 0) > 6)
        if o.kind in ("centre drill", "ream", "thread", "inside thread", "chamfer", "flat bottom", "face bottom"):
            return False
        return bool(o.depths) and max(o.depths) * (o.feed or 0) >= HEAVY

    def _zone(self, o: Any, h: Any) -> tuple[float, float] | None:
        """Where the tool cuts along z."""
        near, (low, high) = h.end == NEAR, self.work.ends
        if o.kind == "face":
            return (low, self._new_face(o, near)) if near else (self._new_face(o, near), high)
        if o.kind == "centre drill":
            return (low, low + 3) if near else (high - 3, high)
        if o.kind in ("drill", "flat bottom") and o.stop is not None:
            return (low, low + o.stop) if near else (high - o.stop, high)
        if o.kind == "part off":
            start = o.start if o.start is not None else self.part.length
            return start, start + self._width(o, 2.5)
        if o.start is None or o.end is None:
            return None
        return float(o.start), float(o.end)

    def _new_face(self, o: Any, near: bool) -> float:
        if near:
            return float(o.end) if o.end is not None else 0.0
        return float(o.start) if o.start is not None else self.part.length

    # ---- speed and power ----------------------------------------------------------------------

    def _spindle(self, o: Any) -> None:
        if o.spindle is None:
            return
        if not any(abs(o.spindle - n) < 0.5 for n in self.shop.lathe.speeds):
            self.fault("spindle speed", f"{o.spindle:g} rpm is none of the lathe's")

    def _width(self, o: Any, usual: float) -> float:
        tool = next((t for t in self.shop.tools if t.name == o.tool), None)
        return (value(tool.width) if tool else 0.0) or usual

    def power(self, o: Any) -> float:
        """kW at the edge: specific cutting force at the chip's thickness, times metal removed a second."""
        if not o.spindle or not o.feed or o.kind in ("thread", "inside thread", "knurl", "centre drill", "ream"):
            return 0.0
        per_turn, chip = 0.0, o.feed
        before, after = o.before or 0.0, o.after or 0.0
        if o.kind in ("drill", "flat bottom"):
            half = np.radians(self._point(o) / 2)
            per_turn, chip = np.pi * (after**2 - before**2) / 4 * o.feed, o.feed / 2 * np.sin(half)
        elif o.kind in ("part off", "undercut", "recess", "inside recess"):
            per_turn = self._width(o, 2.0) * o.feed * np.pi * max(before, after)
        elif o.depths:
            tool = next((t for t in (*self.shop.tools, *self.shop.bars) if t.name == o.tool), None)
            chip = o.feed * float(np.sin(np.radians(value(tool.entering_angle) if tool else 90.0)))
            at = before if o.kind != "face" else before or self.part.blank.diameter
            per_turn = max(o.depths) * o.feed * np.pi * max(at, after)
        more = 1.2 if o.kind in INNER else 1.0
        return more * cutting_pressure(self.part.material, chip) * per_turn * o.spindle / 60e6

    def _power(self, o: Any) -> None:
        mine, lathe = self.power(o), self.shop.lathe
        there = value(lathe.power) * value(lathe.efficiency)
        if mine > there * 1.02:
            self.fault("power", f"the cut takes {mine:.2f} kW at the edge and the lathe has {there:.2f}")
        given = getattr(o, "power", None)
        if given is not None and given > there * 1.001:
            self.fault("power", f"{given:.2f} kW is printed and the lathe has {there:.2f}")
        if given is not None and mine > 0.05 and not 0.7 * mine <= given <= 1.6 * mine:
            self.fault("power", f"{given:.2f} kW is printed; it comes to {mine:.2f}")

    # ---- numbers to dial ----------------------------------------------------------------------

    def _numbers(self, o: Any) -> None:
        if None not in (o.target, o.low, o.high) and not o.low - 1e-9 <= o.target <= o.high + 1e-9:
            self.fault("target", f"{o.target:.4f} lies outside {o.low:.4f} to {o.high:.4f}")
        real = [d for d in o.depths if d > 1e-6]
        like = len(real) >= 2 and abs(real[-1] - real[-2]) < 1e-4 and o.measure
        trial = getattr(self.plan.settings, "trial", True)
        if like and trial and o.finishes and o.dial is not None and o.target is not None and (
                abs(o.dial - o.target) > 5e-4):
            self.fault("corrected twice", f"like cuts are measured between, and the dial is {o.dial - o.target:+.4f} "
                "off the target all the same")
        s = self._surface(o.surface) if o.surface else None
        if s is None or not s.depth or o.stop is None or o.kind not in (*INNER, "flat bottom", "face bottom", "ream"):
            return
        deep, drawn, (low, high) = o.stop, s.end - s.start, s.depth
        if deep > drawn + high + 1e-6:
            self.fault("depth stop", f"the stop stands at {deep:.3f}, deeper than {drawn + high:.3f}")
        finishing = o.kind in ("bore", "face bottom") and (o.finishes or self._makes_bottom(o))
        if finishing and abs(deep - drawn - (low + high) / 2) > (high - low) / 4:
            self.fault("depth stop", f"the stop stands at {deep:.3f}; the middle of the tolerance is "
                f"{drawn + (low + high) / 2:.3f}")

    def _makes_bottom(self, o: Any) -> bool:
        """Is this the last cut that touches the bottom of its bore?"""
        return not any(p.number > o.number and p.surface == o.surface and p.stop is not None
            and p.kind in ("bore", "face bottom") for p in self.plan.operations)

    # ---- outlines and the end -----------------------------------------------------------------

    def _outline(self, o: Any, name: str) -> None:
        rows = getattr(o, name, None)
        if rows is None or not len(rows):
            return
        rows = np.asarray(rows, float)
        low, high = self.work.ends
        dz = self.work.dz
        if abs(rows[0, 0] - low) > 1.5 * dz or abs(rows[-1, 0] - high) > 1.5 * dz:
            self.fault("outline", f"{name} reaches from {rows[0, 0]:.2f} to {rows[-1, 0]:.2f}, the work from "
                f"{low:.2f} to {high:.2f}")
            return
        at = self.work.columns(low + dz / 2, high - dz / 2)
        z = self.work.z[at]
        for column, real, what in ((1, self.work.outer(at), "outside"), (2, self.work.inner(at), "inside")):
            least, most = bracket(rows[:, 0], rows[:, column], z, dz)
            real = np.where(np.isfinite(real), real, 0.0)
            wrong = (real < least - 0.06) | (real > most + 0.06)
            for start, end, thread, inside in self.threaded:
                if inside == (what == "inside"):
                    near = (z > start - 0.5) & (z < end + 0.5)
                    wrong &= ~(near & (np.abs(real - least) < 1.3 * thread_size(thread)[1]))
            if what == "inside":         # the centre's own hole is no part of the grid
                for end, place in (("near end", low), ("far end", high)):
                    if end in self.centred or o.kind == "centre drill":
                        wrong &= ~((np.abs(z - place) < 10) & (most < 6))
            if wrong.sum() > 1:
                i = int(np.argmax(np.where(wrong, np.maximum(least - real, real - most), -1)))
                self.fault("outline", f"{name}: {what} Ø{2 * float(np.mean([least[i], most[i]])):.2f} is said at "
                    f"{z[i]:.1f}, and the work is Ø{2 * float(real[i]):.2f}")
                return

    def _end(self) -> None:
        plan, part = self.plan, self.part
        if plan.missing or getattr(plan, "cannot", ()):
            return                                    # it says itself that it does not come to an end
        drawing, dz = Drawing(part), self.work.dz
        low, high = self.work.ends
        if low < -1.5 * dz or high > part.length + 1.5 * dz:
            self.fault("differs from the drawing", f"it reaches from {low:.2f} to {high:.2f} and is drawn 0 to "
                f"{part.length:g}")
        z = self.work.z
        here = (z > 0) & (z < part.length)
        grid = np.linspace(-1, 1, 5) * dz
        for wanted, real, what in ((drawing.outside, self.work.outer(), "outside"),
                (drawing.inside, self.work.inner(), "inside")):
            spread = [wanted(np.clip(z + g, 1e-6, part.length - 1e-6)) for g in grid]
            least, most = np.min([s[0] for s in spread], 0), np.max([s[1] for s in spread], 0)
            real = np.where(np.isfinite(real), real, 0.0)
            wrong = here & ((real < least - 0.06) | (real > most + 0.06))
            if what == "inside":
                for end, place in (("near end", 0.0), ("far end", part.length)):
                    if end in self.centred:
                        wrong &= ~((np.abs(z - place) < 10) & (most < 1))
            if wrong.sum() > 1:
                i = int(np.argmax(np.where(wrong, np.maximum(least - real, real - most), -1)))
                self.fault(f"differs from the drawing, {what}", f"at {z[i]:.1f} it is Ø{2 * float(real[i]):.2f} and "
                    f"drawn Ø{2 * least[i]:.2f} to {2 * most[i]:.2f}")
        cut = {name for *_, name, _ in self.threaded}
        for s in part.surfaces:
            if s.kind in ("thread", "inside thread") and s.thread not in cut:
                self.fault("differs from the drawing", f"{s.thread} is never cut")
            if s.kind == "knurl" and s.name not in self.knurled:
                self.fault("differs from the drawing", f"{s.name} is never knurled")
            if s.toleranced and s not in self.finished:
                self.fault("differs from the drawing", f"{s.name} is never finished")
        self._true()

    def _true(self) -> None:
        """What must run true together is finished in one setup, between centres, or in a holder true enough."""
        for s in self.part.surfaces:
            if not s.runout:
                continue
            mine, other = self.setup_of.get(s.name), self.setup_of.get(s.runout[0])
            if mine is None or other is None or mine.number == other.number:
                continue
            if {getattr(mine, "kind", ""), getattr(other, "kind", "")} <= {"between centres"}:
                continue
            later = max(mine, other, key=lambda h: h.number)
            if (later.runout or 0.0) > s.runout[1]:
                self.fault("not true", f"{s.name} runs true to {s.runout[0]} within {s.runout[1]:g}, and {later.way} "
                    f"grips again within {later.runout:g}")
