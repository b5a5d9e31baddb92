"""Elements of resistance sensors: platinum, nickel and thermistors, resistance against temperature as published.

Coefficients are handed in; which of them belong to which curve is printed in ``tables/sensor_curves``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from ventwright.physics.saturation import ZERO_CELSIUS


def callendar_van_dusen(
    temperature: float, nominal_resistance: float, coefficients: Sequence[float]
) -> float:
    """Resistance of a platinum element.

    Parameters
    ----------
    temperature
        Of the element, -200 to 850. [°C]
    nominal_resistance
        At 0 °C. [ohm]
    coefficients
        A [1/K], B [1/K2] and C [1/K4]; C counts below 0 °C only.

    Returns
    -------
    float
        Resistance. [ohm]

    References
    ----------
    IEC 60751:2022, clause 4.2 (equations for both sides of 0 °C), read in pages about the text.
    """
    a, b, c = coefficients
    ratio = 1.0 + a * temperature + b * temperature**2
    if temperature < 0.0:
        ratio += c * (temperature - 100.0) * temperature**3
    return nominal_resistance * ratio


def polynomial(
    temperature: float,
    nominal_resistance: float,
    reference_temperature: float,
    coefficients: Sequence[float],
) -> float:
    """Resistance of a nickel element, whose makers publish a polynomial in degrees Celsius.

    Parameters
    ----------
    temperature
        Of the element. [°C]
    nominal_resistance
        At the reference temperature. [ohm]
    reference_temperature
        At which the nominal resistance holds: 0 °C, or 70 °F for the usual US element. [°C]
    coefficients
        Of the first, second, third ... power of the temperature; that of the zeroth is 1. [1/K, 1/K2, ...]

    Returns
    -------
    float
        Resistance. [ohm]

    References
    ----------
    Former DIN 43760, as data sheets of nickel elements print it.
    """
    return nominal_resistance * _sum(temperature, coefficients) / _sum(reference_temperature, coefficients)


def _sum(temperature: float, coefficients: Sequence[float]) -> float:
    return 1.0 + sum(factor * temperature**power for power, factor in enumerate(coefficients, start=1))


def steinhart_hart(resistance: float, coefficients: Sequence[float]) -> float:
    """Temperature of a thermistor.

    Parameters
    ----------
    resistance
        Of the thermistor alone, above 0. [ohm]
    coefficients
        A, B and C for a resistance in ohms. [1/K]

    Returns
    -------
    float
        Temperature. [°C]

    References
    ----------
    J. S. Steinhart and S. R. Hart, Calibration curves for thermistors, Deep-Sea Research 15 (1968), 497-503.
    """
    a, b, c = coefficients
    logarithm = math.log(resistance)
    return 1.0 / (a + b * logarithm + c * logarithm**3) - ZERO_CELSIUS


def steinhart_hart_resistance(temperature: float, coefficients: Sequence[float]) -> float:
    """Resistance of a thermistor: the cubic in ln R, solved.

    Parameters
    ----------
    temperature
        Of the thermistor. [°C]
    coefficients
        A, B and C for a resistance in ohms. [1/K]

    Returns
    -------
    float
        Resistance. [ohm]

    References
    ----------
    Cardano's formula for the equation of Steinhart and Hart (Deep-Sea Research 15, 1968, 497-503).
    """
    a, b, c = coefficients
    half = (a - 1.0 / (temperature + ZERO_CELSIUS)) / (2.0 * c)
    root = math.sqrt((b / (3.0 * c)) ** 3 + half**2)
    return math.exp(math.cbrt(root - half) - math.cbrt(root + half))
