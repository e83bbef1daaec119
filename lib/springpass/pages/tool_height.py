"""A tip off centre height: how much larger the bore comes out."""

import numpy as np

from ..boring_bar.bending import growth_off_centre
from ..boring_bar.quantities import CentreError
from ..core.mathml import formula_mathml
from ..core.quantity import Say
from ..core.shared import BoreDiameter
from ..screen.draw import Chart, room
from ..screen.page import Page, Slide


def picture(r: dict[str, float], say: Say) -> str:
    errors = np.linspace(0, max(0.3, 1.3 * r["centre_error"]), 41)
    x, small = say.length_number(errors), say.fine_number(growth_off_centre(r["bore"] / 2, errors))
    chart = Chart("Bore against centre height", words(r, say), x=("tip off centre", say.length_unit, 0.0, x[-1]),
        y=("bore too large by", say.fine_unit, *room(small, floor=0.0)))
    chart.curve(x, small, "half the bore", "b")
    chart.curve(x, say.fine_number(growth_off_centre(r["bore"], errors)), "this bore")
    chart.mark(say.length_number(r["centre_error"]), say.fine_number(growth_off_centre(**r)), "here", "c", "diamond")
    return chart.svg()


def words(r: dict[str, float], say: Say) -> str:
    return (f"A tip {say.length(r['centre_error'])} off centre height, high or low, bores Ø{say.length(r['bore'])} "
        f"{say.fine(float(growth_off_centre(**r)))} too large when it is set from the spindle axis. "
        "Set from a measured trial cut, it bores to size.")


OFF_CENTRE = Page("tool_height", "How much does a tip off centre height add to the bore?",
    (Slide("bore", BoreDiameter, "work"), Slide("centre_error", CentreError, "tool")), dict, picture, words, lambda r,
    say: formula_mathml(growth_off_centre, r))
