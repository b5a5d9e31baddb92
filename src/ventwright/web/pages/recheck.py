"""A year later: what came of the check in ten minutes, number by number, and the next thing to do."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.evidence import Verdict
from ventwright.job import Worked
from ventwright.verdict import Check
from ventwright.web.page import desk_of, page
from ventwright.web.pages.waiting import waiting
from ventwright.web.year_later import (
    NUMBERS,
    YearLater,
    last_check,
    number_of,
    read_today,
    under_way,
    year_later,
)

TITLE = "A year later"

TITLES = {
    "signal": "Damper signal at minimum",
    "high-limit": "High limit of free cooling",
    "sensor": "A sensor beside a probe",
    "air": "Outdoor, return and mixed air",
}

GO_ON = {
    "signal": ("/set", "Set it back"),
    "high-limit": ("/set", "Set it back"),
    "sensor": ("/find", "Find out why"),
    "air": ("/find", "Find out why"),
}
"""Where what drifted is put right, by its number."""


async def overview(request: Request) -> Response:
    """Show what is read, what came of it, and the next thing to read."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "", TITLE)
    worked, speed = opened.worked, speed_of(request, opened.worked)
    visit = last_check(worked.job.readings)
    found = await desk.work.now(year_later, worked, opened.folder, speed, visit)
    going = under_way(visit, datetime.now(UTC))
    unread = found.unread if going else NUMBERS
    return await page(
        request, "recheck.html.j2", opened=opened, title=TITLE, titles=TITLES, rows=[_row(one, found) for one in found.checks],
        visit=visit, going=going, found=found, next=unread[0] if unread else "", left=bool(found.left), speed=speed,
        speeds=[one.name for one in worked.plan.speeds], query=query_of(worked, speed),
        put_right=GO_ON[number_of(found.drifted[0])] if found.drifted and not found.open_lines else None,
        counts={one.value: sum(check.verdict is one and read_today(check) for check in found.checks) for one in Verdict},
    )  # fmt: skip


def _row(check: Check, found: YearLater) -> dict[str, Any]:
    """Return one number as the page lists it."""
    name = number_of(check)
    state = {
        Verdict.PASSES: ("done", "as left"),
        Verdict.FAILS: ("wrong", "drifted"),
        Verdict.CANNOT_TELL: ("open", "cannot tell"),
    }[check.verdict] if read_today(check) else ("none", "not read")  # fmt: skip
    return {"number": name, "what": check.what, "state": state, "sentence": check.sentence if read_today(check) else dict(found.left).get(name),
            "settle": check.shortfall.settle_by if check.shortfall is not None and read_today(check) else None}  # fmt: skip


def speed_of(request: Request, worked: Worked) -> str:
    """Return the fan speed that the address names, the fastest where it names none of this unit."""
    names = [one.name for one in worked.plan.speeds]
    named = request.query_params.get("speed", "")
    return named if named in names else names[0]


def query_of(worked: Worked, speed: str) -> str:
    """Return the part of an address that names the speed; nothing for the fastest."""
    return "" if speed == worked.plan.speeds[0].name else f"?speed={quote(speed)}"


routes = [Route("/jobs/{job}/recheck", overview)]
