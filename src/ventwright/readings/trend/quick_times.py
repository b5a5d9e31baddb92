"""A column of times read at once, where all of them are in one form; row by row only where clocks change on a day."""

from __future__ import annotations

import re
from typing import Final
from zoneinfo import ZoneInfo

import polars as pl

from ventwright.readings.trend.clock import DAY, offset_of_day, to_utc
from ventwright.readings.trend.even_times import even_times
from ventwright.readings.trend.stamps import DAY_FIRST, YEARS, Stamp, TimeForm, read_stamp

TIME: Final = "time"
"""Name of the column of times in a frame."""

MOST_DAYS: Final = 10_000
"""Days from the first to the last of a piece up to which each is looked up: more are due to a date that is wrong."""

_PARTS: Final = re.compile(
    r"(?P<one>\d{1,4})(?P<sign>[-/.])(?P<two>\d{1,2})(?P=sign)(?P<three>\d{2,4})(?P<between>T| )(?P<hour>\d{1,2}):(?P<minute>\d{2})(?P<second>:\d{2})?(?P<half> [AP]M)?(?P<ending>Z|[+-]\d{2}:?\d{2})?"
)


def wall_of(column: pl.Series, form: TimeForm) -> tuple[pl.Series, int | None] | None:
    """Return the clock of every row in seconds, and its offset where the cells name one; None where they differ in form."""
    first = (column[0] or "").strip()
    parts = _PARTS.fullmatch(first)
    stamp = read_stamp(first, form)
    if parts is None or not isinstance(stamp, Stamp) or form.kind not in {"two figures", "year first"}:
        return None
    if column.null_count():
        return None
    even = even_times(column, parts, form)
    if even is not None:
        return even.alias(TIME), stamp.offset
    ending = parts["ending"] or ""
    cells = column.str.strip_chars()
    if not cells.str.contains(_pattern(parts)).all():
        return None
    bare = cells.str.strip_suffix(ending) if ending else cells
    moments = bare.str.to_datetime(_format(parts, form.order), strict=False, time_unit="ms")
    if moments.null_count() or not are_possible(moments):
        return None
    return moments.dt.epoch("s").alias(TIME), stamp.offset


def are_possible(moments: pl.Series) -> bool:
    """Whether something may have been logged in the year of every moment."""
    return bool(moments.dt.year().is_between(YEARS[0], YEARS[-1]).all())


def utc_of(wall: pl.Series, offset: int | None, zone: ZoneInfo | None) -> pl.Series | None:
    """Return UTC; None where a day is among them on which the clocks change."""
    if offset is not None:
        return wall - offset
    if zone is None:
        return wall
    offsets = _offsets(wall, zone)
    return None if offsets.null_count() else (wall - offsets).alias(TIME)


def utc_over_changes(
    wall: pl.Series, zone: ZoneInfo, before: int | None, *, falling: bool
) -> pl.Series | None:
    """Return UTC, with the rows of days on which the clocks change read one by one; None where the clock skips an hour of them.

    Parameters
    ----------
    wall
        The clock of every row in seconds.
    zone
        Whose clock.
    before
        UTC of the row before: it tells which of the two hours is meant when the clock shows one twice.
    falling
        Whether the newest row comes first.
    """
    offsets = _offsets(wall, zone)
    utc = (wall - offsets).to_list()
    for row in offsets.is_null().arg_true().to_list():
        utc[row] = to_utc(wall[row], zone, utc[row - 1] if row else before, falling=falling)
        if utc[row] is None:
            return None
    return pl.Series(TIME, utc, dtype=pl.Int64)


def _offsets(wall: pl.Series, zone: ZoneInfo) -> pl.Series:
    """Return how far the clock of every row is ahead of UTC; nothing on days on which it changes."""
    clock = wall.to_numpy()
    first, last = int(clock.min()) // DAY, int(clock.max()) // DAY
    if last - first > MOST_DAYS:
        days = wall // DAY
        different = {day: offset_of_day(day, zone) for day in days.unique().to_list()}
        return days.replace_strict(different, return_dtype=pl.Int64)
    by_day = [offset_of_day(day, zone) for day in range(first, last + 1)]
    if len(set(by_day)) == 1:
        return pl.repeat(by_day[0], len(wall), dtype=pl.Int64, eager=True)
    return pl.Series(by_day, dtype=pl.Int64).gather(pl.Series(clock // DAY - first))


def _pattern(parts: re.Match[str]) -> str:
    """Return what every cell has to look like: as the first, with one or two figures where they vary."""
    sign, year_first = re.escape(parts["sign"]), len(parts["one"]) == 4
    day = r"\d{4}" if year_first else r"\d{1,2}"
    year = r"\d{1,2}" if year_first else rf"\d{{{len(parts['three'])}}}"
    second = r":\d{2}" if parts["second"] else ""
    half = " [AP]M" if parts["half"] else ""
    ending = re.escape(parts["ending"] or "")
    return rf"^{day}{sign}\d{{1,2}}{sign}{year}{parts['between']}\d{{1,2}}:\d{{2}}{second}{half}{ending}$"


def _format(parts: re.Match[str], order: str) -> str:
    sign = parts["sign"]
    if len(parts["one"]) == 4:
        day = f"%Y{sign}%m{sign}%d"
    else:
        year = "%Y" if len(parts["three"]) == 4 else "%y"
        day = f"%d{sign}%m{sign}{year}" if order == DAY_FIRST else f"%m{sign}%d{sign}{year}"
    hour = "%I" if parts["half"] else "%H"
    second = ":%S" if parts["second"] else ""
    half = " %p" if parts["half"] else ""
    return f"{day}{parts['between']}{hour}:%M{second}{half}"
