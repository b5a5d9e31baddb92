"""The controller's own sensors: where each stands, what is wrong with it, and what the controller makes of it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from ventwright.errors import Refusal, Refused
from ventwright.physics import moist_air, saturation, sensor
from ventwright.physics.rooftop.limit import above_zero, within

FAILS_FROM = 0.5
"""Severity from which a fault without an in-between counts as there (our own assumption). [-]"""
REFERENCE = 25.0
"""Temperature at whose resistance a bad contact or a wet connector is measured (our own assumption). [°C]"""


class Place(StrEnum):
    """Where air is sensed."""

    OUTDOOR = "outdoor"
    RETURN = "return"
    MIXED = "mixed"
    COIL = "coil"
    SUPPLY = "supply"
    SPACE = "space"


@dataclass(frozen=True, slots=True)
class Sensor:
    """One temperature sensor, with a humidity element where ``humidity`` says so, and the input that reads it."""

    input: Place
    """What the controller takes it for."""
    at: Place
    """Where it stands."""
    lane: int | None = None
    """Of the mixed air that it stands in, from the outdoor side; None averages them all."""
    curve: sensor.Curve | None = None
    """Of the element; None for one that sends its temperature."""
    read_as: sensor.Curve | None = None
    """Curve that the input reads it by; None for the element's own."""
    bias: float = 0.0
    """[K]"""
    humidity: bool = False
    humidity_bias: float = 0.0
    """Of the relative humidity. [-]"""
    time_constant: float = 60.0
    """Of its answer to a step. [s]"""
    open_share: float = 0.0
    """0 sound, 1 open circuit: a bad contact adds resistance in line. [-]"""
    short_share: float = 0.0
    """0 sound, 1 short circuit: water in a connector takes a share of the current. [-]"""
    strayed_to: Place | None = None
    """Another place whose air reaches it."""
    strayed_share: float = 0.0
    """How much of what it feels is that air. [-]"""

    def __post_init__(self) -> None:
        """Refuse what no sensor is."""
        for name in ("open_share", "short_share", "strayed_share"):
            within(f"sensor.{name}", getattr(self, name), 0.0, 1.0)
        within("sensor.bias", self.bias, -200.0, 200.0, "K")
        within("sensor.humidity_bias", self.humidity_bias, -1.0, 1.0)
        within("sensor.time_constant", self.time_constant, 0.0, unit="s")
        if self.read_as is not None and self.curve is None:
            problem = "has a curve that it is read by but none of its own"
            raise Refused(Refusal(problem, "the element's curve beside it", f"sensor.{self.input}"))


@dataclass(frozen=True, slots=True)
class Felt:
    """The air at one place."""

    dry_bulb: float
    """[°C]"""
    humidity_ratio: float
    """[kg/kg dry air]"""


@dataclass(frozen=True, slots=True)
class SensorReading:
    """What the controller makes of one sensor."""

    dry_bulb: float | None
    """As it is shown; None where the circuit is open or short. [°C]"""
    relative_humidity: float | None
    """[-]"""
    enthalpy: float | None
    """Of the two together, datum 0 °C. [J/kg dry air]"""
    resistance: float | None
    """At the wires, as a meter shows it; infinite where open, None for a sensor without a curve. [ohm]"""
    circuit: sensor.State


def reading(
    one: Sensor, air: Mapping[Place, Felt], lanes: tuple[Felt, ...], pressure: float
) -> SensorReading:
    """What the controller makes of a sensor that has settled.

    Parameters
    ----------
    one
        The sensor.
    air
        The air at each place.
    lanes
        The mixed air, lane by lane.
    pressure
        [Pa]

    Returns
    -------
    SensorReading
        Temperature, humidity and enthalpy as shown; nothing where the circuit is open or short.

    References
    ----------
    The curves: as in ``physics.sensor``. Bad contact and wet connector: our own assumption.
    """
    here = _at(one.at, one, air, lanes)
    there = here if one.strayed_to is None else _at(one.strayed_to, one, air, lanes)
    true = here.dry_bulb + one.strayed_share * (there.dry_bulb - here.dry_bulb)
    felt = true + one.bias
    resistance = None if one.curve is None else circuit_resistance(felt, one)
    shown, state = _shown(felt, resistance, one)
    if shown is None or not one.humidity:
        return SensorReading(shown, None, None, resistance, state)
    ratio = here.humidity_ratio + one.strayed_share * (there.humidity_ratio - here.humidity_ratio)
    humidity = moist_air.vapour_pressure(ratio, pressure) / saturation.saturation_pressure(true)
    humidity = min(max(humidity + one.humidity_bias, 0.0), 1.0)
    vapour = humidity * saturation.saturation_pressure(min(max(shown, saturation.LEAST), 80.0))
    enthalpy = moist_air.enthalpy(shown, moist_air.humidity_ratio(vapour, pressure))
    return SensorReading(shown, humidity, enthalpy, resistance, state)


def readings(
    sensors: Iterable[Sensor], air: Iterable[Felt], lanes: Iterable[Felt], pressure: float
) -> dict[Place, SensorReading]:
    """What the controller makes of all its sensors.

    Parameters
    ----------
    sensors
        The sensors.
    air
        The air at each place, in the order of the places.
    lanes
        The mixed air, lane by lane.
    pressure
        [Pa]

    Returns
    -------
    dict
        As ``reading`` gives them [°C, -, J/kg, ohm], by input.

    References
    ----------
    As ``reading``.
    """
    felt, side_by_side = dict(zip(Place, air, strict=True)), tuple(lanes)
    return {one.input: reading(one, felt, side_by_side, pressure) for one in sensors}


def _at(place: Place, one: Sensor, air: Mapping[Place, Felt], lanes: tuple[Felt, ...]) -> Felt:
    if place is Place.MIXED and one.lane is not None:
        return lanes[min(one.lane, len(lanes) - 1)]
    return air[place]


def circuit_resistance(temperature: float, one: Sensor) -> float:
    """Resistance at the wires of a sensor, bad contacts and wet connectors with it.

    Parameters
    ----------
    temperature
        That the element has, its bias with it. [°C]
    one
        The sensor, with a curve.

    Returns
    -------
    float
        Infinite where open, 0 where short. [ohm]

    Raises
    ------
    Refused
        The sensor has no curve.

    References
    ----------
    Resistances in line and side by side; that they are counted in sensor resistances at 25 °C: our own assumption.
    """
    if one.curve is None:
        raise Refused(Refusal("has no curve", "a resistance sensor", f"sensor.{one.input}"))
    if one.open_share >= 1.0:
        return math.inf
    if one.short_share >= 1.0:
        return 0.0
    scale = sensor.wire_resistance(REFERENCE, one.curve)
    across = sensor.wire_resistance(temperature, one.curve)
    across = 1.0 / (1.0 / across + one.short_share / (1.0 - one.short_share) / scale)
    return across + scale * one.open_share / (1.0 - one.open_share)


def _shown(felt: float, resistance: float | None, one: Sensor) -> tuple[float | None, sensor.State]:
    """Temperature shown, and what the circuit looks like."""
    if resistance is None or one.curve is None:
        if one.open_share >= FAILS_FROM:
            return None, sensor.State.OPEN
        if one.short_share >= FAILS_FROM:
            return None, sensor.State.SHORT
        return felt, sensor.State.SENSOR
    curve = one.read_as or one.curve
    state = sensor.state(resistance, curve, curve.coldest, curve.hottest)
    if state is not sensor.State.SENSOR:
        return None, state
    return sensor.sensor_temperature(resistance, curve), state


def lagged(previous: float, settled: float, seconds: float, time_constant: float) -> float:
    """Value of something that follows with a lag of first order.

    Parameters
    ----------
    previous
        Value before. [unit of the value]
    settled
        Where it goes. [unit of the value]
    seconds
        Since then. [s]
    time_constant
        0 follows at once. [s]

    Returns
    -------
    float
        Value now. [unit of the value]

    References
    ----------
    Solution of a linear equation of first order for a constant input.
    """
    if time_constant <= 0.0:
        return settled
    return settled + (previous - settled) * math.exp(-seconds / time_constant)


def sensors_sound(time_constant: float = 60.0) -> tuple[Sensor, ...]:
    """One sound sensor at each place, the mixed one averaging.

    Parameters
    ----------
    time_constant
        Of each. [s]

    Returns
    -------
    tuple
        Sensors without curves, outdoor and return with humidity.

    References
    ----------
    our own assumption, no unit in particular (common practice, no published source).
    """
    above_zero("sensor.time_constant", time_constant, "s")
    wet = {Place.OUTDOOR, Place.RETURN}
    return tuple(Sensor(place, place, humidity=place in wet, time_constant=time_constant) for place in Place)
