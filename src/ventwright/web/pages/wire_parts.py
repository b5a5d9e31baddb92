"""What is to be joined: the unit's control board, off the shelf or not in the list, and the adapters at hand."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.tables.adapter import Adapter
from ventwright.tables.board import Board
from ventwright.tables.shelf import find, names
from ventwright.web.desk import Opened, Put, Step
from ventwright.web.form import Form
from ventwright.web.own_part import own_beside
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.wire import STAGE
from ventwright.web.received import received

UNKNOWN, SHEET = "not in the list", "by the data sheet"
"""Answers beside the boards of the shelf."""


async def shown(request: Request) -> Response:
    """Ask for the board and the adapters."""
    opened = await desk_of(request).open(request.path_params["job"])
    return await _shown(request, opened)


def _board_now(opened: Opened) -> str:
    harness = opened.facts.get("harness") or {}
    if "seen_board" in harness:
        return UNKNOWN
    return str(harness.get("board") or SHEET)


async def _shown(
    request: Request, opened: Opened, *, typed: Form | None = None, refusals: Sequence[Refusal] = ()
) -> Response:
    boards = [(one, find("boards", one, Board).name) for one in names("boards")]
    now = _board_now(opened)
    boards += own_beside(opened.folder, "board")
    if now not in {UNKNOWN, SHEET, *(name for name, _ in boards)}:
        boards.append((now, now))
    truck = opened.facts.get("truck")
    adapters = [(one, find("adapters", one, Adapter).name) for one in names("adapters")]
    adapters += own_beside(opened.folder, "adapter")
    own = [one for one in truck or () if one not in {name for name, _ in adapters}]
    ticked = typed.several.get("truck", ()) if typed else truck or ()
    return await page(
        request,
        "wire_parts.html.j2",
        opened=opened,
        stage=STAGE,
        status=422 if refusals else 200,
        boards=boards,
        chosen=typed.get("board") if typed else now,
        sheet=(opened.facts.get("unit") or {}).get("sheet"),
        adapters=[*adapters, *((one, one) for one in own)],
        ticked=ticked,
        looked=typed.get("looked") == "yes" if typed else truck is not None,
        wrong=[{"name": "", "sentence": one.sentence} for one in refusals],
        seen="seen_board" in (opened.facts.get("harness") or {}),
        unknown=UNKNOWN,
        by_sheet=SHEET,
    )


async def keep(request: Request) -> Response:
    """Enter the board and the adapters at hand."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    board, steps = form.get("board"), list[Step]()
    harness: dict[str, Any] = opened.facts.get("harness") or {}
    if board not in {UNKNOWN, _board_now(opened)}:
        if "seen_board" in harness:
            steps.append(Put("facts.harness.seen_board", None))
        if board != SHEET or "board" in harness:
            steps.append(Put("facts.harness.board", None if board == SHEET else board))
    ticked = list(form.several.get("truck", ()))
    truck = ticked if form.get("looked") == "yes" else None
    if truck != opened.facts.get("truck"):
        steps.append(Put("facts.truck", truck))
    try:
        _refuse_unlooked(ticked, truck)
        ids = await desk.enter(opened, steps, once=form.get("once"))
    except Refused as refused:
        return await _shown(request, opened, typed=form, refusals=refused.refusals)
    following = "/wire/seen" if board == UNKNOWN else "/wire"
    return go_to(request, f"/jobs/{opened.id}{following}", said="saved" if ids else "nothing", undo=ids)


def _refuse_unlooked(ticked: Sequence[str], truck: Sequence[str] | None) -> None:
    """Refuse ticks of which nobody said that they are all there is: they would be dropped without a word."""
    if ticked and truck is None:
        problem = f"{len(ticked)} ticked, and not that these are all there is"
        raise Refused(Refusal(problem, '"I have looked" ticked too, or no adapter', "Adapters at hand"))


routes = [
    Route("/jobs/{job}/wire/parts", shown),
    Route("/jobs/{job}/wire/parts", keep, methods=["POST"]),
]
