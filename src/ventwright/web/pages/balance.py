"""The balance: where every fan speed stands, and the loop of set, wait, read, see."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from urllib.parse import urlencode

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.job import Worked
from ventwright.quantity import FRACTION, TEMPERATURE_DIFFERENCE
from ventwright.readings import ChangeKind, SettingRead
from ventwright.record.curve_drawing import CurvePanel, draw_curve
from ventwright.tables.procedure import steps as test_steps
from ventwright.verdict import LineState
from ventwright.web.balance_blocks import (
    AT_THE_DAMPER,
    Block,
    Looked,
    blocks,
    first_move,
    look,
    setting_of,
    stand_typed,
)
from ventwright.web.desk import Opened, Step
from ventwright.web.entries import entry_steps
from ventwright.web.form import Question, answers, filled, mistakes, question
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.balance_entry import (
    STAGE,
    block_of,
    opened_or_waiting,
    usual_signal,
)
from ventwright.web.reading_form import damper_signal
from ventwright.web.received import received
from ventwright.words import Amount, Words, words

WAIT = "minimum_position.each_speed"
"""The step of the functional tests that reads the same things: its wait is the one here."""

SHOWN_OF_CURVE = 3
"""Every so many points of a curve are shown in the table behind it."""


async def overview(request: Request) -> Response:
    """Show where every fan speed stands, and the one thing to do next."""
    opened = await opened_or_waiting(request)
    if isinstance(opened, Response):
        return opened
    looked = await _looked(request, opened)
    found = blocks(_worked(opened), looked.times)
    return await page(
        request, "balance.html.j2", opened=opened, stage=STAGE, blocks=found, first=first_move(found),
        one_opening=[one.sentence for one in _worked(opened).plan.concerns if one.name == "kit.too_few_fan_speeds"],
        findings=_worked(opened).verdicts.balance.findings, biases=_biases(_worked(opened)),
        cautions=_cautions(_worked(opened)), left_open=len(_worked(opened).verdicts.not_closed),
        **_pictured(looked.panels, opened),
    )  # fmt: skip


def _worked(opened: Opened) -> Worked:
    assert opened.worked is not None  # noqa: S101 - another page is shown where there is no plan
    return opened.worked


async def _looked(request: Request, opened: Opened) -> Looked:
    return await desk_of(request).work.now(look, _worked(opened), opened.folder)


def _biases(worked: Worked) -> list[Words]:
    """Say what the unit's own mixed-air sensor shows against the mixed air as read."""
    return [
        words(
            "{bias} against the mixed air as read, at {speed} speed and {signal}",
            bias=Amount(one.bias, TEMPERATURE_DIFFERENCE), speed=Words(one.speed), signal=Amount(one.signal, FRACTION),
        )
        for one in worked.verdicts.balance.sensor_biases
    ]  # fmt: skip


def _pictured(panels: Sequence[CurvePanel], opened: Opened) -> dict[str, Any]:
    """Return the picture with its table: readings first, then the curve."""
    readings = [
        (
            panel.speed,
            _percent(point.signal),
            Amount(point.share, FRACTION, point.share_u).show(opened.system),
        )
        for panel in panels
        for point in panel.points
    ]
    curve = [
        (panel.speed, *(_percent(one) for one in (point.signal, point.share, point.low, point.high)))
        for panel in panels
        for point in panel.curve[::SHOWN_OF_CURVE]
    ]
    return {"svg": draw_curve(panels, opened.system), "read_points": readings, "curve_points": curve}


def _percent(share: float) -> str:
    return Amount(share, FRACTION).show("us")


def _cautions(worked: Worked) -> list[str]:
    return [one.text for one in worked.plan.cautions if one.stage in AT_THE_DAMPER]


async def result(request: Request) -> Response:
    """Show what a reading has told of its speed, and what comes next."""
    opened = await opened_or_waiting(request)
    if isinstance(opened, Response):
        return opened
    named = block_of(request, opened).name
    looked = await _looked(request, opened)
    found = blocks(_worked(opened), looked.times)
    block = next(one for one in found if one.name == named)
    panels = [one for one in looked.panels if one.speed == block.name]
    return await page(
        request, "balance_result.html.j2", opened=opened, stage=STAGE, block=block,
        first=block.next if block.next.move in {"read", "compare", "leave"} else first_move(found),
        findings=_worked(opened).verdicts.balance.findings, left_open=len(_worked(opened).verdicts.not_closed),
        **_pictured(panels, opened),
    )  # fmt: skip


def _another_signal(opened: Opened) -> Question:
    dimensions = _worked(opened).plan.kit.damper_signal.typed_in
    return Question(
        "damper", "Another signal", "damper", "quantity", dimensions=dimensions, system=opened.system
    )


def _given_signal(request: Request, opened: Opened, block: Block) -> str:
    """Return the signal of the address, number and unit together; else the usual one."""
    asked = _another_signal(opened)
    given = answers([asked], request.query_params).get("damper")
    return str(given or usual_signal(block))


async def set_signal(request: Request) -> Response:
    """Show the signal to set, in big digits, and how to hold the fan."""
    opened = await opened_or_waiting(request)
    if isinstance(opened, Response):
        return opened
    block = block_of(request, opened)
    return await _set_page(request, opened, block, _given_signal(request, opened, block))


async def _set_page(
    request: Request, opened: Opened, block: Block, damper: str, *, refusals: Sequence[Refusal] = (), status: int = 200
) -> Response:  # fmt: skip
    worked, asked = _worked(opened), _another_signal(opened)
    found, wrong = None, list(refusals)
    try:
        found = stand_typed(worked.plan, damper_signal(worked, damper)) if damper else None
    except Refused as refused:
        wrong += [one.at("damper") for one in refused.refusals]
        status = 422
    typed = {"damper": damper} if found is None and damper else None
    return await page(
        request, "balance_set.html.j2", opened=opened, stage=STAGE, status=status, block=block, damper=damper, at=found,
        asked=filled([asked], {}, typed=typed, refusals=wrong)[0], wrong=mistakes(wrong, [asked]),
        setting=setting_of(worked.plan, block.name), manual=worked.plan.kit.manual_mode,
        cautions=_cautions(worked), holds=_holds(worked), several=len(worked.plan.speeds) > 1,
    )  # fmt: skip


def _holds(worked: Worked) -> list[str]:
    """Return what is held by hand for a reading and is not yet on the list of what has to go back."""
    listed = " ".join(one.point.casefold() for one in worked.verdicts.ledger if one.state is LineState.OPEN)
    fan = ["fan"] if len(worked.plan.speeds) > 1 and "fan" not in listed else []
    return [*fan, *(["damper"] if worked.plan.kit.manual_mode and "damper" not in listed else [])]


async def is_set(request: Request) -> Response:
    """Note what is held by hand, and go on to the wait."""
    desk, form = desk_of(request), await received(request)
    opened = await opened_or_waiting(request)
    if isinstance(opened, Response):
        return opened
    block, damper = block_of(request, opened), form.get("damper")
    if form.get("clear") != "yes":
        unsafe = Refusal(
            "is not confirmed", "a tick, once everybody is clear of fan and damper", "Hands and panels"
        )
        return await _set_page(request, opened, block, damper, refusals=[unsafe], status=422)
    try:
        damper_signal(_worked(opened), damper)
    except Refused:
        return await _set_page(request, opened, block, damper)
    held = {
        "fan": ("fan speed", f"held at {block.name} speed by hand"),
        "damper": ("damper signal", f"held at {damper} by hand"),
    }
    steps: list[Step] = []
    for name in _holds(_worked(opened)):
        if form.get(f"held.{name}") == "yes":
            point, changed_to = held[name]
            more = await entry_steps(
                desk, opened, form, "temporary change", kind=ChangeKind.OVERRIDE.value, point=point, was="automatic", changed_to=changed_to
            )  # fmt: skip
            steps += more if not steps else more[-1:]  # one visit is enough
    await desk.enter(opened, steps, once=form.get("once"))
    address = urlencode({"damper": damper, "begun": form.get("once")})
    return go_to(request, f"/jobs/{opened.id}{block.address}/wait?{address}")


async def wait(request: Request) -> Response:
    """Wait until the air has mixed, by a timer that runs through a sleeping screen."""
    opened = await opened_or_waiting(request)
    if isinstance(opened, Response):
        return opened
    block = block_of(request, opened)
    damper = _given_signal(request, opened, block)
    begun = request.query_params.get("begun", "")
    return await page(
        request, "balance_wait.html.j2", opened=opened, stage=STAGE, block=block, damper=damper,
        seconds=round(test_steps()[WAIT].wait), begun=begun if begun.isalnum() else "",
    )  # fmt: skip


def _read_back(opened: Opened, block: Block) -> Question:
    setting = setting_of(_worked(opened).plan, block.name)
    if setting is None:
        raise HTTPException(404)
    place = f"readings.entries[{len(opened.entries) + 1}]"
    return question(
        SettingRead, "value", place=place, label="The controller shows", system=opened.system,
        kind="quantity", dimensions=setting.typed_in,
    )  # fmt: skip


async def leave(request: Request) -> Response:
    """Ask what the controller shows once its setting is where it stays."""
    opened = await opened_or_waiting(request)
    if isinstance(opened, Response):
        return opened
    return await _leave_page(request, opened, block_of(request, opened))


async def _leave_page(
    request: Request, opened: Opened, block: Block, *, typed: dict[str, str] | None = None,
    refusals: Sequence[Refusal] = (), status: int = 200,
) -> Response:  # fmt: skip
    asked = _read_back(opened, block)
    damper = _given_signal(request, opened, block)
    try:
        at = stand_typed(_worked(opened).plan, damper_signal(_worked(opened), damper))
    except Refused:
        at = None
    return await page(
        request, "balance_leave.html.j2", opened=opened, stage=STAGE, status=status, block=block, at=at, damper=damper,
        setting=setting_of(_worked(opened).plan, block.name), cautions=_cautions(_worked(opened)),
        asked=filled([asked], {}, typed=typed, refusals=refusals)[0], wrong=mistakes(refusals, [asked]),
    )  # fmt: skip


async def left(request: Request) -> Response:
    """Enter the setting as the controller shows it."""
    desk, form = desk_of(request), await received(request)
    opened = await opened_or_waiting(request)
    if isinstance(opened, Response):
        return opened
    block = block_of(request, opened)
    asked, setting = _read_back(opened, block), setting_of(_worked(opened).plan, block.name)
    value = answers([asked], form.texts).get(asked.place)
    try:
        steps = await entry_steps(
            desk, opened, form, "setting", label=setting.label if setting else "", value=value
        )
        ids = await desk.enter(opened, steps, once=form.get("once"))
    except Refused as refused:
        return await _leave_page(
            request, opened, block, typed=dict(form.texts), refusals=refused.refusals, status=422
        )
    return go_to(request, f"/jobs/{opened.id}{block.address}/result", said="saved", undo=ids[-1:])


routes = [
    Route("/jobs/{job}/balance", overview),
    Route("/jobs/{job}/balance/{speed}/set", set_signal),
    Route("/jobs/{job}/balance/{speed}/set", is_set, methods=["POST"]),
    Route("/jobs/{job}/balance/{speed}/wait", wait),
    Route("/jobs/{job}/balance/{speed}/leave", leave),
    Route("/jobs/{job}/balance/{speed}/leave", left, methods=["POST"]),
    Route("/jobs/{job}/balance/{speed}/result", result),
]
