"""The short loop: the quick tests of the chapter you are in, in about half a minute.

    python tests/loop.py 03_boring_bar          or 03, or a topic's folder such as heat
    python tests/loop.py 03 --list              only name the tests

They are: the topic's own tests by their name, its formulas' own checks, for each formula the outside comparison that
notices it made wrong, its pages at opening and at every end, and its notebook's stored stills. Further words go to
pytest (`-x`, `-k`, `--durations=10`). What is marked slow waits for the whole run.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

TESTS = Path(__file__).resolve().parent
ROOT = TESTS.parent
LIB = ROOT / "lib" / "springpass"
sys.path.insert(0, str(TESTS))


def chapter(word: str) -> tuple[str, set[str]]:
    """The notebook's name ("" for a topic without one of its own) and the chapter's modules, by a word for it."""
    import outside

    notebooks = sorted(path.stem for path in (ROOT / "workbook").glob("*.ipynb"))
    by_notebook = {said.replace(" ", "_"): set(modules) for said, modules in outside.CHAPTERS.items()}
    for stem in notebooks:
        if Path(word).stem == stem or (stem[:2].isdigit() and word == stem[:2]):
            return stem, by_notebook.get(stem, set())
    for said, modules in by_notebook.items():
        if word in {module.split(".")[0] for module in modules}:
            return said if said in notebooks else "", {m for m in modules if m.split(".")[0] == word} | {word}
    known = sorted({module.split(".")[0] for modules in by_notebook.values() for module in modules})
    raise SystemExit(f"There is no chapter “{word}”. Choose one of: {', '.join(notebooks)}; or {', '.join(known)}.")


class Chapter:
    """Keeps a chapter's tests out of all those of the files that all chapters share."""

    def __init__(self, word: str) -> None:
        import outside
        from test_stills import shown

        self.notebook, self.modules = chapter(word)
        self.pages: set[str] = set()
        self.own = {part for module in self.modules for part in module.split(".")} - {"core", "job"}
        if self.notebook:
            stored = json.loads((ROOT / "workbook" / f"{self.notebook}.ipynb").read_text(encoding="utf-8"))
            for _, name, page in shown(stored):
                self.pages.add(page.name)
                self.own.add(name.split(".")[0])
        self.outside = {test for of, test in outside.stored().items() if of.rpartition(".")[0] in self.modules}

    def files(self) -> list[Path]:
        """The files that hold tests of this chapter."""
        own = [path for path in sorted(TESTS.glob("test_*.py"))
               if path.stem.removeprefix("test_").removesuffix("_pages") in self.own]
        shared = [TESTS / f"test_{name}.py" for name in ("formula", "pages", "stills", "house")]
        checks = sorted({TESTS / test.partition("::")[0] for test in self.outside})
        return list(dict.fromkeys(path for path in [*own, *shared, *checks] if path.exists()))

    def wants(self, item: pytest.Item) -> bool:
        """Whether a test is one of this chapter's."""
        stem, bracket = item.path.stem, item.name.partition("[")[2].rstrip("]")
        if item.path.parent != TESTS:
            return f"{item.path.parent.name}/{item.path.name}::{item.name}" in self.outside
        if stem == "test_pages":
            return bracket in self.pages
        if stem == "test_stills":
            return bracket == self.notebook
        if stem == "test_formula":
            return bracket.partition(".")[0] in {module.split(".")[-1] for module in self.modules}
        return True

    def pytest_collection_modifyitems(self, config: pytest.Config, items: list[pytest.Item]) -> None:
        left = [item for item in items if not self.wants(item)]
        config.hook.pytest_deselected(items=left)
        items[:] = [item for item in items if self.wants(item)]


def main(words: list[str]) -> int:
    if not words or words[0].startswith("-"):
        print(__doc__)
        return 2
    mine = Chapter(words[0])
    more = ["--collect-only" if word == "--list" else word for word in words[1:]]
    return int(pytest.main(["-m", "not slow", *map(str, mine.files()), *more], plugins=[mine]))


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
