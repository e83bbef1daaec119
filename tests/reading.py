"""How long a chapter takes: its words, pictures and formulas counted, at the rates of data/reading.csv.

    python tests/reading.py                  every chapter: words, pictures, formulas, exercises, minutes
    python tests/reading.py 03_boring_bar
    python tests/reading.py --write          put the minutes into the title cells

What is folded is not counted, nor is code. The title cell of a chapter says the minutes; test_reading.py holds it.
"""

from __future__ import annotations

import json
import re
import sys
from dataclasses import dataclass
from pathlib import Path

from springpass.core.tables import fact
from springpass.teaching import exercises

ROOT = Path(__file__).resolve().parents[1]
WORKBOOK = ROOT / "workbook"
CHAPTERS = sorted(path.stem for path in WORKBOOK.glob("[0-9]*.ipynb") if path.stem != "00_start_here")


@dataclass(frozen=True)
class Reading:
    """What one chapter holds for a reader."""

    words: int
    pictures: int
    formulas: int
    exercises: int

    @property
    def minutes(self) -> float:
        """Reading alone."""
        def rate(name: str) -> float:
            return fact("reading", name=name).value

        return self.words / rate("words") + self.pictures * rate("picture") + self.formulas * rate("formula")

    @property
    def with_exercises(self) -> float:
        return self.minutes + self.exercises * fact("reading", name="exercise").value


def seen(text: str) -> str:
    """What of a Markdown text stands open to the reader: no folded answer, no tag, no address, no TeX."""
    text = re.sub(r"(?s)<details.*?</details>", " ", text)
    text = re.sub(r"(?s)\$\$.*?\$\$|\$[^$\n]+\$", " x ", text)
    return re.sub(r"\]\([^)]*\)|<[^>]+>|[|#*`-]+", " ", text)


def count(text: str) -> int:
    return sum(any(letter.isalnum() for letter in word) for word in text.split())


def of(name: str) -> Reading:
    """A chapter as it is stored."""
    words = pictures = formulas = 0
    for cell in json.loads((WORKBOOK / f"{name}.ipynb").read_text(encoding="utf-8"))["cells"]:
        source = "".join(cell["source"])
        if cell["cell_type"] == "markdown":
            words += count(seen(source))
            formulas += len(re.findall(r"(?s)\$\$.*?\$\$", source))
            continue
        if source.startswith("practise(") or "\npractise(" in source:
            continue   # the exercises have minutes of their own
        for output in cell["outputs"]:
            data = output.get("data", {})
            pictures += "image/svg+xml" in data
            if shown := "".join(data.get("text/markdown", "")):
                formulas += re.sub(r"(?s)<details.*?</details>", " ", shown).count("$$") // 2
                words += count(seen(shown))
            elif "text/latex" in data:
                formulas += 1
            else:
                words += count("".join(data.get("text/plain", "")) + "".join(output.get("text", "")))
    hand = [one for one in exercises.chapter(name).exercises if not one.hands]
    return Reading(words, pictures, formulas, len(hand))


def five(minutes: float) -> int:
    """To the next five minutes."""
    return 5 * round(minutes / 5)


LINE = re.compile(r"Reading takes about (\d+) minutes, with the exercises about (\d+)\.")


def write(name: str) -> None:
    """Put a chapter's minutes into its title cell; rebuild.py gives the cell its new id."""
    path, it = WORKBOOK / f"{name}.ipynb", of(name)
    text = path.read_text(encoding="utf-8")
    line = f"Reading takes about {five(it.minutes)} minutes, with the exercises about {five(it.with_exercises)}."
    path.write_text(LINE.sub(line, text, count=1), encoding="utf-8")


if __name__ == "__main__":
    if "--write" in sys.argv:
        for one in [Path(word).stem for word in sys.argv[1:] if word != "--write"] or CHAPTERS:
            write(one)
        sys.exit()
    print(f"{'chapter':26}{'words':>7}{'pictures':>10}{'formulas':>10}{'exercises':>11}{'read':>7}{'with':>7}")
    for one in [Path(word).stem for word in sys.argv[1:]] or CHAPTERS:
        it = of(one)
        print(f"{one:26}{it.words:7}{it.pictures:10}{it.formulas:10}{it.exercises:11}{it.minutes:7.0f}"
              f"{it.with_exercises:7.0f}")
