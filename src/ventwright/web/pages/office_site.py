"""A site: its units side by side, what is not proved, what is due, and the next unit from what the site has in common."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from urllib.parse import urlencode

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.evidence import Verdict
from ventwright.job import Worked
from ventwright.store.jobs import Listed
from ventwright.web.desk import Desk, local_now
from ventwright.web.page import desk_of, page
from ventwright.web.standing import Standing, standing_of
from ventwright.words import Words

AT_ONCE = 20
"""Units on one page: each is worked out (our own choice)."""


@dataclass(frozen=True, slots=True)
class Due:
    """Something that has a day: what, of which unit, and whether the day is past."""

    day: date
    what: str
    tag: str
    job: str
    past: bool


@dataclass(frozen=True, slots=True)
class UnitStands:
    """One unit of a site: how it stands, what is not proved, and what is missing to say so."""

    id: str
    tag: str
    serves: str
    stands: Standing
    passes: int
    of: int
    open: tuple[tuple[Words, Verdict], ...]
    lacking: tuple[str, ...]


async def sites(request: Request) -> Response:
    """Show the sites of the jobs that are here."""
    counts: dict[str, list[Listed]] = {}
    for row in await desk_of(request).jobs.jobs():
        counts.setdefault(row.site, []).append(row)
    rows = [
        (name, f"?{urlencode({'name': name})}", len(held), ", ".join(sorted(one.tag for one in held)[:6]))
        for name, held in sorted(counts.items())
    ]
    return await page(request, "sites.html.j2", rows=rows)


async def site(request: Request) -> Response:
    """Show the units of a site side by side."""
    desk, name = desk_of(request), request.query_params.get("name", "")
    rows = sorted(
        (row for row in await desk.jobs.jobs() if row.site == name), key=lambda row: _natural(row.tag)
    )
    if not rows:
        raise HTTPException(404)
    first = _number(request.query_params.get("from", ""), len(rows))
    shown = rows[first : first + AT_ONCE]
    units, due_days = [], list[Due]()
    for row in shown:
        unit, due = await _unit(desk, row)
        units.append(unit)
        due_days += due
    following = (
        f"?{urlencode({'name': name, 'from': first + AT_ONCE})}" if first + AT_ONCE < len(rows) else ""
    )
    return await page(
        request, "site.html.j2", name=name, units=units, dues=sorted(due_days, key=lambda one: one.day), total=len(rows), following=following,
    )  # fmt: skip


def _number(typed: str, below: int) -> int:
    return min(int(typed), below - 1) if typed.isdigit() and len(typed) < 9 else 0


def _natural(tag: str) -> list[tuple[int, str]]:
    """Order tags as people do: R-2 before R-10."""
    parts, number = list[tuple[int, str]](), ""
    for letter in f"{tag} ":
        if letter.isdecimal() and letter.isascii():
            number += letter
            continue
        if number:
            parts.append((int(number), ""))
            number = ""
        parts.append((-1, letter.casefold()))
    return parts


async def _unit(desk: Desk, row: Listed) -> tuple[UnitStands, list[Due]]:
    opened = await desk.open(row.id)
    stands = standing_of(opened, await desk.proof(opened))
    serves = str((opened.facts.get("unit") or {}).get("serves") or "")
    worked = opened.worked
    if worked is None:
        missing = tuple(one.sentence for one in opened.lacking)
        return UnitStands(row.id, row.tag, serves, stands, 0, 0, (), missing), []
    checks = list(worked.verdicts.checks())
    open_ones = tuple((one.what, one.verdict) for one in checks if one.verdict is not Verdict.PASSES)
    passes = len(checks) - len(open_ones)
    unit = UnitStands(row.id, row.tag, serves, stands, passes, len(checks), open_ones, ())
    return unit, list(dues(worked, row, local_now("").date()))


def dues(worked: Worked, row: Listed, today: date) -> Iterator[Due]:
    """Yield what is due of a job: what stays wrong, and the re-test of what is not proved."""
    if worked.job.record.retest_by is not None:
        day = worked.job.record.retest_by
        yield Due(day, "prove what is not proved", row.tag, row.id, day < today)
    for one in worked.job.verdict.deficiencies:
        if one.due is not None and one.closed_on is None:
            yield Due(one.due, one.what, row.tag, row.id, one.due < today)


routes = [
    Route("/sites", sites),
    Route("/site", site),
]
