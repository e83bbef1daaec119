"""A chapter as a page to print, read without a kernel and without a network.

    html = build("03_boring_bar", {"bend": {"stickout": 55}}, Say(), "A4", solutions=True)
    keep("03_boring_bar", read_settings("stickout = 55", "03_boring_bar"))    # into the user's folder

The text comes from the chapter's stored notebook; its cells are read, never run. Each page's picture and words are
worked out afresh at the values asked for, each formula is set as MathML (core/mathml.py), and the exercises are
listed with a learner's numbers. The result is one HTML file: no script, no font, no picture from outside.
"""

from __future__ import annotations

import ast
import base64
import importlib
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from html import escape, unescape
from pathlib import Path
from typing import Any

from ..core import files
from ..core.mathml import Unreadable, formula_mathml, in_text, mathml
from ..core.quantity import Refused, Say, plain
from ..screen import draw
from ..screen.page import Choose, Load, Page, Slide, Tick, Write, called, headline
from ..teaching import exercises
from ..teaching.practice import EXAMPLE, Task, code, pose

PAPERS = {"A4": "A4", "Letter": "letter"}
Settings = dict[str, dict[str, Any]]   # {page's name: {input's name: value in library units}}


# ---- what a chapter is made of ----------------------------------------------------------------------


@dataclass(frozen=True)
class Part:
    """One piece of a chapter, in its order. kind: text, page, formula, predict, practise, result."""

    kind: str
    text: str = ""                                  # Markdown for text; the chapter's name; what a cell gave
    page: Page | None = None
    function: Any = None
    numbers: dict[str, Any] = field(default_factory=dict)
    tex: str = ""                                   # of a result that SymPy printed


@dataclass(frozen=True)
class Chapter:
    """A chapter read from its stored notebook."""

    name: str
    title: str
    parts: tuple[Part, ...]

    @property
    def pages(self) -> list[Page]:
        return [part.page for part in self.parts if part.page is not None]


def folder() -> Path:
    """Where the workbook's notebooks lie: beside lib/ in the project, or where the kernel runs."""
    here = [Path(__file__).resolve().parents[3] / "workbook", Path.cwd(), Path.cwd() / "workbook"]
    return next((place for place in here if (place / "03_boring_bar.ipynb").exists()), here[0])


def names() -> list[str]:
    """The chapters a handout can be made of, in the workbook's order. Raises Refused where the workbook is missing."""
    found = sorted(path.stem for path in folder().glob("*.ipynb") if path.stem in exercises.chapters())
    if not found:
        raise Refused(
            "The workbook's notebooks were not found beside the library. Fetch the project again, or start from its "
            "folder."
        )
    return found


def chapter(name: str) -> Chapter:
    """One chapter, read from its notebook. Raises Refused for a chapter there is not, or a damaged notebook."""
    if name not in names():
        raise Refused(f"There is no chapter “{name}” for a handout. There are {', '.join(names())}.")
    path = folder() / f"{name}.ipynb"
    return _read(path, path.stat().st_mtime_ns)


@lru_cache(maxsize=32)
def _read(path: Path, changed: int) -> Chapter:
    try:
        cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        parts = [part for cell, known in _with_names(cells) for part in _parts(cell, known)]
    except (OSError, ValueError, KeyError, TypeError):
        raise Refused(f"The notebook {path.name} cannot be read: it is damaged. Fetch the project again.") from None
    title = next(
        (
            line[2:].strip()
            for part in parts
            if part.kind == "text"
            for line in part.text.splitlines()
            if line.startswith("# ")
        ),
        path.stem,
    )
    return Chapter(path.stem, title, tuple(parts))


def _with_names(cells: list[dict[str, Any]]) -> Iterator[tuple[dict[str, Any], dict[str, Any]]]:
    """The cells with the names that their code may use: what they import from this library, and plain values they set.
    """
    known: dict[str, Any] = {}
    for cell in cells:
        if cell["cell_type"] == "code":
            for node in ast.parse("".join(cell["source"])).body:
                if (
                    isinstance(node, ast.ImportFrom)
                    and (node.module or "").split(".")[0] == "springpass"
                    and not node.level
                ):
                    known |= {
                        alias.asname or alias.name: _imported(str(node.module), alias.name) for alias in node.names
                    }
                elif isinstance(node, ast.Assign) and len(node.targets) == 1 and isinstance(node.targets[0], ast.Name):
                    try:
                        known[node.targets[0].id] = _value(node.value, known)
                    except (ValueError, KeyError, AttributeError):
                        known.pop(node.targets[0].id, None)
        yield cell, known


def _imported(module: str, name: str) -> Any:
    found = importlib.import_module(module)
    return getattr(found, name) if hasattr(found, name) else importlib.import_module(f"{module}.{name}")


def _value(node: ast.AST, known: dict[str, Any]) -> Any:
    """What a plain expression stands for: a name, a number, dict(a=1). Nothing is run; anything else raises ValueError.
    """
    if isinstance(node, ast.Name):
        return known[node.id]
    if isinstance(node, ast.Attribute):
        return getattr(_value(node.value, known), node.attr)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "dict" and not node.args:
        return _keywords(node, known)
    return ast.literal_eval(node)


def _keywords(call: ast.Call, known: dict[str, Any]) -> dict[str, Any]:
    given: dict[str, Any] = {}
    for keyword in call.keywords:
        value = _value(keyword.value, known)
        given |= {keyword.arg: value} if keyword.arg else value
    return given


def _parts(cell: dict[str, Any], known: dict[str, Any]) -> Iterator[Part]:
    if cell["cell_type"] == "markdown":
        yield Part("text", "".join(cell["source"]))
        return
    if cell["cell_type"] != "code":
        return
    shown = [output for output in cell["outputs"] if output["output_type"] == "display_data"]
    for node in ast.parse("".join(cell["source"])).body:
        call = node.value if isinstance(node, ast.Expr) else None
        if (
            not isinstance(call, ast.Call)
            or not isinstance(call.func, ast.Name)
            or call.func.id not in ("show", "formula", "predict", "practise", "units")
        ):
            continue
        stored = shown.pop(0)["data"] if shown else {}
        if call.func.id == "show":
            yield Part("page", page=_value(call.args[0], known))
        elif call.func.id == "formula":
            try:
                yield Part("formula", function=_value(call.args[0], known), numbers=_keywords(call, known))
            except (ValueError, KeyError, AttributeError):   # numbers worked out in the cell: as they were stored
                yield Part("text", "".join(stored.get("text/markdown", "")))
        elif call.func.id != "units":
            yield Part(call.func.id, str(_value(call.args[0], known)))
    for output in cell["outputs"]:
        if output["output_type"] == "stream":
            yield Part("result", "".join(output["text"]))
        elif output["output_type"] == "execute_result":
            yield Part(
                "result",
                "".join(output["data"].get("text/plain", "")),
                tex="".join(output["data"].get("text/latex", "")).strip("$ "),
            )


# ---- the values at which the pages stand -----------------------------------------------------------


def read_settings(text: str, name: str, say: Say | None = None) -> Settings:
    """Lines like `stickout = 55` for every page of the chapter that has it, `bend: stickout = 55` for one page alone.

    Names as the page shows them, or else as the library has them; numbers in the page's unit, comma or point. Raises
    Refused with the line's number and a sentence.
    """
    pages, found = chapter(name).pages, Settings()
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        where, equals, typed = line.partition("=")
        only, colon, wanted = where.rpartition(":")
        if not equals or not wanted.strip():
            raise Refused(
                f"Line {number} of the settings is “{line.strip()[:60]}”. Write a name, an equals sign and a value, "
                "such as: stickout = 55."
            )
        fits = [page for page in pages if not colon or _bare(only) in (_bare(page.name), _bare(page.title))]
        if not fits:
            raise Refused(
                f"Line {number}: this chapter has no page “{only.strip()[:60]}”. It has "
                f"{', '.join(page.name for page in pages)}."
            )
        asked = [(page, what) for page in fits for what in page.inputs if not isinstance(what, Load)]
        hit = [(page, what) for page, what in asked if _bare(wanted) == _bare(called(what))] \
            or [(page, what) for page, what in asked if _bare(wanted) == _bare(what.name)]
        for page, what in hit:
            found.setdefault(page.name, {})[what.name] = _setting(what, typed.strip(), number, say or Say())
        if not hit:
            known = dict.fromkeys(called(what) for _, what in asked if not what.rare)
            raise Refused(f"Line {number}: no page here has “{wanted.strip()[:60]}”. There are {', '.join(known)}.")
    return found


def _bare(text: str) -> str:
    return re.sub(r"[\W_]+", " ", text).strip().casefold()


def _setting(what: Any, typed: str, number: int, say: Say) -> Any:
    try:
        if isinstance(what, Tick):
            if typed.casefold() not in ("yes", "no", "true", "false", "on", "off"):
                raise Refused(f"{called(what)} is yes or no; it was “{typed[:40]}”.")
            return typed.casefold() in ("yes", "true", "on")
        if isinstance(what, Choose):
            return what.check(next((option for option in what.options if option.casefold() == typed.casefold()), typed))
        return what.check(typed.replace(" | ", "\n") if isinstance(what, Write) else typed, say.inch)
    except Refused as refusal:
        raise Refused(f"Line {number}: {refusal}") from None


def shown_value(what: Any, value: Any, say: Say) -> str:
    """An input's value as its page shows it, with its unit."""
    if isinstance(what, Slide):
        unit, number = what.quantity.unit_for(say.inch), plain(what.quantity.to_shown(value, say.inch), 4)
        return number if unit == "1" else f"{number}°" if unit == "deg" else f"{number} {unit}"
    if isinstance(what, Tick):
        return "yes" if value else "no"
    if isinstance(what, Load):
        return "no file" if value is None else "a file"
    lines = [line for line in str(value).splitlines() if line.strip()]
    return "; ".join(lines[:4]) + (" …" if len(lines) > 4 else "") if lines else "empty"


# ---- text ------------------------------------------------------------------------------------------


def marked_up(text: str) -> str:
    """Markdown as HTML: maths as MathML, links as words, pictures inside the file. Raises Refused where mistune is
    missing.
    """
    try:
        import mistune
    except ImportError:
        raise Refused(
            "A handout needs the package mistune, which JupyterLab brings along. Install the workbook as its README "
            "says."
        ) from None
    html = in_text(
        text, lambda source: str(mistune.create_markdown(escape=True, plugins=["table", "strikethrough"])(source))
    )
    html = re.sub(r'<img src="([^"]*)" alt="([^"]*)"[^>]*>', _picture, html)
    return re.sub(
        r'<a href="([^"]*)"[^>]*>(.*?)</a>',
        lambda m: m[2] if ".ipynb" in m[1] or m[1] in m[2] or not m[1].startswith("http") else f"{m[2]} ({m[1]})",
        html,
        flags=re.S,
    )


def _picture(found: re.Match[str]) -> str:
    place = (folder() / unescape(found[1])).resolve()
    kind = {".png": "png", ".jpg": "jpeg", ".jpeg": "jpeg", ".svg": "svg+xml"}.get(place.suffix.lower())
    if kind is None or folder().resolve() not in place.parents or not place.is_file():
        return found[2]
    return f'<img src="data:image/{kind};base64,{base64.b64encode(place.read_bytes()).decode()}" alt="{found[2]}">'


FOLDED = re.compile(r"<details>\s*<summary>(.*?)</summary>(.*?)</details>", re.S)


def _text(text: str, solutions: bool) -> str:
    """A text cell. What is folded on the screen is open on paper; solutions only where they are wanted."""
    out, at = [], 0
    for fold in FOLDED.finditer(text):
        out.append(marked_up(text[at : fold.start()]))
        at = fold.end()
        if "solution" not in fold[1].casefold():
            out.append(
                '<div '
                f'class="fold"><p><b>{escape(re.sub(r"[ ]*[(][^)]*folded[)]", "", fold[1]))}</b></p>{marked_up(fold[2].strip())}</div>'
            )
        elif solutions:
            out.append(f'<div class="fold"><p><b>{escape(fold[1])}.</b></p>{marked_up(fold[2].strip())}</div>')
    return "".join(out) + marked_up(text[at:])


# ---- the pieces ------------------------------------------------------------------------------------


def page_html(page: Page, changed: dict[str, Any], say: Say) -> str:
    """A page as it stands at these values: picture, words and its settings as a small table. Raises Refused, naming the
    page.
    """
    try:
        values = page.values(**changed)
        answer = page._answer(say, values)
    except Refused as refusal:
        raise Refused(f"“{page.title}” gives no answer at these settings: {refusal}") from None
    top = headline(answer.result)
    words = answer.words.split("\n")
    said = "".join(
        f"<p>{f'<b>{escape(top)}</b> ' if top and i == 0 else ''}{escape(part)}</p>" for i, part in enumerate(words)
    )
    cells = [
        f"<td{' class=set' if what.name in changed else ''}><span>{escape(called(what))}</span> "
        f"<b>{escape(shown_value(what, values[what.name], say))}</b></td>"
        for what in page.inputs
        if not isinstance(what, Load) and (what.name in changed or not what.rare)
    ]
    rows = "".join(f"<tr>{''.join(cells[i : i + 3])}</tr>" for i in range(0, len(cells), 3))
    table = f'<table class="settings">{rows}</table>' if rows else ""
    return (f'<figure><figcaption>{escape(page.title)}</figcaption><div '
            f'class="beside"><div>{answer.svg}</div><div>{said}</div></div>{table}</figure>')


def formula_html(function: Any, numbers: dict[str, Any]) -> str:
    """A labelled formula with its numbers, its letters, what it holds for and its source."""
    from ..core.formula import printed

    shown = printed(function)
    letters = "; ".join(
        f"{mathml(shown.quantity[symbol].symbol)} {escape(shown.quantity[symbol].says)}"
        for symbol in shown.letters.values()
    )
    meaning = (function.__doc__ or "").strip().splitlines()[0]
    label = function.label
    return (
        f'<div class="formula"><p>{escape(meaning)}</p>{_fitted(formula_mathml(function, **numbers))}<p '
        f'class="small">{letters}. '
        f"<i>Holds for:</i> {escape(label.holds)}. <i>Source:</i> {escape(label.source)}.</p></div>"
    )


def _fitted(math: str) -> str:
    """A long formula is set smaller, so that it stays on the paper."""
    widest = max(
        (
            len(re.sub(r"<mfrac>.*?</mfrac>|<[^>]*>|&#?\w+;", "", row))
            + 0.55 * len(re.sub(r"<[^>]*>|&#?\w+;", "", "".join(re.findall(r"<mfrac>.*?</mfrac>", row))))
            for row in re.split(r"</mtr>", math)
        ),
        default=0,
    )
    size = "w3" if widest > 130 else "w2" if widest > 85 else "w1" if widest > 60 else ""
    return f'<div class="{size}">{math}</div>' if size else math


def _asked(task: Task, say: Say) -> str:
    if task.options:
        return "<p>" + " &nbsp; ".join(f"☐ {escape(option)}" for option in task.options) + "</p>"
    return f'<p class="answer"><span>Answer</span><span>{escape(task.wanted(say))}</span></p>'


def _prediction(name: str, say: Say, solutions: bool) -> str:
    task = exercises.chapter(name).prediction
    if task is None:
        return ""
    told = f'<p class="small">It is {escape(task.answer_text(say))}. {escape(task.reveals)}</p>' if solutions else ""
    return f'<div class="ask"><p><b>Your guess first.</b> {escape(task.asks)}</p>{_asked(task, say)}{told}</div>'


def _exercises(name: str, say: Say, solutions: bool, learner: str, group: str) -> str:
    out = []
    for number, exercise in enumerate(exercises.chapter(name).exercises, 1):
        task = pose(exercise, learner, group, say)
        end = f'<div class="fold">{task.solution(say)}</div>' if solutions else ""
        out.append(
            f'<div class="ask{" solved" if solutions else ""}"><p><b>{number}. {escape(exercise.heading)}</b> '
            f'{escape(task.asks)}</p>{"" if solutions and not task.options else _asked(task, say)}{end}</div>'
        )
    return "".join(out)


def _result(part: Part) -> str:
    if part.tex:
        try:
            return f'<div class="fold">SymPy finds {mathml(part.tex)}</div>'
        except Unreadable:
            pass
    return f"<pre>{escape(part.text.rstrip())}</pre>"


# ---- the whole -------------------------------------------------------------------------------------

STYLE = """@page{size:%s;margin:15mm 15mm 16mm;@bottom-right{content:counter(page);font:9pt sans-serif}}
*{box-sizing:border-box}:root{color-scheme:light}
body{font:10.8pt/1.42 system-ui,"Segoe UI","DejaVu Sans",sans-serif;color:#111;background:#fff;max-width:180mm;margin:8mm auto;padding:0 4mm}
h1{font-size:19pt;line-height:1.2;margin:0 0 2mm}h2{font-size:14pt;border-bottom:.3mm solid #111;margin:7mm 0 2mm;break-after:avoid}h3{font-size:11.8pt;margin:5mm 0 1mm;break-after:avoid}
p{margin:1.4mm 0;orphans:2;widows:2}ul,ol{margin:1.4mm 0;padding-left:6mm}li{margin:.7mm 0}.top{display:flex;justify-content:space-between;gap:6mm;font-size:9.5pt;margin-bottom:2mm}
figure{margin:4mm 0;border:.3mm solid #888;border-radius:1.5mm;padding:2.5mm 3mm;break-inside:avoid}figcaption{font-weight:650;margin-bottom:1mm}
.beside{display:flex;flex-wrap:wrap;gap:2mm 4mm}.beside>:first-child{flex:1 1 96mm;max-width:104mm}.beside>:last-child{flex:1 1 60mm;font-size:10pt;line-height:1.35}.beside svg{display:block;width:100%%;height:auto;max-height:74mm}
figure .sp{font-size:15px!important}figure .sp .small{font-size:13.5px!important}
table{border-collapse:collapse}td,th{border-bottom:.2mm solid #999;padding:.5mm 3mm .5mm 0;text-align:left;vertical-align:top}
.settings{font-size:8.8pt;margin-top:1.2mm;width:100%%}.settings td{border:0;border-top:.15mm solid #bbb;width:33%%}.settings .set span{text-decoration:underline}
.formula,.ask{margin:3mm 0}.formula,.ask:not(.solved){break-inside:avoid}.ask>:first-child{break-after:avoid}.formula math,.fold math[display=block]{margin:1.5mm 0}math{font-size:112%%}.w1 math{font-size:96%%}.w2 math{font-size:80%%}.w3 math{font-size:66%%}
.formula .small math{font-size:105%%}.small{font-size:9.2pt}.fold{border-left:.6mm solid #888;padding-left:3mm;margin:1.5mm 0}pre{font-size:9pt;white-space:pre-wrap;margin:1.5mm 0;padding:1mm 2mm;border:.2mm solid #bbb}
.answer{display:flex;justify-content:space-between;border-bottom:.25mm solid #555;height:9mm;align-items:flex-end;max-width:110mm}.foot{border-top:.3mm solid #111;margin-top:6mm;padding-top:1mm}
img{max-width:100%%}@media print{body{margin:0;max-width:none;padding:0}}@media screen{math{max-width:100%%;overflow-x:auto}}"""


def build(
    name: str,
    settings: Settings | None = None,
    say: Say | None = None,
    paper: str = "A4",
    *,
    solutions: bool = False,
    learner: str = EXAMPLE,
    group: str = "",
) -> str:
    """The chapter as one HTML page to print. settings in library units, {page: {input: value}}.

    Raises Refused for an unknown chapter, paper, page, input or value, or where a page gives no answer there.
    """
    if paper not in PAPERS:
        raise Refused(f"“{paper}” paper is not known. Choose A4 or Letter.")
    read, say, settings = chapter(name), say or Say(), settings or {}
    pages = [page.name for page in read.pages]
    for wanted in settings:
        if wanted not in pages:
            raise Refused(f"This chapter has no page “{wanted}”. It has {', '.join(pages)}.")
    out = []
    for part in read.parts:
        if part.kind == "text":
            out.append(_text(part.text, solutions))
        elif part.page is not None:
            out.append(page_html(part.page, settings.get(part.page.name, {}), say))
        elif part.kind == "formula":
            out.append(formula_html(part.function, part.numbers))
        elif part.kind == "predict":
            out.append(_prediction(part.text, say, solutions))
        elif part.kind == "practise":
            out.append(_exercises(part.text, say, solutions, learner, group))
        else:
            out.append(_result(part))
    who = (
        f"the example's numbers (“{EXAMPLE}”)"
        if learner == EXAMPLE and not group
        else f"the numbers of “{escape(learner)}”"
    )
    top = (f'<div class="top"><span>Spring Pass</span><span>exercises with {who}, sheet '
           f'{code(learner, group)}{", with solutions" if solutions else ""}</span></div>')
    inch = (
        " Pictures, words and exercises are in inch and thou; the chapter's own text and formulas stay in mm."
        if say.inch
        else ""
    )
    foot = (
        f'<p class="small foot">Underlined settings differ from the values at which the page opens.{inch} At a machine '
        'its manual, the rules where you work '
        "and a qualified instructor come first.</p>"
    )
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" '
        f'content="width=device-width,initial-scale=1"><title>{escape(read.title)}</title>'
        f"<style>{draw.STYLE}{STYLE % PAPERS[paper]}</style></head><body>{top}{''.join(out)}{foot}</body></html>"
    )


def file_name(name: str, paper: str, say: Say, solutions: bool) -> str:
    return f"handout_{name}_{paper}{'_inch' if say.inch else ''}{'_solutions' if solutions else ''}.html"


def keep(
    name: str, settings: Settings | None = None, say: Say | None = None, paper: str = "A4", *, solutions: bool = False
) -> Path:
    """Write the handout into the user's folder; returns its place. Raises Refused."""
    return files.put(
        file_name(name, paper, say or Say(), solutions), build(name, settings, say, paper, solutions=solutions)
    )
