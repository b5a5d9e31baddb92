"""A board that is not in the list: its plug as seen, each pin's colour, and its circuits named with the meter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.facts.harness import SeenBoard, SeenConnector
from ventwright.tables.circuit import LETTERS
from ventwright.web.desk import Add, Opened, Put, Step
from ventwright.web.form import Form, Option, Question, answers, filled, mistakes, question
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.waiting import waiting
from ventwright.web.pages.wire import STAGE
from ventwright.web.pages.wire_land import face
from ventwright.web.received import received
from ventwright.web.seen_item import seen_mark

PLACE = "facts.harness.seen_board"
CONNECTOR = f"{PLACE}.connector"

COLOURS = (
    "black",
    "white",
    "red",
    "green",
    "yellow",
    "blue",
    "orange",
    "brown",
    "violet",
    "grey",
    "pink",
    "tan",
)
"""Colours of control wire as words; a stripe is said with "with"."""

NEW = {
    "name": "Board not in the list",
    "connector": {"name": "economizer socket", "end": "socket", "rows": 1, "columns": 6},
}
"""What stands in the fields before anything is entered."""

SIDES = (("plug", "Plug: it has the pins"), ("socket", "Socket: it takes them"), ("loose wires", "Loose wires"),
         ("screw terminals", "Screw terminals"))  # fmt: skip
FACES = (("mating face", "Looking into its mating face"), ("wire side", "Looking at the wires"))


def seen_connector(opened: Opened) -> dict[str, Any]:
    """Return the unknown connector as typed; nothing where there is none."""
    harness = opened.facts.get("harness") or {}
    held: dict[str, Any] = (harness.get("seen_board") or {}).get("connector") or {}
    return held


def _questions(opened: Opened) -> list[Question]:
    def of(name: str, label: str, **more: Any) -> Question:
        return question(SeenConnector, name, place=CONNECTOR, label=label, system=opened.system, **more)

    return [
        of("columns", "Pins in a row", required=True),
        of("rows", "Rows", required=True),
        of("end", "What is it?", options=tuple(Option(*one) for one in SIDES)),
        of(
            "numbered_from",
            "From where are pins counted?",
            required=True,
            options=tuple(Option(*one) for one in FACES),
        ),
        of("key", "What keeps it from going in wrong", help='Such as "a rib beside pin 3", or none.'),
        of("plug_looks", "The plug found in it, if any: what it looks like"),
        replace(of("name", "What to call it"), name="connector_name"),
        replace(
            question(SeenBoard, "name", place=PLACE, label="What to call the board", system=opened.system),
            name="board_name",
        ),
    ]


async def shown(request: Request) -> Response:
    """Show what is known of the connector and what to read next; ask for its shape where nothing is."""
    return await seen_page(request, await desk_of(request).open(request.path_params["job"]))


async def seen_page(request: Request, opened: Opened, refusals: Sequence[Refusal] = ()) -> Response:
    """Answer with the page of the connector, with what was refused on it."""
    if opened.worked is None:
        return await waiting(request, opened, STAGE, "A board that is not in the list")
    if not seen_connector(opened):
        return await _shape(request, opened)
    wiring, held = opened.worked.plan.wiring, seen_connector(opened)
    shape = _shape_of(held)
    return await page(
        request,
        "wire_seen.html.j2",
        opened=opened,
        stage=STAGE,
        status=422 if refusals else 200,
        wiring=wiring,
        connector=held,
        face=face(shape, 0, _pin_words(held)),
        readings=[
            (
                seen_mark(one),
                f"{one['between'][0]} – {one['between'][1]}",
                one.get("call", "none"),
                one["reads"],
            )
            for one in held.get("readings") or []
        ],
        pairs=[(seen_mark(one), one) for one in held.get("joined_by_plug") or []],
        wrong=mistakes(refusals),
        first_pin=_first_open(held, shape),
    )


def _shape_of(held: dict[str, Any]) -> SeenConnector:
    return SeenConnector.model_validate(held)


def _pin_words(held: dict[str, Any]) -> dict[int, str]:
    return {
        one["cavity"]: " ".join(filter(None, (one.get("colour", ""), one.get("marked", ""))))
        for one in held.get("wires") or []
    }


def _first_open(held: dict[str, Any], shape: SeenConnector) -> int:
    told = _pin_words(held)
    return next((pin for pin in range(1, shape.count + 1) if pin not in told), 0)


async def shape(request: Request) -> Response:
    """Ask for the shape of the connector."""
    opened = await desk_of(request).open(request.path_params["job"])
    return await _shape(request, opened)


async def _shape(
    request: Request, opened: Opened, *, typed: Form | None = None, refusals: Sequence[Refusal] = ()
) -> Response:
    questions, held = _questions(opened), seen_connector(opened)
    document = opened.document if held else {"facts": {"harness": {"seen_board": NEW}}}
    asked = filled(questions, document, typed=typed.texts if typed else None, refusals=refusals)
    return await page(
        request,
        "wire_shape.html.j2",
        opened=opened,
        stage=STAGE,
        status=422 if refusals else 200,
        asked=asked,
        wrong=mistakes(refusals, questions),
        there=bool(held),
    )


async def keep_shape(request: Request) -> Response:
    """Enter the shape of the connector."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    given = {
        where: value for where, value in answers(_questions(opened), form.texts).items() if value is not None
    }
    harness = opened.facts.get("harness") or {}
    steps: list[Step] = [Put("facts.harness.board", None)] if harness.get("board") else []
    if seen_connector(opened):
        steps += [Put(where, value) for where, value in given.items()]
    else:
        connector = {
            where.removeprefix(f"{CONNECTOR}."): value
            for where, value in given.items()
            if where.startswith(CONNECTOR)
        }
        steps.append(Put(PLACE, {"name": given.get(f"{PLACE}.name", ""), "connector": connector}))
    try:
        ids = await desk.enter(opened, steps, once=form.get("once"))
    except Refused as refused:
        return await _shape(request, opened, typed=form, refusals=refused.refusals)
    return go_to(request, f"/jobs/{opened.id}/wire/seen", said="saved", undo=ids)


async def pin(request: Request) -> Response:
    """Ask for the colour of one pin's wire, and the letter beside it."""
    opened = await desk_of(request).open(request.path_params["job"])
    held = seen_connector(opened)
    if not held:
        return go_to(request, f"/jobs/{opened.id}/wire/seen")
    shape_, number = _shape_of(held), request.path_params["pin"]
    if not 1 <= number <= shape_.count:
        raise HTTPException(404)
    now: dict[str, Any] = next((one for one in held.get("wires") or [] if one["cavity"] == number), {})
    base, _, stripe = str(now.get("colour", "")).partition(" with ")
    return await page(
        request,
        "wire_pin.html.j2",
        opened=opened,
        stage=STAGE,
        pin=number,
        face=face(shape_, number, _pin_words(held)),
        colours=COLOURS if base in {*COLOURS, ""} else (*COLOURS, base),
        colour=base,
        stripe=stripe,
        letters=tuple(LETTERS),
        marked=now.get("marked", ""),
    )


async def keep_pin(request: Request) -> Response:
    """Enter one pin's wire; the next pin comes by itself."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    held, number = seen_connector(opened), request.path_params["pin"]
    if not held or not 1 <= number <= _shape_of(held).count:
        raise HTTPException(404)
    there = next(
        (place for place, one in enumerate(held.get("wires") or [], start=1) if one["cavity"] == number), 0
    )
    colour = " with ".join(
        filter(None, (form.get("colour"), form.get("stripe") if form.get("colour") else ""))
    )
    wire = {"cavity": number, "colour": colour, "marked": form.get("marked")}
    wire = {name: value for name, value in wire.items() if value}
    steps: list[Step] = []
    if form.get("do") == "no wire":
        steps = [Put(f"{CONNECTOR}.wires[{there}]", None)] if there else []
    elif there:
        steps = [Put(f"{CONNECTOR}.wires[{there}]", wire)]
    else:
        steps = [Add(f"{CONNECTOR}.wires", wire)]
    ids = await desk.enter(opened, steps, once=form.get("once"))
    following = f"/pin/{number + 1}" if number < _shape_of(held).count else ""
    return go_to(
        request, f"/jobs/{opened.id}/wire/seen{following}", said="saved" if ids else "nothing", undo=ids
    )


routes = [
    Route("/jobs/{job}/wire/seen", shown),
    Route("/jobs/{job}/wire/seen/shape", shape),
    Route("/jobs/{job}/wire/seen/shape", keep_shape, methods=["POST"]),
    Route("/jobs/{job}/wire/seen/pin/{pin:int}", pin),
    Route("/jobs/{job}/wire/seen/pin/{pin:int}", keep_pin, methods=["POST"]),
]
