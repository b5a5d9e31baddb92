"""Dry air and water vapour as one ideal gas: how humidity ratio, enthalpy and volume hang together.

These are plain arithmetic and serve numbers and arrays alike. They check nothing; ``air.state`` does.
"""

from __future__ import annotations

import math

from ventwright.errors import Refusal, Refused
from ventwright.physics.saturation import ZERO_CELSIUS, Number

STANDARD_PRESSURE = 101_325.0
"""Pa: the standard atmosphere at sea level."""

MOLAR_MASS_RATIO = 0.621945
"""Molar mass of water over that of dry air: ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equation 20. [-]"""

# ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1: the gas constant of dry air, equation 1, and the constants
# of equation 30.
GAS_CONSTANT_OF_DRY_AIR = 287.042  # J/(kg K)
HEAT_CAPACITY_OF_DRY_AIR = 1006.0  # J/(kg K)
HEAT_CAPACITY_OF_VAPOUR = 1860.0  # J/(kg K)
HEAT_OF_EVAPORATION = 2.501e6  # J/kg, at 0 °C

# The same, equation 3: fall of temperature over that at sea level [1/m], and the exponent.
LAPSE, EXPONENT = 2.25577e-5, 5.2559

LOWEST, HIGHEST = -5000.0, 11_000.0
"""m: the elevations for which the standard atmosphere is used."""


def humidity_ratio(vapour_pressure: Number, pressure: Number) -> Number:
    """Water carried by a kilogram of dry air.

    Holds for ideal gases: real air near saturation carries 0.4 to 0.5 % more.

    Parameters
    ----------
    vapour_pressure
        Partial pressure of the water vapour, below the pressure of the air. [Pa]
    pressure
        Of the moist air. [Pa]

    Returns
    -------
    Number
        Humidity ratio. [kg/kg dry air]

    References
    ----------
    ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equation 20.
    """
    return MOLAR_MASS_RATIO * vapour_pressure / (pressure - vapour_pressure)


def vapour_pressure(humidity_ratio: Number, pressure: Number) -> Number:
    """Partial pressure of the water in air of a humidity ratio.

    Holds for ideal gases.

    Parameters
    ----------
    humidity_ratio
        At least 0. [kg/kg dry air]
    pressure
        Of the moist air. [Pa]

    Returns
    -------
    Number
        Vapour pressure. [Pa]

    References
    ----------
    ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equation 20, inverted.
    """
    return pressure * humidity_ratio / (MOLAR_MASS_RATIO + humidity_ratio)


def enthalpy(dry_bulb: Number, humidity_ratio: Number) -> Number:
    """Heat content of moist air, per kilogram of dry air, counted from dry air and liquid water at 0 °C.

    Holds from -40 to 60 °C; US tables count from dry air at 0 °F, so their numbers are another quantity.

    Parameters
    ----------
    dry_bulb
        [°C]
    humidity_ratio
        [kg/kg dry air]

    Returns
    -------
    Number
        Enthalpy, datum 0 °C. [J/kg dry air]

    References
    ----------
    ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equation 30.
    """
    vapour = HEAT_OF_EVAPORATION + HEAT_CAPACITY_OF_VAPOUR * dry_bulb
    return HEAT_CAPACITY_OF_DRY_AIR * dry_bulb + humidity_ratio * vapour


def humidity_ratio_of_enthalpy(enthalpy: Number, dry_bulb: Number) -> Number:
    """Water carried by air of a known enthalpy and dry bulb.

    Parameters
    ----------
    enthalpy
        Datum 0 °C. [J/kg dry air]
    dry_bulb
        [°C]

    Returns
    -------
    Number
        Humidity ratio; negative where the enthalpy is less than that of dry air. [kg/kg dry air]

    References
    ----------
    ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equation 30, solved for W.
    """
    vapour = HEAT_OF_EVAPORATION + HEAT_CAPACITY_OF_VAPOUR * dry_bulb
    return (enthalpy - HEAT_CAPACITY_OF_DRY_AIR * dry_bulb) / vapour


def dry_bulb_of_enthalpy(enthalpy: Number, humidity_ratio: Number) -> Number:
    """Temperature of air of a known enthalpy and humidity ratio, as after two streams have mixed.

    Parameters
    ----------
    enthalpy
        Datum 0 °C. [J/kg dry air]
    humidity_ratio
        [kg/kg dry air]

    Returns
    -------
    Number
        Dry bulb. [°C]

    References
    ----------
    ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equation 30, solved for t.
    """
    heat_capacity = HEAT_CAPACITY_OF_DRY_AIR + HEAT_CAPACITY_OF_VAPOUR * humidity_ratio
    return (enthalpy - HEAT_OF_EVAPORATION * humidity_ratio) / heat_capacity


def specific_volume(dry_bulb: Number, humidity_ratio: Number, pressure: Number) -> Number:
    """Volume that a kilogram of dry air takes up together with its water.

    Parameters
    ----------
    dry_bulb
        [°C]
    humidity_ratio
        [kg/kg dry air]
    pressure
        Of the moist air. [Pa]

    Returns
    -------
    Number
        Specific volume; the density of the moist air is (1 + humidity ratio) / specific volume. [m3/kg dry air]

    References
    ----------
    ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equation 26.
    """
    moist = 1.0 + 1.607858 * humidity_ratio
    return GAS_CONSTANT_OF_DRY_AIR * (dry_bulb + ZERO_CELSIUS) * moist / pressure


def pressure_at_elevation(elevation: float) -> float:
    """Pressure of the standard atmosphere; the weather moves the real one by about 3 % either way.

    Parameters
    ----------
    elevation
        Above sea level, -5000 to 11 000. [m]

    Returns
    -------
    float
        Pressure. [Pa]

    Raises
    ------
    Refused
        The elevation is outside the range, or is not a number.

    References
    ----------
    ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equation 3. The 3 %: from memory.
    """
    if not LOWEST <= elevation <= HIGHEST:
        problem = "is no elevation for which the standard atmosphere is used"
        raise Refused(Refusal(problem, f"{LOWEST:.0f} to {HIGHEST:.0f} m", given=f"{elevation:g} m"))
    return STANDARD_PRESSURE * math.pow(1.0 - LAPSE * elevation, EXPONENT)


def elevation_at_pressure(pressure: float) -> float:
    """Elevation at which the standard atmosphere has a pressure.

    Parameters
    ----------
    pressure
        Above 0. [Pa]

    Returns
    -------
    float
        Above sea level. [m]

    References
    ----------
    ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equation 3, solved for the elevation.
    """
    return (1.0 - math.pow(pressure / STANDARD_PRESSURE, 1.0 / EXPONENT)) / LAPSE
