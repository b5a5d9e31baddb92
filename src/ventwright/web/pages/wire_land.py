"""The work on the harness, one step a screen: what comes out, where each wire lands, what the meter shows there."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.evidence import Verdict
from ventwright.quantity import RESISTANCE
from ventwright.record.landing_drawing import draw_landing
from ventwright.record.wiring_drawing import draw_wiring
from ventwright.tables.connector import Connector, Shape
from ventwright.web.desk import Opened
from ventwright.web.entries import entry_steps
from ventwright.web.form import Form, Question, answers, filled, mistakes
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.waiting import waiting
from ventwright.web.pages.wire import (
    STAGE,
    cautions_for,
    gate_address,
    present_steps,
    ready,
    refuse_other_power,
    step_number,
)
from ventwright.web.received import received
from ventwright.web.seen_item import mark_kept, refuse_other
from ventwright.web.wire_steps import TITLES, WireStep, metered

FOUND_OF = {Verdict.PASSES: "in order", Verdict.FAILS: "not in order", Verdict.CANNOT_TELL: "not looked at"}
"""What is ticked for a reading; one that cannot be told ticks nothing off."""


async def listed(request: Request) -> Response:
    """Show every step, connector by connector."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, STAGE, "Land the wires")
    steps = present_steps(opened)
    numbered = list(enumerate(steps, start=1))
    parts = [(TITLES[part], list(group)) for part, group in groupby(numbered, key=lambda one: one[1].part)]
    wiring = opened.worked.plan.wiring
    wrong = [one for one in wiring.landings if one.standing != "right"] if wiring else []
    return await page(
        request,
        "wire_steps.html.j2",
        opened=opened,
        stage=STAGE,
        parts=parts,
        wrong=wrong,
        count=len(steps),
        next=next((number for number, one in numbered if not one.done), 0),
    )


async def shown(request: Request) -> Response:
    """Show one step."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, STAGE, "Land the wires")
    return await _shown(request, opened)


def _question(step: WireStep) -> list[Question]:
    """Ask for what the meter shows, where it is read."""
    if step.dimension is None:
        return []
    help_ = "A number with its unit, or the word open." if step.dimension is RESISTANCE else ""
    return [
        Question(
            "reads",
            "The meter shows",
            "reads",
            "quantity",
            help=help_,
            required=step.limits is not None,
            dimensions=(step.dimension,),
        ),
    ]


async def _shown(
    request: Request, opened: Opened, *, typed: Form | None = None, refusals: Sequence[Refusal] = ()
) -> Response:
    steps = present_steps(opened)
    number = step_number(request, steps)
    step, questions = steps[number - 1], _question(steps[number - 1])
    plan = opened.worked.plan if opened.worked else None
    svg = way = ""
    if plan is not None and plan.wiring is not None and step.landing is not None:
        svg = draw_wiring(plan.wiring, plan.kit.name, step.landing)
        way = draw_landing(step.landing, plan.kit.name, plan.wiring.board_name)
    return await page(
        request,
        "wire_step.html.j2",
        opened=opened,
        stage=STAGE,
        status=422 if refusals else 200,
        step=step,
        number=number,
        count=len(steps),
        title=TITLES[step.part],
        ready=ready(opened, step.power),
        gate=gate_address(step.power, f"/wire/steps/{number}"),
        cautions=cautions_for(opened, step.power),
        svg=svg,
        way=way,
        faces=_faces(opened, step),
        asked=filled(questions, {}, typed=typed.texts if typed else None, refusals=refusals),
        wrong=mistakes(refusals, questions),
        note=typed.get("note") if typed else "",
        mark=mark_kept(typed, step.item),
    )


def _faces(opened: Opened, step: WireStep) -> list[dict[str, Any]]:
    """Show the plug ends that the wire passes, each with the cavity that counts; wires joined by hand have none."""
    landing, worked = step.landing, opened.worked
    if landing is None or worked is None:
        return []
    kit: Iterable[Connector] = worked.job.facts.harness.kit_connectors if worked.job.facts.harness else ()
    kit = kit or (worked.plan.kit.harness.connectors if worked.plan.kit.harness else ())
    found = [(one, landing.kit_cavity) for one in kit if one.name == landing.kit_end]
    return [face(shape, _cavity(shape, label)) for shape, label in found if not shape.by_hand]


def _cavity(shape: Connector, label: str) -> int:
    return next((one.cavity for one in shape.circuits if one.label == label), 0)


def face(shape: Shape, chosen: int, words: dict[int, str] | None = None) -> dict[str, Any]:
    """Return a connector as rows of cavities, as its mating face is looked at; the chosen one is marked."""
    said = words or {}
    rows = [
        [
            {"cavity": cavity, "chosen": cavity == chosen, "words": said.get(cavity, "")}
            for cavity in (shape.at((row, column)) for column in range(shape.columns))
        ]
        for row in range(shape.rows)
    ]
    return {"name": shape.name, "described": shape.described, "key": shape.key, "rows": rows}


async def tick(request: Request) -> Response:
    """Enter that a step is done, or not in order, with what the meter shows."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    if opened.worked is None:
        return go_to(request, f"/jobs/{opened.id}/wire")
    steps = present_steps(opened)
    number = step_number(request, steps)
    step = steps[number - 1]
    try:
        refuse_other(step.item, form)
        refuse_other_power(opened, step.power)
        found, note = _found(opened, step, form)
        entered = await entry_steps(
            desk,
            opened,
            form,
            "tick",
            item=step.item,
            found=found,
            note="; ".join(filter(None, (note, form.get("note")))),
        )
        ids = await desk.enter(opened, entered, once=form.get("once"))
    except Refused as refused:
        return await _shown(request, opened, typed=form, refusals=refused.refusals)
    following = (
        f"/wire/steps/{number + 1}"
        if found == "in order" and number < len(steps)
        else f"/wire/steps/{number}"
    )
    if found == "in order" and number == len(steps):
        following = "/wire/steps"
    return go_to(request, f"/jobs/{opened.id}{following}", said="saved", undo=ids)


def _found(opened: Opened, step: WireStep, form: Form) -> tuple[str, str]:
    """Return what is ticked and what is noted: a number decides where one is expected, unless the person says no."""
    said, questions = form.get("found"), _question(step)
    typed = str(answers(questions, form.texts).get("reads") or "")
    outcome, note = None, ""
    if typed and opened.worked is not None:
        outcome, note = metered(step, typed, opened.worked.job.facts, "reads")
    if said == "not in order":
        return said, note
    if outcome is not None:
        return FOUND_OF[outcome], note
    if step.limits is not None:
        raise Refused(
            Refusal("nothing was given", f"what the meter shows; {step.expected} is expected", "reads")
        )
    if said != "in order":
        raise Refused(Refusal("nothing was ticked", "one of the two buttons", "step"))
    return said, note


routes = [
    Route("/jobs/{job}/wire/steps", listed),
    Route("/jobs/{job}/wire/steps/{number:int}", shown),
    Route("/jobs/{job}/wire/steps/{number:int}", tick, methods=["POST"]),
]
