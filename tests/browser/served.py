"""`ventwright serve` in a process of its own, as a technician starts it."""

from __future__ import annotations

import re
import subprocess
import sys
import time
from importlib.resources import files
from pathlib import Path
from socket import socket
from uuid import uuid4

import httpx

FOUR = {"capacity": "10", "capacity.unit": "ton", "speeds": "2", "place": "Cook, IL", "outdoor": "40", "outdoor.unit": "°F"}  # fmt: skip
"""The first screen, filled in."""

PATIENCE = 60.0
"""Seconds in which the server answers its first request, on a machine that is busy with other tests."""


class Served:
    """The server, its folder and a client that sends what its own pages would send."""

    def __init__(self, folder: Path, *options: str) -> None:
        self.folder = folder
        self.options = options
        with socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.address = f"http://127.0.0.1:{self.port}"
        self.client = httpx.Client(
            base_url=self.address, headers={"origin": self.address}, follow_redirects=True, timeout=PATIENCE
        )
        self._said = folder / "said.txt"
        self._process: subprocess.Popen[bytes] | None = None
        folder.mkdir(parents=True, exist_ok=True)

    def start(self) -> None:
        """Start it and wait until it answers."""
        command = [sys.executable, "-m", "ventwright", "serve", "--port", str(self.port), "--data", str(self.folder), *self.options]  # fmt: skip
        with self._said.open("ab") as said:
            self._process = subprocess.Popen(command, stdout=said, stderr=said)
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            try:
                self.client.get("/manifest.webmanifest")
            except httpx.TransportError:
                assert self._process.poll() is None, self.said()
                time.sleep(0.05)
            else:
                return
        raise AssertionError(self.said())

    def kill(self) -> None:
        """End it as an empty battery does, in the middle of whatever it does."""
        assert self._process is not None
        self._process.kill()
        self._process.wait()

    def stop(self) -> None:
        """Ask it to end, and let go of it."""
        self.client.close()
        if self._process is not None and self._process.poll() is None:
            self._process.terminate()
            self._process.wait(PATIENCE)

    def said(self) -> str:
        """Return what it printed."""
        return self._said.read_text(encoding="utf-8")

    def with_demo(self) -> str:
        """Bring the invented demo job in and return its id."""
        text = files("ventwright.cli").joinpath("demo_job", "larkspur-row-r-2.yaml").read_text()
        return job_of(self.client.post("/bring", data={"text": text, "how": "copy"}))

    def new(self, **given: str) -> str:
        """Open a job with some of the four first facts and return its id."""
        return job_of(self.client.post("/new", data={"once": uuid4().hex, **given}))

    def job_that_is(self, kind: str) -> str:
        """Return the id of a job of its own: "done", the demo's; "opened" with all four first facts; or "empty"."""
        return self.with_demo() if kind == "done" else self.new(**(FOUR if kind == "opened" else {}))


def job_of(answer: httpx.Response) -> str:
    """Return the id of the job that an answer led to."""
    assert answer.status_code == 200, answer.text
    found = re.match(r"/jobs/([^/]+)", answer.url.path)
    assert found, answer.url
    return found[1]
