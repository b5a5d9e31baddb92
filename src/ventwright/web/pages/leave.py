"""Make safe and leave: ends a visit, not the job, and shows the tag that stays at the unit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal
from ventwright.job import Worked, subject_of
from ventwright.quantity import System
from ventwright.readings.changes import LeftSafe
from ventwright.record.tag import build_tag, tag_files
from ventwright.web.desk import Opened, local_now
from ventwright.web.entry_form import enter_reading
from ventwright.web.form import Form, Question, filled, mistakes, question
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.waiting import waiting
from ventwright.web.received import received


def _questions(opened: Opened) -> list[Question]:
    def ask(name: str, label: str, help_: str = "") -> Question:
        return question(LeftSafe, name, place="", label=label, help=help_, system=opened.system)

    signal = ask("damper_signal", "At which signal or position")
    if opened.worked is not None:
        signal = replace(signal, dimensions=opened.worked.plan.kit.damper_signal.typed_in)
    return [
        ask("told", "Who was told, and how", "Such as: building manager, by phone."),
        ask(
            "damper",
            "Where the damper stands meanwhile",
            "At ventilation, not shut by habit: people breathe.",
        ),
        signal,
        ask("why", "Why there", "Needed where it is not at ventilation."),
        ask("note", "Note"),
    ]


async def shown(request: Request) -> Response:
    """Ask how the unit is left, with what has to go back before power."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "restore", "Make safe and leave")
    return await _page(request, opened, opened.worked)


async def _page(
    request: Request, opened: Opened, worked: Worked, *, typed: Form | None = None, refusals: Sequence[Refusal] = (), status: int = 200
) -> Response:  # fmt: skip
    questions = _questions(opened)
    usual = {"damper": "at ventilation"}
    asked = filled(questions, usual, typed=typed.texts if typed else None, refusals=refusals)
    cooling = worked.plan.wiring.restore if worked.plan.wiring else ()
    return await page(
        request, "leave.html.j2", opened=opened, stage="restore", status=status, asked=asked, wrong=mistakes(refusals, questions),
        waiting=worked.verdicts.not_closed, cooling=cooling, left=worked.job.readings.standing(LeftSafe)[-1:],
    )  # fmt: skip


async def leave(request: Request) -> Response:
    """Enter how the unit is left."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    worked = opened.worked
    if worked is None:
        return await waiting(request, opened, "restore", "Make safe and leave")

    async def wrong(refusals: Sequence[Refusal]) -> Response:
        return await _page(request, opened, worked, typed=form, refusals=refusals, status=422)

    def done(ids: list[str]) -> Response:
        return go_to(request, f"/jobs/{opened.id}/leave/tag", said="saved", undo=ids)

    return await enter_reading(desk, opened, form, "left safe", _questions(opened), wrong=wrong, done=done)


async def tag(request: Request) -> Response:
    """Show the tag as it is printed or copied onto the unit by hand."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "restore", "Tag")
    built = build_tag(subject_of(opened.worked, opened.system), _last(opened.worked))
    return await page(request, "tag.html.j2", opened=opened, stage="restore", tag=built)


async def tag_file(request: Request) -> Response:
    """Hand the tag out as a page to print."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    if opened.worked is None:
        raise HTTPException(404)
    content = await desk.work.now(written_tag, opened.worked, opened.system, local_now(""))
    headers = {"content-disposition": 'attachment; filename="tag.pdf"', "cache-control": "no-store"}
    return Response(content, media_type="application/pdf", headers=headers)


def _last(worked: Worked) -> LeftSafe:
    left = worked.job.readings.standing(LeftSafe)
    if not left:
        raise HTTPException(404)
    return left[-1]


def written_tag(worked: Worked, system: System, made: datetime) -> bytes:
    """Write the tag as a PDF."""
    return tag_files(subject_of(worked, system), _last(worked), made=made)["tag.pdf"]


routes = [
    Route("/jobs/{job}/leave", shown),
    Route("/jobs/{job}/leave", leave, methods=["POST"]),
    Route("/jobs/{job}/leave/tag", tag),
    Route("/jobs/{job}/leave/tag.pdf", tag_file),
]
