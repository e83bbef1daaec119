"""TeX as MathML: every formula of every notebook and every labelled one, read back by its letters and numbers."""

import importlib
import json
import pkgutil
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest

import springpass
from springpass.core import formula as fm
from springpass.core import mathml
from springpass.core.printed import printed
from springpass.core.quantity import plain as rounded

NOTEBOOKS = sorted((Path(__file__).resolve().parents[1] / "workbook").glob("*.ipynb"))


def maths():
    """Every $…$ and $$…$$ that a notebook holds, in its text and in what its cells gave."""
    for path in NOTEBOOKS:
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            texts = ["".join(cell["source"])] if cell["cell_type"] == "markdown" else []
            texts += [
                "".join(output.get("data", {}).get(kind, ""))
                for output in cell.get("outputs", [])
                for kind in ("text/markdown", "text/latex")
            ]
            for text in texts:
                for found in mathml.MATHS.finditer(text):
                    if not found["code"]:
                        yield path.name, found["block"] or found["line"]


def plain(made: str) -> str:
    """A formula's letters alone, in reading order."""
    return re.sub(r"[\s\u2061\u2062]", "", "".join(ET.fromstring(made).itertext()))


# ---- maths -----------------------------------------------------------------------------------------


def test_every_formula_of_every_notebook_becomes_mathml():
    found = list(maths())
    assert len(found) > 500
    for name, tex in found:
        made = ET.fromstring(mathml.mathml(tex))
        text = "".join(made.itertext())
        assert made.tag == "math" and "\\" not in text and "{" not in text.replace("{", "", text.count("otherwise")), (
            name,
            tex,
            text,
        )


@pytest.mark.parametrize(
    ("tex", "reads"),
    [
        (r"\frac{F\,L^{3}}{3\,E\,I}", "FL33EI"),
        (r"k_{c1.1}\,\left(\frac{h}{h_0}\right)^{- m_c}", "kc1.1(hh0)−mc"),
        (r"180° - 360°/n", "180°−360°/n"),
        (r"\sqrt[3]{\frac{E_2}{E}}", "E2E3"),
        (r"12.3\,\mathrm{\mu m/(m\,K)}", "12.3µm/(mK)"),
        (r"45^\circ", "45°"),
        (r"\kappa'", "κ′"),
        (r"\mathrm dt", "dt"),
        (r"\begin{cases} 1 & \text{for}\: x > 10 \\2 & \text{otherwise} \end{cases}", "{1forx>102otherwise"),
        (r"\bar\sigma_z", "σ¯z"),
    ],
)
def test_maths_reads_as_it_was_written(tex, reads):
    assert plain(mathml.mathml(tex)) == reads


def test_structure_is_kept_not_only_letters():
    made = ET.fromstring(mathml.mathml(r"\frac{a}{b} + \sqrt{c}^{2} + d_{e}"))
    assert [len(made.findall(f".//{tag}")) for tag in ("mfrac", "msqrt", "msup", "msub")] == [1, 1, 1, 1]


@pytest.mark.parametrize(
    "tex",
    [
        r"\nosuchthing{x}",
        r"\frac{a}",
        "{a",
        "a}",
        r"\left(a",
        r"\begin{tikz}a\end{tikz}",
        "",
        "&",
        "^2^",
        "\\",
        r"\left\foo a \right)",
    ],
)
def test_what_is_not_known_stays_tex_and_is_never_lost(tex):
    with pytest.raises(mathml.Unreadable):
        mathml.mathml(tex)
    if tex:
        kept = mathml.in_text(f"see $${tex}$$ there", lambda text: text)
        assert "<code>" in kept or kept == "see $$\\$$ there"


def test_money_and_code_are_no_maths():
    assert "<math" not in mathml.in_text("It costs 5 $ and no more", lambda text: text)
    assert "<math" not in mathml.in_text("write `$x$` so", lambda text: text)


for found in pkgutil.walk_packages(springpass.__path__, "springpass."):
    if found.name.split(".")[1] not in ("screen", "printing", "pages"):
        importlib.import_module(found.name)
LABELLED = [one for one in fm.REGISTRY if one.__module__.startswith("springpass.")]


def test_every_labelled_formula_is_set_with_its_numbers():
    """At the usual value of every letter: fractions, roots and powers as in its TeX, the answer as the function's."""
    assert len(LABELLED) > 100
    for function in LABELLED:
        shown = printed(function)
        numbers = {name: shown.quantity[symbol].usual for name, symbol in shown.letters.items()}
        made = ET.fromstring(mathml.formula_mathml(function, numbers))
        tex = shown.lines(numbers)
        for tag, command in (("mfrac", r"\frac"), ("msqrt", r"\sqrt{")):
            assert len(made.findall(f".//{tag}")) == tex.count(command), (function.__name__, tag)
        powers = len(re.findall(r"\^(?!\\circ)|'", tex))   # a prime is one
        assert len(made.findall(".//msup")) + len(made.findall(".//msubsup")) == powers, function.__name__
        rows = ["".join(row.itertext()).replace("\u2061", "") for row in made.find("./mrow/mtable")]
        assert "iecewise" not in "".join(rows) and len(rows) == 3 + len(shown.inner)
        gives, value = fm.answer(function), float(function(**numbers))
        if np.isfinite(value):
            stands = made.findall("./mrow/mtable/mtr")[2].findtext(".//mn")
            # a tie goes either way
            wanted = [rounded(abs(gives.to_shown(value * (1 + off))), 3) for off in (-1e-9, 0, 1e-9)]
            assert stands in wanted, (function.__name__, rows[2], wanted)


def test_either_or_is_decided_by_the_numbers():
    """A solid shaft is stressed by the pressure itself, a hollow one by more: 60·2·20²/(20² − 10²) = 160."""
    from springpass.fits.pressing import shaft_effort

    solid, hollow = (plain(mathml.formula_mathml(shaft_effort, dict(pressure=60, fit_diameter=20, shaft_bore=bore)))
                     for bore in (0, 10))
    assert solid.endswith("=60MPa") and hollow.endswith("=160MPa")


def test_what_shows_needs_no_sympy():
    """Every page with its tables, every formula in print, every exercise's solution: SymPy is not even loaded."""
    code = """if True:
        import sys
        from springpass.core import formula, mathml
        from springpass.pages import catalogue
        from springpass.screen.page import Live
        from springpass.teaching.practice import pose
        from springpass.teaching.exercises import chapters
        for page in catalogue.pages().values():
            live = Live(page)
            for what in page.inputs:
                live.set(what.name, what.usual)
            live._show_more(0)
        for one in formula.REGISTRY:
            mathml.formula_mathml(one, {name: what.usual for name, what in formula.inputs(one).items()})
        for chapter in chapters().values():
            for exercise in chapter.exercises:
                for one in pose(exercise, "a", "b").steps:
                    _ = one if isinstance(one, str) else one.html()
        print([name for name in sys.modules if name.split(".")[0] in ("sympy", "mpmath")])"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, encoding="utf-8")
    assert done.stdout.strip() == "[]", done.stdout[-500:] + done.stderr[-2000:]


def test_an_inner_formula_waits_for_those_it_uses():
    """work_share: β depends on x, and x comes first though β was written first. By hand: 0.5 − 0.35·log10(0.458) =
    0.619.
    """
    from springpass import heat

    text = plain(
        mathml.formula_mathml(
            heat.work_share,
            dict(
                density=7850,
                specific_heat=473,
                speed=30,
                chip=0.026,
                conductivity=42.6,
                shear_angle=22,
                shear_power=0.7,
                flank_power=0.06,
            ),
        )
    )
    assert "0.7⋅0.619" in text and "46.3%" in text and "otherwise" in text
