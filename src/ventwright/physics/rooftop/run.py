"""A rooftop unit through a day or a year: the operating point step by step, with a room, a thermostat and lags.

The same equations as in one steady state. What lasts longer than a step is remembered: the room's temperature and
humidity, what sensors show, where the actuator stands, what the controls wait for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, fields

from ventwright.errors import Refusal, Refused
from ventwright.physics import moist_air, saturation
from ventwright.physics.rooftop import room as rooms
from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.commands import Commands
from ventwright.physics.rooftop.control import driven, duty
from ventwright.physics.rooftop.control_settings import ControlSettings
from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.memory import Memory
from ventwright.physics.rooftop.operating import ControlledUnit, Fault, controlled, rested, sensed_at
from ventwright.physics.rooftop.room import OutdoorAir, Room, RoomStep, SupplyAir
from ventwright.physics.rooftop.sensed import Sensed
from ventwright.physics.rooftop.sensing import Place, lagged
from ventwright.physics.rooftop.steady import State, steady
from ventwright.physics.rooftop.surroundings import Indoor, Weather
from ventwright.physics.rooftop.thermostat import Thermostat

LONGEST = 3600.0
"""Longest step: beyond an hour a thermostat's cycle means nothing (our own assumption). [s]"""

PLACES = {
    "outdoor_dry_bulb": Place.OUTDOOR,
    "return_dry_bulb": Place.RETURN,
    "mixed_dry_bulb": Place.MIXED,
    "supply_dry_bulb": Place.SUPPLY,
    "outdoor_enthalpy": Place.OUTDOOR,
    "return_enthalpy": Place.RETURN,
}
"""Whose lag each thing shown has."""


@dataclass(frozen=True, slots=True)
class Site:
    """What surrounds the unit through time."""

    weather: Callable[[float], Weather]
    """At a time. [s]"""
    occupied: Callable[[float], bool]
    """At a time. [s]"""
    room: Room
    thermostat: Thermostat
    start: Indoor
    """The room before the first step."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step: what stood at its start, what was done through it, what the room came to."""

    time: float
    """Of its start. [s]"""
    seconds: float
    """How long it lasts. [s]"""
    weather: Weather
    indoor: Indoor
    """At its start."""
    calls: Calls
    """As the thermostat made them."""
    sensed: Sensed
    """What the controls were shown."""
    commands: Commands
    """As they arrived at the hardware."""
    state: State
    """Of the hardware through the step."""
    memory: Memory
    free_cooling: bool
    protection: bool
    room: RoomStep


def run(
    unit: Unit,
    settings: ControlSettings,
    site: Site,
    faults: Iterable[Fault] = (),
    *,
    steps: int,
    seconds: float = 60.0,
    settled: bool = False,
) -> Iterator[Step]:
    """Steps of a unit through time, one after the other as they are asked for.

    With ``settled`` sensors and damper have come to rest in every step: for steps of a quarter of an hour, in which
    they would. Without it they lag and travel, and the damper is moved by its integrating control: for steps of a
    minute or less. Air and coil are at rest in every step; the room's air enters the unit as it was at the start.

    Parameters
    ----------
    unit
        As it was built.
    settings
        Of its controls, as they were meant [°C, K, s, shares].
    site
        Weather, occupied hours, room and thermostat [°C, -, s, J/K].
    faults
        Of hardware and controls, any number, from the first step to the last.
    steps
        How many.
    seconds
        How long each lasts. [s]
    settled
        Sensors and damper are at rest in every step.

    Returns
    -------
    iterator of Step
        [SI throughout]

    Raises
    ------
    Refused
        A step that is no time, or more than an hour.

    References
    ----------
    See ``operating.operate``, ``room.after`` and ``thermostat.Thermostat``.
    """
    if not 0.0 < seconds <= LONGEST:
        raise Refused(
            Refusal("is no step", "more than 0, at most 3600 seconds", "run.seconds", f"{seconds:g}")
        )
    return _steps(controlled(unit, settings, faults), site, steps, seconds, settled=settled)


def _steps(whole: ControlledUnit, site: Site, steps: int, seconds: float, *, settled: bool) -> Iterator[Step]:
    indoor, calls, memory = site.start, Calls(), Memory()
    commands, stroke = Commands(fan_running=False, fan_speed=1.0, damper_signal=0.0), 0.0
    shown: Sensed | None = None
    state: State | None = None
    for number in range(steps):
        time = number * seconds
        weather, occupied = site.weather(time), site.occupied(time)
        states: dict[Commands, State] = {}

        def state_at(
            wanted: Commands,
            weather: Weather = weather,
            indoor: Indoor = indoor,
            states: dict[Commands, State] = states,
        ) -> State:
            if wanted not in states:
                states[wanted] = steady(whole.unit, weather, indoor, wanted)
            return states[wanted]

        calls = site.thermostat.calls(indoor.dry_bulb, calls, occupied=occupied)
        heard = whole.heard(calls)
        if settled:
            sensed = whole.shown(sensed_at(state_at(commands)))
            todo = duty(whole.settings, sensed, heard, memory, seconds)
            left, memory = rested(todo, whole, calls, state_at)
            commands = whole.sent(left, calls)
            state = state_at(commands)
        else:
            before = state or state_at(commands)
            shown = _lagging(whole.unit, shown or sensed_at(before), sensed_at(before), seconds)
            sensed = whole.shown(shown)
            todo = duty(whole.settings, sensed, heard, memory, seconds)
            left, memory = driven(whole.settings, sensed, todo, seconds)
            commands = whole.sent(left, calls)
            stroke = _travelled(whole.unit, stroke, before, commands, seconds)
            state = steady(whole.unit, weather, indoor, commands, actuator_position=stroke)
        step = _room_after(site.room, weather, indoor, state, seconds, occupied=occupied)
        yield Step(
            time, seconds, weather, indoor, calls, sensed, commands, state, memory,
            todo.free_cooling, todo.protection, step,
        )  # fmt: skip
        indoor = _indoor(step, weather.pressure)


def _lagging(unit: Unit, before: Sensed, now: Sensed, seconds: float) -> Sensed:
    """Return what lagging sensors show; one that fails or comes back does so at once."""
    constants = {one.input: one.time_constant for one in unit.sensors}
    shown: dict[str, float | None] = {}
    for one in fields(Sensed):
        if one.name in PLACES:
            was, is_now = getattr(before, one.name), getattr(now, one.name)
            constant = constants.get(PLACES[one.name], 0.0)
            shown[one.name] = (
                is_now if was is None or is_now is None else lagged(was, is_now, seconds, constant)
            )
    return Sensed(
        shown["outdoor_dry_bulb"],
        shown["return_dry_bulb"],
        shown["mixed_dry_bulb"],
        shown["supply_dry_bulb"],
        shown["outdoor_enthalpy"],
        shown["return_enthalpy"],
    )


def _travelled(unit: Unit, stroke: float, before: State, commands: Commands, seconds: float) -> float:
    """Where the actuator stands after it has driven toward its signal for a time; without power it springs back. [-]"""
    target = (
        unit.linkage.target(commands.damper_signal) if before.actuator_powered else before.actuator_target
    )
    reach = seconds / unit.linkage.travel_time
    return min(max(target, stroke - reach), stroke + reach)


def _room_after(
    room: Room, weather: Weather, indoor: Indoor, state: State, seconds: float, *, occupied: bool
) -> RoomStep:
    inside, outside = indoor.air(weather.pressure), weather.air
    supply = SupplyAir(max(state.supply.dry_air, 0.0), state.supply.dry_bulb, state.supply.humidity_ratio)
    outdoor = OutdoorAir(outside.dry_bulb, outside.humidity_ratio)
    return rooms.after(
        room, inside.dry_bulb, inside.humidity_ratio, supply, outdoor, seconds, occupied=occupied
    )


def _indoor(step: RoomStep, pressure: float) -> Indoor:
    """Return the air of a room; what it cannot hold settles on the coldest wall."""
    vapour = moist_air.vapour_pressure(step.humidity_ratio, pressure)
    return Indoor(step.dry_bulb, min(1.0, vapour / saturation.saturation_pressure(step.dry_bulb)))
