"""The command line: a page as a pocket card.

    python -m springpass.pages                       lists the pages
    python -m springpass.pages check_stickout --inputs stickout bar_diameter tolerance -o card.html
"""

from __future__ import annotations

from collections.abc import Sequence

from ..core.quantity import Refused
from ..printing.pocket.card import make, save, told
from .catalogue import page_named, pages


def main(words: Sequence[str] | None = None) -> int:
    """The command line; returns 0, or 2 with a sentence on the error stream."""
    import argparse
    import sys

    parser = argparse.ArgumentParser(prog="python -m springpass.pages",
        description="Make a pocket card: one page as one HTML file for a phone.")
    parser.add_argument("page", nargs="?", help="the page's name; without it the names are listed")
    parser.add_argument("--inputs", nargs="+", default=[], metavar="LINE",
        help='one to three for sliders: stickout, "stickout = 20 to 80", "tolerance = 10; 18; 33"; with one value an '
        'input is fixed: "bore = 16"')
    parser.add_argument("--inch", action="store_true", help="inch and thou in place of mm and µm")
    parser.add_argument("--steps", type=int, default=0,
        help="most steps on a slider (default: as many as are sensible)")
    parser.add_argument("-o", "--output", help="file to write (default: card_PAGE.html)")
    asked = parser.parse_args(words)
    if asked.page is None:
        print("\n".join(f"{name:24} {one.title}" for name, one in sorted(pages().items())))
        return 0

    def heard(done: int, full: int) -> None:
        if sys.stderr.isatty() and (done % 20 == 0 or done == full):
            print(f"\r{done} of {full} answers", end="\n" if done == full else "", file=sys.stderr, flush=True)

    try:
        if asked.steps < 0 or asked.steps == 1:
            raise Refused("--steps must be 2 or more.")
        page = page_named(asked.page)
        made = make(page, asked.inputs, asked.inch, asked.steps, heard=heard)
        place = save(asked.output or f"card_{page.name}.html", made.html)
    except Refused as refusal:
        print(refusal, file=sys.stderr)
        return 2
    print(told(made, place))
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
