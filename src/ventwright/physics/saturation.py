"""Water vapour over ice and over liquid water: its saturation pressure, and the dew point that inverts it.

Every formula is written once, for single numbers and for arrays: it is handed the ``log`` of the module that
knows the kind of number, ``math`` or NumPy, so that this file needs no NumPy.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, Protocol, Self, TypeVar

from ventwright.errors import Refusal, Refused
from ventwright.quantity import ABSOLUTE_ZERO

ZERO_CELSIUS = -ABSOLUTE_ZERO
"""Kelvins at 0 °C."""
TRIPLE_POINT = 0.01
"""°C: ice below it, liquid water above it."""

LEAST, GREATEST = -100.0, 100.0
"""°C: the range in which the formulas and their inverse are used here."""


class Arithmetic(Protocol):
    """What a formula asks of a number, or of an array of numbers."""

    def __add__(self, other: Any, /) -> Self: ...
    def __radd__(self, other: Any, /) -> Self: ...
    def __sub__(self, other: Any, /) -> Self: ...
    def __rsub__(self, other: Any, /) -> Self: ...
    def __mul__(self, other: Any, /) -> Self: ...
    def __rmul__(self, other: Any, /) -> Self: ...
    def __truediv__(self, other: Any, /) -> Self: ...
    def __rtruediv__(self, other: Any, /) -> Self: ...


Number = TypeVar("Number", bound=Arithmetic)
Function = Callable[[Number], Number]

# ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equations 5 (ice) and 6 (liquid water), after Hyland and
# Wexler 1983, with T in kelvins: ln p = c0 / T + c1 + c2 T + c3 T² + ... + c ln T.


def ln_pressure_over_ice(kelvin: Number, log: Function[Number]) -> Number:
    """Logarithm of the saturation pressure [Pa] over ice."""
    powers = -9.677843e-3 + kelvin * (6.2215701e-7 + kelvin * (2.0747825e-9 + kelvin * -9.484024e-13))
    return -5.6745359e3 / kelvin + 6.3925247 + kelvin * powers + 4.1635019 * log(kelvin)


def ln_pressure_over_liquid(kelvin: Number, log: Function[Number]) -> Number:
    """Logarithm of the saturation pressure [Pa] over liquid water."""
    powers = -4.8640239e-2 + kelvin * (4.1764768e-5 + kelvin * -1.4452093e-8)
    return -5.8002206e3 / kelvin + 1.3914993 + kelvin * powers + 6.5459673 * log(kelvin)


def slope_over_ice(kelvin: Number) -> Number:
    """Slope of that logarithm over ice. [1/K]"""
    powers = 12.4431402e-7 + kelvin * (6.2243475e-9 + kelvin * -37.936096e-13)
    return (5.6745359e3 / kelvin + 4.1635019) / kelvin - 9.677843e-3 + kelvin * powers


def slope_over_liquid(kelvin: Number) -> Number:
    """Slope of that logarithm over liquid water. [1/K]"""
    powers = 8.3529536e-5 + kelvin * -4.3356279e-8
    return (5.8002206e3 / kelvin + 6.5459673) / kelvin - 4.8640239e-2 + kelvin * powers


# The curves inverted: 1/T, which is nearly straight in ln p, as a polynomial in ln p, or ln p - 9 over liquid water.
# Fitted by benchmarks/fit_dew_point.py over -100..0.01 °C and 0.01..100 °C: 7e-9 K off at worst.
_ICE_INVERSE = (
    4.70430703663e-03, -1.62726435758e-04, 4.07075336131e-08, -2.6900195398e-09, -1.4685784737e-10,
    -5.9232139016e-12, -2.19825848856e-13, -8.00098395027e-15, -3.4793573299e-16, -1.37046459657e-17,
)  # fmt: skip
_LIQUID_INVERSE = (
    3.17555603861e-03, -1.91562346036e-04, -1.62218130485e-06, -7.29593576891e-08, -1.85283438593e-09,
    1.27403141942e-10, 2.90281499791e-11, 3.52378655331e-12, 3.71725024378e-13, 2.95580553819e-14,
)  # fmt: skip


def dew_point_over_ice(ln_pressure: Number) -> Number:
    """Temperature [°C] at which ice has a saturation pressure of this logarithm."""
    return 1.0 / _polynomial(_ICE_INVERSE, ln_pressure) - ZERO_CELSIUS


def dew_point_over_liquid(ln_pressure: Number) -> Number:
    """Temperature [°C] at which liquid water has a saturation pressure of this logarithm."""
    return 1.0 / _polynomial(_LIQUID_INVERSE, ln_pressure - 9.0) - ZERO_CELSIUS


def _polynomial(coefficients: tuple[float, ...], x: Number) -> Number:
    k0, k1, k2, k3, k4, k5, k6, k7, k8, k9 = coefficients
    upper = k5 + x * (k6 + x * (k7 + x * (k8 + x * k9)))
    return k0 + x * (k1 + x * (k2 + x * (k3 + x * (k4 + x * upper))))


TRIPLE_POINT_PRESSURE = math.exp(ln_pressure_over_liquid(ZERO_CELSIUS + TRIPLE_POINT, math.log))
LEAST_PRESSURE = math.exp(ln_pressure_over_ice(ZERO_CELSIUS + LEAST, math.log))
GREATEST_PRESSURE = math.exp(ln_pressure_over_liquid(ZERO_CELSIUS + GREATEST, math.log))


def saturation_pressure(temperature: float) -> float:
    """Pressure of water vapour in equilibrium with ice (below 0.01 °C) or liquid water.

    The handbook's two formulas are 1e-4 apart at 0 °C and meet at the triple point to 6e-9; changing over there
    leaves no gap, so that the dew point is an exact inverse.

    Parameters
    ----------
    temperature
        -100 to 100. [°C]

    Returns
    -------
    float
        Saturation pressure of pure water vapour; the enhancement by air, 0.4 to 0.5 %, is left out. [Pa]

    Raises
    ------
    Refused
        The temperature is outside the range, or is not a number.

    References
    ----------
    ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equations 5 and 6.
    """
    if not LEAST <= temperature <= GREATEST:
        problem = "is no temperature that the saturation formulas are used for"
        raise Refused(Refusal(problem, f"{LEAST:g} to {GREATEST:g} °C", given=f"{temperature:g} °C"))
    kelvin = temperature + ZERO_CELSIUS
    if temperature >= TRIPLE_POINT:
        return math.exp(ln_pressure_over_liquid(kelvin, math.log))
    return math.exp(ln_pressure_over_ice(kelvin, math.log))


def dew_point(vapour_pressure: float) -> float:
    """Temperature at which water vapour of this pressure is saturated: the frost point below 0.01 °C.

    Parameters
    ----------
    vapour_pressure
        0 to 101 419, the saturation pressure at 100 °C. [Pa]

    Returns
    -------
    float
        Inverse of ``saturation_pressure`` to 1e-8 K. Air drier than the formulas reach (under 0.0014 Pa) is
        given the end of their range, -100. [°C]

    Raises
    ------
    Refused
        The vapour pressure is outside the range, or is not a number.

    References
    ----------
    ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equations 5 and 6, inverted.
    """
    if not 0.0 <= vapour_pressure <= GREATEST_PRESSURE:
        accepted = f"0 to {GREATEST_PRESSURE:.0f} Pa"
        raise Refused(
            Refusal(
                "is no vapour pressure that has a dew point here", accepted, given=f"{vapour_pressure:g} Pa"
            )
        )
    if vapour_pressure >= TRIPLE_POINT_PRESSURE:
        return dew_point_over_liquid(math.log(vapour_pressure))
    if vapour_pressure > LEAST_PRESSURE:
        return dew_point_over_ice(math.log(vapour_pressure))
    return LEAST
