"""Logs cut at a time, and joined again."""

from __future__ import annotations

from ventwright.readings.trend import Series, UnitLog


def part(log: UnitLog, start: int, end: int) -> UnitLog:
    """Return the rows of a log from one time to before another."""
    series = {}
    for name, one in log.series.items():
        rows = [row for row, time in enumerate(one.times) if start <= time < end]
        if rows:
            cut = slice(rows[0], rows[-1] + 1)
            series[name] = Series(one.point, one.times[cut], one.values[cut])
    return UnitLog(log.unit, series, log.zone)


def joined(first: UnitLog, second: UnitLog) -> UnitLog:
    """Return a log and the one that goes on after it."""
    return UnitLog(
        first.unit,
        {
            name: Series(
                one.point, one.times + second.series[name].times, one.values + second.series[name].values
            )
            for name, one in first.series.items()
        },
        first.zone,
    )
