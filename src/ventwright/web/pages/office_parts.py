"""Kits and boards edited: a part at a time in a form, or the whole file as text; looked at as one types, kept when whole."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.tables.connector import Connector
from ventwright.web.form import Form, Mistake, answers, filled, mistakes, stands_in, value_at
from ventwright.web.own_forms import CONNECTORS, Asking, Row, asking, items_of, rows_of, typed_rows
from ventwright.web.own_part import OwnPart, changed, is_own, read_own
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.office import faces, opened_part, shelf_of
from ventwright.web.pages.wire_land import face
from ventwright.web.received import received
from ventwright.web.seen_item import changed_item, mark_kept, taken_out


@dataclass(frozen=True, slots=True)
class Stands:
    """What stands in a form: its rows, what was typed, which item each row became, and the drawing of it."""

    rows: Sequence[Row] = ()
    typed: Form | None = None
    from_row: Mapping[int, int] = field(default_factory=dict)
    drawn: Mapping[str, Any] | None = None
    looking: bool = False
    """Nothing was to be kept: what is wrong is told, not refused."""


def _asking(request: Request, held: OwnPart) -> tuple[Asking, int]:
    """Return what the part that an address names asks, and its number, a new one's behind the last.

    A file that is not whole is mended as text.
    """
    shelf, part = shelf_of(request), request.path_params["part"]
    number = request.path_params.get("number", 1) or _behind_last(held, shelf.folder, part)
    found = asking(shelf.folder, part, number)
    if (
        found is None
        or not is_own(held.name)
        or held.part is None
        or number > _behind_last(held, shelf.folder, part)
    ):
        raise HTTPException(404)
    return found, number


def _behind_last(held: OwnPart, folder: str, part: str) -> int:
    return 1 + len(_items(held, folder, part))


def _items(held: OwnPart, folder: str, part: str) -> Sequence[Any]:
    """Return the list that a part is one of; nothing where there is only one such part."""
    place = {"setting": "settings", "connector": CONNECTORS.get(folder, "")}.get(part)
    return value_at(held.data, place) or () if place else ()


def _meant(request: Request, held: OwnPart, form: Form) -> tuple[Asking, int]:
    """Return the part that the page showed, wherever it stands in its list by now.

    Raises
    ------
    Refused
        It is not there any more.
    """
    asks, number = _asking(request, held)
    if not asks.takes_out:
        return asks, number
    folder, part = shelf_of(request).folder, request.path_params["part"]
    items = _items(held, folder, part)
    number = taken_out(items, form) if form.get("do") == "take out" else changed_item(items, form, number)
    return asking(folder, part, number) or asks, number


async def part(request: Request) -> Response:
    """Ask for a part of a file."""
    held = await opened_part(request)
    asked, number = _asking(request, held)
    rows = rows_of(value_at(held.data, asked.rows_at) or [], asked.columns) if asked.rows_at else []
    return await _part_page(request, held, asked, number, Stands(rows))


async def _part_page(
    request: Request, held: OwnPart, asks: Asking, number: int, stands: Stands, refusals: Sequence[Refusal] = ()
) -> Response:  # fmt: skip
    typed = stands.typed
    asked = filled(asks.questions, held.data, typed=typed.texts if typed else None, refusals=refusals)
    asked = [replace(one, given=one.given or asks.usual.get(one.question.name, "")) for one in asked]
    found = [_mistake(one, asks, stands.from_row) for one in refusals]
    there = value_at(held.data, asks.takes_out) is not None if asks.takes_out else False
    return await page(
        request, "office_form.html.j2", status=422 if refusals and not stands.looking else 200, shelf=shelf_of(request), held=held, asks=asks, asked=asked,
        rows=stands.rows, wrong=found, part=request.path_params["part"], number=number, there=there, drawn=stands.drawn or _drawn(held.data, asks), looked=typed is not None,
        mark=mark_kept(typed, value_at(held.data, asks.takes_out)) if asks.takes_out else "",
        wrong_rows={one.name.split(".")[1] for one in found if one.name.startswith("row.")},
    )  # fmt: skip


def _mistake(refusal: Refusal, asks: Asking, from_row: Mapping[int, int]) -> Mistake:
    """Say a refusal at its question, at its cell in the rows, or at the part as a whole."""
    for item, row in from_row.items():
        place = f"{asks.rows_at}[{item}]"
        if stands_in(refusal.where, place):
            named = refusal.where.removeprefix(place).lstrip(".")
            column = next((one for one in asks.columns if one.name == named), asks.columns[0])
            return Mistake(refusal.at(f"row {row}, {column.label}").sentence, f"row.{row}.{column.name}")
    whole = refusal.at("") if refusal.where == asks.takes_out else refusal
    return mistakes([whole], asks.questions)[0]


def _drawn(data: Any, asks: Asking) -> dict[str, Any] | None:
    """Draw the connector of a form as its mating face, as far as it is whole."""
    held = value_at(data, asks.connector) if asks.connector else None
    try:
        one = Connector.model_validate(held)
    except ValueError:
        return None
    if one.by_hand:
        return None
    return face(one, 0, {pin.cavity: f"{pin.colour} {pin.function.value}".strip() for pin in one.circuits})


async def keep_part(request: Request) -> Response:
    """Look at what was typed; keep it where that is asked for and the file is whole with it."""
    form, held = await received(request), await opened_part(request)
    try:
        asks, number = _meant(request, held, form)
    except Refused as refused:
        asks, number = _asking(request, held)
        return await _part_page(
            request, held, asks, number, Stands(typed_rows(form, asks.columns), form), refused.refusals
        )
    back = f"/office/{shelf_of(request).folder}/{held.name}"
    if form.get("do") == "take out":
        after = read_own(shelf_of(request), held.name, changed(held.text, {asks.takes_out: None}, held.name))
        return await _kept(request, after, back) or await _part_page(
            request, held, asks, number, Stands(), after.refusals
        )
    rows = typed_rows(form, asks.columns) if asks.rows_at else []
    values = {place: value for place, value in answers(asks.questions, form.texts).items() if value is not None or value_at(held.data, place) is not None}  # fmt: skip
    from_row: dict[int, int] = {}
    if asks.rows_at:
        items, from_row = items_of(rows, value_at(held.data, asks.rows_at) or [], asks.columns)
        values[asks.rows_at] = items or None
    after = read_own(shelf_of(request), held.name, changed(held.text, values, held.name))
    looking = form.get("do") == "look"
    if not looking:
        kept = await _kept(request, after, back)
        if kept:
            return kept
    unplaced = [replace(one, line=None) for one in after.refusals]
    return await _part_page(
        request, held, asks, number, Stands(rows, form, from_row, _drawn(after.data, asks), looking), unplaced
    )


async def _kept(request: Request, after: OwnPart, back: str) -> Response | None:
    """Keep a file that is whole; nothing is done with another."""
    if after.refusals:
        return None
    await desk_of(request).jobs.put_file(after.name, after.text.encode())
    return go_to(request, back, said="saved")


async def text(request: Request) -> Response:
    """Show a file of one's own as text."""
    held = await opened_part(request)
    return await _text_page(request, held, looked=False)


async def _text_page(request: Request, held: OwnPart, *, looked: bool, refused: bool = False) -> Response:
    return await page(
        request, "office_text.html.j2", status=422 if refused else 200, shelf=shelf_of(request), held=held, own=is_own(held.name),
        faces=faces(held.part), wrong=[{"name": "text", "sentence": one.sentence} for one in held.refusals], looked=looked,
    )  # fmt: skip


async def keep_text(request: Request) -> Response:
    """Look at a text; keep it where that is asked for and it is whole."""
    form, before = await received(request), await opened_part(request)
    if not is_own(before.name):
        raise HTTPException(404)
    typed = form.texts.get("text", "").replace("\r\n", "\n")
    after = read_own(shelf_of(request), before.name, typed)
    if form.get("do") != "look":
        kept = await _kept(request, after, f"/office/{shelf_of(request).folder}/{after.name}")
        if kept:
            return kept
    return await _text_page(request, after, looked=True, refused=form.get("do") != "look")


routes = [
    Route("/office/{kind}/{name}/text", text),
    Route("/office/{kind}/{name}/text", keep_text, methods=["POST"]),
    Route("/office/{kind}/{name}/{part}", part),
    Route("/office/{kind}/{name}/{part}", keep_part, methods=["POST"]),
    Route("/office/{kind}/{name}/{part}/{number:int}", part),
    Route("/office/{kind}/{name}/{part}/{number:int}", keep_part, methods=["POST"]),
]
