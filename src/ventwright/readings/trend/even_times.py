"""A column of times whose figures all stand at the same places: each date read once, the hours from their figures."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any

import numpy as np
import polars as pl
from numpy.typing import NDArray

from ventwright.readings.trend.clock import DAY
from ventwright.readings.trend.stamps import Stamp, TimeForm, read_stamp

Figures = NDArray[Any]
"""Of every place in a cell the signs of all rows."""


def even_times(column: pl.Series, parts: re.Match[str], form: TimeForm) -> pl.Series | None:
    """Return the clock of every row in seconds where all cells are as the first one; None where they are not.

    Parameters
    ----------
    column
        Times without a blank among them.
    parts
        The first cell, taken apart: two figures each but for the year.
    form
        How the file writes its times.
    """
    first = parts.string
    lengths = column.str.len_bytes()
    if not (lengths.min() == lengths.max() == len(first)) or len(parts["hour"]) != 2:
        return None
    text = str(column.str.join("").item()).encode()
    signs: Figures = np.ascontiguousarray(np.frombuffer(text, np.uint8).reshape(-1, len(first)).T)
    if not _are_alike(signs, parts):
        return None
    day = _days(signs, column, parts.start("between"), form)
    clock = _clock(signs, parts)
    return None if day is None or clock is None else pl.Series(column.name, day * DAY + clock)


def _are_alike(signs: Figures, parts: re.Match[str]) -> bool:
    """Whether every cell has figures where the first one has them before its ending, and else the same signs."""
    end = (
        parts.start("half")
        if parts["half"]
        else parts.end("second")
        if parts["second"]
        else parts.end("minute")
    )
    halves = {parts.start("half") + 1} if parts["half"] else set()
    for place, (sign, here) in enumerate(zip(parts.string, signs, strict=True)):
        if place in halves:
            good = (here == ord("A")) | (here == ord("P"))
        elif place < end and sign.isdigit():
            good = here - np.uint8(ord("0")) <= 9  # below the figures it comes round to a large number
        else:
            good = here == ord(sign)
        if not good.all():
            return False
    return True


def _number(signs: Figures, start: int, end: int) -> Figures:
    """Return the number whose figures stand at some places."""
    found = np.zeros(signs.shape[1], np.int32)
    for place in range(start, end):
        found = found * 10 + (signs[place] - np.uint8(ord("0")))
    return found


def _days(signs: Figures, column: pl.Series, end: int, form: TimeForm) -> Figures | None:
    """Return days since 1970: rows of one date mostly follow one another, so each date is read once."""
    changed = np.zeros(signs.shape[1], np.bool_)
    changed[0] = True
    for here in signs[:end]:
        changed[1:] |= here[1:] != here[:-1]
    starts = np.flatnonzero(changed)
    dates = [_day_of(cell[:end], form) for cell in column.gather(starts).to_list()]
    days = [day for day in dates if day is not None]
    if len(days) < len(dates):
        return None
    return np.repeat(np.array(days, np.int64), np.diff(starts, append=len(changed)))


@lru_cache(maxsize=8192)
def _day_of(date: str, form: TimeForm) -> int | None:
    """Return a date as days since 1970; kept, since the units of a fleet log the same days."""
    stamp = read_stamp(date, form)
    return stamp.seconds // DAY if isinstance(stamp, Stamp) else None


def _clock(signs: Figures, parts: re.Match[str]) -> Figures | None:
    """Return seconds since midnight; None where an hour is out of the ordinary."""
    hour = _number(signs, *parts.span("hour"))
    minute = _number(signs, *parts.span("minute"))
    second = _number(signs, parts.start("second") + 1, parts.end("second")) if parts["second"] else minute * 0
    if minute.max() > 59 or second.max() > 59:
        return None
    if parts["half"]:
        if hour.min() < 1 or hour.max() > 12:
            return None
        hour = hour % 12 + 12 * (signs[parts.start("half") + 1] == ord("P"))
    return None if hour.max() > 23 else hour * 3600 + minute * 60 + second
