"""The clock of the place over the rows of a log: its times, and the hours in which somebody is in."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

DAY = 86_400
"""[s]"""


def local_times(rows: Any, zone: str | None) -> Any:
    """Return seconds of the clock of the place, row by row; of the log's own where no other is known."""
    first, *later = _offsets(zone or rows.zone, rows)
    shift = rows.constant(first[1])
    for before, (since, offset) in zip([first, *later], later, strict=False):
        shift = shift + rows.number(rows.time >= since) * (offset - before[1])
    return rows.time + shift


def in_hours(hours: Sequence[tuple[int, int, int]], local: Any, day: Any, never: Any) -> Any:
    """Return whether each row lies in one of the hours of a week: weekday, start and end in minutes after midnight."""
    minute = (local - day * DAY) // 60
    weekday = weekday_of(day)
    found = never
    for number, start, end in hours:
        found = found | ((weekday >= number) & (weekday <= number) & (minute >= start) & (minute < end))
    return found


def weekday_of(day: Any) -> Any:
    """Return the weekday of days since 1970, 0 for Monday: 1 January 1970 was a Thursday."""
    since = day + 3
    return since - since // 7 * 7


def _offsets(zone: str | None, rows: Any) -> list[tuple[int, int]]:
    """Return since when the clock of a place is how far from UTC, over the times of a log. [s]"""
    if zone is None or not len(rows):
        return [(0, 0)]
    place = ZoneInfo(zone)

    def offset(time: int) -> int:
        found = datetime.fromtimestamp(time, UTC).astimezone(place).utcoffset()
        return 0 if found is None else round(found.total_seconds())

    first, last = rows.ends
    found = [(first, offset(first))]
    for time in range(first, last + DAY, DAY):
        if offset(time) != found[-1][1]:
            low, high = time - DAY, time
            while high - low > 1:
                middle = (low + high) // 2
                low, high = (middle, high) if offset(middle) == found[-1][1] else (low, middle)
            found.append((high, offset(high)))
    return found
