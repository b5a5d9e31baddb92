"""One way to run the year: whether there is free cooling, what shuts it off, and what its sensors show amiss."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Switch:
    """A high limit without hysteresis, as hours see it: outdoor air is unfit as soon as one limit is passed."""

    dry_bulb_limit: float | None = None
    """[°C]"""
    enthalpy_limit: float | None = None
    """Datum 0 °C. [J/kg]"""
    dew_point_limit: float | None = None
    """[°C]"""
    return_gap: float | None = None
    """By how much outdoor air has to be cooler than return air, where the two are compared. [K]"""
    return_enthalpy: bool = False
    """Outdoor air may hold no more heat than return air."""


@dataclass(frozen=True, slots=True)
class SensorErrors:
    """What sensors show more than there is: differences, 0 for good ones."""

    outdoor_error: float = 0.0
    """[K]"""
    return_error: float = 0.0
    """[K]"""
    dew_point_error: float = 0.0
    """[K]"""
    outdoor_enthalpy_error: float = 0.0
    """[J/kg]"""
    return_enthalpy_error: float = 0.0
    """[J/kg]"""


NO_ERRORS = SensorErrors()


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way to run a unit through the year."""

    switch: Switch | None
    """None: no free cooling at all."""
    integrated: bool = True
    """Outdoor air goes on cooling while a compressor helps."""
    lockout: float | None = None
    """Outdoor air below which no compressor cools. [°C]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class YearTotals:
    """What a year comes to."""

    compressor_energy: float
    """Compressors and condenser fans. [J]"""
    fan_energy: float
    """[J]"""
    relief_energy: float
    """[J]"""
    heating_energy: float
    """Bought for heating. [J]"""
    peak_power: float
    """Of compressors and fans in the worst hour. [W]"""
    free_hours: float
    """With outdoor air beyond the minimum and a call for cooling. [h]"""
    free_alone_hours: float
    """Of these, without a compressor. [h]"""
    short_of_air_hours: float
    """With less outdoor air than required. [h]"""
    short_of_cooling_hours: float
    """In which the load is not met. [h]"""


def together(years: Sequence[YearTotals]) -> YearTotals:
    """Put parts of a year together, of one unit run in one way.

    Parameters
    ----------
    years
        The totals of each part [J, W, h].

    Returns
    -------
    YearTotals
        Sums, and the highest peak [J, W, h].

    References
    ----------
    None is needed: sums.
    """
    summed = {name: sum(getattr(one, name) for one in years) for name in YearTotals.__slots__}
    return YearTotals(**summed | {"peak_power": max(one.peak_power for one in years)})


def fit(
    switch: Switch, outdoor: tuple[float, float, float], returned: tuple[float, float], errors: SensorErrors
) -> bool:
    """Whether a high limit lets outdoor air cool.

    Parameters
    ----------
    switch
        Its limits [°C, J/kg, K].
    outdoor
        Dry bulb [°C], enthalpy [J/kg] and dew point [°C].
    returned
        Dry bulb [°C] and enthalpy [J/kg].
    errors
        Of the sensors [K, J/kg].

    Returns
    -------
    bool
        True while no limit is passed.

    References
    ----------
    None is needed: readings are compared (ASHRAE 90.1, 6.5.1.1.3, says which; limits are handed in).
    """
    dry_bulb, enthalpy = outdoor[0] + errors.outdoor_error, outdoor[1] + errors.outdoor_enthalpy_error
    if switch.dry_bulb_limit is not None and dry_bulb > switch.dry_bulb_limit:
        return False
    if switch.enthalpy_limit is not None and enthalpy > switch.enthalpy_limit:
        return False
    if switch.dew_point_limit is not None and outdoor[2] + errors.dew_point_error > switch.dew_point_limit:
        return False
    if switch.return_gap is not None and dry_bulb > returned[0] + errors.return_error - switch.return_gap:
        return False
    return not (switch.return_enthalpy and enthalpy > returned[1] + errors.return_enthalpy_error)
