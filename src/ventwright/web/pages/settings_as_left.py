"""Settings as found and as left: one a screen, the planned value one tap, each read back from the controller."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.evidence import Verdict
from ventwright.job import Worked
from ventwright.plan import Setting
from ventwright.readings.practice import shown as practice
from ventwright.tables.kit import Term
from ventwright.verdict import Check
from ventwright.web.desk import Opened, Put, Step
from ventwright.web.entries import entry_steps
from ventwright.web.form import Form, Question, answers, filled, mistakes, parted
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.waiting import waiting
from ventwright.web.practice_shown import asked_to_read, practice_roof, with_shown
from ventwright.web.received import received
from ventwright.web.seen_item import mark_kept, refuse_other
from ventwright.web.setting_field import (
    as_kit_shows,
    both,
    kit_setting,
    range_data,
    range_words,
    setting_question,
    shown_range,
    tapped,
    typed_shown,
)

LIVE = "read with power on"
"""Stage whose caution belongs where a hand reaches the controller of a running unit."""


async def listed(request: Request) -> Response:
    """Show every setting: as found, as left, and how it stands."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "set", "Set")
    worked = opened.worked
    rows = [_row(worked, one, opened) for one in worked.plan.settings]
    open_ones = [number for number, row in enumerate(rows, start=1) if not row["left"]]
    open_ones += [number for number, row in enumerate(rows, start=1) if row["wrong"]]
    return await page(
        request, "settings_as_left.html.j2", opened=opened, stage="set", rows=rows, next=open_ones[0] if open_ones else 0,
        kit=worked.plan.kit.name,
    )  # fmt: skip


def _row(worked: Worked, one: Setting, opened: Opened) -> dict[str, Any]:
    left = worked.job.readings.settings_left().get(one.label.lower())
    check, known = _check(worked, one), kit_setting(worked.plan, one)
    return {
        "label": one.label,
        "planned": both(known, one.value, opened.system),
        "found": typed_shown(known, _found(opened, one), opened.system),
        "left": "" if left is None else typed_shown(known, str(left.value), opened.system),
        "check": check,
        "by_airflow": check is None,
        "wrong": check is not None and check.verdict is Verdict.FAILS,
        "settle": None if check is None or check.shortfall is None else check.shortfall.settle_by,
    }


def _check(worked: Worked, one: Setting) -> Check | None:
    """Return the check of a setting; None for a minimum opening, which the airflow judges."""
    return next((check for check in worked.verdicts.settings if check.id == f"setting.{one.label}"), None)


def _held_found(opened: Opened) -> dict[str, str]:
    held: dict[str, str] = (opened.facts.get("as_found") or {}).get("settings") or {}
    return held


def _found(opened: Opened, one: Setting) -> str:
    """Return a setting as it was met, as typed."""
    return next(
        (str(value) for label, value in _held_found(opened).items() if label.lower() == one.label.lower()), ""
    )


async def shown(request: Request) -> Response:
    """Show one setting."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "set", "Set")
    return await _shown(request, opened, opened.worked)


def _planned(request: Request, worked: Worked) -> Setting:
    number = request.path_params["number"]
    if not 1 <= number <= len(worked.plan.settings):
        raise HTTPException(404)
    setting: Setting = worked.plan.settings[number - 1]
    return setting


def _questions(opened: Opened, worked: Worked, one: Setting) -> list[Question]:
    """Ask how the setting is left, and how it was found."""
    known = kit_setting(worked.plan, one)
    left = f"readings.entries[{len(opened.entries) + 1}].value"
    return [
        setting_question(known, "value", "As left: read back from the controller", left, opened.system),
        setting_question(known, "found", "As found", f"facts.as_found.settings.{one.label}", opened.system),
    ]


async def _shown(
    request: Request,
    opened: Opened,
    worked: Worked,
    *,
    typed: Form | None = None,
    refusals: Sequence[Refusal] = (),
) -> Response:
    one = _planned(request, worked)
    known, questions = kit_setting(worked.plan, one), _questions(opened, worked, one)
    left = worked.job.readings.settings_left().get(one.label.lower())
    texts = typed.texts if typed else _as_they_stand(opened, one, questions)
    asked = filled(questions, opened.document, typed=texts, refusals=refusals)
    row = _row(worked, one, opened)
    return await page(
        request, "setting_as_left.html.j2", opened=opened, stage="set", status=422 if refusals else 200, setting=one, row=row,
        number=request.path_params["number"], count=len(worked.plan.settings), asked=asked, wrong=mistakes(refusals, questions),
        range=shown_range(known, opened.system), ranges=range_data(known), as_planned=as_kit_shows(known, one.value.value),
        left=left, caution=[each.text for each in worked.plan.cautions if each.stage == LIVE],
        mark=mark_kept(typed, one.label), opening=one.means in {Term.MINIMUM_DAMPER_SIGNAL, Term.LOW_OCCUPANCY_DAMPER_SIGNAL},
    )  # fmt: skip


def _as_they_stand(opened: Opened, one: Setting, questions: Sequence[Question]) -> dict[str, str]:
    """Put the value as found into its field; what was left is shown, and typed anew when it is read back again."""
    number, unit = parted(_found(opened, one), questions[1])
    return {"found": number, "found.unit": unit}


async def keep(request: Request) -> Response:
    """Enter how a setting is left, and how it was found; then the next one comes."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    worked = opened.worked
    if worked is None:
        return go_to(request, f"/jobs/{opened.id}/set")
    one = _planned(request, worked)
    questions = _questions(opened, worked, one)
    roof = practice_roof(opened)
    if roof is not None and asked_to_read(form):
        name = "value" if _found(opened, one) else "found"
        read = with_shown(form, questions, {name: practice.setting(roof, one.label)})
        return await _shown(request, opened, worked, typed=read)
    try:
        refuse_other(one.label, form)
        value, found = _read(form, questions, one, worked)
        steps: list[Step] = _found_steps(opened, one, found)
        if value:
            steps += await entry_steps(desk, opened, form, "setting", label=one.label, value=value)
        ids = await desk.enter(opened, steps, once=form.get("once"))
    except Refused as refused:
        return await _shown(
            request, opened, worked, typed=form, refusals=_placed(refused.refusals, questions)
        )
    number = request.path_params["number"]
    following = (
        f"/{number + 1}" if value and number < len(worked.plan.settings) else "" if value else f"/{number}"
    )
    return go_to(request, f"/jobs/{opened.id}/set{following}", said="saved" if ids else "nothing", undo=ids)


def _read(form: Form, questions: Sequence[Question], one: Setting, worked: Worked) -> tuple[str, str]:
    """Return the values as typed, held against the kit's range; one of the two is needed."""
    known, given = kit_setting(worked.plan, one), answers(questions, form.texts)
    value, found = (str(given.get(question.place) or "") for question in questions)
    if form.get("do") == "as planned":
        value = tapped(as_kit_shows(known, one.value.value), value, questions[0].place)
    if not value and not found:
        raise Refused(
            Refusal(
                "nothing was given", f"what the controller shows, {range_words(known)}", questions[0].place
            )
        )
    mistakes_found: list[Refusal] = []
    for text, question in ((value, questions[0]), (found, questions[1])):
        try:
            if text:
                known.read(text)
        except Refused as refused:
            mistakes_found += [each.at(question.place) for each in refused.refusals]
    if mistakes_found:
        raise Refused(*mistakes_found)
    return value, found


def _placed(refusals: Sequence[Refusal], questions: Sequence[Question]) -> list[Refusal]:
    """Put what was refused of the new entry beside its field, wherever the list of entries has meanwhile grown to."""
    return [
        each.at(questions[0].place)
        if each.where.startswith("readings.entries") and each.where.endswith(".value")
        else each
        for each in refusals
    ]


def _found_steps(opened: Opened, one: Setting, found: str) -> list[Step]:
    """Enter a setting as found, where it differs; a label that no place can be named after takes the list whole."""
    if not found or found == _found(opened, one):
        return []
    held = _held_found(opened)
    label = next((known for known in held if known.lower() == one.label.lower()), one.label)
    if set(".[]") & set(label):
        return [Put("facts.as_found.settings", {**held, label: found})]
    return [Put(f"facts.as_found.settings.{label}", found)]


routes = [
    Route("/jobs/{job}/set", listed),
    Route("/jobs/{job}/set/{number:int}", shown),
    Route("/jobs/{job}/set/{number:int}", keep, methods=["POST"]),
]
