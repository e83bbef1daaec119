"""Rehearsal: the teacher's laptop and twenty phones, all moving a slider.

    python tests/rehearsals/voila.py [--phones 20] [--together 4] [--moves 40] [--pause 0.4] [--notebook check_stickout]
                                     [--figures]

In an environment with the workbook, lib/delivery/voila/requirements.txt and tests/requirements.txt, and a Chromium.
Every phone is a real browser page of its own, 390 px wide, with its own cookies; it stands before the first page, then
goes on to the notebook; the time runs in the page, from the key that moves the handle to the changed words. The browser
takes its share of the same small machine. Then: does an address outside get asked, can a phone run code, do the kernels
of closed and of vanished phones go, and what is left when fifty pages are asked for and dropped? Last the same notebook
kept ready for every phone, and all of them in the same second. It asks no address but this computer's own. --figures
keeps the figures in figures.csv.
"""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import json
import os
import subprocess
import sys
import tempfile
import time
import urllib.request
import uuid
from collections.abc import Iterator
from pathlib import Path

import psutil
from measure import TABLES, family, free_port, keep, lasted, memory, spread, table
from playwright.async_api import Browser, Page, async_playwright

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests/browser"))
import lab  # noqa: E402

TOKEN, DROPPED = "chalk", 50
CLOCK = """() => { const words = document.querySelector('.sp-words-box'); let pressed = null; window.took = [];
  addEventListener('keydown', () => { pressed = performance.now(); }, true);
  new MutationObserver(() => { if (pressed !== null) { took.push(performance.now() - pressed); pressed = null; } })
    .observe(words, {childList: true, subtree: true, characterData: true}); }"""


@contextlib.contextmanager
def served(*more: str) -> Iterator[tuple[str, subprocess.Popen]]:
    """Voilà with the project's settings over the workbook, on a free port; yields its address and process."""
    with tempfile.TemporaryDirectory() as scratch:
        port = free_port()
        log = Path(scratch) / "log"
        with log.open("w", encoding="utf-8") as out:
            process = subprocess.Popen(
                [
                    sys.executable,
                    "-m",
                    "voila",
                    "workbook",
                    "--Voila.config_file_paths=lib/delivery/voila",
                    f"--port={port}",
                    "--Voila.port_retries=0",
                    f"--token={TOKEN}",
                    *more,
                ],
                cwd=ROOT,
                env=dict(os.environ, HOME=scratch),
                stdout=out,
                stderr=subprocess.STDOUT,
            )
            try:
                for _ in range(300):
                    if process.poll() is not None:
                        raise RuntimeError(log.read_text(encoding="utf-8")[-2000:])
                    with contextlib.suppress(OSError):
                        urllib.request.urlopen(f"http://127.0.0.1:{port}/?token={TOKEN}", timeout=2).read()
                        break
                    time.sleep(0.2)
                yield f"http://127.0.0.1:{port}", process
            finally:
                process.terminate()
                try:
                    process.wait(30)
                except subprocess.TimeoutExpired:
                    process.kill()


class Phone:
    """One browser page with cookies of its own."""

    def __init__(self, number: int) -> None:
        self.number = number
        self.failures: list[str] = []
        self.asked: list[str] = []
        self.sockets: list[str] = []
        self.times: list[float] = []
        self.opened = self.first = 0.0
        self.said: list[str] = []      # what the browser's console says
        self.reloads: list[str] = []   # what stood there when the page had to be loaded again

    async def open(self, browser: Browser, address: str, notebook: str, patience: float = 60,
                   first: bool = False) -> None:
        self.context = await browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
        self.page: Page = await self.context.new_page()
        self.page.set_default_timeout(180_000)
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("websocket", lambda socket: self.sockets.append(socket.url))
        self.page.on("pageerror", lambda error: self.failures.append(f"script: {error}"))
        self.page.on(
            "console", lambda message: self.said.append(message.text) if message.type in ("error", "warning") else None
        )
        if first:
            begun = time.monotonic()
            await self.page.goto(f"{address}/?token={TOKEN}", timeout=180_000)
            await self.page.locator(".sp-page .sp-words").first.wait_for(timeout=1000 * patience)
            self.first = time.monotonic() - begun
        begun = time.monotonic()
        for again in range(3):
            await self.page.goto(f"{address}/voila/render/{notebook}.ipynb?token={TOKEN}", timeout=180_000)
            try:
                await self.page.locator(".sp-page .sp-words").first.wait_for(timeout=1000 * patience)
                await self.page.locator(".sp-page input[type=range]").first.wait_for(timeout=10_000)
                break
            except Exception:   # as a learner would: load the page again
                self.reloads.append(f"{(await self.page.locator('body').inner_text())[:160]!r} {self.said[-3:]}")
                if again == 2:
                    raise
        self.opened = time.monotonic() - begun

    async def slide(self, moves: int, pause: float) -> None:
        """Move the stickout to and fro, by the keys a screen reader would use."""
        shown = self.page.locator(".sp-page").first
        handle = shown.locator("input[type=range]").and_(shown.get_by_role("slider", name="stickout, mm"))
        await self.page.evaluate(CLOCK)
        await asyncio.sleep(pause * (self.number % 7) / 7)   # not all at the same instant
        for number in range(moves):
            await handle.press("ArrowRight" if number % 10 < 5 else "ArrowLeft")
            try:
                await self.page.wait_for_function("n => window.took.length > n", arg=len(self.times), timeout=10_000)
            except Exception:
                self.failures.append(f"move {number} got no answer in 10 s")
                return
            self.times = [t / 1000 for t in await self.page.evaluate("window.took")]
            await asyncio.sleep(pause)
        box, out = (
            await shown.get_by_role("textbox", name="stickout, mm").input_value(),
            await shown.locator(".sp-picture").text_content(),
        )
        if f"{box} mm = " not in (out or ""):
            self.failures.append(f"the box says {box} mm, the picture does not")


async def all_do(phones: list[Phone], do) -> None:
    async def one(phone: Phone) -> None:
        try:
            await do(phone)
        except Exception as mishap:
            phone.failures.append(f"{type(mishap).__name__}: {str(mishap).splitlines()[0]}")

    await asyncio.gather(*(one(phone) for phone in phones))


def kernels(process: subprocess.Popen) -> int:
    count = 0
    for child in psutil.Process(process.pid).children(recursive=True):
        with contextlib.suppress(psutil.Error):
            count += "ipykernel_launcher" in " ".join(child.cmdline())
    return count


def busy(process: subprocess.Popen) -> float:
    """How much of one core the server and its kernels take, over a second."""
    def spent() -> float:
        return sum(sum(one.cpu_times()[:2]) for one in family(process.pid))

    before = spent()
    time.sleep(1)
    return spent() - before


async def until(number: int, process: subprocess.Popen, patience: float) -> str:
    """Seconds until that many kernels are left."""
    begun = time.monotonic()
    while time.monotonic() - begun < patience:
        if kernels(process) <= number:
            return f"after {time.monotonic() - begun:.0f} s"
        await asyncio.sleep(0.25)
    return f"NOT STOPPED: {kernels(process)} left"


async def runs_code(phone: Phone, address: str) -> str:
    """Send the page's own kernel a message that would run code; what comes of it."""
    import websocket

    url = next(u for u in phone.sockets if "/channels" in u)
    cookies = "; ".join(f"{c['name']}={c['value']}" for c in await phone.context.cookies())
    socket = websocket.create_connection(url, cookie=cookies, origin=address, timeout=5)
    socket.send(
        json.dumps(
            {
                "header": {
                    "msg_id": uuid.uuid4().hex,
                    "msg_type": "execute_request",
                    "username": "",
                    "session": uuid.uuid4().hex,
                    "version": "5.3",
                    "date": "",
                },
                "parent_header": {},
                "metadata": {},
                "channel": "shell",
                "buffers": [],
                "content": {
                    "code": "print('it-' + 'ran')",
                    "silent": False,
                    "store_history": False,
                    "user_expressions": {},
                    "allow_stdin": False,
                },
            }
        )
    )
    with contextlib.suppress(websocket.WebSocketTimeoutException, websocket.WebSocketConnectionClosedException):
        for _ in range(20):
            if "it-ran" in str(socket.recv()):
                return "IT RAN"
    return "refused"


def outside(phones: list[Phone], address: str) -> set[str]:
    """Every address asked for, in a page or by a socket, that is not the server's own."""
    own = (address, address.replace("http", "ws", 1), "data:", "blob:")
    return {url for phone in phones for url in (*phone.asked, *phone.sockets) if not url.startswith(own)}


async def rehearse(count: int, moves: int, pause: float, notebook: str, together: int = 4,
                   ready: bool = False) -> list[tuple[str, str]]:
    rows: list[tuple[str, str]] = []
    phones = [Phone(number) for number in range(count)]
    if ready:
        os.environ["SPRINGPASS_READY"] = f"{notebook} {count}"
    async with async_playwright() as play:
        browser = await play.chromium.launch(executable_path=lab.chromium(), headless=True, args=lab.FLAGS)
        with served() as (address, process):
            os.environ.pop("SPRINGPASS_READY", None)
            alone = memory(family(process.pid))
            if ready:
                begun = time.monotonic()
                while kernels(process) < count or busy(process) > 0.3:
                    await asyncio.sleep(1)
                rows.append((f"{count} pages kept ready: all run", f"after {time.monotonic() - begun:.0f} s"))
            begun = time.monotonic()
            # the pages' own work, which phones do themselves, is done on this machine too
            door = asyncio.Semaphore(together)

            async def enter(phone: Phone) -> None:
                async with door:
                    # a full room is patient
                    await phone.open(browser, address, notebook, 60 if together < 5 else 240, not ready)

            await all_do(phones, enter)
            there = [phone for phone in phones if phone.opened]
            waits, firsts = (sorted(getattr(phone, what) for phone in there) or [0.0] for what in ("opened", "first"))
            if not ready:
                rows.append((f"{count} phones open the first page, {together} at a time: until it is live",
                    f"{firsts[len(firsts) // 2]:.0f} s (median), {firsts[-1]:.0f} s at worst"))
            rows.append((f"from there to {notebook}" if not ready else f"{count} phones open {notebook} at once",
                f"{len(there)} of {count} opened, {waits[len(waits) // 2]:.0f} s (median), {waits[-1]:.0f} s at worst; "
                f"{time.monotonic() - begun:.0f} s until all stand there"
                + ("" if len(there) == count else " FAILED")))
            reloads = [f"phone {phone.number + 1}: {what}" for phone in phones for what in phone.reloads]
            print(*reloads, sep="\n", file=sys.stderr)
            rows.append(("pages that had to be loaded a second time", str(len(reloads))))
            if not ready:
                begun = time.monotonic()
                await all_do(there, lambda phone: phone.slide(moves, pause))
                took = time.monotonic() - begun
                times = [t for phone in there for t in phone.times]
                rows.append((f"all move a slider, {len(times) / took:.0f} moves a second together: from the key to the "
                    "changed words", spread(times)))
                rows.append(("moves answered", f"{len(times)} of {count * moves}"))
            failures = [f"phone {phone.number + 1}: {what}" for phone in phones for what in phone.failures]
            rows.append(("phones stuck", "none" if not failures else f"{'; '.join(failures[:5])} FAILED"))
            total = memory(family(process.pid))
            rows.append(("memory of the server and all phones' pages",
                f"{total / 1000:.1f} GB, {(total - alone if not ready else total) / count:.0f} MB a phone"))
            other = outside(phones, address)
            asked = sum(len(phone.asked) for phone in phones)
            rows.append((f"addresses outside asked, of {asked} requests", f"ASKED {other}" if other else "none"))
        await browser.close()
    return rows


async def hang_up(port: int, notebook: str) -> None:
    """Ask for a page and go before it is there."""
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    asks = f"GET /voila/render/{notebook}.ipynb?token={TOKEN} HTTP/1.1"
    writer.write(f"{asks}\r\nHost: 127.0.0.1:{port}\r\n\r\n".encode())
    await writer.drain()
    with contextlib.suppress(TimeoutError):
        await asyncio.wait_for(reader.read(1), 0.5)
    writer.transport.abort()


async def goodbyes(notebook: str) -> list[tuple[str, str]]:
    """With short times: a phone may not run code; one that goes out of reach leaves no kernel behind, nor do fifty."""
    async with async_playwright() as play:
        browser = await play.chromium.launch(executable_path=lab.chromium(), headless=True, args=lab.FLAGS)
        with served("--MappingKernelManager.cull_idle_timeout=6", "--MappingKernelManager.cull_interval=2") as (
            address,
            process,
        ):
            stays, closes, leaves = Phone(0), Phone(1), Phone(2)
            for phone in (stays, closes, leaves):
                await phone.open(browser, address, notebook)
            code = await runs_code(stays, address)
            await closes.page.goto("about:blank")   # as a phone leaves a page
            await closes.context.close()
            await leaves.context.set_offline(True)
            await leaves.context.close()
            gone = await until(1, process, 60)
            await stays.slide(3, 0.1)
            still = "answers" if not stays.failures else "DOES NOT ANSWER"
            port = int(address.rpartition(":")[2])
            await asyncio.gather(*(hang_up(port, notebook) for _ in range(DROPPED)))
            left = await until(1, process, 240)
            late = Phone(3)
            await all_do([late], lambda phone: phone.open(browser, address, notebook))
        await browser.close()
    return [
        ("a phone that sends code to run", code),
        ("pages of a closed and of a vanished phone (limit set to 6 s)", f"stopped {gone}; an open page {still}"),
        (f"{DROPPED} pages asked for and dropped", f"nothing left of them {left}; the next phone "
            + (f"stands before its page after {late.opened:.0f} s" if late.opened else "FAILED")),
    ]


def main() -> int:
    parse = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parse.add_argument("--phones", type=int, default=20)
    parse.add_argument("--together", type=int, default=4, help="phones that open the page at the same time")
    parse.add_argument("--moves", type=int, default=40)
    parse.add_argument("--pause", type=float, default=0.4)
    parse.add_argument("--notebook", default="check_stickout")
    parse.add_argument("--figures", action="store_true", help="keep the figures in figures.csv")
    given = parse.parse_args()
    begun = time.monotonic()
    if not lab.chromium():
        print("This rehearsal needs a Chromium.")
        return 2
    about = given.phones, given.moves, given.pause, given.notebook
    found = {"voila": asyncio.run(rehearse(*about, given.together)) + asyncio.run(goodbyes(given.notebook)),
        "ready": asyncio.run(rehearse(*about, given.phones, ready=True))}
    print(*(table(rows, TABLES[name]) for name, rows in found.items()), lasted(begun), sep="\n\n")
    bad = [value for rows in found.values() for _, value in rows
        if any(mark in value for mark in ("NOT", "ASKED", "FAILED", "RAN"))]
    if given.figures and not bad:
        for name, rows in found.items():
            keep(name, rows)
    return int(bool(bad))


if __name__ == "__main__":
    sys.exit(main())
