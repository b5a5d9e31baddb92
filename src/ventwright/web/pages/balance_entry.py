"""Readings at the damper: three temperatures, a traverse, and the other kinds, each its own small form."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any
from urllib.parse import quote, urlencode

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.readings import Noted
from ventwright.readings.practice.streams import at_damper
from ventwright.web.balance_blocks import Block, blocks, speed_address
from ventwright.web.desk import Add, Opened, Step
from ventwright.web.entries import entry_steps
from ventwright.web.form import Form, mistakes
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.practice_shown import asked_to_read, practice_roof, with_shown
from ventwright.web.reading_form import ReadingForm, first_screen_of
from ventwright.web.reading_kinds import KINDS, fields_of, kind_of
from ventwright.web.received import received

STAGE = "balance"

OF_THE_SENDING = frozenset({"once", "offset", "screen", "walked"})
"""Controls of a form that are no part of a reading."""


async def opened_or_waiting(request: Request) -> Opened | Response:
    """Open the job; the page that says what is missing where nothing can be worked out yet."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await page(request, "waiting.html.j2", opened=opened, stage=STAGE, title="Balance")
    return opened


def block_of(request: Request, opened: Opened) -> Block:
    """Return the fan speed that the address names."""
    found = blocks(opened.worked) if opened.worked is not None else ()
    for one in found:
        if speed_address(one.name) == quote(request.path_params["speed"], safe=""):
            return one
    raise HTTPException(404)


def usual_signal(block: Block) -> str:
    """Return the signal to read at where the address names none."""
    usual = block.next.at or block.today or block.left
    return usual.text if usual is not None else ""


def _form(request: Request, opened: Opened, given: Form) -> ReadingForm:
    """Return the form that an address and what was typed ask for."""
    block, kind = block_of(request, opened), KINDS.get(request.path_params.get("kind", "mixed-air"))
    if kind is None or opened.worked is None:
        raise HTTPException(404)
    number = given.get("screen", "0")
    screen = min(int(number), len(kind.screens) - 1) if number.isdecimal() else 0
    damper = given.get("damper") or request.query_params.get("damper", "") or usual_signal(block)
    return ReadingForm(opened, opened.worked, kind, block.name, damper, screen, given.texts or None)


async def ask(request: Request) -> Response:
    """Ask for a reading."""
    opened = await opened_or_waiting(request)
    if isinstance(opened, Response):
        return opened
    form = _form(request, opened, Form(dict(request.query_params)))
    return await _page(request, form)


async def _page(
    request: Request, form: ReadingForm, *, template: str = "balance_read.html.j2", status: int = 200
) -> Response:
    known = [*form.questions, *form.instrument_questions]
    return await page(
        request, template, opened=form.opened, stage=STAGE, status=status, form=form,
        wrong=mistakes(form.refusals, known), speed_at=f"/balance/{speed_address(form.speed)}", typed_query=_query(form),
    )  # fmt: skip


def _query(form: ReadingForm, **more: str) -> str:
    """Return what was typed, and where the damper stands, as an address takes it along."""
    kept = {name: text for name, text in (form.typed or {}).items() if text and name not in OF_THE_SENDING}
    return urlencode({**kept, "damper": form.damper, **more})


async def traverse(request: Request) -> Response:
    """Ask for the mixed air point by point; outdoor and return air come along unseen."""
    opened = await opened_or_waiting(request)
    if isinstance(opened, Response):
        return opened
    form = _form(request, opened, Form(dict(request.query_params)))
    return await _page(request, replace(form, fields=("mixed_air",)), template="balance_traverse.html.j2")


async def to_traverse(request: Request) -> Response:
    """Go from three temperatures to the points of the mixed air, with what was typed so far."""
    given = await received(request)
    opened = await opened_or_waiting(request)
    if isinstance(opened, Response):
        return opened
    form = _form(request, opened, given)
    return go_to(request, f"/jobs/{opened.id}/balance/{speed_address(form.speed)}/traverse?{_query(form)}")


async def enter(request: Request) -> Response:
    """Enter a reading, or go on to the next screen of it."""
    desk, given = desk_of(request), await received(request)
    opened = await opened_or_waiting(request)
    if isinstance(opened, Response):
        return opened
    form = _form(request, opened, given)
    roof = practice_roof(opened)
    if roof is not None and asked_to_read(given):
        signal = 0.0 if form.at is None else form.at.percent.value
        seen = at_damper(roof, form.kind.name, form.speed, signal)
        return await _page(request, replace(form, typed=with_shown(given, form.everything, seen).texts))
    if not form.last_screen:
        address = f"/jobs/{opened.id}/balance/{speed_address(form.speed)}/read/{form.kind.name}"
        return go_to(request, f"{address}?{_query(form, screen=str(form.screen + 1))}")
    try:
        steps = await entry_steps(desk, opened, given, form.kind.what, **form.entry())
        ids = await desk.enter(opened, steps, once=given.get("once"))
    except Refused as refused:
        return await _refused(request, form, given, refused.refusals)
    after = f"/{speed_address(form.speed)}/result" if form.kind.of_speed else ""
    return go_to(request, f"/jobs/{opened.id}/balance{after}", said="saved", undo=ids[-1:])


async def _refused(request: Request, form: ReadingForm, given: Form, refusals: Sequence[Refusal]) -> Response:
    """Show the screen on which something was refused, with all that was typed."""
    form = replace(form, refusals=refusals, screen=first_screen_of(form, refusals))
    only_points = all(one.where.startswith(f"{form.place}.mixed_air") for one in refusals)
    if given.get("walked") and only_points:
        walked = replace(form, fields=("mixed_air",))
        return await _page(request, walked, template="balance_traverse.html.j2", status=422)
    return await _page(request, form, status=422)


async def other(request: Request) -> Response:
    """Offer the other kinds of reading."""
    opened = await opened_or_waiting(request)
    if isinstance(opened, Response):
        return opened
    block = block_of(request, opened)
    damper = request.query_params.get("damper", "") or usual_signal(block)
    return await page(
        request, "balance_other.html.j2", opened=opened, stage=STAGE, block=block, damper=damper, kinds=KINDS.values()
    )  # fmt: skip


async def listed(request: Request) -> Response:
    """List what was read for the balance, newest first, with what became of it."""
    opened = await opened_or_waiting(request)
    if isinstance(opened, Response):
        return opened
    read = [one for one in reversed(_entries(opened)) if kind_of(one) is not None]
    rows = [(one, _became(opened, one)) for one in read]
    return await page(request, "balance_list.html.j2", opened=opened, stage=STAGE, rows=rows)


def _entries(opened: Opened) -> Sequence[Noted]:
    return opened.worked.job.readings.entries if opened.worked is not None else ()


def _became(opened: Opened, entry: Noted) -> str:
    """What became of an entry: it stands, or a later one replaced it or took it back."""
    later = [one for one in _entries(opened) if one.corrects == entry.id]
    if not later:
        return "stands"
    return "taken back" if getattr(later[-1], "what", "") == "withdrawn" else "corrected"


def _standing(request: Request, opened: Opened) -> Noted:
    """Return the reading that the address names, one that still stands."""
    for entry in _entries(opened):
        stands = kind_of(entry) is not None and _became(opened, entry) == "stands"
        if entry.id == request.path_params["entry"] and stands:
            return entry
    raise HTTPException(404)


def _correction(request: Request, opened: Opened, given: Form | None) -> ReadingForm:
    earlier = _standing(request, opened)
    kind = kind_of(earlier)
    if kind is None or opened.worked is None:
        raise HTTPException(404)
    where = tuple(one for one in ("speed", "damper_signal") if one in kind.model.model_fields)
    speed, damper = getattr(earlier, "speed", ""), str(getattr(earlier, "damper_signal", ""))
    typed = None if given is None else given.texts
    fields = (*where, *fields_of(kind)) if kind.name != "side-by-side" else None
    return ReadingForm(
        opened, opened.worked, kind, speed, damper, len(kind.screens) - 1, typed, earlier, fields
    )


async def mend(request: Request) -> Response:
    """Show an earlier reading, to be corrected or taken back."""
    opened = await opened_or_waiting(request)
    if isinstance(opened, Response):
        return opened
    return await _page(request, _correction(request, opened, None), template="balance_mend.html.j2")


async def correct(request: Request) -> Response:
    """Enter a reading anew in the place of an earlier one, as of the time when it was read; or take it back."""
    desk, given = desk_of(request), await received(request)
    opened = await opened_or_waiting(request)
    if isinstance(opened, Response):
        return opened
    form = _correction(request, opened, given)
    earlier = form.earlier
    assert earlier is not None  # noqa: S101 - a correction has one
    held = next(one for one in opened.entries if one.get("id") == earlier.id)
    kept = {name: held[name] for name in ("by", "conditions", "note") if held.get(name)}
    try:
        if given.get("do") == "take back":
            steps = await entry_steps(desk, opened, given, "withdrawn", corrects=earlier.id)
        else:
            fields = {**form.entry(), **kept, "at": held["at"], "corrects": earlier.id}
            steps = await entry_steps(desk, opened, given, form.kind.what, **fields)
        ids = await desk.enter(opened, list(_on_visit_of(held, steps)), once=given.get("once"))
    except Refused as refused:
        form = replace(form, refusals=refused.refusals)
        return await _page(request, form, template="balance_mend.html.j2", status=422)
    return go_to(request, f"/jobs/{opened.id}/balance", said="saved", undo=ids)


def _on_visit_of(held: Mapping[str, Any], steps: Sequence[Step]) -> Iterator[Step]:
    """Yield the entry alone, on the visit of what it stands for: that was read then, or on none, and not today."""
    for one in steps:
        if isinstance(one, Add) and one.place == "readings.entries":
            rest = {name: value for name, value in one.value.items() if name != "visit"}
            yield Add(one.place, {**rest, **({"visit": held["visit"]} if held.get("visit") else {})})


routes = [
    Route("/jobs/{job}/balance-list", listed),
    Route("/jobs/{job}/balance-list/{entry}", mend),
    Route("/jobs/{job}/balance-list/{entry}", correct, methods=["POST"]),
    Route("/jobs/{job}/balance/{speed}/other", other),
    Route("/jobs/{job}/balance/{speed}/traverse", traverse),
    Route("/jobs/{job}/balance/{speed}/traverse", to_traverse, methods=["POST"]),
    Route("/jobs/{job}/balance/{speed}/read", ask),
    Route("/jobs/{job}/balance/{speed}/read", enter, methods=["POST"]),
    Route("/jobs/{job}/balance/{speed}/read/{kind}", ask),
    Route("/jobs/{job}/balance/{speed}/read/{kind}", enter, methods=["POST"]),
]
