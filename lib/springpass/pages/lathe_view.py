"""Drawing the lathe from above and from the side, its errors drawn larger: used by the pages of chapter 10."""

from __future__ import annotations

import numpy as np

from ..screen.draw import Drawing

LEFT, RIGHT = 74.0, 408.0   # px: the jaws, or the headstock's centre; the far end of what is drawn


def nice_factor(size: float, px: float) -> float:
    """A round number of times (1, 2, 5, 10, …) by which `size` px may be drawn larger and stay within `px`."""
    raw = px / max(abs(size), 1e-9)
    base = 10 ** np.floor(np.log10(raw))
    return float(max(base * max(m for m in (1, 2, 5) if m * base <= raw * 1.0001), 1.0))


def chuck(d: Drawing, x: float, y: float, half: float) -> None:
    """A chuck's jaws around a bar; x is their face."""
    for side in (-1, 1):
        top = y + side * half
        d.rect(x - 34, min(top, top + side * 15), 34, 15, "fill-holder", "ink", 6)
    d.rect(x - 34, y - half, 34, 2 * half, "fill-work")
    d.rect(x - 48, y - half - 20, 14, 2 * half + 40, "fill-holder", "ink")


def centre(d: Drawing, x: float, y: float, side: int) -> None:
    """A lathe centre with its point at x, y; side 1 has its body to the right."""
    d.shape([x, x + side * 14, x + side * 44, x + side * 44, x + side * 14], [y, y - 11, y - 11, y + 11, y + 11],
        "fill-holder", "ink")


def tool(d: Drawing, x: float, y: float, up: bool = True) -> None:
    """A turning tool with its tip at x, y, coming from below (or from above)."""
    s = 1 if up else -1
    d.shape([x, x - 5, x - 5, x + 9, x + 9], [y, y + s * 9, y + s * 30, y + s * 30, y + s * 7], "fill-tool", "ink")


def indicator(d: Drawing, x: float, y: float) -> None:
    """An indicator with its point at x, y, coming from below."""
    d.line([x, x], [y, y + 14], "ink")
    d.circle(x, y + 25, 11, "fill-tool")
    d.circle(x, y + 25, 11, "ink")
    d.line([x, x + 5], [y + 25, y + 18], "thin")
