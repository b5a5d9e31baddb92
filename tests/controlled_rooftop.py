"""An invented rooftop unit with its controls, and a room that it serves, for the tests of the control sequence."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from ventwright.physics.damper import Blades
from ventwright.physics.rooftop.air_path import Leg
from ventwright.physics.rooftop.coil import CoolingCoil
from ventwright.physics.rooftop.control_settings import ControlSettings, FanSpeeds
from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.heat import Heater, HeaterKind, HeatPump
from ventwright.physics.rooftop.minimum_position import MinimumPosition
from ventwright.physics.rooftop.room import Room
from ventwright.physics.rooftop.run import Site
from ventwright.physics.rooftop.supply_fan import SupplyFan
from ventwright.physics.rooftop.surroundings import Indoor, Weather
from ventwright.physics.rooftop.thermostat import Thermostat

BLADES: Final = Blades(a=-1.51, b=9.45, low=15 / 90, high=55 / 90, loss_open=0.45, loss_closed=1e4)

UNIT: Final = Unit(
    Leg(BLADES, 0.5, 2.0),
    Leg(BLADES, 0.5, 1.0),
    SupplyFan(1.9, 1200.0, speeds=(0.6, 1.0)),
    0.6,
    coil=CoolingCoil((14e3, 28e3), 2.2),
    heater=Heater(HeaterKind.GAS, (30e3,)),
)

HEAT_PUMP: Final = replace(
    UNIT,
    heat_pump=HeatPump((13e3, 26e3), valve_powered_cools=True),
    heater=Heater(HeaterKind.ELECTRIC, (10e3,)),
)

SETTINGS: Final = ControlSettings(
    MinimumPosition(0.30, 0.42, 1.0, 0.6),
    fan=FanSpeeds(ventilating=0.6, cooling_first=0.6, cooling_second=1.0, heating=1.0),
)

HEAT_PUMP_SETTINGS: Final = replace(SETTINGS, valve="powered in cooling", heaters=3)

INDOOR: Final = Indoor(23.0, 0.45)

SITE: Final = Site(
    weather=lambda time: Weather(17.0 - 5.0 * math.cos(2.0 * math.pi * time / 86_400.0), 0.6),
    occupied=lambda time: 7.0 <= time % 86_400.0 / 3600.0 < 18.0,
    room=Room(3e7, 300.0, 1500.0, 12e3, 1e3, 2e-4, 0.02),
    thermostat=Thermostat(),
    start=Indoor(20.0, 0.45),
)
"""A day that is cool in the morning and warm in the afternoon, from midnight on."""
