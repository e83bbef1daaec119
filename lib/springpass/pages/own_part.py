"""A part of your own without a text editor: fields, a table of surfaces, the drawing beside them as you type."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import bore_stress
from ..core import files
from ..core.quantity import Refused, Say
from ..job import part, part_form
from ..job.part import INSIDE_THREAD, KNURL, RECESS, THREAD, Surface
from ..job.part_form import ALSO, FIT, FROM, KIND, NAME, RA, SIZE, TO, Form, Read, form_of, read_form
from ..screen.downloads import Saved
from ..screen.draw import WIDTH, Drawing, breadth
from ..screen.page import Choose, Column, Load, Page, Press, Table, Write

HERE, KEPT = "what stands below", "the part I kept last"
PARTS = {"the drive sleeve": "drive_sleeve", "the bearing housing": "bearing_housing", "the bush": "bush"}
EMPTY = "an empty form"


USUAL = form_of(part.demo_text("drive_sleeve"))
BARE = Form(material=USUAL.material, condition=USUAL.condition)


@dataclass(frozen=True)
class Typed:
    """The form as it stands and what was read from it."""

    form: Form
    read: Read

    @property
    def cells(self) -> dict[str, str]:
        """What is wrong, by field and by cell of the table."""
        return self.read.faults


def fields(form: Form) -> dict[str, Any]:
    """What the page's inputs hold for a form."""
    return {**{name: getattr(form, name) for name in part_form.FIELDS}, "surfaces": form.rows,
        "kept": "\n".join(f"{key} = {value}" for key, value in form.kept)}


def begin_from(choice: str) -> dict[str, Any]:
    """The fields of the part to begin from. Raises Refused where none was kept."""
    if choice == HERE:
        return {}
    return fields(BARE if choice == EMPTY else form_of(part.own_text(), part.OWN) if choice == KEPT
        else form_of(part.demo_text(PARTS[choice])))


def loaded(data: bytes) -> dict[str, Any]:
    """The fields of a file. Raises Refused where it is no part."""
    return fields(form_of(data.decode("utf-8-sig", "replace"), "the file"))


def form_from(surfaces: Any, kept: str, **texts: str) -> Form:
    """The form of the page's inputs."""
    more = tuple((key, value) for key, _, value in (line.partition(" = ") for line in kept.splitlines())
        if key in part_form.KEPT and value.strip())
    return Form(**texts, rows=surfaces, kept=more)


def compute(begin: str, part_file: bytes | None, **values: Any) -> Typed:
    """The form read: the part, or what is wrong where. Raises Refused for a file that is no part."""
    if part_file is not None:
        values |= loaded(part_file)
    elif begin != HERE:
        values |= begin_from(begin)
    form = form_from(**values)
    return Typed(form, read_form(form))


# ---- the picture ----------------------------------------------------------------------------------

TALL, MARGIN, TOP = 270, 26.0, 30.0


def picture(r: Typed, say: Say) -> str:
    clear = r.read.clear
    d = Drawing("The part as it stands on the form", words(r, say), WIDTH, TALL)
    if not clear:
        d.text(WIDTH / 2, TALL / 2, "nothing to draw yet", "middle")
        return d.svg()
    long = max(s.end for _, s in clear)
    widest = max(max(s.largest for _, s in clear), min(s.diameter for _, s in clear))
    up = min((WIDTH - 2 * MARGIN) / long, (TALL - 3 * TOP - MARGIN) / widest)
    left, axis = (WIDTH - up * long) / 2, TOP + (TALL - 2 * TOP) / 2

    def x(z: float) -> float:
        return left + up * z

    def box(s: Surface, side: int) -> tuple[list[float], list[float]]:
        near, far = (axis - side * up * s.at(z) / 2 for z in (s.start, s.end))
        return [x(s.start), x(s.end), x(s.end), x(s.start)], [near, far, axis, axis]

    wrong = {int(place.split(".")[1]) for place in r.read.faults if place.count(".") == 2}
    for inside in (False, True):
        for line, s in clear:
            if s.inside == inside and s.kind != RECESS:
                for side in (1, -1):
                    xs, ys = box(s, side)
                    if inside and side > 0:
                        continue   # the near half shows the outside, the far half is cut open
                    d.shape(xs, ys, "paper" if inside else "fill-work", "limit" if line in wrong else "ink",
                        9 if side < 0 and not inside else 0)
    for _, s in clear:
        _details(d, s, x, axis, up)
    d.line([left - 16, x(long) + 16], [axis, axis], "faint")
    _names(d, clear, x, axis, up)
    return d.svg()


def _details(d: Drawing, s: Surface, x: Any, axis: float, up: float) -> None:
    """Thread lines, grooves, a knurl's lines."""
    if s.kind == THREAD:
        for side in (1, -1):
            d.line([x(s.start), x(s.end)], [axis - side * up * s.diameter * ROOT] * 2, "thin")
    elif s.kind == INSIDE_THREAD:
        d.line([x(s.start), x(s.end)], [axis + up * s.diameter / 2] * 2, "thin")
    elif s.kind == RECESS:
        for side in (1, -1):
            d.shape([x(s.start), x(s.end), x(s.end), x(s.start)], [axis - side * up * s.diameter / 2] * 2
                + [axis - side * (up * s.diameter / 2 + GROOVE)] * 2, "paper", "thin")
    elif s.kind == KNURL:
        for z in np.arange(s.start, s.end, max(s.length / 12, 0.5)):
            d.line([x(z), x(min(z + s.length / 12, s.end))], [axis - up * s.diameter / 2, axis], "thin")


ROOT, GROOVE = 0.44, 6   # share of a thread's diameter at which its line is drawn; px that a groove is drawn deep


def _names(d: Drawing, clear: tuple[tuple[int, Surface], ...], x: Any, axis: float, up: float) -> None:
    """Number of the line and size, outsides above the part and the hole below, in rows where they would touch."""
    for inside in (False, True):
        ends: list[float] = []   # where the words of each row end
        for line, s in sorted(((n, s) for n, s in clear if s.inside == inside), key=lambda one: one[1].start):
            label = f"{line + 1}  {s.says}"
            at = d.within((x(s.start) + x(s.end)) / 2, label)
            row = next((i for i, end in enumerate(ends) if at - breadth(label) / 2 > end), len(ends))
            ends[row:row + 1] = [at + breadth(label) / 2 + 6]
            y = (TALL - 8 - 17 * row) if inside else 16 + 17 * row
            d.line([at, at], [y - 14 if inside else y + 4, axis + (1 if inside else -1) * up * s.smallest / 2], "faint")
            d.text(at, y, label, "middle", "small halo")


# ---- the words --------------------------------------------------------------------------------------


def words(r: Typed, say: Say) -> str:
    count = len(r.form.rows)
    if r.read.part is not None:
        made = r.read.part
        some = "one surface" if count == 1 else f"{count} surfaces"
        of = f"; {made.count} are to be made" if made.count > 1 else ""
        return (f"The {made.name} is clear: {some}, {len(made.toleranced) or 'none'} with a tolerance{of}. Keep it, "
            "and plan it as your own part.")
    wrong = len(r.read.faults)
    first = r.read.first
    many = "One thing is" if wrong == 1 else f"{wrong} things are"
    return (f"{len(r.read.clear)} of {count} surfaces {'is' if len(r.read.clear) == 1 else 'are'} clear.\n{many} still "
        f"missing or wrong. {first[:1].upper()}{first[1:]}")


def keep(begin: str, part_file: bytes | None, **values: Any) -> Saved:
    """Write the part into the user's folder, where the plan finds it. Raises Refused while something is wrong."""
    made = compute(begin, part_file, **values)
    if made.read.part is None:
        first = made.read.first
        raise Refused(f"Not kept yet. {first[:1].upper()}{first[1:]}")
    place = files.put(part.OWN, part_form.as_text(made.form))
    return Saved(f"Kept: the {made.read.part.name}, as {place.name} in {place.parent}. Chapter 13 plans it as “my own "
        "part”.", place)


COLUMNS = (Column(NAME, "name", "each surface has a name of its own", wide=1.5),
    Column(KIND, "kind", "what kind of surface it is", part.KINDS, wide=1.35),
    Column(SIZE, "size", "diameter; a thread's name, such as M18x1; a taper as 20 to 18", wide=1.1),
    Column(FIT, "tolerance", "a class such as h6 or H7, or deviations such as -0.01 +0.02; empty: general", wide=1.2),
    Column(FROM, "from", "along the axis from the near end", wide=0.7),
    Column(TO, "to", "the same; empty: the part's length", wide=0.7),
    Column(RA, "Ra", "mean roughness in µm; empty: 3.2", wide=0.6),
    Column(ALSO, "also", "flat; chamfer 0.5; depth 0 +0.1; true to large seat within 0.02", wide=1.7))

OWN_PART = Page(name="own_part", title=part.OWN_PAGE,
    inputs=(Choose("begin", (HERE, *PARTS, KEPT, EMPTY), HERE, "work", "begin from", fills=begin_from),
    Load("part_file", ".toml,.txt", "work", "load a part's file", "a text file as “keep this part” writes it",
    fills=loaded), Write("name", USUAL.name, "work", "name of the part"),
    Table("surfaces", COLUMNS, USUAL.rows, "work", "surfaces, from the near end", line="surface"),
    Choose("units", tuple(part.UNITS), USUAL.units, "work", "lengths are in"),
    Choose("material", tuple(part.known_materials()), USUAL.material, "work", "material"),
    Write("length", USUAL.length, "work", "length of the part"),
    Write("count", USUAL.count, "work", "how many to make"),
    Write("blank_diameter", USUAL.blank_diameter, "work", "diameter of the blank"),
    Write("blank_length", USUAL.blank_length, "work", "length of the blank"),
    Choose("condition", tuple(bore_stress.stocks()), USUAL.condition, "work", "condition of the blank"),
    Write("kept", "\n".join(f"{k} = {v}" for k, v in USUAL.kept), "work", "says, source, place, basis",
    "what the file says besides", rows=3, rare=True)), compute=compute, picture=picture, words=words,
    presses=(Press("keep this part", keep, "a text file in your folder; the plan uses it"),))
