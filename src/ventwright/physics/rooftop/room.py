"""The space that a rooftop unit serves: one capacity for heat and one for water, gains and walls."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ventwright.errors import Refusal, Refused
from ventwright.physics.moist_air import HEAT_CAPACITY_OF_DRY_AIR, HEAT_CAPACITY_OF_VAPOUR


@dataclass(frozen=True, slots=True)
class Room:
    """What the space is made of; one temperature and one humidity stand for all of it."""

    heat_capacity: float
    """Of air, furniture and the inside of the walls, as far as they follow the air. [J/K]"""
    heat_loss: float
    """Through walls, roof and glass, and by infiltration. [W/K]"""
    air_mass: float
    """Dry air in it, and for water what furniture holds in balance with it. [kg]"""
    gain_occupied: float
    """Sensible heat of people, lights and machines. [W]"""
    gain_unoccupied: float
    """[W]"""
    moisture_occupied: float = 0.0
    """Water that people give off. [kg/s]"""
    infiltration: float = 0.0
    """Dry air that comes in past the unit, for its water; its heat is in the heat loss. [kg/s]"""

    def __post_init__(self) -> None:
        """Refuse what is no room."""
        mistakes = [
            Refusal("is not possible", "more than 0", f"room.{name}", f"{value:g}")
            for name, value in (("heat_capacity", self.heat_capacity), ("air_mass", self.air_mass))
            if not 0.0 < value < math.inf
        ]
        mistakes += [
            Refusal("is not possible", "0 or more", f"room.{name}", f"{value:g}")
            for name, value in (
                ("heat_loss", self.heat_loss),
                ("gain_occupied", self.gain_occupied),
                ("gain_unoccupied", self.gain_unoccupied),
                ("moisture_occupied", self.moisture_occupied),
                ("infiltration", self.infiltration),
            )
            if not 0.0 <= value < math.inf
        ]
        if mistakes:
            raise Refused(*mistakes)


@dataclass(frozen=True, slots=True)
class RoomStep:
    """What a room did in a time: where it ended and what came in meanwhile."""

    dry_bulb: float
    """At the end. [°C]"""
    humidity_ratio: float
    """At the end. [kg/kg]"""
    mean_dry_bulb: float
    """Over the time. [°C]"""
    heat_from_unit: float
    """Below 0 where the unit cools. [J]"""
    heat_through_walls: float
    """Below 0 where the room loses it. [J]"""
    heat_of_gains: float
    """[J]"""
    water_from_unit: float
    """Below 0 where the unit dries. [kg]"""
    water_from_outdoors: float
    """By infiltration. [kg]"""
    water_of_gains: float
    """[kg]"""


@dataclass(frozen=True, slots=True)
class SupplyAir:
    """What the unit blows into the room."""

    dry_air: float
    """0 where the fan is off. [kg/s]"""
    dry_bulb: float
    """[°C]"""
    humidity_ratio: float
    """[kg/kg]"""


@dataclass(frozen=True, slots=True)
class OutdoorAir:
    """What stands outside the walls."""

    dry_bulb: float
    """[°C]"""
    humidity_ratio: float
    """[kg/kg]"""


def after(
    room: Room,
    dry_bulb: float,
    humidity_ratio: float,
    supply: SupplyAir,
    outdoor: OutdoorAir,
    seconds: float,
    *,
    occupied: bool,
) -> RoomStep:
    """State of a room after a time in which supply air, outdoor air and gains stay as they are.

    Exact for one capacity: the room approaches its balance exponentially. Air is blown in and the same mass leaves at
    the room's temperature.

    Parameters
    ----------
    room
        Its capacities and gains.
    dry_bulb
        At the start. [°C]
    humidity_ratio
        At the start. [kg/kg]
    supply
        What the unit blows in [kg/s, °C, kg/kg].
    outdoor
        What stands outside [°C, kg/kg].
    seconds
        How long. [s]
    occupied
        Gains are those of occupied hours.

    Returns
    -------
    RoomStep
        The end, the mean, and what came in [J, kg].

    References
    ----------
    First-order linear balance of one capacity, solved exactly; heat of moist air as in ASHRAE Handbook - Fundamentals
    2017 (SI), chapter 1, equation 30.
    """
    gain = room.gain_occupied if occupied else room.gain_unoccupied
    per_kelvin = supply.dry_air * (HEAT_CAPACITY_OF_DRY_AIR + HEAT_CAPACITY_OF_VAPOUR * supply.humidity_ratio)
    end, mean = _approach(
        dry_bulb,
        room.heat_capacity,
        room.heat_loss + per_kelvin,
        room.heat_loss * outdoor.dry_bulb + per_kelvin * supply.dry_bulb + gain,
        seconds,
    )
    moisture = room.moisture_occupied if occupied else 0.0
    wet_end, wet_mean = _approach(
        humidity_ratio,
        room.air_mass,
        room.infiltration + supply.dry_air,
        room.infiltration * outdoor.humidity_ratio + supply.dry_air * supply.humidity_ratio + moisture,
        seconds,
    )
    return RoomStep(
        end,
        wet_end,
        mean,
        per_kelvin * (supply.dry_bulb - mean) * seconds,
        room.heat_loss * (outdoor.dry_bulb - mean) * seconds,
        gain * seconds,
        supply.dry_air * (supply.humidity_ratio - wet_mean) * seconds,
        room.infiltration * (outdoor.humidity_ratio - wet_mean) * seconds,
        moisture * seconds,
    )


def _approach(
    start: float, capacity: float, loss: float, source: float, seconds: float
) -> tuple[float, float]:
    """End and mean of capacity dx/dt = source - loss x."""
    if seconds <= 0.0:
        return start, start
    if loss <= 0.0:
        end = start + source * seconds / capacity
        return end, 0.5 * (start + end)
    balance = source / loss
    turns = loss * seconds / capacity
    end = balance + (start - balance) * math.exp(-turns)
    return end, balance - (start - balance) * math.expm1(-turns) / turns
