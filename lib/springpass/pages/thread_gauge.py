"""What a GO and a NO-GO plug allow: the pitch diameter, and what an error of the lead takes off it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from .. import grooves_tapers as inside
from .. import threads
from ..core.mathml import formula_mathml
from ..core.quantity import Quantity, Say, but, plain
from ..core.spread import about, odds, sample, verdict
from ..grooves_tapers.quantities import LeadError
from ..screen.draw import WIDTH, Drawing, strip
from ..screen.page import Page, Slide
from .inside_threads import THREAD

Above = Quantity("D_+", "mm", low=-0.1, high=0.4, usual=0.06, shown="µm", step=5,
    says="how far the measured pitch diameter lies above its lower limit")
Reading = Quantity("u_D", "mm", low=0, high=0.05, usual=0.01, shown="µm", step=1,
    says="what the measured pitch diameter may be out, nineteen times in twenty")
THREADS = 4    # drawn
SHOWN = 60.0   # px: as large as this the whole tolerance of the pitch diameter is drawn


@dataclass(frozen=True)
class Gauged:
    thread: threads.Thread
    tolerance: str
    lower: float
    width: float
    above: float
    lead: float
    cost: float                # what the lead's error takes off, on the pitch diameter
    free: float                # what the GO plug has left
    enters: float              # chance that GO enters
    stays_out: float           # chance that NO-GO does not
    verdict: str
    headline: str


def compute(thread: str, above: float, lead: float, doubt: float) -> Gauged:
    """Whether GO enters and NO-GO stays out of a nut, mm. Raises Refused for a thread that is not known."""
    t = threads.read(thread)
    kind = "2B" if t.inch else "6H"
    low, high = threads.limits(thread, kind).pitch
    drawn = sample(above=about(above, doubt))["above"] * np.ones(1)
    cost = float(inside.lead_cost(lead))
    enters, out = drawn - cost >= 0, drawn <= high - low
    found = verdict(odds(enters & out))
    if found == "holds":
        said = "A good thread"
    elif odds(enters) < odds(out):
        said = "GO will not enter" if found == "will not hold" else "GO may not enter"
    else:
        said = "NO-GO enters" if found == "will not hold" else "NO-GO may enter"
    return Gauged(t, kind, float(low), float(high - low), above, lead, cost, above - cost, odds(enters), odds(out),
        found, said)


def words(r: Gauged, say: Say) -> str:
    left = f"has {say.fine(r.free)} left" if r.free >= 0 else f"is {say.fine(-r.free)} short"
    lead = f" A lead {say.fine(r.lead)} out takes {say.fine(r.cost)} of it away: the GO plug {left}." if r.lead else ""
    place = "above" if r.above >= 0 else "below"
    said = (f"The pitch diameter lies {say.fine(abs(r.above))} {place} its lower limit, in a tolerance of "
        f"{say.fine(r.width)} ({r.tolerance}).{lead}")
    if r.verdict == "at the edge":
        said += (f" GO enters with a chance of {plain(100 * r.enters, 2)} %, NO-GO stays out with "
            f"{plain(100 * r.stays_out, 2)} %.")
    if r.free < 0 <= r.above:
        said += " The thread measures right and yet takes no screw: mend the lead, or cut deeper while NO-GO allows it."
    elif r.free < 0:
        said += f" Cut {say.fine(-r.free / 2)} deeper on radius, or a little more."
    elif r.above > r.width:
        said += " Nothing puts that back."
    return said


def picture(r: Gauged, say: Say) -> str:
    d = Drawing("The GO plug in the thread, the lead's error drawn larger", words(r, say), WIDTH, 326)
    # flanks at their true 60°; play and lead error drawn larger at one scale, so that they touch where they do
    x0, pitch, y, scale = 34.0, 92.0, 112.0, SHOWN / r.width
    tall = pitch * math.sqrt(3) / 2
    play = float(np.clip(r.above / 2, -r.width / 4, 0.6 * r.width)) * scale
    stretch = min(r.lead, r.width) * scale
    nut_x, nut_y, plug_x, plug_y = [x0], [y + tall], [x0 - stretch / 2], [y + tall - play]
    for n in range(1, 2 * THREADS + 1):
        deep = tall if n % 2 == 0 else 0.0
        nut_x.append(x0 + n * pitch / 2)
        nut_y.append(y + deep)
        plug_x.append(nut_x[-1] + stretch * (n / (2 * THREADS) - 0.5))
        plug_y.append(y + deep - play)
    d.shape([*nut_x, nut_x[-1], x0], [*nut_y, y + tall + 30, y + tall + 30], "fill-work", hatch=9)
    d.line(nut_x, nut_y)
    d.shape([*plug_x, plug_x[-1], plug_x[0]], [*plug_y, 30, 30], "fill-tool")
    d.line(plug_x, plug_y, "b")
    d.text(x0 + 8, 48, "GO plug", kind="small halo")
    d.text(x0 + 8, y + tall + 22, "nut, cut open", kind="small halo")
    d.handle("lead", plug_x[-1], plug_y[-1], 2000 / scale)

    def fine(v: float) -> float:
        return float(say.fine_number(v))

    ends = (min(-0.25 * r.width, r.free, r.above), max(1.25 * r.width, r.above))
    span = (ends[0] - 0.04 * (ends[1] - ends[0]), ends[1] + 0.04 * (ends[1] - ends[0]))
    strip(d, 246, fine(span[0]), fine(span[1]), (0.0, fine(r.width)), (fine(r.above), fine(r.free), fine(r.above)),
        say.fine_unit, f"{r.tolerance}: GO to NO-GO", "measured, less the lead")
    inner = WIDTH - 32
    d.handle("above", 16 + inner * (r.above - span[0]) / (span[1] - span[0]), 265, 1000 * (span[1] - span[0]) / inner)
    return d.svg()


def more(r: Gauged, say: Say) -> str:
    return ("<p>GO has the full profile over the whole length: it asks whether a screw goes in. NO-GO has short flanks "
        "and few threads: it asks for the pitch diameter alone, and may enter by two revolutions at most (ISO 1502, "
        "from memory). The plugs' own tolerances are left out.</p>" + formula_mathml(inside.lead_cost,
        {"lead_error": r.lead, "flank_angle": 30.0}))


GAUGE = Page(name="thread_gauge", title="Is this thread good, by GO and NO-GO plug?",
    inputs=(THREAD, Slide("above", Above, "work", "pitch Ø above its lower limit"),
    Slide("lead", but(LeadError, low=0, high=0.15, usual=0.02, step=5), "work", "lead out over the length"),
    Slide("doubt", Reading, "view", "pitch Ø measured to ±")), compute=compute, picture=picture, words=words, more=more)
