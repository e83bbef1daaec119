"""Watch the part being made: a plan step by step, the work as it is held and the tool at its cut."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import Any

from ..core.quantity import Quantity, Refused, Say, but
from ..job.results import Operation, Plan
from ..printing import holding_words, operation_words, plan_words, setup_picture, step_words
from ..printing.plan_sizes import capital
from ..screen.page import Page, Slide, Tick
from . import plan
from .afterwards import sheet_buttons

Step = Quantity("n", "1", low=1, high=200, usual=4, whole=True, says="which step of the plan is shown")


@dataclass(frozen=True)
class Shown:
    """A plan and the step that is shown."""

    made: Plan
    number: int

    @property
    def operation(self) -> Operation:
        return self.made.operation(self.number)


def compute(step: int, name: str, own: bool, part_file: bytes | None = None) -> Shown:
    """The plan of a part as its page sets it up when it opens, and the step asked for, or the last one there is."""
    made = plan.planned(name, own, part_file)
    if not made.operations:
        say = Say()
        raise Refused(" ".join((*(plan_words.missing(made, m, say) for m in made.missing),
            *(plan_words.cannot(made, c, say) for c in made.cannot))))
    return Shown(made, max(1, min(step, len(made.operations))))


def picture(shown: Shown, say: Say) -> str:
    return setup_picture.picture(shown.made, shown.number, say, words(shown, say))


def words(shown: Shown, say: Say) -> str:
    made, o = shown.made, shown.operation
    return "\n".join(part for part in (step_words.now(made, o, say), step_words.why(made, o, say)) if part)


def more(shown: Shown, say: Say) -> str:
    """The cautions of the step, and the list of all steps with the one that is shown set off."""
    made, here = shown.made, shown.operation
    care = "".join(f"<p>▲ {escape(text)}</p>" for text in operation_words.cautions(made, here, say))
    rows, holding = [], 0
    for o in made.operations:
        if o.holding != holding:
            holding = o.holding
            held = escape(holding_words.hold(made, made.holdings[holding - 1], say))
            rows.append(f"<tr><th colspan='3'>{held}</th></tr>")
        what = escape(capital(operation_words.operation(made, o, say)))
        shown_here = o is here
        size = plan.set_to(o, say)
        rows.append(f"<tr><td>{'▸ ' if shown_here else ''}{o.number}</td>"
            f"<td>{'<b>' if shown_here else ''}{what}{'</b>' if shown_here else ''}</td><td>{size}</td></tr>")
    blocks = operation_words.setting(made, here, say)
    stop = f"<p>How the stop is set: {escape(blocks)}.</p>" if blocks else ""
    return (f"{care}{stop}<b>All steps</b><table><tr><th></th><th>operation</th><th>set to, {say.length_unit}</th></tr>"
        f"{''.join(rows)}</table>")


def plan_of(step: int, **values: Any) -> Plan:
    """The plan that is walked through, for its sheet."""
    return plan.planned(**values)


def tops(shown: Shown) -> dict[str, float]:
    """The slider ends at the plan's last step."""
    return {"step": len(shown.made.operations)}


STEPS = Page(name="plan_steps", title="How is this part made, step by step?",
    inputs=(Slide("step", but(Step), "work", "step"), *plan.PARTED,
    Tick("own", False, "tool", "use my own shop")), compute=compute, picture=picture, words=words,
    more=more, tops=tops, presses=sheet_buttons(plan_of))
