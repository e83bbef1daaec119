"""What the rehearsals share: memory as Linux counts it, ports, and times as a table shows them."""

from __future__ import annotations

import socket
import statistics
from collections.abc import Iterable
from pathlib import Path

import psutil


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


def table(rows: list[tuple[str, str]]) -> str:
    """A table for the README."""
    return "\n".join(["| what | measured |", "|---|---|", *(f"| {what} | {value} |" for what, value in rows)])
