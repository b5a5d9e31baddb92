"""A year of savings as a piece of work, and what is left of it for the pages: figures, sentences and drawings, to be sent on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeVar

from ventwright.errors import Refused
from ventwright.job import Worked
from ventwright.quantity import System
from ventwright.record.air_chart import FreeCooling
from ventwright.record.calendar_drawing import PHONE, draw_come_back
from ventwright.record.hours_drawing import Cell, HoursChart, cells
from ventwright.record.savings_pictures import hours_picture, savings_picture
from ventwright.record.subject import ReckonedYear
from ventwright.tables.weather import WeatherYear, read_weather
from ventwright.verdict.savings import (
    Driver,
    Flag,
    Kind,
    Savings,
    ShorterWays,
    StrategyOutcome,
    savings_in_parts,
)
from ventwright.verdict.savings.come_back import ComeBack, Return, rarest, when_to_come_back
from ventwright.verdict.savings.high_limit_choice import HighLimitChoice, choice_in_parts
from ventwright.verdict.savings.owner import OwnersPage, owners_page
from ventwright.verdict.savings.parts import Parts, within
from ventwright.verdict.savings.published import Published, published
from ventwright.verdict.savings.which_year import year_of_job
from ventwright.web.desk import Desk, Opened
from ventwright.web.work import Piece, Steps
from ventwright.words import Words

SYSTEMS: tuple[System, System] = ("us", "si")

DRAWS = 200
"""Years drawn for every range."""

OF = 100
"""Into how many parts progress is told."""

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class YearShown:
    """What is shown of a year that was reckoned, with its drawings by system of units."""

    place: str
    weather: str
    invented: bool
    open_hours: float
    currency: str
    outcomes: tuple[StrategyOutcome, ...]
    left: StrategyOutcome
    found: StrategyOutcome | None
    faults: tuple[StrategyOutcome, ...]
    """Dearest first."""
    drivers: tuple[Driver, ...]
    flags: tuple[Flag, ...]
    check: ShorterWays
    not_told: Words
    choice: HighLimitChoice
    cells: tuple[Cell, ...]
    """The open hours behind their pictures; a picture itself says which are let in."""
    bars: Mapping[System, str]
    charts: Mapping[str, Mapping[System, str]]
    """The open hours on the chart of moist air, with the region of each control that the code allows, by its name."""

    @property
    def compared(self) -> tuple[StrategyOutcome, ...]:
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


def begun(desk: Desk, opened: Opened, worked: Worked) -> Piece:
    """Begin the year of a job, once for a revision and the files beside it; every page that needs it shares it."""
    of_this_job = f"savings {opened.id} "
    key = f"{of_this_job}{opened.revision} {opened.folder}"
    return desk.work.begin(key, reckoning, worked, opened.folder, DRAWS, instead_of=of_this_job)


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
    yield 0, OF
    weather, refused = year_of(worked, folder)
    known, savings, shown = published(plan), None, None
    if weather is not None:
        yield 1, OF
        try:
            parts = savings_in_parts(job.facts, plan, job.readings, weather, draws=draws)
            savings = yield from _counted(within(parts, 0.01, 0.85))
        except Refused as failure:
            refused = failure.refusals[0].sentence
    if savings is not None:
        choice = yield from _counted(within(choice_in_parts(savings, draws=draws), 0.85, 0.98))
        shown = _shown(savings, choice)
        yield OF - 1, OF
    back = when_to_come_back(job.facts, plan, verdicts, weather)
    drawn = rarest(back)
    owner = owners_page(job.facts, plan, job.readings, verdicts, job.verdict.deficiencies, savings or known)
    return Reckoned(shown, known, back, drawn, _calendars(drawn), owner, refused)


def _counted(parts: Parts[T]) -> Steps[T]:
    """Say shares of work as a piece of work does."""
    while True:
        try:
            done = next(parts)
        except StopIteration as ended:
            result: T = ended.value
            return result
        yield int(OF * done), OF


def year_of(worked: Worked, folder: Path) -> tuple[WeatherYear | None, str]:
    """Read the year that a job names; a refused file says why."""
    try:
        return year_of_job(worked.job.facts, worked.plan, folder, invented=worked.job.invented), ""
    except Refused as refused:
        return None, refused.refusals[0].sentence


def year_in_record(reckoned: Reckoned, system: System) -> ReckonedYear:
    """Return what the record tells of a year."""
    return ReckonedYear(reckoned.owner, reckoned.year.bars[system] if reckoned.year else "")


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
        drivers=savings.drivers, flags=savings.flags, check=savings.check, not_told=savings.not_told, choice=choice, cells=tuple(cells(chart)),
        bars={system: savings_picture(savings, system) for system in SYSTEMS},
        charts={
            one.name: {system: hours_picture(savings, system, one.name) for system in SYSTEMS} for one in choice.controls
        },
    )  # fmt: skip


def _calendars(drawn: ComeBack | None) -> dict[System, str]:
    return {} if drawn is None else {system: draw_come_back(drawn, system, size=PHONE) for system in SYSTEMS}
