"""Rehearsal: a class of thirty on one server, all moving sliders; then a whole evening of the administrator's.

    python tests/rehearsals/hub.py [--learners 30] [--moves 40] [--pause 0.3] [--figures]

For Linux, as root, in the hub's own environment (lib/delivery/hub) with psutil, requests, websocket-client and
playwright added to it, a Chromium, openssl, and configurable-http-proxy on the path. It makes accounts of its own on
this computer (rehearsal01 ...) with random passwords, starts the hub with the settings as they are, over https with a
certificate of its own, on a free port, and takes all of it away again. Each learner logs in with a password, starts a
server, runs the cells of the first page and of check_stickout and moves the stickout with the messages a browser
sends; the time runs until the changed words are back. One learner comes with a real browser, which is asked which
addresses it was sent to. Fifty connections are opened and dropped. Then: who may read whose notebook, what a wrong
password gets, what the limits stop, whether idle kernels, idle servers and old logins go, whether a learner taken off
is off, what is left when the hub is stopped, and which folders it does not start from. It asks no address but this
computer's own. --figures keeps the figures in figures.csv; REHEARSAL_LOG names a file for the hub's log.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import pwd
import random
import secrets
import shutil
import signal
import socket
import stat
import subprocess
import sys
import tempfile
import threading
import time
import uuid
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import psutil
import requests
import websocket
from measure import family, free_port, keep, lasted, memory, of_user, spread, table
from playwright.sync_api import sync_playwright

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests/browser"))
import lab  # noqa: E402

FIRST, PAGE, KEY = "00_start_here.ipynb", "check_stickout.ipynb", "for_teachers.ipynb"
DROPPED = 50
LIVE = ".jp-NotebookPanel[data-springpass=open]"
GROUP = "rehearsal-learners"
OUTSIDER = "rehearsal-outsider"
HUB = str(Path(sys.executable).with_name("jupyterhub"))
SETTINGS = """
load_subconfig({config!r})
c.LocalAuthenticator.allowed_groups = {{{group!r}}}
c.JupyterHub.bind_url = "https://127.0.0.1:{port}"
c.JupyterHub.hub_port = {hub_port}
c.ConfigurableHTTPProxy.api_url = "http://127.0.0.1:{proxy_port}"
"""
IMPATIENT = """
c.Authenticator.auth_refresh_age = 3
c.Spawner.args = [*(one for one in c.Spawner.args if "cull_i" not in one), "--MappingKernelManager.cull_idle_timeout=6",
                  "--MappingKernelManager.cull_interval=2", "--ServerApp.shutdown_no_activity_timeout=0"]
c.JupyterHub.services[0]["command"][-2:] = ["--timeout=20", "--cull-every=3"]
c.JupyterHub.last_activity_interval = 3
c.Spawner.environment["JUPYTERHUB_ACTIVITY_INTERVAL"] = "3"
"""


class Learner:
    """One learner with a browser's cookies, a server, a kernel, and the widgets that the kernel opened."""

    def __init__(self, name: str, password: str, hub: str, certificate: str) -> None:
        self.name, self.password, self.hub, self.certificate = name, password, hub, certificate
        self.http = requests.Session()
        self.http.verify, self.http.trust_env = certificate, False
        self.mine = f"{hub}/user/{name}"
        self.widgets: dict[str, dict] = {}
        self.dropped: list[str] = []
        self.chance = random.Random(name)
        self.times: list[float] = []
        self.failures: list[str] = []

    def log_in(self, password: str | None = None) -> bool:
        self.http.get(f"{self.hub}/hub/login", timeout=120)
        token = next(c.value for c in self.http.cookies if c.name == "_xsrf" and c.path == "/hub/")
        form = {"username": self.name, "password": password or self.password, "_xsrf": token}
        answer = self.http.post(f"{self.hub}/hub/login?next=/hub/home", data=form, timeout=120)
        return answer.ok and "/hub/home" in answer.url

    def start(self) -> float:
        """Start the server and open its first page; seconds it took."""
        begun = time.monotonic()
        self.http.get(f"{self.hub}/hub/spawn", timeout=180)
        while time.monotonic() - begun < 300:
            with contextlib.suppress(requests.RequestException, ValueError):
                answer = self.http.get(f"{self.mine}/api", timeout=30, allow_redirects=False)
                if answer.ok and "version" in answer.json():
                    self.http.get(f"{self.mine}/lab", timeout=120).raise_for_status()
                    return time.monotonic() - begun
            time.sleep(0.5)
        raise TimeoutError("the server did not start")

    def ask(self, method: str, what: str, /, owner: str = "", **body) -> requests.Response:
        """A request to a server's API, as its page in the browser makes it."""
        at = f"/user/{owner or self.name}/"
        token = next((c.value for c in self.http.cookies if c.name == "_xsrf" and c.path == f"/user/{self.name}/"), "")
        return self.http.request(
            method, f"{self.hub}{at}{what}", headers={"X-XSRFToken": token}, json=body or None, timeout=120
        )

    def open_kernel(self, notebook: str) -> None:
        session = self.ask(
            "POST", "api/sessions", path=notebook, name=notebook, type="notebook", kernel={"name": "python3"}
        )
        session.raise_for_status()
        self.kernel = session.json()["kernel"]["id"]
        self.session = uuid.uuid4().hex
        self.socket = self.connection(self.session)

    def connection(self, session: str) -> websocket.WebSocket:
        """One more connection to the kernel."""
        cookies = "; ".join(f"{c.name}={c.value}" for c in self.http.cookies if c.path in ("/", f"/user/{self.name}/"))
        return websocket.create_connection(
            f"{self.mine.replace('http', 'ws', 1)}/api/kernels/{self.kernel}/channels?session_id={session}",
            cookie=cookies, origin=self.hub, sslopt={"ca_certs": self.certificate}, timeout=120)

    def look(self, notebook: str) -> int:
        """Open a notebook, run it and shut it again; how many pages it showed."""
        self.open(notebook)
        pages = sum(state.get("kind") == "page" for state in self.widgets.values())
        self.socket.close()
        self.ask("DELETE", f"api/kernels/{self.kernel}")
        self.widgets.clear()
        return pages

    def drop(self) -> None:
        """A connection that goes without a word, as one does when a lid is closed or a radio fails."""
        one = self.connection(uuid.uuid4().hex)
        one.sock.shutdown(socket.SHUT_RDWR)
        one.sock.close()

    def send(self, kind: str, content: dict) -> str:
        message = uuid.uuid4().hex
        self.socket.send(json.dumps({
            "header": {"msg_id": message, "msg_type": kind, "username": self.name, "session": self.session,
                       "version": "5.3", "date": ""},
            "parent_header": {}, "metadata": {}, "content": content, "channel": "shell", "buffers": []}))
        return message

    def receive(self) -> dict:
        message = json.loads(self.socket.recv())
        content = message.get("content", {})
        if message["msg_type"] == "comm_open":
            self.widgets[content["comm_id"]] = dict(content["data"].get("state", {}))
        elif message["msg_type"] == "comm_msg" and content["data"].get("method") == "update":
            self.widgets.setdefault(content["comm_id"], {}).update(content["data"]["state"])
        return message

    def run(self, code: str) -> str:
        """Run code; what it printed. Raises RuntimeError with the kernel's own words where it failed."""
        asked, printed, replied, idle = (
            self.send(
                "execute_request",
                {"code": code, "silent": False, "store_history": True, "user_expressions": {}, "allow_stdin": False},
            ),
            "",
            False,
            False,
        )
        while not (replied and idle):
            message = self.receive()
            if message["parent_header"].get("msg_id") != asked:
                continue
            if message["msg_type"] == "stream":
                printed += message["content"]["text"]
            elif message["msg_type"] == "execute_reply":
                replied, reply = True, message["content"]
            elif message["msg_type"] == "status":
                idle = message["content"]["execution_state"] == "idle"
        if reply["status"] != "ok":
            raise RuntimeError(f"{reply.get('ename')}: {reply.get('evalue')}")
        return printed

    def run_notebook(self, notebook: str) -> None:
        cells = self.ask("GET", f"api/contents/{notebook}").json()["content"]["cells"]
        for cell in cells:
            if cell["cell_type"] == "code":
                self.run("".join(cell["source"]))

    def open(self, notebook: str) -> None:
        """Open a notebook and run it; a connection that was dropped is made again, as a browser does, and counted."""
        for again in range(4):
            try:
                self.widgets.clear()
                self.open_kernel(notebook)
                self.run_notebook(notebook)
                return
            except (requests.ConnectionError, websocket.WebSocketException, OSError) as mishap:
                self.dropped.append(f"{time.strftime('%H:%M:%S')} {self.name}: {type(mishap).__name__}: {mishap}")
                self.widgets.clear()
                if again == 3:
                    raise

    def widget(self, **wanted: str) -> str:
        return next(
            model
            for model, state in self.widgets.items()
            if all(part in str(state.get(key)) for key, part in wanted.items())
        )

    def slide(self, moves: int, pause: float, together: threading.Barrier) -> None:
        """Move the stickout to and fro; from each message to the changed words."""
        page = self.widget(kind="page", spec="'stickout'")
        self.times = []
        together.wait()
        for number in range(moves):
            begun = time.monotonic()
            wish = {"n": number + 1, "wishes": {"stickout": {"slid": 30.0 + (number * 7) % 40}}}
            self.send("comm_msg", {"comm_id": page, "data": {"method": "custom", "content": wish}})
            try:
                while True:
                    message = self.receive()
                    if message["msg_type"] == "comm_msg" and message["content"]["comm_id"] == page \
                            and "answer" in message["content"]["data"].get("state", {}):
                        break
                if not self.widgets[page]["answer"]["words"]:
                    self.failures.append("no words")
                self.times.append(time.monotonic() - begun)
            except websocket.WebSocketTimeoutException:
                self.failures.append("no answer")
            time.sleep(pause * (0.5 + self.chance.random()))   # nobody keeps time


@contextlib.contextmanager
def accounts(count: int):
    """Accounts made for the rehearsal and taken away after it: {name: password}; one more is not in the group."""
    names = {f"rehearsal{number + 1:02}": secrets.token_urlsafe(12) for number in range(count)} | {
        OUTSIDER: secrets.token_urlsafe(12)
    }
    subprocess.run(["groupadd", "-f", GROUP], check=True)
    try:
        for name in names:
            subprocess.run(
                ["useradd", "-m", *(["-G", GROUP] if name != OUTSIDER else []), "-s", "/bin/bash", name], check=True
            )
        subprocess.run(["chpasswd"], input="".join(f"{n}:{p}\n" for n, p in names.items()), check=True,
                       encoding="utf-8")
        yield dict(names)
    finally:
        for name in names:
            with contextlib.suppress(KeyError):
                for process in of_user(pwd.getpwnam(name).pw_uid):
                    with contextlib.suppress(psutil.Error):
                        process.kill()
            subprocess.run(["userdel", "-r", name], stderr=subprocess.DEVNULL, check=False)
        subprocess.run(["groupdel", GROUP], check=False)


@contextlib.contextmanager
def hub(extra: str = ""):
    """The hub with the project's settings, on a free port of this computer; yields its address, certificate, process.
    """
    with tempfile.TemporaryDirectory() as scratch:
        state = Path(scratch)
        certificate = state / "hub.crt"
        subprocess.run(
            [
                "openssl",
                "req",
                "-x509",
                "-newkey",
                "rsa:2048",
                "-nodes",
                "-days",
                "2",
                "-subj",
                "/CN=127.0.0.1",
                "-addext",
                "subjectAltName=IP:127.0.0.1",
                "-keyout",
                state / "hub.key",
                "-out",
                certificate,
            ],
            check=True,
            stderr=subprocess.DEVNULL,
        )
        port = free_port()
        settings = SETTINGS.format(config=str(ROOT / "lib/delivery/hub/jupyterhub_config.py"), group=GROUP, port=port,
                                   hub_port=free_port(), proxy_port=free_port())
        (state / "config.py").write_text(settings + extra, encoding="utf-8")
        with (state / "log").open("w", encoding="utf-8") as log:
            process = subprocess.Popen([HUB, "-f", "config.py"], cwd=state, stdout=log, stderr=subprocess.STDOUT,
                                       start_new_session=True)
            try:
                address = f"https://127.0.0.1:{port}"
                for _ in range(240):
                    if process.poll() is not None:
                        raise RuntimeError((state / "log").read_text(encoding="utf-8")[-3000:])
                    with contextlib.suppress(requests.RequestException):
                        if requests.get(f"{address}/hub/api", verify=str(certificate), timeout=5).ok:
                            break
                    time.sleep(0.25)
                yield address, str(certificate), process
            finally:
                if process.poll() is None:
                    process.send_signal(signal.SIGTERM)
                try:
                    process.wait(120)
                except subprocess.TimeoutExpired:
                    os.killpg(process.pid, signal.SIGKILL)
                if os.environ.get("REHEARSAL_LOG"):
                    with open(os.environ["REHEARSAL_LOG"], "a", encoding="utf-8") as kept:
                        kept.write((state / "log").read_text(encoding="utf-8"))


def every(learners, do, at_once: int = 0):
    """The same for every learner at the same time; results, with failures kept on the learner."""
    def one(learner):
        try:
            return do(learner)
        except Exception as mishap:
            learner.failures.append(f"{type(mishap).__name__}: {mishap}")
            return None

    with ThreadPoolExecutor(at_once or len(learners)) as pool:
        return list(pool.map(one, learners))


def refused(learner: Learner, code: str) -> str:
    """What the kernel says to code that must not work there."""
    try:
        return f"NOT REFUSED: {learner.run(code)}"
    except RuntimeError as mishap:
        return str(mishap).split(":")[0]


def of_learner(name: str) -> list[psutil.Process]:
    return of_user(pwd.getpwnam(name).pw_uid)


def kernels(name: str) -> list[psutil.Process]:
    found = []
    for process in of_learner(name):
        with contextlib.suppress(psutil.Error):
            found += [process] if "ipykernel_launcher" in " ".join(process.cmdline()) else []
    return found


def in_a_browser(learner: Learner) -> list[tuple[str, str]]:
    """A learner with a real browser: from the password to the first page, live; and what the browser asked for."""
    asked: list[str] = []
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=lab.chromium(), headless=True, args=lab.FLAGS)
        page = browser.new_context(ignore_https_errors=True, viewport={"width": 1280, "height": 900}).new_page()
        page.set_default_timeout(240_000)
        page.on("request", lambda request: asked.append(request.url))
        page.on("websocket", lambda one: asked.append(one.url))
        page.goto(learner.hub)
        page.fill("input[name=username]", learner.name)
        page.fill("input[name=password]", learner.password)
        begun = time.monotonic()
        page.click("#login_submit")
        page.wait_for_selector(LIVE, state="attached")
        page.wait_for_selector(".sp-page .sp-words")
        took = time.monotonic() - begun
        slider = page.locator(".sp-page input[type=range]").first
        before = page.locator(".sp-page .sp-top").first.inner_html()
        slider.press("ArrowRight")
        page.wait_for_function("was => document.querySelector('.sp-page .sp-top').innerHTML !== was", arg=before)
        cookies = page.context.cookies()
        browser.close()
    own = learner.hub.split("://")[1]
    outside = {url for url in asked if not url.startswith(("data:", "blob:")) and url.split("/")[2] != own}
    logins = {cookie["name"] for cookie in cookies if cookie["name"].startswith("jupyterhub-")}
    open_text = {cookie["name"] for cookie in cookies if cookie["name"] in logins and not cookie["secure"]}
    return [("a real browser logs in, its server runs: the first page live", f"{took:.0f} s"),
        ("addresses outside asked by the browser, of " + f"{len(asked)} requests",
            "none" if not outside else f"ASKED, NOT none: {outside}"),
        (f"cookies of the login that would go over an open line, of {len(logins)}",
            "none" if logins and not open_text else f"NOT none: {open_text}")]


def connections(process: subprocess.Popen) -> int:
    """Open connections of the hub, its proxy and its services."""
    count = 0
    for one in family(process.pid):
        with contextlib.suppress(psutil.Error):
            count += sum(c.status == psutil.CONN_ESTABLISHED for c in one.net_connections("tcp"))
    return count


def dropped(there: list[Learner], process: subprocess.Popen) -> tuple[str, str]:
    """Connections opened and dropped; whether all pages still answer, and what is left open."""
    time.sleep(2)
    before = connections(process)
    each = [there[number % len(there)] for number in range(DROPPED)]
    with ThreadPoolExecutor(10) as pool:
        list(pool.map(Learner.drop, each))
    time.sleep(5)
    left = connections(process) - before
    together = threading.Barrier(len(there))
    was = sum(len(one.failures) for one in there)
    every(there, lambda one: one.slide(2, 0.2, together))
    bad = sum(len(one.failures) for one in there) - was
    return (f"{DROPPED} connections opened and dropped without a goodbye",
        (f"all {len(there)} pages answer" if not bad else f"{bad} moves NOT answered")
        + (f", {max(left, 0)} connections left open"))


def a_class(count: int, moves: int, pause: float) -> list[tuple[str, str]]:
    rows: list[tuple[str, str]] = []
    with accounts(count) as names, hub() as (address, certificate, process):
        outsider = Learner(OUTSIDER, names.pop(OUTSIDER), address, certificate)
        learners = [Learner(name, password, address, certificate) for name, password in names.items()]
        begun = time.monotonic()
        logged_in = every(learners, Learner.log_in)
        took = time.monotonic() - begun
        begun = time.monotonic()
        started = [t for t in every(learners, Learner.start) if t is not None]
        rows.append((f"{count} log in over https; their {count} servers start at once",
            f"{sum(map(bool, logged_in))} in after {took:.0f} s; {len(started)} started, "
            f"{time.monotonic() - begun:.0f} s until the last"))
        alone = [memory(of_learner(name)) for name in names]
        rows += in_a_browser(learners[-1])
        for notebook, what, do in ((FIRST, "all open the first page and run it", lambda one: one.look(FIRST)),
                (PAGE, "all open check_stickout and run it", lambda one: one.open(PAGE))):
            begun = time.monotonic()
            shown = every(learners, do)
            good = sum(bool(n) for n in shown) if notebook == FIRST else sum(bool(one.widgets) for one in learners)
            rows.append((what, f"{good} of {count}, {time.monotonic() - begun:.0f} s until the last"))
        if not any(one.widgets for one in learners):
            raise SystemExit(f"no page opened: {learners[0].failures}")
        there = [one for one in learners if one.widgets]
        for how, every_one, wait in (
            ("all drag at once", moves, pause),
            ("a class at its own pace, a move every 2 s", 15, 2.0),
        ):
            together = threading.Barrier(len(there))
            busy, begun = sum(psutil.cpu_times()[:3]), time.monotonic()
            every(there, lambda one, m=every_one, p=wait, t=together: one.slide(m, p, t))
            took = time.monotonic() - begun
            times = [t for one in there for t in one.times]
            load = (sum(psutil.cpu_times()[:3]) - busy) / took
            rows.append((f"{how}, {len(times) / took:.0f} moves a second together: from the move to the changed words",
                f"{spread(times)}; {load:.1f} of {psutil.cpu_count()} cores busy"))
        rows.append(dropped(there, process))
        lost = [what for one in learners for what in one.dropped]
        print(*lost, sep="\n", file=sys.stderr)
        failures = [f"{one.name}: {what}" for one in learners for what in one.failures]
        rows.append(("failures; connections lost while starting",
            (f"NOT none: {'; '.join(failures[:5])}" if failures else "none") + f"; {len(lost)}"))
        each = [memory(of_learner(name)) for name in names]
        own = memory(p for p in family(process.pid) if p.pid not in {q.pid for name in names for q in of_learner(name)})
        rows.append(("memory of a learner: the server and one open notebook",
            f"{sum(each) / len(each):.0f} MB (at most {max(each):.0f}), {sum(alone) / len(alone):.0f} of them the "
            "server alone"))
        rows.append((f"memory of all, hub and proxy ({own:.0f} MB) included", f"{(sum(each) + own) / 1000:.1f} GB"))
        rows += rights(learners, outsider)
        rows.append(stopped(process, list(names)))
    return rows


def stopped(process: subprocess.Popen, names: list[str]) -> tuple[str, str]:
    """The hub is stopped as the README says; what is left."""
    begun = time.monotonic()
    os.killpg(process.pid, signal.SIGINT)   # what Ctrl-C sends
    process.wait(180)
    took = time.monotonic() - begun
    running = [name for name in names if of_learner(name)]
    kept = all((Path(pwd.getpwnam(name).pw_dir) / "workbook" / PAGE).exists() for name in names)
    return ("the hub stopped by Ctrl-C", f"after {took:.0f} s, "
        + ("no learner's process left" if not running else f"processes of {len(running)} learners NOT STOPPED")
        + (", every notebook kept" if kept else ", notebooks LOST"))


def rights(learners: list[Learner], outsider: Learner) -> list[tuple[str, str]]:
    """Who may do what: all that must be refused, in one row, and what must go on."""
    curious, neighbour = learners[0], learners[1]
    stranger = Learner(curious.name, "", curious.hub, curious.certificate)
    home = pwd.getpwnam(neighbour.name).pw_dir
    read = f"print(open({home + '/workbook/check_stickout.ipynb'!r}).read(20))"
    write = f"open({str(ROOT / 'README.md')!r}, 'a')"
    large = "with open('big', 'wb') as f: print(f.truncate(400_000_000))"
    own = curious.ask("GET", "api/contents/check_stickout.ipynb").status_code
    other = curious.ask("GET", "api/contents/check_stickout.ipynb", owner=neighbour.name)
    other_said = other.status_code if "cells" not in other.text else "NOT REFUSED"
    nobody = requests.get(
        f"{neighbour.mine}/api/contents/check_stickout.ipynb", verify=neighbour.certificate, timeout=60
    )
    homes = [stat.S_IMODE(Path(pwd.getpwnam(one.name).pw_dir).stat().st_mode) & 0o077 for one in learners]
    teachers = [one.name for one in learners if (Path(pwd.getpwnam(one.name).pw_dir) / "workbook" / KEY).exists()]
    tried = {
        "another's notebook through the server": f"{other_said}" if other_said != 200 else "NOT REFUSED",
        "the same without a login": f"{nobody.status_code}" if "cells" not in nobody.text else "NOT REFUSED",
        "another's notebook from a kernel": refused(curious, read),
        "the project's files written": refused(curious, write),
        "a wrong password": "no login" if not stranger.log_in("wrong") else "NOT REFUSED",
        "an empty one": "no login" if not stranger.log_in(" ") else "NOT REFUSED",
        "an account outside the group": "no login" if not outsider.log_in() else "NOT REFUSED",
        "4 GB": refused(curious, "b = bytearray(4_000_000_000); print(len(b))"),
        "a file of 400 MB": refused(curious, large),
    }
    answers = "True" in curious.run("print(len(check_stickout.PAGE.answer().words) > 20)")
    return [
        ("refused: " + ", ".join(f"{what} ({said})" for what, said in tried.items() if "NOT" not in said),
            f"all {len(tried)}" if not any("NOT" in said for said in tried.values())
            else "; ".join(f"{what}: {said}" for what, said in tried.items() if "NOT" in said)),
        ("own notebook, and the page after all that",
            "both answer" if own == 200 and answers else f"{own}, DOES NOT ANSWER"),
        ("homes closed to the others; the teachers' notebook in a learner's home",
            f"{len(homes)} of {len(homes)}; none" if not any(homes) and not teachers
            else f"NOT: {homes.count(0)} closed, {len(teachers)} have it"),
    ]


def idle() -> list[tuple[str, str]]:
    """With short times: an idle kernel goes, then an idle server, then the login; a learner taken off is off."""
    with accounts(2) as names, hub(IMPATIENT) as (address, certificate, _):
        curious, neighbour = (
            Learner(name, password, address, certificate) for name, password in list(names.items())[:2]
        )
        for one in (curious, neighbour):
            assert one.log_in()
            one.start()
            one.open_kernel(PAGE)
            one.run("1 + 1")
        # the learner is taken off while logged in: out of the group, and their processes ended
        subprocess.run(["gpasswd", "-d", curious.name, GROUP], check=True, stdout=subprocess.DEVNULL)
        for process in of_learner(curious.name):
            with contextlib.suppress(psutil.Error):
                process.kill()
        begun = time.monotonic()
        uid = pwd.getpwnam(neighbour.name).pw_uid
        gone: dict[str, float] = {}
        off = ""
        while time.monotonic() - begun < 120 and "server" not in gone:
            if "kernel" not in gone and not kernels(neighbour.name):
                gone["kernel"] = time.monotonic() - begun
            if not of_user(uid):
                gone["server"] = time.monotonic() - begun
            if not off and time.monotonic() - begun > 5:
                answer = curious.http.get(f"{curious.hub}/hub/spawn", timeout=180)
                again = Learner(curious.name, curious.password, address, certificate).log_in()
                off = ("the open login is closed, the next one refused" if "/hub/login" in answer.url and not again
                    else f"NOT OFF: {answer.url}, {again}")
            time.sleep(0.5)
        work = (Path(pwd.getpwnam(curious.name).pw_dir) / "workbook" / PAGE).exists()
        kept = (Path(pwd.getpwnam(neighbour.name).pw_dir) / "workbook" / PAGE).exists()
        return [
            ("an idle kernel, an idle server (limits set to 6 and 20 s)", "gone after "
             + " and ".join(f"{gone[what]:.0f}" if what in gone else "NOT" for what in ("kernel", "server"))
             + (" s; the notebook is kept" if kept else " s; the notebook is LOST")),
            ("a learner taken off while logged in", off + (", the work is kept" if work else ", the work is LOST")),
        ]


def forgotten() -> list[tuple[str, str]]:
    """With a short time: an old login is no login."""
    with accounts(1) as names, hub("c.JupyterHub.cookie_max_age_days = 20 / 86400") as (address, certificate, _):
        name, password = next(iter(names.items()))
        one = Learner(name, password, address, certificate)
        assert one.log_in()
        early = one.http.get(f"{address}/hub/token", timeout=60).url
        time.sleep(25)
        late = one.http.get(f"{address}/hub/token", timeout=60).url
    good = "/hub/login" not in early and "/hub/login" in late
    return [("a login (limit set to 20 s)", "forgotten after it" if good else f"NOT forgotten: {early}, {late}")]


def loose() -> list[tuple[str, str]]:
    """The hub is started from folders and with keys that others may write: it must not start, and say why."""
    config = ROOT / "lib/delivery/hub/jupyterhub_config.py"
    said = []
    for folder, key in ((0o777, 0o600), (0o770, 0o600), (0o700, 0o666)):
        with tempfile.TemporaryDirectory() as scratch:
            place = Path(scratch)
            for name in ("hub.crt", "hub.key"):
                (place / name).touch()
            (place / "hub.key").chmod(key)
            place.chmod(folder)
            try:
                done = subprocess.run([HUB, "-f", str(config)], cwd=place, capture_output=True, text=True,
                                      encoding="utf-8", timeout=180)
                said.append("The hub does not start: others may" in done.stdout + done.stderr and done.returncode != 0)
                print(done.stderr.strip()[-200:], file=sys.stderr)
            except subprocess.TimeoutExpired:
                said.append(False)
    return [("a folder or a key that others may write", f"the hub does not start, {sum(said)} of 3 tried"
             if all(said) else f"NOT refused: {said}")]


def main() -> int:
    parse = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parse.add_argument("--learners", type=int, default=30)
    parse.add_argument("--moves", type=int, default=40)
    parse.add_argument("--pause", type=float, default=0.3)
    parse.add_argument("--figures", action="store_true", help="keep the figures in figures.csv")
    given = parse.parse_args()
    begun = time.monotonic()
    if os.geteuid() or not shutil.which("configurable-http-proxy"):
        print("This rehearsal makes accounts, so it needs root, and configurable-http-proxy (npm) on the path.")
        return 2
    rows = a_class(given.learners, given.moves, given.pause) + idle() + forgotten() + loose()
    print(table(rows))
    print(lasted(begun))
    bad = [row for row in rows if "NOT" in row[1] or "LOST" in row[1]]
    if given.figures and not bad:
        keep("hub", rows)
    return int(bool(bad))


if __name__ == "__main__":
    sys.exit(main())
