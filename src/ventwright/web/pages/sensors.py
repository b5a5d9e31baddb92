"""The unit's sensors beside a reference probe: one sensor a screen."""

from __future__ import annotations

from collections.abc import Sequence

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal
from ventwright.readings.entries import SensorCheck
from ventwright.readings.practice.as_it_stands import INPUTS
from ventwright.readings.practice.shown import sensor
from ventwright.verdict.checks import live_checks
from ventwright.web.desk import Opened
from ventwright.web.entry_form import enter_reading
from ventwright.web.form import Form, Question, filled, mistakes, question
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.waiting import waiting
from ventwright.web.practice_shown import asked_to_read, practice_roof, with_shown
from ventwright.web.received import received


def _questions(opened: Opened) -> list[Question]:
    def ask(name: str, label: str) -> Question:
        return question(SensorCheck, name, place="", label=label, system=opened.system)

    return [
        ask("sensor", "Which sensor"),
        ask("shown", "The controller shows"),
        ask("probe", "The probe beside it shows"),
    ]


async def shown(request: Request) -> Response:
    """Show every check so far, and ask for the next."""
    opened = await desk_of(request).open(request.path_params["job"])
    return await _page(request, opened)


async def _page(
    request: Request, opened: Opened, *, typed: Form | None = None, refusals: Sequence[Refusal] = (), status: int = 200
) -> Response:  # fmt: skip
    if opened.worked is None:
        return await waiting(request, opened, "prove", "Sensors side by side")
    questions = _questions(opened)
    checked = {one.sensor for one in live_checks(opened.worked.job.readings, opened.worked.verdicts.ledger)}
    left = [sensor.at for sensor in opened.worked.plan.kit.sensors if sensor.at not in checked]
    asked = filled(
        questions,
        {"sensor": left[0]} if left else {},
        typed=typed.texts if typed else None,
        refusals=refusals,
    )
    thermometers = [one for one in opened.facts.get("instruments") or [] if one.get("kind") == "temperature"]
    return await page(
        request, "sensors.html.j2", opened=opened, stage="prove", status=status, asked=asked, wrong=mistakes(refusals, questions),
        checks=opened.worked.verdicts.sensors, instruments=thermometers, left=left,
    )  # fmt: skip


async def keep(request: Request) -> Response:
    """Enter a check."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])

    async def wrong(refusals: Sequence[Refusal]) -> Response:
        return await _page(request, opened, typed=form, refusals=refusals, status=422)

    def done(ids: list[str]) -> Response:
        return go_to(request, f"/jobs/{opened.id}/prove/sensors", said="saved", undo=ids)

    questions, roof = _questions(opened), practice_roof(opened)
    if roof is not None and asked_to_read(form):
        named = form.get("sensor")
        shown = sensor(roof, named, form.get("instrument")) if named in INPUTS else {}
        return await _page(request, opened, typed=with_shown(form, questions, shown))
    return await enter_reading(
        desk,
        opened,
        form,
        "sensor check",
        questions,
        wrong=wrong,
        done=done,
        instrument=form.get("instrument"),
    )


routes = [
    Route("/jobs/{job}/prove/sensors", shown),
    Route("/jobs/{job}/prove/sensors", keep, methods=["POST"]),
]
