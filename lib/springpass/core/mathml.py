"""A formula as a piece of HTML (MathML) that moves with the sliders.

The letters are set once per formula by SymPy; putting new numbers in is a replacement of
text, so it costs next to nothing and needs no typesetter in the browser.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from html import escape
from typing import Any

from .formula import answer, printed
from .quantity import Quantity, plain

GREEK = {
    "alpha": "α",
    "beta": "β",
    "gamma": "γ",
    "delta": "δ",
    "Delta": "Δ",
    "varepsilon": "ε",
    "epsilon": "ε",
    "zeta": "ζ",
    "eta": "η",
    "theta": "θ",
    "vartheta": "ϑ",
    "kappa": "κ",
    "lambda": "λ",
    "mu": "µ",
    "nu": "ν",
    "xi": "ξ",
    "pi": "π",
    "rho": "ρ",
    "sigma": "σ",
    "tau": "τ",
    "phi": "φ",
    "varphi": "φ",
    "varrho": "ϱ",
    "chi": "χ",
    "psi": "ψ",
    "omega": "ω",
    "Phi": "Φ",
    "Sigma": "Σ",
    "pm": "±",
    "Lambda": "Λ",
    "Gamma": "Γ",
    "Theta": "Θ",
    "Omega": "Ω",
    "Psi": "Ψ",
    "Pi": "Π",
}


def _plain_letter(tex: str) -> str:
    tex = re.sub(r"\\(?:bar|overline)\s*\{?(\\?[A-Za-z]+)\}?", "\\1\u0304", tex)   # a bar over the letter
    text = re.sub(r"\\([A-Za-z]+)", lambda m: GREEK.get(m[1], "" if m[1] in ("mathrm", "text", "rm") else m[1]), tex)
    return re.sub(r"[{}\\$ ]", "", text)


def letter(tex: str) -> str:
    """A quantity's TeX letter as MathML: k_{c1.1}, \\delta_h."""
    base, _, index = tex.partition("_")
    body = f"<mi>{escape(_plain_letter(base))}</mi>"
    return f"<msub>{body}<mtext>{escape(_plain_letter(index))}</mtext></msub>" if index else body


def _number(what: Quantity, value: float, digits: int = 3) -> str:
    unit = what.unit_for()
    text = escape(plain(what.to_shown(value), digits))
    if unit == "1":
        return f"<mn>{text}</mn>"
    if unit == "deg":
        return f"<mn>{text}</mn><mtext>°</mtext>"
    return f"<mrow><mn>{text}</mn><mspace width='0.17em'/><mtext>{escape(unit)}</mtext></mrow>"


@cache
def _printer() -> Any:
    """SymPy's printer of presentation MathML, which sets either-or formulas as a table behind a brace."""
    from sympy.printing.mathml import MathMLPresentationPrinter

    class Printer(MathMLPresentationPrinter):
        def _print_Piecewise(self, either: Any) -> Any:
            def element(name: str, *inside: Any) -> Any:
                made = self.dom.createElement(name)
                for part in inside:
                    made.appendChild(self.dom.createTextNode(part) if isinstance(part, str) else part)
                return made

            table = element("mtable")
            for value, condition in either.args:
                when = (
                    element("mtext", "otherwise")
                    if condition == True
                    else element("mrow", element("mtext", "for\u00a0"), self._print(condition))
                )  # noqa: E712
                table.appendChild(element("mtr", element("mtd", self._print(value)), element("mtd", when)))
            table.setAttribute("columnalign", "left")
            return element("mrow", element("mo", "{"), table)

    return Printer


@cache
def _set(function: Callable[..., Any]) -> tuple[str, tuple[tuple[str, str], ...]]:
    """The right-hand sides with a mark for every letter: the formula's own, and the inner ones'."""
    from sympy.core.parameters import distribute

    shown, printer = printed(function), _printer()

    def marked(expression: Any) -> str:
        with distribute(False):   # 6 (1 + ν) stays so
            text = printer({"order": "none", "mul_symbol": None}).doprint(expression)
        text = re.sub(r"<msub><mi>s</mi><mi>(\d+)</mi></msub>", r"{{\1}}", text)
        text = re.sub(r"<mi>s(\d+)</mi>", r"{{\1}}", text)
        text = re.sub(
            r"<mn>(\d+\.\d{6,})</mn>", lambda m: f"<mn>{plain(float(m[1]), 5)}</mn>", text
        )  # a constant to five figures
        text = re.sub(r"<mn>(\d+)\.0</mn>", r"<mn>\1</mn>", text).replace(
            "<mi>log</mi>", "<mi>ln</mi>"
        )  # school's name of the natural logarithm
        return (
            text.replace("&InvisibleTimes;", "&#x2062;")
            .replace("&ApplyFunction;", "&#x2061;")
            .replace("&pi;", "π")
            .replace("&ExponentialE;", "e")
            .replace("<mo><</mo>", "<mo>&lt;</mo>")
            .replace("<mo>></mo>", "<mo>&gt;</mo>")
        )

    return marked(shown.main), tuple((shown.tex[symbol], marked(expression)) for symbol, expression in shown.inner)


@cache
def _running(function: Callable[..., Any]) -> tuple[Any, ...]:
    from sympy import lambdify

    shown = printed(function)
    letters = list(shown.letters.values())
    steps: list[tuple[Any, Any]] = []
    waiting = list(reversed(shown.inner))
    while waiting:   # an inner formula after those that it uses
        later = {symbol for symbol, _ in waiting}
        symbol, expression = next(line for line in waiting if not line[1].free_symbols & later)
        waiting.remove((symbol, expression))
        steps.append((symbol, lambdify([*letters, *(s for s, _ in steps)], expression, modules="math")))
    return tuple(steps)


def mathml(function: Callable[..., Any], *, below: Any = True, digits: int = 3, **numbers: Any) -> str:
    """The labelled formula in letters and, if every input is given in library units, with its numbers and its answer.

    below: the inner formulas' own lines follow. digits: figures of the numbers put in.
    """
    shown = printed(function)
    main, inner = _set(function)
    names = {str(symbol)[1:]: letter(tex) for symbol, tex in shown.tex.items()}

    def filled(text: str, with_what: dict[str, str]) -> str:
        return re.sub(r"\{\{(\d+)\}\}", lambda m: with_what[m[1]], text)

    gives: Quantity = answer(function)
    rows = [(letter(gives.symbol), filled(main, names))]
    if numbers:
        values = {symbol: float(numbers[name]) for name, symbol in shown.letters.items()}
        for symbol, step in _running(function):
            values[symbol] = float(step(*values.values()))
        given = {
            str(symbol)[1:]: f"<mrow>{_number(shown.quantity[symbol], value, digits)}</mrow>"
            for symbol, value in values.items()
        }
        spaced = main.replace("&#x2062;", "&#x22C5;")
        spaced = re.sub(r"<msup>\{\{(\d+)\}\}", r"<msup><mrow><mo>(</mo>{{\1}}<mo>)</mo></mrow>", spaced)
        rows.append(("", filled(spaced, given)))
        rows.append(("", _number(gives, float(function(**numbers)), max(digits - 1, 3))))
    rows += [(letter(tex), filled(text, names)) for tex, text in inner] if below else []
    body = "".join(
        f"<mtr><mtd style='text-align:right'>{left}</mtd><mtd style='text-align:left'><mstyle "
        f"displaystyle='true'><mo>=</mo>{right}</mstyle></mtd></mtr>"
        for left, right in rows
    )
    return f"<math display='block'><mtable>{body}</mtable></math>"
