"""The workbook makes no request of its own: nothing of it can, and nothing of it does."""

import ast
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
MODULES = sorted((ROOT / "lib" / "springpass").rglob("*.py"))
NOTEBOOKS = sorted((ROOT / "workbook").glob("*.ipynb"))
REACHES_OUT = {
    "socket",
    "ssl",
    "http",
    "urllib",
    "ftplib",
    "smtplib",
    "imaplib",
    "poplib",
    "telnetlib",
    "xmlrpc",
    "socketserver",
    "asyncio",
    "requests",
    "urllib3",
    "httpx",
    "aiohttp",
    "webbrowser",
    "subprocess",
    "multiprocessing",
    "ctypes",
    "pip",
}


# pages_to_print.py prints our own HTML file through a browser that is told to look nothing up
MAY = {"pages_to_print": {"subprocess"}}


def test_the_browser_that_prints_looks_nothing_up():
    from springpass.printing import pages_to_print

    assert (
        "--host-resolver-rules=MAP * ~NOTFOUND" in pages_to_print.FLAGS
        and "--disable-background-networking" in pages_to_print.FLAGS
    )


@pytest.mark.parametrize("path", MODULES, ids=lambda p: f"{p.parent.name}/{p.stem}")
def test_no_module_knows_a_way_out(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else [
            node.module or ""] if isinstance(node, ast.ImportFrom) and not node.level else []
        assert not {name.split(".")[0] for name in names} & (REACHES_OUT - MAY.get(path.stem, set()))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in ("__import__", "eval", "exec"), "nothing is run from a text"
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            assert node.func.attr not in ("system", "popen", "urlopen")


# what makes a browser fetch: an address in an attribute, in a style, in a script; one in a text that is read is none
FETCHES = re.compile(
    r"""(?:\b(?:src|href|data|action|poster|srcset|xlink:href)\s*=\s*["']?|url\(\s*["']?|@import\s+["']?|fetch\(\s*["']|import\(\s*["'])
                         (?!\#|data:|[\w./-]*\.ipynb)\s*(?:https?:|wss?:|ftp:|//)""",
    re.IGNORECASE | re.VERBOSE,
)


def test_the_pattern_finds_what_would_be_fetched():
    for asks in (
        '<img src="https://x.org/a.png">',
        "url(//fonts.x.org/a)",
        "<script src=http://x.org>",
        "@import 'https://x.org/a.css'",
        "fetch('https://x.org')",
    ):
        assert FETCHES.search(asks), asks
    for reads in (
        '<a href="#top">',
        "from https://x.org/a, page 3",
        'xmlns="http://www.w3.org/2000/svg"',
        'src="data:image/png;base64,aa"',
        'href="01_heat.ipynb"',
    ):
        assert not FETCHES.search(reads), reads


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_no_notebook_asks_for_anything_outside(path):
    for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
        texts = ["".join(cell["source"])]
        for output in cell.get("outputs", []):
            texts += ["".join(text) for text in output.get("data", {}).values() if not isinstance(text, dict)]
        for text in texts:
            assert not FETCHES.search(text)
            assert not re.search(r"!\[[^\]]*\]\((?!images/)", text), "a picture lies in workbook/images"
            if cell["cell_type"] == "code":
                assert not re.search(r"https?:|^\s*[!%]\s*(pip|conda|curl|wget)", "".join(cell["source"]), re.MULTILINE)


EXERCISED = r"""
import socket, sys
sys.path.insert(0, sys.argv[1])
asked = []

def no(*what, **more):
    asked.append(what)
    raise OSError("no network here")

for name in ("connect", "connect_ex", "sendto", "bind"):
    setattr(socket, name, no)
socket.socket = socket.create_connection = socket.getaddrinfo = socket.gethostbyname = no

import importlib, pkgutil, re, tempfile
from pathlib import Path
import springpass, springpass.pages
from springpass import job
from springpass.core.quantity import Say
from springpass.job import part, shop, tools
from springpass.printing import sheet
from springpass.screen import look
from springpass.screen.page import Live, Page
from springpass.teaching import exercises, progress

for _, name, _ in pkgutil.walk_packages(springpass.__path__, "springpass."):
    importlib.import_module(name)
told, count = [], 0
for _, name, _ in pkgutil.iter_modules(springpass.pages.__path__):
    for value in list(vars(importlib.import_module(f"springpass.pages.{name}")).values()):
        if isinstance(value, Page):
            count += 1
            answer = value.answer(Say(True))
            still = value.still()
            told += [answer.svg, answer.words, answer.more, *still.values(), Live(value).answer["picture"]]
made = job.plan(part.demo())
for paper in ("A4", "Letter"):
    told += [sheet.html(sheet.of_plan(made), None, paper),
             progress.sheet([exercises.chapter("01_heat")], "ash", key=True, paper=paper)]
told += [sheet.markdown(sheet.of_plan(made)), look.CSS, look.JS]
shop.add("holder", name="a")
tools.keep(tools.default_shop().description)
sheet.keep(sheet.of_plan(made))
pattern = re.compile(Path(sys.argv[2]).read_text(), re.I | re.X)
found = [text[max(0, hit.start() - 60):hit.end() + 60] for text in told for hit in [pattern.search(text)] if hit]
print(count, asked, found)
"""


def test_the_library_at_work_with_every_door_shut(tmp_path, monkeypatch):
    """All modules, all pages, a plan, its sheet and the shop's files in a process that cannot make a socket; what it
    shows asks for nothing.
    """
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path / "shop"))
    (tmp_path / "pattern").write_text(FETCHES.pattern, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-c", EXERCISED, str(ROOT / "lib"), str(tmp_path / "pattern")],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        encoding="utf-8",
    )
    assert done.returncode == 0, done.stderr[-2000:]
    count, asked, found = done.stdout.split(maxsplit=1)[0], *done.stdout.split(maxsplit=1)[1].strip().rsplit("] [", 1)
    assert int(count) > 40
    assert asked.strip("[]") == "" and found.strip("[]") == "", done.stdout


GUARD = """
import socket
_made, _asked = socket.socket.connect, []

def _only_here(sock, address):
    if sock.family not in (getattr(socket, "AF_UNIX", None),) and str(
            address[0]) not in ("127.0.0.1", "::1", "localhost"):
        _asked.append(address)
        raise OSError("no network here")
    return _made(sock, address)

socket.socket.connect = _only_here
def _no_name(host, *rest, **more):
    _asked.append(host)
    raise OSError("no network here")
socket.gethostbyname = _no_name
"""


@pytest.mark.parametrize("name", ["check_stickout", "13_plan_a_part"])
def test_a_notebook_runs_with_only_its_own_computer_in_reach(name, tmp_path, monkeypatch):
    """A real kernel, which talks to the browser over the loopback; anything further fails and is counted."""
    from jupyter_client.manager import start_new_kernel
    from test_any_order import code_of, run

    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path))
    manager, client = start_new_kernel(kernel_name="python3", cwd=str(ROOT / "workbook"))
    try:
        assert "error" not in run(client, GUARD)
        assert "no network here" in run(client, "socket.create_connection(('192.0.2.1', 80), 1)")["error"], (
            "the guard guards"
        )
        run(client, "_asked.clear()")
        for source in code_of(ROOT / "workbook" / f"{name}.ipynb"):
            assert "error" not in run(client, source)
        assert run(client, "print(_asked)")["stdout"].strip() == "[]"
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)


OFFLINE = ["unshare", "--user", "--map-root-user", "--net", sys.executable, "-c"]


def test_it_works_with_no_network_at_all(tmp_path, monkeypatch):
    """In a network namespace with nothing in it, not even the loopback."""
    try:
        able = subprocess.run([*OFFLINE, "pass"], capture_output=True)
    except FileNotFoundError:
        pytest.skip("no unshare here")
    if able.returncode:
        pytest.skip("namespaces are not allowed here")
    monkeypatch.setenv("SPRINGPASS_SHOP", str(tmp_path))
    code = (
        "import socket\nfrom springpass import boring_bar, job, part\nfrom springpass.pages.check_stickout "
        "import PAGE\n"
        "print(len(PAGE.still()['image/svg+xml']) > 1000, job.plan(part.demo()).odds > 0.1)\n"
        "try:\n    socket.create_connection(('127.0.0.1', 9), 1)\nexcept OSError as shut:\n    print(shut.errno is not "
        "None)"
    )
    done = subprocess.run([*OFFLINE, code], capture_output=True, encoding="utf-8")
    assert done.stdout.split() == ["True", "True", "True"], done.stderr[-2000:]
