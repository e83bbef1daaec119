"""Every page's picture on one page to look at: light, dark, in print, and at a phone's width.

    python tests/gallery.py                      writes tests/browser/shots/gallery.html (git ignores the folder)
    python tests/gallery.py out.html ring_in_jaws bend

Open it in any browser. Nothing is fetched; the look is screen/picture.css itself. tests/test_gallery.py asks that all
pages are there and that no letter is under 11 px on a phone. The conventions stand in DEVELOPERS.md.
"""

from __future__ import annotations

import re
import sys
from html import escape
from pathlib import Path

from springpass.pages import catalogue
from springpass.screen import draw

ROOT = Path(__file__).resolve().parents[1]
PHONE, DESK = 366, 620     # px that a picture has on a phone 390 px wide, and beside the sliders on a desk
SMALLEST = 11              # px of a letter on a phone
THEMES = {
    "light": "--jp-ui-font-color0:#161616;--jp-ui-font-color1:#444;--jp-layout-color0:#fff;--jp-border-color1:#bbb;"
    "background:#fff",
    "dark": "--jp-ui-font-color0:#eee;--jp-ui-font-color1:#ccc;--jp-layout-color0:#111;--jp-border-color1:#666;"
    "background:#111;color:#eee",
    "print": "--jp-ui-font-color0:#000;--jp-ui-font-color1:#222;--jp-layout-color0:#fff;--jp-border-color1:#999;"
    "filter:grayscale(1)",
    "phone": "--jp-layout-color0:#fff;background:#fff",
}


def style() -> str:
    """picture.css, with the rules for a phone put under .phone in place of the screen's width."""
    css = Path(draw.__file__).with_name("picture.css").read_text(encoding="utf-8")
    block = re.search(r"@media \(max-width:760px\)\{\n(.*?)\n\}", css, re.S)
    assert block
    small = re.sub(r"(?m)^\.sp", ".phone .sp", block[1])
    return css.replace(block[0], small)


def smallest(svg: str) -> float:
    """The height of the smallest letters of a picture on a phone, px."""
    wide = float(re.search(r'viewBox="0 0 ([\d.]+)', svg)[1])
    sizes = [float(at) for at in re.findall(r"font-size:([\d.]+)px", svg)]
    sizes += [15.0] if re.search(r'<text class="[^"]*small', svg) else []
    return min([*sizes, 16.5]) * PHONE / wide


def gallery(names: list[str] | None = None) -> str:
    """One HTML page."""
    rows = []
    for name, page in catalogue.pages().items():
        if names and name not in names:
            continue
        svg = draw.without_handles(page.answer().svg)
        wide = {theme: PHONE if theme == "phone" else DESK * 0.62 for theme in THEMES}
        boxes = "".join(f'<div class="{theme}" style="width:{wide[theme]:.0f}px;{look_}">'
            f"<small>{theme}</small>{svg}</div>" for theme, look_ in THEMES.items())
        rows.append(f'<h2 id="{name}">{escape(page.title)} <small>{name}</small></h2><div class="row">{boxes}</div>')
    return (f'<!doctype html><html lang="en"><meta charset="utf-8"><title>Pictures</title><style>{style()}'
        "body{font:15px/1.4 system-ui,sans-serif;margin:16px;background:#e4e4e4}"
        ".row{display:flex;flex-wrap:wrap;gap:10px}"
        "h2{margin:22px 0 6px;font-size:17px}.row div{padding:6px;border-radius:4px}</style>" + "".join(rows))


if __name__ == "__main__":
    words = sys.argv[1:]
    out = Path(words[0]) if words else ROOT / "tests/browser/shots/gallery.html"
    out.parent.mkdir(parents=True, exist_ok=True)
    out.write_text(gallery(words[1:]), encoding="utf-8")
    print(out)
