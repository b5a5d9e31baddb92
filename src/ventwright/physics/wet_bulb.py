"""The thermodynamic wet bulb: the temperature at which water that evaporates into air just saturates it.

Near 0 °C the wick may carry liquid water or ice, and some air has a wet bulb for both, up to 1 K apart: the
*two-film band*. Here the liquid film counts wherever it has a root at or above 0 °C, and else the ice film.

With h = 1.006 t + W (2501 + 1.86 t) multiplied out, the handbook's equations 33 and 35 say that air of enthalpy
h and humidity ratio W has the wet bulb y (kJ, °C; Ws(y) is the humidity ratio of air saturated at y):

    liquid film    (2501 - 2.326 y) Ws(y) + 1.006 y + 4.186 y W = h
    ice film       (2830 - 0.24 y) Ws(y) + 1.006 y + 2.1 y W = h + 329 W

The dry bulb is gone from them, so a polynomial in the right-hand side and the pressure starts the search within
0.3 K, and one Halley step ends it. As in ``saturation``, the formulas serve numbers and arrays alike.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from ventwright.physics import moist_air
from ventwright.physics.saturation import (
    ZERO_CELSIUS,
    Function,
    Number,
    ln_pressure_over_ice,
    ln_pressure_over_liquid,
    saturation_pressure,
    slope_over_ice,
    slope_over_liquid,
)


class Film(NamedTuple):
    """What distinguishes one film of water from the other."""

    latent_heat: float  # J/kg, from the film to vapour at 0 °C
    latent_heat_slope: float  # J/(kg K), how it falls with temperature
    heat_capacity: float  # J/(kg K), of the film
    start: tuple[float, float, float, float, float, float, float]


# ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equations 33 and 35. The starts are fitted over dry bulbs of
# -40..60 °C, 0..100 % and 50..110 kPa by benchmarks/fit_wet_bulb_start.py: 0.22 K off at worst, 2e-5 K after the step.
LIQUID = Film(
    2.501e6, 2326.0, 4186.0, (-6.982372, 128.0921, -106.2422, 73.69103, 10.15159, 60.19576, -27.55615)
)
ICE = Film(2.830e6, 240.0, 2100.0, (-6.793585, 113.2792, -61.70771, -176.5197, 9.231107, 55.2848, 80.7959))
BEND = 0.007
"""-d(slope)/dT / slope of ln p [1/K]: near enough everywhere for the last term of a Halley step."""
HEAT_OF_FUSION = ICE.latent_heat - LIQUID.latent_heat


def over_liquid(
    enthalpy: Number, humidity_ratio: Number, pressure: Number, log: Function[Number], exp: Function[Number]
) -> Number:
    """Wet bulb [°C] of a wick wet with liquid water, from an enthalpy [J/kg], a humidity ratio and a pressure [Pa]."""
    y = start(LIQUID, enthalpy, pressure)
    kelvin = y + ZERO_CELSIUS
    saturation = exp(ln_pressure_over_liquid(kelvin, log))
    slope = slope_over_liquid(kelvin)
    return _step(LIQUID, y, enthalpy, humidity_ratio, pressure, saturation, slope)


def over_ice(
    enthalpy: Number, humidity_ratio: Number, pressure: Number, log: Function[Number], exp: Function[Number]
) -> Number:
    """Wet bulb [°C] of a wick covered with ice, from an enthalpy [J/kg], a humidity ratio and a pressure [Pa]."""
    heat = enthalpy + HEAT_OF_FUSION * humidity_ratio
    y = start(ICE, heat, pressure)
    kelvin = y + ZERO_CELSIUS
    saturation = exp(ln_pressure_over_ice(kelvin, log))
    slope = slope_over_ice(kelvin)
    return _step(ICE, y, heat, humidity_ratio, pressure, saturation, slope)


def start(film: Film, heat: Number, pressure: Number) -> Number:
    """Where the search for a wet bulb starts [°C]; ``heat`` is the right-hand side of the film's equation."""
    k0, k1, k2, k3, k4, k5, k6 = film.start
    u = heat / (heat + 180e3)  # these bend like logarithms of heat and pressure, and cost less
    v = (pressure - 90e3) / (pressure + 90e3)
    return k0 + u * (k1 + u * (k2 + u * k3)) + v * (k4 + u * (k5 + u * k6))


def _step(
    film: Film,
    y: Number,
    heat: Number,
    humidity_ratio: Number,
    pressure: Number,
    saturation: Number,
    slope: Number,
) -> Number:
    """Take one Halley step from y; ``saturation`` is the saturation pressure there, ``slope`` that of its logarithm."""
    latent_heat_at_0, latent_heat_slope, heat_capacity, _ = film
    crowding = pressure / (pressure - saturation)
    saturated = moist_air.MOLAR_MASS_RATIO * (crowding - 1.0)
    saturated_1 = saturated * slope * crowding  # first and second derivative by y
    saturated_2 = saturated_1 * (slope * (2.0 * crowding - 1.0) - BEND)
    latent_heat = latent_heat_at_0 - latent_heat_slope * y
    sensible = moist_air.HEAT_CAPACITY_OF_DRY_AIR + heat_capacity * humidity_ratio
    f = latent_heat * saturated + sensible * y - heat
    f_1 = latent_heat * saturated_1 - latent_heat_slope * saturated + sensible
    f_2 = latent_heat * saturated_2 - 2.0 * latent_heat_slope * saturated_1
    newton = f / f_1
    return y - newton / (1.0 - 0.5 * newton * f_2 / f_1)


_SATURATION_AT_0 = math.exp(ln_pressure_over_liquid(ZERO_CELSIUS, math.log))
_FACTOR_AT_0 = LIQUID.latent_heat * moist_air.MOLAR_MASS_RATIO * _SATURATION_AT_0


def least_enthalpy_over_liquid(pressure: Number) -> Number:
    """Enthalpy [J/kg] from which a liquid film has a wet bulb at or above 0 °C: that of air saturated at 0 °C."""
    return _FACTOR_AT_0 / (pressure - _SATURATION_AT_0)


def wet_bulb(enthalpy: float, humidity_ratio: float, pressure: float) -> float:
    """Thermodynamic wet bulb of air, by its enthalpy and humidity ratio: the film that the module names.

    Holds for dry bulbs of -40 to 60 °C and 50 to 110 kPa, which it does not check (``air.state`` does). Air that
    holds more water than saturated air can is fog: its wet bulb is the temperature at which the fog settles.

    Parameters
    ----------
    enthalpy
        Datum 0 °C. [J/kg dry air]
    humidity_ratio
        [kg/kg dry air]
    pressure
        [Pa]

    Returns
    -------
    float
        The root of the film's equation, to 2e-5 K. [°C]

    References
    ----------
    ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equations 33 and 35, solved for the wet bulb.
    """
    if enthalpy >= least_enthalpy_over_liquid(pressure):
        return over_liquid(enthalpy, humidity_ratio, pressure, math.log, math.exp)
    return over_ice(enthalpy, humidity_ratio, pressure, math.log, math.exp)


def humidity_ratio_over_liquid(
    wet_bulb: Number, dry_bulb: Number, pressure: Number, log: Function[Number], exp: Function[Number]
) -> Number:
    """Humidity ratio [kg/kg dry air] of air that shows this wet bulb [°C] on a wick wet with liquid water."""
    saturation = exp(ln_pressure_over_liquid(wet_bulb + ZERO_CELSIUS, log))
    return _humidity_ratio(LIQUID, wet_bulb, dry_bulb, moist_air.humidity_ratio(saturation, pressure))


def humidity_ratio_over_ice(
    wet_bulb: Number, dry_bulb: Number, pressure: Number, log: Function[Number], exp: Function[Number]
) -> Number:
    """Humidity ratio [kg/kg dry air] of air that shows this wet bulb [°C] on a wick covered with ice."""
    saturation = exp(ln_pressure_over_ice(wet_bulb + ZERO_CELSIUS, log))
    return _humidity_ratio(ICE, wet_bulb, dry_bulb, moist_air.humidity_ratio(saturation, pressure))


def _humidity_ratio(film: Film, wet_bulb: Number, dry_bulb: Number, saturated: Number) -> Number:
    given_off = (film.latent_heat - film.latent_heat_slope * wet_bulb) * saturated
    taken_up = moist_air.HEAT_CAPACITY_OF_DRY_AIR * (dry_bulb - wet_bulb)
    vapour = film.latent_heat + moist_air.HEAT_CAPACITY_OF_VAPOUR * dry_bulb
    return (given_off - taken_up) / (vapour - film.heat_capacity * wet_bulb)


def humidity_ratio(dry_bulb: float, wet_bulb: float, pressure: float) -> float:
    """Humidity ratio of air, by its dry bulb and wet bulb: liquid water on the wick from 0 °C up, ice below.

    Holds for dry bulbs of -40 to 60 °C and 50 to 110 kPa, which it does not check (``air.state`` does).

    Parameters
    ----------
    dry_bulb
        [°C]
    wet_bulb
        At most the dry bulb. [°C]
    pressure
        [Pa]

    Returns
    -------
    float
        Humidity ratio; negative where no air could show this wet bulb. [kg/kg dry air]

    References
    ----------
    ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equations 33 and 35.
    """
    if wet_bulb >= 0.0:
        return humidity_ratio_over_liquid(wet_bulb, dry_bulb, pressure, math.log, math.exp)
    return humidity_ratio_over_ice(wet_bulb, dry_bulb, pressure, math.log, math.exp)


def has_two_films(dry_bulb: float, humidity_ratio: float, pressure: float) -> bool:
    """Tell whether air has a wet bulb under liquid water and another under ice.

    Holds for air in the range of ``air.state``. In this band a wick reads one or the other, as chance has it,
    and so does a search between the dew point and the dry bulb.

    Parameters
    ----------
    dry_bulb
        [°C]
    humidity_ratio
        [kg/kg dry air]
    pressure
        [Pa]

    Returns
    -------
    bool
        True where both equations have a root on their own side of 0 °C.

    References
    ----------
    ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equations 33 and 35, at 0 °C.
    """
    heat = moist_air.enthalpy(dry_bulb, humidity_ratio)
    saturated = moist_air.humidity_ratio(saturation_pressure(0.0), pressure)
    return (
        heat >= least_enthalpy_over_liquid(pressure)
        and heat + HEAT_OF_FUSION * humidity_ratio < ICE.latent_heat * saturated
    )
