"""Before the climb: what can be proved today, with how many readings, what would make the rest so; and what to take up."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refused
from ventwright.facts import Facts
from ventwright.plan import Plan
from ventwright.plan.provable import WHEN_IS_NOT_KNOWN, Provable, ProvableCheck, make_provable
from ventwright.plan.provable.check import CanBeSettled
from ventwright.plan.provable.hours import Calendar, per_cent
from ventwright.quantity import TEMPERATURE, TEMPERATURE_DIFFERENCE, System
from ventwright.record.calendar_drawing import PHONE, draw_calendar
from ventwright.tables.weather import read_weather
from ventwright.web.guessed import asked_at
from ventwright.web.page import desk_of, page
from ventwright.web.pages.waiting import waiting
from ventwright.words import Amount

MARK_OF = {
    CanBeSettled.TODAY: "done",
    CanBeSettled.NOT_TODAY: "open",
    CanBeSettled.NEVER: "wrong",
    CanBeSettled.NOT_KNOWN: "none",
}
IN_ORDER = (CanBeSettled.TODAY, CanBeSettled.NOT_TODAY, CanBeSettled.NOT_KNOWN, CanBeSettled.NEVER)
BEFORE_CLIMBING = "roof"
AT_HAND = {True: ("done", "at hand"), False: ("wrong", "not at hand"), None: ("none", "not said")}


def provable_of(facts: Facts, plan: Plan, folder: Path | None) -> tuple[Provable, str]:
    """Work out what can be proved, with the year of weather where the job names one; a file that is refused says why."""
    named = facts.site.weather_file
    if named is None:
        return make_provable(facts, plan), ""
    try:
        year = read_weather((folder or Path()) / named, "weather file")
    except Refused as refused:
        return make_provable(facts, plan), refused.refusals[0].sentence
    return make_provable(facts, plan, year), ""


async def provable(request: Request) -> Response:
    """Show what can be proved."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "plan", "What can be proved today")
    facts, plan, system = opened.worked.job.facts, opened.worked.plan, opened.system
    found, refused = await desk.work.now(provable_of, facts, plan, opened.folder)
    checks = sorted(found.checks, key=lambda one: IN_ORDER.index(one.can_be_settled))
    return await page(
        request, "plan_provable.html.j2", opened=opened, stage="plan",
        today=sum(one.can_be_settled is CanBeSettled.TODAY for one in checks), count=len(checks),
        checks=[_check(one, system) for one in checks], returned=Amount(found.return_air, TEMPERATURE),
        apart=None if found.difference_today is None else Amount(found.difference_today, TEMPERATURE_DIFFERENCE),
        guesses=[(one.sentence, asked_at(one)) for one in found.guesses], refused=refused,
        calendar=_calendar(found.calendar, system) if found.calendar else None,
        cautions=[one.text for one in plan.cautions if one.stage == BEFORE_CLIMBING],
    )  # fmt: skip


def _check(one: ProvableCheck, system: System) -> dict[str, Any]:
    unknown = WHEN_IS_NOT_KNOWN.show(system)
    when = one.best_time.show(system)
    chance = one.chance_of_passing if one.readings is not None else None
    return {
        "what": one.what,
        "mark": MARK_OF[one.can_be_settled],
        "words": one.can_be_settled.value,
        "by": one.shown_by.value,
        "readings": one.readings,
        "chance": None if chance is None else chance_words(chance),
        "needs": one.needs,
        "when": "" if when == unknown else when,
        "when_unknown": when == unknown,
        "ways": [
            (way.name.show(system), "yes" if way.at_hand else "no", _apart(way.difference_needed, system), "–" if way.readings is None else str(way.readings))
            for way in one.ways
        ],
    }  # fmt: skip


def chance_words(chance: float) -> str:
    """Say a chance as people say it, never as certain."""
    tenths = min(max(round(10 * chance), 0), 10)
    return {0: "less than 1 in 10", 10: "more than 9 in 10"}.get(tenths, f"{tenths} in 10")


def _apart(difference: float | None, system: System) -> str:
    return (
        "no difference would do"
        if difference is None
        else Amount(difference, TEMPERATURE_DIFFERENCE).show(system)
    )


def _calendar(calendar: Calendar, system: System) -> dict[str, Any]:
    apart = Amount(calendar.difference_needed, TEMPERATURE_DIFFERENCE).show(system)
    return {
        "drawing": draw_calendar(calendar, system, size=PHONE),
        "words": f"Hours in which outdoor and return air are {apart} apart or more: {calendar.place}.",
        "rows": [
            (month.name, per_cent(month.working_hours), f"{month.best_hours}, {per_cent(month.best_share)}" if month.best_hours else "none")
            for month in calendar.months
        ],
    }  # fmt: skip


async def take(request: Request) -> Response:
    """Show what to take up; its ticks stay on the device."""
    opened = await desk_of(request).open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "plan", "What to take up")
    plan = opened.worked.plan
    items = [(one, *AT_HAND[one.at_hand]) for one in plan.pick_list]
    cautions = [one.text for one in plan.cautions if one.stage == BEFORE_CLIMBING]
    missing = sum(one.at_hand is False for one in plan.pick_list)
    return await page(
        request,
        "plan_take.html.j2",
        opened=opened,
        stage="plan",
        items=items,
        cautions=cautions,
        missing=missing,
    )


routes = [Route("/jobs/{job}/plan/provable", provable), Route("/jobs/{job}/plan/take", take)]
