"""Signing in and out, and the one use of a link: a new account, or a new password."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.store.people import Person, Role, as_login, refuse_name
from ventwright.store.tokens import Token
from ventwright.web.form import Form
from ventwright.web.page import go_to, page
from ventwright.web.received import received
from ventwright.web.shop.held import Held, held_of, visitor_of
from ventwright.web.shop.passwords import fits, hash_of, is_outdated, refuse_weak
from ventwright.web.shop.visitor import address_of, begin_session, end_session

NOT_KNOWN = (
    "Name and password do not go together; try again, or ask a reviewer for a link to set a new password."
)


async def ask(request: Request) -> Response:
    """Ask who it is."""
    following = _inside(request.query_params.get("next", "/"))
    return await page(request, "shop_sign_in.html.j2", following=following, login="", wrong=[])


async def sign_in(request: Request) -> Response:
    """Begin a session for whoever knows the password."""
    held, form = held_of(request), await received(request)
    login, password = form.get("login"), form.texts.get("password", "")
    await held.limits.sign_in(as_login(login), address_of(request))
    person = await held.shop.people.called(login)
    kept = person.password if person else ""
    if not await held.desk.work.now(fits, kept, password) or person is None:
        await held.note(request, "did not get in", detail=as_login(login)[:80])
        wrong = [{"name": "login", "sentence": NOT_KNOWN}]
        following = _inside(form.get("following"))
        return await page(
            request, "shop_sign_in.html.j2", status=422, following=following, login=login, wrong=wrong
        )
    if is_outdated(kept):
        anew = await held.desk.work.now(hash_of, password)
        async with held.shop.statements.writing() as run:
            await held.shop.people.set_password(run, person.id, anew)
    return await _signed_in(request, held, person, _inside(form.get("following")))


async def _signed_in(request: Request, held: Held, person: Person, following: str) -> Response:
    """Begin a session, and end the one that this browser had."""
    before = visitor_of(request).token
    if before is not None and before.kind == "session":
        await held.shop.tokens.end(before.id, "session", before.person)
    _, secret = await held.shop.tokens.give("session", person.id, made_by=person.id, label=_browser(request))
    await held.note(request, "signed in", person=person)
    answer = go_to(request, following)
    begin_session(request, answer, secret)
    return answer


async def sign_out(request: Request) -> Response:
    """End the session."""
    held, visitor = held_of(request), visitor_of(request)
    if visitor.token is not None and visitor.person is not None:
        await held.shop.tokens.end(visitor.token.id, "session", visitor.token.person)
        await held.note(request, "signed out", person=visitor.person)
    answer = go_to(request, "/sign-in")
    end_session(request, answer)
    return answer


async def invited(request: Request) -> Response:
    """Ask whoever has a link for a name and a password, or for a new password alone."""
    token = await _invitation(request)
    if token is None:
        return await _no_good(request)
    return await _asked(request, token, {}, [])


async def join(request: Request) -> Response:
    """Make the account, or set the new password; the link is used up."""
    held, form = held_of(request), await received(request)
    token = await _invitation(request)
    if token is None:
        return await _no_good(request)
    try:
        person = await _joined(held, request.path_params["secret"], token, form)
    except Refused as refused:
        named = {
            "login": "Name for signing in",
            "name": "Your name",
            "password": "Password",
            "again": "Once more",
        }
        wrong = [
            {"name": one.where, "sentence": one.at(named.get(one.where, one.where)).sentence}
            for one in refused.refusals
        ]
        return await _asked(request, token, form.texts, wrong)
    await held.note(request, "set a new password" if token.person else "joined", person=person)
    return await _signed_in(request, held, person, "/")


async def _joined(held: Held, secret: str, token: Token, form: Form) -> Person:
    password = form.texts.get("password", "")
    known = await held.shop.people.person(token.person) if token.person else None
    login, name = (known.login, known.name) if known else (form.get("login"), form.get("name"))
    if known is None:
        refuse_name(login, name)
    refuse_weak(password, login=login, name=name)
    if password != form.texts.get("again", ""):
        raise Refused(Refusal("is not the same", "the password once more, letter by letter", "again"))
    kept = await held.desk.work.now(hash_of, password)
    if known is not None:
        await held.shop.renew(secret, known.id, kept)
        return known
    role: Role = "reviewer" if token.about.get("role") == "reviewer" else "technician"
    return await held.shop.join(secret, login, name, role, kept)


async def _invitation(request: Request) -> Token | None:
    secret, address = request.path_params["secret"], address_of(request)
    return await held_of(request).limits.find("invitation", secret, address)


async def _asked(request: Request, token: Token, typed: Any, wrong: list[dict[str, str]]) -> Response:
    known = await held_of(request).shop.people.person(token.person) if token.person else None
    return await page(
        request, "shop_invitation.html.j2", status=422 if wrong else 200, known=known, role=token.about.get("role", ""), typed=typed, wrong=wrong
    )  # fmt: skip


async def _no_good(request: Request) -> Response:
    words = "This link was used, was withdrawn or is past its end. Ask a reviewer for a new one."
    return await page(request, "sorry.html.j2", status=404, title="No such link", words=words)


def _inside(path: str) -> str:
    """Return where to go on, which is never another site."""
    inside = path.startswith("/") and not path.startswith("//") and "\\" not in path and path.isprintable()
    return path if inside and not path.startswith("/sign-in") else "/"


def _browser(request: Request) -> str:
    """Say what kind of thing a session is on, as far as the browser tells."""
    return "phone" if "mobi" in request.headers.get("user-agent", "").lower() else "computer"


routes = [
    Route("/sign-in", ask),
    Route("/sign-in", sign_in, methods=["POST"]),
    Route("/sign-out", sign_out, methods=["POST"]),
    Route("/invitation/{secret}", invited),
    Route("/invitation/{secret}", join, methods=["POST"]),
]
