"""When the weather lets each fan speed that is not proved yet be read well."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from ventwright.evidence import Verdict
from ventwright.facts import Facts
from ventwright.plan import Plan
from ventwright.plan.provable import WHEN_IS_NOT_KNOWN, make_provable
from ventwright.tables.weather import WeatherYear
from ventwright.verdict.airflow import SpeedVerdict
from ventwright.words import Words


def best_times(
    facts: Facts, plan: Plan, speeds: Sequence[SpeedVerdict], year_read: Callable[[], WeatherYear | None]
) -> dict[str, Words]:
    """Say when to come back, for each speed that is not proved.

    Parameters
    ----------
    facts, plan, speeds
        Of the job.
    year_read
        Reads the hours of a year at the place, where they are known; called only where a speed waits.

    Returns
    -------
    dict
        By name of the speed; a speed is left out where that is not known.
    """
    waiting = [one.name for one in speeds if one.verdict is not Verdict.PASSES]
    if not waiting:
        return {}
    year = year_read()
    if year is None and facts.weather is None:
        return {}
    times = {one.id: one.best_time for one in make_provable(facts, plan, year).checks}
    found = {name: times.get(f"outdoor_air.{name}") for name in waiting}
    return {name: time for name, time in found.items() if time and time.text and time != WHEN_IS_NOT_KNOWN}
