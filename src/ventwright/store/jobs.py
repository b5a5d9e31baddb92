"""The jobs of one store: an append-only list of changes for each, settings and files of the person's own.

The methods are async and use no threads: in a file a statement takes a fraction of a millisecond to a few, and on a server
others go on meanwhile. What a method acknowledges is on the disk.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Awaitable, Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from ventwright.errors import Refusal, Refused
from ventwright.store import rows
from ventwright.store.change import Change, new_id, refuse_unfit
from ventwright.store.database import Returned, Rows, Work, database_at
from ventwright.store.exchange import first_changes
from ventwright.store.history import History, Pen
from ventwright.store.own_files import Folders, refuse_file
from ventwright.store.photos import Photos
from ventwright.store.statements import Run, Statements, run_on

HELD = 32
"""Histories kept in memory, those used last; our own assumption."""

OnWrite = Callable[[], Awaitable[None]]

Beside = Callable[[Run, "tuple[Change, ...]"], Awaitable[None]]
"""Writes what belongs to changes that are new, in the transaction that keeps them."""


@dataclass(frozen=True, slots=True)
class Listed:
    """A job as a list shows it. ``revision`` changes with the job's changes and never comes again."""

    id: str
    site: str
    tag: str
    created: datetime
    updated: datetime
    archived: bool
    revision: int
    last_number: int


class Jobs:
    """All jobs of one database."""

    def __init__(self, where: Path | str, *, on_write: OnWrite | None = None) -> None:
        """Open the database, made where there is none.

        Parameters
        ----------
        where
            A file, or the address of a PostgreSQL database, ``postgresql://…``.
        on_write
            Awaited after every write before it is acknowledged; the whole database is then in the one file, to be
            copied to where it lasts.

        Raises
        ------
        Refused
            It is damaged, of a newer Ventwright or of another program, cannot be written or does not answer.
        """
        self._on_write = on_write
        self.database = database_at(where, one_file=on_write is not None)
        self._held: OrderedDict[str, tuple[int, History]] = OrderedDict()
        self._folders = Folders()
        self.photos = Photos(self.database, self._written)

    def close(self) -> None:
        """Let go of the database, and take away the folders that were made for equipment files."""
        self._folders.close()
        self.database.close()

    def statements(self) -> Statements:
        """Return a way to the tables of this store that other modules know."""
        return Statements(self.database, self._written)

    async def create(
        self,
        document: Mapping[str, Any],
        *,
        device: str,
        by: str = "",
        at: datetime | None = None,
        beside: Beside | None = None,
    ) -> str:
        """Keep a new job and return its id: the document's own, or one made here.

        Raises
        ------
        Refused
            A job of this id is here already, or the document is none that can be kept.
        """
        job = document.get("id") or new_id()
        if not isinstance(job, str):
            raise Refused(Refusal("is no id of a job", "a text", "id", str(job)))
        pen = Pen(History(job), device=device, by=by, at=at)
        first_changes(pen, {**document, "id": job})

        async def made(at: Rows) -> None:
            if await rows.listed(at, job) is not None:
                accepted = "the two merged, or this one as a copy with an id of its own"
                raise Refused(Refusal("is a job that is here already", accepted, "id", job))
            await _insert(at, pen.changes, beside)

        await self._write(made)
        return job

    async def add(self, changes: Iterable[Change], *, beside: Beside | None = None) -> tuple[Change, ...]:
        """Add changes of any jobs and return those that were new; one that is here already is left as it is.

        Raises
        ------
        Refused
            One is unfit, or another change is here under its id; then none is added.
        """
        given = tuple(changes)
        for change in given:
            refuse_unfit(change)
        new = await self.database.write(lambda at: _insert(at, given, beside))
        if new:
            await self._written()
        return new

    async def changes(self, job: str) -> tuple[Change, ...]:
        """Return the changes of a job in order.

        Raises
        ------
        Refused
            No such job is here.
        """
        return (await self.history(job)).changes

    async def history(self, job: str) -> History:
        """Return the history of a job, kept in memory while its revision stays the same.

        Raises
        ------
        Refused
            No such job is here.
        """
        revision = (
            await self.row(job)
        ).revision  # first: changes that come in meanwhile are then asked for again
        held = self._held.get(job)
        if held is None or held[0] != revision:
            held = revision, History(job, await self.database.read(lambda at: rows.changes_of(at, job)))
            self._held[job] = held
        self._held.move_to_end(job)
        while len(self._held) > HELD:
            self._held.popitem(last=False)
        return held[1]

    async def document(self, job: str) -> dict[str, Any]:
        """Return the document of a job, made anew for whoever asks.

        Raises
        ------
        Refused
            No such job is here.
        """
        return (await self.history(job)).document

    async def row(self, job: str) -> Listed:
        """Return a job as a list shows it; its revision is a cheap mark of whether anything was added.

        Raises
        ------
        Refused
            No such job is here.
        """
        return await self.database.read(lambda at: _row(at, job))

    async def last_number(self, job: str) -> int:
        """Return the greatest number of a change of a job.

        Raises
        ------
        Refused
            No such job is here.
        """
        return (await self.row(job)).last_number

    async def jobs(self, *, archived: bool = False, search: str = "") -> tuple[Listed, ...]:
        """Return the jobs here, or those put aside; the one changed last comes first.

        Parameters
        ----------
        archived
            Those that were put aside, instead of those that were not.
        search
            Words that all must stand in the site, its address, the tag or what the unit serves.
        """
        words = search.casefold().split()
        found = await self.database.read(lambda at: rows.all_listed(at, words))
        return tuple(Listed(**row) for row in found if row["archived"] == archived)

    async def archive(self, job: str) -> None:
        """Put a job aside in this store.

        This is no change of the job: a phone that clears its list must not take the job from the shop's.

        Raises
        ------
        Refused
            No such job is here.
        """
        await self._put_aside(job, datetime.now(UTC))

    async def unarchive(self, job: str) -> None:
        """Take a job back into the list of this store.

        Raises
        ------
        Refused
            No such job is here.
        """
        await self._put_aside(job, None)

    async def setting(self, name: str, default: Any = None) -> Any:
        """Return what is set under a name in this store, such as units or instruments."""
        return await self.database.read(lambda at: rows.setting(at, name, default))

    async def set_setting(self, name: str, value: Any) -> None:
        """Keep a JSON value under a name; None takes it away."""
        await self._write(lambda at: rows.put_setting(at, name, value))

    async def change_setting(self, name: str, change: Callable[[Any], Any]) -> Any:
        """Keep under a name what follows from what is kept there, None where nothing is, and return it.

        Nobody else writes between the two; ``change`` may be asked again after a connection broke.
        """

        async def changed(at: Rows) -> Any:
            value = change(await rows.setting(at, name, None))
            await rows.put_setting(at, name, value)
            return value

        return await self._write(changed)

    async def put_file(self, name: str, content: bytes, job: str = "") -> None:
        """Keep an equipment or weather file of the person's own, for one job or for all.

        Raises
        ------
        Refused
            The name or the size is none for such a file.
        """
        refuse_file(name, content)
        await self._write(lambda at: rows.put_file(at, job, name, content))

    async def take_file(self, name: str, job: str = "") -> None:
        """Take such a file away; one that is not there stays away."""
        await self._write(lambda at: rows.put_file(at, job, name, None))

    async def own_files(self, job: str = "") -> dict[str, bytes]:
        """Return the files of all jobs, or those that a job sees: its own, and those of all jobs beside them."""
        return await self.database.read(lambda at: rows.files_for(at, job))

    async def folder(self, job: str = "") -> Path:
        """Return a folder with the files that a job sees and nothing else, to be handed on as ``beside``.

        Other files have another folder, so that what was computed beside one stays true of it.
        """
        return self._folders.holding(await self.own_files(job))

    async def arrived_after(self, mark: int, most: int = 500) -> tuple[tuple[int, Change], ...]:
        """Return changes of all jobs that came into this store after a mark, in that order, each with its own mark."""
        return await self.database.read(lambda at: rows.arrived_after(at, mark, most))

    async def count_after(self, mark: int) -> int:
        """Return how many changes of all jobs came into this store after a mark."""
        return await self.database.read(lambda at: rows.count_after(at, mark))

    async def size(self) -> int:
        """Return how many bytes the store takes."""
        return await self.database.size()

    async def _write(self, work: Work[Returned]) -> Returned:
        done = await self.database.write(work)
        await self._written()
        return done

    async def _written(self) -> None:
        if self._on_write is not None:
            await self._on_write()

    async def _put_aside(self, job: str, when: datetime | None) -> None:
        async def noted(at: Rows) -> None:
            await _row(at, job)
            await rows.put_aside(at, job, when)

        await self._write(noted)


async def _row(at: Rows, job: str) -> Listed:
    row = await rows.listed(at, job)
    if row is None:
        raise Refused(Refusal("is no job here", "the id of a job in the list", given=job))
    return Listed(**row)


async def _insert(at: Rows, changes: Sequence[Change], beside: Beside | None) -> tuple[Change, ...]:
    """Insert what is new and bring the list up to date, inside a transaction."""
    new = await rows.insert_changes(at, changes)
    for job in dict.fromkeys(change.job for change in new):
        await rows.relist(at, job, [change for change in new if change.job == job])
    if beside is not None and new:
        await beside(run_on(at), new)
    return new
