"""The cuts of the virtual lathe: each operation takes cells away, and says what its tool met on the way."""

from __future__ import annotations

from typing import Any

import numpy as np
from virtual_drawing import OUTSIDES, core, minor, thread_size
from virtual_material import Material, value

NEAR = "near end"
REACT = 0.7                 # s to open the half-nuts while the tool crosses a relief: common practice
KNURL_RISES = 0.6          # most a knurl raises the band, on radius: common practice
GENERAL = 0.1               # a depth without limits of its own
SAWN = 8.0                  # mm that nobody faces away: common practice
LEAD = 1.5                  # of a machine reamer that cannot bottom
OUTER = ("rough turn", "finish turn", "rough taper", "taper", "undercut", "recess")
INNER = ("rough bore", "bore", "bore taper", "inside recess")
GROOVES = ("undercut", "recess", "thread", "knurl")
ROUGH_OUT, ROUGH_IN = ("rough turn", "rough taper"), ("drill", "rough bore", "flat bottom")
RING = 0.2                # wide, the ring in front of a chamfer's edge: the same
ON_SHOULDER = 0.1, 0.35   # mm that roughing leaves on a shoulder for the finishing cut to face: common practice, 0.2
RELIEF_LOOK = 6.0      # pitches from the thread's end within which its relief is looked for


class Cuts:
    """What an operation does to the metal. `work`, `part`, `shop` and `fault` come from the lathe."""

    part: Any
    shop: Any
    plan: Any
    work: Material
    centred: set[str]
    finished: list[Any]
    finished_here: list[Any]
    threaded: list[tuple[float, float, str, bool]]
    knurled: set[str]
    parted: bool

    def fault(self, kind: str, reason: str) -> None:
        raise NotImplementedError

    def _cut(self, o: Any, h: Any) -> None:
        near = h.end == NEAR
        if o.kind == "face":
            self._face(o, near)
        elif o.kind == "centre drill":
            self._centre(o, h, near)
        elif o.kind in ("drill", "flat bottom"):
            self._drill(o, h, near)
        elif o.kind == "face bottom":
            self._face_bottom(o, h, near)
        elif o.kind in INNER:
            self._bored(o, h, near)
        elif o.kind == "ream":
            self._reamed(o, near)
        elif o.kind in OUTER:
            self._turned(o, near)
        elif o.kind == "chamfer":
            self._chamfered(o)
        elif o.kind in ("thread", "inside thread"):
            self._thread(o, h)
        elif o.kind == "knurl":
            self._knurl(o)
        elif o.kind == "part off":
            self._part_off(o)
        else:
            self.fault("unknown operation", o.kind)

    def _face(self, o: Any, near: bool) -> None:
        low, high = self.work.ends
        to = self._new_face(o, near)
        slab = (low, to) if near else (to, high)
        thick = slab[1] - slab[0]
        if thick > SAWN:
            self.fault("faced away", f"{thick:.1f} mm are faced into chips: saw or part them off")
        if thick < 0.01:
            self.fault("cut in air", "there is nothing to face")
            return
        if o.depths and thick > sum(o.depths) + 0.1:
            self.fault("depth of cut", f"{thick:.2f} mm stand on the face, and the cuts take {sum(o.depths):.2f}")
        if getattr(o, "centre", False) and o.after:      # round the centre: a stub stays
            self.work.take(*slab, o.after / 2, np.inf)
        else:
            self.work.cut_off(*((to, high) if near else (low, to)))
        low, high = self.work.ends
        whole = abs(low) < 0.01 and abs(high - self.part.length) < 0.01
        if o.target is not None and abs(o.target - (high - low)) > GENERAL:
            self.fault("target", f"{o.target:.2f} over all is printed, and the work is {high - low:.2f} long then")
        if whole and o.target is None:
            self.fault("target", "the length over all is made, and not said")
        if thick > 4:
            self.centred.discard("near end" if near else "far end")

    def _sawn(self, o: Any, near: bool) -> None:
        """In the vice, before the work is gripped."""
        low, high = self.work.ends
        if not low - 0.01 <= o.start < o.end <= high + 0.01 or (near and o.end > 0) or (
                not near and o.start < self.part.length):
            self.fault("tool in solid metal", "the saw goes into the part")
        self.work.cut_off(*((o.end, high) if near else (low, o.start)))
        self.centred.discard("near end" if near else "far end")

    def _centre(self, o: Any, h: Any, near: bool) -> None:
        end = self._free(h)
        at = self.work.columns(end, end + 1) if near else self.work.columns(end - 1, end)
        hole = float(np.min(self.work.inner(at), initial=np.inf))
        if 1.5 < hole < np.inf and "countersink" not in o.tool:
            self.fault("cut in air", "there is a hole where the centre should go")
        self.centred.add(h.end)

    def _point(self, o: Any) -> float:
        size = getattr(o, "tool_diameter", None) or o.after
        for drills in self.shop.drills:
            flat = value(drills.point_angle) >= 179
            if flat == (o.kind == "flat bottom") and any(abs(size - x) < 1e-6 for x in drills.sizes):
                return value(drills.point_angle)
        self.fault("no such tool", f"the shop has no {'flat ' if o.kind == 'flat bottom' else ''}drill of {size:g} mm")
        return 180.0 if o.kind == "flat bottom" else 118.0

    def _drill(self, o: Any, h: Any, near: bool) -> None:
        size = getattr(o, "tool_diameter", None) or o.after
        height = size / 2 / np.tan(np.radians(self._point(o) / 2))
        low, high = self.work.ends
        if o.stop is None:
            self.fault("drill depth", "no depth for the tip is printed")
            return
        tip = low + o.stop if near else high - o.stop
        full = tip - height if near else tip + height
        self._order(o)
        started = h.end in self.centred or (np.isfinite(self._hole(h)) and self._hole(h) > 0)
        if not started and size > 1:
            self.fault("drill without a start", "neither a centre nor a hole leads the drill")
        if o.start is not None and o.end is not None:
            wants = min(o.end, high) if near else max(o.start, low)
            short = (wants - full) if near else (full - wants)
            if short > 0.25 and (wants >= self.part.length - 1e-6 if near else wants <= 1e-6):
                self.fault("drill not through", f"the drill's full diameter ends {short:.1f} mm before the far face")
            elif short > 0.25 + height or (short < -0.25 and -short > 0.25 + height + 2):
                self.fault("drill depth", f"the tip stops at {tip:.1f} for a hole to {wants:.1f}")
        for s in self.part.surfaces:        # a cone below a flat bottom
            if s.kind != "bore" or not s.flat or not s.start <= (s.start + s.end) / 2 <= s.end or s.name != o.surface:
                continue
            bottom = s.end if near else s.start
            deeper = (s.depth[1] if s.depth else GENERAL) + 1e-6
            if self._solid_below(s, near) and (tip > bottom + deeper if near else tip < bottom - deeper):
                self.fault("drill's cone", f"the point goes {abs(tip - bottom):.1f} mm below the flat bottom of "
                    f"{s.name}")
        at = self.work.columns(low, tip) if near else self.work.columns(tip, high)
        left = np.maximum((tip - self.work.z[at]) if near else (self.work.z[at] - tip), 0)
        reach = np.minimum(left * (size / 2 / max(height, 1e-9)), size / 2)
        if not self.work.take(*((low, tip) if near else (tip, high)), 0.0, np.maximum(reach, 0)):
            self.fault("cut in air", f"a drill of {size:g} mm has nothing to cut")

    def _solid_below(self, s: Any, near: bool) -> bool:
        """Does the drawing have metal under the bottom of this bore?"""
        z = s.end + 0.1 if near else s.start - 0.1
        if not 0 < z < self.part.length:
            return False
        return not any(o.kind in ("bore", "inside taper", "inside thread") and o.start <= z <= o.end
            for o in self.part.surfaces)

    def _hole(self, h: Any) -> float:
        """Radius of the hole in the free face."""
        end = self._free(h)
        step = 2 * self.work.dz
        at = self.work.columns(end, end + step) if h.end == NEAR else self.work.columns(end - step, end)
        return float(np.min(self.work.inner(at), initial=np.inf))

    def _tool_reaches(self, o: Any, h: Any, near: bool, deep: float) -> Any:
        """The boring bar, and whether it reaches the cut's end without its holder touching the face."""
        bar = next((b for b in self.shop.bars if b.name == o.tool), None)
        if bar is None:
            if o.tool:
                tool = next((t for t in self.shop.tools if t.name == o.tool), None)
                if tool is None:
                    self.fault("no such tool", f"the shop has no “{o.tool}”")
            return bar
        depth = deep - self._free(h) if near else self._free(h) - deep
        out = o.tool_stickout
        if out is not None and out < depth + 0.5:
            self.fault("bar too short", f"the bar stands {out:.1f} mm out, and the cut ends {depth:.1f} mm inside the "
                "face as it stands")
        if out is not None and out > value(bar.longest) + 1e-6:
            self.fault("bar too short", f"{bar.name} cannot stand out {out:.1f} mm")
        return bar

    def _bored(self, o: Any, h: Any, near: bool) -> None:
        low, high = float(o.start), float(o.end)
        at = self.work.columns(low, high)
        z = self.work.z[at]
        last = getattr(o, "end_diameter", None) or o.after
        target = (o.after + (last - o.after) * np.clip((z - low) / max(high - low, 1e-9), 0, 1)) / 2
        bar = self._tool_reaches(o, h, near, high if near else low)
        self._order(o)
        before = (o.before or 0.0) / 2
        floor, roof = self.work.ends
        self._stops_short(o, near)
        faced = self._faced(o, near, low, high)
        at = self.work.columns(*faced)
        blocked = self.work.metal(*faced, 0.0, max(min(before, float(target.min(initial=9e9))) - 0.03, 0.0))
        if blocked.any():
            tail = blocked[::-1] if near else blocked
            first = int(np.argmin(tail)) if not tail.all() else len(tail)
            if blocked.sum() == first and first < len(tail):
                self.fault("drill's cone", f"the bar runs {first * self.work.dz:.1f} mm into what the drill has "
                    "left at the bottom")
            else:
                self.fault("tool in solid metal", f"the hole is not Ø{o.before:g} all the way")
        if before <= 0:
            self.fault("tool in solid metal", "a bar is asked to bore where there is no hole")
        if bar is not None:
            most = float(target.max(initial=0.0))
            self._shank(o, h, near, bar, most, (floor, low) if near else (high, roof), faced)
        if o.kind != "inside recess" and before < float(target.min(initial=9e9)) - 1e-6:
            self._said_depth(o, before, self.work.inner(at), inside=True)
        if not self.work.take(low, high, 0.0, target) and float(target.max(initial=0)) - before > 1.5 * self.work.dr:
            self.fault("cut in air", f"Ø{o.after:g} is there already")
        elif o.before is not None and abs(o.after - o.before) < 1e-6 and o.kind == "rough bore":
            self.fault("cut in air", "nothing is left to rough")

    def _shank(self, o: Any, h: Any, near: bool, bar: Any, most: float, way: tuple[float, float],
            cut: tuple[float, float]) -> None:
        """The bar lies half its smallest bore beside its tip: do its sides clear every hole it passes?"""
        shank, small = value(bar.diameter), value(bar.smallest_bore)
        offset = small / 2
        tip_side, back = most - offset + shank / 2, offset + shank / 2 - most
        holes = self.work.inner(self.work.columns(*way))
        holes = holes[np.isfinite(holes)]
        here = self.work.inner(self.work.columns(*cut))
        here = here[np.isfinite(here)]
        everywhere = np.concatenate([holes, here])
        narrow = float(everywhere.min(initial=np.inf))
        in_front = float(holes.min(initial=np.inf))
        if 2 * in_front < small - 0.05 or 2 * narrow < min(small - 0.05, (o.before or 0) + 0.05):
            self.fault("tool in solid metal", f"{bar.name} goes into no hole under {small:g} mm, and meets "
                f"Ø{2 * narrow:.2f}")
        elif in_front < max(tip_side, back) - 0.03:
            self.fault("tool in solid metal", f"the bar's {'shank' if tip_side > back else 'back'} does not clear the "
                f"Ø{2 * in_front:.2f} in front of the cut")
        elif back > narrow + 0.03:
            self.fault("tool in solid metal", "the bar's back rubs on the other side of the hole")

    def _face_bottom(self, o: Any, h: Any, near: bool) -> None:
        deep = float(o.end) if near else float(o.start)
        bar = self._tool_reaches(o, h, near, deep)
        self._order(o)
        core_left = (o.before or 0.0) / 2
        low, high = (float(o.start), deep) if near else (deep, float(o.end))
        at = self.work.columns(low, high)
        floor, roof = self.work.ends
        cell = self.work.dz              # the cell at the brink holds a piece of the drill's cone
        inner = self.work.inner(self.work.columns(*((floor, low - cell) if near else (high + cell, roof))))
        inner = inner[np.isfinite(inner)]
        if not len(inner) and len(at_hole := self.work.inner(at)):
            inner = np.append(inner, float(np.max(at_hole[np.isfinite(at_hole)], initial=0.0)))
        if bar is not None:
            back = value(bar.smallest_bore) / 2 + value(bar.diameter) / 2
            middle = self.work.metal(low, high, 0.0, max(core_left - 0.03, 0.0)) if core_left else np.array([False])
            if core_left and middle.any():
                self.fault("drill's cone", "the middle of the bottom is not cleared, and the bar does not face it")
            if back - core_left > float(inner.min(initial=np.inf)) + 0.05:
                self.fault("tool in solid metal", f"facing to the middle, the bar's back needs Ø{2 * back:.1f} and the "
                    f"hole is Ø{2 * float(inner.min(initial=np.inf)):.2f}")
        hole = float(inner.min(initial=o.after / 2)) if len(inner) else o.after / 2
        if o.after / 2 > hole + 0.06 and not len(self.work.z[at]):
            self.fault("tool in solid metal", "the bottom is wider than the hole above it")
        open_ = self.work.inner(at)
        if len(open_) and float(open_.min()) > core_left + 1.0:
            self.fault("cut in air", f"the middle is open to Ø{2 * float(open_.min()):.1f} and faced all the same")
        if not self.work.take(low, high, 0.0, o.after / 2):
            self.fault("cut in air", "the bottom is flat already")

    def _reamed(self, o: Any, near: bool) -> None:
        reamer = next((r for r in self.shop.reamers if r.name == o.tool), None)
        if reamer is None:
            self.fault("no such tool", f"the shop has no reamer “{o.tool}”")
        elif abs(reamer.size - o.after) > 0.05:
            self.fault("no such tool", f"{o.tool} does not make Ø{o.after:g}")
        low, high = float(o.start), float(o.end)
        before = (o.before or 0.0) / 2
        floor, roof = self.work.ends
        s = self._surface(o.surface)
        past = (high - s.end) if near else (s.start - low)
        if reamer is not None and not reamer.bottoming and past < LEAD - 0.01:
            self.fault("tool in solid metal", f"the reamer's tapered lead ends {past:.1f} mm past the hole, and is "
                f"{LEAD:g} mm long: the end of the hole stays small")
        if before <= 0 or self.work.metal(low, high, 0.0, max(before - 0.03, 0)).any():
            self.fault("tool in solid metal", "the reamer's end meets metal: the hole is not open to its depth")
        way = self.work.inner(self.work.columns(*((floor, low) if near else (high, roof))))
        if len(way) and float(way.min()) < o.after / 2 - 0.06:
            self.fault("tool in solid metal", "the reamer does not go through the hole in front")
        if not self.work.take(low, high, 0.0, o.after / 2) and o.after / 2 - before > 1.5 * self.work.dr:
            self.fault("cut in air", "the hole is reamed already")

    def _shoulder(self, o: Any, near: bool) -> float | None:
        """Where the drawing has a shoulder at the inner end of the surface that is cut; None without one.

        A relief there, a thread, a knurl or a taper behind it: then nothing seats on it.
        """
        s = self._surface(o.surface)
        inside = s.kind == "bore"
        inner = s.end if near else s.start
        if s.end - s.start < 1.0:
            return None
        for g in self.part.surfaces:
            if g.kind == ("inside recess" if inside else "recess") and g.start - 1e-6 <= inner <= g.end + 1e-6:
                return None
        for other in self.part.surfaces:
            if other.kind != ("bore" if inside else "outside"):
                continue
            z, size = other.start if near else other.end, other.diameter
            if s is other and inside and s.flat and self._solid_below(s, near):
                return float(inner)              # a flat bottom of its own
            if abs(z - inner) < 1e-6 and ((size < s.diameter) if inside else (size > s.diameter)):
                return float(inner)
        return None

    def _stops_short(self, o: Any, near: bool) -> None:
        """Roughing leaves something on the shoulder, and the finishing cut comes to it."""
        s = self._surface(o.surface)
        if s.kind not in ("outside", "thread", "knurl", "bore") or (
                inner := self._shoulder(o, near)) is None:
            return
        moved = (s.depth[0], s.depth[1]) if s.depth else (-GENERAL, GENERAL)
        left = (inner - o.end) if near else (o.start - inner)
        if o.kind in ("rough turn", "rough bore"):
            low, high = ON_SHOULDER[0] + min(moved[0], 0.0) * bool(s.depth), ON_SHOULDER[1] - min(moved[0], 0.0)
            if left > 1.0:
                return           # a piece of it, roughed to a place of its own
            if not low - max(moved[1], 0.0) * bool(s.depth) - 1e-6 <= left <= high + 1e-6:
                self.fault("shoulder", f"roughing leaves {left:.2f} mm on the shoulder at {inner:.1f}")
        elif o.finishes and left > max(-moved[0], 0.0) + 0.05:
            self.fault("shoulder", f"the finishing cut ends {left:.2f} mm short of the shoulder at {inner:.1f}")

    def _faced(self, o: Any, near: bool, low: float, high: float) -> tuple[float, float]:
        """The span of a finishing cut less what it faces off its shoulder."""
        if o.kind in ROUGH_OUT + ROUGH_IN or not o.surface or self._shoulder(o, near) is None:
            return low, high
        return (low, high - ON_SHOULDER[1]) if near else (low + ON_SHOULDER[1], high)

    def _said_depth(self, o: Any, before: float, real: np.ndarray, inside: bool) -> None:
        """The cuts must take what is really there, and add up."""
        real = real[np.isfinite(real) & (real > 0)] if inside else real[real > 0]
        if len(real):
            worst = float(np.quantile(real, 0.1)) if inside else float(np.quantile(real, 0.9))
            more = (before - worst) if inside else (worst - before)
            if more > 0.06:
                self.fault("depth of cut", f"Ø{2 * before:.2f} is printed, and the work is Ø{2 * worst:.2f}")
        if o.depths and o.after is not None and getattr(o, "end_diameter", None) is None:
            total = abs(o.after / 2 - before)
            if abs(sum(o.depths) - total) > 0.02:
                self.fault("depth of cut", f"the passes add up to {sum(o.depths):.3f} and {total:.3f} is to come off")

    def _turned(self, o: Any, near: bool) -> None:
        low, high = float(o.start), float(o.end)
        at = self.work.columns(low, high)
        z = self.work.z[at]
        last = getattr(o, "end_diameter", None) or o.after
        target = (o.after + (last - o.after) * np.clip((z - low) / max(high - low, 1e-9), 0, 1)) / 2
        self._order(o)
        self._stops_short(o, near)
        outer = self.work.outer(at)
        tool = next((t for t in self.shop.tools if t.name == o.tool), None)
        if o.tool and tool is None:
            self.fault("no such tool", f"the shop has no “{o.tool}”")
        grooving = tool is not None and "recess" in tool.uses
        if o.kind in ("undercut", "recess"):
            if tool is not None and value(tool.width) > high - low + 0.01:
                self.fault("tool in solid metal", f"the tool is {value(tool.width):g} mm wide and the groove "
                    f"{high - low:.2f}")
        elif not grooving and len(z):
            cutting = np.flatnonzero(outer > target + 0.03)
            if len(cutting):
                mine = z[cutting[0]] if near else z[cutting[-1]]
                low_target = float(target[cutting[0] if near else cutting[-1]])
                room = (mine - 1.5, mine - self.work.dz) if near else (mine + self.work.dz, mine + 1.5)
                wall = self.work.outer(self.work.columns(*room))
                if len(wall) and float(wall.max()) > low_target + 0.06:
                    self.fault("tool in solid metal", f"a shoulder of Ø{2 * float(wall.max()):.1f} stands behind the "
                        f"tool at {mine:.1f}: it cannot get in")
        if o.before is not None and o.kind in ("rough turn", "finish turn"):
            self._said_depth(o, o.before / 2, self.work.outer(self.work.columns(*self._faced(o, near, low, high))),
                inside=False)
        inner = self.work.inner(at)
        thin = (target - np.where(np.isfinite(inner), inner, 0))[outer > 0]
        if len(thin) and float(thin.min()) < 0.2:
            self.fault("tool in solid metal", f"a wall of {float(thin.min()):.2f} mm would be left")
        if not self.work.take(low, high, target, np.inf) and (
                o.before is None or (o.before - min(o.after, last)) / 2 > 1.5 * self.work.dr):
            self.fault("cut in air", f"Ø{o.after:g} is there already, or nothing is")
        elif o.before is not None and o.before - min(o.after, last) < 1e-6 and o.kind in ROUGH_OUT:
            self.fault("cut in air", "nothing is left to rough")

    def _chamfered(self, o: Any) -> None:
        low, high = float(o.start), float(o.end)
        at = self.work.columns(low, high)
        z = self.work.z[at]
        if not len(z):
            return
        inside = getattr(o, "side", "outside") == "inside"
        open_low = abs(low - self._surface(o.surface).start) < 1e-3      # by the drawing: which edge of the surface
        away = (z - low) if open_low else (high - z)
        edge, flank = o.after / 2, o.before / 2
        line = edge + (flank - edge) * np.clip(away / max(high - low, 1e-9), 0, 1)
        gone = self.work.take(low, high, 0.0, line) if inside else self.work.take(low, high, line, np.inf)
        self._edge_goes_on(low if open_low else high, -1 if open_low else 1, edge, inside)
        if not gone and abs(edge - flank) > 0.15:
            self.fault("cut in air", "there is no edge to chamfer")

    def _edge_goes_on(self, at: float, away: int, edge: float, inside: bool) -> None:
        """The tool's edge is wider than the chamfer: it takes the ring too that roughing has left in front of it."""
        kinds = ("bore", "inside taper", "inside thread") if inside else OUTSIDES
        beside = [s.diameter / 2 for s in self.part.surfaces if s.kind in kinds
            and abs((s.end if away < 0 else s.start) - at) < 1e-3]
        if not beside:
            return
        span = sorted((at, at + away * RING))
        far = np.abs(self.work.z[self.work.columns(*span)] - at)
        if inside:
            self.work.take(*span, 0.0, np.minimum(edge + far, min(beside)))
        else:
            self.work.take(*span, np.maximum(edge - far, max(beside)), np.inf)

    def _thread(self, o: Any, h: Any) -> None:
        inside = o.kind == "inside thread"
        s = self._surface(o.surface)
        major, pitch = thread_size(s.thread)
        low, high = float(o.start), float(o.end)
        at = self.work.columns(low, high)
        self._order(o)
        if abs((getattr(o, "pitch", None) or o.feed or pitch) - pitch) > 1e-3:
            self.fault("thread", f"{s.thread} has a pitch of {pitch:.4g} mm")
        radius = self.work.inner(at) if inside else self.work.outer(at)
        wanted = minor(s.thread) / 2 if inside else major / 2
        off = np.abs(np.median(radius) - wanted) if len(radius) else 1.0
        if off > 0.15:
            self.fault("thread", f"{s.thread} is cut on Ø{2 * float(np.median(radius)):.2f} and needs "
                f"Ø{2 * wanted:.2f}")
        if inside:
            self._tool_reaches(o, h, h.end == NEAR, high if h.end == NEAR else low)
        self._run_out(o, h, inside, s, major, pitch)
        self.threaded.append((low, high, s.thread, inside))

    def _run_out(self, o: Any, h: Any, inside: bool, s: Any, major: float, pitch: float) -> None:
        """At a shoulder the tool needs a groove to run into, wide enough for the hand at this speed, or stays away."""
        root = major / 2 if inside else core(s.thread) / 2 + 0.1
        for edge, side in ((float(o.start), -1), (float(o.end), 1)):
            near_side = (side < 0) == (h.end == NEAR)
            span = (edge, edge + 2 * pitch) if side > 0 else (edge - 2 * pitch, edge)
            wall = self.work.inner(self.work.columns(*span)) if inside else self.work.outer(self.work.columns(*span))
            stands = (wall < root - 0.05) if inside else (wall > root + 0.05)
            if not stands.any():
                continue
            own = (edge - RELIEF_LOOK * pitch, edge) if side > 0 else (edge, edge + RELIEF_LOOK * pitch)
            lane = self.work.inner(self.work.columns(*own)) if inside else self.work.outer(self.work.columns(*own))
            lane = np.concatenate([lane[::-1] if side > 0 else lane])
            free = (lane >= root - 0.05) if inside else (lane <= root + 0.05)
            width = float((np.argmin(free) if not free.all() else len(free)) * self.work.dz)
            beyond = wall if side > 0 else wall[::-1]
            open_ = (beyond >= root - 0.05) if inside else (beyond <= root + 0.05)
            width += float((np.argmin(open_) if not open_.all() else len(open_)) * self.work.dz)
            waste = (edge - self.part.length) if side > 0 else -edge      # it may run out where it is cut off later
            stops_short = max(s.end - edge if side > 0 else edge - s.start, waste) >= 2 * pitch - 1e-6
            if width < pitch - self.work.dz and not stops_short:
                self.fault("thread against a shoulder", f"{s.thread} runs to {edge:.1f} against a shoulder, with no "
                    "relief and no run-out")
            elif not near_side and o.spindle:
                rate = pitch * o.spindle / 60
                width = max(width, s.end - edge if side > 0 else edge - s.start, waste)
                if width / rate < REACT:
                    self.fault("thread against a shoulder", f"{rate:.1f} mm/s into {width:.1f} mm of relief or "
                        "run-out: no hand is as quick")

    def _knurl(self, o: Any) -> None:
        """The teeth rise out of the turned band: as much as half a tooth's pitch, some tenths of a millimetre."""
        s = self._surface(o.surface)
        self._order(o)
        at = self.work.columns(s.start, s.end)
        outer = self.work.outer(at)
        rise = s.diameter / 2 - float(np.median(outer)) if len(outer) else 9.0
        if not -0.05 <= rise <= KNURL_RISES:
            self.fault("knurl", f"the band is Ø{2 * float(np.median(outer)):.2f} for a knurl of Ø{s.diameter:g}")
        rows = self.work.r < s.diameter / 2
        block = self.work.solid[at]
        block |= rows & (self.work.r > np.minimum(outer, s.diameter / 2)[:, None] - self.work.dr)
        self.knurled.add(o.surface)

    def _part_off(self, o: Any) -> None:
        start = float(o.start) if o.start is not None else self.part.length
        width = self._width(o, 2.5)
        at = self.work.columns(start, start + width)
        outer, inner = self.work.outer(at), self.work.inner(at)
        tool = next((t for t in self.shop.tools if t.name == o.tool), None)
        if o.tool and (tool is None or "part off" not in tool.uses):
            self.fault("no such tool", "the shop has no such parting blade")
        if start < self.part.length - 0.01:
            self.fault("tool in solid metal", "the blade cuts into the finished part")
        if not len(outer) or not outer.any():
            self.fault("cut in air", "there is nothing to part off")
            return
        wall = float((outer - np.where(np.isfinite(inner), inner, 0)).max())
        if tool is not None and 0 < value(tool.reach) < wall:
            self.fault("tool in solid metal", f"the blade reaches {value(tool.reach):g} mm and the wall is {wall:.1f}")
        self.work.cut_off(self.work.ends[0], start)
        self.parted = True

    # ---- sequence -----------------------------------------------------------------------------

    def _order(self, o: Any) -> None:
        """Roughing before finishing; grooves, relief and thread before the seat beside them."""
        if o.kind in ("drill", "flat bottom") or o.start is None or o.end is None:
            own = self._surface(o.surface) if o.surface else None
            if own is None:
                return
            low, high = own.start, own.end
        else:
            low, high = float(o.start), float(o.end)

        def over(s: Any, reach: float = -0.2) -> bool:
            return bool(s.start < high + reach and s.end > low - reach)

        outs = [s for s in self.finished if s.kind in OUTSIDES]
        ins = [s for s in self.finished if s.kind not in (*OUTSIDES, "recess")]
        if o.kind in ROUGH_OUT:
            late = [s for s in outs if over(s)] or [s for s in self.finished_here if s.kind in OUTSIDES]
            if late:
                self.fault("roughing after finishing", f"{late[0].name} is finished already")
        if o.kind in ROUGH_IN:
            late = [s for s in ins if over(s)] or [s for s in outs if over(s)]
            if late:
                self.fault("roughing after finishing", f"{late[0].name} is finished, and its inside is roughed "
                    "after it")
        if o.kind in GROOVES:
            beside = [s for s in outs if over(s, 0.6) and s.name != o.surface]
            if beside:
                self.fault("groove after the seat", f"{o.kind} beside {beside[0].name}, which is finished")
        if o.kind == "undercut":
            for start, end, name, inside in self.threaded:
                if not inside and start < high + 0.6 and end > low - 0.6:
                    self.fault("relief after thread", f"the relief of {name} is cut after its thread")
        if o.kind in OUTER and o.kind not in GROOVES:
            for s in outs:
                if over(s) and s.name != o.surface:
                    self.fault("roughing after finishing", f"{s.name} is finished and cut again")
