"""Three devices that enter, share and break off at random: what a real week on three roofs does, only faster."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable
from copy import deepcopy
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any

from tests.either import At

from ventwright.store.file_sharing import OTHERS
from ventwright.store.history import Pen
from ventwright.store.jobs import Jobs
from ventwright.store.photo_sharing import spoken_of
from ventwright.store.photos import Picture
from ventwright.store.sharing import NoPeer, answered, share, shared

LOST = "lost on the way"

PICTURES = 600_000
"""Most bytes of a picture: three pieces on the way."""

DEVICES = ("server", "phone", "tablet")

FIRST = {"schema_version": 1, "id": "invented", "facts": {"unit": {"tag": "R-1"}, "site": {"name": "Nowhere"}}, "readings": {"entries": []}}  # fmt: skip


class Killed(Exception):
    """The device lost its power here."""


class History:
    """One week: three stores, a network that drops, doubles and delays, and clocks that are wrong."""

    def __init__(self, seed: int, folder: Path, at: At) -> None:
        self.random = Random(seed)  # noqa: S311 - a test's own chance
        self.places = {name: at(folder / f"{name}.sqlite3") for name in DEVICES}
        self.stores = {name: Jobs(self.places[name]) for name in DEVICES}
        self.clocks = {name: timedelta(hours=self.random.uniform(-90000, 90000)) for name in DEVICES}
        self.entered: set[str] = set()
        self.late: list[tuple[str, Any]] = []

    def close(self) -> None:
        """Close the stores."""
        for store in self.stores.values():
            store.close()

    async def week(self, steps: int) -> None:
        """Do things at random."""
        ways = [
            self.enter,
            self.enter,
            self.enter,
            self.meet,
            self.meet,
            self.restart,
            self.photograph,
            self.edit,
        ]
        await self.begin()
        for _ in range(steps):
            await self.random.choice(ways)()

    async def begin(self) -> None:
        """Open a job on one of the devices."""
        name = self.random.choice(DEVICES)
        job = await self.stores[name].create(FIRST, device=name, at=self.now(name))
        self.entered |= {one.id for one in await self.stores[name].changes(job)}

    def now(self, name: str) -> datetime:
        """Return the time as a device has it."""
        return datetime(2026, 6, 1, tzinfo=UTC) + self.clocks[name]

    async def enter(self) -> None:
        """Enter, change or take back something on a device that has the job."""
        name = self.random.choice(DEVICES)
        store = self.stores[name]
        if not await store.jobs():
            return
        pen = Pen(await store.history("invented"), device=name, at=self.now(name))
        for _ in range(self.random.randint(1, 4)):
            match self.random.randrange(4):
                case 0:
                    pen.put("facts.unit.tag", self.random.choice(["R-1", "R-2", None, "R-3"]))
                case 1:
                    pen.undo(self.random.choice(pen.history.changes[1:] or pen.history.changes[:1]).id)
                case _:
                    pen.append("readings.entries", {"kind": "tick", "note": str(self.random.random())})
        await store.add(pen.changes)
        self.entered |= {one.id for one in pen.changes}

    async def photograph(self) -> None:
        """Take a photo on a device that has the job: the picture beside it, what it shows in it."""
        name = self.random.choice(DEVICES)
        store = self.stores[name]
        if not await store.jobs():
            return
        size = self.random.choice([1, 5000, PICTURES])
        picture = Picture(self.random.randbytes(size), self.random.randbytes(50), 4, 3)
        await store.photos.keep("invented", picture)
        pen = Pen(await store.history("invented"), device=name, at=self.now(name))
        pen.append("readings.photos", {"id": picture.name, "caption": "blades"})
        await store.add(pen.changes)
        self.entered |= {one.id for one in pen.changes}

    async def edit(self) -> None:
        """Write an equipment file of one's own, or take it away, on one of the devices."""
        store, name = self.stores[self.random.choice(DEVICES)], self.random.choice(["kit.yaml", "board.yaml"])
        if self.random.random() < 0.2:
            await store.take_file(name)
        else:
            await store.put_file(name, f"kind: kit\nname: {self.random.random()}\n".encode())

    async def restart(self) -> None:
        """Start a device anew: what is in its file is there, nothing else."""
        name = self.random.choice(DEVICES)
        self.stores[name].close()
        self.stores[name] = Jobs(self.places[name])

    async def meet(self) -> None:
        """Have two devices share over a bad network; one of them may lose its power at any moment."""
        name, other = self.random.sample(DEVICES, 2)
        left = self.random.choice([1, 2, 3, 5, 8, 99])

        def tick() -> None:
            nonlocal left
            left -= 1
            if left < 0:
                raise Killed

        try:
            await share(Dying(self.stores[name], tick), other, self.network(other, tick))  # type: ignore[arg-type]
        except Killed:
            self.stores[name].close()
            self.stores[name] = Jobs(self.places[name])

    def network(self, other: str, tick: Callable[[], None]) -> Any:
        """Return a way to a device that loses, doubles and delays what goes over it."""

        async def send(message: dict[str, Any]) -> Any:
            tick()
            text = json.dumps(message)
            fate = self.random.random()
            if fate < 0.1:
                raise NoPeer(LOST)
            if fate < 0.2:
                self.late.append((other, text))  # it comes much later, and nobody hears the answer
                raise NoPeer(LOST)
            for _ in range(2 if fate < 0.35 else 1):
                answer = await answered(self.stores[other], json.loads(text))
            if self.late and self.random.random() < 0.5:
                where, old = self.late.pop(self.random.randrange(len(self.late)))
                await answered(self.stores[where], json.loads(old))
            if fate > 0.85:
                raise NoPeer(LOST)
            return json.loads(json.dumps(answer))

        return send

    async def settle(self) -> None:
        """At last everybody meets everybody, over a network that works."""
        for _ in range(3):
            for name in DEVICES[1:]:
                outcome = await share(self.stores[name], "server", self.plain("server"))
                assert not outcome.problem, outcome.problem
                assert (await shared(self.stores[name], "server")).waiting == 0

    def plain(self, other: str) -> Any:
        """Return a way that works."""

        async def send(message: dict[str, Any]) -> Any:
            return json.loads(json.dumps(await answered(self.stores[other], json.loads(json.dumps(message)))))

        return send

    async def lacking(self) -> list[str]:
        """Return what is not as it must be beside the job: pictures that lack somewhere, files that differ unsaid."""
        found = []
        for device, store in self.stores.items():
            spoken = await spoken_of(store)
            kept = await store.photos.names("invented") if spoken else frozenset()
            found += [f"{device} lacks picture {name[:8]}" for _, name in spoken if name not in kept]
        server = await self.stores["server"].own_files()
        for device in DEVICES[1:]:
            here = await self.stores[device].own_files()
            for name in here.keys() & server.keys():
                beside = here.get(name.replace(".yaml", f"{OTHERS}.yaml"))
                if OTHERS not in name and server[name] not in {here[name], beside}:
                    found.append(f"{device} has another {name} than the server, and does not say so")
        return found

    async def ends(self) -> list[tuple[frozenset[str], Any]]:
        """Return what every device has in the end: the changes and the document."""
        found = []
        for store in self.stores.values():
            changes = await store.changes("invented")
            found.append((frozenset(one.id for one in changes), deepcopy(await store.document("invented"))))
        return found


WRITES = {"add", "set_setting", "change_setting", "put_file", "keep", "add_part", "forget_parts"}


class Dying:
    """A store whose device may lose its power before or after any of its writes."""

    def __init__(self, store: Any, tick: Callable[[], None]) -> None:
        self._store, self._tick = store, tick

    def __getattr__(self, name: str) -> Any:
        held = getattr(self._store, name)
        if name == "photos":
            return Dying(held, self._tick)
        if name not in WRITES:
            return held

        async def writing(*given: Any, **named: Any) -> Any:
            self._tick()
            done = await held(*given, **named)
            self._tick()
            return done

        return writing


def run_history(seed: int, folder: Path, steps: int, at: At = Path) -> History:
    """Run one history to its end and check it: every device has every change, and the same document."""

    async def all_of_it(one: History) -> None:
        await one.week(steps)
        await one.settle()
        assert await one.lacking() == [], f"history {seed}"
        ends = await one.ends()
        assert ends[0] == ends[1] == ends[2], f"history {seed}: devices differ"
        assert ends[0][0] == one.entered, f"history {seed}: changes lost or made up"

    history = History(seed, folder, at)
    try:
        asyncio.run(all_of_it(history))
    finally:
        history.close()
    return history
