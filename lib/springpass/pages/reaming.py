"""Pages of the reaming chapter: the teeth, the stock in front of the reamer, the right reamer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from .. import boring_bar, cutting, fits, reaming
from ..boring_bar.quantities import SlendernessRatio
from ..core import tables
from ..core.quantity import Say, but, plain
from ..core.shared import Passes
from ..core.spread import EDGE, HOLDS, Likely, about, likely, sample
from ..core.tables import assumed
from ..cutting.quantities import DepthOfCut
from ..reaming import hole as reamed_hole
from ..reaming.quantities import (
    BarShare,
    CornerRounding,
    HoleSize,
    LeadAngle,
    ReamerDeviation,
    ReamerOffset,
    ReamerTeeth,
    ReamingFeed,
    ReamingStock,
)
from ..screen.draw import WIDTH, Drawing, breadth, nice_ticks, room
from ..screen.page import Choose, Page, Slide, Tick, Write

EDGES, FLUIDS, HOLDINGS, REAMERS, MATERIALS = (
    tuple(names) for names in (reamed_hole.EDGES, reamed_hole.FLUIDS, reamed_hole.HOLDINGS, reamed_hole.REAMERS,
    reamed_hole.MATERIALS))
KEEN = 60              # edges of different sharpness that are tried
FEW_TEETH = 8          # of so few two revolutions are drawn
SAME_ANGLE = 0.01      # degrees
HALF_A_TENTH = 5e-5    # mm: sizes are printed to a tenth of a micrometre
STEEL = "carbon steel C45 / 1045"
CLASS = Write("code", "H7", "work", "tolerance class of the hole", "a capital letter and a grade, such as H7 or N7")
SIZE = Slide("size", HoleSize, "work", "nominal size of the hole")
STOCK = Slide("stock", ReamingStock, "work", "stock for the reamer, on diameter")


def percent(share: float) -> str:
    return f"{100 * share:.0f} %"


def chance(share: float) -> str:
    """A chance from a sample: never quite 0 or 100 %."""
    return "over 99 %" if share > 0.99 else "under 1 %" if share < 0.01 else percent(share)


def percents(share: Likely) -> str:
    low, high = f"{100 * share.low:.0f}", percent(share.high)
    return high if percent(share.low) == high else f"{low} to {high}"


def deviation(value: float, say: Say) -> str:
    """A deviation with its sign."""
    return ("+" if value > 0 else "") + say.fine(value)


def size_range(found: Likely, size: float, say: Say) -> str:
    """The hole's size in full, with its range."""
    digits = 5 if say.inch else 4 + (size >= 10) + (size >= 100)
    low = plain(say.length_number(size + found.low), digits)
    return f"{say.length(size + found.value, digits)} (90 % range {low} to {say.length(size + found.high, digits)})"


# ---- which teeth cut ------------------------------------------------------------------------------


@dataclass(frozen=True)
class Teeth:
    chip: float                 # of one tooth, thickest place
    stock: float
    lead: float
    pattern: reaming.Pattern    # at the middle of the minimum chip thickness's range
    shared: reaming.TeethCutting
    fraction: Likely            # of tooth passes that cut
    least: Likely
    edge: Likely                # share of the edge in front of the land that takes a chip
    torque: Likely              # share of the torque that cuts
    nothing: float              # chance that the stock is thinner than the minimum chip thickness
    corner_only: bool           # the stock does not reach the straight lead
    feed: float


def compute_teeth(
    stock: float, edge: str, lead: float, teeth: float, corner: float, offset: float, feed: float
) -> Teeth:
    """Which teeth of a reamer cut and which only rub, for the ranges of its edge; mm, degrees.

    Raises Refused for a reamer or a cut that cannot be.
    """
    z = int(teeth)
    ratio, push, land = (tables.fact("reaming_edges", edge="any", property=name).range
        for name in ("chip_ratio", "push_length", "land"))
    draw = sample(rounding=tables.fact("reaming_edges", edge=edge, property="r_n").range, chip_ratio=ratio,
        push_length=push, land=land)
    least = draw["rounding"] * draw["chip_ratio"]
    chip = float(reaming.tooth_chip(feed, z, stock, corner, lead))
    grid = np.quantile(least, (np.arange(KEEN) + 0.5) / KEEN)   # from the sharpest to the bluntest
    entry = float(reaming.entry_angle(stock, corner, lead))
    middle = float(np.median(least))
    shares = np.where(grid <= stock / 2, reaming.teeth_cutting(chip, offset, z, grid, entry).fraction, 0.0)
    torque = np.where(least <= stock / 2,
        reaming.cutting_share(stock, feed, z, corner, lead, draw["land"], draw["push_length"] * draw["rounding"]), 0.0)
    turns = 2 if z <= FEW_TEETH else 1
    pattern = reaming.tooth_pattern(chip, offset, z, middle, entry, turns)
    if middle > stock / 2:   # nothing is ever thick enough to be cut
        pattern = reaming.Pattern(0 * pattern.chip, np.full(pattern.chip.shape, stock / 2))
    return Teeth(chip, stock, lead, pattern, reaming.teeth_cutting(chip, offset, z, middle, entry), likely(shares),
        likely(least), likely(reaming.edge_cutting(stock, feed, z, lead, corner, grid, offset)), likely(torque),
        float(np.mean(least > stock / 2)), entry < lead - SAME_ANGLE, feed)


ROOM = 166.0   # px above the chart for the tooth in the hole
FINE = 12.0    # px that the minimum chip thickness is drawn thick
FLAT, STEEP = 24.0, 60.0   # degrees between which a lead is drawn


def _tooth(d: Drawing, r: Teeth, say: Say) -> None:
    """One tooth in the hole, along the axis: wall, stock, lead and land, the chip it must take; not to scale."""
    left, right, top, cut, raw, floor = 8.0, d.width - 8.0, 24.0, 122.0, 70.0, 150.0
    corner, steep = 150.0, np.radians(float(np.clip(r.lead, FLAT, STEEP)))
    along = (cut - raw) / np.tan(steep)
    chip = float(np.clip(FINE * r.chip / max(r.least.value, 1e-9), 2.0, 36.0)) / np.sin(steep)
    least = FINE / np.sin(steep)
    d.shape([left, corner, corner + along, right, right, left], [cut, cut, raw, raw, floor, floor], "fill-work", "ink",
        9)
    d.shape([corner, corner + chip, corner + chip + along, corner + along], [cut, cut, raw, raw], "fill-gone", "gone")
    d.line([corner + least, corner + least + along], [cut, raw], "b")
    reach = 1.4 * along
    d.shape([left, corner, corner + reach, corner + reach, left], [cut, cut, cut - 1.4 * (cut - raw), top, top],
        "fill-tool", "ink")
    d.text(left + 6, cut - 8, "land", kind="small halo")
    d.text(left + 6, top + 18, f"lead {plain(r.lead, 3)}°", kind="small halo")
    d.arrow(left + 6, top + 30, left + 76, top + 30)
    d.text(left + 82, top + 35, "feed", kind="small halo")
    d.text(corner + max(chip, least) + 14, cut + 17, f"chip per tooth {say.fine(r.chip)}", kind="small halo")
    side = d.width - 165
    d.dimension(side, raw, side, cut, f"{say.fine(r.stock / 2)} a side")
    d.text(6, 16, "one tooth in the hole, not to scale")


def picture_teeth(r: Teeth, say: Say) -> str:
    turns, count = r.pattern.chip.shape
    whole = Drawing("A reamer's tooth in the hole, and all its teeth unrolled", words_teeth(r, say), WIDTH, 296 + ROOM)
    _tooth(whole, r, say)
    d = Drawing("", "", WIDTH, 296)
    left, right, base = 58.0, WIDTH - 8.0, 196.0
    most = max(float(r.pattern.in_front.max()), r.least.high) * 1.12
    scale = (base - 44) / most
    slot = (right - left) / (turns * count)
    d.text(6, 17, f"metal in front of each tooth, {say.fine_unit}")
    for tick in nice_ticks(0, say.fine_number(most), 4):
        y = base - scale * tick * (0.0254 if say.inch else 1e-3)
        d.line([left, right], [y, y], "faint")
        d.text(left - 6, y + 4.5, plain(float(tick), 3), "end", "small")
    high, low = base - scale * min(r.least.high, most), base - scale * r.least.low
    d.rect(left, high, right - left, low - high, "fill-b")
    d.line([left, right], [base - scale * r.least.value] * 2, "b")
    for k, (chip, met) in enumerate(zip(r.pattern.chip.ravel(), r.pattern.in_front.ravel(), strict=True)):
        x = left + slot * k
        inset, tall = 0.14 * slot, scale * max(float(met), 0.0)
        if chip > 0:
            d.rect(x + inset, base - tall, slot - 2 * inset, tall, "fill-a", "ink", 7)
            if slot >= 30:
                digits = 2 if 1.12 * breadth(say.bare(float(chip), 2)) < slot else 1
                d.text(x + slot / 2, base - tall - 5, say.bare(float(chip), digits), "middle",
                    "small halo bold")
        elif met > 0:
            d.rect(x + inset, base - tall, slot - 2 * inset, tall, "fill-work", "thin")
        d.shape([x + inset, x + slot - inset, x + slot - 2.2 * inset, x + 2.2 * inset],
            [base, base, base + 26, base + 26], "fill-tool", "ink")
        if slot >= 20 or k % 2 == 0:
            d.text(x + slot / 2, base + 18, str(k % count + 1), "middle", "small")
    top = base - scale * float(r.pattern.in_front.ravel()[0])   # the feed puts more metal in front of each tooth
    whole.handle("feed", left + slot / 2, ROOM + top, -r.feed / (r.chip * scale), "y")
    for turn in range(turns):
        d.text(left + (turn + 0.5) * (right - left) / turns, base + 42, ("one revolution", "the next")[turn], "middle",
            "small")
        if turn:
            d.line([left + turn * (right - left) / turns] * 2, [32, base + 30], "limit")
    y = 262
    d.rect(8, y - 10, 16, 12, "fill-a", "ink", 7)
    d.text(30, y, "takes a chip", kind="small")
    d.rect(WIDTH / 2 - 4, y - 10, 16, 12, "fill-work", "thin")
    d.text(WIDTH / 2 + 18, y, "rubs and burnishes", kind="small")
    d.rect(8, y + 10, 24, 14, "fill-b")
    d.line([8, 32], [y + 17, y + 17], "b")
    d.text(38, y + 22, "minimum chip, 90 %", kind="small")
    d.text(WIDTH / 2 - 4, y + 22, "no block: no contact", kind="small")
    whole.inset(d, 0, ROOM)
    return whole.svg()


def words_teeth(r: Teeth, say: Say) -> str:
    count = r.pattern.chip.shape[1]
    if r.nothing > 0.5:
        return (f"No tooth cuts. {say.fine(r.stock / 2)} a side is less than this edge can cut, which is "
            f"{r.least.text(say)} at least. Leave more stock or use a sharper reamer: this one only burnishes, and "
            "leaves most of the stock where it was.")
    teeth = int(r.shared.teeth)
    if r.fraction.low > 0.999:
        who = f"All {count} teeth cut, {say.fine(r.chip)} each; this edge can cut down to {r.least.text(say)}."
    elif teeth == count and r.shared.fraction > 0.999:
        who = (f"All {count} teeth cut, but only just: {say.fine(r.chip)} each, and this edge may need "
            f"{r.least.text(say)}. A little more feed makes certain.")
    else:
        some = (f"Only {teeth} of the {count} teeth cut; the others rub" if teeth < count
            else "All teeth cut, but not at every pass; in between they rub")
        who = (f"{some}. Each should take {say.fine(r.chip)}, but this edge cannot cut "
            f"less than about {r.least.text(say)}. What one tooth leaves, a later one takes, up to "
            f"{say.fine(r.shared.max_chip)} at once. Feed faster if every tooth must cut.")
    if r.chip > r.stock / 2 - 1e-9:
        where = "The chip is as thick as the stock on one side, so less stock makes it thinner."
    elif r.corner_only:
        where = "Only the rounded corner is in the cut, so less stock makes the chip thinner."
    else:
        where = "Stock does not change this: it only makes the chip wider."
    return f"{who}\n{where} Cutting takes {percents(r.torque)} of the torque; burnishing takes the rest."


def more_teeth(r: Teeth, say: Say) -> str:
    return (
        f"<p>{percent(r.shared.fraction)} of the tooth passes cut. Along the edge in front of the land, "
        f"{percents(r.edge)} of what touches the metal takes a chip. Nothing is lost: mean chip × share of passes that "
        f"cut = {say.fine(r.shared.mean_chip * r.shared.fraction)}, the share of one tooth.</p>")


TEETH = Page(name="reamer_teeth", title="Which teeth cut, and which only rub?",
    inputs=(STOCK, Choose("edge", EDGES, EDGES[1], "tool", "the reamer's edge"),
    Slide("lead", LeadAngle, "tool", "lead angle (machine 45°, hand 1 to 2°)"),
    Slide("teeth", ReamerTeeth, "tool", "number of teeth"), Slide("corner", CornerRounding, "tool", "corner "
        "radius, lead to land"),
    Slide("offset", but(ReamerOffset, usual=0.002), "holder", "reamer off centre (half the indicator reading)"),
    Slide("feed", but(ReamingFeed, usual=0.04), "cut", "feed per revolution")), compute=compute_teeth,
        picture=picture_teeth,
    words=words_teeth, more=more_teeth)


# ---- how much to leave ----------------------------------------------------------------------------

PASSES = tuple(tables.names("reaming_allowance", "pass"))


@dataclass(frozen=True)
class Stock:
    size: float
    code: str
    sources: tuple[reamed_hole.Allowance, ...]
    bore: reamed_hole.BoreFirst
    error: Likely          # of the bored diameter before anything is dialled out
    dialled: bool
    marks: float
    verdict: str

    @property
    def headline(self) -> str:
        """Whether the boring in front of the reamer is good enough for what it is to leave."""
        return {HOLDS: "Your boring can leave that", EDGE: "Your boring can only just leave that"}.get(self.verdict,
            "Your boring cannot leave that")


def compute_stock(size: float, code: str, material: str, wanted: str, bar: float, slenderness: float, bar_material: str,
        holder: str, infeed: float, passes: float, dial_out: bool) -> Stock:
    """What to leave in the bore for the reamer, and the error the bar makes before it; mm on diameter.

    bar: share of the bore; slenderness: in bar diameters; infeed on radius. Raises Refused for a class or a cut that
    is not known.
    """
    marks = float(cutting.feed_mark(assumed("feed of a finishing cut").value,
        assumed("nose radius of a turning tool").value))
    bored = reamed_hole.bored_error(size, bar * size, bar * size * slenderness, material=material,
        bar_material=bar_material, holder=holder,
        infeed=min(infeed, assumed("deepest cut before reaming").value * size), passes=int(passes))
    reading = assumed("dial and reading of a bore").high
    error = about(0.0 if dial_out else bored.value, float(np.hypot(bored.plus_minus, reading)))
    found = reamed_hole.bore_first(size, None, wanted, error, code=code, material=material, marks=marks)
    return Stock(size, str(fits.read_code(code)), tuple(reamed_hole.allowances(size, material)), found, bored, dial_out,
        marks, found.verdict)


def picture_stock(r: Stock, say: Say) -> str:
    rows = len(r.sources) + 1
    d = Drawing("Stock to leave for the reamer", words_stock(r, say), WIDTH, 92 + 46 * rows)
    left, right, top = 14.0, WIDTH - 14.0, 34.0
    most = max(max(s.high for s in r.sources), r.bore.stock.high) * 1.06
    least = min(0.0, r.bore.stock.low)

    def at(value: float) -> float:
        return left + (value - least) / (most - least) * (right - left)

    base = top + 46 * rows
    d.text(6, 17, f"stock on diameter, {say.length_unit}")
    for tick in nice_ticks(say.length_number(least), say.length_number(most), 5, right - left):
        x = at(float(tick) * (25.4 if say.inch else 1.0))
        d.line([x, x], [top - 8, base], "faint")
        d.text(d.within(x, plain(float(tick), 3)), base + 16, plain(float(tick), 3), "middle", "small")
    for k, source in enumerate(r.sources):
        y = top + 46 * k
        chosen = source.name == r.bore.wanted.name
        name = f"{'▶ ' if chosen else ''}{source.name} ({source.basis})"
        d.text(left + 7, y + 10, name, kind="small bold halo" if chosen else "small halo")
        d.rect(at(source.low), y + 16, at(source.high) - at(source.low), 16, "fill-c" if chosen else "fill-work", "ink",
            0 if chosen else 8)
    y = top + 46 * len(r.sources)
    d.text(left + 7, y + 10, f"what your boring leaves, bored to {say.length(r.bore.aim, 5)}", kind="small bold halo")
    d.rect(at(r.bore.stock.low), y + 16, max(at(r.bore.stock.high) - at(r.bore.stock.low), 2), 16, "fill-d", "ink")
    d.dot(at(r.bore.stock.value), y + 24, "d", "diamond", 6)
    d.line([at(2 * r.marks)] * 2, [top - 8, base], "limit")
    d.text(8, base + 38, "dashed: with less, tool marks stay. Bar with ◆: 90 % range", kind="small")
    d.text(8, base + 54, "of what your bar and your dial leave.", kind="small")
    return d.svg()


def words_stock(r: Stock, say: Say) -> str:
    b = r.bore
    text = (f"Leave {say.length(b.wanted.low, 3)} to {say.length(b.wanted.high, 3)} on diameter "
        f"({b.wanted.name}): bore "
        f"to {say.length(b.aim, 5)} for a reamer in the middle of its {r.code} limits. With this bar the reamer then "
        f"finds {b.stock.text(say, fine=b.stock.high < 0.1)}, which is right {chance(b.chance)} of the time.")
    if b.none > 0.02:
        text += f" In {chance(b.none)} of the cases too little is left to clean up the bore."
    if b.wanted.name == "light pass":
        return (f"{text}\nA light pass keeps the hole from coming out large, because the reamer burnishes more than it "
            "cuts. The bore must be round and true. This is common practice; no open measurements were found.")
    return (f"{text}\nA handbook's allowance cleans up a drilled hole that is rough and not quite true. After clean "
        "boring you can leave less.")


def more_stock(r: Stock, say: Say) -> str:
    rows = "".join(f"<tr><td>{s.name}</td><td>{say.length(s.low, 3)} to {say.length(s.high, 3)}</td>"
        f"<td>{s.source} ({s.basis})</td></tr>" for s in r.sources)
    table = reamed_hole.allowance(r.size)
    drill = float(reamed_hole.drill_before(r.size, (table.low + table.high) / 2, 0.05))
    dialled = "is measured and dialled out" if r.dialled else "is not corrected"
    return (
        f"<p>The bar's deflection error, {r.error.text(say)} on diameter, {dialled}; ±{say.fine(0.01)} is added "
        "for dial "
        f"and reading. If you drill and do not bore, use a {say.length(drill)} drill: it cuts about "
        f"{say.length(0.05, 2)} oversize.</p><table><tr><th>source</th><th>stock</th><th>from</th></tr>{rows}</table>")


STOCK_PAGE = Page(name="stock_for_the_reamer", title="How much do I leave for the reamer?",
    inputs=(Slide("size", but(HoleSize, low=4, high=50), "work", "nominal size of the hole"), CLASS,
    Choose("material", MATERIALS, STEEL, "work"), Choose("wanted", PASSES, "light pass", "work", "allowance by"),
    Slide("bar", BarShare, "tool", "bar diameter, share of the bore"),
    Slide("slenderness", but(SlendernessRatio, low=2, high=10, usual=5), "tool", "bar stickout, in bar diameters"),
    Choose("bar_material", tuple(boring_bar.bar_materials()), "steel", "tool", "bar of"),
    Choose("holder", tuple(boring_bar.holders()), "two screws in a block", "holder", "bar held in"),
    Slide("infeed", but(DepthOfCut, low=0.02, high=0.5, usual=0.1), "cut", "depth of last cut, on radius"),
    Slide("passes", but(Passes, high=5), "cut", "passes at that setting"),
    Tick("dial_out", True, "cut", "I measure the bore and dial out its error")), compute=compute_stock,
    picture=picture_stock, words=words_stock, more=more_stock)


# ---- which reamer for which hole ------------------------------------------------------------------


@dataclass(frozen=True)
class Choice:
    size: float
    code: str
    band: reaming.ReamerLimits
    reamer: float                # deviation
    inside: bool                 # the reamer lies in the DIN 1420 band
    holes: tuple[str, ...]       # classes whose band it lies in
    reamed: reamed_hole.Reamed
    verdict: str

    @property
    def headline(self) -> str:
        """Whether the reamer, used so, makes such holes."""
        return {HOLDS: "Yours will do", EDGE: "Yours is borderline"}.get(self.verdict, "Yours will not do")


def compute_choice(size: float, code: str, material: str, stock: float, reamer: float, fluid: str) -> Choice:
    """Whether a reamer of this deviation makes a hole of this class, and which others it makes; mm.

    Raises Refused for a class or a size that is not known.
    """
    found = reamed_hole.ream(size, code, reamer, material=material, stock=stock, fluid=fluid)
    band = found.band
    inside = bool(band.lower - HALF_A_TENTH <= reamer <= band.upper + HALF_A_TENTH)
    return Choice(size, found.code, band, reamer, inside, tuple(_classes(size, reamer)), found, found.verdict)


@lru_cache(maxsize=512)
def _classes(size: float, reamer: float) -> list[str]:
    return reaming.which_holes(size, size + reamer)


def size_scale(
    d: Drawing, say: Say, span: tuple[float, float], frame: tuple[float, float, float, float]
) -> Callable[[float], float]:
    """Rules and figures of a scale of sizes, counted from the nominal size; returns where a size in mm stands."""
    (low, high), (left, right, top, base) = span, frame

    def at(value: float) -> float:
        return base - (value - low) / (high - low) * (base - top)

    d.text(6, 17, f"deviation from nominal, {say.fine_unit}")
    for tick in nice_ticks(say.fine_number(low), say.fine_number(high), 6):
        y = at(float(tick) * (0.0254 if say.inch else 1e-3))
        d.line([left, right], [y, y], "faint")
        d.text(left - 5, y + 4.5, plain(float(tick), 4), "end", "small")
    return at


def picture_choice(r: Choice, say: Say) -> str:
    d = Drawing("The hole's zone and the reamer's", words_choice(r, say), WIDTH, 300)
    left, right, top, base = 52.0, WIDTH - 8.0, 34.0, 228.0
    low, high = room(
        [0.0, r.band.hole_lower, r.band.hole_upper, r.band.lower, r.band.upper, r.reamer, r.reamed.hole.low,
        r.reamed.hole.high], margin=0.1)

    at = size_scale(d, say, (low, high), (left, right, top, base))
    d.line([left, right], [at(0.0)] * 2, "ink")
    columns = [left + (right - left) * s for s in (0.16, 0.43, 0.67, 0.88)]
    half = 34
    d.rect(columns[0] - half, at(r.band.hole_upper), 2 * half, at(r.band.hole_lower) - at(r.band.hole_upper),
        "fill-work", "ink", 9)
    d.rect(columns[1] - half, at(r.band.upper), 2 * half, at(r.band.lower) - at(r.band.upper), "fill-c", "ink")
    for value, x in ((r.band.hole_upper, columns[0]), (r.band.upper, columns[1])):
        d.text(x, at(value) - 5, deviation(value, say).rsplit(" ", 1)[0], "middle", "small halo")
    for value, x in ((r.band.hole_lower, columns[0]), (r.band.lower, columns[1])):
        d.text(x, at(value) + 15, deviation(value, say).rsplit(" ", 1)[0], "middle", "small halo")
    d.line([columns[2] - 26, columns[2] + 26], [at(r.reamer)] * 2, "a")
    d.dot(columns[2], at(r.reamer), "a", "square", 5)
    d.rect(columns[3] - 14, at(r.reamed.hole.high), 28, at(r.reamed.hole.low) - at(r.reamed.hole.high), "fill-d", "ink")
    d.dot(columns[3], at(r.reamed.hole.value), "d", "diamond", 6)
    for x, name in zip(columns, (f"hole {r.code}", "its reamer", "yours", "your hole"), strict=True):
        d.text(x, base + 20, name, "middle", "small bold")
    d.text(8, 270, "heavy line: nominal size", kind="small")
    d.text(8, 288, "block with ◆: 90 % range of your hole", kind="small")
    return d.svg()


def words_choice(r: Choice, say: Say) -> str:
    digits = 5 if say.inch else (5 if r.size >= 10 else 4)
    low, high = (say.length(r.size + v, digits) for v in (r.band.lower, r.band.upper))
    text = f"For a {say.length(r.size, digits)} {r.code} hole buy a reamer of {low} to {high} (DIN 1420 rule). "
    mine = f"Yours measures {say.length(r.size + r.reamer, digits)}"
    if r.inside:
        text += f"{mine}, which is right. "
    elif r.reamer > r.band.upper:
        text += f"{mine}: {say.fine(r.reamer - r.band.upper)} too large. "
    else:
        text += f"{mine}: {say.fine(r.band.lower - r.reamer)} too small. "
    others = [h for h in r.holes if h != r.code]
    if others:
        text += f"By the rule it {'also ' if r.inside else ''}suits {', '.join(others)}. "
    elif not r.inside:
        text += "By the rule it suits none of the usual classes. "
    return text + (f"\nUsed as set here it makes a hole of {size_range(r.reamed.hole, r.size, say)}; "
        f"{chance(r.reamed.chance)} of such holes are in tolerance.")


REAMER = Page(name="right_reamer", title="Which reamer do I need, and is mine right?",
    inputs=(SIZE, CLASS, Choose("material", MATERIALS, STEEL, "work"), STOCK,
    Slide("reamer", ReamerDeviation, "tool", "my reamer, from nominal"), Choose("fluid", FLUIDS, "cutting oil", "cut")),
    compute=compute_choice, picture=picture_choice, words=words_choice)
