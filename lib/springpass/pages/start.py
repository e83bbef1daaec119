"""The opening page: what moves the size, side by side, for one ring of your own."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from .. import bore_stress, fits, heat, workholding
from ..boring_bar import bending as bar_bending
from ..boring_bar.quantities import Stickout
from ..core.quantity import Quantity, Say, but, plain
from ..core.spread import Likely, about, factor_of, likely, sample
from ..core.tables import assumed, fact
from ..heat.quantities import Rise
from ..measuring import gauging
from ..screen.draw import WIDTH, Drawing, breadth, nice_ticks
from ..screen.page import Choose, Page, Slide
from ..stops.depth import spread_of

OutsideDiameter = Quantity("D", "mm", low=5, high=200, usual=40, step=1, says="outside diameter of the work")
WallShare = Quantity("d/D", "1", low=0.3, high=0.85, usual=0.7, step=0.05,
    says="bore over outside diameter: 0.8 is a thin wall")

STOCKS = {"steel, cold drawn": ("free-cutting steel 11SMn30 / 12L14", "free-cutting steel"),
    "steel, stress-relieved": ("carbon steel C45 / 1045", "medium-carbon steel"),
    "brass, cold drawn": ("brass CuZn39Pb3", "brass leaded"),
    "aluminium, quenched": ("aluminium 6082", "aluminium hardened")}


@dataclass(frozen=True)
class Mover:
    """One thing that moves the size, on diameter, mm, and the chapter that explains it."""

    name: str
    size: Likely
    chapter: int
    comes: str      # what it comes from, in a sentence


@dataclass(frozen=True)
class Movers:
    """All of them, the largest first, and the width of grade 7 (that of H7) to hold them against, mm."""

    movers: tuple[Mover, ...]
    tolerance: float
    diameter: float
    warm: Mover             # the one that the temperature moves
    by_degree: float        # how much longer its bar grows for a kelvin more, mm


GRIP, HOLDER, BAR = "three jaws", "two screws in a block", "steel"
TOUCH, GAUGE = "ink", "micrometer on a shaft"
GRADE = 7    # of the tolerance all is held against: that of H7


@lru_cache(maxsize=1024)
def _reading(diameter: float, material: str) -> float:
    """Twice the standard uncertainty of one reading of a shaft, mm, in a shop at 20 °C."""
    return 2 * gauging.ready(GAUGE, diameter, material, shop_rise=0.0).budget.uncertainty


def compute(stock: str, diameter: float, bore_share: float, rise: float, stickout: float, grip: str) -> Movers:
    """How much each thing moves the size of one ring, mm on diameter, each with its range; the largest first.

    diameter, stickout: mm; bore_share: of the diameter; rise: K above 20 °C. Raises Refused where the ring cannot be.
    """
    material, force_name = STOCKS[stock]
    bore, width = bore_share * diameter, assumed("width of a ring").value * diameter
    holder = {name: fact("holders", holder=HOLDER, property=name) for name in ("stiffness", "rotation")}
    d = sample(alpha=heat.fact(material, "alpha").range, force=assumed("force in a bore").range,
        shift=factor_of(holder["stiffness"].value, holder["stiffness"].factor),
        tilt=factor_of(holder["rotation"].value, holder["rotation"].factor),
        touch=about(0.0, spread_of("touch", TOUCH)[1].value), read=about(0.0, _reading(diameter, material)))
    warm = heat.length_change(diameter, d["alpha"], rise)
    skin = bore_stress.stock_sample(stock)
    freed = bore_stress.cut_sequence(assumed("bar stock over the outside").value * diameter / 2, skin["axial"],
        skin["hoop"], skin["m"], skin["n"], [("turn", diameter / 2), ("bore", bore / 2)], skin["modulus"],
        skin["poisson"]).error[0]
    bar = min(assumed("bar for a bore").value * bore, assumed("thickest bar at hand").value)
    modulus, poisson = (fact("bar_materials", bar_material=BAR, property=name).value for name in ("E", "nu"))
    give = bar_bending.compliance([(stickout, bar)], modulus, poisson, d["shift"], d["tilt"])
    infeed, feed, nose = (assumed(name).value for name in ("last cut in a bore", "feed of a finishing cut",
        "nose radius of a turning tool"))
    push = 2 * bar_bending.spring_passes(infeed, feed, nose, give, force_name, 1, force_factor=d["force"]).left[0]
    jaws, face = workholding.jaws(GRIP)
    load = workholding.hand_force(grip) / jaws
    e, nu = heat.fact(material, "E").value, heat.fact(material, "nu").value
    lobes = workholding.ring_lobing(diameter, bore, width, 1.0, jaws, e, nu, face.value).peak_to_valley * load
    by_degree = likely(heat.length_change(diameter, d["alpha"], 1.0)).value
    felt = f"{plain(abs(rise), 2)} degrees {'warm' if rise >= 0 else 'cold'}"
    out = f"{plain(stickout / bar, 2)} diameters out"
    warmth = Mover(f"measured {felt}", likely(np.abs(warm)), 1, f"measuring it {felt}")
    movers = [warmth, Mover("bored after the outside was finished", likely(np.abs(freed)), 2,
        "boring after the outside was finished"),
        Mover(f"bar deflects, one pass, {out}", likely(push), 3, f"the deflection of the bar in one pass, {out}"),
        Mover(f"bore out of round, jaws tightened {grip}", likely(2 * lobes), 5,
        f"jaws tightened {grip}, which leave the bore out of round"),
        Mover("tool touched off on marking ink", likely(np.abs(2 * d["touch"])), 7, "touching off on marking ink"),
        Mover("micrometer and its reader", likely(np.abs(d["read"])), 7, "the micrometer and its reader")]
    return Movers(tuple(sorted(movers, key=lambda m: -m.size.value)), float(fits.grade(diameter, GRADE)), diameter,
        warmth, -by_degree if rise < 0 else by_degree)


def picture(m: Movers, say: Say) -> str:
    d = Drawing("What moves the size", words(m, say), WIDTH, 88 + 46 * len(m.movers))
    to = say.fine_number
    top = float(to(2.4 * m.tolerance))
    left, right = 14.0, WIDTH - 16.0

    def at(value: float) -> float:
        return left + (right - left) * min(float(value) / top, 1.0)

    base = 20 + 46 * len(m.movers)
    for tick in nice_ticks(0.0, top, 5, right - left):
        d.line([at(tick)] * 2, [14, base], "faint")
        d.text(at(tick), base + 17, plain(float(tick), 4), "middle", "small")
    d.text(right, base + 36, f"{say.fine_unit} on diameter", "end")
    d.line([at(to(m.tolerance))] * 2, [8, base], "limit")
    d.text(left, base + 55, f"dashed: the whole tolerance of H7, {say.fine(m.tolerance)}", kind="small halo")
    for i, one in enumerate(m.movers):
        y = 20 + 46 * i
        d.text(left + 4, y + 12, f"{one.name} (chapter {one.chapter})", kind="small halo")
        d.rect(left, y + 18, max(at(to(one.size.value)) - left, 1), 14, "fill-a", "thin")
        if one is m.warm:
            d.handle("rise", at(to(one.size.value)), y + 25, top / (right - left) / float(to(m.by_degree)))
        lo, hi = at(to(one.size.low)), at(to(one.size.high))
        d.line([lo, hi], [y + 25] * 2, "ink")
        d.line([lo, lo], [y + 21, y + 29], "ink")
        if to(one.size.high) > top:   # goes on beyond the picture
            d.arrow(hi - 12, y + 25, hi + 4, y + 25, "ink")
            size = say.fine(one.size.value)
            beside = left + 12 + breadth(f"{one.name} (chapter {one.chapter})") + 1.12 * breadth(size) < hi - 16
            d.text(hi - 16, y + (12 if beside else 44), size, "end", "small bold halo")
        else:
            d.line([hi, hi], [y + 21, y + 29], "ink")
    d.line([left, left], [14, base], "ink")
    return d.svg()


def words(m: Movers, say: Say) -> str:
    first, second = m.movers[:2]
    whole = f"the whole tolerance of H7 at this size is {say.fine(m.tolerance)}"
    over = [one for one in m.movers if one.size.value > m.tolerance]
    may = [one for one in m.movers if one.size.high > m.tolerance >= one.size.value]
    if over:
        verdict = f"{whole[0].upper()}{whole[1:]}, and {_some(len(over))} of these can use it up alone."
    elif may:
        verdict = f"{whole[0].upper()}{whole[1:]}: {_some(len(may))} of these may use it up alone."
    else:
        verdict = f"{whole[0].upper()}{whole[1:]}; none of these uses it up alone, but together they may."
    return (f"The largest error on this size, {first.size.text(say)}, comes from {first.comes}. The next, "
        f"{second.size.text(say, named=False)}, comes from {second.comes}. {verdict}")


def _some(count: int) -> str:
    return ("one", "two", "three", "four", "five", "six")[count - 1]


PAGE = Page(name="what_moves_the_size", title="What moves the size?",
    inputs=(Choose("stock", list(STOCKS), "steel, cold drawn", "work", "bar as supplied"),
    Slide("diameter", but(OutsideDiameter, low=12, high=80, usual=40), "work", "outside diameter"),
    Slide("bore_share", WallShare, "work", "bore over outside"),
    Slide("rise", but(Rise, low=-15, high=40, usual=12), "work", "warmer than 20 °C by"),
    Slide("stickout", but(Stickout, low=10, high=120, usual=40), "tool", "bar sticks out"),
    Choose("grip", ("gently", "as usual", "hard"), "as usual", "holder", "chuck tightened")), compute=compute,
    picture=picture, words=words)
