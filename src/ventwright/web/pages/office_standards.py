"""The standards as they are held here: editions, rows by search, where each comes from, and what is disputed."""

from __future__ import annotations

from collections import Counter
from functools import cache
from itertools import groupby

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.tables.source import CONFIRMED
from ventwright.web.page import desk_of, page
from ventwright.web.standard_rows import editions, rows_of

MOST_SHOWN = 150
"""Rows on one page; a search makes them fewer."""


async def listed(request: Request) -> Response:
    """Show the editions, with how their rows were confirmed."""
    counts = await desk_of(request).work.now(counted)
    groups = [(title, [(name, *counts[name]) for name in names]) for title, names in editions().items()]
    return await page(request, "standards.html.j2", groups=groups, ways=CONFIRMED.items())


@cache
def counted() -> dict[str, tuple[int, list[tuple[str, int]]]]:
    """Count the rows of every edition by how they were confirmed; it takes a second the first time."""
    found = {}
    for name in {one for names in editions().values() for one in names}:
        counts = Counter(row.source.confirmed for row in rows_of(name))
        found[name] = sum(counts.values()), [(how, counts[how]) for how in CONFIRMED if counts[how]]
    return found


async def edition(request: Request) -> Response:
    """Show the rows of an edition in which all the words stand that are looked for."""
    name, sought = request.path_params["edition"], request.query_params.get("q", "").strip()
    desk = desk_of(request)
    rows = await desk.work.now(rows_of, name)
    if not rows:
        raise HTTPException(404)
    system = await desk.system()
    only = request.query_params.get("only", "")
    found = [row for row in rows if row.holds(sought.casefold().split(), system) and (only != "disputed" or row.disputed)]  # fmt: skip
    tables = [(title, list(held)) for title, held in groupby(found[:MOST_SHOWN], key=lambda row: row.table)]
    return await page(
        request, "standard.html.j2", edition=name, sought=sought, tables=tables, found=len(found), total=len(rows),
        more=max(0, len(found) - MOST_SHOWN), disputed=sum(row.disputed for row in rows), only=only,
    )  # fmt: skip


routes = [
    Route("/standards", listed),
    Route("/standards/{edition}", edition),
]
