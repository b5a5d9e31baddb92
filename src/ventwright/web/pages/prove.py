"""The functional tests: where they stand, one step a screen, what is changed for it, and what was seen."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.evidence import Verdict
from ventwright.plan.functional_tests import PlannedStep
from ventwright.readings.practice.at_step import at_step
from ventwright.tables.procedure import ANSWERED_IN
from ventwright.verdict import LineState
from ventwright.verdict.prove import Proof, ProvedStep
from ventwright.web.change_for_test import change_questions, change_written, needs_change
from ventwright.web.desk import Desk, Opened
from ventwright.web.entries import entry_steps
from ventwright.web.entry_form import placed
from ventwright.web.form import Form, Option, Question, answers, filled, mistakes
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.waiting import waiting
from ventwright.web.practice_shown import asked_to_read, practice_roof, with_shown
from ventwright.web.received import received

SEEN = (
    Option("yes", "Yes, as expected"),
    Option("no", "No"),
    Option("not fitted", "Not fitted here"),
    Option("not looked at", "Not looked at"),
)

BEFORE_DISCONNECT = {
    "off": "Disconnect off, locked and tagged; proved dead with a tester that was tried on a live source before and after.",
    "on": "Disconnect on: nobody has a hand in the unit, tools and sleeves are clear of belt and blades.",
}
BEFORE_FAN = {
    "on": "The fan runs: panels of the fan section are shut.",
    "off": "The fan stands still, and nothing can start it.",
}
"""What has to be so before a step, where power or fan were otherwise at the one before."""

JUDGED_AT = {
    "outdoor_air": ("balance", "Read the outdoor air"),
    "sensors": ("prove/sensors", "Check the sensors side by side"),
    "settings": ("set", "Read the settings back"),
    "nothing_left": ("restore", "See what is not put back"),
}
"""Where a step is judged that is a check of its own."""


async def overview(request: Request) -> Response:
    """Show how the tests stand and what comes next."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    proof = await desk.proof(opened)
    if proof is None:
        return await waiting(request, opened, "prove", "Prove")
    tests = [
        (title, list(steps)) for title, steps in groupby(_by_test(proof), key=lambda one: one.planned.test)
    ]
    counts = {outcome.value: proof.counted(outcome) for outcome in Verdict}
    return await page(
        request, "prove.html.j2", opened=opened, stage="prove", tests=tests, following=proof.next_steps[:1], left=len(proof.next_steps),
        later=proof.later, counts=counts, retests=[again for one in proof.steps for again in one.retest], guesses=proof.guesses,
        total=len(proof.steps),
    )  # fmt: skip


def _by_test(proof: Proof) -> list[ProvedStep]:
    """Return the steps with those of one test together, tests in the order of their first step."""
    order = list(dict.fromkeys(one.planned.test for one in proof.steps))
    return sorted(proof.steps, key=lambda one: order.index(one.planned.test))


async def step(request: Request) -> Response:
    """Show one step; before a change of power or fan, ask first whether it is made."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    proof = await desk.proof(opened)
    if proof is None:
        return await waiting(request, opened, "prove", "Prove")
    one = _named(proof, request.path_params["step"])
    states = _changed_state(proof, one)
    if states and "ready" not in request.query_params and not one.entered:
        return await page(
            request, "prove_ready.html.j2", opened=opened, stage="prove", one=one, states=states
        )
    return await _step_page(request, opened, proof, one)


def _named(proof: Proof, id_: str) -> ProvedStep:
    found = next((one for one in proof.steps if one.planned.id == id_), None)
    if found is None:
        raise HTTPException(404)
    return found


def _changed_state(proof: Proof, one: ProvedStep) -> list[str]:
    """Say what of power and fan is otherwise than at the step before; at the first one everything is."""
    number = proof.steps.index(one)
    before = proof.steps[number - 1].planned.step if number else None
    step, said = one.planned.step, list[str]()
    if before is None or before.disconnect != step.disconnect:
        said.append(BEFORE_DISCONNECT["off" if step.disconnect == "off" else "on"])
    if step.fan != "any" and (before is None or before.fan not in {step.fan, "any"}):
        said.append(BEFORE_FAN["on" if step.fan == "on" else "off"])
    return said


def _questions(one: ProvedStep, opened: Opened) -> list[Question]:
    """Ask for what answers a step: a number, or yes and no."""
    planned = one.planned
    dimensions = ANSWERED_IN[planned.step.answer]
    if planned.step.answer == "damper signal" and opened.worked:
        dimensions = opened.worked.plan.kit.damper_signal.typed_in
    if planned.step.answer == "check":
        return []
    if not dimensions:
        options = SEEN if planned.step.may_be_missing else tuple(o for o in SEEN if o.value != "not fitted")
        return [Question("seen", "Was it so?", "seen", "choice", options=options, required=True)]
    read = Question(
        "read_value",
        f"What the {planned.step.answer} was",
        "read_value",
        "quantity",
        dimensions=dimensions,
        system=opened.system,
        required=True,
    )
    speeds = opened.worked.plan.speeds if opened.worked and planned.step.named == "minimum" else ()
    if len(speeds) < 2:
        return [read]
    names = tuple(Option(one.name, one.name) for one in speeds)
    return [read, Question("speed", "At which fan speed", "speed", "choice", options=names)]


def _instruments(opened: Opened, planned: PlannedStep) -> list[dict[str, Any]]:
    kinds = {
        "mixed air": "temperature",
        "supply air": "temperature",
        "pressure": "pressure",
        "resistance": "electrical",
    }
    wanted = kinds.get(planned.step.answer)
    along = opened.facts.get("instruments") or []
    return [one for one in along if wanted and one.get("kind") == wanted]


async def _step_page(
    request: Request,
    opened: Opened,
    proof: Proof,
    one: ProvedStep,
    *,
    typed: Form | None = None,
    refusals: Sequence[Refusal] = (),
    eye: Sequence[str] = (),
    status: int = 200,
) -> Response:
    questions = _questions(one, opened)
    asked = filled(questions, {}, typed=typed.texts if typed else None, refusals=refusals)
    change = change_questions(one.planned, opened)
    standing = (
        [line for line in opened.worked.verdicts.ledger if line.state is LineState.OPEN]
        if opened.worked
        else []
    )
    number = proof.steps.index(one)
    following = [other for other in proof.next_steps if other is not one][:1]
    return await page(
        request, "prove_step.html.j2", opened=opened, stage="prove", status=status, one=one, planned=one.planned, asked=asked,
        wrong=mistakes(refusals, [*questions, *change]), change=filled(change, {}, typed=typed.texts if typed else change_written(one.planned, opened), refusals=refusals),
        standing=standing, instruments=_instruments(opened, one.planned), number=number + 1, total=len(proof.steps), following=following,
        elsewhere=JUDGED_AT.get(one.planned.step.check or "") if one.planned.step.answer == "check" else None,
        typed=typed or Form({}), eye=eye,
    )  # fmt: skip


async def keep(request: Request) -> Response:
    """Enter what was seen at a step, or what was changed for it."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    proof = await desk.proof(opened)
    if proof is None:
        return await waiting(request, opened, "prove", "Prove")
    one = _named(proof, request.path_params["step"])
    roof = practice_roof(opened)
    if roof is not None and asked_to_read(form):
        shown = at_step(roof, one.planned.step, opened.system)
        value = {} if shown.read is None else {"read_value": shown.read}
        read = with_shown(form, _questions(one, opened), value)
        return await _step_page(request, opened, proof, one, typed=read, eye=shown.eye)
    try:
        ids = await _entered(desk, opened, one, form)
    except Refused as refused:
        known = [*_questions(one, opened), *change_questions(one.planned, opened)]
        at_fields = [placed(refusal, known) for refusal in refused.refusals]
        return await _step_page(request, opened, proof, one, typed=form, refusals=at_fields, status=422)
    return go_to(request, f"/jobs/{opened.id}/prove/{one.planned.id}?ready=1", said="saved", undo=ids)


async def _entered(desk: Desk, opened: Opened, one: ProvedStep, form: Form) -> list[str]:
    """Enter what a form says, and return the ids of the changes."""
    if form.get("do") == "change":
        written = answers(change_questions(one.planned, opened), form.texts)
        steps = await entry_steps(desk, opened, form, "temporary change", **written)
        return await desk.enter(opened, steps, once=form.get("once"))
    given = answers(_questions(one, opened), form.texts)
    if form.get("seen") == "not looked at":
        given = {"seen": "not looked at"}
    simulated = one.planned.simulated is not None and one.planned.step.simulation == "proves logic"
    under = (
        [line.id for line in opened.worked.verdicts.ledger if line.state is LineState.OPEN]
        if opened.worked
        else []
    )
    steps = await entry_steps(
        desk, opened, form, "test step", step=one.planned.id, **given, simulated=simulated or None,
        changes=under if needs_change(one.planned) else None, instrument=form.get("instrument"), note=form.get("note"),
    )  # fmt: skip
    return await desk.enter(opened, steps, once=form.get("once"))


routes = [
    Route("/jobs/{job}/prove", overview),
    Route("/jobs/{job}/prove/{step}", step),
    Route("/jobs/{job}/prove/{step}", keep, methods=["POST"]),
]
