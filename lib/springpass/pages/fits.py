"""Pages of the fits chapter: two tolerance zones, what to aim for, a bearing's seats."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from .. import fits, heat
from ..core import tables
from ..core.quantity import Refused, Say, but, number, plain, quantity_of, said
from ..core.spread import EDGE, HOLDS, Likely, between, likely, sample, verdict
from ..core.tables import assumed
from ..fits import fit_target
from ..fits.quantities import FitSize, HandSpread, MateDoubt, MateOff, Tries
from ..heat.quantities import Temperature
from ..screen.draw import WIDTH, Chart, Drawing, breadth, nice_ticks, room
from ..screen.page import Choose, Page, Slide, Write

HOLES = ("H6", "H7", "H8", "H9", "H11", "F8", "G7", "J7", "JS7", "K7", "M7", "N7", "P7", "R7", "S7")
SHAFTS = ("d9", "e8", "f7", "g6", "h6", "h7", "h9", "js6", "j6", "k6", "m6", "n6", "p6", "r6", "s6", "u6")
WISHES = ("slide", "run", "drag", "tap", "press", "H7/g6", "H7/h6", "H8/f7", "H7/k6", "H7/p6")


def exact(size: float, say: Say, up: bool | None = None) -> str:
    """A limit of size to the last half micrometre; in inches rounded into the tolerance (up: the lower limit)."""
    if not say.inch:
        return f"{size:.4f}".removesuffix("0")
    ticks = size / 25.4 * 1e4
    whole = np.ceil(ticks - 1e-6) if up else np.floor(ticks + 1e-6) if up is not None else np.round(ticks)
    return f"{whole / 1e4:.4f}"


def pair(least: float, most: float, say: Say) -> str:
    """Two limits of size with their unit."""
    if say.inch:
        try:
            found = fits.inch(least, most, 4)
        except Refused:
            found = fits.inch(least, most, 6)
        return f"{found.least:.{found.places}f} to {found.most:.{found.places}f} inch"
    return f"{exact(least, say)} to {exact(most, say)} mm"


def gap(least: float, most: float, say: Say, digits: int = 3) -> str:
    """A range of clearances in words: "7 to 41 µm loose", "15 µm tight to 19 µm loose"."""
    low, high = say.fine(abs(least), digits), say.fine(abs(most), digits)
    bare = low.rsplit(" ", 1)[0]
    if least >= 0:
        return f"{bare} to {high} loose"
    if most <= 0:
        return f"{high.rsplit(' ', 1)[0]} to {low} tight"
    return f"{low} tight to {high} loose"


# ---- two zones --------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Zones:
    size: float
    fit: fits.Fit
    clearance: Likely            # if both sizes fall anywhere between their limits
    feels: tuple[fit_target.Feel, ...]
    at_tightest: str
    at_loosest: str
    places: dict[str, float]     # the middle of each shaft's zone, from nominal, mm; empty where a fit is typed


def compute_zones(size: float, hole: str, shaft: str, typed: str) -> Zones:
    """Where the zones of a hole and a shaft lie and the clearances between them; mm.

    Raises Refused for other classes.
    """
    found = fits.fit(size, typed if typed.strip() else f"{hole}/{shaft}")
    drawn = sample(hole=between(found.hole.lower, found.hole.upper),
        shaft=between(found.shaft.lower, found.shaft.upper))
    return Zones(size, found, likely(drawn["hole"] - drawn["shaft"]), fit_target.feels(size),
        fit_target.feel(size, found.least_clearance).name, fit_target.feel(size, found.most_clearance).name,
        {} if typed.strip() else _places(size))


def _places(size: float) -> dict[str, float]:
    """The middle of each listed shaft's zone at this size; shafts that the standard has not at this size are left out.
    """
    found = {}
    for name in SHAFTS:
        try:
            zone = fits.limits(size, name)
        except Refused:
            continue
        found[name] = float(zone.lower + zone.upper) / 2
    return found


def _label(drawing: Drawing, x: float, top: float, bottom: float, upper: str, lower: str, anchor: str) -> None:
    """Two deviations beside a box, kept apart where the box is thin."""
    spare = max(0.0, 15 - (bottom - top)) / 2
    for y, words in ((top + 5 - spare, upper), (bottom + 5 + spare, lower)):
        if words != "0":   # the nominal line says it
            drawing.text(x, y, words, anchor)


def signed(value: float, say: Say) -> str:
    """A deviation with its sign, in µm or thou."""
    shown = say.bare(float(value), 3 if say.inch else 5)
    return f"+{shown}" if value > 0 else shown


def _boxes(drawing: Drawing, say: Say, top: float, bottom: float, left: float, right: float, names: tuple[str, str],
        zones: tuple[fits.Limits, fits.Limits], title: str = "", places: dict[str, float] | None = None) -> None:
    """Two zones to scale about the nominal line: the first on the left, the second on the right.

    places: where the second zone would lie for each shaft of the page's list; it can then be taken hold of.
    """
    low, high = room(0.0, *(z.lower for z in zones), *(z.upper for z in zones), margin=0.16)

    def at(value: float) -> float:
        return bottom - (value - low) / (high - low) * (bottom - top)

    ticks = nice_ticks(float(say.fine_number(low)), float(say.fine_number(high)), 5)
    scale = 0.0254 if say.inch else 1e-3
    for tick in ticks:
        drawing.line([left, right], [at(tick * scale)] * 2, "faint")
        drawing.text(left - 5, at(tick * scale) + 4.5, plain(float(tick), 4), "end", "small")
    drawing.text(left - 44, top - 10, title or f"{say.fine_unit} from nominal")
    drawing.line([left, right], [at(0.0)] * 2, "ink")
    drawing.line([left, right], [at(0.0) + 1] * 2, "ink")
    width = (right - left) * 0.25
    for i, (name, zone, kind) in enumerate(zip(names, zones, ("fill-a", "fill-b"), strict=True)):
        x = left + (right - left) * (0.23 if i == 0 else 0.53)
        y0, y1 = at(zone.upper), at(zone.lower)
        drawing.rect(x, y0, width, max(y1 - y0, 1.5), kind, "ink", 8 if i == 0 else 5)
        _label(drawing, x - 6 if i == 0 else x + width + 6, y0, y1, signed(zone.upper, say), signed(zone.lower, say),
            "end" if i == 0 else "start")
        above = at(max(z.upper for z in zones)) > top + 22
        over = above or y0 > top + 20
        # a broad name reaches over the deviations beside the zone: farther off then
        apart = 9 if breadth(name, 17) > width + 12 and (y1 - y0 < 20 or not over) else 0
        drawing.text(x + width / 2, y0 - 7 - apart if over else y1 + 16 + apart, name, "middle", "bold halo")
    if places:
        now = (zones[1].lower + zones[1].upper) / 2
        drawing.handle("shaft", left + (right - left) * 0.53 + width / 2, at(now), axis="y",
            stops={name: at(middle) for name, middle in places.items()})
    # where no deviation stands: at the right or the left, under the line or over it
    beside = [[at(z.upper) + 5, at(z.lower) + 5] for z in zones]
    spots = [(side, at(0.0) + down) for side in (1, 0) for down in (15, -5)]
    for side, y in spots:
        if all(abs(y - b) > 14 for b in beside[side]) and y < bottom + 14:
            drawing.text(right if side else left + 4, y, "nominal", "end" if side else "start", "small halo")
            break


def _feel_strip(drawing: Drawing, say: Say, y: float, feels: tuple[fit_target.Feel, ...], least: float, most: float,
        spread: Likely) -> None:
    """The clearance on a scale of feels."""
    low, high = room(least, most, 0.0, margin=0.35)
    left, right = 16.0, drawing.width - 16.0

    def at(value: float) -> float:
        return left + float(np.clip((value - low) / (high - low), 0, 1)) * (right - left)

    for i, feel in enumerate(feels):
        a, b = at(feel.least), at(feel.most)
        if b - a < 1:
            continue
        drawing.rect(a, y, b - a, 22, "fill-work" if i % 2 else "paper", "thin")
        if b - a > 8.0 * len(feel.name):
            drawing.text((a + b) / 2, y + 16, feel.name, "middle", "small")
    drawing.line([at(least), at(most)], [y + 32, y + 32], "ink")
    for end in (least, most):
        drawing.line([at(end)] * 2, [y + 26, y + 38], "ink")
    drawing.rect(at(spread.low), y + 28, max(at(spread.high) - at(spread.low), 2), 8, "dot-a")
    drawing.dot(at(spread.value), y + 32, "a", "diamond", 5)
    drawing.line([at(0.0)] * 2, [y - 5, y + 40], "limit")
    scale = 0.0254 if say.inch else 1e-3
    for tick in nice_ticks(float(say.fine_number(low)), float(say.fine_number(high)), 6, right - left):
        drawing.text(at(tick * scale), y + 54, plain(float(tick), 4), "middle", "small")
    drawing.text(left, y - 9, "◂ tight" if low < 0 else "")
    drawing.text(right, y - 9, f"clearance, {say.fine_unit}; loose ▸", "end")


SECTION = 134.0          # px above the zones for the two parts in section
OPEN, LAPPED = 15.0, 7.0  # px that a clearance, or an interference, is drawn wide on one side at most


def _in_section(d: Drawing, result: Zones, say: Say) -> None:
    """The hole and the shaft in section, with the clearance between them exaggerated."""
    hole, shaft = result.fit.hole, result.fit.shaft
    left, right, middle, bore, wall = 112.0, 232.0, 84.0, 26.0, 20.0
    middle_gap = (result.fit.least_clearance + result.fit.most_clearance) / 4
    unit = 2.5 * float(fits.tolerance_unit(result.size)) / 2
    gap_px = float(np.clip(8 * middle_gap / unit, -LAPPED, OPEN))
    half = bore - gap_px
    for side in (-1, 1):
        top = middle + side * bore if side > 0 else middle - bore - wall
        d.rect(left, top, right - left, wall, "fill-a", "ink", 8)
    d.rect(left - 22, middle - half, right - left + 58, 2 * half, "fill-b", "ink")
    if gap_px < 0:   # where the two would be in one another's place
        for y in (middle - half, middle + bore):
            d.rect(left, y, right - left, -gap_px, "fill-gone", "gone")
    d.line([left - 30, right + 46], [middle, middle], "phantom")
    kind = "interference" if result.fit.kind == "interference" else "clearance"
    times = float(f"{abs(gap_px) * result.size / (2 * bore * max(abs(middle_gap), 1e-9)):.1g}")
    d.text(6, 16, f"Ø{say.length(result.size)} {hole.code}/{shaft.code}, {kind} exaggerated"
        f"{f' ×{plain(times, 1)}' if abs(gap_px) > 0.5 else ''}", kind="halo")
    d.text(6, middle - bore - 5, f"hole {hole.code}", kind="small halo")
    d.text(6, middle + 5, f"shaft {shaft.code}", kind="small halo")
    d.arrow(right + 50, middle - bore - 10, right + 14, middle - bore + max(gap_px, 0) / 2)
    loose = gap(result.fit.least_clearance, result.fit.most_clearance, say)
    d.text(d.within(right + 54 + breadth(loose) / 2, loose), middle - bore - 15, loose, "middle", "small halo")


def picture_zones(result: Zones, say: Say) -> str:
    hole, shaft = result.fit.hole, result.fit.shaft
    drawing = Drawing("Hole and shaft in section, and their tolerance zones",
        f"{hole.code} from {signed(hole.lower, say)} to {signed(hole.upper, say)}, {shaft.code} from "
        f"{signed(shaft.lower, say)} to {signed(shaft.upper, say)} {say.fine_unit}; "
        f"clearance {gap(result.fit.least_clearance, result.fit.most_clearance, say)}.", WIDTH, SECTION + 352)
    _in_section(drawing, result, say)
    _boxes(drawing, say, SECTION + 30, SECTION + 240, 52, WIDTH - 12, (f"hole {hole.code}", f"shaft {shaft.code}"),
        (hole, shaft), places=result.places)
    _feel_strip(drawing, say, SECTION + 284, result.feels, result.fit.least_clearance, result.fit.most_clearance,
        result.clearance)
    return drawing.svg()


KINDS = {"clearance": "This is a clearance fit: it always goes together",
    "transition": "This is a transition fit: it may come out loose or tight",
    "interference": "This is an interference fit: the shaft is always the larger"}


def words_zones(result: Zones, say: Say) -> str:
    pairing, clear = result.fit, result.clearance
    feel = f"“{result.at_tightest}” at its tightest and “{result.at_loosest}” at its loosest"
    if result.at_tightest == result.at_loosest:
        feel = f"“{result.at_tightest}”"
    return (f"Make the hole {pair(pairing.hole.least, pairing.hole.most, say)} ({pairing.hole.code}) and the shaft "
        f"{pair(pairing.shaft.least, pairing.shaft.most, say)} ({pairing.shaft.code}).\n"
        f"{KINDS[pairing.kind]}, {gap(pairing.least_clearance, pairing.most_clearance, say)}. If both sizes fall "
        f"anywhere between their limits, the 90 % range is {gap(clear.low, clear.high, say, 2)}. It feels like {feel} "
        "(common practice; the boundaries are soft).")


def more_zones(result: Zones, say: Say) -> str:
    rows = "".join(f"<tr><td>{f.name}</td><td>{_feel_range(f, say)}</td><td>{f.says}</td></tr>" for f in result.feels)
    other = "".join(_inches(name, part) for name, part in (("hole", result.fit.hole), ("shaft", result.fit.shaft)))
    return ("<details><summary>In inches, and how fits of this size feel</summary><p>Rounded so that the "
        "tolerance never "
        f"grows: {other}</p>" "<table><tr><th>feel</th><th>clearance</th><th>in the hand</th></tr>"
        f"{rows}</table></details>")


def _inches(name: str, part: fits.Limits) -> str:
    """Limits and middle of one part in decimal inches."""
    for places in (4, 5, 6):
        try:
            found = fits.inch(part.least, part.most, places)
        except Refused:
            continue
        return f"{name} {found.least:.{places}f} to {found.most:.{places}f}, aim {found.nearest:.{places}f} inch. "
    return ""


def _feel_range(feel: fit_target.Feel, say: Say) -> str:
    if not np.isfinite(feel.most):
        return f"over {say.fine(feel.least)}"
    if not np.isfinite(feel.least):
        return f"more than {say.fine(-feel.most)} tight"
    return gap(feel.least, feel.most, say, 2)


ZONES = Page(name="fits_zones", title="How loose or tight is this fit?",
    inputs=(Slide("size", but(FitSize, low=1, log=True), "work", "nominal size"),
    Choose("hole", HOLES, "H7", "work", "hole, tolerance class"),
    Choose("shaft", SHAFTS, "g6", "work", "shaft, tolerance class"),
    Write("typed", "", "work", "or type a fit", "such as H7/g6 or M7/h6; leave it empty to use the two lists")),
    compute=compute_zones, picture=picture_zones, words=words_zones, more=more_zones)


# ---- what to aim for --------------------------------------------------------------------------------


@dataclass(frozen=True)
class Aiming:
    size: float
    wish: str
    making: str
    measured: float       # of the finished part
    least: float          # wanted clearance
    most: float
    low_edges: tuple[float, float]    # how soft the two edges are
    high_edges: tuple[float, float]
    aim: fit_target.Aim
    aim_size: float
    good: tuple[float, float]     # sizes that fit, by the middle edges
    chance: Likely                # with all the cuts
    spread: float
    tries: int
    spread_for_nine: float        # the hand that makes nine in ten at one cut; zero where no hand can
    curve: tuple[np.ndarray, np.ndarray, np.ndarray]   # aims, chance with one cut, chance with all cuts
    feels: tuple[fit_target.Feel, ...]
    verdict: str

    @property
    def headline(self) -> str:
        """Whether the hand that is set will do."""
        return {HOLDS: "Your hand is steady enough", EDGE: "Your hand is borderline"}.get(self.verdict,
            "Your hand is not steady enough yet")


def _edges(size: float, wish: str) -> tuple[tuple[float, float], tuple[float, float]]:
    """How far the two edges of a wish may really lie: a feel's edges are soft, a fit's are not."""
    least, most = fit_target.wanted(size, wish)
    names = tables.names("fit_feels", "feel")
    if wish not in names:
        return (least, least), (most, most)
    unit = float(fits.tolerance_unit(size))
    low, high = tables.row("fit_feels", feel=wish), tables.row("fit_feels", feel=names[names.index(wish) - 1])
    return (low["low"] * unit, low["high"] * unit), (high["low"] * unit, high["high"] * unit)


MICRONS, SAME = 1e3, 1e-6   # in a mm; nearer to a whole one than this is it
SEEN, MORE = 2.5, 0.2       # the curve runs so many deviations, and this share of the range, past its ends


def compute_aim(size: float, wish: str, making: str, off: float, doubt: float, spread: float, tries: float) -> Aiming:
    """What to aim for so that a part fits its mate as wished, and the chance that it does; mm.

    off, doubt: of the measured mate from its nominal size; spread: of the hand; tries: cuts that may follow. Raises
    Refused for a wish that is not known.
    """
    least, most = fit_target.wanted(size, wish)
    low_edges, high_edges = _edges(size, wish)
    aim = fit_target.best_aim(least, most, spread, doubt, int(tries))
    drawn = sample(low=between(*low_edges), high=between(*high_edges),
        spread=assumed("spread of a hand").around(spread))
    hand = quantity_of(HandSpread)
    hands = np.clip(drawn["spread"], hand.low, hand.high)
    chance = likely(fit_target.chance(aim.plan, drawn["low"], drawn["high"], hands, doubt))
    measured = size + off
    turn = 1 if making == "bore" else -1
    good = sorted((measured + turn * least, measured + turn * most))
    inward = (
        float(np.ceil(good[0] * MICRONS - SAME) / MICRONS),
        float(np.floor(good[1] * MICRONS + SAME) / MICRONS),
    )  # to whole micrometres
    good = list(inward) if inward[0] < inward[1] else good
    deviation = float(np.hypot(spread, doubt)) / 2
    beside = SEEN * deviation
    aims = np.linspace(least - beside - MORE * (most - least), most + beside, 121)
    one = fit_target.odds(aims, least, most, spread, doubt)
    later = fit_target.best_aim(least, most, spread, doubt, int(tries) - 1).odds if tries > 1 else 0.0
    many = fit_target.odds_with_more(aims, least, most, spread, doubt, later)
    return Aiming(size, wish, making, measured, least, most, low_edges, high_edges, aim,
        round(measured + turn * aim.clearance, 3), (good[0], good[1]), chance, spread, int(tries),
        fit_target.hand_for(least, most, doubt), (aims, one, many), fit_target.feels(size), verdict(chance.value))


def picture_aim(result: Aiming, say: Say) -> str:
    aims, one, many = result.curve
    x = say.fine_number(aims)
    chart = Chart("Chance of a good part against the aim",
        f"It is greatest, {100 * result.aim.odds:.0f} %, at a clearance of "
        f"{say.fine(result.aim.clearance)}.", x=("clearance aimed at", say.fine_unit, float(x[0]), float(x[-1])),
        y=("chance of a good part", "%", 0, 100), height=330)
    least, most = (float(say.fine_number(v)) for v in (result.least, result.most))
    sure = say.fine_number(np.array([result.low_edges[1], result.high_edges[0]]))
    chart.band(sure, np.zeros(2), np.full(2, 100.0), "c")
    for edges in (result.low_edges, result.high_edges):   # soft edges
        chart.band(say.fine_number(np.array(edges)), np.zeros(2), np.full(2, 100.0), "work")
    ends = np.clip(chart.at_x(np.array([least, most])), chart.left, chart.right)
    chart.text(float(ends.mean()), chart.bottom - 8, "fits" if "/" in result.wish else result.wish, "middle",
        "small halo")
    chart.text(chart.left + 6, chart.top + 14, "too tight", "start", "small halo")
    chart.text(chart.right - 6, chart.top + 14, "too loose", "end", "small halo")
    chart.curve(x, 100 * one, "one cut" if result.tries > 1 else "", "a")
    if result.tries > 1:
        chart.curve(x, 100 * many, f"up to {result.tries} cuts", "b")
    best = float(say.fine_number(result.aim.clearance))
    chart.upright(best, "", "limit")
    chart.mark(best, 100 * result.aim.odds, "best aim", "b" if result.tries > 1 else "a", "diamond")
    return chart.svg()


def _percent(value: float) -> str:
    """Chance in words, without false certainty at the ends."""
    return "under 1" if value < 0.01 else "over 99" if value > 0.99 else f"{100 * value:.0f}"


def words_aim(result: Aiming, say: Say) -> str:
    low, high = _percent(result.chance.low), _percent(result.chance.high)
    band = f" (90 % range {low} to {high} %)" if low != high else ""
    side = "over the pin" if result.making == "bore" else "under the bore"
    if result.aim.clearance < 0:
        side = "under the pin" if result.making == "bore" else "over the bore"
    grips = ", so that it grips" if result.aim.clearance < 0 else ""
    cuts = "" if result.tries == 1 else (f" That is the first of up to {result.tries} cuts, measuring between; aim the "
        f"last {gap_one(result.aim.plan[-1], say)}.")
    hand = (f"To get nine in ten at one cut you must hit a size within ±{say.fine(result.spread_for_nine)}."
        if result.spread_for_nine > 0
        else "Measure better first: this uncertainty alone rules out nine in ten.")
    return (f"Aim the {result.making} at {exact(result.aim_size, say)} {say.length_unit}, "
        f"{say.fine(abs(result.aim_size - result.measured))} {side} of {exact(result.measured, say)} "
        f"{say.length_unit}{grips}. Anything from {pair(*result.good, say)} is right.{cuts}\n"
        f"{_percent(result.chance.value)} % of such parts come out good{band}. At the first cut "
        f"{_percent(result.aim.too_loose)} % come out too loose and are scrap, {_percent(result.aim.again)} % "
        "too tight "
        f"and can be cut again. {hand}")


def gap_one(clearance: float, say: Say) -> str:
    """One clearance in words."""
    return f"{say.fine(abs(clearance))} {'loose' if clearance >= 0 else 'tight'}"


AIM = Page(name="fits_aim", title="What do I aim for?",
    inputs=(Slide("size", but(FitSize, low=2, high=120, usual=12), "work", "nominal size"),
    Choose("wish", WISHES, "slide", "work", "how should it fit?", "a feel, or a fit of the standard"),
    Choose("making", ("pin", "bore"), "pin", "work", "I still have to make the"),
    Slide("off", MateOff, "work", "the finished part, from nominal"),
    Slide("doubt", MateDoubt, "work", "uncertainty of that measurement, ±"),
    Slide("spread", HandSpread, "cut", "I hit a size within ±"), Slide("tries", Tries, "cut", "cuts I allow myself")),
    compute=compute_aim, picture=picture_aim, words=words_aim)


# ---- a bearing's seats ------------------------------------------------------------------------------

TABLE = "as the table says"
CASES = {"shaft": "inner", "housing": "outer"}
SIZES = tuple(tables.names("bearing_sizes", "name"))
HOUSINGS = ("aluminium 6082", "low-carbon steel 1020", "grey cast iron", "brass CuZn39Pb3")


@dataclass(frozen=True)
class Seated:
    bore: float
    outside: float
    turning: str
    load: str
    seat: fits.Seat
    shaft_side: Likely
    housing_side: Likely
    warm: Likely                      # clearance in the housing at the temperature
    temperature: float
    material: str


def compute_seat(bearing: str, own: str, case: str, load: str, precision: str, material: str, shaft: str, housing: str,
        temperature: float) -> Seated:
    """Seats for a bearing and what it has of clearance cold and warm; mm, °C.

    Raises Refused for a size not in the tables.
    """
    bore, outside = read_bearing(own) if own.strip() else read_bearing(bearing)
    seat = fits.seat(bore, outside, CASES[case], load, precision, "" if shaft == TABLE else shaft,
        "" if housing == TABLE else housing)
    drawn = sample(journal=between(seat.shaft.lower, seat.shaft.upper), ring=between(seat.bore.lower, seat.bore.upper),
        pocket=between(seat.housing.lower, seat.housing.upper), cup=between(seat.outside.lower, seat.outside.upper),
        housing=tables.fact("materials", material=material, property="alpha").range,
        steel=tables.fact("materials", material="bearing steel 100Cr6 / 52100", property="alpha").range)
    on, within = drawn["ring"] - drawn["journal"], drawn["pocket"] - drawn["cup"]
    warm = heat.clearance_at(within, outside, drawn["housing"], drawn["steel"], temperature - heat.REFERENCE)
    return Seated(bore, outside, CASES[case], load, seat, likely(on), likely(within), likely(warm), temperature,
        material)


def read_bearing(text: str) -> tuple[float, float]:
    """Bore and outside of a bearing typed as "20 x 42" or "20x42x12", mm. Raises Refused."""
    parts = re.split(r"\s*[x×X*/]\s*", text.strip())
    if len(parts) not in (2, 3):
        raise Refused(f"{said(text)} is not a bearing's size. Type bore and outside in mm, such as 20 x 42.")
    return number(parts[0]), number(parts[1])


def picture_seat(result: Seated, say: Say) -> str:
    seat = result.seat
    drawing = Drawing("Bearing and seats", f"Inner ring {gap(*seat.on_shaft, say)} on the shaft, "
        f"outer ring {gap(*seat.in_housing, say)} in the housing.", WIDTH, 400)
    drawing.text(6, 18, f"Ø{say.length(result.bore)} shaft seat and inner ring, {say.fine_unit}", "start", "bold halo")
    _boxes(drawing, say, 44, 190, 52, WIDTH - 12, ("ring's bore", f"shaft {seat.shaft.code}"), (seat.bore, seat.shaft),
        " ")
    drawing.text(6, 218, f"Ø{say.length(result.outside)} housing seat and outer ring, {say.fine_unit}", "start",
        "bold halo")
    _boxes(drawing, say, 244, 390, 52, WIDTH - 12, (f"housing {seat.housing.code}", "ring's outside"),
        (seat.housing, seat.outside), " ")
    return drawing.svg()


def words_seat(result: Seated, say: Say) -> str:
    seat = result.seat
    turned, loose = ("inner", result.shaft_side) if result.turning == "inner" else ("outer", result.housing_side)
    ends = seat.on_shaft if result.turning == "inner" else seat.in_housing
    if ends[1] <= 0:
        creep = f"The {turned} ring turns against the load and is always tight, as it should be."
    elif loose.value > 0:
        creep = (f"Careful: the {turned} ring turns against the load and is more often loose than tight, so it may "
            "creep and wear its seat. Choose a tighter class.")
    else:
        advice = "fine for a light load" if result.load == "light" else f"risky under a {result.load} load"
        creep = (f"Make the seat to the bearing you have: the {turned} ring turns against the load, and it can "
            "come out "
            f"{say.fine(ends[1])} loose, which is {advice}.")
    warm = ""
    if abs(result.temperature - 20) >= 0.5:
        warm = (f" At {plain(result.temperature, 3)} °C in {result.material} the outer ring is "
            f"{gap(result.warm.low, result.warm.high, say, 2)}.")
    return (f"Make the shaft Ø{pair(seat.shaft.least, seat.shaft.most, say)} ({seat.shaft.code}): "
        f"the inner ring is {gap(*seat.on_shaft, say)}. "
        f"Make the housing Ø{pair(seat.housing.least, seat.housing.most, say)} ({seat.housing.code}): "
        f"the outer ring is {gap(*seat.in_housing, say)}.{warm}\n{creep}")


def more_seat(result: Seated, say: Say) -> str:
    seat = result.seat
    return (f"<p>Keep the seats round and straight within {say.fine(seat.shaft_form)} on the shaft and "
        f"{say.fine(seat.housing_form)} in the housing, and the shoulders square within {say.fine(seat.shoulder)} and "
        f"{say.fine(seat.housing_shoulder)}.</p>"
        f"<p>The tables also allow {seat.shaft_also} on the shaft and {seat.housing_also} in the housing. If "
        "sizes fall "
        "anywhere between their limits, the 90 % range is "
        f"{gap(result.shaft_side.low, result.shaft_side.high, say, 2)} on the shaft and "
        f"{gap(result.housing_side.low, result.housing_side.high, say, 2)} in the housing.</p>")


SEAT = Page(name="fits_seat", title="What seats does this bearing need?",
    inputs=(Choose("bearing", SIZES, "20 × 42", "work", "bearing, bore × outside", "in mm; radial ball bearings"),
    Write("own", "", "work", "or type its size", "such as 20 x 42; leave it empty to use the list"),
    Choose("case", tuple(CASES), "shaft", "work", "what turns against the load?",
    "the part that turns while the load stays where it is, such as a shaft driven by a belt"),
    Choose("load", fits.LOADS, "light", "work", "load", "light: under 0.06 of the bearing's rating; normal: to 0.13"),
    Choose("precision", fits.BEARING_CLASSES, "Normal", "work", "tolerance class of the bearing"),
    Choose("material", HOUSINGS, "aluminium 6082", "work", "housing material"),
    Choose("shaft", (TABLE, "g6", "h5", "h6", "js5", "js6", "j5", "j6", "k5", "k6", "m5", "m6"), TABLE, "work",
    "shaft seat"),
    Choose("housing", (TABLE, "G7", "H6", "H7", "H8", "J7", "JS7", "K7", "M7", "N7", "P7"), TABLE, "work",
    "housing seat"), Slide("temperature", but(Temperature, low=-40, high=120, step=1), "view", "temperature")),
    compute=compute_seat, picture=picture_seat, words=words_seat, more=more_seat)
