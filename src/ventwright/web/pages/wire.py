"""The harness at a glance: whether it is whole, what joins it, what comes next; and what is asked at a change of power."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.plan import Weight, WiringPlan, WiringState
from ventwright.record.wiring_drawing import draw_wiring
from ventwright.web.desk import Opened
from ventwright.web.entries import entry_steps
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.waiting import waiting
from ventwright.web.power_state import ASKED, ITEMS, Power, power_state
from ventwright.web.received import received
from ventwright.web.wire_steps import WireStep, wire_steps

STAGE = "wire"

MARK_OF = {
    WiringState.WHOLE: "done",
    WiringState.ADAPTER_MISSING: "wrong",
    WiringState.NOT_WHOLE: "wrong",
    WiringState.CANNOT_MATE: "wrong",
    WiringState.PUT_IT_BACK: "open",
}

CAUTION_AT: dict[Power, str] = {"off": "open the unit", "on": "read with power on"}
"""Stage of the caution that belongs to each state of power."""


async def shown(request: Request) -> Response:
    """Show how the harness stands."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, STAGE, "Wire")
    plan, wiring = opened.worked.plan, opened.worked.plan.wiring
    steps = wire_steps(wiring, opened.worked.job.readings) if wiring else ()
    harness = opened.facts.get("harness") or {}
    return await page(
        request,
        "wire.html.j2",
        opened=opened,
        stage=STAGE,
        kit=plan.kit.name,
        wiring=wiring,
        mark=MARK_OF[wiring.state] if wiring else "none",
        wrong=[one for one in wiring.findings if one.weight is Weight.CONFLICT] if wiring else [],
        known=[one for one in wiring.findings if one.weight is not Weight.CONFLICT] if wiring else [],
        steps=steps,
        done=sum(one.done for one in steps),
        next=next((number for number, one in enumerate(steps, start=1) if not one.done), 0),
        seen="seen_board" in harness,
        has_harness=plan.kit.harness is not None or bool(harness.get("kit_connectors")),
        power=plan.power,
    )


async def drawing(request: Request) -> Response:
    """Show the whole wiring as one drawing, with its landing list."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None or opened.worked.plan.wiring is None:
        return go_to(request, f"/jobs/{opened.id}/wire")
    plan, wiring = opened.worked.plan, opened.worked.plan.wiring
    return await page(
        request,
        "wire_drawing.html.j2",
        opened=opened,
        stage=STAGE,
        svg=draw_wiring(wiring, plan.kit.name),
        words=wiring.sentence,
        rows=landing_rows(wiring),
    )


def landing_rows(wiring: WiringPlan) -> list[tuple[str, ...]]:
    """Return where every wire lands as rows of a table."""
    return [
        (
            one.function,
            _end(one.kit_end, one.kit_cavity, one.kit_colour),
            "; ".join(
                f"{hop.part} {hop.enters} to {hop.leaves}{f', {hop.colour}' if hop.colour else ''}"
                for hop in one.way
            )
            or "–",
            _end(one.board_end, one.board_cavity, one.board_colour) if one.board_end else "nowhere",
            one.standing,
        )
        for one in wiring.landings
    ]


def _end(end: str, cavity: str, colour: str) -> str:
    return f"{end} {cavity}{f', {colour}' if colour else ''}"


def present_steps(opened: Opened) -> tuple[WireStep, ...]:
    """Return the steps of the wiring; none while there are none."""
    worked = opened.worked
    if worked is None or worked.plan.wiring is None:
        return ()
    return wire_steps(worked.plan.wiring, worked.job.readings)


def ready(opened: Opened, power: Power) -> bool:
    """Whether power was lately ticked to stand as a step needs it."""
    return opened.worked is not None and power_state(opened.worked.job.readings).stands == power


def refuse_other_power(opened: Opened, power: Power) -> None:
    """Refuse what is done or read in the other state of power.

    Raises
    ------
    Refused
        Nobody ticked lately that power stands so.
    """
    if not ready(opened, power):
        accepted = f"a tick that it is {power}, made within the last two hours"
        raise Refused(Refusal(f"is not ticked to be {power}", accepted, "power"))


def cautions_for(opened: Opened, power: Power) -> list[str]:
    """Return the cautions that belong where a hand goes in with power off or on."""
    worked = opened.worked
    return (
        [] if worked is None else [one.text for one in worked.plan.cautions if one.stage == CAUTION_AT[power]]
    )


def gate_address(power: Power, then: str) -> str:
    """Return the address, within the job, of the page that asks about power before a page goes on."""
    return f"/wire/power-{power}?then={then}"


async def gate(request: Request) -> Response:
    """Ask whether power is off and proved dead, or whether it may come on."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, STAGE, "Wire")
    return await _gate(request, opened, request.query_params.get("then", "/wire"), {})


def _power(request: Request) -> Power:
    return "off" if request.path_params["power"] == "off" else "on"


async def _gate(
    request: Request, opened: Opened, then: str, ticked: Mapping[str, str], missing: tuple[str, ...] = ()
) -> Response:
    power = _power(request)
    return await page(
        request,
        "power_gate.html.j2",
        opened=opened,
        stage=STAGE,
        status=422 if missing else 200,
        power=power,
        asked=ASKED[power],
        ticked=ticked,
        cautions=cautions_for(opened, power),
        then=then,
        wrong=_not_ticked(missing),
    )


def _not_ticked(missing: tuple[str, ...]) -> list[dict[str, Any]]:
    return [
        {"name": name, "sentence": f"{words}: is not ticked; accepted: a tick, once it is so."}
        for name, words in (*ASKED["off"], *ASKED["on"])
        if name in missing
    ]


async def tick_power(request: Request) -> Response:
    """Enter that power is off and proved dead, or on again; each part has to be ticked."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    power, then = _power(request), form.get("then")
    missing = tuple(name for name, _ in ASKED[power] if form.get(name) != "yes")
    if missing:
        return await _gate(request, opened, then, form.texts, missing)
    steps = await entry_steps(desk, opened, form, "tick", item=ITEMS[power], found="in order")
    ids = await desk.enter(opened, steps, once=form.get("once"))
    following = then if then.startswith(("/wire", "/set", "/balance", "/prove", "/restore")) else "/wire"
    return go_to(request, f"/jobs/{opened.id}{following}", said="saved", undo=ids)


def step_number(request: Request, steps: tuple[WireStep, ...]) -> int:
    """Return the number of the step in an address.

    Raises
    ------
    HTTPException
        There is no such step.
    """
    number: int = request.path_params["number"]
    if not 1 <= number <= len(steps):
        raise HTTPException(404)
    return number


routes = [
    Route("/jobs/{job}/wire", shown),
    Route("/jobs/{job}/wire/drawing", drawing),
    Route("/jobs/{job}/wire/power-{power}", gate),
    Route("/jobs/{job}/wire/power-{power}", tick_power, methods=["POST"]),
]
