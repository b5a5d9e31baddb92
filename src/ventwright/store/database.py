"""The database file: opened, brought to the present form, written in one transaction, its failures said in a sentence.

Every statement that changes something stands in a transaction that is on the disk before it ends.
"""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING

from ventwright.errors import Refusal, Refused

if TYPE_CHECKING:
    import sqlite3

OURS = 0x56454E54
"""Marks the file as one of this program's (SQLite's application id)."""

WAIT = 5.0
"""Seconds to wait for another process that is writing; our own assumption."""


TRIES = 5
"""Times that a file is tried to be opened while another process makes it."""


@dataclass(frozen=True, slots=True)
class Migration:
    """The statements that bring a database from the version before to this one."""

    version: int
    sql: str


def migrations() -> tuple[Migration, ...]:
    """Return the migrations in order: files named by their number."""
    folder = files("ventwright.store").joinpath("migrations")
    found = [one for one in folder.iterdir() if one.name.endswith(".sql")]
    return tuple(
        Migration(int(one.name.partition("_")[0]), one.read_text(encoding="utf-8"))
        for one in sorted(found, key=lambda one: one.name)
    )


def opened(
    path: Path, *, one_file: bool = False, steps: Sequence[Migration] | None = None
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

    Raises
    ------
    Refused
        It is damaged, of a newer Ventwright or of another program, or cannot be written.
    """
    import sqlite3

    with told(path):
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as failure:
            raise _unwritable(path, failure.strerror or "") from None
        for left in reversed(range(TRIES)):
            try:
                return _connected(path, one_file=one_file, steps=migrations() if steps is None else steps)
            except sqlite3.OperationalError as failure:
                if left == 0 or (failure.sqlite_errorcode & 0xFF) != sqlite3.SQLITE_IOERR:
                    raise
                time.sleep(
                    WAIT / 50
                )  # another process is making the file, and takes its helpers away meanwhile
        raise AssertionError


def _connected(path: Path, *, one_file: bool, steps: Sequence[Migration]) -> sqlite3.Connection:
    import sqlite3

    connection = sqlite3.connect(path, timeout=WAIT, isolation_level=None, check_same_thread=False)
    try:
        connection.execute("pragma synchronous = full")
        connection.execute("pragma foreign_keys = on")
        _refuse_stranger(connection, path)
        connection.execute(f"pragma journal_mode = {'truncate' if one_file else 'wal'}")
        _migrate(connection, path, steps)
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
    mark = connection.execute("pragma application_id").fetchone()[0]
    tables = connection.execute("select count(*) from sqlite_master").fetchone()[0]
    if mark != OURS and (mark or tables or _version(connection)):
        raise Refused(Refusal("is a database of another program", "a file of jobs, or a new name", str(path)))


def _migrate(connection: sqlite3.Connection, path: Path, steps: Sequence[Migration]) -> None:
    """Take the steps that are missing, each in a transaction of its own, after a copy of what is there."""
    newest = steps[-1].version
    version = _version(connection)
    if version > newest:
        raise Refused(Refusal("was written by a newer Ventwright", "an update of Ventwright", str(path)))
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
