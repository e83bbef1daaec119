"""What the rehearsals share: memory as Linux counts it, ports, times as a table shows them, and where figures are kept.

    python tests/rehearsals/measure.py        # fill the README's tables from figures.csv

A rehearsal that is asked for --figures keeps its rows in figures.csv; the README's tables are made from that file.
"""

from __future__ import annotations

import csv
import socket
import statistics
import sys
import time
from collections.abc import Iterable
from pathlib import Path

import psutil

FIGURES = Path(__file__).with_name("figures.csv")
README = Path(__file__).resolve().parents[2] / "README.md"
TABLES = {"hub": "a class on one server", "voila": "phones on the room's network", "ready": "pages kept ready",
    "lite": "the site", "pocket_card": "a pocket card"}   # a rehearsal's name: the head of its table in the README


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def memory(processes: Iterable[psutil.Process]) -> float:
    """Memory of some processes in MB, each shared page split among those who share it (PSS)."""
    total = 0
    for process in processes:
        try:
            lines = Path(f"/proc/{process.pid}/smaps_rollup").read_text(encoding="utf-8").splitlines()
        except (OSError, psutil.Error):
            continue
        total += sum(int(line.split()[1]) for line in lines if line.startswith("Pss:"))
    return total / 1024


def family(pid: int) -> list[psutil.Process]:
    """A process and all that it started."""
    first = psutil.Process(pid)
    return [first, *first.children(recursive=True)]


def of_user(uid: int) -> list[psutil.Process]:
    return [p for p in psutil.process_iter(["uids"]) if p.info["uids"] and p.info["uids"].real == uid]


def spread(seconds: list[float]) -> str:
    """Median, 95th percentile and worst of some times, in ms."""
    if not seconds:
        return "nothing measured"
    ordered = sorted(seconds)
    return (
        f"{statistics.median(ordered) * 1e3:.0f} ms median, {ordered[int(0.95 * (len(ordered) - 1))] * 1e3:.0f} ms at "
        "the "
        f"95th percentile, {ordered[-1] * 1e3:.0f} ms at worst"
    )


def table(rows: Iterable[tuple[str, str]], head: str = "what") -> str:
    """A table for the README."""
    return "\n".join([f"| {head} | measured |", "|---|---|", *(f"| {what} | {value} |" for what, value in rows)])


def lasted(begun: float) -> str:
    """How long the rehearsal itself took, since a moment of time.monotonic()."""
    return f"This rehearsal took {(time.monotonic() - begun) / 60:.1f} minutes."


def kept() -> dict[str, list[tuple[str, str]]]:
    """The figures as they were last measured: each rehearsal's rows."""
    found: dict[str, list[tuple[str, str]]] = {}
    if FIGURES.exists():
        with FIGURES.open(encoding="utf-8", newline="") as file:
            for row in csv.DictReader(file):
                found.setdefault(row["rehearsal"], []).append((row["what"], row["measured"]))
    return found


def keep(rehearsal: str, rows: list[tuple[str, str]]) -> None:
    """Put a rehearsal's rows in the place of its former ones."""
    every = kept() | {rehearsal: rows}
    with FIGURES.open("w", encoding="utf-8", newline="") as file:
        lines = csv.writer(file, lineterminator="\n")
        lines.writerow(("rehearsal", "what", "measured"))
        lines.writerows((name, *row) for name in TABLES for row in every.get(name, ()))


def filled(text: str) -> str:
    """The README's text with its tables as the figures have them."""
    for name, rows in kept().items():
        before, head, after = text.partition(f"| {TABLES[name]} | measured |\n")
        if not head:
            raise SystemExit(f"The README has no table that begins with “| {TABLES[name]} | measured |”.")
        rest = after.splitlines(keepends=True)
        end = next((i for i, line in enumerate(rest) if not line.startswith("|")), len(rest))
        text = before + table(rows, TABLES[name]) + "\n" + "".join(rest[end:])
    return text


if __name__ == "__main__":
    README.write_text(filled(README.read_text(encoding="utf-8")), encoding="utf-8")
    sys.exit()
