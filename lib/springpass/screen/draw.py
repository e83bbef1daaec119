"""Numbers in, SVG out. No physics here.

A picture is text: it is sharp on a phone, prints, and a screen reader reads its
title and description. Nothing is told by colour alone: every line and the edge of
every band has its own dashes, and its own label.

A picture carries classes, not colours. How they look stands in `picture.css`, which each document that shows pictures
has once (`STYLE`); a viewer that draws a picture alone shows a plain line drawing. Each element has a line to itself,
so that a comparison of two versions of a stored picture shows what moved.

    chart = Chart("Size error", "It grows with the cube of the stickout.",
                  x=("stickout", "mm", 10, 80), y=("error", "µm", 0, 30))
    chart.band(xs, lows, highs, "a")
    chart.curve(xs, ys, "middle")
    chart.mark(40, 7.2, "here")
    return chart.svg()
"""

from __future__ import annotations

import json
import re
import textwrap
from collections.abc import Collection
from html import escape, unescape
from pathlib import Path
from typing import Any

import numpy as np

from ..core.quantity import plain

WIDTH = 460   # px of the drawing's own; pages scale it, so text keeps readable at 350 px
STYLE = Path(__file__).with_name("picture.css").read_text(encoding="utf-8")   # put once into each document

# Without the style sheet a picture is a line drawing, black on white, by these attributes; the style sheet beats them.
ROOT = 'fill="none" stroke="#000" font-family="system-ui,sans-serif" font-size="13"'
WRITTEN = 'fill="#000" stroke="none"'
HALOED = 'fill="#000" stroke="#fff" stroke-width="3" paint-order="stroke"'   # readable over lines
PLAIN = {"paper": 'fill="#fff" stroke="none"', "head": 'fill="#000"', "faint": 'stroke-opacity=".2"',
    "none": 'stroke="none"', "section": 'stroke-width=".6"', "broken": 'stroke-width=".6" stroke-dasharray="4 2.5"',
    "gone": 'stroke-width=".9"', "phantom": 'stroke-width=".8" stroke-dasharray="9 3 2 3"',
    "fill-gone": 'fill="#000" fill-opacity=".06" stroke="none"',
    **{f"fill-{kind}": 'fill="#000" fill-opacity=".1" stroke="none"' for kind in ("work", "tool", "holder")},
    **{f"dot-{kind}": 'fill="#000" stroke="#fff"' for kind in "abcd"}}
for _kind, _dashes in {"a": "", "b": "9 4", "c": "2.5 3.5", "d": "11 3 2.5 3", "limit": "6 4"}.items():
    PLAIN[_kind] = f'stroke-dasharray="{_dashes}"' if _dashes else 'stroke-width="2"'
    PLAIN[f"fill-{_kind}"] = f'fill="#000" fill-opacity=".1" {PLAIN[_kind] if _dashes else ""}'.rstrip()


_NUMBER = re.compile(r"(?<![\w.,])[−+±-]?\d+(?:[.,]\d+)*")


def _n(value: float) -> str:
    """A coordinate to a tenth of a pixel, so that stored pictures agree between machines: what lies half way between
    two tenths, to within the last bit of a sum, goes up on each of them."""
    text = f"{value + 1e-6:.1f}"
    if text.endswith(".0"):
        text = text[:-2]
    return "0" if text == "-0" else text


def _as(kind: str) -> str:
    """The attributes of a shape of that kind: its class, and how it looks without the style sheet."""
    return f'class="{kind}" {PLAIN[kind]}' if kind in PLAIN else f'class="{kind}"'


def _points(xs: Any, ys: Any) -> str:
    return " ".join(f"{_n(x)},{_n(y)}" for x,
        y in zip(np.atleast_1d(xs).tolist(), np.atleast_1d(ys).tolist(), strict=True))


_SLIM, _WIDE = set("ijlI.,:;'|!() ftr-/[]°·"), set("mwMW%@+=<>×±−≈–—…●◐◆◀▸◂Ø")


def breadth(words: str, size: float = 15.0) -> float:
    """px that a line of text takes at most, near enough: by default small letters at a phone's size in a wide typeface.
    """
    return size * sum(map(_ems, words))


def _ems(letter: str) -> float:
    """How broad a letter is at most in a wide typeface, as a share of its size."""
    for share, kind in ((0.38, letter in _SLIM), (0.88, letter in _WIDE), (0.69, letter.isupper()),
            (0.64, letter.isdigit())):
        if kind:
            return share
    return 0.62


class Drawing:
    """A picture in pixels; x to the right, y down. `kind` names a line or fill of picture.css."""

    def __init__(self, title: str, desc: str = "", width: float = WIDTH, height: float = 300) -> None:
        self.title, self.desc, self.width, self.height = title, desc, width, height
        self.parts: list[str] = []

    def line(self, xs: Any, ys: Any, kind: str = "ink") -> None:
        """An open line through the points."""
        self.parts.append(f'<polyline {_as(kind)} points="{_points(xs, ys)}"/>')

    def shape(self, xs: Any, ys: Any, kind: str = "fill-work", outline: str = "", hatch: float = 0,
            under: str = "") -> None:
        """A closed shape; `hatch` is the distance between 45° section lines, 0 for none; `under` is filled first."""
        corners = _points(xs, ys)
        if under:
            self.parts.append(f'<polygon {_as(under)} points="{corners}"/>')
        self.parts.append(f'<polygon {_as(kind)} points="{corners}"/>')
        if hatch:
            self.hatch(xs, ys, hatch)
        if outline:
            self.parts.append(f'<polygon {_as(outline)} points="{corners}"/>')

    def rect(self, x: float, y: float, width: float, height: float, kind: str = "fill-work", outline: str = "",
            hatch: float = 0) -> None:
        """A rectangle from its upper left corner."""
        self.shape([x, x + width, x + width, x], [y, y, y + height, y + height], kind, outline, hatch)

    def circle(self, x: float, y: float, radius: float, kind: str = "ink") -> None:
        self.parts.append(f'<circle {_as(kind)} cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}"/>')

    def hatch(self, xs: Any, ys: Any, gap: float = 8, lean: int = 1, kind: str = "faint", shift: float = 0.0) -> None:
        """Section lines at 45° inside a closed shape, rising to the right, or falling with lean −1; moved by `shift`.
        """
        x, y = lean * np.asarray(xs, float), np.asarray(ys, float)
        s = x + y
        x2, s2 = np.roll(x, -1), np.roll(s, -1)
        levels = np.arange(np.ceil((s.min() - shift) / gap) * gap + shift, s.max(), gap)
        row, edge = np.nonzero((s > levels[:, None]) != (s2 > levels[:, None]))
        level = levels[row]
        at = x[edge] + (level - s[edge]) / (s2[edge] - s[edge]) * (x2[edge] - x[edge])
        at = at[np.lexsort((at, row))]
        ends = [f"{_n(a)},{_n(b)}" for a, b in zip((lean * at).tolist(), (level - at).tolist(), strict=True)]
        if ends:
            cuts = "".join(f"M{a}L{b}" for a, b in zip(ends[::2], ends[1::2], strict=True))
            self.parts.append(f'<path {_as(kind)} d="{cuts}"/>')

    def text(self, x: float, y: float, words: str, anchor: str = "start", kind: str = "halo", turn: float = 0) -> None:
        """One line of text; anchor start, middle or end; kind adds "small", "bold", "halo" (readable over lines)."""
        look = HALOED if "halo" in kind.split() else WRITTEN
        placed = "" if anchor == "start" else f' text-anchor="{anchor}"'
        turned = f' transform="rotate({_n(turn)} {_n(x)} {_n(y)})"' if turn else ""
        self.parts.append(f'<text class="{kind}" {look} x="{_n(x)}" y="{_n(y)}"{placed}{turned}>{escape(words)}</text>')

    def within(self, x: float, words: str, size: float = 15.0) -> float:
        """x, moved so far that words centred there stay in the picture."""
        half = breadth(words, size) / 2 + 1
        return max(half, min(x, self.width - half))

    def arrow(self, x: float, y: float, to_x: float, to_y: float, kind: str = "thin", size: float = 7) -> None:
        """A line with a head at its end."""
        length = np.hypot(to_x - x, to_y - y)
        if length < 1e-6:
            return
        ux, uy = (to_x - x) / length, (to_y - y) / length
        base_x, base_y = to_x - size * ux, to_y - size * uy
        self.line([x, base_x], [y, base_y], kind)
        self.shape([to_x, base_x - 0.38 * size * uy, base_x + 0.38 * size * uy],
            [to_y, base_y + 0.38 * size * ux, base_y - 0.38 * size * ux], "head")

    def dimension(self, x: float, y: float, to_x: float, to_y: float, words: str, offset: float = 0) -> None:
        """A dimension line between two points, moved sideways by `offset` with its extension lines, words on it."""
        length = np.hypot(to_x - x, to_y - y)
        if length < 1e-6:
            return
        ux, uy = (to_x - x) / length, (to_y - y) / length
        ox, oy = -uy * offset, ux * offset
        if offset:
            over = 4 * np.sign(offset)
            for px, py in ((x, y), (to_x, to_y)):
                self.line([px, px + ox - uy * over], [py, py + oy + ux * over], "thin")
        ax, ay, bx, by = x + ox, y + oy, to_x + ox, to_y + oy
        middle_x, middle_y = (ax + bx) / 2, (ay + by) / 2
        if length > 18:
            self.arrow(middle_x, middle_y, ax, ay)
            self.arrow(middle_x, middle_y, bx, by)
        else:  # too short for heads inside
            self.arrow(ax - 14 * ux, ay - 14 * uy, ax, ay)
            self.arrow(bx + 14 * ux, by + 14 * uy, bx, by)
        if abs(uy) > 0.7:
            self.text(middle_x + 6, middle_y + 5, words)
        else:
            self.text(middle_x, middle_y - 5, words, "middle")

    def handle(self, name: str, x: float, y: float, per: float = 0.0, axis: str = "x", ratio: bool = False,
            stops: dict[str, float] | None = None) -> None:
        """A place where the page lets the reader take hold of the picture, to move the input `name` of the page.

        per: how much the input changes, in the metric unit the page shows, for one px to the right (axis "x") or down
        ("y"); with `ratio` the logarithm of how many times it grows. stops: for a choice, where each option lies, px.
        """
        more = " data-ratio=''" if ratio else ""
        if stops is not None:
            more += f' data-stops="{escape(json.dumps({key: round(at, 1) for key, at in stops.items()}))}"'
        self.parts.append(f'<circle data-handle="{escape(name)}" data-axis="{axis}" data-per="{per:.6g}"{more} '
            f'cx="{_n(x)}" cy="{_n(y)}" r="1" stroke="none"/>')

    def dot(self, x: float, y: float, kind: str = "a", shape: str = "circle", size: float = 6) -> None:
        """A mark: circle, square, diamond or cross."""
        if shape == "circle":
            self.circle(x, y, size, f"dot-{kind}")
        elif shape == "square":
            self.rect(x - size, y - size, 2 * size, 2 * size, f"dot-{kind}")
        elif shape == "diamond":
            self.shape([x, x + 1.3 * size, x, x - 1.3 * size], [y - 1.3 * size, y, y + 1.3 * size, y], f"dot-{kind}")
        else:
            self.line([x - size, x + size], [y - size, y + size], kind)
            self.line([x - size, x + size], [y + size, y - size], kind)

    def inset(self, other: Drawing, x: float, y: float) -> None:
        """Another drawing inside this one, cut off at its own edge."""
        self.parts += [
            f'<svg x="{_n(x)}" y="{_n(y)}" width="{_n(other.width)}" height="{_n(other.height)}" overflow="hidden">',
            *other.parts, "</svg>"]

    def spoken(self) -> str:
        """The description, and what is written in the picture with a number that it does not say.

        Who hears the description does not hear the letters in the picture. Numbers along an axis are left out.
        """
        said = set(_NUMBER.findall(self.desc))
        written: dict[str, None] = {}
        for kind, text in re.findall(r'<text class="([^"]*)"[^>]*>([^<]*)</text>', "".join(self.parts)):
            label = " ".join(unescape(text).split())
            if set(_NUMBER.findall(label)) - said and not (kind == "small" and _NUMBER.fullmatch(label)):
                written[label] = None
        return f"{self.desc} Written in the picture: {'; '.join(written)}.".strip() if written else self.desc

    def svg(self) -> str:
        """The whole picture as text, an element a line."""
        wide, high = _n(self.width), _n(self.height)
        return "\n".join([
            f'<svg xmlns="http://www.w3.org/2000/svg" class="sp" role="img" viewBox="0 0 {wide} {high}" width="100%" '
            f"{ROOT}>", f"<title>{escape(self.title)}</title>", f"<desc>{escape(self.spoken())}</desc>",
            f'<rect {_as("paper")} width="{wide}" height="{high}"/>', *self.parts, "</svg>"])


def nice_ticks(low: float, high: float, about: int = 5, width: float = 0.0) -> np.ndarray:
    """Round numbers from low to high, some `about` of them: steps of 1, 2, 2.5 or 5 times a power of ten.

    Fewer where, written side by side along `width` px, they would touch.
    """
    if not (np.isfinite(low) and np.isfinite(high)) or high <= low:
        return np.array([low])
    about = min(about, 100)
    while width and about > 1:
        ticks = nice_ticks(low, high, about)
        # the numbers at the ends may be pushed inwards by half
        if (len(ticks) < 2
                or 1.12 * max(breadth(plain(x, 4)) for x in ticks) + 4 < (ticks[1] - ticks[0]) / (high - low) * width):
            return ticks
        about -= 1
    raw = (high - low) / about
    base = 10 ** np.floor(np.log10(raw))
    step = base * min((1, 2, 2.5, 5, 10), key=lambda m: abs(m * base - raw))
    return np.arange(np.ceil(low / step - 1e-9), np.floor(high / step + 1e-9) + 1) * step


def log_ticks(low: float, high: float) -> np.ndarray:
    """1, 2, 5 times powers of ten from low to high."""
    decades = np.arange(np.floor(np.log10(low)), np.ceil(np.log10(high)) + 1)
    ticks = (10.0 ** decades[:, None] * np.array([1, 2, 5])).ravel()
    ticks = ticks[(ticks >= low * 0.999) & (ticks <= high * 1.001)]
    return ticks if len(ticks) <= 8 else ticks[np.isclose(np.log10(ticks) % 1, 0)]


def room(*values: Any, floor: float | None = None, margin: float = 0.08) -> tuple[float, float]:
    """Lower and upper end of an axis that shows all the finite values with a little room."""
    flat = np.concatenate([np.atleast_1d(np.asarray(v, float)).ravel() for v in values])
    flat = flat[np.isfinite(flat)]
    if not len(flat):
        return 0.0, 1.0
    low, high = float(flat.min()), float(flat.max())
    extra = (high - low or abs(high) or 1.0) * margin
    return (low - extra if floor is None else min(floor, low)), high + extra


def enlarged(moved: float, scale: float, most: float) -> float:
    """The largest of 1, 2, 5, 10, 20 … times at which a movement, mm, drawn at `scale` px for each mm, stays under
    `most` px; 0 where nothing moves.
    """
    if abs(moved) * scale < 1e-9:
        return 0.0
    raw = most / (abs(moved) * scale)
    base = 10.0 ** np.floor(np.log10(raw))
    return float(base * max(step for step in (1, 2, 5) if step * base <= raw * (1 + 1e-9)))


class Chart(Drawing):
    """A drawing with axes. x and y are (label, unit, low, high); lines and bands come in data units.

    above: height left free over the axes, px, for a sketch. counted: x counts things; only whole numbers stand there.
    """

    def __init__(self, title: str, desc: str = "", *, x: tuple[str, str, float, float],
            y: tuple[str, str, float, float], log_x: bool = False, log_y: bool = False, width: float = WIDTH,
            height: float = 290, above: float = 0.0, counted: bool = False) -> None:
        super().__init__(title, desc, width, height)
        self.counted = counted
        self.x_axis, self.y_axis, self.log_x, self.log_y = x, y, log_x, log_y
        self.left, self.top, self.right, self.bottom = 54.0, 30.0 + above, width - 16.0, height - 46.0
        # long numbers up the side push the frame to the right
        self.left = max(self.left, np.ceil(7 + max(breadth(plain(v, 4)) for v in self._ticks(y, log_y))))
        self._plot = Drawing("", "", self.right - self.left, self.bottom - self.top)
        self._over: list[tuple[float, float, str, str]] = []
        self._taken: list[tuple[float, float, float]] = []   # from, to, baseline: where words stand in the plot
        self._levels: list[float] = []                       # lines straight across, which would strike words out
        self._axes()
        self._under, self.parts = self.parts, []

    def at_x(self, x: Any) -> Any:
        """Pixels across for a value on the x axis."""
        return self.left + _share(x, self.x_axis[2], self.x_axis[3], self.log_x) * (self.right - self.left)

    def at_y(self, y: Any) -> Any:
        """Pixels down for a value on the y axis."""
        return self.bottom - _share(y, self.y_axis[2], self.y_axis[3], self.log_y) * (self.bottom - self.top)

    @staticmethod
    def _ticks(axis: tuple[str, str, float, float], log: bool, width: float = 0.0) -> np.ndarray:
        return log_ticks(*axis[2:]) if log else nice_ticks(*axis[2:], width=width)

    def _axes(self) -> None:
        across = self._ticks(self.x_axis, self.log_x, self.right - self.left)
        for x in across[np.isclose(across % 1, 0)] if self.counted else across:
            self.line([self.at_x(x)] * 2, [self.top, self.bottom], "faint")
            self.text(self.within(self.at_x(x), plain(x, 4)), self.bottom + 17, plain(x, 4), "middle", "small")
        for y in self._ticks(self.y_axis, self.log_y):
            self.line([self.left, self.right], [self.at_y(y)] * 2, "faint")
            self.text(self.left - 6, self.at_y(y) + 4.5, plain(y, 4), "end", "small")
        self.line([self.left, self.left, self.right], [self.top, self.bottom, self.bottom], "ink")
        (x_name, x_unit, *_), (y_name, y_unit, *_) = self.x_axis, self.y_axis
        self.text(self.right, self.bottom + 37, f"{x_name}, {x_unit}" if x_unit else x_name, "end")
        self.text(6, self.top - 13, f"{y_name}, {y_unit}" if y_unit else y_name)

    def _local(self, xs: Any, ys: Any) -> tuple[np.ndarray, np.ndarray]:
        with np.errstate(all="ignore"):
            x = np.asarray(self.at_x(np.asarray(xs, float)), float) - self.left
            y = np.asarray(self.at_y(np.asarray(ys, float)), float) - self.top
        limit = 20 * self.width
        return np.clip(x, -limit, limit), np.clip(y, -limit, limit)

    def curve(self, xs: Any, ys: Any, label: str = "", kind: str = "a") -> None:
        """A line through data points; broken where a value is not finite; its label stands at its end."""
        x, y = self._local(xs, ys)
        good = np.isfinite(x) & np.isfinite(y)
        for run in np.split(np.arange(len(x)), np.flatnonzero(np.diff(good.astype(int))) + 1):
            if len(run) and good[run[0]]:
                self._plot.line(x[run], y[run], kind)
        if label:
            seen = np.flatnonzero(good & (x >= 0) & (x <= self._plot.width) & (y >= 0) & (y <= self._plot.height))
            if len(seen):
                self._over.append((float(x[seen[-1]]), float(y[seen[-1]]), label, kind))

    def band(self, xs: Any, lows: Any, highs: Any, kind: str = "a") -> None:
        """A shaded range between two lines of data points."""
        x, low = self._local(xs, lows)
        _, high = self._local(xs, highs)
        good = np.isfinite(x) & np.isfinite(low) & np.isfinite(high)
        if good.sum() > 1:
            self._plot.shape(np.concatenate([x[good], x[good][::-1]]), np.concatenate([low[good], high[good][::-1]]),
                f"fill-{kind}")

    def level(self, y: float, label: str = "", kind: str = "limit") -> None:
        """A line straight across at one value, named at its right."""
        at = float(self.at_y(y)) - self.top
        if 0 <= at <= self._plot.height:
            self._plot.line([0, self._plot.width], [at, at], kind)
            if kind != "faint":
                self._levels.append(at)
            if label:
                self._over.append((self._plot.width, at, label, kind))

    def upright(self, x: float, label: str = "", kind: str = "limit", low: bool = False) -> None:
        """A line straight up at one value, named at its top, or at its foot where `low`."""
        at = float(self.at_x(x)) - self.left
        if 0 <= at <= self._plot.width:
            self._plot.line([at, at], [0, self._plot.height], kind)
            if label:
                right, wide = at < self._plot.width * 0.6, breadth(label)
                left = at + 5 if right else at - 5 - wide
                down, step = (self._plot.height - 7, -17) if low else (14.0, 17)
                while not self._free(left, wide, down) and 14 <= down + step <= self._plot.height - 4:
                    down += step
                self._taken.append((left, left + wide, down))
                self._plot.text(at + (5 if right else -5), down, label, "start" if right else "end", "small halo")

    def _free(self, left: float, wide: float, down: float, levels: bool = True) -> bool:
        """No words stand yet where these would, and, if `levels`, no line straight across strikes them out."""
        return (all(abs(down - d) >= 15 or left + wide < l0 or left > l1 for l0, l1, d in self._taken)
            and not (levels and any(down - 11 < at < down + 2 for at in self._levels)))

    def note(self, x: float, y: float, words: str, anchor: str = "middle") -> None:
        """Words at a data point."""
        px, py = (float(v) for v in self._local(x, y))
        left = px - breadth(words) * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
        self._taken.append((left, left + breadth(words), py))
        self.text(self.left + px, self.top + py, words, anchor, "small halo")

    def legend(self, names: dict[str, str], right: bool = True, low: bool = False) -> None:
        """A key in a corner of the plot: {name: kind of line}, for lines that run too close for labels at their ends.
        """
        wide = 7.0 * max(map(len, names)) + 44
        x = self.right - wide if right else self.left + 10
        y = self.bottom - 20 * len(names) - 2 if low else self.top + 4
        for i, (name, kind) in enumerate(names.items()):
            super().line([x, x + 32], [y + 10 + 20 * i] * 2, kind)
            self._taken.append((x - self.left, self._plot.width, y + 14.5 + 20 * i - self.top))
            self.text(x + 38, y + 14.5 + 20 * i, name, kind="small halo")

    def mark(self, x: float, y: float, label: str = "", kind: str = "a", shape: str = "circle") -> None:
        """A dot at a data point, held at the frame's edge when it lies outside, with its label."""
        px, py = (float(v) for v in self._local(x, y))
        px, py = min(max(px, 0), self._plot.width), min(max(py, 0), self._plot.height)
        super().dot(self.left + px, self.top + py, kind, shape)
        if label:
            right = px < self._plot.width * 0.6
            self._over.append((px + (11 if right else -11), py + 11, label, "" if right else "end"))

    def grip(self, name: str, x: float, factor: float = 1.0) -> None:
        """A handle just above the x axis at a value, for the input `name`: `factor` times what the axis shows."""
        low, high = self.x_axis[2:]
        wide = self.right - self.left
        per = np.log(high / low) / wide if self.log_x else factor * (high - low) / wide
        self.handle(name, float(np.clip(self.at_x(x), self.left, self.right)), self.bottom - 12, float(per),
            ratio=self.log_x)

    def side_grip(self, name: str, y: float, factor: float = 1.0) -> None:
        """A handle beside the y axis at a value, as `grip` is above the x axis."""
        low, high = self.y_axis[2:]
        tall = self.bottom - self.top
        per = -np.log(high / low) / tall if self.log_y else -factor * (high - low) / tall
        self.handle(name, self.left + 14, float(np.clip(self.at_y(y), self.top, self.bottom)), float(per), "y",
            self.log_y)

    def layers(self) -> Drawing:
        """The chart as a plain drawing, to be set into another one."""
        whole = Drawing(self.title, self.desc, self.width, self.height)
        over, self.parts = self.parts, []
        self.inset(self._plot, self.left, self.top)
        plot, self.parts = self.parts, []
        self._labels()
        labels = self.parts
        whole.parts = self._under + plot + over + labels
        self.parts = over
        return whole

    def svg(self) -> str:
        """The whole picture as text; labels are moved apart where they would cover each other."""
        return self.layers().svg()

    def _labels(self) -> None:
        stood = list(self._taken)
        for x, y, words, kind in sorted(self._over, key=lambda one: one[1]):   # a lower one moves down
            wide = breadth(words)
            to_right = kind not in ("end", "limit") and x + wide < self._plot.width + 12
            left = x if to_right else max(x - wide, 0.0)
            places = [min(max(y - 6 + shift, 11), self._plot.height - 4)
                for shift in (0, 17, -17, 34, -34, 51, -51, 68, -68, 85, -85, 102, -102)]
            down = next((at for levels in (True, False) for at in places[:5 if levels else None]
                if self._free(left, wide, at, levels)), places[0])
            self._taken.append((left, left + wide, down))
            self.text(self.left + (left if to_right else left + wide - 3), self.top + down, words,
                "start" if to_right else "end", "small halo")
        self._taken = stood


def _share(value: Any, low: float, high: float, log: bool) -> Any:
    with np.errstate(all="ignore"):
        if log:
            return (np.log10(value) - np.log10(low)) / (np.log10(high) - np.log10(low))
        return (np.asarray(value, float) - low) / ((high - low) or 1.0)


def without_handles(svg: str, but: Collection[str] = ()) -> str:
    """The picture for viewers in which nothing can be taken hold of, or nothing but the inputs named."""
    return re.sub(r'<circle data-handle="([^"]*)"[^>]*/>\n', lambda found: found[0] if found[1] in but else "", svg)


def with_caption(svg: str, words: str) -> str:
    """The picture with the words written under it, for viewers that show nothing else."""
    height = float(svg.split('viewBox="0 0 ', 1)[1].split('"', 1)[0].split()[1])
    width = float(svg.split('viewBox="0 0 ', 1)[1].split(" ", 1)[0])
    lines = [line for part in words.split("\n") for line in textwrap.wrap(part, int(width / 7.9))]
    tall = height + 20 * len(lines) + 12
    old = f'viewBox="0 0 {_n(width)} {_n(height)}"'
    return "\n".join([svg.replace(old, f'viewBox="0 0 {_n(width)} {_n(tall)}"', 1).removesuffix("</svg>").rstrip(),
        f'<rect {_as("paper")} y="{_n(height)}" width="{_n(width)}" height="{_n(tall - height)}"/>',
        *[f'<text {WRITTEN} x="8" y="{_n(height + 14 + 20 * i)}">{escape(one)}</text>' for i, one in enumerate(lines)],
        "</svg>"])


def strip(drawing: Drawing, y: float, low: float, high: float, zone: tuple[float, float],
        spread: tuple[float, float, float], unit: str, zone_name: str = "tolerance", spread_name: str = "90 % range",
        x: float = 16.0, width: float = 0.0, grip: str = "", factor: float = 1.0) -> None:
    """A scale with a tolerance zone (hatched box) and an answer on it (bar from low to high, diamond at the middle).

    low, high: ends of the scale; zone, spread in the same unit. Takes some 74 px below y. grip: the page's input that
    holds the zone's width, `factor` times what the scale shows; the zone's upper end can then be taken hold of.
    """
    width = width or drawing.width - 2 * x

    def at(value: float) -> float:
        return x + float(np.clip((value - low) / ((high - low) or 1.0), -0.02, 1.02)) * width

    drawing.rect(at(zone[0]), y + 6, max(at(zone[1]) - at(zone[0]), 1), 26, "fill-c", "thin", 9)
    edge = breadth(zone_name) / 2 - 14
    drawing.text(min(max((at(zone[0]) + at(zone[1])) / 2, x + edge), x + width - edge), y + 1, zone_name, "middle",
        "small halo")
    for tick in nice_ticks(low, high, 6, width):
        drawing.line([at(tick)] * 2, [y + 32, y + 37], "thin")
        drawing.text(drawing.within(at(tick), plain(float(tick), 4)), y + 51, plain(float(tick), 4), "middle", "small")
    drawing.line([x, x + width], [y + 32, y + 32], "ink")
    drawing.rect(at(spread[1]), y + 14, max(at(spread[2]) - at(spread[1]), 2), 10, "dot-a")
    drawing.dot(at(spread[0]), y + 19, "a", "diamond", 6)
    name = spread_name + (" ▸" if spread[1] > high else " ◂" if spread[2] < low else "")
    name += f", {unit}"
    half = breadth(name) / 2
    middle = min(max(at(spread[0]), x - 14 + half), x + width + 14 - half)
    if grip:   # a limit moves by half of what the width does
        drawing.handle(grip, at(zone[1]), y + 19, 2 * factor * (high - low) / width)
    drawing.text(middle, y + 66, name, "middle", "small halo")
