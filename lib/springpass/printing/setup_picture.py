"""One operation as a picture: the work as it is held, the tool at its cut, what is taken off, the numbers to dial.

    picture(made, 7, say)           # for the page: with the rail of steps, which can be taken hold of
    small(made, 7, say)             # for the printed sheet

What stands where follows from the plan's outlines alone (`Operation.outline_before`, `outline_after`); nothing is
worked out here but places on the paper. Words in the picture are names and numbers; sentences stand in step_words.
"""

from __future__ import annotations

import numpy as np

from .. import threads
from ..core.quantity import Say, plain
from ..job.part import INSIDE_THREAD, KNURL, THREAD
from ..job.results import BETWEEN_CENTRES, MANDREL, Operation, Plan
from ..screen.draw import Drawing, breadth
from . import operation_words, setup_holding, setup_tools
from .setup_outlines import INSIDE, OUTSIDE, Taken, bodies, box, clipped, disc, radii_at, taken
from .setup_tools import DRILLS, Cut
from .setup_view import PAGE, SHEET, Frame, Pen, View, section_of, view_of

RAIL, EDGE = 300.0, 22.0          # px: where the rail of steps lies, and how far from the edges it ends
LENS, SEEN, THICK = 42.0, 4.0, 17.0   # px: radius of the lens; thinner cuts need it; how thick they are drawn in it
LETTERS = 16.5                    # px: ordinary print on a phone
LINE = 19.0                       # px from one line of words to the next
TIMES = (2, 3, 4, 5, 8, 10, 15, 20, 30, 50, 80, 100, 150, 200, 300, 500)
LENGTHS = ("face", "part off", "saw")
CENTRED = (BETWEEN_CENTRES, MANDREL)


def picture(made: Plan, number: int, say: Say, desc: str = "") -> str:
    """The picture of a step for the page, with its rail."""
    o = made.operation(number)
    title = f"{made.part.name}, step {number} of {len(made.operations)}: {operation_words.operation(made, o, say)}"
    d = Drawing(title, desc, PAGE.width, PAGE.height)
    scene(d, made, o, say, PAGE)
    _rail(d, made, number)
    return d.svg()


def small(made: Plan, number: int, say: Say) -> str:
    """The picture of a step for paper."""
    o = made.operation(number)
    d = Drawing(f"step {number}: {operation_words.operation(made, o, say)}", "", SHEET.width, SHEET.height)
    scene(d, made, o, say, SHEET)
    return d.svg()


def scene(d: Drawing, made: Plan, o: Operation, say: Say, frame: Frame) -> None:
    """Work, holding, tool and numbers of one operation."""
    h = made.holdings[o.holding - 1]
    view, pen = view_of(made, h, frame), Pen(d, frame)
    pieces = pieces_of(made, o)
    setup_holding.mandrel(pen, view, h)
    _work(pen, view, made, o, pieces)
    d.line([4, frame.width - 4], [frame.axis] * 2, "phantom")
    setup_holding.held(pen, view, h, o)
    setup_holding.tailstock(pen, view, h, o)
    cut = setup_tools.cut_of(o, view, pieces)
    if cut:
        setup_tools.tool(pen, view, made, o, cut)
    elif o.kind == "cool":
        _warm(pen, view)
    elif o.kind == "turn round":
        _turned(pen, view)
    labels = Labels(d)
    if view.stretch > 1:
        labels.put(6, frame.floor - 4, f"diameters exaggerated ×{view.stretch:g}", kind="small halo")
    if cut and frame is PAGE:
        _lens(pen, labels, view, made, o, cut, say)
    _numbers(labels, view, made, o, cut, say)


def pieces_of(made: Plan, o: Operation) -> tuple[Taken, ...]:
    """What an operation takes off; a thread's outline stands at its crests, so its grooves are put in here."""
    if o.kind in setup_tools.THREADS and o.surface:
        s = made.part.surface(o.surface)
        b = threads.basic(s.thread)
        low, high = b.minor / 2, b.major / 2
        at = np.array([[s.start, high], [s.end, high], [s.end, low], [s.start, low]])
        return (Taken(INSIDE if s.kind == INSIDE_THREAD else OUTSIDE, at),)
    return taken(np.asarray(o.outline_before), np.asarray(o.outline_after))


# ---- the work -----------------------------------------------------------------------------------------


def _work(pen: Pen, view: View, made: Plan, o: Operation, pieces: tuple[Taken, ...]) -> None:
    """The blank thin, the far half as it looks, the near half cut open, what is taken off hatched across."""
    kind = section_of(made.part.material)
    blank = next((np.asarray(one.outline_before) for one in made.operations if len(one.outline_before)), None)
    if blank is not None:
        for shape in bodies(np.column_stack([blank[:, :2], 0 * blank[:, 0]])):
            for side in (-1, 1):
                pen.within(view.points(shape, side), pen.edge, "none", "phantom")
    rows = np.asarray(o.outline_after)
    for shape in bodies(rows):
        full = shape.copy()
        full[len(full) // 2:, 1] = 0.0
        pen.solid(view.points(full, -1), "fill-work", "ink")
        pen.solid(view.points(shape, 1), "fill-work", "ink", kind)
    last = np.asarray(made.operations[-1].outline_after)
    for shape in bodies(last) if o.number < len(made.operations) else ():   # the part within the bar
        pen.within(view.points(shape, 1), pen.edge, "none", "broken")
    _edges(pen, view, rows)
    _marks(pen, view, made, o)
    for piece in pieces:
        if o.kind == "part off":
            piece = _parted(pen, view, made, o, piece, kind)
        for side in (-1, 1) if piece.side != INSIDE else (1,):
            at = view.points(piece.corners, side)
            pen.within(at, pen.edge, "fill-gone", "gone", "gone" if side > 0 else "")


def _parted(pen: Pen, view: View, made: Plan, o: Operation, piece: Taken, section: str) -> Taken:
    """Of what is parted off only the blade's width is cut: the rest stays in the chuck, and is drawn."""
    face, wide = view.outer(piece.ends), setup_tools.blade_width(made, o)
    cut, far = face - view.way * wide, view.inner(piece.ends)
    tall = piece.radii[1] + 1
    stub = clipped(piece.corners, box(min(cut, far), -1, max(cut, far), tall))
    if len(stub) > 2:
        whole = np.array([[far, 0.0], [far, piece.radii[1]], [cut, piece.radii[1]], [cut, 0.0]])
        pen.solid(view.points(whole, -1), "fill-work", "ink")
        pen.solid(view.points(stub, 1), "fill-work", "ink", section)
    return Taken(piece.side, clipped(piece.corners, box(min(cut, face), -1, max(cut, face), tall)))


def _edges(pen: Pen, view: View, rows: np.ndarray) -> None:
    """Corners of the outside as they are seen across the far half."""
    for z in np.unique(rows[:, 0]) if len(rows) else ():
        left, right = radii_at(rows, z, -1)[0], radii_at(rows, z, 1)[0]
        if left > 0 and right > 0 and abs(left - right) > 0.02:
            pen.line([[view.x(z), view.frame.axis], [view.x(z), view.y(max(left, right), -1)]], "thin")


def _marks(pen: Pen, view: View, made: Plan, o: Operation) -> None:
    """Threads and knurls that are there by now: the thread's root as a thin line, the knurl crossed."""
    for done in made.operations[:o.number]:
        if done.kind not in ("thread", "inside thread", "knurl") or not done.surface:
            continue
        s = made.part.surface(done.surface)
        if s.kind == KNURL:
            at = view.points(np.array([[s.start, 0], [s.end, 0], [s.end, s.diameter / 2], [s.start, s.diameter / 2]]),
                -1)
            pen.d.hatch(at[:, 0], at[:, 1], 5, 1, "section")
            pen.d.hatch(at[:, 0], at[:, 1], 5, -1, "section")
        elif s.kind in (THREAD, INSIDE_THREAD):
            b = threads.basic(s.thread)
            radius = (b.major if s.kind == INSIDE_THREAD else b.minor) / 2
            for side in (-1, 1) if s.kind == THREAD else (1,):
                pen.line([[view.x(s.start), view.y(radius, side)], [view.x(s.end), view.y(radius, side)]], "thin")


def _warm(pen: Pen, view: View) -> None:
    """Warm air beside the work."""
    mid = (view.x(view.jaw) + view.x(view.free)) / 2
    top = view.frame.axis + view.frame.half + 10
    down = np.linspace(0, 30, 14)
    for shift in (-20, 0, 20):
        pen.line(np.column_stack([mid + shift + 5 * np.sin(down / 30 * 2 * np.pi), top + down]), "gone")


def _turned(pen: Pen, view: View) -> None:
    """An arrow half round the work's middle."""
    mid = (view.x(view.jaw) + view.x(view.free)) / 2
    top = view.frame.axis + view.frame.half + 12
    turn = np.linspace(0, np.pi, 20)
    pen.line(np.column_stack([mid + 40 * np.cos(turn), top + 18 * np.sin(turn)]), "a")
    pen.d.arrow(mid - 39, top + 6, mid - 40, top - 5, "a", 10)


# ---- the numbers ----------------------------------------------------------------------------------------


class Labels:
    """Places words so that no two lie on each other: what would is moved upwards, or down where there is no room."""

    def __init__(self, d: Drawing) -> None:
        self.d, self.boxes = d, list[tuple[float, float, float, float]]()

    def put(self, x: float, y: float, words: str, anchor: str = "start", kind: str = "halo") -> None:
        """Words at x, y or the next free place; `small` words are reckoned as large as the others."""
        wide = breadth(words, LETTERS)
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
        tries = [y - LINE * n for n in range(6) if y - LINE * n > LETTERS - 3] + [y + LINE * n for n in range(1, 6)]
        free = next((at for at in tries if self._free(left, at, wide)), y)
        self.boxes.append((left, free - LETTERS * 0.8, left + wide, free + LETTERS * 0.25))
        self.d.text(x, free, words, anchor, kind)

    def _free(self, left: float, y: float, wide: float) -> bool:
        return all(left + wide + 2 < a or left > c + 2 or y + LETTERS * 0.25 < b or y - LETTERS * 0.8 > e
            for a, b, c, e in self.boxes)


def _numbers(labels: Labels, view: View, made: Plan, o: Operation, cut: Cut | None, say: Say) -> None:
    """Diameter to make, length to stop at, how far the work and the tool stand out."""
    rows = np.asarray(o.outline_after)
    if not len(rows):
        return
    frame, h = view.frame, made.holdings[o.holding - 1]
    small = frame.half / PAGE.half
    work = max(float(np.max(o.outline_before[:, 1])), float(np.max(rows[:, 1]))) * view.across
    jaws = 0.0 if h.kind in CENTRED else view.across * h.diameter / 2 + setup_holding.JAW * small
    face = float(rows[-1 if view.way > 0 else 0, 0])
    step = 0.0
    shown = True

    def across(z: float, to_z: float, words: str) -> None:
        """One dimension above the other, and all above the jaws where they come over them."""
        nonlocal step
        x, to_x = sorted((view.x(z), view.x(to_z)))
        half = breadth(words, LETTERS) / 2
        over = min(x, (x + to_x) / 2 - half) < view.x(view.jaw) - 2
        tall = frame.axis - (max(work, jaws) if over else work)
        at = min(tall - 12, step - LINE if step else tall)
        step = max(at, LETTERS)
        _across(labels, frame, x, to_x, step, frame.axis - work, words)

    if o.stop is not None and cut is not None:
        across(face - view.way * o.stop, face, _stop(o, say))
    elif o.kind in LENGTHS and o.target is not None:
        across(0.0, made.part.length, _length(say, o.target) if o.high else say.length(o.target).split()[0])
    else:
        shown = False
    if frame is PAGE or not shown:
        name = "between centres" if h.kind in CENTRED else "stickout"
        was = np.asarray(o.outline_before)
        out = float(was[-1 if view.way > 0 else 0, 0]) if o.kind == "face" and len(was) else face    # as it is set up
        across(view.jaw, out, f"{name} {say.length(abs(out - view.jaw), 3)}")
    size = o.after if o.kind in DRILLS else o.dial if o.dial is not None else o.target
    size = o.after if size is None else size
    if o.kind == "chamfer" and cut is not None:   # a leader to the edge: it is no diameter
        x, y = view.x(face), view.y((o.after or size or 0.0) / 2, -1)
        labels.d.line([x + 1, x + 18 * small], [y - 1, y - 12 * small], "thin")
        labels.put(x + 20 * small, y - 12 * small, _chamfer(made, o, say), kind="bold halo")
    elif size is not None and o.kind not in (*LENGTHS, "face bottom") and cut is not None:
        _diameter(labels, view, size, view.x(face), _made(made, o, size, say),
            26 * small if o.tool_stickout or o.kind in DRILLS else 16 * small if o.centre else 0.0)
    if o.tool_stickout and cut is not None and frame is PAGE:
        tip, holder = view.x(cut.z), setup_tools.holder_x(view, made, o, view.x(cut.z))
        low = frame.axis + max(work, 26 * small) + 26
        if holder < frame.width - 6:
            _across(labels, frame, tip, holder, min(low, frame.floor - 12), low - 26,
                f"stickout {say.length(o.tool_stickout, 3)}")


def _stop(o: Operation, say: Say) -> str:
    """The length to stop at, as finely as the step stops there."""
    if not o.blocks and o.kind not in DRILLS and not say.inch:
        return f"{round(o.stop or 0.0, 2):g}"
    return _length(say, o.stop or 0.0, o.kind in DRILLS)


def _chamfer(made: Plan, o: Operation, say: Say) -> str:
    wide = made.part.surface(o.surface).chamfer if o.surface else 0.0
    return f"{_plain_size(say, wide)[1:]} × 45°"


def _made(made: Plan, o: Operation, size: float, say: Say) -> str:
    """What is made: a drill's size as it is called, a thread by its name."""
    if o.kind in setup_tools.THREADS and o.surface:
        return made.part.surface(o.surface).thread
    return _plain_size(say, size) if o.kind in (*DRILLS, *operation_words.BY_DIAL) else _size(say, size)


def _length(say: Say, value: float, rough: bool = False) -> str:
    """A length to stop at: to the micrometre, or to a tenth where a drill is stopped by its quill."""
    if say.inch:
        return f"{value / 25.4:.{3 if rough else 4}f} inch"
    return f"{value:.{1 if rough else 3}f}"


def _size(say: Say, value: float) -> str:
    return f"Ø{value / 25.4:.4f}" if say.inch else f"Ø{value:.3f}"


def _plain_size(say: Say, value: float) -> str:
    """The size of a drill or reamer, as it is called."""
    return f"Ø{round(say.length_number(value), 4):g}"


def _across(labels: Labels, frame: Frame, x: float, to_x: float, y: float, work: float, words: str) -> None:
    """A dimension along the axis at height y, with its extension lines from the work."""
    d = labels.d
    left, right = sorted((float(np.clip(x, 2, frame.width - 2)), float(np.clip(to_x, 2, frame.width - 2))))
    if right - left < 1:
        return
    for at in (left, right):
        d.line([at, at], [work + (2 if y > work else -2), y + (4 if y > work else -4)], "thin")
    if right - left > 22:
        d.arrow((left + right) / 2, y, left, y)
        d.arrow((left + right) / 2, y, right, y)
    else:
        d.arrow(max(left - 14, 0), y, left, y)
        d.arrow(min(right + 14, frame.width), y, right, y)
    labels.put(d.within((left + right) / 2, words, LETTERS), max(y - 4, 13.0), words, "middle", "halo")


def _diameter(labels: Labels, view: View, size: float, face: float, words: str, clear: float) -> None:
    """The diameter to make, beside the work's free end, written above, so many px clear of the axis."""
    d, frame = labels.d, view.frame
    half = size / 2 * view.across
    x = min(face + 26 * frame.half / 66, frame.width - breadth(words, LETTERS) / 2 - 4)
    for side in (-1, 1):
        d.line([face + 2, x + 4], [frame.axis + side * half] * 2, "thin")
        if half > 12:
            d.arrow(x, frame.axis, x, frame.axis + side * half)
        else:
            d.arrow(x, frame.axis + side * (half + 14), x, frame.axis + side * half)
    top = frame.axis - max(half + (8 if half > 12 else 20), clear + 8)
    labels.put(max(min(x - 8, frame.width - breadth(words, LETTERS) * 1.08 - 2), 2), max(top, 14), words,
        kind="bold halo")


# ---- a closer look ----------------------------------------------------------------------------------------


def _lens(pen: Pen, labels: Labels, view: View, made: Plan, o: Operation, cut: Cut, say: Say) -> None:
    """A thin cut drawn larger: the layer still to come off, the tool's nose, the surface left behind."""
    piece = cut.main
    if piece is None or o.kind in DRILLS or o.kind in setup_tools.THREADS or o.kind in setup_tools.BLADES:
        return
    facing = o.kind in ("face", "face bottom")
    low, high = piece.ends if facing else piece.radii
    deep = abs((o.before or 0.0) - (o.after or 0.0)) / 2 if o.faces else high - low    # beside a shoulder's ring
    if deep * (view.along if facing else view.across) >= SEEN or deep <= 0:
        return
    times = max((t for t in TIMES if t * view.along * deep <= THICK), default=TIMES[0])
    scale = times * view.along
    frame, d = view.frame, pen.d
    tip_x, tip_y = view.x(cut.z), view.y(cut.radius)
    x = LENS + 6 if tip_x > frame.width / 2 else frame.width - LENS - 6
    y = frame.floor - LENS + 2
    d.circle(tip_x, tip_y, 7, "thin")
    aim = np.arctan2(y - tip_y, x - tip_x)
    d.line([tip_x + 7 * np.cos(aim), x - LENS * np.cos(aim)], [tip_y + 7 * np.sin(aim), y - LENS * np.sin(aim)],
        "faint")
    d.circle(x, y, LENS, "paper")
    round_ = disc(x, y, LENS)
    far = 2.5 * LENS
    inward = -1 if piece.side == INSIDE else 1      # towards the turner is outwards; in a bore the metal lies there
    layer = deep * scale
    if facing:
        metal = [[x - far, y - far], [x, y - far], [x, y + far], [x - far, y + far]]
        skin = [[x, y - far], [x + layer, y - far], [x + layer, y], [x, y]]
        nose = [[x, y], [x + far, y + 0.35 * far], [x + far, y + far], [x + 0.1 * far, y + far]]
    else:
        metal = [[x - far, y - inward * far], [x + far, y - inward * far], [x + far, y], [x - far, y]]
        skin = [[x - far, y], [x, y], [x, y + inward * layer], [x - far, y + inward * layer]]
        lean = np.radians(setup_tools.angle_of(made, o))
        nose = [[x, y], [x + far, y + inward * 0.3 * far], [x + far, y + inward * far],
            [x - np.cos(lean) * far, y + inward * np.sin(lean) * far]]
    pen.within(np.array(metal), round_, "fill-work", "ink", section_of(made.part.material))
    pen.within(np.array(skin), round_, "fill-gone", "gone", "gone")
    pen.within(_rounded(np.array(nose), (o.nose or 0.0) * scale), round_, "fill-tool", "ink")
    d.circle(x, y, LENS, "ink")
    depth = next((v for v in reversed(o.depths) if v > 0), 0.0)
    right = x > frame.width / 2
    place = x + (-1 if right else 1) * (LENS + 6)
    anchor = "end" if right else "start"
    labels.put(place, y + 18, f"enlarged ×{times}", anchor, "halo")
    if depth:
        labels.put(place, y + 37, f"last cut {plain(say.length_number(depth), 2)}", anchor, "halo")


def _rounded(corners: np.ndarray, radius: float) -> np.ndarray:
    """A shape whose first corner is rounded off, moved so that its nose reaches as far as the corner did."""
    if radius < 0.5:
        return corners
    tip, a, b = corners[0], corners[1] - corners[0], corners[-1] - corners[0]
    a, b = a / np.hypot(*a), b / np.hypot(*b)
    half = np.arccos(np.clip(np.dot(a, b), -1, 1)) / 2
    radius = min(radius, 0.6 * LENS * np.tan(half))
    middle = tip + (a + b) / np.hypot(*(a + b)) * radius / np.sin(half)
    start, end = (tip + side * radius / np.tan(half) - middle for side in (b, a))
    first, last = np.arctan2(start[1], start[0]), np.arctan2(end[1], end[0])
    turn = (last - first + np.pi) % (2 * np.pi) - np.pi
    arc = first + turn * np.linspace(0, 1, 9)
    rim = middle + radius * np.column_stack([np.cos(arc), np.sin(arc)])
    return np.concatenate([rim, corners[1:]]) + np.array([tip[0] - rim[:, 0].min(), _reach(rim[:, 1], tip[1])])


def _reach(rim: np.ndarray, tip: float) -> float:
    """How far to move a rim so that its nearest point comes to the tip again."""
    return float(tip - (rim.min() if abs(rim.min() - tip) < abs(rim.max() - tip) else rim.max()))


# ---- the rail of steps ----------------------------------------------------------------------------------


def _rail(d: Drawing, made: Plan, number: int) -> None:
    """All steps in a row, a tall mark where the work is held anew; the step that is shown can be taken hold of."""
    count = len(made.operations)
    gap = (d.width - 2 * EDGE) / max(count - 1, 1)
    at = [EDGE + gap * i for i in range(count)]
    d.line([at[0], at[-1]], [RAIL] * 2, "thin")
    d.line([at[0], at[number - 1]], [RAIL] * 2, "a")
    before = 0
    for x, o in zip(at, made.operations, strict=True):
        if o.holding != before:
            d.line([x, x], [RAIL - 10, RAIL + 10], "ink")
            before = o.holding
        else:
            d.line([x, x], [RAIL - 5, RAIL + 5], "ink" if o.finishes else "thin")
    d.dot(at[number - 1], RAIL, "a", "diamond", 6)
    d.handle("step", at[number - 1], RAIL, 1 / gap if gap else 1.0)
    h = made.holdings[made.operation(number).holding - 1]
    right = f"step {number} of {count}"
    left = f"setup {h.number} of {len(made.holdings)}: {h.way or h.kind}"
    d.text(d.width - 8, RAIL + 31, right, "end", "bold halo")
    while breadth(left) > d.width - breadth(right, LETTERS) - 24 and ", " in left:
        left = left.rsplit(",", 1)[0]
    d.text(8, RAIL + 31, left, kind="small halo")
