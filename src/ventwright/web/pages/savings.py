"""What it saves: the air before the money, a year as one range, what faults cost, which high limit, when to come back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.plan.provable.hours import per_cent
from ventwright.quantity import ENERGY, HUMIDITY_RATIO, TEMPERATURE, System, show
from ventwright.store.own_files import refuse_file
from ventwright.verdict.savings import Spread, StrategyOutcome
from ventwright.verdict.savings.come_back import ComeBack
from ventwright.verdict.savings.guard import leaves_warm, looks_cheap
from ventwright.verdict.savings.high_limit_choice import Control
from ventwright.web.desk import Desk, Opened, Put, local_now
from ventwright.web.form import Form
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.waiting import waiting
from ventwright.web.received import received
from ventwright.web.running_facts import energy_line, running_line
from ventwright.web.savings_reckoned import Reckoned, YearShown, begun, whole_year

WEATHER = (".epw", ".csv")
"""How the name of a year of weather ends."""

AS_CSV = {"tmy3": "csv"}
"""An ending by which TMY3 files are known too; what they hold is CSV."""

MOST_PHOTOS = 2
"""On the owner's page."""

TITLE, HIGH_LIMIT = "What it saves", "Which high limit"


async def overview(request: Request) -> Response:
    """Show the year; while it is reckoned, say how far that is."""
    found = await _reckoned(request, TITLE, "savings")
    if isinstance(found, Response):
        return found
    opened, reckoned = found
    system = opened.system
    return await page(
        request, "savings.html.j2", opened=opened, reckoned=reckoned,
        year=_year(reckoned.year, system) if reckoned.year else None, calendar=_calendar(reckoned, system),
        checks=[_check(one, system) for one in reckoned.come_back.checks], running=running_line(opened), energy=energy_line(opened),
    )  # fmt: skip


async def high_limit(request: Request) -> Response:
    """Show each control of the high limit that the code allows, and the hours of one of them on the chart of moist air."""
    found = await _reckoned(request, HIGH_LIMIT, "savings/high-limit")
    if isinstance(found, Response):
        return found
    opened, reckoned = found
    if reckoned.year is None:
        return go_to(request, f"/jobs/{opened.id}/savings")
    year, system = reckoned.year, opened.system
    asked = request.query_params.get("control", "")
    chosen = asked if asked in year.charts else next(iter(year.charts), "")
    return await page(
        request, "savings_high_limit.html.j2", opened=opened, year=_year(year, system), chosen=chosen,
        chart=year.charts[chosen][system] if chosen else "", controls=[_control(one, system) for one in year.choice.controls],
    )  # fmt: skip


async def _reckoned(request: Request, title: str, back_to: str) -> tuple[Opened, Reckoned] | Response:
    """Return a job and its year; the page that waits for facts, or says how far the year is, where there is none yet."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "record", title)
    piece = begun(desk, opened, opened.worked)
    if piece.done:
        return opened, piece.result()
    done, of = piece.progress()
    return await page(request, "savings_working.html.j2", opened=opened, done=done, of=of, back_to=back_to)


def _weather_named(opened: Opened) -> str:
    return str(opened.facts.get("site", {}).get("weather_file") or "")


def _control(one: Control, system: System) -> dict[str, str]:
    return {
        "name": one.name,
        "limit": one.limit.show(system),
        "expected": _energy(one.to_expect, system),
        "saved": _energy(one.saved, system),
        "lost": _energy(one.lost_to_errors, system) if one.lost_to_errors > 0.0 else "nothing",
        "worst": _energy(one.lost_at_worst, system),
    }


def _year(year: YearShown, system: System) -> dict[str, Any]:
    """Put the figures of a year into words of one system of units."""
    left = year.left
    return {
        "shown": year,
        "saved": _range(left.saved, system),
        "sure": left.saved.low >= 0.0,
        "money": _money(left.cost_saved, year.currency) if left.cost_saved else "",
        "kept_kg": f"{left.emissions_saved_kg.low:.0f} to {left.emissions_saved_kg.high:.0f} kg"
        if left.emissions_saved_kg
        else "",
        "hours": f"{year.open_hours:.0f}",
        "by_hours": _energy(year.check.by_hours, system),
        "by_bins": _energy(year.check.by_bins, system),
        "bars": year.bars[system],
        "bar_rows": [
            (one.name, _energy(one.saved.middle, system), _range(one.saved, system), _hours(one.year.free_cooling_h), _hours(one.year.short_of_air_h))
            for one in year.compared
        ],
        "found": _cost(year.found, year, system) if year.found else None,
        "faults": [_cost(one, year, system) for one in year.faults],
        "cheap": looks_cheap(year.faults, left),
        "warm": leaves_warm(year.faults, left),
        "cells": [
            (show(one.dry_bulb, TEMPERATURE, system), show(one.humidity_ratio, HUMIDITY_RATIO, system), _hours(one.lasts))
            for one in year.cells
        ],
        "drivers": [
            (one.words, "given" if one.given else "assumed", _energy(one.low_end, system), _energy(one.high_end, system))
            for one in year.drivers
        ],
    }  # fmt: skip


def _energy(energy: float, system: System) -> str:
    return show(energy, ENERGY, system)


def _range(spread: Spread, system: System) -> str:
    return f"{_energy(spread.low, system)} to {_energy(spread.high, system)}"


def _money(spread: Spread, currency: str) -> str:
    return f"{currency}{spread.low:,.0f} to {currency}{spread.high:,.0f}"


def _hours(hours: float) -> str:
    return f"{hours:.0f} h"


def _more(energy: float, system: System) -> str:
    """Say an energy beside that of the unit as it is left: more or less, never with a bare sign."""
    return f"{_energy(abs(energy), system)} {'less' if energy < 0.0 else 'more'}"


def _cost(one: StrategyOutcome, year: YearShown, system: System) -> dict[str, Any]:
    """Say what a fault, or the unit as it was found, takes over the unit as it is left; the air it keeps from people beside it."""
    starves = one.year.short_of_air_h > year.left.year.short_of_air_h
    return {
        "name": one.name,
        "electricity": _more(one.over.middle, system),
        "range": f"{_more(one.over.low, system)} to {_more(one.over.high, system)}",
        "heating": _more(one.heating_over.middle, system),
        "money": _money(one.cost_over, year.currency) if one.cost_over else "",
        "short": _hours(one.year.short_of_air_h),
        "starves": starves,
    }


def _check(one: ComeBack, system: System) -> dict[str, Any]:
    """Say what a check that is not proved waits for."""
    return {
        "what": one.what.show(system),
        "needs": one.needs.show(system),
        "weather": one.weather_settles,
        "when": one.best_time.show(system) if one.weather_settles else "",
        "hours": f"{one.hours_a_year:.0f}" if one.calendar is not None else "",
        "forecast": ", ".join(
            f"{each.at}, {show(each.outdoor_air, TEMPERATURE, system)}" for each in one.forecast[:3]
        ),
    }


def _calendar(reckoned: Reckoned, system: System) -> dict[str, Any] | None:
    check = reckoned.calendar_of
    if check is None or check.calendar is None:
        return None
    return {
        "drawing": reckoned.calendar[system],
        "words": f"{check.what.show(system)}: {check.calendar.place}",
        "rows": [
            (one.name, per_cent(one.working_hours), f"{one.best_hours}, {per_cent(one.best_share)}" if one.best_hours else "none")
            for one in check.calendar.months
        ],
    }  # fmt: skip


async def stop(request: Request) -> Response:
    """Stop reckoning the year."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    if opened.worked is not None:
        begun(desk, opened, opened.worked).stop()
    return go_to(request, f"/jobs/{opened.id}/record")


async def owner(request: Request) -> Response:
    """Show what the owner is told, to be read and printed."""
    found = await _reckoned(request, "For the owner", "savings/owner")
    if isinstance(found, Response):
        return found
    opened, reckoned = found
    return await page(
        request, "savings_owner.html.j2", opened=opened, owner=reckoned.owner, refused=reckoned.refused, shots=await _two_photos(desk_of(request), opened),
        invented_weather=reckoned.year is not None and reckoned.year.invented, on=local_now("").date().isoformat(),
    )  # fmt: skip


async def _two_photos(desk: Desk, opened: Opened) -> Sequence[Mapping[str, Any]]:
    """Choose the first photo as found and the last as left; where none says so, the first and the last. Only those kept here."""
    here = await desk.jobs.photos.names(opened.id)
    kept = [one for one in opened.photos if one.get("id") in here]
    before = [one for one in kept if one.get("state") == "as found"] or kept
    after = [one for one in kept if one.get("state") == "as left"] or kept
    chosen = [*before[:1], *after[-1:]]
    return chosen[:1] if len(chosen) == MOST_PHOTOS and chosen[0]["id"] == chosen[1]["id"] else chosen


async def weather(request: Request) -> Response:
    """Ask for a year of weather."""
    desk = desk_of(request)
    return await _weather_page(request, desk, await desk.open(request.path_params["job"]))


async def _weather_page(
    request: Request, desk: Desk, opened: Opened, refusals: Sequence[Refusal] = ()
) -> Response:
    names = sorted(name for name in await desk.jobs.own_files(opened.id) if name.endswith(WEATHER))
    return await page(
        request, "savings_weather.html.j2", opened=opened, status=422 if refusals else 200, names=names,
        present=_weather_named(opened), wrong=[{"name": "file", "sentence": one.sentence} for one in refusals],
    )  # fmt: skip


async def choose_weather(request: Request) -> Response:
    """Keep a year that was sent, or take one that is here, or none."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    try:
        name = await _kept(desk, opened, form)
        ids = await desk.enter(opened, [Put("facts.site.weather_file", name or None)], once=form.get("once"))
    except Refused as refused:
        return await _weather_page(request, desk, opened, refused.refusals)
    return go_to(request, f"/jobs/{opened.id}/savings", said="saved", undo=ids)


async def _kept(desk: Desk, opened: Opened, form: Form) -> str:
    """Return the name of the year that was chosen; a file that was sent is looked through before it is kept."""
    name, content = form.files.get("file", ("", b""))
    if not name:
        return await _already_here(desk, opened, form.get("name"))
    stem, dot, suffix = name.rpartition(".")
    name = f"{stem}{dot}{AS_CSV.get(suffix.lower(), suffix.lower())}"
    if not name.endswith(WEATHER):
        raise Refused(Refusal("is no year of weather", "a file whose name ends in .epw or .csv", given=name))
    refuse_file(name, content)
    await desk.work.now(whole_year, name, content)
    await desk.jobs.put_file(name, content, opened.id)
    return name


async def _already_here(desk: Desk, opened: Opened, name: str) -> str:
    files = await desk.jobs.own_files(opened.id)
    if name and name not in files:
        raise Refused(Refusal("is not kept with this job", "a file that is, or a new one", given=name))
    if name:
        await desk.work.now(whole_year, name, files[name])
    return name


routes = [
    Route("/jobs/{job}/savings", overview),
    Route("/jobs/{job}/savings/high-limit", high_limit),
    Route("/jobs/{job}/savings/stop", stop, methods=["POST"]),
    Route("/jobs/{job}/savings/owner", owner),
    Route("/jobs/{job}/savings/weather", weather),
    Route("/jobs/{job}/savings/weather", choose_weather, methods=["POST"]),
]
