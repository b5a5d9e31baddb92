"""Degree days and monthly means of outdoor air, and the dimensions they and precipitation are given in.

Two conventions are in use and give different sums: from hourly temperatures (every hour counts by itself) and from
daily means (a day whose mean lies on the base counts nothing, though half of its hours lie below). The hourly sum is
never the smaller one, so the convention is always named with the number.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from statistics import fmean

from ventwright.quantity import FOOT, Dimension, Unit

DEGREE_DAYS = Dimension(
    "degree days", "_K_day", Unit(("K·day", "K day"), 1.0), Unit(("°F·day", "F day"), 1 / 1.8), (), '"3000 K·day"',
    at_least=0.0, decimals=(0, 0),
)  # fmt: skip
PRECIPITATION = Dimension(
    "precipitation", "_m", Unit(("mm",), 1e-3), Unit(("in", "in.", "inch", "inches"), FOOT / 12),
    (Unit(("cm",), 1e-2), Unit(("m",), 1.0)), '"510 mm" or "20.1 in"', at_least=0.0, decimals=(0, 1),
)  # fmt: skip
"""Depth of water, melted where it fell as snow."""

HOURS_A_DAY = 24


def cooling_degree_days(
    temperatures: Sequence[float], base: float, readings_a_day: int = HOURS_A_DAY
) -> float:
    """Sum of what temperatures lie above a base, for each day.

    Parameters
    ----------
    temperatures
        Outdoor dry bulb, evenly spaced over the period. [°C]
    base
        Temperature from which on they count. [°C]
    readings_a_day
        24 for hourly temperatures, 1 for daily means. [-]

    Returns
    -------
    float
        Degree days above the base. [K·day]

    References
    ----------
    ASHRAE Fundamentals 2009, chapter 14 (daily means); hourly: from memory, as open tools do it.
    """
    return sum(max(value - base, 0.0) for value in temperatures) / readings_a_day


def heating_degree_days(
    temperatures: Sequence[float], base: float, readings_a_day: int = HOURS_A_DAY
) -> float:
    """Sum of what temperatures lie below a base, for each day.

    Parameters
    ----------
    temperatures
        Outdoor dry bulb, evenly spaced over the period. [°C]
    base
        Temperature below which they count. [°C]
    readings_a_day
        24 for hourly temperatures, 1 for daily means. [-]

    Returns
    -------
    float
        Degree days below the base. [K·day]

    References
    ----------
    ASHRAE Fundamentals 2009, chapter 14 (daily means); hourly: from memory, as open tools do it.
    """
    return sum(max(base - value, 0.0) for value in temperatures) / readings_a_day


def daily_means(temperatures: Sequence[float]) -> tuple[float, ...]:
    """Mean of every day of hourly temperatures.

    Parameters
    ----------
    temperatures
        Hourly, whole days from midnight on. [°C]

    Returns
    -------
    tuple
        One mean a day. [°C]

    References
    ----------
    Arithmetic mean of 24 hours, as the statistics of public weather files take it; climate services take the middle
    of the day's highest and lowest reading instead (from memory).
    """
    starts = range(0, len(temperatures), HOURS_A_DAY)
    return tuple(fmean(temperatures[start : start + HOURS_A_DAY]) for start in starts)


def monthly_means(temperatures: Sequence[float], months: Sequence[int]) -> tuple[float, ...]:
    """Mean temperature of every month of a year.

    Parameters
    ----------
    temperatures
        Hourly or daily, in order. [°C]
    months
        Month of each of them, 1 to 12.

    Returns
    -------
    tuple
        Twelve means, January first. [°C]

    References
    ----------
    Arithmetic mean of the month's hours.
    """
    by_month = groupby(zip(months, temperatures, strict=True), key=lambda pair: pair[0])
    return tuple(fmean(value for _, value in values) for _, values in by_month)
