"""A server that is killed at any moment of many operations, and asked afterwards for all that it had acknowledged.

By hand, on both databases: ``python -m tests.shells.killing 1000``. On PostgreSQL every few kills take the database's own
server too, as when the machine loses its power.
"""

from __future__ import annotations

import argparse
import asyncio
import io
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, field
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from socket import socket
from typing import Any

import httpx
import pytest
from PIL import Image
from tests.postgres import Server, programs

PEOPLE = 4
"""Who enter at once, each on jobs of his own."""

LONGEST = 0.35
"""Seconds until a kill, drawn anew each time: before, between and in the middle of operations."""

POWER = 6
"""Every how many kills the database's server goes too."""

NURSERY = """
import asyncio, os, signal, sys, tempfile
import httpx, uvicorn
from ventwright.store.jobs import Jobs
from ventwright.web import make_app
from ventwright.web.photo import taken_in

async def warm(folder):
    app = make_app(Jobs(folder + "/jobs.sqlite3"))
    origin = {"origin": "http://localhost"}
    transport = httpx.ASGITransport(app=app)
    async with httpx.AsyncClient(transport=transport, base_url="http://localhost", headers=origin) as client:
        job = (await client.post("/new", data={"once": "a" * 32})).headers["location"].split("?")[0]
        await client.post(job + "/facts/site", data={"once": "b" * 32, "name": "Warm"})
        await client.post(job + "/photos", data={"once": "c" * 32}, files={"chosen": ("a.jpg", b"no picture")})
        await client.get(job + "/job.json")

with tempfile.TemporaryDirectory() as folder:
    asyncio.run(warm(folder))
signal.signal(signal.SIGCHLD, signal.SIG_IGN)
for line in sys.stdin:
    child = os.fork()
    if not child:
        uvicorn.run(make_app(Jobs(sys.argv[2])), host="127.0.0.1", port=int(sys.argv[1]), log_level="error")
    print(child, flush=True)
"""
"""Starts the same application from a process that has answered before, so that many starts take seconds."""


@dataclass
class Held:
    """What one job must hold: at least what was acknowledged, at most what was sent."""

    sites: tuple[int, int] = (0, 0)
    entries: set[str] = field(default_factory=set)
    sent: set[str] = field(default_factory=set)
    photos: tuple[int, int] = (0, 0)


class Person:
    """Enters one thing after the other, and remembers what was acknowledged."""

    def __init__(self, number: int, chance: random.Random) -> None:
        self.number, self.chance = number, chance
        self.jobs: dict[str, Held] = {}
        self.mark: list[Any] = [0, ""]
        self.done: Counter[str] = Counter()
        self.touched: set[str] = set()
        self._count = 0

    async def enter(self, client: httpx.AsyncClient) -> None:
        """Do things until the server is gone."""
        try:
            while True:
                await self._one(client)
        except httpx.TransportError:
            return

    async def _one(self, client: httpx.AsyncClient) -> None:
        do = self.chance.choices(("new", "site", "share", "photo"), (1, 4, 4, 1))[0] if self.jobs else "new"
        self._count += 1
        if do == "new":
            await self._new(client)
        else:
            job = self.chance.choice(list(self.jobs))
            self.touched.add(job)
            await {"site": self._site, "share": self._share, "photo": self._photo}[do](client, job)
        self.done[do] += 1

    def _once(self) -> str:
        return f"{self.number:08x}{self._count:024x}"

    async def _new(self, client: httpx.AsyncClient) -> None:
        answer = await client.post("/new", data={"once": self._once()})
        assert answer.status_code == 303, answer.text
        self.jobs[answer.headers["location"].split("/")[2]] = Held()

    async def _site(self, client: httpx.AsyncClient, job: str) -> None:
        held = self.jobs[job]
        held.sites = held.sites[0], self._count
        data = {"once": self._once(), "name": f"Site {self._count}"}
        answer = await client.post(f"/jobs/{job}/facts/site", data=data)
        assert answer.status_code == 303, answer.text
        held.sites = self._count, self._count

    async def _share(self, client: httpx.AsyncClient, job: str) -> None:
        held = self.jobs[job]
        ids = [f"p{self.number}-{self._count}-{number}" for number in range(self.chance.randint(1, 5))]
        held.sent |= set(ids)
        message = {
            "protocol": 1, "store": "", "device": f"{self.number:032x}", "name": "", "mark": self.mark,
            "changes": [self._change(job, one) for one in ids],
        }  # fmt: skip
        answer = await client.post("/sync", json=message)
        said = answer.json()
        assert answer.status_code == 200, said
        assert said["refused"] == {}, said
        self.mark = said["mark"]
        held.entries |= set(ids)

    def _change(self, job: str, name: str) -> dict[str, Any]:
        at = datetime.now(UTC).isoformat()
        value = {"id": name, "what": "tick", "at": at, "item": "hood in place"}
        return {
            "id": sha256(name.encode()).hexdigest()[:32], "job": job, "number": self._count + 1, "at": at,
            "device": "phone", "by": "", "do": "append", "path": "readings.entries", "value": value, "over": [],
        }  # fmt: skip

    async def _photo(self, client: httpx.AsyncClient, job: str) -> None:
        held = self.jobs[job]
        held.photos = held.photos[0], held.photos[1] + 1
        content = io.BytesIO()
        Image.new("RGB", (48, 40), (self.number, self._count % 256, self._count // 256)).save(content, "JPEG")
        files = {"chosen": ("a.jpg", content.getvalue(), "image/jpeg")}
        answer = await client.post(f"/jobs/{job}/photos", data={"once": self._once()}, files=files)
        assert answer.status_code == 303, answer.text
        held.photos = held.photos[0] + 1, held.photos[1]

    async def check(self, client: httpx.AsyncClient, jobs: set[str]) -> None:
        """Ask for jobs, and hold them against what was acknowledged."""
        for job in jobs:
            held, answer = self.jobs[job], await client.get(f"/jobs/{job}/job.json")
            assert answer.status_code == 200, f"a job that was acknowledged is gone: {job}"
            document = answer.json()
            name = document["facts"]["site"]["name"]
            kept = 0 if name == "Site without a name" else int(name.removeprefix("Site "))
            assert held.sites[0] <= kept <= held.sites[1], f"{held.sites[0]} acknowledged, {kept} kept"
            readings = document.get("readings", {})
            entries = [one["id"] for one in readings.get("entries", [])]
            assert len(entries) == len(set(entries))
            assert held.entries <= set(entries) <= held.sent, held.entries - set(entries)
            photos = [one["id"] for one in readings.get("photos", [])]
            assert held.photos[0] <= len(photos) <= held.photos[1], (
                f"{held.photos[0]} photos, {len(photos)} kept"
            )
            for photo in photos:
                picture = await client.get(f"/jobs/{job}/photos/{photo}/large.jpg")
                assert sha256(picture.content).hexdigest() == photo


class Killed:
    """One run: people, a server that is killed under them, and the database that it writes to."""

    def __init__(self, where: Path | str, seed: int, database: Server | None = None) -> None:
        self.chance = random.Random(seed)  # noqa: S311 - moments of kills, not secrets
        self.people = [Person(number, random.Random(seed + number)) for number in range(PEOPLE)]  # noqa: S311
        self.kills = self.powers = 0
        self._longest = LONGEST
        self._database = database
        with socket() as free:
            free.bind(("127.0.0.1", 0))
            self._port = free.getsockname()[1]
        command = [sys.executable, "-c", NURSERY, str(self._port), str(where)]
        self._nursery = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)

    @property
    def done(self) -> Counter[str]:
        """How much of what was acknowledged."""
        return sum((one.done for one in self.people), Counter())

    def run(self, operations: int, kills: int = 1) -> None:
        """Go on until so many operations were acknowledged over so many kills, and check them all once more."""
        try:
            while self.done.total() < operations or self.kills < kills:
                asyncio.run(self._round())
            asyncio.run(self._checked(everything=True))
        finally:
            self._nursery.communicate()

    async def _round(self) -> None:
        async with self._client() as client:
            child = await self._started(client)
            for person in self.people:
                person.touched.clear()
            entering = [asyncio.create_task(one.enter(client)) for one in self.people]
            before = self.done.total()
            await asyncio.sleep(self.chance.uniform(0, self._longest))
            os.kill(child, signal.SIGKILL)
            self.kills += 1
            await asyncio.gather(*entering)
        if self.done.total() == before:
            self._longest *= 1.5  # a machine that is busy with other things
        if self._database and self.kills % POWER == 0:
            self._database.kill()
            self._database.start()
            self.powers += 1
        await self._checked(everything=False)

    async def _checked(self, *, everything: bool) -> None:
        async with self._client() as client:
            child = await self._started(client)
            try:
                for one in self.people:
                    await one.check(client, set(one.jobs) if everything else one.touched)
            finally:
                os.kill(child, signal.SIGKILL)

    def _client(self) -> httpx.AsyncClient:
        address = f"http://127.0.0.1:{self._port}"
        return httpx.AsyncClient(base_url=address, headers={"origin": address}, timeout=60)

    async def _started(self, client: httpx.AsyncClient) -> int:
        assert self._nursery.stdin
        assert self._nursery.stdout
        self._nursery.stdin.write("\n")
        self._nursery.stdin.flush()
        child = int(self._nursery.stdout.readline())
        until = time.monotonic() + 60
        while time.monotonic() < until:
            try:
                await client.get("/manifest.webmanifest")
            except httpx.TransportError:
                await asyncio.sleep(0.01)
            else:
                return child
        pytest.fail("the server did not start again")


def main() -> None:
    """Run it on both databases and say what was done."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("operations", type=int, nargs="?", default=1000)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        _told("SQLite", Killed(Path(folder) / "jobs.sqlite3", given.seed), given.operations)
    found = programs()
    if found is None:
        print("PostgreSQL: no server's programs on this machine")  # noqa: T201 - a report
        return
    database = Server(found)
    try:
        _told("PostgreSQL", Killed(database.fresh(), given.seed, database), given.operations)
    finally:
        database.close()


def _told(kind: str, run: Killed, operations: int) -> None:
    began = time.monotonic()
    run.run(operations)
    print(  # noqa: T201 - a report
        f"{kind}: {run.done.total()} operations acknowledged ({dict(run.done)}), {run.kills} kills of the server,"
        f" {run.powers} of the database too; all of it is there. {time.monotonic() - began:.0f} s",
        flush=True,
    )


if __name__ == "__main__":
    main()
