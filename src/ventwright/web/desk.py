"""A job as the pages see it: opened with everything that follows from it, and changed one durable entry at a time."""

from __future__ import annotations

import copy
import json
from collections import Counter, OrderedDict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta, timezone
from hashlib import sha256
from pathlib import Path
from typing import Any

from ventwright.errors import Refusal, Refused
from ventwright.job import Job, Worked, read_job, work
from ventwright.quantity import System
from ventwright.store.change import Change, new_id
from ventwright.store.checking import checked
from ventwright.store.history import Conflict, History, Pen
from ventwright.store.jobs import Jobs
from ventwright.verdict.prove import Proof, prove
from ventwright.web.step import Add, BringBack, Put, Step, TakeBack, write_step
from ventwright.web.work import Work

KEPT_OPEN = 64
"""Jobs whose results are kept in memory."""


@dataclass(frozen=True, slots=True)
class Opened:
    """A job at one revision. ``worked`` is None while it lacks what ``lacking`` names."""

    id: str
    revision: int
    document: Mapping[str, Any]
    worked: Worked | None
    lacking: tuple[Refusal, ...]
    conflicts: tuple[Conflict, ...]
    folder: Path
    system: System
    archived: bool = False

    @property
    def tag(self) -> str:
        """The unit's tag, as the head of every page shows it."""
        return str(self.facts.get("unit", {}).get("tag") or "unit")

    @property
    def site(self) -> str:
        """What people call the site."""
        return str(self.facts.get("site", {}).get("name") or "")

    @property
    def invented(self) -> bool:
        """Whether the job is an example."""
        return bool(self.document.get("invented"))

    @property
    def practice(self) -> str:
        """Code of the practice roof that the job plays on; empty for a real unit."""
        return str(self.document.get("practice") or "")

    @property
    def facts(self) -> Mapping[str, Any]:
        """The first section of the document, as it was typed."""
        held: Mapping[str, Any] = self.document.get("facts") or {}
        return held

    @property
    def entries(self) -> Sequence[Mapping[str, Any]]:
        """Every reading, as it was typed, in the order of entry."""
        held: Sequence[Mapping[str, Any]] = (self.document.get("readings") or {}).get("entries") or ()
        return held

    @property
    def photos(self) -> Sequence[Mapping[str, Any]]:
        """What is said of every photo, in the order in which they came."""
        held: Sequence[Mapping[str, Any]] = (self.document.get("readings") or {}).get("photos") or ()
        return held

    def photos_at(self, stage: str, step: str) -> list[Mapping[str, Any]]:
        """Return the photos of one step; at the head of a stage those of all its steps."""
        return [
            one for one in self.photos if one.get("stage") == stage and (not step or one.get("step") == step)
        ]


class NoSuchJob(LookupError):
    """No job of this id is kept here."""


class Desk:
    """Opens jobs and enters changes. One for an application."""

    def __init__(self, jobs: Jobs, doing: Work, device: str) -> None:
        self.jobs = jobs
        self.work = doing
        self.device = device
        self._by = ""
        self._proofs: OrderedDict[tuple[str, int, str], Proof] = OrderedDict()
        self._kept: OrderedDict[tuple[str, int, str], tuple[Worked | None, tuple[Refusal, ...]]] = (
            OrderedDict()
        )

    def through(self, jobs: Jobs, *, by: str) -> Desk:
        """Return a desk that sees the jobs as somebody does and shares what was worked out.

        Parameters
        ----------
        jobs
            The jobs as they are seen.
        by
            Who enters something, where nobody else is named.
        """
        other = copy.copy(self)
        other.jobs, other._by = jobs, by  # noqa: SLF001 - of its own kind
        return other

    async def system(self) -> System:
        """Units of the screens, a choice of the person who uses this device."""
        return "si" if await self.jobs.setting("units") == "si" else "us"

    async def begin_in_si(self) -> None:
        """Turn the screens to SI for somebody whose first job is in SI; a choice that was made stands."""
        if await self.jobs.setting("units") is None:
            await self.jobs.set_setting("units", "si")

    async def open(self, job: str) -> Opened:
        """Open a job.

        Raises
        ------
        NoSuchJob
            None of this id is kept here.
        """
        try:
            row = await self.jobs.row(job)
        except Refused:
            raise NoSuchJob(job) from None
        history, folder = await self.jobs.history(job), await self.jobs.folder(job)
        document = history.document
        worked, lacking = await self._worked(job, row.revision, document, folder)
        return Opened(
            job,
            row.revision,
            document,
            worked,
            lacking,
            history.conflicts,
            folder,
            await self.system(),
            row.archived,
        )

    async def _worked(
        self, job: str, revision: int, document: Mapping[str, Any], folder: Path
    ) -> tuple[Worked | None, tuple[Refusal, ...]]:
        """Work a job out once for every revision, and for every set of own files beside it."""
        key = (job, revision, str(folder))
        if key not in self._kept:
            self._kept[key] = await self.work.now(worked_or_lacking, document, folder)
            while len(self._kept) > KEPT_OPEN:
                self._kept.popitem(last=False)
        self._kept.move_to_end(key)
        return self._kept[key]

    async def proof(self, opened: Opened) -> Proof | None:
        """Return how the functional tests stand, worked out once for a revision; None while facts are lacking."""
        if opened.worked is None:
            return None
        key = (opened.id, opened.revision, str(opened.folder))
        if key not in self._proofs:
            self._proofs[key] = await self.work.now(proved, opened.worked)
            while len(self._proofs) > KEPT_OPEN:
                self._proofs.popitem(last=False)
        self._proofs.move_to_end(key)
        return self._proofs[key]

    async def enter(
        self, opened: Opened, steps: Sequence[Step], *, once: str = "", by: str = ""
    ) -> list[str]:
        """Enter changes, all or none, and return their ids; what is entered is durable when this returns.

        Parameters
        ----------
        once
            An id made where the form was filled in: the same form sent twice is entered once.

        Raises
        ------
        Refused
            The document with the changes in it would hold a mistake that it does not hold now.
        """
        if not steps:
            return []
        before, history = await self.jobs.row(opened.id), await self.jobs.history(opened.id)  # in this order
        pen = Pen(history, device=self.device, by=by or self._by)
        for step in steps:
            write_step(pen, step)
        if not pen.changes:
            return []  # what should come back has come back already
        changes = _named(pen.changes, once)
        if changes[-1].id in {one.id for one in history.changes}:
            return [one.id for one in changes]  # the same form once more
        folder = await self.jobs.folder(opened.id)
        found = await self.work.now(checked_and_worked, history, changes, folder)
        await self.jobs.add(changes)
        row = await self.jobs.row(opened.id)
        if row.revision == before.revision + 1:  # nobody else entered anything meanwhile
            self._kept[opened.id, row.revision, str(folder)] = found
        return [one.id for one in changes]


def _named(changes: Sequence[Change], once: str) -> tuple[Change, ...]:
    """Name changes after the form they came from and what they say, so that the same form gives the same ids.

    A form that was sent, brought back and filled in otherwise gives others: it is entered too.
    """
    names: dict[str, str] = {}
    counted: Counter[str] = Counter()  # a form sent again opens no visit: places count, not steps
    for one in changes:
        counted[one.path] += 1
        number = counted[one.path]
        said = json.dumps([once or new_id(), number, one.do, one.path, _timeless(one.value)], sort_keys=True)
        names[one.id] = sha256(said.encode()).hexdigest()[:32]
    return tuple(
        replace(one, id=names[one.id], over=tuple(names.get(known, known) for known in one.over))
        for one in changes
    )


def _timeless(value: Any) -> Any:
    """Return an entry without what is made anew each time a form is sent."""
    return (
        {key: held for key, held in value.items() if key not in MADE_ANEW}
        if isinstance(value, dict)
        else value
    )


MADE_ANEW = frozenset({"id", "at", "visit", "started"})


def worked_or_lacking(document: Mapping[str, Any], folder: Path) -> tuple[Worked | None, tuple[Refusal, ...]]:
    """Work a job out, or name what it lacks; the same pure function on a server and in a browser."""
    try:
        job: Job = read_job(dict(document), beside=folder)
        return work(job, folder), ()
    except Refused as refused:
        return None, refused.refusals


def proved(worked: Worked) -> Proof:
    """Hold the functional tests of a job against what was seen."""
    return prove(worked.job.facts, worked.plan, worked.job.readings, worked.verdicts)


def checked_and_worked(
    before: History, changes: Sequence[Change], folder: Path
) -> tuple[Worked | None, tuple[Refusal, ...]]:
    """Check changes and work out the job with them.

    Raises
    ------
    Refused
        They add a mistake to the job.
    """
    return worked_or_lacking(checked(before, changes, folder).document, folder)


def local_now(offset_minutes: str) -> datetime:
    """Return the present time at the device's own offset from UTC; the server's where the device did not say."""
    try:
        zone = timezone(timedelta(minutes=max(-1439, min(1439, int(offset_minutes)))))
    except ValueError:
        return datetime.now(UTC).astimezone()
    return datetime.now(UTC).astimezone(zone)


__all__ = [
    "Add",
    "BringBack",
    "Desk",
    "NoSuchJob",
    "Opened",
    "Put",
    "Step",
    "TakeBack",
    "local_now",
    "new_id",
]
