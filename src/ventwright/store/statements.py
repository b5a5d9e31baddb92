"""Statements on the tables of a shop: read, and written in one transaction that is on the disk before it ends."""

from __future__ import annotations

from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from datetime import UTC, datetime
from typing import Any

from ventwright.store.database import Database, Rows

Row = tuple[Any, ...]
Run = Callable[..., Awaitable["Row | None"]]
"""Runs a statement with what it is given, and returns the first row that it gives back."""


class Statements:
    """SQL that every database here takes, with question marks for what is given."""

    def __init__(self, database: Database, written: Callable[[], Awaitable[None]]) -> None:
        self._database, self._written = database, written

    async def rows(self, sql: str, *given: Any) -> list[Row]:
        """Return all rows of a question."""
        return await self._database.read(lambda at: at.all(sql, given))

    async def row(self, sql: str, *given: Any) -> Row | None:
        """Return the first row of a question, None where there is none."""
        return await self._database.read(lambda at: at.one(sql, given))

    @asynccontextmanager
    async def writing(self) -> AsyncIterator[Run]:
        """Hold one transaction beside which no other writes; nothing but statements may be awaited in it."""
        async with self._database.writing() as at:
            yield run_on(at)
        await self._written()

    async def write(self, sql: str, *given: Any) -> Row | None:
        """Run one statement in a transaction of its own, and return the first row that it gives back."""
        found = await self._database.write(lambda at: at.one(sql, given))
        await self._written()
        return found


def run_on(at: Rows) -> Run:
    """Return a way to run statements inside the transaction that is held."""

    async def run(sql: str, *given: Any) -> Row | None:
        return await at.one(sql, given)

    return run


def as_text(moment: datetime) -> str:
    """Write a moment so that texts sort as times do."""
    return moment.astimezone(UTC).isoformat(timespec="microseconds")
