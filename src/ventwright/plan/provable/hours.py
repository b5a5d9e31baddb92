"""When in the year and the day the weather brings what a check needs: a map of months and hours, and its table."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ventwright.quantity import TEMPERATURE, TEMPERATURE_DIFFERENCE
from ventwright.tables.weather import WeatherYear
from ventwright.words import Words, measured

MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip

WORKING = range(7, 18)
"""Hours that are marked in map and table: from 7 to 18 h, when somebody is on the roof (our own assumption)."""

MOSTLY = 0.5
"""Share of the hours from which on a month is named as one to come back in (our own choice). [-]"""

NEARLY = 0.05
"""By how much less of the days an hour may have than the best one beside it, and be counted with it (our own choice). [-]"""

Day = Sequence[float]
"""For each hour of the day, the share of a month's days on which the weather does."""


@dataclass(frozen=True, slots=True)
class Month:
    """One month: on what share of its days each hour brings what is needed."""

    name: str
    hours: tuple[float, ...]
    """Share of the days, from the hour that begins at midnight. [-]"""
    all_hours: float
    """Share of all hours of the month. [-]"""
    working_hours: float
    """Share of the hours from 7 to 18 h. [-]"""
    best_hours: str
    best_share: float
    """Share of the days at the best of all hours. [-]"""
    best_working_hours: str
    best_working_share: float
    """Share of the days at the best hour from 7 to 18 h. [-]"""


@dataclass(frozen=True, slots=True)
class Calendar:
    """When in a year outdoor and return air are far enough apart, in local standard time."""

    place: str
    checks: tuple[str, ...]
    """Ids of the checks that this difference settles."""
    difference_needed: float = measured(TEMPERATURE_DIFFERENCE)
    return_air: float = measured(TEMPERATURE)
    months: tuple[Month, ...] = ()


def per_cent(share: float) -> str:
    """Return a share as whole per cent."""
    return f"{100.0 * share:.0f} %"


def months_of(weather: WeatherYear, does: Callable[[float], bool]) -> tuple[Month, ...]:
    """Count in a year of weather when the outdoor temperature does what is asked.

    Parameters
    ----------
    weather
        The year.
    does
        Whether an outdoor temperature is such as is needed. [°C]
    """
    there: Counter[tuple[int, int]] = Counter()
    days: Counter[tuple[int, int]] = Counter()
    for (month, _, hour), dry_bulb in zip(weather.stamps, weather.dry_bulb, strict=True):
        days[month, hour] += 1
        there[month, hour] += does(dry_bulb)
    return tuple(
        _month(name, tuple(there[number, hour] / days[number, hour] for hour in range(1, 25)))
        for number, name in enumerate(MONTHS, start=1)
    )


def _month(name: str, hours: tuple[float, ...]) -> Month:
    working = [hours[hour] for hour in WORKING]
    best, best_working = _best(hours, range(24)), _best(hours, WORKING)
    return Month(
        name=name,
        hours=hours,
        all_hours=sum(hours) / len(hours),
        working_hours=sum(working) / len(working),
        best_hours=best,
        best_share=max(hours),
        best_working_hours=best_working,
        best_working_share=max(working),
    )


def _best(hours: Day, among: range) -> str:
    """Return the best hour with those beside it that are nearly as good, such as "04 to 08 h"; nothing where there is none."""
    best = max(among, key=lambda hour: hours[hour])
    if hours[best] == 0.0:
        return ""
    good = [hour for hour in among if hours[hour] >= hours[best] - NEARLY]
    if len(good) == len(among):
        return f"{among.start:02d} to {among.stop:02d} h"
    turn = 24 if len(among) == 24 else 48  # a night goes on beyond midnight, a working day does not
    first = last = best
    while (first - 1) % turn in good:
        first = (first - 1) % turn
    while (last + 1) % turn in good:
        last = (last + 1) % turn
    return f"{first:02d} to {last + 1:02d} h"


def best_time(months: Sequence[Month]) -> Words:
    """Say when in the year to come: the months in which most working hours do, and the surest hours of all."""
    surest = max(months, key=lambda month: (month.best_working_share, month.working_hours))
    if not any(month.best_share for month in months):
        return Words("at no hour of the year")
    if surest.best_working_share == 0.0:
        surest = max(months, key=lambda month: (month.best_share, month.all_hours))
        return Words(
            f"only out of working hours: {surest.name}, {surest.best_hours}, {per_cent(surest.best_share)} of its days"
        )
    at_best = f"{surest.name}, {surest.best_working_hours}, {per_cent(surest.best_working_share)} of its days"
    often = [number for number, month in enumerate(months) if month.working_hours >= MOSTLY]
    if not often:
        return Words(f"in no month most of the time; at its best in {at_best}")
    if len(often) == len(months):
        return Words("most working hours of every month")
    return Words(f"most working hours of {_spoken(often)}; surest in {at_best}")


def _spoken(numbers: Sequence[int]) -> str:
    """Say months as runs, December and January joined: "November to March and July"."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    if len(runs) > 1 and runs[0][0] == 0 and runs[-1][-1] == len(MONTHS) - 1:
        runs[0] = runs.pop() + runs[0]
    said = [MONTHS[run[0]] if len(run) == 1 else f"{MONTHS[run[0]]} to {MONTHS[run[-1]]}" for run in runs]
    return " and ".join(said)
