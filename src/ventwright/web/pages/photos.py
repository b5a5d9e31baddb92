"""Photos of a job: taken or chosen at any step, shown there and together, captioned, taken out, deleted for good."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.entry import validated
from ventwright.errors import Refusal, Refused
from ventwright.readings.photo import Photo
from ventwright.store.photos import Picture
from ventwright.web.desk import Add, Desk, Opened, Put, local_now
from ventwright.web.entries import visit_of
from ventwright.web.form import Form, Option, Question, answers, filled, mistakes, question
from ventwright.web.page import STAGES, desk_of, go_to, page
from ventwright.web.photo import taken_in
from ventwright.web.received import received

FOR_GOOD = {"cache-control": "private, max-age=31536000, immutable"}
"""A picture is named by its content and never changes."""

CAUTION = "Both hands first: stand still and away from the roof's edge and moving parts before you look at the screen."


async def gallery(request: Request) -> Response:
    """Show every photo of a job, stage by stage, and those that were taken out but not deleted."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    here = await desk.jobs.photos.names(opened.id)
    groups = [(title, shots) for title, shots in _by_stage(opened) if shots]
    removed = sorted(here - {one["id"] for one in opened.photos})
    elsewhere = [one for one in opened.photos if one["id"] not in here]
    return await page(
        request, "photos.html.j2", opened=opened, groups=groups, removed=removed, elsewhere=elsewhere, total=len(opened.photos)
    )  # fmt: skip


def _by_stage(opened: Opened) -> list[tuple[str, list[Any]]]:
    known = {stage.name for stage in STAGES}
    groups = [(stage.title, opened.photos_at(stage.name, "")) for stage in STAGES]
    return [*groups, ("Not at a stage", [one for one in opened.photos if one.get("stage") not in known])]


def _questions() -> list[Question]:
    def ask(name: str, label: str, **changed: Any) -> Question:
        return question(Photo, name, place="", label=label, **changed)

    return [
        ask("shows", "What it shows"),
        ask("state", "When", options=(Option("as found", "as found"), Option("as left", "as left"))),
        ask("caption", "What is to be seen", help="Such as: outdoor blades shut tight, seal whole."),
    ]


async def new(request: Request) -> Response:
    """Ask for a photo."""
    opened = await desk_of(request).open(request.path_params["job"])
    asked_with = dict(request.query_params)
    return await _new_page(request, opened, asked_with)


async def _new_page(
    request: Request, opened: Opened, held: dict[str, Any], *, typed: Form | None = None, refusals: Sequence[Refusal] = ()
) -> Response:  # fmt: skip
    questions = _questions()
    asked = filled(questions, {}, typed=typed.texts if typed else None, refusals=refusals)
    said = [Refusal(one.problem, one.accepted, "Photo" if one.where == "photo" else one.where, one.given) for one in refusals]  # fmt: skip
    return await page(
        request, "photo_new.html.j2", opened=opened, stage="", status=422 if refusals else 200, asked=asked,
        wrong=mistakes(said, questions), held=held, caution=CAUTION,
    )  # fmt: skip


async def keep(request: Request) -> Response:
    """Take a photo in and enter what it shows."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    content = next((held for _, held in form.files.values() if held), b"")
    try:
        picture = await desk.work.now(taken_in, content)
        _refuse_twice(opened, picture)
        entry = await _entry(desk, opened, form, picture)
        validated(Photo, entry)  # before anything is kept
        await desk.jobs.photos.keep(opened.id, picture)
        ids = await desk.enter(opened, [Add("readings.photos", entry)], once=form.get("once"))
    except Refused as refused:
        held = {name: form.get(name) for name in ("stage", "step", "back")}
        return await _new_page(request, opened, held, typed=form, refusals=refused.refusals)
    return go_to(request, _back(opened, form), said="saved", undo=ids)


def _refuse_twice(opened: Opened, picture: Picture) -> None:
    if any(one.get("id") == picture.name for one in opened.photos):
        raise Refused(Refusal("is with this job already", "another photo", "photo"))


async def _entry(desk: Desk, opened: Opened, form: Form, picture: Picture) -> dict[str, Any]:
    at = local_now(form.get("offset")).isoformat(timespec="seconds")
    visit, opening = await visit_of(desk, opened, at)
    given = {**answers(_questions(), form.texts), "stage": form.get("stage"), "step": form.get("step")}
    given |= {"by": await desk.jobs.setting("technician"), "visit": None if opening else visit}
    return {"id": picture.name, "at": at, **{name: value for name, value in given.items() if value}}


def _back(opened: Opened, form: Form) -> str:
    back = form.get("back")
    return back if back.startswith(f"/jobs/{opened.id}") else f"/jobs/{opened.id}/photos"


async def one(request: Request) -> Response:
    """Show one photo, with what is said of it."""
    opened = await desk_of(request).open(request.path_params["job"])
    return await _one_page(request, opened)


async def _one_page(
    request: Request, opened: Opened, *, typed: Form | None = None, refusals: Sequence[Refusal] = ()
) -> Response:
    photo, _ = _said_of(request, opened)
    questions = _questions()
    asked = filled(questions, photo, typed=typed.texts if typed else None, refusals=refusals)
    picture = await desk_of(request).jobs.photos.picture(opened.id, photo["id"])
    return await page(
        request, "photo.html.j2", opened=opened, stage="", status=422 if refusals else 200, photo=photo, picture=picture,
        asked=asked, wrong=mistakes(refusals, questions), at_step=_address(photo), taken=str(photo.get("at", ""))[:16].replace("T", " "),
    )  # fmt: skip


def _said_of(request: Request, opened: Opened) -> tuple[dict[str, Any], int]:
    """Return what is said of a photo, and its number in the list."""
    for number, said in enumerate(opened.photos, start=1):
        if said.get("id") == request.path_params["photo"]:
            return dict(said), number
    raise HTTPException(404)


def _address(photo: dict[str, Any]) -> str:
    """Return the page on which a photo was taken, within its job."""
    stage, step = photo.get("stage", ""), photo.get("step", "")
    if stage not in {one.name for one in STAGES}:
        return ""
    return f"{stage}/{step}" if step else str(stage)


async def change(request: Request) -> Response:
    """Say otherwise what a photo shows, or take it out of the job."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    _, number = _said_of(request, opened)
    place = f"readings.photos[{number}]"
    if form.get("do") == "take out":
        ids = await desk.enter(opened, [Put(place, None)], once=form.get("once"))
        return go_to(request, f"/jobs/{opened.id}/photos", said="saved", undo=ids)
    given = answers(_questions(), form.texts)
    try:
        steps = [Put(f"{place}.{name}", value) for name, value in given.items()]
        ids = await desk.enter(opened, steps, once=form.get("once"))
    except Refused as refused:
        placed = [each.at(each.where.rpartition(".")[2]) for each in refused.refusals]
        return await _one_page(request, opened, typed=form, refusals=placed)
    return go_to(request, f"/jobs/{opened.id}/photos", said="saved", undo=ids)


async def wipe(request: Request) -> Response:
    """Delete for good the pictures that were taken out of the job."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    spoken_of = {said.get("id") for said in opened.photos}
    for name in form.several.get("picture", ()):
        if name not in spoken_of:
            await desk.jobs.photos.wipe(opened.id, name)
    return go_to(request, f"/jobs/{opened.id}/photos", said="saved")


async def picture(request: Request) -> Response:
    """Answer with a picture, large or small."""
    job, name = request.path_params["job"], request.path_params["photo"]
    found = await desk_of(request).jobs.photos.picture(job, name)
    if found is None:
        raise HTTPException(404)
    content = found.small if request.path_params["size"] == "small" else found.content
    return Response(content, media_type="image/jpeg", headers=FOR_GOOD)


routes = [
    Route("/jobs/{job}/photos", gallery),
    Route("/jobs/{job}/photos", keep, methods=["POST"]),
    Route("/jobs/{job}/photos/new", new),
    Route("/jobs/{job}/photos/wipe", wipe, methods=["POST"]),
    Route("/jobs/{job}/photos/{photo}", one),
    Route("/jobs/{job}/photos/{photo}", change, methods=["POST"]),
    Route("/jobs/{job}/photos/{photo}/{size}.jpg", picture),
]
