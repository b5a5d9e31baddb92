"""What every request to a shop passes: who it is, whether he may, and with whose eyes the pages look."""

from __future__ import annotations

from collections.abc import MutableMapping
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Match, Route

from ventwright.store.seen import SeenJobs
from ventwright.store.sharing import PROTOCOL
from ventwright.web.guard import Application, Message, Receive, Scope, Send
from ventwright.web.page import page
from ventwright.web.shop.held import Held
from ventwright.web.shop.limits import TooOften
from ventwright.web.shop.visitor import Visitor, bearer, device_of, session_of
from ventwright.web.shop.who_may import TAKEN_AWAY, May, who_may

FOR_PROGRAMS = frozenset({May.DEVICE, May.PROGRAM, May.PROGRAM_ON_JOB})
ON_A_JOB = frozenset({May.ON_JOB, May.PROGRAM_ON_JOB})
FOR_A_DEVICE = (
    "This device may not share here (any more): sign in on it, and let it share on the page of your account."
)


class Gate:
    """Lets a request through to the page that it asks for, or says why not."""

    def __init__(self, application: Application, held: Held) -> None:
        self._application, self._held = application, held

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request."""
        if scope["type"] != "http":
            await self._application(scope, receive, send)
            return
        request = Request(scope, receive)
        path, job = _route(scope)
        may = who_may(path, request.method) if path else May.ANYBODY
        try:
            visitor = await self._visitor(request, may)
            self._place(request, visitor)
            refused = await self._refused(request, may, visitor, job)
        except TooOften as often:
            self._place(request, Visitor(None, None, ""))
            refused = await too_often(request, often)
        if refused is not None:
            await refused(scope, receive, send)
            return
        noted = _Noted(send)
        await self._application(scope, receive, noted)
        if job and visitor.person is not None and noted.status < 400:
            await self._note(visitor, path, job, request.method)

    async def _visitor(self, request: Request, may: May | None) -> Visitor:
        """Tell who it is; a token in the header speaks for itself, whatever cookies come along."""
        held = self._held
        if may is May.DEVICE or bearer(request) is not None:
            visitor = await device_of(held.shop, held.limits, request)
            if visitor.token is not None:
                await held.limits.asked_by_device(visitor.token.id)
            return visitor
        return await session_of(held.shop, held.limits, request)

    def _place(self, request: Request, visitor: Visitor) -> None:
        """Let the pages look with this person's eyes."""
        state: MutableMapping[str, Any] = request.scope.setdefault("state", {})
        state["desk"] = self._held.seen_by(visitor.seeing)
        state["visitor"] = visitor
        by_session = visitor.token is not None and visitor.token.kind == "session"
        state["account"] = visitor.person if by_session else None

    async def _refused(
        self, request: Request, may: May | None, visitor: Visitor, job: str
    ) -> Response | None:
        """Return what is answered to whoever may not."""
        if may in {May.ANYBODY, May.LINK}:
            return None
        if may is None:
            return await sorry(request, 403, "Not here", "Nobody was given leave to open this.")
        if visitor.person is None:
            return _not_a_device() if may in FOR_PROGRAMS else await asked_to_sign_in(request)
        if may not in FOR_PROGRAMS and visitor.token is not None and visitor.token.kind == "device":
            return _not_a_device()
        if may is May.REVIEWER and not visitor.person.reviews:
            return await sorry(
                request, 403, "For reviewers", "This is for those who review; ask one of them."
            )
        if job and may in ON_A_JOB | {May.REVIEWER} and not await _jobs(request).sees(job):
            return await _no_such_job(request, may)
        return None

    async def _note(self, visitor: Visitor, path: str, job: str, method: str) -> None:
        """Note what of a job was looked at, and each time that it left as a whole."""
        if method not in {"GET", "HEAD"}:
            return
        seen = SeenJobs(self._held.shop, visitor.seeing)
        if path in TAKEN_AWAY:
            await seen.note("took along", job, path.rpartition("/")[2])
        else:
            await seen.note("looked at", job, once_an_hour=True)


class _Noted:
    """Sends on, and notes the status."""

    def __init__(self, send: Send) -> None:
        self._send, self.status = send, 500

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.status = message["status"]
        await self._send(message)


def _route(scope: Scope) -> tuple[str, str]:
    """Return the route that answers and the job that its address names; nothing where no route does."""
    for route in scope["app"].routes:
        if isinstance(route, Route):
            match, found = route.matches(scope)
            if match is Match.FULL:
                return route.path, str(found["path_params"].get("job", ""))
    return "", ""


def _jobs(request: Request) -> SeenJobs:
    jobs: SeenJobs = request.state.desk.jobs
    return jobs


async def sorry(request: Request, status: int, title: str, words: str) -> Response:
    """Say why something is not shown."""
    return await page(request, "sorry.html.j2", status=status, title=title, words=words)


async def too_often(request: Request, often: TooOften) -> Response:
    """Say that something was tried too often."""
    words = f"This was tried too often. Wait {often.wait // 60} minutes, then try once more."
    if request.url.path.endswith("/sync") or "/api/" in request.url.path:
        answer: Response = JSONResponse({"protocol": PROTOCOL, "problem": words}, 429)
    else:
        answer = await sorry(request, 429, "Too often", words)
    answer.headers["retry-after"] = str(often.wait)
    return answer


async def asked_to_sign_in(request: Request) -> Response:
    """Ask who it is, at the address that was asked for: what was typed stays on the device meanwhile."""
    path = request.url.path if request.method == "GET" else "/"
    query = f"?{request.url.query}" if request.url.query and request.method == "GET" else ""
    return await page(request, "shop_sign_in.html.j2", status=401, following=path + query, login="", wrong=[])


def _not_a_device() -> Response:
    headers = {"www-authenticate": "Bearer", "cache-control": "no-store"}
    return JSONResponse({"protocol": PROTOCOL, "problem": FOR_A_DEVICE}, 401, headers=headers)


async def _no_such_job(request: Request, may: May) -> Response:
    if may is May.PROGRAM_ON_JOB:
        return JSONResponse({"problem": "This job is not kept here."}, 404)
    words = "This job is not kept here. It may be on another device: bring it over as a file."
    return await sorry(request, 404, "No such job", words)
