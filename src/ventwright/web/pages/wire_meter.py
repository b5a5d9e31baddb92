"""Meter readings on a connector that is in no file, guided: they name its circuits."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.entry import Typed
from ventwright.errors import Refusal, Refused
from ventwright.facts.harness import SeenConnector
from ventwright.plan import WiringPlan
from ventwright.plan.wiring.named_circuits import ToMeasure
from ventwright.quantity import RESISTANCE, VOLTAGE, Dimension
from ventwright.tables.circuit import Function
from ventwright.web.desk import Add, Desk, Opened, Put, Step
from ventwright.web.entries import entry_steps
from ventwright.web.form import Form, Question, answers, filled, mistakes
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.wire import STAGE, cautions_for, gate_address, ready, refuse_other_power
from ventwright.web.pages.wire_seen import CONNECTOR, seen_connector, seen_page
from ventwright.web.power_state import Power
from ventwright.web.received import received
from ventwright.web.seen_item import taken_out

KINDS: dict[str, tuple[Dimension, Power, str]] = {
    "volts": (VOLTAGE, "on", "Volts, power on"),
    "ohms": (RESISTANCE, "off", "Ohms, power off"),
}
CALLS = ("none", "G", "Y1", "Y2", "W1", "W2", "O", "B")
CALLED = {
    "G": "fan",
    "Y1": "first cooling",
    "Y2": "second cooling",
    "W1": "first heating",
    "W2": "second heating",
}
"""Calls that the letters make, as a change for a test names them."""

CABINET = "cabinet"

JOINED = re.compile(r"\bjoin R to (\w+)")
"""How a step says which letter is joined to R at the thermostat."""


def _kind(request: Request) -> tuple[Dimension, Power, str]:
    kind = KINDS.get(request.path_params["kind"])
    if kind is None:
        raise HTTPException(404)
    return kind


def _pins(held: dict[str, Any]) -> list[int]:
    """Return the pins with a wire; every pin where none was looked at."""
    told = sorted(one["cavity"] for one in held.get("wires") or [])
    return told or list(range(1, SeenConnector.model_validate(held).count + 1))


def _questions(held: dict[str, Any], dimension: Dimension, opened: Opened) -> list[Question]:
    colours = {one["cavity"]: one.get("colour", "") for one in held.get("wires") or []}
    return [
        Question(f"pin-{pin}", f"Pin {pin}{f', {colours[pin]}' if colours.get(pin) else ''}", f"pin-{pin}", "quantity",
                 dimensions=(dimension,), system=opened.system)
        for pin in _pins(held)
    ]  # fmt: skip


async def shown(request: Request) -> Response:
    """Ask for readings from every pin to one point."""
    opened = await desk_of(request).open(request.path_params["job"])
    if not seen_connector(opened):
        return go_to(request, f"/jobs/{opened.id}/wire/seen")
    return await _shown(request, opened)


async def _shown(
    request: Request, opened: Opened, *, typed: Form | None = None, refusals: Sequence[Refusal] = ()
) -> Response:
    dimension, power, title = _kind(request)
    held = seen_connector(opened)
    questions = _questions(held, dimension, opened)
    wiring = opened.worked.plan.wiring if opened.worked else None
    here = f"/wire/seen/{request.path_params['kind']}"
    steps = (
        [one for one in wiring.to_measure if ("ohms" in one.do.text) == (dimension is RESISTANCE)]
        if wiring
        else []
    )
    return await page(
        request,
        "wire_meter.html.j2",
        opened=opened,
        stage=STAGE,
        status=422 if refusals else 200,
        title=title,
        kind=request.path_params["kind"],
        points=[CABINET, *(str(pin) for pin in _pins(held))],
        calls=CALLS,
        to=typed.get("to") if typed else _common(wiring),
        call=typed.get("call") if typed else _call(steps),
        asked=filled(questions, {}, typed=typed.texts if typed else None, refusals=refusals),
        wrong=mistakes(refusals, questions),
        steps=steps,
        off_again=typed.get("off_again") == "yes" if typed else False,
        ready=ready(opened, power),
        power=power,
        gate=gate_address(power, here),
        cautions=cautions_for(opened, power),
    )


def _common(wiring: WiringPlan | None) -> str:
    """Return the pin that is told to be the common, to which all is read; the cabinet while none is."""
    told = wiring.named if wiring else ()
    return next((str(one.cavity) for one in told if one.function is Function.COMMON), CABINET)


def _call(steps: Sequence[ToMeasure]) -> str:
    """Return the letter that the next step has joined to R."""
    found = JOINED.search(steps[0].do.text) if steps else None
    return found[1] if found else "none"


async def keep(request: Request) -> Response:
    """Enter every reading that was given, all or none."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    dimension, power, _ = _kind(request)
    held = seen_connector(opened)
    if not held:
        return go_to(request, f"/jobs/{opened.id}/wire/seen")
    try:
        refuse_other_power(opened, power)
        steps = _readings(form, _questions(held, dimension, opened), dimension)
        steps += await _joined(desk, opened, form)
        ids = await desk.enter(opened, steps, once=form.get("once"))
    except Refused as refused:
        return await _shown(request, opened, typed=form, refusals=refused.refusals)
    return go_to(request, f"/jobs/{opened.id}/wire/seen", said="saved", undo=ids)


async def _joined(desk: Desk, opened: Opened, form: Form) -> list[Step]:
    """Enter the wire from R to a letter as a change for a test, and that it is off again where that was ticked.

    A wire that is not ticked off stays in the list of what has to be put back.
    """
    call = form.get("call") or "none"
    if call == "none":
        return []
    alone = f"thermostat wire alone on {call}"
    changed = await entry_steps(
        desk,
        opened,
        form,
        "temporary change",
        kind="jumper",
        point=f"letter {call} at the thermostat",
        was=alone,
        changed_to=f"wire from R on {call}",
        call=CALLED.get(call),
    )
    change = changed[-1]
    if form.get("off_again") != "yes" or not isinstance(change, Add):
        return changed
    back = await entry_steps(
        desk, opened, form, "restored", change=change.value["id"], read_back=f"{alone}, the call is gone"
    )
    return [*changed, back[-1]]


def _readings(form: Form, questions: Sequence[Question], dimension: Dimension) -> list[Step]:
    """Turn the fields into readings; each mistake beside its field."""
    to, call, takes = form.get("to"), form.get("call") or "none", Typed((dimension,), 0.0)
    point: int | str = int(to) if to.isdigit() else CABINET
    steps: list[Step] = []
    refusals: list[Refusal] = []
    for name, text in answers(questions, form.texts).items():
        if not text:
            continue
        pin = int(name.removeprefix("pin-"))
        mistake = _mistake(text, takes, at_itself=pin == point)
        if mistake is not None:
            refusals.append(mistake.at(name))
            continue
        reading: dict[str, Any] = {"between": [pin, point], "reads": text}
        steps.append(Add(f"{CONNECTOR}.readings", reading if call == "none" else {**reading, "call": call}))
    if refusals:
        raise Refused(*refusals)
    if not steps:
        raise Refused(
            Refusal("nothing was given", f"one reading or more, such as {dimension.example}", "readings")
        )
    return steps


def _mistake(text: str, takes: Typed, *, at_itself: bool) -> Refusal | None:
    """Return what is wrong with one reading."""
    if at_itself:
        return Refusal("is the point that all are read to", "a reading at another pin", given=text)
    if text == "open" and takes.dimensions == (RESISTANCE,):
        return None
    try:
        takes(text)
    except Refused as refused:
        return refused.refusals[0]
    return None


async def pair(request: Request) -> Response:
    """Enter two pins that the plug found in the connector joins."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    ends = [int(form.get(name)) for name in ("one", "other") if form.get(name).isdigit()]
    held = seen_connector(opened).get("joined_by_plug") or []
    two = len(set(ends)) == 2
    steps: list[Step] = [Put(f"{CONNECTOR}.joined_by_plug", [*held, ends])] if two else []
    ids = await desk.enter(opened, steps, once=form.get("once"))
    return go_to(request, f"/jobs/{opened.id}/wire/seen", said="saved" if ids else "nothing", undo=ids)


async def take_out(request: Request) -> Response:
    """Take a reading or a joined pair out; it stays in the list of changes."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    list_ = form.get("list")
    held = seen_connector(opened).get(list_) or [] if list_ in {"readings", "joined_by_plug"} else []
    try:
        step = Put(f"{CONNECTOR}.{list_}[{taken_out(held, form)}]", None)
        ids = await desk.enter(opened, [step], once=form.get("once"))
    except Refused as refused:
        return await seen_page(request, opened, refused.refusals)
    return go_to(request, f"/jobs/{opened.id}/wire/seen", said="saved" if ids else "nothing", undo=ids)


routes = [
    Route("/jobs/{job}/wire/seen/pair", pair, methods=["POST"]),
    Route("/jobs/{job}/wire/seen/take-out", take_out, methods=["POST"]),
    Route("/jobs/{job}/wire/seen/{kind}", shown),
    Route("/jobs/{job}/wire/seen/{kind}", keep, methods=["POST"]),
]
