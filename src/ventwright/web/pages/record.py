"""The record: what is proved and what is not, signatures, and the files that stay with the owner and in the unit."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.evidence import Verdict
from ventwright.job import RecordSection, Worked, record_of, subject_of
from ventwright.quantity import System
from ventwright.record.html import report_html
from ventwright.record.report import build_report
from ventwright.record.signature import BOX, Signature
from ventwright.record.subject import ReckonedYear
from ventwright.store.change import new_id
from ventwright.verdict.deficiency import Deficiency
from ventwright.web.desk import Add, Desk, Opened, Put, local_now
from ventwright.web.form import Form, Question, answers, filled, mistakes, question
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.waiting import waiting
from ventwright.web.photos_in_record import Kept, asked_shots, shots_of, with_photos
from ventwright.web.received import received
from ventwright.web.savings_reckoned import begun, year_in_record
from ventwright.web.work import Piece, Steps, Stopped

FILES = {"record.pdf": "application/pdf", "card.pdf": "application/pdf", "record.json": "application/json"}

FOR_PRINTED_PAGE = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; frame-ancestors 'none'; base-uri 'none'"
)
"""The printed page carries its own style, and neither script nor form."""


async def overview(request: Request) -> Response:
    """Show what the record will say, and what is missing in it."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "record", "Record")
    verdicts = opened.worked.verdicts
    checks = list(verdicts.checks())
    open_checks = [one for one in checks if one.verdict is not Verdict.PASSES]
    return await page(
        request, "record.html.j2", opened=opened, stage="record", checks=open_checks, total=len(checks), passes=verdicts.counted(Verdict.PASSES),
        record=opened.worked.job.record, deficiencies=opened.worked.job.verdict.deficiencies,
    )  # fmt: skip


async def printed(request: Request) -> Response:
    """Answer with the record as a page to read and print."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    if opened.worked is None:
        raise HTTPException(404)
    shots = await asked_shots(request, desk, opened)
    year = _year(desk, opened, opened.worked)
    try:
        reckoned = None if year is None else year_in_record(await year.task, opened.system)
    except Stopped:
        return go_to(request, f"/jobs/{opened.id}/record")
    text = await desk.work.now(written_page, opened.worked, opened.system, local_now(""), shots, reckoned)
    headers = {"content-security-policy": FOR_PRINTED_PAGE, "cache-control": "no-store"}
    return Response(text, media_type="text/html; charset=utf-8", headers=headers)


def _year(desk: Desk, opened: Opened, worked: Worked) -> Piece | None:
    """Begin the year of a job that names its weather; the record of any other says what is published."""
    return begun(desk, opened, worked) if worked.job.facts.site.weather_file else None


def written_page(
    worked: Worked, system: System, made: datetime, photos: Sequence[Kept], year: ReckonedYear | None
) -> str:
    """Write the record as a page."""
    return report_html(build_report(subject_of(worked, system, shots_of(photos), year)), made=made)


def writing(
    worked: Worked, system: System, made: datetime, photos: Sequence[Kept], year: ReckonedYear | None
) -> Steps[dict[str, bytes]]:
    """Write every file of the record, as a piece of work."""
    yield 0, 1
    return record_of(worked, made=made, system=system, photos=shots_of(photos), year=year)


async def _begun(request: Request, desk: Desk, opened: Opened, worked: Worked) -> Piece:
    """Begin the files; first, and as a piece of its own, the year that the record tells of."""
    year = _year(desk, opened, worked)
    if year is not None and not year.done:
        return year
    reckoned = None if year is None else year_in_record(year.result(), opened.system)
    photos = await asked_shots(request, desk, opened)
    key = f"record {opened.id} {opened.revision} {opened.system} {len(photos)}"
    return desk.work.begin(key, writing, worked, opened.system, local_now(""), photos, reckoned)


async def make(request: Request) -> Response:
    """Write the files; meanwhile say so, and let it be stopped."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "record", "Record")
    piece = await _begun(request, desk, opened, opened.worked)
    return await page(
        request,
        "record_files.html.j2",
        opened=opened,
        stage="record",
        ready=piece.done,
        stopped=piece.stopped,
        asked_with="?photos=yes" if with_photos(request) else "",
    )


async def stop(request: Request) -> Response:
    """Stop writing."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    if opened.worked is not None:
        (await _begun(request, desk, opened, opened.worked)).stop()
    return go_to(request, f"/jobs/{opened.id}/record")


async def file(request: Request) -> Response:
    """Hand out one file of the record."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    name = request.path_params["name"]
    if opened.worked is None or name not in FILES:
        raise HTTPException(404)
    year = _year(desk, opened, opened.worked)
    try:
        if year is not None:
            await year.task
        files = await (await _begun(request, desk, opened, opened.worked)).task
    except Stopped:
        raise HTTPException(404) from None
    headers = {"content-disposition": f'attachment; filename="{name}"', "cache-control": "no-store"}
    return Response(files[name], media_type=FILES[name], headers=headers)


def _sign_questions(opened: Opened) -> list[Question]:
    def ask(name: str, label: str, **changed: Any) -> Question:
        return question(Signature, name, place="", label=label, system=opened.system, **changed)

    return [
        ask("name", "Name"),
        ask("role", "Role", help="Technician, reviewer, owner."),
        ask("certificate", "Licence or certificate number", help="Where the law asks for one."),
        ask("statement", "What the signature stands for"),
    ]


async def sign(request: Request) -> Response:
    """Ask for a signature."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    usual = {
        "name": await desk.jobs.setting("technician") or "",
        "certificate": await desk.jobs.setting("certificate") or "",
        "role": "technician",
        "statement": "readings and settings as entered",
    }
    return await _sign_page(request, opened, usual)


async def _sign_page(
    request: Request, opened: Opened, held: dict[str, Any], *, typed: Form | None = None, refusals: Sequence[Refusal] = (), status: int = 200
) -> Response:  # fmt: skip
    questions = _sign_questions(opened)
    asked = filled(questions, held, typed=typed.texts if typed else None, refusals=refusals)
    return await page(
        request, "record_sign.html.j2", opened=opened, stage="record", status=status, asked=asked, wrong=mistakes(refusals, questions),
        box=BOX, drawn=typed.get("drawn") if typed else "",
    )  # fmt: skip


async def keep_signature(request: Request) -> Response:
    """Enter a signature."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    given = {key: value for key, value in answers(_sign_questions(opened), form.texts).items() if value}
    day = local_now(form.get("offset")).date().isoformat()
    drawn = {"drawn": form.get("drawn")} if form.get("drawn") else {}
    try:
        ids = await desk.enter(
            opened, [Add("record.signatures", {**given, "on": day, **drawn})], once=form.get("once")
        )
    except Refused as refused:
        placed = [one.at(one.where.rpartition(".")[2]) for one in refused.refusals]
        return await _sign_page(request, opened, {}, typed=form, refusals=placed, status=422)
    return go_to(request, f"/jobs/{opened.id}/record", said="saved", undo=ids)


def _remark_questions(opened: Opened) -> list[Question]:
    def ask(name: str, label: str, **changed: Any) -> Question:
        return question(Deficiency, name, place="", label=label, system=opened.system, **changed)

    return [
        ask("what", "What is wrong"),
        ask("severity", "How serious"),
        ask("who_acts", "Who must act"),
        ask("due", "By when"),
    ]


async def remark(request: Request) -> Response:
    """Ask what stays wrong."""
    opened = await desk_of(request).open(request.path_params["job"])
    asked = filled(_remark_questions(opened), {})
    return await page(request, "record_remark.html.j2", opened=opened, stage="record", asked=asked, wrong=[])


async def keep_remark(request: Request) -> Response:
    """Enter something that stays wrong."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    questions = _remark_questions(opened)
    given = {key: value for key, value in answers(questions, form.texts).items() if value}
    found = {"id": new_id()[:6], "found_on": local_now(form.get("offset")).date().isoformat()}
    try:
        ids = await desk.enter(
            opened, [Add("verdict.deficiencies", {**found, **given})], once=form.get("once")
        )
    except Refused as refused:
        placed = [one.at(one.where.rpartition(".")[2]) for one in refused.refusals]
        asked = filled(questions, {}, typed=form.texts, refusals=placed)
        wrong = mistakes(placed, questions)
        return await page(
            request,
            "record_remark.html.j2",
            opened=opened,
            stage="record",
            status=422,
            asked=asked,
            wrong=wrong,
        )
    return go_to(request, f"/jobs/{opened.id}/record", said="saved", undo=ids)


def _next_questions(opened: Opened) -> list[Question]:
    def ask(name: str, label: str, **changed: Any) -> Question:
        return question(RecordSection, name, place="record", label=label, system=opened.system, **changed)

    return [
        ask("retest_by", "What is not proved is proved by"),
        ask("next_check", "When somebody should look again", kind="long"),
    ]


async def again(request: Request) -> Response:
    """Ask when somebody looks again."""
    opened = await desk_of(request).open(request.path_params["job"])
    asked = filled(_next_questions(opened), opened.document)
    return await page(request, "record_again.html.j2", opened=opened, stage="record", asked=asked, wrong=[])


async def keep_again(request: Request) -> Response:
    """Enter when somebody looks again."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    questions = _next_questions(opened)
    try:
        steps = [Put(place, value) for place, value in answers(questions, form.texts).items()]
        ids = await desk.enter(opened, steps, once=form.get("once"))
    except Refused as refused:
        asked = filled(questions, {}, typed=form.texts, refusals=refused.refusals)
        wrong = mistakes(refused.refusals, questions)
        return await page(
            request,
            "record_again.html.j2",
            opened=opened,
            stage="record",
            status=422,
            asked=asked,
            wrong=wrong,
        )
    return go_to(request, f"/jobs/{opened.id}/record", said="saved", undo=ids)


routes = [
    Route("/jobs/{job}/record", overview),
    Route("/jobs/{job}/record/page", printed),
    Route("/jobs/{job}/record/files", make),
    Route("/jobs/{job}/record/stop", stop, methods=["POST"]),
    Route("/jobs/{job}/record/sign", sign),
    Route("/jobs/{job}/record/sign", keep_signature, methods=["POST"]),
    Route("/jobs/{job}/record/remark", remark),
    Route("/jobs/{job}/record/remark", keep_remark, methods=["POST"]),
    Route("/jobs/{job}/record/again", again),
    Route("/jobs/{job}/record/again", keep_again, methods=["POST"]),
    Route("/jobs/{job}/record/{name}", file),
]
