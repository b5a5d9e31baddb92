"""What every request passes first: the right host, the same origin for whatever changes something, a bounded body.

Plain ASGI, so that it holds for every route and costs next to nothing. Only a shop has cookies; without them a page of
another site cannot borrow a session, but it could post a form to a server on this machine, and that is refused here.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from ipaddress import ip_address
from typing import Any
from urllib.parse import urlsplit

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
Application = Callable[[Scope, Receive, Send], Awaitable[None]]

SAFE = frozenset({"GET", "HEAD", "OPTIONS"})

LARGEST_BODY = 20_000_000
"""Bytes of a request: a job file, or a photo of a code."""

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; "
    "connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'"
)

HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"same-origin"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", b"geolocation=(), microphone=(), camera=(self), screen-wake-lock=(self)"),
)

STAY_SAFE = (b"strict-transport-security", b"max-age=31536000")
"""Said over https: a browser that came safely once never asks in the clear again."""


class Guard:
    """Lets through what is meant for this server and comes from its own pages.

    Parameters
    ----------
    application
        What answers.
    hosts
        Names by which this server may be called. An address in numbers is always one of them: only a name can be
        made to point at somebody else's machine.
    tokens
        Whether programs change something with a token in the header Authorization: no page of another site can send one.
    """

    def __init__(
        self, application: Application, hosts: Iterable[str] = ("localhost",), *, tokens: bool = False
    ) -> None:
        self._application = application
        self._hosts = frozenset(host.lower() for host in hosts)
        self._tokens = tokens

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or refuse it in one sentence."""
        if scope["type"] != "http":
            await self._application(scope, receive, send)
            return
        refused = self._refused(scope)
        if refused is not None:
            await _say(send, *refused)
            return
        await self._application(scope, _bounded(receive), _with_headers(send, scope["scheme"] == "https"))

    def _refused(self, scope: Scope) -> tuple[int, str] | None:
        headers = {
            name.decode("latin-1").lower(): value.decode("latin-1") for name, value in scope["headers"]
        }
        host = headers.get("host", "")
        if not self._is_ours(host):
            return (
                421,
                "This server is called by another name; use the address that it printed when it started.",
            )
        by_token = self._tokens and headers.get("authorization", "").lower().startswith("bearer ")
        if scope["method"] not in SAFE and not by_token and not _from_own_page(headers, host):
            return (
                403,
                "This was sent from another site's page; open Ventwright's own page and enter it there.",
            )
        length = headers.get("content-length", "")
        if length.isdigit() and int(length) > LARGEST_BODY:
            return 413, f"This is larger than {LARGEST_BODY // 1_000_000} MB; send a smaller file."
        return None

    def _is_ours(self, host: str) -> bool:
        name = urlsplit(f"//{host}").hostname or ""
        try:
            ip_address(name)
        except ValueError:
            return name in self._hosts
        return True


def _from_own_page(headers: dict[str, str], host: str) -> bool:
    """Whether a request that changes something was made by a page of this server; where nothing tells, it was not."""
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site == "same-origin"
    origin = headers.get("origin")
    return origin is not None and urlsplit(origin).netloc == host


def _bounded(receive: Receive) -> Receive:
    """Stop reading a body that is longer than it said."""
    read = 0

    async def receive_some() -> Message:
        nonlocal read
        message = await receive()
        read += len(message.get("body", b""))
        return {"type": "http.disconnect"} if read > LARGEST_BODY else message

    return receive_some


def _with_headers(send: Send, safe: bool) -> Send:
    more = (*HEADERS, STAY_SAFE) if safe else HEADERS

    async def send_more(message: Message) -> None:
        if message["type"] == "http.response.start":
            given = list(message.get("headers", ()))
            own = {name.lower() for name, _ in given}
            message = {**message, "headers": [*given, *(one for one in more if one[0] not in own)]}
        await send(message)

    return send_more


async def _say(send: Send, status: int, sentence: str) -> None:
    headers = [(b"content-type", b"text/plain; charset=utf-8"), *HEADERS]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": f"{sentence}\n".encode()})
