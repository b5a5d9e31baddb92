"""The year of hourly weather that a command works with: that of the command line, else that of the job."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ventwright.store import Kept
    from ventwright.tables.weather import WeatherYear


def year_of(kept: Kept, named: Path | None = None) -> WeatherYear | None:
    """Read the weather file of the command line, else that of the job; None where neither names one.

    Parameters
    ----------
    kept
        The job and the folder it lies in.
    named
        File named on the command line.
    """
    from ventwright.tables.weather import read_weather

    if named is not None:
        return read_weather(named)
    beside_job = kept.job.facts.site.weather_file
    return read_weather(kept.beside / beside_job, "facts.site.weather_file") if beside_job else None
