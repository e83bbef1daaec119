"""My shop: what is in it, what was measured and what is only assumed, and where measuring would tell most.

In a notebook: `show(MY_SHOP)`. The description is a small text file: write it out, change it in any editor, load it,
keep it.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

import numpy as np

from ..core import files
from ..core.quantity import Refused, Say, plain
from ..job import tools
from ..job.shop_entries import Known
from ..screen.downloads import Saved
from ..screen.draw import WIDTH, Drawing
from ..screen.page import Choose, Load, Page, Press

SHOWN = ("everything", "what is measured", "what is only assumed")
FILE = "my shop.toml"
WHERE = {"holder": "chapter 3, weights and an indicator", "damping": "chapter 3, a tap",
    ": taper": "chapter 10, two collars", "spindle runout": "chapter 10, an indicator in the nose",
    ": drift": "chapter 10, an hour beside an indicator", ": tailstock": "chapter 10, a bar between centres",
    "spindle and chuck": "chapter 5, weights and an indicator", "tailstock": "chapter 5, weights and an indicator",
    "headstock centre": "chapter 5, weights and an indicator", "steady": "chapter 5, weights and an indicator",
    "repeat": "chapter 7, ten readings", "runout": "an indicator on a ground pin",
    "nose": "a magnifier and a drill shank held against it"}


@dataclass(frozen=True)
class MyShop:
    shop: tools.Shop
    values: tuple[tuple[str, Known], ...]
    shown: str
    new: bool                               # read from a file and not kept yet
    first: tuple[tuple[str, Known], ...]    # assumed and widest, worth measuring first


NARROW = 1.001   # a range no wider than this is a single value


def compute(file: bytes | None, shown: str) -> MyShop:
    """What the shop's file holds: measured or assumed, and what is worth measuring first.

    Raises Refused for a file that cannot be read.
    """
    mine = tools.own_shop() if file is None else tools.with_records(tools.read_text(file))
    values = tuple(mine.values())
    wide = sorted((v for v in values if not v[1].measured and v[1].high > NARROW * v[1].low > 0),
        key=lambda v: -v[1].high / v[1].low)
    return MyShop(mine, values, shown, file is not None, tuple(wide[:3]))


def _group(name: str, mine: tools.Shop) -> str:
    """Which part of the shop an entry belongs to."""
    entry = name.split(": ")[0]
    for group in ("chucks", "collets", "tools", "bars", "drills", "reamers", "instruments"):
        if any(x.name == entry for x in getattr(mine, group)):
            return group
    return "lathe" if entry == mine.lathe.name else "holder" if entry == mine.holder.name else "learned"


def words(r: MyShop, say: Say) -> str:
    count, measured = len(r.values), sum(k.measured for _, k in r.values)
    said = (f"Your shop file (“{r.shop.name}”) holds {count} numbers, of which {measured if measured else 'none'} "
        f"{'was' if measured == 1 else 'were'} measured and {count - measured} are assumed.")
    if r.first:
        said += "\nIt pays most to measure where the range is widest: " + "; ".join(
            f"{name} (known to a factor of {plain(float(np.sqrt(k.high / k.low)), 2)})" for name, k in r.first) + "."
    if r.new:
        said += "\nThis is what the file says; it is not kept until you press the button."
    return said


def picture(r: MyShop, say: Say) -> str:
    groups: dict[str, list[bool]] = {}
    for name, k in r.values:
        groups.setdefault(_group(name, r.shop), []).append(k.measured)
    across, left, size = 20, 118.0, 15.0
    rows = [(group, sorted(marks, reverse=True)) for group, marks in groups.items()]
    heights = [20.0 * (1 + (len(marks) - 1) // across) + 8 for _, marks in rows]
    d = Drawing("Measured and assumed", words(r, say), WIDTH, 44 + sum(heights))
    d.text(8, 18, "one square a number; full: measured, empty: assumed", kind="small halo")
    y = 34.0
    for (group, marks), height in zip(rows, heights, strict=True):
        d.text(8, y + 13, group)
        for i, measured in enumerate(marks[:400]):
            d.rect(left + (i % across) * (size + 2), y + 20 * (i // across), size, size,
                "dot-a" if measured else "paper", "ink")
        y += height
    return d.svg()


def more(r: MyShop, say: Say) -> str:
    def row(name: str, k: Known) -> str:
        span = f"{plain(k.low, 3)} to {plain(k.high, 3)}" if k.high > k.low else ""
        how = next((where for word, where in WHERE.items() if word in name.lower()), "") if not k.measured else ""
        return (f"<tr><td>{escape(name)}</td><td>{plain(k.value, 4)}</td><td>{span}</td>"
            f"<td>{'● measured' if k.measured else '○ assumed'}</td>"
            f"<td>{escape(k.says if k.measured or not how else how)}</td></tr>")

    kept = [(n, k) for n, k in r.values if r.shown == SHOWN[0] or k.measured == (r.shown == SHOWN[1])]
    rows = "".join(row(n, k) for n, k in kept) or "<tr><td>nothing</td></tr>"
    return ("<p>Lengths in mm, power in kW, springs in N/mm or N "
        "mm/rad.</p><table><tr><th>what</th><th>value</th><th>range</th><th></th>"
        f"<th>from, or how to measure it</th></tr>{rows}</table>")


def keep(file: bytes | None, shown: str) -> str:
    """Save the loaded description as the user's own shop."""
    if file is None:
        raise Refused(
            f"Load a description first. “Write it out” makes {FILE} in your folder; change it in any editor, then load "
            "it here.")
    made = tools.keep(tools.read_text(file).description)
    return (
        f"Kept: {made.name}. Plans use it from now on; the description before it lies beside it as tools.previous.json."
    )


def write_out(file: bytes | None, shown: str) -> str:
    """Write the description as a text file into the user's folder."""
    place = files.put(FILE,
        '# Lengths in mm, power in kW. Each entry says known = "measured" or "assumed"; a number may say its own:\n'
        '#   diameter = {value = 9.995, low = 9.993, high = 9.997, known = "measured", says = "micrometer"}\n'
        + tools.as_text(tools.own_shop().description))
    return Saved(
        f"Written: {place.name} in {place.parent}. Change it in any editor, load it above, look at what it says, then "
        "keep it.", place)


MY_SHOP = Page(name="my_shop", title="My shop: measured or assumed?",
    inputs=(Load("file", ".toml", "tool", "load a description", "a text file like the one that “write it out” makes"),
    Choose("shown", SHOWN, SHOWN[0], "view", "list")), compute=compute, picture=picture, words=words, more=more,
    presses=(Press("write it out", write_out, "makes a text file to change"),
    Press("keep this shop", keep, "plans then use it")))
