"""Settings to enter, in the kit's own words; and a value chosen otherwise than the plan's, with its reason."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.plan import Plan, Setting, Weight
from ventwright.web.desk import Add, Opened, Put, Step
from ventwright.web.form import Form, Question, answers, filled, mistakes
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.waiting import waiting
from ventwright.web.received import received
from ventwright.web.seen_item import mark_kept, refuse_other
from ventwright.web.setting_field import both, kit_setting, range_data, setting_question, shown_range


async def listed(request: Request) -> Response:
    """Show every setting with the value to enter."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "plan", "Settings to enter")
    plan = opened.worked.plan
    rows = [_row(plan, one, opened) for one in plan.settings]
    conflicts = [one.sentence for one in plan.concerns if one.weight is Weight.CONFLICT]
    return await page(
        request,
        "plan_settings.html.j2",
        opened=opened,
        stage="plan",
        rows=rows,
        conflicts=conflicts,
        kit=plan.kit.name,
    )


def _row(plan: Plan, one: Setting, opened: Opened) -> dict[str, Any]:
    known = kit_setting(plan, one)
    return {
        "setting": one,
        "value": both(known, one.value, opened.system),
        "range": shown_range(known, opened.system),
        "means": one.means.value + (f", {one.fan} fan" if one.fan else ""),
    }


async def one(request: Request) -> Response:
    """Ask for a value other than the plan's."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "plan", "Choose otherwise")
    return await _one_page(request, opened, _chosen(request, opened))


def _chosen(request: Request, opened: Opened) -> Setting:
    number = request.path_params["number"]
    planned: Sequence[Setting] = opened.worked.plan.settings if opened.worked else ()
    if not 1 <= number <= len(planned):
        raise HTTPException(404)
    setting: Setting = planned[number - 1]
    return setting


def _place(opened: Opened, setting: Setting) -> tuple[str, bool]:
    """Return where the choice for a setting stands or will stand, and whether it is there."""
    held = (opened.document.get("plan") or {}).get("choices") or []
    for number, choice in enumerate(held, start=1):
        if str(choice.get("label", "")).strip().lower() == setting.label.lower():
            return f"plan.choices[{number}]", True
    return f"plan.choices[{len(held) + 1}]", False


def _questions(opened: Opened, setting: Setting) -> list[Question]:
    place, plan = _place(opened, setting)[0], opened.worked.plan if opened.worked else None
    if plan is None:
        return []
    value = setting_question(kit_setting(plan, setting), "value", "Value", f"{place}.value", opened.system)
    reason = Question(
        "reason",
        "Why",
        f"{place}.reason",
        "long",
        required=True,
        help="Stands in the record beside the value.",
    )
    return [value, reason]


async def _one_page(
    request: Request,
    opened: Opened,
    setting: Setting,
    *,
    typed: Form | None = None,
    refusals: Sequence[Refusal] = (),
) -> Response:
    plan = opened.worked.plan if opened.worked else None
    if plan is None:
        raise HTTPException(404)
    questions, known = _questions(opened, setting), kit_setting(plan, setting)
    asked = filled(questions, opened.document, typed=typed.texts if typed else None, refusals=refusals)
    return await page(
        request, "plan_setting.html.j2", opened=opened, stage="plan", status=422 if refusals else 200, setting=setting,
        number=request.path_params["number"], asked=asked, wrong=mistakes(refusals, questions), range=shown_range(known, opened.system),
        ranges=range_data(known), planned=both(known, setting.value, opened.system), there=_place(opened, setting)[1], mark=mark_kept(typed, setting.label),
    )  # fmt: skip


async def choose(request: Request) -> Response:
    """Enter a choice, change it, or go back to the plan's value."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    setting = _chosen(request, opened)
    place, there = _place(opened, setting)
    given = {
        where.rpartition(".")[2]: value
        for where, value in answers(_questions(opened, setting), form.texts).items()
    }
    steps: list[Step] = []
    if form.get("do") == "as planned":
        steps = [Put(place, None)] if there else []
    elif there:
        steps = [Put(f"{place}.{name}", value or "") for name, value in given.items()]
    else:
        steps = [
            Add(
                "plan.choices",
                {"label": setting.label, **{name: value or "" for name, value in given.items()}},
            )
        ]
    try:
        refuse_other(setting.label, form)
        ids = await desk.enter(opened, steps, once=form.get("once"))
    except Refused as refused:
        return await _one_page(request, opened, setting, typed=form, refusals=refused.refusals)
    return go_to(request, f"/jobs/{opened.id}/plan/settings", said="saved" if ids else "nothing", undo=ids)


routes = [
    Route("/jobs/{job}/plan/settings", listed),
    Route("/jobs/{job}/plan/settings/{number:int}", one),
    Route("/jobs/{job}/plan/settings/{number:int}", choose, methods=["POST"]),
]
