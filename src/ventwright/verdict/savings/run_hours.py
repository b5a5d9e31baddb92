"""The hours of a year of weather in which the unit runs, with what had to be done about humidities that are missing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ventwright.facts.running import Running, opening
from ventwright.physics import air
from ventwright.physics.moist_air import pressure_at_elevation
from ventwright.physics.year.hours import Hours, hours_of
from ventwright.quantity import FRACTION
from ventwright.tables import savings_prior
from ventwright.tables.weather import WeatherYear

DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")

DRY = -40.0
"""Dew point that stands for air of which nobody knows the humidity: it holds next to no water. [°C]"""

LEAST_HUMIDITY = 0.01
"""Below it a dew point is no longer written; air so dry wets no coil. [-]"""


@dataclass(frozen=True, slots=True)
class RunHours:
    """Hours in which the unit runs, the outdoor air of a hot day, and what was put in for missing humidities."""

    hours: Hours
    design_dry_bulb: float
    """[°C]"""
    humid: bool
    """Whether the file knows humidities: without them no enthalpy can be compared."""
    filled: int
    """Hours whose humidity is that of the hour before."""


def run_hours(year: WeatherYear, running: Running) -> RunHours:
    """Pick the hours in which the unit runs.

    Parameters
    ----------
    year
        The weather.
    running
        Opening times, and on which weekday the year begins.
    """
    open_hours = _open(running)
    dew_points, filled = _dew_points(year)
    standard = pressure_at_elevation(year.elevation)
    kept = [
        number
        for number, (weekday, hour) in enumerate(_weekdays(year, running.first_day))
        if hour in open_hours[weekday]
    ]
    hours = hours_of(
        [year.dry_bulb[one] for one in kept],
        [dew_points[one] for one in kept],
        [year.pressure[one] or standard for one in kept],
    )
    return RunHours(hours, design_dry_bulb(year), any(one != DRY for one in dew_points), filled)


def _open(running: Running) -> tuple[range, ...]:
    week = opening(running.weekdays)
    return (week, week, week, week, week, opening(running.saturday), opening(running.sunday))


def _weekdays(year: WeatherYear, first_day: str) -> Iterator[tuple[int, int]]:
    """Weekday, from 0 for Monday, and hour of the day from 0, of every hour."""
    first = DAYS.index(first_day)
    for number, (_, _, hour) in enumerate(year.stamps):
        yield (first + number // 24) % 7, hour - 1


def design_dry_bulb(year: WeatherYear) -> float:
    """Outdoor air that is passed in the few hottest hours of a year. [°C]"""
    share = savings_prior.assumed("design", FRACTION).value
    place = int(share * len(year.dry_bulb))
    return sorted(year.dry_bulb, reverse=True)[place]


def _dew_points(year: WeatherYear) -> tuple[list[float], int]:
    """Dew point of every hour: as written, by its relative humidity, else that of the hour before."""
    standard = pressure_at_elevation(year.elevation)
    found: list[float | None] = [
        _dew_point(dry, dew, humid, at or standard)
        for dry, dew, humid, at in zip(
            year.dry_bulb, year.dew_point, year.relative_humidity, year.pressure, strict=True
        )
    ]
    last = next((one for one in found if one is not None), DRY)
    filled, whole = 0, []
    for one in found:
        filled += one is None
        last = last if one is None else one
        whole.append(last)
    return whole, filled


def _dew_point(dry: float, dew: float | None, humid: float | None, pressure: float) -> float | None:
    if dew is not None or humid is None:
        return dew
    bounded = min(1.0, max(LEAST_HUMIDITY, humid))
    return air.state(dry, relative_humidity=bounded, pressure=pressure).dew_point
