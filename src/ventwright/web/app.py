"""The application: every page's routes, the static files, and what is said when something is not there."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable, Coroutine, Iterable, Sequence
from contextlib import asynccontextmanager
from http import HTTPStatus
from typing import TYPE_CHECKING, Any

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Route

from ventwright.errors import Refused
from ventwright.store.jobs import Jobs
from ventwright.store.sharing import Send
from ventwright.web import page as pages
from ventwright.web.desk import Desk, NoSuchJob
from ventwright.web.guard import Application, Guard
from ventwright.web.handed_in import HandedIn
from ventwright.web.on_phone.folder import Folder
from ventwright.web.pages import (
    balance,
    balance_entry,
    entries,
    facts,
    find,
    job,
    leave,
    office,
    office_parts,
    office_site,
    office_standards,
    photos,
    plan,
    plan_provable,
    plan_settings,
    practice,
    prove,
    recheck,
    recheck_read,
    record,
    restore,
    savings,
    sensors,
    settings_as_left,
    share,
    trends,
    trends_columns,
    typed_lists,
    wire,
    wire_land,
    wire_meter,
    wire_parts,
    wire_power,
    wire_power_meter,
    wire_seen,
    yours,
)
from ventwright.web.pages import jobs as jobs_pages
from ventwright.web.work import Here, Work

if TYPE_CHECKING:
    from ventwright.store.shop import Shop

KINDS = {
    "css": "text/css; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "svg": "image/svg+xml",
    "png": "image/png",
}

Beside = Callable[[Desk], Coroutine[Any, Any, None]]
"""Something that goes on beside the pages, with the desk that sees all jobs."""

FOR_GOOD = {"cache-control": "public, max-age=31536000, immutable"}


def make_app(
    jobs: Jobs,
    *,
    work: Work | None = None,
    hosts: Iterable[str] = ("localhost",),
    device: str = "server",
    peer: Send | None = None,
    phone: Folder | None = None,
    shop: Shop | None = None,
    beside: Sequence[Beside] = (),
) -> Application:
    """Make the application.

    Parameters
    ----------
    jobs
        Where the jobs are kept.
    work
        Who does long work; left out, it is done where it was asked for.
    hosts
        Names by which this server may be called.
    device
        Name of this device in what is entered on it.
    peer
        The way to the server that this device shares with; left out, it is the one that others share with.
    phone
        The app for a phone, where it was built.
    shop
        People with accounts; left out, whoever reaches the server may do everything.
    beside
        What goes on for as long as the app runs, such as handing finished jobs on.

    Raises
    ------
    Refused
        There is a shop, and passwords cannot be hashed here.
    """
    more = list[BaseRoute]()
    if shop is not None:
        from ventwright.web.shop.application import made_a_shop, shop_routes

        more = shop_routes()

    @asynccontextmanager
    async def living(_: Starlette) -> AsyncIterator[None]:
        going = [asyncio.create_task(one(desk)) for one in beside]
        yield
        for one in going:
            one.cancel()
        application.state.handed_in.close()
        desk.work.close()
        jobs.close()

    desk = Desk(jobs, work or Here(), device)
    application = Starlette(
        routes=[*more, *routes()],
        lifespan=living,
        exception_handlers={
            HTTPException: _not_there,
            NoSuchJob: _no_such_job,
            Refused: _refused,
            Exception: _went_wrong,
        },
    )
    application.state.desk = desk
    application.state.handed_in = HandedIn()
    application.state.peer, application.state.phone = peer, phone
    if shop is not None:
        made_a_shop(application, shop, desk)
    return Guard(application, hosts, tokens=shop is not None)


def routes() -> list[BaseRoute]:
    """Every route, stage by stage."""
    return [
        Route("/files/{edition}/{name}", static_file),
        Route("/manifest.webmanifest", manifest),
        *jobs_pages.routes,
        *yours.routes,
        *share.routes,
        *job.routes,
        *facts.routes,
        *sensors.routes,
        *prove.routes,
        *restore.routes,
        *leave.routes,
        *entries.routes,
        *find.routes,
        *practice.routes,
        *photos.routes,
        *office.routes,
        *office_parts.routes,
        *office_site.routes,
        *office_standards.routes,
        *record.routes,
        *recheck.routes,
        *recheck_read.routes,
        *savings.routes,
        *trends.routes,
        *trends_columns.routes,
        *typed_lists.routes,
        *balance.routes,
        *balance_entry.routes,
        *plan.routes,
        *plan_settings.routes,
        *plan_provable.routes,
        *settings_as_left.routes,
        *wire.routes,
        *wire_parts.routes,
        *wire_land.routes,
        *wire_seen.routes,
        *wire_meter.routes,
        *wire_power_meter.routes,
        *wire_power.routes,
    ]


async def static_file(request: Request) -> Response:
    """Answer with a file that goes to the browser as it is."""
    name = request.path_params["name"]
    content = pages.static_files().get(name)
    if content is None:
        raise HTTPException(404)
    present = request.path_params["edition"] == pages.edition()
    headers = FOR_GOOD if present else {"cache-control": "no-cache"}
    return Response(content, media_type=KINDS[name.rpartition(".")[2]], headers=headers)


ICONS = {
    "icon.svg": {"sizes": "any", "type": "image/svg+xml"},
    "icon-192.png": {"sizes": "192x192", "type": "image/png"},
    "icon-512.png": {"sizes": "512x512", "type": "image/png"},
    "icon-cut-512.png": {"sizes": "512x512", "type": "image/png", "purpose": "maskable"},
}
"""Pictures for a home screen; the last for one that cuts its rim off."""


async def manifest(request: Request) -> Response:
    """Say how the app is called and looks where it is put on a home screen."""
    base = request.scope.get("root_path", "")
    files = f"{base}/files/{pages.edition()}"
    return JSONResponse(
        {
            "name": "Ventwright",
            "short_name": "Ventwright",
            "start_url": f"{base}/",
            "scope": f"{base}/",
            "display": "standalone",
            "background_color": "#ffffff",
            "theme_color": "#004b57",
            "icons": [{"src": f"{files}/{name}", **told} for name, told in ICONS.items()],
        },
        media_type="application/manifest+json",
    )


async def _not_there(request: Request, failure: Exception) -> Response:
    status = failure.status_code if isinstance(failure, HTTPException) else 500
    words = {
        404: "There is no such page here. It may have been moved, or the address was cut short.",
        405: "This address takes no such request.",
    }.get(status, f"This cannot be done ({HTTPStatus(status).phrase.lower()}).")
    return await pages.page(request, "sorry.html.j2", status=status, title="Not here", words=words)


async def _no_such_job(request: Request, _: Exception) -> Response:
    words = "This job is not kept here. It may be on another device: bring it over as a file."
    return await pages.page(request, "sorry.html.j2", status=404, title="No such job", words=words)


async def _refused(request: Request, failure: Exception) -> Response:
    """Say what was refused where a page did not say it beside its own fields."""
    words = " ".join(one.sentence for one in failure.refusals) if isinstance(failure, Refused) else ""
    return await pages.page(request, "sorry.html.j2", status=422, title="Not entered", words=words)


async def _went_wrong(request: Request, _: Exception) -> Response:
    """Say that the mistake is ours; the server raises the exception again and tells it where it was started."""
    words = (
        "Something went wrong here, not with what you entered. What was saved before is still there. Go back and send "
        "it once more; if it happens again, take the job along as a file and report it with the time of day."
    )
    return await pages.page(request, "sorry.html.j2", status=500, title="Our mistake", words=words)
