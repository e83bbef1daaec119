"""A phone on the room's network: the bench page under Voilà with the project's settings, 390 px wide."""

import contextlib
import json
import os
import re
import socket
import subprocess
import sys
import time
import urllib.request

import pytest
from playwright.sync_api import expect

import lab

pytest.importorskip("voila")
pytestmark = pytest.mark.browser


@contextlib.contextmanager
def served(home, **settings):
    """Voilà over the workbook on a free port, with a token; yields its address."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-m", "voila", "workbook", "--Voila.config_file_paths=lib/delivery/voila",
               f"--port={port}", "--Voila.port_retries=0", "--token=chalk"]
    env = dict(os.environ, HOME=str(home), SPRINGPASS_SHOP=str(home / "teacher"), **settings)
    with (home / "log").open("w", encoding="utf-8") as log:
        server = subprocess.Popen(command, cwd=lab.ROOT, env=env, stdout=log, stderr=subprocess.STDOUT)
        try:
            for _ in range(600):
                assert server.poll() is None, (home / "log").read_text(encoding="utf-8")[-2000:]
                with contextlib.suppress(OSError):
                    urllib.request.urlopen(f"http://127.0.0.1:{port}/?token=chalk", timeout=2).read()
                    break
                time.sleep(0.1)
            yield f"http://127.0.0.1:{port}"
        finally:
            server.terminate()
            try:
                server.wait(20)
            except subprocess.TimeoutExpired:
                server.kill()


@pytest.fixture(scope="module")
def voila(chromium, tmp_path_factory):
    """One server for the room, and its home. `chromium` skips it where there is none."""
    home = tmp_path_factory.mktemp("voila")
    with served(home) as address:
        yield address, home


def test_a_phone_moves_a_slider_and_asks_nothing_outside(narrow, voila):
    address, home = voila
    page = narrow.new_page()
    page.set_default_timeout(90_000)
    asked: list[str] = []
    errors: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.goto(f"{address}/voila/render/check_stickout.ipynb?token=chalk")
    shown = page.locator(".sp-page").first
    words = shown.locator(".sp-words")
    expect(words).to_contain_text(re.compile("Holds|At the edge|Will not hold"), timeout=90_000)
    assert (
        page.locator(".jp-CodeMirrorEditor, .highlight").count() == 0
        and "show(check_stickout" not in page.content().split("<body")[-1]
    )
    before = words.inner_text()
    slider = shown.locator("input[type=range]").and_(shown.get_by_role("slider", name="stickout, mm"))
    slider.focus()
    slider.press("ArrowRight")
    expect(words).not_to_have_text(before)
    expect(shown.locator(".sp-picture")).to_contain_text("41 mm = ")
    # room for a thumb, nothing sideways, and the words still in sight far down the sliders
    handle = slider.bounding_box()
    assert handle and min(handle["width"], handle["height"]) >= 24
    assert (
        shown.evaluate("e => e.scrollWidth - e.clientWidth") <= 1
        and page.evaluate("document.documentElement.scrollWidth") <= 390
    )
    shown.locator("input[type=range]:visible").last.scroll_into_view_if_needed()
    at = words.bounding_box()
    assert at and 0 <= at["y"] < 120, "the words do not stay in sight"
    outside = {url for url in asked if not url.startswith((address, "data:", "blob:"))}
    assert not outside and not errors, (outside, errors)
    assert not (home / "teacher").exists(), "a phone wrote into the teacher's shop"
    page.close()


def test_nobody_opens_a_page_without_the_token(browser, voila):
    address, _ = voila
    context = browser.new_context()
    page = context.new_page()
    page.goto(f"{address}/voila/render/check_stickout.ipynb")
    assert "login" in page.url and page.locator(".sp-page").count() == 0
    context.close()


def test_the_first_page_is_the_map_and_asks_nothing_outside(browser, voila):
    address, _ = voila
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
    page = context.new_page()
    page.set_default_timeout(90_000)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(f"{address}/?token=chalk")
    page.wait_for_url(re.compile(r"/voila/render/00_start_here\.ipynb"))
    expect(page.locator(".sp-page .sp-words").first).to_be_visible(timeout=90_000)
    text = page.locator("body").inner_text()
    assert "Run All" not in text and "grey box" not in text.lower()
    for link in ("check_stickout.ipynb", "03_boring_bar.ipynb"):
        assert page.locator(f'a[href*="{link}"]').count(), link
    assert not {url for url in asked if not url.startswith((address, "data:", "blob:"))}
    # what is not for the room
    for path, status in (("voila/render/for_teachers.ipynb", 404), ("voila/files/images/map.png", 403),
                         ("voila/files/00_start_here.ipynb", 403)):
        assert page.request.get(f"{address}/{path}").status == status, path
    context.close()
    stranger = browser.new_context()
    for path in ("", "voila/tree/", "voila/api/contents/"):
        found = stranger.request.get(f"{address}/{path}")
        assert found.status == 403 or "login" in found.url, path
    stranger.close()


def test_no_more_pages_are_open_than_the_class_has_phones(browser, tmp_path):
    """The second of one phone is told so in a sentence; the first keeps its page."""
    with served(tmp_path, SPRINGPASS_PHONES="1") as address:
        context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
        first, second = context.new_page(), context.new_page()
        first.goto(f"{address}/voila/render/check_stickout.ipynb?token=chalk", timeout=90_000)
        expect(first.locator(".sp-page .sp-words").first).to_be_visible(timeout=90_000)
        answer = second.goto(f"{address}/voila/render/01_heat.ipynb", timeout=90_000)
        assert answer.status == 503
        expect(second.locator("body")).to_contain_text("All 1 pages are in use")
        expect(first.locator(".sp-page .sp-words").first).to_be_visible()
        context.close()


def test_the_texts_fit_a_room_without_a_notebook():
    """What is said of running cells, or of boxes with code, is said nowhere that the phones are sent to."""
    for path in sorted((lab.ROOT / "workbook").glob("*.ipynb")):
        if path.stem == "for_teachers":
            continue
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            said = "".join(cell["source"]) if cell["cell_type"] == "markdown" else ""
            assert not re.search("run all|gr[ea]y box", said, re.I), (path.stem, said)
