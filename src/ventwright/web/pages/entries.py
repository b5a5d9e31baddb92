"""Everything entered, in order, with a way to take an entry out: nothing is overwritten, a later entry says so."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.readings import Withdrawn
from ventwright.web.entries import entry_steps
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.waiting import waiting
from ventwright.web.received import received


async def shown(request: Request) -> Response:
    """List the entries, latest first, those taken out among them."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "", "Everything entered")
    readings = opened.worked.job.readings
    replaced = {one.corrects for one in readings.entries}
    rows = [one for one in reversed(readings.entries) if not isinstance(one, Withdrawn)]
    return await page(
        request, "entries.html.j2", opened=opened, rows=rows, replaced=replaced, visits=readings.visits
    )


async def take_out(request: Request) -> Response:
    """Take an entry out: it stays in the list, and counts for nothing."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    steps = await entry_steps(desk, opened, form, "withdrawn", corrects=form.get("id"), note=form.get("note"))
    ids = await desk.enter(opened, steps, once=form.get("once"))
    return go_to(request, f"/jobs/{opened.id}/entries", said="saved", undo=ids)


routes = [
    Route("/jobs/{job}/entries", shown),
    Route("/jobs/{job}/entries", take_out, methods=["POST"]),
]
