"""Invented logs for the trend rules: a unit that does what it is told, and whatever a test changes of it."""

from __future__ import annotations

from array import array
from collections.abc import Callable, Mapping

from ventwright.readings.trend import MISSING, Series, UnitLog
from ventwright.readings.trend.frames import UnitFrame, frame_of
from ventwright.tables.point import points

START = 1_704_067_200
"""Monday, 1 January 2024, 0:00 UTC."""
DAY = 86_400
HOUR = 3_600

Value = float | Callable[[int], float | None]
"""A constant, or a value by the seconds since the start; None where nothing was logged."""

COOLING: Mapping[str, Value] = {
    "outdoor_temperature": 12.0,
    "return_temperature": 23.0,
    "mixed_temperature": 14.2,
    "supply_temperature": 15.0,
    "outdoor_damper_signal": 1.0,
    "supply_fan_status": 1.0,
    "cooling_1": 0.0,
    "heating_1": 0.0,
    "occupied": 1.0,
}
"""Free cooling, wide open, at 80 % outdoor air."""


def log(
    changes: Mapping[str, Value], hours: float = 8.0, step: int = 300, zone: str | None = "UTC"
) -> UnitLog:
    """Return a log of some hours from the start; a point changed to nothing was not logged."""
    times = range(START, START + round(hours * HOUR), step)
    series = {}
    for name, value in {**COOLING, **changes}.items():
        column = series_of(name, list(times), value)
        if len(column):
            series[name] = column
    return UnitLog("invented", series, zone)


def series_of(name: str, times: list[int], value: Value) -> Series:
    """Return one point at some times."""
    point = points()[name]
    found = [(time, value(time - START) if callable(value) else value) for time in times]
    kept = [(time, round(one / point.step)) for time, one in found if one is not None]
    return Series(point, array("q", [time for time, _ in kept]), array("q", [one for _, one in kept]))


def frame(one: UnitLog) -> UnitFrame:
    """Return the same log for Polars."""
    return UnitFrame(one.unit, frame_of(one), one.zone, one.counts)


def without(name: str) -> dict[str, Value]:
    """Leave a point out."""
    return {name: lambda _: None}


__all__ = ["COOLING", "DAY", "HOUR", "MISSING", "START", "Value", "frame", "log", "series_of", "without"]
