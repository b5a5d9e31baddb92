"""Thermal zone and moisture regime from degree days, monthly means and precipitation; every limit is handed in.

Precipitation is seldom known whole, so every depth is an interval, and a test that the interval leaves open answers
None. A zone is named only where every answer that is still possible leads to the same one.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

COLD_SEASON_NORTH = (10, 11, 12, 1, 2, 3)
HIGH_SUN_NORTH = (4, 5, 6, 7, 8, 9)
"""Half-years of the northern hemisphere; in the southern one they change places."""

ROUNDING = 1e-9
"""Relative; a limit converted from a printed unit counts as the printed one."""


@dataclass(frozen=True, slots=True)
class Depth:
    """Precipitation that is known to lie between two depths; the upper one is infinite where nothing bounds it."""

    at_least: float
    at_most: float = math.inf

    def __add__(self, other: Depth) -> Depth:
        """Return the sum of two depths."""
        return Depth(self.at_least + other.at_least, self.at_most + other.at_most)


UNKNOWN = Depth(0.0)
"""Nothing is known of it."""


@dataclass(frozen=True, slots=True)
class ThermalRow:
    """One row of a table of thermal zones. A limit that is None does not count."""

    zone: str
    letters: str
    """Moisture letters the row holds for; empty where it holds for all."""
    cooling_above: float | None = None
    cooling_at_most: float | None = None
    heating_above: float | None = None
    heating_at_most: float | None = None

    def holds(self, letter: str, cooling: float, heating: float) -> bool:
        """Whether a place with these degree days [K·day] and this letter stands in the row."""
        return (not self.letters or letter in self.letters) and (
            _above(cooling, self.cooling_above)
            and not (self.cooling_at_most is not None and _above(cooling, self.cooling_at_most))
            and _above(heating, self.heating_above)
            and not (self.heating_at_most is not None and _above(heating, self.heating_at_most))
        )


def _above(value: float, limit: float | None) -> bool:
    return limit is None or value > limit * (1 + ROUNDING)


@dataclass(frozen=True, slots=True)
class MarineLimits:
    """The four marine tests: coldest month, warmest month, months warm enough, dry summer."""

    coldest_at_least: float
    coldest_at_most: float
    warmest_below: float
    warm_months: int
    warm_month_above: float
    wet_to_dry: float


@dataclass(frozen=True, slots=True)
class DryBand:
    """Dry below ``slope`` times (annual mean + ``offset``), where the high-sun half-year brings a share of the water.

    A band holds from its share on, that share counted in where ``included``, up to the next band.
    """

    share_from: float
    included: bool
    slope: float
    offset: float


@dataclass(frozen=True, slots=True)
class Marine:
    """The answers to the four marine tests; None where precipitation leaves one open."""

    coldest: bool
    warmest: bool
    warm_months: bool
    dry_summer: bool | None

    @property
    def answer(self) -> bool | None:
        """Whether all four hold."""
        if not (self.coldest and self.warmest and self.warm_months) or self.dry_summer is False:
            return False
        return self.dry_summer


def marine(
    monthly_temperatures: Sequence[float],
    monthly_precipitation: Sequence[Depth],
    limits: MarineLimits,
    *,
    southern: bool,
) -> Marine:
    """Hold a place against the marine tests.

    The ends of the range of the coldest month are counted in; the warmest month has to lie below its limit, and a
    warm month above its own.

    Parameters
    ----------
    monthly_temperatures
        Twelve monthly means. [°C]
    monthly_precipitation
        Twelve depths. [m]
    limits
        Of the edition.
    southern
        The place lies south of the equator, where April to September is the cold season.

    Returns
    -------
    Marine
        The answer to each test.

    References
    ----------
    ASHRAE 90.1-2007, Table B-4; ASHRAE 169-2013, annex A (secondary).
    """
    wettest, driest = wet_and_dry(monthly_precipitation, southern=southern)
    return Marine(
        limits.coldest_at_least <= min(monthly_temperatures) <= limits.coldest_at_most,
        max(monthly_temperatures) < limits.warmest_below,
        sum(mean > limits.warm_month_above for mean in monthly_temperatures) >= limits.warm_months,
        _at_least(wettest, limits.wet_to_dry, driest),
    )


def wet_and_dry(monthly_precipitation: Sequence[Depth], *, southern: bool) -> tuple[Depth, Depth]:
    """Wettest month of the cold season and driest month of the rest of the year, as far as they are known. [m]

    References
    ----------
    ASHRAE 90.1-2007, Table B-4: the cold season is October to March in the north (secondary).
    """
    cold = _months(COLD_SEASON_NORTH, southern=southern)
    rest = [month for month in range(1, 13) if month not in cold]
    return (
        _largest(monthly_precipitation[month - 1] for month in cold),
        _smallest(monthly_precipitation[month - 1] for month in rest),
    )


def _months(north: Sequence[int], *, southern: bool) -> tuple[int, ...]:
    return tuple((month + 5) % 12 + 1 if southern else month for month in north)


def _largest(depths: Iterable[Depth]) -> Depth:
    every = tuple(depths)
    return Depth(max(one.at_least for one in every), max(one.at_most for one in every))


def _smallest(depths: Iterable[Depth]) -> Depth:
    every = tuple(depths)
    return Depth(min(one.at_least for one in every), min(one.at_most for one in every))


def _at_least(wet: Depth, times: float, dry: Depth) -> bool | None:
    """Whether a depth is at least so many times another one."""
    if wet.at_least >= times * dry.at_most * (1 - ROUNDING):
        return True
    return False if wet.at_most < times * dry.at_least * (1 - ROUNDING) else None


def annual(monthly_precipitation: Sequence[Depth]) -> Depth:
    """Sum of the months' precipitation. [m]

    References
    ----------
    Arithmetic of intervals.
    """
    return sum(monthly_precipitation, Depth(0.0, 0.0))


def dry_limits(
    annual_mean: float, annual_precipitation: Depth, monthly_precipitation: Sequence[Depth], bands: Sequence[DryBand], *,
    southern: bool,
) -> tuple[float, ...]:  # fmt: skip
    """Depths of annual precipitation below which a place is dry: one for every band that is still possible.

    Parameters
    ----------
    annual_mean
        Mean temperature of the year. [°C]
    annual_precipitation
        Of the year. [m]
    monthly_precipitation
        Twelve depths, from which the share of the high-sun half-year follows. [m]
    bands
        Of the edition, by rising share.
    southern
        The place lies south of the equator, where the high-sun half-year is October to March.

    Returns
    -------
    tuple
        At least one limit; several where the share is not known well enough. [m]

    References
    ----------
    ASHRAE 90.1-2007, Table B-4 (one band; secondary); ASHRAE 169-2013, annex A (three bands; from memory).
    """
    sunny = _months(HIGH_SUN_NORTH, southern=southern)
    high = annual(tuple(monthly_precipitation[month - 1] for month in sunny))
    low = annual(tuple(monthly_precipitation[month - 1] for month in range(1, 13) if month not in sunny))
    whole = annual_precipitation
    least = max(_share(high.at_least, high.at_least + low.at_most), _share(high.at_least, whole.at_most))
    most = _share(high.at_most, high.at_most + low.at_least) if math.isfinite(high.at_most) else 1.0
    ends = (*bands[1:], DryBand(math.inf, True, 0.0, 0.0))
    return tuple(
        band.slope * (annual_mean + band.offset)
        for band, end in zip(bands, ends, strict=True)
        if _reaches(most, band) and not _reaches(least, end)
    )


def _share(part: float, whole: float) -> float:
    return part / whole if whole > 0.0 and math.isfinite(whole) else 0.0


def _reaches(share: float, band: DryBand) -> bool:
    """Whether a share of the high-sun half-year is that of a band or of a higher one."""
    return share >= band.share_from - ROUNDING if band.included else share > band.share_from + ROUNDING


def dry(annual_precipitation: Depth, limits: Sequence[float]) -> bool | None:
    """Whether a place is dry, whichever of the limits that are still possible holds; None where that cannot be told.

    Parameters
    ----------
    annual_precipitation
        Of the year. [m]
    limits
        From ``dry_limits``. [m]

    Returns
    -------
    bool or None
        Whether it lies below.

    References
    ----------
    ASHRAE 90.1-2007, Table B-4 (secondary).
    """
    if annual_precipitation.at_most < min(limits) * (1 - ROUNDING):
        return True
    return False if annual_precipitation.at_least >= max(limits) * (1 - ROUNDING) else None


def possible_letters(is_marine: bool | None, is_dry: bool | None) -> tuple[str, ...]:
    """Return the moisture letters that are still possible: marine goes before dry, dry before moist.

    Letters have no unit [-].

    References
    ----------
    ASHRAE 90.1-2007, Table B-4 (secondary).
    """
    if is_marine:
        return ("C",)
    by_water = ("B", "A") if is_dry is None else ("B",) if is_dry else ("A",)
    return by_water if is_marine is False else ("C", *by_water)


def thermal_zone(rows: Sequence[ThermalRow], letter: str, cooling: float, heating: float) -> str | None:
    """Thermal zone of a place: the first row that it stands in.

    Parameters
    ----------
    rows
        Of the edition, in order.
    letter
        Moisture letter, for editions whose thermal limits differ by it.
    cooling
        Cooling degree days on the base 10 °C. [K·day]
    heating
        Heating degree days on the base 18 °C. [K·day]

    Returns
    -------
    str or None
        "0" to "8"; None where the place falls between the rows.

    References
    ----------
    ASHRAE 90.1-2007, Table B-4; ASHRAE 169-2013, annex A (secondary).
    """
    return next((row.zone for row in rows if row.holds(letter, cooling, heating)), None)
