"""Years by the thousand: the same year as ``one_year`` with NumPy, for ranges and fleets. Nothing else here needs NumPy.

The time is saved in the order of the work, not by the arrays alone: per unit only the hours with a call for cooling
are kept, the hour at the minimum and the hour with outdoor air are worked out once, and a way to run the unit is then
a choice between two columns and a sum.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import astuple
from typing import NamedTuple

from ventwright.physics.year.hour_arrays import Array, ChoiceColumns, Columns, HourArrays
from ventwright.physics.year.hours import SECONDS, Hours
from ventwright.physics.year.way import SensorErrors, Way, YearTotals
from ventwright.physics.year.year_unit import YearUnit


def columns_of(hours: Hours) -> Columns:
    """Turn hours into arrays.

    Parameters
    ----------
    hours
        In which a unit runs [°C, kg/kg, J/kg, h].

    Returns
    -------
    Columns
        The same.

    References
    ----------
    None is needed: nothing is calculated (common practice, no published source).
    """
    import numpy as np

    return Columns(*(np.array(column) for column in astuple(hours)))


def many_years(
    columns: Columns, units: Sequence[YearUnit], ways: Sequence[Way], errors: Sequence[SensorErrors]
) -> Iterator[tuple[YearTotals, ...]]:
    """Run units, one after the other, through the same hours in several ways.

    Parameters
    ----------
    columns
        The hours as arrays.
    units
        One for each year.
    ways
        To run each of them.
    errors
        Of the sensors, for each year.

    Returns
    -------
    iterator of tuple of YearTotals
        For each unit a total for each way [J, W, h], as ``one_year`` gives it but for the last digits.

    References
    ----------
    As ``one_year``.
    """
    return (_year(columns, unit, ways, wrong) for unit, wrong in zip(units, errors, strict=True))


def _year(
    hours: Columns, unit: YearUnit, ways: Sequence[Way], errors: SensorErrors
) -> tuple[YearTotals, ...]:
    import numpy as np

    air = HourArrays(np, unit, hours).on_coil(unit.least_share_slow, slow=True)
    load, cooling = air.load, air.load > 0.0
    called = HourArrays(np, unit, hours.where(cooling))
    idle = (float(hours.lasts[~cooling].sum()), float(-np.dot(hours.lasts[~cooling], load[~cooling])))
    stage, shares = called.stage(), (unit.least_share_slow, unit.least_share)
    at_minimum = (min(unit.stages - 1, 1), unit.stages)
    least = free = called.choice(shares, at_minimum, stage, air.where(cooling))
    if any(way.switch is not None for way in ways):
        opened = called.free_share(shares[0]), called.free_share(shares[1])
        free = called.choice(opened, (0, 1), stage, called.on_coil(opened[0], slow=True))
    sums = {one: _sums(called.hours, least, free, one) for one in {way.lockout for way in ways}}
    return tuple(_total(called, sums[way.lockout], idle, way, errors, free.called) for way in ways)


class _Sums(NamedTuple):
    """Hours at the minimum and with outdoor air, ready to be added up for one lockout: power, fans, relief, short of air, of cooling."""

    least: Array
    """Sum of each row over all hours, each as long as it lasts."""
    more: Array
    """What each hour with outdoor air adds to each row, times how long it lasts."""
    least_peak: Array
    free_peak: Array
    alone: Array
    """How long each hour with outdoor air goes without a compressor. [h]"""


def _sums(hours: Columns, least: ChoiceColumns, free: ChoiceColumns, lockout: float | None) -> _Sums:
    import numpy as np

    running = None if lockout is None else hours.dry_bulb >= lockout

    def rows(one: ChoiceColumns) -> Array:
        found = np.empty((5, hours.dry_bulb.size))
        columns = (one.power, one.fans, one.relief, one.short_of_air, one.short)
        for number, column in enumerate(columns):
            found[number] = column
        if running is not None:
            found[0] *= running
            found[4] = np.where(running, found[4], one.needed)
        return found

    at_least = rows(least)
    at_free = at_least if free is least else rows(free)
    called = free.called if running is None else free.called & running
    return _Sums(
        at_least @ hours.lasts,
        np.multiply(at_free - at_least, hours.lasts),
        at_least[0] + at_least[1] + at_least[2],
        at_free[0] + at_free[1] + at_free[2],
        np.where(called, 0.0, hours.lasts),
    )


def _total(
    arrays: HourArrays, sums: _Sums, idle: tuple[float, float], way: Way, errors: SensorErrors, called: Array,
) -> YearTotals:  # fmt: skip
    """Add up the hours of one way, and those without a call for cooling, which are the same in all."""
    import numpy as np

    unit = arrays.unit
    (power, fans, relief, short_of_air, unmet), free, alone = sums.least, 0.0, 0.0
    peak = sums.least_peak
    if way.switch is not None:
        mask = arrays.fit(way.switch, errors)
        mask = mask if way.integrated else mask & ~called
        weight = mask.astype(float)
        power, fans, relief, short_of_air, unmet = sums.least + sums.more @ weight
        free, alone = float(weight @ arrays.hours.lasts), float(weight @ sums.alone)
        peak = np.where(mask, sums.free_peak, sums.least_peak)
    idle_hours, idle_heat = idle
    idle_relief = unit.relief_power if unit.least_share_slow >= unit.relief_start else 0.0
    idle_short = unit.dry_air * unit.slow * unit.least_share_slow < unit.required
    idle_peak = unit.fan_power_slow + idle_relief if idle_hours else 0.0
    return YearTotals(
        compressor_energy=SECONDS * float(power),
        fan_energy=SECONDS * (float(fans) + idle_hours * unit.fan_power_slow),
        relief_energy=SECONDS * (float(relief) + idle_hours * idle_relief),
        heating_energy=SECONDS * idle_heat / unit.heating_efficiency,
        peak_power=max(float(np.max(peak, initial=0.0)), idle_peak),
        free_hours=free,
        free_alone_hours=alone,
        short_of_air_hours=float(short_of_air) + idle_hours * idle_short,
        short_of_cooling_hours=float(unmet),
    )
