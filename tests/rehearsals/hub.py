"""Rehearsal: a class of thirty on one server, all moving sliders.

    python tests/rehearsals/hub.py [--learners 30] [--moves 40] [--pause 0.3]

For Linux, as root, in the hub's virtual environment (lib/delivery/hub), with configurable-http-proxy on the
path. Set REHEARSAL_LOG to keep the hub's log. It makes accounts of its own on this computer (rehearsal01 ...) with
random passwords, starts the hub with
the settings as they are on a free port with a certificate of its own, and takes all of it away again. Each
learner logs in with a password, starts a server, runs the cells of check_stickout in a kernel and moves
the stickout slider with the messages a browser sends; the time runs until the changed words are back.
Then: who may read whose notebook, what a wrong password gets, what the limits stop, and whether idle kernels and
servers go. It asks no address but this computer's own.
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
from measure import family, free_port, memory, of_user, spread, table

ROOT = Path(__file__).resolve().parents[2]
GROUP = "rehearsal-learners"
OUTSIDER = "rehearsal-outsider"
SETTINGS = """
load_subconfig({config!r})
c.LocalAuthenticator.allowed_groups = {{{group!r}}}
c.JupyterHub.bind_url = "https://127.0.0.1:{port}"
c.JupyterHub.hub_port = {hub_port}
c.ConfigurableHTTPProxy.api_url = "http://127.0.0.1:{proxy_port}"
"""
IMPATIENT = """
c.Spawner.args = ["--KernelManager.transport=ipc", "--MappingKernelManager.cull_idle_timeout=6",
    "--MappingKernelManager.cull_connected=True",
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
        cookies = "; ".join(f"{c.name}={c.value}" for c in self.http.cookies if c.path in ("/", f"/user/{self.name}/"))
        self.socket = websocket.create_connection(
            f"{self.mine.replace('http', 'ws', 1)}/api/kernels/{self.kernel}/channels?session_id={self.session}",
            cookie=cookies, origin=self.hub, sslopt={"ca_certs": self.certificate}, timeout=120)

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
            process = subprocess.Popen([sys.executable, "-m", "jupyterhub", "-f", "config.py"], cwd=state, stdout=log,
                                       stderr=subprocess.STDOUT, start_new_session=True)
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


def a_class(count: int, moves: int, pause: float) -> list[tuple[str, str]]:
    rows: list[tuple[str, str]] = []
    with accounts(count) as names, hub() as (address, certificate, process):
        outsider = Learner(OUTSIDER, names.pop(OUTSIDER), address, certificate)
        learners = [Learner(name, password, address, certificate) for name, password in names.items()]
        begun = time.monotonic()
        logged_in = every(learners, Learner.log_in)
        rows.append(
            (f"{count} learners log in at once", f"{sum(map(bool, logged_in))} in, {time.monotonic() - begun:.0f} s")
        )
        begun = time.monotonic()
        started = [t for t in every(learners, Learner.start) if t is not None]
        rows.append(
            (
                f"{count} servers start at once",
                f"{len(started)} started, {time.monotonic() - begun:.0f} s until the last",
            )
        )
        begun = time.monotonic()
        every(learners, lambda one: one.open("check_stickout.ipynb"))
        rows.append(
            (
                "all open a notebook and run it",
                f"{sum(bool(one.widgets) for one in learners)} pages, {time.monotonic() - begun:.0f} s until the last",
            )
        )
        if not any(one.widgets for one in learners):
            raise SystemExit(f"no page opened: {learners[0].failures}")
        there = [one for one in learners if one.widgets]
        for how, every_one, wait in (
            (f"all drag at once, {moves} moves each", moves, pause),
            ("a class at its own pace, a move every 2 s", 15, 2.0),
        ):
            together = threading.Barrier(len(there))
            busy, begun = sum(psutil.cpu_times()[:3]), time.monotonic()
            every(there, lambda one, m=every_one, p=wait, t=together: one.slide(m, p, t))
            lasted = time.monotonic() - begun
            times = [t for one in there for t in one.times]
            load = (sum(psutil.cpu_times()[:3]) - busy) / lasted
            rows.append(
                (
                    f"{how}; {len(times) / lasted:.0f} moves a second in all",
                    f"{spread(times)}; {load:.1f} of {psutil.cpu_count()} cores busy",
                )
            )
        dropped = [what for one in learners for what in one.dropped]
        print(*dropped, sep="\n", file=sys.stderr)
        rows.append(("connections dropped while starting, made again", str(len(dropped))))
        failures = [f"{one.name}: {what}" for one in learners for what in one.failures]
        rows.append(("failures", f"{len(failures)}" + (f" ({'; '.join(failures[:5])})" if failures else "")))
        each = [memory(of_user(pwd.getpwnam(name).pw_uid)) for name in names]
        rows.append(
            ("memory a learner, server and kernel", f"{sum(each) / len(each):.0f} MB (at most {max(each):.0f})")
        )
        children = {p.pid for name in names for p in of_user(pwd.getpwnam(name).pw_uid)}
        own = memory(p for p in family(process.pid) if p.pid not in children)
        rows.append((f"memory in all, hub and proxy ({own:.0f} MB) included", f"{(sum(each) + own) / 1000:.2f} GB"))
        rows += rights(learners, outsider)
    return rows


def rights(learners: list[Learner], outsider: Learner) -> list[tuple[str, str]]:
    """Who may do what; every line must say that it was refused, but for the first."""
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
    return [
        ("own notebook through the server", f"{own}"),
        ("another learner's notebook through the server", f"refused, {other_said}"),
        (
            "the same without logging in",
            f"refused, {nobody.status_code if 'cells' not in nobody.text else 'NOT REFUSED'}",
        ),
        ("another learner's notebook from a kernel", f"refused, {refused(curious, read)}"),
        ("the project's files written from a kernel", f"refused, {refused(curious, write)}"),
        ("a wrong password", "refused" if not stranger.log_in("wrong") else "NOT REFUSED"),
        ("an empty password", "refused" if not stranger.log_in(" ") else "NOT REFUSED"),
        ("the right password of an account outside the group", "refused" if not outsider.log_in() else "NOT REFUSED"),
        ("a kernel that asks for 4 GB", f"refused, {refused(curious, 'b = bytearray(4_000_000_000); print(len(b))')}"),
        ("a file of 400 MB", f"refused, {refused(curious, large)}"),
        (
            "the page after that",
            "answers"
            if "True" in curious.run("print(len(check_stickout.PAGE.answer().words) > 20)")
            else "DOES NOT ANSWER",
        ),
    ]


def idle() -> list[tuple[str, str]]:
    """With short times: an idle kernel goes, then an idle server; the notebook stays."""
    with accounts(2) as names, hub(IMPATIENT) as (address, certificate, _):
        curious, neighbour = (
            Learner(name, password, address, certificate) for name, password in list(names.items())[:2]
        )
        for one in (curious, neighbour):
            assert one.log_in()
            one.start()
            one.open_kernel("check_stickout.ipynb")
            one.run("1 + 1")
        begun = time.monotonic()
        uid = pwd.getpwnam(neighbour.name).pw_uid

        def kernels() -> list[psutil.Process]:
            found = []
            for process in of_user(uid):
                with contextlib.suppress(psutil.Error):
                    found += [process] if "ipykernel_launcher" in " ".join(process.cmdline()) else []
            return found

        had = len(kernels())
        gone: dict[str, float] = {}
        while time.monotonic() - begun < 120 and "server" not in gone:
            if "kernel" not in gone and not kernels():
                gone["kernel"] = time.monotonic() - begun
            if not of_user(uid):
                gone["server"] = time.monotonic() - begun
            time.sleep(0.5)
        kept = (Path(pwd.getpwnam(curious.name).pw_dir) / "workbook/check_stickout.ipynb").exists()
        return [
            (
                f"idle kernel stopped after 6 s ({had} before)",
                f"after {gone['kernel']:.0f} s" if "kernel" in gone else "NOT STOPPED",
            ),
            ("idle server stopped after 20 s", f"after {gone['server']:.0f} s" if "server" in gone else "NOT STOPPED"),
            ("the learner's notebook then", "kept" if kept else "LOST"),
        ]


def main() -> int:
    parse = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parse.add_argument("--learners", type=int, default=30)
    parse.add_argument("--moves", type=int, default=40)
    parse.add_argument("--pause", type=float, default=0.3)
    given = parse.parse_args()
    if os.geteuid() or not shutil.which("configurable-http-proxy"):
        print("This rehearsal makes accounts, so it needs root, and configurable-http-proxy (npm) on the path.")
        return 2
    rows = a_class(given.learners, given.moves, given.pause) + idle()
    print(table(rows))
    return int(any("NOT" in value or "LOST" in value for _, value in rows))


if __name__ == "__main__":
    sys.exit(main())
