"""JupyterLab and Chromium for the browser tests: one server and one browser a run, a fresh page and kernel a test."""

from __future__ import annotations

import contextlib
import json
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
LAB = ["--no-browser", "--allow-root", "--ServerApp.ip=127.0.0.1", "--IdentityProvider.token=", "--ServerApp.password=",
       "--ServerApp.port_retries=0", "--LabApp.expose_app_in_browser=True"]
NO_NEWS = ["--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate", "--LabApp.news_url="]


def chromium() -> str | None:
    """Where a Chromium is, or None."""
    return next(
        (path for name in ("chromium", "chromium-browser", "google-chrome") if (path := shutil.which(name))), None
    )


@contextlib.contextmanager
def lab(folder: Path | None = None, autosave: int = 0, settings: Path | None = None) -> Iterator[str]:
    """A JupyterLab over a copy of the workbook, on a free port of this machine; yields its address.

    autosave: seconds between JupyterLab's own savings; usually it saves nothing by itself between two tests. settings:
    an installation's folder of settings, in place of what keeps JupyterLab from asking about news here.
    """
    with tempfile.TemporaryDirectory() as scratch:
        tmp = Path(scratch)
        root = tmp / "workbook"
        shutil.copytree(
            folder or ROOT / "workbook", root, ignore=shutil.ignore_patterns("__pycache__", ".ipynb_checkpoints")
        )
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            port = probe.getsockname()[1]
        # the extension as it stands in this checkout, whatever is installed
        (tmp / "share/labextensions").mkdir(parents=True)
        (tmp / "share/labextensions/springpass-lab").symlink_to(ROOT / "lib/lab/springpass-lab")
        env = dict(os.environ, HOME=str(tmp), SPRINGPASS_SHOP=str(tmp / "shop"), JUPYTER_CONFIG_DIR=str(tmp / "c"),
                   JUPYTER_DATA_DIR=str(tmp / "d"), JUPYTER_RUNTIME_DIR=str(tmp / "r"), IPYTHONDIR=str(tmp / "i"),
                   JUPYTERLAB_SETTINGS_DIR=str(tmp / "s"), JUPYTERLAB_WORKSPACES_DIR=str(tmp / "w"),
                   JUPYTER_PATH=str(tmp / "share"))
        # no question about news in the way
        for name, chosen in {
            **({} if settings else {
                "apputils-extension/notification": '{"fetchNews": "false", "checkForUpdates": false}'}),
            "docmanager-extension/plugin": json.dumps(
                {"autosave": bool(autosave), "autosaveInterval": autosave or 120}),
        }.items():
            place = tmp / "s" / "@jupyterlab" / f"{name}.jupyterlab-settings"
            place.parent.mkdir(parents=True)
            place.write_text(chosen, encoding="utf-8")
        quiet = [f"--LabApp.app_settings_dir={settings}"] if settings else NO_NEWS
        with (tmp / "lab.log").open("w", encoding="utf-8") as log:
            server = subprocess.Popen([sys.executable, "-m", "jupyterlab", *LAB, *quiet, f"--ServerApp.port={port}",
                                       f"--ServerApp.root_dir={root}"], stdout=log, stderr=subprocess.STDOUT, env=env)
            try:
                for _ in range(900):
                    if server.poll() is not None:
                        raise RuntimeError((tmp / "lab.log").read_text(encoding="utf-8")[-2000:])
                    with contextlib.suppress(OSError):
                        urllib.request.urlopen(f"http://127.0.0.1:{port}/api", timeout=1).read()
                        break
                    time.sleep(0.1)
                yield f"http://127.0.0.1:{port}"
            finally:
                server.terminate()
                try:
                    server.wait(10)
                except subprocess.TimeoutExpired:
                    server.kill()


LIVE = """async () => {
  const w = window.jupyterapp.shell.currentWidget;
  while (!w.node.dataset.springpass) await new Promise(done => setTimeout(done, 50));
  const ok = w.node.dataset.springpass === 'open' || await window.jupyterapp.commands.execute('notebook:run-all-cells');
  const bad = [...w.content.model.cells].filter(c => c.type === 'code' &&
      c.sharedModel.getOutputs().some(o => o.output_type === 'error')).map(c => c.sharedModel.getSource());
  return {ok, bad};
}"""


def open_notebook(page, address: str, name: str) -> dict:
    """Open a notebook, which runs by itself, and wait for the last cell; returns {ok, bad: sources of failed cells}.

    A busy machine may let JupyterLab's own start-up time out: the page is then loaded again, twice at most. Nothing
    after that is tried again.
    """
    from playwright.sync_api import TimeoutError

    for attempt in range(3):
        try:
            page.goto(f"{address}/doc/tree/{name}", timeout=90_000)
            page.wait_for_function("window.jupyterapp?.shell.currentWidget?.sessionContext?.isReady", timeout=90_000)
            break
        except TimeoutError:
            if attempt == 2:
                raise
    page.evaluate("window.jupyterapp.shell.collapseLeft && window.jupyterapp.shell.collapseLeft()")
    return page.evaluate(LIVE)


def shut(page) -> None:
    """Stop the notebook's kernel and close the page."""
    page.evaluate("() => window.jupyterapp.shell.currentWidget.sessionContext.shutdown()")
    page.close()
