"""A copy of everything in a store, in one file that either database gives and takes.

The file is a zip: a table a part, a row a line of JSON, and a list of the parts with their SHA-256. It is read from one
moment of the store while a server goes on, and looked through whole before anything of it is brought back.
"""

from __future__ import annotations

import json
import tempfile
import zlib
from base64 import b64decode, b64encode
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256
from itertools import islice
from pathlib import Path
from typing import IO, Any
from zipfile import ZIP_DEFLATED, BadZipFile, ZipFile

from ventwright.errors import Refusal, Refused
from ventwright.store.change import change_of
from ventwright.store.database import Database, Rows, Table, database_at, migrations
from ventwright.store.files import unwritable, whole
from ventwright.version import VERSION

FORM = 1
"""Form of the file; a newer one is refused."""

LIST = "ventwright-backup.json"
"""Name of the part that lists the others."""

SEEDED = "arrival"
"""The one table in which something stands before anything is kept."""

LARGEST_LIST = 1_000_000
"""Bytes of the list of parts; our own assumption."""

UNREADABLE = (
    BadZipFile, KeyError, TypeError, ValueError, EOFError, zlib.error, OSError, NotImplementedError, RecursionError, OverflowError, Refused,
)  # fmt: skip
"""What reading a file that is damaged or made up may end in."""

KINDS = dict.fromkeys(
    ("number", "arrived", "revision", "last_number", "reached", "width", "height", "stretch", "count", "tries"), int
) | dict.fromkeys(("content", "small"), bytes)  # fmt: skip
"""Kinds of the columns that are no text: a file of SQLite would take a text in them."""

AT_ONCE = 50
"""Rows that are brought back in one go; each may be a picture of 2 MB."""


@dataclass(frozen=True, slots=True)
class Copied:
    """What a backup holds: how many rows of which table, and when it was made."""

    made_at: datetime
    rows: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class _Part:
    """A table in the file."""

    table: str
    columns: tuple[str, ...]
    rows: int
    sha256: str

    @property
    def name(self) -> str:
        return f"tables/{self.table}.jsonl"


async def back_up(where: Path | str, to: Path) -> Copied:
    """Write everything in a store to a file, as it stands at one moment; whoever uses the store goes on.

    Raises
    ------
    Refused
        The store cannot be read, or the file is there already or cannot be written.
    """
    with closing(database_at(where, as_it_is=True)) as database:
        if not database.version:
            raise Refused(Refusal("holds no jobs", "a store that is in use", database.name))
        with _new_file(to) as file, ZipFile(file, "w", ZIP_DEFLATED) as archive:
            return await _written(database, archive)


async def bring_back(file: Path, where: Path | str) -> Copied:
    """Bring everything in a backup back into a store in which nothing is kept.

    Raises
    ------
    Refused
        The file is damaged, no backup or of a newer Ventwright; or something is kept in the store.
    """
    with _opened(file) as archive:
        said, parts = _looked_through(archive, file)
        if said["version"] < len(migrations()):
            with tempfile.TemporaryDirectory(prefix="ventwright-") as folder:
                return await bring_back(await _in_present_form(archive, said, parts, Path(folder)), where)
        with closing(database_at(where)) as database:
            await _filled(database, archive, parts, file)
        return Copied(datetime.fromisoformat(said["made_at"]), {one.table: one.rows for one in parts})


async def _in_present_form(
    archive: ZipFile, said: Mapping[str, Any], parts: list[_Part], folder: Path
) -> Path:
    """Bring an older backup to the present form, by way of a file of its own version."""
    older = folder / "older.sqlite3"
    with closing(database_at(older, up_to=said["version"])) as database:
        await _filled(database, archive, parts, Path(archive.filename or ""))
    database_at(older).close()
    await back_up(older, folder / "present.backup")
    return folder / "present.backup"


async def _written(database: Database, archive: ZipFile) -> Copied:
    tables = await database.tables()
    now = datetime.now(UTC)

    async def all_of_it(at: Rows) -> list[_Part]:
        return [await _part_written(at, table, archive) for table in tables]

    parts = await database.snapshot(all_of_it)
    said = {
        "form": FORM,
        "version": database.version,
        "made_at": now.isoformat(timespec="seconds"),
        "made_with": VERSION,
        "tables": [
            {"table": one.table, "columns": one.columns, "rows": one.rows, "sha256": one.sha256}
            for one in parts
        ],
    }
    archive.writestr(LIST, json.dumps(said, indent=1))
    return Copied(now, {one.table: one.rows for one in parts})


async def _part_written(at: Rows, table: Table, archive: ZipFile) -> _Part:
    hashed, rows = sha256(), 0
    part = _Part(table.name, table.columns, 0, "")
    with archive.open(part.name, "w", force_zip64=True) as out:
        async for row in at.each(f"select {', '.join(table.columns)} from {table.name}"):  # noqa: S608 - its own names
            line = json.dumps([_cell_written(cell) for cell in row], ensure_ascii=False).encode() + b"\n"
            hashed.update(line)
            out.write(line)
            rows += 1
    return _Part(table.name, table.columns, rows, hashed.hexdigest())


def _cell_written(cell: Any) -> Any:
    return {"bytes": b64encode(cell).decode()} if isinstance(cell, bytes) else cell


def _cell_read(cell: Any) -> Any:
    return b64decode(cell["bytes"], validate=True) if isinstance(cell, dict) else cell


@contextmanager
def _new_file(to: Path) -> Iterator[IO[bytes]]:
    """Write a file that is there when it is whole, for its owner alone."""
    if to.exists():
        raise Refused(Refusal("is there already", "a name that is not taken", str(to)))
    try:
        with whole(to) as file:
            yield file
    except OSError as failure:
        raise unwritable(to, failure) from None


def _opened(file: Path) -> ZipFile:
    try:
        return ZipFile(file)
    except OSError as failure:
        reason = (failure.strerror or "an error of the file system").lower()
        raise Refused(Refusal(f"cannot be read ({reason})", "a backup that is there", str(file))) from None
    except UNREADABLE:
        raise _damaged(file) from None


def _looked_through(archive: ZipFile, file: Path) -> tuple[dict[str, Any], list[_Part]]:
    """Read the list of parts, and every part against it."""
    try:
        said = _list_of(archive)
        is_newer = said["form"] > FORM or said["version"] > len(migrations())
        parts = [] if is_newer else _parts(said)
        is_whole = said["version"] > 0 and all(_is_whole(archive, one) for one in parts)
    except UNREADABLE:
        raise _damaged(file) from None
    if is_newer:
        raise Refused(Refusal("was made by a newer Ventwright", "an update of Ventwright", str(file)))
    if not is_whole:
        raise _damaged(file)
    return said, parts


def _list_of(archive: ZipFile) -> dict[str, Any]:
    if archive.getinfo(LIST).file_size > LARGEST_LIST:
        raise ValueError(LIST)
    said: dict[str, Any] = json.loads(archive.read(LIST))
    datetime.fromisoformat(said["made_at"])
    if type(said["form"]) is not int or type(said["version"]) is not int:
        raise ValueError(LIST)
    return said


def _parts(said: Mapping[str, Any]) -> list[_Part]:
    parts = [_Part(one["table"], tuple(one["columns"]), one["rows"], one["sha256"]) for one in said["tables"]]
    if len({one.table for one in parts}) < len(parts) or any(
        not all(isinstance(name, str) for name in (one.table, *one.columns))
        or len(set(one.columns)) < len(one.columns)
        for one in parts
    ):
        raise ValueError(LIST)
    return parts


def _is_whole(archive: ZipFile, part: _Part) -> bool:
    hashed, rows = sha256(), 0
    with archive.open(part.name) as content:
        for line in content:
            hashed.update(line)
            rows += 1
            _refuse_made_up(part, line)
    return (rows, hashed.hexdigest()) == (part.rows, part.sha256)


def _refuse_made_up(part: _Part, line: bytes) -> None:
    """Refuse a row that no backup holds, though its hash is that of the list.

    Raises
    ------
    Refused, KeyError, TypeError, ValueError
        It is no list of as many cells, or a cell is not what every reader of its column counts on.
    """
    row = [_cell_read(cell) for cell in json.loads(line)]
    if not all(cell is None or isinstance(cell, (str, bytes)) or type(cell) is int for cell in row):
        raise ValueError(part.table)
    cells = dict(zip(part.columns, row, strict=True))
    if not all(type(cells[name]) is kind for name, kind in KINDS.items() if name in cells):
        raise ValueError(part.table)
    if part.table == "change":
        change_of(
            {name: cells[name] for name in ("id", "job", "number", "device", "path")}
            | {"at": cells["made_at"], "by": cells["made_by"], "do": cells["does"]}
            | {"value": json.loads(cells["value"]), "over": json.loads(cells["known"])}
        )
    elif part.table == "job":
        for name in ("created", "updated"):
            datetime.fromisoformat(cells[name])
    elif part.table == "setting":
        json.loads(cells["value"])


def _rows_of(archive: ZipFile, part: _Part) -> Iterator[list[Any]]:
    with archive.open(part.name) as content:
        for line in content:
            yield [_cell_read(cell) for cell in json.loads(line)]


async def _filled(database: Database, archive: ZipFile, parts: list[_Part], file: Path) -> None:
    """Bring every row back in one transaction, tables that are referred to first."""
    tables = await database.tables()
    by_table = {one.table: one for one in parts}
    if {(one.name, frozenset(one.columns)) for one in tables} != {
        (one.table, frozenset(one.columns)) for one in parts
    }:
        raise _damaged(file)

    async def all_of_it(at: Rows) -> None:
        for table in tables:
            if table.name != SEEDED and await at.one(f"select 1 from {table.name} limit 1"):  # noqa: S608 - its own name
                accepted = "a new folder or an empty database; what is here stays as it is"
                raise Refused(Refusal("is not empty", accepted, database.name))
        await at.run(f"delete from {SEEDED}")  # noqa: S608 - its own name
        for table in tables:
            part = by_table[table.name]
            rows = _rows_of(archive, part)
            marks = ", ".join("?" * len(part.columns))
            sql = f"insert into {table.name} ({', '.join(part.columns)}) values ({marks})"  # noqa: S608 - its own names
            while piece := list(islice(rows, AT_ONCE)):
                await at.run_all(sql, piece)

    try:
        await database.write(all_of_it)
    except _unfit():
        raise _damaged(file) from None


def _unfit() -> tuple[type[Exception], ...]:
    """Return what databases raise at rows that their tables do not take."""
    import sqlite3

    found: tuple[type[Exception], ...] = (
        sqlite3.IntegrityError,
        sqlite3.DataError,
        OverflowError,
        UnicodeError,
    )
    try:
        import psycopg
    except ImportError:
        return found
    return (*found, psycopg.IntegrityError, psycopg.DataError)


def _damaged(file: Path) -> Refused:
    return Refused(
        Refusal("is no backup, or is damaged", "another backup; nothing was brought back", str(file))
    )
