"""Who sends a request: a person with a session, a device, or nobody that is known."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.requests import HTTPConnection
from starlette.responses import Response

from ventwright.store.people import Person
from ventwright.store.seeing import Seeing
from ventwright.store.shop import Shop
from ventwright.store.tokens import LASTS, Kind, Token
from ventwright.web.shop.limits import Limits

DEVICE = "ventwright-device"
"""Cookie with which the app on a phone shares; it goes to no other address."""


@dataclass(frozen=True, slots=True)
class Visitor:
    """Who it is. ``token`` is the session or the device by which that is known."""

    person: Person | None
    token: Token | None
    address: str

    @property
    def seeing(self) -> Seeing:
        """Whose eyes look."""
        if self.person is None:
            return Seeing(address=self.address)
        label = (self.token.label or "device") if self.token and self.token.kind == "device" else ""
        return Seeing(self.person.id, self.person.name, self.person.role, address=self.address, device=label)


async def session_of(shop: Shop, limits: Limits, request: HTTPConnection) -> Visitor:
    """Tell by the session who sends a request."""
    return await _known(shop, limits, request, "session", request.cookies.get(cookie_name(request), ""))


async def device_of(shop: Shop, limits: Limits, request: HTTPConnection) -> Visitor:
    """Tell by a device's token who sends a request: that of the header, else that of its cookie."""
    given = bearer(request)
    secret = request.cookies.get(DEVICE, "") if given is None else given
    return await _known(shop, limits, request, "device", secret)


async def _known(shop: Shop, limits: Limits, request: HTTPConnection, kind: Kind, secret: str) -> Visitor:
    address = address_of(request)
    token = await limits.find(kind, secret, address) if secret else None
    person = await shop.people.person(token.person) if token else None
    if token is None or person is None or person.ended:
        return Visitor(None, None, address)
    await shop.tokens.note_use(token)
    return Visitor(person, token, address)


def bearer(request: HTTPConnection) -> str | None:
    """Return the token of the header Authorization, None where there is none."""
    kind, _, secret = request.headers.get("authorization", "").partition(" ")
    return secret.strip() if kind.lower() == "bearer" else None


def address_of(request: HTTPConnection) -> str:
    """Return the address that a request comes from."""
    return request.client.host if request.client else ""


def is_safe(request: HTTPConnection) -> bool:
    """Whether nobody on the way can read what is sent."""
    return request.url.scheme == "https"


def cookie_name(request: HTTPConnection) -> str:
    """Return the name of the session's cookie; over https a browser lets no neighbour set one of that name."""
    return "__Host-ventwright" if is_safe(request) else "ventwright"


def begin_session(request: HTTPConnection, answer: Response, secret: str) -> None:
    """Hand a session to the browser."""
    answer.set_cookie(
        cookie_name(request), secret, max_age=int(LASTS["session"].total_seconds()), path="/", secure=is_safe(request), httponly=True, samesite="lax"
    )  # fmt: skip


def end_session(request: HTTPConnection, answer: Response) -> None:
    """Take the session from the browser."""
    answer.delete_cookie(
        cookie_name(request), path="/", secure=is_safe(request), httponly=True, samesite="lax"
    )


def let_share(request: HTTPConnection, answer: Response, secret: str) -> None:
    """Hand a device's token to the browser, for sharing alone."""
    answer.set_cookie(
        DEVICE, secret, max_age=int(LASTS["device"].total_seconds()), path="/sync", secure=is_safe(request), httponly=True, samesite="lax"
    )  # fmt: skip
