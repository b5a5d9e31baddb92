"""The tables in a PostgreSQL database: made or brought to the present form in one transaction, and listed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import psycopg

from ventwright.errors import Refusal, Refused
from ventwright.store.database import Migration, Rows, Table
from ventwright.store.postgres_told import options

OURS = 0x56454E54
"""Names the lock under which the tables are made or altered."""

VERSION_TABLE = "ventwright_version"
"""Holds one row with the version, and marks a database as one of this program's."""


def prepared(url: str, name: str, steps: Sequence[Migration], *, as_it_is: bool) -> int:
    """Take the migrations that are missing, all of them or none, and return the version that is there then."""
    with psycopg.connect(url, **options(url)) as connection:
        connection.execute("select pg_advisory_xact_lock(%s)", (OURS,))
        version = _version(connection, name)
        newest = steps[-1].version
        if version > newest:
            raise Refused(Refusal("was written by a newer Ventwright", "an update of Ventwright", name))
        if as_it_is or version == newest:
            return version
        if not version:
            connection.execute(_MAKE_VERSION)
        for step in steps:
            if step.version > version:
                connection.execute(step.sql.encode())
        connection.execute("update ventwright_version set version = %s", (newest,))
        return newest


def _version(connection: psycopg.Connection[tuple[Any, ...]], name: str) -> int:
    """Return the version of a database, 0 where nothing is in it; one of another program is refused."""
    told = connection.execute(
        "select current_setting('server_encoding'), to_regclass(%s) is not null, (select count(*) from pg_class"
        " where relnamespace = current_schema()::regnamespace and relkind = 'r')",
        (VERSION_TABLE,),
    ).fetchone()
    encoding, is_ours, tables = told or ("", False, 0)
    if encoding != "UTF8":
        raise Refused(Refusal(f"keeps its texts in {encoding}", "a database in UTF8", name))
    if not is_ours:
        if tables:
            raise Refused(Refusal("is a database of another program", "an empty database", name))
        return 0
    found = connection.execute("select version from ventwright_version").fetchone()
    return int(found[0]) if found else 0


_MAKE_VERSION = (
    "create table ventwright_version (version bigint not null); insert into ventwright_version values (0)"
)


async def tables(at: Rows, names: Sequence[str]) -> list[Table]:
    """Return tables with their columns."""
    sql = (
        "select attname::text from pg_attribute where attrelid = to_regclass(?) and attnum > 0"
        " and not attisdropped order by attnum"
    )
    return [Table(name, tuple(row[0] for row in await at.all(sql, (name,)))) for name in names]
