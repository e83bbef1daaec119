r"""TeX as MathML, for pages that must be read with no typesetter and no network, and labelled formulas set so.

    mathml(r"\frac{F\,L^{3}}{3\,E\,I}")              # in the line
    mathml(r"\begin{aligned} … \end{aligned}", block=True)
    in_text("a bar of $L/d$ = 5", plain)              # every $…$ and $$…$$ in a text; `plain` gets what stands between
    formula_mathml(tip_deflection, dict(force=15, stickout=40, bar=8, modulus=205e3))

It knows fractions, roots, indices, fences, tables (aligned, cases) and the letters and signs that handbooks use.
What it does not know raises Unreadable; `in_text` then leaves the TeX as it was written, never something false.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from html import escape
from typing import Any

from .printed import printed

GREEK = {"alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "Delta": "Δ", "varepsilon": "ε", "epsilon": "ε",
    "zeta": "ζ", "eta": "η", "theta": "θ", "vartheta": "ϑ", "kappa": "κ", "lambda": "λ", "mu": "µ", "nu": "ν",
    "xi": "ξ", "pi": "π", "rho": "ρ", "sigma": "σ", "tau": "τ", "phi": "φ", "varphi": "φ", "varrho": "ϱ", "chi": "χ",
    "psi": "ψ", "omega": "ω", "Phi": "Φ", "Sigma": "Σ", "Lambda": "Λ", "Gamma": "Γ", "Theta": "Θ", "Omega": "Ω",
    "Psi": "Ψ", "Pi": "Π"}
SIGNS = {"cdot": "⋅", "times": "×", "pm": "±", "mp": "∓", "le": "≤", "leq": "≤", "ge": "≥", "geq": "≥", "ne": "≠",
    "neq": "≠", "approx": "≈", "sim": "∼", "partial": "∂", "sum": "∑", "int": "∫", "dots": "…", "ldots": "…",
    "cdots": "⋯", "infty": "∞", "to": "→", "rightarrow": "→", "propto": "∝", "ll": "≪", "gg": "≫", "equiv": "≡",
    "prime": "′", "circ": "∘", "div": "÷", "%": "%", "$": "$", "&": "&", "#": "#", "_": "_", "{": "{", "}": "}",
    "|": "‖"}
NAMES = ("sin", "cos", "tan", "cot", "sinh", "cosh", "tanh", "arcsin", "arccos", "arctan", "log", "ln", "exp", "min",
    "max", "lim")
SPACES = {",": 0.17, ":": 0.22, ";": 0.28, "!": -0.17, " ": 0.25, "quad": 1.0, "qquad": 2.0, "~": 0.25}
OVER = {"bar": "¯", "overline": "¯", "hat": "^", "dot": "˙", "tilde": "~", "vec": "→"}
ROMAN = ("mathrm", "text", "textrm", "rm", "mathit", "mathbf", "operatorname")
IGNORED = ("displaystyle", "textstyle", "limits", "nolimits")
BIG = ("bigl", "bigr", "Bigl", "Bigr", "biggl", "biggr", "big", "Big")
TOKEN = re.compile(r"\\(?P<command>[A-Za-z]+|.)|(?P<number>\d+(?:\.\d+)?)|(?P<one>\S)", re.S)
MATHS = re.compile(r"(?P<code>`[^`\n]*`)|(?<!\\)\$\$(?P<block>.+?)(?<!\\)\$\$|(?<![\\$])\$(?P<line>[^$\n]+?)(?<!\\)\$",
    re.S)


class Unreadable(ValueError):
    """TeX that this small reader does not know."""


class _Reader:
    def __init__(self, tex: str) -> None:
        self.tokens: list[tuple[str, str]] = []
        self.tex = tex
        at = 0
        while at < len(tex):
            found = TOKEN.match(tex, at)
            if not found:   # white space between tokens
                at += 1
                continue
            kind = str(found.lastgroup)
            name = found[kind]
            at = found.end()
            if (kind == "command" and name in ("text", "textrm", "operatorname", "begin", "end")
                    and (words := re.match(r"\s*\{([^{}]*)\}", tex[at:]))):
                self.tokens.append((kind, name))
                self.tokens.append(("words", words[1]))
                at += words.end()
            else:
                self.tokens.append((kind, name))
        self.place = 0

    def peek(self) -> tuple[str, str]:
        return self.tokens[self.place] if self.place < len(self.tokens) else ("end", "")

    def take(self) -> tuple[str, str]:
        token = self.peek()
        if token[0] == "end":
            raise Unreadable(f"it breaks off: {self.tex}")
        self.place += 1
        return token

    def row(self, ends: Callable[[tuple[str, str]], bool]) -> str:
        """Everything up to a token at which `ends` is true, which is left."""
        parts = []
        while self.peek()[0] != "end" and not ends(self.peek()):
            parts.append(self.scripted())
        return "".join(parts)

    def group(self) -> str:
        """{…} or one token."""
        if self.peek() == ("one", "{"):
            self.take()
            inside = self.row(lambda token: token == ("one", "}"))
            self.take()
            return f"<mrow>{inside}</mrow>"
        return self.atom()

    def scripted(self) -> str:
        base = self.group()
        low = high = ""
        while self.peek() in (("one", "_"), ("one", "^"), ("one", "'")):
            mark = self.take()[1]
            if mark == "'":
                high += "<mo>′</mo>"
            elif mark == "_":
                low = self.group()
            elif self.peek() == ("command", "circ") or self.tokens[self.place : self.place + 3] == [("one", "{"),
                    ("command", "circ"), ("one", "}")]:
                self.group()
                return f"{base}<mtext>°</mtext>"
            else:
                high += self.group()
        if low and high:
            return f"<msubsup>{base}{low}<mrow>{high}</mrow></msubsup>"
        return f"<msub>{base}{low}</msub>" if low else f"<msup>{base}<mrow>{high}</mrow></msup>" if high else base

    def atom(self) -> str:
        kind, name = self.take()
        if kind == "number":
            return f"<mn>{name}</mn>"
        if kind == "one":
            if name in "{}&^_\\":
                raise Unreadable(f"a “{name}” stands where it has no business: {self.tex}")
            return (f"<mi>{name}</mi>" if name.isalpha() else f"<mtext>{name}</mtext>" if name in "°%"
                else f"<mo>{escape('−' if name == '-' else name)}</mo>")
        return self.command(name)

    def command(self, name: str) -> str:
        if name in GREEK:
            return f"<mi>{GREEK[name]}</mi>"
        if name in SIGNS:
            return f"<mo>{escape(SIGNS[name])}</mo>" if name not in "%$#_" else f"<mtext>{name}</mtext>"
        if name in NAMES:
            return (f"<mi>{name}</mi><mo>&#x2061;</mo>" if self.peek() not in (("one", "^"), ("one", "_"))
                else f"<mi>{name}</mi>")
        if name in SPACES:
            return f"<mspace width='{SPACES[name]}em'/>"
        if name in IGNORED:
            return ""
        if name in ("frac", "tfrac", "dfrac"):
            return f"<mfrac>{self.group()}{self.group()}</mfrac>"
        if name == "sqrt":
            if self.peek() != ("one", "["):
                return f"<msqrt>{self.group()}</msqrt>"
            self.take()
            degree = self.row(lambda token: token == ("one", "]"))
            self.take()
            return f"<mroot>{self.group()}<mrow>{degree}</mrow></mroot>"
        if name in OVER:
            return f"<mover accent='true'>{self.group()}<mo stretchy='false'>{OVER[name]}</mo></mover>"
        if name in ROMAN:
            return self.roman(name)
        if name == "left":
            opening = self.fence()
            inside = self.row(lambda token: token == ("command", "right"))
            self.take()
            return f"<mrow>{opening}{inside}{self.fence()}</mrow>"
        if name in BIG:
            return self.fence()
        if name == "begin":
            return self.table(self.take()[1])
        raise Unreadable(f"“\\{name}” is not known: {self.tex}")

    def fence(self) -> str:
        kind, name = self.take()
        sign = {".": ""}.get(name, name) if kind == "one" else SIGNS.get(name, "")
        if kind == "command" and not sign:
            raise Unreadable(f"“\\{name}” is no bracket: {self.tex}")
        return f"<mo fence='true'>{escape(sign)}</mo>" if sign else ""

    def roman(self, name: str) -> str:
        if self.peek()[0] == "words":
            words = escape(self.take()[1])
            return f"<mi>{words}</mi><mo>&#x2061;</mo>" if name == "operatorname" else f"<mtext>{words}</mtext>"
        inside = self.group()
        return re.sub(r"<mi>([^<]*)</mi>", r"<mtext>\1</mtext>", inside)

    def table(self, kind: str) -> str:
        if kind not in ("aligned", "align", "align*", "cases", "matrix", "array"):
            raise Unreadable(f"“{kind}” is no table known here: {self.tex}")

        def over(token: tuple[str, str]) -> bool:
            return token in (("one", "&"), ("command", "\\"), ("command", "end"))

        rows: list[list[str]] = [[]]
        while True:
            rows[-1].append(self.row(over))
            mark = self.take()
            if mark == ("command", "end"):
                self.take()
                break
            if mark == ("command", "\\"):
                rows.append([])
        right = "right" if kind in ("aligned", "align", "align*") else "left"
        body = "".join("<mtr>"
            + "".join(f"<mtd style='text-align:{right if i % 2 == 0 else 'left'}'>{cell}</mtd>" for i,
            cell in enumerate(cells)) + "</mtr>" for cells in rows if any(cells))
        if kind == "cases":
            return f"<mrow><mo fence='true'>{{</mo><mtable>{body}</mtable></mrow>"
        return f"<mtable displaystyle='true'>{body}</mtable>"


def mathml(tex: str, block: bool = False) -> str:
    """TeX between its dollar signs as MathML. Raises Unreadable for what is not known here."""
    reader = _Reader(tex)
    body = reader.row(lambda token: False)
    if not body:
        raise Unreadable("nothing stands between the dollar signs")
    return f"<math{' display=' + chr(39) + 'block' + chr(39) if block else ''}><mrow>{body}</mrow></math>"


def in_text(text: str, plain: Callable[[str], str]) -> str:
    """A text with its TeX set; `plain` turns the rest, with a short mark for each formula, into HTML. Code between ` `
    stays.
    """
    kept: list[str] = []

    def put_by(found: re.Match[str]) -> str:
        if found["code"]:
            return found[0]
        tex = found["block"] or found["line"]
        try:
            kept.append(mathml(tex.strip(), bool(found["block"])))
        except Unreadable:
            kept.append(f"<code>{escape(tex)}</code>")
        return f"\ue000{len(kept) - 1}\ue001"

    done = plain(MATHS.sub(put_by, text))
    return re.sub("\ue000(\\d+)\ue001", lambda m: kept[int(m[1])], done)


def formula_mathml(
    function: Callable[..., Any], numbers: dict[str, float] | None = None, *, below: bool = True, digits: int = 3
) -> str:
    """The labelled formula in letters and, if every input is given in library units, with its numbers and its answer.

    below: the inner formulas' own lines follow. digits: figures of the numbers put in. Raises Refused where some of
    the numbers are missing or the function has no label.
    """
    return mathml(printed(function).lines(numbers, digits=digits, below=below), block=True)
