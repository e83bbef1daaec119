"""The club's drive: its three parts in section, together and one by one, with the sizes that the chapters speak of."""

import itertools
from dataclasses import dataclass, replace

import numpy as np

from ..core import tables
from ..core.quantity import Say, plain
from ..job import part
from ..job.part import Part, Surface
from ..printing.setup_view import hatch, section_of
from ..screen.draw import WIDTH, Drawing
from ..screen.page import Choose, Page

TOGETHER = "all three together"
FILES = {"drive sleeve": "drive_sleeve", "bearing housing": "bearing_housing", "bush": "bush"}
BEARING = "20 × 42"   # the large ball bearing, which joins sleeve and housing


@dataclass(frozen=True)
class Shown:
    """Which parts are drawn."""

    parts: tuple[Part, ...]


def compute(shown: str) -> Shown:
    """The parts to draw, as data/parts has them."""
    return Shown(tuple(part.demo(FILES[name]) for name in ([*FILES] if shown == TOGETHER else [shown])))


def called(s: Surface, say: Say) -> str:
    """A surface as a drawing names it: M18x1, or its diameter with its tolerance class."""
    return s.thread or f"Ø{plain(say.length_number(s.diameter), 4)} {s.code}".strip()


def section(d: Drawing, p: Part, x: float, axis: float, scale: float) -> None:
    """Both halves of a part, hatched by its material, from x on. scale: px for each mm."""
    outsides = sorted((s for s in p.surfaces if s.kind in ("outside", "thread")), key=lambda s: s.start)
    bores = [s for s in p.surfaces if s.kind == "bore"]
    for s in outsides:
        cuts = sorted({s.start, s.end, *(e for b in bores for e in (b.start, b.end) if s.start < e < s.end)})
        for low, high in itertools.pairwise(cuts):
            inner = max((b.diameter for b in bores if b.start <= low and high <= b.end), default=0.0)
            for side in (-1, 1):
                ys = axis + side * scale / 2 * np.array([inner, inner, s.diameter, s.diameter])
                xs = x + scale * np.array([low, high, high, low])
                d.shape(xs, ys, "fill-work")
                hatch(d, xs, ys, section_of(p.material))
        for side in (-1, 1):
            d.line([x + scale * s.start, x + scale * s.end], [axis + side * scale * s.diameter / 2] * 2)
            if s.thread:
                d.line([x + scale * s.start, x + scale * s.end], [axis + side * scale * (s.diameter - 1.2) / 2] * 2,
                    "thin")
    for b in bores:
        for side in (-1, 1):
            d.line([x + scale * b.start, x + scale * b.end], [axis + side * scale * b.diameter / 2] * 2)
        for at in (b.start, b.end):   # the mouths, seen behind the section
            d.line([x + scale * at] * 2, [axis - scale * b.diameter / 2, axis + scale * b.diameter / 2])
    faces = sorted({e for s in p.surfaces for e in (s.start, s.end)})
    for at in faces:
        here = [s.diameter for s in outsides if s.start <= at <= s.end]
        full = any(b.start < at < b.end for b in bores)
        inner = next((b.diameter for b in bores if b.start <= at <= b.end and (full or at in (0.0, p.length))), 0.0)
        ends = [b for b in bores if b.end == at < p.length]
        for side in (-1, 1):
            low = inner if len(here) < 2 else min(here)
            if not ends:
                d.line([x + scale * at] * 2, [axis + side * scale * e / 2 for e in (low, max(here))])
        for b in ends:
            d.line([x + scale * at] * 2, [axis - scale * b.diameter / 2, axis + scale * b.diameter / 2])


def together(d: Drawing, r: Shown, say: Say) -> None:
    sleeve, housing, bush = r.parts
    scale, x, axis = 2.9, 20.0, 158.0
    ball = tables.row("bearing_sizes", name=BEARING)
    outer, width = ball["outside"], ball["width"]
    seat = sleeve.surfaces[0]
    at = seat.end - width
    section(d, housing, x + scale * (at + (width - housing.length) / 2), axis, scale)
    for side in (-1, 1):
        top, low = axis + side * scale * outer / 2, axis + side * scale * seat.diameter / 2
        d.rect(x + scale * at, min(top, low), scale * width, abs(top - low), "paper", "ink")
        d.circle(x + scale * (at + width / 2), (top + low) / 2, 0.27 * abs(top - low))
    section(d, sleeve, x, axis, scale)
    bush_x, bush_axis = x + scale * sleeve.length + 70, axis - 74
    section(d, bush, bush_x, bush_axis, scale)
    d.line([8, x + scale * sleeve.length + 12], [axis, axis], "phantom")
    d.line([bush_x - 12, bush_x + scale * bush.length + 12], [bush_axis, bush_axis], "phantom")
    up = axis - scale * housing.surfaces[0].diameter / 2
    d.text(x + scale * (at + width / 2), up - 12, "bearing housing, aluminium", "middle")
    d.text(x + scale * 52, axis + 46, "drive sleeve, steel")
    d.text(bush_x + scale * bush.length / 2, bush_axis + 44, "bush, bronze", "middle")
    d.arrow(x + 196, axis + 84, x + scale * (at + width / 2) + 6, axis + 50)
    d.text(x + 200, axis + 90, "ball bearing")


def alone(d: Drawing, p: Part, say: Say) -> None:
    scale = min(330 / p.length, 150 / max(s.diameter for s in p.surfaces))
    x, axis = (WIDTH - scale * p.length) / 2, 128.0
    section(d, p, x, axis, scale)
    d.line([x - 14, x + scale * p.length + 14], [axis, axis], "phantom")
    big = scale * max(s.diameter for s in p.surfaces) / 2
    for i, s in enumerate(sorted((s for s in p.surfaces if s.kind != "bore"), key=lambda s: s.start)):
        middle, up = x + scale * (s.start + s.end) / 2, axis - scale * s.diameter / 2
        y = axis - big - 10 - 17 * (i % 2)
        d.line([middle, middle], [y + 3, up], "thin")
        d.text(d.within(middle, called(s, say)), y, called(s, say), "middle")
    for b in (s for s in p.surfaces if s.kind == "bore"):
        deep = f", {say.length(b.end)} deep" if b.end < p.length else ""
        d.arrow(x + 30, axis + big + 12, x + scale * b.end / 2, axis + scale * b.diameter / 2)
        d.text(x, axis + big + 26, f"bore {called(b, say)}{deep}")
    d.dimension(x, axis + big + 36, x + scale * p.length, axis + big + 36, say.length(p.length), 12)


def picture(r: Shown, say: Say) -> str:
    d = Drawing("The drive's parts", words(r, say), WIDTH, 270)
    if len(r.parts) > 1:
        together(d, r, say)
    else:
        alone(d, r.parts[0], say)
    return d.svg()


def words(r: Shown, say: Say) -> str:
    if len(r.parts) > 1:
        return ("The drive sleeve turns in a ball bearing, the housing holds the bearing, and the bush guides the "
            "worm's shaft beside it. All chapters work on these three parts.")
    p = r.parts[0]
    *sizes, last = (called(s, say) for s in p.surfaces)
    return (f"The {p.name} is made of {p.material} and is {say.length(p.length)} long. Its sizes are "
        f"{', '.join(sizes)} and {last}. It {p.says}.")


DRIVE = Page(name="drive", title="The club's drive", inputs=(Choose("shown", (TOGETHER, *FILES), TOGETHER, "view",
    "show"),), compute=compute, picture=picture, words=words)
DRAWING = replace(DRIVE, name="drawing", title="The drawing of the part", inputs=(Choose("shown", tuple(FILES),
    next(iter(FILES)), "view", "show"),))   # one by one, the sleeve first
