"""All jobs that one sees: what is due, not proved, not put back or found in logs, who has it, whether it was looked at."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.store.holdings import Looked
from ventwright.store.jobs import Listed
from ventwright.web.desk import local_now
from ventwright.web.page import desk_of, page
from ventwright.web.pages.trends import found_in
from ventwright.web.shop.fleet_line import NOTHING_YET, FleetLine, lines
from ventwright.web.shop.held import held_of

SHOWN_AT_ONCE = 100

LAST = "9999"
"""Sorts after every day."""


@dataclass(frozen=True, slots=True)
class InFleet:
    """One job in the list. ``line`` is None where it has not been worked out yet."""

    row: Listed
    line: FleetLine | None
    who: tuple[str, ...]
    looked: Looked | None
    in_logs: int
    """Faults that its logs show; -1 where none were judged."""

    @property
    def looked_state(self) -> str:
        """Whether a reviewer looked at it: as it is now, before it changed, or not."""
        if self.looked is None:
            return "not"
        return "now" if self.looked.revision == self.row.revision else "before"


ORDERS: dict[str, tuple[str, Callable[[InFleet], Any]]] = {
    "due": ("Due", lambda one: ((one.line or NOTHING_YET).due or LAST, one.row.site, one.row.tag)),
    "site": ("Site and unit", lambda one: (one.row.site.casefold(), one.row.tag.casefold())),
    "unproved": (
        "Not proved",
        lambda one: -((one.line or NOTHING_YET).open + (one.line or NOTHING_YET).fails),
    ),
    "in-logs": ("Found in logs", lambda one: -one.in_logs),
    "not-back": ("Not put back", lambda one: -(one.line or NOTHING_YET).not_back),
    "who": ("Who has it", lambda one: (not one.who, one.who)),
    "looked": ("Looked at", lambda one: (["not", "before", "now"].index(one.looked_state), one.row.site)),
    "changed": ("Changed", lambda one: -one.row.updated.timestamp()),
}
"""Orders of the list: what each is called, and by what it sorts."""


def in_logs_of(found: Any) -> int:
    """Return how many faults the logs of a job show, -1 where none were judged."""
    return len(found["us"]["findings"]) if found else -1


async def shown(request: Request) -> Response:
    """Show all jobs that one sees."""
    held, desk, asked = held_of(request), desk_of(request), request.query_params
    site, who, by = (asked.get(name, "") for name in ("site", "who", "by"))
    by = by if by in ORDERS else "due"
    everything = await desk.jobs.jobs()
    names = {one.id: one.name for one in await held.shop.people.all()}
    has = {
        job: tuple(sorted(names.get(one, "–") for one in people))
        for job, people in (await held.shop.holdings.all()).items()
    }
    rows = [
        row
        for row in everything
        if (not site or row.site == site) and (not who or who in has.get(row.id, ()))
    ]
    today = local_now("").date()
    known = await lines(desk, rows, today)
    looked = await held.shop.holdings.looked(row.id for row in rows)
    found = [
        InFleet(
            row,
            known.get(row.id),
            has.get(row.id, ()),
            next(iter(looked.get(row.id, [])), None),
            in_logs_of(await desk.jobs.setting(found_in(row.id))),
        )
        for row in rows
    ]
    found.sort(key=ORDERS[by][1])
    kept = {name: value for name, value in (("site", site), ("who", who)) if value}
    return await page(
        request, "shop_fleet.html.j2", fleet=found[:SHOWN_AT_ONCE], more=max(0, len(found) - SHOWN_AT_ONCE),
        waiting=len(rows) - len(known), by=by, site=site, who=who, today=today,
        past=sum(one.line is not None and one.line.is_past(today) for one in found),
        not_back=sum((one.line or NOTHING_YET).not_back > 0 for one in found),
        orders=[(name, words, f"?{urlencode(kept | {'by': name})}") for name, (words, _) in ORDERS.items()],
        sites=sorted({row.site for row in everything if row.site}),
        people=sorted({one for row in everything for one in has.get(row.id, ())}),
    )  # fmt: skip


routes = [Route("/fleet", shown)]
