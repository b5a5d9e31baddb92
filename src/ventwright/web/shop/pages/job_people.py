"""The people of a job: who has it, whether a reviewer looked at it, and the links by which its owner reads the record."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.store.tokens import Token
from ventwright.web.desk import Opened
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.received import received
from ventwright.web.shop.held import held_of, person_of
from ventwright.web.shop.pages.people import link_to

DAYS = ("7", "30", "90", "365")

LONGEST_REMARK = 500


async def shown(request: Request) -> Response:
    """Show who has a job, who looked at it, and the owner's links."""
    return await _page(request, await desk_of(request).open(request.path_params["job"]))


async def _page(
    request: Request, opened: Opened, *, link: str = "", wrong: Any = (), typed: str = "", status: int = 200
) -> Response:
    held, me = held_of(request), person_of(request)
    has = await held.shop.holdings.people_of(opened.id)
    everybody = await held.shop.people.all()
    looked = (await held.shop.holdings.looked([opened.id])).get(opened.id, [])
    return await page(
        request,
        "shop_job_people.html.j2",
        opened=opened,
        status=status,
        has=[one for one in everybody if one.id in has],
        others=[one for one in everybody if one.id not in has and not one.ended],
        looked=looked,
        names={one.id: one.name for one in everybody},
        links=[(one, whole) for whole in (False, True) for one in await _links(request, opened, whole=whole)],
        reviews=me.reviews,
        days=DAYS,
        link=link,
        wrong=wrong,
        typed=typed,
    )


async def give(request: Request) -> Response:
    """Give the job to somebody, or take it from him."""
    held, form, me = held_of(request), await received(request), person_of(request)
    opened = await desk_of(request).open(request.path_params["job"])
    person = await held.shop.people.person(form.get("give") or form.get("take"))
    if person is None:
        raise Refused(Refusal("is nobody of this shop", "somebody in the list of people", "person"))
    if form.get("give"):
        await held.shop.holdings.give(opened.id, person.id, made_by=me.id)
        await held.note(request, "gave the job", job=opened.id, detail=person.name)
    else:
        await held.shop.holdings.take(opened.id, person.id)
        await held.note(request, "took the job", job=opened.id, detail=person.name)
    return go_to(request, f"/jobs/{opened.id}/people", said="saved")


async def look(request: Request) -> Response:
    """Keep a reviewer's mark and remark."""
    held, form, me = held_of(request), await received(request), person_of(request)
    opened = await desk_of(request).open(request.path_params["job"])
    remark = form.get("remark")
    if len(remark) > LONGEST_REMARK:
        wrong = [
            {
                "name": "remark",
                "sentence": f"Remark: is too long; accepted: at most {LONGEST_REMARK} letters.",
            }
        ]
        return await _page(request, opened, wrong=wrong, typed=remark, status=422)
    await held.shop.holdings.look(opened.id, opened.revision, me.id, remark)
    await held.note(request, "marked as looked at", job=opened.id, detail=remark)
    return go_to(request, f"/jobs/{opened.id}/people", said="saved")


async def owner(request: Request) -> Response:
    """Make a link for the owner, or withdraw one; the link is shown once."""
    held, form, me, desk = held_of(request), await received(request), person_of(request), desk_of(request)
    opened = await desk.open(request.path_params["job"])
    if form.get("withdraw"):
        for whole in {False, me.reviews}:
            await held.shop.tokens.end(form.get("withdraw"), "owner", _subject(opened, whole=whole))
        await held.note(request, "withdrew an owner's link", job=opened.id)
        return go_to(request, f"/jobs/{opened.id}/people", said="ended")
    whole = form.get("whole") == "yes" and me.reviews and bool(opened.site)
    days = int(form.get("days")) if form.get("days") in DAYS else int(DAYS[2])
    about = {"site": opened.site} if whole else {"job": opened.id}
    _, secret = await held.shop.tokens.give(
        "owner", _subject(opened, whole=whole), made_by=me.id, label=form.get("label")[:80] or "owner",
        about=about | {"units": await desk.system()}, lasts=timedelta(days=days),
    )  # fmt: skip
    await held.note(
        request, "made an owner's link", job=opened.id, detail=f"{form.get('label')} {days} days".strip()
    )
    return await _page(request, opened, link=link_to(request, f"/owner/{secret}"))


async def _links(request: Request, opened: Opened, *, whole: bool) -> tuple[Token, ...]:
    """Return the owner's links to a job, or to its whole site."""
    if whole and not person_of(request).reviews:
        return ()
    return await held_of(request).shop.tokens.of("owner", _subject(opened, whole=whole))


def _subject(opened: Opened, *, whole: bool) -> str:
    """Return what a link is to: a job, or all jobs of a site."""
    return f"site {opened.site}" if whole else f"job {opened.id}"


routes = [
    Route("/jobs/{job}/people", shown),
    Route("/jobs/{job}/people", give, methods=["POST"]),
    Route("/jobs/{job}/looked", look, methods=["POST"]),
    Route("/jobs/{job}/owner", owner, methods=["POST"]),
]
