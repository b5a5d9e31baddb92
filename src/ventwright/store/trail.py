"""Who did what, and how often something was tried: rows that are only ever added, and counts by stretches of time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from hashlib import sha256

from ventwright.store.change import new_id
from ventwright.store.statements import Run, Statements, as_text

LONGEST = 2000
"""Letters of what is noted beside an action."""

_NOTE = (
    "insert into trail (id, at, person, name, what, job, detail, address) values (?, ?, ?, ?, ?, ?, ?, ?)"
    " on conflict do nothing"
)

KEPT_STRETCHES = timedelta(days=2)
"""Counts of tries older than this are forgotten."""


@dataclass(frozen=True, slots=True)
class Done:
    """Something that somebody did. ``name`` is what that person was called then."""

    id: str
    at: datetime
    person: str
    name: str
    what: str
    job: str
    detail: str
    address: str


class Trail:
    """What was done in one store."""

    def __init__(self, statements: Statements, clock: Callable[[], datetime]) -> None:
        self._statements, self._clock = statements, clock

    async def note(
        self,
        what: str,
        *,
        person: str = "",
        name: str = "",
        job: str = "",
        detail: str = "",
        address: str = "",
        once_an_hour: bool = False,
    ) -> None:
        """Note that something was done.

        Parameters
        ----------
        once_an_hour
            The same of the same person is noted once in each hour.
        """
        now = self._clock()
        hour = f"{what}\n{person}\n{job}\n{detail}\n{address}\n{as_text(now)[:13]}"
        id_ = sha256(hour.encode()).hexdigest()[:32] if once_an_hour else new_id()
        if once_an_hour and await self._statements.row("select id from trail where id = ?", id_):
            return
        given = (id_, as_text(now), person, name, what, job, detail[:LONGEST], address)
        await self._statements.write(_NOTE, *given)

    async def write(
        self, run: Run, what: str, *, person: str, name: str, job: str, detail: str, address: str
    ) -> None:
        """Note that something was done, inside the transaction that does it."""
        given = (new_id(), as_text(self._clock()), person, name, what, job, detail[:LONGEST], address)
        await run(_NOTE, *given)

    async def done(
        self, *, person: str = "", job: str = "", before: str = "", most: int = 100
    ) -> tuple[Done, ...]:
        """Return what was done, the latest first.

        Parameters
        ----------
        before
            A moment as text; left out, up to now.
        """
        found = await self._statements.rows(
            "select id, at, person, name, what, job, detail, address from trail"
            " where (? = '' or person = ?) and (? = '' or job = ?) and (? = '' or at < ?)"
            " order by at desc, id limit ?",
            person,
            person,
            job,
            job,
            before,
            before,
            most,
        )
        return tuple(Done(row[0], datetime.fromisoformat(row[1]), *row[2:]) for row in found)


class Tries:
    """How often something was tried, counted in the store so that several processes count together."""

    def __init__(self, statements: Statements, clock: Callable[[], datetime]) -> None:
        self._statements, self._clock = statements, clock

    async def count(self, what: str, stretch: timedelta) -> int:
        """Count one more try in the present stretch of time, and return how many there were in it."""
        number = self._stretch(stretch)
        async with self._statements.writing() as run:
            found = await run(
                "insert into tries (what, stretch, count) values (?, ?, 1)"
                " on conflict (what, stretch) do update set count = tries.count + 1 returning count",
                what,
                number,
            )
            if found and found[0] == 1:
                oldest = int((self._clock() - KEPT_STRETCHES).timestamp())
                await run("delete from tries where stretch < ?", oldest)
        return int(found[0]) if found else 1

    def _stretch(self, stretch: timedelta) -> int:
        """Return the second in which the present stretch of time began."""
        now, length = int(self._clock().astimezone(UTC).timestamp()), int(stretch.total_seconds())
        return now - now % length
