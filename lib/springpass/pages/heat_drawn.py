"""The things themselves in the pictures of the heat chapter: the measured part, the cut, the cooling part, the housing.

Each is drawn into the room that a chart leaves above its axes; nothing is computed here but places in the picture.
"""

from __future__ import annotations

import numpy as np

from ..core.quantity import Say, plain
from ..printing.setup_view import hatch, section_of
from ..screen.draw import WIDTH, Drawing, enlarged

MEASURED, PARTED, COOLED, OPENED = 218.0, 156.0, 144.0, 150.0   # px above the chart
WIDEST = 34.0                                                    # px: an arrow of all the heat


def _solid(d: Drawing, x: float, y: float, wide: float, tall: float, kind: str, section: str = "") -> None:
    """A box that hides what is behind it."""
    xs, ys = np.array([x, x + wide, x + wide, x]), np.array([y, y, y + tall, y + tall])
    d.shape(xs, ys, kind, under="paper")
    if section:
        hatch(d, xs, ys, section)
    d.shape(xs, ys, "ink")


def _arrow(d: Drawing, x: float, y: float, to_x: float, to_y: float, wide: float) -> None:
    """A broad arrow, `wide` px across its shaft."""
    long = np.hypot(to_x - x, to_y - y)
    ux, uy = (to_x - x) / long, (to_y - y) / long
    neck, half = long - 12, wide / 2
    along, beside = np.array([(0, -half), (neck, -half), (neck, -half - 5), (long, 0), (neck, half + 5), (neck, half),
        (0, half)]).T
    d.shape(x + along * ux - beside * uy, y + along * uy + beside * ux, "dot-b", "thin")


# ---- the warm part in its chuck, with a micrometer on it, seen from the tailstock

ACROSS, BORE, MOST = 52.0, 0.5, 9.0       # px: radius of the part at 20 °C; its bore as a share; the most it grows
CHUCK, FRAME = 96.0, (80.0, 99.0)         # px: radius of the chuck; of the micrometer's frame, inside and outside


def _arc(x: float, y: float, inner: float, outer: float, start: float, end: float) -> tuple[np.ndarray, np.ndarray]:
    """Corners of a piece of a ring, degrees clockwise from three o'clock."""
    a = np.radians(np.linspace(start, end, 31))
    rings = [(x + r * np.cos(turn), y + r * np.sin(turn)) for r, turn in ((outer, a), (inner, a[::-1]))]
    return np.concatenate([rings[0][0], rings[1][0]]), np.concatenate([rings[0][1], rings[1][1]])


def measured(d: Drawing, size: float, part: float, gauge: float, grown: float, error: float, say: Say) -> None:
    """Chuck, part and micrometer along the spindle axis; the growth of the part drawn larger. mm, °C."""
    x, y, scale = 132.0, 106.0, 2 * ACROSS / size
    times = enlarged(grown / 2, scale, MOST)
    warm = ACROSS + times * scale * grown / 2
    d.circle(x, y, CHUCK, "fill-holder")
    d.circle(x, y, CHUCK, "thin")
    for at in (-90, 30, 150):              # three jaws, behind the part
        a = np.radians(at)
        (ux, uy), wide = (np.cos(a), np.sin(a)), 13.0
        corners = [(f, w) for f, w in ((ACROSS - 4, -wide), (CHUCK - 4, -wide), (CHUCK - 4, wide), (ACROSS - 4, wide))]
        d.shape([x + f * ux - w * uy for f, w in corners], [y + f * uy + w * ux for f, w in corners], "fill-holder",
            "ink", under="paper")
    d.shape(*_arc(x, y, *FRAME, 0, 180), "fill-tool", "ink", under="paper")
    _solid(d, x - FRAME[1], y - 8, FRAME[1] - warm, 16, "fill-tool")                # anvil
    for left, right, half in ((warm, FRAME[1] + 8, 7.0), (FRAME[0] - 4, 150.0, 11.0), (150.0, 228.0, 15.0),
            (228.0, 240.0, 7.0)):                                                   # spindle, sleeve, thimble, ratchet
        _solid(d, x + left, y - half, right - left, 2 * half, "fill-tool")
    for k in range(7):                                                              # the thimble's knurling
        d.line([x + 162 + 9 * k] * 2, [y - 15, y + 15], "faint")
    for radius, kind in ((warm, "paper"), (warm, "fill-work"), (warm, "ink"), (BORE * ACROSS, "paper"),
            (BORE * ACROSS, "ink"), (ACROSS, "limit")):
        d.circle(x, y, radius, kind)
    d.text(x, y + 5, f"{plain(part, 3)} °C", "middle", "halo")
    beside = x + CHUCK + 14
    d.text(beside, y - 46, f"micrometer {plain(gauge, 3)} °C", kind="small halo")
    d.text(WIDTH - 8, y - 24, f"reads {say.length(size + error, 5 if say.inch else 6)}", "end", "bold halo")
    if times:
        d.text(beside, y + 42, f"{'grown' if grown > 0 else 'shrunk'} {say.fine(abs(grown))},", kind="small halo")
        d.text(beside, y + 60, f"exaggerated ×{plain(times, 1)}", kind="small halo")
    d.text(beside, y + 84, "dashed: at 20 °C", kind="small halo")


# ---- the tool in the work, and where the heat goes

EDGE_AT = 205.0, 100.0                    # px: the tool's edge


def parted(d: Drawing, share: float, material: str) -> None:
    """The tool in the work with an arrow for each share of the heat: the broader, the more. Not to scale."""
    (x, y), floor, right = EDGE_AT, 150.0, WIDTH - 8
    into = float(np.clip(share, 0, 1))
    work = np.array([(8, y - 26), (x - 26, y - 26), (x, y), (right, y), (right, floor), (8, floor)])
    d.shape(work[:, 0], work[:, 1], "fill-work")
    hatch(d, work[:, 0], work[:, 1], section_of(material))
    d.line(work[:4, 0], work[:4, 1])
    d.shape([x - 26, x, x + 13, x - 26], [y - 26, y, 8, 8], "fill-work", "ink")                    # chip
    d.shape([x, x + 13, x + 120, x + 120], [y, 8, 8, y - 20], "fill-tool", "ink")                  # tool
    _arrow(d, x - 14, y - 6, x - 14, floor - 6, WIDEST * into)
    _arrow(d, x - 10, y - 18, x - 7, 14, WIDEST * (1 - into))
    percent = round(100 * into)
    d.text(x - 46, floor - 16, f"{percent} % into the work", "end", "small halo")
    d.text(x - 46, 34, "with the chip", "end", "small halo")
    d.text(x - 46, 52, f"and tool {100 - percent} %", "end", "small halo")
    d.text(x + 40, 42, "tool", kind="small halo")
    d.text(right - 6, floor - 16, "work", "end", "small halo")


# ---- the part on the bench or in the chuck, and what takes its heat


def cooled(d: Drawing, diameter: float, length: float, material: str, says: str, gripped: bool, flooded: bool,
        draught: float) -> None:
    """The warm part from the side, lying or gripped, with arrows where the heat goes. mm, m/s."""
    scale = min(230 / length, 54 / diameter)
    long, half, left, axis = max(scale * length, 24.0), max(scale * diameter / 2, 4.0), 132.0, 76.0
    if gripped:
        _solid(d, 24, axis - half - 22, 54, 2 * half + 44, "fill-holder", "holder")
        for side in (-1, 1):
            _solid(d, 78, axis + side * half - (18 if side < 0 else 0), 74, 18, "fill-holder")
    else:
        top, right = axis + half, WIDTH - 8
        hatch(d, np.array([8, right, right, 8]), np.array([top, top, top + 12, top + 12]), "holder")   # the bench
        d.line([8, right], [top, top])
    start = 86.0 if gripped else left
    _solid(d, start, axis - half, long + left - start, 2 * half, "fill-work")
    d.line([start - 10, left + long + 14], [axis, axis], "phantom")
    if gripped:
        _arrow(d, left + 16, axis, 34, axis, min(1.2 * half, WIDEST))
        d.text(16, 18, "most into the chuck", kind="small halo")
    around = "coolant" if flooded else f"draught {plain(draught, 2)} m/s" if draught > 0 else "still air"
    d.text(WIDTH - 8, 18, around, "end", "small halo")
    for at in (0.3, 0.55, 0.8):
        x = left + at * long
        if flooded:
            d.arrow(x + 8, 24, x, axis - half - 2)
        else:
            d.arrow(x, axis - half - 3, x + (30 if draught > 0 else 0), axis - half - (12 if draught > 0 else 18))
    d.text(WIDTH / 2, axis + half + 30, says, "middle", "halo")


# ---- the bearing over its housing


def opened(d: Drawing, material: str, bore: float, play: float, bearing: str, housing: str, say: Say) -> None:
    """Housing and bearing in section, the gap between them drawn larger; a bearing that is too large stands on top."""
    x, top, floor, reach = 150.0, 62.0, 132.0, 66.0
    times = enlarged(play / 2, 2 * reach / bore, 8.0)
    gap = times * (2 * reach / bore) * play / 2
    for side in (-1, 1):
        near, far = x + side * reach, x + side * (reach + 60)
        xs = np.array([near, far, far, near - side * 14, near - side * 14, near])
        ys = np.array([top, top, floor, floor, floor - 14, floor - 14])
        d.shape(xs, ys, "fill-work")
        hatch(d, xs, ys, section_of(material))
        d.shape(xs, ys, "ink")
    for at, far in ((top, reach), (floor - 14, reach), (floor - 14, reach - 14)):   # edges of the bore behind
        d.line([x - far, x + far], [at, at])
    half, low = reach - gap, top + 20 if play > 0 else top      # the bearing, half in or on top
    d.rect(x - half, low - 40, 2 * half, 40, "paper")
    for side in (-1, 1):
        edge = x + side * half
        for inner, outer in ((0.0, 11.0), (25.0, 36.0)):
            _solid(d, min(edge - side * inner, edge - side * outer), low - 40, 11, 40, "fill-holder")
        d.circle(edge - side * 18, low - 20, 8, "ink")
    for at in (low - 40, low):
        d.line([x - half + 36, x + half - 36], [at, at])
    d.line([x, x], [4, floor + 8], "phantom")
    d.arrow(x - 12, low - 34, x - 12, low - 8)
    beside = x + reach + 74
    d.text(beside, 30, bearing, kind="small halo")
    d.text(beside, 78, housing, kind="small halo")
    d.text(beside, 98, f"{say.fine(abs(play))} {'loose' if play > 0 else 'tight'}", kind="bold halo")
    if times:
        d.text(beside, 118, f"exaggerated ×{plain(times, 1)}", kind="small halo")
