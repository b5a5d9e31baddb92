"""The server is killed again and again between entry and reload: what it acknowledged is there."""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from tests.browser.served import Served, job_of

TIMES = 50

LONGEST = 0.15
"""Seconds until a kill, drawn anew each time: before, between and in the middle of entries."""

NURSERY = """
import os, signal, sys
from pathlib import Path
import uvicorn
from ventwright.store.jobs import Jobs
from ventwright.web import make_app
import ventwright.job
signal.signal(signal.SIGCHLD, signal.SIG_IGN)
for line in sys.stdin:
    child = os.fork()
    if not child:
        app = make_app(Jobs(Path(sys.argv[2]) / "jobs.sqlite3"))
        uvicorn.run(app, host="127.0.0.1", port=int(sys.argv[1]), log_level="error")
    print(child, flush=True)
"""
"""Starts the same application from a process that has loaded the program, so that fifty starts take seconds."""


class Nursery:
    """Starts servers on one folder; each is killed."""

    def __init__(self, folder: Path) -> None:
        self.served = Served(folder)
        self.client = self.served.client
        command = [sys.executable, "-c", NURSERY, str(self.served.port), str(folder)]
        self._process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        self.child = 0

    def start(self) -> None:
        """Start a server and wait until it answers."""
        assert self._process.stdin
        assert self._process.stdout
        self._process.stdin.write("\n")
        self._process.stdin.flush()
        self.child = int(self._process.stdout.readline())
        for _ in range(2000):
            try:
                self.client.get("/manifest.webmanifest")
            except httpx.TransportError:
                time.sleep(0.01)
            else:
                return
        pytest.fail("the server did not start again")

    def kill(self) -> None:
        """Kill the server that runs."""
        os.kill(self.child, signal.SIGKILL)

    def close(self) -> None:
        """End the last server and whoever starts them."""
        self.kill()
        self._process.communicate()
        self.client.close()


@pytest.fixture
def nursery(tmp_path: Path) -> Iterator[Nursery]:
    """Servers of this test's own, because they will be killed."""
    one = Nursery(tmp_path)
    yield one
    one.close()


def test_fifty_kills_lose_nothing(nursery: Nursery) -> None:
    """Entries follow each other until the kill; the last one that was acknowledged, or the one after it, is there."""
    chance = random.Random(7)  # noqa: S311 - moments of kills, not secrets
    nursery.start()
    job = job_of(nursery.client.post("/new", data={"once": "a" * 32}))
    sent = acknowledged = 0
    for number in range(TIMES):
        until = threading.Timer(chance.uniform(0, LONGEST), nursery.kill)
        until.start()
        try:
            while True:
                sent += 1
                data = {"once": f"{sent:032x}", "name": f"Site {sent}"}
                answer = nursery.client.post(f"/jobs/{job}/facts/site", data=data, follow_redirects=False)
                assert answer.status_code == 303, answer.text
                acknowledged = sent
        except httpx.TransportError:
            until.join()
        nursery.start()
        name = nursery.client.get(f"/jobs/{job}/job.json").json()["facts"]["site"]["name"]
        kept = 0 if name == "Site without a name" else int(name.removeprefix("Site "))
        assert acknowledged <= kept <= sent, f"kill {number}: {acknowledged} acknowledged, {kept} kept"
    assert acknowledged > TIMES / 2


def test_the_folder_of_a_killed_server_opens_elsewhere(tmp_path: Path) -> None:
    """`ventwright serve` itself is killed, and its folder is carried to another machine as it was left."""
    first = Served(tmp_path / "first")
    first.start()
    job = first.new()
    entered = first.client.post(f"/jobs/{job}/facts/site", data={"once": "a" * 32, "name": "Carried"})
    assert entered.status_code == 200
    first.kill()
    first.client.close()
    shutil.copytree(first.folder, tmp_path / "carried")
    other = Served(tmp_path / "carried")
    other.start()
    assert "Carried" in other.client.get(f"/jobs/{job}/facts").text
    other.stop()
