"""One JupyterLab and one Chromium for the run. No chromium: skipped with a reason, but never under CI."""

import os

import pytest

import lab as house


@pytest.fixture(scope="session")
def chromium():
    path = house.chromium()
    if path is None:
        if os.environ.get("CI"):
            pytest.fail("CI must have a chromium: .ci/run installs Debian's package")
        pytest.skip("no chromium here: install Debian's package “chromium” to run the browser tests")
    return path


@pytest.fixture(scope="session")
def address(chromium):
    with house.lab() as url:
        yield url


@pytest.fixture(scope="session")
def browser(chromium):
    from playwright.sync_api import expect, sync_playwright

    expect.set_options(timeout=20_000)   # how long a busy machine may take; what is expected stays the same
    with sync_playwright() as play:
        one = play.chromium.launch(executable_path=chromium, headless=True, args=house.FLAGS)
        yield one
        one.close()


@pytest.fixture(scope="session")
def wide(browser):
    """A desktop window; one context, so that later tests find Lab's files cached."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    yield context
    context.close()


@pytest.fixture(scope="session")
def narrow(browser):
    """A phone, 390 px wide."""
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
    yield context
    context.close()
