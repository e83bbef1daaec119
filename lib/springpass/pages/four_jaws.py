"""The page of the four-jaw trainer: a start by its number, the dial at each jaw, a list of moves, and what is left."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .. import true_running as true
from ..core.mathml import formula_mathml
from ..core.quantity import Quantity, Say, but, plain
from ..core.spread import FAILS, HOLDS
from ..screen.draw import WIDTH, Drawing
from ..screen.page import Choose, Page, Slide, Write
from ..true_running.four_jaws import JAWS, OPPOSITE, division
from ..true_running.quantities import RunOut, WantedRunOut

CLEAR, TOLD = "I find my own moves", "tell me the next move"
START = Quantity("n", "1", 1, 999, 1, "number of the start: another number, another start", whole=True, step=1)
TURNED = Quantity(r"\theta", "deg", 0, 360, 0, "how far you have turned the chuck by hand, jaw 1 on top at 0", step=5)
OVAL = but(RunOut, high=0.2, usual=0, step=5, says="how oval the bar itself is, full swing")


@dataclass(frozen=True)
class Trained:
    stands: tuple[true.Stand, ...]
    moves: tuple[true.Move, ...]
    allowed: float
    turned: float
    told: bool
    oval: float
    step: float                          # the dial's division, mm
    hand: float                          # what the dial shows where the chuck stands
    readings: tuple[float, ...]          # at jaws 1 to 4
    next_move: true.Move | None
    rule: int                            # moves that the rule needs from the same start
    rule_ends: float                     # run-out it ends at
    verdict: str
    headline: str

    @property
    def now(self) -> true.Stand:
        return self.stands[-1]


def compute_trained(seed: int, oval: float, allowed: float, moves: str, help: str, turned: float) -> Trained:
    """The stand after the moves typed, the dial's readings, and the rule's own way from the same start; mm.

    Raises Refused for moves that cannot be read.
    """
    made = true.read_moves(moves)
    stands = true.follow(seed, made, oval)
    step = division()
    rule = true.by_the_rule(seed, allowed, oval)
    runs = stands[-1].run_out <= allowed
    return Trained(stands, made, allowed, turned, help == TOLD, oval, step, stands[-1].dial(turned, step),
        stands[-1].readings(step), true.advised(stands[-1]), len(rule) - 1, rule[-1].run_out,
        HOLDS if runs else FAILS, "It runs true" if runs else "Not yet")


def dial(value: float, say: Say) -> str:
    """A dial's reading as one writes it in the shop: hundredths of a millimetre, or half thousandths of an inch."""
    return f"{value / 25.4:.4f} inch" if say.inch else f"{value:.2f} mm"


def swung(value: float, say: Say) -> str:
    """A run-out, read between the dial's lines."""
    return f"{value / 25.4:.4f} inch" if say.inch else f"{value:.3f} mm"


def _times(count: int) -> str:
    return "Before the first move" if not count else f"After {count} move{'s' if count > 1 else ''}"


def words_trained(r: Trained, say: Say) -> str:
    now = f"{_times(len(r.moves))}, the dial swings by {swung(r.now.run_out, say)}; {dial(r.allowed, say)} is allowed."
    if r.verdict == HOLDS:
        return f"{now}\n{_counted(r)} Draw all four jaws tight, and read once more."
    if r.told:
        return f"{now}\n{_advice(r, say)}"
    reads = "; ".join(f"jaw {jaw} {dial(value, say)}" for jaw, value in
        zip(JAWS, r.readings, strict=True))
    return (f"{now}\nThe dial reads, zeroed at the lowest place: {reads}. Which jaw do you push in, and how far? "
        "Write it behind your last move.")


def _counted(r: Trained) -> str:
    if r.rule_ends > r.allowed:
        return "The rule alone does not get there from this start."
    same = "as many as" if len(r.moves) == r.rule else "fewer than" if len(r.moves) < r.rule else "more than"
    return f"You needed {len(r.moves)} moves, {same} half the difference each time ({r.rule})."


def _advice(r: Trained, say: Say) -> str:
    move = r.next_move
    if move is None:
        return ("Opposite jaws read alike, so the axis is true as far as the dial can tell. What still swings is the "
            "bar's own shape: skim it, or indicate on a round surface.")
    high, low = r.readings[move.jaw - 1], r.readings[OPPOSITE[move.jaw] - 1]
    return (f"Jaw {move.jaw} reads {dial(high, say)} and jaw {OPPOSITE[move.jaw]} opposite "
        f"{dial(low, say)}. Slacken jaw {OPPOSITE[move.jaw]}, then push jaw {move.jaw} in by half the "
        f"difference: write {typed(move, say)}.")


def typed(move: true.Move, say: Say) -> str:
    """A move as it is typed into the page."""
    return f"{move.jaw} {plain(move.by / 25.4, 2)} inch" if say.inch else f"{move.jaw} {plain(move.by, 3)}"


def picture_trained(r: Trained, say: Say) -> str:
    rows = "; ".join(f"jaw {jaw} {dial(value, say)}" for jaw, value in
        zip(JAWS, r.readings, strict=True))
    swings = ", ".join(swung(stand.run_out, say) for stand in r.stands)
    d = Drawing("Four jaws and a dial", f"{words_trained(r, say)} Readings: {rows}. The dial's hand stands at "
        f"{dial(r.hand, say)} with the chuck turned by {plain(r.turned, 3)}°. Run-out from the start on: {swings}. "
        f"Allowed {dial(r.allowed, say)}.", WIDTH, 452)
    _chuck(d, r, say)
    _dial(d, r, say)
    _history(d, r, say)
    return d.svg()


def _chuck(d: Drawing, r: Trained, say: Say) -> None:
    """The chuck end-on, turned by hand; the work's axis to the side, exaggerated."""
    x, y, body, work, much = 132.0, 148.0, 100.0, 44.0, 70.0
    d.circle(x, y, body, "ink")
    lean = np.radians(r.turned)

    def at(right: float, up: float) -> tuple[float, float]:
        """A place on the chuck, px from its middle, turned with it to the left so that the next jaw comes on top."""
        return (x + right * np.cos(lean) - up * np.sin(lean), y - right * np.sin(lean) - up * np.cos(lean))

    off = (r.now.right * much, r.now.up * much)
    middle = at(*off)
    around = np.linspace(0, 2 * np.pi, 61)
    shape = [at(off[0] + (work + r.oval / 2 * much * np.cos(2 * (a - r.now.lie))) * np.cos(a),
        off[1] + (work + r.oval / 2 * much * np.cos(2 * (a - r.now.lie))) * np.sin(a)) for a in around]
    for jaw, (right, up) in JAWS.items():
        along = off[0] * right + off[1] * up
        inner, outer = work + along, body - 6
        corners = [at(right * s - up * w, up * s + right * w) for s, w in ((inner, -11), (outer, -11), (outer, 11),
            (inner, 11))]
        d.shape([c[0] for c in corners], [c[1] for c in corners], "fill-holder", "thin")
        place = at(right * (outer - 14), up * (outer - 14))
        d.text(place[0], place[1] + 5, str(jaw), "middle", "bold halo")
    d.shape([p[0] for p in shape], [p[1] for p in shape], "fill-work", "ink")
    d.line([x - 7, x + 7], [y, y], "limit")
    d.line([x, x], [y - 7, y + 7], "limit")
    d.dot(*middle, "a", "circle", 4)
    top = min(p[1] for p in shape if abs(p[0] - x) < 14)
    d.line([x, x], [y - body - 34, top], "b")
    d.rect(x - 9, y - body - 40, 18, 14, "fill-tool", "thin")
    d.text(8, 16, "exaggerated", kind="small")
    d.text(8, 34, "×70", kind="small")


def _dial(d: Drawing, r: Trained, say: Say) -> None:
    """The dial's face with its hand, and the readings at the four jaws."""
    x, y, face = 352.0, 54.0, 48.0
    d.circle(x, y, face, "ink")
    whole = 100 * r.step     # one turn of the hand
    for k in range(20):
        a = 2 * np.pi * k / 20
        inner = face - (12 if k % 5 == 0 else 7)
        d.line([x + inner * np.sin(a), x + face * np.sin(a)], [y - inner * np.cos(a), y - face * np.cos(a)], "thin")
    a = 2 * np.pi * r.hand / whole
    d.arrow(x, y, x + (face - 10) * np.sin(a), y - (face - 10) * np.cos(a), "ink", 9)
    d.text(x, y + face + 18, dial(r.hand, say), "middle", "bold halo")
    for i, (jaw, value) in enumerate(zip(JAWS, r.readings, strict=True)):
        d.text(296, 144 + 19 * i, f"jaw {jaw}: {dial(value, say)}", kind="small")
    left, right, rail = 256.0, WIDTH - 16.0, 238.0
    d.text(right, rail - 18, "turn the chuck by hand", "end", "small")
    d.line([left, right], [rail, rail], "ink")
    for quarter in range(5):
        place = left + (right - left) * quarter / 4
        d.line([place, place], [rail - 4, rail + 4], "thin")
        d.text(place, rail + 20, str(quarter % 4 + 1), "middle", "small")
    place = left + (right - left) * r.turned / TURNED.high
    d.dot(place, rail, "a", "circle", 6)
    d.handle("turned", place, rail, TURNED.high / (right - left))


def _history(d: Drawing, r: Trained, say: Say) -> None:
    """Run-out after each move on a scale in equal ratios."""
    left, right, top, bottom = 54.0, WIDTH - 16.0, 284.0, 418.0
    swings = np.array([stand.run_out for stand in r.stands])
    low, high = min(r.allowed, swings.min()) / 2, max(1.0, swings.max())
    span = np.log(high / low)

    def at(value: float) -> float:
        return top + (bottom - top) * float(np.log(high / value) / span)

    moves = max(len(r.moves), 6)
    xs = [left + (right - left) * k / moves for k in range(len(swings))]
    d.line([left, left, right], [top, bottom, bottom], "thin")
    d.line([left, right], [at(r.allowed)] * 2, "limit")
    d.text(right, at(r.allowed) - 6, f"allowed {dial(r.allowed, say)}", "end", "small halo")
    d.line(xs, [at(v) for v in swings], "a")
    for x, value in zip(xs, swings, strict=True):
        d.dot(x, at(value), "a", "circle", 5)
    last = swung(float(swings[-1]), say)
    d.text(min(xs[-1] + 10, right - 84), max(at(swings[-1]) - 10, top + 4), last, kind="bold halo")
    d.text(left, top - 12, "run-out after each move", kind="small")
    for k in range(0, moves + 1, 1 if moves <= 12 else 5):
        d.text(left + (right - left) * k / moves, bottom + 18, str(k), "middle", "small")
    d.handle("allowed", left + 14, at(r.allowed), -float(span) / (bottom - top), "y", ratio=True)


def more_trained(r: Trained, say: Say) -> str:
    rows = "".join(f"<tr><td>{i or 'start'}</td><td>{typed(r.moves[i - 1], say) if i else ''}</td>"
        f"<td>{swung(stand.run_out, say)}</td></tr>" for i, stand in enumerate(r.stands))
    high, low = max(r.readings), min(r.readings)
    return (f"<table><tr><th>move</th><th>jaw and way</th><th>run-out left</th></tr>{rows}</table>"
        f"<p>From this start, half the difference each time needs {r.rule} moves and ends at "
        f"{swung(r.rule_ends, say)}.</p>" + formula_mathml(true.half_the_difference, {"high": high, "low": low}))


FOUR_JAWS = Page(name="four_jaws", title="Four jaws: can you set it true?",
    inputs=(Slide("seed", START, "work", "start number"),
    Slide("oval", OVAL, "work", "oval bar", rare=True),
    Slide("allowed", but(WantedRunOut, low=0.01, high=0.2, usual=0.02, shown=""), "work", "run-out allowed"),
    Write("moves", "", "holder", "your moves: jaw and mm pushed in",
    "one a line or with semicolons between: 3 0.12; 2 0.05. A minus backs the jaw out.", rows=3),
    Choose("help", (CLEAR, TOLD), CLEAR, "holder", "help"),
    Slide("turned", TURNED, "view", "chuck turned by hand")),
    compute=compute_trained, picture=picture_trained, words=words_trained, more=more_trained)
