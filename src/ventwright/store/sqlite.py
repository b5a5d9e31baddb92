"""The database as a file: opened, brought to the present form, written in one transaction, its failures said in a sentence.

Every statement that changes something stands in a transaction that is on the disk before it ends.
"""

from __future__ import annotations

import time
from collections.abc import AsyncIterator, Iterable, Iterator, Sequence
from contextlib import asynccontextmanager, contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ventwright.errors import Refusal, Refused
from ventwright.store.database import (
    WAIT,
    Migration,
    Returned,
    Rows,
    Table,
    Work,
    migrations,
    refuse_unkept,
    table_names,
)

if TYPE_CHECKING:
    import sqlite3

OURS = 0x56454E54
"""Marks the file as one of this program's (SQLite's application id)."""

TRIES = 5
"""Times that a file is tried to be opened while another process makes it."""


class Sqlite:
    """A database in a file, on one connection."""

    def __init__(
        self,
        path: Path,
        *,
        one_file: bool = False,
        steps: Sequence[Migration] | None = None,
        as_it_is: bool = False,
    ) -> None:
        """Open the file, made where there is none unless it is wanted as it is.

        Raises
        ------
        Refused
            The file is not there, damaged, of a newer Ventwright or of another program, or cannot be written.
        """
        if as_it_is and not path.is_file():
            raise Refused(Refusal("is not there", "a file of jobs", str(path)))
        self.path, self.name = path, str(path)
        self.connection = opened(path, one_file=one_file, steps=steps, as_it_is=as_it_is)
        self.version = _version(self.connection)
        self._tables = table_names(migrations() if steps is None else steps, self.version)
        self._rows = _Rows(self.connection)

    async def read(self, work: Work[Returned]) -> Returned:
        """Do what only reads."""
        with told(self.path):
            return await work(self._rows)

    async def write(self, work: Work[Returned]) -> Returned:
        """Do what writes, in one transaction: all of it is on the disk, or none of it."""
        async with self.writing() as at:
            return await work(at)

    @asynccontextmanager
    async def writing(self) -> AsyncIterator[Rows]:
        """Hold such a transaction."""
        with writing(self.connection, self.path):
            yield self._rows

    async def snapshot(self, work: Work[Returned]) -> Returned:
        """Do what reads everything as it stood at one moment, while other processes write."""
        with told(self.path):
            self.connection.execute("begin")
            try:
                return await work(self._rows)
            finally:
                self.connection.execute("rollback")

    async def tables(self) -> list[Table]:
        """Return the tables in the order in which they were made."""
        with told(self.path):
            return [Table(name, self._columns(name)) for name in self._tables]

    async def size(self) -> int:
        """Return how many bytes it takes, with what is not in its one file yet."""
        sql = "select page_count * page_size from pragma_page_count, pragma_page_size"
        return int((await self.read(lambda at: at.one(sql)) or (0,))[0])

    def close(self) -> None:
        """Close the file."""
        self.connection.close()

    def _columns(self, table: str) -> tuple[str, ...]:
        found = self.connection.execute("select name from pragma_table_info(?) order by cid", (table,))
        return tuple(name for (name,) in found)


class _Rows:
    """The statements of a piece of work; none of them gives way to another task."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection

    async def run(self, sql: str, values: Sequence[Any] = ()) -> int:
        refuse_unkept(values)
        return self._connection.execute(sql, values).rowcount

    async def run_all(self, sql: str, many: Iterable[Sequence[Any]]) -> None:
        self._connection.executemany(sql, many)

    async def one(self, sql: str, values: Sequence[Any] = ()) -> tuple[Any, ...] | None:
        refuse_unkept(values)
        found: tuple[Any, ...] | None = self._connection.execute(sql, values).fetchone()
        return found

    async def all(self, sql: str, values: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        refuse_unkept(values)
        return self._connection.execute(sql, values).fetchall()

    async def each(self, sql: str) -> AsyncIterator[tuple[Any, ...]]:
        for row in self._connection.execute(sql):
            yield row


def opened(
    path: Path,
    *,
    one_file: bool = False,
    steps: Sequence[Migration] | None = None,
    as_it_is: bool = False,
) -> sqlite3.Connection:
    """Open a database file, made where there is none, and bring it to the present version.

    Parameters
    ----------
    path
        The file; its folder is made where it is missing.
    one_file
        Keep everything in this one file after every write, for a place from which it is copied away.
    steps
        Migrations; left out, those of this program.
    as_it_is
        Leave an older version as it is.

    Raises
    ------
    Refused
        It is damaged, of a newer Ventwright or of another program, or cannot be written.
    """
    import sqlite3

    taken = migrations() if steps is None else steps
    with told(path):
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as failure:
            raise _unwritable(path, failure.strerror or "") from None
        for left in reversed(range(TRIES)):
            try:
                return _connected(path, one_file=one_file, steps=taken, as_it_is=as_it_is)
            except sqlite3.OperationalError as failure:
                if left == 0 or (failure.sqlite_errorcode & 0xFF) != sqlite3.SQLITE_IOERR:
                    raise
                time.sleep(
                    WAIT / 50
                )  # another process is making the file, and takes its helpers away meanwhile
        raise AssertionError


def _connected(
    path: Path, *, one_file: bool, steps: Sequence[Migration], as_it_is: bool
) -> sqlite3.Connection:
    import sqlite3

    connection = sqlite3.connect(path, timeout=WAIT, isolation_level=None, check_same_thread=False)
    try:
        connection.execute("pragma synchronous = full")
        connection.execute("pragma foreign_keys = on")
        _refuse_stranger(connection, path)
        connection.execute(f"pragma journal_mode = {'truncate' if one_file else 'wal'}")
        _migrate(connection, path, steps, as_it_is=as_it_is)
    except BaseException:
        connection.close()
        raise
    return connection


@contextmanager
def writing(connection: sqlite3.Connection, path: Path) -> Iterator[None]:
    """Hold one transaction that writes: all of it is on the disk at the end, or nothing of it.

    Raises
    ------
    Refused
        The disk is full, the file is damaged or cannot be written, or somebody else keeps writing.
    """
    import sqlite3

    with told(path):
        connection.execute("begin immediate")
        try:
            yield
            connection.execute("commit")
        except BaseException:
            with suppress(sqlite3.Error):  # what went wrong first is what is told
                connection.execute("rollback")
            raise


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Say in one sentence what a database says in its own words."""
    import sqlite3

    try:
        yield
    except sqlite3.Error as failure:
        known = _SENTENCES.get((getattr(failure, "sqlite_errorcode", None) or 0) & 0xFF)
        if known is None:
            raise
        raise Refused(Refusal(*known, str(path))) from None


_A_FOLDER = "a folder that can be written to"
_ROOM = "some room on the disk, then the same once more; what was acknowledged before is kept"
_A_COPY = "a copy of it from before, or another file; the damaged one is left as it is"
_SENTENCES = {  # SQLite's result codes, https://www.sqlite.org/rescode.html
    5: ("is being written by someone else", "the same once more in a moment"),
    6: ("is being written by someone else", "the same once more in a moment"),
    8: ("cannot be written (it may only be read)", _A_FOLDER),
    10: ("cannot be written or read (an error of the disk)", _ROOM),
    11: ("is damaged", _A_COPY),
    13: ("cannot be written (no space left)", _ROOM),
    14: ("cannot be opened", _A_FOLDER),
    26: ("is no database, or is damaged", _A_COPY),
}


def _unwritable(path: Path, reason: str) -> Refused:
    return Refused(Refusal(f"cannot be written ({reason.lower()})", _A_FOLDER, str(path)))


def _version(connection: sqlite3.Connection) -> int:
    version: int = connection.execute("pragma user_version").fetchone()[0]
    return version


def _refuse_stranger(connection: sqlite3.Connection, path: Path) -> None:
    """Refuse a database of another program, before anything in it is touched."""
    tables = connection.execute("select count(*) from sqlite_master").fetchone()[0]
    version = _version(connection)
    mark = connection.execute("pragma application_id").fetchone()[
        0
    ]  # last: another process may make the file now
    if mark != OURS and (mark or tables or version):
        raise Refused(Refusal("is a database of another program", "a file of jobs, or a new name", str(path)))


def _migrate(
    connection: sqlite3.Connection, path: Path, steps: Sequence[Migration], *, as_it_is: bool
) -> None:
    """Take the steps that are missing, each in a transaction of its own, after a copy of what is there."""
    newest = steps[-1].version
    version = _version(connection)
    if version > newest:
        raise Refused(Refusal("was written by a newer Ventwright", "an update of Ventwright", str(path)))
    if as_it_is:
        return
    if 0 < version < newest:
        if connection.execute("pragma quick_check(1)").fetchone()[0] != "ok":
            raise Refused(Refusal("is damaged", _A_COPY, str(path)))
        _keep_copy(connection, path.with_name(f"{path.name}.version-{version}"))
    for step in steps:
        if step.version > version:
            _take(connection, path, step)


def _take(connection: sqlite3.Connection, path: Path, step: Migration) -> None:
    with writing(connection, path):
        if _version(connection) >= step.version:
            return  # another process took it while this one waited
        for statement in _statements(step.sql):
            connection.execute(statement)
        connection.execute(f"pragma application_id = {OURS}")
        connection.execute(f"pragma user_version = {step.version}")


def _statements(sql: str) -> Iterator[str]:
    """Yield the statements of a migration; the module's own way to run several would end the transaction."""
    import sqlite3

    statement = ""
    for line in sql.splitlines(keepends=True):
        statement += line
        if sqlite3.complete_statement(statement):
            yield statement
            statement = ""


def _keep_copy(connection: sqlite3.Connection, path: Path) -> None:
    """Keep a copy of a database beside it before a migration; an earlier such copy stays."""
    import sqlite3

    if path.exists():
        return
    unfinished = path.with_name(f".{path.name}")
    unfinished.unlink(missing_ok=True)
    with sqlite3.connect(unfinished) as copy:
        connection.backup(copy)
    copy.close()
    unfinished.replace(path)
