"""Silent nonsense hunted at random: settings drawn over all pages, read as a page reads what is typed.

    python tests/hunt.py 50000 [--page NAME] [--seed 7]

Every answer's words and picture are searched for what no reader should meet: nan, inf, minus zero, "without limit %",
digits below 0.01 µm, ranges of zero width or with the value outside them (a sign lost), a verdict beside its own
chance, words longer than 90. Prints each kind of find once a page, with its settings, and counts. A refusal is an
answer; any other exception is a find. `tests/test_hunt.py` hunts a few hundred settings at every run.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections import Counter
from typing import Any

import numpy as np

from springpass.core.quantity import Refused, Say
from springpass.core.spread import FAILS, HOLDS, verdict
from springpass.pages import catalogue
from springpass.screen.page import Choose, Page, Slide, Tick

NONSENSE = {"nan": r"\bnan\b", "inf": r"(?<![\w.])[-−+]?inf\b", "minus zero": r"(?<![\w.])[-−]0(?:\.0+)?(?![\d.])",
    "limit %": r"without limit ?%", "digits": r"\d\.\d{3,}(?: to [\d.]+)? µm", "unknown": r"\bunknown (?:mm|µm|N|%)",
    "python": r"None\b|np\.|array\(|\be[-+]\d\d"}
LONG = 90
NUMBER, UNIT = r"([−-]?\d[\d.]*)", r"( [^\s();]+)?"
RANGE = re.compile(rf"(?<!over )(?<![\d.]){NUMBER}{UNIT} \((?:90 % range )?{NUMBER}{UNIT} to {NUMBER}{UNIT}\)")


def beside_itself(text: str) -> str:
    """A value outside its own range, or a range that runs backwards or has no width; empty where all is well.

    A number whose sign is told in words ("11 µm small") is compared by its size.
    """
    for hit in RANGE.finditer(text):
        if len({unit for unit in (hit[2], hit[4], hit[6]) if unit}) > 1:
            continue   # value and range in two units
        value, low, high = (float(hit[n].replace("−", "-").rstrip(".")) for n in (1, 3, 5))
        if not low < high or not (low <= value <= high or low <= abs(value) <= high):
            return hit[0]
    return ""


def typed(dice: np.random.Generator, what: Any) -> Any:
    """A setting as someone would make it: anywhere along a slider, half the time at an end or the usual value."""
    if isinstance(what, Slide):
        q = what.quantity
        if dice.random() < 0.25:
            value = [q.low, q.high, q.usual][dice.integers(3)]
        elif q.log and q.low > 0:
            value = float(np.exp(dice.uniform(np.log(q.low), np.log(q.high))))
        else:
            value = float(dice.uniform(q.low, q.high))
        return round(value) if q.whole else min(max(float(f"{value:.4g}"), q.low), q.high)
    if isinstance(what, Choose):
        return what.options[dice.integers(len(what.options))]
    return bool(dice.random() < 0.5)


def finds(page: Page, say: Say, settings: dict[str, Any]) -> dict[str, str]:
    """What is wrong with one answer: kind and the place in the text."""
    try:
        answer = page.answer(say, **settings)
    except Refused:
        return {}
    except Exception as mishap:   # whatever it is, it is a find
        return {type(mishap).__name__: str(mishap)[:80]}
    texts = [answer.words, *re.findall(r"<text[^>]*>([^<]*)</text>", answer.svg)]
    found = {kind: hit[0] for text in texts for kind, pattern in NONSENSE.items() if (hit := re.search(pattern, text))}
    if hit := next(filter(None, map(beside_itself, texts)), ""):
        found["range"] = hit
    said, chance = getattr(answer.result, "verdict", ""), getattr(answer.result, "chance", None)
    if said in (HOLDS, FAILS) and isinstance(chance, float) and verdict(chance) == {HOLDS: FAILS, FAILS: HOLDS}[said]:
        found["verdict"] = f"{said} at a chance of {chance:.2f}"
    if len(answer.words.split()) > LONG:
        found["long"] = f"{len(answer.words.split())} words"
    return found


def main() -> int:
    given = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    given.add_argument("count", type=int, nargs="?", default=50_000)
    given.add_argument("--page", default="")
    given.add_argument("--seed", type=int, default=7)
    asked = given.parse_args()
    pages = [page for name, page in catalogue.pages().items() if asked.page in ("", name)]
    dice, kinds, told = np.random.default_rng(asked.seed), Counter(), set()
    for number in range(asked.count):
        page = pages[number % len(pages)]
        inputs = [what for what in page.inputs if isinstance(what, (Slide, Choose, Tick))]
        settings = {what.name: typed(dice, what) for what in inputs if dice.random() < 0.6}
        for kind, hit in finds(page, Say(bool(dice.random() < 0.3)), settings).items():
            kinds[kind] += 1
            if (page.name, kind) not in told:
                told.add((page.name, kind))
                print(f"{page.name}: {kind} “{hit}” at {settings}")
    print(f"{asked.count} settings on {len(pages)} pages: {dict(kinds) or 'nothing found'}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
