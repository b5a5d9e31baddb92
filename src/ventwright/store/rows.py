"""The rows of the database: changes, the list of jobs, settings and files, in SQL that both databases take."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from ventwright.errors import Refusal, Refused
from ventwright.store.change import Change, value_json
from ventwright.store.database import Rows
from ventwright.store.folding import folded
from ventwright.store.place import overlap
from ventwright.store.statements import as_text

_CHANGE = "select id, job, number, made_at, device, made_by, does, path, value, known from change"
_ARRIVED = _CHANGE.replace(" from", ", arrived from")
_INSERT = "insert into change (id, job, number, made_at, device, made_by, does, path, value, known, arrived) values "
_CELLS = "(?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
_COLUMNS = ("id", "site", "tag", "created", "updated", "archived", "revision", "last_number")
_LISTED = "select id, site, tag, created, updated, archived, revision, last_number, sought from job"

AT_ONCE = 100
"""Changes in one statement."""

_SHOWN_IN_LIST = (("facts", "site"), ("facts", "unit"))
"""Parts of a document from which the list of jobs is made."""


async def insert_changes(at: Rows, changes: Sequence[Change]) -> tuple[Change, ...]:
    """Insert the changes that are not there yet and return them.

    Raises
    ------
    Refused
        Another change is there under the id of one of these.
    """
    if not changes:
        return ()
    reached = await at.one(
        "update arrival set reached = reached + ? where name = 'change' returning reached", (len(changes),)
    )
    first = (reached[0] if reached else 0) - len(changes) + 1
    inserted = set[str]()
    for start in range(0, len(changes), AT_ONCE):
        piece = changes[start : start + AT_ONCE]
        cells = [cell for number, one in enumerate(piece, first + start) for cell in (*_cells(one), number)]
        sql = _INSERT + ", ".join([_CELLS] * len(piece)) + " on conflict do nothing returning id"
        inserted |= {row[0] for row in await at.all(sql, cells)}
    new, known = list[Change](), list[Change]()
    for change in changes:
        (new if change.id in inserted else known).append(change)
        inserted.discard(change.id)
    for start in range(0, len(known), AT_ONCE):
        await _refuse_others(at, known[start : start + AT_ONCE])
    return tuple(new)


async def _refuse_others(at: Rows, changes: Sequence[Change]) -> None:
    """Refuse changes under whose id another one is there."""
    marks = ", ".join("?" * len(changes))
    held = {
        row[0]: row for row in await at.all(f"{_CHANGE} where id in ({marks})", [one.id for one in changes])
    }
    for change in changes:
        if held[change.id] != _cells(change):
            accepted = "an id that is made anew for every change"
            raise Refused(Refusal("is another change that is here already", accepted, "id", change.id))


async def changes_of(at: Rows, job: str) -> tuple[Change, ...]:
    """Return the changes of a job in order."""
    return tuple(map(_change, await at.all(_CHANGE + " where job = ? order by number, id", (job,))))


async def arrived_after(at: Rows, mark: int, most: int) -> tuple[tuple[int, Change], ...]:
    """Return changes that came in after a mark, each with its own mark."""
    found = await at.all(_ARRIVED + " where arrived > ? order by arrived limit ?", (mark, most))
    return tuple((row[-1], _change(row[:-1])) for row in found)


async def count_after(at: Rows, mark: int) -> int:
    """Return how many changes came in after a mark."""
    found = await at.one("select count(*) from change where arrived > ?", (mark,))
    return int(found[0]) if found else 0


async def relist(at: Rows, job: str, new: Sequence[Change]) -> None:
    """Bring the row of a job in the list up to date with changes that were just inserted."""
    row = await listed(at, job)
    times = [as_text(change.at) for change in new]
    number = max(change.number for change in new)
    if row is None:
        await at.run(
            "insert into job (id, site, tag, sought, created, updated, revision, last_number)"
            " values (?, '', '', '', ?, ?, 1, ?)",
            (job, min(times), max(times), number),
        )
    else:
        await at.run(
            "update job set created = ?, updated = ?, revision = revision + 1, last_number = ? where id = ?",
            (
                min(*times, as_text(row["created"])),
                max(*times, as_text(row["updated"])),
                max(number, row["last_number"]),
                job,
            ),
        )
    if row is None or any(_shows_in_list(change) for change in new):
        telling = await at.all(
            _CHANGE + " where job = ? and (does = 'undo' or path = '' or path like 'facts%')", (job,)
        )
        words = _words(folded(map(_change, telling)))
        await at.run("update job set site = ?, tag = ?, sought = ? where id = ?", (*words, job))


async def listed(at: Rows, job: str) -> dict[str, Any] | None:
    """Return the row of a job in the list, if it is there."""
    found = await at.one(_LISTED + " where id = ?", (job,))
    return _listed(found[:-1]) if found else None


async def all_listed(at: Rows, words: Sequence[str]) -> list[dict[str, Any]]:
    """Return the rows of all jobs in which all the words stand, the one changed last first."""
    found = await at.all(_LISTED + " order by updated desc, id")
    return [_listed(row[:-1]) for row in found if all(word in row[-1] for word in words)]


async def put_aside(at: Rows, job: str, when: datetime | None) -> None:
    """Note when a job was put aside, or that it is not."""
    await at.run("update job set archived = ? where id = ?", (when and as_text(when), job))


async def setting(at: Rows, name: str, default: Any) -> Any:
    """Return what is set under a name."""
    found = await at.one("select value from setting where name = ?", (name,))
    return json.loads(found[0]) if found else default


async def put_setting(at: Rows, name: str, value: Any) -> None:
    """Set a name, or take it away with None."""
    if value is None:
        await at.run("delete from setting where name = ?", (name,))
        return
    await at.run(
        "insert into setting (name, value) values (?, ?) on conflict (name) do update set value = excluded.value",
        (name, value_json(value)),
    )


async def put_file(at: Rows, job: str, name: str, content: bytes | None) -> None:
    """Keep a file of a job, or take it away with None."""
    if content is None:
        await at.run("delete from own_file where job = ? and name = ?", (job, name))
        return
    await at.run(
        "insert into own_file (job, name, content) values (?, ?, ?)"
        " on conflict (job, name) do update set content = excluded.content",
        (job, name, content),
    )


async def files_for(at: Rows, job: str) -> dict[str, bytes]:
    """Return the files a job sees: those of all jobs, and over them its own."""
    found = await at.all("select name, content from own_file where job in ('', ?) order by job, name", (job,))
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


def _listed(row: Sequence[Any]) -> dict[str, Any]:
    cells = dict(zip(_COLUMNS, row, strict=True))
    times = {key: datetime.fromisoformat(cells[key]) for key in ("created", "updated")}
    return cells | times | {"archived": cells["archived"] is not None}


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
