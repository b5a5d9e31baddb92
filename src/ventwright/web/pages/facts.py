"""The facts of a job: small screens, any order, each saying what was assumed where nothing was entered."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.plan import Guess
from ventwright.store.change import new_id
from ventwright.tables.suggested_use import suggested_uses
from ventwright.tables.typed_place import place_from
from ventwright.web.desk import Add, Opened, Put, Step
from ventwright.web.fact_sections import SECTIONS, Section
from ventwright.web.form import Form, Question, answers, filled, mistakes, value_at
from ventwright.web.guessed import asked_at
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.yours import instruments_of
from ventwright.web.received import received
from ventwright.web.seen_item import changed_item, mark_kept, taken_out
from ventwright.web.space_facts import edition_of, space_questions, zone_follows


async def overview(request: Request) -> Response:
    """Show every section with what is in it, and what was guessed."""
    opened = await desk_of(request).open(request.path_params["job"])
    rows = [
        (section, section.summary(opened), len(_guesses(opened, section))) for section in SECTIONS.values()
    ]
    return await page(
        request, "facts.html.j2", opened=opened, stage="facts", rows=rows, guesses=_all_guesses(opened)
    )


def _all_guesses(opened: Opened) -> Sequence[Guess]:
    return opened.worked.plan.guesses if opened.worked else ()


def _guesses(opened: Opened, section: Section) -> list[Guess]:
    return [one for one in _all_guesses(opened) if asked_at(one) == f"/facts/{section.name}"]


def _section(request: Request) -> Section:
    section = SECTIONS.get(request.path_params["section"])
    if section is None:
        raise HTTPException(404)
    return section


async def section(request: Request) -> Response:
    """Ask for the facts of one section."""
    opened = await desk_of(request).open(request.path_params["job"])
    return await _section_page(request, opened, _section(request))


async def _section_page(
    request: Request,
    opened: Opened,
    chosen: Section,
    *,
    typed: Form | None = None,
    refusals: Sequence[Refusal] = (),
    status: int = 200,
) -> Response:
    questions = chosen.questions(opened)
    asked = filled(questions, opened.document, typed=typed.texts if typed else None, refusals=refusals)
    return await page(
        request, "section.html.j2", opened=opened, stage="facts", status=status, section=chosen, asked=asked,
        wrong=mistakes(refusals, questions), guesses=_guesses(opened, chosen),
        derived=chosen.derived(opened), place_words=_place_words(opened, typed), spaces=opened.facts.get("spaces") or [],
        instruments=opened.facts.get("instruments") or [], bag=await _not_along(request, opened),
    )  # fmt: skip


def _place_words(opened: Opened, typed: Form | None) -> str:
    """Return the place as it was typed, or as the document holds it."""
    if typed is not None and "place" in typed.texts:
        return typed.get("place")
    site = opened.facts.get("site") or {}
    both = [site[key] for key in ("county", "state") if site.get(key)]
    return ", ".join(both) or str(site.get("climate_zone") or "")


async def _not_along(request: Request, opened: Opened) -> list[dict[str, Any]]:
    along = {one.get("id") for one in opened.facts.get("instruments") or []}
    return [one for one in await instruments_of(desk_of(request)) if one["id"] not in along]


async def keep(request: Request) -> Response:
    """Enter the facts of one section: only what was changed."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    chosen = _section(request)
    questions = chosen.questions(opened)
    try:
        given = answers(questions, form.texts)
        steps = [*_changed(opened, chosen.completed(given, opened)), *chosen.added(given, opened)]
        ids = await desk.enter(opened, steps, once=form.get("once"))
    except Refused as refused:
        return await _section_page(request, opened, chosen, typed=form, refusals=refused.refusals, status=422)
    following = form.get("then") or chosen.then
    return go_to(request, f"/jobs/{opened.id}/facts{following}", said="saved" if ids else "nothing", undo=ids)


def _changed(opened: Opened, given: dict[str, Any]) -> list[Step]:
    """Keep the answers that differ from what the document holds; a part without anything left in it goes."""
    return [
        Put(place, value)
        for place, value in given.items()
        if _plain(value_at(opened.document, place)) != _plain(value)
    ]


def _plain(value: Any) -> Any:
    return None if value in ("", False, None) else value


async def space(request: Request) -> Response:
    """Ask for one space, new or known."""
    opened = await desk_of(request).open(request.path_params["job"])
    number = request.path_params.get("number", 0)
    questions = space_questions(opened, number or len(opened.facts.get("spaces") or []) + 1)
    return await _space_page(request, opened, questions, number)


async def _space_page(
    request: Request, opened: Opened, questions: list[Question], number: int, *, typed: Form | None = None,
    refusals: Sequence[Refusal] = (), status: int = 200,
) -> Response:  # fmt: skip
    spaces = opened.facts.get("spaces") or []
    if number > len(spaces):
        raise HTTPException(404)
    use = typed.get("use") if typed and any(one.where.endswith(".use") for one in refusals) else ""
    asked = filled(
        questions, opened.document, typed=typed.texts if typed else None, refusals=refusals, offered={"use": _uses(opened, use, 5)}
    )  # fmt: skip
    return await page(
        request, "space.html.j2", opened=opened, stage="facts", status=status, asked=asked, number=number, wrong=mistakes(refusals, questions),
        mark=mark_kept(typed, spaces[number - 1] if number else None),
    )  # fmt: skip


async def keep_space(request: Request) -> Response:
    """Enter a space, or take it out."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    number = request.path_params.get("number", 0)
    questions = space_questions(opened, number or len(opened.facts.get("spaces") or []) + 1)
    try:
        ids = await desk.enter(opened, _space_steps(opened, number, form), once=form.get("once"))
    except Refused as refused:
        return await _space_page(
            request, opened, questions, number, typed=form, refusals=refused.refusals, status=422
        )
    return go_to(request, f"/jobs/{opened.id}/facts/spaces", said="saved", undo=ids)


def _space_steps(opened: Opened, number: int, form: Form) -> list[Step]:
    """Return the steps that enter, change or take out a space: the one that the page showed.

    Raises
    ------
    Refused
        It is not there any more.
    """
    spaces = opened.facts.get("spaces") or []
    if form.get("do") == "take out":
        gone = taken_out(spaces, form)
        return [*zone_follows(opened, gone, None), Put(f"facts.spaces[{gone}]", None)]
    meant = changed_item(spaces, form, number) if number else 0
    given = answers(space_questions(opened, meant or len(spaces) + 1), form.texts)
    new = {place.rpartition(".")[2]: value for place, value in given.items() if value is not None}
    if meant:
        return [*zone_follows(opened, meant, new), *_changed(opened, given)]
    return [Add("facts.spaces", new)]


async def uses(request: Request) -> Response:
    """Offer uses of the job's ventilation standard as one types."""
    opened = await desk_of(request).open(request.path_params["job"])
    return JSONResponse(list(_uses(opened, request.query_params.get("q", ""), 8)))


def _uses(opened: Opened, text: str, most: int) -> Sequence[str]:
    return suggested_uses(edition_of(opened), text, most)


async def take_instrument(request: Request) -> Response:
    """Take an instrument out of the bag along to this job, or leave one that was taken."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    named, along = form.get("id"), opened.facts.get("instruments") or []
    numbers = [number for number, one in enumerate(along, start=1) if one.get("id") == named]
    bag = [one for one in await instruments_of(desk) if one["id"] == named]
    steps: list[Step] = [Put(f"facts.instruments[{number}]", None) for number in numbers]
    steps = steps or [Add("facts.instruments", one) for one in bag]
    ids = await desk.enter(opened, steps, once=form.get("once") or new_id())
    return go_to(request, f"/jobs/{opened.id}/facts/instruments", said="saved", undo=ids)


async def place(request: Request) -> Response:
    """Enter the place in one field; elevation and climate zone follow from it."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    try:
        found = place_from(form.get("place"), "place")
    except Refused as refused:
        return await _section_page(
            request, opened, SECTIONS["site"], typed=form, refusals=refused.refusals, status=422
        )
    names = ("county", "state", "climate_zone")
    given = {f"facts.site.{name}": found.get(name) for name in names}
    ids = await desk.enter(opened, _changed(opened, given), once=form.get("once"))
    return go_to(request, f"/jobs/{opened.id}/facts/site", said="saved", undo=ids)


routes = [
    Route("/jobs/{job}/facts", overview),
    Route("/jobs/{job}/facts/place", place, methods=["POST"]),
    Route("/jobs/{job}/facts/uses", uses),
    Route("/jobs/{job}/facts/instruments/take", take_instrument, methods=["POST"]),
    Route("/jobs/{job}/facts/spaces/new", space),
    Route("/jobs/{job}/facts/spaces/new", keep_space, methods=["POST"]),
    Route("/jobs/{job}/facts/spaces/{number:int}", space),
    Route("/jobs/{job}/facts/spaces/{number:int}", keep_space, methods=["POST"]),
    Route("/jobs/{job}/facts/{section}", section),
    Route("/jobs/{job}/facts/{section}", keep, methods=["POST"]),
]
