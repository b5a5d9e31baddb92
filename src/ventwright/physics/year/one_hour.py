"""One hour of a unit: the air on its coil at a share of outdoor air, and what a compressor draws to cool it."""

from __future__ import annotations

from typing import NamedTuple

from ventwright.physics import moist_air, saturation
from ventwright.physics.moist_air import HEAT_CAPACITY_OF_DRY_AIR, HEAT_CAPACITY_OF_VAPOUR
from ventwright.physics.rooftop.coil import RATED_OUTDOOR
from ventwright.physics.year.year_unit import (
    COLDEST_CONDENSER,
    COLDEST_SURFACE,
    LEAST_DEPRESSION,
    LEAST_FACTOR,
    YearUnit,
)


class Outdoor(NamedTuple):
    """Outdoor air of an hour."""

    dry_bulb: float
    """[°C]"""
    humidity_ratio: float
    """[kg/kg]"""
    enthalpy: float
    """[J/kg]"""


class OnCoil(NamedTuple):
    """The air that comes to the coil, and how much sensible heat has to be taken from it."""

    dry_air: float
    """[kg/s]"""
    dry_bulb: float
    """[°C]"""
    humidity_ratio: float
    """[kg/kg]"""
    enthalpy: float
    """[J/kg]"""
    sensible_load: float
    """Below 0 where the air is colder than the space asks. [W]"""


class Mode(NamedTuple):
    """One fan speed with its air on the coil: what is asked of the coil there, and what a stage can do."""

    sensible_load: float
    """[W]"""
    most_sensible: float
    """Beyond which the coil's surface would have to be colder. [W]"""
    wet_factor: float
    """Heat taken from the air over the sensible part of it. [-]"""


class Drawn(NamedTuple):
    """What cooling an hour takes."""

    heat: float
    """Taken from the air, water included. [W]"""
    power: float
    """Of compressors and condenser fans. [W]"""
    full_part: float
    """Part of the hour at the fan's full speed. [-]"""
    short: bool
    """The load is more than the machine can take."""


NOTHING = Drawn(0.0, 0.0, 0.0, False)


def return_water(unit: YearUnit, humidity_ratio: float) -> float:
    """Water in the return air.

    It follows the outdoor air by what people and things give off, up to what a working coil lets stand.

    Parameters
    ----------
    unit
        With its gain of water and the most that stands [kg/kg].
    humidity_ratio
        Of the outdoor air. [kg/kg]

    Returns
    -------
    float
        Humidity ratio. [kg/kg]

    References
    ----------
    A balance of water at rest, cut at the top; our own assumption.
    """
    return min(humidity_ratio + unit.water_gain, unit.most_water)


def free_cooling_share(unit: YearUnit, outdoor: float, least: float) -> float:
    """Share of outdoor air while free cooling holds its set point.

    Parameters
    ----------
    unit
        With return air and set point [°C].
    outdoor
        Dry bulb outdoors. [°C]
    least
        Share at the minimum damper position. [-]

    Returns
    -------
    float
        Between the minimum and the damper fully open. [-]

    References
    ----------
    Balance of two streams: ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, adiabatic mixing of two moist airstreams.
    """
    if outdoor >= unit.mixed_set_point:
        return max(unit.most_share, least)
    wanted = (unit.return_air - unit.mixed_set_point) / (unit.return_air - outdoor)
    return max(least, min(unit.most_share, wanted))


def on_coil(unit: YearUnit, outdoor: Outdoor, share: float, *, slow: bool) -> OnCoil:
    """Mix outdoor and return air, and find how much sensible heat the space leaves for the coil.

    Parameters
    ----------
    unit
        With airflow, return air and load of the space [kg/s, °C, W/K].
    outdoor
        Its air.
    share
        Of outdoor air. [-]
    slow
        The fan is at its slowest speed.

    Returns
    -------
    OnCoil
        The mixture and the load.

    References
    ----------
    ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, adiabatic mixing, equation 30; the load of the space is
    straight in the outdoor temperature, as in the balance-point method of its chapter 19.
    """
    flow, fan = (unit.dry_air * unit.slow, unit.fan_power_slow) if slow else (unit.dry_air, unit.fan_power)
    returned = return_water(unit, outdoor.humidity_ratio)
    water = returned + share * (outdoor.humidity_ratio - returned)
    return_heat = moist_air.enthalpy(unit.return_air, returned)
    heat = return_heat + share * (outdoor.enthalpy - return_heat)
    dry_bulb = moist_air.dry_bulb_of_enthalpy(heat, water)
    capacity = HEAT_CAPACITY_OF_DRY_AIR + HEAT_CAPACITY_OF_VAPOUR * water
    of_space = unit.load_slope * (outdoor.dry_bulb - unit.balance_point)
    load = of_space + fan + flow * capacity * (dry_bulb - unit.return_air)
    return OnCoil(flow, dry_bulb, water, heat, load)


def by_outdoor(slope: float, outdoor: float) -> float:
    """Factor on a capacity or an efficiency that falls as it gets warmer outdoors.

    Parameters
    ----------
    slope
        Relative rise for each kelvin below the rating point. [1/K]
    outdoor
        At the condenser. [°C]

    Returns
    -------
    float
        1 at 35 °C. [-]

    References
    ----------
    A straight line through the rating point, cut where head pressure is held; our own assumption.
    """
    return max(LEAST_FACTOR, 1.0 + slope * (RATED_OUTDOOR - max(outdoor, COLDEST_CONDENSER)))


def mode_of(unit: YearUnit, air: OnCoil) -> Mode:
    """What the air on the coil lets a compressor do.

    The leaving air lies on the line from the mixture to saturated air of the coil's surface, so that a wet coil takes
    the more water the damper lets in.

    Parameters
    ----------
    unit
        With its coil.
    air
        On the coil.

    Returns
    -------
    Mode
        Loads [W] and the factor by which water adds to the heat [-].

    References
    ----------
    Apparatus dew point: ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, cooling of moist air, and the EnergyPlus
    Engineering Reference, DX coils (from memory).
    """
    surface = max(COLDEST_SURFACE, min(unit.coil_surface, air.dry_bulb - LEAST_DEPRESSION))
    above = air.dry_bulb - surface
    if above <= 0.0:
        return Mode(air.sensible_load, 0.0, 1.0)
    heat_capacity = HEAT_CAPACITY_OF_DRY_AIR + HEAT_CAPACITY_OF_VAPOUR * air.humidity_ratio
    held = moist_air.humidity_ratio(saturation.saturation_pressure(surface), unit.pressure)
    factor = 1.0
    if air.humidity_ratio > held:
        factor = (air.enthalpy - moist_air.enthalpy(surface, held)) / (heat_capacity * above)
    return Mode(air.sensible_load, air.dry_air * heat_capacity * above, factor)


def at_one_speed(unit: YearUnit, mode: Mode, outdoor: float, full_part: float) -> Drawn:
    """What compressors take from the air, and draw, at one fan speed: all stages but one run whole, the last cycles.

    Parameters
    ----------
    unit
        With its compressors.
    mode
        The load, and what the coil can do.
    outdoor
        At the condenser. [°C]
    full_part
        1 where the speed is the full one of two, else 0. [-]

    Returns
    -------
    Drawn
        Means of the hour [W].

    References
    ----------
    Cycling: a stage that runs a part of the time loses C (1 - part), AHRI 210/240 (from memory).
    """
    if mode.sensible_load <= 0.0:
        return Drawn(0.0, 0.0, full_part, False)
    stage, power = _stage(unit, outdoor)
    wanted = min(mode.sensible_load, mode.most_sensible) * mode.wet_factor / stage
    stages = min(wanted, float(unit.stages))
    short = mode.sensible_load > mode.most_sensible or wanted > unit.stages
    whole, part = divmod(stages, 1.0)
    return Drawn(stages * stage, power * (whole + cycled(unit, part)), full_part, short)


def cycled(unit: YearUnit, part: float) -> float:
    """Part of full power that a stage draws which runs a part of the time.

    Parameters
    ----------
    unit
        With its loss by cycling.
    part
        Of the time. [-]

    Returns
    -------
    float
        More than the part. [-]

    References
    ----------
    AHRI 210/240 (from memory).
    """
    return part / (1.0 - unit.cycling_loss * (1.0 - part))


def _stage(unit: YearUnit, outdoor: float) -> tuple[float, float]:
    """Capacity and power of one stage. [W]"""
    stage = unit.capacity * by_outdoor(unit.capacity_slope, outdoor) / unit.stages
    return stage, stage / (unit.efficiency * by_outdoor(unit.efficiency_slope, outdoor))


def at_two_speeds(unit: YearUnit, slow: Mode, full: Mode, outdoor: float, stages: tuple[int, int]) -> Drawn:
    """What an hour takes that is spent partly at the slow speed and partly at the full one.

    Where the slow speed leaves some of the load, the full one with more stages runs for just the part of the hour that
    makes up for it, as a thermostat with two calls does.

    Parameters
    ----------
    unit
        With its compressors.
    slow, full
        The load at either speed, and what the coil can do there.
    outdoor
        At the condenser. [°C]
    stages
        How many run at the slow speed, and how many at the full one.

    Returns
    -------
    Drawn
        Means of the hour [W].

    References
    ----------
    Balance of sensible heat over the hour; cycling as ``at_one_speed``.
    """
    if slow.sensible_load <= 0.0:
        return NOTHING
    stage, power = _stage(unit, outdoor)
    first, then = stages
    taken = min(first * stage / slow.wet_factor, slow.most_sensible)
    lacking = slow.sensible_load - taken
    if lacking <= 0.0:
        return at_one_speed(unit, slow, outdoor, 0.0)
    at_full = min(then * stage / full.wet_factor, full.most_sensible)
    spare = at_full - full.sensible_load
    if spare <= 0.0:
        return at_one_speed(unit, full, outdoor, 1.0)
    part = lacking / (lacking + spare)
    few, many = taken * slow.wet_factor / stage, at_full * full.wet_factor / stage
    stages_on = (1.0 - part) * few + part * many
    lost = max(many - few, 0.0) * (cycled(unit, part) - part)
    return Drawn(stages_on * stage, power * (stages_on + lost), part, False)
