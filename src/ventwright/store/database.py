"""What the store asks of a database, and which of the two answers: a file of SQLite, or PostgreSQL by its address.

A piece of work is a function of the rows: it awaits statements and nothing else, and has no other effect, since it may
be done again after a connection broke. On SQLite such an await never gives way, so that one connection is enough.
"""

from __future__ import annotations

import re
from collections.abc import AsyncIterator, Awaitable, Callable, Iterable, Sequence
from contextlib import AbstractAsyncContextManager
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any, Protocol, TypeVar

from ventwright.errors import Refusal, Refused

Returned = TypeVar("Returned")

ADDRESSES = ("postgresql://", "postgres://")
"""How the address of a PostgreSQL database begins."""

WAIT = 5.0
"""Seconds to wait for another process that is writing, or for a server that is away; our own assumption."""


class Rows(Protocol):
    """The statements of a piece of work; ``?`` stands for each value."""

    async def run(self, sql: str, values: Sequence[Any] = ()) -> int:
        """Do a statement and return how many rows it touched."""

    async def run_all(self, sql: str, many: Iterable[Sequence[Any]]) -> None:
        """Do a statement once for each set of values."""

    async def one(self, sql: str, values: Sequence[Any] = ()) -> tuple[Any, ...] | None:
        """Return the first row found, or None."""

    async def all(self, sql: str, values: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        """Return all rows found."""

    def each(self, sql: str) -> AsyncIterator[tuple[Any, ...]]:
        """Yield the rows found, not all of them in memory at once."""


Work = Callable[[Rows], Awaitable[Returned]]


@dataclass(frozen=True, slots=True)
class Table:
    """A table and its columns, in the order in which they were made."""

    name: str
    columns: tuple[str, ...]


class Database(Protocol):
    """A database of jobs, of the version that this program knows unless it was opened as it is."""

    name: str
    version: int

    async def read(self, work: Work[Returned]) -> Returned:
        """Do what only reads; between two of its statements others may have written."""

    async def write(self, work: Work[Returned]) -> Returned:
        """Do what writes, in one transaction beside which no other writes: all of it is on the disk, or none of it."""

    def writing(self) -> AbstractAsyncContextManager[Rows]:
        """Hold such a transaction; unlike ``write`` it is not done again after a connection broke in it."""

    async def snapshot(self, work: Work[Returned]) -> Returned:
        """Do what reads everything as it stood at one moment, while others write."""

    async def tables(self) -> list[Table]:
        """Return the tables, none before one that it refers to."""

    async def size(self) -> int:
        """Return how many bytes it takes."""

    def close(self) -> None:
        """Let go of it."""


def is_address(where: Path | str) -> bool:
    """Whether a place is the address of a PostgreSQL database, and not a file."""
    return isinstance(where, str) and where.startswith(ADDRESSES)


def database_at(
    where: Path | str, *, one_file: bool = False, as_it_is: bool = False, up_to: int | None = None
) -> Database:
    """Open a database, made where there is none, and bring it to the present version.

    Parameters
    ----------
    where
        A file, or an address that begins with ``postgresql://``.
    one_file
        Keep a file in one piece after every write, for a place from which it is copied away.
    as_it_is
        Leave an older version as it is.
    up_to
        Version to bring it to; left out, that of this program.

    Raises
    ------
    Refused
        It is damaged, of a newer Ventwright or of another program, cannot be written or does not answer.
    """
    if is_address(where):
        try:
            from ventwright.store.postgres import Postgres
        except ImportError:
            accepted = "Ventwright with what a shop needs, `pip install 'ventwright[shop]'`"
            raise Refused(Refusal("cannot be reached (psycopg is not installed)", accepted, "the database")) from None  # fmt: skip
        return Postgres(str(where), steps=_steps("postgres", up_to), as_it_is=as_it_is)
    if "://" in str(where):
        kind = str(where).partition("://")[0]
        raise Refused(Refusal(f"cannot be kept at an address that begins with {kind}", "one that begins with postgresql://", "the database"))  # fmt: skip
    from ventwright.store.sqlite import Sqlite

    return Sqlite(Path(where), one_file=one_file, steps=_steps("sqlite", up_to), as_it_is=as_it_is)


@dataclass(frozen=True, slots=True)
class Migration:
    """The statements that bring a database from the version before to this one."""

    version: int
    sql: str


def migrations(engine: str = "sqlite") -> tuple[Migration, ...]:
    """Return the migrations in order: files named by their number, and by the engine where only one takes them."""
    folder = files("ventwright.store").joinpath("migrations")
    found = [one for one in folder.iterdir() if one.name.endswith(".sql")]
    return tuple(
        Migration(int(one.name.partition("_")[0]), one.read_text(encoding="utf-8"))
        for one in sorted(found, key=lambda one: one.name)
        if one.name.split(".")[1:-1] in ([], [engine])
    )


def table_names(steps: Sequence[Migration], version: int) -> list[str]:
    """Return the tables that the migrations up to a version make, in their order; others may stand beside them."""
    taken = "\n".join(one.sql for one in steps if one.version <= version)
    return re.findall(r"^create table (\w+)", taken, re.MULTILINE)


def _steps(engine: str, up_to: int | None) -> tuple[Migration, ...]:
    return tuple(one for one in migrations(engine) if up_to is None or one.version <= up_to)


def refuse_unkept(values: Sequence[Any]) -> None:
    """Refuse a text that no database could give back as it was.

    Raises
    ------
    Refused
        It holds a zero character, or half of a pair of code units.
    """
    for text in values:
        if isinstance(text, str) and not text.isprintable() and not _is_kept(text):
            given = text.encode(errors="backslashreplace").decode()[:80].replace("\0", "\\0")
            raise Refused(Refusal("holds a character that cannot be kept", "letters, digits and signs", given=given))  # fmt: skip


def _is_kept(text: str) -> bool:
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return "\0" not in text
