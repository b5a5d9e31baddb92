"""Whose jobs are whose, and which were looked at by a reviewer."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime

from ventwright.store.change import new_id
from ventwright.store.statements import Run, Statements, as_text


@dataclass(frozen=True, slots=True)
class Looked:
    """A reviewer's mark that a job was looked at, as it was at one revision."""

    job: str
    revision: int
    at: datetime
    person: str
    remark: str


class Holdings:
    """Which technician has which job, in one store."""

    def __init__(self, statements: Statements, clock: Callable[[], datetime]) -> None:
        self._statements, self._clock = statements, clock

    async def has(self, person: str, job: str) -> bool:
        """Whether somebody has a job."""
        return (
            await self._statements.row("select job from holding where job = ? and person = ?", job, person)
            is not None
        )

    async def jobs_of(self, person: str) -> frozenset[str]:
        """Return the jobs that somebody has."""
        found = await self._statements.rows("select job from holding where person = ?", person)
        return frozenset(row[0] for row in found)

    async def people_of(self, job: str) -> frozenset[str]:
        """Return those who have a job."""
        found = await self._statements.rows("select person from holding where job = ?", job)
        return frozenset(row[0] for row in found)

    async def all(self) -> dict[str, set[str]]:
        """Return who has which job, by job."""
        found = dict[str, set[str]]()
        for job, person in await self._statements.rows("select job, person from holding"):
            found.setdefault(job, set()).add(person)
        return found

    async def give(self, job: str, person: str, *, made_by: str) -> None:
        """Give somebody a job."""
        async with self._statements.writing() as run:
            if await self.hold(run, job, person, made_by=made_by):
                await run(_COUNT, person)

    async def hold(self, run: Run, job: str, person: str, *, made_by: str) -> bool:
        """Let somebody have a job that he has just made, inside a transaction; whether that is new.

        A phone knows the whole of such a job already, or gets it as it comes: it need not ask for all anew.
        """
        new = await run(
            "insert into holding (job, person, since, made_by) values (?, ?, ?, ?)"
            " on conflict do nothing returning job",
            job,
            person,
            as_text(self._clock()),
            made_by,
        )
        return new is not None

    async def take(self, job: str, person: str) -> None:
        """Take a job from somebody."""
        async with self._statements.writing() as run:
            await run("delete from holding where job = ? and person = ?", job, person)
            await run(_COUNT, person)

    async def count(self, person: str) -> int:
        """Return how often a job was given to somebody or taken: a mark of what that person sees."""
        found = await self._statements.row("select reached from holding_count where person = ?", person)
        return found[0] if found else 0

    async def marks_after(self, person: str, mark: int, most: int) -> list[int]:
        """Return the marks of arrival of changes of somebody's jobs that came after a mark."""
        found = await self._statements.rows(
            "select arrived from change where arrived > ? and job in (select job from holding where person = ?)"
            " order by arrived limit ?",
            mark,
            person,
            most,
        )
        return [row[0] for row in found]

    async def count_after(self, person: str, mark: int) -> int:
        """Return how many changes of somebody's jobs came after a mark."""
        found = await self._statements.row(
            "select count(*) from change where arrived > ?"
            " and job in (select job from holding where person = ?)",
            mark,
            person,
        )
        return found[0] if found else 0

    async def look(self, job: str, revision: int, person: str, remark: str) -> None:
        """Keep a reviewer's mark that a job was looked at."""
        await self._statements.write(
            "insert into looked (id, job, revision, at, person, remark) values (?, ?, ?, ?, ?, ?)",
            new_id(),
            job,
            revision,
            as_text(self._clock()),
            person,
            remark,
        )

    async def looked(self, jobs: Iterable[str]) -> dict[str, list[Looked]]:
        """Return the marks of jobs, the newest first."""
        wanted = set(jobs)
        found = dict[str, list[Looked]]()
        rows = await self._statements.rows(
            "select job, revision, at, person, remark from looked order by at desc, id"
        )
        for job, revision, at, person, remark in rows:
            if job in wanted:
                one = Looked(job, revision, datetime.fromisoformat(at), person, remark)
                found.setdefault(job, []).append(one)
        return found


_COUNT = (
    "insert into holding_count (person, reached) values (?, 1)"
    " on conflict (person) do update set reached = holding_count.reached + 1"
)
