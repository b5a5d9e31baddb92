"""The hours of a year in which a unit runs: their outdoor air, worked out once and used by every reckoning."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ventwright.physics import moist_air, saturation

SECONDS = 3600.0
"""In an hour. [s]"""


@dataclass(frozen=True, slots=True)
class Hours:
    """Outdoor air of the hours in which the fan runs, in order. Every column has one value for each hour."""

    dry_bulb: tuple[float, ...]
    """[°C]"""
    humidity_ratio: tuple[float, ...]
    """[kg/kg]"""
    enthalpy: tuple[float, ...]
    """[J/kg]"""
    dew_point: tuple[float, ...]
    """[°C]"""
    lasts: tuple[float, ...]
    """How many hours each stands for: 1, or more where hours are gathered in bins. [h]"""

    def __len__(self) -> int:
        """How many rows there are."""
        return len(self.dry_bulb)

    def rows(self, start: int, stop: int) -> Hours:
        """Return some of the hours: from one row up to another."""
        return Hours(*(getattr(self, name)[start:stop] for name in Hours.__slots__))


def hours_of(
    dry_bulb: Sequence[float],
    dew_point: Sequence[float],
    pressure: Sequence[float],
    lasts: Sequence[float] = (),
) -> Hours:
    """Work out the outdoor air of hours from dry bulb, dew point and pressure.

    A dew point above its dry bulb is taken as the dry bulb: the air is saturated.

    Parameters
    ----------
    dry_bulb
        Of each hour. [°C]
    dew_point
        Of each hour, below 0.01 °C the frost point. [°C]
    pressure
        Of the air at the place, above the water's own. [Pa]
    lasts
        How many hours each stands for; left out, one. [h]

    Returns
    -------
    Hours
        With humidity ratio and enthalpy.

    References
    ----------
    ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equations 5, 6, 20 and 30.
    """
    dew = [min(one, dry) for one, dry in zip(dew_point, dry_bulb, strict=True)]
    water = [
        moist_air.humidity_ratio(saturation.saturation_pressure(one), at)
        for one, at in zip(dew, pressure, strict=True)
    ]
    heat = [moist_air.enthalpy(dry, ratio) for dry, ratio in zip(dry_bulb, water, strict=True)]
    return Hours(
        tuple(dry_bulb), tuple(water), tuple(heat), tuple(dew), tuple(lasts) or (1.0,) * len(dry_bulb)
    )
