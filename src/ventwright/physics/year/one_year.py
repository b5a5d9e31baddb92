"""One year hour by hour in plain Python: the definition that the arrays have to agree with, and what a phone runs.

What does not depend on the high limit is worked out once an hour; then each way to run the unit only picks between
the hour at the minimum damper position and the hour with outdoor air.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from ventwright.physics import moist_air
from ventwright.physics.year.hours import SECONDS, Hours
from ventwright.physics.year.one_hour import (
    NOTHING,
    Drawn,
    Outdoor,
    at_one_speed,
    at_two_speeds,
    free_cooling_share,
    mode_of,
    on_coil,
    return_water,
)
from ventwright.physics.year.way import NO_ERRORS, SensorErrors, Way, YearTotals, fit
from ventwright.physics.year.year_unit import YearUnit


class HourRun(NamedTuple):
    """An hour as it may be run: what cooling takes, the shares of outdoor air, and whether a compressor is called."""

    drawn: Drawn
    slow_share: float
    """Of outdoor air, at the slow speed. [-]"""
    full_share: float
    """At the full one. [-]"""
    called: bool
    needed: bool
    """No fan speed meets the load without a compressor."""


class Hour(NamedTuple):
    """An hour at the minimum damper position and with outdoor air; without a call for cooling the two are one."""

    outdoor: Outdoor
    dew_point: float
    """[°C]"""
    lasts: float
    """[h]"""
    cooling: bool
    least: HourRun
    free: HourRun
    heat: float
    """That heating has to bring. [W]"""


def hours_of_unit(hours: Hours, unit: YearUnit) -> Iterator[Hour]:
    """Work out every hour of a unit, at the minimum damper position and with outdoor air.

    Parameters
    ----------
    hours
        Outdoor air [°C, kg/kg, J/kg].
    unit
        The unit.

    Returns
    -------
    iterator of Hour
        In order.

    References
    ----------
    See ``one_hour``.
    """
    columns = (hours.dry_bulb, hours.humidity_ratio, hours.enthalpy, hours.dew_point, hours.lasts)
    shares = (unit.least_share_slow, unit.least_share)
    at_minimum = (min(unit.stages - 1, 1), unit.stages)
    for dry_bulb, water, heat, dew_point, lasts in zip(*columns, strict=True):
        outdoor = Outdoor(dry_bulb, water, heat)
        load = on_coil(unit, outdoor, unit.least_share_slow, slow=True).sensible_load
        if load <= 0.0:
            idle = HourRun(NOTHING, *shares, called=False, needed=False)
            yield Hour(outdoor, dew_point, lasts, False, idle, idle, -load)
            continue
        free_shares = (
            free_cooling_share(unit, dry_bulb, unit.least_share_slow),
            free_cooling_share(unit, dry_bulb, unit.least_share),
        )
        least = _choice(unit, outdoor, shares, at_minimum)
        yield Hour(outdoor, dew_point, lasts, True, least, _choice(unit, outdoor, free_shares, (0, 1)), 0.0)


def _choice(
    unit: YearUnit, outdoor: Outdoor, shares: tuple[float, float], stages: tuple[int, int]
) -> HourRun:
    """Run an hour with these shares of outdoor air, slow and full, and these stages at either speed."""
    slow = mode_of(unit, on_coil(unit, outdoor, shares[0], slow=True))
    if unit.slow == 1.0:
        drawn = at_one_speed(unit, slow, outdoor.dry_bulb, 0.0)
        return HourRun(drawn, *shares, called=slow.sensible_load > 0.0, needed=slow.sensible_load > 0.0)
    full = mode_of(unit, on_coil(unit, outdoor, shares[1], slow=False))
    drawn = at_two_speeds(unit, slow, full, outdoor.dry_bulb, stages)
    called = slow.sensible_load > 0.0
    return HourRun(drawn, *shares, called=called, needed=called and full.sensible_load > 0.0)


@dataclass(slots=True)
class _Sum:
    """A year while it is added up, of hours that last. [J, W, h]"""

    compressor: float = 0.0
    fan: float = 0.0
    relief: float = 0.0
    heat: float = 0.0
    peak: float = 0.0
    free: float = 0.0
    alone: float = 0.0
    short_of_air: float = 0.0
    short_of_cooling: float = 0.0

    def add(self, unit: YearUnit, hour: Hour, chosen: HourRun, *, locked: bool) -> None:
        """Add one hour, its parts at the two speeds by how long they last."""
        lasts, full = hour.lasts, chosen.drawn.full_part
        fan = unit.fan_power_slow + full * (unit.fan_power - unit.fan_power_slow)
        relief = unit.relief_power * (
            (1.0 - full) * (chosen.slow_share >= unit.relief_start)
            + full * (chosen.full_share >= unit.relief_start)
        )
        drawn = NOTHING if locked else chosen.drawn
        self.compressor += lasts * drawn.power
        self.fan += lasts * fan
        self.relief += lasts * relief
        self.heat += lasts * hour.heat
        self.peak = max(self.peak, drawn.power + fan + relief)
        brought = (1.0 - full) * unit.slow * chosen.slow_share + full * chosen.full_share
        if unit.dry_air * brought < unit.required:
            self.short_of_air += lasts
        if drawn.short or (locked and chosen.needed):
            self.short_of_cooling += lasts


def one_year(
    hours: Hours, unit: YearUnit, ways: Sequence[Way], errors: SensorErrors = NO_ERRORS
) -> tuple[YearTotals, ...]:
    """Run a unit through a year in several ways.

    Parameters
    ----------
    hours
        In which it runs [°C, kg/kg, J/kg].
    unit
        The unit, its space and its dampers.
    ways
        To run it.
    errors
        Of the sensors that decide on free cooling [K, J/kg].

    Returns
    -------
    tuple of YearTotals
        One for each way [J, W, h].

    References
    ----------
    See ``one_hour``. Hours are independent of one another: nothing is stored in the building (our own assumption).
    """
    sums = [_Sum() for _ in ways]
    for hour in hours_of_unit(hours, unit):
        air = (hour.outdoor.dry_bulb, hour.outdoor.enthalpy, hour.dew_point)
        water = return_water(unit, hour.outdoor.humidity_ratio)
        returned = (unit.return_air, moist_air.enthalpy(unit.return_air, water))
        for way, total in zip(ways, sums, strict=True):
            free = (
                hour.cooling
                and way.switch is not None
                and (way.integrated or not hour.free.called)
                and fit(way.switch, air, returned, errors)
            )
            chosen = hour.free if free else hour.least
            locked = way.lockout is not None and hour.outdoor.dry_bulb < way.lockout
            total.add(unit, hour, chosen, locked=locked)
            if free:
                total.free += hour.lasts
                total.alone += 0.0 if chosen.called and not locked else hour.lasts
    return tuple(_total(unit, one) for one in sums)


def _total(unit: YearUnit, one: _Sum) -> YearTotals:
    return YearTotals(
        compressor_energy=SECONDS * one.compressor,
        fan_energy=SECONDS * one.fan,
        relief_energy=SECONDS * one.relief,
        heating_energy=SECONDS * one.heat / unit.heating_efficiency,
        peak_power=one.peak,
        free_hours=one.free,
        free_alone_hours=one.alone,
        short_of_air_hours=one.short_of_air,
        short_of_cooling_hours=one.short_of_cooling,
    )
