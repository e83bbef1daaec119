"""A part as a form: what is typed into its fields and its table of surfaces, and the text file of the same part.

    form = form_of(text)          # a file's text, as fields
    found = read_form(form)       # the part, or what is wrong in which field; the clear surfaces either way
    text = as_text(form)          # the file, with a header that lists what is allowed

A line of the table is eight texts: name, kind, size, tolerance, from, to, Ra, and what else there is. Nothing typed is
lost: fields are texts until they are read.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field
from typing import Any

from .. import bore_stress
from ..core import tables
from ..core.quantity import Refused, number, said
from . import part
from .part import Part, Surface
from .part_reader import PartFault

NAME, KIND, SIZE, FIT, FROM, TO, RA, ALSO = COLUMNS = ("name", "kind", "size", "tolerance", "from", "to", "Ra", "also")
Row = tuple[str, str, str, str, str, str, str, str]
FIELDS = ("name", "units", "material", "length", "count", "blank_diameter", "blank_length", "condition")
CELL = {"name": NAME, "kind": KIND, "diameter": SIZE, "end_diameter": SIZE, "thread": SIZE, "class": FIT, "limits": FIT,
    "from": FROM, "to": TO, "finish": RA, "flat": ALSO, "depth": ALSO, "runout": ALSO, "chamfer": ALSO}
TOP = {"blank": "blank_diameter", "blank.diameter": "blank_diameter", "blank.length": "blank_length",
    "blank.condition": "condition", "surface": "surfaces", "says": "name", "": "name"}
KEPT = ("says", "source", "place", "basis")    # of a file: kept and written out again, not on the form
# what each entry of the file means, for its header
MEANS = {"name": "what the part or the surface is called; each surface has a name of its own",
    "says": "what the part is for", "units": " or ".join(f'"{u}"' for u in part.UNITS) + "; finish stays in µm",
    "material": "one of the materials below", "length": "of the finished part", "count": "how many are made",
    "blank": "the sawn piece: diameter, length, condition", "surface": "one [[surface]] for each turned surface",
    "condition": "one of the conditions below", "source": "where the part comes from", "place": "and where in it",
    "basis": "read, memory, common practice or computed", "kind": ", ".join(part.KINDS),
    "diameter": "of the surface; of a taper at its from", "end_diameter": "of a taper at its to",
    "thread": '"M18x1" or "1/4-20 UNC"', "class": '"h6" for an outside, "H7" for a bore',
    "limits": "two deviations instead of a class, [-0.01, 0.02]", "from": "along the axis from the near end; 0 if left "
    "out", "to": "the same; the part's length if left out", "finish": "Ra in µm; 3.2 if left out",
    "flat": "true: a blind bore with a flat bottom", "depth": "two deviations of a bore's depth, [0, 0.1]",
    "runout": '{to = "another surface", within = 0.01}', "chamfer": "at 45° on the free edges"}


OF_BLANK = {"diameter": "of the sawn piece", "length": "of the sawn piece, at least 1 mm more than the part's"}


@dataclass(frozen=True)
class Form:
    """The fields of a part, all of them texts."""

    name: str = ""
    units: str = "mm"
    material: str = ""
    length: str = ""
    count: str = "1"
    blank_diameter: str = ""
    blank_length: str = ""
    condition: str = ""
    rows: tuple[Row, ...] = ()
    kept: tuple[tuple[str, str], ...] = ()     # entries of the file that have no field


@dataclass(frozen=True)
class Read:
    """A form read: the part where it is whole, what is wrong by field ("length", "surfaces.2.size"), and the surfaces
    that are clear with the number of their line, from 0.
    """

    part: Part | None
    faults: dict[str, str]
    clear: tuple[tuple[int, Surface], ...]
    described: dict[str, Any] = field(repr=False)

    @property
    def first(self) -> str:
        """The first thing that is wrong, with its place; empty where nothing is."""
        for place, sentence in self.faults.items():
            pieces = place.split(".")
            where = f"line {int(pieces[1]) + 1}: " if len(pieces) == 3 else ""
            return f"{where}{sentence}"
        return ""


# ---- fields to a description ------------------------------------------------------------------------


def _numbered(text: str, name: str) -> float | int:
    try:
        value = number(text)
    except Refused:
        raise Refused(f"{name} is {said(text)}, which is not a number. Type one such as 12.5.") from None
    return int(value) if value == int(value) and abs(value) < 1e9 else value


def _deviations(text: str, name: str) -> list[float | int]:
    """Two deviations, or one behind ±."""
    clean = text.replace("−", "-").replace("+-", "±").replace("+/-", "±").strip()
    if clean.startswith("±"):
        value = _numbered(clean[1:].strip(), name)
        return [-value, value]
    pieces = clean.split()
    if len(pieces) != 2:
        raise Refused(f"{name} is {said(text)}. Type two deviations, such as -0.01 +0.02, or one, such as ±0.02.")
    return sorted(_numbered(p, name) for p in pieces)


def _size(text: str, kind: str) -> dict[str, Any]:
    if kind in part.THREADED:
        return {"thread": text}
    pieces = re.split(r"\s*(?:\bto\b|→)\s*", text.replace("Ø", "").strip(), maxsplit=1)
    found: dict[str, Any] = {"diameter": _numbered(pieces[0], "The size")}
    if len(pieces) == 2:
        found["end_diameter"] = _numbered(pieces[1], "The size at the end")
    return found


def _tolerance(text: str) -> dict[str, Any]:
    if re.match(r"[A-Za-z]", text):
        return {"class": text}
    return {"limits": _deviations(text, "The tolerance")}


def _also(text: str) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for piece in re.findall(r'(?:"[^"]*"|[^;"])+', text):
        words = piece.strip()
        if not words:
            continue
        true_to = re.fullmatch(r'true to (?:"(.*)"|(.*?)) within (\S+)', words)
        key, _, rest = words.partition(" ")
        if words == "flat":
            entry: dict[str, Any] = {"flat": True}
        elif true_to:
            entry = {"runout": {"to": true_to[1] if true_to[1] is not None else true_to[2],
                "within": _numbered(true_to[3], "The run-out")}}
        elif key == "chamfer":
            entry = {"chamfer": _numbered(rest, "The chamfer")}
        elif key == "depth":
            entry = {"depth": _deviations(rest, "The depth's tolerance")}
        else:
            raise Refused(f"{said(words)} is not understood. Write flat, chamfer 0.5, depth 0 +0.1, or true to another "
                "surface within 0.01; parted by semicolons.")
        found |= entry
    return found


READS = {SIZE: lambda text, kind: _size(text, kind), FIT: lambda text, _: _tolerance(text),
    FROM: lambda text, _: {"from": _numbered(text, "From")}, TO: lambda text, _: {"to": _numbered(text, "To")},
    RA: lambda text, _: {"finish": _numbered(text, "Ra")}, ALSO: lambda text, _: _also(text)}


def _surface(row: Row, line: int, faults: dict[str, str]) -> dict[str, Any]:
    """One line as the file has it; what cannot be read goes into `faults`."""
    cells = dict(zip(COLUMNS, (text.strip() for text in row), strict=True))
    found: dict[str, Any] = {key: cells[key] for key in (NAME, KIND) if cells[key]}
    for column in (SIZE, FIT, FROM, TO, RA, ALSO):
        if cells[column]:
            try:
                found |= READS[column](cells[column], cells[KIND])
            except Refused as refusal:
                faults[f"surfaces.{line}.{column}"] = str(refusal)
    return found


MISSING = {NAME: "Give the surface a name.", KIND: "Choose what kind of surface it is.",
    SIZE: "Type its diameter, or the name of its thread."}


def described(form: Form) -> tuple[dict[str, Any], dict[str, str]]:
    """The form as the file describes a part, and what cannot be read at all, by field."""
    faults: dict[str, str] = {}

    def numbers(**names: str) -> dict[str, Any]:
        found = {}
        for key, of in names.items():
            text = getattr(form, of).strip()
            try:
                found[key] = _numbered(text, of.replace("_", " ").capitalize())
            except Refused as refusal:
                faults[of] = str(refusal)
        return found

    for name, empty in (("name", "Give the part a name."), ("material", "Choose the material.")):
        if not getattr(form, name).strip():
            faults[name] = empty
    made: dict[str, Any] = {"name": form.name.strip(), **dict(form.kept), "units": form.units,
        "material": form.material.strip(), **numbers(length="length", count="count")}
    made["blank"] = {**numbers(diameter="blank_diameter", length="blank_length"), "condition": form.condition.strip()}
    made["surface"] = [_surface(row, line, faults) for line, row in enumerate(form.rows)]
    for line, surface in enumerate(made["surface"]):
        for column, key in ((NAME, "name"), (KIND, "kind"), (SIZE, "")):
            there = surface.get(key) if key else {"diameter", "thread"} & set(surface)
            if not there:
                faults.setdefault(f"surfaces.{line}.{column}", MISSING[column])
    if not form.rows:
        faults["surfaces"] = "Add the first surface: an outside from end to end."
    return made, faults


def read_form(form: Form) -> Read:
    """Read a form: everything that is wrong, each beside its field, and what is clear in the meantime."""
    made, faults = described(form)
    lines = [n for n in range(len(form.rows)) if not any(p.startswith(f"surfaces.{n}.") for p in faults)]
    whole = None
    if set(faults) & {*FIELDS}:
        lines = lines if {"length", "blank_diameter"}.isdisjoint(faults) else []
    for _ in range(len(form.rows) + len(FIELDS) + 1):
        some = {**made, "surface": [made["surface"][n] for n in lines]}
        try:
            whole = part.read_apart(some) if lines and set(faults).isdisjoint(FIELDS) else None
            if whole is not None and not faults:
                part.read(some)
            break
        except PartFault as fault:
            where, _, key = fault.place.partition(".")
            found = re.fullmatch(r"surface (\d+)", where)
            if not found:
                faults[TOP.get(fault.place, fault.place)] = fault.bare
                whole = None if fault.place != "surface" else whole
                break
            line = lines[int(found[1]) - 1]
            faults[f"surfaces.{line}.{CELL.get(key, NAME)}"] = fault.bare
            if fault.together:
                break
            lines = [n for n in lines if n != line]
            whole = None
    clear = tuple(zip(lines, whole.surfaces, strict=True)) if whole is not None else ()
    return Read(whole if not faults else None, faults, clear, made)


# ---- a file to fields, and back -----------------------------------------------------------------------


def _written(value: Any) -> str:
    return f"{value:.12g}" if isinstance(value, float) else str(value)


def _pair(values: Any) -> str:
    low, high = values
    return f"±{_written(high)}" if low == -high else f"{_written(low)} {'+' if high > 0 else ''}{_written(high)}"


def row_of(surface: dict[str, Any]) -> Row:
    """One surface of a file as a line of the table. Raises Refused for a name that the form cannot show."""
    size = surface["thread"] if "thread" in surface else _written(surface.get("diameter", ""))
    if "end_diameter" in surface:
        size += f" to {_written(surface['end_diameter'])}"
    fit = surface.get("class") or (_pair(surface["limits"]) if "limits" in surface else "")
    also = ["flat"] if surface.get("flat") else []
    if surface.get("chamfer"):
        also.append(f"chamfer {_written(surface['chamfer'])}")
    if "depth" in surface:
        also.append(f"depth {_pair(surface['depth'])}")
    if "runout" in surface:
        to = surface["runout"]["to"]
        if '"' in to:
            raise Refused(f"The form cannot show the name {said(to)} in a run-out. Leave its quotation marks out.")
        to = f'"{to}"' if ";" in to or " within " in f" {to} " or to != to.strip() else to
        also.append(f"true to {to} within {_written(surface['runout']['within'])}")
    start, end, finish = (_written(surface[key]) if key in surface else "" for key in ("from", "to", "finish"))
    return str(surface.get("name", "")), str(surface.get("kind", "")), size, fit, start, end, finish, "; ".join(also)


def form_of(text: str, file: str = "the file") -> Form:
    """The fields of a part's text. Raises Refused, as `part.read_text` does, where the text is not a part."""
    part.read_text(text, file)
    given = tables.described(text, file)
    blank = given["blank"]
    return Form(given["name"], given.get("units", "mm"), given["material"], _written(given["length"]),
        _written(given.get("count", 1)), _written(blank["diameter"]), _written(blank["length"]), blank["condition"],
        tuple(row_of(s) for s in given["surface"]), tuple((k, given[k]) for k in KEPT if k in given))


def header() -> str:
    """The comment at the top of a file: every entry and what it may hold, from the tables that read it."""
    lines = ["# A part. Lengths in its units along the axis from the near end. Entries:"]
    for where, keys in (("the part", part.PART_KEYS), ("[blank]", part.BLANK_KEYS), ("[[surface]]", part.SURFACE_KEYS)):
        lines.append(f"# {where}")
        means = MEANS | (OF_BLANK if keys is part.BLANK_KEYS else {})
        lines += [f"#   {key}: {means[key]}" for key in keys]
    lines += ["# materials: " + "; ".join(part.known_materials()), "# conditions: " + "; ".join(bore_stress.stocks())]
    return "\n".join(lines) + "\n"


def as_text(form: Form) -> str:
    """The file of a form, with a header that lists what is allowed. Raises Refused for a field that cannot be read."""
    made, faults = described(form)
    if faults:
        raise Refused(Read(None, faults, (), made).first)
    blank, surfaces = made.pop("blank"), made.pop("surface")
    text = header()
    for head, entries in (("", made), ("[blank]", blank), *(("[[surface]]", s) for s in surfaces)):
        text += f"\n{head}\n" if head else "\n"
        text += "".join(f"{key} = {_toml(value)}\n" for key, value in entries.items())
    return text


def _toml(value: Any) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {_toml(v)}" for key, v in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_toml, value)) + "]"
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
