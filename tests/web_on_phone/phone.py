"""A phone as far as a browser without a screen can be one: a profile that lasts, started, closed and killed."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import time
from contextlib import suppress
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from playwright.sync_api import Browser, Error, Page, Playwright

FOUND = shutil.which("chromium") or shutil.which("chromium-browser")

FLAGS = (
    "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--no-first-run", "--disable-quic", "--disable-dev-shm-usage", "--remote-debugging-port=0", "--window-size=360,640",
)  # fmt: skip

PATIENCE = 180.0
"""Seconds in which the app starts, on a machine that is busy with other tests."""

POST = """async ([url, body]) => {
  const answer = await fetch(url, { method: "POST", body: new URLSearchParams(body) });
  return [answer.status, answer.url];
}"""


class Phone:
    """One browser with its own storage; the app in one tab of it."""

    def __init__(self, play: Playwright, profile: Path, address: str) -> None:
        self._play = play
        self._profile = profile
        self.base = f"{address}/phone/"
        self._process: subprocess.Popen[bytes] | None = None
        self._browser: Browser | None = None
        self.tab: Page

    def start(self, path: str = "", *, offline: bool = False) -> Page:
        """Start the browser, open the app and wait for its first page."""
        self.close()
        told = self._profile / "DevToolsActivePort"
        told.unlink(missing_ok=True)
        command = [str(FOUND), *FLAGS, f"--user-data-dir={self._profile}", "about:blank"]
        self._process = subprocess.Popen(
            command, start_new_session=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        until = time.monotonic() + PATIENCE
        while not (told.exists() and told.read_text().strip()):
            assert time.monotonic() < until, "the browser did not start"
            time.sleep(0.05)
        port = told.read_text().split()[0]
        self._browser = self._play.chromium.connect_over_cdp(f"http://127.0.0.1:{port}")
        context = self._browser.contexts[0]
        self.tab = context.pages[0]
        self.tab.set_default_timeout(PATIENCE * 1000)
        self.tab.set_viewport_size({"width": 360, "height": 640})
        context.set_offline(offline)
        return self.open(path)

    def open(self, path: str = "", tab: Page | None = None) -> Page:
        """Open an address of the app and wait for its first page."""
        tab = tab or self.tab
        tab.goto(f"{self.base}{path}")
        tab.wait_for_selector("html[data-ready], html[data-failed]", state="attached")
        assert tab.get_attribute("html", "data-failed") is None, tab.inner_text("body")
        return tab

    def another_tab(self) -> Page:
        """Return one more tab of the same browser."""
        tab = self.tab.context.new_page()
        tab.set_default_timeout(PATIENCE * 1000)
        return tab

    def post(self, path: str, given: dict[str, str]) -> str:
        """Send a form as a page of the app would, and return where it led; what comes back was acknowledged."""
        status, url = self.tab.evaluate(POST, [f"{self.base}{path}", urlencode(given)])
        assert status == 200, (path, status)
        return str(url)

    def text(self, path: str) -> str:
        """Return what the engine answers at an address."""
        return str(self.tab.evaluate("async (url) => (await fetch(url)).text()", f"{self.base}{path}"))

    def marks(self) -> dict[str, Any]:
        """Return the moments of the start, in milliseconds."""
        found: dict[str, Any] = self.tab.evaluate("globalThis.ventwright")
        return found

    def renderers(self) -> list[int]:
        """Return the processes that run pages."""
        assert self._browser is not None
        told = self._browser.new_browser_cdp_session().send("SystemInfo.getProcessInfo")
        return [int(one["id"]) for one in told["processInfo"] if one["type"] == "renderer"]

    def close(self) -> None:
        """Close the browser as a person does."""
        if self._process is not None and self._process.poll() is None:
            assert self._browser is not None
            with suppress(Error):  # it is gone before it has answered
                self._browser.new_browser_cdp_session().send("Browser.close")
            self._process.wait(30)
        self._process = None
        self._let_go()

    def kill(self) -> None:
        """End it and all its processes at once, as an empty battery does."""
        if self._process is not None and self._process.poll() is None:
            os.killpg(self._process.pid, signal.SIGKILL)
            self._process.wait(30)
        self._process = None
        self._let_go()

    def _let_go(self) -> None:
        if self._browser is not None:
            self._browser.close()
        self._browser = None
