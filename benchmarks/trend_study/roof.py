"""Rooftop units in software with sensors that err, logged every quarter of an hour as a building system would.

Everything here is drawn from a seed: dampers, settings, loads, weather, errors. The rules know nothing of it.
"""

from __future__ import annotations

import random
from array import array
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from math import cos, exp, pi
from pathlib import Path

from ventwright.physics.damper import Blades
from ventwright.physics.moist_air import STANDARD_PRESSURE
from ventwright.physics.rooftop.air_path import Leg
from ventwright.physics.rooftop.coil import CoolingCoil
from ventwright.physics.rooftop.control_settings import ControlSettings, FanSpeeds
from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.hardware_fault import HardwareFault, HardwareFaultKind
from ventwright.physics.rooftop.heat import Heater, HeaterKind
from ventwright.physics.rooftop.high_limit import HighLimit, HighLimitControl
from ventwright.physics.rooftop.lanes import Stratification
from ventwright.physics.rooftop.linkage import Linkage, Travel
from ventwright.physics.rooftop.minimum_position import MinimumPosition
from ventwright.physics.rooftop.relief import Relief, ReliefKind
from ventwright.physics.rooftop.room import Room
from ventwright.physics.rooftop.run import Site, Step, run
from ventwright.physics.rooftop.sensing import Place, Sensor
from ventwright.physics.rooftop.supply_fan import SupplyFan
from ventwright.physics.rooftop.surroundings import Indoor, Weather
from ventwright.physics.rooftop.thermostat import Thermostat
from ventwright.readings.trend import Series, UnitLog
from ventwright.tables.invented_year import invented_year
from ventwright.tables.point import points
from ventwright.tables.weather import WeatherYear, read_weather

QUARTER = 900
DAY = 86_400
FROZEN = 3
"""Stage of freeze protection that lasts until somebody resets it."""
LOCKOUT = 12.8
"""55 °F: outdoor temperature below which compressors are kept off once one froze (our own assumption). [°C]"""
START = 1_704_067_200
"""Monday, 1 January 2024, 0:00 UTC: the place keeps UTC."""

ZONES = ("1A", "2B", "3C", "4A", "5A", "5B", "6A")
"""Climate zones whose invented years are used."""

OPPOSED = Blades(a=-1.51, b=9.45, low=15 / 90, high=55 / 90, loss_open=0.45, loss_closed=1e4)
SINGLE = Blades(a=-1.51, b=0.0842 * 90, low=15 / 90, high=65 / 90, loss_open=0.45, loss_closed=1e4)
"""Typical values of ASHRAE research project 825-RP, as the Modelica Buildings library documents them."""


@dataclass(frozen=True, slots=True)
class Roof:
    """One unit, its controls, its building and its logger."""

    name: str
    unit: Unit
    settings: ControlSettings
    room: Room
    thermostat: Thermostat
    weather: WeatherYear
    hours: tuple[int, int]
    """Occupied from, to. [h]"""
    seven_days: bool
    sun: float
    """By how much sun warms the outdoor sensor at noon. [K]"""
    tells_hours: bool
    """Whether the logger holds the occupied signal."""


def places(folder: Path | None) -> tuple[WeatherYear, ...]:
    """Return years of weather: invented ones of every kind, and typical ones where a folder holds some."""
    typical = (
        () if folder is None else tuple(_read(path) for path in sorted(folder.iterdir()) if _is_weather(path))
    )
    return (*(invented_year(zone) for zone in ZONES), *typical)


def _is_weather(path: Path) -> bool:
    return path.suffix in {".epw", ".csv"}


@cache
def _read(path: Path) -> WeatherYear:
    return read_weather(path)


def drawn(seed: int, number: int, years: tuple[WeatherYear, ...]) -> Roof:
    """Draw one roof; all that is drawn is our own assumption, wider than the rules reckon with in places."""
    dice = random.Random(f"trend study {seed} {number}")
    airflow = dice.uniform(0.9, 3.5)
    speeds = (0.6, 1.0) if dice.random() < 0.5 else (1.0,)
    unit = Unit(
        _leg(dice, 0.26 * airflow, 2.0),
        _leg(dice, 0.26 * airflow, 1.0),
        SupplyFan(airflow, 650.0 * airflow, speeds=speeds),
        0.32 * airflow,
        cabinet_gap=0.002 * airflow * dice.uniform(0.0, 2.0),
        envelope=0.13 * airflow * dice.uniform(0.4, 2.0),
        relief=Relief(ReliefKind.BAROMETRIC, area=0.18 * airflow, opening_pressure=5.0, open_pressure=15.0),
        coil=CoolingCoil((9.5e3 * airflow, 19e3 * airflow), 1.16 * airflow),
        heater=Heater(HeaterKind.GAS, (14e3 * airflow,)),
        linkage=Linkage(
            Travel(dice.uniform(0.0, 0.1), dice.uniform(0.88, 1.0)),
            Travel(dice.uniform(0.0, 0.1), dice.uniform(0.9, 1.0), 1.0, dice.uniform(0.0, 0.08)),
        ),
        stratification=_layers(dice),
        sensors=(),
    )
    unit = replace(unit, sensors=_sensors(dice, unit.stratification.lanes))
    lowest = dice.uniform(0.15, 0.3)
    minimum = MinimumPosition(lowest, lowest * dice.uniform(1.0, 1.4), 1.0, 0.6)
    settings = ControlSettings(
        minimum,
        high_limit=_high_limit(dice),
        fan=FanSpeeds(0.6, 0.6, 1.0, 1.0) if len(speeds) > 1 else FanSpeeds(),
        set_point=dice.uniform(11.5, 14.5),
        lockout=dice.choice((None, 10.0, 12.8)),
    )
    gain = 9.0e3 * airflow * dice.uniform(0.5, 1.2)
    return Roof(
        f"roof {number}",
        unit,
        settings,
        Room(
            1.6e7 * airflow, 160.0 * airflow * dice.uniform(0.6, 1.6), 800.0 * airflow, gain, 0.15 * gain,
            1e-4 * airflow, 0.01 * airflow,
        ),
        Thermostat(cooling=dice.uniform(22.8, 24.5), heating=dice.uniform(20.0, 21.6)),
        years[number % len(years)],
        (dice.randint(6, 9), dice.randint(17, 22)),
        dice.random() < 0.4,
        dice.choice((0.0, 0.0, dice.uniform(0.0, 1.5))),
        dice.random() < 0.5,
    )  # fmt: skip


def _leg(dice: random.Random, face: float, loss: float) -> Leg:
    blades = dice.choice((OPPOSED, SINGLE))
    return Leg(blades, face * exp(dice.uniform(-0.25, 0.25)), loss * exp(dice.uniform(-0.5, 0.5)))


def _layers(dice: random.Random) -> Stratification:
    if dice.random() < 0.4:
        return Stratification(5, 0.0, 0.0)
    left = 0.4 * dice.random()
    return Stratification(5, left, left * dice.uniform(0.4, 1.0))


def _sensors(dice: random.Random, lanes: int) -> tuple[Sensor, ...]:
    """Lasting errors, and a mixed-air sensor in one lane on most units."""
    errors = {Place.OUTDOOR: 0.4, Place.RETURN: 0.3, Place.MIXED: 0.4, Place.SUPPLY: 0.3}
    return tuple(
        Sensor(
            place,
            place,
            bias=dice.gauss(0.0, errors[place]),
            lane=dice.randrange(lanes) if place is Place.MIXED and dice.random() < 0.6 else None,
            humidity=place in {Place.OUTDOOR, Place.RETURN},
            humidity_bias=dice.gauss(0.0, 0.02),
        )
        for place in errors
    )


def _high_limit(dice: random.Random) -> HighLimit:
    control = dice.choice(
        (
            HighLimitControl.FIXED_DRY_BULB,
            HighLimitControl.FIXED_DRY_BULB,
            HighLimitControl.DIFFERENTIAL_DRY_BULB,
            HighLimitControl.FIXED_ENTHALPY_AND_DRY_BULB,
            HighLimitControl.DIFFERENTIAL_ENTHALPY_AND_DRY_BULB,
        )
    )
    return HighLimit(control, high_limit=dice.choice((18.3, 21.1, 23.9)))


def stuck(at: float) -> HardwareFault:
    """Return a damper that stands at a stroke whatever it is told. [-]"""
    return HardwareFault(HardwareFaultKind.DAMPER_STUCK, 1.0, size=at)


def logged(
    roof: Roof, seed: int, first_day: int, days: int, faults: tuple[HardwareFault, ...] = ()
) -> UnitLog:
    """Run a roof for some days of its year and log it every quarter of an hour."""
    steps = run_and_reset(roof, first_day, days, faults)
    return _log(roof, random.Random(f"logger {roof.name} {seed} {first_day}"), first_day, steps)


def run_and_reset(
    roof: Roof, first_day: int, days: int, faults: tuple[HardwareFault, ...] = ()
) -> Iterator[Step]:
    """Run a roof; where freeze protection stopped it for good, somebody resets it when people come in next.

    Without that a unit that froze once would stand for the rest of its year, in a room that nobody could stay in. Where a
    compressor froze it that had no lockout, whoever resets it sets one: it would freeze again on the next cold day.
    """
    since, end, indoor, settings = 0, days * DAY, Indoor(22.0, 0.4), roof.settings
    while since < end:
        stopped = people = compressor = False
        begun = since
        for step in run(
            roof.unit, settings, site(roof, first_day * DAY + begun, indoor), faults,
            steps=(end - begun) // QUARTER, seconds=float(QUARTER), settled=True,
        ):  # fmt: skip
            since = begun + round(step.time)
            if stopped and step.calls.occupied and not people:
                indoor = step.indoor
                if compressor and settings.lockout is None:
                    settings = replace(settings, lockout=LOCKOUT)
                break
            yield replace(step, time=float(since))
            stopped, people = step.memory.freeze.stage == FROZEN, step.calls.occupied
            compressor = compressor if stopped else step.state.cooling_stages > 0
        else:
            return


def site(roof: Roof, since: int, start: Indoor) -> Site:
    """Return what surrounds a roof, from a second of the year on, with its room as it is then."""
    return Site(
        weather=lambda time: _weather(roof.weather, time + since),
        occupied=lambda time: occupied(roof, time + since),
        room=roof.room,
        thermostat=roof.thermostat,
        start=start,
    )


def occupied(roof: Roof, time: float) -> bool:
    """Whether people are in, at a time of the year. [s]"""
    day, second = divmod(time, DAY)
    return (roof.seven_days or day % 7 < 5) and roof.hours[0] <= second / 3600.0 < roof.hours[1]


def _weather(year: WeatherYear, time: float) -> Weather:
    """Straight between the hours."""
    hour, part = divmod(time / 3600.0, 1.0)
    now, later = int(hour) % 8760, (int(hour) + 1) % 8760
    pressure = year.pressure[now] or STANDARD_PRESSURE
    dry = _straight(year.dry_bulb[now], year.dry_bulb[later], part, 15.0)
    humidity = _straight(year.relative_humidity[now], year.relative_humidity[later], part, 0.5)
    return Weather(dry, min(max(humidity, 0.05), 1.0), pressure)


def _straight(now: float | None, later: float | None, part: float, otherwise: float) -> float:
    if now is None or later is None:
        return otherwise if now is None else now
    return now + part * (later - now)


def _log(roof: Roof, dice: random.Random, first_day: int, steps: Iterator[Step]) -> UnitLog:
    begin = START + first_day * DAY
    times, columns = array("q"), {name: array("q") for name in _points(roof)}
    for step in steps:
        time = begin + round(step.time)
        noon = max(0.0, cos(2.0 * pi * ((time % DAY) / DAY - 0.55)))
        values = {
            "outdoor_temperature": _shown(step.sensed.outdoor_dry_bulb, dice) + roof.sun * noon,
            "return_temperature": _shown(step.sensed.return_dry_bulb, dice),
            "mixed_temperature": _shown(step.state.readings[Place.MIXED].dry_bulb, dice),
            "supply_temperature": _shown(step.state.readings[Place.SUPPLY].dry_bulb, dice),
            "outdoor_damper_signal": step.commands.damper_signal,
            "supply_fan_status": float(step.state.fan_running),
            "supply_fan_speed": step.commands.fan_speed * step.state.fan_running,
            "cooling_1": float(step.state.cooling_stages >= 1),
            "cooling_2": float(step.state.cooling_stages >= 2),
            "heating_1": float(step.state.heating_stages >= 1),
            "occupied": float(occupied(roof, step.time + first_day * DAY)),
        }
        times.append(time)
        for name, column in columns.items():
            value, point = values[name], points()[name]
            rounded = round(value, 1) if point.kind.name == "temperature" else value
            column.append(round(rounded / point.step))
    return UnitLog(
        roof.name, {name: Series(points()[name], times, column) for name, column in columns.items()}, "UTC"
    )


def _points(roof: Roof) -> tuple[str, ...]:
    names = (
        "outdoor_temperature", "return_temperature", "mixed_temperature", "supply_temperature", "outdoor_damper_signal",
        "supply_fan_status", "supply_fan_speed", "cooling_1", "cooling_2", "heating_1",
    )  # fmt: skip
    return (*names, "occupied") if roof.tells_hours else names


def _shown(value: float | None, dice: random.Random) -> float:
    return (0.0 if value is None else value) + dice.gauss(0.0, 0.1)
