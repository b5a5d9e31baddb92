"""Every route answers in the browser's Python as on the server: the same status, the same words, the same numbers."""

from __future__ import annotations

import asyncio
import base64
import json
import re
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import httpx
import pytest
from starlette.routing import Route
from tests.web_client import DEMO, Client

from ventwright.store.exchange import read_copy
from ventwright.store.jobs import Jobs
from ventwright.web import make_app
from ventwright.web.app import routes
from ventwright.web.page import edition

HERE = Path(__file__).parent

FILLED = {
    "job": DEMO, "speed": "high", "number:int": "1", "number": "signal", "pin:int": "1", "section": "unit", "step": "inspection.instruments", "entry": "t1",
    "line": "c1", "measurement": "outdoor.probe", "id": "probe", "kind": "three-temperatures", "edition": edition(), "power": "off", "part": "transformers",
    "photo": "none", "size": "small", "name": "none", "name:path": "none", "list": "none",
}  # fmt: skip
"""What stands for the parts of an address; where there is no such thing both say so, and in the same words."""

INSTEAD = {
    "/files/{edition}/{name}": f"/files/{edition()}/app.css",
    "/jobs/{job}/facts/{section}": f"/jobs/{DEMO}/facts/unit",
    "/jobs/{job}/record/{name}": f"/jobs/{DEMO}/record/record.json",
}

OWN_TO_THE_DEVICE = {"/share"}
"""A phone shows how far it shared, a server who shared with it."""

CHANGING = re.compile(
    r"[0-9a-f]{32}|[0-9a-f]{12}|\b[0-9a-f]{8}\b|\d\d:\d\d(:\d\d)?(\.\d+)?|undo=[0-9a-f,]+|\b[0-9a-f]{64}\b|[+-]\d\d:\d\d"
    r"|<progress[^>]*>"
)
"""Ids made anew, the time of day, and how far a piece of work is."""


class OnPhone:
    """The engine in a process of its own; answers like the server's client."""

    def __init__(self, folder: Path, jobs: Path) -> None:
        command = [shutil.which("node") or "node", str(HERE / "answering.mjs"), str(folder), str(jobs)]
        self._process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)

    def ask(self, method: str, path: str, body: bytes = b"", kind: str = "") -> tuple[int, str, bytes]:
        """Ask and follow where it leads; returns status, kind and body."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        address, _, query = path.partition("?")
        headers = [["content-type", kind]] if kind else []
        line = json.dumps({"method": method, "path": address, "query": query, "headers": headers, "body": base64.b64encode(body).decode()})  # fmt: skip
        self._process.stdin.write(f"{line}\n")
        self._process.stdin.flush()
        answer = json.loads(self._process.stdout.readline())
        said = dict(answer["headers"])
        if answer["status"] in {303, 307}:
            return self.ask("GET", said["location"])
        return answer["status"], said.get("content-type", ""), base64.b64decode(answer["body"])

    def stop(self) -> None:
        """End the process."""
        self._process.kill()
        self._process.communicate()


class Server:
    """The same application in this Python."""

    def __init__(self, jobs: Path) -> None:
        self.jobs = Jobs(jobs)
        self.app = make_app(self.jobs, device="server")
        self._loop = asyncio.new_event_loop()  # one for all: what was begun goes on between the requests

    def ask(self, method: str, path: str, body: bytes = b"", kind: str = "") -> tuple[int, str, bytes]:
        """Ask and follow where it leads; returns status, kind and body."""

        async def asked() -> httpx.Response:
            transport = httpx.ASGITransport(app=self.app)
            headers = {"origin": "http://localhost"} | ({"content-type": kind} if kind else {})
            async with httpx.AsyncClient(
                transport=transport, base_url="http://localhost", follow_redirects=True
            ) as client:
                return await client.request(method, path, content=body, headers=headers)

        answer = self._loop.run_until_complete(asked())
        return answer.status_code, answer.headers.get("content-type", ""), answer.content

    def stop(self) -> None:
        """Let go of what was begun, and of the jobs."""
        for task in asyncio.all_tasks(self._loop):
            task.cancel()
            with suppress(asyncio.CancelledError):
                self._loop.run_until_complete(task)
        self._loop.close()
        self.jobs.close()


def prepared(folder: Path) -> Path:
    """Return a database with the invented demo job in it, all in one file."""

    async def kept() -> None:
        """It is where it lasts."""

    path = folder / "jobs.sqlite3"
    jobs = Jobs(path, on_write=kept)
    client = Client.__new__(Client)
    client.jobs = jobs
    client.with_demo()
    client.set(
        "instruments", [{"id": "probe", "kind": "temperature", "name": "Probe", "accuracy": "± 0.5 F"}]
    )
    jobs.close()
    return path


@pytest.fixture(scope="module")
def both(phone_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[OnPhone, Server]]:
    """The engine on the phone and the server, with the same jobs."""
    path = prepared(tmp_path_factory.mktemp("first"))
    other = tmp_path_factory.mktemp("second") / "jobs.sqlite3"
    shutil.copy(path, other)
    phone, server = OnPhone(phone_folder, path), Server(other)
    yield phone, server
    phone.stop()
    server.stop()


def addresses(method: str) -> list[str]:
    """Return an address for every route of a method."""
    found = []
    for route in routes():
        assert isinstance(route, Route)
        if method in (route.methods or ()):
            path = INSTEAD.get(route.path) or re.sub(
                r"\{([\w:]+)\}", lambda part: FILLED[part[1]], route.path
            )
            found.append(path)
    return found


def told(kind: str, content: bytes) -> Any:
    """Return what an answer says, without what is made anew each time."""
    if kind.startswith("text/html"):
        text = content.decode()
        main = text[text.index("<main") : text.index("</main>")] if "<main" in text else text
        return CHANGING.sub("", re.sub(r"\s+", " ", main))
    if kind.startswith("application/json"):
        return json.loads(content)
    return CHANGING.sub("", content.decode()) if kind.startswith("text/") else (kind, content[:5])


def alike(one: Any, other: Any) -> bool:
    """Whether two answers say the same, every number to its last digit."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(alike(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(alike, one, other))
    if isinstance(one, str) and isinstance(other, str):
        return CHANGING.sub("", one) == CHANGING.sub("", other)
    return bool(one == other)


def test_every_page_says_the_same(both: tuple[OnPhone, Server]) -> None:
    phone, server = both
    found = 0
    for path in addresses("GET"):
        on_phone, on_server = phone.ask("GET", path), server.ask("GET", path)
        assert on_phone[0] == on_server[0], path
        if path not in OWN_TO_THE_DEVICE:
            assert alike(told(*on_phone[1:]), told(*on_server[1:])), path
        found += on_phone[0] == 200
    assert found > 50


def test_every_form_is_taken_or_refused_the_same(both: tuple[OnPhone, Server]) -> None:
    phone, server = both
    refused = 0
    for number, path in enumerate(addresses("POST")):
        body, kind = (
            urlencode({"once": f"{number:032x}", "offset": "0", "back": "/"}).encode(),
            "application/x-www-form-urlencoded",
        )
        on_phone, on_server = phone.ask("POST", path, body, kind), server.ask("POST", path, body, kind)
        assert on_phone[0] == on_server[0], path
        if path not in OWN_TO_THE_DEVICE | {"/sync"}:
            assert alike(told(*on_phone[1:]), told(*on_server[1:])), path
        refused += on_phone[0] == 422
    assert refused > 10


def test_the_record_is_written_on_the_phone(both: tuple[OnPhone, Server]) -> None:
    phone, server = both
    for name in ("record.pdf", "card.pdf"):
        status, kind, content = phone.ask("GET", f"/jobs/{DEMO}/record/{name}")
        there = server.ask("GET", f"/jobs/{DEMO}/record/{name}")
        assert (status, kind) == (200, "application/pdf") == there[:2]
        assert words_of(content) == words_of(there[2])


def words_of(pdf: bytes) -> str:
    """Return the words of a PDF, without the time at which it was made."""
    import io

    from pypdf import PdfReader

    return CHANGING.sub("", " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages))


def test_a_job_from_a_file_is_the_same_document(both: tuple[OnPhone, Server]) -> None:
    phone, server = both
    files = [json.loads(one.ask("GET", f"/jobs/{DEMO}/job.json")[2]) for one in (phone, server)]
    assert read_copy(json.dumps(files[0]), "a").keys() == read_copy(json.dumps(files[1]), "b").keys()
    assert files[0]["facts"] == files[1]["facts"]
