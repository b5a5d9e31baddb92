"""One's own account: password, sessions, and the devices that may share."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.store.people import Person
from ventwright.web.form import Form
from ventwright.web.page import go_to, page
from ventwright.web.received import received
from ventwright.web.shop.held import held_of, person_of, visitor_of
from ventwright.web.shop.passwords import fits, hash_of, refuse_weak
from ventwright.web.shop.visitor import address_of, let_share


async def shown(request: Request) -> Response:
    """Show the account."""
    return await _page(request)


async def _page(request: Request, *, status: int = 200, wrong: Any = (), secret: str = "") -> Response:
    held, person, visitor = held_of(request), person_of(request), visitor_of(request)
    return await page(
        request,
        "shop_account.html.j2",
        status=status,
        wrong=wrong,
        secret=secret,
        here_now=visitor.token.id if visitor.token else "",
        sessions=await held.shop.tokens.of("session", person.id),
        devices=await held.shop.tokens.of("device", person.id),
    )


async def change_password(request: Request) -> Response:
    """Set a new password for whoever knows the present one; every other session ends."""
    held, person, form = held_of(request), person_of(request), await received(request)
    token = visitor_of(request).token
    await held.limits.sign_in(person.login, address_of(request))
    try:
        knows = await held.desk.work.now(fits, person.password, form.texts.get("present", ""))
        _refuse_unfit(person, form, knows=knows)
    except Refused as refused:
        named = {"present": "Present password", "password": "New password", "again": "Once more"}
        wrong = [
            {"name": one.where, "sentence": one.at(named[one.where]).sentence} for one in refused.refusals
        ]
        return await _page(request, status=422, wrong=wrong)
    kept = await held.desk.work.now(hash_of, form.texts.get("password", ""))
    await held.shop.change_password(person.id, kept, but=token.id if token else "")
    await held.note(request, "changed the password")
    return go_to(request, "/account", said="saved")


def _refuse_unfit(person: Person, form: Form, *, knows: bool) -> None:
    if not knows:
        raise Refused(Refusal("is not the present password", "the one with which you signed in", "present"))
    new = form.texts.get("password", "")
    refuse_weak(new, login=person.login, name=person.name)
    if new != form.texts.get("again", ""):
        raise Refused(Refusal("is not the same", "the password once more, letter by letter", "again"))


async def end_session(request: Request) -> Response:
    """End one of one's sessions, or all but this one."""
    held, person, form = held_of(request), person_of(request), await received(request)
    token = visitor_of(request).token
    if form.get("which") == "others":
        async with held.shop.statements.writing() as run:
            await held.shop.tokens.end_all(run, "session", person.id, but=token.id if token else "")
    else:
        await held.shop.tokens.end(form.get("which"), "session", person.id)
    await held.note(request, "ended a session")
    return go_to(request, "/account", said="ended")


async def device(request: Request) -> Response:
    """Let this browser's app share, make a token for a program, or end one of them."""
    held, person, form = held_of(request), person_of(request), await received(request)
    if form.get("end"):
        ended = await held.shop.tokens.end(form.get("end"), "device", person.id)
        session = str(ended.about.get("session", "")) if ended else ""
        here = visitor_of(request).token
        if session and (here is None or here.id != session):
            await held.shop.tokens.end(session, "session", person.id)
        await held.note(request, "ended a device", detail=ended.label if ended else "")
        return go_to(request, "/account", said="ended")
    label = form.get("label") or "phone"
    program, token = form.get("for") == "program", visitor_of(request).token
    about = {"program": True} if program else {"session": token.id if token else ""}
    _, secret = await held.shop.tokens.give("device", person.id, made_by=person.id, label=label, about=about)
    await held.note(request, "let a device share", detail=label)
    if program:
        return await _page(request, secret=secret)
    answer = go_to(request, "/account", said="saved")
    let_share(request, answer, secret)
    return answer


routes = [
    Route("/account", shown),
    Route("/account/password", change_password, methods=["POST"]),
    Route("/account/session", end_session, methods=["POST"]),
    Route("/account/device", device, methods=["POST"]),
]
