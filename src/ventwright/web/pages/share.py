"""Sharing between devices: how far it came, the exchange itself, and the app for a phone with no network."""

from __future__ import annotations

import asyncio
import json
from datetime import datetime
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from ventwright.errors import Refused
from ventwright.store.sharing import Send, answered, share, shared
from ventwright.version import VERSION
from ventwright.web.on_phone.folder import Folder
from ventwright.web.page import desk_of, go_to, page

SERVER = "the server"
"""What the server is remembered as on a phone."""

TURN = asyncio.Lock()
"""One exchange at a time: two would write over each other how far they came."""


async def shown(request: Request) -> Response:
    """Show what was shared with whom, and what waits."""
    desk = desk_of(request)
    send: Send | None = request.app.state.peer
    devices: dict[str, Any] = await desk.jobs.setting("devices that shared") or {}
    return await page(
        request,
        "share.html.j2",
        shared=await shared(desk.jobs, SERVER) if send else None,
        devices=[(one["name"], datetime.fromisoformat(one["last"])) for one in reversed(devices.values())],
        jobs=len(await desk.jobs.jobs()) + len(await desk.jobs.jobs(archived=True)),
        kept=_in_words(await desk.jobs.size()),
        has_phone=request.app.state.phone is not None,
        version=VERSION,
    )


async def run(request: Request) -> Response:
    """Share now with the server that the app came from."""
    desk = desk_of(request)
    send: Send | None = request.app.state.peer
    if send is None:
        return go_to(request, "/share")
    async with TURN:
        name = str(await desk.jobs.setting("technician") or "")
        outcome = await share(desk.jobs, SERVER, send, name=name)
    return go_to(request, "/share", said="" if outcome.problem else "shared")


async def exchange(request: Request) -> Response:
    """Take what another device sends, and answer with what it lacks."""
    try:
        asked = json.loads(await request.body())
        return JSONResponse(await answered(desk_of(request).jobs, asked))
    except Refused as refused:
        return JSONResponse({"protocol": 0, "problem": refused.refusals[0].sentence}, 422)
    except ValueError:
        return JSONResponse({"protocol": 0, "problem": "This is no message of a device that shares."}, 400)


async def to_phone(request: Request) -> Response:
    """Send the browser to the app for a phone."""
    return RedirectResponse(f"{request.scope.get('root_path', '')}/phone/", 307)


async def phone_file(request: Request) -> Response:
    """Hand out a file of the app for a phone, or say how it is added."""
    folder: Folder | None = request.app.state.phone
    if folder is None:
        return await page(request, "no_phone.html.j2", status=404)
    name = request.path_params["name"]
    if (found := folder.file(name, request.headers, named=bool(request.url.query))) is not None:
        return found
    if "." in name.rpartition("/")[2]:
        raise HTTPException(404)
    return RedirectResponse(f"{request.scope.get('root_path', '')}/phone/", 307)


def _in_words(size: int) -> str:
    return f"{size / 1e6:.1f} MB" if size >= 1e6 else f"{size / 1e3:.0f} kB"


routes = [
    Route("/share", shown),
    Route("/share", run, methods=["POST"]),
    Route("/sync", exchange, methods=["POST"]),
    Route("/phone", to_phone),
    Route("/phone/{name:path}", phone_file),
]
