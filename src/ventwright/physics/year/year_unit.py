"""A rooftop unit as a year of hours sees it: airflow, shares of outdoor air, what the space asks, what the machine draws."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.errors import Refusal, Refused
from ventwright.physics import moist_air
from ventwright.physics.rooftop.limit import above_zero, within

COLDEST_CONDENSER = 15.0
"""Outdoor air below which efficiency and capacity rise no more, since head pressure is held (our own assumption). [°C]"""

LEAST_DEPRESSION = 8.0
"""By how much a working coil's surface lies below the air that comes to it at least: one stage of two cools dry air so far at
400 cfm a ton (our own assumption). [K]"""

COLDEST_SURFACE = 2.0
"""Below which a coil would frost over, and is kept from it (our own assumption). [°C]"""

LEAST_FACTOR = 0.3
"""Of capacity and efficiency in the greatest heat, where a straight line would go on falling (our own assumption). [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class YearUnit:
    """What a year needs to know of a unit, its space and its dampers. SI throughout; shares are of the supply air."""

    dry_air: float
    """Supply air at full speed. [kg/s]"""
    slow: float = 1.0
    """Airflow of the slowest speed over the fastest; 1 where there is one speed. [-]"""
    least_share: float = 0.2
    """Outdoor air at the minimum damper position, full speed. [-]"""
    least_share_slow: float = 0.2
    """The same at the slowest speed. [-]"""
    most_share: float = 0.85
    """Outdoor air with the damper fully open. [-]"""
    return_air: float = 23.9
    """[°C]"""
    mixed_set_point: float = 12.8
    """Mixed air that free cooling holds. [°C]"""
    balance_point: float = 10.0
    """Outdoor air at which the space asks neither for heat nor for cooling, ventilation apart. [°C]"""
    load_slope: float
    """How much the space asks more for each kelvin outdoors. [W/K]"""
    fan_power: float = 0.0
    """Of the supply fan at full speed, all of it heat in the air. [W]"""
    fan_power_slow: float = 0.0
    """At the slowest. [W]"""
    relief_power: float = 0.0
    """Of the exhaust or relief fan. [W]"""
    relief_start: float = 1.0
    """Share of outdoor air from which it runs. [-]"""
    capacity: float
    """Total cooling at 35 °C outdoors, all stages. [W]"""
    stages: int = 1
    efficiency: float = 3.2
    """Cooling over the electricity of compressors and condenser fans at 35 °C. [-]"""
    efficiency_slope: float = 0.0
    """Relative rise of it for each kelvin below 35 °C. [1/K]"""
    capacity_slope: float = 0.0
    """The same of the capacity. [1/K]"""
    cycling_loss: float = 0.0
    """Share of its efficiency that a stage loses when it hardly runs. [-]"""
    coil_surface: float = 11.0
    """Mean temperature of a working coil's surface in warm air; in cool air it falls with it. [°C]"""
    pressure: float = moist_air.STANDARD_PRESSURE
    """Of the air at the place. [Pa]"""
    water_gain: float = 0.0
    """By how much return air holds more water than outdoor air while no coil dries it. [kg/kg]"""
    most_water: float = 0.0
    """Water in return air beyond which a working coil holds it. [kg/kg]"""
    heating_efficiency: float = 0.8
    """Heat into the air over the energy bought for it. [-]"""
    required: float = 0.0
    """Outdoor air below which an hour counts as short of ventilation. [kg/s]"""

    def __post_init__(self) -> None:
        """Refuse what no unit is, and a set point that return air can never be cooled to."""
        for name in ("dry_air", "capacity", "efficiency", "heating_efficiency"):
            above_zero(f"year unit.{name}", getattr(self, name))
        for name in ("least_share", "least_share_slow", "most_share"):
            within(f"year unit.{name}", getattr(self, name), 0.0, 1.0)
        within("year unit.slow", self.slow, 0.1, 1.0)
        within("year unit.cycling_loss", self.cycling_loss, 0.0, 0.9)
        for name in ("load_slope", "fan_power", "fan_power_slow", "relief_power", "required", "most_water"):
            within(f"year unit.{name}", getattr(self, name), 0.0)
        if not self.mixed_set_point < self.return_air:
            problem, accepted = "is no set point of free cooling", "a set point below the return air"
            raise Refused(
                Refusal(problem, accepted, "year unit.mixed_set_point", f"{self.mixed_set_point:g} °C")
            )
