"""What is known of a year's precipitation at a place: typed by a person, or what a weather file shows of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ventwright.errors import Refusal, Refused
from ventwright.physics.climate_zone import Depth, annual
from ventwright.physics.degree_days import PRECIPITATION
from ventwright.quantity import read
from ventwright.tables.weather import WeatherYear

MONTHS = 12

EXAMPLE = 'one depth for the year, such as "510 mm" or "20.1 in", or twelve with commas, January first, the unit at the end'


@dataclass(frozen=True, slots=True)
class Precipitation:
    """A year's precipitation in all and month by month, as far as it is known, and from where. Depths in m."""

    annual: Depth
    months: tuple[Depth, ...]
    source: str


def of_year(depth: float, source: str = "depths given by hand") -> Precipitation:
    """Return what one annual depth [m] says: nothing about the months but that none has more."""
    return Precipitation(Depth(depth, depth), (Depth(0.0, depth),) * MONTHS, source)


def of_months(depths: Sequence[float], source: str = "depths given by hand") -> Precipitation:
    """Return what twelve monthly depths [m] say."""
    months = tuple(Depth(depth, depth) for depth in depths)
    return Precipitation(annual(months), months, source)


def of_file(weather: WeatherYear) -> Precipitation:
    """Return what a weather file shows: seldom every hour, so often no more than a least depth."""
    months = weather.precipitation_by_month()
    known = sum(value is not None for value in weather.precipitation) if any(weather.precipitation) else 0
    source = f"the weather file, which knows {known} of {len(weather.precipitation)} hours"
    return Precipitation(annual(months), months, source)


def typed(text: str, where: str = "") -> Precipitation:
    """Read precipitation as a person wrote it: one depth, or twelve with commas between.

    Raises
    ------
    Refused
        No depth, no unit, or a list of other than twelve.
    """
    parts = [part.strip() for part in text.split(",")]
    if len(parts) < 3:  # "1,570 mm" is one depth
        return of_year(_depth(text, where))
    if len(parts) != MONTHS:
        raise Refused(Refusal(f"has {len(parts)} depths", EXAMPLE, where, text))
    unit = parts[-1].lstrip("+-.0123456789 ")
    return of_months(
        [_depth(part if part.lstrip("+-.0123456789 ") else f"{part} {unit}", where) for part in parts]
    )


def _depth(text: str, where: str) -> float:
    try:
        return read(text, PRECIPITATION, at_most=30.0).value  # the wettest year on record had 26 m
    except Refused as refused:
        raise Refused(Refusal(refused.refusals[0].problem, EXAMPLE, where, text.strip())) from None
