"""The jobs of one store: an append-only list of changes for each, settings and files of the person's own.

The methods are async and use no threads: a statement takes a fraction of a millisecond to a few, and none is awaited
in the middle of a transaction. What a method acknowledges is on the disk.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Awaitable, Callable, Iterable, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from ventwright.errors import Refusal, Refused
from ventwright.store import rows
from ventwright.store.change import Change, new_id, refuse_unfit
from ventwright.store.database import opened, told, writing
from ventwright.store.exchange import first_changes
from ventwright.store.history import History, Pen
from ventwright.store.own_files import Folders, refuse_file
from ventwright.store.photos import Photos

HELD = 32
"""Histories kept in memory, those used last; our own assumption."""

OnWrite = Callable[[], Awaitable[None]]


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
    """All jobs of one database file."""

    def __init__(self, path: Path | str, *, on_write: OnWrite | None = None) -> None:
        """Open the file, made where there is none.

        Parameters
        ----------
        path
            The database file.
        on_write
            Awaited after every write before it is acknowledged; the whole database is then in the one file, to be
            copied to where it lasts.

        Raises
        ------
        Refused
            The file is damaged, of a newer Ventwright or of another program, or cannot be written.
        """
        self.path = Path(path)
        self._on_write = on_write
        self._database = opened(self.path, one_file=on_write is not None)
        self._held: OrderedDict[str, tuple[int, History]] = OrderedDict()
        self._folders = Folders()
        self.photos = Photos(self._database, self.path, self._writing, self._written)

    def close(self) -> None:
        """Close the file, and take away the folders that were made for equipment files."""
        self._folders.close()
        self._database.close()

    async def create(
        self, document: Mapping[str, Any], *, device: str, by: str = "", at: datetime | None = None
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
        with self._writing():
            if rows.listed(self._database, job) is not None:
                accepted = "the two merged, or this one as a copy with an id of its own"
                raise Refused(Refusal("is a job that is here already", accepted, "id", job))
            self._insert(pen.changes)
        await self._written()
        return job

    async def add(self, changes: Iterable[Change]) -> tuple[Change, ...]:
        """Add changes of any jobs and return those that were new; one that is here already is left as it is.

        Raises
        ------
        Refused
            One is unfit, or another change is here under its id; then none is added.
        """
        given = tuple(changes)
        for change in given:
            refuse_unfit(change)
        with self._writing():
            new = self._insert(given)
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
        with told(self.path):
            revision = self._listed(job).revision
            held = self._held.get(job)
            if held is None or held[0] != revision:
                held = revision, History(job, rows.changes_of(self._database, job))
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
        with told(self.path):
            return self._listed(job)

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
        with told(self.path):
            found = rows.all_listed(self._database, search.casefold().split())
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
        with told(self.path):
            return rows.setting(self._database, name, default)

    async def set_setting(self, name: str, value: Any) -> None:
        """Keep a JSON value under a name; None takes it away."""
        with self._writing():
            rows.put_setting(self._database, name, value)
        await self._written()

    async def put_file(self, name: str, content: bytes, job: str = "") -> None:
        """Keep an equipment or weather file of the person's own, for one job or for all.

        Raises
        ------
        Refused
            The name or the size is none for such a file.
        """
        refuse_file(name, content)
        with self._writing():
            rows.put_file(self._database, job, name, content)
        await self._written()

    async def take_file(self, name: str, job: str = "") -> None:
        """Take such a file away; one that is not there stays away."""
        with self._writing():
            rows.put_file(self._database, job, name, None)
        await self._written()

    async def own_files(self, job: str = "") -> dict[str, bytes]:
        """Return the files of all jobs, or those that a job sees: its own, and those of all jobs beside them."""
        with told(self.path):
            return rows.files_for(self._database, job)

    async def folder(self, job: str = "") -> Path:
        """Return a folder with the files that a job sees and nothing else, to be handed on as ``beside``.

        Other files have another folder, so that what was computed beside one stays true of it.
        """
        return self._folders.holding(await self.own_files(job))

    async def arrived_after(self, mark: int, most: int = 500) -> tuple[tuple[int, Change], ...]:
        """Return changes of all jobs that came into this store after a mark, in that order, each with its own mark."""
        with told(self.path):
            return rows.arrived_after(self._database, mark, most)

    async def count_after(self, mark: int) -> int:
        """Return how many changes of all jobs came into this store after a mark."""
        with told(self.path):
            return rows.count_after(self._database, mark)

    def _writing(self) -> AbstractContextManager[None]:
        return writing(self._database, self.path)

    async def _written(self) -> None:
        if self._on_write is not None:
            await self._on_write()

    def _listed(self, job: str) -> Listed:
        row = rows.listed(self._database, job)
        if row is None:
            raise Refused(Refusal("is no job here", "the id of a job in the list", given=job))
        return Listed(**row)

    def _insert(self, changes: Sequence[Change]) -> tuple[Change, ...]:
        """Insert what is new and bring the list up to date, inside a transaction."""
        new = rows.insert_changes(self._database, changes)
        for job in dict.fromkeys(change.job for change in new):
            rows.relist(self._database, job, [change for change in new if change.job == job])
        return new

    async def _put_aside(self, job: str, when: datetime | None) -> None:
        with self._writing():
            self._listed(job)
            rows.put_aside(self._database, job, when)
        await self._written()
