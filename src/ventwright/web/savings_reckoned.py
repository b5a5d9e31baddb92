"""A year of savings as a piece of work, and what is left of it for the pages: figures, sentences and drawings, to be sent on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from ventwright.errors import Refused
from ventwright.job import Worked
from ventwright.quantity import System
from ventwright.record.air_chart import FreeCooling
from ventwright.record.calendar_drawing import draw_calendar
from ventwright.record.hours_drawing import Cell, HoursChart, cells
from ventwright.record.savings_pictures import hours_picture, savings_picture
from ventwright.tables.invented_year import invented_year
from ventwright.tables.weather import WeatherYear, read_weather
from ventwright.verdict.savings import Driver, Flag, Kind, Outcome, Savings, make_savings
from ventwright.verdict.savings.come_back import ComeBack, Return, when_to_come_back
from ventwright.verdict.savings.high_limit_choice import HighLimitChoice, choose_high_limit
from ventwright.verdict.savings.owner import OwnersPage, owners_page
from ventwright.verdict.savings.published import Published, published
from ventwright.web.work import Steps

SYSTEMS: tuple[System, System] = ("us", "si")

PARTS = 4
"""Into which the work is cut: between two of them it may be stopped."""


@dataclass(frozen=True, slots=True)
class YearShown:
    """What is shown of a year that was reckoned, with its drawings by system of units."""

    place: str
    weather: str
    invented: bool
    open_hours: float
    currency: str
    outcomes: tuple[Outcome, ...]
    left: Outcome
    found: Outcome | None
    faults: tuple[Outcome, ...]
    """Dearest first."""
    drivers: tuple[Driver, ...]
    flags: tuple[Flag, ...]
    choice: HighLimitChoice
    cells: tuple[Cell, ...]
    """The open hours behind their picture; the picture itself says which are let in."""
    bars: Mapping[System, str]
    chart: Mapping[System, str]

    @property
    def compared(self) -> tuple[Outcome, ...]:
        """The ways that are no fault and save something or nothing."""
        return tuple(one for one in self.outcomes if one.kind not in {Kind.FAULT, Kind.NONE})


@dataclass(frozen=True, slots=True)
class Reckoned:
    """Everything that the pages say of a year. ``year`` is None where there is no weather that can be read."""

    year: YearShown | None
    published: Published
    come_back: Return
    calendar_of: ComeBack | None
    """The check whose hours are drawn: airflow before others, then what is rarest."""
    calendar: Mapping[System, str]
    owner: OwnersPage
    refused: str = ""
    """Why the weather, or the year, could not be reckoned."""


def reckoning(worked: Worked, folder: Path, draws: int) -> Steps[Reckoned]:
    """Reckon the year of a job in parts, as a piece of work.

    Parameters
    ----------
    worked
        The job with what follows from it.
    folder
        With the job's own files, a year of weather among them.
    draws
        Years drawn for each range.
    """
    job, plan, verdicts = worked.job, worked.plan, worked.verdicts
    yield 0, PARTS
    weather, refused = year_of(worked, folder)
    known, savings, shown = published(plan), None, None
    if weather is not None:
        yield 1, PARTS
        try:
            savings = make_savings(job.facts, plan, job.readings, weather, draws=draws)
        except Refused as failure:
            refused = failure.refusals[0].sentence
    if savings is not None:
        yield 2, PARTS
        choice = choose_high_limit(savings, draws=draws)
        yield 3, PARTS
        shown = _shown(savings, choice)
    back = when_to_come_back(job.facts, plan, verdicts, weather)
    drawn = _rarest(back)
    owner = owners_page(job.facts, plan, job.readings, verdicts, job.verdict.deficiencies, savings or known)
    return Reckoned(shown, known, back, drawn, _calendars(drawn), owner, refused)


def year_of(worked: Worked, folder: Path) -> tuple[WeatherYear | None, str]:
    """Read the year that a job names; an invented job that names none has an invented one. A refused file says why."""
    named = worked.job.facts.site.weather_file
    if named is None:
        return (invented_year(worked.plan.basis.climate_zone) if worked.job.invented else None), ""
    try:
        return read_weather(folder / named, "weather file"), ""
    except Refused as refused:
        return None, refused.refusals[0].sentence


def whole_year(name: str, content: bytes) -> None:
    """Look whether a file holds a year of weather, before it is kept.

    Raises
    ------
    Refused
        It holds none.
    """
    with TemporaryDirectory(prefix="ventwright-weather-") as folder:
        path = Path(folder) / name
        path.write_bytes(content)
        read_weather(path)


def _shown(savings: Savings, choice: HighLimitChoice) -> YearShown:
    chart = HoursChart(
        savings.hours, FreeCooling("", None, None), savings.known.plan.basis.pressure, savings.place, 0.0
    )
    return YearShown(
        place=savings.place, weather=savings.weather, invented=savings.invented, open_hours=savings.open_hours,
        currency=savings.currency, outcomes=savings.outcomes, left=savings.left, found=savings.found, faults=savings.faults,
        drivers=savings.drivers, flags=savings.flags, choice=choice, cells=tuple(cells(chart)),
        bars={system: savings_picture(savings, system) for system in SYSTEMS},
        chart={system: hours_picture(savings, system) for system in SYSTEMS},
    )  # fmt: skip


def _rarest(back: Return) -> ComeBack | None:
    """Return the check whose hours are worth a picture."""
    drawn = [one for one in back.checks if one.calendar is not None]
    airflow = [one for one in drawn if one.check.startswith("outdoor_air")]
    return min(airflow or drawn, key=lambda one: one.hours_a_year, default=None)


def _calendars(drawn: ComeBack | None) -> dict[System, str]:
    if drawn is None or drawn.calendar is None:
        return {}
    calendar = drawn.calendar
    if calendar.difference_needed:  # then the drawing says by itself what the weather has to bring
        return {system: draw_calendar(calendar, system) for system in SYSTEMS}
    return {system: draw_calendar(calendar, system, drawn.needs.show(system)) for system in SYSTEMS}
