"""What the meter shows across a transformer's secondary, idle and with everything on, power on."""

from __future__ import annotations

from collections.abc import Sequence

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.facts.power import Metered
from ventwright.web.desk import Opened, Put, Step
from ventwright.web.form import Form, Question, answers, filled, mistakes, question, value_at
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.waiting import waiting
from ventwright.web.pages.wire import STAGE, cautions_for, gate_address, ready, refuse_other_power
from ventwright.web.pages.wire_power import held
from ventwright.web.received import received
from ventwright.web.seen_item import changed_item, mark_kept


async def meter(request: Request) -> Response:
    """Ask for the voltages of a transformer, idle and with everything on."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, STAGE, "Control power")
    return await _meter(request, opened)


def _metered_place(request: Request, opened: Opened) -> str:
    number = request.path_params["number"]
    if not 1 <= number <= len(held(opened, "transformers")):
        raise HTTPException(404)
    return f"facts.power.transformers[{number}].metered"


def _meter_questions(opened: Opened, place: str) -> list[Question]:
    return [
        question(Metered, "idle", place=place, label="Idle: only what is always on", system=opened.system),
        question(
            Metered, "loaded", place=place, label="Everything on, the damper moving", system=opened.system
        ),
    ]


async def _meter(
    request: Request, opened: Opened, *, typed: Form | None = None, refusals: Sequence[Refusal] = ()
) -> Response:
    place = _metered_place(request, opened)
    questions = _meter_questions(opened, place)
    number = request.path_params["number"]
    return await page(
        request,
        "wire_power_meter.html.j2",
        opened=opened,
        stage=STAGE,
        status=422 if refusals else 200,
        number=number,
        name=held(opened, "transformers")[number - 1].get("name", ""),
        asked=filled(questions, opened.document, typed=typed.texts if typed else None, refusals=refusals),
        wrong=mistakes(refusals, questions),
        ready=ready(opened, "on"),
        gate=gate_address("on", f"/wire/power/meter/{number}"),
        cautions=cautions_for(opened, "on"),
        mark=mark_kept(typed, held(opened, "transformers")[number - 1]),
    )


async def keep_meter(request: Request) -> Response:
    """Enter the voltages; the job's meter is taken for the one that read them."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    _metered_place(request, opened)
    try:
        steps = _steps(
            opened, changed_item(held(opened, "transformers"), form, request.path_params["number"]), form
        )
        if steps:
            refuse_other_power(opened, "on")
        ids = await desk.enter(opened, steps, once=form.get("once"))
    except Refused as refused:
        return await _meter(request, opened, typed=form, refusals=refused.refusals)
    return go_to(request, f"/jobs/{opened.id}/wire/power", said="saved" if ids else "nothing", undo=ids)


def _steps(opened: Opened, number: int, form: Form) -> list[Step]:
    """Return the steps that enter the voltages of one transformer."""
    place = f"facts.power.transformers[{number}].metered"
    given = answers(_meter_questions(opened, place), form.texts)
    steps: list[Step] = [
        Put(where, value) for where, value in given.items() if value_at(opened.document, where) != value
    ]
    meters = [one["id"] for one in opened.facts.get("instruments") or [] if one.get("kind") == "electrical"]
    if steps and meters and any(given.values()) and not value_at(opened.document, f"{place}.instrument"):
        steps.append(Put(f"{place}.instrument", meters[0]))
    return steps


routes = [
    Route("/jobs/{job}/wire/power/meter/{number:int}", meter),
    Route("/jobs/{job}/wire/power/meter/{number:int}", keep_meter, methods=["POST"]),
]
