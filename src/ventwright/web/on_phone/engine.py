"""The application answering inside the browser: one request after the other by message, kept before it is answered."""

from __future__ import annotations

import asyncio
import json
import random
import sys
import traceback
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

from ventwright.errors import Refusal, Refused
from ventwright.store.jobs import Jobs
from ventwright.store.sharing import NoPeer, own_id
from ventwright.web import make_app
from ventwright.web.guard import Application
from ventwright.web.work import Here

Keep = Callable[[], Awaitable[None]]
"""Copies the database to where it lasts; fails with whatever the browser says."""

Post = Callable[[str], Awaitable[str]]
"""Sends a text to the server's address for sharing: a JSON object with ``status`` and ``text`` comes back."""

Answer = tuple[int, str, bytes]
"""Status, headers as JSON, and body of an answer."""

NO_WAY = "There is no way to the server now; it is tried again when there is a network."
NOBODY = "Nobody shares at the address from which this app came; a job travels as a file."
NO_ANSWER = "The server did not answer in two minutes; nothing is lost here. Share again later."
NOT_KEPT = "This was not kept: the phone has no room left. Make room, then send it once more."

PATIENCE = 120.0
"""Seconds within which an answer has to be whole: a piece of 1 MB over a poor network takes half a minute. Our own assumption."""


class Engine:
    """The app, its jobs and where they are copied to."""

    def __init__(self, path: str, keep: Keep, base: str, origin: str) -> None:
        """Open the jobs.

        Parameters
        ----------
        path
            The database in the browser's memory.
        keep
            Copies it to where it lasts.
        base
            Path under which the app stands at its address.
        origin
            Scheme, host and port of that address.

        Raises
        ------
        Refused
            The database is damaged, or of a newer Ventwright.
        """
        if sys.platform == "emscripten":
            _without_threads()
        self._keep = keep
        self._is_kept = True
        self._base = base
        self._scheme, _, self._host = origin.partition("://")
        self._path = Path(path)
        self.jobs = Jobs(path, on_write=self.kept)
        self._app: Application | None = None

    async def start(self, post: Post) -> None:
        """Make the app, with the way to the server that it shares with."""
        self._is_kept = False  # a new file, or one brought to the present version
        await self.kept()
        device = f"phone {(await own_id(self.jobs))[:6]}"
        name = self._host.rpartition(":")[0] or self._host
        self._app = make_app(self.jobs, work=Here(), hosts=(name,), device=device, peer=way_of_phone(post))

    async def kept(self) -> None:
        """Copy the database to where it lasts.

        Raises
        ------
        Refused
            It could not be copied; what was acknowledged before is there.
        """
        self._is_kept = False
        try:
            await self._keep()
        except Exception as failure:
            raise Refused(Refusal("could not be kept on this phone", "some room on it, then the same once more", given=str(failure)[:80])) from failure  # fmt: skip
        self._is_kept = True

    def older(self) -> list[str]:
        """Return the copies of the database that were made before it was brought to the present version."""
        return [str(one) for one in sorted(self._path.parent.glob(f"{self._path.name}.version-*"))]

    async def answer(self, method: str, path: str, query: str, headers: str, body: bytes) -> Answer:
        """Answer a request; what it changed is kept where it lasts, or the answer says that it is not.

        Parameters
        ----------
        headers
            Pairs of name and value, as JSON.
        """
        if self._app is None:
            return _plain(503, "The app has not started yet.")
        scope = self._scope(method, path, query, json.loads(headers))
        given = await _asked(self._app, scope, bytes(body))
        if not self._is_kept:  # what failed a moment ago may find room now
            try:
                await self.kept()
            except Refused:
                return _plain(507, NOT_KEPT)
        return given

    def _scope(self, method: str, path: str, query: str, headers: list[list[str]]) -> dict[str, Any]:
        own = [*headers, ["host", self._host], ["sec-fetch-site", "same-origin"]]
        host, _, port = self._host.partition(":")
        return {
            "type": "http",
            "asgi": {"version": "3.0", "spec_version": "2.3"},
            "http_version": "1.1",
            "method": method,
            "scheme": self._scheme,
            "path": path,
            "raw_path": path.encode(),
            "root_path": self._base.rstrip("/"),
            "query_string": query.encode(),
            "headers": [(name.lower().encode("latin-1"), value.encode("latin-1")) for name, value in own],
            "client": ("127.0.0.1", 0),
            "server": (host, int(port or 443)),
        }


async def _asked(app: Application, scope: dict[str, Any], body: bytes) -> Answer:
    """Ask the application and put its answer together."""
    status, headers, content = 500, list[list[str]](), bytearray()
    sent = False
    over = asyncio.Event()

    async def receive() -> dict[str, Any]:
        nonlocal sent
        if not sent:
            sent = True
            return {"type": "http.request", "body": body, "more_body": False}
        await over.wait()
        return {"type": "http.disconnect"}

    async def send(message: Any) -> None:
        nonlocal status, headers
        if message["type"] == "http.response.start":
            status = message["status"]
            headers = [
                [name.decode("latin-1"), value.decode("latin-1")] for name, value in message["headers"]
            ]
        else:
            content.extend(message.get("body", b""))

    try:
        await app(scope, receive, send)
    except Exception:  # noqa: BLE001 - whatever it is, the person is told and the app goes on
        traceback.print_exc()
        return _plain(500, "This page could not be made. What was entered before is kept.")
    finally:
        over.set()
    return status, json.dumps(headers), bytes(content)


LOOKED_AT = ("/", "/new", "/jobs/{job}", "/jobs/{job}/plan", "/jobs/{job}/facts", "/jobs/{job}/balance")
"""Pages that are made once before the memory of a start is kept, so that what they need is known in it."""


async def warm(folder: str) -> None:
    """Open an invented job, look at its first pages, and let go of it: what was worked out on the way stays known."""

    async def kept() -> None:
        """Nothing of it lasts."""

    engine = Engine(f"{folder}/warm.sqlite3", kept, "/", "http://localhost")
    engine._app = make_app(engine.jobs, work=Here(), hosts=("localhost",), device="none")  # noqa: SLF001 - without an id of its own, which a memory must not share
    document = {"schema_version": 1, "id": "warm", "invented": True, "facts": {"unit": {"cooling_capacity": "10 ton"}}}  # fmt: skip
    await engine.jobs.create(document, device="none")
    for path in LOOKED_AT:
        await engine.answer("GET", path.format(job="warm"), "", "[]", b"")
    engine.jobs.close()
    _take_away(folder, "warm.sqlite3*")


def _take_away(folder: str, named: str) -> None:
    for one in Path(folder).glob(named):
        one.unlink()


def awake() -> None:
    """Draw anew what two starts from one memory must not share: chance."""
    random.seed()


def _plain(status: int, sentence: str) -> Answer:
    return status, json.dumps([["content-type", "text/plain; charset=utf-8"]]), f"{sentence}\n".encode()


def way_of_phone(post: Post) -> Callable[[dict[str, Any]], Awaitable[Any]]:
    """Return the way to the server at the app's own address.

    What it gives raises NoPeer where there is no network, no such server, or no answer in time.
    """

    async def posted(message: dict[str, Any]) -> Any:
        return json.loads(await post(json.dumps(message)))

    async def send(message: dict[str, Any]) -> Any:
        try:
            answer = await asyncio.wait_for(posted(message), PATIENCE)
        except TimeoutError:
            raise NoPeer(NO_ANSWER) from None
        if not answer["status"]:
            raise NoPeer(NO_WAY)
        try:
            return json.loads(answer["text"])
        except ValueError:
            raise NoPeer(NOBODY) from None

    return send


def _without_threads() -> None:
    """Do what a library would hand to a thread where it is asked for: a browser gives Python no threads."""
    import anyio.to_thread

    async def at_once(function: Callable[..., Any], *given: Any, **_: Any) -> Any:
        return function(*given)

    library: Any = anyio.to_thread
    library.run_sync = at_once
