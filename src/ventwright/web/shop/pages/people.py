"""The people of the shop: who there is, invitations, roles, lost phones, accounts that end. And who did what."""

from __future__ import annotations

from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refused
from ventwright.store.people import ROLES, Person, Role
from ventwright.web.page import go_to, page
from ventwright.web.received import received
from ventwright.web.shop.held import held_of, person_of

AT_ONCE = 100
"""Rows of what was done on one page."""

FROM_OUTSIDE = ""
"""Invitations of new people belong to nobody yet."""


async def listed(request: Request) -> Response:
    """Show everybody, and the invitations that wait."""
    return await _list(request)


async def _list(request: Request, *, link: str = "", status: int = 200) -> Response:
    held = held_of(request)
    return await page(
        request,
        "shop_people.html.j2",
        status=status,
        people=await held.shop.people.all(),
        invitations=await held.shop.tokens.of("invitation", FROM_OUTSIDE),
        link=link,
    )


async def invite(request: Request) -> Response:
    """Make a link for somebody new, or withdraw one; the link is shown once."""
    held, form, me = held_of(request), await received(request), person_of(request)
    if form.get("withdraw"):
        await held.shop.tokens.end(form.get("withdraw"), "invitation", FROM_OUTSIDE)
        await held.note(request, "withdrew an invitation")
        return go_to(request, "/people", said="ended")
    role = _role(form.get("role"))
    label = form.get("label")[:80]
    _, secret = await held.shop.tokens.give(
        "invitation", FROM_OUTSIDE, made_by=me.id, label=label, about={"role": role}
    )
    await held.note(request, "invited", detail=f"{role} {label}".strip())
    return await _list(request, link=link_to(request, f"/invitation/{secret}"))


async def shown(request: Request) -> Response:
    """Show one person: role, jobs, sessions, devices."""
    return await _page(request, await _person(request))


async def _page(
    request: Request, person: Person, *, link: str = "", wrong: Any = (), status: int = 200
) -> Response:
    held = held_of(request)
    mine = await held.shop.holdings.jobs_of(person.id)
    return await page(
        request,
        "shop_person.html.j2",
        status=status,
        person=person,
        roles=ROLES,
        link=link,
        wrong=wrong,
        has=[row for row in await held.shop.jobs.jobs() if row.id in mine],
        sessions=await held.shop.tokens.of("session", person.id),
        devices=await held.shop.tokens.of("device", person.id),
    )


async def change(request: Request) -> Response:
    """Change a role, end or take up an account, end a device or the sessions, or make a link for a new password."""
    held, form, person = held_of(request), await received(request), await _person(request)
    shop, do = held.shop, form.get("do")
    try:
        if do == "role":
            await shop.people.set_role(person.id, _role(form.get("role")))
        elif do == "end":
            await shop.people.end(person.id)
        elif do == "begin again":
            await shop.people.begin_again(person.id)
        elif do == "end device":
            await shop.tokens.end(form.get("which"), "device", person.id)
        elif do == "end all":
            async with shop.statements.writing() as run:
                await shop.tokens.end_all(run, "session", person.id)
                await shop.tokens.end_all(run, "device", person.id)
        elif do == "new password":
            return await _link_for_password(request, person)
        else:
            raise HTTPException(404)
    except Refused as refused:
        wrong = [{"name": "", "sentence": one.sentence} for one in refused.refusals]
        return await _page(request, person, wrong=wrong, status=422)
    await held.note(request, f"account: {do}", detail=f"{person.name} {form.get('role')}".strip())
    return go_to(request, f"/people/{person.id}", said="saved")


async def _link_for_password(request: Request, person: Person) -> Response:
    held = held_of(request)
    _, secret = await held.shop.tokens.give("invitation", person.id, made_by=person_of(request).id)
    await held.note(request, "made a link for a new password", detail=person.name)
    return await _page(request, person, link=link_to(request, f"/invitation/{secret}"))


async def _person(request: Request) -> Person:
    found = await held_of(request).shop.people.person(request.path_params["person"])
    if found is None:
        raise HTTPException(404)
    return found


async def trail(request: Request) -> Response:
    """Show who did what, the latest first."""
    held, asked = held_of(request), request.query_params
    person, job, before = (asked.get(name, "") for name in ("person", "job", "before"))
    rows = await held.shop.trail.done(person=person, job=job, before=before, most=AT_ONCE + 1)
    tags = {
        row.id: f"{row.tag} {row.site}"
        for archived in (False, True)
        for row in await held.shop.jobs.jobs(archived=archived)
    }
    return await page(
        request,
        "shop_trail.html.j2",
        rows=rows[:AT_ONCE],
        earlier=rows[AT_ONCE - 1].at.isoformat(timespec="microseconds") if len(rows) > AT_ONCE else "",
        people=await held.shop.people.all(),
        person_asked=person,
        job_asked=job,
        tags=tags,
    )


def link_to(request: Request, path: str) -> str:
    """Return a whole address, to be sent to somebody."""
    return f"{request.url.scheme}://{request.headers['host']}{request.scope.get('root_path', '')}{path}"


def _role(typed: str) -> Role:
    return next((one for one in ROLES if one == typed), "technician")


routes = [
    Route("/people", listed),
    Route("/people", invite, methods=["POST"]),
    Route("/people/{person}", shown),
    Route("/people/{person}", change, methods=["POST"]),
    Route("/trail", trail),
]
