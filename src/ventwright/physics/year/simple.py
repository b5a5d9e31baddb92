"""Two shorter ways beside the hours: bins of temperature, and degree-hours on the lid of a box. They check the year."""

from __future__ import annotations

import math
from collections import defaultdict

from ventwright.physics.year.hours import SECONDS, Hours
from ventwright.physics.year.one_hour import Outdoor, free_cooling_share, on_coil
from ventwright.physics.year.year_unit import YearUnit

BIN = 5.0 / 1.8
"""Width of a bin: 5 °F, whose edges at whole multiples meet the limits that codes print. [K]"""

ZERO_FAHRENHEIT = -32.0 / 1.8
"""Where the edges are counted from. [°C]"""


def binned(hours: Hours) -> Hours:
    """Gather hours in bins of outdoor temperature, each with the mean of what it holds.

    What is lost is which humidities come with which temperatures within a bin.

    Parameters
    ----------
    hours
        Of a year [°C, kg/kg, J/kg, h].

    Returns
    -------
    Hours
        One row for each bin, which lasts as long as its hours together.

    References
    ----------
    ASHRAE Handbook - Fundamentals, chapter 19, bin method with mean coincident humidity (from memory).
    """
    bins: dict[int, list[int]] = defaultdict(list)
    for number, dry_bulb in enumerate(hours.dry_bulb):
        bins[math.ceil((dry_bulb - ZERO_FAHRENHEIT) / BIN - 1e-9)].append(number)
    rows = [rows for _, rows in sorted(bins.items())]
    lasts = [sum(hours.lasts[one] for one in row) for row in rows]

    def mean(column: tuple[float, ...]) -> tuple[float, ...]:
        return tuple(
            sum(column[one] * hours.lasts[one] for one in row) / long
            for row, long in zip(rows, lasts, strict=True)
        )

    return Hours(
        mean(hours.dry_bulb),
        mean(hours.humidity_ratio),
        mean(hours.enthalpy),
        mean(hours.dew_point),
        tuple(lasts),
    )


def degree_hours(hours: Hours, unit: YearUnit, dry_bulb_limit: float, *, capped: bool) -> float:
    """Electricity that outdoor air saves: airflow times degree-hours over the efficiency, in one line.

    Sensible heat alone, one efficiency, and no fan: a check, and an explanation.

    Parameters
    ----------
    hours
        Of a year [°C, h].
    unit
        Airflow, shares, efficiency and load [kg/s, -, W/K].
    dry_bulb_limit
        Outdoor air above which there is no free cooling. [°C]
    capped
        In no hour more than the load that the minimum position leaves; without it the figure is too high.

    Returns
    -------
    float
        [J]

    References
    ----------
    Degree-hours: ASHRAE Handbook - Fundamentals, chapter 19 (from memory); the factor is the heat capacity of the airflow.
    """
    total = 0.0
    columns = zip(hours.dry_bulb, hours.humidity_ratio, hours.enthalpy, hours.lasts, strict=True)
    for dry_bulb, water, heat, lasts in columns:
        outdoor = Outdoor(dry_bulb, water, heat)
        least = on_coil(unit, outdoor, unit.least_share, slow=False)
        if dry_bulb > dry_bulb_limit or least.sensible_load <= 0.0:
            continue
        share = free_cooling_share(unit, dry_bulb, unit.least_share)
        free = least.sensible_load - on_coil(unit, outdoor, share, slow=False).sensible_load
        total += lasts * (min(free, least.sensible_load) if capped else free)
    return SECONDS * total / unit.efficiency
