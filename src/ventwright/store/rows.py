"""The rows of the database: changes, the list of jobs, settings and files, in SQL that PostgreSQL takes too."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from ventwright.errors import Refusal, Refused
from ventwright.store.change import Change, value_json
from ventwright.store.folding import folded
from ventwright.store.place import overlap

if TYPE_CHECKING:
    import sqlite3

_CHANGE = "select id, job, number, made_at, device, made_by, does, path, value, known from change"
_ARRIVED = _CHANGE.replace(" from", ", arrived from")
_INSERT = (
    "insert into change (id, job, number, made_at, device, made_by, does, path, value, known, arrived)"
    " values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) on conflict do nothing"
)
_COLUMNS = ("id", "site", "tag", "created", "updated", "archived", "revision", "last_number")
_LISTED = "select id, site, tag, created, updated, archived, revision, last_number, sought from job"

_SHOWN_IN_LIST = (("facts", "site"), ("facts", "unit"))
"""Parts of a document from which the list of jobs is made."""


def insert_changes(database: sqlite3.Connection, changes: Sequence[Change]) -> tuple[Change, ...]:
    """Insert the changes that are not there yet and return them.

    Raises
    ------
    Refused
        Another change is there under the id of one of these.
    """
    new = []
    for change in changes:
        reached = database.execute(
            "update arrival set reached = reached + 1 where name = 'change' returning reached"
        ).fetchone()[0]
        inserted = database.execute(_INSERT, (*_cells(change), reached))
        if inserted.rowcount:
            new.append(change)
        elif not _same(database, change):
            accepted = "an id that is made anew for every change"
            raise Refused(Refusal("is another change that is here already", accepted, "id", change.id))
    return tuple(new)


def changes_of(database: sqlite3.Connection, job: str) -> tuple[Change, ...]:
    """Return the changes of a job in order."""
    found = database.execute(_CHANGE + " where job = ? order by number, id", (job,))
    return tuple(_change(row) for row in found)


def arrived_after(database: sqlite3.Connection, mark: int, most: int) -> tuple[tuple[int, Change], ...]:
    """Return changes that came in after a mark, each with its own mark."""
    found = database.execute(_ARRIVED + " where arrived > ? order by arrived limit ?", (mark, most))
    return tuple((row[-1], _change(row[:-1])) for row in found)


def count_after(database: sqlite3.Connection, mark: int) -> int:
    """Return how many changes came in after a mark."""
    number: int = database.execute("select count(*) from change where arrived > ?", (mark,)).fetchone()[0]
    return number


def relist(database: sqlite3.Connection, job: str, new: Sequence[Change]) -> None:
    """Bring the row of a job in the list up to date with changes that were just inserted."""
    row = listed(database, job)
    times = [_utc(change.at) for change in new]
    number = max(change.number for change in new)
    if row is None:
        database.execute(
            "insert into job (id, site, tag, sought, created, updated, revision, last_number)"
            " values (?, '', '', '', ?, ?, 1, ?)",
            (job, min(times), max(times), number),
        )
    else:
        database.execute(
            "update job set created = ?, updated = ?, revision = revision + 1, last_number = ? where id = ?",
            (
                min(*times, _utc(row["created"])),
                max(*times, _utc(row["updated"])),
                max(number, row["last_number"]),
                job,
            ),
        )
    if row is None or any(_shows_in_list(change) for change in new):
        telling = database.execute(
            _CHANGE + " where job = ? and (does = 'undo' or path = '' or path like 'facts%')", (job,)
        )
        words = _words(folded(map(_change, telling)))
        database.execute("update job set site = ?, tag = ?, sought = ? where id = ?", (*words, job))


def listed(database: sqlite3.Connection, job: str) -> dict[str, Any] | None:
    """Return the row of a job in the list, if it is there."""
    found = database.execute(_LISTED + " where id = ?", (job,)).fetchone()
    return _listed(found[:-1]) if found else None


def all_listed(database: sqlite3.Connection, words: Sequence[str]) -> Iterator[dict[str, Any]]:
    """Yield the rows of all jobs in which all the words stand, the one changed last first."""
    found = database.execute(_LISTED + " order by updated desc, id").fetchall()
    return (_listed(row[:-1]) for row in found if all(word in row[-1] for word in words))


def put_aside(database: sqlite3.Connection, job: str, when: datetime | None) -> None:
    """Note when a job was put aside, or that it is not."""
    database.execute("update job set archived = ? where id = ?", (when and _utc(when), job))


def setting(database: sqlite3.Connection, name: str, default: Any) -> Any:
    """Return what is set under a name."""
    found = database.execute("select value from setting where name = ?", (name,)).fetchone()
    return json.loads(found[0]) if found else default


def put_setting(database: sqlite3.Connection, name: str, value: Any) -> None:
    """Set a name, or take it away with None."""
    if value is None:
        database.execute("delete from setting where name = ?", (name,))
        return
    database.execute(
        "insert into setting (name, value) values (?, ?) on conflict (name) do update set value = excluded.value",
        (name, value_json(value)),
    )


def put_file(database: sqlite3.Connection, job: str, name: str, content: bytes | None) -> None:
    """Keep a file of a job, or take it away with None."""
    if content is None:
        database.execute("delete from own_file where job = ? and name = ?", (job, name))
        return
    database.execute(
        "insert into own_file (job, name, content) values (?, ?, ?)"
        " on conflict (job, name) do update set content = excluded.content",
        (job, name, content),
    )


def files_for(database: sqlite3.Connection, job: str) -> dict[str, bytes]:
    """Return the files a job sees: those of all jobs, and over them its own."""
    found = database.execute(
        "select name, content from own_file where job in ('', ?) order by job, name", (job,)
    )
    return {name: bytes(content) for name, content in found}


def _cells(change: Change) -> tuple[str | int, ...]:
    return (
        change.id,
        change.job,
        change.number,
        change.at.isoformat(),
        change.device,
        change.by,
        change.do,
        change.path,
        value_json(change.value),
        value_json(change.over),
    )


def _change(row: Sequence[Any]) -> Change:
    name, job, number, at, device, by, do, path, value, known = row
    return Change(
        name,
        job,
        number,
        datetime.fromisoformat(at),
        device,
        by,
        do,
        path,
        json.loads(value),
        tuple(json.loads(known)),
    )


def _same(database: sqlite3.Connection, change: Change) -> bool:
    found = database.execute(_CHANGE + " where id = ?", (change.id,)).fetchone()
    return tuple(found) == _cells(change)


def _listed(row: Sequence[Any]) -> dict[str, Any]:
    cells = dict(zip(_COLUMNS, row, strict=True))
    times = {key: datetime.fromisoformat(cells[key]) for key in ("created", "updated")}
    return cells | times | {"archived": cells["archived"] is not None}


def _utc(moment: datetime) -> str:
    """Write a moment so that texts sort as times do."""
    return moment.astimezone(UTC).isoformat(timespec="microseconds")


def _shows_in_list(change: Change) -> bool:
    return change.do == "undo" or any(overlap(change.steps, part) for part in _SHOWN_IN_LIST)


def _words(document: dict[str, Any]) -> tuple[str, str, str]:
    """Return the site and the tag of a job, and the words by which it is found."""
    facts = _part(document, "facts")
    site, unit = _part(facts, "site"), _part(facts, "unit")
    words = (site.get("name"), unit.get("tag"), site.get("address"), unit.get("serves"))
    texts = [word if isinstance(word, str) else "" for word in words]
    return texts[0], texts[1], "\n".join(texts).casefold()


def _part(document: dict[str, Any], key: str) -> dict[str, Any]:
    found = document.get(key)
    return found if isinstance(found, dict) else {}
