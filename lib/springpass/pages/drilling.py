"""Pages of the chapter on holes: the bottom, the wander, the road to a reamed blind hole, the chips."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .. import cutting
from .. import drilling as dr
from ..core import tables
from ..core.quantity import Refused, Say, but, plain
from ..core.shared import BarDiameter, BoreDiameter, Feed, NoseRadius, Passes
from ..core.spread import EDGE, HOLDS, Likely, between, likely, odds, sample, verdict
from ..core.tables import assumed
from ..drilling import CleanUp, Compliance, DrillDiameter, HoleDepth, TipDepth
from ..screen.draw import WIDTH, Chart, Drawing, breadth, strip
from ..screen.page import Choose, Page, Slide, Tick
from ..workholding.quantities import StockLeft

POINTS = {"118°": 118.0, "130°": 130.0, "135°": 135.0, "140°": 140.0, "flat-ground, 180°": 180.0}
STARTS = {"straight in on a faced end": 0, "after a short centre drill": 1, "bored true for a diameter": 2}
RUNS = {"evenly ground, sharp": 0, "lips uneven, or dull": 1}
NOSE = assumed("nose radius of a turning tool").value
ENTERING = assumed("entering angle of a turning tool").value
FORMS = tuple(tables.names("drills_chips", "form"))
Bore = but(BoreDiameter, low=3, high=60, usual=10, step=0.1)
Drill = but(DrillDiameter, low=1, high=50, usual=9.2, step=0.1)
Depth = but(HoleDepth, low=4, high=120, usual=32)


def _fits(drill: float, bore: float) -> None:
    if drill >= bore:
        raise Refused(
            f"A drill of {plain(drill, 4)} mm leaves nothing to bore at {plain(bore, 4)} mm. Take a smaller drill.")


# ---- the bottom -----------------------------------------------------------------------------------


@dataclass(frozen=True)
class Bottom:
    bore: float
    depth: float
    drill: float
    point: str
    angle: float
    tip: float
    nose: float
    squared: bool
    height: Likely            # of the cone
    full: Likely              # depth to which the drill's full diameter reaches
    corner: float             # mm³ for the boring bar, without a flat-ground drill
    times: float              # depth of cut at the bottom over that higher up
    above: float              # depth of cut higher up
    at_bottom: float          # and where wall and bottom meet
    verdict: str

    @property
    def headline(self) -> str:
        if self.verdict != HOLDS:
            return "The drill's tip may mark the bottom" if self.verdict == EDGE else "The drill's tip marks the bottom"
        return "It leaves a square bottom" if self.squared or not self.height.value else "It leaves a cone"


def compute_bottom(
    bore: float, depth: float, drill: float, point: str, tip: float, nose: float, squared: bool
) -> Bottom:
    """What a drill leaves at the bottom of a bore, and whether its tip stays above it; mm, mm³.

    The angle and the tip's depth are known only so well, which makes the ranges. Raises Refused for a drill that does
    not go into the bore, or a tip that is not as deep as its own cone is high.
    """
    _fits(drill, bore)
    angle = POINTS[point]
    height = dr.point_height(drill, angle)
    if tip <= height:
        raise Refused(f"The tip must go deeper than its own cone is high, {plain(height)} mm here. Set it deeper.")
    point_ground = assumed("angle of a drill point").around(angle) if height else assumed("angle of a flat drill").range
    drawn = sample(angle=point_ground, tip=assumed("tip of a drill touched off").around(tip))
    cone = dr.cone_height(drill, np.minimum(drawn["angle"], dr.NEARLY_FLAT))
    above = (bore - drill) / 2
    at_bottom = above
    if height and not squared:   # the cone's wall where it meets the finished bottom
        at_bottom = float(dr.floor_depth_of_cut(max(tip - depth, 0.0), bore, drill, height))
    return Bottom(bore, depth, drill, point, angle, tip, nose, squared, likely(cone), likely(drawn["tip"] - cone),
        dr.left_on_the_bottom(bore, drill, angle, tip, depth), at_bottom / above, above, at_bottom,
        verdict(odds(drawn["tip"] <= depth)))


def words_bottom(r: Bottom, say: Say) -> str:
    said = [f"With its tip at {say.length(r.tip)}, the Ø{say.length(r.drill)} drill has its full diameter to "
        f"{r.full.text(say, fine=False)}. The cone below is {say.length(r.height.value, 2)} high."]
    over = r.tip - r.depth
    if over > 1e-9:
        said.append(f"The tip goes {say.length(over, 2)} past the bottom and leaves a dimple in it.")
    else:
        said.append(f"The tip stops {say.length(-over, 2)} short of the bottom." if over < -1e-9
            else "The tip just reaches the bottom and may mark it.")
    if r.squared:
        rest = (f"A flat-ground drill squares the bottom, so the boring bar finds a depth of cut of "
            f"{say.length(r.above, 2)} all the way down.")
    else:
        rest = (f"In the corner the bar's depth of cut rises from {say.length(r.above, 2)} to "
            f"{say.length(r.at_bottom, 2)}, {plain(r.times)} times as much.")
        if r.times > 3:
            rest += (" Square the bottom with a flat-ground drill first, or take the corner out in light facing cuts.")
    return " ".join(said) + "\n" + rest


def picture_bottom(r: Bottom, say: Say) -> str:
    d = Drawing("The bottom of the hole, cut through its axis", words_bottom(r, say), WIDTH, 330)
    length = max(1.5 * r.bore, 1.3 * r.height.value + 0.5 * r.bore,
        min(r.depth - r.tip + r.height.value, r.depth) + 0.5 * r.bore)
    past = max(r.tip - r.depth, 0.0)
    behind = max(0.35 * r.bore, 1.15 * past)
    scale = min(150 / r.bore, 330 / (length + behind))
    right = 20 + length * scale            # where the finished bottom is
    middle = 112.0

    def x(depth: float) -> float:
        return right + (depth - r.depth) * scale

    half, drill = r.bore / 2 * scale, r.drill / 2 * scale
    end = right + behind * scale
    d.shape([20, end, end, 20, 20, right, right, 20],
        [middle - half - 26, middle - half - 26, middle + half + 26, middle + half + 26, middle + half, middle + half,
        middle - half, middle - half], "fill-work", hatch=9)
    d.line([20, right, right, 20], [middle - half, middle - half, middle + half, middle + half])
    full, tip = (right, right) if r.squared else (x(r.tip - r.height.value), x(r.tip))
    if tip > right:   # a dimple past the bottom
        mouth = drill * min(1.0, (tip - right) / max(tip - full, 1e-9))
        d.shape([right, max(full, right), tip, max(full, right), right],
            [middle - mouth, middle - mouth, middle, middle + mouth, middle + mouth], "paper")
    else:
        mouth = 0.0
    inside = min(full, right)
    for sign in (-1, 1):   # what the bar still has to take; the mouth is zero where the tip stops short
        d.shape([20, inside, min(tip, right), right, right, 20],
            [middle + sign * v for v in (drill, drill, mouth, mouth, half, half)], "fill-b")
        d.line([20, full, tip], [middle + sign * drill, middle + sign * drill, middle], "a")
    d.line([20, end], [middle, middle], "limit")
    d.handle("tip", tip, middle, 1 / scale)
    d.handle("drill", 20 + 0.4 * (inside - 20), middle + drill, 2 / scale, "y")
    d.text(26, middle - 8, "drilled", kind="small halo")
    d.text(max(right - 4, 20 + breadth("left for the bar")), middle - half - 8, "left for the bar", "end", "small halo")
    if not r.squared and tip - full > 2:
        d.dimension(full, middle + half, tip, middle + half, say.length(r.height.value, 2), 18)
    deep = "squared to the bottom" if r.squared else f"full diameter to {say.length(r.full.value)}"
    d.text(20, middle + half + 48, f"{deep}; bottom at {say.length(r.depth)}", kind="small halo")
    y = 252.0
    most = max(r.at_bottom, r.above)
    for name, value, kind, row in (("bar's depth of cut along the wall", r.above, "fill-a", 0),
            ("and where wall and bottom meet", r.at_bottom, "fill-b", 1)):
        d.text(20, y + 36 * row, f"{name}: {say.length(value, 2)}", kind="small")
        d.rect(20, y + 5 + 36 * row, max(400 * value / most, 1.5), 12, kind, "thin")
    return d.svg()


def more_bottom(r: Bottom, say: Say) -> str:
    return (f"<p>{r.point}: {dr.point_use(r.angle)} (common practice).</p><p>The nose of the bar leaves a fillet of "
        f"{plain(float(dr.fillet(r.nose)), 2)} mm² section in the corner. If a mating part must seat there, give the "
        f"corner a relief.</p>")


BOTTOM = Page(name="drilled_bottom", title="What does the drill leave at the bottom?",
    inputs=(Slide("bore", Bore, "work", "finished bore"), Slide("depth", Depth, "work", "depth of the bottom"),
    Slide("drill", Drill, "tool"), Choose("point", tuple(POINTS), "118°", "tool", "drill's point"),
    Slide("nose", but(NoseRadius, low=0.05, high=0.8), "tool", "nose radius of the bar"),
    Slide("tip", but(TipDepth, low=3, high=125, usual=31.8, step=0.1), "cut", "depth of the drill's tip"),
    Tick("squared", False, "cut", "flat-ground drill squares the bottom afterwards")), compute=compute_bottom,
    picture=picture_bottom, words=words_bottom, more=more_bottom)


# ---- wander ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Wander:
    bore: float
    depth: float
    drill: float
    passes: int
    offset: Likely            # of the drilled hole at its bottom
    clean: Likely             # smallest bore that cleans up
    after: tuple[Likely, ...]  # offset at the bottom after each pass
    share: Likely             # left by one pass
    cleans: float
    largest: float            # largest drill that nearly always cleans up, 0 if none
    verdict: str

    @property
    def headline(self) -> str:
        return {HOLDS: "Yes, it cleans up", EDGE: "It may not clean up"}.get(self.verdict, "It will not clean up")


def compute_wander(bore: float, depth: float, material: str, drill: float, start: str, run: str, compliance: float,
        feed: float, passes: float) -> Wander:
    """How far a drilled hole runs off, and how much of it boring passes leave; mm, compliance of the bar in mm/N.

    Raises Refused for a drill that does not go into the bore.
    """
    _fits(drill, bore)
    count = round(passes)
    begins = tables.fact("drills_wander", name=dr.wander_facts("start")[STARTS[start]])
    runs = tables.fact("drills_wander", name=dr.wander_facts("drift")[RUNS[run]])
    drawn = sample(start=begins.range, drift=runs.range, turn=between(0.0, np.pi), over=dr.oversize(drill),
        force=cutting.force_beside_table(material).range, bar=assumed("give of a bar as guessed").range)
    # start and drift point anywhere round the axis
    offset = dr.offset_any_way(drawn["start"], drawn["drift"], depth, drawn["turn"])
    clean = dr.smallest_clean_bore(drill + drawn["over"], offset)
    stiff = cutting.thrust_growth((bore - drill) / 2 / count, feed, NOSE, ENTERING, material)
    share = dr.copy_share(compliance * drawn["bar"], stiff * drawn["force"])
    after = tuple(likely(dr.offset_after(offset, share, n)) for n in range(1, count + 1))
    cleans = odds(clean <= bore)
    return Wander(bore, depth, drill, count, likely(offset), likely(clean), after, likely(share), cleans,
        dr.largest_that_cleans(bore, likely(2 * offset).high), verdict(cleans))


def words_wander(r: Wander, say: Say) -> str:
    last = r.after[-1]
    said = [f"At the bottom the drilled hole is about {r.offset.text(say)} off the axis. It cleans up at "
        f"{r.clean.text(say, fine=False, named=False)}, and you bore to {say.length(r.bore)}."]
    if r.cleans < 0.9:
        said.append(f"First change: a drill of {say.length(r.largest)} or less." if 0 < r.largest < r.drill
            else "First change: a truer start, or drill in two depths and bore between.")
    return " ".join(said) + (f"\nOne pass leaves about {plain(100 * r.share.value, 2)} % of the offset, and after "
        f"{r.passes} {'pass' if r.passes == 1 else 'passes'} "
        + (f"{last.text(say, named=False)} is left." if last.high > 0.001 else f"less than {say.fine(0.001)} is left.")
        + " A reamer follows the hole it finds and would leave all of it.")


def picture_wander(r: Wander, say: Say) -> str:
    most = say.fine_number(max(r.offset.high * 1.15, 1e-3))
    listed = ", ".join(say.fine(v.value) for v in (r.offset, *r.after))
    d = Chart("How far the hole is off, pass by pass",
        f"{words_wander(r, say)} Drilled, then after each pass: {listed}.",
        x=("boring passes", "", 0, max(r.passes, 4)), y=("off the axis at the bottom", say.fine_unit, 0, most),
        height=270, counted=True)
    steps = np.arange(0, r.passes + 1)
    values = [r.offset, *r.after]
    d.band(steps, [say.fine_number(v.low) for v in values], [say.fine_number(v.high) for v in values])
    d.curve(steps, [say.fine_number(v.value) for v in values])
    for n, v in zip(steps, values, strict=True):
        # what is left under a hundredth of a micrometre is not worth a number
        d.mark(float(n), float(say.fine_number(v.value)), say.fine(v.value) if v.value > 1e-5 else "",
            shape="circle" if n else "square")
    d.height = 362
    low, high = min(r.clean.low, r.bore) - 0.1, max(r.clean.high, r.bore) + 0.1

    def plainly(v: float) -> float:
        return float(say.length_number(v))

    strip(d, 286, plainly(low), plainly(high), (plainly(low), plainly(r.bore)),
        (plainly(r.clean.value), plainly(r.clean.low), plainly(r.clean.high)), say.length_unit, "inside the bore",
        "cleans up at")
    return d.svg()


WANDER = Page(name="drill_wander", title="Will boring clean up the drilled hole?",
    inputs=(Slide("bore", but(CleanUp, low=3, high=60, usual=9.8, step=0.05), "work", "bored to"),
    Slide("depth", Depth, "work", "depth of the hole"),
    Choose("material", tuple(cutting.work_materials()), "medium-carbon steel", "work"), Slide("drill", Drill, "tool"),
    Choose("start", tuple(STARTS), "after a short centre drill", "tool", "drill starts"),
    Choose("run", tuple(RUNS), "evenly ground, sharp", "tool", "drill is"),
    Slide("compliance", but(Compliance, low=1e-5, high=1e-2, usual=8e-4, log=True, shown="µm/N"), "holder",
    "compliance of the bar"), Slide("feed", but(Feed, high=0.3), "cut", "feed per revolution"),
    Slide("passes", but(Passes, high=6, usual=2), "cut", "boring passes")), compute=compute_wander,
    picture=picture_wander, words=words_wander, more=lambda r,
    say: ("<p>How far drills wander is workshop experience here (no printed table was found), so the range is wide. "
    "Measure your own: bore a test hole in steps and note where the drilled wall disappears.</p>"))


# ---- the road ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Road:
    bore: float
    depth: float
    plan: dr.Plan
    flat: bool
    cleans: float
    bored: float
    verdict: str

    @property
    def headline(self) -> str:
        return {HOLDS: "This order works", EDGE: "This order may leave drilled wall"}.get(self.verdict,
            "This order leaves drilled wall")


def compute_road(bore: float, depth: float, flat: bool, drill: float, point: str, stock: float, lead: float, start: str,
        floor: float) -> Road:
    """Every tool from solid bar to a reamed blind hole, with its depth and what it leaves; mm, degrees.

    Raises Refused where the drill, the stock or the reamer's lead leave no room.
    """
    begins = tables.fact("drills_wander", name=dr.wander_facts("start")[STARTS[start]])
    runs = tables.fact("drills_wander", name=dr.wander_facts("drift")[0])
    plan = dr.sequence(bore, depth, POINTS[point], flat, stock, lead, floor, begins.value, runs.value, drill or None)
    drawn = sample(start=begins.range, drift=runs.range, over=dr.oversize(plan.drill))
    clean = dr.smallest_clean_bore(plan.drill + drawn["over"], dr.wander(drawn["start"], drawn["drift"], depth))
    cleans = odds(clean <= bore - stock)
    return Road(bore, depth, plan, flat, cleans, bore - stock, verdict(cleans))


def tool_words(plan: dr.Plan, stage: dr.Stage) -> tuple[str, str]:
    """The tool of a stage by its name, and why it comes."""
    return {"centre drill": ("centre drill, short and stiff", "gives the drill a true start"),
        "drill": (f"drill {plan.point_angle:g}°",
        "tip stops above the bottom" if plan.flat_bottom else "full diameter to depth, tip beyond"),
        "flat drill": ("flat-ground drill", "squares the bottom, so the bar does not meet the cone"),
        "boring bar": ("boring bar", "puts the axis right"),
        "reamer": ("reamer", "brings size and finish, follows the bored hole")}[stage.kind]


def words_road(r: Road, say: Say) -> str:
    steps = [
        f"{tool_words(r.plan, s)[0]} Ø{say.length(s.diameter)} to {say.length(s.tip)}" for s in r.plan.stages[1:]]
    said = [f"After the centre drill, take the {', the '.join(steps[:-1])} and last the {steps[-1]}. Boring to "
        f"{say.length(r.bored)} cleans up the drilled hole "
        + ("in nearly every case." if r.cleans > 0.99 else f"in about {round(100 * r.cleans)} of 100 cases."
        if r.cleans > 0.01 else "hardly ever, so take a smaller drill or start it truer.")]
    if r.plan.not_reamed:
        said.append(f"The reamer's lead leaves the last {say.length(r.plan.not_reamed, 2)} undersize. Relieve the bore "
            "there, or allow for it.")
    return "\n".join(said)


def picture_road(r: Road, say: Say) -> str:
    stages = r.plan.stages[1:]
    d = Drawing("Tool by tool into the hole", words_road(r, say), WIDTH, 84 + 62 * len(stages))
    deepest = max(s.tip for s in stages)
    scale = min(140 / deepest, 36 / r.bore)
    most = max(s.left for s in stages) / 2 * scale
    larger = next((k for k in (10, 5, 2) if k * most < 12), 1)
    left, y = 18.0, 44.0
    end = left + deepest * scale + 12
    for number, s in enumerate(stages, 1):
        done = r.bore / 2 * scale
        half, cone = done - s.left / 2 * scale * larger, s.tip - s.full_depth
        back, stop, full = left + r.depth * scale, left + s.tip * scale, left + s.full_depth * scale
        d.rect(left, y - 25, end - left, 50, "fill-work", hatch=8)
        tip = half * 0.9 if s.kind == "reamer" else 0.0 if cone > 1e-6 else half
        last = s.kind in ("reamer", "boring bar") and number == len(stages)
        d.shape([left, full, stop, stop, full, left], [y - half, y - half, y - tip, y + tip, y + half, y + half],
            "paper", "a" if last else "ink")
        d.line([left, back, back, left], [y - done, y - done, y + done, y + done], "limit")
        x = max(end + 8, 158.0)
        d.text(x, y - 9, f"{number}  {tool_words(r.plan, s)[0]}", kind="bold")
        d.text(x, y + 8, f"Ø {say.length(s.diameter)}, tip at {say.length(s.tip)}", kind="small")
        for on, full_to in ((" on Ø", "full Ø to"), ("", "full to")):
            left_text = f"{say.length(s.left, 2)} left{on}" if s.left > 1e-9 else "on size"
            line = left_text + (f", {full_to} {say.length(s.full_depth)}" if cone > 1e-6 else "")
            if x + breadth(line) <= WIDTH:
                break
        d.text(x, y + 23, line, kind="small")
        y += 62
    d.text(18, y - 4, "dashed: the finished bore", kind="small")
    d.text(18, y + 14, f"stock on the wall exaggerated ×{larger}" if larger > 1 else "drawn to scale", kind="small")
    return d.svg()


def more_road(r: Road, say: Say) -> str:
    rows = "".join(f"<tr><td>{': '.join(tool_words(r.plan, s))}</td>"
        f"<td>{plain(say.length_number(s.full_depth), 4)}</td>"
        f"<td>{plain(say.length_number(s.taken), 3) if s.taken else '–'}</td></tr>" for s in r.plan.stages)
    first, later = dr.peck(r.plan.drill)
    feed = dr.feed(r.plan.drill)
    return (f"<table><tr><th>tool, and why</th><th>full Ø to, {say.length_unit}</th><th>takes on Ø, "
        f"{say.length_unit}</th></tr>"
        f"{rows}</table><p>Clear the flutes after {say.length(float(first), 2)} and then every "
        f"{say.length(float(later), 2)} "
        f"(common practice), sooner if chips pack. Feed of a drill this size: {say.length(feed.low, 2)} to "
        f"{say.length(feed.high, 2)} per revolution "
        f"({'printed table' if feed.basis == 'read' else 'from memory'}).</p>")


ROAD = Page(name="blind_hole_road", title="From solid bar to a reamed blind hole",
    inputs=(Slide("bore", Bore, "work", "finished bore"), Slide("depth", Depth, "work", "depth of the bottom"),
    Tick("flat", True, "work", "flat bottom"),
    Slide("drill", Drill.but(low=0, usual=0), "tool", "drill (0: let me choose)"),
    Choose("point", tuple(POINTS)[:4], "118°", "tool", "drill's point"),
    Slide("stock", but(StockLeft, low=0, high=0.5, usual=0.2, step=0.01, says="left on diameter for the reamer"),
    "tool", "stock for the reamer"),
    Slide("lead", but(HoleDepth, low=0, high=5, usual=1, step=0.1, says="length of the reamer's lead"), "tool",
    "reamer's lead"), Choose("start", tuple(STARTS), "after a short centre drill", "cut", "drill starts"),
    Slide("floor",
    but(HoleDepth, low=0, high=2, usual=0.2, step=0.05, says="left on the bottom for the flat-ground drill"), "cut",
    "left on the bottom")), compute=compute_road, picture=picture_road, words=words_road, more=more_road)


# ---- chips -------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Chips:
    before: float
    after: float
    depth: float
    bar: float
    form: str
    share: Likely
    until: Likely
    verdict: str

    @property
    def headline(self) -> str:
        return {HOLDS: "There is room for the chips", EDGE: "They may jam"}.get(self.verdict, "They jam")


def compute_chips(before: float, after: float, depth: float, bar: float, form: str) -> Chips:
    """How full of chips a hole is while it is bored, and how far the bar may travel until it is; mm.

    Raises Refused for a bar that does not go into the hole.
    """
    drawn = sample(bulk=dr.bulk(form).range, stay=assumed("chips that stay in the bore").range)
    got = dr.chips_when_boring(before, after, depth, bar, drawn["bulk"] * drawn["stay"])
    return Chips(before, after, depth, bar, form, likely(got.share), likely(got.until), verdict(odds(got.share <= 1)))


def words_chips(r: Chips, say: Say) -> str:
    said = [f"In a pass from Ø{say.length(r.before)} to Ø{say.length(r.after)}, {say.length(r.depth)} deep, {r.form} "
        f"need {plain(r.share.value, 2)} times the space round the Ø{say.length(r.bar)} bar (90 % range "
        f"{plain(r.share.low, 2)} to {plain(r.share.high, 2)})."]
    if r.share.high > 1:
        said.append(f"Stop the spindle and clear the hole about every {say.length(r.until.low, 2)} to "
            f"{say.length(r.until.high, 2)} of travel, take a lighter cut, or take a thinner bar.")
    return " ".join(said) + "\nPacked chips push the bar off the wall, score the bore and spoil its depth."


def picture_chips(r: Chips, say: Say) -> str:
    d = Drawing("Chips in a blind hole", words_chips(r, say), WIDTH, 240)
    scale = min(360 / r.depth, 120 / r.after)
    left, y = 30.0, 92.0
    right, half = left + r.depth * scale, r.after / 2 * scale
    d.shape([left, right + 26, right + 26, left, left, right, right, left],
        [y - half - 20, y - half - 20, y + half + 20, y + half + 20, y + half, y + half, y - half, y - half],
        "fill-work", hatch=9)
    filled = min(r.share.value, 1.0) * (right - left)
    room = half - r.bar / 2 * scale
    rows = max(round(room / 11), 1)
    apart = max(room / rows, 6.0)
    for i in range(int(filled // 11)):
        for side in (-1, 1):
            for j in range(rows):   # from the wall towards the bar
                cx, cy = right - 6 - 11 * i, y + side * (half - apart * (j + 0.5))
                turn = (i * 3 + j * 5) % 4
                d.line([cx - 4, cx, cx + 4],
                    [cy + (2, -3, 3, -2)[turn], cy + (-4, 3, -2, 4)[turn], cy + (3, -2, 2, -3)[turn]], "b")
    d.rect(left - 14, y - r.bar / 2 * scale, right - left - 2, r.bar * scale, "fill-tool", "thin")
    d.line([left, right, right, left], [y - half, y - half, y + half, y + half])
    d.text(left, y + half + 42, f"chips need {plain(r.share.value, 2)} times the space ({plain(r.share.low, 2)} to "
        f"{plain(r.share.high, 2)})")
    return d.svg()


CHIPS = Page(name="chips_in_blind_hole", title="Do the chips jam in a blind hole?",
    inputs=(Slide("before", but(CleanUp, low=3, high=59, usual=9.2, step=0.1), "work", "bore before the pass"),
    Slide("after", but(CleanUp, low=3.1, high=60, usual=9.6, step=0.1), "work", "bore after the pass"),
    Slide("depth", Depth, "work", "depth of the hole"),
    Slide("bar", but(BarDiameter, low=2, high=40, usual=6, step=0.5), "tool", "boring bar"),
    Choose("form", FORMS, "short spirals", "cut", "chips are")), compute=compute_chips, picture=picture_chips,
    words=words_chips, more=lambda r,
    say: ("<p>Chip volume ratios: after SEP 1178 and textbooks, from memory. Long chips in a blind "
    "hole: stop the spindle before you reach in, use a hook or a brush, never fingers or an air blast "
    "at yourself.</p>"))
