"""Which year of weather a job is reckoned with: the file that it names; an invented job that names none has an invented one."""

from __future__ import annotations

from pathlib import Path

from ventwright.facts import Facts
from ventwright.plan import Plan
from ventwright.tables.invented_year import invented_year
from ventwright.tables.weather import WeatherYear, read_weather


def year_of_job(facts: Facts, plan: Plan, beside: Path, *, invented: bool) -> WeatherYear | None:
    """Return the year of a job; None where no weather is known of its place.

    Parameters
    ----------
    facts, plan
        Of the job.
    beside
        Folder in which its own files lie.
    invented
        Whether it is an example.

    Raises
    ------
    Refused
        The file that it names holds no year.
    """
    if facts.site.weather_file is not None:
        return read_weather(beside / facts.site.weather_file, "facts.site.weather_file")
    return invented_year(plan.basis.climate_zone) if invented else None
