"""The database on a PostgreSQL server: brought to the present form, written by one at a time, found again when it was away.

Whoever writes first takes the row that counts arrivals, and keeps it until the commit. So no two transactions that write
overlap, in this process or another, and every check before an insert holds as it does in a file.
"""

from __future__ import annotations

import asyncio
import time
from collections import deque
from collections.abc import AsyncIterator, Awaitable, Callable, Iterable, Sequence
from contextlib import asynccontextmanager, suppress
from typing import Any

import psycopg
from psycopg.pq import TransactionStatus

from ventwright.store.database import WAIT, Migration, Returned, Rows, Table, Work, refuse_unkept, table_names
from ventwright.store.postgres_tables import prepared, tables
from ventwright.store.postgres_told import Unsure, may_pass, named, options, told

MOST = 8
"""Connections of one process; our own assumption."""

FIRST_PAUSE, LONGEST_PAUSE = 0.05, 0.5
"""Seconds until a piece of work that broke off is done again; twice as many each time after."""

AT_ONCE = 20
"""Rows of a long answer in memory at once; each may be a picture of 2 MB."""

ON_CONNECTING = (
    f"set synchronous_commit to on; set lock_timeout to '{WAIT:.0f}s';"
    " set idle_in_transaction_session_timeout to '60s'"
)
_BEGIN = "begin isolation level read committed; select reached from arrival where name = 'change' for update"

Connection = psycopg.AsyncConnection[tuple[Any, ...]]


class Postgres:
    """A database on a server, on a few connections that are opened as they are needed."""

    def __init__(self, url: str, *, steps: Sequence[Migration], as_it_is: bool = False) -> None:
        """Reach the database and bring it to the present version, unless it is wanted as it is.

        Raises
        ------
        Refused
            It does not answer, is of a newer Ventwright or of another program, or may not be written.
        """
        self.name = named(url)
        self._url = url
        self._idle: list[Connection] = []
        self._open = 0
        self._waiting: deque[asyncio.Future[None]] = deque()
        try:
            self.version = prepared(url, self.name, steps, as_it_is=as_it_is)
        except psycopg.Error as failure:
            raise told(failure, self.name) from None
        self._tables = table_names(steps, self.version)

    async def read(self, work: Work[Returned]) -> Returned:
        """Do what only reads; between two of its statements others may have written."""

        async def reading(connection: Connection) -> Returned:
            return await work(_Rows(connection))

        return await self._tried(reading)

    async def write(self, work: Work[Returned]) -> Returned:
        """Do what writes, in one transaction beside which no other writes: all of it is on the disk, or none of it."""

        async def writing(connection: Connection) -> Returned:
            await connection.execute(_BEGIN, prepare=False)
            async with _ending(connection):
                return await work(_Rows(connection))

        return await self._tried(writing)

    @asynccontextmanager
    async def writing(self) -> AsyncIterator[Rows]:
        """Hold such a transaction; unlike ``write`` it is not done again after a connection broke in it."""
        connection = await self._begun()
        try:
            async with _ending(connection):
                yield _Rows(connection)
        except (Unsure, psycopg.Error) as failure:
            raise told(failure, self.name) from None
        finally:
            self._back(connection)

    async def snapshot(self, work: Work[Returned]) -> Returned:
        """Do what reads everything as it stood at one moment, while others write."""

        async def reading(connection: Connection) -> Returned:
            await connection.execute("begin isolation level repeatable read read only")
            try:
                return await work(_Rows(connection))
            finally:
                await _rolled_back(connection)

        return await self._tried(reading)

    async def tables(self) -> list[Table]:
        """Return the tables in the order in which they were made."""
        return await self.read(lambda at: tables(at, self._tables))

    async def size(self) -> int:
        """Return how many bytes the database takes."""
        found = await self.read(lambda at: at.one("select pg_database_size(current_database())"))
        return int(found[0]) if found else 0

    def close(self) -> None:
        """Let go of the connections that nobody uses."""
        while self._idle:
            self._drop(self._idle.pop())

    async def _tried(
        self, work: Callable[[Connection], Awaitable[Returned]], *, keep: bool = False
    ) -> Returned:
        """Do a piece of work, and do it again while what stopped it may pass; keep its connection where that is wanted."""
        until, pause = time.monotonic() + WAIT, FIRST_PAUSE
        while True:
            try:
                connection = await self._lent()
                done = False
                try:
                    returned = await work(connection)
                    done = True
                    return returned
                finally:
                    if not (keep and done):
                        self._back(connection)
            except (Unsure, psycopg.Error) as failure:
                if not may_pass(failure) or time.monotonic() + pause > until:
                    raise told(failure, self.name) from None
            self.close()  # after one connection broke, the others that lie idle are no better
            await asyncio.sleep(pause)
            pause = min(2 * pause, LONGEST_PAUSE)

    async def _begun(self) -> Connection:
        """Return a connection on which a transaction that writes was begun, to be given back."""

        async def begun(connection: Connection) -> Connection:
            await connection.execute(_BEGIN, prepare=False)
            return connection

        return await self._tried(begun, keep=True)

    async def _lent(self) -> Connection:
        while not self._idle and self._open >= MOST:
            await self._called()
        return self._idle.pop() if self._idle else await self._connected()

    def _back(self, connection: Connection) -> None:
        """Take a connection back; one that is broken or in the middle of something is closed."""
        if connection.info.transaction_status is TransactionStatus.IDLE:
            self._idle.append(connection)
        else:
            self._drop(connection)
        self._call_next()

    async def _called(self) -> None:
        """Wait until a connection is free."""
        waiting: asyncio.Future[None] = asyncio.get_running_loop().create_future()
        self._waiting.append(waiting)
        try:
            await waiting
        except asyncio.CancelledError:
            if waiting.done() and not waiting.cancelled():
                self._call_next()  # the turn goes to the next one
            raise

    async def _connected(self) -> Connection:
        self._open += 1
        connection = None
        try:
            connection = await psycopg.AsyncConnection.connect(
                self._url, autocommit=True, **options(self._url)
            )
            await connection.execute(ON_CONNECTING, prepare=False)
        except BaseException:
            if connection is None:
                self._open -= 1
            else:
                self._drop(connection)
            self._call_next()
            raise
        return connection

    def _drop(self, connection: Connection) -> None:
        self._open -= 1
        connection.pgconn.finish()  # what its own way to close comes to, where nothing can be awaited

    def _call_next(self) -> None:
        while self._waiting:
            waiting = self._waiting.popleft()
            if not waiting.done():
                waiting.set_result(None)
                return


class _Rows:
    """The statements of a piece of work, on the connection that it was lent."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    async def run(self, sql: str, values: Sequence[Any] = ()) -> int:
        return (await self._done(sql, values)).rowcount

    async def run_all(self, sql: str, many: Iterable[Sequence[Any]]) -> None:
        async with self._connection.cursor() as cursor:
            await cursor.executemany(_placed(sql), many)

    async def one(self, sql: str, values: Sequence[Any] = ()) -> tuple[Any, ...] | None:
        done = await self._done(sql, values)
        return await done.fetchone() if done.description else None

    async def all(self, sql: str, values: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        return await (await self._done(sql, values)).fetchall()

    async def each(self, sql: str) -> AsyncIterator[tuple[Any, ...]]:
        async with self._connection.cursor(name="each") as cursor:
            cursor.itersize = AT_ONCE
            await cursor.execute(_placed(sql))
            async for row in cursor:
                yield row

    async def _done(self, sql: str, values: Sequence[Any]) -> psycopg.AsyncCursor[tuple[Any, ...]]:
        refuse_unkept(values)
        return await self._connection.execute(_placed(sql), values)


def _placed(sql: str) -> bytes:
    """Return a statement with its values marked as this database wants them."""
    return sql.replace("%", "%%").replace("?", "%s").encode()


@asynccontextmanager
async def _ending(connection: Connection) -> AsyncIterator[None]:
    """Commit a transaction at the end, or take it back."""
    try:
        yield
    except BaseException:
        await _rolled_back(connection)
        raise
    try:
        await connection.execute("commit")
    except psycopg.OperationalError as failure:
        if connection.broken:
            raise Unsure from failure
        raise


async def _rolled_back(connection: Connection) -> None:
    with suppress(psycopg.Error):  # what went wrong first is what is told
        await connection.execute("rollback")
