"""One browser and one server for all sheets; every sheet is held to the same care."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from typing import Any

import pytest
from bench_server import BenchServer
from playwright.sync_api import Browser, BrowserContext, expect, sync_playwright
from sheets import Reader

_NAMES = ("chromium", "chromium-browser", "google-chrome")
# Only ends what would never come: a busy machine may be twenty times as slow as a free one.
_LONG_WAIT_MS = 120_000


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """Chromium as the system has it; without one the pages are not tested, and that fails."""
    found = next((path for name in _NAMES if (path := shutil.which(name))), None)
    assert found, "no chromium: apt-get install -y chromium"
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=found, args=["--no-sandbox"])
        opened = browser.new_context

        def new_context(**how: Any) -> BrowserContext:
            context = opened(**how)
            context.set_default_timeout(_LONG_WAIT_MS)
            return context

        browser.new_context = new_context
        expect.set_options(timeout=_LONG_WAIT_MS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def bench(tmp_path_factory) -> Iterator[BenchServer]:
    """The demo bench, served by the program itself."""
    server = BenchServer(tmp_path_factory.mktemp("bench"))
    server.start()
    yield server
    server.stop()


@pytest.fixture(scope="session")
def signed_in(chromium, bench) -> dict:
    """What a browser keeps once its user has pressed the button of the printed link."""
    context = chromium.new_context()
    page = context.new_page()
    page.goto(bench.link)
    page.get_by_role("button", name="Sign in on this device").click()
    page.get_by_role("link", name="The foil bench", exact=True).click()
    page.wait_for_url(f"{bench.address}/shops/**")
    state = context.storage_state()
    context.close()
    return state


@pytest.fixture
def context(chromium, bench, signed_in) -> Iterator[BrowserContext]:
    opened = chromium.new_context(base_url=bench.address, storage_state=signed_in)
    yield opened
    opened.close()


@pytest.fixture
def reader(context, bench) -> Iterator[Reader]:
    """Someone signed in, whose page notes whatever goes wrong in it."""
    someone = Reader(context.new_page(), bench.address)
    yield someone
    someone.had_no_trouble()
