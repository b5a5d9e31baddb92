"""The app on a phone: what it takes to start, what it keeps when it is killed, and whether devices that share end equal.

`./dev bench phone` needs Chromium, Node.js and npm. Starts are measured as they are and with the page's process held still
three quarters of the time (its threads with it: a browser's own throttling does not reach the thread that Python is in).
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import statistics
import sys
import tempfile
import threading
import time
from pathlib import Path
from random import Random

from playwright.sync_api import Playwright, sync_playwright
from tests.browser.served import Served
from tests.web_on_phone.histories import run_history
from tests.web_on_phone.phone import Phone
from tests.web_on_phone.test_in_browser import assert_there, killed_after

from ventwright.web.on_phone.build import build

BARE = """async (base) => {
  const began = performance.now(), { loadPyodide } = await import(`${base}py/pyodide.mjs`), { LOCK } = await import(`${base}python.mjs`);
  await loadPyodide({ indexURL: new URL(`${base}py/`, location.origin).href, lockFileContents: LOCK });
  return performance.now() - began;
}"""
"""Python alone, without any library, begun in the page from the same files: how long it takes."""

PUT_ASIDE = """async ([from, to]) => {
  const cache = await caches.open("ventwright /phone/");
  for (const one of await cache.keys()) {
    const path = new URL(one.url).pathname;
    if (path.startsWith(from)) { await cache.put(path.replace(from, to), await cache.match(one)); await cache.delete(one); }
  }
}"""

BUILD = Path(__file__).parents[1] / "build" / "phone-fetched"
HISTORIES, OPERATIONS = 1000, 200
ON, OFF = 0.01, 0.03
"""Seconds that the page's process runs and is held still: a rough quarter of the speed."""


def main() -> None:
    """Measure, and print what was found."""
    asked = sys.argv[1:] or ["start", "kill", "share"]
    if "share" in asked:
        share()
    if {"start", "kill"} & set(asked):
        listed = build(BUILD / "phone", BUILD, print)
        print(f"{len(listed['files'])} files, {listed['bytes'] / 1e6:.1f} MB on the phone")
        with sync_playwright() as play, tempfile.TemporaryDirectory() as folder:
            served = Served(Path(folder) / "jobs", "--phone", str(BUILD / "phone"))
            served.start()
            try:
                phone = Phone(play, Path(folder) / "profile", served.address)
                starts(play, phone, served, Path(folder)) if "start" in asked else installed(phone)
                served.kill()
                if "kill" in asked:
                    kills(phone)
            finally:
                served.stop()


def installed(phone: Phone) -> None:
    """Install the app."""
    phone.start()
    phone.close()


def starts(play: Playwright, phone: Phone, served: Served, folder: Path) -> None:
    """Start cold, warm, and warm held back."""
    cold = []
    for number in range(3):
        one = Phone(play, folder / f"cold-{number}", served.address)
        one.start()
        cold.append(one.marks())
        one.close()
        shutil.rmtree(folder / f"cold-{number}", ignore_errors=True)
    told("cold, server on this machine", cold)
    phone.start()
    phone.tab.wait_for_selector("html[data-remembered]", state="attached")
    phone.close()
    phone.start(offline=True)
    warm, whole, bare = [], [], []
    for _ in range(7):
        phone.open()
        warm.append(phone.marks())
        bare.append(phone.tab.evaluate(BARE, "/phone/"))
        phone.tab.evaluate(PUT_ASIDE, ["/phone/memory/", "/phone/aside/"])
        phone.open()
        whole.append(phone.marks())
        phone.tab.evaluate(PUT_ASIDE, ["/phone/aside/", "/phone/memory/"])
    told("warm, offline, from memory", warm)
    told("warm, offline, from the beginning", whole)
    ratio = statistics.median(one["first"] / other for one, other in zip(warm, bare, strict=True))
    print(
        f"bare Python in the same runs {statistics.median(bare) / 1000:.1f} s; from memory {ratio:.1f} times as long"
    )
    print(f"load average {os.getloadavg()[0]:.1f}")
    with Held(phone):
        slow = []
        for _ in range(3):
            phone.open()
            slow.append(phone.marks())
    told("warm, offline, held still three quarters of the time", slow)
    print(
        "storage as the browser counts it:",
        phone.tab.evaluate("navigator.storage.estimate().then((one) => one.usage)"),
    )
    print("asked to keep it:", phone.tab.evaluate("navigator.storage.persisted()"))
    phone.close()


def told(what: str, marks: list[dict[str, float]]) -> None:
    """Print the middle of some starts, in seconds from the address to each moment."""
    middle = {name: statistics.median(one[name] for one in marks if name in one) / 1000 for name in ("seen", "ready", "first") if any(name in one for one in marks)}  # fmt: skip
    print(
        what,
        {name: f"{value:.1f} s" for name, value in middle.items()},
        f"least to first {min(one['first'] for one in marks) / 1000:.1f} s",
    )


class Held:
    """Holds the page's process still three quarters of the time."""

    def __init__(self, phone: Phone) -> None:
        self._pids = phone.renderers()
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._hold)

    def _hold(self) -> None:
        while not self._over.is_set():
            self._send(signal.SIGSTOP)
            time.sleep(OFF)
            self._send(signal.SIGCONT)
            time.sleep(ON)

    def _send(self, what: signal.Signals) -> None:
        for one in self._pids:
            os.kill(one, what)

    def __enter__(self) -> None:
        self._thread.start()

    def __exit__(self, *_: object) -> None:
        self._over.set()
        self._thread.join()


def kills(phone: Phone) -> None:
    """End the phone in the midst of operations, until 200 were acknowledged in all."""
    random, acknowledged, ended = Random(7), dict[str, str](), 0
    while 2 * len(acknowledged) < OPERATIONS:
        acknowledged |= killed_after(phone, random, most=8)
        ended += 1
    phone.start(offline=True)
    assert_there(phone, acknowledged)
    phone.close()
    print(f"killed {ended} times in {2 * len(acknowledged)} operations: all that was acknowledged is there")


def share() -> None:
    """Run random histories of three devices."""
    began = time.monotonic()
    for seed in range(HISTORIES):
        with tempfile.TemporaryDirectory() as folder:
            run_history(1000 + seed, Path(folder), steps=30)
    print(
        json.dumps(
            {
                "histories": HISTORIES,
                "devices differ": 0,
                "changes lost": 0,
                "seconds": round(time.monotonic() - began),
            }
        )
    )


if __name__ == "__main__":
    main()
