"""Can I set two micrometres? The chain of a small move, and the slide that sticks."""

from __future__ import annotations

from dataclasses import dataclass

from .. import the_lathe as lathe
from ..core import tables
from ..core.mathml import formula_mathml
from ..core.quantity import Say, but, plain
from ..core.spread import FAILS, HOLDS, verdict
from ..screen.draw import WIDTH, Chart, Drawing, breadth, room
from ..screen.page import Choose, Page, Slide
from ..the_lathe.quantities import Allowed, DriveStiffness, LineStep, SetOver, SideMove, SlideLoad, Wanted
from ..the_lathe.small_moves import friction
from .check_stickout import percent

WAYS_OF_OIL = tuple(tables.names("lathe_ways", "ways"))


@dataclass(frozen=True)
class Set:
    wanted: float
    allowed: float
    oiled: str
    load: float
    stiffness: float
    move: lathe.Move
    others: tuple[tuple[str, float], ...]   # how far the other ways may be off, nine times in ten
    winding: lathe.Winding
    chance: float
    verdict: str

    @property
    def headline(self) -> str:
        """The verdict in words that answer “can I set it?”."""
        return {HOLDS: "You can set it this way", FAILS: "You cannot set it this way"}.get(self.verdict,
            "Not reliably")


def compute(wanted: float, allowed: float, way: str, line: float, angle: float, backlash: float, oiled: str,
        load: float, stiffness: float) -> Set:
    """The chain of a small move on radius and the chance that it lands within what is allowed; mm, N, degrees.

    Raises Refused.
    """
    def by(one: str) -> lathe.Move:
        return lathe.move(one, line, angle, oiled, load, stiffness, backlash, wanted)

    found = by(way)
    _, moving = friction(oiled)
    chance = found.chance(allowed)
    stairs = lathe.winding(found.jump, STAIRS * max(found.jump, wanted), moving.value * load / stiffness)
    return Set(wanted, allowed, oiled, load, stiffness, found, tuple((one, by(one).reach) for one in lathe.WAYS
        if one != way), stairs, chance, verdict(chance))


STAIRS = 4   # steps of a slide that sticks, or moves wanted, that the picture shows


def words(r: Set, say: Say) -> str:
    m = r.move
    first = (f"There is a {percent(r.chance)} chance that a move of {say.fine(r.wanted)} lands within "
        f"±{say.fine(r.allowed)}. Nine moves in ten lie within ±{say.fine(m.reach)}.")
    rules = (f"The largest share is “{m.rules.name}” with ±{say.fine(m.rules.plus_minus)}. The slide itself sticks and "
        f"jumps by {say.fine(m.jump)}.")
    better = min(r.others, key=lambda one: one[1])
    advice = (f"Better is “{better[0]}”, with ±{say.fine(better[1])}." if better[1] < 0.9 * m.reach
        else "No other way here does better.")
    return f"{first}\n{rules} {advice}"


def picture(r: Set, say: Say) -> str:
    m, fine = r.move, say.fine_number
    rows = sorted(m.links, key=lambda link: -link.plus_minus)
    d = Drawing("Hand wheel and slide; the links of the chain", words(r, say), WIDTH, 236 + 38 * len(rows))
    wound, moved = fine(r.winding.wound), fine(r.winding.moved)
    chart = Chart("", "", x=("screw wound on", say.fine_unit, 0.0, float(wound.max())),
        y=("slide follows", say.fine_unit, *room(moved, wound.max())), height=226)
    chart.curve([0, wound.max()], [0, wound.max()], "", "limit")
    chart.curve(wound, moved, "", "a")
    chart.legend({"slide": "a", "if nothing deflected": "limit"}, right=False)
    d.inset(chart.layers(), 0, 0)
    widest = max(rows[0].plus_minus, 1e-9)
    left, long = 14.0, WIDTH - 130.0
    for i, link in enumerate(rows):
        y = 244.0 + 38 * i
        d.text(left, y + 4, link.name, kind="small halo")
        d.rect(left, y + 10, max(long * link.plus_minus / widest, 1.5), 11, "fill-a" if link is m.rules else "fill-c")
        words_ = f"±{say.fine(link.plus_minus)}"
        d.text(min(left + long * link.plus_minus / widest + 6, WIDTH - 4 - breadth(words_)), y + 21, words_,
            kind="small halo")
    return d.svg()


def more(r: Set, say: Say) -> str:
    rest, moving = friction(r.oiled)
    rows = "".join(f"<tr><td>{link.name}</td><td>±{say.fine(link.plus_minus)}</td></tr>" for link in r.move.links)
    others = "".join(f"<tr><td>{one}</td><td>±{say.fine(reach)}</td></tr>" for one, reach in r.others)
    return (f"<table><tr><th>link</th><th>on radius</th></tr>{rows}</table>"
        f"<table><tr><th>set another way, nine in ten</th><th>on radius</th></tr>{others}</table>"
        + formula_mathml(lathe.slip_step, {"static": rest.value, "moving": moving.value, "load": r.load,
        "stiffness": r.stiffness})
        + f"<p>Friction at rest {plain(rest.low, 2)} to {plain(rest.high, 2)}, moving {plain(moving.low, 2)} to "
        f"{plain(moving.high, 2)}: {rest.source}.</p>")


MOVES = Page(name="small_moves", title="Can I set two micrometres?",
    inputs=(Slide("wanted", but(Wanted, high=0.05), "work", "move wanted, on radius"),
    Slide("allowed", but(Allowed, high=0.02), "work", "error allowed, ±, on radius"),
    Choose("way", lathe.WAYS, lathe.DIAL, "tool", "set by"),
    Slide("line", but(LineStep, low=0.001, high=0.05), "tool", "one line of the dial, on radius"),
    Slide("angle", but(SetOver, low=1, high=45), "tool", "compound slide from the spindle axis"),
    Slide("backlash", but(SideMove, symbol="B", low=0, high=0.5, usual=0.1, step=10, says="play between screw and nut"),
    "tool", "backlash, on radius"),
    Choose("oiled", WAYS_OF_OIL, "cast iron, oiled", "holder", "ways of the slide"),
    Slide("load", but(SlideLoad, low=30, high=2000), "holder", "load on the ways"),
    Slide("stiffness", but(DriveStiffness, low=2e3, high=1e5), "holder", "from hand wheel to slide")),
    compute=compute, picture=picture, words=words, more=more)
