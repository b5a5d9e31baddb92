"""What only a person can say of logs: which point a column is, in which unit, whose clock, which unit is this one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any
from zoneinfo import available_timezones

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.entry import validated
from ventwright.errors import Refusal, Refused
from ventwright.readings.trend import NOT_USED, Column, PointMap, Understood, written_map
from ventwright.readings.trend.measures import measures_of
from ventwright.tables.point import points
from ventwright.web.desk import Desk, Opened
from ventwright.web.form import Form
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.trends import ask_for_logs, handed_in, look_and_begin, understood_of, unit_said
from ventwright.web.received import received
from ventwright.web.trend_shown import MAP, unit_of

ZONES = (
    "America/New_York", "America/Chicago", "America/Denver", "America/Phoenix", "America/Los_Angeles", "America/Anchorage", "Pacific/Honolulu",
    "Etc/GMT+5", "Etc/GMT+6", "Etc/GMT+7", "Etc/GMT+8",
)  # fmt: skip
"""Offered as one types; any other name of the time-zone data base is taken too."""


@dataclass(frozen=True, slots=True)
class AskedColumn:
    """One heading with what is offered for it. ``number`` names its fields."""

    number: int
    heading: str
    point: str
    measured_in: str
    points: tuple[tuple[str, str], ...]
    measures: tuple[str, ...]
    question: str
    """What is not clear; nothing where it is."""


async def columns(request: Request) -> Response:
    """Ask what is not clear; everything else may be looked over."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    if not handed_in(request).paths(opened.id):
        return go_to(request, f"/jobs/{opened.id}/trends/choose")
    try:
        understood = await understood_of(request, desk, opened)
    except Refused as refused:
        return await ask_for_logs(request, opened, refused.refusals)
    return await _columns_page(request, desk, opened, understood)


async def _columns_page(
    request: Request,
    desk: Desk,
    opened: Opened,
    understood: Understood,
    form: Form | None = None,
    refusals: Sequence[Refusal] = (),
) -> Response:
    asked = [_typed(one, form) for one in _asked(understood)]
    typed = {} if form is None else form.texts
    unit = await desk.jobs.setting(unit_said(opened.id)) or ""
    return await page(
        request, "trends_columns.html.j2", opened=opened, status=422 if refusals else 200,
        unclear=[one for one in asked if one.question], clear=[one for one in asked if not one.question],
        asks_dates=_asks(understood, "two figures"), asks_year=_asks(understood, "no year"),
        zone=typed.get("zone", understood.zone or ""), dates=typed.get("dates", understood.dates or ""), year=typed.get("year", understood.year or ""),
        zones=ZONES if available_timezones() else (), units=understood.units if len(understood.units) > 1 else (),
        unit=typed.get("unit") or unit_of(understood, opened.tag, unit),
        wrong=[{"name": _field(one), "sentence": one.sentence} for one in refusals],
    )  # fmt: skip


def _asks(understood: Understood, kind: str) -> bool:
    """Whether a file has times of a kind that a person may have to say more of."""
    return any(file.layout.form.kind == kind for file in understood.files)


def _field(refusal: Refusal) -> str:
    return refusal.where if refusal.where in {"zone", "dates", "year"} else ""


def _by_heading(understood: Understood) -> dict[str, Column]:
    """Return the columns by heading, the first file's first: a map names a heading once for all files."""
    found: dict[str, Column] = {}
    for file in understood.files:
        for column in file.columns:
            found.setdefault(column.heading, column)
    return found


def _asked(understood: Understood) -> Iterator[AskedColumn]:
    questions = {one.given: one.problem for one in understood.questions}
    for number, (heading, column) in enumerate(_by_heading(understood).items()):
        likely = [column.point, column.guess.point, *(name for name, _ in column.guess.others)]
        names = dict.fromkeys([*(one for one in likely if one != NOT_USED), *points()])
        of = points().get(column.point)
        yield AskedColumn(
            number=number,
            heading=heading,
            point=column.point,
            measured_in=column.measure.name if column.measure else "",
            points=((NOT_USED, NOT_USED), *((one, points()[one].name) for one in names)),
            measures=tuple(measures_of(of.kind.name)) if of else (),
            question=questions.get(heading, ""),
        )


def _typed(one: AskedColumn, form: Form | None) -> AskedColumn:
    """Put what was typed in place of what stands there."""
    if form is None:
        return one
    return replace(
        one,
        point=form.get(f"point.{one.number}", one.point),
        measured_in=form.get(f"measured.{one.number}", one.measured_in),
    )


async def answer(request: Request) -> Response:
    """Keep what a person said, and go on; what is still not clear is asked again."""
    form = await received(request)
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    if not handed_in(request).paths(opened.id):
        return go_to(request, f"/jobs/{opened.id}/trends/choose")
    understood = await understood_of(request, desk, opened)
    try:
        said = _map(form, understood)
    except Refused as refused:
        return await _columns_page(request, desk, opened, understood, form, refused.refusals)
    await desk.jobs.put_file(MAP, written_map(said).encode(), opened.id)
    if form.get("unit") in understood.units:
        await desk.jobs.set_setting(unit_said(opened.id), form.get("unit"))
    return await look_and_begin(request, desk, await desk.open(opened.id))


def _map(form: Form, understood: Understood) -> PointMap:
    """Return the point map that the answers make.

    Raises
    ------
    Refused
        An answer is none.
    """
    told: list[dict[str, Any]] = []
    for one in _asked(understood):
        name = form.get(f"point.{one.number}", one.point)
        measure = form.get(f"measured.{one.number}", one.measured_in)
        entry = {"heading": one.heading, "point": name}
        if name in points() and measure in measures_of(points()[name].kind.name):
            entry["measured_in"] = measure
        told.append(entry)
    year = form.get("year")
    rest = {
        "zone": form.get("zone"),
        "dates": form.get("dates"),
        "year": int(year) if year.isdigit() else year,
    }
    return validated(PointMap, {"columns": told, **{key: value for key, value in rest.items() if value}})


routes = [
    Route("/jobs/{job}/trends/columns", columns),
    Route("/jobs/{job}/trends/columns", answer, methods=["POST"]),
]
