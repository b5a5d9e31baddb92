"""A year later, a number a screen: how it was left, what it shows today, and the entry that comes of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from itertools import pairwise
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.job import Worked
from ventwright.readings.entries import SensorCheck
from ventwright.readings.practice import shown as practice
from ventwright.readings.practice.as_it_stands import INPUTS
from ventwright.readings.practice.streams import at_damper
from ventwright.tables.kit import KitSetting
from ventwright.web.balance_blocks import AT_THE_DAMPER
from ventwright.web.desk import Add, Desk, Opened, Step, new_id
from ventwright.web.entries import entry_steps, visit_for
from ventwright.web.form import Form, Question, answers, filled, mistakes, question
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.recheck import TITLE, TITLES, query_of, speed_of
from ventwright.web.pages.settings_as_left import LIVE
from ventwright.web.pages.waiting import waiting
from ventwright.web.practice_shown import asked_to_read, practice_roof, with_shown
from ventwright.web.reading_form import ReadingForm
from ventwright.web.reading_kinds import KINDS
from ventwright.web.received import received
from ventwright.web.setting_field import (
    as_kit_shows,
    range_data,
    range_words,
    setting_question,
    shown_range,
    tapped,
)
from ventwright.web.year_later import (
    NUMBERS,
    PURPOSE,
    YearLater,
    last_check,
    limit_setting,
    number_of,
    signal_setting,
    under_way,
    year_later,
)
from ventwright.words import Amount

LEADS = {
    "signal": "With the damper at its minimum: what the controller shows, or a meter.",
    "high-limit": "What ends free cooling, as the controller shows it.",
    "sensor": "The outdoor one first. Hold the probe beside it, out of the sun, and wait until both stand still.",
    "air": "With the damper at its minimum and the coil off. Mixed air at eight points: one reads only its own lane.",
}


@dataclass(frozen=True, slots=True)
class Asked:
    """One screen: its number, its questions, and the setting or the readings form they are of."""

    number: str
    questions: Sequence[Question]
    setting: KitSetting | None = None
    form: ReadingForm | None = None


async def ask(request: Request) -> Response:
    """Ask for one number."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "", TITLE)
    return await _ask(request, opened, opened.worked)


async def _ask(
    request: Request, opened: Opened, worked: Worked, *, typed: Form | None = None, refusals: Sequence[Refusal] = ()
) -> Response:  # fmt: skip
    found, speed = await _found(request, opened, worked), speed_of(request, worked)
    asked = _asked(request, opened, worked, found, typed, refusals)
    texts = typed.texts if typed else None
    usual = {"sensor": _first_sensor(worked, found)} if asked.number == "sensor" else {}
    shown = (
        asked.form.asked() if asked.form else filled(asked.questions, usual, typed=texts, refusals=refusals)
    )
    return await page(
        request, "recheck_read.html.j2", opened=opened, status=422 if refusals else 200, number=asked.number, place=NUMBERS.index(asked.number) + 1, count=len(NUMBERS),
        title=TITLES[asked.number], lead=LEADS[asked.number], asked=shown, form=asked.form, setting=asked.setting, left=dict(found.left).get(asked.number), speed=speed if len(worked.plan.speeds) > 1 else "",
        range=shown_range(asked.setting, opened.system) if asked.setting else "", ranges=range_data(asked.setting) if asked.setting else "",
        instruments=[one for one in opened.facts.get("instruments") or [] if one.get("kind") == "temperature"] if asked.number == "sensor" else [],
        wrong=mistakes(refusals, asked.questions), caution=_cautions(worked, asked.number), as_left=_as_left(asked.setting, found, asked.number),
        query=query_of(worked, speed), damper=found.damper, skip=_after(asked.number),
    )  # fmt: skip


async def _found(request: Request, opened: Opened, worked: Worked) -> YearLater:
    """Return how the check stands; as a new one begins it where the last is over."""
    last = last_check(worked.job.readings)
    going = last if under_way(last, datetime.now(UTC)) else None
    speed = speed_of(request, worked)
    found: YearLater = await desk_of(request).work.now(year_later, worked, opened.folder, speed, going)
    return found


def _cautions(worked: Worked, number: str) -> list[str]:
    """Return the cautions of where a hand goes for a number."""
    stages = (LIVE,) if number in {"signal", "high-limit"} else AT_THE_DAMPER
    return [one.text for one in worked.plan.cautions if one.stage in stages]


def _after(number: str) -> str:
    """Return the number after one; nothing after the last."""
    return dict(pairwise(NUMBERS)).get(number, "")


def _first_sensor(worked: Worked, found: YearLater) -> str:
    """Return the sensor to hold the probe beside next: the outdoor one, then those not read today."""
    read = {one.id.rpartition(".")[2].replace("_", " ") for one in found.checks if number_of(one) == "sensor"}
    return next((one.at for one in worked.plan.kit.sensors if one.at not in read and one.at in INPUTS), "")


def _asked(
    request: Request, opened: Opened, worked: Worked, found: YearLater, typed: Form | None, refusals: Sequence[Refusal] = ()
) -> Asked:  # fmt: skip
    """Return what a screen asks."""
    number, speed = request.path_params["number"], speed_of(request, worked)
    place = f"readings.entries[{len(opened.entries) + 1}]"
    if number == "air":
        form = _air_form(opened, worked, found, typed, speed)
        form = replace(form, refusals=refusals)
        return Asked(number, [*form.questions, *form.instrument_questions], form=form)
    if number == "sensor":
        labels = (
            ("sensor", "Which sensor"),
            ("shown", "The controller shows"),
            ("probe", "The probe beside it shows"),
        )
        asked = [
            question(SensorCheck, name, place="", label=label, system=opened.system) for name, label in labels
        ]
        return Asked(number, asked)
    if number not in NUMBERS:
        raise HTTPException(404)
    setting = signal_setting(worked, speed) if number == "signal" else limit_setting(worked)
    if setting is None:
        return Asked(number, ())
    return Asked(
        number, [setting_question(setting, "value", setting.label, f"{place}.value", opened.system)], setting
    )


def _air_form(
    opened: Opened, worked: Worked, found: YearLater, typed: Form | None, speed: str
) -> ReadingForm:
    damper = found.damper or (typed.get("damper_signal") if typed else "")
    fields = ("outdoor_air", "return_air", "mixed_air")
    return ReadingForm(
        opened, worked, KINDS["mixed-air"], speed, damper, typed=typed.texts if typed else None,
        fields=fields if found.damper else ("damper_signal", *fields),
    )  # fmt: skip


async def keep(request: Request) -> Response:
    """Enter one number; then the next that was not read comes."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    worked = opened.worked
    if worked is None:
        return go_to(request, f"/jobs/{opened.id}/recheck")
    found = await _found(request, opened, worked)
    asked = _asked(request, opened, worked, found, form)
    if practice_roof(opened) is not None and asked_to_read(form):
        return await _ask(request, opened, worked, typed=_practised(opened, asked, form))
    try:
        ids = await desk.enter(
            opened, await _steps(desk, opened, worked, asked, found, form), once=form.get("once")
        )
    except Refused as refused:
        at_fields = [_placed(one, asked.questions) for one in refused.refusals]
        return await _ask(request, opened, worked, typed=form, refusals=at_fields)
    speed = speed_of(request, worked)
    return go_to(request, f"/jobs/{opened.id}/recheck{query_of(worked, speed)}", said="saved", undo=ids)


def _placed(refusal: Refusal, questions: Sequence[Question]) -> Refusal:
    """Place a refusal of the entry at the question that it is about, or at none."""
    field = refusal.where.rpartition(".")[2].partition("[")[0]
    asked = next((one.place for one in questions if one.place.rpartition(".")[2] == field), "")
    return refusal.at(asked)


def _practised(opened: Opened, asked: Asked, form: Form) -> Form:
    """Return a form with what the practice unit shows in its fields."""
    roof = practice_roof(opened)
    assert roof is not None  # noqa: S101 - only asked of a practice job
    if asked.form is not None:
        signal = 0.0 if asked.form.at is None else asked.form.at.percent.value
        return with_shown(form, asked.questions, at_damper(roof, "mixed-air", asked.form.speed, signal))
    if asked.setting is not None:
        return with_shown(form, asked.questions, {"value": practice.setting(roof, asked.setting.label)})
    named = form.get("sensor")
    return with_shown(
        form, asked.questions, practice.sensor(roof, named, form.get("instrument")) if named in INPUTS else {}
    )


async def _steps(
    desk: Desk, opened: Opened, worked: Worked, asked: Asked, found: YearLater, form: Form
) -> list[Step]:
    """Return the steps that enter one number on the visit of the check, which the first one opens.

    Raises
    ------
    Refused
        Nothing was given, or it is none of this kit's.
    """
    given = {
        place.rpartition(".")[2]: value
        for place, value in answers(asked.questions, form.texts).items()
        if value not in (None, "")
    }
    if asked.form is not None:
        what, fields = "mixed air", asked.form.entry()
    elif asked.number == "sensor":
        what, fields = "sensor check", {**given, "instrument": form.get("instrument")}
    elif asked.setting is not None:
        what, fields = (
            "setting",
            {"label": asked.setting.label, "value": _shows(asked.setting, given, found, asked.number, form)},
        )
    else:
        raise HTTPException(404)
    going = last_check(worked.job.readings)
    steps = await entry_steps(desk, opened, form, what, **fields)
    entry = steps[-1]
    assert isinstance(entry, Add)  # noqa: S101 - the entry comes last
    if going is not None and under_way(going, datetime.now(UTC)):
        return [Add(entry.place, {**entry.value, "visit": going.id})]
    visit = await visit_for(desk, opened, str(entry.value["at"]), PURPOSE)
    return [
        Add("readings.visits", visit),
        Add(entry.place, {**entry.value, "visit": visit["id"], "id": new_id()[:8]}),
    ]


def _shows(setting: KitSetting, given: Mapping[str, Any], found: YearLater, number: str, form: Form) -> str:
    """Return what the controller shows of a setting, typed or tapped.

    Raises
    ------
    Refused
        Nothing was given, or something else was typed than tapped.
    """
    typed = str(given.get("value", ""))
    as_left = _as_left(setting, found, number)
    if form.get("do") == "as left" and as_left:
        return tapped(as_left, typed, "value")
    if not typed:
        raise Refused(
            Refusal("nothing was given", f"what the controller shows, {range_words(setting)}", "value")
        )
    return typed


def _as_left(setting: KitSetting | None, found: YearLater, number: str) -> str:
    """Return how a setting was left, as the controller shows it; nothing where that is not known."""
    left = dict(found.left).get(number)
    amounts = [one for one in left.amounts.values() if isinstance(one, Amount)] if left else []
    return as_kit_shows(setting, amounts[0].value) if setting is not None and amounts else ""


routes = [
    Route("/jobs/{job}/recheck/{number}", ask),
    Route("/jobs/{job}/recheck/{number}", keep, methods=["POST"]),
]
