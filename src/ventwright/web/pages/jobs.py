"""The jobs kept here: the list, a new one from four facts, a copy, a file in and out, the archive."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.quantity import HEAT_RATE, TEMPERATURE, System
from ventwright.store.change import new_id
from ventwright.tables.typed_place import place_from, suggested_places
from ventwright.web.desk import Desk, worked_or_lacking
from ventwright.web.form import Option, Question, answers, filled, mistakes
from ventwright.web.opening import opening_document
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.yours import defaults_of
from ventwright.web.received import received
from ventwright.web.standing_kept import with_standing

SHOWN_AT_ONCE = 50

PLACE = "facts.site.county"


async def listed(request: Request) -> Response:
    """Show the jobs kept here, latest first, with their state at a glance."""
    desk = desk_of(request)
    sought, archived = request.query_params.get("q", ""), "archive" in request.query_params
    rows = await desk.jobs.jobs(search=sought, archived=archived)
    shown = await with_standing(desk, rows[:SHOWN_AT_ONCE])
    return await page(
        request, "jobs.html.j2", rows=shown, more=len(rows) - len(shown), sought=sought, archived=archived
    )


def _first_questions(units: System) -> list[Question]:
    return [
        Question("capacity", "Cooling capacity", "facts.unit.cooling_capacity", "quantity", dimensions=(HEAT_RATE,), usual="ton", system=units, help="From the nameplate, or about."),
        Question("speeds", "Speeds of the supply fan", "speeds", "choice", options=(Option("1", "One"), Option("2", "Two"), Option("variable", "Variable"))),
        Question("place", "Place", PLACE, "text", help="County and state, such as Cook, IL; or the climate zone, such as 5A.", suggest="/places"),
        Question("outdoor", "Outdoor temperature now", "facts.weather.outdoor_air", "quantity", dimensions=(TEMPERATURE,), system=units),
    ]  # fmt: skip


async def new(request: Request) -> Response:
    """Ask the four facts with which a job opens; none of them keeps anybody from going on."""
    system = await desk_of(request).system()
    return await page(request, "new.html.j2", asked=filled(_first_questions(system), {}), wrong=[])


async def create(request: Request) -> Response:
    """Open a job with what was given."""
    desk, form = desk_of(request), await received(request)
    system = await desk.system()
    questions = _first_questions(system)
    named = {one.place: one.name for one in questions}
    given = {named[place]: value for place, value in answers(questions, form.texts).items()}
    job = form.get("once") or new_id()
    place, wrong = _place_or_mistakes(given.get("place"))
    document = opening_document(given, place, system, await defaults_of(desk), job=job)
    _, lacking = await desk.work.now(worked_or_lacking, document, await desk.jobs.folder())
    wrong = [*wrong, *(one for one in lacking if one.given)]
    if wrong:
        return await _asked_again(request, questions, form.texts, wrong)
    if not await is_kept(desk, job):  # the same form sent twice opens one job
        if _all_in_si(form.texts):
            await desk.begin_in_si()
            document["units"] = await desk.system()
        await desk.jobs.create(document, device=desk.device)
    return go_to(request, f"/jobs/{job}")


def _all_in_si(typed: Mapping[str, str]) -> bool:
    """Whether what was typed with a unit has one of SI, and something was."""
    units = {typed.get(f"{name}.unit", "") for name in ("capacity", "outdoor") if typed.get(name)}
    return bool(units) and units <= {"kW", "W", "°C", "K"}


def _place_or_mistakes(text: Any) -> tuple[Mapping[str, str] | None, list[Refusal]]:
    """Return the site that a place stands for, or what is wrong with it, so that it is said with all the rest."""
    if not text:
        return None, []
    try:
        return place_from(text, PLACE), []
    except Refused as refused:
        return None, list(refused.refusals)


async def is_kept(desk: Desk, job: str) -> bool:
    """Whether a job of this id is kept here."""
    try:
        await desk.jobs.row(job)
    except Refused:
        return False
    return True


async def _asked_again(
    request: Request, questions: list[Question], typed: Any, wrong: list[Refusal]
) -> Response:
    asked = filled(questions, {}, typed=typed, refusals=wrong)
    return await page(request, "new.html.j2", status=422, asked=asked, wrong=mistakes(wrong, questions))


async def places(request: Request) -> Response:
    """Offer places as one types."""
    return JSONResponse(list(suggested_places(request.query_params.get("q", ""))))


async def units(request: Request) -> Response:
    """Show everything in the other units; what was typed stays as it is."""
    desk, form = desk_of(request), await received(request)
    await desk.jobs.set_setting("units", "si" if form.get("units") == "si" else "us")
    back = form.get("back")
    return go_to(request, back if back.startswith("/") and not back.startswith("//") else "/")


routes = [
    Route("/", listed),
    Route("/new", new),
    Route("/new", create, methods=["POST"]),
    Route("/places", places),
    Route("/units", units, methods=["POST"]),
]
