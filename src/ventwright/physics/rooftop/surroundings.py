"""What a rooftop unit stands in: the outdoor air around it and the indoor air that comes back to it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from ventwright.physics import air
from ventwright.physics.moist_air import STANDARD_PRESSURE


@dataclass(frozen=True, slots=True)
class Weather:
    """The outdoor air; ``air.state`` refuses what no air can be when the state is asked for."""

    dry_bulb: float
    """[°C]"""
    relative_humidity: float
    """0 to 1. [-]"""
    pressure: float = STANDARD_PRESSURE
    """Of the outdoor air. [Pa]"""

    @property
    def air(self) -> air.AirState:
        """The state of the outdoor air."""
        return _air(self.dry_bulb, self.relative_humidity, self.pressure)


@dataclass(frozen=True, slots=True)
class Indoor:
    """The air in the occupied space, which comes back to the unit as return air."""

    dry_bulb: float
    """[°C]"""
    relative_humidity: float
    """0 to 1. [-]"""

    def air(self, pressure: float) -> air.AirState:
        """The state of the return air at the pressure of the surroundings. [Pa]"""
        return _air(self.dry_bulb, self.relative_humidity, pressure)


@lru_cache(maxsize=64)
def _air(dry_bulb: float, relative_humidity: float, pressure: float) -> air.AirState:
    """Kept, since thousands of steady states stand in the same air."""
    return air.state(dry_bulb, relative_humidity=relative_humidity, pressure=pressure)
