"""The jobs of a store as one person sees them: what is not his is not there.

Every page and the exchange with a phone go through this, so that a page cannot show by mistake what a person may not see.
Each public method of Jobs is said here anew; one that is forgotten fails, and a test finds it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from ventwright.errors import Refusal, Refused
from ventwright.store.change import Change
from ventwright.store.history import History
from ventwright.store.jobs import Beside, Jobs, Listed
from ventwright.store.seeing import Seeing
from ventwright.store.seen_photos import SeenPhotos
from ventwright.store.sharing import own_id
from ventwright.store.shop import Shop
from ventwright.store.statements import Run, Statements

OF_JOB = re.compile(r"(?:standing|fleet|trends|unit in logs) of (.*)", re.DOTALL)
"""What is kept of a job for everybody who sees it; all other settings are a person's own."""


class SeenJobs(Jobs):
    """Jobs as one person sees them."""

    def __init__(self, shop: Shop, seeing: Seeing) -> None:  # what a store holds stays with the store
        self._shop, self._all, self.seeing = shop, shop.jobs, seeing
        self.photos = SeenPhotos(self, shop.jobs.photos)

    def close(self) -> None:
        """Leave the store open for the others."""

    def statements(self) -> Statements:
        """Refuse a way around.

        Raises
        ------
        Refused
            Always.
        """
        raise _not_yours()

    async def sees(self, job: str) -> bool:
        """Whether a job is there for this person."""
        who = self.seeing
        if who.sees_all or job in who.jobs:
            return True
        return bool(who.person) and await self._shop.holdings.has(who.person, job)

    async def refuse_unseen(self, job: str) -> None:
        """Say that a job is not here, in the words for one that is nowhere.

        Raises
        ------
        Refused
            This person does not see it.
        """
        if not await self.sees(job):
            raise Refused(Refusal("is no job here", "the id of a job in the list", given=job))

    async def create(
        self,
        document: Mapping[str, Any],
        *,
        device: str,
        by: str = "",
        at: datetime | None = None,
        beside: Beside | None = None,
    ) -> str:
        """Keep a new job; it is this person's."""
        self.refuse_entering()

        async def too(run: Run, new: tuple[Change, ...]) -> None:
            await self._made(run, new[0].job)
            await self._note_in(run, "opened a new job", new[0].job, "")
            if beside is not None:
                await beside(run, new)

        name = by or self.seeing.name
        return await self._all.create(document, device=device, by=name, at=at, beside=too)

    async def add(self, changes: Iterable[Change], *, beside: Beside | None = None) -> tuple[Change, ...]:
        """Add changes of this person's jobs, or of jobs that are not here yet and become his."""
        self.refuse_entering()
        given = tuple(changes)
        made = set[str]()
        for job in dict.fromkeys(one.job for one in given):
            if await self._is_kept(job):
                await self.refuse_unseen(job)
            else:
                made.add(job)

        async def too(run: Run, new: tuple[Change, ...]) -> None:
            for job in dict.fromkeys(one.job for one in new):
                if job in made:
                    await _refuse_taken(run, job, sum(one.job == job for one in new))
                    await self._made(run, job)
                await self._note_in(run, "entered", job, _said(new, job))
            if beside is not None:
                await beside(run, new)

        return await self._all.add(given, beside=too)

    async def changes(self, job: str) -> tuple[Change, ...]:
        """Return the changes of a job in order."""
        await self.refuse_unseen(job)
        return await self._all.changes(job)

    async def history(self, job: str) -> History:
        """Return the history of a job."""
        await self.refuse_unseen(job)
        return await self._all.history(job)

    async def document(self, job: str) -> dict[str, Any]:
        """Return the document of a job."""
        await self.refuse_unseen(job)
        return await self._all.document(job)

    async def row(self, job: str) -> Listed:
        """Return a job as a list shows it."""
        await self.refuse_unseen(job)
        return await self._all.row(job)

    async def last_number(self, job: str) -> int:
        """Return the greatest number of a change of a job."""
        await self.refuse_unseen(job)
        return await self._all.last_number(job)

    async def jobs(self, *, archived: bool = False, search: str = "") -> tuple[Listed, ...]:
        """Return this person's jobs."""
        found = await self._all.jobs(archived=archived, search=search)
        if self.seeing.sees_all:
            return found
        mine = self.seeing.jobs
        if self.seeing.person:
            mine |= await self._shop.holdings.jobs_of(self.seeing.person)
        return tuple(row for row in found if row.id in mine)

    async def archive(self, job: str) -> None:
        """Put a job aside for everybody."""
        await self._may_enter(job)
        await self._all.archive(job)
        await self.note("put in the archive", job)

    async def unarchive(self, job: str) -> None:
        """Take a job back into the list for everybody."""
        await self._may_enter(job)
        await self._all.unarchive(job)
        await self.note("took out of the archive", job)

    async def setting(self, name: str, default: Any = None) -> Any:
        """Return what this person set; how far a phone came is marked by what this person sees."""
        if name == "store id":
            return await self._store_id()
        if of_job := OF_JOB.fullmatch(name):
            seen = await self.sees(of_job[1])
            return await self._all.setting(name, default) if seen else default
        if not self.seeing.person:
            return self.seeing.units or default if name == "units" else default
        found = await self._all.setting(f"{self.seeing.person}: {name}", default)
        return self.seeing.name if name == "technician" and not found else found

    async def set_setting(self, name: str, value: Any) -> None:
        """Keep what this person sets."""
        if of_job := OF_JOB.fullmatch(name):
            await self.refuse_unseen(of_job[1])
            await self._all.set_setting(name, value)
            return
        self.refuse_entering()
        await self._all.set_setting(f"{self.seeing.person}: {name}", value)

    async def change_setting(self, name: str, change: Callable[[Any], Any]) -> Any:
        """Keep what follows from what this person set before."""
        self.refuse_entering()
        return await self._all.change_setting(f"{self.seeing.person}: {name}", change)

    async def put_file(self, name: str, content: bytes, job: str = "") -> None:
        """Keep a file of a job of this person's, or as a reviewer one of all jobs."""
        await self._may_change_file(job)
        await self._all.put_file(name, content, job)
        await self.note("kept a file", job, name)

    async def take_file(self, name: str, job: str = "") -> None:
        """Take such a file away."""
        await self._may_change_file(job)
        await self._all.take_file(name, job)
        await self.note("took a file away", job, name)

    async def own_files(self, job: str = "") -> dict[str, bytes]:
        """Return the files of all jobs, or those that a job sees."""
        if job:
            await self.refuse_unseen(job)
        return await self._all.own_files(job)

    async def folder(self, job: str = "") -> Path:
        """Return a folder with the files that a job sees."""
        if job:
            await self.refuse_unseen(job)
        return await self._all.folder(job)

    async def arrived_after(self, mark: int, most: int = 500) -> tuple[tuple[int, Change], ...]:
        """Return changes of this person's jobs that came in after a mark."""
        if self.seeing.sees_all:
            return await self._all.arrived_after(mark, most)
        marks = await self._shop.holdings.marks_after(self.seeing.person, mark, most)
        found = list[tuple[int, Change]]()
        for first, last in _runs(marks):
            found += await self._all.arrived_after(first - 1, last - first + 1)
        wanted = set(marks)
        return tuple(one for one in found if one[0] in wanted)

    async def count_after(self, mark: int) -> int:
        """Return how many changes of this person's jobs came in after a mark."""
        if self.seeing.sees_all:
            return await self._all.count_after(mark)
        return await self._shop.holdings.count_after(self.seeing.person, mark)

    async def size(self) -> int:
        """Return how many bytes the whole store takes."""
        return await self._all.size()

    async def note(self, what: str, job: str = "", detail: str = "", *, once_an_hour: bool = False) -> None:
        """Note what this person did."""
        who = self.seeing
        await self._shop.trail.note(
            what, person=who.person, name=who.name, job=job, detail=detail, address=who.address, once_an_hour=once_an_hour
        )  # fmt: skip

    def refuse_entering(self) -> None:
        """Refuse to change anything for whoever may only read.

        Raises
        ------
        Refused
            This person may only read.
        """
        if not self.seeing.enters:
            raise _not_yours()

    async def _may_enter(self, job: str) -> None:
        self.refuse_entering()
        await self.refuse_unseen(job)

    async def _may_change_file(self, job: str) -> None:
        self.refuse_entering()
        if job:
            await self.refuse_unseen(job)
        elif not self.seeing.sees_all:
            raise Refused(Refusal("is for reviewers: it changes every job", "a reviewer's account", "shelf"))

    async def _is_kept(self, job: str) -> bool:
        try:
            await self._all.row(job)
        except Refused:
            return False
        return True

    async def _made(self, run: Run, job: str) -> None:
        await self._shop.holdings.hold(run, job, self.seeing.person, made_by=self.seeing.person)

    async def _note_in(self, run: Run, what: str, job: str, detail: str) -> None:
        who = self.seeing
        by = f" ({who.device})" if who.device else ""
        await self._shop.trail.write(
            run, what, person=who.person, name=who.name, job=job, detail=detail + by, address=who.address
        )

    async def _store_id(self) -> str:
        """Return the store's id with a mark of what this person sees: when that changes a phone asks for all anew."""
        known = await own_id(self._all)
        if self.seeing.sees_all:
            return f"{known}.all"
        return f"{known}.{self.seeing.person[:8]}.{await self._shop.holdings.count(self.seeing.person)}"


async def _refuse_taken(run: Run, job: str, new: int) -> None:
    """Refuse a job that somebody else began between the look whether it is here and the transaction that adds to it."""
    held = await run("select count(*) from change where job = ?", job)
    if held != (new,):
        raise Refused(Refusal("is no job here", "the id of a job in the list", given=job))


def _said(changes: Iterable[Change], job: str) -> str:
    """Say how many changes of a job there are, and of which places."""
    places = [f"{one.do} {one.path or 'the document'}" for one in changes if one.job == job]
    return f"{len(places)}: {', '.join(dict.fromkeys(places))}"


def _runs(marks: list[int]) -> list[tuple[int, int]]:
    """Return the first and last of every unbroken row of numbers."""
    runs = list[tuple[int, int]]()
    for mark in marks:
        if runs and runs[-1][1] == mark - 1:
            runs[-1] = runs[-1][0], mark
        else:
            runs.append((mark, mark))
    return runs


def _not_yours() -> Refused:
    return Refused(Refusal("is not for whoever looks at this", "an account that may", "this"))
