"""One job: where it stands, what to do next, its archive, its file, and the next unit on the same site."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.plan.provable import make_provable
from ventwright.plan.provable.check import CanBeSettled
from ventwright.quantity import AIRFLOW
from ventwright.record.card_reading import is_card
from ventwright.store.change import new_id
from ventwright.store.exchange import as_copy, exported, merge, read_copy
from ventwright.store.history import Pen
from ventwright.web.changed import told
from ventwright.web.desk import BringBack, Desk, Opened, Put, Step, TakeBack
from ventwright.web.form import Form
from ventwright.web.from_card import code_in_photo, document_of_card, job_on_card
from ventwright.web.opening import next_unit_document
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.received import received
from ventwright.web.standing import standing_of
from ventwright.words import Amount


async def shown(request: Request) -> Response:
    """Show where a job stands and what comes next."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    stands = standing_of(opened, await desk.proof(opened))
    return await page(
        request, "job.html.j2", opened=opened, stands=stands, lacking=opened.lacking, archived=opened.archived, **_glance(opened)
    )  # fmt: skip


def _glance(opened: Opened) -> dict[str, Any]:
    """Sum up what can be set, what can be proved and what to take up."""
    worked = opened.worked
    if worked is None:
        return {"glance": []}
    plan, system = worked.plan, opened.system
    found = make_provable(worked.job.facts, plan)
    today = [one for one in found.checks if one.can_be_settled is CanBeSettled.TODAY]
    air = Amount(plan.ventilation.required, AIRFLOW).show(system)
    guessed = " (guess)" if any(one.what == "spaces" for one in plan.guesses) else ""
    rows = [
        ("Outdoor air required", air + guessed),
        ("Kit", plan.kit.name),
        ("Energy code", plan.basis.energy_code),
    ]
    settings = ", ".join(f"{one.label}: {one.value.show(system)}" for one in plan.settings[:2])
    to_take = ", ".join(one.what.show(system) for one in plan.pick_list[:3])
    return {
        "glance": rows,
        "set_words": f"{len(plan.settings)} settings; {settings} …",
        "provable_words": f"{len(today)} of {len(found.checks)} checks",
        "take_words": f"{to_take} …",
    }


async def archive(request: Request) -> Response:
    """Put a job aside, or take it back into the list."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    if opened.archived:
        await desk.jobs.unarchive(opened.id)
        return go_to(request, f"/jobs/{opened.id}", said="unarchived")
    await desk.jobs.archive(opened.id)
    return go_to(request, "/", said="archived")


async def file(request: Request) -> Response:
    """Hand the job out as a document that every Ventwright reads."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    name = "".join(letter if letter.isalnum() else "-" for letter in f"{opened.site}-{opened.tag}".lower())
    headers = {
        "content-disposition": f'attachment; filename="{name.encode("ascii", "replace").decode().replace("?", "-")}.json"',
        "cache-control": "no-store",
    }
    content = exported(await desk.jobs.history(opened.id))
    return Response(content, media_type="application/json", headers=headers)


async def copy(request: Request) -> Response:
    """Ask what differs on the next unit of the same site."""
    opened = await desk_of(request).open(request.path_params["job"])
    return await page(request, "copy.html.j2", opened=opened, typed={}, wrong=[])


async def make_copy(request: Request) -> Response:
    """Open the job of the next unit on the same site."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    if not form.get("tag"):
        wrong = [
            {
                "name": "tag",
                "sentence": "Tag: nothing was given; accepted: the tag painted on the unit, such as R-3.",
            }
        ]
        return await page(request, "copy.html.j2", opened=opened, status=422, typed=form.texts, wrong=wrong)
    document = next_unit_document(opened.document, form.get("tag"), form.get("serves"), job=new_id())
    job = await desk.jobs.create(document, device=desk.device)
    return go_to(request, f"/jobs/{job}")


async def bring(request: Request) -> Response:
    """Ask for a job's file, or the code on a unit's card."""
    return await page(request, "bring.html.j2", wrong=[], typed={}, same="")


async def take_in(request: Request) -> Response:
    """Take a job in: new, merged into the one that is here, as a job of its own, or begun from a card."""
    desk, form = desk_of(request), await received(request)
    try:
        text, name = await _brought(desk, form)
        if is_card(text):
            return await _from_card(request, desk, form, text)
        return await _kept(request, desk, read_copy(text, name), form, text)
    except Refused as refused:
        wrong = [{"name": "", "sentence": one.sentence} for one in refused.refusals]
        return await page(request, "bring.html.j2", status=422, wrong=wrong, typed=form.texts, same="")


async def _brought(desk: Desk, form: Form) -> tuple[str, str]:
    """Return the text that was brought and what it is called."""
    if "photo" in form.files and form.files["photo"][1]:
        return await desk.work.now(code_in_photo, form.files["photo"][1]), "the photo"
    if "file" in form.files and form.files["file"][1]:
        name, content = form.files["file"]
        try:
            return content.decode("utf-8-sig"), name
        except UnicodeDecodeError:
            raise Refused(Refusal("is not a text file", "a job as .yaml or .json, in UTF-8", name)) from None
    if form.get("text"):
        return form.texts["text"], "the text"
    raise Refused(Refusal("nothing was given", "a file of a job, its text, or the code on a unit's card"))


async def _from_card(request: Request, desk: Desk, form: Form, text: str) -> Response:
    """Open the job that a card was written from where it is here, else begin one from what the card says."""
    known = {row.id for archived in (False, True) for row in await desk.jobs.jobs(archived=archived)}
    if job_on_card(text) in known:
        return go_to(request, f"/jobs/{job_on_card(text)}")
    document = document_of_card(text, await desk.system(), job=form.get("once") or new_id())
    if document["id"] not in known:
        await desk.jobs.create(document, device=desk.device)
    return go_to(request, f"/jobs/{document['id']}", said="imported")


async def _kept(request: Request, desk: Desk, document: dict[str, Any], form: Form, text: str) -> Response:
    known = {row.id for archived in (False, True) for row in await desk.jobs.jobs(archived=archived)}
    job, how = document.get("id"), form.get("how")
    if job not in known or how == "copy":
        made = as_copy(document) if job in known else document
        created = await desk.jobs.create(made, device=desk.device)
        if made.get("units") == "si":
            await desk.begin_in_si()
        return go_to(request, f"/jobs/{created}", said="imported")
    if how == "merge":
        pen = Pen(await desk.jobs.history(str(job)), device=desk.device)
        merge(pen, document)
        await desk.jobs.add(pen.changes)
        return go_to(request, f"/jobs/{job}", said="imported")
    return await page(request, "bring.html.j2", wrong=[], typed={"text": text}, same=str(job))


async def disagree(request: Request) -> Response:
    """Show what two devices say differently, and let one be chosen."""
    opened = await desk_of(request).open(request.path_params["job"])
    return await page(request, "disagree.html.j2", opened=opened)


async def choose(request: Request) -> Response:
    """Let one of two answers stand; the other stays in the list of changes."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    chosen: list[Step] = [
        Put(one.shown, said.value)
        for one in opened.conflicts
        for said in one.said
        if form.get(one.place) == said.change.id
    ]
    ids = await desk.enter(opened, chosen, once=form.get("once"))
    return go_to(request, f"/jobs/{opened.id}", said="saved", undo=ids)


async def take_back(request: Request) -> Response:
    """Take changes back that were made a moment ago, or let them count again."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    named = [one for one in form.get("changes").split(",") if one]
    again = form.get("do") == "again"
    steps: list[Step] = [BringBack(one) if again else TakeBack(one) for one in named]
    await desk.enter(opened, steps, once=form.get("once"))
    following = _shown_at(told(await desk.jobs.history(opened.id), named, opened).address, opened, form)
    if again:
        return go_to(request, following, said="again", undo=named)
    return go_to(request, following, said="undone", again=named)


def _shown_at(address: str, opened: Opened, form: Form) -> str:
    """Return the page that shows what was taken back; where none is known, the one from which it was."""
    back, job = form.get("back"), f"/jobs/{opened.id}"
    if address:
        return f"{job}/{address}"
    return back if back.startswith(job) else job


routes = [
    Route("/bring", bring),
    Route("/bring", take_in, methods=["POST"]),
    Route("/jobs/{job}", shown),
    Route("/jobs/{job}/archive", archive, methods=["POST"]),
    Route("/jobs/{job}/job.json", file),
    Route("/jobs/{job}/copy", copy),
    Route("/jobs/{job}/copy", make_copy, methods=["POST"]),
    Route("/jobs/{job}/disagree", disagree),
    Route("/jobs/{job}/disagree", choose, methods=["POST"]),
    Route("/jobs/{job}/take-back", take_back, methods=["POST"]),
]
