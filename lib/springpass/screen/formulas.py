"""A labelled formula in print in the notebook."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from ..core.printed import Printed, printed


def legend(shown: Printed) -> str:
    """What each letter of a formula means, those of its inner formulas too, a letter a line."""
    letters = [*shown.letters.values(), *(letter for letter, _ in shown.inner)]
    return "\n".join(dict.fromkeys(f"- ${shown.tex[letter]}$: {shown.quantity[letter].says}" for letter in letters))


def formula(function: Callable[..., Any], /, *, fold: str = "", digits: int = 3, **numbers: float) -> None:
    """Show a labelled formula in print in the notebook, with the numbers in if they are given, and its source.

    fold: a line under which all of it is folded. digits: figures of the numbers put in.
    """
    from IPython.display import Markdown, display

    shown = printed(function)
    body = shown.lines(numbers, digits=digits, brackets=True) if numbers else shown.latex
    label = function.label  # type: ignore[attr-defined]
    where = legend(shown)
    meaning = (function.__doc__ or "").strip().splitlines()[0]
    said = f"{meaning}\n\n$${body}$$\n\n{where}\n\n*Holds for:* {label.holds}. *Source:* {label.source}."
    display(Markdown(f"<details><summary>{fold}</summary>\n\n{said}\n\n</details>" if fold else said))
