"""One server and one browser for every module of these tests."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, sync_playwright
from tests.browser.served import Served

FOUND = shutil.which("chromium") or shutil.which("chromium-browser")

FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--no-first-run", "--disable-quic", "--disable-dev-shm-usage",
)  # fmt: skip

PHONE: dict[str, Any] = {"viewport": {"width": 360, "height": 640}, "has_touch": True, "is_mobile": True}
LAPTOP: dict[str, Any] = {"viewport": {"width": 1280, "height": 800}}
SCREENS = {"phone": PHONE, "laptop": LAPTOP}


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """`ventwright serve` on a free port, with a folder of its own."""
    if FOUND is None:
        pytest.skip("needs chromium")
    one = Served(tmp_path_factory.mktemp("jobs"))
    one.start()
    yield one
    one.stop()
    assert "Traceback" not in one.said(), one.said()


@pytest.fixture(scope="module")
def browser(served: Served) -> Iterator[Browser]:  # noqa: ARG001 - the server says first that there is no browser
    """The machine's own Chromium; ended with the module, because its event loop would keep others from running."""
    with sync_playwright() as play:
        one = play.chromium.launch(executable_path=FOUND, args=list(FLAGS))
        yield one
        one.close()


@pytest.fixture(params=list(SCREENS))
def screen(request: pytest.FixtureRequest) -> str:
    """One of the two screens."""
    return str(request.param)


@pytest.fixture
def context(browser: Browser, screen: str) -> Iterator[BrowserContext]:
    """A person's own browser: nothing kept from before."""
    one = browser.new_context(**SCREENS[screen])
    yield one
    one.close()


@pytest.fixture
def phone(browser: Browser) -> Iterator[BrowserContext]:
    """The phone of somebody who has never seen the app."""
    one = browser.new_context(**PHONE)
    yield one
    one.close()
