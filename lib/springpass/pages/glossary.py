"""The words of the trade: each with its meaning in one sentence, to be found by typing a part of it."""

from dataclasses import dataclass
from html import escape

from ..core import tables
from ..core.quantity import Say, said
from ..screen.draw import Drawing
from ..screen.page import Choose, Page, Write
from ..teaching import chapters, lessons

TITLES = {name: lessons.lesson(name).title for name in chapters.names()}
EVERY = "all chapters"


@dataclass(frozen=True)
class Found:
    """What was looked for, and the rows of data/glossary.csv that have it."""

    find: str
    chapter: str
    rows: tuple[dict, ...]


def compute(find: str, chapter: str) -> Found:
    """The rows whose word or meaning has what was typed in it, those with it in the word first."""
    wanted = find.strip().casefold()
    rows = tuple(row for row in tables.rows("glossary")
        if (not wanted or wanted in f"{row['term']} {row['meaning']}".casefold())
        and chapter in (EVERY, TITLES[row["chapter"]]))
    return Found(find.strip(), chapter, tuple(sorted(rows, key=lambda row: wanted not in row["term"].casefold())))


def picture(r: Found, say: Say) -> str:
    """The workbook's chapters in a row; over each as many dots as words were found that it explains."""
    d = Drawing("Where the words stand", words(r, say), height=120)
    for i, name in enumerate(TITLES):
        x = 10 + 34 * i
        d.rect(x, 76, 28, 24, "fill-work", "ink")
        d.text(x + 14, 93, TITLES[name].split()[0], "middle", "halo")
        for k in range(sum(row["chapter"] == name for row in r.rows)):
            d.dot(x + 14, 66 - 8 * k, "a", size=3)
    d.text(10, 116, "chapter, with the words it explains", kind="small halo")
    return d.svg()


def words(r: Found, say: Say) -> str:
    if not r.rows:
        return f"No word here has {said(r.find)} in it. Type fewer letters, or look in all chapters."
    if r.find or len(r.rows) == 1:
        first = r.rows[0]
        rest = f" {len(r.rows) - 1} more below." if len(r.rows) > 1 else ""
        return f"{first['term'][0].upper()}{first['term'][1:]}: {first['meaning']} ({TITLES[first['chapter']]}){rest}"
    return f"{len(r.rows)} words of the trade, each explained in one sentence below. Type a part of one to find it."


def more(r: Found, say: Say) -> str:
    lines = "".join(f"<tr><th>{escape(row['term'])}</th><td>{escape(row['meaning'])}</td>"
        f"<td>{escape(TITLES[row['chapter']])}</td></tr>" for row in r.rows)
    return f"<table><tr><th>word</th><th>meaning</th><th>chapter</th></tr>{lines}</table>" if lines else ""


GLOSSARY = Page(name="glossary", title="The words of the trade",
    inputs=(Write("find", label="find", says="a word or a part of it", longest=60),
        Choose("chapter", (EVERY, *TITLES.values()), EVERY, label="chapter")),
    compute=compute, picture=picture, words=words, more=more)
