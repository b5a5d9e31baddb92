"""Short lists typed by hand, a row at a time: hours in which compressors were seen to run, and a forecast."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.facts.running import CompressorSeen
from ventwright.facts.site import ForecastHour
from ventwright.web.desk import Add, Opened, Put, Step, local_now
from ventwright.web.form import Form, Question, answers, filled, mistakes, question, value_at
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.received import received
from ventwright.web.seen_item import seen_mark, taken_out

Row = dict[str, Any]

DAY_AND_HOUR = re.compile(r"\d{4}-\d{2}-\d{2}[T ]\d{1,2}:\d{2}")
"""A time as a person types it, without its offset from UTC."""


@dataclass(frozen=True, slots=True)
class TypedList:
    """One list: what it is, where it stands, what a row asks, and how a row is said."""

    name: str
    title: str
    lead: str
    place: str
    back: str
    asks: Callable[[Opened, str], list[Question]]
    says: Callable[[Row], tuple[str, str]]
    needs: str = ""
    """Place that has to hold something before the list can stand there; empty where none has to."""
    needs_at: str = ""
    """Where that is asked."""


def _seen(opened: Opened, place: str) -> list[Question]:
    def ask(name: str, label: str, **changed: Any) -> Question:
        return question(CompressorSeen, name, place=place, label=label, system=opened.system, **changed)

    return [
        ask("outdoor_air", "Outdoor temperature"),
        ask("share_running", "How much of the hour the compressors ran", help="All stages together; the damper at its minimum."),
    ]  # fmt: skip


def _forecast(opened: Opened, place: str) -> list[Question]:
    def ask(name: str, label: str, **changed: Any) -> Question:
        return question(ForecastHour, name, place=place, label=label, system=opened.system, **changed)

    return [
        ask("at", "Day and hour", kind="text", help="Such as 2026-12-02 07:00."),
        ask("outdoor_air", "Outdoor temperature"),
    ]


LISTS: Mapping[str, TypedList] = {
    one.name: one
    for one in (
        TypedList("compressors", "Compressors seen to run",
                  "Three hours or more, at different outdoor temperatures: where they stop is the balance point.",
                  "facts.running.compressor_seen", "facts/running", _seen,
                  lambda row: (str(row.get("outdoor_air", "")), f"{row.get('share_running', '')} of the hour")),
        TypedList("forecast", "A forecast", "Its hours say when to come back.",
                  "facts.weather.forecast", "savings", _forecast,
                  lambda row: (str(row.get("at", "")), str(row.get("outdoor_air", ""))),
                  "facts.weather.outdoor_air", "facts/today"),
    )
}  # fmt: skip


def _list(request: Request) -> TypedList:
    found = LISTS.get(request.path_params["list"])
    if found is None:
        raise HTTPException(404)
    return found


def _rows(opened: Opened, chosen: TypedList) -> list[Row]:
    held = value_at(opened.document, chosen.place)
    return [dict(one) for one in held] if isinstance(held, list) else []


async def typed_list(request: Request) -> Response:
    """Show a list, and ask for one more row."""
    opened = await desk_of(request).open(request.path_params["job"])
    return await _list_page(request, opened, _list(request))


async def _list_page(
    request: Request, opened: Opened, chosen: TypedList, *, typed: Form | None = None, refusals: Sequence[Refusal] = ()
) -> Response:  # fmt: skip
    rows = _rows(opened, chosen)
    questions = chosen.asks(opened, f"{chosen.place}[{len(rows) + 1}]")
    asked = filled(questions, opened.document, typed=typed.texts if typed else None, refusals=refusals)
    lacks = bool(chosen.needs) and value_at(opened.document, chosen.needs) is None
    return await page(
        request, "typed_list.html.j2", opened=opened, status=422 if refusals else 200, chosen=chosen, rows=[(*chosen.says(one), seen_mark(one)) for one in rows],
        asked=asked, wrong=mistakes(refusals, questions), lacks=lacks,
    )  # fmt: skip


async def keep_row(request: Request) -> Response:
    """Enter one more row, or take one out."""
    desk, form = desk_of(request), await received(request)
    opened, chosen = await desk.open(request.path_params["job"]), _list(request)
    rows = _rows(opened, chosen)
    try:
        step = _step(opened, chosen, rows, form)
        ids = await desk.enter(opened, [step], once=form.get("once"))
    except Refused as refused:
        new = f"{chosen.place}[{len(rows) + 1}]"
        moved = [
            one.at(re.sub(re.escape(chosen.place) + r"\[\d+\]", new, one.where)) for one in refused.refusals
        ]
        return await _list_page(request, opened, chosen, typed=form, refusals=moved)
    return go_to(request, f"/jobs/{opened.id}/lists/{chosen.name}", said="saved", undo=ids)


def _step(opened: Opened, chosen: TypedList, rows: Sequence[Row], form: Form) -> Step:
    """Return what a form asks for.

    Raises
    ------
    Refused
        The row to be taken out is not there any more.
    """
    if form.get("do") == "take out":
        return Put(f"{chosen.place}[{taken_out(rows, form)}]", None)
    return _added(chosen, rows, _row(opened, chosen, len(rows) + 1, form))


def _added(chosen: TypedList, rows: Sequence[Row], row: Row) -> Step:
    """Add a row beside whatever another device adds; a time that is not the last has the list written anew, in order."""
    in_order = sorted(
        [*rows, row], key=lambda one: str(one.get("at", ""))
    )  # one offset a device: as text in order
    return Add(chosen.place, row) if in_order[-1] is row else Put(chosen.place, in_order)


def _row(opened: Opened, chosen: TypedList, number: int, form: Form) -> Row:
    """Return a row as it was typed; a time gets the offset of the device."""
    given = answers(chosen.asks(opened, f"{chosen.place}[{number}]"), form.texts)
    row = {place.rpartition(".")[2]: value for place, value in given.items() if value is not None}
    at = str(row.get("at", ""))
    if DAY_AND_HOUR.fullmatch(at):
        offset = f"{local_now(form.get('offset')):%z}"
        row["at"] = f"{at.replace(' ', 'T')}{offset[:3]}:{offset[3:]}"
    return row


routes = [
    Route("/jobs/{job}/lists/{list}", typed_list),
    Route("/jobs/{job}/lists/{list}", keep_row, methods=["POST"]),
]
