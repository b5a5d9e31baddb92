"""The units of a fleet from a table of PostgreSQL: one row a moment, one column a point, and who it is in others."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ventwright.errors import Refusal, Refused
from ventwright.quantity import System
from ventwright.readings.trend import PointMap
from ventwright.verdict.trend_findings import KnownUnit

if TYPE_CHECKING:
    from psycopg import Connection

    from ventwright.store.fleet.gathering import Gathered

TIMES = ("timestamp with time zone", "timestamp without time zone", "bigint", "integer")
"""Types of the column of times; whole numbers are seconds since 1970."""


@dataclass(frozen=True, slots=True)
class Table:
    """Where the rows of one unit are."""

    address: str
    name: str
    time: str
    time_type: str
    unit_column: str
    site_column: str
    """Nothing where the table has none."""
    site: str
    unit: str
    points: tuple[str, ...]
    """The other columns."""

    def __repr__(self) -> str:
        """Say which it is without the address, which may hold a password."""
        return f"Table({self.name!r}, {self.site!r}, {self.unit!r})"


@dataclass(frozen=True, slots=True)
class TableForm:
    """How a table is called and what its columns are for."""

    name: str = "readings"
    time: str = "time"
    unit: str = "unit"
    site: str = "site"


def gathered_from_table(
    address: str,
    form: TableForm,
    said: PointMap | None,
    knows: Callable[[str, str], KnownUnit],
    system: System = "us",
) -> Gathered:
    """Find the units of a fleet in a table.

    Parameters
    ----------
    address
        Of the database: ``postgresql://…``.
    form
        The table and its columns.
    said
        What a person says of its columns.
    knows
        What is known of a unit, by its site and its name.
    system
        Units of the pages.

    Raises
    ------
    Refused
        The database does not answer, or has no such table with such columns.
    """
    from psycopg import sql

    from ventwright.store.fleet.gathering import Gathered
    from ventwright.store.fleet.unit_task import UnitTask

    with _connected(address) as connection:
        types = _columns(connection, form)
        of_site = form.site if form.site in types else ""
        points = tuple(one for one in types if one not in {form.time, form.unit, of_site})
        who = [sql.Identifier(one) for one in ([of_site] if of_site else []) + [form.unit]]
        counting = sql.SQL(
            "select {who}, count(*), sum(hashtextextended(row({cells})::text, 0)) from {table} group by {who} order by {who}"
        )  # the sum is the same in whatever order the rows stand, and another one where a value is
        found = connection.execute(
            counting.format(
                who=sql.SQL(", ").join(who),
                cells=sql.SQL(", ").join(map(sql.Identifier, (form.time, *points))),
                table=sql.Identifier(form.name),
            )
        ).fetchall()
        base = connection.info.dbname
    tasks = []
    for *whose, count, values in found:
        site, unit = (str(whose[0]), str(whose[1])) if of_site else (base, str(whose[0]))
        data = Table(address, form.name, form.time, types[form.time], form.unit, of_site, site, unit, points)
        stamp = hashlib.sha256(repr((count, values, points)).encode()).hexdigest()
        tasks.append(UnitTask(site, unit, said or PointMap(), knows(site, unit), data, stamp, system))
    if not tasks:
        raise Refused(Refusal("holds no row", "a table of readings", given=form.name))
    return Gathered(tuple(tasks))


def _connected(address: str) -> Connection[Any]:
    try:
        import psycopg
    except ImportError:
        accepted = "a folder of logs, or an installation with the extra shop"
        raise Refused(
            Refusal("needs the package psycopg, which is not installed", accepted, "postgresql://")
        ) from None
    try:
        return psycopg.connect(address, connect_timeout=10)
    except (psycopg.OperationalError, psycopg.ProgrammingError) as failure:
        reason = str(failure).strip().splitlines()[-1] if str(failure).strip() else "no answer"
        accepted = "the address of a database that is up, such as postgresql://reader@db.example/logs"
        raise Refused(
            Refusal(f"cannot be reached ({_without(address, reason)})", accepted, "the database")
        ) from None


def _without(address: str, reason: str) -> str:
    """Return what the database's library said, without the address, which may hold a password."""
    return reason.replace(address, "its address")


def _columns(connection: Connection[Any], form: TableForm) -> dict[str, str]:
    """Return the columns of a table and their types, in their order."""
    rows = connection.execute(
        "select column_name, data_type from information_schema.columns"
        " where table_name = %s and table_schema = any (current_schemas(false)) order by ordinal_position",
        (form.name,),
    ).fetchall()
    types = {str(name): str(kind) for name, kind in rows}
    if not types:
        raise Refused(Refusal("is no table there", "--table with the name of one", "--table", form.name))
    for option, name in (("--time-column", form.time), ("--unit-column", form.unit)):
        if name not in types:
            raise Refused(Refusal(f"is no column of {form.name}", ", ".join(types), option, name))
    if types[form.time] not in TIMES:
        problem = f"is no column of times ({types[form.time]})"
        raise Refused(Refusal(problem, ", ".join(TIMES), "--time-column", form.time))
    return types


def written_to(table: Table, folder: Path, unit: str) -> Path:
    """Write the rows of one unit into a file, as a logger would; memory holds a few of them at a time.

    Raises
    ------
    Refused
        The database does not answer.
    """
    from psycopg import sql

    time = sql.Identifier(table.time)
    shown = {
        "timestamp with time zone": sql.SQL(
            "to_char({} at time zone 'UTC', 'YYYY-MM-DD\"T\"HH24:MI:SS\"Z\"')"
        ),
        "timestamp without time zone": sql.SQL("to_char({}, 'YYYY-MM-DD HH24:MI:SS')"),
    }.get(table.time_type, sql.SQL("{}")).format(time)
    whose = [sql.SQL("{} = {}").format(sql.Identifier(table.unit_column), sql.Literal(table.unit))]
    if table.site_column:
        whose.append(sql.SQL("{} = {}").format(sql.Identifier(table.site_column), sql.Literal(table.site)))
    copying = sql.SQL(
        "copy (select {shown} as time, {points} from {table} where {whose} order by {time}) to stdout (format csv, header)"
    ).format(
        shown=shown,
        points=sql.SQL(", ").join(sql.Identifier(one) for one in table.points),
        table=sql.Identifier(table.name),
        whose=sql.SQL(" and ").join(whose),
        time=time,
    )
    plain = "".join(sign if sign.isalnum() or sign in "-_" else "_" for sign in unit) or "unit"
    path = folder / f"{plain}.csv"
    with (
        _connected(table.address) as connection,
        connection.cursor() as cursor,
        path.open("wb") as file,
        cursor.copy(copying) as rows,
    ):
        file.writelines(rows)
    return path
