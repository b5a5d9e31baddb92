"""What was changed for tests and must go back: the list, one line with what proves its return, and a new line."""

from __future__ import annotations

from collections.abc import Sequence

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal
from ventwright.readings.changes import ChangeKind, Restored, TemporaryChange
from ventwright.readings.entries import SensorCheck, SettingRead
from ventwright.readings.practice import shown as practice
from ventwright.verdict import Line
from ventwright.verdict.forgotten import Forgetting, all_forgetting
from ventwright.web.change_for_test import LABELS
from ventwright.web.desk import Desk, Opened
from ventwright.web.entry_form import enter_reading
from ventwright.web.form import Form, Question, filled, mistakes, question
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.waiting import waiting
from ventwright.web.practice_shown import asked_to_read, practice_roof, with_shown
from ventwright.web.received import received

PROVED_BY_SENSOR = {ChangeKind.RESISTOR, ChangeKind.PACK, ChangeKind.LEAD}


async def _costs(desk: Desk, opened: Opened) -> dict[str, Forgetting]:
    """Reckon what forgetting each change would cost; away from the pages, since it takes a while."""
    if opened.worked is None or not opened.worked.verdicts.ledger:
        return {}
    job, plan = opened.worked.job, opened.worked.plan
    return await desk.work.now(all_forgetting, job.facts, plan, job.readings)


async def overview(request: Request) -> Response:
    """Show every line, those that are not closed first."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "restore", "Put back")
    verdicts = opened.worked.verdicts
    closed = [line for line in verdicts.ledger if line.closed]
    costs = await _costs(desk, opened)
    return await page(
        request, "restore.html.j2", opened=opened, stage="restore", waiting=verdicts.not_closed, closed=closed, costs=costs
    )  # fmt: skip


def _line(opened: Opened, id_: str) -> tuple[Line, TemporaryChange]:
    """Return a line of the list with the entry that made it."""
    worked = opened.worked
    found = next((one for one in worked.verdicts.ledger if one.id == id_), None) if worked else None
    changes = worked.job.readings.standing(TemporaryChange) if worked else ()
    change = next((one for one in changes if one.id == id_), None)
    if found is None or change is None:
        raise HTTPException(404)
    return found, change


def _proving(change: TemporaryChange, opened: Opened) -> tuple[str, list[Question], dict[str, str]]:
    """Return by which kind of reading a return is proved, what it asks, and what is known already."""
    system = opened.system
    if change.kind is ChangeKind.SETTING and change.label:
        asked = [question(SettingRead, "value", place="", label=f"{change.label} shows now", system=system)]
        return "setting", asked, {"label": change.label}
    if change.kind in PROVED_BY_SENSOR and change.sensor is not None:
        asked = [
            question(
                SensorCheck,
                "shown",
                place="",
                label=f"The controller shows for {change.sensor}",
                system=system,
            ),
            question(
                SensorCheck, "probe", place="", label="The probe beside the sensor shows", system=system
            ),
        ]
        return "sensor check", asked, {"sensor": change.sensor}
    asked = [question(Restored, "read_back", place="", label="What is seen there now", system=system,
                      help="In your own words, such as: drive shows automatic.")]  # fmt: skip
    return "restored", asked, {"change": change.id}


async def line(request: Request) -> Response:
    """Show one line: how it was, what forgetting costs, and what proves that it is back."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "restore", "Put back")
    return await _line_page(request, opened, request.path_params["line"])


async def _line_page(
    request: Request, opened: Opened, id_: str, *, typed: Form | None = None, refusals: Sequence[Refusal] = (), status: int = 200
) -> Response:  # fmt: skip
    found, change = _line(opened, id_)
    what, questions, _ = _proving(change, opened)
    asked = filled(questions, {}, typed=typed.texts if typed else None, refusals=refusals)
    costs = await _costs(desk_of(request), opened)
    thermometers = [one for one in opened.facts.get("instruments") or [] if one.get("kind") == "temperature"]
    return await page(
        request, "restore_line.html.j2", opened=opened, stage="restore", status=status, line=found, change=change, what=what, asked=asked,
        wrong=mistakes(refusals, questions), cost=costs.get(id_), instruments=thermometers if what == "sensor check" else [],
    )  # fmt: skip


async def put_back(request: Request) -> Response:
    """Enter the reading that shows a change undone, and the word that it was put back."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "restore", "Put back")
    found, change = _line(opened, request.path_params["line"])
    what, questions, known = _proving(change, opened)
    roof = practice_roof(opened)
    if roof is not None and asked_to_read(form):
        seen = practice.put_back(roof, change, opened.worked.job.readings)
        return await _line_page(request, opened, found.id, typed=with_shown(form, questions, seen))
    more = {**known, **({"instrument": form.get("instrument")} if what == "sensor check" else {})}

    async def wrong(refusals: Sequence[Refusal]) -> Response:
        return await _line_page(request, opened, found.id, typed=form, refusals=refusals, status=422)

    def done(ids: list[str]) -> Response:
        return go_to(request, f"/jobs/{opened.id}/restore/{found.id}", said="saved", undo=ids)

    return await enter_reading(desk, opened, form, what, questions, wrong=wrong, done=done, **more)


def _new_questions(opened: Opened) -> list[Question]:
    names = ("kind", "point", "was", "changed_to", "sensor", "label")
    return [
        question(TemporaryChange, one, place="", label=LABELS[one], system=opened.system) for one in names
    ]


async def new(request: Request) -> Response:
    """Ask for a change that is being made."""
    opened = await desk_of(request).open(request.path_params["job"])
    return await page(
        request,
        "restore_new.html.j2",
        opened=opened,
        stage="restore",
        asked=filled(_new_questions(opened), {}),
        wrong=[],
    )


async def add(request: Request) -> Response:
    """Put a change on the list."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    questions = _new_questions(opened)

    async def wrong(refusals: Sequence[Refusal]) -> Response:
        asked = filled(questions, {}, typed=form.texts, refusals=refusals)
        return await page(
            request, "restore_new.html.j2", opened=opened, stage="restore", status=422, asked=asked, wrong=mistakes(refusals, questions)
        )  # fmt: skip

    def done(ids: list[str]) -> Response:
        return go_to(request, f"/jobs/{opened.id}/restore", said="saved", undo=ids)

    return await enter_reading(desk, opened, form, "temporary change", questions, wrong=wrong, done=done)


routes = [
    Route("/jobs/{job}/restore", overview),
    Route("/jobs/{job}/restore/new", new),
    Route("/jobs/{job}/restore/new", add, methods=["POST"]),
    Route("/jobs/{job}/restore/{line}", line),
    Route("/jobs/{job}/restore/{line}", put_back, methods=["POST"]),
]
