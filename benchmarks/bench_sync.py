"""Twenty technicians of a shop who share at once, after a day without a network: latencies and errors on both databases.

`./dev bench sync`. Each phone hands over a job with a day's readings in pieces and asks for what it lacks until it has
all; then all of them go on with a few readings at a time. The server runs as a shop starts it, each phone has its token.
Photos are left out. Goal: no error and nothing lost, on SQLite or on PostgreSQL.
"""

from __future__ import annotations

import asyncio
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from socket import socket
from statistics import median, quantiles
from typing import Any

import httpx
from tests.postgres import Server, programs

from ventwright.store.change import Change, new_id
from ventwright.store.jobs import Jobs
from ventwright.store.sharing import MOST, PROTOCOL
from ventwright.store.shop import Shop

TECHNICIANS = 20
DAY, LATER, ROUNDS = 300, 5, 8
"""Readings of the day without a network; readings at a time afterwards, and how many times."""

PATIENCE = 60.0
"""For the server to start. [s]"""


class Phone:
    """What one technician's phone hands over, and how long each answer took."""

    def __init__(self, number: int, secret: str) -> None:
        self.job, self.secret, self.device = f"job-{number}", secret, f"{number:032x}"
        self.mark: list[Any] = [0, ""]
        self.store = ""
        self.took: list[float] = []
        self.wrong: list[str] = []
        self.known: set[str] = set()
        self._number = 0
        document = {"schema_version": 1, "id": self.job, "facts": {"unit": {"tag": f"R-{number}"}}}
        self._ahead = [self._change("put", "", document), *self._readings(DAY)]

    async def share(self, client: httpx.AsyncClient) -> None:
        """Hand over everything that is waiting, and fetch everything that is new."""
        while True:
            piece, self._ahead = self._ahead[:MOST], self._ahead[MOST:]
            more = await self._asked(client, piece)
            if not more and not self._ahead:
                return

    async def day(self, client: httpx.AsyncClient) -> None:
        """Share the day, then a few readings at a time."""
        await self.share(client)
        for _ in range(ROUNDS):
            self._ahead = self._readings(LATER)
            await self.share(client)

    async def _asked(self, client: httpx.AsyncClient, changes: list[Change]) -> bool:
        self.known |= {one.id for one in changes}
        message = {
            "protocol": PROTOCOL, "store": self.store, "device": self.device, "name": self.job, "mark": self.mark,
            "changes": [one.as_data() for one in changes],
        }  # fmt: skip
        start = time.perf_counter()
        answer = await client.post(
            "/sync", json=message, headers={"authorization": f"Bearer {self.secret}"}, timeout=PATIENCE
        )
        self.took.append(time.perf_counter() - start)
        said = answer.json()
        if answer.status_code != 200 or said.get("problem") or said.get("refused"):
            self.wrong.append(f"{answer.status_code} {said.get('problem') or said.get('refused')}")
            return False
        self.store = said["store"]
        if said.get("begin_again"):
            self.mark, self._ahead = [0, ""], [*changes, *self._ahead]
            return True
        self.mark = said["mark"]
        return bool(said["more"])

    def _readings(self, count: int) -> list[Change]:
        at = datetime.now(UTC).isoformat()
        return [
            self._change(
                "append", "readings.entries", {"id": new_id(), "what": "tick", "at": at, "item": "hood"}
            )
            for _ in range(count)
        ]

    def _change(self, do: Any, path: str, value: Any) -> Change:
        self._number += 1
        return Change(
            new_id(), self.job, self._number, datetime.now(UTC), self.device, self.job, do, path, value
        )


def main() -> int:
    """Measure on each database and print what was found."""
    wrong = 0
    with tempfile.TemporaryDirectory() as folder:
        wrong += measured("SQLite", Path(folder) / "jobs.sqlite3", Path(folder))
        found = programs()
        if found is None:
            print("PostgreSQL: no server's programs on this machine")
        else:
            database = Server(found)
            try:
                wrong += measured("PostgreSQL", database.fresh(), Path(folder))
            finally:
                database.close()
    return wrong


def measured(kind: str, where: Path | str, folder: Path) -> int:
    """Share twenty phones with a server on one database, and print it; returns how many answers were wrong."""
    phones = asyncio.run(_phones(where))
    with _served(where, folder) as address:
        began = time.perf_counter()
        asyncio.run(_all_at_once(phones, address))
        seconds = time.perf_counter() - began
    took = sorted(one for phone in phones for one in phone.took)
    wrong = [one for phone in phones for one in phone.wrong]
    lost = asyncio.run(_lost(where, phones))
    print(
        f"{kind}: {len(took)} exchanges of {len(phones)} phones in {seconds:.1f} s, half within {median(took) * 1e3:.0f} ms,"
        f" 95 of 100 within {quantiles(took, n=20)[-1] * 1e3:.0f} ms, the longest {took[-1] * 1e3:.0f} ms;"
        f" {len(wrong)} errors, {lost} changes lost {wrong[:3] or ''}"
    )
    return len(wrong) + lost


async def _phones(where: Path | str) -> list[Phone]:
    jobs = Jobs(where)
    shop, phones = Shop(jobs), []
    for number in range(TECHNICIANS):
        async with shop.statements.writing() as run:
            person = await shop.people.add(run, f"t{number}", f"T {number}", "technician", "no password")
        _, secret = await shop.tokens.give("device", person.id, made_by=person.id)
        phones.append(Phone(number, secret))
    jobs.close()
    return phones


async def _all_at_once(phones: list[Phone], address: str) -> None:
    async with httpx.AsyncClient(
        base_url=address, limits=httpx.Limits(max_connections=TECHNICIANS)
    ) as client:
        await asyncio.gather(*(one.day(client) for one in phones))


async def _lost(where: Path | str, phones: list[Phone]) -> int:
    jobs = Jobs(where)
    kept = {row.id for row in await jobs.jobs()}
    there = {change.id for one in phones if one.job in kept for change in await jobs.changes(one.job)}
    jobs.close()
    return len(set().union(*(one.known for one in phones)) - there)


@contextmanager
def _served(where: Path | str, folder: Path) -> Iterator[str]:
    """Start a shop's server on a database, and end it."""
    with socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    named = ["--data", str(folder)] if isinstance(where, Path) else ["--database", where]
    command = [sys.executable, "-m", "ventwright", "serve", "--shop", "--port", str(port), *named]
    running = subprocess.Popen(command, stdout=subprocess.DEVNULL)  # noqa: S603 - our own program
    address = f"http://127.0.0.1:{port}"
    until = time.monotonic() + PATIENCE
    while True:
        try:
            httpx.get(f"{address}/manifest.webmanifest")
            break
        except httpx.TransportError:
            assert time.monotonic() < until, "the server does not start"
            time.sleep(0.05)
    yield address
    running.terminate()
    running.wait()


if __name__ == "__main__":
    sys.exit(bool(main()))
