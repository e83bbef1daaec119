"""How the words of a plan write its sizes: each takes `say`, so that lengths come out in mm and µm or in inch and thou.

Designations stay as they are drawn ("Ø20 h6", "M18x1"), and so do the names of tools.
"""

from __future__ import annotations

from ..core.quantity import Say
from ..job.part import Surface
from ..job.results import Plan


def long(say: Say, value: float, places: int) -> str:
    """A length to so many places of a millimetre, or two more of an inch."""
    return f"{value / 25.4:.{places + 2}f} inch" if say.inch else f"{value:.{places}f} mm"


def length(say: Say, value: float) -> str:
    """A length as it is drawn: "32 mm", "1.25 inch"."""
    return f"{round(value / 25.4, 4):g} inch" if say.inch else f"{round(value, 3):g} mm"


def around(say: Say, value: float, places: int | None = None) -> str:
    """A diameter: "Ø24", or "Ø0.9449 inch"."""
    if say.inch:
        return f"Ø{round(value / 25.4, 4):g} inch" if places is None else f"Ø{value / 25.4:.{places + 1}f} inch"
    return f"Ø{value:g}" if places is None else f"Ø{value:.{places}f}"


def between(say: Say, low: float, high: float, places: int) -> str:
    return f"{long(say, low, places).split()[0]} and {long(say, high, places)}"


def fine(say: Say, value: float, places: int = 1) -> str:
    """A small length to so many places of a micrometre, or to two of a thou."""
    return f"{value / 0.0254:.2f} thou" if say.inch else f"{1000 * value:.{places}f} µm"


def of(say: Say, moved: float, tolerance: float) -> str:
    """"2.9 µm of 13 µm"; what rounds to nothing is said as a bound."""
    least = "under 0.01 thou" if say.inch else "under 0.1 µm"
    nothing = moved < (0.005 * 0.0254 if say.inch else 0.00005)
    return f"{least if nothing else fine(say, moved)} of {fine(say, tolerance, 0)}"


def called(s: Surface, say: Say) -> str:
    """A surface by its size: as it is drawn where it has a class, limits or a thread, else in the reader's unit."""
    return s.says if s.thread or s.toleranced or s.inch else around(say, s.diameter)


def surface(made: Plan, name: str, say: Say) -> str:
    return called(made.part.surface(name), say)


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]
