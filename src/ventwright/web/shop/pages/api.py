"""The interface for programs: jobs and their photos as JSON, described at /openapi.json."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from ventwright.entry import validated
from ventwright.errors import Refused
from ventwright.readings.photo import Photo
from ventwright.store.exchange import as_copy, exported, merge, read_copy
from ventwright.store.history import Pen
from ventwright.web.desk import Add, Desk, NoSuchJob, local_now
from ventwright.web.page import desk_of
from ventwright.web.photo import taken_in
from ventwright.web.shop.messages import JobKept, JobRow, JobRows, PhotoKept, PhotoRow, PhotoRows, Problem
from ventwright.web.shop.openapi import OPERATIONS, description

NO_STORE = {"cache-control": "no-store"}


async def described(_: Request) -> Response:
    """Describe this interface."""
    return JSONResponse(description(OPERATIONS))


async def listed(request: Request) -> Response:
    """List the jobs that one sees."""
    archived, sought = request.query_params.get("archived") == "true", request.query_params.get("q", "")
    rows = await desk_of(request).jobs.jobs(archived=archived, search=sought)
    return _json(
        JobRows(
            jobs=[
                JobRow(
                    id=row.id, site=row.site, tag=row.tag, revision=row.revision,
                    created=row.created, updated=row.updated, archived=row.archived,
                )
                for row in rows
            ]
        )
    )  # fmt: skip


async def take_in(request: Request) -> Response:
    """Take a job in: new, merged into the one that is here, or as a job of its own."""
    desk, how = desk_of(request), request.query_params.get("how", "new")
    try:
        text = (await request.body()).decode()
    except UnicodeDecodeError:
        return _problem("This is no text in UTF-8.", 400)
    if not text.lstrip().startswith("{"):
        return _problem("This is no JSON object; accepted: the document of a job.", 400)
    try:
        document = read_copy(text, "the body")
        known = await _is_seen(desk, document.get("id"))
        if known and how == "new":
            return _problem("This job is here already; accepted: how=merge or how=copy.", 409)
        if known and how == "merge":
            job = str(document["id"])
            pen = Pen(await desk.jobs.history(job), device=desk.device)
            merge(pen, document)
            await desk.jobs.add(pen.changes)
            return _json(JobKept(id=job))
        made = as_copy(document) if how == "copy" else document
        return _json(JobKept(id=await desk.jobs.create(made, device=desk.device)), 201)
    except Refused as refused:
        return _refused(refused)


async def read(request: Request) -> Response:
    """Hand a job out as a document that every Ventwright reads."""
    try:
        history = await desk_of(request).jobs.history(request.path_params["job"])
    except Refused:
        return _problem("This job is not kept here.", 404)
    return Response(exported(history), media_type="application/json", headers=NO_STORE)


async def photos(request: Request) -> Response:
    """List the photos of a job."""
    try:
        opened = await desk_of(request).open(request.path_params["job"])
    except NoSuchJob:
        return _problem("This job is not kept here.", 404)
    here = await desk_of(request).jobs.photos.names(opened.id)
    rows = [
        PhotoRow(
            id=str(one.get("id")), at=str(one.get("at", "")), stage=str(one.get("stage", "")),
            caption=str(one.get("caption", "")), is_here=one.get("id") in here,
        )
        for one in opened.photos
    ]  # fmt: skip
    return _json(PhotoRows(photos=rows))


async def add_photo(request: Request) -> Response:
    """Take a picture in and enter it in the job."""
    desk = desk_of(request)
    try:
        opened = await desk.open(request.path_params["job"])
        picture = await desk.work.now(taken_in, await request.body())
        if any(one.get("id") == picture.name for one in opened.photos):
            return _json(PhotoKept(id=picture.name))
        given = {"caption": request.query_params.get("caption"), "stage": request.query_params.get("stage")}
        at = local_now("0").isoformat(timespec="seconds")
        entry = {"id": picture.name, "at": at, **{name: value for name, value in given.items() if value}}
        validated(Photo, entry)
        await desk.jobs.photos.keep(opened.id, picture)
        await desk.enter(opened, [Add("readings.photos", entry)])
    except NoSuchJob:
        return _problem("This job is not kept here.", 404)
    except Refused as refused:
        return _refused(refused)
    return _json(PhotoKept(id=picture.name), 201)


async def photo(request: Request) -> Response:
    """Hand a picture out."""
    job, name = request.path_params["job"], request.path_params["photo"]
    try:
        found = await desk_of(request).jobs.photos.picture(job, name)
    except Refused:
        found = None
    if found is None:
        return _problem("This picture is not kept here.", 404)
    return Response(found.content, media_type="image/jpeg", headers=NO_STORE)


async def _is_seen(desk: Desk, job: Any) -> bool:
    if not isinstance(job, str):
        return False
    try:
        await desk.jobs.row(job)
    except Refused:
        return False
    return True


def _json(model: BaseModel, status: int = 200) -> Response:
    return Response(model.model_dump_json(), status, media_type="application/json", headers=NO_STORE)


def _problem(sentence: str, status: int) -> Response:
    return _json(Problem(problem=sentence), status)


def _refused(refused: Refused) -> Response:
    return _problem(" ".join(one.sentence for one in refused.refusals), 422)


routes = [
    Route("/openapi.json", described),
    Route("/api/jobs", listed),
    Route("/api/jobs", take_in, methods=["POST"]),
    Route("/api/jobs/{job}", read),
    Route("/api/jobs/{job}/photos", photos),
    Route("/api/jobs/{job}/photos", add_photo, methods=["POST"]),
    Route("/api/jobs/{job}/photos/{photo}", photo),
]
