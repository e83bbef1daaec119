"""A page of the workholding chapter: the ways to hold a ring, side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .. import cutting
from .. import workholding as wh
from ..core.quantity import Say, plain
from ..core.spread import Likely, likely, sample
from ..screen.draw import WIDTH, Drawing, breadth
from ..screen.page import Page
from .workholding import CUT, GRIPS, WORK, cut_forces, fine, lobes_said, material_facts, newton

EVEN = ("collet of the right size", "clamped on its faces")


@dataclass(frozen=True)
class Ways:
    tolerance: float
    names: tuple[str, ...]
    lobes: tuple[Likely, ...]  # on radius, of each way
    larger: tuple[Likely, ...]  # of the bore's diameter once let go, even all round
    total: Likely  # push of all jaws together
    clamp: Likely  # axial force on the faces
    mandrel: Likely  # growth of the outside on an expanding mandrel with the same grip
    crushed: tuple[str, ...]  # ways that would more likely than not bend the wall for good


def compute_ways(
    material: str, bore: float, wall: float, width: float, tolerance: float, depth: float, feed: float
) -> Ways:
    """What each way of holding does to a ring that is gripped just hard enough for this cut.

    Lengths mm, tolerance of roundness on radius; the ranges come from 2000 samples. Raises Refused where the ring
    cannot be.
    """
    outside = bore + 2 * wall
    row, stiff, nu = material_facts(material)
    chip, feed_force = cut_forces(row, depth, feed)
    drawn = sample(force=cutting.force_beside_table(row["cutting"]).range, modulus=stiff,
        **wh.drive_ranges(family=row["family"]))
    force, modulus, friction, safety = (drawn[k] for k in ("force", "modulus", "friction", "safety"))
    total = wh.grip_needed(chip * force, feed_force * force, bore, outside, friction, safety)
    lobes, larger, crushed = [], [], []
    for kind in GRIPS:
        jaws, pads = wh.jaws(kind)
        if np.median(total) / jaws > wh.yield_load(row["value"], outside, bore, width, jaws, pads.value):
            crushed.append(kind)
        one = wh.ring_lobing(outside, bore, width, 1.0 / jaws, jaws, 1.0, nu, pads.value)  # for 1 N in all, E = 1
        lobes.append(likely(one.peak_to_valley * total / modulus))
        larger.append(likely(-2 * one.mean * total / modulus))
    nothing = Likely(0.0, 0.0, 0.0)
    even = wh.collet_closing(wh.cylinder_pressure(total, outside, width), bore, outside, modulus)
    clamp = wh.face_clamp_needed(chip * force, bore, float(np.mean([outside, bore])) / 2, friction, safety)
    lobes += [nothing, nothing]
    # bored while swollen, the bore shrinks when the faces are let go
    larger += [likely(-even), likely(-wh.face_clamp_growth(clamp, bore, outside, modulus, nu))]
    within = wh.cylinder_pressure(wh.grip_needed(chip * force, feed_force * force, outside, bore, friction, safety),
        bore, width)
    return Ways(tolerance, GRIPS + EVEN, tuple(lobes), tuple(larger), likely(total), likely(clamp),
        likely(wh.mandrel_growth(within, bore, outside, modulus)), tuple(crushed))


def words_ways(r: Ways, say: Say) -> str:
    known = dict(zip(r.names, r.lobes, strict=True))
    even = dict(zip(r.names, r.larger, strict=True))
    bad = [name for name in r.names if known[name].high > r.tolerance]
    good = [name for name in r.names if name not in bad]
    within = f"keep the bore round within {say.fine(r.tolerance)}"
    judged = (f"All of these ways {within}" if not bad else f"All but {_list(bad)} {within}" if len(bad) <= len(good)
        else f"Only {_list(good)} {within}")
    crush = f" In {_list(r.crushed)} even that bends the wall for good." if r.crushed else ""
    three, six, pie = (lobes_said(known[name], say, k == 0)
        for k, name in enumerate(("three jaws", "six jaws", "three pie jaws")))
    return (f"{judged} on radius. Gripped just hard enough for this cut, three jaws leave it {three} out of round, six "
        f"jaws {six}, three pie jaws {pie}.{crush}\n"
        f"A collet squeezes evenly: the bore comes out {lobes_said(even[EVEN[0]], say, False)} larger, but round, and "
        f"size can be dialled out. Clamped on its faces with {newton(r.clamp.low, r.clamp.high)} it comes out "
        f"{fine(even[EVEN[1]].value, say)} smaller.")


def _list(names: Sequence[str]) -> str:
    return ", ".join(names[:-1]) + (" and " if len(names) > 1 else "") + names[-1]


def picture_ways(r: Ways, say: Say) -> str:
    d = Drawing("Ways to hold a ring, and what each does to the bore", words_ways(r, say), WIDTH,
        82 + 38 * len(r.names))
    values = np.array(
        [v for way in (*r.lobes, *r.larger) for v in (abs(way.low), abs(way.high)) if v != 0] + [r.tolerance])
    low = 10 ** np.floor(np.log10(max(values.min(), 1e-6)))
    high = 10 ** np.ceil(np.log10(values.max() * 1.01))
    left, right = 58.0, WIDTH - 20.0   # the ring in its jaws stands beside each row
    bottom = 22.0 + 38 * len(r.names)

    def at(value: float) -> float:
        return left + float(np.clip(np.log10(max(abs(value), 1e-12) / low) / np.log10(high / low), 0, 1)) * (
            right - left)

    shown = np.log10(say.fine_number(np.array([low, high])))   # powers of ten in the unit that is shown
    powers = np.arange(np.ceil(shown[0] - 1e-9), shown[1] + 1e-9)
    ticks, labels = low * 10.0 ** (powers - shown[0]), [plain(float(10.0**p), 2) for p in powers]
    every = 1 if max(map(breadth, labels)) + 6 < (right - left) / max(len(ticks) - 1, 1) else 2
    for k, (tick, label) in enumerate(zip(ticks, labels, strict=True)):
        d.line([at(tick)] * 2, [22, bottom], "faint")
        if k % every == 0:
            d.text(d.within(at(tick), label), bottom + 16, label, "middle", "small")
    d.line([at(r.tolerance)] * 2, [22, bottom], "limit")
    near = at(r.tolerance)
    d.text(near + (4 if near < WIDTH * 0.6 else -4), 14, "roundness allowed", "start" if near < WIDTH * 0.6 else "end",
        "small halo")
    for i, (name, lobes, even) in enumerate(zip(r.names, r.lobes, r.larger, strict=True)):
        y = 38.0 + 38 * i
        _glyph(d, 28.0, y + 8, name)
        d.text(left, y, name, kind="small halo")
        if lobes.value > 0:
            d.rect(at(lobes.low), y + 4, max(at(lobes.high) - at(lobes.low), 3), 8, "dot-a")
        d.rect(at(even.low if even.value > 0 else even.high), y + 14, max(abs(at(even.high) - at(even.low)), 3), 6,
            "fill-b", "thin")
    d.text(WIDTH / 2, bottom + 36, f"solid: out of round on radius, {say.fine_unit}", "middle", "small halo")
    d.text(WIDTH / 2, bottom + 52, f"pale: even change of the bore's size, {say.fine_unit}", "middle", "small halo")
    return d.svg()


SIZE, HOLE = 11.0, 6.5   # radii of a small ring beside a row, px


def _glyph(d: Drawing, x: float, y: float, name: str) -> None:
    """The ring as it is held: its jaws round it, a collet's segments, or a clamp on its face."""
    d.circle(x, y, SIZE, "fill-work")
    d.circle(x, y, SIZE, "thin")
    d.circle(x, y, HOLE, "paper")
    d.circle(x, y, HOLE, "thin")
    if name == EVEN[1]:   # seen from the side: a plate on either face
        for side in (-1, 1):
            d.rect(x + side * (SIZE + 3) - 2, y - SIZE, 4, 2 * SIZE, "fill-holder", "thin")
        return
    jaws, half = (6, 28.0) if name == EVEN[0] else (wh.jaws(name)[0], wh.jaws(name)[1].value)
    for k in range(jaws):
        a = np.radians(360 * k / jaws - 90 + np.linspace(-half, half, 7))
        d.shape(x + np.concatenate([(SIZE + 1) * np.cos(a), (SIZE + 5) * np.cos(a[::-1])]),
            y + np.concatenate([(SIZE + 1) * np.sin(a), (SIZE + 5) * np.sin(a[::-1])]), "fill-holder", "thin")


def more_ways(r: Ways, say: Say) -> str:
    rows = "".join(f"<tr><td>{name}</td><td>{lobes_said(lobes, say) if lobes.value else 'none'}</td>"
        f"<td>{_signed(even, say)}</td></tr>" for name, lobes, even in zip(r.names, r.lobes, r.larger, strict=True))
    return (f"<p>This cut takes {newton(r.total.low, r.total.high)} from all jaws together (90 % range).</p>"
        "<table><tr><th>way</th><th>out of round, on radius</th><th>bore when released</th></tr>" + rows + "</table>"
        f"<p>Turned on an expanding mandrel with the same grip, the outside swells evenly by "
        f"{lobes_said(r.mandrel, say)} and comes out that much smaller.</p>")


def _signed(even: Likely, say: Say) -> str:
    turned = even if even.value >= 0 else Likely(-even.value, -even.high, -even.low)
    return f"{lobes_said(turned, say)} {'larger' if even.value >= 0 else 'smaller'}"


WAYS = Page(name="ways_to_hold", title="Which way of holding leaves the bore round?", inputs=(*WORK, *CUT),
    compute=compute_ways, picture=picture_ways, words=words_ways, more=more_ways)
